package solar

import (
	"iter"
	"time"

	"github.com/stationphysics/stationphysics"
	"github.com/stationphysics/stationphysics/internal/limit"
	"github.com/stationphysics/stationphysics/internal/numeric"
)

// The slow quantities of the sun (its hour angle at Greenwich less the mean
// rotation, declination, distance, equation of time) are computed at 4 Chebyshev
// nodes per stretch of 4 days. The cubic through the nodes of a stretch of
// half-width h = 2 days misses a·cos(ωt) by no more than a (ωh)^4 / (2^3 4!). The
// quickest parts are the yearly motion (23.4° in declination: 0.0006″), the pull
// of the Moon on the Earth (29.5 days, 6.5″: 0.001″) and the nutations of 13.66, 9.1
// and 5.6 days (0.23″, 0.03″ and 0.003″ in table A4.3: 0.0008″, 0.0006″ and 0.0004″);
// together less than 0.005″.
const (
	stretchDays = 4
	nodes       = 4
)

// A stretch holds polynomials in x, -1 to 1 over its days, lowest power first.
// The quantities stand beside each other so that one pass serves all.
type stretch [nodes]slow

type slow struct{ greenwichDeg, decDeg, sinDec, cosDec, radiusAU, eotMin float64 }

// fill computes the stretch that begins at day d0.
func (p *stretch) fill(s *Site, d0 float64) {
	const quantities = 6
	var x, coef [nodes]float64
	var y [quantities][nodes]float64
	numeric.ChebNodes(x[:], d0, d0+stretchDays)
	var g geocentric
	for i, d := range x {
		sunAt(&g, d, s.lag(d))
		// The Greenwich angle stays within 5° of zero, far from its fold.
		for q, v := range [quantities]float64{g.greenwichAngleDeg, g.declinationDeg, g.sinDec, g.cosDec, g.radiusAU, g.equationOfTimeMin} {
			y[q][i] = v
		}
	}
	for q := range y {
		numeric.ChebFit(coef[:], y[q][:])
		// T2 = 2x²-1 and T3 = 4x³-3x, written in powers of x.
		y[q] = [nodes]float64{coef[0] - coef[2], coef[1] - 3*coef[3], 2 * coef[2], 4 * coef[3]}
	}
	for k := range p {
		p[k] = slow{y[0][k], y[1][k], y[2][k], y[3][k], y[4][k], y[5][k]}
	}
}

// at evaluates the polynomials. Six results instead of one structure stay in
// registers.
func (p *stretch) at(x float64) (greenwichDeg, decDeg, sinDec, cosDec, radiusAU, eotMin float64) {
	a, b, c, d := &p[0], &p[1], &p[2], &p[3]
	x2 := x * x
	return (a.greenwichDeg + b.greenwichDeg*x) + (c.greenwichDeg+d.greenwichDeg*x)*x2,
		(a.decDeg + b.decDeg*x) + (c.decDeg+d.decDeg*x)*x2,
		(a.sinDec + b.sinDec*x) + (c.sinDec+d.sinDec*x)*x2,
		(a.cosDec + b.cosDec*x) + (c.cosDec+d.cosDec*x)*x2,
		(a.radiusAU + b.radiusAU*x) + (c.radiusAU+d.radiusAU*x)*x2,
		(a.eotMin + b.eotMin*x) + (c.eotMin+d.eotMin*x)*x2
}

// A Track is the sun's motion over a site between two instants, prepared so that
// each position costs only its local part: hour angle, parallax, horizon and
// refraction. Its positions agree with [Site.At] within 0.01″ in direction, 1e-8 au
// in distance and 0.001 s in the equation of time. A Track does not change after
// it is made and may be shared between goroutines. Make one with [Site.Track] or
// [Site.Year]; the zero
// Track has no positions.
type Track struct {
	site      Site
	from, to  time.Time
	d0, d1    float64 // the same as days
	first     float64 // day of the beginning of the first stretch
	stretches []stretch
}

// trackSpan bounds the memory of one Track, 48 bytes per day.
var trackSpan = limit.Range{Quantity: "length of the track", Unit: "days", Min: 0, Max: 366 * 301}

// Track prepares the time from one instant to another, both included. Preparing
// a year takes about half a millisecond. The error is a
// *stationphysics.RangeError for a time outside the years 1900 to 2200 or an end
// before the beginning.
func (s Site) Track(from, to time.Time) (*Track, error) {
	if !s.ok {
		return nil, errNowhere()
	}
	if err := limit.First(checkTime(from), checkTime(to), trackSpan.Check(to.Sub(from).Hours()/24)); err != nil {
		return nil, err
	}
	return s.track(from, to), nil
}

func (s *Site) track(from, to time.Time) *Track {
	t := &Track{site: *s, from: from, to: to}
	t.d0, t.d1 = s.day(from), s.day(to)
	n := int((t.d1-t.d0)/stretchDays) + 1
	// Centred, so that no stretch reaches further out of the years than need be.
	t.first = 0.5*(t.d0+t.d1) - 0.5*float64(n)*stretchDays
	t.stretches = make([]stretch, n)
	for i := range t.stretches {
		t.stretches[i].fill(s, t.first+float64(i)*stretchDays)
	}
	return t
}

// Ends are the first and the last instant of the track.
func (t *Track) Ends() (from, to time.Time) { return t.from, t.to }

// At gives the position at an instant of the track, and NaN outside.
func (t *Track) At(at time.Time) (p Position) {
	return t.onDay(daysSinceJ2000(at) + t.site.ut1Lead*(1.0/86400))
}

func (t *Track) onDay(d float64) (p Position) {
	if !(d >= t.d0 && d <= t.d1) || len(t.stretches) == 0 {
		return nowhere
	}
	greenwichDeg, decDeg, sinDec, cosDec, radiusAU, eotMin := t.slow(d)
	p.DeclinationDeg = decDeg
	p.DistanceAU = radiusAU
	p.EquationOfTimeMin = eotMin
	t.site.look(&p, d, greenwichDeg, sinDec, cosDec)
	return p
}

// slow evaluates what changes slowly.
func (t *Track) slow(d float64) (greenwichDeg, decDeg, sinDec, cosDec, radiusAU, eotMin float64) {
	p, x := t.find(d)
	return p.at(x)
}

// find gives the stretch of a day and the place in it.
func (t *Track) find(d float64) (p *stretch, x float64) {
	u := (d - t.first) * (1.0 / stretchDays)
	i := min(max(int(u), 0), len(t.stretches)-1)
	return &t.stretches[i], 2*(u-float64(i)) - 1
}

// Every steps through the track: its beginning, and then every step to its end.
// A step that is not positive gives nothing.
func (t *Track) Every(step time.Duration) iter.Seq2[time.Time, Position] {
	return func(yield func(time.Time, Position) bool) {
		if step <= 0 {
			return
		}
		for at := t.from; !at.After(t.to); at = at.Add(step) {
			if !yield(at, t.At(at)) {
				return
			}
		}
	}
}

// Year prepares the civil year of a time zone, from its first midnight up to
// the last step before the next. A nil zone is UTC.
//
//	sun, err := site.Year(2026, zone)
//	for at, p := range sun.Every(time.Minute) { ... }
func (s Site) Year(year int, zone *time.Location) (*Track, error) {
	if err := civilYear.Check(float64(year)); err != nil {
		return nil, err
	}
	if !s.ok {
		return nil, errNowhere()
	}
	if zone == nil {
		zone = time.UTC
	}
	from := time.Date(year, time.January, 1, 0, 0, 0, 0, zone)
	// The last nanosecond, so that no step falls into the next year.
	return s.track(from, time.Date(year+1, time.January, 1, 0, 0, 0, 0, zone).Add(-1)), nil
}

var civilYear = limit.Range{Quantity: "year", Min: 1900, Max: 2200}

// checkTime accepts the instants that Site.At knows.
func checkTime(t time.Time) error {
	if d := daysSinceJ2000(t); d >= firstDay+1 && d < lastDay-1 {
		return nil
	}
	return &stationphysics.RangeError{Quantity: "year", Value: float64(t.UTC().Year()), Min: civilYear.Min, Max: civilYear.Max}
}
