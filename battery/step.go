package battery

import (
	"math"

	"github.com/stationphysics/stationphysics/internal/numeric"
)

// work is one step in progress.
type work struct {
	p             *Pack
	r0, r1, tau   float64 // at the step's temperature; tau in seconds
	dT            float64 // K above 25 °C
	leak          float64 // self-discharge, A
	soc, slow     float64
	seg           int
	u, slope      float64 // open-circuit voltage at soc, its slope on the segment
	t, left, mean float64 // the last result of relax
	in, out, lost float64 // A s
	inJ, outJ     float64
}

// A step of more than a year is no step any more.
const maxStepS = 40_000_000

// finite is false for NaN and the infinities. It compares: x - x is not zero where x
// is a product that the machine fuses with the difference.
func finite(x float64) bool { return math.Abs(x) <= math.MaxFloat64 }

// begin prepares a step; false for an argument out of range.
func (w *work) begin(p *Pack, s State, dtS, tempC float64) bool {
	if !(dtS > 0 && dtS <= maxStepS) || !(tempC >= survivalMinC && tempC <= survivalMaxC) || !finite(s.SoC+s.SlowV) {
		return false
	}
	w.p = p
	f, leak := p.warmth(tempC)
	w.r0, w.r1 = p.r0*f, p.r1*f
	w.tau = w.r1 * p.c1
	w.t = -1 // relax has no result yet
	w.dT = tempC - referenceC
	w.soc, w.slow = s.SoC, s.SlowV
	w.sit(p.segment(s.SoC))
	if p.leak25 > 0 && s.SoC > 0 {
		// Not more than is in the pack, so that a long rest ends at empty.
		w.leak = min(leak, s.SoC*p.coulomb/dtS)
	}
	return true
}

// sit places the work on a segment of the curve.
func (w *work) sit(seg int) {
	w.seg = seg
	p, k := w.p, seg&(maxCurvePoints-1)
	w.slope = p.slope[k] + p.slopePerK[k]*w.dT
	w.u = p.volt[k] + p.perK[k]*w.dT + w.slope*(w.soc-p.soc[k])
}

// After so many times its time constant nothing is left of the slow voltage:
// exp(-40) = 4e-18 is below the rounding of any voltage that it is added to.
const gone = 40

// relax returns what remains of the slow voltage after t seconds, and the mean
// of that share over the t seconds.
func (w *work) relax(t float64) (left, mean float64) {
	if !(w.tau > 0) {
		return 0, 0
	}
	if t == w.t {
		return w.left, w.mean
	}
	x := t / w.tau
	if x < gone {
		left = numeric.Exp(-x)
	}
	mean = (1 - left) * (w.tau / t)
	if x < 1e-5 {
		// 1 - exp(-x) loses its digits here; the series does not.
		mean = 1 - x*(0.5-x/6)
	}
	w.t, w.left, w.mean = t, left, mean
	return left, mean
}

// gain returns the change of the stored charge, A s, by a current over t seconds.
func (w *work) gain(i, t float64) float64 {
	q := i * t
	if q > 0 {
		q *= w.p.eta
	}
	return q - w.leak*t
}

// within reports whether a state of charge lies on the present segment.
func (w *work) within(soc float64) bool {
	k := w.seg & (maxCurvePoints - 1)
	p := w.p
	return (soc >= p.soc[k] || w.seg == 0) && (soc <= p.soc[(k+1)&(maxCurvePoints-1)] || w.seg == p.n-2)
}

// meanOCV returns the mean open-circuit voltage while the state of charge goes
// evenly from the present one to to, the voltage there, and its segment. The
// curve is straight in pieces, so that trapezia are exact.
func (w *work) meanOCV(to float64) (mean, end float64, seg int) {
	if w.within(to) {
		d := w.slope * (to - w.soc)
		return w.u + 0.5*d, w.u + d, w.seg
	}
	p := w.p
	s, u := w.soc, w.u
	seg = w.seg
	area := 0.0
	for {
		next := to
		step := 0
		if to > s && seg < p.n-2 && to > p.soc[seg+1] {
			next, step = p.soc[seg+1], 1
		} else if to < s && seg > 0 && to < p.soc[seg] {
			next, step = p.soc[seg], -1
		}
		un := p.ocv(next, seg, w.dT)
		area += 0.5 * (u + un) * (next - s)
		s, u = next, un
		if step == 0 {
			return area / (to - w.soc), u, seg
		}
		seg += step
	}
}

// A move is the outcome of a constant current, not yet booked.
type move struct {
	i, t        float64
	soc, slow   float64
	u           float64
	meanV, endV float64
	seg         int
}

// try works out t seconds at a constant current, exactly.
func (w *work) try(i, t float64) move {
	left, mean := w.relax(t)
	settled := i * w.r1
	to := w.soc + w.gain(i, t)*w.p.perCoulomb
	m, u, seg := w.meanOCV(to)
	v := i*w.r0 + settled
	slow := settled + (w.slow-settled)*left
	return move{i: i, t: t, soc: to, slow: slow, u: u, meanV: m + v + (w.slow-settled)*mean, endV: u + i*w.r0 + slow, seg: seg}
}

// book makes a move and returns the voltage at its end.
func (w *work) book(m *move) (endV float64) {
	w.soc, w.slow = m.soc, m.slow
	if m.seg != w.seg {
		w.sit(m.seg)
	} else {
		w.u = m.u
	}
	q := m.i * m.t
	if q > 0 {
		w.in += q
		w.inJ += q * m.meanV
		w.lost += (1 - w.p.eta) * q
	} else {
		w.out -= q
		w.outJ -= q * m.meanV
	}
	w.lost += w.leak * m.t
	return m.endV
}

// run advances t seconds at a constant current and returns the voltage at the end.
func (w *work) run(i, t float64) (endV float64) {
	m := w.try(i, t)
	return w.book(&m)
}

// powerCurrent returns the constant current that makes the mean power over t
// seconds equal to power; false if no current does.
func (w *work) powerCurrent(power, t float64) (i float64, ok bool) {
	if power == 0 {
		return 0, true
	}
	_, mean := w.relax(t)
	eta := 1.0
	if power > 0 {
		eta = w.p.eta
	}
	// On one segment the mean voltage is a + r i: a quadratic for the current.
	half := w.slope * 0.5 * t * w.p.perCoulomb
	a := w.u - half*w.leak + w.slow*mean
	rest := w.r0 + w.r1*(1-mean)
	r := rest + half*eta
	d := a*a + 4*r*power
	// Into the pack there always is one; a is below 0 where the self-discharge of a long step
	// brings the pack down a steep end of the curve.
	if !(d >= 0 && (a > 0 || power > 0)) {
		if power < 0 && w.seg > 0 {
			// Where the curve is steep near full it may be less so further down.
			return w.outOverBend(-power, t, rest, mean)
		}
		return 0, false
	}
	i = 2 * power / (a + math.Sqrt(d))
	if to := w.soc + w.gain(i, t)*w.p.perCoulomb; w.within(to) {
		return i, true
	}
	// Over a bend of the curve. The mean of the open-circuit voltage alone, taken
	// again and again, does not settle where the curve is steep: at either end.
	if power > 0 {
		return w.inOverBend(i, power, t, rest, mean), true
	}
	return w.outOverBend(-power, t, rest, mean)
}

// outOverBend is the current that gives a mean power out over t seconds where the
// state of charge crosses bends of the curve; false if none does. Of several it is the
// smallest. The power rises and falls with the current as a concave curve as long as the
// charge ends on one segment: Newton's method from the lower end of that span comes up
// to the current sought and never beyond it, so that a step past the upper end, or a
// falling power, says that the current is not in there.
func (w *work) outOverBend(power, t, rest, slowLeft float64) (i float64, ok bool) {
	perA := t * w.p.perCoulomb
	from := 0.0
	for seg := w.seg; seg >= 0; seg-- {
		until := math.Inf(1)
		if seg > 0 {
			// The charge then ends on the bend.
			until = (w.soc-w.p.soc[seg])/perA - w.leak
		}
		if until <= from {
			continue
		}
		out := from
		for range 60 {
			to := w.soc + w.gain(-out, t)*w.p.perCoulomb
			u, fall := w.u, 0.5*w.slope*perA // the mean, and how it falls with the current
			if to < w.soc {
				mean, end, _ := w.meanOCV(to)
				u, fall = mean, (mean-end)/(w.soc-to)*perA
			}
			v := u + w.slow*slowLeft - rest*out
			rise := v - (rest+fall)*out
			next := out + (power-out*v)/rise
			if !(rise > 0 && next <= until) {
				break
			}
			// Twice the digits are right at every turn: after 1e-8 they all are.
			if math.Abs(next-out) <= 1e-8*next {
				return -next, true
			}
			out = next
		}
		from = until
	}
	return 0, false
}

// inOverBend is the current in that makes the mean power over t seconds where the
// state of charge crosses a bend of the curve, from a guess: Newton's method, on the
// quadratic with the true mean of the open-circuit voltage and its change with the
// current. Taking the mean alone does not settle where the curve rises steeply, at
// the end of charge.
func (w *work) inOverBend(i, power, t, rest, mean float64) float64 {
	perA := t * w.p.eta * w.p.perCoulomb
	for range 60 {
		to := w.soc + w.gain(i, t)*w.p.perCoulomb
		u, end, _ := w.meanOCV(to)
		rise := 0.0
		if to != w.soc {
			rise = (end - u) / (to - w.soc) * perA
		}
		a := u - rise*i + w.slow*mean
		next := 2 * power / (a + math.Sqrt(a*a+4*(rest+rise)*power))
		// Twice the digits are right at every turn: after 1e-8 they all are.
		if math.Abs(next-i) <= 1e-8*i {
			return next
		}
		i = next
	}
	return i
}

func (w *work) finish(dtS, endV, endA float64, stop Stop) (State, Flow) {
	const ah = 1.0 / 3600
	return State{SoC: w.soc, SlowV: w.slow}, Flow{
		CurrentA: (w.in - w.out) / dtS, EndV: endV, EndA: endA,
		InAh: w.in * ah, OutAh: w.out * ah, LostAh: w.lost * ah, InWh: w.inJ * ah, OutWh: w.outJ * ah, Stop: stop,
	}
}

func invalid() (State, Flow) {
	return State{nan, nan}, Flow{nan, nan, nan, nan, nan, nan, nan, nan, Invalid}
}

// currentFull is Current for every case.
func (p *Pack) currentFull(s State, currentA, dtS, tempC float64) (State, Flow) {
	var w work
	if !w.begin(p, s, dtS, tempC) || !finite(currentA) {
		return invalid()
	}
	v := w.run(currentA, dtS)
	return w.finish(dtS, v, currentA, NoStop)
}

// Power takes the pack through dtS seconds at a constant current into it whose
// mean power is powerW (negative: out of it): the energy of the step is exactly
// what was asked. Where no current gives that power, none flows and Stop is
// Weak. Arguments out of range as with Current.
func (p *Pack) Power(s State, powerW, dtS, tempC float64) (State, Flow) {
	var w work
	if !w.begin(p, s, dtS, tempC) || !finite(powerW) {
		return invalid()
	}
	i, ok := w.powerCurrent(powerW, dtS)
	v := w.run(i, dtS)
	if !ok {
		return w.finish(dtS, v, 0, Weak)
	}
	return w.finish(dtS, v, i, NoStop)
}
