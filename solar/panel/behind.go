package panel

import (
	"math"

	"github.com/stationphysics/stationphysics/internal/numeric"
)

// HeldBehind returns the current into a charger that holds holdV behind a part in
// series, such as a diode, and the drop across the part: the panel stands at holdV and
// the drop together. The part tells its drop at a current above 0 A and the slope of the
// drop, which must not be negative. Current and drop are 0 where the panel gives no
// current at holdV: a charger lets none back. NaN where CurrentA is NaN at holdV, and
// where the part gives NaN.
//
// The loop of panel, series resistance and part is one equation in the voltage of the
// panel's diode, monotone in it, which Newton's method solves inside a bracket.
func (c *Curve) HeldBehind(holdV float64, part func(currentA float64) (dropV, slopeOhm float64)) (currentA, dropV float64) {
	if c.a == 0 || !(math.Abs(holdV) <= c.bound) {
		n := 0 * c.outside(holdV)
		return n, n
	}
	if !(c.iL > 0) {
		return 0 * c.iL, 0 * c.iL
	}
	ag, inverse := c.a*c.gsh, 1/c.a
	// x is the voltage of the diode in units of a. It is at least that at holdV without
	// current, and mostly little less than with the whole light current.
	lo, hi := holdV*inverse, math.Inf(1)
	drop, _ := part(c.iL)
	x := (holdV + drop + c.iL*c.rs) * inverse
	for range 100 {
		e := c.i0 * numeric.Exp(x)
		i := c.iL + c.i0 - e - ag*x
		if !(i > 0) {
			// Beyond open circuit.
			if hi = x; x == lo {
				return 0, 0
			}
			if x = 0.5 * (lo + hi); hi-lo < 1 {
				x = lo
			}
			continue
		}
		drop, ohm := part(i)
		slope := e + ag // -di/dx
		f := c.a*x - i*c.rs - drop - holdV
		if f < 0 {
			lo = x
		} else {
			hi = x
		}
		step := -f / (c.a + (c.rs+ohm)*slope)
		if di := -step * (slope + 0.5*step*e); math.Abs(step) < 1e-5 && math.Abs(di) < 1e-5*i {
			// What is left goes with the squares of these.
			return i + di, drop + ohm*di
		}
		if next := x + step; next > lo && next < hi {
			x = next
		} else {
			x = 0.5 * (lo + min(hi, lo+2))
		}
	}
	return math.NaN(), math.NaN()
}
