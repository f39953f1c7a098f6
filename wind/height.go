package wind

import (
	"math"

	"github.com/stationphysics/stationphysics"
	"github.com/stationphysics/stationphysics/internal/limit"
)

var (
	heightRange    = limit.Range{Quantity: "height above the ground", Unit: "m", Min: 0.1, Max: 200}
	roughnessRange = limit.Range{Quantity: "roughness length", Unit: "m", Min: 1e-5, Max: 3}
)

// Roughness lengths in metres of the classes of Davenport as WMO-No. 8, part I
// ch. 5, annex, gives them (from memory).
const (
	OpenWaterM   = 0.0002 // open sea, 5 km of it
	SmoothM      = 0.005  // snow, mud flats
	OpenM        = 0.03   // grass, few isolated obstacles: the reference exposure
	RoughlyOpenM = 0.10   // low crops, obstacles at 20 heights
	RoughM       = 0.25   // tall crops, obstacles at 15 heights
	VeryRoughM   = 0.5    // bushes, obstacles at 10 heights
	ClosedM      = 1.0    // forest, suburbs
)

// HeightRatio is the speed at one height over that at another by the
// logarithmic profile, ln(to/z0)/ln(from/z0) (WMO-No. 8, part I ch. 5), for
// neutral air over even ground: by night and among obstacles it does not hold.
// Heights 0.1..200 m, roughness 1e-5..3 m, heights at least three times the
// roughness, below which no wind blows in the mean. NaN outside; CheckHeight
// says why.
func HeightRatio(fromM, toM, roughnessM float64) float64 {
	if CheckHeight(fromM, toM, roughnessM) != nil {
		return math.NaN()
	}
	return math.Log(toM/roughnessM) / math.Log(fromM/roughnessM)
}

// CheckHeight explains a NaN of HeightRatio. It returns a
// *stationphysics.RangeError, a *stationphysics.ConflictError for a height below
// three roughness lengths, or nil.
func CheckHeight(fromM, toM, roughnessM float64) error {
	if err := limit.First(heightRange.Check(fromM), heightRange.Check(toM), roughnessRange.Check(roughnessM)); err != nil {
		return err
	}
	if low := math.Min(fromM, toM); low < 3*roughnessM {
		return &stationphysics.ConflictError{
			Quantities: []string{"height", "roughness length"}, Values: []float64{low, roughnessM}, Units: []string{"m", "m"},
			Rule: "the profile begins at three roughness lengths",
		}
	}
	return nil
}

// An Exposure is how an obstacle stands to a wind sensor.
type Exposure struct {
	HeightsRatio float64 // distance over the obstacle's height above the ground
	Class        int     // siting class for wind by distance alone, 1 best, 5 worst
	Sheltered    bool    // closer than ten heights: the reading is the obstacle's, not the place's
}

// Expose judges one obstacle by its distance, 0..10000 m, and height, above 0
// to 500 m: classes 1 to 4 ask for 30, 10, 5 and 2.5 heights (ISO 19289:2015,
// from memory). The worst obstacle decides. The error is a
// *stationphysics.RangeError.
func Expose(distanceM, obstacleM float64) (Exposure, error) {
	d := limit.Range{Quantity: "distance of the obstacle", Unit: "m", Min: 0, Max: 10000}
	h := limit.Range{Quantity: "height of the obstacle", Unit: "m", Min: 0.1, Max: 500}
	if err := limit.First(d.Check(distanceM), h.Check(obstacleM)); err != nil {
		return Exposure{}, err
	}
	e := Exposure{HeightsRatio: distanceM / obstacleM, Class: 5}
	for i, n := range [...]float64{30, 10, 5, 2.5} {
		if e.HeightsRatio >= n {
			e.Class = i + 1
			break
		}
	}
	e.Sheltered = e.HeightsRatio < 10
	return e, nil
}
