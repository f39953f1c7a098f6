package main

import (
	"fmt"
	"io"
	"math"
	"slices"
	"strings"
	"time"
)

// A header says when and where the numbers were taken.
type header struct {
	date       time.Time
	machine    machine
	command    string
	count      int
	benchtime  string
	othersFrac float64 // share of processor time that went to other programs; NaN if unknown
}

// busy is the share of a machine taken by others from which on times are not to
// be trusted: one core in ten.
const busy = 0.1

func writeReport(w io.Writer, h header, r *results) {
	m := h.machine
	fmt.Fprintf(w, "# Speed\n\nMeasured on %s with `%s`: %s, %d cores", h.date.Format("2 January 2006"), h.command, m.cpu, m.cores)
	if m.memoryGB > 0 {
		fmt.Fprintf(w, ", %.0f GB", m.memoryGB)
	}
	fmt.Fprintf(w, "; %s, %s. ", m.system, m.goVersion)
	switch {
	case math.IsNaN(h.othersFrac):
		fmt.Fprintf(w, "How busy the machine was is not known.\n")
	case h.othersFrac > busy:
		fmt.Fprintf(w, "**Provisional: other programs took %.0f %% of the processor time meanwhile. Times are too long and ratios uncertain; measure again on a quiet machine.**\n", 100*h.othersFrac)
	default:
		fmt.Fprintf(w, "Other programs took %.0f %% of the processor time meanwhile.\n", 100*h.othersFrac)
	}
	fmt.Fprintf(w, "\nThe numbers are those of this day and machine; no test keeps them current. Times are the shortest of their repetitions, but for growth and the sizing map. `speed/README.md` says how to measure again and which licences the other libraries have.\n")
	writeTargets(w, r)
	if r.bench != nil {
		writeSteps(w, r.bench)
	}
	for _, c := range r.comparisons {
		writeComparison(w, c)
	}
	if r.growth != nil {
		writeGrowth(w, r)
	}
	if r.bench != nil {
		writeBenchmarks(w, r.bench, h)
	}
}

// short writes a number to three digits, without an exponent.
func short(x float64) string {
	switch a := math.Abs(x); {
	case math.IsNaN(x):
		return "-"
	case a == 0:
		return "0"
	case a >= 100:
		return fmt.Sprintf("%.0f", x)
	case a >= 10:
		return fmt.Sprintf("%.1f", x)
	case a >= 1:
		return fmt.Sprintf("%.2f", x)
	}
	return fmt.Sprintf("%.3g", x)
}

// duration writes nanoseconds with the unit that suits them.
func duration(ns float64) string {
	switch {
	case math.IsNaN(ns):
		return "-"
	case ns < 1e3:
		return short(ns) + " ns"
	case ns < 1e6:
		return short(ns/1e3) + " µs"
	case ns < 1e9:
		return short(ns/1e6) + " ms"
	}
	return short(ns/1e9) + " s"
}

func memory(b float64) string {
	switch {
	case b == 0:
		return "-"
	case b < 1e6:
		return short(b/1e3) + " kB"
	}
	return short(b/1e6) + " MB"
}

func row(w io.Writer, cells ...string) {
	fmt.Fprintf(w, "| %s |\n", strings.Join(cells, " | "))
}

// head writes the heading of a table; its first column holds words, the others
// numbers.
func head(w io.Writer, cells ...string) {
	row(w, cells...)
	fmt.Fprintf(w, "|---|%s\n", strings.Repeat("---:|", len(cells)-1))
}

func writeTargets(w io.Writer, r *results) {
	fmt.Fprintf(w, "\n## Targets\n\nBounds are the project's own. In multiples of one bare `math.Exp` (`psychro` BenchmarkExp) or `math.Sin` (`solar` BenchmarkSine) of the same run where that is the unit. \"Linear\" is a power of %g at most from tenfold to hundredfold work.\n\n", linear)
	head(w, "what", "measured", "unit", "bound", "verdict", "what takes the time or room")
	for _, t := range targets() {
		v := t.value(r)
		row(w, targetCells(t, v)...)
	}
}

func targetCells(t target, v float64) []string {
	bound := "-"
	if t.bound > 0 {
		bound = "≤ " + num(t.bound)
	}
	value := short(v)
	if t.unit == powerOfWork {
		value = power(v)
	}
	return []string{t.name, value, t.unit, bound, verdict(v, t.bound), t.limit}
}

func writeSteps(w io.Writer, b *benchmarks) {
	fmt.Fprintf(w, "\n## One step of a year beside the sum of its parts\n\n")
	head(w, "one call of each", "ns")
	for _, c := range stepCalls {
		ns, ok := b.ns(c.pkg, c.name)
		if !ok {
			ns = math.NaN()
		}
		row(w, fmt.Sprintf("%s (`%s` %s)", c.what, c.pkg, c.name), short(ns))
	}
	sum, whole := stepSum(b)
	if !whole {
		fmt.Fprintf(w, "\nNot all of them were measured: there is no sum.\n")
		return
	}
	row(w, "sum", short(sum))
	fmt.Fprintln(w)
	head(w, "whole chain", "ns a step", "× the sum")
	for _, y := range stepYears {
		ns, ok := b.ns("station", y.name)
		if !ok {
			row(w, y.what, "-", "-")
			continue
		}
		row(w, y.what, short(ns/y.steps), fmt.Sprintf("%.2f", ns/y.steps/sum))
	}
	fmt.Fprintf(w, "\nOne call of each is not what every step makes: an hour of daylight sees the sun and the plane two or three times, and only in the first year where the sun stands; its panel is also solved for the maximum power and for the diode; at night there are neither sun nor panel; the supply is read from a table of points; minutes share one box among ten.\n")
}

func writeComparison(w io.Writer, c *comparison) {
	fmt.Fprintf(w, "\n## %s\n\n%s\n\n", c.title, c.work)
	row(w, "by", c.result, c.differ, "time", "× ours", "more or less")
	fmt.Fprintf(w, "|---|---|---:|---:|---:|---|\n")
	for _, e := range c.rows {
		row(w, e.by, e.result, e.differs, duration(e.ns), short(e.ns/c.rows[e.base].ns), e.note)
	}
	for _, a := range c.absent {
		fmt.Fprintf(w, "\nNot measured: %s.\n", strings.TrimSuffix(a, "."))
	}
}

func writeGrowth(w io.Writer, r *results) {
	fmt.Fprintf(w, "\n## Growth with the work\n\nEach size in a process of its own. Time is the mean of the repetitions, for the shortest of many small ones would be quieter than the only large one. The power is p of cost ~ work^p since the size before. Processor time is that of the process with its start and repetitions; heap is the most that objects took, dead ones not yet swept included; resident is the most that the process held, some 6 MB of which is the program itself.\n")
	for _, g := range r.growth {
		if g.cores == 1 {
			fmt.Fprintf(w, "\n%s:\n\n", strings.ToUpper(g.job.what[:1])+g.job.what[1:])
			head(w, "size", "cores", "time", "power", "processor time", "repetitions", "allocated", "heap", "power", "resident")
		}
		for i, c := range g.cost {
			if c.FailReason != "" {
				row(w, fmt.Sprint(g.job.size[i]), fmt.Sprint(g.cores), "not measured: "+c.FailReason, "", "", "", "", "", "", "")
				continue
			}
			pt, pm := math.NaN(), math.NaN()
			if i > 0 {
				f := float64(g.job.size[i]) / float64(g.job.size[i-1])
				pt, pm = exponent(g.cost[i-1].WallS, c.WallS, f), exponent(g.cost[i-1].PeakHeapB, c.PeakHeapB, f)
			}
			row(w, fmt.Sprint(g.job.size[i]), fmt.Sprint(g.cores), duration(1e9*c.WallS), power(pt), duration(1e9*c.CPUS), fmt.Sprint(c.Repeats),
				memory(c.AllocB), memory(c.PeakHeapB), power(pm), memory(c.ResidentB))
		}
	}
	if m := r.wholeMap; m != nil {
		if m.FailReason != "" {
			fmt.Fprintf(w, "\nThe sizing map of 400 variants over 20 years was not measured: %s.\n", m.FailReason)
		} else {
			fmt.Fprintf(w, "\nThe sizing map of 400 variants over 20 years on 2 cores: %s, %s of processor time, %s allocated, heap %s, resident %s.\n",
				duration(1e9*m.WallS), duration(1e9*m.CPUS), memory(m.AllocB), memory(m.PeakHeapB), memory(m.ResidentB))
		}
	}
}

func power(p float64) string {
	if math.IsNaN(p) {
		return "-"
	}
	return fmt.Sprintf("%.2f", math.Round(100*p)/100+0) // no negative zero
}

func writeBenchmarks(w io.Writer, b *benchmarks, h header) {
	fmt.Fprintf(w, "\n## All benchmarks\n\n`go test -bench . -benchmem`, %d times %s each, the sizing map once. Ratios are of the shortest times. The other yardsticks of packages (Exp, Sine, Sin) may wait for each result before the next call, or let them overlap, and so differ from 1.\n", h.count, h.benchtime)
	list := slices.Clone(b.list)
	slices.SortStableFunc(list, func(x, y *measure) int { return strings.Compare(x.pkg, y.pkg) })
	for i, m := range list {
		if i == 0 || list[i-1].pkg != m.pkg {
			fmt.Fprintf(w, "\n### %s\n\n", m.pkg)
			head(w, "benchmark", "shortest, ns/op", "median, ns/op", "× math.Exp", "× math.Sin", "B/op", "allocs/op")
		}
		ratio := func(f func(*benchmarks, string, string) (float64, bool)) string {
			x, ok := f(b, m.pkg, m.name)
			if !ok {
				return "-"
			}
			return short(x)
		}
		bytes, allocs := "-", "-"
		if m.withMemory {
			bytes, allocs = fmt.Sprintf("%.0f", m.bytesPerOp), fmt.Sprintf("%.0f", m.allocsPerOp)
		}
		row(w, m.name, short(m.min()), short(m.median()), ratio((*benchmarks).inExp), ratio((*benchmarks).inSin), bytes, allocs)
	}
	for _, s := range b.wrong {
		fmt.Fprintf(w, "\nWent wrong: %s\n", s)
	}
}
