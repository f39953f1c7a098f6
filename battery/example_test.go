package battery_test

import (
	"fmt"

	"github.com/stationphysics/stationphysics/battery"
)

// Given: cells marked LFP, two in series. Find what a sheet allows.
func ExampleChemistry_PackLimits() {
	c, err := battery.ParseChemistry("LFP")
	if err != nil {
		fmt.Println(err)
		return
	}
	p, err := c.PackLimits(2, 20)
	if err != nil {
		fmt.Println(err)
		return
	}
	l := c.Limits()
	fmt.Printf("%v, 2 in series: %.1f V\n", c, p.NominalV)
	fmt.Printf("full charge  %.2f V (%.2f to %.2f)\n", p.ChargeV, p.ChargeMinV, p.ChargeMaxV)
	fmt.Printf("discharge to %.1f V, better %.1f V\n", p.CutoffV, p.SaferV)
	fmt.Printf("charge from %.0f to %.0f °C; full at %.2f to %.2f A per Ah\n", l.ChargeWindow.MinC, l.ChargeWindow.MaxC, l.TaperHigh.PerH, l.TaperLow.PerH)
	// Output:
	// LiFePO4, 2 in series: 6.4 V
	// full charge  7.30 V (7.20 to 7.40)
	// discharge to 4.0 V, better 5.0 V
	// charge from 0 to 45 °C; full at 0.05 to 0.02 A per Ah
}

// The wrong way: a name that no cell goes by, and mAh given as Ah.
func ExampleParseChemistry() {
	_, err := battery.ParseChemistry("lead-acid")
	fmt.Println(err)
	_, err = battery.TypicalCell(battery.LiFePO4, 1500)
	fmt.Println(err)
	// Output:
	// battery: unknown chemistry "lead-acid"; known are LiFePO4, lithium-ion (4.2 V), sealed lead-acid, flooded lead-acid, NiMH
	// capacity 1500 Ah is outside 0.03..400 Ah: milliampere-hours?
}

// Given: a typical LiFePO4 cell of 1.5 Ah at half charge, 25 °C, 0.6 A out of it
// for 30 s. Find the voltage by hand and by the step.
//
//	Voc(0.5) = 3.2772 + (0.5 - 0.2972)/(0.9833 - 0.2972) 0.0739 = 3.2990 V
//	R0 drop  = 0.6 · 0.030 = 0.0180 V
//	slow     = 0.6 · 0.020 (1 - e^(-30/30)) = 0.0076 V
func ExamplePack_Current() {
	cell, err := battery.TypicalCell(battery.LiFePO4, 1.5)
	if err != nil {
		fmt.Println(err)
		return
	}
	p, err := battery.NewPack(cell, 1, 1)
	if err != nil {
		fmt.Println(err)
		return
	}
	s, f := p.Current(p.At(0.5), -0.6, 30, 25)
	fmt.Printf("%.4f V, state of charge %.4f\n", f.EndV, s.SoC)
	s, f = p.Current(p.At(0.5), -0.6, 30, -20)
	fmt.Printf("at -20 °C %.4f V, state of charge %.4f\n", f.EndV, s.SoC)
	// Output:
	// 3.2731 V, state of charge 0.4967
	// at -20 °C 3.2140 V, state of charge 0.4967
}

// A winter day of a station on 4 cells of 2.4 Ah: 2.2 Wh of load, four hours of
// sun that offer 2 W, cells at -3 °C in the morning. What the cold stop refuses
// is the difference between offered and taken.
func ExampleRun_Step() {
	cell, err := battery.TypicalCell(battery.LiFePO4, 2.4)
	if err != nil {
		fmt.Println(err)
		return
	}
	p, err := battery.NewPack(cell, 4, 1)
	if err != nil {
		fmt.Println(err)
		return
	}
	r, err := battery.NewRun(p, p.DefaultControl(14.0))
	if err != nil {
		fmt.Println(err)
		return
	}
	s := p.At(0.6)
	var taken, refused, given float64
	for minute := range 1440 {
		hour := float64(minute) / 60
		netW, cellC := -2.2/24, -3.0
		if hour >= 10 && hour < 14 {
			netW += 2
		}
		if hour >= 12 {
			cellC = 4
		}
		var f battery.Flow
		s, f = r.Step(s, netW, 60, cellC)
		taken += f.InWh
		given += f.OutWh
		if netW > 0 {
			refused += netW/60 - f.InWh
		}
	}
	fmt.Printf("taken %.2f Wh, refused by the cold %.2f Wh, given %.2f Wh\n", taken, refused, given)
	fmt.Printf("state of charge 0.60 -> %.2f\n", s.SoC)
	// Output:
	// taken 3.82 Wh, refused by the cold 3.82 Wh, given 1.83 Wh
	// state of charge 0.60 -> 0.66
}

// How much is in the pack? On the plateau of LiFePO4 a voltmeter does not tell;
// the wrong way is to read 6.60 V as 51 %.
func ExamplePack_SoCBand() {
	cell, err := battery.TypicalCell(battery.LiFePO4, 1.5)
	if err != nil {
		fmt.Println(err)
		return
	}
	p, err := battery.NewPack(cell, 2, 1)
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, v := range []float64{6.60, 6.00} {
		b, err := p.SoCBand(battery.Sighting{PackV: v, MeterV: 0.03, TempC: 15})
		if err != nil {
			fmt.Println(err)
			return
		}
		fmt.Printf("%.2f V: %.0f %%, anywhere from %.0f to %.0f %%\n", v, 100*b.SoC, 100*b.LowSoC, 100*b.HighSoC)
	}
	// Output:
	// 6.60 V: 51 %, anywhere from 25 to 89 %
	// 6.00 V: 4 %, anywhere from 3 to 4 %
}

// Counting charge instead: from a full charge on, with a meter of 1 % and 0.2 mA.
func ExampleGauge() {
	cell, err := battery.TypicalCell(battery.LiFePO4, 1.5)
	if err != nil {
		fmt.Println(err)
		return
	}
	p, err := battery.NewPack(cell, 2, 1)
	if err != nil {
		fmt.Println(err)
		return
	}
	g, err := battery.NewGauge(p, battery.Meter{GainPct: 1, OffsetA: 0.0002, HealthPct: 5}, 1, 0.02)
	if err != nil {
		fmt.Println(err)
		return
	}
	for range 5 * 24 {
		g.Add(-0.004, 3600, 15)
	}
	b := g.Band()
	fmt.Printf("after five dark days: %.0f %%, from %.0f to %.0f %%\n", 100*b.SoC, 100*b.LowSoC, 100*b.HighSoC)
	fmt.Printf("at rest the doubt reaches 20 %% after %.0f days\n", g.DaysTo(0.2))
	// Output:
	// after five dark days: 68 %, from 62 to 74 %
	// at rest the doubt reaches 20 % after 45 days
}

// What to mind with two cells in series: the cautions that go with a chemistry,
// each with its number.
func ExampleChemistry_Cautions() {
	for _, s := range battery.LiFePO4.Cautions(2)[:3] {
		fmt.Println("-", s)
	}
	// Output:
	// - Above 3.65 V a cell, 7.30 V for 2 in series: stop, lower the setting, check every cell before going on.
	// - Charge only from 0 °C to 45 °C, measured at the cells. A cell that froze is left to warm by itself, not by a flame, a heater or a dryer, before it is charged.
	// - Put a fuse at the pack, before the first wire: a short there is limited by nothing but the cells.
}
