package bench

import (
	"fmt"
	"math"
	"math/rand"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"github.com/stationphysics/stationphysics/internal/limit"
	"github.com/stationphysics/stationphysics/internal/limit/limittest"
	"github.com/stationphysics/stationphysics/power"
)

// TestRanges states every range a second time, as the comments at the fields
// promise them.
func TestRanges(t *testing.T) {
	check, slip := limittest.Ranges(t), limittest.Slip
	for i, c := range []struct {
		name   string
		lo, hi float64
		slips  []limit.Slip
	}{
		{"input", 0, 150, []limit.Slip{slip(150, 150e3, "millivolts")}},
		{"output", 0, 150, []limit.Slip{slip(150, 150e3, "millivolts")}},
		{"load", 0.1, 1e7, []limit.Slip{slip(0, 0.1, "a current in the column of the resistance")}},
		{"current", 0, 20, []limit.Slip{slip(20, 20e3, "milliamperes, or ohms in the column of the current")}},
		{"tab", -60, 250, []limit.Slip{slip(273, 523, "kelvins")}},
		{"room", -60, 60, []limit.Slip{slip(213, 333, "kelvins"), slip(60, 120, "degrees Fahrenheit")}},
		{"dwell", 0, 1e6, nil},
		{"own", 0, 1000, []limit.Slip{slip(1000, 1e6, "milliwatts")}},
	} {
		require.Equal(t, c.name, quantities[i].name)
		check(&quantities[i].rng, c.lo, c.hi, c.slips...)
	}
	require.Len(t, quantities, 8)
	check(&meterPct, 0, 20)
	check(&meterFloorV, 0, 1)
	check(&meterFloorA, 0, 1)
	check(&thermometerK, 0, 20)
	check(&contactRatio, 0, 0.9, slip(0.9, 90, "per cent"))
	check(&accuracyV, 0, 150)
	check(&regulationV, 0, 5, slip(5, 5000, "millivolts"))
	check(&stabilityPct, 0, 20)
	check(&thermalPerW, 0, 5)
	check(&junctionCase, 0, 500)
	check(&typicalOwn, 0, 0.1)
}

// plainPart has round numbers: 5 V ± 4 %, dropout 1.25 V at any load, 1 A, 20 V.
func plainPart(t testing.TB, shutdownC float64) Part {
	t.Helper()
	reg, err := power.NewLinear(power.LinearSpec{SetV: 5, BandPct: 4, DropoutV: 1.25, MaxInputV: 20, CurrentLimitA: 1, MaxJunctionC: 125, ShutdownC: shutdownC})
	require.NoError(t, err)
	return Part{Linear: reg, AccuracyLowV: 6.5, AccuracyHighV: 12, JunctionCaseLowKPerW: 10, JunctionCaseHighKPerW: 10}
}

// TestEdges walks along every edge between two states, with perfect meters and
// with voltmeters whose expanded uncertainty is 0.1 V (0.1414 V for a
// difference).
func TestEdges(t *testing.T) {
	const e = 1e-9
	perfect := mustBench(t, plainPart(t, 0), Meters{})
	coarse := mustBench(t, plainPart(t, 0), Meters{VoltFloorV: 0.05 * math.Sqrt(3)})
	require.InDelta(t, 0.1, coverage*coarse.uVolt(7), 1e-12)
	head := math.Hypot(0.1, 0.1)
	for _, c := range []struct {
		b       *Bench
		in, out float64
		state   State
		how     Strength
	}{
		{perfect, 5, 5 + e, Impossible, Sound}, {perfect, 5, 5, Regulating, Sound},
		{perfect, 9, 8.7 + e, PassElementShorted, Sound}, {perfect, 9, 8.7 - e, PassElementShorted, Weak},
		{perfect, 9, 7.75 + e, PassElementShorted, Weak}, {perfect, 9, 7.75 - e, OutOfSpec, Sound},
		{perfect, 9, 5.2 + e, OutOfSpec, Sound}, {perfect, 9, 5.2, Regulating, Sound},
		{perfect, 9, 4.8, Regulating, Sound}, {perfect, 9, 4.8 - e, OutOfSpec, Sound},
		{perfect, 6.05, 4.8 - e, BeyondSheet, Weak}, {perfect, 6.05 - 2*e, 4.8 - e, Dropout, Sound},
		{perfect, 5.5, 4.25 - e, DropoutTooLarge, Weak}, {perfect, 5.5, 4.25 + e, Dropout, Sound},
		{perfect, 6.5, 4.7, OutOfSpec, Sound}, {perfect, 6.5 - e, 4.7, BeyondSheet, Weak},
		{perfect, 12, 4.7, OutOfSpec, Sound}, {perfect, 12 + e, 4.7, BeyondSheet, Weak},
		{perfect, 12 + e, 6, BeyondSheet, Weak}, {perfect, 12, 6, OutOfSpec, Sound},

		{coarse, 5, 5 + head + 1e-6, Impossible, Sound}, {coarse, 5, 5 + head - 1e-6, Regulating, Weak},
		{coarse, 9, 8.7 + head + 1e-6, PassElementShorted, Sound}, {coarse, 9, 8.7 + head - 1e-6, PassElementShorted, Weak},
		{coarse, 9, 7.75 + head + 1e-6, PassElementShorted, Weak}, {coarse, 9, 7.75 + head - 1e-6, OutOfSpec, Sound},
		{coarse, 9, 5.3 + 1e-6, OutOfSpec, Weak}, {coarse, 9, 5.3 - 1e-6, Regulating, Weak},
		{coarse, 9, 5.4 + 1e-6, OutOfSpec, Sound}, {coarse, 9, 5.4 - 1e-6, OutOfSpec, Weak},
		{coarse, 9, 5.1 + 1e-6, Regulating, Weak}, {coarse, 9, 5.1 - 1e-6, Regulating, Sound},
		{coarse, 9, 4.9 + 1e-6, Regulating, Sound}, {coarse, 9, 4.9 - 1e-6, Regulating, Weak},
		{coarse, 9, 4.7 + 1e-6, Regulating, Weak}, {coarse, 9, 4.7 - 1e-6, OutOfSpec, Weak},
		{coarse, 9, 4.6 + 1e-6, OutOfSpec, Weak}, {coarse, 9, 4.6 - 1e-6, OutOfSpec, Sound},
		{coarse, 5.95 - 1e-6, 4.69, Dropout, Sound}, {coarse, 5.95 + 1e-6, 4.69, Dropout, Weak},
		{coarse, 6.15 - 1e-6, 4.78, Regulating, Weak}, {coarse, 6.1, 4.69, DropoutTooLarge, Weak},
		{coarse, 6.08, 4.6899, Dropout, Weak}, {coarse, 5.5, 4.25 - head - 1e-6, DropoutTooLarge, Weak},
		{coarse, 5.5, 4.25 - head + 1e-6, Dropout, Sound},
		{coarse, 12.1 - 1e-6, 4.5, OutOfSpec, Sound}, {coarse, 12.1 + 1e-6, 4.5, BeyondSheet, Weak},
		{coarse, 6.4 + 1e-6, 4.5, OutOfSpec, Sound}, {coarse, 6.4 - 1e-6, 4.5, BeyondSheet, Weak},
		// Close above the band, a short is not yet sound.
		{coarse, 5.5, 5.5 - 1e-6, PassElementShorted, Weak}, {coarse, 5.6, 5.5 + 1e-6, PassElementShorted, Sound},
	} {
		r := NewRow()
		r.InputV, r.OutputV, r.LoadOhm = c.in, c.out, 30
		v := c.b.judge(r)
		require.Equal(t, c.state, v.State, "%.9g V in, %.9g V out: %s", c.in, c.out, v.Reason)
		require.Equal(t, c.how, v.Strength, "%.9g V in, %.9g V out: %s", c.in, c.out, v.Reason)
		require.InDelta(t, c.in-c.out, v.HeadroomV, 1e-12)
	}
	r := NewRow()
	r.InputV, r.OutputV, r.LoadA = 9, 4.5, 0.98
	require.Equal(t, CurrentLimiting, perfect.judge(r).State)
	r.LoadA = 0.9799
	require.Equal(t, OutOfSpec, perfect.judge(r).State)
	r.LoadA = 1.1 // above the limit the dropout is taken at the limit
	require.Equal(t, CurrentLimiting, perfect.judge(r).State)
	r.InputV, r.OutputV, r.LoadA = 20+e, 5, 0.1
	require.True(t, perfect.judge(r).OverMaximum)
	r.InputV = 20
	require.False(t, perfect.judge(r).OverMaximum)
	r.InputV = 20.1 + 1e-6
	require.True(t, coarse.judge(r).OverMaximum)
	r.InputV = 20.1 - 1e-6
	require.False(t, coarse.judge(r).OverMaximum)
}

func TestContradictionEdge(t *testing.T) {
	m := Meters{VoltPct: 1, CurrentPct: 2, LoadPct: 3}
	b := mustBench(t, plainPart(t, 0), m)
	r := row(9, 5, 50, 30)
	// 0.1 A by the resistance, ± 1 % and ± 3 %; the ammeter ± 2 % of what it shows.
	at := func(x float64) float64 {
		return math.Sqrt(x*x*0.02*0.02+0.1*0.1*(0.01*0.01+0.03*0.03)) / math.Sqrt(3)
	}
	for _, x := range []float64{0.105, 0.095} {
		for i := 0; i < 60; i++ { // to where |x - 0.1| = 3u
			x = 0.1 + math.Copysign(3*at(x), x-0.1)
		}
		r.LoadA = 0.1 + (x-0.1)*1.0001
		require.Equal(t, Impossible, b.judge(r).State)
		r.LoadA = 0.1 + (x-0.1)*0.9999
		require.Equal(t, Regulating, b.judge(r).State)
	}
}

func TestUncertaintyByHand(t *testing.T) {
	p := plainPart(t, 0)
	reg, err := power.NewLinear(power.LinearSpec{SetV: 5, BandPct: 4, DropoutV: 1.25, QuiescentA: 0.012, GroundRatio: 0.1, MaxInputV: 20, CurrentLimitA: 1})
	require.NoError(t, err)
	p.Linear, p.QuiescentTypicalA = reg, 0.004
	b := mustBench(t, p, Meters{VoltPct: 1, VoltFloorV: 0.01, CurrentPct: 2, CurrentFloorA: 0.001, LoadPct: 5})
	r := row(10, 5, math.NaN(), 30)
	r.LoadA = 0.2
	w, u := b.dissipation(&r)
	// own = 4 mA + 0.1·0.2/2 = 14 mA, spread 8 mA + 10 mA.
	require.InDelta(t, 5*0.2+10*0.014, w, 1e-12)
	want := 0.0
	for _, x := range []float64{0.214 * 0.11, 0.2 * 0.06, 5 * 0.005, 10 * 0.018} {
		want += x * x / 3
	}
	require.InDelta(t, 2*math.Sqrt(want), u, 1e-12)
	r.LoadA, r.LoadOhm = math.NaN(), 25
	w, u = b.dissipation(&r)
	require.InDelta(t, 5*0.2+10*0.014, w, 1e-12)
	want = 0
	for _, x := range []float64{0.214 * 0.11, 0, 5 * 0.2 * 0.05, 10 * 0.018} {
		want += x * x / 3
	}
	require.InDelta(t, 2*math.Sqrt(want), u, 1e-12, "at half the input the output's error cancels")
	r.OutputV = 4
	_, u = b.dissipation(&r)
	want = 0
	i := 4.0 / 25
	for _, x := range []float64{(i + 0.004 + 0.05*i) * 0.11, (10 - 8) / 25.0 * 0.05, 6 * i * 0.05, 10 * (0.008 + 0.05*i)} {
		want += x * x / 3
	}
	require.InDelta(t, 2*math.Sqrt(want), u, 1e-12)
	a, ua := b.load(&r)
	require.InDelta(t, i, a, 1e-12)
	require.InDelta(t, math.Hypot(0.05/25, i*0.05)/math.Sqrt(3), ua, 1e-12)
	// Without a typical value the own current lies anywhere up to the largest.
	b.p.QuiescentTypicalA = 0
	own, uOwn := b.own(0)
	require.InDelta(t, 0.006, own, 1e-15)
	require.InDelta(t, 0.006/math.Sqrt(3), uOwn, 1e-15)
	// The load of a shorted part comes from the current where there is no resistance.
	r = row(9, 5, math.NaN(), 30)
	r.LoadA = 0.25
	require.InDelta(t, 81/20.0, b.judge(r).ShortedLoadW, 1e-12)
	r.LoadA = 0
	require.True(t, math.IsNaN(b.judge(r).ShortedLoadW))
}

func TestWattsEdges(t *testing.T) {
	b := mustBench(t, plainPart(t, 0), Meters{})
	r := row(12, 5, 30, 50) // (12 - 5)·5/30 = 1.16667 W
	truth := 7 * 5 / 30.0
	for _, c := range []struct {
		w    float64
		want WattsSlip
	}{
		{truth * 1.004999, WattsRight}, {truth * 0.995001, WattsRight}, {truth * 1.005002, WattsUnexplained}, {truth * 0.994998, WattsUnexplained},
		{2 * 1.019999, WattsInputTimesI}, {2 * 1.02001, WattsUnexplained}, {2 * 0.9801, WattsInputTimesI},
		{truth * 1000 * 1.0199, WattsThousand}, {truth * 1000 * 0.9801, WattsThousand}, {truth * 1000 * 1.0201, WattsUnexplained}, {truth / 1000 * 1.0199, WattsThousand}, {truth / 1000 * 0.9801, WattsThousand},
		{25 / 30.0 * 1.019, WattsLoadPower}, {4.8 * 0.981, WattsShortedLoad}, {49 / 30.0, WattsDropSquared},
	} {
		r.OwnW = c.w
		require.Equal(t, c.want, b.judge(r).Watts, "%g W", c.w)
	}
	// By the current where there is no resistance.
	r.LoadA, r.LoadOhm, r.OwnW = 5.0/30, math.NaN(), 49/30.0
	require.Equal(t, WattsDropSquared, b.judge(r).Watts)
	// A meter too coarse to tell finds nothing wrong.
	coarse := mustBench(t, plainPart(t, 0), Meters{VoltPct: 20})
	r = row(12, 5, 30, 50)
	r.OwnW = 1.5
	require.Equal(t, WattsRight, coarse.judge(r).Watts)
}

func TestJunctionByHand(t *testing.T) {
	b := mustBench(t, plainPart(t, 0), Meters{TabK: 2, RoomK: 1, ContactErrorRatio: 0.25})
	v := b.judge(row(11, 5, 30, 61)) // 1 W, room 21
	require.InDelta(t, 61-2+10, v.JunctionLowC, 1e-9)
	require.InDelta(t, 20+(63-20)/0.75+10, v.JunctionHighC, 1e-9)
	require.InDelta(t, 1-40/(125-10-21.0), v.CriticalContactRatio, 1e-12)
	// A tab read below the room is taken as the room.
	v = b.judge(row(11, 5, 30, 10))
	require.InDelta(t, 20+10, v.JunctionHighC, 1e-9)
	// No tab could hold the junction at its limit: 10.4 K/W times more than 10 W.
	r := row(19, 5, 1e3, 30)
	r.LoadA, r.LoadOhm = 0.9, math.NaN()
	require.True(t, math.IsInf(b.judge(r).CriticalContactRatio, -1))
	// An unmeasured tab leaves it open.
	require.True(t, math.IsNaN(b.judge(row(11, 5, 30, math.NaN())).JunctionLowC))
}

func TestCoolingByHand(t *testing.T) {
	b := mustBench(t, plainPart(t, 0), Meters{ContactErrorRatio: 0.2})
	rows := make([]thermalRow, 5)
	for i, x := range [][2]float64{{0.4, 22.5}, {0.7, 36.0}, {1.0, 52.5}, {1.3, 66.0}, {1.7, 88.0}} {
		rows[i] = thermalRow{index: i, powerW: x[0], riseK: x[1], dwellS: math.NaN()}
	}
	c := b.fitCooling(rows)
	require.Equal(t, 5, c.Rows)
	require.InDelta(t, 51.70144462279295, c.CaseAmbientKPerW, 1e-9)
	require.InDelta(t, 1.1688334995193783, c.ScatterK, 1e-9)
	require.InDelta(t, 0.46828325337668486, c.CaseAmbientErrKPerW, 1e-9)
	require.InDelta(t, 1.6031128404669275, c.InterceptK, 1e-9)
	require.InDelta(t, 1.1624069965322288, c.InterceptErrK, 1e-9)
	require.InDelta(t, 51.70144462279295/0.8, c.TrueHighKPerW, 1e-9)
	require.InDelta(t, 51.70144462279295-2*c.CaseAmbientErrKPerW+10, c.JunctionAmbientLowKPerW, 1e-9)
	require.InDelta(t, c.TrueHighKPerW+2*c.CaseAmbientErrKPerW+10, c.JunctionAmbientHighKPerW, 1e-9)
	require.False(t, c.TauKnown)
	require.True(t, math.IsNaN(c.TauS))
	// Thermometers that are off in every row alike weigh more than the scatter.
	wide := mustBench(t, plainPart(t, 0), Meters{TabK: 2.5, RoomK: 1})
	require.InDelta(t, 1.272595857965569, wide.fitCooling(rows).CaseAmbientErrKPerW, 1e-9)
	two := b.fitCooling(rows[:2])
	require.Equal(t, 2, two.Rows)
	require.InDelta(t, (0.4*22.5+0.7*36)/(0.16+0.49), two.CaseAmbientKPerW, 1e-9)
	require.True(t, math.IsNaN(two.InterceptK))
	three := b.fitCooling(rows[:3])
	require.False(t, math.IsNaN(three.InterceptK))
	require.True(t, math.IsNaN(b.fitCooling(rows[:1]).CaseAmbientKPerW))
}

// TestTauWithoutScatter: the recursion itself, with dwells that differ.
func TestTauWithoutScatter(t *testing.T) {
	b := mustBench(t, plainPart(t, 0), Meters{})
	const theta, tau = 52.0, 95.0
	var rows []thermalRow
	rise := 0.0
	for i, x := range [][2]float64{{0.4, 60}, {0.9, 100}, {0.2, 45}, {1.4, 150}, {1.0, 80}, {1.2, 200}} {
		a := math.Exp(-x[1] / tau)
		rise = a*rise + (1-a)*theta*x[0]
		rows = append(rows, thermalRow{index: i, riseK: rise, powerW: x[0], dwellS: x[1]})
	}
	c := b.fitCooling(rows)
	require.True(t, c.TauKnown)
	require.InDelta(t, tau, c.TauS, 1e-4)
	require.InDelta(t, theta, c.CaseAmbientKPerW, 1e-4)
	require.InDelta(t, 0, c.ScatterK, 1e-4)
	require.InDelta(t, 0, c.InterceptK, 1e-3)
	// Four rows are needed beside two unknowns, and every dwell.
	require.True(t, b.fitCooling(rows[:4]).TauKnown)
	require.False(t, b.fitCooling(rows[:3]).TauKnown)
	missing := append([]thermalRow(nil), rows...)
	missing[2].dwellS = math.NaN()
	require.False(t, b.fitCooling(missing).TauKnown)
	// Rows that have come to rest show none, and their intercept is that of the powers.
	for i := range missing {
		missing[i].dwellS, missing[i].riseK = 3000, 3+theta*missing[i].powerW
	}
	c = b.fitCooling(missing)
	require.False(t, c.TauKnown)
	require.InDelta(t, 3, c.InterceptK, 1e-9)
}

func TestSettledWithinHalfAKelvin(t *testing.T) {
	b := mustBench(t, plainPart(t, 0), Meters{})
	rows := make([]Row, 0, 8)
	rise := 0.0
	for i, v := range []float64{7, 11, 9, 12, 8, 8, 8, 8} {
		r := row(v, 5, 30, 0)
		w := (v - 5) * 5 / 30
		a := math.Exp(-150.0 / 100)
		rise = a*rise + (1-a)*50*w
		r.TabC, r.DwellS, r.Line = 21+rise, 150, i+2
		rows = append(rows, r)
	}
	rep := b.Judge(rows)
	require.True(t, rep.Cooling.TauKnown)
	last := math.NaN()
	for i, v := range rep.Rows {
		end := 21 + 50*(v.Row.InputV-5)*5/30
		require.InDelta(t, end-v.Row.TabC, v.UnsettledK, 1e-3, "row %d", i)
		want := NotSettled
		if math.Abs(end-v.Row.TabC) <= 0.5 {
			want = Settled
		}
		require.Equal(t, want, v.Settled, "row %d, %g K to go", i, v.UnsettledK)
		last = v.UnsettledK
	}
	require.Less(t, math.Abs(last), 0.5)
	require.Equal(t, NotSettled, rep.Rows[1].Settled)
	require.Equal(t, Settled, rep.Rows[7].Settled)
	require.Contains(t, finding(t, rep, "resistance from tab").Reason, "50.0 ± 0.0 K/W from 8 rows, with a time constant of 100 s")
}

// TestSettledEdge ends a record a little before and after half a kelvin is left.
func TestSettledEdge(t *testing.T) {
	b := mustBench(t, plainPart(t, 0), Meters{})
	for leftK, want := range map[float64]Settling{0.4998: Settled, 0.5002: NotSettled} {
		var rows []Row
		rise := 0.0
		for i, v := range []float64{7, 11, 9, 12, 7, 12} {
			w, dwell := (v-5)*5/30, 150.0
			if i == 5 {
				dwell = 100 * math.Log((50*w-rise)/leftK)
			}
			a := math.Exp(-dwell / 100)
			rise = a*rise + (1-a)*50*w
			r := row(v, 5, 30, 21+rise)
			r.DwellS = dwell
			rows = append(rows, r)
		}
		v := b.Judge(rows).Rows[5]
		require.InDelta(t, leftK, v.UnsettledK, 1e-4)
		require.Equal(t, want, v.Settled, "%g K left", leftK)
	}
}

func TestLimitingSignatureEdges(t *testing.T) {
	// Junction at 150 °C or more by the second row's readings, shutdown at 160.
	b := mustBench(t, plainPart(t, 160), Meters{})
	pair := func(in1, out1, tab1, in2, out2, tab2 float64) []Row {
		return []Row{row(in1, out1, 10, tab1), row(in2, out2, 10, tab2)}
	}
	for _, c := range []struct {
		name string
		rows []Row
		want Strength
	}{
		{"the sign", pair(10, 4.6, 125, 11, 4.4, 126), Sound},
		{"input does not rise", pair(11, 4.6, 125, 11, 4.4, 126), 0},
		{"output does not fall", pair(10, 4.4, 125, 11, 4.4, 126), 0},
		{"tab moves by more than 2 K", pair(10, 4.6, 123.9, 11, 4.4, 126), 0},
		{"tab moves by 2 K", pair(10, 4.6, 124, 11, 4.4, 126), Sound},
		{"too cool", pair(10, 4.6, 110, 11, 4.4, 110), 0},
	} {
		v := b.Judge(c.rows).Rows[1]
		if c.want == Sound {
			require.Equal(t, ThermallyLimiting, v.State, c.name)
			require.Equal(t, Sound, v.Strength, c.name)
			require.Contains(t, v.Reason, "rose by 1 V")
			continue
		}
		require.False(t, v.State == ThermallyLimiting && v.Strength == Sound, c.name)
	}
	// Ten kelvins below the shutdown it begins to be near: P = 6.6·0.44 W, 10 K/W.
	heat := 10 * 6.6 * 0.44
	at := b.Judge(pair(10, 4.6, 150-heat+0.01, 11, 4.4, 150-heat+0.01)).Rows[1]
	require.Equal(t, ThermallyLimiting, at.State)
	require.Equal(t, OutOfSpec, b.Judge(pair(10, 4.6, 150-heat-0.01, 11, 4.4, 150-heat-0.01)).Rows[1].State)
	// Without a shutdown temperature the rating takes its place.
	n := mustBench(t, plainPart(t, 0), Meters{})
	require.Equal(t, ThermallyLimiting, n.Judge(pair(10, 4.6, 125.01-heat, 11, 4.4, 125.01-heat)).Rows[1].State)
	require.Equal(t, OutOfSpec, n.Judge(pair(10, 4.6, 124.99-heat, 11, 4.4, 124.99-heat)).Rows[1].State)
	require.Equal(t, ThermallyLimiting, n.judge(row(11, 4.4, 10, 125.01-heat)).State)
	require.Equal(t, OutOfSpec, n.judge(row(11, 4.4, 10, 124.99-heat)).State)
}

func TestOutcomesByCount(t *testing.T) {
	b := mustBench(t, plainPart(t, 160), Meters{})
	good := []Row{row(7, 5, 30, 30), row(9, 5, 30, 40), row(11, 5, 30, 50)}
	with := func(extra ...Row) Report { return b.Judge(append(append([]Row(nil), good...), extra...)) }
	rep := with()
	require.Equal(t, []any{MeetsSheet, Sound}, []any{rep.Outcome, rep.Strength})
	require.Contains(t, rep.Reason, "3 of 3 rows")
	for name, extra := range map[string]Row{
		"current limit": row(9, 4.5, 4, 60), "beyond": row(14, 4.5, 30, 60), "cannot tell": row(9, math.NaN(), 30, 60),
	} {
		rep = with(extra)
		require.Equal(t, []any{MeetsSheet, Weak}, []any{rep.Outcome, rep.Strength}, name)
		require.Contains(t, rep.Reason, "decide nothing")
		require.NotEmpty(t, rep.Next)
	}
	rep = with(row(5, 3.75, 30, 25))
	require.Equal(t, []any{MeetsSheet, Sound}, []any{rep.Outcome, rep.Strength}, "dropout takes nothing away")
	rep = with(row(5, 6, 30, 25))
	require.Equal(t, []any{NoVerdict, NotDecidable}, []any{rep.Outcome, rep.Strength}, "a contradiction does")
	require.Contains(t, rep.Reason, "above the input")
	rep = with(row(9, 4.5, 30, 40))
	require.Equal(t, []any{DoesNotMeet, Weak}, []any{rep.Outcome, rep.Strength})
	rep = with(row(9, 4.5, 30, 40), row(10, 4.5, 30, 40))
	require.Equal(t, []any{DoesNotMeet, Sound}, []any{rep.Outcome, rep.Strength})
	rep = with(row(9, 4.5, 30, 165))
	require.Equal(t, []any{LacksCooling, Weak}, []any{rep.Outcome, rep.Strength})
	rep = with(row(5, 3, 30, 25))
	require.Equal(t, []any{DoesNotMeet, Weak}, []any{rep.Outcome, rep.Strength})
	rep = with(row(9, 8, 30, 40))
	require.Equal(t, []any{FailedShort, Weak}, []any{rep.Outcome, rep.Strength})
	rep = with(row(9, 8.9, 30, 40))
	require.Equal(t, []any{FailedShort, Sound}, []any{rep.Outcome, rep.Strength})
	rep = b.Judge(good[:2])
	require.Equal(t, "1 more rows that regulate clearly within the band", rep.Missing[0])
	require.Contains(t, rep.Reason, "2 regulate soundly, 0 are in dropout, of 2")
	rep = b.Judge([]Row{row(14, 4.5, 30, 60)})
	require.Contains(t, strings.Join(rep.Missing, ";"), "6.5 to 12 V")
	rep = b.Judge([]Row{row(9, 4.5, 4, 60)})
	require.Contains(t, rep.Reason, "current limit")
	rep = b.Judge([]Row{row(5, 3.8, 30, 24)})
	require.Contains(t, rep.Missing[1], "an input above 6.55 V")
	two := b.Judge([]Row{{Line: 7, InputV: 9, OutputV: 4.5, LoadOhm: 30, LoadA: math.NaN(), TabC: 30, RoomC: 21, DwellS: math.NaN(), OwnW: math.NaN()}})
	require.True(t, strings.HasPrefix(two.Reason, "line 7: "), two.Reason)
}

func TestRegulationByHand(t *testing.T) {
	p := plainPart(t, 0)
	p.LineRegulationV, p.LoadRegulationV, p.TempStabilityPct, p.ThermalRegulationPct = 0.010, 0.020, 0.4, 0.2
	b := mustBench(t, p, Meters{})
	// 10 mV line, 20 mV for the 0.5 A of difference over 1 A, 0.4 % of 5 V, 0.2 %/W of 5 V.
	rows := []Row{row(8, 5, 50, 40), row(9, 4.98, 8.3, 50)}
	low, high := 3*0.1, 4.02*4.98/8.3
	f := finding(t, b.Judge(rows), "line")
	require.InDelta(t, 20, f.Value, 1e-9)
	require.InDelta(t, 10+20*(4.98/8.3-0.1)+20+10*(high-low), f.Limit, 1e-9)
	require.Equal(t, "mV", f.Unit)
	// The load regulation is stated up to the current limit.
	half := mustBench(t, lm1117(t), Meters{})
	loads := []Row{row(9, 5, 50, 40), row(10, 5, 25, 50)}
	w := func(i int) float64 { v := half.judge(loads[i]); return v.DissipationW }
	require.InDelta(t, 15+20*0.1/0.8+25+5*(w(1)-w(0)), finding(t, half.Judge(loads), "line").Limit, 1e-9)
	// Inputs a volt apart are needed, and 0.3 V above the dropout.
	rows[1].InputV = 8.999
	require.Equal(t, NotDecidable, finding(t, b.Judge(rows), "line").Strength)
	rows[0].InputV, rows[1].InputV = 6.5501, 8
	require.NotEqual(t, NotDecidable, finding(t, b.Judge(rows), "line").Strength)
	rows[0].InputV = 6.5499
	require.Equal(t, NotDecidable, finding(t, b.Judge(rows), "line").Strength)
	// The meter's own movement may hide it: 2·√2·u beyond what is allowed.
	coarse := mustBench(t, p, Meters{VoltFloorV: 0.005 * math.Sqrt(3)}) // expanded 10 mV
	at := func(b *Bench, span float64) Finding {
		return finding(t, b.Judge([]Row{row(8, 5.1, 50, 40), row(9, 5.1-span, 50, 40)}), "line")
	}
	allow := at(coarse, 0.05).Limit / 1000
	require.Equal(t, "line regulation worse than the sheet allows", at(coarse, allow+0.0284).Claim)
	require.Equal(t, NotDecidable, at(coarse, allow+0.0275).Strength)
	require.Equal(t, "line regulation within the sheet", at(coarse, allow-0.002).Claim)
	require.Contains(t, at(coarse, 0.05).Reason, "the meter may move by 14 mV")
}

func TestCautions(t *testing.T) {
	b := mustBench(t, plainPart(t, 0), Meters{})
	rep := b.Judge([]Row{row(9, 5, 30, 47.9), row(12, 5, 30, 30)})
	require.Len(t, rep.Cautions, 1)
	require.Contains(t, rep.Cautions[0], "12.0 V and 4.8 W")
	rep = b.Judge([]Row{row(9, 5, 30, 48), row(12, 5, 30, 30)})
	require.Len(t, rep.Cautions, 2)
	require.Contains(t, rep.Cautions[0], "the tab was at 48 °C: bare metal burns skin at a touch from about 65 °C on, within a minute from 51 °C")
	require.Empty(t, b.Judge(nil).Cautions)
}

func TestCopperComparison(t *testing.T) {
	b := mustBench(t, plainPart(t, 0), Meters{})
	suspect := func(theta float64) bool {
		var rows []Row
		for _, v := range []float64{7, 8, 9} {
			rows = append(rows, row(v, 5, 30, 21+theta*(v-5)*5/30))
		}
		for _, f := range b.Judge(rows).Findings {
			if f.Claim == "thermometer or airflow suspect" {
				require.Contains(t, f.Reason, "published at 30 to 170 K/W")
				return true
			}
		}
		return false
	}
	// With 10 K/W from junction to case: 15 to 340 K/W are twice the range.
	require.True(t, suspect(4.9))
	require.False(t, suspect(5.1))
	require.False(t, suspect(329))
	require.True(t, suspect(331))
}

func TestInterceptFinding(t *testing.T) {
	b := mustBench(t, plainPart(t, 0), Meters{TabK: 3, RoomK: 4}) // 2·5 K are within the thermometers
	has := func(offset float64) bool {
		var rows []Row
		for _, v := range []float64{7, 8, 9, 10} {
			rows = append(rows, row(v, 5, 30, 21+offset+50*(v-5)*5/30))
		}
		for _, f := range b.Judge(rows).Findings {
			if strings.Contains(f.Claim, "does not vanish") {
				require.InDelta(t, offset, f.Value, 1e-9)
				require.Zero(t, f.Limit)
				return true
			}
		}
		return false
	}
	require.False(t, has(9.99))
	require.True(t, has(10.01))
	require.True(t, has(-10.01))
}

func TestOutputFromHeatTies(t *testing.T) {
	b := mustBench(t, plainPart(t, 0), Meters{})
	r := NewRow()
	r.InputV, r.LoadOhm = 8.2, 30
	// The upper root at the very edge of the band, 5.2 V, and just beyond.
	r.OwnW = (8.2 - 5.2) * 5.2 / 30
	require.InDelta(t, 5.2, b.judge(r).Row.OutputV, 1e-6)
	r.OwnW = (8.2 - 5.21) * 5.21 / 30
	require.InDelta(t, 8.2-5.21, b.judge(r).Row.OutputV, 1e-9)
	for _, missing := range []func(r *Row){func(r *Row) { r.OwnW = math.NaN() }, func(r *Row) { r.LoadOhm = math.NaN() }, func(r *Row) { r.InputV = math.NaN() }} {
		x := r
		missing(&x)
		v := b.judge(x)
		require.False(t, v.Derived)
		require.Equal(t, CannotTell, v.State)
	}
}

func TestRowLimit(t *testing.T) {
	text := func(n int) string { return "input V,output V,load ohm\n" + strings.Repeat("9,5,30\n", n) }
	rows, err := ReadTable(strings.NewReader(text(MaxRows)), "t")
	require.NoError(t, err)
	require.Len(t, rows, 2000)
	_, err = ReadTable(strings.NewReader(text(MaxRows+1)), "t")
	require.EqualError(t, err, fmt.Sprintf("t:%d: more than 2000 rows: a bench test has tens; is this a log?", MaxRows+2))
	_, err = ReadTable(strings.NewReader("input V,output V,load ohm\n9,5,"+strings.Repeat("é", 40)+"\n"), "t")
	require.ErrorContains(t, err, `"`+strings.Repeat("é", 40)+`" is no number`)
	_, err = ReadTable(strings.NewReader("input V,output V,load ohm\n9,5,"+strings.Repeat("é", 41)+"\n"), "t")
	require.ErrorContains(t, err, `"`+strings.Repeat("é", 40)+`..." is no number`)
	// A tab within a kelvin below the room is the thermometers' matter.
	_, err = ReadTable(strings.NewReader("input V,output V,load ohm,tab C,room C\n9,5,30,21,22\n"), "t")
	require.NoError(t, err)
	_, err = ReadTable(strings.NewReader("input V,output V,load ohm,tab C,room C\n9,5,30,21,22.1\n"), "t")
	require.ErrorContains(t, err, "swapped")
	_, err = ReadTable(strings.NewReader("input V,output V,load ohm\n9,9,30\n"), "t")
	require.NoError(t, err, "equal is not above")
}

// TestWhatTheCoolingLeavesOut: rows that were not measured, that dissipate
// nothing, that contradict themselves or that limit thermally take no part.
func TestWhatTheCoolingLeavesOut(t *testing.T) {
	b := mustBench(t, plainPart(t, 160), Meters{TabK: 1})
	good := []Row{row(7, 5, 30, 40), row(9, 5, 30, 55), row(11, 5, 30, 70)}
	alone := b.Judge(good)
	require.Equal(t, 3, alone.Cooling.Rows)
	require.Contains(t, finding(t, alone, "resistance from tab").Reason,
		fmt.Sprintf("%.1f ± %.1f K/W from 3 rows", alone.Cooling.CaseAmbientKPerW, 2*alone.Cooling.CaseAmbientErrKPerW))
	derived := row(9, math.NaN(), 30, 60)
	derived.OwnW = 0.5
	idle := row(5, 5, 30, 30)
	broken := row(5, 6, 30, 60)
	broken.LoadA = 1
	noRoom := row(9, 5, 30, 90)
	noRoom.RoomC = math.NaN()
	for name, r := range map[string]Row{"derived": derived, "idle": idle, "broken": broken, "limiting": row(11, 4.5, 10, 150), "no room": noRoom, "no tab": row(9, 5, 30, math.NaN())} {
		require.Equal(t, fmt.Sprint(alone.Cooling), fmt.Sprint(b.Judge(append(append([]Row(nil), good...), r)).Cooling), name)
	}
	// What follows a short circuit takes no part either.
	require.Equal(t, fmt.Sprint(alone.Cooling), fmt.Sprint(b.Judge(append(append([]Row(nil), good...), row(9, 8.9, 30, 60), row(9, 5, 30, 99))).Cooling))
}

func TestHottestRowSpeaks(t *testing.T) {
	b := mustBench(t, plainPart(t, 0), Meters{})
	rows := []Row{row(7, 5, 30, 40), row(11, 5, 30, 90), row(9, 5, 30, 55), row(9, 5, 30, math.NaN())}
	for i := range rows {
		rows[i].Line = i + 2
	}
	f := finding(t, b.Judge(rows), "junction")
	require.InDelta(t, 100, f.Value, 1e-9)
	require.Equal(t, 125.0, f.Limit)
	require.Contains(t, f.Reason, "line 3: between 100 and 100 °C by a tab of 90 °C, 1.00 W")
	require.Contains(t, f.Reason, "misses 27 %")
}

func TestMissingIsNamedOnlyIfMissing(t *testing.T) {
	b := mustBench(t, plainPart(t, 0), Meters{})
	has := func(rep Report, what string) bool { return strings.Contains(strings.Join(rep.Missing, ";"), what) }
	rep := b.Judge([]Row{row(14, 4.5, 30, 60)})
	require.False(t, has(rep, "in dropout"))
	require.False(t, has(rep, "input and output voltage"))
	require.True(t, has(rep, "3 more rows"))
	rep = b.Judge([]Row{row(5, 3.8, 30, 30), row(8, 5, 30, 30)})
	require.False(t, has(rep, "in dropout"), "one row regulates")
	require.False(t, has(rep, "makes its promise"))
	rep = b.Judge([]Row{row(5, 3.8, 30, 30)})
	require.True(t, has(rep, "in dropout"))
}

func TestShortOfALowDropoutPart(t *testing.T) {
	reg, err := power.NewLinear(power.LinearSpec{SetV: 3.3, BandPct: 3, DropoutV: 0.05, MaxInputV: 6, CurrentLimitA: 0.25})
	require.NoError(t, err)
	perfect := mustBench(t, Part{Linear: reg}, Meters{})
	coarse := mustBench(t, Part{Linear: reg}, Meters{VoltFloorV: 0.01 * math.Sqrt(3)}) // 0.02 V, 0.0283 V for a difference
	for _, c := range []struct {
		b       *Bench
		in, out float64
		state   State
		how     Strength
	}{
		{perfect, 4, 3.951, PassElementShorted, Sound}, {perfect, 4, 3.949, OutOfSpec, Weak},
		{coarse, 4, 3.979, PassElementShorted, Sound}, {coarse, 4, 3.978, PassElementShorted, Weak},
		{coarse, 4, 3.922, PassElementShorted, Weak}, {coarse, 4, 3.921, OutOfSpec, Weak},
		{coarse, 3.42, 3.41, Regulating, Weak}, // at the edge of the band, 3.399 V, however near the input
	} {
		r := NewRow()
		r.InputV, r.OutputV, r.LoadA = c.in, c.out, 0.1
		v := c.b.judge(r)
		require.Equal(t, []any{c.state, c.how}, []any{v.State, v.Strength}, "%g V: %s", c.out, v.Reason)
	}
}

func TestLimitingBeyondThePromise(t *testing.T) {
	// Above the promised input too, a row that holds its temperature is no
	// riddle: junction between 150 and 160 °C by the readings.
	b := mustBench(t, plainPart(t, 160), Meters{})
	rows := []Row{row(13, 4.6, 20, 134), row(14, 4.4, 20, 133)}
	require.Equal(t, BeyondSheet, b.judge(rows[1]).State)
	v := b.Judge(rows).Rows[1]
	require.Equal(t, []any{ThermallyLimiting, Sound}, []any{v.State, v.Strength})
	// A regulating row is never put down to heat, not even at the band's edge.
	edge := mustBench(t, plainPart(t, 160), Meters{VoltFloorV: 0.05 * math.Sqrt(3)})
	at := edge.Judge([]Row{row(10, 5.1, 20, 150), row(11, 4.75, 20, 150)}).Rows[1]
	require.Equal(t, []any{Regulating, Weak}, []any{at.State, at.Strength})
	rows[1].OutputV, rows[0].OutputV = 4.9, 5.1
	require.Equal(t, Regulating, b.Judge(rows).Rows[1].State)
}

func TestASoundRowSpeaksFirst(t *testing.T) {
	b := mustBench(t, plainPart(t, 0), Meters{VoltFloorV: 0.05 * math.Sqrt(3)})
	weak, sound := row(9, 4.65, 30, 30), row(10, 4.3, 30, 30)
	weak.Line, sound.Line = 2, 3
	require.Equal(t, []Strength{Weak, Sound}, []Strength{b.judge(weak).Strength, b.judge(sound).Strength})
	require.True(t, strings.HasPrefix(b.Judge([]Row{weak, sound}).Reason, "line 3: "))
	require.True(t, strings.HasPrefix(b.Judge([]Row{weak}).Reason, "line 2: "))
	// A row of another state does not speak at all.
	good := row(9, 5, 30, 30)
	good.Line = 1
	require.True(t, strings.HasPrefix(b.Judge([]Row{good, weak, sound}).Reason, "line 3: "))
}

func TestContactErrorIsStated(t *testing.T) {
	b := mustBench(t, plainPart(t, 0), Meters{ContactErrorRatio: 0.25})
	require.Contains(t, finding(t, b.Judge([]Row{row(11, 5, 30, 61)}), "junction").Reason, "a contact that misses up to 25 % of the rise")
}

func TestEveryUnit(t *testing.T) {
	for _, c := range []struct {
		column, cell string
		get          func(r Row) float64
		want         float64
	}{
		{"tab C", "42.5", func(r Row) float64 { return r.TabC }, 42.5}, {"tab °C", "42.5", func(r Row) float64 { return r.TabC }, 42.5},
		{"tab degC", "42.5", func(r Row) float64 { return r.TabC }, 42.5}, {"room c", "20", func(r Row) float64 { return r.RoomC }, 20},
		{"dwell s", "90", func(r Row) float64 { return r.DwellS }, 90}, {"dwell min", "1.5", func(r Row) float64 { return r.DwellS }, 90},
		{"own W", "2", func(r Row) float64 { return r.OwnW }, 2}, {"own mW", "2", func(r Row) float64 { return r.OwnW }, 0.002},
		{"current A", "0.2", func(r Row) float64 { return r.LoadA }, 0.2}, {"current mA", "200", func(r Row) float64 { return r.LoadA }, 0.2},
	} {
		rows, err := ReadTable(strings.NewReader("input V,output V,load ohm,"+c.column+"\n9,5,30,"+c.cell+"\n"), "t")
		require.NoError(t, err)
		require.InDelta(t, c.want, c.get(rows[0]), 1e-12, c.column)
	}
	for unit, want := range map[string]float64{"ohm": 30, "ohms": 30, "Ω": 30, "kohm": 30e3, "kΩ": 30e3} {
		rows, err := ReadTable(strings.NewReader("input V,output V,load "+unit+"\n9,5,30\n"), "t")
		require.NoError(t, err)
		require.InDelta(t, want, rows[0].LoadOhm, 1e-9, unit)
	}
}

// TestTimeConstantByFTest holds the decision whether a time constant shows
// against the table value of the F distribution, F(0.95; 1, 6) = 5.987, over
// records of eight rows between plainly settled and plainly not.
func TestTimeConstantByFTest(t *testing.T) {
	b := mustBench(t, plainPart(t, 0), Meters{})
	rnd := rand.New(rand.NewSource(12))
	known, near := 0, 0
	for range 4000 {
		rows := make([]thermalRow, 8)
		tau := 15 + 25*rnd.Float64()
		rise := 0.0
		for i := range rows {
			w := 0.2 + rnd.Float64()
			a := math.Exp(-100 / tau)
			rise = a*rise + (1-a)*50*w
			rows[i] = thermalRow{i, rise + 0.5*rnd.NormFloat64(), w, 100}
		}
		base := make([]float64, 8)
		_, settled := fitTheta(rows, 0, base)
		_, moving, ok := searchTau(rows, base)
		f := (settled - moving) / (moving / 6)
		want := ok && f > 5.987 && settled-moving > 0.01
		if math.Abs(f-5.987) < 0.8 {
			near++
		}
		c := b.fitCooling(rows)
		if math.Abs(f-5.987) > 0.001 {
			require.Equal(t, want, c.TauKnown, "F = %g", f)
		}
		if c.TauKnown {
			known++
			require.InDelta(t, math.Sqrt(moving/6), c.ScatterK, 1e-9, "two numbers were fitted")
		} else {
			require.InDelta(t, math.Sqrt(settled/7), c.ScatterK, 1e-9, "one number was fitted")
		}
	}
	require.Greater(t, known, 400)
	require.Greater(t, 4000-known, 400)
	require.Greater(t, near, 50, "the decision was tried where it is close")
	rows := []thermalRow{{0, 20, 0.4, 100}, {1, 40, 0.9, 0}, {2, 45, 0.9, 100}, {3, 46, 0.9, 100}}
	require.False(t, b.fitCooling(rows).TauKnown, "a dwell of nothing is no dwell")
	// A gain of a tenth of a kelvin in all is lost in any thermometer.
	var tiny []thermalRow
	rise := 0.0
	for i, w := range []float64{0.01, 0.02, 0.005, 0.03, 0.01, 0.02} {
		rise = math.Exp(-1.5)*rise + (1-math.Exp(-1.5))*5*w
		tiny = append(tiny, thermalRow{i, rise, w, 150})
	}
	require.False(t, b.fitCooling(tiny).TauKnown)
}

func TestNumbersInTexts(t *testing.T) {
	p := plainPart(t, 0)
	p.LineRegulationV = 0.010
	b := mustBench(t, p, Meters{})
	rep := b.Judge([]Row{row(8, 5.1, 50, 40), row(10.5, 5.075, 50, 50)})
	require.Contains(t, finding(t, rep, "line").Reason,
		"the output moved by 25 mV over inputs of 8 to 10.5 V; line, load, temperature and heat of the sheet together allow 10 mV in a slow test, and the meter may move by 0 mV")
	swing := b.Judge([]Row{row(8, 5.2, 50, 40), row(9, 4.8, 50, 40)})
	p.LineRegulationV = 2.4
	require.Contains(t, finding(t, swing, "line").Reason, "the output moved by 400 mV")
	swing = mustBench(t, p, Meters{VoltFloorV: 0.5 * math.Sqrt(3)}).Judge([]Row{row(8, 5, 50, 40), row(9, 5, 50, 40)})
	require.Contains(t, finding(t, swing, "line").Reason, "allow 2400 mV in a slow test, and the meter may move by 1414 mV")
	p.LineRegulationV = 0.010
	v := b.judge(row(5.5, 3.9, 30, 25))
	require.Equal(t, "the output is 1.6 V below the input at 0.13 A; the sheet allows 1.25 V", v.Reason)
	v = b.judge(row(5.5, 4.3, 30, 25))
	require.Equal(t, "the input of 5.5 V is below the 6.05 V needed, and the difference of 1.2 V within the dropout of 1.25 V: no fault, and no evidence on regulation", v.Reason)
	// Nothing is said of contact where it is taken as perfect.
	require.NotContains(t, finding(t, rep, "resistance from tab").Reason, "contact error")
	require.NotContains(t, finding(t, rep, "resistance from tab").Reason, "time constant of")
	// A zero resistance from junction to case is one not given.
	p.JunctionCaseLowKPerW, p.JunctionCaseHighKPerW = 0, 0
	none := mustBench(t, p, Meters{}).Judge([]Row{row(8, 5.1, 50, 40), row(10.5, 5.075, 50, 50)})
	require.True(t, math.IsNaN(none.Cooling.JunctionAmbientLowKPerW))
	require.True(t, math.IsNaN(none.Rows[0].JunctionHighC))
	p = plainPart(t, 0)
	p.JunctionCaseLowKPerW, p.JunctionCaseHighKPerW = 0, 0.5
	some := mustBench(t, p, Meters{}).Judge([]Row{row(8, 5.1, 50, 40), row(10.5, 5.075, 50, 50)})
	require.False(t, math.IsNaN(some.Cooling.JunctionAmbientLowKPerW))
	require.False(t, math.IsNaN(some.Rows[0].JunctionHighC))
	// Five of many slips are listed, and the fifth is not "more".
	five := make([]Row, 5)
	for i := range five {
		five[i] = row(12, 5, 30, 50)
		five[i].OwnW = 2
	}
	require.NotContains(t, finding(t, b.Judge(five), "power figures").Reason, "more")
	require.Contains(t, finding(t, b.Judge(append(five, five[0])), "power figures").Reason, "and 1 more")
	odd := row(12, 5, 30, 50)
	odd.OwnW = 1.4
	require.Equal(t, Weak, finding(t, b.Judge([]Row{odd}), "power figures: not explained").Strength)
}
