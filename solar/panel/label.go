package panel

import (
	"math"

	"github.com/stationphysics/stationphysics"
	"github.com/stationphysics/stationphysics/internal/limit"
)

// Temperature coefficients to use for a crystalline silicon panel whose label
// gives none; common practice, no published source. Data sheets of such panels
// print +0.03 to +0.07 %/K and -0.27 to -0.37 %/K.
const (
	TypicalIscPctPerK = 0.05  // %/K of Isc
	TypicalVocPctPerK = -0.33 // %/K of Voc
)

// A Label is what the back of a crystalline silicon panel says, at standard
// test conditions: 1000 W/m², cells at 25 °C (IEC 61215).
type Label struct {
	Pmax          float64 // rated power, W, 0 if not given; only checked against Vmp·Imp
	Vmp           float64 // voltage at maximum power, V
	Imp           float64 // current at maximum power, A
	Voc           float64 // open-circuit voltage, 0.4..200 V
	Isc           float64 // short-circuit current, 0.005..20 A
	IscPctPerK    float64 // temperature coefficient of Isc, 0.005..0.2 %/K
	VocPctPerK    float64 // temperature coefficient of Voc, -0.6..-0.15 %/K
	CellsInSeries int     // cells one after the other, 1..300: 36 of the usual "12 V" panel, 10 to 12 of a "6 V" one
}

const (
	// powerTolFrac is how far Pmax may be from Vmp·Imp: labels print two or
	// three digits of each.
	powerTolFrac = 0.05

	// A silicon cell's open-circuit voltage at standard test conditions: about
	// 0.5 V for a poor one, 0.75 V for the best (common practice, no published
	// source); a little room is left on both sides.
	leastCellV, mostCellV = 0.45, 0.80
)

var (
	milliAmps  = []limit.Slip{{Min: 20.001, Max: 20000, Looks: "milliamperes"}}
	milliVolts = []limit.Slip{{Min: 200.001, Max: 200000, Looks: "millivolts"}}

	pmaxRange = limit.Range{Quantity: "Pmax", Unit: "W", Min: 0.01, Max: 1000, Slips: []limit.Slip{{Min: 1000.001, Max: 1e6, Looks: "milliwatts"}}}
	vmpRange  = limit.Range{Quantity: "Vmp", Unit: "V", Min: 0.2, Max: 200, Slips: milliVolts}
	impRange  = limit.Range{Quantity: "Imp", Unit: "A", Min: 0.005, Max: 20, Slips: milliAmps}
	vocRange  = limit.Range{Quantity: "Voc", Unit: "V", Min: 0.4, Max: 200, Slips: milliVolts}
	iscRange  = limit.Range{Quantity: "Isc", Unit: "A", Min: 0.005, Max: 20, Slips: milliAmps}

	iscTempRange = limit.Range{Quantity: "temperature coefficient of Isc", Unit: "%/K", Min: 0.005, Max: 0.2, Slips: []limit.Slip{
		{Min: 1e-6, Max: 0.00499, Looks: "amperes per kelvin or a fraction per kelvin"},
		{Min: 0.201, Max: 50, Looks: "milliamperes per kelvin"}}}
	vocTempRange = limit.Range{Quantity: "temperature coefficient of Voc", Unit: "%/K", Min: -0.6, Max: -0.15, Slips: []limit.Slip{
		{Min: 0.15, Max: 0.6, Looks: "the minus sign forgotten"},
		{Min: -0.0062, Max: -0.0015, Looks: "a fraction per kelvin"},
		{Min: -0.14999, Max: -0.00621, Looks: "volts per kelvin"},
		{Min: -1000, Max: -0.601, Looks: "millivolts per kelvin"}}}
	labelCellsRange = limit.Range{Quantity: "cells in series", Min: 1, Max: 300}
)

func (l Label) check() error {
	err := limit.First(vmpRange.Check(l.Vmp), impRange.Check(l.Imp), vocRange.Check(l.Voc), iscRange.Check(l.Isc),
		iscTempRange.Check(l.IscPctPerK), vocTempRange.Check(l.VocPctPerK), labelCellsRange.Check(float64(l.CellsInSeries)))
	if err == nil && l.Pmax != 0 {
		err = pmaxRange.Check(l.Pmax)
	}
	if err != nil {
		return err
	}
	if l.Vmp >= l.Voc {
		return conflict("Vmp", l.Vmp, "V", "Voc", l.Voc, "V", "the voltage at maximum power is below the open-circuit voltage")
	}
	if l.Imp >= l.Isc {
		return conflict("Imp", l.Imp, "A", "Isc", l.Isc, "A", "the current at maximum power is below the short-circuit current")
	}
	if p := l.Vmp * l.Imp; l.Pmax != 0 && !(math.Abs(l.Pmax-p) <= powerTolFrac*p) {
		rule := "the rated power is Vmp times Imp to 5 %"
		if r := l.Pmax / p * 1000; math.Abs(r-1) <= powerTolFrac {
			rule += ": milliamperes or millivolts given as amperes or volts?"
		} else if r := l.Pmax / p / 1000; math.Abs(r-1) <= powerTolFrac {
			rule += ": milliwatts?"
		} else if math.Abs(l.Pmax/(l.Voc*l.Isc)-1) <= powerTolFrac {
			rule += "; this is Voc times Isc, which no panel delivers"
		}
		return conflict("Pmax", l.Pmax, "W", "Vmp·Imp", p, "W", rule)
	}
	// The curve is bowed outwards, so it lies below its tangent at the maximum
	// power point, which meets the axes at 2 Vmp and 2 Imp.
	if 2*l.Vmp <= l.Voc {
		return conflict("Vmp", l.Vmp, "V", "Voc", l.Voc, "V", "the voltage at maximum power exceeds half the open-circuit voltage")
	}
	if 2*l.Imp <= l.Isc {
		return conflict("Imp", l.Imp, "A", "Isc", l.Isc, "A", "the current at maximum power exceeds half the short-circuit current")
	}
	if v := l.Voc / float64(l.CellsInSeries); !(v >= leastCellV && v <= mostCellV) {
		return conflict("Voc", l.Voc, "V", "cells in series", float64(l.CellsInSeries), "", "a silicon cell gives 0.45 to 0.80 V without load")
	}
	return nil
}

func conflict(q1 string, v1 float64, u1, q2 string, v2 float64, u2, rule string) error {
	return &stationphysics.ConflictError{Quantities: []string{q1, q2}, Values: []float64{v1, v2}, Units: []string{u1, u2}, Rule: rule}
}
