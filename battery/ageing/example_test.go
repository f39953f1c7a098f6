package ageing_test

import (
	"fmt"
	"math"

	"github.com/stationphysics/stationphysics/battery/ageing"
)

// The worked example of ASTM E1049-85: -2 1 -3 5 -1 3 -4 4 -2.
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

// A station draws 10 % each night for a year. The wrong way is to call that 365
// cycles of a cell that lasts 2000: they are 36 full ones.
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

// A thousand full cycles at half the capacity per hour, cool and hot.
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

// Five years on the shelf: half full in a cellar, and full in a hot box.
func ExampleCalendarLossPct() {
	fmt.Printf("12 °C, half full: %.1f %%\n", ageing.CalendarLossPct(5, 12, 0.5))
	fmt.Printf("40 °C, full: %.1f %%\n", ageing.CalendarLossPct(5, 40, 1))
	// Output:
	// 12 °C, half full: 6.9 %
	// 40 °C, full: 21.1 %
}

// A year of a station: 1.5 Ah, 60 mAh drawn each night, cells from -3 to 27 °C.
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
	calendar, cycle, _ := t.LossPct(5)
	fmt.Printf("%.0f full cycles a year; after 5 years %.1f %% by age and %.1f %% by cycles\n", t.FullCycles(), calendar, cycle)
	fmt.Printf("80 %% after %.0f years; %.0f h a year lay outside what was tested\n", t.YearsTo(20), t.OutsideH())
	// Output:
	// 15 full cycles a year; after 5 years 10.0 % by age and 1.2 % by cycles
	// 80 % after 16 years; 3363 h a year lay outside what was tested
}

// Counting a stream: nothing is kept but the open reversals.
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
