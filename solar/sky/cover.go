package sky

import (
	"math"

	"github.com/stationphysics/stationphysics/internal/limit"
	"github.com/stationphysics/stationphysics/internal/numeric"
)

// A Cover is the glass before the cells, as far as it loses more light at
// grazing than at normal incidence (its incidence-angle modifier). It is
// immutable and safe for concurrent use.
type Cover struct {
	kind      coverKind
	a, b      float64 // the parameters, by kind
	n, normal float64 // physical: refractive index, transmittance at normal incidence
}

type coverKind int

const (
	ashrae coverKind = iota
	physical
	martinRuiz
)

var (
	ashraeB  = limit.Range{Quantity: "ASHRAE incidence coefficient", Min: 0, Max: 0.5}
	ruizA    = limit.Range{Quantity: "angular losses coefficient", Min: 0.05, Max: 1}
	glassN   = limit.Range{Quantity: "refractive index", Min: 1, Max: 3}
	glassK   = limit.Range{Quantity: "extinction coefficient of the glass", Unit: "1/m", Min: 0, Max: 100}
	glassL   = limit.Range{Quantity: "thickness of the glass", Unit: "mm", Min: 0, Max: 50}
	aoiRange = limit.Range{Quantity: "angle of incidence", Unit: "deg", Min: -180, Max: 180}
)

// NewASHRAECover is the one-parameter form 1 − b (1/cos θ − 1) of Souka &
// Safwat (1966, Solar Energy 10:170), taken over by ASHRAE 93; 0.05 is usual
// for one pane of glass. It is 0 from the angle at which it would turn
// negative. It returns a *stationphysics.RangeError outside 0..0.5.
func NewASHRAECover(bRatio float64) (*Cover, error) {
	if err := ashraeB.Check(bRatio); err != nil {
		return nil, err
	}
	return &Cover{kind: ashrae, a: bRatio}, nil
}

// NewGlassCover is a pane of glass by refraction (Snell, Fresnel) and
// absorption (Bouguer), as De Soto, Klein & Beckman (2006, Solar Energy 80:78)
// use it, relative to normal incidence. Usual for solar glass: index 1.526,
// extinction 4 per metre, thickness 2 mm. It returns a
// *stationphysics.RangeError outside 1..3, 0..100 per metre, 0..50 mm.
func NewGlassCover(refractionIndex, extinctionPerM, thicknessMm float64) (*Cover, error) {
	if err := limit.First(glassN.Check(refractionIndex), glassK.Check(extinctionPerM), glassL.Check(thicknessMm)); err != nil {
		return nil, err
	}
	c := &Cover{kind: physical, n: refractionIndex, a: extinctionPerM * thicknessMm / 1000, normal: 1}
	c.normal = c.pane(1)
	return c, nil
}

// NewMartinRuizCover is the exponential form of Martin & Ruiz (2001, Solar
// Energy Materials & Solar Cells 70:25) with the coefficient of angular
// losses: 0.16 for clean, 0.20 for moderately dirty crystalline-silicon
// modules. It returns a *stationphysics.RangeError outside 0.05..1.
func NewMartinRuizCover(angularLossRatio float64) (*Cover, error) {
	if err := ruizA.Check(angularLossRatio); err != nil {
		return nil, err
	}
	return &Cover{kind: martinRuiz, a: angularLossRatio, b: 1 / (1 - math.Exp(-1/angularLossRatio))}, nil
}

// BeamRatio is the transmitted share of light that arrives at an angle from
// the normal, relative to normal incidence: 1 at 0°, 0 from 90° on. The sign
// of the angle does not matter. NaN for an angle outside −180..180°.
func (c *Cover) BeamRatio(incidenceDeg float64) float64 {
	if !aoiRange.Holds(incidenceDeg) {
		return math.NaN()
	}
	if math.Abs(incidenceDeg) >= 90 {
		return 0
	}
	return c.beam(math.Cos(incidenceDeg * rad))
}

// beam takes the cosine of the angle of incidence.
func (c *Cover) beam(cosT float64) float64 {
	if !(cosT > 0) {
		if math.IsNaN(cosT) {
			return cosT
		}
		return 0
	}
	switch c.kind {
	case ashrae:
		return max(0, 1-c.a*(1/cosT-1))
	case martinRuiz:
		return (1 - numeric.Exp(-cosT/c.a)) * c.b
	default:
		return c.pane(min(cosT, 1)) / c.normal
	}
}

// pane is the transmittance of one surface and the glass behind it.
func (c *Cover) pane(cosT float64) float64 {
	// Not 1 - (1-cos²θ)/n²: with an index of 1 that is 0 at grazing incidence.
	cosR := math.Sqrt(c.n*c.n-1+cosT*cosT) / c.n
	s := (cosT - c.n*cosR) / (cosT + c.n*cosR)
	p := (c.n*cosT - cosR) / (c.n*cosT + cosR)
	return math.Exp(-c.a/cosR) * (1 - (s*s+p*p)/2)
}

// SkyRatio is the same ratio for an even sky on a tilted surface; GroundRatio
// for the even light of the ground. Martin & Ruiz give closed forms (2005,
// Progress in Photovoltaics 13:75); for the other covers the beam's ratio is
// integrated over the visible part, as Marion (2017, Solar Energy 147:344)
// proposes. A part that is not visible at all has the limit of a vanishing
// sliver at grazing incidence, 0. NaN for a tilt outside 0..180°.
func (c *Cover) SkyRatio(tiltDeg float64) float64 { return c.diffuse(tiltDeg) }

// GroundRatio is the ratio of SkyRatio for the light of the ground.
func (c *Cover) GroundRatio(tiltDeg float64) float64 { return c.diffuse(180 - tiltDeg) }

// diffuse is the ratio for a half space whose edge is tilted by tiltDeg against
// the surface; the ground under a tilt is a sky over its supplement.
func (c *Cover) diffuse(tiltDeg float64) float64 {
	if !tiltRange.Holds(tiltDeg) {
		return math.NaN()
	}
	if tiltDeg == 180 {
		return 0
	}
	b := tiltDeg * rad
	if c.kind == martinRuiz {
		// Martin & Ruiz 2005, eqs. 11 and 12 with c1 = 4/(3π) and
		// c2 = ar/2 − 0.154. At a tilt of 180° the term is 0/0 with the limit 0.
		t := math.Sin(b) + (math.Pi-b-math.Sin(b))/(1+math.Cos(b))
		return 1 - math.Exp(-(4/(3*math.Pi)*t+(c.a/2-0.154)*t*t)/c.a)
	}
	// Rings around the normal: the share of the ring at the angle t that lies
	// above the edge is 1 up to 90° − tilt and acos(−cot t cot b)/π beyond.
	f := func(t float64) (weight, through float64) {
		s, co := math.Sincos(t)
		w := s * co
		if t > math.Pi/2-b {
			w *= math.Acos(max(-1, min(1, -co/s*math.Cos(b)/math.Sin(b)))) / math.Pi
		}
		return w, w * c.beam(co)
	}
	const n = 4000
	var sum, all float64
	// A cosine spacing gathers the points at the kink and at grazing angles.
	lo := max(0, b-math.Pi/2)
	edges := [3]float64{lo, max(lo, math.Pi/2-b), math.Pi / 2}
	for k := range 2 {
		half, mid := (edges[k+1]-edges[k])/2, (edges[k+1]+edges[k])/2
		for i := range n {
			sx, cx := math.Sincos(math.Pi * (float64(i) + 0.5) / n)
			w, th := f(mid - half*cx)
			all += w * half * sx
			sum += th * half * sx
		}
	}
	return sum / all
}
