package wind

import (
	"errors"
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"github.com/stationphysics/stationphysics"
)

// No pulse is no wind; two pulses make one period; a span of nothing, a
// negative one and NaN make none.
func TestFewPulses(t *testing.T) {
	c, err := NewCup(0.3, 0.85)
	require.NoError(t, err)
	require.Equal(t, 0.0, c.CountMPerS(0, 3))
	require.InDelta(t, 0.3+0.85/0.5, c.PeriodMPerS(2, 0.5), 1e-12)
	for _, span := range []float64{0, -1, math.NaN()} {
		require.True(t, math.IsNaN(c.PeriodMPerS(3, span)), "%g", span)
	}
}

// Frequencies that differ by less than some billionths are one frequency, be
// they high or all zero.
func TestOneFrequencyIsNoLine(t *testing.T) {
	fit := func(f ...float64) error {
		var ps []CupPoint
		for _, x := range f {
			ps = append(ps, CupPoint{x, x / 100})
		}
		_, err := FitCup(ps)
		return err
	}
	var ce *stationphysics.ConflictError
	require.True(t, errors.As(fit(0, 0, 0), &ce))
	// The spread is 2/3 d² of the mean squared, against 3e-18: d = 2.1e-9.
	require.True(t, errors.As(fit(5000, 5000, 5000*(1+1.5e-9)), &ce))
	require.NoError(t, fit(5000, 5000, 5000*(1+3e-9)))
}

// A bend takes five points to tell, points exactly on a line have none, and
// points at two frequencies cannot show any, however they scatter.
func TestWhenABendShows(t *testing.T) {
	fit := func(ps ...CupPoint) bool {
		f, err := FitCup(ps)
		require.NoError(t, err)
		return f.Bent
	}
	square := []CupPoint{{1, 1}, {2, 4}, {3, 9}, {4, 16}, {5, 25}}
	for i := range square {
		square[i].SpeedMPerS = square[i].SpeedMPerS/5 + 1
	}
	require.True(t, fit(square...))
	require.False(t, fit(square[:4]...))
	var line []CupPoint
	for f := range 8 {
		line = append(line, CupPoint{float64(f), 1 + float64(f)}) // every step of the fit is exact
	}
	require.False(t, fit(line...))
	for _, f := range [][2]float64{{3.3, 28.7}, {0.1, 33.3}, {7.7, 9.1}, {1.3, 1.7}} {
		require.False(t, fit(CupPoint{f[0], f[0] + 0.31}, CupPoint{f[0], f[0] + 0.28}, CupPoint{f[0], f[0] + 0.34}, CupPoint{f[0], f[0] + 0.3},
			CupPoint{f[1], f[1] + 0.33}, CupPoint{f[1], f[1] + 0.29}), "%v", f)
	}
}

// Opposite winds that differ by more than two parts in a billion have a mean
// direction, below that they have none: that is rounding of the readings.
func TestWhereOppositeWindsCancel(t *testing.T) {
	for surplus, want := range map[float64]bool{2e-9 * 1.0005: true, 2e-9 * 0.9995: false} {
		var v Vector
		v.Add(1+surplus, 0)
		v.Add(1, 180)
		_, ok := v.DirectionDeg()
		require.Equal(t, want, ok, "%g", surplus)
	}
}

// Directions just east of north stay there, sums that wind up over a turn or
// below none come back into 0..360, and a hair west of north is north.
func TestMeansNearNorth(t *testing.T) {
	var v Vector
	v.Add(5, 350)
	v.Add(5, 11)
	d, ok := v.DirectionDeg()
	require.True(t, ok)
	require.InDelta(t, 0.5, d, 1e-9)
	for _, c := range []struct {
		want float64
		dirs []float64
	}{
		{80.0 / 3, []float64{350, 30, 60}},        // 350, 390, 420: mean 386.67
		{360 - 20.0/3, []float64{10, 350, 340}},   // 10, -10, -20: mean -6.67
		{0.25, []float64{0, 0.5}},                 // nothing to unwind
		{0, []float64{0, math.Nextafter(360, 0)}}, // half a rounding step below 0
	} {
		var s ScalarDirection
		for _, x := range c.dirs {
			require.True(t, s.Add(x))
		}
		require.InDelta(t, c.want, s.MeanDeg(), 1e-9, "%v", c.dirs)
	}
}

// Two thirds of a window at the finest sampling, 2000 of 3000 samples, and of a
// mean that needs all its samples.
func TestSharesAtTheirEdges(t *testing.T) {
	for present, want := range map[int]bool{1999: false, 2000: true} {
		p := period(t, PeriodSpec{SampleS: 0.001, LengthS: 3, MinFrac: 0.01})
		for i := range 3000 {
			v := 6.0
			if i >= present {
				v = math.NaN()
			}
			p.Add(v, 0)
		}
		require.Equal(t, want, !math.IsNaN(p.Report().GustMPerS), "%d samples", present)
	}
	r := period(t, PeriodSpec{SampleS: 0.25, LengthS: 60, MinFrac: 1}).ReportOf(constant(240, 6), constant(240, 75))
	require.True(t, r.Valid && r.DirectionOK)
}

// A calm has no direction even where the vane turned, and a weak wind has its
// gust ratio.
func TestCalmThatTurnsTheVane(t *testing.T) {
	r := period(t, PeriodSpec{SampleS: 0.25, LengthS: 60, CalmMPerS: 0.5}).ReportOf(constant(240, 0.3), constant(240, 120))
	require.True(t, r.Valid && r.Calm && !r.DirectionOK)
	require.True(t, math.IsNaN(r.DirectionDeg))
	require.InDelta(t, 1, r.GustRatio, 1e-12)
}

// Half the time twice the wind from the other side: the vectors cancel, the
// directions do not, and no direction is given as sure.
func TestCancelledVectorsAreNotSure(t *testing.T) {
	speeds, dirs := constant(240, 1), constant(240, 180)
	for i := range 80 {
		speeds[i], dirs[i] = 2, 0
	}
	r := period(t, PeriodSpec{SampleS: 0.25, LengthS: 60}).ReportOf(speeds, dirs)
	require.True(t, r.Valid)
	require.True(t, math.IsNaN(r.DirectionDeg))
	require.InDelta(t, 180, r.UnitDirectionDeg, 1e-9)
	require.False(t, r.DirectionOK)
}

// The last class begins at two and a half heights and not a hair sooner.
func TestLastSitingClass(t *testing.T) {
	for d, class := range map[float64]int{25: 4, 24.99: 5} {
		e, err := Expose(d, 10)
		require.NoError(t, err)
		require.Equal(t, class, e.Class)
	}
}
