package station

import (
	"fmt"
	"math"
	"slices"

	"github.com/stationphysics/stationphysics/power/chain"
)

// circuit builds the supply chain of the description for the survey of single
// faults, with the panel cold in full sun, which is when it can do most harm.
// The nodes are those of the description: panel, charger, pack, adapter and the
// rails; "cells" lies behind the pack's fuse and "charger in" behind a diode at
// the panel.
func (p *Model) circuit() (parts []chain.Part, limits []chain.Limit, missing []string) {
	d := p.d
	add := func(name, from, to string, m chain.Model) {
		parts = append(parts, chain.Part{Name: name, From: from, To: to, Model: m})
	}
	own := ownNames()
	limit := func(node, item string, maxV *float64) {
		l := chain.Limit{Node: node, Item: item}
		if maxV != nil {
			l.MaxV = *maxV
		}
		limits = append(limits, l)
	}

	// Panel, diode, charger.
	chargerIn := "panel"
	if p.module.ok() {
		cold := -10.0
		if d.Climate != nil && d.Climate.RecordLowC != nil {
			cold = *d.Climate.RecordLowC
		}
		curve := p.module.v.At(1000, cold)
		add("panel", "", "panel", chain.Source{Curve: panelCurve{curve}, OpenV: curve.OpenCircuitV()})
		if p.diodeAt("panel") {
			chargerIn = "charger in"
			spec := p.diode.v.Spec()
			add("blocking diode", "panel", chargerIn, chain.Diode{SaturationA: spec.SaturationA, Ideality: spec.Ideality, SeriesOhm: spec.SeriesOhm, JunctionC: 25, ShortOhm: shortOhm})
		}
	} else {
		missing = append(missing, p.module.missing...)
	}
	if p.charger.ok() {
		c := d.Charger
		to := "pack"
		if p.diodeAt("pack") {
			to = "charger"
		}
		m := chain.Charger{SetV: *c.SetV, LimitA: *c.LimitA, HoldV: *c.HoldV, Efficiency: *c.EffFrac, HeadroomV: 0.5, PassOhm: shortOhm, IdleA: *c.IdleA, ShortOhm: shortOhm, Trimmer: true}
		if c.OpenWiperV != nil {
			m.WiperOpenV = *c.OpenWiperV
		}
		if p.module.ok() {
			add("charger", chargerIn, to, m)
			limit(chargerIn, "charger input", c.InputMaxV)
			if to == "charger" {
				spec := p.diode.v.Spec()
				add("blocking diode", "charger", "pack", chain.Diode{SaturationA: spec.SaturationA, Ideality: spec.Ideality, SeriesOhm: spec.SeriesOhm, JunctionC: 25, ShortOhm: shortOhm})
			}
		}
	} else {
		missing = append(missing, p.charger.missing...)
	}

	// Pack with its fuse.
	if p.pack.ok() {
		quick := p.pack.v.Resistance(25).QuickOhm
		cells := "pack"
		if d.Pack.FuseA != nil {
			cells = "cells"
			add("pack fuse", cells, "pack", chain.Fuse{RatedA: *d.Pack.FuseA, ColdOhm: 0.1 / *d.Pack.FuseA})
		}
		add("pack", "", cells, chain.Battery{OpenV: p.pack.v.OpenCircuitV(0.9, 25), SeriesOhm: quick})
		if lim, err := p.chem.v.PackLimits(p.pack.v.Series(), 25); err == nil {
			l := chain.Limit{Node: cells, Item: "cells"}
			// A chemistry without a limit, as NiMH has none, leaves it unknown.
			if !math.IsNaN(lim.OverchargeV) {
				l.MaxV = lim.OverchargeV
			}
			if !math.IsNaN(lim.ChargeV) {
				l.WorkV = lim.ChargeV
			}
			limits = append(limits, l)
		}
	} else {
		missing = append(missing, p.pack.missing...)
	}

	// Regulators and loads.
	for i := range p.supply.regs {
		f := &p.supply.regs[i]
		r := d.Regulators[f.index]
		from := p.node(f.from)
		name := own(or(r.Name, fmt.Sprintf("regulator %d", f.index+1)))
		wiper, trimmer := 0.0, r.WiperV != nil
		if trimmer {
			wiper = *r.WiperV
		}
		var m chain.Model
		switch r.Kind {
		case "linear":
			m = chain.Linear{SetV: f.outV, DropoutV: *r.DropoutV, IdleA: *r.IdleA, ShortOhm: shortOhm, Trimmer: trimmer, WiperOpenV: wiper}
		case "step-down":
			m = chain.StepDown{SetV: f.outV, Efficiency: meanEfficiency(r), HeadroomV: deref(r.DropoutV), PassOhm: shortOhm, IdleA: *r.IdleA, MinInputV: deref(r.InputMinV), ShortOhm: shortOhm, Trimmer: trimmer, WiperOpenV: wiper}
		default:
			m = chain.StepUp{SetV: f.outV, Efficiency: meanEfficiency(r), DiodeV: 0.4, PassOhm: shortOhm, IdleA: *r.IdleA, LimitInA: 3, MinInputV: deref(r.InputMinV), ShortOhm: shortOhm, Trimmer: trimmer, WiperOpenV: wiper}
		}
		add(name, from, f.rail, m)
		limit(from, name+" input", r.InputMaxV)
	}
	for i := range p.supply.loads {
		l := &p.supply.loads[i]
		src := d.Loads[l.index]
		name := own(or(src.Name, fmt.Sprintf("load %d", l.index+1)))
		amps := l.awakeA
		if amps == 0 {
			amps = l.asleepA
		}
		add(name, p.node(l.rail), "", chain.CurrentLoad{LoadA: amps})
		limit(p.node(l.rail), name, src.DamageV)
	}
	for i, s := range d.Sensors {
		if s.Rail != "" {
			limit(p.node(s.Rail), or(s.Name, fmt.Sprintf("sensor %d", i+1)), s.DamageV)
		}
	}

	missing = append(missing, p.supply.missing...)

	// Adapter and links.
	if d.Adapter != nil {
		if miss := d.Missing("adapter.rated_v"); len(miss) > 0 {
			missing = append(missing, miss...)
		} else {
			add("adapter", "", "adapter", chain.Adapter{RatedV: *d.Adapter.RatedV, NoLoadV: deref(d.Adapter.NoLoadV), RatedA: deref(d.Adapter.RatedA), SeriesOhm: 0.1})
		}
	}
	known := knownNodes(parts)
	for i, l := range d.Links {
		if miss := d.Missing(fmt.Sprintf("link[%d].joins", i), fmt.Sprintf("link[%d].fitted", i)); len(miss) > 0 {
			missing = append(missing, miss...)
			continue
		}
		a, b := p.node(l.Joins[0]), p.node(l.Joins[1])
		if !known[a] || !known[b] {
			missing = append(missing, fmt.Sprintf("link[%d].joins (a node that exists)", i))
			continue
		}
		add(own(or(l.Name, fmt.Sprintf("link %d", i+1))), a, b, chain.Link{Fitted: *l.Fitted, Ohm: 0.02})
	}
	// A limit on a node that nothing makes is said elsewhere (a rail nobody
	// feeds); the circuit has no such node.
	limits = slices.DeleteFunc(limits, func(l chain.Limit) bool { return !known[l.Node] })
	return parts, limits, missing
}

// ownNames gives each part a name of its own: a second one of a name, or one with that
// of a part which every station has, gets a number behind it.
func ownNames() func(string) string {
	taken := map[string]bool{"panel": true, "blocking diode": true, "charger": true, "pack fuse": true, "pack": true, "adapter": true}
	return func(name string) string {
		out := name
		for k := 2; taken[out]; k++ {
			out = fmt.Sprintf("%s (%d)", name, k)
		}
		taken[out] = true
		return out
	}
}

// shortOhm is what a shorted junction and its leads leave (common practice, no
// published source).
const shortOhm = 0.05

// panelCurve lets a panel's curve act as a source beyond its bounds, where the
// curve itself gives no number.
type panelCurve struct {
	c interface{ CurrentA(float64) float64 }
}

func (p panelCurve) CurrentA(terminalV float64) float64 { return p.c.CurrentA(terminalV) }

func knownNodes(parts []chain.Part) map[string]bool {
	out := map[string]bool{}
	for _, p := range parts {
		out[p.From], out[p.To] = true, true
	}
	delete(out, "")
	return out
}

// node maps a name of the description to a node of the circuit: unless a diode
// parts them, charger and pack share one.
func (p *Model) node(name string) string {
	if name == "charger" && !p.diodeAt("pack") {
		return "pack"
	}
	return name
}

func meanEfficiency(r *Regulator) float64 {
	sum := 0.0
	for _, p := range r.EffAtA {
		sum += p[1]
	}
	return sum / float64(len(r.EffAtA))
}

func deref(p *float64) float64 {
	if p == nil {
		return 0
	}
	return *p
}

// given is a number of the description, or what stands for it if it is not there.
func given(p *float64, other float64) float64 {
	if p == nil {
		return other
	}
	return *p
}

func or(s, other string) string {
	if s != "" {
		return s
	}
	return other
}
