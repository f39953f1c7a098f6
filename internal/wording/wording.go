// Package wording holds what the texts of several programs share: the known word
// that was probably meant, and lines of a given width.
package wording

import (
	"strings"
	"unicode/utf8"
)

// Nearest returns the candidate that takes the fewest edits to become the word,
// the first of several, and "" if none takes at most that many.
func Nearest(word string, candidates []string, most int) string {
	best, bestEdits := "", most+1
	for _, c := range candidates {
		if d := edits(word, c); d < bestEdits {
			best, bestEdits = c, d
		}
	}
	return best
}

// edits is the Levenshtein distance in bytes.
func edits(a, b string) int {
	row := make([]int, len(b)+1)
	for j := range row {
		row[j] = j
	}
	for i := 1; i <= len(a); i++ {
		diagonal := row[0]
		row[0] = i
		for j := 1; j <= len(b); j++ {
			cost := 1
			if a[i-1] == b[j-1] {
				cost = 0
			}
			diagonal, row[j] = row[j], min(row[j]+1, row[j-1]+1, diagonal+cost)
		}
	}
	return row[len(b)]
}

// Wrap sets a text behind a lead in lines of at most width characters, the
// further ones indented to the first word. A word that is longer stands alone.
func Wrap(lead, s string, width int) string {
	var b strings.Builder
	indent := utf8.RuneCountInString(lead)
	line, used, fresh := lead, indent, true
	for _, w := range strings.Fields(s) {
		n := utf8.RuneCountInString(w)
		if !fresh && used+1+n > width {
			b.WriteString(line + "\n")
			line, used, fresh = strings.Repeat(" ", indent), indent, true
		}
		if !fresh {
			line += " "
			used++
		}
		line += w
		used += n
		fresh = false
	}
	b.WriteString(strings.TrimRight(line, " ") + "\n")
	return b.String()
}
