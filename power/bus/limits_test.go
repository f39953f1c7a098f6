package bus

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
		{&ndUpper, 1, 1e9, nil},
		{&ndLower, 1, 1e9, nil},
		{&ndPinC, 0, 1e-3, []limit.Slip{{Min: 0.01, Max: 1e6, Looks: "nanofarads or microfarads"}}},
		{&ndLeak, 0, 1e-3, nil},
		{&ndSampR, 0, 1e6, nil},
		{&ndSampC, 1e-15, 1e-9, []limit.Slip{{Min: 0.1, Max: 1000, Looks: "picofarads"}}},
		{&ndSampS, 1e-9, 1, []limit.Slip{{Min: 1.5, Max: 1e4, Looks: "clock cycles or microseconds"}}},
		{&ndBits, 6, 24, nil},
		{&ndFull, 0.1, 30, []limit.Slip{{Min: 100, Max: 30000, Looks: "millivolts"}}},
		{&ndClamp, 0, 1, nil},
		{&ndLargest, 0, 0.1, []limit.Slip{{Min: 0.2, Max: 100, Looks: "milliamperes"}}},
		{&ndSupply, 0.5, 30, []limit.Slip{{Min: 500, Max: 30000, Looks: "millivolts"}}},
		{&ndTol, 0, 20, nil},
		{&ndIn, -200, 200, nil},
		{&ctSupply, 1, 30, []limit.Slip{{Min: 1000, Max: 30000, Looks: "millivolts"}}},
		{&ctPull, 10, 1e7, nil},
		{&ctSeries, 0, 1e6, nil},
		{&ctFarad, 0, 1e-3, []limit.Slip{{Min: 0.01, Max: 1e6, Looks: "nanofarads or microfarads"}}},
		{&ctCable, 0, 1e-6, []limit.Slip{{Min: 0.5, Max: 1e6, Looks: "picofarads"}}},
		{&ctLow, 0.05, 0.95, nil},
		{&ctHigh, 0.05, 0.95, nil},
		{&ctOhm, 0, 1e5, nil},
		{&puSupply, 1, 12, []limit.Slip{{Min: 1000, Max: 12000, Looks: "millivolts"}}},
		{&puFarad, 1e-12, 1e-8, []limit.Slip{{Min: 0.5, Max: 1e4, Looks: "picofarads"}}},
		{&puOhm, 10, 1e7, nil},
		{&puMode, 0, 2, nil},
		{&puCable, 1e-12, 1e-9, []limit.Slip{{Min: 0.5, Max: 1000, Looks: "picofarads per metre"}}},
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
