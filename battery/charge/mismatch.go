package charge

import (
	"github.com/stationphysics/stationphysics/battery"
	"github.com/stationphysics/stationphysics/internal/limit"
)

// A Mismatch says how far the worst cell of a string is from the others, which
// are taken as equal.
type Mismatch struct {
	CapacityPct float64 // its capacity is smaller by this, 0..50
	EqualSoC    float64 // the state of charge at which all last stood equal: 0.5 for cells put together as delivered, 1 after each was charged full by itself, 0..1
	LeadSoC     float64 // by how much it was fuller then, 0..1

	LeakPctPerMonth float64 // the others lose more of their capacity in 30 days by this, 0..30
	Days            float64 // since they stood equal, 0..3650
	BalanceA        float64 // current of a balancer across the highest cell, 0..10
	BalanceH        float64 // hours a day for which it works, 0..24
}

var (
	mmCapacityRange = limit.Range{Quantity: "lack of capacity", Unit: "%", Min: 0, Max: 50}
	mmSoCRange      = limit.Range{Quantity: "state of charge", Min: 0, Max: 1, Slips: []limit.Slip{{Min: 1.001, Max: 100, Looks: "percent"}}}
	mmLeakRange     = limit.Range{Quantity: "difference of self-discharge", Unit: "% a month", Min: 0, Max: 30}
	mmDaysRange     = limit.Range{Quantity: "days since the cells stood equal", Min: 0, Max: 3650}
	mmBalanceRange  = limit.Range{Quantity: "balancing current", Unit: "A", Min: 0, Max: 10, Slips: []limit.Slip{{Min: 10.001, Max: 10000, Looks: "milliamperes"}}}
	mmHoursRange    = limit.Range{Quantity: "hours a day", Unit: "h", Min: 0, Max: 24}
	mmCellsRange    = limit.Range{Quantity: "number of cells in series", Min: 1, Max: 32}
)

// A Lead is how far the worst cell of a string is ahead of the others.
type Lead struct {
	AboveV   float64 // above the mean cell at the end of a charge: what a trim asks for as the highest cell
	AheadSoC float64 // how much fuller than the others it has become at the state in which they stood equal
}

// Above returns by how much the worst cell stands above the mean cell when the
// string rests at a voltage at the end of a charge, and how much
// fuller it has become. A single cell stands at the mean. The error
// is a *stationphysics.RangeError for a number out of the range of Mismatch,
// cells outside 1..32, or a voltage outside 0.5..5 V a cell.
func (m Mismatch) Above(cell battery.Cell, cells int, stringV, tempC float64) (Lead, error) {
	if err := limit.First(mmCapacityRange.Check(m.CapacityPct), mmSoCRange.Check(m.EqualSoC), mmSoCRange.Check(m.LeadSoC), mmLeakRange.Check(m.LeakPctPerMonth),
		mmDaysRange.Check(m.Days), mmBalanceRange.Check(m.BalanceA), mmHoursRange.Check(m.BalanceH), mmCellsRange.Check(float64(cells))); err != nil {
		return Lead{}, err
	}
	worst := cell
	worst.CapacityAh *= 1 - m.CapacityPct/100
	// What leakage adds, balancing takes away again; it does not go beyond equal.
	aheadSoC := m.LeadSoC + m.LeakPctPerMonth/100*m.Days/30
	aheadSoC = max(0, aheadSoC-m.BalanceA*m.BalanceH*m.Days/worst.CapacityAh)
	all := make([]battery.Cell, cells)
	soc := make([]float64, cells)
	for i := range all {
		all[i], soc[i] = cell, m.EqualSoC
	}
	all[0], soc[0] = worst, m.EqualSoC+aheadSoC
	s, err := NewString(all...)
	if err != nil {
		return Lead{}, err
	}
	settled, err := s.Settled(soc, stringV, tempC)
	if err != nil {
		return Lead{}, err
	}
	return Lead{AboveV: settled[0].CellV - stringV/float64(cells), AheadSoC: aheadSoC}, nil
}
