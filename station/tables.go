package station

import (
	"sync"

	"github.com/stationphysics/stationphysics/battery"
)

// runTables are what every run of a model looks up, made at its first run.
type runTables struct {
	once             sync.Once
	running, stopped *drawTable
	stored           *storedTable
}

// drawTable holds the draw of the supply over pack voltage.
type drawTable struct {
	lowV, perV float64
	rows       [tableLen]drawRow
}

type drawRow struct{ amps, servedW, heatW float64 }

const tableLen = 65

func (s *supply) table(lowV, highV float64, m mode) *drawTable {
	stepV := (highV - lowV) / (tableLen - 1)
	t := &drawTable{lowV: lowV, perV: 1 / stepV}
	for i := range t.rows {
		d := s.at(lowV+stepV*float64(i), m)
		r := &t.rows[i]
		r.amps, r.servedW = d.packA, d.servedW
		for _, h := range d.heatW {
			r.heatW += h
		}
	}
	return t
}

// at interpolates; between the points of the table a linear regulator's
// current and a converter's power are smooth.
func (t *drawTable) at(v float64) (amps, servedW, heatW float64) {
	x := (v - t.lowV) * t.perV
	i := 0
	switch {
	case !(x > 0):
		x = 0
	case x >= tableLen-1:
		i, x = tableLen-2, 1
	default:
		i = int(x)
		x -= float64(i)
	}
	a, b := &t.rows[i], &t.rows[i+1]
	return a.amps + x*(b.amps-a.amps), a.servedW + x*(b.servedW-a.servedW), a.heatW + x*(b.heatW-a.heatW)
}

// storedTable holds the energy of a rested pack at 25 °C from empty to a state of
// charge, Wh.
type storedTable [storedLen + 1]float64

const (
	storedLen       = 400
	socLow, socHigh = -0.2, 1.3
)

// newStoredTable integrates by Simpson's rule on intervals short enough that
// the open-circuit curve, which is straight between its points, is followed to
// rounding where it matters: differences along the year cancel whatever is left.
func newStoredTable(p *battery.Pack) *storedTable {
	t := new(storedTable)
	c := p.CapacityAh()
	for i := 1; i <= storedLen; i++ {
		a, b := socGrid(i-1), socGrid(i)
		va, vm, vb := p.OpenCircuitV(a, 25), p.OpenCircuitV((a+b)/2, 25), p.OpenCircuitV(b, 25)
		t[i] = t[i-1] + c*(b-a)*(va+4*vm+vb)/6
	}
	return t
}

func socGrid(i int) float64 { return socLow + (socHigh-socLow)*float64(i)/storedLen }

func (t *storedTable) at(soc float64) (wh float64) {
	x := (soc - socLow) / (socHigh - socLow) * storedLen
	i := min(max(int(x), 0), storedLen-1)
	return t[i] + (x-float64(i))*(t[i+1]-t[i])
}
