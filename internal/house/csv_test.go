package house

import (
	"errors"
	"fmt"
	"math"
	"os"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"github.com/stationphysics/stationphysics"
	"github.com/stationphysics/stationphysics/station"
	"github.com/stationphysics/stationphysics/station/bench"
	"github.com/stationphysics/stationphysics/station/logbook"
)

// A csvColumn is a row of a table in docs/csv-formats.md.
type csvColumn struct {
	name, unit, needed, meaning string
	lo, hi                      float64 // NaN without a range
}

// csvSection returns the text of a section, the columns that it lists and its
// example.
func csvSection(t *testing.T, title string) (text string, columns []csvColumn, example string) {
	t.Helper()
	b, err := os.ReadFile("../../docs/csv-formats.md")
	require.NoError(t, err)
	_, text, found := strings.Cut(string(b), "\n"+title+"\n")
	require.True(t, found, title)
	if i := strings.Index(text, "\n## "); i >= 0 {
		text = text[:i]
	}
	if i := strings.Index(text, "\n### "); strings.HasPrefix(title, "### ") && i >= 0 {
		text = text[:i]
	}
	for _, m := range regexp.MustCompile("(?m)^\\| `([^`]+)` \\|([^|]*)\\|([^|]*)\\|([^|]*)\\|(.*)\\|$").FindAllStringSubmatch(text, -1) {
		c := csvColumn{name: m[1], unit: strings.TrimSpace(m[2]), needed: strings.TrimSpace(m[4]), meaning: m[5], lo: math.NaN(), hi: math.NaN()}
		if r := strings.TrimSpace(m[3]); r != "" {
			lo, hi, ok := strings.Cut(r, "..")
			require.True(t, ok, r)
			c.lo, err = strconv.ParseFloat(lo, 64)
			require.NoError(t, err)
			c.hi, err = strconv.ParseFloat(hi, 64)
			require.NoError(t, err)
		}
		columns = append(columns, c)
	}
	require.NotEmpty(t, columns, title)
	m := regexp.MustCompile("(?s)```csv\n(.*?)```").FindStringSubmatch(text)
	require.NotNil(t, m, "%s has an example", title)
	return text, columns, m[1]
}

// ends gives what a column takes and what it does not: both ends of its range,
// and a little beyond.
func (c csvColumn) ends(beyond float64) (takes, refuses []string) {
	f := func(x float64) string { return strconv.FormatFloat(x, 'f', -1, 64) }
	return []string{f(c.lo), f(c.hi)}, []string{f(c.lo - beyond), f(c.hi + beyond)}
}

// asEditorsSave writes a table as another editor would save it.
func asEditorsSave(s string) string {
	return "\ufeff# saved elsewhere\r\n\r\n" + strings.ReplaceAll(s, "\n", "\r\n")
}

func TestWeatherTableIsRead(t *testing.T) {
	text, columns, example := csvSection(t, "### Named columns")
	w, err := station.ReadWeather(strings.NewReader(example), "w.csv")
	require.NoError(t, err)
	require.Len(t, w.Steps, 24)
	require.Positive(t, w.NightOffsetCount)
	require.True(t, w.HasDew)
	again, err := station.ReadWeather(strings.NewReader(asEditorsSave(example)), "w.csv")
	require.NoError(t, err)
	require.Equal(t, w.Steps, again.Steps)

	var known *stationphysics.NameError
	_, err = station.ReadWeather(strings.NewReader("time,global_w_per_m2,air_c,qqqqqqqq\n"), "w.csv")
	require.ErrorAs(t, err, &known)
	var names []string
	for _, c := range columns {
		names = append(names, c.name)
	}
	require.ElementsMatch(t, known.Known, names, "the page lists the columns that there are")

	read := func(value map[string]string, without string) error {
		var b strings.Builder
		start := time.Date(2026, 1, 15, 0, 0, 0, 0, time.UTC)
		for row := range 25 {
			var cells []string
			for _, c := range columns {
				cell := map[string]string{"time": start.Add(time.Duration(row-1) * time.Hour).Format(time.RFC3339), "global_w_per_m2": "1600"}[c.name]
				if v, set := value[c.name]; set && row == 12 {
					cell = v
				} else if cell == "" {
					cell = "0"
				}
				if row == 0 {
					cell = c.name
				}
				if c.name != without {
					cells = append(cells, cell)
				}
			}
			b.WriteString(strings.Join(cells, ",") + "\n")
		}
		_, err := station.ReadWeather(strings.NewReader(b.String()), "w.csv")
		return err
	}
	require.NoError(t, read(nil, ""))
	for _, c := range columns {
		if err := read(nil, c.name); c.needed == "needed" || strings.HasPrefix(c.needed, "with the ") {
			require.Error(t, err, "without %s", c.name)
		} else {
			require.NoError(t, err, "without %s", c.name)
		}
		if c.name == "time" {
			continue
		}
		takes, refuses := c.ends(0.001)
		for _, v := range takes {
			require.NoError(t, read(map[string]string{c.name: v}, ""), "%s = %s", c.name, v)
		}
		for _, v := range append(refuses, "", "NaN", "-9900") {
			err := read(map[string]string{c.name: v}, "")
			require.Error(t, err, "%s = %q", c.name, v)
			require.Contains(t, err.Error(), "w.csv:13", "%s = %q", c.name, v)
		}
	}
	require.ErrorContains(t, read(map[string]string{"global_w_per_m2": "100", "diffuse_w_per_m2": "126"}, ""), "cannot exceed the global")
	require.NoError(t, read(map[string]string{"global_w_per_m2": "100", "diffuse_w_per_m2": "125"}, ""))
	require.Contains(t, text, "more than\n  5 % and 20 W/m²")
}

func TestTypicalYearIsRead(t *testing.T) {
	_, columns, example := csvSection(t, "### A typical year, TMY3")
	header := strings.Split(strings.Split(example, "\n")[1], ",")
	read := func(value map[string]string, without string) (*station.Weather, error) {
		text := typicalYear(t, example, without, func(hour int, cells map[string]string) {
			if hour == 11 {
				cells["GHI (W/m^2)"] = "1600"
				for k, v := range value {
					cells[k] = v
				}
			}
		})
		return station.ReadWeather(strings.NewReader(text), "t.csv")
	}
	w, err := read(nil, "")
	require.NoError(t, err)
	require.Len(t, w.Steps, 8760)
	require.Equal(t, &station.TypicalSite{Name: "INVENTED PLACE", UTCOffsetH: 1, LatitudeDeg: 47.5, LongitudeDeg: 9.5, HeightM: 553}, w.Typical)
	for _, c := range columns {
		require.Contains(t, header, c.name)
		if _, err := read(nil, c.name); c.needed == "needed" {
			require.ErrorContains(t, err, c.name+": the column is missing")
		} else {
			require.NoError(t, err, "without %s", c.name)
		}
		if math.IsNaN(c.lo) {
			continue
		}
		takes, refuses := c.ends(0.001)
		for _, v := range takes {
			_, err := read(map[string]string{c.name: v}, "")
			require.NoError(t, err, "%s = %s", c.name, v)
		}
		for _, v := range append(refuses, "-9900") {
			_, err := read(map[string]string{c.name: v}, "")
			require.ErrorContains(t, err, "t.csv:14: ", "%s = %s", c.name, v)
		}
	}
}

// typicalYear goes on with the example of a typical year to the end of the year,
// its last row repeated. change sees each of the further rows by its hour from 0
// and may set cells; without leaves a column out.
func typicalYear(t *testing.T, example, without string, change func(hour int, cells map[string]string)) string {
	t.Helper()
	lines := strings.Split(strings.TrimSpace(example), "\n")
	require.Len(t, lines, 4)
	header := strings.Split(lines[1], ",")
	var b strings.Builder
	row := func(cell func(i int) string) {
		var kept []string
		for i := range header {
			if header[i] != without {
				kept = append(kept, cell(i))
			}
		}
		b.WriteString(strings.Join(kept, ",") + "\n")
	}
	b.WriteString(lines[0] + "\n")
	for _, line := range lines[1:] {
		cells := strings.Split(line, ",")
		require.Len(t, cells, len(header))
		row(func(i int) string { return cells[i] })
	}
	last := strings.Split(lines[3], ",")
	for hour := 2; hour < 8760; hour++ {
		at := time.Date(2023, 1, 1, hour, 0, 0, 0, time.UTC) // 2023 has no leap day, as no typical year has one
		cells := map[string]string{}
		for i, h := range header {
			cells[h] = last[i]
		}
		cells["Date (MM/DD/YYYY)"] = at.Format("01/02/") + "1988"
		cells["Time (HH:MM)"] = fmt.Sprintf("%02d:00", at.Hour()+1)
		change(hour, cells)
		row(func(i int) string { return cells[header[i]] })
	}
	return b.String()
}

// logRows reads a log whole.
func logRows(t *testing.T, text string, c logbook.Config, see func(*logbook.Observation)) *logbook.Reader {
	t.Helper()
	r, err := logbook.New(strings.NewReader(text), "log.csv", c)
	require.NoError(t, err, text)
	for o, err := r.Next(); err == nil; o, err = r.Next() {
		see(o)
	}
	return r
}

var logColumns = map[string]logbook.Column{
	"air_c": logbook.Air, "air_2_c": logbook.Air2, "humidity_pct": logbook.Humidity, "humidity_2_pct": logbook.Humidity2, "pressure_hpa": logbook.Pressure,
	"light_lx": logbook.Light, "wind_m_per_s": logbook.Wind, "wind_pulses": logbook.WindPulses, "direction_deg": logbook.Direction, "gust_m_per_s": logbook.Gust,
	"rain_tips": logbook.RainTips, "rain_mm": logbook.Rain, "pack_v": logbook.Pack, "panel_v": logbook.Panel, "pack_a": logbook.Current, "box_c": logbook.Box, "boots": logbook.Boots,
}

func TestLogTableIsRead(t *testing.T) {
	text, columns, example := csvSection(t, "## Log of the sensors")
	for _, saved := range []string{example, asEditorsSave(example)} {
		var states [][2]logbook.State
		var light []logbook.State
		r := logRows(t, saved, logbook.Config{LightTopLx: 54612.5}, func(o *logbook.Observation) {
			states = append(states, [2]logbook.State{o.State(logbook.Air), o.State(logbook.WindPulses)})
			light = append(light, o.State(logbook.Light))
		})
		require.Empty(t, r.Mistakes())
		require.Equal(t, [][2]logbook.State{{logbook.Good, logbook.Good}, {logbook.Good, logbook.Good}, {logbook.Missing, logbook.Good}, {logbook.BusError, logbook.BusError}}, states)
		require.Equal(t, []logbook.State{logbook.Good, logbook.Good, logbook.Pegged, logbook.Good}, light)
	}

	var known *stationphysics.NameError
	_, err := logbook.New(strings.NewReader("time,qqqqqqqq\n"), "log.csv", logbook.Config{})
	require.ErrorAs(t, err, &known)
	for _, name := range known.Known {
		require.Contains(t, text, "`"+name+"`", "the page lists the columns that there are")
	}
	state := func(name, cell string) (s logbook.State) {
		s = logbook.Absent
		logRows(t, "time,"+name+"\n2026-01-15T00:00:00Z,"+cell+"\n", logbook.Config{}, func(o *logbook.Observation) { s = o.State(logColumns[name]) })
		return s
	}
	seen := 0
	for _, c := range columns {
		require.Contains(t, known.Known, c.name)
		if strings.HasPrefix(c.name, "time") {
			continue
		}
		seen++
		beyond := 0.001
		if strings.Contains(c.meaning, "whole number") {
			beyond = 1
			require.Equal(t, logbook.OutOfRange, state(c.name, "1.5"), c.name)
		}
		takes, refuses := c.ends(beyond)
		for _, v := range takes {
			require.Contains(t, []logbook.State{logbook.Good, logbook.Pegged}, state(c.name, v), "%s = %s", c.name, v)
		}
		for _, v := range refuses {
			require.Equal(t, logbook.OutOfRange, state(c.name, v), "%s = %s", c.name, v)
		}
	}
	require.Len(t, logColumns, seen)
	for _, v := range []string{"0", "3.2e9"} {
		r := logRows(t, "time_s,air_c\n"+v+",1\n", logbook.Config{Start: time.Date(2026, 1, 1, 0, 0, 0, 0, time.UTC)}, func(*logbook.Observation) {})
		require.Empty(t, r.Mistakes(), v)
	}
	for _, v := range []string{"-1", "3.3e9"} {
		r := logRows(t, "time_s,air_c\n"+v+",1\n", logbook.Config{Start: time.Date(2026, 1, 1, 0, 0, 0, 0, time.UTC)}, func(*logbook.Observation) {})
		require.Len(t, r.Mistakes(), 1, v)
	}

	// What the page says of missing values and failed transfers.
	words := func(what string) []string {
		m := regexp.MustCompile(`(?s)\*\*` + what + `\*\*: (.*?)\.\n`).FindStringSubmatch(text)
		require.NotNil(t, m, what)
		return regexp.MustCompile("`[^`]+`|-?\\d+").FindAllString(m[1], -1)
	}
	missing := words("Missing")
	require.Len(t, missing, 8)
	for _, w := range append(missing, "") {
		require.Equal(t, logbook.Missing, state("air_c", strings.Trim(w, "`")), w)
	}
	failed := words("Bus error")
	require.Len(t, failed, 8)
	for _, w := range failed {
		require.Equal(t, logbook.BusError, state("air_c", w), w)
	}
}

func TestBenchTableIsRead(t *testing.T) {
	text, columns, example := csvSection(t, "## Bench table")
	rows, err := bench.ReadTable(strings.NewReader(example), "b.csv")
	require.NoError(t, err)
	require.Len(t, rows, 3)
	require.True(t, math.IsNaN(rows[2].OwnW), "an empty cell was not measured")
	again, err := bench.ReadTable(strings.NewReader(asEditorsSave(example)), "b.csv")
	require.NoError(t, err)
	require.Len(t, again, 3)
	require.Equal(t, rows[1].TabC, again[1].TabC)

	_, err = bench.ReadTable(strings.NewReader("input V,qqqq V\n"), "b.csv")
	var known *stationphysics.NameError
	require.ErrorAs(t, err, &known)
	var names []string
	read := func(value map[string]string, without string) error {
		var head, cells []string
		for _, c := range columns {
			if c.name == without || c.name == "current" && without != "load" {
				continue
			}
			head = append(head, c.name+" "+c.unit)
			cell, set := value[c.name]
			if !set {
				cell = map[string]string{"input": "150", "load": "30", "current": "0.2", "tab": "250", "room": "-60"}[c.name]
			}
			cells = append(cells, cell)
		}
		_, err := bench.ReadTable(strings.NewReader(strings.Join(head, ",")+"\n"+strings.Join(cells, ",")+"\n"), "b.csv")
		return err
	}
	for _, c := range columns {
		names = append(names, c.name)
		without := ""
		if c.name == "current" {
			without = "load"
		}
		if c.needed == "needed" {
			require.Error(t, read(nil, c.name), "without %s", c.name)
		} else {
			require.NoError(t, read(nil, c.name), "without %s", c.name)
		}
		takes, refuses := c.ends(0.001)
		for _, v := range takes {
			require.NoError(t, read(map[string]string{c.name: v}, without), "%s = %s", c.name, v)
		}
		for _, v := range refuses {
			err := read(map[string]string{c.name: v}, without)
			var te *station.InputError
			require.True(t, errors.As(err, &te), "%s = %s: %v", c.name, v, err)
			require.Equal(t, 2, te.Line, c.name)
		}
		for _, unit := range regexp.MustCompile(`; also (\w+)`).FindAllStringSubmatch(c.meaning, -1) {
			_, err := bench.ReadTable(strings.NewReader("input mV,output mV,load kohm,current mA,own mW,dwell min\n5000,4000,0.03,130,100,5\n"), "b.csv")
			require.NoError(t, err)
			require.Contains(t, "mV kohm mA mW min", unit[1])
		}
	}
	require.ElementsMatch(t, known.Known, names, "the page lists the columns that there are")
	require.Contains(t, text, fmt.Sprintf("At most %d rows", bench.MaxRows))

	// An endless line, in any table.
	b, err := os.ReadFile("../../docs/csv-formats.md")
	require.NoError(t, err)
	_, err = bench.ReadTable(strings.NewReader(strings.Repeat("7", 1<<17)), "b.csv")
	require.ErrorContains(t, err, "65536 bytes")
	require.Contains(t, string(b), "at most 65536 bytes")
}
