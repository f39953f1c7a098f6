package psychro

import (
	"math"
	"testing"
)

var sink float64

// benchAir is 1024 different airs of a year in a temperate place.
func benchAir() (tc, rh, p [1024]float64, s [1024]State) {
	for i := range tc {
		tc[i], rh[i], p[i] = -15+45*float64(i*37%1024)/1024, 20+79*float64(i*101%1024)/1024, 930+50*float64(i*11%1024)/1024
		s[i], _ = New(tc[i], rh[i], p[i])
	}
	return tc, rh, p, s
}

// BenchmarkExp is the baseline of the ratios in the package comment.
func BenchmarkExp(b *testing.B) {
	tc, _, _, _ := benchAir()
	b.ReportAllocs()
	i := 0
	for b.Loop() {
		sink = math.Exp(tc[i&1023] * 0.06)
		i++
	}
}

func BenchmarkSaturationPressure(b *testing.B) {
	tc, _, _, _ := benchAir()
	b.ReportAllocs()
	i := 0
	for b.Loop() {
		sink = SaturationPressureHPa(tc[i&1023])
		i++
	}
}

func benchState(b *testing.B, f func(State) float64) {
	_, _, _, s := benchAir()
	b.ReportAllocs()
	i := 0
	for b.Loop() {
		sink = f(s[i&1023])
		i++
	}
}

func BenchmarkNew(b *testing.B) {
	tc, rh, p, _ := benchAir()
	b.ReportAllocs()
	i := 0
	for b.Loop() {
		s, _ := New(tc[i&1023], rh[i&1023], p[i&1023])
		sink = s.x
		i++
	}
}

func BenchmarkDewPoint(b *testing.B)   { benchState(b, State.DewPointC) }
func BenchmarkFrostPoint(b *testing.B) { benchState(b, State.FrostPointC) }
func BenchmarkWaterBulb(b *testing.B)  { benchState(b, State.WaterBulbC) }
func BenchmarkIceBulb(b *testing.B)    { benchState(b, State.IceBulbC) }
func BenchmarkWetBulb(b *testing.B)    { benchState(b, State.WetBulbC) }
func BenchmarkDensity(b *testing.B)    { benchState(b, State.DensityKgPerM3) }
func BenchmarkEnthalpy(b *testing.B)   { benchState(b, State.EnthalpyKJPerKg) }
func BenchmarkLevel(b *testing.B) {
	benchState(b, func(s State) float64 { return s.CondensationLevel().RiseM })
}
func BenchmarkSensitivityOfDewPoint(b *testing.B) {
	benchState(b, func(s State) float64 { return s.Sensitivity(DewPointC).PerK })
}

func benchBatch(b *testing.B, q Quantity) {
	tc, rh, p, _ := benchAir()
	var dst [1024]float64
	b.ReportAllocs()
	for b.Loop() {
		Batch(dst[:], q, tc[:], rh[:], p[:])
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/1024, "ns/element")
}

func BenchmarkBatchDewPoint(b *testing.B)   { benchBatch(b, DewPointC) }
func BenchmarkBatchWaterBulb(b *testing.B)  { benchBatch(b, WaterBulbC) }
func BenchmarkBatchDensity(b *testing.B)    { benchBatch(b, DensityKgPerM3) }
func BenchmarkScalarDewPoint(b *testing.B)  { benchScalar(b, State.DewPointC) }
func BenchmarkScalarWaterBulb(b *testing.B) { benchScalar(b, State.WaterBulbC) }
func BenchmarkScalarDensity(b *testing.B)   { benchScalar(b, State.DensityKgPerM3) }

// benchScalar is what a caller without Batch does: New and one method.
func benchScalar(b *testing.B, f func(State) float64) {
	tc, rh, p, _ := benchAir()
	var dst [1024]float64
	b.ReportAllocs()
	for b.Loop() {
		for i := range dst {
			s, err := New(tc[i], rh[i], p[i])
			if err != nil {
				dst[i] = nan
				continue
			}
			dst[i] = f(s)
		}
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/1024, "ns/element")
}

func BenchmarkBatchSaturationPressure(b *testing.B) {
	tc, _, _, _ := benchAir()
	var dst [1024]float64
	b.ReportAllocs()
	for b.Loop() {
		BatchSaturationPressureHPa(dst[:], tc[:])
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/1024, "ns/element")
}
