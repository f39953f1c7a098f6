package thermal

import (
	"github.com/stationphysics/stationphysics/internal/limit"
	"github.com/stationphysics/stationphysics/internal/numeric"
)

// A PlateSink is an upright flat plate as a heat sink, warm all over: a piece of
// sheet metal thick enough that the part's end of it is not much hotter than
// the rest.
type PlateSink struct {
	HeightM, WidthM float64 // 1 mm to 2 m each
	BothSides       bool    // air passes on both sides; a plate against a wall has one
	Emissivity      float64 // 0 to 1: 0.05 to 0.1 bare aluminium, 0.8 to 0.9 anodised or painted
	AirC            float64 // air and surroundings, -90 to 70 °C
	PowerW          float64 // heat it must shed, above 0 up to 1e4 W
}

var plateSize = limit.Range{Quantity: "plate size", Unit: "m", Min: 1e-3, Max: 2, Slips: []limit.Slip{{Min: 2, Max: 2000, Looks: "millimetres"}}}

// Check explains a NaN of PlateSinkKPerW with a
// *stationphysics.RangeError. It returns nil for a plate in range that is too
// small for its power, which would be more than 300 K above the air.
func (s PlateSink) Check() error {
	p := boxPower.Named("power")
	p.Min = 1e-9
	return limit.First(plateSize.Check(s.HeightM), plateSize.Check(s.WidthM), fraction.Named("emissivity").Check(s.Emissivity),
		boxAir.Check(s.AirC), p.Check(s.PowerW))
}

// PlateSinkKPerW returns the resistance from plate to air at the power it must
// shed: convection after Churchill and Chu (all Ra) and radiation over the same
// area, which settle at the rise where both together carry the power. The
// resistance falls as the power grows; a sink's data at 50 K do not hold at 10
// K. It is NaN if Check objects, or if the plate would be more than
// 300 K above the air.
func PlateSinkKPerW(s PlateSink) (sinkKPerW float64) {
	if s.Check() != nil {
		return nan
	}
	area := s.HeightM * s.WidthM
	if s.BothSides {
		area *= 2
	}
	riseK, ok := numeric.Root(func(riseK float64) float64 {
		film := AirAt(s.AirC+riseK/2, 1013.25).VerticalPlateWPerM2K(s.HeightM, riseK)
		return area*(film+RadiationWPerM2K(s.Emissivity, s.AirC+riseK, s.AirC))*riseK - s.PowerW
	}, 0, 300, 0) // to rounding: a microwatt lifts a large plate by less than any fixed step
	if !ok {
		return nan
	}
	return riseK / s.PowerW
}
