package power

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"github.com/stationphysics/stationphysics/internal/limit/limittest"
)

var chainSchottky = DiodeSpec{SaturationA: 2e-7, Ideality: 1.05, SeriesOhm: 0.12, NominalC: 25, BarrierV: 0.69, GrowthExponent: 2}

func diode(t testing.TB, s DiodeSpec) Diode {
	t.Helper()
	d, err := NewDiode(s)
	require.NoError(t, err)
	return d
}

func TestDiodeRoundTripAndLimits(t *testing.T) {
	d := diode(t, chainSchottky)
	require.Equal(t, chainSchottky, d.Spec())
	require.Equal(t, 25.0, d.TempC())
	last := -math.MaxFloat64
	for _, i := range []float64{-1.9999e-7, -1e-7, -1e-12, 0, 1e-12, 1e-7, 1e-4, 0.01, 0.17, 1, 30} {
		v := d.VoltageV(i)
		require.Greater(t, v, last, "voltage rises with current")
		last = v
		if i != 0 {
			require.InEpsilon(t, i, d.CurrentA(v), 1e-9)
		}
	}
	// Small currents lose nothing either: some roundings of 1e-16.
	for _, i := range []float64{-1e-12, -1e-18, 1e-18, 1e-15, 1e-12} {
		require.InEpsilon(t, i, d.CurrentA(d.VoltageV(i)), 1e-14, "%g A", i)
	}
	require.Equal(t, 0.0, d.VoltageV(0))
	require.Equal(t, 0.0, d.CurrentA(0))
	require.InDelta(t, -2e-7, d.CurrentA(-20), 1e-13, "reverse: the saturation current")
	require.InDelta(t, 1000/0.12, d.CurrentA(1000), 20, "far above: the series resistance alone")

	ideal := chainSchottky
	ideal.SeriesOhm = 0
	e := diode(t, ideal)
	require.InEpsilon(t, 0.1, e.CurrentA(e.VoltageV(0.1)), 1e-12)

	nan := math.NaN()
	for _, v := range []float64{d.VoltageV(nan), d.VoltageV(math.Inf(1)), d.VoltageV(-2e-7), d.VoltageV(-1), d.CurrentA(nan), d.CurrentA(1000.1), d.CurrentA(-1000.1),
		Diode{}.VoltageV(0.1), Diode{}.CurrentA(0.1), Diode{}.CurrentA(-1), Diode{}.TempC(), Diode{}.At(25).VoltageV(0.1), d.At(nan).VoltageV(0.1), d.At(201).VoltageV(0.1), d.At(-91).CurrentA(0.1)} {
		require.True(t, math.IsNaN(v))
	}
}

func TestDiodeTemperature(t *testing.T) {
	d := diode(t, chainSchottky)
	require.Equal(t, d.VoltageV(0.1), d.At(85).At(25).VoltageV(0.1), "moving there and back")
	// Colder: more forward voltage, less leakage.
	for c := -85.0; c <= 195; c += 5 {
		require.Greater(t, d.At(c).VoltageV(0.01), d.At(c+5).VoltageV(0.01))
		require.Less(t, -d.At(c).CurrentA(-20), -d.At(c+5).CurrentA(-20))
	}
	// The textbook slope of a silicon junction at a milliampere, -2 mV/K
	// (from memory), comes out of the temperature law.
	j := diode(t, DiodeSpec{SaturationA: 1e-14, Ideality: 1, NominalC: 25, BarrierV: 1.11, GrowthExponent: 3})
	require.InDelta(t, -2e-3, (j.At(26).VoltageV(1e-3)-j.At(24).VoltageV(1e-3))/2, 0.3e-3)
}

func TestDiodeRefuses(t *testing.T) {
	for quantity, change := range map[string]func(*DiodeSpec){
		"saturation current":          func(s *DiodeSpec) { s.SaturationA = 0 },
		"ideality factor":             func(s *DiodeSpec) { s.Ideality = 0.5 },
		"series resistance":           func(s *DiodeSpec) { s.SeriesOhm = -1 },
		"junction temperature":        func(s *DiodeSpec) { s.NominalC = 298 },
		"barrier voltage":             func(s *DiodeSpec) { s.BarrierV = math.NaN() },
		"saturation current exponent": func(s *DiodeSpec) { s.GrowthExponent = -1 },
	} {
		s := chainSchottky
		change(&s)
		_, err := NewDiode(s)
		limittest.RefusesRange(t, err, quantity)
	}
	pt := func(v, i float64) ForwardPoint { return ForwardPoint{v, i} }
	_, err := DiodeFromPoints(Schottky, 298, pt(0.45, 1), pt(0.75, 3))
	limittest.RefusesRange(t, err, "junction temperature")
	_, err = DiodeFromPoints(Schottky, 25, pt(450, 1), pt(0.75, 3))
	limittest.RefusesRange(t, err, "forward voltage")
	require.ErrorContains(t, err, "millivolts?")
	_, err = DiodeFromPoints(Schottky, 25, pt(0.45, 1), pt(750, 3))
	limittest.RefusesRange(t, err, "forward voltage")
	_, err = DiodeFromPoints(Schottky, 25, pt(0.45, -1), pt(0.75, 3))
	limittest.RefusesRange(t, err, "forward current")
	_, err = DiodeFromPoints(Schottky, 25, pt(0.45, 1), pt(0.75, 3000))
	limittest.RefusesRange(t, err, "forward current")
	_, err = DiodeFromPoints(Schottky, 25, pt(0.75, 3), pt(0.45, 1))
	limittest.RefusesConflict(t, err, "more current and more voltage")
	_, err = DiodeFromPoints(Schottky, 25, pt(0.45, 1), pt(0.45, 3))
	limittest.RefusesConflict(t, err, "more current and more voltage")
	_, err = DiodeFromPoints(Schottky, 25, pt(0.45, 1), pt(0.75, 1))
	limittest.RefusesConflict(t, err, "more current and more voltage")
	_, err = DiodeFromPoints(Schottky, 25, pt(0.45, 1), pt(0.46, 3))
	limittest.RefusesConflict(t, err, "so steep")
	require.ErrorContains(t, err, "voltage 0.45 V and current of the first point 1 A and voltage 0.46 V and current of the second point 3 A contradict each other: ")
	_, err = DiodeFromPoints(Schottky, 25, pt(0.05, 1), pt(5, 1.001))
	limittest.RefusesConflict(t, err, "passes through both")
	d, err := DiodeFromPoints(Junction, 25, pt(0.75, 0.1), pt(1.1, 1))
	require.NoError(t, err)
	require.Equal(t, 1.8, d.Spec().Ideality)
	require.Equal(t, 1.11, d.Spec().BarrierV)
	require.Equal(t, 3.0, d.Spec().GrowthExponent)
	require.InDelta(t, 0.75, d.VoltageV(0.1), 1e-12)
	require.InDelta(t, 1.1, d.VoltageV(1), 1e-12)
	d, err = DiodeFromPoints(Schottky, 25, pt(0.3, 0.1), pt(0.45, 1))
	require.NoError(t, err)
	require.Equal(t, DiodeSpec{SaturationA: d.Spec().SaturationA, SeriesOhm: d.Spec().SeriesOhm, Ideality: 1.05, NominalC: 25, BarrierV: 0.69, GrowthExponent: 2}, d.Spec())
}

func FuzzDiode(f *testing.F) {
	f.Add(0.17, 0.39, 25.0)
	f.Add(-1e-8, -5.0, -40.0)
	f.Add(math.NaN(), math.Inf(-1), 300.0)
	f.Add(math.MaxFloat64, 1000.0, 25.0) // the largest number counts as infinite
	f.Add(-2e-7, -1000.0, 25.0)          // the saturation current itself
	f.Fuzz(func(t *testing.T, i, v, c float64) {
		base := diode(t, chainSchottky)
		d := base.At(c)
		okT := c >= -90 && c <= 200
		if got := d.CurrentA(v); math.IsNaN(got) == (okT && v >= -1000 && v <= 1000) {
			t.Fatalf("CurrentA(%g) at %g = %g", v, c, got)
		} else if !math.IsNaN(got) && v > -0.5 && v < 100 {
			if back := d.VoltageV(got); math.Abs(back-v) > 1e-9*(1+math.Abs(v)) && got > -d.isA*0.999 {
				t.Fatalf("%g V -> %g A -> %g V at %g °C", v, got, back, c)
			}
		}
		okI := okT && i > -d.isA && i < math.MaxFloat64
		if got := d.VoltageV(i); math.IsNaN(got) == okI {
			t.Fatalf("VoltageV(%g) at %g = %g", i, c, got)
		}
		if got := d.SlopeOhm(i); math.IsNaN(got) == okI {
			t.Fatalf("SlopeOhm(%g) at %g = %g", i, c, got)
		}
	})
}

func TestDiodeSlope(t *testing.T) {
	d, err := DiodeFromPoints(Schottky, 25, ForwardPoint{0.3, 0.1}, ForwardPoint{0.5, 1})
	require.NoError(t, err)
	for i := 1e-6; i < 3; i *= 3 {
		h := i * 1e-4
		want := (d.VoltageV(i+h) - d.VoltageV(i-h)) / (2 * h)
		require.InEpsilon(t, want, d.SlopeOhm(i), 1e-6, "%g A", i)
	}
	require.True(t, math.IsNaN(d.SlopeOhm(math.NaN())))
	require.True(t, math.IsNaN(d.SlopeOhm(-1)))
	require.True(t, math.IsNaN(Diode{}.SlopeOhm(0.1)))
}

// A diode so hot that its saturation current times its resistance exceeds the
// voltage in reverse by far conducts like that resistance.
func TestHotDiodeInReverse(t *testing.T) {
	d, err := NewDiode(DiodeSpec{SaturationA: 1.1e-9, Ideality: 1.225, SeriesOhm: 0.1, NominalC: -31, BarrierV: 2.76, GrowthExponent: 8})
	require.NoError(t, err)
	hot := d.At(102.5)
	require.Greater(t, hot.isA*0.1, 1e6, "volts across the resistance at the saturation current")
	// At the last of these the junction takes 2e-14 V: a step of that size does not end
	// the search.
	for _, v := range []float64{-1e-6, -1, -22.5, -1000, -5e-13 * hot.isA * 0.1} {
		// The junction takes nVt·ln(1 + I/Is), nanovolts here.
		require.InEpsilon(t, v/0.1, hot.CurrentA(v), 1e-6, "%g V", v)
		// The round trip adds some roundings of 1e-16.
		require.InEpsilon(t, v, hot.VoltageV(hot.CurrentA(v)), 1e-14, "%g V", v)
	}
}

// In the cold e^(V/nVt) moves fastest: a volt is 79 times nVt, more than the steps
// that the search for the current has. It starts near enough all the same, forward
// and with a saturation current whose resistive drop exceeds the voltage in reverse.
func TestColdDiodeFindsItsCurrent(t *testing.T) {
	s := DiodeSpec{SaturationA: 1e-4, Ideality: 0.8, SeriesOhm: 1, NominalC: -90, BarrierV: 0.69, GrowthExponent: 2}
	forward := diode(t, s)
	s.SaturationA, s.SeriesOhm = 0.1, 100
	reverse := diode(t, s)
	for _, v := range []float64{0.2, 0.5, 1} {
		// The round trip adds some roundings of 1e-16.
		require.InEpsilon(t, v, forward.VoltageV(forward.CurrentA(v)), 1e-14, "%g V", v)
		require.InEpsilon(t, -v, reverse.VoltageV(reverse.CurrentA(-v)), 1e-14, "%g V", -v)
	}
}

// Two points of a diode without series resistance give it back, on whichever side of
// nothing the rounding leaves what the resistance would take.
func TestPointsOfADiodeWithoutResistance(t *testing.T) {
	s := chainSchottky
	s.SeriesOhm = 0
	d := diode(t, s)
	for i := 0.001; i < 10; i *= 1.07 {
		low, high := ForwardPoint{d.VoltageV(i), i}, ForwardPoint{d.VoltageV(3 * i), 3 * i}
		got, err := DiodeFromPoints(Schottky, 25, low, high)
		require.NoError(t, err, "%g A", i)
		// Where a resistance is left it takes the last digits of 1 V.
		require.InDelta(t, 0, got.Spec().SeriesOhm*high.CurrentA, 1e-14)
		require.InEpsilon(t, s.SaturationA, got.Spec().SaturationA, 1e-12)
	}
}
