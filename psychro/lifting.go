package psychro

import "math"

// poisson is R/cp of dry air, as in Bolton (1980).
const poisson = 0.2854

// gravity is the standard acceleration of free fall, m/s².
const gravity = 9.80665

// VirtualTemperatureC returns the temperature in °C at which dry air of the same
// pressure would have the density of the moist air, both taken as ideal gases:
// T (1 + w/0.62196)/(1 + w) in kelvins, with w the mixing ratio as a fraction.
func (s State) VirtualTemperatureC() float64 {
	return (s.t+kelvin)*molarAir/molarMass(s.x) - kelvin
}

// PotentialTemperatureC returns the temperature in °C that dry air would take on
// when brought to 1000 hPa without exchange of heat, T (1000 hPa/p)^0.2854 in
// kelvins (Bolton 1980).
func (s State) PotentialTemperatureC() float64 {
	return (s.t+kelvin)*math.Pow(1000/s.p, poisson) - kelvin
}

// EquivalentPotentialTemperatureC returns the pseudo-equivalent potential
// temperature in °C of Bolton (1980), eq. 43 with the condensation temperature of
// eq. 21: the potential temperature after all vapour has condensed and fallen
// out. Bolton states 0.3 K. Completely dry air has its potential temperature.
func (s State) EquivalentPotentialTemperatureC() float64 {
	if s.x == 0 {
		return s.PotentialTemperatureC()
	}
	r := s.MixingRatioGPerKg()
	tk := s.t + kelvin
	tl := 2840/(3.5*math.Log(tk)-s.l-4.805) + 55
	return tk*math.Exp(poisson*(1-0.28e-3*r)*math.Log(1000/s.p)+(3.376/tl-0.00254)*r*(1+0.81e-3*r)) - kelvin
}

// A Lifted is moist air at its lifting condensation level: lifted without
// exchange of heat or vapour until it is saturated over water.
type Lifted struct {
	TempC       float64 // temperature there, °C
	PressureHPa float64 // pressure there, hPa
	RiseM       float64 // height above the start, m
}

// CondensationLevel returns the lifting condensation level. Entropy and mole
// fraction are kept, both of the real gas, and the height follows from the
// enthalpy given up against standard gravity; no constant heat capacity is
// assumed. All fields are NaN for air too dry to saturate above -150 °C, and the
// level lies below the start for supersaturated air.
func (s State) CondensationLevel() Lifted {
	s0 := molarEntropy(s.t, s.x, s.p)
	// Start from Bolton (1980) eq. 21, good to a few tenths of a kelvin.
	tk := s.t + kelvin
	t := 2840/(3.5*math.Log(tk)-s.l-4.805) + 55 - kelvin
	if !(t > coldest+1 && t < warmest) {
		return Lifted{nan, nan, nan}
	}
	p := s.p * math.Pow((t+kelvin)/tk, 1/poisson)
	for range 20 {
		// Newton for ln xs(t, p) = ln x and s(t, p, x) = s0 together.
		a := saturatedAir(Water, t, p)
		e1 := math.Log(s.x) - math.Log(a.x)
		m := derivativesAt(t, s.x, p)
		e2 := s0 - molarEntropy(t, s.x, p)
		det := a.lnT*m.sP - a.lnP*m.sT
		dt := (e1*m.sP - a.lnP*e2) / det
		dp := (a.lnT*e2 - m.sT*e1) / det
		t += dt
		p += dp
		if math.Abs(dt) < 1e-11*(1+math.Abs(t)) {
			break
		}
	}
	if !(t >= coldest && t <= warmest && p > 0) {
		return Lifted{nan, nan, nan}
	}
	h := molarEnthalpy(s.t, s.x, s.p) - molarEnthalpy(t, s.x, p)
	return Lifted{t, p, h / (molarMass(s.x) * gravity)}
}
