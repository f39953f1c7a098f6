package charge

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"github.com/stationphysics/stationphysics/battery"
)

var radio = Draw{SleepW: 0.02, PulseW: 1.5, PulseS: 4, PeriodS: 600, LeastV: 5.4}

// A pulse by hand: a constant current I for which the mean power over four
// seconds is the pulse, on the circuit of the typical cell.
func TestPulseByHand(t *testing.T) {
	p := pack(t, 1.5, 2)
	v := PulseEndV(p, radio, 0.5, 25)
	open := p.OpenCircuitV(0.5, 25)
	i := 0.235
	for range 50 {
		mean := 1 - (1-math.Exp(-4/30.))*30/4
		i = 1.5 / (open - i*(0.06+0.04*mean) - 0.02/open*0.04*(1-mean))
	}
	e := math.Exp(-4 / 30.)
	require.InDelta(t, open-i*0.06-i*0.04*(1-e)-0.02/open*0.04*e, v, 2e-4)
	// The colder and the emptier, the lower.
	last := math.Inf(1)
	for _, tempC := range []float64{30, 20, 10, 0, -10, -20, -30} {
		v := PulseEndV(p, radio, 0.2, tempC)
		require.Less(t, v, last)
		last = v
	}
	require.Less(t, PulseEndV(p, radio, 0.1, 0), PulseEndV(p, radio, 0.2, 0))
	for _, bad := range []Draw{{SleepW: -1}, {SleepW: 0.02, PulseW: 1, PulseS: 5, PeriodS: 5}, {PulseW: math.NaN(), PulseS: 1, PeriodS: 5}} {
		require.True(t, math.IsNaN(PulseEndV(p, bad, 0.5, 20)))
		_, err := BrownOutSoC(p, bad, 20)
		require.Error(t, err)
		_, err = BrownOut(p, p.At(1), bad, 20, 100)
		require.Error(t, err)
	}
	require.True(t, math.IsNaN(PulseEndV(p, radio, 50, 20)) && math.IsNaN(PulseEndV(p, radio, 0.5, 293)))
	d := radio
	d.PulseW = 5000
	require.True(t, math.IsNaN(PulseEndV(p, d, 0.5, 20)), "no current gives 5 kW")
}

func TestBrownOutSoC(t *testing.T) {
	p := pack(t, 1.5, 2)
	last := 0.0
	strong := radio
	strong.PulseW, strong.LeastV = 14, 6.1
	for _, tempC := range []float64{25, 0, -10, -20} {
		s, err := BrownOutSoC(p, strong, tempC)
		require.NoError(t, err)
		require.GreaterOrEqual(t, PulseEndV(p, strong, s, tempC), strong.LeastV-1e-6)
		if s > 1-p.UsableFrac(tempC)+1e-9 {
			require.InDelta(t, strong.LeastV, PulseEndV(p, strong, s, tempC), 1e-6)
		}
		require.Greater(t, s, last, "the colder, the higher")
		last = s
		// A weak pulse is stopped by what the cold holds back.
		s, err = BrownOutSoC(p, radio, tempC)
		require.NoError(t, err)
		if tempC < 25 {
			require.InDelta(t, 1-p.UsableFrac(tempC), s, 1e-12)
		} else {
			require.InDelta(t, radio.LeastV, PulseEndV(p, radio, s, tempC), 1e-6)
		}
	}
	s, err := BrownOutSoC(p, strong, -20)
	require.NoError(t, err)
	require.Greater(t, s, 0.46, "there the pulse is the harder one")
	d := radio
	d.LeastV = 7.15
	s, err = BrownOutSoC(p, d, -20)
	require.NoError(t, err)
	require.True(t, math.IsNaN(s), "not even a full pack")
	d.LeastV = 1
	s, err = BrownOutSoC(p, d, 25)
	require.NoError(t, err)
	require.Zero(t, s)
	_, err = BrownOutSoC(p, radio, 300)
	require.Error(t, err)
}

func TestBrownOut(t *testing.T) {
	p := pack(t, 1.5, 2)
	// Warm, it ends at a pulse, at the state of charge that BrownOutSoC gives.
	o, err := BrownOut(p, p.At(1), radio, 25, 2000)
	require.NoError(t, err)
	require.Equal(t, battery.Cutoff, o.Why)
	s, err := BrownOutSoC(p, radio, 25)
	require.NoError(t, err)
	require.InDelta(t, s, o.State.SoC, 0.005)
	require.Less(t, o.LastV, 5.4)
	// The energy agrees with the mean power: 0.02 W and 1.5 W for 4 s in 600.
	mean := (0.02*596 + 1.5*4) / 600
	leakW := 0.025 * 1.5 / 720 * 6.6
	require.InEpsilon(t, (1-o.State.SoC)*1.5*6.6/(mean+leakW), o.RunH, 0.03)
	require.Equal(t, int(math.Round(o.RunH*6)), o.Pulses)
	// In the cold it ends at what comes out, or before.
	c, err := BrownOut(p, p.At(1), radio, -10, 2000)
	require.NoError(t, err)
	require.Equal(t, battery.Empty, c.Why)
	require.InDelta(t, 0.336, c.State.SoC, 0.001)
	require.Less(t, c.RunH, o.RunH)
	// Not long enough, and too strong.
	o, err = BrownOut(p, p.At(1), radio, 25, 1)
	require.NoError(t, err)
	require.Equal(t, battery.NoStop, o.Why)
	require.Equal(t, 6, o.Pulses)
	d := radio
	d.PulseW = 5000
	o, err = BrownOut(p, p.At(1), d, 25, 100)
	require.NoError(t, err)
	require.Equal(t, battery.Weak, o.Why)
	require.Zero(t, o.Pulses)
	d = radio
	d.LeastV = 6.8
	o, err = BrownOut(p, p.At(0.5), d, 25, 100)
	require.NoError(t, err)
	require.Equal(t, battery.Cutoff, o.Why, "the sleeping load is already too much")
	_, f := p.Power(p.At(0.5), -d.SleepW, 596, 25)
	require.Equal(t, f.EndV, o.LastV)
	// A strong pulse ends it long before the pack is empty.
	d = Draw{SleepW: 0.02, PulseW: 14, PulseS: 4, PeriodS: 600, LeastV: 6.1}
	o, err = BrownOut(p, p.At(1), d, -20, 2000)
	require.NoError(t, err)
	require.Equal(t, battery.Cutoff, o.Why)
	s, err = BrownOutSoC(p, d, -20)
	require.NoError(t, err)
	// One pulse takes 14 W·4 s of some 9.9 Wh.
	require.InDelta(t, s, o.State.SoC, 0.003)
	// A pulse like the sleep makes one even load, whatever its length.
	d = Draw{SleepW: 0.02, PulseW: 0.02, PulseS: 200, PeriodS: 600, LeastV: 5}
	o, err = BrownOut(p, p.At(0.9), d, 25, 10)
	require.NoError(t, err)
	even, _ := p.Power(p.At(0.9), -0.02, 36000, 25)
	require.InDelta(t, even.SoC, o.State.SoC, 1e-6)
	// An hour is 3600 s: ten hours of ten seconds.
	o, err = BrownOut(p, p.At(0.9), Draw{SleepW: 1e-4, PulseW: 1e-3, PulseS: 1, PeriodS: 10, LeastV: 5}, 25, 10)
	require.NoError(t, err)
	require.Equal(t, 3600, o.Pulses)
	_, err = BrownOut(p, p.At(0.02), radio, 25, 20e6*600/3600)
	require.NoError(t, err)
	for _, h := range []float64{0, 0.9999 * 600 / 3600, math.NaN(), 1e9, 20e6*600/3600 + 1} {
		_, err = BrownOut(p, p.At(1), radio, 25, h)
		require.ErrorContains(t, err, "longest discharge")
	}
	_, err = BrownOut(p, p.At(100), radio, 25, 100)
	require.ErrorContains(t, err, "percent?")
	for says, d := range map[string]Draw{
		"length of a pulse 0 s is outside 0.0001..3600 s":      {PulseW: 1, PeriodS: 5},
		"time between pulses 0 s is outside 0.01..86400 s":     {PulseW: 1, PulseS: 5},
		"least voltage of the load 5400 V is outside 0..200 V": {PulseW: 1, PulseS: 5, PeriodS: 60, LeastV: 5400},
		"pulse 20000 W is outside 0..10000 W: milliwatts?":     {PulseW: 20000, PulseS: 5, PeriodS: 60},
		"sleeping load NaN W is outside 0..1000 W":             {SleepW: math.NaN(), PulseS: 5, PeriodS: 60},
	} {
		_, err = BrownOut(p, p.At(1), d, 25, 100)
		require.EqualError(t, err, says)
	}
	_, err = BrownOut(p, p.At(1), radio, 298, 100)
	require.EqualError(t, err, "cell temperature 298 °C is outside -40..85 °C: kelvins?")
	_, err = BrownOut(p, p.At(1), Draw{PulseW: 1, PulseS: 5, PeriodS: 5}, 25, 100)
	require.EqualError(t, err, "length of a pulse 5 s and time between pulses 5 s contradict each other: a pulse must end before the next one")
}
