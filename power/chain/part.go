package chain

import (
	"math"

	"github.com/stationphysics/stationphysics/internal/limit"
)

// A Part is one thing in the circuit between two named nodes. Supply runs from
// From to To: a source has only To, a load only From, a series part both. An
// empty node name is the common return, to which every voltage refers; wire,
// fuse, link, diode and clamp may end there.
type Part struct {
	Name     string // unique, as the builder calls it: "panel lead", "U2"
	From, To string // node names; a node exists by being named
	Model    Model  // what it is: Panel, Wire, Linear, …
}

// A Model is one of the models of this package: Panel, Source, Battery and
// Adapter are sources; Wire, Fuse, Link, Diode, IdealDiode, Linear, StepDown,
// StepUp and Charger are series parts; Resistor, CurrentLoad and PowerLoad are
// loads; a Clamp is fitted like a load.
type Model interface {
	role() role
	check(e *checker)
	compile(b *build)
}

type role uint8

const (
	roleSource role = iota
	roleSeries      // From and To both needed
	roleEither      // To may be the return
	roleLoad
)

// Ranges that inputs are held to. They are wide: they catch slips of unit, not
// unusual parts.
var (
	rangeVolt   = limit.Range{Quantity: "voltage", Unit: "V", Min: 0, Max: 1000, Slips: []limit.Slip{{Min: 1001, Max: 1e6, Looks: "millivolts"}}}
	rangeVoltP  = limit.Range{Quantity: "voltage", Unit: "V", Min: 1e-3, Max: 1000, Slips: []limit.Slip{{Min: 1001, Max: 1e6, Looks: "millivolts"}}}
	rangeAmp    = limit.Range{Quantity: "current", Unit: "A", Min: 0, Max: 1000, Slips: []limit.Slip{{Min: 1001, Max: 1e6, Looks: "milliamperes"}}}
	rangeAmpP   = limit.Range{Quantity: "current", Unit: "A", Min: 1e-9, Max: 1000, Slips: []limit.Slip{{Min: 1001, Max: 1e6, Looks: "milliamperes"}}}
	rangeOhm    = limit.Range{Quantity: "resistance", Unit: "ohm", Min: 0, Max: 1e9}
	rangeOhmP   = limit.Range{Quantity: "resistance", Unit: "ohm", Min: 1e-3, Max: 1e9}
	rangeWatt   = limit.Range{Quantity: "power", Unit: "W", Min: 0, Max: 1e5}
	rangeJoule  = limit.Range{Quantity: "energy", Unit: "J", Min: 0, Max: 1e6}
	rangeA2s    = limit.Range{Quantity: "melting integral", Unit: "A²s", Min: 0, Max: 1e8}
	rangeSat    = limit.Range{Quantity: "saturation current", Unit: "A", Min: 1e-25, Max: 1e-1}
	rangeTherm  = limit.Range{Quantity: "modified thermal voltage", Unit: "V", Min: 1e-3, Max: 100}
	rangeIdeal  = limit.Range{Quantity: "ideality", Unit: "", Min: 0.5, Max: 10}
	rangeTemp   = limit.Range{Quantity: "temperature", Unit: "°C", Min: -100, Max: 200, Slips: []limit.Slip{{Min: 201, Max: 480, Looks: "kelvins"}}}
	rangeEff    = limit.Range{Quantity: "efficiency", Unit: "", Min: 0.01, Max: 1, Slips: []limit.Slip{{Min: 1.5, Max: 100, Looks: "percent"}}}
	rangeEffOpt = limit.Range{Quantity: "efficiency", Unit: "", Min: 0, Max: 1, Slips: []limit.Slip{{Min: 1.5, Max: 100, Looks: "percent"}}}
)

// Boltzmann's constant over the elementary charge, V/K: exact in the SI since
// 2019, 1.380649e-23 / 1.602176634e-19 (SI Brochure, 9th edition).
const kOverQ = 1.380649e-23 / 1.602176634e-19

const zeroCelsius = 273.15 // K, by definition

// Panel is a photovoltaic source by its single-diode curve
//
//	I = PhotoA − SaturationA (exp(Vj/ThermalV) − 1) − Vj/ShuntOhm,  Vj = V + I SeriesOhm
//
// with the five parameters already translated to the sun and temperature of
// the moment. Above its open-circuit voltage it takes current: a dark panel
// without a blocking diode drains a pack.
type Panel struct {
	PhotoA      float64 // photocurrent, A; 0 in the dark
	SaturationA float64 // diode saturation current, A
	ThermalV    float64 // n·Ns·kT/q of the whole string, V
	SeriesOhm   float64 // series resistance, ohm
	ShuntOhm    float64 // shunt resistance, ohm; 0 means none (infinite)
}

func (Panel) role() role { return roleSource }

func (m Panel) check(e *checker) {
	e.is("photocurrent", &rangeAmp, m.PhotoA)
	e.is("", &rangeSat, m.SaturationA)
	e.is("", &rangeTherm, m.ThermalV)
	e.is("series resistance", &rangeOhm, m.SeriesOhm)
	e.is("shunt resistance", &rangeOhm, m.ShuntOhm)
}

func (m Panel) compile(b *build) {
	k := b.internalNode()
	// The branch that carries the terminal current comes first: it speaks for
	// the whole part.
	b.add(element{kind: kindBranch, a: k, b: b.to, r: m.SeriesOhm})
	b.add(element{kind: kindCurrent, a: returnNode, b: k, e: m.PhotoA})
	b.add(element{kind: kindDiode, a: k, b: returnNode, sat: m.SaturationA, vt: m.ThermalV})
	b.add(element{kind: kindConductance, a: k, b: returnNode, g: m.shuntS()})
	// Open-circuit voltage without the shunt: an upper bound.
	b.top(m.ThermalV * math.Log1p(m.PhotoA/m.SaturationA))
}

func (m Panel) shuntS() float64 {
	if m.ShuntOhm == 0 {
		return 0
	}
	return 1 / m.ShuntOhm
}

// A Curve gives the current a source delivers at a terminal voltage. The
// current must not rise with the voltage.
type Curve interface {
	// CurrentA is what the source delivers at that voltage, A; negative if it takes.
	CurrentA(terminalV float64) float64
}

// Source is any source known by its curve.
type Source struct {
	Curve Curve
	OpenV float64 // open-circuit voltage, V
}

func (Source) role() role { return roleSource }

func (m Source) check(e *checker) {
	e.is("open-circuit voltage", &rangeVolt, m.OpenV)
	if m.Curve == nil {
		e.say("has no curve")
		return
	}
	const steps = 16
	last := inf
	for k := 0; k <= steps; k++ {
		v := m.OpenV * float64(k) / steps
		i := m.Curve.CurrentA(v)
		if !(math.Abs(i) < inf) || i > last+1e-9 { // 1 nA for rounding
			e.say("has a curve that is not finite and falling")
			return
		}
		last = i
	}
}

func (m Source) compile(b *build) {
	b.add(element{kind: kindCurve, a: returnNode, b: b.to, curve: m.Curve, e: m.OpenV})
	b.top(m.OpenV)
}

// Battery is a pack as an electromotive force behind a resistance. It takes
// charge as readily as it gives.
type Battery struct {
	OpenV     float64 // open-circuit voltage at its state of charge, V
	SeriesOhm float64 // resistance of cells, protection and contacts, ohm
}

func (Battery) role() role { return roleSource }

func (m Battery) check(e *checker) {
	e.is("open-circuit voltage", &rangeVolt, m.OpenV)
	e.is("series resistance", &rangeOhm, m.SeriesOhm)
}

func (m Battery) compile(b *build) {
	b.add(element{kind: kindBranch, a: returnNode, b: b.to, e: m.OpenV, r: m.SeriesOhm})
	b.top(m.OpenV)
	b.fault(PackDisconnected, element{kind: kindOpen, a: returnNode, b: b.to})
}

// Adapter is a mains adapter. Healthy, it holds RatedV and gives no current
// backwards. Its single fault is to be, or to be swapped for, an unregulated
// one: NoLoadV falling to RatedV at RatedA.
type Adapter struct {
	RatedV    float64 // voltage on the label, V
	NoLoadV   float64 // open-circuit voltage of the unregulated kind, V, measured; 0 if not known
	RatedA    float64 // current on the label, A; 0 if not known (then NoLoadV is taken as stiff)
	SeriesOhm float64 // lead and plug, ohm
	LimitA    float64 // current limit, A; 0 means none
}

func (Adapter) role() role { return roleSource }

func (m Adapter) check(e *checker) {
	e.is("rated voltage", &rangeVoltP, m.RatedV)
	e.is("no-load voltage", &rangeVolt, m.NoLoadV)
	e.is("rated current", &rangeAmp, m.RatedA)
	e.is("series resistance", &rangeOhm, m.SeriesOhm)
	e.is("current limit", &rangeAmp, m.LimitA)
	if m.NoLoadV > 0 && m.NoLoadV < m.RatedV {
		e.conflict("rated voltage", m.RatedV, "no-load voltage", m.NoLoadV, "V", "an adapter's voltage does not rise under load")
	}
}

func (m Adapter) compile(b *build) {
	b.add(element{kind: kindOneWay, a: returnNode, b: b.to, drop: -m.RatedV, e: m.RatedV, r: m.SeriesOhm, lim: orInf(m.LimitA)})
	b.top(m.RatedV)
	if m.NoLoadV > 0 {
		r := m.SeriesOhm
		if m.RatedA > 0 {
			r += (m.NoLoadV - m.RatedV) / m.RatedA
		}
		b.fault(Unregulated, element{kind: kindOneWay, a: returnNode, b: b.to, drop: -m.NoLoadV, e: m.NoLoadV, r: r, lim: inf})
		b.top(m.NoLoadV)
	} else {
		b.unknownFault(Unregulated, "the adapter's no-load voltage")
	}
}

// Resistor is a load that follows Ohm's law. Between two nodes use Wire.
type Resistor struct {
	Ohm float64 // resistance, 0.001..1e9 ohm
}

func (Resistor) role() role         { return roleLoad }
func (m Resistor) check(e *checker) { e.is("", &rangeOhmP, m.Ohm) }
func (m Resistor) compile(b *build) { b.resistance(m.Ohm) }

// CurrentLoad takes the same current at any voltage above KneeV and
// proportionally less below.
type CurrentLoad struct {
	LoadA float64 // A
	KneeV float64 // V; 0 means 0.5 V
}

func (CurrentLoad) role() role { return roleLoad }

func (m CurrentLoad) check(e *checker) {
	e.is("", &rangeAmp, m.LoadA)
	e.is("knee voltage", &rangeVolt, m.KneeV)
}

func (m CurrentLoad) compile(b *build) {
	b.add(element{kind: kindLoadCurrent, a: b.from, b: returnNode, e: m.LoadA, set: m.kneeV()})
}

func (m CurrentLoad) kneeV() float64 {
	if m.KneeV == 0 {
		return 0.5
	}
	return m.KneeV
}

// PowerLoad takes the same power at any voltage above BrownOutV, as what sits
// behind a converter does. Below it the load is down and is taken as the
// resistance that draws LoadW at BrownOutV, so that the current is continuous.
type PowerLoad struct {
	LoadW     float64 // W
	BrownOutV float64 // V
}

func (PowerLoad) role() role { return roleLoad }

func (m PowerLoad) check(e *checker) {
	e.is("", &rangeWatt, m.LoadW)
	e.is("brown-out voltage", &rangeVoltP, m.BrownOutV)
}

func (m PowerLoad) compile(b *build) {
	b.add(element{kind: kindLoadPower, a: b.from, b: returnNode, e: m.LoadW, set: m.BrownOutV})
}

// Clamp is a breakdown diode or suppressor from its node to the return: no
// current below BreakdownV, then a straight line.
type Clamp struct {
	BreakdownV float64 // V
	SlopeOhm   float64 // dynamic resistance above breakdown, ohm
	MaxW       float64 // continuous power it bears, W; 0 if not known
	MaxJ       float64 // single-pulse energy it bears, J; 0 if not known
}

func (Clamp) role() role { return roleLoad }

func (m Clamp) check(e *checker) {
	e.is("breakdown voltage", &rangeVoltP, m.BreakdownV)
	e.is("slope resistance", &rangeOhm, m.SlopeOhm)
	e.is("", &rangeWatt, m.MaxW)
	e.is("", &rangeJoule, m.MaxJ)
}

func (m Clamp) compile(b *build) {
	// A clamp is a one-way branch against its breakdown voltage.
	b.add(element{kind: kindOneWay, a: b.from, b: returnNode, drop: m.BreakdownV, r: m.SlopeOhm, lim: inf})
}

func orInf(v float64) float64 {
	if v == 0 {
		return inf
	}
	return v
}
