package sky

import (
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"github.com/stationphysics/stationphysics/solar"
)

// The bounds of the horizon give what the skyline gives, whole degrees, both ends of
// vertical edges, the line itself and 360° included. The bin beside each edge here
// falls or rises from 20° to its foot, so that no other point of it is as low.
func TestHorizonHidesWhatTheSkylineHides(t *testing.T) {
	line := skyline(t, 0, 10, 84, 20, 85, 5, 85, 30, 130, 30, 130, 5, 131, 20, 240, 20, 240.5, 35, 241, 20, 350, 10)
	h := newHorizon(line)
	require.Equal(t, 35.0, h.top)
	for k := range 360 * 16 {
		azimuth := float64(k) / 16
		for _, e := range []float64{0, 4.9, 5, 7, 10, 10.1, 19, 20, 20.1, 30, 34.9, 35, 36, line.ElevationDeg(azimuth)} {
			require.Equal(t, line.Hides(azimuth, e), h.hides(line, azimuth, e), "%g° at %g°", e, azimuth)
		}
	}
	// The bins about an edge, and the one from north on, by hand.
	low, high := h.between(0.4, 0.5)
	require.Equal(t, 10.0, low)
	require.InDelta(t, 10+10.0/84, high, 1e-12)
	// Below north by rounding.
	azimuth := turn(-1e-16)
	require.Equal(t, 360.0, azimuth)
	require.True(t, h.hides(line, azimuth, 9.9))
	require.False(t, h.hides(line, azimuth, 10.1))

	// The foot and the top of an edge at north belong to the bins on both sides.
	north := newHorizon(skyline(t, 0, 5, 0, 30, 1, 20, 359, 20))
	low, high = north.between(-0.5, -0.4)
	require.Equal(t, []float64{5, 30}, []float64{low, high})
	low, high = north.between(0.4, 0.5)
	require.Equal(t, []float64{5, 30}, []float64{low, high})
}

// An arching sun goes by a parabola of the share of an hour, with the same lift of the
// apparent sun all along, and counts how often it is asked.
type arching struct {
	start           time.Time
	tm, slope, bend float64 // of the true elevation, about the middle
	liftDeg         float64
	asked           *int
}

func (a arching) At(t time.Time) solar.Position {
	*a.asked++
	y := t.Sub(a.start).Hours() - 0.5
	e := a.tm + a.slope*y + a.bend*y*y
	return solar.Position{TrueElevationDeg: e, ApparentElevationDeg: e + a.liftDeg, AzimuthDeg: 100, DistanceAU: 1}
}

// On a parabola with the usual lift of 0.57° the first step meets the horizon, at the
// root of tm + 0.57 + slope y + bend y² within the hour; with another lift the second.
func TestHorizonInOneStepOrTwo(t *testing.T) {
	start := time.Date(2024, 3, 20, 5, 0, 0, 0, time.UTC)
	for _, bend := range []float64{-3, -1, 0, 2} {
		for _, slope := range []float64{8, -8, 14} {
			for _, y := range []float64{-0.4, -0.2, 0.1, 0.35} {
				for lift, steps := range map[float64]int{0.57: 1, 0.5: 2} {
					tm := -lift - slope*y - bend*y*y
					asked := 0
					sun := arching{start, tm, slope, bend, lift, &asked}
					c := newPassage(sun, start, time.Hour)
					p0, pm, p1 := c.at(0), c.at(0.5), c.at(1)
					asked = 0
					x := horizonAt(&c, &p0, &pm, &p1)
					// An instant of time is a whole nanosecond.
					require.InDelta(t, y+0.5, x, 1e-9, "%+v", sun)
					require.Equal(t, steps, asked, "%+v", sun)
				}
			}
		}
	}
}

// The Illinois form halves the value of the end that stays, on either side: the roots of
// 6x⁶ - 1 and its mirror image, where the false position alone creeps. 0.001 of a slope of
// 36 · 6^(-5/6) = 8.09 are 0.00012.
func TestCrossingOfABentCurve(t *testing.T) {
	root := math.Pow(6, -1.0/6)
	for _, way := range []float64{1, -1} {
		f := func(x float64) float64 { return way * (6*math.Pow(x, 6) - 1) }
		require.InDelta(t, root, crossing(f, 0, f(0), 1, f(1)), 1.25e-4)
		g := func(x float64) float64 { return f(1 - x) }
		require.InDelta(t, 1-root, crossing(g, 0, g(0), 1, g(1)), 1.25e-4)
	}
}

// Within a step the sun goes on with the mean of the speeds to both neighbours, also over
// north, and climbs and turns at once. By hand, of the middles of nine parts at k/9, k =
// -4 to 4.
func TestSpeedWithinAStep(t *testing.T) {
	toward := func(azimuthDeg, elevationDeg float64) solar.Direction {
		p := solar.Position{AzimuthDeg: azimuthDeg, ApparentElevationDeg: elevationDeg}
		return p.Direction()
	}
	for name, c := range map[string]struct {
		step int
		line solar.Skyline
		sun  func(steps float64) solar.Direction
		seen float64
	}{
		// 10, 11.5, 14, 17.5°: 2° over step 1, which pass 0.7° at 0.35.
		"speeding up, early": {1, skyline(t, 0, 12.2, 180, 12.2), func(s float64) solar.Direction { return toward(120, 10+s+s*s/2) }, 1},
		// 3° over step 2, which pass 0.9° at 0.3.
		"speeding up, late": {2, skyline(t, 0, 14.9, 180, 14.9), func(s float64) solar.Direction { return toward(120, 10+s+s*s/2) }, 2},
		// From 359.25° on hidden: a degree over step 0, from 359°.
		"over north": {0, skyline(t, 180, 5, 359.25, 5, 359.25, 20, 170, 20), func(s float64) solar.Direction { return toward(math.Mod(359+s, 360), 10) }, 7},
		// Behind the edge from 0.05 of the step on, over its top of 0.3° from 0.3 on.
		"climbs and turns": {1, skyline(t, 0, 5, 121.05, 5, 121.05, 11.3, 300, 11.3), func(s float64) solar.Direction { return toward(120+s, 10+s) }, 7},
	} {
		s := walk{even: true}
		for s.n < 4 {
			s.toSun[s.n], s.place[s.n].share = c.sun(float64(s.n)), 0.25
			s.n++
		}
		require.InDelta(t, c.seen/9, must(NewPlane(Mount{Skyline: c.line}))(t).free(&s, c.step), 1e-12, name)
	}
}

// A long record that begins or ends with a few minutes in the dark or in the sun: its
// steps cover the sun-up part, by the second, and one step alone holds the whole beam.
func TestFirstAndLastMinutesOfALongRecord(t *testing.T) {
	site := vienna(t)
	day := time.Date(2024, 3, 20, 0, 0, 0, 0, time.UTC)
	up := func(at time.Time) bool { return site.At(at).ApparentElevationDeg > 0 }
	rise, set := day.Add(4*time.Hour), day.Add(16*time.Hour)
	for !up(rise) {
		rise = rise.Add(time.Second)
	}
	for up(set) {
		set = set.Add(time.Second)
	}
	const length = 3 * time.Hour
	var s walk
	for _, c := range []struct {
		start time.Time
		upS   float64
		steps int
	}{
		{rise.Add(-3 * time.Minute), 10800 - 180, 24}, {set.Add(-3 * time.Minute), 180, 1},
		{set.Add(3*time.Minute - length), 10800 - 180, 24}, {rise.Add(3*time.Minute - length), 180, 1},
	} {
		require.True(t, s.follow(site, c.start, length))
		require.Equal(t, c.steps, s.n)
		// 0.001° of the horizon are 0.4 s at this latitude, and the seconds one more.
		require.InDelta(t, c.upS, s.up*10800, 1.5, "%v", c.start)
		beam := 0.0
		for _, p := range s.places() {
			beam += p.share * p.haze
			require.Equal(t, s.e0*rayleighRatio(p.mass), p.clear)
		}
		require.InDelta(t, 1, beam, 1e-12, "%v", c.start)
		require.LessOrEqual(t, s.highestSine(), 1.0)
	}
	// In an hour the rule covers what is sunlit.
	for _, start := range []time.Time{rise.Add(-20 * time.Minute), set.Add(-40 * time.Minute), rise.Add(4 * time.Hour)} {
		require.True(t, s.follow(site, start, time.Hour))
		require.False(t, s.even)
		require.InDelta(t, s.up, s.span, 1e-15)
	}
	// A nanosecond more than a step takes another.
	require.True(t, s.followEvenly(site, day.Add(11*time.Hour), stepLength+1))
	require.Equal(t, 2, s.n)
}

// Even steps tell of no parabola, and no sine passes 1: by hand, that of 0.89, 0.95 and 1
// at 0.3 before the middle, in it and 0.3 after it is 1.028 at 0.5.
func TestHighestSineOfEvenSteps(t *testing.T) {
	s := walk{even: true, n: 2, reach: 0.3}
	s.place[0].sine, s.place[1].sine, s.toMid.UpRatio = 0.4, 0.5, 0.7
	require.Equal(t, 0.5, s.highestSine())
	s.even = false
	s.place[0].sine, s.toMid.UpRatio, s.place[1].sine = 0.89, 0.95, 1
	require.Equal(t, 1.0, s.highestSine())
}

// A low sun cannot hold more diffuse light than 0.6 of what comes from outside, and
// 10 W/m²: by hand 0.6 · 1361 · 0.1 + 10 = 91.66 W/m², half of it around the sun (Hay &
// Davies) at a beam of half the outer one, times 0.3 / 0.1. A beam of less than 1 W/m²
// has an incidence of its own.
func TestDiffuseOfALowSun(t *testing.T) {
	p := must(NewPlane(Mount{TiltDeg: 60, FacingDeg: 180, Sky: HayDavies}))(t)
	s := sunlit{up: 1, sum: 0.1, level: 0.1, e0: 1361, ct: 0.9}
	places := []place{{share: 1, elevationDeg: 5.739, sine: 0.1, mass: 9, haze: 1, clear: 1000, lit: 1, open: 1, front: 0.3}}
	on := p.over(&s, places, &Light{570, 680.5, 500})
	require.InDelta(t, 91.66*0.5*0.3/0.1, on.CircumsolarWPerM2, 1e-9)
	require.InDelta(t, 680.5*0.3, on.BeamWPerM2, 1e-9)
	on = p.over(&s, places, &Light{10, 1, 9.9})
	require.InDelta(t, 0.3, on.BeamWPerM2, 1e-12)
	require.InDelta(t, 0.3, on.IncidenceCosRatio, 1e-12)
}

// The faintest beam is spread as the strong one is.
func TestHazeOfAFaintBeam(t *testing.T) {
	var s walk
	require.True(t, s.follow(vienna(t), time.Date(2024, 6, 21, 3, 30, 0, 0, time.UTC), time.Hour))
	var strong, faint [3]float64
	want := 1.1 * s.level
	s.fit(s.places(), &Light{GlobalWPerM2: 300 * want, BeamNormalWPerM2: 300}, strong[:])
	s.fit(s.places(), &Light{GlobalWPerM2: 0.9 * want, BeamNormalWPerM2: 0.9}, faint[:])
	require.NotEqual(t, s.place[0].haze, faint[0])
	for i := range faint {
		require.InEpsilon(t, strong[i], faint[i], 1e-12)
	}
}

// A wall all around, 0.15° above the lowest sun of an hour, takes the half minute in which
// the sun is below, and one 0.15° below its highest leaves as much; a tower at north takes
// its part of an hour of the southern half of the world, and one that stands in the part
// of an hour in which the sun is before a plane takes that from it: against the seconds.
func TestSmallPartsOfAnHour(t *testing.T) {
	day := time.Date(2024, 3, 20, 0, 0, 0, 0, time.UTC)
	north, south := vienna(t), must(solar.NewSite(-48.2, 16.37, 200))(t)
	morning, noon := day.Add(7*time.Hour), day.Add(10*time.Hour+30*time.Minute)
	around := func(deg float64) solar.Skyline { return skyline(t, 0, deg, 180, deg) }
	low, high := north.At(morning).ApparentElevationDeg, north.At(morning.Add(time.Hour)).ApparentElevationDeg
	for name, c := range map[string]struct {
		site         solar.Site
		start        time.Time
		tilt, facing float64
		line         solar.Skyline
	}{
		"lowest":             {north, morning, 66, 115, around(low + 0.15)},
		"highest":            {north, morning, 66, 115, around(high - 0.15)},
		"tower past north":   {south, noon, 45, 0, skyline(t, 1, 0, 1, 60, 5, 60, 5, 0)},
		"middle past north":  {south, noon.Add(12 * time.Minute), 45, 0, skyline(t, 1, 0, 1, 60, 5, 60, 5, 0)},
		"tower before north": {south, noon, 45, 0, skyline(t, 355, 0, 355, 60, 359, 60, 359, 0)},
		"tower and edge":     {north, noon, 90, 270, skyline(t, 183, 0, 183, 60, 186, 60, 186, 0)},
	} {
		p := must(NewPlane(Mount{TiltDeg: c.tilt, FacingDeg: c.facing, Skyline: c.line}))(t)
		cut, open, mean := 0.0, 0.0, 0.0
		for k := range 1800 {
			sun := SunAt(c.site.At(c.start.Add(time.Duration(2*k+1) * time.Second)))
			haze := math.Exp(-0.09 * (usualTurbidity - 1) * sun.AirMass())
			mean += haze
			on := haze * max(0, math.Cos(p.IncidenceDeg(sun)*rad))
			open += on
			if !p.Hidden(sun) {
				cut += on
			}
		}
		var s walk
		require.True(t, s.follow(c.site, c.start, time.Hour))
		require.False(t, s.even)
		want := 700 * cut / mean
		require.Greater(t, min(want, 700*(open-cut)/mean), 4.0, name)
		// Edges are found to 5 s of the hour: 1 W/m² each; the polynomial through the nodes
		// misses as much.
		got := p.Over(c.site, Record{c.start, time.Hour, Light{700 * s.level, 700, 0}}).BeamWPerM2
		require.InDelta(t, want, got, 2.5, name)
	}
}

// A sun that is up for less than the horizon is found to has not risen: by hand, with a
// lift 1e-4° short of the usual one, the root found lies that much below the horizon, and
// so do all places on the way to an end 1e-6° above it, a tenth of 1e-5° at the outermost.
func TestSunUpForLessThanTheHorizonIsFoundTo(t *testing.T) {
	start := time.Date(2024, 3, 20, 5, 0, 0, 0, time.UTC)
	p := must(NewPlane(Mount{TiltDeg: 40, FacingDeg: 180, Albedo: 0.2}))(t)
	for _, length := range []time.Duration{time.Hour, 3 * time.Hour} {
		for _, slope := range []float64{8, -8} {
			asked := 0
			sun := arching{start, 0, slope, 0, 0.5699, &asked}
			end := 0.0
			if slope > 0 {
				end = length.Hours()
			}
			sun.tm = 1e-6 - sun.liftDeg - slope*(end-0.5)
			mid, up := SunUp(sun, start, length)
			require.InDelta(t, 0, up, 1e-4)
			require.NoError(t, mid.Check())
			for _, l := range []Light{{}, {2, 0, 2}, {3, 1, 2}} {
				on := p.Over(sun, Record{start, length, l})
				// Twilight, the sky and the ground of a tilt of 40°.
				require.InDelta(t, l.DiffuseWPerM2*p.SkyViewRatio(), on.SkyWPerM2, 0.01, "%v, slope %g", length, slope)
				require.InDelta(t, on.SkyWPerM2+l.GlobalWPerM2*p.groundView, on.TotalWPerM2, 0.01)
				require.InDelta(t, 0, on.IncidenceCosRatio, 1)
			}
			c := must(p.Course(sun, length, 1, func(int) time.Time { return start }))(t)
			require.InDelta(t, 2*p.SkyViewRatio(), c.Over(0, Light{2, 0, 2}).SkyWPerM2, 0.01)
		}
	}
}
