package solar

import (
	"math"
	"testing"
	"time"
)

func FuzzAt(f *testing.F) {
	for _, c := range []struct {
		lat, lon, h float64
		sec         int64
	}{
		{47, 8, 400, 1714550400}, {90, 0, 0, 946728000}, {-90, 180, 2835, -2208988800}, {0, -180, -500, 7289654399},
		{math.NaN(), 0, 0, 0}, {91, 0, 0, 0}, {0, 181, 0, 0}, {0, 0, 1e9, 0}, {0, 0, 0, math.MaxInt64}, {0, 0, 0, math.MinInt64}, {0, 1e-300, 1e-300, 951782399},
	} {
		f.Add(c.lat, c.lon, c.h, c.sec)
	}
	f.Fuzz(func(t *testing.T, lat, lon, h float64, sec int64) {
		s, err := NewSite(lat, lon, h)
		at := time.Unix(sec, 0).UTC()
		p := s.At(at)
		d := daysSinceJ2000(at)
		in := err == nil && d >= firstDay && d < lastDay
		for _, c := range []struct{ v, lo, hi float64 }{
			{p.TrueElevationDeg, -90, 90}, {p.ApparentElevationDeg, -90, 90.001}, {p.AzimuthDeg, 0, 360}, {p.HourAngleDeg, -180, 180},
			{p.DeclinationDeg, -23.5, 23.5}, {p.DistanceAU, 0.983, 1.017}, {p.EquationOfTimeMin, -14.5, 16.6}, {p.SolarTimeH(), 0, 24},
		} {
			if in != (c.v >= c.lo && c.v <= c.hi) || !in && !math.IsNaN(c.v) {
				t.Fatalf("At(%v) at %v %v %v: %v is not in %v..%v: %+v", at, lat, lon, h, c.v, c.lo, c.hi, p)
			}
		}
		if in && p.AzimuthDeg == 360 {
			t.Fatal("360 is 0")
		}
	})
}

func FuzzDay(f *testing.F) {
	for _, c := range []struct {
		lat, lon          float64
		year, month, day  int
		zoneMin           int
		lineAz, lineAbove float64
	}{
		{47, 8, 2024, 2, 29, 60, 180, 10}, {66.56, 25, 2024, 6, 21, 120, 0, 0}, {90, 0, 2024, 3, 19, 0, 10, 90}, {-89.95, 0, 2024, 9, 23, 0, 90, -30},
		{0, 180, 1900, 1, 1, 14 * 60, 360, 5}, {0, -180, 2200, 12, 31, -12 * 60, 359, 5}, {47, 8, 2023, 2, 29, 60, 400, math.NaN()}, {70, 0, 2024, 13, 0, 100000, 0, 0},
	} {
		f.Add(c.lat, c.lon, c.year, c.month, c.day, c.zoneMin, c.lineAz, c.lineAbove)
	}
	f.Fuzz(func(t *testing.T, lat, lon float64, year, month, day, zoneMin int, lineAz, lineAbove float64) {
		s, err := NewSite(lat, lon, 0)
		if err != nil {
			return
		}
		zone := time.FixedZone("fuzz", zoneMin%(15*60)*60)
		d, err := s.Day(year, time.Month(month), day, zone)
		// A date that is accepted is one that the calendar knows.
		date := time.Date(year, time.Month(month), day, 12, 0, 0, 0, zone)
		valid := year >= 1900 && year <= 2200 && date.Year() == year && int(date.Month()) == month && date.Day() == day
		if valid != (err == nil) {
			t.Fatalf("%v-%v-%v: %v", year, month, day, err)
		}
		if err != nil {
			return
		}
		if off := d.Transit.Sub(date).Hours(); math.Abs(off) > 12.01 {
			t.Fatalf("transit %v h from noon", off)
		}
		for _, x := range []Span{d.Sun, d.Civil, d.Nautical, d.Astronomical} {
			if !(x.LengthH >= 0 && x.LengthH <= 36.1) || x.Outcome < 0 || x.Outcome >= noOutcome {
				t.Fatalf("%+v", x)
			}
		}
		line, err := NewSkyline([]SkylinePoint{{lineAz, lineAbove}, {180, 3}})
		if ok := lineAz >= 0 && lineAz <= 360 && lineAbove >= -30 && lineAbove <= 90; ok != (err == nil) {
			t.Fatalf("%v %v: %v", lineAz, lineAbove, err)
		}
		if err != nil {
			return
		}
		sun, err := s.DirectSun(year, time.Month(month), day, zone, line)
		if err != nil || !(sun.SeenH >= 0) || !(sun.LostH >= 0) || !(sun.LostH <= sun.PossibleH+1e-9) || !(sun.PossibleH <= 36.1) {
			t.Fatalf("%+v %v", sun, err)
		}
	})
}
