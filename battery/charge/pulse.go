package charge

import (
	"math"

	"github.com/stationphysics/stationphysics"
	"github.com/stationphysics/stationphysics/battery"
	"github.com/stationphysics/stationphysics/internal/limit"
	"github.com/stationphysics/stationphysics/internal/numeric"
)

// A Draw is a load that sleeps and wakes: a radio that starts, a pump, a camera.
// All of it is power at the pack's terminals.
type Draw struct {
	SleepW  float64 // between the pulses, W
	PulseW  float64 // during a pulse, W
	PulseS  float64 // length of a pulse, s
	PeriodS float64 // from one pulse to the next, s
	LeastV  float64 // voltage at the pack below which the station browns out, V
}

var (
	sleepRange  = limit.Range{Quantity: "sleeping load", Unit: "W", Min: 0, Max: 1000}
	pulseRange  = limit.Range{Quantity: "pulse", Unit: "W", Min: 0, Max: 10000, Slips: []limit.Slip{{Min: 10001, Max: 1e7, Looks: "milliwatts"}}}
	pulseSRange = limit.Range{Quantity: "length of a pulse", Unit: "s", Min: 1e-4, Max: 3600}
	periodRange = limit.Range{Quantity: "time between pulses", Unit: "s", Min: 0.01, Max: 86400}
	leastRange  = limit.Range{Quantity: "least voltage of the load", Unit: "V", Min: 0, Max: 200}
)

func (d *Draw) check() error {
	if err := limit.First(sleepRange.Check(d.SleepW), pulseRange.Check(d.PulseW), pulseSRange.Check(d.PulseS), periodRange.Check(d.PeriodS), leastRange.Check(d.LeastV)); err != nil {
		return err
	}
	if d.PulseS >= d.PeriodS {
		return &stationphysics.ConflictError{Quantities: []string{"length of a pulse", "time between pulses"}, Values: []float64{d.PulseS, d.PeriodS}, Units: []string{"s", "s"},
			Rule: "a pulse must end before the next one"}
	}
	return nil
}

// PulseEndV returns the voltage at the end of a pulse that strikes the pack, at
// rest but for the sleeping load, at a state of charge; NaN if no current gives
// the power, or an argument is out of range.
func PulseEndV(p *battery.Pack, d Draw, soc, tempC float64) (endV float64) {
	if p == nil || d.check() != nil || !socRange.Holds(soc) || !tempRange.Holds(tempC) {
		return math.NaN()
	}
	s := p.At(soc)
	// The slow voltage that the sleeping load keeps up.
	r := p.Resistance(tempC)
	quick, settled := r.QuickOhm, r.SettledOhm
	s.SlowV = -d.SleepW / p.OpenCircuitV(soc, tempC) * (settled - quick)
	_, f := p.Power(s, -d.PulseW, d.PulseS, tempC)
	if f.Stop != battery.NoStop {
		return math.NaN()
	}
	return f.EndV
}

// BrownOutSoC returns the state of charge below which the station must have
// stopped pulsing at a cell temperature: where a pulse takes the pack under the
// least voltage, or where nothing more comes out in that cold
// (Pack.UsableFrac), whichever is higher. 0 if even an empty pack holds it; NaN
// if a full one does not. The error is a *stationphysics.RangeError for a
// number out of the range of Draw.
func BrownOutSoC(p *battery.Pack, d Draw, tempC float64) (soc float64, err error) {
	if err := limit.First(checkPack(p), d.check(), tempRange.Check(tempC)); err != nil {
		return math.NaN(), err
	}
	floor := 1 - p.UsableFrac(tempC)
	over := func(soc float64) float64 {
		v := PulseEndV(p, d, soc, tempC)
		if math.IsNaN(v) {
			return -1 // beyond the pack's power: far too low
		}
		return v - d.LeastV
	}
	if over(1) < 0 {
		return math.NaN(), nil
	}
	if over(floor) >= 0 {
		return floor, nil
	}
	soc, _ = numeric.Root(over, floor, 1, 1e-9)
	return soc, nil
}

// An Outage is how a discharge ended.
type Outage struct {
	RunH   float64      // running time, h
	Pulses int          // pulses that were served
	Why    battery.Stop // Cutoff: a pulse browned out; Empty: nothing more comes out at this temperature; Weak: the power could not be given; NoStop: still running after the time allowed
	State  battery.State
	LastV  float64 // voltage at the end of the last pulse, V
}

// BrownOut discharges a pack, without any harvest, until a pulse takes it below
// the least voltage or it is empty, for at most mostH hours. One period of the
// draw costs two steps; more than 20 million periods are refused.
func BrownOut(p *battery.Pack, start battery.State, d Draw, tempC, mostH float64) (Outage, error) {
	if err := limit.First(checkPack(p), d.check(), tempRange.Check(tempC), socRange.Check(start.SoC), slowRange.Check(start.SlowV)); err != nil {
		return Outage{}, err
	}
	r := limit.Range{Quantity: "longest discharge", Unit: "h", Min: d.PeriodS / 3600, Max: mostSteps * d.PeriodS / 3600}
	if err := r.Check(mostH); err != nil {
		return Outage{}, err
	}
	// In the cold the pack stops giving with charge still in it.
	floor := 1 - p.UsableFrac(tempC)
	o := Outage{State: start}
	most := int(mostH*3600/d.PeriodS + 1e-6) // a hair less than a whole number is that number
	for o.Pulses < most {
		s, f := p.Power(o.State, -d.SleepW, d.PeriodS-d.PulseS, tempC)
		if f.Stop == battery.NoStop && f.EndV < d.LeastV {
			f.Stop = battery.Cutoff
		}
		if f.Stop == battery.NoStop {
			s, f = p.Power(s, -d.PulseW, d.PulseS, tempC)
			if f.Stop == battery.NoStop && f.EndV < d.LeastV {
				f.Stop = battery.Cutoff
			}
		}
		o.LastV = f.EndV
		if f.Stop != battery.NoStop {
			o.Why = f.Stop
			break
		}
		if s.SoC < floor {
			o.Why = battery.Empty
			break
		}
		o.State = s
		o.Pulses++
	}
	o.RunH = float64(o.Pulses) * d.PeriodS / 3600
	return o, nil
}
