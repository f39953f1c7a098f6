package panel

import (
	"math"

	"github.com/stationphysics/stationphysics"
	"github.com/stationphysics/stationphysics/internal/limit"
	"github.com/stationphysics/stationphysics/internal/numeric"
)

// firstLightWPerM2 is the irradiance taken for FirstLightV: a sun just risen,
// or the sky alone on an overcast day (an order of magnitude, common practice).
const firstLightWPerM2 = 100.0

// Window is the range of voltages that a panel shows over the years: what the
// charger must stand and what it has to work with.
type Window struct {
	ColdestV      float64 // open circuit in full sun with the cells at the record low of the air: what the charger must survive
	FirstLightV   float64 // open circuit at the same temperature under 100 W/m²: what a cold dawn really shows
	ColdMaxPowerV float64 // at maximum power in full sun, cells at the record low
	HotMaxPowerV  float64 // at maximum power in full sun, cells at their hottest: a charger set above it loses summer
	HottestV      float64 // open circuit then
	HotCellC      float64 // the hottest cells
}

// Window returns the panel's voltages at the record low and the record high of
// the air temperature, in °C. After a clear night the cells are as cold as the
// air, and the sun may break through a cloud upon them before they warm: the
// open-circuit voltage at the record low is therefore taken in full sun, 1000
// W/m², as rules for photovoltaic arrays do (IEC 62548, from memory). The
// hottest cells are those of heat in full sun without wind; nil stands for
// OpenRack.
//
// Errors: a *stationphysics.RangeError outside -100..70 °C and for parameters that no
// cell has, with which the panel opens above HighestV; a *stationphysics.ConflictError
// if the low is above the high.
func (m Module) Window(recordLowC, recordHighC float64, heat CellTemperature) (Window, error) {
	if err := limit.First(airRange.Check(recordLowC), airRange.Check(recordHighC)); err != nil {
		return Window{}, err
	}
	if recordLowC > recordHighC {
		return Window{}, conflict("record low", recordLowC, "°C", "record high", recordHighC, "°C", "the record low is below the record high")
	}
	if heat == nil {
		heat = usualHeat
	}
	hotC := heat.CellC(refIrradianceWPerM2, recordHighC, 0)
	if err := cellTempRange.Check(hotC); err != nil {
		return Window{}, err
	}
	cold := m.At(refIrradianceWPerM2, recordLowC)
	hot := m.At(refIrradianceWPerM2, hotC)
	for _, c := range []*Curve{&cold, &hot} {
		if v := c.a * c.diodeAt(0); c.a > 0 && !(v <= c.bound) {
			return Window{}, &stationphysics.RangeError{Quantity: "open-circuit voltage", Value: v, Unit: "V", Max: c.bound}
		}
	}
	return Window{
		ColdestV:      cold.OpenCircuitV(),
		FirstLightV:   m.At(firstLightWPerM2, recordLowC).OpenCircuitV(),
		ColdMaxPowerV: cold.MaxPower().Vmp,
		HotMaxPowerV:  hot.MaxPower().Vmp,
		HottestV:      hot.OpenCircuitV(),
		HotCellC:      hotC,
	}, nil
}

// KeptBand returns the voltages between which a charger keeps at least
// keptFrac, 0..1, of the curve's maximum power: the room for setting a held
// voltage. Both are 0 in the dark; both are NaN for a keptFrac out of range.
func (c Curve) KeptBand(keptFrac float64) (lowV, highV float64) {
	if !(keptFrac >= 0 && keptFrac <= 1) || c.iL != c.iL {
		return math.NaN(), math.NaN()
	}
	p := c.MaxPower()
	if p.Pmp == 0 {
		return 0, 0
	}
	// The power rises up to Vmp and falls after it: one root on either side.
	off := func(v float64) float64 { return c.PowerW(v) - keptFrac*p.Pmp }
	lowV, highV = p.Vmp, p.Vmp
	if off(p.Vmp) > 0 {
		if v, ok := numeric.Root(off, 0, p.Vmp, 0); ok {
			lowV = v
		}
		voc := c.OpenCircuitV()
		if keptFrac == 0 {
			return 0, voc
		}
		if v, ok := numeric.Root(off, p.Vmp, voc, 0); ok {
			highV = v
		}
	}
	return lowV, highV
}

// DarkLeakA returns the current in A that a battery of batteryV pushes back
// through the unlit panel if no diode blocks it, with the cells at cellC. The
// least is what the cells' diodes take; De Soto's model has no shunt in the
// dark. Real panels keep one: the most has the shunt of standard test
// conditions beside the diodes. The truth lies between and is measured, not
// computed. Both are NaN for a negative voltage, above HighestV, or for a
// temperature that CheckConditions refuses.
func (m Module) DarkLeakA(batteryV, cellC float64) (leastA, mostA float64) {
	c := m.At(0, cellC)
	if !(batteryV >= 0) {
		return math.NaN(), math.NaN()
	}
	leastA = 0 - c.CurrentA(batteryV) // not -x, which would make a -0
	if m.par.CellsInSeries != 0 {
		c.gsh = m.gsh
		c.lnK -= lnOnePlus(c.rs * c.gsh)
	}
	return leastA, 0 - c.CurrentA(batteryV)
}
