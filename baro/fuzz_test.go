package baro

import (
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"github.com/stationphysics/stationphysics/internal/limit/limittest"
)

// In range if and only if there is a number, nothing infinite, and inverses
// that lead back.

func FuzzReduction(f *testing.F) {
	f.Add(947.3, 553.4, -8.4, 2.96, 15.0)
	f.Add(300.0, 750.0, -90.0, 0.0, 90.0)
	f.Add(1100.0, -430.0, 60.0, 200.0, -90.0)
	f.Add(101325.0, 0.0, 288.0, math.Inf(1), math.NaN())
	f.Fuzz(func(t *testing.T, pHPa, hM, c, e, usedC float64) {
		p, h := StationHPa(pHPa), GeopotentialM(hM)
		column := Column{Height: h, TempC: c, VapourPressureHPa: e}
		measured := pHPa >= 300 && pHPa <= 1100
		require.Equal(t, measured, p.Check() == nil)
		air := c >= -90 && c <= 60 && e >= 0 && e <= 200

		r, err := NewReduction(column)
		require.Equal(t, hM >= -430 && hM <= 750 && air, err == nil)
		limittest.ZeroIfRefused(t, r, err)
		limittest.NumberIff(t, err == nil && measured, "SeaLevel", SeaLevel(p, column))
		batch := []SeaLevelHPa{0}
		BatchSeaLevel(batch, []StationHPa{p}, []Column{column})
		limittest.NumberIff(t, err == nil && measured, "BatchSeaLevel", batch)

		hypsometric, herr := NewHypsometric(column)
		require.Equal(t, hM >= -435 && hM <= 6020 && air, herr == nil)
		limittest.ZeroIfRefused(t, hypsometric, herr)
		layer, lerr := NewLayer(h, c)
		require.Equal(t, hM >= -435 && hM <= 6020 && c >= -90 && c <= 70, lerr == nil)
		limittest.ZeroIfRefused(t, layer, lerr)
		for _, made := range []struct {
			r   Reduction
			err error
		}{{r, err}, {hypsometric, herr}, {layer, lerr}} {
			if made.err != nil {
				continue
			}
			r := made.r
			limittest.Finite(t, "factor, mean", r.Factor(), r.MeanVirtualC())
			p0 := r.SeaLevel(p)
			limittest.NumberIff(t, measured, "sea level", p0, r.Sensitivity(p))
			limittest.NumberIff(t, measured && usedC >= -90 && usedC <= 90, "TempErrorHPa", r.TempErrorHPa(p, usedC))
			if back := r.Station(p0); p0.Check() == nil && p > 300.001 && p < 1099.999 {
				require.InEpsilon(t, pHPa, float64(back), 1e-12)
			}
		}
	})
}

func FuzzPlace(f *testing.F) {
	f.Add(553.4, 49.0, 947.3, 5.0, 8.0)
	f.Add(-430.0, -90.0, 300.0, -200.0, -90.0)
	f.Add(6020.0, 90.0, 1100.0, 200.0, 60.0)
	f.Add(50.0, 0.0, 1013.25, 0.0, 15.0)
	f.Add(80000.0, 45.0, 101325.0, 300.0, 288.0)
	f.Add(math.NaN(), math.Inf(-1), math.NaN(), math.Inf(1), 0.0)
	f.Fuzz(func(t *testing.T, m, latDeg, pHPa, upM, virtualC float64) {
		z, h, p := GeometricM(m), GeopotentialM(m), StationHPa(pHPa)
		lat, low, measured := latDeg >= -90 && latDeg <= 90, m >= -430 && m <= 6000, pHPa >= 300 && pHPa <= 1100

		limittest.NumberIff(t, lat, "NormalGravityMPerS2", NormalGravityMPerS2(latDeg))
		limittest.NumberIff(t, lat && m >= -430 && m <= 80000, "GravityAtMPerS2", GravityAtMPerS2(z, latDeg))
		there := Geopotential(z, latDeg)
		limittest.NumberIff(t, CheckPlace(z, latDeg) == nil, "Geopotential", there)
		require.Equal(t, lat && low, CheckPlace(z, latDeg) == nil)
		limittest.NotInfinite(t, "Geometric", Geometric(h, latDeg))
		if lat && m > -429 && m < 5999 {
			require.InDelta(t, m, float64(Geometric(there, latDeg)), 1e-8)
		}
		iso := ISOGeopotential(z)
		limittest.NumberIff(t, m >= -5000 && m <= 81100, "ISOGeopotential", iso)
		limittest.NumberIff(t, m >= -5004 && m <= 80100, "ISOGeometric", ISOGeometric(h))

		setting := AltimeterSetting(p, h)
		high := m >= -435 && m <= 6020
		limittest.NumberIff(t, measured && high, "altimeter setting", setting, AltimeterSettingSmithsonian(p, h))
		if setting.Check() == nil && p > 300.001 && p < 1099.999 {
			require.InEpsilon(t, pHPa, float64(StationFromAltimeter(setting, h)), 1e-12)
		}
		limittest.NotInfinite(t, "StationFromAltimeter", StationFromAltimeter(AltimeterHPa(pHPa), h))

		low0 := SeaLevelLow(p, h, virtualC)
		limittest.NumberIff(t, CheckLow(p, h, virtualC) == nil, "SeaLevelLow", low0)
		if low0.Check() == nil && p > 300.001 && p < 1099.999 {
			require.InEpsilon(t, pHPa, float64(StationLow(low0, h, virtualC)), 1e-12)
		}
		limittest.NotInfinite(t, "StationLow", StationLow(SeaLevelHPa(pHPa), h, virtualC))
		limittest.NumberIff(t, measured && upM >= -200 && upM <= 200 && virtualC >= -90 && virtualC <= 60, "AtHeight", AtHeight(p, upM, virtualC))
	})
}

func FuzzAtmosphere(f *testing.F) {
	f.Add(0.0, 1.225)
	f.Add(-5000.0, 1.9305)
	f.Add(11000.0, 1.57e-5)
	f.Add(80000.0, math.NaN())
	f.Fuzz(func(t *testing.T, h, densityKgPerM3 float64) {
		s := StandardAt(GeopotentialM(h))
		inside := h >= -5000 && h <= 80000
		require.Equal(t, inside, CheckStandard(GeopotentialM(h)) == nil)
		limittest.NumberIff(t, inside, "StandardAt", s)
		if inside {
			require.InDelta(t, h, float64(PressureAltitude(StationHPa(s.PressureHPa))), 1e-7)
			require.InDelta(t, h, float64(DensityAltitude(s.DensityKgPerM3)), 1e-6)
		}
		limittest.NotInfinite(t, "DensityAltitude", DensityAltitude(densityKgPerM3))
		if densityKgPerM3 >= 1.58e-5 && densityKgPerM3 <= 1.93 {
			limittest.Finite(t, "DensityAltitude", DensityAltitude(densityKgPerM3))
		}
	})
}

func FuzzTendencyWindow(f *testing.F) {
	f.Add(int64(0), 950.0, int64(60), 951.0, 952.0)
	f.Add(int64(0), 950.0, int64(10800), 949.0, 300.0)
	f.Add(int64(-1<<62), 950.0, int64(1<<62), 95100.0, math.NaN())
	f.Fuzz(func(t *testing.T, t1 int64, p1 float64, t2 int64, p2, p3 float64) {
		var w TendencyWindow
		_ = w.Add(time.Unix(t1, 0), StationHPa(p1))
		_ = w.Add(time.Unix(t2, 0), StationHPa(p2))
		got, ok := w.Tendency()
		limittest.NumberIff(t, ok, "change", got)

		got, ok = Characterise(StationHPa(p1), StationHPa(p2), StationHPa(p3))
		all := true
		for _, p := range []float64{p1, p2, p3} {
			all = all && p >= 300 && p <= 1100
		}
		require.Equal(t, all, ok)
		limittest.NumberIff(t, ok, "change", got.ChangeHPa)
	})
}
