package transient

import (
	"math"

	"github.com/stationphysics/stationphysics/internal/limit"
)

// The ranges that several files share.
var (
	someResistance = limit.Range{Quantity: "thermal resistance", Unit: "K/W", Min: 1e-9, Max: 1e6}
	heatPower      = limit.Range{Quantity: "power", Unit: "W", Min: 0, Max: 1e5,
		Slips: []limit.Slip{{Min: -1e5, Max: 0, Looks: "a flow of heat with the opposite sign"}}}
	partTemp = limit.Range{Quantity: "part temperature", Unit: "°C", Min: -100, Max: 400,
		Slips: []limit.Slip{{Min: 400, Max: 1000, Looks: "kelvins or degrees Fahrenheit"}}}
	ambientTemp = limit.Range{Quantity: "ambient temperature", Unit: "°C", Min: -100, Max: 200,
		Slips: []limit.Slip{{Min: 200, Max: 473, Looks: "kelvins"}}}
)

var nan = math.NaN()
