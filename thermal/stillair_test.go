package thermal

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
)

// The polynomials against the properties of air and the powers they stand for.
func TestStillAir(t *testing.T) {
	for c := boxAir.Min; c <= boxAir.Max; c += 0.37 {
		a := AirAt(c, 1013.25)
		k, rise6 := stillAir(c)
		require.InEpsilon(t, a.ConductivityWPerMK, k, 2e-8, "%g °C", c)
		want := 0.387 * math.Pow(a.rayleighPerK(0.3)/(0.3*0.3*0.3), 1.0/6) / math.Pow(a.prandtlTerm(0.492), 8.0/27)
		require.InEpsilon(t, want, rise6, 2e-8, "%g °C", c)
	}
	require.Equal(t, boxAir.Min, stillAirMidC-stillAirHalfC)
	require.Equal(t, boxAir.Max, stillAirMidC+stillAirHalfC)
}

func TestCubeRoot(t *testing.T) {
	require.Zero(t, cbrt(0))
	for x := 1e-290; x < 1e290; x *= 1.37 {
		require.InEpsilon(t, math.Cbrt(x), cbrt(x), 1e-13, "%g", x)
	}
}

func TestRoughRoots(t *testing.T) {
	for x := 1e-290; x < 1e290; x *= 1.037 {
		require.InEpsilon(t, math.Cbrt(x), roughRoot3(x), 0.04, "%g", x)
		require.InEpsilon(t, math.Sqrt(math.Cbrt(x)), roughRoot6(x), 0.01, "%g", x)
	}
}
