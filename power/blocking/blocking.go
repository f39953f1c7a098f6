package blocking

import (
	"math"

	"github.com/stationphysics/stationphysics"
	"github.com/stationphysics/stationphysics/internal/limit"
)

// A LeakagePoint is one point of a sheet's reverse current against temperature.
type LeakagePoint struct {
	JunctionC float64 // -90..200 °C
	CurrentA  float64 // above 0, up to 1 A
}

var (
	lkTemp = limit.Range{Quantity: "junction temperature", Unit: "°C", Min: -90, Max: 200, Slips: []limit.Slip{{Min: 203, Max: 473.15, Looks: "kelvins"}}}
	lkAmp  = limit.Range{Quantity: "reverse current", Unit: "A", Min: 1e-15, Max: 1, Slips: []limit.Slip{{Min: 1.5, Max: 1e5, Looks: "milliamperes or microamperes"}}}
)

// A Leakage is the reverse current of a part against temperature at the reverse
// voltage of its sheet; at less reverse voltage it is less. Its zero value
// returns NaN.
type Leakage struct{ knots []leakKnot }

type leakKnot struct{ junctionC, inverseK, lnA float64 }

// NewLeakage takes two to sixteen points of a sheet by rising temperature. It
// returns a *stationphysics.RangeError for a number outside the range stated at
// its field or a count outside 2..16, and a *stationphysics.ConflictError for
// points whose temperature or current does not rise.
func NewLeakage(points ...LeakagePoint) (Leakage, error) {
	if len(points) < 2 || len(points) > 16 {
		return Leakage{}, &stationphysics.RangeError{Quantity: "number of leakage points", Value: float64(len(points)), Min: 2, Max: 16}
	}
	l := Leakage{knots: make([]leakKnot, 0, len(points))}
	for n, p := range points {
		if err := limit.First(lkTemp.Check(p.JunctionC), lkAmp.Check(p.CurrentA)); err != nil {
			return Leakage{}, err
		}
		if n > 0 {
			q := points[n-1]
			if p.JunctionC <= q.JunctionC {
				return Leakage{}, conflict("junction temperature", q.JunctionC, p.JunctionC, "°C", "the points stand by rising temperature")
			}
			if p.CurrentA <= q.CurrentA {
				return Leakage{}, conflict("reverse current", q.CurrentA, p.CurrentA, "A", "leakage rises with temperature: are columns swapped?")
			}
		}
		l.knots = append(l.knots, leakKnot{p.JunctionC, 1 / (p.JunctionC + 273.15), math.Log(p.CurrentA)})
	}
	return l, nil
}

func conflict(what string, a, b float64, unit, rule string) error {
	return &stationphysics.ConflictError{Quantities: []string{what, "next " + what}, Values: []float64{a, b}, Units: []string{unit, unit}, Rule: rule}
}

// CurrentA returns the reverse current in A at a junction temperature: between
// points, and below the coldest down to -90 °C, the logarithm of the current is
// a straight line in the inverse absolute temperature (Arrhenius), which is how
// a thermally activated current moves. NaN above the hottest point, since there
// the sheet says nothing and the error would be large, and outside -90..200 °C.
func (l Leakage) CurrentA(junctionC float64) float64 {
	n := len(l.knots)
	if n == 0 || !(junctionC >= -90 && junctionC <= l.knots[n-1].junctionC) {
		return math.NaN()
	}
	k := 1
	for k < n-1 && junctionC > l.knots[k].junctionC {
		k++
	}
	a, b := l.knots[k-1], l.knots[k]
	return math.Exp(a.lnA + (b.lnA-a.lnA)*(1/(junctionC+273.15)-a.inverseK)/(b.inverseK-a.inverseK))
}

// An IdealDiodeSpec describes a transistor that is driven to conduct one way:
// it holds a small forward drop and becomes a plain resistance when that drop
// no longer suffices.
type IdealDiodeSpec struct {
	HoldV float64 // forward drop it regulates, 0..0.2 V
	OnOhm float64 // resistance fully on, 0..10 ohm
	OwnA  float64 // current of its driver, drawn from the pack day and night, 0..0.01 A
}

var (
	idHold = limit.Range{Quantity: "regulated forward drop", Unit: "V", Min: 0, Max: 0.2, Slips: []limit.Slip{{Min: 1, Max: 200, Looks: "millivolts"}}}
	idOn   = limit.Range{Quantity: "on-resistance", Unit: "ohm", Min: 0, Max: 10, Slips: []limit.Slip{{Min: 11, Max: 1e4, Looks: "milliohms"}}}
	idOwn  = limit.Range{Quantity: "driver current", Unit: "A", Min: 0, Max: 0.01, Slips: []limit.Slip{{Min: 0.1, Max: 1e4, Looks: "microamperes"}}}
)

// An IdealDiode is a validated transistor in the place of a diode.
type IdealDiode struct{ s IdealDiodeSpec }

// NewIdealDiode validates the numbers and returns a *stationphysics.RangeError
// for one outside the range stated at its field.
func NewIdealDiode(s IdealDiodeSpec) (IdealDiode, error) {
	if err := limit.First(idHold.Check(s.HoldV), idOn.Check(s.OnOhm), idOwn.Check(s.OwnA)); err != nil {
		return IdealDiode{}, err
	}
	return IdealDiode{s}, nil
}

// VoltageV returns the forward drop in V at a current in A: the larger of HoldV
// and OnOhm·current, 0 without current. NaN for a negative or NaN current.
func (d IdealDiode) VoltageV(currentA float64) float64 {
	if !(currentA >= 0 && currentA < math.MaxFloat64) {
		return math.NaN()
	}
	if currentA == 0 {
		return 0
	}
	return max(d.s.HoldV, d.s.OnOhm*currentA)
}

// A Part drops a forward voltage at a current: a power.Diode or an IdealDiode.
type Part interface {
	// VoltageV is the forward voltage at a current of 0 A and more, NaN for any other.
	VoltageV(currentA float64) float64
}

// A Case is one place of a blocking part in the charging path and one day
// there.
type Case struct {
	LineV   float64 // voltage of the line at this place, before the part: 18 in the panel's lead, 7 behind a charger; 1..200 V
	ChargeA float64 // mean charging current there, 0..50 A
	ChargeH float64 // hours of it a day, 0..24
	PackV   float64 // pack voltage at night, 1..200 V
	NightA  float64 // current out of the pack at night: leakage, or a driver's own, or without any part what panel and charger let back; 0..1 A
	NightH  float64 // hours of night, 0..24, with ChargeH at most 24
}

// A Loss is what a blocking part costs in one day.
type Loss struct {
	DropV       float64 // forward voltage while charging, V
	LossW       float64 // heat in the part while charging, W
	LossFrac    float64 // share of the line's power lost while charging
	DayLossWh   float64 // lost by day, Wh
	NightLossAh float64 // drained from the pack by night, Ah
	NightLossWh float64 // the same in Wh
}

var (
	csLine   = limit.Range{Quantity: "line voltage", Unit: "V", Min: 1, Max: 200}
	csAmp    = limit.Range{Quantity: "charging current", Unit: "A", Min: 0, Max: 50, Slips: []limit.Slip{{Min: 51, Max: 5e4, Looks: "milliamperes"}}}
	csHours  = limit.Range{Quantity: "hours of charging", Unit: "h", Min: 0, Max: 24}
	csPack   = limit.Range{Quantity: "pack voltage", Unit: "V", Min: 1, Max: 200}
	csNightA = limit.Range{Quantity: "current by night", Unit: "A", Min: 0, Max: 1, Slips: []limit.Slip{{Min: 1.5, Max: 1e4, Looks: "milliamperes or microamperes"}}}
	csNightH = limit.Range{Quantity: "hours of night", Unit: "h", Min: 0, Max: 24}
)

// TotalWh returns the energy lost by day and night, in Wh.
func (l Loss) TotalWh() float64 { return l.DayLossWh + l.NightLossWh }

// Of returns what the part costs in the case; a nil part is a plain wire, to be
// compared with. It returns a *stationphysics.RangeError for a number outside
// the range stated at its field, and a *stationphysics.ConflictError for a day
// of more than 24 hours or a drop that exceeds the line voltage.
func Of(part Part, c Case) (Loss, error) {
	if err := limit.First(csLine.Check(c.LineV), csAmp.Check(c.ChargeA), csHours.Check(c.ChargeH), csPack.Check(c.PackV),
		csNightA.Check(c.NightA), csNightH.Check(c.NightH)); err != nil {
		return Loss{}, err
	}
	if c.ChargeH+c.NightH > 24 {
		return Loss{}, &stationphysics.ConflictError{Quantities: []string{"hours of charging", "hours of night"},
			Values: []float64{c.ChargeH, c.NightH}, Units: []string{"h", "h"}, Rule: "together they fit into a day"}
	}
	l := Loss{NightLossAh: c.NightA * c.NightH}
	l.NightLossWh = l.NightLossAh * c.PackV
	if part != nil {
		l.DropV = part.VoltageV(c.ChargeA)
	}
	if !(l.DropV >= 0 && l.DropV < c.LineV) {
		return Loss{}, &stationphysics.ConflictError{Quantities: []string{"forward drop", "line voltage"},
			Values: []float64{l.DropV, c.LineV}, Units: []string{"V", "V"}, Rule: "the line carries more than the part drops"}
	}
	l.LossW = l.DropV * c.ChargeA
	l.LossFrac = l.DropV / c.LineV
	l.DayLossWh = l.LossW * c.ChargeH
	return l, nil
}
