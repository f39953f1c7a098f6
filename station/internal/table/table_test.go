package table

import (
	"errors"
	"io"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

func all(t *testing.T, text string) (rows [][]string, lines []int) {
	t.Helper()
	r := New(strings.NewReader(text))
	for {
		f, err := r.Next()
		if errors.Is(err, io.EOF) {
			return rows, lines
		}
		require.NoError(t, err)
		rows = append(rows, append([]string(nil), f...))
		lines = append(lines, r.Line())
	}
}

func TestRowsAndLines(t *testing.T) {
	rows, lines := all(t, "\ufeffa, b ,c\r\n# note\n\n1,,3\n\"x, y\",\"say \"\"so\"\" \",z")
	require.Equal(t, [][]string{{"a", "b", "c"}, {"1", "", "3"}, {"x, y", `say "so"`, "z"}}, rows)
	require.Equal(t, []int{1, 4, 5}, lines)
}

func TestEndlessLineStopsEarly(t *testing.T) {
	n := 0
	r := New(readerFunc(func(p []byte) (int, error) {
		n += len(p)
		for i := range p {
			p[i] = '7'
		}
		return len(p), nil
	}))
	_, err := r.Next()
	require.ErrorIs(t, err, ErrLongLine)
	require.LessOrEqual(t, n, 2*MaxLine)
	_, err = r.Next()
	require.ErrorIs(t, err, ErrLongLine, "the error stays")
}

func TestBrokenLineCanBePassedOver(t *testing.T) {
	r := New(strings.NewReader("a\n\"open\n\x00\x01\nb\n"))
	f, err := r.Next()
	require.NoError(t, err)
	require.Equal(t, []string{"a"}, f)
	_, err = r.Next()
	require.ErrorIs(t, err, ErrOpenQuote)
	_, err = r.Next()
	require.ErrorIs(t, err, ErrNotText)
	f, err = r.Next()
	require.NoError(t, err)
	require.Equal(t, []string{"b"}, f)
	require.Equal(t, 4, r.Line())
	_, err = r.Next()
	require.ErrorIs(t, err, io.EOF)
}

func TestReadErrorIsPassedOn(t *testing.T) {
	broken := errors.New("cable pulled")
	r := New(readerFunc(func([]byte) (int, error) { return 0, broken }))
	_, err := r.Next()
	require.ErrorIs(t, err, broken)
}

func TestBytesAreTheSameFields(t *testing.T) {
	text := "\ufeffa, b ,c\r\n# note\n1,,3\n\"x, y\",\"say \"\"so\"\" \",z\n\"open\n 7 "
	a, b := New(strings.NewReader(text)), New(strings.NewReader(text))
	for {
		f, err := a.Next()
		g, err2 := b.NextBytes()
		require.Equal(t, err, err2)
		require.Equal(t, a.Line(), b.Line())
		if errors.Is(err, io.EOF) {
			break
		}
		require.Len(t, g, len(f))
		for i := range f {
			require.Equal(t, f[i], string(g[i]))
		}
	}
	require.EqualValues(t, len(text), b.Bytes())
}

func TestBytesAllocateNothing(t *testing.T) {
	r := New(readerFunc(func(p []byte) (int, error) { return copy(p, "1.5,2,3\n"), nil }))
	_, err := r.NextBytes()
	require.NoError(t, err)
	require.Zero(t, testing.AllocsPerRun(1000, func() { _, err = r.NextBytes() }))
	require.NoError(t, err)
}

type readerFunc func([]byte) (int, error)

func (f readerFunc) Read(p []byte) (int, error) { return f(p) }

func FuzzNext(f *testing.F) {
	f.Add("a,b\n1,2\n")
	f.Add("\"a\"\"b\",c")
	f.Add("\ufeff#x\n,\n")
	f.Fuzz(func(t *testing.T, s string) {
		r := New(strings.NewReader(s))
		last := 0
		for range len(s) + 2 {
			f, err := r.Next()
			if errors.Is(err, io.EOF) || errors.Is(err, ErrLongLine) {
				return
			}
			require.Greater(t, r.Line(), last, "a row consumes a line")
			last = r.Line()
			if err == nil {
				require.NotEmpty(t, f)
			}
		}
		t.Fatal("the table does not end")
	})
}
