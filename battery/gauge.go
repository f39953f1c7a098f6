package battery

import (
	"math"

	"github.com/stationphysics/stationphysics/internal/limit"
)

// A Band is a state of charge with its doubt: the value and the ends between
// which it lies, all within 0..1.
type Band struct {
	SoC, LowSoC, HighSoC float64 // share of the capacity, LowSoC <= SoC <= HighSoC
}

// SpanSoC returns the width of the band: above 0.3 the value tells next to nothing.
func (b Band) SpanSoC() float64 { return b.HighSoC - b.LowSoC }

// A Sighting is a voltage reading of a pack from which a state of charge is
// wanted.
type Sighting struct {
	PackV    float64 // at the terminals, V
	MeterV   float64 // half-width of the reading, V of the pack, 0..5
	CurrentA float64 // into the pack at the moment and for some minutes before, A; 0 for a pack at rest for an hour or more
	TempC    float64 // of the cells, -40..85
}

var (
	sightVRange = limit.Range{Quantity: "voltage of the pack", Unit: "V", Min: 0, Max: 200, Slips: []limit.Slip{{Min: 200.001, Max: 200_000, Looks: "millivolts"}}}
	meterVRange = limit.Range{Quantity: "half-width of the reading", Unit: "V", Min: 0, Max: 5}
	sightARange = limit.Range{Quantity: "current", Unit: "A", Min: -1000, Max: 1000}
)

// DoubtV returns by how much the rested voltage of a cell of the chemistry
// differs, for one state of charge, from its curve, V either way: for LiFePO4
// 15 mV of the curve's reduction to straight pieces and some 10 mV between
// having been charged and discharged; the others from memory. NaN for an
// unknown chemistry.
func (c Chemistry) DoubtV() (cellV float64) {
	switch c {
	case LiFePO4:
		return 0.025
	case LithiumIon:
		return 0.015
	case SealedLead, FloodedLead:
		return 0.010
	case NickelMetalHydride:
		return 0.050
	}
	return nan
}

// SoCBand returns the state of charge from a voltage, with its doubt: the
// meter's, the curve's (Chemistry.DoubtV), and, with a current flowing, half of
// the drop across the pack's resistance, for that is known no better. On the
// plateau of LiFePO4 the band is wider than 0.3, and what remains is that the
// pack is neither empty nor full. Errors: a field out of range.
func (p *Pack) SoCBand(s Sighting) (Band, error) {
	if err := limit.First(sightVRange.Check(s.PackV), meterVRange.Check(s.MeterV), sightARange.Check(s.CurrentA), survivalRange.Check(s.TempC)); err != nil {
		return Band{}, err
	}
	// With a current flowing for minutes the whole of the resistance drops; how
	// much of it, is in doubt by half.
	settled := p.Resistance(s.TempC).SettledOhm
	drop := s.CurrentA * settled
	v := s.PackV - drop
	u := s.MeterV + p.cell.Chemistry.DoubtV()*float64(p.series) + 0.5*math.Abs(drop)
	return Band{SoC: p.socAt(v, s.TempC), LowSoC: p.socAt(v-u, s.TempC), HighSoC: p.socAt(v+u, s.TempC)}, nil
}

// socAt inverts the curve, kept to 0..1: a pack below its curve is empty, one
// above it full, whatever the straight continuation says.
func (p *Pack) socAt(packV, tempC float64) float64 {
	dT := tempC - referenceC
	seg := 0
	for seg < p.n-2 && packV >= p.volt[seg+1]+p.perK[seg+1]*dT {
		seg++
	}
	s := p.soc[seg] + (packV-p.volt[seg]-p.perK[seg]*dT)/(p.slope[seg]+p.slopePerK[seg]*dT)
	return min(max(s, 0), 1)
}

// A Meter describes a current meter that counts charge.
type Meter struct {
	GainPct   float64 // error in proportion to the current, %, 0..20
	OffsetA   float64 // error at no current, A, 0..1: what makes a count drift
	HealthPct float64 // doubt of the pack's present capacity, %, 0..50
}

// A Gauge counts charge from a known state on and keeps the doubt beside it.
// Make one with NewGauge; Add allocates nothing.
type Gauge struct {
	p *Pack
	m Meter

	start, startDoubt float64
	netAh, inAh, h    float64
	leakAh            float64
}

var (
	gainRange   = limit.Range{Quantity: "gain error of the meter", Unit: "%", Min: 0, Max: 20}
	offsetRange = limit.Range{Quantity: "offset of the meter", Unit: "A", Min: 0, Max: 1, Slips: []limit.Slip{{Min: 1.001, Max: 1000, Looks: "milliamperes"}}}
	ageRange    = limit.Range{Quantity: "doubt of the capacity", Unit: "%", Min: 0, Max: 50}
	startRange  = limit.Range{Quantity: "state of charge at the start", Min: 0, Max: 1, Slips: []limit.Slip{{Min: 1.001, Max: 100, Looks: "percent"}}}
	doubtRange  = limit.Range{Quantity: "doubt of the state of charge", Min: 0, Max: 1, Slips: []limit.Slip{{Min: 1.001, Max: 100, Looks: "percent"}}}
)

// NewGauge returns a gauge that starts at a state of charge known to within a
// doubt: 1 and 0.02 after a charge that ended at the taper current. The error
// is a *stationphysics.RangeError for a number out of the range of Meter, or a
// share outside 0..1.
func NewGauge(p *Pack, m Meter, startSoC, doubtSoC float64) (Gauge, error) {
	if p == nil {
		return Gauge{}, errNoPack()
	}
	if err := limit.First(gainRange.Check(m.GainPct), offsetRange.Check(m.OffsetA), ageRange.Check(m.HealthPct), startRange.Check(startSoC), doubtRange.Check(doubtSoC)); err != nil {
		return Gauge{}, err
	}
	return Gauge{p: p, m: m, start: startSoC, startDoubt: doubtSoC}, nil
}

// Add counts dtS seconds of a current into the pack at a cell temperature. What
// is no finite number, a time below 0 or a temperature outside -40..85 °C makes
// the gauge NaN for good.
func (g *Gauge) Add(currentA, dtS, tempC float64) {
	if !(dtS >= 0) || !finite(currentA*dtS) || !survivalRange.Holds(tempC) {
		g.netAh = nan
	}
	_, leak := g.p.warmth(tempC)
	h := dtS / 3600
	ah := currentA * h
	if ah > 0 {
		g.inAh += ah
		ah *= g.p.eta
	}
	g.netAh += ah
	g.leakAh += leak * h
	g.h += h
}

// Band returns the state of charge and its doubt. The doubts add up, for none of
// them averages out: the start, the gain on the net charge, the offset on the
// time, the capacity on the change, half a per cent of all charge put in for
// the charge efficiency, and the whole self-discharge, which no current meter
// sees.
func (g *Gauge) Band() Band {
	q := g.p.CapacityAh()
	change := (g.netAh - g.leakAh) / q
	const efficiencyDoubt = 0.005
	u := g.startDoubt + (math.Abs(g.netAh)*g.m.GainPct/100+g.m.OffsetA*g.h+efficiencyDoubt*g.inAh+g.leakAh)/q + math.Abs(change)*g.m.HealthPct/100
	s := g.start + change
	return Band{SoC: min(max(s, 0), 1), LowSoC: min(max(s-u, 0), 1), HighSoC: min(max(s+u, 0), 1)}
}

// DaysTo returns after how many days at rest, at 25 °C, offset and
// self-discharge alone have widened the doubt from the start to a value, 0 to 1;
// +Inf if they never do.
func (g *Gauge) DaysTo(doubtSoC float64) (restDays float64) {
	if !(doubtSoC >= 0 && doubtSoC <= 1) {
		return nan
	}
	perDay := 24 * (g.m.OffsetA + g.p.leak25) / g.p.CapacityAh()
	if doubtSoC <= g.startDoubt {
		return 0 // whatever the leak, and also without any
	}
	return (doubtSoC - g.startDoubt) / perDay
}
