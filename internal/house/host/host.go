// Package host is for programs and tests that start the go command. In an
// emulator of another processor they are built for that one and the go command
// is not.
package host

import (
	"os"
	"os/exec"
	"runtime"
	"strings"
	"testing"
)

// Env is the environment in which the go command builds for the machine it runs
// on, whatever the caller was built for.
func Env() []string { return append(os.Environ(), "GOOS=", "GOARCH=") }

// Only skips a test of which the go command would do all the work, if there is
// none or if it works for another processor than the test: in an emulator the
// test would repeat what a run at home shows.
func Only(t testing.TB) {
	t.Helper()
	path, err := exec.LookPath("go")
	if err != nil {
		t.Skip("the go command is not here")
	}
	out, err := exec.Command(path, "env", "GOHOSTARCH").Output()
	if err != nil {
		t.Fatal("go env GOHOSTARCH: ", err)
	}
	if arch := strings.TrimSpace(string(out)); arch != runtime.GOARCH {
		t.Skipf("runs the go command: not in an emulator (the test is for %s, the command for %s)", runtime.GOARCH, arch)
	}
}
