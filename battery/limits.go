package battery

// A Level is one voltage of one cell, with the spread its source allows and
// the source itself. A Level whose source is empty does not exist for the
// chemistry (NiMH has no charge voltage) and its V is zero.
type Level struct {
	V       float64 // voltage of one cell, V
	SpreadV float64 // half-width that the source gives, V; 0 where it gives none
	VPerK   float64 // change per kelvin above 25 °C, V/K: the compensation of lead-acid charge voltages
	Source  string  // document, and "from memory" where it was not at hand
}

// At returns the level at a cell temperature of -40 to 85 °C, NaN outside; a
// compensated level is held at the ends of the range for which its source
// gives the compensation, 5 and 40 °C.
func (l Level) At(tempC float64) (cellV float64) {
	if !survivalRange.Holds(tempC) {
		return nan
	}
	if l.VPerK == 0 {
		return l.V
	}
	return l.V + l.VPerK*(min(max(tempC, compensationMinC), compensationMaxC)-referenceC)
}

// Exists reports whether the chemistry has this level.
func (l Level) Exists() bool { return l.Source != "" }

// A Window is a range of cell temperature, ends included.
type Window struct {
	MinC, MaxC float64 // °C
	Source     string
}

// Holds reports whether a temperature lies in the window; NaN does not.
func (w Window) Holds(tempC float64) bool { return tempC >= w.MinC && tempC <= w.MaxC }

// A Rate is a current as a multiple of the capacity: 0.05 A for every Ah.
type Rate struct {
	PerH   float64 // A per Ah of capacity, 1/h
	Source string
}

// Limits are the published limits of one cell of a chemistry. They are
// typical sheets, not the sheet of a particular cell, which goes first where
// it is at hand. All voltages are of one cell.
type Limits struct {
	Nominal    Level // the name of the cell, not a limit
	Charge     Level // constant-voltage stage of a full charge
	Fill       Level // the lowest constant voltage that still fills the cell in practice
	Float      Level // held for months
	Overcharge Level // above this no sheet holds any more: charging must have stopped
	Cutoff     Level // the lowest voltage under load that the sheet allows
	Safer      Level // the discharge end that leaves room for unequal cells

	ChargeWindow    Window // cell temperature while charging
	DischargeWindow Window // cell temperature while discharging
	StorageWindow   Window // cell temperature at rest for months

	TaperLow  Rate // the charge is full when the current falls to between these two
	TaperHigh Rate
	MaxCharge Rate // highest charge current inside the charge window

	StorageSoC               float64 // state of charge for months at rest
	StorageSource            string
	SelfDischargePctPerMonth float64 // of the capacity, at 25 °C
	SelfDischargeSource      string
	CoulombicEfficiency      float64 // charge that comes out again, of the charge that went in
	CoulombicSource          string
}

const (
	referenceC       = 25 // all compensations and capacities refer to 25 °C
	compensationMinC = 5
	compensationMaxC = 40
)

// Sources named more than once.
const (
	srcSunland = "IFR26650PE 3.4 Ah sheet"
	srcMachine = "LiFePO4 26650 4 Ah sheet"
	srcPack4S  = "LiFePO4 4S 3.6 Ah pack sheet"
	srcICR     = "ICR18650 sheet"
	srcICR26F  = "ICR18650-26F specification"
	srcLi2600  = "18650 2.6 Ah sheet"
	srcCoulomb = "public measurements of 18650 cells: 99.1 to 99.9 %"
	srcWP      = "sealed 12 V 5 Ah sheet"
	srcRolls   = "maker's manual of flooded and AGM batteries"
	srcTrojan  = "maker's answers on temperature, flooded"
	srcHHR     = "NiMH handbook of 2005"
	srcNarada  = "12NDF100 manual p. 19"
	srcMemory  = "from memory"
)
