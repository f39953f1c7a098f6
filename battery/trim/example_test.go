package trim_test

import (
	"fmt"

	"github.com/stationphysics/stationphysics/battery"
	"github.com/stationphysics/stationphysics/battery/trim"
)

var spec = trim.Spec{
	Chemistry: battery.LiFePO4, Cells: 4, TempC: 20,
	MeterPct: 0.8, MeterDigitsV: 0.03, DriftPct: 1, HighestCellV: 0.02,
}

// What to set a charger to.
//
// Given: four LiFePO4 cells, a meter of 0.8 % and 3 digits of 0.01 V, a
// trimmer that may drift 1 %, the highest cell 20 mV above the mean.
// Find: the setting.
//
//	worst cell = (V 1.018 + 0.03)/4 + 0.02 <= 3.65   gives   V <= 14.23 V
//	the pack fills from 4 · 3.45 = 13.80 V on; midway, rounded: 14.00 V
//
// Source: 3.65 V a cell, sheets of the IFR26650PE 3.4 Ah and of a 26650 of 4
// Ah; errors at their worst.
func ExampleNew() {
	s, err := trim.New(spec)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(s.Instruction())
	fmt.Printf("at 14.40 V the worst cell would stand at %.3f V\n", s.WorstAtV(14.4))
	// Output:
	// Set 14.00 V at the charger's output, read with nothing connected, between 13.80 and 14.23 V. The highest of the 4 cells then reaches at most 3.591 V, 0.059 V below the 3.65 V of LiFePO4.
	// at 14.40 V the worst cell would stand at 3.692 V
}

// The wrong way: the charge voltage of another chemistry.
//
// Given: four LiFePO4 cells and a charger that reads 16.80 V.
// Find: what that setting is.
//
//	16.80/4 = 4.20 V a cell, the voltage of lithium-ion cells; 4.20 - 3.65 = 0.55 V over
//
// Source: sheets of an ICR18650 (4.20 V) and an IFR26650PE (3.65 V).
func ExampleJudge() {
	v, err := trim.Judge(battery.LiFePO4, 4, 16.80, 20)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%v: %v, %.2f V a cell over\n", v.Fit, v.LooksLike, v.OverV)
	fmt.Println("connect the pack:", !v.Forbids())
	// Output:
	// another chemistry's voltage: lithium-ion (4.2 V), 0.55 V a cell over
	// connect the pack: false
}

// The wrong way: the volts of one cell set for a pack of two.
//
// Given: two LiFePO4 cells and a charger that reads 3.60 V.
// Find: what that setting is.
//
//	3.60/2 = 1.80 V a cell: nothing charges at that
//
// Source: sheet of the IFR26650PE: 3.65 V a cell.
func ExampleJudge_cellForPack() {
	v, err := trim.Judge(battery.LiFePO4, 2, 3.60, 20)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(v.Text)
	// Output:
	// 3.60 V on 2 LiFePO4 cells is 1.80 V a cell. 3.60 V would be right for one cell: the pack of 2 takes 7.20 V.
}

// A diode between charger and pack.
//
// Given: the same pack behind a diode that drops 0.35 V at full current and
// 0.20 V at the taper.
// Find: the setting before the diode.
//
//	most = (4 · 3.63 - 0.03 + 0.20)/1.018 = 14.43 V; least 13.80 + 0.20; midway 14.20 V
//
// The wrong way is to add the 0.35 V: the pack creeps up by the difference, to
// 3.688 V a cell.
//
// Source: 3.65 V a cell, sheet of the IFR26650PE; the diode's current at the
// taper decides (Kirchhoff).
func ExampleNew_diode() {
	right, wrong := spec, spec
	right.DiodeTaperV, wrong.DiodeTaperV = 0.20, 0.35
	a, err := trim.New(right)
	if err != nil {
		fmt.Println(err)
		return
	}
	b, err := trim.New(wrong)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("set %.2f V before the diode, at most %.2f V\n", a.SetV, a.HighestV)
	fmt.Printf("set by the drop at full current: %.2f V, worst cell %.3f V\n", b.HighestV, a.WorstAtV(b.HighestV))
	// Output:
	// set 14.20 V before the diode, at most 14.43 V
	// set by the drop at full current: 14.58 V, worst cell 3.688 V
}

// A cheap meter leaves no setting that is both safe and useful.
//
// Given: the same pack, a meter of 4 % and 0.1 V.
// Find: the setting.
//
//	most = (4 · 3.63 - 0.1)/1.05 = 13.73 V, below the 13.80 V from which the pack fills
//
// Source: as above.
func ExampleSetting_Instruction() {
	s := spec
	s.MeterPct, s.MeterDigitsV = 4, 0.1
	t, err := trim.New(s)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(t.Instruction())
	// Output:
	// No safe and useful setting: the errors leave at most 13.73 V, and the pack fills from 13.80 V. Use a better meter, match the cells, or replace the trimmer by fixed resistors.
}

// Lead-acid follows the temperature.
//
// Given: six sealed lead-acid cells in a box at 5 and at 35 °C, a meter and a
// trimmer of 0.5 % each.
// Find: the settings.
//
//	most = 6 (2.40 - 0.005 (T - 25))/1.01: 14.85 and 13.96 V
//	least = 6 (2.30 - 0.005 (T - 25)):     14.40 and 13.50 V; midway, rounded
//
// Source: a maker's deep-cycle user's guide, table 6, gel; 5 mV a kelvin.
func ExampleNew_leadAcid() {
	for _, tempC := range []float64{5, 35} {
		t, err := trim.New(trim.Spec{Chemistry: battery.SealedLead, Cells: 6, TempC: tempC, MeterPct: 0.5, DriftPct: 0.5})
		if err != nil {
			fmt.Println(err)
			return
		}
		fmt.Printf("%2.0f °C: %.2f V\n", tempC, t.SetV)
	}
	// Output:
	//  5 °C: 14.65 V
	// 35 °C: 13.75 V
}
