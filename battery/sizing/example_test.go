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

// Four cells of 2.4 Ah, full, -10 °C: how many days without sun, before and after
// the load is cut from 9.5 to 2.2 Wh a day? The wrong way takes the label, 2.4 Ah
// times 12.8 V.
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

// 1 Ah a day for five days, to 80 % depth, 70 % of the capacity in the cold and
// 95 % from pack to load: 1 · 5/(0.8 · 0.7 · 0.95) = 9.4 Ah.
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

// Two laws of one name for 100 Ah and 10 A: the rated form knows that the 100 Ah
// are given in 20 h, the other takes them as given at 1 A.
func ExamplePeukertH() {
	fmt.Printf("rated %.2f h, the other %.2f h\n", sizing.PeukertH(100, 20, 10, 1.2), sizing.PeukertUnitH(100, 10, 1.2))
	fmt.Println(sizing.CheckPeukert(100, 20, 10, 12))
	// Output:
	// rated 8.71 h, the other 6.31 h
	// Peukert exponent 12 is outside 1..2
}

// A winter week (invented): four hours of sun a day that offer 1.2 W, cells frozen on three days.
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

// The fuse of a pack of four cells: 1.5 A of load, a wire for 5 A.
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

// The same with a wire for 1.5 A: no fuse both carries the load and protects it.
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

// The same four cells at a twentieth and at three times their capacity per hour,
// down to 11.2 V.
func ExampleDelivered() {
	for _, x := range []struct{ a, tempC float64 }{{0.12, 25}, {7.2, 25}, {7.2, 0}} {
		ah, h, err := sizing.Delivered(fourCells(), 1, x.a, 11.2, x.tempC)
		if err != nil {
			fmt.Println(err)
			return
		}
		fmt.Printf("%.3f A at %2.0f °C: %.2f Ah in %.2f h\n", x.a, x.tempC, ah, h)
	}
	// Output:
	// 0.120 A at 25 °C: 2.36 Ah in 19.65 h
	// 7.200 A at 25 °C: 2.30 Ah in 0.32 h
	// 7.200 A at  0 °C: 1.75 Ah in 0.24 h
}
