package trim

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
		{meterRange, 0, 10, nil},
		{digitsRange, 0, 1, []slip{{1.001, 20, "a count of digits"}}},
		{driftRange, 0, 20, nil},
		{chargerRange, 0, 20, nil},
		{highestRange, 0, 1, []slip{{1.001, 1000, "millivolts"}}},
		{diodeRange, 0, 1, []slip{{1.001, 1000, "millivolts"}}},
		{setRange, 0.5, 200, []slip{{200.001, 200_000, "millivolts"}}},
	} {
		require.True(t, x.r.Holds(x.lo) && x.r.Holds(x.hi), x.r.Quantity)
		require.False(t, x.r.Holds(math.Nextafter(x.lo, math.Inf(-1))) || x.r.Holds(math.Nextafter(x.hi, math.Inf(1))) || x.r.Holds(math.NaN()), x.r.Quantity)
		require.Len(t, x.r.Slips, len(x.slips), x.r.Quantity)
		for i, s := range x.slips {
			require.Equal(t, limit.Slip{Min: s.lo, Max: s.hi, Looks: s.looks}, x.r.Slips[i], x.r.Quantity)
		}
	}
}
