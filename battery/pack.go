package battery

import (
	"math"

	"github.com/stationphysics/stationphysics/internal/limit"
)

// A Pack is a number of equal cells in series and parallel, ready to be stepped
// through time. It behaves as one cell with its voltages and resistances
// multiplied and its currents shared out; unequal cells are the subject of
// package battery/charge. Make one with NewPack; a Pack is not changed by use
// and is safe for use by several goroutines, each with its own State.
type Pack struct {
	cell             Cell
	series, parallel int

	// The open-circuit curve in pack volts: point i, and the slope from it to
	// point i+1, each with its change per kelvin.
	n                int
	soc              [maxCurvePoints]float64
	volt, perK       [maxCurvePoints]float64
	slope, slopePerK [maxCurvePoints]float64
	bin              [curveBins + 1]uint8 // segment at the start of each bin of state of charge
	coulomb          float64              // capacity, A s
	// What a step needs of the cell, for the whole pack: resistances in ohm,
	// the capacitor in farad, the charge efficiency, the leakage at 25 °C in A.
	perCoulomb        float64
	r0, r1, c1, coldK float64
	tiny              float64 // see tinyOhm
	eta, leak25       float64
	usable            [maxUsablePoints]UsablePoint
	usablePerK        [maxUsablePoints]float64
	nUsable           int
	warm              [survivalMaxC - survivalMinC + 1][8]float64 // see warmth
}

const curveBins = 128

// NewPack makes a pack of equal cells: series 1..32, parallel 1..100. The error
// is that of Cell.Check or of the numbers of cells, a
// *stationphysics.RangeError.
func NewPack(cell Cell, series, parallel int) (*Pack, error) {
	if err := limit.First(cell.Check(), cellRange.Check(float64(series)), parallelRange.Check(float64(parallel))); err != nil {
		return nil, err
	}
	cell.Usable = append([]UsablePoint(nil), cell.Usable...)
	ns, np := float64(series), float64(parallel)
	p := &Pack{
		cell: cell, series: series, parallel: parallel, n: len(cell.Curve.pts),
		coulomb: cell.CapacityAh * 3600 * np,
		r0:      cell.R0Ohm * ns / np, r1: cell.R1Ohm * ns / np, c1: cell.C1Farad * np / ns, coldK: cell.ColdK,
		eta: cell.CoulombicEfficiency, leak25: cell.SelfDischargePctPerMonth / 100 * cell.CapacityAh * np / monthH,
	}
	p.tiny = tinyOhm * ns / np
	p.perCoulomb = 1 / p.coulomb
	for i, q := range cell.Curve.pts {
		p.soc[i], p.volt[i], p.perK[i] = q.SoC, q.V*ns, q.VPerK*ns
		if i > 0 {
			d := p.soc[i] - p.soc[i-1]
			p.slope[i-1] = (p.volt[i] - p.volt[i-1]) / d
			p.slopePerK[i-1] = (p.perK[i] - p.perK[i-1]) / d
		}
	}
	seg := 0
	for b := range p.bin {
		for seg < p.n-2 && float64(b)/curveBins >= p.soc[seg+1] {
			seg++
		}
		p.bin[b] = uint8(seg)
	}
	p.warmUp()
	p.nUsable = copy(p.usable[:], cell.Usable)
	for i := 1; i < p.nUsable; i++ {
		a, b := &p.usable[i-1], &p.usable[i]
		p.usablePerK[i-1] = (b.UsableFrac - a.UsableFrac) / (b.TempC - a.TempC)
	}
	return p, nil
}

const (
	monthH  = 720 // self-discharge is given for 30 days
	zeroK   = 273.15
	kelvin0 = referenceC + zeroK
)

// Cell returns the cell the pack is made of.
func (p *Pack) Cell() Cell {
	c := p.cell
	c.Usable = append([]UsablePoint(nil), c.Usable...)
	return c
}

// Series returns the number of cells in series.
func (p *Pack) Series() int { return p.series }

// CapacityAh returns the capacity of the pack at 25 °C.
func (p *Pack) CapacityAh() float64 { return p.coulomb / 3600 }

// OpenCircuitV returns the voltage of the rested pack. Beyond the ends of the
// curve it goes on straight. NaN for a temperature outside -40..85 °C.
func (p *Pack) OpenCircuitV(soc, tempC float64) (packV float64) {
	if !survivalRange.Holds(tempC) || math.IsNaN(soc) {
		return nan
	}
	return p.ocv(soc, p.segment(soc), tempC-referenceC)
}

// A Resistance is that of a pack at one cell temperature.
type Resistance struct {
	QuickOhm   float64 // the part that acts at once
	SettledOhm float64 // the whole, after the slow part has settled
}

// Resistance returns the resistance of the pack at a cell temperature, NaN outside
// -40..85 °C.
func (p *Pack) Resistance(tempC float64) Resistance {
	if !survivalRange.Holds(tempC) {
		return Resistance{nan, nan}
	}
	f, _ := p.warmth(tempC)
	return Resistance{p.r0 * f, (p.r0 + p.r1) * f}
}

// UsableFrac returns the share of the capacity that comes out at a cell
// temperature and a low rate, straight between the points of the cell and level
// beyond them; 1 for a cell without points, NaN outside -40..85 °C.
func (p *Pack) UsableFrac(tempC float64) (usableFrac float64) {
	if !survivalRange.Holds(tempC) {
		return nan
	}
	return p.usableAt(tempC)
}

func (p *Pack) usableAt(tempC float64) float64 {
	n := p.nUsable
	if n == 0 {
		return 1
	}
	if tempC >= p.usable[n-1].TempC {
		return p.usable[n-1].UsableFrac
	}
	if tempC <= p.usable[0].TempC {
		return p.usable[0].UsableFrac
	}
	i := n - 2
	for tempC < p.usable[i].TempC {
		i--
	}
	return p.usable[i].UsableFrac + p.usablePerK[i]*(tempC-p.usable[i].TempC)
}

// segment returns the segment of the curve that holds a state of charge.
func (p *Pack) segment(soc float64) int {
	b := soc * curveBins
	var seg int
	switch {
	case b >= curveBins:
		seg = int(p.bin[curveBins])
	case b >= 0:
		seg = int(p.bin[int(b)])
	}
	for seg < p.n-2 && soc >= p.soc[(seg+1)&(maxCurvePoints-1)] {
		seg++
	}
	return seg
}

func (p *Pack) ocv(soc float64, seg int, dT float64) float64 {
	seg &= maxCurvePoints - 1
	return p.volt[seg] + p.perK[seg]*dT + (p.slope[seg]+p.slopePerK[seg]*dT)*(soc-p.soc[seg])
}

// A State is what a pack remembers between steps. The zero State is an empty,
// rested pack.
type State struct {
	SoC   float64 // charge in the pack as a share of its 25 °C capacity; above 1 is over-charged
	SlowV float64 // voltage across the slow part of the circuit, V of the pack
}

// At returns the state of a rested pack at a state of charge.
func (p *Pack) At(soc float64) State { return State{SoC: soc} }

// A Flow is what went through the terminals of a pack during one step, and
// what became of it. Always, up to rounding,
// InAh - OutAh - LostAh = change of SoC × capacity.
type Flow struct {
	CurrentA float64 // mean current into the pack, A
	EndV     float64 // voltage at the terminals at the end of the step, V
	EndA     float64 // current into the pack at the end of the step, A; differs from the mean while a charger holds its voltage
	InAh     float64 // charge that went in
	OutAh    float64 // charge that came out
	LostAh   float64 // charge that was lost inside: charge inefficiency and self-discharge
	InWh     float64 // energy that went in
	OutWh    float64 // energy that came out
	Stop     Stop    // what held the step back from what was asked
}

// A Stop says what held a step back from what was asked of it.
type Stop uint8

// The reasons, the zero one for none.
const (
	NoStop  Stop = iota
	Full         // the charger reached its set voltage and let the current fall
	Cold         // charging was blocked below the charge window
	Hot          // charging was blocked above the charge window
	Empty        // nothing more comes out at this temperature
	Cutoff       // the voltage fell to the cut-off
	Weak         // the power asked for exceeds what the pack can give at any current
	Invalid      // an argument was not a number or out of range: the results are NaN
)

var stopNames = [...]string{"none", "full", "too cold to charge", "too hot to charge", "empty", "cut-off voltage", "more power than the pack can give", "invalid argument"}

// String names the reason.
func (s Stop) String() string {
	if int(s) < len(stopNames) {
		return stopNames[s]
	}
	return "unknown"
}
