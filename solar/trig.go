package solar

import "math"

const (
	rad = math.Pi / 180
	deg = 180 / math.Pi
)

// nearest gives the integer nearest to x, for |x| < 2^51.
func nearest(x float64) float64 {
	const shift = 0x1.8p52 // adding it leaves no room for a fraction
	return float64(x+shift) - shift
}

// cosTurns is the cosine of an angle in turns, |x| < 2^51. The series for the
// Earth's place take two hundred cosines of finite, moderate arguments; sparing
// them the general reduction of package math halves the time of an instant. The
// polynomial is the minimax one of degree 8 in the square of the fraction of a
// turn (Remez exchange in extended precision); its error of 9.3e-13 is a ten
// thousandth of the last digit of the tables.
func cosTurns(x float64) float64 {
	x -= nearest(x)
	z := x * x
	z2 := z * z
	z4 := z2 * z2
	// In pairs, so that the processor need not wait for each step.
	lo := (0.99999999999907043016 - 19.73920880157458710574*z) + (64.93939395803136483548-85.45681454324086537278*z)*z2
	hi := (60.24458635697372424619 - 26.42561768097360691554*z) + (7.89916541292638895323-1.69688826794858178414*z)*z2
	return lo + (hi+0.24377596431700784595*z4)*z4
}

// sincosTurns gives sine and cosine of an angle in turns, -0.5 to 0.5, within
// 1e-12: the cosine of cosTurns and the minimax sine of degree 17 (error 8e-14).
func sincosTurns(x float64) (sin, cos float64) {
	z := x * x
	z2 := z * z
	z4 := z2 * z2
	lo := (6.28318530717664327579 - 41.34170223969160214150*z) + (81.60524922608574749372-76.70585814846390405874*z)*z2
	hi := (42.05866602712266631714 - 15.09435691760386694885*z) + (3.81818221296491174490-0.71157347824687784801*z)*z2
	sin = x * (lo + (hi+0.09083625739710716500*z4)*z4)
	lo = (0.99999999999907043016 - 19.73920880157458710574*z) + (64.93939395803136483548-85.45681454324086537278*z)*z2
	hi = (60.24458635697372424619 - 26.42561768097360691554*z) + (7.89916541292638895323-1.69688826794858178414*z)*z2
	return sin, lo + (hi+0.24377596431700784595*z4)*z4
}

// bearing is the angle of the point (x, y) from the x axis in degrees, -180 to
// 180, within 1e-11: math.Atan2 without its special cases. (0, 0) gives 0.
func bearing(y, x float64) float64 {
	const (
		eighth = math.Sqrt2 - 1 // tan 22.5°
		c0     = 0.99999999999417443422 * deg
		c1     = -0.33333333167493849235 * deg
		c2     = 0.19999986208640118267 * deg
		c3     = -0.14285197526622994810 * deg
		c4     = 0.11100774753102168134 * deg
		c5     = -0.08972157404742118513 * deg
		c6     = 0.06895174648323428632 * deg
		c7     = -0.03642988930965536228 * deg
	)
	a, b := math.Abs(y), math.Abs(x)
	steep := a > b
	if steep {
		a, b = b, a
	}
	base := 0.0
	if a > eighth*b { // atan q = 45° + atan (q-1)/(q+1)
		a, b = a-b, a+b
		base = 45
	}
	if b == 0 {
		return 0
	}
	// Minimax of degree 15 on 0 to tan 22.5° (Remez exchange), error 1.4e-13 rad.
	q := a / b
	z := q * q
	z2 := z * z
	r := base + q*(((c0+c1*z)+(c2+c3*z)*z2)+((c4+c5*z)+(c6+c7*z)*z2)*(z2*z2))
	if steep {
		r = 90 - r
	}
	if x < 0 {
		r = 180 - r
	}
	return math.Copysign(r, y)
}

// A rotor is the unit complex number of an angle: cosine and sine.
type rotor struct{ c, s float64 }

func rotorDeg(angleDeg float64) rotor {
	s, c := math.Sincos(angleDeg * rad)
	return rotor{c, s}
}

// times adds the angles.
func (a rotor) times(b rotor) rotor {
	return rotor{a.c*b.c - a.s*b.s, a.s*b.c + a.c*b.s}
}

// back turns the other way.
func (a rotor) back() rotor { return rotor{a.c, -a.s} }
