package switching

import (
	"math"
	"testing"

	"github.com/stationphysics/stationphysics/internal/limit/limittest"
)

// FuzzAnyStage makes any stage that New takes: refused or finite, no panic, and
// no more power out than in.
func FuzzAnyStage(f *testing.F) {
	f.Add(5.0, uint8(0), 3e5, 33e-6, 0.05, 0.1, 0.0, 0.45, 30e-9, 10e-9, 5.0, 0.002, 100e-6, 0.05, 0.95, 3.0, 40.0, 4.5, 0.1, 12.0, 0.5, 0.2)
	f.Add(12.0, uint8(6), 1e3, 0.1, 0.0, 0.0, 0.1, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 1.0, 100.0, 11.0, 0.0, 0.0, 5.0, 1e-6, 1.0)
	f.Add(0.5, uint8(1), 1e7, 1e-8, 100.0, 100.0, 0.0, 2.0, 1e-5, 1e-5, 50.0, 0.1, 1.0, 100.0, 0.1, 0.001, 150.0, 100.0, 5.0, 101.0, 1e-9, 1e-9)
	f.Add(math.NaN(), uint8(9), 300.0, 33.0, -1.0, math.Inf(1), 1.0, 450.0, 30.0, 10.0, 60.0, 2.0, 100.0, -1.0, 95.0, 0.0, 1.0, 200.0, 6.0, -1.0, math.NaN(), 0.0)
	f.Fuzz(func(t *testing.T, out float64, how uint8, hz, henry, coil, on, rect, rectV, edges, gate, gateV, idle, farad, esr, duty, limitA, maxIn, least, pass, inV, loadA, rippleA float64) {
		s := Spec{OutputV: out, StepUp: how&4 != 0, FrequencyHz: hz, InductanceHenry: henry, CoilOhm: coil, SwitchOhm: on, RectifierOhm: rect, RectifierV: rectV, EdgesS: edges,
			GateCoulomb: gate, GateV: gateV, QuiescentA: idle, LightLoad: LightLoad(how % 4), OutputFarad: farad, OutputEsrOhm: esr, MaxDutyFrac: duty, CurrentLimitA: limitA,
			MaxInputV: maxIn, LeastInputV: least, PassDropV: pass}
		g, err := New(s)
		limittest.ZeroIfRefused(t, g, err)
		if err != nil {
			return
		}
		o, ok := g.At(inV, loadA)
		if !ok && o != (Operation{}) {
			t.Fatalf("%+v beside no answer", o)
		}
		if loadA > 1e6 {
			return
		}
		limittest.Finite(t, "operation", o, o.LossW(), o.EfficiencyFrac())
		if ok && !(o.DutyFrac >= 0 && o.DutyFrac <= 1 && o.LossW() >= 0 && o.EfficiencyFrac() >= 0 && o.EfficiencyFrac() <= 1 && o.PeakA >= o.CoilA*(1-1e-9)-1e-12 && o.RateHz >= 0 && o.RateHz <= hz) {
			t.Fatalf("%+v at %v V and %v A: %+v", s, inV, loadA, o)
		}
		limittest.NumberIff(t, !s.StepUp && loadA >= 0 && loadA <= limitA, "LeastInputV", g.LeastInputV(loadA))
		if h := g.NeededHenry(inV, rippleA); rippleA > 1e-12 && inV < 1e6 {
			limittest.NumberIff(t, inV > 0 && (inV > out) == !s.StepUp && inV != out, "NeededHenry", h)
		} else if !(rippleA > 0) {
			limittest.NumberIff(t, false, "NeededHenry", h)
		}
		spec, err := g.Converter(inV, loadA, 2*loadA)
		limittest.Finite(t, "curve", spec)
		if err == nil && (len(spec.Curve) != 2 || spec.LimitA != 2*loadA) {
			t.Fatalf("%+v", spec)
		}
	})
}
