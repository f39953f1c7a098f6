package report_test

import (
	"bytes"
	"fmt"
	"html"
	"log"
	"regexp"
	"strings"

	"github.com/stationphysics/stationphysics/station"
	"github.com/stationphysics/stationphysics/station/report"
)

// Given three cells of which only trim, meter and board are known. Find what
// the page draws, and what it says in place of the other pictures.
//
// The band of cell voltage needs no more: the mean cell is set voltage over
// cells, 10.95/3 = 3.650 V; the highest one (10.95·(1 + 0.015) + 0.02)/3 + 0.03 V.
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
	if err := report.HTML(&page, d, r, o); err != nil {
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
