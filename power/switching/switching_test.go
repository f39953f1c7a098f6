package switching

import (
	"errors"
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"github.com/stationphysics/stationphysics"
	"github.com/stationphysics/stationphysics/internal/refdata"
	"github.com/stationphysics/stationphysics/power"
)

// down and up are invented stages for demonstration.
var (
	down = Spec{OutputV: 5, FrequencyHz: 500e3, InductanceHenry: 22e-6, CoilOhm: 0.1, SwitchOhm: 0.15, RectifierOhm: 0.1, EdgesS: 20e-9, GateCoulomb: 3e-9, GateV: 5,
		QuiescentA: 100e-6, OutputFarad: 22e-6, OutputEsrOhm: 0.005, MaxDutyFrac: 0.95, CurrentLimitA: 3, MaxInputV: 28, LeastInputV: 4.5}
	up = Spec{OutputV: 5, StepUp: true, FrequencyHz: 500e3, InductanceHenry: 10e-6, CoilOhm: 0.05, SwitchOhm: 0.1, RectifierV: 0.35, EdgesS: 20e-9, GateCoulomb: 3e-9, GateV: 5,
		QuiescentA: 50e-6, OutputFarad: 22e-6, OutputEsrOhm: 0.005, MaxDutyFrac: 0.9, CurrentLimitA: 2, MaxInputV: 5.5, LeastInputV: 1.8}
)

func stage(t testing.TB, s Spec) Stage {
	t.Helper()
	g, err := New(s)
	require.NoError(t, err)
	return g
}

func operate(t testing.TB, g Stage, inV, loadA float64) Operation {
	t.Helper()
	o, ok := g.At(inV, loadA)
	require.True(t, ok)
	return o
}

func TestStageAgainstSimulator(t *testing.T) {
	worst := 0.0
	refdata.Each(t, "power/switching/stage", func(r *refdata.Row) {
		g := stage(t, Spec{OutputV: r.F("outputV"), StepUp: r.F("stepUp") == 1, FrequencyHz: r.F("frequencyHz"), InductanceHenry: r.F("inductanceHenry"), CoilOhm: r.F("coilOhm"),
			SwitchOhm: r.F("switchOhm"), RectifierOhm: r.F("rectifierOhm"), RectifierV: r.F("rectifierV"), MaxDutyFrac: 1, CurrentLimitA: 10, MaxInputV: 30})
		o := operate(t, g, r.F("inputV"), r.F("loadA"))
		call := fmt.Sprintf("%g V to %g V at %g A", r.F("inputV"), r.F("outputV"), r.F("loadA"))
		inA := (o.LoadW + o.LossW()) / r.F("inputV")
		r.Check("dutyFrac", o.DutyFrac, call+" duty")
		r.Check("inputA", inA, call+" input current")
		r.Check("rippleA", o.RippleA, call+" ripple")
		for got, want := range map[float64]float64{o.DutyFrac: r.F("dutyFrac"), inA: r.F("inputA"), o.RippleA: r.F("rippleA")} {
			worst = max(worst, math.Abs(got/want-1))
		}
	})
	t.Logf("worst relative difference %.2g", worst)
}

func TestWorkedLossTables(t *testing.T) {
	refdata.Each(t, "power/switching/losses", func(r *refdata.Row) {
		s := Spec{OutputV: r.F("outputV"), StepUp: r.F("stepUp") == 1, EdgesS: r.F("edgesS"), SwitchOhm: r.F("switchOhm"), CoilOhm: r.F("coilOhm"), RectifierV: r.F("rectifierV"),
			QuiescentA: r.F("quiescentA"), FrequencyHz: r.F("frequencyHz")}
		o := Operation{CoilA: r.F("coilA"), RateHz: r.F("frequencyHz"), LoadW: r.F("outputV") * r.F("loadA")}
		d := r.F("dutyFrac")
		s.losses(&o, r.F("inputV"), o.CoilA*o.CoilA, d, 1-d)
		r.Check("conductionW", o.ConductionW, "switch")
		r.Check("edgeW", o.EdgeW, "edges")
		r.Check("rectifierW", o.RectifierW, "diode")
		r.Check("coilW", o.CoilW, "winding")
		r.Check("controllerW", o.ControllerW, "controller")
		require.InDelta(t, r.F("conductionW")+r.F("edgeW")+r.F("rectifierW")+r.F("coilW")+r.F("controllerW"), o.LossW(), 0.005)
	})
}

func TestSheetDutyOfAStepDown(t *testing.T) {
	// LMR12015 takes a duty of 0.314 for 12 V to 3.3 V with a diode of 0.5 V
	// and 0.15 ohm at 2 A; the balance here gives 0.3148.
	g := stage(t, Spec{OutputV: 3.3, FrequencyHz: 2e6, InductanceHenry: 5e-6, CoilOhm: 0.02, SwitchOhm: 0.15, RectifierV: 0.5, MaxDutyFrac: 1, CurrentLimitA: 5, MaxInputV: 20})
	require.InDelta(t, 0.314, operate(t, g, 12, 2).DutyFrac, 0.001)
}

func TestDesignEquations(t *testing.T) {
	refdata.Each(t, "power/switching/design", func(r *refdata.Row) {
		g := stage(t, Spec{OutputV: r.F("outputV"), FrequencyHz: r.F("frequencyHz"), InductanceHenry: r.F("inductanceHenry"), MaxDutyFrac: 1, CurrentLimitA: 5, MaxInputV: 20})
		r.Check("inductanceHenry", g.NeededHenry(r.F("inputV"), r.F("rippleA")), "NeededHenry")
		o := operate(t, g, r.F("inputV"), 1)
		r.Check("dutyFrac", o.DutyFrac, "duty")
		require.InEpsilon(t, r.F("rippleA"), o.RippleA, 1e-4)
	})
	refdata.Each(t, "power/switching/parts_of_loss", func(r *refdata.Row) {
		s := Spec{SwitchOhm: r.F("switchOhm"), EdgesS: r.F("edgesS"), FrequencyHz: r.F("frequencyHz"), OutputV: 3.3}
		o := Operation{CoilA: r.F("loadA"), RippleA: r.F("rippleA"), RateHz: r.F("frequencyHz")}
		s.losses(&o, r.F("inputV"), o.CoilA*o.CoilA+o.RippleA*o.RippleA/12, r.F("dutyFrac"), 1-r.F("dutyFrac"))
		r.Check("conductionW", o.ConductionW, "switch")
		r.Check("edgeW", o.EdgeW, "edges")
	})
	// Output ripple, SLVA477B: 0.6 A at 500 kHz and 3 uF make 50 mV.
	g := stage(t, Spec{OutputV: 5, FrequencyHz: 500e3, InductanceHenry: 9.722222e-6, OutputFarad: 3e-6, MaxDutyFrac: 1, CurrentLimitA: 5, MaxInputV: 20})
	require.InDelta(t, 0.05, operate(t, g, 12, 2).OutRippleV, 1e-8)
	// The coil's ripple in the capacitor's series resistance adds to it: 0.6 A in 10 mohm.
	esr := g.s
	esr.OutputEsrOhm = 0.01
	require.InDelta(t, 0.056, operate(t, stage(t, esr), 12, 2).OutRippleV, 1e-8)
	require.InDelta(t, 3.7*(5-3.7)/(0.3*500e3*5), stage(t, up).NeededHenry(3.7, 0.3), 1e-12)
	for _, v := range []float64{g.NeededHenry(5, 0.6), g.NeededHenry(12, 0), g.NeededHenry(math.NaN(), 1), g.NeededHenry(12, math.NaN()), g.NeededHenry(math.Inf(1), 1),
		stage(t, up).NeededHenry(5, 1), stage(t, up).NeededHenry(0, 1)} {
		require.True(t, math.IsNaN(v))
	}
}

func TestIdealStages(t *testing.T) {
	s := Spec{OutputV: 5, FrequencyHz: 500e3, InductanceHenry: 100e-6, MaxDutyFrac: 1, CurrentLimitA: 5, MaxInputV: 20}
	o := operate(t, stage(t, s), 12, 1)
	require.InDelta(t, 5./12, o.DutyFrac, 1e-12)
	require.Equal(t, 0.0, o.LossW())
	require.Equal(t, 1.0, o.EfficiencyFrac())
	require.InDelta(t, 1+o.RippleA/2, o.PeakA, 1e-12)
	s.StepUp, s.OutputV = true, 12
	o = operate(t, stage(t, s), 5, 1)
	require.InDelta(t, 1-5./12, o.DutyFrac, 1e-12)
	require.InDelta(t, 12./5, o.CoilA, 1e-12)
	require.InDelta(t, 5*(1-5./12)/(500e3*100e-6), o.RippleA, 1e-12)
	require.Equal(t, 0.0, operate(t, stage(t, s), 5, 0).EfficiencyFrac())
}

func TestLightLoad(t *testing.T) {
	forced := stage(t, down)
	s := down
	s.LightLoad = Discontinuous
	disc := stage(t, s)
	s.LightLoad = Skipping
	skip := stage(t, s)

	// The edge of continuous work: half the ripple.
	edge := operate(t, forced, 12, 0.1).RippleA / 2
	require.InDelta(t, 0.134, edge, 0.004)
	for _, g := range []Stage{forced, disc, skip} {
		require.True(t, operate(t, g, 12, edge*1.01).Continuous)
		require.Equal(t, operate(t, forced, 12, 1), operate(t, g, 12, 1), "at large loads all are the same")
	}
	require.True(t, operate(t, forced, 12, edge*0.97).Continuous)
	require.False(t, operate(t, disc, 12, edge*0.97).Continuous)
	require.False(t, operate(t, skip, 12, edge*0.97).Continuous)
	// With a diode the current falls faster, by its voltage.
	w := down
	w.LightLoad, w.RectifierOhm, w.RectifierV = Discontinuous, 0, 0.4
	q := operate(t, stage(t, w), 12, 1e-3)
	require.InEpsilon(t, 1e-3, (0.5*q.PeakA*q.PeakA/(7/22e-6)+0.5*q.PeakA*q.PeakA/(5.4/22e-6))*500e3, 1e-12)
	require.InDelta(t, 0.0, operate(t, skip, 12, 0).OutRippleV, 0.01, "a pulse that never comes leaves no charge")
	f, d, k := operate(t, forced, 12, 1e-3), operate(t, disc, 12, 1e-3), operate(t, skip, 12, 1e-3)
	require.True(t, f.Continuous)
	require.False(t, d.Continuous)
	require.Less(t, d.LossW(), f.LossW())
	require.Less(t, k.LossW(), d.LossW())
	require.Equal(t, 500e3, d.RateHz)
	require.Less(t, k.RateHz, 500e3*1e-3/edge*1.1)
	// The pulses deliver the load: mean current, by the triangle.
	for _, o := range []Operation{d, k} {
		require.InDelta(t, 1e-3, o.CoilA, 1e-12)
		rise := (12. - 5) / 22e-6
		onS := o.DutyFrac / o.RateHz
		require.InEpsilon(t, rise*onS, o.PeakA, 1e-12)
		charge := 0.5*o.PeakA*onS + 0.5*o.PeakA*o.PeakA/(5/22e-6)
		require.InEpsilon(t, 1e-3, charge*o.RateHz, 1e-12)
		// Gate and edges: what the rate says; the edges cut the peak once.
		require.InEpsilon(t, 3e-9*5*o.RateHz, o.GateW, 1e-12)
		require.InEpsilon(t, 0.5*12*(o.PeakA/2)*20e-9*o.RateHz, o.EdgeW, 1e-12)
		require.InEpsilon(t, o.PeakA*o.PeakA/3*0.15*o.DutyFrac, o.ConductionW, 1e-12)
		off := o.DutyFrac * rise / (5 / 22e-6)
		require.InEpsilon(t, o.PeakA*o.PeakA/3*0.1*off, o.RectifierW, 1e-12)
		require.InEpsilon(t, o.PeakA*o.PeakA/3*0.1*(o.DutyFrac+off), o.CoilW, 1e-12)
		require.InEpsilon(t, 1e-3/(o.RateHz*22e-6)+o.PeakA*0.005, o.OutRippleV, 1e-12)
	}
	// Where the pulse keeps its size, the duty of continuous work is its share.
	require.InDelta(t, 5./12, k.DutyFrac/k.RateHz*500e3, 1e-12)
	zero := operate(t, skip, 12, 0)
	require.Equal(t, 0.0, zero.RateHz)
	require.InDelta(t, 1.2e-3, zero.LossW(), 1e-15, "the controller alone")
	require.InDelta(t, 1.2e-3+3e-9*5*500e3, operate(t, disc, 12, 0).LossW(), 1e-12, "and the gates")

	// Step-up: only the falling part reaches the output.
	u := up
	u.LightLoad = Discontinuous
	o := operate(t, stage(t, u), 3.6, 2e-3)
	require.False(t, o.Continuous)
	fall := (5 + 0.35 - 3.6) / 10e-6
	require.InEpsilon(t, 2e-3, 0.5*o.PeakA*o.PeakA/fall*500e3, 1e-12)
	require.InEpsilon(t, o.PeakA/2*0.35*o.PeakA/fall*500e3, o.RectifierW, 1e-12)
	require.InEpsilon(t, 0.5*5*(o.PeakA/2)*20e-9*500e3, o.EdgeW, 1e-12, "the switch of a step-up stage blocks the output")
	require.InEpsilon(t, 2e-3*o.DutyFrac/(500e3*22e-6)+o.PeakA*0.005, o.OutRippleV, 1e-12)
	c := operate(t, stage(t, up), 3.6, 0.3)
	require.InEpsilon(t, 0.3*c.DutyFrac/(500e3*22e-6)+c.PeakA*0.005, c.OutRippleV, 1e-12)
	require.InDelta(t, 0.0, operate(t, stage(t, func() Spec { v := u; v.LightLoad = Skipping; return v }()), 3.6, 0).OutRippleV, 0.02)
}

func TestWhatCannotBeConverted(t *testing.T) {
	d, u := stage(t, down), stage(t, up)
	for _, c := range []struct {
		g       Stage
		in, out float64
	}{{d, 4.5, 0.1}, {d, 28.1, 0.1}, {d, 5, 0.5}, {d, 12, -1}, {d, 12, math.NaN()}, {d, math.NaN(), 0.1}, {d, 12, 3.1},
		{u, 5.35, 0.1}, {u, 5.4, 0.1}, {u, 1.9, 1.9}, {u, 1.8, 0.1}, {Stage{}, 12, 0.1}} {
		o, ok := c.g.At(c.in, c.out)
		require.False(t, ok, "%g V, %g A", c.in, c.out)
		require.Equal(t, Operation{}, o)
	}
	// Just short of the most a step-up stage gives: the coil's current is past
	// its limit, but the balance still holds.
	most := operate(t, u, 1.81, 0.95)
	require.False(t, most.WithinLimits)
	require.InDelta(t, 1.81-most.CoilA*(0.05+0.1*most.DutyFrac), (1-most.DutyFrac)*5.35, 1e-12)
	require.True(t, operate(t, d, 28, 0.1).WithinLimits)
	require.InDelta(t, 3.0, operate(t, d, 12, 3).CoilA, 1e-12, "the largest load is asked for, if not granted")
	require.InDelta(t, (5+3*0.1+0.3)/0.95+3*0.15-0.3, d.LeastInputV(3), 1e-12)
	require.InDelta(t, 5/0.95, d.LeastInputV(0), 1e-12)
	bare := down
	bare.OutputFarad = 0
	require.Equal(t, 0.0, operate(t, stage(t, bare), 12, 1).OutRippleV, "no capacitor given, none computed")
	require.False(t, operate(t, d, 12, 2.95).WithinLimits, "the peak exceeds the limit")
	require.False(t, operate(t, d, 5.2, 0.1).WithinLimits, "the duty exceeds its largest")
	require.True(t, operate(t, u, 5.34, 1e-3).WithinLimits)
	require.InDelta(t, (5+0.1*0.1+0.01)/0.95+0.1*0.15-0.01, d.LeastInputV(0.1), 1e-12)
	require.InDelta(t, 0.95, operate(t, d, d.LeastInputV(0.1), 0.1).DutyFrac, 1e-12, "the largest duty at the least input")
	for _, v := range []float64{u.LeastInputV(0.1), d.LeastInputV(-1), d.LeastInputV(4), d.LeastInputV(math.NaN()), Stage{}.LeastInputV(0)} {
		require.True(t, math.IsNaN(v))
	}
	s := down
	s.LeastInputV = 8
	require.Equal(t, 8.0, stage(t, s).LeastInputV(0.1))
}

// A switch as resistive as the coil, under a load of kilowatts: the balance of
// volt-seconds has its roots at a negative duty only, where nothing works.
func TestNoNegativeDuty(t *testing.T) {
	g := stage(t, Spec{OutputV: 60, StepUp: true, FrequencyHz: 1e3, InductanceHenry: 0.1, CoilOhm: 23, SwitchOhm: 23, RectifierOhm: 0.01, MaxDutyFrac: 1, CurrentLimitA: 100, MaxInputV: 89})
	_, ok := g.At(17.2, 71)
	require.False(t, ok)
	for a := 0.0; a <= 100; a += 0.25 {
		if o, ok := g.At(17.2, a); ok {
			require.True(t, o.DutyFrac >= 0 && o.LossW() >= 0 && o.CoilA >= a, "%g A: %+v", a, o)
		}
	}
}

func TestConverterFromComponents(t *testing.T) {
	s := down
	s.LightLoad = Skipping
	g := stage(t, s)
	spec, err := g.Converter(12, 1e-3, 1e-2, 0.1, 1)
	require.NoError(t, err)
	c, err := power.NewConverter(spec)
	require.NoError(t, err)
	for _, i := range []float64{1e-3, 1e-2, 0.1, 1} {
		require.InDelta(t, operate(t, g, 12, i).EfficiencyFrac(), c.At(12, i).EfficiencyFrac(), 1e-12)
	}
	require.InDelta(t, 100e-6, spec.QuiescentA, 1e-15)
	require.Equal(t, 1.0, spec.LimitA)
	require.Equal(t, 28.0, spec.MaxInputV)
	require.Equal(t, 4.5, spec.MinInputV)
	require.Equal(t, 12.0, spec.CurveInputV)
	require.InDelta(t, 0.25, spec.HeadroomOhm, 1e-15)
	require.True(t, spec.IdleIsSteady)
	// Forced work costs its ripple and gates even at no load.
	f, err := stage(t, down).Converter(12, 0.1, 1)
	require.NoError(t, err)
	require.Greater(t, f.QuiescentA, 5*spec.QuiescentA)
	u, err := stage(t, up).Converter(3.6, 0.05, 0.3)
	require.NoError(t, err)
	require.True(t, u.StepUp)
	require.Equal(t, 0.35, u.HeadroomV)
	require.InDelta(t, 0.05, u.HeadroomOhm, 1e-15)
	_, err = power.NewConverter(u)
	require.NoError(t, err)
	var ce *stationphysics.ConflictError
	_, err = g.Converter(4, 0.1)
	require.True(t, errors.As(err, &ce))
	require.Equal(t, []float64{4, 0}, ce.Values)
	_, err = g.Converter(12, 0.1, 2.99)
	require.True(t, errors.As(err, &ce))
	require.Equal(t, []float64{12, 2.99}, ce.Values)
	_, err = g.Converter(12, 4)
	require.True(t, errors.As(err, &ce))
}

func TestRefuses(t *testing.T) {
	for quantity, change := range map[string]func(*Spec){
		"output voltage":                            func(s *Spec) { s.OutputV = 0 },
		"switching frequency":                       func(s *Spec) { s.FrequencyHz = 500 },
		"inductance":                                func(s *Spec) { s.InductanceHenry = 22 },
		"coil resistance":                           func(s *Spec) { s.CoilOhm = -1 },
		"switch resistance":                         func(s *Spec) { s.SwitchOhm = -1 },
		"rectifier resistance":                      func(s *Spec) { s.RectifierOhm = -1 },
		"rectifier forward voltage":                 func(s *Spec) { s.RectifierV = 350 },
		"edge times":                                func(s *Spec) { s.EdgesS = 20 },
		"gate charge":                               func(s *Spec) { s.GateCoulomb = 3 },
		"gate voltage":                              func(s *Spec) { s.GateV = -1 },
		"controller current":                        func(s *Spec) { s.QuiescentA = 100 },
		"output capacitance":                        func(s *Spec) { s.OutputFarad = 22 },
		"series resistance of the output capacitor": func(s *Spec) { s.OutputEsrOhm = -1 },
		"largest duty":                              func(s *Spec) { s.MaxDutyFrac = 95 },
		"peak current limit":                        func(s *Spec) { s.CurrentLimitA = 0 },
		"maximum input voltage":                     func(s *Spec) { s.MaxInputV = math.NaN() },
		"least input voltage":                       func(s *Spec) { s.LeastInputV = -1 },
		"pass-through drop":                         func(s *Spec) { s.PassDropV = -1 },
	} {
		s := down
		change(&s)
		_, err := New(s)
		var re *stationphysics.RangeError
		require.True(t, errors.As(err, &re), "%s: %v", quantity, err)
		require.Equal(t, quantity, re.Quantity)
	}
	for rule, change := range map[string]func(*Spec){
		"a diode or a transistor": func(s *Spec) { s.RectifierV = 0.3 },
		"above the least":         func(s *Spec) { s.LeastInputV = 28 },
		"lowers its input":        func(s *Spec) { s.OutputV, s.LeastInputV = 28, 4 },
	} {
		s := down
		change(&s)
		_, err := New(s)
		var ce *stationphysics.ConflictError
		require.True(t, errors.As(err, &ce), "%s: %v", rule, err)
		require.Contains(t, ce.Rule, rule)
	}
	s := up
	s.LeastInputV = 5
	_, err := New(s)
	require.ErrorContains(t, err, "raises its input")
	s = down
	s.FrequencyHz = 500
	_, err = New(s)
	require.ErrorContains(t, err, "kilohertz?")
}

func FuzzStage(f *testing.F) {
	f.Add(12.0, 0.1, uint8(0))
	f.Add(5.2, 2.0, uint8(1))
	f.Add(3.6, 1e-5, uint8(6))
	f.Add(math.NaN(), -1.0, uint8(3))
	f.Fuzz(func(t *testing.T, inV, loadA float64, how uint8) {
		s := down
		if how&4 != 0 {
			s = up
		}
		s.LightLoad = LightLoad(how % 3)
		g := stage(t, s)
		o, ok := g.At(inV, loadA)
		if !ok {
			return
		}
		if !(o.DutyFrac >= 0 && o.DutyFrac <= 1 && o.LossW() >= 0 && o.RateHz <= s.FrequencyHz && o.PeakA >= o.CoilA-1e-12 && o.EfficiencyFrac() <= 1) {
			t.Fatalf("At(%g, %g) = %+v", inV, loadA, o)
		}
	})
}

func BenchmarkStage(b *testing.B) {
	g := stage(b, down)
	b.ReportAllocs()
	x := 0.0
	for b.Loop() {
		o, _ := g.At(12, 0.5)
		x += o.PeakA
	}
}

// BenchmarkExp is the yardstick.
func BenchmarkExp(b *testing.B) {
	x := 0.5
	for b.Loop() {
		x = math.Exp(-x)
	}
}

func TestNoAllocation(t *testing.T) {
	g := stage(t, down)
	require.Zero(t, testing.AllocsPerRun(100, func() { g.At(12, 0.5); g.At(12, 1e-3) }))
}
