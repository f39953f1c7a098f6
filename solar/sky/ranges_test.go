package sky

import (
	"testing"

	"github.com/stationphysics/stationphysics/internal/limit/limittest"
)

// TestRanges states every range a second time, as the comments at the fields
// promise them.
func TestRanges(t *testing.T) {
	check, slip := limittest.Ranges(t), limittest.Slip
	check(&monthClearness, 0.12, 0.80)
	check(&probRange, 0, 1, slip(1.01, 100, "percent"))
	check(&hourAngleRange, -180, 180, slip(180, 360, "counted from midnight"))
	check(&sunsetRange, 0, 180)
	check(&clearHeight, -500, 9000, slip(9000, 30000, "feet"))
	check(&linkeRange, 1, 12)
	check(&clearPressure, 300, 1100, slip(30000, 110000, "pascals"))
	check(&waterRange, 0, 10, slip(10, 100, "millimetres"))
	check(&ozoneRange, 0, 0.6, slip(60, 600, "Dobson units"))
	check(&aerosolRange, 0, 2)
	check(&asymmetryRange, 0.5, 1)
	check(&dewRange, -60, 35, slip(35, 95, "degrees Fahrenheit"), slip(213, 308.15, "kelvins"))
	check(&ashraeB, 0, 0.5)
	check(&ruizA, 0.05, 1)
	check(&glassN, 1, 3)
	check(&glassK, 0, 100)
	check(&glassL, 0, 50)
	check(&aoiRange, -180, 180)
	check(&luxRange, 0, 200000)
	check(&luxTopRange, 1, 200000)
	check(&lengthRange, 1, 10800)
	check(&globalRange, 0, 2500)
	check(&beamRange, 0, 1500)
	check(&diffuseRange, 0, 1500)
	check(&tiltRange, 0, 180)
	check(&facingRange, -360, 720)
	check(&albedoRange, 0, 1, slip(1.01, 100, "percent"))
	check(&soilingRange, 0, 100)
	check(&snowRange, 0, 100)
	check(&modelRange, 0, 3)
	check(&sunElevation, -90, 90)
	check(&sunAzimuth, -360, 720)
	check(&sunDistance, 0.95, 1.05, slip(1.4e8, 1.6e8, "kilometres"), slip(1.4e11, 1.6e11, "metres"), slip(0, 0, "left out"))
	check(&dailyGlobal, 0, 15, slip(15, 50, "megajoules"), slip(50, 500, "the sum of the month, or watts of the mean"), slip(500, 15000, "watt-hours"))
	check(&meanTemp, -90, 60, slip(183, 333.15, "kelvins"), slip(60, 140, "degrees Fahrenheit"))
	check(&dailySpread, 0, 15)
	check(&windSpeed, 0, 60, slip(60, 300, "kilometres an hour"))
	check(&syntheticYrs, 1901, 2199)
}
