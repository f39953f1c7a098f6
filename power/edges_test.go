package power

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
)

// While it limits itself, what goes in comes out or becomes heat, the part's own
// current among it.
func TestEnergyWhileThermallyLimited(t *testing.T) {
	s := bench1117
	s.QuiescentA, s.GroundRatio = 0.01, 0.05
	p := linear(t, s).AtHot(13.5, 30, Cooling{AmbientC: 40, ThetaKPerW: 100})
	require.Equal(t, ThermallyLimited, p.State)
	require.InDelta(t, p.LoadA*1.05+0.01, p.InputA, 1e-12)
	require.InDelta(t, p.InputV*p.InputA, p.DissipationW+p.OutputV*p.LoadA, 1e-12)
}

// An output of less than a volt in dropout is an output: 2 V in, 1 ohm of
// dropout and 1.5 A leave half a volt.
func TestLowOutputInDropout(t *testing.T) {
	r := linear(t, LinearSpec{SetV: 5, BandPct: 2, DropoutOhm: 1, MaxInputV: 20, CurrentLimitA: 3, MaxJunctionC: 125})
	p := r.At(2, 1.5)
	require.Equal(t, Dropout, p.State)
	require.InDelta(t, 0.5, p.OutputV, 1e-12)
	require.InDelta(t, 1.5, p.LoadA, 1e-12)
}

// An input of the last digit above the drop of a part without resistance leaves an
// output that rounds to 0, and the load takes what it asks for.
func TestLastDigitAboveTheDrop(t *testing.T) {
	s := bench1117
	s.DropoutOhm = 0
	in := math.Nextafter(1.05, 2)
	p := linear(t, s).At(in, 0.1)
	require.Equal(t, Dropout, p.State)
	require.Equal(t, 0.0, p.OutputV)
	require.Equal(t, 0.1, p.LoadA)
	require.InDelta(t, 0.105, p.InputA, 1e-15, "the last digits of the sum")
	require.InDelta(t, 1.05*0.105, p.DissipationW, 1e-15, "by hand: all that goes in; the last digits of the product")
}

// One second of sleep counts, and the phase that overfills the period is named
// by its number.
func TestOneSecondOfSleep(t *testing.T) {
	p := pattern(t, LoadSpec{PeriodS: 3, AsleepA: 0.3, Phases: []LoadPhase{{"on", 0.6, 2, 1}}})
	r := linear(t, LinearSpec{SetV: 5, BandPct: 2, DropoutV: 1, MaxInputV: 20, CurrentLimitA: 1, MaxJunctionC: 125})
	require.InDelta(t, (0.3+2*0.6)/3, p.SourceA(r, 9, 0), 1e-12)
	_, err := NewLoad(LoadSpec{PeriodS: 3, Phases: []LoadPhase{{"on", 0.6, 2, 1}, {"more", 0.6, 2, 1}}})
	require.ErrorContains(t, err, "duration of the phases up to 2 4 s")
}

// A step-up part that is stated to start from nothing would take an endless current
// from next to nothing.
func TestStepUpFromNextToNothing(t *testing.T) {
	for _, up := range []bool{true, false} {
		c := converter(t, ConverterSpec{OutputV: 12, StepUp: up, MaxInputV: 24, LimitA: 1, CurveInputV: map[bool]float64{true: 5, false: 24}[up], Curve: []EfficiencyPoint{{1, 0.9}}})
		for _, in := range []float64{5e-324, 1e-308, 1e-9} {
			for _, load := range []float64{0.5, 2} {
				p := c.At(in, load)
				require.False(t, math.IsInf(p.InputA, 0) || math.IsInf(p.DissipationW, 0), "%g V, %g A: %+v", in, load, p)
			}
		}
		require.Equal(t, Off, c.At(1e-10, 0.5).State)
	}
}

// Without a load an infinite resistance is no number to multiply by: too much own
// current alone leaves an output of 0.
func TestThermalLimitWithoutALoad(t *testing.T) {
	s := bench1117
	s.QuiescentA, s.ShutdownC = 0.01, 165
	c := Cooling{AmbientC: 125, ThetaKPerW: 500}
	p := linear(t, s).AtHot(13.5, math.Inf(1), c)
	require.Equal(t, Point{State: ThermallyLimited, InputV: 13.5, InputA: 0.01, DissipationW: 0.135}, p, "by hand: 13.5 V times 10 mA, above (165-125)/500 = 0.08 W")
	require.Equal(t, p, linear(t, s).AtHot(13.5, 1e300, c))
}

// At the input of 1.2 V, 1 V of constant drop and 0.5 ohm pass 0.4 A into whatever asks
// for more, be it below or above the current limit, or a short circuit.
func TestDropoutPassesNoMoreAboveTheLimit(t *testing.T) {
	r := linear(t, LinearSpec{SetV: 5, DropoutV: 1, DropoutOhm: 0.5, QuiescentA: 0.01, MaxInputV: 20, CurrentLimitA: 1})
	short := r.AtOhm(1.2, 0)
	require.InDelta(t, 0.4, short.LoadA, 1e-12, "by hand: 0.2 V / 0.5 ohm")
	require.Equal(t, short, r.At(1.2, 0.9))
	require.Equal(t, short, r.At(1.2, 1.1))
	require.Equal(t, CurrentLimited, r.At(1.5, 1.1).State, "0.5 V / 0.5 ohm is the limit")
	require.Equal(t, 1.0, r.At(9, 1.1).LoadA)
}

// The zero value answers every question with NaN.
func TestZeroLinearPromisesNothing(t *testing.T) {
	require.True(t, math.IsNaN(Linear{}.LargestLoadA(0, 1)))
	require.True(t, math.IsNaN(Linear{}.LargestInputV(0, 1)))
}

// A panel whose curve ends in a cliff has a share at every voltage below it, and no
// panel gives more than its maximum power.
func TestHeldShareOfSteepAndFlatCurves(t *testing.T) {
	held := func(holdV float64, p PanelPoint) float64 {
		c, err := NewCharger(ChargerSpec{HoldV: holdV, SetV: 5, LimitA: 1, EfficiencyFrac: 0.9, MaxInputV: 30})
		require.NoError(t, err)
		return c.HeldFrac(p)
	}
	steep := PanelPoint{Vmp: 20, Imp: 0.999, Voc: 20.05, Isc: 1}
	require.InDelta(t, 19.9/(20*0.999), held(19.9, steep), 1e-6, "by hand: all of Isc, but for 0.001 e^-14")
	require.InDelta(t, 1, held(20, steep), 1e-12)
	flat := PanelPoint{Vmp: 10, Imp: 0.5, Voc: 20, Isc: 1}
	for v := 6.0; v < 20; v++ {
		require.LessOrEqual(t, held(v, flat), 1.0)
	}
}

// What is said to be the least input or the largest load that regulates does regulate,
// to the last digit.
func TestEndsOfRegulation(t *testing.T) {
	for k := range 2000 {
		x := float64(k) / 2000
		c := converter(t, ConverterSpec{OutputV: 2.1 + x, MaxInputV: 24, HeadroomV: 0.3 + x/3, HeadroomOhm: 0.7 * x, LimitA: 3, CurveInputV: 12, Curve: []EfficiencyPoint{{1, 0.9}}})
		load := 3 * (1 - x)
		least := c.MinInputV(load)
		require.Equal(t, Regulating, c.At(least, load).State, "%g V, %g A", least, load)
		require.Equal(t, Dropout, c.At(math.Nextafter(least, 0), load).State)
		r := linear(t, LinearSpec{SetV: 2.1 + x, DropoutV: x / 3, DropoutOhm: 0.1 + x, MaxInputV: 20, CurrentLimitA: 20})
		in := 2.5 + 2*x
		most := r.LargestLoadA(in, 1000)
		require.Equal(t, Regulating, r.At(in, most).State, "%g V, %g A", in, most)
		require.Equal(t, Dropout, r.At(in, most*(1+1e-15)).State)
		if v := r.LargestInputV(most, (in-2.1-x)*most); !math.IsNaN(v) {
			require.Equal(t, Regulating, r.At(v, most).State, "%g V, %g A", v, most)
		}
	}
}
