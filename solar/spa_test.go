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

func TestNutationAgainstERFA(t *testing.T) {
	refdata.Each(t, "solar/nutation", func(r *refdata.Row) {
		c := r.F("day") / daysPerCentury
		psi, eps := nutation(c)
		r.Check("psiArcsec", 3600*psi, "nutation in longitude at "+r.S("day"))
		r.Check("epsArcsec", 3600*eps, "nutation in obliquity at "+r.S("day"))
		r.Check("obliquityArcsec", meanObliquityArcsec(c/10), "mean obliquity at "+r.S("day"))
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

// The tables of the report, by the number of their rows and the sums of their
// columns: a slip in any digit changes one of them. The sums are those of the
// copy whose results agree with the printed L, B and R of the example.
func TestTablesAreWhole(t *testing.T) {
	for _, c := range []struct {
		name   string
		series [][]term
		rows   []int
		sums   [][3]float64
	}{
		{"L", longitudeTerms[:], []int{64, 34, 20, 7, 3, 1}, [][3]float64{{178752448, 173.6965568, 750369.20045}, {628332178527, 92.785335, 118934.33255}, {62068, 52.8591, 136783.2378}, {347, 32.524, 38100.126}, {123, 11.112, 18849.23}, {1, 3.14, 0}}},
		{"B", latitudeTerms[:], []int{5, 2}, [][3]float64{{538, 20.201, 98996.115}, {15, 5.63, 10731.24}}},
		{"R", radiusTerms[:], []int{40, 10, 6, 2, 1}, [][3]float64{{101709876, 119.9830135, 667402.53835}, {105576, 19.51389, 72746.85755}, {4513, 25.4736, 120985.3678}, {152, 8.193, 18849.226}, {4, 2.56, 6283.08}}},
	} {
		require.Len(t, c.series, len(c.rows), c.name)
		for i, s := range c.series {
			require.Len(t, s, c.rows[i], "%s%d", c.name, i)
			var sum [3]float64
			for _, k := range s {
				sum[0] += k.a
				sum[1] += k.b
				sum[2] += k.c
			}
			for j := range sum {
				require.InDelta(t, c.sums[i][j], sum[j], 1e-5, "column %d of %s%d", j, c.name, i)
			}
		}
	}
	require.Len(t, nutationTerms, 63)
	var sum, squares [9]float64
	for _, k := range nutationTerms {
		for j, v := range [9]float64{float64(k.d), float64(k.m), float64(k.n), float64(k.f), float64(k.o), k.s0, k.s1, k.c0, k.c1} {
			sum[j] += v
			squares[j] += v * v
		}
	}
	for j, want := range [9]float64{-13, 3, 22, 64, 64, -184150, -178.7, 98301, 5.3} {
		require.InDelta(t, want, sum[j], 1e-9, "column %d of the nutation", j)
	}
	for j, want := range [9]float64{123, 25, 74, 144, 106, 29769124794, 30361.75, 8503389557, 89.79} {
		require.InDelta(t, want, squares[j], 1e-4, "squares of column %d of the nutation", j)
	}
}

// The polynomials far from the present, where each of their terms counts, against
// the plain sums of their coefficients.
func TestPolynomials(t *testing.T) {
	require.InDelta(t, 84381.448-4680.93-1.55+1999.25-51.38-249.67-39.05+7.12+27.87+5.79+2.45, meanObliquityArcsec(10), 1e-9)
	require.InDelta(t, 84381.448+4680.93-1.55-1999.25-51.38+249.67-39.05-7.12+27.87-5.79+2.45, meanObliquityArcsec(-10), 1e-9)
	require.InDelta(t, 280.4664567+3600076.982779+3.032028+1000.0/49931-10000.0/15300-100000.0/2000000, meanLongitudeDeg(10), 1e-8)
	// Mean sidereal time 100 centuries on, less the whole turns of the days.
	require.InDelta(t, 280.46061837+0.98564736629*3652500+0.000387933*1e4-1e6/38710000, siderealDeg(3652500), 1e-6)
	const c = 100.0
	for i, want := range [5]float64{
		297.85036 + 445267.111480*c - 0.0019142*c*c + c*c*c/189474,
		357.52772 + 35999.050340*c - 0.0001603*c*c - c*c*c/300000,
		134.96298 + 477198.867398*c + 0.0086972*c*c + c*c*c/56250,
		93.27191 + 483202.017538*c - 0.0036825*c*c + c*c*c/327270,
		125.04452 - 1934.136261*c + 0.0020708*c*c + c*c*c/450000,
	} {
		require.InDelta(t, want, nutationArguments(c)[i], 1e-6, "argument %d", i)
	}
}

// The nutation through its tables of products against sines and cosines of each
// argument.
func TestNutationByItsTerms(t *testing.T) {
	for c := -1.0; c <= 2; c += 0.0371 {
		x := nutationArguments(c)
		psi, eps := 0.0, 0.0
		for _, k := range nutationTerms {
			s, co := math.Sincos((float64(k.d)*x[0] + float64(k.m)*x[1] + float64(k.n)*x[2] + float64(k.f)*x[3] + float64(k.o)*x[4]) * rad)
			psi += (k.s0 + k.s1*c) * s
			eps += (k.c0 + k.c1*c) * co
		}
		gotPsi, gotEps := nutation(c)
		require.InDelta(t, psi/36e6, gotPsi, 1e-12)
		require.InDelta(t, eps/36e6, gotEps, 1e-12)
	}
}
