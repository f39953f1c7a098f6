package baro

import (
	"math"

	"github.com/stationphysics/stationphysics/internal/limit"
)

// StationHPa is the pressure that acts on the sensor, in hPa: what a barometer
// reads once its own errors are out. Valid range 300 to 1100 hPa.
type StationHPa float64

// SeaLevelHPa is a station pressure reduced to mean sea level, in hPa: what
// weather maps show. It depends on the temperature of the air.
type SeaLevelHPa float64

// AltimeterHPa is an altimeter setting (QNH), in hPa: the pressure at sea level
// of the standard atmosphere that has the station's pressure at the station's
// height. It does not depend on the temperature, and differs from SeaLevelHPa
// by several hPa in cold or warm weather.
type AltimeterHPa float64

// GeopotentialM is a geopotential height in standard geopotential metres (gpm):
// the potential energy of a unit mass above sea level divided by 9.80665 m/s2.
// The formulas of the atmosphere use this height.
type GeopotentialM float64

// GeometricM is a height above mean sea level in metres, as on a map.
type GeometricM float64

const (
	standardGravity = 9.80665   // m/s2, ISO 2533:1975, table 1
	gasConstant     = 287.05287 // J/(kg K), dry air, ISO 2533:1975, table 1
	zeroCelsius     = 273.15    // K
)

var (
	stationRange = limit.Range{Quantity: "station pressure", Unit: "hPa", Min: 300, Max: 1100, Slips: []limit.Slip{
		{Min: 30000, Max: 110000, Looks: "pascals"},
		{Min: 17, Max: 32.5, Looks: "inches of mercury"},
		{Min: 32.5, Max: 110, Looks: "kilopascals"}, // no station stands at 8.5 km, where fewer are left
	}}
	seaLevelRange = limit.Range{Quantity: "sea-level pressure", Unit: "hPa", Min: 850, Max: 1100, Slips: []limit.Slip{
		{Min: 85000, Max: 110000, Looks: "pascals"},
		{Min: 85, Max: 110, Looks: "kilopascals"},
		{Min: 25, Max: 32.5, Looks: "inches of mercury"},
	}}
	altimeterRange = limit.Range{Quantity: "altimeter setting", Unit: "hPa", Min: 850, Max: 1100, Slips: []limit.Slip{
		{Min: 85000, Max: 110000, Looks: "pascals"},
		{Min: 25, Max: 32.5, Looks: "inches of mercury"},
	}}
	airRange = limit.Range{Quantity: "air temperature", Unit: "°C", Min: -90, Max: 60, Slips: []limit.Slip{
		{Min: 183, Max: 333.15, Looks: "kelvins"},
		{Min: 60, Max: 140, Looks: "degrees Fahrenheit"},
	}}
	vapourRange = limit.Range{Quantity: "vapour pressure", Unit: "hPa", Min: 0, Max: 200, Slips: []limit.Slip{
		{Min: 200, Max: 20000, Looks: "pascals"},
	}}
	latitudeRange = limit.Range{Quantity: "latitude", Unit: "deg", Min: -90, Max: 90}
	// The lowest dry land and the highest settlement: beyond them a height is
	// a slip, of feet for metres mostly.
	heightRange = limit.Range{Quantity: "height above sea level", Unit: "m", Min: -430, Max: 6000, Slips: []limit.Slip{
		{Min: 6000, Max: 20000, Looks: "feet"},
	}}
)

// Check explains why a station pressure is refused: its error is a
// *stationphysics.RangeError that names the unit it looks like.
func (p StationHPa) Check() error { return stationRange.Check(float64(p)) }

// Check returns a *stationphysics.RangeError for a sea-level pressure outside 850 to
// 1100 hPa.
func (p SeaLevelHPa) Check() error { return seaLevelRange.Check(float64(p)) }

// Check returns a *stationphysics.RangeError for an altimeter setting outside 850 to
// 1100 hPa.
func (p AltimeterHPa) Check() error { return altimeterRange.Check(float64(p)) }

func nan() float64 { return math.NaN() }
