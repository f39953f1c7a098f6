package power

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"github.com/stationphysics/stationphysics/internal/limit/limittest"
)

var sensorLoad = LoadSpec{PeriodS: 600, AsleepA: 20e-6, Phases: []LoadPhase{
	{"awake", 0.040, 5, 1}, {"send", 0.250, 0.8, 1}, {"retry", 0.250, 4, 0.2}, {"never", 1.0, 2, 0}}}

func pattern(t testing.TB, s LoadSpec) Load {
	t.Helper()
	p, err := NewLoad(s)
	require.NoError(t, err)
	return p
}

func TestLoadPattern(t *testing.T) {
	p := pattern(t, sensorLoad)
	busy := 5 + 0.8 + 0.8
	want := (0.040*5 + 0.250*0.8 + 0.250*0.8 + 20e-6*(600-busy)) / 600
	require.InDelta(t, want, p.MeanA(), 1e-15)
	require.Equal(t, 0.250, p.PeakA(), "a phase that never happens has no peak")
	require.InDelta(t, 1-busy/600, p.AsleepFrac(), 1e-15)
	require.InDelta(t, want*24, p.PerDayAh(), 1e-15)
	require.InDelta(t, want*24*3.3, p.PerDayWh(3.3), 1e-15)
	require.Len(t, p.Spec().Phases, 4)
	require.Equal(t, Load{}.MeanA(), 0.0)
	require.Equal(t, Load{}.AsleepFrac(), 0.0)
	// Asleep at more than any phase: an odd load, but its peak is the sleep.
	require.Equal(t, 0.5, pattern(t, LoadSpec{PeriodS: 10, AsleepA: 0.5}).PeakA())
}

func TestLoadThroughASupply(t *testing.T) {
	p := pattern(t, sensorLoad)
	lin := linear(t, bench1117)
	// A linear part adds its own current and nothing else.
	require.InDelta(t, p.MeanA()+0.005, p.SourceA(lin, 7, 0), 1e-12)
	require.InDelta(t, p.MeanA()+0.005+0.002, p.SourceA(lin, 7, 0.002), 1e-12)
	// A converter: phase by phase, not at the mean.
	c := converter(t, stepDown)
	want := (c.InputA(7, 0.040)*5 + c.InputA(7, 0.250)*1.6 + c.InputA(7, 20e-6)*(600-6.6)) / 600
	require.InDelta(t, want, p.SourceA(c, 7, 0), 1e-12)
	require.Equal(t, c.InputA(7, 0.01), Load{}.SourceA(c, 7, 0.01), "no pattern: the steady load alone")
	require.True(t, math.IsNaN(p.SourceA(c, -1, 0)))
	require.True(t, math.IsNaN(p.SourceA(c, 7, -1)))
	// A load that never sleeps does not ask the supply about sleep.
	busy := pattern(t, LoadSpec{PeriodS: 2, Phases: []LoadPhase{{"on", 0.1, 2, 1}}})
	require.Equal(t, 0.0, busy.AsleepFrac())
	require.InDelta(t, c.InputA(7, 0.1), busy.SourceA(c, 7, 0), 1e-15)
	// Nor does one ask about a phase that never happens.
	require.InDelta(t, p.MeanA(), p.SourceA(upTo(0.5), 7, 0), 1e-15, "the sum's last digits")
	require.True(t, math.IsNaN(p.SourceA(upTo(0.1), 7, 0)))
}

// upTo is a supply that takes what it gives, and knows nothing of larger loads.
type upTo float64

func (most upTo) InputA(_, loadA float64) float64 {
	if loadA > float64(most) {
		return math.NaN()
	}
	return loadA
}

func TestTwoLoadsOnOneRail(t *testing.T) {
	p := pattern(t, sensorLoad)
	q := pattern(t, LoadSpec{PeriodS: 60, AsleepA: 1e-6, Phases: []LoadPhase{{"pump", 0.3, 6, 1}}})
	r := p.Beside(q)
	require.InDelta(t, p.MeanA()+q.MeanA(), r.MeanA(), 1e-15)
	require.InDelta(t, 0.55, r.PeakA(), 1e-15)
	require.InDelta(t, p.AsleepFrac()*q.AsleepFrac(), r.AsleepFrac(), 1e-15)
	require.Equal(t, 600.0, r.Spec().PeriodS)
	require.Equal(t, "send+pump", r.Spec().Phases[4].Name)
	// Time and charge are conserved, so that a linear part sees the sum.
	total, charge := r.AsleepFrac()*600, r.Spec().AsleepA*r.AsleepFrac()*600
	for _, f := range r.Spec().Phases {
		total += f.DurationS * f.RepeatCount
		charge += f.CurrentA * f.DurationS * f.RepeatCount
	}
	require.InDelta(t, 600, total, 1e-9)
	require.InDelta(t, r.MeanA()*600, charge, 1e-12)
	lin := linear(t, bench1117)
	require.InDelta(t, r.MeanA()+0.005, r.SourceA(lin, 7, 0), 1e-12)
	// A converter sees who meets whom.
	c := converter(t, stepDown)
	on := pattern(t, LoadSpec{PeriodS: 2, Phases: []LoadPhase{{"on", 0.1, 1, 1}}})
	two := on.Beside(on)
	require.InDelta(t, (c.InputA(7, 0)+2*c.InputA(7, 0.1)+c.InputA(7, 0.2))/4, two.SourceA(c, 7, 0), 1e-12)
	require.Equal(t, p, p.Beside(Load{}))
	require.Equal(t, p, Load{}.Beside(p))
}

func TestLoadRefuses(t *testing.T) {
	for quantity, change := range map[string]func(*LoadSpec){
		"period":           func(s *LoadSpec) { s.PeriodS = 0 },
		"sleeping current": func(s *LoadSpec) { s.AsleepA = -1 },
		"phase current":    func(s *LoadSpec) { s.Phases = []LoadPhase{{"mA", 250, 1, 1}} },
		"phase duration":   func(s *LoadSpec) { s.Phases = []LoadPhase{{"back", 0.25, -1, 1}} },
		"runs per period":  func(s *LoadSpec) { s.Phases = []LoadPhase{{"NaN", 0.25, 1, math.NaN()}} },
		"number of phases": func(s *LoadSpec) { s.Phases = make([]LoadPhase, 33) },
	} {
		s := sensorLoad
		change(&s)
		_, err := NewLoad(s)
		limittest.RefusesRange(t, err, quantity)
	}
	s := sensorLoad
	s.Phases = make([]LoadPhase, 33)
	_, err := NewLoad(s)
	require.EqualError(t, err, "number of phases 33 is outside 0..32")
	s.Phases = make([]LoadPhase, 32)
	_, err = NewLoad(s)
	require.NoError(t, err)
	s.Phases = []LoadPhase{{"retry storm", 0.25, 4, 151}}
	_, err = NewLoad(s)
	limittest.RefusesConflict(t, err, "fit into the period")
	s.Phases = []LoadPhase{{"fits", 0.25, 4, 150}}
	_, err = NewLoad(s)
	require.NoError(t, err)
	// Thirds that fill the period by rounding.
	_, err = NewLoad(LoadSpec{PeriodS: 0.3, Phases: []LoadPhase{{"a", 1, 0.1, 1}, {"b", 1, 0.1, 1}, {"c", 1, 0.1, 1}}})
	require.NoError(t, err)
	// The caller's slice stays the caller's.
	ph := []LoadPhase{{"on", 0.1, 1, 1}}
	p := pattern(t, LoadSpec{PeriodS: 2, Phases: ph})
	ph[0].CurrentA = 99
	require.Equal(t, 0.1, p.Spec().Phases[0].CurrentA)
}

func TestNoAllocation(t *testing.T) {
	r, c, g, d, p := linear(t, bench1117), converter(t, stepDown), charger(t, solarCharger), diode(t, chainSchottky), pattern(t, sensorLoad)
	var supply Supply = c
	require.Zero(t, testing.AllocsPerRun(100, func() {
		r.At(12, 0.1)
		r.AtOhm(12, 30)
		r.AtHot(13.5, 30, Cooling{AmbientC: 40, ThetaKPerW: 100})
		c.At(12, 0.1)
		g.At(3, 6.4, 0.2)
		g.OutputA(3, 6.4)
		d.At(40).CurrentA(0.4)
		d.VoltageV(0.1)
		p.SourceA(supply, 7, 0)
	}))
}
