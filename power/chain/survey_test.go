package chain

import (
	"math"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/stretchr/testify/require"
)

func surveyOf(t *testing.T, parts []Part, limits []Limit, stock Stock) *Survey {
	t.Helper()
	c, err := New(parts, limits)
	require.NoError(t, err)
	s, err := c.Survey(stock)
	require.NoError(t, err)
	require.Len(t, s.Rows, 1+len(c.Faults()))
	for k, f := range c.Faults() {
		require.Equal(t, f, s.Rows[k+1].Fault)
	}
	return s
}

func rowOf(t *testing.T, s *Survey, part string, m Mode) *Row {
	t.Helper()
	for k := range s.Rows {
		if s.Rows[k].Fault == (Fault{part, m}) {
			return &s.Rows[k]
		}
	}
	t.Fatalf("no row for %s", Fault{part, m})
	return nil
}

func harmOf(t *testing.T, r *Row, node string) *Harm {
	t.Helper()
	for k := range r.Harms {
		if r.Harms[k].Node == node {
			return &r.Harms[k]
		}
	}
	t.Fatalf("no harm at %s", node)
	return nil
}

// TestEveryModeByHand puts one part of each kind between 12 V behind 1 ohm and
// a load, and states what each of its faults leaves at the load.
func TestEveryModeByHand(t *testing.T) {
	linear := Linear{SetV: 5, ShortOhm: 0.5, Trimmer: true, WiperOpenV: 7}
	down := StepDown{SetV: 5, Efficiency: 0.9, ShortOhm: 0.25, Trimmer: true, WiperOpenV: 1.25}
	up := StepUp{SetV: 20, Efficiency: 0.8, LimitInA: 3, MinInputV: 3, ShortOhm: 1, Trimmer: true, WiperOpenV: 30}
	charger := Charger{SetV: 7, LimitA: 3, ShortOhm: 0.75, Trimmer: true, WiperOpenV: 8}
	for _, c := range []struct {
		model Model
		mode  Mode
		outV  float64 // into 10 ohm
	}{
		{linear, PassShort, 12 * 10 / 11.5}, {linear, WiperOpen, 7},
		{down, SwitchShort, 12 * 10 / 11.25}, {down, WiperOpen, 1.25},
		{charger, SwitchShort, 12 * 10 / 11.75}, {charger, WiperOpen, 8},
		{up, SwitchShort, 0}, {up, WiperOpen, math.Sqrt(10 * 0.8 * 27)}, // at its 3 A limit from 9 V
		{diode1, DiodeShort, 12 * 10 / 11.01}, {diode1, DiodeOpen, 0},
		{IdealDiode{OnOhm: 0.1, ShortOhm: 0.02}, DiodeShort, 12 * 10 / 11.02}, {IdealDiode{OnOhm: 0.1}, DiodeOpen, 0},
		{Link{Ohm: 0.05}, LinkFitted, 12 * 10 / 11.05}, {Link{Fitted: true}, LinkMissing, 0},
	} {
		f := Fault{"part", c.mode}
		p := solved(t, []Part{{"pack", "", "in", Battery{OpenV: 12, SeriesOhm: 1}}, {"part", "in", "out", c.model}, {"load", "out", "", Resistor{Ohm: 10}}}, f)
		require.InDelta(t, c.outV, p.VoltageV("out"), 1e-6, "%T %s", c.model, f)
	}
	// The shorted switch of a step-up part loads its input: 12 V over 1 + 1 ohm.
	p := solved(t, []Part{{"pack", "", "in", Battery{OpenV: 12, SeriesOhm: 1}}, {"part", "in", "out", up}, {"load", "out", "", Resistor{Ohm: 10}}}, Fault{"part", SwitchShort})
	require.InDelta(t, 6, p.VoltageV("in"), 1e-9)
	require.InDelta(t, 6, p.InputA("part"), 1e-9)
	require.InDelta(t, 36, p.PowerW("part"), 1e-8)

	adapter := Adapter{RatedV: 12, NoLoadV: 17, RatedA: 0.5, SeriesOhm: 0.5, LimitA: 0.8}
	ac := func(f Fault, m Adapter, ohm float64) float64 {
		return solved(t, []Part{{"adapter", "", "bus", m}, {"load", "bus", "", Resistor{Ohm: ohm}}}, f).VoltageV("bus")
	}
	require.InDelta(t, 12*50/50.5, ac(Fault{}, adapter, 50), 1e-8)
	require.InDelta(t, 8, ac(Fault{}, adapter, 10), 1e-9, "its current limit")
	require.InDelta(t, 17*100/110.5, ac(Fault{"adapter", Unregulated}, adapter, 100), 1e-8)
	adapter.RatedA = 0
	require.InDelta(t, 17*100/100.5, ac(Fault{"adapter", Unregulated}, adapter, 100), 1e-8, "stiff if its rated current is not known")
}

func TestAPackLeavesItsChargersAlone(t *testing.T) {
	parts := []Part{
		{"panel", "", "array", Battery{OpenV: 18}},
		{"charger", "array", "out", Charger{SetV: 7, LimitA: 1, Efficiency: 0.9, NoPackV: 8.4}},
		{"F", "out", "bus", Fuse{RatedA: 1, ColdOhm: 0.1}},
		{"pack", "", "bus", Battery{OpenV: 6.6, SeriesOhm: 0.1}},
		{"U", "bus", "5V", Linear{SetV: 5}},
		{"second charger", "array", "other", Charger{SetV: 4, LimitA: 1, NoPackV: 5}},
		{"second pack", "", "other", Battery{OpenV: 3.3, SeriesOhm: 0.1}},
		{"load", "bus", "", Resistor{Ohm: 84}}, {"more", "other", "", Resistor{Ohm: 50}}, {"rest", "5V", "", Resistor{Ohm: 1e3}},
	}
	c, err := New(parts, nil)
	require.NoError(t, err)
	p, err := c.NewWorkspace().SolveFault(Fault{"pack", PackDisconnected})
	require.NoError(t, err)
	require.InDelta(t, 8.4, p.VoltageV("out"), 1e-7)
	require.InDelta(t, 8.4-0.1*(p.VoltageV("bus")/84+0.005), p.VoltageV("bus"), 1e-7)
	require.InDelta(t, 3.3+0.1*p.CurrentA("second pack")*-1, p.VoltageV("other"), 1e-9, "the other pack keeps its charger")
	require.Less(t, p.VoltageV("other"), 4.0+1e-9)

	// Without a stated voltage the worst is taken, and nothing is called lost.
	parts[1].Model = Charger{SetV: 7, LimitA: 1, Efficiency: 0.9}
	s := surveyOf(t, parts, []Limit{{Node: "bus", Item: "cells", WorkV: 7.2, MaxV: 7.3}, {Node: "5V", Item: "pin", MaxV: 20}}, Stock{})
	r := rowOf(t, s, "pack", PackDisconnected)
	require.Equal(t, "the output voltage of charger without a pack", r.Missing)
	require.Equal(t, CannotTell, harmOf(t, r, "bus").Verdict)
	require.Contains(t, harmOf(t, r, "bus").Reason, "lost if the output voltage of charger without a pack is as high as the input allows")
	require.Equal(t, Survives, harmOf(t, r, "5V").Verdict, "what the worst case spares, survives")
	require.Equal(t, CannotTell, r.Worst)
}

// A charger beyond a link that is not fitted has nothing to do with the pack.
func TestAPackBeyondAnOpenLinkIsNotTheChargers(t *testing.T) {
	parts := []Part{
		{"supply", "", "in", Battery{OpenV: 18, SeriesOhm: 0.1}},
		{"charger", "in", "bus", Charger{SetV: 7, LimitA: 1, NoPackV: 8}},
		{"pack", "", "bus", Battery{OpenV: 6.6, SeriesOhm: 0.1}},
		{"J1", "bus", "spare", Link{}},
		{"spare charger", "in", "spare", Charger{SetV: 7.2, LimitA: 1}},
		{"lamp", "spare", "", Resistor{Ohm: 100}}, {"load", "bus", "", Resistor{Ohm: 100}},
	}
	s := surveyOf(t, parts, []Limit{{Node: "spare", Item: "lamp", MaxV: 8}}, Stock{})
	r := rowOf(t, s, "pack", PackDisconnected)
	require.Empty(t, r.Missing)
	require.InDelta(t, 7.2, harmOf(t, r, "spare").VoltageV, 1e-7)
	require.Equal(t, Survives, harmOf(t, r, "spare").Verdict)
	parts[3].Model = Link{Fitted: true}
	r = rowOf(t, surveyOf(t, parts, nil, Stock{}), "pack", PackDisconnected)
	require.Equal(t, "the output voltage of spare charger without a pack", r.Missing)
}

func TestVerdicts(t *testing.T) {
	parts := []Part{
		{"pack", "", "bus", Battery{OpenV: 6.6, SeriesOhm: 0.1}},
		{"U2", "bus", "3V3", Linear{SetV: 3.3, ShortOhm: 0.5}},
		{"sensor lead", "3V3", "sensor", Wire{Ohm: 10}},
		{"sensor", "sensor", "", CurrentLoad{LoadA: 0.01}},
		{"controller", "3V3", "", Resistor{Ohm: 33}},
		{"lamp", "bus", "", Resistor{Ohm: 1000}},
	}
	limits := []Limit{
		{Node: "3V3", Item: "controller", WorkV: 3.45, MaxV: 3.6},
		{Node: "sensor", Item: "sensor", MaxV: 10, MaxW: 0.05},
		{Node: "bus", Item: "U2", MaxV: 20, MaxW: 1e-3},
	}
	s := surveyOf(t, parts, limits, Stock{})
	healthy := &s.Rows[0]
	require.Equal(t, NoFault, healthy.Fault.Mode)
	require.Equal(t, Survives, harmOf(t, healthy, "3V3").Verdict)
	require.Equal(t, Lost, harmOf(t, healthy, "bus").Verdict, "its own heat: 0.36 W over 1 mW")
	require.Equal(t, "power above the absolute maximum", harmOf(t, healthy, "bus").Reason)
	require.InDelta(t, (6.6-0.011-3.3)*0.11, harmOf(t, healthy, "bus").PowerW, 1e-3)

	r := rowOf(t, s, "U2", PassShort)
	h := harmOf(t, r, "3V3")
	require.Equal(t, Lost, h.Verdict)
	require.Equal(t, "voltage above the absolute maximum", h.Reason)
	require.InDelta(t, h.VoltageV/3.6, h.VoltageRatio, 1e-15)
	require.Zero(t, h.PowerRatio)
	require.Equal(t, []string{"pack", "U2"}, h.Path)
	h = harmOf(t, r, "sensor")
	require.Equal(t, Lost, h.Verdict, "63 mW where 50 mW are allowed, though the voltage is")
	require.InDelta(t, 0.01*h.VoltageV/0.05, h.PowerRatio, 1e-9)
	require.Equal(t, []string{"pack", "U2", "sensor lead"}, h.Path)
	require.Equal(t, Survives, harmOf(t, r, "bus").Verdict, "a part that has failed is not heated to death again")
	require.Equal(t, []string{"3V3", "sensor"}, r.Up)
	require.Empty(t, r.Down)
	require.Equal(t, Lost, r.Worst)
	lost := s.Lost()
	require.Len(t, lost, 2)
	require.Equal(t, []Fault{{}, {"U2", PassShort}}, []Fault{lost[0].Fault, lost[1].Fault}, "the worst ratio first")

	// Without limits: cannot tell where it rises, survives where it does not.
	s = surveyOf(t, parts, nil, Stock{})
	r = rowOf(t, s, "U2", PassShort)
	require.Equal(t, CannotTell, harmOf(t, r, "3V3").Verdict)
	require.Equal(t, "absolute maximum voltage not known", harmOf(t, r, "3V3").Reason)
	require.Equal(t, Survives, harmOf(t, r, "bus").Verdict)
	require.Equal(t, "no higher than without the fault", harmOf(t, r, "bus").Reason)
	require.Equal(t, CannotTell, r.Worst)
	require.Equal(t, NotNeeded, r.Barrier.Kind)
	require.Empty(t, s.Lost())
	// A working voltage above what the fault brings is as good as none rising.
	s = surveyOf(t, parts, []Limit{{Node: "3V3", WorkV: 9}, {Node: "sensor", WorkV: 9}}, Stock{})
	require.Equal(t, Survives, rowOf(t, s, "U2", PassShort).Worst)
	// Exactly at the limit is kept.
	stiff := []Part{{"pack", "", "bus", Battery{OpenV: 5}}, {"J", "bus", "out", Link{}}, {"load", "out", "", Resistor{Ohm: 1000}}}
	s = surveyOf(t, stiff, []Limit{{Node: "out", MaxV: 5, MaxW: 0.025}, {Node: "bus", MaxV: 4.999}}, Stock{})
	r = rowOf(t, s, "J", LinkFitted)
	require.Equal(t, Survives, harmOf(t, r, "out").Verdict)
	require.Equal(t, Lost, harmOf(t, r, "bus").Verdict)
}

func TestWhatCannotBeComputedCannotBeTold(t *testing.T) {
	parts := []Part{
		{"A", "", "bus", Battery{OpenV: 6}}, {"B", "", "other", Battery{OpenV: 7}},
		{"J", "bus", "other", Link{}},
		{"adapter", "", "bus", Adapter{RatedV: 5, SeriesOhm: 1}},
		{"up", "bus", "high", StepUp{SetV: 12, Efficiency: 0.9, LimitInA: 1, MinInputV: 2, Trimmer: true}},
		{"down", "bus", "low", StepDown{SetV: 3, Efficiency: 0.9, Trimmer: true}},
		{"l1", "other", "", Resistor{Ohm: 100}}, {"l2", "high", "", Resistor{Ohm: 100}}, {"l3", "low", "", Resistor{Ohm: 100}},
	}
	s := surveyOf(t, parts, []Limit{{Node: "low", MaxV: 4}, {Node: "high", MaxV: 14}}, Stock{})
	r := rowOf(t, s, "J", LinkFitted)
	require.Equal(t, CannotTell, r.Worst)
	require.Contains(t, r.Missing, `loop without resistance: node "bus", "other", common return, part "A", "B", "J"`)
	require.True(t, math.IsNaN(harmOf(t, r, "low").VoltageV))
	require.Equal(t, 4.0, harmOf(t, r, "low").MaxV)
	require.Contains(t, r.LocalEffect(), "not computed: loop without resistance")

	r = rowOf(t, s, "adapter", Unregulated)
	require.Equal(t, CannotTell, r.Worst)
	require.Equal(t, "the adapter's no-load voltage", r.Missing)
	require.Equal(t, "the adapter's no-load voltage is not known", harmOf(t, r, "low").Reason)
	r = rowOf(t, s, "up", WiperOpen)
	require.Equal(t, "the output voltage with the wiper open", r.Missing)
	require.Equal(t, CannotTell, r.Worst, "nothing bounds a step-up part")
	r = rowOf(t, s, "down", WiperOpen)
	require.Equal(t, CannotTell, harmOf(t, r, "low").Verdict)
	require.InDelta(t, 6, harmOf(t, r, "low").VoltageV, 1e-6, "at most its input")
	require.InDelta(t, 1.5, harmOf(t, r, "low").VoltageRatio, 1e-6)
	require.NotEqual(t, NotNeeded, r.Barrier.Kind)

	c, err := New(parts, nil)
	require.NoError(t, err)
	w := c.NewWorkspace()
	for f, says := range map[Fault]string{
		{"J", LinkMissing}:       `part "J" has no fault "link missing"`,
		{"nothing", PassShort}:   `unknown part "nothing": known are `,
		{"adapter", Unregulated}: `part "adapter": the adapter's no-load voltage is not known`,
		{"J", LinkFitted}:        "loop without resistance",
	} {
		_, err := w.SolveFault(f)
		require.ErrorContains(t, err, says)
	}
	_, err = w.Solve()
	require.NoError(t, err, "a refused fault leaves nothing behind")
}

func TestSupplyThatFails(t *testing.T) {
	s := surveyOf(t, []Part{
		{"pack", "", "bus", Battery{OpenV: 6.6, SeriesOhm: 0.1}},
		{"J", "bus", "radio", Link{Fitted: true, Ohm: 0.02}},
		{"radio", "radio", "", PowerLoad{LoadW: 1, BrownOutV: 5}},
		{"J2", "bus", "spare", Link{}}, {"spare", "spare", "", Resistor{Ohm: 0.2}},
		{"lamp", "bus", "", Resistor{Ohm: 100}}, {"Z", "radio", "", Clamp{BreakdownV: 9}},
	}, nil, Stock{})
	require.Empty(t, s.Rows[0].Down)
	require.Equal(t, []string{"radio"}, rowOf(t, s, "J", LinkMissing).Down)
	// 0.2 ohm takes the bus to 4.5 V: the radio browns out, the lamp glows on.
	require.Equal(t, []string{"radio"}, rowOf(t, s, "J2", LinkFitted).Down)
	require.Contains(t, rowOf(t, s, "J2", LinkFitted).EndEffect(), "supply fails at radio")
	// What does not work without a fault either is said once, in the first row.
	s = surveyOf(t, []Part{
		{"pack", "", "bus", Battery{OpenV: 4, SeriesOhm: 0.1}}, {"radio", "bus", "", PowerLoad{LoadW: 1, BrownOutV: 5}}, {"J", "bus", "x", Link{}}, {"l", "x", "", Resistor{Ohm: 10}},
	}, nil, Stock{})
	require.Equal(t, []string{"bus"}, s.Rows[0].Down)
	require.Empty(t, rowOf(t, s, "J", LinkFitted).Down)
}

func TestSurveysAreAlike(t *testing.T) {
	c := station(t)
	w := c.NewWorkspace()
	a, err := w.Survey(Stock{})
	require.NoError(t, err)
	b, err := w.Survey(Stock{})
	require.NoError(t, err)
	fresh, err := c.Survey(Stock{})
	require.NoError(t, err)
	equal := cmp.Options{cmp.AllowUnexported(Row{}, localEffect{}), cmp.Comparer(func(x, y float64) bool {
		return x == y || math.IsNaN(x) && math.IsNaN(y)
	})}
	require.Empty(t, cmp.Diff(a, b, equal), "a used workspace gives the same")
	require.Empty(t, cmp.Diff(a, fresh, equal), "a new one too")
}

func TestSurveyAgreesWithSolve(t *testing.T) {
	c := station(t)
	s, err := c.Survey(Stock{})
	require.NoError(t, err)
	w := c.NewWorkspace()
	for _, r := range s.Rows {
		p, err := w.SolveFault(r.Fault)
		require.NoError(t, err)
		for _, h := range r.Harms {
			require.Equal(t, p.VoltageV(h.Node), h.VoltageV, "%s, node %s", r.Fault, h.Node)
		}
	}
}

// TestStationTable reads the table of the invented station as its owner would.
func TestStationTable(t *testing.T) {
	s := surveyOf(t, stationParts(), stationLimits(), Stock{})
	for _, r := range s.Rows[1:] {
		require.NotEmpty(t, r.Item())
		require.NotEmpty(t, r.FailureMode())
		require.NotEmpty(t, r.Detection())
		require.True(t, strings.HasPrefix(r.LocalEffect(), "node "), r.LocalEffect())
		require.NotEmpty(t, r.EndEffect())
		require.NotEmpty(t, r.Provision())
	}
	require.Equal(t, "none", s.Rows[0].LocalEffect())
	require.Equal(t, "none", s.Rows[0].EndEffect())
	require.Equal(t, "", s.Rows[0].Detection())
	require.Equal(t, "not needed", s.Rows[0].Provision())
	r := rowOf(t, s, "U2", PassShort)
	require.Equal(t, "node 3V3 from 3.30 V to 4.96 V, current from 0.085 A to 0.085 A", r.LocalEffect())
	require.Equal(t, "controller lost: 4.96 V is 1.38 times its maximum; sensors lost: 4.95 V is 1.37 times its maximum", r.EndEffect())
	r = rowOf(t, s, "buck", WiperOpen)
	require.Equal(t, "supply fails at radio, 3V3, sensors", r.EndEffect())
	require.Equal(t, Survives, r.Worst)
	r = rowOf(t, s, "J3", LinkFitted)
	require.Contains(t, r.EndEffect(), "heater cannot tell: absolute maximum voltage not known")
	require.Equal(t, "", (&Row{Fault: Fault{Mode: 99}}).Detection())
	require.Equal(t, "cannot tell", CannotTell.String())
	require.Equal(t, "survives", Survives.String())
	require.Equal(t, "lost", Lost.String())
}

// TestWhatCountsAsRising: more than a hundredth and 10 mV, in the list of rising
// nodes and where no limit is known.
func TestWhatCountsAsRising(t *testing.T) {
	rise := func(by float64) *Row {
		s := surveyOf(t, []Part{
			{"low", "", "in", Battery{OpenV: 5}}, {"D", "in", "bus", IdealDiode{}},
			{"high", "", "h", Battery{OpenV: 5 + by}}, {"J", "h", "bus", Link{Ohm: 1e-6}},
			{"radio", "bus", "", CurrentLoad{LoadA: 0.01}}, {"rest", "h", "", Resistor{Ohm: 1000}},
		}, nil, Stock{})
		return rowOf(t, s, "J", LinkFitted)
	}
	r := rise(0.0599)
	require.Empty(t, r.Up)
	require.Equal(t, Survives, r.Worst)
	r = rise(0.0601)
	require.Equal(t, []string{"bus"}, r.Up)
	require.Equal(t, CannotTell, r.Worst)
}

// TestPowerAloneAsksForABarrierToo: the voltage is allowed, the heat is not.
func TestPowerAloneAsksForABarrierToo(t *testing.T) {
	s := surveyOf(t, []Part{
		{"pack", "", "bus", Battery{OpenV: 8, SeriesOhm: 10}},
		{"U", "bus", "out", Linear{SetV: 5}},
		{"heater", "out", "", Resistor{Ohm: 100}},
	}, []Limit{{Node: "out", Item: "heater", WorkV: 5.1, MaxV: 9, MaxW: 0.3}}, Stock{})
	r := rowOf(t, s, "U", PassShort)
	require.Equal(t, Lost, r.Worst)
	require.Less(t, r.Harms[0].VoltageRatio, 1.0)
	require.InDelta(t, 80.0*8/110/11/0.3, r.Harms[0].PowerRatio, 1e-9)
	require.Contains(t, r.EndEffect(), "heater lost: 0.529 W is 1.76 times its maximum")
	require.Equal(t, "out", r.Barrier.Node)
	// Between 5.1 V and the 7.27 V that the fault brings: 6.19 V, 0.38 W. Too
	// much still, and said.
	require.InDelta(t, (5.1+80.0/11)/2, r.Barrier.ClampV, 1e-6)
	require.Equal(t, []string{"heater"}, r.Barrier.Remaining)
}

// TestAClampThatLowersNothingIsNone: the radio is over its limit as built, so that no
// voltage is left for a clamp at the bus; at the socket nothing is known to be harmed, and
// a clamp without an upper end conducts nothing.
func TestAClampThatLowersNothingIsNone(t *testing.T) {
	s := surveyOf(t, []Part{
		{"adapter", "", "socket", Adapter{RatedV: 6, NoLoadV: 9, RatedA: 1, SeriesOhm: 0.1}}, {"D", "socket", "bus", IdealDiode{}},
		{"pack", "", "bus", Battery{OpenV: 4.8, SeriesOhm: 10}},
		{"radio", "bus", "", CurrentLoad{LoadA: 0.01}},
	}, []Limit{{Node: "bus", Item: "radio", MaxV: 5}}, Stock{})
	r := rowOf(t, s, "adapter", Unregulated)
	require.Equal(t, NoBarrier, r.Barrier.Kind)
	require.NotContains(t, r.Barrier.String(), "Inf")
}

// By hand: 3 V over 10 and 20 ohm, 0.9 and 0.45 W, of which a limit for an item judges
// its own, also where that is the first part; and half a volt at a node that bears 0.4 V.
func TestLimitsOfTheFirstPartAndBelowOneVolt(t *testing.T) {
	s := surveyOf(t, []Part{
		{"R1", "bus", "", Resistor{Ohm: 10}},
		{"pack", "", "bus", Battery{OpenV: 3}},
		{"R2", "bus", "", Resistor{Ohm: 20}},
		{"W", "bus", "mid", Wire{Ohm: 50}},
		{"sensor", "mid", "", Resistor{Ohm: 10}},
	}, []Limit{{Node: "bus", Item: "R1", MaxW: 0.75}, {Node: "mid", MaxV: 0.4}}, Stock{})
	h := s.Rows[0].Harms
	require.InDelta(t, 0.9, h[0].PowerW, 1e-8) // the sums of a node are good to 1e-9 A
	require.InDelta(t, 1.2, h[0].PowerRatio, 1e-8)
	require.Equal(t, Lost, h[0].Verdict)
	require.InDelta(t, 0.5, h[1].VoltageV, 1e-8)
	require.InDelta(t, 1.25, h[1].VoltageRatio, 1e-7)
	require.Equal(t, Lost, h[1].Verdict)
}
