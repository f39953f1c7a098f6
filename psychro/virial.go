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
// and Huang 2007 and Hyland and Wexler 1983). The coefficients divided by
// RT are polynomials in z = 273.15 K/T - 1, fitted with NumPy 1.24.2 to the values
// of Debian python3-iapws 1.5.2 from -106 to 106 °C; so is c with its derivative,
// up to saturation, within 7e-6 of Z. In 1/hPa and 1/hPa². Everything else follows from the residual Gibbs energy g/RT = b p + c p²/2,
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

// secondZZ returns the second derivatives of second by z.
func secondZZ(z float64) (aa, aw, ww float64) {
	return 2*-3.43497194754e-06 + z*(6*-4.80188127495e-07+z*(12*-8.96438877791e-08)),
		2*-5.71098091184e-06 + z*(6*-1.68906100863e-06+z*(12*-4.29357556211e-07)),
		2*-0.00210921115939 + z*(6*-0.00452889654318+z*(12*-0.00789507749871+z*(20*-0.0152739341972+z*(30*-0.0185440354484))))
}

// third returns the four functions of z that make c = c0 + x c1 + x² c2 + x³ c3,
// and thirdZ their derivatives.
func third(z float64) (c0, c1, c2, c3 float64) {
	return 4.05332555e-12 + z*(7.03253528e-12+z*-3.28159176e-11),
		-1.15143996e-10 + z*(-4.29872001e-10+z*1.42186406e-10),
		(-2.35585167e-11 + z*-3.41965508e-09) + z*z*(-2.10910981e-08+z*-2.98632457e-08),
		(-1.83000263e-08 + z*-1.5465625e-07) + z*z*(-4.58257891e-07+z*-4.75220233e-07)
}

func thirdZ(z float64) (c0, c1, c2, c3 float64) {
	return 7.03253528e-12 + z*(2*-3.28159176e-11),
		-4.29872001e-10 + z*(2*1.42186406e-10),
		-3.41965508e-09 + z*(2*-2.10910981e-08+z*(3*-2.98632457e-08)),
		-1.5465625e-07 + z*(2*-4.58257891e-07+z*(3*-4.75220233e-07))
}

// thirdZZ returns the second derivatives of third by z.
func thirdZZ(z float64) (c0, c1, c2, c3 float64) {
	return 2 * -3.28159176e-11, 2 * 1.42186406e-10,
		2*-2.10910981e-08 + z*(6*-2.98632457e-08), 2*-4.58257891e-07 + z*(6*-4.75220233e-07)
}

// quadratic is the quadratic form in the mole fractions.
func quadratic(x, aa, aw, ww float64) float64 {
	y := 1 - x
	return y*y*aa + x*(2*y*aw+x*ww)
}

// quadraticX and cubicX are the derivatives of quadratic and cubic by x.
func quadraticX(x, aa, aw, ww float64) float64 { return 2 * ((1-x)*(aw-aa) + x*(ww-aw)) }

func cubicX(x, c1, c2, c3 float64) float64 { return c1 + x*(2*c2+3*x*c3) }

// cubic is a polynomial in the mole fraction of vapour.
func cubic(x, c0, c1, c2, c3 float64) float64 { return c0 + x*c1 + x*x*(c2+x*c3) }

// compressibility is Z - 1.
func compressibility(z, x, p float64) float64 {
	aa, aw, ww := second(z)
	c0, c1, c2, c3 := third(z)
	return p * (quadratic(x, aa, aw, ww) + p*cubic(x, c0, c1, c2, c3))
}
