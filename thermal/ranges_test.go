package thermal

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"

	"github.com/stationphysics/stationphysics/internal/limit/limittest"
	"github.com/stationphysics/stationphysics/internal/refdata"
)

// TestRanges states every range a second time, as the comments at the fields
// promise them.
func TestRanges(t *testing.T) {
	check, slip := limittest.Ranges(t), limittest.Slip
	check(&filmTemp, -100, 400, slip(400, 700, "kelvins"))
	check(&filmPressure, 300, 1100, slip(30000, 110000, "pascals"), slip(32.5, 110, "kilopascals"), slip(17, 32.5, "inches of mercury"))
	check(&surfaceSize, 1e-4, 100)
	check(&surfaceRise, -500, 500)
	check(&plateSize, 1e-3, 2, slip(2, 2000, "millimetres"))
	check(&psiRange, 0, 200)
	check(&radiantTemp, -150, 1000)
	check(&outerFilm, 0.5, 500)
	check(&longwave, 0, 30)
	check(&partTemp, -100, 400, slip(400, 1000, "kelvins or degrees Fahrenheit"))
	check(&ambientTemp, -100, 200, slip(200, 473, "kelvins"))
	check(&powerRange, 0, 1e5, slip(-1e5, 0, "a flow of heat with the opposite sign"))
	check(&resistance, 0, 1e6)
	check(&someResistance, 1e-9, 1e6)
	check(&fraction, 0, 1, slip(1, 100, "percent"))
	check(&boxArea, 1e-4, 100, slip(100, 1e8, "square centimetres or millimetres"))
	check(&boxWall, 0.01, 1000)
	check(&boxCapacity, 0, 1e7)
	check(&boxAir, -90, 70, slip(183, 343.15, "kelvins"), slip(70, 160, "degrees Fahrenheit"))
	check(&boxSun, 0, 1600, slip(1600, 200000, "lux"))
	check(&boxWind, 0, 75, slip(75, 270, "km/h"))
	check(&boxPower, 0, 1e4)
	check(&boxDeficit, 0, 60)
	check(&boxStep, 0, 1e9)
	check(&boxInnerTemp, -100, 400)
	check(&shieldSun, -20, 1600, slip(1600, 200000, "lux"))
	check(&touchTime, 1, 28800)
	check(&touchKind, 0, 3)
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
