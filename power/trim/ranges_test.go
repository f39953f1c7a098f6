package trim

import (
	"testing"

	"github.com/stationphysics/stationphysics/internal/limit/limittest"
)

// TestRanges states every range a second time, as the comments at the fields
// promise them.
func TestRanges(t *testing.T) {
	check, slip := limittest.Ranges(t), limittest.Slip
	check(&tRef, 0.1, 30, slip(100, 3e4, "millivolts"))
	check(&tRefTol, 0, 20)
	check(&tRefPPM, 0, 2000)
	check(&tPin, -1e-3, 1e-3, slip(0.01, 1e4, "microamperes"))
	check(&tUpper, 0, 1e8)
	check(&tLower, 0, 1e8)
	check(&tResTol, 0, 20)
	check(&tResPPM, 0, 5000)
	check(&tTrack, 10, 1e7)
	check(&tTrkTol, 0, 30)
	check(&tTrkPPM, 0, 5000)
	check(&tCRV, 0, 20)
	check(&tTravel, 30, 20000, slip(1, 29, "turns"))
	check(&tInput, 0.1, 200)
}
