package trim_test

import (
	"fmt"

	"github.com/stationphysics/stationphysics/battery"
	"github.com/stationphysics/stationphysics/battery/trim"
)

var spec = trim.Spec{
	Chemistry: battery.LiFePO4, Cells: 2, TempC: 20,
	MeterPct: 1, MeterDigitsV: 0.02, DriftPct: 1, HighestCellV: 0.027,
}

// Given: two LiFePO4 cells, a meter of 1 % and 2 digits of 0.01 V, a trimmer that
// may drift 1 %, the highest cell 27 mV above the mean. Find the setting.
//
//	worst cell = (V 1.02 + 0.02)/2 + 0.027 <= 3.65   gives   V <= 7.084 V
//	the pack fills from 2 · 3.45 = 6.90 V on; midway, rounded: 7.00 V
func ExampleNew() {
	s, err := trim.New(spec)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(s.Instruction())
	fmt.Printf("at 7.20 V the worst cell would stand at %.3f V\n", s.WorstAtV(7.2))
	// Output:
	// Set 7.00 V at the charger's output, read with nothing connected, between 6.90 and 7.08 V. The highest of the 2 cells then reaches at most 3.607 V, 0.043 V below the 3.65 V of LiFePO4.
	// at 7.20 V the worst cell would stand at 3.709 V
}

// A 4.20 V-a-cell setting on the same pack, recognised.
func ExampleJudge() {
	v, err := trim.Judge(battery.LiFePO4, 2, 8.40, 20)
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

// A diode between charger and pack: it drops 0.35 V at full current and 0.20 V
// at the taper. The wrong way is to add the 0.35 V: the pack creeps up by the
// difference.
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
	// set 7.20 V before the diode, at most 7.28 V
	// set by the drop at full current: 7.43 V, worst cell 3.725 V
}

// A cheap meter leaves no setting that is both safe and useful.
func ExampleSetting_Instruction() {
	s := spec
	s.MeterPct, s.MeterDigitsV = 3, 0.1
	t, err := trim.New(s)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(t.Instruction())
	// Output:
	// No safe and useful setting: the errors leave at most 6.87 V, and the pack fills from 6.90 V. Use a better meter, match the cells, or replace the trimmer by fixed resistors.
}

// A sealed lead-acid battery of six cells in a box at 5 and at 35 °C.
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
