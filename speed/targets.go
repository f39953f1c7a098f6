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
	limit string  // what keeps it from being less
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
		{"saturation vapour pressure", "× math.Exp", 2.5, "an exponential and the polynomial of its argument", inExp("psychro", "SaturationPressure")},
		{"dew point", "× math.Exp", 6, "a logarithm and polynomials", inExp("psychro", "DewPoint")},
		{"wet bulb", "× math.Exp", 25, "steps of Newton's method, each with a saturation pressure and its slope", inExp("psychro", "WetBulb")},
		{"pressure at sea level", "× math.Exp", 5, "an exponential", inExp("baro", "SeaLevel")},
		{"sun at one instant", "ns", 2500, "some 200 cosines of the series for the Earth's place and the nutation", fromBench("solar", "At", 1)},
		{"sun at one instant, in sines", "× math.Sin", 0, "", inSin("solar", "At")},
		{"sun of a series", "ns", 90, "two arc tangents, a root and the refraction; the series is a cubic there", fromBench("solar", "TrackAt", 1)},
		{"sun of a series, in sines", "× math.Sin", 0, "", inSin("solar", "TrackAt")},
		{"tilted plane by Perez", "ns", 150, "sine and cosine of two angles, the air mass", fromBench("solar/sky", "Perez", 1)},
		{"tilted plane by Perez, in sines", "× math.Sin", 0, "", inSin("solar/sky", "Perez")},
		{"a year of minutes, sun and tilted plane", "ms", 150, "the two above", fromBench("solar/sky", "YearOfMinutes", 1e-6)},
		{"panel's maximum power", "ns", 400, "two exponentials and two divisions a step, two steps", fromBench("solar/panel", "MaxPower", 1)},
		{"panel's current at a voltage", "ns", 150, "an exponential and a logarithm", fromBench("solar/panel", "Current", 1)},
		{"linear regulator, one point", "ns", 20, "comparisons and the copy of its result", fromBench("power", "LinearAt", 1)},
		{"supply with all single faults", "µs", 500, "a circuit a fault, each solved by Newton's method", fromBench("power/chain", "Survey", 1e-3)},
		{"six thermal nodes, a thousand times", "µs", 100, "an exponential a node", fromBench("thermal/transient", "SixNodesThousandTimes", 1e-3)},
		{"one step of the pack", "ns", 60, "one exponential and the place on the curve", fromBench("battery", "Step", 1)},
		{"full charge in steps of a second", "ms", 2, "the number of steps", fromBench("battery/charge", "FullChargeAtOneSecond", 1e-6)},
		{"hourly year, whole chain, after the first", "ms", 5, "4800 hours with light lay it on the plane at two or three places of the sun and solve the panel at its maximum and through the diode; 8760 balance a box and step a pack. Where the sun stands in each hour is found once and serves all years of a station", fromBench("station", "YearHourlyWholeChain", 1e-6)},
		{"hourly year, whole chain, the first of a station", "ms", 5, "the year above, the parts made from the description, and the sun followed through the hours to the plane and the skyline", fromBench("station", "YearHourlyFirst", 1e-6)},
		{"hourly year, memory allocated, after the first", "MB", 2, "three numbers a step", bytesOf("station", "YearHourlyWholeChain")},
		{"hourly year, memory allocated, the first of a station", "MB", 2, "and the places of the sun, which the years after it share", bytesOf("station", "YearHourlyFirst")},
		{"minute year, whole chain", "ms", 300, "as the hourly year, with one place of the sun and one plane a minute", fromBench("station", "YearMinutesWholeChain", 1e-6)},
		{"sizing map 400 × 20 on 2 cores", "s", 15, "the panel and box of each year, which variants of one panel share, and the pack of each variant", func(r *results) float64 {
			if r.wholeMap == nil || !(r.wholeMap.WallS > 0) {
				return math.NaN()
			}
			return r.wholeMap.WallS
		}},
		{"sizing map 400 × 20, most memory resident", "MB", 200, "twenty years of sunlight at a time", func(r *results) float64 {
			if r.wholeMap == nil || !(r.wholeMap.ResidentB > 0) {
				return math.NaN()
			}
			return r.wholeMap.ResidentB / 1e6
		}},
		{"logbook, a year of minutes in twelve columns", "s", 3, "six million numbers to read and to check", fromBench("station/logbook", "Year", 1e-9)},
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
