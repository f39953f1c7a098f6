package numeric

import "math"

// Minimax finds the polynomial of a degree whose largest weighted deviation
// weight(x)·|p(x) - f(x)| on [lo, hi] is least, by the exchange of Remez (Cheney,
// Introduction to Approximation Theory, 1966, ch. 3, from memory) in a
// Chebyshev basis. coef is as ChebEval takes it, of x mapped to [-1, 1].
//
// worst is the largest deviation found on a grid that is refined at its peaks;
// least is the bound of de la Vallée Poussin: no polynomial of the degree does
// better than least. They agree to 1e-6 unless rounding forbids it. ok is false
// if f or the weight is not finite and the weight not positive throughout.
func Minimax(f, weight func(x float64) float64, lo, hi float64, degree int) (coef []float64, worst, least float64, ok bool) {
	if degree < 0 || !(lo < hi) {
		return nil, math.NaN(), math.NaN(), false
	}
	n := degree + 2
	mid, half := (lo+hi)/2, (hi-lo)/2
	at := func(t float64) float64 { return math.Min(hi, math.Max(lo, mid+half*t)) }
	grid := make([]float64, 48*n+1)
	fs, ws := make([]float64, len(grid)), make([]float64, len(grid))
	for i := range grid {
		grid[i] = -math.Cos(math.Pi * float64(i) / float64(len(grid)-1))
		fs[i], ws[i] = f(at(grid[i])), weight(at(grid[i]))
		if math.IsNaN(fs[i]) || math.IsInf(fs[i], 0) || !(ws[i] > 0) || math.IsInf(ws[i], 0) {
			return nil, math.NaN(), math.NaN(), false
		}
	}
	reference := make([]float64, n)
	for i := range reference {
		reference[i] = -math.Cos(math.Pi * float64(i) / float64(n-1))
	}
	worst = math.Inf(1)
	for range 40 {
		c, level, solved := leveled(f, weight, at, reference)
		if !solved {
			break
		}
		least = math.Max(least, math.Abs(level))
		e := func(t float64) float64 { return (ChebEval(c, t) - f(at(t))) * weight(at(t)) }
		peaks, high := alternation(e, grid, func(i int) float64 { return (ChebEval(c, grid[i]) - fs[i]) * ws[i] })
		if high < worst {
			worst, coef = high, c
		}
		if worst <= least*(1+1e-6) || len(peaks) < n {
			break
		}
		// Too many peaks: the smaller of the two ends goes, which keeps the signs
		// alternating and the largest peak in.
		for len(peaks) > n {
			if math.Abs(e(peaks[0])) < math.Abs(e(peaks[len(peaks)-1])) {
				peaks = peaks[1:]
			} else {
				peaks = peaks[:len(peaks)-1]
			}
		}
		reference = peaks
	}
	return coef, worst, least, coef != nil
}

// leveled solves sum c_j T_j(t_i) + (-1)^i level/w_i = f_i over the reference.
func leveled(f, weight, at func(float64) float64, reference []float64) (coef []float64, level float64, ok bool) {
	n := len(reference)
	a := make([][]float64, n)
	for i, t := range reference {
		a[i] = make([]float64, n+1)
		a[i][0] = 1
		if n > 2 {
			a[i][1] = t
		}
		for j := 2; j < n-1; j++ {
			a[i][j] = 2*t*a[i][j-1] - a[i][j-2]
		}
		a[i][n-1] = 1 / weight(at(t))
		if i%2 == 1 {
			a[i][n-1] = -a[i][n-1]
		}
		a[i][n] = f(at(t))
	}
	for k := range n {
		p := k
		for i := k + 1; i < n; i++ {
			if math.Abs(a[i][k]) > math.Abs(a[p][k]) {
				p = i
			}
		}
		if a[p][k] == 0 {
			return nil, 0, false
		}
		a[k], a[p] = a[p], a[k]
		for i := k + 1; i < n; i++ {
			r := a[i][k] / a[k][k]
			for j := k; j <= n; j++ {
				a[i][j] -= r * a[k][j]
			}
		}
	}
	x := make([]float64, n)
	for k := n - 1; k >= 0; k-- {
		s := a[k][n]
		for j := k + 1; j < n; j++ {
			s -= a[k][j] * x[j]
		}
		x[k] = s / a[k][k]
	}
	return x[:n-1], x[n-1], true
}

// alternation returns the highest point of each run of one sign of the error,
// narrowed between its neighbours, and the highest of all.
func alternation(e func(t float64) float64, grid []float64, onGrid func(i int) float64) (peaks []float64, high float64) {
	best, sign := -1, 0.0
	values := make([]float64, len(grid))
	for i := range grid {
		values[i] = onGrid(i)
	}
	finish := func() {
		if best < 0 {
			return
		}
		t := PeakNear(func(t float64) float64 { return math.Abs(e(t)) }, grid[max(best-1, 0)], grid[best], grid[min(best+1, len(grid)-1)])
		peaks = append(peaks, t)
		high = math.Max(high, math.Max(math.Abs(e(t)), math.Abs(values[best])))
	}
	for i, v := range values {
		if v == 0 {
			continue
		}
		if s := math.Copysign(1, v); s != sign {
			finish()
			best, sign = i, s
		} else if math.Abs(v) > math.Abs(values[best]) {
			best = i
		}
	}
	finish()
	return peaks, high
}

// PeakNear narrows a maximum of g that lies between lo and hi, near at, by
// golden sections. It never returns a lower point than at.
func PeakNear(g func(float64) float64, lo, at, hi float64) float64 {
	const golden = 0.6180339887498949
	top, where := g(at), at
	a, b := lo, hi
	x1, x2 := b-golden*(b-a), a+golden*(b-a)
	g1, g2 := g(x1), g(x2)
	for range 40 {
		if g1 > top {
			top, where = g1, x1
		}
		if g2 > top {
			top, where = g2, x2
		}
		if g1 > g2 {
			b, x2, g2 = x2, x1, g1
			x1 = b - golden*(b-a)
			g1 = g(x1)
		} else {
			a, x1, g1 = x1, x2, g2
			x2 = a + golden*(b-a)
			g2 = g(x2)
		}
	}
	return where
}
