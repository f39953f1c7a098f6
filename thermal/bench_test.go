package thermal

import (
	"math"
	"testing"
)

var sink float64

// BenchmarkExp is the yardstick for the others.
func BenchmarkExp(b *testing.B) {
	b.ReportAllocs()
	x := 0.5
	for b.Loop() {
		sink = math.Exp(-x)
	}
}

func BenchmarkJunction(b *testing.B) {
	p := Path{jcKPerW: 15, saKPerW: 60}
	b.ReportAllocs()
	for b.Loop() {
		sink = p.JunctionC(25, 1.2)
	}
}

func BenchmarkSealedBox(b *testing.B) {
	x := mustBox(b, greyBox)
	c := BoxConditions{AirC: 33, SunWPerM2: 950, WindMPerS: 1, DissipationW: 0.3, RadiantDeficitK: 10}
	b.ReportAllocs()
	for b.Loop() {
		sink = x.RiseK(c)
	}
}
