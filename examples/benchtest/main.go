// Benchtest judges the bench table of a linear regulator: row by row against
// its sheet, then the part as a whole, and draws what was read beside what the
// sheet allows.
//
//	go run ./examples/benchtest [flags] [table.csv]
//
// The columns of a table are in docs/csv-formats.md. Without a table it judges an
// invented one with mistakes in it. It ends with status 2 if an input is wrong,
// and prints and writes nothing of the verdict then.
package main

import (
	"bytes"
	_ "embed"
	"errors"
	"flag"
	"fmt"
	"io"
	"os"
	"strconv"
	"strings"

	"github.com/stationphysics/stationphysics/power"
	"github.com/stationphysics/stationphysics/power/parts"
	"github.com/stationphysics/stationphysics/station/bench"
	"github.com/stationphysics/stationphysics/station/report"
)

//go:embed demo.csv
var demo string

// demoFlags are what a user of the invented table would have called with.
var demoFlags = []string{"-part", "LM1117I-5.0", "-accuracy-from", "6.5", "-accuracy-to", "12", "-own-typical", "0.005", "-case-from", "12", "-case-to", "18"}

func main() { os.Exit(run(os.Args[1:], os.Stdout, os.Stderr)) }

type options struct {
	part, plot string
	sheet      []func(s *power.LinearSpec, p *bench.Part) // what flags say over the preset
	meters     bench.Meters
	list       bool
	args       []string
}

func run(args []string, out, complaints io.Writer) int {
	o, fs, err := parse(args, complaints)
	if errors.Is(err, flag.ErrHelp) {
		return 0
	}
	if err != nil {
		return 2
	}
	if len(o.args) > 1 {
		fs.Usage()
		return 2
	}
	// The whole output is made before anything is printed.
	var b bytes.Buffer
	if err := compose(&b, o); err != nil {
		fmt.Fprintln(complaints, err)
		return 2
	}
	if _, err := out.Write(b.Bytes()); err != nil {
		fmt.Fprintln(complaints, err)
		return 2
	}
	return 0
}

// parse reads the flags; what is wrong with them, or what help was asked for,
// has been said already when it returns an error.
func parse(args []string, complaints io.Writer) (*options, *flag.FlagSet, error) {
	o := &options{}
	fs := flag.NewFlagSet("benchtest", flag.ContinueOnError)
	fs.SetOutput(complaints)
	fs.StringVar(&o.part, "part", "", "`name` of a sheet of package power/parts; the flags below change or add numbers")
	fs.BoolVar(&o.list, "list", false, "list these sheets and end")
	fs.StringVar(&o.plot, "plot", "", "also draw readings and sheet to this SVG `file`, whole or not at all")
	for _, n := range []struct {
		name, help string
		of         func(s *power.LinearSpec, p *bench.Part) *float64
	}{
		{"set", "sheet: output voltage, `V`", func(s *power.LinearSpec, _ *bench.Part) *float64 { return &s.SetV }},
		{"band", "sheet: tolerance of the output, ± `%`", func(s *power.LinearSpec, _ *bench.Part) *float64 { return &s.BandPct }},
		{"accuracy-from", "sheet: lowest input `V` for which that tolerance is promised", func(_ *power.LinearSpec, p *bench.Part) *float64 { return &p.AccuracyLowV }},
		{"accuracy-to", "sheet: highest input `V` for which it is", func(_ *power.LinearSpec, p *bench.Part) *float64 { return &p.AccuracyHighV }},
		{"dropout", "sheet: largest dropout without load, `V`", func(s *power.LinearSpec, _ *bench.Part) *float64 { return &s.DropoutV }},
		{"dropout-ohm", "sheet: growth of the dropout with the load, `ohm`", func(s *power.LinearSpec, _ *bench.Part) *float64 { return &s.DropoutOhm }},
		{"own", "sheet: largest own current, `A`", func(s *power.LinearSpec, _ *bench.Part) *float64 { return &s.QuiescentA }},
		{"own-typical", "sheet: typical own current, `A`", func(_ *power.LinearSpec, p *bench.Part) *float64 { return &p.QuiescentTypicalA }},
		{"input-max", "sheet: absolute maximum input, `V`", func(s *power.LinearSpec, _ *bench.Part) *float64 { return &s.MaxInputV }},
		{"current-limit", "sheet: least current limit, `A`", func(s *power.LinearSpec, _ *bench.Part) *float64 { return &s.CurrentLimitA }},
		{"junction-max", "sheet: rated junction temperature, `°C`", func(s *power.LinearSpec, _ *bench.Part) *float64 { return &s.MaxJunctionC }},
		{"shutdown", "sheet: junction temperature of the thermal shutdown, `°C`", func(s *power.LinearSpec, _ *bench.Part) *float64 { return &s.ShutdownC }},
		{"case-from", "sheet: least resistance from junction to tab, `K/W`", func(_ *power.LinearSpec, p *bench.Part) *float64 { return &p.JunctionCaseLowKPerW }},
		{"case-to", "sheet: largest resistance from junction to tab, `K/W`", func(_ *power.LinearSpec, p *bench.Part) *float64 { return &p.JunctionCaseHighKPerW }},
		{"line-regulation", "sheet: line regulation, `V`", func(_ *power.LinearSpec, p *bench.Part) *float64 { return &p.LineRegulationV }},
		{"load-regulation", "sheet: load regulation, `V`", func(_ *power.LinearSpec, p *bench.Part) *float64 { return &p.LoadRegulationV }},
		{"drift", "sheet: drift of the output with temperature, `%`", func(_ *power.LinearSpec, p *bench.Part) *float64 { return &p.TempStabilityPct }},
		{"thermal-regulation", "sheet: thermal regulation, `%/W`", func(_ *power.LinearSpec, p *bench.Part) *float64 { return &p.ThermalRegulationPct }},
	} {
		fs.Func(n.name, n.help, func(text string) error {
			v, err := strconv.ParseFloat(text, 64)
			if err != nil {
				return errors.New("no number")
			}
			o.sheet = append(o.sheet, func(s *power.LinearSpec, p *bench.Part) { *n.of(s, p) = v })
			return nil
		})
	}
	m := &o.meters
	fs.Float64Var(&m.VoltPct, "tol-volt", 0.5, "error of the voltmeter, `%` of the reading")
	fs.Float64Var(&m.VoltFloorV, "tol-volt-fixed", 0.02, "and fixed, `V`")
	fs.Float64Var(&m.CurrentPct, "tol-current", 1, "error of the ammeter, `%` of the reading")
	fs.Float64Var(&m.CurrentFloorA, "tol-current-fixed", 0.001, "and fixed, `A`")
	fs.Float64Var(&m.LoadPct, "tol-load", 1, "tolerance of the load resistor, warm, `%`")
	fs.Float64Var(&m.TabK, "tol-tab", 2.5, "error of the thermometer on the tab, `K`")
	fs.Float64Var(&m.RoomK, "tol-room", 1, "error of the room's thermometer, `K`")
	fs.Float64Var(&m.ContactErrorRatio, "contact", 0.2, "largest `share` of the tab's rise that the thermometer's contact may miss")
	fs.Usage = func() {
		fmt.Fprintln(complaints, "usage: benchtest [flags] [table.csv]")
		fs.PrintDefaults()
	}
	err := fs.Parse(args)
	o.args = fs.Args()
	return o, fs, err
}

func compose(b *bytes.Buffer, o *options) error {
	if o.list {
		for _, p := range parts.Linears() {
			fmt.Fprintf(b, "%-12s %s\n             %s\n", p.Name, p.Maker, p.Sheet)
		}
		return nil
	}
	name, in := "demo.csv", io.Reader(strings.NewReader(demo))
	if len(o.args) == 0 {
		// What the user says comes after, and counts.
		d, _, err := parse(demoFlags, io.Discard)
		if err != nil {
			return err
		}
		o.sheet = append(d.sheet, o.sheet...)
		if o.part == "" {
			o.part = d.part
		}
		const half = 6
		fmt.Fprintf(b, "An invented table, as if called with\n  %s\n  %s\n\n", strings.Join(demoFlags[:half], " "), strings.Join(demoFlags[half:], " "))
	} else {
		name = o.args[0]
		f, err := os.Open(name)
		if err != nil {
			return err
		}
		defer f.Close()
		in = f
	}
	part, err := sheet(o)
	if err != nil {
		return err
	}
	judge, err := bench.New(part, o.meters)
	if err != nil {
		return err
	}
	rows, err := bench.ReadTable(in, name)
	if err != nil {
		return err
	}
	r := judge.Judge(rows)
	if err := report.Bench(b, r); err != nil {
		return err
	}
	if o.plot != "" {
		return report.WriteFile(o.plot, func(w io.Writer) error { return report.BenchSVG(w, r) })
	}
	return nil
}

// sheet joins a preset and what the flags say.
func sheet(o *options) (p bench.Part, err error) {
	var s power.LinearSpec
	switch preset, err := parts.FindLinear(o.part); {
	case err == nil:
		s = preset.Spec
		g := preset.Regulation
		p = bench.Part{Name: preset.Name + " (" + preset.Maker + ")", LineRegulationV: g.LineV, LoadRegulationV: g.LoadV, TempStabilityPct: g.TempPct, ThermalRegulationPct: g.ThermalPctPerW}
	case o.part != "":
		return p, fmt.Errorf("-part: no sheet of %q is here: -list shows those that are, or give its numbers by -set, -input-max, -current-limit and the other flags", o.part)
	case len(o.sheet) == 0:
		return p, errors.New("whose table is it? name the part by -part (-list shows the sheets), or give its sheet by -set, -input-max, -current-limit and the other flags")
	}
	for _, f := range o.sheet {
		f(&s, &p)
	}
	if p.Name == "" {
		p.Name = fmt.Sprintf("a part of %.4g V by the sheet given", s.SetV)
	}
	p.Linear, err = power.NewLinear(s)
	return p, err
}
