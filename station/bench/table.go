package bench

import (
	"errors"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"

	"github.com/stationphysics/stationphysics"
	"github.com/stationphysics/stationphysics/internal/limit"
	"github.com/stationphysics/stationphysics/internal/wording"
	"github.com/stationphysics/stationphysics/station"
	"github.com/stationphysics/stationphysics/station/internal/table"
)

// A Row is one line of a bench table: what the meters showed at one setting of
// the supply. A quantity that was not measured is NaN.
type Row struct {
	Line    int     // in the file, for messages; 0 if there is none
	InputV  float64 // at the input pin
	OutputV float64 // at the output pin
	LoadOhm float64 // load resistance
	LoadA   float64 // load current
	TabC    float64 // thermometer on the tab or case
	RoomC   float64 // air in the room
	DwellS  float64 // how long this setting had lasted when it was read
	OwnW    float64 // the user's own figure for the power lost in the part
}

// NewRow returns a row in which nothing is measured yet.
func NewRow() Row {
	nan := math.NaN()
	return Row{0, nan, nan, nan, nan, nan, nan, nan, nan}
}

// MaxRows is the largest number of rows a table may have. A bench test has
// tens; a longer file is a log.
const MaxRows = 2000

// A quantity is one column a table may have.
type quantity struct {
	name  string
	units map[string]float64 // accepted units and their size in the first one's
	say   string             // the units for messages
	rng   limit.Range
	cell  func(r *Row) *float64
}

var (
	voltUnits = map[string]float64{"v": 1, "mv": 1e-3}
	ohmUnits  = map[string]float64{"ohm": 1, "ohms": 1, "ω": 1, "kohm": 1e3, "kω": 1e3}
	ampUnits  = map[string]float64{"a": 1, "ma": 1e-3}
	tempUnits = map[string]float64{"c": 1, "°c": 1, "degc": 1}
	timeUnits = map[string]float64{"s": 1, "min": 60}
	wattUnits = map[string]float64{"w": 1, "mw": 1e-3}
)

var quantities = []quantity{
	{"input", voltUnits, "V or mV", limit.Range{Quantity: "input voltage", Unit: "V", Min: 0, Max: 150,
		Slips: []limit.Slip{{Min: 150, Max: 150e3, Looks: "millivolts"}}}, func(r *Row) *float64 { return &r.InputV }},
	{"output", voltUnits, "V or mV", limit.Range{Quantity: "output voltage", Unit: "V", Min: 0, Max: 150,
		Slips: []limit.Slip{{Min: 150, Max: 150e3, Looks: "millivolts"}}}, func(r *Row) *float64 { return &r.OutputV }},
	{"load", ohmUnits, "ohm or kohm", limit.Range{Quantity: "load resistance", Unit: "ohm", Min: 0.1, Max: 1e7,
		Slips: []limit.Slip{{Min: 0, Max: 0.1, Looks: "a current in the column of the resistance"}}}, func(r *Row) *float64 { return &r.LoadOhm }},
	{"current", ampUnits, "A or mA", limit.Range{Quantity: "load current", Unit: "A", Min: 0, Max: 20,
		Slips: []limit.Slip{{Min: 20, Max: 20e3, Looks: "milliamperes, or ohms in the column of the current"}}}, func(r *Row) *float64 { return &r.LoadA }},
	{"tab", tempUnits, "°C", limit.Range{Quantity: "tab temperature", Unit: "°C", Min: -60, Max: 250,
		Slips: []limit.Slip{{Min: 273, Max: 523, Looks: "kelvins"}}}, func(r *Row) *float64 { return &r.TabC }},
	{"room", tempUnits, "°C", limit.Range{Quantity: "room temperature", Unit: "°C", Min: -60, Max: 60,
		Slips: []limit.Slip{{Min: 213, Max: 333, Looks: "kelvins"}, {Min: 60, Max: 120, Looks: "degrees Fahrenheit"}}}, func(r *Row) *float64 { return &r.RoomC }},
	{"dwell", timeUnits, "s or min", limit.Range{Quantity: "dwell", Unit: "s", Min: 0, Max: 1e6}, func(r *Row) *float64 { return &r.DwellS }},
	{"own", wattUnits, "W or mW", limit.Range{Quantity: "own power figure", Unit: "W", Min: 0, Max: 1000,
		Slips: []limit.Slip{{Min: 1000, Max: 1e6, Looks: "milliwatts"}}}, func(r *Row) *float64 { return &r.OwnW }},
}

// A column is a quantity as one header has it.
type column struct {
	*quantity
	header string
	scale  float64
}

// ReadTable reads a bench table of comma-separated values, line by line and in
// bounded memory. The first line names the columns, each with its unit:
//
//	input V, output V, load ohm, tab °C, room °C, dwell s, own W
//
// "input_V" and "input [V]" are taken as well. The columns may stand in any
// order; input is required, output or own, and load (a resistance) or current.
// Volts, amperes and watts may be in thousandths (mV), ohms in thousands
// (kohm), dwell in min. Empty cells were not measured; lines that begin with #
// and empty lines are passed over.
//
// The error is a *station.InputError with file name and line: an unknown column, a unit
// missing or wrong, a number out of range, more than MaxRows rows, a line
// without end, or columns that look swapped because every output lies above
// its input, or every tab below the room.
func ReadTable(in io.Reader, file string) ([]Row, error) {
	t := table.New(in)
	fail := func(col string, err error) error {
		return &station.InputError{File: file, Line: t.Line(), Key: col, Err: err}
	}
	head, err := t.Next()
	if errors.Is(err, io.EOF) {
		return nil, &station.InputError{File: file, Err: errors.New("the table is empty: a header and rows are needed")}
	}
	if err != nil {
		return nil, fail("", err)
	}
	cols := make([]column, len(head))
	seen := map[string]string{}
	for i, h := range head {
		c, err := parseHeader(h)
		if err != nil {
			return nil, fail(h, err)
		}
		if before, twice := seen[c.name]; twice {
			return nil, fail(h, fmt.Errorf("the same quantity as column %q", before))
		}
		seen[c.name] = h
		cols[i] = c
	}
	for _, need := range [][]string{{"input"}, {"output", "own"}, {"load", "current"}} {
		if !anyOf(seen, need) {
			return nil, fail("", fmt.Errorf("no column \"%s\"", strings.Join(need, `" or "`)))
		}
	}
	headLine := t.Line()
	var rows []Row
	for {
		cells, err := t.Next()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return nil, fail("", err)
		}
		if len(rows) == MaxRows {
			return nil, fail("", fmt.Errorf("more than %d rows: a bench test has tens; is this a log?", MaxRows))
		}
		if len(cells) != len(cols) {
			return nil, fail("", fmt.Errorf("%d cells under a header of %d; is a comma used as the decimal sign?", len(cells), len(cols)))
		}
		row := NewRow()
		row.Line = t.Line()
		for i, cell := range cells {
			if cell == "" {
				continue
			}
			v, err := strconv.ParseFloat(cell, 64)
			if err != nil {
				return nil, fail(cols[i].header, fmt.Errorf("%q is no number", clip(cell)))
			}
			v *= cols[i].scale
			if err := cols[i].rng.Check(v); err != nil {
				return nil, fail(cols[i].header, err)
			}
			*cols[i].cell(&row) = v
		}
		rows = append(rows, row)
	}
	if len(rows) == 0 {
		return nil, &station.InputError{File: file, Line: headLine, Err: errors.New("a header but no rows")}
	}
	if err := swapped(rows); err != nil {
		return nil, &station.InputError{File: file, Line: headLine, Err: err}
	}
	return rows, nil
}

func anyOf(seen map[string]string, names []string) bool {
	for _, n := range names {
		if _, ok := seen[n]; ok {
			return true
		}
	}
	return false
}

// clip keeps a message short whatever a cell holds.
func clip(s string) string {
	const most = 40
	if r := []rune(s); len(r) > most {
		return string(r[:most]) + "..."
	}
	return s
}

// parseHeader splits "input V", "input_V" or "input [V]" and looks both up.
func parseHeader(h string) (column, error) {
	name, unit := h, ""
	if i := strings.IndexAny(h, " _[("); i >= 0 {
		name, unit = h[:i], strings.Trim(h[i:], " _[]()")
	}
	name = strings.ToLower(name)
	for i := range quantities {
		q := &quantities[i]
		if q.name != name {
			continue
		}
		if unit == "" {
			return column{}, fmt.Errorf("the unit is missing: write it behind the name (%s)", q.say)
		}
		scale, ok := q.units[strings.ToLower(unit)]
		// A capital M would be millions, not thousandths.
		if !ok || strings.HasPrefix(unit, "M") {
			return column{}, fmt.Errorf("the unit %q is not accepted: give %s", clip(unit), q.say)
		}
		return column{q, h, scale}, nil
	}
	known := make([]string, len(quantities))
	for i := range quantities {
		known[i] = quantities[i].name
	}
	return column{}, &stationphysics.NameError{Kind: "column", Name: h, Known: known, Nearest: wording.Meant(name, known, nil)}
}

// swapped looks for columns that cannot be what the header says.
func swapped(rows []Row) error {
	for _, c := range []struct {
		low, high string
		diff      func(r *Row) float64
	}{
		{"output", "input", func(r *Row) float64 { return r.OutputV - r.InputV }},
		{"room", "tab", func(r *Row) float64 { return r.RoomC - r.TabC - 1 }},
	} {
		wrong, all := 0, 0
		for i := range rows {
			d := c.diff(&rows[i])
			if math.IsNaN(d) {
				continue
			}
			all++
			if d > 0 {
				wrong++
			}
		}
		if all > 0 && wrong == all {
			return fmt.Errorf("the columns %q and %q look swapped: %s is above %s in every row", c.low, c.high, c.low, c.high)
		}
	}
	return nil
}
