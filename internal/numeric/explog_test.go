package numeric

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
)

func TestExpIsThatOfMath(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2026))
	check := func(x float64) {
		want := math.Exp(x)
		// Two units of the last place, and one of the reference.
		require.InDelta(t, want, Exp(x), 3*(math.Nextafter(want, math.Inf(1))-want), "%v", x)
	}
	for range 300000 {
		check(1400*rng.Float64() - 700)
		check(4*rng.Float64() - 2)
	}
	for _, x := range []float64{0, math.Copysign(0, -1), 1, -1, 699.9999, -699.9999, math.Ln2, math.Ln2 / 128, -math.Ln2 / 128} {
		check(x)
	}
	require.Equal(t, 1.0, Exp(0))
	for _, x := range []float64{700, -700, 710, -746, math.Inf(1), math.Inf(-1)} {
		require.Equal(t, math.Exp(x), Exp(x))
	}
	require.True(t, math.IsNaN(Exp(math.NaN())))
}

func TestLogIsThatOfMath(t *testing.T) {
	rng := rand.New(rand.NewPCG(2, 2026))
	check := func(x float64) {
		want := math.Log(x)
		require.InDelta(t, want, Log(x), 2e-16+2*(math.Nextafter(math.Abs(want), math.Inf(1))-math.Abs(want)), "%v", x)
	}
	for range 300000 {
		check(math.Exp(1400*rng.Float64() - 700))
		check(0.5 + 2*rng.Float64())
		check(1 + 1e-3*(rng.Float64()-0.5))
	}
	for i := range 1 << (logBits + 2) { // at and about the seams of the table
		x := 0.5 + float64(i)/(1<<(logBits+1))
		check(x)
		check(math.Nextafter(x, 0))
		check(math.Nextafter(x, 9))
	}
	require.Zero(t, Log(1))
	require.Equal(t, 0x1p-53, -Log(1-0x1p-53))
	for _, x := range []float64{0, 5e-324, 1e-310, math.SmallestNonzeroFloat64, math.Inf(1)} {
		require.Equal(t, math.Log(x), Log(x))
	}
	check(0x1p-1022)
	check(math.MaxFloat64)
	for _, x := range []float64{math.NaN(), -1, math.Inf(-1), -1e-320} {
		require.True(t, math.IsNaN(Log(x)), x)
	}
}

// Next to 1 no table and no power of 2 adds its rounding: there the six terms of the
// series are seen alone, and the seventh, (1/256)^7/7 < 2e-18, is all that is missing.
// The sixth is fifty times that at the end of the span.
func TestLogNextToOneIsItsSeries(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 2026))
	for range 100000 {
		x := 1 + (3*rng.Float64()-1)/512.001 // half a 128th on, of 1 or below it of 2
		want := math.Log(x)
		// Besides, two units of the last place, and one of the reference.
		ulp := math.Nextafter(math.Abs(want), 1) - math.Abs(want)
		require.LessOrEqual(t, math.Abs(Log(x)-want), 2e-18+3*ulp, "%v", x)
	}
}

var sink float64

func BenchmarkExp(b *testing.B) {
	for _, f := range []struct {
		name string
		f    func(float64) float64
	}{{"math", math.Exp}, {"here", Exp}} {
		b.Run(f.name, func(b *testing.B) {
			b.ReportAllocs()
			x := 1.0
			for b.Loop() {
				x = f.f(-0.5 * x)
			}
			sink = x
		})
	}
}

func BenchmarkLog(b *testing.B) {
	for _, f := range []struct {
		name string
		f    func(float64) float64
	}{{"math", math.Log}, {"here", Log}} {
		b.Run(f.name, func(b *testing.B) {
			b.ReportAllocs()
			x := 1.0
			for b.Loop() {
				x = f.f(3 + x)
			}
			sink = x
		})
	}
}
