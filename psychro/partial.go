package psychro

import "math"

// A saturated is saturated air with the logarithmic derivatives of its mole
// fraction by temperature and pressure.
type saturated struct{ x, lnT, lnP float64 }

// saturatedAir differentiates x = e(t) f(t, p, x)/p.
func saturatedAir(over Phase, t, p float64) saturated {
	y, y1 := lnSat(over, t)
	x0 := math.Exp(y) / p
	if !(x0 < 1) {
		return saturated{x0, y1, -1 / p}
	}
	z := reduced(t)
	c := enhancementAt(over, z, p)
	x := c.saturated(x0)
	h0, h1, h2 := pressureTerms(z)
	fP := c.ln(x)/p + 0.5*p*(1-x)*(h0+x*(h1+x*h2))
	fT := enhancementZ(over, z, p).ln(x) * reducedT(t)
	m := 1 / (1 - x*c.lnX(x))
	return saturated{x, (y1 + fT) * m, (fP - 1/p) * m}
}

// reducedT is the derivative of reduced by temperature.
func reducedT(t float64) float64 { return -kelvin / ((t + kelvin) * (t + kelvin)) }

// A molar holds enthalpy and entropy of a mole of moist air and their
// derivatives by temperature, pressure and mole fraction, and those of the
// compressibility factor.
type molar struct {
	h, hT, hP, hX float64
	sT, sP, sX    float64
	z, zT, zP, zX float64
}

func derivativesAt(t, x, p float64) molar {
	z, zt := reduced(t), reducedT(t)
	tk := t + kelvin
	aa, aw, ww := second(z)
	aa1, aw1, ww1 := secondZ(z)
	aa2, aw2, ww2 := secondZZ(z)
	c0, c1, c2, c3 := third(z)
	d0, d1, d2, d3 := thirdZ(z)
	e0, e1, e2, e3 := thirdZZ(z)
	b, bX := quadratic(x, aa, aw, ww), quadraticX(x, aa, aw, ww)
	c, cX := cubic(x, c0, c1, c2, c3), cubicX(x, c1, c2, c3)
	bz, bzX := quadratic(x, aa1, aw1, ww1), quadraticX(x, aa1, aw1, ww1)
	cz, czX := cubic(x, d0, d1, d2, d3), cubicX(x, d1, d2, d3)
	bzz, czz := quadratic(x, aa2, aw2, ww2), cubic(x, e0, e1, e2, e3)

	ha, ha1 := airEnthalpy(t)
	hv, hv1 := vapourEnthalpy(t)
	const rk = gasConstant * kelvin
	var m molar
	m.h = ha + x*(hv-ha) + rk*p*(bz+0.5*p*cz)
	m.hT = ha1 + x*(hv1-ha1) + rk*p*(bzz+0.5*p*czz)*zt
	m.hP = rk * (bz + p*cz)
	restX := rk * p * (bzX + 0.5*p*czX)
	m.hX = hv - ha + restX
	m.sT = m.hT / tk
	m.sP = -gasConstant*(1/p+b+p*c) + m.hP/tk
	l := math.Log1p(t / kelvin)
	m.sX = vapourEntropy(t, l) - airEntropy(t, l) - gasConstant*(math.Log(x)-math.Log1p(-x)) - gasConstant*p*(bX+0.5*p*cX) + restX/tk
	m.z = 1 + p*(b+p*c)
	m.zT = p * (bz + p*cz) * zt
	m.zP = b + 2*p*c
	m.zX = p * (bX + p*cX)
	return m
}
