package psychro

import "math"

// The enhancement factor f: the vapour pressure of saturated air is f times the
// saturation pressure of pure vapour, because the vapour interacts with the air
// and the water is under the air's pressure. The chemical potentials of the
// vapour in the mixture, of the vapour alone and of the condensed phase are
// equal (IAPWS G9-12; air dissolved in the water is left out, as in G8-10). To
// second order in the pressure that reads
//
//	ln f = y p (k0 + x k1 + p/2 (h0 + x h1 + x² h2))
//	k0 = (v - 2 Baw + Baa)/RT,  k1 = (2 Baw - Baa - Bww)/RT
//
// with x the mole fraction of vapour at saturation, y = 1 - x and v the molar
// volume of the condensed phase; the functions h collect the third virial
// coefficients and the squares of the second ones. They are polynomials in z,
// fitted with NumPy 1.24.2 to the complete condition, solved with the virial
// coefficients of Debian python3-iapws 1.5.2, from -105 to 100 °C and 300 to
// 1100 hPa. ln f is then within 5e-6 of the condition.

// enhancement holds ln f of one temperature and pressure as a function of x:
// (1 - x)(a + b x + c x²).
type enhancement struct{ a, b, c float64 }

func enhancementAt(over Phase, z, p float64) enhancement {
	z2 := z * z
	var k0 float64
	if over == Ice {
		k0 = (3.62013970464e-06 + z*9.33559233864e-06) + z2*((7.98698987614e-06+z*2.89793388976e-06)+z2*7.69071224646e-07)
	} else {
		k0 = (3.55187117426e-06 + z*9.29368213315e-06) + z2*((8.19370893581e-06+z*2.13134242734e-06)+z2*1.44905395619e-06)
	}
	k1 := (8.64476904597e-05 + z*0.000611339488946) + z2*((0.00220376404944+z*0.00535058248848)+
		z2*((0.00958068526472+z*0.0120896070287)+z2*0.00788996480648))
	h0, h1, h2 := pressureTerms(z)
	hp := 0.5 * p
	return enhancement{p * (k0 + hp*h0), p * (k1 + hp*h1), p * hp * h2}
}

// pressureTerms returns the functions h.
func pressureTerms(z float64) (h0, h1, h2 float64) {
	return 2.19054147e-11 + z*(-6.90863353e-11+z*2.86903176e-10),
		2.43738095e-09 + z*(2.24197205e-08+z*5.06372022e-08),
		3.24939926e-08 + z*(2.09744901e-07+z*3.54437734e-07)
}

// ln returns ln f.
func (c enhancement) ln(x float64) float64 { return (1 - x) * (c.a + x*(c.b+x*c.c)) }

// lnX returns the derivative of ln f by x.
func (c enhancement) lnX(x float64) float64 {
	return (1-x)*(c.b+2*x*c.c) - (c.a + x*(c.b+x*c.c))
}

// enhancementZ returns the derivative of enhancementAt by z: its ln is what ln f
// does by z at constant x and p.
func enhancementZ(over Phase, z, p float64) enhancement {
	var k0 float64
	if over == Ice {
		k0 = 9.33559233864e-06 + z*(2*7.98698987614e-06+z*(3*2.89793388976e-06+z*(4*7.69071224646e-07)))
	} else {
		k0 = 9.29368213315e-06 + z*(2*8.19370893581e-06+z*(3*2.13134242734e-06+z*(4*1.44905395619e-06)))
	}
	k1 := 0.000611339488946 + z*(2*0.00220376404944+z*(3*0.00535058248848+z*(4*0.00958068526472+z*(5*0.0120896070287+z*(6*0.00788996480648)))))
	h0 := -6.90863353e-11 + z*(2*2.86903176e-10)
	h1 := 2.24197205e-08 + z*(2*5.06372022e-08)
	h2 := 2.09744901e-07 + z*(2*3.54437734e-07)
	hp := 0.5 * p
	return enhancement{p * (k0 + hp*h0), p * (k1 + hp*h1), p * hp * h2}
}

// saturated returns the mole fraction of vapour in saturated air, the solution
// of x = f(x) x0 where x0 is the saturation pressure over the air pressure. Where
// x0 reaches 1 there is no saturated air; f is then 1, its limit.
func (c enhancement) saturated(x0 float64) float64 {
	if !(x0 < 1) {
		return x0
	}
	// The start is off by the square of ln f, and each Newton step squares
	// that again.
	x := x0 * (1 + c.ln(x0))
	x = c.step(x0, x)
	if x > 0.15 {
		x = c.step(x0, x)
	}
	return x
}

// step is a Newton step for x = f(x) x0.
func (c enhancement) step(x0, x float64) float64 {
	return x + (x0*expSmall(c.ln(x))-x)/(1-x*c.lnX(x))
}

// saturatedFraction returns the mole fraction of vapour in air saturated over a
// phase at the temperature t and the pressure p.
func saturatedFraction(over Phase, t, p float64) float64 {
	var e float64
	if over == Ice {
		e = math.Exp(lnEI(t))
	} else {
		e = math.Exp(lnES(t))
	}
	return enhancementAt(over, reduced(t), p).saturated(e / p)
}

// saturationPoint returns the temperature at which air with the mole fraction x
// is saturated over a phase; l is the logarithm of its vapour pressure in hPa.
func saturationPoint(over Phase, l, x, p float64) float64 {
	t := guess(over, l-(1-x)*p*lnStart(over, l, x))
	q := 1 / (t + kelvin)
	z := -t * q
	y, y1 := lnSat(over, t)
	f := enhancementAt(over, z, p).ln(x)
	f1 := enhancementZ(over, z, p).ln(x) * -kelvin * q * q
	return t + (l-y-f)/(y1+f1)
}

// lnStart is ln f over (1 - x)p as a function of l instead of the temperature, to
// first order in p and within 3e-5 of ln f: a few 1e-4 K of the start.
func lnStart(over Phase, l, x float64) float64 {
	if over == Ice {
		return 4.4430935e-06 + l*(-4.7402113e-07+l*(1.6787536e-08+l*-3.8074075e-10)) +
			x*(0.00014810021+l*(-4.0600991e-05+l*(3.1166168e-06+l*4.2475628e-07)))
	}
	return 4.4966157e-06 + l*(-5.2502104e-07+l*(1.7378396e-08+l*-3.8667826e-10)) +
		x*(0.00014563281+l*(-4.2303293e-05+l*(4.758352e-06+l*-2.00153e-07)))
}
