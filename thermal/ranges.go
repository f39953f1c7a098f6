package thermal

import (
	"math"

	"github.com/stationphysics/stationphysics/internal/limit"
)

// The ranges that several files share.
var (
	partTemp = limit.Range{Quantity: "part temperature", Unit: "°C", Min: -100, Max: 400,
		Slips: []limit.Slip{{Min: 400, Max: 1000, Looks: "kelvins or degrees Fahrenheit"}}}
	// Ambient means the air around a station or on a bench, so that a room
	// given in kelvins is refused.
	ambientTemp = limit.Range{Quantity: "ambient temperature", Unit: "°C", Min: -100, Max: 200,
		Slips: []limit.Slip{{Min: 200, Max: 473, Looks: "kelvins"}}}
	powerRange = limit.Range{Quantity: "power", Unit: "W", Min: 0, Max: 1e5,
		Slips: []limit.Slip{{Min: -1e5, Max: 0, Looks: "a flow of heat with the opposite sign"}}}
	resistance     = limit.Range{Quantity: "thermal resistance", Unit: "K/W", Min: 0, Max: 1e6}
	someResistance = limit.Range{Quantity: "thermal resistance", Unit: "K/W", Min: 1e-9, Max: 1e6}
)

var nan = math.NaN()

const (
	zeroC = 273.15 // K at 0 °C, exact by definition of the Celsius scale
	// The Stefan–Boltzmann constant, W/(m² K⁴), exact since the SI of 2019.
	stefanBoltzmann = 5.670374419e-8
	gravityMPerS2   = 9.80665 // standard acceleration of free fall, exact by definition (CGPM 1901)
)
