package wiring

import (
	"math"
	"testing"

	"github.com/stationphysics/stationphysics/internal/limit/limittest"
)

// Refused or finite, and no panic.

func FuzzFuse(f *testing.F) {
	f.Add(2.0, 0.75, -20.0, 1.1, 60.0, 0.9, 5.0, 32.0, 1000.0, 25.0, 30.0, 1.5, 1000.0, 40.0)
	f.Add(0.001, 0.3, -60.0, 2.0, 150.0, 0.01, 0.0, 1.0, 1.0, 150.0, 0.0, 0.0, 100.0, 0.0)
	f.Add(100.0, 1.0, 0.0, 1.0, 0.0, 1.0, 1e6, 1000.0, 1e5, -60.0, 1e5, 1e6, 100000.0, 1000.0)
	f.Add(math.NaN(), 75.0, 100.0, -1.0, -100.0, 50.0, -1.0, 0.0, 0.0, 300.0, math.Inf(1), -1.0, 0.0, math.NaN())
	f.Fuzz(func(t *testing.T, rated, share, c1, r1, c2, r2, melt, volts, breaking, ambientC, faultA, pulse, count, clampV float64) {
		u, err := NewFuse(FuseSpec{RatedA: rated, ContinuousFrac: share, Rerating: []ReratePoint{{c1, r1}, {c2, r2}}, MeltA2S: melt, RatedV: volts, BreakingA: breaking})
		limittest.ZeroIfRefused(t, u.ContinuousA(25) > 0, err)
		between := ambientC >= c1 && ambientC <= c2
		limittest.NumberIff(t, err == nil && between, "rerating", u.RerateRatio(ambientC), u.ContinuousA(ambientC))
		melts := err == nil && melt > 0 && faultA >= 10*rated && faultA <= breaking
		limittest.NumberIff(t, melts, "MeltS", u.MeltS(faultA))
		if !(clampV > 1e300) {
			limittest.NumberIff(t, melts && clampV > 0, "ClampJ", u.ClampJ(clampV, faultA))
		}
		counts := count >= 100 && count <= 100000
		limittest.NumberIff(t, counts, "PulseFrac", PulseFrac(count))
		survives, known := u.Survives(pulse, count)
		if known && !(err == nil && melt > 0 && counts) || survives && !known {
			t.Fatalf("survives %v, known %v", survives, known)
		}
		if a := NeededRatingA(faultA, share, r1); faultA < 1e9 && share > 1e-9 && r1 > 1e-9 {
			limittest.NumberIff(t, faultA >= 0, "NeededRatingA", a)
		} else if !(faultA >= 0 && share > 0 && r1 > 0) {
			limittest.NumberIff(t, false, "NeededRatingA", a)
		}
	})
}

func FuzzWire(f *testing.F) {
	f.Add(24, 0.2, 0.75, uint8(5), 5.0, 20.0, 0.05, 0.5, 0.1, 0.5)
	f.Add(-3, 0.001, 0.5, uint8(1), 0.0, -60.0, 0.0, 0.0, 0.0, 0.1)
	f.Add(40, 500.0, 50.0, uint8(2), 1e6, 200.0, 1e6, 1e6, 1e6, 10.0)
	f.Add(24, 0.2, 0.7, uint8(1), 5.0, 20.0, 0.05, 0.5, 0.1, 0.5)
	f.Add(99, math.NaN(), 0.7, uint8(9), -1.0, 300.0, math.Inf(1), math.NaN(), -1.0, 0.0)
	f.Fuzz(func(t *testing.T, gauge int, area, nominal float64, class uint8, length, tempC, contact, a, dropV, diameter float64) {
		awg, err := AWG(gauge)
		if (err == nil) != (gauge >= -3 && gauge <= 40) {
			t.Fatal(err)
		}
		limittest.ZeroIfRefused(t, awg, err)
		copper, cerr := Copper(area)
		if (cerr == nil) != (area >= 0.001 && area <= 500) {
			t.Fatal(cerr)
		}
		limittest.ZeroIfRefused(t, copper, cerr)
		iec, ierr := IEC(nominal, Class(class))
		limittest.ZeroIfRefused(t, iec, ierr)
		holds := length >= 0 && length < 1e6 && tempC >= -60 && tempC <= 200 && contact >= 0 && contact < 1e6
		for _, c := range []struct {
			wire Conductor
			ok   bool
		}{{awg, err == nil}, {copper, cerr == nil}, {iec, ierr == nil}} {
			if c.ok {
				limittest.Finite(t, "size", c.wire.AreaMm2(), c.wire.DiameterMm())
			}
			limittest.NumberIff(t, c.ok && tempC >= -60 && tempC <= 200, "OhmPerM", c.wire.OhmPerM(tempC))
			r := Run{Wire: c.wire, LengthM: length, TempC: tempC, ContactOhm: contact}
			limittest.NumberIff(t, c.ok && holds, "LoopOhm", r.LoopOhm())
			if math.Abs(a) < 1e100 {
				limittest.NumberIff(t, c.ok && holds, "run", r.DropV(a), r.LossW(a))
			}
		}
		mm2 := SmallestIEC(Class(class), Run{LengthM: length, TempC: tempC, ContactOhm: contact}, a, dropV)
		if !math.IsNaN(mm2) {
			c, err := IEC(mm2, Class(class))
			if err != nil || !holds {
				t.Fatalf("%v mm², %v", mm2, err)
			}
			if v := (Run{Wire: c, LengthM: length, TempC: tempC, ContactOhm: contact}).DropV(a); !(math.Abs(v) <= dropV*(1+1e-9)) {
				t.Fatalf("%v mm² lose %v V, not %v V", mm2, v, dropV)
			}
		}
		h := StraightWireHenry(length, diameter)
		limittest.NotInfinite(t, "StraightWireHenry", h)
		if length > 0 && length < 1e5 && diameter > 1e-6 && length*1000 > 10.001*diameter {
			limittest.Finite(t, "StraightWireHenry", h)
		}
		if !(length*1000 > 9.999*diameter) {
			limittest.NumberIff(t, false, "StraightWireHenry", h)
		}
	})
}

func FuzzPulses(f *testing.F) {
	f.Add(uint8(0), 10.0, 0.001, 12.0, 0.0, 0.1, 1e-6, 1e-5, 3.8, 0.5, 2.0, 0.577e-3, 4.615e-3, 3.3)
	f.Add(uint8(3), 0.0, 0.0, 0.1, 0.1, 1e-6, 1e-10, 1e-12, 0.1, 0.0, 0.0, 0.0, 0.0, 0.0)
	f.Add(uint8(2), 1e5, 1e5, 200.0, 0.0, 1000.0, 1.0, 1.0, 200.0, 1e9, 100.0, 1e5, 1e9, 199.0)
	f.Add(uint8(9), math.NaN(), -1.0, 0.0, 1.0, 0.0, 33.0, 100.0, 0.0, -1.0, math.Inf(1), -1.0, 1.0, math.NaN())
	f.Add(uint8(1), 1.0, 1.0, 5.0, 5.0, 1.0, 1e-6, 1e-3, 5.0, math.Inf(1), 0.1, 1.0, math.Inf(1), 4.0)
	f.Fuzz(func(t *testing.T, wave uint8, peakA, durationS, sourceV, initialV, loopOhm, henry, farad, v, ohm, burstA, burstS, periodS, lowestV float64) {
		if i2t := PulseA2S(Waveform(wave), peakA, durationS); math.Abs(peakA) < 1e100 && durationS < 1e100 || math.IsNaN(peakA+durationS) {
			limittest.NumberIff(t, wave <= 3 && durationS >= 0 && !math.IsNaN(peakA), "PulseA2S", i2t)
		}
		h := HotPlug{SourceV: sourceV, InitialV: initialV, LoopOhm: loopOhm, LoopHenry: henry, CapacitorFarad: farad}
		ok := sourceV >= 0.1 && sourceV <= 200 && initialV >= 0 && initialV <= sourceV && loopOhm >= 1e-6 && loopOhm <= 1000 && henry >= 1e-10 && henry <= 1 && farad >= 1e-12 && farad <= 1
		if ok != (h.Check() == nil) {
			t.Fatal(h.Check())
		}
		limittest.NumberIff(t, ok, "hot plug", h.DampingRatio(), h.PeakV(), h.PeakA(), h.SeriesOhm())
		if ok && !(h.PeakV() >= sourceV && h.PeakV() <= 2*sourceV-initialV+1e-9 && h.PeakA() >= 0) {
			t.Fatalf("%v V, %v A", h.PeakV(), h.PeakA())
		}
		u := HoldUp{CapacitorFarad: farad, EsrOhm: loopOhm, SourceV: v, SourceOhm: ohm, BurstA: burstA, BurstS: burstS, PeriodS: periodS}
		low := u.LowestV()
		limittest.NotInfinite(t, "LowestV", low)
		if u.Check() != nil {
			limittest.NumberIff(t, false, "LowestV", low)
		}
		need := u.NeededFarad(lowestV)
		limittest.NotInfinite(t, "NeededFarad", need)
		if need < 0 || need > 1000 {
			t.Fatalf("%v F", need)
		}
		if need > 0 {
			u.CapacitorFarad = min(need*(1+1e-6), 1000)
			if got := u.LowestV(); !(got >= lowestV-1e-6*(1+math.Abs(lowestV))) {
				t.Fatalf("%v F hold %v V, not %v V", need, got, lowestV)
			}
		}
	})
}
