package sizing_test

import (
	"fmt"

	"github.com/stationphysics/stationphysics/battery"
	"github.com/stationphysics/stationphysics/battery/sizing"
)

func fourCells() *battery.Pack {
	cell, err := battery.TypicalCell(battery.LiFePO4, 2.4)
	if err != nil {
		panic(err)
	}
	p, err := battery.NewPack(cell, 4, 1)
	if err != nil {
		panic(err)
	}
	return p
}

// Days without sun.
//
// Given: four cells of 2.4 Ah, full, at -10 °C; a load of 9.5 Wh a day, later
// cut to 2.2 Wh.
// Find: how many days without sun.
//
//	usable 0.664 · 2.4 = 1.59 Ah · 13.2 V = 21.1 Wh; 21.1/9.5 = 2.2 days, 21.1/2.2 = 9.6 days
//
// The wrong way takes the label, 2.4 Ah times 12.8 V: 3.2 and 14.0 days.
//
// Source: usable share in the cold from the sheets of 10 to 20 Ah cells as a
// pack maker quotes them; mean voltage of the curve of package battery.
func ExampleAutonomy() {
	for _, loadWh := range []float64{9.5, 2.2} {
		a, err := sizing.Autonomy(sizing.Dark{Pack: fourCells(), StartSoC: 1, LoadWh: loadWh, TempC: -10, HealthFrac: 1})
		if err != nil {
			fmt.Println(err)
			return
		}
		fmt.Printf("%.2f Wh a day: %.2f Ah, %.1f Wh usable, %.1f days (label %.1f)\n", loadWh, a.UsableAh, a.UsableWh, a.Days, 2.4*12.8/loadWh)
	}
	// Output:
	// 9.50 Wh a day: 1.59 Ah, 21.1 Wh usable, 2.2 days (label 3.2)
	// 2.20 Wh a day: 1.59 Ah, 21.1 Wh usable, 9.6 days (label 14.0)
}

// The worksheet.
//
// Given: 1 Ah a day for five days, to 80 % depth, 70 % of the capacity in the
// cold, 95 % from pack to load, cells of 3.4 Ah.
// Find: the capacity to install.
//
//	1 · 5/(0.8 · 0.7 · 0.95) = 9.4 Ah: 3 · 3.4 = 10.2 Ah; a day takes 1/0.95/10.2 = 10 %
//
// Source: the form of IEEE 1013 and 1562, from memory.
func ExampleNeed_Work() {
	s, err := sizing.Need{LoadAh: 1, Days: 5, DepthFrac: 0.8, TempFrac: 0.7, Efficiency: 0.95, EndOfLifeFrac: 0.8, CellAh: 3.4}.Work()
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("required %.1f Ah: %d cells in parallel, %.1f Ah; %.0f %% a day, read the sheet at the %.0f h rate\n",
		s.RequiredAh, s.Parallel, s.InstalledAh, 100*s.DailyDepthFrac, s.RateH)
	// Output:
	// required 9.4 Ah: 3 cells in parallel, 10.2 Ah; 10 % a day, read the sheet at the 233 h rate
}

// Two laws of one name.
//
// Given: a lead-acid battery of 100 Ah in 20 h, 10 A, exponent 1.2.
// Find: how long it lasts.
//
//	rated form   20 h (100/(10 · 20))^1.2 = 8.71 h
//	other form   100/10^1.2               = 6.31 h
//
// The wrong way: to put the rated 100 Ah into the other form, whose capacity
// is that at 1 A: 28 % too short.
//
// Source: Peukert's law, as an electrical engineering article of 2010 works
// it.
func ExamplePeukertH() {
	fmt.Printf("rated %.2f h, the other %.2f h\n", sizing.PeukertH(100, 20, 10, 1.2), sizing.PeukertUnitH(100, 10, 1.2))
	fmt.Println(sizing.CheckPeukert(100, 20, 10, 12))
	// Output:
	// rated 8.71 h, the other 6.31 h
	// Peukert exponent 12 is outside 1..2
}

// A winter week with frozen cells (invented).
//
// Given: four hours of sun a day that offer 1.2 W, cells at -6 °C on three
// days of seven, at 3 °C on the others.
// Find: the hours in which charging would harm them, and what blocking it
// costs.
//
//	3 days · 4 h = 12 h; 12 h · 1.2 W = 14.4 Wh of 7 · 4 · 1.2 = 33.6 Wh, 43 %
//
// Source: no charge below 0 °C, sheet of a LiFePO4 pack of four, 3.6 Ah.
func ExampleColdHours() {
	var chargeW, cellC []float64
	for day := range 7 {
		for hour := range 24 {
			w := 0.0
			if hour >= 10 && hour < 14 {
				w = 1.2
			}
			c := 3.0
			if day < 3 {
				c = -6
			}
			chargeW, cellC = append(chargeW, w), append(cellC, c)
		}
	}
	s, err := sizing.ColdHours(battery.LiFePO4, 9.6, chargeW, cellC)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.0f h below %.0f °C, coldest %.0f °C; blocking costs %.1f of %.1f Wh (%.0f %%)\n",
		s.ColdH, s.WindowMinC, s.ColdestC, s.BlockedWh, s.OfferedWh, 100*s.CostFrac)
	// Output:
	// 12 h below 0 °C, coldest -6 °C; blocking costs 14.4 of 33.6 Wh (43 %)
}

// The fuse at the pack.
//
// Given: four cells of 2.4 Ah, 1.5 A of load, a wire for 5 A with 0.02 ohm,
// three quarters of a rating to be used, 45 °C.
// Find: the rating, and the current that it must break.
//
//	least 1.5/0.75 = 2.0 A, most 5 A: 2 A
//	short circuit 4 · Voc(1)/(R0 + 0.02 ohm) = 221 A
//
// Source: 75 % of the rating for continuous current, fuse makers' practice
// (from memory); R0 of typical cells.
func ExampleFuse() {
	f, err := sizing.Fuse(sizing.FuseCase{Pack: fourCells(), LoadA: 1.5, WireAmpsA: 5, WireOhm: 0.02, RatingsA: sizing.BladeRatingsA(), WarmestC: 45, DeratingFrac: 0.75})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.0f A, between %.1f and %.0f A; a short draws %.0f A\n", f.RatingA, f.LeastA, f.MostA, f.ShortA)
	// Output:
	// 2 A, between 2.0 and 5 A; a short draws 221 A
}

// The wrong way: a wire for 1.5 A under a load of 1.5 A.
//
// Given: the same pack with that wire.
// Find: a fuse that carries the load and protects the wire.
//
//	least 1.5/0.75 = 2.0 A, most 1.5 A: there is none
//
// Source: as above; a thicker wire is the answer, not a larger fuse.
func ExampleFuse_thinWire() {
	f, err := sizing.Fuse(sizing.FuseCase{Pack: fourCells(), LoadA: 1.5, WireAmpsA: 1.5, RatingsA: sizing.BladeRatingsA(), WarmestC: 45, DeratingFrac: 0.75})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println("rating found:", f.RatingA > 0)
	// Output:
	// rating found: false
}

// Capacity by rate and cold.
//
// Given: the same four cells at a twentieth and at three times their capacity
// per hour, down to 11.2 V; and that at 0 °C.
// Find: what they give.
//
//	V = 4 Voc(s) - I (R0 + R1): 7.2 A · 4 · 0.031 ohm = 0.9 V less than at rest
//
// Source: the circuit of package battery; 0.802 of the capacity at 0 °C from
// sheets of 10 to 20 Ah cells.
func ExampleDelivered() {
	for _, x := range []struct{ a, tempC float64 }{{0.12, 25}, {7.2, 25}, {7.2, 0}} {
		d, err := sizing.Delivered(fourCells(), 1, x.a, 11.2, x.tempC)
		if err != nil {
			fmt.Println(err)
			return
		}
		fmt.Printf("%.3f A at %2.0f °C: %.2f Ah in %.2f h\n", x.a, x.tempC, d.ChargeAh, d.TimeH)
	}
	// Output:
	// 0.120 A at 25 °C: 2.36 Ah in 19.65 h
	// 7.200 A at 25 °C: 2.30 Ah in 0.32 h
	// 7.200 A at  0 °C: 1.75 Ah in 0.24 h
}
