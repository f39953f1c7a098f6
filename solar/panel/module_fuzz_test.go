package panel

import (
	"math"
	"testing"
	"time"

	"github.com/stationphysics/stationphysics/internal/limit/limittest"
	"github.com/stationphysics/stationphysics/solar"
	"github.com/stationphysics/stationphysics/solar/sky"
)

func FuzzModule(f *testing.F) {
	f.Add(0.62, 2e-10, 0.98, 0.9, 200.0, 3e-4, 0.0, 36, 2, 3, 900.0, 30.0, 15.0, 0.9, -25.0, 38.0)
	f.Add(0.001, 1e-30, 0.005, 0.0, math.Inf(1), -1.0, 0.3, 1, 1000, 1000, 2000.0, -100.0, 0.0, 0.0, -100.0, 70.0)
	f.Add(1000.0, 1e-3, 150.0, 1e5, 1e-3, 1.0, 4.0, 1000, 1, 1000, 1e-300, 150.0, 5000.0, 1.0, 70.0, 70.0)
	f.Add(math.NaN(), 0.0, 1.3, -1.0, 0.0, 5.0, 1.8e-19, 0, 0, -1, 54000.0, 300.0, -1.0, 90.0, 38.0, -25.0)
	f.Fuzz(func(t *testing.T, light, saturation, ideality, series, shunt, slope, gap float64, cells, rows, strings int, g, cell, v, kept, low, high float64) {
		p := Parameters{light, saturation, ideality, series, shunt, slope, gap, cells}
		m, err := New(p)
		limittest.ZeroIfRefused(t, m, err)
		if err != nil {
			return
		}
		if n := m.IdealityFactor(); !(n > 0.1 && n < 10) {
			t.Fatalf("%+v: an ideality factor of %g", p, n)
		}
		field, err := m.Field(rows, strings)
		limittest.ZeroIfRefused(t, field, err)
		if ok := rows >= 1 && rows <= 1000 && strings >= 1 && strings <= 1000 && cells*rows <= 1000; ok != (err == nil) {
			t.Fatalf("Field(%d, %d) of %d cells: %v", rows, strings, cells, err)
		}
		c := m.At(g, cell)
		ok := CheckConditions(g, cell) == nil
		inside := ok && v >= m.LowestV() && v <= m.HighestV()
		i := c.CurrentA(v)
		if math.IsNaN(i) == inside {
			t.Fatalf("%+v at %g W/m², %g °C: %g A at %g V", p, g, cell, i, v)
		}
		if inside && !math.IsInf(i, 0) {
			limittest.Finite(t, "curve", c.PowerW(v), c.SlopeAPerV(v, i))
			if s := c.SlopeAPerV(v, i); s > 0 {
				t.Fatalf("%+v at %g W/m², %g °C, %g V: a slope of %g A/V", p, g, cell, v, s)
			}
		}
		// A voltage is the diode's, up to some 1000 V, less that of the series
		// resistance: their rounding is the millionth of a volt below.
		// Diodes that no cell has can stand at more than the largest voltage of the
		// curve without load.
		opens := func(g, cell float64) bool { return !math.IsNaN(m.At(g, cell).OpenCircuitV()) }
		lowV, highV := c.KeptBand(kept)
		if !ok || opens(g, cell) {
			limittest.NumberIff(t, ok && kept >= 0 && kept <= 1, "KeptBand", lowV, highV)
		}
		if lowV > highV || lowV < -1e-6 || highV > c.OpenCircuitV()*(1+1e-9)+1e-6 {
			t.Fatalf("%g..%g V keep %g, open circuit at %g V", lowV, highV, kept, c.OpenCircuitV())
		}
		least, most := m.DarkLeakA(v, cell)
		if known := v >= 0 && v <= m.HighestV() && cell >= -100 && cell <= 150; math.IsNaN(least) == known || math.IsNaN(most) == known || least > most*(1+1e-9)+1e-12 {
			t.Fatalf("%g..%g A leak at %g V and %g °C", least, most, v, cell)
		}
		w, err := m.Window(low, high, nil)
		limittest.ZeroIfRefused(t, w, err)
		if err == nil {
			limittest.Finite(t, "Window", w)
		}
	})
}

func FuzzGroup(f *testing.F) {
	f.Add(900.0, 30.0, 200.0, 25.0, 0.4, 15.0)
	f.Add(0.0, -100.0, 2000.0, 150.0, 2.0, 0.0)
	f.Add(1e-300, 25.0, 1e-300, 25.0, 0.0, 40.0)
	f.Add(math.NaN(), 25.0, 1000.0, 300.0, 400.0, -1.0)
	m, err := Fit(Label{Vmp: 17.5, Imp: 0.5714, Voc: 21.6, Isc: 0.62, IscPctPerK: 0.05, VocPctPerK: -0.33, CellsInSeries: 36})
	if err != nil {
		f.Fatal(err)
	}
	f.Fuzz(func(t *testing.T, g1, c1, g2, c2, drop, v float64) {
		a, b := m.At(g1, c1), m.At(g2, c2)
		ok := drop >= 0 && drop <= 2 && CheckConditions(g1, c1) == nil && CheckConditions(g2, c2) == nil
		side, err1 := Parallel(drop, a, b)
		row, err2 := Series(drop, a, b)
		if ok != (err1 == nil) || ok != (err2 == nil) {
			t.Fatalf("%v, %v", err1, err2)
		}
		for name, g := range map[string]Group{"side by side": side, "in a row": row} {
			i, open, short, p := g.CurrentA(v), g.OpenCircuitV(), g.ShortCircuitA(), g.MaxPower()
			limittest.NumberIff(t, v >= 0, name, i)
			limittest.Finite(t, name, open, short, p)
			if i < 0 || i > short*(1+1e-6)+1e-12 || open < 0 || p.Pmp < 0 || p.Vmp > open*(1+1e-6) || p.Imp > short*(1+1e-6)+1e-12 || i*v > p.Pmp*(1+1e-6)+1e-12 {
				t.Fatalf("%s: %g A at %g V, %g V open, %g A short, %+v", name, i, v, open, short, p)
			}
		}
	})
}

func FuzzOutput(f *testing.F) {
	f.Add(800.0, 850.0, 20.0, 2.0, 17.0, 1.0, 25.0, 6.84, 45.0)
	f.Add(0.0, 0.0, -100.0, 0.0, 0.0, 1.0/3600, 5.0, 0.0, 33.0)
	f.Add(2000.0, 2000.0, 70.0, 75.0, 180.0, 24.0, 80.0, 20.0, 70.0)
	f.Add(54000.0, math.NaN(), 300.0, -1.0, math.Inf(1), 60.0, 0.0, 30.0, 318.0)
	m, err := Fit(Label{Vmp: 17.5, Imp: 0.5714, Voc: 21.6, Isc: 0.62, IscPctPerK: 0.05, VocPctPerK: -0.33, CellsInSeries: 36})
	if err != nil {
		f.Fatal(err)
	}
	f.Fuzz(func(t *testing.T, g, onGlass, air, wind, hold, step, u0, u1, nominal float64) {
		faiman, err := NewFaiman(u0, u1)
		limittest.ZeroIfRefused(t, faiman, err)
		noct, err := NewNominal(nominal)
		limittest.ZeroIfRefused(t, noct, err)
		w := Weather{g, onGlass, air, wind}
		warms := onGlass
		if onGlass == 0 {
			warms = g
		}
		for _, heat := range []CellTemperature{nil, faiman, noct, noct.WithWind(), GlassCloseRoof()} {
			o := m.Output(w, heat, hold)
			cell := cellTempRange.Holds(o.CellC)
			limittest.NumberIff(t, CheckCellTemperature(warms, air, wind) == nil && irradianceRange.Holds(g), "CellC", o.CellC)
			limittest.NumberIff(t, w.Check() == nil && cell, "MaxPowerW", o.MaxPowerW)
			limittest.NumberIff(t, w.Check() == nil && cell && hold >= 0 && hold <= m.HighestV(), "held", o.HeldA, o.HeldW)
			if o.HeldA < 0 || o.MaxPowerW < 0 || o.HeldW > o.MaxPowerW*(1+1e-9) {
				t.Fatalf("%+v with %+v at %g V: %+v", w, heat, hold, o)
			}
			series := []Weather{w, {IrradianceWPerM2: 100, AirC: 10, WindMPerS: 1}}
			out := make([]Output, 2)
			m.BatchOutput(out, series, heat, hold)
			diode := func(i float64) (float64, float64) { return 0.027 * math.Log1p(i/3e-7), 0.027 / (i + 3e-7) } // invented
			behind := make([]Output, 2)
			m.BatchOutputBehind(behind, series, heat, hold, diode)
			limittest.NumberIff(t, w.Check() == nil && cell && hold >= 0 && hold <= m.HighestV(), "behind", behind[0].HeldA, behind[0].HeldW)
			if behind[0].HeldA > out[0].HeldA*(1+1e-9)+1e-12 {
				t.Fatalf("%g A behind a diode, %g A without", behind[0].HeldA, out[0].HeldA)
			}
			y, err := m.Yield(series, step, heat, hold)
			if ok := w.Check() == nil && cell && step >= 1.0/3600 && step <= 24 && hold >= 0 && hold <= m.HighestV(); ok != (err == nil) {
				t.Fatalf("%+v, step %g h, %g V: %v", w, step, hold, err)
			}
			limittest.ZeroIfRefused(t, y, err)
			if err == nil {
				limittest.Finite(t, "Yield", y, y.KeptFrac())
				if k := y.KeptFrac(); k < 0 || k > 1+1e-9 || y.IdleH > y.LitH {
					t.Fatalf("%+v keeps %g", y, k)
				}
			}
			best, kept, err := m.BestHold(series, step, heat)
			if err == nil && !(best >= 0 && best <= m.HighestV() && kept >= 0 && kept <= 1+1e-9) {
				t.Fatalf("%g V keep %g", best, kept)
			}
		}
	})
}

// FuzzLongMount tries some hundred mounts for each input.
func FuzzLongMount(f *testing.F) {
	f.Add(int64(1710932400), int64(3600), 600.0, 700.0, 120.0, 15.0, 2.0, 0.0, 0.2, 12.0)
	f.Add(int64(1710910000), int64(10800), 20.0, 0.0, 20.0, -100.0, 0.0, 100.0, 0.0, 0.0)
	f.Add(int64(-9e15), int64(-1), math.NaN(), 0.0, -1.0, 300.0, -1.0, 101.0, 20.0, 1e6)
	m, err := Fit(Label{Vmp: 17.5, Imp: 0.5714, Voc: 21.6, Isc: 0.62, IscPctPerK: 0.05, VocPctPerK: -0.33, CellsInSeries: 36})
	if err != nil {
		f.Fatal(err)
	}
	site, err := solar.NewSite(48.2, 16.37, 200)
	if err != nil {
		f.Fatal(err)
	}
	f.Fuzz(func(t *testing.T, unix, seconds int64, g, b, d, air, wind, snow, albedo, hold float64) {
		series := make([]Step, 3)
		for i := range series {
			at := time.Unix(unix, 0).Add(time.Duration(i) * 7 * time.Hour)
			series[i] = Step{Record: sky.Record{Start: at, Length: time.Duration(seconds%20000) * time.Second, Light: sky.Light{GlobalWPerM2: g, BeamNormalWPerM2: b, DiffuseWPerM2: d}},
				AirC: air, WindMPerS: wind, SnowPct: snow, Group: i % 2}
		}
		base := sky.Mount{Albedo: albedo}
		plane, err := sky.NewPlane(base)
		if err != nil {
			return
		}
		on := make([]Weather, len(series))
		BatchWeather(on, series, plane, site)
		for _, w := range on {
			if w.IrradianceWPerM2 < 0 || w.OnGlassWPerM2 < 0 || w.IrradianceWPerM2 > w.OnGlassWPerM2*(1+1e-9) {
				t.Fatalf("%+v", w)
			}
		}
		best, err := m.BestMount(series, base, site, nil, hold)
		if err != nil {
			limittest.ZeroIfRefused(t, best.MeanW+best.PoorestW+best.Yield.HeldWh, err)
			return
		}
		limittest.Finite(t, "Best", best.MeanW, best.PoorestW, best.Yield)
		if best.PoorestW > best.MeanW*(1+1e-9) || best.Mount.TiltDeg < 0 || best.Mount.TiltDeg > 90 {
			t.Fatalf("%+v", best)
		}
	})
}
