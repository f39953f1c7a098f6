// Station reads the description of a weather station, runs it through a year
// of weather and prints a design review.
//
//	go run ./examples/station [-weather hourly.csv] [-why] [description.toml]
//
// Without a description it reviews an invented one with several mistakes in
// it. It ends with status 2 if an input is wrong.
package main

import (
	"bufio"
	_ "embed"
	"flag"
	"fmt"
	"io"
	"os"
	"strings"

	"github.com/stationphysics/stationphysics/station"
	"github.com/stationphysics/stationphysics/station/report"
)

//go:embed demo.toml
var demo string

func main() {
	os.Exit(run(os.Args[1:], os.Stdout, os.Stderr))
}

func run(args []string, out, complaints io.Writer) int {
	fs := flag.NewFlagSet("station", flag.ContinueOnError)
	fs.SetOutput(complaints)
	weather := fs.String("weather", "", "hourly weather: a CSV with named columns, or a TMY3 file")
	why := fs.Bool("why", false, "show the equations behind each verdict")
	seed := fs.Uint64("seed", 1, "seed of the synthetic year and of the snow")
	fs.Usage = func() {
		fmt.Fprintln(complaints, "usage: station [-weather hourly.csv] [-why] [-seed n] [description.toml]")
		fs.PrintDefaults()
	}
	if err := fs.Parse(args); err != nil {
		return 2
	}
	if fs.NArg() > 1 {
		fs.Usage()
		return 2
	}
	if err := review(fs.Arg(0), *weather, *seed, *why, out); err != nil {
		fmt.Fprintln(complaints, err)
		return 2
	}
	return 0
}

// review prints nothing unless everything succeeded.
func review(descPath, weatherPath string, seed uint64, why bool, out io.Writer) error {
	d, err := description(descPath)
	if err != nil {
		return err
	}
	o := station.Options{Seed: seed}
	if weatherPath != "" {
		f, err := os.Open(weatherPath)
		if err != nil {
			return err
		}
		defer f.Close()
		if o.Weather, err = station.ReadWeather(f, weatherPath); err != nil {
			return err
		}
	}
	r, err := station.NewReview(d, o)
	if err != nil {
		return err
	}
	var b strings.Builder
	if err := report.Text(&b, r, why); err != nil {
		return err
	}
	w := bufio.NewWriter(out)
	if _, err := w.WriteString(b.String()); err != nil {
		return err
	}
	return w.Flush()
}

func description(path string) (*station.Description, error) {
	if path == "" {
		return station.Read(strings.NewReader(demo), "demo.toml")
	}
	f, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	return station.Read(f, path)
}
