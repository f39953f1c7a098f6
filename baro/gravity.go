package baro

import "math"

// isoRadiusM is the nominal radius of the earth of ISO 2533:1975, table 1, and
// ICAO Doc 7488: it belongs to 45° 32' 33" and is no radius of the ellipsoid.
const isoRadiusM = 6356766.0

// ISOGeopotential converts a geometric height to geopotential as the standard
// atmosphere does it, H = r z/(r + z) with r = 6356766 m, gravity of 45.54°
// everywhere (ISO 2533:1975, eq. (9), number quoted). It returns NaN
// outside -5000 to 81100 m. For a real place use Geopotential.
func ISOGeopotential(z GeometricM) GeopotentialM {
	if !(z >= -5000 && z <= 81100) {
		return GeopotentialM(nan())
	}
	return GeopotentialM(isoRadiusM * float64(z) / (isoRadiusM + float64(z)))
}

// ISOGeometric is the inverse of ISOGeopotential, for -5004 to 80100 gpm, NaN
// outside.
func ISOGeometric(h GeopotentialM) GeometricM {
	if !(h >= -5004 && h <= highestM+100) {
		return GeometricM(nan())
	}
	return GeometricM(isoRadiusM * float64(h) / (isoRadiusM - float64(h)))
}

// The defining constants of the ellipsoid WGS 84 and what follows from them:
// NIMA TR8350.2, third edition, tables 3.1, 3.3 and 3.4.
const (
	wgsA      = 6378137.0         // semi-major axis, m
	wgsF      = 1 / 298.257223563 // flattening
	wgsE2     = 6.69437999014e-3  // first eccentricity squared
	wgsGammaE = 9.7803253359      // normal gravity at the equator, m/s2
	wgsK      = 1.93185265241e-3  // Somigliana's constant
	wgsM      = 3.44978650684e-3  // omega2 a2 b/GM
)

// NormalGravityMPerS2 returns normal gravity on the ellipsoid WGS 84 at a
// latitude by Somigliana's closed formula (NIMA TR8350.2, eq. 4-1), and NaN
// outside -90..90 degrees. Gravity on the ground departs from it by some
// 1e-4 m/s2, rarely by 2e-3, with rock and relief.
func NormalGravityMPerS2(latDeg float64) float64 {
	if !latitudeRange.Holds(latDeg) {
		return nan()
	}
	s := math.Sin(latDeg * math.Pi / 180)
	return wgsGammaE * (1 + wgsK*s*s) / math.Sqrt(1-wgsE2*s*s)
}

// GravityAtMPerS2 returns normal gravity at a height above the ellipsoid, taken
// here as height above sea level (NIMA TR8350.2, eq. 4-3, second order in the
// height: better than 1e-6 m/s2 below 6 km). It returns NaN for a latitude
// outside -90..90 degrees or a height outside -430..80000 m.
func GravityAtMPerS2(z GeometricM, latDeg float64) float64 {
	if !(z >= -430 && z <= 80000) {
		return nan()
	}
	c1, c2 := gravityTerms(latDeg)
	return NormalGravityMPerS2(latDeg) * (1 + float64(z)*(c1+float64(z)*c2))
}

// gravityTerms are the coefficients of the height and its square in
// eq. 4-3: γ = γ0 (1 + c1 z + c2 z²).
func gravityTerms(latDeg float64) (c1, c2 float64) {
	s := math.Sin(latDeg * math.Pi / 180)
	return -2 / wgsA * (1 + wgsF + wgsM - 2*wgsF*s*s), 3 / (wgsA * wgsA)
}

// Geopotential converts the height of a place above sea level to geopotential
// height with the normal gravity of its latitude, integrating NIMA TR8350.2,
// eq. 4-3, over the height and dividing by 9.80665 m/s2. At the poles a metre
// is 1.0026 gpm, at the equator 0.9973 gpm. It returns NaN for a latitude
// outside -90..90 degrees or a height outside -430..6000 m; CheckPlace says
// which.
func Geopotential(z GeometricM, latDeg float64) GeopotentialM {
	if !heightRange.Holds(float64(z)) || !latitudeRange.Holds(latDeg) {
		return GeopotentialM(nan())
	}
	return GeopotentialM(geopotential(float64(z), latDeg))
}

func geopotential(z, latDeg float64) float64 {
	c1, c2 := gravityTerms(latDeg)
	return NormalGravityMPerS2(latDeg) / standardGravity * z * (1 + z*(c1/2+z*c2/3))
}

// Geometric is the inverse of Geopotential, for heights that lie within
// -430..6000 m.
func Geometric(h GeopotentialM, latDeg float64) GeometricM {
	// Newton's method from the linear term: the height's second order is
	// 1e-3 of it, so three steps reach the last digit.
	g := NormalGravityMPerS2(latDeg) / standardGravity
	c1, c2 := gravityTerms(latDeg)
	z := float64(h) / g
	for range 3 {
		z -= (geopotential(z, latDeg) - float64(h)) / (g * (1 + z*(c1+z*c2)))
	}
	if !heightRange.Holds(z) { // or NaN, from a latitude out of range
		return GeometricM(nan())
	}
	return GeometricM(z)
}

// CheckPlace explains a NaN of Geopotential, Geometric and the gravities. It
// returns a *stationphysics.RangeError, or nil.
func CheckPlace(z GeometricM, latDeg float64) error {
	if err := heightRange.Check(float64(z)); err != nil {
		return err
	}
	return latitudeRange.Check(latDeg)
}
