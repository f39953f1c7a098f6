package battery

import (
	"testing"

	"github.com/stretchr/testify/require"

	"github.com/stationphysics/stationphysics/internal/limit/limittest"
)

// One pack and one run, and each goroutine with a state of its own.
func TestPackAndRunMayBeShared(t *testing.T) {
	cell, err := TypicalCell(LiFePO4, 1.5)
	require.NoError(t, err)
	p, err := NewPack(cell, 2, 1)
	require.NoError(t, err)
	r, err := NewRun(p, p.DefaultControl(7))
	require.NoError(t, err)
	limittest.Together(t, func() any {
		s := p.At(0.5)
		out := []any{p.OpenCircuitV(0.5, 20), p.UsableFrac(-10), r.Control()}
		for i := range 200 {
			var f Flow
			s, f = r.Step(s, []float64{3, -2, 1.5}[i%3], 3600, 5)
			out = append(out, s, f)
		}
		return out
	})
}
