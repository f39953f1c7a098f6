package house

import (
	"encoding/json"
	"errors"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// families are the physics packages: none imports another family.
var families = []string{"psychro", "baro", "solar", "power", "thermal", "battery", "wind", "rain"}

// small are the packages that a small device carries: no gonum, and nothing in
// their whole build list that works by reflection.
var small = []string{"psychro", "baro", "wind", "rain", "solar"}

type pkg struct {
	ImportPath string
	Dir        string
	Standard   bool
	Imports    []string
	Deps       []string
}

func list(t *testing.T) map[string]pkg {
	t.Helper()
	return listIn(t, "../..", nil, "./...")
}

// listIn gives the packages that a pattern needs, itself included, in a folder and
// an environment of the go command, nil for the one of the test.
func listIn(t *testing.T, dir string, env []string, pattern string) map[string]pkg {
	t.Helper()
	cmd := exec.Command("go", "list", "-deps", "-json=ImportPath,Dir,Standard,Imports,Deps", pattern)
	cmd.Dir = dir
	cmd.Env = env
	out, err := cmd.Output()
	if errors.Is(err, exec.ErrNotFound) {
		t.Skip("the go command is not here: nothing can list the build")
	}
	require.NoError(t, err)
	all := map[string]pkg{}
	dec := json.NewDecoder(strings.NewReader(string(out)))
	for {
		var p pkg
		err := dec.Decode(&p)
		if errors.Is(err, io.EOF) {
			break
		}
		require.NoError(t, err)
		all[p.ImportPath] = p
	}
	require.NotEmpty(t, all)
	return all
}

func family(path string) string {
	rest, ok := strings.CutPrefix(path, module+"/")
	if !ok {
		return ""
	}
	head, _, _ := strings.Cut(rest, "/")
	for _, f := range families {
		if head == f {
			return f
		}
	}
	return ""
}

func TestImportRules(t *testing.T) {
	all := list(t)
	seen := 0
	for path, p := range all {
		if path != module && !strings.HasPrefix(path, module+"/") {
			continue
		}
		seen++
		fam := family(path)
		for _, imp := range p.Imports {
			q := all[imp]
			switch {
			case strings.HasPrefix(imp, "gonum.org/v1/plot"):
				require.Equal(t, module+"/station/report", path, "only station/report draws, but %s imports %s", path, imp)
			case strings.HasPrefix(imp, "github.com/stretchr/") || strings.HasPrefix(imp, "github.com/google/go-cmp"):
				t.Errorf("%s imports %s outside its tests", path, imp)
			}
			if path == module {
				require.True(t, q.Standard, "the root package imports %s", imp)
			}
			if fam == "" || q.Standard {
				continue
			}
			ok := imp == module ||
				imp == module+"/internal/limit" || imp == module+"/internal/numeric" ||
				family(imp) == fam ||
				strings.HasPrefix(imp, "gonum.org/v1/gonum/")
			require.True(t, ok, "%s imports %s: the physics packages stand alone", path, imp)
		}
		if strings.HasPrefix(path, module+"/internal/") {
			for _, imp := range p.Imports {
				require.Empty(t, family(imp), "%s points back up to %s", path, imp)
			}
		}
		if !strings.HasPrefix(path, module+"/station") && !strings.HasPrefix(path, module+"/examples") {
			for _, d := range p.Deps {
				require.False(t, strings.HasPrefix(d, module+"/station"), "%s points back up to %s", path, d)
			}
		}
	}
	require.Greater(t, seen, 3)
	for _, s := range small {
		p, ok := all[module+"/"+s]
		if !ok {
			continue
		}
		for _, d := range p.Deps {
			require.False(t, tooMuch(d), "%s carries %s: too much for a small device", s, d)
		}
	}
}

// tooMuch tells whether a package is none for a small device: gonum, or one that
// works by reflection.
func tooMuch(path string) bool {
	return strings.HasPrefix(path, "gonum.org/") || path == "fmt" || path == "reflect" || strings.HasPrefix(path, "encoding/") ||
		strings.HasPrefix(path, "text/") || path == "net" || strings.HasPrefix(path, "net/") || path == "regexp"
}

func TestEveryNumberNamesItsUnit(t *testing.T) {
	all := list(t)
	checked := 0
	for path, p := range all {
		rel, ok := strings.CutPrefix(path, module+"/")
		if !ok || strings.HasPrefix(rel, "internal/") || strings.HasPrefix(rel, "examples/") {
			continue
		}
		checked++
		t.Run(strings.ReplaceAll(rel, "/", "."), func(t *testing.T) {
			exempt, err := readExemptions(filepath.Join("names", strings.ReplaceAll(rel, "/", ".")+".txt"))
			require.NoError(t, err)
			complaints, err := checkNames(p.Dir, exempt)
			require.NoError(t, err)
			for _, c := range complaints {
				t.Errorf("%s/%s", rel, c)
			}
		})
	}
	if checked == 0 {
		t.Fatal("no package found")
	}
}

func TestNameRule(t *testing.T) {
	dir := t.TempDir()
	require.NoError(t, os.WriteFile(filepath.Join(dir, "a.go"), []byte(`package a
// Good ones.
func DewPointC(tempC, rhPct float64) float64 { return 0 }
func Ratio(albedo float64) (massRatio float64) { return 0 }
type Panel struct {
	Vmp float64 // voltage at maximum power, V
	Imp float64 // current at maximum power
	temp float64
	Series []float64
}
const Gravity = 9.80665
func Bad(temp float64) float64 { return 0 }
func Unnamed(float64) {}
func (p *Panel) Power() (w, heatW float64) { return }
func unexported(x float64) float64 { return x }
type hidden struct{ X float64 }
`), 0o600))
	exempt := map[string]*exemption{"Vmp": {unit: "V"}, "Imp": {unit: "A at"}, "Old": {unit: "V"}}
	got, err := checkNames(dir, exempt)
	require.NoError(t, err)
	require.ElementsMatch(t, []string{
		"a.go:7: Panel.Imp is a trade symbol: its comment must name the unit A at",
		"a.go:9: Panel.Series is a number without its unit",
		"a.go:11: Gravity is a number without its unit",
		"a.go:12: Bad(temp) is a number without its unit",
		"a.go:12: Bad is a number without its unit",
		"a.go:13: a parameter of Unnamed has no name",
		"a.go:14: Power result w is a number without its unit",
		`the exemption of "Old" is no longer needed`,
	}, got)
}
