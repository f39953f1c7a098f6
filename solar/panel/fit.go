package panel

import (
	"math"

	"github.com/stationphysics/stationphysics/internal/numeric"
)

// The ideality factors that a fit may end at. Below 0.5 nothing physical is
// left of the diode.
const leastN, mostN = 0.5, 2.5

// Fit finds the single-diode curve of a label. The five conditions of De Soto,
// Klein and Beckman 2006 (eqs. 2 to 6) are met exactly: short circuit, open
// circuit, the maximum power point, the power's zero slope there, and the
// temperature coefficient of Voc at 25 °C; the coefficient of Isc is carried
// over as it stands.
//
// Where silicon's band gap and the printed coefficient of Voc ask for a
// softer knee than the printed point allows, the ideality factor stays at the
// softest one that passes the points, and the temperature coefficient is met
// by the band gap instead; Parameters then shows one other than 1.121 eV.
//
// A value out of range gives a *stationphysics.RangeError with the likely slip
// of unit; values that no single-diode curve can pass give a
// *stationphysics.ConflictError that names the two.
func Fit(l Label) (Module, error) {
	if err := l.check(); err != nil {
		return Module{}, err
	}
	f := fit{l: l, perN: float64(l.CellsInSeries) * boltzmannEVPerK * refK,
		alpha: l.IscPctPerK / 100 * l.Isc, beta: l.VocPctPerK / 100 * l.Voc}

	// The points can be passed up to some ideality factor: a softer knee would
	// need a negative resistance. Find it.
	soft := leastN
	s := f.at(soft)
	if !s.ok {
		if s.noSeries {
			return Module{}, conflict("Vmp", l.Vmp, "V", "Voc", l.Voc, "V", "no single-diode curve falls so steeply from the maximum power point to open circuit")
		}
		return Module{}, conflict("Imp", l.Imp, "A", "Isc", l.Isc, "A", "no single-diode curve is so flat up to the maximum power point")
	}
	if t := f.at(mostN); t.ok {
		soft, s = mostN, t
	} else {
		hard := mostN
		for hard-soft > 1e-13 { // some hundred roundings
			mid := 0.5 * (soft + hard)
			if t := f.at(mid); t.ok {
				soft, s = mid, t
			} else {
				hard = mid
			}
		}
	}

	n, silicon := numeric.Root(func(n float64) float64 { return f.vocSlope(f.at(n), siliconGapEV) - f.beta }, leastN, soft, 1e-14)
	gapEV := siliconGapEV
	if t := f.at(n); silicon && t.ok {
		s = t
	} else {
		gapEV = f.gapFor(s)
	}
	p := Parameters{
		PhotocurrentA:      s.iL,
		SaturationCurrentA: s.i0,
		IdealityV:          s.a,
		SeriesOhm:          s.rs,
		ShuntOhm:           1 / s.g,
		PhotocurrentAPerK:  f.alpha,
		BandGapEV:          gapEV,
		CellsInSeries:      l.CellsInSeries,
	}
	// The ranges of a label keep all of these within those of New.
	return build(p), nil
}

type fit struct {
	l           Label
	perN        float64 // a for n = 1
	alpha, beta float64 // A/K and V/K
}

// A solution is the curve through the label's points for one ideality factor.
type solution struct {
	a, rs, g, i0, iL float64
	ok               bool // resistances not negative
	noSeries         bool // not ok: the knee is too soft between maximum power and open circuit
}

// at finds the curve for the ideality factor n. With a and Rs given, the three
// points make a linear system in IL, I0 and 1/Rsh; Rs is then the one unknown
// of the slope at the maximum power point.
func (f *fit) at(n float64) solution {
	l := &f.l
	s := solution{a: n * f.perN}
	// points solves the system. Exponentials are taken relative to open
	// circuit, so that none overflows: j0 = I0 exp(Voc/a).
	points := func(rs float64) (j0, g, slope float64) {
		usc, ump := l.Isc*rs, l.Vmp+l.Imp*rs
		esc := -math.Expm1((usc - l.Voc) / s.a)
		emp := -math.Expm1((ump - l.Voc) / s.a)
		// j0 esc + g (Voc - usc) = Isc;  j0 emp + g (Voc - ump) = Imp.
		dsc, dmp := l.Voc-usc, l.Voc-ump
		det := esc*dmp - emp*dsc
		j0 = (l.Isc*dmp - l.Imp*dsc) / det
		g = (esc*l.Imp - emp*l.Isc) / det
		return j0, g, j0/s.a*(1-emp) + g
	}
	// At maximum power I + V dI/dV = 0, which makes the slope in the diode's
	// voltage Imp/(Vmp - Rs Imp).
	off := func(rs float64) float64 {
		_, _, slope := points(rs)
		return slope - l.Imp/(l.Vmp-rs*l.Imp)
	}
	most := math.Min((l.Voc-l.Vmp)/l.Imp, math.Min(l.Voc/l.Isc, l.Vmp/l.Imp)) * (1 - 1e-9)
	if off(0) > 0 {
		s.noSeries = true
		return s
	}
	rs, ok := numeric.Root(off, 0, most, 0)
	if !ok {
		return s
	}
	j0, g, _ := points(rs)
	s.rs, s.g = rs, math.Max(g, 0) // also turns a -0 into 0
	s.i0 = j0 * math.Exp(-l.Voc/s.a)
	s.iL = j0 - s.i0 + g*l.Voc
	s.ok = g >= 0 && j0 > 0
	return s
}

// vocSlope returns dVoc/dT at standard test conditions for the band gap: the
// derivative of IL - I0 (exp(Voc/a) - 1) - Voc/Rsh = 0 with IL, I0 and a
// depending on temperature as in At.
func (f *fit) vocSlope(s solution, gapEV float64) float64 {
	e := s.i0 * math.Exp(f.l.Voc/s.a)
	return (f.alpha - (e-s.i0)*(saturationTPower/refK+gapEV*gapTerm) + e*f.l.Voc/(s.a*refK)) / (e/s.a + s.g)
}

// gapTerm times Eg is d/dT of -Eg(T)/kT at 25 °C.
const gapTerm = (1/refK - gapSlopePerK) / (boltzmannEVPerK * refK)

// gapFor returns the band gap that gives the label's coefficient of Voc.
func (f *fit) gapFor(s solution) float64 {
	e := s.i0 * math.Exp(f.l.Voc/s.a)
	return ((f.alpha+e*f.l.Voc/(s.a*refK)-f.beta*(e/s.a+s.g))/(e-s.i0) - saturationTPower/refK) / gapTerm
}
