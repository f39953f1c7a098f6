package psychro

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
)

// sampleAir covers ordinary air, the cold, the hot and wet, both sides of 0 °C and
// the ends of the pressure range.
var sampleAir = [][3]float64{
	{21, 50, 1000}, {27.6, 38, 949.8}, {-8.4, 91, 947.3}, {-40, 60, 600}, {45, 5, 850}, {60, 80, 1060}, {35, 95, 1013.25},
	{80, 60, 1000}, {2, 30, 700}, {12, 99, 1098}, {-70, 50, 400}, {31, 9, 1000}, {29, 92, 1000}, {33, 60, 1000}, {1, 10, 900}, {-15, 98, 880},
}

// difference is a central difference with one step of Richardson.
func difference(f func(float64) float64, x, h float64) float64 {
	d := func(h float64) float64 { return (f(x+h) - f(x-h)) / (2 * h) }
	return (4*d(h/2) - d(h)) / 3
}

func TestSensitivitiesAreTheDerivatives(t *testing.T) {
	checked := 0
	for _, a := range sampleAir {
		s, err := New(a[0], a[1], a[2])
		require.NoError(t, err)
		for q := range quantities {
			at := func(temp, rh, p float64) float64 {
				u, err := New(temp, rh, p)
				require.NoError(t, err)
				// WetBulbC may change from water to ice between the points.
				if q == WetBulbC {
					return u.value(bulbOf[s.WetBulbCover()])
				}
				return u.value(q)
			}
			d := s.Sensitivity(q)
			want := Sensitivity{
				difference(func(x float64) float64 { return at(x, a[1], a[2]) }, a[0], 0.05),
				difference(func(x float64) float64 { return at(a[0], x, a[2]) }, a[1], 0.05),
				difference(func(x float64) float64 { return at(a[0], a[1], x) }, a[2], 0.5),
			}
			if math.IsNaN(want.PerK) {
				require.True(t, math.IsNaN(d.PerK) && math.IsNaN(d.PerPct) && math.IsNaN(d.PerHPa), "quantity %d of %v: %v", q, a, d)
				continue
			}
			checked++
			// The bound is the differences' own error: the rounding of the result
			// over the step, or its last 1e-9 K where it is solved for.
			noise := 1e-14 * (math.Abs(s.value(q)) + 300)
			switch q {
			case DewPointC, FrostPointC, WetBulbC, WaterBulbC, IceBulbC, HumidexC, CondensationLevelTempC, CondensationLevelPressureHPa, CondensationLevelRiseM:
				noise = 1e-9
			}
			for i, c := range [][2]float64{{d.PerK, want.PerK}, {d.PerPct, want.PerPct}, {d.PerHPa, want.PerHPa}} {
				tol := 3e-6*math.Abs(c[1]) + noise/[]float64{0.05, 0.05, 0.5}[i]
				require.InDelta(t, c[1], c[0], tol, "quantity %d of %v by reading %d", q, a, i)
			}
		}
	}
	require.Greater(t, checked, 250)
}
