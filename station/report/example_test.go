package report_test

import (
	"bytes"
	"errors"
	"fmt"
	"html"
	"io"
	"log"
	"os"
	"path/filepath"
	"regexp"
	"strings"

	"github.com/stationphysics/stationphysics/station"
	"github.com/stationphysics/stationphysics/station/report"
)

// A page with the pictures for which the numbers are there.
//
// Given: three cells of which only trim, meter and board are known.
// Find: what the page draws, and what it says in place of the other pictures.
//
//	mean cell 10.95/3 = 3.650 V
//	highest   (10.95·(1 + 0.015) + 0.02)/3 + 0.03 = 3.741 V
//
// Source: sheet of the IFR26650PE, 3.65 V a cell; errors of the standard meter
// at their worst.
func ExampleHTML() {
	d := &station.Description{
		Name:    "Trim of a pack (invented)",
		Pack:    &station.Pack{Chemistry: "lifepo4", Cells: station.Of(3), MismatchV: station.Of(0.03), TripOverV: station.Of(3.7)},
		Charger: &station.Charger{SetV: station.Of(10.95)},
	}
	o := station.Options{}
	r, err := station.NewReview(d, o)
	if err != nil {
		log.Fatal(err)
	}
	var page bytes.Buffer
	if err := report.HTML(&page, r); err != nil {
		log.Fatal(err)
	}
	for _, m := range regexp.MustCompile(`<svg role="img" aria-label="([^"]*)"`).FindAllStringSubmatch(page.String(), -1) {
		fmt.Println("drawn:", strings.ReplaceAll(html.UnescapeString(m[1]), "; ", "\n  "))
	}
	for _, m := range regexp.MustCompile(`<b>(The sun[^<]*)</b> No picture here: ([^<]*)<`).FindAllStringSubmatch(page.String(), -1) {
		fmt.Println("missing:", m[1], m[2])
	}
	// Output:
	// drawn: Cell voltage at the charger's setting: mean 3.650 V, highest cell at worst 3.741 V
	//   charge limit 3.65 V a cell, too high above 3.70 V. To set: 10.50 V for the pack, 3.500 V a cell. The board opens at 3.70 V.
	// missing: The sun and the skyline. the description does not say site.latitude_deg, site.longitude_deg, site.height_m.
}

// The same trim as text for a terminal: the first lines say what to do first.
//
// Given: three LiFePO4 cells, 12.6 V at the charger.
// Find: what to set.
//
//	12.6/3 = 4.20 V a cell; most (3·(3.65 - 0.03) - 0.02)/1.015 = 10.68 V, least 3·3.45 V
//
// Source: sheets of the IFR26650PE and of a 26650 cell of 4 Ah.
func ExampleText() {
	d := &station.Description{
		Pack:    &station.Pack{Chemistry: "lifepo4", Cells: station.Of(3), MismatchV: station.Of(0.03)},
		Charger: &station.Charger{SetV: station.Of(12.6)},
	}
	r, err := station.NewReview(d, station.Options{})
	if err != nil {
		log.Fatal(err)
	}
	var text bytes.Buffer
	if err := report.Text(&text, r, false); err != nil {
		log.Fatal(err)
	}
	head, _, _ := strings.Cut(text.String(), "\n\n")
	fmt.Println(head)
	// Output:
	// 1. STOP: cell voltage at the charger's setting, 4.200 V, limit 3.650 V, margin
	//    -0.550 V. Set 10.50 V at the charger's output, read with nothing connected,
	//    between 10.35 and 10.67 V. The highest of the 3 cells then reaches at most
	//    3.589 V, 0.061 V below the 3.65 V of LiFePO4.
}

// The equations behind a verdict.
//
// Given: three LiFePO4 cells, 10.5 V at the charger.
// Find: why that is fine.
//
//	worst cell = (V (1 + e) + d - f)/n + h = (10.5·1.015 + 0.02)/3 + 0.03 = 3.589 V
//
// The wrong way believes a verdict without its equation.
//
// Source: sheet of the IFR26650PE, 3.65 V a cell; errors at their worst.
func ExampleText_why() {
	d := &station.Description{
		Pack:    &station.Pack{Chemistry: "lifepo4", Cells: station.Of(3), MismatchV: station.Of(0.03)},
		Charger: &station.Charger{SetV: station.Of(10.5)},
	}
	r, err := station.NewReview(d, station.Options{})
	if err != nil {
		log.Fatal(err)
	}
	var text bytes.Buffer
	if err := report.Text(&text, r, true); err != nil {
		log.Fatal(err)
	}
	_, rest, _ := strings.Cut(text.String(), "WHAT TO SET\n")
	first, _, _ := strings.Cut(rest, "CANNOT TELL")
	fmt.Print(first)
	// Output:
	// FINE        worst cell at the charger's setting: 3.589 V, limit 3.650 V, margin
	//             +0.061 V
	//             because with meter, drift and unequal cells at their worst the
	//                     highest cell stays at 3.589 V
	//             sure    follows from the numbers stated
	//             why     worst cell = (V (1 + e) + d - f)/n + h = (10.50 (1 + 0.0150)
	//                     + 0.020 - 0.000)/3 + 0.030 = 3.589 V
	//             why     limit 3.65 ± 0.05 V a cell: IFR26650PE 3.4 Ah sheet; LiFePO4
	//                     26650 4 Ah sheet
}

// What a change did.
//
// Given: the trim of three cells before, 12.6 V, and after, 10.5 V.
// Find: which verdicts changed.
//
//	12.6/3 = 4.20 V, STOP; (10.5·1.015 + 0.02)/3 + 0.03 = 3.589 V, FINE
//
// Source: as above.
func ExampleDifferences() {
	var reviews []*station.Review
	for _, setV := range []float64{12.6, 10.5} {
		r, err := station.NewReview(&station.Description{
			Pack:    &station.Pack{Chemistry: "lifepo4", Cells: station.Of(3), MismatchV: station.Of(0.03)},
			Charger: &station.Charger{SetV: station.Of(setV)},
		}, station.Options{})
		if err != nil {
			log.Fatal(err)
		}
		reviews = append(reviews, r)
	}
	if err := report.Differences(os.Stdout, station.Compare(reviews[0], reviews[1])); err != nil {
		log.Fatal(err)
	}
	// Output:
	// new     FINE worst cell at the charger's setting: 3.589 V, limit 3.650 V, margin
	//         +0.061 V
	// gone    STOP cell voltage at the charger's setting: 4.200 V, limit 3.650 V,
	//         margin -0.550 V
}

// Many years in a few lines.
//
// Given: twenty seeded years, two of which lost 60 and 90 h of service; 24 h are
// accepted.
// Find: how often a year fails.
//
//	2/20 = 10 %; 95 %: (0.1 + 0.096)/1.192 ± 1.96/1.192 √(0.1·0.9/20 + 0.0024) = 3 to 30 %
//
// The wrong way prints 10 % and no more.
//
// Source: Wilson 1927, Journal of the American Statistical Association 22:209.
func ExampleYears() {
	years := make([]station.Outcome, 20)
	for i := range years {
		years[i] = station.Outcome{Seed: uint64(i + 1), LowestSoC: 0.4}
	}
	years[3].LostH, years[3].LongestLostH, years[3].LowestSoC = 60, 41, 0.02
	years[11].LostH, years[11].LongestLostH, years[11].LowestSoC = 90, 77, 0
	if err := report.Years(os.Stdout, years, 24); err != nil {
		log.Fatal(err)
	}
	// Output:
	// 20 YEARS OF THE SAME CLIMATE
	// More than 24 h without service in 10 % of the years (95 % confidence: 3 to 30
	// %).
	// Mean 8 h; worst 90 h with seed 12, longest outage 77 h, lowest charge 0 %.
	// The years share one table of monthly means: a darker December than the table's
	// is not among them.
}

// What single changes buy.
//
// Given: a station that loses 120 h a year, and three changes tried (invented).
// Find: their order.
//
//	gained = lost as it stands - lost with the change: 120 - 4 = 116 h
//
// The wrong way buys the larger panel first because it is easy to order.
//
// Source: difference of two runs over the same seeds.
func ExampleLevers() {
	levers := []station.Lever{{Name: "as it stands", MeanLostH: 120}}
	for _, l := range []station.Lever{{Name: "half the load", MeanLostH: 4}, {Name: "out of the skyline's shadow", MeanLostH: 31}, {Name: "twice the panels", MeanLostH: 58}} {
		l.GainH = levers[0].MeanLostH - l.MeanLostH
		levers = append(levers, l)
	}
	if err := report.Levers(os.Stdout, levers); err != nil {
		log.Fatal(err)
	}
	// Output:
	// WHAT EACH LEVER BUYS             hours lost a year   hours gained
	// as it stands                                   120              0
	// half the load                                    4            116
	// out of the skyline's shadow                     31             89
	// twice the panels                                58             62
}

// The wrong way: opening the old page for writing and failing half way. WriteFile
// leaves the old one, NewFile does not touch it.
//
// Given: a page that stands, and a calculation that is interrupted.
// Find: what is in the file afterwards.
func ExampleWriteFile() {
	dir, err := os.MkdirTemp("", "page")
	if err != nil {
		log.Fatal(err)
	}
	defer os.RemoveAll(dir)
	path := filepath.Join(dir, "page.html")
	write := func(s string, fail error) func(io.Writer) error {
		return func(w io.Writer) error {
			if _, err := io.WriteString(w, s); err != nil {
				return err
			}
			return fail
		}
	}
	fmt.Println(report.WriteFile(path, write("the old page", nil)))
	fmt.Println(report.WriteFile(path, write("half of a n", errors.New("interrupted"))))
	fmt.Println(errors.Is(report.NewFile(path, write("another", nil)), os.ErrExist))
	b, err := os.ReadFile(path)
	fmt.Println(string(b), err)
	// Output:
	// <nil>
	// interrupted
	// true
	// the old page <nil>
}
