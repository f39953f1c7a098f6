package station

import (
	"math"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// inARow is the demonstration with a regulator of 5 V between pack and logic regulator.
func inARow(t *testing.T, outV float64) *Description {
	d := demo(t)
	d.Regulators[0].From = "5V"
	d.Regulators = append(d.Regulators, &Regulator{Name: "first", Kind: "linear", From: "pack", Rail: "5V", OutV: Of(outV), InputMaxV: Of(15.0),
		DropoutV: Of(1.2), IdleA: Of(0.005), ThetaJCKPerW: Of(15.0), ThetaCAKPerW: Of(105.0)})
	return d
}

// A regulator behind another has the first one's rail for its input: 4.2 V are less than
// 3.3 + 1.2 V, though the pack has plenty.
func TestARegulatorBehindAnotherIsJudgedByItsRail(t *testing.T) {
	r := review(t, inARow(t, 5))
	f := find(t, r, "input of logic regulator at least")
	require.Equal(t, Fine, f.Word)
	require.InDelta(t, 5.0, f.Value, 1e-12)
	require.InDelta(t, 5.0, find(t, r, "input of logic regulator at most").Value, 1e-12)

	f = find(t, review(t, inARow(t, 4.2)), "input of logic regulator at least")
	require.Equal(t, Change, f.Word)
	require.InDelta(t, 4.2-4.5, f.Margin, 1e-9)

	// (5.0 - 3.3) V · I + 5 V · 5 mA of heat, by its own input and not by the bus's 12.6 V.
	d := inARow(t, 5)
	d.Regulators[0].ThetaCAKPerW, d.Regulators[0].ThetaJCKPerW = Of(500.0), Of(200.0)
	r = review(t, d)
	f = find(t, r, "junction of logic regulator")
	require.Equal(t, Change, f.Word)
	mostW := math.Floor((125-r.Year.HottestBoxC)/700*100) / 100
	require.Contains(t, f.Action, "below "+formatMA((mostW-5*0.005)/1.7)+" mA")
}

func formatMA(a float64) string { return strconv.Itoa(int(math.Floor(1000 * a))) }

// What hangs on the adapter has the adapter's voltage, and the year knows nothing of it.
func TestWhatTheAdapterFeedsIsNotTheYears(t *testing.T) {
	d := demo(t)
	d.Regulators[0].From = "adapter"
	f := find(t, review(t, d), "input of logic regulator at most")
	require.Equal(t, Stop, f.Word)
	require.InDelta(t, 17.1, f.Value, 1e-12)
	d.Regulators[0].InputMaxV = Of(20.0)
	r := review(t, d)
	// By hand: 17.1 V without load; 82.5 mA and 5 mA of its own: 13.8·0.0825 + 17.1·0.005 = 1.224 W.
	f = find(t, r, "junction of logic regulator")
	require.Equal(t, Change, f.Word)
	require.Contains(t, f.Reason, "1.22 W")
	require.Equal(t, Watch, find(t, r, "load controller").Word)
	f = find(t, r, "hours without service")
	require.Equal(t, CannotTell, f.Word, "nothing is served from the pack")
	require.Empty(t, findAll(r, "a day with the network away"))

	d.Adapter = nil
	require.Equal(t, []string{"adapter.rated_v"}, find(t, review(t, d), "junction of logic regulator").Missing)
}

func TestARegulatorThatNothingFeeds(t *testing.T) {
	d := demo(t)
	d.Regulators[0].From = "9V"
	r := review(t, d)
	require.Equal(t, []string{"regulator[0].from (a node that something feeds)"}, find(t, r, "junction of logic regulator").Missing)
	f := find(t, r, "load controller")
	require.Equal(t, Change, f.Word)
	require.Contains(t, f.Reason, `rail "3V3", whose regulator nothing feeds`)
	require.Equal(t, CannotTell, find(t, r, "hours without service").Word)

	// Behind a regulator that lacks a line, that line is asked for.
	d = inARow(t, 5)
	d.Regulators[1].DropoutV = nil
	require.Equal(t, []string{"regulator[1].dropout_v"}, find(t, review(t, d), "junction of logic regulator").Missing)
}

// A converter needs the input of its sheet as well.
func TestAConverterNeedsItsLeastInput(t *testing.T) {
	d := demo(t)
	d.Regulators = []*Regulator{{Name: "step-down", Kind: "step-down", From: "pack", Rail: "3V3", OutV: Of(3.3), InputMaxV: Of(24.0), InputMinV: Of(9.0),
		IdleA: Of(20e-6), EffAtA: [][]float64{{0.001, 0.8}, {0.05, 0.9}, {0.3, 0.92}}}}
	f := find(t, review(t, d), "input of step-down at least")
	require.Equal(t, Change, f.Word)
	require.InDelta(t, 7.5-9.0, f.Margin, 1e-9)
	d.Regulators[0].InputMinV = nil
	require.Empty(t, findAll(review(t, d), "input of step-down at least"), "nothing stated asks for one")
}

// Above its maximum input a part has no largest load to advise.
func TestNoCurrentIsAdvisedAboveTheMaximum(t *testing.T) {
	d := demo(t)
	d.Regulators[0].InputMaxV = Of(12.0)
	r := review(t, d)
	require.Equal(t, Stop, find(t, r, "input of logic regulator at most").Word)
	f := find(t, r, "junction of logic regulator")
	require.Equal(t, Change, f.Word)
	require.NotContains(t, f.Action, "mA")
}

// The advised current, put in, clears the finding: it is rounded down.
func TestTheAdvisedCurrentHolds(t *testing.T) {
	d := demo(t)
	d.Loads = []*Load{{Name: "steady", Rail: "3V3", AsleepA: Of(0.0825), DamageV: Of(3.9)}}
	for _, theta := range []float64{90, 100, 105, 120, 150, 200} {
		d.Regulators[0].ThetaCAKPerW = Of(theta)
		d.Loads[0].AsleepA = Of(0.2)
		f := find(t, review(t, d), "junction of logic regulator")
		require.Equal(t, Change, f.Word)
		_, after, ok := strings.Cut(f.Action, "hold the load below ")
		require.True(t, ok, f.Action)
		mA := float64(number(after[:strings.Index(after, " mA")]))
		d.Loads[0].AsleepA = Of(mA / 1000)
		require.Less(t, find(t, review(t, d), "junction of logic regulator").Word, Change, "%v K/W, %v mA", theta, mA)
	}
	// Where its own current is too much, no load is advised.
	d.Regulators[0].ThetaCAKPerW, d.Regulators[0].IdleA = Of(500.0), Of(0.1)
	require.NotContains(t, find(t, review(t, d), "junction of logic regulator").Action, "mA")
}
