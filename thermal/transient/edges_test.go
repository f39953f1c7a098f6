package transient

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
)

// A ladder knows no unit of time and none of heat: powers of two scale it without any
// rounding, from the quickest terms to the slowest.
func TestLadderScales(t *testing.T) {
	terms := []Term{{0.8, 0.001}, {2.5, 0.02}, {4, 0.5}, {12, 8}}
	ladder := func(timeScale, resistanceScale float64) []Stage {
		scaled := make([]Term, len(terms))
		for i, x := range terms {
			scaled[i] = Term{x.KPerW * resistanceScale, x.TauS * timeScale}
		}
		f, err := NewFoster(scaled...)
		require.NoError(t, err)
		l, err := f.Ladder()
		require.NoError(t, err)
		return l.Stages()
	}
	plain := ladder(1, 1)
	for _, k := range []int{-28, 28} {
		long := math.Ldexp(1, k)
		for i, s := range ladder(long, 1) {
			require.Equal(t, plain[i].KPerW, s.KPerW)
			require.Equal(t, plain[i].JPerK*long, s.JPerK)
		}
	}
	for _, k := range []int{-16, 16} {
		warm := math.Ldexp(1, k)
		for i, s := range ladder(1, warm) {
			require.InEpsilon(t, plain[i].KPerW*warm, s.KPerW, 1e-14)
			require.InEpsilon(t, plain[i].JPerK/warm, s.JPerK, 1e-14)
		}
	}
}

// A body of 3 K/W and 2 J/K: a step of one second leaves exp(-1/6) of a rise and adds
// the rest of what the power leads to.
func TestStepperOfOneNode(t *testing.T) {
	w, err := NewNetwork([]Node{{"a", 2}}, []Link{{"a", Ambient, 3}})
	require.NoError(t, err)
	s, err := w.Stepper(1)
	require.NoError(t, err)
	next := make([]float64, 1)
	s.Next(next, []float64{5}, []float64{4})
	require.InDelta(t, 5*math.Exp(-1.0/6)+12*(1-math.Exp(-1.0/6)), next[0], 1e-12)
}

// One short interval is enough for a short time constant, even the first.
func TestFitOfOneShortInterval(t *testing.T) {
	times := []float64{0, 1, 101, 201, 301, 401}
	temps := make([]float64, len(times))
	for i, at := range times {
		temps[i] = 60 - 40*math.Exp(-at/2)
	}
	w, err := FitWarmUp(times, temps, 20, 1)
	require.NoError(t, err)
	require.InDelta(t, 2, w.TauS, 1e-6)
	require.InDelta(t, 40, w.ThetaKPerW, 1e-6)
}

// A fit knows no unit of time either: the same record in milliseconds, or in hours.
func TestFitScales(t *testing.T) {
	times, temps := warmUp(40, 15, 92, 21, 110, 0.2, 7)
	want, err := FitWarmUp(times, temps, 21, 1.42)
	require.NoError(t, err)
	for _, k := range []int{-20, 12} {
		scale := math.Ldexp(1, k)
		other := make([]float64, len(times))
		for i, at := range times {
			other[i] = at * scale
		}
		got, err := FitWarmUp(other, temps, 21, 1.42)
		require.NoError(t, err)
		// The search ends at 1e-9 of the logarithm of the time constant, and the sum of
		// squares is flat to the root of a rounding there, 1e-8.
		require.InEpsilon(t, want.TauS*scale, got.TauS, 1e-7)
		require.InEpsilon(t, want.TauErrorS*scale, got.TauErrorS, 1e-6)
		require.InDelta(t, want.EndC, got.EndC, 1e-5)
		require.InDelta(t, want.ThetaErrorKPerW, got.ThetaErrorKPerW, 1e-5)
	}
}
