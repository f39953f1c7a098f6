package thermal

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
)

// The ends of the Rayleigh numbers belong to the ranges that the comments state. In
// this invented air the number is a power of two times the rise, and so exact.
func TestRayleighEnds(t *testing.T) {
	at := func(ra float64) (a Air, riseK float64) {
		riseK, e := math.Frexp(ra) // half a kelvin to one
		a = Air{ConductivityWPerMK: 1, KinematicViscosityM2PerS: 1, DiffusivityM2PerS: math.Ldexp(1, -e), ExpansionPerK: 1 / gravityMPerS2}
		require.Equal(t, ra, a.rayleighPerK(1)*riseK, "no rounding")
		return a, riseK
	}
	for _, c := range []struct {
		ra      float64
		up      bool
		nusselt float64
	}{
		{1e4, true, 0.54 * 10},
		{1e7, true, 0.15 * math.Cbrt(1e7)},
		{1e11, true, 0.15 * math.Cbrt(1e11)},
		{1e5, false, 0.27 * math.Pow(1e5, 0.25)},
		{1e10, false, 0.27 * math.Pow(1e10, 0.25)},
	} {
		a, riseK := at(c.ra)
		require.InEpsilon(t, c.nusselt, a.HorizontalPlateWPerM2K(1, riseK, c.up), 1e-14, "%g", c.ra)
	}
	a, riseK := at(1e9)
	require.Positive(t, a.VerticalPlateLaminarWPerM2K(1, riseK))
	requireNaN(t, a.VerticalPlateLaminarWPerM2K(1, math.Nextafter(riseK, 1)))
}

// A plate sink is given up above 300 K over the air, and not below.
func TestPlateSinkUpTo300K(t *testing.T) {
	for riseK, answers := range map[float64]bool{299.95: true, 300.05: false} {
		s := PlateSink{HeightM: 0.08, WidthM: 0.05, Emissivity: 0.85, AirC: 40}
		s.PowerW = 0.08 * 0.05 * riseK * (AirAt(40+riseK/2, 1013.25).VerticalPlateWPerM2K(0.08, riseK) +
			RadiationWPerM2K(0.85, 40+riseK, 40))
		theta := PlateSinkKPerW(s)
		if !answers {
			requireNaN(t, theta)
			continue
		}
		require.InEpsilon(t, riseK/s.PowerW, theta, 1e-12)
	}
}

// Down to the least power: a milliwatt lifts this plate by less than a kelvin, a
// nanowatt by less than a microkelvin.
func TestPlateSinkOfLittlePower(t *testing.T) {
	s := PlateSink{HeightM: 0.08, WidthM: 0.05, Emissivity: 0.85, AirC: 40}
	for _, powerW := range []float64{1e-9, 1e-6, 1e-3} {
		s.PowerW = powerW
		riseK := PlateSinkKPerW(s) * powerW
		perK := 0.08 * 0.05 * (AirAt(40+riseK/2, 1013.25).VerticalPlateWPerM2K(0.08, riseK) + RadiationWPerM2K(0.85, 40+riseK, 40))
		require.InEpsilon(t, powerW, perK*riseK, 1e-12, "%g W", powerW) // the root is found to rounding
	}
	s.PowerW = 0.9995e-9
	require.Error(t, s.Check())
}

// A surface at the temperature of the air that nothing heats or cools is not below it.
func TestSurfaceBelowTheAir(t *testing.T) {
	b := mustBox(t, greyBox)
	for _, wind := range []float64{0, 2} {
		require.False(t, b.SurfaceBelow(BoxConditions{AirC: 20, WindMPerS: wind}, 20))
		require.True(t, b.SurfaceBelow(BoxConditions{AirC: 20, WindMPerS: wind, RadiantDeficitK: 1e-3}, 20))
		require.False(t, b.SurfaceBelow(BoxConditions{AirC: 20, WindMPerS: wind, DissipationW: 1e-3}, 20))
		// Nor is one in the sun below what lies a kelvin above the air.
		hot := BoxConditions{AirC: 20, WindMPerS: wind, SunWPerM2: 1000}
		require.Greater(t, b.SurfaceC(hot), 21.0)
		require.False(t, b.SurfaceBelow(hot, 21))
	}
}

// What looks like square inches, to the ends.
func TestCopperSlipEnds(t *testing.T) {
	for mm2, looks := range map[float64]bool{
		math.Nextafter(1e-3, 0): false, 1e-3: true, 1.01: true, math.Nextafter(1.01, 2): false,
	} {
		_, err := EstimateCopper("SOT-223", mm2)
		if looks {
			require.ErrorContains(t, err, "square inches?", "%g", mm2)
		} else {
			require.NotContains(t, err.Error(), "?", "%g", mm2)
		}
	}
}
