package chain

import (
	"fmt"
	"math"
	"strconv"
)

// A Workspace solves one circuit again and again without allocating. It is
// for one goroutine at a time.
type Workspace struct {
	c      *Circuit
	base   []element // the elements without a fault
	act    []element // the elements as they are now, faults and all
	topV   float64   // no voltage is expected above
	damp   float64   // share of each step taken
	lag    bool      // constant power is taken as the current of the step before
	leaky  bool      // cut-off nodes are drained
	blendV float64   // width over which the pieces of a law are blended, V
	st     []state
	stGood []state
	n      int
	a      []float64 // matrix, row by row
	used   []uint64  // the columns each row occupies, a bit each
	words  int       // of used, per row
	row    []int
	rhs    []float64
	x      []float64 // node voltages, then branch currents
	anchor []float64
	good   []float64
	was    []float64 // x of the step before
	extra  int       // element of the spare clamp
	point  Point
	over   overlay
	way    int // path that led there, 0 for none
	steps  int // linear solutions of the last operating point
}

// NewWorkspace returns a workspace for the circuit.
func (c *Circuit) NewWorkspace() *Workspace {
	n := c.unknowns + 1 // the spare clamp's current
	w := &Workspace{c: c, n: n, extra: len(c.elems)}
	w.base = append([]element(nil), c.elems...)
	w.act = make([]element, len(c.elems)+1)
	w.topV = c.topV
	w.st = make([]state, len(w.act))
	w.stGood = make([]state, len(w.act))
	w.a = make([]float64, n*n)
	w.words = (n + 63) / 64
	w.used = make([]uint64, n*w.words)
	w.row = make([]int, n)
	w.rhs = make([]float64, n)
	w.x = make([]float64, n)
	w.anchor = make([]float64, n)
	w.was = make([]float64, n)
	w.good = make([]float64, n)
	w.over.elems = make([]int, 0, 8)
	w.over.to = make([]element, 0, 8)
	w.point = Point{c: c, volts: make([]float64, c.nNamed), parts: make([]partState, len(c.parts))}
	w.reset()
	return w
}

// reset takes every fault and barrier out again.
func (w *Workspace) reset() {
	copy(w.act, w.base)
	w.act[w.extra] = element{kind: kindOpen, a: returnNode, b: returnNode, x: w.n - 1}
}

// Solve finds the operating point without a fault. The point is overwritten by
// the next call. It fails as SolveFault does.
func (w *Workspace) Solve() (*Point, error) { return w.SolveFault(Fault{}) }

// SolveFault finds the operating point with one fault of Circuit.Faults. A
// fault that the circuit does not have, one whose data are missing, and one
// that closes a loop without resistance (*TopologyError) are errors, as is a
// current beyond 1e13 A. The point is overwritten by the next call.
func (w *Workspace) SolveFault(f Fault) (*Point, error) {
	w.reset()
	if f.Mode != NoFault {
		fc := w.c.findFault(f)
		if fc == nil {
			if _, ok := w.c.partOf[f.Part]; !ok {
				return nil, w.c.unknownPart(f.Part)
			}
			return nil, fmt.Errorf("part %q has no fault %q", f.Part, f.Mode)
		}
		if fc.unbounded {
			return nil, fmt.Errorf("part %q: %s is not known", f.Part, fc.unknown)
		}
		if err := w.enter(fc); err != nil {
			return nil, err
		}
	}
	if err := w.settle(); err != nil {
		return nil, err
	}
	w.point.take(w)
	return &w.point, nil
}

// enter puts a fault into the workspace.
func (w *Workspace) enter(fc *faultCase) error {
	w.over.clear()
	w.over.apply(w.c, fc)
	for n, k := range w.over.elems {
		w.act[k] = w.over.to[n]
	}
	if fc.to.kind == kindBranch && fc.to.r < 1e-9 {
		return w.c.checkLoop(&w.over)
	}
	return nil
}

// Solve is Workspace.Solve with a workspace of its own. It fails as that does.
func (c *Circuit) Solve() (*Point, error) { return c.NewWorkspace().Solve() }

// A path says how sharpen goes about it.
type path struct {
	blendV float64 // width of the blend to start with, V
	tieS   float64 // conductance from each node to its anchor, S per volt of blend
	high   bool    // anchored at the guessed voltages, not at zero
	ratio  float64 // first narrowing of the blend
	damp   float64 // share of each Newton step taken
	lag    bool    // constant power is taken as the current of the step before
}

// The paths are tried in turn. The first is for speed; what it misses are
// circuits with two operating points, or none but at a corner of several laws.
var paths = [...]path{
	{2, 5e-3, false, 0.2, 1, false},
	{2, 5e-3, true, 0.2, 1, true},
	{2, 5e-3, false, 0.2, 0.5, false},
	{2, 5e-3, true, 0.2, 1, false},
	{2, 5e-3, true, 0.5, 0.3, false},
	{2, 1, true, 0.5, 0.3, true},
	{2, 1, true, 0.5, 0.3, false},
	{10, 5e-2, false, 0.5, 0.3, false},
	{10, 5e-2, true, 0.5, 0.3, true},
	{0.5, 5e-4, false, 0.5, 0.2, false},
	{0.5, 5e-2, true, 0.5, 0.2, true},
	{20, 1, false, 0.7, 0.15, false},
	{1, 0.2, true, 0.7, 0.15, true},
	{1, 0.2, false, 0.7, 0.15, false},
	{5, 1e-2, true, 0.85, 0.1, false},
	{5, 1e-2, false, 0.85, 0.1, true},
	{40, 2, true, 0.8, 0.1, false},
	{0.2, 1e-3, true, 0.8, 0.1, true},
	{4, 1e-3, true, 0.9, 0.05, false},
	{4, 1e-1, true, 0.9, 0.05, true},
}

// After one round of all paths from the guessed voltages, further rounds start
// from voltages strewn below them.
const rounds = 40

// settle finds the operating point of the elements as they are: by Newton's
// method, and if that goes astray among the pieces, along one of the paths.
func (w *Workspace) settle() error {
	w.steps, w.way = 0, 0
	w.blendV, w.damp, w.lag = 0, 1, false
	w.leaky = false
	clear(w.was)
	w.guess()
	if w.newton(0, 20) {
		w.drain()
		return w.endless()
	}
	for k := range rounds * len(paths) {
		w.way = k + 1
		if w.sharpen(&paths[k%len(paths)], k/len(paths)) {
			w.drain()
			return w.endless()
		}
	}
	return fmt.Errorf("no operating point found near node %s", strconv.Quote(w.worstNode()))
}

// mostA is more than the highest voltage drives through shareOhm. Only the exponential
// of a diode or panel without series resistance exceeds it, at a source that does not
// yield; the currents of all other parts are lost in its rounding.
const mostA = 1e13

// endless reports an operating point whose currents no number holds beside each other.
func (w *Workspace) endless() error {
	for k := range w.act {
		e, s := &w.act[k], &w.st[k]
		i := s.i
		if e.x >= 0 {
			i = w.x[e.x]
		}
		if math.Abs(i) > mostA {
			return fmt.Errorf("no operating point found near node %s: nothing limits a current of more than 1e13 A", strconv.Quote(w.c.nodes[max(e.a, e.b, 0)]))
		}
	}
	return nil
}

// drain lets cut-off nodes go to zero, and then solves once more without the
// leak that took them there. Should that fail, they stay.
func (w *Workspace) drain() {
	copy(w.good, w.x)
	copy(w.stGood, w.st)
	w.leaky = true
	// A clamp that the search left conducting would carry the leak, less than is seen,
	// and keep its node up: its law is chosen anew once before the end is looked for.
	w.newton(0, 1)
	ok := w.newton(0, 10)
	w.leaky = false
	if ok {
		copy(w.was, w.x)
		ok = w.newton(0, 4)
	}
	if !ok {
		copy(w.x, w.good)
		copy(w.st, w.stGood)
	}
}

func (w *Workspace) volt(k int) float64 {
	if k == returnNode {
		return 0
	}
	return w.x[k]
}

// guess starts from the highest voltages that the sources could give, so that
// a circuit with several operating points is found running.
func (w *Workspace) guess() {
	for k := range w.x {
		w.x[k] = 0
	}
	raise := func(k int, v float64) bool {
		if k != returnNode && v > w.x[k]+1e-9 {
			w.x[k] = v
			return true
		}
		return false
	}
	for again := true; again; {
		again = false
		for k := range w.act {
			e := &w.act[k]
			var up bool
			switch e.kind {
			case kindConductance:
				if e.a != returnNode && e.b != returnNode {
					up = raise(e.b, w.x[e.a])
					up = raise(e.a, w.x[e.b]) || up
				}
			case kindBranch:
				up = raise(e.b, w.volt(e.a)+e.e)
				if e.b != returnNode {
					up = raise(e.a, w.x[e.b]-e.e) || up
				}
			case kindOneWay, kindDiode:
				if e.b != returnNode {
					up = raise(e.b, w.volt(e.a)+e.e)
				}
			case kindCurve:
				up = raise(e.b, e.e)
			case kindCurrent:
				up = raise(e.b, w.openV(e))
			case kindValve:
				v := e.set
				if e.conv == convUp && w.volt(e.a) < e.hold {
					v = w.volt(e.a)
				}
				if e.conv != convUp {
					v = math.Min(v, w.volt(e.a))
				}
				up = raise(e.b, v)
				if e.back != inf {
					up = raise(e.a, w.volt(e.b)-e.back) || up
				}
			}
			again = again || up
		}
	}
	w.restart()
}

// openV is the open-circuit voltage of the panel whose photocurrent e is.
func (w *Workspace) openV(e *element) float64 {
	for k := range w.act {
		d := &w.act[k]
		if d.kind == kindDiode && d.a == e.b && d.b == returnNode {
			return d.vt * math.Log1p(e.e/d.sat)
		}
	}
	return 0
}

// begin sets an element's state from the guessed voltages.
func (w *Workspace) begin(k int) {
	e, s := &w.act[k], &w.st[k]
	*s = state{}
	va, vb := w.volt(e.a), w.volt(e.b)
	switch e.kind {
	case kindDiode:
		if va < vb {
			s.u, s.i = va-vb, e.diodeA(va-vb)
		} else {
			// A slope that neither blocks nor shorts the rest of the circuit.
			s.i = startS * e.vt
			s.u = e.diodeV(s.i)
		}
		s.g = e.diodeSlope(s.i)
	case kindCurve:
		s.u = vb
		s.i, s.g = e.curveA(vb)
	case kindLoadCurrent, kindLoadPower:
		s.u = va
		s.i, s.g = e.loadA(va)
		s.slow(w.lag)
	case kindOneWay:
		e.choose(s, va, vb, w.x[e.x], w.blendV)
	case kindValve:
		e.linearise(s, va, vb, math.Max(w.x[e.x], 1e-3))
		s.slow(w.lag)
		e.choose(s, va, vb, w.x[e.x], w.blendV)
	}
}

// startS is the slope that a conducting diode starts with, S.
const startS = 0.1

func (e *element) diodeSlope(i float64) float64 { return (i + e.sat) / (e.vt + e.r*(i+e.sat)) }

// newton solves the linearised circuit again and again. With a positive
// anchorS each node is tied by it to its anchor, and each branch current by
// the same number of ohms.
func (w *Workspace) newton(anchorS float64, most int) bool {
	for range most {
		w.assemble(anchorS)
		w.steps++
		if !w.eliminate() {
			return false
		}
		if w.damp < 1 {
			for k, v := range w.x {
				w.x[k] = w.was[k] + w.damp*(v-w.was[k])
			}
		}
		if w.update() {
			return true
		}
	}
	return false
}

// sharpen blends the pieces of every law over volts, ties every node by a
// conductance to its anchor, solves, and narrows the blend and loosens the tie
// together until the sharp laws of the free circuit are solved. It goes back
// and takes a smaller step where it fails.
func (w *Workspace) sharpen(p *path, round int) bool {
	w.blendV, w.damp, w.lag = p.blendV, p.damp, p.lag
	w.guess()
	w.strew(round)
	clear(w.anchor)
	if p.high {
		copy(w.anchor, w.x)
	}
	copy(w.good, w.x)
	ratio := p.ratio
	good := w.blendV / ratio
	most := int(20 / (p.damp * p.damp))
	for range 60 {
		if w.newton(p.tieS*w.blendV, most) {
			copy(w.good, w.x)
			good = w.blendV
			if good < 1e-7 {
				break
			}
			ratio = math.Max(ratio*ratio, 0.01)
		} else {
			copy(w.x, w.good)
			w.restart()
			if ratio = math.Sqrt(ratio); ratio > 0.95 {
				break
			}
		}
		w.blendV = good * ratio
	}
	w.blendV = 0
	if p.lag {
		w.newton(0, 60)
		w.lag = false
	}
	if p.damp < 1 {
		w.newton(0, 25)
		w.damp = 1
	}
	return w.newton(0, 25)
}

// strew scales every node's voltage by a fraction of its own, the same ones at
// each call with the same round; round 0 leaves them alone. The fractions are
// those of the golden ratio's additive recurrence, which fill the interval
// evenly.
func (w *Workspace) strew(round int) {
	if round == 0 {
		return
	}
	const golden = 0.6180339887498949
	for k := range w.c.nodes {
		_, f := math.Modf(golden * float64(1+k*rounds+round))
		w.x[k] *= f
	}
	w.restart()
}

// restart sets all states from the present voltages.
func (w *Workspace) restart() {
	for k := range w.act {
		w.begin(k)
	}
}

// worstNode names the node or part nearest to where the laws are least
// fulfilled.
func (w *Workspace) worstNode() string {
	worst, at := -1.0, 0
	for k := range w.act {
		e, s := &w.act[k], &w.st[k]
		r := s.miss
		switch e.kind {
		case kindDiode:
			r = s.u - (w.volt(e.a) - w.volt(e.b))
		case kindLoadPower:
			r = s.u - w.volt(e.a)
		}
		if at0 := max(e.a, e.b); math.Abs(r) > worst && at0 != returnNode {
			worst, at = math.Abs(r), at0
		}
	}
	return w.c.nodes[at]
}
