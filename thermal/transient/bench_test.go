package transient

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

func BenchmarkSixNodesThousandTimes(b *testing.B) {
	resp := sixNetwork(b).Step([]float64{1.2, 0, 0, 0.3, 0, 0})
	times := make([]float64, 1000)
	for i := range times {
		times[i] = 0.001 * math.Pow(1.016, float64(i))
	}
	rise := make([]float64, 6)
	b.ReportAllocs()
	for b.Loop() {
		for _, t := range times {
			resp.RiseK(rise, t)
		}
	}
	sink = rise[0]
}

func BenchmarkSixNodesThousandTimesWithSetUp(b *testing.B) {
	times := make([]float64, 1000)
	for i := range times {
		times[i] = 0.001 * math.Pow(1.016, float64(i))
	}
	rise := make([]float64, 6)
	b.ReportAllocs()
	for b.Loop() {
		resp := sixNetwork(b).Step([]float64{1.2, 0, 0, 0.3, 0, 0})
		for _, t := range times {
			resp.RiseK(rise, t)
		}
	}
	sink = rise[0]
}

func BenchmarkStepper(b *testing.B) {
	st, err := sixNetwork(b).Stepper(600)
	if err != nil {
		b.Fatal(err)
	}
	x, y, p := make([]float64, 6), make([]float64, 6), []float64{1.2, 0, 0, 0.3, 0, 0}
	b.ReportAllocs()
	for b.Loop() {
		st.Next(y, x, p)
		x, y = y, x
	}
}

func BenchmarkFosterLadder(b *testing.B) {
	f, err := NewFoster(Term{30, 150}, Term{0.8, 0.001}, Term{2.5, 0.02}, Term{4, 0.5}, Term{12, 8})
	if err != nil {
		b.Fatal(err)
	}
	b.ReportAllocs()
	for b.Loop() {
		if _, err := f.Ladder(); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkFitWarmUp(b *testing.B) {
	times, temps := warmUp(60, 10, 92, 21, 110, 0.3, 1)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := FitWarmUp(times, temps, 21, 1.42); err != nil {
			b.Fatal(err)
		}
	}
}
