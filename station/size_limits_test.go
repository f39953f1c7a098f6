package station

import (
	"fmt"
	"io"
	"runtime"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// repeated is a file of one text over and over without an end.
type repeated struct {
	text string
	read int
}

func (r *repeated) Read(p []byte) (int, error) {
	n := 0
	for n < len(p) {
		m := copy(p[n:], r.text[(r.read+n)%len(r.text):])
		n += m
	}
	r.read += n
	return n, nil
}

// allocated is the memory that a call takes in all, collected or not.
func allocated(f func()) uint64 {
	var before, after runtime.MemStats
	runtime.ReadMemStats(&before)
	f()
	runtime.ReadMemStats(&after)
	return after.TotalAlloc - before.TotalAlloc
}

// Files that never end, or are far too large, are refused from their first
// part, with what is wrong.
func TestFilesWithoutEnd(t *testing.T) {
	const tmy3 = "999999,\"X\",XX,1.0,47.5,9.5,553\n"
	for name, c := range map[string]struct {
		head, text, says string
		weather          bool
		most             uint64 // bytes of memory
	}{
		"a description of 10 MB and more":     {"", "# a remark\n", "f: the file is larger than 1048576 bytes, no description needs that", false, 8 << 20},
		"a description of one line":           {"name = \"", "7", "f: the file is larger than 1048576 bytes", false, 8 << 20},
		"a description of zero bytes":         {"", "\x00", "f: the file is larger than 1048576 bytes", false, 8 << 20},
		"weather of one line":                 {"", "7", "f:1: the line is longer than 65536 bytes", true, 1 << 20},
		"weather of one line after the names": {ownHeader, "7", "f:2: the line is longer than 65536 bytes", true, 1 << 20},
		"a typical year of one line":          {"999999,\"", "X", "f:1: the line is longer than 65536 bytes", true, 1 << 20},
		"a typical year, its names one line":  {tmy3, "Date,", "f:2: the line is longer than 65536 bytes", true, 2 << 20},
	} {
		t.Run(name, func(t *testing.T) {
			file := &repeated{text: c.text}
			in := io.MultiReader(strings.NewReader(c.head), file)
			var err error
			took := allocated(func() {
				if c.weather {
					_, err = ReadWeather(in, "f")
				} else {
					_, err = Read(in, "f")
				}
			})
			require.ErrorContains(t, err, c.says)
			require.Less(t, file.read, 3<<20, "bytes taken before it was refused")
			require.Less(t, took, c.most)
		})
	}
	file := io.LimitReader(&repeated{text: "# a remark\n"}, 10<<20)
	_, err := Read(file, "f")
	require.ErrorContains(t, err, "f: the file is larger than 1048576 bytes")
}

// A description of the largest size that is taken, made to cost as much as it can,
// is refused for what it is, in bounded memory, and so quickly that the time of
// decoding does not grow with the square of its keys.
func TestLargestDescription(t *testing.T) {
	var distinct strings.Builder
	for i := range 100000 {
		fmt.Fprintf(&distinct, "k%d=1\n", i)
	}
	for name, c := range map[string]struct{ text, says string }{
		"loads":          {strings.Repeat("[[load]]\nname = \"a\"\n", 50000), "f:10001: more than 10000 keys, no description needs that"},
		"distinct keys":  {distinct.String(), "f:10001: more than 10000 keys, no description needs that"},
		"one table":      {"a = {" + strings.ReplaceAll(strings.TrimSpace(distinct.String()), "\n", ",") + "}\n", "f:1: more than 10000 keys"},
		"list of tables": {"a = [" + strings.Repeat("{b=1},", 100000) + "]\n", "f:1: more than 10000 keys"},
		"unknown":        {strings.Repeat("[[lod]]\n", 130000), "f:10001: more than 10000 keys"},
		"numbers":        {"[climate]\nair_c = [" + strings.Repeat("1, ", 340000) + "1]\n", "f:2: climate.air_c: expected a list of 12, found 340001"},
		"deep":           {"a = " + strings.Repeat("[", 500000) + strings.Repeat("]", 500000) + "\n", "f:1: "},
		"dotted":         {"\n" + strings.Repeat("a.", 500000) + "a = 1\n", "f:2: a key of more than 16 parts, no description needs that"},
		"dotted head":    {"[" + strings.Repeat("a.", 500000) + "a]\n", "f:1: a key of more than 16 parts"},
	} {
		t.Run(name, func(t *testing.T) {
			require.LessOrEqual(t, len(c.text), maxDescription)
			var err error
			took := allocated(func() { _, err = Read(strings.NewReader(c.text), "f") })
			require.ErrorContains(t, err, c.says)
			require.Less(t, len(err.Error()), 1000)
			require.Less(t, took, uint64(200<<20))
		})
	}
	most := strings.Repeat("a.", 15) + "a = 1\n"
	_, err := Read(strings.NewReader(most), "f")
	require.ErrorContains(t, err, "unknown key", "16 parts are refused for what they are")
	_, err = Read(strings.NewReader(strings.Repeat("[[load]]\n", 10000)), "f")
	require.NotContains(t, fmt.Sprint(err), "keys", "10000 keys are read")
}
