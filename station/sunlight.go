package station

import (
	"errors"
	"fmt"
	"math"
	"sync"
	"time"

	"github.com/stationphysics/stationphysics/internal/limit"
	"github.com/stationphysics/stationphysics/solar"
	"github.com/stationphysics/stationphysics/solar/sky"
)

// A Sunlight is a weather carried to one panel: what the sky gives in each step
// to the cells, to the box and to a level light sensor. It depends on the site,
// the mounting and the weather, not on the electrical parts, so that many
// variants of a station share one. It is not changed after it is made.
type Sunlight struct {
	weather      *Weather
	cellsWPerM2  []float64           // on the cells, behind glass and dirt, snow not taken off
	month        []uint8             // of each step, 0 for January
	squareWPerM2 []float64           // all sunlight on a plane square to the sun, for the box
	HiddenBeamH  float64             // hours with direct sun above the level horizon but behind the skyline
	BeamH        float64             // hours with direct sun above 120 W/m2 (the WMO threshold of sunshine) on the site
	LightAboveLx map[float64]float64 // hours of daylight above the top of each light sensor, by that top in lx
}

// shortStep is the longest step that is taken as one moment: the sun moves two
// degrees in it, and sky.Plane.Over divides longer ones into such steps.
const shortStep = 450 * time.Second

// usualDewPointC is the air for daylight: the dew point only shifts the luminous efficacy by
// a few percent, so a usual one stands in.
const usualDewPointC = 8

// Bright daylight has more than leastLmPerW and less than mostLmPerW; a test holds
// sky.Light.Illuminance to it. Only between them it must be asked whether a light
// exceeds a sensor's range.
const (
	leastLmPerW, mostLmPerW = 80, 160
	brightWPerM2            = 50
)

// Sunlight carries a weather to the panel of the description. A typical year
// brings its own place along, for sun and weather belong together; any other
// weather is that of the site. It returns a *MissingError if site or mounting
// are not stated, and an *InputError for light that the sun of the place cannot
// give.
func (p *Model) Sunlight(w *Weather) (*Sunlight, error) {
	if len(p.plane.missing) > 0 {
		return nil, &MissingError{For: "the light on the panel", Keys: p.plane.missing}
	}
	site := p.site.v
	if t := w.Typical; t != nil {
		var err error
		if site, err = solar.NewSite(t.LatitudeDeg, t.LongitudeDeg, t.HeightM); err != nil {
			return nil, &InputError{File: w.Source, Line: 1, Err: err}
		}
	}
	var tops []float64
	for _, s := range p.d.Sensors {
		if s.Kind == "light" && s.TopLx != nil {
			tops = append(tops, *s.TopLx)
		}
	}
	return p.carry(w, site, tops)
}

// carry computes the sunlight on the plane. tops are the ranges of light sensors for
// which the hours above are counted.
func (p *Model) carry(w *Weather, site solar.Site, tops []float64) (*Sunlight, error) {
	plane, step := p.plane.v, w.Step
	var eph *almanac
	var course *sky.Course
	var err error
	short := step <= shortStep
	if short || !w.clean {
		if eph, err = newAlmanac(site, w); err != nil {
			return nil, err
		}
	}
	if !short {
		if course, err = p.course(w, site, eph); err != nil {
			return nil, err
		}
	}
	out := &Sunlight{
		weather: w, cellsWPerM2: make([]float64, len(w.Steps)), squareWPerM2: make([]float64, len(w.Steps)),
		LightAboveLx: map[float64]float64{},
	}
	leastTop, highestTop := math.Inf(1), 0.0
	for _, t := range tops {
		out.LightAboveLx[t] = 0
		leastTop, highestTop = min(leastTop, t), max(highestTop, t)
	}
	out.month = w.months()
	stepH := step.Hours()
	var record sky.Record
	for i := range w.Steps {
		if w.Steps[i].GlobalWPerM2 == 0 && w.clean {
			continue
		}
		r := &record
		if err := w.record(r, i, eph, site); err != nil {
			return nil, err
		}
		if r.GlobalWPerM2 == 0 {
			continue
		}
		var on sky.Irradiance
		var sun sky.Sun
		up := 1.0
		if short {
			// The sun hardly moves: its place in the middle stands for all.
			d := eph.toward(r.Start, step/2)
			sun = sky.SunToward(d)
			on = plane.OnToward(d, r.Light)
		} else {
			on = course.Over(i, r.Light)
			sun, up = course.SunUp(i)
		}
		e := plane.EffectiveWPerM2(on, 0)
		if math.IsNaN(e) {
			return nil, w.fault(i, limit.First(r.Light.Check(), sun.Check()))
		}
		out.cellsWPerM2[i] = e
		beam := r.BeamNormalWPerM2
		if beam >= 120 {
			out.BeamH += stepH * up
			if plane.Hidden(sun) {
				out.HiddenBeamH += stepH * up
				beam = 0
			}
		}
		out.squareWPerM2[i] = min(beam+r.DiffuseWPerM2, 1600)
		if len(tops) > 0 && up > 0 && (r.GlobalWPerM2 < brightWPerM2 || r.GlobalWPerM2*mostLmPerW > leastTop) {
			lx := r.GlobalWPerM2 * leastLmPerW
			if lx <= highestTop || r.GlobalWPerM2 < brightWPerM2 {
				lx = r.Light.Illuminance(sun, usualDewPointC).GlobalLx
			}
			for _, t := range tops {
				if lx > t {
					out.LightAboveLx[t] += stepH
				}
			}
		}
	}
	return out, nil
}

// A courseCache keeps the way of the sun over the plane through the steps of a
// weather. Synthetic years differ in their light and not in their steps, so that years
// of any seed share one.
type courseCache struct {
	mu     sync.Mutex
	from   time.Time
	step   time.Duration
	course *sky.Course
}

// course gives the way of the sun through the steps of a weather, for which it makes
// an almanac if there is none.
func (p *Model) course(w *Weather, site solar.Site, eph *almanac) (*sky.Course, error) {
	build := func() (c *sky.Course, err error) {
		if eph == nil {
			if eph, err = newAlmanac(site, w); err != nil {
				return nil, err
			}
		}
		return p.plane.v.Course(eph, w.Step, len(w.Steps), func(i int) time.Time { return w.Steps[i].Start })
	}
	if !w.clean || len(w.Steps) == 0 {
		return build()
	}
	// Years made by this package have no gaps.
	k := p.courses
	k.mu.Lock()
	defer k.mu.Unlock()
	if k.course != nil && k.course.Len() == len(w.Steps) && k.step == w.Step && k.from.Equal(w.Steps[0].Start) {
		return k.course, nil
	}
	c, err := build()
	if err != nil {
		return nil, err
	}
	k.course, k.step, k.from = c, w.Step, w.Steps[0].Start
	return c, nil
}

// forgetCourse gives the memory of the course back.
func (p *Model) forgetCourse() {
	p.courses.mu.Lock()
	defer p.courses.mu.Unlock()
	p.courses.course = nil
}

// record fills r in from step i: complete, and possible under the sun of the site.
func (w *Weather) record(r *sky.Record, i int, eph *almanac, site solar.Site) error {
	s := &w.Steps[i]
	*r = sky.Record{Start: s.Start, Length: w.Step, Light: sky.Light{
		GlobalWPerM2: s.GlobalWPerM2, BeamNormalWPerM2: s.DirectWPerM2, DiffuseWPerM2: s.SkyWPerM2,
	}}
	if w.Split {
		r.BeamNormalWPerM2, r.DiffuseWPerM2 = math.NaN(), math.NaN()
	}
	if w.clean {
		return nil // made by this package, complete and possible
	}
	one := [1]sky.Record{*r}
	if _, err := sky.Clean(one[:], eph, sky.ErbsDriesse); err != nil {
		var re *sky.RecordError
		if errors.As(err, &re) {
			at := fmt.Sprintf("latitude %.2f deg and longitude %.2f deg", site.LatDeg(), site.LonDeg())
			return w.fault(i, fmt.Errorf("%w (the sun of %s allows no more: another place or time zone?)", re.Err, at))
		}
		return err
	}
	*r = one[0]
	return nil
}

// An almanac gives the sun for the years of UTC in which steps of a weather begin: a
// typical year is put together from months of different years.
type almanac struct {
	site  solar.Site
	years map[int]*solar.Track

	now      *solar.Track // of the year from..to
	from, to time.Time

	arc       solar.Arc // of arcLength from arcFrom on
	arcFrom   time.Time
	arcLength time.Duration
}

func newAlmanac(site solar.Site, w *Weather) (*almanac, error) {
	a := &almanac{site: site, years: map[int]*solar.Track{}}
	type span struct{ from, to time.Time }
	spans := map[int]*span{}
	var now *span
	var yearFrom, yearTo time.Time
	for i := range w.Steps {
		from := w.Steps[i].Start
		if now == nil || from.Before(yearFrom) || !from.Before(yearTo) {
			yearFrom, yearTo = yearOf(from)
			y := yearFrom.Year()
			if now = spans[y]; now == nil {
				now = &span{from, from}
				spans[y] = now
			}
		}
		if from.Before(now.from) {
			now.from = from
		}
		if from.After(now.to) {
			now.to = from
		}
	}
	for y, s := range spans {
		// The last step of a year of UTC may end in the next.
		track, err := site.Track(s.from, s.to.Add(w.Step))
		if err != nil {
			return nil, err
		}
		a.years[y] = track
	}
	return a, nil
}

// yearOf gives the beginning and the end of the year of UTC that t lies in.
func yearOf(t time.Time) (from, to time.Time) {
	y := t.UTC().Year()
	return time.Date(y, 1, 1, 0, 0, 0, 0, time.UTC), time.Date(y+1, 1, 1, 0, 0, 0, 0, time.UTC)
}

// At implements sky.Ephemeris. Instants come in the order of time, so that the
// track of the call before mostly serves. An almanac is for one goroutine.
func (a *almanac) At(t time.Time) solar.Position {
	if track := a.of(t); track != nil {
		return track.At(t)
	}
	return a.site.At(t)
}

// Arc serves sky.
func (a *almanac) Arc(start time.Time, length time.Duration) solar.Arc {
	if track := a.of(start); track != nil {
		return track.Arc(start, length)
	}
	return solar.Arc{}
}

// toward gives the sun some time after the beginning of a step, from an arc that the
// steps of up to an hour share.
func (a *almanac) toward(start time.Time, after time.Duration) solar.Direction {
	span := start.Sub(a.arcFrom) + after
	if span < 0 || span > a.arcLength {
		a.arcFrom, a.arcLength, span = start, 0, after
		if track := a.of(start); track != nil {
			_, end := track.Ends()
			a.arcLength = max(after, min(time.Hour, end.Sub(start)))
			a.arc = track.Arc(start, a.arcLength)
		}
	}
	return a.arc.At(span.Seconds())
}

func (a *almanac) of(t time.Time) *solar.Track {
	if t.Before(a.from) || !t.Before(a.to) {
		a.from, a.to = yearOf(t)
		a.now = a.years[t.UTC().Year()]
	}
	return a.now
}

// months gives the month of each step, 0 for January.
func (w *Weather) months() []uint8 {
	out := make([]uint8, len(w.Steps))
	var from, to time.Time
	for i := 0; i < len(out); i++ {
		t := w.Steps[i].Start
		if t.Before(from) || !t.Before(to) || t.Location() != from.Location() {
			y, m, _ := t.Date()
			from, to = time.Date(y, m, 1, 0, 0, 0, 0, t.Location()), time.Date(y, m+1, 1, 0, 0, 0, 0, t.Location())
		}
		month := uint8(from.Month() - 1)
		out[i] = month
		if w.clean {
			// Without gaps: the steps up to the next month need not be looked at.
			for n := int((to.Sub(t) - 1) / w.Step); n > 0 && i+1 < len(out); n-- {
				i++
				out[i] = month
			}
		}
	}
	return out
}
