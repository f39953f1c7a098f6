package sky

import (
	"math"
	"testing"
)

func BenchmarkSine(b *testing.B) {
	b.ReportAllocs()
	x, s := 0.3, 0.0
	for b.Loop() {
		s += math.Sin(x)
		x += 0.01
		if x > 3 {
			x = 0.3
		}
	}
	sink = s
}

var sink float64

func benchPlane(b *testing.B, m Mount) {
	p := must(NewPlane(m))(b)
	sun := Sun{30, 140, 1}
	l := Light{500, 600, 200}
	b.ReportAllocs()
	s := 0.0
	for b.Loop() {
		s += p.On(sun, l).TotalWPerM2
		sun.ElevationDeg += 0.01
		if sun.ElevationDeg > 60 {
			sun.ElevationDeg = 1
		}
	}
	sink = s
}

func BenchmarkPerez(b *testing.B) { benchPlane(b, Mount{TiltDeg: 45, FacingDeg: 170, Albedo: 0.2}) }
func BenchmarkHayDavies(b *testing.B) {
	benchPlane(b, Mount{TiltDeg: 45, FacingDeg: 170, Albedo: 0.2, Sky: HayDavies})
}
func BenchmarkReindl(b *testing.B) {
	benchPlane(b, Mount{TiltDeg: 45, FacingDeg: 170, Albedo: 0.2, Sky: Reindl})
}
func BenchmarkIsotropic(b *testing.B) {
	benchPlane(b, Mount{TiltDeg: 45, FacingDeg: 170, Albedo: 0.2, Sky: Isotropic})
}

func BenchmarkAirMass(b *testing.B) {
	b.ReportAllocs()
	s, e := 0.0, 1.0
	for b.Loop() {
		s += airMass(e, e/100)
		if e += 0.01; e > 60 {
			e = 1
		}
	}
	sink = s
}
