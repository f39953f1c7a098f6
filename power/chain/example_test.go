package chain_test

import (
	"fmt"

	"github.com/stationphysics/stationphysics/power/chain"
)

// A regulator between pack and load.
//
// Given: a 6.6 V pack of 0.1 ohm, a regulator set to 3.3 V and a load of 33
// ohm.
// Find: what the regulator turns into heat.
//
//	I = 3.3 V / 33 ohm = 0.1 A
//	Vin = 6.6 V − 0.1 A · 0.1 ohm = 6.59 V
//	P = (6.59 − 3.3) V · 0.1 A = 0.329 W
//
// Source: Kirchhoff.
func Example() {
	c, err := chain.New([]chain.Part{
		{Name: "pack", To: "bus", Model: chain.Battery{OpenV: 6.6, SeriesOhm: 0.1}},
		{Name: "U2", From: "bus", To: "3V3", Model: chain.Linear{SetV: 3.3, DropoutV: 0.3, ShortOhm: 0.5}},
		{Name: "controller", From: "3V3", Model: chain.Resistor{Ohm: 33}},
	}, nil)
	if err != nil {
		fmt.Println(err)
		return
	}
	p, err := c.Solve()
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("bus %.2f V, 3V3 %.2f V, U2 %s, %.3f W\n", p.VoltageV("bus"), p.VoltageV("3V3"), p.Regime("U2"), p.PowerW("U2"))
	// Output:
	// bus 6.59 V, 3V3 3.30 V, U2 regulating, 0.329 W
}

// What a shorted regulator does.
//
// Given: the same chain, a controller that stands 3.6 V and a regulator whose
// pass element leaves 0.5 ohm when shorted.
// Find: what the short does, and which barrier would stop it.
//
//	V = 6.6 V · 33 / (33 + 0.5 + 0.1) = 6.48 V = 1.80 · 3.6 V
//
// The wrong way is to call 6.48 V a little more than 3.3 V regulated: nothing
// regulates any more, and the controller is lost. A clamp alone would take 5
// A; a fuse has to end that.
//
// Source: Kirchhoff; the form of the table IEC 60812; a fuse as Fuse says.
func ExampleCircuit_Survey() {
	c, err := chain.New([]chain.Part{
		{Name: "pack", To: "bus", Model: chain.Battery{OpenV: 6.6, SeriesOhm: 0.1}},
		{Name: "U2", From: "bus", To: "3V3", Model: chain.Linear{SetV: 3.3, DropoutV: 0.3, ShortOhm: 0.5}},
		{Name: "controller", From: "3V3", Model: chain.Resistor{Ohm: 33}},
	}, []chain.Limit{
		{Node: "3V3", Item: "controller", WorkV: 3.45, MaxV: 3.6},
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	s, err := c.Survey(chain.Stock{Fuses: []chain.Fuse{{RatedA: 0.2, MeltA2S: 0.02}}, Clamps: []chain.Clamp{{BreakdownV: 3.5, SlopeOhm: 0.01, MaxJ: 0.5}}})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, r := range s.Lost() {
		fmt.Println(r.Item(), "|", r.FailureMode())
		fmt.Println("local:    ", r.LocalEffect())
		fmt.Println("end:      ", r.EndEffect())
		fmt.Println("detection:", r.Detection())
		fmt.Println("barrier:  ", r.Provision())
	}
	// Output:
	// U2 | pass element short
	// local:     node 3V3 from 3.30 V to 6.48 V, current from 0.1 A to 0.196 A
	// end:       controller lost: 6.48 V is 1.8 times its maximum
	// detection: output above its set voltage and following the input
	// barrier:   clamp at node 3V3 between 3.45 V and 3.60 V behind a fuse of 0.2 A after U2: 4.98 A for at most 0.000774 s, 0.0137 J (survives: outlives the fuse)
}

// An adapter that is not regulated.
//
// Given: a 12 V adapter of 1 A for service, into a board that stands 15 V and
// takes 50 mA.
// Find: the voltage if the adapter is of the unregulated kind, with 17 V
// measured at no load.
//
//	V = 17 − 0.05·(17 − 12)/1 = 16.75 V: lost
//
// The wrong way reads 12 V from the label. At a twentieth of the rated current
// the transformer is near its no-load voltage.
//
// Source: straight line between no load and the rated point (common practice).
func ExampleAdapter() {
	c, err := chain.New([]chain.Part{
		{Name: "adapter", To: "socket", Model: chain.Adapter{RatedV: 12, NoLoadV: 17, RatedA: 1}},
		{Name: "board", From: "socket", Model: chain.CurrentLoad{LoadA: 0.05}},
	}, []chain.Limit{{Node: "socket", Item: "board", WorkV: 13, MaxV: 15}})
	if err != nil {
		fmt.Println(err)
		return
	}
	s, err := c.Survey(chain.Stock{})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, r := range s.Rows {
		fmt.Printf("%s: %.2f V, %s\n", r.Fault, r.Harms[0].VoltageV, r.Worst)
	}
	// Output:
	// no fault: 12.00 V, survives
	// adapter: adapter unregulated: 16.75 V, lost
}

// When a fuse is sure to open.
//
// Given: a 1 A fuse with a melting integral of 1.2 A²s.
// Find: within which time it is sure to open.
//
//	20 A: 1.2 / 20² = 3 ms
//	10 A: 1.2 / 10² = 12 ms
//	4.47 A: half-way to twice the rating in the logarithm: √(0.012 · 120) = 1.2 s
//	1.5 A: not at all
//
// The wrong way uses the melting integral at 1.5 A and promises 0.53 s.
//
// Source: UL 248-14: 120 s at twice the rating (from memory); I²t from ten
// times on.
func ExampleFuse_OpensWithinS() {
	f := chain.Fuse{RatedA: 1, MeltA2S: 1.2}
	for _, a := range []float64{20, 10, 4.4721, 1.5} {
		fmt.Printf("%.2f A: %.3g s\n", a, f.OpensWithinS(a))
	}
	// Output:
	// 20.00 A: 0.003 s
	// 10.00 A: 0.012 s
	// 4.47 A: 1.2 s
	// 1.50 A: +Inf s
}

// A panel through the day.
//
// Given: a panel behind a diode on a pack, and a sun that goes.
// Find: the charge current.
//
//	near the pack's voltage the photocurrent less the shunt: 0.3 − 7.2/900 = 0.292 A
//	in the dark the diode keeps the pack's charge: 0 A
//
// One workspace serves all hours without allocating.
//
// Source: single-diode model and Shockley's equation, solved with Kirchhoff's
// current law.
func ExampleWorkspace_Set() {
	sun := chain.Panel{SaturationA: 1e-9, ThermalV: 1.1, SeriesOhm: 0.8, ShuntOhm: 900}
	c, err := chain.New([]chain.Part{
		{Name: "panel", To: "array", Model: sun},
		{Name: "D1", From: "array", To: "bus", Model: chain.Diode{SaturationA: 2e-7, Ideality: 1.05, SeriesOhm: 0.1, JunctionC: 25}},
		{Name: "pack", To: "bus", Model: chain.Battery{OpenV: 6.6, SeriesOhm: 0.1}},
	}, nil)
	if err != nil {
		fmt.Println(err)
		return
	}
	w := c.NewWorkspace()
	for _, a := range []float64{0.3, 0.1, 0} {
		sun.PhotoA = a
		if err := w.Set("panel", sun); err != nil {
			fmt.Println(err)
			return
		}
		p, err := w.Solve()
		if err != nil {
			fmt.Println(err)
			return
		}
		fmt.Printf("%.1f A of light: %+.4f A into the pack\n", a, -p.CurrentA("pack"))
	}
	// Output:
	// 0.3 A of light: +0.2919 A into the pack
	// 0.1 A of light: +0.0922 A into the pack
	// 0.0 A of light: -0.0000 A into the pack
}

// A pack plug pulled at noon.
//
// Given: a charger set to 7.0 V whose output rises to 8.4 V without a pack (as
// its sheet states), and a board behind the same terminal that stands 7.5 V.
// Find: what the board sees.
//
//	charging: 1 A · 6.69 V / 0.9 = 7.4 W at the panel
//	without the pack: 8.4 V · 0.05 A / 0.9 = 0.47 W, and the board has 8.4 V > 7.5 V
//
// Source: Kirchhoff, conservation of energy.
func ExampleCharger() {
	c, err := chain.New([]chain.Part{
		{Name: "panel", To: "array", Model: chain.Panel{PhotoA: 0.5, SaturationA: 1e-9, ThermalV: 1.1}},
		{Name: "charger", From: "array", To: "bus", Model: chain.Charger{SetV: 7, LimitA: 1, HoldV: 17, Efficiency: 0.9, NoPackV: 8.4}},
		{Name: "pack", To: "bus", Model: chain.Battery{OpenV: 6.6, SeriesOhm: 0.1}},
		{Name: "board", From: "bus", Model: chain.CurrentLoad{LoadA: 0.05}},
	}, []chain.Limit{{Node: "bus", Item: "board", WorkV: 7.2, MaxV: 7.5}})
	if err != nil {
		fmt.Println(err)
		return
	}
	w := c.NewWorkspace()
	for _, f := range []chain.Fault{{}, {Part: "pack", Mode: chain.PackDisconnected}} {
		p, err := w.SolveFault(f)
		if err != nil {
			fmt.Println(err)
			return
		}
		fmt.Printf("%s: array %.2f V, bus %.2f V, charger %s\n", f, p.VoltageV("array"), p.VoltageV("bus"), p.Regime("charger"))
	}
	// Output:
	// no fault: array 20.63 V, bus 6.69 V, charger current limit
	// pack: pack disconnected: array 21.99 V, bus 8.40 V, charger regulating
}

// A load of constant power.
//
// Given: 12 V behind 1 ohm, a radio of 20 W, and one of 40 W.
// Find: its voltage.
//
//	V² − 12 V + 20 = 0 → 10 V (and 2 V, which no radio sees that was running)
//	40 W: no solution, the source has 12²/(4·1) = 36 W to give
//
// The wrong way divides 40 W by 12 V and adds the 3.3 A to the budget; the
// radio in fact browns out.
//
// Source: Kirchhoff with I = P/V; largest power of a source into its own
// resistance.
func ExamplePowerLoad() {
	for _, watts := range []float64{20, 40} {
		c, err := chain.New([]chain.Part{
			{Name: "pack", To: "bus", Model: chain.Battery{OpenV: 12, SeriesOhm: 1}},
			{Name: "radio", From: "bus", Model: chain.PowerLoad{LoadW: watts, BrownOutV: 9}},
		}, nil)
		if err != nil {
			fmt.Println(err)
			return
		}
		p, err := c.Solve()
		if err != nil {
			fmt.Println(err)
			return
		}
		fmt.Printf("%.0f W asked: %.2f V, %.1f W taken\n", watts, p.VoltageV("bus"), p.PowerW("radio"))
	}
	// Output:
	// 20 W asked: 10.00 V, 20.0 W taken
	// 40 W asked: 8.03 V, 31.9 W taken
}

// The wrong way: two stiff sources joined by a link without resistance. The
// answer is who is joined, not a number.
func ExampleTopologyError() {
	_, err := chain.New([]chain.Part{
		{Name: "pack", To: "bus", Model: chain.Battery{OpenV: 6.6}},
		{Name: "supply", To: "socket", Model: chain.Battery{OpenV: 7}},
		{Name: "J1", From: "socket", To: "bus", Model: chain.Link{Fitted: true}},
		{Name: "board", From: "bus", Model: chain.Resistor{Ohm: 100}},
	}, nil)
	fmt.Println(err)
	// Output:
	// loop without resistance: node "bus", "socket", common return, part "pack", "supply", "J1"
}
