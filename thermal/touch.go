package thermal

import (
	"math"

	"github.com/stationphysics/stationphysics/internal/limit"
)

// A TouchMaterial is the kind of a surface that may be touched.
type TouchMaterial int

// The materials of ISO 13732-1 with their own burn thresholds.
const (
	BareMetal TouchMaterial = iota // smooth and uncoated: heat sinks, tabs
	Ceramic                        // ceramics, glass and stone
	Plastic
	Wood
)

var (
	touchTime = limit.Range{Quantity: "contact time", Unit: "s", Min: 1, Max: 28800}
	touchKind = limit.Range{Quantity: "touch material number", Min: 0, Max: 3}
)

// Burn thresholds at contact times of 1 s (lower end of the band), 1 min, 10
// min and 8 h, after ISO 13732-1:2006, from memory.
var (
	touchLogS       = [...]float64{0, math.Log(60), math.Log(600), math.Log(28800)}
	touchThresholdC = [...][4]float64{
		BareMetal: {65, 51, 48, 43},
		Ceramic:   {80, 56, 48, 43},
		Plastic:   {85, 60, 48, 43},
		Wood:      {93, 60, 48, 43},
	}
)

// BurnThresholdC returns the surface temperature from which on a contact of 1 s
// to 8 h burns healthy adult skin, after ISO 13732-1:2006. The values at 1 s, 1
// min, 10 min and 8 h are quoted from memory, between them the temperature is
// taken linear over the logarithm of the time: check the standard before a
// product depends on it. It is no limit for a product, and children and slow
// reactions need a longer contact time than one expects. It is NaN outside 1 to
// 28800 s or for an unknown material.
func BurnThresholdC(m TouchMaterial, contactS float64) (thresholdC float64) {
	if CheckTouch(m, contactS) != nil {
		return nan
	}
	x := math.Log(contactS)
	t := &touchThresholdC[m]
	k := 1
	for x > touchLogS[k] { // ends, as x is at most the last of them
		k++
	}
	f := (x - touchLogS[k-1]) / (touchLogS[k] - touchLogS[k-1])
	return t[k-1] + f*(t[k]-t[k-1])
}

// CheckTouch explains a NaN of BurnThresholdC with a
// *stationphysics.RangeError, else it is nil.
func CheckTouch(m TouchMaterial, contactS float64) error {
	return limit.First(touchKind.Check(float64(m)), touchTime.Check(contactS))
}
