package sky

import (
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"github.com/stationphysics/stationphysics/solar"
)

// The weights over a part of the span integrate what the rule's polynomial can hold:
// a straight line with two nodes, a parabola with three.
func TestMeasureIntegratesOverAPart(t *testing.T) {
	for _, rule := range [][]node{gauss2[:], gauss3[:]} {
		const lo, hi = 0.25, 1.0 // of the interval: the sun rises at a quarter
		var s walk
		s.span, s.reach = hi-lo, 0.5-rule[0].at
		for _, q := range rule {
			s.place[s.n].share = q.weight * s.span
			s.n++
		}
		at := func(i int) float64 { return rule[i].at - 0.5 }
		f := func(x float64) float64 { return 2 - 3*x + float64(len(rule)-2)*5*x*x }
		// By hand, the integral of f from a to b.
		whole := func(a, b float64) float64 {
			return 2*(b-a) - 1.5*(b*b-a*a) + float64(len(rule)-2)*5*(b*b*b-a*a*a)/3
		}
		for name, c := range map[string]struct {
			reaches func(x float64) bool
			want    float64
		}{
			"always":      {func(float64) bool { return true }, whole(-0.5, 0.5)},
			"never":       {func(float64) bool { return false }, 0},
			"from a time": {func(x float64) bool { return x > 0.123 }, whole(0.123, 0.5)},
			"until one":   {func(x float64) bool { return x < -0.2 }, whole(-0.5, -0.2)},
			"at the end":  {func(x float64) bool { return x > 0.482 }, whole(0.482, 0.5)}, // within the last 48th
			"at first":    {func(x float64) bool { return x < -0.482 }, whole(-0.5, -0.482)},
			"a gap":       {func(x float64) bool { return x < -0.1 || x > 0.3 }, whole(-0.5, -0.1) + whole(0.3, 0.5)},
		} {
			open := s.measure(c.reaches)
			sum := 0.0
			for i := range s.n {
				sum += s.place[i].share * open[i] * f(at(i))
			}
			// An edge is found to half of 1/48/16 of the span.
			require.InDelta(t, c.want*s.span, sum, 8.0/(2*spanParts*16), "%d nodes, %s", s.n, name)
			if name == "always" || name == "never" {
				require.InDelta(t, c.want*s.span, sum, 1e-12, name)
			}
		}
	}
}

// The horizon's bins hold every elevation of the skyline in their azimuths.
func TestHorizonBounds(t *testing.T) {
	line := skyline(t, 10.5, 3, 85, 12, 85, 30, 130, 25, 130, 4, 240, 35, 240, 10, 359.5, 7)
	h := newHorizon(line)
	require.Equal(t, 35.0, h.top)
	for from := -300.0; from < 400; from += 23.7 {
		for _, width := range []float64{0.2, 1.5, 17, 90} {
			low, high := h.between(from, from+width)
			for x := from; x <= from+width; x += width / 50 {
				e := line.ElevationDeg(math.Mod(x+720, 360))
				require.LessOrEqual(t, low, e, "%g", x)
				require.GreaterOrEqual(t, high, e, "%g", x)
			}
		}
	}
	low, high := h.between(90, 120)
	require.Greater(t, low, 25.0, "between the edges of the house")
	require.LessOrEqual(t, high, 30.0)
}

// What a skyline and the edge of a plane leave of an hour, against its seconds.
func TestOverIsTheMeanOfItsSeconds(t *testing.T) {
	site := must(solar.NewSite(48.2, 16.37, 200))(t)
	track := must(site.Track(time.Date(2024, 6, 21, 0, 0, 0, 0, time.UTC), time.Date(2024, 6, 22, 1, 0, 0, 0, time.UTC)))(t)
	yard := skyline(t, 0, 5, 85, 12, 85, 30, 130, 25, 130, 4, 200, 8, 240, 35, 240, 10, 300, 15)
	bent := 0
	for _, m := range []Mount{
		{TiltDeg: 90, FacingDeg: 0}, {TiltDeg: 90, FacingDeg: 270}, {TiltDeg: 60, FacingDeg: 90},
		{TiltDeg: 90, FacingDeg: 270, Skyline: yard}, {TiltDeg: 30, FacingDeg: 180, Skyline: yard},
	} {
		m.Sky = Isotropic
		p := must(NewPlane(m))(t)
		for h := 6; h < 16; h++ { // the sun well up
			start := time.Date(2024, 6, 21, h, 0, 0, 0, time.UTC)
			r := Record{start, time.Hour, Light{0, 700, 0}}
			var s walk
			require.True(t, s.follow(track, start, time.Hour))
			require.False(t, s.even)
			r.GlobalWPerM2 = 700 * s.level
			want := 0.0
			for k := range 720 {
				sun := SunAt(track.At(start.Add(time.Duration(5*k)*time.Second + 2500*time.Millisecond)))
				if p.Hidden(sun) {
					continue
				}
				haze := math.Exp(-0.09 * (usualTurbidity - 1) * sun.AirMass())
				want += max(0, math.Cos(p.IncidenceDeg(sun)*rad)) * haze / 720
			}
			mean := 0.0
			for k := range 720 {
				sun := SunAt(track.At(start.Add(time.Duration(5*k)*time.Second + 2500*time.Millisecond)))
				mean += math.Exp(-0.09*(usualTurbidity-1)*sun.AirMass()) / 720
			}
			want *= 700 / mean
			got := p.Over(track, r)
			p.weigh(&s)
			if s.bent {
				bent++
			}
			// Edges are found to 5 s of the hour: 1 W/m² each; the polynomial through the
			// nodes misses as much.
			require.InDelta(t, want, got.BeamWPerM2, 2.5, "%+v, %d h", m, h)
		}
	}
	require.Greater(t, bent, 2, "the sun passes behind some of the planes")
}

// Within a step of 7.5 minutes the sun goes on as its neighbours show: by hand, one that
// rises or turns by a degree a step is past a line or the edge of a wall a quarter of a
// degree ahead in the last quarter, which holds two of the middles of nine parts, 0.333
// and 0.444.
func TestTheSunGoesOnWithinAStep(t *testing.T) {
	toward := func(azimuthDeg, elevationDeg float64) solar.Direction {
		p := solar.Position{AzimuthDeg: azimuthDeg, ApparentElevationDeg: elevationDeg}
		return p.Direction()
	}
	for name, c := range map[string]struct {
		line func(ahead float64) solar.Skyline
		sun  func(steps float64) solar.Direction
	}{
		"rises": {
			func(i float64) solar.Skyline { return skyline(t, 0, 10.25+i, 180, 10.25+i) },
			func(steps float64) solar.Direction { return toward(120, 10+steps) },
		},
		"turns": {
			func(i float64) solar.Skyline { return skyline(t, 0, 20, 120.25+i, 20, 120.25+i, 5, 300, 5) },
			func(steps float64) solar.Direction { return toward(120+steps, 10) },
		},
	} {
		s := walk{even: true}
		for s.n < 4 {
			s.toSun[s.n], s.place[s.n].share = c.sun(float64(s.n)), 0.25
			s.n++
		}
		for i := range s.n {
			p := must(NewPlane(Mount{Skyline: c.line(float64(i))}))(t)
			require.InDelta(t, 2.0/9, p.free(&s, i), 1e-12, "%s, step %d", name, i)
		}
		// Alone it stays where it is.
		s.n = 1
		for line, want := range map[float64]float64{9: 1, 11: 0} {
			p := must(NewPlane(Mount{Skyline: skyline(t, 0, line, 180, line)}))(t)
			require.Equal(t, want, p.free(&s, 0), "%s, a line at %g°", name, line)
		}
	}
}

// Steps of 7.5 minutes at most, as many as that takes, and the nodes of Gauss's rules
// 1/√3 and √(3/5) of the half interval from its middle (Abramowitz & Stegun, Table 25.4).
func TestStepsOfAnInterval(t *testing.T) {
	site := must(solar.NewSite(48.2, 16.37, 200))(t)
	start := time.Date(2024, 6, 21, 10, 0, 0, 0, time.UTC)
	var s walk
	for length, want := range map[time.Duration]int{
		time.Second: 1, 449 * time.Second: 1, 450 * time.Second: 1, 451 * time.Second: 2,
		time.Hour: 8, time.Hour + time.Second: 9, 3 * time.Hour: 24,
	} {
		require.True(t, s.followEvenly(site, start, length))
		require.Equal(t, want, s.n, "%v", length)
		require.InDelta(t, 1, s.up, 1e-12, "%v", length)
	}
	require.True(t, s.follow(site, start, time.Hour))
	require.Equal(t, 2, s.n)
	require.InDelta(t, 0.5/math.Sqrt(3), s.reach, 1e-15)
	require.Equal(t, 1.0, s.span)
	// The sun at 8° in the middle: three nodes.
	require.True(t, s.follow(site, time.Date(2024, 6, 21, 3, 30, 0, 0, time.UTC), time.Hour))
	require.Equal(t, 3, s.n)
	require.InDelta(t, 0.5*math.Sqrt(0.6), s.reach, 1e-15)
	// Of the last interval nothing is left in the dark.
	require.True(t, s.follow(site, time.Date(2024, 6, 21, 22, 30, 0, 0, time.UTC), time.Hour))
	require.Zero(t, s.n)
	require.Equal(t, []float64{0, 0, 0}, []float64{s.up, s.sum, s.level})

	// In a long night the sun of the middle is that of the middle.
	night := time.Date(2024, 12, 21, 21, 0, 0, 0, time.UTC)
	mid, up := SunUp(site, night, 3*time.Hour)
	want := SunAt(site.At(night.Add(90 * time.Minute)))
	require.Zero(t, up)
	require.InDelta(t, want.AzimuthDeg, mid.AzimuthDeg, 1e-9) // a way by a unit vector and back
	require.InDelta(t, want.ElevationDeg, mid.ElevationDeg, 1e-9)
	// And in three hours with the sunset it is that of the middle of the time before.
	evening := time.Date(2024, 6, 21, 17, 0, 0, 0, time.UTC)
	mid, up = SunUp(site, evening, 3*time.Hour)
	// By hand: noon at 12 h - 16.37°/15 + 1.9 min = 10.94 h, half the day acos(-tan 48.2°
	// tan 23.44°) = 7.93 h, and 0.07 h for 0.57° of refraction; 0.01 are two minutes.
	require.InDelta(t, (10.94+7.93+0.07-17)/3, up, 0.01)
	want = SunAt(site.At(evening.Add(time.Duration(up / 2 * float64(3*time.Hour)))))
	require.InDelta(t, want.AzimuthDeg, mid.AzimuthDeg, 1e-6)
	require.InDelta(t, want.ElevationDeg, mid.ElevationDeg, 1e-6)
}

// A level plane gets the level beam of a record to 0.01 W/m², what files print, also
// where the usual haze would give as little as 0.08 % less or more.
func TestLevelBeamOfAStrongSun(t *testing.T) {
	site := must(solar.NewSite(48.2, 16.37, 200))(t)
	start := time.Date(2024, 6, 21, 5, 0, 0, 0, time.UTC)
	p := must(NewPlane(Mount{}))(t)
	var s walk
	require.True(t, s.follow(site, start, time.Hour))
	for _, more := range []float64{0.9992, 1, 1.0008} {
		l := Light{GlobalWPerM2: 600 * s.level * more, BeamNormalWPerM2: 600}
		require.InDelta(t, l.GlobalWPerM2, p.Over(site, Record{start, time.Hour, l}).BeamWPerM2, 0.01, "%g", more)
	}
}

// A level beam too small for any haze is spread as in air without haze, which weakens
// all places alike; one too large as by a turbidity of 8, exp(-0.09 · 7 · air mass).
func TestHazeEndsAtNoneAndAtEight(t *testing.T) {
	site := must(solar.NewSite(48.2, 16.37, 200))(t)
	var s walk
	require.True(t, s.follow(site, time.Date(2024, 6, 21, 3, 30, 0, 0, time.UTC), time.Hour))
	require.Equal(t, 3, s.n)
	for level, weakened := range map[float64]float64{0.5: 0, 2: 0.09 * 7} {
		haze := make([]float64, s.n)
		s.fit(s.places(), &Light{GlobalWPerM2: 300 * s.level * level, BeamNormalWPerM2: 300}, haze)
		for i := range haze {
			require.InEpsilon(t, math.Exp(-weakened*(s.place[i].mass-s.place[0].mass)), haze[i]/haze[0], 1e-12, "%g, place %d", level, i)
		}
	}
}

// Where the elevation leaps over 0 no place has an elevation of 0: the leap is found.
func TestCrossingAtALeap(t *testing.T) {
	for _, at := range []float64{0.3, 0.62} {
		f := func(x float64) float64 {
			if x < at {
				return 1
			}
			return -1
		}
		// At least every third of the twelve steps halves the bracket, and its middle is taken.
		require.InDelta(t, at, crossing(f, 0, 1, 1, -1), 1.0/32)
	}
}

// Behind a wall all around, and facing black sky, only the diffuse light of the ground is
// left: global less level beam, over the whole interval, however the sun climbs in it.
func TestGroundBehindASkyline(t *testing.T) {
	site := must(solar.NewSite(0, 0, 0))(t)
	p := must(NewPlane(Mount{TiltDeg: 180, Albedo: 0.5, Skyline: skyline(t, 0, 70, 180, 70)}))(t)
	for length, start := range map[time.Duration]time.Time{
		time.Hour: time.Date(2024, 3, 20, 6, 30, 0, 0, time.UTC), 3 * time.Hour: time.Date(2024, 3, 20, 5, 0, 0, 0, time.UTC),
	} {
		var s walk
		require.True(t, s.follow(site, start, length))
		l := Light{20 + 400*s.level, 400, 20}
		on := p.Over(site, Record{start, length, l})
		require.InDelta(t, 0.5*20, on.GroundWPerM2, 1e-9, "%v", length)
		require.InDelta(t, on.GroundWPerM2, on.TotalWPerM2, 1e-9, "%v", length)
	}
}
