package main

import (
	"flag"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"github.com/stationphysics/stationphysics/internal/house/host"
)

var update = flag.Bool("update", false, "write docs/accuracy.md instead of comparing it")

const root = "../../.."

func needGo(t *testing.T) {
	t.Helper()
	if _, err := exec.LookPath("go"); err != nil {
		t.Skip("the go command is not here: nothing can run the tests")
	}
}

func TestDocumentIsCurrent(t *testing.T) {
	if testing.Short() {
		t.Skip("runs the tests of the other packages")
	}
	host.Only(t)
	watch(t)
	got, err := makeDocument(root)
	require.NoError(t, err)
	path := filepath.Join(root, "docs", "accuracy.md")
	if *update {
		require.NoError(t, os.WriteFile(path, got, 0o644))
	}
	want, err := os.ReadFile(path)
	require.NoError(t, err)
	was, is := strings.Split(string(want), "\n"), strings.Split(string(got), "\n")
	for i := range min(len(was), len(is)) {
		require.Equal(t, was[i], is[i], "docs/accuracy.md:%d is out of date: go run ./internal/cmd/accuracy -update", i+1)
	}
	require.Equal(t, len(was), len(is), "docs/accuracy.md is out of date: go run ./internal/cmd/accuracy -update")
}

// watch looks at every file that the document depends on, for the go command
// to see that this test's result in its cache is out of date.
func watch(t *testing.T) {
	t.Helper()
	seen := 0
	require.NoError(t, filepath.WalkDir(root, func(path string, e fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		if e.IsDir() && strings.HasPrefix(e.Name(), ".") && path != root {
			return filepath.SkipDir
		}
		if slices.Contains([]string{".go", ".csv", ".md", ".mod"}, filepath.Ext(path)) {
			seen++
			_, err = os.Stat(path)
		}
		return err
	}))
	require.Greater(t, seen, 300)
}

// module writes a module of this name with the real loader, one package "a" and
// one file of check values, changed by files, and returns its folder.
func plantModule(t *testing.T, files map[string]string) string {
	t.Helper()
	dir := t.TempDir()
	write := func(name, text string) {
		path := filepath.Join(dir, filepath.FromSlash(name))
		require.NoError(t, os.MkdirAll(filepath.Dir(path), 0o755))
		require.NoError(t, os.WriteFile(path, []byte(text), 0o600))
	}
	loader, err := filepath.Glob("../../refdata/*.go")
	require.NoError(t, err)
	for _, path := range loader {
		if strings.HasSuffix(path, "_test.go") {
			continue
		}
		b, err := os.ReadFile(path)
		require.NoError(t, err)
		write("internal/refdata/"+filepath.Base(path), string(b))
	}
	planted := map[string]string{
		"go.mod":                   "module " + module + "\n\ngo 1.24\n",
		"errors.go":                "package stationphysics\n",
		"b/b.go":                   "package b\n",
		"examples/e/e.go":          "package main\n\nfunc main() {}\n",
		"a/a.go":                   "package a\n\nfunc Square(x float64) float64 { return x * x }\n",
		"a/a_test.go":              "package a\n\nimport (\n\t\"testing\"\n\n\t\"" + module + "/internal/refdata\"\n)\n\nfunc TestSquare(t *testing.T) {\n\trefdata.Each(t, \"a/square\", func(r *refdata.Row) { r.Check(\"square\", Square(r.F(\"x\")), \"Square\") })\n}\n\nfunc TestOther(t *testing.T) { t.Fatal(\"not asked for\") }\n",
		"testdata/SOURCES.md":      "## a\n\n- **book**: A Book; read.\n",
		"testdata/refdata/own.csv": "x,tol,tolwhy,source\n1,0,exact,book\n",
		"testdata/a/log.csv":       "# a log\ntime,value\n1,2\n",
		"testdata/a/square.csv":    "x,square,tol,tolwhy,source\n2,4.01,0.05,half a digit,book p. 1\n3,8.96,0.05,half a digit,book p. 2\n",
	}
	for name, text := range files {
		planted[name] = text
	}
	for name, text := range planted {
		write(name, text)
	}
	return dir
}

func TestReportOfAPlantedModule(t *testing.T) {
	needGo(t)
	doc, err := makeDocument(plantModule(t, nil))
	require.NoError(t, err)
	for _, line := range []string{
		"| `a`     |         2 |           0 |       0 |           0 |          1 |          80 % |\n",
		"| `b`     |         0 |           0 |       0 |           0 |          0 |               |\n",
		"| square     |   2 |   0 |    0 |   0 |      0.04 |      0.05 |  80 % |   3 |    1 |\n",
		"1. Tolerance: half a digit. Source: book p. 2.\n",
	} {
		require.Contains(t, string(doc), line)
	}
	require.NotContains(t, string(doc), "examples")
}

func TestNoReportWhile(t *testing.T) {
	needGo(t)
	for name, c := range map[string]struct {
		file, text string
		says       []string
	}{
		"a test fails": {
			"testdata/a/square.csv", "x,square,tol,tolwhy,source\n2,4.01,0.05,half a digit,book p. 1\n3,8.9,0.05,half a digit,book p. 2\n",
			[]string{"the tests that compare with check values do not pass", "testdata/a/square.csv:3: Square = 9, want square = 8.9 ± 0.05", "FAIL: TestSquare"},
		},
		"a package does not compile": {"a/a.go", "package a\n", []string{"do not pass", "undefined: Square"}},
		"a file is used by no test": {
			"testdata/b/cube.csv", "# cubes\nx,cube,tol,tolwhy,source\n2,8,0,exact,book\n",
			[]string{"testdata/b/cube.csv: no test compares anything with this file"},
		},
		"a source has no kind":     {"testdata/SOURCES.md", "## a\n\n- **book**: A Book.\n", []string{`"book" does not say whether`}},
		"no test has check values": {"a/a_test.go", "package a\n", []string{"no test uses check values"}},
		"the go command refuses":   {"go.mod", "module " + module + "\n\nnonsense\n", []string{"go list", "nonsense"}},
		"another name for refdata": {
			"a/a_test.go", "package a\n\nimport (\n\t\"testing\"\n\n\tx \"" + module + "/internal/refdata\"\n)\n\nfunc TestSquare(t *testing.T) { x.Each(t, \"a/square\", nil) }\n",
			[]string{module + "/a imports refdata, but none of its tests mentions it"},
		},
	} {
		t.Run(name, func(t *testing.T) {
			_, err := makeDocument(plantModule(t, map[string]string{c.file: c.text}))
			for _, s := range c.says {
				require.ErrorContains(t, err, s)
			}
			require.NotContains(t, err.Error(), "refdata comparison", "the records are no news")
			require.NotContains(t, err.Error(), "=== RUN")
		})
	}
}

func TestTestsThatCompare(t *testing.T) {
	dir := t.TempDir()
	for name, text := range map[string]string{
		"a_test.go": "package a\n" +
			"func TestMain(m *testing.M) { refdata.Each() }\n" +
			"func TestDirect(t *testing.T) { refdata.Each(t, \"x\", nil) }\n" +
			"func TestThroughTwo(t *testing.T) { first(t) }\n" +
			"func first(t *testing.T) { second(t) }\n" +
			"func TestNot(t *testing.T) { third(t) }\n" +
			"func third(t *testing.T) {}\n" +
			"func TestVariable(t *testing.T) { for range cases {} }\n" +
			"func BenchmarkX(b *testing.B) { first(nil) }\n" +
			"func (s suite) TestMethod(t *testing.T) { first(t) }\n" +
			"func TestThroughMethod(t *testing.T) { s.load() }\n" +
			"func (s suite) load() { refdata.Load() }\n",
		"b_test.go": "package a_test\n" +
			"func second(t *testing.T) { var r *refdata.Row; _ = r }\n" +
			"var other, cases = 1, []func(){func() { refdata.Each() }}\n",
	} {
		require.NoError(t, os.WriteFile(filepath.Join(dir, name), []byte(text), 0o600))
	}
	got, err := comparingTests(goPackage{Dir: dir, TestGoFiles: []string{"a_test.go"}, XTestGoFiles: []string{"b_test.go"}})
	require.NoError(t, err)
	require.Equal(t, []string{"TestDirect", "TestThroughMethod", "TestThroughTwo", "TestVariable"}, got)
	_, err = comparingTests(goPackage{Dir: dir, TestGoFiles: []string{"absent_test.go"}})
	require.ErrorIs(t, err, os.ErrNotExist)
}

func TestPublicPackages(t *testing.T) {
	for path, want := range map[string]bool{
		"": false, "/solar": true, "/solar/sky": true, "/internal/refdata": false, "/examples/station": false,
		"/station/internal/table": false, "/station/internal": false, "/internals": true,
	} {
		p := goPackage{ImportPath: module + path, TestImports: []string{"testing"}, XTestImports: []string{module + "/internal/refdata"}}
		require.Equal(t, want, p.public(), path)
		require.Equal(t, want, p.compares(), path)
		p.XTestImports = nil
		require.False(t, p.compares())
	}
}

func TestBrokenRecordsAreRefused(t *testing.T) {
	_, err := parseOutput("ok\nrefdata comparison: {\"Pack\n")
	require.ErrorContains(t, err, "cannot be read")
	all, err := parseOutput("=== RUN x\nrefdata comparison: {\"Line\":3,\"Got\":\"NaN\"}\nPASS\n")
	require.NoError(t, err)
	require.Len(t, all, 1)
	require.Equal(t, 3, all[0].Line)
}

func TestRunElsewhere(t *testing.T) {
	t.Chdir(t.TempDir())
	const says = "run it inside the module " + module
	require.EqualError(t, run(nil, false), says+": there is no go.mod above the current folder")
	require.NoError(t, os.WriteFile("go.mod", []byte("module example.org/"+module+"\n"), 0o600))
	here, err := os.Getwd()
	require.NoError(t, err)
	require.EqualError(t, run(nil, true), says+": "+here+" belongs to another")
	require.EqualError(t, run([]string{"psychro"}, false), `unexpected "psychro": the command has no arguments, only -update`)
}

func TestUpdateWritesTheDocument(t *testing.T) {
	needGo(t)
	dir := plantModule(t, map[string]string{"docs/accuracy.md": "old\n"})
	t.Chdir(filepath.Join(dir, "a"))
	require.NoError(t, run(nil, true))
	b, err := os.ReadFile(filepath.Join(dir, "docs", "accuracy.md"))
	require.NoError(t, err)
	require.Contains(t, string(b), "## a\n")
}
