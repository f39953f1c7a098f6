package thermal

import (
	"math"

	"github.com/stationphysics/stationphysics/internal/numeric"
)

// A boxBalance is the balance of a square metre of a box's surface and how far its
// root has been found. The unknown is y, the sixth root of the rise x over the air: all
// of the balance is then made of products but for a cube root, which is taken along
// from step to step. Below the air y is that of the fall, and both sides of the balance
// change sign.
//
// prepare, start and then next until it has found the root: each for all of a batch
// before the following, since the one balance leaves the processor waiting for its
// roots and quotients and several fill the time.
type boxBalance struct {
	gain             float64 // |what a surface at air temperature has to lose|, W/m²
	sign             float64 // of it
	t0               float64 // of the air, kelvins
	radiation        float64 // ε σ
	kOverL, buoyancy float64 // of the natural convection: hn = kOverL (0.825 + buoyancy·y)²
	hf, hf3          float64 // forced convection, and its cube

	y, h float64 // h of both convections
}

// windPower gives v^0.6.
var windPower = numeric.NewPower(1, 0.6, -6, 7)

// prepare takes from the conditions what the balance needs.
func (s *boxBalance) prepare(b *SealedBox, c *BoxConditions) {
	if !c.hold() || !(b.perSizeM > 0) {
		s.gain = nan // and so becomes everything
		return
	}
	s.convection(b, c)
	s.t0, s.radiation = c.AirC+zeroC, b.radiation
	// Next to nothing heats it in proportion: what would underflow is solved at a gain
	// that does not.
	gain := b.gain(c)
	s.gain = max(math.Abs(gain), 1e-60)
	s.sign = gain / s.gain
}

func (s *boxBalance) convection(b *SealedBox, c *BoxConditions) {
	// Properties at the air temperature instead of the film keep the sum
	// cheap; ten kelvins of film shift h by less than one percent.
	k, rise6 := stillAir(c.AirC)
	s.kOverL, s.buoyancy = k*b.perSizeM, rise6*b.rootM
	s.hf = 0
	if c.WindMPerS > 0 {
		s.hf = b.windScale * windPower.At(c.WindMPerS)
	}
	s.hf3 = s.hf * s.hf * s.hf
}

// gain is the heat that a square metre of surface at air temperature has to lose. The
// difference of the fourth powers is taken apart into factors: it is zero without a
// deficit, which a difference of squares is not where it is fused with a product.
func (b *SealedBox) gain(c *BoxConditions) float64 {
	t0 := c.AirC + zeroC
	tr := t0 - c.RadiantDeficitK
	return b.sunlit*c.SunWPerM2 + b.perAreaM2*c.DissipationW -
		b.radiation*c.RadiantDeficitK*(t0+tr)*(t0*t0+tr*tr)
}

// start guesses y and h.
func (s *boxBalance) start() {
	nu := 0.825 + 1.4*s.buoyancy // at 7.5 K
	s.y = roughRoot6(s.gain / (s.hf + s.kOverL*nu*nu + 4*s.radiation*s.t0*s.t0*s.t0))
	hn3, _ := s.natural(s.y)
	s.h = roughRoot3(hn3 + s.hf3)
}

// natural returns the cube of the natural convection and g/c = d ln hn³/d ln x.
func (s *boxBalance) natural(y float64) (hn3, slope float64) {
	g := s.buoyancy * y
	c := 0.825 + g
	hn := s.kOverL * c * c
	return hn * hn * hn, g / c
}

// loss returns the rise (or fall), the surface's temperature, and its loss over that of
// a surface at air temperature.
func (s *boxBalance) loss(y, h float64) (x, t, lossWPerM2 float64) {
	y2 := y * y
	x = y2 * y2 * y2
	t = s.t0 + s.sign*x
	return x, t, x * (h + s.radiation*((t+s.t0)*(t*t+s.t0*s.t0)))
}

// next improves y and h. Close to the root it leaves them, and returns the root itself,
// in kelvins over the air, with the slope of the loss. For NaN that is NaN.
//
// The step takes the loss for the power of y that has its value and slope. The exponent
// changes so little from one rise to another that the step errs much less than
// Newton's, which takes the loss for a straight line.
func (s *boxBalance) next() (riseK, slopeWPerM2K float64, found bool) {
	y, h := s.y, s.h
	hn3, p := s.natural(y)
	h3 := hn3 + s.hf3
	off := cubeRootStep(h, h3)
	h += h * off * (1 + off*off*(2.0/3)) // with what it leaves
	m := hn3 / h3
	sh := m * p * (1.0 / 3) // d ln h/d ln x
	x, t, loss := s.loss(y, h)
	slope := h + h*sh + 4*s.radiation*(t*t*t)
	step := powerStep(6*x*slope, loss, s.gain)
	if !(math.Abs(step*step*step)*max(x, 1e-5) > 2e-11) && !(math.Abs(off) > 1e-3) {
		// (1+step)^6, with what the exponent n of the power changes on the way: it
		// bends by n'/2n, n' = n + x²·loss''/loss - n². What is left goes with step³
		// and is at most some 25 of them, as a part of x: less than 1e-9 K, and below 1e-5 K
		// of rise half of a ten-thousandth.
		curve := h*sh*(1+sh+(1-m)*p+(1-p)*(1.0/6)) + 12*s.sign*x*s.radiation*t*t // x·loss''
		bend := 0.5 + 0.5*(curve*loss-x*slope*slope)/(slope*loss)
		return s.sign * (x + x*step*(6+step*(15-36*bend+step*20))), slope, true
	}
	s.y = y + y*step
	a := 6 * sh * step
	s.h = h + h*(a+0.5*a*(a-step)) // (1+step)^(6 sh)
	return nan, nan, false
}

// powerStep is the step, as a part of y, from a loss to the gain where the loss goes
// with the power n/loss of y: Halley's step towards the root of a power.
func powerStep(n, loss, gain float64) float64 {
	return 2 * loss * (gain - loss) / ((n+loss)*loss + (n-loss)*gain)
}

// root goes on until next has found the root. Three steps are enough outdoors, the
// hottest surfaces take up to twenty.
func (s *boxBalance) root() (riseK, slopeWPerM2K float64) {
	for range 100 {
		if riseK, slopeWPerM2K, found := s.next(); found {
			return riseK, slopeWPerM2K
		}
	}
	return nan, nan
}

// surface returns the rise of the outer surface over the air and the slope of the heat
// loss there.
func (b *SealedBox) surface(c *BoxConditions) (riseK, slopeWPerM2K float64) {
	var s boxBalance
	s.prepare(b, c)
	s.start()
	return s.root()
}

// surfaces does the same for a batch.
func (b *SealedBox) surfaces(dst []float64, c []BoxConditions) {
	var batch [32]boxBalance
	for len(c) > 0 {
		s := batch[:min(len(c), len(batch))]
		for i := range s {
			s[i].prepare(b, &c[i])
		}
		for i := range s {
			s[i].start()
		}
		for i := range s {
			s[i].next()
		}
		for i := range s {
			dst[i], _ = s[i].root()
		}
		dst, c = dst[len(s):], c[len(s):]
	}
}
