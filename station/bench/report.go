package bench

import (
	"fmt"
	"math"

	"github.com/stationphysics/stationphysics/thermal"
)

// A Finding is one verdict on the part or on the test.
type Finding struct {
	Claim    string // what is stated
	Strength Strength
	Value    float64 // in Unit; NaN where the claim has no number
	Limit    float64 // in Unit; NaN where there is none
	Unit     string
	Reason   string
	Next     string // the measurement that would settle it; empty if settled
}

// An Outcome is the verdict on the part as a whole.
type Outcome uint8

// The outcomes. A bench can show that a part does not meet its sheet; who made
// it, and whether the marking tells the truth, it cannot show.
const (
	NoVerdict    Outcome = iota // cannot tell
	MeetsSheet                  // every measured promise is kept
	DoesNotMeet                 // at least one promise is broken
	FailedShort                 // the pass element conducts without control
	LacksCooling                // it protects itself from heat: board or sink, not the part, is at fault
)

var outcomeText = [...]string{"cannot tell", "meets the sheet where it was measured", "does not meet the sheet", "pass element shorted", "lacks cooling"}

// String gives the outcome in words.
func (o Outcome) String() string {
	if int(o) < len(outcomeText) {
		return outcomeText[o]
	}
	return "?"
}

// A Report is the verdict on a table.
type Report struct {
	Part     Part   // the sheet that was judged by
	Meters   Meters // the errors that were taken for the meters
	Outcome  Outcome
	Strength Strength
	Reason   string
	Next     string   // the measurement that would make the verdict sounder
	Missing  []string // what a verdict needs and the table does not have
	Scope    string   // for what the verdict holds
	Rows     []RowVerdict
	Findings []Finding
	Cooling  Cooling
	Cautions []string // what may hurt, with its number
}

// minRegulating is the least number of soundly regulating rows for a verdict
// that the part meets its sheet.
const minRegulating = 3

// Judge gives the verdict on a table. It cannot fail: what the table does not
// decide is reported as such, with what is missing.
func (b *Bench) Judge(rows []Row) Report {
	rep := Report{Part: b.p, Meters: b.m, Rows: make([]RowVerdict, len(rows)), Cooling: b.fitCooling(nil)}
	if b.s.SetV == 0 {
		rep.Reason, rep.Next = "no part is described", "give the part's sheet"
		return rep
	}
	rep.Scope = "this one unit, on its board, at the settings of the table; other units, of the same batch too, may differ"
	firstShort := len(rows)
	for i, r := range rows {
		rep.Rows[i] = b.judge(r)
		if rep.Rows[i].State == PassElementShorted && firstShort == len(rows) {
			firstShort = i
		}
	}
	// What a part does after it has failed says nothing about its heat before.
	for i := firstShort; i < len(rows); i++ {
		rep.Rows[i].noJunction()
	}
	b.limitingSignature(rep.Rows[:firstShort])
	b.settle(&rep, firstShort)
	b.findHeat(&rep)
	b.findOutput(&rep)
	b.findWatts(&rep)
	b.overall(&rep)
	b.cautions(&rep)
	return rep
}

// limitingSignature looks for the sign of thermal limiting between neighbouring
// rows: the input rises, the heat by the readings with it, but the tab stays
// and the output falls.
func (b *Bench) limitingSignature(rows []RowVerdict) {
	lo, _ := b.p.Linear.BandV()
	for i := 1; i < len(rows); i++ {
		p, v := &rows[i-1], &rows[i]
		// The two states a low output has when heat is not yet suspected.
		if v.State != BeyondSheet && v.State != OutOfSpec && v.State != ThermallyLimiting || !(v.Row.OutputV < lo) {
			continue
		}
		rises := v.Row.InputV-p.Row.InputV > coverage*math.Hypot(b.uVolt(v.Row.InputV), b.uVolt(p.Row.InputV))
		falls := p.Row.OutputV-v.Row.OutputV > coverage*math.Hypot(b.uVolt(v.Row.OutputV), b.uVolt(p.Row.OutputV))
		flat := math.Abs(v.Row.TabC-p.Row.TabC) <= 2
		near := b.s.ShutdownC > 0 && v.JunctionHighC >= b.s.ShutdownC-10 || b.s.ShutdownC == 0 && v.JunctionHighC >= b.s.MaxJunctionC && b.s.MaxJunctionC > 0
		if rises && falls && flat && near {
			v.State, v.Strength = ThermallyLimiting, Sound
			v.Reason = fmt.Sprintf("the input rose by %.2g V, yet the output fell to %.4g V and the tab stayed at %.0f °C, with the junction at up to %.0f °C: the part holds its temperature", v.Row.InputV-p.Row.InputV, v.Row.OutputV, v.Row.TabC, v.JunctionHighC)
			v.Next = "better cooling, or a colder start, brings the output back"
		}
	}
}

// settle fits the cooling and says of each row whether it had come to rest.
func (b *Bench) settle(rep *Report, firstShort int) {
	var use []thermalRow
	for i := range rep.Rows[:firstShort] {
		v := &rep.Rows[i]
		rise := v.Row.TabC - v.Row.RoomC
		if math.IsNaN(rise) || !(v.DissipationW > 0) || v.Derived || v.State == Impossible || v.State == ThermallyLimiting {
			continue
		}
		use = append(use, thermalRow{i, rise, v.DissipationW, v.Row.DwellS})
	}
	rep.Cooling = b.fitCooling(use)
	c := &rep.Cooling
	if !c.TauKnown {
		return
	}
	base := make([]float64, len(use))
	fitTheta(use, c.TauS, base)
	for k, t := range use {
		v := &rep.Rows[t.index]
		v.UnsettledK = c.CaseAmbientKPerW * (t.powerW - base[k])
		v.Settled = NotSettled
		if math.Abs(v.UnsettledK) <= settledWithinK {
			v.Settled = Settled
		}
	}
}

// overall gives the verdict on the part.
func (b *Bench) overall(rep *Report) {
	count := map[State]int{}
	sound := map[State]int{}
	over := 0
	for i := range rep.Rows {
		v := &rep.Rows[i]
		count[v.State]++
		if v.Strength == Sound {
			sound[v.State]++
		}
		if v.OverMaximum {
			over++
		}
	}
	set := func(o Outcome, s Strength, reason, next string) {
		rep.Outcome, rep.Strength, rep.Reason, rep.Next = o, s, reason, next
	}
	switch {
	case count[PassElementShorted] > 0:
		s := Weak
		if sound[PassElementShorted] > 0 {
			s = Sound
		}
		set(FailedShort, s, b.firstReason(rep, PassElementShorted), "with the supply off and the load removed, measure the resistance from input to output")
	case sound[OutOfSpec] >= 2:
		set(DoesNotMeet, Sound, b.firstReason(rep, OutOfSpec), "")
	case sound[OutOfSpec] == 1:
		set(DoesNotMeet, Weak, b.firstReason(rep, OutOfSpec), "repeat that row: one reading may be a slip")
	case count[ThermallyLimiting] > 0:
		s := Weak
		if sound[ThermallyLimiting] > 0 {
			s = Sound
		}
		set(LacksCooling, s, b.firstReason(rep, ThermallyLimiting), "repeat with a fan on the board: the output comes back if it was the heat")
	case count[OutOfSpec] > 0:
		set(DoesNotMeet, Weak, b.firstReason(rep, OutOfSpec), b.firstNext(rep, OutOfSpec))
	case count[DropoutTooLarge] > 0:
		set(DoesNotMeet, Weak, b.firstReason(rep, DropoutTooLarge), b.firstNext(rep, DropoutTooLarge))
	case sound[Regulating] >= minRegulating && count[Impossible] == 0:
		set(MeetsSheet, Sound, fmt.Sprintf("%d of %d rows regulate within the band, and none breaks a promise", count[Regulating], len(rep.Rows)), "")
		if count[CurrentLimiting]+count[BeyondSheet]+count[CannotTell] > 0 || sound[Regulating] < count[Regulating] {
			rep.Strength = Weak
			rep.Reason += "; some rows decide nothing"
			rep.Next = b.anyNext(rep)
		}
	default:
		b.undecided(rep, count, sound)
	}
	if over > 0 {
		rep.add(plain("input above the absolute maximum", Sound, fmt.Sprintf("%d rows exceed %.4g V: the part may be damaged without showing it", over, b.s.MaxInputV), "do not use this unit where its failure would do harm"))
	}
	if n := count[Impossible]; n > 0 {
		rep.add(plain("readings that contradict each other", Sound, b.firstReason(rep, Impossible), "repeat these rows"))
	}
}

// undecided lists what a verdict would need.
func (b *Bench) undecided(rep *Report, count, sound map[State]int) {
	rep.Outcome, rep.Strength = NoVerdict, NotDecidable
	if n := minRegulating - sound[Regulating]; n > 0 {
		rep.Missing = append(rep.Missing, fmt.Sprintf("%d more rows that regulate clearly within the band", n))
	}
	if count[Dropout] > 0 && count[Regulating] == 0 {
		lo, _ := b.p.Linear.BandV()
		rep.Missing = append(rep.Missing, fmt.Sprintf("an input above %.3g V: in dropout a part shows nothing of its regulation", lo+b.p.Linear.DropoutV(0)+0.5))
	}
	if count[CannotTell] > 0 {
		rep.Missing = append(rep.Missing, "input and output voltage in every row")
	}
	if count[BeyondSheet] > 0 {
		rep.Missing = append(rep.Missing, fmt.Sprintf("rows at an input of %.4g to %.4g V, where the sheet makes its promise", b.p.AccuracyLowV, b.p.AccuracyHighV))
	}
	switch {
	case len(rep.Rows) == 0:
		rep.Reason = "the table has no rows"
	case count[BeyondSheet] > 0:
		rep.Reason = b.firstReason(rep, BeyondSheet)
	case count[CurrentLimiting] > 0:
		rep.Reason = b.firstReason(rep, CurrentLimiting)
	case count[Impossible] > 0:
		rep.Reason = b.firstReason(rep, Impossible)
	default:
		rep.Reason = fmt.Sprintf("too few rows: %d regulate soundly, %d are in dropout, of %d", sound[Regulating], count[Dropout], len(rep.Rows))
	}
	rep.Next = b.anyNext(rep)
	if rep.Next == "" && len(rep.Missing) > 0 {
		rep.Next = "take " + rep.Missing[0]
	}
}

func (b *Bench) firstReason(rep *Report, s State) string {
	// A sound row speaks before a weak one.
	for _, least := range []Strength{Sound, NotDecidable} {
		for i := range rep.Rows {
			if v := &rep.Rows[i]; v.State == s && v.Strength >= least {
				if v.Row.Line > 0 {
					return fmt.Sprintf("line %d: %s", v.Row.Line, v.Reason)
				}
				return v.Reason
			}
		}
	}
	return ""
}

func (b *Bench) firstNext(rep *Report, s State) string {
	for i := range rep.Rows {
		if v := &rep.Rows[i]; v.State == s && v.Next != "" {
			return v.Next
		}
	}
	return ""
}

func (b *Bench) anyNext(rep *Report) string {
	for _, s := range []State{BeyondSheet, CurrentLimiting, Impossible, CannotTell, Regulating, Dropout} {
		if n := b.firstNext(rep, s); n != "" {
			return n
		}
	}
	return ""
}

// cautions collects what may hurt.
func (b *Bench) cautions(rep *Report) {
	hotC, shortW, shortV := -inf, 0.0, 0.0
	for i := range rep.Rows {
		v := &rep.Rows[i]
		if v.Row.TabC > hotC {
			hotC = v.Row.TabC
		}
		if v.ShortedLoadW > shortW {
			shortW, shortV = v.ShortedLoadW, v.Row.InputV
		}
	}
	if touch := thermal.BurnThresholdC(thermal.BareMetal, 1); hotC >= thermal.BurnThresholdC(thermal.BareMetal, 600) {
		rep.Cautions = append(rep.Cautions, fmt.Sprintf("the tab was at %.0f °C: bare metal burns skin at a touch from about %.0f °C on, within a minute from %.0f °C (ISO 13732-1, from memory)", hotC, touch, thermal.BurnThresholdC(thermal.BareMetal, 60)))
	}
	if shortW > 0 {
		rep.Cautions = append(rep.Cautions, fmt.Sprintf("a pass element that fails short puts up to %.1f V and %.1f W on the load: test with a current-limited, fused supply, a load resistor that bears it, and no cells or controller connected", shortV, shortW))
	}
}
