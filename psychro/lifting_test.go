package psychro

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
)

// bolton21 is the condensation temperature of Bolton (1980) eq. 21, in °C.
func bolton21(t, e float64) float64 {
	return 2840/(3.5*math.Log(t+kelvin)-math.Log(e)-4.805) + 55 - kelvin
}

// romps is the height above the ground of the lifting condensation level by Romps
// (2017) eq. 22, solved for its temperature by Newton instead of Lambert's
// function; with the constants of the paper (from memory).
func romps(tempC, rh float64) (heightM, levelC float64) {
	const ra, rv, cva, cvv, cvl, e0v, trip, g = 287.04, 461.0, 719.0, 1418.0, 4119.0, 2.3740e6, 273.16, 9.81
	t := tempC + kelvin
	pv := rh / 100 * 100 * SaturationPressureHPa(tempC)
	const ptrip = 611.65
	// The level is where e over the saturation pressure is 1.
	qv := func(p float64) float64 { return ra * pv / (rv*p + (ra-rv)*pv) }
	q := qv(1e5)
	rm, cpm := (1-q)*ra+q*rv, (1-q)*(cva+ra)+q*(cvv+rv)
	f := func(tl float64) float64 {
		es := ptrip * math.Pow(tl/trip, (cvv+rv-cvl)/rv) * math.Exp((e0v-(cvv-cvl)*trip)/rv*(1/trip-1/tl))
		return math.Log(es/pv) - cpm/rm*math.Log(tl/t)
	}
	lo, hi := 150.0, t
	for range 100 {
		m := 0.5 * (lo + hi)
		if f(m) > 0 {
			hi = m
		} else {
			lo = m
		}
	}
	return cpm / g * (t - lo), lo - kelvin
}

func TestCondensationLevelAgainstBoltonAndRomps(t *testing.T) {
	for c := -20.0; c <= 35; c += 5 {
		for rh := 10.0; rh <= 100; rh += 15 {
			s := mustNew(t, c, rh, 1000)
			l := s.CondensationLevel()
			// Bolton states 0.1 K for -35..35 °C; the formula is compared at
			// temperatures of the level in that range.
			if l.TempC < -35 {
				continue
			}
			require.InDelta(t, bolton21(c, s.VapourPressureHPa()), l.TempC, 0.1, "%g °C %g %%", c, rh)
			h, tl := romps(c, rh)
			require.InDelta(t, tl, l.TempC, 0.25, "%g °C %g %%", c, rh)
			// Romps states 5 m for his constants; his gravity is 0.03 % larger.
			require.InDelta(t, h, l.RiseM, 5+0.005*h, "%g °C %g %%", c, rh)
		}
	}
}

func TestCondensationLevelKeepsEntropyAndMoisture(t *testing.T) {
	for _, a := range sampleAir {
		s := mustNew(t, a[0], a[1], a[2])
		l := s.CondensationLevel()
		require.InDelta(t, molarEntropy(s.t, s.x, s.p), molarEntropy(l.TempC, s.x, l.PressureHPa), 1e-9, "%v", a)
		require.InEpsilon(t, s.x, saturatedFraction(Water, l.TempC, l.PressureHPa), 1e-10, "%v", a)
		require.LessOrEqual(t, l.PressureHPa, s.p)
		require.GreaterOrEqual(t, l.RiseM, 0.0)
	}
	s := mustNew(t, 15, 100, 1000)
	l := s.CondensationLevel()
	require.InDelta(t, 15, l.TempC, 1e-9)
	require.InDelta(t, 0, l.RiseM, 1e-6)
	wet, err := Keep.New(15, 102, 1000)
	require.NoError(t, err)
	require.Negative(t, wet.CondensationLevel().RiseM)
	for _, dry := range []State{mustNew(t, 15, 0, 1000), mustNew(t, -60, 1e-9, 1000)} {
		l := dry.CondensationLevel()
		require.True(t, math.IsNaN(l.TempC) && math.IsNaN(l.PressureHPa) && math.IsNaN(l.RiseM))
	}
	// The dry adiabat is 9.76 K/km: 1 kJ/kg for 102 m.
	s = mustNew(t, 25, 20, 1000)
	l = s.CondensationLevel()
	require.InDelta(t, 9.76, (25-l.TempC)/l.RiseM*1000, 0.06)
}

func TestPotentialTemperatures(t *testing.T) {
	// By hand: 293.15 K (1000/850)^0.2854 = 307.07 K.
	s := mustNew(t, 20, 40, 850)
	require.InDelta(t, 293.15*math.Exp(0.2854*math.Log(1000.0/850)), s.PotentialTemperatureC()+kelvin, 1e-9)
	require.InDelta(t, 20, mustNew(t, 20, 40, 1000).PotentialTemperatureC(), 1e-9)
	// Equation 43 by hand for 20 °C, 10 g/kg, 1000 hPa: e = 15.823, TL = 286.15 -> exp((3.376/TL - 0.00254) 10 (1.0081)).
	s, err := From(1000, Temperature(20), MixingRatio(10))
	require.NoError(t, err)
	tl := bolton21(20, s.VapourPressureHPa()) + kelvin
	require.InDelta(t, 293.15*math.Exp((3.376/tl-0.00254)*10*1.0081)-kelvin, s.EquivalentPotentialTemperatureC(), 1e-9)
	require.InDelta(t, 48.6, s.EquivalentPotentialTemperatureC(), 0.3)
	require.Equal(t, mustNew(t, 20, 0, 900).PotentialTemperatureC(), mustNew(t, 20, 0, 900).EquivalentPotentialTemperatureC())
	// It is kept in dry lifting to the condensation level, within Bolton's 0.3 K.
	l := s.CondensationLevel()
	up, err := New(l.TempC, 100, l.PressureHPa)
	require.NoError(t, err)
	require.InDelta(t, s.EquivalentPotentialTemperatureC(), up.EquivalentPotentialTemperatureC(), 0.1)
}
