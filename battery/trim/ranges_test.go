package trim

import (
	"testing"

	"github.com/stationphysics/stationphysics/internal/limit/limittest"
)

// TestRanges states every range a second time, as the comments at the fields
// promise them.
func TestRanges(t *testing.T) {
	check, slip := limittest.Ranges(t), limittest.Slip
	check(&meterRange, 0, 10)
	check(&digitsRange, 0, 1, slip(1.001, 20, "a count of digits"))
	check(&driftRange, 0, 20)
	check(&chargerRange, 0, 20)
	check(&highestRange, 0, 1, slip(1.001, 1000, "millivolts"))
	check(&diodeRange, 0, 1, slip(1.001, 1000, "millivolts"))
	check(&setRange, 0.5, 200, slip(200.001, 200_000, "millivolts"))
}
