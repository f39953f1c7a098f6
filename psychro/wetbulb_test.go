package psychro

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
)

// drawAir draws air over the whole range, a third of it very dry.
func drawAir(r *rand.Rand) (tempC, rhPct, pressureHPa float64) {
	tempC, rhPct, pressureHPa = -100+200*r.Float64(), 100*r.Float64(), 300+800*r.Float64()
	if r.IntN(3) == 0 {
		rhPct *= math.Pow(rhPct/100, 2)
	}
	return tempC, rhPct, pressureHPa
}

func TestBulbsAgreeWithHalving(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	n := 4000
	if testing.Short() {
		n = 400
	}
	for range n {
		c, rh, p := drawAir(r)
		s, err := New(c, rh, p)
		if err != nil {
			continue
		}
		for _, over := range []Phase{Water, Ice} {
			b := s.balance(over)
			if over == Ice && c > 40 {
				continue
			}
			if over == Ice && b.bracketed() > 0.5 {
				continue // a formal root beyond the end of the curve
			}
			require.InDelta(t, b.bracketed(), b.solve(b.start()), 1e-8, "%v %v %v over %v", c, rh, p, over)
		}
	}
}

func TestBulbsSatisfyTheBalance(t *testing.T) {
	// h(tw, ws) = h(t, w) + (ws - w) hw(tw), from the public results alone.
	for _, a := range sampleAir {
		s := mustNew(t, a[0], a[1], a[2])
		for _, over := range []Phase{Water, Ice} {
			tw := s.WaterBulbC()
			given := Humidity(100)
			if over == Ice {
				tw, given = s.IceBulbC(), HumidityOverIce(100)
			}
			if math.IsNaN(tw) {
				continue
			}
			sat, err := Keep.From(a[2], Temperature(tw), given)
			require.NoError(t, err)
			hw, _ := condensedEnthalpy(over, tw, a[2])
			added := (sat.MixingRatioGPerKg() - s.MixingRatioGPerKg()) / 1000
			require.InDelta(t, sat.EnthalpyKJPerKg(), s.EnthalpyKJPerKg()+added*hw/molarWater/1000, 2e-8*(1+math.Abs(s.EnthalpyKJPerKg())), "%v over %v", a, over)
		}
	}
}

func TestNearFreezingTheCoverIsTold(t *testing.T) {
	// Both balances hold: 10 °C, 20 %, 600 hPa (moist_air_g8.csv has 0.211 and -0.329 °C).
	s := mustNew(t, 10, 20, 600)
	require.Positive(t, s.WaterBulbC())
	require.Negative(t, s.IceBulbC())
	require.Equal(t, s.WaterBulbC(), s.WetBulbC())
	require.Equal(t, Water, s.WetBulbCover())
	// Drier, only the ice holds; moister, only the water.
	s = mustNew(t, 10, 5, 600)
	require.Equal(t, Ice, s.WetBulbCover())
	require.Equal(t, s.IceBulbC(), s.WetBulbC())
	require.Negative(t, s.WaterBulbC(), "supercooled")
	s = mustNew(t, 10, 80, 600)
	require.Equal(t, Water, s.WetBulbCover())
	require.True(t, math.IsNaN(s.IceBulbC()))
}

func TestHardCases(t *testing.T) {
	// 600 hPa, 1 % and -40 °C; the corners of the range; completely dry air.
	for _, a := range [][3]float64{{-40, 1, 600}, {-100, 0, 300}, {-100, 100, 1100}, {100, 0, 300}, {100, 5, 300}, {100, 0, 1100}, {100, 80, 1100}, {60, 0, 600}, {0, 50, 1000}, {0.01, 100, 1000}, {-0.01, 99.9, 700}} {
		s := mustNew(t, a[0], a[1], a[2])
		for _, tw := range []float64{s.WetBulbC(), s.WaterBulbC()} {
			require.False(t, math.IsNaN(tw), "%v", a)
			require.Greater(t, tw, -101.0, "%v", a)
			require.Less(t, tw, a[0]+2, "%v", a)
		}
	}
}

func TestSlowWayIsTakenWhereTheFastOneFails(t *testing.T) {
	// A start that the fitted surface puts far off must still end at the root.
	b := mustNew(t, 95, 60, 1100).balance(Water)
	require.InDelta(t, b.bracketed(), mustNew(t, 95, 60, 1100).WaterBulbC(), 1e-8)
	require.True(t, math.IsNaN(State{}.WaterBulbC()))
	require.True(t, math.IsNaN(State{}.IceBulbC()))
}

// TestApproach holds the derivatives that steer the first step to what the bound
// of the following ones relies on.
func TestApproach(t *testing.T) {
	for _, c := range []struct {
		t, rh, p       float64
		over           Phase
		slope, bending float64 // relative errors found, rounded up
	}{
		{20, 50, 1000, Water, 1e-5, 0.004}, {-20, 50, 1000, Water, 2e-5, 0.005}, {0, 20, 600, Water, 1e-5, 0.006},
		{-20, 50, 1000, Ice, 2e-5, 0.05}, {5, 10, 700, Ice, 2e-5, 0.05},
		{50, 30, 1000, Water, 2e-4, 0.003}, {60, 90, 1000, Water, 2e-3, 0.02}, {90, 20, 1000, Water, 2e-3, 0.02},
	} {
		s := mustNew(t, c.t, c.rh, c.p)
		b := s.balance(c.over)
		root := b.solve(b.start())
		at := func(tw float64) approach {
			y, y1 := lnSat(c.over, tw)
			return b.approach(tw, math.Exp(y), y1)
		}
		exact := func(tw float64) float64 { y, _ := lnSat(c.over, tw); return b.residual(tw, math.Exp(y)) }
		a := at(root)
		slope := difference(exact, root, 0.02)
		require.InDelta(t, 0, a.g/slope, 2e-4, "%v: the approach has its root elsewhere", c)
		require.InEpsilon(t, slope, a.g1, c.slope, "%v", c)
		bend := difference(func(tw float64) float64 { return at(tw).g1 }, root, 0.02)
		require.InEpsilon(t, bend, a.g2, c.bending, "%v", c)
		require.InEpsilon(t, s.saturatedAtBulb(c.over, root), a.x, 1e-4, "%v", c)
	}
}

func (s State) saturatedAtBulb(over Phase, tw float64) float64 {
	return saturatedFraction(over, tw, s.p)
}
