package main

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"github.com/stationphysics/stationphysics"
	"github.com/stationphysics/stationphysics/internal/limit"
)

// A param is one flag of a table.
type param struct {
	flag, quantity, unit string
	def                  string // taken if the flag is absent; empty if there is none
	about                string
}

// Values are the flags as given. The first mistake stays in err, and what is
// read after it is worth nothing.
type values struct {
	kind   *kind
	text   map[string]string
	stated map[string]bool
	err    error
}

// No document holds a longer table, and none of this size takes long.
var (
	mostValues  = limit.Range{Quantity: "number of values", Min: 1, Max: 10000}
	mostRows    = limit.Range{Quantity: "number of rows", Min: 1, Max: 10000}
	mostColumns = limit.Range{Quantity: "number of columns", Min: 1, Max: 100}
)

func (v *values) fail(flag string, err error) {
	if err != nil && v.err == nil {
		v.err = fmt.Errorf("-%s: %w", flag, err)
	}
}

func (v *values) param(flag string) *param {
	for i := range v.kind.params {
		if v.kind.params[i].flag == flag {
			return &v.kind.params[i]
		}
	}
	return &format
}

// number reads one number and has it checked.
func (v *values) number(flag string, check func(x float64) error) float64 {
	p := v.param(flag)
	x, err := p.number(v.text[flag])
	if err == nil {
		err = check(x)
	}
	v.fail(flag, err)
	return x
}

func (p *param) number(s string) (float64, error) {
	s = strings.TrimSpace(s)
	of := p.quantity
	if p.unit != "" {
		of += " in " + p.unit
	}
	if s == "" {
		return 0, fmt.Errorf("the %s is needed", of)
	}
	x, err := strconv.ParseFloat(s, 64)
	if err != nil {
		return 0, fmt.Errorf("%q is not a number: the %s is needed", s, of)
	}
	return x, nil
}

// numbers reads a list of numbers and series and has each checked.
func (v *values) numbers(flag string, check func(x float64) error) []float64 {
	p := v.param(flag)
	stepUnit := p.unit
	if stepUnit == "°C" {
		stepUnit = "K"
	}
	out, err := series(v.text[flag], scale{p, stepUnit, p.number, func(x float64) string { return strings.TrimSpace(plain(x) + " " + p.unit) }, check})
	v.fail(flag, err)
	return out
}

// A scale says how the values of a flag are written as numbers.
type scale struct {
	param    *param
	stepUnit string
	read     func(string) (float64, error)
	show     func(x float64) string
	check    func(x float64) error
}

// series takes apart what a flag holds: values, or from:to:step, separated by
// commas. The ends of a series are checked before it is laid out.
func series(text string, s scale) ([]float64, error) {
	var out []float64
	for item := range strings.SplitSeq(text, ",") {
		part := strings.Split(item, ":")
		if len(part) != 1 && len(part) != 3 {
			return nil, fmt.Errorf("%q is neither a value nor from:to:step", item)
		}
		var ends [2]float64
		for i := range min(2, len(part)) {
			var err error
			if ends[i], err = s.read(part[i]); err != nil {
				return nil, err
			}
			if err = s.check(ends[i]); err != nil {
				return nil, err
			}
		}
		n, step := 1.0, 0.0
		if len(part) == 3 {
			var err error
			if step, err = s.step(part[2]); err != nil {
				return nil, err
			}
			if ends[0] > ends[1] {
				return nil, fmt.Errorf("%s is above %s: a series is from:to:step", s.show(ends[0]), s.show(ends[1]))
			}
			n = math.Floor((ends[1]-ends[0])/step+1e-9) + 1
		}
		if err := mostValues.Check(float64(len(out)) + n); err != nil {
			return nil, err
		}
		for i := range int(n) {
			x := ends[0]
			if i > 0 {
				// Without the rounding 0.1:0.5:0.1 would print 0.30000000000000004.
				x = min(ends[1], math.Round((ends[0]+float64(i)*step)*1e9)/1e9)
			}
			out = append(out, x)
		}
	}
	seen := make(map[float64]bool, len(out))
	for _, x := range out {
		if err := s.check(x); err != nil {
			return nil, err
		}
		if seen[x] {
			return nil, fmt.Errorf("%s %s stands twice", s.param.quantity, s.show(x))
		}
		seen[x] = true
	}
	return out, nil
}

// step reads the step of a series.
func (s *scale) step(text string) (float64, error) {
	p := param{quantity: "step of the " + s.param.quantity, unit: s.stepUnit}
	x, err := p.number(text)
	if err != nil {
		return 0, err
	}
	steps := limit.Range{Quantity: p.quantity, Unit: p.unit, Min: 1e-6, Max: 1e9}
	return x, steps.Check(x)
}

// whole makes a check of one that also refuses fractions. What no integer holds
// is refused with the range that the check has.
func (p *param) whole(check func(x float64) error) func(x float64) error {
	return func(x float64) error {
		const most = 1e9 // fits every integer
		if !(math.Abs(x) <= most) {
			err := check(most)
			var out *stationphysics.RangeError
			if errors.As(err, &out) {
				out.Value = x
			}
			return err
		}
		if x != math.Trunc(x) {
			return fmt.Errorf("%s %g is no whole number", p.quantity, x)
		}
		return check(x)
	}
}

// word reads one of the known words.
func (v *values) word(flag string, known ...string) string {
	w := strings.TrimSpace(v.text[flag])
	if !slices.Contains(known, w) {
		v.fail(flag, fmt.Errorf("%q is none of these%s", w, meant(w, known)))
	}
	return w
}

// words reads a list of known words and returns them in the order of the known
// ones.
func (v *values) words(flag string, known ...string) []string {
	given := map[string]bool{}
	for w := range strings.SplitSeq(v.text[flag], ",") {
		w = strings.TrimSpace(w)
		if !slices.Contains(known, w) {
			v.fail(flag, fmt.Errorf("%q is none of these%s", w, meant(w, known)))
		}
		given[w] = true
	}
	return slices.DeleteFunc(slices.Clone(known), func(k string) bool { return !given[k] })
}

// size holds a table to what is sensible before it is computed.
func (v *values) size(flag string, rows, columns int) {
	v.fail(flag, limit.First(mostRows.Check(float64(rows)), mostColumns.Check(float64(columns))))
}
