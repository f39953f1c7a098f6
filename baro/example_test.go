package baro_test

import (
	"errors"
	"fmt"
	"time"

	"github.com/stationphysics/stationphysics"
	"github.com/stationphysics/stationphysics/baro"
)

// Given: a sensor at 612 m on latitude 49.3° reads 941.6 hPa; the air in the
// shield has -4.2 °C and a vapour pressure of 3.94 hPa.
// Find: the pressure at sea level.
//
//	log10(p0/p) = Kp H/(T + a H/2 + e Ch)          WMO-No. 8, part I, ch. 3
//	H  = 612.2 gpm (gravity of 49.3° instead of 9.80665 m/s2)
//	Tm = 268.95 + 0.00325·612.2 + 0.12·3.94 = 271.41 K
//	p0 = 941.6 · 10^(0.0148275·612.2/271.41) = 941.6 · 1.0801
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

// The wrong way: the pressure sensor sits in a box at 17 °C, and its own
// temperature is put into the reduction. Or a fixed 15 °C, as a table for
// summer would have it.
func ExampleReduction_TempErrorHPa() {
	r, _ := baro.NewReduction(baro.Column{Height: 612.2, TempC: -4.2, VapourPressureHPa: 3.94})
	fmt.Printf("box at 17 °C: %+.1f hPa\n", r.TempErrorHPa(941.6, 17))
	fmt.Printf("fixed 15 °C: %+.1f hPa\n", r.TempErrorHPa(941.6, 15))
	// Output:
	// box at 17 °C: -5.7 hPa
	// fixed 15 °C: -5.2 hPa
}

// Given: the sensor's tolerances, 0.5 hPa, 0.5 K and 3 m of height.
// Find: what each contributes to the sea-level pressure (JCGM 100, 5.1.3).
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

// The same reading as an altimeter setting: the standard atmosphere knows no
// winter, so on a cold day it lies below the sea-level pressure. Comparing one
// with the other is comparing two different quantities.
func ExampleAltimeterSetting() {
	q := baro.AltimeterSetting(941.6, 612.2)
	r, _ := baro.NewReduction(baro.Column{Height: 612.2, TempC: -4.2, VapourPressureHPa: 3.94})
	fmt.Printf("altimeter setting %.1f hPa, sea level %.1f hPa\n", q, r.SeaLevel(941.6))
	// Output:
	// altimeter setting 1013.0 hPa, sea level 1017.0 hPa
}

// The standard atmosphere at 1000 m: geopotential or geometric metres give the
// same pressure to two hundredths of a hectopascal, here, and differ by 450 m
// at the top of the table.
func ExampleStandardAt() {
	fmt.Printf("1000 gpm: %.2f hPa\n", baro.StandardAt(1000).PressureHPa)
	fmt.Printf("1000 m:   %.2f hPa\n", baro.StandardAt(baro.ISOGeopotential(1000)).PressureHPa)
	fmt.Printf("900 hPa:  %.1f gpm\n", baro.PressureAltitude(900))
	// Output:
	// 1000 gpm: 898.75 hPa
	// 1000 m:   898.76 hPa
	// 900 hPa:  988.5 gpm
}

// A pressure in the wrong unit is refused with the unit it looks like.
func ExampleCheckStation() {
	err := baro.CheckStation(94160)
	fmt.Println(err)
	var re *stationphysics.RangeError
	fmt.Println(errors.As(err, &re), re.Slip)
	// Output:
	// station pressure 94160 hPa is outside 300..1100 hPa: pascals?
	// true pascals
}

// One value a minute goes in; after three hours the change and the figure of
// WMO code table 0200 come out.
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
