package station

import (
	"errors"
	"fmt"
	"math"

	"github.com/stationphysics/stationphysics/battery/trim"
	"github.com/stationphysics/stationphysics/solar/panel"
)

// packSafety is the caution that goes with every finding on cell voltage.
const packSafety = "Stop charging, lower the setting, check each cell with a meter; retire cells that are warm, swollen or unequal. Fuse at the pack, first charge watched; local rules apply."

// setOutput judges the charger's output trimmer.
func (r *reviewer) setOutput() {
	const q = "charger output, read with nothing connected"
	d := r.d
	if !r.have(TopicSet, q, "pack.chemistry", "pack.cells", "charger.set_v") {
		return
	}
	n := *d.Pack.Cells
	spec := trim.Spec{
		Chemistry: r.p.chem.v, Cells: n, TempC: 25,
		MeterPct: *d.Charger.MeterPct, MeterDigitsV: float64(*d.Charger.MeterDigits) * *d.Charger.MeterStepV,
		DriftPct: *d.Charger.DriftPct,
	}
	assumed := []string{}
	if d.Pack.MismatchV != nil {
		spec.HighestCellV = *d.Pack.MismatchV
	} else {
		assumed = append(assumed, "cells of equal voltage (pack.mismatch_v)")
	}
	if r.p.diodeAt("pack") && r.p.pack.ok() {
		spec.DiodeTaperV = r.p.diode.v.VoltageV(0.03 * r.p.pack.v.CapacityAh())
	}
	verdict, err := trim.Judge(r.p.chem.v, n, *d.Charger.SetV, 25)
	if err != nil {
		f := finding(CannotTell, TopicSet, q)
		f.Reason, f.Sure = err.Error(), sureOf()
		if errors.Is(err, trim.ErrNoChargeVoltage) {
			f.Action = "use a charger made for this chemistry"
		}
		r.say(f)
		return
	}
	setting, err := trim.New(spec)
	if err != nil {
		f := finding(CannotTell, TopicSet, q)
		f.Reason, f.Action, f.Sure = err.Error(), "correct the numbers of charger and meter", sureOf()
		r.say(f)
		return
	}
	worst := setting.WorstAtV(*d.Charger.SetV)
	f := finding(Fine, TopicSet, "worst cell at the charger's setting").below(worst, setting.LimitCellV, "V")
	f.Sure = sureOf(assumed...)
	f.Why = []string{
		fmt.Sprintf("worst cell = (V (1 + e) + d - f)/n + h = (%.2f (1 + %.4f) + %.3f - %.3f)/%d + %.3f = %.3f V",
			*d.Charger.SetV, (spec.MeterPct+spec.DriftPct)/100, spec.MeterDigitsV, spec.DiodeTaperV, n, spec.HighestCellV, worst),
		fmt.Sprintf("limit %.2f ± %.2f V a cell: %s", r.p.chem.v.Limits().Charge.V, r.p.chem.v.Limits().Charge.SpreadV, r.p.chem.v.Limits().Charge.Source),
	}
	switch {
	case verdict.Forbids() || worst > setting.LimitCellV && verdict.Fit != trim.Fits && verdict.Fit != trim.DoesNotFill:
		f.Word = Stop
		f.Quantity = "cell voltage at the charger's setting"
		f = f.below(verdict.CellV, verdict.LimitV, "V")
		f.Reason = verdict.Text
		f.Action, f.Caution = setting.Instruction(), packSafety
		f.weight = 1000 + 100*verdict.OverV
	case verdict.Fit == trim.DoesNotFill:
		f.Word = Watch
		f.Reason = verdict.Text
		f.Action = setting.Instruction()
	case worst > setting.LimitCellV:
		f.Word = Change
		f.Reason = fmt.Sprintf("the setting itself fits, but with meter, drift and unequal cells at their worst the highest cell reaches %.3f V", worst)
		f.Action = setting.Instruction()
	default:
		f.Reason = fmt.Sprintf("with meter, drift and unequal cells at their worst the highest cell stays at %.3f V", worst)
	}
	if !setting.Window {
		f.Action += " The errors stated leave no setting that is both safe and full: measure with a better meter, or balance the cells."
	}
	r.say(f)
	r.protection(worst)
}

// protection judges whether the board trips between charge and damage.
func (r *reviewer) protection(worstCellV float64) {
	const q = "over-voltage trip of the protection board"
	if !r.have(TopicSet, q, "pack.trip_over_v") {
		return
	}
	lim := r.p.chem.v.Limits()
	trip := *r.d.Pack.TripOverV
	f := finding(Fine, TopicSet, q).below(trip, lim.Overcharge.V, "V")
	f.Sure = sureOf()
	f.Why = []string{fmt.Sprintf("no sheet holds above %.2f V: %s", lim.Overcharge.V, lim.Overcharge.Source)}
	switch {
	case !lim.Overcharge.Exists():
		return
	case trip > lim.Overcharge.V:
		f.Word = Stop
		f.weight = 500
		f.Reason = fmt.Sprintf("the board stops charging at %.2f V a cell, above the %.2f V at which sheets of %s end: it is a board for another chemistry", trip, lim.Overcharge.V, r.p.chem.v)
		f.Action, f.Caution = fmt.Sprintf("fit a board for %s", r.p.chem.v), packSafety
	case worstCellV >= trip:
		f = f.above(trip, worstCellV, "V") // the limit that it misses
		f.Word = Change
		f.Reason = fmt.Sprintf("the charger's setting brings a cell to %.2f V, so the board, not the charger, ends each charge, and when it opens under sun the rail stands at the charger's output without a battery", worstCellV)
		f.Action = "lower the charger's output; the board is the second line, not the first"
	default:
		f.Reason = "it trips above the charge voltage and before the over-charge limit"
	}
	r.say(f)
}

// setHold judges the charger's input trimmer.
func (r *reviewer) setHold() {
	const q = "charger input hold"
	d := r.d
	miss := append(d.Missing("charger.hold_v"), r.p.module.missing...)
	miss = append(miss, d.Missing("climate.record_low_c", "climate.record_high_c")...)
	if !r.complete(TopicSet, q, miss) {
		return
	}
	w, err := r.p.module.v.Window(*d.Climate.RecordLowC, *d.Climate.RecordHighC, panel.OpenRack())
	if err != nil {
		f := finding(CannotTell, TopicSet, q)
		f.Reason, f.Action = err.Error(), "correct climate.record_low_c and climate.record_high_c"
		r.say(f)
		return
	}
	hold := *d.Charger.HoldV
	drop := 0.0
	if r.p.diodeAt("panel") {
		drop = r.p.diode.v.VoltageV(*d.Panel.ImpA)
	}
	hot := r.p.module.v.At(1000, w.HotCellC)
	keptHot := hot.KeptFrac(hold + drop)
	bestV, bestFrac := r.bestHold(drop)
	kept, over := keptHot, "in full sun on the hottest day"
	if y := r.out.Year; y != nil {
		kept, over = y.KeptFrac(), "over the year"
	}
	f := finding(Fine, TopicSet, "panel power kept at the held input voltage").above(100*kept, 90, "%")
	f.Sure = sureOf("cells cooled as on an open rack")
	f.Why = []string{
		"single diode curve of the label (De Soto, Klein and Beckman 2006), cells after Faiman 2008",
		fmt.Sprintf("hot: %.0f °C cells, maximum power at %.2f V; cold: at %.2f V; held %.2f V + %.2f V of diode", w.HotCellC, w.HotMaxPowerV, w.ColdMaxPowerV, hold, drop),
	}
	f.Reason = fmt.Sprintf("%s %s of the panel's possible energy; in full sun on the hottest day %s", over, pct(kept), pct(keptHot))
	switch {
	case kept < 0.7:
		f.Word = Change
	case kept < 0.9:
		f.Word = Watch
	}
	if f.Word != Fine {
		f.Action = fmt.Sprintf("set the input trimmer to %.1f V, which keeps %s", bestV, pct(bestFrac))
		f.weight = 100 * (1 - kept)
	}
	r.say(f)
}

// bestHold is the held voltage, less the diode's drop, that gets most from the
// year, or from full sun at 45 °C cells where no year can be run, and the share
// of the possible energy it keeps.
func (r *reviewer) bestHold(drop float64) (holdV, keptFrac float64) {
	mild := r.p.module.v.At(1000, 45).MaxPower().Vmp - drop
	if r.sun == nil {
		return mild, 1
	}
	var lit []panel.Weather
	for i, e := range r.sun.cellsWPerM2 {
		if e > 0 {
			s := &r.sun.weather.Steps[i]
			lit = append(lit, panel.Weather{IrradianceWPerM2: e, AirC: s.AirC, WindMPerS: s.WindMPerS})
		}
	}
	v, frac, err := r.p.module.v.BestHold(lit, r.sun.weather.Step.Hours(), panel.OpenRack())
	if err != nil || v == 0 {
		return mild, 1
	}
	return v - drop, frac
}

// setInputMax compares the coldest open panel with the charger.
func (r *reviewer) setInputMax() {
	const q = "coldest open-circuit voltage at the charger's input"
	miss := append(r.d.Missing("charger.input_max_v", "climate.record_low_c"), r.p.module.missing...)
	if !r.complete(TopicSet, q, miss) {
		return
	}
	low := *r.d.Climate.RecordLowC
	high := math.Max(low, 25)
	if r.d.Climate.RecordHighC != nil {
		high = *r.d.Climate.RecordHighC
	}
	w, err := r.p.module.v.Window(low, high, panel.OpenRack())
	if err != nil {
		return // said by setHold
	}
	f := finding(Fine, TopicSet, q).below(w.ColdestV, *r.d.Charger.InputMaxV, "V")
	f.Sure = sureOf("full sun on cells as cold as the record low, as codes for arrays do")
	f.Why = []string{fmt.Sprintf("open circuit at %.0f °C and 1000 W/m2 by the single diode curve of the label (De Soto, Klein and Beckman 2006)", low)}
	f.Reason = fmt.Sprintf("at first sun after a night of %.0f °C the open panel shows %.1f V", low, w.ColdestV)
	switch {
	case f.Margin < 0:
		f.Word, f.weight = Stop, 400
		f.Action = "choose a charger for a higher input or a panel with fewer cells in series"
	case f.Margin < 0.05*f.Limit:
		f.Word = Watch
		f.Action = "leave at least 5 % to the absolute maximum rating"
	}
	r.say(f)
}

// setHeadroom checks every regulator's input window against what feeds it: the pack's
// bus, the adapter, or another rail.
func (r *reviewer) setHeadroom() {
	fromPack, fromAdapter := r.p.supply.fromPack(), r.p.supply.feeds(adapterNode)
	for i := range r.p.supply.regs {
		reg := &r.p.supply.regs[i]
		switch {
		case fromPack[reg.from]:
			if low, high, ok := r.packWindow(); ok {
				r.headroom(reg, low, high, "pack")
			}
		case fromAdapter[reg.from]:
			if low, high, ok := r.adapterWindow(); ok {
				r.headroom(reg, low, high, adapterNode)
			}
		}
	}
}

// packWindow is the lowest voltage of the pack before its protection opens, and the
// highest of its bus.
func (r *reviewer) packWindow() (low, high float64, ok bool) {
	if !r.p.chem.ok() {
		return 0, 0, false
	}
	lim, err := r.p.chem.v.PackLimits(*r.d.Pack.Cells, 25)
	if err != nil {
		return 0, 0, false
	}
	high, low = lim.ChargeV, lim.SaferV
	if r.d.Charger != nil && r.d.Charger.SetV != nil {
		high = math.Max(high, *r.d.Charger.SetV)
	}
	if r.d.Pack.TripUnderV != nil {
		low = *r.d.Pack.TripUnderV * float64(*r.d.Pack.Cells)
	}
	return low, high, true
}

// adapterWindow is the adapter's voltage by its label, and without load.
func (r *reviewer) adapterWindow() (low, high float64, ok bool) {
	a := r.d.Adapter
	if a == nil || a.RatedV == nil {
		return 0, 0, false
	}
	return *a.RatedV, math.Max(*a.RatedV, deref(a.NoLoadV)), true
}

// headroom judges the input of one regulator over the window of its source.
func (r *reviewer) headroom(reg *feeder, sourceLowV, sourceHighV float64, source string) {
	desc := r.d.Regulators[reg.index]
	q := "input of " + or(desc.Name, fmt.Sprintf("regulator %d", reg.index+1))
	low, high := r.p.supply.inputV(reg, sourceLowV), r.p.supply.inputV(reg, sourceHighV)
	if math.IsNaN(low) || math.IsNaN(high) {
		return // below a regulator that is still to be described, or in a circle
	}
	lowWord, highWord := "the lowest voltage of the pack before its protection opens", "the highest voltage of the bus"
	switch direct := packFed(reg.from) || reg.from == adapterNode; {
	case !direct:
		lowWord = fmt.Sprintf("rail %q at the lowest voltage of the %s", reg.from, source)
		highWord = fmt.Sprintf("rail %q at the highest voltage of the %s", reg.from, source)
	case source == adapterNode:
		lowWord, highWord = "the adapter's voltage by its label", "the adapter's voltage without load"
	}
	f := finding(Fine, TopicSet, q+" at most").below(high, *desc.InputMaxV, "V")
	f.Sure = sureOf()
	f.Reason = highWord
	if f.Margin < 0 {
		f.Word, f.weight = Stop, 450
		f.Action = "choose a part whose absolute maximum lies above the bus"
		if source == adapterNode || !packFed(reg.from) {
			f.Action = "choose a part whose absolute maximum lies above what feeds it"
		}
	}
	r.say(f)
	need, why := r.leastInput(reg)
	if need == 0 {
		return
	}
	f = finding(Fine, TopicSet, q+" at least").above(low, need, "V")
	f.Sure = sureOf()
	f.Why = []string{why}
	f.Reason = lowWord
	switch {
	case f.Margin >= 0:
	case packFed(reg.from):
		f.Word = Change
		f.Reason = "the rail falls out of regulation before the pack is empty"
		f.Action = "stop the station above this voltage, or use a part with less dropout"
	default:
		f.Word = Change
		f.Reason = lowWord + " is too little for it: its own rail falls out of regulation"
		f.Action = "feed it from a higher voltage, or use a part with less dropout"
	}
	r.say(f)
}

// leastInput is the input that a regulator needs, and its equation; 0 if nothing
// stated asks for one.
func (r *reviewer) leastInput(reg *feeder) (volts float64, why string) {
	desc := r.d.Regulators[reg.index]
	drop := deref(desc.DropoutV)
	if reg.isLinear {
		drop = reg.linear.DropoutV(r.p.supply.peakA(reg.rail))
	}
	if reg.isLinear || desc.Kind == "step-down" && desc.DropoutV != nil {
		volts, why = reg.outV+drop, fmt.Sprintf("least input = output + dropout = %.2f + %.2f V", reg.outV, drop)
	}
	if least := deref(desc.InputMinV); !reg.isLinear && least > volts {
		volts, why = least, fmt.Sprintf("least input by its sheet %.2f V", least)
	}
	return volts, why
}

func packFed(from string) bool { return from == "pack" || from == "charger" }

// peakA is the largest current on a rail.
func (s *supply) peakA(rail string) float64 {
	sum := 0.0
	for i := range s.loads {
		if s.loads[i].rail == rail {
			sum += s.loads[i].pattern.PeakA()
		}
	}
	return sum
}
