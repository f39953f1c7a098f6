package switching

import (
	"testing"

	"github.com/stationphysics/stationphysics/internal/limit/limittest"
)

// TestRanges states every range a second time, as the comments at the fields
// promise them.
func TestRanges(t *testing.T) {
	check, slip := limittest.Ranges(t), limittest.Slip
	check(&swOut, 0.5, 100, slip(500, 1e5, "millivolts"))
	check(&swFreq, 1e3, 1e7, slip(10, 999, "kilohertz"), slip(0.1, 9.9, "megahertz"))
	check(&swInd, 1e-8, 0.1, slip(0.2, 1e4, "microhenries"))
	check(&swCoil, 0, 100)
	check(&swOn, 0, 100)
	check(&swRect, 0, 100)
	check(&swRecV, 0, 2, slip(100, 2000, "millivolts"))
	check(&swEdge, 0, 1e-5, slip(0.5, 1e4, "nanoseconds"))
	check(&swGate, 0, 1e-5, slip(0.1, 1e4, "nanocoulombs"))
	check(&swGatV, 0, 50)
	check(&swIdle, 0, 0.1, slip(0.2, 1000, "milliamperes or microamperes"))
	check(&swCap, 0, 1, slip(1.5, 1e5, "microfarads"))
	check(&swEsr, 0, 100)
	check(&swDuty, 0.1, 1, slip(10, 100, "per cent"))
	check(&swLim, 0.001, 100)
	check(&swMax, 0.5, 150)
	check(&swMin, 0, 100)
	check(&swPass, 0, 5)
}
