package main

import (
	"encoding/csv"
	"errors"
	"os"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"
	"unicode/utf8"

	"github.com/stretchr/testify/require"
)

func invoke(t testing.TB, args ...string) (code int, out, complaints string) {
	t.Helper()
	var o, c strings.Builder
	code = run(args, &o, &c)
	return code, o.String(), c.String()
}

// commands are those that the program's comment shows.
func commands(t testing.TB) (all [][]string, comment string) {
	t.Helper()
	source, err := os.ReadFile("main.go")
	require.NoError(t, err)
	comment, _, _ = strings.Cut(string(source), "package main")
	for line := range strings.SplitSeq(comment, "\n") {
		if args, ok := strings.CutPrefix(line, "//\tgo run ./examples/tables "); ok {
			all = append(all, strings.Fields(args))
		}
	}
	return all, comment
}

// samples are tables of every kind, with cells that have no value, times on
// other dates, and more columns than fit into a line.
var samples = map[string][]string{
	"air":           {"psychrometry"},
	"hot air":       {"psychrometry", "-temperature", "-100:100:20", "-humidity", "0,50,100", "-pressure", "700"},
	"air grid":      {"psychrometry", "-quantity", "frost-point", "-humidity", "10:100:10"},
	"wide air grid": {"psychrometry", "-quantity", "mixing-ratio", "-humidity", "0:100:2.5", "-temperature", "-20.5,0,99.25"},
	"atmosphere":    {"atmosphere"},
	"high":          {"atmosphere", "-height", "-5000:80000:1000"},
	"geometric":     {"atmosphere", "-by", "geometric", "-height", "-5000:81000:1000"},
	"sun":           {"sun", "-latitude", "49.3", "-longitude", "12.1"},
	"polar sun":     {"sun", "-latitude", "69.65", "-longitude", "18.96", "-zone", "1", "-twilight", "civil,nautical,astronomical", "-days", "1,15"},
	"far sun":       {"sun", "-latitude", "-35", "-longitude", "149", "-dates", "2026-01-01:2026-12-31:5", "-twilight", "nautical"},
	"charge":        {"charge"},
	"cold charge":   {"charge", "-temperature", "-30", "-cells", "1,32"},
	"lithium":       {"charge", "-chemistry", "Li-ion,lfp", "-cells", "2"},
	"junction":      {"junction"},
	"hot junction":  {"junction", "-area", "7.94:645:100", "-dissipation", "0:100:12.5"},
	"one sheet":     {"junction", "-package", "TO-252"},
	"small package": {"junction", "-package", "PG-TSNP-7", "-ambient", "130"},
}

// tableOf goes the way of the program without printing.
func tableOf(t testing.TB, args ...string) *table {
	t.Helper()
	k, err := find(args[0])
	require.NoError(t, err)
	v, err := k.read(args[1:])
	require.NoError(t, err)
	made, _, err := v.table()
	require.NoError(t, err)
	return made
}

// In what a table prints no number is NaN or infinite (Infineon makes parts).
var noNumber = regexp.MustCompile(`NaN|\bInf\b|\binf\b`)

func eachSample(t *testing.T, check func(t *testing.T, made *table, out string), format string) {
	for name, args := range samples {
		t.Run(name, func(t *testing.T) {
			made := tableOf(t, args...)
			require.NotEmpty(t, made.rows)
			code, out, complaints := invoke(t, append(slices.Clone(args), "-format", format)...)
			require.Zero(t, code, complaints)
			require.Empty(t, complaints)
			require.NotRegexp(t, noNumber, out)
			check(t, made, out)
		})
	}
}

// A caption reads the same whatever its lines and escapes.
func flat(s string) string { return strings.Join(strings.Fields(s), " ") }

func requireCaption(t *testing.T, made *table, out string) {
	t.Helper()
	require.NotEmpty(t, made.notes)
	require.NotEmpty(t, made.sources)
	for _, s := range slices.Concat([]string{made.title}, made.notes, made.sources) {
		require.Contains(t, flat(out), flat(s))
	}
	require.Regexp(t, `[Pp]ackage (psychro|baro|solar|battery|thermal)`, strings.Join(made.sources, " "))
}

func TestTextFitsTheTerminalAndHoldsEveryCell(t *testing.T) {
	parts := 0
	eachSample(t, func(t *testing.T, made *table, out string) {
		requireCaption(t, made, strings.ReplaceAll(out, "\n  ", "\n"))
		lines := strings.Split(out, "\n")
		for _, l := range lines {
			require.LessOrEqual(t, utf8.RuneCountInString(l), width, l)
			require.Equal(t, strings.TrimRight(l, " "), l)
		}
		// Below each rule of hyphens stand the rows of one part of the table.
		var rows [][]string
		for i, l := range lines {
			if !regexp.MustCompile(`^-+( +-+)+$`).MatchString(l) {
				continue
			}
			parts++
			for n := range made.rows {
				cells := strings.Fields(lines[i+1+n])
				if rows == nil || len(rows) < len(made.rows) {
					rows = append(rows, cells)
				} else {
					keys := strings.Fields(join(made.rows[n][:made.keys]))
					require.Equal(t, keys, cells[:len(keys)])
					rows[n] = append(rows[n], cells[len(keys):]...)
				}
			}
			require.Empty(t, lines[i+1+len(made.rows)], "and nothing else")
		}
		require.Len(t, rows, len(made.rows))
		for n, r := range made.rows {
			require.Equal(t, strings.Fields(join(r)), rows[n])
		}
		for _, c := range made.columns {
			for word := range strings.SplitSeq(c.head+"\n"+c.unit, "\n") {
				require.Contains(t, out, word)
			}
		}
	}, "text")
	require.Greater(t, parts, len(samples), "some were broken")
}

func join(cells []cell) string {
	var s []string
	for _, c := range cells {
		s = append(s, c.text)
	}
	return strings.Join(s, " ")
}

func TestTextStandsInColumns(t *testing.T) {
	made := &table{
		title: "T", notes: []string{"n"}, sources: []string{"s"}, keys: 1,
		columns: []column{{head: "what", left: true}, {head: "two\nlines", unit: "°C"}, {head: "b", unit: "m"}},
		rows:    [][]cell{{{text: "a"}, {text: "-1.5"}, none}, {{text: "longer"}, {text: "12.25"}, {text: "7"}}},
	}
	require.Equal(t, `T

- n

          two
what    lines  b
           °C  m
------  -----  -
a        -1.5  -
longer  12.25  7

- s
`, made.text())
}

// Two blanks between columns, one where that saves a break, and parts with the
// leading columns in front of each where not even that does.
func TestBlocks(t *testing.T) {
	for _, c := range []struct {
		widths []int
		keys   int
		gap    int
		blocks [][]int
	}{
		{[]int{10, 30, 36}, 1, 2, [][]int{{0, 1, 2}}},      // 80
		{[]int{10, 30, 37}, 1, 1, [][]int{{0, 1, 2}}},      // 81, or 79
		{[]int{10, 30, 38}, 1, 1, [][]int{{0, 1, 2}}},      // 82, or 80
		{[]int{10, 30, 39}, 1, 2, [][]int{{0, 1}, {0, 2}}}, // 81 even so
		{[]int{10, 32, 32, 34}, 1, 2, [][]int{{0, 1, 2}, {0, 3}}},
		{[]int{10, 33, 33, 33, 33}, 1, 2, [][]int{{0, 1, 2}, {0, 3, 4}}}, // 80 each
		{[]int{10, 20, 25, 25, 25}, 2, 2, [][]int{{0, 1, 2}, {0, 1, 3}, {0, 1, 4}}},
		{[]int{10, 20, 23, 21, 25}, 2, 2, [][]int{{0, 1, 2, 3}, {0, 1, 4}}}, // 80, 59
		{[]int{10, 90, 3}, 1, 2, [][]int{{0, 1}, {0, 2}}},                   // too wide by itself
		{[]int{40, 41, 90}, 2, 2, [][]int{{0, 1, 2}}},
	} {
		made := &table{keys: c.keys, columns: make([]column, len(c.widths))}
		blocks, gap := made.blocks(c.widths)
		require.Equal(t, c.blocks, blocks, "%v", c.widths)
		require.Equal(t, c.gap, gap, "%v", c.widths)
	}
}

// What each table has, as documents made of it rely on: columns, decimals or
// significant digits, and how many columns lead.
func TestColumns(t *testing.T) {
	for name, want := range map[string]struct {
		keys int
		head string
		row  int
		says string
	}{
		"air": {2, "air_c,humidity_pct,vapour_pressure_hpa,dew_point_c,frost_point_c,wet_bulb_c,mixing_ratio_g_per_kg,absolute_humidity_g_per_m3,density_kg_per_m3,enthalpy_kj_per_kg", 3,
			"-20 80 N.NNN -NN.NN -NN.NN -NN.NN N.NNN N.NNN N.NNNN -NN.NN"},
		"air grid": {1, "air_c,frost_point_c_at_10_pct,frost_point_c_at_20_pct,frost_point_c_at_30_pct,frost_point_c_at_40_pct,frost_point_c_at_50_pct," +
			"frost_point_c_at_60_pct,frost_point_c_at_70_pct,frost_point_c_at_80_pct,frost_point_c_at_90_pct,frost_point_c_at_100_pct", 0,
			"-20 -NN.NN -NN.NN -NN.NN -NN.NN -NN.NN -NN.NN -NN.NN -NN.NN -NN.NN -NN.NN"},
		"atmosphere": {2, "geopotential_m,geometric_m,temperature_c,pressure_hpa,density_kg_per_m3,sound_m_per_s,viscosity_pa_s,gravity_m_per_s2", 3,
			"1000 1000.2 N.NN NNN.NNN N.NNNNN NNN.NNN N.NNNNe-05 N.NNNNN"},
		"geometric": {2, "geometric_m,geopotential_m,temperature_c,pressure_hpa,density_kg_per_m3,sound_m_per_s,viscosity_pa_s,gravity_m_per_s2", 6,
			"1000 999.8 N.NN NNN.NNN N.NNNNN NNN.NNN N.NNNNe-05 N.NNNNN"},
		"sun": {1, "date,civil_dawn_rfc3339,rise_rfc3339,noon_rfc3339,set_rfc3339,civil_dusk_rfc3339,noon_elevation_deg,day_length_h", 2,
			"2026-03-21 NN:NN NN:NN NN:NN NN:NN NN:NN NN.NN NN.NN"},
		"polar sun": {1, "date,astronomical_dawn_rfc3339,nautical_dawn_rfc3339,civil_dawn_rfc3339,rise_rfc3339,noon_rfc3339,set_rfc3339,civil_dusk_rfc3339,nautical_dusk_rfc3339,astronomical_dusk_rfc3339,noon_elevation_deg,day_length_h", 10,
			"2026-06-01 up up up up NN:NN up up up up NN.NN 24.00"},
		"charge": {2, "chemistry,cells,nominal_v,low_limit_v,low_stop_v,fills_v,float_v,charge_end_v,high_limit_v", 3,
			"LiFePO4 4 12.800 8.000 10.000 13.800 13.600 14.600 14.800"},
		"junction": {1, "dissipation_w,low_junction_c_at_25_mm2,high_junction_c_at_25_mm2,low_junction_c_at_100_mm2,high_junction_c_at_100_mm2,low_junction_c_at_300_mm2,high_junction_c_at_300_mm2,low_junction_c_at_600_mm2,high_junction_c_at_600_mm2", 1,
			"0.50 NNN.N NNN.N NN.N NN.N NN.N NN.N NN.N NN.N"},
	} {
		made := tableOf(t, samples[name]...)
		require.Equal(t, want.keys, made.keys, name)
		var keys []string
		for _, c := range made.columns {
			keys = append(keys, c.key)
		}
		require.Equal(t, want.head, strings.Join(keys, ","))
		require.Regexp(t, "^"+strings.ReplaceAll(regexp.QuoteMeta(want.says), "N", `\d`)+"$", join(made.rows[want.row]))
		for _, s := range slices.Concat(made.notes, made.sources) {
			require.Regexp(t, `[.:]$`, s)
		}
	}
}

func TestMarkdownIsAPipeTable(t *testing.T) {
	eachSample(t, func(t *testing.T, made *table, out string) {
		requireCaption(t, made, regexp.MustCompile(`\\(.)`).ReplaceAllString(out, "$1"))
		require.True(t, strings.HasPrefix(out, "**"+escape.Replace(made.title)+"**\n\n- "))
		_, rest, ok := strings.Cut(out, "\n\n|")
		require.True(t, ok, "a blank line stands before the table")
		body, _, ok := strings.Cut(rest, "|\n\n- ")
		require.True(t, ok, "and one behind it")
		lines := strings.Split("|"+body+"|", "\n")
		require.Len(t, lines, 2+len(made.rows))
		for _, l := range lines {
			require.Equal(t, utf8.RuneCountInString(lines[0]), utf8.RuneCountInString(l), "aligned")
			require.Len(t, pipes(l), len(made.columns), l)
		}
		for i, rule := range pipes(lines[1]) {
			require.Regexp(t, `^(:-+|-+:)$`, rule)
			require.Equal(t, made.columns[i].left, strings.HasPrefix(rule, ":"))
			require.True(t, strings.HasSuffix(pipes(lines[0])[i], made.columns[i].unit), "the unit is in the heading")
		}
		for n, r := range made.rows {
			for i, c := range pipes(lines[2+n]) {
				require.Equal(t, r[i].text, c)
			}
		}
	}, "markdown")
}

// pipes takes a line of a pipe table apart, as a reader of Markdown does.
func pipes(line string) []string {
	line = strings.TrimSuffix(strings.TrimPrefix(line, "|"), "|")
	var cells []string
	for c := range strings.SplitSeq(strings.ReplaceAll(line, `\|`, "\x00"), "|") {
		c = strings.TrimSpace(strings.ReplaceAll(c, "\x00", "|"))
		cells = append(cells, regexp.MustCompile(`\\(.)`).ReplaceAllString(c, "$1"))
	}
	return cells
}

func TestMarkdownEscapes(t *testing.T) {
	made := &table{title: "a*b", notes: []string{"x_y"}, sources: []string{"<z>"}, keys: 1,
		columns: []column{{head: "geo-\npotential", unit: "m|m", left: true}, {head: "a\nb"}}, rows: [][]cell{{{text: `p|q\`}, {text: "[1"}}}}
	require.Equal(t, "**a\\*b**\n\n- x\\_y\n\n| geopotential, m\\|m | a b |\n|:------------------ | ---:|\n| p\\|q\\\\             | \\[1 |\n\n- \\<z>\n", made.markdown())
}

func TestCSVReadsBack(t *testing.T) {
	suffix := regexp.MustCompile(`_(c|hpa|pct|m|v|w|deg|h|pa_s|rfc3339|g_per_kg|g_per_m3|kg_per_m3|kj_per_kg|m_per_s|m_per_s2|c_at_[0-9.]+_mm2|[a-z_]+_at_[0-9.]+_pct)$`)
	eachSample(t, func(t *testing.T, made *table, out string) {
		requireCaption(t, made, strings.ReplaceAll(out, "\n# ", "\n"))
		_, body, _ := strings.Cut("\n"+out, "\n"+made.columns[0].key+",")
		require.NotContains(t, body, "#", "the comments stand on top")
		records := records(t, out)
		require.Len(t, records, 1+len(made.rows))
		seen := map[string]bool{}
		for i, c := range made.columns {
			require.Equal(t, c.key, records[0][i])
			require.False(t, seen[c.key], c.key)
			seen[c.key] = true
			if !slices.Contains([]string{"date", "chemistry", "cells"}, c.key) {
				require.Regexp(t, suffix, c.key, "the heading has the unit")
				require.NotEmpty(t, c.unit)
			}
		}
		for n, r := range made.rows {
			require.Len(t, records[1+n], len(r))
			for i, c := range r {
				require.Equal(t, c.csv(), records[1+n][i])
				requireValue(t, made.columns[i].key, records[1+n][i])
			}
		}
	}, "csv")
}

func records(t testing.TB, out string) [][]string {
	t.Helper()
	r := csv.NewReader(strings.NewReader(out))
	r.Comment = '#'
	all, err := r.ReadAll()
	require.NoError(t, err)
	return all
}

// requireValue asks for a number, a time, or one of the few words.
func requireValue(t *testing.T, key, s string) {
	t.Helper()
	var err error
	switch {
	case key == "chemistry":
		require.NotEmpty(t, s)
	case s == "-":
	case key == "date":
		_, err = time.Parse(time.DateOnly, s)
	case strings.HasSuffix(key, "_rfc3339"):
		if s != "up" && s != "down" {
			_, err = time.Parse(time.RFC3339, s)
		}
	default:
		_, err = strconv.ParseFloat(s, 64)
	}
	require.NoError(t, err, key)
}

func TestListNamesTheTables(t *testing.T) {
	code, out, complaints := invoke(t, "-list")
	require.Zero(t, code)
	require.Empty(t, complaints)
	for _, k := range kinds {
		require.Contains(t, "\n"+out, "\n"+k.name+"\n")
		require.Contains(t, flat(out), k.about)
		for _, p := range k.params {
			require.Contains(t, out, "-"+p.flag)
		}
	}
	for _, l := range strings.Split(out, "\n") {
		require.LessOrEqual(t, utf8.RuneCountInString(l), width)
	}
	_, help, _ := invoke(t, "--help")
	require.Contains(t, help, out)
	require.Contains(t, help, "usage: tables name [flags]")
}

func TestCommandsAndFlagsOfTheComment(t *testing.T) {
	all, comment := commands(t)
	require.Len(t, all, 8)
	for _, args := range all {
		code, out, complaints := invoke(t, args...)
		require.Zero(t, code, complaints)
		require.NotEmpty(t, out)
	}
	for _, k := range kinds {
		code, help, complaints := invoke(t, k.name, "-help")
		require.Zero(t, code)
		require.Empty(t, complaints)
		_, part, ok := strings.Cut(comment, "\n// "+k.name+":\n")
		require.True(t, ok)
		part, _, _ = strings.Cut(part, ":\n")
		for _, p := range k.params {
			require.Regexp(t, `(?m)-`+p.flag+`\b`, part, "every flag is described")
			require.Contains(t, help, "\n  -"+p.flag)
			if p.def != "" {
				require.Contains(t, flat(help), "without it "+p.def)
			}
		}
		require.Contains(t, help, "\n  -format\n")
	}
}

// Each mistake is named with its quantity, value, unit and range, where it has
// them, and nothing is printed of the table.
func TestWrongInputEndsWithTwoAndOneLine(t *testing.T) {
	at := func(args ...string) []string {
		return append([]string{"sun", "-latitude", "49.3", "-longitude", "12.1"}, args...)
	}
	air := func(args ...string) []string { return append([]string{"psychrometry"}, args...) }
	for want, args := range map[string][]string{
		"the name of a table comes first: psychrometry, atmosphere, sun, charge, junction; -list tells more": {},
		`"sunn" is no table: did you mean sun?`:                                          {"sunn"},
		`"Atmosfere" is no table: did you mean atmosphere?`:                              {"Atmosfere"},
		`"tides" is no table: known are psychrometry, atmosphere, sun, charge, junction`: {"tides"},
		`"-format" stands where the name of a table comes first`:                         {"-format", "csv", "sun"},
		"-list stands alone": {"-list", "sun"},
		"-humdity is no flag of psychrometry: did you mean -humidity?":                      air("-humdity", "5"),
		"-cells is no flag of psychrometry: known are -temperature, -humidity":              air("-cells", "5"),
		`"extra" is no flag of psychrometry`:                                                air("extra"),
		"flag needs an argument: -pressure":                                                 air("-pressure"),
		`-format: "md" is none of these: known are text, markdown, csv`:                     air("-format", "md"),
		`-format: "markdwn" is none of these: did you mean markdown?`:                       air("-format", "markdwn"),
		`-quantity: "dewpoint" is none of these: did you mean dew-point?`:                   air("-quantity", "dewpoint"),
		"-temperature: air temperature 293.15 °C is outside -100..100 °C: kelvins?":         air("-temperature", "293.15"),
		"-temperature: air temperature 100.5 °C is outside -100..100 °C":                    air("-temperature", "0:100.5:0.25"),
		"-temperature: air temperature NaN °C is outside":                                   air("-temperature", "nan"),
		"-temperature: air temperature +Inf °C is outside":                                  air("-temperature", "0:inf:1"),
		"-temperature: 20 °C is above 0 °C: a series is from:to:step":                       air("-temperature", "20:0:1"),
		"-temperature: step of the air temperature -1 K is outside 1e-06..1e+09 K":          air("-temperature", "0:20:-1"),
		"-temperature: step of the air temperature 0 K is outside":                          air("-temperature", "0:20:0"),
		"-temperature: step of the air temperature NaN K is outside":                        air("-temperature", "0:20:nan"),
		`-temperature: "x" is not a number: the step of the air temperature in K is needed`: air("-temperature", "0:20:x"),
		"-temperature: number of values 1.000001e+06 is outside 1..10000":                   air("-temperature", "0:100:0.0001"),
		"-temperature, -humidity: number of rows 10005 is outside 1..10000":                 air("-temperature", "0:20:0.01"),
		"-temperature, -humidity: number of columns 102 is outside 1..100":                  air("-quantity", "density", "-humidity", "0:100:1"),
		`-temperature: "1:2" is neither a value nor from:to:step`:                           air("-temperature", "1:2"),
		`-temperature: "1:2:3:4" is neither a value nor from:to:step`:                       air("-temperature", "1:2:3:4"),
		`-temperature: "warm" is not a number: the air temperature in °C is needed`:         air("-temperature", "warm"),
		"-temperature: the air temperature in °C is needed":                                 air("-temperature", "5,"),
		"-temperature: air temperature 5 °C stands twice":                                   air("-temperature", "5,0:10:5"),
		"-humidity: relative humidity over water 101 % is outside 0..100 %":                 air("-humidity", "101"),
		"-pressure: air pressure 101325 hPa is outside 300..1100 hPa: pascals?":             air("-pressure", "101325"),
		`-pressure: "950,3" is not a number: the air pressure in hPa is needed`:             air("-pressure", "950,3"),
		`-pressure: "1e999" is not a number`:                                                air("-pressure", "1e999"),
		"-height: geopotential height in the standard atmosphere 80001 gpm is outside":      {"atmosphere", "-height", "80001"},
		"-height: geometric height 81001 m is outside -5000..81000 m":                       {"atmosphere", "-height", "81001", "-by", "geometric"},
		`-by: "geometrik" is none of these: did you mean geometric?`:                        {"atmosphere", "-by", "geometrik"},
		"-latitude: the latitude of the site, north positive, in degrees is needed":         {"sun"},
		"-longitude: the longitude of the site, east positive, in degrees is needed":        {"sun", "-latitude", "3"},
		"-latitude: latitude 95 deg is outside -90..90 deg":                                 {"sun", "-latitude", "95"},
		"-longitude: longitude 200 deg is outside -180..180 deg: counted eastwards":         {"sun", "-latitude", "5", "-longitude", "200"},
		"-height: height of the site 12000 m is outside -500..9000 m: feet?":                at("-height", "12000"),
		"-zone: zone 15 h is outside -12..14 h":                                             at("-zone", "15"),
		"-zone: zone NaN h is outside":                                                      at("-zone", "nan"),
		`-zone: "Europe/Berlim" is no zone: hours ahead of UTC such as 1 or -3.5`:           at("-zone", "Europe/Berlim"),
		`-zone: "Local" is no zone`:                                                         at("-zone", "Local"),
		`-zone: "" is no zone`:                                                              at("-zone", ""),
		"-year: year 1899 is outside 1900..2200":                                            at("-year", "1899"),
		"-year: year 1e+300 is outside 1900..2200":                                          at("-year", "1e300"),
		"-year: year 2026.5 is no whole number":                                             at("-year", "2026.5"),
		"-days: day of the month 32 is outside 1..31":                                       at("-days", "1,32"),
		"-days: day of the month 1.5 is no whole number":                                    at("-days", "1:3:0.5"),
		`-dates: "2026-02-30" is not a date such as 2026-06-21`:                             at("-dates", "2026-02-30"),
		"-dates: year 1899 is outside 1900..2200":                                           at("-dates", "1899-12-31"),
		"-dates: 2026-02-01 is above 2026-01-01":                                            at("-dates", "2026-02-01:2026-01-01:1"),
		"-dates: step of the date -7 days is outside":                                       at("-dates", "2026-01-01:2026-02-01:-7"),
		"-dates: the step of a series of dates is in whole days":                            at("-dates", "2026-01-01:2026-02-01:0.5"),
		"-dates: date 2026-01-01 stands twice":                                              at("-dates", "2026-01-01,2026-01-01"),
		"-dates: number of values 109938 is outside 1..10000":                               at("-dates", "1900-01-01:2200-12-31:1"),
		"-dates: stands in place of -days: leave one out":                                   at("-dates", "2026-01-01", "-days", "3"),
		"-dates: stands in place of -year: leave one out":                                   at("-dates", "2026-01-01", "-year", "2026"),
		"has no such date": at("-dates", "2011-12-30", "-zone", "Pacific/Apia"),
		`-twilight: "civill" is none of these: did you mean civil?`:                            at("-twilight", "civill"),
		"-cells: number of cells in series 0 is outside 1..32":                                 {"charge", "-cells", "0:4:1"},
		"-cells: number of cells in series 33 is outside 1..32":                                {"charge", "-cells", "33"},
		"-cells: number of cells in series NaN is outside 1..32":                               {"charge", "-cells", "nan"},
		"-cells: number of cells 1.5 is no whole number":                                       {"charge", "-cells", "1:4:0.5"},
		`-chemistry: unknown chemistry "lead": known are LiFePO4`:                              {"charge", "-chemistry", "lead"},
		"-chemistry: LiFePO4 stands twice":                                                     {"charge", "-chemistry", "lfp,LiFePO4"},
		"-temperature: cell temperature 298 °C is outside -40..85 °C: kelvins?":                {"charge", "-temperature", "298"},
		`-package: "sot223" is none of these: did you mean SOT-223?`:                           {"junction", "-package", "sot223"},
		"-area: copper area 5 mm² is outside 7.935468..645.16 mm²":                             {"junction", "-area", "100,5"},
		"-area: copper area 0.5 mm² is outside 7.935468..645.16 mm²: square inches?":           {"junction", "-area", "0.5"},
		"-area: copper area 100 mm² is outside 300..600 mm²":                                   {"junction", "-area", "100", "-package", "PG-TSNP-7"},
		"-dissipation: power -1 W is outside 0..100000 W":                                      {"junction", "-dissipation", "-1:1:1"},
		"-dissipation: number of values 1e+07 is outside 1..10000":                             {"junction", "-dissipation", "0:99999.99:0.01"},
		"-ambient: ambient temperature 313 °C is outside -100..200 °C: kelvins?":               {"junction", "-ambient", "313"},
		"-limit: junction limit 500 °C is outside -100..400 °C: kelvins or degrees Fahrenheit": {"junction", "-limit", "500"},
	} {
		code, out, complaints := invoke(t, args...)
		require.Equal(t, 2, code, want)
		require.Empty(t, out, want)
		require.Contains(t, complaints, want)
		require.Equal(t, 1, strings.Count(complaints, "\n"), complaints)
	}
}

func TestLimitsOfSizeAreReached(t *testing.T) {
	require.Len(t, tableOf(t, "psychrometry", "-temperature", "0:19.98:0.01", "-humidity", "1:5:1").rows, 9995)
	require.Len(t, tableOf(t, "atmosphere", "-height", "1:10000:1").rows, 10000)
	require.Len(t, tableOf(t, "psychrometry", "-quantity", "density", "-humidity", "0:98:1").columns, 100)
}

func TestSeries(t *testing.T) {
	p := &param{quantity: "height", unit: "m"}
	s := scale{p, "m", p.number, plain, func(float64) error { return nil }}
	for text, want := range map[string][]float64{
		"3": {3}, " 3 , -1e1": {3, -10}, "0:1:0.25": {0, 0.25, 0.5, 0.75, 1}, "0.1:0.5:0.1": {0.1, 0.2, 0.3, 0.4, 0.5}, "0:10:4,9": {0, 4, 8, 9},
		"5:5:1": {5}, "-0.3:0.3:0.1": {-0.3, -0.2, -0.1, 0, 0.1, 0.2, 0.3}, "0:1:7": {0}, "0:0.7:0.35": {0, 0.35, 0.7}, "0:2:1:": nil,
	} {
		got, err := series(text, s)
		if want == nil {
			require.Error(t, err, text)
			continue
		}
		require.NoError(t, err, text)
		require.Equal(t, want, got, text)
	}
}

func TestNumbersInCells(t *testing.T) {
	require.Equal(t, "0.00", fixed(-0.001, 2).text)
	require.Equal(t, "-0.01", fixed(-0.0051, 2).text)
	require.Equal(t, "0", fixed(-0.4, 0).text)
	require.Equal(t, "-10", fixed(-10, 0).text)
	for x, want := range map[float64]string{1013.25: "1013.25", 264: "264.000", 0.99999951: "1.00000", 99.99996: "100.000", 1e-4: "0.000100000", 1.5749e-5: "1.57490e-05", -0.5: "-0.500000", 123456789: "123456789"} {
		require.Equal(t, want, significant(x, 6).text)
	}
	cellOf := axis([]float64{1, 0.25, -3})
	require.Equal(t, []string{"1.00", "0.25"}, []string{cellOf(1).text, cellOf(0.25).text})
}

// A broken pipe or a full disk is told, with status 2.
func TestWriteErrorIsTold(t *testing.T) {
	for _, args := range [][]string{{"-list"}, {"atmosphere"}, {"atmosphere", "-help"}, {"charge", "-format", "csv"}} {
		var c strings.Builder
		require.Equal(t, 2, run(args, full{}, &c))
		require.Equal(t, "no space left\n", c.String())
	}
}

type full struct{}

func (full) Write([]byte) (int, error) { return 0, errors.New("no space left") }

// Whatever the arguments, either a table without NaN comes out or one line of
// complaint.
func FuzzArguments(f *testing.F) {
	all, _ := commands(f)
	for _, args := range all {
		f.Add(strings.Join(args, " "))
	}
	for _, args := range samples {
		f.Add(strings.Join(args, " "))
	}
	f.Fuzz(func(t *testing.T, line string) {
		code, out, complaints := invoke(t, strings.Split(line, " ")...)
		switch code {
		case 0:
			require.Empty(t, complaints)
			require.NotEmpty(t, out)
			require.NotRegexp(t, noNumber, out)
		case 2:
			require.Empty(t, out)
			require.Equal(t, 1, strings.Count(complaints, "\n"))
		default:
			t.Fatal(code)
		}
	})
}
