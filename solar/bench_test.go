package solar

import (
	"math"
	"testing"
	"time"
)

var sink float64

// The yardstick: a bare sine on the same machine.
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

func BenchmarkPrepareYear(b *testing.B) {
	s, _ := NewSite(39.742476, -105.1786, 1830.14)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := s.Year(2003, time.UTC); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkDay(b *testing.B) {
	s, _ := NewSite(39.742476, -105.1786, 1830.14)
	mst := time.FixedZone("MST", -7*3600)
	b.ReportAllocs()
	for b.Loop() {
		d, err := s.Day(2003, time.October, 17, mst)
		if err != nil {
			b.Fatal(err)
		}
		sink = d.Sun.LengthH
	}
}

func BenchmarkDirectSun(b *testing.B) {
	s, _ := NewSite(39.742476, -105.1786, 1830.14)
	mst := time.FixedZone("MST", -7*3600)
	line, _ := NewSkyline([]SkylinePoint{{90, 10}, {120, 20}, {150, 10}, {180, 20}, {220, 0}, {270, 20}})
	b.ReportAllocs()
	for b.Loop() {
		d, err := s.DirectSun(2003, time.October, 17, mst, line)
		if err != nil {
			b.Fatal(err)
		}
		sink = d.SeenH
	}
}

func BenchmarkSkyline(b *testing.B) {
	line, _ := NewSkyline([]SkylinePoint{{90, 10}, {120, 20}, {150, 10}, {180, 20}, {220, 0}, {270, 20}})
	b.ReportAllocs()
	az := 0.0
	for b.Loop() {
		sink = line.ElevationDeg(az)
		if az += 0.1; az > 360 {
			az = 0
		}
	}
}
