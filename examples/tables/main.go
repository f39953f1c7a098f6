// Tables prints reference tables for documents, as plain text, Markdown or CSV.
// Each says what it holds for and whose equations and figures it is made of.
//
//	go run ./examples/tables -list
//	go run ./examples/tables psychrometry -pressure 950 -temperature -10:30:5
//	go run ./examples/tables psychrometry -quantity dew-point -humidity 10:100:10 -format markdown
//	go run ./examples/tables atmosphere -by geometric -height 0:6000:250
//	go run ./examples/tables sun -latitude 49.3 -longitude 12.1 -zone Europe/Berlin -days 1,15
//	go run ./examples/tables sun -latitude 49.3 -longitude 12.1 -zone 1 -dates 2026-12-01:2026-12-31:5
//	go run ./examples/tables charge -chemistry LiFePO4 -cells 1:8:1
//	go run ./examples/tables junction -package TO-252 -area 50,100,300 -ambient 55 -format csv
//
// The name of the table comes first, its flags after it. Where several values
// are taken they are separated by commas; from:to:step makes a series.
//
//	-list           print the tables with their flags
//	-format         text, markdown or csv
//
// psychrometry:
//
//	-temperature    air temperatures, °C
//	-humidity       relative humidities over water, %
//	-pressure       air pressure, hPa
//	-quantity       one quantity as a grid, or all of them in columns
//
// atmosphere:
//
//	-height         heights, m or standard geopotential metres
//	-by             geopotential or geometric: which of the two heights is given
//
// sun:
//
//	-latitude       degrees, north positive
//	-longitude      degrees, east positive
//	-height         above sea level, m
//	-zone           hours ahead of UTC, or a name such as Europe/Berlin
//	-year, -days    days of every month of a year; the last of a shorter month
//	-dates          dates in place of -year and -days
//	-twilight       civil, nautical, astronomical: which dawns and dusks
//
// charge:
//
//	-chemistry      chemistries, or all
//	-cells          numbers of cells in series
//	-temperature    of the cells, °C
//
// junction:
//
//	-package        SOT-223, TO-252 or PG-TSNP-7
//	-dissipation    heat of the part, W
//	-area           copper on the side of the part, mm²
//	-ambient        air at the part, °C
//	-limit          permitted junction temperature, °C
//
// A cell without a value shows "-". In CSV the caption stands in lines that
// begin with #, and times are RFC 3339. Wrong input ends it with status 2 and
// one line, and prints no table.
package main

import (
	"errors"
	"flag"
	"fmt"
	"io"
	"os"
	"strings"

	"github.com/stationphysics/stationphysics/internal/wording"
)

func main() { os.Exit(run(os.Args[1:], os.Stdout, os.Stderr)) }

func run(args []string, out, complaints io.Writer) int {
	text, err := compose(args)
	if err == nil {
		_, err = io.WriteString(out, text)
	}
	if err != nil {
		fmt.Fprintln(complaints, strings.ReplaceAll(err.Error(), "\n", "; "))
		return 2
	}
	return 0
}

// A kind is one of the tables that can be had.
type kind struct {
	name, about string
	params      []param
	make        func(v *values) *table
}

var kinds = []kind{psychrometry, atmosphere, sun, charge, junction}

// format is the one parameter that all tables have.
var format = param{flag: "format", def: "text", about: "text, markdown or csv"}

// compose makes the whole output before anything is printed.
func compose(args []string) (string, error) {
	if len(args) == 0 {
		return "", fmt.Errorf("the name of a table comes first: %s; -list tells more", names())
	}
	switch first := strings.TrimLeft(args[0], "-"); {
	case first == args[0]:
	case len(args) > 1 && (first == "list" || first == "help" || first == "h"):
		return "", fmt.Errorf("%s stands alone, or -help after the name of a table", args[0])
	case first == "list":
		return list(), nil
	case first == "help" || first == "h":
		return "usage: tables name [flags]\n       tables name -help\n       tables -list\n\n" + list(), nil
	default:
		return "", fmt.Errorf("%q stands where the name of a table comes first: %s", args[0], names())
	}
	k, err := find(args[0])
	if err != nil {
		return "", err
	}
	v, err := k.read(args[1:])
	if errors.Is(err, flag.ErrHelp) {
		return "usage: tables " + k.name + " [flags]\n\n" + k.help(), nil
	}
	if err != nil {
		return "", err
	}
	t, write, err := v.table()
	if err != nil {
		return "", err
	}
	return write(t), nil
}

// writers are the formats.
var writers = []struct {
	name  string
	write func(*table) string
}{{"text", (*table).text}, {"markdown", (*table).markdown}, {"csv", (*table).csv}}

// table makes the table, and tells how it is to be written.
func (v *values) table() (*table, func(*table) string, error) {
	known := make([]string, len(writers))
	for i, w := range writers {
		known[i] = w.name
	}
	word := v.word("format", known...)
	t := v.kind.make(v)
	if v.err != nil {
		return nil, nil, v.err
	}
	for _, w := range writers {
		if w.name == word {
			return t, w.write, nil
		}
	}
	return nil, nil, fmt.Errorf("-format: %q", word)
}

func names() string {
	known := make([]string, len(kinds))
	for i, k := range kinds {
		known[i] = k.name
	}
	return strings.Join(known, ", ")
}

func find(name string) (*kind, error) {
	known := make([]string, len(kinds))
	for i := range kinds {
		if kinds[i].name == name {
			return &kinds[i], nil
		}
		known[i] = kinds[i].name
	}
	return nil, fmt.Errorf("%q is no table%s", name, meant(name, known))
}

// meant proposes the known word that is near, or tells all of them.
func meant(word string, known []string) string {
	if near := wording.Meant(word, known, nil); near != "" {
		return ": did you mean " + near + "?"
	}
	return ": known are " + strings.Join(known, ", ")
}

func list() string {
	var b strings.Builder
	for i := range kinds {
		b.WriteString(kinds[i].name + "\n" + wording.Wrap("    ", kinds[i].about, width))
		b.WriteString(wording.Wrap("    ", "flags: "+strings.Join(kinds[i].flags(), " "), width))
	}
	return b.String()
}

// flags are the names of the parameters with their hyphen.
func (k *kind) flags() []string {
	out := []string{}
	for _, p := range k.params {
		out = append(out, "-"+p.flag)
	}
	return append(out, "-"+format.flag)
}

func (k *kind) help() string {
	var b strings.Builder
	b.WriteString(k.about + "\n\n")
	for _, p := range append(k.params[:len(k.params):len(k.params)], format) {
		b.WriteString(strings.TrimRight("  -"+p.flag+" "+p.unit, " ") + "\n")
		s := p.about
		if p.def != "" {
			s += "; without it " + p.def
		}
		b.WriteString(wording.Wrap("        ", s, width))
	}
	return b.String()
}

// read takes the flags behind the name of the table.
func (k *kind) read(args []string) (*values, error) {
	fs := flag.NewFlagSet(k.name, flag.ContinueOnError)
	fs.SetOutput(io.Discard)
	v := &values{kind: k, text: map[string]string{}, stated: map[string]bool{}}
	taken := map[string]*string{}
	for _, p := range append(k.params[:len(k.params):len(k.params)], format) {
		taken[p.flag] = fs.String(p.flag, p.def, p.about)
	}
	if err := fs.Parse(args); err != nil {
		if unknown, ok := strings.CutPrefix(err.Error(), "flag provided but not defined: -"); ok {
			return nil, fmt.Errorf("-%s is no flag of %s%s", unknown, k.name, meant("-"+unknown, k.flags()))
		}
		return nil, err
	}
	if fs.NArg() > 0 {
		return nil, fmt.Errorf("%q is no flag of %s%s", fs.Arg(0), k.name, meant("-"+fs.Arg(0), k.flags()))
	}
	for name, text := range taken {
		v.text[name] = *text
	}
	fs.Visit(func(f *flag.Flag) { v.stated[f.Name] = true })
	return v, nil
}
