package charge

import (
	"math"
	"strconv"

	"github.com/stationphysics/stationphysics"
	"github.com/stationphysics/stationphysics/battery"
	"github.com/stationphysics/stationphysics/internal/limit"
)

// A Board is a protection board: per cell, the voltage at which it opens the
// charge path, the one at which it closes it again, and the same for
// discharging. Spreads are half-widths.
type Board struct {
	Name           string
	OverV          float64 // opens the charge path when a cell rises to this, V
	OverSpreadV    float64 // of OverV from board to board, V
	ReleaseV       float64 // closes it again when that cell has fallen to this, V
	ReleaseSpreadV float64 // of ReleaseV, V
	UnderV         float64 // opens the discharge path when a cell falls to this, V
	UnderSpreadV   float64 // of UnderV, V
	Source         string
}

// Boards returns boards as they are sold, with the values of a board maker's
// list for one cell: the ordinary LiFePO4 board opens 0.2 V above the cells'
// sheet.
func Boards() []Board {
	const src = "protection board list, one cell 2.5 A"
	return []Board{
		{"LiFePO4 board", 3.90, 0.025, 3.805, 0.05, 2.00, 0.08, src},
		{"LiFePO4 board, low option", 3.65, 0.025, 3.65, 0.05, 2.50, 0.08, src},
		{"lithium-ion board", 4.25, 0.025, 4.05, 0.05, 2.50, 0.08, src},
		{"lithium-ion board, high option", 4.28, 0.025, 4.10, 0.05, 3.00, 0.08, src},
	}
}

// A Case is a board between a charger and a pack.
type Case struct {
	Pack     *battery.Pack
	Charger  battery.Charger // what charges, at its set voltage
	HighestV float64         // how far the highest cell stands above the mean at the end of charge, V
	TempC    float64         // of the cells
	NoPackV  float64         // output of the charger when the board opens under sun, V: its set voltage if it regulates without a pack, the panel's open-circuit voltage if it only connects the panel
	RailMaxV float64         // what the parts on the rail take at most, V
}

// A BoardVerdict says what a board does in a case. Cell voltages.
type BoardVerdict struct {
	HighestCellV float64 // highest cell at the end of charge
	Trips        bool    // the board opens in this case: at its earliest voltage
	TripsForSure bool    // it opens even at its latest
	LatestTripV  float64 // the latest it opens, with its spread
	SheetV       float64 // highest cell voltage of the chemistry's sheet
	InTime       bool    // it opens before the sheet is left
	PastSheetV   float64 // LatestTripV - SheetV; negative is room
	RestingV     float64 // where a cell comes to rest after opening at the latest voltage
	Releases     bool    // the resting voltage lies below the release: it closes again by itself
	DrainAh      float64 // otherwise: charge to draw before it closes; 0 if it releases, NaN where the cells' curve does not reach that far
	RailV        float64 // on the rail while it is open under sun
	RailOverV    float64 // RailV less what the rail takes; negative is room
	CutsTooLow   bool    // it opens the discharge path only below the sheet's cut-off
	Text         string
}

var (
	boardRange  = limit.Range{Quantity: "trip voltage of a cell", Unit: "V", Min: 1, Max: 5, Slips: []limit.Slip{{Min: 5.001, Max: 150, Looks: "volts of the whole pack"}}}
	spreadRange = limit.Range{Quantity: "spread of a trip voltage", Unit: "V", Min: 0, Max: 1}
	abovRange   = limit.Range{Quantity: "highest cell above the mean", Unit: "V", Min: 0, Max: 1}
	railRange   = limit.Range{Quantity: "voltage of the rail", Unit: "V", Min: 0, Max: 200}
)

// Judge judges the board in a case: whether it opens before the cell leaves its
// sheet, whether it closes again, and what the rail sees while it is open. The
// error is a *stationphysics.RangeError for a number out of the range of Board
// or Case, a *stationphysics.ConflictError for a board that releases above its
// trip.
func (b Board) Judge(c Case) (BoardVerdict, error) {
	if c.Pack == nil {
		return BoardVerdict{}, &stationphysics.RangeError{Quantity: "number of packs", Value: 0, Min: 1, Max: 1}
	}
	if err := limit.First(boardRange.Check(b.OverV), spreadRange.Check(b.OverSpreadV), boardRange.Check(b.ReleaseV), spreadRange.Check(b.ReleaseSpreadV),
		boardRange.Check(b.UnderV), spreadRange.Check(b.UnderSpreadV), setRange.Check(c.Charger.SetV), mostARange.Check(c.Charger.MaxA),
		abovRange.Check(c.HighestV), tempRange.Check(c.TempC), railRange.Check(c.NoPackV), railRange.Check(c.RailMaxV)); err != nil {
		return BoardVerdict{}, err
	}
	if b.UnderV >= b.ReleaseV || b.ReleaseV > b.OverV {
		return BoardVerdict{}, &stationphysics.ConflictError{Quantities: []string{"release voltage", "trip voltage"}, Values: []float64{b.ReleaseV, b.OverV}, Units: []string{"V", "V"},
			Rule: "a board releases at or below its trip voltage, and above its discharge trip"}
	}
	p := c.Pack
	n := float64(p.Series())
	cell := p.Cell()
	l := cell.Chemistry.Limits()
	v := BoardVerdict{
		HighestCellV: c.Charger.SetV/n + c.HighestV,
		LatestTripV:  b.OverV + b.OverSpreadV,
		RailV:        c.NoPackV, RailOverV: c.NoPackV - c.RailMaxV,
		CutsTooLow: nano(b.UnderV-b.UnderSpreadV) < nano(l.Cutoff.V-l.Cutoff.SpreadV),
	}
	v.Trips = nano(v.HighestCellV) >= nano(b.OverV-b.OverSpreadV)
	v.TripsForSure = nano(v.HighestCellV) >= nano(v.LatestTripV)
	v.SheetV, v.PastSheetV = math.NaN(), math.NaN()
	if l.Overcharge.Exists() {
		v.SheetV = l.Overcharge.At(c.TempC)
		v.PastSheetV = v.LatestTripV - v.SheetV
		v.InTime = nano(v.LatestTripV) <= nano(v.SheetV)
	}
	// Opened by the full charge current, the cell falls by what that current
	// dropped across its resistance: the worst case for the release is a trip
	// at no current, where it hardly falls. The charge current at the trip is
	// small at a constant voltage, so that the rest is the trip voltage itself
	// until the cell leaks or is drawn on.
	v.RestingV = v.LatestTripV
	if !v.TripsForSure && v.Trips {
		v.RestingV = v.HighestCellV
	}
	lowest := b.ReleaseV - b.ReleaseSpreadV
	v.Releases = nano(v.RestingV) <= nano(lowest)
	if !v.Releases {
		from, to := cell.Curve.SoC(v.RestingV, c.TempC), cell.Curve.SoC(lowest, c.TempC)
		v.DrainAh = math.Max(0, (from-to)*p.CapacityAh())
	}
	v.Text = b.text(&v)
	return v, nil
}

// nano counts nanovolts, so that sums of printed values compare as printed.
func nano(v float64) float64 { return math.Round(v * 1e9) }

func (b Board) text(v *BoardVerdict) string {
	f := func(x float64, prec int) string { return strconv.FormatFloat(x, 'f', prec, 64) }
	s := "The highest cell reaches " + f(v.HighestCellV, 3) + " V; the board opens at " + f(b.OverV-b.OverSpreadV, 3) + " to " + f(v.LatestTripV, 3) + " V. "
	switch {
	case math.IsNaN(v.SheetV):
		s += "The chemistry has no charge voltage to compare with. "
	case v.InTime:
		s += "That is before the cell leaves its sheet at " + f(v.SheetV, 2) + " V. "
	default:
		s += "That is up to " + f(v.PastSheetV, 3) + " V beyond the sheet's " + f(v.SheetV, 2) + " V: the board is no charge limit for these cells, the charger's setting is. "
	}
	if !v.Trips {
		s += "In this case it does not open. "
	} else if v.RailOverV > 0 {
		s += "When it opens under sun, the rail rises to " + f(v.RailV, 1) + " V, " + f(v.RailOverV, 1) + " V more than its parts take: fit a clamp or a charger that regulates without a pack. "
	} else {
		s += "When it opens under sun, the rail stands at " + f(v.RailV, 1) + " V, " + f(0-v.RailOverV, 1) + " V inside what its parts take, and every cloud is a brown-out. "
	}
	if v.Trips {
		switch {
		case v.Releases:
			s += "It closes again by itself, and opens again: the charger and the board take turns."
		case math.IsNaN(v.DrainAh):
			s += "It closes again once load and leakage have drawn the cell down, from voltages that its curve does not reach; some boards also ask that the charger be taken off first, which their sheet says."
		default:
			s += "It closes again once load and leakage have drawn " + f(v.DrainAh, 3) + " Ah; some boards also ask that the charger be taken off first, which their sheet says."
		}
	}
	if v.CutsTooLow {
		s += " It lets a cell be drawn to " + f(b.UnderV-b.UnderSpreadV, 2) + " V, below the sheet: let the station stop before."
	}
	return s
}
