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
	var s sunlit
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
	mid, upRatio = s.mid, s.up
	if !p.weigh(&s, r.BeamNormalWPerM2) {
		s.followEvenly(e, r.Start, r.Length)
		p.weigh(&s, r.BeamNormalWPerM2)
	}
	return p.over(&s, r), mid, upRatio
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
		sun, sine, mass := &s.step[i], s.sine[i], s.mass[i]
		l := r.Light
		e0 := sun.extraterrestrial()
		l.BeamNormalWPerM2 *= s.haze[i]
		if l.BeamNormalWPerM2 > leastBound*e0 {
			l.BeamNormalWPerM2 = min(l.BeamNormalWPerM2, e0*rayleighRatio(mass))
		}
		l.DiffuseWPerM2 = min(l.DiffuseWPerM2*sine/s.sum, 0.6*e0*sine+10)
		twilight -= s.share[i] * l.DiffuseWPerM2
		ct := s.front[i]
		front := ct
		if !s.bent {
			front = max(ct, 0)
		}
		add(p.fall(sun, &l, s.lit[i], s.open[i], ct, front, sine, mass), s.share[i])
	}
	sum.BeamWPerM2 = max(0, sum.BeamWPerM2)
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
