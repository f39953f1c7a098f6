package solar

import "math"

// Numbers of the algorithm: Reda and Andreas 2008, the equation beside each.
const (
	daysPerCentury    = 36525.0
	daysPerMillennium = 365250.0
	aberrationArcsec  = 20.4898         // annual aberration at 1 au, eq 16
	parallaxArcsec    = 8.794           // equatorial horizontal parallax at 1 au, eq 33
	earthRadiusM      = 6378140.0       // eq 35
	earthFlattening   = 0.99664719      // polar over equatorial radius, eq 34
	siderealDegPerDay = 360.98564736629 // eq 28
	arcsec            = rad / 3600
)

// sum evaluates one table at t Julian millennia of TT from J2000 (eq 9 to 12).
func sum(series [][]term, t float64) float64 {
	const turn = 1 / (2 * math.Pi)
	turns := t * turn
	total := 0.0
	for i := len(series) - 1; i >= 0; i-- {
		s := 0.0
		for _, k := range series[i] {
			s += k.a * cosTurns(k.b*turn+k.c*turns)
		}
		total = total*t + s
	}
	return total / 1e8
}

// nutation gives the nutation in longitude and obliquity in degrees at c Julian
// centuries of TT from J2000 (eq 15 to 23). The terms share five angles and their
// small multiples, so that products take the place of sines.
func nutation(c float64) (psiDeg, epsDeg float64) {
	x := nutationArguments(c)
	d, m, n, f, o := rotorDeg(x[0]), rotorDeg(x[1]), rotorDeg(x[2]), rotorDeg(x[3]), rotorDeg(x[4])
	one := rotor{1, 0}
	d2, m2, n2, f2, o2 := d.times(d), m.times(m), n.times(n), f.times(f), o.times(o)
	ds := [5]rotor{d2.back(), d.back(), one, d, d2}
	ms := [4]rotor{m.back(), one, m, m2}
	ns := [6]rotor{n2.back(), n.back(), one, n, n2, n2.times(n)}
	fs := [3]rotor{f2.back(), one, f2}
	os := [3]rotor{one, o, o2}
	var dm [5][4]rotor
	for i := range ds {
		for j := range ms {
			dm[i][j] = ds[i].times(ms[j])
		}
	}
	var fo [3][3]rotor
	for i := range fs {
		for j := range os {
			fo[i][j] = fs[i].times(os[j])
		}
	}
	for i := range nutationTerms {
		k := &nutationTerms[i]
		r := dm[k.d+2][k.m+1].times(fo[k.f/2+1][k.o]).times(ns[k.n+2])
		psiDeg += (k.s0 + k.s1*c) * r.s
		epsDeg += (k.c0 + k.c1*c) * r.c
	}
	return psiDeg / 36e6, epsDeg / 36e6
}

// nutationArguments are the five angles of eq 15 to 19 in degrees: elongation
// and anomalies of Moon and Sun, the Moon's argument of latitude and node.
func nutationArguments(c float64) [5]float64 {
	return [5]float64{
		297.85036 + c*(445267.111480+c*(-0.0019142+c/189474)),
		357.52772 + c*(35999.050340+c*(-0.0001603-c/300000)),
		134.96298 + c*(477198.867398+c*(0.0086972+c/56250)),
		93.27191 + c*(483202.017538+c*(-0.0036825+c/327270)),
		125.04452 + c*(-1934.136261+c*(0.0020708+c/450000)),
	}
}

// meanObliquityArcsec is eq 24 (Laskar 1986) at t Julian millennia.
func meanObliquityArcsec(t float64) float64 {
	u := t / 10
	return 84381.448 + u*(-4680.93+u*(-1.55+u*(1999.25+u*(-51.38+u*(-249.67+
		u*(-39.05+u*(7.12+u*(27.87+u*(5.79+u*2.45)))))))))
}

// siderealDeg is the mean sidereal time at Greenwich d days of UT1 after J2000
// (eq 28), less the whole turns that full days make.
func siderealDeg(d float64) float64 {
	c := d / daysPerCentury
	whole := math.Floor(d)
	return 280.46061837 + (siderealDegPerDay-360)*d + 360*(d-whole) + c*c*(0.000387933-c/38710000)
}

// A geocentric place of the sun, with the intermediate values of the algorithm
// that its published example prints.
type geocentric struct {
	jce, jme          float64 // Julian ephemeris century and millennium, eq 7 and 8
	helioLonDeg       float64 // L of eq 9
	helioLatDeg       float64 // B
	radiusAU          float64 // R
	psiDeg, epsDeg    float64 // nutation
	obliquityDeg      float64 // ε of eq 25
	apparentLonDeg    float64 // λ of eq 27
	meanSiderealDeg   float64 // ν0 of eq 28
	siderealDeg       float64 // ν of eq 29
	rightAscensionDeg float64 // α of eq 30
	declinationDeg    float64 // δ of eq 31
	sinDec, cosDec    float64
	equationOfTimeMin float64 // appendix A.1
	greenwichAngleDeg float64 // ν - α less 360° per day since J2000, in (-180, 180]
}

// sunAt computes the geocentric place d days of UT1 after J2000, TT being ahead
// of UT1 by deltaT seconds.
func sunAt(g *geocentric, d, deltaT float64) {
	tt := d + deltaT/86400 // eq 5, from J2000
	g.jce, g.jme = tt/daysPerCentury, tt/daysPerMillennium
	// The Earth as the sun sees it; its opposite is the sun as the Earth sees it,
	// where it was when the light left, and displaced by the nutation (eq 9 to 27).
	lon := sum(longitudeTerms[:], g.jme)
	lat := sum(latitudeTerms[:], g.jme)
	g.helioLonDeg, g.helioLatDeg = positiveDeg(lon*deg), lat*deg
	g.radiusAU = sum(radiusTerms[:], g.jme)
	g.psiDeg, g.epsDeg = nutation(g.jce)
	g.obliquityDeg = meanObliquityArcsec(g.jme)/3600 + g.epsDeg
	g.apparentLonDeg = positiveDeg(g.helioLonDeg + 180 + g.psiDeg - aberrationArcsec/3600/g.radiusAU)
	g.meanSiderealDeg = siderealDeg(d)
	// The nutation in longitude, projected on the equator, moves the equinox that
	// sidereal time is counted from (eq 29).
	sinEps, cosEps := math.Sincos(g.obliquityDeg * rad)
	g.siderealDeg = g.meanSiderealDeg + g.psiDeg*cosEps
	sinLon, cosLon := math.Sincos(g.apparentLonDeg * rad)
	sinLat, cosLat := math.Sincos(-lat)
	// Eq 30 and 31 multiplied through by cos β, so that the three are the
	// components of one unit vector.
	x := cosLat * cosLon
	y := cosLat*sinLon*cosEps - sinLat*sinEps
	g.sinDec = sinLat*cosEps + cosLat*sinEps*sinLon
	g.cosDec = math.Sqrt(x*x + y*y)
	g.rightAscensionDeg = positiveDeg(math.Atan2(y, x) * deg)
	g.declinationDeg = math.Atan2(g.sinDec, g.cosDec) * deg
	// The hour angle at Greenwich without the turns that the days make, which
	// leaves the equation of time: slow enough to interpolate.
	g.greenwichAngleDeg = signedDeg(g.siderealDeg - g.rightAscensionDeg - 360*(d-nearest(d)))
	// Eq A1: 4 minutes of time a degree, 0.0057183° the mean aberration.
	g.equationOfTimeMin = 4 * signedDeg(meanLongitudeDeg(g.jme)-0.0057183-g.rightAscensionDeg+g.psiDeg*cosEps)
}

// meanLongitudeDeg is the sun's mean longitude of appendix A.1 at t Julian
// millennia.
func meanLongitudeDeg(t float64) float64 {
	return 280.4664567 + t*(360007.6982779+t*(0.03032028+t*(1.0/49931+t*(-1.0/15300-t/2000000))))
}

// positiveDeg folds an angle into [0, 360).
func positiveDeg(x float64) float64 {
	x -= 360 * math.Floor(x*(1.0/360))
	if x >= 360 { // a negative angle too small to change 360
		return 0
	}
	return x
}

// signedDeg folds an angle into [-180, 180). The conversion rounds the product:
// fused with the sum, as on arm64, it would leave -180 a hair below the floor
// and return 180.
func signedDeg(x float64) float64 {
	return x - 360*math.Floor(float64(x*(1.0/360))+0.5)
}
