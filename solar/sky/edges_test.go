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
