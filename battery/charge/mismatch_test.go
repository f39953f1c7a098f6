package charge

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"github.com/stationphysics/stationphysics/battery"
)

func above(t *testing.T, m Mismatch, cells int, v float64) float64 {
	t.Helper()
	l, err := m.Above(typical(t, 1.5), cells, v, 25)
	require.NoError(t, err)
	return l.AboveV
}

// refused asks for an error, with no numbers beside it.
func refused(t *testing.T, text string, m Mismatch, cell battery.Cell, cells int, stringV float64) {
	t.Helper()
	l, err := m.Above(cell, cells, stringV, 25)
	require.ErrorContains(t, err, text)
	require.Zero(t, l)
}

func TestMismatch(t *testing.T) {
	// Equal cells stand equal; so does a cell alone, and a smaller one that was full together with the others.
	require.InDelta(t, 0, above(t, Mismatch{EqualSoC: 0.5}, 2, 7), 1e-9)
	require.InDelta(t, 0, above(t, Mismatch{EqualSoC: 0.5, CapacityPct: 10}, 1, 3.5), 1e-9)
	require.Less(t, above(t, Mismatch{EqualSoC: 1, CapacityPct: 10}, 2, 7), 0.01)
	// By hand: half a per cent of lead, both cells beyond the last bend but one. The
	// lower one stands on the 0.9833..0.9950 piece, the upper on the last.
	lead := Mismatch{EqualSoC: 0.5, LeadSoC: 0.005}
	up, low := (3.5981-3.4180)/0.005, (3.4180-3.3511)/(0.9950-0.9833)
	// 3.4180 + up (x + 0.005 - 0.995) + 3.4180 + low (x - 0.995) = 7
	x := (7 - 2*3.4180 - up*0.005) / (up + low)
	require.InDelta(t, 3.4180+up*(x+0.005)-3.5, above(t, lead, 2, 7), 1e-9)
	// A cell 2 % smaller, by hand on the same pieces: q Ah/Ah into the larger is
	// q/0.98 into the smaller. Equal at 0.7, it leads by some 0.29/0.98 - 0.29.
	q := (7 - 2*3.4180 + (up+low)*(0.995-0.7)) / (up/0.98 + low)
	require.InDelta(t, 3.4180+up*(0.7+q/0.98-0.995)-3.5, above(t, Mismatch{EqualSoC: 0.7, CapacityPct: 2}, 2, 7), 1e-9)
	// Put together at half charge, one 3 % smaller: it is the fuller one at the end.
	a := above(t, Mismatch{EqualSoC: 0.5, CapacityPct: 3}, 2, 7)
	require.Greater(t, a, 0.05)
	require.Greater(t, above(t, Mismatch{EqualSoC: 0.5, CapacityPct: 3}, 4, 14), a, "more cells push it higher")
	require.Greater(t, above(t, Mismatch{EqualSoC: 0.3, CapacityPct: 3}, 2, 7), a)
	// Leakage works month by month; a balancer takes it back.
	one := Mismatch{EqualSoC: 1, LeakPctPerMonth: 0.5, Days: 30}
	two := one
	two.Days = 60
	require.Greater(t, above(t, two, 2, 7), above(t, one, 2, 7))
	l, err := two.Above(typical(t, 1.5), 2, 7, 25)
	require.NoError(t, err)
	require.InDelta(t, 0.01, l.AheadSoC, 1e-12)
	two.BalanceA, two.BalanceH = 0.00005, 2
	l, err = two.Above(typical(t, 1.5), 2, 7, 25)
	require.NoError(t, err)
	require.InDelta(t, 0.01-0.0001*60/1.5, l.AheadSoC, 1e-12)
	two.BalanceA = 0
	two.LeadSoC, two.LeakPctPerMonth = 0, 0
	l, err = two.Above(typical(t, 1.5), 2, 7, 25)
	require.NoError(t, err)
	require.Zero(t, l.AheadSoC)
	two = Mismatch{EqualSoC: 1, LeakPctPerMonth: 0.5, Days: 60, BalanceH: 1}
	two.BalanceA = 0.05
	require.InDelta(t, 0, above(t, two, 2, 7), 1e-9)

	for text, m := range map[string]Mismatch{
		"lack of capacity": {CapacityPct: 60},
		"state of charge 50 is outside 0..1: percent?": {EqualSoC: 50},
		"state of charge NaN":                          {LeadSoC: math.NaN()},
		"difference of self-discharge":                 {LeakPctPerMonth: -1},
		"days since":                                   {Days: 3651},
		"milliamperes?":                                {BalanceA: 60},
		"hours a day":                                  {BalanceH: 25},
	} {
		refused(t, text, m, typical(t, 1.5), 2, 7)
	}
	half := Mismatch{EqualSoC: 0.5}
	refused(t, "number of cells in series 0", half, typical(t, 1.5), 0, 7)
	refused(t, "voltage of the string", half, typical(t, 1.5), 2, 70)
	bad := typical(t, 1.5)
	bad.R0Ohm = -1
	refused(t, "cell resistance", half, bad, 2, 7)
}
