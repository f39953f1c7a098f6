// Package numeric holds the numerical pieces that several physics packages
// share: a bracketed root, Chebyshev series, minimax polynomials and Simpson's rule.
package numeric

import "math"

// Root finds x in [lo, hi] with f(x) = 0, given that f(lo) and f(hi) have
// opposite signs (or one is zero), by the method of Brent (Algorithms for
// Minimization without Derivatives, 1973, ch. 4): inverse quadratic
// interpolation kept inside a shrinking bracket, so that it always ends. The
// result is within xtol of a sign change. ok is false, and x NaN, if the signs
// agree or f returns NaN.
func Root(f func(float64) float64, lo, hi, xtol float64) (x float64, ok bool) {
	const eps = 0x1p-52
	a, b := lo, hi
	fa, fb := f(a), f(b)
	if fa == 0 {
		return a, true
	}
	if fb == 0 {
		return b, true
	}
	if !(fa < 0 && fb > 0 || fa > 0 && fb < 0) {
		return math.NaN(), false
	}
	c, fc := a, fa
	d := b - a
	e := d
	// Brent's method needs at most about the square of the bisection count;
	// the limit is there for functions that return NaN inside the bracket.
	for range 4000 {
		if math.Abs(fc) < math.Abs(fb) {
			a, b, c = b, c, b
			fa, fb, fc = fb, fc, fb
		}
		tol := 2*eps*math.Abs(b) + 0.5*xtol
		m := 0.5 * (c - b)
		if math.Abs(m) <= tol || fb == 0 {
			return b, true
		}
		if math.Abs(e) < tol || math.Abs(fa) <= math.Abs(fb) {
			d, e = m, m
		} else {
			s := fb / fa
			var p, q float64
			if a == c {
				p, q = 2*m*s, 1-s
			} else {
				qa, r := fa/fc, fb/fc
				p = s * (2*m*qa*(qa-r) - (b-a)*(r-1))
				q = (qa - 1) * (r - 1) * (s - 1)
			}
			if p > 0 {
				q = -q
			} else {
				p = -p
			}
			if 2*p < math.Min(3*m*q-math.Abs(tol*q), math.Abs(e*q)) {
				e, d = d, p/q
			} else {
				d, e = m, m
			}
		}
		a, fa = b, fb
		if math.Abs(d) > tol {
			b += d
		} else {
			b += math.Copysign(tol, m)
		}
		fb = f(b)
		if math.IsNaN(fb) {
			return math.NaN(), false
		}
		if (fb > 0) == (fc > 0) {
			c, fc = a, fa
			d = b - a
			e = d
		}
	}
	return math.NaN(), false
}
