package bench_test

import (
	"fmt"
	"strings"

	"github.com/stationphysics/stationphysics/power"
	"github.com/stationphysics/stationphysics/power/parts"
	"github.com/stationphysics/stationphysics/station/bench"
)

// theBench is a 5 V part of the 1117 family in SOT-223 and hand-held meters.
func theBench() (*bench.Bench, error) {
	preset, _ := parts.FindLinear("LM1117I-5.0")
	reg, err := power.NewLinear(preset.Spec)
	if err != nil {
		return nil, err
	}
	b, err := bench.New(bench.Part{
		Name: preset.Name, Linear: reg, AccuracyLowV: 6.5, AccuracyHighV: 12, QuiescentTypicalA: 5e-3,
		LineRegulationV: 0.015, LoadRegulationV: 0.020, TempStabilityPct: 0.5, ThermalRegulationPct: 0.1,
		JunctionCaseLowKPerW: 12, JunctionCaseHighKPerW: 18,
	}, bench.Meters{VoltPct: 0.5, VoltFloorV: 0.02, LoadPct: 1, TabK: 2.5, RoomK: 1, ContactErrorRatio: 0.2})
	return &b, err
}

// A bench test of a regulator.
//
// Given: a table of invented readings of a 5 V part, with the user's own
// watts, which are Vin·I.
// Find: what each row shows and whether the part meets its sheet.
//
//	P = (Vin - Vout) I + Vin Iq: 10 V: 5·0.1667 + 10·0.005 = 0.88 W, not 1.67 W
//	needed input 4.8 + 1.31 = 6.11 V: the row at 5.5 V is dropout, not a fault
//	junction from 60.1 + 12·0.88 °C to the tab behind a bad contact + 18·0.88
//
// The wrong way, in the user's column: Vin·I counts the power of the load as
// heat.
//
// Source: LM1117/LM1117I electrical table; uncertainties JCGM 100:2008, factor
// 2.
func ExampleBench_Judge() {
	rows, err := bench.ReadTable(strings.NewReader(`
input V, output V, load ohm, tab °C, room °C, dwell s, own W
5.5,     4.28,     30,       27.0,   21.0,     300,    0.78
7.0,     5.01,     30,       38.6,   21.0,     300,    1.17
8.5,     5.01,     30,       49.0,   21.0,     300,    1.42
10.0,    5.00,     30,       60.1,   21.0,     300,    1.67
11.5,    5.00,     30,       71.2,   21.0,     300,    1.92
`), "bench.csv")
	if err != nil {
		fmt.Println(err)
		return
	}
	b, err := theBench()
	if err != nil {
		fmt.Println(err)
		return
	}
	rep := b.Judge(rows)
	for _, v := range rep.Rows {
		fmt.Printf("%4.1f V: %s (%s), %.2f ± %.2f W, junction %.0f to %.0f °C\n", v.Row.InputV, v.State, v.Strength,
			v.DissipationW, v.DissipationErrW, v.JunctionLowC, v.JunctionHighC)
	}
	fmt.Printf("%s (%s)\n", rep.Outcome, rep.Strength)
	for _, f := range rep.Findings {
		fmt.Printf("- %s (%s)\n", f.Claim, f.Strength)
	}
	// Output:
	//  5.5 V: dropout (sound), 0.20 ± 0.06 W, junction 26 to 37 °C
	//  7.0 V: regulating (sound), 0.37 ± 0.08 W, junction 40 to 54 °C
	//  8.5 V: regulating (sound), 0.63 ± 0.10 W, junction 53 to 72 °C
	// 10.0 V: regulating (sound), 0.88 ± 0.12 W, junction 67 to 91 °C
	// 11.5 V: regulating (sound), 1.14 ± 0.13 W, junction 81 to 110 °C
	// meets the sheet where it was measured (sound)
	// - junction below its rating (sound)
	// - resistance from tab to room (weak)
	// - line regulation within the sheet (weak)
	// - power figures: Vin·I: that counts the power of the load as heat in the part (sound)
}

// The wrong way: 4.28 V at 5.5 V in is not a bad part.
//
// Given: one row, 5.5 V in, 4.28 V out, 30 ohm.
// Find: what it shows.
//
//	5.5 - 4.28 = 1.22 V between input and output; the sheet asks for up to 1.31 V
//
// Source: LM1117/LM1117I electrical table (dropout).
func ExampleBench_Judge_wrongWay() {
	b, err := theBench()
	if err != nil {
		fmt.Println(err)
		return
	}
	r := bench.NewRow()
	r.InputV, r.OutputV, r.LoadOhm = 5.5, 4.28, 30
	rep := b.Judge([]bench.Row{r})
	fmt.Println(rep.Rows[0].State, "-", rep.Rows[0].Reason)
	fmt.Println(rep.Outcome, "- missing:", strings.Join(rep.Missing, "; "))
	// Output:
	// dropout - the input of 5.5 V is below the 6.106 V needed, and the difference of 1.22 V within the dropout of 1.31 V: no fault, and no evidence on regulation
	// cannot tell - missing: 3 more rows that regulate clearly within the band; an input above 6.59 V: in dropout a part shows nothing of its regulation
}

// Only the heat was noted.
//
// Given: 13.5 V in, 30 ohm, 1.29 W.
// Find: the output.
//
//	(Vin - Vout)·Vout/R = P, Vout = (13.5 ∓ √(13.5² - 4·30·1.29))/2
//
// The heat alone cannot tell the two apart; a 5 V part cannot stand at 9.37 V.
//
// Source: P = (Vin - Vout) I solved for Vout (common practice, no published
// source).
func ExampleBench_Judge_derived() {
	b, err := theBench()
	if err != nil {
		fmt.Println(err)
		return
	}
	row := bench.NewRow()
	row.InputV, row.LoadOhm, row.OwnW = 13.5, 30, 1.29
	v := b.Judge([]bench.Row{row}).Rows[0]
	fmt.Printf("derived: %v, %.2f V\n%s\n", v.Derived, v.Row.OutputV, v.Reason)
	// Output:
	// derived: true, 4.13 V
	// the output was not measured; 1.29 W into 30 ohm at 13.5 V mean 4.13 V or 9.37 V, own current neglected; the output of 4.13 V is below 4.8 V, but the sheet promises that only from 6.5 to 12 V of input
}

// A part that fails in the third row. The wrong way: to go on with the load
// connected.
//
// Given: 5.01 V, 5.00 V and 11.93 V out of 8, 10 and 12 V.
// Find: the verdict, and what to do next.
//
//	12 - 11.93 = 0.07 V, less than the 0.3 V that no working part holds
//	on the load 12²/30 = 4.8 W
//
// Source: Ohm's law; 0.3 V well below the dropout of any sheet of the 1117
// family.
func ExampleReport() {
	b, err := theBench()
	if err != nil {
		fmt.Println(err)
		return
	}
	var rows []bench.Row
	for _, x := range [][2]float64{{8, 5.01}, {10, 5.00}, {12, 11.93}} {
		r := bench.NewRow()
		r.InputV, r.OutputV, r.LoadOhm = x[0], x[1], 30
		rows = append(rows, r)
	}
	rep := b.Judge(rows)
	fmt.Println(rep.Outcome, "-", rep.Reason)
	fmt.Println("next:", rep.Next)
	fmt.Println("caution:", rep.Cautions[0])
	// Output:
	// pass element shorted - the output of 11.93 V stands 0.07 V below the input and above the band that ends at 5.2 V: the input passes through
	// next: with the supply off and the load removed, measure the resistance from input to output
	// caution: a pass element that fails short puts up to 12.0 V and 4.8 W on the load: test with a current-limited, fused supply, a load resistor that bears it, and no cells or controller connected
}

// The wrong way: columns that cannot be what the header says. They are refused
// with file, line and what it looks like.
func ExampleReadTable() {
	_, err := bench.ReadTable(strings.NewReader("input V,output V,load ohm\n5.01,8,30\n5.00,10,30\n"), "bench.csv")
	fmt.Println(err)
	_, err = bench.ReadTable(strings.NewReader("input V,output V,load ohm,tab F\n8,5,30,120\n"), "bench.csv")
	fmt.Println(err)
	_, err = bench.ReadTable(strings.NewReader("input V,output V,load ohm\n8000,5,30\n"), "bench.csv")
	fmt.Println(err)
	// Output:
	// bench.csv:1: the columns "output" and "input" look swapped: output is above input in every row
	// bench.csv:1: tab F: the unit "F" is not accepted: give °C
	// bench.csv:2: input V: input voltage 8000 V is outside 0..150 V: millivolts?
}

// Heat that hides.
//
// Given: 12 V in, 5 V out, 30 ohm, the tab at 85 °C in a room of 21 °C; 125 °C
// rated, up to 18 K/W from junction to tab.
// Find: how bad the contact of the thermometer must be for the junction to be
// at its limit.
//
//	P = 7·0.1667 + 12·0.005 = 1.23 W; tab at most 125 - 18·1.23 = 103 °C
//	true rise 103 - 21 = 82 K, read 64 K: 1 - 64/82 = 22 %
//
// The wrong way: to trust a thermometer pressed on the tab; it always reads
// low.
//
// Source: balance of heat; θJC Infineon and National Semiconductor, SOT-223.
func ExampleRowVerdict() {
	b, err := theBench()
	if err != nil {
		fmt.Println(err)
		return
	}
	r := bench.NewRow()
	r.InputV, r.OutputV, r.LoadOhm, r.TabC, r.RoomC = 12, 5, 30, 85, 21
	v := b.Judge([]bench.Row{r}).Rows[0]
	fmt.Printf("the contact must miss %.0f %% of the rise\n", 100*v.CriticalContactRatio)
	// Output:
	// the contact must miss 22 % of the rise
}

// The resistance from tab to room, out of the table itself.
//
// Given: settled rows of the same part: 0.37, 0.63, 0.88 and 1.14 W in it, the tab
// 17.6, 28.0, 39.1 and 50.2 K above the room.
// Find: K/W, and how large it may truly be.
//
//	slope through the origin 39.1/0.88 = 44 K/W; behind a contact that misses 20 %
//	of the rise it may be 44/(1 - 0.2) = 55 K/W
//
// The wrong way takes 44 K/W for the whole truth: a thermometer pressed on the tab
// reads low.
//
// Source: least squares, JCGM 100:2008, H.3; contact error as stated.
func ExampleCooling() {
	b, err := theBench()
	if err != nil {
		fmt.Println(err)
		return
	}
	var rows []bench.Row
	for _, x := range [][3]float64{{7.0, 5.01, 38.6}, {8.5, 5.01, 49.0}, {10.0, 5.00, 60.1}, {11.5, 5.00, 71.2}} {
		r := bench.NewRow()
		r.InputV, r.OutputV, r.LoadOhm, r.TabC, r.RoomC, r.DwellS = x[0], x[1], 30, x[2], 21, 900
		rows = append(rows, r)
	}
	c := b.Judge(rows).Cooling
	fmt.Printf("%d rows: %.1f ± %.1f K/W, truly up to %.0f K/W\n", c.Rows, c.CaseAmbientKPerW, 2*c.CaseAmbientErrKPerW, c.TrueHighKPerW)
	// Output:
	// 4 rows: 44.4 ± 3.6 K/W, truly up to 55 K/W
}
