package sky

import (
	"math"

	"github.com/stationphysics/stationphysics/internal/limit"
	"github.com/stationphysics/stationphysics/solar"
)

// SolarConstantWPerM2 is the irradiance of the sun outside the atmosphere at a
// distance of one astronomical unit: 1361.1 W/m² (Gueymard 2018, Solar Energy
// 168:2–9, the mean of 42 years of satellite records).
const SolarConstantWPerM2 = 1361.1

const rad = math.Pi / 180

// Sun is where the sun stands, as far as its light is concerned.
type Sun struct {
	ElevationDeg float64 // apparent height above the level horizon, refraction included, −90..90
	AzimuthDeg   float64 // clockwise from true north
	DistanceAU   float64 // distance in astronomical units; 1 is the yearly mean
}

// SunAt takes from a position what the sky needs of it.
func SunAt(p solar.Position) Sun {
	return Sun{p.ApparentElevationDeg, p.AzimuthDeg, p.DistanceAU}
}

// SunToward is SunAt for a direction.
func SunToward(d solar.Direction) Sun {
	return Sun{d.ApparentElevationDeg, d.AzimuthDeg(), d.DistanceAU}
}

var (
	sunElevation = limit.Range{Quantity: "sun elevation", Unit: "deg", Min: -90, Max: 90}
	sunAzimuth   = limit.Range{Quantity: "sun azimuth", Unit: "deg", Min: -360, Max: 720}
	// The earth's distance varies by 1.7 %; the room beyond it lets a caller
	// enter the solar constant of another document through the distance.
	sunDistance = limit.Range{Quantity: "distance of the sun", Unit: "AU", Min: 0.95, Max: 1.05,
		Slips: []limit.Slip{{Min: 1.4e8, Max: 1.6e8, Looks: "kilometres"}, {Min: 1.4e11, Max: 1.6e11, Looks: "metres"}, {Min: 0, Max: 0, Looks: "left out"}}}
)

// Check returns a *stationphysics.RangeError for the first field that is
// outside its range, and nil for a position the package accepts. A position
// that fails makes every result NaN.
func (s Sun) Check() error {
	return limit.First(sunElevation.Check(s.ElevationDeg), sunAzimuth.Check(s.AzimuthDeg), sunDistance.Check(s.DistanceAU))
}

func (s *Sun) holds() bool {
	return sunElevation.Holds(s.ElevationDeg) && sunAzimuth.Holds(s.AzimuthDeg) && sunDistance.Holds(s.DistanceAU)
}

// known is holds for a direction.
func known(d *solar.Direction) bool {
	return sunElevation.Holds(d.ApparentElevationDeg) && sunDistance.Holds(d.DistanceAU)
}

// direction is the unit vector towards the sun.
func (s *Sun) direction() solar.Direction {
	p := solar.Position{ApparentElevationDeg: s.ElevationDeg, AzimuthDeg: s.AzimuthDeg, DistanceAU: s.DistanceAU}
	return p.Direction()
}

// ExtraterrestrialWPerM2 is the irradiance outside the atmosphere on a surface
// that faces the sun: the solar constant over the square of the distance. NaN
// if the distance is outside 0.95..1.05 AU.
func (s Sun) ExtraterrestrialWPerM2() float64 {
	if !sunDistance.Holds(s.DistanceAU) {
		return math.NaN()
	}
	return s.extraterrestrial()
}

func (s *Sun) extraterrestrial() float64 {
	return extraterrestrial(s.DistanceAU)
}

func extraterrestrial(distanceAU float64) float64 {
	return SolarConstantWPerM2 / (distanceAU * distanceAU)
}

// AirMass is the relative optical air mass towards the sun, 1 for a sun in the
// zenith and 38 on the horizon (Kasten & Young 1989, Applied Optics 28:4735,
// eq. 3). NaN for a sun below the horizon.
func (s Sun) AirMass() float64 {
	if !(s.ElevationDeg >= 0 && s.ElevationDeg <= 90) {
		return math.NaN()
	}
	return airMass(s.ElevationDeg, math.Sin(s.ElevationDeg*rad))
}

// airMass takes the sine along because every caller has it at hand.
func airMass(elevationDeg, sinElevation float64) float64 {
	// x^-1.6364 by the binomial series around the centre of the eighth of an
	// octave that x lies in: 3e-12 from math.Pow in a quarter of its time, which
	// would otherwise be a third of a transposition.
	x := elevationDeg + 6.07995
	c := &powers[math.Float64bits(x)>>49-powersFrom]
	u := x*c.inverse - 1
	q := 1 + u*(b1+u*(b2+u*(b3+u*(b4+u*(b5+u*(b6+u*(b7+u*(b8+u*b9))))))))
	return 1 / (sinElevation + c.scaled*q)
}

const (
	kyPower    = -1.6364
	powersFrom = (1023 + 2) << 3 // the bits of 4, without the mantissa below its first three

	b1 = kyPower
	b2 = b1 * (kyPower - 1) / 2
	b3 = b2 * (kyPower - 2) / 3
	b4 = b3 * (kyPower - 3) / 4
	b5 = b4 * (kyPower - 4) / 5
	b6 = b5 * (kyPower - 5) / 6
	b7 = b6 * (kyPower - 6) / 7
	b8 = b7 * (kyPower - 7) / 8
	b9 = b8 * (kyPower - 8) / 9
)

// powers covers 4 to 128; 6.08 to 96.08 are needed.
var powers = func() (t [40]struct{ inverse, scaled float64 }) {
	for i := range t {
		c := math.Ldexp(1+(float64(i%8)+0.5)/8, 2+i/8)
		t[i].inverse, t[i].scaled = 1/c, 0.50572*math.Pow(c, kyPower)
	}
	return t
}()

// DistanceOnDayAU is the distance of the sun on a day of the year, 1 for
// 1 January, by the series of Spencer (1971, Search 2:172) for its inverse
// square; good to 0.1 % in the irradiance. NaN outside 1..366.
func DistanceOnDayAU(yearDay int) float64 {
	if yearDay < 1 || yearDay > 366 {
		return math.NaN()
	}
	g := 2 * math.Pi * float64(yearDay-1) / 365
	s1, c1 := math.Sincos(g)
	s2, c2 := math.Sincos(2 * g)
	return 1 / math.Sqrt(1.000110+0.034221*c1+0.001280*s1+0.000719*c2+0.000077*s2)
}
