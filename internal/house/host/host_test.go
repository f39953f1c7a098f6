package host

import (
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
)

// The later setting of a name counts for a process.
func TestEnvSetsNoTarget(t *testing.T) {
	t.Setenv("GOARCH", "wasm")
	env := Env()
	require.Greater(t, slices.Index(env, "GOARCH="), slices.Index(env, "GOARCH=wasm"))
	require.Contains(t, env, "GOOS=")
}

func TestOnly(t *testing.T) {
	if _, err := exec.LookPath("sh"); err != nil {
		t.Skip("no shell here: nothing can stand for the go command")
	}
	for name, c := range map[string]struct {
		script string
		skips  bool
	}{
		"at home":       {"#!/bin/sh\necho " + runtime.GOARCH + "\n", false},
		"in another":    {"#!/bin/sh\necho mips\n", true},
		"without a go":  {"", true},
		"asks for host": {"#!/bin/sh\ntest \"$1 $2\" = 'env GOHOSTARCH' && echo " + runtime.GOARCH + " || echo mips\n", false},
	} {
		t.Run(name, func(t *testing.T) {
			dir := t.TempDir()
			if c.script != "" {
				require.NoError(t, os.WriteFile(filepath.Join(dir, "go"), []byte(c.script), 0o700))
			}
			t.Setenv("PATH", dir)
			skipped := true
			t.Run("test", func(t *testing.T) {
				defer func() { skipped = t.Skipped() }()
				Only(t)
			})
			require.Equal(t, c.skips, skipped)
		})
	}
}
