package sky

import (
	"math"
	"testing"
	"time"

	"github.com/stationphysics/stationphysics/internal/limit/limittest"
	"github.com/stationphysics/stationphysics/solar"
)

func FuzzClearSky(f *testing.F) {
	f.Add(30.0, 180.0, 1.0, 400.0, 3.0, 900.0, 1.4, 0.3, 0.1, 0.08, 0.85, 0.2, 100)
	f.Add(1e-300, -360.0, 0.95, -500.0, 12.0, 300.0, 10.0, 0.6, 2.0, 2.0, 1.0, 1.0, 366)
	f.Add(90.0, 720.0, 1.05, 9000.0, 1.0, 1100.0, 0.0, 0.0, 0.0, 0.0, 0.5, 0.0, 1)
	f.Add(math.NaN(), 0.0, 1.5e8, 30000.0, 0.0, 101325.0, 14.0, 300.0, -1.0, math.Inf(1), 0.0, 20.0, 0)
	f.Fuzz(func(t *testing.T, elevation, azimuth, distance, height, turbidity, pressure, water, ozone, a380, a500, forward, albedo float64, day int) {
		sun := Sun{elevation, azimuth, distance}
		known := sun.Check() == nil
		limittest.NumberIff(t, elevation >= 0 && elevation <= 90, "AirMass", sun.AirMass())
		limittest.NumberIff(t, distance >= 0.95 && distance <= 1.05, "extraterrestrial", sun.ExtraterrestrialWPerM2())
		limittest.NumberIff(t, day >= 1 && day <= 366, "distance", DistanceOnDayAU(day))
		limittest.NumberIff(t, elevation >= -90 && elevation <= 90, "Haurwitz", HaurwitzWPerM2(elevation))
		air := Air{pressure, water, ozone, a380, a500, forward, albedo}
		for name, l := range map[string]Light{"ClearSky": ClearSky(sun, height, turbidity), "Air.ClearSky": air.ClearSky(sun)} {
			ok := known && CheckClearSky(height, turbidity) == nil
			if name == "Air.ClearSky" {
				ok = known && air.Check() == nil
			}
			limittest.NumberIff(t, ok, name, l)
			if l.GlobalWPerM2 < 0 || l.BeamNormalWPerM2 < 0 || l.DiffuseWPerM2 < 0 || l.BeamNormalWPerM2 > 1600 {
				t.Fatalf("%s of %+v, %+v, %g m, %g: %+v", name, sun, air, height, turbidity, l)
			}
			if closes := l.BeamNormalWPerM2*math.Sin(max(elevation, 0)*rad) + l.DiffuseWPerM2; ok && math.Abs(closes-l.GlobalWPerM2) > 1e-6*(1+l.GlobalWPerM2) {
				t.Fatalf("%s: %+v does not add up", name, l)
			}
		}
	})
}

func FuzzClearness(f *testing.F) {
	f.Add(0.45, 0.5, 15.0, 100.0, 0.6, uint8(0), 500.0, 30.0, 10.0)
	f.Add(0.12, 0.0, -180.0, 180.0, 0.0, uint8(1), 0.0, 1e-9, -60.0)
	f.Add(0.8, 1.0, 0.0, 1e-300, 2.0, uint8(2), 1e-300, 90.0, 35.0)
	f.Add(45.0, 50.0, 200.0, 0.0, math.NaN(), uint8(7), 54000.0, math.Inf(1), 293.0)
	f.Fuzz(func(t *testing.T, month, prob, hour, sunset, clearness float64, split uint8, global, elevation, dew float64) {
		k := DailyClearness(month, prob)
		limittest.NumberIff(t, CheckDailyClearness(month, prob) == nil, "DailyClearness", k)
		if k < 0.05-1e-9 || k > 0.9 {
			t.Fatalf("a clearness of %g", k)
		}
		g, d := HourlyShares(hour, sunset)
		limittest.NumberIff(t, CheckHourlyShares(hour, sunset) == nil && sunset >= 0.001, "HourlyShares", g, d)
		m := Split(split)
		share := m.DiffuseRatio(clearness)
		limittest.NumberIff(t, clearness >= 0 && clearness <= 2 && m <= BolandRidley, "DiffuseRatio", share)
		if share < 0 || share > 1 {
			t.Fatalf("a diffuse share of %g", share)
		}
		sun := Sun{elevation, 0, 1}
		l := m.Light(sun, global)
		if m <= BolandRidley {
			limittest.NumberIff(t, sun.Check() == nil && globalRange.Holds(global), "Light", l)
		}
		limittest.NumberIff(t, CheckDewPoint(dew) == nil, "water", PrecipitableWaterCm(dew))
		if ill := l.Illuminance(sun, dew); l.Check() == nil {
			limittest.NumberIff(t, sun.Check() == nil && CheckDewPoint(dew) == nil, "Illuminance", ill)
		}
	})
}

func FuzzCover(f *testing.F) {
	f.Add(0.05, 1.526, 4.0, 2.0, 0.16, 60.0, 45.0)
	f.Add(0.5, 1.0, 0.0, 0.0, 0.05, -180.0, 180.0)
	f.Add(0.0, 3.0, 100.0, 50.0, 1.0, 90.0, 0.0)
	f.Add(-1.0, 0.9, math.NaN(), 2000.0, 0.0, 181.0, math.Inf(1))
	f.Fuzz(func(t *testing.T, b, n, extinction, thickness, ruiz, incidence, tilt float64) {
		ashrae, err1 := NewASHRAECover(b)
		glass, err2 := NewGlassCover(n, extinction, thickness)
		martin, err3 := NewMartinRuizCover(ruiz)
		for i, c := range []*Cover{ashrae, glass, martin} {
			err := []error{err1, err2, err3}[i]
			if (err == nil) != (c != nil) {
				t.Fatalf("%+v beside %v", c, err)
			}
			if err != nil {
				continue
			}
			beam, sky, ground := c.BeamRatio(incidence), c.SkyRatio(tilt), c.GroundRatio(tilt)
			limittest.NumberIff(t, incidence >= -180 && incidence <= 180, "BeamRatio", beam)
			limittest.NumberIff(t, tilt >= 0 && tilt <= 180, "diffuse", sky, ground)
			for _, v := range []float64{beam, sky, ground} {
				if v < 0 || v > 1+1e-6 {
					t.Fatalf("cover %d lets %g through", i, v)
				}
			}
		}
	})
}

func FuzzOver(f *testing.F) {
	site, err := solar.NewSite(48.2, 16.37, 200)
	if err != nil {
		f.Fatal(err)
	}
	f.Add(int64(1710932400), int64(3600), 600.0, 700.0, 120.0, 40.0, 170.0, 30.0, 160.0, 5.0, 54612.5, 10.0)
	f.Add(int64(1710910000), int64(10800), 20.0, 0.0, 20.0, 90.0, 0.0, 0.0, 100.0, 90.0, 1.0, -60.0)
	f.Add(int64(-9e15), int64(-1), math.NaN(), 0.0, 0.0, 200.0, math.NaN(), 400.0, -1.0, 300.0, 0.0, 300.0)
	f.Fuzz(func(t *testing.T, unix, seconds int64, g, b, d, tilt, facing, azimuth, snow, wall, top, dew float64) {
		line, err := solar.NewSkyline([]solar.SkylinePoint{{AzimuthDeg: azimuth, ElevationDeg: wall}, {AzimuthDeg: 180, ElevationDeg: 3}})
		if err != nil {
			return
		}
		p, err := NewPlane(Mount{TiltDeg: tilt, FacingDeg: facing, Albedo: 0.2, Skyline: line})
		if err != nil {
			return
		}
		r := Record{time.Unix(unix, 0), time.Duration(seconds%20000) * time.Second, Light{g, b, d}}
		mid, up := SunUp(site, r.Start, r.Length)
		sun := mid.Check() == nil
		limittest.NumberIff(t, sun, "sun", mid, up)
		on, mid2, up2 := p.overWithSun(site, r)
		if sun && (mid2 != mid || up2 != up || up < 0 || up > 1) {
			t.Fatalf("%+v %g and %+v %g", mid, up, mid2, up2)
		}
		limittest.NumberIff(t, sun && r.holds(), "Over", on)
		course, err := p.Course(site, r.Length, 1, func(int) time.Time { return r.Start })
		if sun != (err == nil) {
			t.Fatalf("%+v and %v", mid, err)
		}
		limittest.ZeroIfRefused(t, course, err)
		if err == nil {
			laid := course.Over(0, r.Light)
			mid3, up3 := course.SunUp(0)
			if r.holds() && laid.TotalWPerM2 != on.TotalWPerM2 || up3 != up || up > 0 && mid3 != mid || course.Len() != 1 {
				t.Fatalf("%+v, %+v %g and %+v, %+v %g", on, mid, up, laid, mid3, up3)
			}
		}
		at := site.At(r.Start)
		to := at.Direction()
		plain, other := p.On(SunAt(at), r.Light), p.OnToward(to, r.Light)
		limittest.NumberIff(t, SunToward(to).Check() == nil && r.holds(), "OnToward", other)
		if math.Abs(plain.TotalWPerM2-other.TotalWPerM2) > 1e-6 {
			t.Fatalf("%+v and %+v", plain, other)
		}
		limittest.NumberIff(t, sun, "IncidenceDeg", p.IncidenceDeg(mid))
		if hidden := p.Hidden(mid); !sun && !hidden {
			t.Fatal("a sun that is nowhere is not hidden")
		}
		limittest.NumberIff(t, sun && r.holds() && CheckSnow(snow) == nil, "EffectiveWPerM2", p.EffectiveWPerM2(on, snow))
		s := LightSensor{top, dew}
		pegged := s.PeggedH(site, []Record{r})
		limittest.NumberIff(t, s.Check() == nil, "PeggedH", pegged)
		if pegged < 0 || pegged > r.Length.Hours() && pegged > 0 {
			t.Fatalf("pegged for %g h of %v", pegged, r.Length)
		}
	})
}

// FuzzLongYear makes a whole year for each input.
func FuzzLongYear(f *testing.F) {
	f.Add(48.2, 16.37, 2024, 60, uint64(7), 3.0, 10.0, 4.0, 3.0)
	f.Add(-90.0, 0.0, 1901, 0, uint64(0), 0.0, -90.0, 0.0, 0.0)
	f.Add(66.6, 180.0, 2199, 840, uint64(math.MaxUint64), 15.0, 60.0, 15.0, 60.0)
	f.Add(0.0, 0.0, 1900, 0, uint64(1), math.NaN(), 300.0, -1.0, 100.0)
	f.Fuzz(func(t *testing.T, lat, lon float64, year, zoneMin int, seed uint64, global, temp, spread, wind float64) {
		site, err := solar.NewSite(lat, lon, 0)
		if err != nil {
			return
		}
		c := Climate{DailySpreadK: spread, WindMPerS: wind}
		for m := range 12 {
			c.DailyGlobalKWhPerM2[m], c.MeanTempC[m] = global/float64(1+m%3), temp
		}
		hours, err := SyntheticYear(site, c, year, time.FixedZone("fuzz", zoneMin%(15*60)*60), seed)
		if err != nil {
			if hours != nil || err.Error() == "" {
				t.Fatalf("%d hours beside %q", len(hours), err)
			}
			return
		}
		if c.Check() != nil || len(hours) != 8760 && len(hours) != 8784 {
			t.Fatalf("%d hours of %+v, %v", len(hours), c, c.Check())
		}
		for _, h := range hours {
			if h.Light.Check() != nil || math.IsNaN(h.TempC) || math.IsNaN(h.WindMPerS) {
				t.Fatalf("%+v: %v", h, h.Light.Check())
			}
		}
	})
}
