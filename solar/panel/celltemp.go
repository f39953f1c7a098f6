package panel

import (
	"math"

	"github.com/stationphysics/stationphysics/internal/limit"
)

// A CellTemperature is a model of how far the sun heats a panel's cells above
// the air: Faiman, Nominal or BackSheet. All accept an irradiance of 0..2000
// W/m², air of -100..70 °C and wind of 0..75 m/s at the panel's height and give
// NaN outside; CheckCellTemperature says why.
type CellTemperature interface {
	// CellC is the temperature of the cells under that irradiance, air and wind.
	CellC(irradianceWPerM2, airC, windMPerS float64) float64
}

var (
	airRange  = limit.Range{Quantity: "air temperature", Unit: "°C", Min: -100, Max: 70, Slips: []limit.Slip{{Min: 173, Max: 343, Looks: "kelvins"}, {Min: 70.01, Max: 130, Looks: "degrees Fahrenheit"}}}
	windRange = limit.Range{Quantity: "wind speed at the panel", Unit: "m/s", Min: 0, Max: 75, Slips: []limit.Slip{{Min: 75.01, Max: 270, Looks: "km/h"}}}
)

// CheckCellTemperature explains why a cell temperature is NaN: it returns a
// *stationphysics.RangeError for the first value that the models do not accept.
func CheckCellTemperature(irradianceWPerM2, airC, windMPerS float64) error {
	return limit.First(irradianceRange.Check(irradianceWPerM2), airRange.Check(airC), windRange.Check(windMPerS))
}

func weatherHolds(g, airC, wind float64) bool {
	return g >= 0 && g <= irradianceRange.Max && airC >= airRange.Min && airC <= airRange.Max && wind >= 0 && wind <= windRange.Max
}

// Faiman is the model of Faiman 2008 (Progress in Photovoltaics 16, 307) that
// IEC 61853-2 measures panels by,
//
//	T = Tair + G/(U0 + U1·v),
//
// with the wind at the panel's height and the panel open at the back. Make one
// with NewFaiman, or use OpenRack.
type Faiman struct{ u0, u1 float64 }

// OpenRack returns Faiman's model with his mean of seven panel types on an open
// rack, U0 = 25.0 W/(m²·K) and U1 = 6.84 W·s/(m³·K).
func OpenRack() Faiman { return Faiman{25.0, 6.84} }

// usualHeat stands for a nil CellTemperature; kept, so that no call allocates.
var usualHeat CellTemperature = OpenRack()

var (
	u0Range = limit.Range{Quantity: "heat loss U0", Unit: "W/(m²·K)", Min: 5, Max: 80}
	u1Range = limit.Range{Quantity: "wind's heat loss U1", Unit: "W·s/(m³·K)", Min: 0, Max: 20}
)

// NewFaiman returns the model with measured coefficients: u0 of 5..80 W/(m²·K)
// and u1 of 0..20 W·s/(m³·K). A panel lying on a roof or glued to a plate is
// cooled from one side only and has about half the u0 of an open rack. The
// error is a *stationphysics.RangeError.
func NewFaiman(u0, u1 float64) (Faiman, error) {
	if err := limit.First(u0Range.Check(u0), u1Range.Check(u1)); err != nil {
		return Faiman{}, err
	}
	return Faiman{u0, u1}, nil
}

// CellC returns the cell temperature in °C. The zero Faiman stands for
// OpenRack.
func (f Faiman) CellC(irradianceWPerM2, airC, windMPerS float64) float64 {
	if !weatherHolds(irradianceWPerM2, airC, windMPerS) {
		return math.NaN()
	}
	if f.u0 == 0 {
		f = OpenRack()
	}
	return airC + irradianceWPerM2/(f.u0+f.u1*windMPerS)
}

// Nominal scales the nominal operating cell temperature of a data sheet: what
// the cells reach at 800 W/m², air of 20 °C and wind of 1 m/s, unloaded on an
// open rack (IEC 61215). Make one with NewNominal.
type Nominal struct {
	riseK float64 // of 800 W/m²
	wind  bool
}

var nominalRange = limit.Range{Quantity: "nominal operating cell temperature", Unit: "°C", Min: 33, Max: 70, Slips: []limit.Slip{{Min: 306, Max: 343, Looks: "kelvins"}, {Min: 91, Max: 158, Looks: "degrees Fahrenheit"}}}

// NewNominal returns the model for a nominal operating cell temperature of
// 33..70 °C; 44 to 48 °C are usual. It takes no notice of the wind (Ross 1976):
// T = Tair + (NOCT - 20 °C)·G/800. WithWind adds it. The error is a
// *stationphysics.RangeError.
func NewNominal(nominalCellC float64) (Nominal, error) {
	if err := nominalRange.Check(nominalCellC); err != nil {
		return Nominal{}, err
	}
	return Nominal{riseK: nominalCellC - 20}, nil
}

// WithWind returns the model with its rise scaled by 9.5/(5.7 + 3.8 v), the
// heat loss of McAdams 1954 at the 1 m/s of the test over that in wind v, as
// Duffie and Beckman, Solar Engineering of Thermal Processes, sect. 23.3, do
// (from memory). Their factor for the electric power drawn off is left at 1:
// the panel of a station idles at its open-circuit voltage for long.
func (n Nominal) WithWind() Nominal {
	n.wind = true
	return n
}

// CellC returns the cell temperature in °C. The zero Nominal stands for a
// nominal operating cell temperature of 45 °C.
func (n Nominal) CellC(irradianceWPerM2, airC, windMPerS float64) float64 {
	if !weatherHolds(irradianceWPerM2, airC, windMPerS) {
		return math.NaN()
	}
	rise := n.riseK
	if rise == 0 {
		rise = 25
	}
	rise *= irradianceWPerM2 / 800
	if n.wind {
		rise *= 9.5 / (5.7 + 3.8*windMPerS)
	}
	return airC + rise
}

// BackSheet is the model of King, Boyson and Kratochvil 2004 (Photovoltaic
// array performance model, SAND2004-3535, eqs. 11 and 12): the back of the
// panel at Tair + G exp(a + b·v), with the wind at 10 m height, and the cells
// warmer than that by ΔT·G/1000. Its values are those of the report's Table 1.
type BackSheet struct{ a, b, dT float64 }

// The mountings of King, Boyson and Kratochvil's Table 1.
var (
	glassOpenRack   = BackSheet{-3.47, -0.0594, 3}
	polymerOpenRack = BackSheet{-3.56, -0.0750, 3}
	glassCloseRoof  = BackSheet{-2.98, -0.0471, 1}
	polymerInsulate = BackSheet{-2.81, -0.0455, 0}
)

// GlassOpenRack is glass on both sides, air all round.
func GlassOpenRack() BackSheet { return glassOpenRack }

// PolymerOpenRack is the usual panel, glass in front and a polymer sheet
// behind, air all round.
func PolymerOpenRack() BackSheet { return polymerOpenRack }

// GlassCloseRoof is glass on both sides, mounted close to a roof.
func GlassCloseRoof() BackSheet { return glassCloseRoof }

// PolymerInsulated is a polymer sheet lying on insulation or on a box, cooled
// from the front alone.
func PolymerInsulated() BackSheet { return polymerInsulate }

// BackC returns the temperature of the panel's back in °C, what a sensor glued
// to it would show.
func (s BackSheet) BackC(irradianceWPerM2, airC, windMPerS float64) float64 {
	if !weatherHolds(irradianceWPerM2, airC, windMPerS) {
		return math.NaN()
	}
	if s.a == 0 {
		s = polymerOpenRack
	}
	return airC + irradianceWPerM2*math.Exp(s.a+s.b*windMPerS)
}

// CellC returns the cell temperature in °C. The zero BackSheet stands for
// PolymerOpenRack.
func (s BackSheet) CellC(irradianceWPerM2, airC, windMPerS float64) float64 {
	if s.a == 0 {
		s = polymerOpenRack
	}
	return s.BackC(irradianceWPerM2, airC, windMPerS) + irradianceWPerM2/1000*s.dT
}
