package sky

import (
	"math"

	"github.com/stationphysics/stationphysics/internal/numeric"
)

// A Split names a published way to part the global irradiance into its direct
// and diffuse shares when nothing else was measured.
type Split int

const (
	// ErbsDriesse is the correlation of Erbs with its two steps removed
	// (Driesse, Jensen & Perez 2024, Solar Energy 267:112093, appendix). The
	// zero value.
	ErbsDriesse Split = iota
	// Erbs is the correlation of Erbs, Klein & Duffie (1982, Solar Energy
	// 28:293), continuous to 0.0003 of the global irradiance.
	Erbs
	// BolandRidley is the logistic curve of one predictor (Boland, Ridley &
	// Brown 2008, Renewable Energy 33:575).
	BolandRidley
)

// DiffuseRatio is the diffuse share of the global irradiance at an hourly
// clearness, global over extraterrestrial on a level surface. NaN for a
// clearness that is negative or above 2 (an hour brightened by clouds can pass
// 1) and for an unknown Split.
func (m Split) DiffuseRatio(clearness float64) float64 {
	kt := clearness
	if !(kt >= 0 && kt <= 2) {
		return math.NaN()
	}
	switch m {
	case ErbsDriesse:
		switch {
		case kt <= 0.216:
			return 1 - 0.09*kt
		case kt <= 0.792:
			return 0.946296633571001 + kt*(-0.11390583806313881+kt*(4.246926715218317+kt*(-16.4705084246973+kt*12.26911439571261)))
		}
		return 0.165
	case Erbs:
		switch {
		case kt <= 0.22:
			return 1 - 0.09*kt
		case kt <= 0.80:
			return 0.9511 + kt*(-0.1604+kt*(4.388+kt*(-16.638+kt*12.336)))
		}
		return 0.165
	case BolandRidley:
		return 1 / (1 + math.Exp(8.645*(kt-0.613)))
	}
	return math.NaN()
}

// Light parts a global irradiance. The direct part is the remainder after the
// diffuse share, divided by the sine of the sun's elevation; near the horizon,
// where that division would magnify a small error without limit, it is held
// to what an atmosphere without haze and water vapour lets through, and the
// diffuse part takes up the rest. With the sun at or below the horizon all
// light is diffuse. NaN throughout for a position or an irradiance out of
// range.
func (m Split) Light(sun Sun, globalWPerM2 float64) Light {
	if !sun.holds() || !globalRange.Holds(globalWPerM2) {
		return noLight()
	}
	if sun.ElevationDeg <= 0 || globalWPerM2 == 0 {
		return Light{globalWPerM2, 0, globalWPerM2}
	}
	sinE := math.Sin(sun.ElevationDeg * rad)
	// The clearness may pass 2 in the first minutes of the day, when the light
	// of the sky outweighs that of the sun; all of it is diffuse then or the
	// bound decides, so the end of the curve serves.
	kt := min(globalWPerM2/(sun.extraterrestrial()*sinE), 2)
	kd := m.DiffuseRatio(kt)
	beam := globalWPerM2 * (1 - kd) / sinE
	beam = min(beam, beamBound(&sun, sinE))
	return Light{globalWPerM2, beam, globalWPerM2 - beam*sinE}
}

// beamBound is the direct irradiance below an atmosphere that only scatters
// by its own molecules: Linke turbidity 1 in the form of Kasten (1996, Solar
// Energy 56:239) with its Rayleigh optical depth. No measured beam passes it.
func beamBound(sun *Sun, sinE float64) float64 {
	return sun.extraterrestrial() * rayleighRatio(airMass(sun.ElevationDeg, sinE))
}

func rayleighRatio(mass float64) float64 { return numeric.Exp(-0.8662 * rayleighPath(mass)) }

// rayleighPath is the air mass times the integral Rayleigh optical depth of
// Kasten (1996).
func rayleighPath(m float64) float64 {
	if m <= 20 {
		return m / (6.6296 + m*(1.7513+m*(-0.1202+m*(0.0065-m*0.00013))))
	}
	return m / (10.4 + 0.718*m)
}
