package sky

import (
	"math"

	"github.com/stationphysics/stationphysics/internal/limit"
	"github.com/stationphysics/stationphysics/internal/numeric"
)

var (
	clearHeight    = limit.Range{Quantity: "height", Unit: "m", Min: -500, Max: 9000, Slips: []limit.Slip{{Min: 9000, Max: 30000, Looks: "feet"}}}
	linkeRange     = limit.Range{Quantity: "Linke turbidity", Min: 1, Max: 12}
	clearPressure  = limit.Range{Quantity: "station pressure", Unit: "hPa", Min: 300, Max: 1100, Slips: []limit.Slip{{Min: 30000, Max: 110000, Looks: "pascals"}}}
	waterRange     = limit.Range{Quantity: "precipitable water", Unit: "cm", Min: 0, Max: 10, Slips: []limit.Slip{{Min: 10, Max: 100, Looks: "millimetres"}}}
	ozoneRange     = limit.Range{Quantity: "ozone column", Unit: "cm", Min: 0, Max: 0.6, Slips: []limit.Slip{{Min: 60, Max: 600, Looks: "Dobson units"}}}
	aerosolRange   = limit.Range{Quantity: "aerosol optical depth", Min: 0, Max: 2}
	asymmetryRange = limit.Range{Quantity: "forward scattering of the aerosol", Min: 0.5, Max: 1}
)

// HaurwitzWPerM2 is the global irradiance under a cloudless sky of average
// haze, 1098 sin h exp(−0.059/sin h), from the sun's elevation alone (Haurwitz
// 1945, Journal of Meteorology 2:154, with the coefficients of his 1946 paper,
// 3:123). 0 for a sun at or below the horizon, NaN outside −90..90°.
func HaurwitzWPerM2(sunElevationDeg float64) float64 {
	if !sunElevation.Holds(sunElevationDeg) {
		return math.NaN()
	}
	if sunElevationDeg <= 0 {
		return 0
	}
	s := math.Sin(sunElevationDeg * rad)
	return 1098 * s * math.Exp(-0.059/s)
}

// CheckClearSky explains the NaN of ClearSky: a *stationphysics.RangeError for
// a height outside −500..9000 m or a turbidity outside 1..12.
func CheckClearSky(heightM, linkeTurbidity float64) error {
	return limit.First(clearHeight.Check(heightM), linkeRange.Check(linkeTurbidity))
}

// ClearSky is the light of a cloudless sky by Ineichen & Perez (2002, Solar
// Energy 73:151) from the height above sea level and the Linke turbidity for
// an air mass of 2: 2 very clean and cold, 3 clean and warm, 4 to 5 damp or
// hazy. No light with the sun at or below the horizon; NaN for an input that
// Check or CheckClearSky refuses.
func ClearSky(sun Sun, heightM, linkeTurbidity float64) Light {
	if !sun.holds() || !clearHeight.Holds(heightM) || !linkeRange.Holds(linkeTurbidity) {
		return noLight()
	}
	if sun.ElevationDeg <= 0 {
		return Light{}
	}
	e0, sinE := sun.extraterrestrial(), math.Sin(sun.ElevationDeg*rad)
	am := airMass(sun.ElevationDeg, sinE) * standardPressureHPa(heightM) / 1013.25
	fh1, fh2 := math.Exp(-heightM/8000), math.Exp(-heightM/1250)
	cg1, cg2 := 5.09e-5*heightM+0.868, 3.92e-5*heightM+0.0387
	ghi := cg1 * e0 * sinE * math.Exp(-cg2*am*(fh1+fh2*(linkeTurbidity-1)))
	beam := e0 * (0.664 + 0.163/fh1) * math.Exp(-0.09*am*(linkeTurbidity-1))
	// The diffuse light is at least this share of the global (their eq. for the
	// lower end of the turbidity, where the beam's fit is too high).
	share := 1 - (0.1-0.2*math.Exp(-linkeTurbidity))/(0.1+0.882/fh1)
	beam = min(beam, ghi*max(0, share)/sinE)
	return Light{ghi, beam, ghi - beam*sinE}
}

// standardPressureHPa is the pressure of the International Standard Atmosphere
// (ISO 2533) at a geometric height, for the air mass only.
func standardPressureHPa(heightM float64) float64 {
	return 1013.25 * math.Pow(1-0.0065*heightM/288.15, 9.80665/(287.05287*0.0065))
}

// Air is the composition of the air for the clear sky of Bird.
type Air struct {
	PressureHPa     float64 // station pressure, 300..1100
	PrecipitableCm  float64 // water vapour above the place as depth of water, 0..10; see PrecipitableWaterCm
	OzoneCm         float64 // ozone column at standard conditions, 0..0.6; 0.3 is usual
	Aerosol380Ratio float64 // optical depth of the aerosol at 380 nm, 0..2
	Aerosol500Ratio float64 // optical depth of the aerosol at 500 nm, 0..2
	ForwardRatio    float64 // share of the aerosol's scattering that goes forward, 0.5..1; 0.85 is usual
	GroundAlbedo    float64 // reflectance of the ground, 0..1
}

// Check returns a *stationphysics.RangeError for the first field out of range.
func (a Air) Check() error {
	return limit.First(clearPressure.Check(a.PressureHPa), waterRange.Check(a.PrecipitableCm), ozoneRange.Check(a.OzoneCm),
		aerosolRange.Check(a.Aerosol380Ratio), aerosolRange.Check(a.Aerosol500Ratio), asymmetryRange.Check(a.ForwardRatio), albedoRange.Check(a.GroundAlbedo))
}

// ClearSky is the light of a cloudless sky by Bird & Hulstrom (1981, SERI/
// TR-642-761), with the air mass of Kasten & Young. No light with the sun at or below the horizon; NaN for a
// position or air that its Check refuses.
//
// The polynomial of the report for scattering by the air itself has its least
// transmittance at an air mass of 14.1 and then rises, past 1 on the horizon,
// so that the beam would grow towards sunset. Beyond that air mass, with the
// sun below about 3.4°, the least value is kept.
func (a Air) ClearSky(sun Sun) Light {
	if !sun.holds() || a.Check() != nil {
		return noLight()
	}
	if sun.ElevationDeg <= 0 {
		return Light{}
	}
	e0, sinE := sun.extraterrestrial(), math.Sin(sun.ElevationDeg*rad)
	am := airMass(sun.ElevationDeg, sinE)
	amp := am * a.PressureHPa / 1013.25
	// The report's transmittances, in its order: air, ozone, mixed gases, water
	// vapour, aerosol and the aerosol's absorption.
	ampR := min(amp, birdTurningAirMass)
	air := math.Exp(-0.0903 * math.Pow(ampR, 0.84) * (1 + ampR - math.Pow(ampR, 1.01)))
	oz := a.OzoneCm * am
	ozone := 1 - 0.1611*oz*math.Pow(1+139.48*oz, -0.3035) - 0.002715*oz/(1+oz*(0.044+0.0003*oz))
	gases := math.Exp(-0.0127 * math.Pow(amp, 0.26))
	w := a.PrecipitableCm * am
	water := 1 - 2.4959*w/(math.Pow(1+79.034*w, 0.6828)+6.385*w)
	tau := 0.2758*a.Aerosol380Ratio + 0.35*a.Aerosol500Ratio
	aerosol := math.Exp(-math.Pow(tau, 0.873) * (1 + tau - math.Pow(tau, 0.7088)) * math.Pow(am, 0.9108))
	// What is absorbed cannot exceed what is absorbed and scattered together; on
	// the horizon the line of the report does.
	absorbed := max(1-0.1*(1-am+math.Pow(am, 1.06))*(1-aerosol), aerosol)
	skyAlbedo := 0.0685 + (1-a.ForwardRatio)*(1-aerosol/absorbed)

	beam := e0 * 0.9662 * aerosol * water * gases * ozone * air
	scattered := e0 * sinE * 0.79 * ozone * gases * water * absorbed *
		(0.5*(1-air) + a.ForwardRatio*(1-aerosol/absorbed)) / (1 - am + math.Pow(am, 1.02))
	ghi := (beam*sinE + scattered) / (1 - a.GroundAlbedo*skyAlbedo)
	return Light{ghi, beam, ghi - beam*sinE}
}

// birdTurningAirMass is where m^0.84 (1 + m − m^1.01) is largest.
const birdTurningAirMass = 14.09

// PrecipitableWaterCm is the usual water vapour above a place from the dew
// point near the ground (Wright, Perez & Michalsky 1989, Solar Energy 42:255,
// as Perez et al. 1990 use it); single days differ from it by half. NaN outside
// −60..35 °C.
func PrecipitableWaterCm(dewPointC float64) float64 {
	if !dewRange.Holds(dewPointC) {
		return math.NaN()
	}
	return numeric.Exp(0.07*dewPointC - 0.075)
}

var dewRange = limit.Range{Quantity: "dew point", Unit: "°C", Min: -60, Max: 35,
	Slips: []limit.Slip{{Min: 35, Max: 95, Looks: "degrees Fahrenheit"}, {Min: 213, Max: 308.15, Looks: "kelvins"}}}

// CheckDewPoint explains a NaN that comes from a dew point outside −60..35 °C.
// It returns a *stationphysics.RangeError, or nil.
func CheckDewPoint(dewPointC float64) error { return dewRange.Check(dewPointC) }
