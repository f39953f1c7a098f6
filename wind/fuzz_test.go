package wind

import (
	"math"
	"testing"

	"github.com/stationphysics/stationphysics/internal/limit/limittest"
)

func FuzzCup(f *testing.F) {
	f.Add(0.3, 0.7, 12.0, 12, 10.0, 0.01, 0.5, 1.1)
	f.Add(-1.0, 0.01, 10000.0, 0, 1e-3, 0.0, 5.0, 0.5)
	f.Add(3.0, 10.0, 0.0, math.MaxInt, 86400.0, math.Inf(1), 0.0, 1.7)
	f.Add(30.0, 0.0, -1.0, -1, math.NaN(), -1.0, math.NaN(), 1225.0)
	f.Fuzz(func(t *testing.T, offset, slope, hz float64, pulses int, windowS, ignoreS, start, density float64) {
		c, err := NewCup(offset, slope)
		limittest.ZeroIfRefused(t, c, err)
		if ok := offset >= -1 && offset <= 3 && slope >= 0.01 && slope <= 10; ok != (err == nil) {
			t.Fatalf("NewCup(%g, %g): %v", offset, slope, err)
		}
		limittest.NumberIff(t, start >= 0 && start <= 5 && density >= 0.5 && density <= 1.7, "StartMPerS", StartMPerS(start, density))
		known, window := err == nil, windowS >= 1e-3 && windowS <= 86400
		speed := c.SpeedMPerS(hz)
		limittest.NumberIff(t, known && hz >= 0 && hz <= 10000, "SpeedMPerS", speed)
		counted := c.CountMPerS(pulses, windowS)
		limittest.NumberIff(t, known && window && pulses >= 0 && float64(pulses)/windowS <= 10000, "CountMPerS", counted)
		timed := c.PeriodMPerS(pulses, windowS)
		limittest.NumberIff(t, known && pulses >= 2 && windowS > 0 && float64(pulses-1)/windowS <= 10000, "PeriodMPerS", timed)
		limittest.NumberIff(t, known && window, "QuantumMPerS", c.QuantumMPerS(windowS))
		if speed < 0 || counted < 0 || timed < 0 {
			t.Fatalf("%g, %g, %g m/s", speed, counted, timed)
		}
		if most := c.LargestMPerS(ignoreS); math.IsNaN(most) == (known && ignoreS >= 0) || most < offset {
			t.Fatalf("LargestMPerS(%g) = %g", ignoreS, most)
		}
	})
}

func FuzzDirections(f *testing.F) {
	f.Add(5.0, 350.0, 6.0, 10.0, 4.0, 30.0, 7.0)
	f.Add(5.0, 90.0, 5.0, 270.0, 0.0, 0.0, 0.0)
	f.Add(110.0, 360.0, 1e-300, 0.0, 0.0, 180.0, 180.0)
	f.Add(math.NaN(), 400.0, -1.0, math.Inf(1), 500.0, math.NaN(), -3.0)
	f.Fuzz(func(t *testing.T, v1, d1, v2, d2, v3, d3, quarter float64) {
		speeds, directions := []float64{v1, v2, v3}, []float64{d1, d2, d3}
		var v Vector
		var s ScalarDirection
		taken, turned := 0, 0
		for i := range speeds {
			if v.Add(speeds[i], directions[i]) {
				taken++
			}
			if s.Add(directions[i]) {
				turned++
			}
		}
		limittest.NumberIff(t, taken > 0, "vector", v.ScalarMPerS(), v.SpeedMPerS(), v.SigmaDeg())
		limittest.NumberIff(t, turned > 0, "MeanDeg", s.MeanDeg())
		if v.N() != taken || v.SpeedMPerS() > v.ScalarMPerS()*(1+1e-9) || v.SigmaDeg() < 0 || v.SigmaDeg() > 104 {
			t.Fatalf("%d samples: %g m/s of %g m/s, %g° of scatter", v.N(), v.SpeedMPerS(), v.ScalarMPerS(), v.SigmaDeg())
		}
		for _, mean := range []func() (float64, bool){v.DirectionDeg, v.UnitDirectionDeg} {
			d, ok := mean()
			limittest.NumberIff(t, ok, "direction", d)
			if ok && !(d >= 0 && d < 360) {
				t.Fatalf("a direction of %g°", d)
			}
		}
		if m := s.MeanDeg(); turned > 0 && !(m >= 0 && m < 360) {
			t.Fatalf("a mean of %g°", m)
		}
		hour := HourlySigmaDeg([4]float64{quarter, quarter, 0, quarter})
		limittest.NumberIff(t, quarter >= 0 && quarter <= 180, "HourlySigmaDeg", hour)
		if hour > quarter {
			t.Fatalf("%g° from quarters of %g°", hour, quarter)
		}
		p, err := NewPeriod(PeriodSpec{SampleS: 0.25, LengthS: 3, MinFrac: 0.25})
		if err != nil {
			t.Fatal(err)
		}
		r := p.ReportOf(speeds, directions)
		if r.PresentCount > 3 || r.Valid != !math.IsNaN(r.MeanMPerS) {
			t.Fatalf("%+v", r)
		}
		if quiet := p.ReportOf(speeds, nil); quiet.DirectionOK || quiet.PresentCount != r.PresentCount {
			t.Fatalf("without directions %+v", quiet)
		}
	})
}

func FuzzAnyPeriod(f *testing.F) {
	f.Add(0.25, 600.0, 0.0, 0.5, 0.5)
	f.Add(0.001, 86400.0, 1.0, 3.0, 5.0)
	f.Add(0.2501, 2.0, 66.0, -1.0, math.NaN())
	f.Fuzz(func(t *testing.T, sample, length, share, calm, vane float64) {
		s := PeriodSpec{SampleS: sample, LengthS: length, MinFrac: share, CalmMPerS: calm, VaneMPerS: vane}
		p, err := NewPeriod(s)
		ok := sample >= 0.001 && sample <= 0.25 && length >= 3 && length <= 86400 && (share == 0 || share >= 0.01 && share <= 1) &&
			calm >= 0 && calm <= 3 && vane >= 0 && vane <= 5
		if ok != (err == nil) || ok != (p != nil) {
			t.Fatalf("%+v: %v", s, err)
		}
		if !ok {
			return
		}
		empty := p.Report()
		if empty.Valid || empty.ExpectedCount < 12 || empty.GustAt != -1 {
			t.Fatalf("%+v of nothing: %+v", s, empty)
		}
		p.Add(1, 10)
		p.Reset()
		if r := p.Report(); r.PresentCount != 0 {
			t.Fatalf("%+v after a reset: %+v", s, r)
		}
	})
}

func FuzzDiscontinuity(f *testing.F) {
	f.Add(3.0, 200.0, 12.0, 290.0, uint8(8))
	f.Add(0.0, 0.0, 110.0, 360.0, uint8(0))
	f.Add(math.NaN(), 10.0, 20.0, math.NaN(), uint8(20))
	f.Fuzz(func(t *testing.T, v1, d1, v2, d2 float64, at uint8) {
		minutes := make([]Minute, 20)
		for i := range minutes {
			minutes[i] = Minute{SpeedMPerS: v1, DirectionDeg: d1}
			if i >= int(at) {
				minutes[i] = Minute{SpeedMPerS: v2, DirectionDeg: d2}
			}
		}
		from, found := Discontinuity(minutes)
		if from < 0 || from > len(minutes) {
			t.Fatalf("minute %d of %d, found: %v", from, len(minutes), found)
		}
		if near := from >= int(at)-1 && from <= int(at)+1; found && !near {
			t.Fatalf("the wind changes at minute %d, found at %d", at, from)
		}
	})
}

func FuzzExpose(f *testing.F) {
	f.Add(120.0, 6.0)
	f.Add(0.0, 0.1)
	f.Add(10000.0, 500.0)
	f.Add(math.NaN(), 0.0)
	f.Fuzz(func(t *testing.T, distance, obstacle float64) {
		e, err := Expose(distance, obstacle)
		limittest.ZeroIfRefused(t, e, err)
		if ok := distance >= 0 && distance <= 10000 && obstacle >= 0.1 && obstacle <= 500; ok != (err == nil) || ok != (e.Class >= 1 && e.Class <= 5) {
			t.Fatalf("Expose(%g, %g) = %+v, %v", distance, obstacle, e, err)
		}
		limittest.Finite(t, "HeightsRatio", e.HeightsRatio)
	})
}
