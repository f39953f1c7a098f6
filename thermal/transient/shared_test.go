package transient

import (
	"testing"

	"github.com/stretchr/testify/require"

	"github.com/stationphysics/stationphysics/internal/limit/limittest"
)

func TestNetworkMayBeShared(t *testing.T) {
	w, err := NewNetwork([]Node{{"a", 0.01}, {"b", 0}, {"c", 40}}, []Link{{"a", "b", 2}, {"b", "c", 3}, {"c", Ambient, 20}})
	require.NoError(t, err)
	power := []float64{2, 0.1, 0.5}
	response := w.Step(power)
	stepper, err := w.Stepper(60)
	require.NoError(t, err)
	limittest.Together(t, func() any {
		steady, rise, next, again := make([]float64, 3), make([]float64, 3), make([]float64, 3), make([]float64, 3)
		w.SteadyK(steady, power)
		response.RiseK(rise, 12)
		stepper.Next(next, rise, power)
		w.Step(power).RiseK(again, 12)
		return [][]float64{steady, rise, next, again, w.TimeConstantsS()}
	})
}
