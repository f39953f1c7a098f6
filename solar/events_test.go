package solar

import (
	"errors"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"time"
	_ "time/tzdata" // the zones of the tests, wherever they run

	"github.com/stretchr/testify/require"

	"github.com/stationphysics/stationphysics"
	"github.com/stationphysics/stationphysics/internal/refdata"
)

// since gives a time in seconds after another, NaN for none.
func since(at, start time.Time) float64 {
	if at.IsZero() {
		return math.NaN()
	}
	return at.Sub(start).Seconds()
}

func TestEventsAgainstERFA(t *testing.T) {
	outcomes := map[string]int{}
	refdata.Each(t, "solar/rise_set", func(r *refdata.Row) {
		s := withDeltaT(t, site(t, r.F("latDeg"), r.F("lonDeg"), 0), r.F("deltaTS"))
		date := utc(t, r.S("date"))
		day, err := s.Day(date.Year(), date.Month(), date.Day(), nil)
		require.NoError(t, err)
		call := fmt.Sprintf("Day(%s) at %v N %v E", r.S("date"), r.F("latDeg"), r.F("lonDeg"))
		require.Equal(t, r.S("outcome"), day.Sun.Outcome.String(), call)
		outcomes[r.S("outcome")]++
		require.Equal(t, r.Has("riseS"), !day.Sun.Rise.IsZero(), call)
		require.Equal(t, r.Has("setS"), !day.Sun.Set.IsZero(), call)
		r.Check("riseS", since(day.Sun.Rise, date), call)
		r.Check("transitS", since(day.Transit, date), call)
		r.Check("setS", since(day.Sun.Set, date), call)
	})
	require.Len(t, outcomes, 3)
}

func TestTwilightsAgainstERFA(t *testing.T) {
	n := 0
	refdata.Each(t, "solar/twilight", func(r *refdata.Row) {
		s := withDeltaT(t, site(t, r.F("latDeg"), r.F("lonDeg"), 0), r.F("deltaTS"))
		date := utc(t, r.S("date"))
		day, err := s.Day(date.Year(), date.Month(), date.Day(), time.FixedZone("zone", int(r.F("zoneH"))*3600))
		require.NoError(t, err)
		call := fmt.Sprintf("%s: Day(%s)", r.S("place"), r.S("date"))
		r.Check("transitS", since(day.Transit, date), call)
		for _, c := range []struct {
			col string
			at  time.Time
		}{
			{"riseS", day.Sun.Rise}, {"setS", day.Sun.Set}, {"civilRiseS", day.Civil.Rise}, {"civilSetS", day.Civil.Set},
			{"nauticalRiseS", day.Nautical.Rise}, {"nauticalSetS", day.Nautical.Set},
			{"astroRiseS", day.Astronomical.Rise}, {"astroSetS", day.Astronomical.Set},
		} {
			if r.Has(c.col) {
				n++
			}
			r.Check(c.col, since(c.at, date), call+" "+c.col)
		}
	})
	require.Greater(t, n, 200)
}

// The minute of an almanac: the time rounded to the nearest one.
func minutes(at, midnight time.Time) float64 {
	return at.Sub(midnight).Minutes()
}

func TestRiseAndSetOfTheNavalObservatory(t *testing.T) {
	refdata.Each(t, "solar/rise_set_usno", func(r *refdata.Row) {
		zone := time.FixedZone("zone", int(r.F("zoneH"))*3600)
		date := utc(t, r.S("date"))
		day, err := site(t, r.F("latDeg"), r.F("lonDeg"), 0).Day(date.Year(), date.Month(), date.Day(), zone)
		require.NoError(t, err)
		midnight := time.Date(date.Year(), date.Month(), date.Day(), 0, 0, 0, 0, zone)
		r.Check("riseMin", minutes(day.Sun.Rise, midnight), "rise of "+r.S("date"))
		r.Check("setMin", minutes(day.Sun.Set, midnight), "set of "+r.S("date"))
	})
}

// eventOn finds the sunrise or sunset that falls on a date of universal time,
// whatever civil date of the zone it belongs to.
func eventOn(t *testing.T, s Site, date time.Time, zone *time.Location, pick func(Span) time.Time) float64 {
	t.Helper()
	for off := -1; off <= 1; off++ {
		y, m, d := date.AddDate(0, 0, off).Date()
		day, err := s.Day(y, m, d, zone)
		require.NoError(t, err)
		// The table rounds to a minute: one just before midnight is of the next date.
		at := pick(day.Sun).UTC().Add(30 * time.Second)
		if at.Year() == date.Year() && at.YearDay() == date.YearDay() {
			return at.Add(-30 * time.Second).Sub(date).Minutes()
		}
	}
	return math.NaN()
}

func TestYearlyTablesInUniversalTime(t *testing.T) {
	refdata.Each(t, "solar/rise_set_usno_year", func(r *refdata.Row) {
		s := site(t, r.F("latDeg"), r.F("lonDeg"), 0)
		zone := time.FixedZone("zone", int(r.F("zoneH"))*3600)
		date := utc(t, r.S("utcDate"))
		r.Check("riseMin", eventOn(t, s, date, zone, func(x Span) time.Time { return x.Rise }), r.S("place")+" rise "+r.S("utcDate"))
		r.Check("setMin", eventOn(t, s, date, zone, func(x Span) time.Time { return x.Set }), r.S("place")+" set "+r.S("utcDate"))
	})
}

// TestWholeYearlyTables reads complete tables of the U.S. Naval Observatory if
// SOLAR_YEARLY_TABLES names the folder that holds them (rise_set_*.txt).
func TestWholeYearlyTables(t *testing.T) {
	dir := os.Getenv("SOLAR_YEARLY_TABLES")
	if dir == "" {
		t.Skip("SOLAR_YEARLY_TABLES names no folder: the sample of the module is checked by TestYearlyTablesInUniversalTime")
	}
	files, err := filepath.Glob(filepath.Join(dir, "rise_set_*.txt"))
	require.NoError(t, err)
	require.NotEmpty(t, files)
	place := regexp.MustCompile(`Location: ([EW])(\d+) (\d+), ([NS])(\d+) (\d+).*for (\d{4})`)
	for _, file := range files {
		text, err := os.ReadFile(file)
		require.NoError(t, err)
		m := place.FindStringSubmatch(string(text))
		require.NotNil(t, m, file)
		angle := func(sign, d, mi string) float64 {
			a, _ := strconv.ParseFloat(d, 64)
			b, _ := strconv.ParseFloat(mi, 64)
			if a += b / 60; sign == "W" || sign == "S" {
				a = -a
			}
			return a
		}
		lon := angle(m[1], m[2], m[3])
		s := site(t, angle(m[4], m[5], m[6]), lon, 0)
		zone := time.FixedZone("zone", int(math.Round(lon/15))*3600)
		year, err := strconv.Atoi(m[7])
		require.NoError(t, err)
		var corners []Site
		for _, dLat := range []float64{-1.0 / 120, 1.0 / 120} {
			for _, dLon := range []float64{-1.0 / 120, 1.0 / 120} {
				corners = append(corners, site(t, s.latDeg+dLat, s.lonDeg+dLon, 0))
			}
		}
		n, off, worst := 0, 0, 0.5
		for _, line := range strings.Split(string(text), "\n") {
			d, err := strconv.Atoi(strings.TrimSpace(line[:min(2, len(line))]))
			if err != nil || d < 1 || d > 31 || len(line) < 20 || line[2] != ' ' {
				continue
			}
			for month := time.January; month <= time.December; month++ {
				i := 4 + 11*int(month-1)
				if i+9 > len(line) || strings.TrimSpace(line[i:i+9]) == "" {
					continue
				}
				date := time.Date(year, month, d, 0, 0, 0, 0, time.UTC)
				for k, pick := range []func(Span) time.Time{func(x Span) time.Time { return x.Rise }, func(x Span) time.Time { return x.Set }} {
					cell := line[i+5*k : i+5*k+4]
					h, err1 := strconv.Atoi(cell[:2])
					mi, err2 := strconv.Atoi(cell[2:])
					require.NoError(t, errors.Join(err1, err2), "%q", cell)
					n++
					// The table prints the place to the minute of arc; the corners of
					// that square enclose the event it rounds to a minute of time.
					lo, hi := math.Inf(1), math.Inf(-1)
					for _, s := range corners {
						got := eventOn(t, s, date, zone, pick)
						lo, hi = math.Min(lo, got), math.Max(hi, got)
					}
					want := float64(60*h + mi)
					require.True(t, lo <= want+0.5 && hi >= want-0.5, "%s %v %s: %v to %v", file, date, cell, lo, hi)
					if got := eventOn(t, s, date, zone, pick); math.Abs(got-want) > 0.5 {
						off++
						worst = math.Max(worst, math.Abs(got-want))
					}
				}
			}
		}
		t.Logf("%s: %d events, %d round to the next minute from the middle of the place, by %.3f min at most", filepath.Base(file), n, off, worst-0.5)
		require.Equal(t, 732, n, file)
	}
}

// The sunset that is printed with the example of the algorithm for 17 October is
// that of the day before.
func TestSunsetOfTheExample(t *testing.T) {
	mst := time.FixedZone("MST", -7*3600)
	s := withDeltaT(t, site(t, 39.742476, -105.1786, 1830.14), 67)
	refdata.Each(t, "solar/sunset_example", func(r *refdata.Row) {
		date := utc(t, r.S("date"))
		day, err := s.Day(date.Year(), date.Month(), date.Day(), mst)
		require.NoError(t, err)
		midnight := time.Date(date.Year(), date.Month(), date.Day(), 0, 0, 0, 0, mst)
		r.Check("setH", day.Sun.Set.Sub(midnight).Hours(), "sunset of "+r.S("date"))
	})
}

// Whatever the place, the year and the season, a day is in order: dawns before
// the sunrise, that before the transit, and so on, each within its half of the
// window; the day lengths and outcomes agree with the times.
func TestDaysAreInOrder(t *testing.T) {
	seen := map[Outcome]int{}
	for _, lat := range []float64{-90, -89.97, -89.5, -77.85, -66.5, -35, 0, 23.44, 48.2, 60.1, 65.7, 67.4, 78.2, 85, 89.94, 89.99, 90} {
		for _, lon := range []float64{-180, -149.9, 0, 16.4, 174.8, 180} {
			s := site(t, lat, lon, 0)
			zone := time.FixedZone("zone", int(math.Round(lon/15))*3600)
			for day := 1; day <= 365; day += 4 {
				date := time.Date(2023, 1, day, 0, 0, 0, 0, zone)
				d, err := s.Day(date.Year(), date.Month(), date.Day(), zone)
				require.NoError(t, err)
				require.Equal(t, date.YearDay(), d.Transit.YearDay(), "the transit lies on the civil date")
				require.Less(t, math.Abs(d.Transit.Sub(date.Add(12*time.Hour)).Minutes()), 50.0)
				require.InDelta(t, 0, d.AtTransit.HourAngleDeg, 1e-6)
				spans := []Span{d.Astronomical, d.Nautical, d.Civil, d.Sun}
				for i, span := range spans {
					seen[span.Outcome]++
					at := fmt.Sprintf("%v N %v E %v span %d: %+v", lat, lon, date, i, span)
					rises := span.Outcome == Ordinary || span.Outcome == OnlyRise
					sets := span.Outcome == Ordinary || span.Outcome == OnlySet
					require.Equal(t, rises, !span.Rise.IsZero(), at)
					require.Equal(t, sets, !span.Set.IsZero(), at)
					for _, x := range []time.Time{span.Rise, span.Set} {
						if !x.IsZero() {
							require.Less(t, math.Abs(x.Sub(d.Transit).Hours()), 18.1, at)
							require.Equal(t, zone, x.Location(), at)
						}
					}
					require.GreaterOrEqual(t, span.LengthH, 0.0, at)
					require.LessOrEqual(t, span.LengthH, 30.0, at)
					switch span.Outcome {
					case UpAllDay:
						require.Equal(t, 24.0, span.LengthH, at)
					case DownAllDay:
						require.Zero(t, span.LengthH, at)
					case Ordinary:
						require.InDelta(t, span.Set.Sub(span.Rise).Hours(), span.LengthH, 1e-6, at)
					}
					if i > 0 {
						require.GreaterOrEqual(t, spans[i-1].LengthH, span.LengthH-1e-6, at)
						if rises && !spans[i-1].Rise.IsZero() {
							require.False(t, spans[i-1].Rise.After(span.Rise), at)
						}
						if sets && !spans[i-1].Set.IsZero() {
							require.False(t, spans[i-1].Set.Before(span.Set), at)
						}
					}
				}
			}
		}
	}
	for o := Ordinary; o < noOutcome; o++ {
		require.Positive(t, seen[o], o.String())
	}
}

// Through a polar spring the sun neither gains nor loses a rise: rises and sets
// of consecutive dates alternate, and what one date leaves up the next finds up.
func TestConsecutiveDatesJoin(t *testing.T) {
	for _, lat := range []float64{65.72, 66.2, 69.65, 78.2, 89.9, -89.95, -77.85} {
		s := site(t, lat, 25, 0)
		zone := time.FixedZone("EET", 2*3600)
		up := false
		first := true
		var last time.Time
		for n := range 400 {
			y, m, d := time.Date(2023, 1, 1+n, 12, 0, 0, 0, zone).Date()
			day, err := s.Day(y, m, d, zone)
			require.NoError(t, err)
			at := fmt.Sprintf("%v N %v-%v-%v %+v", lat, y, m, d, day.Sun)
			begins := day.Sun.Outcome == UpAllDay || day.Sun.Outcome == OnlySet
			ends := day.Sun.Outcome == UpAllDay || day.Sun.Outcome == OnlyRise
			if !first {
				require.Equal(t, up, begins, at)
			}
			for _, x := range []time.Time{day.Sun.Rise, day.Sun.Set} {
				if !x.IsZero() {
					require.True(t, x.After(last), at)
					last = x
				}
			}
			up, first = ends, false
		}
		require.False(t, last.IsZero())
	}
}

// Each event is where the geocentric sun stands at its elevation.
func TestEventsStandAtTheirElevation(t *testing.T) {
	s := site(t, 52.5, 13.4, 35)
	for month := time.January; month <= time.December; month++ {
		d, err := s.Day(2026, month, 17, time.FixedZone("CET", 3600))
		require.NoError(t, err)
		for _, c := range []struct {
			span Span
			want float64
		}{{d.Sun, -50.0 / 60}, {d.Civil, -6}, {d.Nautical, -12}, {d.Astronomical, -18}} {
			for _, at := range []time.Time{c.span.Rise, c.span.Set} {
				if at.IsZero() {
					continue
				}
				p := s.At(at)
				sin := math.Sin(s.latDeg*rad)*math.Sin(p.DeclinationDeg*rad) + math.Cos(s.latDeg*rad)*math.Cos(p.DeclinationDeg*rad)*math.Cos(p.HourAngleDeg*rad)
				require.InDelta(t, c.want, math.Asin(sin)*deg, 1e-5, "%v", at) // 1 ms and 0.01″
			}
		}
	}
}

func TestDatesThatAreNot(t *testing.T) {
	s := site(t, -13.83, -171.77, 0)
	apia, err := time.LoadLocation("Pacific/Apia")
	require.NoError(t, err)
	var ce *stationphysics.ConflictError
	for _, c := range []struct {
		year  int
		month time.Month
		day   int
		zone  *time.Location
	}{
		{2023, time.February, 29, nil}, {2100, time.February, 29, nil}, {2024, time.February, 30, nil}, {2024, 13, 1, nil},
		{2024, 0, 1, nil}, {2024, time.June, 31, nil}, {2024, time.June, 0, nil}, {2024, time.June, -3, nil},
		{2011, time.December, 30, apia},
	} {
		_, err := s.Day(c.year, c.month, c.day, c.zone)
		require.True(t, errors.As(err, &ce), "%+v: %v", c, err)
		_, err = s.DirectSun(c.year, c.month, c.day, c.zone, Skyline{})
		require.True(t, errors.As(err, &ce), "%+v: %v", c, err)
	}
	require.EqualError(t, ce, "year 2011 and month 12 and day 30 contradict each other: the calendar of the zone Pacific/Apia has no such date")
	for _, year := range []int{1899, 2201, -1, math.MaxInt32} {
		_, err := s.Day(year, time.June, 1, nil)
		var re *stationphysics.RangeError
		require.True(t, errors.As(err, &re), "%d: %v", year, err)
	}
	for _, c := range []struct {
		year  int
		month time.Month
		day   int
	}{{2000, time.February, 29}, {2024, time.February, 29}, {1900, time.January, 1}, {2200, time.December, 31}} {
		for _, zone := range []*time.Location{nil, apia, time.FixedZone("", 14*3600), time.FixedZone("", -12*3600)} {
			d, err := s.Day(c.year, c.month, c.day, zone)
			require.NoError(t, err)
			require.Equal(t, Ordinary, d.Sun.Outcome)
			require.InDelta(t, 12.5, d.Sun.LengthH, 0.6)
		}
	}
	_, err = Site{}.Day(2024, time.June, 1, nil)
	require.ErrorContains(t, err, "NewSite")
}

// West and east of the date line and of the zone line the same sun has another
// date: Samoa before and after it changed sides at the end of 2011.
func TestDateLine(t *testing.T) {
	s := site(t, -13.83, -171.77, 0)
	apia, err := time.LoadLocation("Pacific/Apia")
	require.NoError(t, err)
	before, err := s.Day(2011, time.December, 29, apia)
	require.NoError(t, err)
	after, err := s.Day(2011, time.December, 31, apia)
	require.NoError(t, err)
	require.InDelta(t, 24, after.Transit.Sub(before.Transit).Hours(), 0.02)
	east, err := site(t, 10, 180, 0).Day(2024, time.March, 1, time.FixedZone("", 12*3600))
	require.NoError(t, err)
	west, err := site(t, 10, -180, 0).Day(2024, time.February, 29, time.FixedZone("", -12*3600))
	require.NoError(t, err)
	require.True(t, east.Sun.Rise.Equal(west.Sun.Rise))
	require.Equal(t, 1, east.Sun.Rise.Day())
	require.Equal(t, 29, west.Sun.Rise.Day())
}

// The clocks change on 31 March 2024 in Vienna, between dawn and noon of that
// date and the evening before; the sun takes no notice.
func TestSummerTime(t *testing.T) {
	s := site(t, 48.2, 16.4, 170)
	vienna, err := time.LoadLocation("Europe/Vienna")
	require.NoError(t, err)
	for _, day := range []int{30, 31} {
		local, err := s.Day(2024, time.March, day, vienna)
		require.NoError(t, err)
		fixed, err := s.Day(2024, time.March, day, time.FixedZone("CET", 3600))
		require.NoError(t, err)
		for _, c := range [][2]time.Time{{local.Transit, fixed.Transit}, {local.Sun.Rise, fixed.Sun.Rise}, {local.Astronomical.Set, fixed.Astronomical.Set}} {
			require.InDelta(t, 0, c[0].Sub(c[1]).Seconds(), 0.002)
		}
	}
	// A date of 23 hours has as many minutes of track.
	tr, err := s.Year(2024, vienna)
	require.NoError(t, err)
	n := 0
	for at := range tr.Every(time.Hour) {
		if at.Month() == time.March && at.Day() == 31 {
			n++
		}
	}
	require.Equal(t, 23, n)
}

func TestOutcomeText(t *testing.T) {
	require.Equal(t, "rises and sets", Ordinary.String())
	require.Equal(t, "only sets", OnlySet.String())
	require.Equal(t, "unknown", Outcome(-1).String())
	require.Equal(t, "unknown", noOutcome.String())
}

// UT1 ahead of UTC by half a second brings every event half a second earlier.
func TestEventsHonourUT1(t *testing.T) {
	s := site(t, 48, 16, 0)
	ahead, err := s.WithUT1(0.5)
	require.NoError(t, err)
	a, err := s.Day(2024, time.May, 1, nil)
	require.NoError(t, err)
	b, err := ahead.Day(2024, time.May, 1, nil)
	require.NoError(t, err)
	for _, c := range [][2]time.Time{{a.Transit, b.Transit}, {a.Sun.Rise, b.Sun.Rise}, {a.Sun.Set, b.Sun.Set}} {
		require.InDelta(t, 0.5, c[0].Sub(c[1]).Seconds(), 0.003)
	}
}
