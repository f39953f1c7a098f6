package rain

import (
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"github.com/stationphysics/stationphysics"
	"github.com/stationphysics/stationphysics/internal/refdata"
)

func bucket(t testing.TB, s BucketSpec) Bucket {
	t.Helper()
	b, err := NewBucket(s)
	require.NoError(t, err)
	return b
}

func TestLossAndGap(t *testing.T) {
	refdata.Each(t, "rain/loss", func(r *refdata.Row) {
		b := bucket(t, BucketSpec{TipMm: r.F("tipMm"), TipTimeS: r.F("tipTimeS")})
		rate := r.F("rateMmPerH")
		r.Check("lossPct", 100*b.LossRatio(rate), fmt.Sprintf("100 LossRatio(%g)", rate))
	})
	refdata.Each(t, "rain/gap", func(r *refdata.Row) {
		b := bucket(t, BucketSpec{TipMm: r.F("tipMm"), TipTimeS: r.F("tipTimeS")})
		rate := r.F("rateMmPerH")
		r.Check("gapS", b.GapS(rate), fmt.Sprintf("GapS(%g)", rate))
	})
}

// What rains is what is found: intensity to gap and back, and depth per gap is
// intensity times gap.
func TestGapRoundTrip(t *testing.T) {
	b := bucket(t, BucketSpec{TipMm: 0.2, TipTimeS: 0.4})
	for _, r := range []float64{0.1, 3, 40, 180, 600} {
		gap := b.GapS(r)
		require.InEpsilon(t, r, b.GapMmPerH(gap), 1e-12)
		require.InEpsilon(t, r*gap/3600, b.GapDepthMm(gap), 1e-12)
		// The indicated intensity d/gap, corrected by its loss ratio to first
		// order, falls short of the true one by the second order.
		indicated := b.Spec().TipMm / gap * 3600
		loss := b.LossRatio(indicated)
		require.InDelta(t, r, indicated*(1+loss), r*1.2*loss*loss+1e-9)
	}
	require.Equal(t, 0.2, b.GapDepthMm(math.Inf(1)))
	require.True(t, math.IsInf(b.GapS(0), 1))
	var none Bucket
	for _, v := range []float64{b.GapS(-1), b.GapS(2001), b.LossRatio(-1), b.GapDepthMm(0.4), b.GapDepthMm(-1), b.GapMmPerH(0.4), b.GapMmPerH(math.NaN()),
		none.GapS(1), none.LossRatio(1), none.GapDepthMm(10), none.GapMmPerH(10)} {
		require.True(t, math.IsNaN(v))
	}
}

func TestBucketRefuses(t *testing.T) {
	var re *stationphysics.RangeError
	for _, s := range []BucketSpec{{TipMm: 0}, {TipMm: 3}, {TipMm: 0.2, TipTimeS: 450}, {TipMm: 0.2, IgnoreS: 100}, {TipMm: math.NaN()}} {
		_, err := NewBucket(s)
		require.True(t, errors.As(err, &re), "%+v", s)
	}
	_, err := NewBucket(BucketSpec{TipMm: 0.2, TipTimeS: 450})
	require.ErrorContains(t, err, "milliseconds?")
	_, err = NewBucket(BucketSpec{TipMm: 0.1, IgnoreS: 1.5})
	var ce *stationphysics.ConflictError
	require.True(t, errors.As(err, &ce))
	require.ErrorContains(t, err, "closures of real rain must not be ignored")
}

// Pours made by a bucket of known tip and loss give both back.
func TestCalibrateGivesTheBucketBack(t *testing.T) {
	const d, tip, area = 0.2, 0.4, 0.02
	var pours []Pour
	for _, r := range []float64{20, 60, 120, 200} {
		perTip := d + tip*r/3600
		pours = append(pours, Pour{VolumeM3: 0.1, Tips: int(0.1 / area * 1000 / perTip), DurationS: 0.1 / area * 1000 / r * 3600})
	}
	c, err := Calibrate(area, pours)
	require.NoError(t, err)
	// Whole tips out of some 20000: 1/20000 relative.
	require.InEpsilon(t, d, c.TipMm, 2e-4)
	require.InEpsilon(t, tip, c.TipTimeS, 5e-3)
	require.Less(t, c.TipErrorMm, 1e-4)
	require.Less(t, c.ScatterMm, 1e-4)
}

func TestCalibrateRefuses(t *testing.T) {
	good := []Pour{{5e-4, 118, 2400}, {5e-4, 116, 1200}, {5e-4, 112, 500}}
	_, err := Calibrate(0.02, good)
	require.NoError(t, err)
	var re *stationphysics.RangeError
	var ce *stationphysics.ConflictError
	_, err = Calibrate(200, good)
	require.True(t, errors.As(err, &re))
	require.Equal(t, "square centimetres", re.Slip)
	_, err = Calibrate(0.02, good[:2])
	require.True(t, errors.As(err, &re))
	_, err = Calibrate(0.02, []Pour{{500, 118, 2400}, good[1], good[2]})
	require.True(t, errors.As(err, &re))
	require.Equal(t, "millilitres", re.Slip)
	_, err = Calibrate(0.02, []Pour{{5e-4, 0, 2400}, good[1], good[2]})
	require.True(t, errors.As(err, &re))
	_, err = Calibrate(0.02, []Pour{{5e-4, 118, 0}, good[1], good[2]})
	require.True(t, errors.As(err, &re))
	_, err = Calibrate(0.02, []Pour{good[0], good[0], good[0]})
	require.True(t, errors.As(err, &ce))
}

var noon = time.Date(2026, 5, 3, 12, 0, 0, 0, time.UTC)

func at(s float64) time.Time { return noon.Add(time.Duration(s * float64(time.Second))) }

func gauge(t testing.TB, s BucketSpec) *Gauge {
	t.Helper()
	g, err := NewGauge(bucket(t, s), 3600)
	require.NoError(t, err)
	return g
}

func closure(t testing.TB, g *Gauge, s float64, c Conditions) Closure {
	t.Helper()
	out, err := g.Closure(at(s), c)
	require.NoError(t, err)
	return out
}

func TestBounceIsCountedFromTheLastEdge(t *testing.T) {
	g := gauge(t, BucketSpec{TipMm: 0.2, TipTimeS: 0.4, IgnoreS: 0.1})
	require.Equal(t, Tip, closure(t, g, 0, Unknown()).Kind)
	for _, s := range []float64{0.02, 0.09, 0.15, 0.24} { // each within 0.1 s of the one before
		require.Equal(t, Bounce, closure(t, g, s, Unknown()).Kind, "%g s", s)
	}
	c := closure(t, g, 30, Unknown())
	require.Equal(t, Tip, c.Kind)
	require.Equal(t, at(0), c.From)
	require.InDelta(t, 0.2*30/(30-0.4), c.DepthMm, 1e-12)
	require.InDelta(t, 0.2/29.6*3600, c.RateMmPerH, 1e-12)
	require.Zero(t, c.Doubt)
	_, err := g.Closure(at(29), Unknown())
	require.ErrorIs(t, err, ErrOrder)
	require.Equal(t, Tip, closure(t, g, 60, Unknown()).Kind, "the refused one left no trace")
}

func TestFirstTipAndDrySpell(t *testing.T) {
	g := gauge(t, BucketSpec{TipMm: 0.2, TipTimeS: 0.4})
	c := closure(t, g, 0, Unknown())
	require.Equal(t, at(-3600), c.From)
	require.True(t, math.IsNaN(c.RateMmPerH))
	require.Equal(t, 0.2, c.DepthMm)
	c = closure(t, g, 3600, Unknown())
	require.Equal(t, at(0), c.From)
	require.False(t, math.IsNaN(c.RateMmPerH))
	c = closure(t, g, 3600+3601, Unknown())
	require.Equal(t, at(3601), c.From, "an hour before, not the tip before")
	require.True(t, math.IsNaN(c.RateMmPerH))
}

func TestDoubts(t *testing.T) {
	g := gauge(t, BucketSpec{TipMm: 0.2, TipTimeS: 0.4, IgnoreS: 0.05})
	require.Equal(t, Melt, closure(t, g, 0, Conditions{-0.5, 2}).Doubt)
	require.Zero(t, closure(t, g, 600, Conditions{0, 2}).Doubt)
	require.Equal(t, TooFast, closure(t, g, 601, Conditions{5, 2}).Doubt, "0.2 mm in a second is 1200 mm/h")
	c := closure(t, g, 601.3, Conditions{5, 2})
	require.Equal(t, TooFast, c.Doubt, "faster than the bucket itself")
	require.Equal(t, 0.2, c.DepthMm)
	require.True(t, math.IsInf(c.RateMmPerH, 1))
	require.Equal(t, Shaken, closure(t, g, 9000, Conditions{5, 15}).Doubt)
	require.Zero(t, closure(t, g, 9060, Conditions{5, 25}).Doubt, "with rain around a gust proves nothing")
	require.Equal(t, Melt|Shaken, closure(t, g, 20000, Conditions{-3, 25}).Doubt)
	// 600 mm/h is a tip in 1.2 s and the tip's own 0.4 s.
	g = gauge(t, BucketSpec{TipMm: 0.2, TipTimeS: 0.4})
	closure(t, g, 0, Unknown())
	require.Zero(t, closure(t, g, 1.601, Unknown()).Doubt)
	require.Equal(t, TooFast, closure(t, g, 1.601+1.599, Unknown()).Doubt)
}

func TestRaining(t *testing.T) {
	g := gauge(t, BucketSpec{TipMm: 0.2})
	require.False(t, g.Raining(noon, 0.5))
	closure(t, g, 0, Unknown())
	// 0.5 mm/h tips 0.2 mm every 1440 s.
	require.True(t, g.Raining(at(1440), 0.5))
	require.False(t, g.Raining(at(1441), 0.5))
	require.False(t, g.Raining(at(-1), 0.5))
}

func TestGaugeRefuses(t *testing.T) {
	_, err := NewGauge(Bucket{}, 3600)
	require.Error(t, err)
	_, err = NewGauge(bucket(t, BucketSpec{TipMm: 0.2}), 30)
	require.Error(t, err)
	_, err = NewMinutes(30, nil)
	require.Error(t, err)
	_, err = NewEvents(0, nil)
	require.Error(t, err)
}

// collect runs closures through gauge and minutes.
func collect(t testing.TB, spec BucketSpec, times []float64, until float64) []Minute {
	t.Helper()
	g := gauge(t, spec)
	var out []Minute
	m, err := NewMinutes(3600, func(x Minute) { out = append(out, x) })
	require.NoError(t, err)
	for _, s := range times {
		m.Add(closure(t, g, s, Unknown()))
	}
	m.Flush(at(until))
	return out
}

func TestTipsAreSpreadOverTheGapBefore(t *testing.T) {
	out := collect(t, BucketSpec{TipMm: 0.2}, []float64{0, 90, 450}, 600)
	by := map[time.Time]float64{}
	sum := 0.0
	for i, m := range out {
		by[m.Start] = m.DepthMm
		sum += m.DepthMm
		if i > 0 {
			require.Equal(t, time.Minute, m.Start.Sub(out[i-1].Start), "each minute once, in order")
		}
	}
	require.InDelta(t, 0.6, sum, 1e-12, "nothing is lost")
	require.InDelta(t, 0.2*60/90, by[at(0)], 1e-12)
	require.InDelta(t, 0.2*30/90+0.2*30/360, by[at(60)], 1e-12)
	for _, s := range []float64{120, 180, 240, 300, 360} {
		require.InDelta(t, 0.2*60/360, by[at(s)], 1e-12)
	}
	require.InDelta(t, 0.2*30/360, by[at(420)], 1e-12)
	require.Zero(t, by[at(480)])
	require.InDelta(t, 0.2*60/3600, by[at(-60)], 1e-12, "the first tip over an hour before")
}

// The depth of all minutes is that of all tips, however they come, and feeding
// them in pieces changes nothing.
func TestMinutesConserveDepth(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 6))
	var times []float64
	s := 0.0
	for range 2000 {
		s += -math.Log(1-rng.Float64()) * 400
		if rng.Float64() < 0.01 {
			s += 20000
		}
		times = append(times, s)
	}
	spec := BucketSpec{TipMm: 0.2, TipTimeS: 0.4, IgnoreS: 0.05}
	g := gauge(t, spec)
	want := 0.0
	for _, x := range times {
		want += closure(t, g, x, Unknown()).DepthMm
	}
	out := collect(t, spec, times, s+7200)
	got := 0.0
	for i, m := range out {
		got += m.DepthMm
		if i > 0 {
			require.Equal(t, time.Minute, m.Start.Sub(out[i-1].Start))
		}
	}
	require.InEpsilon(t, want, got, 1e-12)
}

func TestMissingMakesAtLeast(t *testing.T) {
	var out []Minute
	m, err := NewMinutes(3600, func(x Minute) { out = append(out, x) })
	require.NoError(t, err)
	m.Missing(at(30), at(30)) // nothing
	m.Missing(at(30), at(130))
	m.Add(Closure{Kind: Tip, From: at(300), At: at(360), DepthMm: 0.2})
	m.Add(Closure{Kind: Bounce, From: at(300), At: at(360), DepthMm: 0.2})
	m.Flush(at(500))
	require.Len(t, out, 8)
	for i, x := range out {
		require.Equal(t, i < 3, x.AtLeast, "minute %d", i)
	}
	var total Total
	for _, x := range out {
		total.Add(x)
	}
	require.True(t, total.AtLeast)
	require.Equal(t, 8, total.Minutes)
	require.Equal(t, 1, total.WetMinutes)
	require.InDelta(t, 0.2, total.DepthMm, 1e-12)
	require.InDelta(t, 12, total.PeakMmPerH, 1e-9)
	require.Equal(t, at(300), total.PeakAt)

	// A gap longer than the memory is marked whole.
	out = nil
	m.Missing(at(1000), at(1000+86400))
	m.Flush(at(1000 + 86400))
	missing := 0
	for _, x := range out {
		if x.AtLeast {
			missing++
		}
	}
	require.Equal(t, 1440, missing) // minutes 16 to 1456 hold it, both ends cut
}

// A clock that jumps by decades must not cost a minute's work a minute.
func TestMinutesSurviveAClockJump(t *testing.T) {
	n := 0
	m, err := NewMinutes(3600, func(Minute) { n++ })
	require.NoError(t, err)
	old := time.Date(1970, 1, 1, 0, 0, 0, 0, time.UTC)
	m.Add(Closure{Kind: Tip, From: old, At: old.Add(time.Minute), DepthMm: 0.2})
	m.Add(Closure{Kind: Tip, From: noon.Add(-time.Minute), At: noon, DepthMm: 0.2})
	require.Less(t, n, 100)
	m.Missing(old, noon.Add(time.Hour))
	require.Less(t, n, 600000)
	m.Flush(noon.Add(2 * time.Hour))
	require.Equal(t, noon.Add(2*time.Hour), m.start())
	// Nor may a series that is ended in the far future, or a tip that began in the
	// far past; its water is there, in the oldest minute.
	n = 0
	m.Flush(time.Unix(1<<50, 0))
	require.Equal(t, len(m.ring), n)
	sum := 0.0
	m, err = NewMinutes(3600, func(x Minute) { sum += x.DepthMm })
	require.NoError(t, err)
	m.Add(Closure{Kind: Tip, From: time.Unix(-1<<50, 0), At: noon, DepthMm: 0.2})
	m.Add(Closure{Kind: Tip, From: noon.Add(-time.Minute), At: noon, DepthMm: math.Inf(1)})
	m.Flush(noon.Add(time.Hour))
	require.InDelta(t, 0.2, sum, 1e-12)
}

func TestEvents(t *testing.T) {
	var events []Event
	e, err := NewEvents(30, func(x Event) { events = append(events, x) })
	require.NoError(t, err)
	minute := func(i int, d float64) { e.Add(Minute{Start: at(float64(i) * 60), DepthMm: d}) }
	for i := range 200 {
		switch {
		case i >= 10 && i < 20, i == 45, i >= 120 && i < 125:
			minute(i, 0.1)
		default:
			minute(i, 0)
		}
	}
	e.Flush()
	require.Len(t, events, 2)
	require.Equal(t, at(600), events[0].Start)
	require.Equal(t, at(46*60), events[0].End, "25 dry minutes do not end it")
	require.InDelta(t, 1.1, events[0].DepthMm, 1e-12)
	require.Equal(t, 36, events[0].Minutes, "dry minutes within count, those after do not")
	require.Equal(t, 11, events[0].WetMinutes)
	require.Equal(t, at(7200), events[1].Start)
	require.InDelta(t, 0.5, events[1].DepthMm, 1e-12)
	e.Flush()
	require.Len(t, events, 2)
}

func TestNothingAllocates(t *testing.T) {
	g := gauge(t, BucketSpec{TipMm: 0.2, TipTimeS: 0.4, IgnoreS: 0.05})
	var total Total
	m, err := NewMinutes(3600, func(x Minute) { total.Add(x) })
	require.NoError(t, err)
	s := 0.0
	require.Zero(t, testing.AllocsPerRun(100, func() {
		s += 45
		c, _ := g.Closure(at(s), Unknown())
		m.Add(c)
	}))
}

func FuzzGauge(f *testing.F) {
	f.Add(int64(0), int64(1e9), int64(2e9), 5.0)
	f.Add(int64(5), int64(1), int64(math.MaxInt64), math.NaN())
	f.Fuzz(func(t *testing.T, a, b, c int64, air float64) {
		g := gauge(t, BucketSpec{TipMm: 0.2, TipTimeS: 0.4, IgnoreS: 0.05})
		sum := 0.0
		m, err := NewMinutes(600, func(x Minute) { sum += x.DepthMm })
		require.NoError(t, err)
		last := time.Unix(0, 0)
		want := 0.0
		for _, ns := range []int64{a, b, c} {
			x, err := g.Closure(time.Unix(0, ns), Conditions{AirC: air})
			require.Equal(t, err != nil, x.Kind == Refused)
			if x.Kind == Tip {
				require.True(t, x.DepthMm >= 0.2 && x.DepthMm < 100, "%g", x.DepthMm)
				want += x.DepthMm
				last = x.At
			}
			m.Add(x)
		}
		m.Flush(last.Add(time.Hour))
		require.InDelta(t, want, sum, 1e-9)
	})
}

func FuzzBucket(f *testing.F) {
	f.Add(0.2, 0.4, 0.05, 12.0)
	f.Fuzz(func(t *testing.T, d, tip, ignore, gap float64) {
		b, err := NewBucket(BucketSpec{d, tip, ignore})
		if err != nil {
			return
		}
		r := b.GapMmPerH(gap)
		require.Equal(t, gap > tip, !math.IsNaN(r))
	})
}

func BenchmarkClosureToMinutes(b *testing.B) {
	b.ReportAllocs()
	g := gauge(b, BucketSpec{TipMm: 0.2, TipTimeS: 0.4, IgnoreS: 0.05})
	var total Total
	m, err := NewMinutes(3600, func(x Minute) { total.Add(x) })
	require.NoError(b, err)
	t := noon
	for b.Loop() {
		t = t.Add(45 * time.Second)
		c, _ := g.Closure(t, Unknown())
		m.Add(c)
	}
}
