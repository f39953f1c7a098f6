package power_test

import (
	"fmt"

	"github.com/stationphysics/stationphysics/power"
)

// The heat in a linear regulator.
//
// Given: a 5 V part with 5 mA of own current, 10 V in, 30 ohm at the output.
// Find: the heat in the part.
//
//	I = 5 V/30 ohm = 0.1667 A
//	P = (Vin - Vout) I + Vin Iq = (10 - 5)·0.1667 + 10·0.005 = 0.833 + 0.050 = 0.883 W
//
// The wrong way takes the input voltage times the current, 1.67 W: that is
// what the source gives, half of it reaches the load.
//
// Source: Kirchhoff; worked so in the data sheets of TS2940, p. 4, and ROHM
// BD7xxL5FP-C, p. 13.
func ExampleLinear_AtOhm() {
	reg, err := power.NewLinear(power.LinearSpec{SetV: 5, DropoutV: 1.05, DropoutOhm: 0.2, QuiescentA: 0.005, MaxInputV: 20, CurrentLimitA: 0.8})
	if err != nil {
		fmt.Println(err)
		return
	}
	p := reg.AtOhm(10, 30)
	fmt.Printf("%v: %.3f V, %.4f A, heat %.3f W\n", p.State, p.OutputV, p.LoadA, p.DissipationW)
	fmt.Printf("the slip: %.2f W\n", p.InputV*p.LoadA)
	low := reg.AtOhm(5.5, 30)
	fmt.Printf("%v at 5.5 V in: %.3f V out, which is no fault\n", low.State, low.OutputV)
	// Output:
	// regulating: 5.000 V, 0.1667 A, heat 0.883 W
	// the slip: 1.67 W
	// dropout at 5.5 V in: 4.421 V out, which is no fault
}

// A bench table that gives only watts, closed backwards.
//
// Given: 13.5 V in, 30 ohm, 1.29 W in the part, its own current neglected.
// Find: the output, and what a shorted part would do to the load.
//
//	(13.5 - V)·V/30 = 1.29  =>  V = (13.5 - √(13.5² - 4·30·1.29))/2 = 4.13 V
//	13.5²/30 = 6.1 W
//
// Source: P = (Vin - Vout) I solved for Vout (common practice, no published
// source).
func ExampleOutputsAtDissipationV() {
	low, high := power.OutputsAtDissipationV(13.5, 30, 1.29)
	fmt.Printf("output %.2f V (or %.2f V, which a 5 V part does not give): it has sagged\n", low, high)
	reg, err := power.NewLinear(power.LinearSpec{SetV: 5, MaxInputV: 20, CurrentLimitA: 0.8})
	if err != nil {
		fmt.Println(err)
		return
	}
	short := reg.Shorted(13.5, 30, 0)
	fmt.Printf("%v: %.1f V and %.1f W into the load\n", short.State, short.OutputV, short.LoadW())
	// Output:
	// output 4.13 V (or 9.37 V, which a 5 V part does not give): it has sagged
	// pass element shorted: 13.5 V and 6.1 W into the load
}

// How much a regulator may carry in a warm box. The wrong way: to ask the
// bench at 21 °C, which promises a third more.
//
// Given: 12 V in, 5 V out, 125 °C rated, 46 °C in the box, 90 K/W from
// junction to air.
// Find: the heat allowed, the largest load and what the bench would have
// promised.
//
//	P = (125 - 46)/90 = 0.878 W;  I = (0.878 - 12·0.005)/(12 - 5) = 117 mA
//	at 21 °C: 1.156 W and 157 mA
//
// Source: Nisshinbo Micro Devices FAQ 029: P = (Tj,max - Ta)/θJA.
func ExampleLinear_LargestLoadA() {
	reg, err := power.NewLinear(power.LinearSpec{SetV: 5, DropoutV: 1.3, QuiescentA: 0.005, MaxInputV: 20, CurrentLimitA: 0.8, MaxJunctionC: 125})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, air := range []float64{46, 21} {
		w := reg.AllowedW(power.Cooling{AmbientC: air, ThetaKPerW: 90})
		fmt.Printf("%.0f °C: %.3f W, %.0f mA\n", air, w, 1000*reg.LargestLoadA(12, w))
	}
	// Output:
	// 46 °C: 0.878 W, 117 mA
	// 21 °C: 1.156 W, 157 mA
}

// A Schottky diode from its data sheet.
//
// Given: the 1N5819's largest forward voltages, 0.60 V at 1 A and 0.90 V at 3
// A (25 °C).
// Find: its drop at 0.25 A, warm and cold.
//
//	V = n kT/q ln(I/Is) + Rs I, n = 1.05, kT/q = 25.7 mV
//	Rs = (0.30 V - 27.0 mV ln 3)/2 A = 0.135 ohm
//	V(0.25 A) = 0.60 - 27.0 mV ln 4 - 0.135·0.75 = 0.461 V
//
// The wrong way takes the sheet's 0.60 V for every current.
//
// Source: Shockley's equation; points Taiwan Semiconductor 1N5817 - 1N5819.
func ExampleDiodeFromPoints() {
	d, err := power.DiodeFromPoints(power.Schottky, 25, power.ForwardPoint{VoltageV: 0.60, CurrentA: 1}, power.ForwardPoint{VoltageV: 0.90, CurrentA: 3})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, c := range []float64{-10, 25, 60} {
		fmt.Printf("%3.0f °C: %.3f V, %.0f mW\n", c, d.At(c).VoltageV(0.25), 250*d.At(c).VoltageV(0.25))
	}
	// Output:
	// -10 °C: 0.498 V, 124 mW
	//  25 °C: 0.461 V, 115 mW
	//  60 °C: 0.424 V, 106 mW
}

// Linear or switching for a load that sleeps?
//
// Given: a step-down converter of 100 uA idle current with its efficiency
// curve (invented), and a linear part of 2 uA, from 7.2 V.
// Find: from which load on the converter takes less, and what each takes for a
// sleeping load of 20 uA.
//
//	linear I + 2 uA; converter 100 uA + 5 V I/(7.2 V eff): equal at about 0.47 mA
//	asleep: 20 + 2 = 22 uA against 100 + some 16 uA
//
// The wrong way compares 91 % with 5/7.2 = 69 % and stops there.
//
// Source: conservation of energy; the curve at light load by its constant
// loss.
func ExampleBreakEvenA() {
	conv, err := power.NewConverter(power.ConverterSpec{OutputV: 5, MaxInputV: 24, HeadroomV: 0.3, QuiescentA: 100e-6, LimitA: 0.2, CurveInputV: 7.2, IdleIsSteady: true,
		Curve: []power.EfficiencyPoint{{LoadA: 1e-3, EfficiencyFrac: 0.78}, {LoadA: 0.1, EfficiencyFrac: 0.91}}})
	if err != nil {
		fmt.Println(err)
		return
	}
	lin, err := power.NewLinear(power.LinearSpec{SetV: 5, DropoutOhm: 2.5, QuiescentA: 2e-6, MaxInputV: 16, CurrentLimitA: 0.25})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("break-even at %.0f uA\n", 1e6*power.BreakEvenA(conv, lin, 7.2))
	fmt.Printf("asleep (20 uA): converter %.0f uA, linear %.0f uA\n", 1e6*conv.InputA(7.2, 20e-6), 1e6*lin.InputA(7.2, 20e-6))
	fmt.Printf("awake (80 mA): converter %.1f mA, linear %.1f mA\n", 1e3*conv.InputA(7.2, 80e-3), 1e3*lin.InputA(7.2, 80e-3))
	// Output:
	// break-even at 467 uA
	// asleep (20 uA): converter 116 uA, linear 22 uA
	// awake (80 mA): converter 61.1 mA, linear 80.0 mA
}

// The day of a load, at the rail and at the pack.
//
// Given: asleep at 20 uA, every ten minutes awake for 5 s at 40 mA, sending
// for 0.8 s at 250 mA, and one time in five a retry of 4 s.
// Find: mean, peak and day at the rail, and the energy from a 6.6 V pack
// through a converter of 1 mA idle current.
//
//	mean = 0.02 + (40·5 + 250·0.8 + 0.2·250·4)/600 = 1.02 mA
//	day  = 1.02 mA · 24 h · 5 V = 0.122 Wh
//
// The wrong way divides the rail's energy by one efficiency: at the pack the
// converter's idle current takes its share all night.
//
// Source: time average; efficiency at each current, not at one.
func ExampleLoad_SourceA() {
	load, err := power.NewLoad(power.LoadSpec{PeriodS: 600, AsleepA: 20e-6, Phases: []power.LoadPhase{
		{Name: "awake", CurrentA: 0.040, DurationS: 5, RepeatCount: 1},
		{Name: "send", CurrentA: 0.250, DurationS: 0.8, RepeatCount: 1},
		{Name: "retry", CurrentA: 0.250, DurationS: 4, RepeatCount: 0.2},
	}})
	if err != nil {
		fmt.Println(err)
		return
	}
	conv, err := power.NewConverter(power.ConverterSpec{OutputV: 5, MaxInputV: 24, QuiescentA: 1e-3, LimitA: 2, CurveInputV: 6.6, IdleIsSteady: true,
		Curve: []power.EfficiencyPoint{{LoadA: 1e-2, EfficiencyFrac: 0.80}, {LoadA: 1, EfficiencyFrac: 0.92}}})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("mean %.2f mA, peak %.0f mA, %.3f Wh a day at 5 V\n", 1e3*load.MeanA(), 1e3*load.PeakA(), load.PerDayWh(5))
	pack := load.SourceA(conv, 6.6, 0) * 6.6 * 24
	fmt.Printf("at the pack %.3f Wh; one efficiency of 92 %% would promise %.3f Wh\n", pack, load.PerDayWh(5)/0.92)
	// Output:
	// mean 1.02 mA, peak 250 mA, 0.122 Wh a day at 5 V
	// at the pack 0.292 Wh; one efficiency of 92 % would promise 0.133 Wh
}

// A hold voltage set on a cold bench. The wrong way: to set it to the label's
// best voltage, which a hot panel no longer has.
//
// Given: a charger that holds 17.5 V, the label's voltage of maximum power at
// 25 °C, and the panel at 65 °C, where its voltages are 14 % lower and its
// currents 2 % higher.
// Find: which share of the panel's power it still takes, and with 15.0 V
// instead.
//
//	C2 = (15.05/18.6 - 1)/ln(1 - 0.583/0.632) = 0.0746, C1 = 0.0775·e^(-10.84) = 1.5e-6
//	I(17.5) = 0.632 (1 - C1 (e^(17.5/(0.0746·18.6)) - 1)) = 0.345 A
//	17.5·0.345/(15.05·0.583) = 69 %
//
// Source: Rauschenbach, Solar Cell Array Design Handbook, 1980 (from memory).
func ExampleCharger_HeldFrac() {
	hot := power.PanelPoint{Vmp: 15.05, Imp: 0.583, Voc: 18.6, Isc: 0.632}
	label := power.PanelPoint{Vmp: 17.5, Imp: 0.5714, Voc: 21.6, Isc: 0.62}
	for _, hold := range []float64{17.5, 15.0} {
		c, err := power.NewCharger(power.ChargerSpec{HoldV: hold, SetV: 7, LimitA: 1, EfficiencyFrac: 0.88, MaxInputV: 28})
		if err != nil {
			fmt.Println(err)
			return
		}
		fmt.Printf("hold %.1f V: %3.0f %% of what the hot panel has, %3.0f %% at 25 °C\n", hold, 100*c.HeldFrac(hot), 100*c.HeldFrac(label))
	}
	// Output:
	// hold 17.5 V:  69 % of what the hot panel has, 100 % at 25 °C
	// hold 15.0 V: 100 % of what the hot panel has,  91 % at 25 °C
}
