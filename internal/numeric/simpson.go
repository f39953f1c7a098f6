package numeric

// Simpson is the integral of f from lo to hi by Simpson's rule on n intervals, n
// even: exact for a cubic.
func Simpson(f func(x float64) float64, lo, hi float64, n int) float64 {
	sum := f(lo) + f(hi)
	for i := 1; i < n; i++ {
		sum += float64(2+2*(i%2)) * f(lo+(hi-lo)*float64(i)/float64(n))
	}
	return sum * (hi - lo) / float64(3*n)
}
