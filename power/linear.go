package power

import (
	"math"

	"github.com/stationphysics/stationphysics"
	"github.com/stationphysics/stationphysics/internal/limit"
)

// A LinearSpec lists what a data sheet says about one linear regulator. The
// numbers are always inputs: parts sold under one family name differ in their
// largest input voltage by a factor of three (package power/parts).
type LinearSpec struct {
	SetV          float64 // nominal output voltage, 0.5..60 V
	BandPct       float64 // tolerance of the output about SetV, ± %, 0..20
	DropoutV      float64 // voltage the pass element needs at no load, 0..5 V
	DropoutOhm    float64 // growth of the dropout with the load, 0..50 ohm
	QuiescentA    float64 // own current to ground, 0..0.1 A
	GroundRatio   float64 // further own current as a fraction of the load (PNP pass elements), 0..0.2
	MaxInputV     float64 // absolute maximum input voltage, above SetV, up to 150 V
	CurrentLimitA float64 // load current at which the part limits, 0.001..20 A
	MaxJunctionC  float64 // rated junction temperature, 50..200 °C; 0 if the sheet does not say
	ShutdownC     float64 // junction temperature at which the part limits itself, 50..250 °C; 0 if not stated
}

var (
	linSet       = limit.Range{Quantity: "set output voltage", Unit: "V", Min: 0.5, Max: 60, Slips: []limit.Slip{{Min: 500, Max: 60000, Looks: "millivolts"}}}
	linBand      = limit.Range{Quantity: "output tolerance", Unit: "%", Min: 0, Max: 20}
	linDropout   = limit.Range{Quantity: "dropout voltage", Unit: "V", Min: 0, Max: 5, Slips: []limit.Slip{{Min: 20, Max: 5000, Looks: "millivolts"}}}
	linDropOhm   = limit.Range{Quantity: "dropout resistance", Unit: "ohm", Min: 0, Max: 50}
	linQuiescent = limit.Range{Quantity: "quiescent current", Unit: "A", Min: 0, Max: 0.1, Slips: []limit.Slip{{Min: 0.2, Max: 100, Looks: "milliamperes or microamperes"}}}
	linGround    = limit.Range{Quantity: "ground current ratio", Min: 0, Max: 0.2, Slips: []limit.Slip{{Min: 0.5, Max: 20, Looks: "per cent"}}}
	linMaxIn     = limit.Range{Quantity: "maximum input voltage", Unit: "V", Min: 0.5, Max: 150}
	linLimit     = limit.Range{Quantity: "current limit", Unit: "A", Min: 0.001, Max: 20, Slips: []limit.Slip{{Min: 50, Max: 20000, Looks: "milliamperes"}}}
	linJunction  = limit.Range{Quantity: "rated junction temperature", Unit: "°C", Min: 50, Max: 200, Slips: []limit.Slip{{Min: 300, Max: 480, Looks: "kelvins"}}}
	linShutdown  = limit.Range{Quantity: "shutdown temperature", Unit: "°C", Min: 50, Max: 250, Slips: []limit.Slip{{Min: 300, Max: 520, Looks: "kelvins"}}}
)

// A Linear is a validated linear regulator. Its zero value answers
// every question with the state Unknown and NaN.
type Linear struct {
	s         LinearSpec
	regulateV float64 // SetV + DropoutV: the input from which an unloaded part regulates
}

// NewLinear validates the numbers of a sheet. It returns a
// *stationphysics.RangeError for a number outside the range stated at its
// field and a *stationphysics.ConflictError if the maximum input does not
// exceed the output or the shutdown temperature lies below the rated one.
func NewLinear(s LinearSpec) (Linear, error) {
	err := limit.First(linSet.Check(s.SetV), linBand.Check(s.BandPct), linDropout.Check(s.DropoutV), linDropOhm.Check(s.DropoutOhm),
		linQuiescent.Check(s.QuiescentA), linGround.Check(s.GroundRatio), linMaxIn.Check(s.MaxInputV), linLimit.Check(s.CurrentLimitA))
	if err == nil && s.MaxJunctionC != 0 {
		err = linJunction.Check(s.MaxJunctionC)
	}
	if err == nil && s.ShutdownC != 0 {
		err = linShutdown.Check(s.ShutdownC)
	}
	if err != nil {
		return Linear{}, err
	}
	if !(s.MaxInputV > s.SetV) {
		return Linear{}, &stationphysics.ConflictError{Quantities: []string{"set output voltage", "maximum input voltage"},
			Values: []float64{s.SetV, s.MaxInputV}, Units: []string{"V", "V"}, Rule: "a linear part only lowers its input"}
	}
	if s.MaxJunctionC != 0 && s.ShutdownC != 0 && s.ShutdownC < s.MaxJunctionC {
		return Linear{}, &stationphysics.ConflictError{Quantities: []string{"rated junction temperature", "shutdown temperature"},
			Values: []float64{s.MaxJunctionC, s.ShutdownC}, Units: []string{"°C", "°C"}, Rule: "a part does not shut down below its rating"}
	}
	return Linear{s: s, regulateV: s.SetV + s.DropoutV}, nil
}

// Spec returns the numbers the regulator was made from.
func (r Linear) Spec() LinearSpec { return r.s }

// BandV returns the lowest and highest output voltage the tolerance allows.
func (r Linear) BandV() (lowV, highV float64) {
	if r.s.SetV == 0 {
		return math.NaN(), math.NaN()
	}
	return r.s.SetV * (1 - r.s.BandPct/100), r.s.SetV * (1 + r.s.BandPct/100)
}

// DropoutV returns the least input-output difference in volts at which the part
// still regulates a load in A: the constant part plus the resistive one. NaN
// for a load outside 0 A to the current limit.
func (r Linear) DropoutV(loadA float64) float64 {
	if r.s.SetV == 0 || !(loadA >= 0 && loadA <= r.s.CurrentLimitA) {
		return math.NaN()
	}
	return r.s.DropoutV + r.s.DropoutOhm*loadA
}

// At returns the operating point at an input voltage and a load that draws a
// constant current:
//
//	output  = min(SetV, input - DropoutV - DropoutOhm·load), never below 0
//	own     = QuiescentA + GroundRatio·load
//	heat    = (input - output)·load + input·own
//
// Special cases: a negative or NaN input, or a load that is, gives Unknown; a
// load above the current limit pulls the output to 0 V (a constant-current
// load has no other rest point) and carries the limit, or what DropoutOhm lets
// through of a low input, in Dropout; above MaxInputV the
// numbers are those of a part that survived, and the state says OverMaximum;
// below DropoutV nothing flows to the load and the own current shrinks in
// proportion to the input, so that a dead input supplies nothing.
func (r Linear) At(inputV, loadA float64) (p Point) {
	// Field by field into the result: a composite literal is built and copied,
	// at twice the time.
	if !(inputV > r.s.DropoutV && inputV < math.MaxFloat64 && loadA >= 0 && loadA < math.MaxFloat64) || r.regulateV == 0 {
		return r.notOn(inputV, loadA)
	}
	p.State, p.OutputV = Regulating, r.s.SetV
	if loadA > r.s.CurrentLimitA {
		p.State, p.OutputV, loadA = CurrentLimited, 0, r.s.CurrentLimitA
		if most := inputV - r.s.DropoutV; most < r.s.DropoutOhm*loadA {
			p.State, loadA = Dropout, most/r.s.DropoutOhm
		}
	} else if room := inputV - r.regulateV - float64(r.s.DropoutOhm*loadA); room < 0 {
		p.State, p.OutputV = Dropout, r.s.SetV+room
		if p.OutputV <= 0 {
			// The load asks for more than the pass element passes with the
			// whole input across it. Without a resistance the output comes to
			// 0 by rounding alone, and the quotient is infinite.
			p.OutputV, loadA = 0, min(loadA, (inputV-r.s.DropoutV)/r.s.DropoutOhm)
		}
	}
	r.balance(&p, inputV, loadA)
	return p
}

// AtOhm returns the operating point with a resistor of loadOhm as the load.
// The formulas are those of At; a resistor below the point of current limiting
// settles at CurrentLimitA·loadOhm. 0 is a short circuit, +Inf no load; a
// negative or NaN resistance gives Unknown.
func (r Linear) AtOhm(inputV, loadOhm float64) (p Point) {
	if !(inputV > r.s.DropoutV && inputV < math.MaxFloat64 && loadOhm >= 0) || r.s.SetV == 0 {
		return r.notOn(inputV, min(loadOhm, 1))
	}
	loadA := r.s.SetV / loadOhm
	p.State, p.OutputV = Regulating, r.s.SetV
	if inputV < r.regulateV+r.s.DropoutOhm*loadA {
		// The whole excess over the constant drop divides between the
		// resistive drop and the load.
		loadA = (inputV - r.s.DropoutV) / (loadOhm + r.s.DropoutOhm)
		p.State, p.OutputV = Dropout, max(0, inputV-r.s.DropoutV-r.s.DropoutOhm*loadA)
	}
	if !(loadA <= r.s.CurrentLimitA) {
		loadA = r.s.CurrentLimitA
		p.State, p.OutputV = CurrentLimited, loadA*loadOhm
	}
	r.balance(&p, inputV, loadA)
	return p
}

// balance completes a point of known state and output.
func (r *Linear) balance(p *Point, inputV, loadA float64) {
	if inputV > r.s.MaxInputV {
		p.State = OverMaximum
	}
	own := r.s.QuiescentA + r.s.GroundRatio*loadA
	p.InputV = inputV
	p.InputA = loadA + own
	p.LoadA = loadA
	p.DissipationW = (inputV-p.OutputV)*loadA + inputV*own
}

// notOn answers for inputs that cannot reach the output, and for invalid ones.
func (r Linear) notOn(inputV, load float64) Point {
	if !(inputV >= 0 && inputV <= r.s.DropoutV && load >= 0 && load < math.MaxFloat64) || r.s.SetV == 0 {
		return unknownPoint
	}
	p := Point{State: Off, InputV: inputV}
	if r.s.DropoutV > 0 {
		p.InputA = r.s.QuiescentA * inputV / r.s.DropoutV
	}
	p.DissipationW = inputV * p.InputA
	if inputV > r.s.MaxInputV {
		p.State = OverMaximum
	}
	return p
}

// Shorted returns the operating point after the pass element has failed short
// with a remaining resistance of shortOhm (0 is the worst case): the load
// receives nearly the whole input. No own current is counted, since nothing is
// known of a failed part. Negative or NaN arguments, and a loop without any
// resistance, give Unknown.
func (r Linear) Shorted(inputV, loadOhm, shortOhm float64) Point {
	if !(inputV >= 0 && inputV < math.MaxFloat64 && loadOhm >= 0 && shortOhm >= 0 && shortOhm < math.MaxFloat64 && loadOhm+shortOhm > 0) || r.s.SetV == 0 {
		return unknownPoint
	}
	p := Point{State: Shorted, InputV: inputV, OutputV: inputV}
	if !math.IsInf(loadOhm, 1) {
		p.LoadA = inputV / (loadOhm + shortOhm)
		p.OutputV = p.LoadA * loadOhm
	}
	p.InputA = p.LoadA
	p.DissipationW = p.LoadA * p.LoadA * shortOhm
	return p
}

// InputA returns the current in A taken from the input at a constant-current
// load; NaN where At says Unknown.
func (r Linear) InputA(inputV, loadA float64) float64 { return r.At(inputV, loadA).InputA }
