package chain

import "math"

// Wire is a plain resistance between two nodes: a lead, a shunt, one leg of a
// measuring divider. Zero is allowed as long as no loop of zeros results.
type Wire struct {
	Ohm float64 // resistance, 0..1e9 ohm
}

func (Wire) role() role         { return roleEither }
func (m Wire) check(e *checker) { e.is("", &rangeOhm, m.Ohm) }
func (m Wire) compile(b *build) { b.resistance(m.Ohm) }

// Fuse is a resistance that melts. The operating point treats it as whole; a
// fault survey says whether it would open, and what happens until it does.
type Fuse struct {
	RatedA  float64 // rated current, A
	ColdOhm float64 // cold resistance, ohm
	MeltA2S float64 // nominal melting I²t, A²s; 0 if not known
}

func (Fuse) role() role { return roleEither }

func (m Fuse) check(e *checker) {
	e.is("rated current", &rangeAmpP, m.RatedA)
	e.is("cold resistance", &rangeOhm, m.ColdOhm)
	e.is("", &rangeA2s, m.MeltA2S)
}

func (m Fuse) compile(b *build) { b.resistance(m.ColdOhm) }

// Link is a jumper, plug or switch that is either fitted or not.
type Link struct {
	Fitted bool
	Ohm    float64 // contact resistance when fitted, ohm
}

func (Link) role() role         { return roleEither }
func (m Link) check(e *checker) { e.is("contact resistance", &rangeOhm, m.Ohm) }

func (m Link) compile(b *build) {
	closed := element{kind: kindBranch, a: b.from, b: b.to, r: m.Ohm}
	open := element{kind: kindOpen, a: b.from, b: b.to}
	if m.Fitted {
		b.add(closed)
		b.fault(LinkMissing, open)
	} else {
		b.add(open)
		b.fault(LinkFitted, closed)
	}
}

// Diode conducts from From (anode) to To (cathode) by Shockley's law with a
// series resistance:
//
//	I = SaturationA (exp((V − I SeriesOhm) / (Ideality kT/q)) − 1)
//
// SaturationA is that at the junction's temperature: the change of leakage
// with temperature is the caller's.
type Diode struct {
	SaturationA float64 // A
	Ideality    float64 // ideality factor n, 0.5..10
	SeriesOhm   float64 // ohm
	JunctionC   float64 // junction temperature, °C
	ShortOhm    float64 // what a shorted one leaves, ohm
}

func (Diode) role() role { return roleEither }

func (m Diode) check(e *checker) {
	e.is("", &rangeSat, m.SaturationA)
	e.is("", &rangeIdeal, m.Ideality)
	e.is("series resistance", &rangeOhm, m.SeriesOhm)
	e.is("junction temperature", &rangeTemp, m.JunctionC)
	e.is("short resistance", &rangeOhm, m.ShortOhm)
}

func (m Diode) compile(b *build) {
	vt := m.Ideality * kOverQ * (m.JunctionC + zeroCelsius)
	b.add(element{kind: kindDiode, a: b.from, b: b.to, sat: m.SaturationA, vt: vt, r: m.SeriesOhm})
	b.fault(DiodeShort, element{kind: kindConductance, a: b.from, b: b.to, g: 1 / math.Max(m.ShortOhm, floorOhm)})
	b.fault(DiodeOpen, element{kind: kindOpen, a: b.from, b: b.to})
}

// IdealDiode is a transistor driven as a diode: OnOhm forwards with a
// regulated drop below it, nothing backwards.
type IdealDiode struct {
	OnOhm    float64 // ohm
	DropV    float64 // forward voltage the driver regulates at light load, V; 0 if it only switches
	ShortOhm float64 // what a shorted one leaves, ohm
}

func (IdealDiode) role() role { return roleEither }

func (m IdealDiode) check(e *checker) {
	e.is("on resistance", &rangeOhm, m.OnOhm)
	e.is("forward drop", &rangeVolt, m.DropV)
	e.is("short resistance", &rangeOhm, m.ShortOhm)
}

func (m IdealDiode) compile(b *build) {
	b.add(element{kind: kindOneWay, a: b.from, b: b.to, drop: m.DropV, r: m.OnOhm, lim: inf})
	b.fault(DiodeShort, element{kind: kindBranch, a: b.from, b: b.to, r: m.ShortOhm})
	b.fault(DiodeOpen, element{kind: kindOpen, a: b.from, b: b.to})
}

// Linear is a linear regulator. It holds SetV while the input allows, follows
// From − DropoutV − DropoutOhm·I below that, and gives no current backwards
// unless BackfeedV says so. Its own current rises with the input up to 1 V and
// is IdleA above.
type Linear struct {
	SetV       float64 // output voltage, V
	DropoutV   float64 // constant part of the dropout, V
	DropoutOhm float64 // resistive part of the dropout, ohm
	IdleA      float64 // ground-pin current, A
	LimitA     float64 // current limit, A; 0 means none
	OutputOhm  float64 // load regulation as a resistance, ohm
	BackfeedV  float64 // drop of the parasitic path from output to input, V; 0 means that it blocks
	ShortOhm   float64 // what a shorted pass element leaves, ohm
	Trimmer    bool    // the output is set by a trimmer, whose wiper can open
	WiperOpenV float64 // output with the wiper open, V; 0 if not known
}

func (Linear) role() role { return roleSeries }

func (m Linear) check(e *checker) {
	e.is("set voltage", &rangeVoltP, m.SetV)
	e.is("dropout", &rangeVolt, m.DropoutV)
	e.is("dropout resistance", &rangeOhm, m.DropoutOhm)
	e.is("idle current", &rangeAmp, m.IdleA)
	e.is("current limit", &rangeAmp, m.LimitA)
	e.is("output resistance", &rangeOhm, m.OutputOhm)
	e.is("backfeed drop", &rangeVolt, m.BackfeedV)
	e.is("short resistance", &rangeOhm, m.ShortOhm)
	e.is("wiper-open voltage", &rangeVolt, m.WiperOpenV)
}

func (m Linear) compile(b *build) {
	v := element{kind: kindValve, a: b.from, b: b.to, set: m.SetV, out: m.OutputOhm, drop: m.DropoutV, r: m.DropoutOhm,
		lim: orInf(m.LimitA), hold: -inf, idle: m.IdleA, back: orInf(m.BackfeedV)}
	b.add(v)
	b.fault(PassShort, element{kind: kindBranch, a: b.from, b: b.to, r: m.ShortOhm})
	b.wiper(v, m.Trimmer, m.WiperOpenV)
}

// StepDown is a switching step-down converter: SetV at the output, at the input
// the current that carries the power divided by the efficiency, IdleA besides.
// Out of headroom it passes its input through, less HeadroomV + PassOhm·I; its
// input current is then at most the output current. Below MinInputV it gives
// just as little as keeps the input there, which is the mean of its switching
// on and off.
type StepDown struct {
	SetV         float64                     // output voltage, V
	Efficiency   float64                     // efficiency at the load of interest
	EfficiencyAt func(loadA float64) float64 // efficiency by output current; takes the place of Efficiency if set
	HeadroomV    float64                     // smallest input less output, V
	PassOhm      float64                     // switch and inductor at full duty, ohm
	IdleA        float64                     // input current without load, A
	LimitA       float64                     // output current limit, A; 0 means none
	MinInputV    float64                     // under-voltage lockout, V; 0 means none
	BackfeedV    float64                     // drop of the switch's body diode from output to input, V; 0 means that it blocks
	ShortOhm     float64                     // switch short and inductor, ohm
	Trimmer      bool                        // the output is set by a trimmer, whose wiper can open
	WiperOpenV   float64                     // output with the wiper open, V; 0 if not known
}

func (StepDown) role() role { return roleSeries }

func (m StepDown) check(e *checker) {
	e.is("set voltage", &rangeVoltP, m.SetV)
	if m.EfficiencyAt == nil {
		e.is("", &rangeEff, m.Efficiency)
	} else {
		e.curve(m.EfficiencyAt)
	}
	e.is("headroom", &rangeVolt, m.HeadroomV)
	e.is("pass resistance", &rangeOhm, m.PassOhm)
	e.is("idle current", &rangeAmp, m.IdleA)
	e.is("current limit", &rangeAmp, m.LimitA)
	e.is("lockout voltage", &rangeVolt, m.MinInputV)
	e.is("backfeed drop", &rangeVolt, m.BackfeedV)
	e.is("short resistance", &rangeOhm, m.ShortOhm)
	e.is("wiper-open voltage", &rangeVolt, m.WiperOpenV)
}

func (m StepDown) compile(b *build) {
	v := element{kind: kindValve, a: b.from, b: b.to, set: m.SetV, drop: m.HeadroomV, r: m.PassOhm, lim: orInf(m.LimitA),
		hold: negInfIfZero(m.MinInputV), idle: m.IdleA, back: orInf(m.BackfeedV), conv: convDown, eff: m.Efficiency, effAt: m.EfficiencyAt}
	b.add(v)
	b.fault(SwitchShort, element{kind: kindBranch, a: b.from, b: b.to, r: m.ShortOhm})
	b.wiper(v, m.Trimmer, m.WiperOpenV)
}

// StepUp is a switching step-up converter. Above MinInputV it holds SetV up to
// the input current LimitInA; whatever it does, its diode passes the input
// through, less DiodeV + PassOhm·I, and then as much current enters as leaves.
type StepUp struct {
	SetV         float64                     // output voltage, V
	Efficiency   float64                     // efficiency at the load of interest
	EfficiencyAt func(loadA float64) float64 // efficiency by output current; takes the place of Efficiency if set
	DiodeV       float64                     // drop of the pass-through path, V
	PassOhm      float64                     // resistance of the pass-through path, ohm
	IdleA        float64                     // input current without load, A
	LimitInA     float64                     // input (inductor) current limit, A
	MinInputV    float64                     // lowest input at which it switches, V
	ShortOhm     float64                     // switch short and inductor, from input to return, ohm
	Trimmer      bool                        // the output is set by a trimmer, whose wiper can open
	WiperOpenV   float64                     // output with the wiper open, V; 0 if not known
}

func (StepUp) role() role { return roleSeries }

func (m StepUp) check(e *checker) {
	e.is("set voltage", &rangeVoltP, m.SetV)
	if m.EfficiencyAt == nil {
		e.is("", &rangeEff, m.Efficiency)
	} else {
		e.curve(m.EfficiencyAt)
	}
	e.is("diode drop", &rangeVolt, m.DiodeV)
	e.is("pass resistance", &rangeOhm, m.PassOhm)
	e.is("idle current", &rangeAmp, m.IdleA)
	e.is("input current limit", &rangeAmpP, m.LimitInA)
	e.is("lowest input voltage", &rangeVoltP, m.MinInputV)
	e.is("short resistance", &rangeOhm, m.ShortOhm)
	e.is("wiper-open voltage", &rangeVolt, m.WiperOpenV)
}

func (m StepUp) compile(b *build) {
	v := element{kind: kindValve, a: b.from, b: b.to, set: m.SetV, drop: m.DiodeV, r: m.PassOhm, lim: m.LimitInA,
		hold: m.MinInputV, idle: m.IdleA, back: inf, conv: convUp, eff: m.Efficiency, effAt: m.EfficiencyAt}
	b.add(v)
	b.top(m.SetV)
	// The switch stands between the inductor and the return: its short takes
	// the output away and loads the input.
	b.fault(SwitchShort, element{kind: kindSink, a: b.from, b: b.to, r: math.Max(m.ShortOhm, floorOhm)})
	if m.Trimmer && m.WiperOpenV == 0 {
		b.unknownFault(WiperOpen, "the output voltage with the wiper open")
	} else {
		b.wiper(v, m.Trimmer, m.WiperOpenV)
	}
	b.top(m.WiperOpenV)
}

// Charger is a constant-current, constant-voltage charger with an input hold:
// it gives LimitA until the output reaches SetV, and less as soon as the input
// would fall below HoldV.
type Charger struct {
	SetV       float64 // end-of-charge voltage, V
	LimitA     float64 // charge current, A
	HoldV      float64 // input voltage it holds a weak source at, V; 0 means none
	Efficiency float64 // of a switching charger; 0 for a linear one, whose input current equals its output current
	HeadroomV  float64 // smallest input less output, V
	PassOhm    float64 // switch, inductor and shunt, ohm
	IdleA      float64 // its own current, A
	BackfeedV  float64 // drop of the path from the pack to the input, V; 0 means that it blocks
	ShortOhm   float64 // switch or pass element shorted, ohm
	Trimmer    bool    // the output is set by a trimmer, whose wiper can open
	WiperOpenV float64 // output with the wiper open, V; 0 if not known
	NoPackV    float64 // output voltage without a pack, V; 0 if not known
}

func (Charger) role() role { return roleSeries }

func (m Charger) check(e *checker) {
	e.is("set voltage", &rangeVoltP, m.SetV)
	e.is("charge current", &rangeAmpP, m.LimitA)
	e.is("hold voltage", &rangeVolt, m.HoldV)
	e.is("", &rangeEffOpt, m.Efficiency)
	e.is("headroom", &rangeVolt, m.HeadroomV)
	e.is("pass resistance", &rangeOhm, m.PassOhm)
	e.is("idle current", &rangeAmp, m.IdleA)
	e.is("backfeed drop", &rangeVolt, m.BackfeedV)
	e.is("short resistance", &rangeOhm, m.ShortOhm)
	e.is("wiper-open voltage", &rangeVolt, m.WiperOpenV)
	e.is("voltage without a pack", &rangeVolt, m.NoPackV)
}

func (m Charger) compile(b *build) {
	v := element{kind: kindValve, a: b.from, b: b.to, set: m.SetV, drop: m.HeadroomV, r: m.PassOhm, lim: m.LimitA,
		hold: negInfIfZero(m.HoldV), idle: m.IdleA, back: orInf(m.BackfeedV)}
	if m.Efficiency > 0 {
		v.conv, v.eff = convDown, m.Efficiency
	}
	b.add(v)
	b.fault(SwitchShort, element{kind: kindBranch, a: b.from, b: b.to, r: m.ShortOhm})
	b.wiper(v, m.Trimmer, m.WiperOpenV)
	without := v
	without.set = m.NoPackV
	if m.NoPackV == 0 {
		without.set = unboundedV
	}
	b.circuit.chargers = append(b.circuit.chargers, noPack{part: b.part, without: without, known: m.NoPackV > 0})
}

func negInfIfZero(v float64) float64 {
	if v == 0 {
		return -inf
	}
	return v
}
