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

// Given: four cells of 2.4 Ah, a tenth full, 0.8 A to 14.00 V. The stage at
// constant current takes about (0.99 - 0.10) · 2.4/0.8 = 2.7 h.
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

// Two cells put together as delivered, at half charge, one 5 % smaller. At 7.00 V,
// 3.50 V a cell in the mean, the smaller one is beyond 3.65 V.
func ExampleMismatch_Above() {
	_, cell := fourCells()
	m := charge.Mismatch{CapacityPct: 5, EqualSoC: 0.5}
	above, _, err := m.Above(cell, 2, 7.00, 20)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("put together at 50 %%: %.2f V above the mean, over the limit: %v\n", above, 3.50+above > 3.65)
	m.EqualSoC = 1
	above, _, err = m.Above(cell, 2, 7.00, 20)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("each charged full first: %.3f V\n", above)
	// Output:
	// put together at 50 %: 0.15 V above the mean, over the limit: true
	// each charged full first: -0.002 V
}

// What the cells of an unequal string come to, cell by cell.
func ExampleString_Settled() {
	_, big := fourCells()
	small := big
	small.CapacityAh = 2.25
	s, err := charge.NewString(big, small)
	if err != nil {
		fmt.Println(err)
		return
	}
	cellV, soc, err := s.Settled([]float64{0.50, 0.50}, 7.00, 20)
	if err != nil {
		fmt.Println(err)
		return
	}
	for i := range cellV {
		fmt.Printf("cell %d: %.2f V at %.3f\n", i+1, cellV[i], soc[i])
	}
	// Output:
	// cell 1: 3.35 V at 0.970
	// cell 2: 3.65 V at 1.001
}

// A radio of 12 W for 3 s: how empty may the pack be in the cold for a station
// whose regulator needs 12.0 V at the pack? In the cold it is not the pulse that
// ends it but what the cells hold back.
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

// A board bought for LiFePO4 opens a cell at 3.90 V: too late to stand in for a
// charger's setting. When it does open, a panel of 22.4 V stands on the rail.
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
