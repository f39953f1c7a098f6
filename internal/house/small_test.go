package house

import (
	"debug/elf"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"github.com/stationphysics/stationphysics/internal/house/host"
)

// carried are the packages of ours that come with psychro and baro.
var carried = map[string]bool{
	module: true, module + "/internal/limit": true, module + "/internal/numeric": true, module + "/psychro": true, module + "/baro": true,
}

// What a program pays for psychro and baro: nothing that works by reflection, no
// gonum, and the size that docs/portability.md states.
func TestSmallProgram(t *testing.T) {
	if testing.Short() {
		t.Skip("builds and runs programs")
	}
	host.Only(t)
	b, err := os.ReadFile("../../docs/portability.md")
	require.NoError(t, err)
	doc := string(b)
	withFmt, prints := readmeProgram(t)
	withoutFmt := programIn(t, doc)
	const nothing = "package main\n\nimport \"os\"\n\nfunc main() { os.Stdout.WriteString(\"nothing\\n\") }\n"

	for _, c := range []struct {
		row, program string
		ours         int  // packages of this module
		reflects     bool // by the fmt it imports itself
	}{
		{"README's program, with `fmt`", withFmt, len(carried), true},
		{"the same without `fmt`", withoutFmt, len(carried), false},
		{"one that only writes a word", nothing, 0, false},
	} {
		t.Run(c.row, func(t *testing.T) {
			dir, env := outside(t, c.program)
			if c.ours > 0 {
				require.Equal(t, prints, strings.TrimSpace(goHere(t, dir, env, "run", ".")))
			}
			row := regexp.MustCompile(`(?m)^\| ` + regexp.QuoteMeta(c.row) + ` \| (\d+) kB \| (\d+) kB \|`).FindStringSubmatch(doc)
			require.NotNil(t, row, "a row of sizes")
			for i, arch := range []string{"amd64", "arm"} {
				target := append(env, "CGO_ENABLED=0", "GOOS=linux", "GOARCH="+arch, "GOARM=6")
				ours := 0
				for path, p := range listIn(t, dir, target, ".") {
					require.Equal(t, c.reflects && (path == "fmt" || path == "reflect"), tooMuch(path), "%s for %s", path, arch)
					if path != module && !strings.HasPrefix(path, module+"/") {
						continue
					}
					ours++
					require.True(t, carried[path], "psychro and baro carry %s", path)
					for _, d := range p.Deps {
						require.False(t, tooMuch(d), "%s carries %s", path, d)
					}
				}
				require.Equal(t, c.ours, ours)

				goHere(t, dir, target, "build", "-ldflags=-s -w", "-o", "stripped")
				info, err := os.Stat(filepath.Join(dir, "stripped"))
				require.NoError(t, err)
				stated, err := strconv.Atoi(row[1+i])
				require.NoError(t, err)
				// A tenth for other releases of Go; a package too much is more.
				require.InEpsilon(t, float64(stated), float64(info.Size())/1000, 0.1, "kB for %s", arch)

				goHere(t, dir, target, "build", "-o", "whole")
				own, reflects := symbols(t, filepath.Join(dir, "whole"))
				require.Equal(t, c.reflects, reflects, "reflect is linked for %s", arch)
				if c.ours > 0 {
					require.Greater(t, own, 5000, "bytes of ours for %s", arch)
				}
				require.Less(t, own, 40_000, "bytes of ours for %s", arch)
				t.Logf("%s: %d bytes, %d of them ours", arch, info.Size(), own)
			}
		})
	}
}

// symbols sums the code and data of this module in an executable, and tells whether
// package reflect is linked into it.
func symbols(t *testing.T, path string) (ours int, reflects bool) {
	t.Helper()
	f, err := elf.Open(path)
	require.NoError(t, err)
	defer f.Close()
	all, err := f.Symbols()
	require.NoError(t, err)
	require.NotEmpty(t, all)
	for _, s := range all {
		if strings.HasPrefix(s.Name, module+"/") || strings.HasPrefix(s.Name, module+".") {
			ours += int(s.Size)
		}
		reflects = reflects || strings.HasPrefix(s.Name, "reflect.")
	}
	return ours, reflects
}

// readmeProgram is the program in the README and what the README says it prints.
func readmeProgram(t *testing.T) (program, prints string) {
	t.Helper()
	readme, err := os.ReadFile("../../README.md")
	require.NoError(t, err)
	says := regexp.MustCompile("It prints `([^`]+)`").FindSubmatch(readme)
	require.NotNil(t, says, "the README says what it prints")
	return programIn(t, string(readme)), string(says[1])
}

// programIn is the first whole program of a document.
func programIn(t *testing.T, document string) string {
	t.Helper()
	program := regexp.MustCompile("(?s)```go\n(package main.*?)```").FindStringSubmatch(document)
	require.NotNil(t, program, "a program in the document")
	return program[1]
}

// outside makes a module of its own that imports this one from its folder, and
// gives the environment of the go command there.
func outside(t *testing.T, program string) (dir string, env []string) {
	t.Helper()
	root, err := filepath.Abs("../..")
	require.NoError(t, err)
	dir = t.TempDir()
	require.NoError(t, os.WriteFile(filepath.Join(dir, "main.go"), []byte(program), 0o600))
	gomod := "module example.org/mine\n\ngo 1.24.0\n\nrequire " + module + " v0.0.0\n\nreplace " + module + " => " + root + "\n"
	require.NoError(t, os.WriteFile(filepath.Join(dir, "go.mod"), []byte(gomod), 0o600))
	return dir, append(host.Env(), "GOFLAGS=-mod=mod", "GOWORK=off")
}

// goHere runs the go command in a folder.
func goHere(t *testing.T, dir string, env []string, args ...string) string {
	t.Helper()
	cmd := exec.Command("go", args...)
	cmd.Dir = dir
	cmd.Env = env
	out, err := cmd.CombinedOutput()
	require.NoError(t, err, "go %s: %s", strings.Join(args, " "), out)
	return string(out)
}
