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
