package logbook

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"math"
	"runtime"
	"strings"
	"testing"
	"testing/iotest"
	"time"

	"github.com/google/go-cmp/cmp"
	"github.com/stretchr/testify/require"

	"github.com/stationphysics/stationphysics"
	"github.com/stationphysics/stationphysics/station"
	"github.com/stationphysics/stationphysics/wind"
)

func read(t testing.TB, text string, c Config) (*Reader, []Observation) {
	t.Helper()
	r, err := New(strings.NewReader(text), "log.csv", c)
	require.NoError(t, err)
	return r, drain(t, r)
}

func TestHeadingsWithTheirUnits(t *testing.T) {
	for _, x := range []struct {
		heading, cell string
		column        Column
		want          float64
	}{
		{"air_c", "21.5", Air, 21.5}, {"air_k", "294.65", Air, 21.5}, {"air [°C]", "21.5", Air, 21.5}, {"Air (K)", "294.65", Air, 21.5},
		{"air 2 [°C]", "-3", Air2, -3}, {"air_2_k", "270.15", Air2, -3},
		{"pressure_hpa", "948.2", Pressure, 948.2}, {"pressure_pa", "94820", Pressure, 948.2}, {"pressure [kPa]", "94.82", Pressure, 948.2},
		{"Humidity [%]", "63", Humidity, 63}, {"humidity_2_pct", "62", Humidity2, 62}, {"light_lx", "1200", Light, 1200},
		{"wind [m/s]", "3.4", Wind, 3.4}, {"wind_pulses", "17", WindPulses, 17}, {"direction [°]", "350", Direction, 350}, {"gust_m_per_s", "7", Gust, 7},
		{"rain_tips", "2", RainTips, 2}, {"rain (mm)", "0.4", Rain, 0.4}, {"pack_v", "6.6", Pack, 6.6}, {"pack_mv", "6600", Pack, 6.6},
		{"panel_mv", "17000", Panel, 17}, {"panel_v", "17", Panel, 17}, {"pack_ma", "-20", Current, -0.02}, {"pack_a", "-0.02", Current, -0.02},
		{"box_c", "30", Box, 30}, {"box_k", "303.15", Box, 30}, {"boots", "7", Boots, 7},
	} {
		_, all := read(t, "time,"+x.heading+"\n2026-01-01T00:00:00Z,"+x.cell+"\n", Config{})
		require.Len(t, all, 1)
		v, ok := all[0].Reading(x.column)
		require.True(t, ok, x.heading)
		require.InDelta(t, x.want, v, 1e-9, x.heading)
		require.Equal(t, Good, all[0].State(x.column))
		for c := range columns {
			if c != x.column {
				require.Equal(t, Absent, all[0].State(c))
			}
		}
	}
}

func TestHeaderMistakesAreReportedTogether(t *testing.T) {
	_, err := New(strings.NewReader("# note\nair_c,presure_hpa,air_k,soil_c\n"), "log.csv", Config{})
	var all station.InputErrors
	require.ErrorAs(t, err, &all)
	require.Len(t, all, 4)
	var key *stationphysics.NameError
	require.ErrorAs(t, all[0], &key)
	require.Equal(t, "pressure_hpa", key.Nearest)
	require.EqualError(t, all[0], `log.csv:2: presure_hpa: unknown column "presure_hpa": did you mean "pressure_hpa"?`)
	require.EqualError(t, all[1], "log.csv:2: air_k: the quantity air stands twice")
	require.ErrorContains(t, all[3], "log.csv:2: time: the column is missing")
	// Declared as ignored, an unknown column does no harm.
	r, err := New(strings.NewReader("time,air_c,soil_c\n2026-01-01T00:00:00Z,1,x\n"), "log.csv", Config{Ignore: []string{"Soil_C"}})
	require.NoError(t, err)
	require.Len(t, drain(t, r), 1)

	for text, want := range map[string]string{
		"":                                    "log.csv: the file is empty",
		"time;air_c\n":                        "log.csv:1: the columns are not separated by commas",
		"time,time_s\n":                       "log.csv:1: time_s: a column of time stands twice",
		"time_s,air_c\n":                      "log.csv:1: time_s: the start from which the seconds count is not stated, or not in the years 1900 to 2098",
		"time,wind_pulses,wind_m_per_s\n":     "log.csv:1: a quantity stands both as a count and in its unit: ignore one of them",
		"time_s,air_c\n# 1899":                "log.csv:1: time_s: the start from which the seconds count is not stated, or not in the years 1900 to 2098",
		"time,rain_tips,rain_mm\n":            "log.csv:1: a quantity stands both as a count and in its unit: ignore one of them",
		"time," + strings.Repeat("7", 100000): "log.csv:1: the line is longer than 65536 bytes: is this a text table?",
	} {
		_, err := New(strings.NewReader(text), "log.csv", Config{})
		require.EqualError(t, err, want)
	}
}

func TestConfigurationIsChecked(t *testing.T) {
	for _, c := range []Config{
		{StepS: -1}, {StepS: 7201}, {LightTopLx: -1}, {VaneMPerS: 6}, {Tolerance: Tolerances{AirK: 6}}, {Tolerance: Tolerances{PressureHPa: math.NaN()}},
		{Tolerance: Tolerances{LightFrac: 15}}, {Power: Power{LimitV: -1}}, {Power: Power{FrostC: 273}}, {Place: &Place{LatDeg: 91}}, {Place: &Place{BarometerM: 7000}},
		{Tolerance: Tolerances{Air2K: -1}}, {Tolerance: Tolerances{HumidityPct: 21}}, {Tolerance: Tolerances{Humidity2Pct: 21}}, {Tolerance: Tolerances{PressureStepHPa: 3}},
		{Tolerance: Tolerances{HeightM: 51}}, {Tolerance: Tolerances{WindMPerS: 6}}, {Tolerance: Tolerances{WindFrac: 10}}, {Tolerance: Tolerances{DirectionDeg: 46}},
		{Tolerance: Tolerances{RainFrac: 5}}, {Power: Power{SetV: 101}}, {Power: Power{HoldV: 201}}, {Power: Power{OpenV: 201}}, {Place: &Place{LonDeg: 181}},
	} {
		_, err := New(strings.NewReader("time,air_c\n"), "log.csv", c)
		var out *stationphysics.RangeError
		require.ErrorAs(t, err, &out, "%+v", c)
	}
}

func TestEndsOfTheConfiguration(t *testing.T) {
	for _, c := range []Config{
		{StepS: 0.1}, {StepS: 7200}, {LightTopLx: 200000}, {VaneMPerS: 5}, {Place: &Place{LatDeg: 90, LonDeg: 180, BarometerM: 6000}}, {Place: &Place{LatDeg: -90, LonDeg: -180, BarometerM: -430}},
		{Tolerance: Tolerances{AirK: 5, Air2K: 5, HumidityPct: 20, Humidity2Pct: 20, PressureHPa: 20, PressureStepHPa: 2, HeightM: 50, LightFrac: 0.5, WindMPerS: 5, WindFrac: 0.5, DirectionDeg: 45, RainFrac: 0.5}},
		{Power: Power{LimitV: 100, SetV: 100, HoldV: 200, OpenV: 200, FrostC: 20}}, {Power: Power{FrostC: -40}},
	} {
		_, err := New(strings.NewReader("time,air_c\n"), "log.csv", c)
		require.NoError(t, err, "%+v", c)
	}
	for _, c := range []Config{
		{StepS: 0.0999}, {StepS: 7200.1}, {LightTopLx: 200001}, {VaneMPerS: 5.01}, {Power: Power{FrostC: -40.1}}, {Power: Power{FrostC: 20.1}}, {Power: Power{LimitV: 100.1}},
		{Place: &Place{LatDeg: -90.1}}, {Place: &Place{LonDeg: -180.1}}, {Place: &Place{BarometerM: -431}}, {Place: &Place{BarometerM: 6001}}, {Place: &Place{LatDeg: math.NaN()}},
	} {
		_, err := New(strings.NewReader("time,air_c\n"), "log.csv", c)
		require.Error(t, err, "%+v", c)
	}
}

// A clock that jumps about the years must not make a reader slow: it would
// have to prepare the sun of a year for every row.
func TestClockThatJumpsAboutTheYears(t *testing.T) {
	var b strings.Builder
	b.WriteString("time,light_lx\n")
	const n = 20000
	for i := range n {
		fmt.Fprintf(&b, "%d-06-01T12:00:00Z,40000\n", 1900+i*37%299)
	}
	begin := time.Now()
	r, all := read(t, b.String(), invented(t))
	took := time.Since(begin)
	require.Len(t, all, n)
	require.Equal(t, n-1, r.Summary().ClockSteps)
	// A year for every row would take this machine some hundred times as long.
	const years = n / 1000
	begin = time.Now()
	for k := range years {
		_, err := r.sun.site.Year(1900+k, time.UTC)
		require.NoError(t, err)
	}
	require.Less(t, took, time.Since(begin)*(n/years)/4, "a quarter of what the suns of a year for every row take")
	// The first row of a year and the next ones see the same sun.
	_, two := read(t, "time,light_lx\n2026-06-01T12:00:00Z,40000\n2026-06-01T12:00:01Z,40000\n", Config{StepS: 1, Place: &Place{LatDeg: 48, LonDeg: 11}})
	require.InDelta(t, two[0].sun.ElevationDeg, two[1].sun.ElevationDeg, 0.005)
}

func TestTimes(t *testing.T) {
	r := &Reader{}
	for _, s := range []string{"2024-02-29T23:59:59Z", "2026-03-20T00:00:00+01:00", "2026-03-20t12:30:01.25-03:30", "1999-12-31T00:00:00.123456789z", "2000-02-29T00:00:00+00:00", "2199-12-31T23:59:59-23:59", "1900-01-01T00:00:00+00:59"} {
		want, err := time.Parse(time.RFC3339, strings.ToUpper(s))
		require.NoError(t, err)
		got, ok := r.parseTime([]byte(s))
		require.True(t, ok, s)
		require.True(t, want.Equal(got), "%s %s", want, got)
		_, a := want.Zone()
		_, b := got.Zone()
		require.Equal(t, a, b)
	}
	for _, s := range []string{"", "2023-02-29T00:00:00Z", "1900-02-29T00:00:00Z", "2024-13-01T00:00:00Z", "2024-00-01T00:00:00Z", "2024-04-31T00:00:00Z", "2024-01-00T00:00:00Z",
		"2024-01-01T24:00:00Z", "2024-01-01T00:60:00Z", "2024-01-01T00:00:60Z", "2024-01-01T00:00:00", "2024-01-01T00:00:00.Z", "2024-01-01T00:00:00.5", "2024-01-01T00:00:00+0100",
		"2024-01-01T00:00:00+24:00", "2024-01-01T00:00:00+01:60", "2024-01-01X00:00:00Z", "1899-12-31T00:00:00Z", "2200-01-01T00:00:00Z", "20x4-01-01T00:00:00Z", "2024-01-01T0::00:00Z", "2024-01-1/T00:00:00Z", "2024-01-01T00:00:00ZZ"} {
		_, ok := r.parseTime([]byte(s))
		require.False(t, ok, s)
	}
}

func TestOffsetTimes(t *testing.T) {
	start := time.Date(2026, 1, 1, 6, 0, 0, 0, time.UTC)
	r, all := read(t, "time_s,air_c\n0,1\n60.5,2\n-1,3\nx,3\n1e99,3\n120,4\n", Config{Start: start})
	require.Len(t, all, 3)
	require.Equal(t, start.Add(60500*time.Millisecond), all[1].At)
	require.Equal(t, 3, r.Summary().Broken)
	require.EqualError(t, r.Mistakes()[0], `log.csv:4: time_s: "-1" is no number of seconds from 0 to 3.2e9`)
}

func TestStartsInTheYearsOfTheSun(t *testing.T) {
	for year, ok := range map[int]bool{1899: false, 1900: true, 2098: true, 2099: false} {
		_, err := New(strings.NewReader("time_s,air_c\n"), "log.csv", Config{Start: time.Date(year, 6, 1, 0, 0, 0, 0, time.UTC)})
		require.Equal(t, ok, err == nil, "%d", year)
	}
}

func TestStatesAreKeptApart(t *testing.T) {
	c := Config{LightTopLx: 54612.5}
	for _, x := range []struct {
		heading, cell string
		column        Column
		want          State
	}{
		{"air_c", "", Air, Missing}, {"air_c", "NaN", Air, Missing}, {"air_c", "-999", Air, Missing}, {"air_c", "-9999.0", Air, Missing}, {"air_c", "N/A", Air, Missing},
		{"air_c", "-", Air, Missing}, {"air_c", "None", Air, Missing}, {"air_c", "null", Air, Missing}, {"air_c", "na", Air, Missing},
		{"air_c", "-140.2", Air, BusError}, {"air_c", "-138", Air, BusError}, {"air_c", "-145", Air, BusError}, {"air_c", "-137.9", Air, OutOfRange}, {"air_c", "-145.1", Air, OutOfRange},
		{"air_c", "85", Air, BusError}, {"air_c", "84.9", Air, OutOfRange},
		{"air_c", "-127", Air, BusError}, {"box_c", "85.00", Box, BusError}, {"box_c", "84.9", Box, Good}, {"pressure_hpa", "65535", Pressure, BusError},
		{"air_k", "65535", Air, BusError}, {"humidity_pct", "-32768", Humidity, BusError}, {"humidity_pct", "32767", Humidity, BusError}, {"pack_v", "4294967295", Pack, BusError},
		{"wind_pulses", "65535", WindPulses, BusError}, {"boots", "4294967295", Boots, BusError}, {"rain_tips", "32767", RainTips, Good},
		{"air_c", "61", Air, OutOfRange}, {"air_c", "60", Air, Good}, {"air_c", "-80", Air, Good}, {"air_c", "-80.1", Air, OutOfRange},
		{"pressure_hpa", "94820", Pressure, OutOfRange}, {"pressure_hpa", "500", Pressure, Good}, {"pressure_hpa", "1100.1", Pressure, OutOfRange},
		{"humidity_pct", "100", Humidity, Pegged}, {"humidity_pct", "0", Humidity, Pegged}, {"humidity_pct", "99.9", Humidity, Good}, {"humidity_2_pct", "105", Humidity2, Pegged}, {"humidity_pct", "105.1", Humidity, OutOfRange},
		{"light_lx", "54612.5", Light, Pegged}, {"light_lx", "54612", Light, Pegged}, {"light_lx", "54611", Light, Good}, {"light_lx", "54614", Light, OutOfRange}, {"light_lx", "-1", Light, OutOfRange},
		{"rain_mm", "40", Rain, Good}, {"rain_mm", "40.1", Rain, OutOfRange}, {"rain_tips", "1.5", RainTips, OutOfRange}, {"direction_deg", "360", Direction, Good}, {"direction_deg", "361", Direction, OutOfRange},
	} {
		_, all := read(t, "time,"+x.heading+"\n2026-01-01T00:00:00Z,"+x.cell+"\n", c)
		require.Len(t, all, 1, x.cell)
		require.Equal(t, x.want, all[0].State(x.column), "%s %s", x.heading, x.cell)
		v, ok := all[0].Reading(x.column)
		require.Equal(t, x.want == Good || x.want == Pegged, ok)
		if x.want == Missing || x.want == BusError {
			require.True(t, math.IsNaN(v))
		}
		require.NotEmpty(t, x.want.String())
	}
	// A step of an hour may bring more rain than a minute.
	_, all := read(t, "time,rain_mm\n2026-01-01T00:00:00Z,41\n", Config{StepS: 3600})
	require.Equal(t, Good, all[0].State(Rain))
	// All ones from a light sensor, and 65535 lx from one that goes further.
	for top, want := range map[float64]State{0: BusError, 54612.5: BusError, 120000: Good} {
		o := one(t, "light_lx", "65535", Config{LightTopLx: top})
		require.Equal(t, want, o.State(Light), "%g", top)
	}
	require.Equal(t, []string{"?", "?"}, []string{(Pegged + 1).String(), State(99).String()})
	require.Equal(t, Absent, all[0].State(99))
	require.Zero(t, all[0].Flags(99))
}

// The ends of every range, and the next value that a log could hold beyond.
func TestEndsOfTheRanges(t *testing.T) {
	for _, x := range []struct {
		heading           string
		column            Column
		low, high, beyond string
		below             string
	}{
		{"air_c", Air, "-80", "60", "60.01", "-80.01"}, {"air_2_c", Air2, "-80", "60", "60.01", "-80.01"}, {"box_c", Box, "-80", "100", "100.1", "-80.1"},
		{"humidity_pct", Humidity, "0.1", "99.9", "105.1", "-0.1"}, {"humidity_2_pct", Humidity2, "0.1", "99.9", "105.1", "-0.1"},
		{"pressure_hpa", Pressure, "500", "1100", "1100.1", "499.9"}, {"light_lx", Light, "0", "200000", "200001", "-1"},
		{"wind_m_per_s", Wind, "0", "75", "75.1", "-0.1"}, {"gust_m_per_s", Gust, "0", "150", "150.1", "-0.1"}, {"direction_deg", Direction, "0", "360", "360.1", "-0.1"},
		{"wind_pulses", WindPulses, "0", "10000000", "10000001", "-1"}, {"rain_tips", RainTips, "0", "1000000", "1000001", "-1"}, {"boots", Boots, "0", "1000000000", "1000000001", "-1"},
		{"rain_mm", Rain, "0", "40", "40.01", "-0.01"}, {"pack_v", Pack, "0", "100", "100.1", "-0.1"}, {"panel_v", Panel, "-1", "200", "200.1", "-1.1"}, {"pack_a", Current, "-100", "100", "100.1", "-100.1"},
	} {
		for cell, want := range map[string]State{x.low: Good, x.high: Good, x.beyond: OutOfRange, x.below: OutOfRange} {
			o := one(t, x.heading, cell, Config{})
			require.Equal(t, want, o.State(x.column), "%s %s", x.heading, cell)
			require.Equal(t, want == OutOfRange, o.Flags(x.column)&FailsRange != 0)
		}
	}
}

func TestBrokenRowsCostNothingElse(t *testing.T) {
	var seen []string
	c := Config{Mistake: func(e *station.InputError) { seen = append(seen, e.Error()) }}
	text := "time,air_c,humidity_pct\n" +
		"2026-01-01T00:00:00Z,1,50\n" +
		"2026-01-01T00:01:00Z,1\n" +
		"2026-01-01T00:01:00Z,1,2,3\n" +
		"yesterday,1,50\n" +
		"2026-01-01T00:01:00Z,1.2.3,50\n" +
		"2026-01-01T00:01:00Z,inf,50\n" +
		"\"2026-01-01T00:01:00Z,1,50\n" +
		"\x00\x01\n" +
		"\"2026-01-01T00:01:00Z\",\"2\",60\n"
	r, all := read(t, text, c)
	require.Len(t, all, 2)
	require.Equal(t, 2.0, all[1].AirC.Value)
	require.Equal(t, []string{
		"log.csv:3: 2 fields instead of 3: is the row cut short?",
		"log.csv:4: 4 fields instead of 3: is the row cut short?",
		`log.csv:5: time: "yesterday" is not an RFC 3339 time such as 2024-01-01T13:00:00+01:00`,
		`log.csv:6: air_c: "1.2.3" is not a number`,
		`log.csv:7: air_c: "inf" is not a number`,
		"log.csv:8: a quoted field does not end on this line",
		"log.csv:9: the line is not text",
	}, seen)
	require.Equal(t, 7, r.Summary().Broken)
	require.EqualError(t, r.Mistakes(), strings.Join(seen, "\n"))
	require.Empty(t, r.Troubles(), "the rows that were read follow each other")

	// Any number of broken rows is counted, and few are kept.
	r, all = read(t, "time,air_c\n"+strings.Repeat("x\n", 1000)+"2026-01-01T00:00:00Z,1\n", Config{})
	require.Len(t, all, 1)
	require.Equal(t, 1000, r.Summary().Broken)
	require.Len(t, r.Mistakes(), 20)
	// A wild cell is quoted in part.
	r, _ = read(t, "time,air_c\n2026-01-01T00:00:00Z,"+strings.Repeat("9x", 100)+"\n", Config{})
	require.EqualError(t, r.Mistakes()[0], fmt.Sprintf("log.csv:2: air_c: %q is not a number", strings.Repeat("9x", 20)))
}

func TestEndlessLineEndsTheLog(t *testing.T) {
	r, err := New(io.MultiReader(strings.NewReader("time,air_c\n2026-01-01T00:00:00Z,1\n"), sevens{}), "log.csv", Config{})
	require.NoError(t, err)
	_, err = r.Next()
	require.NoError(t, err)
	_, err = r.Next()
	var in *station.InputError
	require.ErrorAs(t, err, &in)
	require.EqualError(t, err, "log.csv:3: the line is longer than 65536 bytes: is this a text table?")
	// A cable that is pulled is an error too, not the end.
	broken := errors.New("cable pulled")
	r, err = New(io.MultiReader(strings.NewReader("time,air_c\n"), iotest.ErrReader(broken)), "log.csv", Config{})
	require.NoError(t, err)
	_, err = r.Next()
	require.ErrorIs(t, err, broken)
}

type sevens struct{}

func (sevens) Read(p []byte) (int, error) {
	for i := range p {
		p[i] = '7'
	}
	return len(p), nil
}

func TestGapsDuplicatesAndClockSteps(t *testing.T) {
	at := func(s string) string { return "2026-01-01T" + s + "Z" }
	log := func(step float64, boots bool, rows ...string) *Reader {
		head := "time,air_c"
		if boots {
			head += ",boots"
		}
		r, _ := read(t, head+"\n"+strings.Join(rows, "\n"), Config{StepS: step})
		return r
	}
	kinds := func(r *Reader) (ks []Kind) {
		for _, x := range r.Troubles() {
			ks = append(ks, x.Kind)
		}
		return ks
	}
	r := log(60, false, at("00:00:00")+",1", at("00:01:30")+",1", at("00:03:00")+",1")
	require.Empty(t, kinds(r), "half a step late is no gap")
	r = log(60, false, at("00:00:00")+",1", at("00:01:31")+",1")
	require.Equal(t, []Kind{Gap}, kinds(r))
	r = log(60, false, at("00:00:00")+",1", at("00:05:00")+",1")
	require.Equal(t, []Kind{Gap}, kinds(r))
	require.Equal(t, 4, r.Summary().MissingRows)
	r = log(60, true, at("00:00:00")+",1,3", at("00:05:30")+",1,3")
	require.Equal(t, []Kind{ClockStep}, kinds(r), "off the grid without a start in between")
	r = log(60, true, at("00:00:00")+",1,3", at("00:05:30")+",1,4")
	require.Equal(t, []Kind{Gap}, kinds(r), "a start explains it")
	r = log(60, true, at("00:00:00")+",1,3", at("00:05:00")+",1,3")
	require.Equal(t, []Kind{Gap}, kinds(r))
	r = log(60, false, "1970-01-01T00:00:00Z,1", at("00:05:00")+",1")
	require.Equal(t, []Kind{ClockStep}, kinds(r), "set after a start at the epoch")
	r = log(60, false, at("00:10:00")+",1", at("00:05:00")+",1", at("00:06:00")+",1")
	require.Equal(t, []Kind{ClockStep}, kinds(r))
	require.Equal(t, 3, r.Summary().Rows, "no row is lost")
	require.Equal(t, "-300 s after the row before", r.Troubles()[0].Evidence[0].Text)
	r = log(60, false, at("00:10:00")+",1", at("00:10:00")+",2")
	require.Equal(t, []Kind{Duplicate}, kinds(r))
	require.Equal(t, 1, r.Summary().Rows)
}

// show writes an observation so that NaN equals NaN.
func show(o Observation) string {
	o.air = [1]Observation{}[0].air
	return fmt.Sprintf("%v", o)
}

func TestSplittingTheStreamAnywhereGivesTheSame(t *testing.T) {
	text := string(inventedLog(t, "troubled.csv"))
	whole, err := New(strings.NewReader(text), "log.csv", invented(t))
	require.NoError(t, err)
	want := drain(t, whole)

	// In single bytes and in halves of what is asked for.
	for _, in := range []io.Reader{iotest.OneByteReader(strings.NewReader(text)), iotest.HalfReader(strings.NewReader(text)), iotest.DataErrReader(strings.NewReader(text))} {
		r, err := New(in, "log.csv", invented(t))
		require.NoError(t, err)
		got := drain(t, r)
		require.Len(t, got, len(want))
		for i := range want {
			require.Equal(t, show(want[i]), show(got[i]))
		}
		require.Empty(t, cmp.Diff(whole.Troubles(), r.Troubles()))
		require.Equal(t, whole.Summary(), r.Summary())
	}

	// In files, as a logger writes one a day: split at any row.
	lines := strings.SplitAfter(text, "\n")
	for _, at := range []int{3, 4, 40, 725, 1113, 1115, 1325, 1500, 2000, len(lines) - 2} {
		r, err := New(strings.NewReader(strings.Join(lines[:at], "")), "first.csv", invented(t))
		require.NoError(t, err)
		got := drain(t, r)
		require.NoError(t, r.Continue(strings.NewReader(lines[1]+strings.Join(lines[at:], "")), "second.csv"))
		got = append(got, drain(t, r)...)
		require.Len(t, got, len(want))
		for i := range want {
			got[i].Line = want[i].Line
			require.Equal(t, show(want[i]), show(got[i]), "split before line %d", at+1)
		}
		a, b := whole.Troubles(), r.Troubles()
		require.Len(t, b, len(a))
		for i := range a {
			require.Equal(t, []any{a[i].Kind, a[i].Column, a[i].Rows, a[i].Spells}, []any{b[i].Kind, b[i].Column, b[i].Rows, b[i].Spells})
			require.True(t, a[i].First.Equal(b[i].First) && a[i].Last.Equal(b[i].Last))
		}
		require.Equal(t, whole.Summary(), r.Summary())
	}
	// A second file that cannot be read leaves the first one in place.
	r, err := New(strings.NewReader("time,air_c\n2026-01-01T00:00:00Z,1\n"), "first.csv", Config{})
	require.NoError(t, err)
	require.Error(t, r.Continue(strings.NewReader("x\n"), "second.csv"))
	require.Len(t, drain(t, r), 1)
}

func TestSteadyStateAllocatesNothing(t *testing.T) {
	c := invented(t)
	r, err := New(newEndless(1<<30), "log.csv", c)
	require.NoError(t, err)
	for range 3000 { // past the first row of each kind of buffer and the first troubles
		_, err = r.Next()
		require.NoError(t, err)
	}
	var o *Observation
	require.Zero(t, testing.AllocsPerRun(20000, func() { o, err = r.Next() }))
	require.NoError(t, err)
	require.True(t, o.DewPointC.OK())
}

func TestADecadeNeedsNoMoreMemoryThanADay(t *testing.T) {
	if testing.Short() {
		t.Skip("a decade takes some seconds")
	}
	heap := func(rows int) uint64 {
		c := invented(t)
		c.StepS = 600
		log := newEndless(rows)
		log.step = 10 * time.Minute
		r, err := New(log, "log.csv", c)
		require.NoError(t, err)
		n := 0
		for ; ; n++ {
			if _, err = r.Next(); err != nil {
				require.ErrorIs(t, err, io.EOF)
				break
			}
		}
		require.Equal(t, rows, n)
		runtime.GC()
		var m runtime.MemStats
		runtime.ReadMemStats(&m)
		runtime.KeepAlive(r)
		return m.HeapAlloc
	}
	day := heap(144)
	decade := heap(3653 * 144)
	// The test's own log of a day is in both; the sun's track of a year, 20 kB, is kept once.
	require.InDelta(t, float64(day), float64(decade), 100e3)
}

func TestProgressOnLongLogs(t *testing.T) {
	c := invented(t)
	var rows []int
	var at []int64
	c.Progress = func(b int64, n int) { rows, at = append(rows, n), append(at, b) }
	r, err := New(newEndless(150000), "log.csv", c)
	require.NoError(t, err)
	for err == nil {
		_, err = r.Next()
	}
	require.ErrorIs(t, err, io.EOF)
	require.Equal(t, []int{65536, 131072}, rows)
	require.Greater(t, at[0], int64(65536*60))
	require.Greater(t, at[1], at[0])
}

func TestWindFromPulses(t *testing.T) {
	cup, err := wind.NewCup(0.5, 0.8)
	require.NoError(t, err)
	text := "time,wind_pulses,direction_deg\n2026-01-01T00:00:00Z,100,90\n2026-01-01T00:01:00Z,300,360\n2026-01-01T00:05:00Z,300,90\n2026-01-01T00:06:00Z,0,90\n"
	_, all := read(t, text, Config{Cup: cup, VaneMPerS: 1, Tolerance: Tolerances{WindMPerS: 0.5, DirectionDeg: 5}})
	require.False(t, all[0].WindMPerS.OK(), "no window before the first row")
	require.InDelta(t, 0.5+0.8*300/60, all[1].WindMPerS.Value, 1e-12)
	q := 0.8 / 60
	require.InDelta(t, 2*math.Sqrt(0.25/3+q*q/6), all[1].WindMPerS.Half, 1e-12)
	require.Equal(t, 0.0, all[1].DirectionDeg.Value)
	require.False(t, all[2].WindMPerS.OK(), "a gap has no window")
	require.Equal(t, 0.0, all[3].WindMPerS.Value)
	require.False(t, all[3].DirectionDeg.OK(), "below the start of the vane")
	require.True(t, all[1].DirectionDeg.OK())
}

func FuzzNext(f *testing.F) {
	f.Add("time,air_c,humidity_pct,pressure_hpa,light_lx,rain_tips\n2026-01-01T00:00:00Z,1,50,950,100,0\n2026-01-01T00:01:00+01:00,-140,100,65535,54612.5,3\n")
	f.Add("time,wind_m_per_s,direction_deg,pack_v,panel_v,boots\n2026-01-01T00:00:00Z,0,90,7.4,17,1\n0001-01-01T00:00:00Z,0,90,7.4,17,2\n9999-12-31T23:59:59Z,1,1,1,1,1\n")
	f.Add("time,air_c\nx\n\"\n")
	c := invented(f)
	f.Fuzz(func(t *testing.T, text string) {
		r, err := New(bytes.NewReader([]byte(text)), "log.csv", c)
		if err != nil {
			return
		}
		for range len(text) + 1 {
			o, err := r.Next()
			if err != nil {
				if s := r.Summary(); s.Rows+s.Broken+s.Duplicates > strings.Count(text, "\n")+1 {
					t.Fatal("more rows than lines")
				}
				return
			}
			for _, m := range []Measure{o.AirC, o.HumidityPct, o.StationHPa, o.LightLx, o.VapourPressureHPa, o.DewPointC, o.FrostPointC, o.AbsoluteHumidityGPerM3,
				o.SeaLevelHPa, o.AltimeterHPa, o.TendencyHPa, o.WindMPerS, o.GustMPerS, o.DirectionDeg, o.RainMm, o.RainMmPerH} {
				if m.OK() != (m.Value == m.Value) {
					t.Fatalf("OK says %v of %v: %+v", m.OK(), m.Value, o)
				}
				if m.Half < 0 {
					t.Fatalf("a negative half-width: %+v", o)
				}
			}
		}
		t.Fatal("the log does not end")
	})
}
