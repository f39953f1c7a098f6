package trim_test

import (
	"fmt"

	"github.com/stationphysics/stationphysics/power/trim"
)

func made(s trim.Spec) trim.Divider {
	d, err := trim.New(s)
	if err != nil {
		panic(err)
	}
	return d
}

// A fixed divider.
//
// Given: 0.8 V reference, 43 kohm over 8.2 kohm, 1 % resistors, 2 % reference.
// Find: the output and its band.
//
//	V = Vref (1 + Ru/Rl) = 0.8·(1 + 43/8.2) = 4.9951 V
//	worst 0.784·(1 + 42.57/8.282) = 4.81 V, 0.816·(1 + 43.43/8.118) = 5.18 V
//
// Source: division of voltage (Kirchhoff); all corners of the tolerances.
func ExampleDivider_OutputV() {
	d := made(trim.Spec{ReferenceV: 0.8, ReferenceTolPct: 2, UpperOhm: 43e3, LowerOhm: 8.2e3, ResistorTolPct: 1, InputV: 18})
	lo, hi := d.BandV(0)
	fmt.Printf("%.4f V, worst %.2f to %.2f V\n", d.OutputV(0), lo, hi)
	// Output: 4.9951 V, worst 4.81 to 5.18 V
}

// What an open wiper does, by leg. The wrong way: a trimmer in the upper leg
// whose wiper is not tied to an end.
//
// Given: a converter set to 5 V from up to 18 V by a 10 kohm trimmer, wired in
// four ways.
// Find: the output once the wiper has lost contact.
//
//	upper leg open: no feedback, V = Vin = 18 V; tied: 0.8·(1 + 46/8.2) = 5.29 V
//	lower leg open: V = Vref = 0.8 V
//
// Source: the loop holds Vref at its pin as long as it can (Kirchhoff).
func ExampleDivider_WhenOpen() {
	for _, c := range []struct {
		name string
		s    trim.Spec
	}{
		{"upper leg", trim.Spec{Place: trim.Upper, UpperOhm: 36e3, LowerOhm: 8.2e3}},
		{"upper leg, wiper tied", trim.Spec{Place: trim.Upper, UpperOhm: 36e3, LowerOhm: 8.2e3, WiperTied: true}},
		{"lower leg", trim.Spec{Place: trim.Lower, UpperOhm: 43e3, LowerOhm: 4.7e3}},
		{"wiper on the pin", trim.Spec{Place: trim.Between, UpperOhm: 39e3, LowerOhm: 4.7e3}},
	} {
		c.s.ReferenceV, c.s.TrackOhm, c.s.TravelDeg, c.s.InputV = 0.8, 10e3, 260, 18
		d := made(c.s)
		o := d.WhenOpen(d.SettingFrac(5))
		fmt.Printf("%s: 5 V -> %.2f V, to the input %v, certain %v\n", c.name, o.OutputV, o.ToInput, o.Determined)
	}
	// Output:
	// upper leg: 5 V -> 18.00 V, to the input true, certain true
	// upper leg, wiper tied: 5 V -> 5.29 V, to the input false, certain true
	// lower leg: 5 V -> 0.80 V, to the input false, certain true
	// wiper on the pin: 5 V -> 18.00 V, to the input true, certain false
}

// The same leg on the other kind of regulator.
//
// Given: a floating reference of 1.25 V (317 kind), 240 ohm above, 330 ohm and
// a trimmer of 1 kohm below, set to 5 V from 18 V.
// Find: the setting, and the output once the wiper has lost contact.
//
//	V = 1.25·(1 + Rl/240) + 50 uA·Rl: Rl = 713 ohm; open: Rl = ∞, V = Vin = 18 V
//
// The kinds exchange the roles of the legs, and the usual place of this one's
// trimmer is the dangerous one.
//
// Source: the regulator's own equation, as the LM317's makers give it.
func ExampleDivider_WhenOpen_floating() {
	d := made(trim.Spec{Reference: trim.FromOutput, ReferenceV: 1.25, PinA: 50e-6, UpperOhm: 240, Place: trim.Lower, LowerOhm: 330, TrackOhm: 1000, TravelDeg: 260, InputV: 18})
	set := d.SettingFrac(5)
	o := d.WhenOpen(set)
	fmt.Printf("set %.2f V with %.0f ohm below; open: %.0f V\n", d.OutputV(set), 330+1000*set, o.OutputV)
	// Output: set 5.00 V with 713 ohm below; open: 18 V
}

// Can a single turn set a charger?
//
// Given: the trimmer spans its range over 260 degrees; over 25 turns instead.
// Find: volts per degree, and what the contact's 3 % may do.
//
//	dV/dR·50 kohm/260° = 1.2 V/10 kohm·50 kohm/260° = 23 mV/°: 5° are 115 mV
//	3 % of 50 kohm at the contact: 1.2/10·1.5 = 180 mV
//
// The wrong way trusts the last digit of the meter: a hand sets perhaps five
// degrees.
//
// Source: derivative of V = Vref (1 + Ru/Rl).
func ExampleDivider_ResolutionVPerDeg() {
	s := trim.Spec{ReferenceV: 1.2, UpperOhm: 30e3, LowerOhm: 10e3, Place: trim.Upper, TrackOhm: 50e3, ContactPct: 3, TravelDeg: 260, InputV: 28}
	one := made(s)
	s.TravelDeg = 25 * 360
	many := made(s)
	f := one.SettingFrac(7)
	fmt.Printf("one turn: %.0f mV/deg, 5 deg %.0f mV; 25 turns: 5 deg %.1f mV; contact %.0f mV\n",
		1e3*one.ResolutionVPerDeg(f), 5e3*one.ResolutionVPerDeg(f), 5e3*many.ResolutionVPerDeg(f), 1e3*one.ContactV(f))
	// Output: one turn: 23 mV/deg, 5 deg 115 mV; 25 turns: 5 deg 3.3 mV; contact 180 mV
}

// From the bench to the frost.
//
// Given: set at 21 °C, used down to -19 °C; reference 50 ppm/K, resistors 100
// ppm/K each, track 250 ppm/K.
// Find: how far a 7 V output may have moved.
//
//	Ru = 30 + 18.33 kohm: reference 7·50e-6·40 = 14 mV
//	ratio 1.2/10·(30·100 + 18.33·250 + 48.33·100)e-6·40 = 60 mV; together 74 mV
//
// Source: derivatives of V = Vref (1 + Ru/Rl), all drifts against each other.
func ExampleDivider_DriftV() {
	d := made(trim.Spec{ReferenceV: 1.2, ReferenceDriftPPM: 50, UpperOhm: 30e3, LowerOhm: 10e3, ResistorDriftPPM: 100, Place: trim.Upper, TrackOhm: 50e3, TrackDriftPPM: 250, TravelDeg: 260, InputV: 28})
	f := d.SettingFrac(7)
	fmt.Printf("7.00 V may move by %.0f mV over 40 K\n", 1e3*d.DriftV(f, 40))
	// Output: 7.00 V may move by 74 mV over 40 K
}

// What the meter adds.
//
// Given: a reading of 7.00 V on a meter of 0.5 % and two digits of 0.01 V.
// Find: the true voltage.
//
//	7.00 ± (0.005·7.00 + 0.02) = 6.945 to 7.055 V
//
// Source: the form in which meters' sheets state their error.
func ExampleMeterBandV() {
	lo, hi := trim.MeterBandV(7.00, 0.5, 0.02)
	fmt.Printf("between %.3f and %.3f V\n", lo, hi)
	// Output: between 6.945 and 7.055 V
}
