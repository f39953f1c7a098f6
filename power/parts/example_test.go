package parts_test

import (
	"fmt"
	"strings"

	"github.com/stationphysics/stationphysics/power"
	"github.com/stationphysics/stationphysics/power/blocking"
	"github.com/stationphysics/stationphysics/power/parts"
)

// "A 1117" at 18 V: which one?
//
// Given: a panel of 12 V class, open at 18 V, straight into the regulator. Find:
// who survives (a recommendation of 0 is one the sheet does not give).
func ExampleLinears() {
	for _, p := range parts.Linears() {
		if !strings.Contains(p.Name, "1117") {
			continue
		}
		r, err := power.NewLinearRegulator(p.Spec)
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
func ExampleFindLinear() {
	for _, name := range []string{"LM1117I-5.0", "MCP1703-3.3"} {
		p, found := parts.FindLinear(name)
		if !found {
			fmt.Println("no such part")
			return
		}
		r, err := power.NewLinearRegulator(p.Spec)
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

// A family number is no part.
func ExampleFindLinear_family() {
	_, found := parts.FindLinear("1117")
	fmt.Println(found)
	// Output: false
}

// The drop of three neighbours at 0.25 A.
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
