package power

import (
	"math"
	"strconv"

	"github.com/stationphysics/stationphysics"
	"github.com/stationphysics/stationphysics/internal/limit"
)

// An EfficiencyPoint is one point of a converter's efficiency curve.
type EfficiencyPoint struct {
	LoadA          float64 // load current, above 0, A
	EfficiencyFrac float64 // output power over input power, above 0, below 1
}

// A ConverterSpec lists what a sheet says about a switching converter.
type ConverterSpec struct {
	OutputV      float64           // set output voltage, 0.5..100 V
	StepUp       bool              // raises its input instead of lowering it
	MinInputV    float64           // below it the converter is off, 0..100 V
	MaxInputV    float64           // absolute maximum input voltage, up to 150 V
	HeadroomV    float64           // voltage lost when the switch stays on (step-down) or the diode conducts (step-up), 0..5 V
	HeadroomOhm  float64           // growth of that with the load, 0..50 ohm
	QuiescentA   float64           // input current at no load, 0..0.5 A
	LimitA       float64           // largest load current, 0.001..50 A
	CurveInputV  float64           // input voltage at which Curve was taken
	Curve        []EfficiencyPoint // by rising load, 1..64 points
	IdleIsSteady bool              // QuiescentA is the same current at any input; otherwise the same power
}

var (
	cvOut      = limit.Range{Quantity: "converter output voltage", Unit: "V", Min: 0.5, Max: 100, Slips: []limit.Slip{{Min: 500, Max: 1e5, Looks: "millivolts"}}}
	cvMinIn    = limit.Range{Quantity: "minimum input voltage", Unit: "V", Min: 0, Max: 100}
	cvMaxIn    = limit.Range{Quantity: "maximum input voltage", Unit: "V", Min: 0.5, Max: 150}
	cvHead     = limit.Range{Quantity: "headroom", Unit: "V", Min: 0, Max: 5}
	cvHeadOhm  = limit.Range{Quantity: "headroom resistance", Unit: "ohm", Min: 0, Max: 50}
	cvIdle     = limit.Range{Quantity: "idle input current", Unit: "A", Min: 0, Max: 0.5, Slips: []limit.Slip{{Min: 0.6, Max: 1000, Looks: "milliamperes or microamperes"}}}
	cvLimit    = limit.Range{Quantity: "largest load current", Unit: "A", Min: 0.001, Max: 50}
	cvCurveIn  = limit.Range{Quantity: "input voltage of the efficiency curve", Unit: "V", Min: 0.5, Max: 150}
	cvCurveA   = limit.Range{Quantity: "load of the efficiency curve", Unit: "A", Min: 1e-9, Max: 50}
	cvCurveEff = limit.Range{Quantity: "efficiency", Min: 0.001, Max: 0.999, Slips: []limit.Slip{{Min: 1, Max: 100, Looks: "per cent"}}}
)

// A Converter is a validated switching converter. Its zero value answers
// Unknown and NaN.
type Converter struct {
	s     ConverterSpec
	idleW float64     // input power at no load and CurveInputV
	knots []inputKnot // input power by load, from (0, idleW) on
}

type inputKnot struct{ loadA, inW, slopeV float64 }

// NewConverter validates a sheet's numbers. It returns a
// *stationphysics.RangeError for a number outside the range stated at its
// field, and a *stationphysics.ConflictError for loads that do not rise, for a
// step-down part whose inputs lie below its output (or a step-up part's above),
// and for an efficiency that would have the input power fall while the load
// rises: the sign of swapped columns or of a quiescent current too large for
// the curve.
func NewConverter(s ConverterSpec) (Converter, error) {
	err := limit.First(cvOut.Check(s.OutputV), cvMinIn.Check(s.MinInputV), cvMaxIn.Check(s.MaxInputV), cvHead.Check(s.HeadroomV), cvHeadOhm.Check(s.HeadroomOhm),
		cvIdle.Check(s.QuiescentA), cvLimit.Check(s.LimitA), cvCurveIn.Check(s.CurveInputV))
	if err == nil && (len(s.Curve) == 0 || len(s.Curve) > 64) {
		err = &stationphysics.RangeError{Quantity: "number of points of the efficiency curve", Value: float64(len(s.Curve)), Min: 1, Max: 64}
	}
	if err != nil {
		return Converter{}, err
	}
	conflict := func(a string, av float64, b string, bv float64, unit, rule string) error {
		return &stationphysics.ConflictError{Quantities: []string{a, b}, Values: []float64{av, bv}, Units: []string{unit, unit}, Rule: rule}
	}
	switch {
	case !(s.MaxInputV > s.MinInputV):
		return Converter{}, conflict("minimum input voltage", s.MinInputV, "maximum input voltage", s.MaxInputV, "V", "the maximum lies above the minimum")
	case !s.StepUp && !(s.MaxInputV > s.OutputV):
		return Converter{}, conflict("converter output voltage", s.OutputV, "maximum input voltage", s.MaxInputV, "V", "a step-down part lowers its input")
	case !s.StepUp && !(s.CurveInputV > s.OutputV):
		return Converter{}, conflict("converter output voltage", s.OutputV, "input voltage of the efficiency curve", s.CurveInputV, "V", "a step-down part lowers its input")
	case s.StepUp && !(s.MinInputV < s.OutputV && s.CurveInputV < s.OutputV):
		return Converter{}, conflict("converter output voltage", s.OutputV, "input voltage", max(s.MinInputV, s.CurveInputV), "V", "a step-up part raises its input")
	}
	c := Converter{s: s, idleW: s.QuiescentA * s.CurveInputV}
	c.s.Curve = append([]EfficiencyPoint(nil), s.Curve...)
	c.knots = append(make([]inputKnot, 0, len(s.Curve)+1), inputKnot{inW: c.idleW})
	for n, p := range c.s.Curve {
		if err := limit.First(cvCurveA.Check(p.LoadA), cvCurveEff.Check(p.EfficiencyFrac)); err != nil {
			return Converter{}, err
		}
		last := &c.knots[n]
		k := inputKnot{loadA: p.LoadA, inW: s.OutputV * p.LoadA / p.EfficiencyFrac}
		if !(k.loadA > last.loadA) {
			return Converter{}, conflict("load of point "+strconv.Itoa(n), last.loadA, "load of point "+strconv.Itoa(n+1), k.loadA, "A", "the loads of an efficiency curve rise")
		}
		if !(k.inW > last.inW) {
			return Converter{}, conflict("input power of point "+strconv.Itoa(n), last.inW, "input power of point "+strconv.Itoa(n+1), k.inW, "W", "more load takes more input power: are columns swapped, or is the quiescent current too large?")
		}
		last.slopeV = (k.inW - last.inW) / (k.loadA - last.loadA)
		c.knots = append(c.knots, k)
	}
	// Above the last point the loss keeps growing as over the last interval.
	c.knots[len(c.knots)-1].slopeV = max(c.knots[len(c.knots)-2].slopeV, s.OutputV)
	return c, nil
}

// Spec returns the numbers the converter was made from. The curve is shared:
// do not change it.
func (c Converter) Spec() ConverterSpec { return c.s }

// inputW returns the input power at a load within the limit. No input voltage
// makes a converter better than perfect.
func (c *Converter) inputW(inputV, loadA float64) float64 {
	return max(c.lineW(inputV, loadA), c.s.OutputV*loadA)
}

func (c *Converter) lineW(inputV, loadA float64) float64 {
	n := len(c.knots) - 1
	for n > 0 && loadA < c.knots[n].loadA {
		n--
	}
	k := &c.knots[n]
	w := k.inW + k.slopeV*(loadA-k.loadA)
	if c.s.IdleIsSteady {
		w += c.s.QuiescentA * (inputV - c.s.CurveInputV)
	}
	return w
}

// deadInputV is no input: the current that brings a power from less may be no number.
const deadInputV = 1e-9

// At returns the operating point at an input voltage and a constant-current
// load. Between the points of the curve, and from the idle power at no load to
// the first of them, the input power is interpolated linearly in the load: the
// loss of a converter is a constant, a linear and a small square term, so that
// a chord lies a little above it. The loss measured at CurveInputV is kept at
// other inputs, save for the idle part if IdleIsSteady says so.
//
// Special cases: a step-down part with less than HeadroomV + HeadroomOhm·load
// above its output holds its switch on, and the output follows the input
// (Dropout); a step-up part whose input exceeds its output conducts through its
// diode (PassThrough); a load above LimitA pulls the output to 0 V and carries
// the limit; below MinInputV or a nanovolt the part is Off and takes nothing; above MaxInputV
// the state is OverMaximum and the numbers are those of a part that survived;
// negative or NaN arguments give Unknown.
func (c Converter) At(inputV, loadA float64) Point {
	if !(inputV >= 0 && inputV < math.MaxFloat64 && loadA >= 0 && loadA < math.MaxFloat64) || c.knots == nil {
		return unknownPoint
	}
	p := Point{State: Regulating, InputV: inputV, OutputV: c.s.OutputV, LoadA: loadA}
	drop := c.drop(loadA)
	switch {
	case inputV < max(c.s.MinInputV, deadInputV):
		return Point{State: Off, InputV: inputV}
	case loadA > c.s.LimitA:
		// A shorted output: the loss of the limit remains, no power leaves.
		p.State, p.OutputV, p.LoadA = CurrentLimited, 0, c.s.LimitA
		p.DissipationW = c.inputW(inputV, c.s.LimitA) - c.s.OutputV*c.s.LimitA
		p.InputA = p.DissipationW / inputV
	case !c.s.StepUp && inputV < c.s.OutputV+drop:
		p.State = Dropout
		c.through(&p, drop)
	case c.s.StepUp && inputV-drop >= c.s.OutputV:
		p.State = PassThrough
		c.through(&p, drop)
	default:
		w := c.inputW(inputV, loadA)
		p.InputA = w / inputV
		p.DissipationW = w - p.OutputV*loadA
	}
	if inputV > c.s.MaxInputV {
		p.State = OverMaximum
	}
	return p
}

// through fills in a point whose load current passes without conversion.
func (c *Converter) through(p *Point, drop float64) {
	p.OutputV = p.InputV - drop
	if p.OutputV < 0 {
		p.OutputV, p.LoadA = 0, max(0, p.InputV-c.s.HeadroomV)/c.s.HeadroomOhm
		if c.s.HeadroomOhm == 0 {
			p.LoadA = 0
		}
	}
	p.InputA = p.LoadA + c.s.QuiescentA
	p.DissipationW = p.InputV*p.InputA - p.OutputV*p.LoadA
}

// InputA returns the current in A taken from the input at a constant-current
// load; NaN where At says Unknown.
func (c Converter) InputA(inputV, loadA float64) float64 { return c.At(inputV, loadA).InputA }

// MinInputV returns the least input in V at which a load is regulated. NaN for
// a load that is negative, NaN or above the limit.
func (c Converter) MinInputV(loadA float64) float64 {
	if c.knots == nil || !(loadA >= 0 && loadA <= c.s.LimitA) {
		return math.NaN()
	}
	if c.s.StepUp {
		return max(c.s.MinInputV, deadInputV)
	}
	return max(c.s.MinInputV, c.s.OutputV+c.drop(loadA))
}

// drop returns the headroom of a load. The product is rounded by the conversion, so that
// At and MinInputV agree to the last digit where the one regime ends.
func (c *Converter) drop(loadA float64) float64 {
	return c.s.HeadroomV + float64(c.s.HeadroomOhm*loadA)
}

// BreakEvenA returns the load in A from which on, up to what both can deliver,
// the converter takes no more input current than the linear regulator at the
// same input voltage: 0 if it never takes more, +Inf if it takes more at the
// largest common load. Both must regulate at inputV at every load considered;
// NaN otherwise. A part chosen by its amperes alone loses here: at small loads
// the lower idle current wins.
func BreakEvenA(c Converter, r Linear, inputV float64) float64 {
	top := min(c.s.LimitA, r.s.CurrentLimitA)
	for _, i := range [...]float64{0, top} {
		if c.At(inputV, i).State != Regulating || r.At(inputV, i).State != Regulating {
			return math.NaN()
		}
	}
	// The floor of perfect conversion is left out: where it holds the
	// converter wins anyway, and without it both currents are straight lines
	// between knots, so that a change of sign is found exactly.
	excess := func(i float64) float64 { return c.lineW(inputV, i)/inputV - r.InputA(inputV, i) }
	hi, dhi := top, excess(top)
	if dhi > 0 {
		return math.Inf(1)
	}
	for n := len(c.knots) - 1; n >= 0; n-- {
		lo := c.knots[n].loadA
		if lo >= top {
			continue
		}
		dlo := excess(lo)
		if dlo > 0 {
			return lo + (hi-lo)*dlo/(dlo-dhi)
		}
		hi, dhi = lo, dlo
	}
	return 0
}
