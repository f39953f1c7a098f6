package transient

import (
	"math"
	"testing"

	"github.com/stationphysics/stationphysics/internal/limit/limittest"
)

func FuzzPulseTrain(f *testing.F) {
	f.Add(3.0, 0.01, 20.0, 4.0, 2.0, 0.1, 1.0, 7)
	f.Add(1e-9, 1e-12, 1e6, 1e12, 1e5, 1e-12, 1e12, 1)
	f.Add(1.0, 1e12, 1.0, 1e12, 1e5, 1e-12, 1e-12, math.MaxInt)
	f.Add(math.NaN(), 0.0, -1.0, math.Inf(1), -1.0, 2.0, 1.0, 0)
	f.Fuzz(func(t *testing.T, r1, t1, r2, t2, power, on, period float64, number int) {
		p, err := NewPulseTrain(power, on, period)
		limittest.ZeroIfRefused(t, p, err)
		if ok := heatPower.Holds(power) && pulseTime.Holds(on) && pulseTime.Holds(period) && on <= period; ok != (err == nil) {
			t.Fatalf("NewPulseTrain(%g, %g, %g): %v", power, on, period, err)
		}
		z, err := NewFoster(Term{r1, t1}, Term{r2, t2})
		if err != nil {
			return
		}
		peak, mean, trough, end := z.PulsePeakK(p), z.PulseMeanK(p), z.PulseTroughK(p), z.PulseEndK(p, number)
		limittest.Finite(t, "pulses", peak, mean, trough)
		limittest.NumberIff(t, number >= 1, "PulseEndK", end)
		most := z.TotalKPerW() * p.powerW
		slack := 1e-9 * most
		if trough < 0 || trough > mean+slack || mean > peak+slack || peak > most+slack || end > peak+slack {
			t.Fatalf("%+v of %+v: trough %g, mean %g, peak %g of %g K, pulse %d %g K", p, z.Terms(), trough, mean, peak, most, number, end)
		}
	})
}

func FuzzNetwork(f *testing.F) {
	f.Add(0.8, 0.001, 2.5, 0.02, 40.0, 5.0, 2.0, 0.5, 60.0)
	f.Add(1e-9, 1e-12, 1e6, 1e9, 1.0, 0.0, 1.0, 0.0, 1e12)
	f.Add(1.0, 0.0, 1.0, 0.0, 1.0, 0.0, 1e5, 1e5, 0.0)
	f.Add(1.0, 0.0, 2.0, 1.0, 3.0, 0.0, 0.0, 1.0, 1e-300)
	f.Add(math.NaN(), 1.0, 0.0, -1.0, math.Inf(1), math.NaN(), math.NaN(), 0.0, -1.0)
	f.Fuzz(func(t *testing.T, k1, c1, k2, c2, k3, c3, p1, p2, at float64) {
		w, err := NewNetwork([]Node{{"a", c1}, {"b", c2}, {"c", c3}}, []Link{{"a", "b", k1}, {"b", "c", k2}, {"c", Ambient, k3}})
		if err != nil {
			if w != nil || err.Error() == "" {
				t.Fatalf("%v beside %q", w, err)
			}
			return
		}
		if len(w.Names()) != 3 {
			t.Fatal(w.Names())
		}
		taus := w.TimeConstantsS()
		for _, tau := range taus {
			if !(tau > 0) || math.IsInf(tau, 1) {
				t.Fatalf("a time constant of %g s", tau)
			}
		}
		if !heatPower.Holds(p1) || !heatPower.Holds(p2) {
			return
		}
		power := []float64{p1, 0, p2}
		steady, rise, next := make([]float64, 3), make([]float64, 3), make([]float64, 3)
		w.SteadyK(steady, power)
		r := w.Step(power)
		r.RiseK(rise, at)
		one := make([]float64, 1)
		r.NodeK(one, 1, []float64{at})
		limittest.Finite(t, "SteadyK", steady)
		limittest.NumberIff(t, at >= 0, "response", rise, one)
		if at >= 0 && one[0] != rise[1] {
			t.Fatalf("%g K alone, %g K among all", one[0], rise[1])
		}
		s, err := w.Stepper(at)
		if stepTime.Holds(at) != (err == nil) {
			t.Fatalf("Stepper(%g): %v", at, err)
		}
		if err != nil {
			return
		}
		s.Next(next, make([]float64, 3), power)
		most := 0.0
		for _, v := range steady {
			most = max(most, v)
		}
		for i := range next {
			// All rises lie between the air's and the end's; the condition that is
			// still solved leaves 1e-4.
			if slack := 2e-4*most + 1e-300; rise[i] < -slack || rise[i] > steady[i]+slack || math.Abs(next[i]-rise[i]) > slack {
				t.Fatalf("node %d: %g K by the response, %g K by the step, %g K in the end", i, rise[i], next[i], steady[i])
			}
		}
	})
}

func FuzzLadder(f *testing.F) {
	f.Add(0.8, 0.001, 2.5, 0.02, 4.0, 0.5, 0.1)
	f.Add(1e-9, 1e-12, 1e6, 1e9, 1e-9, 1e9, 1e12)
	f.Add(1.0, 1.0, 1.0, 1.0, 1.0, 1.0, 0.0)
	f.Add(0.0, 1.0, math.NaN(), 1.0, 1.0, math.Inf(1), -1.0)
	f.Fuzz(func(t *testing.T, k1, c1, k2, c2, k3, c3, at float64) {
		l, err := NewLadder(Stage{k1, c1}, Stage{k2, c2}, Stage{k3, c3})
		ok := true
		for _, s := range []Stage{{k1, c1}, {k2, c2}, {k3, c3}} {
			ok = ok && someResistance.Holds(s.KPerW) && stageCapacity.Holds(s.JPerK)
		}
		if ok != (err == nil) || ok != (len(l.Stages()) == 3) {
			t.Fatalf("%+v: %v", l, err)
		}
		if !ok {
			return
		}
		z := l.Foster()
		limittest.Finite(t, "Foster", z.Terms())
		for _, term := range z.Terms() {
			if term.KPerW < 0 || !(term.TauS > 0) {
				t.Fatalf("%+v has the term %+v", l, term)
			}
		}
		if total := l.TotalKPerW(); math.Abs(z.TotalKPerW()-total) > 1e-6*total {
			t.Fatalf("%+v: %g K/W, its sum %g K/W", l, total, z.TotalKPerW())
		}
		limittest.NumberIff(t, at >= 0, "ZthKPerW", z.ZthKPerW(at))
		w, err := l.Network()
		if err != nil || !(at >= 0) {
			return // it said that it cannot
		}
		rise := make([]float64, 3)
		w.Step([]float64{1, 0, 0}).RiseK(rise, at)
		if math.Abs(rise[0]-z.ZthKPerW(at)) > 2e-4*l.TotalKPerW() {
			t.Fatalf("%+v at %g s: %g K as a network, %g K as a sum", l, at, rise[0], z.ZthKPerW(at))
		}
	})
}

func FuzzFitWarmUp(f *testing.F) {
	f.Add(20.0, 2.0, 60.0, 20.0, 45.0, 57.0, 63.0, 66.0, 67.5)
	f.Add(20.0, 2.0, 1e-9, 20.0, 20.0, 20.0, 20.0, 20.0, 20.0)
	f.Add(25.0, 1e-9, 1e8, 400.0, -100.0, 400.0, -100.0, 400.0, -100.0)
	f.Add(25.0, 1e5, 10.0, 80.0, 55.0, 42.5, 36.2, 33.1, 31.6)
	f.Add(293.0, 0.0, math.NaN(), math.Inf(1), 0.0, 0.0, 0.0, 0.0, 0.0)
	f.Fuzz(func(t *testing.T, ambient, power, step, y0, y1, y2, y3, y4, y5 float64) {
		temps := []float64{y0, y1, y2, y3, y4, y5}
		times := make([]float64, len(temps))
		for i := range times {
			times[i] = float64(i) * step
		}
		w, err := FitWarmUp(times, temps, ambient, power)
		limittest.ZeroIfRefused(t, w, err)
		if err != nil {
			return
		}
		limittest.Finite(t, "WarmUp", w)
		if !(w.TauS > 0) || w.ScatterK < 0 || w.TauErrorS < 0 || w.EndErrorC < 0 || w.ThetaErrorKPerW < 0 {
			t.Fatalf("%+v", w)
		}
	})
}
