package psychro

import (
	"math"

	"github.com/stationphysics/stationphysics"
	"github.com/stationphysics/stationphysics/internal/limit"
	"github.com/stationphysics/stationphysics/internal/numeric"
)

// Excess says what to do with moisture above saturation over water, which
// humidity sensors report in fog (100.3 %) and when they are stuck. The choice is
// the caller's; New and From are those of Refuse. A number that is none of these
// is Refuse.
type Excess uint8

const (
	// Refuse returns an error.
	Refuse Excess = iota
	// Saturate takes the air as saturated over water, for an excess to 120 %.
	Saturate
	// Keep keeps the supersaturation, up to 120 % over water.
	Keep
)

// excessTopPct is the highest relative humidity that Saturate and Keep accept:
// beyond it a sensor is not pegged but broken.
const excessTopPct = 120

// A Given is one known quantity of moist air for From.
type Given struct {
	kind  kind
	value float64
}

// kind orders the quantities so that the one solved for comes last: temperature,
// moisture content (from dew point to mixing ratio), humidity relative to
// saturation, bulbs.
type kind uint8

const (
	isTemperature kind = iota
	isDewPoint
	isFrostPoint
	isVapourPressure
	isMixingRatio
	isHumidity
	isHumidityOverIce
	isWaterBulb
	isIceBulb
)

func (k kind) content() bool { return k >= isDewPoint && k <= isMixingRatio }
func (k kind) bulb() bool    { return k == isWaterBulb || k == isIceBulb }

// phase is the phase that the quantity refers to.
func (k kind) phase() Phase {
	if k == isFrostPoint || k == isHumidityOverIce || k == isIceBulb {
		return Ice
	}
	return Water
}

// Temperature is the air temperature in °C, -100 to 100 °C.
func Temperature(tempC float64) Given { return Given{isTemperature, tempC} }

// Humidity is the relative humidity over water in %, 0 to 100 % unless an
// Excess allows more.
func Humidity(rhPct float64) Given { return Given{isHumidity, rhPct} }

// HumidityOverIce is the relative humidity over ice in %, 0 to 300 %, as air
// conditioning counts it below 0.01 °C. Above that there is no ice to refer to. It
// may exceed 100 % as long as the air is not supersaturated over water.
func HumidityOverIce(rhPct float64) Given { return Given{isHumidityOverIce, rhPct} }

// DewPoint is the dew point in °C, over water also below 0 °C; -150 to 100 °C.
func DewPoint(dewPointC float64) Given { return Given{isDewPoint, dewPointC} }

// FrostPoint is the frost point in °C, -150 to 0.01 °C.
func FrostPoint(frostPointC float64) Given { return Given{isFrostPoint, frostPointC} }

// WetBulb is the thermodynamic wet-bulb temperature in °C of a bulb with liquid
// water, supercooled below 0 °C; -100 to 100 °C. For a real instrument see
// FromPsychrometer.
func WetBulb(wetBulbC float64) Given { return Given{isWaterBulb, wetBulbC} }

// IceBulb is the thermodynamic wet-bulb temperature in °C of a bulb with ice, -100 to
// 0.01 °C.
func IceBulb(iceBulbC float64) Given { return Given{isIceBulb, iceBulbC} }

// VapourPressure is the vapour pressure in hPa, 0 to 1000 hPa.
func VapourPressure(vapourPressureHPa float64) Given {
	return Given{isVapourPressure, vapourPressureHPa}
}

// MixingRatio is the mass of vapour in g per kg of dry air, 0 to 5000 g/kg.
func MixingRatio(mixingRatioGPerKg float64) Given { return Given{isMixingRatio, mixingRatioGPerKg} }

var givenRanges = [...]limit.Range{
	isTemperature:     airTemperature,
	isDewPoint:        {Quantity: "dew point", Unit: "°C", Min: coldest, Max: warmest, Slips: kelvinSlip},
	isFrostPoint:      {Quantity: "frost point", Unit: "°C", Min: coldest, Max: triple, Slips: kelvinSlip},
	isVapourPressure:  {Quantity: "vapour pressure", Unit: "hPa", Min: 0, Max: 1000, Slips: []limit.Slip{{Min: 1000, Max: 110000, Looks: "pascals"}}},
	isMixingRatio:     {Quantity: "mixing ratio", Unit: "g/kg", Min: 0, Max: 5000},
	isHumidity:        relativeHumidity,
	isHumidityOverIce: {Quantity: "relative humidity over ice", Unit: "%", Min: 0, Max: 300},
	isWaterBulb:       {Quantity: "wet-bulb temperature", Unit: "°C", Min: -100, Max: warmest, Slips: kelvinSlip},
	isIceBulb:         {Quantity: "ice-bulb temperature", Unit: "°C", Min: -100, Max: triple, Slips: kelvinSlip},
}

var kelvinSlip = []limit.Slip{{Min: 173, Max: 374, Looks: "kelvins"}}

// From returns the state of air at pressureHPa (300 to 1100 hPa) from any two
// quantities that say different things of it: the temperature and one more, or
// two more from which the temperature follows. Errors are a
// *stationphysics.RangeError for one quantity, a *stationphysics.ConflictError
// for two that cannot hold together or that say the same (a dew point and a
// vapour pressure, say).
func From(pressureHPa float64, a, b Given) (State, error) { return Refuse.From(pressureHPa, a, b) }

// New is New with the excess treated as e says: Saturate and Keep accept
// relative humidities to 120 %. It fails as New does.
func (e Excess) New(tempC, rhPct, pressureHPa float64) (State, error) {
	return e.From(pressureHPa, Temperature(tempC), Humidity(rhPct))
}

// From is From with the excess treated as e says. It fails as From does.
func (e Excess) From(pressureHPa float64, a, b Given) (State, error) {
	e = e.known()
	if a.kind > b.kind {
		a, b = b, a
	}
	if err := limit.First(e.check(a), e.check(b), stationPressure.Check(pressureHPa)); err != nil {
		return State{}, err
	}
	t, x, rule := solve(pressureHPa, a, b)
	if rule != "" {
		return State{}, conflict(a, b, rule)
	}
	return e.judge(t, pressureHPa, x, a, b)
}

// known takes a number that is no Excess as Refuse.
func (e Excess) known() Excess {
	if e > Keep {
		return Refuse
	}
	return e
}

// check checks one quantity; the humidity's upper end depends on the excess.
func (e Excess) check(g Given) error {
	r := givenRanges[g.kind]
	if g.kind == isHumidity && e != Refuse {
		r.Max, r.Slips = excessTopPct, nil
	}
	return r.Check(g.value)
}

// judge treats the excess over saturation.
func (e Excess) judge(t, p, x float64, a, b Given) (State, error) {
	xs := saturatedFraction(Water, t, p)
	switch {
	case !(x > xs):
	case x <= xs*(1+1e-9) && e != Keep:
		// The excess is the rounding of a solved value.
		x = xs
	case e == Refuse || x > xs*(0.01*excessTopPct*(1+1e-12)):
		return State{}, conflict(a, b, excessRule(b.kind, e))
	case e == Saturate:
		x = xs
	}
	return fromFraction(t, p, x)
}

func excessRule(k kind, e Excess) string {
	switch {
	case e != Refuse:
		return "the air would be supersaturated beyond 120 % over water"
	case k == isDewPoint:
		return "the dew point cannot exceed the air temperature"
	case k.bulb():
		return "the wet bulb cannot exceed the air temperature"
	}
	return "the air would be supersaturated over water"
}

func conflict(a, b Given, rule string) error {
	ra, rb := &givenRanges[a.kind], &givenRanges[b.kind]
	return &stationphysics.ConflictError{
		Quantities: []string{ra.Quantity, rb.Quantity}, Values: []float64{a.value, b.value},
		Units: []string{ra.Unit, rb.Unit}, Rule: rule,
	}
}

// Rules that solve reports.
const (
	ruleSame    = "they do not say enough of the air: one must be the temperature, or one the moisture and the other relative to it"
	ruleNoIce   = "there is no ice above 0.01 °C"
	ruleTooDry  = "completely dry air would give a higher wet bulb"
	ruleNowhere = "no air temperature from -100 to 100 °C agrees with both"
	ruleSteam   = "at most nine tenths of the pressure can be vapour"
)

// solve returns the temperature and mole fraction of vapour for two quantities
// in the order of their kinds, or the rule that they break.
func solve(p float64, a, b Given) (t, x float64, rule string) {
	over := b.kind.phase()
	switch {
	case a.kind == isTemperature:
		t = a.value
		switch {
		case b.kind.content():
			x = b.fraction(p)
		case b.kind == isHumidity || b.kind == isHumidityOverIce:
			if over == Ice && t > triple {
				return nan, nan, ruleNoIce
			}
			x = 0.01 * b.value * saturatedFraction(over, t, p)
		case b.kind.bulb():
			return bulbMoisture(over, t, b.value, p)
		default:
			return nan, nan, ruleSame
		}
	case a.kind.content() && !b.kind.content():
		x = a.fraction(p)
		if !(x <= maxFraction) {
			return nan, nan, ruleSteam
		}
		if b.kind.bulb() {
			return bulbTemperature(over, x, b.value, p)
		}
		xs := x / (0.01 * b.value)
		if !(xs > 0 && xs < 1) {
			return nan, nan, ruleNowhere
		}
		t = saturationPoint(over, math.Log(xs*p), xs, p)
		if over == Ice && t > triple {
			return nan, nan, ruleNoIce
		}
		if !(t >= airTemperature.Min && t <= airTemperature.Max) {
			return nan, nan, ruleNowhere
		}
	case a.kind == isHumidity && b.kind == isHumidityOverIce:
		return twoHumidities(a.value, b.value, p)
	case (a.kind == isHumidity || a.kind == isHumidityOverIce) && b.kind.bulb():
		return humidityAndBulb(a, b, p)
	default:
		return nan, nan, ruleSame
	}
	return t, x, ""
}

// fraction returns the mole fraction of vapour that a content stands for.
func (g Given) fraction(p float64) float64 {
	switch g.kind {
	case isDewPoint, isFrostPoint:
		return saturatedFraction(g.kind.phase(), g.value, p)
	case isVapourPressure:
		return g.value / p
	default:
		w := g.value * 1e-3
		return w / (w + molarRatio)
	}
}

// bulbMoisture returns the mole fraction of air at t whose bulb is at tw. In the
// balance per mole of moist air only the residual enthalpy is not linear in x.
func bulbMoisture(over Phase, t, tw, p float64) (tempC, x float64, rule string) {
	xs := saturatedFraction(over, tw, p)
	if !(xs <= maxFraction) {
		return nan, nan, ruleSteam
	}
	hs := molarEnthalpy(tw, xs, p) / (1 - xs)
	rs := xs / (1 - xs)
	hl, _ := condensedEnthalpy(over, tw, p)
	ha, _ := airEnthalpy(t)
	hv, _ := vapourEnthalpy(t)
	z := reduced(t)
	for range 8 {
		x = (hs - rs*hl - ha - residualEnthalpy(z, x, p)) / (hv - ha + hs - rs*hl - hl)
	}
	if x < 0 {
		// The rounding of a bulb in completely dry air.
		if x > -1e-12 {
			return t, 0, ""
		}
		return nan, nan, ruleTooDry
	}
	return t, x, ""
}

// bulbTemperature returns the temperature of air with the mole fraction x whose
// bulb is at tw.
func bulbTemperature(over Phase, x, tw, p float64) (tempC, xx float64, rule string) {
	xs := saturatedFraction(over, tw, p)
	if !(xs <= maxFraction) {
		return nan, nan, ruleSteam
	}
	hl, _ := condensedEnthalpy(over, tw, p)
	h := (1-x)*molarEnthalpy(tw, xs, p)/(1-xs) - (xs*(1-x)/(1-xs)-x)*hl
	t := tw
	for range 12 {
		m := derivativesAt(t, x, p)
		d := (h - m.h) / m.hT
		t += d
		if math.Abs(d) < 1e-11 {
			break
		}
	}
	if !(t >= airTemperature.Min && t <= airTemperature.Max) {
		return nan, nan, ruleNowhere
	}
	return t, x, ""
}

// twoHumidities returns the temperature at which two humidities, over water and over
// ice, belong to the same air.
func twoHumidities(water, ice, p float64) (t, x float64, rule string) {
	if water == 0 || ice == 0 {
		return nan, nan, ruleSame
	}
	ratio := math.Log(ice / water)
	t, ok := numeric.Root(func(t float64) float64 {
		return math.Log(saturatedFraction(Water, t, p)/saturatedFraction(Ice, t, p)) - ratio
	}, airTemperature.Min, triple, 1e-12)
	if !ok {
		return nan, nan, ruleNowhere
	}
	return t, 0.01 * water * saturatedFraction(Water, t, p), ""
}

// humidityAndBulb returns the air of a given relative humidity whose bulb has a given
// temperature.
func humidityAndBulb(a, b Given, p float64) (t, x float64, rule string) {
	over := a.kind.phase()
	fraction := func(t float64) float64 { return 0.01 * a.value * saturatedFraction(over, t, p) }
	// The hottest air that is still air: what lies beyond counts as too hot.
	hi := airTemperature.Max
	if over == Ice {
		hi = triple
	}
	t, ok := numeric.Root(func(t float64) float64 {
		x := fraction(t)
		if !(x <= maxFraction) {
			return warmest
		}
		bulb := stateOf(t, p, x).balance(b.kind.phase())
		return bulb.solve(bulb.start()) - b.value
	}, airTemperature.Min, hi, 1e-12)
	if !ok {
		return nan, nan, ruleNowhere
	}
	return t, fraction(t), ""
}
