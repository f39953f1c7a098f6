package thermal_test

import (
	"fmt"

	"github.com/stationphysics/stationphysics/thermal"
)

// The junction behind a tab.
//
// Given: a regulator dissipates 1.29 W, its tab reads 70 °C, and its sheet
// says 15 K/W from junction to tab.
// Find: the junction temperature.
//
//	Tj = Ttab + θJC·P = 70 + 15·1.29 = 89.35 °C
//
// The reading is of the tab, so θJC is right whether or not the board has
// settled.
//
// Source: JESD51-12 (what θ means).
func ExamplePath_JunctionFromCaseC() {
	p, err := thermal.NewBoardPath("FR4, 300 mm² of 35 µm copper", 81.2, 15)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.2f °C\n", p.JunctionFromCaseC(70, 1.29))
	// Output:
	// 89.35 °C
}

// The wrong way: adding θJA to a tab reading counts the board twice, adding
// θJC to the room temperature leaves it out.
//
// Given: the same part on a board of 81.2 K/W, the room at 21 °C.
// Find: both mistakes.
//
//	70 + 81.2·1.29 = 175 °C;  21 + 15·1.29 = 40 °C, instead of 89 °C
//
// Source: JESD51-12.
func ExamplePath_JunctionFromCaseC_wrongWay() {
	p, err := thermal.NewBoardPath("FR4, 300 mm² of 35 µm copper", 81.2, 15)
	if err != nil {
		fmt.Println(err)
		return
	}
	const tabC, roomC, powerW = 70, 21, 1.29
	fmt.Printf("tab and θJA:  %.0f °C, far too hot\n", p.JunctionC(tabC, powerW))
	fmt.Printf("room and θJC: %.0f °C, colder than the tab that it heats\n", p.JunctionFromCaseC(roomC, powerW))
	// Output:
	// tab and θJA:  175 °C, far too hot
	// room and θJC: 40 °C, colder than the tab that it heats
}

// The power that a board permits.
//
// Given: 150 °C limit, 62.5 K/W.
// Find: the permitted power at 25 and 85 °C.
//
//	P = (Tj,max - Ta)/θJA = 125/62.5 = 2 W, 65/62.5 = 1.04 W
//
// Source: Nisshinbo Micro Devices FAQ 029.
func ExamplePath_MaxPowerW() {
	p, err := thermal.NewBoardPath("board of the data sheet", 62.5, 0)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.2f W at 25 °C, %.2f W at 85 °C\n", p.MaxPowerW(150, 25), p.MaxPowerW(150, 85))
	// Output:
	// 2.00 W at 25 °C, 1.04 W at 85 °C
}

// The heat sink that is needed.
//
// Given: 6 W, junction limit 125 °C, air 44 °C, θJC 5 K/W, grease 1 K/W.
// Find: the heat sink; and for 14 W.
//
//	θSA = (125 - 44)/6 - 5 - 1 = 7.5 K/W;  81/14 - 6 < 0: none
//
// Source: TI, LM340-N, p. 12: θSA = (Tj,max - Ta)/P - θJC - θCS.
func ExamplePath_SinkKPerW() {
	p, err := thermal.NewPath(5, 1, 0)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.1f K/W or better\n", p.SinkKPerW(125, 44, 6))
	fmt.Println("at 14 W:", p.SinkKPerW(125, 44, 14))
	// Output:
	// 7.5 K/W or better
	// at 14 W: NaN
}

// How much copper helps a SOT-223, and how far the sheets are apart.
//
// Given: 8 to 600 mm² of copper at the tab.
// Find: θJA.
//
//	between the points of two sheets: 136 K/W without copper, 77 to 81 K/W with 300 mm²
//
// The wrong way: an area in square inches, 0.5, is refused with what it looks
// like.
//
// Source: National Semiconductor LM1117 SNOS412, table 1; Infineon, package
// SOT223-4-2.
func ExampleEstimateCopper() {
	for _, mm2 := range []float64{8, 100, 300, 600} {
		e, err := thermal.EstimateCopper("SOT-223", mm2)
		if err != nil {
			fmt.Println(err)
			continue
		}
		fmt.Printf("%3.0f mm²: %.0f to %.0f K/W from %d sheets\n", mm2, e.LowKPerW, e.HighKPerW, len(e.Sheets))
	}
	_, err := thermal.EstimateCopper("SOT-223", 0.5)
	fmt.Println(err)
	// Output:
	//   8 mm²: 136 to 164 K/W from 2 sheets
	// 100 mm²: 101 to 106 K/W from 2 sheets
	// 300 mm²: 77 to 81 K/W from 2 sheets
	// 600 mm²: 67 to 68 K/W from 2 sheets
	// copper area 0.5 mm² is outside 7.935468..645.16 mm²: square inches?
}

// A box in the sun. The wrong way: to ask for its colour last.
//
// Given: the same board and power in grey (absorptance 0.6) and in white
// (0.26), July noon: 33 °C, 950 W/m², 0.5 m/s.
// Find: the air inside.
//
//	wall: α G A + P = (h + hr) A' (Tw - Ta), inside P/(6.9 W/(m²K) · A') more
//	grey 0.6·950·0.05 + 0.3 = 28.8 W, white 12.7 W: 8.5 and 3.9 K
//
// Source: balance of energy; convection Churchill and Chu 1975 and McAdams
// 1954.
func ExampleSealedBox() {
	spec := thermal.SealedBoxSpec{
		Absorptance: 0.6, Emissivity: 0.9,
		SurfaceAreaM2: 0.2, SunlitAreaM2: 0.05,
		WallWPerM2K: 6.9,
	}
	noon := thermal.BoxConditions{AirC: 33, SunWPerM2: 950, WindMPerS: 0.5, DissipationW: 0.3}
	for _, paint := range []struct {
		name        string
		absorptance float64
	}{{"grey", 0.6}, {"white", 0.26}} {
		spec.Absorptance = paint.absorptance
		b, err := thermal.NewSealedBox(spec)
		if err != nil {
			fmt.Println(err)
			return
		}
		fmt.Printf("%s: %.1f °C inside, %.1f K above the air\n", paint.name, b.InnerC(noon), b.RiseK(noon))
	}
	// Output:
	// grey: 41.5 °C inside, 8.5 K above the air
	// white: 36.9 °C inside, 3.9 K above the air
}

// How long a hand may rest on a heat sink, and on a plastic box. The wrong
// way: one limit for all surfaces.
//
// Given: contacts of 1, 10 and 60 s.
// Find: the temperature at which skin burns.
//
//	bare metal 65, 57, 51 °C; plastic 85, 71, 60 °C, which conducts less into the skin
//
// Source: ISO 13732-1:2006 (from memory).
func ExampleBurnThresholdC() {
	for _, s := range []float64{1, 10, 60} {
		fmt.Printf("%2.0f s: metal %.0f °C, plastic %.0f °C\n", s,
			thermal.BurnThresholdC(thermal.BareMetal, s), thermal.BurnThresholdC(thermal.Plastic, s))
	}
	// Output:
	//  1 s: metal 65 °C, plastic 85 °C
	// 10 s: metal 57 °C, plastic 71 °C
	// 60 s: metal 51 °C, plastic 60 °C
}

// A shield's error is a band with a reason. The wrong way: to take it off the
// reading.
//
// Given: 850 W/m² and 0.3 m/s.
// Find: how far above the air a thermometer in a shield without a fan may
// read.
//
//	midday sun and almost no wind: +2.0 to +4.0 K
//
// Source: Trans. ASAE 2001, radiation loading model (abstract).
func ExampleShieldErrorBand() {
	b := thermal.ShieldErrorBand(850, 0.3)
	fmt.Printf("%+.1f to %+.1f K: %s\n", b.LowK, b.HighK, b.Reason)
	// Output:
	// +2.0 to +4.0 K: midday sun and almost no wind: radiation loading model, Trans. ASAE 2001
}

// A plate as a heat sink.
//
// Given: 6 W from a part with 5 K/W to its tab and 1 K/W of grease, air 44 °C,
// junction limit 125 °C, so that 7.5 K/W are needed.
// Find: an upright anodised plate of 100 mm height that does it.
//
//	R = 1/((h + hr) A), h of a vertical plate, hr = 4 ε σ T³, both sides
//	100 x 50 mm: A = 0.01 m², (h + hr) about 13.7 W/(m²K): 7.3 K/W
//
// Source: Churchill and Chu 1975, Int. J. Heat Mass Transfer 18:1323.
func ExamplePlateSinkKPerW() {
	for _, widthM := range []float64{0.05, 0.06, 0.10} {
		k := thermal.PlateSinkKPerW(thermal.PlateSink{HeightM: 0.1, WidthM: widthM, BothSides: true, Emissivity: 0.85, AirC: 44, PowerW: 6})
		fmt.Printf("100 x %3.0f mm: %.1f K/W\n", widthM*1000, k)
	}
	// Output:
	// 100 x  50 mm: 7.3 K/W
	// 100 x  60 mm: 6.3 K/W
	// 100 x 100 mm: 4.1 K/W
}
