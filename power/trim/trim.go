package trim

import (
	"math"

	"github.com/stationphysics/stationphysics"
	"github.com/stationphysics/stationphysics/internal/limit"
)

// A Reference says between which terminals a regulator holds its reference
// voltage. It decides which leg raises the output.
type Reference uint8

// The two kinds of regulator.
const (
	FromGround Reference = iota // reference between feedback pin and ground: V = Vref·(1 + upper/lower) + pin·upper
	FromOutput                  // reference between output and adjust pin: V = Vref·(1 + lower/upper) + pin·lower
)

// A Place says where in the divider the trimmer sits.
type Place uint8

// The places of a trimmer.
const (
	None    Place = iota // fixed resistors only
	Upper                // as a variable resistor in series with the upper resistor
	Lower                // as a variable resistor in series with the lower resistor
	Between              // both ends in the divider, the wiper on the pin
)

// A Spec describes a divider that sets an output voltage: an upper leg from the
// output to the pin, a lower leg from the pin to ground.
type Spec struct {
	Reference         Reference
	ReferenceV        float64 // 0.1..30 V
	ReferenceTolPct   float64 // ± %, 0..20
	ReferenceDriftPPM float64 // ± ppm/K, 0..2000
	PinA              float64 // current of the pin, into a feedback pin or out of an adjust pin, -1e-3..1e-3 A
	UpperOhm          float64 // fixed part, 0..1e8 ohm
	LowerOhm          float64 // fixed part, 0..1e8 ohm; 0 only with a trimmer in that leg
	ResistorTolPct    float64 // ± % of each fixed resistor, 0..20
	ResistorDriftPPM  float64 // ± ppm/K of each fixed resistor, 0..5000
	Place             Place
	TrackOhm          float64 // track of the trimmer, 10..1e7 ohm; 0 with None
	TrackTolPct       float64 // ± % of the track, 0..30
	TrackDriftPPM     float64 // ± ppm/K of the track, 0..5000
	ContactPct        float64 // contact resistance variation, % of the track, 0..20
	TravelDeg         float64 // electrical travel, 30..20000: one turn about 260, 25 turns about 9000
	WiperTied         bool    // free end tied to the wiper: an open wiper leaves the whole track in the leg
	InputV            float64 // highest input: where the output goes once the loop is open, up to 200 V
}

var (
	tRef    = limit.Range{Quantity: "reference voltage", Unit: "V", Min: 0.1, Max: 30, Slips: []limit.Slip{{Min: 100, Max: 3e4, Looks: "millivolts"}}}
	tRefTol = limit.Range{Quantity: "reference tolerance", Unit: "%", Min: 0, Max: 20}
	tRefPPM = limit.Range{Quantity: "reference drift", Unit: "ppm/K", Min: 0, Max: 2000}
	tPin    = limit.Range{Quantity: "pin current", Unit: "A", Min: -1e-3, Max: 1e-3, Slips: []limit.Slip{{Min: 0.01, Max: 1e4, Looks: "microamperes"}}}
	tUpper  = limit.Range{Quantity: "upper resistor", Unit: "ohm", Min: 0, Max: 1e8}
	tLower  = limit.Range{Quantity: "lower resistor", Unit: "ohm", Min: 0, Max: 1e8}
	tResTol = limit.Range{Quantity: "resistor tolerance", Unit: "%", Min: 0, Max: 20}
	tResPPM = limit.Range{Quantity: "resistor drift", Unit: "ppm/K", Min: 0, Max: 5000}
	tTrack  = limit.Range{Quantity: "trimmer track", Unit: "ohm", Min: 10, Max: 1e7}
	tTrkTol = limit.Range{Quantity: "track tolerance", Unit: "%", Min: 0, Max: 30}
	tTrkPPM = limit.Range{Quantity: "track drift", Unit: "ppm/K", Min: 0, Max: 5000}
	tCRV    = limit.Range{Quantity: "contact resistance variation", Unit: "%", Min: 0, Max: 20}
	tTravel = limit.Range{Quantity: "electrical travel", Unit: "deg", Min: 30, Max: 20000, Slips: []limit.Slip{{Min: 1, Max: 29, Looks: "turns"}}}
	tInput  = limit.Range{Quantity: "highest input", Unit: "V", Min: 0.1, Max: 200}
)

// A Divider is a validated divider. Its zero value returns NaN.
type Divider struct{ s Spec }

// New validates a divider. It returns a *stationphysics.RangeError for a number
// outside the range stated at its field, and a *stationphysics.ConflictError if
// the resistor that carries the reference's current is 0 wherever the trimmer
// stands (only the leg without a trimmer can be caught here: a trimmer turned to
// an end with nothing in series sends the output to the input) or if the
// reference exceeds the input.
func New(s Spec) (Divider, error) {
	err := limit.First(tRef.Check(s.ReferenceV), tRefTol.Check(s.ReferenceTolPct), tRefPPM.Check(s.ReferenceDriftPPM), tPin.Check(s.PinA),
		tUpper.Check(s.UpperOhm), tLower.Check(s.LowerOhm), tResTol.Check(s.ResistorTolPct), tResPPM.Check(s.ResistorDriftPPM), tInput.Check(s.InputV))
	if err == nil && s.Place != None {
		err = limit.First(tTrack.Check(s.TrackOhm), tTrkTol.Check(s.TrackTolPct), tTrkPPM.Check(s.TrackDriftPPM), tCRV.Check(s.ContactPct), tTravel.Check(s.TravelDeg))
	}
	if err == nil && s.Place > Between {
		err = &stationphysics.RangeError{Quantity: "place of the trimmer", Value: float64(s.Place), Max: float64(Between)}
	}
	if err == nil && s.Reference > FromOutput {
		err = &stationphysics.RangeError{Quantity: "kind of reference", Value: float64(s.Reference), Max: float64(FromOutput)}
	}
	if err != nil {
		return Divider{}, err
	}
	carrier, where := s.LowerOhm, Lower
	if s.Reference == FromOutput {
		carrier, where = s.UpperOhm, Upper
	}
	if carrier == 0 && s.Place != where && s.Place != Between {
		return Divider{}, &stationphysics.ConflictError{Quantities: []string{"upper resistor", "lower resistor"}, Values: []float64{s.UpperOhm, s.LowerOhm},
			Units: []string{"ohm", "ohm"}, Rule: "the resistor across the reference cannot be a wire"}
	}
	if s.ReferenceV >= s.InputV {
		return Divider{}, &stationphysics.ConflictError{Quantities: []string{"reference voltage", "highest input"}, Values: []float64{s.ReferenceV, s.InputV},
			Units: []string{"V", "V"}, Rule: "the input exceeds the reference"}
	}
	return Divider{s}, nil
}

// Spec returns the numbers the divider was made from.
func (d Divider) Spec() Spec { return d.s }

// legs returns the resistance of both legs with the share setFrac of a track of
// trackOhm in the trimmer's leg (in the upper one for Between).
func (s *Spec) legs(trackOhm, setFrac float64) (upper, lower float64) {
	upper, lower = s.UpperOhm, s.LowerOhm
	switch s.Place {
	case Upper:
		upper += trackOhm * setFrac
	case Lower:
		lower += trackOhm * setFrac
	case Between:
		upper += trackOhm * setFrac
		lower += trackOhm * (1 - setFrac)
	}
	return upper, lower
}

// output is the equation of the regulator, not limited by the input.
func (s *Spec) output(refV, upper, lower float64) float64 {
	if s.Reference == FromOutput {
		return refV*(1+lower/upper) + s.PinA*lower
	}
	return refV*(1+upper/lower) + s.PinA*upper
}

func (d Divider) turned(setFrac float64) bool {
	return d.s.ReferenceV != 0 && setFrac >= 0 && setFrac <= 1
}

// OutputV returns the output in V with the trimmer at setFrac: the share of the
// track that is in its leg (in the upper leg for Between), 0..1; any value of
// that range does without a trimmer. The result is at most InputV. NaN for a
// setFrac outside 0..1.
func (d Divider) OutputV(setFrac float64) float64 {
	if !d.turned(setFrac) {
		return math.NaN()
	}
	u, l := d.s.legs(d.s.TrackOhm, setFrac)
	return d.clip(d.s.output(d.s.ReferenceV, u, l))
}

func (d Divider) clip(v float64) float64 {
	if !(v < d.s.InputV) {
		// Also the 0/0 of two legs of no resistance: nothing holds the output.
		return d.s.InputV
	}
	return max(v, 0)
}

// SettingFrac returns where the trimmer stands for an output, the inverse of
// OutputV; the lower of two settings where a negative pin current makes the output
// of a trimmer in both legs fall and rise again. NaN if there is no trimmer or the
// output is out of its reach.
func (d Divider) SettingFrac(outputV float64) float64 {
	if d.s.Place == None || outputV >= d.s.InputV {
		return math.NaN()
	}
	turn := d.s.turningFrac()
	for _, leg := range [...][2]float64{{0, turn}, {turn, 1}} {
		lo, hi := leg[0], leg[1]
		a, b := d.OutputV(lo), d.OutputV(hi)
		if !(outputV >= min(a, b) && outputV <= max(a, b)) {
			continue
		}
		// The output is monotone between: halve. 60 halvings exhaust the
		// digits of a share, whatever the law of the leg.
		for range 60 {
			mid := 0.5 * (lo + hi)
			if (d.OutputV(mid) < outputV) == (a < b) {
				lo = mid
			} else {
				hi = mid
			}
		}
		return 0.5 * (lo + hi)
	}
	return math.NaN()
}

// turningFrac returns the setting at which the output of a trimmer in both legs is
// lowest, 1 for one that does not turn. With b the leg across the reference and S both
// legs together, which the trimmer does not change, the output is
// ref·S/b + pin·(S - b).
func (s *Spec) turningFrac() float64 {
	if s.Place != Between || s.PinA >= 0 {
		return 1
	}
	leastOhm := math.Sqrt(s.ReferenceV * (s.UpperOhm + s.LowerOhm + s.TrackOhm) / -s.PinA)
	frac := 1 - (leastOhm-s.LowerOhm)/s.TrackOhm
	if s.Reference == FromOutput {
		frac = (leastOhm - s.UpperOhm) / s.TrackOhm
	}
	return min(1, max(0, frac))
}

// turningOhm returns the track at which the output of a trimmer in both legs
// turns between rising and falling, if it does: a larger track moves the ratio
// one way and the drop of the pin's current the other. Otherwise it is 0. The
// output is monotone in everything else.
func (s *Spec) turningOhm(setFrac float64) float64 {
	if s.Place != Between {
		return 0
	}
	// v = ref·(1 + a/b) + pin·a, a and b growing by shares of the track.
	a, b, inA, inB := s.UpperOhm, s.LowerOhm, setFrac, 1-setFrac
	if s.Reference == FromOutput {
		a, b, inA, inB = b, a, inB, inA
	}
	if square := s.ReferenceV * (inB*a - inA*b) / (s.PinA * inA); square > 0 && inB > 0 {
		return (math.Sqrt(square) - b) / inB
	}
	return 0
}

// spread returns the lowest and highest output when each of reference, upper,
// lower and track moves by its own relative amount.
func (d Divider) spread(setFrac, ref, res, track float64) (lowV, highV float64) {
	if !d.turned(setFrac) {
		return math.NaN(), math.NaN()
	}
	lowV, highV = math.Inf(1), math.Inf(-1)
	leastTrack, mostTrack := d.s.TrackOhm*max(0, 1-track), d.s.TrackOhm*(1+track)
	for corner := range 8 {
		sign := func(bit int) float64 { return float64(corner>>bit&1*2 - 1) }
		// No drift, however large, makes a resistance negative.
		t := d.s
		t.ReferenceV *= 1 + sign(0)*ref
		t.UpperOhm *= max(0, 1+sign(1)*res)
		t.LowerOhm *= max(0, 1+sign(2)*res)
		for _, trackOhm := range [...]float64{leastTrack, mostTrack, min(max(t.turningOhm(setFrac), leastTrack), mostTrack)} {
			u, l := t.legs(trackOhm, setFrac)
			v := d.clip(t.output(t.ReferenceV, u, l))
			lowV, highV = min(lowV, v), max(highV, v)
		}
	}
	return lowV, highV
}

// BandV returns the lowest and highest output that the tolerances of
// reference, resistors and track allow, all at their worst together: what an
// unadjusted divider may give. NaN as OutputV.
func (d Divider) BandV(setFrac float64) (lowV, highV float64) {
	return d.spread(setFrac, d.s.ReferenceTolPct/100, d.s.ResistorTolPct/100, d.s.TrackTolPct/100)
}

// DriftV returns how far the output may move, ± V, over a temperature change in
// K from where it was set: every drift at its worst and against the others.
// NaN as OutputV, or for a change outside 0..300 K.
func (d Divider) DriftV(setFrac, changeK float64) float64 {
	if !(changeK >= 0 && changeK <= 300) {
		return math.NaN()
	}
	lo, hi := d.spread(setFrac, d.s.ReferenceDriftPPM*1e-6*changeK, d.s.ResistorDriftPPM*1e-6*changeK, d.s.TrackDriftPPM*1e-6*changeK)
	v := d.OutputV(setFrac)
	return max(hi-v, v-lo)
}

// ResolutionVPerDeg returns by how much the output moves per degree of the
// trimmer's shaft at a setting, always positive. NaN without a trimmer or as
// OutputV.
func (d Divider) ResolutionVPerDeg(setFrac float64) float64 {
	if !d.turned(setFrac) || d.s.Place == None {
		return math.NaN()
	}
	// Central difference over a hundredth of a degree, which no hand reaches.
	h := 0.005 / d.s.TravelDeg
	a, b := max(0, setFrac-h), min(1, setFrac+h)
	return math.Abs(d.OutputV(b)-d.OutputV(a)) / ((b - a) * d.s.TravelDeg)
}

// ContactV returns by how much the output may jump, V, when the contact of the
// wiper changes by ContactPct of the track: in a leg it adds to the leg; with
// the wiper on the pin only the pin's own current feels it. NaN without a
// trimmer or as OutputV.
func (d Divider) ContactV(setFrac float64) float64 {
	if !d.turned(setFrac) || d.s.Place == None {
		return math.NaN()
	}
	r := d.s.TrackOhm * d.s.ContactPct / 100
	if d.s.Place == Between {
		return math.Abs(d.s.PinA) * r
	}
	u, l := d.s.legs(d.s.TrackOhm, setFrac)
	if d.s.Place == Upper {
		u += r
	} else {
		l += r
	}
	return math.Abs(d.clip(d.s.output(d.s.ReferenceV, u, l)) - d.OutputV(setFrac))
}

// An OpenWiper is what an open wiper does to the output.
type OpenWiper struct {
	OutputV    float64 // output then, V; the worst case if not determined
	ToInput    bool    // the loop is open: the output follows the input
	Rises      bool    // the output is higher than it was set
	Determined bool    // false if a floating pin decides
}

// WhenOpen returns the output after the wiper has lost contact at a setting.
//
// With a variable resistor in a leg the leg opens, or keeps the whole track if
// WiperTied. Which leg is the dangerous one depends on the reference: with
// FromGround an open upper leg sends the output to the input and an open lower
// one brings it down to the reference; with FromOutput it is the other way
// round. With the wiper on the pin (Between) the pin floats, and the result is
// not determined: the worst, the input, is reported. Unknown (NaN) without a
// trimmer or for a setFrac outside 0..1.
func (d Divider) WhenOpen(setFrac float64) OpenWiper {
	if !d.turned(setFrac) || d.s.Place == None {
		return OpenWiper{OutputV: math.NaN()}
	}
	o := OpenWiper{Determined: d.s.Place != Between, OutputV: d.s.InputV, ToInput: true}
	if d.s.Place != Between {
		upper, lower := d.s.legs(d.s.TrackOhm, 1)
		switch {
		case d.s.WiperTied:
			o.OutputV = d.clip(d.s.output(d.s.ReferenceV, upper, lower))
		case d.s.Reference == FromGround && d.s.Place == Lower:
			// No current but the pin's through the upper leg.
			o.OutputV = d.clip(d.s.ReferenceV + d.s.PinA*upper)
		case d.s.Reference == FromOutput && d.s.Place == Upper:
			o.OutputV = d.clip(d.s.ReferenceV + d.s.PinA*lower)
		}
		o.ToInput = o.OutputV >= d.s.InputV
	}
	o.Rises = o.OutputV > d.OutputV(setFrac)
	return o
}

// MeterBandV returns between which true voltages a reading of readV lies, for a
// meter of tolPct of the reading plus digitsV: 0.5 % + 2 digits of 0.01 V are
// 0.5 and 0.02. NaN if an argument is negative or NaN or tolPct above 100.
func MeterBandV(readV, tolPct, digitsV float64) (lowV, highV float64) {
	if !(readV >= 0 && readV < math.MaxFloat64 && tolPct >= 0 && tolPct <= 100 && digitsV >= 0 && digitsV < math.MaxFloat64) {
		return math.NaN(), math.NaN()
	}
	u := readV*tolPct/100 + digitsV
	return readV - u, readV + u
}
