package power

import (
	"math"
	"testing"

	"github.com/stationphysics/stationphysics/internal/limit/limittest"
)

// The targets beside each kind of part ask one fixed part about any input;
// these make any part that a constructor takes, and ask all it can tell.

func ordinary(v float64) bool { return v >= 0 && v <= 1e6 }

func FuzzAnyLinear(f *testing.F) {
	f.Add(5.0, 2.0, 1.1, 0.2, 0.005, 0.0, 15.0, 1.0, 125.0, 150.0, 12.0, 0.1, 50.0, 30.0, 60.0)
	f.Add(0.5, 0.0, 0.0, 0.0, 0.0, 0.0, 0.6, 0.001, 0.0, 0.0, 0.55, 0.0, 0.0, -90.0, 0.01)
	f.Add(60.0, 20.0, 5.0, 50.0, 0.1, 0.2, 150.0, 20.0, 200.0, 250.0, 150.0, 20.0, 1e6, 150.0, 2000.0)
	f.Add(5000.0, -1.0, 1100.0, math.NaN(), 5.0, 2.0, 4.0, 800.0, 400.0, 40.0, -1.0, math.NaN(), math.Inf(1), 300.0, 0.0)
	f.Fuzz(func(t *testing.T, set, band, dropout, dropoutOhm, quiescent, ground, maxIn, limitA, junctionC, shutdownC, inV, loadA, ohm, ambientC, theta float64) {
		s := LinearSpec{SetV: set, BandPct: band, DropoutV: dropout, DropoutOhm: dropoutOhm, QuiescentA: quiescent, GroundRatio: ground, MaxInputV: maxIn,
			CurrentLimitA: limitA, MaxJunctionC: junctionC, ShutdownC: shutdownC}
		r, err := NewLinear(s)
		limittest.ZeroIfRefused(t, r, err)
		cool := Cooling{AmbientC: ambientC, ThetaKPerW: theta}
		cools := ambientC >= -90 && ambientC <= 150 && theta >= 0.01 && theta <= 2000
		if cools != (cool.Check() == nil) {
			t.Fatal(cool.Check())
		}
		limittest.NumberIff(t, false, "no part", Linear{}.AtHot(inV, ohm, cool), Linear{}.Shorted(inV, ohm, 1))
		if err != nil {
			return
		}
		if r.Spec() != s {
			t.Fatalf("%+v came back as %+v", s, r.Spec())
		}
		low, high := r.BandV()
		limittest.Finite(t, "band", low, high)
		loads := ordinary(inV) && ordinary(loadA)
		ohms := ordinary(inV) && ordinary(ohm)
		p := r.At(inV, loadA)
		for name, p := range map[string]Point{"At": p, "AtOhm": r.AtOhm(inV, ohm), "AtHot": r.AtHot(inV, ohm, cool), "Shorted": r.Shorted(inV, ohm, 0.1)} {
			ok := ohms
			switch name {
			case "At":
				ok = loads
			case "AtHot":
				ok = ohms && cools && shutdownC != 0
			}
			if !ok {
				continue
			}
			limittest.Finite(t, name, p, p.HeadroomV(), p.LoadW(), p.EfficiencyFrac())
			if p.DissipationW < 0 || p.OutputV < 0 || p.LoadA < 0 {
				t.Fatalf("%s of %+v: %+v", name, s, p)
			}
			limittest.NumberIff(t, cools, name+" junction", cool.JunctionC(p))
			if name == "AtHot" && p.State == ThermallyLimited && quiescent*inV*theta+ambientC < shutdownC && math.Abs(cool.JunctionC(p)-shutdownC) > 1e-6*(1+shutdownC) {
				t.Fatalf("%+v limits at %v °C instead of %v °C", s, cool.JunctionC(p), shutdownC)
			}
		}
		limittest.NumberIff(t, !math.IsNaN(p.InputA), "InputA", r.InputA(inV, loadA))
		limittest.NumberIff(t, loadA >= 0 && loadA <= limitA, "DropoutV", r.DropoutV(loadA))
		limittest.NumberIff(t, cools && junctionC != 0, "AllowedW", r.AllowedW(cool))
		limittest.NumberIff(t, cools, "PowerW", cool.PowerW(150))
		heat := ohm >= 0 && !math.IsInf(ohm, 1)
		if heat || math.IsNaN(ohm) {
			limittest.NumberIff(t, heat && inV >= 0 && inV <= maxIn, "LargestLoadA", r.LargestLoadA(inV, ohm))
		}
		if v := r.LargestInputV(loadA, ohm); !math.IsNaN(v) && !(v >= 0 && v <= maxIn && loadA <= limitA) {
			t.Fatalf("LargestInputV(%v, %v) = %v", loadA, ohm, v)
		}
	})
}

func FuzzAnyConverter(f *testing.F) {
	f.Add(5.0, false, 4.5, 24.0, 0.3, 0.2, 0.005, 2.0, 12.0, 0.01, 0.6, 1.0, 0.9, true, 12.0, 0.3)
	f.Add(12.0, true, 3.0, 11.0, 0.4, 0.1, 0.01, 1.0, 6.0, 0.01, 0.5, 0.5, 0.85, false, 6.0, 0.2)
	f.Add(0.5, false, 0.0, 150.0, 0.0, 0.0, 0.0, 0.001, 0.6, 1e-9, 0.999, 50.0, 0.001, true, 0.5, 0.0)
	f.Add(math.NaN(), false, -1.0, 0.0, 50.0, 100.0, 5.0, 2000.0, 0.0, 0.0, 90.0, -1.0, 2.0, false, math.Inf(1), -1.0)
	f.Fuzz(func(t *testing.T, out float64, up bool, minIn, maxIn, head, headOhm, idle, limitA, curveV, a1, e1, a2, e2 float64, steady bool, inV, loadA float64) {
		s := ConverterSpec{OutputV: out, StepUp: up, MinInputV: minIn, MaxInputV: maxIn, HeadroomV: head, HeadroomOhm: headOhm, QuiescentA: idle, LimitA: limitA,
			CurveInputV: curveV, Curve: []EfficiencyPoint{{a1, e1}, {a2, e2}}, IdleIsSteady: steady}
		c, err := NewConverter(s)
		limittest.ZeroIfRefused(t, c, err)
		if err != nil {
			return
		}
		if got := c.Spec(); got.LimitA != limitA || len(got.Curve) != 2 {
			t.Fatalf("%+v came back as %+v", s, got)
		}
		least := c.MinInputV(loadA)
		limittest.NumberIff(t, loadA >= 0 && loadA <= limitA, "MinInputV", least)
		p := c.At(inV, loadA)
		if ordinary(inV) && ordinary(loadA) {
			limittest.Finite(t, "At", p, p.LoadW(), p.EfficiencyFrac(), c.InputA(inV, loadA))
			if p.OutputV < 0 || p.InputA < 0 || p.DissipationW < -1e-9*(1+p.LoadW()) {
				t.Fatalf("%+v at %v V, %v A: %+v", s, inV, loadA, p)
			}
			if p.State == Regulating && inV < least-1e-9 || p.State == Dropout && inV > least+1e-9 {
				t.Fatalf("%+v at %v V, %v A: %v, least input %v V", s, inV, loadA, p.State, least)
			}
		}
		r, err := NewLinear(LinearSpec{SetV: out, DropoutV: 1, QuiescentA: 0.005, MaxInputV: 100, CurrentLimitA: 1})
		if err == nil {
			if from := BreakEvenA(c, r, inV); from < 0 || !math.IsInf(from, 1) && from > min(limitA, 1) {
				t.Fatalf("breaks even at %v A", from)
			}
		}
	})
}

func FuzzAnyCharger(f *testing.F) {
	f.Add(17.0, 14.0, 2.0, 0.9, false, 1.0, 0.001, 0.001, 28.0, 5.0, 13.0, 0.1, 17.5, 0.57, 21.6, 0.62)
	f.Add(7.0, 7.0, 0.001, 0.0, true, 0.0, 0.1, 0.1, 150.0, 0.0, 1.0, 0.0, 0.1, 1e-6, 0.2, 2e-6)
	f.Add(100.0, 90.0, 50.0, 1.0, false, 10.0, 0.0, 0.0, 150.0, 1e6, 89.0, 1e6, 199.0, 199.0, 200.0, 200.0)
	f.Add(math.NaN(), 0.0, 2000.0, 90.0, true, -1.0, 1.0, 1.0, 0.0, -1.0, 0.0, math.NaN(), 21.0, 0.6, 20.0, 0.5)
	f.Fuzz(func(t *testing.T, hold, set, limitA, eff float64, linear bool, head, idle, reverse, maxIn, panelW, packV, packOhm, vmp, imp, voc, isc float64) {
		s := ChargerSpec{HoldV: hold, SetV: set, LimitA: limitA, EfficiencyFrac: eff, Linear: linear, HeadroomV: head, QuiescentA: idle, ReverseA: reverse, MaxInputV: maxIn}
		c, err := NewCharger(s)
		limittest.ZeroIfRefused(t, c, err)
		if err != nil {
			return
		}
		if c.Spec() != s && !math.IsNaN(eff) {
			t.Fatalf("%+v came back as %+v", s, c.Spec())
		}
		known := panelW >= 0 && panelW < math.MaxFloat64 && packV > 0 && packV < math.MaxFloat64
		limittest.NumberIff(t, known, "OutputA", c.OutputA(panelW, packV))
		if a := c.OutputA(panelW, packV); a < 0 || a > limitA {
			t.Fatalf("%v A from a charger of %v A", a, limitA)
		}
		if p := c.At(panelW, packV, packOhm); known && ordinary(panelW) && ordinary(packV) && ordinary(packOhm) {
			limittest.Finite(t, "At", p)
		}
		panel := PanelPoint{Vmp: vmp, Imp: imp, Voc: voc, Isc: isc}
		ok := panel.Check() == nil
		share := c.HeldFrac(panel)
		limittest.NumberIff(t, ok, "panel", share, c.InputMarginV(panel))
		if share < 0 {
			t.Fatalf("%v of %+v", share, panel)
		}
	})
}

func FuzzAnyDiode(f *testing.F) {
	f.Add(1e-7, 1.05, 0.1, 25.0, 0.69, 2.0, 60.0, 0.5, 0.3, 0.3, 0.1, 0.45, 1.0, false)
	f.Add(1e-20, 0.8, 0.0, -90.0, 0.2, 0.0, 200.0, 1e-9, -1000.0, 0.05, 1e-9, 5.0, 100.0, true)
	f.Add(0.1, 4.0, 100.0, 200.0, 3.5, 10.0, -90.0, 100.0, 1000.0, 0.6, 0.1, 0.6, 0.2, true)
	f.Add(math.NaN(), 0.0, -1.0, 300.0, 0.0, 20.0, 500.0, math.Inf(1), 2000.0, 600.0, 0.0, 0.4, 200.0, false)
	f.Fuzz(func(t *testing.T, is, n, rs, nominalC, barrier, growth, c, i, v, v1, i1, v2, i2 float64, junction bool) {
		s := DiodeSpec{SaturationA: is, Ideality: n, SeriesOhm: rs, NominalC: nominalC, BarrierV: barrier, GrowthExponent: growth}
		d, err := NewDiode(s)
		ok := is >= 1e-20 && is <= 0.1 && n >= 0.8 && n <= 4 && rs >= 0 && rs <= 100 && nominalC >= -90 && nominalC <= 200 && barrier >= 0.2 && barrier <= 3.5 && growth >= 0 && growth <= 10
		if ok != (err == nil) {
			t.Fatal(err)
		}
		limittest.ZeroIfRefused(t, d, err)
		kind := Schottky
		if junction {
			kind = Junction
		}
		fitted, ferr := DiodeFromPoints(kind, nominalC, ForwardPoint{v1, i1}, ForwardPoint{v2, i2})
		limittest.ZeroIfRefused(t, fitted, ferr)
		if ferr == nil && !(math.Abs(fitted.VoltageV(i1)-v1) < 1e-6 && math.Abs(fitted.VoltageV(i2)-v2) < 1e-6) {
			t.Fatalf("%+v stands at %v V and %v V instead of %v V and %v V", fitted.Spec(), fitted.VoltageV(i1), fitted.VoltageV(i2), v1, v2)
		}
		for _, d := range []Diode{d, fitted} {
			if d == (Diode{}) {
				continue
			}
			limittest.Finite(t, "diode", d.Spec(), d.TempC())
			hot := d.At(c)
			ok := c >= -90 && c <= 200
			if a := hot.CurrentA(v); hot.s.SeriesOhm > 0 || !math.IsInf(a, 1) {
				limittest.NumberIff(t, ok && v >= -1000 && v <= 1000, "CurrentA", a)
			}
			if math.IsNaN(hot.VoltageV(i)) != math.IsNaN(hot.SlopeOhm(i)) {
				t.Fatalf("%v V and %v ohm at %v A", hot.VoltageV(i), hot.SlopeOhm(i), i)
			}
			if i >= 0 && i <= 1e6 {
				limittest.NumberIff(t, ok, "forward", hot.VoltageV(i), hot.SlopeOhm(i))
			}
		}
	})
}

func FuzzLoadPattern(f *testing.F) {
	f.Add(600.0, 0.0001, 0.08, 4.0, 1.0, 0.3, 0.5, 0.2, 12.0, 0.001, 5.0)
	f.Add(1e-3, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0)
	f.Add(1e7, 100.0, 100.0, 1e6, 5.0, 100.0, 1e6, 5.0, 1e6, 1e6, 1e6)
	f.Add(0.0, -1.0, 200.0, math.NaN(), 1e9, 80.0, -1.0, 0.0, math.Inf(1), math.NaN(), -5.0)
	supply, err := NewLinear(LinearSpec{SetV: 5, DropoutV: 1, QuiescentA: 0.005, MaxInputV: 15, CurrentLimitA: 1})
	if err != nil {
		f.Fatal(err)
	}
	f.Fuzz(func(t *testing.T, period, asleep, a1, s1, n1, a2, s2, n2, sourceV, steadyA, railV float64) {
		s := LoadSpec{PeriodS: period, AsleepA: asleep, Phases: []LoadPhase{{CurrentA: a1, DurationS: s1, RepeatCount: n1}, {CurrentA: a2, DurationS: s2, RepeatCount: n2}}}
		p, err := NewLoad(s)
		limittest.ZeroIfRefused(t, p, err)
		if err != nil {
			return
		}
		twice := p.Beside(p)
		for _, p := range []Load{p, twice, p.Beside(Load{}), {}} {
			limittest.Finite(t, "pattern", p.Spec(), p.MeanA(), p.PeakA(), p.AsleepFrac(), p.PerDayAh())
			if p.MeanA() > p.PeakA()*(1+1e-9) || p.AsleepFrac() < 0 || p.AsleepFrac() > 1 {
				t.Fatalf("%+v: mean %v A, peak %v A, asleep %v", p.Spec(), p.MeanA(), p.PeakA(), p.AsleepFrac())
			}
			if ordinary(railV) {
				limittest.Finite(t, "PerDayWh", p.PerDayWh(railV))
			}
			from := p.SourceA(supply, sourceV, steadyA)
			if steadyA >= 0 && steadyA < 1e300 {
				limittest.NumberIff(t, sourceV >= 0 && sourceV < math.MaxFloat64, "SourceA", from)
			}
		}
		if math.Abs(twice.MeanA()-2*p.MeanA()) > 1e-9*(1+p.MeanA()) {
			t.Fatalf("%v A beside itself makes %v A", p.MeanA(), twice.MeanA())
		}
	})
}

func FuzzDissipation(f *testing.F) {
	f.Add(12.0, 50.0, 0.5, 5.0)
	f.Add(1e-6, 1e-6, 0.0, 0.0)
	f.Add(1000.0, 1e9, 1e4, 1000.0)
	f.Add(12000.0, 0.0, math.NaN(), math.Inf(1))
	f.Fuzz(func(t *testing.T, inV, ohm, passW, _ float64) {
		low, high := OutputsAtDissipationV(inV, ohm, passW)
		limittest.NumberIff(t, CheckDissipation(inV, ohm, passW) == nil, "output", low, high)
		if !math.IsNaN(low) && !(0 <= low && low <= high*(1+1e-12) && high <= inV) {
			t.Fatalf("%v V and %v V from %v V", low, high, inV)
		}
	})
}
