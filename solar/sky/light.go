package sky

import (
	"math"

	"github.com/stationphysics/stationphysics"
	"github.com/stationphysics/stationphysics/internal/limit"
)

// Light is the solar irradiance at a place, in the three parts that stations
// and data files give.
type Light struct {
	GlobalWPerM2     float64 // from the whole sky on a level surface
	BeamNormalWPerM2 float64 // direct, on a surface that faces the sun
	DiffuseWPerM2    float64 // on a level surface without the direct part
}

var (
	globalRange  = limit.Range{Quantity: "global irradiance", Unit: "W/m²", Min: 0, Max: 2500}
	beamRange    = limit.Range{Quantity: "beam irradiance", Unit: "W/m²", Min: 0, Max: 1500}
	diffuseRange = limit.Range{Quantity: "diffuse irradiance", Unit: "W/m²", Min: 0, Max: 1500}
)

// Check returns a *stationphysics.RangeError for a part that is negative, NaN
// or beyond anything measured on earth, and a *stationphysics.ConflictError if
// the diffuse part exceeds the global. Light that fails the range check makes
// every result NaN.
func (l Light) Check() error {
	if err := limit.First(globalRange.Check(l.GlobalWPerM2), beamRange.Check(l.BeamNormalWPerM2), diffuseRange.Check(l.DiffuseWPerM2)); err != nil {
		return err
	}
	// A rounding of the last printed digit is not a contradiction.
	if l.DiffuseWPerM2 > l.GlobalWPerM2+0.01 {
		return diffuseAboveGlobal(l)
	}
	return nil
}

func diffuseAboveGlobal(l Light) error {
	return &stationphysics.ConflictError{
		Quantities: []string{"global irradiance", "diffuse irradiance"},
		Values:     []float64{l.GlobalWPerM2, l.DiffuseWPerM2},
		Units:      []string{"W/m²", "W/m²"},
		Rule:       "the diffuse part cannot exceed the global",
	}
}

func (l *Light) holds() bool {
	return globalRange.Holds(l.GlobalWPerM2) && beamRange.Holds(l.BeamNormalWPerM2) && diffuseRange.Holds(l.DiffuseWPerM2)
}

func noLight() Light {
	return Light{math.NaN(), math.NaN(), math.NaN()}
}
