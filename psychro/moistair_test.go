package psychro

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"github.com/stationphysics/stationphysics/internal/refdata"
)

// airOfRow makes the state of a row whose humidity counts over the phase it names.
func airOfRow(t *testing.T, r *refdata.Row) (s State, over Phase) {
	t.Helper()
	over = phaseOf(r.S("satPhase"))
	given := Humidity(r.F("rhPct"))
	if over == Ice {
		given = HumidityOverIce(r.F("rhPct"))
	}
	s, err := From(r.F("pressureHPa"), Temperature(r.F("tempC")), given)
	require.NoError(t, err)
	return s, over
}

func pointOf(s State, kind string) float64 {
	if kind == "frost" {
		return s.FrostPointC()
	}
	return s.DewPointC()
}

func TestRealGasG8(t *testing.T) {
	refdata.Each(t, "psychro/moist_air_g8", func(r *refdata.Row) {
		s, over := airOfRow(t, r)
		call := fmt.Sprintf("air of %g °C, %g %% over %v, %g hPa", s.TempC(), r.F("rhPct"), over, s.PressureHPa())
		r.Check("esWaterHPa", SaturationPressureHPa(s.TempC()), call)
		if r.Has("esIceHPa") {
			r.Check("esIceHPa", SaturationPressureIceHPa(s.TempC()), call)
		}
		r.Check("enhancementFactor", EnhancementFactor(over, s.TempC(), s.PressureHPa()), call)
		r.Check("mixingRatioGPerKg", s.MixingRatioGPerKg(), call)
		r.Check("pointC", pointOf(s, r.S("pointKind")), call)
		r.Check("waterBulbC", s.WaterBulbC(), call)
		r.Check("iceBulbC", s.IceBulbC(), call)
		r.Check("enthalpyKJPerKg", s.EnthalpyKJPerKg(), call)
		r.Check("volumeM3PerKg", s.SpecificVolumeM3PerKg(), call)
		r.Check("densityKgPerM3", s.DensityKgPerM3(), call)
		r.Check("entropyKJPerKgK", s.EntropyKJPerKgK(), call)
		r.Check("virtualC", s.VirtualTemperatureC(), call)
	})
}

func TestRealGasRP1485(t *testing.T) {
	refdata.Each(t, "psychro/moist_air_rp1485", func(r *refdata.Row) {
		s, over := airOfRow(t, r)
		call := fmt.Sprintf("air of %g °C, %g %% over %v, %g hPa", s.TempC(), r.F("rhPct"), over, s.PressureHPa())
		r.Check("mixingRatioGPerKg", s.MixingRatioGPerKg(), call)
		r.Check("pointC", pointOf(s, r.S("pointKind")), call)
		bulb := s.WaterBulbC()
		if ice := s.IceBulbC(); ice <= 0 {
			bulb = ice
		}
		r.Check("wetBulbC", bulb, call)
		r.Check("enthalpyKJPerKg", s.EnthalpyKJPerKg(), call)
		r.Check("volumeM3PerKg", s.SpecificVolumeM3PerKg(), call)
		r.Check("entropyKJPerKgK", s.EntropyKJPerKgK(), call)
		r.Check("densityKgPerM3", s.DensityKgPerM3(), call)
	})
}

func TestG8Table13(t *testing.T) {
	refdata.Each(t, "psychro/iapws_humid_air", func(r *refdata.Row) {
		a, c, p := r.F("dryAirFrac"), r.F("tempC"), r.F("pressureHPa")
		x := (1 - a) / molarWater / ((1-a)/molarWater + a/molarAir)
		s := stateOf(c, p, x)
		call := fmt.Sprintf("humid air of %g dry air at %g °C and %g hPa", a, c, p)
		r.Check("densityKgPerM3", s.DensityKgPerM3(), call)
		r.Check("enthalpyKJPerKg", a*s.EnthalpyKJPerKg(), call)
		r.Check("entropyKJPerKgK", a*s.EntropyKJPerKgK(), call)
	})
}

func TestRealGasGrid(t *testing.T) {
	refdata.Each(t, "psychro/humid_air_grid", func(r *refdata.Row) {
		c, p, x := r.F("tempC"), r.F("pressureHPa"), r.F("waterFraction")
		s := stateOf(c, p, x)
		a := 1 / (1 + s.MixingRatioGPerKg()/1000)
		call := fmt.Sprintf("air of %g vapour at %g °C and %g hPa", x, c, p)
		r.Check("densityKgPerM3", s.DensityKgPerM3(), call)
		r.Check("enthalpyKJPerKg", a*s.EnthalpyKJPerKg(), call)
		r.Check("entropyKJPerKgK", a*s.EntropyKJPerKgK(), call)
	})
}

func TestEnthalpyAtTheTriplePoint(t *testing.T) {
	phases := map[string]Phase{"ice": Ice, "water": Water}
	refdata.Each(t, "psychro/condensed_enthalpy", func(r *refdata.Row) {
		h, _ := condensedEnthalpy(phases[r.S("phase")], triple, 6.11657)
		r.Check("enthalpyKJPerKg", h/molarWater*1e-3, r.S("phase")+" at the triple point")
	})
}

func TestCIPM2007Density(t *testing.T) {
	// CIPM-2007 holds from 15 to 27 °C and 600 to 1100 hPa and states a standard uncertainty of 2.2e-5; its air
	// has 400 µmol/mol of carbon dioxide, molar mass 28.96546 g/mol, and R 8.314472.
	for c := 15.0; c <= 27; c += 3 {
		for p := 600.0; p <= 1100; p += 100 {
			for rh := 5.0; rh < 100; rh += 15 {
				s, err := New(c, rh, p)
				require.NoError(t, err)
				want := 100 * p * molarAir / (8.314472 * (c + kelvin)) * (1 - s.x*(1-molarWater/molarAir)) / cipm2007(c, p, s.x)
				require.InEpsilon(t, want, s.DensityKgPerM3(), 2*2.2e-5, "%g °C %g %% %g hPa", c, rh, p)
			}
		}
	}
}

func TestSaturatedAirOfASHRAE(t *testing.T) {
	refdata.Each(t, "psychro/ashrae_saturated_air", func(r *refdata.Row) {
		c := r.F("tempC")
		given := Humidity(100)
		if c < 0 {
			given = HumidityOverIce(100)
		}
		s, err := From(1013.25, Temperature(c), given)
		require.NoError(t, err)
		call := fmt.Sprintf("saturated air at %g °C", c)
		r.Check("mixingRatioGPerKg", s.MixingRatioGPerKg(), call)
		r.Check("enthalpyKJPerKg", s.EnthalpyKJPerKg(), call)
	})
}

func TestExamplesOfAirConditioning(t *testing.T) {
	refdata.Each(t, "psychro/ashrae_examples", func(r *refdata.Row) {
		var second Given
		over := phaseOf(r.S("cover"))
		switch {
		case r.Has("rhPct"):
			second = Humidity(r.F("rhPct"))
		case r.Has("mixingRatioGPerKg"):
			second = MixingRatio(r.F("mixingRatioGPerKg"))
		case over == Ice:
			second = IceBulb(r.F("bulbC"))
		default:
			second = WetBulb(r.F("bulbC"))
		}
		s, err := From(r.F("pressureHPa"), Temperature(r.F("tempC")), second)
		require.NoError(t, err)
		call := fmt.Sprintf("line %d", r.Line)
		r.Check("wantMixingRatioGPerKg", s.MixingRatioGPerKg(), call)
		r.Check("wantEnthalpyKJPerKg", s.EnthalpyKJPerKg(), call)
		r.Check("wantDewPointC", s.DewPointC(), call)
		r.Check("wantRhPct", s.RelativeHumidityPct(), call)
		r.Check("wantVolumeM3PerKg", s.SpecificVolumeM3PerKg(), call)
		r.Check("wantDensityKgPerM3", s.DensityKgPerM3(), call)
		r.Check("wantBulbC", s.WetBulbC(), call)
	})
}

func TestMixingRatioOfAVapourPressure(t *testing.T) {
	refdata.Each(t, "psychro/mixing_ratio", func(r *refdata.Row) {
		s, err := From(r.F("pressureHPa"), Temperature(r.F("tempC")), VapourPressure(r.F("vapourPressureHPa")))
		require.NoError(t, err)
		r.Check("mixingRatioGPerKg", s.MixingRatioGPerKg(), "mixing ratio")
	})
}

// TestIdealGasRelations checks that the rows of the ideal-gas relations are what
// they claim, since the package comment quotes what they cost.
func TestIdealGasRelations(t *testing.T) {
	refdata.Each(t, "psychro/moist_air_ideal", func(r *refdata.Row) {
		c, rh, p := r.F("tempC"), r.F("rhPct"), r.F("pressureHPa")
		over := phaseOf(r.S("satPhase"))
		es := HylandWexler.PressureHPa(over, c)
		call := fmt.Sprintf("ideal-gas relations at %g °C, %g %%, %g hPa", c, rh, p)
		r.Check("esHPa", es, call)
		e := 0.01 * rh * es
		w := 0.621945 * e / (p - e)
		r.Check("mixingRatioGPerKg", 1000*w, call)
		r.Check("enthalpyKJPerKg", 1.006*c+w*(2501+1.86*c), call)
		v := 0.287042 * (c + kelvin) * (1 + 1.607858*w) / (p / 10)
		r.Check("volumeM3PerKg", v, call)
		r.Check("densityKgPerM3", (1+w)/v, call)
		dew := HylandWexler.TemperatureC(Water, e)
		if ice := HylandWexler.TemperatureC(Ice, e); ice <= 0 {
			dew = ice
		}
		require.InDelta(t, dew, r.F("pointC"), 0.002, call)
		// ASHRAE eq. 33 and 35 must balance at the wet bulb that is given.
		tw := r.F("wetBulbExactC")
		require.InDelta(t, tw, r.F("wetBulbC"), 0.002, call)
		bulb := Water
		if tw < 0 {
			bulb = Ice
		}
		ws := func() float64 { e := HylandWexler.PressureHPa(bulb, tw); return 0.621945 * e / (p - e) }()
		back := ((2501-2.326*tw)*ws - 1.006*(c-tw)) / (2501 + 1.86*c - 4.186*tw)
		if bulb == Ice {
			back = ((2830-0.24*tw)*ws - 1.006*(c-tw)) / (2830 + 1.86*c - 2.1*tw)
		}
		require.InDelta(t, w, back, 1e-6, call)
	})
}

func TestVirtualTemperature(t *testing.T) {
	refdata.Each(t, "psychro/virtual_temperature", func(r *refdata.Row) {
		s, err := From(1000, Temperature(r.F("tempC")), MixingRatio(r.F("mixingRatioGPerKg")))
		require.NoError(t, err)
		r.Check("virtualC", s.VirtualTemperatureC(), "virtual temperature")
	})
	// By its definition: the density of dry air at that temperature, as ideal gases.
	s, err := New(28, 70, 990)
	require.NoError(t, err)
	rho := 99000 * molarMass(s.x) / (gasConstant * (28 + kelvin))
	require.InEpsilon(t, rho, 99000*molarAir/(gasConstant*(s.VirtualTemperatureC()+kelvin)), 1e-12)
	require.False(t, math.IsNaN(rho))
}
