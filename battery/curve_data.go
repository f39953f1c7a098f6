package battery

// Curve returns the open-circuit curve of a typical cell of the chemistry; the
// zero Curve if it is not a known one.
//
//   - LiFePO4: an APR18650M1B cell between charge and discharge at a
//     thirty-second of its capacity, reduced to ten points by Sunil, Pattipati
//     and Balasingam (IEEE Trans. Instrum. Meas., 2025); one straight line from
//     30 to 98 % replaces the two steps of the plateau, at most 15 mV away.
//     The temperature coefficients are from memory (-0.3 mV/K near empty, up
//     to +0.15 mV/K near full).
//   - lithium-ion: an INR21700-P42A cell from the same paper.
//   - lead-acid: 1.97 V empty to 2.12 V full, straight, +0.2 mV/K: from memory.
//   - NiMH: from memory. After a charge it stands some 50 mV higher for days.
func (c Chemistry) Curve() Curve {
	if !c.known() {
		return Curve{}
	}
	return curves[c]
}

const srcPiecewise = "Sunil, Pattipati and Balasingam 2025"

var leadCurve = Curve{source: srcMemory, pts: []CurvePoint{
	{0, 1.97, 0.0002}, {1, 2.12, 0.0002}, {1.05, 2.22, 0.0002},
}}

var curves = [...]Curve{
	LiFePO4: {source: srcPiecewise + ", APR18650M1B; temperature coefficients from memory", pts: []CurvePoint{
		{0, 2.0102, -0.0003}, {0.0033, 2.4177, -0.0003}, {0.0117, 2.7405, -0.0003}, {0.0267, 2.9299, -0.0003}, {0.0534, 3.0872, -0.0003},
		{0.0885, 3.1942, -0.0002}, {0.2972, 3.2772, -0.0001}, {0.9833, 3.3511, 0.00015}, {0.9950, 3.4180, 0.00015}, {1, 3.5981, 0.00015},
	}},
	LithiumIon: {source: srcPiecewise + ", INR21700-P42A", pts: []CurvePoint{
		{0, 2.5061, 0}, {0.0151, 2.8981, 0}, {0.0452, 3.1461, 0}, {0.0955, 3.3231, 0}, {0.1508, 3.4218, 0},
		{0.2915, 3.5737, 0}, {0.4573, 3.7017, 0}, {0.8342, 4.0637, 0}, {0.9497, 4.1009, 0}, {1, 4.1932, 0},
	}},
	SealedLead:  leadCurve,
	FloodedLead: leadCurve,
	NickelMetalHydride: {source: srcMemory, pts: []CurvePoint{
		{0, 1.10, 0}, {0.05, 1.20, 0}, {0.2, 1.25, 0}, {0.5, 1.28, 0}, {0.8, 1.31, 0}, {0.95, 1.35, 0}, {1, 1.38, 0}, {1.1, 1.45, 0},
	}},
}
