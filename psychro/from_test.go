package psychro

import (
	"errors"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"github.com/stationphysics/stationphysics"
)

// givens returns every quantity that a state has, as From takes it.
func givens(s State) map[string]Given {
	m := map[string]Given{
		"temperature": Temperature(s.TempC()), "humidity": Humidity(s.RelativeHumidityPct()), "dew point": DewPoint(s.DewPointC()),
		"water bulb": WetBulb(s.WaterBulbC()), "vapour pressure": VapourPressure(s.VapourPressureHPa()), "mixing ratio": MixingRatio(s.MixingRatioGPerKg()),
	}
	if s.TempC() <= triple {
		m["humidity over ice"] = HumidityOverIce(s.HumidityOverIcePct())
	}
	if v := s.FrostPointC(); v == v {
		m["frost point"] = FrostPoint(v)
	}
	if v := s.IceBulbC(); v == v {
		m["ice bulb"] = IceBulb(v)
	}
	return m
}

func TestFromAnyTwo(t *testing.T) {
	pairs := map[string]int{}
	for _, a := range sampleAir {
		s, err := New(a[0], a[1], a[2])
		require.NoError(t, err)
		m := givens(s)
		for na, ga := range m {
			for nb, gb := range m {
				if na >= nb {
					continue
				}
				got, err := From(a[2], ga, gb)
				same := ga.kind.content() && gb.kind.content() || ga.kind.bulb() && gb.kind.bulb()
				if same {
					var ce *stationphysics.ConflictError
					require.True(t, errors.As(err, &ce), "%s and %s say the same", na, nb)
					require.Contains(t, err.Error(), "say enough")
					continue
				}
				require.NoError(t, err, "%s and %s of %v", na, nb, a)
				pairs[na+" and "+nb]++
				// A pair may hardly tell the air: near saturation a bulb says nothing beside
				// the humidity, and over water against over ice below 0 °C moves
				// by 1 % per kelvin. The reproduced quantities must agree all the same.
				back := givens(got)
				for _, n := range []string{na, nb} {
					require.InDelta(t, m[n].value, back[n].value, 2e-9*(1+math.Abs(m[n].value)), "%s from %s and %s of %v", n, na, nb, a)
				}
				if na == "temperature" || nb == "temperature" {
					require.InEpsilon(t, s.x, got.x, 5e-8, "moisture from %s and %s of %v", na, nb, a)
				}
			}
		}
	}
	require.Len(t, pairs, 9*8/2-6-1, "%v", pairs)
	// The order of the two does not matter.
	u, err := From(1000, DewPoint(9), Temperature(20))
	require.NoError(t, err)
	v, err := From(1000, Temperature(20), DewPoint(9))
	require.NoError(t, err)
	require.Equal(t, u, v)
}

func TestFromRefuses(t *testing.T) {
	for _, c := range []struct {
		p    float64
		a, b Given
		says string
	}{
		{1000, Temperature(9.5), DewPoint(12), "air temperature 9.5 °C and dew point 12 °C contradict each other: the dew point cannot exceed the air temperature"},
		{1000, Temperature(9.5), WetBulb(12), "the wet bulb cannot exceed the air temperature"},
		{1000, Temperature(20), VapourPressure(30), "air temperature 20 °C and vapour pressure 30 hPa contradict each other: the air would be supersaturated over water"},
		{1000, Temperature(20), VapourPressure(1166), "vapour pressure 1166 hPa is outside 0..1000 hPa: pascals?"},
		{1000, Temperature(20), MixingRatio(-1), "mixing ratio -1 g/kg is outside 0..5000 g/kg"},
		{1000, Temperature(20), WetBulb(2), "completely dry air would give a higher wet bulb"},
		{1000, Temperature(20), WetBulb(290), "wet-bulb temperature 290 °C is outside -100..100 °C: kelvins?"},
		{1000, Temperature(20), IceBulb(1), "ice-bulb temperature 1 °C is outside -100..0.01 °C"},
		{1000, Temperature(20), FrostPoint(1), "frost point 1 °C is outside -150..0.01 °C"},
		{1000, Temperature(20), DewPoint(283), "dew point 283 °C is outside -150..100 °C: kelvins?"},
		{1000, Temperature(-5), HumidityOverIce(301), "relative humidity over ice 301 % is outside 0..300 %"},
		{1000, Temperature(20), HumidityOverIce(50), "there is no ice above 0.01 °C"},
		{1000, VapourPressure(20), HumidityOverIce(90), "there is no ice above 0.01 °C"},
		{1000, Temperature(20), Temperature(20), "they do not say enough"},
		{1000, Temperature(20), Humidity(math.NaN()), "relative humidity over water NaN %"},
		{101325, Temperature(20), Humidity(50), "pascals?"},
		{1000, VapourPressure(950), Humidity(50), "nine tenths"},
		{1000, VapourPressure(950), WetBulb(50), "nine tenths"},
		{600, Temperature(99), Humidity(90), "at most nine tenths of the pressure can be vapour"},
		{600, Temperature(99), WetBulb(86), "nine tenths"},
		{600, VapourPressure(20), WetBulb(86), "nine tenths"},
		{1000, VapourPressure(20), Humidity(0), "no air temperature"},
		{1000, VapourPressure(900), Humidity(1), "no air temperature"},
		{1000, VapourPressure(1e-9), Humidity(90), "no air temperature"},
		{1000, VapourPressure(0.001), WetBulb(60), "no air temperature"},
		{1000, Humidity(0), HumidityOverIce(0), "do not say enough"},
		{1000, Humidity(20), HumidityOverIce(90), "no air temperature"},
		{1000, Humidity(1), HumidityOverIce(0.9), "no air temperature"},
		{1000, Humidity(0.9), HumidityOverIce(0), "do not say enough"},
		{1000, Humidity(1), WetBulb(80), "no air temperature"},
		{1000, HumidityOverIce(50), WetBulb(40), "no air temperature"},
		{1000, Humidity(101), Temperature(20), "pegged or supersaturated"},
		{1000, HumidityOverIce(140), Temperature(-5), "the air would be supersaturated over water"},
	} {
		s, err := From(c.p, c.a, c.b)
		require.ErrorContains(t, err, c.says, "%v", c)
		require.Equal(t, State{}, s)
		var re *stationphysics.RangeError
		var ce *stationphysics.ConflictError
		require.True(t, errors.As(err, &re) || errors.As(err, &ce))
	}
}

func TestExcessIsTheCallersChoice(t *testing.T) {
	_, err := Refuse.New(8, 100.3, 950)
	require.ErrorContains(t, err, "see Excess")
	s, err := Saturate.New(8, 100.3, 950)
	require.NoError(t, err)
	require.Equal(t, 100.0, s.RelativeHumidityPct())
	require.InDelta(t, 8, s.DewPointC(), 1e-9)
	s, err = Keep.New(8, 100.3, 950)
	require.NoError(t, err)
	require.InDelta(t, 100.3, s.RelativeHumidityPct(), 1e-10)
	require.Greater(t, s.DewPointC(), 8.04)
	require.Greater(t, s.WaterBulbC(), 8.0)
	require.Less(t, s.VapourDeficitHPa(), 0.0)
	for _, e := range []Excess{Saturate, Keep} {
		_, err = e.New(8, 120.1, 950)
		require.EqualError(t, err, "relative humidity over water 120.1 % is outside 0..120 %")
		_, err = e.From(950, Temperature(8), DewPoint(12))
		require.ErrorContains(t, err, "supersaturated beyond 120 % over water")
		u, err := e.New(8, 80, 950)
		require.NoError(t, err)
		v, err := New(8, 80, 950)
		require.NoError(t, err)
		require.Equal(t, v, u)
	}
	s, err = Saturate.From(950, Temperature(8), DewPoint(8.5))
	require.NoError(t, err)
	require.Equal(t, 100.0, s.RelativeHumidityPct())
	s, err = Keep.From(950, Temperature(8), DewPoint(8.5))
	require.NoError(t, err)
	require.InDelta(t, 8.5, s.DewPointC(), 1e-9)
	// A dew point equal to the temperature is saturation, not an excess.
	s, err = From(950, Temperature(8), DewPoint(8))
	require.NoError(t, err)
	require.Equal(t, 100.0, s.RelativeHumidityPct())
	s, err = From(950, Temperature(8), WetBulb(8))
	require.NoError(t, err)
	require.InDelta(t, 100.0, s.RelativeHumidityPct(), 1e-7)
	// Above ice, below water: no excess.
	s, err = From(950, Temperature(-8.4), HumidityOverIce(104))
	require.NoError(t, err)
	require.InDelta(t, 104, s.HumidityOverIcePct(), 1e-9)
	require.Less(t, s.RelativeHumidityPct(), 100.0)
	require.Greater(t, s.FrostPointC(), -8.4)
	require.Greater(t, s.IceBulbC(), -8.4)
	require.Less(t, s.DewPointC(), -8.4)
}

func TestPsychrometer(t *testing.T) {
	// By hand: e = f ew(tw) - A p (t - tw).
	for _, c := range []struct {
		r Reading
		a float64
	}{
		{Reading{TempC: 22, BulbC: 15, PressureHPa: 950}, 6.53e-4 * (1 + 0.000944*15)},
		{Reading{TempC: 22, BulbC: 15, PressureHPa: 950, Ventilation: Screen}, 7.99e-4},
		{Reading{TempC: -2, BulbC: -4, PressureHPa: 950, Cover: Ice}, 5.75e-4},
		{Reading{TempC: -2, BulbC: -4, PressureHPa: 950, Cover: Ice, Ventilation: Screen}, 7.20e-4},
		{Reading{TempC: -2, BulbC: -4, PressureHPa: 950}, 6.53e-4 * (1 - 0.000944*4)},
	} {
		s, err := FromPsychrometer(c.r)
		require.NoError(t, err)
		es := Reference.PressureHPa(c.r.Cover, c.r.BulbC) * EnhancementFactor(c.r.Cover, c.r.BulbC, 950)
		require.InDelta(t, es-c.a*950*(c.r.TempC-c.r.BulbC), s.VapourPressureHPa(), 1e-9)
		require.Equal(t, c.r.TempC, s.TempC())
	}
	// The aspirated coefficient comes close to the thermodynamic wet bulb; a screen does not.
	s, err := FromPsychrometer(Reading{TempC: 22, BulbC: 15, PressureHPa: 1000})
	require.NoError(t, err)
	require.InDelta(t, 15, s.WetBulbC(), 0.1)
	s, err = FromPsychrometer(Reading{TempC: 22, BulbC: 15, PressureHPa: 1000, Ventilation: Screen})
	require.NoError(t, err)
	require.Less(t, s.WetBulbC(), 14.5)

	for _, c := range []struct {
		r    Reading
		says string
	}{
		{Reading{TempC: 22, BulbC: 2, PressureHPa: 1000}, "completely dry air would give a higher wet bulb"},
		{Reading{TempC: 22, BulbC: 23, PressureHPa: 1000}, "the wet bulb cannot exceed the air temperature"},
		{Reading{TempC: 295, BulbC: 15, PressureHPa: 1000}, "kelvins?"},
		{Reading{TempC: 22, BulbC: 15, PressureHPa: 100000}, "pascals?"},
		{Reading{TempC: 22, BulbC: 1, PressureHPa: 1000, Cover: Ice}, "ice-bulb temperature 1 °C"},
	} {
		_, err := FromPsychrometer(c.r)
		require.ErrorContains(t, err, c.says)
	}
	s, err = Saturate.FromPsychrometer(Reading{TempC: 22, BulbC: 22.1, PressureHPa: 1000})
	require.NoError(t, err)
	require.Equal(t, 100.0, s.RelativeHumidityPct())
	require.True(t, strings.HasPrefix(Ice.String(), "ice") && Water.String() == "water")
}

func TestRangesOfTheGiven(t *testing.T) {
	for name, c := range map[string]struct {
		f      func(float64) Given
		lo, hi float64
	}{
		"temperature": {Temperature, -100, 100}, "humidity": {Humidity, 0, 100}, "over ice": {HumidityOverIce, 0, 300},
		"dew point": {DewPoint, -150, 100}, "frost point": {FrostPoint, -150, 0.01}, "wet bulb": {WetBulb, -100, 100},
		"ice bulb": {IceBulb, -100, 0.01}, "vapour pressure": {VapourPressure, 0, 1000}, "mixing ratio": {MixingRatio, 0, 5000},
	} {
		require.NoError(t, Refuse.check(c.f(c.lo)), name)
		require.NoError(t, Refuse.check(c.f(c.hi)), name)
		require.Error(t, Refuse.check(c.f(math.Nextafter(c.lo, -1e9))), name)
		require.Error(t, Refuse.check(c.f(math.Nextafter(c.hi, 1e9))), name)
	}
	for v, slip := range map[float64]string{173: "kelvins", 374: "kelvins", 120: "degrees Fahrenheit"} {
		require.ErrorContains(t, airTemperature.Check(v), slip)
	}
	for v, slip := range map[float64]string{30000: "pascals", 110000: "pascals", 110: "kilopascals", 8: "inches of mercury", 30.12: "inches of mercury", 1.1: "bars"} {
		require.ErrorContains(t, stationPressure.Check(v), slip)
	}
	for _, v := range []float64{29999, 110001, 7.9, 1.2, 0.29} {
		err := stationPressure.Check(v)
		require.Error(t, err)
		require.NotContains(t, err.Error(), "?", "%v looks like nothing", v)
	}
}

// A number that is no Excess refuses, as the zero value does.
func TestUnknownExcessRefuses(t *testing.T) {
	_, err := (Keep + 1).New(20, 103, 1000)
	require.Error(t, err)
	_, err = (Keep + 1).FromPsychrometer(Reading{TempC: 20, BulbC: 20.3, PressureHPa: 1000})
	require.Error(t, err)
	_, err = Keep.FromPsychrometer(Reading{TempC: 20, BulbC: 20.3, PressureHPa: 1000})
	require.NoError(t, err)
}
