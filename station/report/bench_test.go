package report

import (
	"bytes"
	"errors"
	"fmt"
	"math"
	"os"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/require"

	"github.com/stationphysics/stationphysics/power"
	sheets "github.com/stationphysics/stationphysics/power/parts"
	"github.com/stationphysics/stationphysics/station/bench"
)

// benchOf5V is a 5 V part of the 1117 family and hand-held meters, as
// examples/benchtest has them without flags.
func benchOf5V(t testing.TB) *bench.Bench {
	t.Helper()
	preset, err := sheets.FindLinear("LM1117I-5.0")
	require.NoError(t, err)
	reg, err := power.NewLinear(preset.Spec)
	require.NoError(t, err)
	b, err := bench.New(bench.Part{
		Name: preset.Name, Linear: reg, AccuracyLowV: 6.5, AccuracyHighV: 12, QuiescentTypicalA: 5e-3,
		LineRegulationV: 0.015, LoadRegulationV: 0.020, TempStabilityPct: 0.5, ThermalRegulationPct: 0.1,
		JunctionCaseLowKPerW: 12, JunctionCaseHighKPerW: 18,
	}, bench.Meters{VoltPct: 0.5, VoltFloorV: 0.02, CurrentPct: 1, CurrentFloorA: 0.001, LoadPct: 1, TabK: 2.5, RoomK: 1, ContactErrorRatio: 0.2})
	require.NoError(t, err)
	return &b
}

func judgedTable(t testing.TB, table string) bench.Report {
	t.Helper()
	rows, err := bench.ReadTable(strings.NewReader(table), "t.csv")
	require.NoError(t, err)
	return benchOf5V(t).Judge(rows)
}

func benchDemo(t testing.TB) bench.Report {
	t.Helper()
	b, err := os.ReadFile("../../examples/benchtest/demo.csv")
	require.NoError(t, err)
	return judgedTable(t, string(b))
}

// Tables of every kind, for what must hold whatever the table.
func benchTables() map[string]string {
	var many strings.Builder
	many.WriteString("input V,output V,load ohm,tab C,room C\n")
	for i := range 300 {
		in := 5 + float64(i)/30
		out := math.Min(5.0, in-1.2) + 0.3*math.Sin(float64(i))
		many.WriteString(digits(in, 3) + "," + digits(math.Min(in, out), 3) + ",30," + digits(25+float64(i)/5, 1) + ",21\n")
	}
	return map[string]string{
		"clean":          "input V,output V,load ohm,tab C,room C,own W\n7,5.01,30,37,21,0.37\n8.5,5.01,30,49,21,0.63\n10,5,30,60,21,0.88\n11.5,5,30,71,21,1.14\n",
		"load":           "input V,output V,current mA,tab C,room C,own mW\n9,5.04,10,27,21,90\n9,5.02,100,41,21,445\n9,5.00,200,60,21,840\n9,4.9,500,112,21,2100\n",
		"short":          "input V,output V,load ohm,tab C,room C\n8,5.01,30,45,21\n10,5.00,30,60,21\n12,11.93,30,50,21\n21,20.9,30,50,21\n",
		"one":            "input V,output V,load ohm\n8,5.01,30\n",
		"derived":        "input V,own W,load ohm\n13.5,1.29,30\n12,1,30\n",
		"thousand":       "input V,output V,load ohm,own W\n7,5,30,370\n9,5,30,0.000718\n11,5,30,1.05\n",
		"swapped meters": "input V,output V,load ohm\n5,8,30\n8,5,30\n",
		"hot":            "input V,output V,load ohm,tab C,room C\n9,5,30,112,21\n11,5,30,125,21\n12,5,30,140,21\n",
		"limiting":       "input V,output V,load ohm,tab C,room C\n10,5,12,100,21\n11,4.9,12,112,21\n12,4.5,12,112,21\n13,4,12,112,21\n",
		"extreme":        "input V,output V,load ohm,tab C,room C,own W\n150,149,0.1,250,-60,1000\n0,0,1e7,-60,-60,0\n",
		"gaps":           "input V,output V,load ohm,tab C,room C\n,5,30,,\n8,,30,40,21\n9,5,,40,\n10,5,30,,21\n",
		"many":           many.String(),
	}
}

func benchText(t testing.TB, r bench.Report) string {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, Bench(&b, r))
	return b.String()
}

func TestBenchTextKeepsItsWidth(t *testing.T) {
	for name, table := range benchTables() {
		text := benchText(t, judgedTable(t, table))
		for _, line := range strings.Split(text, "\n") {
			require.LessOrEqual(t, utf8.RuneCountInString(line), Width, "%s: %s", name, line)
		}
		require.NotContains(t, text, "NaN", name)
		require.NotContains(t, text, "%!", name)
		require.Contains(t, text, "\nVERDICT\n", name)
		require.Contains(t, text, "arithmetic on the numbers given", name)
	}
}

// Each row: what was read, what the sheet allows (its numbers by hand in
// station/bench), the difference, the verdict, the reason.
func TestBenchTextRowByRow(t *testing.T) {
	text := benchText(t, benchDemo(t))
	for _, want := range []string{
		"Line 7: dropout (sound)\n",
		"  at        5.50 V in, 30 ohm; tab 29.4 °C, room 21.0 °C after 240 s\n",
		"  output    4.28 ± 0.05 V       4.19 to 5.20 V      0.09 V inside\n",
		"Line 9: impossible readings (sound)\n",
		"  load      0.176 ± 0.003 A     0.160 to 0.173 A    0.003 A above, within ±\n",
		"  because   5.01 V over 30 ohm make 0.167 A, not the 0.176 A read\n",
		"Line 11: out of specification (sound)\n",
		"  output    4.66 ± 0.05 V       4.80 to 5.20 V      0.14 V below\n",
		"  lost      0.88 ± 0.12 W       0.83 to 0.98 W      0.05 W inside\n",
		"  noted     1.55 W: Vin·I: that counts the power of the load as heat in the part\n",
		"  junction  81 to 110 °C        up to 125 °C        15 K below\n",
		"Does not meet the sheet (sound): output 4.58 V, limit 4.80 V, margin -0.22 V,\nthe least, in line 12\n",
		"  sure      sound: nothing else explains it",
		"  next      nothing more: the rows decide it\n",
		"Mind: the tab was at 71 °C: bare metal burns skin at a touch from about 65 °C\n",
		"  sheet     4.8 to 5.2 V at inputs of 6.5 to 12 V; dropout up to 1.29 V without\n            load and 1.4 V at 0.8 A; own current up to 15 mA; input up to 20 V;\n            junction up to 125 °C, 12 to 18 K/W from it to the tab\n",
		"  meters    volts ±(0.5 % + 0.02 V); amperes ±(1 % + 0.001 A); load ±1 %; tab\n            ±2.5 K; room ±1 K; contact error up to 20 % of the rise\n",
	} {
		require.Contains(t, text, want)
	}
	require.Equal(t, 4, strings.Count(text, "W: agrees\n"))
	require.Contains(t, benchText(t, judgedTable(t, benchTables()["load"])), "  load      0.100 ± 0.002 A\n")
	// What the sheet does not say is not said.
	bare := benchDemo(t)
	bare.Part.AccuracyLowV, bare.Part.AccuracyHighV, bare.Part.JunctionCaseLowKPerW, bare.Part.JunctionCaseHighKPerW = 0, 0, 0, 0
	require.Contains(t, flatWords(benchText(t, bare)), "sheet 4.8 to 5.2 V; dropout up to 1.29 V without load and 1.4 V at 0.8 A; own current up to 15 mA; input up to 20 V; junction up to 125 °C meters")
	rest := judgedTable(t, "input V,output V,load ohm,tab C,room C,dwell s\n7,5,30,36.0,21,60\n8,5,30,45,21,120\n9,5,30,53.4,21,240\n10,5,30,62,21,480\n11,5,30,70,21,960\n")
	rest.Rows[1].Settled, rest.Rows[1].UnsettledK = bench.NotSettled, -1.2
	rest.Rows[2].Settled = bench.Settled
	text = flatWords(benchText(t, rest))
	require.Contains(t, text, "after 120 s, 1.2 K from rest output")
	require.Contains(t, text, "after 240 s, at rest output")
}

func TestBenchTextSaysWhatIsMissing(t *testing.T) {
	text := benchText(t, judgedTable(t, benchTables()["gaps"]))
	for _, want := range []string{
		"  at        input not read, 30 ohm; tab not read\n",
		"  output    5.00 ± 0.05 V\n",
		"  output    not read            4.80 to 5.20 V\n",
		"  at        9.00 V in, load not stated; tab 40.0 °C\n",
		"Cannot tell (not decidable)\n",
		"  missing   input and output voltage in every row\n",
		"  sure      not decidable from this table\n",
	} {
		require.Contains(t, text, want)
	}
	// Nothing over all rows, no heading over nothing; a perfect meter has no ±.
	text = benchText(t, (&bench.Bench{}).Judge(nil))
	require.NotContains(t, text, "OVER ALL ROWS")
	require.Equal(t, "5.00", reading(5, 0, 2))
	require.Equal(t, "5.00", reading(5, math.NaN(), 2))
	text = benchText(t, bench.Report{})
	require.Contains(t, text, "Bench test of a part without a name")
	require.NotContains(t, text, "NaN")
	zero := (&bench.Bench{}).Judge(nil)
	require.Contains(t, benchText(t, zero), "  because   no part is described\n")
}

// A part may keep its output and still be run over a limit: the verdict does
// not pass over that.
func TestBenchTextNamesLimitsBesideTheOutput(t *testing.T) {
	r := judgedTable(t, "input V,output V,load ohm,tab C,room C\n9,5,30,112,21\n10,5,30,112,21\n11,5,30,112,21\n24,5,30,112,21\n")
	text := flatWords(benchText(t, r))
	_, verdict, _ := strings.Cut(text, "VERDICT")
	require.Contains(t, verdict, "Meets the sheet where it was measured")
	high := r.Rows[3].JunctionHighC
	require.Greater(t, high, 150.0)
	require.Contains(t, verdict, fmt.Sprintf("but junction above its rating (sound): %.0f °C, limit 125 °C, margin %.0f °C", high, 125-high))
	require.NotContains(t, verdict, "but the tab's rise", "that is no limit")
	require.Contains(t, verdict, "but 1 of 4 rows exceed the absolute maximum input of 20 V")
	text = flatWords(benchText(t, benchDemo(t)))
	require.NotContains(t, text, " but ")
}

func flatWords(s string) string { return strings.Join(strings.Fields(s), " ") }

// The verdict on the part gives the number that decided it.
func TestDecisiveRow(t *testing.T) {
	for name, want := range map[string]string{
		"clean": ": output 5.01 V, limit 5.20 V, margin +0.19 V, the least, in line 2",
		"load":  ": output 4.90 V, limit 4.80 V, margin +0.10 V, the least, in line 5",
		"short": ": output 20.90 V, limit 5.20 V, margin -15.70 V, the least, in line 5",
		"one":   "",
	} {
		r := judgedTable(t, benchTables()[name])
		require.Equal(t, want, decisive(&r).words(), "%s: %s", name, r.Reason)
	}
	hot := judgedTable(t, benchTables()["limiting"])
	high := hot.Rows[3].JunctionHighC
	require.Equal(t, fmt.Sprintf(": junction up to %.0f °C, limit 125 °C, margin %.0f °C, the least, in line 5", high, 125-high), decisive(&hot).words())
	// The headroom of 2.3 V is above the 1.31 V of the dropout: 3.2 V of output
	// where the sheet promises 4.19 V.
	r := judgedTable(t, "input V,output V,load ohm\n5.5,3.2,30\n")
	require.Equal(t, bench.DoesNotMeet, r.Outcome)
	require.Equal(t, ": output 3.20 V, limit 4.19 V, margin -0.99 V, the least, in line 2", decisive(&r).words())
	r.Rows[0].Row.Line = 0
	require.Contains(t, decisive(&r).words(), "in row 1")
}

// A station's loads are small: their numbers keep digits.
func TestDigitsOfSmallLoads(t *testing.T) {
	for _, c := range []struct {
		x, err, lo, hi float64
		least, want    int
	}{{5, 0.052, 0, 0, 2, 2}, {5, 0.9, 0, 0, 2, 2}, {5, 0.0021, 0, 0, 2, 3}, {5, 0.000011, 0, 0, 2, 5}, {5, 1e-9, 0, 0, 2, 6}, {0.0004, 0.0012, 0, 0, 3, 4}, {0, 0.0012, 0, 0, 3, 3}, {5, 0, 4.8, 5.2, 2, 2}, {5, 0, 0.0032, 0.0036, 2, 5}, {math.NaN(), math.NaN(), math.NaN(), math.NaN(), 3, 3}} {
		require.Equal(t, c.want, places(c.x, c.err, c.lo, c.hi, c.least), "%+v", c)
	}
	text := benchText(t, judgedTable(t, "input V,output V,current mA,own mW\n7,5.01,0.4,40\n"))
	require.Contains(t, text, "  load      0.0004 ± 0.0012 A\n")
}

func TestDifference(t *testing.T) {
	for _, c := range []struct {
		x, err float64
		want   string
	}{
		{5, 0.05, "0.20 V inside"}, {4.81, 0.05, "0.01 V inside"}, {4.8, 0, "0.00 V inside"}, {5.25, 0.02, "0.05 V above"},
		{5.25, 0.06, "0.05 V above, within ±"}, {4.6, 0.05, "0.20 V below"}, {4.6, math.NaN(), "0.20 V below"},
	} {
		require.Equal(t, c.want, difference(c.x, c.err, 4.8, 5.2, "V", 2))
	}
	require.Equal(t, ": 10.0 mV, limit 41.7 mV, margin +31.7 mV", judged(10, 41.7, "mV"))
	require.Equal(t, ": 45.3 K/W", judged(45.32, math.NaN(), "K/W"))
	require.Equal(t, "", judged(math.NaN(), 3, "V"))
}

type refusing struct{}

func (refusing) Write([]byte) (int, error) { return 0, errors.New("full") }

func TestBenchPassesOnWhatTheWriterSays(t *testing.T) {
	require.EqualError(t, Bench(refusing{}, benchDemo(t)), "full")
	require.EqualError(t, BenchSVG(refusing{}, benchDemo(t)), "full")
}
