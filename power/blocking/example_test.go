package blocking_test

import (
	"fmt"

	"github.com/stationphysics/stationphysics/power"
	"github.com/stationphysics/stationphysics/power/blocking"
)

func schottky() power.Diode {
	d, err := power.DiodeFromPoints(power.Schottky, 25, power.ForwardPoint{VoltageV: 0.60, CurrentA: 1}, power.ForwardPoint{VoltageV: 0.90, CurrentA: 3})
	if err != nil {
		panic(err)
	}
	return d
}

// The same diode in two places.
//
// Given: 4 W for five hours a day, a 1N5819 either in the panel's lead (18 V)
// or behind the charger (7 V).
// Find: which share of the harvest it takes.
//
//	0.22 A at 18 V: 0.45/18 = 2.5 %;   0.57 A at 7 V: 0.53/7 = 7.5 %
//
// Source: loss V I over V I; forward voltage Taiwan Semiconductor 1N5817 -
// 1N5819.
func ExampleOf() {
	for _, c := range []struct {
		name        string
		lineV, amps float64
	}{{"in the panel's lead", 18, 4. / 18}, {"behind the charger", 7, 4. / 7}} {
		l, err := blocking.Of(schottky(), blocking.Case{LineV: c.lineV, ChargeA: c.amps, ChargeH: 5, PackV: 6.6})
		if err != nil {
			fmt.Println(err)
			return
		}
		fmt.Printf("%s: %.2f V, %.1f %% of the harvest, %.2f Wh a day\n", c.name, l.DropV, 100*l.LossFrac, l.DayLossWh)
	}
	// Output:
	// in the panel's lead: 0.45 V, 2.5 % of the harvest, 0.50 Wh a day
	// behind the charger: 0.53 V, 7.5 % of the harvest, 1.51 Wh a day
}

// The night's leakage at the sheet's limit.
//
// Given: 1 mA at 25 °C and 10 mA at 125 °C, at most.
// Find: what a 14 h night at -5 °C and a warm evening at 40 °C cost.
//
//	ln I is straight in 1/T: B = ln 10/(1/298.15 - 1/398.15) = 2733 K
//	I(-5 °C) = 1 mA · e^(2733 (1/298.15 - 1/268.15)) = 0.36 mA
//
// The wrong way takes the 25 °C value for every night.
//
// Source: points Taiwan Semiconductor 1N5817 - 1N5819; Arrhenius line between
// them.
func ExampleLeakage_CurrentA() {
	l, err := blocking.NewLeakage(blocking.LeakagePoint{JunctionC: 25, CurrentA: 1e-3}, blocking.LeakagePoint{JunctionC: 125, CurrentA: 10e-3})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, c := range []float64{-5, 25, 40} {
		fmt.Printf("%3.0f °C: at most %.2f mA, %.1f mAh in 14 h\n", c, 1e3*l.CurrentA(c), 14e3*l.CurrentA(c))
	}
	// Output:
	//  -5 °C: at most 0.36 mA, 5.0 mAh in 14 h
	//  25 °C: at most 1.00 mA, 14.0 mAh in 14 h
	//  40 °C: at most 1.55 mA, 21.7 mAh in 14 h
}

// A transistor in the place of the diode.
//
// Given: 20 mV held, 50 milliohm, 5 uA of driver current, behind the charger.
// Find: its day and night, against the diode's 1.5 Wh.
//
//	V = max(0.02, 0.05·0.571) = 29 mV: 0.029·0.571·5 h = 0.082 Wh
//	night 5 uA · 6.6 V · 19 h = 0.0006 Wh
//
// Source: Ohm's law; the numbers of the part are invented.
func ExampleNewIdealDiode() {
	d, err := blocking.NewIdealDiode(blocking.IdealDiodeSpec{HoldV: 0.02, OnOhm: 0.05, OwnA: 5e-6})
	if err != nil {
		fmt.Println(err)
		return
	}
	l, err := blocking.Of(d, blocking.Case{LineV: 7, ChargeA: 4. / 7, ChargeH: 5, PackV: 6.6, NightA: 5e-6, NightH: 19})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.0f mV, day %.3f Wh, night %.4f Wh\n", 1e3*l.DropV, l.DayLossWh, l.NightLossWh)
	// Output: 29 mV, day 0.082 Wh, night 0.0006 Wh
}

// Without any part: what panel and charger let back decides.
//
// Given: a charger that lets 15 uA back, and one of 2 mA (a panel connected
// straight to the pack through a passive board).
// Find: the night's loss, 14 h.
//
//	15 uA · 6.6 V · 14 h = 0.0014 Wh;  2 mA · 6.6 V · 14 h = 0.185 Wh
//
// Source: energy as voltage times current times hours.
func ExampleOf_withoutPart() {
	for _, a := range []float64{15e-6, 2e-3} {
		l, err := blocking.Of(nil, blocking.Case{LineV: 7, PackV: 6.6, NightA: a, NightH: 14})
		if err != nil {
			fmt.Println(err)
			return
		}
		fmt.Printf("%.3f mA: %.4f Wh a night\n", 1e3*a, l.NightLossWh)
	}
	// Output:
	// 0.015 mA: 0.0014 Wh a night
	// 2.000 mA: 0.1848 Wh a night
}

// A diode behind the charger lets the pack creep.
//
// Given: a charger set to 7.00 V with a diode behind it, and a pack whose
// limit is 6.90 V. At 0.5 A the pack sees 6.49 V, and one sets 7.41 V "to
// allow for the diode".
// Find: the pack's voltage once the current has tapered to 5 mA.
//
//	V = 7.41 - Vf(5 mA) = 7.41 - 0.32 = 7.09 V, 0.19 V above its limit
//
// The wrong way is that setting: the drop at full current is gone at the end.
//
// Source: Shockley's equation; points Taiwan Semiconductor 1N5817 - 1N5819.
func ExamplePart_creep() {
	d := schottky()
	set := 7.00 + d.VoltageV(0.5) - 0.10
	fmt.Printf("set %.2f V: pack %.2f V at 0.5 A, %.2f V at 5 mA\n", set, set-d.VoltageV(0.5), set-d.VoltageV(0.005))
	// Output: set 7.41 V: pack 6.90 V at 0.5 A, 7.09 V at 5 mA
}

// The wrong way: columns that were swapped. They are found out, since leakage
// rises with temperature.
func ExampleNewLeakage() {
	_, err := blocking.NewLeakage(blocking.LeakagePoint{JunctionC: 125, CurrentA: 1e-3}, blocking.LeakagePoint{JunctionC: 25, CurrentA: 10e-3})
	fmt.Println(err)
	// Output: junction temperature 125 °C and next junction temperature 25 °C contradict each other: the points stand by rising temperature
}

// Day and night together: is the diode worth its place?
//
// Given: the 1N5819 behind the charger as above, a night of 14 h at 10 °C, and
// instead of it a charger that lets 15 uA back by itself.
// Find: what a day costs with the diode and without.
//
//	with    1.51 Wh by day + 6.6 V · 0.62 mA · 14 h = 1.56 Wh
//	without 6.6 V · 15 uA · 14 h = 0.0014 Wh
//
// The wrong way fits a diode to be safe, and loses a thousand times what it saves.
//
// Source: points Taiwan Semiconductor 1N5817 - 1N5819; leakage at its maximum.
func ExampleLoss_TotalWh() {
	leak, err := blocking.NewLeakage(blocking.LeakagePoint{JunctionC: 25, CurrentA: 1e-3}, blocking.LeakagePoint{JunctionC: 125, CurrentA: 10e-3})
	if err != nil {
		fmt.Println(err)
		return
	}
	c := blocking.Case{LineV: 7, ChargeA: 4. / 7, ChargeH: 5, PackV: 6.6, NightH: 14}
	c.NightA = leak.CurrentA(10)
	with, err := blocking.Of(schottky(), c)
	if err != nil {
		fmt.Println(err)
		return
	}
	c.NightA = 15e-6
	without, err := blocking.Of(nil, c)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("with: %.2f Wh by day, %.3f Wh by night, %.2f Wh in all\n", with.DayLossWh, with.NightLossWh, with.TotalWh())
	fmt.Printf("without: %.4f Wh\n", without.TotalWh())
	// Output:
	// with: 1.51 Wh by day, 0.057 Wh by night, 1.56 Wh in all
	// without: 0.0014 Wh
}
