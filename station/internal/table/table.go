// Package table reads comma-separated lines one at a time, in memory that does
// not grow with the file, and says on which line something is wrong.
package table

import (
	"bufio"
	"bytes"
	"errors"
	"fmt"
	"io"
	"strings"
	"unicode/utf8"
)

// MaxLine is the longest line taken, in bytes: far above any honest row, far
// below what a file without line ends would fill.
const MaxLine = 64 << 10

// ErrLongLine reports a line above MaxLine.
var ErrLongLine = fmt.Errorf("the line is longer than %d bytes: is this a text table?", MaxLine)

// ErrOpenQuote reports a quoted field that does not end on its line.
var ErrOpenQuote = errors.New("a quoted field does not end on this line")

// ErrNotText reports bytes that are no UTF-8 text.
var ErrNotText = errors.New("the line is not text")

// A Reader yields the rows of a table. Empty lines and lines that begin with #
// are passed over.
type Reader struct {
	br     *bufio.Reader
	line   int
	bytes  int64
	fields []string
	lent   [][]byte
	sep    byte
	failed error
}

// New returns a reader of r.
func New(r io.Reader) *Reader { return &Reader{br: bufio.NewReaderSize(r, MaxLine), sep: ','} }

// Line is the number of the line last read, from 1.
func (t *Reader) Line() int { return t.line }

// Next returns the fields of the next row, trimmed of blanks. The slice is
// valid until the next call. At the end it returns io.EOF. An error other than
// ErrOpenQuote and ErrNotText ends the table.
func (t *Reader) Next() ([]string, error) {
	b, err := t.row()
	if err != nil {
		return nil, err
	}
	return t.split(string(b))
}

// NextBytes is Next without a copy: the fields and the slice are valid until
// the next call. It allocates nothing on rows without quotes.
func (t *Reader) NextBytes() ([][]byte, error) {
	b, err := t.row()
	if err != nil {
		return nil, err
	}
	t.lent = t.lent[:0]
	if bytes.IndexByte(b, '"') >= 0 {
		f, err := t.split(string(b))
		for _, s := range f {
			t.lent = append(t.lent, []byte(s))
		}
		return t.lent, err
	}
	for {
		i := bytes.IndexByte(b, t.sep)
		if i < 0 {
			t.lent = append(t.lent, bytes.TrimSpace(b))
			return t.lent, nil
		}
		t.lent = append(t.lent, bytes.TrimSpace(b[:i]))
		b = b[i+1:]
	}
}

// Bytes is the number of bytes of the lines read so far.
func (t *Reader) Bytes() int64 { return t.bytes }

// row returns the next line that is neither empty nor a comment, trimmed.
func (t *Reader) row() ([]byte, error) {
	for {
		if t.failed != nil {
			return nil, t.failed
		}
		b, err := t.br.ReadSlice('\n')
		t.bytes += int64(len(b))
		if len(b) > 0 || err == nil {
			t.line++
		}
		switch {
		case errors.Is(err, bufio.ErrBufferFull):
			t.failed = ErrLongLine
			return nil, ErrLongLine
		case err != nil && !errors.Is(err, io.EOF):
			t.failed = err
			return nil, err
		case err != nil:
			t.failed = io.EOF
			if len(b) == 0 {
				return nil, io.EOF
			}
		}
		if t.line == 1 {
			b = bytes.TrimPrefix(b, []byte("\ufeff"))
		}
		b = bytes.TrimSpace(b)
		if len(b) == 0 || b[0] == '#' {
			continue
		}
		if bytes.IndexByte(b, 0) >= 0 || !utf8.Valid(b) {
			return nil, ErrNotText
		}
		return b, nil
	}
}

func (t *Reader) split(s string) ([]string, error) {
	t.fields = t.fields[:0]
	for {
		s = strings.TrimLeft(s, " \t")
		if strings.HasPrefix(s, `"`) {
			var b strings.Builder
			rest := s[1:]
			for {
				i := strings.IndexByte(rest, '"')
				if i < 0 {
					return nil, ErrOpenQuote
				}
				b.WriteString(rest[:i])
				rest = rest[i+1:]
				if !strings.HasPrefix(rest, `"`) {
					break
				}
				b.WriteByte('"')
				rest = rest[1:]
			}
			t.fields = append(t.fields, strings.TrimSpace(b.String()))
			i := strings.IndexByte(rest, t.sep)
			if i < 0 {
				return t.fields, nil
			}
			s = rest[i+1:]
			continue
		}
		i := strings.IndexByte(s, t.sep)
		if i < 0 {
			t.fields = append(t.fields, strings.TrimSpace(s))
			return t.fields, nil
		}
		t.fields = append(t.fields, strings.TrimSpace(s[:i]))
		s = s[i+1:]
	}
}
