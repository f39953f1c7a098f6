package sizing

import (
	"testing"

	"github.com/stationphysics/stationphysics/internal/limit/limittest"
)

// TestRanges states every range a second time, as the comments at the fields
// promise them.
func TestRanges(t *testing.T) {
	check, slip := limittest.Ranges(t), limittest.Slip
	check(&tempRange, -40, 85, slip(233, 358, "kelvins"))
	check(&healthRange, 0.3, 1, slip(30, 100, "percent"))
	check(&reserveRange, 0, 0.95, slip(1, 95, "percent"))
	check(&socRange, 0, 1, slip(1.001, 100, "percent"))
	check(&loadRange, 1e-4, 1e5)
	check(&capacityRange, 0.03, 40000)
	check(&currentRange, 1e-6, 10000)
	check(&cutoffRange, 0, 200)
	check(&peukertRange, 1, 2)
	check(&ratedHRange, 0.1, 200)
	check(&loadAhRange, 1e-5, 1e5)
	check(&daysRange, 0.1, 365)
	check(&depthRange, 0.05, 1, slip(5, 100, "percent"))
	check(&factorRange, 0.05, 1.2, slip(5, 120, "percent"))
	check(&effRange, 0.3, 1, slip(30, 100, "percent"))
	check(&marginRange, 0, 1, slip(1.001, 100, "percent"))
	check(&cellAhRange, 0.03, 400, slip(400.001, 400_000, "milliampere-hours"))
	check(&fuseLoadRange, 0.001, 1000, slip(1000.001, 1e6, "milliamperes"))
	check(&wireRange, 0.01, 1000)
	check(&wireOhmRange, 0, 10, slip(10.001, 10000, "milliohms"))
	check(&deratingRange, 0.3, 1, slip(30, 100, "percent"))
	check(&ratingRange, 0.01, 1000)
}
