package refdata

import (
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// output returns what f prints, by way of a file: not every machine has pipes.
func output(t *testing.T, f func()) string {
	t.Helper()
	w, err := os.Create(filepath.Join(t.TempDir(), "out"))
	require.NoError(t, err)
	real := os.Stdout
	os.Stdout = w
	defer func() { os.Stdout = real }()
	f()
	require.NoError(t, w.Close())
	b, err := os.ReadFile(w.Name())
	require.NoError(t, err)
	return string(b)
}

func TestComparisonsAreRecordedWhenAskedFor(t *testing.T) {
	check := func() {
		Each(&recorder{}, "refdata/square", func(r *Row) { r.Check("square", r.F("x")*r.F("x")+0.5, "half too much") })
	}
	t.Setenv(RecordVariable, "")
	require.Empty(t, output(t, check))
	t.Setenv(RecordVariable, "1")
	lines := strings.Split(strings.TrimSpace(output(t, check)), "\n")
	require.Len(t, lines, 2)
	c, ok, err := ParseComparison(lines[0])
	require.NoError(t, err)
	require.True(t, ok)
	require.NotEmpty(t, c.Why)
	require.Equal(t, "arithmetic", c.Source)
	require.Equal(t, c.Want+0.5, c.Got, "a failing comparison is recorded like any other")
	c.Why, c.Source, c.Got, c.Want, c.Tol = "", "", 0, 0, 0
	require.Equal(t, Comparison{Package: "internal/refdata", File: "testdata/refdata/square.csv", Line: c.Line, Column: "square"}, c)
	require.Equal(t, "refdata", c.Folder())
}

func TestRecordsKeepEveryDigit(t *testing.T) {
	for _, v := range []Number{0.1, 1.0 / 3, 5e-324, -2, Number(math.Inf(-1))} {
		want := Comparison{Package: "solar/sky", File: "testdata/solar/sky/a.csv", Line: 7, Column: "airMass", Got: v, Want: v, Tol: 1e-9, Why: "\"half\" a unit\tof\nit", Source: "a, b; c"}
		got, ok, err := ParseComparison("printed before " + strings.TrimSpace(output(t, want.record)))
		require.NoError(t, err)
		require.True(t, ok)
		require.Equal(t, want, got)
	}
	got, _, err := ParseComparison(output(t, Comparison{Got: Number(math.NaN())}.record))
	require.NoError(t, err)
	require.True(t, math.IsNaN(float64(got.Got)))
}

func TestOtherLinesAreNoRecords(t *testing.T) {
	_, ok, err := ParseComparison("--- PASS: TestX (0.00s)")
	require.NoError(t, err)
	require.False(t, ok)
	for _, bad := range []string{"", "{", `{"Got":"many"}`, `{"Got":1}`} {
		_, _, err = ParseComparison(recordMark + bad)
		require.ErrorContains(t, err, "cannot be read")
	}
}
