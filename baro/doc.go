// Package baro relates pressure and height: the standard atmosphere, gravity
// and geopotential, the reduction of a station's pressure to sea level, the
// altimeter setting, and the three-hour tendency.
//
// Three pressures are easily mixed up and are different types here:
// [StationHPa], what the sensor feels; [SeaLevelHPa], what maps show;
// [AltimeterHPa], what aviation sets. So are the two heights, [GeometricM] of
// a map and [GeopotentialM] of the formulas, half a metre apart at 1000 m.
//
// # Which reduction
//
// [NewReduction] is the form of WMO-No. 8 for stations up to 750 gpm. Its
// column of air is inferred from the temperature and the vapour pressure in the
// shield. [NewHypsometric] uses gravity over gas constant in place of the
// rounded Kp, as some services do. [SeaLevelLow] serves stations within 50 gpm
// of the sea. [NewLayer] is for a mean virtual temperature that is known.
//
// # Accuracy
//
// Against exact evaluation of the same definitions, checked by
// TestAccuracyTable:
//
//	quantity              range                 largest relative deviation from       stated
//	standard pressure     -1..12 km             1e-9 of evaluated ICAO Doc 7488       exact by definition
//	inverse of it         -5..80 km             1e-12 round trip                      exact by definition
//	normal gravity        -90..90 degrees       1e-9 of GeographicLib 2.1.2           closed formula
//	geopotential          0..6 km               3e-8 of integrated exact gravity      0.2 mm at 6 km
//	WMO reduction         up to 750 gpm         1e-9 of the formula evaluated         the formula is the definition
//
// What the sea-level pressure itself is worth is another question: the column
// below the station does not exist. The sensitivities say what the inputs
// contribute: at 550 gpm and 0 °C a kelvin of air temperature changes it by
// 0.25 hPa, and a metre of height by 0.125 hPa. A pressure sensor in a box 20 K
// warmer than the air, its temperature used for the reduction, costs 5 hPa.
//
// Sources: WMO-No. 8 Guide to Instruments and Methods of Observation, part I,
// ch. 3; WMO-No. 306 Manual on Codes, code table 0200; ISO 2533:1975 and ICAO
// Doc 7488; NIMA TR8350.2, third edition; Smithsonian Meteorological Tables
// (List 1951).
package baro
