package bench

import (
	"math"

	"github.com/stationphysics/stationphysics"
	"github.com/stationphysics/stationphysics/internal/limit"
	"github.com/stationphysics/stationphysics/power"
)

// A Part is what the sheet of a linear regulator promises. Numbers the sheet
// does not give are 0; what they would decide is then not decided.
type Part struct {
	Name   string
	Linear power.Linear // set voltage, tolerance, largest dropout and own current, limits
	// AccuracyLowV and AccuracyHighV are the input range in which the output
	// tolerance holds; both 0 if the sheet does not say.
	AccuracyLowV, AccuracyHighV float64
	QuiescentTypicalA           float64 // typical own current; Linear has the largest
	// The static parts of a line regulation measured slowly: the sheet's pulsed
	// limit in V, the drift with temperature in % of the output over the whole
	// range, the thermal regulation in % of the output per watt.
	LineRegulationV      float64
	LoadRegulationV      float64
	TempStabilityPct     float64
	ThermalRegulationPct float64 // per watt
	// JunctionCaseLowKPerW and ...HighKPerW bound the resistance from junction
	// to the place of the tab thermometer; both 0 if unknown.
	JunctionCaseLowKPerW, JunctionCaseHighKPerW float64
}

// Meters says how far the readings may be off: largest errors, in % of the
// reading plus a fixed part (the last digits).
type Meters struct {
	VoltPct, VoltFloorV       float64 // voltages: 0..20 % of the reading and 0..1 V
	CurrentPct, CurrentFloorA float64 // currents: 0..20 % of the reading and 0..1 A
	LoadPct                   float64 // tolerance of the load resistor, warm, 0..20 %
	TabK, RoomK               float64 // thermometers, 0..20 K: IEC 60584 allows a thermocouple of type K 1.5 K in class 1 and 2.5 K in class 2, one of type T 0.5 K in class 1
	// ContactErrorRatio is the largest share of the true rise that a
	// thermometer pressed or glued to the tab may miss, 0 to 0.9: it cools the
	// spot it touches and always reads low, the more the thicker its wires.
	ContactErrorRatio float64
}

// A Bench judges tables of one part with one set of meters. Its zero value
// decides nothing.
type Bench struct {
	p Part
	m Meters
	s power.LinearSpec
}

var (
	meterPct     = limit.Range{Unit: "%", Min: 0, Max: 20}
	meterFloorV  = limit.Range{Quantity: "voltmeter's fixed error", Unit: "V", Min: 0, Max: 1}
	meterFloorA  = limit.Range{Quantity: "ammeter's fixed error", Unit: "A", Min: 0, Max: 1}
	thermometerK = limit.Range{Unit: "K", Min: 0, Max: 20}
	contactRatio = limit.Range{Quantity: "contact error", Min: 0, Max: 0.9, Slips: []limit.Slip{{Min: 0.9, Max: 90, Looks: "per cent"}}}
	accuracyV    = limit.Range{Unit: "V", Min: 0, Max: 150}
	regulationV  = limit.Range{Unit: "V", Min: 0, Max: 5, Slips: []limit.Slip{{Min: 5, Max: 5000, Looks: "millivolts"}}}
	stabilityPct = limit.Range{Quantity: "temperature stability", Unit: "%", Min: 0, Max: 20}
	thermalPerW  = limit.Range{Quantity: "thermal regulation", Unit: "%/W", Min: 0, Max: 5}
	junctionCase = limit.Range{Unit: "K/W", Min: 0, Max: 500}
	typicalOwn   = limit.Range{Quantity: "typical own current", Unit: "A", Min: 0, Max: 0.1}
)

var inf = math.Inf(1)

// New checks part and meters. A number out of range is a
// *stationphysics.RangeError; bounds in the wrong order, or a typical own
// current above the largest, a *stationphysics.ConflictError.
func New(p Part, m Meters) (Bench, error) {
	s := p.Linear.Spec()
	if s.SetV == 0 {
		return Bench{}, &stationphysics.RangeError{Quantity: "set output voltage", Value: 0, Unit: "V", Min: 0.5, Max: 60}
	}
	if err := limit.First(
		meterPct.Named("voltmeter's error").Check(m.VoltPct), meterFloorV.Check(m.VoltFloorV),
		meterPct.Named("ammeter's error").Check(m.CurrentPct), meterFloorA.Check(m.CurrentFloorA),
		meterPct.Named("load tolerance").Check(m.LoadPct),
		thermometerK.Named("tab thermometer's error").Check(m.TabK),
		thermometerK.Named("room thermometer's error").Check(m.RoomK),
		contactRatio.Check(m.ContactErrorRatio),
		accuracyV.Named("lower end of the accuracy's input range").Check(p.AccuracyLowV),
		accuracyV.Named("upper end of the accuracy's input range").Check(p.AccuracyHighV),
		typicalOwn.Check(p.QuiescentTypicalA),
		regulationV.Named("line regulation").Check(p.LineRegulationV),
		regulationV.Named("load regulation").Check(p.LoadRegulationV),
		stabilityPct.Check(p.TempStabilityPct), thermalPerW.Check(p.ThermalRegulationPct),
		junctionCase.Named("junction-to-case resistance").Check(p.JunctionCaseLowKPerW),
		junctionCase.Named("junction-to-case resistance").Check(p.JunctionCaseHighKPerW),
	); err != nil {
		return Bench{}, err
	}
	for _, c := range []struct {
		lowName, highName, unit, rule string
		low, high                     float64
	}{
		{"lower end of the accuracy's input range", "upper end", "V", "the lower end comes first", p.AccuracyLowV, p.AccuracyHighV},
		{"least junction-to-case resistance", "largest", "K/W", "the least comes first", p.JunctionCaseLowKPerW, p.JunctionCaseHighKPerW},
		{"typical own current", "largest own current", "A", "a typical value does not exceed the largest", p.QuiescentTypicalA, s.QuiescentA},
	} {
		if c.low > c.high {
			return Bench{}, &stationphysics.ConflictError{Quantities: []string{c.lowName, c.highName},
				Values: []float64{c.low, c.high}, Units: []string{c.unit, c.unit}, Rule: c.rule}
		}
	}
	return Bench{p, m, s}, nil
}

// Largest errors are taken as rectangular, and expanded uncertainties with a
// factor of 2 (JCGM 100 4.3.7 and 6.3).
const coverage = 2

func standard(reading, pct, floor float64) float64 {
	return (math.Abs(reading)*pct/100 + floor) / math.Sqrt(3)
}

func (b *Bench) uVolt(v float64) float64 { return standard(v, b.m.VoltPct, b.m.VoltFloorV) }

// own returns the part's own current and its standard uncertainty, between what
// is typical and what the sheet allows.
func (b *Bench) own(loadA float64) (ownA, uA float64) {
	ownA, spread := b.p.QuiescentTypicalA, b.s.QuiescentA-b.p.QuiescentTypicalA
	if ownA == 0 {
		ownA, spread = b.s.QuiescentA/2, b.s.QuiescentA/2
	}
	half := b.s.GroundRatio * loadA / 2
	return ownA + half, (spread + half) / math.Sqrt(3)
}
