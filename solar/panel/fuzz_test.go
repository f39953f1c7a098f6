package panel

import (
	"errors"
	"math"
	"testing"

	"github.com/stationphysics/stationphysics"
)

func FuzzCurve(f *testing.F) {
	f.Add(1000.0, 25.0, 17.5, 0.5)
	f.Add(0.0, -40.0, 0.0, 0.0)
	f.Add(1e-9, 150.0, -180.0, -3.0)
	f.Add(2000.0, -100.0, 180.0, 1e9)
	f.Add(math.NaN(), math.Inf(1), math.Inf(-1), math.NaN())
	m, err := Fit(Label{Vmp: 17.5, Imp: 0.5714, Voc: 21.6, Isc: 0.62, IscPctPerK: 0.05, VocPctPerK: -0.33, CellsInSeries: 36})
	if err != nil {
		f.Fatal(err)
	}
	f.Fuzz(func(t *testing.T, g, cellC, v, i float64) {
		c := m.At(g, cellC)
		ok := CheckConditions(g, cellC) == nil
		if got := !math.IsNaN(c.OpenCircuitV()); got != ok {
			t.Errorf("At(%v, %v).OpenCircuitV() a number: %v, conditions in range: %v", g, cellC, got, ok)
		}
		p := c.MaxPower()
		if got := !math.IsNaN(p.Pmp); got != ok {
			t.Errorf("At(%v, %v).MaxPower() a number: %v, conditions in range: %v", g, cellC, got, ok)
		}
		if ok && !(p.Pmp >= 0 && p.Vmp <= c.OpenCircuitV() && p.Imp <= c.ShortCircuitA()*(1+1e-12)) {
			t.Errorf("At(%v, %v).MaxPower() = %+v beyond the ends of the curve", g, cellC, p)
		}
		inside := ok && v >= m.LowestV() && v <= m.HighestV()
		if got := !math.IsNaN(c.CurrentA(v)); got != inside {
			t.Errorf("At(%v, %v).CurrentA(%v) a number: %v, in range: %v", g, cellC, v, got, inside)
		}
		amps, drop := c.HeldBehind(v, func(i float64) (float64, float64) { return 2 * i, 2 })
		if got := !math.IsNaN(amps) && !math.IsNaN(drop); got != inside {
			t.Errorf("At(%v, %v).HeldBehind(%v, 2 ohm) a number: %v, in range: %v", g, cellC, v, got, inside)
		}
		if inside && !(amps >= 0 && amps <= c.HeldA(v)*(1+1e-9)+1e-12 && math.Abs(drop-2*amps) <= 1e-9*(1+drop)) {
			t.Errorf("At(%v, %v).HeldBehind(%v, 2 ohm) = %v A, %v V", g, cellC, v, amps, drop)
		}
		if u := c.VoltageV(i); !math.IsNaN(u) && !(ok && math.Abs(u) <= m.HighestV()) {
			t.Errorf("At(%v, %v).VoltageV(%v) = %v is out of bounds", g, cellC, i, u)
		}
		if k := c.KeptFrac(v); inside && v >= 0 && !(k >= 0 && k <= 1+1e-12) {
			t.Errorf("At(%v, %v).KeptFrac(%v) = %v", g, cellC, v, k)
		}
	})
}

func FuzzFit(f *testing.F) {
	f.Add(10.0, 17.5, 0.5714, 21.6, 0.62, 0.05, -0.33, 36)
	f.Add(0.0, 6.0, 1.67, 7.2, 1.8, 0.05, -0.33, 12)
	f.Add(0.0, 5.9, 0.7, 6.6, 0.8, 0.05, -0.35, 11)
	f.Add(0.0, 7.0, 1.4, 7.2, 1.8, 0.05, -0.33, 12)
	f.Add(math.NaN(), math.Inf(1), -1.0, 0.0, 1e300, 0.0, 0.0, -5)
	f.Fuzz(func(t *testing.T, pmax, vmp, imp, voc, isc, alpha, beta float64, cells int) {
		l := Label{pmax, vmp, imp, voc, isc, alpha, beta, cells}
		m, err := Fit(l)
		if err != nil {
			var re *stationphysics.RangeError
			var ce *stationphysics.ConflictError
			if !errors.As(err, &re) && !errors.As(err, &ce) {
				t.Fatalf("Fit(%+v): %v is neither a range nor a conflict", l, err)
			}
			if m != (Module{}) {
				t.Fatalf("Fit(%+v) returns a module with its error", l)
			}
			return
		}
		c := m.At(refIrradianceWPerM2, refCellC)
		if !(math.Abs(c.OpenCircuitV()/voc-1) < 1e-8) || !(math.Abs(c.ShortCircuitA()/isc-1) < 1e-8) || !(math.Abs(c.CurrentA(vmp)/imp-1) < 1e-6) {
			t.Errorf("Fit(%+v) misses its label: Voc %v, Isc %v, I(Vmp) %v", l, c.OpenCircuitV(), c.ShortCircuitA(), c.CurrentA(vmp))
		}
		if q := m.Parameters(); !(q.SeriesOhm >= 0 && q.ShuntOhm > 0 && q.SaturationCurrentA > 0) {
			t.Errorf("Fit(%+v) = %+v", l, q)
		}
	})
}

func FuzzCellTemperature(f *testing.F) {
	f.Add(1000.0, 20.0, 1.0)
	f.Add(0.0, -100.0, 75.0)
	f.Add(-1.0, math.NaN(), math.Inf(1))
	f.Fuzz(func(t *testing.T, g, airC, wind float64) {
		ok := CheckCellTemperature(g, airC, wind) == nil
		for _, h := range []CellTemperature{OpenRack(), Nominal{}, Nominal{}.WithWind(), PolymerInsulated()} {
			cellC := h.CellC(g, airC, wind)
			if math.IsNaN(cellC) == ok {
				t.Errorf("%T.CellC(%v, %v, %v) = %v, in range: %v", h, g, airC, wind, cellC, ok)
			}
			if ok && cellC < airC {
				t.Errorf("%T.CellC(%v, %v, %v) = %v is below the air", h, g, airC, wind, cellC)
			}
		}
	})
}
