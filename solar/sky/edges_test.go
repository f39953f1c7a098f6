package sky

import (
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"github.com/stationphysics/stationphysics/solar"
)

// TestWallAtTheEndsOfAnHour: a wall that hides the sun for the first or the last
// minute of an hour alone takes that minute away. Its edge stands within the whole
// degree of azimuth in which the hour begins or ends.
func TestWallAtTheEndsOfAnHour(t *testing.T) {
	site := vienna(t)
	open := must(NewPlane(Mount{TiltDeg: 45, FacingDeg: 180}))(t)
	first, last := 0, 0
	for m := range 60 {
		start := time.Date(2024, 3, 20, 10, m, 0, 0, time.UTC)
		r := Record{start, time.Hour, Light{600, 700, 120}}
		a, b := site.At(start).AzimuthDeg, site.At(start.Add(time.Hour)).AzimuthDeg
		var edges []float64
		if f := a - math.Floor(a); f < 0.5 {
			edges = []float64{a - 20, 0, a - 20, 60, a + 0.4, 60, a + 0.4, 0}
			first++
		} else if f := b - math.Floor(b); f > 0.5 {
			edges = []float64{b - 0.4, 0, b - 0.4, 60, b + 20, 60, b + 20, 0}
			last++
		} else {
			continue
		}
		cut := must(NewPlane(Mount{TiltDeg: 45, FacingDeg: 180, Skyline: skyline(t, edges...)}))(t)
		hidden := 0.0
		for s := range 1200 {
			if cut.Hidden(SunAt(site.At(start.Add(time.Duration(3*s) * time.Second)))) {
				hidden += 1.0 / 1200
			}
		}
		require.Greater(t, hidden, 0.015)
		// Edges are found to 5 s of the 80.
		require.InDelta(t, hidden, 1-cut.Over(site, r).BeamWPerM2/open.Over(site, r).BeamWPerM2, 0.25*hidden, "from minute %d", m)
	}
	require.Greater(t, first, 5)
	require.Greater(t, last, 5)
}

// TestEvenDistributionOfDays: a rate of nothing spreads the days evenly between the
// ends, and the exponential goes over into that.
func TestEvenDistributionOfDays(t *testing.T) {
	for _, w := range []float64{0, 9e-10, -9e-10, 1e-6, -1e-6} {
		d := dailyDistribution{lo: 0.05, hi: 0.75, w: w}
		require.InDelta(t, 0.05+0.7*0.3, d.quantile(0.3), 1e-6, "%g", w)
	}
}

// A steepening sun climbs from -1° to 5° within an hour, with the sixth power of the
// time: no sun does, but an Ephemeris is anybody's.
type steepening struct{ start time.Time }

func (s steepening) At(t time.Time) solar.Position {
	x := t.Sub(s.start).Hours()
	e := -1 + 6*math.Pow(x, 6)
	return solar.Position{ApparentElevationDeg: e, TrueElevationDeg: e - 0.5, AzimuthDeg: 100 + 10*x, DistanceAU: 1}
}

// TestHorizonOfAnyEphemeris: where no parabola finds the sun on the horizon, it is
// found all the same: -1 + 6x⁶ = 0 at x = 6^(-1/6).
func TestHorizonOfAnyEphemeris(t *testing.T) {
	start := time.Date(2024, 3, 20, 5, 0, 0, 0, time.UTC)
	mid, up := SunUp(steepening{start}, start, time.Hour)
	rises := math.Pow(6, -1.0/6)
	require.InDelta(t, 1-rises, up, 1e-3)
	require.InDelta(t, -1+6*math.Pow((1+rises)/2, 6), mid.ElevationDeg, 0.02)
}

// TestBinsBeginAtTheirBounds, those of Perez et al. 1990, table 1: with the sun in the
// zenith and a diffuse light of 1 the clearness is exactly 1 plus the beam.
func TestBinsBeginAtTheirBounds(t *testing.T) {
	for i, eps := range []float64{1.065, 1.23, 1.5, 1.95, 2.8, 4.5, 6.2} {
		require.Equal(t, i+1, perezBin(0, &Light{10, eps - 1, 1}), "%g", eps)
		require.Equal(t, i, perezBin(0, &Light{10, math.Nextafter(eps, 0) - 1, 1}), "%g", eps)
	}
}

// TestNearlyEvenDistributionOfDays: near a mean in the middle of the range the mean of
// the density is 1/2 + w/12, to first order in its rate w.
func TestNearlyEvenDistributionOfDays(t *testing.T) {
	middle := func(mean float64) float64 {
		d := newDailyDistribution(mean)
		return (mean-d.lo)/(d.hi-d.lo) - 0.5
	}
	for _, off := range []float64{-4e-6, 4e-6} {
		lo, hi := 0.3, 0.6
		for range 60 {
			if mid := (lo + hi) / 2; middle(mid) < off {
				lo = mid
			} else {
				hi = mid
			}
		}
		require.InDelta(t, 12*off, newDailyDistribution(lo).w, 1e-8, "%g", off)
	}
}

// TestSunTouchesTheHorizon: about its lowest point in a summer night and its highest on
// a winter day near the polar circle the sun crosses the horizon twice within an
// hour; how long it is up, against its seconds. It moves by 0.3° an hour there, so
// that the 0.001° to which a crossing is found are 12 seconds, twice.
func TestSunTouchesTheHorizon(t *testing.T) {
	twice := map[time.Month]int{}
	for _, c := range []struct {
		lat   float64
		start time.Time
	}{
		{65.92, time.Date(2024, 6, 21, 0, 0, 0, 0, time.UTC)}, {65.95, time.Date(2024, 6, 21, 0, 0, 0, 0, time.UTC)},
		{67.02, time.Date(2024, 12, 21, 12, 0, 0, 0, time.UTC)}, {67.06, time.Date(2024, 12, 21, 12, 0, 0, 0, time.UTC)},
	} {
		site := must(solar.NewSite(c.lat, 0, 0))(t)
		for m := -40; m <= -20; m += 4 {
			start := c.start.Add(time.Duration(m) * time.Minute)
			up, crossings := 0.0, 0
			was := site.At(start).ApparentElevationDeg > 0
			for s := range 720 {
				is := site.At(start.Add(time.Duration(5*s)*time.Second)).ApparentElevationDeg > 0
				if is {
					up += 1.0 / 720
				}
				if is != was {
					crossings++
				}
				was = is
			}
			if crossings == 2 {
				twice[c.start.Month()]++
			}
			_, share := SunUp(site, start, time.Hour)
			require.InDelta(t, up, share, 0.01, "%g° at %v", c.lat, start)
		}
	}
	require.Greater(t, min(twice[time.June], twice[time.December]), 5, "%v", twice)
}

// TestAllOrNothingOfALongRecord: two hours behind a wall have no beam at all, and
// behind a hedge as much as in the open.
func TestAllOrNothingOfALongRecord(t *testing.T) {
	site := vienna(t)
	r := record("2024-03-20T10:00:00Z", 600, 700, 120)
	r.Length = 2 * time.Hour
	m := Mount{TiltDeg: 45, FacingDeg: 180}
	open := must(NewPlane(m))(t).Over(site, r).BeamWPerM2
	m.Skyline = skyline(t, 0, 1, 180, 1)
	require.InEpsilon(t, open, must(NewPlane(m))(t).Over(site, r).BeamWPerM2, 1e-12)
	m.Skyline = skyline(t, 0, 80, 180, 80)
	require.Zero(t, must(NewPlane(m))(t).Over(site, r).BeamWPerM2)
}
