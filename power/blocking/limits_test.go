package blocking

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
		{&lkTemp, -90, 200, []limit.Slip{{Min: 203, Max: 473.15, Looks: "kelvins"}}},
		{&lkAmp, 1e-15, 1, []limit.Slip{{Min: 1.5, Max: 1e5, Looks: "milliamperes or microamperes"}}},
		{&idHold, 0, 0.2, []limit.Slip{{Min: 1, Max: 200, Looks: "millivolts"}}},
		{&idOn, 0, 10, []limit.Slip{{Min: 11, Max: 1e4, Looks: "milliohms"}}},
		{&idOwn, 0, 0.01, []limit.Slip{{Min: 0.1, Max: 1e4, Looks: "microamperes"}}},
		{&csLine, 1, 200, nil},
		{&csAmp, 0, 50, []limit.Slip{{Min: 51, Max: 5e4, Looks: "milliamperes"}}},
		{&csHours, 0, 24, nil},
		{&csPack, 1, 200, nil},
		{&csNightA, 0, 1, []limit.Slip{{Min: 1.5, Max: 1e4, Looks: "milliamperes or microamperes"}}},
		{&csNightH, 0, 24, nil},
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
