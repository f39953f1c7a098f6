package sky

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"github.com/stationphysics/stationphysics/internal/limit/limittest"
	"github.com/stationphysics/stationphysics/solar"
)

func TestPlaneAndCoverMayBeShared(t *testing.T) {
	site, err := solar.NewSite(48.2, 16.37, 200)
	require.NoError(t, err)
	track, err := site.Year(2026, nil)
	require.NoError(t, err)
	line, err := solar.NewSkyline([]solar.SkylinePoint{{AzimuthDeg: 90, ElevationDeg: 20}, {AzimuthDeg: 270, ElevationDeg: 15}})
	require.NoError(t, err)
	glass, err := NewGlassCover(1.526, 4, 2)
	require.NoError(t, err)
	p, err := NewPlane(Mount{TiltDeg: 60, FacingDeg: 170, Albedo: 0.2, Skyline: line, Cover: glass})
	require.NoError(t, err)
	limittest.Together(t, func() any {
		out := []any{glass.BeamRatio(70), glass.SkyRatio(60)}
		for h := range 24 {
			r := Record{time.Date(2026, 6, 21, h, 0, 0, 0, time.UTC), time.Hour, Light{300, 400, 100}}
			on := p.Over(track, r)
			out = append(out, on, p.Over(site, r), p.EffectiveWPerM2(on, 0))
		}
		return out
	})
}
