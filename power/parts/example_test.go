package parts_test

import (
	"errors"
	"fmt"
	"strings"

	"github.com/stationphysics/stationphysics"
	"github.com/stationphysics/stationphysics/power"
	"github.com/stationphysics/stationphysics/power/blocking"
	"github.com/stationphysics/stationphysics/power/parts"
)

// "A 1117" at 18 V: which one?
//
// Given: a panel of 12 V class, open at 18 V, straight into the regulator.
// Find: who survives (a recommendation of 0 is one the sheet does not give).
//
//	18 V <= 20 V for two of six; 18 V > 15 V for three, 18 V > 7 V for one
//
// Source: the sheets that the entries name.
func ExampleLinears() {
	for _, p := range parts.Linears() {
		if !strings.Contains(p.Name, "1117") {
			continue
		}
		r, err := power.NewLinear(p.Spec)
		if err != nil {
			fmt.Println(err)
			return
		}
		fmt.Printf("%s (%s): at most %g V, recommended %g: %v\n", p.Name, p.Maker, p.Spec.MaxInputV, p.OperatingV, r.At(18, 0.05).State)
	}
	// Output:
	// LM1117I-5.0 (National Semiconductor): at most 20 V, recommended 15: regulating
	// NCP1117-5.0 (onsemi): at most 20 V, recommended 20: regulating
	// TS1117B-5.0 (Taiwan Semiconductor): at most 15 V, recommended 12: over maximum
	// AMS1117-5.0 (Advanced Monolithic Systems): at most 15 V, recommended 0: over maximum
	// REG1117-5 (Texas Instruments): at most 15 V, recommended 0: over maximum
	// LM1117T-5.0 (HTC): at most 7 V, recommended 0: over maximum
}

// From which pack voltage on does a part regulate?
//
// Given: two regulators, 100 mA.
// Find: the least input.
//
//	V = Vset + Vdropout: 5.0 + 1.30 = 6.30 V; 3.3 + 0.1·2.5 = 3.55 V
//
// Source: LM1117/LM1117I electrical table; MCP1703 DS22049F, p. 3 (dropout
// from memory).
func ExampleFindLinear() {
	for _, name := range []string{"LM1117I-5.0", "MCP1703-3.3"} {
		p, err := parts.FindLinear(name)
		if err != nil {
			fmt.Println(err)
			return
		}
		r, err := power.NewLinear(p.Spec)
		if err != nil {
			fmt.Println(err)
			return
		}
		fmt.Printf("%s: %.2f V at 100 mA, own current %g mA; %s\n", p.Name, p.Spec.SetV+r.DropoutV(0.1), 1e3*p.Spec.QuiescentA, p.Sheet)
	}
	// Output:
	// LM1117I-5.0: 6.30 V at 100 mA, own current 15 mA; LM1117/LM1117I, electrical table; maximum input from memory
	// MCP1703-3.3: 3.55 V at 100 mA, own current 0.005 mA; MCP1703 DS22049F, p. 3; dropout (625 mV typical at 250 mA) from memory
}

// The wrong way: a family number for a part. Nothing is found, for the parts
// under it stand 7 to 20 V.
//
// Given: "1117" on the package.
// Find: its sheet.
//
// Source: six makers' sheets, see ExampleLinears.
func ExampleFindLinear_family() {
	_, err := parts.FindLinear("1117")
	var ne *stationphysics.NameError
	fmt.Println(errors.As(err, &ne), ne.Name, "is none of", len(ne.Known), "parts")
	// Output: true 1117 is none of 10 parts
}

// The drop of three neighbours at 0.25 A.
//
// Given: the two forward points of each sheet.
// Find: the largest drop at 0.25 A, 25 °C.
//
//	1N5819: V = 0.60 - 27.0 mV ln 4 - 0.135 ohm·0.75 A = 0.46 V
//
// The drop grows with the reverse voltage that a part stands.
//
// Source: Taiwan Semiconductor 1N5817 - 1N5819; Shockley's equation.
func ExampleDiode_New() {
	for _, name := range []string{"1N5817", "1N5818", "1N5819"} {
		p, _ := parts.FindDiode(name)
		d, err := p.New()
		if err != nil {
			fmt.Println(err)
			return
		}
		fmt.Printf("%s: %g V class, at most %.2f V\n", p.Name, p.ReverseV, d.VoltageV(0.25))
	}
	// Output:
	// 1N5817: 20 V class, at most 0.31 V
	// 1N5818: 30 V class, at most 0.40 V
	// 1N5819: 40 V class, at most 0.46 V
}

// One part number, two makers' leakage at 60 °C.
//
// Given: the leakage points of both sheets.
// Find: the largest leakage at 60 °C.
//
//	1 mA · e^(2733 (1/298.15 - 1/333.15)) = 2.6 mA; the other 3.3 mA
//
// Source: Taiwan Semiconductor and RFE International, 1N5819; straight line of
// ln I against 1/T.
func ExampleDiodes() {
	for _, name := range []string{"1N5819", "1N5819 (RFE)"} {
		p, _ := parts.FindDiode(name)
		l, err := blocking.NewLeakage(p.Leakage...)
		if err != nil {
			fmt.Println(err)
			return
		}
		fmt.Printf("%s: at most %.1f mA\n", p.Maker, 1e3*l.CurrentA(60))
	}
	// Output:
	// Taiwan Semiconductor: at most 2.6 mA
	// RFE International: at most 3.3 mA
}

// What a sheet does not say stays open.
//
// Given: leakage points at 25 and 125 °C.
// Find: the leakage at 140 °C.
//
//	140 °C > 125 °C: NaN, no number is made up beyond the last point
//
// Source: Taiwan Semiconductor 1N5817 - 1N5819.
func ExampleFindDiode() {
	p, _ := parts.FindDiode("1N5819")
	l, err := blocking.NewLeakage(p.Leakage...)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(l.CurrentA(140))
	// Output: NaN
}

// What a regulator takes for itself in a dark day.
//
// Given: two regulators that feed the same sleeping board day and night.
// Find: the charge that their own current takes from the pack.
//
//	15 mA · 24 h = 360 mAh;  5 uA · 24 h = 0.12 mAh
//
// The wrong way looks at the load alone, which may sleep at 20 uA.
//
// Source: LM1117/LM1117I electrical table; MCP1703 DS22049F, p. 3.
func ExampleFindLinear_idle() {
	for _, name := range []string{"LM1117I-5.0", "MCP1703-3.3"} {
		p, _ := parts.FindLinear(name)
		fmt.Printf("%s: %.4g mAh a day\n", p.Name, 24e3*p.Spec.QuiescentA)
	}
	// Output:
	// LM1117I-5.0: 360 mAh a day
	// MCP1703-3.3: 0.12 mAh a day
}
