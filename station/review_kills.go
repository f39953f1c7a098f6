package station

import (
	"fmt"
	"math"
	"strings"

	"github.com/stationphysics/stationphysics/battery"
	"github.com/stationphysics/stationphysics/power/chain"
)

const mainsSafety = "Mains only through an approved adapter indoors or in a rated enclosure behind a residual-current device (30 mA, common practice); local code and a licensed electrician decide."

// kills surveys every single fault of the supply chain, and the links as they
// are fitted.
func (r *reviewer) kills() {
	const q = "single faults of the supply"
	parts, limits, missing := r.p.circuit()
	if len(parts) == 0 {
		r.say(cannotTell(TopicKills, q, missing))
		r.unwantedLinks()
		return
	}
	c, err := chain.New(parts, limits)
	if err != nil {
		f := finding(Change, TopicKills, q)
		f.Reason = strings.ReplaceAll(err.Error(), "\n", "; ")
		f.Action = "correct the nodes that parts and links join"
		f.Sure = sureOf()
		r.say(f)
		r.unwantedLinks()
		return
	}
	survey, err := c.Survey(chain.Stock{})
	if err != nil {
		f := finding(CannotTell, TopicKills, q)
		f.Reason = err.Error()
		f.Action = "check which parts feed each other"
		r.say(f)
		r.unwantedLinks()
		return
	}
	r.asFitted(survey.Rows[0])
	lostBy := 0
	for _, row := range survey.Lost() {
		if row.Fault.Mode == chain.NoFault {
			continue
		}
		lostBy++
		r.say(faultFinding(&row))
	}
	faults := survey.Rows[1:]
	unknown := 0
	for i := range faults {
		if untold(&faults[i]) {
			unknown++
		}
	}
	f := finding(Fine, TopicKills, q+" that lose something")
	f.Value, f.Unit = float64(lostBy), fmt.Sprintf("of %d", len(faults))
	f.Reason = "every part failing alone in each of its ways"
	if unknown > 0 {
		f.Reason += fmt.Sprintf("; %d cannot be told for want of a number", unknown)
	}
	f.Sure = "the chain is solved for each fault with the panel cold in full sun"
	unstated := append(missing[:len(missing):len(missing)], r.withoutLimits()...)
	switch {
	case lostBy == 0 && unknown > 0 && len(unstated) > 0:
		// Nothing found lost is not the same as nothing lost.
		lines := cannotTell(TopicKills, f.Quantity, unstated)
		f.Word, f.Missing, f.Action = lines.Word, lines.Missing, lines.Action
	case lostBy > 0:
		f.Word = Watch
		f.Action = "see each below; a barrier where cells or the controller are lost comes first"
	}
	if len(faults) > 0 {
		r.say(f)
	}
	if len(missing) > 0 {
		r.say(cannotTell(TopicKills, "faults of the parts that are not described", missing))
	}
	if keys := r.withoutLimits(); len(keys) > 0 {
		r.say(cannotTell(TopicKills, "whether parts without a stated limit survive", keys))
	}
}

// asFitted judges the chain as it stands, links as they are.
func (r *reviewer) asFitted(row chain.Row) {
	for _, h := range row.Harms {
		if h.Verdict != chain.Lost {
			continue
		}
		f := finding(Stop, TopicKills, h.Item+" as built, without any fault").below(h.VoltageV, h.MaxV, "V")
		if h.PowerRatio > h.VoltageRatio {
			f = f.below(h.PowerW, h.MaxW, "W")
		}
		f.Reason = fmt.Sprintf("%s; the way: %s", h.Reason, strings.Join(h.Path, " > "))
		f.Action = "break this way before anything is connected"
		if containsPart(h.Path, "adapter") {
			f.Action, f.Caution = "take out the link that lets the adapter in", mainsSafety
			f.weight = 950
		}
		f.weight += 100 * math.Max(h.VoltageRatio, h.PowerRatio)
		f.Sure = "solved for the chain as described, panel cold in full sun"
		f.Why = []string{"nodal equations of the chain, single-diode panel; limits as stated"}
		r.say(f)
	}
	r.unwantedLinks()
}

// unwantedLinks names links that are in and do not belong in.
func (r *reviewer) unwantedLinks() {
	for i, l := range r.d.Links {
		if l.Fitted == nil || len(l.Joins) != 2 {
			continue
		}
		wanted := l.Wanted != nil && *l.Wanted
		// An adapter on the pack is two sources on one node, wanted or not.
		joinsSources := l.touches("adapter") && (l.touches("pack") || l.touches("charger"))
		twoSources := *l.Fitted && joinsSources
		if !twoSources && (l.Wanted == nil || *l.Fitted == wanted) {
			continue
		}
		f := finding(Change, TopicKills, "link "+or(l.Name, fmt.Sprint(i+1)))
		f.Sure = sureOf()
		if *l.Fitted {
			f.Reason = fmt.Sprintf("it is in, joins %s, and does not belong in for service", list(l.Joins, "and"))
			f.Action = "take it out"
			if twoSources {
				f.Word, f.weight = Stop, 940
				v := 0.0
				if a := r.d.Adapter; a != nil {
					v = math.Max(deref(a.RatedV), deref(a.NoLoadV))
				}
				f.Reason = fmt.Sprintf("it is in and joins %s: two sources on one node, and no charger limits the adapter", list(l.Joins, "and"))
				if n, most := r.overcharge(); v > n*most.V {
					f = f.below(v/n, most.V, "V")
					f.Quantity = "cell voltage if the adapter is plugged in with link " + or(l.Name, fmt.Sprint(i+1))
					f.Reason = fmt.Sprintf("the link is in and joins %s: the adapter stands at %.1f V without load, %.2f V a cell, and no charger limits it", list(l.Joins, "and"), v, v/n)
					f.Why = []string{fmt.Sprintf("no-load voltage over cells = %.1f/%g; over-charge limit %.2f V: %s", v, n, most.V, most.Source)}
				}
				f.Action, f.Caution = "take it out and keep it out", mainsSafety
			}
		} else {
			f.Word = Watch
			f.Reason = "it belongs in for service and is out"
			f.Action = "put it in"
			if joinsSources {
				f.Reason = fmt.Sprintf("it is out, and it should stay out: it joins %s, and no charger limits the adapter", list(l.Joins, "and"))
				f.Action, f.Caution = fmt.Sprintf("leave it out, and correct link[%d].wanted", i), mainsSafety
			}
		}
		r.say(f)
	}
}

// overcharge is the number of cells in series and the voltage of one that no sheet
// exceeds, +Inf where the chemistry is not told or has none.
func (r *reviewer) overcharge() (cells float64, most battery.Level) {
	if r.p.chem.ok() {
		if most = r.p.chem.v.Limits().Overcharge; most.Exists() {
			return float64(*r.d.Pack.Cells), most
		}
	}
	return 1, battery.Level{V: math.Inf(1)}
}

func (l *Link) touches(node string) bool { return l.Joins[0] == node || l.Joins[1] == node }

func containsPart(path []string, name string) bool {
	for _, p := range path {
		if p == name {
			return true
		}
	}
	return false
}

// faultFinding turns a row of the survey into a finding.
func faultFinding(row *chain.Row) Finding {
	f := finding(Watch, TopicKills, row.Fault.String())
	worst := -1
	for i, h := range row.Harms {
		if h.Verdict == chain.Lost && (worst < 0 || math.Max(h.VoltageRatio, h.PowerRatio) > math.Max(row.Harms[worst].VoltageRatio, row.Harms[worst].PowerRatio)) {
			worst = i
		}
	}
	if worst >= 0 {
		h := row.Harms[worst]
		f = f.below(h.VoltageV, h.MaxV, "V")
		if h.PowerRatio > h.VoltageRatio {
			f = f.below(h.PowerW, h.MaxW, "W")
		}
		f.weight = math.Max(h.VoltageRatio, h.PowerRatio)
		for _, h := range row.Harms {
			if h.Verdict == chain.Lost && h.Item == "cells" {
				f.Word = Change
			}
		}
	}
	f.Reason = effect(row)
	f.Action = row.Provision()
	f.Sure = "one fault at a time, the chain solved with the panel cold in full sun"
	f.Why = []string{"failure mode: " + row.FailureMode() + "; local effect: " + row.LocalEffect() + "; shows as: " + row.Detection() + " (terms of IEC 60812)"}
	return f
}

// effect says in words what a fault does: what is lost, what goes without
// supply, what a fuse does.
func effect(row *chain.Row) string {
	var parts []string
	for _, h := range row.Harms {
		if h.Verdict != chain.Lost {
			continue
		}
		if h.PowerRatio > h.VoltageRatio {
			parts = append(parts, fmt.Sprintf("%s lost: %.2f W, %.1f times its limit", h.Item, h.PowerW, h.PowerRatio))
		} else {
			parts = append(parts, fmt.Sprintf("%s lost: %.2f V, %.1f times its limit", h.Item, h.VoltageV, h.VoltageRatio))
		}
	}
	if len(row.Down) > 0 {
		parts = append(parts, "without supply: "+strings.Join(row.Down, ", "))
	}
	for _, x := range row.Fuses {
		if !math.IsInf(x.OpensS, 1) {
			parts = append(parts, fmt.Sprintf("%s carries %.1f times its rated current", x.Part, x.Ratio))
		}
	}
	if len(parts) == 0 {
		return "nothing with a stated limit is lost"
	}
	return strings.Join(parts, "; ")
}

// untold reports whether a stated thing's fate cannot be told: nodes that
// nobody gave a limit for are not counted here.
func untold(row *chain.Row) bool {
	for _, h := range row.Harms {
		if h.Verdict == chain.CannotTell && h.Item != "" {
			return true
		}
	}
	return row.Missing != ""
}

// withoutLimits names parts whose damage limit is not stated.
func (r *reviewer) withoutLimits() (keys []string) {
	for i, l := range r.d.Loads {
		if l.DamageV == nil {
			keys = append(keys, fmt.Sprintf("load[%d].damage_v", i))
		}
	}
	for i, x := range r.d.Sensors {
		if x.Rail != "" && x.DamageV == nil {
			keys = append(keys, fmt.Sprintf("sensor[%d].damage_v", i))
		}
	}
	return keys
}
