package rain

import (
	"errors"
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"github.com/stationphysics/stationphysics"
	"github.com/stationphysics/stationphysics/internal/limit/limittest"
)

func TestEndsOfCounts(t *testing.T) {
	within := limittest.Ranges(t)
	within(&pointsRange, 3, 1e6)
	pours := func(tips int) error {
		_, err := Calibrate(0.02, []Pour{{5e-4, tips, 2400}, {5e-4, 116, 1200}, {5e-4, 112, 500}})
		return err
	}
	for tips, ok := range map[int]bool{0: false, 1: true, 1e7: true, 1e7 + 1: false} {
		require.Equal(t, ok, pours(tips) == nil, "%d tips", tips)
	}
}

// 0.1 mm at 300 mm/h tips every 0.1/300 h = 1.2 s.
func TestLongestIgnoreTime(t *testing.T) {
	for ignore, ok := range map[float64]bool{1.1999: true, 1.2001: false} {
		_, err := NewBucket(BucketSpec{TipMm: 0.1, IgnoreS: ignore})
		require.Equal(t, ok, err == nil, "%g s", ignore)
	}
}

// A bucket of one millimetre is one like any other: 60 mm/h fill it in a minute,
// and half a second of that is a hundred and twentieth.
func TestBucketOfAMillimetre(t *testing.T) {
	b := bucket(t, BucketSpec{TipMm: 1, TipTimeS: 0.5})
	require.InDelta(t, 60.5, b.GapS(60), 1e-12)
	require.InDelta(t, 1.0/120, b.LossRatio(60), 1e-15)
	require.InDelta(t, 60.5/60, b.GapDepthMm(60.5), 1e-12)
	require.InDelta(t, 60, b.GapMmPerH(60.5), 1e-12)
}

// Rates m(1-e), m, m(1+e) spread by e√(2/3): 5 % of m for e = 0.061237.
func TestSpreadThatACalibrationNeeds(t *testing.T) {
	calibrate := func(e float64) error {
		var ps []Pour
		for _, x := range []float64{1 - e, 1, 1 + e} {
			ps = append(ps, Pour{5e-4, 120, 1000 / x})
		}
		_, err := Calibrate(0.02, ps)
		return err
	}
	require.NoError(t, calibrate(0.06126))
	var ce *stationphysics.ConflictError
	require.True(t, errors.As(calibrate(0.06121), &ce))
	// 25 mm in 1000 s are 90 mm/h.
	require.InDelta(t, 90, ce.Values[0], 1e-9)
	require.InDelta(t, 90*0.06121*math.Sqrt(2.0/3), ce.Values[1], 1e-9)
}

// A closure as late as the ignore time is no bounce, and rain of exactly 600
// mm/h, 0.25 mm in 1.5 s, is not yet too fast.
func TestEdgesOfDoubt(t *testing.T) {
	g := gauge(t, BucketSpec{TipMm: 0.25, IgnoreS: 0.25})
	closure(t, g, 0, Unknown())
	require.Equal(t, Tip, closure(t, g, 0.25, Unknown()).Kind)
	require.Zero(t, closure(t, g, 1.75, Unknown()).Doubt)
	require.Equal(t, TooFast, closure(t, g, 3.249, Unknown()).Doubt)
}

// 3719 s from a second before a full minute touch 63 minutes, with one second's
// share in the first.
func TestLongSpreadKeepsItsFirstSecond(t *testing.T) {
	var out []Minute
	m, err := NewMinutes(3719, func(x Minute) { out = append(out, x) })
	require.NoError(t, err)
	m.Add(Closure{Kind: Tip, From: at(59), At: at(59 + 3719), DepthMm: 3.719})
	m.Flush(at(7200))
	require.Equal(t, noon, out[0].Start)
	require.InDelta(t, 0.001, out[0].DepthMm, 1e-12)
	require.InDelta(t, 0.06, out[1].DepthMm, 1e-12)
	require.InDelta(t, 0.06, out[61].DepthMm, 1e-12)
	require.InDelta(t, 0.058, out[62].DepthMm, 1e-12)
}

// With a spread of 90 s a tip of the tenth minute or later can reach the eighth:
// the seventh is handed out, the eighth not yet.
func TestMinutesAreHandedOutAsSoonAsSettled(t *testing.T) {
	var out []Minute
	m, err := NewMinutes(90, func(x Minute) { out = append(out, x) })
	require.NoError(t, err)
	m.Add(Closure{Kind: Tip, From: at(0), At: at(60), DepthMm: 0.2})
	m.Add(Closure{Kind: Tip, From: at(540), At: at(600), DepthMm: 0.2})
	require.Equal(t, at(420), out[len(out)-1].Start)
}

// A tip that reaches further back than the minutes kept begins with the oldest
// of them, which takes what fell before.
func TestTipOlderThanTheMinutesKept(t *testing.T) {
	var out []Minute
	m, err := NewMinutes(60, func(x Minute) { out = append(out, x) })
	require.NoError(t, err)
	m.Add(Closure{Kind: Tip, From: at(-600), At: noon, DepthMm: 1})
	m.Flush(at(60))
	require.Len(t, out, 3)
	require.Equal(t, at(-120), out[0].Start)
	require.InDelta(t, 0.9, out[0].DepthMm, 1e-12)
	require.InDelta(t, 0.1, out[1].DepthMm, 1e-12)
	require.Zero(t, out[2].DepthMm)
}

// A tip of nothing begins nothing, and of a gap of decades the last 366 days
// are marked.
func TestGapsAndNothing(t *testing.T) {
	n, missing := 0, 0
	m, err := NewMinutes(60, func(x Minute) {
		n++
		if x.AtLeast {
			missing++
		}
	})
	require.NoError(t, err)
	m.Add(Closure{Kind: Tip, From: noon, At: at(1), DepthMm: 0})
	m.Flush(at(3600))
	require.Zero(t, n)
	m.Missing(time.Unix(0, 0), noon)
	m.Flush(noon)
	require.Equal(t, 366*24*60, missing)
}

// Dry minutes that ended one event are not in the next.
func TestEventsDoNotShareDryMinutes(t *testing.T) {
	var events []Event
	e, err := NewEvents(3, func(x Event) { events = append(events, x) })
	require.NoError(t, err)
	for i, d := range []float64{0.1, 0, 0, 0, 0, 0.2, 0.2} {
		e.Add(Minute{Start: at(float64(i) * 60), DepthMm: d})
	}
	e.Flush()
	require.Len(t, events, 2)
	require.Equal(t, []int{1, 2}, []int{events[0].Minutes, events[1].Minutes})
}
