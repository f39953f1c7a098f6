package power

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"github.com/stationphysics/stationphysics/internal/limit/limittest"
)

// stepDown is an invented 5 V part for demonstration.
var stepDown = ConverterSpec{OutputV: 5, MinInputV: 4.5, MaxInputV: 24, HeadroomV: 0.1, HeadroomOhm: 0.3, QuiescentA: 100e-6, LimitA: 2, CurveInputV: 12,
	Curve: []EfficiencyPoint{{1e-3, 0.75}, {10e-3, 0.84}, {100e-3, 0.91}, {1, 0.89}}, IdleIsSteady: true}

func converter(t testing.TB, s ConverterSpec) Converter {
	t.Helper()
	c, err := NewConverter(s)
	require.NoError(t, err)
	return c
}

func TestConverterPassesThroughItsCurve(t *testing.T) {
	c := converter(t, stepDown)
	for _, p := range stepDown.Curve {
		got := c.At(12, p.LoadA)
		require.Equal(t, Regulating, got.State)
		require.InDelta(t, p.EfficiencyFrac, got.EfficiencyFrac(), 1e-12)
		require.InDelta(t, 5*p.LoadA/p.EfficiencyFrac/12, got.InputA, 1e-12)
		require.InDelta(t, got.InputV*got.InputA, got.LoadW()+got.DissipationW, 1e-12)
		require.Equal(t, got.InputA, c.InputA(12, p.LoadA))
	}
	require.InDelta(t, 100e-6, c.InputA(12, 0), 1e-18)
	// Between points: the input power on a straight line.
	w := func(i float64) float64 { return 12 * c.InputA(12, i) }
	require.InDelta(t, (w(10e-3)+w(100e-3))/2, w(55e-3), 1e-12)
	require.InDelta(t, (w(0)+w(1e-3))/2, w(0.5e-3), 1e-15)
	// Above the last point: as over the last interval.
	require.InDelta(t, w(1)+(w(1)-w(0.1))/0.9*0.5, w(1.5), 1e-12)
	require.Len(t, c.Spec().Curve, 4)
}

// Above the last point a loss that fell over the last interval falls no further:
// each watt more that leaves is a watt more that enters.
func TestConverterBeyondAFallingLoss(t *testing.T) {
	s := stepDown
	s.QuiescentA, s.Curve = 0.01, []EfficiencyPoint{{0.1, 0.5}, {0.2, 0.8}}
	c := converter(t, s)
	// By hand: 5·0.1/0.5 = 1 W and 5·0.2/0.8 = 1.25 W, losses of 0.5 W and 0.25 W.
	require.InDelta(t, 0.375, c.At(12, 0.15).DissipationW, 1e-12, "between them, to rounding")
	require.InDelta(t, 0.25, c.At(12, 0.3).DissipationW, 1e-12)
	require.InDelta(t, 1.75/12, c.InputA(12, 0.3), 1e-12)
}

func TestConverterAtOtherInputs(t *testing.T) {
	c := converter(t, stepDown)
	require.InDelta(t, 100e-6, c.InputA(8, 0), 1e-18, "the idle current is the same")
	loss := func(v, i float64) float64 { return c.At(v, i).DissipationW }
	require.InDelta(t, loss(12, 0.1)-4*100e-6, loss(8, 0.1), 1e-12, "of the loss only the idle part moves")
	s := stepDown
	s.IdleIsSteady = false
	p := converter(t, s)
	require.InDelta(t, 12*100e-6/8, p.InputA(8, 0), 1e-18, "the idle power is the same")
	require.InDelta(t, p.At(12, 0.1).DissipationW, p.At(8, 0.1).DissipationW, 1e-12)
	// However small the input, never better than perfect.
	s = stepDown
	s.QuiescentA, s.Curve = 0.02, []EfficiencyPoint{{0.1, 0.60}}
	q := converter(t, s)
	require.InDelta(t, 0, q.At(5.2, 0.01).DissipationW, 0.2)
	require.GreaterOrEqual(t, q.At(5.2, 0.1).DissipationW, 0.0)
}

func TestConverterStates(t *testing.T) {
	c := converter(t, stepDown)
	for _, k := range []struct {
		name            string
		inV, loadA      float64
		want            State
		outV, delivered float64
	}{
		{"no input", 0, 0.1, Off, 0, 0},
		{"under the least input", 4.49, 0.1, Off, 0, 0},
		{"at the least input", 4.5, 0.1, Dropout, 4.5 - 0.13, 0.1},
		{"just in dropout", 5.12, 0.1, Dropout, 4.99, 0.1},
		{"just regulating", 5.1300001, 0.1, Regulating, 5, 0.1},
		{"at the limit", 12, 2, Regulating, 5, 2},
		{"over the limit", 12, 2.01, CurrentLimited, 0, 2},
		{"at the maximum input", 24, 0.1, Regulating, 5, 0.1},
		{"over the maximum input", 24.1, 0.1, OverMaximum, 5, 0.1},
	} {
		t.Run(k.name, func(t *testing.T) {
			p := c.At(k.inV, k.loadA)
			require.Equal(t, k.want, p.State, p.State.String())
			require.InDelta(t, k.outV, p.OutputV, 1e-12)
			require.InDelta(t, k.delivered, p.LoadA, 1e-12)
			require.InDelta(t, p.InputV*p.InputA, p.LoadW()+p.DissipationW, 1e-12)
		})
	}
	over := c.At(12, 2.01)
	require.InDelta(t, c.At(12, 2).DissipationW, over.DissipationW, 1e-12, "the loss of the limit, nothing delivered")
	p := c.At(5, 0.1)
	require.InDelta(t, 0.1001, p.InputA, 1e-12, "with the switch on the load's current is the input's")
	nan := math.NaN()
	for _, p := range []Point{c.At(-1, 0.1), c.At(nan, 0.1), c.At(12, -1), c.At(12, nan), c.At(math.Inf(1), 0.1), c.At(12, math.Inf(1)), Converter{}.At(12, 0.1)} {
		require.Equal(t, Unknown, p.State)
		require.True(t, math.IsNaN(p.InputA))
	}
	require.InDelta(t, 5.13, c.MinInputV(0.1), 1e-12)
	require.InDelta(t, 5+0.1+0.3*2, c.MinInputV(2), 1e-12, "at the limit")
	require.True(t, math.IsNaN(c.MinInputV(2.1)))
	require.True(t, math.IsNaN(c.MinInputV(-1)))
	require.True(t, math.IsNaN(Converter{}.MinInputV(0.1)))
	s := stepDown
	s.MinInputV = 7
	high := converter(t, s)
	require.Equal(t, 7.0, high.MinInputV(0.1))
	// In dropout so deep that the load cannot be carried.
	s = stepDown
	s.MinInputV, s.HeadroomV, s.HeadroomOhm = 0, 0.5, 5
	weak := converter(t, s)
	d := weak.At(1, 0.2)
	require.Equal(t, Dropout, d.State)
	require.Equal(t, 0.0, d.OutputV)
	require.InDelta(t, 0.1, d.LoadA, 1e-12)
	require.InDelta(t, 0.0, weak.At(0.4, 0.2).LoadA, 1e-12)
	// Less than a volt is still an output: 1 V - 0.5 V - 5 ohm·0.02 A.
	d = weak.At(1, 0.02)
	require.InDelta(t, 0.4, d.OutputV, 1e-12)
	require.Equal(t, 0.02, d.LoadA)
	// At the least input it regulates, in numbers that are exact: 5 V + 0.25 V + 0.5 ohm·0.5 A.
	s.HeadroomV, s.HeadroomOhm = 0.25, 0.5
	exact := converter(t, s)
	require.Equal(t, 5.5, exact.MinInputV(0.5))
	require.Equal(t, Regulating, exact.At(5.5, 0.5).State)
	require.Equal(t, Dropout, exact.At(math.Nextafter(5.5, 0), 0.5).State)
	s.HeadroomV, s.HeadroomOhm = 5, 0
	diodeOnly := converter(t, s)
	d = diodeOnly.At(1, 0.2)
	require.Equal(t, 0.0, d.LoadA)
	require.Equal(t, 0.0, d.OutputV)
}

func TestStepUp(t *testing.T) {
	// Invented: 5 V from a single cell.
	s := ConverterSpec{OutputV: 5, StepUp: true, MinInputV: 0.9, MaxInputV: 5.5, HeadroomV: 0.3, QuiescentA: 30e-6, LimitA: 0.3, CurveInputV: 3.3,
		Curve: []EfficiencyPoint{{1e-3, 0.8}, {0.1, 0.9}}}
	c := converter(t, s)
	require.Equal(t, Regulating, c.At(3.3, 0.05).State)
	p := c.At(5.4, 0.05)
	require.Equal(t, PassThrough, p.State)
	require.InDelta(t, 5.1, p.OutputV, 1e-12)
	require.InDelta(t, 0.05003, p.InputA, 1e-12)
	require.Equal(t, PassThrough, c.At(5.3, 0.05).State)
	require.Equal(t, Regulating, c.At(5.2, 0.05).State)
	require.Equal(t, Off, c.At(0.8, 0.05).State)
	require.Equal(t, 0.9, c.MinInputV(0.1))
	require.InDelta(t, 5*0.1/0.9/3.3, c.InputA(3.3, 0.1), 1e-12)
	s.MinInputV = 5
	_, err := NewConverter(s)
	limittest.RefusesConflict(t, err, "raises its input")
	s.MinInputV, s.CurveInputV = 0.9, 5
	_, err = NewConverter(s)
	limittest.RefusesConflict(t, err, "raises its input")
}

func TestConverterRefuses(t *testing.T) {
	for quantity, change := range map[string]func(*ConverterSpec){
		"converter output voltage":              func(s *ConverterSpec) { s.OutputV = 5000 },
		"minimum input voltage":                 func(s *ConverterSpec) { s.MinInputV = -1 },
		"maximum input voltage":                 func(s *ConverterSpec) { s.MaxInputV = 200 },
		"headroom":                              func(s *ConverterSpec) { s.HeadroomV = -1 },
		"headroom resistance":                   func(s *ConverterSpec) { s.HeadroomOhm = math.NaN() },
		"idle input current":                    func(s *ConverterSpec) { s.QuiescentA = 100 },
		"largest load current":                  func(s *ConverterSpec) { s.LimitA = 0 },
		"input voltage of the efficiency curve": func(s *ConverterSpec) { s.CurveInputV = 0 },
		"number of points of the efficiency curve": func(s *ConverterSpec) {
			s.Curve = nil
		},
		"load of the efficiency curve": func(s *ConverterSpec) { s.Curve = []EfficiencyPoint{{0, 0.8}} },
		"efficiency":                   func(s *ConverterSpec) { s.Curve = []EfficiencyPoint{{0.1, 84}} },
	} {
		s := stepDown
		change(&s)
		_, err := NewConverter(s)
		limittest.RefusesRange(t, err, quantity)
	}
	s := stepDown
	s.Curve = make([]EfficiencyPoint, 65)
	_, err := NewConverter(s)
	require.EqualError(t, err, "number of points of the efficiency curve 65 is outside 1..64")
	s.Curve = nil
	for n := range 64 {
		s.Curve = append(s.Curve, EfficiencyPoint{0.01 * float64(n+1), 0.9})
	}
	_, err = NewConverter(s)
	require.NoError(t, err)
	// Twice the load at twice the efficiency takes the same power: 5 V·0.1 A/0.25 = 5 V·0.2 A/0.5.
	s.Curve = []EfficiencyPoint{{0.1, 0.25}, {0.2, 0.5}}
	_, err = NewConverter(s)
	limittest.RefusesConflict(t, err, "more load takes more input power")
	for rule, change := range map[string]func(*ConverterSpec){
		"above the minimum": func(s *ConverterSpec) { s.MinInputV = 24 },
		"lowers its input":  func(s *ConverterSpec) { s.CurveInputV = 5 },
		"curve rise":        func(s *ConverterSpec) { s.Curve = []EfficiencyPoint{{0.1, 0.8}, {0.1, 0.9}} },
		"swapped":           func(s *ConverterSpec) { s.Curve = []EfficiencyPoint{{0.1, 0.5}, {0.11, 0.9}} },
	} {
		s := stepDown
		change(&s)
		_, err := NewConverter(s)
		limittest.RefusesConflict(t, err, rule)
	}
	// The points are named as they are counted.
	s = stepDown
	s.Curve = []EfficiencyPoint{{0.1, 0.8}, {0.1, 0.9}}
	_, err = NewConverter(s)
	require.ErrorContains(t, err, "load of point 1 0.1 A and load of point 2 0.1 A contradict")
	s.Curve = []EfficiencyPoint{{0.1, 0.5}, {0.11, 0.9}}
	_, err = NewConverter(s)
	require.ErrorContains(t, err, "input power of point 1 ")
	require.ErrorContains(t, err, " and input power of point 2 ")
	s = stepDown
	s.MaxInputV = 5
	_, err = NewConverter(s)
	limittest.RefusesConflict(t, err, "lowers its input")
	s = stepDown
	s.QuiescentA = 0.3 // 3.6 W of idle power against 6.7 mW at 1 mA
	_, err = NewConverter(s)
	limittest.RefusesConflict(t, err, "quiescent current")
}

func TestBreakEven(t *testing.T) {
	c := converter(t, stepDown)
	lin := linear(t, bench1117)
	require.Equal(t, 0.0, BreakEvenA(c, lin, 12), "100 uA against 5 mA: the converter always wins")

	micro := bench1117
	micro.QuiescentA, micro.DropoutV, micro.DropoutOhm = 2e-6, 0, 2.5
	micro.CurrentLimitA = 0.25
	m := linear(t, micro)
	i := BreakEvenA(c, m, 12)
	require.InDelta(t, c.InputA(12, i), m.InputA(12, i), 1e-15, "both take the same there")
	require.Greater(t, c.InputA(12, i*0.9), m.InputA(12, i*0.9))
	require.Less(t, c.InputA(12, i*1.1), m.InputA(12, i*1.1))
	// By hand: 100 uA + 0.45556·I against I + 2 uA.
	require.InDelta(t, 98e-6/(1-0.5*(5/0.75-1.2)/6), i, 1e-12)

	// Beyond the last point of the curve: 6 mA of idle current against 2 uA,
	// 8 V of slope at 12 V.
	late := stepDown
	late.QuiescentA, late.Curve = 6e-3, []EfficiencyPoint{{1e-3, 0.0625}}
	require.InDelta(t, (6e-3-2e-6)/(1-8./12), BreakEvenA(converter(t, late), m, 12), 1e-12)

	// At 8 V against a part that takes only its load, by hand. Beyond its last point
	// the curve bends, from 3 V to 4 V: (1 W + 3 V·I)/8 V = I at 0.2 A.
	frugal := linear(t, LinearSpec{SetV: 4, MaxInputV: 20, CurrentLimitA: 1})
	bent := ConverterSpec{OutputV: 4, MaxInputV: 24, LimitA: 1, CurveInputV: 8, QuiescentA: 1. / 8, Curve: []EfficiencyPoint{{0.5, 0.8}}}
	require.InDelta(t, 0.2, BreakEvenA(converter(t, bent), frugal, 8), 1e-12)
	// Equal at the largest load: (1/8 W + 7 V·I)/8 V = I at 1/8 A.
	edge := bent
	edge.LimitA, edge.QuiescentA, edge.Curve = 1./8, 1./64, []EfficiencyPoint{{1. / 8, 0.5}}
	require.Equal(t, 1./8, converter(t, edge).InputA(8, 1./8))
	require.Equal(t, 1./8, BreakEvenA(converter(t, edge), frugal, 8))
	// Equal at a point between and less on both sides: it never takes more. The
	// linear part takes 1/32 A for itself, 5/32 A at 1/8 A: 1.25 W, 0.5 W/0.4.
	touch := bent
	touch.QuiescentA, touch.Curve = 1./64, []EfficiencyPoint{{1. / 8, 0.4}, {0.25, 0.5}}
	own := linear(t, LinearSpec{SetV: 4, MaxInputV: 20, CurrentLimitA: 1, QuiescentA: 1. / 32})
	require.Equal(t, own.InputA(8, 1./8), converter(t, touch).InputA(8, 1./8))
	require.Equal(t, 0.0, BreakEvenA(converter(t, touch), own, 8))

	// A wasteful part never gets there.
	s := stepDown
	s.Curve = []EfficiencyPoint{{1e-3, 0.30}, {2, 0.40}}
	bad := converter(t, s)
	require.True(t, math.IsInf(BreakEvenA(bad, m, 12), 1))
	// Not regulating, at no load or at the largest: no answer.
	for _, v := range []float64{5.05, 0, 30, math.NaN()} {
		require.True(t, math.IsNaN(BreakEvenA(c, m, v)), "%g V", v)
	}
	require.True(t, math.IsNaN(BreakEvenA(c, m, 5.3)), "the linear part drops out at its limit")
	require.True(t, math.IsNaN(BreakEvenA(Converter{}, m, 12)))
}

func FuzzConverter(f *testing.F) {
	f.Add(12.0, 0.1)
	f.Add(4.6, 1.9)
	f.Add(math.NaN(), -1.0)
	// The largest number counts as infinite.
	f.Add(math.MaxFloat64, 0.1)
	f.Add(12.0, math.MaxFloat64)
	f.Fuzz(func(t *testing.T, inV, loadA float64) {
		c := converter(t, stepDown)
		p := c.At(inV, loadA)
		valid := inV >= 0 && inV < math.MaxFloat64 && loadA >= 0 && loadA < math.MaxFloat64
		if valid == (p.State == Unknown) || valid == math.IsNaN(p.InputA) {
			t.Fatalf("At(%g, %g) = %+v", inV, loadA, p)
		}
		if !valid || inV > 1e6 {
			return
		}
		if p.OutputV < 0 || p.LoadA < 0 || p.InputA < 0 || p.DissipationW < -1e-12 || p.EfficiencyFrac() > 1+1e-12 ||
			math.Abs(p.InputV*p.InputA-p.LoadW()-p.DissipationW) > 1e-9*(1+p.DissipationW) {
			t.Fatalf("At(%g, %g) = %+v", inV, loadA, p)
		}
	})
}
