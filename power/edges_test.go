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
