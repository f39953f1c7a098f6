package numeric

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
)

func TestPower(t *testing.T) {
	for _, exponent := range []float64{0, 0.2, 0.6, 1, 1.9, 2} {
		p := NewPower(3, exponent, -6, 7)
		// From an eighth below the series to one above it, through the edges of all.
		for i := -9; i <= 13*8+9; i++ {
			edge := math.Ldexp(1+float64((i+16)%8)/8, -6+(i+16)/8-2)
			for _, x := range []float64{edge, math.Nextafter(edge, 0), edge * 1.03, edge * 1.0624} {
				require.InEpsilon(t, 3*math.Pow(x, exponent), p.At(x), 1e-12, "%g^%g", x, exponent)
			}
		}
	}
	p := NewPower(1, 0.6, -6, 7)
	require.Zero(t, p.At(0))
	require.True(t, math.IsNaN(p.At(-1)))
	require.True(t, math.IsNaN(p.At(math.NaN())))
	require.True(t, math.IsInf(p.At(math.Inf(1)), 1))
	require.InEpsilon(t, math.Pow(5e-324, 0.6), p.At(5e-324), 1e-12)
}

func BenchmarkPower(b *testing.B) {
	p := NewPower(1, 0.6, -6, 7)
	x := 0.02
	b.ReportAllocs()
	for b.Loop() {
		x = p.At(x) + 0.5
	}
}
