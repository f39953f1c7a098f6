package main

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"github.com/stationphysics/stationphysics/internal/refdata"
)

// planted sources: a book that was read, a library, a memory.
func plantedSources(t *testing.T) refdata.Sources {
	t.Helper()
	s, err := refdata.ReadSources("testdata/sources.md")
	require.NoError(t, err)
	return s
}

// planted is a comparison in line n of one column, off by so much.
func planted(n int, off, tol float64) refdata.Comparison {
	return refdata.Comparison{
		Package: "solar/sky", File: "testdata/solar/sky/mass.csv", Line: n, Column: "airMass",
		Got: refdata.Number(10 + off), Want: 10, Tol: refdata.Number(tol), Why: "half a digit", Source: "book table 3",
	}
}

func TestWorstIsLargestInUnitsOfItsTolerance(t *testing.T) {
	rows := []refdata.Comparison{planted(2, 0.5, 1), planted(3, -0.09, 0.1), planted(4, 0.95, 1.1)}
	for range 3 {
		rows = append(rows[1:], rows[0])
		q, err := summarise(rows, plantedSources(t))
		require.NoError(t, err)
		require.Len(t, q, 1)
		require.Equal(t, 3, q[0].worst.Line)
		require.InDelta(t, 0.09, q[0].deviation, 1e-12)
		require.Equal(t, 0.9, q[0].share)
		require.False(t, q[0].rounding)
		require.Equal(t, 3, q[0].checks[refdata.Published])
	}
}

// Two that are alike to two digits: the earlier row, so that the last bits of a
// processor do not decide.
func TestOfEqualSharesTheFirstRow(t *testing.T) {
	rows := []refdata.Comparison{planted(9, 0.5004, 1), planted(4, 0.4996, 1), planted(7, 0.5001, 1)}
	for range 3 {
		rows = append(rows[1:], rows[0])
		q, err := summarise(rows, plantedSources(t))
		require.NoError(t, err)
		require.Equal(t, 4, q[0].worst.Line)
		require.Equal(t, 0.5, q[0].share)
	}
}

func TestAValueCountsOnceAndByItsKind(t *testing.T) {
	again, other, library, memory, column := planted(2, 0.3, 1), planted(3, 0, 1), planted(4, 0, 1), planted(5, 0, 1), planted(2, 0, 1)
	other.Package = "solar"
	library.Source = "library"
	memory.Source = "book table 4, from memory"
	column.Column = "depth"
	q, err := summarise([]refdata.Comparison{planted(2, 0.1, 1), again, other, library, memory, column}, plantedSources(t))
	require.NoError(t, err)
	require.Len(t, q, 3)
	require.Equal(t, []string{"solar", "solar/sky", "solar/sky"}, []string{q[0].pkg, q[1].pkg, q[2].pkg})
	require.Equal(t, []string{"airMass", "depth"}, []string{q[1].column, q[2].column})
	require.Equal(t, [refdata.Kinds]int{refdata.Published: 1, refdata.Independent: 1, refdata.FromMemory: 1}, q[1].checks)
	require.Equal(t, 0.3, q[1].share, "the larger of two comparisons with one value")
	require.Equal(t, [refdata.Kinds]int{refdata.Published: 1}, q[0].checks)
}

func TestWhatCannotStandIsRefused(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	for name, c := range map[string]struct{ got, want, tol float64 }{
		"a result that is no number":    {nan, 10, 1},
		"no number expected, but one":   {10, nan, 1},
		"above its tolerance":           {11.1, 10, 1},
		"not exact":                     {10.000001, 10, 0},
		"a tolerance that is no number": {10.1, 10, nan},
		"infinite":                      {inf, 10, 1},
		"the wrong infinity":            {inf, -inf, 1},
		"an infinite tolerance":         {10.1, 10, inf},
	} {
		row := planted(2, 0, 1)
		row.Got, row.Want, row.Tol = refdata.Number(c.got), refdata.Number(c.want), refdata.Number(c.tol)
		_, err := summarise([]refdata.Comparison{planted(1, 0, 1), row}, plantedSources(t))
		require.ErrorContains(t, err, "testdata/solar/sky/mass.csv:2: airMass: ", name)
	}
	row := planted(2, 0, 1)
	row.Source = "pamphlet"
	_, err := summarise([]refdata.Comparison{row}, plantedSources(t))
	require.EqualError(t, err, `testdata/solar/sky/mass.csv:2: source "pamphlet" is not in testdata/SOURCES.md`)
}

func TestRoundingIsNoDeviation(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	for name, c := range map[string]struct {
		got, want, tol float64
		share          float64
	}{
		"equal":                          {10, 10, 0, 0},
		"no number, as expected":         {nan, nan, 0, 0},
		"infinite, as expected":          {-inf, -inf, 1, 0},
		"1e-11 of the value":             {10 + 0.9e-10, 10, 1e-10, 0},
		"more than 1e-11 of the value":   {10 - 1.1e-10, 10, 1e-9, 0.11},
		"1e-4 of the tolerance":          {0.9e-4, 0, 1, 0},
		"more than 1e-4":                 {1.1e-4, 0, 1, 1.1e-4},
		"a small value, last bits":       {1e-15 * (1 + 5e-12), 1e-15, 1e-26, 0},
		"a small value, half a digit":    {1e-15 + 1.5e-24, 1e-15, 3e-24, 0.5},
		"the size counts, not the sense": {-10.25, -10, 1, 0.25},
	} {
		row := planted(2, 0, 1)
		row.Got, row.Want, row.Tol = refdata.Number(c.got), refdata.Number(c.want), refdata.Number(c.tol)
		q, err := summarise([]refdata.Comparison{row}, plantedSources(t))
		require.NoError(t, err, name)
		require.InEpsilon(t, 1+c.share, 1+q[0].share, 1e-9, name)
		require.Equal(t, c.share == 0, q[0].rounding, name)
	}
	// One row beyond rounding is enough.
	q, err := summarise([]refdata.Comparison{planted(2, 0, 1), planted(3, 0.2, 1), planted(4, 0, 1)}, plantedSources(t))
	require.NoError(t, err)
	require.False(t, q[0].rounding)
	require.Equal(t, 3, q[0].worst.Line)
}
