package ageing

import (
	"math"
	"slices"
	"testing"

	"github.com/stationphysics/stationphysics/internal/limit/limittest"
)

func FuzzRainflow(f *testing.F) {
	f.Add([]byte{0, 3, 1, 8, 2, 6, 0, 7, 1})
	f.Add([]byte{5})
	f.Add([]byte{255, 255, 0, 0, 255})
	f.Fuzz(func(t *testing.T, b []byte) {
		h := make([]float64, len(b))
		way := 0.0
		for i, v := range b {
			h[i] = float64(v) / 256
			if i > 0 {
				way += math.Abs(h[i] - h[i-1])
			}
		}
		var stream []Cycle
		counter := Counter{OnCycle: func(c Cycle) { stream = append(stream, c) }}
		for _, v := range h {
			counter.Add(v)
			counter.Add(math.NaN())
		}
		counter.Flush()
		cycles := Rainflow(nil, h)
		if !slices.Equal(cycles, stream) {
			t.Fatalf("%v at once, %v as a stream with gaps", cycles, stream)
		}
		limittest.Finite(t, "share", Share(cycles, 2000, 1), Share(cycles, 1, 2))
		got := 0.0
		for _, c := range cycles {
			if !(c.RangeSoC > 0) {
				t.Fatal("a cycle without a range")
			}
			got += 2 * c.Count * c.RangeSoC
		}
		if got != way {
			t.Fatalf("counted %v of %v", got, way)
		}
	})
}

func FuzzLoss(f *testing.F) {
	f.Add(10.0, 25.0, 0.5, 500.0, 1.0, 1.0, 1.5, -0.3, 3600.0, 20.0)
	f.Add(0.0, 0.0, 0.0, 0.0, 0.5, 2.0, 0.03, 0.0, 0.0, 0.1)
	f.Add(30.0, 60.0, 1.0, 20000.0, 10.0, 1.5, 40000.0, 10.0, 1e9, 50.0)
	f.Add(math.NaN(), 298.0, 50.0, -1.0, 0.0, 0.0, 0.0, math.Inf(-1), -1.0, 0.2)
	f.Add(101.0, -20.0, 0.3, 1.0, 20.0, 3.0, 2.0, -1000.0, 60.0, math.NaN())
	f.Fuzz(func(t *testing.T, years, tempC, soc, cycles, ratePerH, exponent, capacityAh, currentA, dtS, lossPct float64) {
		ok := years >= 0 && years <= 30 && tempC >= 0 && tempC <= 60 && soc >= 0 && soc <= 1
		limittest.NumberIff(t, ok, "CalendarLossPct", CalendarLossPct(years, tempC, soc))
		if ok != (CheckCalendar(years, tempC, soc) == nil) {
			t.Fatal("CheckCalendar")
		}
		ok = cycles >= 0 && cycles <= 20000 && tempC >= 15 && tempC <= 60 && ratePerH >= 0.5 && ratePerH <= 10
		limittest.NumberIff(t, ok, "CycleLossPct", CycleLossPct(cycles, tempC, ratePerH))
		if ok != (CheckCycle(cycles, tempC, ratePerH) == nil) {
			t.Fatal("CheckCycle")
		}
		one := []Cycle{{RangeSoC: 0.5, MeanSoC: 0.5, Count: 1}}
		limittest.NumberIff(t, cycles >= 1 && cycles <= 100_000 && exponent >= 1 && exponent <= 2, "Share", Share(one, cycles, exponent))

		tally, err := NewTally(capacityAh)
		if (err == nil) != (capacityAh >= 0.03 && capacityAh <= 40000) {
			t.Fatal(err)
		}
		limittest.ZeroIfRefused(t, tally, err)
		if err != nil {
			return
		}
		l := tally.Loss(1)
		calendar, cycle, total := l.CalendarPct, l.CyclePct, l.TotalPct
		limittest.NumberIff(t, false, "loss without time", calendar, cycle, total, tally.YearsTo(20))
		tally.Add(soc, tempC, currentA, dtS)
		number := func(v float64) bool { return !math.IsNaN(v) && !math.IsInf(v, 0) }
		good := number(soc) && number(tempC) && number(currentA) && number(dtS) && dtS > 0
		l = tally.Loss(years)
		calendar, cycle, total = l.CalendarPct, l.CyclePct, l.TotalPct
		left := tally.YearsTo(lossPct)
		if good && math.Abs(currentA) < 1e6 && dtS < 1e12 && dtS > 1e-6 {
			limittest.Finite(t, "tally", tally.Years(), tally.OutsideH(), tally.FullCycles())
			limittest.NumberIff(t, years >= 0 && years <= 100, "Loss", calendar, cycle, total)
			limittest.NumberIff(t, lossPct >= 0.1 && lossPct <= 50, "YearsTo", left)
			if left < 0 || left > 100 {
				t.Fatalf("%v years", left)
			}
		}
		if !number(soc) || !number(tempC) || !number(currentA) || !number(dtS) || dtS < 0 {
			limittest.NumberIff(t, false, "loss of what is no number", total, left)
		}
	})
}
