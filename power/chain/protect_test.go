package chain

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
)

func TestFuseTimes(t *testing.T) {
	f := Fuse{RatedA: 1, MeltA2S: 1.2}
	require.True(t, math.IsInf(f.OpensWithinS(1.99), 1), "below twice its rating it need not open")
	require.InDelta(t, 120, f.OpensWithinS(2), 1e-9)
	require.InDelta(t, 0.012, f.OpensWithinS(10), 1e-15)
	require.InDelta(t, 0.003, f.OpensWithinS(20), 1e-15, "the melting integral over the square of the current")
	require.InDelta(t, 0.003, f.OpensWithinS(-20), 1e-15, "either way")
	// Half-way between 2 and 10 in the logarithm, √20: the geometric mean of
	// 120 s and 0.012 s.
	require.InDelta(t, 1.2, f.OpensWithinS(math.Sqrt(20)), 1e-9)
	last := math.Inf(1)
	for i := 1.5; i < 50; i *= 1.05 {
		s := f.OpensWithinS(i)
		require.LessOrEqual(t, s, last)
		last = s
	}
	require.True(t, math.IsNaN(Fuse{RatedA: 1}.OpensWithinS(5)))
	require.True(t, math.IsInf(Fuse{RatedA: 1}.OpensWithinS(1), 1))
	require.True(t, math.IsInf(f.OpensWithinS(math.NaN()), 1), "a current that is not known opens nothing")
}

func TestRatings(t *testing.T) {
	for need, want := range map[float64]float64{0: 0.05, 0.05: 0.05, 0.051: 0.063, 0.9: 1, 1: 1, 1.01: 1.25, 31: 32, 32.5: 33} {
		require.Equal(t, want, ratedAtLeast(need), "for %g A", need)
	}
}

// overrun is 12 V behind 0.5 ohm, a fuse, a regulator that shorts with nothing,
// and a clamp at its output.
func overrun(fuse Fuse, clamp Clamp) []Part {
	return []Part{
		{"pack", "", "bus", Battery{OpenV: 12, SeriesOhm: 0.5}},
		{"F", "bus", "in", fuse},
		{"U", "in", "out", Linear{SetV: 5}},
		{"Z", "out", "", clamp},
		{"radio", "out", "", CurrentLoad{LoadA: 0.1}},
	}
}

func TestAClampAndItsFuse(t *testing.T) {
	limits := []Limit{{Node: "out", Item: "radio", WorkV: 5.25, MaxV: 6.5}}
	// Shorted: (12 − 6)/0.5 = 12 A less what 0.02 ohm of fuse take.
	const current = 6 / 0.52
	fuse := Fuse{RatedA: 1, ColdOhm: 0.02, MeltA2S: 1.2}
	clampW := 6 * (current - 0.1)
	opens := 1.2 / (current * current)
	for name, c := range map[string]struct {
		fuse    Fuse
		clamp   Clamp
		verdict Verdict // of the clamp
		radio   Verdict
		reason  string
	}{
		"bears it for good":      {fuse, Clamp{BreakdownV: 6, MaxW: 80}, Survives, Survives, "bears the power for good"},
		"outlives the fuse":      {fuse, Clamp{BreakdownV: 6, MaxW: 5, MaxJ: 0.63}, Survives, Survives, "outlives the fuse"},
		"dies first":             {fuse, Clamp{BreakdownV: 6, MaxW: 5, MaxJ: 0.61}, Lost, CannotTell, "dies before the fuse is sure to have opened"},
		"energy not known":       {fuse, Clamp{BreakdownV: 6, MaxW: 5}, CannotTell, CannotTell, "its pulse energy is not known"},
		"integral not known":     {Fuse{RatedA: 1, ColdOhm: 0.02}, Clamp{BreakdownV: 6, MaxJ: 9}, CannotTell, CannotTell, "the fuse's melting integral is not known"},
		"fuse too large":         {Fuse{RatedA: 6, ColdOhm: 0.02, MeltA2S: 40}, Clamp{BreakdownV: 6, MaxW: 5, MaxJ: 9}, Lost, CannotTell, "power above what it bears, and no fuse need open"},
		"too large, not known":   {Fuse{RatedA: 6, ColdOhm: 0.02, MeltA2S: 40}, Clamp{BreakdownV: 6, MaxJ: 9}, CannotTell, CannotTell, "no fuse need open, and its continuous power is not known"},
		"bears it, exactly":      {fuse, Clamp{BreakdownV: 6, MaxW: clampW * (1 + 1e-7)}, Survives, Survives, "bears the power for good"},
		"bears it not, just so":  {fuse, Clamp{BreakdownV: 6, MaxW: clampW * (1 - 1e-7), MaxJ: clampW * opens * (1 - 1e-6)}, Lost, CannotTell, "dies before"},
		"energy just so":         {fuse, Clamp{BreakdownV: 6, MaxW: clampW * (1 - 1e-7), MaxJ: clampW * opens * (1 + 1e-6)}, Survives, Survives, "outlives the fuse"},
		"clamp that never comes": {fuse, Clamp{BreakdownV: 13}, Survives, Lost, ""},
	} {
		t.Run(name, func(t *testing.T) {
			s := surveyOf(t, overrun(c.fuse, c.clamp), limits, Stock{})
			r := rowOf(t, s, "U", PassShort)
			require.Equal(t, c.radio, harmOf(t, r, "out").Verdict, harmOf(t, r, "out").Reason)
			if c.reason == "" {
				require.Empty(t, r.Clamps)
				require.Empty(t, r.Fuses)
				return
			}
			require.Len(t, r.Clamps, 1)
			k := r.Clamps[0]
			require.Equal(t, "Z", k.Part)
			require.Equal(t, c.verdict, k.Verdict)
			require.Contains(t, k.Reason, c.reason)
			require.InDelta(t, clampW, k.PowerW, 1e-6)
			require.Contains(t, r.EndEffect(), "Z takes ")
			if c.fuse.RatedA == 1 {
				require.Equal(t, "F", k.Fuse)
				require.Equal(t, []string{"out"}, r.Down, "the fuse takes the radio's supply with it")
				require.InDelta(t, current, r.Fuses[0].CurrentA, 1e-6)
				require.InDelta(t, current, r.Fuses[0].Ratio, 1e-6)
				if c.fuse.MeltA2S > 0 {
					require.InDelta(t, opens, r.Fuses[0].OpensS, 1e-9)
					require.InDelta(t, clampW*opens, k.EnergyJ, 1e-7)
					require.Contains(t, r.EndEffect(), "F opens within 0.00901 s")
				} else {
					require.Contains(t, r.EndEffect(), "F opens, when cannot be told")
				}
			} else {
				require.Empty(t, k.Fuse)
				require.True(t, math.IsInf(k.EnergyJ, 1))
				require.Contains(t, r.EndEffect(), "F at 1.92 times its rating need not open")
				require.Empty(t, r.Down)
			}
			if c.radio == CannotTell {
				require.Equal(t, "holds only as long as clamp Z does", harmOf(t, r, "out").Reason)
			}
			require.Empty(t, s.Rows[0].Clamps, "idle without a fault")
		})
	}
}

func TestTheBarrierThatIsFound(t *testing.T) {
	parts := func(fuse Model) []Part {
		return []Part{
			{"pack", "", "bus", Battery{OpenV: 12, SeriesOhm: 0.5}},
			{"F", "bus", "in", fuse},
			{"U", "in", "out", Linear{SetV: 5}},
			{"radio", "out", "", CurrentLoad{LoadA: 0.3}},
		}
	}
	limits := []Limit{{Node: "out", Item: "radio", WorkV: 5.5, MaxV: 6.5}}
	// The ideal clamp in the middle of the window is at 6 V.
	s := surveyOf(t, parts(Fuse{RatedA: 1, ColdOhm: 0.02, MeltA2S: 1.2}), limits, Stock{})
	b := rowOf(t, s, "U", PassShort).Barrier
	require.Equal(t, FuseAndClamp, b.Kind)
	require.False(t, b.InStock)
	require.Equal(t, "out", b.Node)
	require.Equal(t, "F", b.Fuse)
	require.Equal(t, [2]float64{5.5, 6.5}, [2]float64{b.AboveV, b.BelowV})
	require.InDelta(t, 6, b.ClampV, 1e-6)
	require.InDelta(t, 6/0.52, b.FaultA, 1e-6)
	require.InDelta(t, 6/0.52-0.3, b.ClampA, 1e-6)
	require.InDelta(t, 6*(6/0.52-0.3), b.ClampW, 1e-5)
	require.InDelta(t, 0.3, b.NormalA, 1e-6)
	require.Equal(t, 1.0, b.FuseA)
	require.InDelta(t, 1.2*0.52*0.52/36, b.OpensS, 1e-8)
	require.Equal(t, CannotTell, b.Outlives)
	require.Empty(t, b.Remaining)
	require.Equal(t, "clamp at node out between 5.50 V and 6.50 V behind fuse F: 11.2 A for at most 0.00901 s, 0.608 J (cannot tell: its pulse energy is not known)", b.String())

	// With stock: the one that fits the window and outlives the fuse.
	stock := Stock{
		Clamps: []Clamp{{BreakdownV: 5.4, MaxJ: 100}, {BreakdownV: 6.6, MaxJ: 100}, {BreakdownV: 5.8, MaxJ: 0.1}, {BreakdownV: 5.9, SlopeOhm: 0.01, MaxJ: 1}, {BreakdownV: 6, MaxJ: 100}},
		Fuses:  []Fuse{{RatedA: 0.39, MeltA2S: 0.1}, {RatedA: 0.5, ColdOhm: 0.1, MeltA2S: 0.2}, {RatedA: 1, MeltA2S: 1.2}},
	}
	b = rowOf(t, surveyOf(t, parts(Fuse{RatedA: 1, ColdOhm: 0.02, MeltA2S: 1.2}), limits, stock), "U", PassShort).Barrier
	require.True(t, b.InStock)
	require.Equal(t, Survives, b.Outlives)
	i := 6.1/0.53 + 0.01*0.3/0.53 // clamp and radio in parallel behind 0.52 ohm
	require.InDelta(t, i, b.FaultA, 1e-6)
	require.InDelta(t, 5.9+0.01*(i-0.3), b.ClampV, 1e-6)

	// No fuse in the path: the first in stock that carries 0.3 A for good.
	b = rowOf(t, surveyOf(t, parts(Wire{Ohm: 0.02}), limits, stock), "U", PassShort).Barrier
	require.Equal(t, "", b.Fuse)
	require.Equal(t, "U", b.Before)
	require.Equal(t, 0.5, b.FuseA)
	require.InDelta(t, 0.2/(b.FaultA*b.FaultA), b.OpensS, 1e-9)
	// And without stock a rating of the series, 0.3 A/0.75 = 0.4 A.
	b = rowOf(t, surveyOf(t, parts(Wire{Ohm: 0.02}), limits, Stock{}), "U", PassShort).Barrier
	require.Equal(t, 0.4, b.FuseA)
	require.Equal(t, "the fuse's melting integral is not known", b.Reason)
	require.Contains(t, b.String(), "behind a fuse of 0.4 A after U: 11.2 A (cannot tell")

	// A weak source opens no fuse: the clamp has to bear it.
	weak := parts(Wire{Ohm: 40})
	b = rowOf(t, surveyOf(t, append(weak[:3:3], Part{"radio", "out", "", CurrentLoad{LoadA: 0.1}}), limits, Stock{Clamps: []Clamp{{BreakdownV: 6, MaxW: 1}}}), "U", PassShort).Barrier
	require.Equal(t, ClampAlone, b.Kind)
	require.Equal(t, Survives, b.Outlives)
	require.InDelta(t, 6*(6/40.5-0.1), b.ClampW, 1e-6)
	require.Contains(t, b.String(), "0.0481 A, 0.289 W for good (survives: bears the power for good)")

	// Of two that do it the first of the stock, which is the preferred one, though the
	// second takes less: by hand 6.4 V (5.6 V/40.5 ohm - 0.1 A) = 0.245 W for 0.289 W.
	pair := Stock{Clamps: []Clamp{{BreakdownV: 6, MaxW: 1}, {BreakdownV: 6.4, MaxW: 1}}}
	b = rowOf(t, surveyOf(t, append(weak[:3:3], Part{"radio", "out", "", CurrentLoad{LoadA: 0.1}}), limits, pair), "U", PassShort).Barrier
	require.Equal(t, Survives, b.Outlives)
	require.InDelta(t, 6, b.ClampV, 1e-6)

	// No room between working and damage voltage.
	tight := []Limit{{Node: "out", Item: "radio", WorkV: 5.5, MaxV: 5.5}}
	b = rowOf(t, surveyOf(t, parts(Wire{Ohm: 0.02}), tight, Stock{}), "U", PassShort).Barrier
	require.Equal(t, NoBarrier, b.Kind)
	require.Equal(t, "no single clamp: no voltage between working and damage is left for a clamp", b.String())
}

func TestWhatMakesABarrierNeedless(t *testing.T) {
	limits := []Limit{{Node: "out", Item: "radio", WorkV: 5.5, MaxV: 6}}
	s := surveyOf(t, []Part{
		{"adapter", "", "in", Adapter{RatedV: 5.5, NoLoadV: 9, RatedA: 1}},
		{"J", "in", "out", Link{Fitted: true, Ohm: 0.1}},
		{"pack", "", "bus", Battery{OpenV: 8, SeriesOhm: 0.1}},
		{"J2", "bus", "out", Link{Ohm: 0.1}},
		{"U", "bus", "out", Linear{SetV: 5.4, Trimmer: true, WiperOpenV: 7}},
		{"radio", "out", "", CurrentLoad{LoadA: 0.1}},
		{"lamp", "in", "", Resistor{Ohm: 100}},
	}, limits, Stock{})
	require.Equal(t, "use a regulated adapter and mark its socket", rowOf(t, s, "adapter", Unregulated).Barrier.Instead)
	require.Equal(t, "make the link impossible to fit by mistake", rowOf(t, s, "J2", LinkFitted).Barrier.Instead)
	require.Equal(t, "set the output with fixed resistors", rowOf(t, s, "U", WiperOpen).Barrier.Instead)
	require.Contains(t, rowOf(t, s, "adapter", Unregulated).Provision(), "; or use a regulated adapter")
	require.Equal(t, NotNeeded, rowOf(t, s, "J", LinkMissing).Barrier.Kind)

	// A link whose absence does the harm: it carries the load that holds a
	// source down.
	s = surveyOf(t, []Part{
		{"source", "", "out", Battery{OpenV: 10, SeriesOhm: 10}}, {"J", "out", "ballast", Link{Fitted: true}},
		{"ballast", "ballast", "", Resistor{Ohm: 10}}, {"radio", "out", "", Resistor{Ohm: 1000}},
	}, limits, Stock{})
	r := rowOf(t, s, "J", LinkMissing)
	require.Equal(t, Lost, r.Worst)
	require.Equal(t, "make the link impossible to leave out", r.Barrier.Instead)
}

func TestABarrierMayNotBeEnough(t *testing.T) {
	// Behind 1000 ohm a small clamp does; at the adapter's own socket it would
	// have to hold the adapter.
	s := surveyOf(t, []Part{
		{"adapter", "", "in", Adapter{RatedV: 9, NoLoadV: 30, RatedA: 1}},
		{"W", "in", "bus", Wire{Ohm: 1000}},
		{"radio", "bus", "", CurrentLoad{LoadA: 0.001}},
		{"lamp", "in", "", Resistor{Ohm: 1000}},
	}, []Limit{{Node: "bus", Item: "radio", WorkV: 10, MaxV: 12}}, Stock{})
	r := rowOf(t, s, "adapter", Unregulated)
	require.Equal(t, "bus", r.Barrier.Node)
	require.NotContains(t, r.Barrier.String(), "still lost")

	// But what is in front of it is left to its fate.
	s = surveyOf(t, []Part{
		{"adapter", "", "in", Adapter{RatedV: 9, NoLoadV: 30}},
		{"W", "in", "bus", Wire{Ohm: 1000}},
		{"radio", "bus", "", CurrentLoad{LoadA: 0.001}},
		{"lamp", "in", "", Resistor{Ohm: 1000}},
	}, []Limit{{Node: "bus", Item: "radio", WorkV: 10, MaxV: 12}, {Node: "in", Item: "lamp", WorkV: 20, MaxV: 20}}, Stock{})
	r = rowOf(t, s, "adapter", Unregulated)
	require.Equal(t, "bus", r.Barrier.Node)
	require.Equal(t, []string{"lamp"}, r.Barrier.Remaining)
	require.Contains(t, r.Barrier.String(), "; still lost: lamp")
}
