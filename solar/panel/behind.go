package panel

import (
	"math"

	"github.com/stationphysics/stationphysics/internal/numeric"
)

// HeldBehind returns the current into a charger that holds holdV behind a part in
// series, such as a diode, and the drop across the part: the panel stands at holdV and
// the drop together. The part tells its drop at a current above 0 A and the slope of the
// drop, which must not be negative. Current and drop are 0 where the panel gives no
// current at holdV: a charger lets none back. A current close to open circuit is no better
// than the rounding of the light's, some 1e-14 of it. NaN where CurrentA is NaN at holdV,
// and where the part gives NaN.
//
// The loop of panel, series resistance and part is one equation in the voltage of the
// panel's diode, monotone in it, which Newton's method solves inside a bracket.
func (c *Curve) HeldBehind(holdV float64, part func(currentA float64) (dropV, slopeOhm float64)) (currentA, dropV float64) {
	var l loop
	l.begin(c, holdV, part)
	for !l.found {
		l.step(c, holdV, part)
	}
	return l.currentA, l.dropV
}

// A loop is the search for the current of HeldBehind, a step at a time, so that
// several can go on side by side.
type loop struct {
	x, lo, hi       float64 // voltage of the diode in units of a, and its bracket
	currentA, dropV float64
	steps           int
	tried           bool // lo
	found           bool
}

func (l *loop) end(currentA, dropV float64) { l.currentA, l.dropV, l.found = currentA, dropV, true }

func (l *loop) begin(c *Curve, holdV float64, part func(float64) (float64, float64)) {
	*l = loop{}
	if c.a == 0 || !(math.Abs(holdV) <= c.bound) {
		n := 0 * c.outside(holdV)
		l.end(n, n)
		return
	}
	if !(c.iL > 0) {
		l.end(0*c.iL, 0*c.iL)
		return
	}
	// The diode's voltage is at least that at holdV without current, and mostly little
	// less than with the whole light current.
	inverse := 1 / c.a
	drop, _ := part(c.iL)
	l.lo, l.hi = holdV*inverse, math.Inf(1)
	l.x = (holdV + drop + c.iL*c.rs) * inverse
}

func (l *loop) step(c *Curve, holdV float64, part func(float64) (float64, float64)) {
	if l.steps++; l.steps > 200 {
		l.end(math.NaN(), math.NaN()) // the part's drop falls, or is NaN
		return
	}
	x, ag := l.x, c.a*c.gsh
	e := c.i0 * numeric.Exp(x)
	i := c.iL + c.i0 - e - ag*x
	if !(i > 0) {
		// Beyond open circuit.
		l.hi = x
		switch {
		case l.shut():
			l.end(0, 0)
		case !l.tried && l.hi-l.lo < 1:
			l.x = l.lo
		default:
			l.x = 0.5 * (l.lo + l.hi)
		}
		return
	}
	drop, ohm := part(i)
	slope := e + ag // -di/dx
	f := c.a*x - i*c.rs - drop - holdV
	if f < 0 {
		l.lo, l.tried = x, true
	} else {
		l.hi = x
	}
	step := -f / (c.a + (c.rs+ohm)*slope)
	if di := -step * (slope + 0.5*step*e); math.Abs(step) < 1e-5 && math.Abs(di) < 1e-5*i {
		l.end(i+di, drop+ohm*di) // what is left goes with the squares of these
		return
	}
	// Where current and drop are next to nothing Newton's steps may creep; halving ends.
	if next := x + step; next > l.lo && next < l.hi && l.steps < 50 {
		l.x = next
	} else {
		l.x = 0.5 * (l.lo + min(l.hi, l.lo+2))
	}
	if l.shut() {
		l.end(i, drop)
	}
}

// shut reports a bracket of rounding: the current is next to nothing, a difference of
// numbers that cancel, and closer than to them it cannot be told.
func (l *loop) shut() bool { return l.hi-l.lo <= 4e-16*(1+math.Abs(l.lo)) }
