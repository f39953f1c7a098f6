package solar

import (
	"math"
	"time"
)

// A Position is the place of the sun's centre as seen from a [Site] at one
// instant. Outside the years 1900 to 2200, with five days of grace at either end
// for the sake of time zones, every number is NaN.
type Position struct {
	// TrueElevationDeg is the elevation above the horizontal plane without the
	// bending of light: degrees, -90 to 90.
	TrueElevationDeg float64
	// ApparentElevationDeg is the elevation at which the sun is seen, raised by
	// refraction. Below a true elevation of -0.8334°, where no part of the sun is
	// seen, it equals the true one: it leaps there by 0.6°. The almanacs' sunset,
	// -0.8333° from the centre of the Earth, is -0.8358° from its surface.
	ApparentElevationDeg float64
	// AzimuthDeg is clockwise from true north, 0 to 360. With the sun exactly in
	// the zenith or the nadir it is 0; at a pole it is counted from the meridian
	// of the site's longitude.
	AzimuthDeg float64
	// HourAngleDeg is the angle of the geocentric sun west of the site's
	// meridian, -180 to 180; 15° make an hour of true solar time.
	HourAngleDeg float64
	// DeclinationDeg is the geocentric apparent declination, north positive.
	DeclinationDeg float64
	// DistanceAU is the distance from the centre of the Earth in astronomical
	// units.
	DistanceAU float64
	// EquationOfTimeMin is true less mean solar time in minutes.
	EquationOfTimeMin float64
}

// TrueZenithDeg is the angle from the zenith without refraction, 0 to 180.
func (p Position) TrueZenithDeg() float64 { return 90 - p.TrueElevationDeg }

// ApparentZenithDeg is the angle from the zenith at which the sun is seen.
func (p Position) ApparentZenithDeg() float64 { return 90 - p.ApparentElevationDeg }

// SolarTimeH is the true solar time in hours, 0 to 24, 12 at the transit.
func (p Position) SolarTimeH() float64 {
	return positiveDeg(p.HourAngleDeg+180) / 15
}

var nowhere = Position{nan, nan, nan, nan, nan, nan, nan}

// At computes the position at one instant. It takes about as long as two hundred
// sines; for many instants use [Site.Track]. The position is within 1″ of the best
// ephemerides, see the package comment.
func (s Site) At(t time.Time) (p Position) {
	d := s.day(t)
	if d != d {
		return nowhere
	}
	var g geocentric
	sunAt(&g, d, s.lag(d))
	p.DeclinationDeg = g.declinationDeg
	p.DistanceAU = g.radiusAU
	p.EquationOfTimeMin = g.equationOfTimeMin
	s.look(&p, d, g.greenwichAngleDeg, g.sinDec, g.cosDec)
	return p
}

// look adds the local place on day d to p, which has the distance: hour angle,
// parallax, diurnal aberration, horizon, refraction.
func (s *Site) look(p *Position, d, greenwichDeg, sinDec, cosDec float64) {
	// In turns, and the whole days taken off before the angle is formed, so that
	// no digit is lost to the thousands of days since J2000.
	h := (greenwichDeg+s.lonDeg)*(1.0/360) + (d - nearest(d))
	h -= nearest(h)
	sinH, cosH := sincosTurns(h)
	// Eq 33 to 40 as vectors in Earth radii over the distance: the sun less the
	// observer, in the axes meridian, east and pole. sin ξ = ξ to 1e-14.
	xi := parallaxArcsec * arcsec / p.DistanceAU
	meridian := cosDec*cosH - xi*s.obsX
	pole := sinDec - xi*s.obsZ
	east := s.aberration - cosDec*sinH
	// The same vector in the axes of the horizon (eq 41 and 45).
	up := meridian*s.cosLat + pole*s.sinLat
	north := pole*s.cosLat - meridian*s.sinLat
	flat := math.Sqrt(north*north + east*east)
	az := bearing(east, north)
	if az < 0 {
		if az += 360; az >= 360 { // a negative angle too small to change 360
			az = 0
		}
	}
	// Two arc tangents: an arc sine would lose half the digits near the zenith.
	e := bearing(up, flat)
	apparent := e
	if e >= lowestSeenDeg {
		// Eq 42, the tangent of the sum written out: the part added to the
		// elevation is below 0.042 rad, where its tangent ends at the fifth power
		// to 1e-11.
		a := 10.3 * rad / (e + 5.11)
		a2 := a * a
		a *= 1 + a2*(1.0/3+a2*(2.0/15))
		apparent += s.refraction * (flat - up*a) / (up + flat*a)
	}
	p.TrueElevationDeg = e
	p.ApparentElevationDeg = apparent
	p.AzimuthDeg = az
	p.HourAngleDeg = 360 * h
}

// lowestSeenDeg is the true elevation of the centre below which no part of the
// sun is seen: the semidiameter 0.26667° and the usual refraction at the horizon
// 0.5667° (Reda and Andreas 2008, section 3.11).
const lowestSeenDeg = -(0.26667 + 0.5667)
