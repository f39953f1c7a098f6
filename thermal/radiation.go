package thermal

import "github.com/stationphysics/stationphysics/internal/limit"

var (
	radiantTemp = limit.Range{Quantity: "radiating temperature", Unit: "°C", Min: -150, Max: 1000}
	outerFilm   = limit.Range{Quantity: "surface coefficient", Unit: "W/(m²·K)", Min: 0.5, Max: 500}
	longwave    = limit.Range{Quantity: "long-wave term", Unit: "K", Min: 0, Max: 30}
)

// RadiationWPerM2K returns the coefficient of radiation between a small grey
// surface and large surroundings,
//
//	h = ε σ (Ts² + Tr²)(Ts + Tr), temperatures in kelvins,
//
// which times the difference Ts - Tr is the exact exchange. The emissivity is 0
// to 1, the temperatures -150 to 1000 °C; NaN outside.
func RadiationWPerM2K(emissivity, surfaceC, surroundingsC float64) float64 {
	if !fraction.Holds(emissivity) || !radiantTemp.Holds(surfaceC) || !radiantTemp.Holds(surroundingsC) {
		return nan
	}
	ts, tr := surfaceC+zeroC, surroundingsC+zeroC
	return emissivity * stefanBoltzmann * (ts*ts + tr*tr) * (ts + tr)
}

// SolAir describes a sunlit surface for SolAirC.
type SolAir struct {
	AirC        float64 // -90 to 70 °C
	Absorptance float64 // for sunlight, 0 to 1
	SunWPerM2   float64 // all sunlight on the surface, 0 to 1600 W/m²
	FilmWPerM2K float64 // convection and radiation together, 0.5 to 500 W/(m² K); about 17 outdoors in summer
	// LongwaveK is ε·ΔR/ho, by how much radiation to a cold sky lowers the
	// result, 0 to 30 K: 4 K for a horizontal surface and 0 for a vertical one
	// (ASHRAE Fundamentals ch. 18).
	LongwaveK float64
}

// SolAirC returns the sol-air temperature, the air temperature that without sun
// would heat a surface as much as the actual air and sun together (ASHRAE
// Fundamentals ch. 18 eq. 29):
//
//	te = ta + α·I/ho - ε·ΔR/ho
//
// A perfectly insulated surface takes this temperature. It is NaN outside the
// ranges of the fields.
func SolAirC(s SolAir) (solAirC float64) {
	if s.Check() != nil {
		return nan
	}
	return s.AirC + s.Absorptance*s.SunWPerM2/s.FilmWPerM2K - s.LongwaveK
}

// Check explains a NaN of SolAirC with a *stationphysics.RangeError, else
// it is nil.
func (s SolAir) Check() error {
	return limit.First(boxAir.Check(s.AirC), fraction.Named("solar absorptance").Check(s.Absorptance),
		boxSun.Check(s.SunWPerM2), outerFilm.Check(s.FilmWPerM2K), longwave.Check(s.LongwaveK))
}
