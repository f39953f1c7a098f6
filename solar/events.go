package solar

import (
	"math"
	"time"

	"github.com/stationphysics/stationphysics"
	"github.com/stationphysics/stationphysics/internal/numeric"
)

// An Outcome says what the sun did with an elevation during one civil date.
type Outcome int

// The outcomes of a date.
const (
	Ordinary   Outcome = iota // it came up through the elevation and went down through it
	UpAllDay                  // it stayed above: the midnight sun, or a night no darker than that twilight
	DownAllDay                // it stayed below: the polar night
	OnlyRise                  // it came up and stayed up
	OnlySet                   // it was up and went down, and did not come up again
	noOutcome                 // behind the last
)

// String names the outcome in a few words.
func (o Outcome) String() string {
	if o < 0 || o >= noOutcome {
		return "unknown"
	}
	return [...]string{"rises and sets", "up all day", "down all day", "only rises", "only sets"}[o]
}

// A Span is the part of a date during which the sun is above some elevation.
// Times are in the zone that was asked for, to the millisecond; a time that the
// outcome has not is the zero time.Time.
type Span struct {
	Outcome Outcome
	Rise    time.Time // upwards through the elevation: sunrise or dawn
	Set     time.Time // downwards: sunset or dusk
	// LengthH is the time above the elevation in hours: 24 for UpAllDay, 0 for
	// DownAllDay; with only a rise or only a set, to the lowest sun of that night.
	LengthH float64
}

// A Day holds the sun's events of one civil date: those of the daylight around
// the transit that lies nearest to the date's noon. Near the midnight sun the
// sunset that ends it can fall after the following midnight, and it is then given
// with the date on which its daylight stood highest.
type Day struct {
	Transit time.Time // the sun crosses the meridian, its geocentric hour angle zero
	// Sun is the day between sunrise and sunset: the geocentric centre at -50′,
	// the almanacs' 34′ for refraction and 16′ for the semidiameter.
	Sun Span
	// Civil, Nautical and Astronomical are the spans between dawn and dusk of
	// the three twilights, the centre at -6°, -12° and -18°.
	Civil, Nautical, Astronomical Span
	// AtTransit is the position at the transit, with the declination, the
	// equation of time and the day's greatest elevation (within a few arc seconds
	// outside the polar regions).
	AtTransit Position
}

// Elevations of the geocentric centre that define the events: Explanatory
// Supplement to the Astronomical Almanac, chapter 9 (from memory), and the
// definitions of the U.S. Naval Observatory.
const (
	sunriseDeg      = -50.0 / 60
	civilDeg        = -6.0
	nauticalDeg     = -12.0
	astronomicalDeg = -18.0
)

// Day gives the events of a civil date in a time zone, nil for UTC. An event is
// within a second of the ephemeris where the sun crosses the elevation by more
// than 0.02° a minute; where the sun grazes the horizon, a second of arc can
// make minutes, as the weather makes far more.
//
// A year outside 1900 to 2200 gives a *stationphysics.RangeError; a date that
// the calendar or the zone does not have (30 February; 30 December 2011 in Samoa)
// a *stationphysics.ConflictError.
func (s Site) Day(year int, month time.Month, day int, zone *time.Location) (Day, error) {
	var w window
	if err := s.window(&w, year, month, day, zone); err != nil {
		return Day{}, err
	}
	d := Day{
		Transit:      w.clock(w.transit),
		Sun:          w.span(sunriseDeg),
		Civil:        w.span(civilDeg),
		Nautical:     w.span(nauticalDeg),
		Astronomical: w.span(astronomicalDeg),
	}
	d.AtTransit = w.position(w.transit)
	return d, nil
}

// A window is the stretch of time between the two lowest suns around the transit
// of a date. The lowest suns, not the lower transits, bound it: near the edge of
// the polar day the two differ by minutes, and a rise between them would be given
// to the wrong date. From one bound to the highest sun the elevation rises, from
// there to the other it falls, so that each half holds one crossing at most.
type window struct {
	site    Site
	zone    *time.Location
	sun     stretch
	start   float64 // of the stretch
	transit float64
	low     [2]float64
	high    float64
}

func (s *Site) window(w *window, year int, month time.Month, day int, zone *time.Location) error {
	noon, err := civilNoon(year, month, day, zone)
	if err != nil {
		return err
	}
	if !s.ok {
		return errNowhere()
	}
	w.site, w.zone = *s, noon.Location()
	d := s.day(noon)
	// Half a stretch of 2 days holds the transit, at most 12 h from noon, and the
	// search for the lowest suns, 18 h from the transit.
	w.start = d - stretchDays/2
	w.sun.fill(s, w.start)
	// The hour angle runs 360° a day within 0.03°: three steps leave nothing.
	for range 3 {
		d -= w.hourAngleDeg(d) / 360
	}
	w.transit = d
	for i, side := range [2]float64{-0.5, 0.5} {
		w.low[i] = w.turning(d + side)
	}
	w.high = w.turning(d)
	if a, b := w.sine(w.low[0]), w.sine(w.low[1]); w.sine(w.high) < math.Max(a, b) {
		// Within 8 km of a pole the season can outrun the rotation, and the sun
		// climbs or sinks all day.
		w.high = w.low[0]
		if b > a {
			w.high = w.low[1]
		}
	}
	return nil
}

// civilNoon checks a date and gives its noon.
func civilNoon(year int, month time.Month, day int, zone *time.Location) (time.Time, error) {
	if zone == nil {
		zone = time.UTC
	}
	if err := civilYear.Check(float64(year)); err != nil {
		return time.Time{}, err
	}
	noon := time.Date(year, month, day, 12, 0, 0, 0, zone)
	if y, m, d := noon.Date(); y != year || m != month || d != day {
		return time.Time{}, &stationphysics.ConflictError{
			Quantities: []string{"year", "month", "day"},
			Values:     []float64{float64(year), float64(month), float64(day)},
			Units:      []string{"", "", ""},
			Rule:       "the calendar of the zone " + zone.String() + " has no such date",
		}
	}
	return noon, nil
}

// errNowhere refuses the zero Site.
func errNowhere() error {
	return &stationphysics.RangeError{Quantity: latitude.Quantity, Value: nan, Unit: latitude.Unit,
		Min: latitude.Min, Max: latitude.Max, Slip: "a Site not made by NewSite"}
}

func (w *window) at(d float64) (greenwichDeg, decDeg, sinDec, cosDec, radiusAU, eotMin float64) {
	return w.sun.at((d-w.start)*(2.0/stretchDays) - 1)
}

func (w *window) hourAngleDeg(d float64) float64 {
	g, _, _, _, _, _ := w.at(d)
	return signedDeg(g + w.site.lonDeg + 360*(d-nearest(d)))
}

// sine is the sine of the elevation of the geocentric centre.
func (w *window) sine(d float64) float64 {
	g, _, sinDec, cosDec, _, _ := w.at(d)
	h := (g+w.site.lonDeg)*(1.0/360) + (d - nearest(d))
	return sinDec*w.site.sinLat + cosDec*w.site.cosLat*cosTurns(h)
}

func (w *window) position(d float64) (p Position) {
	g, decDeg, sinDec, cosDec, radiusAU, eotMin := w.at(d)
	p.DeclinationDeg, p.DistanceAU, p.EquationOfTimeMin = decDeg, radiusAU, eotMin
	w.site.look(&p, d, g, sinDec, cosDec)
	return p
}

// turning finds the highest or lowest sun within six hours of a passage of the
// meridian, and the passage itself if there is none.
func (w *window) turning(d float64) float64 {
	const h = 30.0 / 86400
	t, ok := numeric.Root(func(x float64) float64 { return w.sine(x+h) - w.sine(x-h) }, d-0.25, d+0.25, 1e-7)
	if !ok {
		return d
	}
	return t
}

// clock turns a day of UT1 into the zone's time.
func (w *window) clock(d float64) time.Time {
	return timeAt(d-w.site.ut1Lead*(1.0/86400), w.zone)
}

// span finds the crossings of an elevation.
func (w *window) span(elevationDeg float64) Span {
	level := math.Sin(elevationDeg * rad)
	above := func(d float64) float64 { return w.sine(d) - level }
	if above(w.high) <= 0 {
		return Span{Outcome: DownAllDay}
	}
	from, to := w.low[0], w.low[1]
	rises, sets := above(from) < 0, above(to) < 0
	var s Span
	const millisecond = 1.0 / 86400e3
	if rises {
		from, _ = numeric.Root(above, from, w.high, millisecond)
		s.Rise = w.clock(from)
	}
	if sets {
		to, _ = numeric.Root(above, w.high, to, millisecond)
		s.Set = w.clock(to)
	}
	switch {
	case rises && sets:
		s.Outcome = Ordinary
	case rises:
		s.Outcome = OnlyRise
	case sets:
		s.Outcome = OnlySet
	default:
		return Span{Outcome: UpAllDay, LengthH: 24}
	}
	s.LengthH = 24 * (to - from)
	return s
}
