package chain

import (
	"math"
	"slices"
)

// Stock is what the builder could fit as a barrier, the preferred first. With
// nothing in stock the survey still says where a barrier belongs and what it
// has to bear.
type Stock struct {
	Fuses  []Fuse
	Clamps []Clamp
}

// A BarrierKind is a way to keep harm away.
type BarrierKind uint8

// The kinds of barrier, the cheapest first.
const (
	NotNeeded    BarrierKind = iota
	ClampAlone               // a clamp that bears the fault for good: the source is too weak for a fuse
	FuseAndClamp             // a clamp that holds the voltage until a fuse opens
	NoBarrier                // no single clamp does it
)

// A Barrier is the cheapest single barrier found against one fault. Its clamp
// stands between the working and the damage voltage of its node.
type Barrier struct {
	Kind      BarrierKind
	InStock   bool    // the clamp is one of the stock; otherwise it is an ideal one
	Node      string  // where the clamp goes
	AboveV    float64 // the clamp must not conduct below, V
	BelowV    float64 // the clamp must hold the node below, V
	ClampV    float64 // clamping voltage reckoned with, V
	ClampA    float64 // current through the clamp, A
	ClampW    float64 // its power while the fault lasts, W
	Fuse      string  // a fuse of the circuit in the path, or empty for a new one
	Before    string  // the part behind which the new fuse goes
	NormalA   float64 // current there without the fault, A
	FuseA     float64 // rated current of the fuse, A
	FaultA    float64 // current through the fuse until it opens, A
	OpensS    float64 // time within which it opens, s
	EnergyJ   float64 // what the clamp takes until then, J
	Outlives  Verdict // whether the clamp outlives the fuse, or bears the fault for good
	Reason    string
	Remaining []string // what is lost even so, by item or node
	Instead   string   // what makes the barrier needless, if anything simple does
}

// ratedSeriesA are rated currents in amperes after the series R10 of ISO 3, as
// fuses to IEC 60127 have them (from memory).
var ratedSeriesA = [...]float64{0.05, 0.063, 0.08, 0.1, 0.125, 0.16, 0.2, 0.25, 0.315, 0.4, 0.5, 0.63, 0.8,
	1, 1.25, 1.6, 2, 2.5, 3.15, 4, 5, 6.3, 8, 10, 12.5, 16, 20, 25, 32}

// continuousShare of its rated current is what a fuse carries for good at
// 25 °C (Littelfuse, Fuseology).
const continuousShare = 0.75

func ratedAtLeast(a float64) float64 {
	for _, r := range ratedSeriesA {
		if r >= a {
			return r
		}
	}
	return math.Ceil(a)
}

func (v *surveyor) barrier(r *Row, f *faultCase) Barrier {
	best := Barrier{Kind: NoBarrier, Outlives: CannotTell, Reason: "no voltage between working and damage is left for a clamp"}
	bestLeft := math.MaxInt
	for _, n := range v.candidates(r, f) {
		lo, hi := v.window(r, n)
		if !(lo < hi) {
			continue
		}
		for _, k := range v.clamps(lo, hi) {
			if k.ideal && bestLeft == 0 {
				break // something in stock does it
			}
			b, left := v.tryClamp(r, f, n, k.Clamp, lo, hi)
			b.InStock = !k.ideal
			if left < bestLeft || left == bestLeft && b.better(&best) {
				best, bestLeft = b, left
			}
			if left == 0 && b.Outlives == Survives {
				break
			}
		}
	}
	switch f.Mode {
	case LinkFitted:
		best.Instead = "make the link impossible to fit by mistake"
	case LinkMissing:
		best.Instead = "make the link impossible to leave out"
	case Unregulated:
		best.Instead = "use a regulated adapter and mark its socket"
	case WiperOpen:
		best.Instead = "set the output with fixed resistors"
	}
	return best
}

func (b *Barrier) better(c *Barrier) bool {
	if c.Node == "" || b.Outlives != c.Outlives {
		return c.Node == "" || worse(b.Outlives, c.Outlives) == c.Outlives
	}
	if b.Kind != c.Kind {
		return b.Kind < c.Kind
	}
	return b.ClampW < c.ClampW
}

// candidates are the nodes where a clamp may help: those with something over
// its limit, and the output of the failed part.
func (v *surveyor) candidates(r *Row, f *faultCase) []int {
	var ns []int
	add := func(n int) {
		if n != returnNode && !slices.Contains(ns, n) {
			ns = append(ns, n)
		}
	}
	add(v.c.to[f.part])
	for k := range r.Harms {
		if r.Harms[k].over() {
			add(v.subject[k].node)
		}
	}
	return ns
}

// window is the room for a clamp at a node: above what works there, below the
// least that harms there, or below what the fault brings if nothing there is
// known to be harmed.
func (v *surveyor) window(r *Row, n int) (lo, hi float64) {
	lo, hi = v.healthy.volts[n], inf
	for k := range v.subject {
		s := &v.subject[k]
		if s.node != n {
			continue
		}
		lo = math.Max(lo, s.WorkV)
		if s.MaxV > 0 {
			hi = math.Min(hi, s.MaxV)
		}
		hi = math.Min(hi, r.Harms[k].VoltageV)
	}
	return lo, hi
}

// A candidate is a clamp to try: from stock, or an ideal one that tells what a
// real one would have to do.
type candidate struct {
	Clamp
	ideal bool
}

// clamps lists those in stock that fit the window, then an ideal one in its
// middle.
func (v *surveyor) clamps(lo, hi float64) []candidate {
	var ks []candidate
	for _, k := range v.stock.Clamps {
		if k.BreakdownV > lo && k.BreakdownV < hi {
			ks = append(ks, candidate{Clamp: k})
		}
	}
	return append(ks, candidate{Clamp: Clamp{BreakdownV: 0.5 * (lo + hi)}, ideal: true})
}

// tryClamp fits a clamp at a node and tells what becomes of it and of
// everything that was over its limit. One that lowers nothing of that by a hundredth
// is none.
func (v *surveyor) tryClamp(r *Row, f *faultCase, n int, k Clamp, lo, hi float64) (Barrier, int) {
	b := Barrier{Kind: NoBarrier, Node: v.c.nodes[n], AboveV: lo, BelowV: hi, Outlives: CannotTell}
	v.w.reset()
	if err := v.w.enter(f); err != nil {
		b.Reason = err.Error()
		return b, math.MaxInt
	}
	v.w.act[v.w.extra] = element{kind: kindOneWay, a: n, b: returnNode, x: v.w.n - 1, drop: k.BreakdownV, r: k.SlopeOhm, lim: inf}
	if err := v.w.settle(); err != nil {
		b.Reason = err.Error()
		return b, math.MaxInt
	}
	p := &v.w.point
	p.take(v.w)
	b.ClampV = p.volts[n]
	b.ClampA = v.w.x[v.w.n-1]
	b.ClampW = b.ClampV * b.ClampA
	helps := false
	for s := range v.subject {
		var h Harm
		v.judge(&h, &v.subject[s], p)
		if was := &r.Harms[s]; was.over() {
			helps = helps || h.VoltageV < 0.99*was.VoltageV || h.PowerW < 0.99*was.PowerW
		}
		if h.Verdict == Lost {
			name := h.Item
			if name == "" {
				name = h.Node
			}
			b.Remaining = append(b.Remaining, name)
		}
	}
	if !helps {
		b = Barrier{Kind: NoBarrier, Outlives: CannotTell, Reason: "a clamp lowers nothing that is over its limit"}
		return b, math.MaxInt
	}
	v.fuseFor(&b, p, n, k)
	return b, len(b.Remaining)
}

// fuseFor finds or proposes the fuse in front of a clamp and judges the pair.
func (v *surveyor) fuseFor(b *Barrier, p *Point, n int, k Clamp) {
	var buf [16]int
	up := v.upstream(p, n, buf[:0])
	if len(up) == 0 {
		b.Kind, b.Outlives, b.Reason = NoBarrier, CannotTell, "no path feeds the node"
		return
	}
	var fuse Fuse
	at := -1
	for _, i := range up {
		if q, ok := v.c.parts[i].Model.(Fuse); ok {
			fuse, at = q, i
			b.Fuse = v.c.parts[i].Name
			break
		}
	}
	if at < 0 {
		at = up[0]
		b.Before = v.c.parts[at].Name
	}
	b.NormalA = math.Abs(v.healthy.parts[at].out)
	b.FaultA = math.Abs(p.parts[at].out)
	if b.Fuse == "" {
		fuse = v.pickFuse(b.NormalA)
	}
	b.FuseA = fuse.RatedA
	b.Kind = FuseAndClamp
	b.OpensS = fuse.OpensWithinS(b.FaultA)
	if b.OpensS == inf {
		b.Kind = ClampAlone
	}
	b.EnergyJ, b.Outlives, b.Reason = k.bears(b.ClampW, b.OpensS)
	if b.Outlives == Survives && k.MaxW > 0 && b.ClampW <= k.MaxW {
		b.Kind = ClampAlone
	}
}

// pickFuse takes the first fuse in stock that carries the normal current, or a
// rating of the standard series whose melting integral is not known.
func (v *surveyor) pickFuse(normalA float64) Fuse {
	need := normalA / continuousShare
	for _, f := range v.stock.Fuses {
		if f.RatedA >= need {
			return f
		}
	}
	return Fuse{RatedA: ratedAtLeast(need)}
}
