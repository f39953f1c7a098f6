package report

import (
	"fmt"
	"math"
	"strings"

	"github.com/stationphysics/stationphysics/station/bench"
)

// mostRows is how many rows a description gives one by one.
const mostRows = 24

// benchWords gives the numbers of the picture for a reader who does not see it.
func benchWords(r *bench.Report, x across, heat bool) string {
	var b strings.Builder
	fmt.Fprintf(&b, "Over %s: what was read beside what the sheet allows. ", x.words)
	if n := numbersOf(r); n != "" {
		b.WriteString(n + ". ")
	}
	lo, hi := r.Part.Linear.BandV()
	fmt.Fprintf(&b, "Band of the output %.4g to %.4g V.", lo, hi)
	if rated := r.Part.Linear.Spec().MaxJunctionC; rated > 0 {
		fmt.Fprintf(&b, " Rated junction %.0f °C.", rated)
	}
	drawn := 0
	for i := range r.Rows {
		v := &r.Rows[i]
		if math.IsNaN(x.of(v)) || math.IsNaN(v.Row.OutputV) {
			continue
		}
		if drawn++; drawn > mostRows {
			continue
		}
		by := ""
		if v.Derived {
			by = " by the power noted, not read"
		}
		e := &v.Expected
		n := places(v.Row.OutputV, v.OutputErrV, e.OutputLowV, e.OutputHighV, 2)
		fmt.Fprintf(&b, "\n%s: %s.%s Output%s %s V", sentence(rowName(v, i)), v.State, unread(v.Row.InputV, " Input %.2f V.", ""), by, reading(v.Row.OutputV, v.OutputErrV, n))
		if !math.IsNaN(e.OutputLowV) {
			fmt.Fprintf(&b, ", allowed %s to %s V", digits(e.OutputLowV, n), digits(e.OutputHighV, n))
		}
		if !math.IsNaN(v.DissipationW) {
			n = places(v.DissipationW, v.DissipationErrW, e.DissipationLowW, e.DissipationHighW, 2)
			fmt.Fprintf(&b, ". Load %.3g A. Lost %s W", v.LoadA, reading(v.DissipationW, v.DissipationErrW, n))
			if !math.IsNaN(e.DissipationLowW) {
				fmt.Fprintf(&b, ", allowed %s to %s W", digits(e.DissipationLowW, n), digits(e.DissipationHighW, n))
			}
		}
		b.WriteString(unread(v.Row.OwnW, ", noted %.3g W", ""))
		b.WriteString(unread(v.Row.TabC, ". Tab %.0f °C", ""))
		if !math.IsNaN(v.JunctionHighC) {
			fmt.Fprintf(&b, ", junction %.0f to %.0f °C", v.JunctionLowC, v.JunctionHighC)
		}
		b.WriteByte('.')
	}
	if drawn > mostRows {
		fmt.Fprintf(&b, "\nAnd %d rows more.", drawn-mostRows)
	}
	if left := len(r.Rows) - drawn; left > 0 {
		fmt.Fprintf(&b, "\nNot drawn, for want of a reading: %d rows.", left)
	}
	if !heat {
		b.WriteString("\nNo panel of tab and junction: the table has no temperatures.")
	}
	return b.String()
}

// numbersOf gives the numbers of the verdict.
func numbersOf(r *bench.Report) string {
	return strings.Replace(sentence(strings.TrimPrefix(decisive(r).words(), ": ")), "margin -", "margin \u2212", 1)
}
