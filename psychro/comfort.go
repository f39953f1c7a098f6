package psychro

import "math"

// The indices of comfort answer "not defined" outside the range they were made
// for: the second result is false and the first NaN.

func fahrenheit(tempC float64) float64 { return tempC*1.8 + 32 }
func celsius(tempF float64) float64    { return (tempF - 32) / 1.8 }

// Heat index: limits of the regression in °F. The chart of the US National
// Weather Service begins at 80 °F and ends at 137 °F; the adjustment for dry air
// reaches to 112 °F.
const (
	heatLowF, heatHighF = 80, 112
	heatTopF            = 137
)

// HeatIndexC returns the heat index in °C of the US National Weather Service:
// the regression of Rothfusz (1990, SR 90-23) on Steadman's table, with the
// adjustments for dry and for humid air and the simple formula where that gives
// less than 80 °F. It holds in the shade and within 1.3 °F (0.7 K) of the table.
// Defined from 80 to 112 °F (26.7 to 44.4 °C) of air temperature, up to the
// 137 °F (58.3 °C) at which the service's chart ends: beyond it the heat is more
// dangerous, not less.
func (s State) HeatIndexC() (heatIndexC float64, defined bool) {
	hi, _, _ := heatIndex(fahrenheit(s.t), s.RelativeHumidityPct())
	return celsius(hi), hi == hi
}

// heatIndex returns the index in °F with its derivatives by temperature in °F and
// humidity in %; NaN where not defined.
func heatIndex(t, r float64) (hi, byT, byR float64) {
	// 26.66666... °C must not fall out by rounding.
	if !(t >= heatLowF-1e-9 && t <= heatHighF+1e-9 && r >= 0) {
		return nan, nan, nan
	}
	hi = 0.5 * (0.5*(t+61+(t-68)*1.2+r*0.094) + t)
	if hi < 80 {
		return hi, 1.05, 0.0235
	}
	hi = -42.379 + 2.04901523*t + 10.14333127*r - 0.22475541*t*r - 6.83783e-3*t*t - 5.481717e-2*r*r +
		1.22874e-3*t*t*r + 8.5282e-4*t*r*r - 1.99e-6*t*t*r*r
	byT = 2.04901523 - 0.22475541*r - 2*6.83783e-3*t + 2*1.22874e-3*t*r + 8.5282e-4*r*r - 2*1.99e-6*t*r*r
	byR = 10.14333127 - 0.22475541*t - 2*5.481717e-2*r + 1.22874e-3*t*t + 2*8.5282e-4*t*r - 2*1.99e-6*t*t*r
	switch {
	case r < 13:
		w := (17 - math.Abs(t-95)) / 17
		if w > 0 {
			q := math.Sqrt(w)
			hi -= (13 - r) / 4 * q
			byR += q / 4
			byT += (13 - r) / 4 * math.Copysign(1, t-95) / (34 * q)
		}
	case r > 85 && t <= 87:
		hi += (r - 85) / 10 * (87 - t) / 5
		byR += (87 - t) / 50
		byT -= (r - 85) / 50
	}
	if hi > heatTopF {
		return nan, nan, nan
	}
	return hi, byT, byR
}

// HumidexC returns the humidex of the Meteorological Service of Canada (Masterson
// and Richardson 1979) in °C, t + 0.5555 (e - 10 hPa) with e from the dew point by
// a formula of its own. Defined from 20 to 50 °C where e is at least 10 hPa;
// with less moisture it would fall below the air temperature, which is not
// reported.
func (s State) HumidexC() (humidexC float64, defined bool) {
	if !(s.t >= 20 && s.t <= 50) {
		return nan, false
	}
	e := humidexPressure(s.DewPointC())
	if !(e >= 10) {
		return nan, false
	}
	return s.t + 0.5555*(e-10), true
}

// humidexPressure is the vapour pressure of the humidex formula in hPa, which
// has the triple point in one place and the ice point in the other.
func humidexPressure(dewC float64) float64 {
	return 6.11 * math.Exp(5417.7530*(1/273.16-1/(273.15+dewC)))
}

// WindChillC returns the wind chill of 2001 (Joint Action Group for Temperature
// Indices, used by the US and Canadian services) in °C for the wind speed at
// 10 m: 13.12 + 0.6215 t - 11.37 v^0.16 + 0.3965 t v^0.16, v in km/h. Defined at
// 10 °C or less, down to -50 °C where the charts end, and from 4.8 km/h
// (1.34 m/s) on; to 50 m/s, a bound set here since none is stated.
func (s State) WindChillC(windMPerS float64) (windChillC float64, defined bool) {
	if !windChillDefined(s.t, windMPerS) {
		return nan, false
	}
	v := math.Pow(3.6*windMPerS, 0.16)
	return 13.12 + 0.6215*s.t + v*(0.3965*s.t-11.37), true
}

func windChillDefined(tempC, windMPerS float64) bool {
	return tempC >= -50 && tempC <= 10 && windMPerS*3.6 >= 4.8-1e-9 && windMPerS <= 50
}

// ApparentTemperatureC returns the apparent temperature in °C of Steadman (1994)
// in the form without radiation that the Australian Bureau of Meteorology gives:
// t + 0.33 e - 0.70 v - 4.00 with e in hPa and the wind speed v at 10 m in m/s.
// Defined from -10 to 50 °C and to 20 m/s, bounds set here: the regression is
// given without any.
func (s State) ApparentTemperatureC(windMPerS float64) (apparentC float64, defined bool) {
	if !apparentDefined(s.t, windMPerS) {
		return nan, false
	}
	return s.t + 0.33*s.VapourPressureHPa() - 0.70*windMPerS - 4, true
}

func apparentDefined(tempC, windMPerS float64) bool {
	return tempC >= -10 && tempC <= 50 && windMPerS >= 0 && windMPerS <= 20
}

// CondensationMarginK returns by how many kelvins a surface at surfaceC, a wall or a
// lens, is warmer than the temperature at which water deposits on it from this
// air: the dew point, or for a surface below 0 °C the frost point, where rime
// grows before dew. Negative means that it gets wet or white. The second result
// is the deposit. The margin moves with the surface one to one, and against the
// readings as the Sensitivity of DewPointC or FrostPointC, with the sign turned.
// NaN for surfaces outside -100..100 °C.
func (s State) CondensationMarginK(surfaceC float64) (marginK float64, deposit Phase) {
	if !airTemperature.Holds(surfaceC) {
		return nan, Water
	}
	if surfaceC < 0 {
		if f := s.FrostPointC(); f == f {
			return surfaceC - f, Ice
		}
	}
	return surfaceC - s.DewPointC(), Water
}
