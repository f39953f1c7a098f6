package battery

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"github.com/stationphysics/stationphysics/internal/refdata"
)

func pack(t testing.TB, c Chemistry, ah float64, series, parallel int) *Pack {
	t.Helper()
	cell, err := TypicalCell(c, ah)
	require.NoError(t, err)
	p, err := NewPack(cell, series, parallel)
	require.NoError(t, err)
	return p
}

func run(t testing.TB, p *Pack, c Control) *Run {
	t.Helper()
	r, err := NewRun(p, c)
	require.NoError(t, err)
	return r
}

// setOf is a set voltage that fills the pack.
func setOf(p *Pack) float64 {
	n := float64(p.Series())
	if l := p.Cell().Chemistry.Limits(); l.Charge.Exists() {
		return n * (l.Fill.V + l.Charge.V) / 2
	}
	return n * 1.45
}

// Charge in = charge out + stored + lost, over a month of weather with every
// kind of step.
func TestChargeIsConserved(t *testing.T) {
	for _, ch := range all {
		p := pack(t, ch, 1.5, 4, 2)
		c := p.DefaultControl(setOf(p))
		r := run(t, p, c)
		rng := rand.New(rand.NewPCG(1, uint64(ch)))
		s := p.At(0.5)
		var in, out, lost float64
		seen := map[Stop]bool{}
		for n := range 8000 {
			// Weeks of sun and weeks without.
			w := (rng.NormFloat64()*0.5 + 0.2 + 0.6*math.Sin(float64(n)/800)) * p.CapacityAh() * p.OpenCircuitV(0.5, 25)
			before := s
			var f Flow
			s, f = r.Step(s, w, 1+600*rng.Float64(), -25+80*rng.Float64())
			in, out, lost = in+f.InAh, out+f.OutAh, lost+f.LostAh
			seen[f.Stop] = true
			require.True(t, f.InAh >= 0 && f.OutAh >= 0 && f.LostAh >= 0 && f.InWh >= 0 && f.OutWh >= 0)
			require.InDelta(t, f.InAh-f.OutAh-f.LostAh, (s.SoC-before.SoC)*p.CapacityAh(), 1e-12)
		}
		require.InDelta(t, in, out+lost+(s.SoC-0.5)*p.CapacityAh(), 1e-12*in, ch)
		for _, stop := range []Stop{NoStop, Full, Cold, Hot, Empty, Cutoff} {
			require.True(t, seen[stop], "%v: no step was stopped by %v", ch, stop)
		}
	}
}

// A pack of equal cells is one cell with volts times the series and amperes
// times the parallel count.
func TestPackIsACellScaled(t *testing.T) {
	for _, ch := range all {
		one, many := pack(t, ch, 2, 1, 1), pack(t, ch, 2, 5, 3)
		require.Equal(t, 6.0, many.CapacityAh())
		require.Equal(t, 5, many.Series())
		rng := rand.New(rand.NewPCG(2, uint64(ch)))
		a, b := one.At(0.6), many.At(0.6)
		for range 2000 {
			dt, temp := 1+300*rng.Float64(), -20+60*rng.Float64()
			var fa, fb Flow
			switch rng.IntN(3) {
			case 0:
				i := rng.NormFloat64() * 0.3
				a, fa = one.Current(a, i, dt, temp)
				b, fb = many.Current(b, 3*i, dt, temp)
			case 1:
				w := rng.NormFloat64() * 0.5
				a, fa = one.Power(a, w, dt, temp)
				b, fb = many.Power(b, 15*w, dt, temp)
			default:
				set, load := one.OpenCircuitV(0.7, 25), 0.05*rng.Float64()
				a, fa = one.Charge(a, Charger{set, 0.4, 0.05}, load, dt, temp)
				b, fb = many.Charge(b, Charger{5 * set, 1.2, 0.05 * 5 / 3}, 3*load, dt, temp)
			}
			require.InDelta(t, a.SoC, b.SoC, 1e-11)
			require.InDelta(t, 5*a.SlowV, b.SlowV, 1e-9)
			require.InDelta(t, 5*fa.EndV, fb.EndV, 1e-8)
			require.InDelta(t, 15*fa.InWh, fb.InWh, 1e-9)
			require.InDelta(t, 15*fa.OutWh, fb.OutWh, 1e-9)
			require.Equal(t, fa.Stop, fb.Stop)
			if a.SoC < 0.2 || a.SoC > 0.98 {
				a, b = one.At(0.6), many.At(0.6)
			}
		}
	}
}

// One step of an hour and the same hour in 997 steps agree: there is no
// step-size drift, in either stage of a charge and across bends of the curve.
func TestStepsDoNotDrift(t *testing.T) {
	p := pack(t, LiFePO4, 1.5, 2, 1)
	ledger := func(f, g Flow) Flow {
		return Flow{InAh: f.InAh + g.InAh, OutAh: f.OutAh + g.OutAh, LostAh: f.LostAh + g.LostAh, InWh: f.InWh + g.InWh, OutWh: f.OutWh + g.OutWh, EndV: g.EndV, EndA: g.EndA}
	}
	check := func(name string, step func(s State, dt float64) (State, Flow), start State, total float64) {
		one, f := step(start, total)
		many, g := start, Flow{}
		for range 997 {
			var h Flow
			many, h = step(many, total/997)
			g = ledger(g, h)
		}
		require.InDelta(t, one.SoC, many.SoC, 1e-11, name)
		require.InDelta(t, one.SlowV, many.SlowV, 1e-10, name)
		require.InDelta(t, f.EndV, g.EndV, 1e-9, name)
		require.InDelta(t, f.EndA, g.EndA, 1e-9, name)
		require.InDelta(t, f.InAh, g.InAh, 1e-10, name)
		require.InDelta(t, f.OutAh, g.OutAh, 1e-10, name)
		require.InDelta(t, f.LostAh, g.LostAh, 1e-10, name)
		require.InDelta(t, f.InWh, g.InWh, 1e-9, name)
		require.InDelta(t, f.OutWh, g.OutWh, 1e-9, name)
	}
	for _, start := range []State{{0.06, 0}, {0.3, -0.05}, {0.9, 0.1}, {0.99, 0.2}} {
		for _, i := range []float64{0.5, -0.4, 0} {
			check(fmt.Sprintf("current %v from %v", i, start), func(s State, dt float64) (State, Flow) { return p.Current(s, i, dt, 5) }, start, 600)
		}
		for _, c := range []Charger{{7.0, 0.7, 0}, {7.0, 0.7, 0.3}, {6.7, 2, 0.05}, {6.5, 0.3, 0}} {
			for _, load := range []float64{0, 0.1, 0.9} {
				if load-c.MaxA > start.SoC*1.5 {
					continue // it would be drained below empty, where self-discharge ends with the step
				}
				check(fmt.Sprintf("charger %v load %v from %v", c, load, start), func(s State, dt float64) (State, Flow) { return p.Charge(s, c, load, dt, 15) }, start, 3600)
			}
		}
	}
}

// The energy of a power step is the one asked for, across bends too.
func TestPowerIsExact(t *testing.T) {
	p := pack(t, LiFePO4, 1.5, 2, 1)
	for soc := 0.01; soc < 1; soc += 0.015 {
		for _, w := range []float64{-4, -0.5, -1e-6, 1e-6, 0.5, 5} {
			for _, dt := range []float64{0.001, 1, 60, 900} {
				_, f := p.Power(State{soc, 0.02}, w, dt, -5)
				if f.Stop == Weak {
					continue
				}
				require.InDelta(t, w*dt/3600, f.InWh-f.OutWh, 1e-12*math.Abs(w*dt/3600)+1e-18)
				require.InEpsilon(t, f.CurrentA, f.EndA, 1e-12)
			}
		}
	}
	// Nothing gives 200 W at -20 °C; V²/4R is the most at an instant.
	s, f := p.Power(p.At(0.5), -200, 1, -20)
	require.Equal(t, Weak, f.Stop)
	require.Zero(t, f.OutAh)
	require.InDelta(t, 0.5, s.SoC, 1e-6)
	quick := p.Resistance(-20).QuickOhm
	open := p.OpenCircuitV(0.5, -20)
	most := open * open / (4 * quick)
	_, f = p.Power(p.At(0.5), -0.999*most, 1e-6, -20)
	require.Equal(t, NoStop, f.Stop)
	_, f = p.Power(p.At(0.5), -1.001*most, 1e-6, -20)
	require.Equal(t, Weak, f.Stop)
}

// The circuit against its textbook response: a step of current into a rested
// pack.
func TestStepResponse(t *testing.T) {
	p := pack(t, LiFePO4, 1.5, 1, 1)
	c := p.Cell()
	const i, dt = -0.6, 25.0
	s, f := p.Current(p.At(0.5), i, dt, 25)
	tau := c.R1Ohm * c.C1Farad
	leak := 0.025 * 1.5 / 720
	soc := 0.5 + (i-leak)*dt/3600/1.5
	require.InDelta(t, soc, s.SoC, 1e-12)
	require.InDelta(t, i*c.R1Ohm*(1-math.Exp(-dt/tau)), s.SlowV, 1e-12)
	require.InDelta(t, c.Curve.OpenCircuitV(soc, 25)+i*c.R0Ohm+s.SlowV, f.EndV, 1e-12)
	require.InDelta(t, 0.6*dt/3600, f.OutAh, 1e-15)
	require.InDelta(t, leak*dt/3600, f.LostAh, 1e-15)
	// Then at rest it recovers with the same time constant.
	s2, _ := p.Current(s, 0, 3*tau, 25)
	require.InDelta(t, s.SlowV*math.Exp(-3), s2.SlowV, 1e-12)
	// In the cold both resistances are exp(2400 (1/253.15 - 1/298.15)) = 4.18 times as large.
	cold := math.Exp(2400 * (1/253.15 - 1/298.15))
	require.InDelta(t, 4.18, cold, 0.005)
	r := p.Resistance(-20)
	quick, settled := r.QuickOhm, r.SettledOhm
	require.InEpsilon(t, 0.03*cold, quick, 1e-8)
	require.InEpsilon(t, 0.05*cold, settled, 1e-8)
	// Without the slow part there is none.
	c.R1Ohm, c.C1Farad = 0, 0
	p, err := NewPack(c, 1, 1)
	require.NoError(t, err)
	s, f = p.Current(p.At(0.5), i, dt, 25)
	require.Zero(t, s.SlowV)
	require.InDelta(t, c.Curve.OpenCircuitV(soc, 25)+i*c.R0Ohm, f.EndV, 1e-12)
	s, f = p.Charge(p.At(0.97), Charger{SetV: 3.4, MaxA: 5}, 0, 3600, 25)
	require.Equal(t, Full, f.Stop)
	require.InDelta(t, 3.4, f.EndV, 1e-9)
	require.Zero(t, s.SlowV)
}

func TestSelfDischarge(t *testing.T) {
	p := pack(t, NickelMetalHydride, 2, 4, 1)
	s, f := p.Current(p.At(0.9), 0, 30*86400, 25)
	require.InDelta(t, 0.7, s.SoC, 1e-9)
	require.InDelta(t, 0.4, f.LostAh, 1e-9)
	s, _ = p.Current(p.At(0.9), 0, 15*86400, 35)
	require.InDelta(t, 0.7, s.SoC, 1e-7, "it doubles every 10 K")
	// It ends at empty.
	s, f = p.Current(p.At(0.1), 0, 360*86400, 25)
	require.InDelta(t, 0, s.SoC, 1e-12)
	require.InDelta(t, 0.2, f.LostAh, 1e-9)
	s, f = p.Current(p.At(-0.01), 0, 86400, 25)
	require.Equal(t, -0.01, s.SoC)
	require.Zero(t, f.LostAh)
}

func TestCoulombicEfficiency(t *testing.T) {
	p := pack(t, SealedLead, 7, 6, 1)
	_, f := p.Current(p.At(0.5), 1, 3600, 25)
	require.InDelta(t, 1, f.InAh, 1e-15)
	require.InDelta(t, 0.08+0.03*7/720, f.LostAh, 1e-12)
	_, f = p.Current(p.At(0.5), -1, 3600, 25)
	require.InDelta(t, 0.03*7/720, f.LostAh, 1e-12)
}

func TestUsable(t *testing.T) {
	p := pack(t, LiFePO4, 1.5, 2, 1)
	for tempC, want := range map[float64]float64{-40: 0.33, -30: 0.44, -20: 0.55, -15: 0.607, -10: 0.664, -5: 0.733, 0: 0.802, 12.5: 0.901, 25: 1, 60: 1} {
		require.InDelta(t, want, p.UsableFrac(tempC), 1e-12)
	}
	require.True(t, math.IsNaN(p.UsableFrac(-41)) && math.IsNaN(p.UsableFrac(86)) && math.IsNaN(p.UsableFrac(math.NaN())))
	c := p.Cell()
	c.Usable = nil
	bare, err := NewPack(c, 2, 1)
	require.NoError(t, err)
	require.Equal(t, 1.0, bare.UsableFrac(-30))
	// What the pack remembers is its own.
	c = p.Cell()
	c.Usable[0].UsableFrac = 0
	require.Equal(t, 0.33, p.UsableFrac(-40))
}

func TestChargedByCCCV(t *testing.T) {
	refdata.Each(t, "battery/charge/stage", func(r *refdata.Row) {
		c := LiFePO4.Curve()
		cell := Cell{Chemistry: LiFePO4, CapacityAh: r.F("capacityAh"), Curve: c, CoulombicEfficiency: 1}
		p, err := NewPack(cell, 1, 1)
		require.NoError(t, err)
		s, _ := p.Current(p.At(r.F("startSoC")), r.F("currentA"), r.F("timeH")*3600, 25)
		require.InDelta(t, r.F("endSoC"), s.SoC, 1e-12)
		r.Check("timeH", (s.SoC-r.F("startSoC"))*r.F("capacityAh")/r.F("currentA"), "constant current")
	})
}

func TestPackRefusals(t *testing.T) {
	good, err := TypicalCell(LiFePO4, 1.5)
	require.NoError(t, err)
	for text, f := range map[string]func(c *Cell){
		"unknown chemistry":               func(c *Cell) { c.Chemistry = 0 },
		"milliampere-hours?":              func(c *Cell) { c.CapacityAh = 1800 },
		"capacity NaN":                    func(c *Cell) { c.CapacityAh = math.NaN() },
		"milliohms?":                      func(c *Cell) { c.R0Ohm = 40 },
		"cell resistance -1":              func(c *Cell) { c.R1Ohm = -1 },
		"capacitor of the slow part":      func(c *Cell) { c.C1Farad = -1 },
		"needs its capacitor":             func(c *Cell) { c.C1Farad = 0 },
		"joules per mole?":                func(c *Cell) { c.ColdK = 20000 },
		"percent?":                        func(c *Cell) { c.CoulombicEfficiency = 99 },
		"self-discharge 61":               func(c *Cell) { c.SelfDischargePctPerMonth = 61 },
		"number of curve points 0":        func(c *Cell) { c.Curve = Curve{} },
		"number of points of the usable":  func(c *Cell) { c.Usable = make([]UsablePoint, 9) },
		"usable share of the capacity 80": func(c *Cell) { c.Usable[0].UsableFrac = 80 },
		"must rise":                       func(c *Cell) { c.Usable[1].TempC = -40 },
		"and usable share":                func(c *Cell) { c.Usable[1].UsableFrac = 0.1 },
		"cell temperature 253":            func(c *Cell) { c.Usable[1].TempC = 253 },
	} {
		c := good
		c.Usable = append([]UsablePoint(nil), good.Usable...)
		f(&c)
		_, err := NewPack(c, 2, 1)
		require.ErrorContains(t, err, text)
	}
	for _, n := range [][2]int{{0, 1}, {33, 1}, {1, 0}, {1, 101}} {
		_, err := NewPack(good, n[0], n[1])
		require.Error(t, err, n)
	}
	_, err = NewPack(good, 0, 1)
	require.EqualError(t, err, "number of cells in series 0 is outside 1..32")
}

// Whatever is no number or out of range makes everything NaN; whatever is
// accepted makes nothing NaN.
func TestInvalidSteps(t *testing.T) {
	p := pack(t, LiFePO4, 1.5, 2, 1)
	r := run(t, p, p.DefaultControl(7))
	nan, inf := math.NaN(), math.Inf(1)
	bad := func(s State, f Flow) {
		t.Helper()
		require.Equal(t, Invalid, f.Stop)
		for _, v := range []float64{s.SoC, s.SlowV, f.CurrentA, f.EndV, f.EndA, f.InAh, f.OutAh, f.LostAh, f.InWh, f.OutWh} {
			require.True(t, math.IsNaN(v))
		}
	}
	ok := p.At(0.5)
	for _, x := range []struct {
		s         State
		dt, tempC float64
	}{
		{ok, 0, 20}, {ok, -1, 20}, {ok, 4.1e7, 20}, {ok, nan, 20}, {ok, 60, -40.01}, {ok, 60, 85.01}, {ok, 60, nan},
		{State{nan, 0}, 60, 20}, {State{0.5, nan}, 60, 20}, {State{inf, 0}, 60, 20},
	} {
		bad(p.Current(x.s, 0.1, x.dt, x.tempC))
		bad(p.Power(x.s, 0.1, x.dt, x.tempC))
		bad(p.Charge(x.s, Charger{7, 1, 0}, 0, x.dt, x.tempC))
		bad(r.Step(x.s, 0.1, x.dt, x.tempC))
	}
	for _, v := range []float64{nan, inf, -inf} {
		bad(p.Current(ok, v, 60, 20))
		bad(p.Power(ok, v, 60, 20))
		bad(r.Step(ok, v, 60, 20))
		bad(p.Charge(ok, Charger{v, 1, 0}, 0, 60, 20))
		bad(p.Charge(ok, Charger{7, v, 0}, 0, 60, 20))
		bad(p.Charge(ok, Charger{7, 1, v}, 0, 60, 20))
		bad(p.Charge(ok, Charger{7, 1, 0}, v, 60, 20))
	}
	for _, c := range []Charger{{0, 1, 0}, {7, -1, 0}, {7, 1, -1}} {
		bad(p.Charge(ok, c, 0, 60, 20))
	}
	bad(p.Charge(ok, Charger{7, 1, 0}, -0.1, 60, 20))
	require.Equal(t, "invalid argument", Invalid.String())
	require.Equal(t, "none", NoStop.String())
	require.Equal(t, "unknown", Stop(99).String())
	require.True(t, math.IsNaN(p.OpenCircuitV(0.5, 90)) && math.IsNaN(p.OpenCircuitV(nan, 20)))
	cold := p.Resistance(-50)
	require.True(t, math.IsNaN(cold.QuickOhm) && math.IsNaN(cold.SettledOhm))
}

// TestLongestStepAndLargestCharger: a step of 4e7 s is one, a longer one is not; the
// numbers of a charger end below 10 kV, 1 MA and 1 Mohm.
func TestLongestStepAndLargestCharger(t *testing.T) {
	p := pack(t, LiFePO4, 1.5, 2, 1)
	s := p.At(0.5)
	_, f := p.Charge(s, Charger{7, 1, 0.1}, 0, 4e7, 25)
	require.NotEqual(t, Invalid, f.Stop)
	_, f = p.Charge(s, Charger{7, 1, 0.1}, 0, math.Nextafter(4e7, 1e9), 25)
	require.Equal(t, Invalid, f.Stop)
	for _, c := range []Charger{{1e4, 1, 0.1}, {7, 1e6, 0.1}, {7, 1, 1e6}} {
		_, f := p.Charge(s, c, 0, 60, 25)
		require.Equal(t, Invalid, f.Stop, "%+v", c)
		for _, v := range []*float64{&c.SetV, &c.MaxA, &c.SeriesOhm} {
			if *v >= 1e4 {
				*v = math.Nextafter(*v, 0)
			}
		}
		_, f = p.Charge(s, c, 0, 60, 25)
		require.NotEqual(t, Invalid, f.Stop, "%+v", c)
	}
}
