package power

import "math"

// A State says in which regime a part works.
type State uint8

// The states of regulators, converters and chargers.
const (
	Unknown          State = iota // the inputs lie outside what the part accepts: no result
	Off                           // too little input: nothing reaches the output
	Dropout                       // the input is too low to regulate: the output follows it
	Regulating                    // the output stands at its set value
	PassThrough                   // a step-up part whose input exceeds its output: the diode conducts
	HoldLimited                   // a charger that takes all the source gives at the hold voltage
	CurrentLimited                // the output current stands at its limit
	ThermallyLimited              // the part lowers its output to hold its shutdown temperature
	Shorted                       // the pass element has failed short
	OverMaximum                   // the input exceeds the absolute maximum: damage must be expected
)

var stateNames = [...]string{"unknown", "off", "dropout", "regulating", "pass-through", "hold-limited", "current-limited",
	"thermally limited", "pass element shorted", "over maximum"}

// String returns the state in words.
func (s State) String() string {
	if int(s) < len(stateNames) {
		return stateNames[s]
	}
	return "invalid state"
}

// A Point is the operating point of a part between an input and an output.
type Point struct {
	State        State
	InputV       float64 // voltage at the input, V
	InputA       float64 // current taken from the input, own current included, A
	OutputV      float64 // voltage at the output, V
	LoadA        float64 // current delivered to the load, A
	DissipationW float64 // heat in the part, W
}

var unknownPoint = Point{InputV: math.NaN(), InputA: math.NaN(), OutputV: math.NaN(), LoadA: math.NaN(), DissipationW: math.NaN()}

// HeadroomV returns the difference between input and output in V.
func (p Point) HeadroomV() float64 { return p.InputV - p.OutputV }

// LoadW returns the power that reaches the load in W.
func (p Point) LoadW() float64 { return p.OutputV * p.LoadA }

// EfficiencyFrac returns the share of the input power that reaches the load,
// 0 when nothing is taken.
func (p Point) EfficiencyFrac() float64 {
	in := p.InputV * p.InputA
	if in == 0 {
		return 0
	}
	return p.LoadW() / in
}

// A Supply feeds a rail from a higher or lower voltage: a Linear or a
// Converter. InputA returns the current in A it takes at an input voltage while
// it delivers a load current.
type Supply interface {
	// InputA is that input current, A.
	InputA(inputV, loadA float64) float64
}
