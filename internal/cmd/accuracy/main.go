// Command accuracy prints how close the library comes to its check values: per
// package and quantity their number by kind, the largest deviation in units of
// its tolerance, and the reason of the tolerance. It runs the tests that compare
// with check values and counts what they compare, so it knows of no formula and
// states nothing that a test does not hold.
//
//	go run ./internal/cmd/accuracy           # print it
//	go run ./internal/cmd/accuracy -update   # write docs/accuracy.md
package main

import (
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"github.com/stationphysics/stationphysics/internal/refdata"
)

const module = "github.com/stationphysics/stationphysics"

func main() {
	update := flag.Bool("update", false, "write docs/accuracy.md instead of printing")
	flag.Parse()
	if err := run(flag.Args(), *update); err != nil {
		fmt.Fprintln(os.Stderr, "accuracy:", err)
		os.Exit(1)
	}
}

func run(args []string, update bool) error {
	if len(args) > 0 {
		return fmt.Errorf("unexpected %q: the command has no arguments, only -update", args[0])
	}
	root, err := findRoot()
	if err != nil {
		return err
	}
	doc, err := makeDocument(root)
	if err != nil {
		return err
	}
	if update {
		return os.WriteFile(filepath.Join(root, "docs", "accuracy.md"), doc, 0o644)
	}
	_, err = os.Stdout.Write(doc)
	return err
}

// findRoot is the folder of this module, if the command runs inside it.
func findRoot() (string, error) {
	root, err := refdata.ModuleRoot()
	if err != nil {
		return "", fmt.Errorf("run it inside the module %s: there is no go.mod above the current folder", module)
	}
	b, err := os.ReadFile(filepath.Join(root, "go.mod"))
	if err != nil {
		return "", err
	}
	for line := range strings.Lines(string(b)) {
		if f := strings.Fields(line); len(f) == 2 && f[0] == "module" && f[1] == module {
			return root, nil
		}
	}
	return "", fmt.Errorf("run it inside the module %s: %s belongs to another", module, root)
}

func makeDocument(root string) ([]byte, error) {
	packages, err := listPackages(root)
	if err != nil {
		return nil, err
	}
	comparisons, err := runTests(root, packages)
	if err != nil {
		return nil, err
	}
	if err := checkEveryFileSeen(root, comparisons); err != nil {
		return nil, err
	}
	sources, err := refdata.ReadSources(filepath.Join(root, "testdata", "SOURCES.md"))
	if err != nil {
		return nil, err
	}
	quantities, err := summarise(comparisons, sources)
	if err != nil {
		return nil, err
	}
	var names []string
	for _, p := range packages {
		if p.public() {
			names = append(names, p.name())
		}
	}
	return document(names, quantities), nil
}
