package charge

import (
	"math"

	"github.com/stationphysics/stationphysics"
	"github.com/stationphysics/stationphysics/battery"
	"github.com/stationphysics/stationphysics/internal/limit"
	"github.com/stationphysics/stationphysics/internal/numeric"
)

// A Balancer is a resistor across each cell that is switched on above a
// voltage, as protection boards have it. The zero Balancer does nothing.
type Balancer struct {
	OnV float64 // a cell above this is drained, V
	A   float64 // by this current, A
}

// A String is a number of cells in series that need not be equal: capacity,
// resistance, leakage and, in their states, charge may differ. All carry the
// same current; nothing but a Balancer evens them out.
type String struct {
	cells []*battery.Pack
}

// NewString makes a string of 1 to 32 cells. The error is that of Cell.Check or
// of their number, a *stationphysics.RangeError.
func NewString(cells ...battery.Cell) (*String, error) {
	if n := len(cells); n < 1 || n > 32 {
		return nil, &stationphysics.RangeError{Quantity: "number of cells in series", Value: float64(n), Min: 1, Max: 32}
	}
	s := &String{}
	for _, c := range cells {
		p, err := battery.NewPack(c, 1, 1)
		if err != nil {
			return nil, err
		}
		s.cells = append(s.cells, p)
	}
	return s, nil
}

// Len returns the number of cells.
func (s *String) Len() int { return len(s.cells) }

// Cell returns the i-th cell as a pack of one.
func (s *String) Cell(i int) *battery.Pack { return s.cells[i] }

// A Reading is a string after a step.
type Reading struct {
	StringV  float64 // at the terminals
	CurrentA float64 // into the string during the step
	Holding  bool    // the charger held its set voltage
	HighestV float64 // highest cell
	LowestV  float64 // lowest cell
	Highest  int     // which cell is highest
}

// Current takes all cells through dtS seconds at one current into the string.
// states has one element a cell and is changed; cellV, if not nil, receives the
// cell voltages. It panics if a length differs.
func (s *String) Current(states []battery.State, cellV []float64, currentA float64, b Balancer, dtS, tempC float64) Reading {
	if len(states) != len(s.cells) || cellV != nil && len(cellV) != len(s.cells) {
		panic("charge: states or voltages of another length than the string")
	}
	r := Reading{CurrentA: currentA, HighestV: math.Inf(-1), LowestV: math.Inf(1)}
	for i, p := range s.cells {
		st, f := p.Current(states[i], currentA-s.drain(i, states[i], b, tempC), dtS, tempC)
		states[i] = st
		if cellV != nil {
			cellV[i] = f.EndV
		}
		r.StringV += f.EndV
		if f.EndV > r.HighestV {
			r.HighestV, r.Highest = f.EndV, i
		}
		r.LowestV = math.Min(r.LowestV, f.EndV)
	}
	if math.IsNaN(r.StringV) {
		r.HighestV, r.LowestV = math.NaN(), math.NaN()
	}
	return r
}

// drain returns the balancing current of a cell, decided by its voltage before
// the step.
func (s *String) drain(i int, st battery.State, b Balancer, tempC float64) float64 {
	if b.A > 0 && s.cells[i].OpenCircuitV(st.SoC, tempC)+st.SlowV > b.OnV {
		return b.A
	}
	return 0
}

// endV returns the string's voltage after a step at a current, without making it.
func (s *String) endV(states []battery.State, currentA float64, b Balancer, dtS, tempC float64) float64 {
	v := 0.0
	for i, p := range s.cells {
		_, f := p.Current(states[i], currentA-s.drain(i, states[i], b, tempC), dtS, tempC)
		v += f.EndV
	}
	return v
}

// Charge takes the string through dtS seconds on a charger. Over one step the
// current is constant: the charger's, or the one at which the string stands at
// the set voltage at the end of the step. A step of a second follows a real
// charger to a fraction of a second, and the state at rest does not depend on
// the step. Lengths as with Current.
func (s *String) Charge(states []battery.State, cellV []float64, c battery.Charger, b Balancer, dtS, tempC float64) Reading {
	i, holding := c.MaxA, false
	miss := func(i float64) float64 { return s.endV(states, i, b, dtS, tempC) + i*c.SeriesOhm - c.SetV }
	if miss(i) > 0 {
		holding = true
		// The voltage rises with the current. Above the set voltage already
		// without any, the charger gives none.
		i, _ = numeric.Root(miss, 0, i, 1e-13)
		if math.IsNaN(i) {
			i = 0
		}
	}
	r := s.Current(states, cellV, i, b, dtS, tempC)
	r.Holding = holding
	return r
}

// A Rest is where one cell of a string has come to rest.
type Rest struct {
	CellV float64 // its voltage, V
	SoC   float64 // its state of charge
}

// Settled returns where the cells stand when the string has come to rest at a
// voltage, having started together from the states of charge soc: the voltages
// of the cells and their states of charge. It is what the end of a charge
// without balancing comes to, whatever the resistances, and the way to the
// number that a trim needs: how far the highest cell stands above the mean. The
// string's self-discharge and charge losses are left out. soc -0.2..1.3 for each
// cell, stringV 0.5..5 V a cell, else a *stationphysics.RangeError.
func (s *String) Settled(soc []float64, stringV, tempC float64) ([]Rest, error) {
	if len(soc) != len(s.cells) {
		return nil, &stationphysics.RangeError{Quantity: "number of states of charge", Value: float64(len(soc)), Min: float64(len(s.cells)), Max: float64(len(s.cells))}
	}
	for _, v := range soc {
		if err := socRange.Check(v); err != nil {
			return nil, err
		}
	}
	r := limit.Range{Quantity: "voltage of the string", Unit: "V", Min: 0.5 * float64(len(soc)), Max: 5 * float64(len(soc))}
	if err := limit.First(r.Check(stringV), tempRange.Check(tempC)); err != nil {
		return nil, err
	}
	total := func(ah float64) float64 {
		v := 0.0
		for i, p := range s.cells {
			v += p.OpenCircuitV(soc[i]+ah/p.CapacityAh(), tempC)
		}
		return v - stringV
	}
	// One charge goes through all cells; each moves along its own curve by it
	// over its own capacity. Two of the largest capacities either way reach any
	// voltage.
	most := 0.0
	for _, p := range s.cells {
		most = math.Max(most, 2*p.CapacityAh())
	}
	ah, ok := numeric.Root(total, -most, most, 1e-12)
	if !ok {
		return nil, &stationphysics.ConflictError{Quantities: []string{"voltage of the string", "number of cells"}, Values: []float64{stringV, float64(len(soc))},
			Units: []string{"V", ""}, Rule: "the cells' curves must reach the voltage"}
	}
	rest := make([]Rest, len(s.cells))
	for i, p := range s.cells {
		end := soc[i] + ah/p.CapacityAh()
		rest[i] = Rest{CellV: p.OpenCircuitV(end, tempC), SoC: end}
	}
	return rest, nil
}
