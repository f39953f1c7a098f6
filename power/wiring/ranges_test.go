package wiring

import (
	"testing"

	"github.com/stationphysics/stationphysics/internal/limit/limittest"
)

// TestRanges states every range a second time, as the comments at the fields
// promise them.
func TestRanges(t *testing.T) {
	check, slip := limittest.Ranges(t), limittest.Slip
	check(&fsRated, 0.001, 100, slip(101, 1e5, "milliamperes"))
	check(&fsCont, 0.3, 1, slip(30, 100, "per cent"))
	check(&fsTemp, -60, 150)
	check(&fsRatio, 0.01, 2, slip(10, 200, "per cent"))
	check(&fsMelt, 0, 1e6)
	check(&fsVolt, 1, 1000)
	check(&fsBreak, 1, 1e5)
	check(&huFarad, 1e-9, 1000, slip(1001, 1e6, "microfarads"))
	check(&huEsr, 0, 1000)
	check(&huSource, 0.1, 200)
	check(&huOhm, 0, 1e9)
	check(&huBurstA, 0, 100, slip(101, 1e5, "milliamperes"))
	check(&huBurstS, 0, 1e5)
	check(&hpSource, 0.1, 200)
	check(&hpOhm, 1e-6, 1000)
	check(&hpHenry, 1e-10, 1, slip(1.5, 1e5, "microhenries or nanohenries"))
	check(&hpFarad, 1e-12, 1, slip(1.5, 1e5, "microfarads"))
	check(&wGauge, -3, 40)
	check(&wArea, 0.001, 500)
}
