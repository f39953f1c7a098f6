package baro

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"github.com/stationphysics/stationphysics/internal/numeric"
	"github.com/stationphysics/stationphysics/internal/refdata"
)

// TestAccuracyTable recomputes the largest deviations that the package comment
// states.
func TestAccuracyTable(t *testing.T) {
	worst := map[string]float64{}
	note := func(what string, got, want float64) {
		worst[what] = math.Max(worst[what], math.Abs(got-want)/math.Abs(want))
	}
	refdata.Each(t, "baro/atmosphere", func(r *refdata.Row) {
		h := GeopotentialM(r.F("H_gpm"))
		if r.Has("pressureHPa") {
			note("standard pressure", StandardAt(h).PressureHPa, r.F("pressureHPa"))
		}
		for _, c := range []string{"tempC", "densityKgPerM3", "gravityMPerS2", "geometricM", "tol"} {
			r.S(c)
		}
	})
	for h := lowestM; h <= highestM; h += 500 {
		if h != 0 {
			note("inverse", float64(PressureAltitude(StationHPa(StandardAt(GeopotentialM(h)).PressureHPa))), h)
		}
	}
	refdata.Each(t, "baro/gravity", func(r *refdata.Row) {
		g, lat := r.F("gravityMPerS2"), r.F("latDeg")
		if r.F("tol") <= 1e-9 {
			note("gravity", NormalGravityMPerS2(lat), g)
		}
	})
	for _, lat := range []float64{0, 90} {
		for _, z := range []float64{553, 3000, 6000} {
			note("geopotential", float64(Geopotential(GeometricM(z), lat)), exactGeopotential(lat, z))
		}
	}
	refdata.Each(t, "baro/wmo_reduction", func(r *refdata.Row) {
		c := Column{Height: GeopotentialM(r.F("H_gpm")), TempC: r.F("tempC"), VapourPressureHPa: r.F("vapourHPa")}
		if r.F("tol") <= 1e-6 {
			note("WMO reduction", float64(reduction(c, math.Ln10*wmoKp).SeaLevel(StationHPa(r.F("stationHPa")))), r.F("seaLevelHPa"))
		}
	})
	for what, stated := range map[string]float64{
		"standard pressure": 1e-9, "inverse": 1e-12, "gravity": 1e-9, "geopotential": 3e-8, "WMO reduction": 1e-9,
	} {
		require.Contains(t, worst, what)
		require.LessOrEqual(t, worst[what], stated, what)
		t.Logf("%-18s %.1e of %.0e", what, worst[what], stated)
	}
}

// The numbers in the package comment's last paragraph.
func TestWhatTheInputsContribute(t *testing.T) {
	r := mustReduction(t, Column{Height: 550, TempC: 0, VapourPressureHPa: 4})
	s := r.Sensitivity(947)
	require.InDelta(t, 0.25, math.Abs(s.HPaPerK), 0.01)
	require.InDelta(t, 0.125, s.HPaPerM, 0.005)
	require.InDelta(t, 5, math.Abs(r.TempErrorHPa(947, 20)), 0.5)
}

// exactGeopotential integrates the exact normal field of WGS 84 above the
// equator or the pole (Heiskanen and Moritz 1967, eqs. 2-66 and 2-67, from
// memory; on the ellipsoid they give the constants of TR8350.2 back, which the
// test below shows) and divides by standard gravity.
func exactGeopotential(latDeg, z float64) float64 {
	// A nearly linear integrand.
	return numeric.Simpson(func(h float64) float64 { return exactGravity(latDeg, h) }, 0, z, 100) / standardGravity
}

func exactGravity(latDeg, z float64) float64 {
	const gm, omega = 3.986004418e14, 7.292115e-5 // TR8350.2, table 3.1
	b := wgsA * (1 - wgsF)
	e := math.Sqrt(wgsA*wgsA - b*b)
	q := func(u float64) float64 { return 0.5 * ((1+3*u*u/(e*e))*math.Atan(e/u) - 3*u/e) }
	dq := func(u float64) float64 { return 3*(1+u*u/(e*e))*(1-u/e*math.Atan(e/u)) - 1 }
	if latDeg == 90 {
		u := b + z
		r2 := u*u + e*e
		return gm/r2 + omega*omega*wgsA*wgsA*e/r2*dq(u)/q(b)*(0.5-1.0/6)
	}
	r := wgsA + z
	u := math.Sqrt(r*r - e*e)
	w := u / r
	return (gm/(r*r)-omega*omega*wgsA*wgsA*e/(r*r)*dq(u)/q(b)/6)/w - omega*omega*r
}

func TestExactGravityMeetsTheEllipsoid(t *testing.T) {
	// The closed formulas subtract terms of 36 to leave 7e-5: 5e-11 relative.
	require.InDelta(t, wgsGammaE, exactGravity(0, 0), 2e-9)
	require.InDelta(t, NormalGravityMPerS2(90), exactGravity(90, 0), 2e-9)
}
