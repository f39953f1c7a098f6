package sky

import (
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"github.com/stationphysics/stationphysics/solar"
)

// A course gives what the plane gives for one interval after the other.
func TestCourseIsOver(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 2026))
	yard := skyline(t, 0, 5, 85, 12, 85, 30, 130, 25, 130, 4, 200, 8, 240, 35, 240, 10, 300, 15)
	for _, lat := range []float64{-33, 0, 48.2, 71} {
		site := must(solar.NewSite(lat, 16.37, 200))(t)
		from := time.Date(2024, 3, 10, 0, 0, 0, 0, time.UTC)
		track := must(site.Track(from, from.AddDate(0, 6, 0)))(t)
		for _, length := range []time.Duration{10 * time.Minute, time.Hour, 3 * time.Hour} {
			plane := must(NewPlane(Mount{TiltDeg: 60, FacingDeg: 100, Albedo: 0.2, Skyline: yard}))(t)
			var starts []time.Time
			for range 300 {
				starts = append(starts, from.Add(time.Duration(rng.IntN(24*150))*time.Hour))
			}
			course, err := plane.Course(track, length, len(starts), func(i int) time.Time { return starts[i] })
			require.NoError(t, err)
			require.Equal(t, len(starts), course.Len())
			dark := 0
			for i, start := range starts {
				l := Light{GlobalWPerM2: 1000 * rng.Float64()}
				l.DiffuseWPerM2 = l.GlobalWPerM2 * rng.Float64()
				l.BeamNormalWPerM2 = 900 * rng.Float64()
				want, mid, up := plane.overWithSun(track, Record{start, length, l})
				got := course.Over(i, l)
				gotMid, gotUp := course.SunUp(i)
				require.Equal(t, up, gotUp)
				if up == 0 && mid.ElevationDeg < -18 {
					dark++
					want.IncidenceCosRatio = 0
					require.True(t, math.IsNaN(gotMid.ElevationDeg))
				} else {
					require.Equal(t, mid, gotMid)
				}
				require.Equal(t, want, got, "%v, %v", start, l)
			}
			if lat == 0 {
				require.Greater(t, dark, 50)
			}
		}
	}
}

func TestCourseRefuses(t *testing.T) {
	site := must(solar.NewSite(48, 16, 200))(t)
	from := time.Date(2024, 3, 10, 6, 0, 0, 0, time.UTC)
	track := must(site.Track(from, from.AddDate(0, 0, 1)))(t)
	plane := must(NewPlane(Mount{TiltDeg: 60, FacingDeg: 100}))(t)
	morning := func(int) time.Time { return from.Add(3 * time.Hour) }
	_, err := plane.Course(track, 0, 1, morning)
	require.EqualError(t, err, "length of the interval 0 s is outside 1..10800 s")
	_, err = plane.Course(track, time.Hour, 2, func(i int) time.Time { return from.AddDate(0, 0, 2*i) })
	require.EqualError(t, err, "sun elevation NaN deg is outside -90..90 deg")
	c, err := plane.Course(track, time.Hour, 1, morning)
	require.NoError(t, err)
	require.Greater(t, c.Over(0, Light{500, 400, 200}).TotalWPerM2, 300.0)
	for i, l := range map[int]Light{-1: {500, 400, 200}, 1: {500, 400, 200}, 0: {GlobalWPerM2: math.NaN()}} {
		require.True(t, math.IsNaN(c.Over(i, l).TotalWPerM2), i)
	}
	for _, i := range []int{-1, 1} {
		sun, up := c.SunUp(i)
		require.True(t, math.IsNaN(sun.ElevationDeg))
		require.Zero(t, up)
	}
	for _, n := range []int{0, -1} {
		none, err := plane.Course(track, time.Hour, n, morning)
		require.NoError(t, err)
		require.Zero(t, none.Len())
	}
	require.Zero(t, testing.AllocsPerRun(50, func() { sink = c.Over(0, Light{500, 400, 200}).TotalWPerM2 }))
}
