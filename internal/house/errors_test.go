package house

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"github.com/stationphysics/stationphysics/internal/house/host"
)

// TestEveryErrorIsShown finds every place in the library's source where an
// error comes from, runs the tests of all packages on a copy of the source that
// notes each error made and returned, and asks of every place:
//
//   - a test of the library causes its error, and an exported function returns
//     it, or takes its text as a reason into a result;
//   - each text that was seen names every quantity with its value and unit, and
//     the range that does not hold the value or the rule that is broken.
//
// Places are the literals of error types, errors.New, fmt.Errorf, the uses of
// errors kept in variables, each limit.Range and each value held to one, each
// call of a helper that is given the words, and calls out of the module whose
// error is kept. What a comment promises is not read, and texts without
// numbers are not judged for sense: -v prints all of them, with the call that
// caused each.
func TestEveryErrorIsShown(t *testing.T) {
	if testing.Short() {
		t.Skip("runs all tests of the library once more")
	}
	host.Only(t)
	s, err := surveyModule("../..", func(rel string) bool {
		return strings.HasPrefix(rel, "internal/house") || rel == "internal/refdata" || rel == "internal/limit/limittest" // only tests use them
	})
	require.NoError(t, err)
	except, err := exceptions("errors.txt", 3)
	require.NoError(t, err)
	seen, err := s.runTests(t.TempDir())
	require.NoError(t, err)
	n := map[placeKind]int{}
	for _, p := range s.places {
		n[p.Kind]++
	}
	t.Logf("%d places: %v", len(s.places), n)
	for _, c := range s.judge(seen, except, func(text string) {
		if testing.Verbose() {
			t.Log(text)
		}
	}) {
		t.Error(c)
	}
}

// The survey tells what is shown from what is not, in a small module that has
// every sort of place.
func TestSurveyFindsWhatIsNotShown(t *testing.T) {
	root := t.TempDir()
	for to, from := range map[string]string{
		"errors.go": "../../errors.go", "internal/limit/limit.go": "../limit/limit.go", "internal/house/witness/witness.go": "witness/witness.go",
		"a/a.go": "testdata/places/a.go", "a/a_test.go": "testdata/places/a_test.go",
	} {
		b, err := os.ReadFile(from)
		require.NoError(t, err)
		require.NoError(t, os.MkdirAll(filepath.Dir(filepath.Join(root, to)), 0o700))
		require.NoError(t, os.WriteFile(filepath.Join(root, to), b, 0o600))
	}
	require.NoError(t, os.WriteFile(filepath.Join(root, "go.mod"), []byte("module "+module+"\n\ngo 1.24.0\n"), 0o600))
	s, err := surveyModule(root, func(rel string) bool { return strings.HasPrefix(rel, "internal/house") })
	require.NoError(t, err)
	seen, err := s.runTests(t.TempDir())
	require.NoError(t, err)
	var shown []string
	complaints := s.judge(seen, map[string]string{"a/a.go | os.Remove(path)": "only read", "a/a.go | b": "needless"}, func(text string) { shown = append(shown, text) })
	require.ElementsMatch(t, []string{
		`a/a.go:60: an error about a number is a RangeError or a ConflictError`,
		`a/a.go:15: width has no unit: "width 12 is outside 0..10"`,
		`a/a.go:16: the unit feet is not one of the module's: "depth of the well 11 feet is outside 0..10 feet"`,
		`a/a.go:38: conflict("swallowed"): made, but no exported function returned it`,
		`a/a.go:44: conflict("never"): no test causes it`,
		`a/a.go:40: a quantity without a name: "a 1 V and  2 V contradict each other: a rule"`,
		`a/a.go:40: not a line of text: "a 1 V and  2 V contradict each other: a rule"`,
		`a/a.go:50: a quantity without a name: "a 1 V and  2 V contradict each other: as a reason"`,
		`a/a.go:50: not a line of text: "a 1 V and  2 V contradict each other: as a reason"`,
		`a/a.go:57: the range holds the value: "voltage 3 V is outside 0..5 V"`,
		`a/a.go:64: the text begins with the name of a package, others do not: "a: cannot be opened"`,
		`a/a.go | b: the exception is not needed`,
	}, complaints)
	all := strings.Join(shown, "\n")
	require.Contains(t, all, "a/a.go:14 range\n\ta.Sides(11, 11)\n\theight 11 m is outside 0..10 m")
	require.Contains(t, all, "a/a.go:26 name\n\ta.Depth(11)\n\twell: depth of the well 11 feet is outside 0..10 feet")
	require.Contains(t, all, "a/a.go:35 kept\n\ta.Kept()\n\tkept in a variable")
	require.NotContains(t, all, "a/a.go:17", "a range that is only asked makes no error")
	require.Contains(t, all, "a/a.go:66 other\n\tnever: only read")
}
