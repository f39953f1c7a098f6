package solar

import (
	"math"
	"time"
)

// A Direction is the way to the sun's centre as a unit vector: what a model of a
// tilted surface asks of a [Position], at less cost. Where the sun is not known every
// number is NaN.
type Direction struct {
	// EastRatio, NorthRatio and UpRatio are the components of the unit vector to the
	// apparent sun, that is with refraction.
	EastRatio, NorthRatio, UpRatio float64
	// ApparentElevationDeg and TrueElevationDeg are those of [Position].
	ApparentElevationDeg, TrueElevationDeg float64
	DistanceAU                             float64 // from the centre of the Earth
}

// AzimuthDeg is the direction clockwise from true north, 0 to 360.
func (d *Direction) AzimuthDeg() float64 { return azimuthDeg(d.EastRatio, d.NorthRatio) }

var offTheArc = Direction{nan, nan, nan, nan, nan, nan}

// Direction is the way to the sun of a position.
func (p *Position) Direction() Direction {
	up, level := math.Sincos(p.ApparentElevationDeg * rad)
	east, north := math.Sincos(p.AzimuthDeg * rad)
	return Direction{level * east, level * north, up, p.ApparentElevationDeg, p.TrueElevationDeg, p.DistanceAU}
}

// An Arc is the sun over a site for some hours at most, for a model that steps
// through them: what changes slowly is taken as straight over the arc. That misses
// the [Track] by less than 0.01″ on an arc of an hour and less than 0.1″ on one of three.
// The zero Arc has no directions.
type Arc struct {
	site *Site
	// In turns, days and their rates a day, all at the middle of the arc.
	halfD                  float64
	turns, turnsPerD       float64
	sinDec, sinDecPerD     float64
	cosDec, cosDecPerD     float64
	radiusAU, radiusAUPerD float64
	parallax               float64 // rad
}

// longestArc bounds what is taken as straight.
const longestArc = 3 * time.Hour

// slackD keeps rounding from cutting off an end: 0.1 ms, the rounding of a day since
// J2000 being a hundredth of it.
const slackD = 1e-9

// Arc prepares the time from start on, 3 hours at most. The zero Arc stands for more,
// and for a time that the track does not cover.
func (t *Track) Arc(start time.Time, length time.Duration) (a Arc) {
	if !(length >= 0 && length <= longestArc) || len(t.stretches) == 0 {
		return Arc{}
	}
	first := daysSinceJ2000(start) + t.site.ut1Lead*(1.0/86400)
	a.halfD = length.Seconds() * (0.5 / 86400)
	mid := first + a.halfD
	if !(first >= t.d0-slackD && mid+a.halfD <= t.d1+slackD) {
		return Arc{}
	}
	a.site = &t.site
	greenwichDeg := t.course(mid, &a)
	a.parallax = parallaxArcsec * arcsec / a.radiusAU
	a.turns = turnsAt(greenwichDeg, t.site.lonDeg, mid)
	return a
}

// course fills in what changes slowly, and gives the Greenwich angle.
func (t *Track) course(d float64, a *Arc) (greenwichDeg float64) {
	p, x := t.find(d)
	k0, k1, k2, k3 := &p[0], &p[1], &p[2], &p[3]
	const perD = 2.0 / stretchDays // of x
	x2 := x * x
	at := func(q0, q1, q2, q3 float64) float64 { return (q0 + q1*x) + (q2+q3*x)*x2 }
	rate := func(q1, q2, q3 float64) float64 { return perD * (q1 + (2*q2+3*q3*x)*x) }
	a.sinDec, a.sinDecPerD = at(k0.sinDec, k1.sinDec, k2.sinDec, k3.sinDec), rate(k1.sinDec, k2.sinDec, k3.sinDec)
	a.cosDec, a.cosDecPerD = at(k0.cosDec, k1.cosDec, k2.cosDec, k3.cosDec), rate(k1.cosDec, k2.cosDec, k3.cosDec)
	a.radiusAU, a.radiusAUPerD = at(k0.radiusAU, k1.radiusAU, k2.radiusAU, k3.radiusAU), rate(k1.radiusAU, k2.radiusAU, k3.radiusAU)
	a.turnsPerD = 1 + rate(k1.greenwichDeg, k2.greenwichDeg, k3.greenwichDeg)*(1.0/360)
	return at(k0.greenwichDeg, k1.greenwichDeg, k2.greenwichDeg, k3.greenwichDeg)
}

// At gives the direction some seconds after the beginning of the arc, and NaN off it.
func (a *Arc) At(spanS float64) (d Direction) {
	off := spanS*(1.0/86400) - a.halfD
	if a.site == nil || !(math.Abs(off) <= a.halfD+slackD) {
		return offTheArc
	}
	d.DistanceAU = a.radiusAU + a.radiusAUPerD*off
	h := a.turns + a.turnsPerD*off
	up, north, east := a.site.toward(h-nearest(h), a.sinDec+a.sinDecPerD*off, a.cosDec+a.cosDecPerD*off, a.parallax)
	flat := math.Sqrt(north*north + east*east)
	e := bearing(up, flat)
	raised := a.site.raisedDeg(e, up, flat)
	d.TrueElevationDeg, d.ApparentElevationDeg = e, e+raised
	// The length differs from 1 by the parallax and the rounding of the course, less
	// than 1e-4: the series of 1/sqrt(1+x) ends below rounding. So do those of sine and
	// cosine for the usual refraction, and below 1e-13 for 0.018 rad, that of the densest and
	// coldest air.
	x := up*up + flat*flat - 1
	k := 1 - x*(1.0/2-x*(3.0/8-x*(5.0/16)))
	r := raised * rad
	r2 := r * r
	sin, cos := r*(1-r2*(1.0/6-r2*(1.0/120))), 1-r2*(1.0/2-r2*(1.0/24))
	d.UpRatio = k * (up*cos + flat*sin)
	if flat > 0 {
		k *= cos - up/flat*sin
	}
	d.EastRatio, d.NorthRatio = k*east, k*north
	return d
}
