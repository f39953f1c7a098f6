package psychro

import "math"

// The ideal-gas enthalpies in J/mol and entropies in J/(mol K) at 1000 hPa of
// dry air (Lemmon et al. 2000) and of water vapour (IAPWS-95), with the zeros of
// IAPWS G8-10: dry air at 0 °C and 1013.25 hPa, liquid water at the triple
// point. Polynomials in t/100 °C, fitted from -106 to 106 °C with NumPy 1.24.2 to
// Debian python3-iapws 1.5.2, within 0.0023 J/mol and 0.00006 J/(mol K).

func airEnthalpy(tempC float64) (h, h1 float64) {
	t := tempC * 0.01
	t2 := t * t
	h = (8.04539286653 + t*2907.21236145) + t2*((4.79110228153+t*2.60540229214)+t2*(0.500412223688+t*-0.0569171319114))
	h1 = (29.0721236145 + t*0.0958220456306) + t2*((0.0781620687642+t*0.02001648894752)+t2*-0.00284585659557)
	return h, h1
}

func vapourEnthalpy(tempC float64) (h, h1 float64) {
	t := tempC * 0.01
	t2 := t * t
	h = (45064.1538852 + t*3349.07668319) + t2*((16.5067115996+t*7.32679961213)+t2*(0.660684339185+t*-0.4388952814))
	h1 = (33.4907668319 + t*0.330134231992) + t2*((0.2198039883639+t*0.0264273735674)+t2*-0.02194476407)
	return h, h1
}

// The entropies are the integrals of the heat capacities over the temperature,
// so that h and s belong together; l is ln(T/273.15 K).

func airEntropy(tempC, l float64) float64 {
	t := tempC * 0.01
	return 0.13388 + 28.827201735*l + t*(0.0896657073078+t*(0.00112691530712+t*(0.00926331541277+t*-0.000711464148892)))
}

func vapourEntropy(tempC, l float64) float64 {
	t := tempC * 0.01
	return 122.592473 + 32.4687749605*l + t*(0.374150419678+t*(-0.0080571458331+t*(0.0287898322082+t*-0.0054861910175)))
}

// condensedEnthalpy is the enthalpy of liquid water (IAPWS-95, fitted from -27
// to 104 °C within 0.3 J/mol above -1 °C and 3.3 J/mol below, continued with its
// slope at -25 °C) or of ice (IAPWS R10-06, within 0.005 J/mol) at the pressure
// p in hPa, and its derivative by temperature.
func condensedEnthalpy(over Phase, tempC, p float64) (h, h1 float64) {
	t := tempC * 0.01
	if over == Ice {
		h = -6005.59615468 + t*(3777.29459514+t*(664.416362978+t*(8.26507161794+t*-4.41918113462)))
		h1 = 3777.29459514 + t*(2*664.416362978+t*(3*8.26507161794+t*(4*-4.41918113462)))
		return h + (p-1000)*condensedByPressure(Ice), h1 * 0.01
	}
	u := max(t, -0.25)
	u2 := u * u
	h = (1.38570568507 + u*7604.77269458) + u2*((-361.258047171+u*897.174684821)+u2*((-1226.38110617+u*889.779416317)+u2*-254.03108689))
	h1 = (76.0477269458 + u*(-2*3.61258047171)) + u2*((3*8.97174684821+u*(-4*12.2638110617))+u2*(5*8.89779416317+u*(-6*2.5403108689)))
	return h + (tempC-100*u)*h1 + (p-1000)*condensedByPressure(Water), h1
}

// condensedByPressure is the derivative of condensedEnthalpy by pressure in
// J/(mol hPa): v - T dv/dT at 20 and at -20 °C.
func condensedByPressure(over Phase) float64 {
	if over == Ice {
		return 1.9e-3
	}
	return 1.7e-3
}

// residualEnthalpy is what the interaction of the molecules adds to the
// enthalpy of a mole of mixture: -T² d(g/RT)/dT, and dz/dT = -273.15 K/T².
func residualEnthalpy(z, x, p float64) float64 {
	aa, aw, ww := secondZ(z)
	c0, c1, c2, c3 := thirdZ(z)
	return gasConstant * kelvin * p * (quadratic(x, aa, aw, ww) + 0.5*p*cubic(x, c0, c1, c2, c3))
}

// molarEnthalpy is the enthalpy of a mole of moist air, J/mol.
func molarEnthalpy(tempC, x, p float64) float64 {
	ha, _ := airEnthalpy(tempC)
	hw, _ := vapourEnthalpy(tempC)
	return ha + x*(hw-ha) + residualEnthalpy(reduced(tempC), x, p)
}

// molarEntropy is the entropy of a mole of moist air, J/(mol K).
func molarEntropy(tempC, x, p float64) float64 {
	z := reduced(tempC)
	l := math.Log1p(tempC / kelvin)
	s := (1-x)*airEntropy(tempC, l) + x*vapourEntropy(tempC, l) - gasConstant*math.Log(p/1000)
	s -= gasConstant * ((1-x)*math.Log1p(-x) + xlnx(x))
	aa, aw, ww := second(z)
	c0, c1, c2, c3 := third(z)
	return s - gasConstant*p*(quadratic(x, aa, aw, ww)+0.5*p*cubic(x, c0, c1, c2, c3)) + residualEnthalpy(z, x, p)/(tempC+kelvin)
}

// xlnx is x ln x with its limit 0 at 0.
func xlnx(x float64) float64 {
	if x == 0 {
		return 0
	}
	return x * math.Log(x)
}
