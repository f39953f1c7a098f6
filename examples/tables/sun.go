package main

import (
	"errors"
	"fmt"
	"math"
	"strconv"
	"strings"
	"time"
	_ "time/tzdata" // names of zones, wherever it runs

	"github.com/stationphysics/stationphysics/internal/limit"
	"github.com/stationphysics/stationphysics/solar"
)

var sun = kind{
	name:  "sun",
	about: "rise, set, noon, day length and twilight at a site",
	params: []param{
		{"latitude", "latitude of the site, north positive,", "degrees", "", "of the site, north positive, -90 to 90; needed"},
		{"longitude", "longitude of the site, east positive,", "degrees", "", "of the site, east positive, -180 to 180; needed"},
		{"height", "height of the site", "m", "0", "of the site above sea level, -500 to 9000"},
		{"zone", "zone", "", "0", "of the times: hours ahead of UTC, such as 1 or -3.5, or a name such as Europe/Berlin, which has summer time in it"},
		{"year", "year", "", "2026", "1900 to 2200"},
		{"days", "day of the month", "", "21", "days of every month, 1 to 31; a shorter month gives its last"},
		{"dates", "date", "", "", "dates such as 2026-06-21, or from:to:step with the step in days, in place of -year and -days"},
		{"twilight", "", "", "civil", "civil, nautical, astronomical: which dawns and dusks to print"},
	},
	make: makeSun,
}

// twilights are the sorts of dawn and dusk, the darkest first.
var twilights = []struct {
	name, depth string
	of          func(*solar.Day) solar.Span
}{
	{"astronomical", "-18°", func(d *solar.Day) solar.Span { return d.Astronomical }},
	{"nautical", "-12°", func(d *solar.Day) solar.Span { return d.Nautical }},
	{"civil", "-6°", func(d *solar.Day) solar.Span { return d.Civil }},
}

func makeSun(v *values) *table {
	lat := v.number("latitude", func(x float64) error { _, err := solar.NewSite(x, 0, 0); return err })
	lon := v.number("longitude", func(x float64) error { _, err := solar.NewSite(0, x, 0); return err })
	height := v.number("height", func(x float64) error { _, err := solar.NewSite(0, 0, x); return err })
	zone := v.zone()
	dates := v.dates()
	depths := v.words("twilight", "astronomical", "nautical", "civil")
	v.size("dates", len(dates), 6+2*len(depths))
	site, err := solar.NewSite(lat, lon, height)
	v.fail("latitude", err)
	if v.err != nil {
		return nil
	}
	const clock = "h:min"
	t := &table{
		title: "Sun at latitude " + plain(lat) + "°, longitude " + plain(lon) + "°, " + plain(height) + " m",
		notes: []string{
			"Latitude counts north positive, longitude east positive. Times are " + zoneText(zone) + ", to the nearest minute; +1 and -1 are the date after and before.",
			"Over a flat horizon: hills, houses and trees hide the sun longer (package solar, DirectSun). Rise and set: the centre 50′ below the horizon, 34′ for refraction and 16′ for the semidiameter. Dawn and dusk: the centre as far below as the heading says, -6° civil, -12° nautical, -18° astronomical.",
			"Noon: the sun crosses the meridian; its elevation is the apparent one, refraction of a mean atmosphere included. Up: it stays above all day; down: it stays below.",
		},
		sources: []string{
			"Solar position algorithm, NREL/TP-560-34302 (2008); definitions of the events: Explanatory Supplement to the Astronomical Almanac ch. 9 (from memory). Package solar.",
			"Holds from 1900 to 2200. Within a second of an ephemeris where the sun crosses faster than 0.02° a minute; the real air near the horizon moves rise and set by minutes. A cell without a value shows -.",
		},
		keys:    1,
		columns: []column{{head: "date", key: "date", left: true}},
	}
	for _, n := range depths {
		t.columns = append(t.columns, column{head: "dawn\n" + depth(n), unit: clock, key: n + "_dawn_rfc3339"})
	}
	for _, n := range []string{"rise", "noon", "set"} {
		t.columns = append(t.columns, column{head: n, unit: clock, key: n + "_rfc3339"})
	}
	for i := range depths {
		n := depths[len(depths)-1-i]
		t.columns = append(t.columns, column{head: "dusk\n" + depth(n), unit: clock, key: n + "_dusk_rfc3339"})
	}
	t.columns = append(t.columns, column{head: "noon\nelev.", unit: "°", key: "noon_elevation_deg"}, column{head: "day\nlength", unit: "h", key: "day_length_h"})
	for _, date := range dates {
		y, m, d := date.Date()
		day, err := site.Day(y, m, d, zone)
		if err != nil {
			v.fail("dates", err)
			return nil
		}
		t.rows = append(t.rows, sunRow(date, &day, depths))
	}
	return t
}

func depth(name string) string {
	for _, w := range twilights {
		if w.name == name {
			return w.depth
		}
	}
	return ""
}

func sunRow(date time.Time, d *solar.Day, depths []string) []cell {
	row := []cell{{text: date.Format(time.DateOnly)}}
	var dusks []cell
	for _, w := range twilights {
		for _, n := range depths {
			if n == w.name {
				dawn, dusk := ends(date, w.of(d))
				row = append(row, dawn)
				dusks = append([]cell{dusk}, dusks...)
			}
		}
	}
	rise, set := ends(date, d.Sun)
	row = append(row, rise, minute(date, d.Transit), set)
	row = append(row, dusks...)
	return append(row, fixed(d.AtTransit.ApparentElevationDeg, 2), fixed(d.Sun.LengthH, 2))
}

// ends are the two times of a span, or what the sun does in place of them.
func ends(date time.Time, s solar.Span) (rise, set cell) {
	switch s.Outcome {
	case solar.UpAllDay:
		return cell{text: "up"}, cell{text: "up"}
	case solar.DownAllDay:
		return cell{text: "down"}, cell{text: "down"}
	}
	return minute(date, s.Rise), minute(date, s.Set)
}

// minute prints a time to the nearest minute, and how many dates off it falls.
func minute(date, t time.Time) cell {
	if t.IsZero() {
		return none
	}
	t = t.Add(30 * time.Second)
	s := t.Format("15:04")
	y, m, d := t.Date()
	if off := int(time.Date(y, m, d, 0, 0, 0, 0, time.UTC).Sub(date) / (24 * time.Hour)); off != 0 {
		s += fmt.Sprintf("%+d", off)
	}
	return cell{text: s, data: t.Format("2006-01-02T15:04:00Z07:00")}
}

// dates reads the days of the table, as midnights of UTC.
func (v *values) dates() []time.Time {
	var out []time.Time
	if v.text["dates"] != "" {
		for _, other := range []string{"year", "days"} {
			if v.stated[other] {
				v.fail("dates", fmt.Errorf("stands in place of -%s: leave one out", other))
			}
		}
		days, err := series(v.text["dates"], scale{v.param("dates"), "days", dayNumber, func(x float64) string { return midnight(x).Format(time.DateOnly) }, func(x float64) error {
			if x != math.Trunc(x) {
				return errors.New("the step of a series of dates is in whole days")
			}
			return checkYear(midnight(x).Year())
		}})
		v.fail("dates", err)
		for _, x := range days {
			out = append(out, midnight(x))
		}
		return out
	}
	year := v.number("year", v.param("year").whole(func(x float64) error { return checkYear(int(x)) }))
	days := v.numbers("days", v.param("days").whole(dayOfMonth.Check))
	if v.err != nil {
		return nil
	}
	for m := time.January; m <= time.December; m++ {
		last := time.Date(int(year), m+1, 0, 0, 0, 0, 0, time.UTC)
		for _, d := range days {
			date := time.Date(int(year), m, min(int(d), last.Day()), 0, 0, 0, 0, time.UTC)
			if len(out) == 0 || out[len(out)-1] != date {
				out = append(out, date)
			}
		}
	}
	return out
}

var dayOfMonth = limit.Range{Quantity: "day of the month", Min: 1, Max: 31}

// checkYear asks the package for its range.
func checkYear(year int) error {
	site, err := solar.NewSite(0, 0, 0)
	if err == nil {
		_, err = site.Day(year, time.July, 1, nil)
	}
	return err
}

// midnight turns a day number of dayNumber back.
func midnight(x float64) time.Time { return time.Unix(int64(x)*86400, 0).UTC() }

func dayNumber(s string) (float64, error) {
	t, err := time.Parse(time.DateOnly, strings.TrimSpace(s))
	if err != nil {
		return math.NaN(), fmt.Errorf("%q is not a date such as 2026-06-21", s)
	}
	return float64(t.Unix() / 86400), nil
}

var zoneHours = limit.Range{Quantity: "zone", Unit: "h", Min: -12, Max: 14}

// zone reads hours ahead of UTC or the name of a zone. Local, the zone of the
// machine, would give one document different numbers on two machines.
func (v *values) zone() *time.Location {
	s := strings.TrimSpace(v.text["zone"])
	if h, err := strconv.ParseFloat(s, 64); err == nil {
		if err := zoneHours.Check(h); err != nil {
			v.fail("zone", err)
			return nil
		}
		name := "UTC"
		if h != 0 {
			name += strings.Replace("+"+plain(h), "+-", "-", 1)
		}
		return time.FixedZone(name, int(math.Round(h*3600)))
	}
	zone, err := time.LoadLocation(s)
	if err != nil || s == "" || s == "Local" {
		v.fail("zone", fmt.Errorf("%q is no zone: hours ahead of UTC such as 1 or -3.5 are, or a name such as Europe/Berlin", s))
		return nil
	}
	return zone
}

func zoneText(zone *time.Location) string {
	if strings.HasPrefix(zone.String(), "UTC") {
		return zone.String() + ", without summer time"
	}
	return "the civil ones of " + zone.String() + ", summer time included"
}
