package solar

import (
	"math"
	"testing"
	"time"
)

var sink float64

func BenchmarkSine(b *testing.B) {
	x := 1.1
	for b.Loop() {
		sink = math.Sin(x)
		x += 1e-3
	}
}

func BenchmarkAt(b *testing.B) {
	s, _ := NewSite(39.742476, -105.1786, 1830.14)
	t := time.Date(2003, 10, 17, 19, 30, 30, 0, time.UTC)
	b.ReportAllocs()
	for b.Loop() {
		sink = s.At(t).TrueElevationDeg
	}
}
func BenchmarkSum(b *testing.B) {
	x := 0.1
	for b.Loop() {
		sink = sum(longitudeTerms[:], x)
	}
}
func BenchmarkNut(b *testing.B) {
	x := 0.1
	for b.Loop() {
		sink, _ = nutation(x)
	}
}

func BenchmarkTrackAt(b *testing.B) {
	s, _ := NewSite(39.742476, -105.1786, 1830.14)
	t := time.Date(2003, 10, 17, 19, 30, 30, 0, time.UTC)
	tr, err := s.Track(t, t.AddDate(1, 0, 0))
	if err != nil {
		b.Fatal(err)
	}
	b.ReportAllocs()
	at := t
	n := 0
	for b.Loop() {
		sink = tr.At(at).TrueElevationDeg
		at = at.Add(time.Minute)
		if n++; n == 525600 {
			n, at = 0, t
		}
	}
}

func BenchmarkYearOfMinutes(b *testing.B) {
	s, _ := NewSite(39.742476, -105.1786, 1830.14)
	b.ReportAllocs()
	for b.Loop() {
		tr, err := s.Year(2003, time.UTC)
		if err != nil {
			b.Fatal(err)
		}
		for _, p := range tr.Every(time.Minute) {
			sink = p.TrueElevationDeg
		}
	}
}
