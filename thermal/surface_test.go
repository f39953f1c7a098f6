package thermal

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"github.com/stationphysics/stationphysics"
	"github.com/stationphysics/stationphysics/internal/limit/limittest"
)

func TestConvectionLimits(t *testing.T) {
	a := AirAt(40, 1013.25)
	// Without a rise only conduction is left: Nu 0.825², 0.68 and 0.6².
	require.InEpsilon(t, 0.825*0.825*a.ConductivityWPerMK/0.2, a.VerticalPlateWPerM2K(0.2, 0), 1e-12)
	require.InEpsilon(t, 0.68*a.ConductivityWPerMK/0.2, a.VerticalPlateLaminarWPerM2K(0.2, 0), 1e-12)
	require.InEpsilon(t, 0.36*a.ConductivityWPerMK/0.2, a.HorizontalCylinderWPerM2K(0.2, 0), 1e-12)
	// Warm and cold plates are alike; a plate facing up when cold is one facing down when warm.
	require.Equal(t, a.VerticalPlateWPerM2K(0.2, 12), a.VerticalPlateWPerM2K(0.2, -12))
	require.Equal(t, a.HorizontalPlateWPerM2K(0.2, 12, true), a.HorizontalPlateWPerM2K(0.2, -12, false))
	require.Equal(t, a.HorizontalPlateWPerM2K(0.2, 12, false), a.HorizontalPlateWPerM2K(0.2, -12, true))
	require.Greater(t, a.HorizontalPlateWPerM2K(0.2, 12, true), a.HorizontalPlateWPerM2K(0.2, 12, false))
	last := [3]float64{}
	for rise := 0.1; rise < 500; rise *= 1.2 {
		now := [3]float64{a.VerticalPlateWPerM2K(0.1, rise), a.VerticalPlateLaminarWPerM2K(0.1, rise), a.HorizontalCylinderWPerM2K(0.05, rise)}
		for i := range now {
			require.Greater(t, now[i], last[i])
		}
		last = now
	}
}

func TestConvectionOutside(t *testing.T) {
	a := AirAt(40, 1013.25)
	for _, c := range [][2]float64{{0, 10}, {101, 10}, {nan, 10}, {0.1, 501}, {0.1, -501}, {0.1, nan}} {
		requireNaN(t, a.VerticalPlateWPerM2K(c[0], c[1]))
		requireNaN(t, a.VerticalPlateLaminarWPerM2K(c[0], c[1]))
		requireNaN(t, a.HorizontalCylinderWPerM2K(c[0], c[1]))
		requireNaN(t, a.HorizontalPlateWPerM2K(c[0], c[1], true))
	}
	requireNaN(t, a.VerticalPlateLaminarWPerM2K(5, 50)) // Ra far above 1e9
	// The Rayleigh limits of the plates, from their lengths at 10 K.
	length := func(ra float64) float64 { return math.Cbrt(ra / (a.rayleighPerK(1) * 10)) }
	require.Positive(t, a.VerticalPlateLaminarWPerM2K(length(0.9995e9), 10))
	requireNaN(t, a.VerticalPlateLaminarWPerM2K(length(1.0005e9), 10))
	for _, c := range []struct {
		ra   float64
		up   bool
		want float64 // Nusselt number, 0 for none
	}{
		{0.9995e4, true, 0}, {1.0005e4, true, 0.54 * math.Pow(1.0005e4, 0.25)}, {0.9995e7, true, 0.54 * math.Pow(0.9995e7, 0.25)},
		{1.0005e7, true, 0.15 * math.Cbrt(1.0005e7)}, {0.9995e11, true, 0.15 * math.Cbrt(0.9995e11)}, {1.0005e11, true, 0},
		{0.9995e5, false, 0}, {1.0005e5, false, 0.27 * math.Pow(1.0005e5, 0.25)}, {0.9995e10, false, 0.27 * math.Pow(0.9995e10, 0.25)}, {1.0005e10, false, 0},
	} {
		l := length(c.ra)
		h := a.HorizontalPlateWPerM2K(l, 10, c.up)
		if c.want == 0 {
			requireNaN(t, h)
			continue
		}
		require.InEpsilon(t, c.want, h*l/a.ConductivityWPerMK, 1e-9)
	}
	for _, c := range [][2]float64{{-101, 1000}, {401, 1000}, {20, 101325}, {20, 299}, {nan, 1000}} {
		requireNaN(t, AirAt(c[0], c[1]).ConductivityWPerMK)
		requireNaN(t, AirAt(c[0], c[1]).ExpansionPerK)
		requireNaN(t, AirAt(c[0], c[1]).VerticalPlateWPerM2K(0.1, 10))
	}
	// Thin air carries less: viscosity grows as the pressure falls.
	require.InEpsilon(t, 2*AirAt(20, 1000).KinematicViscosityM2PerS, AirAt(20, 500).KinematicViscosityM2PerS, 1e-12)
	require.Equal(t, AirAt(20, 1000).ConductivityWPerMK, AirAt(20, 500).ConductivityWPerMK)
}

func TestRadiation(t *testing.T) {
	// Black at 100 °C facing 0 °C: σ(373.15⁴ - 273.15⁴).
	require.InEpsilon(t, 5.670374419e-8*(math.Pow(373.15, 4)-math.Pow(273.15, 4)), 100*RadiationWPerM2K(1, 100, 0), 1e-12)
	require.InEpsilon(t, 4*0.9*5.670374419e-8*math.Pow(293.15, 3), RadiationWPerM2K(0.9, 20, 20), 1e-12)
	require.Zero(t, RadiationWPerM2K(0, 80, 20))
	for _, c := range [][3]float64{{1.1, 20, 20}, {-0.1, 20, 20}, {0.9, 1001, 20}, {0.9, 20, -151}, {nan, 20, 20}} {
		requireNaN(t, RadiationWPerM2K(c[0], c[1], c[2]))
	}
}

func TestSolAirOutside(t *testing.T) {
	ok := SolAir{AirC: 35, Absorptance: 0.7, SunWPerM2: 900, FilmWPerM2K: 17, LongwaveK: 4}
	require.InDelta(t, 35+0.7*900/17-4, SolAirC(ok), 1e-12)
	require.NoError(t, ok.Check())
	for quantity, change := range map[string]func(*SolAir){
		"air temperature":     func(s *SolAir) { s.AirC = 308 },
		"solar absorptance":   func(s *SolAir) { s.Absorptance = 70 },
		"sunlight":            func(s *SolAir) { s.SunWPerM2 = -1 },
		"surface coefficient": func(s *SolAir) { s.FilmWPerM2K = 0 },
		"long-wave term":      func(s *SolAir) { s.LongwaveK = -4 },
	} {
		s := ok
		change(&s)
		limittest.RefusesRange(t, s.Check(), quantity)
		requireNaN(t, SolAirC(s))
	}
}

func TestShieldBandCases(t *testing.T) {
	calm, light, windy := ShieldErrorBand(900, 0.2), ShieldErrorBand(900, 1), ShieldErrorBand(900, 4)
	require.Equal(t, []float64{2, 4}, []float64{calm.LowK, calm.HighK})
	require.Equal(t, light.LowK, windy.LowK)
	require.Equal(t, light.HighK, calm.HighK)
	require.Equal(t, []float64{0.1, 1.3}, []float64{windy.LowK, windy.HighK})
	require.Equal(t, windy, ShieldErrorBand(300, 2))
	require.Equal(t, light, ShieldErrorBand(300, 0.5))
	night := ShieldErrorBand(-3, 2)
	requireNaN(t, night.LowK)
	requireNaN(t, night.HighK)
	require.Contains(t, night.Reason, "cannot tell")
	require.Equal(t, night.Reason, ShieldErrorBand(299, 2).Reason)
	for _, b := range []ShieldError{ShieldErrorBand(54000, 1), ShieldErrorBand(nan, 1), ShieldErrorBand(500, -1)} {
		requireNaN(t, b.LowK)
		require.Contains(t, b.Reason, "outside")
	}
	require.Contains(t, ShieldErrorBand(54000, 1).Reason, "lux?")
}

func TestBurnThreshold(t *testing.T) {
	for m := BareMetal; m <= Wood; m++ {
		last := math.Inf(1)
		for s := 1.0; s <= 28800; s *= 1.1 {
			c := BurnThresholdC(m, s)
			require.Less(t, c, last, "longer contact, lower threshold")
			last = c
		}
	}
	require.InDelta(t, (65+51)/2.0, BurnThresholdC(BareMetal, math.Sqrt(60)), 1e-9, "half way in the logarithm of time")
	require.InDelta(t, (51+48)/2.0, BurnThresholdC(BareMetal, math.Sqrt(60*600)), 1e-9)
	require.InDelta(t, (48+43)/2.0, BurnThresholdC(Plastic, math.Sqrt(600*28800)), 1e-9)
	for _, c := range []struct {
		m TouchMaterial
		s float64
	}{{BareMetal, 0.5}, {BareMetal, 28801}, {BareMetal, nan}, {-1, 10}, {4, 10}} {
		requireNaN(t, BurnThresholdC(c.m, c.s))
		require.Error(t, CheckTouch(c.m, c.s))
	}
	require.NoError(t, CheckTouch(Wood, 1))
}

func TestEstimateCopper(t *testing.T) {
	e, err := EstimateCopper("SOT-223", 300)
	require.NoError(t, err)
	require.Len(t, e.Sheets, 2)
	// LM1117 between 0.3 and 0.53 in²: 193.5 and 341.9 mm².
	f := math.Log(300/(0.3*645.16)) / math.Log(0.53/0.3)
	low, high := 84+f*(75-84), 81.2
	require.InDelta(t, math.Min(low, high), e.LowKPerW, 1e-9)
	require.InDelta(t, math.Max(low, high), e.HighKPerW, 1e-9)
	small, err := EstimateCopper("SOT-223", 0.0123*645.16)
	require.NoError(t, err)
	require.Equal(t, 136.0, small.LowKPerW)
	require.Equal(t, 164.3, small.HighKPerW)
	only, err := EstimateCopper("TO-252", 100)
	require.NoError(t, err)
	require.Equal(t, only.LowKPerW, only.HighKPerW)
	require.Len(t, only.Sheets, 1)
	last := math.Inf(1)
	for mm2 := 8.0; mm2 < 640; mm2 *= 1.05 {
		e, err := EstimateCopper("TO-252", mm2)
		require.NoError(t, err)
		require.Less(t, e.HighKPerW, last, "more copper, less resistance")
		last = e.HighKPerW
	}
	_, err = EstimateCopper("SOT-223", 0.53)
	limittest.RefusesRange(t, err, "copper area")
	require.ErrorContains(t, err, "square inches?")
	_, err = EstimateCopper("SOT-223", 1.0095)
	require.ErrorContains(t, err, "square inches?")
	_, err = EstimateCopper("SOT-223", 1.02)
	require.NotContains(t, err.Error(), "?")
	_, err = EstimateCopper("SOT-223", 0.0011)
	require.ErrorContains(t, err, "square inches?")
	_, err = EstimateCopper("SOT-223", 0.0009)
	require.NotContains(t, err.Error(), "?")
	_, err = EstimateCopper("SOT-223", 5000)
	limittest.RefusesRange(t, err, "copper area")
	_, err = EstimateCopper("SOT-223", nan)
	limittest.RefusesRange(t, err, "copper area")
	_, err = EstimateCopper("TO-92", 100)
	require.Equal(t, &stationphysics.NameError{Kind: "package", Name: "TO-92", Known: []string{"SOT-223", "PG-TSNP-7", "TO-252"}}, err)
	require.Empty(t, CopperRows("TO-92"))
	require.NotEqual(t, "changed", func() string { CopperRows("TO-252")[0].Sheet = "changed"; return CopperRows("TO-252")[0].Sheet }())
}

func FuzzSurfaces(f *testing.F) {
	f.Add(40.0, 1013.25, 0.1, 30.0, 0.9, 60.0)
	f.Add(-100.0, 300.0, 100.0, -500.0, 0.0, 28800.0)
	f.Add(400.0, 1100.0, 1e-4, 0.0, 1.0, 1.0)
	f.Fuzz(func(t *testing.T, film, pressure, length, rise, emissivity, contact float64) {
		a := AirAt(film, pressure)
		ok := film >= -100 && film <= 400 && pressure >= 300 && pressure <= 1100
		if math.IsNaN(a.ConductivityWPerMK) == ok {
			t.Fatalf("AirAt(%g, %g) = %+v", film, pressure, a)
		}
		ok = ok && length >= 1e-4 && length <= 100 && rise >= -500 && rise <= 500
		for _, h := range []float64{a.VerticalPlateWPerM2K(length, rise), a.HorizontalCylinderWPerM2K(length, rise)} {
			if math.IsNaN(h) == ok || h <= 0 {
				t.Fatalf("%g m, %g K: %g", length, rise, h)
			}
		}
		for _, h := range []float64{a.VerticalPlateLaminarWPerM2K(length, rise), a.HorizontalPlateWPerM2K(length, rise, true)} {
			if !ok && !math.IsNaN(h) {
				t.Fatalf("%g m, %g K: %g", length, rise, h)
			}
		}
		r := RadiationWPerM2K(emissivity, film, rise)
		if math.IsNaN(r) == (emissivity >= 0 && emissivity <= 1 && film >= -150 && film <= 1000 && rise >= -150 && rise <= 1000) {
			t.Fatalf("RadiationWPerM2K(%g, %g, %g) = %g", emissivity, film, rise, r)
		}
		if c := BurnThresholdC(Plastic, contact); math.IsNaN(c) != (CheckTouch(Plastic, contact) != nil) {
			t.Fatalf("BurnThresholdC(%g) = %g", contact, c)
		}
	})
}
