package sky

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"github.com/stationphysics/stationphysics/solar"
)

// clearDay returns the records of a clear day as means over the step, made
// from ten-second samples, and the exact daily energy on the plane.
func clearDay(t *testing.T, p *Plane, site solar.Site, day time.Time, step time.Duration) (records []Record, exact Irradiance) {
	t.Helper()
	track, err := site.Track(day, day.Add(25*time.Hour))
	require.NoError(t, err)
	const fine = 10 * time.Second
	for start := day; start.Before(day.Add(24 * time.Hour)); start = start.Add(step) {
		r := Record{Start: start, Length: step}
		n := float64(step / fine)
		for at := start.Add(fine / 2); at.Before(start.Add(step)); at = at.Add(fine) {
			sun := SunAt(track.At(at))
			l := ClearSky(sun, site.HeightM(), 3.5)
			r.GlobalWPerM2 += l.GlobalWPerM2 / n
			r.BeamNormalWPerM2 += l.BeamNormalWPerM2 / n
			r.DiffuseWPerM2 += l.DiffuseWPerM2 / n
			on := p.On(sun, l)
			w := fine.Hours()
			exact.BeamWPerM2 += w * on.BeamWPerM2
			exact.SkyWPerM2 += w * on.SkyWPerM2
			exact.GroundWPerM2 += w * on.GroundWPerM2
			exact.TotalWPerM2 += w * on.TotalWPerM2
		}
		records = append(records, r)
	}
	return records, exact
}

func TestEnergyOfADayDoesNotDependOnTheStep(t *testing.T) {
	days := []time.Time{time.Date(2024, 12, 21, 0, 0, 0, 0, time.UTC), time.Date(2024, 3, 20, 0, 0, 0, 0, time.UTC), time.Date(2024, 6, 20, 0, 0, 0, 0, time.UTC)}
	for _, place := range [][2]float64{{48.2, 16.37}, {0, 0}, {-35, 149}, {64.15, -21.94}} {
		site := must(solar.NewSite(place[0], place[1], 200))(t)
		for _, m := range []Mount{
			{TiltDeg: 0, Albedo: 0.2},
			{TiltDeg: 45, FacingDeg: 180, Albedo: 0.2},
			{TiltDeg: 60, FacingDeg: 90, Albedo: 0.2},
			{TiltDeg: 90, FacingDeg: 270, Albedo: 0.2},
			{TiltDeg: 90, FacingDeg: 0, Albedo: 0.2},
		} {
			for _, model := range []SkyModel{Perez, HayDavies, Reindl, Isotropic} {
				m.Sky = model
				p := must(NewPlane(m))(t)
				for _, day := range days {
					sums := map[time.Duration]float64{}
					for _, step := range []time.Duration{time.Minute, time.Hour} {
						records, exact := clearDay(t, p, site, day, step)
						sum := 0.0
						for _, r := range records {
							sum += step.Hours() * p.Over(site, r).TotalWPerM2
						}
						sums[step] = sum
						if step == time.Minute {
							require.InDelta(t, exact.TotalWPerM2, sum, 1.5e-4*exact.TotalWPerM2, "minutes against ten seconds: %v %+v %v", place, m, day)
						}
					}
					// The 0.8 Wh/m² is for Reykjavik in December, whose sun makes 10 Wh/m² a day from below 2.4°.
					tol := max(0.005*sums[time.Minute], 0.8)
					require.InDelta(t, sums[time.Minute], sums[time.Hour], tol, "%v %+v %v", place, m, day)
				}
			}
		}
	}
}
