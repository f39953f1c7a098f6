package battery

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"github.com/stationphysics/stationphysics/internal/refdata"
)

func TestCurvePoints(t *testing.T) {
	refdata.Each(t, "battery/curve", func(r *refdata.Row) {
		c := chemistry(t, r.S("chemistry")).Curve()
		r.Check("cellV", c.OpenCircuitV(r.F("soc"), 25), fmt.Sprintf("OpenCircuitV(%v, 25)", r.F("soc")))
	})
}

// electrodeV is the potential of a LiFePO4 electrode, Afshar et al. 2017.
func electrodeV(y float64) float64 {
	return 3.4077 - 0.020269*y + 0.5*math.Exp(-150*y) - 0.9*math.Exp(-30*(1-y))
}

// A full cell is its positive electrode less the graphite, which on the plateau
// stands 0.05 to 0.2 V above lithium: an independent bound on the cell's curve.
func TestCurveLiesBelowTheElectrode(t *testing.T) {
	refdata.Each(t, "battery/half_cell", func(r *refdata.Row) {
		r.Check("electrodeV", electrodeV(r.F("lithium")), fmt.Sprintf("electrode at %v", r.F("lithium")))
	})
	c := LiFePO4.Curve()
	for soc := 0.3; soc <= 0.95; soc += 0.05 {
		d := electrodeV(0.9-0.87*soc) - c.OpenCircuitV(soc, 25)
		require.True(t, d > 0.05 && d < 0.2, "%v: %v", soc, d)
	}
}

func TestCurveRoundTrip(t *testing.T) {
	for _, ch := range all {
		c := ch.Curve()
		for _, tempC := range []float64{-40, -10, 25, 60, 85} {
			last := -1.0
			for soc := 0.0; soc <= 1.03; soc += 0.001 {
				v := c.OpenCircuitV(soc, tempC)
				require.Greater(t, v, last, "%v at %v, %v °C", ch, soc, tempC)
				last = v
				if v > 0.5 && v < 5 {
					require.InDelta(t, soc, c.SoC(v, tempC), 1e-12)
				}
			}
		}
	}
}

func TestCurveTemperature(t *testing.T) {
	c := LiFePO4.Curve()
	// At 30 % -0.1 mV/K, at 98 % +0.15 mV/K: 35 K below 25 °C.
	require.InDelta(t, 3.2772+0.0035, c.OpenCircuitV(0.2972, -10), 1e-12)
	require.InDelta(t, 3.3511-0.00525, c.OpenCircuitV(0.9833, -10), 1e-12)
}

func TestCurveRefusals(t *testing.T) {
	ok := []CurvePoint{{0, 3, 0}, {0.5, 3.2, 0}, {1, 3.4, 0}}
	_, err := NewCurve("x", ok...)
	require.NoError(t, err)
	with := func(i int, p CurvePoint) []CurvePoint {
		q := append([]CurvePoint(nil), ok...)
		q[i] = p
		return q
	}
	for _, x := range []struct {
		pts  []CurvePoint
		text string
	}{
		{nil, "number of curve points 0 is outside 2..32"},
		{ok[:1], "number of curve points 1 is outside 2..32"},
		{make([]CurvePoint, 33), "number of curve points 33 is outside 2..32"},
		{with(1, CurvePoint{50, 3.2, 0}), "percent?"},
		{with(1, CurvePoint{0.5, 12.8, 0}), "volts of the whole pack?"},
		{with(1, CurvePoint{0.5, 160, 0}), "volts of the whole pack?"},
		{with(1, CurvePoint{0.5, 161, 0}), "0.5..5 V"},
		{with(1, CurvePoint{0.5, 3200, 0}), "millivolts?"},
		{with(1, CurvePoint{0.5, 3.2, 0.5}), "millivolts per kelvin?"},
		{with(1, CurvePoint{0, 3.2, 0}), "must rise"},
		{with(1, CurvePoint{0.5, 3, 0}), "must rise"},
		{with(1, CurvePoint{0.5, 2.9, 0}), "must rise"},
		{with(1, CurvePoint{0.5, 3.01, 0.001}), "must rise at every temperature"},
		{with(1, CurvePoint{0.5, math.NaN(), 0}), "open-circuit voltage of a cell NaN"},
		{with(2, CurvePoint{0.99, 3.4, 0}), "reach from 0 to 1"},
		{with(0, CurvePoint{0.01, 3, 0}), "reach from 0 to 1"},
	} {
		_, err := NewCurve("x", x.pts...)
		require.ErrorContains(t, err, x.text)
	}
	var zero Curve
	c := LiFePO4.Curve()
	for _, v := range []float64{
		zero.OpenCircuitV(0.5, 25), zero.SoC(3.3, 25), c.OpenCircuitV(1.31, 25), c.OpenCircuitV(-0.21, 25), c.OpenCircuitV(math.NaN(), 25),
		c.OpenCircuitV(0.5, 86), c.SoC(0.4, 25), c.SoC(5.1, 25), c.SoC(3.3, -41), c.SoC(math.NaN(), 25), SealedLead.Curve().SoC(4.9, 25),
	} {
		require.True(t, math.IsNaN(v))
	}
	// The points given are copied.
	mine, err := NewCurve("x", ok...)
	require.NoError(t, err)
	ok[0].V = 1
	require.Equal(t, 3.0, mine.OpenCircuitV(0, 25))
}
