package battery

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"github.com/stationphysics/stationphysics/internal/limit/limittest"
)

func FuzzParseChemistry(f *testing.F) {
	for _, s := range []string{"LiFePO4", "lfp", "Li-ion", "AGM", "", "lead-acid", "\x00\xff", "NiMH "} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		c, err := ParseChemistry(s)
		if (err == nil) != c.known() {
			t.Fatalf("%v, %v", c, err)
		}
		if err == nil {
			if again, err := ParseChemistry(c.String()); again != c || err != nil {
				t.Fatalf("%v read back as %v, %v", c, again, err)
			}
		} else if len(err.Error()) > 400 {
			t.Fatal("the error is as long as the input")
		}
	})
}

func FuzzCurve(f *testing.F) {
	f.Add(0.0, 3.0, 0.5, 3.2, 1.0, 3.4, 0.3, 20.0)
	f.Add(-0.1, 1.97, 0.4, 2.0, 1.05, 2.2, 1.2, -40.0)
	f.Add(0.0, 3.0, 0.5, 2.9, 1.0, 3.4, 0.3, 20.0)
	f.Fuzz(func(t *testing.T, s0, v0, s1, v1, s2, v2, soc, tempC float64) {
		c, err := NewCurve("fuzz", CurvePoint{SoC: s0, V: v0}, CurvePoint{SoC: s1, V: v1}, CurvePoint{SoC: s2, V: v2, VPerK: 1e-6})
		if err != nil {
			return
		}
		v := c.OpenCircuitV(soc, tempC)
		ok := soc >= -0.2 && soc <= 1.3 && tempC >= -40 && tempC <= 85
		if ok == math.IsNaN(v) {
			t.Fatalf("OpenCircuitV(%v, %v) = %v", soc, tempC, v)
		}
		if !ok || !(v >= 0.5 && v <= 5) {
			return
		}
		// The curve may be as flat as one cares to make it: go back by voltage.
		back := c.SoC(v, tempC)
		if again := c.OpenCircuitV(back, tempC); !math.IsNaN(back) && math.Abs(again-v) > 1e-9 {
			t.Fatalf("%v V at %v, %v V at %v", v, soc, again, back)
		}
	})
}

func FuzzSoCBand(f *testing.F) {
	f.Add(6.6, 0.03, 0.0, 20.0)
	f.Add(0.0, 5.0, -1000.0, -40.0)
	f.Add(200.0, 0.0, 1000.0, 85.0)
	f.Add(math.NaN(), 0.0, 0.0, 20.0)
	f.Fuzz(func(t *testing.T, v, u, i, tempC float64) {
		p := pack(t, LiFePO4, 1.5, 2, 1)
		b, err := p.SoCBand(Sighting{PackV: v, MeterV: u, CurrentA: i, TempC: tempC})
		ok := v >= 0 && v <= 200 && u >= 0 && u <= 5 && i >= -1000 && i <= 1000 && tempC >= -40 && tempC <= 85
		if ok != (err == nil) {
			t.Fatal(err)
		}
		if ok && !(0 <= b.LowSoC && b.LowSoC <= b.SoC && b.SoC <= b.HighSoC && b.HighSoC <= 1) {
			t.Fatalf("%+v", b)
		}
	})
}

func FuzzCharge(f *testing.F) {
	f.Add(0.9, 0.0, 7.0, 0.5, 0.1, 0.05, 3600.0, 20.0)
	f.Add(0.99, 0.3, 6.7, 2.0, 0.0, 0.0, 60.0, -10.0)
	f.Add(1.02, -0.3, 6.5, 0.0, 1.0, 0.9, 1e5, 40.0)
	f.Fuzz(func(t *testing.T, soc, slow, set, most, ohm, load, dt, tempC float64) {
		p := pack(t, LiFePO4, 1.5, 2, 1)
		s, fl := p.Charge(State{soc, slow}, Charger{set, most, ohm}, load, dt, tempC)
		if fl.Stop == Invalid {
			return
		}
		// Inside what a station can have, the answer is finite, the ledger closes,
		// and the charger neither exceeds its current nor draws any.
		if soc < -0.2 || soc > 1.1 || math.Abs(slow) > 1 || set < 1 || set > 20 || most > 20 || ohm > 10 || load > 20 || dt < 1e-3 {
			return
		}
		if !finite(s.SoC+s.SlowV+fl.EndV+fl.EndA+fl.CurrentA+fl.InAh+fl.OutAh+fl.LostAh) || !finite(fl.InWh+fl.OutWh) {
			t.Fatalf("%+v %+v", s, fl)
		}
		if d := fl.InAh - fl.OutAh - fl.LostAh - (s.SoC-soc)*1.5; math.Abs(d) > 1e-9*(1+fl.InAh+fl.OutAh+fl.LostAh) {
			t.Fatalf("%v Ah lost", d)
		}
		if fl.EndA > most-load+1e-9 || fl.EndA < -load-1e-9 {
			t.Fatalf("%v A of %v A, load %v A", fl.EndA, most, load)
		}
	})
}

func FuzzLimits(f *testing.F) {
	f.Add(uint8(1), 4, 25.0)
	f.Add(uint8(3), 6, -40.0)
	f.Add(uint8(5), 32, 85.0)
	f.Add(uint8(0), 0, math.NaN())
	f.Fuzz(func(t *testing.T, kind uint8, cells int, tempC float64) {
		c := Chemistry(kind)
		known, survives := kind >= 1 && kind <= 5, tempC >= -40 && tempC <= 85
		l := c.Limits()
		limittest.Finite(t, "limits", l)
		limittest.NumberIff(t, survives, "level", l.Charge.At(tempC), l.Float.At(tempC), l.Cutoff.At(tempC))
		limittest.NumberIff(t, known, "DoubtV", c.DoubtV())
		limittest.NumberIff(t, known && survives, "MaxChargePerH", c.MaxChargePerH(tempC))
		if known && survives && l.ChargeWindow.Holds(tempC) != (c.MaxChargePerH(tempC) > 0) {
			t.Fatalf("%v at %v °C: window and current disagree", c, tempC)
		}
		p, err := c.PackLimits(cells, tempC)
		if (err == nil) != (known && survives && cells >= 1 && cells <= 32) {
			t.Fatalf("%d %v at %v °C: %v", cells, c, tempC, err)
		}
		limittest.ZeroIfRefused(t, p, err)
		if known := kind >= 1 && kind <= 5 && cells >= 1 && cells <= 32; known != (len(c.Cautions(cells)) > 0) {
			t.Fatalf("%d cautions for %d %v", len(c.Cautions(cells)), cells, c)
		}
		// Only what the chemistry has is a number.
		limittest.NotInfinite(t, "pack limits", p)
		if err == nil && math.IsNaN(p.ChargeV) == l.Charge.Exists() {
			t.Fatalf("%+v", p)
		}
	})
}

func FuzzCell(f *testing.F) {
	f.Add(3.4, 0.02, 0.01, 1000.0, 2400.0, 0.99, 2.0, 0.8, 4, 2, 0.5, 20.0)
	f.Add(0.03, 0.0, 0.0, 0.0, 0.0, 0.3, 60.0, 0.0, 1, 1, 1.0, -40.0)
	f.Add(400.0, 20.0, 20.0, 1e8, 10000.0, 1.0, 0.0, 1.0, 32, 100, 0.0, 85.0)
	f.Add(3400.0, 20.0, 10.0, 0.0, 293.0, 99.0, -1.0, 80.0, 0, 0, math.NaN(), 300.0)
	f.Fuzz(func(t *testing.T, ah, r0, r1, c1, coldK, coulombic, self, usable float64, series, parallel int, soc, tempC float64) {
		cell := Cell{Chemistry: LiFePO4, CapacityAh: ah, Curve: LiFePO4.Curve(), R0Ohm: r0, R1Ohm: r1, C1Farad: c1, ColdK: coldK,
			CoulombicEfficiency: coulombic, SelfDischargePctPerMonth: self, Usable: []UsablePoint{{TempC: -20, UsableFrac: usable}, {TempC: 25, UsableFrac: 1}}}
		ok := ah >= 0.03 && ah <= 400 && r0 >= 0 && r0 <= 20 && r1 >= 0 && r1 <= 20 && c1 >= 0 && c1 <= 1e8 && coldK >= 0 && coldK <= 10000 &&
			coulombic >= 0.3 && coulombic <= 1 && self >= 0 && self <= 60 && usable >= 0 && usable <= 1 && !(r1 > 0 && c1 == 0)
		if err := cell.Check(); ok != (err == nil) {
			t.Fatalf("%+v: %v", cell, err)
		}
		p, err := NewPack(cell, series, parallel)
		if err == nil != (ok && series >= 1 && series <= 32 && parallel >= 1 && parallel <= 100) {
			t.Fatalf("%d by %d of %+v: %v", series, parallel, cell, err)
		}
		limittest.ZeroIfRefused(t, p, err)
		if err != nil {
			return
		}
		limittest.Finite(t, "pack", p.Cell().CapacityAh, p.CapacityAh())
		survives := tempC >= -40 && tempC <= 85
		r := p.Resistance(tempC)
		quick, settled := r.QuickOhm, r.SettledOhm
		limittest.NumberIff(t, survives, "pack by temperature", quick, settled, p.UsableFrac(tempC))
		if !math.IsInf(soc, 0) && math.Abs(soc) < 1e6 {
			limittest.NumberIff(t, survives && !math.IsNaN(soc), "OpenCircuitV", p.OpenCircuitV(soc, tempC))
		}
	})
}

func FuzzGauge(f *testing.F) {
	f.Add(1.0, 0.001, 10.0, 1.0, 0.02, -0.1, 3600.0, 20.0, 0.2)
	f.Add(0.0, 0.0, 0.0, 0.5, 0.02, 0.0, 60.0, 25.0, 0.02)
	f.Add(20.0, 1.0, 50.0, 0.0, 1.0, 1000.0, 4e7, 85.0, 1.0)
	f.Add(1.0, 5.0, 0.0, 100.0, 2.0, math.Inf(-1), -1.0, 300.0, 20.0)
	f.Add(0.0, 0.0, 0.0, 1.0, 0.0, math.NaN(), math.Inf(1), math.NaN(), math.NaN())
	kept := Cell{Chemistry: LiFePO4, CapacityAh: 2, Curve: LiFePO4.Curve(), CoulombicEfficiency: 1}
	f.Fuzz(func(t *testing.T, gain, offset, health, start, doubt, currentA, dtS, tempC, wanted float64) {
		loses := pack(t, LiFePO4, 1.5, 2, 1)
		keeps, err := NewPack(kept, 2, 1)
		require.NoError(t, err)
		for _, p := range []*Pack{loses, keeps} {
			g, err := NewGauge(p, Meter{GainPct: gain, OffsetA: offset, HealthPct: health}, start, doubt)
			ok := gain >= 0 && gain <= 20 && offset >= 0 && offset <= 1 && health >= 0 && health <= 50 && start >= 0 && start <= 1 && doubt >= 0 && doubt <= 1
			if ok != (err == nil) {
				t.Fatal(err)
			}
			if err != nil {
				continue
			}
			days := g.DaysTo(wanted)
			if math.IsNaN(days) == (wanted >= 0 && wanted <= 1) || days < 0 {
				t.Fatalf("%v days to %v from %v", days, wanted, doubt)
			}
			g.Add(currentA, dtS, tempC)
			b := g.Band()
			good := math.Abs(currentA) < 1e9 && dtS >= 0 && dtS < 1e12 && tempC >= -40 && tempC <= 85
			if good && !(0 <= b.LowSoC && b.LowSoC <= b.SoC && b.SoC <= b.HighSoC && b.HighSoC <= 1 && b.SpanSoC() >= 0) {
				t.Fatalf("%+v", b)
			}
			if math.IsNaN(currentA+dtS+tempC) || math.IsInf(currentA+dtS, 0) || dtS < 0 {
				limittest.NumberIff(t, false, "band", b)
			}
		}
	})
}
