package wiring

import (
	"math"

	"github.com/stationphysics/stationphysics/internal/limit"
	"github.com/stationphysics/stationphysics/internal/numeric"
)

// A HoldUp is a capacitor that helps a weak source through a burst of current:
// the radio of a station, a motor's start.
type HoldUp struct {
	CapacitorFarad float64 // as it is at its voltage and temperature, 1e-9..1000 F
	EsrOhm         float64 // its series resistance, cold if the station is cold, 0..1000 ohm
	SourceV        float64 // open-circuit voltage of the source, 0.1..200 V
	SourceOhm      float64 // its resistance, wires included, 0..1e9 ohm; +Inf for a source that does not help
	BurstA         float64 // current during the burst, 0..100 A
	BurstS         float64 // its length, 0..1e5 s
	PeriodS        float64 // from one burst to the next, longer than BurstS; +Inf for a single burst
}

var (
	huFarad  = limit.Range{Quantity: "hold-up capacitance", Unit: "F", Min: 1e-9, Max: 1000, Slips: []limit.Slip{{Min: 1001, Max: 1e6, Looks: "microfarads"}}}
	huEsr    = limit.Range{Quantity: "capacitor's series resistance", Unit: "ohm", Min: 0, Max: 1000}
	huSource = limit.Range{Quantity: "source voltage", Unit: "V", Min: 0.1, Max: 200}
	huOhm    = limit.Range{Quantity: "source resistance", Unit: "ohm", Min: 0, Max: 1e9}
	huBurstA = limit.Range{Quantity: "burst current", Unit: "A", Min: 0, Max: 100, Slips: []limit.Slip{{Min: 101, Max: 1e5, Looks: "milliamperes"}}}
	huBurstS = limit.Range{Quantity: "burst length", Unit: "s", Min: 0, Max: 1e5}
)

// Check returns nil if the numbers are usable and otherwise a
// *stationphysics.RangeError for one outside the range stated at its field. A
// PeriodS of 0 counts as +Inf.
func (h HoldUp) Check() error {
	period := limit.Range{Quantity: "burst period", Unit: "s", Min: h.BurstS, Max: math.Inf(1)}
	err := limit.First(huFarad.Check(h.CapacitorFarad), huEsr.Check(h.EsrOhm), huSource.Check(h.SourceV))
	if err == nil && !math.IsInf(h.SourceOhm, 1) {
		err = huOhm.Check(h.SourceOhm)
	}
	err = limit.First(err, huBurstA.Check(h.BurstA), huBurstS.Check(h.BurstS))
	if err == nil && h.PeriodS != 0 {
		err = period.Check(h.PeriodS)
	}
	return err
}

// LowestV returns the voltage at the load at the end of a burst, its lowest. A
// source of SourceOhm recharges the capacitor with the time constant
// (SourceOhm + EsrOhm)·C; with a = e^(-burst/τ) and b = e^(-pause/τ) the
// deficit of the capacitor at the end of a burst, once the bursts repeat
// steadily, is I·Rs·(1-a)/(1-a·b). A source that does not help leaves
// I·burst/C. Added to it is the step in the series resistance. Negative
// results mean that the burst cannot be carried. NaN if Check fails, or for
// repeated bursts without a source to recharge.
func (h HoldUp) LowestV() float64 {
	if h.Check() != nil {
		return math.NaN()
	}
	periodS := h.PeriodS
	if periodS == 0 {
		periodS = math.Inf(1)
	}
	if math.IsInf(h.SourceOhm, 1) {
		if !math.IsInf(periodS, 1) {
			return math.NaN()
		}
		return h.SourceV - h.BurstA*(h.BurstS/h.CapacitorFarad+h.EsrOhm)
	}
	loop := h.SourceOhm + h.EsrOhm
	if loop == 0 {
		return h.SourceV
	}
	tau := loop * h.CapacitorFarad
	fall := -math.Expm1(-h.BurstS / tau)
	deficit := h.BurstA * h.SourceOhm * fall / -math.Expm1(-periodS/tau)
	return h.SourceV - deficit - h.EsrOhm*(h.BurstA*h.SourceOhm-deficit)/loop
}

// NeededFarad returns the least capacitance in F with which the load never
// falls below lowestV, the other numbers as they are. 0 if 1 nF does already;
// NaN if 1000 F do not, because the series resistance alone costs too much, or
// if the numbers fail Check whatever the capacitance.
func (h HoldUp) NeededFarad(lowestV float64) float64 {
	short := func(lnFarad float64) float64 {
		h.CapacitorFarad = min(1000, max(1e-9, math.Exp(lnFarad)))
		return h.LowestV() - lowestV
	}
	lo, hi := math.Log(1e-9), math.Log(1000)
	if short(lo) >= 0 {
		return 0
	}
	x, ok := numeric.Root(short, lo, hi, 1e-12)
	if !ok {
		return math.NaN()
	}
	return math.Exp(x)
}

// A HotPlug is a capacitor that is plugged into a live source through a cable.
type HotPlug struct {
	SourceV        float64 // voltage of the source, 0.1..200 V
	InitialV       float64 // voltage already on the capacitor, 0 to SourceV
	LoopOhm        float64 // resistance of source, cable, contacts and the capacitor's own, 1e-6..1000 ohm
	LoopHenry      float64 // inductance of source and cable, 1e-10..1 H
	CapacitorFarad float64 // at its working voltage: a ceramic one may have lost more than half, 1e-12..1 F
}

var (
	hpSource = limit.Range{Quantity: "source voltage", Unit: "V", Min: 0.1, Max: 200}
	hpOhm    = limit.Range{Quantity: "loop resistance", Unit: "ohm", Min: 1e-6, Max: 1000}
	hpHenry  = limit.Range{Quantity: "loop inductance", Unit: "H", Min: 1e-10, Max: 1, Slips: []limit.Slip{{Min: 1.5, Max: 1e5, Looks: "microhenries or nanohenries"}}}
	hpFarad  = limit.Range{Quantity: "input capacitance", Unit: "F", Min: 1e-12, Max: 1, Slips: []limit.Slip{{Min: 1.5, Max: 1e5, Looks: "microfarads"}}}
)

// Check returns nil if the numbers are usable and otherwise a
// *stationphysics.RangeError for one outside the range stated at its field.
func (h HotPlug) Check() error {
	initial := limit.Range{Quantity: "initial voltage", Unit: "V", Min: 0, Max: h.SourceV}
	return limit.First(hpSource.Check(h.SourceV), initial.Check(h.InitialV), hpOhm.Check(h.LoopOhm), hpHenry.Check(h.LoopHenry), hpFarad.Check(h.CapacitorFarad))
}

// DampingRatio returns R/2·√(C/L): below 1 the voltage overshoots. NaN if Check
// fails.
func (h HotPlug) DampingRatio() float64 {
	if h.Check() != nil {
		return math.NaN()
	}
	return h.LoopOhm / 2 * math.Sqrt(h.CapacitorFarad/h.LoopHenry)
}

// PeakV returns the highest voltage on the capacitor,
//
//	source + (source - initial)·exp(-π·ζ/√(1-ζ²)),  ζ the DampingRatio
//
// and the source's own for ζ >= 1: twice the source for an undamped start from
// zero. A linear capacitor is assumed; a ceramic one, which loses capacitance
// as its voltage rises, goes above even that. NaN if Check fails.
func (h HotPlug) PeakV() float64 {
	z := h.DampingRatio()
	if !(z < 1) {
		if z >= 1 {
			return h.SourceV
		}
		return math.NaN()
	}
	return h.SourceV + (h.SourceV-h.InitialV)*math.Exp(-math.Pi*z/math.Sqrt(1-z*z))
}

// PeakA returns the largest inrush current in A,
// (source - initial)/√(L/C)·exp(-ζ/√(1-ζ²)·arccos ζ), and its limits at and
// above ζ = 1. NaN if Check fails.
func (h HotPlug) PeakA() float64 {
	z := h.DampingRatio()
	if math.IsNaN(z) {
		return z
	}
	base := (h.SourceV - h.InitialV) / math.Sqrt(h.LoopHenry/h.CapacitorFarad)
	switch {
	case z < 1-1e-9:
		return base * math.Exp(-z/math.Sqrt(1-z*z)*math.Acos(z))
	case z <= 1+1e-9:
		return base / math.E
	}
	// arccos continues as arcosh.
	return base * math.Exp(-z/math.Sqrt(z*z-1)*math.Acosh(z))
}

// SeriesOhm returns the total loop resistance in ohm that just prevents any
// overshoot: 2·√(L/C). NaN if Check fails.
func (h HotPlug) SeriesOhm() float64 {
	if h.Check() != nil {
		return math.NaN()
	}
	return 2 * math.Sqrt(h.LoopHenry/h.CapacitorFarad)
}
