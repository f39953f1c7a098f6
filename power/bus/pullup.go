package bus

import (
	"math"

	"github.com/stationphysics/stationphysics"
	"github.com/stationphysics/stationphysics/internal/limit"
)

// A Mode is a speed of the two-wire I²C bus with its limits in UM10204.
type Mode uint8

// The bidirectional modes (UM10204 Tables 9 and 10).
const (
	Standard Mode = iota // 100 kHz: rise 1000 ns, 400 pF, sinks 3 mA at 0.4 V
	Fast                 // 400 kHz: rise 300 ns, 400 pF, sinks 3 mA at 0.4 V
	FastPlus             // 1 MHz: rise 120 ns, 550 pF, sinks 20 mA at 0.4 V
)

var modes = [...]struct{ riseS, busFarad, sinkA, clockHz float64 }{
	Standard: {1000e-9, 400e-12, 3e-3, 100e3},
	Fast:     {300e-9, 400e-12, 3e-3, 400e3},
	FastPlus: {120e-9, 550e-12, 20e-3, 1e6},
}

const lowV = 0.4 // largest LOW level a driver may leave while it sinks, V

// riseFactor is ln(0.7/0.3), from 30 to 70 % of the supply in units of RC:
// UM10204 7.1 gives 0.8473.
var riseFactor = math.Log(0.7 / 0.3)

// RiseS returns the largest rise time in s.
func (m Mode) RiseS() float64 { return m.get(0) }

// CapacitanceFarad returns the largest bus capacitance in F.
func (m Mode) CapacitanceFarad() float64 { return m.get(1) }

// SinkA returns the current in A every driver can sink at 0.4 V.
func (m Mode) SinkA() float64 { return m.get(2) }

// ClockHz returns the highest clock rate in Hz.
func (m Mode) ClockHz() float64 { return m.get(3) }

func (m Mode) get(k int) float64 {
	if int(m) >= len(modes) {
		return math.NaN()
	}
	x := modes[m]
	return [...]float64{x.riseS, x.busFarad, x.sinkA, x.clockHz}[k]
}

var (
	puSupply = limit.Range{Quantity: "bus supply", Unit: "V", Min: 1, Max: 12, Slips: []limit.Slip{{Min: 1000, Max: 12000, Looks: "millivolts"}}}
	puFarad  = limit.Range{Quantity: "bus capacitance", Unit: "F", Min: 1e-12, Max: 1e-8, Slips: []limit.Slip{{Min: 0.5, Max: 1e4, Looks: "picofarads"}}}
	puOhm    = limit.Range{Quantity: "pull-up resistance", Unit: "ohm", Min: 10, Max: 1e7}
	puMode   = limit.Range{Quantity: "bus mode", Min: 0, Max: float64(FastPlus)}
	puCable  = limit.Range{Quantity: "cable capacitance", Unit: "F/m", Min: 1e-12, Max: 1e-9, Slips: []limit.Slip{{Min: 0.5, Max: 1000, Looks: "picofarads per metre"}}}
)

// A Window is the range of pull-up resistances that a bus works with.
type Window struct {
	LeastOhm    float64 // below it the drivers cannot pull the line low
	GreatestOhm float64 // above it the line rises too slowly
}

// PullUpWindow returns the least and greatest pull-up resistance in ohm for a
// bus supply and a total bus capacitance (wires, connectors and pins):
//
//	least    = (supply - 0.4 V)/sink current      (UM10204 7.1, eq. 2)
//	greatest = rise time/(0.8473·capacitance)     (UM10204 7.1, eq. 1)
//
// It returns a *stationphysics.RangeError for a supply outside 1..12 V, a
// capacitance outside 1 pF..10 nF or another mode, and a
// *stationphysics.ConflictError if the capacitance exceeds the mode's limit or
// nothing lies between the two resistances: a slower mode, a shorter cable or a
// buffer is needed.
func PullUpWindow(m Mode, supplyV, busFarad float64) (Window, error) {
	if err := limit.First(puMode.Check(float64(m)), puSupply.Check(supplyV), puFarad.Check(busFarad)); err != nil {
		return Window{math.NaN(), math.NaN()}, err
	}
	leastOhm := (supplyV - lowV) / m.SinkA()
	greatestOhm := m.RiseS() / (riseFactor * busFarad)
	if busFarad > m.CapacitanceFarad() {
		return Window{leastOhm, greatestOhm}, &stationphysics.ConflictError{Quantities: []string{"bus capacitance", "largest of the mode"},
			Values: []float64{busFarad, m.CapacitanceFarad()}, Units: []string{"F", "F"}, Rule: "the mode allows no more capacitance"}
	}
	if leastOhm > greatestOhm {
		return Window{leastOhm, greatestOhm}, &stationphysics.ConflictError{Quantities: []string{"least pull-up", "greatest pull-up"},
			Values: []float64{leastOhm, greatestOhm}, Units: []string{"ohm", "ohm"}, Rule: "a resistor weak enough for the drivers is strong enough for the rise time"}
	}
	return Window{leastOhm, greatestOhm}, nil
}

// RiseTimeS returns the time in s in which a line of busFarad rises from 30 to
// 70 % of its supply through a pull-up: 0.8473·R·C. NaN for a resistance outside
// 10 ohm..10 Mohm or a capacitance outside 1 pF..10 nF.
func RiseTimeS(pullUpOhm, busFarad float64) float64 {
	if !puOhm.Holds(pullUpOhm) || !puFarad.Holds(busFarad) {
		return math.NaN()
	}
	return riseFactor * pullUpOhm * busFarad
}

// ParallelOhm returns the resistance of resistors side by side: every module
// brings its own pull-ups, and they all count. +Inf for none; NaN if one is
// negative or NaN; 0 if one is 0.
func ParallelOhm(resistorsOhm ...float64) float64 {
	g := 0.0
	for _, r := range resistorsOhm {
		if !(r >= 0) {
			return math.NaN()
		}
		g += 1 / r
	}
	return 1 / g
}

// SinkCurrentA returns the current in A a driver must sink to hold the line at
// 0.4 V against a pull-up: compare it with Mode.SinkA. NaN for a supply outside
// 1..12 V or a resistance outside 10 ohm..10 Mohm.
func SinkCurrentA(supplyV, pullUpOhm float64) float64 {
	if !puSupply.Holds(supplyV) || !puOhm.Holds(pullUpOhm) {
		return math.NaN()
	}
	return (supplyV - lowV) / pullUpOhm
}

// A Cable is a bus cable between modules.
type Cable struct {
	FaradPerM    float64 // capacitance between a line and everything beside it, 1e-12..1e-9 F/m; twisted network pairs have about 50e-12
	DevicesFarad float64 // pins, connectors and boards together, 0..1e-8 F
}

// LongestM returns the longest cable in m: what is left of the lesser of the
// mode's capacitance and of the capacitance that still meets the rise time with
// the pull-up, divided by the cable's capacitance per metre; 0 if the devices
// alone take it all. NaN for a cable or resistance outside its range or
// another mode. Length also adds crosstalk between the lines and ground
// offset, which are not computed: lay the clock beside ground, the data beside
// the supply.
func (c Cable) LongestM(m Mode, pullUpOhm float64) float64 {
	if !puMode.Holds(float64(m)) || !puOhm.Holds(pullUpOhm) || !puCable.Holds(c.FaradPerM) || !(c.DevicesFarad >= 0 && c.DevicesFarad <= 1e-8) {
		return math.NaN()
	}
	most := min(m.CapacitanceFarad(), m.RiseS()/(riseFactor*pullUpOhm))
	return max(0, (most-c.DevicesFarad)/c.FaradPerM)
}

// CheckCable explains a NaN of LongestM: a *stationphysics.RangeError.
func CheckCable(c Cable, m Mode, pullUpOhm float64) error {
	devices := limit.Range{Quantity: "device capacitance", Unit: "F", Min: 0, Max: 1e-8, Slips: []limit.Slip{{Min: 0.5, Max: 1e4, Looks: "picofarads"}}}
	return limit.First(puMode.Check(float64(m)), puOhm.Check(pullUpOhm), puCable.Check(c.FaradPerM), devices.Check(c.DevicesFarad))
}
