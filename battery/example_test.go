package battery_test

import (
	"fmt"

	"github.com/stationphysics/stationphysics/battery"
)

// What a sheet allows a pack.
//
// Given: cells marked LFP, two in series, at 20 °C.
// Find: the voltages, temperatures and currents of the pack.
//
//	full 2 · 3.65 = 7.30 V, ± 2 · 0.05 V; empty 2 · 2.0 = 4.0 V, better 2 · 2.5 = 5.0 V
//
// Source: the sheets that Limits names: IFR26650PE 3.4 Ah, 26650 4 Ah, pack of
// four 3.6 Ah.
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

// The wrong way: a name that no cell goes by, and mAh given as Ah. Both are
// refused with what is known and what it looks like.
func ExampleParseChemistry() {
	_, err := battery.ParseChemistry("lead-acid")
	fmt.Println(err)
	_, err = battery.TypicalCell(battery.LiFePO4, 1500)
	fmt.Println(err)
	// Output:
	// unknown chemistry "lead-acid": known are LiFePO4, lithium-ion (4.2 V), sealed lead-acid, flooded lead-acid, NiMH
	// capacity 1500 Ah is outside 0.03..400 Ah: milliampere-hours?
}

// A cell under load.
//
// Given: a typical LiFePO4 cell of 1.5 Ah at half charge, 25 °C, 0.6 A out of
// it for 30 s.
// Find: its voltage, by hand and by the step; and at -20 °C.
//
//	Voc(0.5) = 3.2772 + (0.5 - 0.2972)/(0.9833 - 0.2972) 0.0739 = 3.2990 V
//	R0 drop  = 0.6 · 0.030 = 0.0180 V
//	slow     = 0.6 · 0.020 (1 - e^(-30/30)) = 0.0076 V
//	V        = 3.2990 - 0.0180 - 0.0076 = 3.2734 V, less what 5 mAh take
//
// Source: the circuit of the package comment; curve Sunil, Pattipati and
// Balasingam 2025, resistances of a typical cell (from memory).
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

// A winter day with frozen cells in the morning.
//
// Given: 4 cells of 2.4 Ah at 60 %, 2.2 Wh of load a day; from 10 to 14 h sun
// that offers 2 W; cells at -3 °C until noon, at 4 °C after.
// Find: what the pack takes, what the cold stop refuses, what it gives.
//
//	net in the sun 2 - 2.2/24 = 1.908 W: refused 2 h · 1.908 = 3.82 Wh, taken as much
//	given 20 h · 2.2/24 = 1.83 Wh; charge + (3.82 - 1.83)/(2.4 Ah · 13.3 V) = + 0.06
//
// Source: balance of energy; no charge below 0 °C: sheet of a LiFePO4 pack of
// four, 3.6 Ah.
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

// How much is in the pack? The wrong way: to read 6.60 V as 51 %. On the
// plateau of LiFePO4 a voltmeter does not tell.
//
// Given: two cells in series at rest, 15 °C, 6.60 V and later 6.00 V, each ±
// 0.03 V.
// Find: the state of charge and its doubt.
//
//	doubt of the cell's voltage 0.03/2 + 0.025 = 0.040 V either way
//	s(3.30 V) = 0.51, s(3.26 V) = 0.25, s(3.34 V) = 0.89
//
// Source: curve Sunil, Pattipati and Balasingam 2025; 15 mV of it and 10 mV
// between charged and discharged make the 0.025 V.
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

// Counting charge instead.
//
// Given: a full pack of 1.5 Ah, known to 2 %, 4 mA out of it for five days; a
// meter of 1 % and 0.2 mA; the capacity known to 5 %.
// Find: the state of charge and its doubt.
//
//	drawn 0.004 A · 120 h = 0.48 Ah: 1 - 0.48/1.5 = 0.68
//	doubt 0.02 + (0.0048 + 0.0002·120)/1.5 + 0.05·0.32 = 0.055, self-discharge beside
//
// Source: sums of the errors that do not average out; self-discharge 2.5 % a
// month, sheet of the IFR26650PE 3.4 Ah.
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

// What to mind with a pack.
//
// Given: two LiFePO4 cells in series.
// Find: the cautions that go with them, each with its number.
//
//	stop above 2 · 3.65 = 7.30 V
//
// Source: the sheets that Limits names.
func ExampleChemistry_Cautions() {
	for _, s := range battery.LiFePO4.Cautions(2)[:3] {
		fmt.Println("-", s)
	}
	// Output:
	// - Above 3.65 V a cell, 7.30 V for 2 in series: stop, lower the setting, check every cell before going on.
	// - Charge only from 0 °C to 45 °C, measured at the cells. A cell that froze is left to warm by itself, not by a flame, a heater or a dryer, before it is charged.
	// - Put a fuse at the pack, before the first wire: a short there is limited by nothing but the cells.
}
