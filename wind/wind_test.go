package wind

import (
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"github.com/stationphysics/stationphysics"
	"github.com/stationphysics/stationphysics/internal/refdata"
)

func numbers(t *testing.T, s string) []float64 {
	t.Helper()
	var out []float64
	for _, p := range strings.Split(s, ";") {
		v, err := strconv.ParseFloat(p, 64)
		require.NoError(t, err)
		out = append(out, v)
	}
	return out
}

func TestMeanDirections(t *testing.T) {
	refdata.Each(t, "wind/direction", func(r *refdata.Row) {
		var v Vector
		speeds := numbers(t, r.S("speeds"))
		for i, d := range numbers(t, r.S("directions")) {
			require.True(t, v.Add(speeds[i], d))
		}
		dir, ok := v.DirectionDeg()
		require.Equal(t, r.Has("vectorDeg"), ok)
		r.Check("vectorDeg", dir, "DirectionDeg of "+r.S("directions"))
		unit, ok := v.UnitDirectionDeg()
		require.Equal(t, r.Has("unitDeg"), ok)
		r.Check("unitDeg", unit, "UnitDirectionDeg of "+r.S("directions"))
	})
}

func TestHeightAndSigma(t *testing.T) {
	refdata.Each(t, "wind/height", func(r *refdata.Row) {
		from, to, z0 := r.F("fromM"), r.F("toM"), r.F("roughnessM")
		r.Check("ratio", HeightRatio(from, to, z0), fmt.Sprintf("HeightRatio(%g, %g, %g)", from, to, z0))
	})
	refdata.Each(t, "wind/sigma", func(r *refdata.Row) {
		width := r.F("widthDeg")
		var v Vector
		const n = 36000
		for i := range n {
			v.Add(1, math.Mod(720-width/2+width*(float64(i)+0.5)/n, 360))
		}
		r.Check("sigmaDeg", v.SigmaDeg(), fmt.Sprintf("SigmaDeg of an even band of %g°", width))
	})
}

// Turning all directions turns the mean and leaves the rest.
func TestRotation(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	var speeds, dirs []float64
	for range 500 {
		speeds = append(speeds, 8*rng.Float64())
		dirs = append(dirs, math.Mod(300+90*rng.Float64(), 360))
	}
	var a Vector
	for i := range dirs {
		a.Add(speeds[i], dirs[i])
	}
	base, ok := a.DirectionDeg()
	require.True(t, ok)
	for _, by := range []float64{17, 120, 359.5} {
		var b Vector
		for i := range dirs {
			b.Add(speeds[i], math.Mod(dirs[i]+by, 360))
		}
		turned, ok := b.DirectionDeg()
		require.True(t, ok)
		// Rounding of 500 sines.
		require.InDelta(t, 0, math.Remainder(turned-base-by, 360), 1e-9)
		require.InDelta(t, a.SpeedMPerS(), b.SpeedMPerS(), 1e-12)
		require.InDelta(t, a.SigmaDeg(), b.SigmaDeg(), 1e-6) // near 1 - ε² cancels six digits
		require.LessOrEqual(t, b.SpeedMPerS(), b.ScalarMPerS())
	}
}

func TestVectorRefuses(t *testing.T) {
	var v Vector
	for _, c := range [][2]float64{{-1, 0}, {111, 0}, {math.NaN(), 0}, {1, -1}, {1, 361}, {1, math.NaN()}} {
		require.False(t, v.Add(c[0], c[1]))
	}
	require.Zero(t, v.N())
	_, ok := v.DirectionDeg()
	require.False(t, ok)
	require.True(t, math.IsNaN(v.ScalarMPerS()) && math.IsNaN(v.SpeedMPerS()) && math.IsNaN(v.SigmaDeg()))
	require.True(t, v.Add(0, 360))
	_, ok = v.DirectionDeg()
	require.False(t, ok, "no wind has no direction where speeds count")
	unit, ok := v.UnitDirectionDeg()
	require.True(t, ok)
	require.Zero(t, unit)
}

func TestScalarDirection(t *testing.T) {
	var d ScalarDirection
	require.True(t, math.IsNaN(d.MeanDeg()))
	for _, x := range []float64{350, 355, 2, 10, 3} {
		require.True(t, d.Add(x))
	}
	require.False(t, d.Add(-3))
	// Unwound: 350, 355, 362, 370, 363: mean 360.
	require.InDelta(t, 0, math.Remainder(d.MeanDeg(), 360), 1e-9)
	var turning ScalarDirection
	for i := range 8 {
		turning.Add(math.Mod(float64(i)*100, 360)) // 0, 100 … 700, unwound
	}
	require.InDelta(t, math.Mod(350, 360), turning.MeanDeg(), 1e-9)
	require.Less(t, turning.MeanDeg(), 360.0)
}

func TestHourlySigma(t *testing.T) {
	require.InDelta(t, math.Sqrt((100+400+0+25)/4.0), HourlySigmaDeg([4]float64{10, 20, 0, 5}), 1e-12)
	require.True(t, math.IsNaN(HourlySigmaDeg([4]float64{1, 2, -1, 3})))
	require.True(t, math.IsNaN(HourlySigmaDeg([4]float64{1, 2, math.NaN(), 3})))
}

// The line of JCGM 100:2008, H.3 (calibration of a thermometer). Temperatures
// stand for frequencies and corrections, lifted by 1, for speeds: the formulas
// are the same.
func TestFitCupReproducesJCGM100H3(t *testing.T) {
	temps := []float64{21.521, 22.012, 22.512, 23.003, 23.507, 23.999, 24.513, 25.002, 25.503, 26.010, 26.511}
	corr := []float64{-0.171, -0.169, -0.166, -0.159, -0.164, -0.165, -0.156, -0.157, -0.159, -0.161, -0.160}
	points := make([]CupPoint, len(temps))
	for i := range temps {
		// The slope is lifted by 1 as well, into the range of cups.
		points[i] = CupPoint{FrequencyHz: temps[i] - 20, SpeedMPerS: corr[i] + 1 + (temps[i] - 20)}
	}
	fit, err := FitCup(points)
	require.NoError(t, err)
	refdata.Each(t, "wind/cup_fit", func(r *refdata.Row) {
		r.Check("offset", fit.Cup.OffsetMPerS()-1, "FitCup: y1")
		r.Check("slope", fit.Cup.SlopeMPerSPerHz()-1, "FitCup: y2")
		r.Check("offsetError", fit.OffsetErrorMPerS, "FitCup: s(y1)")
		r.Check("slopeError", fit.SlopeErrorMPerSPerHz, "FitCup: s(y2)")
		r.Check("covarianceRatio", fit.CovarianceRatio, "FitCup: r(y1, y2)")
		r.Check("scatter", fit.ScatterMPerS, "FitCup: s")
		r.Check("largest", fit.LargestMPerS, "FitCup: largest residual")
	})
	// The second-order term of these data has F = 5.37 with 1 and 8 degrees of
	// freedom, worked by hand, just above the 95 % point of 5.32: they bend.
	require.True(t, fit.Bent)
	// Table H.6, last column: the fourth point deviates most.
	require.Equal(t, 3, fit.LargestAt)
}

func TestFitCupFindsABend(t *testing.T) {
	var points []CupPoint
	for f := 2.0; f <= 24; f += 2 {
		points = append(points, CupPoint{f, 0.3 + 0.66*f + 0.004*(f-13)*(f-13) + 0.01*math.Sin(7*f)})
	}
	fit, err := FitCup(points)
	require.NoError(t, err)
	require.True(t, fit.Bent)
	straight := make([]CupPoint, len(points))
	for i, p := range points {
		straight[i] = CupPoint{p.FrequencyHz, 0.3 + 0.66*p.FrequencyHz + 0.01*math.Sin(7*p.FrequencyHz)}
	}
	fit, err = FitCup(straight)
	require.NoError(t, err)
	require.False(t, fit.Bent)
	require.InDelta(t, 0.66, fit.Cup.SlopeMPerSPerHz(), 3*fit.SlopeErrorMPerSPerHz)
}

// Points of a line itself, as a sheet's table has them, leave nothing but rounding: no
// bend may be read from that.
func TestFitCupSeesNoBendInRounding(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	for range 2000 {
		a, b := rng.Float64(), 0.05+rng.Float64()
		var points []CupPoint
		for f := 2.5; f <= 30; f += 2.5 {
			points = append(points, CupPoint{f, a + b*f})
		}
		fit, err := FitCup(points)
		require.NoError(t, err)
		require.False(t, fit.Bent, "%v + %v f: scatter %v m/s", a, b, fit.ScatterMPerS)
	}
}

func TestF95(t *testing.T) {
	refdata.Each(t, "wind/student", func(r *refdata.Row) {
		r.Check("t", math.Sqrt(f95(r.F("freedom"))), "square root of f95")
	})
}

func TestFitCupRefuses(t *testing.T) {
	_, err := FitCup([]CupPoint{{1, 1}, {2, 2}})
	var re *stationphysics.RangeError
	require.True(t, errors.As(err, &re))
	require.Equal(t, 2.0, re.Value)
	_, err = FitCup([]CupPoint{{5, 1}, {5, 2}, {5, 3}})
	var ce *stationphysics.ConflictError
	require.True(t, errors.As(err, &ce))
	require.Equal(t, []float64{5, 5}, ce.Values)
	_, err = FitCup([]CupPoint{{5, 1}, {5, 2}, {-3, 3}})
	require.EqualError(t, err, "pulse frequency -3 Hz is outside 0..10000 Hz")
	_, err = FitCup([]CupPoint{{1, 1}, {2, math.NaN()}, {3, 3}})
	require.True(t, errors.As(err, &re))
	_, err = FitCup([]CupPoint{{1, 3}, {2, 2}, {3, 1}})
	require.True(t, errors.As(err, &re), "a falling line is no cup")
}

func TestCup(t *testing.T) {
	c, err := NewCup(0.3, 0.85)
	require.NoError(t, err)
	require.Zero(t, c.SpeedMPerS(0))
	require.InDelta(t, 0.3+0.85*10, c.SpeedMPerS(10), 1e-12)
	require.InDelta(t, 0.3+0.85*12/3, c.CountMPerS(12, 3), 1e-12)
	// One pulse in 0.25 s is 3.4 m/s for a cup of 0.85 m a pulse, 0.28 in 3 s
	// (arithmetic: 0.85/0.25, 0.85/3).
	require.InDelta(t, 3.4, c.QuantumMPerS(0.25), 1e-12)
	require.InDelta(t, 0.2833, c.QuantumMPerS(3), 5e-5)
	require.InDelta(t, 0.3+0.85*4/0.5, c.PeriodMPerS(5, 0.5), 1e-12)
	require.InDelta(t, 0.3+0.85/0.02, c.LargestMPerS(0.02), 1e-12)
	require.True(t, math.IsInf(c.LargestMPerS(0), 1))
	low, err := NewCup(-0.5, 0.85)
	require.NoError(t, err)
	require.Zero(t, low.SpeedMPerS(0.1), "never below zero")
	var none Cup
	for _, v := range []float64{c.SpeedMPerS(-1), c.SpeedMPerS(10001), c.CountMPerS(-1, 3), c.CountMPerS(1, 0), c.PeriodMPerS(1, 1), c.PeriodMPerS(2, 0),
		c.QuantumMPerS(0), c.LargestMPerS(-1), c.LargestMPerS(math.NaN()), none.SpeedMPerS(1), none.QuantumMPerS(1), none.LargestMPerS(1)} {
		require.True(t, math.IsNaN(v))
	}
	for _, bad := range [][2]float64{{-2, 1}, {0, 0}, {4, 1}, {0, 11}, {math.NaN(), 1}} {
		_, err := NewCup(bad[0], bad[1])
		require.Error(t, err)
	}
}

// The torque of the wind on a standing cup goes with density and the square of
// the speed: at half the density the start rises by the root of two.
func TestStartAtAltitude(t *testing.T) {
	require.InDelta(t, 0.5*math.Sqrt2, StartMPerS(0.5, 1.225/2), 1e-12)
	require.Equal(t, 0.5, StartMPerS(0.5, 1.225))
	for _, v := range []float64{StartMPerS(-1, 1.2), StartMPerS(6, 1.2), StartMPerS(1, 0.4), StartMPerS(1, 1.8)} {
		require.True(t, math.IsNaN(v))
	}
}

func period(t testing.TB, s PeriodSpec) *Period {
	t.Helper()
	p, err := NewPeriod(s)
	require.NoError(t, err)
	return p
}

// A gust of 3 s on a steady wind is found whole, and a spike of one sample is
// a twelfth of itself.
func TestGust(t *testing.T) {
	p := period(t, PeriodSpec{SampleS: 0.25, LengthS: 600})
	for i := range 2400 {
		v := 5.0
		if i >= 1000 && i < 1012 {
			v = 11
		}
		if i == 2000 {
			v = 41
		}
		p.Add(v, 230)
	}
	r := p.Report()
	require.True(t, r.Valid && r.DirectionOK)
	require.InDelta(t, 11, r.GustMPerS, 1e-12)
	require.Equal(t, 1011, r.GustAt)
	require.InDelta(t, (5*2387+11*12+41)/2400.0, r.MeanMPerS, 1e-12)
	require.InDelta(t, r.GustMPerS/r.MeanMPerS, r.GustRatio, 1e-12)
	require.InDelta(t, 230, r.DirectionDeg, 1e-9)
	require.InDelta(t, 230, r.UnitDirectionDeg, 1e-9)
	require.InDelta(t, 0, r.SigmaDeg, 1e-5) // asin of the root of a rounding
	require.InDelta(t, r.MeanMPerS, r.VectorMPerS, 1e-9)
	// The spike alone: (11·5 + 41)/12 = 8.
	q := period(t, PeriodSpec{SampleS: 0.25, LengthS: 600})
	for i := range 2400 {
		v := 5.0
		if i == 2000 {
			v = 41
		}
		q.Add(v, 230)
	}
	require.InDelta(t, 8, q.Report().GustMPerS, 1e-12)
}

// A missing sample takes up its time: the gust on both sides of a gap is not
// spliced together.
func TestMissingSamplesAreNotSpliced(t *testing.T) {
	p := period(t, PeriodSpec{SampleS: 0.25, LengthS: 60})
	for i := range 240 {
		v := 4.0
		switch {
		case i >= 100 && i < 106, i >= 112 && i < 118:
			v = 12 // two half gusts
		case i >= 106 && i < 112:
			v = math.NaN() // with a gap between
		}
		p.Add(v, 90)
	}
	r := p.Report()
	require.Equal(t, 240, r.ExpectedCount)
	require.Equal(t, 234, r.PresentCount)
	// In any 12 samples with at least 8 present, six of 12 m/s and two or more
	// of 4 m/s: at most (6·12 + 2·4)/8 = 10, never 12.
	require.InDelta(t, 10, r.GustMPerS, 1e-12)
}

func TestPeriodNeedsItsSamples(t *testing.T) {
	fill := func(present int, spec PeriodSpec) Report {
		p := period(t, spec)
		for i := range 240 {
			v := 6.0
			if i >= present {
				v = math.NaN()
			}
			p.Add(v, 45)
		}
		return p.Report()
	}
	spec := PeriodSpec{SampleS: 0.25, LengthS: 60}
	require.False(t, fill(158, spec).Valid) // 0.66·240 = 158.4
	require.True(t, fill(159, spec).Valid)
	spec.MinFrac = 0.25
	require.True(t, fill(60, spec).Valid)
	require.False(t, fill(59, spec).Valid)
	r := fill(0, spec)
	require.True(t, math.IsNaN(r.MeanMPerS) && math.IsNaN(r.GustMPerS) && r.GustAt == -1 && !r.DirectionOK)
	// A period that has only begun is not complete.
	p := period(t, PeriodSpec{SampleS: 0.25, LengthS: 600})
	for range 240 {
		p.Add(5, 10)
	}
	require.False(t, p.Report().Valid)
}

func TestCalmAndVane(t *testing.T) {
	spec := PeriodSpec{SampleS: 0.25, LengthS: 60, CalmMPerS: 0.5, VaneMPerS: 1}
	still := period(t, spec).ReportOf(constant(240, 0.3), constant(240, 120))
	require.True(t, still.Valid && still.Calm && !still.DirectionOK)
	require.True(t, math.IsNaN(still.DirectionDeg))
	require.InDelta(t, 0.3, still.MeanMPerS, 1e-12)
	weak := period(t, spec).ReportOf(constant(240, 0.8), constant(240, 120))
	require.True(t, weak.Valid && !weak.Calm && !weak.DirectionOK, "the vane does not turn below its start")
	good := period(t, spec).ReportOf(constant(240, 1.2), constant(240, 120))
	require.True(t, good.DirectionOK)
	none := period(t, spec).ReportOf(constant(240, 5), nil)
	require.True(t, none.Valid && !none.DirectionOK)
	zero := period(t, PeriodSpec{SampleS: 0.25, LengthS: 60}).ReportOf(constant(240, 0), constant(240, 7))
	require.True(t, zero.Valid && math.IsNaN(zero.GustRatio))
	require.PanicsWithValue(t, "wind: slice lengths differ", func() { period(t, spec).ReportOf(constant(3, 1), constant(2, 1)) })
}

func constant(n int, v float64) []float64 {
	out := make([]float64, n)
	for i := range out {
		out[i] = v
	}
	return out
}

// Streaming and batch give the same bits, and a reset period is a new one.
func TestStreamEqualsBatch(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 4))
	speeds, dirs := make([]float64, 2400), make([]float64, 2400)
	for i := range speeds {
		speeds[i], dirs[i] = 12*rng.Float64(), 360*rng.Float64()
		if rng.Float64() < 0.1 {
			speeds[i] = math.NaN()
		}
	}
	spec := PeriodSpec{SampleS: 0.25, LengthS: 600}
	p := period(t, spec)
	for i := range speeds {
		p.Add(speeds[i], dirs[i])
	}
	once := p.Report()
	require.Equal(t, once, p.ReportOf(speeds, dirs))
	require.Equal(t, once, period(t, spec).ReportOf(speeds, dirs))
	require.Zero(t, testing.AllocsPerRun(3, func() { p.ReportOf(speeds, dirs) }))
	require.GreaterOrEqual(t, once.GustMPerS, once.MeanMPerS)
}

func TestPeriodRefuses(t *testing.T) {
	for _, s := range []PeriodSpec{
		{SampleS: 1, LengthS: 600}, {SampleS: 0.25, LengthS: 1}, {SampleS: 0.25, LengthS: 600, MinFrac: 66},
		{SampleS: 0.25, LengthS: 600, CalmMPerS: -1}, {SampleS: 0.25, LengthS: 600, VaneMPerS: 9}, {SampleS: math.NaN(), LengthS: 600},
	} {
		_, err := NewPeriod(s)
		var re *stationphysics.RangeError
		require.True(t, errors.As(err, &re), "%+v", s)
	}
}

func TestDiscontinuity(t *testing.T) {
	steady := func(n int, v, d float64) (ms []Minute) {
		for range n {
			ms = append(ms, Minute{v, d})
		}
		return ms
	}
	join := func(parts ...[]Minute) (ms []Minute) {
		for _, p := range parts {
			ms = append(ms, p...)
		}
		return ms
	}
	for name, c := range map[string]struct {
		ms    []Minute
		from  int
		found bool
	}{
		"steady":                   {steady(10, 6, 200), 0, false},
		"turn of 30° at 5 m/s":     {join(steady(6, 5, 200), steady(4, 5, 230)), 6, true},
		"turn of 29°":              {join(steady(6, 5, 200), steady(4, 5, 229)), 0, false},
		"turn in weak wind":        {join(steady(6, 4.9, 200), steady(4, 4.9, 260)), 0, false},
		"strong before only":       {join(steady(6, 5, 200), steady(4, 2, 260)), 6, true},
		"29° over north":           {join(steady(6, 7, 346), steady(4, 7, 15)), 0, false},
		"turn over north":          {join(steady(6, 7, 350), steady(4, 7, 25)), 6, true},
		"speed by 5 m/s":           {join(steady(6, 2, 200), steady(4, 7, 200)), 6, true},
		"speed by 4.9 m/s":         {join(steady(6, 2, 200), steady(4, 6.9, 200)), 0, false},
		"one minute only":          {join(steady(5, 2, 200), steady(1, 9, 200), steady(4, 2, 200)), 0, false},
		"the later of two":         {join(steady(3, 2, 200), steady(3, 8, 200), steady(4, 14, 200)), 6, true},
		"too short to last":        {join(steady(9, 2, 200), steady(1, 9, 200)), 0, false},
		"a missing minute is none": {join(steady(5, 2, 200), []Minute{{math.NaN(), 0}}, steady(4, 9, 200)), 0, false},
		"fewer than four minutes":  {steady(3, 2, 200), 0, false},
		"just two and two":         {join(steady(2, 2, 200), steady(2, 9, 200)), 2, true},
		"no minutes":               {nil, 0, false},
		"a calm that ends":         {join(steady(5, 0, 0), steady(5, 8, 200)), 5, true},
		"no direction in a calm":   {join(steady(5, 0, math.NaN()), steady(5, 8, 200)), 5, true},
		"no direction, no turn":    {join(steady(5, 6, math.NaN()), steady(5, 6, 290)), 0, false},
		"a turn of 90°":            {join(steady(6, 6, 200), steady(4, 6, 290)), 6, true},
		"speed by 12 m/s":          {join(steady(6, 2, 200), steady(4, 14, 200)), 6, true},
		"and back":                 {join(steady(6, 14, 200), steady(4, 2, 200)), 6, true},
		"calm with no direction":   {join(steady(5, 0, 0), steady(5, 0, 0)), 0, false},
	} {
		from, found := Discontinuity(c.ms)
		require.Equal(t, c.found, found, name)
		require.Equal(t, c.from, from, name)
	}
}

func TestHeightRefuses(t *testing.T) {
	for _, c := range [][3]float64{{0, 10, 0.1}, {3, 300, 0.1}, {3, 10, 0}, {3, 10, 4}, {0.5, 10, 0.25}, {math.NaN(), 10, 0.1}} {
		require.Error(t, CheckHeight(c[0], c[1], c[2]))
		require.True(t, math.IsNaN(HeightRatio(c[0], c[1], c[2])))
	}
	require.NoError(t, CheckHeight(0.75, 10, 0.25))
	require.InDelta(t, 1, HeightRatio(3, 10, 0.1)*HeightRatio(10, 3, 0.1), 1e-14)
}

func TestExpose(t *testing.T) {
	refdata.Each(t, "wind/exposure", func(r *refdata.Row) {
		d, h := r.F("distanceM"), r.F("obstacleM")
		e, err := Expose(d, h)
		require.NoError(t, err)
		r.Check("class", float64(e.Class), fmt.Sprintf("Expose(%g, %g)", d, h))
		require.Equal(t, d/h < 10, e.Sheltered)
		require.Equal(t, d/h, e.HeightsRatio)
	})
	for _, c := range [][2]float64{{-1, 5}, {10, 0}, {20000, 5}, {10, 600}} {
		_, err := Expose(c[0], c[1])
		require.Error(t, err)
	}
}

func FuzzPeriod(f *testing.F) {
	f.Add(5.0, 200.0, 7.0, 210.0)
	f.Add(math.NaN(), -1.0, 1e300, 400.0)
	f.Fuzz(func(t *testing.T, v1, d1, v2, d2 float64) {
		p := period(t, PeriodSpec{SampleS: 0.25, LengthS: 6, MinFrac: 0.1})
		for i := range 24 {
			if i%3 == 0 {
				p.Add(v1, d1)
			} else {
				p.Add(v2, d2)
			}
		}
		r := p.Report()
		require.Equal(t, r.Valid, !math.IsNaN(r.MeanMPerS))
		require.Equal(t, r.DirectionOK, !math.IsNaN(r.DirectionDeg) && !math.IsNaN(r.UnitDirectionDeg))
		if r.Valid && !math.IsNaN(r.GustMPerS) {
			require.GreaterOrEqual(t, r.GustMPerS, 0.0)
			require.LessOrEqual(t, r.GustMPerS, 110.0)
		}
		if r.DirectionOK {
			require.True(t, r.DirectionDeg >= 0 && r.DirectionDeg < 360)
		}
	})
}

func FuzzFitCup(f *testing.F) {
	f.Add(1.0, 1.0, 2.0, 2.0, 3.0, 2.9)
	f.Fuzz(func(t *testing.T, a, b, c, d, e, g float64) {
		fit, err := FitCup([]CupPoint{{a, b}, {c, d}, {e, g}})
		if err == nil {
			require.False(t, math.IsNaN(fit.ScatterMPerS) || math.IsNaN(fit.SlopeErrorMPerSPerHz) || math.IsNaN(fit.OffsetErrorMPerS))
		}
	})
}

func FuzzHeightRatio(f *testing.F) {
	f.Add(3.0, 10.0, 0.1)
	f.Fuzz(func(t *testing.T, from, to, z0 float64) {
		require.Equal(t, CheckHeight(from, to, z0) == nil, !math.IsNaN(HeightRatio(from, to, z0)))
	})
}

var sink float64

func BenchmarkPeriodAdd(b *testing.B) {
	b.ReportAllocs()
	p := period(b, PeriodSpec{SampleS: 0.25, LengthS: 600})
	i := 0
	for b.Loop() {
		i++
		p.Add(5+float64(i%7), float64(i%360))
	}
}

func BenchmarkSin(b *testing.B) {
	b.ReportAllocs()
	x := 0.0
	for b.Loop() {
		x += 1e-3
		sink += math.Sin(x)
	}
}
