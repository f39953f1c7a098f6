package bus_test

import (
	"fmt"

	"github.com/stationphysics/stationphysics/power/bus"
)

// The window of a pull-up.
//
// Given: fast mode, 3.3 V, 200 pF; and the same with 400 pF.
// Find: the resistors that serve.
//
//	least    (3.3 - 0.4) V/3 mA         = 967 ohm
//	greatest 300 ns/(0.8473·200 pF)     = 1.77 kohm
//	at 400 pF 300 ns/(0.8473·400 pF)    = 885 ohm: none serves
//
// Source: NXP UM10204, 7.1; TI SLVA689, worked example.
func ExamplePullUpWindow() {
	w, err := bus.PullUpWindow(bus.Fast, 3.3, 200e-12)
	fmt.Printf("%.0f to %.0f ohm %v\n", w.LeastOhm, w.GreatestOhm, err)
	// The same at 400 pF has no answer.
	_, err = bus.PullUpWindow(bus.Fast, 3.3, 400e-12)
	fmt.Println(err)
	// Output:
	// 967 to 1770 ohm <nil>
	// least pull-up 966.6666666666666 ohm and greatest pull-up 885.1668758578713 ohm contradict each other: a resistor weak enough for the drivers is strong enough for the rise time
}

// Modules bring their own pull-ups.
//
// Given: four sensor boards of 10 kohm each, and twelve of 4.7 kohm.
// Find: what a driver must sink at 3.3 V.
//
//	10 kohm/4 = 2.5 kohm: (3.3 - 0.4)/2500 = 1.2 mA
//	4.7 kohm/12 = 392 ohm: 7.4 mA, and 3 mA is all a driver owes
//
// The wrong way adds a pull-up to each module "to be sure".
//
// Source: NXP UM10204, table 9 (3 mA at 0.4 V).
func ExampleParallelOhm() {
	four := bus.ParallelOhm(10e3, 10e3, 10e3, 10e3)
	many := make([]float64, 12)
	for k := range many {
		many[k] = 4700
	}
	twelve := bus.ParallelOhm(many...)
	fmt.Printf("%.0f ohm: %.1f mA; %.0f ohm: %.1f mA, and 3 mA is all a driver owes\n", four, 1e3*bus.SinkCurrentA(3.3, four), twelve, 1e3*bus.SinkCurrentA(3.3, twelve))
	// Output: 2500 ohm: 1.2 mA; 392 ohm: 7.4 mA, and 3 mA is all a driver owes
}

// How long may the cable be?
//
// Given: a network pair of 50 pF/m, 60 pF of devices.
// Find: the length with the 10 kohm of a single module, and with 2.2 kohm.
//
//	C = tr/(0.8473 R): 1000 ns/(0.8473·10 kohm) = 118 pF, (118 - 60)/50 = 1.2 m
//	with 2.2 kohm: 400 pF is the limit of the bus: (400 - 60)/50 = 6.8 m
//
// The wrong way divides 400 pF by 50 pF/m: 8 m whatever the pull-up.
//
// Source: NXP UM10204, 7.1 and table 10.
func ExampleCable_LongestM() {
	c := bus.Cable{FaradPerM: 50e-12, DevicesFarad: 60e-12}
	for _, r := range []float64{10e3, 2.2e3} {
		fmt.Printf("%.1f kohm: %.1f m at 100 kHz, %.1f m at 400 kHz\n", r/1e3, c.LongestM(bus.Standard, r), c.LongestM(bus.Fast, r))
	}
	// Output:
	// 10.0 kohm: 1.2 m at 100 kHz, 0.0 m at 400 kHz
	// 2.2 kohm: 6.8 m at 100 kHz, 2.0 m at 400 kHz
}

// A rain gauge's reed contact on five metres of wire.
//
// Given: 10 kohm to 3.3 V, 1 kohm in series, 100 nF; thresholds at 0.3 and
// 0.7.
// Find: which bounce it swallows, which rate it follows at a closure of a
// tenth of the time, and what a touch of 24 V drives into the input's clamp.
//
//	falls in 1 kohm·100 nF·ln(1/0.3)  = 0.12 ms
//	rises in 11 kohm·100 nF·ln(1/0.3) = 1.33 ms: up to 0.9/(3·1.33 ms) = 226 Hz
//	(24 - 3.3 - 0.3) V/1 kohm         = 20 mA
//
// Source: charging of a capacitor through a resistance; three time constants
// to rest.
func ExampleContact() {
	c, err := bus.NewContact(bus.ContactSpec{SupplyV: 3.3, PullUpOhm: 10e3, SeriesOhm: 1e3, CapacitorFarad: 100e-9, CableFarad: 0.5e-9, LowFrac: 0.3, HighFrac: 0.7, ContactOhm: 1})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("falls in %.2f ms, rises in %.2f ms, up to %.0f Hz, clamp %.0f mA\n", 1e3*c.FallS(), 1e3*c.RiseS(), c.HighestHz(0.1), 1e3*c.SurgeA(24, 0.3))
	// Output: falls in 0.12 ms, rises in 1.33 ms, up to 226 Hz, clamp 20 mA
}

// A divider on the pack, and the board that is off. The wrong way: to leave it
// there, feeding the pin of a board without supply.
//
// Given: 150 over 100 kohm from a 6.6 V pack to a 12-bit input of 3.3 V that
// samples 8 pF in 4 us.
// Find: the drain, the settling, and what flows into the pin while the board
// has no supply.
//
//	6.6 V/250 kohm = 26 uA;  150·100/250 = 60 kohm
//	largest source 4 us/(8 pF·14 ln 2) - 1 kohm = 51 kohm
//	off: (6.6 - 0.3)/150 kohm - 0.3/100 kohm = 39 uA
//
// Source: ST STM32F103x6 data sheet, equation 1; Kirchhoff.
func ExampleNode() {
	n, err := bus.NewNode(bus.NodeSpec{UpperOhm: 150e3, LowerOhm: 100e3, LeakageA: 100e-9, SampleOhm: 1000, SampleFarad: 8e-12, SampleS: 4e-6, Bits: 12,
		FullScaleV: 3.3, ClampV: 0.3, SupplyV: 3.3, ResistorTolPct: 1})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("drain %.0f uA, source %.0f kohm of %.0f allowed, low by %.2g of the reading\n", 1e6*n.DrainA(6.6), n.SourceOhm()/1e3, n.LargestSourceOhm()/1e3, n.SettlingFrac())
	off := n.Inject(6.6, 0)
	fmt.Printf("board off: %.0f uA into the pin, allowed %v\n", 1e6*off.ClampA, off.Allowed)
	// Output:
	// drain 26 uA, source 60 kohm of 51 allowed, low by 0.00028 of the reading
	// board off: 39 uA into the pin, allowed false
}

// A capacitor at the pin lets a high-ohmic divider be read.
//
// Given: 1.5 Mohm over 1 Mohm, sampled as above.
// Find: how low it reads without and with 100 nF.
//
//	bare: e^(-4 us/(601 kohm·8 pF)) = e^-0.83 = 44 %
//	with 100 nF: 8 pF/100 nF = 0.008 %
//
// The wrong way lowers the resistors and drains the pack.
//
// Source: charging of a capacitor through a resistance; division of charge.
func ExampleNode_SettlingFrac() {
	s := bus.NodeSpec{UpperOhm: 1.5e6, LowerOhm: 1e6, SampleOhm: 1000, SampleFarad: 8e-12, SampleS: 4e-6, Bits: 12, FullScaleV: 3.3, ClampV: 0.3, SupplyV: 3.3}
	bare, err := bus.NewNode(s)
	if err != nil {
		fmt.Println(err)
		return
	}
	s.PinFarad = 100e-9
	helped, err := bus.NewNode(s)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.0f %% low; with the capacitor %.4f %%\n", 100*bare.SettlingFrac(), 100*helped.SettlingFrac())
	// Output: 44 % low; with the capacitor 0.0080 %
}
