package psychro

import "github.com/stationphysics/stationphysics/internal/limit"

// Ventilation is how the air passes a psychrometer's bulbs.
type Ventilation uint8

const (
	// Aspirated is a psychrometer ventilated by a fan or slung, of the Assmann
	// type: A = 6.53e-4/K (1 + 0.000944 tw) over water, 5.75e-4/K over ice (WMO-No. 8
	// part I annex 4.B).
	Aspirated Ventilation = iota
	// Screen is a pair of thermometers in a naturally ventilated screen, in light
	// wind: A = 7.99e-4/K over water (Sargent 1980, Meteorol. Mag. 109), 7.20e-4/K over
	// ice (from memory). In calm the coefficient grows to 12e-4/K, in strong wind it
	// falls to the aspirated one; WMO-No. 8 warns that no fixed value fits (from memory).
	Screen
)

// Reading is a reading of a dry and a wet thermometer.
type Reading struct {
	TempC       float64     // dry bulb, °C, -100 to 100
	BulbC       float64     // wet or ice bulb, °C
	PressureHPa float64     // air pressure, hPa, 300 to 1100
	Cover       Phase       // what the wick carries: below 0 °C look at it
	Ventilation Ventilation // how the air passes
}

// coefficientPerK is the psychrometer coefficient A.
func (r *Reading) coefficientPerK() float64 {
	switch {
	case r.Ventilation == Screen && r.Cover == Ice:
		return 7.20e-4
	case r.Ventilation == Screen:
		return 7.99e-4
	case r.Cover == Ice:
		return 5.75e-4
	}
	return 6.53e-4 * (1 + 0.000944*r.BulbC)
}

// FromPsychrometer returns the state of air from a psychrometer by
// e = e'(tw) - A p (t - tw), WMO-No. 8 part I annex 4.B, where e' is the vapour
// pressure of saturated air by the Reference formula and the enhancement factor.
// It differs from From with WetBulb, which holds for the thermodynamic wet bulb
// that no instrument measures exactly. Errors as From; a depression that leaves
// less than no vapour is a conflict.
func FromPsychrometer(r Reading) (State, error) { return Refuse.FromPsychrometer(r) }

// FromPsychrometer is FromPsychrometer with the excess treated as e says. It
// fails as that does.
func (e Excess) FromPsychrometer(r Reading) (State, error) {
	e = e.known()
	dry, wet := Temperature(r.TempC), WetBulb(r.BulbC)
	if r.Cover == Ice {
		wet = IceBulb(r.BulbC)
	}
	if err := limit.First(e.check(dry), e.check(wet), stationPressure.Check(r.PressureHPa)); err != nil {
		return State{}, err
	}
	x := saturatedFraction(r.Cover, r.BulbC, r.PressureHPa) - r.coefficientPerK()*(r.TempC-r.BulbC)
	if x < 0 {
		return State{}, conflict(dry, wet, ruleTooDry)
	}
	return e.judge(r.TempC, r.PressureHPa, x, dry, wet)
}
