package switching

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"github.com/stationphysics/stationphysics/internal/limit"
)

// TestLimits holds every range to what the comment at its field promises: both
// ends are accepted, their neighbours and NaN are not, and a value in a wrong
// unit is recognised from the first to the last one expected.
func TestLimits(t *testing.T) {
	for _, c := range []struct {
		r        *limit.Range
		min, max float64
		slips    []limit.Slip
	}{
		{&swOut, 0.5, 100, []limit.Slip{{Min: 500, Max: 1e5, Looks: "millivolts"}}},
		{&swFreq, 1e3, 1e7, []limit.Slip{{Min: 10, Max: 999, Looks: "kilohertz"}, {Min: 0.1, Max: 9.9, Looks: "megahertz"}}},
		{&swInd, 1e-8, 0.1, []limit.Slip{{Min: 0.2, Max: 1e4, Looks: "microhenries"}}},
		{&swCoil, 0, 100, nil},
		{&swOn, 0, 100, nil},
		{&swRect, 0, 100, nil},
		{&swRecV, 0, 2, []limit.Slip{{Min: 100, Max: 2000, Looks: "millivolts"}}},
		{&swEdge, 0, 1e-5, []limit.Slip{{Min: 0.5, Max: 1e4, Looks: "nanoseconds"}}},
		{&swGate, 0, 1e-5, []limit.Slip{{Min: 0.1, Max: 1e4, Looks: "nanocoulombs"}}},
		{&swGatV, 0, 50, nil},
		{&swIdle, 0, 0.1, []limit.Slip{{Min: 0.2, Max: 1000, Looks: "milliamperes or microamperes"}}},
		{&swCap, 0, 1, []limit.Slip{{Min: 1.5, Max: 1e5, Looks: "microfarads"}}},
		{&swEsr, 0, 100, nil},
		{&swDuty, 0.1, 1, []limit.Slip{{Min: 10, Max: 100, Looks: "per cent"}}},
		{&swLim, 0.001, 100, nil},
		{&swMax, 0.5, 150, nil},
		{&swMin, 0, 100, nil},
		{&swPass, 0, 5, nil},
	} {
		t.Run(c.r.Quantity, func(t *testing.T) {
			require.NoError(t, c.r.Check(c.min))
			require.NoError(t, c.r.Check(c.max))
			require.Error(t, c.r.Check(math.Nextafter(c.min, math.Inf(-1))))
			if !math.IsInf(c.max, 1) {
				require.Error(t, c.r.Check(math.Nextafter(c.max, math.Inf(1))))
			}
			require.Error(t, c.r.Check(math.NaN()))
			for _, s := range c.slips {
				require.ErrorContains(t, c.r.Check(s.Min), s.Looks)
				require.ErrorContains(t, c.r.Check(s.Max), s.Looks)
				for _, v := range []float64{math.Nextafter(s.Min, math.Inf(-1)), math.Nextafter(s.Max, math.Inf(1))} {
					if err := c.r.Check(v); err != nil {
						require.NotContains(t, err.Error(), s.Looks)
					}
				}
			}
		})
	}
}
