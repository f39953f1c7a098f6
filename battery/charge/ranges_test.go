package charge

import (
	"testing"

	"github.com/stationphysics/stationphysics/internal/limit/limittest"
)

// TestRanges states every range a second time, as the comments at the fields
// promise them.
func TestRanges(t *testing.T) {
	check, slip := limittest.Ranges(t), limittest.Slip
	check(&boardRange, 1, 5, slip(5.001, 150, "volts of the whole pack"))
	check(&spreadRange, 0, 1)
	check(&abovRange, 0, 1)
	check(&railRange, 0, 200)
	check(&setRange, 0.5, 200)
	check(&mostARange, 0, 1000)
	check(&ohmRange, 0, 100)
	check(&taperRange, 0, 1000)
	check(&loadRange, 0, 1000)
	check(&tempRange, -40, 85, slip(233, 358, "kelvins"))
	check(&stepRange, 0.001, 3600)
	check(&mostHRange, 0.001, 1000)
	check(&slowRange, -200, 200)
	check(&socRange, -0.2, 1.3, slip(1.301, 130, "percent"))
	check(&mmCapacityRange, 0, 50)
	check(&mmSoCRange, 0, 1, slip(1.001, 100, "percent"))
	check(&mmLeakRange, 0, 30)
	check(&mmDaysRange, 0, 3650)
	check(&mmBalanceRange, 0, 10, slip(10.001, 10000, "milliamperes"))
	check(&mmHoursRange, 0, 24)
	check(&mmCellsRange, 1, 32)
	check(&sleepRange, 0, 1000)
	check(&pulseRange, 0, 10000, slip(10001, 1e7, "milliwatts"))
	check(&pulseSRange, 1e-4, 3600)
	check(&periodRange, 0.01, 86400)
	check(&leastRange, 0, 200)
}
