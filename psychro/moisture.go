package psychro

// MixingRatioGPerKg returns the mass of vapour in g per kg of dry air, the
// humidity ratio of air conditioning times 1000.
func (s State) MixingRatioGPerKg() float64 { return 1000 * molarRatio * s.x / (1 - s.x) }

// SpecificHumidityGPerKg returns the mass of vapour in g per kg of moist air.
func (s State) SpecificHumidityGPerKg() float64 { return 1000 * molarWater * s.x / molarMass(s.x) }

// AbsoluteHumidityGPerM3 returns the mass of vapour in g per m³ of moist air.
func (s State) AbsoluteHumidityGPerM3() float64 {
	return 1000 * molarWater * s.x * s.molarDensity()
}

// DegreeOfSaturationFrac returns the mixing ratio over that of air saturated over
// water at the same temperature and pressure. In warm air it lies below the
// relative humidity. NaN where the air cannot be saturated because water boils.
func (s State) DegreeOfSaturationFrac() float64 {
	xs := s.saturation(Water)
	if !(xs < 1) {
		return nan
	}
	return s.x * (1 - xs) / ((1 - s.x) * xs)
}

// DensityKgPerM3 returns the density of the moist air in kg/m³, as a real gas.
func (s State) DensityKgPerM3() float64 { return molarMass(s.x) * s.molarDensity() }

// SpecificVolumeM3PerKg returns the volume in m³ of the moist air that contains
// 1 kg of dry air, as psychrometric charts give it; it is not the reciprocal of
// the density.
func (s State) SpecificVolumeM3PerKg() float64 {
	return 1 / ((1 - s.x) * molarAir * s.molarDensity())
}

// molarMass is the molar mass of moist air in kg/mol.
func molarMass(x float64) float64 { return molarAir + x*(molarWater-molarAir) }

// molarDensity is in mol/m³.
func (s State) molarDensity() float64 {
	return 100 * s.p / (gasConstant * (s.t + kelvin) * (1 + compressibility(reduced(s.t), s.x, s.p)))
}

// EnthalpyKJPerKg returns the enthalpy in kJ of the moist air that contains 1 kg
// of dry air. Its zeros are those of IAPWS G8-10: dry air at 0 °C and
// 1013.25 hPa, liquid water at the triple point.
func (s State) EnthalpyKJPerKg() float64 {
	return molarEnthalpy(s.t, s.x, s.p) / ((1 - s.x) * molarAir) * 1e-3
}

// EntropyKJPerKgK returns the entropy in kJ/K of the moist air that contains 1 kg
// of dry air, with the same zeros.
func (s State) EntropyKJPerKgK() float64 {
	return molarEntropy(s.t, s.x, s.p) / ((1 - s.x) * molarAir) * 1e-3
}
