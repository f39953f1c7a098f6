package psychro

// A Quantity names one result of a State, for Sensitivity and Batch. It bears the
// name of the method that returns the result, those of CondensationLevel its
// name and the field's.
type Quantity uint8

// The quantities. Comfort indices that need the wind have methods of their own.
const (
	VapourPressureHPa               Quantity = iota // vapour pressure, hPa
	VapourDeficitHPa                                // vapour pressure missing to saturation over water, hPa
	RelativeHumidityPct                             // relative humidity over water, %
	HumidityOverIcePct                              // relative humidity over ice, %
	DewPointC                                       // dew point, °C
	FrostPointC                                     // frost point, °C
	WetBulbC                                        // wet bulb with the cover that WetBulbCover tells, °C
	WaterBulbC                                      // wet bulb with liquid water, °C
	IceBulbC                                        // wet bulb with ice, °C
	MixingRatioGPerKg                               // vapour per dry air, g/kg
	SpecificHumidityGPerKg                          // vapour per moist air, g/kg
	AbsoluteHumidityGPerM3                          // vapour per volume, g/m³
	DegreeOfSaturationFrac                          // mixing ratio over that of saturated air
	DensityKgPerM3                                  // density of the moist air, kg/m³
	SpecificVolumeM3PerKg                           // volume per dry air, m³/kg
	EnthalpyKJPerKg                                 // enthalpy per dry air, kJ/kg
	EntropyKJPerKgK                                 // entropy per dry air, kJ/(kg K)
	VirtualTemperatureC                             // virtual temperature, °C
	PotentialTemperatureC                           // potential temperature, °C
	EquivalentPotentialTemperatureC                 // equivalent potential temperature, °C
	CondensationLevelTempC                          // temperature at the lifting condensation level, °C
	CondensationLevelPressureHPa                    // pressure there, hPa
	CondensationLevelRiseM                          // its height above the start, m
	HeatIndexC                                      // heat index, °C
	HumidexC                                        // humidex, °C
	quantities                                      // their number
)

// results in the order of the quantities.
var results = [quantities]func(State) float64{
	State.VapourPressureHPa, State.VapourDeficitHPa, State.RelativeHumidityPct, State.HumidityOverIcePct,
	State.DewPointC, State.FrostPointC, State.WetBulbC, State.WaterBulbC, State.IceBulbC,
	State.MixingRatioGPerKg, State.SpecificHumidityGPerKg, State.AbsoluteHumidityGPerM3, State.DegreeOfSaturationFrac,
	State.DensityKgPerM3, State.SpecificVolumeM3PerKg, State.EnthalpyKJPerKg, State.EntropyKJPerKgK,
	State.VirtualTemperatureC, State.PotentialTemperatureC, State.EquivalentPotentialTemperatureC,
	func(s State) float64 { return s.CondensationLevel().TempC },
	func(s State) float64 { return s.CondensationLevel().PressureHPa },
	func(s State) float64 { return s.CondensationLevel().RiseM },
	func(s State) float64 { v, _ := s.HeatIndexC(); return v },
	func(s State) float64 { v, _ := s.HumidexC(); return v },
}

// value returns a quantity, NaN for one that does not exist.
func (s State) value(q Quantity) float64 {
	if q >= quantities {
		return nan
	}
	return results[q](s)
}

// Batch sets dst[i] to a quantity of the air with tempC[i], rhPct[i] and
// pressureHPa[i], each as New takes it; where New would return an error, or the
// quantity is not defined, dst[i] is NaN. The values are those of the methods.
// It allocates nothing and panics if the lengths differ.
func Batch(dst []float64, q Quantity, tempC, rhPct, pressureHPa []float64) {
	if len(tempC) != len(dst) || len(rhPct) != len(dst) || len(pressureHPa) != len(dst) {
		panic(lengthsDiffer)
	}
	if q >= quantities {
		for i := range dst {
			dst[i] = nan
		}
		return
	}
	f := results[q]
	for i := range dst {
		t, r, p := tempC[i], rhPct[i], pressureHPa[i]
		if !(airTemperature.Holds(t) && relativeHumidity.Holds(r) && stationPressure.Holds(p)) {
			dst[i] = nan
			continue
		}
		x := 0.01 * r * saturatedFraction(Water, t, p)
		if !(x <= maxFraction) {
			dst[i] = nan
			continue
		}
		dst[i] = f(stateOf(t, p, x))
	}
}

// BatchSaturationPressureHPa sets dst[i] to SaturationPressureHPa(tempC[i]). It
// allocates nothing and panics if the lengths differ.
func BatchSaturationPressureHPa(dst, tempC []float64) {
	if len(tempC) != len(dst) {
		panic(lengthsDiffer)
	}
	for i, t := range tempC {
		dst[i] = SaturationPressureHPa(t)
	}
}

const lengthsDiffer = "psychro: slice lengths differ"
