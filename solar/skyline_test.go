package solar

import (
	"errors"
	"math"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"github.com/stretchr/testify/require"

	"github.com/stationphysics/stationphysics"
)

func skyline(t testing.TB, points ...SkylinePoint) Skyline {
	t.Helper()
	s, err := NewSkyline(points)
	require.NoError(t, err)
	return s
}

func TestSkylineIsStraightBetweenPoints(t *testing.T) {
	for name, c := range map[string]struct {
		line Skyline
		want map[float64]float64
	}{
		"zero value":   {Skyline{}, map[float64]float64{0: 0, 200: 0, 360: 0}},
		"no point":     {skyline(t), map[float64]float64{90: 0}},
		"one point":    {skyline(t, SkylinePoint{120, 7}), map[float64]float64{0: 7, 120: 7, 121: 7, 359: 7, 360: 7}},
		"two points":   {skyline(t, SkylinePoint{90, 10}, SkylinePoint{270, 20}), map[float64]float64{90: 10, 135: 12.5, 180: 15, 270: 20, 300: 20 - 10.0/6, 0: 15, 360: 15, 45: 12.5}},
		"over north":   {skyline(t, SkylinePoint{350, 4}, SkylinePoint{20, 10}), map[float64]float64{350: 4, 355: 5, 0: 6, 360: 6, 5: 7, 20: 10, 185: 7}},
		"unordered":    {skyline(t, SkylinePoint{270, 20}, SkylinePoint{90, 10}, SkylinePoint{180, 0}), map[float64]float64{135: 5, 225: 10}},
		"point at 360": {skyline(t, SkylinePoint{360, 8}, SkylinePoint{180, 2}), map[float64]float64{0: 8, 90: 5, 270: 5, 360: 8}},
		"wall": {skyline(t, SkylinePoint{100, 2}, SkylinePoint{100, 30}, SkylinePoint{140, 30}, SkylinePoint{140, 2}),
			map[float64]float64{100: 30, 99.999999: 2, 100.000001: 30, 120: 30, 140: 30, 140.000001: 2, 300: 2}},
		"edge at north": {skyline(t, SkylinePoint{0, 20}, SkylinePoint{0, 5}, SkylinePoint{180, 5}), map[float64]float64{0: 20, 360: 20, 1: 5, 270: 12.5}},
		"below level":   {skyline(t, SkylinePoint{0, -2}, SkylinePoint{180, -4}), map[float64]float64{90: -3}},
	} {
		for az, want := range c.want {
			require.InDelta(t, want, c.line.ElevationDeg(az), 2e-6, "%s at %v", name, az)
		}
	}
}

func TestSkylineRefuses(t *testing.T) {
	for _, p := range []SkylinePoint{{-1, 0}, {361, 0}, {math.NaN(), 0}, {10, 91}, {10, -31}, {10, math.NaN()}, {10, math.Inf(1)}} {
		_, err := NewSkyline([]SkylinePoint{{0, 0}, p})
		var re *stationphysics.RangeError
		require.True(t, errors.As(err, &re), "%+v: %v", p, err)
	}
	_, err := NewSkyline([]SkylinePoint{{5, 1}, {5, 2}, {80, 0}, {5, 3}})
	var ce *stationphysics.ConflictError
	require.True(t, errors.As(err, &ce), "%v", err)
	require.ErrorContains(t, err, "two points at most")
	// 0 and 360 are one azimuth.
	_, err = NewSkyline([]SkylinePoint{{0, 1}, {360, 2}, {0, 3}})
	require.ErrorContains(t, err, "two points at most")
}

func TestSkylineDoesNotChange(t *testing.T) {
	given := []SkylinePoint{{200, 5}, {100, 3}}
	line := skyline(t, given...)
	given[0].ElevationDeg = 60
	got := line.Points()
	require.Empty(t, cmp.Diff([]SkylinePoint{{100, 3}, {200, 5}}, got))
	got[0].ElevationDeg = 60
	require.Equal(t, 3.0, line.ElevationDeg(100))
	require.Empty(t, Skyline{}.Points())
}

func TestHides(t *testing.T) {
	line := skyline(t, SkylinePoint{90, 10}, SkylinePoint{270, 20})
	require.True(t, line.Hides(90, 9.9))
	require.True(t, line.Hides(90, 10), "on the line is behind it")
	require.False(t, line.Hides(90, 10.1))
	for _, c := range [][2]float64{{math.NaN(), 50}, {90, math.NaN()}, {-1, 50}, {361, 50}, {math.Inf(1), 50}} {
		require.True(t, line.Hides(c[0], c[1]), "an unknown sun gives no light: %v", c)
	}
	require.True(t, math.IsNaN(line.ElevationDeg(math.NaN())))
	require.True(t, math.IsNaN(line.ElevationDeg(-0.001)))
	require.True(t, math.IsNaN(Skyline{}.ElevationDeg(400)))
}

var testLines = map[string][]SkylinePoint{
	"flat":   nil,
	"valley": {{0, 5}, {60, 12}, {110, 4}, {180, 9}, {240, 15}, {300, 8}},
	"towers": {{100, 2}, {100, 40}, {130, 40}, {130, 2}, {180, 2}, {180, 60}, {184, 60}, {184, 2}, {230, 2}, {230, 50}, {260, 50}, {260, 2}},
	"hill":   {{0, -3}, {90, -2}, {180, 1}, {270, -1}},
	"pit":    {{0, 88}},
}

// The hours of direct sun against counting every two seconds with the form for
// one instant.
func TestDirectSunAgainstCounting(t *testing.T) {
	zone := time.FixedZone("CET", 3600)
	for name, points := range testLines {
		line := skyline(t, points...)
		for _, c := range []struct {
			lat   float64
			month time.Month
		}{{47, time.December}, {47, time.June}, {70, time.May}, {70, time.January}, {-33, time.March}} {
			s := site(t, c.lat, 12, 500)
			got, err := s.DirectSun(2025, c.month, 21, zone, line)
			require.NoError(t, err)
			day, err := s.Day(2025, c.month, 21, zone)
			require.NoError(t, err)
			const step = 2.0
			var possible, seen, lost float64
			tr, err := s.Track(day.Transit.Add(-12*time.Hour), day.Transit.Add(12*time.Hour))
			require.NoError(t, err)
			for _, p := range tr.Every(step * time.Second) {
				hidden := line.Hides(p.AzimuthDeg, p.ApparentElevationDeg)
				if p.ApparentElevationDeg > 0 {
					possible += step / 3600
					if hidden {
						lost += step / 3600
					}
				}
				if !hidden {
					seen += step / 3600
				}
			}
			// Two seconds at each change, and the minutes by which the lowest sun
			// differs from 12 h off the transit.
			require.InDelta(t, possible, got.PossibleH, 0.02, "%s %+v possible", name, c)
			require.InDelta(t, seen, got.SeenH, 0.02, "%s %+v seen", name, c)
			require.InDelta(t, lost, got.LostH, 0.02, "%s %+v lost", name, c)
			sum := 0.0
			for i, x := range got.Spells {
				require.True(t, x.To.After(x.From))
				if i > 0 {
					require.True(t, x.From.After(got.Spells[i-1].To))
				}
				require.Equal(t, zone, x.From.Location())
				sum += x.To.Sub(x.From).Hours()
				for _, edge := range []time.Time{x.From, x.To} {
					// A second either side the sun is on different sides.
					a, b := s.At(edge.Add(-time.Second)), s.At(edge.Add(time.Second))
					if math.Abs(edge.Sub(day.Transit).Hours()) < 11.9 {
						require.NotEqual(t, line.Hides(a.AzimuthDeg, a.ApparentElevationDeg), line.Hides(b.AzimuthDeg, b.ApparentElevationDeg), "%s %v", name, edge)
					}
				}
			}
			require.InDelta(t, got.SeenH, sum, 1e-5)
			if name != "hill" {
				require.InDelta(t, got.PossibleH, got.SeenH+got.LostH, 1e-9)
			}
			require.Equal(t, len(got.Spells) == 0, got.First().IsZero())
			require.Equal(t, len(got.Spells) == 0, got.Last().IsZero())
			if len(got.Spells) > 0 {
				require.Equal(t, got.Spells[0].From, got.First())
				require.Equal(t, got.Spells[len(got.Spells)-1].To, got.Last())
			}
		}
	}
}

func TestDirectSunCases(t *testing.T) {
	s := site(t, 47, 12, 500)
	towers, err := s.DirectSun(2025, time.March, 21, nil, skyline(t, testLines["towers"]...))
	require.NoError(t, err)
	require.Len(t, towers.Spells, 4)
	pit, err := s.DirectSun(2025, time.March, 21, nil, skyline(t, testLines["pit"]...))
	require.NoError(t, err)
	require.Empty(t, pit.Spells)
	require.Zero(t, pit.SeenH)
	flat, err := s.DirectSun(2025, time.March, 21, nil, Skyline{})
	require.NoError(t, err)
	require.InDelta(t, 12.1, flat.PossibleH, 0.1)
	require.InDelta(t, flat.PossibleH, pit.LostH, 1e-9)
	require.Len(t, flat.Spells, 1)
	require.Zero(t, flat.LostH)
	// From -0.833° to the centre at 0° apparent the sun takes some two minutes.
	day, err := s.Day(2025, time.March, 21, nil)
	require.NoError(t, err)
	require.InDelta(t, 2, flat.First().Sub(day.Sun.Rise).Minutes(), 1)
	require.InDelta(t, 2, day.Sun.Set.Sub(flat.Last()).Minutes(), 1)
	arctic, err := site(t, 72, 25, 0).DirectSun(2025, time.June, 21, nil, Skyline{})
	require.NoError(t, err)
	require.InDelta(t, 24, arctic.SeenH, 0.01)
	require.Len(t, arctic.Spells, 1)
	antarctic, err := site(t, -72, 25, 0).DirectSun(2025, time.June, 21, nil, Skyline{})
	require.NoError(t, err)
	require.Empty(t, cmp.Diff(DirectSun{}, antarctic))
}

func TestSunHours(t *testing.T) {
	s := site(t, 47, 12, 500)
	line := skyline(t, testLines["valley"]...)
	year, err := s.SunHours(2024, nil, line)
	require.NoError(t, err)
	var feb MonthSun
	for day := 1; day <= 29; day++ {
		d, err := s.DirectSun(2024, time.February, day, nil, line)
		require.NoError(t, err)
		feb.PossibleH += d.PossibleH
		feb.SeenH += d.SeenH
		feb.LostH += d.LostH
	}
	require.Equal(t, feb, year[time.February-1])
	total := 0.0
	for _, m := range year {
		require.InDelta(t, m.PossibleH, m.SeenH+m.LostH, 1e-6)
		require.Positive(t, m.LostH)
		total += m.PossibleH
	}
	// Half of the year, some 35 h that refraction adds, and some 25 h because the
	// northern summer half is a week longer than the winter half.
	require.InDelta(t, 8784/2+60, total, 10)

	// A zone that leapt over a date has one day less.
	apia, err := time.LoadLocation("Pacific/Apia")
	require.NoError(t, err)
	samoa := site(t, -13.83, -171.77, 0)
	leapt, err := samoa.SunHours(2011, apia, Skyline{})
	require.NoError(t, err)
	other, err := samoa.SunHours(2010, apia, Skyline{})
	require.NoError(t, err)
	require.InDelta(t, 12.9, other[11].SeenH-leapt[11].SeenH, 0.2)

	_, err = s.SunHours(1899, nil, line)
	require.Error(t, err)
	_, err = Site{}.SunHours(2024, nil, line)
	require.Error(t, err)
}
