package thermal

import (
	"math"
	"slices"

	"github.com/stationphysics/stationphysics"
	"github.com/stationphysics/stationphysics/internal/limit"
)

// A CopperRow is one published junction-to-ambient resistance of a package
// soldered to copper.
type CopperRow struct {
	Package              string  // "SOT-223", "TO-252"
	TopMm2, BottomMm2    float64 // copper that cools the tab, mm², on the side of the part and on the other; NaN where the sheet states no area
	JunctionAmbientKPerW float64 // from the junction to still air, θJA
	Board                string  // what else the sheet says of the board
	Method               string  // "measured", "calculated", "stated", or "from memory" where the sheet was not at hand
	Sheet                string  // the document
}

// The areas of the two National Semiconductor families are printed in square
// inches.
const squareInchMm2 = 25.4 * 25.4

const (
	sheetInfineon = "Infineon, package SOT223-4-2 thermal sheet"
	sheetLM1117   = "National Semiconductor/TI LM1117, SNOS412, Table 1"
	sheetLM317    = "TI LM317-N, SNVS774Q, Table 1"
	boardInfineon = "FR4 80 x 80 x 1.5 mm, 35 µm copper, still air"
	boardNational = "1 oz (35 µm) copper"
)

var copperRows = []CopperRow{
	// Infineon does not state the copper of "footprint only"; its row stands at
	// the land of the tab as layout 1 of the LM1117 sheet has it.
	{"SOT-223", 0.0123 * squareInchMm2, 0, 164.3, boardInfineon + ", footprint only", "calculated", sheetInfineon},
	{"SOT-223", 300, 0, 81.2, boardInfineon, "calculated", sheetInfineon},
	{"SOT-223", 600, 0, 68, boardInfineon, "calculated", sheetInfineon},
	{"SOT-223", 625, 0, 75, "FR4, one side, 25 x 25 mm", "stated", "electroniques.biz, article on the heat of a SOT-223-class package"},
	{"SOT-223", 0.0123 * squareInchMm2, 0, 136, boardNational, "measured", sheetLM1117},
	{"SOT-223", 0.066 * squareInchMm2, 0, 123, boardNational, "from memory", sheetLM1117},
	{"SOT-223", 0.3 * squareInchMm2, 0, 84, boardNational, "from memory", sheetLM1117},
	{"SOT-223", 0.53 * squareInchMm2, 0, 75, boardNational, "from memory", sheetLM1117},
	{"SOT-223", 0.76 * squareInchMm2, 0, 69, boardNational, "from memory", sheetLM1117},
	{"SOT-223", squareInchMm2, 0, 66, boardNational, "from memory", sheetLM1117},
	{"SOT-223", nan, 0, 74, "1 oz copper, junction at 125 °C", "stated", "TI LM340-N, text to Fig. 6"},
	{"SOT-223", nan, 0, 51, "2 oz copper, junction at 125 °C", "stated", "TI LM340-N, text to Fig. 6"},
	{"SOT-223", nan, 0, 148, "five pins, scenario A", "stated", "National Semiconductor LP3874-ADJ, p. 12"},
	{"SOT-223", nan, 0, 125, "five pins, scenario B", "stated", "National Semiconductor LP3874-ADJ, p. 12"},
	{"SOT-223", nan, 0, 30, "0.5 in² of copper over a ground plane; the note says 30 to more than 50", "stated", "AMS1117, note"},
	{"SOT-223", nan, 0, 61.6, "JEDEC board of four layers (JESD51-7)", "stated", "TI E2E 760498, LM1117"},
	{"SOT-223", nan, 0, 130, "not stated", "stated", "TS1117B, p. 2"},
	{"SOT-223", nan, 0, 110, "not stated", "stated", "ST community 159479, LD1117"},
	{"SOT-223", nan, 0, 170, "not stated", "stated", "TS2940, p. 4"},
	{"PG-TSNP-7", nan, 0, 61, "2s2p, JESD51-7", "calculated", "Infineon TLS715, p. 7"},
	{"PG-TSNP-7", nan, 0, 196, "1s0p, footprint only", "calculated", "Infineon TLS715, p. 7"},
	{"PG-TSNP-7", 300, 0, 94, "1s0p", "calculated", "Infineon TLS715, p. 7"},
	{"PG-TSNP-7", 600, 0, 83, "1s0p", "calculated", "Infineon TLS715, p. 7"},
	{"TO-252", 0.0123 * squareInchMm2, 0, 103, boardNational, "measured", sheetLM317},
	{"TO-252", 0.066 * squareInchMm2, 0, 87, boardNational, "measured", sheetLM317},
	{"TO-252", 0.3 * squareInchMm2, 0, 60, boardNational, "measured", sheetLM317},
	{"TO-252", 0.53 * squareInchMm2, 0, 54, boardNational, "measured", sheetLM317},
	{"TO-252", 0.76 * squareInchMm2, 0, 52, boardNational, "measured", sheetLM317},
	{"TO-252", squareInchMm2, 0, 47, boardNational, "measured", sheetLM317},
	{"TO-252", 0.066 * squareInchMm2, 0.2 * squareInchMm2, 84, boardNational, "measured", sheetLM317},
	{"TO-252", 0.066 * squareInchMm2, 0.4 * squareInchMm2, 70, boardNational, "measured", sheetLM317},
	{"TO-252", 0.066 * squareInchMm2, 0.6 * squareInchMm2, 63, boardNational, "measured", sheetLM317},
	{"TO-252", 0.066 * squareInchMm2, 0.8 * squareInchMm2, 57, boardNational, "measured", sheetLM317},
	{"TO-252", 0.066 * squareInchMm2, squareInchMm2, 57, boardNational, "measured", sheetLM317},
	{"TO-252", 0.066 * squareInchMm2, 0.066 * squareInchMm2, 89, boardNational, "measured", sheetLM317},
	{"TO-252", 0.175 * squareInchMm2, 0.175 * squareInchMm2, 72, boardNational, "measured", sheetLM317},
	{"TO-252", 0.284 * squareInchMm2, 0.284 * squareInchMm2, 61, boardNational, "measured", sheetLM317},
	{"TO-252", 0.392 * squareInchMm2, 0.392 * squareInchMm2, 55, boardNational, "measured", sheetLM317},
	{"TO-252", 0.5 * squareInchMm2, 0.5 * squareInchMm2, 53, boardNational, "measured", sheetLM317},
}

// CopperRows returns the published values held for a package, "SOT-223",
// "TO-252" or "PG-TSNP-7", and nothing for another. The tables disagree with each other and
// within themselves: in the LM317-N sheet copper of 0.066 in² on both sides is
// worse (89 K/W) than on the top alone (87 K/W).
func CopperRows(pkg string) []CopperRow {
	var out []CopperRow
	for _, r := range copperRows {
		if r.Package == pkg {
			out = append(out, r)
		}
	}
	return out
}

// A CopperEstimate is what the published tables say of one area of copper.
type CopperEstimate struct {
	LowKPerW, HighKPerW float64  // smallest and largest of the tables that cover the area
	Sheets              []string // the documents that cover it; with one only the spread is unknown, not zero
}

// onTop reports whether the copper lies on the top alone, with an area that the
// sheet states.
func (r CopperRow) onTop() bool { return !(r.BottomMm2 > 0) && !math.IsNaN(r.TopMm2) }

// copperPackages are the packages that have a table of areas.
func copperPackages() []string {
	var out []string
	for _, r := range copperRows {
		if r.onTop() && !slices.Contains(out, r.Package) {
			out = append(out, r.Package)
		}
	}
	return out
}

// EstimateCopper returns the junction-to-ambient resistance of a package on
// top-side copper, interpolated within each published table linearly over the
// logarithm of the area. The two ends are the spread between the documents, not
// an uncertainty: stacked layers, vias, neighbours that heat the board, an
// enclosure without moving air all lie outside. The same SOT-223 is stated
// anywhere from 30 to 170 K/W by its makers, 61.6 on the JEDEC board of four
// layers. Measure the board in the end (see transient.FitWarmUp).
//
// The error is a *stationphysics.NameError for a package without a table of
// areas, and a *stationphysics.RangeError for an area no table covers; nothing is
// extrapolated.
func EstimateCopper(pkg string, topMm2 float64) (CopperEstimate, error) {
	rows := slices.DeleteFunc(CopperRows(pkg), func(r CopperRow) bool { return !r.onTop() })
	if len(rows) == 0 {
		return CopperEstimate{}, &stationphysics.NameError{Kind: "package", Name: pkg, Known: copperPackages()}
	}
	est := CopperEstimate{LowKPerW: math.Inf(1), HighKPerW: math.Inf(-1)}
	covered := limit.Range{Quantity: "copper area", Unit: "mm²", Min: math.Inf(1), Max: math.Inf(-1),
		Slips: []limit.Slip{{Min: 1e-3, Max: 1.01, Looks: "square inches"}}}
	for i, r := range rows {
		covered.Min = math.Min(covered.Min, r.TopMm2)
		covered.Max = math.Max(covered.Max, r.TopMm2)
		k := nan
		switch {
		case topMm2 == r.TopMm2:
			k = r.JunctionAmbientKPerW
		case i > 0 && rows[i-1].Sheet == r.Sheet && topMm2 > rows[i-1].TopMm2 && topMm2 < r.TopMm2:
			a := rows[i-1]
			f := math.Log(topMm2/a.TopMm2) / math.Log(r.TopMm2/a.TopMm2)
			k = a.JunctionAmbientKPerW + f*(r.JunctionAmbientKPerW-a.JunctionAmbientKPerW)
		}
		if math.IsNaN(k) {
			continue
		}
		est.LowKPerW = math.Min(est.LowKPerW, k)
		est.HighKPerW = math.Max(est.HighKPerW, k)
		est.Sheets = append(est.Sheets, r.Sheet)
	}
	if len(est.Sheets) == 0 {
		return CopperEstimate{}, covered.Check(topMm2)
	}
	return est, nil
}
