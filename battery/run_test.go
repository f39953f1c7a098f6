package battery

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"github.com/stationphysics/stationphysics"
	"github.com/stationphysics/stationphysics/internal/limit/limittest"
)

// Step writes the ordinary case out; it must be the general solution.
func TestOrdinaryStepIsTheGeneralOne(t *testing.T) {
	for _, ch := range all {
		p := pack(t, ch, 1.5, 2, 1)
		c := p.DefaultControl(setOf(p))
		c.Charger.SeriesOhm = 0.1
		r := run(t, p, c)
		rng := rand.New(rand.NewPCG(3, uint64(ch)))
		for range 3000 {
			s := State{SoC: rng.Float64() * 1.02, SlowV: 0.05 * rng.NormFloat64()}
			w := rng.NormFloat64() * 2
			if rng.IntN(10) == 0 {
				w = 0
			}
			dt, temp := math.Exp(rng.Float64()*10-2), -39+123*rng.Float64()
			const eps = 1e-14
			near := func(x, y float64) {
				t.Helper()
				require.LessOrEqual(t, math.Abs(x-y), eps*(1+math.Abs(x)), "%v %v %v %v", s, w, dt, temp)
			}
			same := func(a, b State, fa, fb Flow) {
				t.Helper()
				near(a.SoC, b.SoC)
				near(a.SlowV, b.SlowV)
				near(fa.EndV, fb.EndV)
				near(fa.EndA, fb.EndA)
				near(fa.CurrentA, fb.CurrentA)
				near(fa.InAh, fb.InAh)
				near(fa.OutAh, fb.OutAh)
				near(fa.LostAh, fb.LostAh)
				near(fa.InWh, fb.InWh)
				near(fa.OutWh, fb.OutWh)
				require.Equal(t, fb.Stop, fa.Stop)
			}
			a, fa := r.Step(s, w, dt, temp)
			b, fb := r.full(s, w, dt, temp)
			same(a, b, fa, fb)
			a, fa = p.Current(s, w, dt, temp)
			b, fb = p.currentFull(s, w, dt, temp)
			same(a, b, fa, fb)
		}
	}
}

// The power of a step is what was asked, also where charging crosses bends of the
// curve, steep as it is at the end of charge.
func TestPowerOverBendsIsWhatWasAsked(t *testing.T) {
	for _, ch := range all {
		p := pack(t, ch, 1, 3, 1)
		rng := rand.New(rand.NewPCG(5, uint64(ch)))
		for range 2000 {
			s := State{SoC: rng.Float64() * 1.02, SlowV: 0.02 * rng.NormFloat64()}
			w, dt, temp := 12*rng.Float64(), math.Exp(rng.Float64()*6+2.5), -20+70*rng.Float64()
			_, f := p.Power(s, w, dt, temp)
			require.Equal(t, NoStop, f.Stop)
			// Rounding of some ten products.
			require.InEpsilon(t, w*dt/3600, f.InWh, 1e-13, "%v %v %v %v", s, w, dt, temp)
		}
	}
}

// The power out as well, by the smallest current that gives it; and where none is
// found none of many tried gives it.
func TestPowerOutOverBendsIsWhatWasAsked(t *testing.T) {
	weak, over := 0, 0
	for _, ch := range all {
		p := pack(t, ch, 1, 3, 1)
		rng := rand.New(rand.NewPCG(6, uint64(ch)))
		for range 3000 {
			s := State{SoC: rng.Float64() * 1.05, SlowV: 0.05 * rng.NormFloat64()}
			w, dt, temp := 25*rng.Float64(), math.Exp(rng.Float64()*6+2.5), -20+70*rng.Float64()
			next, f := p.Power(s, -w, dt, temp)
			given := func(amps float64) float64 {
				_, f := p.Current(s, -amps, dt, temp)
				return f.OutWh * 3600 / dt
			}
			if f.Stop == Weak {
				weak++
				require.Zero(t, f.OutWh)
				for amps := 0.01; amps < 200; amps *= 1.05 {
					require.Less(t, given(amps), w, "%v %v %g W %g s %g °C: %g A", ch, s, w, dt, temp, amps)
				}
				continue
			}
			require.Equal(t, NoStop, f.Stop)
			if p.segment(next.SoC) != p.segment(s.SoC) {
				over++
			}
			// Rounding of some ten products, on a power that leaves the pack as the
			// difference of two up to a hundred times as large.
			require.InEpsilon(t, w*dt/3600, f.OutWh, 1e-11, "%v %v %g W %g s %g °C", ch, s, w, dt, temp)
			for share := 0.02; share < 0.99; share += 0.07 {
				require.Less(t, given(-share*f.CurrentA), w, "%v %v %g W %g s %g °C: a smaller current", ch, s, w, dt, temp)
			}
		}
	}
	require.Greater(t, weak, 1000)
	require.Greater(t, over, 1000)
}

// By hand: with a rate of -ln 2 what fades is halved in the first second and loses
// ln 2 times what is left; the constant stays, the straight part adds its slope.
func TestFadingHalves(t *testing.T) {
	const ulps = 1e-15 // of a few products
	for _, f := range []fading{
		{c: 3, s: 0.25, q: 1, m: -math.Ln2},
		{c: 3, s: 0.25, p: 1, l: -math.Ln2},
		{c: 3, s: 0.25, p: 0.5, l: -math.Ln2, q: 0.5, m: -math.Ln2},
	} {
		v, dv := f.at(1)
		require.InDelta(t, 3.75, v, ulps, "%+v", f)
		require.InDelta(t, 0.25-math.Ln2/2, dv, ulps, "%+v", f)
		// Over 2, and below 5 turned about: 3.75 - 2 and 5 - 3.75.
		v, dv = f.over(2, 1).at(1)
		require.InDelta(t, 1.75, v, ulps, "%+v", f)
		require.InDelta(t, 0.25-math.Ln2/2, dv, ulps, "%+v", f)
		v, dv = f.over(5, -1).at(1)
		require.InDelta(t, 1.25, v, ulps, "%+v", f)
		require.InDelta(t, math.Ln2/2-0.25, dv, ulps, "%+v", f)
	}
}

// The root of a fading: found to rounding, whichever of its parts rules it.
func TestZeroOfAFading(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 7))
	for n := 0; n < 20000; {
		f := fading{c: rng.NormFloat64(), s: rng.NormFloat64() * float64(rng.IntN(2)), p: rng.NormFloat64(), l: -math.Exp(8*rng.Float64() - 4),
			q: rng.NormFloat64() * float64(rng.IntN(2)), m: -math.Exp(8*rng.Float64() - 4)}
		hi := math.Exp(6*rng.Float64() - 3)
		last, _ := f.at(hi)
		if f.c+f.p+f.q >= 0 || last < 0 {
			continue
		}
		n++
		x := f.zero(hi, last)
		require.True(t, x >= 0 && x <= hi)
		v, dv := f.at(x)
		// The rounding of the value, and of the instant by the bracket's 1e-13.
		require.LessOrEqual(t, math.Abs(v), 1e-14*(math.Abs(f.c)+math.Abs(f.s*x)+math.Abs(f.p)+math.Abs(f.q))+2e-13*hi*math.Abs(dv), "%+v", f)
	}
}

func TestRunTakesWhatItMay(t *testing.T) {
	p := pack(t, LiFePO4, 1.5, 2, 1)
	c := p.DefaultControl(7.0)
	require.Equal(t, Control{Charger: Charger{SetV: 7, MaxA: 1.5}, CutoffV: 5, ColdStopC: 0, HotStopC: 45}, c)
	r := run(t, p, c)
	require.Same(t, p, r.Pack())
	require.Equal(t, c, r.Control())

	_, f := r.Step(p.At(0.5), 2, 60, 20)
	require.Equal(t, NoStop, f.Stop)
	require.InDelta(t, 2.0/60, f.InWh, 1e-15)
	// Blocked in the cold and in the heat, at the very limits allowed.
	for tempC, want := range map[float64]Stop{-0.001: Cold, 0: NoStop, 45: NoStop, 45.001: Hot} {
		s, f := r.Step(p.At(0.5), 2, 60, tempC)
		require.Equal(t, want, f.Stop, tempC)
		require.Equal(t, want == NoStop, f.InAh > 0, tempC)
		if want != NoStop {
			require.InDelta(t, p.OpenCircuitV(s.SoC, tempC), f.EndV, 1e-12)
		}
	}
	// Discharging is not blocked.
	_, f = r.Step(p.At(0.9), -0.5, 60, -20)
	require.Equal(t, NoStop, f.Stop)
	// The charger's current caps 100 W.
	_, f = r.Step(p.At(0.3), 100, 60, 20)
	require.InDelta(t, 1.5, f.CurrentA, 1e-12)
	// Full: it never stands above the set voltage, and the current falls.
	s := p.At(0.97)
	last := math.Inf(1)
	for range 240 {
		s, f = r.Step(s, 4, 60, 20)
		require.LessOrEqual(t, f.EndV, 7.0+1e-12)
		require.LessOrEqual(t, f.EndA, f.CurrentA+1e-12)
		require.LessOrEqual(t, f.CurrentA, last+1e-12)
		last = f.CurrentA
	}
	require.Equal(t, Full, f.Stop)
	require.InDelta(t, 7, f.EndV, 1e-12)
	require.InDelta(t, 0.025*1.5/720/0.998*math.Exp2(-0.5), f.EndA, 1e-9, "what the cells lose is topped up")
	// A pack that stands above the set voltage takes nothing and is not discharged by the charger.
	s, f = r.Step(State{1.003, 0}, 4, 60, 20)
	require.Equal(t, Full, f.Stop)
	require.Zero(t, f.InAh)
	require.Zero(t, f.OutAh)
	require.Greater(t, f.EndV, 7.0)
	require.Less(t, s.SoC, 1.003)
}

func TestRunGivesUntilItEnds(t *testing.T) {
	p := pack(t, LiFePO4, 1.5, 2, 1)
	r := run(t, p, p.DefaultControl(7.0))
	// Warm: the cut-off ends it; what was served is a little less than all.
	s, f := r.Step(p.At(0.05), -2, 3600, 25)
	require.Equal(t, Cutoff, f.Stop)
	require.Less(t, f.OutWh, 0.05*1.5*6.4)
	require.Greater(t, s.SoC, 0.0)
	require.Greater(t, f.EndV, 5.0, "the rested pack stands above the cut-off")
	require.Zero(t, f.EndA)
	// Again: nothing.
	_, f = r.Step(State{s.SoC, -0.5}, -2, 60, 25)
	require.Equal(t, Cutoff, f.Stop)
	require.Zero(t, f.OutWh)
	// Cold: the share that does not come out ends it, exactly there.
	s, f = r.Step(p.At(0.5), -0.5, 36000, -20)
	require.Equal(t, Empty, f.Stop)
	leak := 0.025 * math.Exp2(-4.5) * 1.5 / 720
	require.InDelta(t, 0.45, s.SoC, leak*10/1.5)
	require.InDelta(t, 0.05*1.5, f.OutAh, leak*10)
	_, f = r.Step(p.At(0.449), -0.5, 60, -20)
	require.Equal(t, Empty, f.Stop)
	require.Zero(t, f.OutWh)
	// Warm again, the rest is there.
	_, f = r.Step(p.At(0.449), -0.5, 60, 25)
	require.Equal(t, NoStop, f.Stop)
	// More power than there is.
	_, f = r.Step(p.At(0.9), -400, 60, -20)
	require.Equal(t, Weak, f.Stop)
	require.Zero(t, f.OutWh)
}

func TestRunRefusals(t *testing.T) {
	p := pack(t, LiFePO4, 1.5, 2, 1)
	good := p.DefaultControl(7)
	for text, f := range map[string]func(c *Control){
		"set voltage of the pack 3 V is outside 3.2..10.24 V: volts of one cell?":                              func(c *Control) { c.Charger.SetV = 3 },
		"set voltage of the pack 7000 V is outside 3.2..10.24 V: millivolts?":                                  func(c *Control) { c.Charger.SetV = 7000 },
		"set voltage of the pack NaN V is outside 3.2..10.24 V":                                                func(c *Control) { c.Charger.SetV = math.NaN() },
		"most current of the charger 1500 A is outside 0..1000 A: milliamperes?":                               func(c *Control) { c.Charger.MaxA = 1500 },
		"resistance of charger and wire -1 ohm is outside 0..100 ohm":                                          func(c *Control) { c.Charger.SeriesOhm = -1 },
		"cell temperature 273.15 °C is outside -40..85 °C: kelvins?":                                           func(c *Control) { c.ColdStopC = 273.15 },
		"cell temperature NaN °C is outside -40..85 °C":                                                        func(c *Control) { c.HotStopC = math.NaN() },
		"cut-off voltage of the pack 7.5 V is outside 0..7 V":                                                  func(c *Control) { c.CutoffV = 7.5 },
		"cold stop 10 °C and hot stop 5 °C contradict each other: the hot stop cannot lie below the cold stop": func(c *Control) { c.ColdStopC, c.HotStopC = 10, 5 },
	} {
		c := good
		f(&c)
		_, err := NewRun(p, c)
		require.EqualError(t, err, text)
	}
	c := good
	c.Charger.SetV = 3.5 // volts of one cell, inside half the nominal voltage
	_, err := NewRun(pack(t, LiFePO4, 1.5, 4, 1), c)
	require.EqualError(t, err, "set voltage of the pack 3.5 V is outside 6.4..20.48 V: volts of one cell?")
	_, err = NewRun(nil, good)
	var re *stationphysics.RangeError
	require.ErrorAs(t, err, &re)
}

// The table of temperatures against the laws it stands for.
func TestWarmth(t *testing.T) {
	for coldK, tol := range map[float64]float64{2400: 3e-8, 10000: 4e-6, 0: 1e-15} { // the accuracies that warmUp states
		c := pack(t, NickelMetalHydride, 2, 1, 1).Cell()
		c.ColdK = coldK
		p, err := NewPack(c, 1, 1)
		require.NoError(t, err)
		for tempC := -40.0; tempC <= 85; tempC += 0.0625 {
			cold, leak := p.warmth(tempC)
			require.InEpsilon(t, math.Exp(coldK*(1/(tempC+273.15)-1/298.15)), cold, tol, tempC)
			require.InEpsilon(t, 0.2*2/720*math.Exp2((tempC-25)/10), leak, 1e-7, tempC)
		}
	}
}

func TestStepsAllocateNothing(t *testing.T) {
	p := pack(t, LiFePO4, 1.5, 2, 1)
	r := run(t, p, p.DefaultControl(7))
	g, err := NewGauge(p, Meter{}, 1, 0)
	require.NoError(t, err)
	require.Zero(t, testing.AllocsPerRun(100, func() {
		s := p.At(0.985)
		for _, w := range []float64{4, -1, 0, 4, 4, -300} {
			s, _ = r.Step(s, w, 60, 20)
			s, _ = p.Current(s, 0.1, 60, 20)
			s, _ = p.Charge(s, Charger{7, 1, 0.1}, 0.05, 60, 20)
			g.Add(0.1, 60, 20)
		}
		_, _ = r.Step(p.At(0.02), -2, 3600, 20)
		_ = g.Band()
	}))
}

func FuzzStep(f *testing.F) {
	f.Add(0.5, 0.0, 2.0, 60.0, 20.0, 7.0)
	f.Add(0.999, 0.1, 4.0, 3600.0, 5.0, 7.0)
	f.Add(0.01, -0.1, -4.0, 86400.0, -20.0, 7.2)
	f.Add(1.01, 0.3, 4.0, 1e-3, 45.0, 6.6)
	f.Add(0.45, 0.0, -0.1, 1e6, -20.0, 7.0)
	f.Fuzz(func(t *testing.T, soc, slow, w, dt, tempC, set float64) {
		cell, err := TypicalCell(LiFePO4, 1.5)
		if err != nil {
			t.Fatal(err)
		}
		p, err := NewPack(cell, 2, 1)
		if err != nil {
			t.Fatal(err)
		}
		r, err := NewRun(p, p.DefaultControl(set))
		if err != nil {
			return
		}
		s, fl := r.Step(State{soc, slow}, w, dt, tempC)
		finiteIn := !math.IsNaN(soc+slow+w) && !math.IsInf(soc, 0) && !math.IsInf(slow, 0) && !math.IsInf(w, 0) && !math.IsInf(soc+slow, 0)
		valid := finiteIn && dt > 0 && dt <= 4e7 && tempC >= -40 && tempC <= 85
		if valid != (fl.Stop != Invalid) {
			t.Fatalf("valid %v, stop %v", valid, fl.Stop)
		}
		// A state that no step leads to may overflow; one in reach may not.
		if valid && math.Abs(soc) < 2 && math.Abs(slow) < 5 && math.Abs(w) < 1e4 {
			if math.IsNaN(s.SoC + s.SlowV + fl.EndV + fl.EndA + fl.InAh + fl.OutAh + fl.LostAh + fl.InWh + fl.OutWh) {
				t.Fatalf("NaN for valid input: %v %v", s, fl)
			}
			if d := fl.InAh - fl.OutAh - fl.LostAh - (s.SoC-soc)*p.CapacityAh(); math.Abs(d) > 1e-9*(1+fl.InAh+fl.OutAh+fl.LostAh) {
				t.Fatalf("charge lost: %v", d)
			}
		}
		limittest.Finite(t, "control", r.Control())
		// The other ways through a step take and refuse the same.
		for name, step := range map[string]func() (State, Flow){
			"Draw":    func() (State, Flow) { return r.Draw(State{soc, slow}, math.Abs(w), dt, tempC) },
			"Current": func() (State, Flow) { return p.Current(State{soc, slow}, w, dt, tempC) },
			"Power":   func() (State, Flow) { return p.Power(State{soc, slow}, w, dt, tempC) },
		} {
			s, fl := step()
			if valid != (fl.Stop != Invalid) {
				t.Fatalf("%s: valid %v, stop %v", name, valid, fl.Stop)
			}
			if !valid {
				limittest.NumberIff(t, false, name, s, fl)
			} else if math.Abs(soc) < 2 && math.Abs(slow) < 5 && math.Abs(w) < 1e4 {
				limittest.Finite(t, name, s, fl)
			}
		}
		if at := p.At(soc); !math.IsNaN(soc) && at != (State{SoC: soc}) {
			t.Fatalf("%+v", at)
		}
	})
}

var (
	sinkS State
	sinkF Flow
	sinkX float64
)

func BenchmarkBaselineExp(b *testing.B) {
	x := -0.3
	b.ReportAllocs()
	for b.Loop() {
		sinkX = math.Exp(x)
	}
}

func BenchmarkStep(b *testing.B) {
	p := pack(b, LiFePO4, 1.5, 2, 1)
	r := run(b, p, p.DefaultControl(7))
	s := p.At(0.5)
	sign := 1.0
	b.ReportAllocs()
	for b.Loop() {
		sign = -sign
		sinkS, sinkF = r.Step(s, sign*0.5, 60, 11)
	}
}

func BenchmarkStepHolding(b *testing.B) {
	p := pack(b, LiFePO4, 1.5, 2, 1)
	r := run(b, p, p.DefaultControl(7))
	s, f := r.Step(p.At(0.985), 4, 600, 20)
	if f.Stop != Full {
		b.Fatal(f.Stop)
	}
	b.ReportAllocs()
	for b.Loop() {
		sinkS, sinkF = r.Step(s, 4, 60, 20)
	}
}

func BenchmarkCurrent(b *testing.B) {
	p := pack(b, LiFePO4, 1.5, 2, 1)
	s := p.At(0.5)
	b.ReportAllocs()
	for b.Loop() {
		sinkS, sinkF = p.Current(s, 0.2, 60, 11)
	}
}

// A year of minutes: weather, night and day.
func BenchmarkYearOfMinutes(b *testing.B) {
	p := pack(b, LiFePO4, 1.5, 2, 1)
	r := run(b, p, p.DefaultControl(7))
	b.ReportAllocs()
	for b.Loop() {
		s := p.At(0.8)
		for m := range 525600 {
			hour := float64(m%1440) / 60
			day := float64(m / 1440)
			w := -0.08 + max(0, 0.9*math.Sin((hour-6)*math.Pi/12))*(1-0.7*math.Cos(day*2*math.Pi/365))
			s, sinkF = r.Step(s, w, 60, 10-12*math.Cos(day*2*math.Pi/365))
		}
		sinkS = s
	}
}

// A pack that is empty or cut off early in a long warm step leaks what is left in it and
// no more: by hand, the self-discharge of a nickel pack in half a year at 73 °C would be
// many times what it holds.
func TestRestAfterAStopEndsAtEmpty(t *testing.T) {
	p := pack(t, NickelMetalHydride, 2, 10, 1)
	c := p.DefaultControl(14)
	for _, cut := range []float64{0, c.CutoffV} {
		c.CutoffV = cut
		r := run(t, p, c)
		for _, dtS := range []float64{1e6, 1.5e7} {
			s, f := r.Draw(p.At(1), 0.01, dtS, 73)
			require.NotEqual(t, NoStop, f.Stop)
			require.InDelta(t, 0, s.SoC, 1e-12)
			require.InDelta(t, 2, f.OutAh+f.LostAh, 1e-9)
			require.Positive(t, f.EndV)
		}
	}
}

// A power that the pack gives only at first, without a cut-off: what is not given is said.
func TestPowerThatOnlyBegins(t *testing.T) {
	p := pack(t, LithiumIon, 280, 10, 1)
	c := p.DefaultControl(41)
	c.CutoffV = 0
	r := run(t, p, c)
	weak := 0
	for power := 1e5; power < 1e7; power *= 1.03 {
		_, f := r.Step(p.At(0.9), -power, 60, 35)
		if f.Stop == NoStop {
			require.InEpsilon(t, power/60, f.OutWh, 1e-9, "%g W", power)
		} else if require.Less(t, f.OutWh, power/60); f.Stop == Weak && f.OutWh > 0 {
			weak++
		}
	}
	require.Positive(t, weak)
}

// Over a step in which self-discharge takes an overcharged pack down its steep end, the
// power in finds its current too.
func TestPowerIntoALeakingFullPack(t *testing.T) {
	p := pack(t, LiFePO4, 3.6, 2, 1)
	for _, power := range []float64{1e-3, 0.4, 20} {
		const dtS = 1.8e7
		s, f := p.Power(p.At(1.003), power, dtS, 85)
		require.Equal(t, NoStop, f.Stop, "%g W", power)
		require.InEpsilon(t, power*dtS/3600, f.InWh, 1e-9, "%g W", power)
		require.InDelta(t, (s.SoC-1.003)*3.6, f.InAh-f.LostAh, 1e-9*(1+f.InAh))
	}
}
