// Package logbook reads the log of a weather station and says what may be
// published of it, how sure it is, and what is wrong with the station.
//
//	r, err := logbook.New(file, "log.csv", logbook.Config{…})
//	for {
//		o, err := r.Next() // one Observation a row, until io.EOF
//	}
//	r.Troubles() // what the log shows of the station's faults
//
// # The log
//
// A CSV table with a header. Its columns bear the names listed at Column, or
// the quantity with its unit in brackets, "Air [°C]"; the time is RFC 3339, or
// time_s in seconds from Config.Start. A column that is unknown is an error
// with the nearest known name, unless Config.Ignore has it. Counts (wind_pulses,
// rain_tips) and means belong to the time since the row before.
//
// A row that cannot be read is named with its line and skipped. A cell that is
// missing, one that stands for a failed transfer, one that is impossible and
// one at the end of its sensor's range are different States. Missing rows, double
// rows and steps of the clock are reported; across them nothing is averaged,
// and rain is "at least". A step back keeps all rows: the log goes on with
// the new time.
//
// # Uncertainty
//
// Half-widths are expanded uncertainties of 95 % after JCGM 100:2008: each
// tolerance of Config.Tolerance is the half-width of a rectangular distribution,
// u = a/√3 (4.3.7), carried on by the analytic derivatives of packages psychro
// and baro (5.1.2), the factor is 2 (6.3.3). Causes are independent; the air
// temperature, which acts on a pressure at sea level in two ways, is one cause.
// What an unstated tolerance enters has the half-width NaN. The half-width does
// not hold what the siting does: the heat of a shield, the shelter of a wall.
//
// # Checks
//
// Range, one-minute step, persistence over 60 minutes and consistency within a
// row follow the guidelines on quality control for automatic weather stations
// (I. Zahumenský, WMO 2004), with limits as others quote them: the document itself
// was not at hand. Saturated air and a calm are exempt from persistence. A flag
// is a doubt: on a calm high-pressure day the pressure may well move less than the
// 0.1 hPa that the check asks for. Doubled sensors are compared by
// |a-b| ≤ 2 √(ua²+ub²), temperatures at night only, humidity as vapour pressure.
// A humidity sensor is checked over saturated salts by Salt.
//
// # Signatures of trouble
//
// The Kinds. Each comes with its lines, its number of rows, a few of them and
// the cheapest measurement that makes sure. Where a bound has no published source
// it is our choice, taken wide enough that ordinary weather does not reach it.
// A signature that needs an unstated number is not looked for. The list is bounded:
// one entry for a kind and column, however long the log.
//
// # Speed and memory
//
// A year of one-minute rows of twelve columns takes 1.8 s of processor time on one
// core of a shared and busy machine, 3.4 µs a row. Rows allocate nothing, and a
// decade holds no more memory than a day. The irradiance behind a light reading
// takes some 50 µs and is formed on demand, Observation.IrradianceWPerM2.
//
// # Not covered
//
// Means over several rows: packages wind and rain have them. Corrections: a
// value is judged, never changed. Other separators than the comma.
//
// # Caution
//
// Readings of cells do not replace a meter at the cells. Stop charging above
// the limit of the sheet or below its temperature; never warm cells by hand;
// keep away from swollen ones. Masts, roofs and mains are for licensed practice.
package logbook
