package main

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"io"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"

	"github.com/stationphysics/stationphysics/internal/house/host"
	"github.com/stationphysics/stationphysics/internal/refdata"
)

// goPackage is what "go list" says of a package.
type goPackage struct {
	ImportPath                string
	Dir                       string
	TestGoFiles, XTestGoFiles []string
	TestImports, XTestImports []string
}

// name is the folder of the package in the module.
func (p goPackage) name() string { return strings.TrimPrefix(p.ImportPath, module+"/") }

// public tells whether others can import the package. The root package holds
// error types and computes nothing.
func (p goPackage) public() bool {
	path := p.name() + "/"
	return p.ImportPath != module && !strings.HasPrefix(path, "examples/") && !strings.Contains("/"+path, "/internal/")
}

func (p goPackage) compares() bool {
	return p.public() && slices.Contains(append(p.TestImports, p.XTestImports...), module+"/internal/refdata")
}

func listPackages(root string) ([]goPackage, error) {
	cmd := exec.Command("go", "list", "-json=ImportPath,Dir,TestGoFiles,XTestGoFiles,TestImports,XTestImports", "./...")
	cmd.Dir = root
	out, err := cmd.Output()
	if err != nil {
		var exit *exec.ExitError
		if errors.As(err, &exit) {
			return nil, fmt.Errorf("go list: %w\n%s", err, exit.Stderr)
		}
		return nil, fmt.Errorf("go list: %w", err)
	}
	var all []goPackage
	for dec := json.NewDecoder(bytes.NewReader(out)); ; {
		var p goPackage
		err := dec.Decode(&p)
		if errors.Is(err, io.EOF) {
			return all, nil
		}
		if err != nil {
			return nil, fmt.Errorf("go list: %w", err)
		}
		all = append(all, p)
	}
}

// runTests runs the tests that use check values and returns what they compared.
func runTests(root string, packages []goPackage) ([]refdata.Comparison, error) {
	var paths, names []string
	for _, p := range packages {
		if !p.compares() {
			continue
		}
		tests, err := comparingTests(p)
		if err != nil {
			return nil, err
		}
		paths = append(paths, p.ImportPath)
		names = append(names, tests...)
	}
	if len(names) == 0 {
		return nil, errors.New("no test uses check values")
	}
	slices.Sort(names)
	names = slices.Compact(names)
	// Without -count the go command takes from its cache what has not changed.
	cmd := exec.Command("go", append([]string{"test", "-v", "-run", "^(" + strings.Join(names, "|") + ")$"}, paths...)...)
	cmd.Dir = root
	cmd.Env = append(host.Env(), refdata.RecordVariable+"=1")
	out, err := cmd.CombinedOutput()
	if err != nil {
		return nil, fmt.Errorf("the tests that compare with check values do not pass (%w):\n%s", err, complaints(string(out)))
	}
	return parseOutput(string(out))
}

func parseOutput(out string) ([]refdata.Comparison, error) {
	var all []refdata.Comparison
	for line := range strings.Lines(out) {
		c, ok, err := refdata.ParseComparison(line)
		if err != nil {
			return nil, err
		}
		if ok {
			all = append(all, c)
		}
	}
	return all, nil
}

var good = regexp.MustCompile(`^\s*(=== |--- PASS|--- SKIP|PASS|ok\s)`)

// complaints drops from a test's output what went well.
func complaints(out string) string {
	var b strings.Builder
	for line := range strings.Lines(out) {
		if _, record, _ := refdata.ParseComparison(line); !record && !good.MatchString(line) {
			b.WriteString(line)
		}
	}
	return b.String()
}

// comparingTests names the tests of a package that mention refdata, or mention
// something of the package's test files that does. It may name too many, which
// costs time only.
func comparingTests(p goPackage) ([]string, error) {
	mentions := map[string]map[string]bool{} // by the name of what mentions
	tests := map[string]bool{}
	for _, name := range append(slices.Clone(p.TestGoFiles), p.XTestGoFiles...) {
		f, err := parser.ParseFile(token.NewFileSet(), filepath.Join(p.Dir, name), nil, parser.SkipObjectResolution)
		if err != nil {
			return nil, err
		}
		for _, d := range f.Decls {
			switch d := d.(type) {
			case *ast.FuncDecl:
				collect(mentions, d.Name.Name, d)
				if d.Recv == nil && strings.HasPrefix(d.Name.Name, "Test") && d.Name.Name != "TestMain" {
					tests[d.Name.Name] = true
				}
			case *ast.GenDecl:
				for _, s := range d.Specs {
					if v, ok := s.(*ast.ValueSpec); ok {
						for _, n := range v.Names {
							collect(mentions, n.Name, v)
						}
					}
				}
			}
		}
	}
	reach := map[string]bool{"refdata": true}
	for grown := true; grown; {
		grown = false
		for name, used := range mentions {
			if reach[name] {
				continue
			}
			for u := range used {
				if reach[u] {
					reach[name], grown = true, true
					break
				}
			}
		}
	}
	var out []string
	for name := range tests {
		if reach[name] {
			out = append(out, name)
		}
	}
	if len(out) == 0 {
		return nil, fmt.Errorf("%s imports refdata, but none of its tests mentions it by that name", p.ImportPath)
	}
	slices.Sort(out)
	return out, nil
}

func collect(mentions map[string]map[string]bool, name string, n ast.Node) {
	if mentions[name] == nil {
		mentions[name] = map[string]bool{}
	}
	ast.Inspect(n, func(n ast.Node) bool {
		if id, ok := n.(*ast.Ident); ok {
			mentions[name][id.Name] = true
		}
		return true
	})
}

// checkEveryFileSeen refuses to report while a file of check values was
// compared by no test. The loader's own file is no check of the library.
func checkEveryFileSeen(root string, all []refdata.Comparison) error {
	seen := map[string]bool{}
	for _, c := range all {
		seen[c.File] = true
	}
	return fs.WalkDir(os.DirFS(root), "testdata", func(path string, _ fs.DirEntry, err error) error {
		if err != nil || filepath.Ext(path) != ".csv" || strings.HasPrefix(path, "testdata/refdata/") || seen[path] {
			return err
		}
		b, err := os.ReadFile(filepath.Join(root, path))
		if err != nil {
			return err
		}
		for line := range strings.Lines(string(b)) {
			if strings.HasPrefix(line, "#") {
				continue
			}
			if strings.Contains(line, "tolwhy") {
				return fmt.Errorf("%s: no test compares anything with this file of check values", path)
			}
			break // other data, a log for instance
		}
		return nil
	})
}
