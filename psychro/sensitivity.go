package psychro

import "math"

// A Sensitivity holds the derivatives of a result by the three readings that New
// takes: air temperature, relative humidity over water, pressure, each with the
// other two held. They carry a sensor's uncertainty to the result (JCGM 100:2008
// eq. 10). The unit is that of the result per kelvin, per percent of relative
// humidity and per hPa.
type Sensitivity struct {
	PerK   float64 // by the air temperature
	PerPct float64 // by the relative humidity over water
	PerHPa float64 // by the air pressure
}

// Combined returns the standard uncertainty of the result for the standard
// uncertainties of the three readings, taken as independent: the root of the sum
// of squares, in the unit of the result. The error of the linearisation is not in it.
func (d Sensitivity) Combined(temperatureK, humidityPct, pressureHPa float64) (uncertainty float64) {
	return math.Sqrt(square(d.PerK*temperatureK) + square(d.PerPct*humidityPct) + square(d.PerHPa*pressureHPa))
}

func square(x float64) float64 { return x * x }

// noSensitivity is the answer where the result is not defined.
var noSensitivity = Sensitivity{nan, nan, nan}

// Sensitivity returns the derivatives of a quantity, worked out from its own
// equations, not by differences. Its fields are NaN where the quantity is not
// defined or does not exist, and in completely dry air.
func (s State) Sensitivity(q Quantity) Sensitivity {
	if v := s.value(q); v != v {
		return noSensitivity
	}
	w := saturatedAir(Water, s.t, s.p)
	switch q {
	case RelativeHumidityPct:
		return Sensitivity{0, 1, 0}
	case HeatIndexC:
		_, byT, byR := heatIndex(fahrenheit(s.t), s.RelativeHumidityPct())
		return Sensitivity{byT, byR / 1.8, 0}
	case WetBulbC:
		return s.Sensitivity(bulbOf[s.WetBulbCover()])
	}
	byT, byP, byX := s.partials(q, w)
	return Sensitivity{
		PerK:   byT + byX*s.x*w.lnT,
		PerPct: byX * w.x * 0.01,
		PerHPa: byP + byX*s.x*w.lnP,
	}
}

var bulbOf = [...]Quantity{Water: WaterBulbC, Ice: IceBulbC}

// partials returns the derivatives of a quantity by temperature, pressure and
// mole fraction; w is air saturated over water.
func (s State) partials(q Quantity, w saturated) (byT, byP, byX float64) {
	t, p, x := s.t, s.p, s.x
	tk, y := t+kelvin, 1-x
	mass := molarMass(x)
	m := derivativesAt(t, x, p)
	switch q {
	case VapourPressureHPa:
		return 0, x, p
	case VapourDeficitHPa:
		return p * w.x * w.lnT, w.x - x + p*w.x*w.lnP, -p
	case HumidityOverIcePct:
		i := saturatedAir(Ice, t, p)
		h := 100 * x / i.x
		return -h * i.lnT, -h * i.lnP, h / x
	case DewPointC:
		return s.pointPartials(Water, s.DewPointC())
	case FrostPointC:
		return s.pointPartials(Ice, s.FrostPointC())
	case WaterBulbC:
		return s.bulbPartials(Water, s.WaterBulbC(), m)
	case IceBulbC:
		return s.bulbPartials(Ice, s.IceBulbC(), m)
	case MixingRatioGPerKg:
		return 0, 0, 1000 * molarRatio / (y * y)
	case SpecificHumidityGPerKg:
		return 0, 0, 1000 * molarWater * molarAir / (mass * mass)
	case AbsoluteHumidityGPerM3:
		v := s.AbsoluteHumidityGPerM3()
		return v * (-1/tk - m.zT/m.z), v * (1/p - m.zP/m.z), v * (1/x - m.zX/m.z)
	case DegreeOfSaturationFrac:
		v := s.DegreeOfSaturationFrac()
		u := -v / (1 - w.x)
		return u * w.lnT, u * w.lnP, v / (x * y)
	case DensityKgPerM3:
		v := s.DensityKgPerM3()
		return v * (-1/tk - m.zT/m.z), v * (1/p - m.zP/m.z), v * ((molarWater-molarAir)/mass - m.zX/m.z)
	case SpecificVolumeM3PerKg:
		v := s.SpecificVolumeM3PerKg()
		return v * (1/tk + m.zT/m.z), v * (m.zP/m.z - 1/p), v * (1/y + m.zX/m.z)
	case EnthalpyKJPerKg:
		u := 1e-3 / (y * molarAir)
		return u * m.hT, u * m.hP, u * (m.hX + m.h/y)
	case EntropyKJPerKgK:
		u := 1e-3 / (y * molarAir)
		return u * m.sT, u * m.sP, u * (m.sX + molarEntropy(t, x, p)/y)
	case VirtualTemperatureC:
		return molarAir / mass, 0, tk * molarAir * (molarAir - molarWater) / (mass * mass)
	case PotentialTemperatureC:
		v := s.PotentialTemperatureC() + kelvin
		return v / tk, -poisson * v / p, 0
	case EquivalentPotentialTemperatureC:
		return s.equivalentPartials()
	case CondensationLevelTempC, CondensationLevelPressureHPa, CondensationLevelRiseM:
		return s.levelPartials(q, m)
	default: // HumidexC
		d := s.DewPointC() + kelvin
		_, byP, byX = s.pointPartials(Water, s.DewPointC())
		u := 0.5555 * humidexPressure(d-kelvin) * 5417.7530 / (d * d)
		return 1, u * byP, u * byX
	}
}

// pointPartials differentiates x = xs(td, p).
func (s State) pointPartials(over Phase, td float64) (byT, byP, byX float64) {
	a := saturatedAir(over, td, s.p)
	return 0, -a.lnP / a.lnT, 1 / (s.x * a.lnT)
}

// bulbPartials differentiates the balance of the wet bulb per mole of dry air,
// hs(tw, p) - h(t, p, x) - (rs(tw, p) - r(x)) hl(tw, p) = 0.
func (s State) bulbPartials(over Phase, tw float64, m molar) (byT, byP, byX float64) {
	p, y := s.p, 1-s.x
	a := saturatedAir(over, tw, p)
	b := derivativesAt(tw, a.x, p)
	ya := 1 - a.x
	hl, hl1 := condensedEnthalpy(over, tw, p)
	added := a.x/ya - s.x/y
	// What the balance gains by the mole fraction at the bulb.
	lead := (b.hX*ya + b.h - hl) / (ya * ya)
	phiW := b.hT/ya + lead*a.x*a.lnT - added*hl1
	phiP := b.hP/ya + lead*a.x*a.lnP - m.hP/y - added*condensedByPressure(over)
	phiX := -(m.hX*y + m.h - hl) / (y * y)
	return m.hT / (y * phiW), -phiP / phiW, -phiX / phiW
}

// equivalentPartials differentiates Bolton's eq. 43 and 21.
func (s State) equivalentPartials() (byT, byP, byX float64) {
	tk, y := s.t+kelvin, 1-s.x
	v := s.EquivalentPotentialTemperatureC() + kelvin
	r := s.MixingRatioGPerKg()
	rX := 1000 * molarRatio / (y * y)
	u := 3.5*math.Log(tk) - s.l - 4.805
	tl := 2840/u + 55
	lp := math.Log(1000 / s.p)
	f := r * (1 + 0.81e-3*r)
	byTL := -3.376 / (tl * tl) * f
	byU := byTL * -2840 / (u * u)
	byR := -0.28e-3*poisson*lp + (3.376/tl-0.00254)*(1+2*0.81e-3*r)
	byT = v * (1/tk + byU*3.5/tk)
	byP = v * (-poisson*(1-0.28e-3*r)/s.p - byU/s.p)
	byX = v * (byR*rX - byU/s.x)
	return byT, byP, byX
}

// levelPartials differentiates the two conditions of CondensationLevel, and the
// height from the enthalpy.
func (s State) levelPartials(q Quantity, m molar) (byT, byP, byX float64) {
	c := s.CondensationLevel()
	a := saturatedAir(Water, c.TempC, c.PressureHPa)
	b := derivativesAt(c.TempC, s.x, c.PressureHPa)
	det := a.lnT*b.sP - a.lnP*b.sT
	// dt and dp of the level for a change e1 of ln x and e2 of the entropy
	// at the start over that at the level.
	solve := func(e1, e2 float64) (dt, dp float64) {
		return (e1*b.sP - a.lnP*e2) / det, (a.lnT*e2 - b.sT*e1) / det
	}
	tT, pT := solve(0, m.sT)
	tP, pP := solve(0, m.sP)
	tX, pX := solve(1/s.x, m.sX-b.sX)
	switch q {
	case CondensationLevelTempC:
		return tT, tP, tX
	case CondensationLevelPressureHPa:
		return pT, pP, pX
	}
	u := 1 / (molarMass(s.x) * gravity)
	byT = u * (m.hT - b.hT*tT - b.hP*pT)
	byP = u * (m.hP - b.hT*tP - b.hP*pP)
	byX = u*(m.hX-b.hX-b.hT*tX-b.hP*pX) - c.RiseM*(molarWater-molarAir)/molarMass(s.x)
	return byT, byP, byX
}

// WindChillSensitivity returns the derivatives of WindChillC, and that by the wind
// speed; NaN where it is not defined.
func (s State) WindChillSensitivity(windMPerS float64) (d Sensitivity, perMPerS float64) {
	if !windChillDefined(s.t, windMPerS) {
		return noSensitivity, nan
	}
	v := math.Pow(3.6*windMPerS, 0.16)
	return Sensitivity{PerK: 0.6215 + 0.3965*v}, 0.16 * v / windMPerS * (0.3965*s.t - 11.37)
}

// ApparentTemperatureSensitivity returns the derivatives of ApparentTemperatureC,
// and that by the wind speed; NaN where it is not defined.
func (s State) ApparentTemperatureSensitivity(windMPerS float64) (d Sensitivity, perMPerS float64) {
	if !apparentDefined(s.t, windMPerS) {
		return noSensitivity, nan
	}
	e := s.Sensitivity(VapourPressureHPa)
	return Sensitivity{1 + 0.33*e.PerK, 0.33 * e.PerPct, 0.33 * e.PerHPa}, -0.70
}
