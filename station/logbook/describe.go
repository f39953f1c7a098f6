package logbook

import (
	"github.com/stationphysics/stationphysics/battery"
	"github.com/stationphysics/stationphysics/station"
)

// FromDescription takes from the description of a station what a log leaves
// open: the place, the top of the first light sensor, the pack's limit by its
// chemistry, the charger's settings and the panel's voltage. What the
// description does not state stays unstated. The description must have been
// read by station.Read. Sensors' tolerances, cup and bucket are not in it.
func FromDescription(d *station.Description) Config {
	var c Config
	num := func(p *float64) float64 {
		if p == nil {
			return 0
		}
		return *p
	}
	if s := d.Site; s != nil && s.LatitudeDeg != nil && s.LongitudeDeg != nil && (s.BarometerHeightM != nil || s.HeightM != nil) {
		h := s.BarometerHeightM
		if h == nil {
			h = s.HeightM
		}
		c.Place = &Place{LatDeg: *s.LatitudeDeg, LonDeg: *s.LongitudeDeg, BarometerM: *h}
	}
	for _, s := range d.Sensors {
		if s.Kind == "light" && s.TopLx != nil && c.LightTopLx == 0 {
			c.LightTopLx = *s.TopLx
		}
	}
	if p := d.Pack; p != nil && p.Cells != nil {
		if chem, err := battery.ParseChemistry(p.Chemistry); err == nil {
			l := chem.Limits()
			c.Power.LimitV = float64(*p.Cells) * l.Overcharge.V
			c.Power.FrostC = l.ChargeWindow.MinC
		}
	}
	if g := d.Charger; g != nil {
		c.Power.SetV, c.Power.HoldV = num(g.SetV), num(g.HoldV)
	}
	if p := d.Panel; p != nil {
		n := 1
		if p.SeriesPanels != nil {
			n = *p.SeriesPanels
		}
		c.Power.OpenV = num(p.VocV) * float64(n)
	}
	return c
}
