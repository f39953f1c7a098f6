// Readings reads the log of a weather station and prints observations with
// their uncertainty and the signatures of trouble that the log shows.
//
//	go run ./examples/readings/generate > log.csv
//	go run ./examples/readings -station examples/readings/demo.toml log.csv
//
// Several files, given in the order of time, are one log. It ends with status
// 2 if an input is wrong, and prints nothing of the result then.
package main

import (
	"bytes"
	"encoding/json"
	"errors"
	"flag"
	"fmt"
	"io"
	"math"
	"os"
	"strings"
	"time"

	"github.com/stationphysics/stationphysics/internal/wording"
	"github.com/stationphysics/stationphysics/rain"
	"github.com/stationphysics/stationphysics/station"
	"github.com/stationphysics/stationphysics/station/logbook"
	"github.com/stationphysics/stationphysics/wind"
)

func main() { os.Exit(run(os.Args[1:], os.Stdout, os.Stderr)) }

type options struct {
	station, start, ignore    string
	every                     time.Duration
	json                      bool
	tipMm, tipTimeS           float64
	cupOffset, cupSlope, vane float64
	stepS                     float64
	tolerance                 logbook.Tolerances
	files                     []string
}

func run(args []string, out, complaints io.Writer) int {
	var o options
	fs := flag.NewFlagSet("readings", flag.ContinueOnError)
	fs.SetOutput(complaints)
	fs.StringVar(&o.station, "station", "", "description `file` of the station: place, light sensor, supply")
	fs.StringVar(&o.start, "start", "", "RFC 3339 `time` from which a time_s column counts")
	fs.StringVar(&o.ignore, "ignore", "", "`columns` to pass over, separated by commas")
	fs.DurationVar(&o.every, "every", time.Hour, "print one observation for each such time; a minute or more")
	fs.BoolVar(&o.json, "json", false, "print JSON")
	fs.Float64Var(&o.stepS, "step", 60, "`seconds` between rows")
	fs.Float64Var(&o.tipMm, "tip", 0.2, "`mm` of rain of a tip")
	fs.Float64Var(&o.tipTimeS, "tip-time", 0.4, "`seconds` in which a tip loses water")
	fs.Float64Var(&o.cupOffset, "cup-offset", 0, "`m/s` at which the line of the cup begins")
	fs.Float64Var(&o.cupSlope, "cup-slope", 0, "`metres` of air in a pulse of the cup; 0 if wind_pulses are not to be used")
	fs.Float64Var(&o.vane, "vane-start", 0, "`m/s` below which the vane says nothing")
	t := &o.tolerance
	fs.Float64Var(&t.AirK, "tol-air", 0, "tolerance of the air temperature, `K`; 0 if not known, for all tolerances")
	fs.Float64Var(&t.HumidityPct, "tol-humidity", 0, "tolerance of the humidity, `%`")
	fs.Float64Var(&t.PressureHPa, "tol-pressure", 0, "tolerance of the pressure, `hPa`")
	fs.Float64Var(&t.PressureStepHPa, "tol-tendency", 0, "repeatability of the pressure over three hours, `hPa`")
	fs.Float64Var(&t.HeightM, "tol-height", 0, "tolerance of the height of the pressure sensor, `m`")
	fs.Float64Var(&t.LightFrac, "tol-light", 0, "tolerance of the light, `share` of the reading")
	fs.Float64Var(&t.WindMPerS, "tol-wind", 0, "tolerance of the wind, `m/s`")
	fs.Float64Var(&t.WindFrac, "tol-wind-share", 0, "tolerance of the wind, `share` of the reading; the larger counts")
	fs.Float64Var(&t.DirectionDeg, "tol-direction", 0, "tolerance of the direction, `degrees`")
	fs.Float64Var(&t.RainFrac, "tol-rain", 0, "tolerance of the rain, `share` of the depth")
	fs.Usage = func() {
		fmt.Fprintln(complaints, "usage: readings [flags] log.csv [log.csv ...]")
		fs.PrintDefaults()
	}
	if err := fs.Parse(args); err != nil {
		if errors.Is(err, flag.ErrHelp) {
			return 0
		}
		return 2
	}
	o.files = fs.Args()
	if len(o.files) == 0 || o.every < time.Minute {
		fs.Usage()
		return 2
	}
	// The whole output is made before anything is printed.
	var b bytes.Buffer
	if err := compose(&b, &o, complaints); err != nil {
		fmt.Fprintln(complaints, err)
		return 2
	}
	if _, err := out.Write(b.Bytes()); err != nil {
		fmt.Fprintln(complaints, err)
		return 2
	}
	return 0
}

// configure joins description and flags.
func configure(o *options, complaints io.Writer) (c logbook.Config, err error) {
	if o.station != "" {
		f, err := os.Open(o.station)
		if err != nil {
			return c, err
		}
		defer f.Close()
		d, err := station.Read(f, o.station)
		if err != nil {
			return c, err
		}
		c = logbook.FromDescription(d)
	}
	if o.start != "" {
		if c.Start, err = time.Parse(time.RFC3339, o.start); err != nil {
			return c, fmt.Errorf("-start: %q is not an RFC 3339 time", o.start)
		}
	}
	if o.ignore != "" {
		c.Ignore = strings.Split(o.ignore, ",")
	}
	if c.Bucket, err = rain.NewBucket(rain.BucketSpec{TipMm: o.tipMm, TipTimeS: o.tipTimeS}); err != nil {
		return c, err
	}
	if o.cupSlope != 0 {
		if c.Cup, err = wind.NewCup(o.cupOffset, o.cupSlope); err != nil {
			return c, err
		}
	}
	c.StepS, c.VaneMPerS, c.Tolerance = o.stepS, o.vane, o.tolerance
	c.Progress = func(read int64, rows int) {
		fmt.Fprintf(complaints, "%d rows, %d MB read\n", rows, read>>20)
	}
	return c, nil
}

// A result is what is printed.
type result struct {
	Rows         int           `json:"rows"`
	Broken       int           `json:"broken_rows"`
	Duplicates   int           `json:"duplicates"`
	MissingRows  int           `json:"missing_rows"`
	ClockSteps   int           `json:"clock_steps"`
	Flagged      int           `json:"flagged_values"`
	First        string        `json:"first"`
	Last         string        `json:"last"`
	RainMm       *value        `json:"rain_mm,omitempty"`
	Mistakes     []string      `json:"mistakes,omitempty"`
	Observations []observation `json:"observations"`
	Troubles     []trouble     `json:"troubles"`
}

type value struct {
	Value   float64  `json:"value"`
	Half    *float64 `json:"half_width_95,omitempty"`
	AtLeast bool     `json:"at_least,omitempty"`
	AtMost  bool     `json:"at_most,omitempty"`
}

type observation struct {
	Line       int    `json:"line"`
	Time       string `json:"time"`
	at         time.Time
	Air        *value `json:"air_c,omitempty"`
	Dew        *value `json:"dew_point_c,omitempty"`
	Vapour     *value `json:"vapour_pressure_hpa,omitempty"`
	Absolute   *value `json:"absolute_humidity_g_per_m3,omitempty"`
	SeaLevel   *value `json:"sea_level_hpa,omitempty"`
	Altimeter  *value `json:"altimeter_hpa,omitempty"`
	Tendency   *value `json:"tendency_hpa,omitempty"`
	Course     *int   `json:"tendency_code,omitempty"`
	Irradiance *value `json:"irradiance_w_per_m2,omitempty"`
	Wind       *value `json:"wind_m_per_s,omitempty"`
	Gust       *value `json:"gust_m_per_s,omitempty"`
	Direction  *value `json:"direction_deg,omitempty"`
	Rain       *value `json:"rain_mm_since_the_row_before,omitempty"`
}

type trouble struct {
	Word      string   `json:"word"`
	Kind      string   `json:"kind"`
	Column    string   `json:"column"`
	FirstLine int      `json:"first_line"`
	FirstFile string   `json:"first_file"`
	LastLine  int      `json:"last_line"`
	LastFile  string   `json:"last_file"`
	First     string   `json:"first"`
	Last      string   `json:"last"`
	Rows      int      `json:"rows"`
	Spells    int      `json:"spells"`
	Reason    string   `json:"reason"`
	Next      string   `json:"next,omitempty"`
	Evidence  []string `json:"evidence"`
}

func measure(m logbook.Measure) *value {
	if !m.OK() {
		return nil
	}
	v := &value{Value: m.Value, AtLeast: m.AtLeast, AtMost: m.AtMost}
	if !math.IsNaN(m.Half) {
		v.Half = &m.Half
	}
	return v
}

func observe(o *logbook.Observation) observation {
	x := observation{
		Line: o.Line, Time: o.At.Format(time.RFC3339), at: o.At, Air: measure(o.AirC), Dew: measure(o.DewPointC), Vapour: measure(o.VapourPressureHPa),
		Absolute: measure(o.AbsoluteHumidityGPerM3), SeaLevel: measure(o.SeaLevelHPa), Altimeter: measure(o.AltimeterHPa), Tendency: measure(o.TendencyHPa),
		Irradiance: measure(o.IrradianceWPerM2()), Wind: measure(o.WindMPerS), Gust: measure(o.GustMPerS), Direction: measure(o.DirectionDeg), Rain: measure(o.RainMm),
	}
	if o.TendencyHPa.OK() {
		code := int(o.Characteristic)
		x.Course = &code
	}
	return x
}

func compose(b *bytes.Buffer, o *options, complaints io.Writer) error {
	c, err := configure(o, complaints)
	if err != nil {
		return err
	}
	var r *logbook.Reader
	res := result{Observations: []observation{}, Troubles: []trouble{}}
	var period time.Time
	for _, name := range o.files {
		f, err := os.Open(name)
		if err != nil {
			return err
		}
		if r == nil {
			r, err = logbook.New(f, name, c)
		} else {
			err = r.Continue(f, name)
		}
		for err == nil {
			var x *logbook.Observation
			if x, err = r.Next(); err == nil {
				if p := x.At.Truncate(o.every); !p.Equal(period) {
					period = p
					res.Observations = append(res.Observations, observe(x))
				}
			}
		}
		f.Close()
		if !errors.Is(err, io.EOF) {
			return err
		}
	}
	s := r.Summary()
	if s.Rows == 0 {
		if m := r.Mistakes(); len(m) > 0 {
			return m
		}
		return &station.InputError{File: o.files[0], Err: errors.New("the log has no rows")}
	}
	res.Rows, res.Broken, res.Duplicates, res.MissingRows, res.ClockSteps, res.Flagged = s.Rows, s.Broken, s.Duplicates, s.MissingRows, s.ClockSteps, s.FlaggedValues
	res.First, res.Last, res.RainMm = s.First.Format(time.RFC3339), s.Last.Format(time.RFC3339), measure(s.RainMm)
	for _, m := range r.Mistakes() {
		res.Mistakes = append(res.Mistakes, m.Error())
	}
	for _, t := range r.Troubles() {
		x := trouble{Word: t.Word.String(), Kind: t.Kind.String(), Column: t.Column.String(), FirstLine: t.FirstLine, FirstFile: t.File, LastLine: t.LastLine, LastFile: t.LastFile,
			First: t.First.Format(time.RFC3339), Last: t.Last.Format(time.RFC3339), Rows: t.Rows, Spells: t.Spells, Reason: t.Reason, Next: t.Next}
		for _, e := range t.Evidence {
			x.Evidence = append(x.Evidence, fmt.Sprintf("line %d: %s", e.Line, e.Text))
		}
		res.Troubles = append(res.Troubles, x)
	}
	if o.json {
		e := json.NewEncoder(b)
		e.SetIndent("", "  ")
		return e.Encode(&res)
	}
	text(b, &res)
	return nil
}

const width = 80

// text prints the result, 80 columns wide.
func text(b *bytes.Buffer, r *result) {
	fmt.Fprintf(b, "%d rows from %s\n", r.Rows, r.First)
	fmt.Fprintf(b, "to %s; %d broken, %d doubled, %d missing,\n%d clock steps, %d values flagged\n", r.Last, r.Broken, r.Duplicates, r.MissingRows, r.ClockSteps, r.Flagged)
	if r.RainMm != nil {
		fmt.Fprintf(b, "rain: %s mm\n", show(r.RainMm, 1))
	}
	for _, m := range r.Mistakes {
		wrap(b, "  skipped ", m)
	}
	fmt.Fprintf(b, "\nOBSERVATIONS (± 95 %% half-width where tolerances are stated; > is at least)\n\n")
	fmt.Fprintf(b, "%-16s %11s %11s %13s %6s %5s %11s\n", "time", "air °C", "dew point", "sea level hPa", "m/s", "from", "W/m2")
	for i := range r.Observations {
		o := &r.Observations[i]
		fmt.Fprintf(b, "%-16s %11s %11s %13s %6s %5s %11s\n", o.at.Format("2006-01-02 15:04"), show(o.Air, 1), show(o.Dew, 1), show(o.SeaLevel, 1),
			show(bare(o.Wind), 1), show(bare(o.Direction), 0), show(o.Irradiance, 0))
	}
	fmt.Fprintf(b, "\nTROUBLES\n")
	if len(r.Troubles) == 0 {
		fmt.Fprintf(b, "\nnone found; what the log does not hold cannot be judged\n")
	}
	for i := range r.Troubles {
		t := &r.Troubles[i]
		fmt.Fprintf(b, "\n%s: %s, %s\n", t.Word, t.Kind, t.Column)
		where := fmt.Sprintf("lines %d to %d", t.FirstLine, t.LastLine)
		if t.FirstLine == t.LastLine && t.FirstFile == t.LastFile {
			where = fmt.Sprintf("line %d", t.FirstLine)
		}
		if t.Rows > 1 {
			where += fmt.Sprintf(", %d rows", t.Rows)
		}
		wrap(b, "  ", where+": "+t.Reason)
		for _, e := range t.Evidence {
			wrap(b, "    ", e)
		}
		if t.Next != "" {
			wrap(b, "  next: ", t.Next)
		}
	}
}

// bare leaves the half-width out where the table has no room for it.
func bare(v *value) *value {
	if v == nil {
		return nil
	}
	return &value{Value: v.Value, AtLeast: v.AtLeast, AtMost: v.AtMost}
}

func show(v *value, digits int) string {
	if v == nil {
		return "-"
	}
	s := fmt.Sprintf("%.*f", digits, v.Value)
	switch {
	case v.AtLeast:
		return ">" + s
	case v.AtMost:
		return "<" + s
	case v.Half != nil:
		s += fmt.Sprintf("±%.*f", digits, *v.Half)
	}
	return s
}

// wrap writes a text behind a lead, its further lines indented like the first.
func wrap(b *bytes.Buffer, lead, s string) { b.WriteString(wording.Wrap(lead, s, width)) }
