package chain

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
)

// diode1 drops ln(1e6+1)·25.693 mV = 0.35496 V at 1 A and 25 °C.
var diode1 = Diode{SaturationA: 1e-6, Ideality: 1, JunctionC: 25, ShortOhm: 0.01}

func TestHandCircuits(t *testing.T) {
	const exact = 1e-9
	t.Run("divider", func(t *testing.T) {
		p := solved(t, []Part{
			{"pack", "", "bus", Battery{OpenV: 12}},
			{"R1", "bus", "mid", Wire{Ohm: 100e3}},
			{"R2", "mid", "", Resistor{Ohm: 50e3}},
		}, Fault{})
		require.InDelta(t, 4, p.VoltageV("mid"), exact)
		require.InDelta(t, 80e-6, p.CurrentA("R1"), 1e-12)
		require.InDelta(t, -960e-6, p.PowerW("pack"), exact)
	})
	t.Run("diode", func(t *testing.T) {
		// 1 A through 5 ohm and the diode: the source has 5 + 0.35496 V.
		drop := 25.6926e-3 * math.Log(1e6+1)
		p := solved(t, []Part{
			{"pack", "", "a", Battery{OpenV: 5 + drop}},
			{"D", "a", "k", diode1},
			{"load", "k", "", Resistor{Ohm: 5}},
		}, Fault{})
		require.InDelta(t, 1, p.CurrentA("D"), 1e-6)
		require.InDelta(t, 5, p.VoltageV("k"), 5e-6)
		require.InDelta(t, drop, p.PowerW("D"), 5e-6)
	})
	t.Run("blocking diode at night", func(t *testing.T) {
		p := solved(t, []Part{
			{"panel", "", "array", Panel{SaturationA: 1e-9, ThermalV: 1, ShuntOhm: 1000}},
			{"D", "array", "bus", diode1},
			{"pack", "", "bus", Battery{OpenV: 6}},
		}, Fault{})
		require.InDelta(t, -1e-6, p.CurrentA("D"), 1e-9, "its saturation current, backwards")
		require.InDelta(t, 1e-3, p.VoltageV("array"), 1e-6)
	})
	t.Run("panel short-circuited and open", func(t *testing.T) {
		m := Panel{PhotoA: 0.3, SaturationA: 1e-9, ThermalV: 1.1}
		p := solved(t, []Part{{"panel", "", "array", m}, {"short", "array", "", Wire{Ohm: 0}}}, Fault{})
		require.InDelta(t, 0.3, p.CurrentA("panel"), exact)
		p = solved(t, []Part{{"panel", "", "array", m}, {"meter", "array", "", Resistor{Ohm: 1e9}}}, Fault{})
		require.InDelta(t, 1.1*math.Log1p(0.3e9), p.VoltageV("array"), 1e-6)
	})
	t.Run("source by its curve", func(t *testing.T) {
		// I = 1 − V/10 into 10 ohm: 5 V.
		p := solved(t, []Part{
			{"S", "", "bus", Source{OpenV: 10, Curve: curve(func(v float64) float64 { return 1 - v/10 })}},
			{"load", "bus", "", Resistor{Ohm: 10}},
		}, Fault{})
		require.InDelta(t, 5, p.VoltageV("bus"), 1e-8)
		require.InDelta(t, 0.5, p.CurrentA("S"), 1e-8)
	})
	t.Run("constant power", func(t *testing.T) {
		// 12 V behind 1 ohm, 20 W: V² − 12 V + 20 = 0, the upper root.
		p := solved(t, []Part{{"pack", "", "bus", Battery{OpenV: 12, SeriesOhm: 1}}, {"radio", "bus", "", PowerLoad{LoadW: 20, BrownOutV: 3}}}, Fault{})
		require.InDelta(t, 10, p.VoltageV("bus"), exact)
		require.InDelta(t, 20, p.PowerW("radio"), exact)
	})
	t.Run("constant power out of reach", func(t *testing.T) {
		// 40 W is more than the 36 W it has to give: down, to 9/40·9 = 2.025 ohm.
		p := solved(t, []Part{{"pack", "", "bus", Battery{OpenV: 12, SeriesOhm: 1}}, {"radio", "bus", "", PowerLoad{LoadW: 40, BrownOutV: 9}}}, Fault{})
		require.InDelta(t, 12*2.025/3.025, p.VoltageV("bus"), exact)
	})
	t.Run("constant current with its knee", func(t *testing.T) {
		p := solved(t, []Part{{"pack", "", "bus", Battery{OpenV: 1, SeriesOhm: 1}}, {"lamp", "bus", "", CurrentLoad{LoadA: 0.25}}}, Fault{})
		require.InDelta(t, 0.75, p.VoltageV("bus"), exact)
		// At 1 A the pack would be empty: below 0.5 V the lamp is 0.5 ohm.
		p = solved(t, []Part{{"pack", "", "bus", Battery{OpenV: 1, SeriesOhm: 1}}, {"lamp", "bus", "", CurrentLoad{LoadA: 1}}}, Fault{})
		require.InDelta(t, 1.0/3, p.VoltageV("bus"), exact)
		p = solved(t, []Part{{"pack", "", "bus", Battery{OpenV: 1, SeriesOhm: 1}}, {"lamp", "bus", "", CurrentLoad{LoadA: 1, KneeV: 1}}}, Fault{})
		require.InDelta(t, 0.5, p.VoltageV("bus"), exact)
	})
	t.Run("clamp", func(t *testing.T) {
		// (12 − 6) V over 1 + 0.5 ohm: 4 A, 6 + 2 V.
		p := solved(t, []Part{{"pack", "", "bus", Battery{OpenV: 12, SeriesOhm: 1}}, {"Z", "bus", "", Clamp{BreakdownV: 6, SlopeOhm: 0.5}}}, Fault{})
		require.InDelta(t, 8, p.VoltageV("bus"), 1e-8)
		require.InDelta(t, 32, p.PowerW("Z"), 1e-7)
		p = solved(t, []Part{{"pack", "", "bus", Battery{OpenV: 12, SeriesOhm: 1}}, {"Z", "bus", "", Clamp{BreakdownV: 12.5}}}, Fault{})
		require.InDelta(t, 12, p.VoltageV("bus"), exact)
	})
	t.Run("ideal diodes choose the higher source", func(t *testing.T) {
		p := solved(t, []Part{
			{"A", "", "a", Battery{OpenV: 6}}, {"B", "", "b", Battery{OpenV: 7}},
			{"DA", "a", "bus", IdealDiode{OnOhm: 0.1}}, {"DB", "b", "bus", IdealDiode{OnOhm: 0.1, DropV: 0.02}},
			{"load", "bus", "", Resistor{Ohm: 9.9}},
		}, Fault{})
		require.InDelta(t, 6.98*0.99, p.VoltageV("bus"), 1e-8)
		require.InDelta(t, 0, p.CurrentA("DA"), exact)
		require.Equal(t, Off, p.Regime("DA"))
	})
	t.Run("regulators of equal voltage share", func(t *testing.T) {
		p := solved(t, []Part{
			{"pack", "", "bus", Battery{OpenV: 9}},
			{"U1", "bus", "out", Linear{SetV: 5}}, {"U2", "bus", "out", Linear{SetV: 5}},
			{"load", "out", "", Resistor{Ohm: 5}},
		}, Fault{})
		require.InDelta(t, 5, p.VoltageV("out"), 1e-8)
		require.InDelta(t, 0.5, p.CurrentA("U1"), 1e-6)
	})
	t.Run("fuse and link are resistances", func(t *testing.T) {
		p := solved(t, []Part{
			{"pack", "", "bus", Battery{OpenV: 10}},
			{"F", "bus", "a", Fuse{RatedA: 1, ColdOhm: 0.5}}, {"J", "a", "b", Link{Fitted: true, Ohm: 0.5}},
			{"J2", "b", "c", Link{Ohm: 0.5}}, {"load", "b", "", Resistor{Ohm: 9}}, {"other", "c", "", Resistor{Ohm: 9}},
		}, Fault{})
		require.InDelta(t, 9, p.VoltageV("b"), exact)
		require.Zero(t, p.VoltageV("c"))
	})
}

// TestRegimes walks one regulator, converter and charger through everything it
// can be doing, each point by hand.
func TestRegimes(t *testing.T) {
	const near = 1e-7
	at := func(t *testing.T, openV, ohm float64, m Model, loadOhm float64) *Point {
		return solved(t, []Part{
			{"source", "", "in", Battery{OpenV: openV, SeriesOhm: ohm}},
			{"part", "in", "out", m},
			{"load", "out", "", Resistor{Ohm: loadOhm}},
		}, Fault{})
	}
	check := func(t *testing.T, p *Point, r Regime, outV, inA float64) {
		t.Helper()
		require.Equal(t, r, p.Regime("part"), r.String())
		require.InDelta(t, outV, p.VoltageV("out"), near)
		require.InDelta(t, inA, p.InputA("part"), near)
	}
	linear := Linear{SetV: 5, DropoutV: 1, DropoutOhm: 0.5, IdleA: 0.005, LimitA: 0.8}
	check(t, at(t, 9, 0, linear, 10), Regulating, 5, 0.505)
	check(t, at(t, 5, 0, linear, 9.5), Dropout, 3.8, 0.405)
	check(t, at(t, 9, 0, linear, 2), CurrentLimit, 1.6, 0.805)
	check(t, at(t, 0.8, 0, linear, 10), Off, 0, 0.004)
	soft := linear
	soft.OutputOhm = 0.1
	check(t, at(t, 9, 0, soft, 9.9), Regulating, 4.95, 0.505)

	down := StepDown{SetV: 5, Efficiency: 0.9, HeadroomV: 0.5, PassOhm: 0.5, IdleA: 0.001, LimitA: 2, MinInputV: 4}
	check(t, at(t, 10, 0, down, 5), Regulating, 5, 5/9.0+0.001)
	check(t, at(t, 5, 0, down, 4), Dropout, 4, 4/(0.9*5)+0.001)
	check(t, at(t, 10, 0, down, 1), CurrentLimit, 2, 4/9.0+0.001)
	check(t, at(t, 3.9, 0, down, 10), Off, 0, 0.001)
	limited := at(t, 10, 10, down, 0.1)
	check(t, limited, CurrentLimit, 0.2, 0.4/(0.9*limited.VoltageV("in"))+0.001)
	// Held up at 4 V by what 10 ohm lets through: 0.6 A, of which 0.599 A is
	// for the load: into 0.1 ohm 0.9·4·0.599 = I²·0.1.
	hold := down
	hold.LimitA = 0
	check(t, at(t, 10, 10, hold, 0.1), InputHold, math.Sqrt(0.9*4*0.599*0.1), 0.6)

	up := StepUp{SetV: 12, Efficiency: 0.8, DiodeV: 0.4, PassOhm: 0.1, IdleA: 0.002, LimitInA: 1, MinInputV: 2}
	check(t, at(t, 6, 0, up, 120), Regulating, 12, 1.2/4.8+0.002)
	// At its input limit of 1 A it has 4.8 W: into 10 ohm √48 V.
	check(t, at(t, 6, 0, up, 10), CurrentLimit, math.Sqrt(48), 1.002)
	check(t, at(t, 13.4, 0, up, 9.9), PassThrough, 13*0.99, 1.302)
	check(t, at(t, 1.4, 0, up, 9.9), PassThrough, 0.99, 0.102)

	charger := Charger{SetV: 7, LimitA: 0.5, HoldV: 14, Efficiency: 0.9, HeadroomV: 1, IdleA: 0.001}
	packAt := func(sourceV, sourceOhm, packV float64, m Charger) *Point {
		return solved(t, []Part{
			{"source", "", "in", Battery{OpenV: sourceV, SeriesOhm: sourceOhm}},
			{"part", "in", "out", m},
			{"pack", "", "out", Battery{OpenV: packV, SeriesOhm: 0.5}},
		}, Fault{})
	}
	check(t, packAt(20, 1, 6, charger), CurrentLimit, 6.25, func() float64 {
		// 3.125 W/0.9 from 20 V behind 1 ohm, the charger's own 1 mA besides.
		v := (19.999 + math.Sqrt(19.999*19.999-4*3.125/0.9)) / 2
		return 3.125/0.9/v + 0.001
	}())
	check(t, packAt(20, 1, 6.9, charger), Regulating, 7, func() float64 {
		v := (19.999 + math.Sqrt(19.999*19.999-4*1.4/0.9)) / 2
		return 1.4/0.9/v + 0.001
	}())
	weak := packAt(20, 60, 6, charger)
	require.Equal(t, InputHold, weak.Regime("part"))
	require.InDelta(t, 14, weak.VoltageV("in"), near)
	require.InDelta(t, 0.1, weak.InputA("part"), near)
	dead := packAt(3, 1, 6, charger)
	require.Equal(t, Off, dead.Regime("part"))
	require.InDelta(t, 6, dead.VoltageV("out"), near)
	open := charger
	open.BackfeedV = 0.6
	back := packAt(3, 1, 6, open)
	require.Equal(t, Backfeeding, back.Regime("part"))
	// 6 V − 0.6 V − 3 V over 0.5 + 1 ohm, less the charger's own 1 mA that the
	// input also takes: 1.5 I = 2.4 + 0.001.
	require.InDelta(t, -(2.4+0.001)/1.5, back.CurrentA("part"), near)
	linearCharger := charger
	linearCharger.Efficiency = 0
	check(t, packAt(20, 1, 6, linearCharger), CurrentLimit, 6.25, 0.501)
}

func TestSuperposition(t *testing.T) {
	net := func(e1, e2, i float64) *Point {
		return solved(t, []Part{
			{"E1", "", "a", Battery{OpenV: e1, SeriesOhm: 0.3}}, {"E2", "", "b", Battery{OpenV: e2, SeriesOhm: 2}},
			{"W1", "a", "c", Wire{Ohm: 5}}, {"W2", "b", "c", Wire{Ohm: 1e-4}}, {"W3", "a", "b", Wire{Ohm: 40}},
			{"R", "c", "", Resistor{Ohm: 17}}, {"I", "c", "", CurrentLoad{LoadA: i, KneeV: 1e-3}},
		}, Fault{})
	}
	// The current load is linear only above its knee: part of the sum each time.
	both, first, second := net(9, 6, 0.1), net(9, 0, 0.05), net(0, 6, 0.05)
	for _, n := range []string{"a", "b", "c"} {
		require.InDelta(t, both.VoltageV(n), first.VoltageV(n)+second.VoltageV(n), 1e-9, n)
	}
}

func TestSetFollowsTheDay(t *testing.T) {
	c, err := New([]Part{
		{"panel", "", "array", Panel{PhotoA: 0.3, SaturationA: 1e-9, ThermalV: 1.1, SeriesOhm: 1, ShuntOhm: 900}},
		{"D", "array", "bus", diode1},
		{"pack", "", "bus", Battery{OpenV: 6.6, SeriesOhm: 0.1}},
		{"radio", "bus", "", PowerLoad{LoadW: 1, BrownOutV: 3}},
		{"lamp", "bus", "", CurrentLoad{LoadA: 0.01}},
		{"heater", "bus", "", Resistor{Ohm: 100}},
	}, nil)
	require.NoError(t, err)
	w := c.NewWorkspace()
	evening := []struct {
		part string
		m    Model
	}{
		{"panel", Panel{PhotoA: 0.01, SaturationA: 2e-9, ThermalV: 1.05, SeriesOhm: 2, ShuntOhm: 0}},
		{"pack", Battery{OpenV: 6.4, SeriesOhm: 0.2}},
		{"radio", PowerLoad{LoadW: 0.1, BrownOutV: 2}},
		{"lamp", CurrentLoad{LoadA: 0.02, KneeV: 8}},
		{"heater", Resistor{Ohm: 50}},
	}
	parts := c.Parts()
	for _, e := range evening {
		require.NoError(t, w.Set(e.part, e.m))
		parts[c.partOf[e.part]].Model = e.m
	}
	got, err := w.Solve()
	require.NoError(t, err)
	want := solved(t, parts, Fault{})
	for _, n := range c.Nodes() {
		require.InDelta(t, want.VoltageV(n), got.VoltageV(n), 1e-9, n)
	}
	for _, q := range parts {
		require.InDelta(t, want.CurrentA(q.Name), got.CurrentA(q.Name), 1e-9, q.Name)
	}
	// The circuit itself, and other workspaces, know nothing of it.
	again, err := c.Solve()
	require.NoError(t, err)
	require.NotEqual(t, got.VoltageV("bus"), again.VoltageV("bus"))

	for _, e := range []struct {
		part string
		m    Model
		says string
	}{
		{"nothing", Battery{OpenV: 1}, `unknown part "nothing": known are `},
		{"panel", Battery{OpenV: 1}, `part "panel", a chain.Panel, cannot be set to that model`},
		{"pack", Panel{PhotoA: 1, SaturationA: 1e-9, ThermalV: 1}, `part "pack", a chain.Battery, cannot be set`},
		{"pack", Resistor{Ohm: 1}, "cannot be set"},
		{"pack", CurrentLoad{LoadA: 1}, "cannot be set"},
		{"pack", PowerLoad{LoadW: 1, BrownOutV: 1}, "cannot be set"},
		{"D", diode1, `part "D", a chain.Diode, cannot be set`},
		{"panel", Panel{PhotoA: -1, SaturationA: 1e-9, ThermalV: 1}, `part "panel": photocurrent -1 A`},
		{"pack", Battery{OpenV: math.NaN()}, `part "pack": open-circuit voltage NaN V`},
		{"heater", Resistor{}, `part "heater": resistance 0 ohm`},
		{"lamp", CurrentLoad{LoadA: -1}, `part "lamp": current -1 A`},
		{"radio", PowerLoad{}, `part "radio": brown-out voltage 0 V`},
	} {
		require.ErrorContains(t, w.Set(e.part, e.m), e.says)
	}
	same, err := w.Solve()
	require.NoError(t, err)
	require.InDelta(t, want.VoltageV("bus"), same.VoltageV("bus"), 1e-12, "a refused Set leaves everything as it was")
}

func TestSolvingAllocatesNothing(t *testing.T) {
	c := station(t)
	w := c.NewWorkspace()
	sun := Panel{PhotoA: 0.2, SaturationA: 1e-9, ThermalV: 1.1, SeriesOhm: 0.8, ShuntOhm: 900}
	f := Fault{"U2", PassShort}
	require.Zero(t, testing.AllocsPerRun(100, func() {
		sun.PhotoA += 1e-4
		if w.Set("panel", sun) != nil {
			t.Fail()
		}
		if _, err := w.Solve(); err != nil {
			t.Fail()
		}
		if _, err := w.SolveFault(f); err != nil {
			t.Fail()
		}
	}))
}

func TestOmega(t *testing.T) {
	require.InDelta(t, 1, omega(1), 1e-15)
	require.InDelta(t, 0.5671432904097838, omega(0), 1e-15) // the omega constant, from memory
	for x := -60.0; x < 1e4; x += 0.37 + math.Abs(x)/50 {
		w := omega(x)
		require.InDelta(t, x, w+math.Log(w), 1e-13*(1+math.Abs(x)), "x = %g", x)
	}
}

func TestDiodeLawsAreInverse(t *testing.T) {
	for _, r := range []float64{0, 1e-3, 0.1, 10} {
		e := element{sat: 1e-9, vt: 0.03, r: r}
		for i := 1e-12; i < 10; i *= 3 {
			require.InDelta(t, i, e.diodeA(e.diodeV(i)), 1e-9*i+1e-23, "r %g i %g", r, i)
		}
		require.InDelta(t, -1e-9, e.diodeA(-5), 1e-20)
	}
}

// A curve that passes the samples of New and is no number between them leaves
// nothing to find.
func TestNoOperatingPointIsSaid(t *testing.T) {
	c, err := New([]Part{
		{"S", "", "bus", Source{OpenV: 16, Curve: curve(func(v float64) float64 {
			if v != math.Trunc(v) {
				return math.NaN()
			}
			return 1 - v/16
		})}},
		{"R", "bus", "", Resistor{Ohm: 7}},
	}, nil)
	require.NoError(t, err)
	_, err = c.Solve()
	require.EqualError(t, err, `no operating point found near node "bus"`)
}

// By hand: a regulator that draws its full own current I from 1 V on, in proportion
// below, behind 1 V/I from a source of 2 V, has 1 V at its input: the bend itself, on
// whichever side of it rounding puts the input.
func TestInputAtTheBendOfTheOwnCurrent(t *testing.T) {
	for n := range 100 {
		idle := 1e-3 * (1 + float64(n)/7)
		p := solved(t, []Part{
			{"pack", "", "a", Battery{OpenV: 2}},
			{"W", "a", "in", Wire{Ohm: 1 / idle}},
			{"U", "in", "out", Linear{SetV: 3, IdleA: idle}},
			{"load", "out", "", Resistor{Ohm: 1e9}},
		}, Fault{})
		require.InDelta(t, 1, p.VoltageV("in"), 1e-5) // the load takes 1 nA through 1 kohm at most
		require.InDelta(t, idle, p.InputA("U"), 1e-8)
	}
}

// A panel without series resistance at a pack without any takes exp(0.49 V/1 mV) of its
// saturation current: beside it the fuse of the other branch would come out with half a
// volt across it and no current. It is an error.
func TestCurrentsBeyondAllNumbers(t *testing.T) {
	parts := []Part{
		{"panel", "", "n0", Panel{SaturationA: 1e-25, ThermalV: 100, SeriesOhm: 1e-6, ShuntOhm: 0.2}},
		{"fuse", "n0", "n1", Fuse{RatedA: 1, ColdOhm: 2.5e-8}},
		{"pack", "", "n1", Battery{OpenV: 0.49}},
		{"other", "", "n1", Panel{PhotoA: 4, SaturationA: 0.04, ThermalV: 1e-3}},
	}
	c, err := New(parts, nil)
	require.NoError(t, err)
	_, err = c.Solve()
	require.ErrorContains(t, err, "no operating point found near node")
	require.ErrorContains(t, err, "nothing limits a current of more than 1e13 A")
	// With a milliohm in the panel there is a point, and the fuse obeys Ohm's law:
	// 0.49 V across the first panel's shunt.
	parts[3].Model = Panel{PhotoA: 4, SaturationA: 0.04, ThermalV: 1e-3, SeriesOhm: 1e-3}
	c, err = New(parts, nil)
	require.NoError(t, err)
	p, err := c.Solve()
	require.NoError(t, err)
	require.InDelta(t, -0.49/(0.2+1e-6+2.5e-8), p.CurrentA("fuse"), 1e-9)
}

// A clamp behind a regulator without headroom gets nothing, and its node reads zero, as
// one that is cut off does; it does not stand at the breakdown voltage.
func TestAClampBehindADeadRegulatorReadsZero(t *testing.T) {
	c, err := New([]Part{
		{"panel", "", "array", Panel{PhotoA: 0.04, SaturationA: 7.8e-10, ThermalV: 0.39, SeriesOhm: 0.07, ShuntOhm: 2686}},
		{"lead", "array", "in", Wire{1.2}}, {"divider", "in", "", Resistor{10}},
		{"U", "in", "out", StepDown{SetV: 5.28, Efficiency: 0.67, HeadroomV: 0.44, PassOhm: 0.27, IdleA: 2.4e-4}},
		{"clamp", "out", "", Clamp{BreakdownV: 4.8, SlopeOhm: 0.03}},
	}, nil)
	require.NoError(t, err)
	p, err := c.Solve()
	require.NoError(t, err)
	require.Less(t, p.VoltageV("in"), 0.44)
	require.Equal(t, Off, p.Regime("U"))
	require.InDelta(t, 0, p.VoltageV("out"), 1e-9)
}
