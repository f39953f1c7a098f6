package chain

import "math"

// A Regime says what a regulator, converter, charger or one-way part is doing.
type Regime uint8

// The regimes. A part that has none is Passive.
const (
	Passive      Regime = iota
	Off                 // no current
	Regulating          // output at its set voltage
	Dropout             // out of headroom, or simply conducting
	CurrentLimit        // at its current limit
	InputHold           // giving just as much as keeps its input up
	Backfeeding         // current from output to input
	PassThrough         // step-up part that does not step up
)

var regimeText = [...]string{"passive", "off", "regulating", "dropout", "current limit", "input hold", "backfeeding", "pass-through"}

// String gives the regime in words.
func (r Regime) String() string {
	if int(r) >= len(regimeText) {
		return "unknown regime"
	}
	return regimeText[r]
}

var regimeOf = [...]Regime{pieceOff: Off, pieceSet: Regulating, pieceDrop: Dropout, pieceLimit: CurrentLimit,
	pieceHold: InputHold, pieceBack: Backfeeding, piecePass: PassThrough}

type partState struct {
	in, out, power float64
	regime         Regime
}

// A Point is an operating point: the voltage of every node and the currents
// and power of every part. It belongs to the workspace that found it.
type Point struct {
	c     *Circuit
	volts []float64
	parts []partState
}

// VoltageV is the voltage of a node against the common return; NaN if the
// circuit has no such node.
func (p *Point) VoltageV(node string) float64 {
	if node == "" {
		return 0
	}
	if k, ok := p.c.index[node]; ok {
		return p.volts[k]
	}
	return math.NaN()
}

// CurrentA is the current out of a part at To, or into a load at From; NaN if
// the circuit has no such part. Backwards it is negative.
func (p *Point) CurrentA(part string) float64 {
	if k, ok := p.c.partOf[part]; ok {
		return p.parts[k].out
	}
	return math.NaN()
}

// InputA is the current into a part at From, its own consumption included; 0
// for a source, NaN if the circuit has no such part.
func (p *Point) InputA(part string) float64 {
	if k, ok := p.c.partOf[part]; ok {
		return p.parts[k].in
	}
	return math.NaN()
}

// PowerW is the power a part takes from the circuit: what a load uses, what a
// series part turns into heat, and negative what a source gives at its
// terminals. Over all parts it sums to zero. It is NaN if the circuit has no
// such part.
func (p *Point) PowerW(part string) float64 {
	if k, ok := p.c.partOf[part]; ok {
		return p.parts[k].power
	}
	return math.NaN()
}

// Regime says what a part is doing; Passive for parts that have no regime and
// for names the circuit does not have.
func (p *Point) Regime(part string) Regime {
	if k, ok := p.c.partOf[part]; ok {
		return p.parts[k].regime
	}
	return Passive
}

// take reads the workspace's solution.
func (p *Point) take(w *Workspace) {
	copy(p.volts, w.x[:len(p.volts)])
	for i := range p.parts {
		k := w.c.first[i]
		e, s := &w.act[k], &w.st[k]
		va, vb := w.volt(e.a), w.volt(e.b)
		t := partState{}
		switch e.kind {
		case kindConductance:
			t.out = e.g * (va - vb)
			t.in = t.out
		case kindBranch:
			t.out = w.x[e.x]
			t.in = t.out
		case kindOneWay:
			t.out = w.x[e.x]
			t.in = t.out
			t.regime = regimeOf[s.piece]
		case kindDiode:
			t.out = s.i + s.g*(va-vb-s.u)
			t.in = t.out
		case kindCurve:
			t.out = s.i
		case kindLoadCurrent, kindLoadPower:
			t.out = s.i
			t.in = t.out
		case kindSink:
			t.in = va / e.r
		case kindValve:
			t.out = w.x[e.x]
			t.in = s.m*t.out + e.idle*math.Min(1, va/idleKneeV)
			t.regime = regimeOf[s.piece]
		}
		from, to := w.c.from[i], w.c.to[i]
		t.power = w.volt(from)*t.in - w.volt(to)*t.out
		if w.c.parts[i].Model.role() == roleSource {
			t.in = 0
		}
		p.parts[i] = t
	}
}
