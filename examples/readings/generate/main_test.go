package main

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// The logs in testdata are what the program writes.
func TestLogsInTheRepositoryAreTheProgramsOwn(t *testing.T) {
	for name, args := range map[string][]string{"troubled.csv": nil, "clean.csv": {"-clean"}} {
		var out, complaints bytes.Buffer
		require.Zero(t, run(args, &out, &complaints), complaints.String())
		want, err := os.ReadFile(filepath.Join("..", "..", "..", "testdata", "station", "logbook", name))
		require.NoError(t, err)
		require.True(t, bytes.Equal(want, out.Bytes()), "run the program anew for %s", name)
	}
}

func TestSeedsDiffer(t *testing.T) {
	var a, b, c bytes.Buffer
	require.Zero(t, run([]string{"-clean", "-seed", "2", "-days", "3"}, &a, &c))
	require.Zero(t, run([]string{"-clean", "-seed", "3", "-days", "3"}, &b, &c))
	require.NotEqual(t, a.String(), b.String())
	require.Equal(t, 2+3*1440, strings.Count(a.String(), "\n"))
	require.Contains(t, a.String(), "# invented log")
	require.Equal(t, 2, run([]string{"-days", "0"}, &a, &c))
}
