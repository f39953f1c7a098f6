package logbook

import (
	"errors"
	"fmt"
	"io"
	"math"
	"strconv"
	"time"

	"github.com/stationphysics/stationphysics/baro"
	"github.com/stationphysics/stationphysics/psychro"
	"github.com/stationphysics/stationphysics/station"
	"github.com/stationphysics/stationphysics/station/internal/table"
)

// maxKept is how many mistakes are kept; all are counted, and Config.Mistake
// sees all of them.
const maxKept = 20

const progressRows = 1 << 16

// A Reader turns a log into observations, row by row, in memory that does not
// grow with the log. Make it with New; it is not safe for concurrent use.
type Reader struct {
	c      Config
	t      *table.Reader
	file   string
	fields []field
	timeAt int
	offset bool
	has    [columns]bool
	zone   *time.Location
	zoneS  int

	rainMostMm float64             // in a row
	eSlopes    psychro.Sensitivity // of the vapour pressure at hand

	height baro.GeopotentialM
	sun    sunClock
	lastNS int64 // time of the last row
	begun  bool
	joined bool // the last row belongs to the same stretch
	dtS    float64
	sinceS float64 // of the row at hand, for its evidence
	readB  int64   // bytes of earlier files

	mistakes station.InputErrors
	sum      Summary
	checks   checks
	signs    signs
	tendency baro.TendencyWindow
	book     book
	o        Observation
}

// A Summary counts what was read so far.
type Summary struct {
	Rows          int // rows that gave an observation
	Broken        int // rows that could not be read and were skipped
	Duplicates    int // rows with the time of the row before, skipped
	Gaps          int // stretches of missing rows
	MissingRows   int // rows that the gaps would have held
	ClockSteps    int // times that the clock was set
	First, Last   time.Time
	RainMm        Measure // sum over the log; at least, if there are gaps or missing cells
	FlaggedValues int     // values with a flag
}

// New reads the header of a log. file is its name for messages. Mistakes in the
// header are station.InputErrors; in the configuration a
// *stationphysics.RangeError.
func New(in io.Reader, file string, c Config) (*Reader, error) {
	if c.StepS == 0 {
		c.StepS = 60
	}
	if err := c.check(); err != nil {
		return nil, err
	}
	t := &c.Tolerance
	if t.Air2K == 0 {
		t.Air2K = t.AirK
	}
	if t.Humidity2Pct == 0 {
		t.Humidity2Pct = t.HumidityPct
	}
	r := &Reader{c: c, rainMostMm: rainMinuteMm * math.Max(1, c.StepS/60)}
	var err error
	if r.sun, err = newSunClock(c.Place); err != nil {
		return nil, err
	}
	if c.Place != nil {
		r.height = baro.Geopotential(baro.GeometricM(c.Place.BarometerM), c.Place.LatDeg)
	}
	r.sum.RainMm = Measure{State: Absent}
	if err := r.Continue(in, file); err != nil {
		return nil, err
	}
	return r, nil
}

// Continue goes on with another file of the same log, as loggers write one a
// day. It has a header of its own. What spans the border is kept: a log split
// between rows gives the same observations as in one piece. After an error the
// Reader stays with the file before.
func (r *Reader) Continue(in io.Reader, file string) error {
	t := table.New(in)
	header, err := t.Next()
	if err != nil {
		if errors.Is(err, io.EOF) {
			err = errors.New("the file is empty")
		}
		return station.InputErrors{&station.InputError{File: file, Line: t.Line(), Err: err}}
	}
	fields, timeAt, offset, errs := layout(header, r.c.Ignore)
	if y := r.c.Start.Year(); offset && (y < firstYear || y > lastYear-101) {
		errs = append(errs, &station.InputError{Key: timeOffset, Err: fmt.Errorf("the start from which the seconds count is not stated, or not in the years %d to %d", firstYear, lastYear-101)})
	}
	if len(errs) > 0 {
		out := make(station.InputErrors, len(errs))
		for i, e := range errs {
			out[i] = e.(*station.InputError)
			out[i].File, out[i].Line = file, t.Line()
		}
		return out
	}
	if r.t != nil {
		r.readB += r.t.Bytes()
	}
	r.t, r.file, r.fields, r.timeAt, r.offset = t, file, fields, timeAt, offset
	r.has = [columns]bool{}
	for i := range fields {
		if fields[i].used {
			r.has[fields[i].column] = true
		}
	}
	return nil
}

// Next gives the observation of the next row that can be read, valid until the
// next call. Broken rows are skipped and reported by Mistakes, duplicates are
// skipped and counted. At the end the error is io.EOF; any other means that
// the rest of the file cannot be read, a *station.InputError.
func (r *Reader) Next() (*Observation, error) {
	for {
		cells, err := r.t.NextBytes()
		switch {
		case errors.Is(err, io.EOF):
			return nil, io.EOF
		case errors.Is(err, table.ErrOpenQuote), errors.Is(err, table.ErrNotText):
			r.broken("", err)
			continue
		case err != nil:
			return nil, &station.InputError{File: r.file, Line: r.t.Line(), Err: err}
		}
		if len(cells) != len(r.fields) {
			r.broken("", fmt.Errorf("%d fields instead of %d: is the row cut short?", len(cells), len(r.fields)))
			continue
		}
		at, ok := r.time(cells[r.timeAt])
		if !ok {
			continue
		}
		if !r.cells(cells) || !r.follow(at) {
			continue
		}
		r.observe(at)
		r.judge()
		r.sum.Rows++
		if r.sum.Rows == 1 {
			r.sum.First = at
		}
		r.sum.Last = at
		if r.c.Progress != nil && r.sum.Rows%progressRows == 0 {
			r.c.Progress(r.readB+r.t.Bytes(), r.sum.Rows)
		}
		return &r.o, nil
	}
}

// Mistakes are the first twenty rows that could not be read.
func (r *Reader) Mistakes() station.InputErrors { return r.mistakes }

// Summary counts what was read so far.
func (r *Reader) Summary() Summary { return r.sum }

func (r *Reader) broken(key string, err error) {
	r.sum.Broken++
	if len(r.mistakes) >= maxKept && r.c.Mistake == nil {
		return
	}
	e := &station.InputError{File: r.file, Line: r.t.Line(), Key: key, Err: err}
	if len(r.mistakes) < maxKept {
		r.mistakes = append(r.mistakes, e)
	}
	if r.c.Mistake != nil {
		r.c.Mistake(e)
	}
}

// time reads the time of a row.
func (r *Reader) time(b []byte) (at time.Time, ok bool) {
	if !r.offset {
		if at, ok = r.parseTime(b); !ok {
			r.broken(timeStamp, fmt.Errorf("%q is not an RFC 3339 time such as 2024-01-01T13:00:00+01:00", clip(b)))
		}
		return at, ok
	}
	s, err := strconv.ParseFloat(string(b), 64)
	// A century of seconds: more would not fit the nanoseconds of a duration.
	if err != nil || !(s >= 0 && s <= 3.2e9) {
		r.broken(timeOffset, fmt.Errorf("%q is no number of seconds from 0 to 3.2e9", clip(b)))
		return at, false
	}
	whole := math.Floor(s)
	return r.c.Start.Add(time.Duration(whole)*time.Second + time.Duration(math.Round((s-whole)*1e9))), true
}

// clip bounds what a message quotes.
func clip(b []byte) []byte {
	if len(b) > 40 {
		return b[:40]
	}
	return b
}

// cells reads the values of a row into the observation. A cell that is no
// number breaks the row, since its other cells may have slipped a column.
func (r *Reader) cells(cells [][]byte) bool {
	o := &r.o
	o.raw, o.state, o.flags = [columns]float64{}, [columns]State{}, [columns]Flag{}
	for i := range r.fields {
		f := &r.fields[i]
		if !f.used {
			continue
		}
		v, s, ok := decode(f, cells[i], r.c.LightTopLx)
		if !ok {
			r.broken(f.name, fmt.Errorf("%q is not a number", clip(cells[i])))
			return false
		}
		if f.column == Rain && s == Good && v > r.rainMostMm {
			s = OutOfRange
		}
		o.raw[f.column], o.state[f.column] = v, s
	}
	return true
}

// follow compares the time with that of the row before: false for a duplicate.
func (r *Reader) follow(at time.Time) bool {
	ns := at.UnixNano()
	line := r.t.Line()
	if !r.begun {
		r.begun, r.joined, r.dtS, r.lastNS = true, false, math.NaN(), ns
		return true
	}
	dt := float64(ns-r.lastNS) * 1e-9
	step := r.c.StepS
	r.sinceS = dt
	switch {
	case dt == 0:
		r.sum.Duplicates++
		r.book.note(r, Duplicate, columns, line, at, line, at).Spells++
		return false
	case dt < 0:
		r.sum.ClockSteps++
		r.book.note(r, ClockStep, columns, line, at, line, at).Spells++
		r.restart()
		r.tendency = baro.TendencyWindow{}
	case dt > 1.5*step:
		// Off the grid of rows without a start of the logger in between, or by
		// more than a month, the clock was set; otherwise rows are missing.
		part := math.Mod(dt/step, 1)
		booted := !r.has[Boots] || r.o.state[Boots] != Good || r.signs.boots != r.o.raw[Boots]
		if dt > 30*86400 || !booted && part > 0.2 && part < 0.8 {
			r.sum.ClockSteps++
			r.book.note(r, ClockStep, columns, line, at, line, at).Spells++
		} else {
			r.sum.Gaps++
			r.sum.MissingRows += int(math.Round(dt/step)) - 1
			r.book.note(r, Gap, columns, line, at, line, at).Spells++
		}
		r.restart()
	default:
		r.joined = true
	}
	r.dtS, r.lastNS = dt, ns
	return true
}

// restart ends what needs an unbroken stretch of rows.
func (r *Reader) restart() {
	r.joined = false
	r.checks.restart()
	r.signs.restart()
}
