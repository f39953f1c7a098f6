package wind

import (
	"errors"
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"github.com/stationphysics/stationphysics"
)

// Every documented range includes its ends and nothing beyond, and the slip of
// unit is named where it is one.
func TestEndsOfRanges(t *testing.T) {
	good := PeriodSpec{SampleS: 0.25, LengthS: 600, MinFrac: 0.5}
	period := func(f func(s *PeriodSpec, x float64)) func(float64) error {
		return func(x float64) error {
			s := good
			f(&s, x)
			_, err := NewPeriod(s)
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
	cup, err := NewCup(0.3, 0.85)
	require.NoError(t, err)
	for name, c := range map[string]struct {
		check  func(x float64) error
		lo, hi float64
	}{
		"offset":        {func(x float64) error { _, err := NewCup(x, 1); return err }, -1, 3},
		"slope":         {func(x float64) error { _, err := NewCup(0, x); return err }, 0.01, 10},
		"frequency":     {nan(cup.SpeedMPerS), 0, 10000},
		"window":        {nan(cup.QuantumMPerS), 1e-3, 86400},
		"count window":  {nan(func(x float64) float64 { return cup.CountMPerS(1, x) }), 1e-3, 86400},
		"speed":         {nan(func(x float64) float64 { var v Vector; v.Add(x, 10); return v.ScalarMPerS() }), 0, 110},
		"direction":     {nan(func(x float64) float64 { var v Vector; v.Add(1, x); return v.ScalarMPerS() }), 0, 360},
		"scalar":        {nan(func(x float64) float64 { var v ScalarDirection; v.Add(x); return v.MeanDeg() }), 0, 360},
		"start":         {nan(func(x float64) float64 { return StartMPerS(x, 1) }), 0, 5},
		"density":       {nan(func(x float64) float64 { return StartMPerS(1, x) }), 0.5, 1.7},
		"sample":        {period(func(s *PeriodSpec, x float64) { s.SampleS = x }), 0.001, 0.25},
		"length":        {period(func(s *PeriodSpec, x float64) { s.LengthS = x }), 3, 86400},
		"share":         {period(func(s *PeriodSpec, x float64) { s.MinFrac = x }), 0.01, 1},
		"calm":          {period(func(s *PeriodSpec, x float64) { s.CalmMPerS = x }), 0, 3},
		"vane":          {period(func(s *PeriodSpec, x float64) { s.VaneMPerS = x }), 0, 5},
		"height from":   {func(x float64) error { return CheckHeight(x, 100, 1e-3) }, 0.1, 200},
		"height to":     {func(x float64) error { return CheckHeight(100, x, 1e-3) }, 0.1, 200},
		"roughness":     {func(x float64) error { return CheckHeight(100, 100, x) }, 1e-5, 3},
		"near obstacle": {func(x float64) error { _, err := Expose(x, 10); return err }, 0, 10000},
		"obstacle":      {func(x float64) error { _, err := Expose(10, x); return err }, 0.1, 500},
	} {
		for _, x := range []float64{c.lo, (c.lo + c.hi) / 2, c.hi} {
			require.NoError(t, c.check(x), "%s %g", name, x)
		}
		for _, x := range []float64{math.Nextafter(c.lo, math.Inf(-1)), math.Nextafter(c.hi, math.Inf(1)), math.NaN()} {
			require.Error(t, c.check(x), "%s %g", name, x)
		}
	}
	_, err = FitCup(make([]CupPoint, 2))
	require.ErrorContains(t, err, "number of calibration points 2 is outside 3..1e+06")

	var re *stationphysics.RangeError
	for x, looks := range map[float64]string{1.5: "a percentage", 66: "a percentage", 100: "a percentage", 101: ""} {
		_, err := NewPeriod(PeriodSpec{SampleS: 0.25, LengthS: 600, MinFrac: x})
		require.True(t, errors.As(err, &re))
		require.Equal(t, looks, re.Slip)
	}
	for x, looks := range map[float64]string{110.5: "km/h", 120: "km/h", 400: "km/h", 401: ""} {
		_, err := FitCup([]CupPoint{{1, 1}, {2, 2}, {3, x}})
		require.True(t, errors.As(err, &re))
		require.Equal(t, looks, re.Slip)
	}
}

// The classes of Davenport, and the constants of the rules followed, written
// down a second time from memory of the documents.
func TestConstants(t *testing.T) {
	require.Equal(t, []float64{0.0002, 0.005, 0.03, 0.10, 0.25, 0.5, 1.0}, []float64{OpenWaterM, SmoothM, OpenM, RoughlyOpenM, RoughM, VeryRoughM, ClosedM})
	require.Equal(t, []float64{3, 0.25, 0.66, 30, 5, 2, 5}, []float64{gustS, coarsestS, usualShare, shiftDeg, shiftMPerS, shiftFor, shiftSpeeds})
}

// Whole quadrants are exact, so that opposite winds cancel.
func TestQuadrantsAreExact(t *testing.T) {
	for deg, want := range map[float64][2]float64{0: {0, 1}, 90: {1, 0}, 180: {0, -1}, 270: {-1, 0}, 360: {0, 1}} {
		s, c := sincosDeg(deg)
		require.Equal(t, want, [2]float64{s, c}, "%g", deg)
	}
	s, c := sincosDeg(30)
	require.InDelta(t, 0.5, s, 1e-15)
	require.InDelta(t, math.Sqrt(3)/2, c, 1e-15)
}

// The gust needs two thirds of its window: eight of twelve samples.
func TestGustNeedsTwoThirds(t *testing.T) {
	for present, want := range map[int]bool{7: false, 8: true, 12: true} {
		p := period(t, PeriodSpec{SampleS: 0.25, LengthS: 3, MinFrac: 0.01})
		for i := range 12 {
			v := 6.0
			if i >= present {
				v = math.NaN()
			}
			p.Add(v, 0)
		}
		require.Equal(t, want, !math.IsNaN(p.Report().GustMPerS), "%d samples", present)
		require.Equal(t, want, p.Report().GustAt == 11)
	}
	// Not before the window is full.
	p := period(t, PeriodSpec{SampleS: 0.25, LengthS: 60, MinFrac: 0.01})
	for range 11 {
		p.Add(6, 0)
	}
	require.True(t, math.IsNaN(p.Report().GustMPerS))
	p.Add(6, 0)
	require.Equal(t, 6.0, p.Report().GustMPerS)
	// The first of equal gusts is kept, and a sample that leaves the window
	// leaves its count.
	p.Add(6, 0)
	require.Equal(t, 11, p.Report().GustAt)
	for range 12 {
		p.Add(math.NaN(), 0)
	}
	p.Add(30, 0)
	require.Equal(t, 6.0, p.Report().GustMPerS, "one sample in the window is no gust")
}

// Vane and calm thresholds belong to what they let through.
func TestThresholdsInclude(t *testing.T) {
	spec := PeriodSpec{SampleS: 0.25, LengthS: 60, CalmMPerS: 0.5, VaneMPerS: 0.5}
	r := period(t, spec).ReportOf(constant(240, 0.5), constant(240, 33))
	require.False(t, r.Calm)
	require.True(t, r.DirectionOK)
}

// The orthogonal second-order term by another way: a full quadratic fit by
// normal equations has the same gain in the residual sum.
func TestBendAgainstAFullQuadratic(t *testing.T) {
	points := []CupPoint{{2, 2.1}, {5, 4.4}, {9, 8.1}, {14, 12.2}, {20, 17.9}, {23, 20.1}, {30, 26.9}}
	gainF := func(scale float64) bool {
		ps := make([]CupPoint, len(points))
		for i, p := range points {
			// A bend of a given size on top.
			ps[i] = CupPoint{p.FrequencyHz, p.SpeedMPerS + scale*(p.FrequencyHz-15)*(p.FrequencyHz-15)}
		}
		fit, err := FitCup(ps)
		require.NoError(t, err)
		want := quadraticF(ps) > f95(float64(len(ps)-3))
		require.Equal(t, want, fit.Bent, "%g", scale)
		return want
	}
	seen := map[bool]bool{}
	for s := -0.01; s <= 0.01; s += 0.0005 {
		seen[gainF(s)] = true
	}
	require.Len(t, seen, 2, "the test sees both outcomes")
}

// quadraticF is the F value of the second-order term by elimination.
func quadraticF(ps []CupPoint) float64 {
	rss := func(order int) float64 {
		n := order + 1
		a := make([][]float64, n)
		for i := range a {
			a[i] = make([]float64, n+1)
		}
		for _, p := range ps {
			x := p.FrequencyHz - 14 // near the mean, for the sake of the digits
			for i := range n {
				for j := range n {
					a[i][j] += math.Pow(x, float64(i+j))
				}
				a[i][n] += math.Pow(x, float64(i)) * p.SpeedMPerS
			}
		}
		for i := range n {
			for k := i + 1; k < n; k++ {
				f := a[k][i] / a[i][i]
				for j := i; j <= n; j++ {
					a[k][j] -= f * a[i][j]
				}
			}
		}
		c := make([]float64, n)
		for i := n - 1; i >= 0; i-- {
			c[i] = a[i][n]
			for j := i + 1; j < n; j++ {
				c[i] -= a[i][j] * c[j]
			}
			c[i] /= a[i][i]
		}
		sum := 0.0
		for _, p := range ps {
			x, y := p.FrequencyHz-14, 0.0
			for i := n - 1; i >= 0; i-- {
				y = y*x + c[i]
			}
			sum += (p.SpeedMPerS - y) * (p.SpeedMPerS - y)
		}
		return sum
	}
	r1, r2 := rss(1), rss(2)
	return (r1 - r2) / (r2 / float64(len(ps)-3))
}
