package baro

import (
	"math"

	"github.com/stationphysics/stationphysics/internal/limit"
)

// Constants of WMO-No. 8, part I, ch. 3, eq. 3.2 and below (the constants are
// quoted by national services; the limit of 750 gpm from memory).
const (
	wmoKp     = 0.0148275 // K/gpm
	wmoLapse  = 0.0065    // K/gpm, gradient of the fictitious air column
	wmoCh     = 0.12      // K/hPa, stands for the vapour in the column
	wmoLimitM = 750.0     // gpm
	lowLimitM = 50.0      // gpm, limit of the low-station form
)

var (
	wmoHeight = limit.Range{Quantity: "geopotential height for the WMO reduction", Unit: "gpm", Min: -430, Max: wmoLimitM}
	lowHeight = limit.Range{Quantity: "geopotential height for the low-station form", Unit: "gpm", Min: -lowLimitM, Max: lowLimitM}
	anyHeight = limit.Range{Quantity: "geopotential height", Unit: "gpm", Min: -435, Max: 6020, Slips: []limit.Slip{{Min: 6020, Max: 20000, Looks: "feet"}}}
	meanRange = limit.Range{Quantity: "mean virtual temperature", Unit: "°C", Min: -90, Max: 70, Slips: []limit.Slip{{Min: 183, Max: 343.15, Looks: "kelvins"}}}
)

// A Column describes the air at the station from which the column below it is
// inferred.
type Column struct {
	Height            GeopotentialM // of the pressure sensor
	TempC             float64       // air temperature in the shield, not in the box
	VapourPressureHPa float64       // of that air
}

// A Reduction turns station pressure into sea-level pressure and back for one
// column of air. Its methods are total: they return NaN only for a pressure
// that is out of range. The zero value reduces by nothing.
type Reduction struct {
	exponent float64 // natural logarithm of the factor
	factor   float64
	meanK    float64
	k        float64 // exponent times meanK over height
	lapse    float64 // K/gpm, and
	vapour   float64 // K/hPa: how the mean temperature follows from the column
	column   Column
}

// NewReduction makes the reduction of WMO-No. 8, part I, ch. 3:
//
//	log10(p0/p) = Kp H / (T + a H/2 + e Ch)
//
// with Kp = 0.0148275 K/gpm, a = 0.0065 K/gpm, Ch = 0.12 K/hPa and T in
// kelvins. It holds for stations up to 750 gpm; above, the fictitious column
// grows so long that sea-level pressure says little, and a RangeError says so.
// Temperature -90..60 °C, vapour pressure 0..200 hPa.
func NewReduction(c Column) (Reduction, error) {
	if err := limit.First(wmoHeight.Check(float64(c.Height)), airRange.Check(c.TempC), vapourRange.Check(c.VapourPressureHPa)); err != nil {
		return Reduction{}, err
	}
	return reduction(c, math.Ln10*wmoKp), nil
}

// NewHypsometric makes the reduction by the hypsometric equation with the same
// mean temperature of the column but gravity over gas constant,
// 9.80665/287.05287 K/gpm, in place of Kp ln 10: the form that some national
// services use. It accepts -435 to 6020 gpm; the two forms differ by 0.6e-3 of
// the pressure step, 0.05 hPa at 550 gpm. Both are documented, neither is wrong.
func NewHypsometric(c Column) (Reduction, error) {
	if err := limit.First(anyHeight.Check(float64(c.Height)), airRange.Check(c.TempC), vapourRange.Check(c.VapourPressureHPa)); err != nil {
		return Reduction{}, err
	}
	return reduction(c, standardGravity/gasConstant), nil
}

// NewLayer makes the plain hypsometric reduction p0 = p exp(g H/(R Tv)) for a
// mean virtual temperature of the column that the caller knows, from a sounding
// or a second station below. Height -435..6020 gpm, mean virtual temperature
// -90..70 °C; the error is a *stationphysics.RangeError.
func NewLayer(h GeopotentialM, meanVirtualC float64) (Reduction, error) {
	if err := limit.First(anyHeight.Check(float64(h)), meanRange.Check(meanVirtualC)); err != nil {
		return Reduction{}, err
	}
	const k = standardGravity / gasConstant
	meanK := meanVirtualC + zeroCelsius
	x := k * float64(h) / meanK
	return Reduction{exponent: x, factor: math.Exp(x), meanK: meanK, k: k, column: Column{Height: h, TempC: meanVirtualC}}, nil
}

func reduction(c Column, k float64) Reduction {
	meanK := meanKelvins(&c)
	x := k * float64(c.Height) / meanK
	return Reduction{exponent: x, factor: math.Exp(x), meanK: meanK, k: k, lapse: wmoLapse / 2, vapour: wmoCh, column: c}
}

func meanKelvins(c *Column) float64 {
	return c.TempC + zeroCelsius + wmoLapse/2*float64(c.Height) + wmoCh*c.VapourPressureHPa
}

// SeaLevel reduces a station pressure; NaN outside 300..1100 hPa.
func (r Reduction) SeaLevel(p StationHPa) SeaLevelHPa {
	if !stationRange.Holds(float64(p)) {
		return SeaLevelHPa(nan())
	}
	return SeaLevelHPa(float64(p) * r.Factor())
}

// Station is the exact inverse of SeaLevel; NaN if the sea-level pressure lies
// outside 850..1100 hPa or the result outside 300..1100 hPa.
func (r Reduction) Station(p SeaLevelHPa) StationHPa {
	s := float64(p) / r.Factor()
	if !seaLevelRange.Holds(float64(p)) || !stationRange.Holds(s) {
		return StationHPa(nan())
	}
	return StationHPa(s)
}

// Factor is sea-level pressure over station pressure: the number a small
// device needs.
func (r Reduction) Factor() (pressureRatio float64) {
	if r.factor == 0 {
		return 1
	}
	return r.factor
}

// MeanVirtualC is the mean virtual temperature of the column that the
// reduction uses.
func (r Reduction) MeanVirtualC() float64 { return r.meanK - zeroCelsius }

// A Sensitivity holds the derivatives of a sea-level pressure to what it was
// computed from, for the propagation of tolerances (JCGM 100, 5.1).
type Sensitivity struct {
	HPaPerHPa       float64 // to the station pressure
	HPaPerK         float64 // to the air temperature
	VapourHPaPerHPa float64 // to the vapour pressure
	HPaPerM         float64 // to the geopotential height
	HPaPerMPerS2    float64 // to the gravity with which the height was made geopotential
}

// Sensitivity returns the derivatives of SeaLevel(p); NaN where that is NaN.
func (r Reduction) Sensitivity(p StationHPa) Sensitivity {
	p0 := float64(r.SeaLevel(p))
	if r.k == 0 { // the zero Reduction
		return Sensitivity{HPaPerHPa: p0 / float64(p)}
	}
	perK := -p0 * r.exponent / r.meanK
	perM := p0*r.k/r.meanK + perK*r.lapse
	return Sensitivity{
		HPaPerHPa:       p0 / float64(p),
		HPaPerK:         perK,
		VapourHPaPerHPa: perK * r.vapour,
		HPaPerM:         perM,
		// H is proportional to gravity at a fixed geometric height.
		HPaPerMPerS2: perM * float64(r.column.Height) / standardGravity,
	}
}

// TempErrorHPa returns the error of the sea-level pressure if usedC is put in
// for the air temperature: the temperature of a heated box, or a fixed 15 °C.
// NaN outside -90..90 °C or for a pressure out of range.
func (r Reduction) TempErrorHPa(p StationHPa, usedC float64) (errorHPa float64) {
	if !(usedC >= -90 && usedC <= 90) {
		return nan()
	}
	p0 := float64(r.SeaLevel(p))
	if r.exponent == 0 {
		return p0 * 0
	}
	wrong := r.exponent * r.meanK / (r.meanK + usedC - r.column.TempC)
	return p0 * math.Expm1(wrong-r.exponent)
}

// SeaLevelLow is the low-station form of WMO-No. 8, part I, ch. 3, for stations
// within 50 gpm of sea level: p + p H/(29.27 Tv), with Tv the annual mean
// virtual temperature in kelvins, given in °C (from memory). One constant per
// station and pressure suffices, since the correction is at most 6 hPa. NaN
// outside these ranges; CheckLow says why.
func SeaLevelLow(p StationHPa, h GeopotentialM, annualVirtualC float64) SeaLevelHPa {
	if CheckLow(p, h, annualVirtualC) != nil {
		return SeaLevelHPa(nan())
	}
	return SeaLevelHPa(float64(p) * (1 + float64(h)/(29.27*(annualVirtualC+zeroCelsius))))
}

// StationLow is the exact inverse of SeaLevelLow.
func StationLow(p SeaLevelHPa, h GeopotentialM, annualVirtualC float64) StationHPa {
	if seaLevelRange.Check(float64(p)) != nil || CheckLow(1000, h, annualVirtualC) != nil {
		return StationHPa(nan())
	}
	return StationHPa(float64(p) / (1 + float64(h)/(29.27*(annualVirtualC+zeroCelsius))))
}

// CheckLow explains a NaN of SeaLevelLow. It returns a
// *stationphysics.RangeError, or nil.
func CheckLow(p StationHPa, h GeopotentialM, annualVirtualC float64) error {
	return limit.First(stationRange.Check(float64(p)), lowHeight.Check(float64(h)), meanRange.Check(annualVirtualC))
}

// SeaLevel is the reduction of NewReduction for a single pressure, without the
// rest of a Reduction: NaN outside the ranges, for which NewReduction and
// StationHPa.Check give the reason.
func SeaLevel(p StationHPa, c Column) SeaLevelHPa {
	if !wmoHeight.Holds(float64(c.Height)) || !airRange.Holds(c.TempC) || !vapourRange.Holds(c.VapourPressureHPa) || !stationRange.Holds(float64(p)) {
		return SeaLevelHPa(nan())
	}
	return SeaLevelHPa(float64(p) * math.Exp(math.Ln10*wmoKp*float64(c.Height)/meanKelvins(&c)))
}

// BatchSeaLevel is SeaLevel for a series, element by element. An element out
// of range becomes NaN. The slices must have equal lengths, otherwise it
// panics; nothing is allocated.
func BatchSeaLevel(dst []SeaLevelHPa, p []StationHPa, c []Column) {
	if len(dst) != len(p) || len(p) != len(c) {
		panic(badLength)
	}
	for i := range dst {
		dst[i] = SeaLevel(p[i], c[i])
	}
}

const badLength = "baro: slice lengths differ"

// AtHeight carries a station pressure over a small difference of height, from
// a sensor to the station's datum, by the hypsometric equation: p exp(-g dz/(R
// Tv)), with the virtual temperature between the two, taken at the station.
// aboveM is how far the datum lies above the sensor, -200..200 m. NaN outside,
// or for a temperature outside -90..60 °C.
func AtHeight(p StationHPa, aboveM, virtualC float64) StationHPa {
	if !stationRange.Holds(float64(p)) || !(aboveM >= -200 && aboveM <= 200) || !airRange.Holds(virtualC) {
		return StationHPa(nan())
	}
	return StationHPa(float64(p) * math.Exp(-standardGravity/gasConstant*aboveM/(virtualC+zeroCelsius)))
}
