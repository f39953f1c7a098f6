package sky

import (
	"math"
	"time"

	"github.com/stationphysics/stationphysics/internal/limit"
	"github.com/stationphysics/stationphysics/solar"
)

// An Ephemeris gives the position of the sun at an instant: a solar.Site, or
// for many instants a *solar.Track.
type Ephemeris interface {
	At(t time.Time) solar.Position
}

// A Record is the mean light over an interval, as a line of an hourly file
// gives it. A part that was not measured is NaN; Clean fills it in.
type Record struct {
	Start  time.Time     // beginning of the interval; many files print its end
	Length time.Duration // 1 s to 3 h
	Light                // means over the whole interval, the time after sunset included
}

var lengthRange = limit.Range{Quantity: "length of the interval", Unit: "s", Min: 1, Max: 3 * 3600}

// The sun of an interval is followed in steps of 7.5 minutes.
const (
	stepLength = 450 * time.Second
	maxSteps   = 24
)

// A sunlit is the part of an interval with the sun above the level horizon,
// cut into steps that each have the sun of their own middle.
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
}

// follow fills s in. It reports false for an interval or a time out of range.
func (s *sunlit) follow(e Ephemeris, start time.Time, length time.Duration) bool {
	*s = sunlit{}
	if !lengthRange.Holds(length.Seconds()) {
		return false
	}
	steps := int((length + stepLength - 1) / stepLength)
	at := func(x float64) time.Time { return start.Add(time.Duration(x * float64(length))) }
	elevation := func(x float64) float64 { return e.At(at(x)).ApparentElevationDeg }
	x0 := 0.0
	e0 := elevation(0)
	centre := 0.0
	// In an hour the sun cannot set and rise again from well above the horizon:
	// about its lowest point it moves by half a degree in the half hour.
	high := length <= time.Hour && e0 > 2 && elevation(1) > 2
	for i := range steps {
		x1 := float64(i+1) / float64(steps)
		e1 := e0
		if !high {
			e1 = elevation(x1)
		}
		lo, hi := x0, x1
		switch {
		case e0 <= 0 && e1 > 0:
			lo = crossing(elevation, x0, e0, x1, e1)
		case e0 > 0 && e1 <= 0:
			hi = crossing(elevation, x0, e0, x1, e1)
		case !(e0 > 0):
			lo = hi
		}
		if hi > lo {
			sun := SunAt(e.At(at((lo + hi) / 2)))
			w, sine := hi-lo, math.Sin(max(sun.ElevationDeg, 0)*rad)
			s.step[s.n], s.share[s.n], s.sine[s.n] = sun, w, sine
			s.mass[s.n] = airMass(max(sun.ElevationDeg, 0), sine)
			s.n++
			s.up += w
			s.sum += w * sine
			centre += w * (lo + hi) / 2
		}
		x0, e0 = x1, e1
	}
	x := 0.5
	if s.up > 0 {
		x = centre / s.up
		s.spread(usualTurbidity)
	}
	s.mid = SunAt(e.At(at(x)))
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
	if math.Abs(s.level-want) < 1e-5*want {
		return // as Clean leaves it
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

// SunUp is the sun in the middle of that part of an interval in which it is
// above the level horizon, the position that interval means belong to, and the
// part's share of the interval. With the sun down throughout it is the sun in
// the middle of the interval, and the share is 0. NaN for a length outside 1 s to
// 3 h or a time that the ephemeris does not cover.
func SunUp(e Ephemeris, start time.Time, length time.Duration) (mid Sun, upRatio float64) {
	var s sunlit
	if !s.follow(e, start, length) {
		n := math.NaN()
		return Sun{n, n, n}, n
	}
	return s.mid, s.up
}

// skylineParts divides a step where the skyline is looked up: 50 seconds.
const skylineParts = 9

// free is the share of a step in which the skyline leaves the sun free. Within
// the step the sun goes straight, with the speed that its neighbours show.
func (p *Plane) free(s *sunlit, i int) float64 {
	if p.flat {
		return 1
	}
	sun, from, to := s.step[i], i, i
	between := 0.0 // of the middles of the steps from and to
	if i > 0 {
		from, between = i-1, between+(s.share[i-1]+s.share[i])/2
	}
	if i+1 < s.n {
		to, between = i+1, between+(s.share[i]+s.share[i+1])/2
	}
	var rise, turned float64 // of the sun, over this step
	if between > 0 {
		k := s.share[i] / between
		rise = k * (s.step[to].ElevationDeg - s.step[from].ElevationDeg)
		turned = k * math.Remainder(s.step[to].AzimuthDeg-s.step[from].AzimuthDeg, 360)
	}
	seen := 0
	for k := range skylineParts {
		x := (float64(k)+0.5)/skylineParts - 0.5
		if !p.mount.Skyline.Hides(turn(sun.AzimuthDeg+turned*x), sun.ElevationDeg+rise*x) {
			seen++
		}
	}
	return float64(seen) / skylineParts
}

// Over is the mean irradiance on the plane over the interval of a record. The
// beam is spread over the time with the sun up as haze would let it through, so
// that it makes up the difference of the global and the diffuse light, and
// falls on the plane from the place of the sun in each step of 7.5 minutes; so
// an hour at sunrise or behind a skyline gives what its minutes would. Nowhere
// does it exceed what air without haze lets through.
// The diffuse light rises and falls with the sun.
// IncidenceCosRatio is the mean that belongs to the beam. NaN for a part that
// is missing or out of range.
func (p *Plane) Over(e Ephemeris, r Record) Irradiance {
	on, _, _ := p.OverWithSun(e, r)
	return on
}

// OverWithSun is Over and SunUp of the same interval at the cost of Over.
func (p *Plane) OverWithSun(e Ephemeris, r Record) (on Irradiance, mid Sun, upRatio float64) {
	var s sunlit
	n := math.NaN()
	if !s.follow(e, r.Start, r.Length) {
		return Irradiance{n, n, n, n, n, n}, Sun{n, n, n}, n
	}
	if !r.holds() {
		return Irradiance{n, n, n, n, n, n}, s.mid, s.up
	}
	return p.over(&s, r), s.mid, s.up
}

func (p *Plane) over(s *sunlit, r Record) Irradiance {
	s.fit(r.Light)
	var sum Irradiance
	add := func(on Irradiance, w float64) {
		sum.BeamWPerM2 += w * on.BeamWPerM2
		sum.SkyWPerM2 += w * on.SkyWPerM2
		sum.CircumsolarWPerM2 += w * on.CircumsolarWPerM2
		sum.GroundWPerM2 += w * on.GroundWPerM2
		sum.IncidenceCosRatio += w * on.BeamWPerM2 * on.IncidenceCosRatio
	}
	// The diffuse light of a step goes with the sine of the elevation as far as
	// the sky can hold it; the rest is twilight.
	twilight := r.DiffuseWPerM2
	for i := range s.n {
		l := r.Light
		l.BeamNormalWPerM2 = min(l.BeamNormalWPerM2*s.haze[i], beamBound(&s.step[i], s.sine[i]))
		l.DiffuseWPerM2 = min(l.DiffuseWPerM2*s.sine[i]/s.sum, 0.6*s.step[i].extraterrestrial()*s.sine[i]+10)
		twilight -= s.share[i] * l.DiffuseWPerM2
		add(p.on(s.step[i], l, p.free(s, i)), s.share[i])
	}
	sum.SkyWPerM2 += max(0, twilight) * p.skyView
	if s.up < 1 {
		sum.GroundWPerM2 += (1 - s.up) * r.GlobalWPerM2 * p.groundView
	}
	sum.TotalWPerM2 = sum.BeamWPerM2 + sum.SkyWPerM2 + sum.GroundWPerM2
	if sum.BeamWPerM2 > 0 {
		sum.IncidenceCosRatio /= sum.BeamWPerM2
	} else {
		sinE, cosE := math.Sincos(s.mid.ElevationDeg * rad)
		sum.IncidenceCosRatio = p.incidence(&s.mid, sinE, cosE)
	}
	return sum
}
