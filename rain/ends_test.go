package rain

import (
	"errors"
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"github.com/stationphysics/stationphysics"
)

// Every documented range includes its ends and nothing beyond.
func TestEndsOfRanges(t *testing.T) {
	b := bucket(t, BucketSpec{TipMm: 0.2, TipTimeS: 0.4})
	pour := func(f func(p *Pour, x float64)) func(float64) error {
		return func(x float64) error {
			ps := []Pour{{5e-4, 118, 2400}, {5e-4, 116, 1200}, {5e-4, 112, 500}}
			f(&ps[0], x)
			_, err := Calibrate(0.02, ps)
			var ce *stationphysics.ConflictError
			if errors.As(err, &ce) {
				return nil // the ranges hold; the pours may not fit each other
			}
			return err
		}
	}
	nan := func(f func(x float64) float64) func(float64) error {
		return func(x float64) error {
			if math.IsNaN(f(x)) {
				return errors.New("NaN")
			}
			return nil
		}
	}
	for name, c := range map[string]struct {
		check  func(x float64) error
		lo, hi float64
	}{
		"tip":      {func(x float64) error { _, err := NewBucket(BucketSpec{TipMm: x}); return err }, 0.01, 2},
		"tip time": {func(x float64) error { _, err := NewBucket(BucketSpec{TipMm: 1, TipTimeS: x}); return err }, 0, 2},
		"ignore":   {func(x float64) error { _, err := NewBucket(BucketSpec{TipMm: 1, IgnoreS: x}); return err }, 0, 2},
		"gap rate": {nan(b.GapS), 0, 2000},
		"loss":     {nan(b.LossRatio), 0, 2000},
		"area": {func(x float64) error {
			_, err := Calibrate(x, []Pour{{5e-4, 118, 2400}, {5e-4, 116, 1200}, {5e-4, 112, 500}})
			return err
		}, 1e-3, 1},
		"volume":   {pour(func(p *Pour, x float64) { p.VolumeM3 = x }), 1e-6, 0.1},
		"duration": {pour(func(p *Pour, x float64) { p.DurationS = x }), 1, 1e6},
		"spread":   {func(x float64) error { _, err := NewGauge(b, x); return err }, 60, 86400},
		"minutes":  {func(x float64) error { _, err := NewMinutes(x, nil); return err }, 60, 86400},
		"dry":      {func(x float64) error { _, err := NewEvents(x, nil); return err }, 1, 1440},
	} {
		for _, x := range []float64{c.lo, (c.lo + c.hi) / 2, c.hi} {
			require.NoError(t, c.check(x), "%s %g", name, x)
		}
		for _, x := range []float64{math.Nextafter(c.lo, math.Inf(-1)), math.Nextafter(c.hi, math.Inf(1)), math.NaN()} {
			require.Error(t, c.check(x), "%s %g", name, x)
		}
	}
}

func TestSlips(t *testing.T) {
	slip := func(err error) string {
		var re *stationphysics.RangeError
		require.True(t, errors.As(err, &re), "%v", err)
		return re.Slip
	}
	three := func(v float64) error {
		_, err := Calibrate(0.02, []Pour{{v, 118, 2400}, {5e-4, 116, 1200}, {5e-4, 112, 500}})
		return err
	}
	area := func(a float64) error {
		_, err := Calibrate(a, []Pour{{5e-4, 118, 2400}, {5e-4, 116, 1200}, {5e-4, 112, 500}})
		return err
	}
	tipTime := func(x float64) error { _, err := NewBucket(BucketSpec{TipMm: 1, TipTimeS: x}); return err }
	ignore := func(x float64) error { _, err := NewBucket(BucketSpec{TipMm: 1, IgnoreS: x}); return err }
	for _, c := range []struct {
		err   error
		looks string
	}{
		{three(1), "millilitres"}, {three(1e5), "millilitres"}, {three(1e5 + 1), ""}, {three(0.5), ""},
		{area(10), "square centimetres"}, {area(2000), "square centimetres"}, {area(2001), ""}, {area(5), ""},
		{tipTime(2.01), "milliseconds"}, {tipTime(2000), "milliseconds"}, {tipTime(2001), ""},
		{ignore(2.01), "milliseconds"}, {ignore(2000), "milliseconds"}, {ignore(2001), ""},
	} {
		require.Equal(t, c.looks, slip(c.err), "%v", c.err)
	}
	// 300 mm/h tips 0.2 mm every 2.4 s; a shorter ignore time loses nothing.
	_, err := NewBucket(BucketSpec{TipMm: 0.1, IgnoreS: 1.19})
	require.NoError(t, err)
	_, err = NewBucket(BucketSpec{TipMm: 0.1, IgnoreS: 1.21})
	require.Error(t, err)
}

// The standard errors of a calibration against the textbook formulas worked
// with the sums written out (JCGM 100:2008, H.3).
func TestCalibrationErrors(t *testing.T) {
	pours := []Pour{{5e-4, 124, 3600}, {5e-4, 121, 1200}, {5e-4, 114, 500}, {5e-4, 118, 800}}
	c, err := Calibrate(0.02, pours)
	require.NoError(t, err)
	var n, sx, sy, sxx, sxy float64
	for _, p := range pours {
		x, y := 25/p.DurationS*3600, 25/float64(p.Tips)
		n, sx, sy, sxx, sxy = n+1, sx+x, sy+y, sxx+x*x, sxy+x*y
	}
	d := n*sxx - sx*sx
	b, a := (n*sxy-sx*sy)/d, (sxx*sy-sx*sxy)/d
	rss := 0.0
	for _, p := range pours {
		r := 25/float64(p.Tips) - a - b*25/p.DurationS*3600
		rss += r * r
	}
	s2 := rss / (n - 2)
	require.InEpsilon(t, a, c.TipMm, 1e-9)
	require.InEpsilon(t, b*3600, c.TipTimeS, 1e-9)
	require.InEpsilon(t, math.Sqrt(s2), c.ScatterMm, 1e-6)
	require.InEpsilon(t, math.Sqrt(s2*sxx/d), c.TipErrorMm, 1e-6)
	require.InEpsilon(t, 3600*math.Sqrt(s2*n/d), c.TipTimeErrorS, 1e-6)
	// Pours within 5 % of each other in rate cannot tell the tip from its loss.
	_, err = Calibrate(0.02, []Pour{{5e-4, 120, 1000}, {5e-4, 120, 1040}, {5e-4, 120, 960}})
	var ce *stationphysics.ConflictError
	require.True(t, errors.As(err, &ce))
	_, err = Calibrate(0.02, []Pour{{5e-4, 120, 1000}, {5e-4, 121, 1100}, {5e-4, 119, 900}})
	require.NoError(t, err)
	// A hundred tips that were not counted: 25 mm in 24 tips at 180 mm/h beside 0.2
	// mm a tip at 25 mm/h and 60 mm/h. By hand: the slope is 76.9/13217 mm per mm/h and
	// the line at no rain 0.483 - 0.00582·88.3 = -0.03 mm.
	_, err = Calibrate(0.02, []Pour{{5e-4, 124, 3600}, {5e-4, 121, 1500}, {5e-4, 24, 500}})
	require.True(t, errors.As(err, &ce))
	require.Equal(t, "depth of a tip by the line", ce.Quantities[1])
	require.InDelta(t, -0.03, ce.Values[1], 0.005)
}

// Minutes before the epoch are minutes like any other.
func TestMinutesBeforeTheEpoch(t *testing.T) {
	var out []Minute
	m, err := NewMinutes(60, func(x Minute) { out = append(out, x) })
	require.NoError(t, err)
	end := time.Date(1969, 12, 31, 23, 58, 30, 0, time.UTC)
	m.Add(Closure{Kind: Tip, From: end.Add(-time.Minute), At: end, DepthMm: 0.2})
	m.Flush(end.Add(10 * time.Minute))
	require.InDelta(t, 0.1, out[0].DepthMm, 1e-12)
	require.InDelta(t, 0.1, out[1].DepthMm, 1e-12)
	require.Equal(t, time.Date(1969, 12, 31, 23, 57, 0, 0, time.UTC), out[0].Start)
	require.Equal(t, 6.0, math.Round(out[0].RateMmPerH()))
}

// A tip without a span falls into its minute; a tip of nothing is passed over.
func TestOddTips(t *testing.T) {
	sum := 0.0
	m, err := NewMinutes(60, func(x Minute) { sum += x.DepthMm })
	require.NoError(t, err)
	m.Flush(noon) // nothing begun, nothing handed out
	m.Add(Closure{Kind: Tip, From: noon, At: noon, DepthMm: 0.2})
	m.Add(Closure{Kind: Tip, From: noon, At: noon.Add(time.Second), DepthMm: 0})
	m.Add(Closure{Kind: Tip, From: noon, At: noon.Add(time.Second), DepthMm: math.NaN()})
	m.Flush(noon.Add(time.Hour))
	require.InDelta(t, 0.2, sum, 1e-12)
}

// An event of the longest dry time ends with it, not a minute sooner.
func TestEventEndsAtItsDryTime(t *testing.T) {
	n := 0
	e, err := NewEvents(3, func(Event) { n++ })
	require.NoError(t, err)
	e.Add(Minute{Start: noon, DepthMm: 0.1})
	for i := 1; i <= 2; i++ {
		e.Add(Minute{Start: noon.Add(time.Duration(i) * time.Minute)})
	}
	require.Zero(t, n)
	e.Add(Minute{Start: noon.Add(3 * time.Minute)})
	require.Equal(t, 1, n)
}

// A shower's peak keeps its first minute, and a dry total has none.
func TestTotalPeak(t *testing.T) {
	var x Total
	x.Add(Minute{Start: noon})
	require.True(t, x.PeakAt.IsZero())
	x.Add(Minute{Start: noon.Add(time.Minute), DepthMm: 0.3})
	x.Add(Minute{Start: noon.Add(2 * time.Minute), DepthMm: 0.3})
	require.Equal(t, noon.Add(time.Minute), x.PeakAt)
	require.InDelta(t, 18, x.PeakMmPerH, 1e-9)
}

// Doubts are single bits.
func TestDoubtsAreBits(t *testing.T) {
	require.Equal(t, []Doubt{1, 2, 4}, []Doubt{TooFast, Melt, Shaken})
	require.Equal(t, []Kind{0, 1, 2}, []Kind{Refused, Bounce, Tip})
}
