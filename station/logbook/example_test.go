package logbook_test

import (
	"errors"
	"fmt"
	"io"
	"strings"
	"time"

	"github.com/stationphysics/stationphysics/baro"
	"github.com/stationphysics/stationphysics/station/logbook"
)

// A log of two rows in, observations out, each value with its 95 % half-width
// from the tolerances of the sheets.
//
// Given: 4.2 °C ± 0.3 K, 81 % ± 3 %, 947.3 hPa ± 1 hPa, 553 m ± 2 m.
// Find: dew point, pressure at sea level and altimeter setting.
//
//	U = 2 √(Σ (c a/√3)²): sea level 2/√3 √((1.070·1)² + (0.25·0.3)² + (0.125·2)²) = 1.3 hPa
//	dew point 2/√3 √((0.97·0.3)² + (0.17·3)²) = 0.7 K
//
// Source: JCGM 100:2008, 4.3.7, 5.1.2 and 6.3.3; WMO-No. 8, part I, ch. 3.
func ExampleReader_Next() {
	log := `time,air_c,humidity_pct,pressure_hpa
2026-03-20T06:00:00+01:00,4.1,82,947.2
2026-03-20T06:01:00+01:00,4.2,81,947.3
`
	r, err := logbook.New(strings.NewReader(log), "log.csv", logbook.Config{
		Place:     &logbook.Place{LatDeg: 49.3, LonDeg: 9.4, BarometerM: 553},
		Tolerance: logbook.Tolerances{AirK: 0.3, HumidityPct: 3, PressureHPa: 1, HeightM: 2},
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	for {
		o, err := r.Next()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			fmt.Println(err)
			return
		}
		fmt.Printf("%s dew point %.1f ± %.1f °C, sea level %.1f ± %.1f hPa, altimeter %.1f ± %.1f hPa\n", o.At.Format("15:04"),
			o.DewPointC.Value, o.DewPointC.Half, o.SeaLevelHPa.Value, o.SeaLevelHPa.Half, o.AltimeterHPa.Value, o.AltimeterHPa.Half)
	}
	// Output:
	// 06:00 dew point 1.3 ± 0.7 °C, sea level 1013.3 ± 1.3 hPa, altimeter 1011.8 ± 1.2 hPa
	// 06:01 dew point 1.2 ± 0.7 °C, sea level 1013.4 ± 1.3 hPa, altimeter 1011.9 ± 1.2 hPa
}

// The wrong way to reduce a pressure is with the temperature of the sensor's
// own box.
//
// Given: the same row, and a box 20 K warmer than the air.
// Find: the error.
//
//	Tm = 277.35 + 0.00325·553 + 0.12·6.7 = 279.95 K; 299.95 K in its place: -4.5 hPa
//
// Source: WMO-No. 8, part I, ch. 3.
func ExampleReader_Next_boxTemperature() {
	right, _ := baro.NewReduction(baro.Column{Height: 553, TempC: 4.2, VapourPressureHPa: 6.7})
	fmt.Printf("shield %.1f hPa, error of the box at 24.2 °C %+.1f hPa\n", float64(right.SeaLevel(947.3)), right.TempErrorHPa(947.3, 24.2))
	// Output:
	// shield 1013.4 hPa, error of the box at 24.2 °C -4.5 hPa
}

// A row that cannot be read costs itself only, and is named. The wrong way: to
// drop it in silence and let the mean span the gap.
//
// Given: three rows, the second cut short.
// Find: what is kept.
//
//	2 of 3 rows; 2 min/1 min - 1 = 1 row is missing between them
//
// Source: the grid of one minute.
func ExampleReader_Mistakes() {
	log := "time,air_c\n2026-03-20T06:00:00Z,4.1\n2026-03-20T06:0\n2026-03-20T06:02:00Z,4.3\n"
	r, _ := logbook.New(strings.NewReader(log), "log.csv", logbook.Config{})
	n := 0
	for _, err := r.Next(); err == nil; _, err = r.Next() {
		n++
	}
	fmt.Println(n, "rows;", r.Mistakes())
	fmt.Println(r.Summary().MissingRows, "row missing")
	// Output:
	// 2 rows; log.csv:3: 1 fields instead of 2: is the row cut short?
	// 1 row missing
}

// A failed transfer is not cold weather. The wrong way: to average -140.2 °C.
//
// Given: air of 4.1, -140.2 and 4.2 °C.
// Find: what the second value is.
//
//	-145 <= -140.2 <= -138: what the formula of a common chip makes of a raw zero
//
// Source: common practice; WMO range of air temperature -80 to 60 °C
// (Zahumenský 2004, from memory).
func ExampleReader_Troubles() {
	log := "time,air_c,humidity_pct\n2026-03-20T06:00:00Z,4.1,80\n2026-03-20T06:01:00Z,-140.2,80\n2026-03-20T06:02:00Z,4.2,80\n"
	r, _ := logbook.New(strings.NewReader(log), "log.csv", logbook.Config{})
	for o, err := r.Next(); err == nil; o, err = r.Next() {
		fmt.Println(o.State(logbook.Air), o.DewPointC.State)
	}
	for _, t := range r.Troubles() {
		fmt.Printf("%s: %s of %s, line %d: %s\n", t.Word, t.Kind, t.Column, t.FirstLine, t.Reason)
		fmt.Println("next:", t.Next)
	}
	// Output:
	// good good
	// bus error bus error
	// good good
	// CHANGE: bus error of air, line 3: the value stands for a failed transfer, not for weather
	// next: measure the sensor's supply at the sensor while it is read, then the pull-ups and the plug
}

// At its top a light sensor says "at least". The wrong way: to publish its
// top.
//
// Given: 54612.5 lx, the top of the sensor, and 41000 lx ± 10 %, in June
// before noon.
// Find: the irradiance.
//
//	41000 lx/(113 lm/W) = 362 W/m², ± 2 · 10 %/√3 and the spread over skies
//
// Source: luminous efficacy Perez et al. 1990; JCGM 100:2008.
func ExampleObservation_IrradianceWPerM2() {
	log := "time,light_lx,air_c,humidity_pct\n2026-06-21T11:00:00Z,54612.5,24,45\n2026-06-21T11:01:00Z,41000,24,45\n"
	r, _ := logbook.New(strings.NewReader(log), "log.csv", logbook.Config{
		Place: &logbook.Place{LatDeg: 49.3, LonDeg: 9.4, BarometerM: 553}, LightTopLx: 54612.5, Tolerance: logbook.Tolerances{LightFrac: 0.1},
	})
	for o, err := r.Next(); err == nil; o, err = r.Next() {
		m := o.IrradianceWPerM2()
		if m.AtLeast {
			fmt.Printf("at least %.0f W/m²\n", m.Value)
		} else {
			fmt.Printf("%.0f ± %.0f W/m²\n", m.Value, m.Half)
		}
	}
	// Output:
	// at least 422 W/m²
	// 362 ± 48 W/m²
}

// Two thermometers in one shield, at night: may both be right?
//
// Given: 3.1 °C and 3.9 °C, each ± 0.3 K by its sheet.
// Find: whether they agree.
//
//	U = 2·0.3/√3 = 0.35 K; |d| = 0.8 K > √(Ua² + Ub²) = 0.49 K: no
//
// The wrong way: to take the mean of both, half right and half wrong.
//
// Source: JCGM 100:2008, 4.3.7 and 5.1.2.
func ExampleAgree() {
	a := logbook.Measure{Value: 3.1, Half: 0.346, State: logbook.Good}
	b := logbook.Measure{Value: 3.9, Half: 0.346, State: logbook.Good}
	fmt.Println(logbook.Agree(a, b))
	// Output:
	// false
}

// A humidity sensor over the salt of the kitchen.
//
// Given: it reads 79.8 % at 23 °C; its sheet says ± 3 %, and sensor and salt
// have one temperature to 0.2 K.
// Find: whether it must be changed.
//
//	79.8 - 75.4 = 4.4 %, U = 2 √((3/√3)² + (0.2·4.6/√3)²) = 3.6 %: more than it may
//
// Source: L. Greenspan 1977, J. Res. Natl. Bur. Stand. 81A:89, table 2.
func ExampleSalt_Judge() {
	salt, err := logbook.FindSalt("sodium chloride")
	if err != nil {
		fmt.Println(err)
		return
	}
	want := salt.HumidityPct(23)
	d, word := salt.Judge(logbook.SaltReading{TempC: 23, ReadPct: 79.8, TolerancePct: 3, ApartK: 0.2})
	fmt.Printf("salt %.1f ± %.1f %%, off by %+.1f ± %.1f %%: %s\n", want.Value, want.Half, d.Value, d.Half, word)
	// Output:
	// salt 75.4 ± 0.1 %, off by +4.4 ± 3.6 %: CHANGE
}

// Loggers that start a file a day: one log, and what spans midnight is kept.
// The wrong way: to begin anew at 0 h and lose the minute.
//
// Given: 0.2 mm at 23:59 and 0.2 mm at 0:00 of the next file.
// Find: intensity and sum.
//
//	0.2 mm/1 min = 12 mm/h; 0.2 + 0.2 = 0.4 mm
//
// Source: depth since the row before.
func ExampleReader_Continue() {
	day := func(d, h int) string {
		return fmt.Sprintf("time,rain_mm\n%s,0.2\n", time.Date(2026, 3, d, h, 59*(h/23), 0, 0, time.UTC).Format(time.RFC3339))
	}
	r, _ := logbook.New(strings.NewReader(day(20, 23)), "20.csv", logbook.Config{})
	_, _ = r.Next()
	_ = r.Continue(strings.NewReader(day(21, 0)), "21.csv")
	o, _ := r.Next()
	fmt.Printf("%s: %.1f mm, %.0f mm/h, sum %.1f mm, at least: %t\n", o.At.Format("02 15:04"), o.RainMm.Value, o.RainMmPerH.Value, r.Summary().RainMm.Value, r.Summary().RainMm.AtLeast)
	// Output:
	// 21 00:00: 0.2 mm, 12 mm/h, sum 0.4 mm, at least: false
}
