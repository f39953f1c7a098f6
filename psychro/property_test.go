package psychro

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
)

func TestZeroStateIsNoAir(t *testing.T) {
	var s State
	for q := range quantities {
		v := s.value(q)
		switch q {
		case DewPointC, FrostPointC, WetBulbC, WaterBulbC, IceBulbC, DegreeOfSaturationFrac, CondensationLevelTempC, CondensationLevelPressureHPa,
			CondensationLevelRiseM, HeatIndexC, HumidexC:
			require.True(t, math.IsNaN(v), "quantity %d: %v", q, v)
		}
		s.Sensitivity(q)
	}
}

// TestOrderOfPoints: dew <= wet <= dry, and over ice the same as long as the air
// is not supersaturated over ice; frost lies above dew.
func TestOrderOfPoints(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 4))
	for range 3000 {
		c, rh, p := drawAir(r)
		s, err := New(c, rh, p)
		if err != nil {
			continue
		}
		const eps = 1e-8
		dew, wet := s.DewPointC(), s.WaterBulbC()
		if rh < 1e-4 {
			dew = coldest // or below: NaN
		}
		require.LessOrEqual(t, dew, wet+eps, "%v %v %v", c, rh, p)
		require.LessOrEqual(t, wet, c+eps, "%v %v %v", c, rh, p)
		if f := s.FrostPointC(); f == f && f < 0 {
			require.Greater(t, f, dew)
			if i := s.IceBulbC(); i == i && c < 0 && s.HumidityOverIcePct() <= 100 {
				require.LessOrEqual(t, f, i+eps)
				require.LessOrEqual(t, i, c+eps)
			}
		}
		require.InDelta(t, rh, s.RelativeHumidityPct(), 1e-11*rh)
	}
}

func TestMonotoneInHumidity(t *testing.T) {
	up := []Quantity{VapourPressureHPa, DewPointC, WaterBulbC, MixingRatioGPerKg, SpecificHumidityGPerKg, AbsoluteHumidityGPerM3, DegreeOfSaturationFrac,
		SpecificVolumeM3PerKg, EnthalpyKJPerKg, VirtualTemperatureC, EquivalentPotentialTemperatureC, CondensationLevelPressureHPa}
	down := []Quantity{VapourDeficitHPa, DensityKgPerM3, CondensationLevelRiseM}
	for _, c := range []float64{-60, -20, -1, 0, 1, 20, 45, 70} {
		last := mustNew(t, c, 0.5, 900)
		for rh := 1.0; rh <= 100; rh += 0.5 {
			s := mustNew(t, c, rh, 900)
			for _, q := range up {
				require.Greater(t, s.value(q), last.value(q), "quantity %d at %g °C %g %%", q, c, rh)
			}
			for _, q := range down {
				require.Less(t, s.value(q), last.value(q), "quantity %d at %g °C %g %%", q, c, rh)
			}
			last = s
		}
	}
}

func TestLimits(t *testing.T) {
	// Saturated air: everything meets at the air temperature.
	for c := -60.0; c <= 90; c += 7 {
		s := mustNew(t, c, 100, 1000)
		require.InDelta(t, c, s.DewPointC(), 2e-9)
		require.InDelta(t, c, s.WaterBulbC(), 5e-9)
		require.InDelta(t, 0, s.VapourDeficitHPa(), 1e-12*s.p)
		require.InDelta(t, 1, s.DegreeOfSaturationFrac(), 1e-12)
		ice, err := From(1000, Temperature(min(c, 0)), HumidityOverIce(100))
		require.NoError(t, err)
		require.InDelta(t, min(c, 0), ice.FrostPointC(), 5e-9)
		require.InDelta(t, min(c, 0), ice.IceBulbC(), 5e-9)
	}
	// Dry air: no vapour, no dew point, all else defined.
	s := mustNew(t, 20, 0, 1013.25)
	require.Zero(t, s.VapourPressureHPa())
	require.Zero(t, s.MixingRatioGPerKg())
	require.True(t, math.IsNaN(s.DewPointC()))
	require.True(t, math.IsNaN(s.FrostPointC()))
	require.InDelta(t, 1.2045, s.DensityKgPerM3(), 0.0001) // 1.2041 ideal, 0.036 % denser
	require.InDelta(t, 20.12, s.EnthalpyKJPerKg(), 0.02)   // 1.006 kJ/(kg K)
	require.InDelta(t, 20, s.VirtualTemperatureC(), 1e-12)
	require.InDelta(t, 1/s.DensityKgPerM3(), s.SpecificVolumeM3PerKg(), 1e-12)
	// Water boils before 60 °C at 198 hPa, at 90 °C and 600 hPa it has no saturated air.
	hot := mustNew(t, 95, 20, 600)
	require.True(t, math.IsNaN(hot.DegreeOfSaturationFrac()))
	require.InDelta(t, 20, hot.RelativeHumidityPct(), 1e-9)
	require.InDelta(t, 0.2*SaturationPressureHPa(95), hot.VapourPressureHPa(), 1e-9)
}

func TestClosures(t *testing.T) {
	for _, a := range sampleAir {
		s := mustNew(t, a[0], a[1], a[2])
		w := s.MixingRatioGPerKg() / 1000
		require.InEpsilon(t, (1+w)/s.SpecificVolumeM3PerKg(), s.DensityKgPerM3(), 1e-12)
		require.InEpsilon(t, w/(1+w)*1000, s.SpecificHumidityGPerKg(), 1e-12)
		require.InEpsilon(t, s.SpecificHumidityGPerKg()*s.DensityKgPerM3(), s.AbsoluteHumidityGPerM3(), 1e-12)
		require.InEpsilon(t, w, molarRatio*s.VapourPressureHPa()/(s.PressureHPa()-s.VapourPressureHPa()), 1e-12)
		ws := mustNew(t, a[0], 100, a[2]).MixingRatioGPerKg()
		require.InEpsilon(t, 1000*w/ws, s.DegreeOfSaturationFrac(), 1e-12)
		require.Equal(t, a[0], s.TempC())
		require.Equal(t, a[2], s.PressureHPa())
	}
}

// TestGibbs checks that the derivatives of the enthalpy, the entropy and the
// volume belong to one Gibbs function: dh = T ds + v dp, and Maxwell's relation.
func TestGibbs(t *testing.T) {
	for _, a := range sampleAir {
		s := mustNew(t, a[0], a[1], a[2])
		m := derivativesAt(s.t, s.x, s.p)
		tk := s.t + kelvin
		v := gasConstant * tk * m.z / s.p // J/(mol hPa)
		require.InEpsilon(t, v, m.hP-tk*m.sP, 1e-12, "dh/dp - T ds/dp = v at %v", a)
		vT := gasConstant / s.p * (m.z + tk*m.zT)
		require.InEpsilon(t, -vT, m.sP, 1e-12, "ds/dp = -dv/dT at %v", a)
		require.InEpsilon(t, m.h, molarEnthalpy(s.t, s.x, s.p), 1e-12)
	}
}

func TestBatchIsTheMethod(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 6))
	const n = 300
	var tc, rh, p, dst [n]float64
	for i := range n {
		tc[i], rh[i], p[i] = drawAir(r)
	}
	tc[3], rh[4], p[5], rh[6] = math.NaN(), -1, 101325, 100.3
	for q := range quantities + 2 {
		Batch(dst[:], q, tc[:], rh[:], p[:])
		for i := range n {
			s, err := New(tc[i], rh[i], p[i])
			want := s.value(q)
			if err != nil {
				want = nan
			}
			require.Equal(t, math.Float64bits(want), math.Float64bits(dst[i]), "quantity %d of %v %v %v", q, tc[i], rh[i], p[i])
		}
	}
	BatchSaturationPressureHPa(dst[:], tc[:])
	for i := range n {
		require.Equal(t, math.Float64bits(SaturationPressureHPa(tc[i])), math.Float64bits(dst[i]))
	}
	require.PanicsWithValue(t, "psychro: slice lengths differ", func() { Batch(dst[:2], DewPointC, tc[:2], rh[:2], p[:3]) })
	require.PanicsWithValue(t, "psychro: slice lengths differ", func() { Batch(dst[:2], DewPointC, tc[:2], rh[:3], p[:2]) })
	require.PanicsWithValue(t, "psychro: slice lengths differ", func() { Batch(dst[:2], DewPointC, tc[:3], rh[:2], p[:2]) })
	require.PanicsWithValue(t, "psychro: slice lengths differ", func() { BatchSaturationPressureHPa(dst[:2], tc[:3]) })
	Batch(nil, DewPointC, nil, nil, nil)
}

func TestNothingAllocates(t *testing.T) {
	s := mustNew(t, 21, 55, 950)
	var dst, tc, rh, p [16]float64
	for i := range dst {
		tc[i], rh[i], p[i] = float64(i), 50, 1000
	}
	var sum float64
	allocs := testing.AllocsPerRun(50, func() {
		u, _ := New(21, 55, 950)
		sum += u.x + SaturationPressureHPa(20) + WMO8.TemperatureC(Water, 10) + EnhancementFactor(Water, 10, 900)
		for q := range quantities {
			sum += s.value(q) + s.Sensitivity(q).PerK
			Batch(dst[:], q, tc[:], rh[:], p[:])
		}
		v, _ := s.WindChillC(3)
		w, _ := From(950, Temperature(20), DewPoint(10))
		m, _ := s.CondensationMarginK(10)
		sum += v + w.x + m
	})
	require.Zero(t, allocs, "%v", sum)
}

func TestCombinedUncertainty(t *testing.T) {
	// 27.6 °C, 38 %: dTd/dT = 0.888 and dTd/dRH = 0.400 K/% (from the Magnus form);
	// with 0.2 K and 2 % the dew point is good to the root of 0.178² + 0.800².
	d := mustNew(t, 27.6, 38, 949.8).Sensitivity(DewPointC)
	require.InDelta(t, 0.888, d.PerK, 0.002)
	require.InDelta(t, 0.400, d.PerPct, 0.001)
	require.InDelta(t, 0.8192, d.Combined(0.2, 2, 1), 0.002)
	require.InDelta(t, math.Hypot(math.Hypot(1, 2), 2), Sensitivity{1, 1, 1}.Combined(1, 2, 2), 1e-15)
	s := mustNew(t, 20, 50, 1000)
	require.True(t, math.IsNaN(s.Sensitivity(quantities+3).PerK))
	require.True(t, math.IsNaN(s.Sensitivity(HumidityOverIcePct).PerPct), "there is no ice at 20 °C")
	require.Equal(t, Sensitivity{0, 1, 0}, s.Sensitivity(RelativeHumidityPct))
}
