package chain

import (
	"math"
	"slices"
)

// A Verdict says what becomes of a thing.
type Verdict uint8

// The verdicts. CannotTell is a result: the reason beside it names what is
// missing.
const (
	CannotTell Verdict = iota // a limit or a datum is missing
	Survives                  // every limit is known and kept
	Lost                      // a limit is exceeded
)

// worse returns the more alarming of two verdicts.
func worse(a, b Verdict) Verdict {
	if a == Lost || b == Lost {
		return Lost
	}
	return min(a, b)
}

// String gives the verdict in words.
func (v Verdict) String() string {
	switch v {
	case Survives:
		return "survives"
	case Lost:
		return "lost"
	default:
		return "cannot tell"
	}
}

// A Harm is what one fault does to one limit, or to a node that has none.
type Harm struct {
	Node, Item   string
	VoltageV     float64 // voltage at the node, V; NaN if it could not be computed
	PowerW       float64 // power of the item or of all loads at the node, W
	MaxV, MaxW   float64 // the limits, V and W; 0 if not known
	VoltageRatio float64 // VoltageV / MaxV; 0 if not known
	PowerRatio   float64 // PowerW / MaxW; 0 if not known
	Verdict      Verdict
	Reason       string   // why lost, or what is missing
	Path         []string // the parts through which the node is fed, source first
}

// A FuseAction is what a fuse of the circuit does under a fault.
type FuseAction struct {
	Part     string
	CurrentA float64 // until it opens, A
	Ratio    float64 // current over rated current
	OpensS   float64 // time within which it opens, s; +Inf if it need not, NaN if its melting integral is missing
}

// A ClampAction is what a clamp of the circuit goes through under a fault.
type ClampAction struct {
	Part    string
	PowerW  float64 // while the fault lasts, W
	EnergyJ float64 // until a fuse in its path opens, J; +Inf if none does
	Fuse    string  // that fuse
	Verdict Verdict
	Reason  string
}

// A Row is one line of the failure-mode-and-effects analysis: one fault, and
// everything that follows. Its methods give the columns in words, in the terms
// of IEC 60812.
type Row struct {
	Fault   Fault
	Missing string // what the fault's own data lack; the harms then are the worst case
	Harms   []Harm // one per limit, then one per node without a limit
	Worst   Verdict
	Down    []string // nodes with a load whose supply fails, at the latest when the fuses that open have done so
	Up      []string // nodes whose voltage rises by more than a hundredth
	Fuses   []FuseAction
	Clamps  []ClampAction
	Barrier Barrier
	local   localEffect
}

// A Survey is the analysis of a circuit: the first row without a fault, then
// one row per single fault, in the order of the parts.
type Survey struct {
	Rows []Row
}

// Lost returns the rows in which something is lost, the largest ratio to a
// limit first.
func (s *Survey) Lost() []Row {
	var lost []Row
	for _, r := range s.Rows {
		if r.Worst == Lost {
			lost = append(lost, r)
		}
	}
	slices.SortStableFunc(lost, func(a, b Row) int {
		switch ra, rb := a.worstRatio(), b.worstRatio(); {
		case ra > rb:
			return -1
		case ra < rb:
			return 1
		}
		return 0
	})
	return lost
}

func (r *Row) worstRatio() float64 {
	worst := 0.0
	for i := range r.Harms {
		worst = math.Max(worst, math.Max(r.Harms[i].VoltageRatio, r.Harms[i].PowerRatio))
	}
	return worst
}

// Survey tries every single fault. It fails only if the circuit without a
// fault has no operating point; a fault that has none is a row that cannot
// tell. Stock is what the builder could fit as a barrier; it may be empty.
func (c *Circuit) Survey(stock Stock) (*Survey, error) { return c.NewWorkspace().Survey(stock) }

// Survey is Circuit.Survey with this workspace. It fails as that does.
func (w *Workspace) Survey(stock Stock) (*Survey, error) {
	p, err := w.Solve()
	if err != nil {
		return nil, err
	}
	c := w.c
	v := &surveyor{w: w, c: c, stock: stock, failed: -1}
	v.healthy = Point{c: c, volts: slices.Clone(p.volts), parts: slices.Clone(p.parts)}
	v.listNodes()
	s := &Survey{Rows: make([]Row, 0, len(c.faults)+1)}
	s.Rows = append(s.Rows, v.row(nil))
	for k := range c.faults {
		s.Rows = append(s.Rows, v.row(&c.faults[k]))
	}
	return s, nil
}

// A surveyor holds what the rows of one survey share.
type surveyor struct {
	w       *Workspace
	c       *Circuit
	stock   Stock
	healthy Point
	subject []subject
	failed  int // the part whose fault is tried, or -1: its own heat no longer matters
}

// A subject is a limit, or a node without one.
type subject struct {
	Limit
	node, part int // indices; part is -1 if the item is no part
}

func (v *surveyor) listNodes() {
	seen := make([]bool, v.c.nNamed)
	for _, l := range v.c.limits {
		n := v.c.index[l.Node]
		seen[n] = true
		part := -1
		if k, ok := v.c.partOf[l.Item]; ok {
			part = k
		}
		v.subject = append(v.subject, subject{Limit: l, node: n, part: part})
	}
	for n, has := range seen {
		if !has && v.harmable(n) {
			v.subject = append(v.subject, subject{Limit: Limit{Node: v.c.nodes[n]}, node: n, part: -1})
		}
	}
}

// harmable reports whether anything at a node can be harmed by its voltage: a
// load, or the input of a regulator, converter or charger. Wires, fuses, links
// and diodes are judged where they lead.
func (v *surveyor) harmable(n int) bool {
	for i := range v.c.parts {
		if v.c.from[i] != n {
			continue
		}
		switch v.c.parts[i].Model.(type) {
		case Linear, StepDown, StepUp, Charger, Resistor, CurrentLoad, PowerLoad:
			return true
		}
	}
	return false
}

func (v *surveyor) row(f *faultCase) Row {
	r := Row{Harms: make([]Harm, len(v.subject))}
	v.failed = -1
	if f != nil {
		v.failed = f.part
	}
	v.w.reset()
	var err error
	if f != nil {
		r.Fault, r.Missing = f.Fault, f.unknown
		r.local = localEffect{part: v.c.parts[f.part]}
		if f.unbounded {
			v.untold(&r, f.unknown+" is not known")
			return r
		}
		err = v.w.enter(f)
	}
	if err == nil {
		err = v.w.settle()
	}
	if err != nil {
		v.untold(&r, err.Error())
		return r
	}
	p := &v.w.point
	p.take(v.w)
	for k := range v.subject {
		v.judge(&r.Harms[k], &v.subject[k], p)
		r.Harms[k].Path = v.path(p, v.subject[k].node)
	}
	v.supply(&r, p)
	if f != nil {
		r.local.take(v.c, &v.healthy, p, f)
	}
	v.protections(&r, p)
	v.afterFuses(&r, f)
	if r.Missing != "" {
		for k := range r.Harms {
			if h := &r.Harms[k]; h.Verdict == Lost {
				h.Verdict, h.Reason = CannotTell, "lost if "+r.Missing+" is as high as the input allows"
			}
		}
	}
	r.Worst = Survives
	for k := range r.Harms {
		r.Worst = worse(r.Worst, r.Harms[k].Verdict)
	}
	for k := range r.Clamps {
		r.Worst = worse(r.Worst, r.Clamps[k].Verdict)
	}
	over := func(h Harm) bool { return h.over() }
	if f != nil && slices.ContainsFunc(r.Harms, over) {
		r.Barrier = v.barrier(&r, f)
	}
	return r
}

// hair lets a value equal to its limit be kept in spite of roundoff.
const hair = 1 + 1e-9

// over reports whether a limit is exceeded, known for certain or not.
func (h *Harm) over() bool { return h.VoltageRatio > hair || h.PowerRatio > hair }

func (v *surveyor) untold(r *Row, reason string) {
	for k := range v.subject {
		s := &v.subject[k]
		r.Harms[k] = Harm{Node: s.Node, Item: s.Item, VoltageV: math.NaN(), PowerW: math.NaN(), MaxV: s.MaxV, MaxW: s.MaxW,
			Verdict: CannotTell, Reason: reason}
	}
	r.Worst = CannotTell
	if r.Missing == "" {
		r.Missing = reason
	}
}

// judge compares one subject with the operating point.
func (v *surveyor) judge(h *Harm, s *subject, p *Point) {
	*h = Harm{Node: s.Node, Item: s.Item, VoltageV: p.volts[s.node], MaxV: s.MaxV, MaxW: s.MaxW}
	if s.part >= 0 {
		h.PowerW = p.parts[s.part].power
	} else {
		for i := range v.c.parts {
			if v.c.from[i] == s.node && v.c.parts[i].Model.role() == roleLoad {
				h.PowerW += p.parts[i].power
			}
		}
	}
	if s.MaxV > 0 {
		h.VoltageRatio = h.VoltageV / s.MaxV
	}
	if s.MaxW > 0 && (s.part < 0 || s.part != v.failed) {
		h.PowerRatio = h.PowerW / s.MaxW
	}
	switch {
	case h.VoltageRatio > hair:
		h.Verdict, h.Reason = Lost, "voltage above the absolute maximum"
	case h.PowerRatio > hair:
		h.Verdict, h.Reason = Lost, "power above the absolute maximum"
	case s.MaxV == 0 && h.VoltageV > 1.01*math.Max(s.WorkV, v.healthy.volts[s.node])+0.01:
		h.Verdict, h.Reason = CannotTell, "absolute maximum voltage not known"
	case s.MaxV == 0:
		h.Verdict, h.Reason = Survives, "no higher than without the fault"
	default:
		h.Verdict = Survives
	}
}

// supply finds the loads that go down and the nodes that rise.
func (v *surveyor) supply(r *Row, p *Point) {
	for i := range v.c.parts {
		q := &v.c.parts[i]
		if q.Model.role() != roleLoad {
			continue
		}
		n := v.c.from[i]
		floor := 0.5 * v.healthy.volts[n]
		switch m := q.Model.(type) {
		case Clamp:
			continue
		case PowerLoad:
			floor = m.BrownOutV
		}
		if p.volts[n] < floor && (v.healthy.volts[n] >= floor || r.Fault.Mode == NoFault) && !slices.Contains(r.Down, q.From) {
			r.Down = append(r.Down, q.From)
		}
	}
	for n, name := range v.c.nodes[:v.c.nNamed] {
		if p.volts[n] > 1.01*v.healthy.volts[n]+0.01 {
			r.Up = append(r.Up, name)
		}
	}
}

// path follows the largest inflow from a node up to a source.
func (v *surveyor) path(p *Point, node int) []string {
	var buf [16]int
	rev := v.upstream(p, node, buf[:0])
	if len(rev) == 0 {
		return nil
	}
	names := make([]string, len(rev))
	for k, i := range rev {
		names[len(rev)-1-k] = v.c.parts[i].Name
	}
	return names
}

// upstream appends the parts from a node up to its source.
func (v *surveyor) upstream(p *Point, node int, dst []int) []int {
	for range v.c.nNamed {
		best, next, most := -1, returnNode, 1e-11
		for i := range v.c.parts {
			from, to := v.c.from[i], v.c.to[i]
			if to == node && p.parts[i].out > most {
				best, next, most = i, from, p.parts[i].out
			}
			if from == node && -p.parts[i].in > most {
				best, next, most = i, to, -p.parts[i].in
			}
		}
		if best < 0 {
			break
		}
		dst = append(dst, best)
		if next == returnNode {
			break
		}
		node = next
	}
	return dst
}
