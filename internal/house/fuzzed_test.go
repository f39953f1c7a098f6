package house

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// TestEverythingIsFuzzed runs all fuzz targets on their seeds and asks of the
// cover profile that each exported function with an input is reached by a
// target of its own package, and to its end. Exceptions stand in fuzzed.txt
// with the reason.
func TestEverythingIsFuzzed(t *testing.T) {
	if testing.Short() {
		t.Skip("builds the tests of all packages once more, to measure them")
	}
	var packages []string
	var all []callable
	for path, p := range list(t) {
		rel, ok := strings.CutPrefix(path, module+"/")
		if !ok || strings.HasPrefix(rel, "internal/") || strings.Contains(rel, "/internal/") || strings.HasPrefix(rel, "examples/") {
			continue
		}
		packages = append(packages, path)
		found, err := callables(path, p.Dir)
		require.NoError(t, err)
		all = append(all, found...)
	}
	except, err := exceptions("fuzzed.txt", 2)
	require.NoError(t, err)
	blocks, err := runTargets("../..", filepath.Join(t.TempDir(), "cover.out"), packages)
	require.NoError(t, err)
	t.Logf("%d exported functions with an input in %d packages, %d exceptions", len(all), len(packages), len(except))
	for _, c := range unreached(all, blocks, except) {
		t.Error(c)
	}
}

// What counts as reached, and what need not be, on a package with every sort of
// function.
func TestCallables(t *testing.T) {
	dir := t.TempDir()
	require.NoError(t, os.WriteFile(filepath.Join(dir, "a.go"), []byte(`package a

type T struct{ x, y float64 }
type u struct{}

func New(x float64) (T, error) {
	if x < 0 {
		return T{}, errNegative
	}
	return T{x, x}, nil
}
func Table() []float64           { return []float64{1} }
func (t T) X() (x, y float64)    { return t.x, t.y }
func (t *T) Twice() float64      { return 2 * t.x }
func (t T) At(i int) float64     { return t.x }
func (t T) String() string       { return "T" }
func (t T) Nothing(x float64)    {}
func (u) Hidden(x float64) error { return nil }
func helper(x float64) float64   { return x }
`), 0o600))
	all, err := callables("m/a", dir)
	require.NoError(t, err)
	var names []string
	for _, c := range all {
		names = append(names, c.name)
	}
	require.Equal(t, []string{"New", "T.Twice", "T.At"}, names)
	blocks := map[string][]block{}
	for _, line := range []string{
		"m/a/a.go:6.32,7.11 1 1", "m/a/a.go:7.11,9.3 1 1", "m/a/a.go:10.2,10.21 1 0", // New only refuses
		"m/a/a.go:14.34,14.50 1 5", "m/a/a.go:15.34,15.46 1 0",
	} {
		file, b, err := parseBlock(line)
		require.NoError(t, err)
		blocks[file] = append(blocks[file], b)
	}
	require.Equal(t, []string{
		"m/a.New: the fuzz targets of its package enter it, but no seed comes to its end",
		"m/a.Other: the exception is not needed",
	}, unreached(all, blocks, map[string]string{"m/a.T.At": "only read", "m/a.Other": "gone"}))
	require.Contains(t, unreached(all, blocks, nil), "m/a.T.At: no fuzz target of its package reaches it")
	for _, bad := range []string{"", "mode", "a.go:x,y 1 1", "a.go:1.x,2.2 1 1"} {
		_, _, err := parseBlock(bad)
		require.Error(t, err, bad)
	}
}
