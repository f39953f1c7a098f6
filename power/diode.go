package power

import (
	"math"

	"github.com/stationphysics/stationphysics"
	"github.com/stationphysics/stationphysics/internal/limit"
	"github.com/stationphysics/stationphysics/internal/numeric"
)

// Constants of the SI (exact since 2019) and the ice point.
const (
	boltzmannOverCharge = 1.380649e-23 / 1.602176634e-19 // V/K
	kelvin              = 273.15
)

// A DiodeSpec holds the parameters of a diode in the form of the Shockley
// equation with a series resistance,
//
//	V = n·(k·T/q)·ln(I/Is + 1) + Rs·I
//
// and the law by which the saturation current moves with temperature,
//
//	Is(T) = Is·(T/T0)^(x/n) · exp((T/T0 - 1)·Eg/(n·k·T/q))
//
// the one circuit simulators use (Antognetti and Massobrio, Semiconductor
// Device Modeling with SPICE, ch. 1; from memory, checked against ngspice 39).
type DiodeSpec struct {
	SaturationA    float64 // Is at NominalC, 1e-20..0.1 A
	Ideality       float64 // n, 0.8..4
	SeriesOhm      float64 // Rs, 0..100 ohm
	NominalC       float64 // temperature at which SaturationA holds, -90..200 °C
	BarrierV       float64 // Eg/q: 1.11 for silicon junctions, 0.69 for Schottky contacts (SPICE defaults), 0.2..3.5 V
	GrowthExponent float64 // x: 3 for junctions, 2 for Schottky contacts, 0..10
}

// A DiodeKind fixes ideality and temperature law where a sheet gives only
// points of the forward curve.
type DiodeKind uint8

// The kinds of diode. The numbers are the usual SPICE ones.
const (
	Schottky DiodeKind = iota // n 1.05, Eg 0.69 eV, x 2
	Junction                  // n 1.8 (recombination at ordinary currents), Eg 1.11 eV, x 3
)

// A ForwardPoint is one point of a forward curve.
type ForwardPoint struct {
	VoltageV float64 // 0.05..5 V
	CurrentA float64 // 1e-9..100 A
}

var (
	dioIs      = limit.Range{Quantity: "saturation current", Unit: "A", Min: 1e-20, Max: 0.1}
	dioN       = limit.Range{Quantity: "ideality factor", Min: 0.8, Max: 4}
	dioRs      = limit.Range{Quantity: "series resistance", Unit: "ohm", Min: 0, Max: 100}
	dioTemp    = limit.Range{Quantity: "junction temperature", Unit: "°C", Min: -90, Max: 200, Slips: []limit.Slip{{Min: 203, Max: 473.15, Looks: "kelvins"}}}
	dioBarrier = limit.Range{Quantity: "barrier voltage", Unit: "V", Min: 0.2, Max: 3.5}
	dioGrowth  = limit.Range{Quantity: "saturation current exponent", Min: 0, Max: 10}
	dioFwdV    = limit.Range{Quantity: "forward voltage", Unit: "V", Min: 0.05, Max: 5, Slips: []limit.Slip{{Min: 50, Max: 5000, Looks: "millivolts"}}}
	dioFwdA    = limit.Range{Quantity: "forward current", Unit: "A", Min: 1e-9, Max: 100, Slips: []limit.Slip{{Min: 101, Max: 1e5, Looks: "milliamperes"}}}
)

// A Diode is a validated diode at one junction temperature; At moves it to
// another. Its zero value returns NaN.
type Diode struct {
	s     DiodeSpec
	tempC float64
	isA   float64 // saturation current at tempC
	nVt   float64 // n·k·T/q at tempC, V
}

// NewDiode validates the parameters and returns the diode at NominalC. It
// returns a *stationphysics.RangeError for a number outside the range stated
// at its field.
func NewDiode(s DiodeSpec) (Diode, error) {
	if err := limit.First(dioIs.Check(s.SaturationA), dioN.Check(s.Ideality), dioRs.Check(s.SeriesOhm), dioTemp.Check(s.NominalC),
		dioBarrier.Check(s.BarrierV), dioGrowth.Check(s.GrowthExponent)); err != nil {
		return Diode{}, err
	}
	return Diode{s: s, tempC: s.NominalC, isA: s.SaturationA, nVt: s.Ideality * boltzmannOverCharge * (s.NominalC + kelvin)}, nil
}

// DiodeFromPoints returns the diode at tempC whose forward curve passes through
// two points of a data sheet taken at that temperature; the kind supplies
// ideality and temperature law, the points the saturation current and the
// series resistance. A point that is a sheet's maximum gives a diode no worse
// than any that meets the sheet.
//
// It returns a *stationphysics.RangeError for a point or temperature outside
// the ranges at their fields, and a *stationphysics.ConflictError if the second
// point does not have more current and more voltage, or if the curve between
// them is steeper than a diode of this ideality without any series resistance.
func DiodeFromPoints(kind DiodeKind, tempC float64, low, high ForwardPoint) (Diode, error) {
	s := DiodeSpec{Ideality: 1.05, BarrierV: 0.69, GrowthExponent: 2, NominalC: tempC}
	if kind == Junction {
		s.Ideality, s.BarrierV, s.GrowthExponent = 1.8, 1.11, 3
	}
	if err := limit.First(dioTemp.Check(tempC), dioFwdV.Check(low.VoltageV), dioFwdA.Check(low.CurrentA),
		dioFwdV.Check(high.VoltageV), dioFwdA.Check(high.CurrentA)); err != nil {
		return Diode{}, err
	}
	conflict := func(rule string) error {
		return &stationphysics.ConflictError{Quantities: []string{"voltage", "current of the first point", "voltage", "current of the second point"},
			Values: []float64{low.VoltageV, low.CurrentA, high.VoltageV, high.CurrentA}, Units: []string{"V", "A", "V", "A"}, Rule: rule}
	}
	if !(high.CurrentA > low.CurrentA && high.VoltageV > low.VoltageV) {
		return Diode{}, conflict("the second point of a forward curve has more current and more voltage")
	}
	nVt := s.Ideality * boltzmannOverCharge * (tempC + kelvin)
	is := func(rs float64) float64 { return low.CurrentA / math.Expm1((low.VoltageV-low.CurrentA*rs)/nVt) }
	// Voltage left over at the second point: positive as long as the assumed
	// series resistance is too small.
	left := func(rs float64) float64 {
		return high.VoltageV - high.CurrentA*rs - nVt*math.Log1p(high.CurrentA/is(rs))
	}
	// A diode without series resistance leaves nothing, but for some roundings of
	// 1e-16 of the voltage to either side.
	over := left(0)
	if over < -1e-12*high.VoltageV {
		return Diode{}, conflict("no series resistance makes a curve so steep: not a diode of this kind, or not the same temperature")
	}
	rs, ok := 0.0, true
	if over > 0 {
		rs, ok = numeric.Root(left, 0, high.VoltageV/high.CurrentA*(1-1e-12), 1e-15)
	}
	if !ok {
		return Diode{}, conflict("no diode of this kind passes through both")
	}
	s.SeriesOhm, s.SaturationA = rs, is(rs)
	return NewDiode(s)
}

// Spec returns the parameters the diode was made from.
func (d Diode) Spec() DiodeSpec { return d.s }

// TempC returns the junction temperature the diode stands at, in °C.
func (d Diode) TempC() float64 {
	if d.nVt == 0 {
		return math.NaN()
	}
	return d.tempC
}

// At returns the same diode at another junction temperature. Outside
// -90..200 °C the diode returned answers with NaN.
func (d Diode) At(junctionC float64) Diode {
	if d.nVt == 0 || !dioTemp.Holds(junctionC) {
		return Diode{}
	}
	t, t0 := junctionC+kelvin, d.s.NominalC+kelvin
	d.tempC = junctionC
	d.nVt = d.s.Ideality * boltzmannOverCharge * t
	d.isA = d.s.SaturationA * math.Pow(t/t0, d.s.GrowthExponent/d.s.Ideality) * math.Exp((t/t0-1)*d.s.BarrierV/d.nVt)
	return d
}

// VoltageV returns the forward voltage in V at a current in A. NaN for a
// current that is NaN or infinite or at most the negative saturation current,
// which no reverse voltage exceeds in this model.
func (d Diode) VoltageV(currentA float64) float64 {
	if d.nVt == 0 || !(currentA > -d.isA && currentA < math.MaxFloat64) {
		return math.NaN()
	}
	var ln float64
	if x := currentA / d.isA; x > 1 {
		ln = numeric.Log(1 + x) // the 1 loses no digit that matters
	} else {
		ln = math.Log1p(x)
	}
	return d.nVt*ln + d.s.SeriesOhm*currentA
}

// SlopeOhm returns the slope of the forward voltage over the current at a current in
// A, the differential resistance: nVt/(I + Is) + Rs. NaN where VoltageV is.
func (d Diode) SlopeOhm(currentA float64) float64 {
	if d.nVt == 0 || !(currentA > -d.isA && currentA < math.MaxFloat64) {
		return math.NaN()
	}
	return d.nVt/(currentA+d.isA) + d.s.SeriesOhm
}

// CurrentA returns the current in A at a voltage in V, the inverse of
// VoltageV; it is negative in reverse, where it tends to the saturation
// current. The leakage of a real part in reverse is larger and belongs to a
// Leakage. NaN for a voltage outside ±1000 V, +Inf where a diode without series
// resistance would pass more than a number holds.
func (d Diode) CurrentA(voltageV float64) float64 {
	if d.nVt == 0 || !(voltageV >= -1000 && voltageV <= 1000) {
		return math.NaN()
	}
	// y is the voltage across the junction itself: y + rs·is·(e^(y/nVt)-1) = V.
	// The starting values lie at or above the root, and the left side is
	// convex and rising: Newton's steps descend to it without overshoot. In
	// reverse the current is at most is, so that the junction takes at least
	// what that leaves of the voltage. The product is rounded by the conversion, or
	// fused with the difference below it would leave a current without a voltage.
	y, rsIs := voltageV, float64(d.s.SeriesOhm*d.isA)
	if rsIs > 0 {
		if voltageV > 0 {
			y = min(y, d.nVt*math.Log1p(voltageV/rsIs))
		} else {
			y = min(0, y+rsIs)
		}
		for range 64 {
			rise := rsIs * math.Expm1(y/d.nVt)
			step := (y + rise - voltageV) / (1 + (rise+rsIs)/d.nVt)
			y -= step
			if math.Abs(step) <= 1e-15*d.nVt+0x1p-52*math.Abs(y) {
				break
			}
		}
	}
	return d.isA * math.Expm1(y/d.nVt)
}
