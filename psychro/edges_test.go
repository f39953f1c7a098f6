package psychro

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"github.com/stationphysics/stationphysics"
)

// TestEntropyBelongsToEnthalpy: T ds/dT = dh/dT at constant pressure, for the parts
// of dry air and vapour. The difference quotient over ±0.01 K leaves 1e-8.
func TestEntropyBelongsToEnthalpy(t *testing.T) {
	for name, part := range map[string]struct {
		entropy  func(tempC, l float64) float64
		enthalpy func(tempC float64) (h, h1 float64)
	}{"air": {airEntropy, airEnthalpy}, "vapour": {vapourEntropy, vapourEnthalpy}} {
		s := func(c float64) float64 { return part.entropy(c, math.Log((c+273.15)/273.15)) }
		for c := -100.0; c <= 100; c += 5 {
			_, h1 := part.enthalpy(c)
			require.InDelta(t, h1, (c+273.15)*(s(c+0.01)-s(c-0.01))/0.02, 1e-6, "%s at %g °C", name, c)
		}
	}
}

// TestSlopesOfTheHeatIndex holds the derivatives against difference quotients, in
// every piece and away from their seams.
func TestSlopesOfTheHeatIndex(t *testing.T) {
	const step = 1e-4
	at := func(f, rh float64) float64 { hi, _, _ := heatIndex(f, rh); return hi }
	for f := 80.3; f < 111; f += 0.7 {
		for _, rh := range []float64{1, 5, 12.5, 20, 40, 60, 84, 87, 95} {
			hi, byT, byR := heatIndex(f, rh)
			if math.IsNaN(hi) || math.IsNaN(at(f+step, rh)) || math.Abs(f-95) < 0.1 || math.Abs(f-87) < 0.1 || math.Abs(0.5*(0.5*(f+61+(f-68)*1.2+rh*0.094)+f)-80) < 0.01 {
				continue
			}
			require.InDelta(t, (at(f+step, rh)-at(f-step, rh))/(2*step), byT, 1e-5, "%g °F and %g %%", f, rh)
			require.InDelta(t, (at(f, rh+step)-at(f, rh-step))/(2*step), byR, 1e-5, "%g °F and %g %%", f, rh)
		}
	}
}

// TestTooMuchVapourIsNamed: 95 % of saturation at 100 °C, which is 1014 hPa, in air of
// 1000 hPa.
func TestTooMuchVapourIsNamed(t *testing.T) {
	_, err := New(100, 95, 1000)
	var c *stationphysics.ConflictError
	require.ErrorAs(t, err, &c)
	require.InEpsilon(t, 0.95*1014, c.Values[0], 0.02) // the enhancement is below 2 %
	require.Equal(t, 1000.0, c.Values[1])
}
