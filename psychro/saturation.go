package psychro

import (
	"math"

	"github.com/stationphysics/stationphysics"
	"github.com/stationphysics/stationphysics/internal/limit"
)

// SaturationPressureHPa returns the saturation pressure of pure water vapour in
// hPa over liquid water, from -150 to 100 °C; below 0 °C the water is supercooled.
// It is Reference.PressureHPa(Water, tempC). The air's own share, the
// enhancement factor, is not in it: see EnhancementFactor.
//
// Special case: NaN outside -150..100 °C; Reference.Check tells why.
func SaturationPressureHPa(tempC float64) float64 {
	if !(tempC >= coldest && tempC <= warmest) {
		return nan
	}
	return math.Exp(lnES(tempC))
}

// SaturationPressureIceHPa returns the saturation pressure of pure water vapour
// in hPa over ice, from -150 to 0.01 °C. It is Reference.PressureHPa(Ice, tempC).
//
// Special case: NaN outside -150..0.01 °C; Reference.Check tells why.
func SaturationPressureIceHPa(tempC float64) float64 {
	if !(tempC >= coldest && tempC <= triple) {
		return nan
	}
	return math.Exp(lnEI(tempC))
}

// A Formula is one of the formulas for the saturation pressure. States use
// Reference; the others are here because reports and tables are made with them.
type Formula uint8

// The formulas, with their ranges over water and over ice. The package comment
// has the table of their deviations.
const (
	// Reference is the package's own choice: over water IAPWS-95 from 0 °C on and
	// Murphy and Koop (2005, eq. 10) below, over ice IAPWS R14-08 eq. 6.
	// -150..100 °C and -150..0.01 °C.
	Reference Formula = iota
	// WMO8 is the Magnus form of WMO-No. 8 part I annex 4.B, which weather
	// services report with: 6.112 hPa exp(17.62 t/(243.12 + t)) over water and
	// 6.112 hPa exp(22.46 t/(272.62 + t)) over ice. -45..60 °C and -65..0.01 °C.
	WMO8
	// HylandWexler is Hyland and Wexler (1983) as ASHRAE Fundamentals prints it,
	// chapter 1 eq. 5 and 6. -100..200 °C and -100..0.01 °C. ASHRAE gives it from
	// 0 °C on over water; below, it is an extrapolation in common use that is
	// 4.8 % high at -60 °C.
	HylandWexler
)

// formulaRanges by formula and phase.
var formulaRanges = [...][2]limit.Range{
	Reference:    {formulaRange("temperature over water", coldest, warmest), formulaRange("temperature over ice", coldest, triple)},
	WMO8:         {formulaRange("temperature over water for WMO-No. 8", -45, 60), formulaRange("temperature over ice for WMO-No. 8", -65, triple)},
	HylandWexler: {formulaRange("temperature over water for Hyland-Wexler", -100, 200), formulaRange("temperature over ice for Hyland-Wexler", -100, triple)},
}

func formulaRange(quantity string, lo, hi float64) limit.Range {
	return limit.Range{Quantity: quantity, Unit: "°C", Min: lo, Max: hi, Slips: []limit.Slip{{Min: 201, Max: 474, Looks: "kelvins"}}}
}

var (
	formulaNumber = limit.Range{Quantity: "number of the formula", Min: float64(Reference), Max: float64(HylandWexler)}
	phaseNumber   = limit.Range{Quantity: "number of the phase", Min: float64(Water), Max: float64(Ice)}
)

// span returns the range of a formula over a phase; that of an unknown formula
// or phase holds nothing.
func (f Formula) span(over Phase) *limit.Range {
	if !formulaNumber.Holds(float64(f)) || !phaseNumber.Holds(float64(over)) {
		var none limit.Range
		none.Min, none.Max = math.Inf(1), math.Inf(-1)
		return &none
	}
	return &formulaRanges[f][over]
}

// Check returns nil if the formula holds over the phase at tempC, and a
// *stationphysics.RangeError with the range otherwise.
func (f Formula) Check(over Phase, tempC float64) error {
	if err := limit.First(formulaNumber.Check(float64(f)), phaseNumber.Check(float64(over))); err != nil {
		return err
	}
	return f.span(over).Check(tempC)
}

// PressureHPa returns the saturation pressure of pure water vapour in hPa.
//
// Special case: NaN where Check returns an error.
func (f Formula) PressureHPa(over Phase, tempC float64) float64 {
	if !f.span(over).Holds(tempC) {
		return nan
	}
	y, _ := f.ln(over, tempC)
	return math.Exp(y)
}

// SlopeHPaPerK returns the derivative of PressureHPa by the temperature in hPa/K.
//
// Special case: NaN where Check returns an error.
func (f Formula) SlopeHPaPerK(over Phase, tempC float64) float64 {
	if !f.span(over).Holds(tempC) {
		return nan
	}
	y, y1 := f.ln(over, tempC)
	return math.Exp(y) * y1
}

// TemperatureC returns the temperature in °C whose saturation pressure is
// vapourPressureHPa: the inverse of PressureHPa, to within rounding.
//
// Special case: NaN if that temperature is outside the formula's range.
func (f Formula) TemperatureC(over Phase, vapourPressureHPa float64) float64 {
	r := f.span(over)
	l := math.Log(vapourPressureHPa)
	lo, _ := f.ln(over, r.Min)
	hi, _ := f.ln(over, r.Max)
	// The ends themselves come back from Exp with its rounding.
	if !(l >= lo-1e-14*math.Abs(lo) && l <= hi+1e-14*math.Abs(hi)) {
		return nan
	}
	var t float64
	switch f {
	case Reference:
		t = saturationTemperature(over, l)
	case WMO8:
		t = magnusInverse(over, l)
	default:
		t = magnusInverse(over, l)
		// The logarithm is so nearly that of Magnus that Newton's steps
		// shrink quadratically from there: 25 K off at 200 °C, then 1, 1e-3, 1e-9.
		for range 6 {
			y, y1 := f.ln(over, t)
			t += (l - y) / y1
		}
	}
	return min(max(t, r.Min), r.Max)
}

// ln returns the logarithm of the saturation pressure in hPa and its derivative
// by temperature, anywhere.
func (f Formula) ln(over Phase, tempC float64) (y, y1 float64) {
	switch f {
	case Reference:
		y, y1 = lnSat(over, tempC)
		return y, y1
	case WMO8:
		a, b := magnus(over)
		return ln6112 + a*tempC/(b+tempC), a * b / ((b + tempC) * (b + tempC))
	case HylandWexler:
		return hylandWexler(over, tempC+kelvin)
	}
	return nan, nan
}

// ln6112 is ln 6.112, the logarithm of the pressure at 0 °C in hPa.
const ln6112 = 1.8102540518642194

// magnus returns the coefficients of WMO-No. 8 eq. 4.B.1 and 4.B.2 (read as
// quoted elsewhere).
func magnus(over Phase) (a, bC float64) {
	if over == Ice {
		return 22.46, 272.62
	}
	return 17.62, 243.12
}

func magnusInverse(over Phase, ln float64) float64 {
	a, b := magnus(over)
	return b * (ln - ln6112) / (a - (ln - ln6112))
}

// hylandWexler is ASHRAE Fundamentals 2017, chapter 1, eq. 5 (C1 to C7, ice) and
// eq. 6 (C8 to C13, water): ln p/Pa at T in kelvins.
func hylandWexler(over Phase, t float64) (y, y1 float64) {
	const lnHundred = 4.605170185988092
	if over == Ice {
		y = -5.6745359e3/t + 6.3925247 + t*(-9.677843e-3+t*(6.2215701e-7+t*(2.0747825e-9-t*9.484024e-13))) + 4.1635019*math.Log(t)
		y1 = 5.6745359e3/(t*t) - 9.677843e-3 + t*(2*6.2215701e-7+t*(3*2.0747825e-9-t*4*9.484024e-13)) + 4.1635019/t
		return y - lnHundred, y1
	}
	y = -5.8002206e3/t + 1.3914993 + t*(-4.8640239e-2+t*(4.1764768e-5-t*1.4452093e-8)) + 6.5459673*math.Log(t)
	y1 = 5.8002206e3/(t*t) - 4.8640239e-2 + t*(2*4.1764768e-5-t*3*1.4452093e-8) + 6.5459673/t
	return y - lnHundred, y1
}

// EnhancementFactor returns by how much the vapour pressure of saturated moist
// air at pressureHPa (300 to 1100 hPa) exceeds the saturation pressure of pure
// vapour over the phase at tempC (-100 to 100 °C, over ice to 0.01 °C): from the virial
// equation of state (IAPWS G9-12), 1.0042 at 20 °C and 1013 hPa. States contain
// it already.
//
// Special cases: NaN outside these ranges, and where the saturation pressure
// exceeds pressureHPa: such air is never saturated. CheckEnhancement tells which.
func EnhancementFactor(over Phase, tempC, pressureHPa float64) float64 {
	if !(tempC >= airTemperature.Min && tempC <= warmest && over <= Ice && stationPressure.Holds(pressureHPa)) || over == Ice && tempC > triple {
		return nan
	}
	y, _ := Reference.ln(over, tempC)
	e := math.Exp(y)
	if e >= pressureHPa {
		return nan
	}
	return saturatedFraction(over, tempC, pressureHPa) * pressureHPa / e
}

// CheckEnhancement returns nil where EnhancementFactor has a value, and otherwise
// a *stationphysics.RangeError, or a *stationphysics.ConflictError where the water
// boils.
func CheckEnhancement(over Phase, tempC, pressureHPa float64) error {
	if err := limit.First(airTemperature.Check(tempC), Reference.Check(over, tempC), stationPressure.Check(pressureHPa)); err != nil {
		return err
	}
	if e := Reference.PressureHPa(over, tempC); e >= pressureHPa {
		return &stationphysics.ConflictError{
			Quantities: []string{"saturation pressure", "air pressure"}, Values: []float64{e, pressureHPa}, Units: []string{"hPa", "hPa"},
			Rule: "water boils before the air is saturated",
		}
	}
	return nil
}

// WMOEnhancementFactor returns the enhancement factor of WMO-No. 8 eq. 4.B.5,
// 1.0016 + 3.15e-6 p - 0.074/p with p in hPa, which depends on the pressure
// alone. 300 to 1100 hPa.
//
// Special case: NaN outside this range.
func WMOEnhancementFactor(pressureHPa float64) float64 {
	if !stationPressure.Holds(pressureHPa) {
		return nan
	}
	return 1.0016 + 3.15e-6*pressureHPa - 0.074/pressureHPa
}
