package psychro

import "math"

// WetBulbC returns the thermodynamic wet-bulb temperature in °C.
func (s State) WetBulbC() float64 {
	if t := s.bulb(Water); t >= 0 {
		return t
	}
	return s.bulb(Ice)
}

// WaterBulbC returns the one of a bulb covered with liquid water.
func (s State) WaterBulbC() float64 { return s.bulb(Water) }

// IceBulbC returns the one of a bulb covered with ice.
func (s State) IceBulbC() float64 {
	t := s.bulb(Ice)
	if t > triple {
		return nan
	}
	return t
}

func (s State) bulb(over Phase) float64 {
	h0 := molarEnthalpy(s.t, s.x, s.p) / (1 - s.x)
	r := s.x / (1 - s.x)
	g := func(t float64) float64 {
		var e float64
		if over == Ice {
			e = math.Exp(lnEI(t))
		} else {
			e = math.Exp(lnES(t))
		}
		xs := saturatedFraction(over, t, e, s.p)
		if xs >= 1 {
			return 1e9
		}
		hl, _ := condensedEnthalpy(over, t, s.p)
		return molarEnthalpy(t, xs, s.p) - (1-xs)*h0 - (xs-(1-xs)*r)*hl
	}
	lo, hi := -150.0, s.t+20
	for range 60 {
		m := 0.5 * (lo + hi)
		if g(m) > 0 {
			hi = m
		} else {
			lo = m
		}
	}
	return 0.5 * (lo + hi)
}
