package numeric

import "math"

// ChebNodes fills dst with the len(dst) Chebyshev points of the first kind on
// [lo, hi], the abscissae that ChebFit expects.
func ChebNodes(dst []float64, lo, hi float64) {
	n := len(dst)
	for k := range dst {
		dst[k] = 0.5*(lo+hi) + 0.5*(hi-lo)*math.Cos(math.Pi*(float64(k)+0.5)/float64(n))
	}
}

// ChebFit overwrites coef with the Chebyshev coefficients of the polynomial
// through the values y taken at the points of ChebNodes. The slices must have
// equal, non-zero lengths and must not overlap.
func ChebFit(coef, y []float64) {
	n := len(y)
	if n == 0 || len(coef) != n {
		panic("numeric: slice lengths differ")
	}
	for j := range coef {
		s := 0.0
		for k, v := range y {
			s += v * math.Cos(math.Pi*float64(j)*(float64(k)+0.5)/float64(n))
		}
		coef[j] = 2 * s / float64(n)
	}
	coef[0] /= 2
}

// ChebPowers overwrites dst with the coefficients of the same polynomial in powers
// of x, lowest first. Equal lengths; meant for short series, as the sums cancel in
// long ones.
func ChebPowers(dst, coef []float64) {
	if len(dst) != len(coef) {
		panic("numeric: slice lengths differ")
	}
	clear(dst)
	// T of one order before and of this order, in powers of x.
	before, now := make([]float64, len(coef)), make([]float64, len(coef))
	for j, c := range coef {
		switch j {
		case 0:
			now[0] = 1
		case 1:
			before[0], now[0], now[1] = 1, 0, 1
		default: // T(n+1) = 2x T(n) - T(n-1)
			for k := j; k >= 0; k-- {
				next := -before[k]
				if k > 0 {
					next += 2 * now[k-1]
				}
				before[k] = next
			}
			before, now = now, before
		}
		for k := range j + 1 {
			dst[k] += c * now[k]
		}
	}
}

// ChebEval sums the series at x in [-1, 1] by Clenshaw's recurrence.
func ChebEval(coef []float64, x float64) float64 {
	b1, b2 := 0.0, 0.0
	for j := len(coef) - 1; j > 0; j-- {
		b1, b2 = 2*x*b1-b2+coef[j], b1
	}
	return x*b1 - b2 + coef[0]
}
