package battery

import (
	"testing"

	"github.com/stationphysics/stationphysics/internal/limit/limittest"
)

// TestRanges states every range a second time, as the comments at the fields
// promise them.
func TestRanges(t *testing.T) {
	check, slip := limittest.Ranges(t), limittest.Slip
	check(&resistanceRange, 0, 20, slip(20.001, 2000, "milliohms"))
	check(&capacitorRange, 0, 1e8)
	check(&coldRange, 0, 10000, slip(10001, 100000, "joules per mole"))
	check(&coulombicRange, 0.3, 1, slip(30, 100, "percent"))
	check(&selfRange, 0, 60)
	check(&usableRange, 0, 1, slip(1.001, 150, "percent"))
	check(&parallelRange, 1, 100)
	check(&cellRange, 1, 32)
	check(&capacityRange, 0.03, 400, slip(400, 400_000, "milliampere-hours"))
	check(&survivalRange, -40, 85, slip(233, 358, "kelvins"), slip(85.001, 185, "degrees Fahrenheit"))
	check(&curveSoCRange, -0.2, 1.3, slip(1.31, 130, "percent"))
	check(&curveVoltRange, 0.5, 5, slip(5.001, 160, "volts of the whole pack"), slip(500, 5000, "millivolts"))
	check(&curvePerKRange, -0.002, 0.002, slip(-2, 2, "millivolts per kelvin"))
	check(&sightVRange, 0, 200, slip(200.001, 200_000, "millivolts"))
	check(&meterVRange, 0, 5)
	check(&sightARange, -1000, 1000)
	check(&gainRange, 0, 20)
	check(&offsetRange, 0, 1, slip(1.001, 1000, "milliamperes"))
	check(&ageRange, 0, 50)
	check(&startRange, 0, 1, slip(1.001, 100, "percent"))
	check(&doubtRange, 0, 1, slip(1.001, 100, "percent"))
	check(&maxARange, 0, 1000, slip(1000.001, 1e6, "milliamperes"))
	check(&seriesRange, 0, 100)
}
