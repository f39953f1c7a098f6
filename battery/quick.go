package battery

import (
	"math"

	"github.com/stationphysics/stationphysics/internal/numeric"
)

// What stands here is the ordinary step: a state of charge that stays on one
// segment of the curve, no limit touched. A year consists of little else, so it
// is written out in one piece for each of Step, Draw and Current, with the
// formulas of work in their order; a test holds the two together. Whatever does
// not apply leads out to the general step.

// quick prepares an ordinary step: the segment of the curve, the open-circuit
// voltage and its slope there, the resistances, the self-discharge, and what
// remains of the slow voltage at the end and in the mean. The segment is below 0
// for a step that is not ordinary.
func (p *Pack) quick(s State, dtS, tempC float64) (seg int, u, slope, r0, r1, leak, left, mean float64) {
	// Written so that a NaN anywhere leads out.
	if !(dtS >= 1e-3 && dtS <= maxStepS && tempC >= survivalMinC && tempC <= survivalMaxC && s.SoC > 0 && s.SoC < 1.5 && p.r1 > 0) {
		return -1, 0, 0, 0, 0, 0, 0, 0
	}
	cold, leak := p.warmth(tempC)
	r1 = p.r1 * cold
	tau := r1 * p.c1
	x, perX := dtS/tau, tau/dtS
	if x < 1e-5 || leak*dtS > s.SoC*p.coulomb {
		return -1, 0, 0, 0, 0, 0, 0, 0
	}
	if x < gone {
		left = numeric.Exp(-x)
	}
	seg = p.segment(s.SoC) & (maxCurvePoints - 1)
	dT := tempC - referenceC
	slope = p.slope[seg] + p.slopePerK[seg]*dT
	u = p.volt[seg] + p.perK[seg]*dT + slope*(s.SoC-p.soc[seg])
	return seg, u, slope, p.r0 * cold, r1, leak, left, (1 - left) * perX
}

// Step takes the pack through dtS seconds in which the harvest exceeds the
// load by netW at the pack's terminals (negative: the load exceeds the
// harvest), at a cell temperature.
//
// With a surplus the pack takes what the charger's current and set voltage
// allow, nothing outside the charge window; what it did not take is
// netW·dtS/3600 - InWh. With a deficit it gives what is asked until it is empty
// at this temperature or falls to the cut-off; what it did not give is
// -netW·dtS/3600 - OutWh. Stop names what held it back, but for the charger's most
// current, which has no name. Arguments out of range as with Pack.Current. It
// allocates nothing.
func (r *Run) Step(s State, netW, dtS, tempC float64) (State, Flow) {
	p := r.p
	k, u, slope, r0, r1, leak, left, mean := p.quick(s, dtS, tempC)
	if k < 0 || !finite(netW+s.SlowV) || netW > 0 && (tempC < r.c.ColdStopC || tempC > r.c.HotStopC) {
		return r.full(s, netW, dtS, tempC)
	}

	power, eta, floor, stop := netW, 1.0, 0.0, NoStop
	if netW > 0 {
		eta = p.eta
	} else if floor = 1 - p.usableAt(tempC); s.SoC <= floor && netW < 0 {
		power, stop = 0, Empty // a stopped station stays so for days
	}
	// The current, as in powerCurrent.
	half := slope * 0.5 * dtS * p.perCoulomb
	a := u - half*leak + s.SlowV*mean
	rest := r0 + r1*(1-mean)
	d := a*a + 4*(rest+half*eta)*power
	if !(d >= 0 && a > 0) {
		return r.full(s, netW, dtS, tempC)
	}
	i := 2 * power / (a + math.Sqrt(d))

	// The move, as in try.
	q := i * dtS
	soc := s.SoC + (q*eta-leak*dtS)*p.perCoulomb
	if soc < p.soc[k] || soc > p.soc[(k+1)&(maxCurvePoints-1)] {
		return r.full(s, netW, dtS, tempC)
	}
	settled := i * r1
	du := slope * (soc - s.SoC)
	slow := settled + (s.SlowV-settled)*left
	meanV := u + 0.5*du + (i*r0 + settled) + (s.SlowV-settled)*mean
	endV := u + du + i*r0 + slow

	const ah = 1.0 / 3600
	lost := leak * dtS
	startV := u + i*r0 + s.SlowV
	if netW > 0 {
		c := &r.c.Charger
		if limitV := c.SetV - i*c.SeriesOhm; i > c.MaxA || endV > limitV || startV > limitV {
			return r.full(s, netW, dtS, tempC)
		}
		lost += (1 - eta) * q
		return State{SoC: soc, SlowV: slow}, Flow{CurrentA: i, EndV: endV, EndA: i, InAh: q * ah, LostAh: lost * ah, InWh: q * meanV * ah}
	}
	if power < 0 && (endV < r.c.CutoffV || startV < r.c.CutoffV || soc < floor) {
		return r.full(s, netW, dtS, tempC)
	}
	return State{SoC: soc, SlowV: slow}, Flow{CurrentA: i, EndV: endV, EndA: i, OutAh: -q * ah, LostAh: lost * ah, OutWh: -q * meanV * ah, Stop: stop}
}

// Draw takes the pack through dtS seconds in which nothing comes in and a
// constant current of loadA, 0 or more, goes out, as linear regulators take it.
// Otherwise it is Step with a deficit: it ends where the pack is empty at this
// temperature or falls to the cut-off. Arguments out of range as with
// Pack.Current, a loadA below 0 likewise.
func (r *Run) Draw(s State, loadA, dtS, tempC float64) (State, Flow) {
	p := r.p
	k, u, slope, r0, r1, leak, left, mean := p.quick(s, dtS, tempC)
	if k < 0 || !(loadA >= 0) || !finite(loadA+s.SlowV) {
		return r.drawFull(s, loadA, dtS, tempC)
	}
	i, stop := -loadA, NoStop
	floor := 1 - p.usableAt(tempC)
	if s.SoC <= floor && loadA > 0 {
		i, stop = 0, Empty
	}
	q := i * dtS
	soc := s.SoC + (q-leak*dtS)*p.perCoulomb
	settled := i * r1
	du := slope * (soc - s.SoC)
	slow := settled + (s.SlowV-settled)*left
	endV := u + du + i*r0 + slow
	if soc < p.soc[k] || soc > p.soc[(k+1)&(maxCurvePoints-1)] || i < 0 && (soc < floor || min(endV, u+i*r0+s.SlowV) < r.c.CutoffV) {
		return r.drawFull(s, loadA, dtS, tempC)
	}
	meanV := u + 0.5*du + (i*r0 + settled) + (s.SlowV-settled)*mean
	const ah = 1.0 / 3600
	return State{SoC: soc, SlowV: slow}, Flow{CurrentA: i, EndV: endV, EndA: i, OutAh: -q * ah, LostAh: leak * dtS * ah, OutWh: -q * meanV * ah, Stop: stop}
}

// Current takes the pack through dtS seconds at a constant current into it
// (negative: out of it), whatever the voltage does. The step is the exact
// solution of the circuit, so that many short steps and one long one agree, but where
// self-discharge would empty the pack within a step: it goes evenly, and takes no more
// than the charge at the beginning. A cell temperature outside -40..85 °C, a step that
// is not above 0 and at most 4e7 s, or anything that is no number makes state and flow
// NaN, with Stop Invalid.
func (p *Pack) Current(s State, currentA, dtS, tempC float64) (State, Flow) {
	k, u, slope, r0, r1, leak, left, mean := p.quick(s, dtS, tempC)
	if k < 0 || !finite(currentA+s.SlowV) {
		return p.currentFull(s, currentA, dtS, tempC)
	}
	eta := 1.0
	if currentA > 0 {
		eta = p.eta
	}
	q := currentA * dtS
	soc := s.SoC + (q*eta-leak*dtS)*p.perCoulomb
	if soc < p.soc[k] || soc > p.soc[(k+1)&(maxCurvePoints-1)] {
		return p.currentFull(s, currentA, dtS, tempC)
	}
	settled := currentA * r1
	du := slope * (soc - s.SoC)
	slow := settled + (s.SlowV-settled)*left
	meanV := u + 0.5*du + (currentA*r0 + settled) + (s.SlowV-settled)*mean
	endV := u + du + currentA*r0 + slow
	const ah = 1.0 / 3600
	lost := (leak*dtS + (1-eta)*q) * ah
	if currentA > 0 {
		return State{SoC: soc, SlowV: slow}, Flow{CurrentA: currentA, EndV: endV, EndA: currentA, InAh: q * ah, LostAh: lost, InWh: q * meanV * ah}
	}
	return State{SoC: soc, SlowV: slow}, Flow{CurrentA: currentA, EndV: endV, EndA: currentA, OutAh: -q * ah, LostAh: lost, OutWh: -q * meanV * ah}
}
