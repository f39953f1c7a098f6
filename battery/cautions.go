package battery

import "strconv"

// Cautions returns what to heed when working on a pack of the chemistry, each
// sentence with its number. It is the usual caution of the trade and takes the
// place of no cell's sheet, no local rule and no licensed practice. Nil for an
// unknown chemistry or number of cells.
func (c Chemistry) Cautions(cells int) []string {
	p, err := c.PackLimits(cells, referenceC)
	if err != nil {
		return nil
	}
	l := &limits[c]
	v := func(x float64) string { return strconv.FormatFloat(x, 'f', 2, 64) + " V" }
	deg := func(x float64) string { return strconv.FormatFloat(x, 'f', -1, 64) + " °C" }
	var s []string
	if l.Charge.Exists() {
		s = append(s, "Above "+v(l.Charge.At(referenceC))+" a cell, "+v(p.ChargeV)+" for "+strconv.Itoa(cells)+" in series: stop, lower the setting, check every cell before going on.")
	} else {
		s = append(s, "No constant voltage charges NiMH: limit the current to "+strconv.FormatFloat(l.MaxCharge.PerH, 'f', -1, 64)+" A per Ah and the time, and stop when a cell grows warm.")
	}
	s = append(s,
		"Charge only from "+deg(l.ChargeWindow.MinC)+" to "+deg(l.ChargeWindow.MaxC)+", measured at the cells. A cell that froze is left to warm by itself, not by a flame, a heater or a dryer, before it is charged.",
		"Put a fuse at the pack, before the first wire: a short there is limited by nothing but the cells.",
		"Watch the first charge from beginning to end, on a surface that does not burn and away from the house wall.",
		"Retire cells that are warm at rest, swollen, leaking or unequal (one more than 0.05 V from the others after a rest), and take them to collection; do not recharge them.",
		"Use cells of a known maker with their sheet at hand; where the sheet says less, it holds.")
	switch c {
	case LiFePO4, LithiumIon:
		s = append(s, "Below "+v(l.Cutoff.V)+" a cell do not recharge without asking the cell's maker: copper may have dissolved.")
	case SealedLead, FloodedLead:
		s = append(s, "Lead-acid cells give off hydrogen when charged: vent the box, 4 % in air burns. Acid burns skin and eyes: goggles and gloves.")
	}
	return append(s, "Local rules for batteries, buildings and disposal come first; wiring to the mains is for licensed practice.")
}
