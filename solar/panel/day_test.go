package panel

import (
	"fmt"
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"github.com/stationphysics/stationphysics/internal/refdata"
	"github.com/stationphysics/stationphysics/solar"
	"github.com/stationphysics/stationphysics/solar/sky"
)

// clearDay is one clear day on a plane, minute by minute.
type clearDay struct {
	site             solar.Site
	plane            *sky.Plane
	cover            *sky.Cover
	midnight         time.Time
	heightM, turbid  float64
	planeWh, coverWh float64
}

// sum runs through the day in steps of the given length.
func (d *clearDay) sum(m Module, step time.Duration, holdV float64) Yield {
	var y Yield
	d.planeWh, d.coverWh = 0, 0
	h := step.Hours()
	for at := step / 2; at < 24*time.Hour; at += step {
		sun := sky.SunAt(d.site.At(d.midnight.Add(at)))
		on := d.plane.On(sun, sky.ClearSky(sun, d.heightM, d.turbid))
		through := 0.95 * (on.SkyWPerM2 + on.GroundWPerM2)
		if on.BeamWPerM2 > 0 {
			through += on.BeamWPerM2 * d.cover.BeamRatio(d.plane.IncidenceDeg(sun))
		}
		d.planeWh += on.TotalWPerM2 * h
		d.coverWh += through * h
		y.Add(m.Output(Weather{through, on.TotalWPerM2, 10, 1}, nil, holdV), h)
	}
	return y
}

func TestDailyYield(t *testing.T) {
	m := referencePanel(t)
	cover, err := sky.NewGlassCover(1.526, 4, 2)
	require.NoError(t, err)
	refdata.Each(t, "solar/panel/daily_yield", func(r *refdata.Row) {
		site, err := solar.NewSite(r.F("latDeg"), r.F("lonDeg"), r.F("heightM"))
		require.NoError(t, err)
		site, err = site.WithDeltaT(69.2)
		require.NoError(t, err)
		pressureHPa, _ := site.Air()
		site, err = site.WithAir(pressureHPa, 12)
		require.NoError(t, err)
		plane, err := sky.NewPlane(sky.Mount{TiltDeg: r.F("tiltDeg"), FacingDeg: r.F("facingDeg"), Albedo: 0.2, Sky: sky.HayDavies})
		require.NoError(t, err)
		day, err := time.Parse(time.DateOnly, r.S("date"))
		require.NoError(t, err)
		zoneH := math.Round(r.F("lonDeg") / 15)
		d := clearDay{site: site, plane: plane, cover: cover, midnight: day.Add(-time.Duration(zoneH) * time.Hour),
			heightM: r.F("heightM"), turbid: r.F("linkeTurbidity")}
		y := d.sum(m, time.Minute, 14)
		call := fmt.Sprintf("%s at %v°, tilt %v°", r.S("date"), r.F("latDeg"), r.F("tiltDeg"))
		r.Check("planeWhPerM2", d.planeWh, call)
		r.Check("effectiveWhPerM2", d.coverWh, call)
		r.Check("maxPowerWh", y.MaxPowerWh, call)
		r.Check("heldAh", y.HeldAh, call)
		hottest := 10.0 // the reference counts the night as well
		if y.LitH > 0 {
			hottest = y.HottestCellC
		}
		r.Check("hottestCellC", hottest, call)
	})
}

// TestHoursGiveWhatMinutesGive sums a clear day from its minutes and from its
// hourly means, as a file would have them.
func TestHoursGiveWhatMinutesGive(t *testing.T) {
	m := referencePanel(t)
	for _, c := range []struct{ latDeg, tiltDeg, facingDeg float64 }{{48, 0, 180}, {48, 45, 180}, {48, 90, 180}, {48, 60, 110}, {-35, 30, 0}, {64, 70, 200}} {
		site, err := solar.NewSite(c.latDeg, 0, 200)
		require.NoError(t, err)
		plane, err := sky.NewPlane(sky.Mount{TiltDeg: c.tiltDeg, FacingDeg: c.facingDeg, Albedo: 0.2})
		require.NoError(t, err)
		for _, month := range []time.Month{time.March, time.June, time.December} {
			track, err := site.Year(2023, time.UTC)
			require.NoError(t, err)
			series := func(step time.Duration) []Step {
				var out []Step
				for h := range 24 {
					start := time.Date(2023, month, 21, h, 0, 0, 0, time.UTC)
					for at := time.Duration(0); at < time.Hour; at += step {
						r := sky.Record{Start: start.Add(at), Length: step}
						n := int(step / time.Minute)
						for k := range n {
							l := sky.ClearSky(sky.SunAt(track.At(r.Start.Add(time.Duration(k)*time.Minute+30*time.Second))), 200, 3)
							r.GlobalWPerM2 += l.GlobalWPerM2 / float64(n)
							r.BeamNormalWPerM2 += l.BeamNormalWPerM2 / float64(n)
							r.DiffuseWPerM2 += l.DiffuseWPerM2 / float64(n)
						}
						out = append(out, Step{Record: r, AirC: 10, WindMPerS: 1})
					}
				}
				return out
			}
			sum := func(step time.Duration) Yield {
				s := series(step)
				w := make([]Weather, len(s))
				BatchWeather(w, s, plane, track)
				y, err := m.Yield(w, step.Hours(), nil, 14)
				require.NoError(t, err)
				return y
			}
			minutes, hours := sum(time.Minute), sum(time.Hour)
			t.Logf("%+v %v: %.3f Wh, hours %+.2f %%, held %+.2f %%", c, month, minutes.MaxPowerWh, 100*(hours.MaxPowerWh/minutes.MaxPowerWh-1), 100*(hours.HeldAh/minutes.HeldAh-1))
			require.InEpsilon(t, minutes.MaxPowerWh, hours.MaxPowerWh, 0.005, "%+v %v", c, month)
			require.InEpsilon(t, minutes.HeldAh, hours.HeldAh, 0.005, "%+v %v", c, month)
		}
	}
}
