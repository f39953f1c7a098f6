// Speed measures the module on this machine and writes a report: all benchmarks
// with their ratios to math.Exp and math.Sin, the same work by other libraries,
// and how time and memory grow with the work.
//
//	cd speed && go run . -o ../docs/speed.md
//
// It takes some minutes and wants a quiet machine. What it compares with and is
// not there, the report names as not measured. It is a module of its own, so
// that nothing it needs reaches those who import the library.
package main

import (
	"bytes"
	"flag"
	"fmt"
	"io"
	"math"
	"os"
	"strings"
	"time"
)

func main() {
	if err := run(os.Args[1:], os.Stdout, os.Stderr); err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
}

func run(args []string, out, progress io.Writer) error {
	fs := flag.NewFlagSet("speed", flag.ContinueOnError)
	file := fs.String("o", "", "`file` to write the report to; standard output if empty")
	count := fs.Int("count", 10, "how often each benchmark runs")
	benchtime := fs.String("benchtime", "50ms", "how long each run of a benchmark takes")
	bench := fs.Bool("bench", true, "run the benchmarks")
	compare := fs.Bool("compare", true, "compare with other libraries")
	scaling := fs.Bool("scaling", true, "measure how time and memory grow with the work")
	from := fs.String("from", "", "`file` with output of go test -bench to read in place of running it")
	fs.DurationVar(&effort, "effort", effort, "how long each comparison is timed")
	name := fs.String("job", "", "used within: run one `job` of the growth in this process")
	size := fs.Int("size", 0, "used within: its size")
	if err := fs.Parse(args); err != nil {
		return err
	}
	if *name != "" {
		return work(*name, *size, out)
	}
	if _, err := os.Stat("../examples/station/demo.toml"); err != nil {
		return fmt.Errorf("run it in its own folder, speed: %w", err)
	}
	h := header{date: time.Now(), machine: thisMachine(), command: strings.TrimSpace("go run . " + strings.Join(args, " ")),
		count: *count, benchtime: *benchtime, othersFrac: math.NaN()}
	before, known := loadNow()
	r := &results{}
	switch {
	case *from != "":
		f, err := os.Open(*from)
		if err != nil {
			return err
		}
		defer f.Close()
		r.bench = &benchmarks{}
		if err := r.bench.read(f); err != nil {
			return err
		}
	case *bench:
		r.bench = runBenchmarks(*count, *benchtime, progress)
	}
	if *compare {
		fmt.Fprintln(progress, "other libraries")
		r.comparisons = compareAll()
	}
	if *scaling {
		r.growth = measureGrowth(progress)
		fmt.Fprintln(progress, "sizing map 400 x 20")
		c := inChild(wholeMap.name, wholeMap.size[0], 2)
		r.wholeMap = &c
	}
	if after, ok := loadNow(); ok && known {
		h.othersFrac = others(before, after)
	}
	var b bytes.Buffer
	writeReport(&b, h, r)
	if *file == "" {
		_, err := out.Write(b.Bytes())
		return err
	}
	return os.WriteFile(*file, b.Bytes(), 0o644)
}
