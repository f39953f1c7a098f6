package trim

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
		{&tRef, 0.1, 30, []limit.Slip{{Min: 100, Max: 3e4, Looks: "millivolts"}}},
		{&tRefTol, 0, 20, nil},
		{&tRefPPM, 0, 2000, nil},
		{&tPin, -1e-3, 1e-3, []limit.Slip{{Min: 0.01, Max: 1e4, Looks: "microamperes"}}},
		{&tUpper, 0, 1e8, nil},
		{&tLower, 0, 1e8, nil},
		{&tResTol, 0, 20, nil},
		{&tResPPM, 0, 5000, nil},
		{&tTrack, 10, 1e7, nil},
		{&tTrkTol, 0, 30, nil},
		{&tTrkPPM, 0, 5000, nil},
		{&tCRV, 0, 20, nil},
		{&tTravel, 30, 20000, []limit.Slip{{Min: 1, Max: 29, Looks: "turns"}}},
		{&tInput, 0.1, 200, nil},
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
