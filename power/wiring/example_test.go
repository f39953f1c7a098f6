package wiring_test

import (
	"fmt"
	"math"

	"github.com/stationphysics/stationphysics/power/wiring"
)

// The drop of a cable.
//
// Given: 5 m of gauge 24 pair to a panel, 0.25 A.
// Find: the drop, on the bench and at 60 °C on a wall in the sun.
//
//	84.2 ohm/km · 10 m = 0.842 ohm;  0.25 A · 0.842 ohm = 0.21 V
//	at 60 °C · (1 + 0.00393·40) = 0.24 V
//
// The wrong way counts the 5 m once.
//
// Source: ASTM B258; IEC 60028 (copper).
func ExampleRun_DropV() {
	w, err := wiring.AWG(24)
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, c := range []float64{20, 60} {
		r := wiring.Run{Wire: w, LengthM: 5, TempC: c}
		fmt.Printf("%.0f °C: %.3f V, %.0f mW (counted once: %.3f V)\n", c, r.DropV(0.25), 1e3*r.LossW(0.25), r.DropV(0.25)/2)
	}
	// Output:
	// 20 °C: 0.211 V, 53 mW (counted once: 0.105 V)
	// 60 °C: 0.244 V, 61 mW (counted once: 0.122 V)
}

// The smallest flexible cable.
//
// Given: 12 m to the mast, 0.6 A, 0.3 V to spare, 50 °C.
// Find: the nominal area.
//
//	1.5 mm²: 13.3 ohm/km · 24 m · (1 + 0.00393·30) · 0.6 A = 0.21 V
//	1 mm²:   19.5 ohm/km gives 0.31 V, too much
//
// Source: IEC 60228:2004, table 3, class 5.
func ExampleSmallestIEC() {
	run := wiring.Run{LengthM: 12, TempC: 50}
	a := wiring.SmallestIEC(wiring.Flexible, run, 0.6, 0.3)
	w, err := wiring.IEC(a, wiring.Flexible)
	if err != nil {
		fmt.Println(err)
		return
	}
	run.Wire = w
	fmt.Printf("%g mm²: %.2f V\n", a, run.DropV(0.6))
	// Output: 1.5 mm²: 0.21 V
}

// A fuse for a warm box.
//
// Given: 1.5 A for good, the maker's 0.70 for continuous use and 0.95 for the
// temperature.
// Find: the rating.
//
//	1.5/(0.70·0.95) = 2.26 A: the next standard size is 2.5 A
//
// Source: Littelfuse, Fuse mounting accessories, p. 12, charts 1 and 2.
func ExampleNeededRatingA() {
	fmt.Printf("%.2f A\n", wiring.NeededRatingA(1.5, 0.70, 0.95))
	// Output: 2.26 A
}

// Does the clamp outlive the fuse?
//
// Given: a fuse of 1 A with 0.5 A²s, a supply that drives 20 A into a clamp of
// 13 V.
// Find: how long the clamp conducts and what it swallows.
//
//	t = 0.5/20² = 1.25 ms;  E = 13 V · 20 A · 1.25 ms = 0.33 J
//
// The wrong way fears the larger current: at 40 A it is half the energy. A
// supply that drives only 3 A leaves the clamp to burn; no formula applies
// there.
//
// Source: melting integral I²t of the fuse's sheet.
func ExampleFuse_ClampJ() {
	f, err := wiring.NewFuse(wiring.FuseSpec{RatedA: 1, ContinuousFrac: 0.75, MeltA2S: 0.5, RatedV: 32, BreakingA: 50})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, a := range []float64{20, 40, 3} {
		fmt.Printf("%2.0f A: %.2f ms, %.3f J\n", a, 1e3*f.MeltS(a), f.ClampJ(13, a))
	}
	// Output:
	// 20 A: 1.25 ms, 0.325 J
	// 40 A: 0.31 ms, 0.163 J
	//  3 A: NaN ms, NaN J
}

// A radio burst.
//
// Given: 2 A for 0.6 ms from a source that does not help, 0.4 V allowed, and a
// capacitor of 0.1 ohm.
// Find: the capacitance; without its resistance; and with a source of 0.5 ohm,
// every 4.6 ms.
//
//	C = I t/(dV - I R) = 2 A·0.6 ms/(0.4 V - 0.2 V) = 6 mF
//
// The wrong way forgets the capacitor's own resistance: 3 mF.
//
// Source: charge of a capacitor; Ohm's law.
func ExampleHoldUp_NeededFarad() {
	h := wiring.HoldUp{CapacitorFarad: 1e-3, EsrOhm: 0.1, SourceV: 4.5, SourceOhm: math.Inf(1), BurstA: 2, BurstS: 600e-6}
	fmt.Printf("%.1f mF\n", 1e3*h.NeededFarad(4.1))
	h.EsrOhm = 0
	fmt.Printf("%.1f mF if its own resistance is forgotten\n", 1e3*h.NeededFarad(4.1))
	h.EsrOhm, h.SourceOhm, h.PeriodS = 0.1, 0.5, 4.6e-3
	fmt.Printf("%.1f mF with the source's help\n", 1e3*h.NeededFarad(4.1))
	// Output:
	// 6.0 mF
	// 3.0 mF if its own resistance is forgotten
	// 3.5 mF with the source's help
}

// Plugging into a live supply.
//
// Given: 20 V through 1.8 m of gauge 24 pair (about 1 uH and 0.3 ohm) into 2.2
// uF of ceramic.
// Find: the peak, and the loop resistance that prevents it.
//
//	damping = R/2 √(C/L) = 0.15·√2.2 = 0.22
//	peak = 20 (1 + e^(-π·0.22/√(1 - 0.22²))) = 29.8 V; none from 2 √(L/C) = 1.35 ohm
//
// A measurement of just this case shows 35 V and 20 A: the ceramic capacitor
// loses capacitance as its voltage rises, so that it overshoots more than a
// linear one; with a third of it left 33.3 V. The wrong way: to allow for 20
// V.
//
// Source: step of a series resonant circuit; LT3503 data sheet, figure 10.
func ExampleHotPlug_PeakV() {
	h := wiring.HotPlug{SourceV: 20, LoopOhm: 0.3, LoopHenry: 1e-6, CapacitorFarad: 2.2e-6}
	fmt.Printf("damping %.2f: %.1f V, %.0f A; no overshoot from %.2f ohm\n", h.DampingRatio(), h.PeakV(), h.PeakA(), h.SeriesOhm())
	h.CapacitorFarad /= 3
	fmt.Printf("a third of the capacitance: %.1f V\n", h.PeakV())
	// Output:
	// damping 0.22: 29.8 V, 22 A; no overshoot from 1.35 ohm
	// a third of the capacitance: 33.3 V
}
