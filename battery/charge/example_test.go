package charge_test

import (
	"fmt"
	"math"

	"github.com/stationphysics/stationphysics/battery"
	"github.com/stationphysics/stationphysics/battery/charge"
)

func fourCells() (*battery.Pack, battery.Cell) {
	cell, err := battery.TypicalCell(battery.LiFePO4, 2.4)
	if err != nil {
		panic(err)
	}
	p, err := battery.NewPack(cell, 4, 1)
	if err != nil {
		panic(err)
	}
	return p, cell
}

// A charge from nearly empty to full.
//
// Given: four cells of 2.4 Ah, a tenth full, 0.8 A to 14.00 V, ended at 0.05
// A, 20 °C.
// Find: when the charger begins to hold its voltage, when it ends, what went
// in.
//
//	constant current (1.00 - 0.10) · 2.4/0.8 = 2.7 h: up to 14.00/4 = 3.50 V a cell
//	the curve of LiFePO4 is so steep there that the taper is over in minutes
//
// Source: the circuit of package battery, in closed form; against ngspice 39
// within a second.
func ExampleFull() {
	p, _ := fourCells()
	plan := charge.Plan{Charger: battery.Charger{SetV: 14.00, MaxA: 0.8}, TaperA: 0.05, TempC: 20, StepS: 1, MostH: 12}
	r, err := charge.Full(p, p.At(0.1), plan)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("holds 14.00 V after %.2f h, %v after %.2f h\n", r.HoldS/3600, r.End, r.TaperS/3600)
	fmt.Printf("%.3f Ah and %.2f Wh in, state of charge %.3f\n", r.InAh, r.InWh, r.State.SoC)
	// Output:
	// holds 14.00 V after 2.70 h, ended at the taper current after 2.70 h
	// 2.157 Ah and 28.71 Wh in, state of charge 0.997
}

// The wrong way: a station of 90 mA left on a charger that ends at 80 mA.
//
// Given: the same pack, 90 mA of load beside it.
// Find: when the charge ends.
//
//	the charger's current is the pack's plus 0.09 A: it never falls to 0.08 A
//
// Source: Kirchhoff's current law at the charger's output.
func ExampleFull_load() {
	p, _ := fourCells()
	plan := charge.Plan{Charger: battery.Charger{SetV: 14.00, MaxA: 0.8}, TaperA: 0.08, LoadA: 0.09, TempC: 20, StepS: 10, MostH: 24}
	r, err := charge.Full(p, p.At(0.1), plan)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("after %.0f h: %v\n", r.TotalS/3600, r.End)
	// Output:
	// after 24 h: never ends: the load keeps the charger's current above the taper
}

// Two cells put together as delivered.
//
// Given: one of two cells 5 % smaller, put together at half charge, or each
// charged full first; 7.00 V for the two, 20 °C.
// Find: how far the smaller one stands above the mean at the end of charge.
//
//	from equal at 0.5 the smaller gains 1/0.95 of the other's charge:
//	it is full when the other is at 0.976, and 3.50 + 0.15 = 3.65 V, the limit
//
// The wrong way: to divide 7.00 V by two and see 3.50 V.
//
// Source: equal charge through cells in series (Kirchhoff); curve Sunil,
// Pattipati and Balasingam 2025.
func ExampleMismatch_Above() {
	_, cell := fourCells()
	m := charge.Mismatch{CapacityPct: 5, EqualSoC: 0.5}
	l, err := m.Above(cell, 2, 7.00, 20)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("put together at 50 %%: %.2f V above the mean, over the limit: %v\n", l.AboveV, 3.50+l.AboveV > 3.65)
	m.EqualSoC = 1
	l, err = m.Above(cell, 2, 7.00, 20)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("each charged full first: %.3f V\n", l.AboveV)
	// Output:
	// put together at 50 %: 0.15 V above the mean, over the limit: true
	// each charged full first: -0.002 V
}

// What the cells of an unequal string come to, cell by cell.
//
// Given: cells of 2.40 and 2.25 Ah, both at half charge, charged together to
// 7.00 V.
// Find: their voltages and states of charge.
//
//	0.50 + q/2.40 and 0.50 + q/2.25 with V1 + V2 = 7.00 V: q = 1.128 Ah
//
// Source: equal charge through cells in series (Kirchhoff); curve Sunil,
// Pattipati and Balasingam 2025.
func ExampleString_Settled() {
	_, big := fourCells()
	small := big
	small.CapacityAh = 2.25
	s, err := charge.NewString(big, small)
	if err != nil {
		fmt.Println(err)
		return
	}
	cells, err := s.Settled([]float64{0.50, 0.50}, 7.00, 20)
	if err != nil {
		fmt.Println(err)
		return
	}
	for i, c := range cells {
		fmt.Printf("cell %d: %.2f V at %.3f\n", i+1, c.CellV, c.SoC)
	}
	// Output:
	// cell 1: 3.35 V at 0.970
	// cell 2: 3.65 V at 1.001
}

// How empty may the pack be in the cold?
//
// Given: a radio of 12 W for 3 s, every ten minutes; a regulator that needs
// 12.0 V at the pack; 20, -10 and -20 °C.
// Find: the state of charge at which to stop.
//
//	at 20 °C the pulse decides: 4 Voc(s) - 1 A · (R0 + ...) = 12.0 V
//	at -10 °C what the cells hold back: 1 - 0.664 = 34 %, at -20 °C 1 - 0.55 = 45 %
//
// The wrong way: to carry the stop of the bench, 5 %, into the winter.
//
// Source: the circuit of package battery; usable share from sheets of 10 to 20
// Ah cells as a pack maker quotes them.
func ExampleBrownOutSoC() {
	p, _ := fourCells()
	d := charge.Draw{SleepW: 0.02, PulseW: 12, PulseS: 3, PeriodS: 600, LeastV: 12.0}
	for _, tempC := range []float64{20, -10, -20} {
		s, err := charge.BrownOutSoC(p, d, tempC)
		if err != nil {
			fmt.Println(err)
			return
		}
		fmt.Printf("%3.0f °C: stop at %2.0f %%\n", tempC, math.Ceil(100*s))
	}
	// Output:
	// 20 °C: stop at  5 %
	// -10 °C: stop at 34 %
	// -20 °C: stop at 45 %
}

// A board bought for LiFePO4 that does not stand in for a charger's setting.
//
// Given: a board that opens a cell at 3.90 ± 0.025 V; a charger at 15.8 V on
// four cells; a panel of 22.4 V on a rail that stands 20 V.
// Find: how far the cell goes beyond its sheet, and what the rail sees once it
// opens.
//
//	3.90 + 0.025 - 3.70 = 0.225 V;  22.4 - 20 = 2.4 V
//
// Source: a board maker's list; 3.65 ± 0.05 V the sheet of a 26650 cell of 4
// Ah.
func ExampleBoard_Judge() {
	p, _ := fourCells()
	b := charge.Boards()[0]
	v, err := b.Judge(charge.Case{Pack: p, Charger: battery.Charger{SetV: 15.8, MaxA: 0.8}, TempC: 20, NoPackV: 22.4, RailMaxV: 20})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%s: %.3f V past the sheet; opens: %v; rail %.1f V over\n", b.Name, v.PastSheetV, v.Trips, v.RailOverV)
	// Output:
	// LiFePO4 board: 0.225 V past the sheet; opens: true; rail 2.4 V over
}
