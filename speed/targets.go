package main

import (
	"fmt"
	"math"
)

// results are everything that a report is made from. A part that was not
// measured is nil.
type results struct {
	bench       *benchmarks
	comparisons []*comparison
	growth      []*growth
	wholeMap    *cost
}

// A target is a bound that the project set itself, or a number that it wants to
// see in every report. value is NaN if it was not measured.
type target struct {
	name  string
	unit  string
	bound float64 // 0 for none
	says  string  // what the package comment says, if it does
	value func(*results) float64
}

func fromBench(pkg, name string, scale float64) func(*results) float64 {
	return func(r *results) float64 {
		if r.bench == nil {
			return math.NaN()
		}
		ns, ok := r.bench.ns(pkg, name)
		if !ok {
			return math.NaN()
		}
		return ns * scale
	}
}

func inYards(pkg, name string, ratio func(*benchmarks, string, string) (float64, bool)) func(*results) float64 {
	return func(r *results) float64 {
		if r.bench == nil {
			return math.NaN()
		}
		x, ok := ratio(r.bench, pkg, name)
		if !ok {
			return math.NaN()
		}
		return x
	}
}

func inExp(pkg, name string) func(*results) float64 {
	return inYards(pkg, name, (*benchmarks).inExp)
}

func inSin(pkg, name string) func(*results) float64 {
	return inYards(pkg, name, (*benchmarks).inSin)
}

func bytesOf(pkg, name string) func(*results) float64 {
	return func(r *results) float64 {
		if r.bench == nil {
			return math.NaN()
		}
		m := r.bench.find(pkg, name)
		if m == nil || !m.withMemory {
			return math.NaN()
		}
		return m.bytesPerOp / 1e6
	}
}

// linear is the largest exponent that passes for linear: one tenfold of work
// then takes 11 % more than tenfold, which is the scatter of two timings.
const linear = 1.05

// powerOfWork is the unit of a growth: p of cost ~ work^p.
const powerOfWork = "power of the work"

func targets() []target {
	t := []target{
		{"saturation vapour pressure", "× math.Exp", 2, "2", inExp("psychro", "SaturationPressure")},
		{"dew point", "× math.Exp", 0, "5", inExp("psychro", "DewPoint")},
		{"wet bulb", "× math.Exp", 25, "24", inExp("psychro", "WetBulb")},
		{"pressure at sea level", "× math.Exp", 0, "", inExp("baro", "SeaLevel")},
		{"sun at one instant", "× math.Sin", 0, "190", inSin("solar", "At")},
		{"sun of a series", "× math.Sin", 0, "8", inSin("solar", "TrackAt")},
		{"tilted plane by Perez", "× math.Sin", 0, "", inSin("solar/sky", "Perez")},
		{"panel's maximum power", "× math.Exp", 0, "", inExp("solar/panel", "MaxPower")},
		{"linear regulator, one point", "ns", 20, "", fromBench("power", "LinearAt", 1)},
		{"supply with all single faults", "µs", 0, "", fromBench("power/chain", "Survey", 1e-3)},
		{"six thermal nodes, a thousand times", "µs", 0, "", fromBench("thermal/transient", "SixNodesThousandTimes", 1e-3)},
		{"one step of the pack", "× math.Exp", 0, "", inExp("battery", "Step")},
		{"full charge in steps of a second", "ms", 0, "", fromBench("battery/charge", "FullChargeAtOneSecond", 1e-6)},
		{"hourly year, whole chain", "ms", 5, "", fromBench("station", "YearHourlyWholeChain", 1e-6)},
		{"hourly year, memory allocated", "MB", 2, "", bytesOf("station", "YearHourlyWholeChain")},
		{"minute year, whole chain", "ms", 300, "", fromBench("station", "YearMinutesWholeChain", 1e-6)},
		{"sizing map 400 × 20 on 2 cores", "s", 15, "", func(r *results) float64 {
			if r.wholeMap == nil || !(r.wholeMap.WallS > 0) {
				return math.NaN()
			}
			return r.wholeMap.WallS
		}},
		{"sizing map 400 × 20, most memory resident", "MB", 200, "", func(r *results) float64 {
			if r.wholeMap == nil || !(r.wholeMap.ResidentB > 0) {
				return math.NaN()
			}
			return r.wholeMap.ResidentB / 1e6
		}},
		{"logbook, a year of minutes in twelve columns", "s", 0, "1.8", fromBench("station/logbook", "Year", 1e-9)},
	}
	for _, j := range jobs {
		for cores := 1; cores <= 2; cores++ {
			of := func(f func(*growth) float64) func(*results) float64 {
				return func(r *results) float64 {
					for _, g := range r.growth {
						if g.job.name == j.name && g.cores == cores {
							return f(g)
						}
					}
					return math.NaN()
				}
			}
			on := fmt.Sprintf("growth of %s on %d core", j.name, cores)
			if cores > 1 {
				on += "s"
			}
			t = append(t,
				target{on + ", time", powerOfWork, linear, "", of((*growth).timeExponent)},
				target{on + ", memory", powerOfWork, linear, "", of((*growth).memoryExponent)})
		}
	}
	return t
}

// verdict compares a measured value with a bound.
func verdict(value, bound float64) string {
	switch {
	case math.IsNaN(value):
		return "not measured"
	case bound == 0:
		return "no bound"
	case value <= bound:
		return "met"
	}
	if pct := 100 * (value/bound - 1); pct >= 1 {
		return fmt.Sprintf("missed by %.0f %%", pct)
	}
	return "missed by less than 1 %"
}
