// Package wording holds what the texts of several programs share: the known word
// that was probably meant, and lines of a given width.
package wording

import (
	"strings"
	"unicode/utf8"
)

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
