package charge

import (
	"math"
	"strings"
	"testing"

	"github.com/stationphysics/stationphysics/battery"
	"github.com/stationphysics/stationphysics/internal/limit/limittest"
)

// Refused or finite, and no panic.

func FuzzPulse(f *testing.F) {
	f.Add(0.02, 1.5, 4.0, 600.0, 0.5, 20.0, 24.0)
	f.Add(0.0, 0.0, 1e-4, 0.01, 1.0, -40.0, 0.001)
	f.Add(1000.0, 10000.0, 3600.0, 86400.0, 0.0, 85.0, 1e6)
	p := pack(f, 1.5, 2)
	f.Fuzz(func(t *testing.T, sleep, pulse, s, period, soc, tempC, mostH float64) {
		d := Draw{SleepW: sleep, PulseW: pulse, PulseS: s, PeriodS: period, LeastV: 5}
		v := PulseEndV(p, d, soc, tempC)
		if (d.check() != nil || !socRange.Holds(soc) || !tempRange.Holds(tempC)) && !math.IsNaN(v) {
			t.Fatalf("%v from refused input", v)
		}
		limittest.NotInfinite(t, "PulseEndV", v)
		// A moderate load on a moderate pack always has an answer.
		if d.check() == nil && sleep < 0.1 && pulse < 1 && s < 10 && soc > 0.2 && soc < 1 && tempC > -20 && tempC <= 85 && math.IsNaN(v) {
			t.Fatal("no answer")
		}
		least, err := BrownOutSoC(p, d, tempC)
		if (err == nil) != (d.check() == nil && tempC >= -40 && tempC <= 85) || !math.IsNaN(least) && !(err == nil && least >= 0 && least <= 1) {
			t.Fatalf("browns out at %v, %v", least, err)
		}
		strict := d
		strict.LeastV = 6.3
		if sooner, err := BrownOutSoC(p, strict, tempC); err == nil && sooner < least {
			t.Fatalf("a least voltage of 6.3 V browns out at %v, of 5 V at %v", sooner, least)
		}
		if mostH > 1000*period/3600 {
			return // a thousand periods tell as much as twenty million
		}
		o, err := BrownOut(p, p.At(soc), d, tempC, mostH)
		limittest.ZeroIfRefused(t, o, err)
		if err == nil && !(o.Pulses >= 0 && o.RunH >= 0 && o.RunH <= mostH*(1+1e-6) && o.State.SoC <= soc) {
			t.Fatalf("%+v", o)
		}
		if err == nil && o.Why != battery.Weak {
			limittest.Finite(t, "outage", o)
		}
	})
}

func FuzzFull(f *testing.F) {
	f.Add(0.2, 0.0, 7.0, 0.5, 0.1, 0.05, 0.0, 20.0, 60.0, 12.0)
	f.Add(1.0, 0.1, 7.2, 1000.0, 100.0, 0.0, 1000.0, -40.0, 3600.0, 1000.0)
	f.Add(-0.2, -0.1, 0.5, 0.0, 0.0, 1000.0, 0.1, 85.0, 0.001, 0.001)
	f.Add(50.0, math.NaN(), 7000.0, -1.0, 0.0, 0.0, 0.0, 293.0, 0.0, math.Inf(1))
	p := pack(f, 1.5, 2)
	f.Fuzz(func(t *testing.T, soc, slow, setV, maxA, ohm, taperA, loadA, tempC, stepS, mostH float64) {
		if mostH*3600 > 1000*stepS && stepS >= 0.001 && mostH <= 1000 {
			return // longer, not different
		}
		plan := Plan{Charger: battery.Charger{SetV: setV, MaxA: maxA, SeriesOhm: ohm}, TaperA: taperA, LoadA: loadA, TempC: tempC, StepS: stepS, MostH: mostH}
		r, err := Full(p, battery.State{SoC: soc, SlowV: slow}, plan)
		ok := soc >= -0.2 && soc <= 1.3 && slow >= -200 && slow <= 200 && setV >= 0.5 && setV <= 200 && maxA >= 0 && maxA <= 1000 && ohm >= 0 && ohm <= 100 &&
			taperA >= 0 && taperA <= 1000 && loadA >= 0 && loadA <= 1000 && tempC >= -40 && tempC <= 85 && stepS >= 0.001 && stepS <= 3600 && mostH >= 0.001 && mostH <= 1000
		if ok != (err == nil) {
			t.Fatal(err)
		}
		limittest.ZeroIfRefused(t, r, err)
		if err != nil {
			return
		}
		limittest.Finite(t, "result", r.TotalS, r.ChargerA, r.InAh, r.InWh, r.LostAh, r.EndV, r.State)
		limittest.NumberIff(t, r.End == Tapered, "TaperS", r.TaperS)
		if r.TotalS > mostH*3600*(1+1e-9) || r.HoldS > r.TotalS || r.TaperS > r.TotalS {
			t.Fatalf("%+v", r)
		}
	})
}

func FuzzBoard(f *testing.F) {
	f.Add(3.9, 0.025, 3.805, 0.05, 2.0, 0.08, 7.0, 0.5, 0.05, 20.0, 21.6, 20.0, uint8(1))
	f.Add(5.0, 1.0, 1.0, 1.0, 1.0, 0.0, 200.0, 1000.0, 1.0, -40.0, 0.0, 200.0, uint8(5))
	f.Add(15.6, 0.0, 3.8, 0.0, 2.0, 0.0, 7.0, 0.5, 0.0, 293.0, math.NaN(), 20.0, uint8(0))
	f.Fuzz(func(t *testing.T, over, overSpread, release, releaseSpread, under, underSpread, setV, maxA, highest, tempC, noPackV, railV float64, kind uint8) {
		c := Case{Charger: battery.Charger{SetV: setV, MaxA: maxA}, HighestV: highest, TempC: tempC, NoPackV: noPackV, RailMaxV: railV}
		if cell, err := battery.TypicalCell(battery.Chemistry(kind%6), 1.5); err == nil {
			if c.Pack, err = battery.NewPack(cell, 2, 1); err != nil {
				t.Fatal(err)
			}
		}
		boards := append(Boards(), Board{OverV: over, OverSpreadV: overSpread, ReleaseV: release, ReleaseSpreadV: releaseSpread, UnderV: under, UnderSpreadV: underSpread})
		for _, b := range boards {
			v, err := b.Judge(c)
			limittest.ZeroIfRefused(t, v, err)
			if err != nil {
				continue
			}
			charged := c.Pack.Cell().Chemistry.Limits().Overcharge.Exists()
			limittest.NumberIff(t, charged, "sheet", v.SheetV, v.PastSheetV)
			limittest.Finite(t, "verdict", v.HighestCellV, v.LatestTripV, v.RestingV, v.RailV, v.RailOverV)
			limittest.NotInfinite(t, "DrainAh", v.DrainAh)
			if v.Text == "" || strings.Contains(v.Text, "NaN") || v.TripsForSure && !v.Trips || v.Releases && v.DrainAh != 0 {
				t.Fatalf("%+v", v)
			}
		}
	})
}

func FuzzMismatch(f *testing.F) {
	f.Add(5.0, 0.5, 0.02, 0.5, 100.0, 0.03, 1.0, 4, 14.0, 20.0)
	f.Add(50.0, 1.0, 1.0, 30.0, 3650.0, 10.0, 24.0, 32, 160.0, 85.0)
	f.Add(0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 1, 3.3, -40.0)
	f.Add(0.05, 50.0, 2.0, math.NaN(), -1.0, 30.0, 25.0, 0, 0.0, 293.0)
	cell := typical(f, 1.5)
	f.Fuzz(func(t *testing.T, capacity, equal, lead, leak, days, balanceA, balanceH float64, cells int, stringV, tempC float64) {
		m := Mismatch{CapacityPct: capacity, EqualSoC: equal, LeadSoC: lead, LeakPctPerMonth: leak, Days: days, BalanceA: balanceA, BalanceH: balanceH}
		l, err := m.Above(cell, cells, stringV, tempC)
		above, ahead := l.AboveV, l.AheadSoC
		limittest.Finite(t, "above", above, ahead)
		limittest.ZeroIfRefused(t, above, err)
		if err == nil && !(ahead >= 0 && cells >= 1 && cells <= 32 && (cells > 1 || math.Abs(above) < 1e-6)) {
			t.Fatalf("%d cells, %v V above, %v ahead", cells, above, ahead)
		}
	})
}

func FuzzString(f *testing.F) {
	f.Add(1.5, 1.4, 0.5, 0.52, 0.5, 7.0, 0.1, 3.6, 0.1, 60.0, 20.0)
	f.Add(0.03, 400.0, 1.3, -0.2, 0.0, 0.0, 0.0, 0.0, 0.0, 4e7, 85.0)
	f.Add(0.0, math.NaN(), 100.0, math.Inf(1), math.Inf(-1), math.NaN(), -1.0, -1.0, -1.0, 0.0, 300.0)
	f.Fuzz(func(t *testing.T, ah, otherAh, soc, otherSoC, currentA, setV, ohm, onV, drainA, dtS, tempC float64) {
		one, other := typical(t, 1.5), typical(t, 1.5)
		one.CapacityAh, other.CapacityAh = ah, otherAh
		s, err := NewString(one, other)
		holds := func(ah float64) bool { return ah >= 0.03 && ah <= 400 }
		if (err == nil) != (holds(ah) && holds(otherAh)) {
			t.Fatal(err)
		}
		limittest.ZeroIfRefused(t, s, err)
		if err != nil {
			return
		}
		if s.Len() != 2 || math.Abs(s.Cell(1).CapacityAh()-otherAh) > 1e-12*otherAh {
			t.Fatalf("%d cells, the last of %v Ah", s.Len(), s.Cell(1).CapacityAh())
		}
		rest, err := s.Settled([]float64{soc, otherSoC}, setV, tempC)
		limittest.ZeroIfRefused(t, rest, err)
		if err == nil {
			limittest.Finite(t, "settled", rest)
			if math.Abs(rest[0].CellV+rest[1].CellV-setV) > 1e-6 {
				t.Fatalf("%v are not %v V", rest, setV)
			}
		}
		b := Balancer{OnV: onV, A: drainA}
		usual := soc >= -0.2 && soc <= 1.3 && otherSoC >= -0.2 && otherSoC <= 1.3 && math.Abs(currentA) <= 1000 && math.Abs(drainA) <= 10 && !math.IsNaN(onV) &&
			dtS > 0 && dtS <= 4e7 && tempC >= -40 && tempC <= 85
		r := s.Current([]battery.State{{SoC: soc}, {SoC: otherSoC}}, make([]float64, 2), currentA, b, dtS, tempC)
		if usual {
			limittest.Finite(t, "current", r)
		}
		if !(dtS > 0) || math.IsNaN(tempC+currentA) {
			limittest.NumberIff(t, false, "current", r.StringV, r.HighestV, r.LowestV)
		}
		r = s.Charge([]battery.State{{SoC: soc}, {SoC: otherSoC}}, nil, battery.Charger{SetV: setV, MaxA: math.Abs(currentA), SeriesOhm: ohm}, b, dtS, tempC)
		if usual && setV > 0 && setV <= 200 && ohm >= 0 && ohm <= 100 {
			limittest.Finite(t, "charge", r)
			if r.CurrentA < 0 || r.CurrentA > math.Abs(currentA) {
				t.Fatalf("the charger gives %v A of %v A", r.CurrentA, currentA)
			}
		}
	})
}
