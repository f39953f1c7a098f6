package thermal

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
)

// The series for the box against the powers it stands in for.
func TestPlatePrandtl(t *testing.T) {
	require.Equal(t, boxAir.Min, prandtlLowC)
	require.Equal(t, boxAir.Max, prandtlHighC)
	for c := prandtlLowC; c <= prandtlHighC; c += 0.25 {
		want := math.Pow(AirAt(c, 1013.25).prandtlTerm(0.492), 8.0/27)
		require.InEpsilon(t, want, platePrandtl(c), 1e-9, "%g °C", c)
	}
}
