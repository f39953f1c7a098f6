package sizing

import (
	"math"
	"testing"

	"github.com/stationphysics/stationphysics/battery"
	"github.com/stationphysics/stationphysics/internal/limit/limittest"
)

// Refused or finite, and no panic.

func FuzzAutonomy(f *testing.F) {
	f.Add(1.0, 0.9, -10.0, 1.0, 0.2)
	f.Add(0.0, 1e-4, 85.0, 0.3, 0.95)
	f.Add(0.5, 1e5, -40.0, 0.8, 0.0)
	p := pack(f, battery.LiFePO4, 1.5, 2)
	f.Fuzz(func(t *testing.T, start, load, tempC, health, reserve float64) {
		a, err := Autonomy(Dark{Pack: p, StartSoC: start, LoadWh: load, TempC: tempC, HealthFrac: health, ReserveFrac: reserve})
		ok := socRange.Holds(start) && loadRange.Holds(load) && tempRange.Holds(tempC) && healthRange.Holds(health) && reserveRange.Holds(reserve)
		if ok != (err == nil) {
			t.Fatal(err)
		}
		limittest.ZeroIfRefused(t, a, err)
		limittest.Finite(t, "available", a)
		if ok && !(a.Days >= 0 && a.UsableAh >= 0 && a.UsableAh <= a.AgedAh && a.AgedAh <= a.CapacityAh) {
			t.Fatalf("%+v", a)
		}
	})
}

func FuzzDelivered(f *testing.F) {
	f.Add(1.0, 0.1, 5.6, 20.0, 20.0, 1.2)
	f.Add(0.3, 1e-6, 0.0, -40.0, 0.1, 1.0)
	f.Add(1.0, 10000.0, 200.0, 85.0, 200.0, 2.0)
	f.Add(100.0, math.NaN(), -1.0, 293.0, 0.0, 3.0)
	p := pack(f, battery.LiFePO4, 1.5, 2)
	f.Fuzz(func(t *testing.T, start, currentA, cutoffV, tempC, ratedH, exponent float64) {
		d, err := Delivered(p, start, currentA, cutoffV, tempC)
		ah, h := d.ChargeAh, d.TimeH
		ok := start >= 0 && start <= 1 && currentA >= 1e-6 && currentA <= 10000 && cutoffV >= 0 && cutoffV <= 200 && tempC >= -40 && tempC <= 85
		if ok != (err == nil) {
			t.Fatal(err)
		}
		limittest.ZeroIfRefused(t, ah, err)
		limittest.Finite(t, "delivered", ah, h)
		if !(ah >= 0 && ah <= start*p.CapacityAh()*(1+1e-9) || err != nil) {
			t.Fatalf("%v Ah from a pack of %v Ah at %v", ah, p.CapacityAh(), start)
		}
		// The law of Peukert over the same numbers.
		for _, capacityAh := range []float64{cutoffV, 100} {
			ok := capacityAh >= 0.03 && capacityAh <= 40000 && currentA >= 1e-6 && currentA <= 10000 && exponent >= 1 && exponent <= 2
			limittest.NumberIff(t, ok, "PeukertUnitH", PeukertUnitH(capacityAh, currentA, exponent))
			ok = ok && ratedH >= 0.1 && ratedH <= 200
			if ok != (CheckPeukert(capacityAh, ratedH, currentA, exponent) == nil) {
				t.Fatalf("%v Ah, %v h, %v A, %v", capacityAh, ratedH, currentA, exponent)
			}
			limittest.NumberIff(t, ok, "PeukertH", PeukertH(capacityAh, ratedH, currentA, exponent))
		}
	})
}

func FuzzCold(f *testing.F) {
	f.Add(uint8(1), 9.6, 5.0, -5.0, 3600.0)
	f.Add(uint8(1), 9.6, 1.0, 20.0, 3600.0)
	f.Add(uint8(3), 0.0, 0.0, 60.0, 0.0)
	f.Add(uint8(0), -1.0, math.Inf(1), 273.0, -60.0)
	f.Add(uint8(5), math.NaN(), -2.0, -40.0, 1e6)
	f.Fuzz(func(t *testing.T, kind uint8, capacityWh, chargeW, tempC, dtS float64) {
		c, err := NewCold(battery.Chemistry(kind))
		if (err == nil) != (kind >= 1 && kind <= 5) {
			t.Fatal(err)
		}
		limittest.ZeroIfRefused(t, c, err)
		sum, herr := ColdHours(battery.Chemistry(kind), capacityWh, []float64{chargeW}, []float64{tempC})
		limittest.ZeroIfRefused(t, sum, herr)
		if (herr == nil) != (err == nil && tempC >= -40 && tempC <= 85) {
			t.Fatal(herr)
		}
		if err != nil {
			return
		}
		c.Add(chargeW, capacityWh, tempC, dtS)
		s := c.Sum()
		number := func(v float64) bool { return !math.IsNaN(v) && !math.IsInf(v, 0) }
		good := number(chargeW) && number(capacityWh) && number(tempC) && number(dtS) && dtS >= 0
		if good && (math.Abs(chargeW) > 1e12 || dtS > 1e12) {
			return
		}
		limittest.NumberIff(t, good, "sum", s.ColdH, s.HotH, s.TooFastH, s.BlockedWh, s.OfferedWh, s.CostFrac)
		limittest.NumberIff(t, good && s.ColdH > 0 || good && chargeW > 0 && tempC < s.WindowMinC, "coldest", s.ColdestC)
		limittest.Finite(t, "window", s.WindowMinC, s.WindowMaxC)
		if good && !(s.BlockedWh <= s.OfferedWh && s.CostFrac >= 0 && s.CostFrac <= 1) {
			t.Fatalf("%+v", s)
		}
	})
}

func FuzzWorksheet(f *testing.F) {
	f.Add(0.15, 5.0, 0.8, 0.8, 0.9, 0.8, 0.1, 1.5, 0.5, 5.0, 0.05, 40.0, 0.75)
	f.Add(1e-5, 0.1, 0.05, 0.05, 0.3, 0.3, 0.0, 0.03, 0.001, 0.01, 0.0, -40.0, 0.3)
	f.Add(1e5, 365.0, 1.0, 1.2, 1.0, 1.0, 1.0, 400.0, 1000.0, 1000.0, 10.0, 85.0, 1.0)
	f.Add(math.NaN(), 0.0, 80.0, 80.0, 90.0, 80.0, 10.0, 1500.0, 500.0, math.Inf(1), -1.0, 293.0, 75.0)
	p := pack(f, battery.LiFePO4, 1.5, 2)
	f.Fuzz(func(t *testing.T, loadAh, days, depth, temp, eff, life, margin, cellAh, loadA, wireA, wireOhm, warmestC, derating float64) {
		s, err := Need{LoadAh: loadAh, Days: days, DepthFrac: depth, TempFrac: temp, Efficiency: eff, EndOfLifeFrac: life, MarginFrac: margin, CellAh: cellAh}.Work()
		ok := loadAh >= 1e-5 && loadAh <= 1e5 && days >= 0.1 && days <= 365 && depth >= 0.05 && depth <= 1 && temp >= 0.05 && temp <= 1.2 && eff >= 0.3 && eff <= 1 &&
			life >= 0.3 && life <= 1 && margin >= 0 && margin <= 1 && cellAh >= 0.03 && cellAh <= 400
		if ok != (err == nil) {
			t.Fatal(err)
		}
		limittest.ZeroIfRefused(t, s, err)
		limittest.Finite(t, "sheet", s)
		if ok && !(s.Parallel >= 1 && s.InstalledAh >= s.RequiredAh*(1-1e-6)) {
			t.Fatalf("%+v", s)
		}
		c, err := Fuse(FuseCase{Pack: p, LoadA: loadA, WireAmpsA: wireA, WireOhm: wireOhm, RatingsA: append(BladeRatingsA(), cellAh), WarmestC: warmestC, DeratingFrac: derating})
		ok = loadA >= 0.001 && loadA <= 1000 && wireA >= 0.01 && wireA <= 1000 && wireOhm >= 0 && wireOhm <= 10 && warmestC >= -40 && warmestC <= 85 &&
			derating >= 0.3 && derating <= 1 && cellAh >= 0.01 && cellAh <= 1000
		if ok != (err == nil) {
			t.Fatal(err)
		}
		limittest.ZeroIfRefused(t, c, err)
		limittest.Finite(t, "fuse", c)
		if c.RatingA != 0 && !(c.RatingA >= c.LeastA*(1-1e-9) && c.RatingA <= c.MostA) {
			t.Fatalf("%+v", c)
		}
	})
}
