package logbook

import (
	"errors"
	"io"
	"os"
	"runtime"
	"runtime/metrics"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// logMB is the size of the log that TestLogOfAnySize reads, in megabytes;
// STATIONPHYSICS_LOG_MB=1000 asks for another, as docs/robustness.md has it.
const logMB = 16

// heapBytes are the bytes of all objects on the heap, those not collected yet
// included.
func heapBytes() uint64 {
	s := []metrics.Sample{{Name: "/memory/classes/heap/objects:bytes"}}
	metrics.Read(s)
	return s[0].Value.Uint64()
}

// However long a log is, reading it takes the same memory: looked at every
// 65536 rows, the heap is never more than a few megabytes above its start. What
// a collection has not come to yet is in it: Go lets the heap grow to 4 MB, or
// to twice what is alive, before it collects.
func TestLogOfAnySize(t *testing.T) {
	if testing.Short() {
		t.Skip("reads a log of 16 MB or more")
	}
	mb := logMB
	if s := os.Getenv("STATIONPHYSICS_LOG_MB"); s != "" {
		var err error
		mb, err = strconv.Atoi(s)
		require.NoError(t, err)
	}
	c := invented(t)
	var peak, read, samples uint64
	c.Progress = func(bytes int64, _ int) {
		peak, read, samples = max(peak, heapBytes()), uint64(bytes), samples+1
	}
	const rowBytes = 80 // and a little more
	log := newEndless(mb * 1000000 / rowBytes)
	rows := log.rows
	runtime.GC()
	start := heapBytes()
	from := time.Now()
	r, err := New(log, "log.csv", c)
	require.NoError(t, err)
	n := 0
	for ; ; n++ {
		if _, err = r.Next(); err != nil {
			break
		}
	}
	require.ErrorIs(t, err, io.EOF)
	require.Equal(t, rows, n)
	took := time.Since(from)
	require.Positive(t, samples)
	t.Logf("%d rows, %.0f MB in %v: %.0f MB/s; heap %.1f MB at the start, %.1f MB at most", n, float64(read)/1e6, took.Round(time.Millisecond),
		float64(read)/1e6/took.Seconds(), float64(start)/1e6, float64(peak)/1e6)
	require.Less(t, peak, start+16<<20)
}

// A log of one line without end is refused after the longest line, also where
// it comes behind good rows.
func TestLogOfOneLine(t *testing.T) {
	for _, head := range []string{"", "time,air_c\n", "time,air_c\n2026-01-01T00:00:00Z,1\n"} {
		line := &counted{in: sevens{}}
		r, err := New(io.MultiReader(strings.NewReader(head), line), "log.csv", Config{})
		if err == nil {
			for err == nil {
				_, err = r.Next()
			}
		}
		require.False(t, errors.Is(err, io.EOF))
		require.ErrorContains(t, err, "log.csv:"+strconv.Itoa(1+strings.Count(head, "\n"))+": the line is longer than 65536 bytes")
		require.Less(t, line.read, 1<<20, "bytes taken before it was refused")
	}
}

// counted counts what was taken from a reader.
type counted struct {
	in   io.Reader
	read int
}

func (c *counted) Read(p []byte) (int, error) {
	n, err := c.in.Read(p)
	c.read += n
	return n, err
}
