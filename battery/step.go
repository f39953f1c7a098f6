package battery

import "math"

// work is one step in progress.
type work struct {
	p             *Pack
	r0, r1, tau   float64 // at the step's temperature; tau in seconds
	dT            float64 // K above 25 °C
	leak          float64 // self-discharge, A
	soc, slow     float64
	seg           int
	in, out, lost float64 // A s
	inJ, outJ     float64
	setV, seriesR float64 // the charger
	lowA, highA   float64 // current into the pack that charger and load leave open
	touched       bool    // the set voltage was reached

	relaxT, relaxLeft, relaxMean float64 // the last result of relax
}

// Step limits: a step of a year is no step any more.
const maxStepS = 40_000_000

// begin prepares a step; false for an argument out of range.
func (w *work) begin(p *Pack, s State, dtS, tempC float64) bool {
	if !(dtS > 0 && dtS <= maxStepS) || !(tempC >= survivalMinC && tempC <= survivalMaxC) || math.IsNaN(s.SoC+s.SlowV) || math.IsInf(s.SoC+s.SlowV, 0) {
		return false
	}
	w.p = p
	f := p.coldFactor(tempC)
	w.r0, w.r1 = p.r0*f, p.r1*f
	w.tau = w.r1 * p.c1
	w.dT = tempC - referenceC
	w.soc, w.slow = s.SoC, s.SlowV
	w.seg = p.segment(s.SoC)
	if p.leak25 > 0 && s.SoC > 0 {
		// Not more than is in the pack, so that a long rest ends at empty.
		w.leak = min(p.leak25*math.Exp2(w.dT/10), s.SoC*p.coulomb/dtS)
	}
	return true
}

func (w *work) ocv() float64 { return w.p.ocv(w.soc, w.seg, w.dT) }

// relax returns what remains of the slow voltage after t seconds, and the mean
// of that share over the t seconds.
func (w *work) relax(t float64) (left, mean float64) {
	if !(w.tau > 0) {
		return 0, 0
	}
	if t == w.relaxT {
		return w.relaxLeft, w.relaxMean
	}
	x := t / w.tau
	left = math.Exp(-x)
	mean = (1 - left) / x
	if x < 1e-5 {
		// 1 - exp(-x) loses its digits here; the series does not.
		mean = 1 - x*(0.5-x/6)
	}
	w.relaxT, w.relaxLeft, w.relaxMean = t, left, mean
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

// meanOCV returns the mean open-circuit voltage while the state of charge goes
// evenly from the present one to to, and the segment it ends in. The curve is
// straight in pieces, so that trapezia are exact.
func (w *work) meanOCV(to float64) (mean float64, seg int) {
	p := w.p
	s, u := w.soc, w.ocv()
	seg = w.seg
	if to == s {
		return u, seg
	}
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
			break
		}
		seg += step
	}
	return area / (to - w.soc), seg
}

// run advances t seconds at a constant current, exactly. It returns the voltage
// at the end.
func (w *work) run(i, t float64) (endV float64) {
	left, mean := w.relax(t)
	settled := i * w.r1
	to := w.soc + w.gain(i, t)/w.p.coulomb
	u, seg := w.meanOCV(to)
	meanV := u + i*w.r0 + settled + (w.slow-settled)*mean
	w.slow = settled + (w.slow-settled)*left
	if w.tau <= 0 {
		w.slow = settled
	}
	w.soc, w.seg = to, seg
	q := i * t
	if q > 0 {
		w.in += q
		w.inJ += q * meanV
		w.lost += (1 - w.p.eta) * q
	} else {
		w.out -= q
		w.outJ -= q * meanV
	}
	w.lost += w.leak * t
	return w.ocv() + i*w.r0 + w.slow
}

// powerCurrent returns the constant current that makes the mean power over t
// seconds equal to power; false if no current does.
func (w *work) powerCurrent(power, t float64) (i float64, ok bool) {
	if power == 0 {
		return 0, true
	}
	_, mean := w.relax(t)
	p := w.p
	seg := w.seg & (maxCurvePoints - 1)
	eta := 1.0
	if power > 0 {
		eta = p.eta
	}
	// On one segment the mean voltage is a + r i: a quadratic for the current.
	half := (p.slope[seg] + p.slopePerK[seg]*w.dT) * 0.5 * t / p.coulomb
	a := w.ocv() - half*w.leak + w.slow*mean
	r := w.r0 + w.r1*(1-mean) + half*eta
	d := a*a + 4*r*power
	if !(d >= 0 && a > 0) {
		return 0, false
	}
	i = 2 * power / (a + math.Sqrt(d))
	to := w.soc + w.gain(i, t)/p.coulomb
	if (to <= p.soc[(seg+1)&(maxCurvePoints-1)] || seg == p.n-2) && (to >= p.soc[seg] || seg == 0) {
		return i, true
	}
	// Over a bend of the curve: take the true mean and its chord until they
	// agree. The correction is small, so that this is quick.
	for range 60 {
		to = w.soc + w.gain(i, t)/p.coulomb
		u, _ := w.meanOCV(to)
		fixed := u + w.slow*mean
		rr := w.r0 + w.r1*(1-mean)
		d = fixed*fixed + 4*rr*power
		if !(d >= 0 && fixed > 0) {
			return 0, false
		}
		next := 2 * power / (fixed + math.Sqrt(d))
		if math.Abs(next-i) <= 1e-14*math.Abs(i) {
			return next, true
		}
		i = next
	}
	return i, true
}

func (w *work) finish(dtS, endV float64, stop Stop) (State, Flow) {
	const ah = 1.0 / 3600
	return State{SoC: w.soc, SlowV: w.slow}, Flow{
		CurrentA: (w.in - w.out) / dtS, EndV: endV,
		InAh: w.in * ah, OutAh: w.out * ah, LostAh: w.lost * ah, InWh: w.inJ * ah, OutWh: w.outJ * ah, Stop: stop,
	}
}

func invalid() (State, Flow) {
	return State{nan, nan}, Flow{nan, nan, nan, nan, nan, nan, nan, Invalid}
}

// Current takes the pack through dtS seconds at a constant current into it
// (negative: out of it), whatever the voltage does. The step is the exact
// solution of the circuit, so that many short steps and one long one agree. A
// cell temperature outside -40..85 °C, a step that is not above 0 and at most
// 4e7 s, or anything that is no number makes state and flow NaN, with Stop
// Invalid.
func (p *Pack) Current(s State, currentA, dtS, tempC float64) (State, Flow) {
	var w work
	if !w.begin(p, s, dtS, tempC) || math.IsNaN(currentA) || math.IsInf(currentA, 0) {
		return invalid()
	}
	v := w.run(currentA, dtS)
	return w.finish(dtS, v, NoStop)
}

// Power takes the pack through dtS seconds at a constant current into it whose
// mean power is powerW (negative: out of it): the energy of the step is exactly
// what was asked. Where no current gives that power, none flows and Stop is
// Weak. Arguments out of range as with Current.
func (p *Pack) Power(s State, powerW, dtS, tempC float64) (State, Flow) {
	var w work
	if !w.begin(p, s, dtS, tempC) || math.IsNaN(powerW) || math.IsInf(powerW, 0) {
		return invalid()
	}
	i, ok := w.powerCurrent(powerW, dtS)
	v := w.run(i, dtS)
	if !ok {
		return w.finish(dtS, v, Weak)
	}
	return w.finish(dtS, v, NoStop)
}
