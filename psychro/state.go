package psychro

import (
	"math"

	"github.com/stationphysics/stationphysics"
	"github.com/stationphysics/stationphysics/internal/limit"
)

// Phase is the condensed phase that a saturation refers to.
type Phase uint8

const (
	Water Phase = iota // liquid water, below 0 °C supercooled
	Ice                // ice
)

// String gives "water" or "ice".
func (p Phase) String() string {
	if p == Ice {
		return "ice"
	}
	return "water"
}

// A State is moist air of one temperature, pressure and moisture content. Make
// it with New, From, FromPsychrometer or the methods of an Excess. The zero
// State is no air: its results are NaN or zero. A State is a small value to be
// copied; its methods never fail, and those of an undefined result return NaN.
type State struct {
	t, p float64 // °C, hPa
	x    float64 // mole fraction of water vapour
	l    float64 // logarithm of the vapour pressure in hPa
}

// maxFraction is the largest accepted mole fraction of vapour: beyond it the
// air is a trace gas in steam, and quantities per kilogram of dry air explode.
const maxFraction = 0.9

// New returns the state of air from its temperature (-100 to 100 °C), relative
// humidity (0 to 100 %) and pressure (300 to 1100 hPa). The humidity is the one
// over liquid water at all temperatures, also below 0 °C, as humidity sensors
// are calibrated and as WMO-No. 8 requires. For the habit of refrigeration and
// air conditioning to count over ice below 0 °C there is From with
// HumidityOverIce. It is the ratio of the mole fraction of vapour to that of
// saturated air at the same temperature and pressure, with the enhancement
// factor on both sides.
//
// A reading above 100 % is refused; an Excess names the other ways to treat it.
// The error is a *stationphysics.RangeError, or a *stationphysics.ConflictError
// for hot air that would be more than nine tenths vapour.
func New(tempC, rhPct, pressureHPa float64) (State, error) {
	if err := limit.First(airTemperature.Check(tempC), relativeHumidity.Check(rhPct), stationPressure.Check(pressureHPa)); err != nil {
		return State{}, err
	}
	return fromFraction(tempC, pressureHPa, 0.01*rhPct*saturatedFraction(Water, tempC, pressureHPa))
}

// fromFraction makes a state of checked temperature and pressure.
func fromFraction(t, p, x float64) (State, error) {
	if !(x <= maxFraction) {
		return State{}, &stationphysics.ConflictError{
			Quantities: []string{"vapour pressure", "air pressure"}, Values: []float64{x * p, p}, Units: []string{"hPa", "hPa"},
			Rule: "at most nine tenths of the pressure can be vapour"}
	}
	return stateOf(t, p, x), nil
}

func stateOf(t, p, x float64) State { return State{t: t, p: p, x: x, l: math.Log(x * p)} }

// TempC returns the air temperature in °C.
func (s State) TempC() float64 { return s.t }

// PressureHPa returns the air pressure in hPa.
func (s State) PressureHPa() float64 { return s.p }

// saturation returns the mole fraction of vapour of air saturated over a phase
// at the temperature and pressure of the state.
func (s State) saturation(over Phase) float64 { return saturatedFraction(over, s.t, s.p) }

// RelativeHumidityPct returns the relative humidity over liquid water in %, the
// one of WMO-No. 8 and of New.
func (s State) RelativeHumidityPct() float64 { return 100 * s.x / s.saturation(Water) }

// HumidityOverIcePct returns the relative humidity over ice in %. It exceeds the
// one over water below 0 °C. Above 0.01 °C there is no ice: NaN.
func (s State) HumidityOverIcePct() float64 {
	if s.t > triple {
		return nan
	}
	return 100 * s.x / s.saturation(Ice)
}

// VapourPressureHPa returns the vapour pressure in hPa: the mole fraction of
// vapour times the pressure (WMO-No. 8 part I annex 4.A; e' there).
func (s State) VapourPressureHPa() float64 { return s.x * s.p }

// VapourDeficitHPa returns by how many hPa the vapour pressure stays below that of
// air saturated over water at the same temperature and pressure; negative if
// supersaturated.
func (s State) VapourDeficitHPa() float64 { return (s.saturation(Water) - s.x) * s.p }

// DewPointC returns the temperature in °C at which the air, cooled at constant
// pressure, is saturated over liquid water; below 0 °C over supercooled water.
// Air so dry that this lies below -150 °C has no dew point: NaN.
func (s State) DewPointC() float64 { return s.point(Water) }

// FrostPointC returns the temperature in °C at which the air, cooled at constant
// pressure, is saturated over ice. There is none above 0.01 °C and none below
// -150 °C: NaN. Between 0 °C and the dew point the air has only a dew point.
func (s State) FrostPointC() float64 { return s.point(Ice) }

func (s State) point(over Phase) float64 {
	if !(s.x > 0) {
		return nan
	}
	t := saturationPoint(over, s.l, s.x, s.p)
	if over == Ice && t > triple+1e-9 || !(t >= coldest && t <= warmest+10) {
		return nan
	}
	return t
}

// nan is the answer where there is none.
var nan = math.NaN()
