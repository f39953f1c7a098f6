package charge

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
		{boardRange, 1, 5, []slip{{5.001, 150, "volts of the whole pack"}}},
		{spreadRange, 0, 1, nil},
		{abovRange, 0, 1, nil},
		{railRange, 0, 200, nil},
		{setRange, 0.5, 200, nil},
		{mostARange, 0, 1000, nil},
		{ohmRange, 0, 100, nil},
		{taperRange, 0, 1000, nil},
		{loadRange, 0, 1000, nil},
		{tempRange, -40, 85, []slip{{233, 358, "kelvins"}}},
		{stepRange, 0.001, 3600, nil},
		{mostHRange, 0.001, 1000, nil},
		{socRange, -0.2, 1.3, []slip{{1.301, 130, "percent"}}},
		{mmCapacityRange, 0, 50, nil},
		{mmSoCRange, 0, 1, []slip{{1.001, 100, "percent"}}},
		{mmLeakRange, 0, 30, nil},
		{mmDaysRange, 0, 3650, nil},
		{mmBalanceRange, 0, 10, []slip{{10.001, 10000, "milliamperes"}}},
		{mmHoursRange, 0, 24, nil},
		{mmCellsRange, 1, 32, nil},
		{sleepRange, 0, 1000, nil},
		{pulseRange, 0, 10000, []slip{{10001, 1e7, "milliwatts"}}},
		{pulseSRange, 1e-4, 3600, nil},
		{periodRange, 0.01, 86400, nil},
		{leastRange, 0, 200, nil},
	} {
		require.True(t, x.r.Holds(x.lo) && x.r.Holds(x.hi), x.r.Quantity)
		require.False(t, x.r.Holds(math.Nextafter(x.lo, math.Inf(-1))) || x.r.Holds(math.Nextafter(x.hi, math.Inf(1))) || x.r.Holds(math.NaN()), x.r.Quantity)
		require.Len(t, x.r.Slips, len(x.slips), x.r.Quantity)
		for i, s := range x.slips {
			require.Equal(t, limit.Slip{Min: s.lo, Max: s.hi, Looks: s.looks}, x.r.Slips[i], x.r.Quantity)
		}
	}
}
