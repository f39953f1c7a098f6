package blocking

import (
	"math"
	"testing"

	"github.com/stationphysics/stationphysics/internal/limit/limittest"
)

// Refused or finite, and no panic.
func FuzzPart(f *testing.F) {
	f.Add(0.02, 0.03, 1e-5, 18.0, 0.6, 6.0, 14.0, 1e-5, 14.0, 0.5)
	f.Add(0.0, 0.0, 0.0, 1.0, 0.0, 0.0, 1.0, 0.0, 0.0, 0.0)
	f.Add(0.2, 10.0, 0.01, 200.0, 50.0, 24.0, 200.0, 1.0, 0.0, 50.0)
	f.Add(20.0, math.NaN(), -1.0, 18000.0, 600.0, 20.0, 0.0, 5.0, 20.0, math.Inf(1))
	f.Fuzz(func(t *testing.T, hold, on, own, line, chargeA, chargeH, packV, nightA, nightH, a float64) {
		d, err := NewIdealDiode(IdealDiodeSpec{HoldV: hold, OnOhm: on, OwnA: own})
		ok := hold >= 0 && hold <= 0.2 && on >= 0 && on <= 10 && own >= 0 && own <= 0.01
		if ok != (err == nil) {
			t.Fatal(err)
		}
		limittest.ZeroIfRefused(t, d, err)
		if ok && a < 1e300 || math.IsNaN(a) {
			limittest.NumberIff(t, ok && a >= 0, "VoltageV", d.VoltageV(a))
		}
		c := Case{LineV: line, ChargeA: chargeA, ChargeH: chargeH, PackV: packV, NightA: nightA, NightH: nightH}
		for _, p := range []Part{nil, d} {
			l, err := Of(p, c)
			limittest.ZeroIfRefused(t, l, err)
			limittest.Finite(t, "loss", l, l.TotalWh())
			if err == nil && !(l.DropV >= 0 && l.DropV < line && l.LossFrac >= 0 && l.LossFrac < 1 && l.TotalWh() >= 0 && chargeH+nightH <= 24) {
				t.Fatalf("%+v in %+v", l, c)
			}
		}
	})
}

func FuzzLeakagePoints(f *testing.F) {
	f.Add(25.0, 1e-3, 125.0, 1e-2, 60.0)
	f.Add(-90.0, 1e-15, 200.0, 1.0, 200.0)
	f.Add(125.0, 1e-2, 25.0, 1e-3, -100.0)
	f.Add(math.NaN(), 0.0, 473.0, 10.0, math.Inf(1))
	f.Fuzz(func(t *testing.T, c1, i1, c2, i2, c float64) {
		l, err := NewLeakage(LeakagePoint{c1, i1}, LeakagePoint{c2, i2})
		ok := c1 >= -90 && c1 < c2 && c2 <= 200 && i1 >= 1e-15 && i1 < i2 && i2 <= 1
		if ok != (err == nil) {
			t.Fatal(err)
		}
		a := l.CurrentA(c)
		limittest.NumberIff(t, ok && c >= -90 && c <= c2, "CurrentA", a)
		if a < 0 || a > i2*(1+1e-9) {
			t.Fatalf("%v A at %v °C", a, c)
		}
	})
}
