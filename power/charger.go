package power

import (
	"math"

	"github.com/stationphysics/stationphysics"
	"github.com/stationphysics/stationphysics/internal/limit"
)

// A ChargerSpec describes a charger between a solar panel and a pack: it draws
// no more than lets the panel's voltage fall to HoldV, and gives no more than
// LimitA nor more voltage than SetV.
type ChargerSpec struct {
	HoldV          float64 // input voltage the charger holds, 2..100 V
	SetV           float64 // output set-point with nothing connected, 1..100 V
	LimitA         float64 // largest output current, 0.001..50 A
	EfficiencyFrac float64 // output over input power, above 0, up to 1; ignored by a linear charger
	Linear         bool    // passes the current on instead of converting the power
	HeadroomV      float64 // input above the pack needed to charge, 0..10 V
	QuiescentA     float64 // own input current while it runs, 0..0.1 A
	ReverseA       float64 // current it draws from the pack in the dark, 0..0.1 A
	MaxInputV      float64 // absolute maximum input voltage, up to 150 V
}

var (
	chHold    = limit.Range{Quantity: "input hold voltage", Unit: "V", Min: 2, Max: 100, Slips: []limit.Slip{{Min: 2000, Max: 1e5, Looks: "millivolts"}}}
	chSet     = limit.Range{Quantity: "charger set-point", Unit: "V", Min: 1, Max: 100, Slips: []limit.Slip{{Min: 1000, Max: 1e5, Looks: "millivolts"}}}
	chLimit   = limit.Range{Quantity: "charger current limit", Unit: "A", Min: 0.001, Max: 50, Slips: []limit.Slip{{Min: 51, Max: 50000, Looks: "milliamperes"}}}
	chEff     = limit.Range{Quantity: "charger efficiency", Min: 0.01, Max: 1, Slips: []limit.Slip{{Min: 1.5, Max: 100, Looks: "per cent"}}}
	chHead    = limit.Range{Quantity: "charger headroom", Unit: "V", Min: 0, Max: 10}
	chIdle    = limit.Range{Quantity: "charger quiescent current", Unit: "A", Min: 0, Max: 0.1, Slips: []limit.Slip{{Min: 0.2, Max: 1000, Looks: "milliamperes or microamperes"}}}
	chReverse = limit.Range{Quantity: "charger reverse current", Unit: "A", Min: 0, Max: 0.1, Slips: []limit.Slip{{Min: 0.2, Max: 1000, Looks: "milliamperes or microamperes"}}}
	chMaxIn   = limit.Range{Quantity: "maximum input voltage", Unit: "V", Min: 2, Max: 150}
)

// A Charger is a validated charger. Its zero value answers Unknown and NaN.
type Charger struct{ s ChargerSpec }

// NewCharger validates the numbers. It returns a *stationphysics.RangeError
// for one outside the range stated at its field, and a
// *stationphysics.ConflictError if the hold voltage leaves no headroom above
// the set-point (the pack could never be filled) or exceeds the maximum input.
func NewCharger(s ChargerSpec) (Charger, error) {
	err := limit.First(chHold.Check(s.HoldV), chSet.Check(s.SetV), chLimit.Check(s.LimitA), chHead.Check(s.HeadroomV),
		chIdle.Check(s.QuiescentA), chReverse.Check(s.ReverseA), chMaxIn.Check(s.MaxInputV))
	if err == nil && !s.Linear {
		err = chEff.Check(s.EfficiencyFrac)
	}
	if err != nil {
		return Charger{}, err
	}
	if s.HoldV < s.SetV+s.HeadroomV {
		return Charger{}, &stationphysics.ConflictError{Quantities: []string{"input hold voltage", "set-point plus headroom"}, Values: []float64{s.HoldV, s.SetV + s.HeadroomV},
			Units: []string{"V", "V"}, Rule: "at the hold voltage the charger must still reach its set-point"}
	}
	if s.HoldV >= s.MaxInputV {
		return Charger{}, &stationphysics.ConflictError{Quantities: []string{"input hold voltage", "maximum input voltage"}, Values: []float64{s.HoldV, s.MaxInputV},
			Units: []string{"V", "V"}, Rule: "the maximum lies above the hold voltage"}
	}
	return Charger{s: s}, nil
}

// Spec returns the numbers the charger was made from.
func (c Charger) Spec() ChargerSpec { return c.s }

// deliverable returns what of the panel's power at the hold voltage is left
// after the charger's own current: watts for a converting charger, amperes for
// a linear one.
func (c *Charger) deliverable(panelW float64) float64 {
	net := max(0, panelW-c.s.HoldV*c.s.QuiescentA)
	if c.s.Linear {
		return net / c.s.HoldV
	}
	return net * c.s.EfficiencyFrac
}

// OutputA returns the charging current in A while the panel gives panelW at the
// hold voltage and the pack's terminals stand at packV:
//
//	converting: (panel - HoldV·QuiescentA)·efficiency / pack
//	linear:     panel/HoldV - QuiescentA
//
// at most LimitA, and 0 once the pack has reached SetV. A step of the voltage
// limit, not its regulation: At computes the tapering current. NaN for a
// negative or NaN power, or a pack voltage that is not positive.
func (c Charger) OutputA(panelW, packV float64) float64 {
	if !(panelW >= 0 && panelW < math.MaxFloat64 && packV > 0 && packV < math.MaxFloat64) || c.s.SetV == 0 {
		return math.NaN()
	}
	if packV >= c.s.SetV {
		return 0
	}
	i := c.deliverable(panelW)
	if !c.s.Linear {
		i /= packV
	}
	return min(i, c.s.LimitA)
}

// At returns the operating point with a pack of open-circuit voltage packV
// behind a resistance of packOhm (cells, wires, and a diode's share if there is
// one): the output voltage is that of the charger's terminals. The state is
// HoldLimited when all the panel gives is taken, CurrentLimited at LimitA,
// Regulating at SetV with the current that the resistance leaves, Off when
// there is nothing to give or the pack stands above SetV; the input stands at
// HoldV, or above it with the power that is really taken when output limits
// govern (the input voltage reported is then still HoldV, since only the panel
// knows where it goes). Negative or NaN arguments, and a pack voltage of 0,
// give Unknown.
func (c Charger) At(panelW, packV, packOhm float64) Point {
	if !(panelW >= 0 && panelW < math.MaxFloat64 && packV > 0 && packV < math.MaxFloat64 && packOhm >= 0 && packOhm < math.MaxFloat64) || c.s.SetV == 0 {
		return unknownPoint
	}
	p := Point{State: HoldLimited, InputV: c.s.HoldV}
	give := c.deliverable(panelW)
	if give == 0 || packV >= c.s.SetV {
		p.State, p.OutputV = Off, packV
		p.InputA = min(panelW/c.s.HoldV, c.s.QuiescentA)
		p.DissipationW = p.InputV * p.InputA
		return p
	}
	p.LoadA = give
	if !c.s.Linear {
		// i·(packV + i·packOhm) = give, without a difference of near-equals.
		p.LoadA = 2 * give / (packV + math.Sqrt(packV*packV+4*packOhm*give))
	}
	if p.LoadA > c.s.LimitA {
		p.State, p.LoadA = CurrentLimited, c.s.LimitA
	}
	if p.LoadA*packOhm > c.s.SetV-packV {
		p.State, p.LoadA = Regulating, (c.s.SetV-packV)/packOhm
	}
	p.OutputV = packV + p.LoadA*packOhm
	if c.s.Linear {
		p.InputA = p.LoadA + c.s.QuiescentA
	} else {
		p.InputA = p.OutputV*p.LoadA/(c.s.EfficiencyFrac*c.s.HoldV) + c.s.QuiescentA
	}
	p.DissipationW = p.InputV*p.InputA - p.LoadW()
	return p
}

// A PanelPoint gives a panel's four voltages and currents at one temperature
// and light, in the trade's symbols.
type PanelPoint struct {
	Vmp float64 // voltage at maximum power, V
	Imp float64 // current at maximum power, A
	Voc float64 // open-circuit voltage, V
	Isc float64 // short-circuit current, A
}

// Check returns nil if the point is one of a panel, and otherwise a
// *stationphysics.RangeError (each value above 0, up to 200) or a
// *stationphysics.ConflictError (Vmp below Voc, Imp below Isc).
func (p PanelPoint) Check() error {
	if err := limit.First(pnVmp.Check(p.Vmp), pnImp.Check(p.Imp), pnVoc.Check(p.Voc), pnIsc.Check(p.Isc)); err != nil {
		return err
	}
	if p.Vmp >= p.Voc {
		return &stationphysics.ConflictError{Quantities: []string{"voltage at maximum power", "open-circuit voltage"}, Values: []float64{p.Vmp, p.Voc}, Units: []string{"V", "V"}, Rule: "maximum power lies below the open-circuit voltage"}
	}
	if p.Imp >= p.Isc {
		return &stationphysics.ConflictError{Quantities: []string{"current at maximum power", "short-circuit current"}, Values: []float64{p.Imp, p.Isc}, Units: []string{"A", "A"}, Rule: "maximum power lies below the short-circuit current"}
	}
	return nil
}

var (
	pnVmp = limit.Range{Quantity: "voltage at maximum power", Unit: "V", Min: 0.1, Max: 200}
	pnVoc = limit.Range{Quantity: "open-circuit voltage", Unit: "V", Min: 0.1, Max: 200}
	pnImp = limit.Range{Quantity: "current at maximum power", Unit: "A", Min: 1e-6, Max: 200}
	pnIsc = limit.Range{Quantity: "short-circuit current", Unit: "A", Min: 1e-6, Max: 200}
)

// HeldFrac returns the share of the panel's maximum power that it gives while
// the charger holds its input at HoldV: 1 at the voltage of maximum power, less
// on either side, 0 if the panel's open-circuit voltage does not reach the hold
// voltage. Between the four given values the panel is taken as
//
//	I = Isc·(1 - C1·(exp(V/(C2·Voc)) - 1)),  C2 = (Vmp/Voc - 1)/ln(1 - Imp/Isc),
//	C1 = (1 - Imp/Isc)·exp(-Vmp/(C2·Voc))
//
// (Rauschenbach, Solar Cell Array Design Handbook, 1980; from memory). Against
// the single-diode curves of a 36-cell panel between -25 and 75 °C the share is
// within 0.02 below the voltage of maximum power, and up to 0.12 too high above
// it, where a real panel's curve falls more steeply; package solar/panel does it
// with the panel's own curve. Where the formula exceeds the maximum power
// given, the share is 1. Compute it for the hottest and for the coldest panel: a
// hold voltage set on a cold bench can lie above what a hot panel gives. NaN if
// the point fails its Check.
func (c Charger) HeldFrac(p PanelPoint) float64 {
	if c.s.SetV == 0 || p.Check() != nil {
		return math.NaN()
	}
	if c.s.HoldV >= p.Voc {
		return 0
	}
	left := 1 - p.Imp/p.Isc
	c2 := (p.Vmp/p.Voc - 1) / math.Log(left)
	// C1·exp(V/(C2·Voc)) in one exponential: of a steep curve the two alone
	// are no numbers any more.
	c1 := left * math.Exp(-p.Vmp/(c2*p.Voc))
	i := p.Isc * (1 + c1 - left*math.Exp((c.s.HoldV-p.Vmp)/(c2*p.Voc)))
	return min(1, max(0, c.s.HoldV*i/(p.Vmp*p.Imp)))
}

// InputMarginV returns what is left of the maximum input voltage when the panel
// stands open: negative if the coldest panel at first light destroys the
// charger. NaN if the point fails its Check.
func (c Charger) InputMarginV(coldest PanelPoint) float64 {
	if c.s.SetV == 0 || coldest.Check() != nil {
		return math.NaN()
	}
	return c.s.MaxInputV - coldest.Voc
}
