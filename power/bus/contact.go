package bus

import (
	"math"

	"github.com/stationphysics/stationphysics"
	"github.com/stationphysics/stationphysics/internal/limit"
)

// A ContactSpec describes a reed or switch contact on a wire, read through a
// resistor and a capacitor: the contact pulls the line low through SeriesOhm,
// and PullUpOhm raises it again.
type ContactSpec struct {
	SupplyV        float64 // 1..30 V
	PullUpOhm      float64 // 10..1e7 ohm
	SeriesOhm      float64 // between the line and the capacitor at the input, 0..1e6 ohm
	CapacitorFarad float64 // at the input, 0..1e-3 F
	CableFarad     float64 // of the cable, on the contact's side, 0..1e-6 F
	LowFrac        float64 // share of the supply below which the input reads low, 0.05..0.95
	HighFrac       float64 // share above which it reads high again, LowFrac..0.95
	ContactOhm     float64 // of contact and wire, 0..1e5 ohm
}

var (
	ctSupply = limit.Range{Quantity: "contact supply", Unit: "V", Min: 1, Max: 30, Slips: []limit.Slip{{Min: 1000, Max: 30000, Looks: "millivolts"}}}
	ctPull   = limit.Range{Quantity: "pull-up resistance", Unit: "ohm", Min: 10, Max: 1e7}
	ctSeries = limit.Range{Quantity: "series resistance", Unit: "ohm", Min: 0, Max: 1e6}
	ctFarad  = limit.Range{Quantity: "input capacitor", Unit: "F", Min: 0, Max: 1e-3, Slips: []limit.Slip{{Min: 0.01, Max: 1e6, Looks: "nanofarads or microfarads"}}}
	ctCable  = limit.Range{Quantity: "cable capacitance", Unit: "F", Min: 0, Max: 1e-6, Slips: []limit.Slip{{Min: 0.5, Max: 1e6, Looks: "picofarads"}}}
	ctLow    = limit.Range{Quantity: "low threshold", Min: 0.05, Max: 0.95}
	ctHigh   = limit.Range{Quantity: "high threshold", Min: 0.05, Max: 0.95}
	ctOhm    = limit.Range{Quantity: "contact resistance", Unit: "ohm", Min: 0, Max: 1e5}
)

// A Contact is a validated contact input. Its zero value returns NaN.
type Contact struct{ s ContactSpec }

// NewContact validates a contact input. It returns a
// *stationphysics.RangeError for a number outside the range stated at its
// field, and a *stationphysics.ConflictError if the high threshold lies below
// the low one or if the closed contact cannot pull the line below the low
// threshold.
func NewContact(s ContactSpec) (Contact, error) {
	if err := limit.First(ctSupply.Check(s.SupplyV), ctPull.Check(s.PullUpOhm), ctSeries.Check(s.SeriesOhm), ctFarad.Check(s.CapacitorFarad),
		ctCable.Check(s.CableFarad), ctLow.Check(s.LowFrac), ctHigh.Check(s.HighFrac), ctOhm.Check(s.ContactOhm)); err != nil {
		return Contact{}, err
	}
	if s.HighFrac < s.LowFrac {
		return Contact{}, &stationphysics.ConflictError{Quantities: []string{"low threshold", "high threshold"}, Values: []float64{s.LowFrac, s.HighFrac},
			Units: []string{"", ""}, Rule: "an input reads high above the level below which it reads low"}
	}
	if rest := s.ContactOhm / (s.ContactOhm + s.PullUpOhm); rest >= s.LowFrac {
		return Contact{}, &stationphysics.ConflictError{Quantities: []string{"closed level", "low threshold"}, Values: []float64{rest, s.LowFrac},
			Units: []string{"", ""}, Rule: "a closed contact pulls the line below the threshold"}
	}
	return Contact{s}, nil
}

// FallS returns the time in s from closing to a low reading, from a fully
// charged capacitor through series and contact resistance. The cable's own
// capacitance is taken at the contact and discharges at once.
func (c Contact) FallS() float64 {
	s := &c.s
	if s.SupplyV == 0 {
		return math.NaN()
	}
	rest := s.ContactOhm / (s.ContactOhm + s.PullUpOhm)
	drive := s.SeriesOhm + ParallelOhm(s.ContactOhm, s.PullUpOhm)
	return drive * s.CapacitorFarad * math.Log((1-rest)/(s.LowFrac-rest))
}

// RiseS returns the time in s from opening to a high reading, through pull-up
// and series resistance. The cable's capacitance is added to the capacitor,
// which is exact without a series resistor or without either capacitance. With both
// the time is off by up to twice CableFarad·(PullUpOhm beside SeriesOhm): short for a
// HighFrac below 0.63, long above 0.7.
func (c Contact) RiseS() float64 {
	s := &c.s
	if s.SupplyV == 0 {
		return math.NaN()
	}
	rest := s.ContactOhm / (s.ContactOhm + s.PullUpOhm)
	return ((s.PullUpOhm+s.SeriesOhm)*s.CapacitorFarad + s.PullUpOhm*s.CableFarad) * math.Log((1-rest)/(1-s.HighFrac))
}

// FiltersS returns the longest bounce in s, an opening of a closed contact or a
// touch of an open one, that the reading surely ignores: the lesser of FallS
// and RiseS. Bounces of reed contacts last below a millisecond (common
// practice, no published source).
func (c Contact) FiltersS() float64 { return min(c.FallS(), c.RiseS()) }

// HighestHz returns the highest rate of closures in Hz that the input follows,
// if the contact is closed for the share closedFrac of the time: each half must
// last at least three times the time to its threshold, so that the capacitor
// starts near its rest again. +Inf without any capacitance; NaN for a share
// that is not between 0 and 1.
func (c Contact) HighestHz(closedFrac float64) float64 {
	if !(closedFrac > 0 && closedFrac < 1) {
		return math.NaN()
	}
	return 1 / (3 * max(c.FallS()/closedFrac, c.RiseS()/(1-closedFrac)))
}

// ClosedA returns the current in A the closed contact draws from the supply.
// Contacts of reed switches need a little to stay clean, batteries want none.
func (c Contact) ClosedA() float64 {
	if c.s.SupplyV == 0 {
		return math.NaN()
	}
	return c.s.SupplyV / (c.s.PullUpOhm + c.s.ContactOhm)
}

// SurgeA returns the current in A into the input's clamp if the line is lifted
// to surgeV by coupling or a wrong connection while the clamp holds its side at
// supply + clampV: (surge - supply - clamp)/SeriesOhm, 0 below, +Inf without a
// series resistor. NaN for a negative clampV or a NaN.
func (c Contact) SurgeA(surgeV, clampV float64) float64 {
	if !(clampV >= 0) || math.IsNaN(surgeV) || c.s.SupplyV == 0 {
		return math.NaN()
	}
	over := surgeV - c.s.SupplyV - clampV
	if over <= 0 {
		return 0
	}
	return over / c.s.SeriesOhm
}
