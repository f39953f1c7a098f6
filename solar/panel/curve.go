package panel

import (
	"math"

	"github.com/stationphysics/stationphysics/internal/numeric"
)

// A Curve is the current-voltage characteristic of a module under one
// irradiance and cell temperature. Its methods never fail and never iterate
// without a bound; in the dark its short-circuit current, open-circuit voltage
// and maximum power are exactly zero. The zero value is the dark curve of a
// panel that conducts nothing.
type Curve struct {
	iL, i0, a, rs, gsh float64 // A, A, V, ohm, S at these conditions
	lnI0, lnK          float64
	bound              float64
}

// omega solves w + ln w = z, the Wright omega function of a real argument,
// relative to about 4e-16·(1+|z|). The first guesses and the fourth-order step
// are those of Fritsch, Shafer and Crowley 1973 (Communications of the ACM 16,
// 123) as arranged by Lawrence, Corless and Jeffrey 2012 (ACM TOMS Algorithm
// 917), both from memory; the equation itself is what the tests check.
func omega(z float64) float64 {
	// w is a guess, r the residual z - w - ln w, for which the first three
	// guesses need no logarithm.
	var w, r float64
	switch {
	case z < -2:
		w = numeric.Exp(z)
		if w < 1e-16 {
			return w // e^z (1 - e^z + ...)
		}
		r = -w
	case z < 1:
		g := (z - 1) * (2.0 / 3)
		w = numeric.Exp(g)
		r = z - w - g
	default:
		l := numeric.Log(z)
		w = z - l + l/z
		r = z - w - numeric.Log(w)
	}
	w = omegaStep(w, r)
	if r < 3e-4 && r > -3e-4 {
		return w // what is left, r⁴/72 of w, is below rounding
	}
	return omegaStep(w, z-w-numeric.Log(w))
}

// omegaStep is the fourth-order step from a guess w with residual r.
func omegaStep(w, r float64) float64 {
	q := 1 + w
	t := q * (q + r*(2.0/3))
	return w * (1 + r*(t-0.5*r)/(q*(t-r)))
}

// CurrentA returns the current that the panel delivers with voltageV at its
// terminals. Above the open-circuit voltage it is negative: the panel takes
// current, at night too, which is what a blocking diode is for; how much at
// night, Module.DarkLeakA says more carefully. voltageV must
// lie within the bounds of the module's LowestV and HighestV; beyond them, and
// for NaN, the result is NaN.
//
// The single-diode equation is solved in closed form with the Wright omega
// function, not by iteration on the curve.
func (c Curve) CurrentA(voltageV float64) float64 {
	if !(math.Abs(voltageV) <= c.bound) {
		return c.outside(voltageV)
	}
	if c.iL == 0 && voltageV == 0 {
		return 0
	}
	// With x = (V + I Rs)/a and k = 1 + Rs/Rsh the equation reads
	// x + K e^x = y, where y = (V + Rs (IL + I0))/(a k), K = Rs I0/(a k).
	ak := c.a * (1 + c.rs*c.gsh)
	inverse := 1 / ak
	t, kk := (voltageV+c.rs*c.iL)*inverse, c.rs*c.i0*inverse
	// Where little current flows through the diode y and w nearly cancel, and with the
	// saturation current of a very hot one nothing is left.
	if math.Abs(t) <= 1+kk || kk > 1e4 {
		x := weakDiode(t, kk)
		return c.iL - c.i0*math.Expm1(x) - c.a*x*c.gsh
	}
	y := t + kk
	z := y + c.lnK
	if z < -37 {
		// Series resistance plays no part in the diode's term.
		x := y - numeric.Exp(z)
		return c.iL - c.i0*math.Expm1(x) - c.a*x*c.gsh
	}
	w := omega(z)
	x := y - w
	return c.iL + c.i0 - w*ak/c.rs - c.a*x*c.gsh
}

// weakDiode solves x + k (e^x - 1) = t by Newton's method. The left side is convex and
// rises, and the start lies at or above the root: the steps descend to it.
func weakDiode(t, k float64) float64 {
	x := t / (1 + k)
	if t > 0 && k > 0 {
		x = min(x, math.Log1p(t/k))
	}
	for range 60 {
		em1 := math.Expm1(x)
		step := (x + k*em1 - t) / (1 + k*(em1+1))
		x -= step
		if math.Abs(step) <= 1e-8*math.Abs(x) {
			break
		}
	}
	return x
}

func (c Curve) outside(v float64) float64 {
	if c.a == 0 && v == v {
		return 0
	}
	return math.NaN()
}

// SlopeAPerV returns the slope of the current over the voltage, below 0, at a point of
// the curve: a voltage at the terminals and CurrentA there. With the conductance g of
// diode and shunt at that point it is -g/(1 + Rs g), and the equation of the diode gives g
// from voltage and current alone. NaN outside the bounds of CurrentA.
func (c Curve) SlopeAPerV(voltageV, currentA float64) float64 {
	if c.a == 0 || !(math.Abs(voltageV) <= c.bound) {
		return 0 * c.outside(voltageV)
	}
	inside := voltageV + currentA*c.rs
	g := (c.iL+c.i0-currentA-inside*c.gsh)/c.a + c.gsh
	return -g / (1 + c.rs*g)
}

// VoltageV returns the voltage at the terminals when currentA is drawn;
// negative currentA is pushed into the panel. Where that voltage would lie
// beyond the bounds of the module's LowestV and HighestV, as it does for a
// current clearly above the short-circuit current, and for NaN, the result is
// NaN.
func (c Curve) VoltageV(currentA float64) float64 {
	if c.a == 0 {
		return 0 * currentA
	}
	if c.iL == 0 && currentA == 0 {
		return 0
	}
	v := c.a*c.diodeAt(currentA) - currentA*c.rs
	if !(math.Abs(v) <= c.bound) {
		return math.NaN()
	}
	return v
}

// diodeAt returns x = (V + I Rs)/a for the current i: the solution of
// I0 (e^x - 1) + a x/Rsh = IL - i.
func (c Curve) diodeAt(i float64) float64 {
	d := c.iL - i
	ag := c.a * c.gsh
	if ag == 0 {
		return math.Log1p(d / c.i0)
	}
	if math.Abs(d) < 0.5*(c.i0+ag) {
		// Hardly any current through the diode: the sum below would lose
		// digits, while Newton's method from here is at home.
		x := d / (c.i0 + ag)
		for range 8 {
			em1 := math.Expm1(x)
			step := (c.i0*em1 + ag*x - d) / (c.i0*(em1+1) + ag)
			x -= step
			if math.Abs(step) <= 1e-9*math.Abs(x) {
				break
			}
		}
		return x
	}
	// x + (I0/ag) e^x = (d + I0)/ag.
	lnB := c.lnI0 - numeric.Log(ag)
	y := (d + c.i0) / ag
	w := omega(y + lnB)
	if w < 1 {
		return y - w
	}
	return numeric.Log(w) - lnB
}

// OpenCircuitV returns the voltage without load, exactly 0 in the dark.
func (c Curve) OpenCircuitV() float64 { return c.VoltageV(0) }

// ShortCircuitA returns the current into a short circuit, exactly 0 in the
// dark.
func (c Curve) ShortCircuitA() float64 { return c.CurrentA(0) }

// log1p and expm1 go the short way where 1 does not matter.
func log1p(x float64) float64 {
	if x > 1 {
		return numeric.Log(1 + x)
	}
	return math.Log1p(x)
}

func expm1(x float64) float64 {
	if x > 1 {
		return numeric.Exp(x) - 1
	}
	return math.Expm1(x)
}

// PowerW returns voltage times current at voltageV, negative where the panel
// takes power; NaN where CurrentA is.
func (c Curve) PowerW(voltageV float64) float64 { return voltageV * c.CurrentA(voltageV) }

// HeldA returns the current into a charger that holds the panel at holdV. It is
// CurrentA, but never below zero: a charger, or the diode before it, lets no
// current back. NaN where CurrentA is.
func (c Curve) HeldA(holdV float64) float64 { return max(0, c.CurrentA(holdV)) }

// KeptFrac returns the share of the maximum power that is left when a charger
// holds the panel at holdV: 1 at the maximum power point, 0 at or above the
// open-circuit voltage and in the dark.
func (c Curve) KeptFrac(holdV float64) float64 {
	if c.iL == 0 {
		return 0 * holdV
	}
	return holdV * c.HeldA(holdV) / c.MaxPower().Pmp
}
