package wiring

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
)

// Rosa's formula again at another length: 0.4 µH times (ln(8000) - 0.75) for two
// metres of one millimetre. It begins at ten diameters and ends below 100 km.
func TestStraightWireLengths(t *testing.T) {
	require.InEpsilon(t, 0.4e-6*(math.Log(8000)-0.75), StraightWireHenry(2, 1), 1e-12)
	for l, ok := range map[float64]bool{0.01: true, 0.00999: false, 99999: true, 1e5: false} {
		require.Equal(t, ok, !math.IsNaN(StraightWireHenry(l, 1)), "%g m", l)
	}
}

// The ends of what a run takes: nothing of length or contact, below a million.
func TestEndsOfARun(t *testing.T) {
	w, err := IEC(1, Stranded)
	require.NoError(t, err)
	below := math.Nextafter(1e6, 0)
	for _, ok := range []Run{{w, 0, 20, 0}, {w, below, 20, 0}, {w, 0, 20, below}, {w, 1, -60, 0}, {w, 1, 200, 0}} {
		require.False(t, math.IsNaN(ok.LoopOhm()), "%+v", ok)
	}
	for _, bad := range []Run{{w, 1e6, 20, 0}, {w, 0, 20, 1e6}, {w, 1, math.Nextafter(-60, -61), 0}, {w, 1, math.Nextafter(200, 201), 0}} {
		require.True(t, math.IsNaN(bad.LoopOhm()), "%+v", bad)
	}
}

// No current needs no rating, a small one a small one; a pulse of nothing does
// no harm; a clamp of less than a volt takes energy too; breaking capacity may
// equal the rating.
func TestSmallFuseArguments(t *testing.T) {
	require.Zero(t, NeededRatingA(0, 0.75, 1))
	require.InDelta(t, 0.4, NeededRatingA(0.3, 0.75, 1), 1e-15)
	f, err := NewFuse(slow)
	require.NoError(t, err)
	survives, known := f.Survives(0, 100)
	require.True(t, survives && known)
	// 0.5 A²s at 20 A melt in 1.25 ms: 0.7 V and 20 A for that time.
	require.InDelta(t, 0.7*20*0.5/400, f.ClampJ(0.7, 20), 1e-15)
	s := slow
	s.BreakingA = s.RatedA
	_, err = NewFuse(s)
	require.NoError(t, err)
}

// A source of more than a gigaohm is none: it is refused, as the field says, before its
// numbers overflow; one that does not help at all is +Inf.
func TestWeakestSource(t *testing.T) {
	h := HoldUp{CapacitorFarad: 1e-3, SourceV: 5, SourceOhm: 1e9, BurstA: 100, BurstS: 1e-6}
	alone := h
	alone.SourceOhm = math.Inf(1)
	require.NoError(t, alone.Check())
	require.InDelta(t, alone.LowestV(), h.LowestV(), 1e-9, "in a microsecond a gigaohm brings nothing")
	for _, ohm := range []float64{math.Nextafter(1e9, 2e9), 1e307} {
		h.SourceOhm = ohm
		require.ErrorContains(t, h.Check(), "source resistance")
		require.True(t, math.IsNaN(h.LowestV()))
	}
}
