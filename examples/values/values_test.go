package main

import (
	"errors"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"github.com/stretchr/testify/require"
)

// everything is computed once: it takes a while in an emulator.
var everything = sync.OnceValues(all)

// Every physics package of the module has its numbers, and few of them are NaN:
// those where a quantity is not defined.
func TestEveryPhysicsPackageIsThere(t *testing.T) {
	numbers, err := everything()
	require.NoError(t, err)
	count, defined := map[string]int{}, map[string]int{}
	for _, n := range numbers {
		count[n.pkg]++
		if !math.IsNaN(n.value) {
			defined[n.pkg]++
		}
		require.NotContains(t, n.name, "\n")
		require.NotContains(t, n.name, "\t")
	}
	want := []string{"station"}
	for _, family := range []string{"psychro", "baro", "solar", "power", "thermal", "battery", "wind", "rain"} {
		err := filepath.WalkDir(filepath.Join("../..", family), func(path string, d os.DirEntry, err error) error {
			if err != nil {
				return err
			}
			if code, _ := filepath.Glob(filepath.Join(path, "doc.go")); d.IsDir() && len(code) > 0 {
				want = append(want, filepath.ToSlash(strings.TrimPrefix(path, filepath.FromSlash("../../"))))
			}
			return nil
		})
		require.NoError(t, err)
	}
	require.Greater(t, len(want), 20)
	for _, p := range want {
		require.GreaterOrEqual(t, defined[p], 25, "numbers of %s", p)
		require.Greater(t, float64(defined[p]), 0.8*float64(count[p]), "defined ones of %s", p)
		delete(count, p)
	}
	require.Empty(t, count)
}

// What is printed reads back as the same bits, twice alike.
func TestPrintsItsBits(t *testing.T) {
	numbers, err := everything()
	require.NoError(t, err)
	code, out, complaints := invoke()
	require.Zero(t, code)
	require.Empty(t, complaints)
	back, err := read(strings.NewReader(out), "out")
	require.NoError(t, err)
	require.Empty(t, cmp.Diff(numbers, back, cmp.AllowUnexported(number{}), cmpopts.EquateNaNs()))
}

// The year has hours without service, so that what hangs on a threshold is
// compared too.
func TestYearIsHard(t *testing.T) {
	numbers, err := everything()
	require.NoError(t, err)
	at := func(name string) float64 {
		i := slices.IndexFunc(numbers, func(n number) bool { return n.pkg == "station" && n.name == name })
		require.GreaterOrEqual(t, i, 0, name)
		return numbers[i].value
	}
	require.Greater(t, at("year.LostH"), 10.0)
	require.Less(t, at("year.LostH"), 2000.0)
	require.Greater(t, at("year.RestartCount"), 1.0)
	require.Greater(t, at("year.ColdBlockedH"), 1.0)
	require.Greater(t, at("year.Energy.RefusedWh"), 100.0)
}

type shape struct {
	A      float64
	Words  string
	On     bool
	At     time.Time
	Two    [2]float32
	N      uint8
	hidden float64
}

func (s shape) Sum() float64                { return s.A + s.hidden }
func (s shape) Both() (float64, bool)       { return 2 * s.A, s.On }
func (s shape) With(x float64) float64      { return x }
func (s shape) Spec() float64               { return 99 }
func (s shape) Check() error                { return errors.New("never called") }
func (s *shape) Pointed() (changed float64) { return -s.A }

func TestListNamesThePartsOfAResult(t *testing.T) {
	s := shape{A: 1.5, Words: "w", On: true, At: epoch.Add(1500 * time.Millisecond), Two: [2]float32{3, 4}, N: 7, hidden: 0.5}
	var l list
	l.in("p")
	l.add("s", s)
	l.add("list", []shape{{A: 8}}[0].A)
	l.add("no time", time.Time{})
	l.methods("m", s)
	l.methods("pointer", &s)
	l.flat("top", 5)
	require.NoError(t, l.err)
	require.Empty(t, cmp.Diff([]number{
		{"p", "s.A", 1.5}, {"p", "s.On", 1}, {"p", "s.At", 1.5}, {"p", "s.Two[0]", 3}, {"p", "s.Two[1]", 4}, {"p", "s.N", 7},
		{"p", "list", 8}, {"p", "no time", math.NaN()},
		{"p", "m Both", 3}, {"p", "m Both#2", 1}, {"p", "m Sum", 2},
		{"p", "pointer Both", 3}, {"p", "pointer Both#2", 1}, {"p", "pointer Pointed", -1.5}, {"p", "pointer Sum", 2},
		{"p", "~top", 5},
	}, l.numbers, cmp.AllowUnexported(number{}), cmpopts.EquateNaNs()))
}

func TestListRefuses(t *testing.T) {
	var twice list
	twice.in("p")
	twice.add("x", 1.0)
	twice.in("q")
	twice.add("x", 1.0)
	require.NoError(t, twice.err, "the same name in another package")
	twice.add("x", 2.0)
	require.EqualError(t, twice.err, "q x: named twice")

	var m list
	m.in("p")
	m.add("x", map[string]float64{"a": 1})
	require.EqualError(t, m.err, "p x: no number in a map[string]float64")

	var f list
	f.in("p")
	must[float64](&f)(0, errors.New("out of range"))
	must[float64](&f)(0, errors.New("the second"))
	require.EqualError(t, f.err, "p: out of range")
}

func TestSpread(t *testing.T) {
	require.Equal(t, []float64{-1, 0, 1, 2, 3}, spread(-1, 3, 5))
}
