package psychro

// Moist air as a real gas: the compressibility factor is Z = 1 + b p + c p²,
// where b = B/(RT) and c = (C - B²)/(RT)² are made of the second and third
// virial coefficients of the mixture,
//
//	B = y² Baa + 2 x y Baw + x² Bww
//	C = y³ Caaa + 3 x y² Caaw + 3 x² y Caww + x³ Cwww
//
// with x the mole fraction of water vapour and y = 1 - x. Baa and Caaa come
// from the equation of state of Lemmon et al. (2000), Bww and Cwww from
// IAPWS-95, Baw, Caaw and Caww from IAPWS G8-10 (Table 3 there, after Harvey
// and Huang 2007 and Hyland and Wexler 1983). The coefficients divided by RT or
// (RT)², in 1/hPa and 1/hPa², are polynomials in z = 273.15 K/T - 1, fitted with
// NumPy 1.24.2 to the values of Debian python3-iapws 1.5.2 from -106 to 106 °C.
// Everything else follows from the residual Gibbs energy g/RT = b p + c p²/2,
// so that density, fugacity, enthalpy and entropy belong to one another.

// gasConstant in J/(mol K), exact in the SI since 2019. molarAir is the dry air
// of CIPM-2007 (Picard et al. 2008) at 400 µmol/mol of carbon dioxide, molarWater
// that of IAPWS-95, both in kg/mol; kelvin is the ice point.
const (
	gasConstant = 8.314462618
	molarAir    = 28.96546e-3
	molarWater  = 18.015268e-3
	molarRatio  = molarWater / molarAir
	kelvin      = 273.15
)

// reduced is z of a temperature.
func reduced(tempC float64) float64 { return -tempC / (tempC + kelvin) }

// second returns the reduced second virial coefficients.
func second(z float64) (aa, aw, ww float64) {
	aa = -5.97203936066e-07 + z*(-3.49923253805e-06+z*(-3.43497194754e-06+z*(-4.80188127495e-07+z*-8.96438877791e-08)))
	aw = -1.6765015239e-06 + z*(-5.98524214189e-06+z*(-5.71098091184e-06+z*(-1.68906100863e-06+z*-4.29357556211e-07)))
	z2 := z * z
	ww = -8.94688907893e-05 + z*-0.000618409287305 + z2*((-0.00210921115939+z*-0.00452889654318)+
		z2*((-0.00789507749871+z*-0.0152739341972)+z2*-0.0185440354484))
	return aa, aw, ww
}

// secondZ returns the derivatives of second by z.
func secondZ(z float64) (aa, aw, ww float64) {
	aa = -3.49923253805e-06 + z*(2*-3.43497194754e-06+z*(3*-4.80188127495e-07+z*(4*-8.96438877791e-08)))
	aw = -5.98524214189e-06 + z*(2*-5.71098091184e-06+z*(3*-1.68906100863e-06+z*(4*-4.29357556211e-07)))
	z2 := z * z
	ww = -0.000618409287305 + z*(2*-0.00210921115939) + z2*((3*-0.00452889654318+z*(4*-0.00789507749871))+
		z2*(5*-0.0152739341972+z*(6*-0.0185440354484)))
	return aa, aw, ww
}

// third returns the reduced third virial coefficients.
func third(z float64) (aaa, aaw, aww, www float64) {
	aaa = 3.61170256263e-12 + z*(9.37773727859e-12+z*9.36479381422e-12)
	aaw = 1.67137079089e-12 + z*(5.02358485888e-12+z*(4.29695105496e-12+z*-5.68101742774e-12))
	aww = -7.39580204952e-10 + z*(-1.05602349524e-08+z*(-6.73291194352e-08+z*(-2.04893575186e-07+z*-2.38234976113e-07)))
	www = -2.38470631869e-08 + z*(-3.26381285231e-07+z*(-2.10032690532e-06+z*(-7.76733640747e-06+z*(-1.58046065491e-05+z*-1.35870914959e-05))))
	return aaa, aaw, aww, www
}

// thirdZ returns the derivatives of third by z.
func thirdZ(z float64) (aaa, aaw, aww, www float64) {
	aaa = 9.37773727859e-12 + z*(2*9.36479381422e-12)
	aaw = 5.02358485888e-12 + z*(2*4.29695105496e-12+z*(3*-5.68101742774e-12))
	aww = -1.05602349524e-08 + z*(2*-6.73291194352e-08+z*(3*-2.04893575186e-07+z*(4*-2.38234976113e-07)))
	www = -3.26381285231e-07 + z*(2*-2.10032690532e-06+z*(3*-7.76733640747e-06+z*(4*-1.58046065491e-05+z*(5*-1.35870914959e-05))))
	return aaa, aaw, aww, www
}

// mix2 and mix3 are the quadratic and cubic forms in the mole fractions.
func mix2(x, aa, aw, ww float64) float64 {
	y := 1 - x
	return y*y*aa + x*(2*y*aw+x*ww)
}

func mix3(x, aaa, aaw, aww, www float64) float64 {
	y := 1 - x
	return y*y*(y*aaa+3*x*aaw) + x*x*(3*y*aww+x*www)
}

// compressibility is Z - 1.
func compressibility(z, x, p float64) float64 {
	aa, aw, ww := second(z)
	b := mix2(x, aa, aw, ww)
	aaa, aaw, aww, www := third(z)
	c := mix3(x, aaa, aaw, aww, www) - b*b
	return p * (b + p*c)
}

// molarVolume is the volume of the condensed phase in hPa⁻¹ after division by
// RT: of water a fit to IAPWS-95 at 1000 hPa from -30 °C, of ice the value of
// IAPWS R10-06 at -10 °C (Debian python3-iapws 1.5.2).
func molarVolume(over Phase, tempC float64) float64 {
	if over == Ice {
		return 19.63e-4 / (gasConstant * (tempC + kelvin))
	}
	t := tempC * 0.01
	if t < -0.3 {
		t = -0.3
	}
	return (18.0282496112e-4 + t*(-0.252510257968e-4+t*(1.57561325586e-4-t*0.555926930823e-4))) / (gasConstant * (tempC + kelvin))
}

// lnEnhancement is the logarithm of the enhancement factor of air at pressure p
// whose saturated mole fraction of vapour is x, over a phase whose saturation
// pressure is e, and its derivative by x. The vapour in the mixture, the vapour
// alone and the condensed phase under the pressure p have equal chemical
// potentials; air dissolved in the water is left out, as in IAPWS G8-10.
func lnEnhancement(over Phase, tempC, e, x, p float64) (ln, lnX float64) {
	z := reduced(tempC)
	aa, aw, ww := second(z)
	aaa, aaw, aww, www := third(z)
	y := 1 - x
	y2 := y * y
	d := 2*aw - aa
	s := y2*d + x*(2-x)*ww
	b := mix2(x, aa, aw, ww)
	g := y2*(-2*y*aaa+3*(1-2*x)*aaw+6*x*aww) + x*x*(3-2*x)*www + b*(b-2*s)
	pure := e * (ww + 0.5*e*(www-ww*ww))
	return pure - p*(s+0.5*p*g) + molarVolume(over, tempC)*(p-e), -2 * p * y * (ww - d)
}

// saturatedFraction returns the mole fraction of vapour in air saturated over a
// phase, e f/p. Where the saturation pressure reaches p there is no saturated
// air; f is then 1, its limit.
func saturatedFraction(over Phase, tempC, e, p float64) float64 {
	x0 := e / p
	if !(x0 < 1) {
		return x0
	}
	x := x0
	for range 6 {
		ln, lnX := lnEnhancement(over, tempC, e, x, p)
		d := (x0*expSmall(ln)/x - 1) / (1 - x*lnX)
		x += x * d
		if d < 1e-13 && d > -1e-13 {
			break
		}
	}
	return x
}
