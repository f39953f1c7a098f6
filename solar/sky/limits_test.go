package sky

import (
	"fmt"
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"github.com/stationphysics/stationphysics/internal/refdata"
)

func TestRayleighAir(t *testing.T) {
	refdata.Each(t, "solar/sky/rayleigh", func(r *refdata.Row) {
		m := r.F("airMass")
		r.Check("inverseDepth", m/rayleighPath(m), fmt.Sprintf("%g over the Rayleigh path", m))
		r.Check("beamRatio", rayleighRatio(m), fmt.Sprintf("beam through Rayleigh air of mass %g", m))
	})
}

func TestPossibleLimits(t *testing.T) {
	refdata.Each(t, "solar/sky/possible_limits", func(r *refdata.Row) {
		e := r.F("elevationDeg")
		sun := Sun{ElevationDeg: e, DistanceAU: 1}
		r.Check("globalWPerM2", mostGlobal(sun.extraterrestrial(), math.Sin(e*rad)), fmt.Sprintf("most global at %g°", e))
		r.Check("diffuseWPerM2", mostDiffuse(sun.extraterrestrial(), math.Sin(e*rad)), fmt.Sprintf("most diffuse at %g°", e))
	})
}

// Diffuse above global: 5 % of room and 5 W/m², 10 % below 15° of elevation.
func TestRoomOfTheDiffuse(t *testing.T) {
	site := vienna(t)
	passes := func(r Record) bool {
		_, err := Clean([]Record{r}, site, ErbsDriesse)
		return err == nil
	}
	noon := "2024-03-20T11:00:00Z"
	require.True(t, passes(record(noon, 200, 0, 215-1e-6)))
	require.False(t, passes(record(noon, 200, 0, 215+1e-6)))
	start := time.Date(2024, 3, 20, 5, 0, 0, 0, time.UTC)
	below, above := 0, 0
	for m := range 180 {
		r := Record{start.Add(time.Duration(m) * time.Minute), time.Hour, Light{100, 0, 115 - 1e-6}}
		mid, _ := SunUp(site, r.Start, r.Length)
		require.Equal(t, mid.ElevationDeg < 15, passes(r), "%g°", mid.ElevationDeg)
		switch {
		case mid.ElevationDeg < 15:
			below++
			r.DiffuseWPerM2 = 115 + 1e-6
			require.False(t, passes(r), "%g°", mid.ElevationDeg)
		case mid.ElevationDeg < 16:
			above++
		}
	}
	require.Greater(t, below, 30)
	require.Greater(t, above, 2)
}

// A rounding of the last printed digit, 0.01 W/m², is no contradiction; more is.
func TestRoundedDiffuse(t *testing.T) {
	require.NoError(t, Light{100, 0, 100.01 - 1e-6}.Check())
	require.Error(t, Light{100, 0, 100.01 + 1e-6}.Check())
}

// In the first minutes of a day the light of the sky outweighs that of the sun:
// the clearness passes 2, and there is an answer all the same.
func TestMoreSkyThanSun(t *testing.T) {
	for _, m := range []Split{ErbsDriesse, Erbs, BolandRidley} {
		sun := Sun{ElevationDeg: 0.1, DistanceAU: 1} // 2.4 W/m² on the level outside
		l := m.Light(sun, 20)
		require.NoError(t, l.Check())
		require.InDelta(t, 20, l.DiffuseWPerM2+l.BeamNormalWPerM2*math.Sin(0.1*rad), 1e-9)
	}
	site := vienna(t)
	var s walk
	r := record("2024-03-20T04:03:00Z", 30, nan, nan)
	require.True(t, s.follow(site, r.Start, r.Length))
	require.Greater(t, s.up, 0.0)
	require.Greater(t, 30/(s.e0*s.sum), 2.0)
	one := []Record{r}
	_, err := Clean(one, site, ErbsDriesse)
	require.NoError(t, err)
	require.NoError(t, one[0].Check())
	require.Equal(t, 30.0, one[0].GlobalWPerM2)
}

// A skyline at half the height of the bright band, 6.5° (Perez et al. 1987), leaves
// half of it, one at its height nothing.
func TestHalfTheHorizonBand(t *testing.T) {
	for height, want := range map[float64]float64{3.25: 0.5, 1.3: 0.8, 6.5: 0} {
		line := skyline(t, 0, height, 180, height)
		for _, tilt := range []float64{30, 90} {
			p := must(NewPlane(Mount{TiltDeg: tilt, FacingDeg: 140, Skyline: line}))(t)
			require.InDelta(t, want, p.view().band, 1e-12, "%g°", height)
		}
		// Of the level sky cos² of the height stays.
		level := must(NewPlane(Mount{Skyline: line}))(t)
		c := math.Cos(height * rad)
		require.InDelta(t, c*c, level.SkyViewRatio(), 1e-12)
	}
}

// A dark sky has the efficacy of a brightness of 0.01: by hand with a dew point of
// 10 °C, 1.868246 cm of water, and the sun in the zenith,
// 96.63 - 0.47·1.868246 + 11.50 - 9.16·ln 0.01 = 149.4353 lm/W.
func TestEfficacyOfADarkSky(t *testing.T) {
	ill := Light{5, 0, 5}.Illuminance(Sun{ElevationDeg: 90, DistanceAU: 1}, 10)
	require.InDelta(t, 5*149.4353, ill.GlobalLx, 5e-4)
	// 97.24 - 0.46·1.868246 + 12.00 - 8.91·ln 0.01 = 149.4126.
	require.InDelta(t, 5*149.4126, ill.DiffuseLx, 5e-4)
}

// At dusk all light is diffuse, so that the water vapour alone makes the band: half
// of the usual at one end, one and a half times at the other.
func TestWaterMakesTheBandOfDusk(t *testing.T) {
	sun := Sun{ElevationDeg: -1, DistanceAU: 1}
	s := LightSensor{TopLx: 200000, DewPointC: 10}
	const lux, water = 300.0, 1.8682460 // exp(0.07·10 - 0.075)
	b := s.Irradiance(sun, lux)
	back := func(g, w float64) float64 { return illuminance(sun, Light{g, 0, g}, w).GlobalLx }
	// The root is found to 1e-6 W/m², 100 lm/W each.
	require.InDelta(t, lux, back(b.LowWPerM2, 0.5*water), 3e-4, "vapour takes of the lumens here")
	require.InDelta(t, lux, back(b.BestWPerM2, water), 3e-4)
	require.InDelta(t, lux, back(b.HighWPerM2, 1.5*water), 3e-4)
	// To first order: 0.47 lm/W a centimetre, against the efficacy less the 9.16 lm/W that
	// it loses with the logarithm of the light.
	require.InDelta(t, 0.47*water/(lux/b.BestWPerM2-9.16), math.Log(b.HighWPerM2/b.LowWPerM2), 2e-5)
}

// One count in 65535 below the top is still the top.
func TestLastCountOfTheSensor(t *testing.T) {
	s := LightSensor{TopLx: 65535, DewPointC: 10} // a lux a count
	sun := Sun{ElevationDeg: 30, DistanceAU: 1}
	require.True(t, s.Irradiance(sun, 65534+1e-6).AtLeast)
	require.False(t, s.Irradiance(sun, 65534-1e-6).AtLeast)
}

// The band goes down to a share of 5 % of diffuse light and up to an even sky where
// nothing else bounds it, and it holds both ends.
func TestSharesOfTheBand(t *testing.T) {
	sun := Sun{ElevationDeg: 60, DistanceAU: 1}
	s := LightSensor{TopLx: 200000, DewPointC: 10}
	b := s.Irradiance(sun, 2000)
	for _, kd := range []float64{0.05, 0.1, 0.5, 1} {
		for _, w := range []float64{0.5, 1, 1.5} {
			g, ok := solveGlobal(sun, 2000, w*PrecipitableWaterCm(10), func(g float64) Light {
				return Light{g, g * (1 - kd) / math.Sin(60*rad), g * kd}
			})
			require.True(t, ok)
			require.LessOrEqual(t, b.LowWPerM2, g, "%g %g", kd, w)
			require.GreaterOrEqual(t, b.HighWPerM2, g, "%g %g", kd, w)
		}
	}
}

// A skyline asked for across north, over whole turns and right around.
func TestHorizonOfWholeTurns(t *testing.T) {
	h := newHorizon(skyline(t, 0, 5, 90, 20, 180, 10, 270, 30))
	for _, turns := range []float64{-360, 0, 360} {
		low, high := h.between(turns+89.5, turns+90.5)
		require.InDelta(t, 20-15.0/90, low, 1e-9, "from 89° on: 15° rise in 90°")
		require.InDelta(t, 20, high, 1e-9)
	}
	low, high := h.between(-360, 720)
	require.Equal(t, []float64{5, 30}, []float64{low, high})
}

// The parabola of a rule goes through the values at its nodes.
func TestCourseThroughTheNodes(t *testing.T) {
	for _, rule := range [][]node{gauss2[:], gauss3[:]} {
		s := walk{reach: 0.5 - rule[0].at}
		f := func(x float64) float64 { return 7 - 4*x + 3*x*x }
		q := s.course(f(-s.reach), f(0), f(s.reach))
		for _, x := range []float64{-0.5, -0.2, 0, 0.1, 0.5} {
			require.InDelta(t, f(x), q.at(x), 1e-12)
		}
	}
}

// The sun of a rising or falling hour is highest at its end or beginning: by hand, for
// a sine 0.4 + 0.2 x + 0.1 x² over the hour from -0.5 to 0.5 it is 0.525 at the end.
func TestHighestSineIsAtTheEnds(t *testing.T) {
	for _, rule := range [][]node{gauss2[:], gauss3[:]} {
		for _, way := range []float64{1, -1} {
			sine := func(x float64) float64 { x *= way; return 0.4 + 0.2*x + 0.1*x*x }
			var s walk
			s.reach = 0.5 - rule[0].at
			s.toMid.UpRatio = sine(0)
			for _, q := range rule {
				s.place[s.n].sine = sine(q.at - 0.5)
				s.n++
			}
			require.InDelta(t, 0.525, s.highestSine(), 1e-14, "%d nodes, %g", s.n, way) // rounding
		}
	}
}
