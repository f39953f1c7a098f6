package charge

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"github.com/stationphysics/stationphysics/battery"
	"github.com/stationphysics/stationphysics/internal/refdata"
)

// invented is the open-circuit curve of the simulated charges, see the comment
// of the file of rows.
func invented(t testing.TB) battery.Curve {
	t.Helper()
	c, err := battery.NewCurve("invented for the simulation", battery.CurvePoint{SoC: 0, V: 3.195}, battery.CurvePoint{SoC: 0.4, V: 3.285}, battery.CurvePoint{SoC: 0.6, V: 3.300},
		battery.CurvePoint{SoC: 0.8, V: 3.330}, battery.CurvePoint{SoC: 0.9, V: 3.338}, battery.CurvePoint{SoC: 0.95, V: 3.350}, battery.CurvePoint{SoC: 1, V: 3.450}, battery.CurvePoint{SoC: 1.05, V: 4.200})
	require.NoError(t, err)
	return c
}

func simulated(t testing.TB, r *refdata.Row, capacity string) battery.Cell {
	return battery.Cell{Chemistry: battery.LiFePO4, CapacityAh: r.F(capacity), Curve: invented(t),
		R0Ohm: r.F("r0Ohm"), R1Ohm: r.F("r1Ohm"), C1Farad: r.F("c1Farad"), CoulombicEfficiency: 1}
}

// The circuit simulator's charges: the change to constant voltage within a
// second, the state of charge within 3e-6.
func TestSimulatedCharges(t *testing.T) {
	refdata.Each(t, "battery/charge/cccv", func(r *refdata.Row) {
		n := int(r.F("cells"))
		c := battery.Charger{SetV: r.F("setV"), MaxA: r.F("mostA"), SeriesOhm: r.F("seriesOhm")}
		at := r.F("timeS")
		call := fmt.Sprintf("%s at %v s", r.S("case"), at)
		if r.Has("capacity1Ah") && r.F("capacity1Ah") != r.F("capacity0Ah") {
			s, err := NewString(simulated(t, r, "capacity0Ah"), simulated(t, r, "capacity1Ah"))
			require.NoError(t, err)
			states := []battery.State{{SoC: r.F("start0SoC")}, {SoC: r.F("start1SoC")}}
			cellV := make([]float64, 2)
			hold, taper := math.NaN(), math.NaN()
			var now Reading
			const dt = 0.25
			for k := dt; k <= 10800; k += dt {
				now = s.Charge(states, cellV, c, Balancer{}, dt, 25)
				if now.Holding && math.IsNaN(hold) {
					hold = k
				}
				if now.Holding && math.IsNaN(taper) && now.CurrentA <= r.F("taperA") {
					taper = k
				}
				if k == at {
					r.Check("packV", now.StringV, call)
					r.Check("endA", now.CurrentA, call)
					r.Check("soc0", states[0].SoC, call)
					r.Check("soc1", states[1].SoC, call)
					r.Check("cell0V", cellV[0], call)
					r.Check("cell1V", cellV[1], call)
				}
			}
			r.Check("holdS", hold, call)
			r.Check("taperEndS", taper, call)
			return
		}
		p, err := battery.NewPack(simulated(t, r, "capacity0Ah"), n, 1)
		require.NoError(t, err)
		start := p.At(r.F("start0SoC"))
		s, f := p.Charge(start, c, 0, at, 25)
		r.Check("packV", f.EndV, call)
		r.Check("endA", f.EndA, call)
		r.Check("soc0", s.SoC, call)
		if n == 2 {
			r.Check("soc1", s.SoC, call)
			r.Check("cell0V", f.EndV/2, call)
			r.Check("cell1V", f.EndV/2, call)
		}
		for _, step := range []float64{1, 7, 600} {
			full, err := Full(p, start, Plan{Charger: c, TaperA: r.F("taperA"), TempC: 25, StepS: step, MostH: 4})
			require.NoError(t, err)
			require.Equal(t, Tapered, full.End)
			r.Check("holdS", full.HoldS, call)
			r.Check("taperEndS", full.TaperS, call)
		}
	})
}

func typical(t testing.TB, ah float64) battery.Cell {
	t.Helper()
	c, err := battery.TypicalCell(battery.LiFePO4, ah)
	require.NoError(t, err)
	return c
}

func pack(t testing.TB, ah float64, n int) *battery.Pack {
	t.Helper()
	p, err := battery.NewPack(typical(t, ah), n, 1)
	require.NoError(t, err)
	return p
}

// The instants found do not depend on the step, and the ledger closes.
func TestFullDoesNotDependOnTheStep(t *testing.T) {
	p := pack(t, 1.5, 2)
	plan := Plan{Charger: battery.Charger{SetV: 7, MaxA: 0.5, SeriesOhm: 0.1}, TaperA: 0.05, TempC: 20, StepS: 0.5, MostH: 10}
	a, err := Full(p, p.At(0.1), plan)
	require.NoError(t, err)
	require.Equal(t, Tapered, a.End)
	require.Less(t, a.HoldS, a.TaperS)
	require.Equal(t, a.TaperS, a.TotalS)
	require.InDelta(t, 0.05, a.ChargerA, 1e-9)
	require.InDelta(t, 7-0.05*0.1, a.EndV, 1e-9)
	require.InDelta(t, a.InAh-a.LostAh, (a.State.SoC-0.1)*1.5, 1e-12)
	require.Greater(t, a.InWh, a.InAh*6.4)
	require.Less(t, a.InWh, a.InAh*7)
	for _, step := range []float64{3, 61, 3600} {
		plan.StepS = step
		b, err := Full(p, p.At(0.1), plan)
		require.NoError(t, err)
		require.InDelta(t, a.HoldS, b.HoldS, 1e-4)
		require.InDelta(t, a.TaperS, b.TaperS, 1e-4)
		require.InDelta(t, a.InWh, b.InWh, 1e-9)
		require.InDelta(t, a.State.SoC, b.State.SoC, 1e-10)
	}
}

// A load on the charger that exceeds the taper keeps it from ever ending; one
// that takes all of its current keeps the pack from filling.
func TestLoadOnTheCharger(t *testing.T) {
	p := pack(t, 1.5, 2)
	plan := Plan{Charger: battery.Charger{SetV: 7, MaxA: 0.5}, TaperA: 0.05, LoadA: 0.04, TempC: 20, StepS: 10, MostH: 12}
	r, err := Full(p, p.At(0.5), plan)
	require.NoError(t, err)
	require.Equal(t, Tapered, r.End, "a small load only delays it")
	require.InDelta(t, 0.05, r.ChargerA, 1e-9)
	plan.LoadA = 0.06
	r, err = Full(p, p.At(0.5), plan)
	require.NoError(t, err)
	require.Equal(t, HeldUp, r.End)
	require.True(t, math.IsNaN(r.TaperS))
	require.InDelta(t, 12*3600, r.TotalS, 1e-9)
	require.InDelta(t, 7, r.EndV, 1e-9)
	require.InDelta(t, 0.06, r.ChargerA, 1e-3)
	plan.LoadA = 0.6
	r, err = Full(p, p.At(0.9), plan)
	require.NoError(t, err)
	require.Equal(t, Starved, r.End)
	require.Less(t, r.State.SoC, 0.9)
	require.Equal(t, 0.5, math.Round(r.ChargerA*1e9)/1e9)
	plan.LoadA, plan.MostH = 0, 0.5
	r, err = Full(p, p.At(0.1), plan)
	require.NoError(t, err)
	require.Equal(t, Running, r.End)
	plan.StepS = 7
	r, err = Full(p, p.At(0.1), plan)
	require.NoError(t, err)
	require.Equal(t, 1800.0, r.TotalS, "the last step is a short one")
	require.InDelta(t, 0.25, r.InAh, 1e-12)
	for e, want := range map[End]string{Running: "still", Tapered: "taper", HeldUp: "never ends", Starved: "never full", Starved + 1: "unknown", 9: "unknown"} {
		require.Contains(t, e.String(), want)
	}
}

// The edges of the ends of a charge.
func TestEndsOfACharge(t *testing.T) {
	p := pack(t, 1.5, 2)
	full := func(soc float64, f func(pl *Plan)) Result {
		pl := Plan{Charger: battery.Charger{SetV: 7, MaxA: 0.5}, TaperA: 0.05, TempC: 20, StepS: 10, MostH: 12}
		f(&pl)
		r, err := Full(p, p.At(soc), pl)
		require.NoError(t, err)
		return r
	}
	// A charger too small for the taper ends as it comes to its voltage, not
	// at once: 0.75 Ah at 0.04 A take 18 h and more.
	r := full(0.5, func(pl *Plan) { pl.Charger.MaxA, pl.MostH = 0.04, 30 })
	require.Equal(t, Tapered, r.End)
	require.Greater(t, r.TaperS, 18*3600.0)
	require.InDelta(t, r.HoldS, r.TaperS, 1e-6)
	// A load that takes just the taper, or just all of the charger's current.
	require.Equal(t, HeldUp, full(0.5, func(pl *Plan) { pl.LoadA = 0.05 }).End)
	require.Equal(t, Starved, full(0.5, func(pl *Plan) { pl.LoadA = 0.5 }).End)
	// Time up before the voltage is reached: the load is not the reason.
	require.Equal(t, Running, full(0.1, func(pl *Plan) { pl.LoadA, pl.MostH = 0.06, 0.5 }).End)
}

// A string of equal cells is a pack.
func TestEqualStringIsAPack(t *testing.T) {
	cell := typical(t, 1.5)
	s, err := NewString(cell, cell, cell)
	require.NoError(t, err)
	require.Equal(t, 3, s.Len())
	require.Equal(t, 1, s.Cell(0).Series())
	p := pack(t, 1.5, 3)
	states := []battery.State{{SoC: 0.3}, {SoC: 0.3}, {SoC: 0.3}}
	want := p.At(0.3)
	cellV := make([]float64, 3)
	for _, i := range []float64{0.5, -0.2, 0, 1} {
		r := s.Current(states, cellV, i, Balancer{}, 300, 10)
		var f battery.Flow
		want, f = p.Current(want, i, 300, 10)
		require.InDelta(t, f.EndV, r.StringV, 1e-9)
		require.InDelta(t, want.SoC, states[2].SoC, 1e-12)
		require.InDelta(t, r.HighestV, r.LowestV, 1e-12)
		require.InDelta(t, f.EndV/3, cellV[1], 1e-9)
	}
	// Charged with small steps it comes to where the exact pack comes.
	c := battery.Charger{SetV: 10.5, MaxA: 1, SeriesOhm: 0.05}
	var r Reading
	for range 7200 {
		r = s.Charge(states, nil, c, Balancer{}, 1, 10)
	}
	want, f := p.Charge(want, c, 0, 7200, 10)
	require.True(t, r.Holding)
	require.InDelta(t, f.EndV, r.StringV, 1e-9)
	require.InDelta(t, want.SoC, states[0].SoC, 1e-6)
	_, err = NewString()
	require.EqualError(t, err, "number of cells in series 0 is outside 1..32")
	_, err = NewString(make([]battery.Cell, 33)...)
	require.EqualError(t, err, "number of cells in series 33 is outside 1..32")
	// A charger draws no current from a string above its voltage.
	r = s.Charge(states, nil, battery.Charger{SetV: 9, MaxA: 1}, Balancer{}, 60, 10)
	require.True(t, r.Holding)
	require.Zero(t, r.CurrentA)
	const lengths = "charge: states or voltages of another length than the string"
	require.PanicsWithValue(t, lengths, func() { s.Current(states[:2], nil, 0, Balancer{}, 1, 10) })
	require.PanicsWithValue(t, lengths, func() { s.Current(states, cellV[:2], 0, Balancer{}, 1, 10) })
	r = s.Current(states, nil, math.NaN(), Balancer{}, 1, 10)
	require.True(t, math.IsNaN(r.StringV) && math.IsNaN(r.HighestV) && math.IsNaN(r.LowestV))
}

// Unequal cells at the end of a charge: the calculated resting point is where
// the simulated charge comes to, and the smaller, fuller cell stands high.
func TestSettled(t *testing.T) {
	a, b := typical(t, 1.5), typical(t, 1.4)
	a.SelfDischargePctPerMonth, b.SelfDischargePctPerMonth = 0, 0
	a.CoulombicEfficiency, b.CoulombicEfficiency = 1, 1
	s, err := NewString(a, b)
	require.NoError(t, err)
	states := []battery.State{{SoC: 0.20}, {SoC: 0.24}}
	var r Reading
	for range 12000 {
		r = s.Charge(states, nil, battery.Charger{SetV: 7.0, MaxA: 0.5}, Balancer{}, 2, 25)
	}
	rest, err := s.Settled([]float64{0.20, 0.24}, 7.0, 25)
	require.NoError(t, err)
	require.InDelta(t, r.HighestV, rest[1].CellV, 1e-6)
	require.Equal(t, 1, r.Highest)
	require.InDelta(t, r.LowestV, rest[0].CellV, 1e-6)
	require.InDelta(t, states[0].SoC, rest[0].SoC, 1e-7)
	require.InDelta(t, 7.0, rest[0].CellV+rest[1].CellV, 1e-9)
	require.Greater(t, rest[1].CellV, 3.65, "7.00 V is 3.50 V a cell in the mean, and over the limit in one")
	// A balancer that works before the end brings them together in days.
	for range 40000 {
		r = s.Charge(states, nil, battery.Charger{SetV: 7.0, MaxA: 0.5}, Balancer{OnV: 3.45, A: 0.05}, 10, 25)
	}
	require.Less(t, r.HighestV, 3.60)

	for _, bad := range []func() error{
		func() error { _, err := s.Settled([]float64{0.2}, 7, 25); return err },
		func() error { _, err := s.Settled([]float64{0.2, 24}, 7, 25); return err },
		func() error { _, err := s.Settled([]float64{0.2, math.NaN()}, 7, 25); return err },
		func() error { _, err := s.Settled([]float64{0.2, 0.2}, 70, 25); return err },
		func() error { _, err := s.Settled([]float64{0.2, 0.2}, 7, 298); return err },
		func() error { _, err := NewString(); return err },
		func() error { _, err := NewString(battery.Cell{}); return err },
	} {
		require.Error(t, bad())
	}
	lead, err := battery.TypicalCell(battery.SealedLead, 1.5)
	require.NoError(t, err)
	s, err = NewString(lead, lead)
	require.NoError(t, err)
	_, err = s.Settled([]float64{0.2, 0.2}, 2, 25)
	require.EqualError(t, err, "voltage of the string 2 V and number of cells 2 contradict each other: the cells' curves must reach the voltage")
}

func TestPlanRefusals(t *testing.T) {
	p := pack(t, 1.5, 2)
	good := Plan{Charger: battery.Charger{SetV: 7, MaxA: 0.5}, TaperA: 0.05, TempC: 20, StepS: 10, MostH: 12}
	for text, f := range map[string]func(pl *Plan){
		"set voltage":       func(pl *Plan) { pl.Charger.SetV = 0 },
		"most current":      func(pl *Plan) { pl.Charger.MaxA = -1 },
		"resistance":        func(pl *Plan) { pl.Charger.SeriesOhm = math.NaN() },
		"taper current":     func(pl *Plan) { pl.TaperA = -1 },
		"load current":      func(pl *Plan) { pl.LoadA = -1 },
		"kelvins?":          func(pl *Plan) { pl.TempC = 293 },
		"step 0":            func(pl *Plan) { pl.StepS = 0 },
		"longest charge 0 ": func(pl *Plan) { pl.MostH = 0 },
	} {
		pl := good
		f(&pl)
		_, err := Full(p, p.At(0.5), pl)
		require.ErrorContains(t, err, text)
	}
	_, err := Full(p, p.At(50), good)
	require.ErrorContains(t, err, "percent?")
}

func TestFullAllocatesNothing(t *testing.T) {
	p := pack(t, 1.5, 2)
	require.Zero(t, testing.AllocsPerRun(3, func() {
		_, _ = Full(p, p.At(0.8), Plan{Charger: battery.Charger{SetV: 7, MaxA: 0.5}, TaperA: 0.05, TempC: 20, StepS: 10, MostH: 12})
	}))
}

func BenchmarkFullChargeAtOneSecond(b *testing.B) {
	p := pack(b, 1.5, 2)
	b.ReportAllocs()
	for b.Loop() {
		r, err := Full(p, p.At(0.1), Plan{Charger: battery.Charger{SetV: 7, MaxA: 0.5}, TaperA: 0.05, TempC: 20, StepS: 1, MostH: 12})
		if err != nil || r.End != Tapered {
			b.Fatal(err, r.End)
		}
	}
}

func BenchmarkStringStep(b *testing.B) {
	s, err := NewString(typical(b, 1.5), typical(b, 1.4))
	require.NoError(b, err)
	states := []battery.State{{SoC: 0.5}, {SoC: 0.5}}
	b.ReportAllocs()
	for b.Loop() {
		states[0].SoC, states[1].SoC = 0.5, 0.5
		s.Charge(states, nil, battery.Charger{SetV: 7, MaxA: 0.5}, Balancer{}, 1, 20)
	}
}

// What no pack, no state and no patience has, is refused.
func TestFullRefusesWhatItCannotEnd(t *testing.T) {
	p := pack(t, 1.5, 2)
	plan := Plan{Charger: battery.Charger{SetV: 7, MaxA: 0.5}, TaperA: 0.05, TempC: 20, StepS: 0.001, MostH: 1000}
	_, err := Full(p, p.At(0.5), plan)
	require.ErrorContains(t, err, "longest charge 1000 h is outside 0.001..5.5555", "a thousand hours of milliseconds")
	plan.StepS = 1
	_, err = Full(nil, battery.State{SoC: 0.5}, plan)
	require.ErrorContains(t, err, "number of packs 0")
	_, err = Full(p, battery.State{SoC: 0.5, SlowV: math.NaN()}, plan)
	require.ErrorContains(t, err, "voltage across the slow part NaN V")
	_, err = BrownOut(p, battery.State{SoC: 0.5, SlowV: math.NaN()}, radio, 20, 10)
	require.ErrorContains(t, err, "voltage across the slow part NaN V")
	_, err = BrownOut(nil, battery.State{SoC: 0.5}, radio, 20, 10)
	require.ErrorContains(t, err, "number of packs 0")
	_, err = BrownOutSoC(nil, radio, 20)
	require.ErrorContains(t, err, "number of packs 0")
	require.True(t, math.IsNaN(PulseEndV(nil, radio, 0.5, 20)))
}
