package sky

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"github.com/stationphysics/stationphysics/solar"
)

func ring(t testing.TB, elevationDeg float64) solar.Skyline {
	return must(solar.NewSkyline([]solar.SkylinePoint{{AzimuthDeg: 0, ElevationDeg: elevationDeg}}))(t)
}

// skyline takes pairs of azimuth and elevation.
func skyline(t testing.TB, deg ...float64) solar.Skyline {
	var pts []solar.SkylinePoint
	for i := 0; i < len(deg); i += 2 {
		pts = append(pts, solar.SkylinePoint{AzimuthDeg: deg[i], ElevationDeg: deg[i+1]})
	}
	return must(solar.NewSkyline(pts))(t)
}

func TestViewOfTheOpenSky(t *testing.T) {
	// A skyline at 0° takes the way of the integral and must give the closed
	// form, also for surfaces that look down.
	for tilt := 0.0; tilt <= 180; tilt += 15 {
		for _, facing := range []float64{0, 77, 180, -90, 400} {
			m := Mount{TiltDeg: tilt, FacingDeg: facing}
			open := must(NewPlane(m))(t)
			m.Skyline = ring(t, 0)
			p := must(NewPlane(m))(t)
			require.InDelta(t, (1+math.Cos(tilt*rad))/2, open.SkyViewRatio(), 1e-15)
			require.InDelta(t, open.SkyViewRatio(), p.SkyViewRatio(), 1e-5, "%+v", m)
			require.InDelta(t, open.bandView, p.bandView, 1e-12)
		}
	}
}

func TestViewBehindASkyline(t *testing.T) {
	for h := 0.0; h < 90; h += 7.5 {
		level := must(NewPlane(Mount{Skyline: ring(t, h)}))(t)
		// All round at h: cos²h of an even sky remain on the level, and on a wall
		// 1/2 − (h + sin h cos h)/π, both by hand.
		require.InDelta(t, math.Pow(math.Cos(h*rad), 2), level.SkyViewRatio(), 1e-12, "%g", h)
		wall := must(NewPlane(Mount{TiltDeg: 90, FacingDeg: 123, Skyline: ring(t, h)}))(t)
		require.InDelta(t, 0.5-(h*rad+math.Sin(h*rad)*math.Cos(h*rad))/math.Pi, wall.SkyViewRatio(), 1e-5, "%g", h)
		require.InDelta(t, max(0, 1-h/6.5), wall.bandView, 1e-12)
	}
	// A wall across the southern half of the horizon: half the level's loss, and
	// a surface that faces it loses more than one that turns its back.
	half := skyline(t, 90, 0, 90, 30, 270, 30, 270, 0)
	level := must(NewPlane(Mount{Skyline: half}))(t)
	require.InDelta(t, 1-math.Pow(math.Sin(30*rad), 2)/2, level.SkyViewRatio(), 2e-4)
	facing := must(NewPlane(Mount{TiltDeg: 45, FacingDeg: 180, Skyline: half}))(t)
	away := must(NewPlane(Mount{TiltDeg: 45, FacingDeg: 0, Skyline: half}))(t)
	open := (1 + math.Cos(45*rad)) / 2
	require.Less(t, facing.SkyViewRatio(), open-0.15)
	require.InDelta(t, open, away.SkyViewRatio(), 0.012)
	require.Less(t, facing.bandView, 1e-3)
	require.InDelta(t, away.sinTilt, away.bandView, 1e-3)
	// The integral against a plain sum over the hemisphere.
	for _, p := range []*Plane{facing, away} {
		sum := 0.0
		const n = 360
		for i := range n {
			for j := range n {
				az, e := (float64(i)+0.5)*360/n, (float64(j)+0.5)*90/n
				if half.Hides(az, e) {
					continue
				}
				c := math.Sin(e*rad)*p.cosTilt + math.Cos(e*rad)*p.sinTilt*math.Cos(az*rad-p.facing)
				sum += max(0, c) * math.Cos(e*rad) * (2 * math.Pi / n) * (math.Pi / 2 / n)
			}
		}
		require.InDelta(t, sum/math.Pi, p.SkyViewRatio(), 1e-3)
	}
}

func TestWholeTurnsOfTheAzimuth(t *testing.T) {
	p := must(NewPlane(Mount{Skyline: skyline(t, 100, 0, 100, 30, 140, 30, 140, 0)}))(t)
	for az, hidden := range map[float64]bool{99.9: false, 100.1: true, 139.9: true, 140.1: false} {
		for _, turns := range []float64{-360, 0, 360} {
			require.Equal(t, hidden, p.Hidden(Sun{20, az + turns, 1}), "%g", az+turns)
		}
	}
}

func TestIncidenceOfASunAlongTheNormal(t *testing.T) {
	// Rounding takes the cosine past 1 for some of them; there is an angle for all.
	for tilt := 0.0; tilt <= 90; tilt += 0.37 {
		for az := 0.0; az < 360; az += 7.3 {
			p := must(NewPlane(Mount{TiltDeg: tilt, FacingDeg: az}))(t)
			if a := p.IncidenceDeg(Sun{90 - tilt, az, 1}); !(a >= 0 && a < 2e-6) {
				t.Fatalf("tilt %g facing %g: %g", tilt, az, a)
			}
			if a := p.IncidenceDeg(Sun{tilt - 90, az + 180, 1}); !(a > 180-2e-6 && a <= 180) {
				t.Fatalf("behind tilt %g facing %g: %g", tilt, az, a)
			}
		}
	}
}

func TestSkylineCutsBeamAndSky(t *testing.T) {
	l := Light{500, 700, 120}
	for _, model := range []SkyModel{Perez, HayDavies, Reindl, Isotropic} {
		m := Mount{TiltDeg: 50, FacingDeg: 180, Albedo: 0.2, Sky: model}
		open := must(NewPlane(m))(t)
		m.Skyline = skyline(t, 120, 0, 120, 25, 240, 25, 240, 0)
		cut := must(NewPlane(m))(t)
		low, high := Sun{24.9, 180, 1}, Sun{25.1, 180, 1}
		require.True(t, cut.Hidden(low))
		require.False(t, cut.Hidden(high))
		require.False(t, open.Hidden(low))
		require.True(t, open.Hidden(Sun{0, 180, 1}))
		a, b := cut.On(low, l), cut.On(high, l)
		require.Zero(t, a.BeamWPerM2)
		require.Zero(t, a.CircumsolarWPerM2)
		require.Equal(t, open.On(high, l).BeamWPerM2, b.BeamWPerM2)
		require.Equal(t, open.On(high, l).CircumsolarWPerM2, b.CircumsolarWPerM2)
		require.Less(t, b.SkyWPerM2, open.On(high, l).SkyWPerM2)
		require.Less(t, a.SkyWPerM2, b.SkyWPerM2+1e-9)
		require.Greater(t, a.SkyWPerM2, 20.0)
		require.Equal(t, open.On(high, l).GroundWPerM2, b.GroundWPerM2, "the ground is lit as measured")
		// A higher skyline never gives more even sky.
		prev := math.Inf(1)
		for h := 0.0; h <= 80; h += 10 {
			m.Skyline = ring(t, h)
			v := must(NewPlane(m))(t).On(Sun{85, 180, 1}, l)
			require.LessOrEqual(t, v.SkyWPerM2-v.CircumsolarWPerM2, prev+1e-9)
			prev = v.SkyWPerM2 - v.CircumsolarWPerM2
		}
		// Beyond 360° and below 0° is the same direction.
		for _, turns := range []float64{-360, 360} {
			require.True(t, cut.Hidden(Sun{24.9, 180 + turns, 1}))
		}
		require.True(t, cut.Hidden(Sun{24.9, 239.9, 1}))
		require.False(t, cut.Hidden(Sun{24.9, 240.1, 1}))
		require.False(t, cut.Hidden(Sun{24.9, -1, 1}))
	}
}

func TestLevelPlaneInTheOpenReturnsTheGlobal(t *testing.T) {
	for _, model := range []SkyModel{Perez, HayDavies, Reindl, Isotropic} {
		p := must(NewPlane(Mount{FacingDeg: 33, Albedo: 0.5, Sky: model}))(t)
		for e := 5.0; e <= 90; e += 5 {
			for _, l := range []Light{{0, 700, 90}, {0, 0, 150}, {0, 300, 300}} {
				l.GlobalWPerM2 = l.BeamNormalWPerM2*math.Sin(e*rad) + l.DiffuseWPerM2
				on := p.On(Sun{e, 250, 1}, l)
				require.InDelta(t, l.GlobalWPerM2, on.TotalWPerM2, 1e-10, "%v %g", model, e)
				require.Zero(t, on.GroundWPerM2)
			}
		}
	}
}

func TestPlaneProperties(t *testing.T) {
	l := Light{600, 650, 150}
	for _, model := range []SkyModel{Perez, HayDavies, Reindl, Isotropic} {
		// Mirrored about the meridian.
		a := must(NewPlane(Mount{TiltDeg: 60, FacingDeg: 150, Albedo: 0.3, Sky: model}))(t).On(Sun{35, 100, 1}, l)
		b := must(NewPlane(Mount{TiltDeg: 60, FacingDeg: 210, Albedo: 0.3, Sky: model}))(t).On(Sun{35, 260, 1}, l)
		require.InDelta(t, a.TotalWPerM2, b.TotalWPerM2, 1e-9)
		// Whole turns change nothing but rounding.
		c := must(NewPlane(Mount{TiltDeg: 60, FacingDeg: 150 - 360, Albedo: 0.3, Sky: model}))(t).On(Sun{35, 460, 1}, l)
		require.InDelta(t, a.TotalWPerM2, c.TotalWPerM2, 1e-9)
		// Square to the sun there is no more beam to gain.
		best := must(NewPlane(Mount{TiltDeg: 55, FacingDeg: 100, Sky: model}))(t)
		require.InDelta(t, 0, best.IncidenceDeg(Sun{35, 100, 1}), 1e-5)
		require.InDelta(t, l.BeamNormalWPerM2, best.On(Sun{35, 100, 1}, l).BeamWPerM2, 1e-9)
		// A surface with the sun behind has none, whatever the model.
		back := must(NewPlane(Mount{TiltDeg: 90, FacingDeg: 0, Albedo: 0.2, Sky: model}))(t).On(Sun{35, 180, 1}, l)
		require.Zero(t, back.BeamWPerM2)
		require.Zero(t, back.CircumsolarWPerM2)
		require.InDelta(t, -math.Cos(35*rad), back.IncidenceCosRatio, 1e-15)
		require.InDelta(t, 0.1*l.GlobalWPerM2, back.GroundWPerM2, 1e-9)
		// Facing down: only ground.
		down := must(NewPlane(Mount{TiltDeg: 180, Albedo: 0.2, Sky: model}))(t).On(Sun{35, 180, 1}, l)
		require.InDelta(t, 120, down.TotalWPerM2, 1e-9)
		// Night: what light there is comes evenly.
		night := must(NewPlane(Mount{TiltDeg: 90, FacingDeg: 90, Albedo: 0.2, Sky: model}))(t).On(Sun{-3, 85, 1}, Light{4, 0, 4})
		require.InDelta(t, 2+0.4, night.TotalWPerM2, 1e-12)
		require.Zero(t, night.CircumsolarWPerM2)
		require.Zero(t, must(NewPlane(Mount{TiltDeg: 90, Sky: model}))(t).On(Sun{30, 0, 1}, Light{}).TotalWPerM2)
	}
	// The brighter skies add to the even one for a surface that faces the sun.
	m := Mount{TiltDeg: 60, FacingDeg: 180}
	m.Sky = Isotropic
	even := must(NewPlane(m))(t).On(Sun{25, 180, 1}, l).SkyWPerM2
	for _, model := range []SkyModel{Perez, HayDavies, Reindl} {
		m.Sky = model
		require.Greater(t, must(NewPlane(m))(t).On(Sun{25, 180, 1}, l).SkyWPerM2, 1.2*even)
	}
	require.Equal(t, m, must(NewPlane(m))(t).Mount())
}

func TestEffective(t *testing.T) {
	sun, l := Sun{20, 180, 1}, Light{300, 500, 120}
	m := Mount{TiltDeg: 30, FacingDeg: 150, Albedo: 0.25}
	bare := must(NewPlane(m))(t)
	on := bare.On(sun, l)
	require.Equal(t, on.TotalWPerM2, bare.EffectiveWPerM2(on, 0))
	require.InDelta(t, 0.6*on.TotalWPerM2, bare.EffectiveWPerM2(on, 40), 1e-12)
	require.Zero(t, bare.EffectiveWPerM2(on, 100))
	m.SoilingPct = 5
	m.Cover = must(NewGlassCover(1.526, 4, 2))(t)
	glass := must(NewPlane(m))(t)
	on = glass.On(sun, l)
	require.Greater(t, on.CircumsolarWPerM2, 10.0)
	iam := m.Cover.BeamRatio(glass.IncidenceDeg(sun))
	want := 0.95 * ((on.BeamWPerM2+on.CircumsolarWPerM2)*iam + (on.SkyWPerM2-on.CircumsolarWPerM2)*m.Cover.SkyRatio(30) + on.GroundWPerM2*m.Cover.GroundRatio(30))
	require.InDelta(t, want, glass.EffectiveWPerM2(on, 0), 1e-9)
	require.InDelta(t, want*0.75, glass.EffectiveWPerM2(on, 25), 1e-9)
	// Where the horizon is darker than the mean sky, the circumsolar part can
	// exceed the whole; it then stands for it.
	odd := Irradiance{SkyWPerM2: 10, CircumsolarWPerM2: 15, TotalWPerM2: 10, IncidenceCosRatio: 1}
	require.InDelta(t, 9.5, glass.EffectiveWPerM2(odd, 0), 1e-12)
	for _, bad := range []float64{-1, 101, math.NaN()} {
		require.True(t, math.IsNaN(glass.EffectiveWPerM2(on, bad)))
		require.Error(t, CheckSnow(bad))
	}
	require.NoError(t, CheckSnow(100))
}

func TestPlaneRefuses(t *testing.T) {
	for want, m := range map[string]Mount{
		"tilt -1 deg is outside 0..180 deg":          {TiltDeg: -1},
		"tilt 181 deg is outside 0..180 deg":         {TiltDeg: 181},
		"facing 721 deg is outside -360..720 deg":    {FacingDeg: 721},
		"facing NaN deg is outside -360..720 deg":    {FacingDeg: math.NaN()},
		"albedo 20 is outside 0..1: percent?":        {Albedo: 20},
		"albedo -0.1 is outside 0..1":                {Albedo: -0.1},
		"soiling loss 101 % is outside 0..100 %":     {SoilingPct: 101},
		"sky model 4 is outside 0..3":                {Sky: 4},
		"sky model -1 is outside 0..3":               {Sky: -1},
		"soiling loss NaN % is outside 0..100 %":     {SoilingPct: math.NaN()},
		"facing -360.5 deg is outside -360..720 deg": {FacingDeg: -360.5},
	} {
		_, err := NewPlane(m)
		require.EqualError(t, err, want)
	}
	_, err := NewPlane(Mount{TiltDeg: 180, FacingDeg: 720, Albedo: 1, SoilingPct: 100, Sky: Isotropic})
	require.NoError(t, err)

	p := must(NewPlane(Mount{TiltDeg: 30}))(t)
	nan := math.NaN()
	for _, s := range []Sun{{91, 0, 1}, {nan, 0, 1}, {30, 721, 1}, {30, nan, 1}, {30, 0, 0}, {30, 0, 1.06}, {30, 0, 1.5e8}, {30, 0, nan}} {
		require.Error(t, s.Check())
		on := p.On(s, Light{100, 0, 100})
		for _, v := range []float64{on.BeamWPerM2, on.SkyWPerM2, on.CircumsolarWPerM2, on.GroundWPerM2, on.TotalWPerM2, on.IncidenceCosRatio, p.IncidenceDeg(s)} {
			require.True(t, math.IsNaN(v), "%+v", s)
		}
	}
	require.EqualError(t, Sun{30, 0, 1.5e8}.Check(), "distance of the sun 1.5e+08 AU is outside 0.95..1.05 AU: kilometres?")
	require.EqualError(t, Sun{30, 0, 0}.Check(), "distance of the sun 0 AU is outside 0.95..1.05 AU: left out?")
	for _, l := range []Light{{-1, 0, 0}, {0, -1, 0}, {0, 0, -1}, {nan, 0, 0}, {0, nan, 0}, {0, 0, nan}, {2501, 0, 0}, {0, 1501, 0}, {0, 0, 1501}} {
		require.Error(t, l.Check())
		require.True(t, math.IsNaN(p.On(Sun{30, 0, 1}, l).TotalWPerM2))
	}
	require.NoError(t, Light{500, 800, 100}.Check())
	require.NoError(t, Light{100, 0, 100.01}.Check())
	require.EqualError(t, Light{100, 0, 100.02}.Check(), "global irradiance 100 W/m² and diffuse irradiance 100.02 W/m² contradict each other: the diffuse part cannot exceed the global")
	require.True(t, math.IsNaN(Sun{DistanceAU: 2}.ExtraterrestrialWPerM2()))
	require.True(t, math.IsNaN(Sun{ElevationDeg: -0.01}.AirMass()))
	require.True(t, math.IsNaN(Sun{ElevationDeg: 90.01}.AirMass()))
	require.True(t, math.IsNaN(DistanceOnDayAU(0)))
	require.True(t, math.IsNaN(DistanceOnDayAU(367)))
	require.False(t, math.IsNaN(DistanceOnDayAU(366)))
}

func TestAirMassBySeries(t *testing.T) {
	for e := 0.0; e <= 90; e += 0.01 {
		want := 1 / (math.Sin(e*rad) + 0.50572*math.Pow(e+6.07995, -1.6364))
		require.InEpsilon(t, want, Sun{ElevationDeg: e}.AirMass(), 4e-12, "%g", e)
	}
}

func TestNoAllocation(t *testing.T) {
	p := must(NewPlane(Mount{TiltDeg: 40, FacingDeg: 170, Albedo: 0.2, Cover: must(NewGlassCover(1.526, 4, 2))(t), Skyline: ring(t, 5)}))(t)
	site := must(solar.NewSite(48, 16, 200))(t)
	r := record("2024-03-20T08:00:00Z", 400, 500, 120)
	sensor := LightSensor{54612.5, 10}
	for name, f := range map[string]func(){
		"On":          func() { sink = p.EffectiveWPerM2(p.On(Sun{30, 150, 1}, Light{500, 600, 100}), 10) },
		"Over":        func() { sink = p.Over(site, r).TotalWPerM2 },
		"SunUp":       func() { _, sink = SunUp(site, r.Start, r.Length) },
		"Split":       func() { sink = Erbs.Light(Sun{30, 150, 1}, 400).DiffuseWPerM2 },
		"ClearSky":    func() { sink = ClearSky(Sun{30, 150, 1}, 100, 3).GlobalWPerM2 },
		"Illuminance": func() { sink = Light{500, 600, 100}.Illuminance(Sun{30, 150, 1}, 10).GlobalLx },
		"Irradiance":  func() { sink = sensor.Irradiance(Sun{30, 150, 1}, 30000).BestWPerM2 },
	} {
		limit := 0.0
		switch name {
		case "Over", "SunUp":
			limit = 1 // the Site goes into the Ephemeris, once a call; a *Track does not
		}
		require.LessOrEqual(t, testing.AllocsPerRun(100, f), limit, name)
	}
	track := must(site.Track(r.Start, r.Start.Add(r.Length)))(t)
	require.Zero(t, testing.AllocsPerRun(100, func() { sink = p.Over(track, r).TotalWPerM2 }), "Over with a track")
}
