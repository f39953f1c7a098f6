package solar

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"github.com/stationphysics/stationphysics/internal/limit/limittest"
)

func TestSiteSkylineAndTrackMayBeShared(t *testing.T) {
	s, err := NewSite(48.2, 16.37, 200)
	require.NoError(t, err)
	line, err := NewSkyline([]SkylinePoint{{90, 20}, {180, 3}, {270, 15}})
	require.NoError(t, err)
	track, err := s.Year(2026, nil)
	require.NoError(t, err)
	noon := time.Date(2026, 6, 21, 11, 0, 0, 0, time.UTC)
	limittest.Together(t, func() any {
		d, err := s.DirectSun(2026, 6, 21, nil, line)
		out := []any{s.At(noon), track.At(noon), track.Arc(noon, time.Hour), line.Hides(100, 15), d, err}
		for at, p := range track.Every(20 * 24 * time.Hour) {
			out = append(out, at, p)
		}
		return out
	})
}
