package ageing

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
		{cycleTempRange, 15, 60, []slip{{288, 333, "kelvins"}}},
		{cycleRateRange, 0.5, 10, nil},
		{fullCyclesRange, 0, 20000, nil},
		{calendarTempRange, 0, 60, []slip{{273, 333, "kelvins"}}},
		{calendarSoCRange, 0, 1, []slip{{1.001, 100, "percent"}}},
		{calendarYearsRange, 0, 30, nil},
		{capacityRange, 0.03, 40000, nil},
		{lossRange, 0.1, 50, nil},
	} {
		require.True(t, x.r.Holds(x.lo) && x.r.Holds(x.hi), x.r.Quantity)
		require.False(t, x.r.Holds(math.Nextafter(x.lo, math.Inf(-1))) || x.r.Holds(math.Nextafter(x.hi, math.Inf(1))) || x.r.Holds(math.NaN()), x.r.Quantity)
		require.Len(t, x.r.Slips, len(x.slips), x.r.Quantity)
		for i, s := range x.slips {
			require.Equal(t, limit.Slip{Min: s.lo, Max: s.hi, Looks: s.looks}, x.r.Slips[i], x.r.Quantity)
		}
	}
}
