package sky

import (
	"time"

	"github.com/stationphysics/stationphysics/internal/numeric"
	"github.com/stationphysics/stationphysics/solar"
)

// A sunlit is the part of an interval with the sun above the level horizon, as far as
// the sun and a plane make it, whatever the light.
type sunlit struct {
	up    float64 // share of the interval with the sun up
	sum   float64 // share times sine of the places, summed: the mean of the sine over the interval
	level float64 // level beam over normal beam, both means over the interval
	e0    float64 // W/m² outside the atmosphere, in the middle
	mid   Sun     // in the middle of the sun-up part; of the interval if there is none
	ct    float64 // cosine of the incidence there
	bent  bool    // the sun passes behind the plane
}

// A place is one of the places of the sun in an interval, with its share: a node of a
// quadrature and its weight.
type place struct {
	share        float64 // of the interval
	elevationDeg float64
	sine         float64 // of the elevation
	mass         float64 // air mass
	haze         float64 // beam here over the mean beam of the interval, by the usual haze
	clear        float64 // W/m² of the beam without haze, the most

	// By weigh: the share of the step in which the skyline leaves the sun free, that in
	// which the sun reaches the plane, and the cosine of the incidence.
	lit, open, front float64
}

// A walk follows the sun through one interval after another and holds what it found in
// the last.
type walk struct {
	sunlit
	n     int
	place [maxSteps]place
	toSun [maxSteps]solar.Direction
	toMid solar.Direction
	even  bool    // the steps are the middles of contiguous stretches
	span  float64 // share of the interval that the rule of the nodes covers, if not even
	reach float64 // from its middle to its outer nodes, in spans
}

// clear makes s empty without the cost of clearing its arrays.
func (s *walk) clear() { s.n, s.up, s.sum, s.level, s.even, s.bent = 0, 0, 0, 0, false, false }

func (s *walk) places() []place { return s.place[:s.n] }

// centre sets the sun of the middle, and reports whether it is known.
func (s *walk) centre(d solar.Direction) bool {
	s.toMid, s.e0 = d, extraterrestrial(d.DistanceAU)
	s.mid = SunToward(d)
	return known(&d)
}

// clearest is the share of the beam that air without haze lets through in the middle.
func (s *walk) clearest() float64 {
	return rayleighRatio(airMass(max(s.toMid.ApparentElevationDeg, 0), max(s.toMid.UpRatio, 0)))
}

// An interval is cut into steps of 7.5 minutes, each with the sun of its
// middle, where something in it leaps: a skyline, a plane that the sun passes
// behind, a sun that touches the horizon.
const (
	stepLength = 450 * time.Second
	maxSteps   = 24
)

// In an hour without such leaps Gauss's nodes see as much with less: two where the
// sun is well up, three in an hour with sunrise, sunset or a low sun, whose beam
// grows from nothing. More do not come closer to the sum of the minutes: how the
// haze lets a low sun through is a guess that differs by more.
var (
	gauss2 = [2]node{{0.5 - 0.28867513459481287, 0.5}, {0.5 + 0.28867513459481287, 0.5}}
	gauss3 = [3]node{{0.5 - 0.3872983346207417, 5.0 / 18}, {0.5, 8.0 / 18}, {0.5 + 0.3872983346207417, 5.0 / 18}}
)

type node struct{ at, weight float64 }

// lowSunDeg separates the two: the sun climbs 15° an hour at most, so that it
// stays above 2.5° where it stands this high in the middle of an hour.
const lowSunDeg = 10

// nightDeg in the middle of an hour leaves the ends of it, half an hour away, too far
// below the horizon for any refraction to lift the sun over it.
const nightDeg = -9

// follow fills s in, by the rule that suits the interval. It reports false for
// an interval or a time out of range.
func (s *walk) follow(e Ephemeris, start time.Time, length time.Duration) bool {
	if length > time.Hour {
		return s.followEvenly(e, start, length)
	}
	s.clear()
	if !lengthRange.Holds(length.Seconds()) {
		return false
	}
	c := newPassage(e, start, length)
	pm := c.at(0.5)
	if !s.centre(pm) {
		return false
	}
	em := pm.ApparentElevationDeg
	if em > lowSunDeg {
		s.set(&c, gauss2[:], 0, 1)
		s.spread()
		return true
	}
	if em < nightDeg {
		return true
	}
	p0, p1 := c.at(0), c.at(1)
	e0, e1 := p0.ApparentElevationDeg, p1.ApparentElevationDeg
	lo, hi := 0.0, 1.0
	switch lowest, highest := min(e0, em, e1), max(e0, em, e1); {
	// About its lowest and highest point the sun moves by half a degree in half an
	// hour, and below the horizon its refraction leaps by 0.6°.
	case lowest > 0.5:
	case highest < -1.2:
		return true
	case e0 < em && em < e1:
		if e0 <= 0 && e1 > 0 {
			lo = horizonAt(&c, &p0, &pm, &p1)
		}
	case e0 > em && em > e1:
		if e0 > 0 && e1 <= 0 {
			hi = horizonAt(&c, &p0, &pm, &p1)
		}
	default:
		return s.followEvenly(e, start, length)
	}
	if e0 <= 0 && e1 <= 0 {
		return true
	}
	s.set(&c, gauss3[:], lo, hi)
	if s.sum == 0 {
		s.clear() // up for less than the horizon is found to
		return true
	}
	s.centre(s.toSun[1])
	s.spread()
	return true
}

// set puts the nodes of a rule into the part of a passage from lo to hi. The sun in
// the middle of the whole is known.
func (s *walk) set(c *passage, rule []node, lo, hi float64) {
	s.span, s.reach = hi-lo, 0.5-rule[0].at
	for _, q := range rule {
		if q.at == 0.5 && hi-lo == 1 {
			s.toSun[s.n] = s.toMid
		} else {
			s.toSun[s.n] = c.at(lo + q.at*(hi-lo))
		}
		s.add(q.weight * (hi - lo))
	}
}

// add counts the next step, whose direction is known, with its share.
func (s *walk) add(share float64) {
	d, p := &s.toSun[s.n], &s.place[s.n]
	p.share = share
	p.sine, p.elevationDeg = max(d.UpRatio, 0), max(d.ApparentElevationDeg, 0)
	p.mass = airMass(p.elevationDeg, p.sine)
	s.n++
	s.up += share
	s.sum += share * p.sine
}

// followEvenly fills s in with steps of 7.5 minutes.
func (s *walk) followEvenly(e Ephemeris, start time.Time, length time.Duration) bool {
	s.clear()
	s.even = true
	if !lengthRange.Holds(length.Seconds()) {
		return false
	}
	c := newPassage(e, start, length)
	steps := int((length + stepLength - 1) / stepLength)
	x0, e0 := 0.0, c.elevation(0)
	centre := 0.0
	for i := range steps {
		x1 := float64(i+1) / float64(steps)
		e1 := c.elevation(x1)
		lo, hi := x0, x1
		switch {
		case e0 <= 0 && e1 > 0:
			lo = crossing(c.elevation, x0, e0, x1, e1)
		case e0 > 0 && e1 <= 0:
			hi = crossing(c.elevation, x0, e0, x1, e1)
		case !(e0 > 0):
			lo = hi
		}
		if hi > lo {
			s.toSun[s.n] = c.at((lo + hi) / 2)
			s.add(hi - lo)
			centre += (hi - lo) * (lo + hi) / 2
		}
		x0, e0 = x1, e1
	}
	if s.sum == 0 {
		s.clear()
	}
	x := 0.5
	if s.up > 0 {
		x = centre / s.up
	}
	ok := s.centre(c.at(x))
	s.spread()
	return ok
}

// usualTurbidity spreads the beam over an interval where nothing else tells how.
const usualTurbidity = 3

// hazePerTurbidity is the factor of turbidity and air mass by which haze weakens the
// beam (Ineichen & Perez 2002).
const hazePerTurbidity = 0.09

// spread gives each step the share of the beam that usual haze lets through.
func (s *walk) spread() {
	mean, level := 0.0, 0.0
	for i := range s.places() {
		p := &s.place[i]
		p.haze = numeric.Exp(-hazePerTurbidity * (usualTurbidity - 1) * p.mass)
		mean += p.share * p.haze
		level += p.share * p.haze * p.sine
		p.clear = s.e0 * rayleighRatio(p.mass)
	}
	if s.n == 0 {
		return
	}
	k := 1 / mean
	for i := range s.places() {
		s.place[i].haze *= k
	}
	s.level = k * level
}

// highestSine is the largest sine of the sun's elevation in the interval: of the
// steps and, as a parabola through three of them tells, of its ends.
func (s *walk) highestSine() float64 {
	top := 0.0
	for i := range s.places() {
		top = max(top, s.place[i].sine)
	}
	if s.n > 1 && !s.even {
		sine := s.course(s.place[0].sine, s.toMid.UpRatio, s.place[s.n-1].sine)
		top = max(top, sine.at(-0.5), sine.at(0.5))
	}
	return min(top, 1)
}
