package station

import (
	"errors"
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"
	"time"

	"github.com/stationphysics/stationphysics"
	"github.com/stationphysics/stationphysics/internal/limit"
	"github.com/stationphysics/stationphysics/internal/wording"
	"github.com/stationphysics/stationphysics/station/internal/table"
)

// A Weather is a sequence of equal steps without a gap.
type Weather struct {
	Source           string        // where it comes from, for the review
	Step             time.Duration // length of every step
	Steps            []WeatherStep
	lines            []int32      // line of each step in its file, nil if it comes from none
	clean            bool         // every step is complete and possible
	NightOffsetCount int          // readings slightly below zero at night that were taken as zero
	Split            bool         // only global was given: direct and diffuse are still to be made from it
	HasDew           bool         // the steps carry a dew point
	Typical          *TypicalSite // the site line of a typical-year file, nil otherwise
}

// A WeatherStep is the mean over one step.
type WeatherStep struct {
	Start        time.Time
	GlobalWPerM2 float64 // on the horizontal
	DirectWPerM2 float64 // from the sun's disc, on a plane facing it
	SkyWPerM2    float64 // diffuse, on the horizontal
	AirC         float64 // in a shield
	WindMPerS    float64 // at the panel
	DewC         float64 // dew point; meaningful only if Weather.HasDew
}

// Limits of a weather file. A pyranometer radiates to the night sky and reads
// some watts below zero (thermal offset; WMO-No. 8, part I ch. 7, from memory:
// up to about -10 W/m2, taken wider here): those are zeros. Anything lower is a mistake.
var (
	globalRange = limit.Range{Quantity: "global irradiance", Unit: "W/m²", Min: -25, Max: 1600, Slips: []limit.Slip{{Min: 1601, Max: 5e6, Looks: "joules per square metre"}}}
	directRange = limit.Range{Quantity: "direct normal irradiance", Unit: "W/m²", Min: -25, Max: 1420, Slips: []limit.Slip{{Min: 1601, Max: 5e6, Looks: "joules per square metre"}}}
	skyRange    = limit.Range{Quantity: "diffuse irradiance", Unit: "W/m²", Min: -25, Max: 1000, Slips: []limit.Slip{{Min: 1601, Max: 5e6, Looks: "joules per square metre"}}}
	airRange    = limit.Range{Quantity: "air temperature", Unit: "°C", Min: -80, Max: 60, Slips: []limit.Slip{{Min: 190, Max: 335, Looks: "kelvins"}, {Min: 61, Max: 140, Looks: "degrees Fahrenheit"}}}
	dewRange    = limit.Range{Quantity: "dew point", Unit: "°C", Min: -90, Max: 40, Slips: []limit.Slip{{Min: 190, Max: 313, Looks: "kelvins"}}}
	windRange   = limit.Range{Quantity: "wind speed", Unit: "m/s", Min: 0, Max: 75}
)

// maxSteps bounds a weather file: ten years of one-minute steps. A test lowers it.
var maxSteps = 10 * 366 * 24 * 60

// ReadWeather reads an hourly (or finer) table. Two forms are told apart by
// their first line: the module's own, with the columns
//
//	time              start of the step, RFC 3339 with its offset
//	global_w_per_m2   on the horizontal
//	direct_w_per_m2   direct normal; optional, together with diffuse_w_per_m2
//	diffuse_w_per_m2  on the horizontal; optional
//	air_c
//	wind_m_per_s      optional, 1 m/s where absent
//	dew_point_c       optional
//
// in any order, and the typical-year format of NREL/TP-581-43156 (TMY3).
// Steps must follow each other without a gap. All mistakes, up to twenty, are
// reported together as InputErrors.
func ReadWeather(in io.Reader, file string) (*Weather, error) {
	w := &weatherReader{t: table.New(in), file: file, out: &Weather{Source: file}}
	first, err := w.t.Next()
	if err != nil {
		if errors.Is(err, io.EOF) {
			err = errors.New("the file is empty")
		}
		w.fail("", err)
		return nil, w.errs
	}
	if isTMY3(first) {
		w.tmy3(slices.Clone(first))
	} else {
		w.own(slices.Clone(first))
	}
	if len(w.errs) > 0 {
		return nil, w.errs
	}
	return w.out, nil
}

type weatherReader struct {
	t    *table.Reader
	file string
	out  *Weather
	errs InputErrors
}

const maxReported = 20

// fail records a mistake and reports whether reading should go on.
func (w *weatherReader) fail(key string, err error) bool {
	w.errs = append(w.errs, &InputError{File: w.file, Line: w.t.Line(), Key: key, Err: err})
	return len(w.errs) < maxReported
}

var ownColumns = []string{"time", "global_w_per_m2", "direct_w_per_m2", "diffuse_w_per_m2", "air_c", "wind_m_per_s", "dew_point_c"}

func (w *weatherReader) own(header []string) {
	if len(header) == 1 && strings.ContainsAny(header[0], ";\t") {
		w.fail("", errors.New("the columns are not separated by commas"))
		return
	}
	at := map[string]int{}
	for i, h := range header {
		if !slices.Contains(ownColumns, h) {
			w.fail(h, &stationphysics.NameError{Kind: "column", Name: h, Known: ownColumns, Nearest: wording.Meant(h, ownColumns, otherNames)})
			continue
		}
		if _, twice := at[h]; twice {
			w.fail(h, errors.New("the column stands twice"))
		}
		at[h] = i
	}
	for _, need := range []string{"time", "global_w_per_m2", "air_c"} {
		if _, ok := at[need]; !ok {
			w.fail(need, errors.New("the column is missing"))
		}
	}
	_, direct := at["direct_w_per_m2"]
	_, diffuse := at["diffuse_w_per_m2"]
	if direct != diffuse {
		w.fail("", errors.New("direct_w_per_m2 and diffuse_w_per_m2 belong together: give both or neither"))
	}
	if len(w.errs) > 0 {
		return
	}
	w.out.Split = !direct
	_, w.out.HasDew = at["dew_point_c"]
	w.rows(len(header), func(f []string) (s WeatherStep, ok bool) {
		var err error
		if s.Start, err = time.Parse(time.RFC3339, f[at["time"]]); err != nil {
			return s, w.fail("time", fmt.Errorf("%q is not an RFC 3339 time such as 2024-01-01T13:00:00+01:00", f[at["time"]]))
		}
		n := len(w.errs)
		s.GlobalWPerM2 = w.value(f[at["global_w_per_m2"]], &globalRange)
		if direct {
			s.DirectWPerM2 = w.value(f[at["direct_w_per_m2"]], &directRange)
			s.SkyWPerM2 = w.value(f[at["diffuse_w_per_m2"]], &skyRange)
		}
		s.AirC = w.value(f[at["air_c"]], &airRange)
		s.WindMPerS = 1
		if i, has := at["wind_m_per_s"]; has {
			s.WindMPerS = w.value(f[i], &windRange)
		}
		if i, has := at["dew_point_c"]; has {
			s.DewC = w.value(f[i], &dewRange)
		}
		return s, len(w.errs) == n || len(w.errs) < maxReported
	})
	w.finish()
}

// rows reads until the end of the table; parse returns false to give up.
func (w *weatherReader) rows(columns int, parse func([]string) (WeatherStep, bool)) {
	for {
		f, err := w.t.Next()
		if errors.Is(err, io.EOF) {
			return
		}
		if err != nil {
			if !w.fail("", err) || errors.Is(err, table.ErrLongLine) {
				return
			}
			continue
		}
		if len(f) != columns {
			if !w.fail("", fmt.Errorf("%d fields instead of %d: is the file cut short?", len(f), columns)) {
				return
			}
			continue
		}
		n := len(w.errs)
		s, ok := parse(f)
		if !ok {
			return
		}
		if len(w.errs) > n {
			continue
		}
		if len(w.out.Steps) == maxSteps {
			w.fail("", fmt.Errorf("more than %d steps", maxSteps))
			return
		}
		if !w.follow(s) {
			return
		}
	}
}

// follow appends a step after checking that it follows the one before.
func (w *weatherReader) follow(s WeatherStep) bool {
	n := len(w.out.Steps)
	switch {
	case n == 1:
		w.out.Step = s.Start.Sub(w.out.Steps[0].Start)
		if w.out.Step < time.Minute || w.out.Step > time.Hour {
			w.out.Steps[0], w.out.lines[0] = s, int32(w.t.Line()) // for the row after it
			return w.fail("time", fmt.Errorf("the step from the row before is %s: steps of 1 minute to 1 hour are accepted", w.out.Step))
		}
	case n > 1:
		if gap := s.Start.Sub(w.out.Steps[n-1].Start); gap != w.out.Step && !w.typical() {
			ok := w.fail("time", fmt.Errorf("%s after the row before instead of %s: %s", gap, w.out.Step, gapWord(gap, w.out.Step)))
			w.take(s)
			return ok
		}
	}
	w.take(s)
	return true
}

func (w *weatherReader) take(s WeatherStep) {
	w.out.Steps = append(w.out.Steps, s)
	w.out.lines = append(w.out.lines, int32(w.t.Line()))
}

// fault wraps an error about one step with its place in the file.
func (w *Weather) fault(i int, err error) *InputError {
	e := &InputError{File: w.Source, Key: w.Steps[i].Start.Format(time.RFC3339), Err: err}
	if i < len(w.lines) {
		e.Line = int(w.lines[i])
	}
	return e
}

func gapWord(gap, step time.Duration) string {
	switch {
	case gap <= 0:
		return "times must rise"
	case gap%step == 0:
		return fmt.Sprintf("%d missing", gap/step-1)
	}
	return "steps must be equal"
}

// value parses one cell, checks its range, and counts night offsets.
func (w *weatherReader) value(s string, r *limit.Range) float64 {
	v, err := strconv.ParseFloat(s, 64)
	if err != nil {
		w.fail("", fmt.Errorf("%s: %q is not a number", r.Quantity, s))
		return 0
	}
	if err := r.Check(v); err != nil {
		w.fail("", err)
		return 0
	}
	if v < 0 && strings.HasSuffix(r.Quantity, "irradiance") {
		w.out.NightOffsetCount++
		return 0
	}
	return v
}

func (w *weatherReader) finish() {
	if len(w.errs) > 0 {
		return
	}
	n := len(w.out.Steps)
	if n < 2 {
		w.fail("", fmt.Errorf("%d rows: at least one day of steps is needed", n))
		return
	}
	if span := time.Duration(n) * w.out.Step; span < 24*time.Hour {
		w.fail("", fmt.Errorf("only %s of weather: at least one day is needed", span))
		return
	}
	for i, s := range w.out.Steps {
		// Global below diffuse is impossible; the allowance is the quoted
		// uncertainty of good pyranometers, 5 % or 20 W/m2, from memory.
		if !w.out.Split && s.SkyWPerM2 > s.GlobalWPerM2*1.05+20 {
			w.errs = append(w.errs, w.out.fault(i, &stationphysics.ConflictError{
				Quantities: []string{"diffuse irradiance", "global irradiance"}, Values: []float64{s.SkyWPerM2, s.GlobalWPerM2}, Units: []string{"W/m²", "W/m²"},
				Rule: "the diffuse part cannot exceed the global by more than 5 % and 20 W/m²"}))
			if len(w.errs) >= maxReported {
				return
			}
		}
	}
}

// Climate returns the monthly means and the extremes of a weather: what
// Synthetic makes another year from. A month without a step has NaN.
func (w *Weather) Climate() *Climate {
	var hours, sun, air [12]float64
	low, high, wind := math.Inf(1), math.Inf(-1), 0.0
	stepH := w.Step.Hours()
	for i := range w.Steps {
		s := &w.Steps[i]
		m := s.Start.Month() - 1
		hours[m] += stepH
		sun[m] += s.GlobalWPerM2 * stepH / 1000
		air[m] += s.AirC * stepH
		wind += s.WindMPerS
		low, high = math.Min(low, s.AirC), math.Max(high, s.AirC)
	}
	c := &Climate{RecordLowC: Of(low), RecordHighC: Of(high), WindMPerS: Of(wind / float64(len(w.Steps)))}
	for m := range 12 {
		c.GlobalKWhPerM2 = append(c.GlobalKWhPerM2, sun[m]/hours[m]*24)
		c.AirC = append(c.AirC, air[m]/hours[m])
	}
	return c
}
