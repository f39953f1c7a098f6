package baro

import (
	"math"

	"github.com/stationphysics/stationphysics/internal/limit"
)

// A layer of the standard atmosphere has a constant gradient of temperature
// over geopotential height.
type layer struct {
	baseM    float64 // gpm
	baseK    float64 // temperature at the base
	lapse    float64 // K/gpm
	baseHPa  float64 // pressure at the base
	exponent float64 // g/(R lapse), or g/(R T) in 1/gpm where lapse is 0
}

const (
	lowestM  = -5000.0
	highestM = 80000.0
)

var atmosphereRange = limit.Range{Quantity: "geopotential height in the standard atmosphere", Unit: "gpm", Min: lowestM, Max: highestM}

// The gradients of ISO 2533:1975, table 4, and ICAO Doc 7488: the lowest one
// runs down to -5 km. Everything else follows from them, from 288.15 K and
// from 1013.25 hPa at 0 gpm.
var layers = buildLayers([...][2]float64{
	{0, -0.0065}, {11000, 0}, {20000, 0.001}, {32000, 0.0028}, {47000, 0}, {51000, -0.0028}, {71000, -0.002},
})

func buildLayers(steps [7][2]float64) (ls [7]layer) {
	tempK, hPa := 288.15, 1013.25
	for i, s := range steps {
		l := layer{baseM: s[0], baseK: tempK, lapse: s[1], baseHPa: hPa}
		if l.lapse == 0 {
			l.exponent = standardGravity / (gasConstant * tempK)
		} else {
			l.exponent = standardGravity / (gasConstant * l.lapse)
		}
		ls[i] = l
		if i+1 < len(steps) {
			hPa = l.pressureHPa(steps[i+1][0])
			tempK = l.tempK(steps[i+1][0])
		}
	}
	return ls
}

func (l *layer) tempK(hM float64) float64 { return l.baseK + l.lapse*(hM-l.baseM) }

func (l *layer) pressureHPa(hM float64) float64 {
	if l.lapse == 0 {
		return l.baseHPa * math.Exp(-l.exponent*(hM-l.baseM))
	}
	return l.baseHPa * math.Pow(l.baseK/l.tempK(hM), l.exponent)
}

func layerAt(hM float64) *layer {
	i := 0
	for i+1 < len(layers) && hM >= layers[i+1].baseM {
		i++
	}
	return &layers[i]
}

// A Standard is the state of the standard atmosphere at one height.
type Standard struct {
	TempC           float64 // air temperature
	PressureHPa     float64 // pressure at that height
	DensityKgPerM3  float64 // of dry air
	SoundMPerS      float64 // speed of sound
	ViscosityPaS    float64 // dynamic viscosity
	KinematicM2PerS float64 // kinematic viscosity
	GravityMPerS2   float64 // acceleration of free fall at that height
}

// StandardAt returns the standard atmosphere of ISO 2533:1975 and ICAO Doc 7488
// at a geopotential height from -5000 to 80000 gpm: temperature and pressure
// by its equations (11) to (13) (numbers quoted), density as ideal gas,
// speed of sound with a ratio of specific heats of 1.4, viscosity by
// Sutherland's formula with 1.458e-6 kg/(m s K^0.5) and 110.4 K. Outside, every
// field is NaN; CheckStandard says why.
func StandardAt(h GeopotentialM) Standard {
	if !atmosphereRange.Holds(float64(h)) {
		n := nan()
		return Standard{n, n, n, n, n, n, n}
	}
	l := layerAt(float64(h))
	tempK := l.tempK(float64(h))
	s := Standard{TempC: tempK - zeroCelsius, PressureHPa: l.pressureHPa(float64(h))}
	s.DensityKgPerM3 = s.PressureHPa * 100 / (gasConstant * tempK)
	s.SoundMPerS = math.Sqrt(1.4 * gasConstant * tempK)
	s.ViscosityPaS = 1.458e-6 * tempK * math.Sqrt(tempK) / (tempK + 110.4)
	s.KinematicM2PerS = s.ViscosityPaS / s.DensityKgPerM3
	z := float64(ISOGeometric(h))
	ratio := isoRadiusM / (isoRadiusM + z)
	s.GravityMPerS2 = standardGravity * ratio * ratio
	return s
}

// CheckStandard explains a NaN of StandardAt. It returns a
// *stationphysics.RangeError, or nil.
func CheckStandard(h GeopotentialM) error { return atmosphereRange.Check(float64(h)) }

// PressureAltitude returns the geopotential height at which the standard
// atmosphere has the pressure p: the exact inverse of StandardAt over its whole
// range, 1776.9 hPa at -5000 gpm to 0.0089 hPa at 80000 gpm. It returns NaN for
// a pressure outside.
func PressureAltitude(p StationHPa) GeopotentialM {
	v := float64(p)
	top := &layers[len(layers)-1]
	if !(v >= top.pressureHPa(highestM) && v <= layers[0].pressureHPa(lowestM)) {
		return GeopotentialM(nan())
	}
	i := len(layers) - 1
	for i > 0 && v > layers[i].baseHPa {
		i--
	}
	l := &layers[i]
	if l.lapse == 0 {
		return GeopotentialM(l.baseM + math.Log(l.baseHPa/v)/l.exponent)
	}
	return GeopotentialM(l.baseM + l.baseK/l.lapse*(math.Pow(l.baseHPa/v, 1/l.exponent)-1))
}

// DensityAltitude returns the geopotential height at which the standard
// atmosphere has the given density of air: the exact inverse of
// StandardAt(h).DensityKgPerM3. It returns NaN outside the densities at -5000
// and 80000 gpm, 1.9305 and 1.57e-5 kg/m3.
func DensityAltitude(densityKgPerM3 float64) GeopotentialM {
	rho := func(l *layer, hM float64) float64 {
		return l.pressureHPa(hM) * 100 / (gasConstant * l.tempK(hM))
	}
	top := &layers[len(layers)-1]
	if !(densityKgPerM3 >= rho(top, highestM) && densityKgPerM3 <= rho(&layers[0], lowestM)) {
		return GeopotentialM(nan())
	}
	i := len(layers) - 1
	for i > 0 && densityKgPerM3 > rho(&layers[i], layers[i].baseM) {
		i--
	}
	l := &layers[i]
	ratio := rho(l, l.baseM) / densityKgPerM3
	if l.lapse == 0 {
		return GeopotentialM(l.baseM + math.Log(ratio)/l.exponent)
	}
	// With T = Tb (1 + x) density falls as (1 + x)^-(exponent + 1).
	return GeopotentialM(l.baseM + l.baseK/l.lapse*(math.Pow(ratio, 1/(l.exponent+1))-1))
}
