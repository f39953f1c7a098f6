package chain

import (
	"math"
	"math/rand"
	"testing"

	"github.com/stretchr/testify/require"

	"github.com/stationphysics/stationphysics/internal/limit/limittest"
)

// FuzzValues gives one small supply any values: they are refused, or the
// solver ends at a point of finite numbers, or says that it finds none.
func FuzzValues(f *testing.F) {
	f.Add(0.3, 1e-9, 1.1, 0.8, 900.0, 2e-7, 1.05, 7.0, 1.0, 14.0, 0.9, 6.6, 0.08, 1.0, 0.1, 5.0, 0.3, 0.005, 0.1, 0.5)
	f.Add(0.0, 1e-25, 1e-3, 0.0, 0.0, 1e-25, 0.5, 1e-3, 1e-9, 0.0, 0.0, 1e-3, 1e-3, 1e-9, 0.0, 1e-3, 0.0, 0.0, 0.0, 1e-3)
	f.Add(1000.0, 0.1, 100.0, 1e9, 1e9, 0.1, 10.0, 1000.0, 1000.0, 1000.0, 1.0, 1000.0, 1e9, 1000.0, 1e9, 1000.0, 1000.0, 1000.0, 1000.0, 1000.0)
	f.Add(math.NaN(), 0.0, -1.0, math.Inf(1), -1.0, 1.0, 0.0, 7000.0, 0.0, -1.0, 90.0, math.Inf(-1), -1.0, 0.0, math.NaN(), 0.0, 1e6, 1e6, 1e6, 0.0)
	f.Fuzz(func(t *testing.T, photo, sat, thermal, series, shunt, diodeSat, ideality, set, limitA, hold, eff, open, packOhm, rated, cold, out, drop, idle, loadA, loadW float64) {
		parts := []Part{
			{"panel", "", "array", Panel{PhotoA: photo, SaturationA: sat, ThermalV: thermal, SeriesOhm: series, ShuntOhm: shunt}},
			{"D1", "array", "in", Diode{SaturationA: diodeSat, Ideality: ideality, SeriesOhm: cold, JunctionC: 25, ShortOhm: 0.05}},
			{"charger", "in", "out", Charger{SetV: set, LimitA: limitA, HoldV: hold, Efficiency: eff, HeadroomV: 0.5, PassOhm: 0.2, IdleA: 0.002, ShortOhm: 0.2, NoPackV: set}},
			{"F1", "out", "pack", Fuse{RatedA: rated, ColdOhm: cold, MeltA2S: rated}},
			{"cells", "", "pack", Battery{OpenV: open, SeriesOhm: packOhm}},
			{"U2", "pack", "rail", Linear{SetV: out, DropoutV: drop, DropoutOhm: 0.5, IdleA: idle, LimitA: limitA, ShortOhm: 0.5}},
			{"controller", "rail", "", CurrentLoad{LoadA: loadA}},
			{"modem", "pack", "", PowerLoad{LoadW: loadW, BrownOutV: out}},
			{"heater", "pack", "", Resistor{Ohm: packOhm}},
		}
		limits := []Limit{{Node: "rail", Item: "controller", MaxV: out, MaxW: loadW}, {Node: "pack", Item: "cells", WorkV: set, MaxV: 1.1 * set}}
		s := Fuse{RatedA: rated, ColdOhm: cold, MeltA2S: eff}.OpensWithinS(loadA)
		if s < 0 || s > 0 && !math.IsInf(s, 1) && !(math.Abs(loadA) >= 2*rated) {
			t.Fatalf("%v A opens at %v A within %v s", rated, loadA, s)
		}
		c, err := New(parts, limits)
		if err != nil {
			require.NotEmpty(t, err.Error())
			require.Nil(t, c)
			return
		}
		require.Equal(t, limits, c.Limits())
		w := c.NewWorkspace()
		for _, fault := range append(c.Faults(), Fault{}) {
			p, err := w.SolveFault(fault)
			if err != nil {
				require.Nil(t, p)
				continue
			}
			for _, n := range c.Nodes() {
				limittest.Finite(t, fault.String()+" "+n, p.VoltageV(n))
			}
			for _, q := range c.Parts() {
				limittest.Finite(t, fault.String()+" "+q.Name, p.CurrentA(q.Name), p.InputA(q.Name), p.PowerW(q.Name))
			}
		}
		// What New takes, Set takes, and both lead to the same point.
		for _, q := range parts {
			switch q.Model.(type) {
			case Panel, Battery, Resistor, CurrentLoad, PowerLoad:
				require.NoError(t, w.Set(q.Name, q.Model))
			default:
				require.Error(t, w.Set(q.Name, q.Model))
			}
		}
		a, errA := w.Solve()
		b, errB := c.Solve()
		require.Equal(t, errA == nil, errB == nil, "%v, %v", errA, errB)
		if errA == nil && math.Abs(a.VoltageV("rail")-b.VoltageV("rail")) > 1e-6*(1+math.Abs(b.VoltageV("rail"))) {
			t.Fatalf("%v V in one workspace, %v V in another", a.VoltageV("rail"), b.VoltageV("rail"))
		}
	})
}

// FuzzSurvey asks for every single fault of small random circuits.
func FuzzSurvey(f *testing.F) {
	for _, seed := range []int64{1, 2, 4, 8, 31, 61, 153, 220, 823, 1004} {
		f.Add(seed)
	}
	stock := Stock{Fuses: []Fuse{{RatedA: 1, ColdOhm: 0.1, MeltA2S: 1}}, Clamps: []Clamp{{BreakdownV: 6.8, SlopeOhm: 0.05, MaxW: 5, MaxJ: 10}}}
	f.Fuzz(func(t *testing.T, seed int64) {
		r := rand.New(rand.NewSource(seed))
		parts := randomParts(r)
		if len(parts) > 9 {
			return // a survey tries every fault with every barrier: seconds where there are many parts
		}
		last := parts[len(parts)-1]
		limits := []Limit{{Node: parts[0].To, Item: "first", MaxV: 30 * r.Float64(), MaxW: r.Float64()}, {Node: last.From, Item: last.Name, WorkV: 5, MaxV: 5 + r.Float64()}}
		c, err := New(parts, limits)
		require.NoError(t, err)
		survey := c.Survey
		if seed%2 == 0 {
			survey = c.NewWorkspace().Survey
		}
		s, err := survey(stock)
		if err != nil {
			require.Nil(t, s)
			return
		}
		require.Len(t, s.Rows, 1+len(c.Faults()))
		require.LessOrEqual(t, len(s.Lost()), len(s.Rows))
		for i := range s.Rows {
			row := &s.Rows[i]
			require.NotEmpty(t, row.EndEffect())
			require.Equal(t, row.Barrier.String(), row.Provision())
			require.NotEmpty(t, row.Provision())
			require.NotEmpty(t, row.FailureMode())
			require.NotEmpty(t, row.LocalEffect())
			require.Equal(t, row.Fault.Mode == NoFault, row.Detection() == "")
			require.Equal(t, row.Fault.Part, row.Item())
			for _, h := range row.Harms {
				limittest.NotInfinite(t, "harm", h)
				require.GreaterOrEqual(t, max(h.VoltageRatio, 0), 0.0)
			}
		}
	})
}
