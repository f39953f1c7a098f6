package main

import (
	"bufio"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"
)

// What two machines may differ by. The processor may fuse product and sum, and
// takes exp, log and powers from its own or from portable code; both change the
// last bit of a step. Results that stand well away from zero differ by 1e-16 to
// 1e-10 of themselves then; a bound of 1e-9 is less than a thousandth of what any
// sensor or source here resolves.
const (
	relativeBound = 1e-9
	// An angle is known against the full turn, not against itself: the hour angle
	// of a transit is zero but for rounding, and the azimuth there may be 1e-4°.
	angleBoundDeg = 1e-11
	// No result of the list means anything below a femto-unit: currents through
	// a blocked diode, derivatives where two effects cancel.
	zeroBound = 1e-15
	// Where a maximum lies is known to the root of the rounding only, for the
	// curve is flat there: 1e-7 by package solar/panel, on either side.
	flatBound = 2e-7
)

// flatMark before a name says that it is the place of a maximum.
const flatMark = "~"

func write(w io.Writer, numbers []number) error {
	b := bufio.NewWriter(w)
	for _, n := range numbers {
		fmt.Fprintf(b, "%s\t%s\t%s\n", n.pkg, n.name, strconv.FormatFloat(n.value, 'x', -1, 64))
	}
	return b.Flush()
}

func read(r io.Reader, file string) ([]number, error) {
	var numbers []number
	s := bufio.NewScanner(r)
	for line := 1; s.Scan(); line++ {
		part := strings.Split(s.Text(), "\t")
		if len(part) != 3 {
			return nil, fmt.Errorf("%s:%d: not a package, a name and a number between tabs", file, line)
		}
		x, err := strconv.ParseFloat(part[2], 64)
		if err != nil {
			return nil, fmt.Errorf("%s:%d: %w", file, line, err)
		}
		numbers = append(numbers, number{part[0], part[1], x})
	}
	if err := s.Err(); err != nil {
		return nil, fmt.Errorf("%s: %w", file, err)
	}
	if len(numbers) == 0 {
		return nil, fmt.Errorf("%s: no numbers", file)
	}
	return numbers, nil
}

// A pair is one number as two machines computed it.
type pair struct {
	pkg, name string
	a, b      float64
}

func (p pair) String() string { return fmt.Sprintf("%s %s: %v and %v", p.pkg, p.name, p.a, p.b) }

// absolute is the size of the difference: 0 for the same number and for NaN on
// both sides, infinite if one side alone is NaN or infinite.
func (p pair) absolute() float64 {
	if p.a == p.b || math.IsNaN(p.a) && math.IsNaN(p.b) {
		return 0
	}
	d := math.Abs(p.a - p.b)
	if math.IsNaN(d) {
		return math.Inf(1)
	}
	return d
}

// relative is the difference over the larger of the two numbers.
func (p pair) relative() float64 {
	d := p.absolute()
	if d == 0 || math.IsInf(d, 1) {
		return d
	}
	return d / max(math.Abs(p.a), math.Abs(p.b))
}

func (p pair) flat() bool { return strings.HasPrefix(p.name, flatMark) }

// zero tells whether the difference is that of a number which is zero but for
// rounding.
func (p pair) zero() bool {
	if strings.HasSuffix(p.name, "Deg") {
		return p.absolute() <= angleBoundDeg
	}
	return p.absolute() <= zeroBound
}

func (p pair) within() bool {
	if p.flat() {
		return p.relative() <= flatBound
	}
	return p.zero() || p.relative() <= relativeBound
}

// A part is what two outputs differ by in one package.
type part struct {
	pkg                  string
	count, same          int
	relative, flat, zero pair // largest relative difference; of places of maxima; largest absolute one of zeros
}

// A comparison is what two outputs differ by.
type comparison struct {
	parts  []part
	beyond []pair // those that differ by more than the bound
}

// compare pairs two outputs. They must hold the same names in the same order.
func compare(a, b []number) (*comparison, error) {
	c := &comparison{}
	for i := range max(len(a), len(b)) {
		switch {
		case i >= len(b):
			return nil, fmt.Errorf("%s %s is in the first output only", a[i].pkg, a[i].name)
		case i >= len(a):
			return nil, fmt.Errorf("%s %s is in the second output only", b[i].pkg, b[i].name)
		case a[i].pkg != b[i].pkg || a[i].name != b[i].name:
			return nil, fmt.Errorf("number %d is %s %s in the first output and %s %s in the second", i+1, a[i].pkg, a[i].name, b[i].pkg, b[i].name)
		}
		if len(c.parts) == 0 || c.parts[len(c.parts)-1].pkg != a[i].pkg {
			c.parts = append(c.parts, part{pkg: a[i].pkg})
		}
		p := pair{a[i].pkg, a[i].name, a[i].value, b[i].value}
		c.parts[len(c.parts)-1].take(p)
		if !p.within() {
			c.beyond = append(c.beyond, p)
		}
	}
	return c, nil
}

func (c *part) take(p pair) {
	c.count++
	if p.absolute() == 0 {
		c.same++
	}
	c.rank(p)
}

// rank keeps a pair if it is the worst of its kind.
func (c *part) rank(p pair) {
	switch {
	case p.flat():
		if p.relative() > c.flat.relative() {
			c.flat = p
		}
	case p.zero() && p.relative() > relativeBound:
		if p.absolute() > c.zero.absolute() {
			c.zero = p
		}
	case p.relative() > c.relative.relative():
		c.relative = p
	}
}

// report prints the largest differences of each package and then every number
// beyond the bound.
func (c *comparison) report(out io.Writer) (within bool, err error) {
	b := bufio.NewWriter(out)
	fmt.Fprintf(b, "%-18s %7s %7s  %-9s %s\n", "package", "numbers", "same", "relative", "largest relative difference")
	var all part
	for _, p := range c.parts {
		fmt.Fprintf(b, "%-18s %7d %7d  %-9.1e %s\n", p.pkg, p.count, p.same, p.relative.relative(), p.relative.name)
		all.count += p.count
		all.same += p.same
		for _, q := range []pair{p.relative, p.flat, p.zero} {
			all.rank(q)
		}
	}
	fmt.Fprintf(b, "\n%d of %d numbers are the same to the last bit\n", all.same, all.count)
	for _, w := range []struct {
		what string
		p    pair
		size float64
	}{
		{"largest relative difference", all.relative, all.relative.relative()},
		{"largest relative difference in the place of a maximum", all.flat, all.flat.relative()},
		{"largest absolute difference of a number that is zero but for rounding", all.zero, all.zero.absolute()},
	} {
		if w.size > 0 {
			fmt.Fprintf(b, "%s: %.1e, %v\n", w.what, w.size, w.p)
		}
	}
	for _, p := range c.beyond {
		fmt.Fprintf(b, "beyond the bound: %v\n", p)
	}
	return len(c.beyond) == 0, b.Flush()
}
