package transient

import (
	"errors"
	"math"
	"math/rand"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"github.com/stationphysics/stationphysics"
	"github.com/stationphysics/stationphysics/internal/limit/limittest"
)

func TestNetworkRefusesBadStructure(t *testing.T) {
	ab := []Node{{"a", 1}, {"b", 1}}
	for name, c := range map[string]struct {
		nodes []Node
		links []Link
		says  string
	}{
		"empty":       {nil, nil, "no nodes"},
		"no name":     {[]Node{{"", 1}}, nil, "without a name"},
		"doubled":     {[]Node{{"a", 1}, {"a", 1}}, nil, "node a: the name is already taken"},
		"named air":   {[]Node{{Ambient, 1}}, nil, "node ambient: the name is already taken"},
		"to itself":   {ab, []Link{{"a", "a", 1}}, "node a: a link joins it to itself"},
		"air to air":  {ab, []Link{{Ambient, Ambient, 1}}, "joins it to itself"},
		"no links":    {ab, nil, "node a: no way to ambient"},
		"cut off":     {ab, []Link{{"a", Ambient, 1}}, "node b: no way to ambient"},
		"resistances": {ab, []Link{{"a", "b", 1e-9}, {"b", Ambient, 1e4}}, "thermal network: resistances of 1e-09 to 10000 K/W differ too much to be solved together"},
		"capacities": {[]Node{{"a", 5e-324}, {"b", 1e9}}, []Link{{"a", "b", 1}, {"b", Ambient, 1}},
			"thermal network: heat capacities of 5e-324 to 1e+09 J/K differ too much to be solved together"},
		"island": {append(ab, Node{"c", 0}), []Link{{"a", Ambient, 1}, {"b", "c", 1}}, "node b: no way to ambient"},
	} {
		t.Run(name, func(t *testing.T) {
			_, err := NewNetwork(c.nodes, c.links)
			var ne *NetworkError
			require.True(t, errors.As(err, &ne), "%v", err)
			require.ErrorContains(t, err, c.says)
		})
	}
	for unknown, l := range map[string]Link{"x": {"x", "a", 1}, "y": {"a", "y", 1}} {
		_, err := NewNetwork(ab, []Link{l})
		require.Equal(t, &stationphysics.NameError{Kind: "node", Name: unknown, Known: []string{"a", "b", Ambient}}, err)
	}
	_, err := NewNetwork(ab, []Link{{"a", "b", 0}, {"b", Ambient, 1}})
	limittest.RefusesRange(t, err, "resistance from a to b")
	_, err = NewNetwork(ab, []Link{{"a", "b", -2}, {"b", Ambient, 1}})
	limittest.RefusesRange(t, err, "resistance from a to b")
	_, err = NewNetwork([]Node{{"a", -1}}, nil)
	limittest.RefusesRange(t, err, "heat capacity of a")
}

func TestParallelLinksAdd(t *testing.T) {
	w, err := NewNetwork([]Node{{"a", 1}}, []Link{{"a", Ambient, 4}, {Ambient, "a", 12}})
	require.NoError(t, err)
	rise := make([]float64, 1)
	w.SteadyK(rise, []float64{1})
	require.InDelta(t, 3, rise[0], 1e-12)
	require.InDelta(t, 3, w.TimeConstantsS()[0], 1e-12)
}

func TestLaddersAndSumsRefuse(t *testing.T) {
	_, err := NewLadder()
	require.ErrorContains(t, err, "without stages")
	_, err = NewLadder(Stage{0, 1})
	limittest.RefusesRange(t, err, "resistance of a stage")
	_, err = NewLadder(Stage{1, 0})
	limittest.RefusesRange(t, err, "heat capacity of a stage")
	_, err = NewFoster()
	require.ErrorContains(t, err, "without terms")
	_, err = NewFoster(Term{-1, 1})
	limittest.RefusesRange(t, err, "resistance of a term")
	_, err = NewFoster(Term{1, 0})
	limittest.RefusesRange(t, err, "time constant of a term")
	_, err = (Foster{}).Ladder()
	require.Error(t, err)
	_, err = (Ladder{}).Network()
	require.Error(t, err)
	require.Empty(t, Ladder{}.Foster().Terms())
	require.Zero(t, Foster{}.ZthKPerW(5))
	require.True(t, math.IsNaN(Foster{}.ZthKPerW(-5)))

	f, err := NewFoster(Term{1, 5}, Term{2, 5}, Term{3, 1})
	require.NoError(t, err)
	require.Equal(t, []Term{{3, 1}, {3, 5}}, f.Terms(), "equal time constants are one term, and the shortest stands first")

	// Terms a rounding apart make no two stages.
	f, err = NewFoster(Term{1, 5}, Term{2, 5 * (1 + 1e-14)}, Term{3, 1})
	require.NoError(t, err)
	_, err = f.Ladder()
	var ne *NetworkError
	require.True(t, errors.As(err, &ne))
	require.ErrorContains(t, err, "cannot be told apart")
}

func TestFosterBeyondDoublePrecision(t *testing.T) {
	f, err := NewFoster(Term{1e-9, 1e-12}, Term{1e6, 1e12}, Term{1, 1})
	require.NoError(t, err)
	_, err = f.Ladder()
	require.ErrorContains(t, err, "terms of 1e-09 to 1e+06 K/W with time constants of 1e-12 to 1e+12 s cannot be told apart")
	// One term that hardly matters beside the other: 0.8e-9 of it, since at the
	// 1e-9 of the code the rounding of the machine decides.
	f, err = NewFoster(Term{2.4e-4, 1e-12}, Term{3e5, 1e4})
	require.NoError(t, err)
	_, err = f.Ladder()
	require.ErrorContains(t, err, "cannot be told apart")
}

// A ladder of one stage ends at the air: 3 K/W and 2 J/K make 6 s. Nothing has
// risen at time 0, and nothing is known before.
func TestLadderOfOneStage(t *testing.T) {
	l, err := NewLadder(Stage{3, 2})
	require.NoError(t, err)
	w, err := l.Network()
	require.NoError(t, err)
	require.InDelta(t, 6, w.TimeConstantsS()[0], 1e-12)
	require.Equal(t, 0.0, l.Foster().ZthKPerW(0))
	require.InDelta(t, 3*(1-math.Exp(-0.5)), l.Foster().ZthKPerW(3), 1e-12)
	require.True(t, math.IsNaN(l.Foster().ZthKPerW(-1e-9)))
}

// Heat does not know which end of a link was written first.
func TestLinksBothWays(t *testing.T) {
	nodes := []Node{{"a", 1}, {"b", 2}, {"c", 0}}
	links := []Link{{"a", "b", 3}, {"b", "c", 1}, {"c", "a", 2}, {"c", Ambient, 5}}
	back := slices.Clone(links)
	for i, l := range back {
		back[i].From, back[i].To = l.To, l.From
	}
	there, err := NewNetwork(nodes, links)
	require.NoError(t, err)
	again, err := NewNetwork(nodes, back)
	require.NoError(t, err)
	require.Equal(t, there.TimeConstantsS(), again.TimeConstantsS())
	x, y := make([]float64, 3), make([]float64, 3)
	there.SteadyK(x, []float64{1, 0, 0.5})
	again.SteadyK(y, []float64{1, 0, 0.5})
	require.Equal(t, x, y)
	require.InDelta(t, 1.5*5, x[2], 1e-12, "all of it goes to the air through c")
}

func TestLadderOfMoreThanNineStages(t *testing.T) {
	stages := make([]Stage, 12)
	for i := range stages {
		stages[i] = Stage{1 + float64(i), 0.1}
	}
	l, err := NewLadder(stages...)
	require.NoError(t, err)
	stages[0].KPerW = 99
	require.Equal(t, 1.0, l.Stages()[0].KPerW, "a ladder keeps its own copy")
	w, err := l.Network()
	require.NoError(t, err)
	require.Equal(t, []string{"1", "2", "3", "4", "5", "6", "7", "8", "9", "10", "11", "12"}, w.Names())
	rise := make([]float64, 12)
	p := make([]float64, 12)
	p[0] = 1
	w.SteadyK(rise, p)
	require.InDelta(t, 78, rise[0], 1e-9)
	require.InDelta(t, 12, rise[11], 1e-9)
	require.Equal(t, 78.0, l.TotalKPerW())
	resp, node := w.Step(p), make([]float64, 1)
	for _, at := range []float64{1e-3, 0.1, 5, 300} {
		resp.RiseK(rise, at)
		require.InEpsilon(t, l.Foster().ZthKPerW(at), rise[0], 1e-9)
		for i := range rise {
			resp.NodeK(node, i, []float64{at})
			require.Equal(t, rise[i], node[0], "scalar and batch agree to the last digit")
		}
	}
	for k, tau := range w.TimeConstantsS() {
		require.InEpsilon(t, l.Foster().Terms()[11-k].TauS, tau, 1e-9)
	}
}

func TestPulseTrainRefuses(t *testing.T) {
	_, err := NewPulseTrain(-1, 1, 2)
	limittest.RefusesRange(t, err, "pulse power")
	_, err = NewPulseTrain(1, 0, 2)
	limittest.RefusesRange(t, err, "pulse on-time")
	_, err = NewPulseTrain(1, 1, nan)
	limittest.RefusesRange(t, err, "pulse period")
	_, err = NewPulseTrain(1, 3, 2)
	var ce *stationphysics.ConflictError
	require.True(t, errors.As(err, &ce))
}

func warmUp(n int, stepS, endC, startC, tauS, scatterK float64, seed int64) (times, temps []float64) {
	rnd := rand.New(rand.NewSource(seed))
	for i := range n {
		at := float64(i) * stepS
		times = append(times, at)
		temps = append(temps, endC-(endC-startC)*math.Exp(-at/tauS)+scatterK*rnd.NormFloat64())
	}
	return times, temps
}

func TestFitWithoutScatter(t *testing.T) {
	times, temps := warmUp(40, 15, 92, 21, 110, 0, 1)
	w, err := FitWarmUp(times, temps, 21, 1.42)
	require.NoError(t, err)
	require.InDelta(t, 92, w.EndC, 1e-5)
	require.InDelta(t, 21, w.StartC, 1e-5)
	require.InDelta(t, 110, w.TauS, 1e-4)
	require.InDelta(t, 50, w.ThetaKPerW, 1e-5)
	require.InDelta(t, 0, w.ScatterK, 1e-5)
	require.InDelta(t, 39*15/110.0, w.SpanRatio, 1e-6)
	// It may begin late and cool instead of warm.
	for i := range times {
		times[i] += 1e6
		temps[i] = 113 - temps[i]
	}
	c, err := FitWarmUp(times, temps, 21, 1.42)
	require.NoError(t, err)
	require.InDelta(t, 110, c.TauS, 1e-4)
	require.InDelta(t, 21, c.EndC, 1e-5)
	require.InDelta(t, 92, c.StartC, 1e-5)
	require.InDelta(t, 39*15/110.0, c.SpanRatio, 1e-6)
}

// TestFitScatter recomputes the scatter from the fitted curve: three numbers
// were taken from the record, and so many degrees of freedom are gone.
func TestFitScatter(t *testing.T) {
	times, temps := warmUp(9, 40, 92, 21, 110, 0.3, 5)
	w, err := FitWarmUp(times, temps, 21, 1.42)
	require.NoError(t, err)
	sse := 0.0
	for i, at := range times {
		r := temps[i] - (w.EndC - (w.EndC-w.StartC)*math.Exp(-at/w.TauS))
		sse += r * r
	}
	require.InEpsilon(t, math.Sqrt(sse/6), w.ScatterK, 1e-9)
	require.InEpsilon(t, w.EndErrorC/1.42, w.ThetaErrorKPerW, 1e-12)
	// The curve is the best one: a step of any of the three raises the sum.
	for k := range 6 {
		v := [3]float64{w.EndC, w.StartC, w.TauS}
		v[k/2] *= 1 + 1e-4*float64(2*(k%2)-1)
		worse := 0.0
		for i, at := range times {
			r := temps[i] - (v[0] - (v[0]-v[1])*math.Exp(-at/v[2]))
			worse += r * r
		}
		require.Greater(t, worse, sse)
	}
	// Five readings are enough, four are not.
	_, err = FitWarmUp(times[:5], temps[:5], 21, 1.42)
	require.NoError(t, err)
}

// TestFitStandardErrors repeats a noisy record many times: the fitted values
// must scatter as their own standard errors say.
func TestFitStandardErrors(t *testing.T) {
	const runs = 400
	for _, span := range []float64{1.5, 4} {
		var tau, theta, scatter, tauErr, thetaErr []float64
		for seed := range int64(runs) {
			times, temps := warmUp(60, span*110/60, 92, 21, 110, 0.3, seed+1)
			w, err := FitWarmUp(times, temps, 21, 1.42)
			require.NoError(t, err)
			tau, theta, scatter = append(tau, w.TauS), append(theta, w.ThetaKPerW), append(scatter, w.ScatterK)
			tauErr, thetaErr = append(tauErr, w.TauErrorS), append(thetaErr, w.ThetaErrorKPerW)
		}
		require.InEpsilon(t, 1, mean(tauErr)/deviation(tau), 0.12)
		require.InEpsilon(t, 1, mean(thetaErr)/deviation(theta), 0.12)
		require.InDelta(t, 110, mean(tau), 4*mean(tauErr)/math.Sqrt(runs)+0.5)
		require.InDelta(t, 50, mean(theta), 4*mean(thetaErr)/math.Sqrt(runs)+0.05)
		require.InDelta(t, 0.3, mean(scatter), 0.01)
	}
}

func mean(x []float64) float64 {
	s := 0.0
	for _, v := range x {
		s += v
	}
	return s / float64(len(x))
}

func deviation(x []float64) float64 {
	m, s := mean(x), 0.0
	for _, v := range x {
		s += (v - m) * (v - m)
	}
	return math.Sqrt(s / float64(len(x)-1))
}

func TestFitCannotTell(t *testing.T) {
	times, temps := warmUp(40, 15, 92, 21, 110, 0.1, 3)
	for name, c := range map[string]struct {
		times, temps []float64
		says         string
	}{
		"four readings": {times[:4], temps[:4], "4 readings: at least five"},
		"still":         {times, make([]float64, 40), "do not bend"},
		"not later":     {append([]float64{times[1]}, times[1:]...), temps, "reading 2 at 15 s is not later than the one before at 15 s: times must rise"},
	} {
		t.Run(name, func(t *testing.T) {
			_, err := FitWarmUp(c.times, c.temps, 21, 1)
			var we *WarmUpError
			require.True(t, errors.As(err, &we), "%v", err)
			require.ErrorContains(t, err, c.says)
		})
	}
	line := make([]float64, 40)
	for i, at := range times {
		line[i] = 20 + at/100
	}
	_, err := FitWarmUp(times, line, 21, 1)
	require.ErrorContains(t, err, "do not bend")
	// Noise alone has no time constant worth the name.
	n := 0
	for seed := range int64(50) {
		times, temps := warmUp(40, 15, 21, 21, 110, 0.5, seed)
		if _, err := FitWarmUp(times, temps, 21, 1); err != nil {
			n++
		}
	}
	require.Greater(t, n, 35)
	_, err = FitWarmUp(times, temps, 21, 0)
	limittest.RefusesRange(t, err, "power")
	_, err = FitWarmUp(times, temps, 21, math.Nextafter(1e-9, 0))
	limittest.RefusesRange(t, err, "power")
	_, err = FitWarmUp(times, temps, 21, 1e-9)
	require.NoError(t, err)
	late := append([]float64(nil), times...)
	late[3] = math.NaN()
	_, err = FitWarmUp(late, temps, 21, 1)
	require.EqualError(t, err, "reading 4: time of a reading NaN s is outside -1e+09..1e+09 s")
	_, err = FitWarmUp(times, temps, 294, 1)
	limittest.RefusesRange(t, err, "ambient temperature")
	temps[7] = nan
	_, err = FitWarmUp(times, temps, 21, 1)
	require.ErrorContains(t, err, "reading 8: part temperature")
	require.Panics(t, func() { _, _ = FitWarmUp(times[:5], temps[:6], 21, 1) })
}

// A movement counts from twice the scatter on: readings that swing by 1 K about
// a curve tell 2.5 K from it, and do not tell 1.7 K.
func TestMovementAgainstScatter(t *testing.T) {
	for moveK, tells := range map[float64]bool{2.5: true, 1.7: false} {
		times, temps := make([]float64, 60), make([]float64, 60)
		for i := range times {
			times[i] = float64(10 * i)
			swingK := 1.0
			if i%2 == 1 {
				swingK = -1
			}
			temps[i] = 30 + moveK*(1-math.Exp(-times[i]/120)) + swingK
		}
		_, err := FitWarmUp(times, temps, 21, 1)
		if tells {
			require.NoError(t, err)
		} else {
			require.ErrorContains(t, err, "does not move enough")
		}
	}
}

func TestNothingAllocatesPerStep(t *testing.T) {
	w := sixNetwork(t)
	p := []float64{1.2, 0, 0, 0.3, 0, 0}
	resp := w.Step(p)
	st, err := w.Stepper(60)
	require.NoError(t, err)
	f, err := NewFoster(Term{3, 0.01}, Term{20, 4})
	require.NoError(t, err)
	train, err := NewPulseTrain(2, 0.1, 1)
	require.NoError(t, err)
	a, b := make([]float64, 6), make([]float64, 6)
	require.Zero(t, testing.AllocsPerRun(100, func() {
		resp.RiseK(a, 3)
		resp.NodeK(a, 2, b)
		st.Next(b, a, p)
		w.SteadyK(a, p)
		_ = f.ZthKPerW(1) + f.PulsePeakK(train) + f.PulseTroughK(train) + f.PulseMeanK(train) + f.PulseEndK(train, 7)
	}))
}

func FuzzFosterToLadder(f *testing.F) {
	f.Add(0.8, 0.001, 2.5, 0.02, 4.0, 0.5)
	f.Add(1.0, 1.0, 1.0, 1.0, 1.0, 1.0)
	f.Add(1e-9, 1e-12, 1e6, 1e12, 1.0, 1.0)
	f.Fuzz(func(t *testing.T, r1, t1, r2, t2, r3, t3 float64) {
		s, err := NewFoster(Term{r1, t1}, Term{r2, t2}, Term{r3, t3})
		ok := someResistance.Holds(r1) && someResistance.Holds(r2) && someResistance.Holds(r3) &&
			termTau.Holds(t1) && termTau.Holds(t2) && termTau.Holds(t3)
		if (err == nil) != ok {
			t.Fatal(err)
		}
		if err != nil {
			return
		}
		l, err := s.Ladder()
		if err != nil {
			return // it said that it cannot
		}
		for _, st := range l.Stages() {
			if !(st.KPerW > 0) || !(st.JPerK > 0) {
				t.Fatalf("%+v has a stage that is none: %+v", s.Terms(), st)
			}
		}
		back := l.Foster()
		for _, at := range []float64{t1 / 3, t2, t3 * 2} {
			require.InEpsilon(t, s.ZthKPerW(at), back.ZthKPerW(at), 1e-3)
		}
	})
}
