package bus

import (
	"testing"

	"github.com/stationphysics/stationphysics/internal/limit/limittest"
)

// TestRanges states every range a second time, as the comments at the fields
// promise them.
func TestRanges(t *testing.T) {
	check, slip := limittest.Ranges(t), limittest.Slip
	check(&ndUpper, 1, 1e9)
	check(&ndLower, 1, 1e9)
	check(&ndPinC, 0, 1e-3, slip(0.01, 1e6, "nanofarads or microfarads"))
	check(&ndLeak, 0, 1e-3)
	check(&ndSampR, 0, 1e6)
	check(&ndSampC, 1e-15, 1e-9, slip(0.1, 1000, "picofarads"))
	check(&ndSampS, 1e-9, 1, slip(1.5, 1e4, "clock cycles or microseconds"))
	check(&ndBits, 6, 24)
	check(&ndFull, 0.1, 30, slip(100, 30000, "millivolts"))
	check(&ndClamp, 0, 1)
	check(&ndLargest, 0, 0.1, slip(0.2, 100, "milliamperes"))
	check(&ndSupply, 0.5, 30, slip(500, 30000, "millivolts"))
	check(&ndTol, 0, 20)
	check(&ndIn, -200, 200)
	check(&ctSupply, 1, 30, slip(1000, 30000, "millivolts"))
	check(&ctPull, 10, 1e7)
	check(&ctSeries, 0, 1e6)
	check(&ctFarad, 0, 1e-3, slip(0.01, 1e6, "nanofarads or microfarads"))
	check(&ctCable, 0, 1e-6, slip(0.5, 1e6, "picofarads"))
	check(&ctLow, 0.05, 0.95)
	check(&ctHigh, 0.05, 0.95)
	check(&ctOhm, 0, 1e5)
	check(&puSupply, 1, 12, slip(1000, 12000, "millivolts"))
	check(&puFarad, 1e-12, 1e-8, slip(0.5, 1e4, "picofarads"))
	check(&puOhm, 10, 1e7)
	check(&puMode, 0, 2)
	check(&puCable, 1e-12, 1e-9, slip(0.5, 1000, "picofarads per metre"))
}
