package transient

import (
	"testing"

	"github.com/stationphysics/stationphysics/internal/limit/limittest"
)

// TestRanges states every range a second time, as the comments at the fields
// promise them.
func TestRanges(t *testing.T) {
	check, slip := limittest.Ranges(t), limittest.Slip
	check(&stageCapacity, 1e-12, 1e9)
	check(&termTau, 1e-12, 1e12)
	check(&nodeCapacity, 0, 1e9)
	check(&stepTime, 0, 1e12)
	check(&pulseTime, 1e-12, 1e12)
	check(&recordTime, -1e9, 1e9)
	check(&partTemp, -100, 400, slip(400, 1000, "kelvins or degrees Fahrenheit"))
	check(&ambientTemp, -100, 200, slip(200, 473, "kelvins"))
	check(&heatPower, 0, 1e5, slip(-1e5, 0, "a flow of heat with the opposite sign"))
	check(&someResistance, 1e-9, 1e6)
}
