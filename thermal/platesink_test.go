package thermal

import (
	"testing"

	"github.com/stretchr/testify/require"

	"github.com/stationphysics/stationphysics/internal/limit/limittest"
)

func TestPlateSink(t *testing.T) {
	s := PlateSink{HeightM: 0.08, WidthM: 0.05, BothSides: true, Emissivity: 0.85, AirC: 40, PowerW: 3}
	theta := PlateSinkKPerW(s)
	// The balance at the answer, term by term.
	rise := theta * 3
	film := AirAt(40+rise/2, 1013.25).VerticalPlateWPerM2K(0.08, rise)
	radiation := RadiationWPerM2K(0.85, 40+rise, 40)
	require.InDelta(t, 3, 2*0.08*0.05*(film+radiation)*rise, 1e-6)
	// As a link of a path it gives back the plate's temperature.
	require.InDelta(t, 40+rise, mustPath(t, 5, 1, theta).CaseC(40, 3)-3*1, 1e-9)

	one := s
	one.BothSides = false
	bare := s
	bare.Emissivity = 0.05
	little := s
	little.PowerW = 0.3
	wide := s
	wide.WidthM = 0.1
	require.Greater(t, PlateSinkKPerW(one), 1.5*theta)
	require.Greater(t, PlateSinkKPerW(bare), 1.3*theta)
	require.Greater(t, PlateSinkKPerW(little), theta, "less rise, less draught")
	require.Less(t, PlateSinkKPerW(wide), 0.6*theta)

	// Twice the area at half of the power each is the same temperature.
	wide.PowerW = 6
	require.InEpsilon(t, theta/2, PlateSinkKPerW(wide), 1e-9)
}

func TestPlateSinkOutside(t *testing.T) {
	ok := PlateSink{HeightM: 0.08, WidthM: 0.05, Emissivity: 0.85, AirC: 40, PowerW: 3}
	require.NoError(t, ok.Check())
	for _, c := range []struct {
		quantity string
		change   func(*PlateSink)
	}{
		{"plate size", func(s *PlateSink) { s.HeightM = 80 }},
		{"plate size", func(s *PlateSink) { s.WidthM = 0 }},
		{"emissivity", func(s *PlateSink) { s.Emissivity = 85 }},
		{"air temperature", func(s *PlateSink) { s.AirC = 313 }},
		{"power", func(s *PlateSink) { s.PowerW = 0 }},
		{"power", func(s *PlateSink) { s.PowerW = nan }},
	} {
		s := ok
		c.change(&s)
		limittest.RefusesRange(t, s.Check(), c.quantity)
		requireNaN(t, PlateSinkKPerW(s))
	}
	s := ok
	s.HeightM = 80
	require.ErrorContains(t, s.Check(), "millimetres?")
	// Far too small for its power: no answer instead of a glowing plate.
	s = ok
	s.HeightM, s.WidthM, s.PowerW = 0.01, 0.01, 20
	require.NoError(t, s.Check())
	requireNaN(t, PlateSinkKPerW(s))
}
