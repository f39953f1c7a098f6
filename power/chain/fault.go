package chain

// A Mode is the way in which a part fails or is wrongly fitted.
type Mode uint8

// The single faults that are tried.
const (
	NoFault          Mode = iota
	PassShort             // pass element of a linear regulator shorted from input to output
	SwitchShort           // switch of a converter or charger shorted
	DiodeShort            // diode conducts both ways
	DiodeOpen             // diode conducts neither way
	WiperOpen             // wiper of the output trimmer has lost contact
	LinkFitted            // link fitted, or left in, that should be open
	LinkMissing           // link left out that should be fitted
	Unregulated           // mains adapter of the unregulated kind, at its no-load characteristic
	PackDisconnected      // pack or cell disconnected, the charger left alone with the load
)

var modeText = [...]string{
	NoFault: "no fault", PassShort: "pass element short", SwitchShort: "switch short", DiodeShort: "diode short", DiodeOpen: "diode open",
	WiperOpen: "trimmer wiper open", LinkFitted: "link wrongly fitted", LinkMissing: "link missing",
	Unregulated: "adapter unregulated", PackDisconnected: "pack disconnected",
}

// String gives the mode in words.
func (m Mode) String() string {
	if int(m) >= len(modeText) {
		return "unknown mode"
	}
	return modeText[m]
}

// A Fault is one failure mode of one part. The zero value is no fault.
type Fault struct {
	Part string
	Mode Mode
}

// String gives part and mode: "U2: pass element short".
func (f Fault) String() string {
	if f.Mode == NoFault {
		return f.Mode.String()
	}
	return f.Part + ": " + f.Mode.String()
}

// A faultCase replaces the first element of a part.
type faultCase struct {
	Fault
	part, elem int
	to         element
	unknown    string // what the part's data lack; the variant then is the worst case
	unbounded  bool   // without it nothing can be computed at all
	without    []int  // chargers (by place in Circuit.chargers) left without a pack
}

// noPack is what a charger becomes when its pack is gone.
type noPack struct {
	part    int
	without element
	known   bool
}

func (b *build) fault(m Mode, to element) {
	c := b.circuit
	c.faults = append(c.faults, faultCase{Fault: Fault{Part: c.parts[b.part].Name, Mode: m}, part: b.part, elem: c.first[b.part], to: to})
}

func (b *build) unknownFault(m Mode, what string) {
	b.fault(m, element{kind: kindOpen, a: returnNode, b: returnNode})
	f := &b.circuit.faults[len(b.circuit.faults)-1]
	f.unknown, f.unbounded = what, true
}

// wiper adds the open wiper of a part's trimmer. An unknown output is taken as
// all that the input allows.
func (b *build) wiper(v element, trimmer bool, openV float64) {
	if !trimmer {
		return
	}
	v.set = openV
	if openV == 0 {
		v.set = unboundedV
	}
	b.fault(WiperOpen, v)
	if openV == 0 {
		b.circuit.faults[len(b.circuit.faults)-1].unknown = "the output voltage with the wiper open"
	}
}

// packFaults finds the chargers that each pack leaves behind: those that reach
// it through wires, fitted links, fuses and diodes alone.
func (c *Circuit) packFaults() {
	for k := range c.faults {
		f := &c.faults[k]
		if f.Mode != PackDisconnected {
			continue
		}
		u := newUnion(len(c.nodes))
		for _, e := range c.elems {
			if e.kind != kindValve && e.kind != kindOpen && e.a != returnNode && e.b != returnNode {
				u.join(e.a, e.b)
			}
		}
		for n, ch := range c.chargers {
			if !u.same(ch.without.b, c.elems[f.elem].b) {
				continue
			}
			f.without = append(f.without, n)
			if !ch.known {
				f.unknown = "the output voltage of " + c.parts[ch.part].Name + " without a pack"
			}
		}
	}
}

// Faults returns every single fault of the circuit, in the order of its parts.
func (c *Circuit) Faults() []Fault {
	fs := make([]Fault, len(c.faults))
	for k := range c.faults {
		fs[k] = c.faults[k].Fault
	}
	return fs
}

func (c *Circuit) findFault(f Fault) *faultCase {
	for k := range c.faults {
		if c.faults[k].Fault == f {
			return &c.faults[k]
		}
	}
	return nil
}

// An overlay holds the elements that differ from the circuit's own. The few
// there are make a search by hand the quickest.
type overlay struct {
	elems []int
	to    []element
}

func (o *overlay) at(c *Circuit, k int) *element {
	if o != nil {
		for n, i := range o.elems {
			if i == k {
				return &o.to[n]
			}
		}
	}
	return &c.elems[k]
}

func (o *overlay) clear() {
	o.elems = o.elems[:0]
	o.to = o.to[:0]
}

func (o *overlay) put(k int, e element) {
	for n, i := range o.elems {
		if i == k {
			o.to[n] = e
			return
		}
	}
	o.elems = append(o.elems, k)
	o.to = append(o.to, e)
}

func (o *overlay) apply(c *Circuit, f *faultCase) {
	o.put(f.elem, f.to)
	for _, n := range f.without {
		o.put(c.first[c.chargers[n].part], c.chargers[n].without)
	}
}
