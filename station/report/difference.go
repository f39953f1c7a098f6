package report

import (
	"fmt"
	"io"
	"strings"

	"github.com/stationphysics/stationphysics/station"
)

// Differences writes what changed between two reviews, 80 columns wide. The
// error is that of the writer.
func Differences(w io.Writer, ds []station.Difference) error {
	t := &text{}
	if len(ds) == 0 {
		t.line("Nothing changed.")
	}
	for _, d := range ds {
		switch {
		case d.Before == nil:
			t.wrap("new     ", verdict(d.After))
		case d.After == nil:
			t.wrap("gone    ", verdict(d.Before))
		default:
			t.wrap("before  ", verdict(d.Before))
			t.wrap("  now   ", d.After.Word.String()+strings.TrimPrefix(value(*d.After, ": "), ""))
		}
	}
	_, err := io.WriteString(w, t.b.String())
	return err
}

func verdict(f *station.Finding) string {
	return f.Word.String() + " " + f.Quantity + value(*f, ": ")
}

// Years writes what many seeded years came to, 80 columns wide. The error is
// that of the writer.
func Years(w io.Writer, years []station.Outcome, acceptedH float64) error {
	t := &text{}
	s := station.FailShare(years, acceptedH)
	t.line("")
	t.line(fmt.Sprintf("%d YEARS OF THE SAME CLIMATE", len(years)))
	t.wrap("", fmt.Sprintf("More than %.0f h without service in %.0f %% of the years (95 %% confidence: %.0f to %.0f %%).", acceptedH, 100*s.Frac, 100*s.LowFrac, 100*s.HighFrac))
	worst, sum := station.Outcome{}, 0.0
	for _, y := range years {
		sum += y.LostH
		if y.LostH >= worst.LostH {
			worst = y
		}
	}
	if len(years) > 0 {
		t.wrap("", fmt.Sprintf("Mean %.0f h; worst %.0f h with seed %d, longest outage %.0f h, lowest charge %.0f %%.",
			sum/float64(len(years)), worst.LostH, worst.Seed, worst.LongestLostH, 100*worst.LowestSoC))
	}
	t.wrap("", "The years share one table of monthly means: a darker December than the table's is not among them.")
	_, err := io.WriteString(w, t.b.String())
	return err
}

// Levers writes what single changes buy, 80 columns wide. The error is that of
// the writer.
func Levers(w io.Writer, levers []station.Lever) error {
	t := &text{}
	t.line("")
	t.line("WHAT EACH LEVER BUYS             hours lost a year   hours gained")
	for _, l := range levers {
		t.line(fmt.Sprintf("%-32s %17.0f %14.0f", l.Name, l.MeanLostH, l.GainH))
	}
	_, err := io.WriteString(w, t.b.String())
	return err
}
