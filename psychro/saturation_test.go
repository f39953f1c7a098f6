package psychro

import (
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"github.com/stationphysics/stationphysics"
	"github.com/stationphysics/stationphysics/internal/refdata"
)

func phaseOf(s string) Phase {
	if s == "ice" {
		return Ice
	}
	return Water
}

func TestSaturationPressureByFormula(t *testing.T) {
	refdata.Each(t, "psychro/saturation_pressure", func(r *refdata.Row) {
		c := r.F("tempC")
		call := fmt.Sprintf("saturation pressure at %g °C", c)
		r.Check("iapws95HPa", SaturationPressureHPa(c), call)
		r.Check("iapwsAuxHPa", iapwsSR1(c), call)
		r.Check("iceR14HPa", SaturationPressureIceHPa(c), call)
		r.Check("murphyKoopHPa", murphyKoop(c), call)
		r.Check("hylandWexlerWaterHPa", HylandWexler.PressureHPa(Water, c), call)
		r.Check("hylandWexlerIceHPa", HylandWexler.PressureHPa(Ice, c), call)
		over := Water
		if c <= 0 {
			over = Ice
		}
		r.Check("hylandWexlerSplitHPa", HylandWexler.PressureHPa(over, c), call)
		wmo := WMO8.PressureHPa(Water, c)
		if c < -45 {
			require.True(t, math.IsNaN(wmo))
			y, _ := WMO8.ln(Water, c)
			wmo = math.Exp(y)
		}
		r.Check("wmoWaterHPa", wmo, call)
		r.Check("wmoIceHPa", WMO8.PressureHPa(Ice, c), call)
	})
}

func TestSaturationPressureIsIAPWS95(t *testing.T) {
	refdata.Each(t, "psychro/saturation_iapws95", func(r *refdata.Row) {
		c := r.F("tempC")
		r.Check("pressureHPa", SaturationPressureHPa(c), fmt.Sprintf("SaturationPressureHPa(%g)", c))
	})
}

func TestIAPWSCheckValues(t *testing.T) {
	refdata.Each(t, "psychro/iapws", func(r *refdata.Row) {
		over, c, p := phaseOf(r.S("phase")), r.F("tempC"), r.F("pressureHPa")
		got := Reference.PressureHPa(over, c)
		if r.S("defined") == "no" {
			require.True(t, math.IsNaN(got), "line %d", r.Line)
			require.True(t, math.IsNaN(Reference.TemperatureC(over, p)), "line %d", r.Line)
			require.Error(t, Reference.Check(over, c))
			return
		}
		r.Check("pressureHPa", got, fmt.Sprintf("Reference.PressureHPa(%v, %g)", over, c))
	})
}

func TestASHRAESaturationTable(t *testing.T) {
	refdata.Each(t, "psychro/ashrae_saturation", func(r *refdata.Row) {
		c := r.F("tempC")
		over := Water
		if c < 0 {
			over = Ice
		}
		r.Check("pressureHPa", HylandWexler.PressureHPa(over, c), fmt.Sprintf("HylandWexler at %g °C", c))
		if c <= warmest {
			r.Check("pressureHPa", Reference.PressureHPa(over, c), fmt.Sprintf("Reference at %g °C", c))
		}
	})
}

// formulaNamed finds a formula of formula_accuracy.csv.
func formulaNamed(t *testing.T, name string) (f func(float64) float64, over Phase) {
	t.Helper()
	if strings.Contains(name, " ice ") || strings.HasSuffix(name, " ice") || strings.Contains(name, " ei ") {
		over = Ice
	}
	if f, ok := otherFormulas[name]; ok {
		return f, over
	}
	// Beyond their ranges the formulas are continued here, to show why they have ranges.
	return func(c float64) float64 {
		f := WMO8
		if strings.HasPrefix(name, "Hyland") {
			f = HylandWexler
		}
		y, _ := f.ln(over, c)
		return math.Exp(y)
	}, over
}

func TestFormulaAccuracy(t *testing.T) {
	refdata.Each(t, "psychro/formula_accuracy", func(r *refdata.Row) {
		name := r.S("formula")
		f, over := formulaNamed(t, name)
		worst, at := 0.0, 0.0
		for c := r.F("fromC"); c <= r.F("toC"); c += 0.5 {
			if d := f(c)/Reference.PressureHPa(over, min(c, Reference.span(over).Max)) - 1; math.Abs(d) > math.Abs(worst) {
				worst, at = d, c
			}
		}
		r.Check("deviationPct", 100*worst, name)
		if math.Abs(worst) > 1e-5 {
			require.InDelta(t, r.F("atC"), at, 0.51, "line %d", r.Line)
		}
		at = r.F("atC")
		_, y1 := Reference.ln(over, at)
		r.Check("dewPointErrorK", worst/y1, name)
	})
}

func TestTablesAreTheirEquations(t *testing.T) {
	worst := func(f func(float64) float64, g func(float64) float64, lo, hi float64) (d float64) {
		for c := lo; c <= hi; c += 0.0371 {
			d = math.Max(d, math.Abs(f(c)/g(c)-1))
		}
		return d
	}
	require.Less(t, worst(SaturationPressureIceHPa, iceR14, coldest, triple), 3e-9)
	require.Less(t, worst(SaturationPressureHPa, murphyKoop, coldest, -1e-9), 5e-8)
	// Above 0 °C the curve runs in over 25 K from the triple point that the two
	// others share into IAPWS-95, for which SR1-86 stands with its own 7.2e-5.
	require.Less(t, worst(SaturationPressureHPa, iapwsSR1, 0, warmest), 7.3e-5)
	require.InDelta(t, 6.11657, SaturationPressureHPa(triple), 5e-6)
	require.InDelta(t, 6.11657, SaturationPressureIceHPa(triple), 5e-8)
}

func TestCurvesHaveNoStep(t *testing.T) {
	for i := 1; i < len(lnWater); i++ {
		require.InDelta(t, poly7(&lnWater[i-1], 1), poly7(&lnWater[i], -1), 2e-13, "water %d", i)
		// At 0 °C Murphy and Koop's slope and that of IAPWS-95 differ by 6e-5.
		bend := 3e-6
		if i == 6 {
			bend = 6e-5
		}
		require.InDelta(t, poly7V(&lnWater[i-1], 1), poly7V(&lnWater[i], -1), bend, "water %d", i)
	}
	for i := 1; i < len(lnIce); i++ {
		require.InDelta(t, poly7(&lnIce[i-1], 1), poly7(&lnIce[i], -1), 2e-13, "ice %d", i)
		require.InDelta(t, poly7V(&lnIce[i-1], 1), poly7V(&lnIce[i], -1), 3e-7, "ice %d", i)
	}
}

func TestSlopesAndInverses(t *testing.T) {
	for _, f := range []Formula{Reference, WMO8, HylandWexler} {
		for _, over := range []Phase{Water, Ice} {
			r := f.span(over)
			last := 0.0
			for i := range 1001 {
				c := min(r.Min+(r.Max-r.Min)*float64(i)/1000, r.Max)
				p := f.PressureHPa(over, c)
				require.Greater(t, p, last, "monotone: %v %v at %g", f, over, c)
				last = p
				require.InDelta(t, c, f.TemperatureC(over, p), 1e-11*(1+math.Abs(c)), "inverse of formula %d over %v at %g", f, over, c)
				if i > 0 && i < 1000 {
					bend := 2e-6
					if c == 0 {
						bend = 4e-5 // the difference straddles the bend of the Reference
					}
					want := difference(func(x float64) float64 { return f.PressureHPa(over, x) }, c, 1e-3*math.Min(1, math.Min(c-r.Min, r.Max-c)))
					require.InEpsilon(t, want, f.SlopeHPaPerK(over, c), bend, "slope of formula %d over %v at %g", f, over, c)
				}
			}
			for _, c := range []float64{math.Nextafter(r.Min, -999), math.Nextafter(r.Max, 999), math.NaN(), math.Inf(1), math.Inf(-1)} {
				require.True(t, math.IsNaN(f.PressureHPa(over, c)))
				require.True(t, math.IsNaN(f.SlopeHPaPerK(over, c)))
				var re *stationphysics.RangeError
				require.True(t, errors.As(f.Check(over, c), &re))
			}
			require.NoError(t, f.Check(over, r.Min))
			for _, p := range []float64{0, -1, f.PressureHPa(over, r.Min) * 0.9999, f.PressureHPa(over, r.Max) * 1.0001, math.NaN(), math.Inf(1)} {
				require.True(t, math.IsNaN(f.TemperatureC(over, p)), "%v", p)
			}
		}
	}
	require.EqualError(t, Reference.Check(Water, 293.15), "temperature over water 293.15 °C is outside -150..100 °C: kelvins?")
	for _, f := range []Formula{3, 99} {
		require.True(t, math.IsNaN(f.PressureHPa(Water, 20)))
		require.True(t, math.IsNaN(f.TemperatureC(Water, 20)))
		require.Error(t, f.Check(Water, 20))
	}
	require.True(t, math.IsNaN(Reference.PressureHPa(Phase(7), 20)))
}

func TestShortFormsAreTheReference(t *testing.T) {
	for c := -160.0; c <= 110; c += 0.37 {
		require.Equal(t, math.Float64bits(Reference.PressureHPa(Water, c)), math.Float64bits(SaturationPressureHPa(c)), "%g", c)
		require.Equal(t, math.Float64bits(Reference.PressureHPa(Ice, c)), math.Float64bits(SaturationPressureIceHPa(c)), "%g", c)
	}
}

func TestEnhancementFactors(t *testing.T) {
	refdata.Each(t, "psychro/enhancement", func(r *refdata.Row) {
		over, c, p := phaseOf(r.S("phase")), r.F("tempC"), r.F("pressureHPa")
		r.Check("factor", EnhancementFactor(over, c, p), fmt.Sprintf("EnhancementFactor(%v, %g, %g)", over, c, p))
	})
	refdata.Each(t, "psychro/wmo_enhancement", func(r *refdata.Row) {
		r.Check("factor", WMOEnhancementFactor(r.F("pressureHPa")), "WMOEnhancementFactor")
	})
	for _, a := range []struct {
		over Phase
		t, p float64
	}{{Water, -100.1, 1000}, {Water, 100.1, 1000}, {Ice, 0.02, 1000}, {Water, 20, 299}, {Water, 20, 1101}, {Water, 90, 600}, {Phase(3), 20, 1000}, {Water, math.NaN(), 1000}, {Water, 20, math.NaN()}} {
		require.True(t, math.IsNaN(EnhancementFactor(a.over, a.t, a.p)), "%v", a)
		require.Error(t, CheckEnhancement(a.over, a.t, a.p), "%v", a)
	}
	require.ErrorContains(t, CheckEnhancement(Water, 90, 600), "water boils before the air is saturated")
	for _, over := range []Phase{Water, Ice} {
		for _, c := range []float64{-100, -5, 0.01} {
			require.NoError(t, CheckEnhancement(over, c, 300))
			require.Greater(t, EnhancementFactor(over, c, 300), 1.0)
		}
	}
	for _, p := range []float64{299, 1101, math.NaN()} {
		require.True(t, math.IsNaN(WMOEnhancementFactor(p)))
	}
	// Where the water is about to boil the factor tends to 1.
	require.InDelta(t, 1, EnhancementFactor(Water, 99.6, 1000.5), 1e-4)
	// The pressure-only formula of WMO-No. 8 is within 1.5e-3 of it in the weather's range.
	for c := -50.0; c <= 50; c += 10 {
		require.InDelta(t, WMOEnhancementFactor(1000), EnhancementFactor(Water, c, 1000), 1.5e-3, "%g", c)
	}
}

func TestWMOValues(t *testing.T) {
	refdata.Each(t, "psychro/wmo", func(r *refdata.Row) {
		c, rh := r.F("tempC"), r.F("rhPct")
		call := fmt.Sprintf("WMO-No. 8 at %g °C and %g %%", c, rh)
		e := 0.01 * rh * WMO8.PressureHPa(Water, c)
		r.Check("vapourPressureHPa", e, call)
		r.Check("dewPointC", WMO8.TemperatureC(Water, e), call)
		if r.Has("iceHumidityPct") {
			r.Check("iceHumidityPct", 100*e/WMO8.PressureHPa(Ice, c), call)
		}
	})
}

func TestFormulaRanges(t *testing.T) {
	for _, c := range []struct {
		f      Formula
		over   Phase
		lo, hi float64
	}{
		{Reference, Water, -150, 100}, {Reference, Ice, -150, 0.01},
		{WMO8, Water, -45, 60}, {WMO8, Ice, -65, 0.01},
		{HylandWexler, Water, -100, 200}, {HylandWexler, Ice, -100, 0.01},
	} {
		require.NoError(t, c.f.Check(c.over, c.lo))
		require.NoError(t, c.f.Check(c.over, c.hi))
		require.Error(t, c.f.Check(c.over, c.lo-1e-9))
		require.Error(t, c.f.Check(c.over, c.hi+1e-9))
	}
}

func TestUnknownFormulaAndPhaseAreRefused(t *testing.T) {
	require.EqualError(t, Formula(9).Check(Water, 20), "number of the formula 9 is outside 0..2")
	require.EqualError(t, WMO8.Check(Phase(2), 20), "number of the phase 2 is outside 0..1")
	require.NoError(t, HylandWexler.Check(Ice, -20))
}
