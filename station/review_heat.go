package station

import (
	"fmt"
	"math"

	"github.com/stationphysics/stationphysics/thermal"
)

// benchC is the room in which parts are tried (common practice).
const benchC = 20.0

// noYearAirC stands for the hottest hour where no year could be run.
const noYearAirC = 35.0

const touchSafety = "Surfaces above about 60 °C burn at a touch (ISO 13732-1, from memory)."

// heat judges junctions on the bench and in the box at its hottest hour, then
// the box for electronics and cells.
func (r *reviewer) heat() {
	if len(r.d.Regulators) == 0 {
		r.say(cannotTell(TopicHeat, "junction temperatures", []string{"regulator"}))
	}
	airC, airWord := noYearAirC, fmt.Sprintf("assumed %.0f °C, no year was run", noYearAirC)
	if y := r.out.Year; y != nil {
		airC = y.HottestBoxC
		airWord = fmt.Sprintf("%.0f °C in the box on %s, %.0f °C outside", airC, y.HottestBoxAt.Format("2 January 15:04"), y.HottestAirC)
		if !r.p.box.ok() {
			airWord = fmt.Sprintf("%.0f °C outside on %s, no box described", airC, y.HottestBoxAt.Format("2 January 15:04"))
		}
	}
	for i := range r.p.supply.regs {
		r.junction(&r.p.supply.regs[i], i, airC, airWord)
	}
	r.boxHeat()
	if r.out.Year != nil {
		r.cellHeat()
		r.shield()
	}
}

// sourceOf returns the highest voltage of what a regulator hangs on in the end, its
// node for supply.below and its name; or the keys that are missing for it.
func (r *reviewer) sourceOf(f *feeder) (volts float64, node, word string, missing []string) {
	switch {
	case r.p.supply.feeds(packNodes...)[f.from]:
		if volts, word = r.busV(), "the bus's highest"; math.IsNaN(volts) {
			missing = []string{"charger.set_v"}
		}
	case r.p.supply.feeds(adapterNode)[f.from]:
		var ok bool
		if _, volts, ok = r.adapterWindow(); !ok {
			missing = []string{"adapter.rated_v"}
		}
		node, word = adapterNode, "the adapter's highest"
	case r.p.supply.fromPack()[f.from]:
		missing = r.p.supply.missing // of the regulator between them
	default:
		missing = []string{fmt.Sprintf("regulator[%d].from (a node that something feeds)", f.index)}
	}
	return volts, node, word, missing
}

// busV is the highest voltage of the pack's bus; NaN if unknown.
func (r *reviewer) busV() float64 {
	if r.d.Charger != nil && r.d.Charger.SetV != nil {
		return *r.d.Charger.SetV
	}
	if r.p.chem.ok() {
		if lim, err := r.p.chem.v.PackLimits(*r.d.Pack.Cells, 25); err == nil {
			return lim.ChargeV
		}
	}
	return math.NaN()
}

func (r *reviewer) junction(f *feeder, k int, airC float64, airWord string) {
	desc := r.d.Regulators[f.index]
	name := or(desc.Name, fmt.Sprintf("regulator %d", f.index+1))
	q := "junction of " + name
	key := func(s string) string { return fmt.Sprintf("regulator[%d].%s", f.index, s) }
	if !f.isLinear && desc.ThetaCAKPerW == nil && desc.ThetaJCKPerW == nil {
		return // a converter's loss is small and its sheet rates it as a whole
	}
	if !r.have(TopicHeat, q, key("junction_to_case_k_per_w"), key("case_to_air_k_per_w")) {
		return
	}
	sourceV, node, sourceWord, missing := r.sourceOf(f)
	if !r.complete(TopicHeat, q, missing) {
		return
	}
	inputV := r.p.supply.inputV(f, sourceV)
	if math.IsNaN(f.at(inputV, 0).InputA) {
		return // a converter above its maximum, which setHeadroom says, has no heat
	}
	path, err := thermal.NewPath(*desc.ThetaJCKPerW, 0, *desc.ThetaCAKPerW)
	if err != nil {
		fd := finding(CannotTell, TopicHeat, q)
		fd.Reason, fd.Action = err.Error(), "correct "+key("case_to_air_k_per_w")
		r.say(fd)
		return
	}
	d := r.p.supply.below(node, sourceV, sustained)
	heatW := d.heatW[k]
	limitC := *desc.JunctionC
	tj := path.JunctionC(airC, heatW)
	bench := path.JunctionC(benchC, heatW)
	fd := finding(Fine, TopicHeat, q).below(tj, limitC, "°C")
	fd.Why = []string{
		fmt.Sprintf("P = (Vin - Vout) I + Vin Iq = %.2f W at %s %.2f V and the longest-lasting current", heatW, sourceWord, sourceV),
		fmt.Sprintf("Tj = Ta + (theta JC + theta CA) P = %.0f + (%.0f + %.0f) %.2f = %.0f °C; on the bench at %.0f °C: %.0f °C",
			airC, *desc.ThetaJCKPerW, *desc.ThetaCAKPerW, heatW, tj, benchC, bench),
	}
	fd.Sure = "within the spread of theta CA, which differs by a factor of three between boards; stated " + fmt.Sprintf("%.0f K/W", *desc.ThetaCAKPerW)
	fd.Reason = fmt.Sprintf("%.2f W; on the bench at %.0f °C it shows %.0f °C, in service %.0f °C (%s)", heatW, benchC, bench, tj, airWord)
	switch {
	case fd.Margin < 0:
		fd.Word = Change
		fd.weight = 300 - fd.Margin
		fd.Action, fd.Caution = coolerAdvice(f, path, inputV, airC, limitC), touchSafety
	case fd.Margin < 20:
		fd.Word = Watch
		fd.weight = 20 - fd.Margin
		fd.Action = "keep 20 K in hand: " + coolerAdvice(f, path, inputV, airC, limitC-20)
	}
	r.say(fd)
}

// coolerAdvice says what current the part could carry, and what else would do. Its
// numbers are rounded down, so that they hold as they are read.
func coolerAdvice(f *feeder, path thermal.Path, inputV, airC, limitC float64) string {
	w := math.Floor(100*path.MaxPowerW(limitC, airC)) / 100
	if !f.isLinear {
		return fmt.Sprintf("give it copper or air: it may turn %.2f W into heat there", w)
	}
	mA := math.Floor(1000 * f.linear.LargestLoadA(inputV, w))
	if !(mA > 0) {
		return fmt.Sprintf("use a switching step-down in its place, or a larger heat sink, or lower its input (%.2f W is all it may turn into heat there)", w)
	}
	return fmt.Sprintf("use a switching step-down in its place, or hold the load below %.0f mA, or lower its input (%.2f W is all it may turn into heat there)", mA, w)
}

// boxHeat judges what the box does to electronics and cells.
func (r *reviewer) boxHeat() {
	const q = "air in the box at its hottest hour"
	if !r.complete(TopicHeat, q, r.p.box.missing) {
		return
	}
	y := r.out.Year
	if y == nil {
		r.say(cannotTell(TopicHeat, q, r.noYear))
		return
	}
	f := finding(Fine, TopicHeat, q).below(y.HottestBoxC, *r.d.Box.ElectronicsC, "°C")
	f.Reason = fmt.Sprintf("%.0f K above the air on %s", y.HottestBoxC-y.HottestAirC, y.HottestBoxAt.Format("2 January 15:04"))
	f.Sure = "within about 30 % of the rise, by the wind at the box and its colour"
	f.Why = []string{"balance of sun, own heat, convection (Churchill and Chu 1975, Mitchell 1976) and radiation over the box's surface"}
	if f.Margin < 0 {
		f.Word, f.weight = Change, 100
		f.Action = "white paint, a sunshade with an air gap, or a place in the shade"
	} else if f.Margin < 5 {
		f.Word = Watch
		f.Action = "a sunshade with an air gap"
	}
	r.say(f)
	r.wetWall(y)
}

// wetWall judges how often water can stand on the inside of the wall.
func (r *reviewer) wetWall(y *Year) {
	f := finding(Fine, TopicHeat, "hours in which the wall of the box can be wet inside")
	if math.IsNaN(y.WallWetH) {
		f.Word = CannotTell
		f.Reason = "the weather has no dew point"
		f.Action = "give the weather a column dew_point_c"
		f.Missing = []string{"dew_point_c (a column of the weather)"}
		f.Sure = "nothing is assumed in place of a missing column"
		r.say(f)
		return
	}
	f = f.below(y.WallWetH, 100, "h")
	f.Reason = "wall below the dew point of the air that the box breathes, under a clear sky"
	f.Sure = "an upper bound: clouds and a tight box make it less; 100 h is this review's yardstick"
	f.Why = []string{"wall from the box's balance with half of a clear sky, Tsky = 0.0552 Tair^1.5 (Swinbank 1963)"}
	if r.o.Weather == nil {
		f.Sure += "; dew point taken as the day's lowest air temperature (FAO-56, eq. 48)"
	}
	if f.Margin < 0 {
		f.Word = Watch
		f.Action = "a vent with a membrane at the bottom, drip loops on cables, coated boards"
	}
	r.say(f)
}

// shield says how far a sensor in a passive shield may stand above the air in
// the year's worst hour.
func (r *reviewer) shield() {
	has := false
	for _, s := range r.d.Sensors {
		has = has || s.Place == "shield" && (s.Kind == "temperature" || s.Kind == "humidity")
	}
	if !has || r.sun == nil {
		return
	}
	worst := thermal.ShieldError{HighK: math.Inf(-1)}
	var at *WeatherStep
	for i := range r.sun.weather.Steps {
		w := &r.sun.weather.Steps[i]
		if e := thermal.ShieldErrorBand(w.GlobalWPerM2, w.WindMPerS); e.HighK > worst.HighK {
			worst, at = e, w
		}
	}
	if at == nil {
		return
	}
	f := finding(Fine, TopicHeat, "temperature sensor in its shield, worst hour")
	f.Value, f.Unit = worst.HighK, "K"
	f.Reason = fmt.Sprintf("up to %.1f K above the air on %s (%.0f W/m2, %.1f m/s): %s", worst.HighK, at.Start.Format("2 January 15:04"), at.GlobalWPerM2, at.WindMPerS, worst.Reason)
	f.Sure = "a published band for shields in general: state it with the reading, never subtract it"
	if worst.HighK > 1 {
		f.Word = Watch
		f.Action = "state the band with readings in calm sun, or draw air through the shield with a fan"
	}
	r.say(f)
}

func (r *reviewer) cellHeat() {
	y := r.out.Year
	lim := r.p.chem.v.Limits()
	where := "counted over the year at the cells' place"
	if r.d.Pack.Place != "outside" && !r.p.box.ok() {
		where = "counted over the year in the air outside: no box is described"
	}
	f := finding(Fine, TopicHeat, "battery cells at their hottest").below(y.HottestCellC, lim.ChargeWindow.MaxC, "°C")
	f.Reason = fmt.Sprintf("charge window %.0f..%.0f °C: %s", lim.ChargeWindow.MinC, lim.ChargeWindow.MaxC, lim.ChargeWindow.Source)
	f.Sure = "cells follow the box without delay, which overstates the peak"
	if r.d.Pack.Place == "" {
		f.Sure += "; pack.place is not stated, taken as in the box"
	}
	if f.Margin < 0 {
		f.Word, f.weight = Change, 200
		f.Action = "move the cells out of the sunlit box, or shade it"
	}
	// In a box that is not described the cells may get hotter than that.
	if r.d.Pack.Place == "outside" || r.p.box.ok() || f.Margin < 0 {
		r.say(f)
	}
	if y.FrostChargeH > 0 {
		f := finding(Change, TopicHeat, "hours of charging below the cells' window").below(y.FrostChargeH, 0, "h")
		f.Reason = fmt.Sprintf("the charger does not stop below %.0f °C: %.0f h of charging in the frost in a year, lithium plates out on the electrode", lim.ChargeWindow.MinC, y.FrostChargeH)
		f.Action = "fit a charger or board that blocks charging in the cold (pack.cold_stop = true)"
		f.Caution = fmt.Sprintf("No charge below %.0f °C; never warm frozen cells by hand or hair dryer; retire cells that swell.", lim.ChargeWindow.MinC)
		f.Sure = where
		f.weight = 250
		r.say(f)
	}
}
