package battery

import (
	"math"
	"testing"
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
