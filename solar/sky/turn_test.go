package sky

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// A full turn is north.
func TestTurn(t *testing.T) {
	for azimuthDeg, want := range map[float64]float64{0: 0, 359.5: 359.5, 360: 0, 360.5: 0.5, -0.5: 359.5} {
		require.Equal(t, want, turn(azimuthDeg), "%g", azimuthDeg)
	}
}
