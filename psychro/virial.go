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
// up to saturation, within 4e-6 of Z. In 1/hPa and 1/hPa². Everything else follows from the residual Gibbs energy g/RT = b p + c p²/2,
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

// The coefficients of the reduced second virial coefficients, value and slope
// fitted together: Bww weighted by the saturation pressure, so that far below
// 0 °C, where there is no vapour to speak of, it is only of the right size.
const (
	aa0, aa1, aa2, aa3, aa4           = -5.97202663596e-07, -3.49896686045e-06, -3.43518357763e-06, -4.83817997793e-07, -8.38000937475e-08
	aw0, aw1, aw2, aw3, aw4           = -1.67649923962e-06, -5.98498852428e-06, -5.71119893255e-06, -1.69269368055e-06, -4.23520685495e-07
	ww0, ww1, ww2, ww3, ww4, ww5, ww6 = -8.92034895714e-05, -0.000619810740692, -0.00221175103932, -0.00535348042237, -0.00958145433594, -0.0120896070287, -0.00788996480638
)

// reduced is z of a temperature.
func reduced(tempC float64) float64 { return -tempC / (tempC + kelvin) }

// second returns the reduced second virial coefficients.
func second(z float64) (aa, aw, ww float64) {
	aa = aa0 + z*(aa1+z*(aa2+z*(aa3+z*aa4)))
	aw = aw0 + z*(aw1+z*(aw2+z*(aw3+z*aw4)))
	z2 := z * z
	ww = ww0 + z*ww1 + z2*((ww2+z*ww3)+
		z2*((ww4+z*ww5)+z2*ww6))
	return aa, aw, ww
}

// secondZ returns the derivatives of second by z.
func secondZ(z float64) (aa, aw, ww float64) {
	aa = aa1 + z*(2*aa2+z*(3*aa3+z*(4*aa4)))
	aw = aw1 + z*(2*aw2+z*(3*aw3+z*(4*aw4)))
	z2 := z * z
	ww = ww1 + z*(2*ww2) + z2*((3*ww3+z*(4*ww4))+
		z2*(5*ww5+z*(6*ww6)))
	return aa, aw, ww
}

// secondZZ returns the second derivatives of second by z.
func secondZZ(z float64) (aa, aw, ww float64) {
	return 2*aa2 + z*(6*aa3+z*(12*aa4)),
		2*aw2 + z*(6*aw3+z*(12*aw4)),
		2*ww2 + z*(6*ww3+z*(12*ww4+z*(20*ww5+z*(30*ww6))))
}

// third returns the four functions of z that make c = c0 + x c1 + x² c2 + x³ c3,
// and thirdZ their derivatives.
func third(z float64) (c0, c1, c2, c3 float64) {
	return 4.19222599e-12 + z*(4.83661748e-12+z*-2.93721064e-11),
		-7.86466911e-11 + z*(-3.08657162e-11+z*9.51545128e-10),
		(-7.14610011e-10 + z*-1.22991121e-08) + z*z*(-5.64956979e-08+z*-7.61122714e-08),
		(-1.77604903e-08 + z*-1.47498832e-07) + z*z*(-4.29330134e-07+z*-4.37392092e-07)
}

func thirdZ(z float64) (c0, c1, c2, c3 float64) {
	return 4.83661748e-12 + z*(2*-2.93721064e-11),
		-3.08657162e-11 + z*(2*9.51545128e-10),
		-1.22991121e-08 + z*(2*-5.64956979e-08+z*(3*-7.61122714e-08)),
		-1.47498832e-07 + z*(2*-4.29330134e-07+z*(3*-4.37392092e-07))
}

// thirdZZ returns the second derivatives of third by z.
func thirdZZ(z float64) (c0, c1, c2, c3 float64) {
	return 2 * -2.93721064e-11, 2 * 9.51545128e-10,
		2*-5.64956979e-08 + z*(6*-7.61122714e-08), 2*-4.29330134e-07 + z*(6*-4.37392092e-07)
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
