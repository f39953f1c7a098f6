package battery

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/require"
)

// The circuit once more, as plainly as can be: the two differential equations
// with the charger's law, integrated by Runge and Kutta's method in steps of a
// twenty-fifth of a second. It shares no line with the exact step.
type plain struct {
	p                        *Pack
	tempC                    float64
	r0, r1, c1, eta, leak, q float64
	set, rs, lo, hi          float64
}

func plainly(t *testing.T, p *Pack, tempC float64, c Charger, load float64) *plain {
	t.Helper()
	cell := p.Cell()
	n := float64(p.Series())
	cold := math.Exp(cell.ColdK * (1/(tempC+273.15) - 1/298.15))
	return &plain{p: p, tempC: tempC, r0: n * cell.R0Ohm * cold, r1: n * cell.R1Ohm * cold, c1: cell.C1Farad / n, eta: cell.CoulombicEfficiency,
		leak: cell.SelfDischargePctPerMonth / 100 * cell.CapacityAh / 720 * math.Exp2((tempC-25)/10), q: cell.CapacityAh * 3600,
		set: c.SetV - load*c.SeriesOhm, rs: c.SeriesOhm, lo: -load, hi: c.MaxA - load}
}

// ocv is the pack's curve from the cell's points, written anew.
func (o *plain) ocv(s float64) float64 {
	pts := o.p.cell.Curve.pts
	k := 1
	for k < len(pts)-1 && s > pts[k].SoC {
		k++
	}
	at := func(q CurvePoint) float64 { return q.V + q.VPerK*(o.tempC-25) }
	a, b := pts[k-1], pts[k]
	return float64(o.p.series) * (at(a) + (at(b)-at(a))*(s-a.SoC)/(b.SoC-a.SoC))
}

func (o *plain) current(s, v float64) float64 {
	return math.Min(math.Max((o.set-o.ocv(s)-v)/(o.r0+o.rs), o.lo), o.hi)
}

func (o *plain) slope(s, v float64) (ds, dv, di, power float64) {
	i := o.current(s, v)
	g := i
	if i > 0 {
		g *= o.eta
	}
	return (g - o.leak) / o.q, i/o.c1 - v/(o.r1*o.c1), i, i * (o.ocv(s) + v + i*o.r0)
}

func (o *plain) run(st State, seconds float64) (to State, ah, wh, endV, endA float64) {
	const h = 0.04
	s, v := st.SoC, st.SlowV
	for range int(math.Round(seconds / h)) {
		a1, b1, c1, d1 := o.slope(s, v)
		a2, b2, c2, d2 := o.slope(s+h/2*a1, v+h/2*b1)
		a3, b3, c3, d3 := o.slope(s+h/2*a2, v+h/2*b2)
		a4, b4, c4, d4 := o.slope(s+h*a3, v+h*b3)
		s += h / 6 * (a1 + 2*a2 + 2*a3 + a4)
		v += h / 6 * (b1 + 2*b2 + 2*b3 + b4)
		ah += h / 6 * (c1 + 2*c2 + 2*c3 + c4) / 3600
		wh += h / 6 * (d1 + 2*d2 + 2*d3 + d4) / 3600
	}
	i := o.current(s, v)
	return State{s, v}, ah, wh, o.ocv(s) + v + i*o.r0, i
}

func TestExactStepAgainstPlainIntegration(t *testing.T) {
	for _, ch := range []Chemistry{LiFePO4, SealedLead, NickelMetalHydride} {
		p := pack(t, ch, 1.5, 3, 1)
		high := p.OpenCircuitV(0.995, 25)
		for _, tempC := range []float64{-10, 40} {
			for _, x := range []struct {
				start State
				c     Charger
				load  float64
			}{
				{State{0.93, 0}, Charger{high, 0.6, 0}, 0},                         // constant current, then held
				{State{0.97, 0}, Charger{high, 0.6, 0.4}, 0.05},                    // the same behind a wire, with a load
				{State{0.985, 0.25}, Charger{high, 0.9, 0.2}, 0},                   // rested high, then taken up again
				{State{0.9, -0.2}, Charger{p.OpenCircuitV(0.88, 25), 0.5, 0}, 0.3}, // above the set voltage: the load empties it first
				{State{0.5, 0.1}, Charger{high, 0.3, 0}, 0.5},                      // the load exceeds the charger
			} {
				name := fmt.Sprintf("%v %v °C %+v", ch, tempC, x)
				o := plainly(t, p, tempC, x.c, x.load)
				want, ah, wh, endV, endA := o.run(x.start, 1200)
				s, f := p.Charge(x.start, x.c, x.load, 1200, tempC)
				require.InDelta(t, want.SoC, s.SoC, 3e-7, name)
				require.InDelta(t, want.SlowV, s.SlowV, 3e-5, name)
				require.InDelta(t, ah, f.InAh-f.OutAh, 1e-6, name)
				require.InDelta(t, wh, f.InWh-f.OutWh, 1e-5, name)
				require.InDelta(t, endV, f.EndV, 5e-5, name)
				require.InDelta(t, endA, f.EndA, 2e-4, name)
				require.InDelta(t, ah*3, f.CurrentA, 3e-6, name)
			}
		}
	}
}

// A cycle gives back less energy than it took, by the heat in the resistances.
func TestCycleLosesItsHeat(t *testing.T) {
	c := pack(t, LiFePO4, 1.5, 1, 1).Cell()
	c.CoulombicEfficiency, c.SelfDischargePctPerMonth = 1, 0
	p, err := NewPack(c, 1, 1)
	require.NoError(t, err)
	const i, h = 0.3, 7200.0
	s, in := p.Current(p.At(0.3), i, h, 25)
	s, out := p.Current(s, -i, h, 25)
	require.InDelta(t, 0.3, s.SoC, 1e-12)
	// I²(R0+R1) all the time, less what the slow part does not yet drop at the start
	// of either run: R1 tau I² (1 - e) while it settles, and again against it.
	tau := c.R1Ohm * c.C1Farad
	heat := 2*i*i*(c.R0Ohm+c.R1Ohm)*h - i*i*c.R1Ohm*tau - 2*i*i*c.R1Ohm*tau
	require.InEpsilon(t, heat/3600, in.InWh-out.OutWh, 1e-6)
}

// More sun never leaves less in the pack, and colder cells never more.
func TestMoreSunMoreCharge(t *testing.T) {
	p := pack(t, LiFePO4, 1.5, 2, 1)
	r := run(t, p, p.DefaultControl(7))
	end := func(sun, tempC float64) float64 {
		s := p.At(0.6)
		for h := range 240 {
			w := -0.15
			if h%24 > 8 && h%24 < 16 {
				w += sun
			}
			s, _ = r.Step(s, w, 3600, tempC)
		}
		return s.SoC
	}
	last := -1.0
	for sun := 0.0; sun < 3; sun += 0.1 {
		e := end(sun, 10)
		require.GreaterOrEqual(t, e, last-1e-12)
		last = e
	}
	require.Greater(t, end(1, 10), end(1, -1))
}
