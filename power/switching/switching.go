package switching

import (
	"math"

	"github.com/stationphysics/stationphysics"
	"github.com/stationphysics/stationphysics/internal/limit"
	"github.com/stationphysics/stationphysics/power"
)

// A LightLoad says what a converter does once its load is so small that the
// inductor's current would reverse.
type LightLoad uint8

// The three habits.
const (
	Forced        LightLoad = iota // keeps switching both ways at full frequency: ripple loss remains
	Discontinuous                  // the rectifier stops the reversal, at full frequency
	Skipping                       // as Discontinuous, and the frequency falls with the load
)

// A Spec lists the components of a step-down or step-up converter.
type Spec struct {
	OutputV         float64 // 0.5..100 V
	StepUp          bool
	FrequencyHz     float64 // 1e3..1e7 Hz
	InductanceHenry float64 // 1e-8..0.1 H
	CoilOhm         float64 // winding resistance, 0..100 ohm
	SwitchOhm       float64 // resistance of the switch when on, 0..100 ohm
	RectifierOhm    float64 // resistance of a synchronous rectifier; 0 with a diode
	RectifierV      float64 // forward voltage of a diode rectifier; 0 with a synchronous one, 0..2 V
	EdgesS          float64 // rise plus fall time of the switch, 0..1e-5 s
	GateCoulomb     float64 // gate charge of all switches, 0..1e-5 C
	GateV           float64 // voltage it is charged to, 0..50 V
	QuiescentA      float64 // current of the controller, 0..0.1 A
	LightLoad       LightLoad
	OutputFarad     float64 // output capacitor, 0..1 F; 0 if not asked for
	OutputEsrOhm    float64 // its series resistance, 0..100 ohm
	MaxDutyFrac     float64 // largest share of the period the switch can stay on, 0.1..1
	CurrentLimitA   float64 // peak current of the switch, 0.001..100 A
	MaxInputV       float64 // absolute maximum input, up to 150 V
	LeastInputV     float64 // input below which the controller stops, 0..100 V
	PassDropV       float64 // fixed drop with the switch always on beside the resistances, 0..5 V
}

var (
	swOut  = limit.Range{Quantity: "output voltage", Unit: "V", Min: 0.5, Max: 100, Slips: []limit.Slip{{Min: 500, Max: 1e5, Looks: "millivolts"}}}
	swFreq = limit.Range{Quantity: "switching frequency", Unit: "Hz", Min: 1e3, Max: 1e7, Slips: []limit.Slip{{Min: 10, Max: 999, Looks: "kilohertz"}, {Min: 0.1, Max: 9.9, Looks: "megahertz"}}}
	swInd  = limit.Range{Quantity: "inductance", Unit: "H", Min: 1e-8, Max: 0.1, Slips: []limit.Slip{{Min: 0.2, Max: 1e4, Looks: "microhenries"}}}
	swCoil = limit.Range{Quantity: "coil resistance", Unit: "ohm", Min: 0, Max: 100}
	swOn   = limit.Range{Quantity: "switch resistance", Unit: "ohm", Min: 0, Max: 100}
	swRect = limit.Range{Quantity: "rectifier resistance", Unit: "ohm", Min: 0, Max: 100}
	swRecV = limit.Range{Quantity: "rectifier forward voltage", Unit: "V", Min: 0, Max: 2, Slips: []limit.Slip{{Min: 100, Max: 2000, Looks: "millivolts"}}}
	swEdge = limit.Range{Quantity: "edge times", Unit: "s", Min: 0, Max: 1e-5, Slips: []limit.Slip{{Min: 0.5, Max: 1e4, Looks: "nanoseconds"}}}
	swGate = limit.Range{Quantity: "gate charge", Unit: "C", Min: 0, Max: 1e-5, Slips: []limit.Slip{{Min: 0.1, Max: 1e4, Looks: "nanocoulombs"}}}
	swGatV = limit.Range{Quantity: "gate voltage", Unit: "V", Min: 0, Max: 50}
	swIdle = limit.Range{Quantity: "controller current", Unit: "A", Min: 0, Max: 0.1, Slips: []limit.Slip{{Min: 0.2, Max: 1000, Looks: "milliamperes or microamperes"}}}
	swCap  = limit.Range{Quantity: "output capacitance", Unit: "F", Min: 0, Max: 1, Slips: []limit.Slip{{Min: 1.5, Max: 1e5, Looks: "microfarads"}}}
	swEsr  = limit.Range{Quantity: "series resistance of the output capacitor", Unit: "ohm", Min: 0, Max: 100}
	swDuty = limit.Range{Quantity: "largest duty", Min: 0.1, Max: 1, Slips: []limit.Slip{{Min: 10, Max: 100, Looks: "per cent"}}}
	swLim  = limit.Range{Quantity: "peak current limit", Unit: "A", Min: 0.001, Max: 100}
	swMax  = limit.Range{Quantity: "maximum input voltage", Unit: "V", Min: 0.5, Max: 150}
	swMin  = limit.Range{Quantity: "least input voltage", Unit: "V", Min: 0, Max: 100}
	swPass = limit.Range{Quantity: "pass-through drop", Unit: "V", Min: 0, Max: 5}
)

// A Stage is a validated power stage.
type Stage struct{ s Spec }

// New validates the components. It returns a *stationphysics.RangeError for a
// number outside the range stated at its field, and a
// *stationphysics.ConflictError if the inputs do not fit the direction of
// conversion or the rectifier is given both as a diode and as a resistance.
func New(s Spec) (Stage, error) {
	if err := limit.First(swOut.Check(s.OutputV), swFreq.Check(s.FrequencyHz), swInd.Check(s.InductanceHenry), swCoil.Check(s.CoilOhm), swOn.Check(s.SwitchOhm),
		swRect.Check(s.RectifierOhm), swRecV.Check(s.RectifierV), swEdge.Check(s.EdgesS), swGate.Check(s.GateCoulomb), swGatV.Check(s.GateV), swIdle.Check(s.QuiescentA),
		swCap.Check(s.OutputFarad), swEsr.Check(s.OutputEsrOhm), swDuty.Check(s.MaxDutyFrac), swLim.Check(s.CurrentLimitA), swMax.Check(s.MaxInputV),
		swMin.Check(s.LeastInputV), swPass.Check(s.PassDropV)); err != nil {
		return Stage{}, err
	}
	conflict := func(a string, av float64, b string, bv float64, unit, rule string) error {
		return &stationphysics.ConflictError{Quantities: []string{a, b}, Values: []float64{av, bv}, Units: []string{unit, unit}, Rule: rule}
	}
	switch {
	case s.RectifierV > 0 && s.RectifierOhm > 0:
		return Stage{}, &stationphysics.ConflictError{Quantities: []string{"rectifier forward voltage", "rectifier resistance"},
			Values: []float64{s.RectifierV, s.RectifierOhm}, Units: []string{"V", "ohm"}, Rule: "a rectifier is a diode or a transistor"}
	case s.LeastInputV >= s.MaxInputV:
		return Stage{}, conflict("least input voltage", s.LeastInputV, "maximum input voltage", s.MaxInputV, "V", "the maximum lies above the least")
	case !s.StepUp && s.MaxInputV <= s.OutputV:
		return Stage{}, conflict("output voltage", s.OutputV, "maximum input voltage", s.MaxInputV, "V", "a step-down part lowers its input")
	case s.StepUp && s.LeastInputV >= s.OutputV:
		return Stage{}, conflict("output voltage", s.OutputV, "least input voltage", s.LeastInputV, "V", "a step-up part raises its input")
	}
	return Stage{s}, nil
}

// An Operation is how a stage works at one input and load.
type Operation struct {
	DutyFrac     float64 // share of the period the switch conducts
	RippleA      float64 // peak-to-peak current of the inductor, A
	PeakA        float64 // largest current of the inductor, A
	CoilA        float64 // mean current of the inductor, A
	Continuous   bool    // the inductor's current never stops
	RateHz       float64 // switching frequency, lower than FrequencyHz when Skipping
	OutRippleV   float64 // peak-to-peak output ripple, V; 0 without an OutputFarad
	ConductionW  float64 // in the switch
	RectifierW   float64 // in the diode or synchronous rectifier
	CoilW        float64 // in the winding
	EdgeW        float64 // of the switch's edges
	GateW        float64 // of charging the gates
	ControllerW  float64 // controller's own
	LoadW        float64 // delivered
	WithinLimits bool    // peak current and duty are within the stage's limits
}

// LossW returns the sum of all losses in W.
func (o Operation) LossW() float64 {
	return o.ConductionW + o.RectifierW + o.CoilW + o.EdgeW + o.GateW + o.ControllerW
}

// EfficiencyFrac returns the output power over the input power, 0 without load.
func (o Operation) EfficiencyFrac() float64 {
	if o.LoadW == 0 {
		return 0
	}
	return o.LoadW / (o.LoadW + o.LossW())
}

// At returns how the stage works at an input voltage and a load.
//
// Step-down, from the balance of volt-seconds with the drops at the mean
// current (Erickson and Maksimovic, Fundamentals of Power Electronics, ch. 3;
// from memory):
//
//	D·(Vin - I·Rs + Vr) = Vout + I·Rcoil + Vr,  Vr = diode or I·Rr
//	ripple = (Vin - I·(Rs + Rcoil) - Vout)·D/(f·L)
//
// Step-up, with the coil's current I = load/(1-D):
//
//	Vin - I·Rcoil - D·I·Rs = (1-D)·(Vout + Vr),  ripple = (Vin - I·(Rcoil + Rs))·D/(f·L)
//
// Losses: (I² + ripple²/12) through each resistance for its share of the
// period; ½·V·I·edges·f with V the blocked voltage; Qg·Vg·f; Vin·Iq. When the
// load falls below half the ripple the inductor's current would reverse:
// LightLoad says what then. In discontinuous work the inductor starts each
// pulse from zero, the duty follows from the charge a pulse delivers, and when
// Skipping the pulse keeps its size at the edge of continuous work while the
// rate falls in proportion to the load.
//
// ok is false, and the operation zero, if the input cannot be converted: at
// most LeastInputV, above MaxInputV, on the wrong side of the output (with the
// drops counted), beyond a step-up stage's largest power, or if an argument is
// negative or NaN.
func (g Stage) At(inputV, loadA float64) (o Operation, ok bool) {
	s := &g.s
	if s.OutputV == 0 || !(inputV > s.LeastInputV && inputV <= s.MaxInputV && loadA >= 0 && loadA <= s.CurrentLimitA) {
		return Operation{}, false
	}
	d, coilA, ok := s.duty(inputV, loadA)
	if !ok {
		return Operation{}, false
	}
	o = Operation{DutyFrac: d, CoilA: coilA, Continuous: true, RateHz: s.FrequencyHz, LoadW: s.OutputV * loadA}
	o.RippleA = s.rise(inputV, coilA) * d / s.FrequencyHz
	if s.LightLoad == Forced || coilA >= o.RippleA/2 {
		o.PeakA = coilA + o.RippleA/2
		s.losses(&o, inputV, coilA*coilA+o.RippleA*o.RippleA/12, d, 1-d)
	} else {
		s.light(&o, inputV, loadA)
	}
	if s.OutputFarad > 0 {
		o.OutRippleV = s.outputRipple(&o, loadA)
	}
	o.WithinLimits = o.PeakA <= s.CurrentLimitA && o.DutyFrac <= s.MaxDutyFrac
	return o, true
}

// duty returns the duty and mean coil current of continuous work.
func (s *Spec) duty(inputV, loadA float64) (d, coilA float64, ok bool) {
	if !s.StepUp {
		vr := s.RectifierV + loadA*s.RectifierOhm
		d = (s.OutputV + loadA*s.CoilOhm + vr) / (inputV - loadA*s.SwitchOhm + vr)
		return d, loadA, d > 0 && d <= 1
	}
	if inputV >= s.OutputV+s.RectifierV {
		return 0, 0, false
	}
	// With x = 1-D, I = load/x and the rectifier's resistance beside its
	// voltage the balance times x is (Vout+Vr)·x² - (Vin + load·(Rs-Rr))·x +
	// load·(Rcoil+Rs) = 0; the larger root is the one of less loss.
	a := s.OutputV + s.RectifierV
	b := inputV + loadA*(s.SwitchOhm-s.RectifierOhm)
	c := loadA * (s.CoilOhm + s.SwitchOhm)
	disc := b*b - 4*a*c
	if disc < 0 {
		return 0, 0, false
	}
	x := (b + math.Sqrt(disc)) / (2 * a)
	// A root above 1 asks for a negative duty: the switch does not help.
	if !(x > 0 && x <= 1) {
		return 0, 0, false
	}
	return 1 - x, loadA / x, true
}

// rise returns the slope of the coil's current in A/s while the switch is on.
func (s *Spec) rise(inputV, coilA float64) float64 {
	v := inputV - coilA*(s.SwitchOhm+s.CoilOhm)
	if !s.StepUp {
		v -= s.OutputV
	}
	return max(0, v) / s.InductanceHenry
}

// losses fills in the losses for a mean square current in the coil, the shares
// of the period in switch and rectifier and the rate in o.
func (s *Spec) losses(o *Operation, inputV, square, onFrac, offFrac float64) {
	o.ConductionW = square * s.SwitchOhm * onFrac
	o.RectifierW = square*s.RectifierOhm*offFrac + o.CoilA*s.RectifierV*offFrac
	o.CoilW = square * s.CoilOhm * (onFrac + offFrac)
	blocked := inputV
	if s.StepUp {
		blocked = s.OutputV
	}
	o.EdgeW = 0.5 * blocked * o.CoilA * s.EdgesS * o.RateHz
	o.GateW = s.GateCoulomb * s.GateV * o.RateHz
	o.ControllerW = inputV * s.QuiescentA
}

// light replaces the continuous solution by the discontinuous one.
func (s *Spec) light(o *Operation, inputV, loadA float64) {
	o.Continuous = false
	up := s.rise(inputV, 0)
	fall := (s.OutputV + s.RectifierV) / s.InductanceHenry
	if s.StepUp {
		fall = (s.OutputV + s.RectifierV - inputV) / s.InductanceHenry
	}
	// A pulse of on-time t rises to up·t and falls to zero in up·t/fall. It
	// delivers its whole area to the output of a step-down stage, and the
	// falling part only to that of a step-up stage.
	share := 0.5 * up * up / fall
	if !s.StepUp {
		share += 0.5 * up
	}
	// On-time at the edge of continuous work, where the triangle fills the
	// period.
	edge := 1 / (s.FrequencyHz * (1 + up/fall))
	onS := math.Sqrt(loadA / (share * s.FrequencyHz))
	if s.LightLoad == Skipping {
		onS = edge
		o.RateHz = min(s.FrequencyHz, loadA/(share*edge*edge))
	}
	o.PeakA = up * onS
	o.RippleA = o.PeakA
	o.DutyFrac = onS * o.RateHz
	offFrac := o.DutyFrac * up / fall
	busy := o.DutyFrac + offFrac
	// Within the triangle the mean current is half the peak and the mean
	// square a third of its square. CoilA stands for the mean while it flows,
	// so that diode and edge losses follow from the same expressions; edges
	// see only the turn-off, at the peak, which is the same ½·peak.
	o.CoilA = o.PeakA / 2
	s.losses(o, inputV, o.PeakA*o.PeakA/3, o.DutyFrac, offFrac)
	o.CoilA *= busy
}

// outputRipple returns the peak-to-peak output ripple: for a step-down stage
// ripple/(8·f·C) plus the drop in the capacitor's series resistance, for a
// step-up stage the discharge by the load while the switch is on, plus the step
// of the coil's current in that resistance.
func (s *Spec) outputRipple(o *Operation, loadA float64) float64 {
	switch {
	case s.StepUp:
		v := o.PeakA * s.OutputEsrOhm
		if o.RateHz > 0 {
			v += loadA * o.DutyFrac / (o.RateHz * s.OutputFarad)
		}
		return v
	case o.Continuous:
		return o.RippleA/(8*o.RateHz*s.OutputFarad) + o.RippleA*s.OutputEsrOhm
	default:
		// The charge of one pulse, at most.
		v := o.PeakA * s.OutputEsrOhm
		if o.RateHz > 0 {
			v += loadA / (o.RateHz * s.OutputFarad)
		}
		return v
	}
}

// LeastInputV returns the smallest input in V from which a step-down stage
// still regulates a load, with the switch on for MaxDutyFrac of the period. NaN
// for a step-up stage and for a load that is negative, NaN or above the limit.
func (g Stage) LeastInputV(loadA float64) float64 {
	s := &g.s
	if s.OutputV == 0 || s.StepUp || !(loadA >= 0 && loadA <= s.CurrentLimitA) {
		return math.NaN()
	}
	vr := s.RectifierV + loadA*s.RectifierOhm
	return max(s.LeastInputV, (s.OutputV+loadA*s.CoilOhm+vr)/s.MaxDutyFrac+loadA*s.SwitchOhm-vr)
}

// NeededHenry returns the inductance in H that gives a peak-to-peak ripple
// of rippleA at an input, without drops: Vout·(Vin-Vout)/(ripple·f·Vin), and for
// a step-up stage Vin·(Vout-Vin)/(ripple·f·Vout). NaN if the input is on the
// wrong side of the output or the ripple is not positive.
func (g Stage) NeededHenry(inputV, rippleA float64) float64 {
	lo, hi := g.s.OutputV, inputV
	if g.s.StepUp {
		lo, hi = hi, lo
	}
	if !(lo > 0 && hi > lo && rippleA > 0 && hi < math.MaxFloat64) {
		return math.NaN()
	}
	return lo * (hi - lo) / (rippleA * g.s.FrequencyHz * hi)
}

// Converter returns the stage as a power.ConverterSpec with its efficiency
// curve at inputV for the loads given, which must rise; loads the stage does
// not convert within its limits are an error, a *stationphysics.ConflictError.
// The idle current is that of the controller plus, unless the stage skips
// pulses, what switching costs at no load.
func (g Stage) Converter(inputV float64, loadsA ...float64) (power.ConverterSpec, error) {
	s := &g.s
	idle, ok := g.At(inputV, 0)
	if !ok {
		return power.ConverterSpec{}, cannot(inputV, 0)
	}
	c := power.ConverterSpec{OutputV: s.OutputV, StepUp: s.StepUp, MinInputV: s.LeastInputV, MaxInputV: s.MaxInputV, CurveInputV: inputV,
		HeadroomV: s.PassDropV, HeadroomOhm: s.SwitchOhm + s.CoilOhm, QuiescentA: idle.LossW() / inputV, IdleIsSteady: true}
	if s.StepUp {
		c.HeadroomV, c.HeadroomOhm = s.RectifierV, s.RectifierOhm+s.CoilOhm
	}
	for _, i := range loadsA {
		o, ok := g.At(inputV, i)
		if !ok || !o.WithinLimits {
			return power.ConverterSpec{}, cannot(inputV, i)
		}
		c.Curve = append(c.Curve, power.EfficiencyPoint{LoadA: i, EfficiencyFrac: o.EfficiencyFrac()})
		c.LimitA = max(c.LimitA, i)
	}
	return c, nil
}

func cannot(inputV, loadA float64) error {
	return &stationphysics.ConflictError{Quantities: []string{"input voltage", "load"}, Values: []float64{inputV, loadA}, Units: []string{"V", "A"},
		Rule: "the stage converts this load from this input within its limits"}
}
