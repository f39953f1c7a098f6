package solar

import (
	"math"
	"testing"
	"time"

	"github.com/stationphysics/stationphysics/internal/limit/limittest"
)

func FuzzTrack(f *testing.F) {
	f.Add(47.0, 8.0, int64(1714550400), int64(86400), int64(600), 12.5, 950.0, 10.0, 69.0, 0.2)
	f.Add(90.0, -180.0, int64(-2208988800), int64(0), int64(1), 0.0, 300.0, -90.0, -100.0, -1.0)
	f.Add(-90.0, 180.0, int64(7289654399), int64(-5), int64(-1), math.Inf(1), 1100.0, 60.0, 1000.0, 1.0)
	f.Add(0.0, 0.0, int64(math.MaxInt64), int64(math.MinInt64), int64(math.MaxInt64), math.NaN(), 101325.0, 300.0, math.NaN(), 5.0)
	f.Fuzz(func(t *testing.T, lat, lon float64, unix, length, step int64, after, pressure, temp, deltaT, ut1 float64) {
		s, err := NewSite(lat, lon, 0)
		if err != nil {
			return
		}
		aired, err := s.WithAir(pressure, temp)
		limittest.ZeroIfRefused(t, aired, err)
		if ok := pressure >= 300 && pressure <= 1100 && temp >= -90 && temp <= 60; ok != (err == nil) {
			t.Fatalf("WithAir(%g, %g): %v", pressure, temp, err)
		}
		lagged, err := s.WithDeltaT(deltaT)
		if ok := deltaT >= -100 && deltaT <= 1000; ok != (err == nil) || !ok && lagged != (Site{}) {
			t.Fatalf("WithDeltaT(%g): %v", deltaT, err)
		}
		led, err := s.WithUT1(ut1)
		if ok := ut1 >= -1 && ut1 <= 1; ok != (err == nil) || !ok && led != (Site{}) {
			t.Fatalf("WithUT1(%g): %v", ut1, err)
		}
		at := time.Unix(unix, 0).UTC()
		if aired.ok {
			s = aired
		}
		for _, v := range []Site{s, lagged, led} {
			if p := v.At(at); !math.IsNaN(p.TrueElevationDeg) && !(p.TrueZenithDeg() >= 0 && p.TrueZenithDeg() <= 180 && p.ApparentZenithDeg() >= -1e-3 && p.ApparentZenithDeg() <= 180) {
				t.Fatalf("%+v", p)
			}
		}
		lag := DeltaT(at)
		limittest.NumberIff(t, daysSinceJ2000(at) >= firstDay && daysSinceJ2000(at) < lastDay, "DeltaT", lag)
		// Tracks of at most forty days, so that an input costs little.
		to := at.Add(time.Duration(length%(40*86400)) * time.Second)
		track, err := s.Track(at, to)
		if err != nil {
			if track != nil {
				t.Fatalf("a track beside %v", err)
			}
			return
		}
		n := 0
		for when, p := range track.Every(time.Duration(step)) {
			if when.Before(at) || when.After(to) || math.IsNaN(p.TrueElevationDeg) {
				t.Fatalf("%+v at %v between %v and %v", p, when, at, to)
			}
			if n++; n > 50 {
				break
			}
		}
		if (step > 0) != (n > 0) {
			t.Fatalf("%d steps of %d ns", n, step)
		}
		if from, until := track.Ends(); !from.Equal(at) || !until.Equal(to) {
			t.Fatalf("%v to %v", from, until)
		}
		arc := track.Arc(at, to.Sub(at))
		span := to.Sub(at)
		d := arc.At(after)
		// A millisecond beside either end may be rounded to the other side.
		if near := math.Abs(after) < 1e-3 || math.Abs(after-span.Seconds()) < 1e-3; !near {
			limittest.NumberIff(t, span <= 3*time.Hour && after >= 0 && after <= span.Seconds(), "Arc", d)
		}
		if !math.IsNaN(d.UpRatio) {
			limittest.Finite(t, "AzimuthDeg", d.AzimuthDeg())
			if n := d.EastRatio*d.EastRatio + d.NorthRatio*d.NorthRatio + d.UpRatio*d.UpRatio; math.Abs(n-1) > 1e-12 {
				t.Fatalf("a direction of length %g", math.Sqrt(n))
			}
			q := track.At(at.Add(time.Duration(after * 1e9)))
			if !math.IsNaN(q.TrueElevationDeg) && math.Abs(d.TrueElevationDeg-q.TrueElevationDeg) > 3e-5 { // 0.1″
				t.Fatalf("%g s after: %g° and %g°", after, d.TrueElevationDeg, q.TrueElevationDeg)
			}
			e := q.Direction()
			// Refraction sets in with a leap.
			if leap := math.Abs(q.TrueElevationDeg-lowestSeenDeg) < 1e-3; !leap && math.Abs(e.UpRatio-d.UpRatio) > 1e-6 {
				t.Fatalf("%+v and %+v", d, e)
			}
		}
		none := Arc{}
		limittest.NumberIff(t, false, "no arc", none.At(after))
	})
}

// FuzzLongYear follows every day of a year for each input.
func FuzzLongYear(f *testing.F) {
	f.Add(47.0, 2024, 60, 180.0, 10.0, 100.0, 25.0)
	f.Add(-90.0, 1900, -12*60, 0.0, 90.0, 360.0, -30.0)
	f.Add(66.6, 2200, 14*60, 90.0, -30.0, 90.0, 90.0)
	f.Add(0.0, 2201, 0, math.NaN(), 0.0, 400.0, 100.0)
	f.Fuzz(func(t *testing.T, lat float64, year, zoneMin int, az1, el1, az2, el2 float64) {
		line, err := NewSkyline([]SkylinePoint{{az1, el1}, {az2, el2}})
		if err == nil {
			if p := line.Points(); len(p) != 2 || p[0].AzimuthDeg > p[1].AzimuthDeg {
				t.Fatalf("%v", p)
			}
		} else if len(line.Points()) != 0 {
			t.Fatalf("%v beside %v", line.Points(), err)
		}
		s, err := NewSite(lat, 8, 400)
		if err != nil {
			return
		}
		zone := time.FixedZone("fuzz", zoneMin%(15*60)*60)
		track, err := s.Year(year, zone)
		sun, more := s.SunHours(year, zone, line)
		if ok := year >= 1900 && year <= 2200; ok != (err == nil) || ok != (more == nil) {
			t.Fatalf("year %d: %v, %v", year, err, more)
		}
		if err != nil {
			return
		}
		limittest.Finite(t, "noon", track.At(time.Date(year, 6, 21, 12, 0, 0, 0, zone)))
		for m, s := range sun {
			limittest.Finite(t, "SunHours", s)
			if s.SeenH < 0 || s.LostH < 0 || s.LostH > s.PossibleH+1e-6 || s.PossibleH > 31*24+12 {
				t.Fatalf("month %d: %+v", m+1, s)
			}
		}
		d, err := s.DirectSun(year, 6, 21, zone, line)
		if err != nil || d.Last().Before(d.First()) || (len(d.Spells) == 0) != d.First().IsZero() {
			t.Fatalf("%+v, %v", d, err)
		}
	})
}
