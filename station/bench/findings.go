package bench

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/stationphysics/stationphysics/thermal"
)

func (rep *Report) add(f Finding) { rep.Findings = append(rep.Findings, f) }

func plain(claim string, s Strength, reason, next string) Finding {
	return Finding{Claim: claim, Strength: s, Value: math.NaN(), Limit: math.NaN(), Reason: reason, Next: next}
}

// findHeat judges the hottest junction and the cooling.
func (b *Bench) findHeat(rep *Report) {
	var worst *RowVerdict
	for i := range rep.Rows {
		v := &rep.Rows[i]
		if !math.IsNaN(v.JunctionHighC) && (worst == nil || v.JunctionHighC > worst.JunctionHighC) {
			worst = v
		}
	}
	limitC := b.s.MaxJunctionC
	switch {
	case worst == nil:
		rep.add(plain("junction temperature", NotDecidable, "no row has tab, room, load and a resistance from junction to case", "read the tab and the room with each row"))
	case limitC == 0:
		rep.add(plain("junction temperature", NotDecidable, "the sheet's rated junction temperature is not given", "look it up"))
	default:
		f := Finding{Value: worst.JunctionHighC, Limit: limitC, Unit: "°C"}
		f.Reason = fmt.Sprintf("line %d: between %.0f and %.0f °C by a tab of %.0f °C, %.2f W, and a contact that misses up to %.0f %% of the rise",
			worst.Row.Line, worst.JunctionLowC, worst.JunctionHighC, worst.Row.TabC, worst.DissipationW, 100*b.m.ContactErrorRatio)
		switch x := worst.CriticalContactRatio; {
		case x < 0:
			f.Reason += fmt.Sprintf("; even behind a perfect contact it may stand above %.0f °C", limitC)
		case x < 1: // 1 and more for a tab no warmer than the room, which hides nothing
			f.Reason += fmt.Sprintf("; the contact that would hide %.0f °C misses %.0f %%", limitC, 100*x)
		}
		switch {
		case worst.JunctionHighC <= limitC:
			f.Claim, f.Strength = "junction below its rating", Sound
		case worst.JunctionLowC > limitC:
			f.Claim, f.Strength = "junction above its rating", Sound
		default:
			f.Claim, f.Strength = "junction temperature", NotDecidable
			f.Next = "read the tab again through a wire of 0.1 mm (36 AWG) or less with grease under it, or by infrared on a spot painted matt"
		}
		rep.add(f)
	}
	c := &rep.Cooling
	if math.IsNaN(c.CaseAmbientKPerW) {
		rep.add(plain("cooling", NotDecidable, "fewer than two rows have tab, room and dissipation", "read the tab and the room with each row"))
		return
	}
	f := Finding{Claim: "resistance from tab to room", Value: c.CaseAmbientKPerW, Limit: math.NaN(), Unit: "K/W", Strength: Weak}
	f.Reason = fmt.Sprintf("%.1f ± %.1f K/W from %d rows", c.CaseAmbientKPerW, 2*c.CaseAmbientErrKPerW, c.Rows)
	if c.TrueHighKPerW > c.CaseAmbientKPerW {
		f.Reason += fmt.Sprintf(", up to %.1f K/W behind the stated contact error, which no fit can see", c.TrueHighKPerW)
	}
	if c.TauKnown {
		f.Strength = Sound
		f.Reason += fmt.Sprintf(", with a time constant of %.0f s", c.TauS)
	} else {
		f.Reason += "; the time constant does not show, so that the rows are taken as settled"
		f.Next = "hold one setting and read the tab every half minute until it no longer moves"
	}
	rep.add(f)
	if math.Abs(c.InterceptK) > 3*c.InterceptErrK && math.Abs(c.InterceptK) > 2*math.Hypot(b.m.TabK, b.m.RoomK) {
		rep.add(Finding{Claim: "the tab's rise does not vanish with the power", Strength: Weak, Value: c.InterceptK, Limit: 0, Unit: "K",
			Reason: "a straight line through the rows leaves a rise at no power",
			Next:   "read the tab with the supply off; look for another source of heat, a thermometer in the wrong place, or an output that switches on and off, whose mean voltage and current do not multiply to the mean power"})
	}
	b.compareCopper(rep)
}

// compareCopper holds the resistance against what is published of SOT-223 on
// any copper: outside twice that range the reading is suspect.
func (b *Bench) compareCopper(rep *Report) {
	c := &rep.Cooling
	if math.IsNaN(c.JunctionAmbientLowKPerW) {
		return
	}
	least, most := inf, -inf
	for _, pkg := range []string{"SOT-223", "TO-252"} {
		for _, r := range thermal.CopperRows(pkg) {
			least, most = math.Min(least, r.JunctionAmbientKPerW), math.Max(most, r.JunctionAmbientKPerW)
		}
	}
	if c.JunctionAmbientHighKPerW < least/2 || c.JunctionAmbientLowKPerW > 2*most {
		rep.add(Finding{Claim: "thermometer or airflow suspect", Strength: Weak, Value: c.CaseAmbientKPerW, Limit: math.NaN(), Unit: "K/W",
			Reason: fmt.Sprintf("junction to room comes out at %.0f to %.0f K/W; SOT-223 and TO-252 on bare copper are published at %.0f to %.0f K/W", c.JunctionAmbientLowKPerW, c.JunctionAmbientHighKPerW, least, most),
			Next:   "check that the thermometer touches the tab, and for a fan or a heat sink"})
	}
}

// findOutput judges regulation over the rows: the output against the input with
// everything that a slow test lets in.
func (b *Bench) findOutput(rep *Report) {
	lowV, highV := inf, -inf
	lowW, highW, lowA, highA, u := inf, -inf, inf, -inf, 0.0
	lowIn, highIn := inf, -inf
	for i := range rep.Rows {
		v := &rep.Rows[i]
		if v.State != Regulating || v.Derived || !(v.HeadroomV >= b.p.Linear.DropoutV(v.LoadA)+0.3) {
			continue
		}
		lowV, highV = math.Min(lowV, v.Row.OutputV), math.Max(highV, v.Row.OutputV)
		lowIn, highIn = math.Min(lowIn, v.Row.InputV), math.Max(highIn, v.Row.InputV)
		lowW, highW = math.Min(lowW, v.DissipationW), math.Max(highW, v.DissipationW)
		lowA, highA = math.Min(lowA, v.LoadA), math.Max(highA, v.LoadA)
		u = math.Max(u, coverage*b.uVolt(v.Row.OutputV))
	}
	if !(highIn-lowIn >= 1) {
		rep.add(plain("line regulation", NotDecidable, "fewer than two regulating rows whose inputs differ by a volt or more", "read at least two inputs well above the dropout"))
		return
	}
	span := highV - lowV
	set := b.s.SetV
	allow := b.p.LineRegulationV + b.p.TempStabilityPct/100*set + b.p.ThermalRegulationPct/100*set*(highW-lowW)
	if b.s.CurrentLimitA > 0 {
		allow += b.p.LoadRegulationV * (highA - lowA) / b.s.CurrentLimitA
	}
	f := Finding{Value: span * 1000, Limit: allow * 1000, Unit: "mV"}
	f.Reason = fmt.Sprintf("the output moved by %.0f mV over inputs of %.4g to %.4g V; line, load, temperature and heat of the sheet together allow %.0f mV in a slow test, and the meter may move by %.0f mV", span*1000, lowIn, highIn, allow*1000, math.Sqrt2*u*1000)
	switch {
	case b.p.LineRegulationV == 0:
		f.Claim, f.Strength, f.Next = "line regulation", NotDecidable, "give the sheet's line regulation"
	case span > allow+2*math.Sqrt2*u:
		f.Claim, f.Strength = "line regulation worse than the sheet allows", Weak
		f.Next = "repeat with pulses of 10 ms at constant junction temperature, as the sheet does"
	case span <= allow:
		f.Claim, f.Strength = "line regulation within the sheet", Weak
		f.Next = "pulses of 10 ms would hold it against the sheet's own figure"
	default:
		f.Claim, f.Strength, f.Next = "line regulation", NotDecidable, "repeat with a voltmeter that resolves a millivolt"
	}
	rep.add(f)
}

// findWatts reports on the user's own power figures.
func (b *Bench) findWatts(rep *Report) {
	wrong := map[WattsSlip][]string{}
	given := 0
	var order []WattsSlip
	for i := range rep.Rows {
		v := &rep.Rows[i]
		if v.Watts == WattsNotGiven {
			continue
		}
		given++
		if v.Watts == WattsRight {
			continue
		}
		if !slices.Contains(order, v.Watts) {
			order = append(order, v.Watts)
		}
		wrong[v.Watts] = append(wrong[v.Watts], fmt.Sprintf("line %d: %.3g W, not %.3g W", v.Row.Line, v.DissipationW, v.Row.OwnW))
	}
	if given == 0 {
		return
	}
	if len(order) == 0 {
		rep.add(plain("the power figures are right", Sound, fmt.Sprintf("all %d agree with (Vin - Vout)·I + Vin·Iq", given), ""))
		return
	}
	for _, s := range order {
		const most = 5
		list := wrong[s]
		more := ""
		if len(list) > most {
			more = fmt.Sprintf(", and %d more", len(list)-most)
			list = list[:most]
		}
		strength := Sound
		if s == WattsUnexplained {
			strength = Weak
		}
		rep.add(plain("power figures: "+s.String(), strength, strings.Join(list, "; ")+more, ""))
	}
}
