package refdata

import (
	"fmt"
	"os"
	"path"
	"regexp"
	"strings"
)

// A Kind says how a check value came into its file.
type Kind int

const (
	Published   Kind = iota // read in the document, or quoted from it by another
	Independent             // computed by a general-purpose library or by other code
	ByHand                  // worked with pencil and paper
	FromMemory              // no document at hand
	Kinds                   // how many there are
)

func (k Kind) String() string {
	return [...]string{"published", "independent", "by hand", "from memory"}[k]
}

// kindWords are the words that name a kind. A text with words of several kinds
// is taken for the least certain of them, which stands first.
var kindWords = []struct {
	kind  Kind
	words *regexp.Regexp
}{
	{FromMemory, regexp.MustCompile(`\bfrom memory\b`)},
	{ByHand, regexp.MustCompile(`\bby hand\b`)},
	{Independent, regexp.MustCompile(`\b(computed|evaluated|evaluation|solved)\b`)},
	{Published, regexp.MustCompile(`\b(read|quoted)\b`)},
}

func kindIn(text string) (Kind, bool) {
	for _, k := range kindWords {
		if k.words.MatchString(text) {
			return k.kind, true
		}
	}
	return 0, false
}

// Sources are the documents of testdata/SOURCES.md. A key may stand under
// several packages.
type Sources map[string][]source

type source struct {
	section string // the package the document stands under, or "General"
	kind    Kind
}

const generalSection = "General"

var sourceLine = regexp.MustCompile(`^- \*\*([A-Za-z0-9._-]+)\*\*(.*)`)

// ReadSources reads a list of sources. It refuses a line that does not say how
// the document was read: the words after the last "; ".
func ReadSources(file string) (Sources, error) {
	b, err := os.ReadFile(file)
	if err != nil {
		return nil, err
	}
	all := Sources{}
	section := ""
	for line := range strings.Lines(string(b)) {
		if s, ok := strings.CutPrefix(line, "## "); ok {
			section = strings.TrimSpace(s)
			continue
		}
		m := sourceLine.FindStringSubmatch(line)
		if m == nil {
			continue
		}
		how := m[2]
		if i := strings.LastIndex(how, "; "); i >= 0 {
			how = how[i:]
		}
		k, ok := kindIn(how)
		if !ok {
			return nil, fmt.Errorf("testdata/SOURCES.md: %q does not say whether it was read, quoted, computed, worked by hand or from memory", m[1])
		}
		all[m[1]] = append(all[m[1]], source{section, k})
	}
	return all, nil
}

func sourceKey(cell string) string {
	words := strings.FieldsFunc(cell, func(r rune) bool { return r == ' ' || r == ',' || r == ';' })
	if len(words) == 0 {
		return ""
	}
	return words[0]
}

// Kind tells how the check values of a row came about: by the row's own words
// if it has any, else by the line of its source under the row's package, the
// packages above it or "General", else by the least certain of its lines.
func (s Sources) Kind(pkg, cell string) (Kind, error) {
	key := sourceKey(cell)
	lines := s[key]
	if len(lines) == 0 {
		return 0, fmt.Errorf("source %q is not in testdata/SOURCES.md", key)
	}
	if k, ok := kindIn(cell[strings.Index(cell, key)+len(key):]); ok {
		return k, nil
	}
	for p := pkg; p != "."; p = path.Dir(p) {
		for _, l := range lines {
			if l.section == p {
				return l.kind, nil
			}
		}
	}
	worst := lines[0].kind
	for _, l := range lines {
		if l.section == generalSection {
			return l.kind, nil
		}
		worst = max(worst, l.kind)
	}
	return worst, nil
}
