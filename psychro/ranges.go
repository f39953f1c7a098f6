package psychro

import "github.com/stationphysics/stationphysics/internal/limit"

// The accepted ranges. The lower end of the pressure keeps kilopascals and
// inches of mercury out, the upper end of the temperature keeps kelvins out.
var (
	airTemperature = limit.Range{Quantity: "air temperature", Unit: "°C", Min: -100, Max: 100,
		Slips: []limit.Slip{{Min: 173, Max: 374, Looks: "kelvins"}, {Min: 100, Max: 173, Looks: "degrees Fahrenheit"}}}
	relativeHumidity = limit.Range{Quantity: "relative humidity over water", Unit: "%", Min: 0, Max: 100,
		Slips: []limit.Slip{{Min: 100, Max: 110, Looks: "pegged or supersaturated, see Excess"}}}
	stationPressure = limit.Range{Quantity: "air pressure", Unit: "hPa", Min: 300, Max: 1100,
		Slips: []limit.Slip{{Min: 30000, Max: 110000, Looks: "pascals"}, {Min: 32.5, Max: 110, Looks: "kilopascals"},
			{Min: 8, Max: 32.5, Looks: "inches of mercury"}, {Min: 0.3, Max: 1.1, Looks: "bars"}}}
)
