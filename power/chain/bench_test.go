package chain

import (
	"math"
	"testing"
)

// BenchmarkExp is the yardstick: one exponential.
func BenchmarkExp(b *testing.B) {
	b.ReportAllocs()
	x := 0.1
	for b.Loop() {
		x = math.Exp(-x)
	}
	if x == 0 {
		b.Fail()
	}
}

func BenchmarkSolve(b *testing.B) {
	w := station(b).NewWorkspace()
	b.ReportAllocs()
	for b.Loop() {
		if _, err := w.Solve(); err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric(float64(w.steps), "steps")
	b.ReportMetric(float64(w.n), "unknowns")
}

func BenchmarkSurvey(b *testing.B) {
	c := station(b)
	w := c.NewWorkspace()
	b.ReportAllocs()
	for b.Loop() {
		if _, err := w.Survey(Stock{}); err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric(float64(len(c.faults)), "faults")
}

func BenchmarkNew(b *testing.B) {
	parts, limits := stationParts(), stationLimits()
	b.ReportAllocs()
	for b.Loop() {
		if _, err := New(parts, limits); err != nil {
			b.Fatal(err)
		}
	}
}
