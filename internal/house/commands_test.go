package house

import (
	"context"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"github.com/stationphysics/stationphysics/internal/house/host"
)

// documents are the files that a reader follows, from the root.
func documents(t *testing.T) []string {
	t.Helper()
	out, err := filepath.Glob("../../docs/*.md")
	require.NoError(t, err)
	require.NotEmpty(t, out)
	docs := []string{"README.md", "DEVELOPERS.md"}
	for _, p := range out {
		docs = append(docs, "docs/"+filepath.Base(p))
	}
	return docs
}

// notRun are the commands that this test does not run, each with its reason.
// Those that .ci/run runs are looked for there.
var notRun = map[string]string{
	"go test ./...":               "it would run itself; .ci/run",
	"bash .ci/run":                "it runs this test",
	"go test -race ./station/...": "takes minutes and a C compiler; .ci/run",
	"CGO_ENABLED=0 GOARCH=arm go test -exec qemu-arm ./psychro":                                               "needs an emulator and takes minutes; .ci/run does it for the physics",
	"CGO_ENABLED=0 GOARCH=arm GOARM=6 go test -vet=off -timeout 2h -exec qemu-arm ./...":                      "needs an emulator and takes an hour; .ci/run does it for the physics",
	"CGO_ENABLED=0 GOARCH=arm64 go test -vet=off -timeout 2h -exec qemu-aarch64 ./...":                        "needs an emulator and takes an hour; .ci/run does it for the physics",
	"GOAMD64=v3 go test -vet=off ./...":                                                                       "it would run itself, and not every processor can",
	"go install github.com/tetratelabs/wazero/cmd/wazero@v1.12.0":                                             "installs a program; .ci/run does it in a folder of its own",
	`GOOS=wasip1 GOARCH=wasm go test -exec "wazero run -mount=/:/ -env-inherit" ./psychro ./baro ./solar/...`: "needs a runtime; .ci/run does it for all of the physics",
	"go run ./internal/cmd/accuracy -update":                                                                  "runs the tests of all packages and writes; its own test compares",
	"(cd speed && go run . -o ../docs/speed.md)":                                                              "takes minutes on a quiet machine and writes",
}

// adjust makes a command safe and short to run: FILE is a typical year, what is
// written goes to a folder of the test, a benchmark runs once, a search for
// inputs becomes the list of the targets it would search, and a generated
// document is compared and not written.
var adjust = []struct {
	pattern *regexp.Regexp
	by      string
}{
	{regexp.MustCompile(`\bFILE\b`), "$$WORK/typical.csv"},
	{regexp.MustCompile(`(^| )(my\.toml|log\.csv|here\.txt|there\.txt|bench\.svg)\b`), "${1}$$WORK/$2"},
	{regexp.MustCompile(`-bench \.$`), "-bench . -benchtime 1x"},
	{regexp.MustCompile(`-run xxx -fuzz (\S+) -fuzztime \S+`), "-list $1"},
	{regexp.MustCompile(` -update\b`), ""},
	{regexp.MustCompile(`=\.\./stationphysics\b`), "=$$ROOT"},
}

// A docCommand is a command that a document tells to type.
type docCommand struct {
	doc, line string
	block     int // commands of one block share a folder and an order; -1 stands in the text
}

// docCommands finds all commands: every line of every block of shell, and what
// stands in the text between backticks and begins like one.
func docCommands(t *testing.T) []docCommand {
	t.Helper()
	var out []docCommand
	block := 0
	fence := regexp.MustCompile("(?ms)^```([a-z]*)\n(.*?)^```$")
	inline := regexp.MustCompile("`((?:go (?:run|test|build|vet|mod|get|install)|bash|sh|make|CGO_ENABLED=\\S*) [^`]+)`")
	for _, doc := range documents(t) {
		b, err := os.ReadFile(filepath.Join("../..", doc))
		require.NoError(t, err)
		text := string(b)
		for _, m := range fence.FindAllStringSubmatch(text, -1) {
			switch m[1] {
			case "sh":
				block++
				for line := range strings.SplitSeq(strings.ReplaceAll(m[2], "\\\n", " "), "\n") {
					line, _, _ = strings.Cut(line, " #")
					if line = strings.Join(strings.Fields(line), " "); line != "" {
						out = append(out, docCommand{doc, line, block})
					}
				}
			case "go", "csv", "text", "":
				// A program, tables and printed text have tests of their own; the
				// last is a picture of the folders.
				require.NotRegexp(t, `(?m)^\s*\$? ?(go|bash) `, m[2], "%s: a command stands in a block that is no sh", doc)
			default:
				t.Errorf("%s: a block of a kind that no test knows: %s", doc, m[1])
			}
		}
		text = fence.ReplaceAllString(text, "")
		require.NotRegexp(t, `(?m)^(    |\t)(go|bash) `, text, "%s: a command stands in an indented block: make it one of sh", doc)
		if doc == "docs/speed.md" {
			continue // it names the commands by which it was measured, in a module of its own
		}
		for _, m := range inline.FindAllStringSubmatch(text, -1) {
			out = append(out, docCommand{doc, strings.Join(strings.Fields(m[1]), " "), -1})
		}
	}
	return out
}

// Every command that the documents tell to type runs, in the order of its
// block, but for a short list.
func TestEveryCommandInTheDocumentsRuns(t *testing.T) {
	commands := docCommands(t)
	require.Greater(t, len(commands), 15)
	if testing.Short() {
		t.Skip("builds and runs programs")
	}
	host.Only(t)
	if _, err := exec.LookPath("bash"); err != nil {
		t.Skip("bash is not here: nothing can run the commands")
	}
	root, err := filepath.Abs("../..")
	require.NoError(t, err)
	ci, err := os.ReadFile(filepath.Join(root, ".ci/run"))
	require.NoError(t, err)
	work, mine := t.TempDir(), t.TempDir()
	_, _, example := csvSection(t, "### A typical year, TMY3")
	require.NoError(t, os.WriteFile(filepath.Join(work, "typical.csv"), []byte(typicalYear(t, example, "", func(hour int, cells map[string]string) {
		if h := hour % 24; h >= 9 && h < 15 { // the sun is up then in any month
			cells["GHI (W/m^2)"], cells["DNI (W/m^2)"], cells["DHI (W/m^2)"] = "230", "350", "90"
		}
	})), 0o600))
	readme, err := os.ReadFile(filepath.Join(root, "README.md"))
	require.NoError(t, err)
	program := regexp.MustCompile("(?s)```go\n(package main.*?)```").FindSubmatch(readme)
	require.NotNil(t, program, "the README has a program")
	says := regexp.MustCompile("It prints `([^`]+)`").FindSubmatch(readme)
	require.NotNil(t, says, "the README says what it prints")
	require.NoError(t, os.WriteFile(filepath.Join(mine, "main.go"), program[1], 0o600))

	skipped := map[string]bool{}
	ran := map[string]bool{}
	block, dir := 0, root
	for _, c := range commands {
		if c.block != block {
			block, dir = c.block, root
		}
		if reason, no := notRun[c.line]; no {
			skipped[c.line] = true
			if strings.HasSuffix(reason, "; .ci/run") {
				require.Contains(t, string(ci), "\n"+c.line+"\n", "the checks run it")
			}
			continue
		}
		// The tests of one package run with all others.
		if p := regexp.MustCompile(`^go test \./([\w/]+)$`).FindStringSubmatch(c.line); p != nil {
			require.DirExists(t, filepath.Join(root, p[1]), "%s: %s", c.doc, c.line)
			continue
		}
		if strings.HasPrefix(c.line, "go mod init ") {
			dir = mine // the block is about another module
		}
		if c.block < 0 && ran[c.line] {
			continue
		}
		line := c.line
		for _, a := range adjust {
			line = a.pattern.ReplaceAllString(line, a.by)
		}
		ctx, cancel := context.WithTimeout(context.Background(), 3*time.Minute)
		cmd := exec.CommandContext(ctx, "bash", "-euo", "pipefail", "-c", line)
		cmd.WaitDelay = time.Second
		cmd.Dir = dir
		cmd.Env = append(host.Env(), "WORK="+work, "ROOT="+root, "GOWORK=off")
		if dir == mine {
			cmd.Env = append(cmd.Env, "GOFLAGS=")
		}
		out, err := cmd.CombinedOutput()
		cancel()
		require.NoError(t, err, "%s: %s\nrun as %s\n%s", c.doc, c.line, line, out)
		ran[c.line] = true
		switch {
		case strings.Contains(line, " -list "):
			targets := regexp.MustCompile(`(?m)^Fuzz\w+$`).FindAllString(string(out), -1)
			require.Len(t, targets, 1, "%s: %s searches one target at a time", c.doc, c.line)
		case strings.Contains(line, " -run xxx "):
			require.Contains(t, string(out), "Benchmark", c.line)
		case strings.Contains(line, "go test "):
			require.NotContains(t, string(out), "no tests to run", "%s: %s", c.doc, c.line)
		case dir == mine && line == "go run .":
			require.Equal(t, string(says[1]), strings.TrimSpace(string(out)))
		}
	}
	for line := range notRun {
		require.True(t, skipped[line], "no document has %q any more", line)
	}
	require.True(t, ran["go run ."] && ran["go run ./examples/station"], "the first commands of the README")
	_, err = os.Stat(filepath.Join(work, "my.toml"))
	require.NoError(t, err)
}

// Flags that the documents name are flags of the programs.
func TestFlagsInTheDocumentsExist(t *testing.T) {
	if testing.Short() {
		t.Skip("builds and runs programs")
	}
	host.Only(t)
	known := []string{"-update", "-short", "-w"} // of go test, and of apidiff
	for _, program := range []string{"station", "readings", "benchtest", "firmware", "values"} {
		cmd := exec.Command("go", "run", "./examples/"+program, "-h")
		cmd.Dir = "../.."
		cmd.Env = host.Env()
		out, err := cmd.CombinedOutput()
		require.NoError(t, err, string(out))
		for _, m := range regexp.MustCompile(`(?m)^  (-[\w-]+)`).FindAllStringSubmatch(string(out), -1) {
			known = append(known, m[1])
		}
	}
	require.Greater(t, len(known), 20)
	seen := 0
	for _, doc := range documents(t) {
		b, err := os.ReadFile(filepath.Join("../..", doc))
		require.NoError(t, err)
		for _, m := range regexp.MustCompile("`(-[a-z][\\w-]*)[^`]*`").FindAllStringSubmatch(string(b), -1) {
			seen++
			require.True(t, slices.Contains(known, m[1]), "%s names %s, which no program has", doc, m[1])
		}
	}
	require.Greater(t, seen, 5)
}
