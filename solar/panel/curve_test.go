package panel

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
)

// randomModule draws parameters over the whole range that panels have.
func randomModule(rng *rand.Rand) Module {
	cells := 1 + rng.IntN(72)
	shunt := math.Pow(10, 0.5+4*rng.Float64())
	if rng.IntN(8) == 0 {
		shunt = math.Inf(1)
	}
	series := math.Pow(10, -3+3*rng.Float64())
	if rng.IntN(8) == 0 {
		series = 0
	}
	m, err := New(Parameters{
		PhotocurrentA:      math.Pow(10, -2+3*rng.Float64()),
		SaturationCurrentA: math.Pow(10, -13+8*rng.Float64()),
		IdealityV:          float64(cells) * (0.6 + 1.4*rng.Float64()) * boltzmannEVPerK * refK,
		SeriesOhm:          series,
		ShuntOhm:           shunt,
		PhotocurrentAPerK:  1e-6 * rng.Float64(),
		CellsInSeries:      cells,
	})
	if err != nil {
		panic(err)
	}
	return m
}

// residual is how far current i at voltage v is from the single-diode equation,
// in amperes, over the sum of its terms.
func residual(c Curve, v, i float64) float64 {
	x := (v + i*c.rs) / c.a
	d := c.i0 * math.Expm1(x)
	sh := (v + i*c.rs) * c.gsh
	// A rounding of i moves the diode's voltage by i*rs, and d by its slope.
	slope := c.rs * ((d+c.i0)/c.a + c.gsh)
	scale := c.iL + math.Abs(d) + math.Abs(sh) + math.Abs(i)*(1+slope) + math.Abs(v)/c.a*(d+c.i0) + 1e-300
	return math.Abs(c.iL-d-sh-i) / scale
}

func TestCurveClosesTheEquation(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	for range 20000 {
		m := randomModule(rng)
		g := 1500 * rng.Float64()
		if rng.IntN(4) == 0 {
			g = math.Pow(10, -6+8*rng.Float64())
		}
		c := m.At(g, -60+160*rng.Float64())
		voc := c.OpenCircuitV()
		v := voc * (-0.5 + 1.8*rng.Float64())
		i := c.CurrentA(v)
		require.LessOrEqual(t, residual(c, v, i), 1e-14, "%+v at %v V", c, v)
		require.LessOrEqual(t, residual(c, voc, 0), 1e-14, "%+v open", c)
	}
}

func TestVoltageUndoesCurrent(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 4))
	for range 20000 {
		m := randomModule(rng)
		c := m.At(math.Pow(10, -3+6*rng.Float64()), -40+120*rng.Float64())
		i := c.iL * (-1 + 1.98*rng.Float64())
		v := c.VoltageV(i)
		if math.IsNaN(v) {
			continue
		}
		back := c.CurrentA(v)
		slope := math.Abs(c.CurrentA(v*(1+1e-7))-c.CurrentA(v*(1-1e-7))) / 2e-7 // per relative change of v
		require.InDelta(t, i, back, 2e-13*(c.iL+slope)+1e-18, "%+v at %v A, %v V", c, i, v)
	}
}

func TestCurrentFallsWithVoltage(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 6))
	for range 300 {
		c := randomModule(rng).At(1200*rng.Float64(), 100*rng.Float64()-30)
		voc := c.OpenCircuitV()
		last := math.Inf(1)
		for k := -50; k <= 130; k++ {
			i := c.CurrentA(voc * float64(k) / 100)
			require.LessOrEqual(t, i, last+1e-14*c.iL)
			last = i
		}
	}
}

func TestMaxPowerIsTheLargest(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 8))
	for n := range 20000 {
		m := randomModule(rng)
		g := 1200 * rng.Float64()
		if n%3 == 0 {
			g = math.Pow(10, -9+10*rng.Float64())
		}
		c := m.At(g, -60+180*rng.Float64())
		p := c.MaxPower()
		voc := c.OpenCircuitV()
		require.True(t, p.Vmp > 0 && p.Vmp < voc, "%v not in 0..%v: %+v", p.Vmp, voc, c)
		require.InEpsilon(t, p.Pmp, p.Vmp*p.Imp, 1e-15)
		require.InDelta(t, p.Imp, c.CurrentA(p.Vmp), 2e-13*c.iL, "%+v", c)
		// The slope of the power changes sign there, within a billionth.
		for _, v := range []float64{p.Vmp * 0.999, p.Vmp * 1.001, p.Vmp * 0.7, (p.Vmp + voc) / 2} {
			require.LessOrEqual(t, c.PowerW(v), p.Pmp*(1+1e-13), "%+v", c)
		}
		up, down := c.PowerW(p.Vmp*(1+1e-4)), c.PowerW(p.Vmp*(1-1e-4))
		curv := 2*p.Pmp - up - down
		require.Less(t, math.Abs(up-down), 2e-3*curv+1e-13*p.Pmp, "lopsided: %+v", c)
	}
}

func TestDark(t *testing.T) {
	for _, m := range []Module{referencePanel(t), {}} {
		c := m.At(0, 10)
		require.Zero(t, c.OpenCircuitV())
		require.Zero(t, c.ShortCircuitA())
		require.Zero(t, c.CurrentA(0))
		require.Zero(t, c.VoltageV(0))
		require.Equal(t, MaxPower{}, c.MaxPower())
		require.Zero(t, c.HeldA(14))
		require.Zero(t, c.KeptFrac(14))
		lo, hi := c.KeptBand(0.9)
		require.Zero(t, lo)
		require.Zero(t, hi)
		require.Equal(t, Output{CellC: 10}, m.Output(Weather{AirC: 10}, nil, 14))
	}
	// The battery feeds the panel back through its diode: (14 V/a) of it.
	m := referencePanel(t)
	c := m.At(0, 25)
	require.InEpsilon(t, -c.i0*math.Expm1(14/c.a), c.CurrentA(14), 1e-3)
	require.Less(t, c.CurrentA(14), 0.0)
	require.InEpsilon(t, 14, c.VoltageV(c.CurrentA(14)), 1e-12)
	require.InEpsilon(t, c.i0, c.CurrentA(-14), 1e-6, "reversed, only the saturation current")
	require.Zero(t, Curve{}.CurrentA(5), "the zero curve conducts nothing")
	require.Zero(t, Curve{}.VoltageV(1))
}

func TestPhotocurrentNeverTurnsNegative(t *testing.T) {
	p := referencePanel(t).Parameters()
	p.PhotocurrentAPerK = 0.01 // far beyond any panel
	m, err := New(p)
	require.NoError(t, err)
	require.InEpsilon(t, p.PhotocurrentA-0.6, m.At(1000, -35).iL, 1e-9)
	require.Zero(t, m.At(1000, -80).ShortCircuitA())
	require.Equal(t, MaxPower{}, m.At(1000, -80).MaxPower())
}

func TestFaintLightGoesToZeroSmoothly(t *testing.T) {
	m := referencePanel(t)
	last := m.At(1, 25).MaxPower().Pmp
	for g := 0.1; g > 1e-12; g /= 10 {
		c := m.At(g, 25)
		p := c.MaxPower().Pmp
		require.True(t, p > 0 && p < last/9, "%v W/m²: %v after %v", g, p, last)
		last = p
		require.Greater(t, c.OpenCircuitV(), 0.0)
		// Short circuit: all of the photocurrent but what the resistances take.
		require.InEpsilon(t, c.iL, c.ShortCircuitA(), 1e-5)
	}
}

func TestBoundsOfVoltage(t *testing.T) {
	m := referencePanel(t)
	require.Equal(t, -180.0, m.LowestV())
	require.Equal(t, 180.0, m.HighestV())
	c := m.At(800, 30)
	for v, inside := range map[float64]bool{-180: true, -180.0001: false, 180: true, 180.0001: false, math.Inf(1): false, math.Inf(-1): false} {
		require.Equal(t, inside, !math.IsNaN(c.CurrentA(v)), v)
		require.Equal(t, inside, !math.IsNaN(c.PowerW(v)), v)
	}
	require.True(t, math.IsNaN(c.CurrentA(math.NaN())))
	require.True(t, math.IsNaN(c.VoltageV(math.NaN())))
	require.True(t, math.IsNaN(c.HeldA(math.NaN())))
	require.True(t, math.IsNaN(c.KeptFrac(math.NaN())))
	// A current far above Isc would need a reverse voltage of kilovolts.
	require.True(t, math.IsNaN(c.VoltageV(2)))
	require.InDelta(t, -97.8, c.VoltageV(c.ShortCircuitA()+97.8/1502.2), 0.1, "the shunt of 1500 ohm in series with Rs")
}

func TestConditionsOutOfRange(t *testing.T) {
	m := referencePanel(t)
	for _, w := range []struct {
		g, cellC float64
		ok       bool
	}{
		{0, -100, true}, {2000, 150, true}, {1000, 25, true},
		{-1e-9, 25, false}, {2000.1, 25, false}, {1000, -100.1, false}, {1000, 150.1, false},
		{math.NaN(), 25, false}, {1000, math.NaN(), false}, {math.Inf(1), 25, false},
	} {
		c := m.At(w.g, w.cellC)
		require.Equal(t, w.ok, CheckConditions(w.g, w.cellC) == nil, w)
		p := c.MaxPower()
		lo, hi := c.KeptBand(0.9)
		for _, v := range []float64{c.CurrentA(10), c.VoltageV(0.01), c.OpenCircuitV(), c.ShortCircuitA(), p.Vmp, p.Imp, p.Pmp, c.PowerW(1), lo, hi} {
			if w.g != 0 {
				require.Equal(t, w.ok, !math.IsNaN(v), "%v: %v", w, v)
			}
		}
	}
	require.EqualError(t, CheckConditions(1000, 298.15), "cell temperature 298.15 °C is outside -100..150 °C: kelvins?")
	require.EqualError(t, CheckConditions(54000, 25), "irradiance on the panel 54000 W/m² is outside 0..2000 W/m²: lux?")
}

func TestKeptBand(t *testing.T) {
	c := referencePanel(t).At(700, 35)
	p := c.MaxPower()
	for _, frac := range []float64{0.01, 0.5, 0.9, 0.99, 0.999999} {
		lo, hi := c.KeptBand(frac)
		require.True(t, lo < p.Vmp && p.Vmp < hi)
		require.InEpsilon(t, frac, c.KeptFrac(lo), 1e-9)
		require.InEpsilon(t, frac, c.KeptFrac(hi), 1e-9)
	}
	lo, hi := c.KeptBand(0)
	require.Zero(t, lo)
	require.Equal(t, c.OpenCircuitV(), hi)
	lo, hi = c.KeptBand(1)
	require.InEpsilon(t, p.Vmp, lo, 1e-6)
	require.InEpsilon(t, p.Vmp, hi, 1e-6)
	for _, bad := range []float64{-0.1, 1.1, math.NaN()} {
		lo, hi = c.KeptBand(bad)
		require.True(t, math.IsNaN(lo) && math.IsNaN(hi))
	}
	require.InEpsilon(t, 1, c.KeptFrac(p.Vmp), 1e-12)
	require.Zero(t, c.KeptFrac(c.OpenCircuitV()+0.1))
}

func TestOmega(t *testing.T) {
	// w + ln w = z, and the slope 1/(1 + 1/w).
	for z := -700.0; z < 2000; z += 0.37 {
		w := omega(z)
		require.InDelta(t, z, w+math.Log(w), 1e-15*(1+math.Abs(z)), z)
	}
	require.InEpsilon(t, 0.5671432904097838, omega(0), 1e-15) // the omega constant
	require.InDelta(t, 1, omega(1), 1e-15)
	require.Zero(t, omega(math.Inf(-1)))
	require.True(t, math.IsNaN(omega(math.NaN())))
}

func TestFieldOfPanels(t *testing.T) {
	m := referencePanel(t)
	f, err := m.Field(2, 3)
	require.NoError(t, err)
	one, all := m.At(640, 40), f.At(640, 40)
	for v := -5.0; v < 25; v += 0.5 {
		require.InDelta(t, 3*one.CurrentA(v), all.CurrentA(2*v), 1e-12)
	}
	require.InEpsilon(t, 2*one.OpenCircuitV(), all.OpenCircuitV(), 1e-13)
	require.InEpsilon(t, 6*one.MaxPower().Pmp, all.MaxPower().Pmp, 1e-13)
	require.Equal(t, 72, f.Parameters().CellsInSeries)
	require.InEpsilon(t, m.IdealityFactor(), f.IdealityFactor(), 1e-14)
	require.InEpsilon(t, 3*m.Parameters().PhotocurrentAPerK, f.Parameters().PhotocurrentAPerK, 1e-14)
	require.Equal(t, -360.0, f.LowestV())
	for _, n := range [][2]int{{0, 1}, {1, 0}, {-1, 1}, {1, 1001}, {28, 1}, {1001, 1}} {
		_, err := m.Field(n[0], n[1])
		require.Error(t, err, n)
	}
	_, err = m.Field(27, 1000)
	require.NoError(t, err)
	_, err = Module{}.Field(1, 1)
	require.Error(t, err)
}

func TestNewRefuses(t *testing.T) {
	good := referencePanel(t).Parameters()
	require.Equal(t, siliconGapEV, good.BandGapEV)
	for name, c := range map[string]struct {
		spoil func(p *Parameters)
		says  string
	}{
		"photocurrent": {func(p *Parameters) { p.PhotocurrentA = 0 }, "photocurrent 0 A"},
		"saturation":   {func(p *Parameters) { p.SaturationCurrentA = math.NaN() }, "diode saturation current NaN"},
		"bare n":       {func(p *Parameters) { p.IdealityV = 1.1 * 36 }, "the bare ideality factor n?"},
		"small a":      {func(p *Parameters) { p.IdealityV = 0.1 }, "modified ideality factor per cell"},
		"series":       {func(p *Parameters) { p.SeriesOhm = -1 }, "series resistance -1 ohm"},
		"shunt":        {func(p *Parameters) { p.ShuntOhm = 0 }, "shunt resistance 0 ohm"},
		"slope":        {func(p *Parameters) { p.PhotocurrentAPerK = math.Inf(1) }, "temperature coefficient"},
		"gap":          {func(p *Parameters) { p.BandGapEV = 1.8e-19 }, "joules?"},
		"cells":        {func(p *Parameters) { p.CellsInSeries = 0 }, "cells in series 0"},
	} {
		p := good
		c.spoil(&p)
		m, err := New(p)
		require.ErrorContains(t, err, c.says, name)
		require.Equal(t, Module{}, m)
	}
	p := good
	p.ShuntOhm = math.Inf(1)
	_, err := New(p)
	require.NoError(t, err)
}

func TestNoAllocation(t *testing.T) {
	m := referencePanel(t)
	var c Curve
	var sink float64
	require.Zero(t, testing.AllocsPerRun(100, func() { c = m.At(600, 30) }))
	require.Zero(t, testing.AllocsPerRun(100, func() { sink += c.CurrentA(14) }))
	require.Zero(t, testing.AllocsPerRun(100, func() { sink += c.VoltageV(0.1) }))
	require.Zero(t, testing.AllocsPerRun(100, func() { sink += c.MaxPower().Pmp }))
	require.Zero(t, testing.AllocsPerRun(100, func() { sink += c.KeptFrac(14) }))
	series, dst := make([]Weather, 24), make([]Output, 24)
	require.Zero(t, testing.AllocsPerRun(10, func() { m.BatchOutput(dst, series, nil, 14) }))
	require.NotZero(t, sink)
}

// The slope from the equation against that of the curve itself.
func TestSlopeOfTheCurve(t *testing.T) {
	m, err := Fit(Label{Vmp: 18, Imp: 0.56, Voc: 21.6, Isc: 0.61, CellsInSeries: 36, IscPctPerK: 0.05, VocPctPerK: -0.33})
	require.NoError(t, err)
	for _, sun := range []float64{20, 200, 1000} {
		for _, cellC := range []float64{-10, 25, 65} {
			c := m.At(sun, cellC)
			for v := -1.0; v < 23; v += 0.7 {
				const h = 1e-4
				want := (c.CurrentA(v+h) - c.CurrentA(v-h)) / (2 * h)
				got := c.SlopeAPerV(v, c.CurrentA(v))
				require.InDelta(t, want, got, 1e-6*math.Abs(want)+1e-9, "%g W/m2, %g °C, %g V", sun, cellC, v)
				require.Negative(t, got)
			}
			require.True(t, math.IsNaN(c.SlopeAPerV(math.NaN(), 0)))
			require.True(t, math.IsNaN(c.SlopeAPerV(1e9, 0)))
		}
	}
	require.Zero(t, Curve{}.SlopeAPerV(3, 0))
}
