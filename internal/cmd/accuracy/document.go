package main

import (
	"bytes"
	"fmt"
	"math"
	"path"
	"strconv"
	"strings"
	"unicode/utf8"

	"github.com/stationphysics/stationphysics/internal/refdata"
	"github.com/stationphysics/stationphysics/internal/wording"
)

const width = 120

const introduction = `# Accuracy

How close the library comes to its check values. A test compares each of them with a result; this document is made from
what the tests compare, by

` + "```sh\ngo run ./internal/cmd/accuracy -update\n```" + `

and ` + "`go test ./internal/cmd/accuracy`" + ` fails when it is out of date. No deviation here is above its tolerance: a test
would fail.

A line of a table is a quantity: an expected column of a file of check values, ` + "`testdata/<package>/<file>.csv`" + `. The
ending of its name is its unit (README, Units); where the name has none, the row says what it is.

- **pub**, **ind**, **hand**, **mem**: how many check values were read or quoted from a published document, computed
  independently (by a general-purpose library or other code), worked by hand, and written from memory. A value counts
  once, however many tests use it. Those from memory find slips of unit, sign and column; trust them no further.
- **deviation**: by how much the result differs from the check value, in the row that comes closest to its tolerance.
  "rounding" is less than 1e-11 of the value or 1e-4 of the tolerance in every row: the arithmetic's own.
- **tolerance**, **share**: the tolerance of that row, and the deviation as share of it.
- **row**: its line in the file. **note**: why its tolerance is what it is, and its source (` + "`testdata/SOURCES.md`" + `).

A small deviation from an independent evaluation says that the formula is computed as its source states it, not how well
nature follows it; that stands in the documentation of the packages.

Not counted are numbers that a test states itself, with their source in a comment: equations of documents written out
in tests (` + "`psychro`, `baro`, `solar`" + `), the code table of the pressure tendency (` + "`baro`, `station/logbook`" + `), and single
figures (` + "`baro`, `solar`, `power`, `power/bus`, `power/chain`, `battery`, `wind`, `station/bench`" + `).
`

// document writes the report. packages are all that shall appear, those without
// a check value included.
func document(packages []string, quantities []quantity) []byte {
	var b bytes.Buffer
	b.WriteString(introduction)
	of := map[string][]quantity{}
	for _, q := range quantities {
		of[q.pkg] = append(of[q.pkg], q)
	}
	rows := [][]string{{"package", "published", "independent", "by hand", "from memory", "quantities", "largest share"}}
	var all total
	for _, p := range packages {
		t := sum(of[p])
		all.add(t)
		rows = append(rows, append([]string{"`" + p + "`"}, t.cells()...))
	}
	rows = append(rows, append([]string{"all"}, all.cells()...))
	b.WriteString("\n")
	writeTable(&b, rows)
	for _, p := range packages {
		if len(of[p]) > 0 {
			writePackage(&b, p, of[p])
		}
	}
	return b.Bytes()
}

// A total sums up quantities.
type total struct {
	checks     [refdata.Kinds]int
	quantities int
	share      float64
}

func sum(quantities []quantity) (t total) {
	for _, q := range quantities {
		t.add(total{q.checks, 1, q.share})
	}
	return t
}

func (t *total) add(u total) {
	for k := range t.checks {
		t.checks[k] += u.checks[k]
	}
	t.quantities += u.quantities
	t.share = math.Max(t.share, u.share)
}

func (t total) cells() []string {
	var out []string
	for _, n := range t.checks {
		out = append(out, strconv.Itoa(n))
	}
	out = append(out, strconv.Itoa(t.quantities))
	if t.share == 0 {
		return append(out, "")
	}
	return append(out, percent(t.share))
}

func writePackage(b *bytes.Buffer, pkg string, quantities []quantity) {
	fmt.Fprintf(b, "\n## %s\n\n", pkg)
	rows := [][]string{{"quantity", "pub", "ind", "hand", "mem", "deviation", "tolerance", "share", "row", "note"}}
	var notes []string
	number := map[string]int{}
	file := ""
	for _, q := range quantities {
		if q.file != file {
			file = q.file
			rows = append(rows, append([]string{"**" + label(pkg, file) + "**"}, make([]string, len(rows[0])-1)...))
		}
		n := fmt.Sprintf("Tolerance: %s. Source: %s.", sentence(q.worst.Why), sentence(q.worst.Source))
		if number[n] == 0 {
			notes = append(notes, n)
			number[n] = len(notes)
		}
		row := []string{q.column}
		for _, c := range q.checks {
			row = append(row, strconv.Itoa(c))
		}
		deviation, share := digits(q.deviation), percent(q.share)
		if q.rounding {
			deviation, share = "rounding", ""
		}
		if q.worst.Tol == 0 {
			deviation = "0"
		}
		rows = append(rows, append(row, deviation, digits(float64(q.worst.Tol)), share, strconv.Itoa(q.worst.Line), strconv.Itoa(number[n])))
	}
	writeTable(b, rows)
	b.WriteString("\n")
	for i, n := range notes {
		b.WriteString(wording.Wrap(fmt.Sprintf("%d. ", i+1), n, width))
	}
}

// label is the name of a file below its package.
func label(pkg, file string) string {
	file = strings.TrimSuffix(strings.TrimPrefix(file, "testdata/"), ".csv")
	if below, ok := strings.CutPrefix(file, pkg+"/"); ok {
		return below
	}
	return path.Join("/", file)
}

// sentence drops a full stop, which its place in the document gives.
func sentence(s string) string { return strings.TrimSuffix(s, ".") }

// digits writes a number with two significant digits.
func digits(v float64) string {
	v, _ = strconv.ParseFloat(strconv.FormatFloat(v, 'e', 1, 64), 64)
	if v >= 100 && v < 1e7 {
		return strconv.FormatFloat(v, 'f', -1, 64)
	}
	return strconv.FormatFloat(v, 'g', -1, 64)
}

func percent(share float64) string { return digits(100*share) + " %" }

// writeTable writes a table whose columns are as wide as their widest cell; all
// but the first are flush right.
func writeTable(b *bytes.Buffer, rows [][]string) {
	widths := make([]int, len(rows[0]))
	for _, r := range rows {
		for i, c := range r {
			widths[i] = max(widths[i], utf8.RuneCountInString(c), 3)
		}
	}
	for n, r := range rows {
		for i, c := range r {
			pad := strings.Repeat(" ", widths[i]-utf8.RuneCountInString(c))
			if i == 0 {
				b.WriteString("| " + c + pad)
			} else {
				b.WriteString(" | " + pad + c)
			}
		}
		b.WriteString(" |\n")
		if n > 0 {
			continue
		}
		for i, w := range widths {
			if i == 0 {
				b.WriteString("|" + strings.Repeat("-", w+2))
			} else {
				b.WriteString("|" + strings.Repeat("-", w+1) + ":")
			}
		}
		b.WriteString("|\n")
	}
}
