package report_test

import (
	"bytes"
	"fmt"
	"html"
	"log"
	"regexp"
	"strings"

	"github.com/stationphysics/stationphysics/power"
	"github.com/stationphysics/stationphysics/power/parts"
	"github.com/stationphysics/stationphysics/station/bench"
	"github.com/stationphysics/stationphysics/station/report"
)

// benchReport judges three readings of a 5 V part, the last of them low.
func benchReport() bench.Report {
	preset, _ := parts.FindLinear("LM1117I-5.0")
	reg, err := power.NewLinear(preset.Spec)
	if err != nil {
		log.Fatal(err)
	}
	b, err := bench.New(bench.Part{Name: preset.Name, Linear: reg, AccuracyLowV: 6.5, AccuracyHighV: 12}, bench.Meters{VoltPct: 0.5, VoltFloorV: 0.02, LoadPct: 1})
	if err != nil {
		log.Fatal(err)
	}
	rows, err := bench.ReadTable(strings.NewReader("input V,output V,load ohm\n7,5.01,30\n9,5.00,30\n11,4.60,30\n"), "bench.csv")
	if err != nil {
		log.Fatal(err)
	}
	return b.Judge(rows)
}

// A bench table and its verdict.
//
// Given: 4.60 V at 11 V in, from a part that promises 4.8 to 5.2 V there.
// Find: the verdict, its margin, how sure it is, and what to measure next.
//
//	margin 4.60 - 4.80 = -0.20 V; meter 2·(0.005·4.60 + 0.02)/√3 = 0.05 V
//
// The wrong way condemns a part by one reading.
//
// Source: sheet of the LM1117; expanded uncertainty by JCGM 100.
func ExampleBench() {
	var text bytes.Buffer
	if err := report.Bench(&text, benchReport()); err != nil {
		log.Fatal(err)
	}
	_, verdict, _ := strings.Cut(text.String(), "VERDICT\n\n")
	verdict, _, _ = strings.Cut(verdict, "  holds")
	fmt.Print(verdict)
	// Output:
	// Does not meet the sheet (weak): output 4.60 V, limit 4.80 V, margin -0.20 V, the
	// least, in line 4
	//   because   line 4: the output of 4.6 V is below 4.8 V by more than twice the
	//             meter's 0.05 V, at an input for which the sheet promises it
	//   sure      weak: likely, but something else may explain it
	//   next      repeat that row: one reading may be a slip
}

// A picture of a bench table for those who do not see it.
//
// Given: the same readings.
// Find: the words that the file has for a screen reader.
//
//	lost at 11 V: (11 - 4.60)·4.60/30 + 11·0.0075 = 1.06 W
//
// Source: as above; own current between none and the sheet's 15 mA.
func ExampleBenchSVG() {
	var file bytes.Buffer
	if err := report.BenchSVG(&file, benchReport()); err != nil {
		log.Fatal(err)
	}
	for _, m := range regexp.MustCompile(`<(?:title|desc) id="\w+">([^<]*)<`).FindAllStringSubmatch(file.String(), -1) {
		fmt.Println(html.UnescapeString(m[1]))
	}
	// Output:
	// Bench test of LM1117I-5.0: does not meet the sheet (weak)
	// Over volts at the input: what was read beside what the sheet allows. Output 4.60 V, limit 4.80 V, margin −0.20 V, the least, in line 4. Band of the output 4.8 to 5.2 V. Rated junction 125 °C.
	// Line 2: regulating. Input 7.00 V. Output 5.01 ± 0.05 V, allowed 4.80 to 5.20 V. Load 0.167 A. Lost 0.38 ± 0.06 W, allowed 0.31 to 0.46 W.
	// Line 3: regulating. Input 9.00 V. Output 5.00 ± 0.05 V, allowed 4.80 to 5.20 V. Load 0.167 A. Lost 0.73 ± 0.08 W, allowed 0.66 to 0.81 W.
	// Line 4: out of specification. Input 11.00 V. Output 4.60 ± 0.05 V, allowed 4.80 to 5.20 V. Load 0.153 A. Lost 1.06 ± 0.10 W, allowed 0.99 to 1.17 W.
	// No panel of tab and junction: the table has no temperatures.
}
