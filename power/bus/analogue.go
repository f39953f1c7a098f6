package bus

import (
	"math"

	"github.com/stationphysics/stationphysics"
	"github.com/stationphysics/stationphysics/internal/limit"
)

// A NodeSpec describes an analogue input behind a voltage divider: UpperOhm
// from the measured voltage to the pin, LowerOhm from the pin to ground.
type NodeSpec struct {
	UpperOhm       float64 // 1..1e9 ohm
	LowerOhm       float64 // 1..1e9 ohm
	PinFarad       float64 // capacitor at the pin, 0..1e-3 F
	LeakageA       float64 // leakage of the pin, either way, 0..1e-3 A
	SampleOhm      float64 // resistance of the converter's sampling switch, 0..1e6 ohm
	SampleFarad    float64 // its sampling capacitor, 1e-15..1e-9 F
	SampleS        float64 // time it is connected, 1e-9..1 s
	Bits           int     // resolution, 6..24
	FullScaleV     float64 // reading of full scale at the pin, 0.1..30 V
	ClampV         float64 // above its supply, or below ground, at which the pin's diode conducts, 0..1 V: 0.3 in most ratings
	LargestPinA    float64 // injection current the sheet allows, 0..0.1 A; 0 if it allows none
	SupplyV        float64 // supply of the pin when powered, 0.5..30 V
	ResistorTolPct float64 // tolerance of each resistor, ± %, 0..20
}

var (
	ndUpper   = limit.Range{Quantity: "upper resistor", Unit: "ohm", Min: 1, Max: 1e9}
	ndLower   = limit.Range{Quantity: "lower resistor", Unit: "ohm", Min: 1, Max: 1e9}
	ndPinC    = limit.Range{Quantity: "pin capacitor", Unit: "F", Min: 0, Max: 1e-3, Slips: []limit.Slip{{Min: 0.01, Max: 1e6, Looks: "nanofarads or microfarads"}}}
	ndLeak    = limit.Range{Quantity: "pin leakage", Unit: "A", Min: 0, Max: 1e-3}
	ndSampR   = limit.Range{Quantity: "sampling resistance", Unit: "ohm", Min: 0, Max: 1e6}
	ndSampC   = limit.Range{Quantity: "sampling capacitor", Unit: "F", Min: 1e-15, Max: 1e-9, Slips: []limit.Slip{{Min: 0.1, Max: 1000, Looks: "picofarads"}}}
	ndSampS   = limit.Range{Quantity: "sampling time", Unit: "s", Min: 1e-9, Max: 1, Slips: []limit.Slip{{Min: 1.5, Max: 1e4, Looks: "clock cycles or microseconds"}}}
	ndBits    = limit.Range{Quantity: "resolution in bits", Min: 6, Max: 24}
	ndFull    = limit.Range{Quantity: "full scale", Unit: "V", Min: 0.1, Max: 30, Slips: []limit.Slip{{Min: 100, Max: 30000, Looks: "millivolts"}}}
	ndClamp   = limit.Range{Quantity: "clamp voltage", Unit: "V", Min: 0, Max: 1}
	ndLargest = limit.Range{Quantity: "largest injection current", Unit: "A", Min: 0, Max: 0.1, Slips: []limit.Slip{{Min: 0.2, Max: 100, Looks: "milliamperes"}}}
	ndSupply  = limit.Range{Quantity: "pin supply", Unit: "V", Min: 0.5, Max: 30, Slips: []limit.Slip{{Min: 500, Max: 30000, Looks: "millivolts"}}}
	ndTol     = limit.Range{Quantity: "resistor tolerance", Unit: "%", Min: 0, Max: 20}
	ndIn      = limit.Range{Quantity: "measured voltage", Unit: "V", Min: -200, Max: 200}
)

// A Node is a validated analogue input. Its zero value returns NaN.
type Node struct{ s NodeSpec }

// NewNode validates an analogue input. It returns a *stationphysics.RangeError
// for a number outside the range stated at its field, and a
// *stationphysics.ConflictError if full scale exceeds the pin's supply by more
// than ClampV.
func NewNode(s NodeSpec) (Node, error) {
	if err := limit.First(ndUpper.Check(s.UpperOhm), ndLower.Check(s.LowerOhm), ndPinC.Check(s.PinFarad), ndLeak.Check(s.LeakageA), ndSampR.Check(s.SampleOhm),
		ndSampC.Check(s.SampleFarad), ndSampS.Check(s.SampleS), ndBits.Check(float64(s.Bits)), ndFull.Check(s.FullScaleV), ndClamp.Check(s.ClampV),
		ndLargest.Check(s.LargestPinA), ndSupply.Check(s.SupplyV), ndTol.Check(s.ResistorTolPct)); err != nil {
		return Node{}, err
	}
	if s.FullScaleV > s.SupplyV+s.ClampV {
		return Node{}, &stationphysics.ConflictError{Quantities: []string{"full scale", "pin supply"}, Values: []float64{s.FullScaleV, s.SupplyV},
			Units: []string{"V", "V"}, Rule: "a pin does not read above its own supply"}
	}
	return Node{s}, nil
}

// RatioFrac returns the share of the measured voltage that reaches the pin.
func (n Node) RatioFrac() float64 { return n.s.LowerOhm / (n.s.UpperOhm + n.s.LowerOhm) }

// SourceOhm returns the resistance in ohm that the pin sees: both legs side by
// side.
func (n Node) SourceOhm() float64 { return n.s.UpperOhm * n.s.LowerOhm / (n.s.UpperOhm + n.s.LowerOhm) }

// DrainA returns the current in A the divider takes from a source of inputV day
// and night. Any voltage will do; NaN gives NaN, as does the zero Node.
func (n Node) DrainA(inputV float64) float64 {
	if n.s.Bits == 0 {
		return math.NaN()
	}
	return inputV / (n.s.UpperOhm + n.s.LowerOhm)
}

// HighestInputV returns the measured voltage in V that reads full scale.
func (n Node) HighestInputV() float64 { return n.s.FullScaleV / n.RatioFrac() }

// LargestSourceOhm returns the largest source resistance in ohm with which the
// sampling capacitor settles to a quarter of the last digit in the sampling
// time: SampleS/(SampleFarad·ln 2^(Bits+2)) - SampleOhm, 0 if even a direct
// connection does not (ST, STM32F103x6 data sheet, equation 1).
func (n Node) LargestSourceOhm() float64 {
	if n.s.Bits == 0 {
		return math.NaN()
	}
	return max(0, n.s.SampleS/(n.s.SampleFarad*float64(n.s.Bits+2)*math.Ln2)-n.s.SampleOhm)
}

// SettlingFrac returns the share of the pin's voltage by which a sample reads
// low (or high after a higher channel), of a sampling capacitor that was empty and a
// pin at rest. Without a PinFarad the sampling capacitor charges through the
// divider: exp(-SampleS/((source + SampleOhm)·C)). With one, the charge is first
// shared, within some SampleOhm·C, until C/(C + PinFarad) is missing, and then the
// divider fills both: the capacitor needs a pause of about five times
// SourceOhm·PinFarad to recover, and a small one holds the sample up. Both
// exponentials of the two capacitors are taken.
func (n Node) SettlingFrac() float64 {
	s := &n.s
	if s.Bits == 0 {
		return math.NaN()
	}
	// What is missing at the sampling capacitor obeys
	//	R Rs Cp C y" + (R (Cp + C) + Rs C) y' + y = 0,  y = 1, y' = -1/(Rs C) at first,
	// with the time constants (u + v ± root)/2.
	r := n.SourceOhm()
	share := r * s.SampleFarad
	u, v := r*(s.PinFarad+s.SampleFarad), s.SampleOhm*s.SampleFarad
	root := math.Hypot(u-v, 2*math.Sqrt(v*share))
	slow := 0.5 * (u + v + root)
	fast := r * s.PinFarad * v / slow
	above := 0.5 * (root - (u - v))
	if u > v { // the same without a difference
		above = 2 * v * share / (root + (u - v))
	}
	left := min(1, (share+above)/root)
	return left*math.Exp(-s.SampleS/slow) + (1-left)*math.Exp(-s.SampleS/fast)
}

// LeakageErrorV returns the error in V, referred to the measured voltage, that
// the pin's leakage causes in the divider: LeakageA·UpperOhm.
func (n Node) LeakageErrorV() float64 {
	if n.s.Bits == 0 {
		return math.NaN()
	}
	return n.s.LeakageA * n.s.UpperOhm
}

// ToleranceFrac returns the largest relative error of the ratio, either way,
// with both resistors at the ends of their tolerance against each other.
func (n Node) ToleranceFrac() float64 {
	t := n.s.ResistorTolPct / 100
	ratio := func(up, low float64) float64 { return n.s.LowerOhm * low / (n.s.UpperOhm*up + n.s.LowerOhm*low) }
	r := n.RatioFrac()
	return max(ratio(1-t, 1+t)/r-1, 1-ratio(1+t, 1-t)/r)
}

// StepV returns what one count of the converter is worth in V of the measured
// voltage.
func (n Node) StepV() float64 {
	return n.s.FullScaleV / math.Ldexp(1, n.s.Bits) / n.RatioFrac()
}

// An Injection is what flows into a pin whose divider lifts it beyond its
// supply.
type Injection struct {
	OpenV   float64 // voltage the divider would give without the clamp, V
	ClampA  float64 // current through the pin's clamp, negative when it comes from ground, A
	Allowed bool    // at most LargestPinA
}

// Inject returns the current through the pin's clamp while the measured voltage
// is inputV and the pin's supply stands at supplyV: SupplyV in service, 0 when
// the board is off and the divider still hangs on the pack. The current then
// feeds the dead board through the pin. Above supplyV + ClampV it is
//
//	(inputV - pin)/UpperOhm - pin/LowerOhm,  pin = supplyV + ClampV
//
// and below -ClampV likewise. NaN for voltages outside ±200 V or a negative
// supply.
func (n Node) Inject(inputV, supplyV float64) Injection {
	if n.s.Bits == 0 || !ndIn.Holds(inputV) || !(supplyV >= 0 && supplyV <= 200) {
		return Injection{OpenV: math.NaN(), ClampA: math.NaN()}
	}
	j := Injection{OpenV: inputV * n.RatioFrac()}
	pin := j.OpenV
	switch {
	case pin > supplyV+n.s.ClampV:
		pin = supplyV + n.s.ClampV
	case pin < -n.s.ClampV:
		pin = -n.s.ClampV
	default:
		j.Allowed = true
		return j
	}
	j.ClampA = (inputV-pin)/n.s.UpperOhm - pin/n.s.LowerOhm
	j.Allowed = math.Abs(j.ClampA) <= n.s.LargestPinA
	return j
}
