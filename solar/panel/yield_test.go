package panel

import (
	"errors"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"github.com/stationphysics/stationphysics"
)

// bellDay is an invented day: a half sine of light from 6 to 18 o'clock in n
// steps of the whole day, with a warm afternoon.
func bellDay(n int, peakWPerM2 float64) []Weather {
	day := make([]Weather, n)
	for i := range day {
		h := 24 * (float64(i) + 0.5) / float64(n)
		day[i] = Weather{
			IrradianceWPerM2: math.Max(0, peakWPerM2*math.Sin(math.Pi*(h-6)/12)),
			AirC:             10 + 5*math.Sin(math.Pi*(h-9)/12),
			WindMPerS:        2,
		}
	}
	return day
}

func TestOutput(t *testing.T) {
	m := referencePanel(t)
	w := Weather{IrradianceWPerM2: 800, AirC: 20, WindMPerS: 1}
	o := m.Output(w, nil, 14)
	cellC := 20 + 800/(25+6.84)
	require.InEpsilon(t, cellC, o.CellC, 1e-14)
	c := m.At(800, cellC)
	require.Equal(t, c.MaxPower().Pmp, o.MaxPowerW)
	require.Equal(t, c.CurrentA(14), o.HeldA)
	require.Equal(t, 14*c.CurrentA(14), o.HeldW)
	insulated := m.Output(w, PolymerInsulated(), 14)
	require.Greater(t, insulated.CellC, o.CellC)
	require.Less(t, insulated.MaxPowerW, o.MaxPowerW)
	require.Zero(t, m.Output(w, nil, 25).HeldA, "above open circuit nothing flows, and nothing back")
	require.Zero(t, m.Output(w, nil, 0).HeldW)
	for _, bad := range []Weather{{-1, 0, 20, 1}, {800, 0, 80, 1}, {800, 0, 20, -1}, {math.NaN(), 0, 20, 1}, {800, 0, math.NaN(), 1}, {800, 0, 20, math.NaN()},
		{800, -1, 20, 1}, {800, 2001, 20, 1}, {800, math.NaN(), 20, 1}} {
		o := m.Output(bad, nil, 14)
		require.True(t, math.IsNaN(o.CellC) && math.IsNaN(o.MaxPowerW) && math.IsNaN(o.HeldA) && math.IsNaN(o.HeldW), bad)
		require.Error(t, bad.Check())
	}
	require.NoError(t, w.Check())
	// Snow keeps the light from the cells but not the heat from the panel.
	snowed := m.Output(Weather{IrradianceWPerM2: 400, OnGlassWPerM2: 800, AirC: 20, WindMPerS: 1}, nil, 14)
	require.Equal(t, o.CellC, snowed.CellC)
	require.Equal(t, m.At(400, cellC).CurrentA(14), snowed.HeldA)
	for _, hold := range []float64{-1, math.NaN(), 181} {
		o := m.Output(w, nil, hold)
		require.True(t, math.IsNaN(o.HeldA) && math.IsNaN(o.HeldW), hold)
		require.Greater(t, o.MaxPowerW, 0.0)
	}
}

func TestYieldSums(t *testing.T) {
	m := referencePanel(t)
	day := bellDay(24*60, 700)
	y, err := m.Yield(day, 1.0/60, nil, 17)
	require.NoError(t, err)
	// The streaming and the batch form agree to the last bit.
	var s Yield
	dst := make([]Output, len(day))
	m.BatchOutput(dst, day, nil, 17)
	for i, w := range day {
		o := m.Output(w, nil, 17)
		require.Equal(t, o, dst[i])
		s.Add(o, 1.0/60)
	}
	require.Equal(t, y, s)
	require.InDelta(t, 12, y.LitH, 1e-9)
	require.InDelta(t, y.HeldAh*17, y.HeldWh, 1e-9)
	require.InEpsilon(t, y.HeldWh/y.MaxPowerWh, y.KeptFrac(), 1e-15)
	require.True(t, y.KeptFrac() > 0.85 && y.KeptFrac() < 1, y.KeptFrac())
	require.True(t, y.IdleH > 0 && y.IdleH < 0.5, "the panel reaches 17 V within minutes: %v", y.IdleH)
	m.BatchOutput(dst[:5], day[600:605], PolymerInsulated(), 17)
	require.Equal(t, m.Output(day[603], PolymerInsulated(), 17), dst[3])
	m.BatchOutput(dst[:5], day[:5], nil, 17)
	other, err := m.Yield(day, 1.0/60, PolymerInsulated(), 17)
	require.NoError(t, err)
	require.Less(t, other.MaxPowerWh, y.MaxPowerWh)
	require.Greater(t, other.HottestCellC, y.HottestCellC+5)
	hottest := 0.0
	for _, o := range dst {
		hottest = math.Max(hottest, o.CellC)
	}
	require.Equal(t, hottest, y.HottestCellC)
	// The integral over the half sine: 24/π·700 Wh/m² at about 10 W per 1000 W/m².
	require.InEpsilon(t, 24/math.Pi*700*0.00985, y.MaxPowerWh, 0.03)
	// Hours instead of minutes change the day by little.
	hours, err := m.Yield(bellDay(24, 700), 1, nil, 17)
	require.NoError(t, err)
	require.InEpsilon(t, y.MaxPowerWh, hours.MaxPowerWh, 5e-3)
}

func TestYieldOfNothing(t *testing.T) {
	m := referencePanel(t)
	y, err := m.Yield(make([]Weather, 24), 1, nil, 14)
	require.NoError(t, err)
	require.Equal(t, Yield{}, y)
	require.Zero(t, y.KeptFrac())
	y, err = m.Yield(nil, 1, nil, 14)
	require.NoError(t, err)
	require.Equal(t, Yield{}, y)
	hold, frac, err := m.BestHold(make([]Weather, 24), 1, nil)
	require.NoError(t, err)
	require.Zero(t, hold)
	require.Zero(t, frac)
	// A frosty lit day: the hottest cells are below zero, not at it.
	y, err = m.Yield([]Weather{{AirC: -40}, {IrradianceWPerM2: 50, AirC: -30}}, 1, nil, 14)
	require.NoError(t, err)
	require.InDelta(t, -28, y.HottestCellC, 1e-9)
	// A NaN is not summed away.
	var s Yield
	s.Add(Output{CellC: math.NaN(), MaxPowerW: math.NaN(), HeldA: math.NaN(), HeldW: math.NaN()}, 1)
	s.Add(Output{MaxPowerW: 1, HeldA: 1, HeldW: 1}, 1)
	require.True(t, math.IsNaN(s.MaxPowerWh) && math.IsNaN(s.HeldWh) && math.IsNaN(s.HeldAh))
}

func TestYieldRefuses(t *testing.T) {
	m := referencePanel(t)
	day := bellDay(24, 700)
	for _, c := range []struct {
		stepH, hold float64
		says        string
	}{
		{60, 14, "step of the series 60 h is outside 0.0002777777777777778..24 h: minutes?"},
		{3600, 14, "seconds?"},
		{0, 14, "step of the series 0 h"},
		{math.NaN(), 14, "step of the series NaN h"},
		{1, -1, "held voltage -1 V is outside 0..180 V"},
		{1, 14000, "held voltage 14000 V is outside 0..180 V: millivolts?"},
		{1, math.NaN(), "held voltage NaN V"},
	} {
		_, err := m.Yield(day, c.stepH, nil, c.hold)
		require.ErrorContains(t, err, c.says)
	}
	day[7].AirC = 293.15
	_, err := m.Yield(day, 1, nil, 14)
	require.EqualError(t, err, "element 7 of the series: air temperature 293.15 °C is outside -100..70 °C: kelvins?")
	var re *stationphysics.RangeError
	require.True(t, errors.As(err, &re))
	require.Equal(t, 293.15, re.Value)
	_, _, err = m.BestHold(day, 1, nil)
	require.Error(t, err)
	// Cells that get too hot for the model are an error as well, not a NaN.
	poor, err := NewFaiman(5, 0)
	require.NoError(t, err)
	_, err = m.Yield([]Weather{{IrradianceWPerM2: 1000, AirC: 20}}, 1, poor, 14)
	require.ErrorContains(t, err, "element 0 of the series: cell temperature 220 °C")
	require.PanicsWithValue(t, "panel: slice lengths differ", func() { m.BatchOutput(make([]Output, 3), day, nil, 14) })
}

func TestBestHold(t *testing.T) {
	m := referencePanel(t)
	day := bellDay(48, 700)
	hold, frac, err := m.BestHold(day, 0.5, nil)
	require.NoError(t, err)
	// No other voltage does better, and the share is that of Yield.
	best, err := m.Yield(day, 0.5, nil, hold)
	require.NoError(t, err)
	require.InEpsilon(t, best.KeptFrac(), frac, 1e-12)
	for v := 1.0; v < 24; v += 0.05 {
		y, err := m.Yield(day, 0.5, nil, v)
		require.NoError(t, err)
		require.LessOrEqual(t, y.HeldWh, best.HeldWh*(1+1e-8), v)
	}
	// One condition alone: its own maximum power point, all of it.
	one := []Weather{{IrradianceWPerM2: 600, AirC: 15, WindMPerS: 1}}
	hold, frac, err = m.BestHold(one, 1, GlassOpenRack())
	require.NoError(t, err)
	require.InDelta(t, m.At(600, GlassOpenRack().CellC(600, 15, 1)).MaxPower().Vmp, hold, 2e-3)
	require.InDelta(t, 1, frac, 1e-7)
	// Hours of one watt per square metre are light too, hours of none are not.
	faint := []Weather{{IrradianceWPerM2: 1, AirC: 15, WindMPerS: 1}, {AirC: 10}}
	hold, frac, err = m.BestHold(faint, 1, GlassOpenRack())
	require.NoError(t, err)
	require.InDelta(t, m.At(1, GlassOpenRack().CellC(1, 15, 1)).MaxPower().Vmp, hold, 2e-3)
	require.InDelta(t, 1, frac, 1e-6)
}

func TestWindow(t *testing.T) {
	m := referencePanel(t)
	w, err := m.Window(-25, 35, nil)
	require.NoError(t, err)
	require.Equal(t, m.At(1000, -25).OpenCircuitV(), w.ColdestV)
	require.Equal(t, m.At(100, -25).OpenCircuitV(), w.FirstLightV)
	require.Equal(t, m.At(1000, -25).MaxPower().Vmp, w.ColdMaxPowerV)
	require.InEpsilon(t, 35+1000.0/25, w.HotCellC, 1e-14)
	require.Equal(t, m.At(1000, 75).MaxPower().Vmp, w.HotMaxPowerV)
	require.Equal(t, m.At(1000, 75).OpenCircuitV(), w.HottestV)
	// The order that the words promise.
	require.True(t, w.HotMaxPowerV < w.HottestV && w.HotMaxPowerV < w.ColdMaxPowerV && w.ColdMaxPowerV < w.ColdestV && w.FirstLightV < w.ColdestV)
	// Close to the label's rule of thumb: Voc (1 + coefficient · (-50 K)).
	small, err := Fit(smallPanel)
	require.NoError(t, err)
	w, err = small.Window(-25, 35, GlassCloseRoof())
	require.NoError(t, err)
	require.InEpsilon(t, 7.2*(1+0.0033*50), w.ColdestV, 0.01)
	require.InDelta(t, GlassCloseRoof().CellC(1000, 35, 0), w.HotCellC, 1e-12)

	still, err := m.Window(20, 20, nil)
	require.NoError(t, err)
	require.Equal(t, 60.0, still.HotCellC)
	_, err = m.Window(20, -5, nil)
	var ce *stationphysics.ConflictError
	require.True(t, errors.As(err, &ce))
	require.Equal(t, []string{"record low", "record high"}, ce.Quantities)
	_, err = m.Window(248, 35, nil)
	require.ErrorContains(t, err, "kelvins?")
	_, err = m.Window(-20, 95, nil)
	require.ErrorContains(t, err, "degrees Fahrenheit?")
	poor, err := NewFaiman(5, 0)
	require.NoError(t, err)
	_, err = m.Window(-20, 35, poor)
	require.ErrorContains(t, err, "cell temperature 235 °C")
}

func TestHeatModels(t *testing.T) {
	nominal, err := NewNominal(47)
	require.NoError(t, err)
	models := map[string]CellTemperature{"open rack": OpenRack(), "nominal": nominal, "nominal in wind": nominal.WithWind(),
		"glass": GlassOpenRack(), "polymer": PolymerOpenRack(), "roof": GlassCloseRoof(), "insulated": PolymerInsulated()}
	for name, h := range models {
		require.Equal(t, 12.5, h.CellC(0, 12.5, 3), name)
		require.Greater(t, h.CellC(900, 12, 3), h.CellC(500, 12, 3), name)
		require.LessOrEqual(t, h.CellC(900, 12, 6), h.CellC(900, 12, 3), name)
		require.InDelta(t, 10, h.CellC(900, 22, 3)-h.CellC(900, 12, 3), 1e-12, name)
		for _, ok := range [][3]float64{{2000, 70, 75}, {0, -100, 0}} {
			require.False(t, math.IsNaN(h.CellC(ok[0], ok[1], ok[2])), name)
			require.NoError(t, CheckCellTemperature(ok[0], ok[1], ok[2]))
		}
		for _, bad := range [][3]float64{{-0.1, 12, 3}, {2001, 12, 3}, {500, -101, 3}, {500, 71, 3}, {500, 12, -0.1}, {500, 12, 76},
			{math.NaN(), 12, 3}, {500, math.NaN(), 3}, {500, 12, math.NaN()}} {
			require.True(t, math.IsNaN(h.CellC(bad[0], bad[1], bad[2])), "%s %v", name, bad)
			require.Error(t, CheckCellTemperature(bad[0], bad[1], bad[2]))
		}
	}
	require.True(t, math.IsNaN(GlassOpenRack().BackC(-1, 0, 0)))
	// The zero values stand for what their comments say.
	require.Equal(t, OpenRack().CellC(700, 5, 2), Faiman{}.CellC(700, 5, 2))
	require.Equal(t, 5+25*700.0/800, Nominal{}.CellC(700, 5, 2))
	require.Equal(t, PolymerOpenRack().CellC(700, 5, 2), BackSheet{}.CellC(700, 5, 2))
	require.Equal(t, PolymerOpenRack().BackC(700, 5, 2), BackSheet{}.BackC(700, 5, 2))
	f, err := NewFaiman(25, 6.84)
	require.NoError(t, err)
	require.Equal(t, OpenRack(), f)
	for _, u := range [][2]float64{{4.9, 5}, {81, 5}, {25, -0.1}, {25, 21}, {math.NaN(), 5}, {25, math.NaN()}} {
		_, err := NewFaiman(u[0], u[1])
		require.Error(t, err)
	}
	for noct, says := range map[float64]string{32.9: "32.9", 70.1: "70.1", 318: "kelvins?", 113: "degrees Fahrenheit?", math.NaN(): "NaN"} {
		_, err := NewNominal(noct)
		require.ErrorContains(t, err, says)
	}
	require.ErrorContains(t, CheckCellTemperature(500, 12, 100), "km/h?")
}

// Any panel's leaks satisfy the single-diode equation in the dark, without shunt and
// with it, also where the series resistance is no small part of the shunt.
func TestDarkLeakSolvesTheEquation(t *testing.T) {
	rng := rand.New(rand.NewPCG(12, 2026))
	for range 3000 {
		m := randomModule(rng)
		v, cell := m.HighestV()*0.14*rng.Float64(), -30+80*rng.Float64()
		least, most := m.DarkLeakA(v, cell)
		c := m.At(0, cell)
		// Of the sum of the terms, as TestCurveClosesTheEquation holds the lit curve.
		require.LessOrEqual(t, residual(c, v, -least), 1e-14, "%+v", m.Parameters())
		c.gsh = m.gsh
		require.LessOrEqual(t, residual(c, v, -most), 1e-14, "%+v", m.Parameters())
		require.LessOrEqual(t, least, most*(1+1e-9))
	}
}

// Parameters within the ranges of their fields that together make no cell.
func TestWindowOfNoCell(t *testing.T) {
	m, err := New(Parameters{PhotocurrentA: 1000, SaturationCurrentA: 1e-30, IdealityV: 0.15, ShuntOhm: math.Inf(1), CellsInSeries: 1})
	require.NoError(t, err)
	_, err = m.Window(-10, 40, nil)
	require.ErrorContains(t, err, "open-circuit voltage")
	require.ErrorContains(t, err, "is outside 0..5 V")
}

func TestDarkLeak(t *testing.T) {
	m := referencePanel(t)
	least, most := m.DarkLeakA(12.8, 25)
	require.InEpsilon(t, m.par.SaturationCurrentA*math.Exp(12.8/m.par.IdealityV), least, 1e-3)
	require.InEpsilon(t, 12.8/1202.2, most, 1e-2)
	warm, _ := m.DarkLeakA(12.8, 45)
	require.Greater(t, warm, 5*least)
	least, most = m.DarkLeakA(0, 25)
	require.Zero(t, least)
	require.Zero(t, most)
	for _, bad := range [][2]float64{{-1, 25}, {181, 25}, {12, 200}, {math.NaN(), 25}, {12, math.NaN()}} {
		least, most := m.DarkLeakA(bad[0], bad[1])
		require.True(t, math.IsNaN(least) && math.IsNaN(most), bad)
	}
	least, most = Module{}.DarkLeakA(12, 25)
	require.Zero(t, least)
	require.Zero(t, most)
}

func TestLargest(t *testing.T) {
	inside := func(f func(float64) float64) func(float64) float64 {
		return func(x float64) float64 {
			require.True(t, x >= 2-1e-12 && x <= 10+1e-12, "asked at %v", x)
			return f(x)
		}
	}
	hill := func(at, height float64) func(float64) float64 {
		return func(x float64) float64 { return height - math.Abs(x-at) }
	}
	for _, c := range []struct{ at, other float64 }{{2, 9}, {10, 3}, {2.3, 8}, {9.9, 3}, {6.07, 2.5}} {
		// A lower and wider hill elsewhere must not win.
		f := inside(func(x float64) float64 {
			return math.Max(hill(c.at, 1)(x), 0.6-0.1*math.Abs(x-c.other))
		})
		x, y := largest(f, 2, 10, 40, 1e-9)
		require.InDelta(t, c.at, x, 2e-9, c)
		require.InDelta(t, 1, y, 2e-9, c)
	}
	calls := 0
	largest(func(x float64) float64 { calls++; return -x * x }, -1, 1, 8, 1e-3)
	// 9 points, 2 to begin with, 0.5 shrunk to 1e-3 by 0.618 each, the result.
	require.Equal(t, 9+2+13+1, calls)
}
