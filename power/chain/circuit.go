package chain

import (
	"errors"
	"fmt"
	"math"
	"strconv"
	"strings"

	"github.com/stationphysics/stationphysics"
	"github.com/stationphysics/stationphysics/internal/limit"
)

// A Limit says what a thing at a node stands. A node may have several. What is
// not known stays zero: the fault survey then says that it cannot tell.
type Limit struct {
	Node  string  // where its voltage is taken
	Item  string  // what it is: "radio"; if it is a part's name, MaxW is that part's power, else all that the loads at the node take
	WorkV float64 // highest voltage it works at, V; 0: the voltage without a fault is taken
	MaxV  float64 // absolute maximum voltage, V; 0 if not known
	MaxW  float64 // absolute maximum power, W; 0 if it has none or it is not known
}

// A Circuit is a checked supply chain. It never changes and may be used by
// several goroutines, each with a Workspace of its own.
type Circuit struct {
	nodes    []string // named nodes first, internal ones of the parts behind
	nNamed   int
	index    map[string]int // node name
	parts    []Part
	partOf   map[string]int
	from, to []int // the parts' nodes
	elems    []element
	first    []int // parts' first element; one more at the end
	unknowns int   // nodes and branch currents
	limits   []Limit
	faults   []faultCase
	chargers []noPack
	topV     float64
}

// A TopologyError names the nodes and parts that make a circuit unsolvable.
type TopologyError struct {
	Problem string   // "loop without resistance", "floating nodes"
	Nodes   []string // in the order of the circuit
	Parts   []string // the parts that close the loop
}

// Error gives the problem, its nodes and its parts in one line.
func (e *TopologyError) Error() string {
	s := e.Problem + ": node " + quoted(e.Nodes)
	if len(e.Parts) > 0 {
		s += ", part " + quoted(e.Parts)
	}
	return s
}

func quoted(names []string) string {
	var b strings.Builder
	for i, n := range names {
		if i > 0 {
			b.WriteString(", ")
		}
		if n == "" {
			b.WriteString("common return")
			continue
		}
		b.WriteString(strconv.Quote(n))
	}
	return b.String()
}

// New checks the parts and limits and returns the circuit. All complaints come
// at once, joined, each naming its part or node: errors.As finds
// *stationphysics.RangeError and *stationphysics.ConflictError for single
// values, *stationphysics.NameError for a limit at a node that no part names,
// and *TopologyError for loops without resistance and floating nodes.
func New(parts []Part, limits []Limit) (*Circuit, error) {
	c := &Circuit{index: map[string]int{}, partOf: map[string]int{}}
	var errs []error
	for _, p := range parts {
		errs = append(errs, c.checkPart(p)...)
	}
	if len(parts) == 0 {
		errs = append(errs, errors.New("a circuit without parts"))
	}
	for _, l := range limits {
		errs = append(errs, c.checkLimit(l)...)
	}
	if err := errors.Join(errs...); err != nil {
		return nil, err
	}
	c.limits = append([]Limit(nil), limits...)
	c.nNamed = len(c.nodes)
	for i, p := range c.parts {
		c.from = append(c.from, c.nodeIndex(p.From))
		c.to = append(c.to, c.nodeIndex(p.To))
		c.compile(i)
	}
	c.first = append(c.first, len(c.elems))
	c.number()
	c.packFaults()
	errs = append(errs, c.checkFloating(), c.checkLoop(nil))
	if err := errors.Join(errs...); err != nil {
		return nil, err
	}
	return c, nil
}

// Nodes returns the names of the nodes, in the order in which the parts name
// them.
func (c *Circuit) Nodes() []string { return append([]string(nil), c.nodes[:c.nNamed]...) }

// Parts returns the parts as given.
func (c *Circuit) Parts() []Part { return append([]Part(nil), c.parts...) }

// unknownPart is the error of a name that no part has.
func (c *Circuit) unknownPart(name string) error {
	known := make([]string, len(c.parts))
	for i, p := range c.parts {
		known[i] = p.Name
	}
	return &stationphysics.NameError{Kind: "part", Name: name, Known: known}
}

// Limits returns the limits as given.
func (c *Circuit) Limits() []Limit { return append([]Limit(nil), c.limits...) }

// A checker collects what is wrong with one part or limit.
type checker struct {
	part string // the part's name, or
	what string // what else is checked
	errs []error
}

func (e *checker) subject() string {
	if e.what != "" {
		return e.what
	}
	return "part " + strconv.Quote(e.part)
}

// is checks v and, where quantity is not empty, calls it by that name.
func (e *checker) is(quantity string, r *limit.Range, v float64) {
	if r.Holds(v) {
		return
	}
	rr := *r
	if quantity != "" {
		rr.Quantity = quantity
	}
	e.errs = append(e.errs, fmt.Errorf("%s: %w", e.subject(), rr.Check(v)))
}

func (e *checker) say(text string) { e.errs = append(e.errs, errors.New(e.subject()+" "+text)) }

func (e *checker) conflict(qa string, a float64, qb string, b float64, unit, rule string) {
	e.errs = append(e.errs, fmt.Errorf("%s: %w", e.subject(), &stationphysics.ConflictError{
		Quantities: []string{qa, qb}, Values: []float64{a, b}, Units: []string{unit, unit}, Rule: rule}))
}

// curve checks an efficiency curve over eight decades of current.
func (e *checker) curve(f func(float64) float64) {
	for i := 1e-6; i < 200; i *= 10 {
		if eta := f(i); !(eta > 0 && eta <= 1) {
			e.is("efficiency at "+strconv.FormatFloat(i, 'g', -1, 64)+" A", &rangeEff, eta)
			return
		}
	}
}

func (c *Circuit) checkPart(p Part) []error {
	e := &checker{part: p.Name}
	switch _, twice := c.partOf[p.Name]; {
	case p.Name == "":
		e.what = "part from " + strconv.Quote(p.From) + " to " + strconv.Quote(p.To)
		e.say("has no name")
	case twice:
		e.say("is named twice")
	}
	switch p.Model.(type) {
	case Panel, Source, Battery, Adapter, Wire, Fuse, Link, Diode, IdealDiode, Linear, StepDown, StepUp, Charger,
		Resistor, CurrentLoad, PowerLoad, Clamp:
	case nil:
		e.say("has no model")
		return e.errs
	default:
		e.say("has a pointer for a model: give the value") // it might be nil
		return e.errs
	}
	switch r := p.Model.role(); {
	case r == roleSource && (p.From != "" || p.To == ""):
		e.say("is a source: it needs To and no From")
	case r == roleLoad && (p.To != "" || p.From == ""):
		e.say("is a load: it needs From and no To")
	case r == roleSeries && (p.From == "" || p.To == ""):
		e.say("is a series part: it needs From and To")
	case r == roleEither && p.From == "":
		e.say("needs From")
	case p.From == p.To:
		e.say("has both ends at node " + strconv.Quote(p.To))
	}
	p.Model.check(e)
	c.partOf[p.Name] = len(c.parts)
	c.parts = append(c.parts, p)
	for _, n := range []string{p.From, p.To} {
		if _, known := c.index[n]; n != "" && !known {
			c.index[n] = len(c.nodes)
			c.nodes = append(c.nodes, n)
		}
	}
	return e.errs
}

func (c *Circuit) checkLimit(l Limit) []error {
	e := &checker{what: "limit of " + strconv.Quote(l.Item) + " at node " + strconv.Quote(l.Node)}
	if _, ok := c.index[l.Node]; !ok {
		e.errs = append(e.errs, fmt.Errorf("%s: %w", e.subject(), &stationphysics.NameError{Kind: "node", Name: l.Node, Known: append([]string(nil), c.nodes...)}))
	}
	e.is("working voltage", &rangeVolt, l.WorkV)
	e.is("absolute maximum voltage", &rangeVolt, l.MaxV)
	e.is("absolute maximum power", &rangeWatt, l.MaxW)
	if l.MaxV > 0 && l.WorkV > l.MaxV {
		e.conflict("working voltage", l.WorkV, "absolute maximum voltage", l.MaxV, "V", "a part works below its absolute maximum")
	}
	return e.errs
}

// A build compiles one part into elements.
type build struct {
	circuit  *Circuit
	part     int
	from, to int
}

func (c *Circuit) compile(i int) {
	c.first = append(c.first, len(c.elems))
	b := &build{circuit: c, part: i, from: c.from[i], to: c.to[i]}
	c.parts[i].Model.compile(b)
}

func (c *Circuit) nodeIndex(name string) int {
	if k, ok := c.index[name]; ok { // the return is no key
		return k
	}
	return returnNode
}

func (b *build) add(e element) { b.circuit.elems = append(b.circuit.elems, e) }

func (b *build) internalNode() int {
	c := b.circuit
	c.nodes = append(c.nodes, c.parts[b.part].Name)
	return len(c.nodes) - 1
}

// top raises the bound on any voltage that a source or step-up part can reach.
func (b *build) top(v float64) { b.circuit.topV = math.Max(b.circuit.topV, v) }

// resistance adds a plain resistance; a small one by its current, because a
// difference of nearly equal voltages would lose it.
func (b *build) resistance(ohm float64) {
	if ohm >= floorOhm {
		b.add(element{kind: kindConductance, a: b.from, b: b.to, g: 1 / ohm})
		return
	}
	b.add(element{kind: kindBranch, a: b.from, b: b.to, r: ohm})
}

// number gives each branch current that any variant of an element needs its
// place among the unknowns.
func (c *Circuit) number() {
	n := len(c.nodes)
	for k := range c.elems {
		c.elems[k].x = -1
		if c.elems[k].needsCurrent() {
			c.elems[k].x = n
			n++
		}
	}
	for k := range c.faults {
		f := &c.faults[k]
		e := &c.elems[f.elem]
		if f.to.needsCurrent() && e.x < 0 {
			e.x = n
			n++
		}
	}
	for k := range c.faults {
		c.faults[k].to.x = c.elems[c.faults[k].elem].x
	}
	for k := range c.chargers {
		c.chargers[k].without.x = c.elems[c.first[c.chargers[k].part]].x
	}
	c.unknowns = n
}

// checkFloating finds nodes that nothing ties to the return even with every
// link fitted.
func (c *Circuit) checkFloating() error {
	tied := newUnion(len(c.nodes))
	for _, e := range c.elems {
		tied.join(e.a, e.b)
		if e.kind == kindValve {
			tied.join(e.a, returnNode) // its own current
		}
	}
	var loose []string
	for k, name := range c.nodes[:c.nNamed] {
		if !tied.same(k, returnNode) {
			loose = append(loose, name)
		}
	}
	if loose == nil {
		return nil
	}
	return &TopologyError{Problem: "floating nodes, tied to the return by no source or load", Nodes: loose}
}

// checkLoop finds a loop of branches without resistance; over replaces
// elements as a fault does.
func (c *Circuit) checkLoop(over *overlay) error {
	u := newUnion(len(c.nodes))
	for i := range c.parts {
		for k := c.first[i]; k < c.first[i+1]; k++ {
			e := over.at(c, k)
			if e.kind != kindBranch || e.r >= 1e-9 {
				continue
			}
			if u.join(e.a, e.b) {
				continue
			}
			return &TopologyError{Problem: "loop without resistance", Nodes: c.namesOf(u.members(e.a)), Parts: c.zeroParts(u, e.a, over)}
		}
	}
	return nil
}

func (c *Circuit) namesOf(ks []int) []string {
	var names []string
	for _, k := range ks {
		if k == returnNode {
			names = append(names, "")
			continue
		}
		names = append(names, c.nodes[k])
	}
	return names
}

// zeroParts lists the parts without resistance among the nodes joined with a.
func (c *Circuit) zeroParts(u *union, a int, over *overlay) []string {
	var names []string
	for i := range c.parts {
		e := over.at(c, c.first[i])
		if e.kind == kindBranch && e.r < 1e-9 && u.same(e.a, a) {
			names = append(names, c.parts[i].Name)
		}
	}
	return names
}

// A union keeps track of which nodes are joined; the return is its last member.
type union struct{ up []int }

func newUnion(n int) *union {
	u := &union{up: make([]int, n+1)}
	for k := range u.up {
		u.up[k] = k
	}
	return u
}

func (u *union) root(k int) int {
	if k == returnNode {
		k = len(u.up) - 1
	}
	for u.up[k] != k {
		k = u.up[k]
	}
	return k
}

// join joins two nodes; it reports false if they were joined already.
func (u *union) join(a, b int) bool {
	ra, rb := u.root(a), u.root(b)
	if ra == rb {
		return false
	}
	u.up[ra] = rb
	return true
}

func (u *union) same(a, b int) bool { return u.root(a) == u.root(b) }

func (u *union) members(a int) []int {
	var ks []int
	for k := range u.up {
		if u.root(k) == u.root(a) {
			if k == len(u.up)-1 {
				k = returnNode
			}
			ks = append(ks, k)
		}
	}
	return ks
}
