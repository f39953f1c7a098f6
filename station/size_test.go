package station

import (
	"context"
	"errors"
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"github.com/stationphysics/stationphysics/internal/limit/limittest"
)

func model(t testing.TB, d *Description) *Model {
	t.Helper()
	m, err := Compile(d)
	require.NoError(t, err)
	return m
}

func TestYearsAreTheSameWhateverTheCores(t *testing.T) {
	m := model(t, demo(t))
	one, err := m.Years(context.Background(), Plan{FirstSeed: 5, Years: 4, Workers: 1})
	require.NoError(t, err)
	calls := 0
	many, err := m.Years(context.Background(), Plan{FirstSeed: 5, Years: 4, Workers: 4, Progress: func(done, total int) {
		calls++
		require.Equal(t, calls, done)
		require.Equal(t, 4, total)
	}})
	require.NoError(t, err)
	require.Equal(t, one, many)
	require.Equal(t, 4, calls)
	for i, o := range one {
		require.Equal(t, uint64(5+i), o.Seed)
	}
	require.NotEqual(t, one[0].LostH, one[1].LostH)
}

func TestYearsCanBeResumed(t *testing.T) {
	m := model(t, demo(t))
	whole, err := m.Years(context.Background(), Plan{FirstSeed: 1, Years: 4})
	require.NoError(t, err)
	ctx, cancel := context.WithCancel(context.Background())
	part, err := m.Years(ctx, Plan{FirstSeed: 1, Years: 4, Workers: 1, Progress: func(done, _ int) {
		if done == 2 {
			cancel()
		}
	}})
	require.ErrorIs(t, err, context.Canceled)
	require.GreaterOrEqual(t, len(part), 2)
	require.Less(t, len(part), 4)
	ran := 0
	rest, err := m.Years(context.Background(), Plan{FirstSeed: 1, Years: 4, Done: part, Progress: func(int, int) { ran++ }})
	require.NoError(t, err)
	require.Equal(t, whole, rest)
	require.Equal(t, 4-len(part), ran)
}

// Wilson's interval: 0 of 10 gives 0 to 0.2775, 5 of 10 gives 0.2366 to 0.7634
// (the formula worked by hand with z = 1.959964).
func TestFailShare(t *testing.T) {
	years := make([]Outcome, 10)
	s := FailShare(years, 24)
	p, lo, hi := s.Frac, s.LowFrac, s.HighFrac
	require.Zero(t, p)
	require.InDelta(t, 0, lo, 1e-12)
	require.InDelta(t, 0.2775, hi, 5e-5)
	for i := range 5 {
		years[i].LostH = 25
	}
	s = FailShare(years, 24)
	p, lo, hi = s.Frac, s.LowFrac, s.HighFrac
	require.Equal(t, 0.5, p)
	require.InDelta(t, 0.2366, lo, 5e-5)
	require.InDelta(t, 0.7634, hi, 5e-5)
	p = FailShare(nil, 24).Frac
	require.True(t, math.IsNaN(p))
}

func TestSizeFindsTheSmallestThatServes(t *testing.T) {
	d := demo(t)
	d.Charger.SetV, d.Charger.LimitA = Of(10.5), Of(4.0)
	d.Loads[0].AsleepA = Of(0.0005)
	m := model(t, d)
	s := Search{ParallelPanels: []int{1, 2}, CapacitiesAh: []float64{6, 24}, LoadFrac: []float64{1, 0.25}, Years: 2, FirstSeed: 1, AcceptedLostH: 24}
	vs, err := m.Size(context.Background(), s)
	require.NoError(t, err)
	require.Len(t, vs, 8)
	for i := 1; i < len(vs); i++ {
		require.True(t, smaller(&vs[i-1], &vs[i]))
	}
	// Each variant is what running that description by itself gives.
	for _, v := range vs[:3] {
		alone := model(t, m.d.variant(v, false))
		years, err := alone.Years(context.Background(), Plan{FirstSeed: 1, Years: 2})
		require.NoError(t, err)
		require.InDelta(t, (years[0].LostH+years[1].LostH)/2, v.MeanLostH, 1e-9)
		require.Equal(t, math.Max(years[0].LostH, years[1].LostH), v.WorstLostH)
	}
	// More panel, more pack and less load never lose more hours on the mean.
	at := func(n int, c, l float64) Variant {
		for _, v := range vs {
			if v.ParallelPanels == n && v.CapacityAh == c && v.LoadFrac == l {
				return v
			}
		}
		t.Fatal("no such variant")
		return Variant{}
	}
	for _, c := range []float64{6, 24} {
		require.LessOrEqual(t, at(2, c, 1).MeanLostH, at(1, c, 1).MeanLostH)
		require.LessOrEqual(t, at(1, c, 0.25).MeanLostH, at(1, c, 1).MeanLostH)
	}
	best, ok := Smallest(vs)
	require.True(t, ok, "%+v", vs)
	require.True(t, best.Meets)
	again, err := m.Size(context.Background(), s)
	require.NoError(t, err)
	require.Equal(t, vs, again)
}

func TestSizeRefuses(t *testing.T) {
	m := model(t, demo(t))
	_, err := m.Size(context.Background(), Search{})
	require.ErrorIs(t, err, ErrNoYears)
	_, err = m.Size(context.Background(), Search{Years: math.MaxInt32})
	limittest.RefusesRange(t, err, "number of years")
	for _, years := range []int{-1, math.MaxInt32} {
		_, err = m.Years(context.Background(), Plan{Years: years})
		limittest.RefusesRange(t, err, "number of years")
	}
	limittest.Ranges(t)(&yearsRange, 0, 1e5)
	none, err := m.Years(context.Background(), Plan{})
	require.NoError(t, err)
	require.Empty(t, none)
	many := make([]float64, 400)
	for i := range many {
		many[i] = float64(i)
	}
	_, err = m.Size(context.Background(), Search{Years: 1, CapacitiesAh: many, FacingsDeg: many})
	require.ErrorIs(t, err, ErrTooManyVariants)
	_, err = m.Size(context.Background(), Search{Years: 1, TiltsDeg: []float64{-20}})
	require.ErrorContains(t, err, "panel.tilt_deg")
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	_, err = m.Size(ctx, Search{Years: 2})
	require.ErrorIs(t, err, context.Canceled)
	ctx, cancel = context.WithCancel(context.Background())
	_, err = m.Size(ctx, Search{Years: 2, Workers: 1, Progress: func(int, int) { cancel() }})
	require.ErrorIs(t, err, context.Canceled, "while it runs")
	var me *MissingError
	bare := model(t, &Description{})
	_, err = bare.Size(context.Background(), Search{Years: 1})
	require.True(t, errors.As(err, &me))
	_, err = bare.Levers(context.Background(), 1, 1)
	require.True(t, errors.As(err, &me))
	_, err = bare.Years(context.Background(), Plan{Years: 1})
	require.True(t, errors.As(err, &me))
}

func TestLeversAreRanked(t *testing.T) {
	levers, err := model(t, demo(t)).Levers(context.Background(), 1, 1)
	require.NoError(t, err)
	require.Equal(t, "as it stands", levers[0].Name)
	for i := 2; i < len(levers); i++ {
		require.GreaterOrEqual(t, levers[i-1].GainH, levers[i].GainH)
	}
	for _, l := range levers[1:] {
		require.InDelta(t, levers[0].MeanLostH-l.MeanLostH, l.GainH, 1e-9)
	}
}

func BenchmarkSizingMap400x20(b *testing.B) {
	d := demo(b)
	m := model(b, d)
	s := Search{
		ParallelPanels: []int{1, 2, 3, 4}, TiltsDeg: []float64{30, 40, 50, 60, 70},
		CapacitiesAh: []float64{6, 12, 18, 24, 30}, LoadFrac: []float64{1, 0.5, 0.25, 0.1}, Years: 20, FirstSeed: 1, AcceptedLostH: 24,
	}
	b.ReportAllocs()
	for b.Loop() {
		if _, err := m.Size(context.Background(), s); err != nil {
			b.Fatal(err)
		}
	}
}

// What a description cannot state is no lever: twice a pack of 300 Ah, twice 15 strings.
func TestLeversWithinADescription(t *testing.T) {
	d := demo(t)
	d.Pack.CapacityAh, d.Panel.Parallel = Of(300.0), Of(15)
	levers, err := model(t, d).Levers(context.Background(), 1, 1)
	require.NoError(t, err)
	require.Len(t, levers, 6)
	for _, l := range levers {
		require.NotContains(t, l.Name, "twice")
	}
	require.Equal(t, "as it stands", levers[0].Name)
	require.Zero(t, levers[0].GainH)
}
