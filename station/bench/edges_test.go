package bench

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"github.com/stationphysics/stationphysics/power"
)

// TestInterceptAgainstItsError: rises of c + 50 K/W·P and an error of +s, -s, -s,
// +s, which leaves no mark on the straight line through four even steps of power.
// By hand: the squares left are 4s² over n - 2 = 2, and with powers of 1/3 to 5/6 W
// 1/n + mean²/Sbb = 1/4 + (7/12)²/(5/36) = 2.7, so that the error of c is s·√5.4.
func TestInterceptAgainstItsError(t *testing.T) {
	b := mustBench(t, plainPart(t, 0), Meters{})
	const s = 0.4
	for times, want := range map[float64]bool{2.99: false, 3.01: true, -2.99: false, -3.01: true} {
		c := times * s * math.Sqrt(5.4)
		var rows []Row
		for i, v := range []float64{7, 8, 9, 10} {
			off := s
			if i == 1 || i == 2 {
				off = -s
			}
			rows = append(rows, row(v, 5, 30, 21+c+off+50*(v-5)*5/30))
		}
		rep := b.Judge(rows)
		require.InDelta(t, c, rep.Cooling.InterceptK, 1e-9)
		require.InDelta(t, s*math.Sqrt(5.4), rep.Cooling.InterceptErrK, 1e-9)
		found := false
		for _, f := range rep.Findings {
			found = found || strings.Contains(f.Claim, "does not vanish")
		}
		require.Equal(t, want, found, "%g times its error", times)
	}
}

// TestLeastGainOfATimeConstant scales one record, which leaves its F as it is, to a
// little less and a little more than the squared kelvins that are lost in a
// thermometer's resolution.
func TestLeastGainOfATimeConstant(t *testing.T) {
	b := mustBench(t, plainPart(t, 0), Meters{})
	at := func(scale float64) (rows []thermalRow) {
		rise := 0.0
		for i, w := range []float64{0.4, 1.0, 0.3, 1.2, 0.5, 0.9} {
			a := math.Exp(-1.5)
			rise = a*rise + (1-a)*50*w
			off := []float64{1, -1, -1, 1, 1, -1}[i]
			rows = append(rows, thermalRow{i, scale * (rise + 1.5*off), w, 150})
		}
		return rows
	}
	base := make([]float64, 6)
	_, settled := fitTheta(at(1), 0, base)
	_, moving, ok := searchTau(at(1), base)
	require.True(t, ok)
	// F(0.95; 1, 4) = 7.709 in the tables; the scatter that is left is not nothing.
	require.Greater(t, (settled-moving)/(moving/4), 7.71)
	require.Greater(t, moving, 0.02*(settled-moving))
	for gain, want := range map[float64]bool{0.009995: false, 0.010005: true} {
		require.Equal(t, want, b.fitCooling(at(math.Sqrt(gain/(settled-moving)))).TauKnown, "%g K²", gain)
	}
}

// TestEndsOfTheTimeConstant: one that is shorter than a tenth of the shortest dwell,
// or longer than three times their sum, is not found.
func TestEndsOfTheTimeConstant(t *testing.T) {
	dwells := []float64{60, 100, 45, 150, 80, 200} // shortest 45 s, in all 635 s
	for tau, want := range map[float64]bool{4.4: false, 4.6: true, 1850: true, 1960: false} {
		var rows []thermalRow
		rise := 0.0
		for i, w := range []float64{0.4, 0.9, 0.2, 1.4, 1.0, 1.2} {
			a := math.Exp(-dwells[i] / tau)
			rise = a*rise + (1-a)*50*w
			rows = append(rows, thermalRow{i, rise, w, dwells[i]})
		}
		found, _, ok := searchTau(rows, make([]float64, 6))
		require.Equal(t, want, ok, "%g s", tau)
		if ok {
			require.InEpsilon(t, tau, found, 1e-3)
		}
	}
}

func TestNextIsThatOfTheVerdict(t *testing.T) {
	b := mustBench(t, plainPart(t, 0), Meters{VoltFloorV: 0.05 * math.Sqrt(3)})
	edge, low := row(9, 4.85, 30, 30), row(10, 4.65, 30, 30)
	require.Equal(t, "a voltmeter of less error decides", b.judge(edge).Next)
	rep := b.Judge([]Row{edge, low})
	require.Equal(t, []any{DoesNotMeet, Weak}, []any{rep.Outcome, rep.Strength})
	require.Equal(t, b.judge(low).Next, rep.Next)
	require.Equal(t, "repeat with a voltmeter of less error", rep.Next)
}

// TestNothingIsMissingTwice: three sound rows are enough of them, even where a
// fourth that contradicts itself keeps the verdict back.
func TestNothingIsMissingTwice(t *testing.T) {
	b := mustBench(t, plainPart(t, 160), Meters{})
	rep := b.Judge([]Row{row(7, 5, 30, 30), row(9, 5, 30, 40), row(11, 5, 30, 50), row(5, 6, 30, 25)})
	require.Equal(t, NoVerdict, rep.Outcome)
	require.Empty(t, rep.Missing)
}

// TestRegulationExactlyAsAllowed uses numbers that are exact in binary: 0.25 V
// between 5.125 and 4.875 V, and 0.25 V of line regulation alone.
func TestRegulationExactlyAsAllowed(t *testing.T) {
	p := plainPart(t, 0)
	p.LineRegulationV = 0.25
	f := finding(t, mustBench(t, p, Meters{}).Judge([]Row{row(8, 5.125, 50, 40), row(9, 4.875, 50, 40)}), "line")
	require.Equal(t, []float64{250, 250}, []float64{f.Value, f.Limit})
	require.Equal(t, "line regulation within the sheet", f.Claim)
	// Two volts are 2000 mV, not 2002.
	reg, err := power.NewLinear(power.LinearSpec{SetV: 12, BandPct: 10, DropoutV: 1.25, MaxInputV: 30, CurrentLimitA: 1})
	require.NoError(t, err)
	p.Linear = reg
	f = finding(t, mustBench(t, p, Meters{}).Judge([]Row{row(15, 11, 50, 40), row(18, 13, 50, 40)}), "line")
	require.InDelta(t, 2000, f.Value, 1e-9)
	require.Contains(t, f.Reason, "the output moved by 2000 mV")
}

func TestNoHeatWithoutInputOrLoad(t *testing.T) {
	for _, c := range [][4]float64{{0, 30, 0, 0}, {9, 0, 1, 0}, {9, 0, 0, 0}} {
		low, high := outputFromHeat(c[0], c[1], c[2], c[3])
		require.True(t, math.IsNaN(low) && math.IsNaN(high), "%v: %g, %g", c, low, high)
	}
}

// TestCriticalContactCloseToTheLimit: 10 K/W times 10.35 W leave half a kelvin of
// 125 - 21, and a tab 10 K above the room is 20 times that.
func TestCriticalContactCloseToTheLimit(t *testing.T) {
	b := mustBench(t, plainPart(t, 0), Meters{})
	r := row(19, 5, math.NaN(), 31)
	r.LoadA = 10.35 / 14
	require.InDelta(t, 1-10/0.5, b.judge(r).CriticalContactRatio, 1e-6)
}

// TestTopOfTheBandIsInTheBand, however near the input is.
func TestTopOfTheBandIsInTheBand(t *testing.T) {
	ldo, err := power.NewLinear(power.LinearSpec{SetV: 3.3, BandPct: 3, DropoutV: 0.05, MaxInputV: 6, CurrentLimitA: 0.25})
	require.NoError(t, err)
	for _, p := range []Part{plainPart(t, 0), {Linear: ldo}} {
		b := mustBench(t, p, Meters{})
		_, top := p.Linear.BandV()
		for _, head := range []float64{0, 0.02, 0.1, 1, 2} {
			v := b.judge(row(top+head, top, 30, 25))
			require.Equal(t, []any{Regulating, Sound}, []any{v.State, v.Strength}, "%g V: %s", head, v.Reason)
		}
	}
}

func TestSmallLoadsAreCautionedToo(t *testing.T) {
	b := mustBench(t, plainPart(t, 0), Meters{})
	rep := b.Judge([]Row{row(3, 2, 30, 25)}) // 9 V²/30 ohm
	require.Len(t, rep.Cautions, 1)
	require.Contains(t, rep.Cautions[0], "3.0 V and 0.3 W")
}

// TestSlipMustBeNearerThanTheTruth: at 10.1 V in and 5 V out the load's power, 5 V·I, is
// within 2 % of the part's, 5.1 V·I; a figure of 5.06 V·I is nearer to the truth.
func TestSlipMustBeNearerThanTheTruth(t *testing.T) {
	b := mustBench(t, plainPart(t, 0), Meters{})
	r := row(10.1, 5, 30, 50)
	for volts, want := range map[float64]WattsSlip{5.06: WattsUnexplained, 5.04: WattsLoadPower} {
		r.OwnW = volts * 5 / 30
		require.Equal(t, want, b.judge(r).Watts, "%g V·I", volts)
	}
}

// TestHeadroomOfExactlyTheDropout, 1.25 V, is no less than it.
func TestHeadroomOfExactlyTheDropout(t *testing.T) {
	v := mustBench(t, plainPart(t, 0), Meters{}).judge(row(9, 7.75, 30, 25))
	require.Equal(t, []any{OutOfSpec, Sound}, []any{v.State, v.Strength}, v.Reason)
}

// TestNoLimitingWithoutARating: where neither a shutdown nor a rated temperature is
// known, no junction is near it.
func TestNoLimitingWithoutARating(t *testing.T) {
	reg, err := power.NewLinear(power.LinearSpec{SetV: 5, BandPct: 4, DropoutV: 1.25, MaxInputV: 20, CurrentLimitA: 1})
	require.NoError(t, err)
	p := plainPart(t, 0)
	p.Linear = reg
	b := mustBench(t, p, Meters{})
	v := b.Judge([]Row{row(10, 4.6, 10, 125), row(11, 4.4, 10, 126)}).Rows[1]
	require.False(t, math.IsNaN(v.JunctionHighC))
	require.Equal(t, OutOfSpec, v.State, v.Reason)
}
