package blocking

import (
	"testing"

	"github.com/stationphysics/stationphysics/internal/limit/limittest"
)

// TestRanges states every range a second time, as the comments at the fields
// promise them.
func TestRanges(t *testing.T) {
	check, slip := limittest.Ranges(t), limittest.Slip
	check(&lkTemp, -90, 200, slip(203, 473.15, "kelvins"))
	check(&lkAmp, 1e-15, 1, slip(1.5, 1e5, "milliamperes or microamperes"))
	check(&idHold, 0, 0.2, slip(1, 200, "millivolts"))
	check(&idOn, 0, 10, slip(11, 1e4, "milliohms"))
	check(&idOwn, 0, 0.01, slip(0.1, 1e4, "microamperes"))
	check(&csLine, 1, 200)
	check(&csAmp, 0, 50, slip(51, 5e4, "milliamperes"))
	check(&csHours, 0, 24)
	check(&csPack, 1, 200)
	check(&csNightA, 0, 1, slip(1.5, 1e4, "milliamperes or microamperes"))
	check(&csNightH, 0, 24)
}
