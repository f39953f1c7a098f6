package charge

import (
	"errors"
	"testing"

	"github.com/stretchr/testify/require"

	"github.com/stationphysics/stationphysics"
	"github.com/stationphysics/stationphysics/battery"
)

func TestLongestString(t *testing.T) {
	cells := make([]battery.Cell, 32)
	for i := range cells {
		cells[i] = typical(t, 1.5)
	}
	s, err := NewString(cells...)
	require.NoError(t, err)
	require.Equal(t, 32, s.Len())
}

// A string rests at half a volt to five volts a cell; inside that the curves
// decide.
func TestEndsOfSettledVoltage(t *testing.T) {
	s, err := NewString(typical(t, 1.5), typical(t, 1.5))
	require.NoError(t, err)
	for v, out := range map[float64]bool{0.9995: true, 1: false, 10: false, 10.001: true} {
		_, err := s.Settled([]float64{0.5, 0.5}, v, 25)
		var re *stationphysics.RangeError
		require.Equal(t, out, errors.As(err, &re), "%g V: %v", v, err)
	}
}

// A balancer goes by the voltage that a cell shows, slow part included, and
// while it drains one cell the charger still holds the string at its voltage.
func TestBalancerWhileHolding(t *testing.T) {
	s, err := NewString(typical(t, 1.5), typical(t, 1.5))
	require.NoError(t, err)
	open := s.Cell(0).OpenCircuitV(0.97, 25)
	b := Balancer{OnV: open + 0.005, A: 0.05}
	drained := func(slowV float64) float64 {
		states := []battery.State{{SoC: 0.97, SlowV: slowV}, {SoC: 0.9}}
		s.Current(states, nil, 0, b, 60, 25)
		return 0.97 - states[0].SoC
	}
	// 0.05 A for a minute out of 1.5 Ah; without it the leak alone.
	require.InDelta(t, 0.05/60/1.5, drained(0.01), 1e-6)
	require.InDelta(t, 0, drained(-0.01), 1e-6)
	require.InDelta(t, 0, drained(0), 1e-6)

	states := []battery.State{{SoC: 0.998}, {SoC: 0.99}}
	r := s.Charge(states, nil, battery.Charger{SetV: 7, MaxA: 2}, Balancer{OnV: 3.45, A: 0.05}, 1, 25)
	require.True(t, r.Holding)
	require.InDelta(t, 7, r.StringV, 1e-9)
}
