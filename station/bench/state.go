package bench

import (
	"fmt"
	"math"
)

// A State says what one row shows.
type State uint8

// The states of a row.
const (
	CannotTell         State = iota // a reading is missing
	Regulating                      // the output lies in its band
	Dropout                         // too little input: the output follows it, which is no fault
	DropoutTooLarge                 // more headroom than the sheet's dropout, and still below the band
	OutOfSpec                       // outside the band where the sheet promises it
	BeyondSheet                     // outside the band, but outside the input range of the promise too
	PassElementShorted              // the output follows an input that it should not
	ThermallyLimiting               // the output sags near the shutdown temperature
	CurrentLimiting                 // the output sags at the current limit
	Impossible                      // an output above the input, or readings that contradict each other
)

var stateText = [...]string{"cannot tell", "regulating", "dropout", "dropout too large", "out of specification",
	"beyond the sheet's promise", "pass element shorted", "thermally limiting", "current limiting", "impossible readings"}

// String gives the state in words.
func (s State) String() string {
	if int(s) < len(stateText) {
		return stateText[s]
	}
	return "?"
}

// A Strength says how much a verdict bears.
type Strength uint8

// The strengths, weakest first.
const (
	NotDecidable Strength = iota
	Weak                  // likely, but another explanation remains
	Sound                 // no other explanation within the stated uncertainties
)

var strengthText = [...]string{"not decidable", "weak", "sound"}

// String gives the strength in words.
func (s Strength) String() string {
	if int(s) < len(strengthText) {
		return strengthText[s]
	}
	return "?"
}

// shortHeadroomV is a difference that no working 1117 holds: their dropout is
// stated from 1.1 V typical. For a part with less dropout that dropout takes its
// place.
const shortHeadroomV = 0.3

// A RowVerdict is what one row says.
type RowVerdict struct {
	Row             Row   // as read; the output filled in if Derived
	Derived         bool  // the output follows from the user's power figure
	State           State // what the part did
	Strength        Strength
	Reason          string   // why
	Next            string   // the measurement that would settle it; empty if settled
	OverMaximum     bool     // the input exceeded the absolute maximum
	Expected        Expected // what the sheet lets the row show
	OutputErrV      float64  // expanded uncertainty of the output, coverage factor 2; NaN if it was not measured
	LoadA           float64  // load current, measured or output over load resistance
	LoadErrA        float64  // its expanded uncertainty, coverage factor 2
	HeadroomV       float64  // input less output voltage
	DissipationW    float64  // (Vin - Vout)·I + Vin·Iq
	DissipationErrW float64  // its expanded uncertainty, coverage factor 2
	Watts           WattsSlip
	ShortedLoadW    float64 // what the load would take if the pass element shorted now; NaN if the row does not tell its resistance
	// JunctionLowC and JunctionHighC bound the junction: from the tab as read
	// to the tab as it may be behind a bad contact.
	JunctionLowC, JunctionHighC float64
	// CriticalContactRatio is the contact error at which the junction would
	// be at its rated temperature: the tab reading excludes that only for a
	// better contact. It is below 0 if the junction is above already.
	CriticalContactRatio float64
	Settled              Settling
	UnsettledK           float64 // how far the tab still is from its end, if that is known
}

// judge gives the state of one row.
func (b *Bench) judge(r Row) (v RowVerdict) {
	v = RowVerdict{Expected: b.Expect(r), UnsettledK: math.NaN(), OutputErrV: coverage * b.uVolt(r.OutputV)}
	derived, note := b.deriveOutput(&r)
	v.Row, v.Derived = r, derived
	v.noJunction()
	v.LoadA, v.LoadErrA = b.load(&r)
	v.LoadErrA *= coverage
	v.HeadroomV = r.InputV - r.OutputV
	v.DissipationW, v.DissipationErrW = b.dissipation(&r)
	v.OverMaximum = r.InputV-coverage*b.uVolt(r.InputV) > b.s.MaxInputV
	v.ShortedLoadW = b.shortedLoad(&r, v.LoadA)
	if !derived {
		v.Watts = b.checkWatts(&r, v.DissipationW, v.DissipationErrW)
	}
	if math.IsNaN(r.InputV) || math.IsNaN(r.OutputV) {
		v.Reason, v.Next = "input or output voltage is missing", "measure both at the pins"
		if note != "" {
			v.State, v.Reason = Impossible, note
		}
		return v
	}
	b.junction(&v)
	b.classify(&v)
	if v.State == Impossible {
		v.noJunction()
	}
	if derived {
		v.Strength = min(v.Strength, Weak)
		v.Reason = note + "; " + v.Reason
		v.Next = "measure the output voltage at the pins"
	}
	if v.OverMaximum {
		v.Reason += fmt.Sprintf("; the input of %.4g V exceeds the absolute maximum of %.4g V: damage must be expected", r.InputV, b.s.MaxInputV)
	}
	return v
}

// noJunction takes back what was said of the junction.
func (v *RowVerdict) noJunction() {
	v.JunctionLowC, v.JunctionHighC, v.CriticalContactRatio = math.NaN(), math.NaN(), math.NaN()
}

func (b *Bench) shortedLoad(r *Row, loadA float64) float64 {
	ohm := r.LoadOhm
	if math.IsNaN(ohm) && loadA > 0 {
		ohm = r.OutputV / loadA
	}
	if ohm == 0 { // an output of 0 V tells nothing of its load
		return math.NaN()
	}
	return r.InputV * r.InputV / ohm
}

// junction bounds the junction by the tab reading. It holds at the moment of
// the reading, settled or not: between junction and tab the time constant is
// below a second.
func (b *Bench) junction(v *RowVerdict) {
	r := &v.Row
	if b.p.JunctionCaseHighKPerW == 0 {
		return
	}
	tab := b.m.TabK
	v.JunctionLowC = r.TabC - tab + b.p.JunctionCaseLowKPerW*math.Max(0, v.DissipationW-v.DissipationErrW)
	rise := math.Max(0, r.TabC+tab-(r.RoomC-b.m.RoomK))
	v.JunctionHighC = r.RoomC - b.m.RoomK + rise/(1-b.m.ContactErrorRatio) + b.p.JunctionCaseHighKPerW*math.Max(0, v.DissipationW+v.DissipationErrW)
	if b.s.MaxJunctionC > 0 {
		// The tab that would bring the junction to its limit, over the room.
		permitted := b.s.MaxJunctionC - b.p.JunctionCaseHighKPerW*v.DissipationW - r.RoomC
		if permitted > 0 {
			v.CriticalContactRatio = 1 - (r.TabC-r.RoomC)/permitted
		} else {
			v.CriticalContactRatio = -inf
		}
	}
}

func (b *Bench) classify(v *RowVerdict) {
	r := &v.Row
	uIn, uOut := coverage*b.uVolt(r.InputV), coverage*b.uVolt(r.OutputV)
	uHead := math.Hypot(uIn, uOut)
	lo, hi := b.p.Linear.BandV()
	drop := b.p.Linear.DropoutV(v.LoadA)
	if math.IsNaN(drop) {
		drop = b.p.Linear.DropoutV(b.s.CurrentLimitA)
	}
	need := lo + drop
	h := v.HeadroomV
	set := func(s State, how Strength, next, reason string, args ...any) {
		v.State, v.Strength, v.Next, v.Reason = s, how, next, fmt.Sprintf(reason, args...)
	}
	promised := b.p.AccuracyHighV == 0 || r.InputV <= b.p.AccuracyHighV+uIn && r.InputV >= b.p.AccuracyLowV-uIn
	switch {
	case h < -uHead:
		set(Impossible, Sound, "check the wiring and which meter is which", "the output of %.4g V is above the input of %.4g V, which a linear part cannot do", r.OutputV, r.InputV)
	case b.contradicts(v):
		set(Impossible, Sound, "measure current, output and the warm load again", "%.4g V over %.4g ohm make %.4g A, not the %.4g A read", r.OutputV, r.LoadOhm, r.OutputV/r.LoadOhm, r.LoadA)
	case r.OutputV-uOut > hi && h+uHead < math.Min(shortHeadroomV, drop):
		set(PassElementShorted, Sound, "", "the output of %.4g V stands %.2g V below the input and above the band that ends at %.4g V: the input passes through", r.OutputV, h, hi)
		if r.OutputV-hi < 3*uOut {
			v.Strength, v.Next = Weak, "raise the input by a volt, without any load that it could harm: a shorted part follows"
		}
	case r.OutputV-uOut > hi && h+uHead < drop:
		set(PassElementShorted, Weak, "with the supply off, measure the resistance from input to output", "the output of %.4g V is above the band and nearer to the input (%.2g V) than the dropout of %.2g V: a partial short, a bypass, or another supply at the output", r.OutputV, h, drop)
	case r.OutputV-uOut > hi && drop < shortHeadroomV && h-uHead < drop:
		set(PassElementShorted, Weak, "raise the input by a volt, without any load that it could harm: a shorted part follows", "the output of %.4g V is above the band, and within the meters' errors as near to the input as a part of %.2g V dropout comes", r.OutputV, drop)
	case r.OutputV-uOut > hi:
		b.outside(v, promised, r.OutputV-hi, uOut, "above", hi)
	case r.OutputV-uOut >= lo && r.OutputV+uOut <= hi:
		set(Regulating, Sound, "", "the output of %.4g V lies in the band of %.4g to %.4g V", r.OutputV, lo, hi)
	case r.OutputV+uOut >= lo:
		set(Regulating, Weak, "a voltmeter of less error decides", "the output of %.4g V lies at the edge of the band of %.4g to %.4g V, within the meter's %.2g V", r.OutputV, lo, hi, uOut)
	case r.InputV-uIn < need:
		b.starved(v, drop, need, uIn, uHead)
	default:
		b.outside(v, promised, lo-r.OutputV, uOut, "below", lo)
	}
}

// contradicts reports whether an ammeter and a load resistance disagree by more
// than three standard uncertainties; not if one of them was not measured.
func (b *Bench) contradicts(v *RowVerdict) bool {
	r := &v.Row
	byOhm := r.OutputV / r.LoadOhm
	u := math.Hypot(standard(r.LoadA, b.m.CurrentPct, b.m.CurrentFloorA),
		math.Hypot(b.uVolt(r.OutputV)/r.LoadOhm, byOhm*b.m.LoadPct/100/math.Sqrt(3)))
	return math.Abs(r.LoadA-byOhm) > 3*u+1e-9
}

// starved judges an output below its band at an input that may be too low.
func (b *Bench) starved(v *RowVerdict, drop, need, uIn, uHead float64) {
	h := v.HeadroomV
	switch {
	case h > drop+uHead:
		v.State, v.Strength = DropoutTooLarge, Weak
		at := ""
		if !math.IsNaN(v.LoadA) {
			at = fmt.Sprintf(" at %.3g A", v.LoadA)
		}
		v.Reason = fmt.Sprintf("the output is %.3g V below the input%s; the sheet allows %.3g V", h, at, drop)
		v.Next = "measure input and output at the pins themselves, with the load's current: lead drop and a heavier load look the same"
	case v.Row.InputV+uIn < need:
		v.State, v.Strength = Dropout, Sound
		v.Reason = fmt.Sprintf("the input of %.4g V is below the %.4g V needed, and the difference of %.3g V within the dropout of %.3g V: no fault, and no evidence on regulation", v.Row.InputV, need, h, drop)
	default:
		v.State, v.Strength = Dropout, Weak
		v.Reason = fmt.Sprintf("the input of %.4g V is too close to the %.4g V needed to tell dropout from a low output", v.Row.InputV, need)
		v.Next = "raise the input by half a volt"
	}
}

// outside judges an output off its band by off volts with enough input.
func (b *Bench) outside(v *RowVerdict, promised bool, off, uOut float64, side string, edge float64) {
	r := &v.Row
	shutdown := b.s.ShutdownC
	if shutdown == 0 {
		shutdown = b.s.MaxJunctionC
	}
	set := func(s State, how Strength, next, reason string, args ...any) {
		v.State, v.Strength, v.Next, v.Reason = s, how, next, fmt.Sprintf(reason, args...)
	}
	switch low := side == "below"; {
	case low && v.LoadA >= 0.98*b.s.CurrentLimitA:
		set(CurrentLimiting, Weak, "repeat with half the load", "the load of %.3g A stands at the current limit of %.3g A, and the output sags to %.4g V", v.LoadA, b.s.CurrentLimitA, r.OutputV)
	case low && shutdown > 0 && v.JunctionHighC >= shutdown:
		set(ThermallyLimiting, Weak, "watch the output on an oscilloscope for bursts, and read it within a second of switching on cold", "the output sags to %.4g V, and the junction may be at %.0f °C, where the part protects itself", r.OutputV, v.JunctionHighC)
	case !promised:
		set(BeyondSheet, Weak, fmt.Sprintf("repeat at an input of %.4g to %.4g V", b.p.AccuracyLowV, b.p.AccuracyHighV), "the output of %.4g V is %s %.4g V, but the sheet promises that only from %.4g to %.4g V of input", r.OutputV, side, edge, b.p.AccuracyLowV, b.p.AccuracyHighV)
	case b.p.AccuracyHighV == 0:
		set(OutOfSpec, Weak, "look up the input range for which the sheet states the output tolerance", "the output of %.4g V is %s %.4g V; whether the sheet promises it at this input is not given", r.OutputV, side, edge)
	case off > 2*uOut:
		set(OutOfSpec, Sound, "", "the output of %.4g V is %s %.4g V by more than twice the meter's %.2g V, at an input for which the sheet promises it", r.OutputV, side, edge, uOut)
	default:
		set(OutOfSpec, Weak, "repeat with a voltmeter of less error", "the output of %.4g V is %s %.4g V, by less than twice the meter's %.2g V", r.OutputV, side, edge, uOut)
	}
}
