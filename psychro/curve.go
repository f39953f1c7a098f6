package psychro

// coldest and warmest are the ends of the saturation curves in °C; triple is
// the triple point of water, where the curve over ice ends.
const (
	coldest = -150.0
	warmest = 100.0
	triple  = 0.01
)

// lnES returns the natural logarithm of the saturation pressure in hPa at a
// temperature from coldest to warmest, over water. Outside it continues the
// nearest interval, for the roots that look a little past an end.
func lnES(tempC float64) float64 {
	u := (tempC - coldest) * (1.0 / 25)
	i := interval(u, len(lnWater))
	return poly7(&lnWater[i], 2*(u-float64(i))-1)
}

// lnEI is lnES over ice.
func lnEI(tempC float64) float64 {
	u := (tempC - coldest) * (1.0 / 25)
	i := interval(u, len(lnIce))
	return poly7(&lnIce[i], 2*(u-float64(i))-1)
}

// lnSat returns the logarithm of the saturation pressure over a phase and its
// derivative by temperature.
func lnSat(over Phase, tempC float64) (y, y1 float64) {
	u := (tempC - coldest) * (1.0 / 25)
	var c *[8]float64
	var i int
	if over == Ice {
		i = interval(u, len(lnIce))
		c = &lnIce[i]
	} else {
		i = interval(u, len(lnWater))
		c = &lnWater[i]
	}
	v := 2*(u-float64(i)) - 1
	// v runs over 2 while the temperature runs over 25 K.
	return poly7(c, v), (2.0 / 25) * poly7V(c, v)
}

// interval is the whole part of u, kept to 0..n-1. NaN gives 0.
func interval(u float64, n int) int {
	if !(u > 0) {
		return 0
	}
	if u < float64(n) {
		return int(u)
	}
	return n - 1
}

// poly7 sums a polynomial of degree seven in the order of Estrin, whose chain
// of dependent operations is half as long as Horner's.
func poly7(c *[8]float64, v float64) float64 {
	v2 := v * v
	return (c[0] + c[1]*v) + v2*(c[2]+c[3]*v) + (v2*v2)*((c[4]+c[5]*v)+v2*(c[6]+c[7]*v))
}

// poly7V is the derivative of poly7 by v.
func poly7V(c *[8]float64, v float64) float64 {
	v2 := v * v
	return (c[1] + 2*c[2]*v) + v2*(3*c[3]+4*c[4]*v) + (v2*v2)*((5*c[5]+6*c[6]*v)+v2*(7*c[7]))
}

// guess returns a temperature near the one at which the saturation pressure has
// the logarithm ln.
func guess(over Phase, ln float64) float64 {
	if over == Ice {
		u := (ln - lnIceLow) * (8 / (lnIceHigh - lnIceLow))
		i := interval(u, len(guessIce))
		v := 2*(u-float64(i)) - 1
		c := &guessIce[i]
		return (c[0] + c[1]*v) + v*v*(c[2]+c[3]*v)
	}
	u := (ln - lnWaterLow) * (12 / (lnWaterHigh - lnWaterLow))
	i := interval(u, len(guessWater))
	v := 2*(u-float64(i)) - 1
	c := &guessWater[i]
	return (c[0] + c[1]*v) + v*v*((c[2]+c[3]*v)+v*v*c[4])
}

// saturationTemperature solves lnSat(t) = l. From a guess 1e-3 K off the first
// step of Newton ends within 1e-8 K, the second at the last digit.
func saturationTemperature(over Phase, l float64) float64 {
	t := guess(over, l)
	for range 2 {
		y, y1 := lnSat(over, t)
		t += (l - y) / y1
	}
	return t
}

// expSmall is math.Exp for arguments up to a few hundredths, as the logarithm
// of an enhancement factor is: the first term left out is below 1e-13 at 0.02.
func expSmall(u float64) float64 {
	u2 := u * u
	return (1 + u) + u2*((1.0/2+u*(1.0/6))+u2*(1.0/24+u*(1.0/120)))
}
