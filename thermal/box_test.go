package thermal

import (
	"errors"
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"github.com/stationphysics/stationphysics"
	"github.com/stationphysics/stationphysics/internal/limit/limittest"
)

// greyBox is the electronics box of a small station; its numbers are invented.
var greyBox = SealedBoxSpec{Absorptance: 0.6, Emissivity: 0.9, SurfaceAreaM2: 0.2, SunlitAreaM2: 0.05, WallWPerM2K: 6.9, CapacityJPerK: 800}

func mustBox(t testing.TB, s SealedBoxSpec) SealedBox {
	t.Helper()
	b, err := NewSealedBox(s)
	require.NoError(t, err)
	return b
}

func TestBoxRefusesBadDescriptions(t *testing.T) {
	for quantity, change := range map[string]func(s *SealedBoxSpec){
		"solar absorptance": func(s *SealedBoxSpec) { s.Absorptance = 60 },
		"emissivity":        func(s *SealedBoxSpec) { s.Emissivity = -0.1 },
		"surface area":      func(s *SealedBoxSpec) { s.SurfaceAreaM2 = 2000 },
		"sunlit area":       func(s *SealedBoxSpec) { s.SunlitAreaM2 = 0 },
		"wall conductance":  func(s *SealedBoxSpec) { s.WallWPerM2K = 0 },
		"heat capacity":     func(s *SealedBoxSpec) { s.CapacityJPerK = nan },
	} {
		s := greyBox
		change(&s)
		_, err := NewSealedBox(s)
		limittest.RefusesRange(t, err, quantity)
	}
	s := greyBox
	s.Absorptance = 60
	_, err := NewSealedBox(s)
	require.ErrorContains(t, err, "percent?")
	s = greyBox
	s.SunlitAreaM2 = 0.1001
	_, err = NewSealedBox(s)
	var ce *stationphysics.ConflictError
	require.True(t, errors.As(err, &ce))
	s.SunlitAreaM2 = 0.1
	_, err = NewSealedBox(s)
	require.NoError(t, err)
}

func TestBoxConditionsOutOfRange(t *testing.T) {
	b := mustBox(t, greyBox)
	for quantity, c := range map[string]BoxConditions{
		"air temperature": {AirC: 293.15},
		"sunlight":        {SunWPerM2: 54000},
		"wind speed":      {WindMPerS: -1},
		"dissipation":     {DissipationW: nan},
		"radiant deficit": {RadiantDeficitK: 61},
	} {
		limittest.RefusesRange(t, c.Check(), quantity)
		requireNaN(t, b.RiseK(c))
		requireNaN(t, b.InnerC(c))
		requireNaN(t, b.SurfaceC(c))
		requireNaN(t, b.NextInnerC(20, c, 60))
	}
	require.NoError(t, BoxConditions{}.Check())
	requireNaN(t, b.NextInnerC(500, BoxConditions{}, 60))
	requireNaN(t, b.NextInnerC(20, BoxConditions{}, -60))
	requireNaN(t, SealedBox{}.RiseK(BoxConditions{AirC: 20}))
}

// TestBoxBalance puts the answer back into the balance it solves, with the
// coefficients computed by the other functions of the package.
func TestBoxBalance(t *testing.T) {
	b := mustBox(t, greyBox)
	side := math.Sqrt(0.2 / 6)
	for _, c := range []BoxConditions{
		{AirC: 33, SunWPerM2: 950, WindMPerS: 1, DissipationW: 0.3},
		{AirC: 33, SunWPerM2: 950},
		{AirC: -25, RadiantDeficitK: 20},
		{AirC: -25, RadiantDeficitK: 20, WindMPerS: 4, DissipationW: 0.1},
		{AirC: 20},
		{AirC: 46, SunWPerM2: 1100, DissipationW: 1000},
		{AirC: 5, SunWPerM2: 30, WindMPerS: 40},
	} {
		ts := b.SurfaceC(c)
		hn := AirAt(c.AirC, 1013.25).VerticalPlateWPerM2K(side, ts-c.AirC)
		hf := 8.6 * math.Pow(c.WindMPerS, 0.6) / math.Pow(side, 0.4)
		h := math.Cbrt(hn*hn*hn + hf*hf*hf)
		skyC := c.AirC - c.RadiantDeficitK
		out := 0.2 * (h*(ts-c.AirC) + RadiationWPerM2K(0.9, ts, skyC)*(ts-skyC))
		in := 0.6*0.05*c.SunWPerM2 + c.DissipationW
		require.InDelta(t, in, out, 1e-6*(1+in), "%+v", c)
		require.InDelta(t, ts+c.DissipationW/(6.9*0.2), b.InnerC(c), 1e-12)
		require.InDelta(t, b.InnerC(c)-c.AirC, b.RiseK(c), 1e-12)
	}
	require.Zero(t, b.RiseK(BoxConditions{AirC: 20}), "nothing heats it, nothing cools it")
}

func TestBoxMonotone(t *testing.T) {
	b := mustBox(t, greyBox)
	base := BoxConditions{AirC: 25, SunWPerM2: 500, WindMPerS: 1.5, DissipationW: 1, RadiantDeficitK: 8}
	up := map[string]func(c *BoxConditions, x float64){
		"sun":  func(c *BoxConditions, x float64) { c.SunWPerM2 = 1600 * x },
		"heat": func(c *BoxConditions, x float64) { c.DissipationW = 100 * x },
		"calm": func(c *BoxConditions, x float64) { c.WindMPerS = 20 * (1 - x) },
		"warm sky": func(c *BoxConditions, x float64) {
			c.RadiantDeficitK = 60 * (1 - x)
		},
	}
	for name, set := range up {
		last := math.Inf(-1)
		for k := range 101 {
			c := base
			set(&c, float64(k)/100)
			rise := b.RiseK(c)
			require.Greater(t, rise, last, "%s at %d", name, k)
			last = rise
		}
	}
	white := greyBox
	white.Absorptance = 0.26
	require.Less(t, mustBox(t, white).RiseK(base), b.RiseK(base))
}

func TestBoxStep(t *testing.T) {
	b := mustBox(t, greyBox)
	c := BoxConditions{AirC: 30, SunWPerM2: 800, WindMPerS: 1, DissipationW: 0.5}
	require.Equal(t, 21.0, b.NextInnerC(21, c, 0))
	require.InDelta(t, b.InnerC(c), b.NextInnerC(21, c, 1e7), 1e-9)
	half := b.NextInnerC(b.NextInnerC(21, c, 450), c, 450)
	require.InDelta(t, b.NextInnerC(21, c, 900), half, 1e-9)
	// The time constant is the capacity behind wall and surface: at 63 % of
	// the way after C·(1/(U·A) + 1/slope), with the slope by differences.
	more := c
	more.DissipationW += 1e-4
	slope := 1e-4 / (b.SurfaceC(more) - b.SurfaceC(c))
	tau := 800 * (1/(6.9*0.2) + 1/slope)
	end := b.InnerC(c)
	require.InDelta(t, end+(21-end)*math.Exp(-1), b.NextInnerC(21, c, tau), 1e-4)

	quick := greyBox
	quick.CapacityJPerK = 0
	require.InDelta(t, mustBox(t, quick).InnerC(c), mustBox(t, quick).NextInnerC(-20, c, 0), 1e-12) // one rounding
}

func TestBoxDoesNotAllocate(t *testing.T) {
	b := mustBox(t, greyBox)
	c := BoxConditions{AirC: 30, SunWPerM2: 800, WindMPerS: 1, DissipationW: 0.5}
	require.Zero(t, testing.AllocsPerRun(100, func() {
		c.AirC = b.NextInnerC(20, c, 600) / 2
		_ = b.RiseK(c)
	}))
}

func FuzzBox(f *testing.F) {
	f.Add(33.0, 950.0, 1.0, 0.3, 0.0)
	f.Add(-90.0, 0.0, 0.0, 0.0, 60.0)
	f.Add(70.0, 1600.0, 0.0, 1e4, 0.0)
	f.Add(20.0, 0.0, 1e-300, 1e-300, 1e-300)
	b, err := NewSealedBox(greyBox)
	if err != nil {
		f.Fatal(err)
	}
	f.Fuzz(func(t *testing.T, air, sun, wind, heat, deficit float64) {
		c := BoxConditions{air, sun, wind, heat, deficit}
		rise := b.RiseK(c)
		if math.IsNaN(rise) != (c.Check() != nil) {
			t.Fatalf("RiseK(%+v) = %g", c, rise)
		}
		if math.IsNaN(rise) {
			return
		}
		ts := b.SurfaceC(c)
		hn := AirAt(air, 1013.25).VerticalPlateWPerM2K(math.Sqrt(0.2/6), math.Max(-500, math.Min(ts-air, 500)))
		hf := 8.6 * math.Pow(wind, 0.6) / math.Pow(math.Sqrt(0.2/6), 0.4)
		sky := air - deficit
		if ts-air < 500 && ts < 1000 && sky > -150 {
			in := 0.6*0.05*sun + heat
			out := 0.2 * (math.Cbrt(hn*hn*hn+hf*hf*hf)*(ts-air) + RadiationWPerM2K(0.9, ts, sky)*(ts-sky))
			if math.Abs(in-out) > 1e-6*(1+in) {
				t.Fatalf("%+v: %g W in, %g W out", c, in, out)
			}
		}
		if rise < -deficit-1e-6 {
			t.Fatalf("RiseK(%+v) = %g: colder than all around it", c, rise)
		}
	})
}

func TestSurfaceBelowIsSurfaceC(t *testing.T) {
	x := mustBox(t, greyBox)
	for _, wind := range []float64{0, 0.3, 1, 4, 20} {
		for _, sun := range []float64{0, 40, 600} {
			for _, deficit := range []float64{0, 4, 14} {
				c := BoxConditions{AirC: 3, SunWPerM2: sun, WindMPerS: wind, DissipationW: 0.4, RadiantDeficitK: deficit}
				at := x.SurfaceC(c)
				for _, off := range []float64{-10, -1, -1e-3, 1e-3, 1, 10} {
					require.Equal(t, off > 0, x.SurfaceBelow(c, at+off), "%+v, %g K from %g °C", c, off, at)
				}
				require.False(t, x.SurfaceBelow(c, math.NaN()))
			}
		}
	}
	require.False(t, x.SurfaceBelow(BoxConditions{AirC: 300}, 400))
	require.False(t, SealedBox{}.SurfaceBelow(BoxConditions{}, 50))
}
