package sizing

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"github.com/stationphysics/stationphysics/internal/limit"
)

// The ranges that the comments state: their very ends are accepted, the next
// number beyond is not, and the slips are those.
func TestRangesEndWhereTheySay(t *testing.T) {
	type slip struct {
		lo, hi float64
		looks  string
	}
	for _, x := range []struct {
		r      limit.Range
		lo, hi float64
		slips  []slip
	}{
		{tempRange, -40, 85, []slip{{233, 358, "kelvins"}}},
		{healthRange, 0.3, 1, []slip{{30, 100, "percent"}}},
		{reserveRange, 0, 0.95, []slip{{1, 95, "percent"}}},
		{socRange, 0, 1, []slip{{1.001, 100, "percent"}}},
		{loadRange, 1e-4, 1e5, nil},
		{capacityRange, 0.03, 40000, nil},
		{currentRange, 1e-6, 10000, nil},
		{cutoffRange, 0, 200, nil},
		{peukertRange, 1, 2, nil},
		{ratedHRange, 0.1, 200, nil},
		{loadAhRange, 1e-5, 1e5, nil},
		{daysRange, 0.1, 365, nil},
		{depthRange, 0.05, 1, []slip{{5, 100, "percent"}}},
		{factorRange, 0.05, 1.2, []slip{{5, 120, "percent"}}},
		{effRange, 0.3, 1, []slip{{30, 100, "percent"}}},
		{marginRange, 0, 1, []slip{{1.001, 100, "percent"}}},
		{cellAhRange, 0.03, 400, []slip{{400.001, 400_000, "milliampere-hours"}}},
		{fuseLoadRange, 0.001, 1000, []slip{{1000.001, 1e6, "milliamperes"}}},
		{wireRange, 0.01, 1000, nil},
		{wireOhmRange, 0, 10, []slip{{10.001, 10000, "milliohms"}}},
		{deratingRange, 0.3, 1, []slip{{30, 100, "percent"}}},
		{ratingRange, 0.01, 1000, nil},
	} {
		require.True(t, x.r.Holds(x.lo) && x.r.Holds(x.hi), x.r.Quantity)
		require.False(t, x.r.Holds(math.Nextafter(x.lo, math.Inf(-1))) || x.r.Holds(math.Nextafter(x.hi, math.Inf(1))) || x.r.Holds(math.NaN()), x.r.Quantity)
		require.Len(t, x.r.Slips, len(x.slips), x.r.Quantity)
		for i, s := range x.slips {
			require.Equal(t, limit.Slip{Min: s.lo, Max: s.hi, Looks: s.looks}, x.r.Slips[i], x.r.Quantity)
		}
	}
}
