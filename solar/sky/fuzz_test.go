package sky

import (
	"math"
	"testing"
	"time"

	"github.com/stationphysics/stationphysics/solar"
)

// In range if and only if there is a number, and no panic.

func FuzzOn(f *testing.F) {
	f.Add(30.0, 180.0, 1.0, 500.0, 600.0, 150.0, 45.0, 170.0, uint8(0))
	f.Add(0.0, 0.0, 0.98, 10.0, 0.0, 10.0, 90.0, 0.0, uint8(1))
	f.Add(-90.0, 360.0, 1.02, 0.0, 0.0, 0.0, 180.0, -180.0, uint8(2))
	f.Add(1.5, 90.0, 1.0, 300.0, 30.0, 300.0, 45.0, 135.0, uint8(4))
	f.Add(math.NaN(), 0.0, 1.0, 1.0, 1.0, 1.0, 0.0, 0.0, uint8(3))
	glass, err := NewGlassCover(1.526, 4, 2)
	if err != nil {
		f.Fatal(err)
	}
	f.Fuzz(func(t *testing.T, e, az, d, g, b, dh, tilt, facing float64, kind uint8) {
		p, err := NewPlane(Mount{TiltDeg: tilt, FacingDeg: facing, Albedo: 0.2, Sky: SkyModel(kind % 5), Cover: glass})
		ok := tilt >= 0 && tilt <= 180 && facing >= -360 && facing <= 720 && kind%5 < 4
		if (err == nil) != ok {
			t.Fatalf("tilt %g facing %g model %d: %v", tilt, facing, kind%5, err)
		}
		if err != nil {
			return
		}
		sun, l := Sun{e, az, d}, Light{g, b, dh}
		on := p.On(sun, l)
		good := sun.Check() == nil && l.holds()
		for _, v := range []float64{on.BeamWPerM2, on.SkyWPerM2, on.CircumsolarWPerM2, on.GroundWPerM2, on.TotalWPerM2, p.EffectiveWPerM2(on, 0)} {
			if math.IsNaN(v) == good || math.IsInf(v, 0) || v < 0 {
				t.Fatalf("%+v %+v on %+v: %+v", sun, l, p.Mount(), on)
			}
		}
		if good && math.Abs(on.IncidenceCosRatio) > 1+1e-12 {
			t.Fatalf("cosine %g", on.IncidenceCosRatio)
		}
	})
}

func FuzzLux(f *testing.F) {
	f.Add(30.0, 20000.0, 54612.5, 10.0)
	f.Add(0.01, 200000.0, 200000.0, 35.0)
	f.Add(90.0, 1e-9, 1.0, -60.0)
	f.Add(-20.0, 54612.5, 54612.5, 0.0)
	f.Add(3.0, math.Inf(1), 1.0, 0.0)
	f.Fuzz(func(t *testing.T, e, lux, top, dew float64) {
		s, sun := LightSensor{top, dew}, Sun{e, 0, 1}
		b := s.Irradiance(sun, lux)
		good := s.Check() == nil && CheckReading(lux) == nil && sun.Check() == nil
		if !good {
			if !math.IsNaN(b.LowWPerM2) {
				t.Fatalf("%+v %+v %g: %+v", s, sun, lux, b)
			}
			return
		}
		// A reading that no sky gives (200 klx from a sun on the horizon) has no
		// irradiance.
		if math.IsNaN(b.LowWPerM2) {
			if lux > 100 {
				return
			}
			t.Fatalf("no irradiance for %g lx at %g°", lux, e)
		}
		if b.LowWPerM2 < 0 || b.HighWPerM2 < b.LowWPerM2 || !b.AtLeast && !(b.BestWPerM2 >= b.LowWPerM2 && b.BestWPerM2 <= b.HighWPerM2) {
			t.Fatalf("%+v %+v %g: %+v", s, sun, lux, b)
		}
	})
}

func FuzzClean(f *testing.F) {
	site, err := solar.NewSite(48.2, 16.37, 200)
	if err != nil {
		f.Fatal(err)
	}
	f.Add(int64(1710932400), int64(3600), 600.0, 700.0, 120.0)
	f.Add(int64(1710932400), int64(3600), 600.0, math.NaN(), math.NaN())
	f.Add(int64(1710910000), int64(7200), 20.0, math.NaN(), 5.0)
	f.Add(int64(1710889200), int64(60), -5.0, 0.0, 0.0)
	f.Add(int64(-9e15), int64(-1), 0.0, 0.0, 0.0)
	plane, err := NewPlane(Mount{TiltDeg: 40, FacingDeg: 170, Albedo: 0.2})
	if err != nil {
		f.Fatal(err)
	}
	f.Fuzz(func(t *testing.T, unix, seconds int64, g, b, d float64) {
		seconds %= 20000
		r := []Record{{time.Unix(unix, 0), time.Duration(seconds) * time.Second, Light{g, b, d}}}
		n, err := Clean(r, site, ErbsDriesse)
		if err != nil {
			return
		}
		l := r[0].Light
		if n.MissingCount == 0 {
			// What is accepted is complete, sound, and has an answer.
			if math.IsNaN(l.GlobalWPerM2) || l.DiffuseWPerM2 > l.GlobalWPerM2 || l.BeamNormalWPerM2 < 0 || l.DiffuseWPerM2 < 0 {
				t.Fatalf("%+v left %+v", Light{g, b, d}, l)
			}
			if l.holds() != !math.IsNaN(plane.Over(site, r[0]).TotalWPerM2) {
				t.Fatalf("%+v has no answer", r[0])
			}
		}
		again, err := Clean(r, site, ErbsDriesse)
		if err != nil || again.NegativeCount+again.DiffuseCount+again.FilledCount+again.BeamCount != 0 {
			t.Fatalf("cleaning twice: %+v %v of %+v", again, err, l)
		}
	})
}
