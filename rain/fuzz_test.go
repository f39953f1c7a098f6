package rain

import (
	"math"
	"testing"
	"time"

	"github.com/stationphysics/stationphysics/internal/limit/limittest"
)

func FuzzAnyBucket(f *testing.F) {
	f.Add(0.2, 0.4, 0.05, 100.0, 7.6)
	f.Add(0.01, 0.0, 0.0, 0.0, math.Inf(1))
	f.Add(2.0, 2.0, 2.0, 2000.0, 2.0)
	f.Add(20.0, math.NaN(), 50.0, -1.0, math.NaN())
	f.Fuzz(func(t *testing.T, tip, tipTime, ignore, rate, gap float64) {
		s := BucketSpec{TipMm: tip, TipTimeS: tipTime, IgnoreS: ignore}
		b, err := NewBucket(s)
		limittest.ZeroIfRefused(t, b, err)
		known, rates := err == nil, rate >= 0 && rate <= 2000
		if known && b.Spec() != s {
			t.Fatalf("%+v came back as %+v", s, b.Spec())
		}
		between, loss := b.GapS(rate), b.LossRatio(rate)
		limittest.NumberIff(t, known && rates, "LossRatio", loss)
		if math.IsNaN(between) == (known && rates) || between < 0 || loss < 0 {
			t.Fatalf("%+v at %g mm/h: %g s, loss %g", s, rate, between, loss)
		}
		// A gap that a rate makes is a gap that gives the rate back.
		if known && rate > 1e-3 && rates {
			if back := b.GapMmPerH(between); math.Abs(back-rate) > 1e-6*rate {
				t.Fatalf("%g mm/h make gaps of %g s, which are %g mm/h", rate, between, back)
			}
		}
		if depth := b.GapDepthMm(gap); math.IsNaN(depth) == (known && gap > tipTime) || depth < tip*(1-1e-12) {
			t.Fatalf("%+v: %g mm in %g s", s, depth, gap)
		}
		if r := b.GapMmPerH(gap); r < 0 {
			t.Fatalf("%g mm/h", r)
		}
		if g, err := NewGauge(b, 3600); known != (err == nil) || known != (g != nil) {
			t.Fatalf("NewGauge of %+v: %v", b, err)
		}
	})
}

func FuzzCalibrate(f *testing.F) {
	f.Add(0.02, 5e-4, 120, 3600.0, 5e-4, 118, 900.0, 5e-4, 110, 300.0)
	f.Add(1.0, 0.1, 1, 1e6, 1e-6, 10000000, 1.0, 1e-3, 50, 60.0)
	f.Add(200.0, 500.0, 0, 0.0, math.NaN(), -1, math.Inf(1), 0.0, 1, 1.0)
	f.Fuzz(func(t *testing.T, area, v1 float64, n1 int, s1, v2 float64, n2 int, s2, v3 float64, n3 int, s3 float64) {
		c, err := Calibrate(area, []Pour{{v1, n1, s1}, {v2, n2, s2}, {v3, n3, s3}})
		limittest.ZeroIfRefused(t, c, err)
		if err != nil {
			return
		}
		limittest.Finite(t, "Calibration", c)
		if c.TipErrorMm < 0 || c.TipTimeErrorS < 0 || c.ScatterMm < 0 || !(c.TipMm > 0) {
			t.Fatalf("%+v", c)
		}
	})
}

func FuzzMinutes(f *testing.F) {
	const hour, noon = int64(time.Hour), int64(43200)
	f.Add(3600.0, noon, 4*hour/5, 0.2, noon+60, hour, noon+7200, 30.0)
	f.Add(60.0, int64(-62135596800), int64(0), 1e300, int64(0), int64(math.MaxInt64), int64(1)<<40, 1.0)
	f.Add(86400.0, noon, -hour, 1e-300, noon*1000, -hour, int64(-1), 1440.0)
	f.Add(600.0, noon, int64(math.MaxInt64), math.Inf(1), int64(math.MinInt64), int64(math.MinInt64), int64(math.MaxInt64), 1.5)
	f.Add(0.0, noon, hour, math.NaN(), noon, hour, noon, 0.0)
	f.Fuzz(func(t *testing.T, spread float64, unix, span int64, depth float64, gapAt, gap, to int64, dry float64) {
		sum, n := 0.0, 0
		var total Total
		var spells []Event
		events, err := NewEvents(dry, func(e Event) { spells = append(spells, e) })
		if ok := dry >= 1 && dry <= 1440; ok != (err == nil) || ok != (events != nil) {
			t.Fatalf("NewEvents(%g): %v", dry, err)
		}
		last := time.Time{}
		m, err := NewMinutes(spread, func(x Minute) {
			if n > 0 && x.Start.Before(last.Add(time.Minute)) {
				t.Fatalf("the minute of %v after that of %v", x.Start, last)
			}
			last = x.Start
			sum += x.DepthMm
			n++
			total.Add(x)
			if events != nil {
				events.Add(x)
			}
			if r := x.RateMmPerH(); x.DepthMm < 0 || r < x.DepthMm || math.IsNaN(r) {
				t.Fatalf("%+v: %g mm/h", x, r)
			}
		})
		if ok := spread >= 60 && spread <= 86400; ok != (err == nil) {
			t.Fatalf("NewMinutes(%g): %v", spread, err)
		}
		if err != nil {
			return
		}
		at := time.Unix(unix, 0)
		tip := Closure{Kind: Tip, At: at, From: at.Add(-time.Duration(span)), DepthMm: depth}
		m.Add(tip)
		m.Missing(time.Unix(gapAt, 0), time.Unix(gapAt, 0).Add(time.Duration(gap)%(240*time.Hour)))
		m.Add(tip)
		m.Flush(at.Add(time.Hour))
		m.Flush(time.Unix(to, 0))
		if events != nil {
			events.Flush()
		}
		if total.Minutes != n || total.WetMinutes > n || math.Abs(total.DepthMm-sum) > 1e-9*sum {
			t.Fatalf("%+v of %d minutes with %g mm", total, n, sum)
		}
		if most := 2 * max(depth, 0); sum > most*(1+1e-9) {
			t.Fatalf("%g mm of %g mm", sum, most)
		}
		wet := 0
		for _, e := range spells {
			wet += e.WetMinutes
			if e.End.Before(e.Start) {
				t.Fatalf("an event from %v to %v", e.Start, e.End)
			}
		}
		if events != nil && wet != total.WetMinutes {
			t.Fatalf("%d wet minutes, %d of them in events", total.WetMinutes, wet)
		}
	})
}

func FuzzRaining(f *testing.F) {
	f.Add(int64(0), int64(6e9), 100.0)
	f.Add(int64(math.MaxInt64), int64(math.MinInt64), 0.0)
	f.Add(int64(math.MinInt64), int64(math.MaxInt64), math.NaN())
	f.Fuzz(func(t *testing.T, tip, now int64, light float64) {
		g := gauge(t, BucketSpec{TipMm: 0.2, TipTimeS: 0.4, IgnoreS: 0.05})
		if g.Raining(time.Unix(0, now), light) {
			t.Fatal("rain without a tip")
		}
		if _, err := g.Closure(time.Unix(0, tip), Unknown()); err != nil {
			t.Fatal(err)
		}
		since := float64(now)/1e9 - float64(tip)/1e9
		if g.Raining(time.Unix(0, now), light) && !(since >= -1e-3 && light >= 0 && light <= 2000) {
			t.Fatalf("rain of %g mm/h %g s after a tip", light, since)
		}
	})
}
