package panel

import (
	"math"
	"slices"

	"github.com/stationphysics/stationphysics/internal/limit"
	"github.com/stationphysics/stationphysics/internal/numeric"
)

// A Group is panels wired together that do not see the same: two that face
// apart, one in the shade of a mast. Panels in parallel each have a blocking
// diode, panels in series each a bypass diode; the diodes are taken as a fixed
// drop. Make one with Parallel or Series. Equal panels in equal light are
// better described by Module.Field. The zero Group delivers nothing.
type Group struct {
	curves []Curve
	kinks  []float64 // ends of the stretches without a diode switching: voltages in parallel, currents in series
	dropV  float64
	series bool
}

var (
	dropRange   = limit.Range{Quantity: "drop of the diode", Unit: "V", Min: 0, Max: 2, Slips: []limit.Slip{{Min: 100, Max: 2000, Looks: "millivolts"}}}
	curvesRange = limit.Range{Quantity: "curves in the group", Min: 1, Max: 1000}
	lightRange  = limit.Range{Quantity: "photocurrent of a curve", Unit: "A", Min: 0, Max: math.Inf(1)}
)

func checkGroup(curves []Curve, dropV float64) error {
	if err := limit.First(dropRange.Check(dropV), curvesRange.Check(float64(len(curves)))); err != nil {
		return err
	}
	for i := range curves {
		// A curve from conditions out of range has NaN here.
		if err := lightRange.Check(curves[i].iL); err != nil {
			return err
		}
	}
	return nil
}

// Parallel joins curves at one voltage. Each panel has a blocking diode with
// the given drop, 0..2 V, and takes no current from the others. The error is a
// *stationphysics.RangeError for the drop, for a number of curves outside
// 1..1000 or for a curve that At made from conditions out of range.
func Parallel(blockingV float64, curves ...Curve) (Group, error) {
	if err := checkGroup(curves, blockingV); err != nil {
		return Group{}, err
	}
	g := Group{curves: slices.Clone(curves), dropV: blockingV}
	for i := range curves {
		g.kinks = append(g.kinks, math.Max(0, curves[i].OpenCircuitV()-blockingV))
	}
	slices.Sort(g.kinks)
	return g, nil
}

// Series joins curves at one current. Each panel has a bypass diode with the
// given drop, 0..2 V, that carries what the panel cannot. Errors are those of
// Parallel.
func Series(bypassV float64, curves ...Curve) (Group, error) {
	if err := checkGroup(curves, bypassV); err != nil {
		return Group{}, err
	}
	g := Group{curves: slices.Clone(curves), dropV: bypassV, series: true}
	for i := range curves {
		g.kinks = append(g.kinks, math.Max(0, curves[i].CurrentA(-bypassV)))
	}
	slices.Sort(g.kinks)
	return g, nil
}

// OpenCircuitV returns the voltage without load.
func (g Group) OpenCircuitV() float64 {
	if len(g.kinks) == 0 {
		return 0
	}
	if g.series {
		return math.Max(0, g.voltageV(0))
	}
	return g.kinks[len(g.kinks)-1]
}

// ShortCircuitA returns the current into a short circuit.
func (g Group) ShortCircuitA() float64 { return g.CurrentA(0) }

// CurrentA returns the current that the group delivers at a voltage from 0 up:
// 0 above its open-circuit voltage, for the diodes let none back. NaN for a
// negative voltage.
func (g Group) CurrentA(voltageV float64) float64 {
	if !(voltageV >= 0) {
		return math.NaN()
	}
	if voltageV >= g.OpenCircuitV() {
		return 0
	}
	if !g.series {
		return g.sumA(voltageV)
	}
	// The voltage falls with the current: from above voltageV without load to
	// minus all drops when every panel is bypassed.
	top := g.kinks[len(g.kinks)-1]
	i, ok := numeric.Root(func(i float64) float64 { return g.voltageV(i) - voltageV }, 0, top, 0)
	if !ok {
		// No bypass drop and voltageV 0: the strongest panel's current.
		return top
	}
	return i
}

func (g Group) sumA(v float64) float64 {
	sum := 0.0
	for k := range g.curves {
		if i := g.curves[k].CurrentA(v + g.dropV); i > 0 {
			sum += i
		}
	}
	return sum
}

func (g Group) voltageV(i float64) float64 {
	sum := 0.0
	for k := range g.curves {
		v := g.curves[k].VoltageV(i)
		if !(v > -g.dropV) || g.curves[k].iL == 0 {
			v = -g.dropV // also where the panel alone would be far in reverse
			if i == 0 {
				v = 0 // no current, no drop
			}
		}
		sum += v
	}
	return sum
}

// MaxPower returns the point of maximum power, the highest if there are
// several, as there are when diodes switch. Vmp is found to about 1e-7 of
// itself, Pmp to rounding.
//
// Between two switchings of a diode the curve bends one way only and the power
// has a single maximum; each such stretch is searched by golden section.
func (g Group) MaxPower() MaxPower {
	best := MaxPower{}
	lo := 0.0
	for _, hi := range g.kinks {
		if !(hi > lo) {
			continue
		}
		power := func(x float64) float64 { return x * g.sumA(x) }
		if g.series {
			power = func(x float64) float64 { return x * g.voltageV(x) }
		}
		x, p := peak(power, lo, hi, 1e-9*hi)
		if p > best.Pmp {
			best = MaxPower{Vmp: x, Imp: p / x, Pmp: p}
			if g.series {
				best.Vmp, best.Imp = best.Imp, best.Vmp
			}
		}
		lo = hi
	}
	return best
}
