package trim

import (
	"math"
	"testing"

	"github.com/stationphysics/stationphysics/battery"
	"github.com/stationphysics/stationphysics/internal/limit/limittest"
)

func FuzzJudge(f *testing.F) {
	f.Add(1, 2, 8.4, 20.0)
	f.Add(5, 4, 5.6, -10.0)
	f.Add(3, 6, 14.4, 40.0)
	f.Add(0, 0, math.NaN(), 1e9)
	f.Fuzz(func(t *testing.T, c, cells int, setV, tempC float64) {
		v, err := Judge(battery.Chemistry(uint8(c)), cells, setV, tempC)
		ok := uint8(c) >= 1 && uint8(c) <= 5 && cells >= 1 && cells <= 32 && setV >= 0.5 && setV <= 200 && tempC >= -40 && tempC <= 85
		if ok != (err == nil) {
			t.Fatalf("%v", err)
		}
		if ok && (v.Fit == NoVerdict || v.Text == "") {
			t.Fatal("no verdict")
		}
		// Whatever stands above the limit of a known voltage is never said to fit.
		if ok && v.OverV > 1e-6 && !v.Forbids() {
			t.Fatalf("%v V a cell over and allowed: %v", v.OverV, v.Fit)
		}
	})
}

func FuzzNew(f *testing.F) {
	f.Add(uint8(1), 2, 20.0, 0.5, 0.02, 1.0, 1.0, 0.05, 0.0, 7.0)
	f.Add(uint8(3), 32, -40.0, 10.0, 1.0, 20.0, 20.0, 1.0, 1.0, 200.0)
	f.Add(uint8(2), 1, 85.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0)
	f.Add(uint8(5), 0, 293.0, math.NaN(), 2.0, -1.0, 50.0, 50.0, 400.0, math.Inf(1))
	f.Fuzz(func(t *testing.T, kind uint8, cells int, tempC, meter, digitsV, drift, charger, highestV, diodeV, setV float64) {
		s, err := New(Spec{Chemistry: battery.Chemistry(kind), Cells: cells, TempC: tempC, MeterPct: meter, MeterDigitsV: digitsV, DriftPct: drift, ChargerPct: charger, HighestCellV: highestV, DiodeTaperV: diodeV})
		// NiMH, the fifth, has no charge voltage to set.
		ok := kind >= 1 && kind <= 4 && cells >= 1 && cells <= 32 && tempC >= -40 && tempC <= 85 && meter >= 0 && meter <= 10 && digitsV >= 0 && digitsV <= 1 &&
			drift >= 0 && drift <= 20 && charger >= 0 && charger <= 20 && highestV >= 0 && highestV <= 1 && diodeV >= 0 && diodeV <= 1
		if ok != (err == nil) {
			t.Fatal(err)
		}
		limittest.ZeroIfRefused(t, s, err)
		if err != nil {
			return
		}
		limittest.Finite(t, "setting", s)
		limittest.NumberIff(t, setV > 0 && setV < 1e300, "WorstAtV", s.WorstAtV(setV))
		if s.Instruction() == "" || s.Window && !(s.LowestV <= s.SetV && s.SetV <= s.HighestV && s.WorstCellV <= s.LimitCellV+1e-9) {
			t.Fatalf("%+v", s)
		}
	})
}
