package battery

import "math"

var nan = math.NaN()

// Limits returns the published limits of the chemistry; all zero if it is not
// a known one.
func (c Chemistry) Limits() Limits {
	if !c.known() {
		return Limits{}
	}
	return limits[c]
}

var limits = [...]Limits{
	LiFePO4: {
		// The voltages agree between all sheets seen; what differs is how far
		// down a cell may be drawn (2.0 or 2.5 V) and the current in the cold.
		// Fill and Float are not in the sheets of cells: Fill is where the open
		// circuit of a full cell lies below with room for the taper, Float is
		// what makers of packs ask for, and not to hold at all is as good.
		Nominal:         Level{V: 3.2, Source: srcSunland},
		Charge:          Level{V: 3.65, SpreadV: 0.05, Source: srcSunland + "; " + srcMachine},
		Fill:            Level{V: 3.45, Source: srcPiecewise + ": a rested cell at 99.5 % stands at 3.418 V"},
		Float:           Level{V: 3.40, SpreadV: 0.05, Source: srcMemory + ": 13.5 to 13.8 V of four cells in pack manuals"},
		Overcharge:      Level{V: 3.70, Source: srcMachine + ": upper end of 3.65 ± 0.05 V, nothing is specified above"},
		Cutoff:          Level{V: 2.0, SpreadV: 0.05, Source: srcSunland + "; " + srcMachine},
		Safer:           Level{V: 2.5, Source: srcPack4S + ": 10 V of four cells"},
		ChargeWindow:    Window{0, 45, srcPack4S},
		DischargeWindow: Window{-20, 60, srcPack4S},
		StorageWindow:   Window{-20, 45, "IFR10440 sheet: for up to 3 months"},
		TaperLow:        Rate{0.02, srcMachine + ": 80 mA of 4 Ah"},
		TaperHigh:       Rate{0.05, srcSunland},
		MaxCharge:       Rate{1.0, srcMachine + ": 15 to 55 °C; see MaxChargePerH for the cold"},
		StorageSoC:      0.5,
		StorageSource:   srcSunland + ": storage is tested at half charge",
		// 90 % left after a month at half charge and 25 °C is the limit of the
		// sheet, of which half comes back: 5 % are truly gone.
		SelfDischargePctPerMonth: 2.5,
		SelfDischargeSource:      srcSunland + ": at half charge at least 95 % recovered after a month, 2.5 % of the capacity; most cells are better",
		CoulombicEfficiency:      0.998,
		CoulombicSource:          srcCoulomb,
	},
	LithiumIon: {
		// All cells whose sheet says 4.20 V: cobalt, manganese, NMC and NCA
		// oxides on graphite. Those for 4.35 or 4.40 V are outside this entry.
		Nominal:                  Level{V: 3.7, Source: srcICR26F},
		Charge:                   Level{V: 4.20, SpreadV: 0.049, Source: srcICR},
		Fill:                     Level{V: 4.10, Source: srcPiecewise + ": a rested cell at 95 % stands at 4.10 V"},
		Float:                    Level{V: 4.05, SpreadV: 0.05, Source: srcMemory + ": cells held for months are held below full"},
		Overcharge:               Level{V: 4.23, Source: srcICR + ": never above"},
		Cutoff:                   Level{V: 2.75, Source: srcICR},
		Safer:                    Level{V: 3.0, Source: "a seller's note on 18650 cells"},
		ChargeWindow:             Window{0, 45, srcICR},
		DischargeWindow:          Window{-20, 60, srcICR},
		StorageWindow:            Window{-20, 45, srcICR26F + ": for 3 months"},
		TaperLow:                 Rate{0.02, srcLi2600},
		TaperHigh:                Rate{0.05, "INR18650-25R sheet: 125 mA of 2.5 Ah"},
		MaxCharge:                Rate{0.5, srcICR26F + ": standard charge; see MaxChargePerH for the cold"},
		StorageSoC:               0.5,
		StorageSource:            srcICR26F,
		SelfDischargePctPerMonth: 5,
		SelfDischargeSource:      "lithium-ion cell sheet: more than 95 % retained after 30 days at 25 °C",
		CoulombicEfficiency:      0.998,
		CoulombicSource:          srcCoulomb,
	},
	SealedLead: {
		// Gel at the low end of the charge voltage, absorbent glass mat 0.05 V
		// higher; both take 3 mV a kelvin off the float and 5 mV off the charge
		// voltage. A sealed cell cannot be topped up with water: what it gases
		// is lost.
		Nominal:                  Level{V: 2.0, Source: srcWP},
		Charge:                   Level{V: 2.40, SpreadV: 0.05, VPerK: -0.005, Source: "deep-cycle user's guide table 6, gel"},
		Fill:                     Level{V: 2.30, VPerK: -0.005, Source: "12MQ instructions: cyclic charge from 2.30 V on"},
		Float:                    Level{V: 2.25, SpreadV: 0.02, VPerK: -0.003, Source: srcNarada},
		Overcharge:               Level{V: 2.50, VPerK: -0.005, Source: srcWP + ": 15 V of six cells, the upper end of cyclic charging"},
		Cutoff:                   Level{V: 1.75, SpreadV: 0.05, Source: srcWP + ": 20 h rate"},
		Safer:                    Level{V: 1.90, Source: srcRolls + ": disconnect at 1.85 to 1.95 V"},
		ChargeWindow:             Window{0, 40, srcWP + ": 40 °C; cold end " + srcMemory + ", the sheet has -15 °C"},
		DischargeWindow:          Window{-15, 50, srcWP},
		StorageWindow:            Window{-15, 40, srcWP},
		TaperLow:                 Rate{0.005, srcMemory},
		TaperHigh:                Rate{0.02, "article on charging gel and AGM batteries"},
		MaxCharge:                Rate{0.2, srcRolls + ": AGM; gel takes less, the battery FAQ has 0.05"},
		StorageSoC:               1,
		StorageSource:            srcMemory + ": kept full, for an empty plate sulphates",
		SelfDischargePctPerMonth: 3,
		SelfDischargeSource:      "a battery maker's page on care: about 3 %",
		CoulombicEfficiency:      0.92,
		CoulombicSource:          srcRolls + ": AGM takes 105 to 110 % back",
	},
	FloodedLead: {
		// An occasional equalising charge above these voltages, with the caps
		// open and someone present, is part of its care and not of this entry.
		Nominal:                  Level{V: 2.0, Source: srcTrojan},
		Charge:                   Level{V: 2.40, SpreadV: 0.05, VPerK: -0.005, Source: "flooded deep-cycle 96 Ah sheet: 2.40 V a cell"},
		Fill:                     Level{V: 2.35, VPerK: -0.005, Source: srcMemory},
		Float:                    Level{V: 2.19, SpreadV: 0.04, VPerK: -0.003, Source: "battery FAQ: 2.15 to 2.23 V a cell"},
		Overcharge:               Level{V: 2.583, VPerK: -0.005, Source: "battery FAQ: stop or trickle at 2.583 V a cell"},
		Cutoff:                   Level{V: 1.75, SpreadV: 0.05, Source: "flooded battery guidelines: not beyond 1.75 V"},
		Safer:                    Level{V: 1.95, Source: srcRolls + ": disconnect at 1.90 to 1.95 V"},
		ChargeWindow:             Window{0, 50, "flooded deep-cycle 96 Ah sheet: stop at 50 °C; cold end " + srcMemory},
		DischargeWindow:          Window{-15, 50, "care guide of tubular batteries"},
		StorageWindow:            Window{-15, 40, srcMemory},
		TaperLow:                 Rate{0.005, srcMemory},
		TaperHigh:                Rate{0.02, "flooded deep-cycle 96 Ah sheet: below 2 % of the capacity"},
		MaxCharge:                Rate{0.125, "battery FAQ: an eighth of the 20 h capacity"},
		StorageSoC:               1,
		StorageSource:            srcMemory + ": kept full, for an empty plate sulphates and freezes",
		SelfDischargePctPerMonth: 10,
		SelfDischargeSource:      srcRolls + ": 10 to 12 % at 25 °C",
		CoulombicEfficiency:      0.88,
		CoulombicSource:          srcMemory,
	},
	NickelMetalHydride: {
		// A NiMH cell has no charge voltage: the end of charge is a bend or a
		// fall of the voltage, or a rise of temperature. Charge, Float and
		// Overcharge stay empty, so that nothing can be trimmed to them.
		Nominal:                  Level{V: 1.2, Source: srcHHR},
		Cutoff:                   Level{V: 1.0, SpreadV: 0.1, Source: srcHHR},
		Safer:                    Level{V: 1.1, Source: "NiMH button cell catalogue: 0.9 to 1.2 V by rate"},
		ChargeWindow:             Window{0, 45, srcHHR},
		DischargeWindow:          Window{-10, 50, srcHHR + ": up to 65 °C"},
		StorageWindow:            Window{-20, 35, srcHHR + ": for less than a year"},
		TaperLow:                 Rate{0.025, srcMemory + ": trickle, a fortieth"},
		TaperHigh:                Rate{0.05, srcMemory + ": trickle, a twentieth"},
		MaxCharge:                Rate{0.1, srcHHR + ": what an uncontrolled charge may be, 16 h"},
		StorageSoC:               0.4,
		StorageSource:            srcMemory,
		SelfDischargePctPerMonth: 20,
		SelfDischargeSource:      "a maker's page on storage, 10 to 35 %: ordinary cells; low-self-discharge ones 1 to 2",
		CoulombicEfficiency:      0.7,
		CoulombicSource:          "charging guide: charge efficiency about 70 % towards the end",
	},
}

// MaxChargePerH returns the highest charge current, in A per Ah of capacity,
// at a cell temperature: 0 outside the chemistry's charge window. Lithium cells have
// steps: LiFePO4 0.2 from 0 to 5 °C, 0.5 to 15 °C, 1 above (4 Ah 26650 sheet), the
// others 0.1 from 0 to 5 °C, 0.2 to 15 °C, 0.5 above (2.6 Ah 18650 sheet). NaN for
// a temperature outside -40..85 °C and for an unknown chemistry.
func (c Chemistry) MaxChargePerH(tempC float64) (ratePerH float64) {
	if !c.known() || !survivalRange.Holds(tempC) {
		return nan
	}
	l := &limits[c]
	if !l.ChargeWindow.Holds(tempC) {
		return 0
	}
	cold, cool := l.MaxCharge.PerH, l.MaxCharge.PerH
	switch c {
	case LiFePO4:
		cold, cool = 0.2, 0.5
	case LithiumIon:
		cold, cool = 0.1, 0.2
	}
	switch {
	case tempC < 5:
		return cold
	case tempC < 15:
		return cool
	}
	return l.MaxCharge.PerH
}

// PackLimits are the limits of cells in series, in volts of the whole pack at
// one cell temperature. A limit the chemistry does not have is NaN.
type PackLimits struct {
	Chemistry   Chemistry
	Cells       int     // in series
	NominalV    float64 // the name of the pack, not a limit
	ChargeV     float64 // full charge at constant voltage
	ChargeMinV  float64 // ChargeV less the spread of its source
	ChargeMaxV  float64 // ChargeV with that spread
	FloatV      float64 // held for months
	OverchargeV float64 // above this no sheet holds any more
	CutoffV     float64 // lowest voltage under load that the sheet allows
	SaferV      float64 // end of discharge that leaves room for unequal cells
}

// PackLimits returns the limits of cells in series at a cell temperature, which
// moves the lead-acid values only. cells 1..32, tempC -40..85. The error is a
// *stationphysics.RangeError or a *stationphysics.NameError.
func (c Chemistry) PackLimits(cells int, tempC float64) (PackLimits, error) {
	if err := c.check(cells); err != nil {
		return PackLimits{}, err
	}
	if err := survivalRange.Check(tempC); err != nil {
		return PackLimits{}, err
	}
	l, n := &limits[c], float64(cells)
	at := func(lv Level) float64 {
		if !lv.Exists() {
			return nan
		}
		return n * lv.At(tempC)
	}
	p := PackLimits{Chemistry: c, Cells: cells, NominalV: at(l.Nominal), ChargeV: at(l.Charge), FloatV: at(l.Float),
		OverchargeV: at(l.Overcharge), CutoffV: at(l.Cutoff), SaferV: at(l.Safer)}
	p.ChargeMinV = p.ChargeV - n*l.Charge.SpreadV
	p.ChargeMaxV = p.ChargeV + n*l.Charge.SpreadV
	return p, nil
}
