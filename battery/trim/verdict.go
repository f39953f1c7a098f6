package trim

import (
	"math"
	"strconv"

	"github.com/stationphysics/stationphysics/battery"
	"github.com/stationphysics/stationphysics/internal/limit"
)

var setRange = limit.Range{Quantity: "set voltage of the pack", Unit: "V", Min: 0.5, Max: 200, Slips: []limit.Slip{{Min: 200.001, Max: 200_000, Looks: "millivolts"}}}

// A Fit says how a set voltage stands to a pack.
type Fit uint8

// The ways it can stand, from harmless to not; the zero one for no verdict.
const (
	NoVerdict    Fit = iota
	Fits             // between filling and the charge voltage
	DoesNotFill      // below what fills the pack
	AtTheLimit       // above the charge voltage, within the spread of its source: no margin
	OverTheLimit     // above the spread: outside the sheet
	OtherVoltage     // the charge voltage of another chemistry
	CellForPack      // the volts of one cell given for the pack
	PackForCell      // the volts of a whole pack given for fewer cells
	NoSetVoltage     // the chemistry has no charge voltage
)

var fitNames = [...]string{"no verdict", "fits", "does not fill", "at the limit", "over the limit", "another chemistry's voltage", "volts of one cell given for the pack", "volts of more cells than the pack has", "no charge voltage"}

// String names the fit.
func (f Fit) String() string {
	if int(f) < len(fitNames) {
		return fitNames[f]
	}
	return "unknown"
}

// A Verdict is what there is to say about a set voltage.
type Verdict struct {
	Fit       Fit
	CellV     float64           // set voltage over number of cells
	LimitV    float64           // charge voltage of one cell at the temperature
	OverV     float64           // CellV - LimitV, V a cell: negative is room
	PackOverV float64           // the same for the whole pack
	LooksLike battery.Chemistry // whose charge voltage it is, for OtherVoltage
	Cells     int               // how many cells it would fit, for PackForCell
	Text      string            // one to three sentences with the numbers
}

// Forbids reports whether the verdict forbids connecting the pack.
func (v Verdict) Forbids() bool { return v.OverV > 0 }

// Judge judges a set voltage of a pack, read without error. It recognises
// the charge voltage of another chemistry (4.20 V a cell on LiFePO4), the volts
// of one cell given for a pack, and the reverse. The error
// is that of Chemistry.PackLimits, or a *stationphysics.RangeError for a setV outside
// 0.5..200 V.
func Judge(c battery.Chemistry, cells int, setV, tempC float64) (Verdict, error) {
	if _, err := c.PackLimits(cells, tempC); err != nil {
		return Verdict{}, err
	}
	if err := setRange.Check(setV); err != nil {
		return Verdict{}, err
	}
	n := float64(cells)
	l := c.Limits()
	v := Verdict{CellV: setV / n, LimitV: math.NaN(), OverV: math.NaN(), PackOverV: math.NaN()}
	head := volts(setV) + " on " + strconv.Itoa(cells) + " " + c.String() + " " + plural("cell", cells) + " is " + volts(v.CellV) + " a cell"
	if !l.Charge.Exists() {
		v.Fit = NoSetVoltage
		v.Text = head + ". NiMH has no charge voltage: a constant voltage either leaves it empty or over-charges it, warmer cells more. Charge it by current and time."
		return v, nil
	}
	v.LimitV = l.Charge.At(tempC)
	v.OverV = nano(v.CellV - v.LimitV)
	v.PackOverV = v.OverV * n
	fill := l.Fill.At(tempC)
	filled := nano(v.CellV - fill)
	alone := nano(setV - v.LimitV) // as the voltage of one cell
	over := ": " + volts(v.OverV) + " a cell over the " + volts(v.LimitV) + " of the chemistry, " + volts(v.PackOverV) + " for the pack. "
	switch other, count := lookalike(c, v.CellV, tempC), cellsFor(c, setV, cells, tempC); {
	case count > 0 && v.CellV > 1.5*v.LimitV:
		v.Fit, v.Cells = PackForCell, count
		v.Text = head + over + "It would be right for " + strconv.Itoa(count) + " cells in series: is that the number? " + harm(c)
	case v.OverV > l.Charge.SpreadV && other != 0:
		v.Fit, v.LooksLike = OtherVoltage, other
		v.Text = head + ", the charge voltage of " + other.String() + over + harm(c)
	case v.OverV > l.Charge.SpreadV:
		v.Fit = OverTheLimit
		v.Text = head + over + harm(c)
	case v.OverV > 0:
		v.Fit = AtTheLimit
		v.Text = head + over + "That is within the spread of its source (" + volts(l.Charge.SpreadV) + ") and leaves no margin for the meter, for drift and for unequal cells: lower it."
	case filled >= 0:
		v.Fit = Fits
		v.Text = head + ", between the " + volts(fill) + " that fill it and the " + volts(v.LimitV) + " of the chemistry, before any error."
	case setV >= fill && alone <= l.Charge.SpreadV:
		v.Fit = CellForPack
		v.Text = head + ". " + volts(setV) + " would be right for one cell: the pack of " + strconv.Itoa(cells) + " takes " + volts(setV*n) + "."
	case other != 0:
		v.Fit, v.LooksLike = OtherVoltage, other
		v.Text = head + ", the charge voltage of " + other.String() + ". It does not fill " + c.String() + ": that takes " + volts(fill) + " a cell."
	default:
		v.Fit = DoesNotFill
		v.Text = head + ". It does not fill the pack: that takes " + volts(fill) + " a cell, " + volts(fill*n) + " in all."
	}
	return v, nil
}

// nano rounds to a nanovolt, so that 7.30/2 - 3.65 is nothing over.
func nano(v float64) float64 { return math.Round(v*1e9) / 1e9 }

// lookalike returns the other chemistry whose charge voltage a cell voltage is.
func lookalike(c battery.Chemistry, cellV, tempC float64) battery.Chemistry {
	for o := battery.LiFePO4; o <= battery.NickelMetalHydride; o++ {
		l := o.Limits().Charge
		if !l.Exists() || c.Limits().Charge.V == l.V {
			// The two lead-acid kinds, or the chemistry itself, are no other.
			continue
		}
		if math.Abs(nano(cellV-l.At(tempC))) <= l.SpreadV {
			return o
		}
	}
	return 0
}

// cellsFor returns how many cells a voltage would charge, 0 if no number fits.
func cellsFor(c battery.Chemistry, setV float64, cells int, tempC float64) int {
	l := c.Limits()
	const maxCells = 32 // as in package battery
	for n := cells + 1; n <= maxCells; n++ {
		if v := setV / float64(n); v >= l.Fill.At(tempC) && nano(v-l.Charge.At(tempC)) <= l.Charge.SpreadV {
			return n
		}
	}
	return 0
}

// harm words what a voltage over the limit does, as far as the literature has
// it, and what to do.
func harm(c battery.Chemistry) string {
	const act = "Do not connect the pack, or stop and disconnect it: lower the setting, read it again with nothing connected, then check every cell."
	switch c {
	case battery.LiFePO4:
		return "Outside the cell's sheet: in the cold it was seen to cost capacity with every cycle (Energies 2023, 16, 2786), after such cycling cells were thermally less stable " +
			"even where they kept their capacity (J. Energy Storage 50, 104691), and there is no margin left for unequal cells. " + act
	case battery.LithiumIon:
		return "Outside the cell's sheet, which says never above 4.23 V: over-charged lithium-ion cells can run away thermally. " + act
	}
	return "Outside the sheet: the cell gases, dries out or loses water, and warms. " + act
}

func plural(s string, n int) string {
	if n == 1 {
		return s
	}
	return s + "s"
}
