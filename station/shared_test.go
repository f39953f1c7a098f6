package station

import (
	"context"
	"sync"
	"testing"

	"github.com/stretchr/testify/require"

	"github.com/stationphysics/stationphysics/internal/limit/limittest"
)

// One model: each goroutine runs years, asks for the parts and searches, which
// is itself done from several goroutines.
func TestModelMayBeShared(t *testing.T) {
	m := model(t, demo(t))
	w, err := m.Synthetic(1)
	require.NoError(t, err)
	sun, err := m.Sunlight(w)
	require.NoError(t, err)
	limittest.Together(t, func() any {
		y, err := m.Run(sun, 1)
		require.NoError(t, err)
		band, err := m.Cells()
		require.NoError(t, err)
		held, err := m.Held()
		require.NoError(t, err)
		return []any{y.Energy, y.LostH, y.LowestSoC, band.WorstV, held.PanelV}
	})
	var wg sync.WaitGroup
	var got [3][]Outcome
	for i := range got {
		wg.Add(1)
		go func() {
			defer wg.Done()
			got[i], _ = m.Years(context.Background(), Plan{FirstSeed: 3, Years: 2, Workers: 2})
		}()
	}
	wg.Wait()
	require.Len(t, got[0], 2)
	require.Equal(t, got[0], got[1])
	require.Equal(t, got[0], got[2])
}
