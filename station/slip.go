package station

import (
	"bytes"
	"errors"
	"regexp"
	"unicode/utf8"
)

// isText refuses what no editor saved as text in UTF-8, so that the message
// speaks of the file and not of its first strange byte.
func isText(data []byte) error {
	switch {
	case bytes.HasPrefix(data, []byte{0xff, 0xfe}), bytes.HasPrefix(data, []byte{0xfe, 0xff}):
		return errors.New("the file is text in UTF-16: save it as UTF-8")
	case bytes.IndexByte(data, 0) >= 0:
		return errors.New("the file is not text")
	case !utf8.Valid(data):
		return errors.New("the file is not text in UTF-8: save it as UTF-8")
	}
	return nil
}

// slips are what a first description gets wrong in the form of TOML, each seen
// on the line where the parser stopped.
var slips = []struct {
	line *regexp.Regexp
	says string
}{
	{regexp.MustCompile(`=\s*[+-]?\d+,\d+\s*(#.*)?$`), "a decimal comma? A number has a point: 48.2"},
	{regexp.MustCompile(`=\s*[+-]?(\.\d+|\d+\.)\s*(#.*)?$`), "a number has a digit on both sides of its point: 0.5"},
	{regexp.MustCompile(`=\s*[+-]?[\d.]+\s*[^\d\s.,eE_#:+-]`), "a unit behind the number? The key has it: the number stands alone"},
	{regexp.MustCompile(`=\s*(#.*)?$`), "the value is missing"},
	{regexp.MustCompile(`^\s*[A-Za-z0-9_]+\s*:`), `a line is "key = value"`},
	{regexp.MustCompile(`=\s*(True|False|TRUE|FALSE|yes|no)\b`), "a switch is true or false in small letters"},
	{regexp.MustCompile(`=\s*[A-Za-z]`), `a text stands in quotes: "lifepo4"`},
	{regexp.MustCompile(`=\s*[“”„‘’]`), `a text stands in straight quotes: "lifepo4"`},
	{regexp.MustCompile(`^\s*\[[^\]]*(#.*)?$`), "is the bracket closed?"},
	{regexp.MustCompile(`^\s*\w[^=\[]*$`), `a line is "key = value", a section "[panel]", a remark begins with #`},
}

// slip says what the line on which the parser stopped probably got wrong; it is
// empty if nothing usual is seen there.
func slip(data []byte, line int) string {
	lines := bytes.Split(data, []byte{'\n'})
	if line < 1 || line > len(lines) {
		return ""
	}
	text := bytes.TrimRight(lines[line-1], "\r")
	for _, s := range slips {
		if s.line.Match(text) {
			return " (" + s.says + ")"
		}
	}
	return ""
}
