package bench

import (
	"errors"
	"fmt"
	"io"
	"math"
	"math/rand"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"github.com/stationphysics/stationphysics"
	"github.com/stationphysics/stationphysics/internal/refdata"
	"github.com/stationphysics/stationphysics/power"
	"github.com/stationphysics/stationphysics/power/parts"
	"github.com/stationphysics/stationphysics/station"
)

// lm1117 is the 5 V part as its sheet has it: 4.8 to 5.2 V at 6.5 to 12 V of
// input, own current 5 mA typical and 15 mA at most, line 15 mV, load 20 mV,
// temperature 0.5 %, thermal 0.1 %/W, 15 K/W from junction to case.
func lm1117(t testing.TB) Part {
	t.Helper()
	preset, err := parts.FindLinear("LM1117I-5.0")
	require.NoError(t, err)
	reg, err := power.NewLinear(preset.Spec)
	require.NoError(t, err)
	return Part{
		Name: preset.Name, Linear: reg, AccuracyLowV: 6.5, AccuracyHighV: 12, QuiescentTypicalA: 5e-3,
		LineRegulationV: 0.015, LoadRegulationV: 0.020, TempStabilityPct: 0.5, ThermalRegulationPct: 0.1,
		JunctionCaseLowKPerW: 12, JunctionCaseHighKPerW: 18,
	}
}

// handMeters are an ordinary hand-held meter and a class 2 thermocouple.
var handMeters = Meters{VoltPct: 0.5, VoltFloorV: 0.02, CurrentPct: 1, CurrentFloorA: 0.001, LoadPct: 1, TabK: 2.5, RoomK: 1, ContactErrorRatio: 0.2}

func mustBench(t testing.TB, p Part, m Meters) *Bench {
	t.Helper()
	b, err := New(p, m)
	require.NoError(t, err)
	return &b
}

func row(inputV, outputV, loadOhm, tabC float64) Row {
	r := NewRow()
	r.InputV, r.OutputV, r.LoadOhm, r.TabC, r.RoomC = inputV, outputV, loadOhm, tabC, 21
	return r
}

// healthy simulates a test of a sound part: the input rises step by step, the
// tab follows with one time constant.
func healthy(t testing.TB, theta, tauS, dwellS, scatterK float64, inputs ...float64) []Row {
	t.Helper()
	p := lm1117(t)
	rnd := rand.New(rand.NewSource(1))
	rise := 0.0
	var rows []Row
	for i, v := range inputs {
		op := p.Linear.AtOhm(v, 30)
		w := (op.InputV-op.OutputV)*op.LoadA + op.InputV*0.005
		a := math.Exp(-dwellS / tauS)
		rise = a*rise + (1-a)*theta*w
		r := row(v, op.OutputV, 30, 21+rise+scatterK*rnd.NormFloat64())
		r.DwellS, r.Line = dwellS, i+2
		rows = append(rows, r)
	}
	return rows
}

func finding(t *testing.T, rep Report, claim string) Finding {
	t.Helper()
	for _, f := range rep.Findings {
		if strings.HasPrefix(f.Claim, claim) {
			return f
		}
	}
	t.Fatalf("no finding %q among %+v", claim, rep.Findings)
	return Finding{}
}

// TestCommonPracticeCase: into 30 ohm at 13.5 V in, 1.29 W lost (own current
// neglected) mean that the output had sagged to 4.13 V; with 15 K/W from
// junction to tab and the tab at 70 °C the junction is near 89 °C, below any
// rated limit, and a shorted element would put 6.1 W into the load. Common
// practice, no published source.
func TestCommonPracticeCase(t *testing.T) {
	refdata.Each(t, "station/bench/closure", func(r *refdata.Row) {
		p := lm1117(t)
		p.JunctionCaseLowKPerW, p.JunctionCaseHighKPerW = r.F("junctionCaseKPerW"), r.F("junctionCaseKPerW")
		b := mustBench(t, p, Meters{})
		in := NewRow()
		in.InputV, in.LoadOhm, in.OwnW, in.TabC, in.RoomC = r.F("inputV"), r.F("loadOhm"), r.F("ownW"), r.F("tabC"), 21
		low, high := outputFromHeat(in.InputV, in.LoadOhm, in.OwnW, 0)
		r.Check("lowV", low, "output from heat, lower")
		r.Check("highV", high, "output from heat, upper")
		rep := b.Judge([]Row{in})
		v := rep.Rows[0]
		require.True(t, v.Derived)
		r.Check("lowV", v.Row.OutputV, "derived output")
		r.Check("shortedLoadW", v.ShortedLoadW, "load power of a shorted part")
		// The tab reading plus 15 K/W times the stated 1.29 W.
		r.Check("junctionC", in.TabC+r.F("junctionCaseKPerW")*in.OwnW, "tab + θJC·P")
		require.Less(t, v.JunctionLowC, r.F("junctionC")+2)
		require.Less(t, v.JunctionHighC, p.Linear.Spec().MaxJunctionC)
		require.Equal(t, BeyondSheet, v.State, v.Reason)
		require.Equal(t, Weak, v.Strength)
		require.Equal(t, NoVerdict, rep.Outcome)
		require.Contains(t, rep.Reason, "own current neglected")
		require.NotEmpty(t, rep.Missing)
		require.Equal(t, "junction below its rating", finding(t, rep, "junction").Claim)
	})
}

func TestPublishedDissipation(t *testing.T) {
	refdata.Each(t, "station/bench/dissipation", func(r *refdata.Row) {
		reg, err := power.NewLinear(power.LinearSpec{SetV: r.F("outputV"), QuiescentA: r.F("ownA"), MaxInputV: 20, CurrentLimitA: 5})
		require.NoError(t, err)
		b := mustBench(t, Part{Linear: reg, QuiescentTypicalA: r.F("ownA")}, Meters{})
		in := NewRow()
		in.InputV, in.OutputV, in.LoadA = r.F("inputV"), r.F("outputV"), r.F("loadA")
		w, u := b.dissipation(&in)
		r.Check("powerW", w, "dissipation")
		require.Zero(t, u, "perfect meters, and an own current that is known")
		in.LoadA, in.LoadOhm = math.NaN(), in.OutputV/r.F("loadA")
		w, _ = b.dissipation(&in)
		r.Check("powerW", w, "dissipation by the load resistance")
	})
}

func TestHealthyPart(t *testing.T) {
	b := mustBench(t, lm1117(t), handMeters)
	rep := b.Judge(healthy(t, 45, 110, 180, 0.1, 7, 8, 9, 10, 11, 12, 9, 7))
	require.Equal(t, MeetsSheet, rep.Outcome, rep.Reason)
	require.Equal(t, Sound, rep.Strength)
	require.Empty(t, rep.Missing)
	require.Contains(t, rep.Scope, "this one unit")
	for _, v := range rep.Rows {
		require.Equal(t, Regulating, v.State)
		require.Equal(t, Sound, v.Strength)
		require.False(t, v.OverMaximum)
	}
	require.True(t, rep.Cooling.TauKnown)
	require.InEpsilon(t, 110, rep.Cooling.TauS, 0.1)
	require.InEpsilon(t, 45, rep.Cooling.CaseAmbientKPerW, 0.02)
	require.InEpsilon(t, 45/0.8, rep.Cooling.TrueHighKPerW, 0.02)
	require.Equal(t, Sound, finding(t, rep, "resistance from tab").Strength)
	require.Equal(t, "line regulation within the sheet", finding(t, rep, "line").Claim)
	require.Equal(t, NotSettled, rep.Rows[0].Settled, "180 s are 1.6 time constants")
	require.InDelta(t, 45*rep.Rows[0].DissipationW*math.Exp(-180/110.0), rep.Rows[0].UnsettledK, 1)
	long := b.Judge(healthy(t, 45, 110, 1500, 0.05, 7, 8, 9, 10, 11, 12))
	require.False(t, long.Cooling.TauKnown, "settled rows say nothing of the time constant")
	require.Equal(t, SettlingUnknown, long.Rows[0].Settled)
	require.InEpsilon(t, 45, long.Cooling.CaseAmbientKPerW, 0.01)
	require.Contains(t, finding(t, long, "resistance from tab").Next, "half minute")
}

func TestDropoutIsNoFault(t *testing.T) {
	b := mustBench(t, lm1117(t), handMeters)
	rep := b.Judge([]Row{row(4.5, 3.25, 30, 24), row(5.0, 3.75, 30, 25), row(5.5, 4.25, 30, 26)})
	for _, v := range rep.Rows {
		require.Equal(t, Dropout, v.State, v.Reason)
		require.Equal(t, Sound, v.Strength)
	}
	require.Equal(t, NoVerdict, rep.Outcome)
	require.Equal(t, NotDecidable, rep.Strength)
	require.Contains(t, strings.Join(rep.Missing, "; "), "in dropout a part shows nothing")
	require.Equal(t, NotDecidable, finding(t, rep, "line regulation").Strength, "a dropout row is no line regulation")
	// The same rows beside good ones spoil nothing.
	rep = b.Judge([]Row{row(4.5, 3.25, 30, 24), row(7, 5, 30, 40), row(8, 5, 30, 45), row(9, 5.01, 30, 50)})
	require.Equal(t, MeetsSheet, rep.Outcome)
	// Close to the threshold it cannot be told from a low output.
	v := b.judge(row(6.1, 4.72, 30, 30))
	require.Equal(t, Dropout, v.State)
	require.Equal(t, Weak, v.Strength)
	require.NotEmpty(t, v.Next)
}

func TestDropoutTooLarge(t *testing.T) {
	b := mustBench(t, lm1117(t), handMeters)
	v := b.judge(row(5.5, 3.2, 30, 26))
	require.Equal(t, DropoutTooLarge, v.State, v.Reason)
	require.Equal(t, Weak, v.Strength, "leads and load look the same")
	require.Contains(t, v.Next, "at the pins")
	require.Equal(t, DoesNotMeet, b.Judge([]Row{row(5.5, 3.2, 30, 26)}).Outcome)
	unread := row(5.5, 3.9, math.NaN(), 21)
	v = b.judge(unread)
	require.Equal(t, DropoutTooLarge, v.State, v.Reason)
	require.NotContains(t, v.Reason, "NaN", "a load that was not read")
}

func TestPassElementShorted(t *testing.T) {
	b := mustBench(t, lm1117(t), handMeters)
	rows := []Row{row(7, 5, 30, 35), row(9, 8.95, 30, 60), row(7, 6.96, 30, 50)}
	rep := b.Judge(rows)
	require.Equal(t, FailedShort, rep.Outcome)
	require.Equal(t, Sound, rep.Strength)
	require.Equal(t, Regulating, rep.Rows[0].State)
	require.Equal(t, PassElementShorted, rep.Rows[1].State)
	require.Equal(t, PassElementShorted, rep.Rows[2].State)
	require.False(t, math.IsNaN(rep.Rows[0].JunctionHighC))
	require.True(t, math.IsNaN(rep.Rows[1].JunctionHighC), "a part that failed says nothing of its heat")
	require.True(t, math.IsNaN(rep.Rows[2].JunctionLowC))
	require.InDelta(t, 81/30.0, rep.Rows[1].ShortedLoadW, 1e-12)
	require.Contains(t, strings.Join(rep.Cautions, " "), "9.0 V")
	// Half short: above the band and nearer to the input than the dropout.
	v := b.judge(row(7, 6.2, 30, 35))
	require.Equal(t, PassElementShorted, v.State)
	require.Equal(t, Weak, v.Strength)
	require.Contains(t, v.Next, "resistance")
	// Barely above the band it may still be the meter.
	v = b.judge(row(5.40, 5.30, 30, 30))
	require.Equal(t, PassElementShorted, v.State, v.Reason)
	require.Equal(t, Weak, v.Strength)
	require.Contains(t, v.Next, "raise the input")
}

func TestOutOfSpec(t *testing.T) {
	b := mustBench(t, lm1117(t), handMeters)
	rep := b.Judge([]Row{row(8, 4.6, 30, 40), row(9, 4.6, 30, 45), row(10, 4.61, 30, 50)})
	require.Equal(t, DoesNotMeet, rep.Outcome)
	require.Equal(t, Sound, rep.Strength)
	require.Empty(t, rep.Next)
	for _, v := range rep.Rows {
		require.Equal(t, OutOfSpec, v.State)
	}
	one := b.Judge([]Row{row(8, 4.6, 30, 40), row(9, 5, 30, 45)})
	require.Equal(t, DoesNotMeet, one.Outcome)
	require.Equal(t, Weak, one.Strength)
	require.Contains(t, one.Next, "repeat")
	// Just outside: the meter could be the reason.
	v := b.judge(row(8, 4.70, 30, 40))
	require.Equal(t, OutOfSpec, v.State)
	require.Equal(t, Weak, v.Strength)
	// At the edge it regulates, weakly.
	v = b.judge(row(8, 4.79, 30, 40))
	require.Equal(t, Regulating, v.State)
	require.Equal(t, Weak, v.Strength)
	// Above the band but far from the input.
	v = b.judge(row(11, 6, 30, 40))
	require.Equal(t, OutOfSpec, v.State)
	require.Equal(t, Sound, v.Strength)
	require.Contains(t, v.Reason, "above 5.2")
	// The sheet promises nothing at 14 V.
	v = b.judge(row(14, 4.6, 30, 60))
	require.Equal(t, BeyondSheet, v.State)
	require.Equal(t, Weak, v.Strength)
	require.Contains(t, v.Next, "6.5 to 12 V")
	v = b.judge(row(14, 6, 30, 60))
	require.Equal(t, BeyondSheet, v.State)
	// Without that range nothing outside the band is sound.
	p := lm1117(t)
	p.AccuracyLowV, p.AccuracyHighV = 0, 0
	v = mustBench(t, p, handMeters).judge(row(8, 4.6, 30, 40))
	require.Equal(t, OutOfSpec, v.State)
	require.Equal(t, Weak, v.Strength)
}

func TestCurrentLimiting(t *testing.T) {
	b := mustBench(t, lm1117(t), handMeters)
	r := row(9, 4, 5, 60)
	v := b.judge(r)
	require.InDelta(t, 0.8, v.LoadA, 1e-12)
	require.Equal(t, CurrentLimiting, v.State, v.Reason)
	require.Equal(t, NoVerdict, b.Judge([]Row{r}).Outcome)
}

func TestThermalLimiting(t *testing.T) {
	p := lm1117(t)
	spec := p.Linear.Spec()
	spec.ShutdownC = 160
	var err error
	p.Linear, err = power.NewLinear(spec)
	require.NoError(t, err)
	b := mustBench(t, p, handMeters)
	// The tab stays at 112 °C while the input rises and the output falls.
	rows := []Row{row(10, 5, 12, 100), row(11, 4.9, 12, 112), row(12, 4.5, 12, 112), row(13, 4.0, 12, 112)}
	rep := b.Judge(rows)
	require.Equal(t, LacksCooling, rep.Outcome, rep.Reason)
	require.Equal(t, Sound, rep.Strength)
	require.Equal(t, Regulating, rep.Rows[1].State)
	require.Equal(t, ThermallyLimiting, rep.Rows[2].State)
	require.Equal(t, ThermallyLimiting, rep.Rows[3].State)
	require.Contains(t, rep.Rows[3].Reason, "holds its temperature")
	// A single hot row is only a suspicion, and a cool one none.
	require.Equal(t, Weak, b.judge(rows[2]).Strength)
	require.Equal(t, ThermallyLimiting, b.judge(rows[2]).State)
	require.Equal(t, OutOfSpec, b.judge(row(12, 4.5, 12, 60)).State)
	// With the input constant the same readings show nothing of the kind.
	still := []Row{row(12, 4.5, 12, 112), row(12, 4.0, 12, 112)}
	require.Equal(t, Weak, b.Judge(still).Rows[1].Strength)
}

func TestJunctionBand(t *testing.T) {
	b := mustBench(t, lm1117(t), handMeters)
	v := b.judge(row(10, 5, 30, 70))
	w, u := v.DissipationW, v.DissipationErrW
	require.InDelta(t, 70-2.5+12*(w-u), v.JunctionLowC, 1e-9)
	require.InDelta(t, 20+(72.5-20)/0.8+18*(w+u), v.JunctionHighC, 1e-9)
	require.InDelta(t, 1-(70-21)/(125-18*w-21), v.CriticalContactRatio, 1e-12)
	// A contact error of just that ratio puts the junction at 125 °C.
	require.InDelta(t, 125, 21+(70-21)/(1-v.CriticalContactRatio)+18*w, 1e-9)
	rep := b.Judge([]Row{row(10, 5, 30, 70)})
	require.Equal(t, Sound, finding(t, rep, "junction below its rating").Strength)
	rep = b.Judge([]Row{row(10, 5, 30, 95)})
	f := finding(t, rep, "junction temperature")
	require.Equal(t, NotDecidable, f.Strength)
	require.Contains(t, f.Next, "36 AWG")
	rep = b.Judge([]Row{row(10, 5, 30, 125)})
	require.Equal(t, Sound, finding(t, rep, "junction above its rating").Strength)
	require.Negative(t, rep.Rows[0].CriticalContactRatio)
	require.Contains(t, finding(t, rep, "junction above its rating").Reason, "even behind a perfect contact")
	rep = b.Judge([]Row{row(10, 5, 30, 15)})
	require.NotContains(t, finding(t, rep, "junction below its rating").Reason, "hide", "a tab below the room")
	dead := row(10, 0, math.NaN(), 21)
	dead.LoadA = 0.5
	require.True(t, math.IsNaN(b.judge(dead).ShortedLoadW), "0 V at 0.5 A is no resistance")
	for _, c := range b.Judge([]Row{dead}).Cautions {
		require.NotContains(t, c, "Inf")
	}
	hot := b.judge(row(12, 5, 6, 130))
	require.True(t, hot.CriticalContactRatio < 0)
	none := lm1117(t)
	none.JunctionCaseLowKPerW, none.JunctionCaseHighKPerW = 0, 0
	rep = mustBench(t, none, handMeters).Judge([]Row{row(10, 5, 30, 70)})
	require.Equal(t, NotDecidable, finding(t, rep, "junction temperature").Strength)
}

func TestWattsSlips(t *testing.T) {
	b := mustBench(t, lm1117(t), Meters{VoltPct: 0.1, VoltFloorV: 0.001, LoadPct: 0.1})
	b.p.QuiescentTypicalA, b.s.QuiescentA = 0.005, 0.005
	r := row(10, 5, 30, 50)
	i := 5.0 / 30
	for _, c := range []struct {
		ownW float64
		want WattsSlip
	}{
		{5*i + 0.05, WattsRight}, {5 * i, WattsWithoutOwn}, {10 * i, WattsInputTimesI},
		{100 / 30.0, WattsShortedLoad}, {(5*i + 0.05) * 1000, WattsThousand}, {(5*i + 0.05) / 1000, WattsThousand}, {2.5, WattsUnexplained},
		{math.NaN(), WattsNotGiven},
	} {
		r.OwnW = c.ownW
		require.Equal(t, c.want, b.judge(r).Watts, "%g W", c.ownW)
	}
	// With 10 V in, 5 V out the load's power and the drop's square coincide with the truth; 12 V tells them apart.
	r = row(12, 5, 30, 50)
	r.OwnW = 25 / 30.0
	require.Equal(t, WattsLoadPower, b.judge(r).Watts)
	r.OwnW = 49 / 30.0
	require.Equal(t, WattsDropSquared, b.judge(r).Watts)
	rows := []Row{row(10, 5, 30, 50), row(12, 5, 30, 60)}
	rows[0].OwnW, rows[0].Line = 1.67, 2
	rows[1].OwnW, rows[1].Line = 2.0, 3
	rep := b.Judge(rows)
	f := finding(t, rep, "power figures")
	require.Contains(t, f.Claim, "Vin·I")
	require.Contains(t, f.Reason, "line 2: 0.883 W, not 1.67 W")
	require.Contains(t, f.Reason, "line 3: 1.23 W, not 2 W")
	require.Equal(t, Sound, f.Strength)
	rows[0].OwnW, rows[1].OwnW = 0.88, math.NaN()
	right := finding(t, b.Judge(rows), "the power figures are right")
	require.Equal(t, Sound, right.Strength)
	require.Contains(t, right.Reason, "all 1 agree")
	many := make([]Row, 9)
	for k := range many {
		many[k] = row(10, 5, 30, 50)
		many[k].OwnW = 1.667
	}
	require.Contains(t, finding(t, b.Judge(many), "power figures").Reason, "and 4 more")
}

func TestOutputFromHeat(t *testing.T) {
	low, high := outputFromHeat(10, 30, 0.5, 0.005)
	for _, v := range []float64{low, high} {
		require.InDelta(t, 0.5, (10-v)*v/30+10*0.005, 1e-12)
	}
	require.Less(t, low, high)
	require.InDelta(t, 10, low+high, 1e-12)
	low, high = outputFromHeat(0.9, 2, 0.05, 0)
	require.InDelta(t, 0.05, (0.9-low)*low/2, 1e-12)
	require.InDelta(t, 0.9, low+high, 1e-12)
	low, _ = outputFromHeat(9, 0.5, 0.05, 0)
	require.InDelta(t, 0.05, (9-low)*low/0.5, 1e-12)
	low, high = outputFromHeat(8, 30, 0.5, 0.0625) // nothing but its own current
	require.Equal(t, []float64{0, 8}, []float64{low, high})
	// The most a part can lose is at half the input.
	low, high = outputFromHeat(10, 30, 100/120.0, 0)
	require.InDelta(t, 5, low, 1e-6)
	require.InDelta(t, 5, high, 1e-6)
	// At the limits to the last digit, on every machine: nothing but its own current,
	// and the most, where rounding the heat did not carry it beyond.
	for k := 1; k < 400; k++ {
		v, own := 0.1*float64(k), 0.0007*float64(k)
		low, _ = outputFromHeat(v, 30, v*own, own)
		require.Zero(t, low, "%v V, %v A", v, own)
		ohm := float64(k)
		most := 100 / ohm / 4
		if float64(4*ohm*most) > 100 {
			continue
		}
		low, high = outputFromHeat(10, ohm, most, 0)
		require.InDelta(t, 5, low, 1e-6, "%v ohm", ohm)
		require.InDelta(t, 5, high, 1e-6, "%v ohm", ohm)
	}
	for _, c := range [][4]float64{{10, 30, 0.84, 0}, {0, 30, 0.1, 0}, {10, 0, 0.1, 0}, {10, 30, 0.04, 0.005}, {10, 30, 0.1, -1}, {math.NaN(), 30, 0.1, 0}, {10, 30, math.NaN(), 0}} {
		low, high = outputFromHeat(c[0], c[1], c[2], c[3])
		require.True(t, math.IsNaN(low) && math.IsNaN(high), "%v", c)
	}
	b := mustBench(t, lm1117(t), handMeters)
	r := NewRow()
	r.InputV, r.LoadOhm, r.OwnW = 10, 30, 3
	v := b.judge(r)
	require.Equal(t, Impossible, v.State)
	require.Contains(t, v.Reason, "at most 0.833 W")
	r.OwnW = 0.8
	require.True(t, b.judge(r).Derived)
	// Both roots fit below the band: the higher is taken.
	r.InputV, r.OwnW = 6, 0.28
	require.InDelta(t, 3.775, b.judge(r).Row.OutputV, 0.001)
}

func TestContradictions(t *testing.T) {
	b := mustBench(t, lm1117(t), handMeters)
	r := row(8, 5, 30, 40)
	r.LoadA = 0.25
	v := b.judge(r)
	require.Equal(t, Impossible, v.State)
	require.Contains(t, v.Reason, "0.25 A")
	r.LoadA = 0.167
	require.Equal(t, Regulating, b.judge(r).State)
	v = b.judge(row(5, 6, 30, 40))
	require.Equal(t, Impossible, v.State)
	require.Contains(t, v.Reason, "above the input")
	rep := b.Judge([]Row{row(5, 6, 30, 40), row(8, 5, 30, 40)})
	require.Equal(t, NoVerdict, rep.Outcome)
	require.Contains(t, finding(t, rep, "readings that contradict").Reason, "above the input")
}

func TestOverMaximum(t *testing.T) {
	b := mustBench(t, lm1117(t), handMeters)
	rep := b.Judge([]Row{row(21, 5, 60, 80)})
	require.True(t, rep.Rows[0].OverMaximum)
	require.Contains(t, rep.Rows[0].Reason, "damage must be expected")
	require.Contains(t, finding(t, rep, "input above").Reason, "1 rows exceed 20 V")
	require.False(t, b.judge(row(20, 5, 60, 80)).OverMaximum)
}

func TestTooFewRows(t *testing.T) {
	b := mustBench(t, lm1117(t), handMeters)
	rep := b.Judge(nil)
	require.Equal(t, NoVerdict, rep.Outcome)
	require.Contains(t, rep.Reason, "no rows")
	require.Contains(t, rep.Missing[0], "3 more rows")
	rep = b.Judge([]Row{row(8, 5, 30, 40), row(9, 5, 30, 45)})
	require.Equal(t, NoVerdict, rep.Outcome)
	require.Equal(t, NotDecidable, rep.Strength)
	require.Contains(t, rep.Missing[0], "1 more rows")
	require.NotEmpty(t, rep.Next)
	bare := NewRow()
	bare.InputV = 8
	rep = b.Judge([]Row{bare})
	require.Equal(t, CannotTell, rep.Rows[0].State)
	require.Contains(t, strings.Join(rep.Missing, "; "), "input and output voltage")
	rep = (&Bench{}).Judge([]Row{row(8, 5, 30, 40)})
	require.Equal(t, NoVerdict, rep.Outcome)
	require.Contains(t, rep.Next, "sheet")
}

func TestLineRegulation(t *testing.T) {
	sharp := handMeters
	sharp.VoltPct, sharp.VoltFloorV = 0.05, 0.001
	b := mustBench(t, lm1117(t), sharp)
	rows := func(span float64) []Row {
		return []Row{row(7.5, 5, 30, 35), row(9, 5-span/2, 30, 45), row(11, 5-span, 30, 55)}
	}
	// The sheet's 15 mV are pulsed; a slow test may add temperature (25 mV) and heat.
	f := finding(t, b.Judge(rows(0.030)), "line")
	require.Equal(t, "line regulation within the sheet", f.Claim)
	require.InDelta(t, 30, f.Value, 1e-9)
	require.InDelta(t, 15+25+1000*0.001*5*(3.5/6), f.Limit, 0.2)
	require.Equal(t, "line regulation worse than the sheet allows", finding(t, b.Judge(rows(0.1)), "line").Claim)
	f = finding(t, b.Judge(rows(0.046)), "line")
	require.Equal(t, NotDecidable, f.Strength)
	p := lm1117(t)
	p.LineRegulationV = 0
	require.Equal(t, NotDecidable, finding(t, mustBench(t, p, sharp).Judge(rows(0.03)), "line").Strength)
}

func TestInterceptAndCopper(t *testing.T) {
	b := mustBench(t, lm1117(t), handMeters)
	rows := healthy(t, 45, 1, 600, 0, 7, 8, 9, 10, 11, 12)
	for i := range rows {
		rows[i].TabC += 12 // the sun on the board
	}
	rep := b.Judge(rows)
	require.InDelta(t, 12, rep.Cooling.InterceptK, 0.1)
	require.Equal(t, Weak, finding(t, rep, "the tab's rise does not vanish").Strength)
	rep = b.Judge(healthy(t, 400, 1, 600, 0, 7, 8, 9, 10, 11, 12))
	require.Equal(t, Weak, finding(t, rep, "thermometer or airflow suspect").Strength)
	for _, f := range b.Judge(healthy(t, 60, 1, 600, 0, 7, 8, 9, 10, 11, 12)).Findings {
		require.NotContains(t, f.Claim, "suspect")
		require.NotContains(t, f.Claim, "vanish")
	}
}

func TestUncertaintyByTrials(t *testing.T) {
	// The expanded uncertainty of the dissipation against the scatter of many
	// readings whose errors are drawn from the stated rectangles.
	p := lm1117(t)
	b := mustBench(t, p, handMeters)
	rnd := rand.New(rand.NewSource(4))
	flat := func(v, pct, floor float64) float64 { return v + (2*rnd.Float64()-1)*(v*pct/100+floor) }
	for _, byOhm := range []bool{true, false} {
		truth := row(10, 5, 30, 50)
		if !byOhm {
			truth.LoadOhm, truth.LoadA = math.NaN(), 5.0/30
		}
		_, u := b.dissipation(&truth)
		var sum, sum2 float64
		const n = 20000
		for range n {
			in, out := flat(10, 0.5, 0.02), flat(5, 0.5, 0.02)
			i := flat(5.0/30, 1, 0.001)
			if byOhm {
				i = out / flat(30, 1, 0)
			}
			w := (in-out)*i + in*(0.005+(2*rnd.Float64()-1)*0.010)
			sum, sum2 = sum+w, sum2+w*w
		}
		sd := math.Sqrt(sum2/n - sum*sum/n/n)
		require.InEpsilon(t, 2*sd, u, 0.03, "by resistance: %v", byOhm)
	}
}

func TestBadDescriptions(t *testing.T) {
	bad := func(quantity string, change func(p *Part, m *Meters)) {
		t.Helper()
		p, m := lm1117(t), handMeters
		change(&p, &m)
		_, err := New(p, m)
		var re *stationphysics.RangeError
		require.True(t, errors.As(err, &re), "%s: %v", quantity, err)
		require.Equal(t, quantity, re.Quantity)
	}
	bad("set output voltage", func(p *Part, _ *Meters) { p.Linear = power.Linear{} })
	_, err := New(Part{}, handMeters)
	require.EqualError(t, err, "set output voltage 0 V is outside 0.5..60 V")
	bad("voltmeter's error", func(_ *Part, m *Meters) { m.VoltPct = 21 })
	bad("voltmeter's fixed error", func(_ *Part, m *Meters) { m.VoltFloorV = -1 })
	bad("ammeter's error", func(_ *Part, m *Meters) { m.CurrentPct = math.NaN() })
	bad("ammeter's fixed error", func(_ *Part, m *Meters) { m.CurrentFloorA = 2 })
	bad("load tolerance", func(_ *Part, m *Meters) { m.LoadPct = 50 })
	bad("tab thermometer's error", func(_ *Part, m *Meters) { m.TabK = -1 })
	bad("room thermometer's error", func(_ *Part, m *Meters) { m.RoomK = 21 })
	bad("contact error", func(_ *Part, m *Meters) { m.ContactErrorRatio = 20 })
	bad("lower end of the accuracy's input range", func(p *Part, _ *Meters) { p.AccuracyLowV = -1 })
	bad("upper end of the accuracy's input range", func(p *Part, _ *Meters) { p.AccuracyHighV = 151 })
	bad("typical own current", func(p *Part, _ *Meters) { p.QuiescentTypicalA = 5 })
	bad("line regulation", func(p *Part, _ *Meters) { p.LineRegulationV = 15 })
	bad("load regulation", func(p *Part, _ *Meters) { p.LoadRegulationV = 20 })
	bad("temperature stability", func(p *Part, _ *Meters) { p.TempStabilityPct = -0.5 })
	bad("thermal regulation", func(p *Part, _ *Meters) { p.ThermalRegulationPct = 6 })
	bad("junction-to-case resistance", func(p *Part, _ *Meters) { p.JunctionCaseHighKPerW = 501 })
	bad("junction-to-case resistance", func(p *Part, _ *Meters) { p.JunctionCaseLowKPerW = -1 })
	for _, change := range []func(p *Part){
		func(p *Part) { p.AccuracyLowV = 13 }, func(p *Part) { p.JunctionCaseLowKPerW = 19 }, func(p *Part) { p.QuiescentTypicalA = 0.02 },
	} {
		p := lm1117(t)
		change(&p)
		_, err := New(p, handMeters)
		var ce *stationphysics.ConflictError
		require.True(t, errors.As(err, &ce), "%v", err)
	}
}

// TestNeverSaysCounterfeit judges many random tables: whatever they hold, no
// text goes beyond the sheet, every verdict has a reason, an undecided one says
// what is missing or what to measure, and the numbers keep their order.
func TestNeverSaysCounterfeit(t *testing.T) {
	rnd := rand.New(rand.NewSource(9))
	b := mustBench(t, lm1117(t), handMeters)
	outcomes := map[Outcome]int{}
	for range 3000 {
		rows := make([]Row, rnd.Intn(7))
		kind := rnd.Intn(3)
		for i := range rows {
			in := 4 + 18*rnd.Float64()
			out := 5 + 0.1*rnd.NormFloat64()
			switch {
			case kind == 0:
				out = in * rnd.Float64() * 1.1
			case in < 6.3:
				out = in - 1.3
			}
			rows[i] = row(in, out, 5+95*rnd.Float64(), 21+100*rnd.Float64())
			rows[i].DwellS = 300 * rnd.Float64()
			for _, cell := range []*float64{&rows[i].TabC, &rows[i].LoadOhm, &rows[i].DwellS, &rows[i].OutputV, &rows[i].RoomC} {
				if rnd.Intn(25) == 0 {
					*cell = math.NaN()
				}
			}
			if rnd.Intn(3) == 0 {
				rows[i].OwnW = 3 * rnd.Float64()
			}
		}
		rep := b.Judge(rows)
		outcomes[rep.Outcome]++
		text := strings.ToLower(fmt.Sprintf("%+v", rep))
		for _, word := range []string{"counterfeit", "fake", "genuine", "clone", "%!"} {
			require.NotContains(t, text, word)
		}
		require.NotEmpty(t, rep.Reason)
		require.NotEmpty(t, rep.Scope)
		if rep.Outcome == NoVerdict {
			require.NotEmpty(t, append(rep.Missing, rep.Next))
			require.Equal(t, NotDecidable, rep.Strength)
		} else {
			require.NotEqual(t, NotDecidable, rep.Strength)
		}
		for _, v := range rep.Rows {
			require.NotEmpty(t, v.Reason)
			if v.Strength != Sound {
				require.NotEmpty(t, v.Next, "%v: %s", v.State, v.Reason)
			}
			require.False(t, v.JunctionLowC > v.JunctionHighC)
			require.False(t, v.DissipationErrW < 0)
		}
		for _, f := range rep.Findings {
			require.NotEmpty(t, f.Claim)
			require.NotEmpty(t, f.Reason)
			if f.Strength == NotDecidable {
				require.NotEmpty(t, f.Next)
			}
		}
	}
	for _, o := range []Outcome{NoVerdict, MeetsSheet, DoesNotMeet, FailedShort, LacksCooling} {
		require.NotZero(t, outcomes[o], "%v never happens", o)
	}
}

func TestWordsForEverything(t *testing.T) {
	seen := map[string]bool{}
	for s := CannotTell; s <= Impossible; s++ {
		seen["state "+s.String()] = true
	}
	for s := NotDecidable; s <= Sound; s++ {
		seen["strength "+s.String()] = true
	}
	for s := NoVerdict; s <= LacksCooling; s++ {
		seen["outcome "+s.String()] = true
	}
	for s := WattsNotGiven; s <= WattsUnexplained; s++ {
		seen["watts "+s.String()] = true
	}
	for s := SettlingUnknown; s <= NotSettled; s++ {
		seen["settling "+s.String()] = true
	}
	require.Len(t, seen, 10+3+5+9+3)
	for _, s := range []fmt.Stringer{Impossible + 1, Sound + 1, LacksCooling + 1, WattsUnexplained + 1, NotSettled + 1, State(255)} {
		require.Equal(t, "?", s.String())
	}
}

const goodTable = `# invented readings
input V, output V, load ohm, tab °C, room °C, dwell s, own W
6.5, 5.01, 30, 31.2, 21.0, 300, 0.28

8.0, 5.01, 30, 42.5, 21.0, 300,
`

func TestReadTable(t *testing.T) {
	rows, err := ReadTable(strings.NewReader(goodTable), "bench.csv")
	require.NoError(t, err)
	require.Len(t, rows, 2)
	require.Equal(t, Row{3, 6.5, 5.01, 30, math.NaN(), 31.2, 21, 300, 0.28}.InputV, rows[0].InputV)
	require.Equal(t, 3, rows[0].Line)
	require.Equal(t, 5, rows[1].Line)
	require.Equal(t, 0.28, rows[0].OwnW)
	require.True(t, math.IsNaN(rows[1].OwnW))
	require.True(t, math.IsNaN(rows[0].LoadA))
	require.Equal(t, 42.5, rows[1].TabC)
	require.Equal(t, 21.0, rows[1].RoomC)
	require.Equal(t, 300.0, rows[1].DwellS)
	require.Equal(t, 30.0, rows[1].LoadOhm)
	rows, err = ReadTable(strings.NewReader("output_mV,INPUT [V],current (mA),dwell min,tab_C,own mW\n5010,9,166,5,40,700\n"), "b")
	require.NoError(t, err)
	require.InDelta(t, 5.01, rows[0].OutputV, 1e-12)
	require.InDelta(t, 0.166, rows[0].LoadA, 1e-12)
	require.Equal(t, 300.0, rows[0].DwellS)
	require.InDelta(t, 0.7, rows[0].OwnW, 1e-12)
	rows, err = ReadTable(strings.NewReader("input V,output V,load kohm\n9,5,1.2\n"), "b")
	require.NoError(t, err)
	require.InDelta(t, 1200, rows[0].LoadOhm, 1e-9)
}

func TestReadTableRefuses(t *testing.T) {
	for name, c := range map[string]struct{ text, says string }{
		"empty":          {"# only a note\n", "t.csv: the table is empty"},
		"no rows":        {"input V,output V,load ohm\n", "t.csv:1: a header but no rows"},
		"unknown column": {"input V,output V,load ohm,mood\n", `t.csv:1: mood: unknown column "mood": known are input, `},
		"no unit":        {"input,output V,load ohm\n", `t.csv:1: input: the unit is missing`},
		"wrong unit":     {"input V,output V,load ohm,tab F\n", `tab F: the unit "F" is not accepted: give °C`},
		"kelvins":        {"input V,output V,load ohm,tab K\n", `the unit "K" is not accepted`},
		"megaohm":        {"input V,output V,load Mohm\n", `the unit "Mohm" is not accepted`},
		"megavolts":      {"input MV,output V,load ohm\n", `the unit "MV" is not accepted`},
		"twice":          {"input V,input mV,output V,load ohm\n", `input mV: the same quantity as column "input V"`},
		"no input":       {"output V,load ohm\n", `no column "input"`},
		"no output":      {"input V,load ohm\n", `no column "output" or "own"`},
		"no load":        {"input V,output V\n", `no column "load" or "current"`},
		"no number":      {"input V,output V,load ohm\n9,5,thirty\n", `t.csv:2: load ohm: "thirty" is no number`},
		"decimal comma":  {"input V,output V,load ohm\n9,5,01,30\n", "t.csv:2: 4 cells under a header of 3; is a comma"},
		"out of range":   {"input V,output V,load ohm\n9,5,30\n9000,5,30\n", `t.csv:3: input V: input voltage 9000 V is outside 0..150 V: millivolts?`},
		"negative ohms":  {"input V,output V,load ohm\n9,5,-30\n", "load resistance -30 ohm"},
		"amperes as ohm": {"input V,output V,load ohm\n9,5,0.05\n", "a current in the column of the resistance?"},
		"ohms as amps":   {"input V,output V,current A\n9,5,30\n", "ohms in the column of the current?"},
		"not a number":   {"input V,output V,load ohm\n9,NaN,30\n", "output voltage NaN V"},
		"hot tab":        {"input V,output V,load ohm,tab C\n9,5,30,300\n", "t.csv:2: tab C: tab temperature 300 °C is outside -60..250 °C: kelvins?"},
		"hot room":       {"input V,output V,load ohm,room C\n9,5,30,70\n", "t.csv:2: room C: room temperature 70 °C is outside -60..60 °C: degrees Fahrenheit?"},
		"before":         {"input V,output V,load ohm,dwell s\n9,5,30,-1\n", "t.csv:2: dwell s: dwell -1 s is outside 0..1e+06 s"},
		"own milliwatts": {"input V,own W,load ohm\n9,1200,30\n", "t.csv:2: own W: own power figure 1200 W is outside 0..1000 W: milliwatts?"},
		"swapped":        {"input V,output V,load ohm\n5,9,30\n5,10,30\n", `t.csv:1: the columns "output" and "input" look swapped`},
		"tab and room":   {"input V,output V,load ohm,tab C,room C\n9,5,30,21,45\n", `the columns "room" and "tab" look swapped`},
		"open quote":     {"input V,output V,load ohm\n9,\"5,30\n", "t.csv:2: a quoted field"},
		"not text":       {"input V,output V,load ohm\n\xff\xfe\n", "t.csv:2: the line is not text"},
		"not text head":  {"\xff\xfe\n", "t.csv:1: the line is not text"},
		"long cell":      {"input V,output V,load ohm\n9,5," + strings.Repeat("x", 500) + "\n", "xxx...\""},
	} {
		t.Run(name, func(t *testing.T) {
			_, err := ReadTable(strings.NewReader(c.text), "t.csv")
			var te *station.InputError
			require.True(t, errors.As(err, &te), "%v", err)
			require.ErrorContains(t, err, c.says)
			require.Less(t, len(err.Error()), 300)
		})
	}
	var re *stationphysics.RangeError
	_, err := ReadTable(strings.NewReader("input V,output V,load ohm\n9000,5,30\n"), "t.csv")
	require.True(t, errors.As(err, &re), "the range error stays reachable")
	// One row the wrong way round is a slip of that row, judged later.
	_, err = ReadTable(strings.NewReader("input V,output V,load ohm\n5,9,30\n9,5,30\n"), "t.csv")
	require.NoError(t, err)
}

// endless repeats a text for ever and counts what was taken.
type endless struct {
	text string
	at   int
	read int
}

func (e *endless) Read(p []byte) (int, error) {
	for i := range p {
		p[i] = e.text[e.at]
		e.at = (e.at + 1) % len(e.text)
	}
	e.read += len(p)
	return len(p), nil
}

func TestEndlessTables(t *testing.T) {
	lines := &endless{text: "9,5,30\n"}
	_, err := ReadTable(io.MultiReader(strings.NewReader("input V,output V,load ohm\n"), lines), "t.csv")
	require.ErrorContains(t, err, "more than 2000 rows")
	require.Less(t, lines.read, 1<<20)
	line := &endless{text: "7"}
	_, err = ReadTable(line, "t.csv")
	require.ErrorContains(t, err, "longer than")
	require.Less(t, line.read, 1<<20)
}

func FuzzReadTable(f *testing.F) {
	f.Add(goodTable)
	f.Add("input V,output V,load ohm\n5,9,30\n")
	f.Add("input_mV,output [V],current (A),own W\n9000,5,0.1,\n,,,\n")
	f.Add("\ufeffinput V,output V,load ohm\r\n\"9\",5,1e3\r\n")
	b := mustBench(f, lm1117(f), handMeters)
	f.Fuzz(func(t *testing.T, text string) {
		rows, err := ReadTable(strings.NewReader(text), "f")
		if (err == nil) == (len(rows) == 0) {
			t.Fatalf("%d rows and %v", len(rows), err)
		}
		if err != nil {
			return
		}
		rep := b.Judge(rows)
		if len(rep.Rows) != len(rows) || rep.Reason == "" {
			t.Fatalf("%+v", rep)
		}
	})
}

func BenchmarkJudge(bm *testing.B) {
	b := mustBench(bm, lm1117(bm), handMeters)
	rows := healthy(bm, 45, 110, 180, 0.1, 7, 8, 9, 10, 11, 12, 9, 7)
	bm.ReportAllocs()
	for bm.Loop() {
		b.Judge(rows)
	}
}
