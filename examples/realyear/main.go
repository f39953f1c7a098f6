// Realyear runs the demonstration station, and one sized to survive, through a
// measured typical year in the TMY3 format, and compares it with synthetic
// years made from its monthly means. It prints a Markdown document:
//
//	go run ./examples/realyear FILE > docs/real-year.md
package main

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"math"
	"os"
	"slices"
	"strings"

	"github.com/stationphysics/stationphysics/station"
	"github.com/stationphysics/stationphysics/station/report"
)

func main() {
	if len(os.Args) != 2 {
		fmt.Fprintln(os.Stderr, "usage: realyear FILE")
		os.Exit(2)
	}
	var b bytes.Buffer
	if err := run(os.Args[1], "examples/station/demo.toml", &b); err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(2)
	}
	if _, err := b.WriteTo(os.Stdout); err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
}

func run(weatherPath, demoPath string, out io.Writer) error {
	w, err := readWeather(weatherPath)
	if err != nil {
		return err
	}
	f, err := os.Open(demoPath)
	if err != nil {
		return err
	}
	defer f.Close()
	demo, err := station.Read(f, demoPath)
	if err != nil {
		return err
	}
	if w.Typical == nil {
		return fmt.Errorf("%s: not a typical-year file: it does not say where it was measured", weatherPath)
	}
	w.Source = "typical year of " + w.Typical.Name
	p := func(format string, args ...any) { fmt.Fprintf(out, format+"\n", args...) }
	p("# A measured year")
	p("")
	p("Weather: %s, latitude %.2f, longitude %.2f, %.0f m, a typical year in the TMY3", w.Typical.Name, w.Typical.LatitudeDeg, w.Typical.LongitudeDeg, w.Typical.HeightM)
	p("format of NREL/TP-581-43156 (Wilcox and Marion 2008), from the National Solar")
	p("Radiation Data Base 1991-2005 update. The data file is not part of this project;")
	p("this page was printed by `go run ./examples/realyear FILE`.")
	p("")
	p("## The demonstration station")
	p("")
	if err := section(out, demo, w); err != nil {
		return err
	}
	r, err := station.NewReview(demo, station.Options{Weather: w, Seed: 1})
	if err != nil {
		return err
	}
	own, err := station.NewReview(demo, station.Options{Seed: 1})
	if err != nil {
		return err
	}
	p("What it says: in this sunny place the year is not what ends the station, %.0f hours", r.Year.LostH)
	p("without service against %.0f in its own invented climate behind the spruces; the", own.Year.LostH)
	p("trim, the board and the link that would harm the cells, and the regulator that")
	p("overheats, are the same mistakes in any weather.")
	p("")
	sized, note, err := size(demo, w)
	if err != nil {
		return err
	}
	p("## The same station, mended and sized to survive this year")
	p("")
	p("%s", note)
	p("")
	if err := section(out, sized, w); err != nil {
		return err
	}
	return compare(out, demo, sized, w)
}

func readWeather(path string) (*station.Weather, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	return station.ReadWeather(f, path)
}

func section(out io.Writer, d *station.Description, w *station.Weather) error {
	r, err := station.NewReview(d, station.Options{Weather: w, Seed: 1})
	if err != nil {
		return err
	}
	fmt.Fprintln(out, "```text")
	if err := report.Text(out, r, false); err != nil {
		return err
	}
	fmt.Fprintln(out, "```")
	fmt.Fprintln(out)
	return nil
}

// size mends the planted mistakes and lets the search find panel, pack and load.
func size(demo *station.Description, w *station.Weather) (*station.Description, string, error) {
	d := *demo
	charger, pack, site, service := *d.Charger, *d.Pack, *d.Site, *d.Service
	d.Charger, d.Pack, d.Site, d.Service = &charger, &pack, &site, &service
	charger.SetV, charger.LimitA = station.Of(10.45), station.Of(3.0)
	pack.TripOverV, pack.ColdStop = station.Of(3.68), station.Of(true)
	service.StopV, service.RestartV = station.Of(9.0), station.Of(9.75)
	link := *d.Links[0]
	link.Fitted = station.Of(false)
	d.Links = []*station.Link{&link}
	r := *d.Regulators[0]
	r.Name, r.Kind, r.InputMaxV, r.InputMinV, r.DropoutV = "step-down", "step-down", station.Of(24.0), station.Of(4.5), station.Of(0.3)
	r.IdleA, r.EffAtA, r.ThetaJCKPerW, r.ThetaCAKPerW = station.Of(20e-6), [][]float64{{0.001, 0.8}, {0.05, 0.9}, {0.3, 0.92}}, nil, nil
	d.Regulators = []*station.Regulator{&r}
	m, err := station.Compile(&d)
	if err != nil {
		return nil, "", err
	}
	variants, err := m.Size(context.Background(), station.Search{
		ParallelPanels: []int{1, 2}, TiltsDeg: []float64{40, 60}, CapacitiesAh: []float64{6, 12, 24}, LoadFrac: []float64{1, 0.5, 0.25},
		Weather: w, Years: 5, FirstSeed: 1, AcceptedLostH: 0,
	})
	if err != nil {
		return nil, "", err
	}
	best, ok := station.Smallest(variants)
	if !ok {
		return nil, "", fmt.Errorf("none of %d variants survives", len(variants))
	}
	panel := *d.Panel
	d.Panel = &panel
	panel.Parallel, panel.TiltDeg = station.Of(best.ParallelPanels), station.Of(best.TiltDeg)
	pack.CapacityAh = station.Of(best.CapacityAh)
	pack.CellOhm = station.Of(*pack.CellOhm * *demo.Pack.CapacityAh / best.CapacityAh)
	for i, l := range d.Loads {
		c := *l
		for _, a := range []**float64{&c.AsleepA, &c.AwakeA, &c.PeakA} {
			if *a != nil {
				*a = station.Of(**a * best.LoadFrac)
			}
		}
		loads := slices.Clone(d.Loads)
		loads[i] = &c
		d.Loads = loads
	}
	note := fmt.Sprintf("Trims, board, link and regulator are put right; then %d variants of panel, tilt,\npack and load were tried with five draws of snow. The smallest that never loses\nservice: %d panel(s) at %.0f°, %.0f Ah, %.0f %% of the load.",
		len(variants), best.ParallelPanels, best.TiltDeg, best.CapacityAh, 100*best.LoadFrac)
	return &d, note, nil
}

const seeds = 20

// compare sets synthetic years made from the monthly means beside the measured
// one.
func compare(out io.Writer, demo, sized *station.Description, w *station.Weather) error {
	p := func(format string, args ...any) { fmt.Fprintf(out, format+"\n", args...) }
	p("## Synthetic years beside the measured one")
	p("")
	p("The measured year's monthly means of sun and air, as a description would state")
	p("them, were turned into %d synthetic years. Charge is the share of capacity at the", seeds)
	p("end of each hour; for the synthetic years the mean over the seeds, lowest and")
	p("highest in brackets.")
	p("")
	p("| quantity | station | measured | synthetic |")
	p("|---|---|---|---|")
	var outside []string
	for _, s := range []struct {
		name string
		d    *station.Description
	}{{"demonstration", demo}, {"sized", sized}} {
		measured, synthetic, err := both(s.d, w)
		if err != nil {
			return err
		}
		for _, q := range []struct {
			name string
			of   func(*station.Year) float64
			form string
		}{
			{"hours without service", func(y *station.Year) float64 { return y.LostH }, "%.0f"},
			{"longest outage, h", func(y *station.Year) float64 { return y.LongestLostH }, "%.0f"},
			{"panel offers, kWh", func(y *station.Year) float64 { return y.Energy.OfferedWh / 1000 }, "%.2f"},
			{"charge, lowest, %", func(y *station.Year) float64 { return 100 * y.LowestSoC }, "%.0f"},
			{"charge, 1 of 100 hours below, %", quantile(0.01), "%.0f"},
			{"charge, 1 of 10 hours below, %", quantile(0.10), "%.0f"},
			{"charge, half of the hours below, %", quantile(0.50), "%.0f"},
			{"hours charging below 0 °C", func(y *station.Year) float64 { return y.FrostChargeH }, "%.0f"},
			{"wall wet, at most, h", func(y *station.Year) float64 { return y.WallWetH }, "%.0f"},
		} {
			sum, lo, hi := 0.0, math.Inf(1), math.Inf(-1)
			for _, y := range synthetic {
				v := q.of(y)
				sum, lo, hi = sum+v, math.Min(lo, v), math.Max(hi, v)
			}
			if v := q.of(measured); v < lo || v > hi {
				outside = append(outside, fmt.Sprintf("%s (%s)", q.name, s.name))
			}
			p("| %s | %s | "+q.form+" | "+q.form+" ("+q.form+"..."+q.form+") |", q.name, s.name, q.of(measured), sum/seeds, lo, hi)
		}
	}
	p("")
	p("%s", strings.TrimSpace(trust))
	p("")
	if len(outside) > 0 {
		p("Outside the range of the seeds here, and so not to be taken from a synthetic year:")
		p("%s.", strings.Join(outside, "; "))
	} else {
		p("Here nothing lies outside the range of the seeds.")
	}
	return nil
}

const trust = `
How far to trust a synthetic year: it keeps the monthly energy by construction,
so what the panel offers agrees; the run of dark days is drawn from a
distribution of many places, so an outage that hangs on the one longest run can
fall on either side, and the range over seeds is the honest answer. It knows
neither the wind nor the humidity of the place, and no December darker than the
mean one.
`

func quantile(q float64) func(*station.Year) float64 {
	return func(y *station.Year) float64 {
		s := slices.Clone(y.SoC)
		slices.Sort(s)
		return 100 * float64(s[int(q*float64(len(s)-1))])
	}
}

// both runs a station through the measured year and through synthetic ones at
// the same place.
func both(d *station.Description, w *station.Weather) (measured *station.Year, synthetic []*station.Year, err error) {
	there := *d
	site := *d.Site
	there.Site = &site
	site.LatitudeDeg, site.LongitudeDeg = station.Of(w.Typical.LatitudeDeg), station.Of(w.Typical.LongitudeDeg)
	site.HeightM, site.UTCOffsetH = station.Of(w.Typical.HeightM), station.Of(w.Typical.UTCOffsetH)
	climate := w.Climate()
	climate.SnowFrac = d.Climate.SnowFrac
	there.Climate = climate
	m, err := station.Compile(&there)
	if err != nil {
		return nil, nil, err
	}
	sun, err := m.Sunlight(w)
	if err != nil {
		return nil, nil, err
	}
	if measured, err = m.Run(sun, 1); err != nil {
		return nil, nil, err
	}
	for seed := uint64(1); seed <= seeds; seed++ {
		sw, err := m.Synthetic(seed)
		if err != nil {
			return nil, nil, err
		}
		sun, err := m.Sunlight(sw)
		if err != nil {
			return nil, nil, err
		}
		y, err := m.Run(sun, seed)
		if err != nil {
			return nil, nil, err
		}
		synthetic = append(synthetic, y)
	}
	return measured, synthetic, nil
}
