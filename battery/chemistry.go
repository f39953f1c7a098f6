package battery

import (
	"strings"

	"github.com/stationphysics/stationphysics"
	"github.com/stationphysics/stationphysics/internal/limit"
)

// A Chemistry is a family of cells with common limits. Its zero value is no
// chemistry: its limits are all zero.
type Chemistry uint8

// The chemistries the package knows. LiFePO4 is treated best; the others are
// here so that a wrong one is recognised, and a station that runs on one can
// be calculated all the same.
const (
	LiFePO4            Chemistry = iota + 1 // lithium iron phosphate, graphite negative
	LithiumIon                              // lithium cobalt, nickel or manganese oxide cells charged to 4.2 V
	SealedLead                              // valve-regulated lead-acid: gel or absorbent glass mat
	FloodedLead                             // lead-acid with free electrolyte
	NickelMetalHydride                      // NiMH, the low-self-discharge kind included
)

var chemistryNames = [...]string{"", "LiFePO4", "lithium-ion (4.2 V)", "sealed lead-acid", "flooded lead-acid", "NiMH"}

// aliases maps a name without spaces, hyphens, brackets and case to its
// chemistry.
var aliases = map[string]Chemistry{
	"lifepo4": LiFePO4, "lfp": LiFePO4, "lithiumironphosphate": LiFePO4, "lifepo": LiFePO4, "ifr": LiFePO4,
	"lithiumion": LithiumIon, "lithiumion4.2v": LithiumIon, "liion": LithiumIon, "liion4.2v": LithiumIon, "lithiumion4.2": LithiumIon,
	"icr": LithiumIon, "inr": LithiumIon, "nmc": LithiumIon, "nca": LithiumIon, "lco": LithiumIon, "lipo": LithiumIon, "lithiumpolymer": LithiumIon,
	"sealedleadacid": SealedLead, "sealedlead": SealedLead, "vrla": SealedLead, "agm": SealedLead, "gel": SealedLead, "sla": SealedLead,
	"floodedleadacid": FloodedLead, "floodedlead": FloodedLead, "wetleadacid": FloodedLead, "ventedleadacid": FloodedLead,
	"nimh": NickelMetalHydride, "nickelmetalhydride": NickelMetalHydride,
}

// String returns the name of the chemistry as ParseChemistry reads it.
func (c Chemistry) String() string {
	if c.known() {
		return chemistryNames[c]
	}
	return "no chemistry"
}

func (c Chemistry) known() bool { return c >= LiFePO4 && c <= NickelMetalHydride }

// ParseChemistry returns the chemistry of a name: "LiFePO4", "LFP", "Li-ion",
// "AGM", "sealed lead-acid", "NiMH". Case, spaces, hyphens and brackets do not
// matter. "lead-acid" alone is refused, for the sealed and the flooded kind
// take different voltages. The error is a *stationphysics.NameError that lists the
// known names and proposes none.
func ParseChemistry(name string) (Chemistry, error) {
	key := strings.Map(func(r rune) rune {
		switch r {
		case ' ', '-', '_', '(', ')', ',', '\t':
			return -1
		}
		return r
	}, strings.ToLower(name))
	if c, ok := aliases[key]; ok {
		return c, nil
	}
	return 0, unknown(name)
}

// Chemistries lists the chemistries that the package knows, the best treated
// first.
func Chemistries() []Chemistry {
	return []Chemistry{LiFePO4, LithiumIon, SealedLead, FloodedLead, NickelMetalHydride}
}

// unknown is the error of a name. It proposes none: a chemistry that was guessed
// is a charge voltage that was guessed.
func unknown(name string) error {
	return &stationphysics.NameError{Kind: "chemistry", Name: name, Known: append([]string(nil), chemistryNames[1:]...)}
}

// The most cells in series that the package takes for a station's pack: 32
// lead-acid or 20 lithium cells make 64 V, the end of low voltage practice.
const maxCells = 32

var (
	cellRange = limit.Range{Quantity: "number of cells in series", Min: 1, Max: maxCells}
	// Below 30 mAh there are only button cells; above 400 Ah a figure is
	// rather the mAh of a small cell.
	capacityRange = limit.Range{Quantity: "capacity", Unit: "Ah", Min: 0.03, Max: 400,
		Slips: []limit.Slip{{Min: 400, Max: 400_000, Looks: "milliampere-hours"}}}
	// What a cell of any of the chemistries may be taken through and still be
	// calculated with: outside, it is no longer the same cell.
	survivalRange = limit.Range{Quantity: "cell temperature", Unit: "°C", Min: survivalMinC, Max: survivalMaxC,
		Slips: []limit.Slip{{Min: 233, Max: 358, Looks: "kelvins"}, {Min: 85.001, Max: 185, Looks: "degrees Fahrenheit"}}}
)

const (
	survivalMinC = -40
	survivalMaxC = 85
)

// check returns an error unless c is a known chemistry and cells a sensible
// number of cells.
func (c Chemistry) check(cells int) error {
	if !c.known() {
		return unknown(c.String())
	}
	return cellRange.Check(float64(cells))
}
