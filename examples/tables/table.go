package main

import (
	"encoding/csv"
	"math"
	"strconv"
	"strings"
	"unicode/utf8"

	"github.com/stationphysics/stationphysics/internal/wording"
)

// A table is what is printed, whatever the format.
type table struct {
	title   string
	notes   []string // above it: what it holds for, and cautions
	sources []string // below it: whose equations and figures, and their range
	keys    int      // leading columns, repeated where the text breaks a wide table
	columns []column
	rows    [][]cell
}

// A column has a heading, its lines separated by line breaks, and a unit below.
type column struct {
	head, unit string
	key        string // heading in CSV, with its unit
	left       bool   // words stand to the left, numbers to the right
}

// A cell is what stands in the table, and in CSV if that differs.
type cell struct{ text, data string }

func (c cell) csv() string {
	if c.data != "" {
		return c.data
	}
	return c.text
}

// none is a cell without a value.
var none = cell{text: "-"}

const width = 80

// plain prints a number as it was given.
func plain(x float64) string { return strconv.FormatFloat(x, 'f', -1, 64) }

// fixed prints a number with that many decimals.
func fixed(x float64, decimals int) cell {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return none
	}
	s := strconv.FormatFloat(x, 'f', decimals, 64)
	if zero := strings.Trim(s, "-0."); zero == "" {
		s = strings.TrimPrefix(s, "-")
	}
	return cell{text: s}
}

// significant prints a number with that many significant digits, below 1e-4
// with an exponent.
func significant(x float64, digits int) cell {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return none
	}
	s := strconv.FormatFloat(x, 'e', digits-1, 64)
	_, e, _ := strings.Cut(s, "e")
	exponent, err := strconv.Atoi(e)
	if err != nil || exponent < -4 {
		return cell{text: s}
	}
	return fixed(x, max(0, digits-1-exponent))
}

// axis prints the values of an axis with as many decimals as the longest of
// them needs.
func axis(values []float64) func(x float64) cell {
	decimals := 0
	for _, x := range values {
		_, fraction, _ := strings.Cut(plain(x), ".")
		decimals = max(decimals, len(fraction))
	}
	return func(x float64) cell { return fixed(x, decimals) }
}

// widths are those that the columns take in text.
func (t *table) widths() []int {
	w := make([]int, len(t.columns))
	for i, c := range t.columns {
		for line := range strings.SplitSeq(c.head+"\n"+c.unit, "\n") {
			w[i] = max(w[i], utf8.RuneCountInString(line))
		}
		for _, r := range t.rows {
			w[i] = max(w[i], utf8.RuneCountInString(r[i].text))
		}
	}
	return w
}

// blocks divides the columns so that each part fits the width, with the keys in
// front of each, and says how far apart they stand.
func (t *table) blocks(w []int) (blocks [][]int, gap int) {
	total := 0
	for _, n := range w {
		total += n
	}
	gap = 2
	if total+2*(len(w)-1) > width && total+len(w)-1 <= width {
		gap = 1
	}
	var block []int
	used := 0
	for i := range t.columns {
		if block != nil && i > t.keys && used+gap+w[i] > width {
			blocks, block = append(blocks, block), nil
		}
		if block == nil {
			used = -gap
			for k := range t.keys {
				block = append(block, k)
				used += gap + w[k]
			}
		}
		if i >= t.keys {
			block = append(block, i)
			used += gap + w[i]
		}
	}
	return append(blocks, block), gap
}

// text prints the table for a terminal, 80 columns wide; one that is wider is
// broken into several, one below the other.
func (t *table) text() string {
	var b strings.Builder
	b.WriteString(wording.Wrap("", t.title, width) + "\n")
	for _, n := range t.notes {
		b.WriteString(wording.Wrap("- ", n, width))
	}
	w := t.widths()
	blocks, gap := t.blocks(w)
	for _, block := range blocks {
		b.WriteString("\n")
		line := func(cells func(column int) string) {
			var l strings.Builder
			for n, i := range block {
				if n > 0 {
					l.WriteString(strings.Repeat(" ", gap))
				}
				l.WriteString(pad(cells(i), w[i], t.columns[i].left))
			}
			b.WriteString(strings.TrimRight(l.String(), " ") + "\n")
		}
		t.heading(block, line)
		line(func(i int) string { return strings.Repeat("-", w[i]) })
		for _, r := range t.rows {
			line(func(i int) string { return r[i].text })
		}
	}
	b.WriteString("\n")
	for _, s := range t.sources {
		b.WriteString(wording.Wrap("- ", s, width))
	}
	return b.String()
}

// heading prints the headings of some columns, their last lines level.
func (t *table) heading(block []int, line func(cells func(column int) string)) {
	tall := 0
	heads := make(map[int][]string, len(block))
	for _, i := range block {
		heads[i] = strings.Split(t.columns[i].head+"\n"+t.columns[i].unit, "\n")
		tall = max(tall, len(heads[i]))
	}
	for n := range tall {
		line(func(i int) string {
			if k := n - (tall - len(heads[i])); k >= 0 {
				return heads[i][k]
			}
			return ""
		})
	}
}

func pad(s string, width int, left bool) string {
	fill := strings.Repeat(" ", max(0, width-utf8.RuneCountInString(s)))
	if left {
		return s + fill
	}
	return fill + s
}

// Characters that would mark up the text of a document.
var escape = strings.NewReplacer(`\`, `\\`, "|", `\|`, "*", `\*`, "_", `\_`, "<", `\<`, "[", `\[`, "`", "\\`")

// oneLine joins the lines of a heading, and a word that was divided.
var oneLine = strings.NewReplacer("-\n", "", "\n", " ")

// markdown prints the table for a document, its columns aligned in the source
// as well.
func (t *table) markdown() string {
	var b strings.Builder
	b.WriteString("**" + escape.Replace(t.title) + "**\n\n")
	for _, n := range t.notes {
		b.WriteString("- " + escape.Replace(n) + "\n")
	}
	lines := make([][]string, 0, len(t.rows)+1)
	head := make([]string, len(t.columns))
	w := make([]int, len(t.columns))
	for i, c := range t.columns {
		head[i] = oneLine.Replace(c.head)
		if c.unit != "" {
			head[i] += ", " + c.unit
		}
	}
	lines = append(lines, head)
	for _, r := range t.rows {
		line := make([]string, len(r))
		for i, c := range r {
			line[i] = c.text
		}
		lines = append(lines, line)
	}
	for _, l := range lines {
		for i := range l {
			l[i] = escape.Replace(l[i])
			w[i] = max(w[i], 2, utf8.RuneCountInString(l[i]))
		}
	}
	b.WriteString("\n")
	for n, l := range lines {
		for i := range l {
			b.WriteString("| " + pad(l[i], w[i], t.columns[i].left) + " ")
		}
		b.WriteString("|\n")
		if n > 0 {
			continue
		}
		for i := range l {
			rule := strings.Repeat("-", w[i])
			if t.columns[i].left {
				b.WriteString("|:" + rule + " ")
			} else {
				b.WriteString("| " + rule + ":")
			}
		}
		b.WriteString("|\n")
	}
	b.WriteString("\n")
	for _, s := range t.sources {
		b.WriteString("- " + escape.Replace(s) + "\n")
	}
	return b.String()
}

// csv prints the table for other programs.
func (t *table) csv() string {
	var b strings.Builder
	for _, s := range append(append([]string{t.title}, t.notes...), t.sources...) {
		b.WriteString("# " + s + "\n")
	}
	w := csv.NewWriter(&b)
	record := make([]string, len(t.columns))
	for i, c := range t.columns {
		record[i] = c.key
	}
	w.Write(record) // into memory: it cannot fail
	for _, r := range t.rows {
		for i, c := range r {
			record[i] = c.csv()
		}
		w.Write(record)
	}
	w.Flush()
	return b.String()
}
