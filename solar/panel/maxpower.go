package panel

import (
	"math"

	"github.com/stationphysics/stationphysics/internal/numeric"
)

// MaxPower is the point of a curve where current times voltage is largest.
type MaxPower struct {
	Vmp float64 // voltage there, V
	Imp float64 // current there, A
	Pmp float64 // their product, W
}

// MaxPower returns the point of maximum power, exactly zero in the dark.
//
// The condition dP/dV = 0 is solved in the diode's voltage by Halley's method
// inside a bracket that always holds the one root: the current falls ever
// faster with voltage, so the power has a single maximum.
func (c Curve) MaxPower() MaxPower {
	var p summit
	p.begin(&c)
	for !p.found {
		p.step(&c)
	}
	return p.point(&c)
}

// A summit is the search for the maximum of one curve, a step at a time, so that
// several can go on side by side.
type summit struct {
	x, lo, hi float64 // diode voltage in units of a, and its bracket
	em1       float64 // e^x - 1
	steps     int
	found     bool
}

func (p *summit) begin(c *Curve) {
	*p = summit{}
	if !(c.iL > 0) {
		p.found = true
		return
	}
	// hi is open circuit without a shunt, ln(1 + IL/I0), far above the maximum.
	hi := numeric.Log(c.iL) - c.lnI0
	if hi < 10 {
		hi = log1p(c.iL / c.i0)
	}
	// Without resistances (1 + x) e^x = 1 + IL/I0.
	p.x, p.hi = 0.5*hi, hi
	if hi > 2 {
		// ln(1 + hi) = ln 21 + 2 artanh((hi-20)/(hi+22)), of which the first terms
		// do for a guess.
		y := (hi - 20) / (hi + 22)
		l := 3.044522437723423 + 2*y*(1+y*y*(1.0/3))
		p.x = hi - l + l/(1+hi)
	}
}

func (p *summit) step(c *Curve) {
	ag, inverse, x := c.a*c.gsh, 1/c.a, p.x
	p.em1 = expm1(x)
	e := c.i0 * (p.em1 + 1)
	i := c.iL - c.i0*p.em1 - ag*x
	g := (e + ag) * inverse // -dI/d(diode voltage)
	rg := c.rs * g
	// f is dP/dV times a positive factor, f1 and f2 its derivatives in x.
	f := i*(1+2*rg) - c.a*x*g
	ei := 2 * c.rs * i * e * inverse
	f1 := -2*c.a*g*(1+rg) + ei - x*e
	f2 := ei - e*(3+x+6*rg)
	if f > 0 {
		p.lo = x
	} else {
		p.hi = x
	}
	p.steps++
	step := -2 * f * f1 / (2*f1*f1 - f*f2)
	if next := x + step; p.steps <= 20 && f1 < 0 && next >= p.lo && next <= p.hi {
		p.x = next
		// Where the slope all but vanishes, as with a series resistance that no panel
		// has, a step is small without a root.
		if math.Abs(step) < 1e-5*next && math.Abs(f) < -2e-5*next*f1 {
			// The method is of third order: a step s of x leaves about 40 s³,
			// as much as the exponential moved on with it.
			p.em1 += (p.em1 + 1) * step * (1 + step*(1.0/2+step*(1.0/6)))
			p.found = true
		}
		return
	}
	// Two of these are the most seen; they guarantee an end all the same.
	next := 0.5 * (p.lo + p.hi)
	p.found = next == x || p.hi-p.lo <= 1e-15*x || p.steps == 100
	if !p.found {
		p.x = next
	}
}

func (p *summit) point(c *Curve) MaxPower {
	if !(c.iL > 0) {
		n := 0 * c.iL
		return MaxPower{n, n, n}
	}
	i := c.iL - c.i0*p.em1 - c.a*c.gsh*p.x
	v := c.a*p.x - i*c.rs
	return MaxPower{Vmp: v, Imp: i, Pmp: v * i}
}
