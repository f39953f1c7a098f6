package report

import (
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"html"
	"io"
	"math"
	"os"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"github.com/stationphysics/stationphysics/station"
)

func demo(t testing.TB) *station.Description {
	t.Helper()
	f, err := os.Open("../../examples/station/demo.toml")
	require.NoError(t, err)
	defer f.Close()
	d, err := station.Read(f, "demo.toml")
	require.NoError(t, err)
	return d
}

func reviewed(t testing.TB, d *station.Description, o station.Options) (string, *station.Review) {
	t.Helper()
	r, err := station.NewReview(d, o)
	require.NoError(t, err)
	var b bytes.Buffer
	require.NoError(t, HTML(&b, r))
	return b.String(), r
}

var (
	svgElement = regexp.MustCompile(`(?s)<svg .*?</svg>`)
	svgLabel   = regexp.MustCompile(`^<svg role="img" aria-label="([^"]+)" viewBox="0 0 360 \d+"`)
)

// alts gives the alternative texts of the pictures of a page.
func alts(t testing.TB, page string) []string {
	t.Helper()
	var out []string
	for _, s := range svgElement.FindAllString(page, -1) {
		m := svgLabel.FindStringSubmatch(s)
		require.NotNil(t, m, s[:min(len(s), 200)])
		out = append(out, html.UnescapeString(m[1]))
	}
	return out
}

// sound checks what every page must keep, whatever the description.
func sound(t testing.TB, page string, r *station.Review) {
	t.Helper()
	for _, bad := range []string{"NaN", "Inf", "%!", "ZgotmplZ", "<script", "javascript:", "http:", "https:", " src=", "url(", "@import", "<link", "<iframe", "<object", "xlink", "FE01", ":#-"} {
		// What the review itself says is its own matter, and its tests'.
		if i := strings.Index(page, bad); i >= 0 && !(strings.Contains("NaN Inf", bad) && strings.Contains(strings.Join(saidNumbers(r), "\n"), bad)) {
			t.Errorf("the page holds %q: %s", bad, page[max(0, i-200):min(len(page), i+200)])
		}
	}
	require.Empty(t, regexp.MustCompile(`<[^>]*\son[a-z]+=`).FindString(page), "an event handler")
	require.Less(t, len(page), 1_500_000)
	wellFormed(t, page)
	outline(t, page)
}

// saidNumbers gives every text of a review in which a number can stand.
func saidNumbers(r *station.Review) (out []string) {
	for _, f := range r.Findings {
		out = append(out, f.Quantity, f.Reason, f.Action, f.Sure, value(f, ""), strings.Join(f.Why, " "))
	}
	return out
}

// wellFormed parses each picture as XML and checks that its numbers are.
func wellFormed(t testing.TB, page string) {
	t.Helper()
	for _, s := range svgElement.FindAllString(page, -1) {
		dec := xml.NewDecoder(strings.NewReader(s))
		marks := 0
		for {
			tok, err := dec.Token()
			if errors.Is(err, io.EOF) {
				break
			}
			require.NoError(t, err)
			if e, ok := tok.(xml.StartElement); ok && (e.Name.Local == "path" || e.Name.Local == "text") {
				marks++
			}
		}
		require.Greater(t, marks, 10, "an empty picture")
		for _, m := range regexp.MustCompile(`var\((--[a-z]+)\)`).FindAllStringSubmatch(s, -1) {
			require.Contains(t, pageStyle, m[1]+":")
		}
	}
}

// outline checks landmarks, headings in order, anchors, and table headers.
func outline(t testing.TB, page string) {
	t.Helper()
	for _, one := range []string{"<header>", "<nav ", "<main>", "<footer>", "<h1>", `<html lang="en">`, "<title>", `name="viewport"`} {
		require.Equal(t, 1, strings.Count(page, one), one)
	}
	level := 0
	for _, m := range regexp.MustCompile(`<h([1-6])[ >]`).FindAllStringSubmatch(page, -1) {
		l, _ := strconv.Atoi(m[1])
		require.LessOrEqual(t, l, level+1, "a heading level is skipped")
		level = l
	}
	ids := map[string]bool{}
	for _, m := range regexp.MustCompile(` id="([^"]*)"`).FindAllStringSubmatch(page, -1) {
		require.False(t, ids[m[1]], "id %q twice", m[1])
		ids[m[1]] = true
	}
	for _, m := range regexp.MustCompile(` (?:href="#|aria-labelledby=")([^"]*)"`).FindAllStringSubmatch(page, -1) {
		require.True(t, ids[m[1]], "nothing is called %q", m[1])
	}
	require.NotRegexp(t, `<th>|<th class`, page, "a table header without scope")
	// The table that a phone shows as blocks keeps its parts for a screen reader.
	require.Equal(t, 5, strings.Count(page, ` role="columnheader"`))
	require.Equal(t, strings.Count(page, ` role="rowheader"`)+1, strings.Count(page, ` role="row"`))
	for _, m := range regexp.MustCompile(`<div class="wide"[^>]*>`).FindAllString(page, -1) {
		require.Contains(t, m, `tabindex="0"`, "a scrolling table must be reached by keyboard")
		require.Contains(t, m, `aria-label="`)
	}
}

func TestPageSaysEverythingTheReviewSays(t *testing.T) {
	page, r := reviewed(t, demo(t), station.Options{Seed: 1})
	sound(t, page, r)
	text := html.UnescapeString(page)
	for _, f := range r.Findings {
		require.GreaterOrEqual(t, strings.Count(text, f.Quantity), 2, "in the table and at length: %s", f.Quantity)
		for _, s := range append([]string{sentence(f.Reason), sentence(f.Action), f.Caution, sentence(f.Sure)}, f.Why...) {
			require.Contains(t, text, s)
		}
		if !math.IsNaN(f.Limit) {
			require.Contains(t, text, number(f.Value, f.Unit)+"</b>, limit "+number(f.Limit, f.Unit)+", margin "+signed(f.Margin, f.Unit))
		}
	}
	first := text[strings.Index(text, `id="first"`):strings.Index(text, `id="verdicts"`)]
	for _, f := range r.First() {
		require.Contains(t, first, f.Quantity)
		require.Contains(t, first, sentence(f.Action))
	}
	require.Contains(t, text, "Local codes and licensed practice decide.")
	require.Equal(t, len(r.Findings), strings.Count(page, "<article "))
}

// The alternative texts carry the numbers that the review and the year have.
func TestAltTextsGiveTheNumbers(t *testing.T) {
	page, r := reviewed(t, demo(t), station.Options{Seed: 1})
	all := alts(t, page)
	require.Len(t, all, 7)
	for _, a := range all {
		require.GreaterOrEqual(t, len(regexp.MustCompile(`\d+`).FindAllString(a, -1)), 4, a)
		require.True(t, strings.HasSuffix(a, "."), a)
	}
	joined := strings.Join(all, "\n")
	y := r.Year
	month, ratio := y.WorstMonth()
	for _, want := range []string{
		"mean 4.200 V", "charge limit 3.65 V a cell", "To set: 10.50 V for the pack", "The board opens at 3.90 V",
		"The charger stands 28.0 V; the coldest open panel reaches 25.0 V.",
		fmt.Sprintf("%.0f h without service, the longest outage %.0f h from %s.", y.LostH, y.LongestLostH, y.LongestFrom.Format("2 January")),
		fmt.Sprintf("The worst is %s", monthWords[month-1]), fmt.Sprintf("%.2f times the need", ratio),
		fmt.Sprintf("%.2f taken and %.2f served", y.Energy.TakenWh/1000, y.Energy.ServedWh/1000),
		"on 21 December 0.0 and 8.1 h",
		"junction ≤ 125 °C",
	} {
		require.Contains(t, joined, want)
	}
	require.Regexp(t, `Hidden in the year: \d+ of 4\d{3} h, \d+ %; most in January, 268 h`, joined)
	require.Regexp(t, `air in the box up to \d+ °C, logic regulator up to 13\d °C`, joined)
}

// The bars of the chain end where the balance ends.
func TestLossesLeaveWhatIsServed(t *testing.T) {
	_, r := reviewed(t, demo(t), station.Options{Seed: 1})
	e := r.Year.Energy
	require.InDelta(t, e.ServedWh, e.PossibleWh-(e.PossibleWh-e.OfferedWh)-e.RefusedWh-e.DiodeWh-e.ChargerWh-(e.PackWh+e.StoredWh)-(e.IdleWh+e.BootWh)-e.RegulatorWh, 1e-6)
	p := lossPicture(r.Year)
	require.Contains(t, string(p.SVG), ">"+few(e.ServedWh/1000)+"<")
	require.Contains(t, string(p.SVG), "(−"+few(e.RegulatorWh/1000)+")")
}

func TestFaultMatrix(t *testing.T) {
	m, err := station.Compile(demo(t))
	require.NoError(t, err)
	p := faultMatrix(m)
	require.Empty(t, p.Absent)
	survey, _, err := m.Survey()
	require.NoError(t, err)
	require.Len(t, p.Matrix.Rows, len(survey.Rows))
	lost := 0
	for _, row := range p.Matrix.Rows {
		require.Len(t, row.Cells, len(p.Matrix.Items), row.Fault)
		lost += row.Lost
		for i, c := range row.Cells {
			require.NotEmpty(t, c.Word, "a word, not a colour alone")
			if row.Fault == "logic regulator: pass element short" && p.Matrix.Items[i] == "controller" {
				require.Equal(t, "LOST", c.Word)
				require.Regexp(t, `^1\d\.\d\d V, 2\.\d\d ×$`, c.Number)
			}
		}
	}
	require.Positive(t, lost)
	require.Contains(t, p.Matrix.Label, fmt.Sprintf("%d times in all", lost))
	require.Equal(t, "as built, no fault", p.Matrix.Rows[0].Fault)
}

// Words of the user go into the page as words, into the pictures too.
func TestWordsOfTheUserStayWords(t *testing.T) {
	evil := `<script>alert("1")</script> & $1 'x'`
	d := demo(t)
	d.Name, d.Regulators[0].Name, d.Loads[0].Name, d.Sensors[0].Name, d.Links[0].Name = evil, evil+"r", evil+"l", evil+"s", `"><img src=x onerror=alert(1)>`
	r, err := station.NewReview(d, station.Options{Seed: 1})
	require.NoError(t, err)
	var b bytes.Buffer
	require.NoError(t, HTML(&b, r))
	page := b.String()
	require.NotContains(t, page, "<script")
	require.NotContains(t, page, "<img")
	wellFormed(t, page)
	outline(t, page)
	require.Contains(t, page, "<h1>&lt;script&gt;")
	require.Contains(t, strings.Join(alts(t, page), "\n"), evil+"r up to 13", "the label of the picture keeps every sign of it")
}

// An empty description gives a page whose missing pictures say what to add.
func TestMissingPicturesNameTheirLines(t *testing.T) {
	page, r := reviewed(t, &station.Description{}, station.Options{})
	sound(t, page, r)
	require.Empty(t, alts(t, page))
	require.Equal(t, 8, strings.Count(page, `class="absent"`))
	for _, want := range []string{
		"The cells at the charger&#39;s setting.</b> No picture here: the description does not say pack.chemistry, pack.cells, charger.set_v.",
		"The panel hot and cold, and the held voltage.</b> No picture here: the description does not say panel.vmp_v, panel.imp_a, panel.voc_v, panel.isc_a, panel.cells, charger.hold_v, climate.record_low_c, climate.record_high_c.",
		"The sun and the skyline.</b> No picture here: the description does not say site.latitude_deg, site.longitude_deg, site.height_m.",
		"climate.global_kwh_per_m2_day",
	} {
		require.Contains(t, page, want)
	}
	require.Contains(t, page, "No verdict asks for a change")
	require.Contains(t, page, "station without a name")
}

func TestEverySectionMayBeMissing(t *testing.T) {
	for name, drop := range map[string]func(d *station.Description){
		"site":             func(d *station.Description) { d.Site = nil },
		"skyline":          func(d *station.Description) { d.Site.SkylineDeg = nil },
		"climate":          func(d *station.Description) { d.Climate = nil },
		"panel":            func(d *station.Description) { d.Panel = nil },
		"diode":            func(d *station.Description) { d.Diode = nil },
		"charger":          func(d *station.Description) { d.Charger = nil },
		"input max":        func(d *station.Description) { d.Charger.InputMaxV = nil },
		"pack":             func(d *station.Description) { d.Pack = nil },
		"board":            func(d *station.Description) { d.Pack.TripOverV = nil },
		"release":          func(d *station.Description) { d.Pack.ReleaseV = nil },
		"regulators":       func(d *station.Description) { d.Regulators = nil },
		"thermal path":     func(d *station.Description) { d.Regulators[0].ThetaCAKPerW = nil },
		"path and box":     func(d *station.Description) { d.Regulators[0].ThetaCAKPerW, d.Box = nil, nil },
		"loads":            func(d *station.Description) { d.Loads = nil },
		"service":          func(d *station.Description) { d.Service = nil },
		"adapter":          func(d *station.Description) { d.Adapter, d.Links = nil, nil },
		"box":              func(d *station.Description) { d.Box = nil },
		"sensors":          func(d *station.Description) { d.Sensors = nil },
		"reading":          func(d *station.Description) { d.Reading = nil },
		"chargeless cells": func(d *station.Description) { d.Pack.Chemistry = "nimh" },
		"a coarse meter":   func(d *station.Description) { d.Charger.MeterPct = station.Of(5.0) },
		"south": func(d *station.Description) {
			d.Site.LatitudeDeg, d.Panel.FacingDeg = station.Of(-44.0), station.Of(0.0)
			c := *d.Climate
			c.GlobalKWhPerM2 = append(append([]float64(nil), c.GlobalKWhPerM2[6:]...), c.GlobalKWhPerM2[:6]...)
			d.Climate = &c
		},
		"equator":           func(d *station.Description) { d.Site.LatitudeDeg = station.Of(0.0) },
		"hold far too high": func(d *station.Description) { d.Charger.HoldV = station.Of(30.0) },
		"charger far off":   func(d *station.Description) { d.Charger.InputMaxV = station.Of(100.0) },
	} {
		t.Run(name, func(t *testing.T) {
			d := demo(t)
			drop(d)
			page, r := reviewed(t, d, station.Options{Seed: 1})
			sound(t, page, r)
			require.Equal(t, 8, strings.Count(page, "<figure")+strings.Count(page, `class="absent"`))
			if name == "loads" || name == "panel" || name == "pack" {
				require.Regexp(t, `What is lost along the chain\.</b> No picture here: the description does not say [^<]*`+strings.TrimSuffix(name, "s"), page)
			}
			if name == "south" {
				require.True(t, strings.Contains(page, "looking north"))
			}
		})
	}
}

// Inside the polar circle the sun has arcs without a rise, and dates without an
// arc.
func TestPolarSite(t *testing.T) {
	d := demo(t)
	d.Site.LatitudeDeg, d.Climate = station.Of(78.2), nil
	page, r := reviewed(t, d, station.Options{})
	sound(t, page, r)
	require.Contains(t, strings.Join(alts(t, page), "\n"), "on 21 December 0.0 and 0.0 h")
}

// A weather of a few days has a few days of charge and no month without.
func TestShortWeather(t *testing.T) {
	csv := "time,global_w_per_m2,air_c\n"
	for h := range 72 {
		g := math.Max(0, 500*math.Sin(float64(h%24-6)/12*math.Pi))
		csv += fmt.Sprintf("2025-06-%02dT%02d:00:00Z,%.0f,%d\n", 10+h/24, h%24, g, 15+h%24/3)
	}
	w, err := station.ReadWeather(strings.NewReader(csv), "short.csv")
	require.NoError(t, err)
	d := demo(t)
	d.Site.LongitudeDeg, d.Site.UTCOffsetH = station.Of(0.0), station.Of(0.0)
	page, r := reviewed(t, d, station.Options{Weather: w})
	sound(t, page, r)
	require.InDelta(t, 72, r.Year.SpanH, 1e-9)
	require.Contains(t, page, "Wh in 3 days")
	require.Contains(t, page, "Weather: short.csv")
	require.Equal(t, 1, strings.Count(page, `<th scope="row">June</th>`))
	require.NotContains(t, page, `<th scope="row">May</th>`)
}

func TestReviewWithoutBasisWritesNothing(t *testing.T) {
	var b bytes.Buffer
	require.ErrorIs(t, HTML(&b, &station.Review{Name: "by hand"}), ErrNoBasis)
	require.Zero(t, b.Len())
}

type failing struct{}

func (failing) Write([]byte) (int, error) { return 0, os.ErrClosed }

func TestWriteErrorsAreReturned(t *testing.T) {
	d := demo(t)
	r, err := station.NewReview(d, station.Options{Seed: 1})
	require.NoError(t, err)
	for name, err := range map[string]error{
		"page": HTML(failing{}, r), "text": Text(failing{}, r, false), "differences": Differences(failing{}, nil),
		"years": Years(failing{}, nil, 1), "levers": Levers(failing{}, nil),
	} {
		require.ErrorIs(t, err, os.ErrClosed, name)
	}
}

func TestOutages(t *testing.T) {
	require.Empty(t, outagesOf(make([]bool, 5)))
	require.Equal(t, [][2]int{{0, 2}, {3, 4}, {5, 6}}, outagesOf([]bool{true, true, false, true, false, true}))
}

func TestSpreadKeepsApartAndInside(t *testing.T) {
	require.Equal(t, []float64{10, 60}, spread([]float64{10, 60}, 20, 0, 100), "what is apart stays")
	got := spread([]float64{52, 50, 51}, 20, 0, 100)
	require.InDelta(t, 20, got[0]-got[2], 0.5)
	require.InDelta(t, 20, got[2]-got[1], 0.5)
	got = spread([]float64{98, 99}, 20, 0, 100)
	require.LessOrEqual(t, got[1], 100.0)
	require.GreaterOrEqual(t, got[1]-got[0], 19.0)
	require.Empty(t, spread(nil, 1, 0, 1))
}

func TestRoundSteps(t *testing.T) {
	for in, want := range map[float64]float64{0.9: 1, 1: 1, 1.1: 2, 2.1: 5, 5.1: 10, 0.03: 0.05, 130: 200, 0: 1, -3: 1} {
		require.InDelta(t, want, roundStep(in), 1e-12, "%g", in)
	}
}

// Letters stand out from every ground by 4.5 to 1 and what is drawn by 3 to 1
// (WCAG 2.1, success criteria 1.4.3 and 1.4.11), in light, dark and print.
func TestContrast(t *testing.T) {
	sheets := regexp.MustCompile(`:root\{([^}]*)\}`).FindAllStringSubmatch(pageStyle, -1)
	require.Len(t, sheets, 3)
	for i, sheet := range sheets {
		v := map[string]float64{}
		for _, m := range regexp.MustCompile(`--([a-z]+):#([0-9a-f]{3,6})`).FindAllStringSubmatch(sheet[1], -1) {
			v[m[1]] = luminance(t, m[2])
		}
		require.Len(t, v, 11)
		ratio := func(a, b string) float64 {
			hi, lo := math.Max(v[a], v[b]), math.Min(v[a], v[b])
			return (hi + 0.05) / (lo + 0.05)
		}
		for _, name := range []string{"ink", "soft", "link", "bad"} {
			require.GreaterOrEqual(t, ratio(name, "paper"), 4.5, "%s on paper, sheet %d", name, i)
		}
		require.GreaterOrEqual(t, ratio("ink", "fill"), 4.5)
		for _, name := range []string{"good", "bad", "warm", "cold", "edge"} {
			require.GreaterOrEqual(t, ratio(name, "paper"), 3.0, "%s on paper, sheet %d", name, i)
		}
		require.GreaterOrEqual(t, ratio("bad", "fill"), 3.0, "sheet %d", i)
	}
}

// luminance is the relative luminance of WCAG 2.1.
func luminance(t *testing.T, hex string) float64 {
	if len(hex) == 3 {
		hex = string([]byte{hex[0], hex[0], hex[1], hex[1], hex[2], hex[2]})
	}
	n, err := strconv.ParseUint(hex, 16, 32)
	require.NoError(t, err)
	lin := func(c uint64) float64 {
		x := float64(c&0xff) / 255
		if x <= 0.04045 {
			return x / 12.92
		}
		return math.Pow((x+0.055)/1.055, 2.4)
	}
	return 0.2126*lin(n>>16) + 0.7152*lin(n>>8) + 0.0722*lin(n)
}

func TestNumbersOfPictures(t *testing.T) {
	require.Equal(t, "3.17", few(3.1702))
	require.Equal(t, "12.6", few(12.55001))
	require.Equal(t, "−0.05", minus(-0.05))
	require.Equal(t, "+12.0", minus(12))
	require.Equal(t, "0.00", minus(-0.001))
	require.Equal(t, "0.00 %", number(-1e-12, "%"), "nothing is not below nothing")
	require.Equal(t, "-4 %", number(-4, "%"))
}

// Labels of the hot day keep off the limits: with a limit right above its peak
// a line has its words below.
func TestWordsOfTheHotDayKeepOffLimits(t *testing.T) {
	place := func(limitC float64) (wordY, limitY float64) {
		d := demo(t)
		d.Regulators[0].JunctionC = station.Of(limitC)
		page, _ := reviewed(t, d, station.Options{Seed: 1})
		for _, s := range svgElement.FindAllString(page, -1) {
			if !strings.Contains(s, "Temperatures on") {
				continue
			}
			text := regexp.MustCompile(`<text x="[\d.]+" y="-([\d.]+)"[^>]*>logic regulator`).FindStringSubmatch(s)
			line := regexp.MustCompile(`<text x="[\d.]+" y="-([\d.]+)"[^>]*>junction ≤`).FindStringSubmatch(s)
			require.NotNil(t, text)
			require.NotNil(t, line)
			wordY, _ = strconv.ParseFloat(text[1], 64)
			limitY, _ = strconv.ParseFloat(line[1], 64)
		}
		return wordY, limitY
	}
	for _, limitC := range []float64{100, 120, 138, 140, 142, 145, 150, 180} {
		word, line := place(limitC)
		line -= 5 // from the foot of its words, which stand 3 above it and hang by 2
		require.False(t, word-2 < line && line < word+8, "limit %g °C at %.1f runs through the words at %.1f", limitC, line, word)
	}
}
