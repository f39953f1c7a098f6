package battery

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
)

// A constant current empties the pack of its usable charge, less what it loses
// by itself, whatever the length of the steps.
func TestDrawGivesTheUsableCharge(t *testing.T) {
	cell, err := TypicalCell(LiFePO4, 6)
	require.NoError(t, err)
	p, err := NewPack(cell, 3, 1)
	require.NoError(t, err)
	c := p.DefaultControl(10.5)
	c.CutoffV = 1.5
	r, err := NewRun(p, c)
	require.NoError(t, err)
	for _, dt := range []float64{60, 3600, 7 * 3600} {
		s, out, lost := p.At(1), 0.0, 0.0
		steps := 0
		for {
			next, f := r.Draw(s, 0.05, dt, 25)
			out, lost, s = out+f.OutAh, lost+f.LostAh, next
			steps++
			if f.Stop == Empty {
				break
			}
			require.Equal(t, NoStop, f.Stop)
			require.InDelta(t, 0.05*dt/3600, f.OutAh, 1e-12, "the current is constant")
		}
		// Rounding of some thousand sums; in the last step the pack goes on
		// discharging itself after it is empty.
		selfA := 6 * cell.SelfDischargePctPerMonth / 100 / 720
		require.InDelta(t, 6*p.UsableFrac(25), out+lost, 1e-9+selfA*dt/3600)
		require.Greater(t, steps, 10)
	}
}

func TestDrawEdges(t *testing.T) {
	cell, err := TypicalCell(LiFePO4, 6)
	require.NoError(t, err)
	p, err := NewPack(cell, 3, 1)
	require.NoError(t, err)
	r, err := NewRun(p, p.DefaultControl(10.5))
	require.NoError(t, err)
	for _, bad := range []float64{-1, math.NaN(), math.Inf(1)} {
		_, f := r.Draw(p.At(0.5), bad, 3600, 25)
		require.Equal(t, Invalid, f.Stop)
		require.True(t, math.IsNaN(f.EndV))
	}
	_, f := r.Draw(p.At(0.5), 0, 3600, 25)
	require.Equal(t, NoStop, f.Stop)
	require.Zero(t, f.OutAh)
	_, f = r.Draw(p.At(0), 0.1, 3600, 25)
	require.Equal(t, Empty, f.Stop)
	require.Zero(t, f.OutAh)
	_, f = r.Draw(p.At(0.02), 30, 3600, 25)
	require.Equal(t, Cutoff, f.Stop)
	require.Zero(t, testing.AllocsPerRun(10, func() { r.Draw(p.At(0.5), 0.1, 3600, 25) }))
}
