package ageing

import (
	"testing"

	"github.com/stationphysics/stationphysics/internal/limit/limittest"
)

// TestRanges states every range a second time, as the comments at the fields
// promise them.
func TestRanges(t *testing.T) {
	check, slip := limittest.Ranges(t), limittest.Slip
	check(&cycleTempRange, 15, 60, slip(288, 333, "kelvins"))
	check(&cycleRateRange, 0.5, 10)
	check(&fullCyclesRange, 0, 20000)
	check(&calendarTempRange, 0, 60, slip(273, 333, "kelvins"))
	check(&calendarSoCRange, 0, 1, slip(1.001, 100, "percent"))
	check(&calendarYearsRange, 0, 30)
	check(&capacityRange, 0.03, 40000)
	check(&lossRange, 0.1, 50)
}
