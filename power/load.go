package power

import (
	"strconv"

	"github.com/stationphysics/stationphysics"
	"github.com/stationphysics/stationphysics/internal/limit"
)

// A LoadPhase is one thing a load does in its period: measuring, sending,
// trying again.
type LoadPhase struct {
	Name        string
	CurrentA    float64 // current on the rail meanwhile, 0..100 A
	DurationS   float64 // length of one run, 0..1e6 s
	RepeatCount float64 // runs per period on the average, 0..1e6; a retry that happens one time in five counts 0.2
}

// A LoadSpec describes the rhythm of a load on one rail: it sleeps, and in each
// period runs through its phases.
type LoadSpec struct {
	PeriodS float64     // 1e-3..1e7 s
	AsleepA float64     // current during the rest of the period, 0..100 A
	Phases  []LoadPhase // awake, peak, retry: in any order, at most 32
}

var (
	ldPeriod = limit.Range{Quantity: "period", Unit: "s", Min: 1e-3, Max: 1e7}
	ldAsleep = limit.Range{Quantity: "sleeping current", Unit: "A", Min: 0, Max: 100}
	ldAmp    = limit.Range{Quantity: "phase current", Unit: "A", Min: 0, Max: 100, Slips: []limit.Slip{{Min: 101, Max: 1e5, Looks: "milliamperes"}}}
	ldDur    = limit.Range{Quantity: "phase duration", Unit: "s", Min: 0, Max: 1e6}
	ldCount  = limit.Range{Quantity: "runs per period", Min: 0, Max: 1e6}
)

// A Load is the validated rhythm of a load. Its zero value draws nothing.
type Load struct {
	s       LoadSpec
	asleepS float64
	meanA   float64
	peakA   float64
}

// NewLoad validates a rhythm. It returns a *stationphysics.RangeError
// for a number outside the range stated at its field, and a
// *stationphysics.ConflictError if the phases fill more than the period: a load
// whose retries leave it no time to sleep needs another pattern, without sleep.
func NewLoad(s LoadSpec) (Load, error) {
	if err := limit.First(ldPeriod.Check(s.PeriodS), ldAsleep.Check(s.AsleepA)); err != nil {
		return Load{}, err
	}
	if len(s.Phases) > 32 {
		return Load{}, &stationphysics.RangeError{Quantity: "number of phases", Value: float64(len(s.Phases)), Max: 32}
	}
	p := Load{s: s, peakA: s.AsleepA}
	p.s.Phases = append([]LoadPhase(nil), s.Phases...)
	busyS, chargeAs := 0.0, 0.0
	for n, f := range p.s.Phases {
		if err := limit.First(ldAmp.Check(f.CurrentA), ldDur.Check(f.DurationS), ldCount.Check(f.RepeatCount)); err != nil {
			return Load{}, err
		}
		busyS += f.DurationS * f.RepeatCount
		chargeAs += f.CurrentA * f.DurationS * f.RepeatCount
		if f.DurationS*f.RepeatCount > 0 {
			p.peakA = max(p.peakA, f.CurrentA)
		}
		// The sum of many phases that fill the period exactly may exceed it
		// by rounding.
		if busyS > s.PeriodS*(1+1e-12) {
			return Load{}, &stationphysics.ConflictError{Quantities: []string{"duration of the phases up to " + strconv.Itoa(n+1), "period"},
				Values: []float64{busyS, s.PeriodS}, Units: []string{"s", "s"}, Rule: "the phases fit into the period"}
		}
	}
	p.asleepS = max(0, s.PeriodS-busyS)
	p.meanA = (chargeAs + s.AsleepA*p.asleepS) / s.PeriodS
	return p, nil
}

// Spec returns the rhythm the pattern was made from. The phases are shared: do
// not change them.
func (p Load) Spec() LoadSpec { return p.s }

// MeanA returns the mean current in A.
func (p Load) MeanA() float64 { return p.meanA }

// PeakA returns the largest current in A of any phase that happens at all,
// sleep included.
func (p Load) PeakA() float64 { return p.peakA }

// AsleepFrac returns the share of the time spent asleep, 0 for the zero value.
func (p Load) AsleepFrac() float64 {
	if p.s.PeriodS == 0 {
		return 0
	}
	return p.asleepS / p.s.PeriodS
}

// PerDayAh returns the charge taken from the rail in 24 hours, in Ah.
func (p Load) PerDayAh() float64 { return p.meanA * 24 }

// PerDayWh returns the energy taken in 24 hours from a rail of railV, in Wh.
func (p Load) PerDayWh(railV float64) float64 { return p.meanA * 24 * railV }

// Beside returns the pattern of two loads on one rail that know nothing of each
// other: every phase of the one meets every phase of the other for the product
// of their shares of the time. Means add, and the peak is the sum of both peaks,
// which is what the supply must carry however rarely it happens. The result has
// the period of p.
func (p Load) Beside(q Load) Load {
	switch {
	case q.s.PeriodS == 0:
		return p
	case p.s.PeriodS == 0:
		return q
	}
	r := Load{s: LoadSpec{PeriodS: p.s.PeriodS, AsleepA: p.s.AsleepA + q.s.AsleepA}, meanA: p.meanA + q.meanA, peakA: p.peakA + q.peakA}
	r.asleepS = p.asleepS * q.AsleepFrac()
	for m := -1; m < len(p.s.Phases); m++ {
		a, shareS := p.phase(m)
		for n := -1; n < len(q.s.Phases); n++ {
			b, lengthS := q.phase(n)
			if m < 0 && n < 0 {
				continue
			}
			r.s.Phases = append(r.s.Phases, LoadPhase{Name: a.Name + "+" + b.Name, CurrentA: a.CurrentA + b.CurrentA,
				DurationS: shareS * lengthS / q.s.PeriodS, RepeatCount: 1})
		}
	}
	return r
}

// phase returns a phase and its time in a period; the one before the first is
// sleep.
func (p *Load) phase(n int) (f LoadPhase, timeS float64) {
	if n < 0 {
		return LoadPhase{Name: "asleep", CurrentA: p.s.AsleepA}, p.asleepS
	}
	f = p.s.Phases[n]
	return f, f.DurationS * f.RepeatCount
}

// SourceA returns the mean current in A that a supply takes at sourceV for the
// pattern: each phase through the supply's input current at that phase's load,
// since a converter that is 90 % efficient while the load is awake may waste
// most of what it takes while it sleeps. Extra loads that draw steadily from
// the same rail (a divider, an indicator, a bridge that cannot be switched off)
// add to every phase through steadyA. NaN if the supply answers NaN.
func (p Load) SourceA(s Supply, sourceV, steadyA float64) float64 {
	if p.s.PeriodS == 0 {
		return s.InputA(sourceV, steadyA)
	}
	sum := s.InputA(sourceV, p.s.AsleepA+steadyA) * p.asleepS
	if p.asleepS == 0 {
		sum = 0
	}
	for _, f := range p.s.Phases {
		if w := f.DurationS * f.RepeatCount; w > 0 {
			sum += s.InputA(sourceV, f.CurrentA+steadyA) * w
		}
	}
	return sum / p.s.PeriodS
}
