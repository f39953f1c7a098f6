package main

import (
	"bytes"
	"cmp"
	"errors"
	"io"
	"os"
	"os/exec"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"golang.org/x/perf/benchfmt"
)

const module = "github.com/stationphysics/stationphysics"

// A measure is one benchmark with all its counts.
type measure struct {
	pkg, name   string // the package below the module
	ns          []float64
	bytesPerOp  float64
	allocsPerOp float64
	withMemory  bool
}

func (m *measure) min() float64 { return slices.Min(m.ns) }

func (m *measure) median() float64 {
	s := slices.Sorted(slices.Values(m.ns))
	n := len(s)
	return (s[(n-1)/2] + s[n/2]) / 2
}

// benchmarks are the measures of a run and what went wrong in it.
type benchmarks struct {
	list  []*measure
	wrong []string
}

// The yardsticks: one bare call of package math in a loop that does little
// else. Other packages have their own, some of which wait for each result
// before the next call and are then slower; the ratios of a report need one
// for all.
const (
	expPkg, expName = "psychro", "Exp"
	sinPkg, sinName = "solar", "Sine"
)

func (b *benchmarks) find(pkg, name string) *measure {
	for _, m := range b.list {
		if m.pkg == pkg && m.name == name {
			return m
		}
	}
	return nil
}

// ns is the shortest time of a benchmark.
func (b *benchmarks) ns(pkg, name string) (ns float64, ok bool) {
	m := b.find(pkg, name)
	if m == nil {
		return 0, false
	}
	return m.min(), true
}

// ratio is the shortest time of a benchmark over that of a yardstick.
func (b *benchmarks) ratio(pkg, name, yardPkg, yardName string) (x float64, ok bool) {
	a, ok1 := b.ns(pkg, name)
	y, ok2 := b.ns(yardPkg, yardName)
	if !ok1 || !ok2 || y == 0 {
		return 0, false
	}
	return a / y, true
}

func (b *benchmarks) inExp(pkg, name string) (x float64, ok bool) {
	return b.ratio(pkg, name, expPkg, expName)
}

func (b *benchmarks) inSin(pkg, name string) (x float64, ok bool) {
	return b.ratio(pkg, name, sinPkg, sinName)
}

var procs = regexp.MustCompile(`-[0-9]+$`)

// read adds the benchmarks of go test's output. Repeated names of a package
// are counts of one benchmark.
func (b *benchmarks) read(r io.Reader) error {
	in := benchfmt.NewReader(r, "go test")
	for in.Scan() {
		var res *benchfmt.Result
		switch rec := in.Result().(type) {
		case *benchfmt.Result:
			res = rec
		case *benchfmt.SyntaxError:
			b.wrong = append(b.wrong, rec.Error())
			continue
		default:
			continue
		}
		pkg := strings.TrimPrefix(strings.TrimPrefix(res.GetConfig("pkg"), module), "/")
		name := procs.ReplaceAllString(string(res.Name), "")
		m := b.find(pkg, name)
		if m == nil {
			m = &measure{pkg: pkg, name: name}
			b.list = append(b.list, m)
		}
		for _, v := range res.Values {
			switch v.Unit {
			case "sec/op":
				// benchfmt hands times over in seconds.
				m.ns = append(m.ns, cmp.Or(v.OrigValue, v.Value*1e9))
			case "B/op":
				m.bytesPerOp, m.withMemory = max(m.bytesPerOp, v.Value), true
			case "allocs/op":
				m.allocsPerOp = max(m.allocsPerOp, v.Value)
			}
		}
	}
	b.list = slices.DeleteFunc(b.list, func(m *measure) bool { return len(m.ns) == 0 })
	return in.Err()
}

// sizing is the one benchmark that takes tens of seconds: it runs apart, once.
const sizing = "^BenchmarkSizingMap400x20$"

// runBenchmarks runs all benchmarks of the main module. Errors of the run are
// kept in its result: what was measured stands.
func runBenchmarks(count int, benchtime string, progress io.Writer) *benchmarks {
	b := &benchmarks{}
	for _, args := range [][]string{
		{"-bench", ".", "-skip", sizing, "-count", strconv.Itoa(count), "-benchtime", benchtime, "./..."},
		{"-bench", sizing, "-benchtime", "1x", "./station"},
	} {
		cmd := exec.Command("go", append([]string{"test", "-run", "^$", "-vet", "off", "-timeout", "30m", "-benchmem"}, args...)...)
		cmd.Dir = ".."
		// The module is measured with its own versions of everything.
		cmd.Env = append(os.Environ(), "GOWORK=off")
		var out bytes.Buffer
		cmd.Stdout, cmd.Stderr = io.MultiWriter(&out, progress), progress
		if err := cmd.Run(); err != nil {
			b.wrong = append(b.wrong, "go "+strings.Join(cmd.Args[1:], " ")+": "+err.Error())
			if errors.Is(err, exec.ErrNotFound) {
				break
			}
		}
		if err := b.read(&out); err != nil {
			b.wrong = append(b.wrong, err.Error())
		}
	}
	return b
}
