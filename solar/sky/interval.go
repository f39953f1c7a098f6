package sky

import (
	"math"
	"time"

	"github.com/stationphysics/stationphysics/internal/limit"
	"github.com/stationphysics/stationphysics/internal/numeric"
	"github.com/stationphysics/stationphysics/solar"
)

// An Ephemeris gives the position of the sun at an instant: a solar.Site, or
// for many instants a *solar.Track.
type Ephemeris interface {
	// At gives the position; its angles are NaN where it is not known.
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

// SunUp is the sun in the middle of that part of an interval in which it is
// above the level horizon, the position that interval means belong to, and the
// part's share of the interval. With the sun down throughout it is the sun in
// the middle of the interval, and the share is 0. NaN for a length outside 1 s to
// 3 h or a time that the ephemeris does not cover.
func SunUp(e Ephemeris, start time.Time, length time.Duration) (mid Sun, upRatio float64) {
	var s walk
	if !s.follow(e, start, length) {
		n := math.NaN()
		return Sun{n, n, n}, n
	}
	return s.mid, s.up
}

// Over is the mean irradiance on the plane over the interval of a record. The
// beam is spread over the time with the sun up as haze would let it through, so
// that it makes up the difference of the global and the diffuse light, and
// falls on the plane from the places of the sun in it, as long as the skyline and
// the plane's own edge leave it free; so
// an hour at sunrise or behind a skyline gives what its minutes would, to some W/m² at the
// edges of the skyline and where a low sun passes from one of the bins of Perez to the
// next. Nowhere does it exceed what air without haze lets through.
// The diffuse light rises and falls with the sun.
// IncidenceCosRatio is the mean that belongs to the beam. NaN for a part that
// is missing or out of range.
func (p *Plane) Over(e Ephemeris, r Record) Irradiance {
	on, _, _ := p.overWithSun(e, r)
	return on
}

// overWithSun is Over and SunUp of the same interval.
func (p *Plane) overWithSun(e Ephemeris, r Record) (on Irradiance, mid Sun, upRatio float64) {
	var s walk
	n := math.NaN()
	if !p.walk(&s, e, r.Start, r.Length) {
		return Irradiance{n, n, n, n, n, n}, Sun{n, n, n}, n
	}
	if !r.holds() {
		return Irradiance{n, n, n, n, n, n}, s.mid, s.up
	}
	return p.over(&s.sunlit, s.places(), &r.Light), s.mid, s.up
}

// walk follows the sun through an interval, to the plane. It reports false for an
// interval or a time out of range.
func (p *Plane) walk(s *walk, e Ephemeris, start time.Time, length time.Duration) bool {
	if !s.follow(e, start, length) {
		return false
	}
	if !p.weigh(s) {
		s.followEvenly(e, start, length)
		p.weigh(s)
	}
	return true
}

// over lays the light of an interval on the plane, from the places of the sun.
func (p *Plane) over(s *sunlit, places []place, light *Light) (sum Irradiance) {
	var fitted [maxSteps]float64
	haze := fitted[:len(places)]
	s.fit(places, light, haze)
	// The diffuse light of a step goes with the sine of the elevation as far as
	// the sky can hold it; the rest is twilight.
	twilight, perSine := light.DiffuseWPerM2, light.DiffuseWPerM2/s.sum
	hidden := 0.0 // of the level beam
	for i := range places {
		q := &places[i]
		l := *light
		l.BeamNormalWPerM2 *= haze[i]
		l.BeamNormalWPerM2 = min(l.BeamNormalWPerM2, q.clear)
		l.DiffuseWPerM2 = min(perSine*q.sine, 0.6*s.e0*q.sine+10)
		twilight -= q.share * l.DiffuseWPerM2
		front := q.front
		if !s.bent {
			front = max(front, 0)
		}
		on := p.fall(q.elevationDeg, s.e0, &l, q.open, front, q.sine, q.mass)
		sum.BeamWPerM2 += q.share * on.BeamWPerM2
		sum.SkyWPerM2 += q.share * on.SkyWPerM2
		sum.CircumsolarWPerM2 += q.share * on.CircumsolarWPerM2
		hidden += q.share * (1 - q.lit) * l.BeamNormalWPerM2 * q.sine
		sum.IncidenceCosRatio += q.share * on.BeamWPerM2 * q.front
	}
	sum.BeamWPerM2 = max(0, sum.BeamWPerM2)
	sum.SkyWPerM2 += max(0, twilight) * p.skyView
	sum.GroundWPerM2 = p.ground(light, hidden)
	sum.TotalWPerM2 = sum.BeamWPerM2 + sum.SkyWPerM2 + sum.GroundWPerM2
	if sum.BeamWPerM2 > 0 {
		sum.IncidenceCosRatio /= sum.BeamWPerM2
	} else {
		sum.IncidenceCosRatio = s.ct
	}
	return sum
}

// fit spreads the beam over the places: by the usual haze, or by the turbidity with
// which the level beam has the mean that global less diffuse light give. In the first
// and last hour of a day, when both the beam and the sine of the elevation grow from
// nothing, the mean of their product is up to twice the product of their means.
func (s *sunlit) fit(places []place, l *Light, haze []float64) {
	for i := range places {
		haze[i] = places[i].haze
	}
	if len(places) < 2 || l.BeamNormalWPerM2 <= 0 {
		return
	}
	want := (l.GlobalWPerM2 - l.DiffuseWPerM2) / l.BeamNormalWPerM2
	if off := math.Abs(s.level - want); off < 1e-5*want || off*l.BeamNormalWPerM2 < 0.01 && (off < 1e-3*want || off < 5e-3*want && l.BeamNormalWPerM2 < 20) {
		return // as Clean leaves it, or closer than what files print
	}
	// More haze moves the beam to the higher sun: level grows with it, so that Newton's
	// method gets there. Readings that ask for none or for more than 8 do not fit
	// together; the end serves.
	const none, most = 1.0, 8.0
	lo, hi, turbidity := none, most, float64(usualTurbidity)
	for range 12 {
		var beam, level, mass, both float64
		for i := range places {
			q := &places[i]
			k := q.share * haze[i]
			beam += k
			level += k * q.sine
			mass += k * q.mass
			both += k * q.sine * q.mass
		}
		for i := range haze {
			haze[i] /= beam
		}
		level /= beam
		slope := hazePerTurbidity * (level*mass - both) / beam
		if math.Abs(level-want) < 1e-5*want || !(slope > 2e-4*level) { // over the range less than a thousandth
			return
		}
		if level < want {
			lo = turbidity
		} else {
			hi = turbidity
		}
		next := turbidity + (want-level)/slope
		switch {
		case next <= lo && lo == none, next >= hi && hi == most:
			next = max(none, min(most, next))
		case next <= lo || next >= hi:
			next = (lo + hi) / 2
		}
		if next == turbidity {
			return
		}
		turbidity = next
		for i := range haze {
			haze[i] = places[i].haze * numeric.Exp(-hazePerTurbidity*(turbidity-usualTurbidity)*places[i].mass)
		}
	}
}
