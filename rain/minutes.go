package rain

import (
	"math"
	"time"

	"github.com/stationphysics/stationphysics/internal/limit"
)

// A Minute is the rain of one minute.
type Minute struct {
	Start   time.Time
	DepthMm float64 // fallen in it
	AtLeast bool    // part of the minute is missing from the record
}

// RateMmPerH is the one-minute intensity.
func (m Minute) RateMmPerH() float64 { return m.DepthMm * 60 }

// Minutes spreads tips over the minutes before them and hands the minutes out
// in order, complete and each once, in memory fixed by the longest spread. Make
// it with NewMinutes. Feeding a series in pieces gives the same minutes.
type Minutes struct {
	ring   []Minute
	origin int64 // the oldest minute kept, since the epoch
	begun  bool
	emit   func(Minute)
}

// NewMinutes makes minutes for gauges that spread over up to spreadS, 60..86400
// s. emit is called for each minute, dry ones included, from the first tip's
// spread on, as soon as no later tip can reach it. The error is a
// *stationphysics.RangeError.
func NewMinutes(spreadS float64, emit func(Minute)) (*Minutes, error) {
	if err := spreadRange.Check(spreadS); err != nil {
		return nil, err
	}
	keep := int(spreadS/60) + 2
	return &Minutes{ring: make([]Minute, keep), emit: emit}, nil
}

// Add spreads a tip evenly over its minutes; what is no tip, or has no finite
// depth, is passed over. A tip that reaches further back than the minutes kept
// puts that part into the oldest one.
func (m *Minutes) Add(c Closure) {
	if c.Kind != Tip || !(c.DepthMm > 0) || math.IsInf(c.DepthMm, 1) {
		return
	}
	m.advance(c.From, c.At)
	span := c.At.Sub(c.From)
	if span == math.MaxInt64 {
		c.From = c.At.Add(-span) // longer than a Duration holds
	}
	if span <= 0 {
		m.at(c.At).DepthMm += c.DepthMm
		return
	}
	for from := c.From; from.Before(c.At); {
		next := from.Truncate(time.Minute).Add(time.Minute)
		if oldest := m.start(); next.Before(oldest) {
			next = oldest // in one go, however long ago it began
		}
		if next.After(c.At) {
			next = c.At
		}
		m.at(from).DepthMm += c.DepthMm * (float64(next.Sub(from)) / float64(span))
		from = next
	}
}

// Missing marks the minutes of a gap in the record: sums over them are at
// least. Of a gap of more than a year the last year is marked.
func (m *Minutes) Missing(from, to time.Time) {
	if to.Sub(from) > silence {
		from = to.Add(-silence)
	}
	for from.Before(to) {
		m.advance(from, from)
		m.at(from).AtLeast = true
		next := from.Truncate(time.Minute).Add(time.Minute)
		from = next
	}
}

// Flush hands out all minutes up to a time, to end a series. If that is more
// than a year ahead, only those that are kept: a series ends where its record
// does.
func (m *Minutes) Flush(to time.Time) {
	if !m.begun {
		return
	}
	end := minuteOf(to)
	if m.silent(end) {
		m.empty()
		m.origin = end
	}
	for m.origin < end {
		m.pop()
	}
}

func (m *Minutes) start() time.Time { return time.Unix(m.origin*60, 0).UTC() }

// silence is the longest time over which dry minutes are handed out one by one:
// a clock that jumps by decades must not cost minutes by the million.
const silence = 366 * 24 * time.Hour

// advance makes room for the minute of at, handing out what falls off. After
// more than a year of silence it hands out what is kept and begins anew.
func (m *Minutes) advance(from, at time.Time) {
	first, last := minuteOf(from), minuteOf(at)
	if m.begun && m.silent(last) {
		m.empty()
		m.begun = false
	}
	if !m.begun {
		m.begun = true
		m.origin = max(first, last-int64(len(m.ring))+1)
	}
	for last-m.origin >= int64(len(m.ring)) {
		m.pop()
	}
}

// silent reports whether a minute lies more than the longest silence ahead.
func (m *Minutes) silent(minute int64) bool { return minute-m.origin > int64(silence/time.Minute) }

// empty hands out what is kept.
func (m *Minutes) empty() {
	for range m.ring {
		m.pop()
	}
}

func (m *Minutes) pop() {
	slot := m.slot(m.origin)
	out := m.ring[slot]
	out.Start = m.start()
	m.ring[slot] = Minute{}
	m.origin++
	m.emit(out)
}

func (m *Minutes) at(t time.Time) *Minute { return &m.ring[m.slot(max(minuteOf(t), m.origin))] }

func (m *Minutes) slot(minute int64) int64 {
	n := int64(len(m.ring))
	return (minute%n + n) % n
}

func minuteOf(t time.Time) int64 {
	s := t.Unix()
	q := s / 60
	if s%60 < 0 {
		q--
	}
	return q
}

// A Total sums minutes: an hour, a day, an event.
type Total struct {
	DepthMm    float64 // sum of the minutes
	Minutes    int     // how many were added
	AtLeast    bool    // the record has a gap: it rained this much or more
	PeakMmPerH float64 // largest one-minute intensity
	PeakAt     time.Time
	WetMinutes int // minutes with rain
}

// Add takes one more minute.
func (t *Total) Add(m Minute) {
	t.DepthMm += m.DepthMm
	t.Minutes++
	t.AtLeast = t.AtLeast || m.AtLeast
	if m.DepthMm > 0 {
		t.WetMinutes++
	}
	if r := m.RateMmPerH(); r > t.PeakMmPerH {
		t.PeakMmPerH, t.PeakAt = r, m.Start
	}
}

// An Event is a spell of rain.
type Event struct {
	Start, End time.Time // first minute with rain; end of the last one
	Total
}

// Events splits minutes into events: dry for a given time, 1..1440 minutes,
// ends one. Six hours is usual in hydrology, half an hour for showers (common
// practice, no published source). Make it with NewEvents.
type Events struct {
	dryMinutes int
	cur        Event
	open       bool
	pending    []Minute // dry minutes since the last rain
	emit       func(Event)
}

var dryRange = limit.Range{Quantity: "dry time that ends an event", Unit: "min", Min: 1, Max: 1440}

// NewEvents makes a splitter; emit is called at the end of each event. The
// error is a *stationphysics.RangeError.
func NewEvents(dryMin float64, emit func(Event)) (*Events, error) {
	if err := dryRange.Check(dryMin); err != nil {
		return nil, err
	}
	n := int(dryMin)
	return &Events{dryMinutes: n, pending: make([]Minute, 0, n), emit: emit}, nil
}

// Add takes the next minute.
func (e *Events) Add(m Minute) {
	switch {
	case m.DepthMm > 0:
		if !e.open {
			e.cur, e.open = Event{Start: m.Start}, true
		}
		for _, dry := range e.pending {
			e.cur.Add(dry)
		}
		e.pending = e.pending[:0]
		e.cur.Add(m)
		e.cur.End = m.Start.Add(time.Minute)
	case e.open:
		e.pending = append(e.pending, m)
		if len(e.pending) >= e.dryMinutes {
			e.Flush()
		}
	}
}

// Flush ends an event that is under way, to end a series.
func (e *Events) Flush() {
	if e.open {
		e.emit(e.cur)
	}
	e.open, e.pending = false, e.pending[:0]
}
