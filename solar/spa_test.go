package solar

import (
	"fmt"
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"github.com/stationphysics/stationphysics/internal/refdata"
)

// TestPublishedExample follows the worked example of the algorithm through all
// the intermediate values that are printed for it.
func TestPublishedExample(t *testing.T) {
	const deltaT, slope, facing = 67, 30, -10
	mst := time.FixedZone("MST", -7*3600)
	at := time.Date(2003, 10, 17, 12, 30, 30, 0, mst)
	s := withDeltaT(t, site(t, 39.742476, -105.1786, 1830.14), deltaT)
	s, err := s.WithAir(820, 11)
	require.NoError(t, err)
	s.aberration = 0 // the example has none
	d := s.day(at)
	var g geocentric
	sunAt(&g, d, deltaT)
	x := nutationArguments(g.jce)
	p := s.At(at)
	// Eq 37 to 39 as the report writes them, against the vectors of the package.
	xi := parallaxArcsec / 3600 / g.radiusAU
	h, dec := p.HourAngleDeg*rad, g.declinationDeg*rad
	dAlpha := math.Atan2(-s.obsX*math.Sin(xi*rad)*math.Sin(h), math.Cos(dec)-s.obsX*math.Sin(xi*rad)*math.Cos(h)) * deg
	decTop := math.Atan2((math.Sin(dec)-s.obsZ*math.Sin(xi*rad))*math.Cos(dAlpha*rad), math.Cos(dec)-s.obsX*math.Sin(xi*rad)*math.Cos(h)) * deg
	day, err := s.Day(2003, time.October, 17, mst)
	require.NoError(t, err)
	hours := func(x time.Time) float64 {
		return x.Sub(time.Date(2003, 10, 17, 0, 0, 0, 0, mst)).Hours()
	}
	elevTop := math.Asin(s.sinLat*math.Sin(decTop*rad)+s.cosLat*math.Cos(decTop*rad)*math.Cos((p.HourAngleDeg-dAlpha)*rad)) * deg
	require.InDelta(t, elevTop, p.TrueElevationDeg, 1e-9, "the vectors are the published equations")
	z := p.ApparentZenithDeg() * rad
	values := map[string]float64{
		"JD": d + 2451545, "JDE": d + deltaT/86400.0 + 2451545, "JC": d / daysPerCentury, "JCE": g.jce, "JME": g.jme,
		"L": g.helioLonDeg, "B": g.helioLatDeg, "R": g.radiusAU, "theta": positiveDeg(g.helioLonDeg + 180), "beta": -g.helioLatDeg,
		"X0": x[0], "X1": x[1], "X2": x[2], "X3": x[3], "X4": x[4], "deltaPsi": g.psiDeg, "deltaEps": g.epsDeg,
		"eps0": meanObliquityArcsec(g.jme), "eps": g.obliquityDeg, "deltaTau": -aberrationArcsec / 3600 / g.radiusAU,
		"lambda": g.apparentLonDeg, "nu0": positiveDeg(g.meanSiderealDeg), "nu": positiveDeg(g.siderealDeg),
		"alpha": g.rightAscensionDeg, "delta": g.declinationDeg, "H": p.HourAngleDeg, "xi": xi, "dAlpha": dAlpha,
		"alphaTop": g.rightAscensionDeg + dAlpha, "deltaTop": decTop, "HTop": p.HourAngleDeg - dAlpha,
		"e0": p.TrueElevationDeg, "dE": p.ApparentElevationDeg - p.TrueElevationDeg, "e": p.ApparentElevationDeg,
		"zenith": p.ApparentZenithDeg(), "gamma": p.AzimuthDeg - 180, "azimuth": p.AzimuthDeg,
		"incidence": math.Acos(math.Cos(z)*math.Cos(slope*rad)+math.Sin(slope*rad)*math.Sin(z)*math.Cos((p.AzimuthDeg-180-facing)*rad)) * deg,
		"eot":       p.EquationOfTimeMin, "sunriseH": hours(day.Sun.Rise), "transitH": hours(day.Transit),
	}
	seen := map[string]bool{}
	refdata.Each(t, "solar/spa_example", func(r *refdata.Row) {
		q := r.S("quantity")
		v, ok := values[q]
		require.True(t, ok, "no value for %q", q)
		seen[q] = true
		r.Check("value", v, q)
	})
	require.Len(t, seen, len(values))
}

func TestMeeusExamples(t *testing.T) {
	refdata.Each(t, "solar/meeus", func(r *refdata.Row) {
		d := daysSinceJ2000(utc(t, r.S("at")))
		var g geocentric
		sunAt(&g, d, 0)
		const sPerDeg = 240
		v, ok := map[string]float64{
			"nutationPsiArcsec": g.psiDeg * 3600, "nutationEpsArcsec": g.epsDeg * 3600,
			"obliquityArcsec": g.obliquityDeg * 3600, "meanObliquityArcsec": meanObliquityArcsec(g.jme),
			"gmstS": positiveDeg(siderealDeg(d)) * sPerDeg, "gastS": positiveDeg(g.siderealDeg) * sPerDeg,
			"lambdaFK5Arcsec": g.apparentLonDeg*3600 - 0.09033, "raS": g.rightAscensionDeg * sPerDeg,
			"decArcsec": g.declinationDeg * 3600, "radiusAU": g.radiusAU, "eotMin": g.equationOfTimeMin,
		}[r.S("quantity")]
		require.True(t, ok, r.S("quantity"))
		r.Check("value", v, r.S("quantity")+" at "+r.S("at"))
	})
}

func TestJulianDay(t *testing.T) {
	refdata.Each(t, "solar/julian_day", func(r *refdata.Row) {
		at := utc(t, r.S("ut"))
		d := daysSinceJ2000(at)
		r.Check("valueJD", d+2451545, r.S("ut"))
		require.Equal(t, at, timeAt(d, time.UTC))
	})
}

// The polynomials that stand in for package math.
func TestTrigonometry(t *testing.T) {
	for x := -0.5; x <= 0.5; x += 0.0007 {
		s, c := math.Sincos(2 * math.Pi * x)
		gotS, gotC := sincosTurns(x)
		require.InDelta(t, s, gotS, 2e-13, "sin of %g turns", x)
		require.InDelta(t, c, gotC, 2e-12, "cos of %g turns", x)
		for _, n := range []float64{-30000, -1, 0, 7, 25600} {
			require.InDelta(t, c, cosTurns(x+n), 3e-11, "cos of %g turns", x+n)
		}
	}
	for i := 0; i < 3600; i++ {
		s, c := math.Sincos(float64(i) * 0.1 * rad)
		for _, r := range []float64{1e-9, 0.3, 1e5} {
			require.InDelta(t, math.Atan2(r*s, r*c)*deg, bearing(r*s, r*c), 1e-11, "bearing of %g", float64(i)*0.1)
		}
	}
	for _, c := range []struct{ y, x, want float64 }{
		{0, 0, 0}, {0, 1, 0}, {1, 0, 90}, {-1, 0, -90}, {1, 1, 45}, {-1, 1, -45}, {1, -1, 135}, {-1, -1, -135}, {0, -1, 180},
	} {
		require.Equal(t, c.want, bearing(c.y, c.x), "bearing(%g, %g)", c.y, c.x)
	}
	require.True(t, math.IsNaN(bearing(math.NaN(), 1)))
}

func TestFolding(t *testing.T) {
	for _, c := range []struct{ x, positive, signed float64 }{
		{0, 0, 0}, {360, 0, 0}, {-1, 359, -1}, {180, 180, -180}, {179, 179, 179}, {-180, 180, -180}, {725, 5, 5}, {-1e-17, 0, 0},
	} {
		require.InDelta(t, c.positive, positiveDeg(c.x), 1e-12, fmt.Sprint(c.x))
		require.InDelta(t, c.signed, signedDeg(c.x), 1e-12, fmt.Sprint(c.x))
	}
	require.Less(t, positiveDeg(-1e-17), 360.0)
}

// The series loses no term: sums of the tables, which a slip of a digit changes,
// over the count of terms that the report gives.
func TestTablesAreWhole(t *testing.T) {
	count := func(series [][]term) (n []int) {
		for _, s := range series {
			n = append(n, len(s))
		}
		return n
	}
	require.Equal(t, []int{64, 34, 20, 7, 3, 1}, count(longitudeTerms[:]))
	require.Equal(t, []int{5, 2}, count(latitudeTerms[:]))
	require.Equal(t, []int{40, 10, 6, 2, 1}, count(radiusTerms[:]))
	require.Len(t, nutationTerms, 63)
	for _, series := range [][][]term{longitudeTerms[:], latitudeTerms[:], radiusTerms[:]} {
		for _, s := range series {
			for i := 1; i < len(s); i++ {
				// Largest first, except a few that the report prints otherwise.
				require.LessOrEqual(t, s[i].a, s[i-1].a*5, "%v after %v", s[i], s[i-1])
			}
		}
	}
}
