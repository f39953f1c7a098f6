// Package report shows a review: as text for a terminal, 80 columns wide, and
// as one page for a browser or the printer with pictures.
//
// The page stands for itself: it loads nothing, runs nothing, follows the
// reader's choice of light or dark, fits a phone and can be used with a
// keyboard and a screen reader, to which each picture gives its numbers in
// words. No picture tells anything by colour alone: what is lost is hatched or
// dashed, what is there is solid, and lines carry their names.
//
// The pictures are the band of cell voltage at the charger's setting, the
// panel's power hot and cold, the table of single faults, the hottest day, the
// charge through the year, need against harvest, what is lost along the chain,
// and the sun over the skyline. They are drawn from the same model as the
// verdicts. One whose lines the description lacks is replaced by their names.
//
// Bench and BenchSVG do the same for a bench table: text, and a picture that is
// a file of its own.
package report

import (
	"fmt"
	"io"
	"math"
	"strings"

	"github.com/stationphysics/stationphysics/internal/wording"
	"github.com/stationphysics/stationphysics/station"
)

// Width is the number of columns that Text keeps to.
const Width = 80

// Text writes a review as plain text, 80 columns wide, without colour. The
// first lines say the one or two things to do first; then follow the topics,
// one verdict after another: word, quantity, value, limit, margin, then the
// reason and what to do. With why the equations behind each verdict follow. The
// error is that of the writer.
func Text(w io.Writer, r *station.Review, why bool) error {
	t := &text{}
	t.head(r)
	for _, topic := range station.Topics() {
		t.topic(r, topic, why)
	}
	if r.Year != nil {
		t.months(r.Year)
	}
	t.line("")
	t.wrap("", "Results are arithmetic on the numbers given, not an inspection. Local codes and licensed practice decide.")
	_, err := io.WriteString(w, t.b.String())
	return err
}

type text struct{ b strings.Builder }

func (t *text) line(s string) {
	t.b.WriteString(strings.TrimRight(s, " "))
	t.b.WriteByte('\n')
}

// wrap writes words after a prefix, continued under the first word.
func (t *text) wrap(prefix, s string) { t.b.WriteString(wording.Wrap(prefix, s, Width)) }

func (t *text) head(r *station.Review) {
	name := r.Name
	if name == "" {
		name = "station without a name"
	}
	first := r.First()
	if len(first) == 0 {
		t.wrap("", nothingFirst(r))
	}
	for i, f := range first {
		t.wrap(fmt.Sprintf("%d. ", i+1), f.Word.String()+": "+f.Quantity+value(f, ", ")+". "+sentence(f.Action))
	}
	t.line("")
	t.wrap("", "Design review of "+name)
	count := map[station.Word]int{}
	for _, f := range r.Findings {
		count[f.Word]++
	}
	var parts []string
	for w := station.Stop; ; w-- {
		if count[w] > 0 {
			parts = append(parts, fmt.Sprintf("%d %s", count[w], w))
		}
		if w == station.Fine {
			break
		}
	}
	t.wrap("", strings.Join(parts, ", "))
}

// nothingFirst is the first line where no verdict asks for a change: it must not
// sound like approval of what nobody could judge.
func nothingFirst(r *station.Review) string {
	n := 0
	for _, f := range r.Findings {
		if f.Word == station.CannotTell {
			n++
		}
	}
	if n == 0 {
		return "No verdict asks for a change."
	}
	return fmt.Sprintf("No verdict asks for a change, but %d cannot be told: add the lines that they name.", n)
}

func (t *text) topic(r *station.Review, topic station.Topic, why bool) {
	any := false
	for _, f := range r.Findings {
		if f.Topic != topic {
			continue
		}
		if !any {
			t.line("")
			t.line(strings.ToUpper(string(topic)))
			any = true
		}
		t.finding(f, why)
	}
}

func (t *text) finding(f station.Finding, why bool) {
	t.wrap(fmt.Sprintf("%-12s", f.Word), f.Quantity+value(f, ": "))
	const indent = "            "
	if f.Reason != "" {
		t.wrap(indent+"because ", f.Reason)
	}
	if f.Action != "" {
		t.wrap(indent+"do      ", f.Action)
	}
	if f.Caution != "" {
		t.wrap(indent+"mind    ", f.Caution)
	}
	if why {
		if f.Sure != "" {
			t.wrap(indent+"sure    ", f.Sure)
		}
		for _, s := range f.Why {
			t.wrap(indent+"why     ", s)
		}
	}
}

// value gives number, limit and margin as far as the finding has them.
func value(f station.Finding, lead string) string {
	if math.IsNaN(f.Value) {
		return ""
	}
	s := lead + number(f.Value, f.Unit)
	if !math.IsNaN(f.Limit) {
		s += ", limit " + number(f.Limit, f.Unit) + ", margin " + signed(f.Margin, f.Unit)
	}
	return s
}

func number(x float64, unit string) string {
	s := fmt.Sprintf("%.*f", decimals(x, unit), x)
	if strings.Trim(s, "-0.") == "" {
		s = strings.TrimPrefix(s, "-") // nothing is not below nothing
	}
	return strings.TrimSpace(s + " " + unit)
}

func signed(x float64, unit string) string {
	return strings.TrimSpace(fmt.Sprintf("%+.*f %s", decimals(x, unit), x, unit))
}

// decimals keeps what a reader can use of a number.
func decimals(x float64, unit string) int {
	switch unit {
	case "°C", "K", "%", "h", "ohm", "lx", "":
		if math.Abs(x) < 1 && x != 0 {
			return 2
		}
		return 0
	case "hPa", "days", "heights":
		return 1
	case "V":
		if math.Abs(x) < 10 {
			return 3
		}
		return 2
	}
	if strings.HasPrefix(unit, "of ") {
		return 0
	}
	return 2
}

func sentence(s string) string {
	if s == "" {
		return ""
	}
	return strings.ToUpper(s[:1]) + s[1:]
}

func (t *text) months(y *station.Year) {
	t.line("")
	t.line("MONTH BY MONTH, Wh A DAY")
	t.line("          possible  offered    taken   served   lost h   lowest charge")
	names := [...]string{"January", "February", "March", "April", "May", "June", "July", "August", "September", "October", "November", "December"}
	for m := range y.Months {
		x := &y.Months[m]
		if x.SpanH == 0 {
			continue
		}
		d := x.SpanH / 24
		t.line(fmt.Sprintf("%-10s%8.1f %8.1f %8.1f %8.1f %8.0f %10.0f %%", names[m], x.PossibleWh/d, x.OfferedWh/d, x.TakenWh/d, x.ServedWh/d, x.LostH, 100*x.LowestSoC))
	}
}
