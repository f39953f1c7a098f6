package baro_test

import (
	"errors"
	"fmt"
	"time"

	"github.com/stationphysics/stationphysics"
	"github.com/stationphysics/stationphysics/baro"
)

// The pressure at sea level.
//
// Given: a sensor at 612 m on latitude 49.3° reads 941.6 hPa; the air in the
// shield has -4.2 °C and a vapour pressure of 3.94 hPa.
// Find: the pressure at sea level.
//
//	log10(p0/p) = Kp H/(T + a H/2 + e Ch)
//	H  = 612.2 gpm (gravity of 49.3° instead of 9.80665 m/s2)
//	Tm = 268.95 + 0.00325·612.2 + 0.12·3.94 = 271.41 K
//	p0 = 941.6 · 10^(0.0148275·612.2/271.41) = 941.6 · 1.0801 = 1017.0 hPa
//
// Source: WMO-No. 8, part I, ch. 3; gravity NIMA TR8350.2, eq. 4-1 and 4-3.
func ExampleNewReduction() {
	h := baro.Geopotential(612, 49.3)
	r, err := baro.NewReduction(baro.Column{Height: h, TempC: -4.2, VapourPressureHPa: 3.94})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("H = %.1f gpm, column %.2f °C, factor %.5f\n", h, r.MeanVirtualC(), r.Factor())
	fmt.Printf("sea level: %.1f hPa\n", r.SeaLevel(941.6))
	// Output:
	// H = 612.2 gpm, column -1.74 °C, factor 1.08005
	// sea level: 1017.0 hPa
}

// The wrong way: reducing with the temperature of the sensor's box.
//
// Given: the same station; the sensor's own thermometer shows 17 °C, or a
// table for summer takes 15 °C.
// Find: by how much the pressure at sea level is then wrong.
//
//	Tm' = 290.15 + 0.00325·612.2 + 0.12·3.94 = 292.61 K instead of 271.41 K
//	941.6 · 10^(0.0148275·612.2/292.61) - 1017.0 = -5.7 hPa
//
// Source: WMO-No. 8, part I, ch. 3: the temperature is that of the outside
// air.
func ExampleReduction_TempErrorHPa() {
	r, _ := baro.NewReduction(baro.Column{Height: 612.2, TempC: -4.2, VapourPressureHPa: 3.94})
	fmt.Printf("box at 17 °C: %+.1f hPa\n", r.TempErrorHPa(941.6, 17))
	fmt.Printf("fixed 15 °C: %+.1f hPa\n", r.TempErrorHPa(941.6, 15))
	// Output:
	// box at 17 °C: -5.7 hPa
	// fixed 15 °C: -5.2 hPa
}

// What the tolerances of a station cost at sea level.
//
// Given: 0.5 hPa, 0.5 K and 3 m of height.
// Find: what each contributes to the sea-level pressure, |dp0/dx| times x.
//
//	dp0/dp = p0/p                         = 1.0801 hPa/hPa: · 0.5 hPa = 0.54 hPa
//	dp0/dT = p0 ln 10 Kp H/Tm²            = 0.2886 hPa/K:   · 0.5 K   = 0.14 hPa
//	dp0/dH = p0 ln 10 Kp/Tm (1 - a H/2Tm) = 0.1270 hPa/m:   · 3 m     = 0.38 hPa
//
// Source: JCGM 100:2008, 5.1.3; derivatives of WMO-No. 8, part I, ch. 3.
func ExampleReduction_Sensitivity() {
	r, _ := baro.NewReduction(baro.Column{Height: 612.2, TempC: -4.2, VapourPressureHPa: 3.94})
	s := r.Sensitivity(941.6)
	fmt.Printf("pressure    %.2f hPa\n", s.HPaPerHPa*0.5)
	fmt.Printf("temperature %.2f hPa\n", -s.HPaPerK*0.5)
	fmt.Printf("height      %.2f hPa\n", s.HPaPerM*3)
	// Output:
	// pressure    0.54 hPa
	// temperature 0.14 hPa
	// height      0.38 hPa
}

// The same reading as an altimeter setting. The wrong way: comparing it with
// the pressure at sea level, and finding the sensor 4 hPa low.
//
// Given: 941.6 hPa at 612.2 gpm.
// Find: the altimeter setting.
//
//	QNH = 1013.25 ((p/1013.25)^n + a H/288.15)^(1/n), n = R a/g = 0.190263
//	    = 1013.25 (0.98614 + 0.01381)^5.25588 = 1013.0 hPa
//
// The standard atmosphere knows no winter: on a cold day the setting lies
// below the sea-level pressure. They are two quantities, and two types here.
//
// Source: ICAO Doc 7488 (standard atmosphere).
func ExampleAltimeterSetting() {
	q := baro.AltimeterSetting(941.6, 612.2)
	r, _ := baro.NewReduction(baro.Column{Height: 612.2, TempC: -4.2, VapourPressureHPa: 3.94})
	fmt.Printf("altimeter setting %.1f hPa, sea level %.1f hPa\n", q, r.SeaLevel(941.6))
	// Output:
	// altimeter setting 1013.0 hPa, sea level 1017.0 hPa
}

// The standard atmosphere, in both kinds of metre.
//
// Given: 1000 m; and 900 hPa.
// Find: the standard pressure there, and the height of that pressure.
//
//	p = 1013.25 (1 - 0.0065·1000/288.15)^5.25588 = 898.75 hPa
//	H = r z/(r + z) = 6356766·1000/6357766 = 999.84 gpm: 898.76 hPa
//	h = 288.15/0.0065 (1 - (900/1013.25)^0.190263) = 988.5 gpm
//
// Two hundredths of a hectopascal lie between the metres here, 450 m of height
// at the top of the table.
//
// Source: ISO 2533:1975, eq. (9) and (11) to (13), numbers quoted.
func ExampleStandardAt() {
	fmt.Printf("1000 gpm: %.2f hPa\n", baro.StandardAt(1000).PressureHPa)
	fmt.Printf("1000 m:   %.2f hPa\n", baro.StandardAt(baro.ISOGeopotential(1000)).PressureHPa)
	fmt.Printf("900 hPa:  %.1f gpm\n", baro.PressureAltitude(900))
	// Output:
	// 1000 gpm: 898.75 hPa
	// 1000 m:   898.76 hPa
	// 900 hPa:  988.5 gpm
}

// The wrong way: a pressure in pascals. It is refused with the unit that it
// looks like, and as a type that a program can ask.
func ExampleStationHPa_Check() {
	err := baro.StationHPa(94160).Check()
	fmt.Println(err)
	var re *stationphysics.RangeError
	fmt.Println(errors.As(err, &re), re.Slip)
	// Output:
	// station pressure 94160 hPa is outside 300..1100 hPa: pascals?
	// true pascals
}

// The course of the pressure over three hours.
//
// Given: a value a minute, falling by 0.02 hPa a minute for an hour and a
// half, then steady.
// Find: the change, and the figure for its course.
//
//	939.8 - 941.6 = -1.8 hPa; lower, falling and then steady: 6
//
// Source: WMO-No. 306, code table 0200.
func ExampleTendencyWindow() {
	var w baro.TendencyWindow
	start := time.Date(2026, 1, 10, 6, 0, 0, 0, time.UTC)
	for m := range 181 {
		p := 941.6 - 0.02*float64(m)
		if m > 90 {
			p = 939.8 // the fall stops half way
		}
		if err := w.Add(start.Add(time.Duration(m)*time.Minute), baro.StationHPa(p)); err != nil {
			fmt.Println(err)
			return
		}
	}
	t, ok := w.Tendency()
	fmt.Printf("%v: %+.1f hPa in three hours, characteristic %d\n", ok, t.ChangeHPa, t.Characteristic)
	// Output:
	// true: -1.8 hPa in three hours, characteristic 6
}
