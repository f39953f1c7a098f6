package report

import (
	"fmt"
	"io"
	"math"
	"strings"
	"unicode"

	"github.com/stationphysics/stationphysics/station/bench"
)

// Bench writes the verdict on a bench table as plain text, 80 columns wide:
// the sheet and the meters it was judged by; row by row what was read, what the
// sheet lets a part show there, the difference, the verdict and why; what the
// rows say together; the verdict on the part with value, limit, margin, how sure
// it is and what to measure next; and what may hurt.
func Bench(w io.Writer, r bench.Report) error {
	t := &text{}
	t.benchHead(&r)
	t.line("")
	t.line("ROW BY ROW  read                the sheet allows    difference")
	for i := range r.Rows {
		t.benchRow(&r, &r.Rows[i], i)
	}
	if len(r.Findings) > 0 {
		t.line("")
		t.line("OVER ALL ROWS")
	}
	for _, f := range r.Findings {
		t.line("")
		t.wrap("", sentence(f.Claim)+" ("+f.Strength.String()+")"+judged(f.Value, f.Limit, f.Unit))
		t.note("because", f.Reason)
		t.note("next", f.Next)
	}
	t.line("")
	t.line("VERDICT")
	t.line("")
	d := decisive(&r)
	t.wrap("", sentence(r.Outcome.String())+" ("+r.Strength.String()+")"+d.words())
	t.note("because", r.Reason)
	// Beside the output, what was over its limit.
	for _, f := range r.Findings {
		if f.Value > f.Limit && f.Limit > 0 { // 0 is no limit of a sheet
			t.note("but", f.Claim+" ("+f.Strength.String()+")"+judged(f.Value, f.Limit, f.Unit))
		}
	}
	if n := overMaximum(&r); n > 0 {
		t.note("but", fmt.Sprintf("%d of %d rows exceed the absolute maximum input of %.4g V", n, len(r.Rows), r.Part.Linear.Spec().MaxInputV))
	}
	t.note("sure", sureness(r.Strength))
	for _, m := range r.Missing {
		t.note("missing", m)
	}
	next := r.Next
	if next == "" && r.Strength == bench.Sound {
		next = "nothing more: the rows decide it"
	}
	t.note("next", next)
	if r.Scope != "" {
		t.note("holds", "for "+r.Scope)
	}
	for _, c := range r.Cautions {
		t.line("")
		t.wrap("Mind: ", c)
	}
	t.line("")
	t.wrap("", "Results are arithmetic on the numbers given, not an inspection.")
	_, err := io.WriteString(w, t.b.String())
	return err
}

// note writes one line of a verdict behind its word, nothing if it is empty.
func (t *text) note(word, s string) {
	if s != "" {
		t.wrap(fmt.Sprintf("  %-10s", word), s)
	}
}

func (t *text) benchHead(r *bench.Report) {
	t.wrap("", "Bench test of "+partName(r))
	s, p, m := r.Part.Linear.Spec(), &r.Part, &r.Meters
	lo, hi := p.Linear.BandV()
	sheet := fmt.Sprintf("%.4g to %.4g V", lo, hi)
	if p.AccuracyHighV > 0 {
		sheet += fmt.Sprintf(" at inputs of %.4g to %.4g V", p.AccuracyLowV, p.AccuracyHighV)
	}
	sheet += fmt.Sprintf("; dropout up to %.3g V without load and %.3g V at %.3g A; own current up to %.3g mA; input up to %.4g V",
		s.DropoutV, s.DropoutV+s.DropoutOhm*s.CurrentLimitA, s.CurrentLimitA, 1000*s.QuiescentA, s.MaxInputV)
	if s.MaxJunctionC > 0 {
		sheet += fmt.Sprintf("; junction up to %.0f °C", s.MaxJunctionC)
	}
	if p.JunctionCaseHighKPerW > 0 {
		sheet += fmt.Sprintf(", %.3g to %.3g K/W from it to the tab", p.JunctionCaseLowKPerW, p.JunctionCaseHighKPerW)
	}
	if s.SetV == 0 {
		sheet = "none"
	}
	t.note("sheet", sheet)
	t.note("meters", fmt.Sprintf("volts ±(%.2g %% + %.2g V); amperes ±(%.2g %% + %.2g A); load ±%.2g %%; tab ±%.2g K; room ±%.2g K; contact error up to %.0f %% of the rise",
		m.VoltPct, m.VoltFloorV, m.CurrentPct, m.CurrentFloorA, m.LoadPct, m.TabK, m.RoomK, 100*m.ContactErrorRatio))
}

func overMaximum(r *bench.Report) (rows int) {
	for i := range r.Rows {
		if r.Rows[i].OverMaximum {
			rows++
		}
	}
	return rows
}

func partName(r *bench.Report) string {
	if r.Part.Name == "" {
		return "a part without a name"
	}
	// What cannot be seen would reach a terminal, or spoil a file.
	return strings.Map(func(c rune) rune {
		if !unicode.IsGraphic(c) {
			return '\ufffd'
		}
		return c
	}, r.Part.Name)
}

func rowName(v *bench.RowVerdict, i int) string {
	if v.Row.Line > 0 {
		return fmt.Sprintf("line %d", v.Row.Line)
	}
	return fmt.Sprintf("row %d", i+1)
}

func (t *text) benchRow(r *bench.Report, v *bench.RowVerdict, i int) {
	row, e := &v.Row, &v.Expected
	t.line("")
	t.wrap("", fmt.Sprintf("%s: %s (%s)", sentence(rowName(v, i)), v.State, v.Strength))
	at := unread(row.InputV, "%.2f V in", "input not read")
	switch {
	case !math.IsNaN(row.LoadOhm):
		at += fmt.Sprintf(", %.4g ohm", row.LoadOhm)
	case math.IsNaN(row.LoadA):
		at += ", load not stated"
	}
	at += unread(row.TabC, "; tab %.1f °C", "; tab not read") + unread(row.RoomC, ", room %.1f °C", "")
	at += unread(row.DwellS, " after %.4g s", "")
	switch v.Settled {
	case bench.NotSettled:
		at += fmt.Sprintf(", %.1f K from rest", math.Abs(v.UnsettledK))
	case bench.Settled:
		at += ", at rest"
	}
	t.note("at", at)
	t.columns("output", row.OutputV, v.OutputErrV, e.OutputLowV, e.OutputHighV, "V", 2)
	if !math.IsNaN(row.LoadOhm) {
		t.columns("load", v.LoadA, v.LoadErrA, e.LoadLowA, e.LoadHighA, "A", 3)
	} else {
		t.columns("load", v.LoadA, v.LoadErrA, math.NaN(), math.NaN(), "A", 3)
	}
	t.columns("lost", v.DissipationW, v.DissipationErrW, e.DissipationLowW, e.DissipationHighW, "W", 2)
	if v.Watts != bench.WattsNotGiven {
		word := v.Watts.String()
		if v.Watts == bench.WattsRight {
			word = "agrees"
		}
		t.note("noted", fmt.Sprintf("%s W: %s", digits(row.OwnW, places(row.OwnW, v.DissipationErrW, 0, 0, 2)), word))
	}
	if !math.IsNaN(v.JunctionHighC) {
		read, allowed, diff := fmt.Sprintf("%.0f to %.0f °C", v.JunctionLowC, v.JunctionHighC), "", ""
		if limit := r.Part.Linear.Spec().MaxJunctionC; limit > 0 {
			allowed = fmt.Sprintf("up to %.0f °C", limit)
			diff = fmt.Sprintf("%.0f K below", limit-v.JunctionHighC)
			if v.JunctionHighC > limit {
				diff = fmt.Sprintf("up to %.0f K above", v.JunctionHighC-limit)
			}
		}
		t.cells("junction", read, allowed, diff)
	}
	t.note("because", v.Reason)
	t.note("next", v.Next)
}

func (t *text) cells(word, read, allowed, diff string) {
	t.line(fmt.Sprintf("  %-10s%-20s%-20s%s", word, read, allowed, diff))
}

// places gives the digits behind the point that a number needs beside its error
// or, without one, beside the range that it is held against: a small load must
// not read 0.00.
func places(x, err, lo, hi float64, least int) int {
	unit := err
	if !(unit > 0) {
		unit = (hi - lo) / 10
	} else if x != 0 && math.Abs(x) < unit {
		unit = math.Abs(x)
	}
	if !(unit > 0) {
		return least
	}
	return min(6, max(least, -int(math.Floor(math.Log10(unit)))))
}

// columns writes what was read against what the sheet allows.
func (t *text) columns(word string, x, errX, lo, hi float64, unit string, least int) {
	if math.IsNaN(x) && math.IsNaN(lo) {
		return
	}
	read, allowed, diff := "not read", "", ""
	n := places(x, errX, lo, hi, least)
	if !math.IsNaN(x) {
		read = reading(x, errX, n) + " " + unit
	}
	if !math.IsNaN(lo) {
		allowed = digits(lo, n) + " to " + digits(hi, n) + " " + unit
	}
	if !math.IsNaN(x) && !math.IsNaN(lo) {
		diff = difference(x, errX, lo, hi, unit, n)
	}
	t.cells(word, read, allowed, diff)
}

func reading(x, errX float64, places int) string {
	if errX > 0 {
		return digits(x, places) + " ± " + digits(errX, places)
	}
	return digits(x, places)
}

// difference says how far a reading lies inside or outside of what is allowed.
func difference(x, errX, lo, hi float64, unit string, places int) string {
	in := math.Min(x-lo, hi-x)
	if in >= 0 {
		return digits(in, places) + " " + unit + " inside"
	}
	side := "below"
	if x > hi {
		side = "above"
	}
	s := digits(-in, places) + " " + unit + " " + side
	if -in <= errX {
		s += ", within ±"
	}
	return s
}

func unread(x float64, format, none string) string {
	if math.IsNaN(x) {
		return none
	}
	return fmt.Sprintf(format, x)
}

// digits gives a number with fixed places, nothing being neither below nor
// above nothing.
func digits(x float64, places int) string {
	s := fmt.Sprintf("%.*f", places, x)
	if strings.Trim(s, "-0.") == "" {
		s = strings.TrimPrefix(s, "-")
	}
	return s
}

// judged gives value, limit and margin of a finding as far as it has them.
func judged(x, limit float64, unit string) string {
	if math.IsNaN(x) {
		return ""
	}
	places := 0
	if math.Abs(x) < 99.5 {
		places = 1
	}
	s := ": " + digits(x, places) + " " + unit
	if !math.IsNaN(limit) {
		s += fmt.Sprintf(", limit %s %s, margin %s %s", digits(limit, places), unit, plus(limit-x, places), unit)
	}
	return s
}

func plus(x float64, places int) string {
	s := digits(x, places)
	if !strings.HasPrefix(s, "-") {
		s = "+" + s
	}
	return s
}

func sureness(s bench.Strength) string {
	switch s {
	case bench.Sound:
		return "sound: nothing else explains it within the errors of the meters"
	case bench.Weak:
		return "weak: likely, but something else may explain it"
	}
	return "not decidable from this table"
}

// A decision is the row on which the verdict on the part rests, in numbers.
type decision struct {
	quantity, unit, row string
	value, limit        float64
	margin              float64
}

func (d decision) words() string {
	if d.quantity == "" {
		return ""
	}
	places := 2
	if d.unit == "°C" {
		places = 0
	}
	return fmt.Sprintf(": %s %s %s, limit %s %s, margin %s %s, the least, in %s", d.quantity, digits(d.value, places), d.unit,
		digits(d.limit, places), d.unit, plus(d.margin, places), d.unit, d.row)
}

// decisive picks, among the rows of the state that decided, the one with the
// least margin.
func decisive(r *bench.Report) decision {
	states := map[bench.Outcome][]bench.State{
		bench.MeetsSheet:   {bench.Regulating},
		bench.DoesNotMeet:  {bench.OutOfSpec, bench.DropoutTooLarge},
		bench.FailedShort:  {bench.PassElementShorted},
		bench.LacksCooling: {bench.ThermallyLimiting},
	}[r.Outcome]
	d := decision{margin: math.Inf(1)}
	s := r.Part.Linear.Spec()
	hot := s.ShutdownC
	if hot == 0 {
		hot = s.MaxJunctionC
	}
	for _, state := range states {
		for i := range r.Rows {
			v := &r.Rows[i]
			if v.State != state {
				continue
			}
			c := decision{"output", "V", rowName(v, i), v.Row.OutputV, v.Expected.OutputLowV, v.Row.OutputV - v.Expected.OutputLowV}
			if high := v.Expected.OutputHighV - v.Row.OutputV; high < c.margin {
				c.limit, c.margin = v.Expected.OutputHighV, high
			}
			if state == bench.ThermallyLimiting && hot > 0 && !math.IsNaN(v.JunctionHighC) {
				c = decision{"junction up to", "°C", rowName(v, i), v.JunctionHighC, hot, hot - v.JunctionHighC}
			}
			if c.margin < d.margin {
				d = c
			}
		}
		if d.quantity != "" {
			break // as the outcome: the first state that occurs has decided
		}
	}
	return d
}
