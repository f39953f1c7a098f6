package numeric

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
)

func one(float64) float64 { return 1 }

func TestMinimaxFindsKnownBestPolynomials(t *testing.T) {
	// x^n less its best polynomial of degree n-1 on [-1, 1] is T_n/2^(n-1).
	for n := 1; n <= 9; n++ {
		_, worst, least, ok := Minimax(func(x float64) float64 { return math.Pow(x, float64(n)) }, one, -1, 1, n-1)
		require.True(t, ok)
		require.InEpsilon(t, math.Pow(2, float64(1-n)), worst, 1e-6, n)
		require.InEpsilon(t, worst, least, 1e-5, n)
	}
	// The best line of exp on [-1, 1] has the slope of the chord, s, and its
	// error is equal at the ends and at ln s: (1/e + s ln s)/2.
	c, worst, _, ok := Minimax(math.Exp, one, -1, 1, 1)
	require.True(t, ok)
	s := math.Sinh(1)
	require.InDelta(t, (1/math.E+s*math.Log(s))/2, worst, 1e-7)
	require.InDelta(t, s, c[1], 1e-6)
}

func TestMinimaxByWeight(t *testing.T) {
	// Best constant for x on [1, 3] in relative deviation: c/1 - 1 = 1 - c/3.
	c, worst, least, ok := Minimax(func(x float64) float64 { return x }, func(x float64) float64 { return 1 / x }, 1, 3, 0)
	require.True(t, ok)
	require.InDelta(t, 1.5, c[0], 1e-9)
	require.InDelta(t, 0.5, worst, 1e-9)
	require.InDelta(t, 0.5, least, 1e-9)
}

func TestMinimaxIsNotBeatenAndBeatsInterpolation(t *testing.T) {
	f := func(x float64) float64 { return math.Exp(x / 17) }
	for degree := 1; degree <= 7; degree++ {
		c, worst, least, ok := Minimax(f, one, -20, 50, degree)
		require.True(t, ok)
		require.LessOrEqual(t, least, worst)
		x, y, k := make([]float64, degree+1), make([]float64, degree+1), make([]float64, degree+1)
		ChebNodes(x, -20, 50)
		for i := range x {
			y[i] = f(x[i])
		}
		ChebFit(k, y)
		own, other := 0.0, 0.0
		for i := 0; i <= 20000; i++ {
			u := -1 + float64(i)/10000
			v := f(15 + 35*u)
			own = math.Max(own, math.Abs(ChebEval(c, u)-v))
			other = math.Max(other, math.Abs(ChebEval(k, u)-v))
		}
		require.LessOrEqual(t, own, worst*(1+1e-9), "a finer grid finds no more than the refined peaks")
		require.Less(t, own, other)
		require.GreaterOrEqual(t, other, least)
	}
}

func TestMinimaxRefuses(t *testing.T) {
	for name, c := range map[string]struct {
		f, w   func(float64) float64
		lo, hi float64
		degree int
	}{
		"function not finite": {math.Log, one, -1, 1, 2},
		"weight below zero":   {math.Exp, func(x float64) float64 { return x }, -1, 1, 2},
		"weight infinite":     {math.Exp, func(float64) float64 { return math.Inf(1) }, -1, 1, 2},
		"no interval":         {math.Exp, one, 1, 1, 2},
		"no degree":           {math.Exp, one, -1, 1, -1},
	} {
		coef, worst, least, ok := Minimax(c.f, c.w, c.lo, c.hi, c.degree)
		require.False(t, ok, name)
		require.Nil(t, coef, name)
		require.True(t, math.IsNaN(worst) && math.IsNaN(least), name)
	}
}

func TestMinimaxOfAPolynomialIsThePolynomial(t *testing.T) {
	c, worst, _, ok := Minimax(func(x float64) float64 { return 2*x*x - 1 }, one, -1, 1, 4)
	require.True(t, ok)
	require.Less(t, worst, 1e-14)
	require.InDelta(t, 1, c[2], 1e-14)
}

func TestPeakNear(t *testing.T) {
	require.InDelta(t, 0.3, PeakNear(func(x float64) float64 { return -(x - 0.3) * (x - 0.3) }, 0, 0.25, 1), 1e-7)
	require.Equal(t, 1.0, PeakNear(func(x float64) float64 { return -math.Abs(x - 1) }, 0, 1, 1), "a peak at the end stays")
}
