package battery

import (
	"github.com/stationphysics/stationphysics"
	"github.com/stationphysics/stationphysics/internal/limit"
)

// A Cell is the equivalent circuit of one cell: an open-circuit voltage that
// follows the state of charge, a resistance R0, and one resistance R1 with a
// capacitor C1 across it for the slow part of the voltage drop. Resistances are
// those at 25 °C and grow in the cold.
type Cell struct {
	Chemistry  Chemistry
	CapacityAh float64 // from full to empty at 25 °C and a low rate, 0.03..400
	Curve      Curve   // open-circuit voltage

	R0Ohm   float64 // resistance that acts at once, ohm, 0..20
	R1Ohm   float64 // resistance of the slow part, ohm, 0..20
	C1Farad float64 // capacitor across R1, farad, 0 if R1 is 0

	// ColdK is the growth of both resistances in the cold as an activation
	// temperature: R(T) = R(25 °C) exp(ColdK (1/T - 1/298.15 K)). 0..10000.
	// C1 stays, so that the slow part also becomes slower.
	ColdK float64

	CoulombicEfficiency      float64 // 0.3..1: of the charge put in, what is stored
	SelfDischargePctPerMonth float64 // of the capacity in 30 days at 25 °C, 0..60; doubles every 10 K

	// Usable is the share of the capacity that comes out at a low rate, by
	// cell temperature; the rest stays in the cell until it is warm again.
	Usable []UsablePoint
}

// A UsablePoint is the share of the 25 °C capacity that a cell gives at a
// temperature.
type UsablePoint struct {
	TempC      float64 // -40..85, rising
	UsableFrac float64 // 0..1, not falling
}

// A coin cell has some ten ohm, a 100 Ah cell a fraction of a milliohm.
var (
	resistanceRange = limit.Range{Quantity: "cell resistance", Unit: "ohm", Min: 0, Max: 20, Slips: []limit.Slip{{Min: 20.001, Max: 2000, Looks: "milliohms"}}}
	capacitorRange  = limit.Range{Quantity: "capacitor of the slow part", Unit: "F", Min: 0, Max: 1e8}
	coldRange       = limit.Range{Quantity: "activation temperature of the resistance", Unit: "K", Min: 0, Max: 10000, Slips: []limit.Slip{{Min: 10001, Max: 100000, Looks: "joules per mole"}}}
	coulombicRange  = limit.Range{Quantity: "coulombic efficiency", Min: 0.3, Max: 1, Slips: []limit.Slip{{Min: 30, Max: 100, Looks: "percent"}}}
	selfRange       = limit.Range{Quantity: "self-discharge", Unit: "% a month", Min: 0, Max: 60}
	usableRange     = limit.Range{Quantity: "usable share of the capacity", Min: 0, Max: 1, Slips: []limit.Slip{{Min: 1.001, Max: 150, Looks: "percent"}}}
	parallelRange   = limit.Range{Quantity: "number of cells in parallel", Min: 1, Max: 100}
)

const maxUsablePoints = 8

// Check returns an error for the first field outside its range.
func (c Cell) Check() error {
	if !c.Chemistry.known() {
		return unknown(c.Chemistry.String())
	}
	if err := limit.First(capacityRange.Check(c.CapacityAh), resistanceRange.Check(c.R0Ohm), resistanceRange.Check(c.R1Ohm),
		capacitorRange.Check(c.C1Farad), coldRange.Check(c.ColdK), coulombicRange.Check(c.CoulombicEfficiency),
		selfRange.Check(c.SelfDischargePctPerMonth)); err != nil {
		return err
	}
	if len(c.Curve.pts) == 0 {
		return &stationphysics.RangeError{Quantity: "number of curve points", Value: 0, Min: 2, Max: maxCurvePoints}
	}
	if c.R1Ohm > 0 && !(c.C1Farad > 0) {
		return &stationphysics.ConflictError{Quantities: []string{"R1", "C1"}, Values: []float64{c.R1Ohm, c.C1Farad}, Units: []string{"ohm", "F"},
			Rule: "a resistance of the slow part needs its capacitor"}
	}
	if len(c.Usable) > maxUsablePoints {
		return &stationphysics.RangeError{Quantity: "number of points of the usable share", Value: float64(len(c.Usable)), Min: 0, Max: maxUsablePoints}
	}
	for i, u := range c.Usable {
		if err := limit.First(survivalRange.Check(u.TempC), usableRange.Check(u.UsableFrac)); err != nil {
			return err
		}
		if i > 0 {
			if p := c.Usable[i-1]; !(u.TempC > p.TempC) || u.UsableFrac < p.UsableFrac {
				return &stationphysics.ConflictError{
					Quantities: []string{"temperature", "usable share", "temperature of the next point", "its usable share"},
					Values:     []float64{p.TempC, p.UsableFrac, u.TempC, u.UsableFrac}, Units: []string{"°C", "", "°C", ""},
					Rule: "temperature and usable share of the points must rise"}
			}
		}
	}
	return nil
}

// TypicalCell returns a typical cell of a chemistry and capacity, 0.03..400 Ah:
// the chemistry's curve, resistances in proportion to 1/capacity,
// self-discharge and cold behaviour. It stands in until the cell's own sheet or
// a measurement is at hand; resistances of cells of one kind differ by a factor
// of two. The error is a *stationphysics.RangeError or a
// *stationphysics.NameError.
func TypicalCell(c Chemistry, capacityAh float64) (Cell, error) {
	if !c.known() {
		return Cell{}, unknown(c.String())
	}
	if err := capacityRange.Check(capacityAh); err != nil {
		return Cell{}, err
	}
	t := &typicals[c]
	l := &limits[c]
	return Cell{
		Chemistry: c, CapacityAh: capacityAh, Curve: c.Curve(),
		R0Ohm: t.r0OhmAh / capacityAh, R1Ohm: t.r1OhmAh / capacityAh, C1Farad: t.c1FaradPerAh * capacityAh, ColdK: t.coldK,
		CoulombicEfficiency: l.CoulombicEfficiency, SelfDischargePctPerMonth: l.SelfDischargePctPerMonth,
		Usable: append([]UsablePoint(nil), t.usable...),
	}, nil
}

type typical struct {
	r0OhmAh, r1OhmAh, c1FaradPerAh, coldK float64
	usable                                []UsablePoint
}

var typicals = [...]typical{
	// At 1 kHz 26650 cells of 3.4 and 4 Ah have at most 20 and 18 mohm and a pack of
	// four of 3.6 Ah at most 50 mohm: the product is at most 0.068, 0.072 and
	// 0.045 ohm Ah. The
	// slow part is two thirds of it and settles in half a minute (from memory).
	// Three to five times the resistance at -20 °C (battery engineering notes):
	// 2400 K gives 4.2.
	// Usable share: the sheets of an 11 Ah, a 10 Ah and a 20 Ah cell as a pack
	// maker quotes them, and a store's guide; at -20 °C they say 0.44, 0.55 and
	// 0.70, of which this is the middle one.
	LiFePO4: {r0OhmAh: 0.045, r1OhmAh: 0.03, c1FaradPerAh: 1000, coldK: 2400,
		usable: []UsablePoint{{-40, 0.33}, {-20, 0.55}, {-10, 0.664}, {0, 0.802}, {25, 1}}},
	// At most 25 mohm at 2.6 Ah (18650 sheet); 0.75 at -10 °C, 0.6 at -20 °C (INR18650
	// sheet, at a high rate); 0.85 at 0 °C and what lies below -20 °C from memory.
	LithiumIon: {r0OhmAh: 0.06, r1OhmAh: 0.04, c1FaradPerAh: 800, coldK: 2400,
		usable: []UsablePoint{{-40, 0.2}, {-20, 0.60}, {-10, 0.75}, {0, 0.85}, {25, 1}}},
	// Sheets of six cells have 0.016 to 0.053 ohm Ah a cell; 0.85 at 0 °C (a maker's page),
	// what lies below from memory.
	SealedLead: {r0OhmAh: 0.03, r1OhmAh: 0.03, c1FaradPerAh: 2000, coldK: 1200,
		usable: []UsablePoint{{-40, 0.3}, {-20, 0.60}, {0, 0.85}, {25, 1}}},
	// A maker of flooded batteries takes off a tenth for every 15 °F below 77 °F.
	FloodedLead: {r0OhmAh: 0.03, r1OhmAh: 0.03, c1FaradPerAh: 2000, coldK: 1200,
		usable: []UsablePoint{{-40, 0.22}, {25, 1}}},
	// Cells of 0.7 to 4.2 Ah have 0.021 to 0.105 ohm Ah at 1 kHz (handbook of 2005); the
	// cold from memory.
	NickelMetalHydride: {r0OhmAh: 0.05, r1OhmAh: 0.03, c1FaradPerAh: 1000, coldK: 1500,
		usable: []UsablePoint{{-40, 0.1}, {-20, 0.50}, {0, 0.90}, {25, 1}}},
}
