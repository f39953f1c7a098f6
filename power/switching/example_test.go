package switching_test

import (
	"fmt"

	"github.com/stationphysics/stationphysics/power"
	"github.com/stationphysics/stationphysics/power/switching"
)

// module is an invented step-down stage of the kind that is sold on a board.
func module(light switching.LightLoad) switching.Stage {
	g, err := switching.New(switching.Spec{OutputV: 5, FrequencyHz: 500e3, InductanceHenry: 22e-6, CoilOhm: 0.1, SwitchOhm: 0.15, RectifierOhm: 0.1, EdgesS: 20e-9,
		GateCoulomb: 3e-9, GateV: 5, QuiescentA: 100e-6, LightLoad: light, MaxDutyFrac: 0.95, CurrentLimitA: 3, MaxInputV: 28, LeastInputV: 4.5})
	if err != nil {
		panic(err)
	}
	return g
}

// Duty, ripple and losses of a step-down stage.
//
// Given: 12 V to 5 V at 0.5 A, 500 kHz, 22 uH, 0.15 and 0.1 ohm switches, 0.1
// ohm winding.
// Find: how it works and where the heat arises.
//
//	D = (5 + 0.5·(0.1 + 0.1))/(12 - 0.5·(0.15 - 0.1)) = 0.426
//	ripple = (12 - 5 - 0.5·0.25)·0.426/(22 uH·500 kHz) = 0.266 A
//	switch: (0.5² + 0.266²/12)·0.15·0.426 = 16 mW; edges: 12·0.5·20 ns·500 kHz/2 = 30 mW
//
// Source: Erickson and Maksimovic, Fundamentals of Power Electronics (from
// memory); TI SLVA477B.
func ExampleStage_At() {
	o, ok := module(switching.Forced).At(12, 0.5)
	fmt.Println(ok)
	fmt.Printf("duty %.3f, ripple %.3f A, peak %.3f A\n", o.DutyFrac, o.RippleA, o.PeakA)
	fmt.Printf("switch %.0f, rectifier %.0f, winding %.0f, edges %.0f, gates %.1f, controller %.1f mW: %.1f %%\n",
		1e3*o.ConductionW, 1e3*o.RectifierW, 1e3*o.CoilW, 1e3*o.EdgeW, 1e3*o.GateW, 1e3*o.ControllerW, 100*o.EfficiencyFrac())
	// Output:
	// true
	// duty 0.426, ripple 0.266 A, peak 0.633 A
	// switch 16, rectifier 15, winding 26, edges 30, gates 7.5, controller 1.2 mW: 96.3 %
}

// The same stage at 1 mA, three habits.
//
// Given: 12 V to 5 V at 1 mA.
// Find: what it takes.
//
//	5 mW for the load; forced: ripple, edges and gates go on at 500 kHz, some 10 mW
//	skipping: the rate falls to 3.8 kHz, and with it all that a cycle costs
//
// The wrong way uses the 96 % of half an ampere: 5.2 mW.
//
// Source: Erickson and Maksimovic (from memory); losses of a cycle times its
// rate.
func ExampleLightLoad() {
	for _, c := range []struct {
		name  string
		light switching.LightLoad
	}{{"forced", switching.Forced}, {"discontinuous", switching.Discontinuous}, {"skipping", switching.Skipping}} {
		o, _ := module(c.light).At(12, 1e-3)
		fmt.Printf("%s: %.2f mW for 5 mW, %.0f %%, %.1f kHz\n", c.name, 1e3*(o.LoadW+o.LossW()), 100*o.EfficiencyFrac(), o.RateHz/1e3)
	}
	// Output:
	// forced: 15.05 mW for 5 mW, 33 %, 500.0 kHz
	// discontinuous: 14.39 mW for 5 mW, 35 %, 500.0 kHz
	// skipping: 6.36 mW for 5 mW, 79 %, 3.8 kHz
}

// An inductance for a ripple.
//
// Given: 12 V to 5 V at 500 kHz, 0.6 A of ripple wanted.
// Find: the inductance.
//
//	L = Vout (Vin - Vout)/(ripple f Vin) = 5·(12 - 5)/(0.6·500 kHz·12) = 9.72 uH
//
// Source: TI SLVA477B.
func ExampleStage_NeededHenry() {
	fmt.Printf("%.2f uH\n", 1e6*module(switching.Forced).NeededHenry(12, 0.6))
	// Output: 9.72 uH
}

// How low may the pack fall? The wrong way: to 5.0 V, the output itself.
//
// Given: a largest duty of 95 %, 1 A and 10 mA.
// Find: the least input.
//
//	Vin = (Vout + I·0.1 + 0.05·I·0.1)/0.95 + I·0.15
//	    = 5.105/0.95 + 0.15 = 5.52 V at 1 A; 5/0.95 = 5.26 V and its ripple at 10 mA
//
// The drops count at the current of the peak, not at the mean.
//
// Source: volt-second balance, Erickson and Maksimovic (from memory).
func ExampleStage_LeastInputV() {
	g := module(switching.Forced)
	fmt.Printf("%.2f V at 1 A, %.2f V at 10 mA\n", g.LeastInputV(1), g.LeastInputV(0.01))
	// Output: 5.52 V at 1 A, 5.27 V at 10 mA
}

// An efficiency curve for the rest of the calculation.
//
// Given: the stage that skips, from 7.2 V.
// Find: its efficiency at four loads, and what a sleeping load of 20 uA takes.
//
//	20 uA: 100 uA of the controller + 20 uA·5/7.2 = 114 uA
//
// Source: the losses of ExampleStage_At at each load.
func ExampleStage_Converter() {
	spec, err := module(switching.Skipping).Converter(7.2, 1e-3, 1e-2, 1e-1, 1)
	if err != nil {
		fmt.Println(err)
		return
	}
	c, err := power.NewConverter(spec)
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, p := range spec.Curve {
		fmt.Printf("%5.0f mA: %.0f %%\n", 1e3*p.LoadA, 100*p.EfficiencyFrac)
	}
	fmt.Printf("20 uA: %.0f uA from 7.2 V\n", 1e6*c.InputA(7.2, 20e-6))
	// Output:
	//     1 mA: 85 %
	//    10 mA: 95 %
	//   100 mA: 97 %
	//  1000 mA: 95 %
	// 20 uA: 114 uA from 7.2 V
}

// A step-up stage, and its end.
//
// Given: 5 V from one lithium cell, a diode of 0.35 V, 0.3 A.
// Find: the coil's current, which is what the switch, the winding and the cell
// carry.
//
//	I = Iout/(1 - D), 1 - D = (Vin - I·Rs)/(Vout + Vd): 3.6 V: 0.3·5.35/3.55 = 0.45 A
//	1.0 V: 2.4 A, beyond the current limit
//
// The wrong way sizes the inductor for the 0.3 A of the output.
//
// Source: volt-second balance, Erickson and Maksimovic (from memory).
func ExampleStage_At_stepUp() {
	g, err := switching.New(switching.Spec{OutputV: 5, StepUp: true, FrequencyHz: 500e3, InductanceHenry: 10e-6, CoilOhm: 0.05, SwitchOhm: 0.1, RectifierV: 0.35,
		EdgesS: 20e-9, QuiescentA: 50e-6, MaxDutyFrac: 0.9, CurrentLimitA: 1, MaxInputV: 5.5, LeastInputV: 0.9})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, v := range []float64{3.6, 3.0, 2.0, 1.0} {
		o, ok := g.At(v, 0.3)
		fmt.Printf("%.1f V: coil %.2f A, peak %.2f A, %.0f %%, possible %v, within limits %v\n", v, o.CoilA, o.PeakA, 100*o.EfficiencyFrac(), ok, o.WithinLimits)
	}
	// Output:
	// 3.6 V: coil 0.45 A, peak 0.57 A, 92 %, possible true, within limits true
	// 3.0 V: coil 0.54 A, peak 0.68 A, 91 %, possible true, within limits true
	// 2.0 V: coil 0.84 A, peak 0.96 A, 88 %, possible true, within limits true
	// 1.0 V: coil 2.39 A, peak 2.45 A, 61 %, possible true, within limits false
}
