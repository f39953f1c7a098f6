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

func TestBirdAsPrinted(t *testing.T) {
	refdata.Each(t, "solar/sky/clear_sky_bird_report", func(r *refdata.Row) {
		a := Air{r.F("pressureHPa"), r.F("precipitableCm"), r.F("ozoneCm"), r.F("aerosol380Ratio"), r.F("aerosol500Ratio"), 0.85, 0.2}
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
		r.Check("brightness", perezDelta(&sun, math.Sin(sun.ElevationDeg*rad), &l), call)
		r.Check("bin", float64(perezBin(z, &l)+1), call)
		ill := l.Illuminance(sun, td)
		r.Check("globalLx", ill.GlobalLx, call)
		r.Check("diffuseLx", ill.DiffuseLx, call)
		r.Check("beamNormalLx", ill.BeamNormalLx, call)
	})
}

func TestCoefficientsAsPrinted(t *testing.T) {
	refdata.Each(t, "solar/sky/perez_brightness", func(r *refdata.Row) {
		i := int(r.F("bin")) - 1
		for k, col := range []string{"f11", "f12", "f13", "f21", "f22", "f23"} {
			r.Check(col, perezBins[i][k], "perezBins")
		}
		// The bin begins exactly at its lower end, at any elevation.
		for _, z := range []float64{0, 0.7, 1.5} {
			eps := r.F("clearness")
			k := 1.041 * z * z * z
			beam := func(eps float64) *Light { return &Light{1000, 100 * (eps*(1+k) - k - 1), 100} }
			require.Equal(t, i, perezBin(z, beam(eps+1e-9)))
			if i > 0 {
				require.Equal(t, i-1, perezBin(z, beam(eps-1e-9)))
			}
		}
	})
	parts := map[string]*efficacy{"global": &globalEfficacy, "diffuse": &diffuseEfficacy, "direct": &beamEfficacy}
	refdata.Each(t, "solar/sky/perez_efficacy", func(r *refdata.Row) {
		e := parts[r.S("part")][int(r.F("bin"))-1]
		for k, col := range []string{"a", "b", "c", "d"} {
			r.Check(col, e[k], r.S("part"))
		}
	})
}

func TestHourlyShares(t *testing.T) {
	refdata.Each(t, "solar/sky/hourly_shares", func(r *refdata.Row) {
		w, ws := r.F("hourAngleDeg"), r.F("sunsetAngleDeg")
		g, d := HourlyShares(w, ws)
		call := fmt.Sprintf("HourlyShares(%g, %g)", w, ws)
		r.Check("globalRatio", g, call)
		r.Check("diffuseRatio", d, call)
		g2, d2 := HourlyShares(-w, ws)
		require.Equal(t, [2]float64{g, d}, [2]float64{g2, d2}, "the morning mirrors the afternoon")
	})
	// The 24 hours make the day. The profiles are densities, so the hours that
	// sunset cuts leave up to two per cent; the global fit leaves another.
	for _, ws := range []float64{52.5, 67.5, 90, 112.5} {
		var g, d float64
		for w := -172.5; w < 180; w += 15 {
			a, b := HourlyShares(w, ws)
			g, d = g+a, d+b
		}
		require.InDelta(t, 1, g, 0.03, "%g", ws)
		require.InDelta(t, 1, d, 0.02, "%g", ws)
	}
	g, d := HourlyShares(90.1, 90)
	require.Zero(t, g+d)
	for _, bad := range [][2]float64{{200, 90}, {math.NaN(), 90}, {0, 0}, {0, 181}, {0, math.NaN()}} {
		g, d = HourlyShares(bad[0], bad[1])
		require.True(t, math.IsNaN(g) && math.IsNaN(d), bad)
	}
	require.EqualError(t, CheckHourlyShares(200, 90), "hour angle 200 deg is outside -180..180 deg: counted from midnight?")
	require.Error(t, CheckHourlyShares(0, 181))
	require.NoError(t, CheckHourlyShares(-180, 180))
}

func TestDailyClearness(t *testing.T) {
	refdata.Each(t, "solar/sky/daily_clearness", func(r *refdata.Row) {
		// The share of days below a clearness, by bisecting the quantile.
		lo, hi := 0.0, 1.0
		for range 60 {
			if mid := (lo + hi) / 2; DailyClearness(r.F("monthlyClearness"), mid) < r.F("dailyClearness") {
				lo = mid
			} else {
				hi = mid
			}
		}
		r.Check("prob", lo, fmt.Sprintf("share of days below %g at a mean of %g", r.F("dailyClearness"), r.F("monthlyClearness")))
	})
	for kbar := 0.12; kbar <= 0.8; kbar += 0.01 {
		// The mean is met exactly; the ends are those of the papers.
		sum, prev := 0.0, 0.0
		const n = 3000
		d := newDailyDistribution(kbar)
		require.Equal(t, d.quantile(0.3), DailyClearness(kbar, 0.3))
		for i := range n {
			k := d.quantile((float64(i) + 0.5) / n)
			if !(k > prev) {
				t.Fatalf("quantile %d of %g does not grow", i, kbar)
			}
			prev = k
			sum += k / n
		}
		require.InDelta(t, kbar, sum, 2e-5, "%g", kbar)
		require.InDelta(t, 0.05, DailyClearness(kbar, 0), 1e-12)
		require.InDelta(t, 0.6313+0.267*kbar-11.9*math.Pow(kbar-0.75, 8), DailyClearness(kbar, 1), 1e-12)
	}
	for _, bad := range [][2]float64{{0.1199, 0.5}, {0.8001, 0.5}, {math.NaN(), 0.5}, {0.5, -0.1}, {0.5, 1.1}, {0.5, math.NaN()}} {
		require.True(t, math.IsNaN(DailyClearness(bad[0], bad[1])), bad)
		require.Error(t, CheckDailyClearness(bad[0], bad[1]))
	}
	require.NoError(t, CheckDailyClearness(0.12, 1))
	require.EqualError(t, CheckDailyClearness(0.5, 50), "probability 50 is outside 0..1: percent?")
}
