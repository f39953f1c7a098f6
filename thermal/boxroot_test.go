package thermal

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
)

// slowRiseK solves the balance as the comment of SealedBox writes it, by halving an
// interval until no number lies between its ends. The loss is taken against the heat
// of a surface at air temperature, as differences lose digits near it.
func slowRiseK(s SealedBoxSpec, c BoxConditions) float64 {
	side := math.Sqrt(s.SurfaceAreaM2 / 6)
	k, rise6 := stillAir(c.AirC)
	hf := 8.6 * math.Pow(c.WindMPerS, 0.6) / math.Pow(side, 0.4)
	ta := c.AirC + zeroC
	tr := ta - c.RadiantDeficitK
	surplusW := func(x float64) float64 {
		// Ra^(1/6) is that of Churchill and Chu's number by its factor (see stillAir).
		nu := 0.825 + rise6*math.Pow(math.Abs(x)*side*side*side, 1.0/6)
		hn := nu * nu * k / side
		ts := ta + x
		return s.SurfaceAreaM2*(math.Cbrt(hn*hn*hn+hf*hf*hf)*x+
			s.Emissivity*stefanBoltzmann*(x+c.RadiantDeficitK)*(ts+tr)*(ts*ts+tr*tr)) -
			s.Absorptance*c.SunWPerM2*s.SunlitAreaM2 - c.DissipationW
	}
	lo, hi := -61.0, 1e9
	for range 200 {
		mid := (lo + hi) / 2
		if surplusW(mid) > 0 {
			hi = mid
		} else {
			lo = mid
		}
	}
	return (lo + hi) / 2
}

// randomBox draws a box and conditions out of all that is allowed or, mild, out of
// what stands outdoors.
func randomBox(r *rand.Rand, mild bool) (SealedBoxSpec, BoxConditions) {
	span := func(lo, hi float64) float64 { return lo + (hi-lo)*r.Float64() }
	// A quarter of the draws lies on the lower end and as many spread over decades.
	wide := func(top float64) float64 {
		switch r.IntN(4) {
		case 0:
			return 0
		case 1:
			return top * math.Pow(10, span(-12, 0))
		}
		return span(0, top)
	}
	s := greyBox
	c := BoxConditions{AirC: span(-50, 60), SunWPerM2: wide(1400), WindMPerS: wide(40), DissipationW: wide(50), RadiantDeficitK: wide(30)}
	if !mild {
		area := math.Pow(10, span(-3.6, 2))
		s = SealedBoxSpec{Absorptance: wide(1), Emissivity: wide(1), SurfaceAreaM2: area, SunlitAreaM2: max(1e-4, area*span(0, 0.5)), WallWPerM2K: 6.9}
		c = BoxConditions{AirC: span(-90, 70), SunWPerM2: wide(1600), WindMPerS: wide(75), DissipationW: wide(1e4), RadiantDeficitK: wide(60)}
	}
	return s, c
}

// The root is exact where it matters, for every box and weather: to 1e-9 K, and of
// rises by more than ten kelvins to 1e-10 of them.
func TestBoxIsTheExactRoot(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 8))
	for i := range 6000 {
		s, c := randomBox(r, i%2 == 0)
		want := slowRiseK(s, c)
		riseK, slope := new(SealedBox).surface(&c)
		requireNaN(t, riseK)
		requireNaN(t, slope)
		b := mustBox(t, s)
		riseK, slope = b.surface(&c)
		require.InDelta(t, want, riseK, max(1e-9, 1e-10*math.Abs(want)), "%+v in %+v", s, c)
		require.Positive(t, slope)
	}
}

// A batch does not mix its members up, whatever comes before and after, and is what
// single calls give.
func TestBatchRiseKIsRiseK(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 1))
	b := mustBox(t, greyBox)
	for _, n := range []int{0, 1, 31, 32, 33, 200} {
		c := make([]BoxConditions, n)
		for i := range c {
			_, c[i] = randomBox(r, i%2 == 0)
			if i%7 == 3 {
				c[i].SunWPerM2 = -1
			}
		}
		dst := make([]float64, n)
		b.BatchRiseK(dst, c)
		for i := range c {
			if want := b.RiseK(c[i]); !(dst[i] == want || math.IsNaN(want) && math.IsNaN(dst[i])) {
				t.Fatalf("of %d, %d: %g, alone %g", n, i, dst[i], want)
			}
		}
		r.Shuffle(n, func(i, j int) { c[i], c[j], dst[i], dst[j] = c[j], c[i], dst[j], dst[i] })
		again := make([]float64, n)
		b.BatchRiseK(again, c)
		for i := range c {
			require.True(t, dst[i] == again[i] || math.IsNaN(dst[i]) && math.IsNaN(again[i]))
		}
	}
	require.Panics(t, func() { b.BatchRiseK(make([]float64, 1), nil) })
	c, dst := make([]BoxConditions, 100), make([]float64, 100)
	require.Zero(t, testing.AllocsPerRun(10, func() { b.BatchRiseK(dst, c) }))
	SealedBox{}.BatchRiseK(dst, c)
	requireNaN(t, dst[99])
}

// The shortcuts of SurfaceBelow agree with the root, close to it and far off.
func TestSurfaceBelowIsTheRoot(t *testing.T) {
	r := rand.New(rand.NewPCG(2, 9))
	for i := range 6000 {
		s, c := randomBox(r, i%2 == 0)
		if i%3 != 0 {
			c.SunWPerM2, c.DissipationW = 0, 0.1*r.Float64()*s.SurfaceAreaM2
		}
		b := mustBox(t, s)
		at := b.SurfaceC(c)
		off := (1 + math.Abs(at-c.AirC)) * math.Pow(10, 1-9*r.Float64())
		require.True(t, b.SurfaceBelow(c, at+off), "%+v in %+v, %g K", s, c, off)
		require.False(t, b.SurfaceBelow(c, at-off), "%+v in %+v, %g K", s, c, -off)
	}
	b := mustBox(t, greyBox)
	require.False(t, b.SurfaceBelow(BoxConditions{}, -1e6), "below absolute zero")
	for _, wind := range []float64{0, 3} {
		require.False(t, b.SurfaceBelow(BoxConditions{WindMPerS: wind}, math.Inf(-1)))
		require.True(t, b.SurfaceBelow(BoxConditions{WindMPerS: wind}, math.Inf(1)))
	}
}

// Rises next to nothing are found as well, to a ten-thousandth of themselves: there the
// first guess, which is for 7.5 K, is far off.
func TestSmallRises(t *testing.T) {
	s := greyBox
	for _, s.Emissivity = range []float64{0, 0.9} {
		for s.SurfaceAreaM2 = 0.1; s.SurfaceAreaM2 < 100; s.SurfaceAreaM2 *= 2 {
			b := mustBox(t, s)
			for powerW := 1.0; powerW > 1e-15; powerW *= 0.4 {
				c := BoxConditions{AirC: 20, DissipationW: powerW}
				riseK, _ := b.surface(&c)
				require.InEpsilon(t, slowRiseK(s, c), riseK, 1e-4, "%g W, %g m²", powerW, s.SurfaceAreaM2)
			}
		}
	}
}

// What next calls found is the root, from however far it comes: here from up to a
// twentieth of y on either side, with the convection that belongs there.
func TestFoundIsTheRoot(t *testing.T) {
	r := rand.New(rand.NewPCG(4, 4))
	for i := range 300 {
		spec, c := randomBox(r, i%2 == 0)
		b := mustBox(t, spec)
		riseK := slowRiseK(spec, c)
		if math.Abs(riseK) < 1e-5 {
			continue // is found to a ten-thousandth of itself, see above
		}
		for off := 1e-6; off < 0.05; off *= 1.2 {
			for _, side := range []float64{-off, off} {
				var s boxBalance
				s.prepare(&b, &c)
				s.y = math.Pow(math.Abs(riseK), 1.0/6) * (1 + side)
				hn3, _ := s.natural(s.y)
				s.h = math.Cbrt(hn3 + s.hf3)
				if got, _, found := s.next(); found {
					require.InDelta(t, riseK, got, max(1e-9, 1e-10*math.Abs(riseK)), "%+v in %+v, %g off", spec, c, side)
				}
			}
		}
	}
}
