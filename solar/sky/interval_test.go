package sky

import (
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"github.com/stationphysics/stationphysics/solar"
)

// record is an hour of light that begins at an RFC 3339 time.
func record(start string, global, beam, diffuse float64) Record {
	at, err := time.Parse(time.RFC3339, start)
	if err != nil {
		panic(err)
	}
	return Record{at, time.Hour, Light{global, beam, diffuse}}
}

func TestSunUpByTheSecond(t *testing.T) {
	for _, place := range [][2]float64{{48.2, 16.37}, {69.6, 18.9}, {-35, 149}, {0, -78}} {
		site := must(solar.NewSite(place[0], place[1], 100))(t)
		for _, day := range []time.Time{time.Date(2024, 1, 25, 0, 0, 0, 0, time.UTC), time.Date(2024, 6, 21, 0, 0, 0, 0, time.UTC), time.Date(2024, 10, 3, 0, 0, 0, 0, time.UTC)} {
			track := must(site.Track(day, day.Add(26*time.Hour)))(t)
			for h := range 24 {
				start := day.Add(time.Duration(h) * time.Hour)
				var up, centre float64
				for s := range 1200 {
					if track.At(start.Add(time.Duration(3*s+1)*time.Second)).ApparentElevationDeg > 0 {
						up++
						centre += float64(3*s) + 1.5
					}
				}
				mid, ratio := SunUp(track, start, time.Hour)
				// Three seconds of counting.
				require.InDelta(t, up/1200, ratio, 3.1/3600, "%v %v", place, start)
				want := start.Add(30 * time.Minute)
				if ratio > 0 {
					want = start.Add(time.Duration(centre / max(up, 1) * 1e9))
				}
				if up > 10 || ratio == 0 {
					require.InDelta(t, track.At(want).ApparentElevationDeg, mid.ElevationDeg, 0.02, "%v %v", place, start)
				}
			}
		}
	}
}

func TestSunUpRefuses(t *testing.T) {
	site := must(solar.NewSite(48, 16, 0))(t)
	at := time.Date(2024, 6, 21, 12, 0, 0, 0, time.UTC)
	for _, length := range []time.Duration{0, -time.Hour, time.Millisecond, 3*time.Hour + time.Second} {
		mid, up := SunUp(site, at, length)
		require.True(t, math.IsNaN(up) && math.IsNaN(mid.ElevationDeg), length)
	}
	night, up := SunUp(site, at.Add(12*time.Hour), time.Hour)
	require.Zero(t, up)
	require.InDelta(t, site.At(at.Add(12*time.Hour+30*time.Minute)).AzimuthDeg, night.AzimuthDeg, 1e-9)
	_, up = SunUp(solar.Site{}, at, time.Hour)
	require.True(t, math.IsNaN(up))
	_, up = SunUp(site, at, 3*time.Hour)
	require.Equal(t, 1.0, math.Round(up*1e9)/1e9)
	_, up = SunUp(site, at, time.Second)
	require.Equal(t, 1.0, up)
	p := must(NewPlane(Mount{}))(t)
	bad := Record{at, time.Hour, Light{100, math.NaN(), 50}}
	require.True(t, math.IsNaN(p.Over(site, bad).TotalWPerM2))
	bad = Record{at, 0, Light{100, 10, 50}}
	require.True(t, math.IsNaN(p.Over(site, bad).TotalWPerM2))
}

// What an interval gives on the level must be what went in, whatever the
// hour: the light is moved within the interval, not made or lost.
func TestOverKeepsTheLevelLight(t *testing.T) {
	site := must(solar.NewSite(48.2, 16.37, 200))(t)
	p := must(NewPlane(Mount{Sky: Isotropic}))(t)
	track := must(site.Track(time.Date(2024, 3, 20, 0, 0, 0, 0, time.UTC), time.Date(2024, 3, 21, 1, 0, 0, 0, time.UTC)))(t)
	for h := range 24 {
		start := time.Date(2024, 3, 20, h, 0, 0, 0, time.UTC)
		mid, up := SunUp(track, start, time.Hour)
		for _, share := range []float64{0, 0.3, 0.7} {
			diffuse := 5 + 200*up*max(0, math.Sin(mid.ElevationDeg*rad))
			r := Record{start, time.Hour, Light{diffuse, 0, diffuse}}
			if up > 0 {
				r.GlobalWPerM2 = diffuse + share*up*400*math.Sin(mid.ElevationDeg*rad)
				r.BeamNormalWPerM2 = share * up * 400
			}
			on := p.Over(track, r)
			require.InDelta(t, r.GlobalWPerM2, on.TotalWPerM2, 3e-3*r.GlobalWPerM2+0.02, "%d h, share %g", h, share)
			require.InDelta(t, r.DiffuseWPerM2, on.SkyWPerM2, 1e-9)
			if up == 0 {
				require.Zero(t, on.BeamWPerM2)
			}
		}
	}
}

func TestOverBehindASkyline(t *testing.T) {
	site := must(solar.NewSite(48.2, 16.37, 200))(t)
	// At 11:00 UTC the sun is due south; a tower hides it for some of the hour.
	start := time.Date(2024, 3, 20, 10, 30, 0, 0, time.UTC)
	tower := skyline(t, 175, 0, 175, 60, 180, 60, 180, 0)
	m := Mount{TiltDeg: 45, FacingDeg: 180}
	open := must(NewPlane(m))(t)
	m.Skyline = tower
	cut := must(NewPlane(m))(t)
	r := Record{start, time.Hour, Light{600, 700, 120}}
	hidden := 0.0
	for s := range 3600 {
		if cut.Hidden(SunAt(site.At(start.Add(time.Duration(s) * time.Second)))) {
			hidden++
		}
	}
	hidden /= 3600
	require.Greater(t, hidden, 0.15)
	// Two edges, each to 50 seconds of the hour.
	require.InDelta(t, 1-hidden, cut.Over(site, r).BeamWPerM2/open.Over(site, r).BeamWPerM2, 2*0.5*50.0/3600)
	// A record as short as one step, or shorter, has no neighbours to tell how
	// the sun moves: the middle decides.
	short := Record{start.Add(28 * time.Minute), time.Minute, r.Light}
	at := SunAt(site.At(short.Start.Add(30 * time.Second)))
	require.Equal(t, cut.Hidden(at), cut.Over(site, short).BeamWPerM2 == 0)
	// The incidence that goes with the beam, and without a beam that of the middle.
	slanted := must(NewPlane(Mount{TiltDeg: 80, FacingDeg: 110}))(t)
	on := slanted.Over(site, r)
	require.Less(t, on.IncidenceCosRatio, 0.7)
	require.InDelta(t, on.BeamWPerM2/r.BeamNormalWPerM2, on.IncidenceCosRatio, 0.02)
	require.Greater(t, on.IncidenceCosRatio, on.BeamWPerM2/r.BeamNormalWPerM2, "weighted by the beam")
	r.BeamNormalWPerM2 = 0
	mid, _ := SunUp(site, r.Start, r.Length)
	require.InDelta(t, open.On(mid, r.Light).IncidenceCosRatio, open.Over(site, r).IncidenceCosRatio, 1e-12)
}

// The light of a sunrise hour lies in its sunlit part: twice the mean while
// the sun is up for half the hour, on the plane as on the level.
func TestOverAtSunrise(t *testing.T) {
	site := must(solar.NewSite(0, 0, 0))(t)
	day := time.Date(2024, 3, 20, 0, 0, 0, 0, time.UTC)
	east := must(NewPlane(Mount{TiltDeg: 90, FacingDeg: 90, Sky: Isotropic}))(t)
	r := Record{day.Add(5*time.Hour + 30*time.Minute), time.Hour, Light{45, 100, 30}}
	_, up := SunUp(site, r.Start, r.Length)
	require.Greater(t, up, 0.3)
	require.Less(t, up, 0.6)
	on := east.Over(site, r)
	// The wall faces the rising sun: nearly all the beam arrives.
	require.InDelta(t, 100, on.BeamWPerM2, 1)
	require.InDelta(t, 15, on.SkyWPerM2, 1e-9)
	// With a few seconds of sun the mean cannot be crammed into them.
	late := Record{r.Start.Add(time.Duration((1-up)*3600-3598) * time.Second), time.Hour, Light{45, 100, 30}}
	on = east.Over(site, late)
	require.Less(t, on.BeamWPerM2, 5.0)
	require.InDelta(t, 15, on.SkyWPerM2, 1)
}

func TestStepsOfASunriseHour(t *testing.T) {
	site := must(solar.NewSite(48.2, 16.37, 200))(t)
	start := time.Date(2024, 3, 20, 4, 30, 0, 0, time.UTC)
	var s walk
	require.True(t, s.follow(site, start, time.Hour))
	require.Less(t, s.toSun[0].ApparentElevationDeg, 0.8)
	var up, sum, level, beam float64
	for i, p := range s.places() {
		require.Equal(t, s.toSun[i].ApparentElevationDeg, p.elevationDeg)
		require.Equal(t, SunToward(s.toSun[i]).AirMass(), p.mass)
		require.InDelta(t, math.Sin(p.elevationDeg*rad), p.sine, 1e-15)
		up, sum = up+p.share, sum+p.share*p.sine
		beam, level = beam+p.share*p.haze, level+p.share*p.haze*p.sine
		if i > 0 {
			require.Greater(t, p.haze, s.place[i-1].haze, "the beam grows with the sun")
		}
	}
	require.InDelta(t, s.up, up, 1e-15)
	require.InDelta(t, s.sum, sum, 1e-15)
	require.InDelta(t, 1, beam, 1e-12, "the steps keep the mean beam")
	require.InDelta(t, s.level, level, 1e-12)
}
