package battery

import (
	"strconv"

	"github.com/stationphysics/stationphysics"
	"github.com/stationphysics/stationphysics/internal/limit"
)

// A CurvePoint is one point of an open-circuit curve: the voltage of one rested
// cell at 25 °C and its change with temperature.
type CurvePoint struct {
	SoC   float64 // state of charge, 0..1, a little beyond where the source goes there
	V     float64 // open-circuit voltage of one cell at 25 °C, V
	VPerK float64 // change of it per kelvin, V/K
}

// A Curve is an open-circuit voltage by state of charge, straight between its
// points and continued straight beyond the ends. It rises everywhere, so that a
// voltage has one state of charge. Make one with NewCurve or take a
// chemistry's own with Chemistry.Curve; the zero value has no points.
type Curve struct {
	pts    []CurvePoint
	source string
}

var (
	curveSoCRange  = limit.Range{Quantity: "state of charge of a curve point", Min: -0.2, Max: 1.3, Slips: []limit.Slip{{Min: 1.31, Max: 130, Looks: "percent"}}}
	curveVoltRange = limit.Range{Quantity: "open-circuit voltage of a cell", Unit: "V", Min: 0.5, Max: 5, Slips: []limit.Slip{{Min: 5.001, Max: 160, Looks: "volts of the whole pack"}, {Min: 500, Max: 5000, Looks: "millivolts"}}}
	curvePerKRange = limit.Range{Quantity: "temperature coefficient of a curve point", Unit: "V/K", Min: -0.002, Max: 0.002, Slips: []limit.Slip{{Min: -2, Max: 2, Looks: "millivolts per kelvin"}}}
)

// The most points of a curve: the pack keeps them in a fixed array, so that a
// step touches no other memory.
const maxCurvePoints = 32

// NewCurve makes a curve from its points and the name of its source. There are
// 2 to 32 points with rising state of charge and rising voltage at every
// temperature from -40 to 85 °C; they reach from 0 or below to 1 or above. The
// error is a *stationphysics.RangeError or, for points out of order, a
// *stationphysics.ConflictError.
func NewCurve(source string, points ...CurvePoint) (Curve, error) {
	if n := len(points); n < 2 || n > maxCurvePoints {
		return Curve{}, &stationphysics.RangeError{Quantity: "number of curve points", Value: float64(n), Min: 2, Max: maxCurvePoints}
	}
	for i, p := range points {
		if err := limit.First(curveSoCRange.Check(p.SoC), curveVoltRange.Check(p.V), curvePerKRange.Check(p.VPerK)); err != nil {
			return Curve{}, err
		}
		if i == 0 {
			continue
		}
		q := points[i-1]
		if !(p.SoC > q.SoC) {
			return Curve{}, conflict("the state of charge of the points must rise", "", "state of charge of point "+strconv.Itoa(i), q.SoC, "state of charge of point "+strconv.Itoa(i+1), p.SoC)
		}
		for _, t := range [...]float64{survivalMinC - referenceC, survivalMaxC - referenceC} {
			if a, b := q.V+q.VPerK*t, p.V+p.VPerK*t; !(b > a) {
				return Curve{}, conflict("the voltage of the points must rise at every temperature", "V",
					"voltage of point "+strconv.Itoa(i), a, "voltage of point "+strconv.Itoa(i+1), b)
			}
		}
	}
	if first, last := points[0].SoC, points[len(points)-1].SoC; first > 0 || last < 1 {
		return Curve{}, conflict("the points must reach from 0 to 1", "", "first state of charge", first, "last state of charge", last)
	}
	return Curve{pts: append([]CurvePoint(nil), points...), source: source}, nil
}

func conflict(rule, unit, qa string, a float64, qb string, b float64) error {
	return &stationphysics.ConflictError{Quantities: []string{qa, qb}, Values: []float64{a, b}, Units: []string{unit, unit}, Rule: rule}
}

// Source names the document of the curve.
func (c Curve) Source() string { return c.source }

// OpenCircuitV returns the voltage of a rested cell, V, at a state of charge of
// -0.2 to 1.3 and a cell temperature of -40 to 85 °C; NaN outside and for the
// zero Curve.
func (c Curve) OpenCircuitV(soc, tempC float64) (cellV float64) {
	if len(c.pts) == 0 || !curveSoCRange.Holds(soc) || !survivalRange.Holds(tempC) {
		return nan
	}
	i := 0
	for i < len(c.pts)-2 && soc >= c.pts[i+1].SoC {
		i++
	}
	p, q := &c.pts[i], &c.pts[i+1]
	f := (soc - p.SoC) / (q.SoC - p.SoC)
	d := tempC - referenceC
	a, b := p.V+p.VPerK*d, q.V+q.VPerK*d
	return a + (b-a)*f
}

// SoC returns the state of charge at which a rested cell has a voltage, the
// inverse of OpenCircuitV: it may lie outside 0..1 for a voltage beyond the
// curve, and is NaN beyond -0.2..1.3. How far to trust it is another question:
// see SoCBand.
func (c Curve) SoC(cellV, tempC float64) (soc float64) {
	if len(c.pts) == 0 || !curveVoltRange.Holds(cellV) || !survivalRange.Holds(tempC) {
		return nan
	}
	// The points rise at every temperature, so the first one above ends the search.
	d := tempC - referenceC
	i := 0
	for i < len(c.pts)-2 && cellV >= c.pts[i+1].V+c.pts[i+1].VPerK*d {
		i++
	}
	p, q := &c.pts[i], &c.pts[i+1]
	a, b := p.V+p.VPerK*d, q.V+q.VPerK*d
	s := p.SoC + (cellV-a)/(b-a)*(q.SoC-p.SoC)
	if !curveSoCRange.Holds(s) {
		return nan
	}
	return s
}
