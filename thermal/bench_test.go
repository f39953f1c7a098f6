package thermal

import (
	"math"
	"math/rand/v2"
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

// hourlyYear is weather by hand, invented: seasons and days as sines, clouds and wind
// by chance, calm in one hour of ten.
func hourlyYear() []BoxConditions {
	r := rand.New(rand.NewPCG(1, 2))
	out := make([]BoxConditions, 8760)
	for i := range out {
		day, hour := float64(i)/24, float64(i%24)
		high := math.Sin((hour-6)*math.Pi/12) * (0.65 - 0.3*math.Cos(2*math.Pi*day/365))
		c := BoxConditions{
			AirC:         10 - 10*math.Cos(2*math.Pi*day/365) - 4*math.Cos((hour-3)*math.Pi/12) + 3*r.NormFloat64(),
			SunWPerM2:    max(0, 1050*high) * r.Float64(),
			DissipationW: 0.05 + 0.2*r.Float64(),
		}
		if r.Float64() > 0.1 {
			c.WindMPerS = 1.5 * math.Abs(r.NormFloat64())
		}
		out[i] = c
	}
	return out
}

// BenchmarkSealedBoxYear takes a year through a box, whose conditions differ from call
// to call as BenchmarkSealedBox's do not.
func BenchmarkSealedBoxYear(b *testing.B) {
	x := mustBox(b, greyBox)
	year := hourlyYear()
	b.ReportAllocs()
	for b.Loop() {
		for i := range year {
			sink = x.RiseK(year[i])
		}
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N*len(year)), "ns/hour")
}

func BenchmarkSealedBoxYearInBatch(b *testing.B) {
	x := mustBox(b, greyBox)
	year := hourlyYear()
	rises := make([]float64, len(year))
	b.ReportAllocs()
	for b.Loop() {
		x.BatchRiseK(rises, year)
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N*len(year)), "ns/hour")
}
