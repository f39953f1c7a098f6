// Package refdata loads the check values under testdata and compares results
// with them. It refuses whatever would let a check pass unnoticed: a file
// without rows, a column that no test reads, a row without its source or
// without a reason for its tolerance.
package refdata

import (
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
)

// The columns every file has beside its inputs and expected values. A column
// "x_tol" or "x_tolwhy" overrides the general one for the expected column "x".
const (
	colTol    = "tol"
	colWhy    = "tolwhy"
	colSource = "source"
)

// A TB is the part of *testing.T that the package needs.
type TB interface {
	Helper()
	Errorf(format string, args ...any)
	Fatalf(format string, args ...any)
}

// A Table is one file of check values.
type Table struct {
	path   string // relative to the module, for messages
	tests  string // folder of the tests that loaded it, relative to the module
	record bool   // print the comparisons
	header []string
	rows   []*Row
	read   map[string]bool
}

// A Row is one line of a table.
type Row struct {
	tab   *Table
	tb    TB
	Line  int // line number in the file
	cells map[string]string
}

// Each loads testdata/<name>.csv, calls f for every row and fails the test if
// the file is refused or if a column with content was never read.
func Each(tb TB, name string, f func(r *Row)) {
	tb.Helper()
	t, err := Load(name)
	if err != nil {
		tb.Fatalf("%v", err)
		return
	}
	for _, r := range t.rows {
		r.tb = tb
		f(r)
	}
	for _, c := range t.header {
		if !t.read[c] {
			tb.Errorf("%s: column %q is never read: a check value nobody looks at", t.path, c)
		}
	}
}

// Load reads testdata/<name>.csv of the module that holds the current folder.
func Load(name string) (*Table, error) {
	root, err := ModuleRoot()
	if err != nil {
		return nil, err
	}
	rel := "testdata/" + name + ".csv"
	sources, err := ReadSources(filepath.Join(root, "testdata", "SOURCES.md"))
	if err != nil {
		return nil, err
	}
	f, err := os.Open(filepath.Join(root, filepath.FromSlash(rel)))
	if err != nil {
		return nil, err
	}
	defer f.Close()
	t, err := parse(f, rel, sources)
	if err != nil {
		return nil, err
	}
	here, err := os.Getwd()
	if err != nil {
		return nil, err
	}
	tests, err := filepath.Rel(root, here)
	if err != nil {
		return nil, err
	}
	t.tests = filepath.ToSlash(tests)
	t.record = os.Getenv(RecordVariable) != ""
	return t, nil
}

func parse(in io.Reader, path string, sources Sources) (*Table, error) {
	r := csv.NewReader(in)
	r.Comment = '#'
	r.TrimLeadingSpace = true
	header, err := r.Read()
	if err != nil {
		return nil, fmt.Errorf("%s: no header: %w", path, err)
	}
	for _, c := range []string{colTol, colWhy, colSource} {
		if !slices.Contains(header, c) && !(c != colSource && overridden(header, c)) {
			return nil, fmt.Errorf("%s: no column %q", path, c)
		}
	}
	t := &Table{path: path, header: header, read: map[string]bool{colSource: true}}
	for _, c := range header {
		if isWhy(c) {
			t.read[c] = true
		}
	}
	for {
		rec, err := r.Read()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return nil, fmt.Errorf("%s: %w", path, err)
		}
		line, _ := r.FieldPos(0)
		row := &Row{tab: t, Line: line, cells: make(map[string]string, len(header))}
		for i, c := range header {
			row.cells[c] = strings.TrimSpace(rec[i])
			if isWhy(c) && row.cells[c] == "" {
				return nil, fmt.Errorf("%s:%d: %q is empty: every tolerance has a reason", path, line, c)
			}
		}
		if sourceKey(row.cells[colSource]) == "" {
			return nil, fmt.Errorf("%s:%d: the source is empty", path, line)
		}
		if _, err := sources.Kind("", row.cells[colSource]); err != nil {
			return nil, fmt.Errorf("%s:%d: %w", path, line, err)
		}
		t.rows = append(t.rows, row)
	}
	if len(t.rows) == 0 {
		return nil, fmt.Errorf("%s: no rows: nothing would be checked", path)
	}
	return t, nil
}

func isWhy(c string) bool { return c == colWhy || strings.HasSuffix(c, "_"+colWhy) }

func overridden(header []string, col string) bool {
	return slices.ContainsFunc(header, func(h string) bool { return strings.HasSuffix(h, "_"+col) })
}

// F returns the number in a column; it stops the test if there is none.
func (r *Row) F(col string) float64 {
	r.tb.Helper()
	s := r.S(col)
	v, err := strconv.ParseFloat(s, 64)
	if err != nil {
		r.tb.Fatalf("%s:%d: column %q holds %q, not a number", r.tab.path, r.Line, col, s)
	}
	return v
}

// S returns the text in a column; it stops the test if the column is missing.
func (r *Row) S(col string) string {
	r.tb.Helper()
	s, ok := r.cells[col]
	if !ok {
		r.tb.Fatalf("%s: no column %q", r.tab.path, col)
	}
	r.tab.read[col] = true
	return s
}

// Has reports whether the row has content in a column.
func (r *Row) Has(col string) bool {
	r.tb.Helper()
	return r.S(col) != ""
}

// Check compares got with the expected column col within the row's tolerance.
// An empty expected cell means that the source gives no value there. The
// tolerance is a number in the column's unit, or a number with "%" after it
// that is taken of the expected value. call says what was computed, with its
// inputs, as a reader would write it.
func (r *Row) Check(col string, got float64, call string) {
	r.tb.Helper()
	tolCol, whyCol := colTol, colWhy
	if _, ok := r.cells[col+"_"+colTol]; ok {
		tolCol = col + "_" + colTol
	}
	if _, ok := r.cells[col+"_"+colWhy]; ok {
		whyCol = col + "_" + colWhy
	}
	tolText := r.S(tolCol)
	if !r.Has(col) {
		return
	}
	want := r.F(col)
	tol, err := tolerance(tolText, want)
	if err != nil {
		r.tb.Fatalf("%s:%d: column %q: %v", r.tab.path, r.Line, tolCol, err)
		return
	}
	if r.tab.record {
		Comparison{
			Package: r.tab.tests, File: r.tab.path, Line: r.Line, Column: col,
			Got: Number(got), Want: Number(want), Tol: Number(tol), Why: r.cells[whyCol], Source: r.cells[colSource],
		}.record()
	}
	// Written so that a NaN on either side fails, unless the source itself
	// says that there is no number.
	if math.IsNaN(want) && math.IsNaN(got) || got == want || math.Abs(got-want) <= tol {
		return
	}
	r.tb.Errorf("%s:%d: %s = %.12g, want %s = %.12g ± %.3g (off by %.3g)\n\ttolerance: %s\n\tsource: %s",
		r.tab.path, r.Line, call, got, col, want, tol, got-want, r.cells[whyCol], r.cells[colSource])
}

func tolerance(s string, want float64) (float64, error) {
	num, rel := strings.CutSuffix(s, "%")
	v, err := strconv.ParseFloat(strings.TrimSpace(num), 64)
	if err != nil || !(v >= 0) || math.IsInf(v, 0) {
		return 0, fmt.Errorf("%q is not a tolerance", s)
	}
	if rel {
		v *= math.Abs(want) / 100
	}
	return v, nil
}

// ModuleRoot walks up from the current folder to the one with go.mod.
func ModuleRoot() (string, error) {
	dir, err := os.Getwd()
	if err != nil {
		return "", err
	}
	for {
		if _, err := os.Stat(filepath.Join(dir, "go.mod")); err == nil {
			return dir, nil
		}
		up := filepath.Dir(dir)
		if up == dir {
			return "", errors.New("refdata: no go.mod above the current folder")
		}
		dir = up
	}
}
