package baro

import "math"

// The exponent R a/g of the standard atmosphere's lowest layer, 0.190263.
const altimeterExponent = gasConstant * 0.0065 / standardGravity

// AltimeterSetting returns the altimeter setting (QNH) of a station whose
// pressure sensor stands at the geopotential height h: the standard atmosphere
// of ICAO Doc 7488 is shifted in pressure until it gives p at h, with the
// height counted from the standard sea level,
//
//	QNH = 1013.25 ((p/1013.25)^n + a H/288.15)^(1/n),  n = R a/g = 0.190263
//
// NaN for a pressure outside 300..1100 hPa or a height outside -435..6020 gpm.
func AltimeterSetting(p StationHPa, h GeopotentialM) AltimeterHPa {
	if !stationRange.Holds(float64(p)) || !anyHeight.Holds(float64(h)) {
		return AltimeterHPa(nan())
	}
	x := math.Pow(float64(p)/1013.25, altimeterExponent) + 0.0065/288.15*float64(h)
	return AltimeterHPa(1013.25 * math.Pow(x, 1/altimeterExponent))
}

// StationFromAltimeter is the exact inverse of AltimeterSetting; NaN if the
// setting lies outside 850..1100 hPa, the height outside -435..6020 gpm or the
// result outside 300..1100 hPa.
func StationFromAltimeter(q AltimeterHPa, h GeopotentialM) StationHPa {
	if !altimeterRange.Holds(float64(q)) || !anyHeight.Holds(float64(h)) {
		return StationHPa(nan())
	}
	x := math.Pow(float64(q)/1013.25, altimeterExponent) - 0.0065/288.15*float64(h)
	p := 1013.25 * math.Pow(x, 1/altimeterExponent)
	if !stationRange.Holds(p) {
		return StationHPa(nan())
	}
	return StationHPa(p)
}

// AltimeterSettingSmithsonian is the form of the Smithsonian Meteorological
// Tables (List 1951), p. 269, equations 1 and 3: T0 = 288 K, n = 0.190284, and
// 0.3 hPa taken off the station pressure, for the height of an aircraft's
// altimeter above the ground. It lies up to 0.4 hPa from AltimeterSetting. NaN
// as there.
func AltimeterSettingSmithsonian(p StationHPa, h GeopotentialM) AltimeterHPa {
	if !stationRange.Holds(float64(p)) || !anyHeight.Holds(float64(h)) {
		return AltimeterHPa(nan())
	}
	return AltimeterHPa(smithsonian(float64(p), float64(h), 0.190284))
}

func smithsonian(pHPa, hM, n float64) float64 {
	v := pHPa - 0.3
	c := math.Pow(1013.25, n) * 0.0065 / 288
	return v * math.Pow(1+c*hM/math.Pow(v, n), 1/n)
}
