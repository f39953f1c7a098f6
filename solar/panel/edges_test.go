package panel

import (
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"github.com/stationphysics/stationphysics"
	"github.com/stationphysics/stationphysics/internal/limit/limittest"
	"github.com/stationphysics/stationphysics/solar"
	"github.com/stationphysics/stationphysics/solar/sky"
)

// TestOmegaIsAsGoodAsItSays about the changes from one first guess to the next, and
// where one step is just enough: what is left of the equation, over 1 + w, is the
// relative error of w. The logarithm itself is off by up to a last digit of z.
func TestOmegaIsAsGoodAsItSays(t *testing.T) {
	const ulp = 1.0 / (1 << 52)
	for z := -12.0; z < 40; z += 1.7e-3 {
		w := omega(z)
		off := math.Abs((z-math.Log(w))-w) / (1 + w)
		if most := 4e-16*(1+math.Abs(z)) + ulp*math.Abs(z); !(off <= most) {
			t.Fatalf("omega(%g) = %g is off by %.1e of itself, more than %.1e", z, w, off, most)
		}
	}
}

// TestDarkLeakOfOneCell: without series resistance the shunt takes V/Rsh beside what
// the diode takes, for one cell as for many.
func TestDarkLeakOfOneCell(t *testing.T) {
	m, err := New(Parameters{PhotocurrentA: 1, SaturationCurrentA: 1e-9, IdealityV: 0.026, ShuntOhm: 50, CellsInSeries: 1})
	require.NoError(t, err)
	least, most := m.DarkLeakA(0.4, 25)
	require.InEpsilon(t, 1e-9*math.Expm1(0.4/0.026), least, 1e-12)
	require.InEpsilon(t, 0.4/50, most-least, 1e-12)
}

// A panel whose photocurrent is one ampere is no marker for anything: two in series open
// at twice the voltage of one.
func TestSeriesOfOneAmpere(t *testing.T) {
	m, err := New(Parameters{PhotocurrentA: 1, SaturationCurrentA: 1e-9, IdealityV: 0.9, SeriesOhm: 0.1, ShuntOhm: 500, CellsInSeries: 36})
	require.NoError(t, err)
	c := m.At(1000, 25)
	require.Equal(t, 1.0, c.iL)
	g, err := Series(0.6, c, c)
	require.NoError(t, err)
	require.InEpsilon(t, 2*c.OpenCircuitV(), g.OpenCircuitV(), 1e-14)
}

// In little light currents are small, and the best is found as sharply as in much:
// 1e-6 of the voltage is ten times what MaxPower states.
func TestSeriesInLittleLight(t *testing.T) {
	m := referencePanel(t)
	two, err := m.Field(2, 1)
	require.NoError(t, err)
	for _, sun := range []float64{0.01, 1, 30, 1000} {
		c := m.At(sun, 25)
		g, err := Series(0.6, c, c)
		require.NoError(t, err)
		got, want := g.MaxPower(), two.At(sun, 25).MaxPower()
		require.InEpsilon(t, want.Pmp, got.Pmp, 1e-11, "%g W/m²", sun)
		require.InEpsilon(t, want.Vmp, got.Vmp, 1e-6, "%g W/m²", sun)
		require.InEpsilon(t, want.Imp, got.Imp, 1e-6, "%g W/m²", sun)
	}
}

// The rated power is compared to 5 % either way, and a cell's voltage from 0.45 to
// 0.80 V with both ends.
func TestLabelLimits(t *testing.T) {
	p := smallPanel.Vmp * smallPanel.Imp
	for ratio, fits := range map[float64]bool{0.94998: false, 0.95002: true, 1.04998: true, 1.05002: false} {
		l := smallPanel
		l.Pmax = ratio * p
		require.Equal(t, fits, l.check() == nil, "%g", ratio)
	}
	milli := smallPanel
	for ratio, looks := range map[float64]bool{0.94998: false, 0.95002: true, 1.04998: true, 1.05002: false} {
		milli.Imp, milli.Isc = 0.00835, 0.009
		milli.Pmax = ratio * 1000 * milli.Vmp * milli.Imp
		err := milli.check()
		require.Error(t, err)
		if looks {
			require.ErrorContains(t, err, "milliwatts?")
		} else {
			require.NotContains(t, err.Error(), "milliwatts")
		}
	}
	for _, c := range []struct {
		voc  float64
		fits bool
	}{
		{math.Nextafter(0.9, 0), false}, {0.9, true}, {1.6, true}, {math.Nextafter(1.6, 2), false},
	} {
		l := smallPanel
		l.CellsInSeries, l.Voc, l.Vmp, l.Pmax = 2, c.voc, 0.84*c.voc, 0
		require.Equal(t, c.fits, l.check() == nil, "%g V of two cells", c.voc)
	}
}

// A cell that no one makes opens far above what curves are given for, one alone as well
// as many: 0.15 V times ln(1e33) is 11 V. The panel that delivers nothing opens at 0 V.
func TestWindowOfOneCell(t *testing.T) {
	m, err := New(Parameters{PhotocurrentA: 1000, SaturationCurrentA: 1e-30, IdealityV: 0.15, ShuntOhm: math.Inf(1), CellsInSeries: 1})
	require.NoError(t, err)
	_, err = m.Window(-20, 40, nil)
	limittest.RefusesRange(t, err, "open-circuit voltage")
	// One of less than an ampere opens where it should, without a shunt as well: at
	// 0.026 V times ln(1 + 0.5e9).
	small, err := New(Parameters{PhotocurrentA: 0.5, SaturationCurrentA: 1e-9, IdealityV: 0.026, ShuntOhm: math.Inf(1), CellsInSeries: 1})
	require.NoError(t, err)
	at25, err := small.Window(25, 25, nil)
	require.NoError(t, err)
	require.InEpsilon(t, 0.026*math.Log1p(0.5e9), at25.ColdestV, 1e-12)
	w, err := Module{}.Window(-20, 40, nil)
	require.NoError(t, err)
	require.Equal(t, Window{HotCellC: 40 + 1000/25.0}, w)
}

// The series ends before x⁵/6, which is 5e-15 of x where the logarithm takes over.
func TestLnOnePlus(t *testing.T) {
	for x := 1.0; x > 1e-9; x *= 0.9 {
		for _, x := range []float64{x, -x / 2, 1.9999e-3, -1.9999e-3} {
			require.InEpsilon(t, math.Log1p(x), lnOnePlus(x), 1e-14, "%g", x)
		}
	}
}

// The panel that delivers nothing has no bound of its own: a charger may hold it at any
// voltage, and gets nothing.
func TestHoldOfNothing(t *testing.T) {
	y, err := Module{}.Yield([]Weather{{IrradianceWPerM2: 800, AirC: 20}}, 1, nil, 12)
	require.NoError(t, err)
	require.Equal(t, Yield{}, y)
	_, err = Module{}.Yield(nil, 1, nil, 1001)
	limittest.RefusesRange(t, err, "held voltage")
}

// One cell is held best below a volt: under one weather at its maximum power point, to
// the millivolt of the search.
func TestBestHoldOfOneCell(t *testing.T) {
	m, err := New(Parameters{PhotocurrentA: 3, SaturationCurrentA: 1e-9, IdealityV: 0.026, SeriesOhm: 0.005, ShuntOhm: 50, CellsInSeries: 1})
	require.NoError(t, err)
	w := Weather{IrradianceWPerM2: 800, AirC: 10}
	holdV, keptFrac, err := m.BestHold([]Weather{w}, 1, nil)
	require.NoError(t, err)
	require.InDelta(t, m.At(800, w.cellC(usualHeat)).MaxPower().Vmp, holdV, 1e-3)
	require.InDelta(t, 1, keptFrac, 1e-4) // the power is flat there
}

// That a module's a is just one volt marks nothing: without a drop the current behind a
// part is that of the curve.
func TestHeldBehindAtOneVolt(t *testing.T) {
	var c Curve
	// The ratio of the temperatures is a rounding off 1.
	for _, a := range []float64{1 - 0x1p-53, 1, 1 + 0x1p-52} {
		m, err := New(Parameters{PhotocurrentA: 3, SaturationCurrentA: 1e-9, IdealityV: a, SeriesOhm: 0.1, ShuntOhm: 500, CellsInSeries: 36})
		require.NoError(t, err)
		if c = m.At(1000, 25); c.a == 1 {
			break
		}
	}
	require.Equal(t, 1.0, c.a)
	i, dropV := c.HeldBehind(14, func(float64) (float64, float64) { return 0, 0 })
	require.InEpsilon(t, c.CurrentA(14), i, 1e-9)
	require.Zero(t, dropV)
}

// Light that level ground may have can exceed on a tilted panel what a panel takes: no
// mount is found then, and no number that is none.
func TestBestMountOfTooMuchLight(t *testing.T) {
	m, err := Fit(Label{Vmp: 17.5, Imp: 0.5714, Voc: 21.6, Isc: 0.62, IscPctPerK: 0.05, VocPctPerK: -0.33, CellsInSeries: 36})
	require.NoError(t, err)
	site, err := solar.NewSite(48.2, 16.37, 200)
	require.NoError(t, err)
	series := make([]Step, 3)
	for i := range series {
		series[i] = Step{Record: sky.Record{Start: time.Unix(1710932500, 0).Add(time.Duration(i) * 7 * time.Hour), Length: 3560 * time.Second,
			Light: sky.Light{GlobalWPerM2: 1768, BeamNormalWPerM2: 1492, DiffuseWPerM2: 960}}, AirC: 15, WindMPerS: 57.6, SnowPct: 8, Group: i % 2}
	}
	_, err = m.BestMount(series, sky.Mount{Albedo: 1}, site, nil, 12)
	var re *stationphysics.RangeError
	require.ErrorAs(t, err, &re)
	require.ErrorContains(t, err, "on the best mount: irradiance on the panel 2")
	require.Equal(t, "irradiance on the panel", re.Quantity)
	require.Greater(t, re.Value, 2000.0)
}
