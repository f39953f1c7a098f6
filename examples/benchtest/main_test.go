package main

import (
	"encoding/xml"
	"errors"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/require"

	"github.com/stationphysics/stationphysics/power"
	"github.com/stationphysics/stationphysics/station/bench"
)

func invoke(t *testing.T, args ...string) (code int, out, complaints string) {
	t.Helper()
	var o, c strings.Builder
	code = run(args, &o, &c)
	return code, o.String(), c.String()
}

// flat joins the wrapped lines of a report.
func flat(s string) string { return strings.Join(strings.Fields(s), " ") }

func write(t *testing.T, text string) string {
	t.Helper()
	p := filepath.Join(t.TempDir(), "t.csv")
	require.NoError(t, os.WriteFile(p, []byte(text), 0o600))
	return p
}

// withSheet puts the flags of the invented table before others.
func withSheet(args ...string) []string { return append(append([]string(nil), demoFlags...), args...) }

// clean is the invented table as it would be of a good part and without slips:
// outputs of 5.00 V, tab by 45 K/W, watts by (Vin - Vout)·I + Vin·5 mA.
const clean = `input V, output V, load ohm, current mA, tab °C, room °C, dwell s, own W
5.5,     4.28,     30,       143,        29.2,   21.0,    240,     0.20
7.0,     5.01,     30,       167,        37.5,   21.0,    240,     0.37
8.0,     5.01,     30,       167,        45.2,   21.0,    240,     0.54
9.0,     5.00,     30,       167,        53.0,   21.0,    240,     0.71
10.0,    5.00,     30,       167,        60.8,   21.0,    240,     0.88
11.5,    5.00,     30,       167,        72.2,   21.0,    240,     1.14
`

// The demonstration names each mistake that was planted in it, with its number,
// and does not take the dropout for one.
func TestDemoNamesEveryPlantedMistake(t *testing.T) {
	code, out, complaints := invoke(t)
	require.Zero(t, code)
	require.Empty(t, complaints)
	text := flat(out)
	for what, says := range map[string]string{
		"it is invented":            "An invented table, as if called with -part LM1117I-5.0",
		"swapped digits":            "Line 9: impossible readings (sound)",
		"their numbers":             "because 5.01 V over 30 ohm make 0.167 A, not the 0.176 A read",
		"input power noted as heat": "Power figures: Vin·I: that counts the power of the load as heat in the part (sound) because line 11: 0.878 W, not 1.55 W; line 12: 1.12 W, not 1.76 W",
		"the sagging output":        "Line 11: out of specification (sound)",
		"its verdict":               "VERDICT Does not meet the sheet (sound): output 4.58 V, limit 4.80 V, margin -0.22 V, the least, in line 12",
		"no heat explains it":       "Junction below its rating (sound): 110 °C, limit 125 °C, margin +15 °C",
		"the dropout is no fault":   "Line 7: dropout (sound)",
		"hot metal":                 "Mind: the tab was at 71 °C: bare metal burns skin at a touch from about 65 °C on",
		"a shorted part":            "puts up to 11.5 V and 4.4 W on the load",
	} {
		require.Contains(t, text, says, what)
	}
	require.Regexp(t, `as if called with\n  -part \S+ .*\n  -own-typical .*\n\n`, out)
	for i, l := range strings.Split(out, "\n") {
		require.LessOrEqual(t, utf8.RuneCountInString(l), 80, "line %d", i+1)
	}
	require.True(t, strings.HasPrefix(demo, "# Invented"), "the table says of itself that it is invented")
}

func TestCleanTablePasses(t *testing.T) {
	code, out, complaints := invoke(t, withSheet(write(t, clean))...)
	require.Zero(t, code, complaints)
	text := flat(out)
	require.Contains(t, text, "VERDICT Meets the sheet where it was measured (sound): output 5.01 V, limit 5.20 V, margin +0.19 V")
	require.Contains(t, text, "The power figures are right (sound)")
	require.NotContains(t, text, "nvented")
	for _, bad := range []string{"impossible", "out of specification", "Vin·I:", " but ", "above its rating"} {
		require.NotContains(t, text, bad)
	}
}

// Each mistake alone, planted in the clean table, is found.
func TestEachMistakeAloneIsFound(t *testing.T) {
	for name, c := range map[string]struct{ old, new, says string }{
		"Vin·I":           {"60.8,   21.0,    240,     0.88", "60.8,   21.0,    240,     1.67", "Power figures: Vin·I"},
		"milliwatts":      {"60.8,   21.0,    240,     0.88", "60.8,   21.0,    240,     880", "right but for a factor of a thousand (sound)"},
		"swapped digits":  {"8.0,     5.01,     30,       167", "8.0,     5.01,     30,       176", "Readings that contradict each other (sound) because line 4:"},
		"meters swapped":  {"8.0,     5.01,     30,       167", "5.01,    8.0,      30,       267", "the output of 8 V is above the input of 5.01 V"},
		"a low output":    {"10.0,    5.00,     30,       167", "10.0,    4.60,     30,       153", "Does not meet the sheet (weak): output 4.60 V, limit 4.80 V, margin -0.20 V"},
		"a shorted part":  {"11.5,    5.00,     30,       167", "11.5,    11.43,    30,       381", "Pass element shorted (sound): output 11.43 V, limit 5.20 V, margin -6.23 V"},
		"too much input":  {"11.5,    5.00,     30,       167", "25,      5.00,     30,       167", "but 1 of 6 rows exceed the absolute maximum input of 20 V"},
		"a hot junction":  {"72.2,   21.0", "140,    21.0", "but junction above its rating (sound)"},
		"too much drop":   {"5.5,     4.28,     30,       143", "5.5,     3.20,     30,       107", "Line 2: dropout too large (weak)"},
		"a missing value": {"8.0,     5.01,     30,       167,        45.2,   21.0,    240,     0.54", "8.0,,30,167,45.2,21.0,240,", "Line 4: cannot tell (not decidable)"},
	} {
		t.Run(name, func(t *testing.T) {
			require.Equal(t, 1, strings.Count(clean, c.old))
			code, out, complaints := invoke(t, withSheet(write(t, strings.Replace(clean, c.old, c.new, 1)))...)
			require.Zero(t, code, complaints)
			require.Contains(t, flat(out), c.says)
		})
	}
}

// Bad input: status 2, one line that names place, quantity, value and range,
// nothing of the verdict printed and no picture written.
func TestBadInputEndsWithStatus2(t *testing.T) {
	head := "input V,output V,load ohm,tab °C,room °C\n"
	for name, c := range map[string]struct{ text, says string }{
		"empty":           {"", "t.csv: the table is empty: a header and rows are needed"},
		"no rows":         {head, "t.csv:1: a header but no rows"},
		"missing column":  {"input V,output V\n9,5\n", `t.csv:1: no column "load" or "current"`},
		"unknown column":  {"input V,output V,load ohm,smell\n9,5,30,1\n", `t.csv:1: smell: unknown column "smell": known are input, `},
		"no unit":         {"input,output V,load ohm\n9,5,30\n", `t.csv:1: input: the unit is missing`},
		"endless line":    {head + strings.Repeat("7", 1<<20), "t.csv:2: the line is longer than 65536 bytes"},
		"not a table":     {"\x89PNG\r\n\x1a\n\x00\x00", "t.csv:1: the line is not text"},
		"decimal comma":   {head + "9,5,5,01,30,40,21\n", "is a comma used as the decimal sign?"},
		"a word":          {head + "nine,5,30,40,21\n", `t.csv:2: input V: "nine" is no number`},
		"millivolts":      {head + "9000,5,30,40,21\n", "t.csv:2: input V: input voltage 9000 V is outside 0..150 V: millivolts?"},
		"negative":        {head + "9,5,-30,40,21\n", "load resistance -30 ohm is outside 0.1..1e+07 ohm"},
		"NaN":             {head + "NaN,5,30,40,21\n", "input voltage NaN V is outside 0..150 V"},
		"infinite":        {head + "9,+Inf,30,40,21\n", "output voltage +Inf V is outside 0..150 V"},
		"kelvins":         {head + "9,5,30,313,21\n", "tab temperature 313 °C is outside -60..250 °C: kelvins?"},
		"swapped columns": {head + "5,9,30,40,21\n5,10,30,41,21\n", `the columns "output" and "input" look swapped`},
		"a log":           {head + strings.Repeat("9,5,30,40,21\n", 2001), "more than 2000 rows"},
	} {
		t.Run(name, func(t *testing.T) {
			plot := filepath.Join(t.TempDir(), "p.svg")
			code, out, complaints := invoke(t, withSheet("-plot", plot, write(t, c.text))...)
			require.Equal(t, 2, code)
			require.Empty(t, out)
			require.Contains(t, complaints, c.says)
			require.Equal(t, 1, strings.Count(complaints, "\n"), complaints)
			require.NoFileExists(t, plot)
		})
	}
}

func TestWrongCallsEndWithStatus2(t *testing.T) {
	table := write(t, clean)
	none := filepath.Join(t.TempDir(), "none", "p.svg")
	for name, c := range map[string]struct {
		args []string
		says string
	}{
		"no part":            {[]string{table}, "whose table is it? name the part by -part"},
		"unknown part":       {[]string{"-part", "1117", table}, `-part: no sheet of "1117" is here`},
		"no such file":       {[]string{"-part", "L7805C", filepath.Join(t.TempDir(), "none.csv")}, "none.csv"},
		"a folder":           {[]string{"-part", "L7805C", t.TempDir()}, "directory"},
		"two tables":         {[]string{"-part", "L7805C", table, table}, "usage: benchtest"},
		"no such flag":       {[]string{"-nonsense"}, "flag provided but not defined"},
		"no number":          {[]string{"-set", "five", table}, `invalid value "five" for flag -set: no number`},
		"half a sheet":       {[]string{"-set", "5", table}, "maximum input voltage 0 V is outside"},
		"millivolts":         {[]string{"-part", "L7805C", "-set", "5000", table}, "set output voltage 5000 V is outside 0.5..60 V: millivolts?"},
		"NaN":                {[]string{"-part", "L7805C", "-set", "NaN", table}, "set output voltage NaN V is outside"},
		"input below output": {[]string{"-part", "L7805C", "-input-max", "4", table}, "a linear part only lowers its input"},
		"ends swapped":       {[]string{"-part", "L7805C", "-case-from", "9", "-case-to", "3", table}, "least junction-to-case resistance"},
		"contact in %":       {[]string{"-part", "L7805C", "-contact", "20", table}, "contact error 20 is outside 0..0.9: per cent?"},
		"picture nowhere":    {[]string{"-part", "L7805C", "-plot", none, table}, "no such file"},
		"nothing to draw":    {[]string{"-part", "L7805C", "-plot", filepath.Join(t.TempDir(), "p.svg"), write(t, "input V,output V,load ohm\n9,,30\n")}, "nothing to draw: no row has an output"},
	} {
		t.Run(name, func(t *testing.T) {
			code, out, complaints := invoke(t, c.args...)
			require.Equal(t, 2, code)
			require.Empty(t, out)
			require.Contains(t, complaints, c.says)
		})
	}
	code, out, complaints := invoke(t, "-h")
	require.Zero(t, code)
	require.Empty(t, out)
	require.Contains(t, complaints, "usage: benchtest")
}

type refusing struct{}

func (refusing) Write([]byte) (int, error) { return 0, errors.New("full") }

func TestOutputThatCannotBeWritten(t *testing.T) {
	var c strings.Builder
	require.Equal(t, 2, run(nil, refusing{}, &c))
	require.Equal(t, "full\n", c.String())
}

// Every flag reaches its own number and no other.
func TestFlagsReachTheirNumbers(t *testing.T) {
	o, _, err := parse(nil, io.Discard)
	require.NoError(t, err)
	require.Equal(t, bench.Meters{VoltPct: 0.5, VoltFloorV: 0.02, CurrentPct: 1, CurrentFloorA: 0.001, LoadPct: 1, TabK: 2.5, RoomK: 1, ContactErrorRatio: 0.2}, o.meters,
		"a hand-held meter, class 2 of IEC 60584 on the tab")
	o, _, err = parse(strings.Fields("-tol-volt 1 -tol-volt-fixed 2 -tol-current 3 -tol-current-fixed 4 -tol-load 5 -tol-tab 6 -tol-room 7 -contact 8 "+
		"-set 9 -band 10 -accuracy-from 11 -accuracy-to 12 -dropout 13 -dropout-ohm 14 -own 15 -own-typical 16 -input-max 17 -current-limit 18 -junction-max 19 -shutdown 20 "+
		"-case-from 21 -case-to 22 -line-regulation 23 -load-regulation 24 -drift 25 -thermal-regulation 26"), io.Discard)
	require.NoError(t, err)
	require.Equal(t, bench.Meters{VoltPct: 1, VoltFloorV: 2, CurrentPct: 3, CurrentFloorA: 4, LoadPct: 5, TabK: 6, RoomK: 7, ContactErrorRatio: 8}, o.meters)
	var s power.LinearSpec
	var p bench.Part
	for _, f := range o.sheet {
		f(&s, &p)
	}
	require.Equal(t, power.LinearSpec{SetV: 9, BandPct: 10, DropoutV: 13, DropoutOhm: 14, QuiescentA: 15, MaxInputV: 17, CurrentLimitA: 18, MaxJunctionC: 19, ShutdownC: 20}, s)
	require.Equal(t, bench.Part{AccuracyLowV: 11, AccuracyHighV: 12, QuiescentTypicalA: 16, JunctionCaseLowKPerW: 21, JunctionCaseHighKPerW: 22,
		LineRegulationV: 23, LoadRegulationV: 24, TempStabilityPct: 25, ThermalRegulationPct: 26}, p)
	// A preset brings its regulation along.
	p, err = sheet(&options{part: "LM1117I-5.0"})
	require.NoError(t, err)
	require.Equal(t, []float64{0.015, 0.020, 0.5, 0.1}, []float64{p.LineRegulationV, p.LoadRegulationV, p.TempStabilityPct, p.ThermalRegulationPct})
}

// The flags change the sheet of a preset, or make one.
func TestSheetByFlags(t *testing.T) {
	table := write(t, "input V,output V,load ohm\n5,3.31,100\n6,3.30,100\n7,3.30,100\n")
	code, out, complaints := invoke(t, "-set", "3.3", "-band", "2", "-dropout", "0.4", "-dropout-ohm", "0.5", "-own", "0.0001", "-input-max", "12", "-current-limit", "0.3",
		"-junction-max", "125", "-shutdown", "150", "-line-regulation", "0.01", "-load-regulation", "0.02", "-drift", "0.5", "-thermal-regulation", "0.1", "-tol-volt", "0.1", "-tol-volt-fixed", "0.002", table)
	require.Zero(t, code, complaints)
	text := flat(out)
	require.Contains(t, text, "Bench test of a part of 3.3 V by the sheet given sheet 3.234 to 3.366 V; dropout up to 0.4 V without load and 0.55 V at 0.3 A; own current up to 0.1 mA; input up to 12 V; junction up to 125 °C")
	require.Contains(t, text, "meters volts ±(0.1 % + 0.002 V)")
	require.Contains(t, text, "Meets the sheet where it was measured (sound)")
	// 10 mV; 0.5 % of 3.3 V; 0.1 %/W of it over 0.056 to 0.122 W; the load's 0.1 mA
	// of 0.3 A of 20 mV: 10 + 16.5 + 0.22 + 0.01.
	require.Contains(t, text, "Line regulation within the sheet (weak): 10.0 mV, limit 26.7 mV")
	// A narrower band than the preset's.
	code, out, complaints = invoke(t, withSheet("-band", "0.5", write(t, clean))...)
	require.Zero(t, code, complaints)
	require.Contains(t, flat(out), "sheet 4.975 to 5.025 V at inputs of 6.5 to 12 V")
	// It counts over the invented table's own flags as well.
	code, out, complaints = invoke(t, "-accuracy-to", "10.5")
	require.Zero(t, code, complaints)
	require.Contains(t, flat(out), "Line 12: beyond the sheet's promise (weak)")
}

func TestListNamesTheSheets(t *testing.T) {
	code, out, _ := invoke(t, "-list")
	require.Zero(t, code)
	require.Contains(t, out, "LM1117I-5.0  National Semiconductor\n             LM1117/LM1117I, electrical table")
	require.NotContains(t, out, "VERDICT")
}

// The picture is a whole file, or what stood there before.
func TestPlot(t *testing.T) {
	_, plain, _ := invoke(t)
	path := filepath.Join(t.TempDir(), "p.svg")
	require.NoError(t, os.WriteFile(path, []byte("before"), 0o600))
	code, _, _ := invoke(t, withSheet("-plot", path, write(t, "input V\n"))...)
	require.Equal(t, 2, code)
	b, err := os.ReadFile(path)
	require.NoError(t, err)
	require.Equal(t, "before", string(b))

	code, out, complaints := invoke(t, "-plot", path)
	require.Zero(t, code, complaints)
	require.Equal(t, plain, out, "the text stays the same")
	b, err = os.ReadFile(path)
	require.NoError(t, err)
	dec := xml.NewDecoder(strings.NewReader(string(b)))
	paths, desc, in := 0, "", ""
	for {
		tok, err := dec.Token()
		if errors.Is(err, io.EOF) {
			break
		}
		require.NoError(t, err)
		switch e := tok.(type) {
		case xml.StartElement:
			in = e.Name.Local
			if in == "path" {
				paths++
			}
		case xml.CharData:
			if in == "desc" {
				desc += string(e)
			}
		case xml.EndElement:
			in = ""
		}
	}
	require.Greater(t, paths, 50)
	require.Contains(t, desc, "Line 12: out of specification. Input 11.50 V. Output 4.58 ± 0.05 V, allowed 4.80 to 5.20 V.")
	left, err := os.ReadDir(filepath.Dir(path))
	require.NoError(t, err)
	require.Len(t, left, 1, "nothing half written stays behind")
}
