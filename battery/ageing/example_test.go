package ageing_test

import (
	"fmt"
	"math"

	"github.com/stationphysics/stationphysics/battery/ageing"
)

// Cycles out of a history.
//
// Given: the history -2 1 -3 5 -1 3 -4 4 -2.
// Find: its cycles, whole ones and halves.
//
//	-1 to 3 lies within 5 to -4: one whole cycle of range 4, mean (3 - 1)/2 = 1;
//	what remains, -2 1 -3 5 -4 4 -2, counts as six halves of range 3 4 8 9 8 6
//
// Source: ASTM E1049-85, 5.4.4 and its worked example.
func ExampleRainflow() {
	for _, c := range ageing.Rainflow(nil, []float64{-2, 1, -3, 5, -1, 3, -4, 4, -2}) {
		fmt.Printf("range %.0f, mean %4.1f: %.1f\n", c.RangeSoC, c.MeanSoC, c.Count)
	}
	// Output:
	// range 3, mean -0.5: 0.5
	// range 4, mean -1.0: 0.5
	// range 4, mean  1.0: 1.0
	// range 8, mean  1.0: 0.5
	// range 9, mean  0.5: 0.5
	// range 8, mean  0.0: 0.5
	// range 6, mean  1.0: 0.5
}

// What a night takes from a cell's life.
//
// Given: 10 % drawn each night for a year, from a cell whose sheet promises
// 2000 full cycles.
// Find: the share of that life.
//
//	365 · 0.10/2000 = 1.8 %
//
// The wrong way: to call each night a cycle, 365/2000 = 18 %.
//
// Source: linear damage after Palmgren and Miner, depth with the exponent 1.
func ExampleShare() {
	var soc []float64
	for range 365 {
		soc = append(soc, 0.95, 0.85)
	}
	soc = append(soc, 0.95)
	cycles := ageing.Rainflow(nil, soc)
	fmt.Printf("used up by throughput: %.1f %%\n", 100*ageing.Share(cycles, 2000, 1))
	fmt.Printf("counted as full cycles: %.0f %%\n", 100*365/2000.0)
	// Output:
	// used up by throughput: 1.8 %
	// counted as full cycles: 18 %
}

// The loss by cycles, cool and hot.
//
// Given: a thousand full cycles at half the capacity per hour, at 15, 25, 45
// and 0 °C.
// Find: the loss of capacity.
//
//	Q = B exp((-31700 + 370.3 C)/(R T)) Ah^0.55, B = 31630 at C = 0.5, Ah = 1000 · 2.2
//	25 °C: 31630 · exp(-31515/(8.314 · 298.15)) · 2200^0.55 = 0.0952 · 68.9 = 6.6 %
//
// At 0 °C nobody measured: NaN, and the reason.
//
// Source: Wang et al., J. Power Sources 196 (2011) 3942, eq. 5 (factors from
// memory).
func ExampleCycleLossPct() {
	for _, tempC := range []float64{15, 25, 45} {
		fmt.Printf("%.0f °C: %.1f %%\n", tempC, ageing.CycleLossPct(1000, tempC, 0.5))
	}
	fmt.Println(ageing.CycleLossPct(1000, 0, 0.5), ageing.CheckCycle(1000, 0, 0.5))
	// Output:
	// 15 °C: 4.2 %
	// 25 °C: 6.6 %
	// 45 °C: 14.6 %
	// NaN cell temperature of the cycle model 0 °C is outside 15..60 °C
}

// The loss by age alone. The wrong way: to store cells full and warm, so that
// they are "ready"; half full in a cellar they lose a third of it.
//
// Given: five years at 12 °C, half full; and at 40 °C, full.
// Find: the loss of capacity.
//
//	Q = k exp(-Ea/R (1/T - 1/298.15)) (c (s - 0.5)³ + d) √t
//	12 °C: 9.17e-6 · 0.60225 · √(5 · 3.156e7 s) = 6.9 %
//
// Source: Naumann et al., J. Energy Storage 17 (2018) 153.
func ExampleCalendarLossPct() {
	fmt.Printf("12 °C, half full: %.1f %%\n", ageing.CalendarLossPct(5, 12, 0.5))
	fmt.Printf("40 °C, full: %.1f %%\n", ageing.CalendarLossPct(5, 40, 1))
	// Output:
	// 12 °C, half full: 6.9 %
	// 40 °C, full: 21.1 %
}

// A year of a station.
//
// Given: 1.5 Ah, 60 mAh drawn each night, cells from -3 to 27 °C over the
// year.
// Find: full cycles, the loss after five years, and the years to 80 %.
//
//	0.005 A · 12 h · 365.25/1.5 Ah = 15 full cycles a year (14.6)
//
// Source: Naumann et al. 2018 and Wang et al. 2011, added up hour by hour;
// what lay outside their temperatures is counted beside.
func ExampleTally() {
	t, err := ageing.NewTally(1.5)
	if err != nil {
		fmt.Println(err)
		return
	}
	for h := range 8766 {
		day := float64(h) / 24
		current, soc := -0.005, 0.90
		if h%24 >= 8 && h%24 < 20 {
			current, soc = 0.005, 0.94
		}
		t.Add(soc, 12-15*math.Cos(2*math.Pi*day/365.25), current, 3600)
	}
	l := t.Loss(5)
	fmt.Printf("%.0f full cycles a year; after 5 years %.1f %% by age and %.1f %% by cycles\n", t.FullCycles(), l.CalendarPct, l.CyclePct)
	fmt.Printf("80 %% after %.0f years; %.0f h a year lay outside what was tested\n", t.YearsTo(20), t.OutsideH())
	// Output:
	// 15 full cycles a year; after 5 years 10.0 % by age and 1.2 % by cycles
	// 80 % after 16 years; 3363 h a year lay outside what was tested
}

// Counting a stream: nothing is kept but the open reversals.
//
// Given: readings 0.9 0.7 0.8 0.3 0.95 0.9.
// Find: the deepest cycle.
//
//	0.95 - 0.30 = 0.65
//
// Source: ASTM E1049-85, 5.4.4.
func ExampleCounter() {
	deepest := 0.0
	c := ageing.Counter{OnCycle: func(x ageing.Cycle) { deepest = math.Max(deepest, x.RangeSoC) }}
	for _, soc := range []float64{0.9, 0.7, 0.8, 0.3, 0.95, 0.9} {
		c.Add(soc)
	}
	c.Flush()
	fmt.Printf("deepest cycle %.2f\n", deepest)
	// Output:
	// deepest cycle 0.65
}
