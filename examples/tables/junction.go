package main

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/stationphysics/stationphysics/thermal"
)

var junction = kind{
	name:  "junction",
	about: "junction temperature by dissipation and copper area",
	params: []param{
		{"package", "", "", "SOT-223", "SOT-223, TO-252 or PG-TSNP-7"},
		{"dissipation", "dissipation", "W", "0.25:2:0.25", "heat of the part"},
		{"area", "copper area", "mm²", "", "copper on the side of the part; without it some of the published range"},
		{"ambient", "ambient temperature", "°C", "40", "air at the part, inside the box, -100 to 200"},
		{"limit", "junction limit", "°C", "125", "permitted junction temperature, -100 to 400"},
	},
	make: makeJunction,
}

// packages are those with a table of copper areas in package thermal, and the
// areas that are printed where none are given.
var packages = []struct{ name, areas string }{
	{"SOT-223", "25,100,300,600"}, {"TO-252", "25,100,300,600"}, {"PG-TSNP-7", "300,400,500,600"},
}

func makeJunction(v *values) *table {
	known := make([]string, len(packages))
	for i, p := range packages {
		known[i] = p.name
	}
	pkg := v.word("package", known...)
	if v.text["area"] == "" {
		for _, p := range packages {
			if p.name == pkg {
				v.text["area"] = p.areas
			}
		}
	}
	ambient := v.number("ambient", func(x float64) error { return thermal.CheckOperation(x, 0) })
	powers := v.numbers("dissipation", func(x float64) error { return thermal.CheckOperation(20, x) })
	limitC := v.number("limit", func(x float64) error {
		var p thermal.Path
		_, err := p.Derating(x, 1)
		return err
	})
	if v.err != nil {
		return nil
	}
	areas := v.numbers("area", func(x float64) error { _, err := thermal.EstimateCopper(pkg, x); return err })
	v.size("dissipation", len(powers), 1+2*len(areas))
	if v.err != nil {
		return nil
	}
	t := &table{
		title: "Junction temperature of a " + pkg + " on copper, air at " + plain(ambient) + " °C",
		notes: []string{
			"Steady state of one part on copper on its own side, in still air of that temperature at the part. Low and high are the spread between published tables, not an uncertainty: vias, stacked layers, neighbours that heat the board and a closed box lie outside. Measure the board in the end.",
			"! marks a junction above the limit of " + plain(limitC) + " °C (not in CSV), - one above 400 °C, for which nothing holds.",
			"Caution: surfaces above about 60 °C burn at a touch; a tab is nearly as hot as the junction.",
		},
		sources: []string{"Tj = Ta + θJA P, with θJA interpolated within each published table over the logarithm of the area (package thermal, EstimateCopper). By area, with the power at which the high value reaches the limit:"},
		keys:    1,
		columns: []column{{head: "heat", unit: "W", key: "dissipation_w"}},
	}
	paths := make([]thermal.Path, 0, 2*len(areas))
	for _, area := range areas {
		e, err := thermal.EstimateCopper(pkg, area)
		v.fail("area", err)
		head, key := plain(area)+" mm²", "junction_c_at_"+plain(area)+"_mm2"
		ends := []struct {
			name  string
			kPerW float64
		}{{"low", e.LowKPerW}, {"high", e.HighKPerW}}
		if len(e.Sheets) == 1 { // its spread is unknown, not zero
			ends = ends[1:]
			ends[0].name = ""
		}
		for _, end := range ends {
			p, err := thermal.NewBoardPath(plain(area)+" mm² of copper", end.kPerW, 0)
			v.fail("area", err)
			paths = append(paths, p)
			c := column{head: head, unit: "°C", key: key}
			if end.name != "" {
				c = column{head: head + "\n" + end.name, unit: "°C", key: end.name + "_" + key}
			}
			t.columns = append(t.columns, c)
		}
		if v.err != nil {
			return nil
		}
		t.sources = append(t.sources, copperSource(pkg, area, e, paths[len(paths)-1].MaxPowerW(limitC, ambient), limitC))
	}
	heat := axis(powers)
	for _, w := range powers {
		row := []cell{heat(w)}
		for _, p := range paths {
			row = append(row, junctionCell(p.JunctionC(ambient, w), limitC))
		}
		t.rows = append(t.rows, row)
	}
	return t
}

// junctionCell marks what is above the limit, and leaves out what is above any
// temperature that the package takes.
func junctionCell(junctionC, limitC float64) cell {
	if math.IsNaN(thermal.Path{}.CaseFromJunctionC(junctionC, 0)) {
		return none
	}
	c := fixed(junctionC, 1)
	if junctionC > limitC {
		return cell{text: "!" + c.text, data: c.text}
	}
	return c
}

// copperSource says what is published for one area of copper.
func copperSource(pkg string, area float64, e thermal.CopperEstimate, mostW, limitC float64) string {
	theta := fmt.Sprintf("%.1f K/W", e.HighKPerW)
	spread := " (one table: its spread is unknown)"
	if len(e.Sheets) > 1 {
		theta, spread = fmt.Sprintf("%.1f to %.1f K/W", e.LowKPerW, e.HighKPerW), ""
	}
	var sheets []string
	for _, s := range e.Sheets {
		if slices.ContainsFunc(thermal.CopperRows(pkg), func(r thermal.CopperRow) bool { return r.Sheet == s && r.Method == "from memory" }) {
			s += " (rows of it from memory)"
		}
		sheets = append(sheets, s)
	}
	return fmt.Sprintf("%s mm²: %s%s, %s °C reached with %s W; %s.", plain(area), theta, spread, plain(limitC), fixed(math.Floor(mostW*100+1e-9)/100, 2).text, strings.Join(sheets, "; "))
}
