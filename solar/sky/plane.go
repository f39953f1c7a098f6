package sky

import (
	"math"

	"github.com/stationphysics/stationphysics/internal/limit"
	"github.com/stationphysics/stationphysics/solar"
)

// A SkyModel says how the diffuse light is spread over the sky.
type SkyModel int

const (
	// Perez has an isotropic background, a bright point at the sun and a bright
	// line at the horizon, their strengths by the eight clearness bins of
	// Perez, Ineichen, Seals, Michalsky & Stewart (1990, Solar Energy 44:271,
	// tables 1 and 6). The zero value.
	Perez SkyModel = iota
	// HayDavies puts a share of the diffuse light, the ratio of the beam to the
	// extraterrestrial irradiance, at the sun (Hay & Davies 1980, Proc. First
	// Canadian Solar Radiation Data Workshop).
	HayDavies
	// Reindl adds a brighter horizon to HayDavies (Reindl, Beckman & Duffie
	// 1990, Solar Energy 45:9).
	Reindl
	// Isotropic spreads the light evenly (Hottel & Woertz 1942, Liu & Jordan
	// 1963, Solar Energy 7:53); it understates a surface that faces the sun.
	Isotropic
)

// A Mount is how a surface is put up. The zero value is a level surface over
// black ground under the model of Perez.
type Mount struct {
	TiltDeg    float64       // from the horizontal, 0..180: 90 is a wall, 180 faces down
	FacingDeg  float64       // where the surface looks, clockwise from true north; of no effect at a tilt of 0
	Albedo     float64       // reflectance of the ground, 0..1: grass 0.2, fresh snow 0.8 (common values)
	Sky        SkyModel      // how the diffuse light is spread
	Skyline    solar.Skyline // what stands around, and shades the ground here too; the zero value is a free horizon
	Cover      *Cover        // the glass; nil for a surface without one, such as a pyranometer
	SoilingPct float64       // light lost to dirt on the surface, 0..100
}

var (
	tiltRange    = limit.Range{Quantity: "tilt", Unit: "deg", Min: 0, Max: 180}
	facingRange  = limit.Range{Quantity: "facing", Unit: "deg", Min: -360, Max: 720}
	albedoRange  = limit.Range{Quantity: "albedo", Min: 0, Max: 1, Slips: []limit.Slip{{Min: 1.01, Max: 100, Looks: "percent"}}}
	soilingRange = limit.Range{Quantity: "soiling loss", Unit: "%", Min: 0, Max: 100}
	snowRange    = limit.Range{Quantity: "snow on the surface", Unit: "%", Min: 0, Max: 100}
	modelRange   = limit.Range{Quantity: "sky model", Min: float64(Perez), Max: float64(Isotropic)}
)

// A Plane is a mounted surface, ready to be asked for its irradiance. It is
// immutable and safe for concurrent use; the zero value is not usable.
type Plane struct {
	mount              Mount
	flat               bool // no skyline
	line               horizon
	cosTilt, sinTilt   float64
	facing             float64 // rad
	east, north        float64 // horizontal components of the normal
	skyView            float64 // share of an even sky's light that arrives
	bandView           float64 // sin(tilt) times the free part of the horizon line
	reindlGain         float64 // sin³(tilt/2) times the free part of the horizon line
	groundView         float64 // albedo times the share of the ground's light that arrives
	coverSky, coverGnd float64
	clean              float64 // 1 less the soiling
}

// Irradiance is what falls on a surface, by where it comes from.
type Irradiance struct {
	BeamWPerM2        float64 // directly from the sun
	SkyWPerM2         float64 // from the sky, the bright part around the sun included
	CircumsolarWPerM2 float64 // the part of SkyWPerM2 that comes from around the sun
	GroundWPerM2      float64 // reflected by the ground
	TotalWPerM2       float64 // beam, sky and ground together
	IncidenceCosRatio float64 // cosine of the angle between the sun and the normal; negative with the sun behind
}

// NewPlane checks the mount and prepares the view factors. It returns a
// *stationphysics.RangeError for a tilt, facing, albedo, soiling or sky model
// out of range.
func NewPlane(m Mount) (*Plane, error) {
	if err := limit.First(tiltRange.Check(m.TiltDeg), facingRange.Check(m.FacingDeg), albedoRange.Check(m.Albedo),
		soilingRange.Check(m.SoilingPct), modelRange.Check(float64(m.Sky))); err != nil {
		return nil, err
	}
	p := &Plane{mount: m, facing: m.FacingDeg * rad, flat: len(m.Skyline.Points()) == 0, coverSky: 1, coverGnd: 1, clean: 1 - m.SoilingPct/100}
	p.sinTilt, p.cosTilt = math.Sincos(m.TiltDeg * rad)
	// A quarter and a half turn are meant exactly: without this, a wall would
	// see 3e-17 of a sky behind it.
	switch m.TiltDeg {
	case 90:
		p.cosTilt = 0
	case 180:
		p.sinTilt = 0
	}
	east, north := math.Sincos(m.FacingDeg * rad)
	p.east, p.north = p.sinTilt*east, p.sinTilt*north
	if !p.flat {
		p.line = newHorizon(m.Skyline)
	}
	v := p.view()
	s := math.Sin(m.TiltDeg / 2 * rad)
	p.skyView, p.bandView, p.reindlGain = v.sky, p.sinTilt*v.band, s*s*s*v.band
	p.groundView = m.Albedo * (1 - p.cosTilt) / 2
	if m.Cover != nil {
		p.coverSky, p.coverGnd = m.Cover.SkyRatio(m.TiltDeg), m.Cover.GroundRatio(m.TiltDeg)
	}
	return p, nil
}

// Mount returns the mount the plane was made from.
func (p *Plane) Mount() Mount { return p.mount }

// SkyViewRatio is the share of an even sky's light on a level surface in the
// open that arrives at the plane: (1+cos tilt)/2 less what the skyline hides.
func (p *Plane) SkyViewRatio() float64 { return p.skyView }

// IncidenceDeg is the angle between the direction of the sun and the normal of
// the plane, 0..180 (Duffie & Beckman, eq. 1.6.3). NaN for a position out of
// range.
func (p *Plane) IncidenceDeg(sun Sun) float64 {
	if !sun.holds() {
		return math.NaN()
	}
	d := sun.direction()
	return math.Acos(max(-1, min(1, p.incidence(&d)))) / rad
}

// incidence is the cosine of the angle of incidence.
func (p *Plane) incidence(d *solar.Direction) float64 {
	return d.UpRatio*p.cosTilt + (d.EastRatio*p.east + d.NorthRatio*p.north)
}

// Hidden reports whether the sun's centre is behind the skyline or below the
// level horizon.
func (p *Plane) Hidden(sun Sun) bool {
	return !(sun.ElevationDeg > 0) || !p.flat && p.mount.Skyline.Hides(turn(sun.AzimuthDeg), sun.ElevationDeg)
}

// turn brings an azimuth into 0..360.
func turn(azimuthDeg float64) float64 {
	switch {
	case azimuthDeg < 0:
		return azimuthDeg + 360
	case azimuthDeg >= 360:
		return azimuthDeg - 360
	}
	return azimuthDeg
}

// On returns the irradiance on the plane under a light measured in the open.
// Every part is NaN if the position or the light is out of range. With the sun
// below the horizon there is no beam and the sky is taken as even.
//
// The diffuse part of a real sky cannot exceed the published limits of
// Series.Clean; far above them, at a sun below 5°, the polynomials of Perez
// leave their domain and with them all meaning.
func (p *Plane) On(sun Sun, l Light) Irradiance {
	if !sun.holds() || !l.holds() {
		n := math.NaN()
		return Irradiance{n, n, n, n, n, n}
	}
	free := 1.0
	if !p.flat && p.Hidden(sun) {
		free = 0
	}
	sinE, cosE := math.Sincos(sun.ElevationDeg * rad)
	ct := sinE*p.cosTilt + cosE*p.sinTilt*math.Cos(sun.AzimuthDeg*rad-p.facing)
	return p.moment(sun.ElevationDeg, sun.extraterrestrial(), &l, free, ct, sinE)
}

// OnToward is On for a direction.
func (p *Plane) OnToward(d solar.Direction, l Light) Irradiance {
	if !known(&d) || !l.holds() {
		n := math.NaN()
		return Irradiance{n, n, n, n, n, n}
	}
	free := 1.0
	if !p.flat && p.Hidden(SunToward(d)) {
		free = 0
	}
	ct := p.incidence(&d)
	return p.moment(d.ApparentElevationDeg, extraterrestrial(d.DistanceAU), &l, free, ct, d.UpRatio)
}

// massOf is the air mass with the sun up, 0 with the sun down.
func massOf(elevationDeg, sinE float64) float64 {
	if elevationDeg > 0 {
		return airMass(elevationDeg, sinE)
	}
	return 0
}

// moment is On for a sun and a light in range: with the elevation of the sun and its
// irradiance outside the atmosphere, 1 or 0 for a sun before or behind the skyline, the
// cosine of the incidence and the sine of the elevation.
func (p *Plane) moment(elevationDeg, e0 float64, l *Light, free, ct, sinE float64) (r Irradiance) {
	r = p.fall(elevationDeg, e0, l, free, max(ct, 0), sinE, massOf(elevationDeg, sinE))
	r.IncidenceCosRatio = ct
	r.GroundWPerM2 = p.ground(l, (1-free)*l.BeamNormalWPerM2*max(sinE, 0))
	r.TotalWPerM2 = r.BeamWPerM2 + r.SkyWPerM2 + r.GroundWPerM2
	return r
}

// ground is the light from the ground, which lies in the same shadow of the skyline as
// the plane: the skyline takes hiddenWPerM2 of the level beam.
func (p *Plane) ground(l *Light, hiddenWPerM2 float64) float64 {
	global := l.GlobalWPerM2
	if hiddenWPerM2 > 0 {
		global = max(global-hiddenWPerM2, min(l.DiffuseWPerM2, global))
	}
	return global * p.groundView
}

// fall gives beam and sky for a sun and a light in range: with the elevation of the sun
// and its irradiance outside the atmosphere, the share of the time in which it lights
// the plane, what of the cosine of the incidence counts, the sine of the elevation and,
// with the sun up, its air mass.
func (p *Plane) fall(elevationDeg, e0 float64, l *Light, open, front, sinE, mass float64) (r Irradiance) {
	up := elevationDeg > 0
	if up {
		r.BeamWPerM2 = l.BeamNormalWPerM2 * front * open
	}
	dhi := l.DiffuseWPerM2
	model := p.mount.Sky
	if !up {
		model = Isotropic
	}
	var around, even float64
	switch model {
	case Isotropic:
		even = dhi * p.skyView
	case HayDavies, Reindl:
		share := min(l.BeamNormalWPerM2/e0, 1)
		// Closer to the horizon than one degree the ratio is not followed: the
		// bright part around the sun then reaches below it.
		around = dhi * share * front / max(sinE, sin1)
		even = dhi * (1 - share) * p.skyView
		if model == Reindl && l.GlobalWPerM2 > 0 {
			even += dhi * (1 - share) * (1 + p.cosTilt) / 2 * math.Sqrt(l.BeamNormalWPerM2*sinE/l.GlobalWPerM2) * p.reindlGain
		}
	case Perez:
		if dhi > 0 {
			f1, f2 := perezBrightness(elevationDeg, e0, l, mass)
			around = dhi * f1 * front / max(sinE, sin5)
			even = dhi * ((1-f1)*p.skyView + f2*p.bandView)
		}
	}
	around *= open
	r.CircumsolarWPerM2 = around
	r.SkyWPerM2 = max(around+even, 0)
	return r
}

const (
	sin1 = 0.01745240643728351 // sine of 1°
	sin5 = 0.08715574274765817 // sine of 5°, the floor of Perez et al. 1990, eq. 9
)

// EffectiveWPerM2 is the part of an irradiance from On that reaches the cells
// behind the cover: each part times the cover's ratio for its directions, less
// the soiling, less the share of the surface under snow, 0..100 %. Snow is
// taken as opaque and as hiding each part alike; a panel with all its cells in
// series may lose everything under a part of it. NaN for a snow share out of
// range.
func (p *Plane) EffectiveWPerM2(on Irradiance, snowPct float64) float64 {
	if !snowRange.Holds(snowPct) {
		return math.NaN()
	}
	k := p.clean * (1 - snowPct/100)
	if p.mount.Cover == nil {
		return k * on.TotalWPerM2
	}
	around := min(on.CircumsolarWPerM2, on.SkyWPerM2)
	return k * ((on.BeamWPerM2+around)*p.mount.Cover.beam(on.IncidenceCosRatio) +
		(on.SkyWPerM2-around)*p.coverSky + on.GroundWPerM2*p.coverGnd)
}

// CheckSnow explains the NaN of EffectiveWPerM2: a *stationphysics.RangeError
// for a snow share outside 0..100 %.
func CheckSnow(snowPct float64) error { return snowRange.Check(snowPct) }
