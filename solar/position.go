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
	h := turnsAt(greenwichDeg, s.lonDeg, d)
	// sin ξ = ξ to 1e-14.
	up, north, east := s.toward(h, sinDec, cosDec, parallaxArcsec*arcsec/p.DistanceAU)
	flat := math.Sqrt(north*north + east*east)
	// Two arc tangents: an arc sine would lose half the digits near the zenith.
	e := bearing(up, flat)
	p.TrueElevationDeg = e
	p.ApparentElevationDeg = e + s.raisedDeg(e, up, flat)
	p.AzimuthDeg = azimuthDeg(east, north)
	p.HourAngleDeg = 360 * h
}

// turnsAt is the hour angle on day d in turns, -0.5 to 0.5. The whole days are taken
// off before the angle is formed, so that no digit is lost to the thousands of days
// since J2000.
func turnsAt(greenwichDeg, lonDeg, d float64) float64 {
	h := (greenwichDeg+lonDeg)*(1.0/360) + (d - nearest(d))
	return h - nearest(h)
}

// toward is the vector to the sun in the axes of the horizon, of length 1 but for the
// parallax xi, at an hour angle in turns.
func (s *Site) toward(turns, sinDec, cosDec, xi float64) (up, north, east float64) {
	sinH, cosH := sincosTurns(turns)
	// Eq 33 to 40 as vectors in Earth radii over the distance: the sun less the
	// observer, in the axes meridian, east and pole.
	meridian := cosDec*cosH - xi*s.obsX
	pole := sinDec - xi*s.obsZ
	// Eq 41 and 45.
	return meridian*s.cosLat + pole*s.sinLat, pole*s.cosLat - meridian*s.sinLat, s.aberration - cosDec*sinH
}

// azimuthDeg is the direction of a vector clockwise from north, 0 to 360.
func azimuthDeg(east, north float64) float64 {
	az := bearing(east, north)
	if az < 0 {
		if az += 360; az >= 360 { // a negative angle too small to change 360
			az = 0
		}
	}
	return az
}

// raisedDeg is the refraction at a true elevation e, whose tangent is up over flat.
func (s *Site) raisedDeg(e, up, flat float64) float64 {
	if !(e >= lowestSeenDeg) {
		return 0
	}
	// Eq 42, the tangent of the sum written out: the part added to the elevation is
	// below 0.042 rad, where its tangent ends at the fifth power to 1e-11.
	a := 10.3 * rad / (e + 5.11)
	a2 := a * a
	a *= 1 + a2*(1.0/3+a2*(2.0/15))
	return s.refraction * (flat - up*a) / (up + flat*a)
}

// lowestSeenDeg is the true elevation of the centre below which no part of the
// sun is seen: the semidiameter 0.26667° and the usual refraction at the horizon
// 0.5667° (Reda and Andreas 2008, section 3.11).
const lowestSeenDeg = -(0.26667 + 0.5667)
