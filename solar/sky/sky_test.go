package sky

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"github.com/stationphysics/stationphysics/internal/refdata"
)

// au is the distance at which the extraterrestrial irradiance is e0, so that a
// table computed with another solar constant can be entered.
func au(e0 float64) float64 { return math.Sqrt(SolarConstantWPerM2 / e0) }

func must[T any](v T, err error) func(tb testing.TB) T {
	return func(tb testing.TB) T {
		tb.Helper()
		require.NoError(tb, err)
		return v
	}
}

func TestAirMass(t *testing.T) {
	refdata.Each(t, "solar/sky/air_mass", func(r *refdata.Row) {
		e := r.F("elevationDeg")
		r.Check("airMass", Sun{e, 0, 1}.AirMass(), fmt.Sprintf("Sun{%g, 0, 1}.AirMass()", e))
	})
}

func TestExtraterrestrialOnDay(t *testing.T) {
	refdata.Each(t, "solar/sky/extraterrestrial_on_day", func(r *refdata.Row) {
		d := int(r.F("yearDay"))
		r.Check("normalWPerM2", Sun{DistanceAU: DistanceOnDayAU(d)}.ExtraterrestrialWPerM2(), fmt.Sprintf("DistanceOnDayAU(%d)", d))
	})
}

func TestTransposition(t *testing.T) {
	refdata.Each(t, "solar/sky/transposition", func(r *refdata.Row) {
		sun := Sun{r.F("elevationDeg"), r.F("azimuthDeg"), au(r.F("extraterrestrialWPerM2"))}
		l := Light{r.F("globalWPerM2"), r.F("beamNormalWPerM2"), r.F("diffuseWPerM2")}
		m := Mount{TiltDeg: r.F("tiltDeg"), FacingDeg: r.F("facingDeg"), Albedo: r.F("albedo")}
		call := fmt.Sprintf("%+v.On(%+v, %+v)", m, sun, l)
		r.Check("airMass", sun.AirMass(), "AirMass")
		for model, col := range map[SkyModel]string{Isotropic: "isotropicWPerM2", HayDavies: "hayDaviesWPerM2", Reindl: "reindlWPerM2", Perez: "perezWPerM2"} {
			m.Sky = model
			p := must(NewPlane(m))(t)
			on := p.On(sun, l)
			r.Check(col, on.SkyWPerM2, call)
			r.Check("beamWPerM2", on.BeamWPerM2, call)
			r.Check("groundWPerM2", on.GroundWPerM2, call)
			r.Check("incidenceDeg", p.IncidenceDeg(sun), call)
			require.InDelta(t, on.BeamWPerM2+on.SkyWPerM2+on.GroundWPerM2, on.TotalWPerM2, 1e-9)
			require.InDelta(t, math.Cos(p.IncidenceDeg(sun)*rad), on.IncidenceCosRatio, 1e-14)
		}
	})
}

func TestDecomposition(t *testing.T) {
	refdata.Each(t, "solar/sky/decomposition", func(r *refdata.Row) {
		sun := Sun{r.F("elevationDeg"), 0, au(r.F("extraterrestrialWPerM2"))}
		ghi := r.F("globalWPerM2")
		for m, name := range map[Split]string{Erbs: "erbs", ErbsDriesse: "driesse", BolandRidley: "boland"} {
			l := m.Light(sun, ghi)
			call := fmt.Sprintf("%s.Light(%+v, %g)", name, sun, ghi)
			r.Check(name+"BeamWPerM2", l.BeamNormalWPerM2, call)
			r.Check(name+"DiffuseWPerM2", l.DiffuseWPerM2, call)
		}
	})
}

func TestIncidenceModifier(t *testing.T) {
	a := must(NewASHRAECover(0.05))(t)
	g := must(NewGlassCover(1.526, 4, 2))(t)
	m16 := must(NewMartinRuizCover(0.16))(t)
	m20 := must(NewMartinRuizCover(0.20))(t)
	refdata.Each(t, "solar/sky/incidence_modifier", func(r *refdata.Row) {
		x := r.F("incidenceDeg")
		r.Check("ashraeRatio", a.BeamRatio(x), fmt.Sprintf("ASHRAE(%g°)", x))
		r.Check("glassRatio", g.BeamRatio(x), fmt.Sprintf("Glass(%g°)", x))
		r.Check("martinRuiz16Ratio", m16.BeamRatio(x), fmt.Sprintf("MartinRuiz(0.16)(%g°)", x))
		r.Check("martinRuiz20Ratio", m20.BeamRatio(x), fmt.Sprintf("MartinRuiz(0.20)(%g°)", x))
	})
	refdata.Each(t, "solar/sky/incidence_modifier_diffuse", func(r *refdata.Row) {
		x := r.F("tiltDeg")
		for name, c := range map[string]*Cover{"ashrae": a, "glass": g, "martinRuiz": m16} {
			sky, gnd := name+"SkyRatio", name+"GroundRatio"
			r.Check(sky, c.SkyRatio(x), fmt.Sprintf("%s.SkyRatio(%g)", name, x))
			r.Check(gnd, c.GroundRatio(x), fmt.Sprintf("%s.GroundRatio(%g)", name, x))
		}
	})
}

func TestClearSky(t *testing.T) {
	refdata.Each(t, "solar/sky/clear_sky", func(r *refdata.Row) {
		e := r.F("elevationDeg")
		r.Check("haurwitzWPerM2", HaurwitzWPerM2(e), fmt.Sprintf("HaurwitzWPerM2(%g)", e))
		l := ClearSky(Sun{e, 0, au(1364)}, r.F("heightM"), r.F("linkeTurbidity"))
		call := fmt.Sprintf("ClearSky(%g, %g, %g)", e, r.F("heightM"), r.F("linkeTurbidity"))
		r.Check("globalWPerM2", l.GlobalWPerM2, call)
		r.Check("beamNormalWPerM2", l.BeamNormalWPerM2, call)
		r.Check("diffuseWPerM2", l.DiffuseWPerM2, call)
	})
	refdata.Each(t, "solar/sky/clear_sky_bird", func(r *refdata.Row) {
		a := Air{r.F("pressureHPa"), r.F("precipitableCm"), 0.3, r.F("aerosol380Ratio"), r.F("aerosol500Ratio"), 0.85, 0.2}
		l := a.ClearSky(Sun{r.F("elevationDeg"), 0, au(1364)})
		call := fmt.Sprintf("%+v.ClearSky(%g)", a, r.F("elevationDeg"))
		r.Check("globalWPerM2", l.GlobalWPerM2, call)
		r.Check("beamNormalWPerM2", l.BeamNormalWPerM2, call)
		r.Check("diffuseWPerM2", l.DiffuseWPerM2, call)
	})
}

func TestIlluminance(t *testing.T) {
	refdata.Each(t, "solar/sky/illuminance", func(r *refdata.Row) {
		sun := Sun{r.F("elevationDeg"), 0, au(1367)}
		l := Light{r.F("globalWPerM2"), r.F("beamNormalWPerM2"), r.F("diffuseWPerM2")}
		td := r.F("dewPointC")
		call := fmt.Sprintf("%+v.Illuminance(%+v, %g)", l, sun, td)
		r.Check("waterCm", PrecipitableWaterCm(td), call)
		z := (90 - sun.ElevationDeg) * rad
		eps := ((l.DiffuseWPerM2+l.BeamNormalWPerM2)/l.DiffuseWPerM2 + 1.041*z*z*z) / (1 + 1.041*z*z*z)
		r.Check("clearness", eps, call)
		r.Check("brightness", perezDelta(&sun, &l), call)
		r.Check("bin", float64(perezBin(z, &l)+1), call)
		ill := l.Illuminance(sun, td)
		r.Check("globalLx", ill.GlobalLx, call)
		r.Check("diffuseLx", ill.DiffuseLx, call)
		r.Check("beamNormalLx", ill.BeamNormalLx, call)
	})
}
