package chain

import "math"

// What is asked of a fuse before its opening counts as certain. The bound is
// the 200 % gate of UL 248-14 for fuses up to 30 A, two minutes (from memory);
// IEC 60127-2 has 210 % and two to thirty minutes for the 5 mm × 20 mm types
// (from memory). At ten times the rated current and beyond, the melting
// integral alone decides, because no heat escapes in so short a time.
const (
	sureRatio      = 2.0
	sureS          = 120.0
	adiabaticRatio = 10.0
)

// OpensWithinS is a time within which the fuse opens at a steady current, s:
// its melting integral over the square of the current from ten times the rated
// current up, 120 s at twice the rated current, and in between the straight
// line of the double-logarithmic chart, which lies above the curve because
// melting curves are convex there. It is +Inf below twice the rated current,
// where the fuse need not open, and NaN if the melting integral is missing.
func (m Fuse) OpensWithinS(currentA float64) float64 {
	q := math.Abs(currentA) / m.RatedA
	switch {
	case !(q >= sureRatio):
		return inf
	case m.MeltA2S <= 0:
		return math.NaN()
	case q >= adiabaticRatio:
		return m.MeltA2S / (currentA * currentA)
	}
	ten := m.MeltA2S / (adiabaticRatio * m.RatedA * adiabaticRatio * m.RatedA)
	part := math.Log(q/sureRatio) / math.Log(adiabaticRatio/sureRatio)
	return sureS * math.Pow(ten/sureS, part)
}

// bears judges a clamp that takes power until something opens within opensS.
func (m Clamp) bears(powerW, opensS float64) (energyJ float64, v Verdict, reason string) {
	energyJ = powerW * opensS
	switch {
	case m.MaxW > 0 && powerW <= m.MaxW:
		return energyJ, Survives, "bears the power for good"
	case math.IsNaN(opensS):
		return energyJ, CannotTell, "the fuse's melting integral is not known"
	case opensS == inf && m.MaxW > 0:
		return energyJ, Lost, "power above what it bears, and no fuse need open"
	case opensS == inf:
		return energyJ, CannotTell, "no fuse need open, and its continuous power is not known"
	case m.MaxJ == 0:
		return energyJ, CannotTell, "its pulse energy is not known"
	case energyJ <= m.MaxJ:
		return energyJ, Survives, "outlives the fuse"
	}
	return energyJ, Lost, "dies before the fuse is sure to have opened"
}

// protections finds what the circuit's own fuses and clamps do, and withdraws
// the verdicts that rest on a clamp that may not last.
func (v *surveyor) protections(r *Row, p *Point) {
	for i := range v.c.parts {
		if f, ok := v.c.parts[i].Model.(Fuse); ok {
			if a := math.Abs(p.parts[i].out); a > f.RatedA {
				r.Fuses = append(r.Fuses, FuseAction{Part: v.c.parts[i].Name, CurrentA: a, Ratio: a / f.RatedA, OpensS: f.OpensWithinS(a)})
			}
		}
	}
	weak := ""
	for i := range v.c.parts {
		k, ok := v.c.parts[i].Model.(Clamp)
		if !ok || !(p.parts[i].out > 1e-9) {
			continue
		}
		a := ClampAction{Part: v.c.parts[i].Name, PowerW: p.parts[i].power}
		opens := inf
		var buf [16]int
		for _, u := range v.upstream(p, v.c.from[i], buf[:0]) {
			f, ok := v.c.parts[u].Model.(Fuse)
			if !ok {
				continue
			}
			if t := f.OpensWithinS(p.parts[u].out); t < opens || math.IsNaN(t) {
				opens, a.Fuse = t, v.c.parts[u].Name
			}
		}
		a.EnergyJ, a.Verdict, a.Reason = k.bears(a.PowerW, opens)
		r.Clamps = append(r.Clamps, a)
		if a.Verdict != Survives {
			weak = a.Part
			v.w.act[v.c.first[i]] = element{kind: kindOpen, a: returnNode, b: returnNode, x: v.c.elems[v.c.first[i]].x}
		}
	}
	if weak == "" {
		return
	}
	// The clamp may fail short, which protects, or open, which does not.
	if v.w.settle() != nil {
		return
	}
	p.take(v.w)
	for k := range v.subject {
		h := &r.Harms[k]
		var bare Harm
		v.judge(&bare, &v.subject[k], p)
		if h.Verdict == Survives && bare.Verdict != Survives {
			h.Verdict, h.Reason = CannotTell, "holds only as long as clamp "+weak+" does"
		}
	}
}

// afterFuses adds the loads that lose their supply once the fuses that are sure
// to open have opened.
func (v *surveyor) afterFuses(r *Row, f *faultCase) {
	sure := false
	for _, a := range r.Fuses {
		sure = sure || a.OpensS != inf
	}
	if !sure || f == nil {
		return
	}
	v.w.reset()
	if v.w.enter(f) != nil {
		return
	}
	for _, a := range r.Fuses {
		if a.OpensS != inf {
			k := v.c.first[v.c.partOf[a.Part]]
			v.w.act[k] = element{kind: kindOpen, a: v.c.elems[k].a, b: v.c.elems[k].b, x: v.c.elems[k].x}
		}
	}
	if v.w.settle() != nil {
		return
	}
	v.w.point.take(v.w)
	v.supply(r, &v.w.point)
}
