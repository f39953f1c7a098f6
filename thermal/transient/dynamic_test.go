package transient

import (
	"fmt"
	"math"
	"math/rand"
	"testing"

	"github.com/stretchr/testify/require"

	"github.com/stationphysics/stationphysics/internal/refdata"
)

func TestSimulatedLadderStep(t *testing.T) {
	refdata.Each(t, "thermal/transient/ladder_step", func(r *refdata.Row) {
		var s [4]Stage
		for i := range s {
			s[i] = Stage{r.F(fmt.Sprintf("r%dKPerW", i+1)), r.F(fmt.Sprintf("c%dJPerK", i+1))}
		}
		l, err := NewLadder(s[:]...)
		require.NoError(t, err)
		w, err := l.Network()
		require.NoError(t, err)
		power := []float64{r.F("powerW"), 0, 0, 0}
		rise := make([]float64, 4)
		at := r.F("timeS")
		w.Step(power).RiseK(rise, at)
		for i, v := range rise {
			r.Check(fmt.Sprintf("t%dC", i+1), r.F("ambientC")+v, fmt.Sprintf("node %d at %g s", i+1, at))
		}
		r.Check("t1C", r.F("ambientC")+power[0]*l.Foster().ZthKPerW(at), "the Foster sum of the ladder")
		// One exact step of the same length gives the same.
		st, err := w.Stepper(at)
		require.NoError(t, err)
		next := make([]float64, 4)
		st.Next(next, make([]float64, 4), power)
		for i, v := range next {
			require.InDelta(t, rise[i], v, 1e-9)
		}
	})
}

var sixNodes = []Node{{"ja", 0.01}, {"case", 0.4}, {"if", 0}, {"jb", 0.02}, {"board", 9}, {"sink", 30}}

var sixLinks = []Link{
	{"ja", "case", 3}, {"case", "if", 1.5}, {"if", "board", 6}, {"jb", "board", 12},
	{"if", "sink", 2.5}, {Ambient, "sink", 14}, {"board", Ambient, 35},
}

func sixNetwork(t testing.TB) *Network {
	t.Helper()
	w, err := NewNetwork(sixNodes, sixLinks)
	require.NoError(t, err)
	return w
}

func TestSimulatedNetworkStep(t *testing.T) {
	w := sixNetwork(t)
	require.Equal(t, []string{"ja", "case", "if", "jb", "board", "sink"}, w.Names())
	require.Len(t, w.TimeConstantsS(), 5, "one for each capacity")
	resp := w.Step([]float64{1.2, 0, 0, 0.3, 0, 0})
	rise := make([]float64, 6)
	refdata.Each(t, "thermal/transient/network_step", func(r *refdata.Row) {
		resp.RiseK(rise, r.F("timeS"))
		for i, n := range w.Names() {
			r.Check(n+"K", rise[i], fmt.Sprintf("%s at %g s", n, r.F("timeS")))
		}
	})
}

func TestSimulatedPulse(t *testing.T) {
	l, err := NewLadder(Stage{2, 0.005}, Stage{4, 0.1}, Stage{10, 0.8})
	require.NoError(t, err)
	f := l.Foster()
	p, err := NewPulseTrain(5, 0.3, 1)
	require.NoError(t, err)
	refdata.Each(t, "thermal/transient/pulse", func(r *refdata.Row) {
		n := r.F("pulseCount")
		got := f.PulseEndK(p, int(n))
		if r.S("when") == "before" {
			// Superposed steps: on at every 0, off at every 0.3 s.
			got = 0
			for k := 1.0; k <= n; k++ {
				got += 5 * (f.ZthKPerW(k) - f.ZthKPerW(k-0.3))
			}
		}
		r.Check("riseK", got, fmt.Sprintf("pulse %g, %s", n, r.S("when")))
	})
	require.InDelta(t, f.PulsePeakK(p), f.PulseEndK(p, 1000), 1e-9)
	require.InDelta(t, f.PulsePeakK(p), f.PulseTroughK(p)*1+f.PulsePeakK(p)-f.PulseTroughK(p), 1e-12)
	require.InDelta(t, 16*5*0.3, f.PulseMeanK(p), 1e-9)
}

func TestSimulatedFoster(t *testing.T) {
	f, err := NewFoster(Term{30, 150}, Term{0.8, 0.001}, Term{2.5, 0.02}, Term{4, 0.5}, Term{12, 8})
	require.NoError(t, err)
	l, err := f.Ladder()
	require.NoError(t, err)
	back := l.Foster()
	refdata.Each(t, "thermal/transient/foster_step", func(r *refdata.Row) {
		at := r.F("timeS")
		r.Check("zthKPerW", f.ZthKPerW(at), fmt.Sprintf("ZthKPerW(%g)", at))
		r.Check("zthKPerW", back.ZthKPerW(at), "the same after Foster → Cauer → Foster")
	})
}

func TestPublishedFosterSums(t *testing.T) {
	refdata.Each(t, "thermal/transient/foster_sums", func(r *refdata.Row) {
		// The time constants do not enter the sum; these are invented.
		f, err := NewFoster(Term{r.F("r1KPerW"), 0.001}, Term{r.F("r2KPerW"), 0.05}, Term{r.F("r3KPerW"), 2}, Term{r.F("r4KPerW"), 60})
		require.NoError(t, err)
		r.Check("totalKPerW", f.TotalKPerW(), "TotalKPerW of the sum")
		l, err := f.Ladder()
		require.NoError(t, err)
		r.Check("totalKPerW", l.TotalKPerW(), "TotalKPerW of its ladder")
	})
}

func TestPulseLimits(t *testing.T) {
	f, err := NewFoster(Term{3, 0.01}, Term{20, 4})
	require.NoError(t, err)
	always, err := NewPulseTrain(2, 1, 1)
	require.NoError(t, err)
	for _, k := range []float64{f.PulsePeakK(always), f.PulseTroughK(always), f.PulseMeanK(always)} {
		require.InDelta(t, 46, k, 1e-9, "always on is steady state")
	}
	// Fast pulses are their mean; slow ones reach the whole rise.
	fast, err := NewPulseTrain(2, 1e-6, 4e-6)
	require.NoError(t, err)
	require.InDelta(t, 46.0/4, f.PulsePeakK(fast), 2e-3)
	require.InDelta(t, 46.0/4, f.PulseTroughK(fast), 2e-3)
	slow, err := NewPulseTrain(2, 1000, 4000)
	require.NoError(t, err)
	require.InDelta(t, 46, f.PulsePeakK(slow), 1e-9)
	require.InDelta(t, 0, f.PulseTroughK(slow), 1e-9)
	require.True(t, math.IsNaN(f.PulseEndK(slow, 0)))
	require.InDelta(t, 2*f.ZthKPerW(1000), f.PulseEndK(slow, 1), 1e-12)
	require.Zero(t, f.PulsePeakK(PulseTrain{}))
	require.Zero(t, f.PulseMeanK(PulseTrain{}))
	require.Zero(t, f.PulseTroughK(PulseTrain{}))
}

func TestFosterOfRandomLadders(t *testing.T) {
	rnd := rand.New(rand.NewSource(1))
	for range 300 {
		n := 1 + rnd.Intn(7)
		stages := make([]Stage, n)
		c := 1e-4
		for i := range stages {
			c *= 2 + 20*rnd.Float64()
			stages[i] = Stage{KPerW: 0.1 + 20*rnd.Float64(), JPerK: c}
		}
		l, err := NewLadder(stages...)
		require.NoError(t, err)
		f := l.Foster()
		require.InEpsilon(t, l.TotalKPerW(), f.TotalKPerW(), 1e-12)
		var elmore, initial float64 // Σ R τ and Σ R/τ have closed forms on a ladder
		for _, x := range f.Terms() {
			require.Positive(t, x.KPerW)
			elmore += x.KPerW * x.TauS
			initial += x.KPerW / x.TauS
		}
		require.InEpsilon(t, 1/stages[0].JPerK, initial, 1e-12, "the first capacity takes all heat at first")
		want, beyond := 0.0, l.TotalKPerW()
		for _, s := range stages {
			want += s.JPerK * beyond * beyond
			beyond -= s.KPerW
		}
		require.InEpsilon(t, want, elmore, 1e-10, "first moment of the response")
		back, err := f.Ladder()
		require.NoError(t, err)
		for i, s := range back.Stages() {
			require.InEpsilon(t, stages[i].KPerW, s.KPerW, 1e-5, "stage %d of %v", i, stages)
			require.InEpsilon(t, stages[i].JPerK, s.JPerK, 1e-5, "stage %d of %v", i, stages)
		}
	}
}

func TestStiffLadderKeepsItsShortestTimeConstant(t *testing.T) {
	// A nanosecond beside a year: two stages that hardly know each other.
	l, err := NewLadder(Stage{1, 1e-9}, Stage{1, 3e7})
	require.NoError(t, err)
	x := l.Foster().Terms()
	require.InEpsilon(t, 1e-9, x[0].TauS, 1e-12)
	require.InEpsilon(t, 3e7, x[1].TauS, 1e-12)
}

func TestNetworkSteadyState(t *testing.T) {
	w := sixNetwork(t)
	power := []float64{1.2, 0.1, 0.05, 0.3, 0, -0.2}
	rise, late := make([]float64, 6), make([]float64, 6)
	w.SteadyK(rise, power)
	w.Step(power).RiseK(late, 1e7)
	for i := range rise {
		require.InDelta(t, rise[i], late[i], 1e-9)
	}
	// Kirchhoff: what flows in flows out, at every node and to the air.
	at := map[string]float64{Ambient: 0}
	for i, n := range sixNodes {
		at[n.Name] = rise[i]
	}
	net := map[string]float64{}
	for _, l := range sixLinks {
		q := (at[l.From] - at[l.To]) / l.KPerW
		net[l.From] -= q
		net[l.To] += q
	}
	total := 0.0
	for i, n := range sixNodes {
		require.InDelta(t, 0, net[n.Name]+power[i], 1e-12)
		total += power[i]
	}
	require.InDelta(t, total, net[Ambient], 1e-12)
}

func TestNetworkIsReciprocal(t *testing.T) {
	w := sixNetwork(t)
	rise, col := make([]float64, 6), make([]float64, 6)
	for i := range 6 {
		p := make([]float64, 6)
		p[i] = 1
		for j := range 6 {
			q := make([]float64, 6)
			q[j] = 1
			w.Step(p).RiseK(rise, 3)
			w.Step(q).RiseK(col, 3)
			require.InDelta(t, rise[j], col[i], 1e-12, "what i does to j, j does to i")
		}
	}
}

func TestStepperFollowsTheResponse(t *testing.T) {
	w := sixNetwork(t)
	power := []float64{1.2, 0, 0.4, 0.3, 0, 0}
	resp := w.Step(power)
	st, err := w.Stepper(0.7)
	require.NoError(t, err)
	now, next, want := make([]float64, 6), make([]float64, 6), make([]float64, 6)
	for k := 1; k <= 200; k++ {
		st.Next(next, now, power)
		now, next = next, now
		resp.RiseK(want, 0.7*float64(k))
		for i := range want {
			require.InDelta(t, want[i], now[i], 1e-9)
		}
	}
	// Switched off, it cools by superposition.
	off := make([]float64, 6)
	for k := 1; k <= 20; k++ {
		st.Next(next, now, off)
		now, next = next, now
	}
	a, b := make([]float64, 6), make([]float64, 6)
	resp.RiseK(a, 0.7*220)
	resp.RiseK(b, 0.7*20)
	for i := range now {
		require.InDelta(t, a[i]-b[i], now[i], 1e-9)
	}
}

func TestNodeCurve(t *testing.T) {
	w := sixNetwork(t)
	resp := w.Step([]float64{1.2, 0, 0, 0.3, 0, 0})
	times := []float64{0, 0.01, 1, 50, 1e4, -1, nan}
	dst, all := make([]float64, len(times)), make([]float64, 6)
	for node := range 6 {
		resp.NodeK(dst, node, times)
		for j, at := range times {
			resp.RiseK(all, at)
			if math.IsNaN(all[node]) {
				require.True(t, math.IsNaN(dst[j]))
				continue
			}
			require.Equal(t, all[node], dst[j])
		}
	}
	require.Panics(t, func() { resp.NodeK(dst[:1], 0, times) })
	require.Panics(t, func() { resp.RiseK(dst[:1], 1) })
	require.Panics(t, func() { w.Step([]float64{1}) })
	require.Panics(t, func() { w.SteadyK(all, all[:2]) })
}

func TestNetworkWithoutCapacity(t *testing.T) {
	w, err := NewNetwork([]Node{{"a", 0}, {"b", 0}}, []Link{{"a", "b", 2}, {"b", Ambient, 3}})
	require.NoError(t, err)
	require.Empty(t, w.TimeConstantsS())
	rise := make([]float64, 2)
	w.Step([]float64{4, 0}).RiseK(rise, 0)
	require.InDeltaSlice(t, []float64{20, 12}, rise, 1e-12)
	st, err := w.Stepper(1)
	require.NoError(t, err)
	next := make([]float64, 2)
	st.Next(next, []float64{99, 99}, []float64{4, 0})
	require.InDeltaSlice(t, []float64{20, 12}, next, 1e-12)
	require.Panics(t, func() { st.Next(next[:1], next, next) })
	_, err = w.Stepper(-1)
	require.Error(t, err)
}

func TestMonotoneResponse(t *testing.T) {
	// No node of a network of heat overshoots under constant power.
	resp := sixNetwork(t).Step([]float64{1, 0, 0.2, 0, 0.5, 0})
	last, rise := make([]float64, 6), make([]float64, 6)
	for at := 1e-4; at < 1e5; at *= 1.3 {
		resp.RiseK(rise, at)
		for i := range rise {
			require.GreaterOrEqual(t, rise[i], last[i]-1e-12)
		}
		copy(last, rise)
	}
}

func TestSettledIsExactEverywhere(t *testing.T) {
	for x := 1e-12; x < 1e3; x *= 1.07 {
		require.InEpsilon(t, -math.Expm1(-x), settled(x), 2e-12, "at %g", x)
	}
	require.Zero(t, settled(0))
	require.Equal(t, 1.0, settled(math.Inf(1)))
}

// TestPublishedSingleExponential checks bodies of one temperature: a resistor
// (density 2000 kg/m³, 700 J/(kg K), 3.6 mm by 10 mm, 18.44 W/(m² K) over
// 1.33e-4 m²) and a heated block.
func TestPublishedSingleExponential(t *testing.T) {
	refdata.Each(t, "thermal/transient/single_exponential", func(r *refdata.Row) {
		l, err := NewLadder(Stage{KPerW: r.F("resistanceKPerW"), JPerK: r.F("capacityJPerK")})
		require.NoError(t, err)
		f := l.Foster()
		tau := f.Terms()[0].TauS
		r.Check("tauS", tau, "time constant")
		r.Check("threeTauS", 3*tau, "three time constants")
		require.InEpsilon(t, 1-math.Exp(-3), f.ZthKPerW(3*tau)/f.TotalKPerW(), 1e-12)
		r.Check("endC", r.F("ambientC")+r.F("powerW")*f.ZthKPerW(r.F("timeS")), "warm-up")
	})
}
