package thermal

import (
	"math"

	"github.com/stationphysics/stationphysics/internal/limit"
)

// Air holds the properties of air that convection depends on. Take them from
// AirAt, or fill in the values of a table.
type Air struct {
	ConductivityWPerMK       float64 // thermal conductivity k
	KinematicViscosityM2PerS float64 // ν
	DiffusivityM2PerS        float64 // thermal diffusivity α
	ExpansionPerK            float64 // β; 1/T in kelvins for an ideal gas
}

var (
	filmTemp     = limit.Range{Quantity: "film temperature", Unit: "°C", Min: -100, Max: 400, Slips: []limit.Slip{{Min: 400, Max: 700, Looks: "kelvins"}}}
	filmPressure = limit.Range{Quantity: "air pressure", Unit: "hPa", Min: 300, Max: 1100,
		Slips: []limit.Slip{{Min: 30000, Max: 110000, Looks: "pascals"}, {Min: 32.5, Max: 110, Looks: "kilopascals"}, {Min: 17, Max: 32.5, Looks: "inches of mercury"}}}
	surfaceSize = limit.Range{Quantity: "surface size", Unit: "m", Min: 1e-4, Max: 100}
	surfaceRise = limit.Range{Quantity: "surface rise", Unit: "K", Min: -500, Max: 500}
)

// AirAt returns the properties of dry air at the film temperature, the mean of
// surface and air, -100 to 400 °C, and a pressure of 300 to 1100 hPa; outside
// it returns NaN in every field. Viscosity and conductivity follow the U.S.
// Standard Atmosphere 1976, equations 51 and 53, the density is that of an
// ideal gas with R = 287.053 J/(kg K), and the specific heat is 1006 J/(kg K).
// Against Incropera's Table A.4 at 250 to 400 K the properties are within 1.5 %,
// against the reference equations of Lemmon and Jacobsen (2004) too, but for
// ν/α, which is 2.3 % low at 400 K.
func AirAt(filmC, pressureHPa float64) Air {
	if !filmTemp.Holds(filmC) || !filmPressure.Holds(pressureHPa) {
		return Air{nan, nan, nan, nan}
	}
	const gasJPerKgK, heatJPerKgK = 287.053, 1006
	t := filmC + zeroC
	t32 := t * math.Sqrt(t)
	k := 2.64638e-3 * t32 / (t + 245.4*math.Exp(-12*math.Ln10/t))
	rho := pressureHPa * 100 / (gasJPerKgK * t)
	return Air{
		ConductivityWPerMK:       k,
		KinematicViscosityM2PerS: 1.458e-6 * t32 / ((t + 110.4) * rho),
		DiffusivityM2PerS:        k / (rho * heatJPerKgK),
		ExpansionPerK:            1 / t,
	}
}

// rayleighPerK returns the Rayleigh number per kelvin of temperature difference
// for a length.
func (a Air) rayleighPerK(lengthM float64) float64 {
	return gravityMPerS2 * a.ExpansionPerK * lengthM * lengthM * lengthM / (a.KinematicViscosityM2PerS * a.DiffusivityM2PerS)
}

// prandtlTerm returns 1 + (c/Pr)^(9/16), which Churchill and Chu use to cover
// all Prandtl numbers.
func (a Air) prandtlTerm(c float64) float64 {
	return 1 + math.Pow(c*a.DiffusivityM2PerS/a.KinematicViscosityM2PerS, 9.0/16)
}

func (a Air) film(nusselt, lengthM float64) float64 { return nusselt * a.ConductivityWPerMK / lengthM }

func convects(lengthM, riseK float64) bool {
	return surfaceSize.Holds(lengthM) && surfaceRise.Holds(riseK)
}

// VerticalPlateWPerM2K returns the mean coefficient of natural convection from
// a vertical surface of a height, 0.1 mm to 100 m, that is warmer or colder
// than the air by riseK, up to 500 K; NaN outside. Churchill and Chu 1975 for
// laminar and turbulent flow, Ra up to 1e12:
//
//	Nu = (0.825 + 0.387 Ra^(1/6) / [1 + (0.492/Pr)^(9/16)]^(8/27))²
//
// At a rise of 0 it gives the conduction limit of the equation. Expect 10 to
// 20 %; below Ra = 1e9 VerticalPlateLaminarWPerM2K is the better one.
func (a Air) VerticalPlateWPerM2K(heightM, riseK float64) float64 {
	if !convects(heightM, riseK) {
		return nan
	}
	ra := a.rayleighPerK(heightM) * math.Abs(riseK)
	s := 0.825 + 0.387*math.Pow(ra, 1.0/6)/math.Pow(a.prandtlTerm(0.492), 8.0/27)
	return a.film(s*s, heightM)
}

// VerticalPlateLaminarWPerM2K returns the coefficient of VerticalPlateWPerM2K
// by the equation of Churchill and Chu 1975 for laminar flow, and NaN above
// Ra = 1e9, where it no longer holds:
//
//	Nu = 0.68 + 0.670 Ra^(1/4) / [1 + (0.492/Pr)^(9/16)]^(4/9)
func (a Air) VerticalPlateLaminarWPerM2K(heightM, riseK float64) float64 {
	if !convects(heightM, riseK) {
		return nan
	}
	ra := a.rayleighPerK(heightM) * math.Abs(riseK)
	if !(ra <= 1e9) {
		return nan
	}
	return a.film(0.68+0.670*math.Pow(ra, 0.25)/math.Pow(a.prandtlTerm(0.492), 4.0/9), heightM)
}

// HorizontalCylinderWPerM2K returns the mean coefficient of natural convection
// around a horizontal cylinder of a diameter, 0.1 mm to 100 m, for a rise up to
// ±500 K; NaN outside. Churchill and Chu 1975, Ra up to 1e12:
//
//	Nu = (0.60 + 0.387 Ra^(1/6) / [1 + (0.559/Pr)^(9/16)]^(8/27))²
func (a Air) HorizontalCylinderWPerM2K(diameterM, riseK float64) float64 {
	if !convects(diameterM, riseK) {
		return nan
	}
	ra := a.rayleighPerK(diameterM) * math.Abs(riseK)
	s := 0.60 + 0.387*math.Pow(ra, 1.0/6)/math.Pow(a.prandtlTerm(0.559), 8.0/27)
	return a.film(s*s, diameterM)
}

// HorizontalPlateWPerM2K returns the mean coefficient of natural convection
// from one side of a horizontal plate; lengthM is its area over its perimeter.
// With riseK above 0 and facingUp, or below 0 and facing down, the air is free
// to leave:
//
//	Nu = 0.54 Ra^(1/4), 1e4 ≤ Ra < 1e7;  Nu = 0.15 Ra^(1/3), 1e7 ≤ Ra ≤ 1e11
//
// otherwise it is held under the plate:
//
//	Nu = 0.27 Ra^(1/4), 1e5 ≤ Ra ≤ 1e10
//
// (McAdams 1954, Lloyd and Moran 1974, as in Incropera 6e eqs. 9.30 to 9.32).
// It is NaN outside those Rayleigh numbers, for a length outside 0.1 mm to 100
// m or a rise outside ±500 K.
func (a Air) HorizontalPlateWPerM2K(lengthM, riseK float64, facingUp bool) float64 {
	if !convects(lengthM, riseK) {
		return nan
	}
	ra := a.rayleighPerK(lengthM) * math.Abs(riseK)
	free := facingUp == (riseK > 0)
	switch {
	case free && ra >= 1e4 && ra < 1e7:
		return a.film(0.54*math.Pow(ra, 0.25), lengthM)
	case free && ra >= 1e7 && ra <= 1e11:
		return a.film(0.15*math.Cbrt(ra), lengthM)
	case !free && ra >= 1e5 && ra <= 1e10:
		return a.film(0.27*math.Pow(ra, 0.25), lengthM)
	}
	return nan
}
