package battery

import (
	"math"

	"github.com/stationphysics/stationphysics/internal/numeric"
)

// A Charger holds its output at a voltage as long as that takes no more than
// its current. It never draws current.
type Charger struct {
	SetV      float64 // voltage it regulates to, V, read with nothing connected
	MaxA      float64 // most current it gives, A
	SeriesOhm float64 // of its output and the wire to the pack, ohm
}

// Charge takes the pack through dtS seconds on a charger with a load of loadA
// at the pack's terminals. The charger gives at most MaxA, load included, and
// lets the current fall once it holds SetV; the pack covers the load when the
// charger cannot. Both stages and the change between them are exact. Charge
// knows no temperature window and no end of charge: with a load that the
// charger carries, the current of the charger never falls below it. Arguments
// out of range as with Current; a SetV that is not above 0, a MaxA, SeriesOhm
// or load below 0 likewise.
func (p *Pack) Charge(s State, c Charger, loadA, dtS, tempC float64) (State, Flow) {
	var w work
	if !w.begin(p, s, dtS, tempC) || !(c.SetV > 0 && c.SetV < 1e4) || !(c.MaxA >= 0 && c.MaxA < 1e6) || !(c.SeriesOhm >= 0 && c.SeriesOhm < 1e6) || !(loadA >= 0 && loadA < 1e6) {
		return invalid()
	}
	h := held{work: &w, setV: c.SetV - loadA*c.SeriesOhm, seriesR: c.SeriesOhm, lowA: -loadA, highA: c.MaxA - loadA}
	v, i := h.regulate(dtS)
	if h.touched {
		return w.finish(dtS, v, i, Full)
	}
	return w.finish(dtS, v, i, NoStop)
}

// held is a step on a charger.
type held struct {
	*work
	setV, seriesR float64 // what the charger holds, and the resistance in front of it
	lowA, highA   float64 // the current into the pack that charger and load leave open
	touched       bool    // the set voltage was reached
}

// The charger's law has three regimes: it gives all it can (high), it gives
// nothing or less than the load takes (low), or it holds its voltage. Each has a
// solution in closed form, and each ends at an instant that is found as the root
// of that solution; so a step is a short walk from regime to regime and from
// bend to bend of the curve.

// regulate takes the work through t seconds on its charger: the current into
// the pack is what the set voltage asks, kept between lowA and highA.
func (w *held) regulate(t float64) (endV, endA float64) {
	const (
		low = iota
		hold
		high
	)
	w.touched = false
	if w.highA <= w.lowA {
		return w.run(w.highA, t), w.highA
	}
	mode := hold
	switch i := w.heldCurrent(); {
	case i >= w.highA:
		mode = high
	case i <= w.lowA:
		mode = low
	}
	i := 0.0
	// Every turn ends the step, crosses a bend of the curve or changes the
	// mode; the count is a guard against rounding at a boundary.
	for range 8 * maxCurvePoints {
		if !(t > 0) {
			break
		}
		switch mode {
		case high, low:
			i = w.highA
			if mode == low {
				i = w.lowA
			}
			used, reached := w.runUntil(i, t, w.setV-i*w.seriesR, mode == high)
			t -= used
			if reached {
				mode = hold
			}
		default:
			w.touched = true
			used, end := w.holdFor(t)
			t -= used
			i = w.heldCurrent()
			switch {
			case end > 0:
				mode = high
			case end < 0:
				mode = low
			}
		}
	}
	if t > 0 {
		w.run(i, t)
	}
	return w.u + i*w.r0 + w.slow, i
}

func (w *held) heldCurrent() float64 {
	return (w.setV - w.u - w.slow) / (w.r0 + w.seriesR + w.p.tiny)
}

// A charger without any resistance on an ideal cell has no current of its own;
// a nano-ohm a cell gives it one and changes nothing else.
const tinyOhm = 1e-9

// runUntil runs at a constant current for at most t seconds, but stops where
// the terminal voltage rises (falls, if not up) to target. It looks at the end
// of each straight piece of the curve: a voltage that passes the target and
// comes back within one piece, as the slow voltage of an earlier load relaxes
// while the pack is being emptied, is not seen; none has been found that does.
func (w *work) runUntil(i, t, target float64, up bool) (used float64, reached bool) {
	sign := 1.0
	if !up {
		sign = -1
	}
	p := w.p
	rate := w.gain(i, 1) / p.coulomb // per second
	settled := i * w.r1
	left := t
	for range 2 * maxCurvePoints {
		// The part of the way that stays on one segment.
		part, step := left, 0
		if rate > 0 && w.seg < p.n-2 {
			if d := (p.soc[w.seg+1] - w.soc) / rate; d < part {
				part, step = max(d, 0), 1
			}
		} else if rate < 0 && w.seg > 0 {
			if d := (p.soc[w.seg] - w.soc) / rate; d < part {
				part, step = max(d, 0), -1
			}
		}
		// The voltage over the target, on the way up (down).
		f := fading{c: sign * (w.u + i*w.r0 + settled - target), s: sign * w.slope * rate, p: sign * (w.slow - settled), l: -1}
		if w.tau > 0 {
			f.l = -1 / w.tau
		} else {
			f.p = 0
		}
		if last, _ := f.at(part); last >= 0 {
			x := 0.0
			if f.c+f.p < 0 {
				x = f.zero(part, last)
			}
			w.run(i, x)
			return t - left + x, true
		}
		from := w.seg
		w.run(i, part)
		left -= part
		if step == 0 {
			return t, false
		}
		// Rounding may have left it on either side of the bend.
		w.enter(from, step)
	}
	return t - left, false
}

// enter puts the work exactly on the bend between the segment it came from and
// the next one, and on that next one.
func (w *work) enter(from, step int) {
	if step > 0 {
		w.soc = w.p.soc[from+1]
	} else {
		w.soc = w.p.soc[from]
	}
	w.sit(from + step)
}

// holdFor holds the set voltage for at most t seconds. It stops early at a bend
// of the curve, and where the current would leave its bounds; end is then +1
// or -1 for the upper or lower bound.
func (w *held) holdFor(t float64) (used float64, end int) {
	var o decay
	lowA, highA := w.decay(&o)
	p := w.p
	used = t
	e1, e2 := numeric.Exp(o.l1*t), numeric.Exp(o.l2*t)
	// The current's bounds. Where its slope changes sign within the time, it
	// may pass a bound and come back: look at its turning point first. The slope
	// begins with the sign of the fast part and ends with that of the slow one, even
	// where both have died away at the end of the time.
	turn := 0.0
	if a, b := o.pi*o.l1, o.qi*o.l2; a*b < 0 && math.Abs(b) > math.Abs(a) && (math.Abs(b*e2) < math.Abs(a*e1) || a*e1 == 0) {
		turn = math.Log(-b/a) / (o.l1 - o.l2)
	}
	current, distance := fading{c: o.gap, p: o.pi, l: o.l1, q: o.qi, m: o.l2}, fading{c: o.xs, p: o.px, l: o.l1, q: o.qx, m: o.l2}
	iEnd := o.gap + o.pi*e1 + o.qi*e2 // times r
	for _, bd := range [2]struct {
		at, sign float64
		end      int
	}{{highA * o.r, 1, 1}, {lowA * o.r, -1, -1}} {
		to, last := used, iEnd
		if used < t {
			last, _ = current.at(used) // the other bound has ended it earlier
		}
		over := bd.sign*(last-bd.at) > 0
		if turn > 0 && turn < used {
			if f, _ := current.at(turn); bd.sign*(f-bd.at) > 0 {
				to, last, over = turn, f, true
			}
		}
		if !over {
			continue
		}
		used = current.over(bd.at, bd.sign).zero(to, bd.sign*(last-bd.at))
		end = bd.end
		if bd.at == 0 && w.lowA < 0 && w.highA > 0 {
			// Only the charge efficiency changes; go on, past the boundary.
			end, used = 0, max(used, 1e-9*t)
		}
	}
	// The ends of the segment.
	step := 0
	xEnd := o.xs + o.px*e1 + o.qx*e2
	if used != t {
		xEnd, _ = distance.at(used)
	}
	top, bottom := math.Inf(-1), math.Inf(1)
	if w.seg < p.n-2 {
		top = w.setV - p.ocv(p.soc[w.seg+1], w.seg, w.dT)
	}
	if w.seg > 0 {
		bottom = w.setV - p.ocv(p.soc[w.seg], w.seg, w.dT)
	}
	switch {
	case xEnd < top:
		used, end, step = distance.over(top, -1).zero(used, top-xEnd), 0, 1
	case xEnd > bottom:
		used, end, step = distance.over(bottom, 1).zero(used, xEnd-bottom), 0, -1
	}
	if used != t {
		e1, e2 = numeric.Exp(o.l1*used), numeric.Exp(o.l2*used)
	}
	w.hold(&o, used, e1, e2)
	if step != 0 {
		w.enter(w.seg, step)
	}
	return used, end
}

// A decay is the solution of the circuit at a held voltage on one segment of
// the curve, where it is linear. With x the distance of the open-circuit
// voltage from the set one and v the slow voltage,
//
//	x' = -a (x - v) + l,   v' = b (x - v) - k v,
//	a = slope eta/(Q r),  b = 1/(C1 r),  k = 1/(R1 C1),  l = slope leak/Q,
//
// and r the resistance of pack and charger. Its two rates are real and
// negative, so that the solution is a sum of two decaying exponentials about a
// resting point:
//
//	x = xs + px e^(l1 t) + qx e^(l2 t), the same for v, and for r i = x - v.
type decay struct {
	r, eta      float64
	l1, l2      float64
	xs, px, qx  float64
	vs, pv, qv  float64
	gap, pi, qi float64 // x - v = r times the current
}

// decay works the solution out from the present state, and returns the bounds
// of the current between which it holds: zero is one of them, for the charge
// efficiency changes there.
func (w *held) decay(o *decay) (lowA, highA float64) {
	p := w.p
	o.r = w.r0 + w.seriesR + p.tiny
	x0, v0 := w.setV-w.u, w.slow
	i0 := (x0 - v0) / o.r
	l := w.slope * w.leak * p.perCoulomb
	b, k := 0.0, 1.0
	if w.tau > 0 {
		b, k = 1/(p.c1*o.r), 1/w.tau
	} else {
		v0 = 0
	}
	// Charging or discharging: at no current, what it is about to do.
	const still = 1e-12
	lowA, highA, o.eta = w.lowA, min(w.highA, 0), 1
	if i0 > still || i0 > -still && l+k*v0 > 0 {
		lowA, highA, o.eta = max(w.lowA, 0), w.highA, p.eta
	}
	a := w.slope * o.eta * p.perCoulomb / o.r
	// Resting point: x - v = l/a.
	o.gap = l / a
	o.vs = b / k * o.gap
	o.xs = o.vs + o.gap
	sum := a + b + k
	root := math.Sqrt((a-b-k)*(a-b-k) + 4*a*b)
	o.l1 = -2 * a * k / (sum + root) // the slow one, without cancellation
	o.l2 = -0.5 * (sum + root)
	dx, dv := x0-o.xs, v0-o.vs
	per := 1 / (o.l1 - o.l2)
	o.px = (a*(dv-dx) - o.l2*dx) * per
	o.pv = (b*dx - (b+k)*dv - o.l2*dv) * per
	o.qx, o.qv = dx-o.px, dv-o.pv
	o.pi, o.qi = o.px-o.pv, o.qx-o.qv
	return lowA, highA
}

// hold applies a decay after t seconds, of which e1 and e2 are the
// exponentials, and books the charge.
func (w *held) hold(o *decay, t, e1, e2 float64) {
	p := w.p
	// The charge follows from the change of the open-circuit voltage and the leak.
	du := o.px*(1-e1) + o.qx*(1-e2)
	gained := du / w.slope // of the capacity
	w.soc += gained
	w.u += du
	q := (gained*p.coulomb + w.leak*t) / o.eta
	w.slow = 0
	if w.tau > 0 {
		w.slow = o.vs + o.pv*e1 + o.qv*e2
	}
	// Energy at the pack's terminals: the set voltage less the drop in the
	// charger's resistance, which takes the integral of the current squared.
	energy := w.setV * q
	if w.seriesR > 0 {
		i2 := o.gap*o.gap*t + 2*o.gap*(o.pi*(1-e1)/-o.l1+o.qi*(1-e2)/-o.l2) +
			o.pi*o.pi*(1-e1*e1)/(-2*o.l1) + 2*o.pi*o.qi*(1-e1*e2)/-(o.l1+o.l2) + o.qi*o.qi*(1-e2*e2)/(-2*o.l2)
		energy -= w.seriesR * i2 / (o.r * o.r)
	}
	if q > 0 {
		w.in += q
		w.inJ += energy
		w.lost += (1 - o.eta) * q
	} else {
		w.out -= q
		w.outJ -= energy
	}
	w.lost += w.leak * t
}
