package psychro

import (
	"math"
	"testing"
)

func FuzzNew(f *testing.F) {
	for _, a := range sampleAir {
		f.Add(a[0], a[1], a[2])
	}
	f.Add(293.15, 50.0, 101325.0)
	f.Add(math.NaN(), math.Inf(1), 0.0)
	f.Add(100.0, 100.0, 300.0)
	f.Add(-100.0, 0.0, 1100.0)
	f.Add(31.42857142857143, 100.0, 335.0)
	f.Fuzz(func(t *testing.T, c, rh, p float64) {
		s, err := New(c, rh, p)
		in := c >= -100 && c <= 100 && rh >= 0 && rh <= 100 && p >= 300 && p <= 1100
		if in != (err == nil) && !(in && 0.01*rh*SaturationPressureHPa(c)/p > 0.88) {
			t.Fatalf("New(%g, %g, %g): in range %v, error %v", c, rh, p, in, err)
		}
		if err != nil {
			if s != (State{}) {
				t.Fatalf("an error with a state")
			}
			return
		}
		for q := range quantities {
			s.Sensitivity(q)
			v := s.value(q)
			if math.IsInf(v, 0) {
				t.Fatalf("quantity %d of %g %g %g is infinite", q, c, rh, p)
			}
			always := q != HumidityOverIcePct && q != DewPointC && q != FrostPointC && q != IceBulbC && q != DegreeOfSaturationFrac && q < CondensationLevelTempC
			if always && v != v {
				t.Fatalf("quantity %d of %g %g %g is NaN", q, c, rh, p)
			}
		}
		dew, wet := s.DewPointC(), s.WaterBulbC()
		if dew > wet+1e-8 || wet > c+1e-8 {
			t.Fatalf("%g %g %g: dew %g, wet %g, dry %g", c, rh, p, dew, wet, c)
		}
		if rh > 1e-4 {
			u, err := From(p, Temperature(c), DewPoint(dew))
			if err != nil || math.Abs(u.x/s.x-1) > 1e-9 && dew > -120 {
				t.Fatalf("%g %g %g: back from the dew point %g %v: %g", c, rh, p, dew, err, u.x/s.x-1)
			}
		}
	})
}

func FuzzFormulas(f *testing.F) {
	f.Add(-600.0, uint8(0), uint8(16))
	for _, v := range []float64{-200, -150, -60, -0.001, 0, 0.01, 20, 99.9, 100, 293.15, 101325, math.NaN(), math.Inf(-1)} {
		f.Add(v, uint8(0), uint8(0))
		f.Add(v, uint8(1), uint8(1))
		f.Add(v, uint8(2), uint8(0))
		f.Add(v, uint8(9), uint8(9))
	}
	f.Fuzz(func(t *testing.T, c float64, formula, phase uint8) {
		fo, over := Formula(formula), Phase(phase)
		in := fo.Check(over, c) == nil
		p, d := fo.PressureHPa(over, c), fo.SlopeHPaPerK(over, c)
		if in == (p != p) || in == (d != d) {
			t.Fatalf("formula %d over %d at %g: in range %v, %g, %g", formula, phase, c, in, p, d)
		}
		if in {
			if back := fo.TemperatureC(over, p); !(math.Abs(back-c) <= 1e-9*(1+math.Abs(c))) {
				t.Fatalf("formula %d over %d: %g -> %g", formula, phase, c, back)
			}
			if up := math.Nextafter(c, 1e9) + 1e-6; fo.Check(over, up) == nil && !(fo.PressureHPa(over, up) > p) {
				t.Fatalf("formula %d over %d is not monotone at %g", formula, phase, c)
			}
		}
		fo.TemperatureC(over, c)
	})
}

func FuzzFrom(f *testing.F) {
	f.Add(950.0, uint8(0), 20.0, uint8(1), 10.0)
	f.Add(950.0, uint8(5), 50.0, uint8(7), 10.0)
	f.Add(950.0, uint8(5), 50.0, uint8(6), 60.0)
	f.Add(600.0, uint8(3), 1.0, uint8(8), -10.0)
	f.Add(math.NaN(), uint8(4), 8.0, uint8(6), 90.0)
	f.Add(400.0, uint8(6), 90.0, uint8(8), -60.0)
	f.Fuzz(func(t *testing.T, p float64, ka uint8, a float64, kb uint8, b float64) {
		ga, gb := Given{kind(ka % 9), a}, Given{kind(kb % 9), b}
		for _, e := range []Excess{Refuse, Saturate, Keep} {
			s, err := e.From(p, ga, gb)
			if err != nil {
				if s != (State{}) {
					t.Fatalf("an error with a state")
				}
				continue
			}
			if !(s.t >= -100 && s.t <= 100 && s.x >= 0 && s.x <= maxFraction && s.p == p) {
				t.Fatalf("%v from %v and %v at %g", s, ga, gb, p)
			}
			if rh := s.RelativeHumidityPct(); rh > 100*(1+1e-9) && e != Keep || rh > 120*(1+1e-9) {
				t.Fatalf("%g %% with %v from %v and %v at %g", rh, e, ga, gb, p)
			}
		}
	})
}
