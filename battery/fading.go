package battery

import (
	"math"

	"github.com/stationphysics/stationphysics/internal/numeric"
)

// A fading is c + s t + p e^(l t) + q e^(m t) with rates below 0: what every
// voltage and current of the circuit does on one segment of the curve.
type fading struct{ c, s, p, l, q, m float64 }

// at returns the value at an instant, and its slope.
func (f *fading) at(t float64) (v, dv float64) {
	v, dv = f.c+f.s*t, f.s
	if x := f.l * t; x > -gone {
		e := f.p * numeric.Exp(x)
		v += e
		dv += f.l * e
	}
	if x := f.m * t; f.q != 0 && x > -gone {
		e := f.q * numeric.Exp(x)
		v += e
		dv += f.m * e
	}
	return v, dv
}

// over is the part above a level, or below it for a sign of -1.
func (f *fading) over(level, sign float64) *fading {
	return &fading{c: sign * (f.c - level), s: sign * f.s, p: sign * f.p, l: f.l, q: sign * f.q, m: f.m}
}

// zero finds the root of a fading that is below 0 at 0 and has the value last,
// not below 0, at hi, by Newton steps kept inside the shrinking bracket. Of one
// that is not below 0 at 0 either, it returns a point at 0.
func (f *fading) zero(hi, last float64) float64 {
	lo, first := 0.0, f.c+f.p+f.q
	// Where it goes when the exponentials are gone, or straight from end to end.
	x := -f.c / f.s
	if !(x > lo && x < hi) {
		x = hi * (first / (first - last))
	}
	if !(x > lo && x < hi) {
		x = 0.5 * hi
	}
	for range 200 {
		v, dv := f.at(x)
		if v < 0 {
			lo = x
		} else {
			hi = x
		}
		// A Newton step so short that its square is below rounding is the last: the
		// slope changes at no higher rate than the exponentials'.
		near := 1e-13 * hi
		next := x - v/dv
		if next > lo && next < hi {
			near = 1e-10 * hi
		} else {
			next = 0.5 * (lo + hi)
		}
		if math.Abs(next-x) <= near || next == lo || next == hi {
			return next
		}
		x = next
	}
	return x
}
