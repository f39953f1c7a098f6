package solar

import (
	"errors"
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"github.com/stationphysics/stationphysics"
)

// TestTrackAgreesWithAt looks at random instants of tracks over the whole range
// of years, at all latitudes, for the bound that the documentation states.
func TestTrackAgreesWithAt(t *testing.T) {
	rng := rand.New(rand.NewPCG(4, 2026))
	worst := 0.0
	for year := 1900; year <= 2200; year += 12 {
		s := site(t, rng.Float64()*180-90, rng.Float64()*360-180, rng.Float64()*4000)
		tr, err := s.Year(year, nil)
		require.NoError(t, err)
		start := time.Date(year, 1, 1, 0, 0, 0, 0, time.UTC)
		for range 300 {
			at := start.Add(time.Duration(rng.Float64() * 365 * 86400e9))
			p, q := s.At(at), tr.At(at)
			sep := separationArcsec(p.TrueElevationDeg, p.AzimuthDeg, q.TrueElevationDeg, q.AzimuthDeg)
			worst = math.Max(worst, sep)
			require.Less(t, sep, 0.01, "%v", at)
			require.InDelta(t, p.DistanceAU, q.DistanceAU, 1e-8)
			require.InDelta(t, p.DeclinationDeg, q.DeclinationDeg, 0.01/3600)
			require.InDelta(t, 0, signedDeg(p.HourAngleDeg-q.HourAngleDeg), 0.01/3600)
			require.InDelta(t, p.EquationOfTimeMin, q.EquationOfTimeMin, 2e-5)
			if math.Abs(p.TrueElevationDeg-lowestSeenDeg) > 0.01 {
				require.InDelta(t, p.ApparentElevationDeg, q.ApparentElevationDeg, 2e-5)
			}
		}
	}
	require.Greater(t, worst, 1e-6, "no interpolation takes place")
	t.Logf("largest difference %.4f″", worst)
}

// The seams between stretches are where a polynomial is worst and where two of
// them must meet.
func TestTrackHasNoSeams(t *testing.T) {
	s := site(t, 47, 8, 400)
	tr, err := s.Track(time.Date(2024, 1, 1, 0, 0, 0, 0, time.UTC), time.Date(2024, 3, 1, 0, 0, 0, 0, time.UTC))
	require.NoError(t, err)
	for i := 1; i < len(tr.stretches); i++ {
		d := tr.first + float64(i)*stretchDays
		before, after := tr.At(timeAt(d-1e-7, time.UTC)), tr.At(timeAt(d+1e-7, time.UTC))
		// 2e-7 days of rotation are 0.26″.
		require.Less(t, separationArcsec(before.TrueElevationDeg, before.AzimuthDeg, after.TrueElevationDeg, after.AzimuthDeg), 0.3)
		single := s.At(timeAt(d, time.UTC))
		seam := tr.At(timeAt(d, time.UTC))
		require.Less(t, separationArcsec(single.TrueElevationDeg, single.AzimuthDeg, seam.TrueElevationDeg, seam.AzimuthDeg), 0.01)
	}
	require.Greater(t, len(tr.stretches), 10)
}

func TestEveryStepsThroughTheYear(t *testing.T) {
	s := site(t, 48.2, 16.4, 200)
	zone := time.FixedZone("CET", 3600)
	for _, c := range []struct {
		year int
		step time.Duration
		want int
	}{
		{2023, time.Hour, 8760}, {2024, time.Hour, 8784}, {2100, time.Hour, 8760}, {2000, 24 * time.Hour, 366},
		{2023, 7 * time.Hour, 1252}, {2023, 400 * 24 * time.Hour, 1}, {2023, 0, 0}, {2023, -time.Hour, 0},
	} {
		tr, err := s.Year(c.year, zone)
		require.NoError(t, err)
		n := 0
		for at, p := range tr.Every(c.step) {
			if n == 0 {
				require.True(t, at.Equal(time.Date(c.year, 1, 1, 0, 0, 0, 0, zone)))
				require.Equal(t, zone, at.Location())
			}
			require.Equal(t, c.year, at.Year())
			require.Equal(t, tr.At(at), p, "stream and single agree to the bit")
			require.False(t, math.IsNaN(p.AzimuthDeg))
			n++
		}
		require.Equal(t, c.want, n, "%d by %v", c.year, c.step)
	}
	tr, err := s.Year(2023, nil)
	require.NoError(t, err)
	n := 0
	for range tr.Every(time.Minute) {
		if n++; n == 10 {
			break // a caller may stop
		}
	}
	require.Equal(t, 10, n)
	require.Equal(t, time.UTC, tr.from.Location())
}

func TestTrackKnowsItsEnds(t *testing.T) {
	s := site(t, 0, 0, 0)
	from := time.Date(2024, 5, 1, 0, 0, 0, 0, time.UTC)
	for _, length := range []time.Duration{0, time.Second, 25 * time.Hour, 96 * time.Hour, 97 * time.Hour} {
		tr, err := s.Track(from, from.Add(length))
		require.NoError(t, err)
		require.False(t, math.IsNaN(tr.At(from).AzimuthDeg))
		require.False(t, math.IsNaN(tr.At(from.Add(length)).AzimuthDeg))
		for _, p := range []Position{tr.At(from.Add(-time.Millisecond)), tr.At(from.Add(length + time.Millisecond))} {
			requireNowhere(t, p)
		}
	}
	_, err := s.Track(from, from.Add(-time.Nanosecond))
	require.ErrorContains(t, err, "length of the track")
	requireNowhere(t, new(Track).At(time.Date(2000, 1, 1, 12, 0, 0, 0, time.UTC)))
	for _, at := range []time.Time{{}, time.Date(1890, 1, 1, 0, 0, 0, 0, time.UTC), time.Date(2300, 1, 1, 0, 0, 0, 0, time.UTC)} {
		var re *stationphysics.RangeError
		_, err := s.Track(at, from)
		require.True(t, errors.As(err, &re), "%v", err)
		_, err = s.Track(from, at)
		require.True(t, errors.As(err, &re), "%v", err)
	}
	whole, err := s.Track(time.Date(1900, 1, 1, 0, 0, 0, 0, time.UTC), time.Date(2200, 12, 31, 23, 59, 59, 0, time.UTC))
	require.NoError(t, err)
	require.False(t, math.IsNaN(whole.At(time.Date(2200, 12, 31, 0, 0, 0, 0, time.UTC)).AzimuthDeg))
	var zero Site
	tr, err := zero.Track(from, from.Add(time.Hour))
	require.Error(t, err)
	require.Nil(t, tr)
	_, err = zero.Year(2024, nil)
	require.Error(t, err)
	for _, year := range []int{1899, 2201} {
		_, err = s.Year(year, nil)
		require.Error(t, err)
	}
	for _, year := range []int{1900, 2200} {
		tr, err = s.Year(year, time.FixedZone("far east", 14*3600))
		require.NoError(t, err)
		for _, p := range tr.Every(24 * time.Hour) {
			require.False(t, math.IsNaN(p.TrueElevationDeg))
		}
	}
}

func TestTrackHonoursUT1(t *testing.T) {
	s := site(t, 10, 20, 0)
	ahead, err := s.WithUT1(0.5)
	require.NoError(t, err)
	at := time.Date(2024, 5, 1, 8, 0, 0, 0, time.UTC)
	tr, err := ahead.Track(at.Add(-time.Hour), at.Add(time.Hour))
	require.NoError(t, err)
	require.InDelta(t, s.At(at.Add(500*time.Millisecond)).HourAngleDeg, tr.At(at).HourAngleDeg, 1e-5)
	require.InDelta(t, 0.5*15.0/3600, ahead.At(at).HourAngleDeg-s.At(at).HourAngleDeg, 1e-6)
}

func requireNowhere(t *testing.T, p Position) {
	t.Helper()
	for _, v := range []float64{p.TrueElevationDeg, p.ApparentElevationDeg, p.AzimuthDeg, p.HourAngleDeg, p.DeclinationDeg,
		p.DistanceAU, p.EquationOfTimeMin, p.TrueZenithDeg(), p.ApparentZenithDeg(), p.SolarTimeH()} {
		require.True(t, math.IsNaN(v), "%+v", p)
	}
}

func TestNoAllocation(t *testing.T) {
	s := site(t, 47, 8, 400)
	at := time.Date(2024, 5, 1, 8, 0, 0, 0, time.UTC)
	tr, err := s.Year(2024, nil)
	require.NoError(t, err)
	zone := time.FixedZone("CET", 3600)
	line, err := NewSkyline([]SkylinePoint{{0, 5}, {90, 10}, {200, 3}})
	require.NoError(t, err)
	var sink float64
	for name, f := range map[string]func(){
		"Site.At":       func() { sink += s.At(at).TrueElevationDeg },
		"Track.At":      func() { sink += tr.At(at).TrueElevationDeg },
		"Site.Day":      func() { d, _ := s.Day(2024, time.May, 1, zone); sink += d.Sun.LengthH },
		"Skyline.Hides": func() { sink += line.ElevationDeg(123) },
		"Track.Every": func() {
			for _, p := range tr.Every(24 * time.Hour) {
				sink += p.TrueElevationDeg
			}
		},
	} {
		require.Zero(t, testing.AllocsPerRun(20, f), name)
	}
	require.NotZero(t, sink)
}
