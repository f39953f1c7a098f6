package bench

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"github.com/stationphysics/stationphysics/power"
)

// The 5 V part: 4.8 to 5.2 V; dropout 1.30 V at 0.1 A and 1.40 V at 0.8 A, which
// is 1.285714 V and 0.142857 ohm; own current 5 mA typical and 15 mA at most, so
// from none to 15 mA; current limit 0.8 A. By hand:
func TestExpectByHand(t *testing.T) {
	b := mustBench(t, lm1117(t), handMeters)
	amp := func(inputV, loadA float64) Row {
		r := NewRow()
		r.InputV, r.LoadA = inputV, loadA
		return r
	}
	for name, c := range map[string]struct {
		row  Row
		want Expected
	}{
		// (9 - 5.2)·0.17333 = 0.65867; (9 - 4.8)·0.16 + 9·0.015 = 0.807
		"regulating": {row(9, math.NaN(), 30, 30), Expected{4.8, 5.2, 0.16, 5.2 / 30, 3.8 * 5.2 / 30, 0.807}},
		// (5.5 - 1.285714)/30.142857 = 0.139810 A, 4.194313 V. Least heat at 5.2 V,
		// most at 4.194313 V: both are above half the input.
		"dropout": {row(5.5, math.NaN(), 30, 30), Expected{4.194313, 5.2, 0.139810, 5.2 / 30, 0.3 * 5.2 / 30, 1.305687*0.139810 + 5.5*0.015}},
		// 0.8 A through 5 ohm are 4 V. Most heat at half the input: 4.5²/5 = 4.05 W.
		"current limit": {row(9, math.NaN(), 5, 30), Expected{4, 5.2, 0.8, 1.04, 3.8 * 1.04, 4.05 + 9*0.015}},
		// The input itself is all there can be. At the least 3.714286/30.142857 =
		// 0.123223 A and 3.696682 V, losing 1.303318·0.123223 = 0.160599 W.
		"input below the band": {row(5, math.NaN(), 30, 30), Expected{(5 - 1.285714) / 30.142857 * 30, 5, (5 - 1.285714) / 30.142857, 5. / 30, 0, 0.160599 + 5*0.015}},
		"ammeter only":         {amp(10, 0.5), Expected{4.8, 5.2, 0.5, 0.5, 2.4, 2.6 + 0.15}},
		"no load":              {amp(10, 0), Expected{4.8, 5.2, 0, 0, 0, 0.15}},
		"dead input":           {row(1, math.NaN(), 30, 30), Expected{0, 1, 0, 1. / 30, 0, 0.25/30 + 0.015}},
	} {
		got := b.Expect(c.row)
		for what, x := range map[string][2]float64{
			"output low": {c.want.OutputLowV, got.OutputLowV}, "output high": {c.want.OutputHighV, got.OutputHighV},
			"load low": {c.want.LoadLowA, got.LoadLowA}, "load high": {c.want.LoadHighA, got.LoadHighA},
			"lost low": {c.want.DissipationLowW, got.DissipationLowW}, "lost high": {c.want.DissipationHighW, got.DissipationHighW},
		} {
			// The numbers above are given to a millionth.
			require.InDelta(t, x[0], x[1], 2e-6, "%s: %s", name, what)
		}
	}
}

func TestExpectDoesNotKnow(t *testing.T) {
	b := mustBench(t, lm1117(t), handMeters)
	zero := &Bench{}
	for name, e := range map[string]Expected{
		"no input": b.Expect(row(math.NaN(), 5, 30, 30)), "no load": b.Expect(row(9, 5, math.NaN(), 30)),
		"a negative input": b.Expect(row(-9, 5, 30, 30)), "a short circuit": b.Expect(row(9, 0, 0, 30)), "no part": zero.Expect(row(9, 5, 30, 30)),
	} {
		for _, x := range []float64{e.OutputLowV, e.OutputHighV, e.LoadLowA, e.LoadHighA, e.DissipationLowW, e.DissipationHighW} {
			require.True(t, math.IsNaN(x), name)
		}
	}
}

// Whatever a part that keeps its sheet does lies within.
func TestExpectHoldsEveryGoodPart(t *testing.T) {
	p := lm1117(t)
	spec := p.Linear.Spec()
	spec.GroundRatio = 0.02
	var err error
	p.Linear, err = power.NewLinear(spec)
	require.NoError(t, err)
	b := mustBench(t, p, Meters{})
	const rounding = 1e-12
	for _, set := range []float64{4.8, 4.9, 5, 5.1, 5.2} {
		for _, dropped := range []float64{0, 0.5, 1} { // share of the sheet's dropout and own current
			good := spec
			good.SetV, good.BandPct = set, 0
			good.DropoutV, good.DropoutOhm = spec.DropoutV*dropped, spec.DropoutOhm*dropped
			good.QuiescentA, good.GroundRatio = spec.QuiescentA*dropped, spec.GroundRatio*dropped
			reg, err := power.NewLinear(good)
			require.NoError(t, err)
			for in := 0.5; in <= 20; in += 0.25 {
				for _, ohm := range []float64{7, 10, 30, 500} {
					e, at := b.Expect(row(in, math.NaN(), ohm, 30)), reg.AtOhm(in, ohm)
					if in <= good.DropoutV {
						continue // off: the own current of a part that is not on is not in the sheet
					}
					require.True(t, at.OutputV >= e.OutputLowV-rounding && at.OutputV <= e.OutputHighV+rounding, "%g V, %g ohm: %g V in %+v", in, ohm, at.OutputV, e)
					require.True(t, at.LoadA >= e.LoadLowA-rounding && at.LoadA <= e.LoadHighA+rounding, "%g V, %g ohm: %g A in %+v", in, ohm, at.LoadA, e)
					require.True(t, at.DissipationW >= e.DissipationLowW-rounding && at.DissipationW <= e.DissipationHighW+rounding, "%g V, %g ohm: %g W in %+v", in, ohm, at.DissipationW, e)
				}
			}
		}
	}
}

// Into a resistor the most is lost a little above half the input where the own
// current grows with the load.
func TestExpectCountsTheGroundCurrent(t *testing.T) {
	p := lm1117(t)
	spec := p.Linear.Spec()
	spec.GroundRatio = 0.2
	spec.BandPct = 20 // 4 to 6 V
	reg, err := power.NewLinear(spec)
	require.NoError(t, err)
	p.Linear = reg
	e := mustBench(t, p, Meters{}).Expect(row(9.5, math.NaN(), 8, 30))
	// At 9.5·1.2/2 = 5.7 V: 3.8·5.7/8 + 9.5·(0.015 + 0.2·5.7/8) W.
	require.InDelta(t, 3.8*5.7/8+9.5*(0.015+0.2*5.7/8), e.DissipationHighW, 1e-12)
}

// 5 mA typical and 6 mA at most: from 4 to 6 mA.
func TestExpectCountsTheLeastOwnCurrent(t *testing.T) {
	p := lm1117(t)
	spec := p.Linear.Spec()
	spec.QuiescentA = 0.006
	reg, err := power.NewLinear(spec)
	require.NoError(t, err)
	p.Linear = reg
	e := mustBench(t, p, Meters{}).Expect(row(9, math.NaN(), 30, 30))
	require.InDelta(t, 3.8*5.2/30+9*0.004, e.DissipationLowW, 1e-12)
	require.InDelta(t, 4.2*4.8/30+9*0.006, e.DissipationHighW, 1e-12)
}

// A row carries what was expected of it and how well it was read; an output
// that was only derived was not read.
func TestRowsCarryTheirExpectation(t *testing.T) {
	b := mustBench(t, lm1117(t), handMeters)
	r := row(9, 5, 30, 40)
	rep := b.Judge([]Row{r})
	require.Equal(t, b.Expect(r), rep.Rows[0].Expected)
	require.InDelta(t, 2*(5*0.005+0.02)/math.Sqrt(3), rep.Rows[0].OutputErrV, 1e-12)
	// 1 % of 5 V/30 ohm by the resistor, 0.045 V/30 ohm by the meter.
	require.InDelta(t, 2*math.Hypot(0.01*5/30, 0.045/30)/math.Sqrt(3), rep.Rows[0].LoadErrA, 1e-12)
	require.Equal(t, lm1117(t), rep.Part)
	require.Equal(t, handMeters, rep.Meters)
	d := NewRow()
	d.InputV, d.LoadOhm, d.OwnW = 13.5, 30, 1.29
	v := b.judge(d)
	require.True(t, v.Derived)
	require.True(t, math.IsNaN(v.OutputErrV))
	require.InDelta(t, 4.8, v.Expected.OutputLowV, 1e-12)
}

// A figure that rightly holds the own current may exceed what any output loses
// without it: (8 - 5)·5/30 + 8·0.005 = 0.54 W, while 8²/(4·30) = 0.533 W.
func TestPowerFigureWithOwnCurrentIsNotImpossible(t *testing.T) {
	b := mustBench(t, lm1117(t), handMeters)
	r := NewRow()
	r.InputV, r.LoadOhm, r.OwnW = 8, 30, 0.54
	v := b.judge(r)
	require.True(t, v.Derived, v.Reason)
	require.InDelta(t, 5, v.Row.OutputV, 1e-9)
	require.Equal(t, []any{Regulating, Weak}, []any{v.State, v.Strength})
	require.Contains(t, v.Reason, "mean 3.00 V or 5.00 V, own current counted with 0.04 W")
	// Up to the largest own current, 15 mA or 0.12 W, at half the input.
	r.OwnW = 64./120 + 0.119
	v = b.judge(r)
	require.True(t, v.Derived)
	require.InDelta(t, 4, v.Row.OutputV, 1e-6)
	r.OwnW = 64./120 + 0.121
	v = b.judge(r)
	require.False(t, v.Derived)
	require.Equal(t, Impossible, v.State)
	require.Contains(t, v.Reason, "at most 0.533 W, and 0.12 W by the own current")
	// 1 mW at 1 V into 10 Mohm: less than the 5 mW of the own current.
	r.InputV, r.LoadOhm, r.OwnW = 1, 1e7, 0.001
	v = b.judge(r)
	require.False(t, v.Derived)
	require.Equal(t, CannotTell, v.State)
}
