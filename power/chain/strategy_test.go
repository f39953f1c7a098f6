package chain

import (
	"math"
	"math/rand"
	"runtime"
	"testing"

	"github.com/stretchr/testify/require"

	"github.com/stationphysics/stationphysics/internal/limit"
)

// TestRanges states every accepted range and slip a second time.
func TestRanges(t *testing.T) {
	milli := func(what string) []limit.Slip { return []limit.Slip{{Min: 1001, Max: 1e6, Looks: what}} }
	percent := []limit.Slip{{Min: 1.5, Max: 100, Looks: "percent"}}
	for _, c := range []struct {
		r        *limit.Range
		min, max float64
		slips    []limit.Slip
	}{
		{&rangeVolt, 0, 1000, milli("millivolts")}, {&rangeVoltP, 0.001, 1000, milli("millivolts")},
		{&rangeAmp, 0, 1000, milli("milliamperes")}, {&rangeAmpP, 1e-9, 1000, milli("milliamperes")},
		{&rangeOhm, 0, 1e9, nil}, {&rangeOhmP, 0.001, 1e9, nil}, {&rangeWatt, 0, 1e5, nil}, {&rangeJoule, 0, 1e6, nil}, {&rangeA2s, 0, 1e8, nil},
		{&rangeSat, 1e-25, 0.1, nil}, {&rangeTherm, 0.001, 100, nil}, {&rangeIdeal, 0.5, 10, nil},
		{&rangeTemp, -100, 200, []limit.Slip{{Min: 201, Max: 480, Looks: "kelvins"}}},
		{&rangeEff, 0.01, 1, percent}, {&rangeEffOpt, 0, 1, percent},
	} {
		require.Equal(t, [2]float64{c.min, c.max}, [2]float64{c.r.Min, c.r.Max}, c.r.Quantity)
		require.Equal(t, c.slips, c.r.Slips, c.r.Quantity)
	}
	require.InDelta(t, 8.617333262e-5, kOverQ, 5e-15, "CODATA 2018, from memory")
	for k := 1; k < len(ratedSeriesA); k++ {
		// Ten steps a decade, each rounded: R10.
		require.InDelta(t, 1.259, ratedSeriesA[k]/ratedSeriesA[k-1], 0.03)
	}
	require.Equal(t, []float64{0.05, 0.063, 0.08, 0.1, 0.125, 0.16, 0.2, 0.25, 0.315, 0.4, 0.5, 0.63, 0.8}, ratedSeriesA[:13])
	require.Equal(t, []float64{10, 12.5, 16, 20, 25, 32}, ratedSeriesA[23:])
	for r10, want := range []float64{1, 1.25, 1.6, 2, 2.5, 3.15, 4, 5, 6.3, 8} {
		require.Equal(t, want, ratedAtLeast(math.Pow(10, float64(r10)/10)*0.98))
	}
}

// TestALongLine has more unknowns than one word of a row's column set: a
// hundred equal lengths of wire with nothing at the end, and a load of the
// wire's own resistance.
func TestALongLine(t *testing.T) {
	for _, tiny := range []bool{false, true} {
		parts := []Part{{"pack", "", "n0", Battery{OpenV: 10}}}
		name := func(k int) string {
			return "n" + string(rune('0'+k/100)) + string(rune('0'+k/10%10)) + string(rune('0'+k%10))
		}
		last := "n0"
		ohm := 0.1
		if tiny {
			ohm = 1e-5 // carried by its current: twice the unknowns
		}
		for k := 1; k <= 100; k++ {
			parts = append(parts, Part{"W" + name(k), last, name(k), Wire{Ohm: ohm}})
			last = name(k)
		}
		parts = append(parts, Part{"load", last, "", Resistor{Ohm: math.Max(100*ohm, 1e-3)}})
		p := solved(t, parts, Fault{})
		for k := 1; k <= 100; k++ {
			require.InDelta(t, 10-0.05*float64(k), p.VoltageV(name(k)), 1e-9)
		}
	}
}

// TestEfficiencyByLoad: 5 V into 10 ohm, 0.5 A, from 10 V, at the efficiency of
// that current.
func TestEfficiencyByLoad(t *testing.T) {
	eta := func(a float64) float64 { return 0.3 + 0.6*a/(a+0.1) }
	at := func(m Model, e, ohm float64) *Point {
		return solved(t, []Part{{"pack", "", "in", Battery{OpenV: e, SeriesOhm: 0.5}}, {"part", "in", "out", m}, {"load", "out", "", Resistor{Ohm: ohm}}}, Fault{})
	}
	p := at(StepDown{SetV: 5, EfficiencyAt: eta, HeadroomV: 0.2}, 10, 10)
	// 0.3 + 0.6·0.5/0.6 = 0.8: 2.5 W/0.8 from 10 V behind 0.5 ohm.
	in := (10 + math.Sqrt(100-2*3.125)) / 2
	require.InDelta(t, in, p.VoltageV("in"), 1e-9)
	require.InDelta(t, 3.125/in, p.InputA("part"), 1e-9)
	p = at(StepUp{SetV: 12, EfficiencyAt: eta, DiodeV: 0.4, LimitInA: 5, MinInputV: 2}, 6, 60)
	// 0.3 + 0.6·0.2/0.3 = 0.7: 2.4 W/0.7 from 6 V.
	w := 2.4 / 0.7
	in = (6 + math.Sqrt(36-2*w)) / 2
	require.InDelta(t, in, p.VoltageV("in"), 1e-9)
	// Current that depends on itself: at its input limit.
	p = at(StepUp{SetV: 12, EfficiencyAt: eta, DiodeV: 0.4, LimitInA: 1, MinInputV: 2}, 6, 20)
	require.Equal(t, CurrentLimit, p.Regime("part"))
	require.InDelta(t, 1, p.InputA("part"), 1e-9)
	i := p.CurrentA("part")
	require.InDelta(t, eta(i)*5.5, 20*i*i, 1e-8)
	// A curve that falls out of its range between the decades that New looks at
	// is taken as one per cent, and no more than one.
	e := element{effAt: func(float64) float64 { return math.NaN() }}
	require.Equal(t, 0.01, e.efficiency(1))
	e.effAt = func(float64) float64 { return 3 }
	require.Equal(t, 1.0, e.efficiency(1))
	e.effAt = func(a float64) float64 { return a }
	require.Equal(t, 0.01, e.efficiency(-1))
}

// TestLinearisationIsTheSlope compares each derivative that Newton's method
// uses with a difference quotient.
func TestLinearisationIsTheSlope(t *testing.T) {
	eta := func(a float64) float64 { return 0.3 + 0.6*a/(a+0.1) }
	const h = 1e-6
	for _, e := range []element{
		{conv: convDown, eff: 0.8}, {conv: convDown, effAt: eta},
		{conv: convUp, eff: 0.8, drop: 0.4, hold: 2}, {conv: convUp, effAt: eta, drop: 0.4, hold: 2}, {conv: convUp, eff: 0.8, hold: 2},
	} {
		for _, va := range []float64{4.1, 6.3, 9.2} {
			for _, dv := range []float64{-3, -0.2, -0.07, 0.03, 4} {
				for _, i := range []float64{0.05, 0.7} {
					vb := va + dv
					var s state
					e.linearise(&s, va, vb, i)
					require.InDelta(t, (e.inputRatio(va+h, vb, i)-e.inputRatio(va-h, vb, i))/(2*h), s.ma, 1e-6, "%v va %g vb %g", e.conv, va, vb)
					require.InDelta(t, (e.inputRatio(va, vb+h, i)-e.inputRatio(va, vb-h, i))/(2*h), s.mb, 1e-6)
					require.InDelta(t, (e.inputRatio(va, vb, i+h)-e.inputRatio(va, vb, i-h))/(2*h), s.mi, 1e-5)
				}
			}
		}
	}
	var short state // a short at the output takes no input current, nor a division by zero
	(&element{conv: convDown, eff: 0.8}).linearise(&short, 9, 0, 0.5)
	require.Equal(t, [4]float64{}, [4]float64{short.m, short.ma, short.mb, short.mi})
	for _, e := range []element{{kind: kindLoadCurrent, e: 0.2, set: 0.5}, {kind: kindLoadPower, e: 3, set: 4}} {
		for _, v := range []float64{-1, 0.3, 2, 6} {
			_, g := e.loadA(v)
			up, _ := e.loadA(v + h)
			down, _ := e.loadA(v - h)
			require.InDelta(t, (up-down)/(2*h), g, 1e-8)
		}
	}
	e := element{curve: curve(func(v float64) float64 { return 1 - v*v })}
	i, g := e.curveA(3)
	require.Equal(t, -8.0, i)
	require.InDelta(t, 6, g, 1e-6)
	_, g = (&element{curve: curve(func(v float64) float64 { return v })}).curveA(3)
	require.Zero(t, g, "a rising curve is taken as flat")
	d := element{sat: 1e-9, vt: 0.03, r: 0.2}
	require.InDelta(t, (d.diodeA(0.5+h)-d.diodeA(0.5-h))/(2*h), d.diodeSlope(d.diodeA(0.5)), 1e-6)
}

// TestBlendsNarrowToTheSharpLaw: at a small width the blended residual is the
// sharp one, at any width its shares are those of its slope.
func TestBlendsNarrowToTheSharpLaw(t *testing.T) {
	r := rand.New(rand.NewSource(3))
	for range 2000 {
		e := element{kind: kindValve, set: 5, drop: 0.5, r: 0.3, lim: 1, hold: 4, back: 0.6, out: 0.1}
		switch r.Intn(4) {
		case 0:
			e.lim, e.hold, e.back = inf, -inf, inf
		case 1:
			e.conv, e.eff, e.back = convUp, 0.8, inf
		case 2:
			e.kind, e.hold, e.back = kindOneWay, 0, 0
		}
		va, vb, i := 10*r.Float64(), 10*r.Float64(), 3*r.Float64()-1
		var sharp, narrow, wide state
		for _, s := range []*state{&sharp, &narrow, &wide} {
			e.linearise(s, va, vb, i)
		}
		e.choose(&sharp, va, vb, i, 0)
		e.choose(&narrow, va, vb, i, 1e-9)
		e.choose(&wide, va, vb, i, 1)
		require.InDelta(t, sharp.miss, narrow.miss, 5e-9)
		require.LessOrEqual(t, math.Abs(wide.miss-sharp.miss), 5.0, "at most one width for each of its pieces")
		sum := 0.0
		for _, share := range wide.share {
			require.GreaterOrEqual(t, share, 0.0)
			sum += share
		}
		require.InDelta(t, 1, sum, 1e-12)
		// The slope along Va, the pieces' laws held as they are.
		const h = 1e-5
		slope := 0.0
		for p, share := range wide.share {
			ca, _, _, _ := e.law(piece(p), &wide)
			slope += share * ca
		}
		up, down := wide, wide
		e.choose(&up, va+h, vb, i, 1)
		e.choose(&down, va-h, vb, i, 1)
		require.InDelta(t, (up.miss-down.miss)/(2*h), slope, 1e-6)
		if narrow.share[sharp.piece] < 0.999 {
			require.Less(t, math.Abs(narrow.miss-sharp.miss), 5e-9, "a tie")
		}
	}
}

// TestTheStrategyIsAsTuned counts linear solutions. The paths, widths and
// tolerances change no result, only the effort; a change of effort is to be
// noticed too. Roundoff may tip a path where the machine fuses its
// multiplications, so that the count is exact on one architecture only.
func TestTheStrategyIsAsTuned(t *testing.T) {
	steps, ways := 0, [8]int{}
	for seed := range 700 {
		c, err := New(randomParts(rand.New(rand.NewSource(int64(seed)))), nil)
		require.NoError(t, err)
		w := c.NewWorkspace()
		_, err = w.Solve()
		require.NoError(t, err)
		steps += w.steps
		ways[min(w.way, 7)]++
	}
	t.Log(steps, ways)
	require.Less(t, steps, 700*100)
	require.Greater(t, ways[0], 400, "most need no path at all")
	if runtime.GOARCH == "amd64" && !fuses(1+0x1p-30) {
		require.Equal(t, 69385, steps, "put the new count here if it was meant, and look at the benchmarks")
	}
	w := station(t).NewWorkspace()
	_, err := w.Solve()
	require.NoError(t, err)
	require.Zero(t, w.way)
	require.LessOrEqual(t, w.steps, 9)
}

// fuses reports whether product and sum are rounded together, as with GOAMD64=v3.
// The square of x must need more digits than a number has.
//
//go:noinline
func fuses(x float64) bool {
	minus := float64(-x * x)
	return x*x+minus != 0
}

// TestEveryPathLeadsSomewhere walks each path alone: it must solve most
// circuits that Newton's method alone does not.
func TestEveryPathLeadsSomewhere(t *testing.T) {
	var effort, solved [len(paths)]int
	tried := 0
	for seed := 1000; tried < 40; seed++ {
		c, err := New(randomParts(rand.New(rand.NewSource(int64(seed)))), nil)
		require.NoError(t, err)
		w := c.NewWorkspace()
		if _, err = w.Solve(); err != nil || w.way == 0 {
			continue
		}
		tried++
		for k := range paths {
			w.steps = 0
			w.reset()
			if w.sharpen(&paths[k], 1) {
				solved[k]++
			}
			effort[k] += w.steps
		}
	}
	for k := range paths {
		require.GreaterOrEqual(t, solved[k], 20, "path %d", k)
	}
	if runtime.GOARCH == "amd64" && !fuses(1+0x1p-30) {
		require.Equal(t, [len(paths)]int{3879, 3886, 7658, 3414, 11333, 24299, 17024, 15699, 19597, 26393, 25193, 38510, 36724, 33845, 40066, 53379, 60061, 48535, 94818, 106296}, effort, "as in TestTheStrategyIsAsTuned")
	}
}

func TestWhereItWentWrong(t *testing.T) {
	c, err := New([]Part{pack("bus"), {"D1", "bus", "a", diode1}, {"D2", "a", "b", diode1}, {"radio", "b", "", PowerLoad{LoadW: 1, BrownOutV: 1}}}, nil)
	require.NoError(t, err)
	w := c.NewWorkspace()
	_, err = w.Solve()
	require.NoError(t, err)
	w.st[c.first[1]].u += 0.1 // away from the voltage across it, not to it
	w.st[c.first[2]].u -= 0.05
	require.Equal(t, "a", w.worstNode())
	w.st[c.first[1]].u += 3
	require.Equal(t, "a", w.worstNode())
	w.st[c.first[2]].u -= 5
	require.Equal(t, "b", w.worstNode())
	w.st[c.first[3]].u += 50
	require.Equal(t, "b", w.worstNode())
	v, ok := w.within(1e3)
	require.False(t, ok)
	require.InDelta(t, 2*6.6+10, v, 1e-12)
	v, ok = w.within(-1e3)
	require.False(t, ok)
	require.InDelta(t, -(2*6.6 + 10), v, 1e-12)
	v, ok = w.within(7)
	require.True(t, ok)
	require.Equal(t, 7.0, v)
}

// TestGuesses: from sources through everything that conducts, forwards, and
// backwards where it feeds back.
func TestGuesses(t *testing.T) {
	c, err := New([]Part{
		{"pack", "", "bus", Battery{OpenV: 6}},
		{"W", "near", "bus", Wire{Ohm: 1}}, {"W2", "far", "bus", Wire{Ohm: 0}},
		{"D", "bus", "k", diode1}, {"back", "q", "bus", diode1},
		{"U", "bus", "low", Linear{SetV: 3}}, {"U2", "bus", "high", Linear{SetV: 9}},
		{"up", "bus", "up", StepUp{SetV: 12, Efficiency: 0.9, LimitInA: 1, MinInputV: 2}},
		{"asleep", "bus", "sleep", StepUp{SetV: 12, Efficiency: 0.9, LimitInA: 1, MinInputV: 7}},
		{"fed", "input", "bus", Linear{SetV: 4, BackfeedV: 0.6}},
		{"panel", "", "array", Panel{PhotoA: 0.3, SaturationA: 1e-9, ThermalV: 1.1, SeriesOhm: 1}},
		{"S", "", "curve", Source{OpenV: 7, Curve: curve(func(v float64) float64 { return 7 - v })}},
		{"A", "", "wall", Adapter{RatedV: 5}},
	}, nil)
	require.NoError(t, err)
	w := c.NewWorkspace()
	w.reset()
	w.guess()
	for node, want := range map[string]float64{"bus": 6, "near": 6, "far": 6, "k": 6, "q": 0, "low": 3, "high": 6, "up": 12, "sleep": 6,
		"input": 5.4, "array": 1.1 * math.Log1p(0.3e9), "curve": 7, "wall": 5} {
		require.InDelta(t, want, w.x[c.index[node]], 1e-8, node)
	}
}
