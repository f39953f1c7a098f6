package thermal

import "github.com/stationphysics/stationphysics/internal/limit"

// A ShieldError is how far a thermometer in a shield without a fan has been
// found, or calculated, above the air.
type ShieldError struct {
	LowK, HighK float64 // the band, K above the true air temperature; both NaN where nothing is published at hand
	Reason      string  // which case this is and whose values they are
}

var shieldBands = [...]ShieldError{
	{+2.0, +4.0, "midday sun and almost no wind: radiation loading model, Trans. ASAE 2001"},
	{+0.1, +1.3, "sun with wind: 0.12 to 0.59 K mean of naturally ventilated shields (Jin et al.), at most 1.29 K among ten shields (Atmosphere 2024, 15, 841)"},
	{+0.1, +4.0, "sun with light wind: anything between the windy and the calm case"},
	{nan, nan, "cannot tell: the sources at hand give no band for weak sun or night; the error is smaller than by day and may be negative under a clear sky"},
}

var shieldSun = limit.Range{Quantity: "sunlight", Unit: "W/m²", Min: -20, Max: 1600,
	Slips: []limit.Slip{{Min: 1600, Max: 200000, Looks: "lux"}}}

// ShieldErrorBand returns the published band of the error for global sunlight
// of -20 to 1600 W/m² (a pyranometer reads slightly below zero at night) and
// wind at the shield of 0 to 75 m/s. It is a statement about shields in
// general, for the uncertainty of a reading: never subtract it. The shield's
// own error depends on its make, its age and the ground below, and one measured
// beside an aspirated reference is worth more than any table. The boundaries at
// 300 W/m², 0.5 m/s and 2 m/s are this package's reading of the words calm and
// windy in the papers. Outside the ranges the band is NaN with the reason.
func ShieldErrorBand(sunWPerM2, windMPerS float64) ShieldError {
	if err := limit.First(shieldSun.Check(sunWPerM2), boxWind.Check(windMPerS)); err != nil {
		return ShieldError{nan, nan, err.Error()}
	}
	switch {
	case sunWPerM2 < 300:
		return shieldBands[3]
	case windMPerS < 0.5:
		return shieldBands[0]
	case windMPerS < 2:
		return shieldBands[2]
	}
	return shieldBands[1]
}
