package battery

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
)

// The window in which a fuel gauge's guide (MAX17055 user guide 1.2.8) forbids
// reading a LiFePO4 charge from the voltage, 3.275 to 3.350 V at rest: the band
// exceeds 30 % throughout it, and shrinks outside.
func TestPlateauTellsNothing(t *testing.T) {
	p := pack(t, LiFePO4, 1.5, 2, 1)
	for v := 3.275; v <= 3.350; v += 0.005 {
		b, err := p.SoCBand(Sighting{PackV: 2 * v, MeterV: 0.02, TempC: 25})
		require.NoError(t, err)
		require.Greater(t, b.SpanSoC(), 0.30, v)
		require.True(t, b.LowSoC <= b.SoC && b.SoC <= b.HighSoC)
	}
	b, err := p.SoCBand(Sighting{PackV: 2 * 3.0, MeterV: 0.02, TempC: 25})
	require.NoError(t, err)
	require.Less(t, b.SpanSoC(), 0.03)
	b, err = p.SoCBand(Sighting{PackV: 7.2, MeterV: 0.02, TempC: 25})
	require.NoError(t, err)
	require.Equal(t, 1.0, b.HighSoC)
	require.Greater(t, b.LowSoC, 0.99)
	// A perfect meter does not help: the cell's own doubt is 25 mV.
	b, err = p.SoCBand(Sighting{PackV: 6.6, TempC: 25})
	require.NoError(t, err)
	require.InDelta(t, 0.2972+(3.3-3.2772)/(3.3511-3.2772)*(0.9833-0.2972), b.SoC, 1e-9)
	require.Greater(t, b.SpanSoC(), 0.30)
	// On a lithium-ion cell the same reading tells a lot.
	q := pack(t, LithiumIon, 1.5, 2, 1)
	b, err = q.SoCBand(Sighting{PackV: 7.6, MeterV: 0.02, TempC: 25})
	require.NoError(t, err)
	require.Less(t, b.SpanSoC(), 0.06)
}

func TestSightingUnderLoad(t *testing.T) {
	p := pack(t, SealedLead, 7, 6, 1)
	rest, err := p.SoCBand(Sighting{PackV: 12.3, TempC: 25})
	require.NoError(t, err)
	r := p.Resistance(25).SettledOhm
	load, err := p.SoCBand(Sighting{PackV: 12.3 - 2*r, CurrentA: -2, TempC: 25})
	require.NoError(t, err)
	require.InDelta(t, rest.SoC, load.SoC, 1e-12)
	slope := 6 * 0.15
	require.InDelta(t, 2*0.06/slope, rest.SpanSoC(), 1e-9)
	require.InDelta(t, 2*(0.06+r)/slope, load.SpanSoC(), 1e-9, "half of the drop is in doubt")
	for _, s := range []Sighting{{PackV: -1, TempC: 25}, {PackV: math.NaN(), TempC: 25}, {PackV: 12, MeterV: 6, TempC: 25}, {PackV: 12, CurrentA: 1e4, TempC: 25}, {PackV: 12, TempC: 298}} {
		_, err := p.SoCBand(s)
		require.Error(t, err)
	}
	_, err = p.SoCBand(Sighting{PackV: 12600, TempC: 25})
	require.EqualError(t, err, "voltage of the pack 12600 V is outside 0..200 V: millivolts?")
	for _, c := range all {
		require.Positive(t, c.DoubtV())
	}
	require.True(t, math.IsNaN(Chemistry(0).DoubtV()))
}

// The inverse of the pack's curve is that of the cell's.
func TestSightingFindsTheState(t *testing.T) {
	for _, ch := range all {
		p := pack(t, ch, 2, 3, 2)
		for soc := 0.0; soc <= 1; soc += 0.01 {
			for _, tempC := range []float64{-30, 25, 50} {
				b, err := p.SoCBand(Sighting{PackV: p.OpenCircuitV(soc, tempC), TempC: tempC})
				require.NoError(t, err)
				require.InDelta(t, soc, b.SoC, 1e-9)
			}
		}
	}
}

func TestGauge(t *testing.T) {
	p := pack(t, LiFePO4, 1.5, 2, 1)
	g, err := NewGauge(p, Meter{GainPct: 1, OffsetA: 0.001, HealthPct: 10}, 1, 0.02)
	require.NoError(t, err)
	require.Equal(t, Band{1, 0.98, 1}, g.Band())
	// 0.5 Ah out in ten hours: a third of the pack.
	for range 600 {
		g.Add(-0.05, 60, 25)
	}
	b := g.Band()
	leak := 0.025 * 1.5 / 720 * 10
	require.InDelta(t, 1-(0.5+leak)/1.5, b.SoC, 1e-9)
	u := 0.02 + (0.5*0.01+0.001*10+leak)/1.5 + (0.5+leak)/1.5*0.1
	require.InDelta(t, b.SoC-u, b.LowSoC, 1e-9)
	require.InDelta(t, b.SoC+u, b.HighSoC, 1e-9)
	// Back again: the gain cancels, offset and charge efficiency do not.
	for range 600 {
		g.Add(0.05, 60, 25)
	}
	c := g.Band()
	require.InDelta(t, 1-(0.001+2*leak)/1.5, c.SoC, 1e-9)
	require.InDelta(t, 0.02+(0.001*0.01+0.02+0.0025+2*leak)/1.5+(0.001+2*leak)/1.5*0.1, c.SoC-c.LowSoC, 1e-9)
	// A milliampere of offset and the self-discharge: how long to 20 %.
	require.InDelta(t, 0.18*1.5/(24*(0.001+0.025*1.5/720)), g.DaysTo(0.2), 1e-9)
	require.Zero(t, g.DaysTo(0.01))
	require.True(t, math.IsNaN(g.DaysTo(20)))
	g.Add(-0.05, 60, 200)
	require.True(t, math.IsNaN(g.Band().SoC))

	for _, m := range []Meter{{GainPct: -1}, {OffsetA: 5}, {HealthPct: 60}} {
		_, err := NewGauge(p, m, 1, 0)
		require.Error(t, err)
	}
	_, err = NewGauge(p, Meter{}, 100, 0)
	require.EqualError(t, err, "state of charge at the start 100 is outside 0..1: percent?")
	_, err = NewGauge(p, Meter{}, 1, 2)
	require.ErrorContains(t, err, "percent?")
	_, err = NewGauge(nil, Meter{}, 1, 0)
	require.ErrorContains(t, err, "number of packs 0")
}

// A doubt that is there already takes no time, even where nothing widens it;
// one that never comes takes for ever.
func TestDoubtWithoutDrift(t *testing.T) {
	p, err := NewPack(Cell{Chemistry: LiFePO4, CapacityAh: 2, Curve: LiFePO4.Curve(), CoulombicEfficiency: 1}, 2, 1)
	require.NoError(t, err)
	g, err := NewGauge(p, Meter{}, 0.5, 0.02)
	require.NoError(t, err)
	require.Zero(t, g.DaysTo(0.02))
	require.Zero(t, g.DaysTo(0.01))
	require.Equal(t, math.Inf(1), g.DaysTo(0.03))
}

// An infinite current or a time that runs back is no count: it must not end as
// an empty or a full pack.
func TestWhatIsNoNumberMakesTheGaugeNaN(t *testing.T) {
	for _, add := range [][3]float64{{math.Inf(-1), 1, 20}, {1, math.Inf(1), 20}, {0, math.Inf(1), 20}, {1, -1, 20}, {math.NaN(), 1, 20}, {1, 1, math.NaN()}} {
		g, err := NewGauge(pack(t, LiFePO4, 1.5, 2, 1), Meter{}, 0.5, 0)
		require.NoError(t, err)
		g.Add(add[0], add[1], add[2])
		g.Add(0.1, 1, 20)
		b := g.Band()
		require.True(t, math.IsNaN(b.SoC) && math.IsNaN(b.LowSoC) && math.IsNaN(b.HighSoC), add)
	}
}
