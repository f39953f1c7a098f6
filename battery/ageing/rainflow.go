package ageing

import "math"

// A Cycle is one counted cycle of the state of charge, or half of one.
type Cycle struct {
	RangeSoC float64 // from its lowest to its highest point
	MeanSoC  float64 // middle between the two
	Count    float64 // 1 for a full cycle, 0.5 for half of one
}

// A Counter counts rainflow cycles of a stream (ASTM E1049-85, 5.4.4). Give it
// every value with Add and end with Flush; each cycle goes to OnCycle as soon
// as it is closed. Between growths of its stack of open reversals, a few dozen
// at most for a year of weather, it allocates nothing. The zero Counter with an
// OnCycle is ready for use.
type Counter struct {
	OnCycle func(Cycle)

	stack []float64 // reversals not yet counted
	last  float64   // the value before this one
	dir   int       // of the present run: -1, 0 before the first change, +1
	begun bool
}

// Add gives the next value. A NaN is passed over: a gap in a log closes no
// cycle.
func (c *Counter) Add(soc float64) {
	if math.IsNaN(soc) {
		return
	}
	if !c.begun {
		c.begun, c.last = true, soc
		c.stack = append(c.stack[:0], soc)
		c.dir = 0
		return
	}
	dir := 0
	switch {
	case soc > c.last:
		dir = 1
	case soc < c.last:
		dir = -1
	default:
		return
	}
	if c.dir != 0 && dir != c.dir {
		c.reversal(c.last)
	}
	c.dir, c.last = dir, soc
}

// reversal takes the next peak or valley. X is the range under consideration,
// Y the one before it; while X is not smaller, Y is counted: as half a cycle if
// it holds the starting point, which then moves on, and as a full one otherwise.
func (c *Counter) reversal(v float64) {
	c.stack = append(c.stack, v)
	for len(c.stack) >= 3 {
		n := len(c.stack)
		x := math.Abs(c.stack[n-1] - c.stack[n-2])
		y := math.Abs(c.stack[n-2] - c.stack[n-3])
		if x < y {
			return
		}
		if n == 3 {
			c.emit(c.stack[0], c.stack[1], 0.5)
			copy(c.stack, c.stack[1:])
			c.stack = c.stack[:2]
			continue
		}
		c.emit(c.stack[n-3], c.stack[n-2], 1)
		c.stack[n-3] = c.stack[n-1]
		c.stack = c.stack[:n-2]
	}
}

func (c *Counter) emit(a, b, count float64) {
	if c.OnCycle != nil {
		c.OnCycle(Cycle{RangeSoC: math.Abs(b - a), MeanSoC: 0.5 * (a + b), Count: count})
	}
}

// Flush ends the history: its last value counts as a reversal, and every range
// still open as half a cycle. The Counter is then ready for another history.
func (c *Counter) Flush() {
	if c.begun && c.dir != 0 {
		c.reversal(c.last)
	}
	for i := 1; i < len(c.stack); i++ {
		c.emit(c.stack[i-1], c.stack[i], 0.5)
	}
	c.stack = c.stack[:0]
	c.begun, c.dir = false, 0
}

// Rainflow appends the cycles of a history to dst, in the order in which they
// close, and returns it.
func Rainflow(dst []Cycle, soc []float64) []Cycle {
	c := Counter{OnCycle: func(x Cycle) { dst = append(dst, x) }}
	for _, v := range soc {
		c.Add(v)
	}
	c.Flush()
	return dst
}

// Share returns the share of a cell's cycle life that the cycles use up, by
// adding them linearly (Palmgren and Miner): a cycle of depth d counts
// d^exponent of a full one, of which a sheet promises life, 1 to 100 000. An
// exponent of 1, where only the throughput counts, is the cautious end;
// shallow cycles are often worth less, up to 2. NaN outside these ranges.
func Share(cycles []Cycle, lifeCycles, depthExponent float64) (usedFrac float64) {
	if !(lifeCycles >= 1 && lifeCycles <= 100_000) || !(depthExponent >= 1 && depthExponent <= 2) {
		return math.NaN()
	}
	for _, c := range cycles {
		usedFrac += c.Count * math.Pow(c.RangeSoC, depthExponent)
	}
	return usedFrac / lifeCycles
}
