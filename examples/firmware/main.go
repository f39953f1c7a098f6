// Firmware turns a physical function into a few numbers that a microcontroller
// evaluates: the polynomial of the lowest degree, the smallest table with
// straight lines between its knots, or the smallest table of integers, that
// keeps a given error over a given range. It prints source text with the largest
// error proven, the size, and golden vectors for the device's own tests.
//
//	go run ./examples/firmware -list
//	go run ./examples/firmware -f saturation-water -from -20 -to 50 -bound 0.1
//	go run ./examples/firmware -f dew-point -from 1 -to 40 -bound 0.05 -form linear -language c
//	go run ./examples/firmware -f sea-level-factor -height 480 -vapour 8 -from -20 -to 40 -bound 1e-5 -language python
//	go run ./examples/firmware -f irradiance-high -sun 40 -top 120000 -from 10000 -to 60000 -bound 1
//	go run ./examples/firmware -f thermistor -from 300 -to 3600 -bound 0.1 -form integer -language c
//
// Flags:
//
//	-list           print the functions with their units and sources
//	-f              the function
//	-from, -to      the range of its input, in the unit of the list
//	-bound          the largest error permitted, in the unit of the output
//	-relative       the bound is a share of the value: 0.01 is 1 %
//	-form           polynomial, linear (table of float32) or integer (table)
//	-language       go, c or python
//	-name           name of the function in the text
//	-package        package of Go text
//	-max-degree     highest degree to try, up to 20
//	-max-knots      most knots to try, up to 65536
//	-in-scale       integer inputs in one unit of the input: 100 makes hundredths
//	-out-scale      integer outputs in one unit; 0 picks the power of ten that needs least
//	-height         geopotential height of the sensor, m: sea-level-factor
//	-vapour         vapour pressure of the air, hPa: sea-level-factor
//	-sun            elevation of the sun, degrees: irradiance
//	-dew-point      dew point, °C: irradiance
//	-top            largest reading of the light sensor, lx: irradiance
//	-full-count     count at the full supply: thermistor
//	-series         fixed resistor of the divider, ohm: thermistor
//	-r25, -beta     resistance at 25 °C, ohm, and beta, K: thermistor
//	-steinhart      a,b,c of 1/T = a + b ln R + c (ln R)³, in place of these
//	-to-supply      the thermistor is at the supply, not at ground
//
// The bound that the float forms state is that of the fit, found on a dense grid
// and narrowed at its peaks, with an allowance for what lies between, plus a
// running bound of every rounding in float32. That allowance is twice what the
// bow of the error between neighbouring points calls for; it is no interval
// arithmetic. The best irradiance leaps by several W/m² where tabled classes of
// sky meet, and no small form follows it closer. The integer form is tried at
// every input. Wrong input ends it with status 2 and one line, and prints no text.
package main

import (
	"bytes"
	"errors"
	"flag"
	"fmt"
	"io"
	"math"
	"os"
	"regexp"
	"slices"
	"strings"
)

func main() { os.Exit(run(os.Args[1:], os.Stdout, os.Stderr)) }

type options struct {
	parameters
	list                                    bool
	function, form, language, name, pkgName string
	from, to, bound                         float64
	relative                                bool
	maxDegree, maxKnots, inScale, outScale  int
}

func run(args []string, out, complaints io.Writer) int {
	o, err := read(args)
	var b bytes.Buffer
	if errors.Is(err, flag.ErrHelp) {
		fmt.Fprintln(out, err)
		return 0
	}
	if err == nil {
		err = compose(&b, o)
	}
	if err == nil {
		_, err = out.Write(b.Bytes())
	}
	if err != nil {
		fmt.Fprintln(complaints, strings.ReplaceAll(err.Error(), "\n", "; "))
		return 2
	}
	return 0
}

// A helpError is the text that -help asks for.
type helpError struct{ text string }

func (e *helpError) Error() string { return e.text }
func (e *helpError) Unwrap() error { return flag.ErrHelp }

func read(args []string) (*options, error) {
	var o options
	fs := flag.NewFlagSet("firmware", flag.ContinueOnError)
	fs.SetOutput(io.Discard)
	fs.Usage = func() {}
	fs.BoolVar(&o.list, "list", false, "print the functions")
	fs.StringVar(&o.function, "f", "", "`function`, see -list")
	fs.Float64Var(&o.from, "from", math.NaN(), "begin of the range")
	fs.Float64Var(&o.to, "to", math.NaN(), "end of the range")
	fs.Float64Var(&o.bound, "bound", math.NaN(), "largest error, in the unit of the output")
	fs.BoolVar(&o.relative, "relative", false, "the bound is a share of the value")
	fs.StringVar(&o.form, "form", "polynomial", "polynomial, linear or integer")
	fs.StringVar(&o.language, "language", "go", "go, c or python")
	fs.StringVar(&o.name, "name", "", "`name` of the function in the text")
	fs.StringVar(&o.pkgName, "package", "device", "`package` of Go text")
	fs.IntVar(&o.maxDegree, "max-degree", 12, "highest degree, up to 20")
	fs.IntVar(&o.maxKnots, "max-knots", 4096, "most knots, up to 65536")
	fs.IntVar(&o.inScale, "in-scale", 0, "integer inputs in one unit; 0 is 1 for counts and lux, 100 otherwise")
	fs.IntVar(&o.outScale, "out-scale", 0, "integer outputs in one unit; 0 picks it")
	fs.Float64Var(&o.heightM, "height", 0, "geopotential height of the sensor, `m`")
	fs.Float64Var(&o.vapourHPa, "vapour", 10, "vapour pressure, `hPa`")
	fs.Float64Var(&o.sunDeg, "sun", 45, "elevation of the sun, `degrees`")
	fs.Float64Var(&o.dewPointC, "dew-point", 10, "dew point, `°C`")
	fs.Float64Var(&o.topLx, "top", 120000, "largest reading of the light sensor, `lx`")
	fs.Float64Var(&o.fullCount, "full-count", 4095, "`count` at the full supply")
	fs.Float64Var(&o.seriesOhm, "series", 10000, "fixed resistor of the divider, `ohm`")
	fs.Float64Var(&o.thermistorOhm, "r25", 10000, "thermistor at 25 °C, `ohm`")
	fs.Float64Var(&o.betaK, "beta", 3950, "beta, `K`")
	fs.StringVar(&o.steinhart, "steinhart", "", "`a,b,c` in place of -r25 and -beta")
	fs.BoolVar(&o.toSupply, "to-supply", false, "thermistor at the supply, not at ground")
	if err := fs.Parse(args); err != nil {
		if errors.Is(err, flag.ErrHelp) {
			var text strings.Builder
			text.WriteString("usage: firmware [flags]\n")
			fs.SetOutput(&text)
			fs.PrintDefaults()
			return nil, &helpError{strings.TrimRight(text.String(), "\n")}
		}
		return nil, err
	}
	if fs.NArg() > 0 {
		return nil, fmt.Errorf("%q is not a flag", fs.Arg(0))
	}
	return &o, nil
}

func compose(w io.Writer, o *options) error {
	if o.list {
		for _, f := range functions {
			fmt.Fprintf(w, "%s\n    %s\n    to %s\n    %s\n", f.name, f.in, f.out, f.source)
			if f.flags != "" {
				fmt.Fprintf(w, "    %s\n", f.flags)
			}
		}
		return nil
	}
	e, err := build(o)
	if err != nil {
		return err
	}
	return e.write(w, o.language)
}

var identifier = regexp.MustCompile(`^[A-Za-z_][A-Za-z0-9_]*$`)

// build checks everything that was given and fits the function.
func build(o *options) (*emitter, error) {
	f, err := find(o.function)
	if err != nil {
		return nil, err
	}
	for _, c := range []struct {
		flag, word string
		known      []string
	}{{"-form", o.form, []string{"polynomial", "linear", "integer"}}, {"-language", o.language, []string{"go", "c", "python"}}} {
		if !slices.Contains(c.known, c.word) {
			return nil, fmt.Errorf("%s: %q is none of %s", c.flag, c.word, strings.Join(c.known, ", "))
		}
	}
	for _, c := range []struct {
		flag         string
		v, low, high int
	}{{"-max-degree", o.maxDegree, 0, 20}, {"-max-knots", o.maxKnots, 2, 65536}, {"-in-scale", o.inScale, 0, 1e6}, {"-out-scale", o.outScale, 0, 1e9}} {
		if c.v < c.low || c.v > c.high {
			return nil, fmt.Errorf("%s: %d is not within %d to %d", c.flag, c.v, c.low, c.high)
		}
	}
	for _, c := range []struct {
		flag string
		v    float64
	}{{"-from", o.from}, {"-to", o.to}} {
		if !(math.Abs(c.v) <= 1e9) {
			return nil, fmt.Errorf("%s: a number is needed, within ±1e9", c.flag)
		}
	}
	t := &task{lo: o.from, hi: o.to, bound: o.bound, relative: o.relative, inScale: o.inScale, outScale: o.outScale, maxDegree: o.maxDegree, maxKnots: o.maxKnots}
	t.from, t.to = inside(o.from, o.to)
	if !(t.from < t.to) {
		return nil, fmt.Errorf("-from %g is not below -to %g", o.from, o.to)
	}
	if !(o.bound > 0) || math.IsInf(o.bound, 0) {
		return nil, fmt.Errorf("-bound: an error above 0 is needed")
	}
	if t.inScale == 0 {
		t.inScale = 100
		if strings.Contains(f.in, "count") || strings.Contains(f.in, "lx") {
			t.inScale = 1
		}
	}
	name := o.name
	if name == "" {
		name = strings.ReplaceAll(f.name, "-", "_")
		if o.language == "go" {
			name = camel(f.name)
		}
	}
	for _, c := range [][2]string{{"-name", name}, {"-package", o.pkgName}} {
		if !identifier.MatchString(c[1]) {
			return nil, fmt.Errorf("%s: %q is not a name", c[0], c[1])
		}
	}
	eval, why, err := f.prepare(&o.parameters)
	if err != nil {
		return nil, err
	}
	t.f = eval
	if err := t.defined(why); err != nil {
		return nil, err
	}
	var fitted *fit
	switch o.form {
	case "polynomial":
		fitted, err = t.polynomial()
	case "linear":
		fitted, err = t.linear()
	default:
		fitted, err = t.integer()
	}
	if err != nil {
		return nil, err
	}
	return &emitter{task: t, fit: fitted, function: f, name: name, pkgName: o.pkgName, given: given(o, f)}, nil
}

// inside returns the outermost float32 numbers of the range.
func inside(lo, hi float64) (from, to float32) {
	from, to = float32(lo), float32(hi)
	if float64(from) < lo {
		from = math.Nextafter32(from, float32(math.Inf(1)))
	}
	if float64(to) > hi {
		to = math.Nextafter32(to, float32(math.Inf(-1)))
	}
	return from, to
}

// defined looks through the range for inputs without a value and, if the error
// is a share, for values of zero.
func (t *task) defined(why func(x float64) error) error {
	sign := 0.0
	for i := 0; i <= 4096; i++ {
		x := math.Min(t.hi, t.lo+(t.hi-t.lo)*float64(i)/4096)
		y := t.f(x)
		if math.IsNaN(y) || math.IsInf(y, 0) {
			err := why(x)
			if err == nil {
				err = fmt.Errorf("no value at %g", x)
			}
			return fmt.Errorf("-from, -to: %w", err)
		}
		if t.relative {
			s := math.Copysign(1, y)
			if y == 0 || sign != 0 && s != sign {
				return fmt.Errorf("-relative: the function passes through zero near %g", x)
			}
			sign = s
		}
	}
	return nil
}

func camel(s string) string {
	var b strings.Builder
	for _, part := range strings.Split(s, "-") {
		b.WriteString(strings.ToUpper(part[:1]) + part[1:])
	}
	return b.String()
}

// given repeats the flags that shaped the function.
func given(o *options, f function) string {
	switch {
	case f.name == "sea-level-factor":
		return fmt.Sprintf("height %g gpm, vapour pressure %g hPa", o.heightM, o.vapourHPa)
	case strings.HasPrefix(f.name, "irradiance"):
		return fmt.Sprintf("sun at %g°, dew point %g °C, top %g lx", o.sunDeg, o.dewPointC, o.topLx)
	case f.name == "thermistor":
		end := "ground"
		if o.toSupply {
			end = "the supply"
		}
		curve := fmt.Sprintf("%g ohm at 25 °C, beta %g K", o.thermistorOhm, o.betaK)
		if o.steinhart != "" {
			curve = "Steinhart-Hart " + o.steinhart
		}
		return fmt.Sprintf("full count %g, series %g ohm,\n%s, at %s", o.fullCount, o.seriesOhm, curve, end)
	}
	return ""
}
