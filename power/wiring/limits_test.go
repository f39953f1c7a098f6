package wiring

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
		{&fsRated, 0.001, 100, []limit.Slip{{Min: 101, Max: 1e5, Looks: "milliamperes"}}},
		{&fsCont, 0.3, 1, []limit.Slip{{Min: 30, Max: 100, Looks: "per cent"}}},
		{&fsTemp, -60, 150, nil},
		{&fsRatio, 0.01, 2, []limit.Slip{{Min: 10, Max: 200, Looks: "per cent"}}},
		{&fsMelt, 0, 1e6, nil},
		{&fsVolt, 1, 1000, nil},
		{&fsBreak, 1, 1e5, nil},
		{&huFarad, 1e-9, 1000, []limit.Slip{{Min: 1001, Max: 1e6, Looks: "microfarads"}}},
		{&huEsr, 0, 1000, nil},
		{&huSource, 0.1, 200, nil},
		{&huOhm, 0, math.Inf(1), nil},
		{&huBurstA, 0, 100, []limit.Slip{{Min: 101, Max: 1e5, Looks: "milliamperes"}}},
		{&huBurstS, 0, 1e5, nil},
		{&hpSource, 0.1, 200, nil},
		{&hpOhm, 1e-6, 1000, nil},
		{&hpHenry, 1e-10, 1, []limit.Slip{{Min: 1.5, Max: 1e5, Looks: "microhenries or nanohenries"}}},
		{&hpFarad, 1e-12, 1, []limit.Slip{{Min: 1.5, Max: 1e5, Looks: "microfarads"}}},
		{&wGauge, -3, 40, nil},
		{&wArea, 0.001, 500, nil},
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
