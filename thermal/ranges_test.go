package thermal

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"github.com/stationphysics/stationphysics/internal/limit"
	"github.com/stationphysics/stationphysics/internal/refdata"
)

// TestRanges states every accepted range a second time: its ends belong to it,
// the next number beyond does not, and the usual slips are named, at both ends
// of the range in which they are looked for.
func TestRanges(t *testing.T) {
	type slip struct {
		at    float64
		looks string
	}
	for name, c := range map[string]struct {
		r        *limit.Range
		min, max float64
		slips    []slip
	}{
		"film temperature":  {&filmTemp, -100, 400, []slip{{400.1, "kelvins"}, {700, "kelvins"}, {700.1, ""}}},
		"film pressure":     {&filmPressure, 300, 1100, []slip{{30000, "pascals"}, {110000, "pascals"}, {29999, ""}, {110001, ""}, {30, "kilopascals"}, {110, "kilopascals"}, {29.9, ""}, {111, ""}}},
		"surface size":      {&surfaceSize, 1e-4, 100, nil},
		"surface rise":      {&surfaceRise, -500, 500, nil},
		"psi":               {&psiRange, 0, 200, nil},
		"radiant":           {&radiantTemp, -150, 1000, nil},
		"film":              {&outerFilm, 0.5, 500, nil},
		"long-wave":         {&longwave, 0, 30, nil},
		"part":              {&partTemp, -100, 400, []slip{{400.1, "kelvins or degrees Fahrenheit"}, {1000, "kelvins or degrees Fahrenheit"}, {1000.1, ""}}},
		"ambient":           {&ambientTemp, -100, 200, []slip{{200.1, "kelvins"}, {473, "kelvins"}, {473.1, ""}}},
		"power":             {&powerRange, 0, 1e5, []slip{{-1e-9, "a flow of heat with the opposite sign"}, {-1e5, "a flow of heat with the opposite sign"}, {-100001, ""}}},
		"resistance":        {&resistance, 0, 1e6, nil},
		"some resistance":   {&someResistance, 1e-9, 1e6, nil},
		"fraction":          {&fraction, 0, 1, []slip{{1.0005, "percent"}, {100, "percent"}, {100.1, ""}}},
		"area":              {&boxArea, 1e-4, 100, []slip{{100.1, "square centimetres or millimetres"}, {1e8, "square centimetres or millimetres"}, {1.0000001e8, ""}}},
		"wall":              {&boxWall, 0.01, 1000, nil},
		"box capacity":      {&boxCapacity, 0, 1e7, nil},
		"air":               {&boxAir, -90, 70, []slip{{183, "kelvins"}, {343.15, "kelvins"}, {343.2, ""}, {70.1, "degrees Fahrenheit"}, {160, "degrees Fahrenheit"}, {161, ""}}},
		"sun":               {&boxSun, 0, 1600, []slip{{1600.1, "lux"}, {200000, "lux"}, {200001, ""}}},
		"wind":              {&boxWind, 0, 75, []slip{{75.1, "km/h"}, {270, "km/h"}, {271, ""}}},
		"box power":         {&boxPower, 0, 1e4, nil},
		"deficit":           {&boxDeficit, 0, 60, nil},
		"box step":          {&boxStep, 0, 1e9, nil},
		"inner temperature": {&boxInnerTemp, -100, 400, nil},
		"shield sun":        {&shieldSun, -20, 1600, []slip{{1600.1, "lux"}, {200000, "lux"}, {200001, ""}}},
		"contact":           {&touchTime, 1, 28800, nil},
		"material":          {&touchKind, 0, 3, nil},
	} {
		t.Run(name, func(t *testing.T) {
			require.True(t, c.r.Holds(c.min))
			require.True(t, c.r.Holds(c.max))
			require.False(t, c.r.Holds(math.Nextafter(c.min, math.Inf(-1))))
			require.False(t, c.r.Holds(math.Nextafter(c.max, math.Inf(1))))
			for _, s := range c.slips {
				err := c.r.Check(s.at)
				require.Error(t, err)
				if s.looks == "" {
					require.NotContains(t, err.Error(), "?", "%g", s.at)
					continue
				}
				require.ErrorContains(t, err, ": "+s.looks+"?")
			}
		})
	}
}

func TestChurchillChu(t *testing.T) {
	refdata.Each(t, "thermal/churchill_chu", func(r *refdata.Row) {
		a := Air{r.F("conductivityWPerMK"), r.F("viscosityM2PerS"), r.F("diffusivityM2PerS"), r.F("expansionPerK")}
		l, rise := r.F("lengthM"), r.F("riseK")
		call := fmt.Sprintf("%g m, %g K", l, rise)
		r.Check("verticalWPerM2K", a.VerticalPlateWPerM2K(l, rise), call)
		r.Check("laminarWPerM2K", a.VerticalPlateLaminarWPerM2K(l, rise), call)
		r.Check("cylinderWPerM2K", a.HorizontalCylinderWPerM2K(l, rise), call)
	})
}

func TestAirAtSeaLevel(t *testing.T) {
	refdata.Each(t, "thermal/air_sea_level", func(r *refdata.Row) {
		a := AirAt(r.F("tempC"), r.F("pressureHPa"))
		r.Check("conductivityWPerMK", a.ConductivityWPerMK, "AirAt")
		r.Check("viscosityM2PerS", a.KinematicViscosityM2PerS, "AirAt")
		// α = k/(ρ cp) with ρ of the ideal gas.
		rho := r.F("pressureHPa") * 100 / (287.053 * (r.F("tempC") + 273.15))
		require.InEpsilon(t, a.ConductivityWPerMK/(rho*1006), a.DiffusivityM2PerS, 1e-12)
	})
}

func TestShieldBandBoundaries(t *testing.T) {
	for _, c := range []struct {
		sun, wind float64
		same      int // which of the bands
	}{{299.999, 3, 3}, {300, 0.49999, 0}, {300, 0.5, 2}, {300, 1.99999, 2}, {300, 2, 1}, {1600, 75, 1}, {-20, 0, 3}} {
		require.Equal(t, shieldBands[c.same].Reason, ShieldErrorBand(c.sun, c.wind).Reason, "%+v", c)
	}
}
