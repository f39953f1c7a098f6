package solar

import (
	"math"
	"time"

	"github.com/stationphysics/stationphysics/internal/limit"
)

var nan = math.NaN()

var (
	latitude  = limit.Range{Quantity: "latitude", Unit: "deg", Min: -90, Max: 90}
	longitude = limit.Range{Quantity: "longitude", Unit: "deg", Min: -180, Max: 180,
		Slips: []limit.Slip{{Min: 180, Max: 360, Looks: "counted eastwards to 360, subtract 360"}}}
	siteHeight = limit.Range{Quantity: "height of the site", Unit: "m", Min: -500, Max: 9000,
		Slips: []limit.Slip{{Min: 9000, Max: 30000, Looks: "feet"}}}
	airPressure = limit.Range{Quantity: "station pressure", Unit: "hPa", Min: 300, Max: 1100,
		Slips: []limit.Slip{{Min: 30000, Max: 110000, Looks: "pascals"}, {Min: 32.5, Max: 110, Looks: "kilopascals"}, {Min: 17, Max: 32.5, Looks: "inches of mercury"}}}
	airTemperature = limit.Range{Quantity: "air temperature", Unit: "°C", Min: -90, Max: 60,
		Slips: []limit.Slip{{Min: 183, Max: 333.15, Looks: "kelvins"}, {Min: 60, Max: 140, Looks: "degrees Fahrenheit"}}}
	clockLag = limit.Range{Quantity: "TT - UT1", Unit: "s", Min: -100, Max: 1000}
	utLead   = limit.Range{Quantity: "UT1 - UTC", Unit: "s", Min: -1, Max: 1}
)

// A Site is a place on the Earth from which the sun is seen, with the air that
// bends its light. Make one with [NewSite]; a Site is a small value, safe to copy
// and to use from several goroutines. The zero Site is nowhere: its positions are
// NaN.
type Site struct {
	latDeg, lonDeg, heightM float64
	sinLat, cosLat          float64
	obsX, obsZ              float64 // place in Earth radii from its centre: from the axis, along the axis
	aberration              float64 // eastward diurnal aberration, rad
	refraction              float64 // pressure and temperature factor of the refraction, deg
	pressureHPa, tempC      float64
	deltaT                  float64 // seconds, NaN for the default
	ut1Lead                 float64 // UT1 - UTC, seconds
	ok                      bool
}

// NewSite returns the site at a latitude (degrees, north positive, -90 to 90), a
// longitude (degrees, east positive, -180 to 180) and a height above sea level
// (m, -500 to 9000). A value outside gives a *stationphysics.RangeError.
//
// The air is that of the International Standard Atmosphere (ISO 2533) at the
// height, see [Site.WithAir]; ΔT is that of [DeltaT], see [Site.WithDeltaT]; and
// UTC is taken as UT1, see [Site.WithUT1].
func NewSite(latDeg, lonDeg, heightM float64) (Site, error) {
	if err := limit.First(latitude.Check(latDeg), longitude.Check(lonDeg), siteHeight.Check(heightM)); err != nil {
		return Site{}, err
	}
	s := Site{latDeg: latDeg, lonDeg: lonDeg, heightM: heightM, deltaT: nan, ok: true}
	s.sinLat, s.cosLat = math.Sincos(latDeg * rad)
	if math.Abs(latDeg) == 90 {
		s.cosLat = 0 // not 6e-17: at a pole nothing moves eastwards
	}
	u := math.Atan2(earthFlattening*s.sinLat, s.cosLat) // eq 34
	sinU, cosU := math.Sincos(u)
	s.obsX = cosU + heightM/earthRadiusM*s.cosLat                 // eq 35
	s.obsZ = earthFlattening*sinU + heightM/earthRadiusM*s.sinLat // eq 36
	// The rotation of the Earth carries the site eastwards; over the speed of
	// light that is 0.32″ at the equator. The rate is that of IERS TN 36, table
	// 1.2, the speed of light that of the SI.
	s.aberration = 7.292115e-5 * earthRadiusM * s.obsX / 299792458
	// ISO 2533: 1013.25 hPa and 15 °C at sea level, 6.5 K/km to 11 km.
	theta := 1 - 0.0065*heightM/288.15
	s.setAir(1013.25*math.Pow(theta, 9.80665/(287.05287*0.0065)), 288.15*theta-273.15)
	return s, nil
}

func (s *Site) setAir(pressureHPa, tempC float64) {
	s.pressureHPa, s.tempC = pressureHPa, tempC
	s.refraction = pressureHPa / 1010 * 283 / (273 + tempC) * 1.02 / 60 // eq 42
}

// WithAir returns the site with the yearly mean station pressure (hPa, 300 to
// 1100; not the sea-level pressure) and air temperature (°C, -90 to 60) that
// the refraction is computed with. Near the horizon 10 hPa make 0.3′ and 10 K
// make 1.0′; at 10° above it 0.05′ and 0.2′. The error is a
// *stationphysics.RangeError.
func (s Site) WithAir(pressureHPa, tempC float64) (Site, error) {
	if err := limit.First(airPressure.Check(pressureHPa), airTemperature.Check(tempC)); err != nil {
		return Site{}, err
	}
	s.setAir(pressureHPa, tempC)
	return s, nil
}

// WithDeltaT returns the site with a fixed TT - UT1 in seconds (-100 to 1000)
// in place of [DeltaT]. The error is a *stationphysics.RangeError.
func (s Site) WithDeltaT(ttMinusUT1S float64) (Site, error) {
	if err := clockLag.Check(ttMinusUT1S); err != nil {
		return Site{}, err
	}
	s.deltaT = ttMinusUT1S
	return s, nil
}

// WithUT1 returns the site with UT1 - UTC in seconds (-1 to 1), as the
// International Earth Rotation Service publishes it. Without it UTC is taken as
// UT1, which is wrong by up to 0.9 s: 13″ of the sun's daily motion. A leap second
// 23:59:60 cannot be held by a time.Time and is taken as the following 0:00:00.
func (s Site) WithUT1(ut1AheadS float64) (Site, error) {
	if err := utLead.Check(ut1AheadS); err != nil {
		return Site{}, err
	}
	s.ut1Lead = ut1AheadS
	return s, nil
}

// LatDeg is the latitude in degrees, north positive.
func (s Site) LatDeg() float64 { return s.latDeg }

// LonDeg is the longitude in degrees, east positive.
func (s Site) LonDeg() float64 { return s.lonDeg }

// HeightM is the height above sea level in m.
func (s Site) HeightM() float64 { return s.heightM }

// Air gives the station pressure and air temperature of the refraction.
func (s Site) Air() (pressureHPa, tempC float64) { return s.pressureHPa, s.tempC }

// Days from J2000 (2000-01-01 12:00 UTC) that the package accepts: 1900-01-01 to
// 2200-12-31 with five days of grace, so that every civil date of those years, in
// any zone, can be searched for its events.
const (
	firstDay = -36524.5 - 5
	lastDay  = 73414.5 + 5
)

func daysSinceJ2000(t time.Time) float64 {
	const j2000 = 946728000 // 2000-01-01 12:00 UTC in Unix seconds
	return float64(t.Unix()-j2000)*(1.0/86400) + float64(t.Nanosecond())*(1.0/86400e9)
}

// timeAt is the inverse of daysSinceJ2000, rounded to a millisecond.
func timeAt(d float64, zone *time.Location) time.Time {
	const j2000 = 946728000000
	return time.UnixMilli(j2000 + int64(math.Round(d*86400e3))).In(zone)
}

// day is the time argument of the algorithm, NaN outside the years accepted and
// for the zero Site.
func (s *Site) day(t time.Time) float64 {
	d := daysSinceJ2000(t) + s.ut1Lead*(1.0/86400)
	if !s.ok || !(d >= firstDay && d < lastDay) {
		return nan
	}
	return d
}

func (s *Site) lag(d float64) float64 {
	if s.deltaT == s.deltaT {
		return s.deltaT
	}
	return deltaTAt(d)
}
