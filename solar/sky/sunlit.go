package sky

import (
	"math"
	"time"

	"github.com/stationphysics/stationphysics/solar"
)

// A sunlit is the part of an interval with the sun above the level horizon, as
// the places of the sun at some instants of it, each with its share of the
// interval: the nodes and weights of a quadrature.
type sunlit struct {
	n     int
	step  [maxSteps]Sun
	share [maxSteps]float64 // of the interval
	sine  [maxSteps]float64 // of the elevation
	mass  [maxSteps]float64 // air mass
	haze  [maxSteps]float64 // beam of the step over the mean beam of the interval
	up    float64           // share of the interval with the sun up
	sum   float64           // share times sine, summed: the mean of the sine over the interval
	level float64           // level beam over normal beam, both means over the interval
	mid   Sun               // at the middle of the sun-up part; of the interval if there is none
	even  bool              // the steps are the middles of contiguous stretches
	span  float64           // share of the interval that the rule of the nodes covers, if not even
	reach float64           // from its middle to its outer nodes, in spans

	// What weigh finds: the share of each step in which the skyline leaves the sun free,
	// that in which the sun reaches the plane, and whether they differ because it
	// passes behind the plane.
	lit, open [maxSteps]float64
	front     [maxSteps]float64 // cosine of the incidence
	bent      bool
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
	gauss2 = []node{{0.5 - 0.28867513459481287, 0.5}, {0.5 + 0.28867513459481287, 0.5}}
	gauss3 = []node{{0.5 - 0.3872983346207417, 5.0 / 18}, {0.5, 8.0 / 18}, {0.5 + 0.3872983346207417, 5.0 / 18}}
)

type node struct{ at, weight float64 }

// lowSunDeg separates the two: the sun climbs 15° an hour at most, so that it
// stays above 2.5° where it stands this high in the middle of an hour.
const lowSunDeg = 10

// follow fills s in, by the rule that suits the interval. It reports false for
// an interval or a time out of range.
func (s *sunlit) follow(e Ephemeris, start time.Time, length time.Duration) bool {
	if length > time.Hour {
		return s.followEvenly(e, start, length)
	}
	s.clear()
	if !lengthRange.Holds(length.Seconds()) {
		return false
	}
	c := newPassage(e, start, length)
	pm := c.at(0.5)
	s.mid = SunAt(pm)
	if !s.mid.holds() {
		return false
	}
	if s.mid.ElevationDeg > lowSunDeg {
		s.place(c, gauss2, 0, 1)
		s.spread(usualTurbidity)
		return true
	}
	p0, p1 := c.at(0), c.at(1)
	e0, em, e1 := p0.ApparentElevationDeg, s.mid.ElevationDeg, p1.ApparentElevationDeg
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
	s.place(c, gauss3, lo, hi)
	s.mid = s.step[1]
	s.spread(usualTurbidity)
	return true
}

// A passage is the sun over an interval, by the share of it that has passed.
type passage struct {
	e      Ephemeris
	start  time.Time
	length float64 // ns
	track  solar.Beginning
	fast   bool // by the track
}

// A follower is an Ephemeris that can count from an instant at less cost.
type follower interface {
	From(start time.Time) solar.Beginning
}

func newPassage(e Ephemeris, start time.Time, length time.Duration) passage {
	c := passage{e: e, start: start, length: float64(length)}
	if f, ok := e.(follower); ok {
		c.track, c.fast = f.From(start), true
	}
	return c
}

func (c *passage) at(x float64) solar.Position {
	if c.fast {
		return c.track.After(x * c.length * 1e-9)
	}
	return c.e.At(c.start.Add(time.Duration(x * c.length)))
}

func (c *passage) elevation(x float64) float64 { return c.at(x).ApparentElevationDeg }

// clear makes s empty without the cost of clearing its arrays.
func (s *sunlit) clear() { s.n, s.up, s.sum, s.level, s.even = 0, 0, 0, 0, false }

// place puts the nodes of a rule into the part of a passage from lo to hi. The sun in
// the middle of the whole is known.
func (s *sunlit) place(c passage, rule []node, lo, hi float64) {
	s.span, s.reach = hi-lo, 0.5-rule[0].at
	for _, q := range rule {
		sun := s.mid
		if q.at != 0.5 || hi-lo < 1 {
			sun = SunAt(c.at(lo + q.at*(hi-lo)))
		}
		s.add(sun, q.weight*(hi-lo))
	}
}

func (s *sunlit) add(sun Sun, share float64) {
	sine := math.Sin(max(sun.ElevationDeg, 0) * rad)
	s.step[s.n], s.share[s.n], s.sine[s.n] = sun, share, sine
	s.mass[s.n] = airMass(max(sun.ElevationDeg, 0), sine)
	s.n++
	s.up += share
	s.sum += share * sine
}

// followEvenly fills s in with steps of 7.5 minutes.
func (s *sunlit) followEvenly(e Ephemeris, start time.Time, length time.Duration) bool {
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
			s.add(SunAt(c.at((lo+hi)/2)), hi-lo)
			centre += (hi - lo) * (lo + hi) / 2
		}
		x0, e0 = x1, e1
	}
	x := 0.5
	if s.up > 0 {
		x = centre / s.up
		s.spread(usualTurbidity)
	}
	s.mid = SunAt(c.at(x))
	return s.mid.holds()
}

// usualTurbidity spreads the beam over an interval where nothing else tells how.
const usualTurbidity = 3

// spread gives each step the share of the beam that haze of a Linke turbidity
// lets through, by the form of Ineichen & Perez (2002).
func (s *sunlit) spread(turbidity float64) {
	mean := 0.0
	for i := range s.n {
		s.haze[i] = math.Exp(-0.09 * (turbidity - 1) * s.mass[i])
		mean += s.share[i] * s.haze[i]
	}
	s.level = 0
	for i := range s.n {
		s.haze[i] /= mean
		s.level += s.share[i] * s.haze[i] * s.sine[i]
	}
}

// fit chooses the turbidity so that the level beam of the steps has the mean
// that global less diffuse light give. In the first and last hour of a day,
// when both the beam and the sine of the elevation grow from nothing, the mean
// of their product is up to twice the product of their means.
func (s *sunlit) fit(l Light) {
	if s.n < 2 || l.BeamNormalWPerM2 <= 0 {
		return
	}
	want := (l.GlobalWPerM2 - l.DiffuseWPerM2) / l.BeamNormalWPerM2
	if off := math.Abs(s.level - want); off < 1e-5*want || off*l.BeamNormalWPerM2 < 0.01 && (off < 1e-3*want || off < 5e-3*want && l.BeamNormalWPerM2 < 20) {
		return // as Clean leaves it, or closer than what files print
	}
	// More haze moves the beam to the higher sun: level grows with it. Readings
	// that ask for none or for more than 8 do not fit together; the end serves.
	lo, hi := 1.0, 8.0
	s.spread(lo)
	l0 := s.level
	s.spread(hi)
	l1 := s.level
	if l1-l0 < 1e-3*l1 {
		s.spread(usualTurbidity)
		return
	}
	for range 8 {
		x := lo + (hi-lo)*max(0.1, min(0.9, (want-l0)/(l1-l0)))
		s.spread(x)
		switch {
		case math.Abs(s.level-want) < 1e-5*want:
			return
		case s.level < want:
			lo, l0 = x, s.level
		default:
			hi, l1 = x, s.level
		}
	}
}

// horizonAt is where the apparent sun crosses the horizon on a passage that rises or
// falls throughout, from the positions at its beginning, middle and end. The true
// elevation is nearly a parabola in time, and refraction at the horizon nearly
// constant: two steps on it end within 0.001°.
func horizonAt(c *passage, p0, pm, p1 *solar.Position) float64 {
	const usualLiftDeg = 0.57 // of the apparent horizon
	t0, tm, t1 := p0.TrueElevationDeg, pm.TrueElevationDeg, p1.TrueElevationDeg
	slope, bend := t1-t0, 2*(t0+t1-2*tm) // by x - 1/2
	lift, x := usualLiftDeg, 0.5
	for range 3 {
		// The root of tm + slope y + bend y² = -lift, y = x - 1/2, that goes over
		// into that of the straight line.
		r := slope*slope - 4*bend*(tm+lift)
		if !(r > 0) {
			break
		}
		x = 0.5 - 2*(tm+lift)/(slope+math.Copysign(math.Sqrt(r), slope))
		p := c.at(x)
		if math.Abs(p.ApparentElevationDeg) < 1e-3 {
			return x
		}
		// A sun still above the horizon has to sink by what it is above; below its
		// sight the position does not tell its refraction, but what the parabola misses.
		miss := p.TrueElevationDeg + lift
		if p.ApparentElevationDeg > p.TrueElevationDeg {
			miss = p.ApparentElevationDeg
		}
		lift += miss
	}
	return crossing(c.elevation, 0, p0.ApparentElevationDeg, 1, p1.ApparentElevationDeg)
}

// crossing is where the elevation passes 0 in a step, by the Illinois form of
// the false position; the apparent elevation jumps where the upper limb sets, so
// that a straight line does not do.
func crossing(f func(float64) float64, x0, y0, x1, y1 float64) float64 {
	side := 0
	for range 12 {
		x := x0 + (x1-x0)*y0/(y0-y1)
		y := f(x)
		if math.Abs(y) < 1e-3 {
			return x
		}
		if (y > 0) == (y1 > 0) {
			x1, y1 = x, y
			if side == 1 {
				y0 /= 2
			}
			side = 1
		} else {
			x0, y0 = x, y
			if side == -1 {
				y1 /= 2
			}
			side = -1
		}
	}
	return (x0 + x1) / 2
}

// highestSine is the largest sine of the sun's elevation in the interval: of the
// steps and, as a parabola through three of them tells, of its ends.
func (s *sunlit) highestSine() float64 {
	top := 0.0
	for _, v := range s.sine[:s.n] {
		top = max(top, v)
	}
	if s.n > 1 && !s.even {
		sine := s.course(s.sine[0], math.Sin(s.mid.ElevationDeg*rad), s.sine[s.n-1])
		top = max(top, sine.at(-0.5), sine.at(0.5))
	}
	return min(top, 1)
}
