// Station reads the description of a weather station, runs it through a year
// of weather and prints a design review.
//
//	go run ./examples/station [flags] [description.toml]
//
// Without a description it reviews an invented one with several mistakes in
// it. It ends with status 2 if an input is wrong, and prints nothing of the
// review then.
package main

import (
	"bytes"
	"context"
	_ "embed"
	"errors"
	"flag"
	"fmt"
	"io"
	"io/fs"
	"os"
	"os/signal"
	"strings"

	"github.com/stationphysics/stationphysics/station"
	"github.com/stationphysics/stationphysics/station/report"
)

//go:embed demo.toml
var demo string

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
	code := run(ctx, os.Args[1:], os.Stdout, os.Stderr)
	stop()
	os.Exit(code)
}

type options struct {
	weather, before, fresh, out, html string
	why, json, levers                 bool
	seed                              uint64
	years                             int
}

func run(ctx context.Context, args []string, out, complaints io.Writer) int {
	var o options
	flags := flag.NewFlagSet("station", flag.ContinueOnError)
	flags.SetOutput(complaints)
	flags.StringVar(&o.weather, "weather", "", "hourly weather `file`: a CSV with named columns, or a TMY3 file")
	flags.BoolVar(&o.why, "why", false, "show the equations behind each verdict")
	flags.BoolVar(&o.json, "json", false, "print the review as JSON")
	flags.StringVar(&o.before, "before", "", "another description `file`: print what changed from it")
	flags.IntVar(&o.years, "years", 0, "also run this many seeded years of the climate")
	flags.BoolVar(&o.levers, "levers", false, "also try single changes and rank what they buy")
	flags.Uint64Var(&o.seed, "seed", 1, "seed of the synthetic year and of the snow")
	flags.StringVar(&o.fresh, "new", "", "write a commented description to a new `file` and end")
	flags.StringVar(&o.out, "out", "", "write to this `file`, whole or not at all, instead of printing")
	flags.StringVar(&o.html, "html", "", "also write the review as one page with pictures to this `file`, whole or not at all")
	flags.Usage = func() {
		fmt.Fprintln(complaints, "usage: station [flags] [description.toml]")
		flags.PrintDefaults()
	}
	if err := flags.Parse(args); err != nil {
		if errors.Is(err, flag.ErrHelp) {
			return 0
		}
		return 2
	}
	if flags.NArg() > 1 || o.years < 0 {
		flags.Usage()
		return 2
	}
	if err := do(ctx, flags.Arg(0), o, out, complaints); err != nil {
		fmt.Fprintln(complaints, err)
		return 2
	}
	return 0
}

func do(ctx context.Context, path string, o options, out, complaints io.Writer) error {
	if o.fresh != "" {
		if err := report.NewFile(o.fresh, (&station.Description{}).WriteTemplate); err != nil {
			return err
		}
		_, err := fmt.Fprintf(out, "%s is there: take the # from the lines you know, then run\n  go run ./examples/station %s\n", o.fresh, o.fresh)
		return err
	}
	var b, page bytes.Buffer
	if err := compose(ctx, path, o, &b, &page, complaints); err != nil {
		return err
	}
	if o.html != "" {
		if err := report.WriteFile(o.html, func(w io.Writer) error { _, err := w.Write(page.Bytes()); return err }); err != nil {
			return err
		}
	}
	if o.out != "" {
		return report.WriteFile(o.out, func(w io.Writer) error { _, err := w.Write(b.Bytes()); return err })
	}
	_, err := out.Write(b.Bytes())
	return err
}

// compose makes the whole output before anything is printed.
func compose(ctx context.Context, path string, o options, b, page io.Writer, progress io.Writer) error {
	d, err := description(path)
	if err != nil {
		return err
	}
	so := station.Options{Seed: o.seed}
	if o.weather != "" {
		f, err := os.Open(o.weather)
		if err != nil {
			return err
		}
		defer f.Close()
		if so.Weather, err = station.ReadWeather(f, o.weather); err != nil {
			return err
		}
	}
	r, err := station.NewReview(d, so)
	if err != nil {
		return err
	}
	if o.html != "" {
		if err := report.HTML(page, r); err != nil {
			return err
		}
	}
	switch {
	case o.before != "":
		old, err := description(o.before)
		if err != nil {
			return err
		}
		was, err := station.NewReview(old, so)
		if err != nil {
			return err
		}
		err = report.Differences(b, station.Compare(was, r))
		if err != nil {
			return err
		}
	case o.json:
		return r.WriteJSON(b)
	default:
		if err := report.Text(b, r, o.why); err != nil {
			return err
		}
	}
	return further(ctx, d, o, b, progress)
}

// further runs the long calculations that were asked for, with progress.
func further(ctx context.Context, d *station.Description, o options, b io.Writer, progress io.Writer) error {
	if o.years == 0 && !o.levers {
		return nil
	}
	m, err := station.Compile(d)
	if err != nil {
		return err
	}
	if o.years > 0 {
		years, err := m.Years(ctx, station.Plan{FirstSeed: o.seed, Years: o.years, Progress: func(done, total int) {
			if total >= 50 && done%10 == 0 || done == total {
				fmt.Fprintf(progress, "\r%d of %d years", done, total)
			}
		}})
		fmt.Fprintln(progress)
		if err != nil {
			return err
		}
		accepted := 24.0
		if s := d.Resolved().Service; s != nil {
			accepted = *s.MaxLostH
		}
		if err := report.Years(b, years, accepted); err != nil {
			return err
		}
	}
	if o.levers {
		levers, err := m.Levers(ctx, 5, o.seed)
		if err != nil {
			return err
		}
		return report.Levers(b, levers)
	}
	return nil
}

func description(path string) (*station.Description, error) {
	if path == "" {
		return station.Read(strings.NewReader(demo), "demo.toml")
	}
	f, err := os.Open(path)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, fmt.Errorf("%w: -new %s writes one to fill in", err, path)
	}
	if err != nil {
		return nil, err
	}
	defer f.Close()
	return station.Read(f, path)
}
