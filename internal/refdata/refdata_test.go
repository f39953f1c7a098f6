package refdata

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

var keys = Sources{"book": {{"General", Published}}}

func TestParseRefuses(t *testing.T) {
	const head = "x,y,tol,tolwhy,source\n"
	for name, c := range map[string]struct{ text, says string }{
		"empty file":      {"", "no header"},
		"no rows":         {head, "no rows"},
		"no source col":   {"x,y,tol,tolwhy\n1,2,0,exact\n", `no column "source"`},
		"no tolerance":    {"x,y,tolwhy,source\n1,2,exact,book\n", `no column "tol"`},
		"empty source":    {head + "1,2,0,exact,\n", "the source is empty"},
		"unknown source":  {head + "1,2,0,exact,pamphlet p. 3\n", `"pamphlet" is not in`},
		"empty reason":    {head + "1,2,0,,book p. 3\n", "every tolerance has a reason"},
		"short row":       {head + "1,2,0\n", "wrong number of fields"},
		"only a comment":  {"# nothing\n", "no header"},
		"row after notes": {"# note\n" + head + "# note\n1,2,0,,book\n", "f.csv:4"},
	} {
		t.Run(name, func(t *testing.T) {
			_, err := parse(strings.NewReader(c.text), "f.csv", keys)
			require.ErrorContains(t, err, c.says)
		})
	}
}

// recorder stands in for a failing test.
type recorder struct{ said []string }

func (r *recorder) Helper()                      {}
func (r *recorder) Errorf(f string, args ...any) { r.said = append(r.said, fmt.Sprintf(f, args...)) }
func (r *recorder) Fatalf(f string, args ...any) { r.said = append(r.said, fmt.Sprintf(f, args...)) }

func row(t *testing.T, text string) (*Row, *recorder) {
	t.Helper()
	tab, err := parse(strings.NewReader(text), "f.csv", keys)
	require.NoError(t, err)
	rec := &recorder{}
	tab.rows[0].tb = rec
	return tab.rows[0], rec
}

func TestCheckComparesWithinTolerance(t *testing.T) {
	for name, c := range map[string]struct {
		cells string
		got   float64
		fails bool
	}{
		"inside":                 {"1,2,0.1,rounding,book", 2.09, false},
		"just at the end":        {"1,2,0.5,rounding,book", 2.5, false},
		"outside":                {"1,2,0.1,rounding,book", 2.11, true},
		"percent inside":         {"1,200,1%,stated,book", 201.9, false},
		"percent outside":        {"1,200,1%,stated,book", 202.1, true},
		"NaN is no match":        {"1,2,0.1,rounding,book", math.NaN(), true},
		"expected NaN":           {"1,NaN,0,undefined there,book", math.NaN(), false},
		"number for NaN":         {"1,NaN,0,undefined there,book", 3, true},
		"infinite as expected":   {"1,Inf,0,limit,book", math.Inf(1), false},
		"no value in the source": {"1,,0.1,rounding,book", 99, false},
		"negative tolerance":     {"1,2,-1,rounding,book", 2.5, true},
		"tolerance not a number": {"1,2,small,rounding,book", 2.5, true},
	} {
		t.Run(name, func(t *testing.T) {
			r, rec := row(t, "x,y,tol,tolwhy,source\n"+c.cells+"\n")
			r.Check("y", c.got, "f(1)")
			require.Equal(t, c.fails, len(rec.said) > 0, rec.said)
		})
	}
}

func TestFailureSaysEverything(t *testing.T) {
	r, rec := row(t, "x,y,tol,tolwhy,source\n1,2,0.5,half a unit,book Table 3\n")
	r.Check("y", 3, "f(1)")
	require.Len(t, rec.said, 1)
	for _, part := range []string{"f.csv:2", "f(1) = 3", "y = 2 ± 0.5", "half a unit", "book Table 3"} {
		require.Contains(t, rec.said[0], part)
	}
}

func TestOwnToleranceOfAColumn(t *testing.T) {
	r, rec := row(t, "y,z,tol,tolwhy,z_tol,z_tolwhy,source\n2,5,0.1,rounding,1,stated,book\n")
	r.Check("z", 5.9, "f")
	require.Empty(t, rec.said)
	r.Check("y", 2.9, "f")
	require.Len(t, rec.said, 1)
}

func TestEachFindsUnreadColumns(t *testing.T) {
	tab, err := parse(strings.NewReader("x,y,tol,tolwhy,source\n1,2,0,exact,book\n"), "f.csv", keys)
	require.NoError(t, err)
	rec := &recorder{}
	for _, r := range tab.rows {
		r.tb = rec
		r.Check("y", 2, "f")
	}
	require.False(t, tab.read["x"])
	require.True(t, tab.read["y"])
}

func TestEachOnTheModulesOwnFile(t *testing.T) {
	n := 0
	Each(t, "refdata/square", func(r *Row) {
		n++
		x := r.F("x")
		r.Check("square", x*x, fmt.Sprintf("%g*%g", x, x))
	})
	require.Equal(t, 2, n)
	rec := &recorder{}
	Each(rec, "refdata/square", func(r *Row) { r.F("x") })
	require.Len(t, rec.said, 2, "tol and square are unread: %v", rec.said)
	rec = &recorder{}
	Each(rec, "refdata/absent", func(*Row) {})
	require.Len(t, rec.said, 1)
}

func TestAskingForWhatIsNotThere(t *testing.T) {
	r, rec := row(t, "x,y,tol,tolwhy,source\none,2,0,exact,book\n")
	r.F("x")
	require.Contains(t, rec.said[0], `holds "one", not a number`)
	r.S("w")
	require.Contains(t, rec.said[1], `no column "w"`)
}
