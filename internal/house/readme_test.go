package house

import (
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// The program in the README runs in a module of its own that imports this one
// from its folder, and prints what the README says.
func TestReadmeProgram(t *testing.T) {
	if _, err := exec.LookPath("go"); err != nil {
		t.Skip("the go command is not here: nothing can build the program")
	}
	root, err := filepath.Abs("../..")
	require.NoError(t, err)
	readme, err := os.ReadFile(filepath.Join(root, "README.md"))
	require.NoError(t, err)
	program := regexp.MustCompile("(?s)```go\n(package main.*?)```").FindSubmatch(readme)
	require.NotNil(t, program, "the README has a program")
	says := regexp.MustCompile("It prints `([^`]+)`").FindSubmatch(readme)
	require.NotNil(t, says, "the README says what it prints")

	dir := t.TempDir()
	require.NoError(t, os.WriteFile(filepath.Join(dir, "main.go"), program[1], 0o600))
	gomod := "module example.org/mine\n\ngo 1.24.0\n\nrequire " + module + " v0.0.0\n\nreplace " + module + " => " + root + "\n"
	require.NoError(t, os.WriteFile(filepath.Join(dir, "go.mod"), []byte(gomod), 0o600))
	cmd := exec.Command("go", "run", ".")
	cmd.Dir = dir
	cmd.Env = append(os.Environ(), "GOFLAGS=-mod=mod", "GOWORK=off")
	out, err := cmd.CombinedOutput()
	require.NoError(t, err, string(out))
	require.Equal(t, string(says[1]), strings.TrimSpace(string(out)))
}

// Files and folders that the documents name exist.
func TestDocumentsNameWhatExists(t *testing.T) {
	for _, doc := range []string{"README.md", "DEVELOPERS.md"} {
		b, err := os.ReadFile(filepath.Join("../..", doc))
		require.NoError(t, err)
		for _, m := range regexp.MustCompile("(?:\\./|`)((?:examples|docs|testdata|internal|station|psychro|\\.ci)(?:/[A-Za-z0-9_.-]+)+)").FindAllStringSubmatch(string(b), -1) {
			if strings.Contains(m[1], "...") || strings.HasSuffix(m[1], "/") {
				continue
			}
			_, err := os.Stat(filepath.Join("../..", m[1]))
			require.NoError(t, err, "%s names %s", doc, m[1])
		}
	}
}
