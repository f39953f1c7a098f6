package sky

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
)

func TestSplitProperties(t *testing.T) {
	for _, m := range []Split{ErbsDriesse, Erbs, BolandRidley} {
		require.InDelta(t, 1, m.DiffuseRatio(0), 0.005, "an opaque sky has no beam")
		prev := m.DiffuseRatio(0)
		for kt := 0.0; kt <= 2; kt += 0.001 {
			kd := m.DiffuseRatio(kt)
			require.True(t, kd > 0 && kd <= 1, "%v %g", m, kt)
			// Continuous: no step above the documented one of Erbs.
			require.InDelta(t, prev, kd, 0.0035, "%v %g", m, kt)
			prev = kd
		}
		for e := 0.05; e <= 90; e += 0.35 {
			sun := Sun{e, 0, 1}
			sinE := math.Sin(e * rad)
			for kt := 0.0; kt < 1.1; kt += 0.05 {
				g := kt * SolarConstantWPerM2 * sinE
				l := m.Light(sun, g)
				require.InDelta(t, g, l.DiffuseWPerM2+l.BeamNormalWPerM2*sinE, 1e-9)
				require.NoError(t, l.Check())
				require.LessOrEqual(t, l.BeamNormalWPerM2, beamBound(&sun, sinE))
			}
		}
		// At and below the horizon there is no beam, whatever is measured.
		require.Equal(t, Light{50, 0, 50}, m.Light(Sun{0, 0, 1}, 50))
		require.Equal(t, Light{9, 0, 9}, m.Light(Sun{-5, 0, 1}, 9))
		require.Equal(t, Light{}, m.Light(Sun{40, 0, 1}, 0))
		for _, bad := range []float64{-0.001, 2.001, math.NaN()} {
			require.True(t, math.IsNaN(m.DiffuseRatio(bad)))
		}
		for _, l := range []Light{m.Light(Sun{91, 0, 1}, 100), m.Light(Sun{30, 0, 1}, -1), m.Light(Sun{30, 0, 1}, math.NaN())} {
			require.True(t, math.IsNaN(l.GlobalWPerM2) && math.IsNaN(l.BeamNormalWPerM2) && math.IsNaN(l.DiffuseWPerM2))
		}
	}
	require.True(t, math.IsNaN(Split(3).DiffuseRatio(0.5)))
	require.True(t, math.IsNaN(Split(-1).Light(Sun{30, 0, 1}, 100).DiffuseWPerM2))
	// The steps of Erbs at its joints, as large as the check values' notes say.
	require.InDelta(t, 0.00027, math.Abs(Erbs.DiffuseRatio(0.22+1e-12)-Erbs.DiffuseRatio(0.22)), 1e-5)
	require.InDelta(t, 0.00027, math.Abs(Erbs.DiffuseRatio(0.8+1e-12)-Erbs.DiffuseRatio(0.8)), 1e-5)
	// The joints of the continuous form.
	require.InDelta(t, ErbsDriesse.DiffuseRatio(0.216), ErbsDriesse.DiffuseRatio(0.216+1e-12), 1e-9)
	require.InDelta(t, ErbsDriesse.DiffuseRatio(0.792), ErbsDriesse.DiffuseRatio(0.792+1e-12), 1e-9)
}

// The bound on the beam is that of clean dry air: it starts at the value of a
// sun in the zenith, Linke turbidity 1, and falls towards the horizon.
func TestBeamBound(t *testing.T) {
	prev := 0.0
	for e := 0.0; e <= 90; e += 0.5 {
		sun := Sun{e, 0, 1}
		b := beamBound(&sun, math.Sin(e*rad))
		require.Greater(t, b, prev)
		prev = b
		// A clear sky without haze stays below.
		require.Less(t, ClearSky(sun, 0, 2).BeamNormalWPerM2, b)
		require.Less(t, Air{1013.25, 0.5, 0.3, 0.02, 0.02, 0.85, 0.2}.ClearSky(sun).BeamNormalWPerM2, b)
	}
	// By hand: Rayleigh path 0.999712/(6.6296 + 1.7508 − 0.1201 + 0.0065 − 0.0001) = 0.12095.
	require.InDelta(t, SolarConstantWPerM2*math.Exp(-0.8662*0.999712/8.26655), prev, 0.01)
	// Kasten's two branches meet at an air mass of 20 to a per cent.
	require.InEpsilon(t, rayleighPath(20), rayleighPath(20.0001), 0.012)
	require.InDelta(t, 37.92/(10.4+0.718*37.92), rayleighPath(37.92), 1e-12)
	// The hazeless limit at the horizon, in words of the documentation: near 40 %.
	require.InDelta(t, 0.42, beamBound(&Sun{0, 0, 1}, 0)/SolarConstantWPerM2, 0.03)
}

func TestClearSkyProperties(t *testing.T) {
	air := Air{1013.25, 1.42, 0.3, 0.15, 0.1, 0.85, 0.2}
	hazy := air
	hazy.Aerosol380Ratio, hazy.Aerosol500Ratio = 0.6, 0.4
	damp := air
	damp.PrecipitableCm = 5
	snow := air
	snow.GroundAlbedo = 0.8
	prevB, prevI := -1.0, -1.0
	for e := 0.25; e <= 90; e += 0.25 {
		sun := Sun{e, 0, 1}
		b, i := air.ClearSky(sun), ClearSky(sun, 300, 3)
		require.NoError(t, b.Check(), "%g", e)
		require.NoError(t, i.Check(), "%g", e)
		// The beam grows with the elevation right from the horizon.
		require.Greater(t, b.BeamNormalWPerM2, prevB, "%g", e)
		require.Greater(t, i.BeamNormalWPerM2, prevI, "%g", e)
		prevB, prevI = b.BeamNormalWPerM2, i.BeamNormalWPerM2
		require.InDelta(t, b.GlobalWPerM2, b.DiffuseWPerM2+b.BeamNormalWPerM2*math.Sin(e*rad), 1e-9)
		require.InDelta(t, i.GlobalWPerM2, i.DiffuseWPerM2+i.BeamNormalWPerM2*math.Sin(e*rad), 1e-9)
		h := hazy.ClearSky(sun)
		require.Less(t, h.BeamNormalWPerM2, b.BeamNormalWPerM2)
		require.Less(t, damp.ClearSky(sun).BeamNormalWPerM2, b.BeamNormalWPerM2)
		require.Greater(t, snow.ClearSky(sun).DiffuseWPerM2, b.DiffuseWPerM2)
		require.Equal(t, snow.ClearSky(sun).BeamNormalWPerM2, b.BeamNormalWPerM2)
		if e > 5 {
			require.Greater(t, h.DiffuseWPerM2, b.DiffuseWPerM2)
			require.Less(t, ClearSky(sun, 300, 6).GlobalWPerM2, i.GlobalWPerM2)
			require.Less(t, ClearSky(sun, 300, 6).BeamNormalWPerM2, i.BeamNormalWPerM2)
			// Two documents on ordinary air at sea level.
			require.InDelta(t, b.GlobalWPerM2, ClearSky(sun, 0, 3).GlobalWPerM2, 35, "%g", e)
		}
		require.InDelta(t, i.GlobalWPerM2/0.98, ClearSky(Sun{e, 0, math.Sqrt(0.98)}, 300, 3).GlobalWPerM2, 1e-9)
		require.InDelta(t, b.GlobalWPerM2/0.98, air.ClearSky(Sun{e, 0, math.Sqrt(0.98)}).GlobalWPerM2, 1e-9)
	}
	for _, e := range []float64{0, -0.1, -90} {
		require.Equal(t, Light{}, ClearSky(Sun{e, 0, 1}, 0, 3))
		require.Equal(t, Light{}, air.ClearSky(Sun{e, 0, 1}))
		require.Zero(t, HaurwitzWPerM2(e))
	}
	require.True(t, math.IsNaN(HaurwitzWPerM2(91)))
	for _, l := range []Light{ClearSky(Sun{91, 0, 1}, 0, 3), ClearSky(Sun{30, 0, 1}, 9001, 3), ClearSky(Sun{30, 0, 1}, 0, 0.9), ClearSky(Sun{30, 0, 1}, 0, 12.1), air.ClearSky(Sun{30, 0, 0})} {
		require.True(t, math.IsNaN(l.GlobalWPerM2))
	}
	require.EqualError(t, CheckClearSky(12000, 3), "height 12000 m is outside -500..9000 m: feet?")
	require.EqualError(t, CheckClearSky(0, 13), "Linke turbidity 13 is outside 1..12")
	require.NoError(t, CheckClearSky(-500, 12))
	for want, change := range map[string]func(a *Air){
		"station pressure 101325 hPa is outside 300..1100 hPa: pascals?": func(a *Air) { a.PressureHPa = 101325 },
		"precipitable water 14.2 cm is outside 0..10 cm: millimetres?":   func(a *Air) { a.PrecipitableCm = 14.2 },
		"ozone column 300 cm is outside 0..0.6 cm: Dobson units?":        func(a *Air) { a.OzoneCm = 300 },
		"aerosol optical depth -0.1 is outside 0..2":                     func(a *Air) { a.Aerosol380Ratio = -0.1 },
		"aerosol optical depth 2.1 is outside 0..2":                      func(a *Air) { a.Aerosol500Ratio = 2.1 },
		"forward scattering of the aerosol 0.4 is outside 0.5..1":        func(a *Air) { a.ForwardRatio = 0.4 },
		"albedo 20 is outside 0..1: percent?":                            func(a *Air) { a.GroundAlbedo = 20 },
	} {
		bad := air
		change(&bad)
		require.EqualError(t, bad.Check(), want)
		require.True(t, math.IsNaN(bad.ClearSky(Sun{30, 0, 1}).DiffuseWPerM2))
	}
	require.NoError(t, Air{1100, 10, 0.6, 2, 2, 1, 1}.Check())
	require.NoError(t, Air{300, 0, 0, 0, 0, 0.5, 0}.Check())
	require.NoError(t, Air{300, 0, 0, 0, 0, 0.5, 0}.ClearSky(Sun{30, 0, 1}).Check(), "clean dry air")
}

func TestCoverProperties(t *testing.T) {
	covers := map[string]*Cover{
		"ashrae":      must(NewASHRAECover(0.05))(t),
		"glass":       must(NewGlassCover(1.526, 4, 2))(t),
		"martin-ruiz": must(NewMartinRuizCover(0.16))(t),
		"clear":       must(NewASHRAECover(0))(t),
		"thick glass": must(NewGlassCover(1.9, 30, 10))(t),
	}
	for name, c := range covers {
		prev := 1.0
		for a := 0.0; a <= 180; a += 0.25 {
			r := c.BeamRatio(a)
			require.True(t, r >= 0 && r <= prev+1e-15, "%s %g", name, a)
			require.Equal(t, r, c.BeamRatio(-a))
			prev = r
		}
		require.Equal(t, 1.0, math.Round(c.BeamRatio(0)*1e12)/1e12)
		require.Zero(t, c.BeamRatio(90))
		for _, bad := range []float64{-180.1, 180.1, math.NaN()} {
			require.True(t, math.IsNaN(c.BeamRatio(bad)))
			require.True(t, math.IsNaN(c.SkyRatio(bad)) && math.IsNaN(c.GroundRatio(bad)))
		}
		require.True(t, math.IsNaN(c.SkyRatio(-1)))
		require.True(t, math.IsNaN(c.beam(math.NaN())), "no answer is not no light")
		for tilt := 0.0; tilt <= 180; tilt += 10 {
			require.Equal(t, c.SkyRatio(tilt), c.GroundRatio(180-tilt), "%s %g", name, tilt)
		}
		require.Zero(t, c.GroundRatio(0))
		require.Zero(t, c.SkyRatio(180))
	}
	// Even light on the level surface, by hand for the ASHRAE form: 1/(1+b).
	require.InDelta(t, 1/1.05, covers["ashrae"].SkyRatio(0), 1e-8)
	require.InDelta(t, 1, covers["clear"].SkyRatio(0), 1e-12)
	// The form ends where it would turn negative: cos t = b/(1+b), 87.27°.
	edge := math.Acos(0.05/1.05) / rad
	require.InDelta(t, 87.27, edge, 0.005)
	require.Greater(t, covers["ashrae"].BeamRatio(edge-0.01), 0.0)
	require.Zero(t, covers["ashrae"].BeamRatio(edge+0.01))
	// The integral against a plain sum over the sky.
	for _, name := range []string{"ashrae", "glass"} {
		for _, tilt := range []float64{20, 60, 110, 150} {
			var through, all float64
			const n = 300
			for i := range n {
				for j := range n {
					az, e := (float64(i)+0.5)*2*math.Pi/n, (float64(j)+0.5)*math.Pi/2/n
					ct := math.Sin(e)*math.Cos(tilt*rad) + math.Cos(e)*math.Sin(tilt*rad)*math.Cos(az)
					if ct > 0 {
						all += ct * math.Cos(e)
						through += ct * math.Cos(e) * covers[name].beam(ct)
					}
				}
			}
			require.InDelta(t, through/all, covers[name].SkyRatio(tilt), 1e-4, "%s %g", name, tilt)
		}
	}
	// Martin and Ruiz's closed form is their own approximation of that integral.
	m := covers["martin-ruiz"]
	for _, tilt := range []float64{0, 30, 60, 90} {
		var through, all float64
		for a := 0.0005; a < math.Pi/2; a += 0.001 {
			w := math.Sin(a) * math.Cos(a)
			if a > math.Pi/2-tilt*rad {
				w *= math.Acos(max(-1, min(1, -1/math.Tan(a)/math.Tan(tilt*rad)))) / math.Pi
			}
			all += w
			through += w * m.beam(math.Cos(a))
		}
		require.InDelta(t, through/all, m.SkyRatio(tilt), 0.01, "%g", tilt)
	}
}

func TestCoverRefuses(t *testing.T) {
	_, err := NewASHRAECover(0.6)
	require.EqualError(t, err, "ASHRAE incidence coefficient 0.6 is outside 0..0.5")
	_, err = NewASHRAECover(-0.01)
	require.Error(t, err)
	_, err = NewMartinRuizCover(0.04)
	require.EqualError(t, err, "angular losses coefficient 0.04 is outside 0.05..1")
	_, err = NewMartinRuizCover(1.1)
	require.Error(t, err)
	_, err = NewGlassCover(0.9, 4, 2)
	require.EqualError(t, err, "refractive index 0.9 is outside 1..3")
	_, err = NewGlassCover(1.5, 101, 2)
	require.EqualError(t, err, "extinction coefficient of the glass 101 1/m is outside 0..100 1/m")
	_, err = NewGlassCover(1.5, 4, 51)
	require.EqualError(t, err, "thickness of the glass 51 mm is outside 0..50 mm")
	_, err = NewGlassCover(3, 100, 50)
	require.NoError(t, err)
	_, err = NewMartinRuizCover(1)
	require.NoError(t, err)
	_, err = NewASHRAECover(0.5)
	require.NoError(t, err)
}
