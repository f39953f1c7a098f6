package psychro

import (
	"math"
	"testing"

	"github.com/stationphysics/stationphysics/internal/limit/limittest"
)

// The constructors by name, the batch forms, and what depends on more than the
// air: wind, a surface, a bulb.

func FuzzSaturation(f *testing.F) {
	f.Add(20.0, 1013.25, uint8(0))
	f.Add(-100.0, 300.0, uint8(1))
	f.Add(100.0, 1100.0, uint8(0))
	f.Add(0.01, 700.0, uint8(1))
	f.Add(293.15, 101325.0, uint8(2))
	f.Add(math.NaN(), math.Inf(1), uint8(9))
	f.Fuzz(func(t *testing.T, c, p float64, phase uint8) {
		over := Phase(phase)
		water, ice := SaturationPressureHPa(c), SaturationPressureIceHPa(c)
		limittest.NumberIff(t, Reference.Check(Water, c) == nil, "over water", water)
		limittest.NumberIff(t, Reference.Check(Ice, c) == nil, "over ice", ice)
		if c < 0 && ice > water {
			t.Fatalf("%g hPa over ice, %g hPa over water at %g °C", ice, water, c)
		}
		dst := []float64{0}
		BatchSaturationPressureHPa(dst, []float64{c})
		if math.Float64bits(dst[0]) != math.Float64bits(water) && !(math.IsNaN(dst[0]) && math.IsNaN(water)) {
			t.Fatalf("%g hPa alone, %g hPa in a batch", water, dst[0])
		}
		e := EnhancementFactor(over, c, p)
		limittest.NumberIff(t, CheckEnhancement(over, c, p) == nil, "enhancement", e)
		limittest.NumberIff(t, p >= 300 && p <= 1100, "enhancement by WMO-No. 8", WMOEnhancementFactor(p))
		if e < 1 || e > 1.02 {
			t.Fatalf("an enhancement factor of %g at %g °C and %g hPa", e, c, p)
		}
	})
}

func FuzzGiven(f *testing.F) {
	f.Add(948.2, 21.4, 12.0)
	f.Add(300.0, -100.0, -150.0)
	f.Add(1100.0, 0.01, 0.0)
	f.Add(1013.25, 100.0, 99.0)
	f.Add(101325.0, 293.15, math.NaN())
	f.Fuzz(func(t *testing.T, p, c, x float64) {
		for name, g := range map[string]Given{"dew point": DewPoint(x), "frost point": FrostPoint(x), "humidity": Humidity(x), "over ice": HumidityOverIce(x),
			"wet bulb": WetBulb(x), "ice bulb": IceBulb(x), "vapour pressure": VapourPressure(x), "mixing ratio": MixingRatio(x)} {
			s, err := From(p, Temperature(c), g)
			limittest.ZeroIfRefused(t, s, err)
			if err != nil {
				continue
			}
			back := map[string]float64{"dew point": s.DewPointC(), "frost point": s.FrostPointC(), "humidity": s.RelativeHumidityPct(), "over ice": s.HumidityOverIcePct(),
				"wet bulb": s.WaterBulbC(), "ice bulb": s.IceBulbC(), "vapour pressure": s.VapourPressureHPa(), "mixing ratio": s.MixingRatioGPerKg()}[name]
			if math.Abs(s.TempC()-c) > 1e-9 || math.Abs(back-x) > 1e-5*(1+math.Abs(x)) {
				t.Fatalf("%s %g at %g °C and %g hPa came back as %g at %g °C", name, x, c, p, back, s.TempC())
			}
		}
	})
}

func FuzzPsychrometer(f *testing.F) {
	f.Add(20.0, 15.0, 950.0, uint8(0), uint8(0), uint8(0))
	f.Add(-5.0, -6.0, 1013.25, uint8(1), uint8(1), uint8(1))
	f.Add(100.0, 100.0, 1100.0, uint8(0), uint8(2), uint8(2))
	f.Add(293.0, math.NaN(), 95000.0, uint8(7), uint8(7), uint8(7))
	f.Fuzz(func(t *testing.T, dry, bulb, p float64, cover, ventilation, excess uint8) {
		r := Reading{TempC: dry, BulbC: bulb, PressureHPa: p, Cover: Phase(cover), Ventilation: Ventilation(ventilation)}
		plain, err := FromPsychrometer(r)
		limittest.ZeroIfRefused(t, plain, err)
		s, more := Excess(excess).FromPsychrometer(r)
		limittest.ZeroIfRefused(t, s, more)
		if err == nil && more == nil && math.Abs(s.x-plain.x) > 1e-9*plain.x {
			t.Fatalf("%+v: %+v and %+v", r, plain, s)
		}
		if rh := s.RelativeHumidityPct(); more == nil && !(rh >= 0 && rh <= 120*(1+1e-9)) {
			t.Fatalf("%+v: %g %%", r, rh)
		}
	})
}

func FuzzIndices(f *testing.F) {
	f.Add(21.4, 63.0, 948.2, 3.0, 10.0, uint8(4), 0.2, 2.0, 0.3)
	f.Add(-50.0, 100.0, 300.0, 50.0, -100.0, uint8(0), 0.0, 0.0, 0.0)
	f.Add(10.0, 0.0, 1100.0, 4.8/3.6, 100.0, uint8(24), 1e6, 1e6, 1e6)
	f.Add(-10.0, 103.0, 1000.0, 20.0, -0.001, uint8(6), 0.2, 2.0, 0.3)
	f.Add(50.0, 5.0, 900.0, math.NaN(), math.NaN(), uint8(200), math.NaN(), -1.0, math.Inf(1))
	f.Fuzz(func(t *testing.T, c, rh, p, wind, surface float64, quantity uint8, uK, uPct, uHPa float64) {
		q := Quantity(quantity)
		dst := []float64{0}
		Batch(dst, q, []float64{c}, []float64{rh}, []float64{p})
		s, err := New(c, rh, p)
		want := math.NaN()
		if err == nil {
			want = s.value(q)
		}
		if dst[0] != want && !(math.IsNaN(dst[0]) && math.IsNaN(want)) {
			t.Fatalf("quantity %d is %g alone, %g in a batch", q, want, dst[0])
		}
		for _, e := range []Excess{Refuse, Saturate, Keep, Keep + 1} {
			s, err := e.New(c, rh, p)
			limittest.ZeroIfRefused(t, s, err)
			if err != nil {
				continue
			}
			if got := s.RelativeHumidityPct(); got > 100*(1+1e-9) && e != Keep || got > 120*(1+1e-9) {
				t.Fatalf("%g %% of %g %% with %v", got, rh, e)
			}
			margin, deposit := s.CondensationMarginK(surface)
			if reach := surface >= -100 && surface <= 100; !reach && !math.IsNaN(margin) {
				t.Fatalf("a margin of %g K at %g °C", margin, surface)
			}
			if deposit != Water && !(surface < 0) {
				t.Fatalf("%v on a surface of %g °C", deposit, surface)
			}
			chill, cold := s.WindChillC(wind)
			slope, byWind := s.WindChillSensitivity(wind)
			limittest.NumberIff(t, cold, "wind chill", chill, slope, byWind)
			felt, known := s.ApparentTemperatureC(wind)
			limittest.NumberIff(t, known, "apparent temperature", felt)
			if slope, byWind := s.ApparentTemperatureSensitivity(wind); !known && !math.IsNaN(byWind+slope.PerK) {
				t.Fatalf("%+v, %g where there is no apparent temperature", slope, byWind)
			}
			d := s.Sensitivity(q)
			u := d.Combined(uK, uPct, uHPa)
			bounded := math.Abs(uK) <= 1e6 && math.Abs(uPct) <= 1e6 && math.Abs(uHPa) <= 1e6
			if u < 0 || bounded && math.IsNaN(u) != math.IsNaN(d.PerK+d.PerPct+d.PerHPa) || math.IsNaN(uK+uPct+uHPa) && !math.IsNaN(u) && !math.IsInf(u, 1) {
				t.Fatalf("quantity %d: %g of %+v", q, u, d)
			}
		}
	})
}
