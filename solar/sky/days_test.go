package sky

import (
	"fmt"
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"github.com/stationphysics/stationphysics/internal/refdata"
	"github.com/stationphysics/stationphysics/solar"
)

func TestExtraterrestrialByDistance(t *testing.T) {
	// The rows give 0 h UT with terrestrial time 67 s ahead.
	site := must(must(solar.NewSite(0, 0, 0))(t).WithDeltaT(67))(t)
	refdata.Each(t, "solar/sky/extraterrestrial", func(r *refdata.Row) {
		at := time.Date(int(r.F("year")), 1, int(r.F("yearDay")), 0, 0, 0, 0, time.UTC)
		r.Check("normalWPerM2", SunAt(site.At(at)).ExtraterrestrialWPerM2(), at.Format(time.DateOnly))
	})
}

func TestDaySums(t *testing.T) {
	refdata.Each(t, "solar/sky/day_sums", func(r *refdata.Row) {
		site := must(solar.NewSite(r.F("latDeg"), r.F("lonDeg"), r.F("heightM")))(t)
		site = must(site.WithDeltaT(69.2))(t)
		pressureHPa, _ := site.Air()
		site = must(site.WithAir(pressureHPa, 12))(t)
		p := must(NewPlane(Mount{TiltDeg: r.F("tiltDeg"), FacingDeg: r.F("facingDeg"), Albedo: 0.2, Sky: HayDavies}))(t)
		day := must(time.Parse(time.DateOnly, r.S("date")))(t).Add(-time.Duration(math.Round(r.F("lonDeg")/15)) * time.Hour)
		var h0, ghi, dni, dhi, beam, sky, ground, total float64
		for m := range 1440 {
			pos := site.At(day.Add(time.Duration(m)*time.Minute + 30*time.Second))
			sun := SunAt(pos)
			// Outside the atmosphere nothing is refracted.
			h0 += max(0, sun.ExtraterrestrialWPerM2()*math.Sin(pos.TrueElevationDeg*rad)) / 60
			l := ClearSky(sun, r.F("heightM"), r.F("linkeTurbidity"))
			on := p.On(sun, l)
			ghi, dni, dhi = ghi+l.GlobalWPerM2/60, dni+l.BeamNormalWPerM2/60, dhi+l.DiffuseWPerM2/60
			beam, sky, ground, total = beam+on.BeamWPerM2/60, sky+on.SkyWPerM2/60, ground+on.GroundWPerM2/60, total+on.TotalWPerM2/60
		}
		call := fmt.Sprintf("sums of %s at %g°", r.S("date"), r.F("latDeg"))
		r.Check("levelOutsideWhPerM2", h0, call)
		r.Check("globalWhPerM2", ghi, call)
		r.Check("beamNormalWhPerM2", dni, call)
		r.Check("diffuseWhPerM2", dhi, call)
		r.Check("beamWhPerM2", beam, call)
		r.Check("skyWhPerM2", sky, call)
		r.Check("groundWhPerM2", ground, call)
		r.Check("totalWhPerM2", total, call)
	})
}

// A sampled day: the sun and a clear sky every 30 s.
type sampledDay struct {
	site  solar.Site
	track *solar.Track
	day   time.Time
	suns  []Sun
	light []Light
}

const fine = 30 * time.Second

func sampleDay(t *testing.T, latDeg, lonDeg float64, day time.Time, clear func(Sun) Light) *sampledDay {
	t.Helper()
	d := &sampledDay{site: must(solar.NewSite(latDeg, lonDeg, 200))(t), day: day}
	d.track = must(d.site.Track(day, day.Add(25*time.Hour)))(t)
	for at := day.Add(fine / 2); at.Before(day.Add(24 * time.Hour)); at = at.Add(fine) {
		sun := SunAt(d.track.At(at))
		d.suns = append(d.suns, sun)
		d.light = append(d.light, clear(sun))
	}
	return d
}

// records are the means of the samples over a step.
func (d *sampledDay) records(step time.Duration) []Record {
	n := int(step / fine)
	var out []Record
	for i := 0; i < len(d.light); i += n {
		r := Record{Start: d.day.Add(time.Duration(i) * fine), Length: step}
		for _, l := range d.light[i : i+n] {
			r.GlobalWPerM2 += l.GlobalWPerM2 / float64(n)
			r.BeamNormalWPerM2 += l.BeamNormalWPerM2 / float64(n)
			r.DiffuseWPerM2 += l.DiffuseWPerM2 / float64(n)
		}
		out = append(out, r)
	}
	return out
}

// samples sums the irradiance on a plane over the samples, Wh/m².
func (d *sampledDay) samples(p *Plane) (wh float64) {
	for i, sun := range d.suns {
		wh += p.On(sun, d.light[i]).TotalWPerM2 * fine.Hours()
	}
	return wh
}

func (d *sampledDay) over(p *Plane, records []Record) (wh float64) {
	for _, r := range records {
		wh += p.Over(d.track, r).TotalWPerM2 * r.Length.Hours()
	}
	return wh
}

func TestEnergyOfADayDoesNotDependOnTheStep(t *testing.T) {
	worst, worstBehind := 0.0, 0.0
	yard := skyline(t, 0, 5, 85, 12, 85, 30, 130, 25, 130, 4, 200, 8, 240, 35, 240, 10, 300, 15)
	// Two clear skies: the shape of the beam within an hour is not that of the
	// package's own spreading in the second.
	hazy := func(sun Sun) Light { return ClearSky(sun, 200, 3.5) }
	bird := Air{990, 1.5, 0.3, 0.2, 0.15, 0.85, 0.2}.ClearSky
	for k, place := range [][2]float64{{48.2, 16.37}, {0, 0}, {-35, 149}, {64.15, -21.94}, {48.2, 16.37}} {
		clear := hazy
		if k >= 4 {
			clear = bird
		}
		for _, month := range []time.Month{time.March, time.June, time.December} {
			d := sampleDay(t, place[0], place[1], time.Date(2024, month, 21, 0, 0, 0, 0, time.UTC), clear)
			minutes, hours := d.records(time.Minute), d.records(time.Hour)
			global := make([]Record, len(hours))
			for i, r := range hours {
				global[i] = r
				global[i].BeamNormalWPerM2 = math.NaN()
			}
			_, err := Clean(global, d.track, ErbsDriesse)
			require.NoError(t, err)
			for _, m := range []Mount{
				{TiltDeg: 0, Albedo: 0.2},
				{TiltDeg: 45, FacingDeg: 180, Albedo: 0.2},
				{TiltDeg: 60, FacingDeg: 90, Albedo: 0.2},
				{TiltDeg: 90, FacingDeg: 270, Albedo: 0.2},
				{TiltDeg: 90, FacingDeg: 0, Albedo: 0.2},
				{TiltDeg: 50, FacingDeg: 170, Albedo: 0.2, Skyline: yard},
			} {
				for _, model := range []SkyModel{Perez, HayDavies, Reindl, Isotropic} {
					m.Sky = model
					p := must(NewPlane(m))(t)
					exact, minute, hour := d.samples(p), d.over(p, minutes), d.over(p, hours)
					call := fmt.Sprintf("%v %v %+v", place, month, m)
					edge := 0.0 // the skyline's edges fall into single minutes
					if !p.flat {
						edge = 3e-3
					}
					require.InDelta(t, exact, minute, (2e-4+edge)*exact+1e-3, call)
					// The 1 Wh/m² is for Reykjavik in December, whose sun makes
					// 10 to 70 Wh/m² a day from below 2.4°.
					require.InDelta(t, minute, hour, max(0.005*minute, 1), call)
					if minute > 100 {
						if off := math.Abs(hour/minute - 1); p.flat {
							worst = max(worst, off)
						} else {
							worstBehind = max(worstBehind, off)
						}
						// With the beam derived instead of measured, how it grows in
						// the first hour is a guess on which the two skies differ.
						require.InDelta(t, minute, d.over(p, global), 0.015*minute, call)
					}
				}
			}
		}
	}
	// The documented accuracy: better than required, and a change that spoils
	// it should be noticed.
	require.Less(t, worst, 0.004)
	require.Less(t, worstBehind, 0.005)
	require.Greater(t, worst, 0.001)
}

func TestTextbookDay(t *testing.T) {
	site := must(solar.NewSite(43, 0, 0))(t)
	day := time.Date(2023, 4, 15, 0, 0, 0, 0, time.UTC)
	// True solar time is ahead of the clock by the equation of time.
	ahead := time.Duration(site.At(day.Add(12*time.Hour)).EquationOfTimeMin * float64(time.Minute))
	track := must(site.Track(day.Add(-time.Hour), day.Add(25*time.Hour)))(t)
	refdata.Each(t, "solar/sky/textbook_day", func(r *refdata.Row) {
		sum := 0.0
		start := day.Add(time.Duration(r.F("fromSolarH")*60)*time.Minute - ahead)
		for m := range int(r.F("hours")) * 60 {
			pos := track.At(start.Add(time.Duration(m)*time.Minute + 30*time.Second))
			e0 := 1367 / SolarConstantWPerM2 * SunAt(pos).ExtraterrestrialWPerM2()
			sum += max(0, e0*math.Sin(pos.TrueElevationDeg*rad)) * 60 / 1e6
		}
		r.Check("levelMJPerM2", sum, fmt.Sprintf("%g h from %g h", r.F("hours"), r.F("fromSolarH")))
	})
}
