package main

import (
	"fmt"
	"slices"
	"strings"

	"github.com/stationphysics/stationphysics/battery"
)

var charge = kind{
	name:  "charge",
	about: "voltages of packs by chemistry and cells in series: charge end, float, low stop, limits, with cautions",
	params: []param{
		{"chemistry", "", "", "all", "all, or names separated by commas: " + strings.Join(chemistryNames(), ", ")},
		{"cells", "number of cells", "", "1:8:1", "cells in series, 1 to 32"},
		{"temperature", "cell temperature", "°C", "25", "of the cells, -40 to 85; moves the lead-acid voltages, and outside their window for charging there is no voltage to charge to"},
	},
	make: makeCharge,
}

func makeCharge(v *values) *table {
	tempC := v.number("temperature", func(x float64) error { _, err := battery.LiFePO4.PackLimits(1, x); return err })
	cells := v.numbers("cells", v.param("cells").whole(func(x float64) error { _, err := battery.LiFePO4.PackLimits(int(x), 25); return err }))
	chemistries := v.chemistries()
	t := &table{
		title: "Voltages of packs in V by cells in series, cells at " + plain(tempC) + " °C",
		notes: []string{
			"Volts of the whole pack at its terminals. From typical sheets: the sheet of the very cell goes first.",
			"Low limit: the lowest voltage under load that sheets allow; below it expect damage. Low stop: the end of discharge that leaves room for unequal cells. Fills: the lowest held voltage that still fills the pack. Float: may be held for months. Charge end: constant voltage of a full charge. High limit: no sheet holds above it, charging must have stopped.",
			"A charger is set below the charge end, by the errors of meter and trimmer and by what the highest cell stands above the mean (package battery/trim).",
		},
		sources: []string{"Holds for equal cells in good order, of the named chemistry alone. No value shows -. Package battery, its documents:"},
		keys:    2,
		columns: []column{
			{head: "chemistry", key: "chemistry", left: true}, {head: "cells", key: "cells"}, {head: "nominal", unit: "V", key: "nominal_v"},
			{head: "low\nlimit", unit: "V", key: "low_limit_v"}, {head: "low\nstop", unit: "V", key: "low_stop_v"}, {head: "fills", unit: "V", key: "fills_v"},
			{head: "float", unit: "V", key: "float_v"}, {head: "charge\nend", unit: "V", key: "charge_end_v"}, {head: "high\nlimit", unit: "V", key: "high_limit_v"},
		},
	}
	v.size("cells", len(chemistries)*len(cells), len(t.columns))
	if v.err != nil {
		return nil
	}
	count := axis(cells)
	most := 1
	for _, n := range cells {
		most = max(most, int(n))
	}
	for _, c := range chemistries {
		t.notes = append(t.notes, charging(c, tempC))
	}
	if tempC != 25 {
		t.notes = append(t.notes, "The cautions give the voltages at 25 °C.")
	}
	t.notes = append(t.notes, cautions(chemistries, most)...)
	for _, c := range chemistries {
		l := c.Limits()
		t.sources = append(t.sources, c.String()+": "+levelSources(&l)+".")
		for _, n := range cells {
			p, err := c.PackLimits(int(n), tempC)
			if err != nil {
				v.fail("cells", err)
				return nil
			}
			fills := none
			if l.Fill.Exists() {
				fills = fixed(n*l.Fill.At(tempC), 3)
			}
			float, end, low, stop := fixed(p.FloatV, 3), fixed(p.ChargeV, 3), fixed(p.CutoffV, 3), fixed(p.SaferV, 3)
			if !l.ChargeWindow.Holds(tempC) {
				fills, float, end = none, none, none
			}
			if !l.DischargeWindow.Holds(tempC) {
				low, stop = none, none
			}
			t.rows = append(t.rows, []cell{{text: c.String()}, count(n), fixed(p.NominalV, 3), low, stop, fills, float, end, fixed(p.OverchargeV, 3)})
		}
	}
	return t
}

func chemistryNames() []string {
	var names []string
	for _, c := range battery.Chemistries() {
		names = append(names, c.String())
	}
	return names
}

func (v *values) chemistries() []battery.Chemistry {
	names := strings.Split(v.text["chemistry"], ",")
	if strings.TrimSpace(v.text["chemistry"]) == "all" {
		names = chemistryNames()
	}
	var out []battery.Chemistry
	for _, n := range names {
		c, err := battery.ParseChemistry(n)
		if err == nil && slices.Contains(out, c) {
			err = fmt.Errorf("%s stands twice", c)
		}
		v.fail("chemistry", err)
		out = append(out, c)
	}
	return out
}

// charging says with what current a chemistry is charged at a temperature, and
// what its charge end is uncertain by.
func charging(c battery.Chemistry, tempC float64) string {
	l := c.Limits()
	window := func(w battery.Window) string { return plain(w.MinC) + " to " + plain(w.MaxC) + " °C" }
	s := c.String() + ": "
	switch {
	case !l.ChargeWindow.Holds(tempC):
		s += "no charging at " + plain(tempC) + " °C, only from " + window(l.ChargeWindow) + " at the cells"
	case l.Charge.Exists():
		s += "charge end ± " + plain(l.Charge.SpreadV) + " V a cell by the sheets, at most " + plain(c.MaxChargePerH(tempC)) + " A per Ah at " + plain(tempC) + " °C"
	default:
		s += "no constant voltage charges it"
	}
	if !l.DischargeWindow.Holds(tempC) {
		s += "; no discharging at " + plain(tempC) + " °C, only from " + window(l.DischargeWindow)
	}
	return s + "."
}

// cautions are those of the chemistries, each once with the names of those that
// it is for.
func cautions(chemistries []battery.Chemistry, cells int) []string {
	var order []string
	names := map[string][]string{}
	for _, c := range chemistries {
		for _, s := range c.Cautions(cells) {
			if names[s] == nil {
				order = append(order, s)
			}
			names[s] = append(names[s], c.String())
		}
	}
	var own, shared []string
	for _, s := range order {
		if len(names[s]) == len(chemistries) {
			shared = append(shared, "Caution: "+s)
		} else {
			own = append(own, "Caution, "+strings.Join(names[s], ", ")+": "+s)
		}
	}
	return append(own, shared...)
}

// levelSources names the document of each level that a chemistry has.
func levelSources(l *battery.Limits) string {
	var parts []string
	for _, x := range []struct {
		name string
		of   battery.Level
	}{{"nominal", l.Nominal}, {"low limit", l.Cutoff}, {"low stop", l.Safer}, {"fills", l.Fill}, {"float", l.Float}, {"charge end", l.Charge}, {"high limit", l.Overcharge}} {
		if x.of.Exists() {
			parts = append(parts, x.name+" "+x.of.Source)
		}
	}
	return strings.Join(parts, "; ")
}
