package station

import (
	"fmt"
	"time"

	"github.com/stationphysics/stationphysics/solar/sky"
)

// syntheticYearOf is the calendar year that a synthetic weather is laid in. It
// only sets the sun to some hundredths of a degree.
const syntheticYearOf = 2025

// Synthetic makes an hourly weather from the monthly climate of the
// description by sky.SyntheticYear. The same seed gives the same weather on
// every machine. It returns a *MissingError if the description lacks
// something for it, and an *InputError for a climate that no sky gives.
func (p *Model) Synthetic(seed uint64) (*Weather, error) {
	if miss := p.ClimateMissing(); len(miss) > 0 {
		return nil, &MissingError{For: "a synthetic year", Keys: miss}
	}
	c := p.d.Climate
	var climate sky.Climate
	copy(climate.DailyGlobalKWhPerM2[:], c.GlobalKWhPerM2)
	copy(climate.MeanTempC[:], c.AirC)
	climate.DailySpreadK, climate.WindMPerS = *c.SpreadK, *c.WindMPerS
	zone := time.FixedZone("", int(*p.d.Site.UTCOffsetH*3600))
	hours, err := sky.SyntheticYear(p.site.v, climate, syntheticYearOf, zone, seed)
	if err != nil {
		return nil, &InputError{File: "description", Key: "climate", Err: err}
	}
	w := &Weather{Source: fmt.Sprintf("synthetic year from monthly climate, seed %d", seed), Step: time.Hour, clean: true, HasDew: true, Steps: make([]WeatherStep, len(hours))}
	for i, h := range hours {
		w.Steps[i] = WeatherStep{
			Start: h.Start, GlobalWPerM2: h.GlobalWPerM2, DirectWPerM2: h.BeamNormalWPerM2, SkyWPerM2: h.DiffuseWPerM2,
			// A wide spread draws days that no place has, nor may a weather file.
			AirC: min(max(h.TempC, airRange.Min), airRange.Max), WindMPerS: h.WindMPerS,
		}
	}
	w.dewFromLows()
	return w, nil
}

// dewFromLows takes each day's lowest air temperature for its dew point: where
// nothing better is known, air cools at night until it is nearly saturated
// (Allen et al. 1998, FAO Irrigation and Drainage Paper 56, eq. 48).
func (w *Weather) dewFromLows() {
	day := int(24 * time.Hour / w.Step)
	for from := 0; from < len(w.Steps); from += day {
		steps := w.Steps[from:min(from+day, len(w.Steps))]
		low := steps[0].AirC
		for i := range steps {
			low = min(low, steps[i].AirC)
		}
		for i := range steps {
			steps[i].DewC = low
		}
	}
}
