package main

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"github.com/stationphysics/stationphysics/internal/refdata"
	"github.com/stationphysics/stationphysics/psychro"
)

// rowsOf prints a table as CSV and reads it back, by heading.
func rowsOf(t *testing.T, args ...string) []map[string]string {
	t.Helper()
	code, out, complaints := invoke(t, append(args, "-format", "csv")...)
	require.Zero(t, code, complaints)
	all := records(t, out)
	var rows []map[string]string
	for _, r := range all[1:] {
		row := map[string]string{}
		for i, key := range all[0] {
			row[key] = r[i]
		}
		rows = append(rows, row)
	}
	require.NotEmpty(t, rows)
	return rows
}

func number(t *testing.T, row map[string]string, key string) float64 {
	t.Helper()
	require.Contains(t, row, key)
	x, err := strconv.ParseFloat(row[key], 64)
	require.NoError(t, err, key)
	return x
}

// within is the tolerance of a check value and half a unit of the last digit
// that the table prints.
func within(t *testing.T, r *refdata.Row, col, tolCol string, half float64) float64 {
	t.Helper()
	text, share := strings.CutSuffix(r.S(tolCol), "%")
	tol, err := strconv.ParseFloat(text, 64)
	require.NoError(t, err)
	if share {
		tol *= math.Abs(r.F(col)) / 100
	}
	return tol + half
}

// IAPWS G8-10 by an independent library (testdata/SOURCES.md, libiapws).
func TestPsychrometryAgainstRealGas(t *testing.T) {
	checked := 0
	refdata.Each(t, "psychro/moist_air_g8", func(r *refdata.Row) {
		// Not in the table.
		for _, c := range []string{"esIceHPa", "esIceHPa_tol", "esWaterHPa_tol", "volumeM3PerKg", "volumeM3PerKg_tol", "entropyKJPerKgK", "entropyKJPerKgK_tol", "virtualC", "virtualC_tol"} {
			r.S(c)
		}
		if r.S("satPhase") != "water" { // there the humidity is over ice
			return
		}
		checked++
		row := rowsOf(t, "psychrometry", "-temperature", r.S("tempC"), "-humidity", r.S("rhPct"), "-pressure", r.S("pressureHPa"))[0]
		check := func(col, tolCol, key string, half float64) {
			t.Helper()
			require.InDelta(t, r.F(col), number(t, row, key), within(t, r, col, tolCol, half), "line %d: %s", r.Line, key)
		}
		check("mixingRatioGPerKg", "tol", "mixing_ratio_g_per_kg", 0.0005)
		check("enthalpyKJPerKg", "enthalpyKJPerKg_tol", "enthalpy_kj_per_kg", 0.005)
		check("densityKgPerM3", "densityKgPerM3_tol", "density_kg_per_m3", 0.00005)
		check("pointC", "pointC_tol", r.S("pointKind")+"_point_c", 0.005)
		if r.Has("waterBulbC") {
			check("waterBulbC", "waterBulbC_tol", "wet_bulb_c", 0.005)
		} else {
			check("iceBulbC", "iceBulbC_tol", "wet_bulb_c", 0.005)
		}
		// The vapour pressure is the share of that of saturated air.
		e := r.F("rhPct") / 100 * r.F("enhancementFactor") * r.F("esWaterHPa")
		require.InDelta(t, e, number(t, row, "vapour_pressure_hpa"), 0.0002*e+0.0005)
		// Vapour as a gas of 461.523 J/(kg K) (IAPWS-95), ideal within 0.4 %.
		require.InEpsilon(t, e*1e5/461.523/(r.F("tempC")+273.15), number(t, row, "absolute_humidity_g_per_m3")+1e-9, 0.004+0.0005/number(t, row, "absolute_humidity_g_per_m3"))
	})
	require.Greater(t, checked, 100)
}

// ASHRAE Fundamentals 2017, chapter 1, Table 2, where it is over water.
func TestPsychrometryAgainstHandbook(t *testing.T) {
	refdata.Each(t, "psychro/ashrae_saturated_air", func(r *refdata.Row) {
		tol, tolH := within(t, r, "mixingRatioGPerKg", "tol", 0.0005), within(t, r, "enthalpyKJPerKg", "enthalpyKJPerKg_tol", 0.005)
		if r.F("tempC") < 0 {
			return
		}
		row := rowsOf(t, "psychrometry", "-temperature", r.S("tempC"), "-humidity", "100")[0]
		require.InDelta(t, r.F("mixingRatioGPerKg"), number(t, row, "mixing_ratio_g_per_kg"), tol)
		require.InDelta(t, r.F("enthalpyKJPerKg"), number(t, row, "enthalpy_kj_per_kg"), tolH)
		for _, key := range []string{"dew_point_c", "wet_bulb_c"} {
			require.Equal(t, r.F("tempC"), number(t, row, key), "saturated")
		}
	})
}

// Grid and columns are the same numbers, those of the library.
func TestPsychrometryGrid(t *testing.T) {
	air := []string{"-temperature", "-40:90:13", "-humidity", "0,12.5,100", "-pressure", "700"}
	all := rowsOf(t, append([]string{"psychrometry"}, air...)...)
	for _, q := range airQuantities {
		grid := rowsOf(t, append([]string{"psychrometry", "-quantity", q.name}, air...)...)
		require.Len(t, grid, 11)
		for i, row := range all {
			rh := []string{"0", "12.5", "100"}[i%3]
			require.Equal(t, number(t, row, "humidity_pct"), []float64{0, 12.5, 100}[i%3])
			require.Equal(t, number(t, row, "air_c"), number(t, grid[i/3], "air_c"))
			got := row[q.key]
			require.Equal(t, got, grid[i/3][q.key+"_at_"+rh+"_pct"])
			state, err := psychro.New(number(t, row, "air_c"), number(t, row, "humidity_pct"), 700)
			if want := q.of(state); err != nil || math.IsNaN(want) {
				require.Equal(t, "-", got)
			} else {
				require.InDelta(t, want, number(t, row, q.key), 0.5001*math.Pow10(-q.decimals))
			}
		}
	}
}

// Completely dry air has no dew point, warm air no frost point, and at 700 hPa
// saturated air of 90 °C would be more than nine tenths vapour.
func TestPsychrometryOutOfRange(t *testing.T) {
	row := rowsOf(t, "psychrometry", "-temperature", "20", "-humidity", "0")[0]
	require.Equal(t, "-", row["dew_point_c"])
	require.Equal(t, "-", row["frost_point_c"])
	require.Equal(t, "0.000", row["mixing_ratio_g_per_kg"])
	row = rowsOf(t, "psychrometry", "-temperature", "90", "-humidity", "100", "-pressure", "700")[0]
	for _, q := range airQuantities {
		require.Equal(t, "-", row[q.key])
	}
}

// The evaluated constants of ICAO Doc 7488 and its main table, the U.S. Standard
// Atmosphere by geometric height, and sound and viscosity.
func TestAtmosphere(t *testing.T) {
	at := func(r *refdata.Row, by, col string) map[string]string {
		return rowsOf(t, "atmosphere", "-by", by, "-height", r.S(col))[0]
	}
	refdata.Each(t, "baro/atmosphere", func(r *refdata.Row) {
		row := at(r, "geopotential", "H_gpm")
		for _, c := range []struct {
			col, key    string
			half, share float64 // of the last digit printed
		}{{"tempC", "temperature_c", 0.005, 0}, {"pressureHPa", "pressure_hpa", 0, 5e-6}, {"densityKgPerM3", "density_kg_per_m3", 0, 5e-6}, {"gravityMPerS2", "gravity_m_per_s2", 5e-6, 0}, {"geometricM", "geometric_m", 0.05, 0}} {
			if r.Has(c.col) {
				require.InDelta(t, r.F(c.col), number(t, row, c.key), within(t, r, c.col, "tol", c.half+c.share*math.Abs(r.F(c.col))), "%s at %s", c.col, r.S("H_gpm"))
			}
		}
	})
	table := func(r *refdata.Row, row map[string]string) {
		for col, key := range map[string]string{"tempC": "temperature_c", "pressureHPa": "pressure_hpa", "densityKgPerM3": "density_kg_per_m3"} {
			half := 5e-6 * r.F(col)
			if col == "tempC" {
				half = 0.005
			}
			require.InDelta(t, r.F(col), number(t, row, key), within(t, r, col, col+"_tol", half), "line %d: %s", r.Line, col)
		}
	}
	refdata.Each(t, "baro/atmosphere_table", func(r *refdata.Row) { table(r, at(r, "geopotential", "H_gpm")) })
	refdata.Each(t, "baro/ussa1976_table", func(r *refdata.Row) { table(r, at(r, "geometric", "Z_m")) })
	// ICAO Doc 7488 at sea level, tables 1 and 2.
	row := rowsOf(t, "atmosphere", "-height", "0")[0]
	require.Equal(t, []string{"15.00", "1013.25", "1.22500", "340.294", "1.7894e-05", "9.80665"},
		[]string{row["temperature_c"], row["pressure_hpa"], row["density_kg_per_m3"], row["sound_m_per_s"], row["viscosity_pa_s"], row["gravity_m_per_s2"]})
}

// -5000 m of a map are 5003.9 gpm down, below the standard.
func TestAtmosphereOutOfRange(t *testing.T) {
	rows := rowsOf(t, "atmosphere", "-by", "geometric", "-height", "-5000,-4900")
	require.Equal(t, "-5003.9", rows[0]["geopotential_m"])
	require.Equal(t, "-", rows[0]["pressure_hpa"])
	require.NotEqual(t, "-", rows[1]["pressure_hpa"])
}

func clock(t *testing.T, row map[string]string, key string) time.Time {
	t.Helper()
	at, err := time.Parse(time.RFC3339, row[key])
	require.NoError(t, err, key)
	return at
}

// Rise and set of the Naval Observatory, printed to the minute as here.
func TestSunAgainstPublishedMinutes(t *testing.T) {
	refdata.Each(t, "solar/rise_set_usno", func(r *refdata.Row) {
		row := rowsOf(t, "sun", "-latitude", r.S("latDeg"), "-longitude", r.S("lonDeg"), "-zone", r.S("zoneH"), "-dates", r.S("date"))[0]
		for col, key := range map[string]string{"riseMin": "rise_rfc3339", "setMin": "set_rfc3339"} {
			at := clock(t, row, key)
			require.Equal(t, r.S("date"), at.Format(time.DateOnly))
			r.Check(col, float64(at.Hour()*60+at.Minute()), key)
		}
	})
}

// ERFA's roots, within the tolerance of the file and half a minute.
func TestSunAgainstERFA(t *testing.T) {
	refdata.Each(t, "solar/twilight", func(r *refdata.Row) {
		r.S("place")
		r.F("deltaTS") // differs by some seconds at most: hundredths of a second of time
		date, err := time.Parse(time.DateOnly, r.S("date"))
		require.NoError(t, err)
		row := rowsOf(t, "sun", "-latitude", r.S("latDeg"), "-longitude", r.S("lonDeg"), "-zone", r.S("zoneH"), "-dates", r.S("date"), "-twilight", "civil,astronomical,nautical")[0]
		for col, key := range map[string]string{"transitS": "noon", "riseS": "rise", "setS": "set", "civilRiseS": "civil_dawn", "civilSetS": "civil_dusk",
			"nauticalRiseS": "nautical_dawn", "nauticalSetS": "nautical_dusk", "astroRiseS": "astronomical_dawn", "astroSetS": "astronomical_dusk"} {
			if r.Has(col) {
				require.InDelta(t, r.F(col), clock(t, row, key+"_rfc3339").Sub(date).Seconds(), r.F("tol")+30, "%s %s %s", r.S("place"), r.S("date"), key)
			}
		}
		if r.Has("riseS") && r.Has("setS") {
			require.InDelta(t, (r.F("setS")-r.F("riseS"))/3600, number(t, row, "day_length_h"), 2*r.F("tol")/3600+0.005)
		}
	})
	outcomes := map[string]int{}
	refdata.Each(t, "solar/rise_set", func(r *refdata.Row) {
		for _, c := range []string{"deltaTS", "transitS", "transitS_tol", "riseS_tol", "setS_tol"} {
			r.S(c)
		}
		outcomes[r.S("outcome")]++
		date, err := time.Parse(time.DateOnly, r.S("date"))
		require.NoError(t, err)
		row := rowsOf(t, "sun", "-latitude", r.S("latDeg"), "-longitude", r.S("lonDeg"), "-dates", r.S("date"))[0]
		switch r.S("outcome") {
		case "up all day":
			require.Equal(t, [3]string{"up", "up", "24.00"}, [3]string{row["rise_rfc3339"], row["set_rfc3339"], row["day_length_h"]})
		case "down all day":
			require.Equal(t, [3]string{"down", "down", "0.00"}, [3]string{row["rise_rfc3339"], row["set_rfc3339"], row["day_length_h"]})
		default:
			require.InDelta(t, r.F("riseS"), clock(t, row, "rise_rfc3339").Sub(date).Seconds(), r.F("riseS_tol")+30)
			require.InDelta(t, r.F("setS"), clock(t, row, "set_rfc3339").Sub(date).Seconds(), r.F("setS_tol")+30)
		}
	})
	require.Len(t, outcomes, 3)
}

func TestSunDatesAndZones(t *testing.T) {
	site := []string{"sun", "-latitude", "49.3", "-longitude", "12.1"}
	with := func(args ...string) []map[string]string {
		return rowsOf(t, append(site[:len(site):len(site)], args...)...)
	}
	var dates []string
	for _, row := range with("-year", "2024", "-days", "29,31") {
		dates = append(dates, row["date"])
	}
	require.Equal(t, []string{
		"2024-01-29", "2024-01-31", "2024-02-29", "2024-03-29", "2024-03-31", "2024-04-29", "2024-04-30", "2024-05-29", "2024-05-31", "2024-06-29", "2024-06-30", "2024-07-29",
		"2024-07-31", "2024-08-29", "2024-08-31", "2024-09-29", "2024-09-30", "2024-10-29", "2024-10-31", "2024-11-29", "2024-11-30", "2024-12-29", "2024-12-31",
	}, dates)
	// The obliquity of 2026 is 23.436° (Meeus eq. 22.2): at the solstices the sun
	// stands that much above and below the equator. Refraction lifts it by 0.01°
	// and 0.05° (Meeus eq. 16.4); the tolerance is nutation and half a digit.
	rows := with("-dates", "2026-06-21,2026-12-21", "-height", "500")
	require.InDelta(t, 90-49.3+23.436+0.008, number(t, rows[0], "noon_elevation_deg"), 0.01)
	require.InDelta(t, 90-49.3-23.436+0.050, number(t, rows[1], "noon_elevation_deg"), 0.01)
	// Summer time of the European Union runs from 29 March to 25 October 2026.
	rows = with("-dates", "2026-03-28:2026-03-29:1", "-zone", "Europe/Berlin")
	require.Contains(t, rows[0]["noon_rfc3339"], "+01:00")
	require.Contains(t, rows[1]["noon_rfc3339"], "+02:00")
	require.InDelta(t, 86400, clock(t, rows[1], "noon_rfc3339").Sub(clock(t, rows[0], "noon_rfc3339")).Seconds(), 90)
	require.Contains(t, with("-zone", "-3.5")[0]["noon_rfc3339"], "-03:30")
	// In a zone far from the place the dates of rise and set are not the day's. At
	// 12.1° the sun sets at 20:04 UTC, twelve hours on at 08:04 of the next date;
	// 112.1° further west everything comes 7 h 28 min later.
	for lon, line := range map[string]string{"12.1": "2026-06-21 14:22 15:06 23:13 07:21+1 08:04+1 64.14 16.25", "-100": "2026-06-21 21:51-1 22:34-1 06:42 14:49 15:33 64.14 16.25"} {
		_, out, _ := invoke(t, "sun", "-latitude", "49.3", "-longitude", lon, "-zone", "12", "-dates", "2026-06-21")
		require.Contains(t, flat(out), line)
	}
	for args, says := range map[string]string{"0": "Times are UTC, without summer time", "1": "UTC+1, without", "-3.5": "UTC-3.5, without", "Europe/Berlin": "the civil ones of Europe/Berlin, summer time included"} {
		_, out, _ := invoke(t, append(site[:len(site):len(site)], "-zone", args)...)
		require.Contains(t, flat(out), says)
	}
}

// The documents of testdata/battery, cell by cell and as packs.
func TestChargeAgainstSheets(t *testing.T) {
	keys := map[string]string{"nominal": "nominal_v", "charge": "charge_end_v", "cutoff": "low_limit_v", "safer": "low_stop_v", "overcharge": "high_limit_v", "float": "float_v"}
	refdata.Each(t, "battery/limits", func(r *refdata.Row) {
		args := []string{"charge", "-chemistry", r.S("chemistry"), "-cells", "1"}
		r.Check("cellV", number(t, rowsOf(t, args...)[0], keys[r.S("level")]), strings.Join(args, " ")+" "+r.S("level"))
		if r.Has("spreadV") && r.S("level") == "charge" {
			_, out, _ := invoke(t, args...)
			require.Contains(t, flat(out), "charge end ± "+r.S("spreadV")+" V a cell by the sheets")
		}
	})
	refdata.Each(t, "battery/pack_voltages", func(r *refdata.Row) {
		at := func(tempC, key string) float64 {
			return number(t, rowsOf(t, "charge", "-chemistry", r.S("chemistry"), "-cells", r.S("cells"), "-temperature", tempC)[0], key)
		}
		if r.S("quantity") == "charge-change" {
			r.Check("packV", at(r.S("tempC"), "charge_end_v")-at("25", "charge_end_v"), "change of the charge end")
			return
		}
		r.Check("packV", at(r.S("tempC"), keys[r.S("quantity")]), r.S("quantity"))
	})
	// What fills: from the curve of Sunil et al. (2025), see the source it prints.
	require.Equal(t, "10.350", rowsOf(t, "charge", "-chemistry", "lfp", "-cells", "3")[0]["fills_v"])
}

// Outside the window of charging there is no voltage to charge to, and the
// limits stay.
func TestChargeOutsideTheWindow(t *testing.T) {
	for tempC, charging := range map[string]bool{"0": true, "45": true, "-0.1": false, "45.1": false} {
		row := rowsOf(t, "charge", "-chemistry", "LiFePO4", "-cells", "4", "-temperature", tempC)[0]
		for key, want := range map[string]string{"charge_end_v": "14.600", "float_v": "13.600", "fills_v": "13.800"} {
			if !charging {
				want = "-"
			}
			require.Equal(t, want, row[key], tempC)
		}
		require.Equal(t, "14.800", row["high_limit_v"])
		_, out, _ := invoke(t, "charge", "-temperature", tempC)
		require.Equal(t, !charging, strings.Contains(flat(out), "LiFePO4: no charging at "+tempC+" °C, only from 0 to 45 °C at the cells"))
	}
	for tempC, use := range map[string]bool{"-20": true, "60": true, "-20.5": false, "61": false} {
		row := rowsOf(t, "charge", "-chemistry", "LiFePO4", "-cells", "4", "-temperature", tempC)[0]
		require.Equal(t, use, row["low_stop_v"] == "10.000")
		require.Equal(t, use, row["low_limit_v"] == "8.000")
		require.Equal(t, !use, row["low_stop_v"] == "-")
		_, out, _ := invoke(t, "charge", "-temperature", tempC)
		require.Equal(t, !use, strings.Contains(flat(out), "no discharging at "+tempC+" °C, only from -20 to 60 °C"))
	}
	row := rowsOf(t, "charge", "-chemistry", "NiMH", "-cells", "4")[0]
	for _, key := range []string{"fills_v", "float_v", "charge_end_v", "high_limit_v"} {
		require.Equal(t, "-", row[key], "no constant voltage charges NiMH")
	}
	require.Equal(t, "4.400", row["low_stop_v"])
}

// The cautions carry their numbers in every format, lithium's above all, and
// each stands once.
func TestChargeCautions(t *testing.T) {
	for _, w := range writers {
		_, out, _ := invoke(t, "charge", "-cells", "2:4:2", "-format", w.name)
		out = flat(strings.ReplaceAll(out, "\n# ", "\n"))
		for _, says := range []string{
			"Caution, LiFePO4: Above 3.65 V a cell, 14.60 V for 4 in series: stop,",
			"Caution, lithium-ion (4.2 V): Above 4.20 V a cell, 16.80 V for 4 in series: stop,",
			"Caution, LiFePO4, lithium-ion (4.2 V), NiMH: Charge only from 0 °C to 45 °C,",
			"Caution, LiFePO4: Below 2.00 V a cell do not recharge",
			"Caution, lithium-ion (4.2 V): Below 2.75 V a cell do not recharge",
			"Caution, sealed lead-acid, flooded lead-acid: Lead-acid cells give off hydrogen",
			"Caution: Put a fuse at the pack",
			"Caution: Local rules",
			"LiFePO4: charge end ± 0.05 V a cell by the sheets, at most 1 A per Ah at 25 °C.",
		} {
			require.Equal(t, 1, strings.Count(out, says), "%s: %s", w.name, says)
		}
	}
	_, out, _ := invoke(t, "charge")
	require.NotContains(t, out, "The cautions give")
	_, out, _ = invoke(t, "charge", "-chemistry", "lfp", "-temperature", "3")
	require.Contains(t, flat(out), "- The cautions give the voltages at 25 °C. - Caution")
	require.Contains(t, flat(out), "at most 0.2 A per Ah at 3 °C")
	require.Contains(t, flat(out), "- Caution: Above 3.65 V a cell, 29.20 V for 8 in series")
	require.NotContains(t, out, "lead-acid")
}

// Published resistances: at 1 W in air of 0 °C the junction shows them.
func TestJunctionAgainstSheets(t *testing.T) {
	refdata.Each(t, "thermal/copper", func(r *refdata.Row) {
		r.S("board")
		if math.IsNaN(r.F("topMm2")) || r.F("bottomMm2") > 0 {
			return
		}
		row := rowsOf(t, "junction", "-package", r.S("package"), "-area", r.S("topMm2"), "-ambient", "0", "-dissipation", "1")[0]
		key := "junction_c_at_" + r.S("topMm2") + "_mm2"
		want, found := r.F("junctionAmbientKPerW"), false
		if _, one := row[key]; one {
			r.Check("junctionAmbientKPerW", number(t, row, key), key)
			return
		}
		low, high := number(t, row, "low_"+key), number(t, row, "high_"+key)
		require.Less(t, low, high)
		for _, x := range []float64{low, high} {
			found = found || math.Abs(x-want) <= 0.05+r.F("tol")
		}
		require.True(t, found, "line %d: %g is neither %g nor %g", r.Line, want, low, high)
	})
	refdata.Each(t, "thermal/junction", func(r *refdata.Row) {
		for _, c := range []string{"junctionCaseKPerW", "caseC", "tol"} {
			r.S(c)
		}
		if !strings.HasPrefix(r.S("source"), "infineon-sot223") {
			return
		}
		area := map[string]string{"164.3": "7.935468", "81.2": "300", "68": "600"}[r.S("junctionAmbientKPerW")]
		row := rowsOf(t, "junction", "-area", area, "-ambient", r.S("ambientC"), "-dissipation", r.S("powerW"))[0]
		r.Check("junctionC", number(t, row, "high_junction_c_at_"+area+"_mm2"), fmt.Sprintf("junction on %s mm²", area))
		r.F("ambientC")
		r.F("powerW")
	})
}

func TestJunctionMarks(t *testing.T) {
	// 600 mm²: 68 K/W (Infineon, SOT223-4-2), 1.25 W is 85 K: the limit itself is
	// no excess.
	rows := tableOf(t, "junction", "-area", "600", "-dissipation", "1.25,1.2501,5.2,5.3").rows
	require.Equal(t, cell{text: "125.0"}, rows[0][2])
	require.Equal(t, cell{text: "!125.0", data: "125.0"}, rows[1][2])
	require.Equal(t, cell{text: "!393.6", data: "393.6"}, rows[2][2])
	require.Equal(t, none, rows[3][2], "400.4 °C")
	_, out, _ := invoke(t, "junction", "-area", "600,620", "-ambient", "39.99")
	for _, says := range []string{
		"! marks a junction above the limit of 125 °C", "600 mm²: 66.8 to 68.0 K/W, 125 °C reached with 1.25 W; Infineon, package SOT223-4-2 thermal sheet; National Semiconductor/TI LM1117, SNOS412, Table 1 (rows of it from memory).",
		"620 mm²: 66.4 K/W (one table: its spread is unknown), 125 °C reached with 1.27 W; National", "burn at a touch",
	} {
		require.Contains(t, flat(out), says)
	}
	_, out, _ = invoke(t, "junction", "-area", "600", "-limit", "30")
	require.Contains(t, flat(out), "30 °C reached with 0.00 W")
}

// Each package has a table behind it, and its standard areas lie in it.
func TestJunctionPackages(t *testing.T) {
	for _, p := range packages {
		made := tableOf(t, "junction", "-package", p.name)
		require.Equal(t, p.name == "SOT-223", strings.Contains(strings.Join(made.sources, " "), "from memory"))
		require.Contains(t, made.title, p.name)
		require.GreaterOrEqual(t, len(made.columns), 5)
		require.Contains(t, junction.params[0].about, p.name)
	}
}
