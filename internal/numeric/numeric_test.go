package numeric

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
)

func TestRootFindsKnownZeros(t *testing.T) {
	for _, c := range []struct {
		name   string
		f      func(float64) float64
		lo, hi float64
		want   float64
	}{
		{"cosine", math.Cos, 0, 3, math.Pi / 2},
		{"flat cube", func(x float64) float64 { return (x - 1) * (x - 1) * (x - 1) }, -4, 3, 1},
		{"steep exponential", func(x float64) float64 { return math.Exp(40*x) - 2 }, -1, 5, math.Ln2 / 40},
		{"step", func(x float64) float64 { return math.Copysign(1, x-0.3) }, 0, 1, 0.3},
		{"zero at the lower end", func(x float64) float64 { return x }, 0, 1, 0},
		{"zero at the upper end", func(x float64) float64 { return x - 1 }, 0, 1, 1},
		{"ends swapped", math.Cos, 3, 0, math.Pi / 2},
	} {
		t.Run(c.name, func(t *testing.T) {
			x, ok := Root(c.f, c.lo, c.hi, 1e-12)
			require.True(t, ok)
			// xtol plus the flatness of the triple zero, (1e-16)^(1/3).
			tol := 2e-12
			if c.name == "flat cube" {
				tol = 2e-5
			}
			require.InDelta(t, c.want, x, tol)
		})
	}
}

func TestRootRefuses(t *testing.T) {
	for name, f := range map[string]func(float64) float64{
		"no sign change":  func(x float64) float64 { return 1 + x*x },
		"NaN at the ends": func(float64) float64 { return math.NaN() },
		"NaN inside": func(x float64) float64 {
			if math.Abs(x) < 0.9 {
				return math.NaN()
			}
			return x
		},
	} {
		x, ok := Root(f, -1, 1, 1e-9)
		require.False(t, ok, name)
		require.True(t, math.IsNaN(x), name)
	}
}

func TestRootNeedsFewCalls(t *testing.T) {
	calls := 0
	_, ok := Root(func(x float64) float64 { calls++; return math.Exp(x) - 20 }, -10, 10, 1e-13)
	require.True(t, ok)
	// Bisection alone would need 48; superlinear convergence is the point.
	require.LessOrEqual(t, calls, 20)
}

func TestChebReproducesPolynomialsAndConverges(t *testing.T) {
	x := make([]float64, 12)
	y := make([]float64, 12)
	c := make([]float64, 12)
	ChebNodes(x, 2, 5)
	for i, v := range x {
		y[i] = 3*v*v*v - v + 7
	}
	ChebFit(c, y)
	for v := 2.0; v <= 5; v += 0.01 {
		require.InDelta(t, 3*v*v*v-v+7, ChebEval(c, (v-3.5)/1.5), 1e-11)
	}
	for i, v := range x {
		y[i] = math.Exp(v)
	}
	ChebFit(c, y)
	for v := 2.0; v <= 5; v += 0.01 {
		// exp(h x) = I0(h) + 2 sum Ik(h) Tk(x) (from memory; Ik the modified
		// Bessel functions): with h = 1.5 the terms from k = 12 on come to
		// 2 e^3.5 I12(1.5) = 4.4e-9, and aliasing at the nodes doubles that.
		require.InDelta(t, math.Exp(v), ChebEval(c, (v-3.5)/1.5), 9e-9)
	}
}

func TestSimpson(t *testing.T) {
	cubic := func(x float64) float64 { return 4*x*x*x - 3*x*x + 2 }
	for _, n := range []int{2, 4, 10} {
		require.InDelta(t, 81-27+6-(1+1-2), Simpson(cubic, -1, 3, n), 1e-13)
	}
	// The error of a smooth function is that of the rule, (b-a)⁵/(180 n⁴) at most.
	require.InDelta(t, 2, Simpson(math.Sin, 0, math.Pi, 20), math.Pow(math.Pi, 5)/180/160000)
	require.Zero(t, Simpson(math.Sin, 1, 1, 2))
}

func TestChebPowers(t *testing.T) {
	coef := []float64{0.7, -1.3, 0.25, 2, -0.125, 0.5}
	for n := range len(coef) + 1 {
		p := make([]float64, n)
		ChebPowers(p, coef[:n])
		for x := -1.0; x <= 1; x += 0.125 {
			want := 0.0
			for j, c := range coef[:n] {
				want += c * math.Cos(float64(j)*math.Acos(x))
			}
			got := 0.0
			for k := n - 1; k >= 0; k-- {
				got = got*x + p[k]
			}
			require.InDelta(t, want, got, 1e-14*float64(n+1), "%d terms at %g", n, x)
		}
	}
	require.Panics(t, func() { ChebPowers(make([]float64, 2), coef) })
}
