package sky

import (
	"math"
	"testing"
	"time"

	"github.com/stationphysics/stationphysics/solar"
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

func BenchmarkOverHour(b *testing.B) {
	p := must(NewPlane(Mount{TiltDeg: 45, FacingDeg: 170, Albedo: 0.2}))(b)
	r := record("2024-03-20T08:00:00Z", 400, 500, 120)
	track := must(must(solar.NewSite(48.2, 16.37, 200))(b).Track(r.Start, r.Start.Add(r.Length)))(b)
	b.ReportAllocs()
	for b.Loop() {
		sink = p.Over(track, r).TotalWPerM2
	}
}

// BenchmarkYearOfMinutes is a year of sun positions and of light on a tilted
// plane by Perez, 525 600 of each.
func BenchmarkYearOfMinutes(b *testing.B) {
	site := must(solar.NewSite(48.2, 16.37, 200))(b)
	p := must(NewPlane(Mount{TiltDeg: 45, FacingDeg: 170, Albedo: 0.2}))(b)
	for b.Loop() {
		track, err := site.Year(2023, time.UTC)
		if err != nil {
			b.Fatal(err)
		}
		sum := 0.0
		for _, pos := range track.Every(time.Minute) {
			sun := SunAt(pos)
			l := Light{}
			if sun.ElevationDeg > 0 {
				l = Light{500, 500, 100}
			}
			sum += p.On(sun, l).TotalWPerM2
		}
		sink = sum
	}
}

func BenchmarkSyntheticYear(b *testing.B) {
	p := climates["middle Europe"]
	site := must(solar.NewSite(p.lat, p.lon, p.height))(b)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := SyntheticYear(site, p.c, 2023, p.zone, 1); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkClearSky(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		sink += ClearSky(Sun{30, 150, 1}, 200, 3).GlobalWPerM2
	}
}

func BenchmarkLux(b *testing.B) {
	s := LightSensor{SixteenBitTopLx, 10}
	b.ReportAllocs()
	for b.Loop() {
		sink += s.Irradiance(Sun{30, 150, 1}, 20000).BestWPerM2
	}
}
