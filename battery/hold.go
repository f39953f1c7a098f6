package battery

import "math"

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
	return (w.setV - w.u - w.slow) / (w.r0 + w.seriesR + tinyOhm)
}

// A charger without any resistance on an ideal cell has no current of its own;
// a nano-ohm gives it one and changes nothing else.
const tinyOhm = 1e-9

// runUntil runs at a constant current for at most t seconds, but stops where
// the terminal voltage rises (falls, if not up) to target.
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
		u0 := w.u + i*w.r0 + settled - target
		du := w.slope * rate
		dev := w.slow - settled
		g := func(x float64) (f, df float64) {
			e := 0.0
			if w.tau > 0 {
				e = exp(-x / w.tau)
				df = -dev * e / w.tau
			}
			return sign * (u0 + du*x + dev*e), sign * (du + df)
		}
		if f, _ := g(part); f >= 0 {
			x := 0.0
			if f0, _ := g(0); f0 < 0 {
				x = rootBetween(g, 0, part)
			}
			w.run(i, x)
			return t - left + x, true
		}
		w.run(i, part)
		left -= part
		if step == 0 {
			return t, false
		}
		w.enter(step)
	}
	return t - left, false
}

// enter puts the work exactly on the bend it has come to, on its far side.
func (w *work) enter(step int) {
	if step > 0 {
		w.soc = w.p.soc[w.seg+1]
	} else {
		w.soc = w.p.soc[w.seg]
	}
	w.sit(w.seg + step)
}

// holdFor holds the set voltage for at most t seconds. It stops early at a bend
// of the curve, and where the current would leave its bounds; end is then +1
// or -1 for the upper or lower bound.
//
// On one segment the circuit is linear. With x the distance of the
// open-circuit voltage from the set one and v the slow voltage,
//
//	x' = -a (x - v) + l,   v' = b (x - v) - v/tau,
//	a = slope eta/(Q R),  b = 1/(C1 R),  l = slope leak/Q,  R = R0 + charger,
//
// whose two rates are real and negative, so that the solution is a sum of two
// decaying exponentials about the resting point.
func (w *held) holdFor(t float64) (used float64, end int) {
	p := w.p
	r := w.r0 + w.seriesR + tinyOhm
	slope := w.slope
	x0 := w.setV - w.u
	v0 := w.slow
	i0 := (x0 - v0) / r
	eta := 1.0
	if i0 > 0 {
		eta = p.eta
	}
	a := slope * eta / (p.coulomb * r)
	b, k := 0.0, 1.0
	if w.tau > 0 {
		b, k = 1/(p.c1*r), 1/w.tau
	} else {
		v0 = 0
	}
	l := slope * w.leak / p.coulomb
	// Resting point: x - v = l/a.
	gap := l / a
	vs := b / k * gap
	xs := vs + gap
	sum := a + b + k
	root := math.Sqrt((a-b-k)*(a-b-k) + 4*a*b)
	l1 := -2 * a * k / (sum + root) // the slow one, without cancellation
	l2 := -0.5 * (sum + root)
	// x - xs = px e1 + qx e2, the same for v.
	dx, dv := x0-xs, v0-vs
	ax := -a*dx + a*dv // derivatives at the start
	av := b*dx - (b+k)*dv
	px, pv := (ax-l2*dx)/(l1-l2), (av-l2*dv)/(l1-l2)
	qx, qv := dx-px, dv-pv

	at := func(c, pe, qe, time float64) (f, df float64) {
		e1, e2 := pe*exp(l1*time), qe*exp(l2*time)
		return c + e1 + e2, l1*e1 + l2*e2
	}
	used = t
	// The current's bounds, and zero, where the charge efficiency changes.
	lowA, highA := w.lowA, w.highA
	if i0 > 0 {
		lowA = max(lowA, 0)
	} else {
		highA = min(highA, 0)
	}
	ig := func(bound, sign float64) func(float64) (float64, float64) {
		return func(time float64) (float64, float64) {
			f, df := at(gap-bound*r, px-pv, qx-qv, time)
			return sign * f, sign * df
		}
	}
	const slack = 1e-12
	for _, bd := range [2]struct {
		at, sign float64
		end      int
	}{{highA, 1, 1}, {lowA, -1, -1}} {
		g := ig(bd.at, bd.sign)
		if f, _ := g(used); f > slack {
			if f0, _ := g(0); f0 < 0 {
				used = rootBetween(g, 0, used)
			} else {
				used = 0
			}
			end = bd.end
			if bd.at == 0 && w.lowA < 0 && w.highA > 0 {
				end = 0 // only the efficiency changes
				used = math.Max(used, 1e-9*t)
			}
		}
	}
	// The ends of the segment.
	step := 0
	xe, _ := at(xs, px, qx, used)
	if w.seg < p.n-2 {
		if top := w.setV - p.ocv(p.soc[w.seg+1], w.seg, w.dT); xe < top {
			g := func(time float64) (float64, float64) {
				f, df := at(xs-top, px, qx, time)
				return -f, -df
			}
			used, end, step = rootBetween(g, 0, used), 0, 1
		}
	}
	if step == 0 && w.seg > 0 {
		if bottom := w.setV - p.ocv(p.soc[w.seg], w.seg, w.dT); xe > bottom {
			g := func(time float64) (float64, float64) { return at(xs-bottom, px, qx, time) }
			used, end, step = rootBetween(g, 0, used), 0, -1
		}
	}
	w.hold(used, r, eta, slope, gap, vs, l1, l2, px, qx, pv, qv)
	if step != 0 {
		w.enter(step)
	}
	return used, end
}

// hold applies the solution of holdFor after t seconds and books the charge.
func (w *held) hold(t, r, eta, slope, gap, vs, l1, l2, px, qx, pv, qv float64) {
	e1, e2 := exp(l1*t), exp(l2*t)
	p := w.p
	// The charge from the change of the open-circuit voltage and the leak.
	du := px*(1-e1) + qx*(1-e2)
	gained := du / slope // of the capacity
	w.soc += gained
	w.u += du
	q := (gained*p.coulomb + w.leak*t) / eta
	w.slow = vs + pv*e1 + qv*e2
	if !(w.tau > 0) {
		w.slow = 0
	}
	// Energy at the pack's terminals: the set voltage less the drop in the
	// charger's resistance, which takes the integral of the current squared.
	energy := w.setV * q
	if w.seriesR > 0 {
		pi, qi, gi := (px-pv)/r, (qx-qv)/r, gap/r
		i2 := gi*gi*t + 2*gi*(pi*(1-e1)/-l1+qi*(1-e2)/-l2) +
			pi*pi*(1-e1*e1)/(-2*l1) + 2*pi*qi*(1-e1*e2)/-(l1+l2) + qi*qi*(1-e2*e2)/(-2*l2)
		energy -= w.seriesR * i2
	}
	if q > 0 {
		w.in += q
		w.inJ += energy
		w.lost += (1 - eta) * q
	} else {
		w.out -= q
		w.outJ -= energy
	}
	w.lost += w.leak * t
}

// rootBetween finds the root of a smooth function that is below 0 at lo and
// not below at hi, by Newton steps kept inside the shrinking bracket.
func rootBetween(g func(float64) (f, df float64), lo, hi float64) float64 {
	x := 0.5 * (lo + hi)
	for range 200 {
		f, df := g(x)
		if f < 0 {
			lo = x
		} else {
			hi = x
		}
		next := x - f/df
		if !(next > lo && next < hi) {
			next = 0.5 * (lo + hi)
		}
		if math.Abs(next-x) <= 1e-13*hi || next == lo || next == hi {
			return next
		}
		x = next
	}
	return x
}
