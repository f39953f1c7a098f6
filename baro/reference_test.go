package baro

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"github.com/stationphysics/stationphysics/internal/numeric"
	"github.com/stationphysics/stationphysics/internal/refdata"
)

func checkStandard(r *refdata.Row, s Standard, call string) {
	r.Check("tempC", s.TempC, call+".TempC")
	r.Check("pressureHPa", s.PressureHPa, call+".PressureHPa")
	r.Check("densityKgPerM3", s.DensityKgPerM3, call+".DensityKgPerM3")
}

func TestStandardAtmosphereEvaluated(t *testing.T) {
	refdata.Each(t, "baro/atmosphere", func(r *refdata.Row) {
		h := GeopotentialM(r.F("H_gpm"))
		call := fmt.Sprintf("StandardAt(%g)", h)
		s := StandardAt(h)
		checkStandard(r, s, call)
		r.Check("gravityMPerS2", s.GravityMPerS2, call+".GravityMPerS2")
		r.Check("geometricM", float64(ISOGeometric(h)), fmt.Sprintf("ISOGeometric(%g)", h))
	})
}

func TestStandardAtmosphereTables(t *testing.T) {
	refdata.Each(t, "baro/atmosphere_table", func(r *refdata.Row) {
		h := GeopotentialM(r.F("H_gpm"))
		checkStandard(r, StandardAt(h), fmt.Sprintf("StandardAt(%g)", h))
	})
	refdata.Each(t, "baro/ussa1976_table", func(r *refdata.Row) {
		z := GeometricM(r.F("Z_m"))
		checkStandard(r, StandardAt(ISOGeopotential(z)), fmt.Sprintf("StandardAt(ISOGeopotential(%g))", z))
	})
	refdata.Each(t, "baro/ussa1976", func(r *refdata.Row) {
		z := GeometricM(r.F("Z_m"))
		call := fmt.Sprintf("StandardAt(ISOGeopotential(%g))", z)
		s := StandardAt(ISOGeopotential(z))
		checkStandard(r, s, call)
		r.Check("gravityMPerS2", s.GravityMPerS2, call+".GravityMPerS2")
		r.Check("geopotentialM", float64(ISOGeopotential(z)), fmt.Sprintf("ISOGeopotential(%g)", z))
	})
}

func TestGravity(t *testing.T) {
	refdata.Each(t, "baro/gravity", func(r *refdata.Row) {
		lat := r.F("latDeg")
		r.Check("gravityMPerS2", NormalGravityMPerS2(lat), fmt.Sprintf("NormalGravityMPerS2(%g)", lat))
	})
}

func TestAltimeterSetting(t *testing.T) {
	refdata.Each(t, "baro/altimeter", func(r *refdata.Row) {
		p, h := StationHPa(r.F("stationHPa")), GeopotentialM(r.F("H_gpm"))
		r.Check("qnhHPa", float64(AltimeterSetting(p, h)), fmt.Sprintf("AltimeterSetting(%g, %g)", p, h))
		r.Check("smithsonianHPa", float64(AltimeterSettingSmithsonian(p, h)), fmt.Sprintf("AltimeterSettingSmithsonian(%g, %g)", p, h))
	})
}

// smithsonianStation inverts the Smithsonian form by root finding, with the n
// of the rows it serves (see the remark in the file).
func smithsonianStation(t *testing.T, a float64, h GeopotentialM) StationHPa {
	t.Helper()
	p, ok := numeric.Root(func(p float64) float64 {
		return smithsonian(p, float64(h), 287.04749*0.0065/standardGravity) - a
	}, 300, 1100, 1e-9)
	require.True(t, ok)
	return StationHPa(p)
}

func TestAltimeterInverse(t *testing.T) {
	refdata.Each(t, "baro/altimeter_inverse", func(r *refdata.Row) {
		a, h := r.F("altimeterHPa"), GeopotentialM(r.F("H_gpm"))
		r.Check("stationHPa", float64(smithsonianStation(t, a, h)), fmt.Sprintf("station pressure for %g hPa at %g gpm", a, h))
	})
	refdata.Each(t, "baro/altimeter_to_sea_level", func(r *refdata.Row) {
		a, h, c := r.F("altimeterHPa"), GeopotentialM(r.F("H_gpm")), r.F("columnC")
		red, err := NewLayer(h, c)
		require.NoError(t, err)
		r.Check("seaLevelHPa", float64(red.SeaLevel(smithsonianStation(t, a, h))), fmt.Sprintf("NewLayer(%g, %g).SeaLevel", h, c))
	})
}

func TestWMOReduction(t *testing.T) {
	refdata.Each(t, "baro/wmo_reduction", func(r *refdata.Row) {
		p := StationHPa(r.F("stationHPa"))
		c := Column{Height: GeopotentialM(r.F("H_gpm")), TempC: r.F("tempC"), VapourPressureHPa: r.F("vapourHPa")}
		red, err := NewReduction(c)
		if c.Height > wmoLimitM {
			require.Error(t, err, "above 750 gpm the constructor refuses")
			red = reduction(c, math.Ln10*wmoKp)
		}
		r.Check("seaLevelHPa", float64(red.SeaLevel(p)), fmt.Sprintf("NewReduction(%+v).SeaLevel(%g)", c, p))
	})
}

func TestInversesOfTheAtmosphere(t *testing.T) {
	refdata.Each(t, "baro/pressure_altitude", func(r *refdata.Row) {
		p := StationHPa(r.F("stationHPa"))
		r.Check("H_gpm", float64(PressureAltitude(p)), fmt.Sprintf("PressureAltitude(%g)", p))
	})
	refdata.Each(t, "baro/density_altitude", func(r *refdata.Row) {
		r.F("pressureHPa")
		r.F("tempC")
		r.F("rhPct")
		rho := r.F("densityKgPerM3")
		r.Check("H_gpm", float64(DensityAltitude(rho)), fmt.Sprintf("DensityAltitude(%g)", rho))
	})
	refdata.Each(t, "baro/hypsometric", func(r *refdata.Row) {
		// Height for which the layer turns the upper into the lower pressure.
		red, err := NewLayer(1, r.F("meanC"))
		require.NoError(t, err)
		perM := math.Log(red.Factor())
		r.Check("thicknessM", math.Log(r.F("lowHPa")/r.F("highHPa"))/perM, "thickness by NewLayer")
	})
}

func TestSoundAndViscosity(t *testing.T) {
	refdata.Each(t, "baro/sound_viscosity", func(r *refdata.Row) {
		h := GeopotentialM(r.F("H_gpm"))
		s := StandardAt(h)
		call := fmt.Sprintf("StandardAt(%g)", h)
		r.Check("soundMPerS", s.SoundMPerS, call+".SoundMPerS")
		r.Check("viscosityPaS", s.ViscosityPaS, call+".ViscosityPaS")
		r.Check("kinematicM2PerS", s.KinematicM2PerS, call+".KinematicM2PerS")
	})
}

func TestUpperLayers(t *testing.T) {
	refdata.Each(t, "baro/upper_layers", func(r *refdata.Row) {
		h := GeopotentialM(r.F("H_gpm"))
		s := StandardAt(h)
		call := fmt.Sprintf("StandardAt(%g)", h)
		r.Check("tempC", s.TempC, call+".TempC")
		r.Check("pressureHPa", s.PressureHPa, call+".PressureHPa")
	})
}
