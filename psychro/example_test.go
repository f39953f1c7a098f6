package psychro_test

import (
	"fmt"

	"github.com/stationphysics/stationphysics/psychro"
)

// What a thermometer and a humidity sensor say together.
//
// Given: 27.6 °C and 38 % at 949.8 hPa.
// Find: vapour pressure, dew point, wet bulb and moisture.
//
//	e = U f es(t) = 0.38 · 1.004 · 36.96 hPa = 14.10 hPa
//	w = 622 e/(p - e) = 622·14.10/935.7 = 9.37 g/kg
//	es(td) f(td) = e gives td = 12.0 °C
//
// Source: es IAPWS-95; f and the real gas IAPWS G8-10.
func Example() {
	air, err := psychro.New(27.6, 38, 949.8)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("vapour pressure %.3f hPa\n", air.VapourPressureHPa())
	fmt.Printf("dew point       %.2f °C\n", air.DewPointC())
	fmt.Printf("wet bulb        %.2f °C\n", air.WetBulbC())
	fmt.Printf("mixing ratio    %.3f g/kg\n", air.MixingRatioGPerKg())
	fmt.Printf("density         %.4f kg/m³\n", air.DensityKgPerM3())
	// Output:
	// vapour pressure 14.103 hPa
	// dew point       12.02 °C
	// wet bulb        17.61 °C
	// mixing ratio    9.374 g/kg
	// density         1.0944 kg/m³
}

// What a shield that the sun warms does to the humidity.
//
// Given: the sun warms a radiation shield by 3 K. Outside are 21.6 °C and 48
// %; no water enters or leaves the shield.
// Find: what the humidity sensor in it reads.
//
//	U' = U es(t) f/(es(t') f') = 48 · 25.8/30.9 = 40 %: the vapour pressure is kept
//
// The wrong way is to take a dry reading for dry air, or to mix the sensor's
// humidity with the true temperature: a dew point of 7.5 instead of 10.1 °C.
//
// Source: definition of relative humidity, WMO-No. 8, part I, annex 4.A; es
// IAPWS-95.
func ExampleFrom_heatedShield() {
	const p = 950
	outside, _ := psychro.New(21.6, 48, p)
	inside, _ := psychro.From(p, psychro.Temperature(21.6+3), psychro.VapourPressure(outside.VapourPressureHPa()))
	fmt.Printf("outside 21.6 °C: %.1f %%, e %.2f hPa, dew point %.2f °C\n", outside.RelativeHumidityPct(), outside.VapourPressureHPa(), outside.DewPointC())
	fmt.Printf("inside  24.6 °C: %.1f %%, e %.2f hPa, dew point %.2f °C\n", inside.RelativeHumidityPct(), inside.VapourPressureHPa(), inside.DewPointC())
	// Mixing the sensor's humidity with the true temperature makes an error.
	wrong, _ := psychro.New(21.6, inside.RelativeHumidityPct(), p)
	fmt.Printf("wrong: that humidity at 21.6 °C, dew point %.2f °C\n", wrong.DewPointC())
	// Output:
	// outside 21.6 °C: 48.0 %, e 12.44 hPa, dew point 10.13 °C
	// inside  24.6 °C: 40.0 %, e 12.44 hPa, dew point 10.13 °C
	// wrong: that humidity at 21.6 °C, dew point 7.45 °C
}

// Rime near, though the sensor shows nine per cent to go.
//
// Given: a frosty morning, -8.4 °C and 91 % by a sensor that counts over
// water.
// Find: dew point, frost point and the humidity over ice.
//
//	es is 3.248 hPa over water and 2.993 hPa over ice: 91 · 3.248/2.993 = 98.7 % over ice
//
// The wrong way is to take the reading for one over ice.
//
// Source: Murphy and Koop (2005), eq. 10, over supercooled water; IAPWS R14-08
// over ice.
func ExampleState_HumidityOverIcePct() {
	air, _ := psychro.New(-8.4, 91, 947.3)
	fmt.Printf("dew point %.2f °C, frost point %.2f °C, over ice %.1f %%\n", air.DewPointC(), air.FrostPointC(), air.HumidityOverIcePct())
	wrong, _ := psychro.From(947.3, psychro.Temperature(-8.4), psychro.HumidityOverIce(91))
	fmt.Printf("wrong: 91 %% over ice would be a frost point of %.2f °C\n", wrong.FrostPointC())
	// Output:
	// dew point -9.60 °C, frost point -8.54 °C, over ice 98.7 %
	// wrong: 91 % over ice would be a frost point of -9.47 °C
}

// A wet and a dry thermometer.
//
// Given: an aspirated psychrometer reads 22.0 and 15.0 °C at 950 hPa.
// Find: the relative humidity.
//
//	e = e'(tw) - A p (t - tw), A = 6.53e-4 (1 + 0.000944·15) = 6.622e-4 1/K
//	  = 17.125 - 6.622e-4·950·7 = 12.721 hPa
//
// The wrong way is to use a screen's thermometers with that coefficient: in
// light wind A is 7.99e-4, and the humidity 44.5 instead of 47.9 %.
//
// Source: WMO-No. 8, part I, annex 4.B.
func ExampleFromPsychrometer() {
	r := psychro.Reading{TempC: 22, BulbC: 15, PressureHPa: 950}
	air, _ := psychro.FromPsychrometer(r)
	fmt.Printf("aspirated: e %.3f hPa, %.1f %%\n", air.VapourPressureHPa(), air.RelativeHumidityPct())
	r.Ventilation = psychro.Screen
	air, _ = psychro.FromPsychrometer(r)
	fmt.Printf("screen:    e %.3f hPa, %.1f %%\n", air.VapourPressureHPa(), air.RelativeHumidityPct())
	// Output:
	// aspirated: e 12.721 hPa, 47.9 %
	// screen:    e 11.812 hPa, 44.5 %
}

// How sure a dew point is.
//
// Given: 27.6 °C within 0.2 K, 38 % within 2 %, 949.8 hPa within 0.5 hPa
// (standard uncertainties).
// Find: the uncertainty of the dew point.
//
//	u² = (dTd/dt u(t))² + (dTd/dU u(U))² + (dTd/dp u(p))²
//	   = (0.887·0.2)² + (0.399·2)² + 0 = 0.82² K²
//
// Source: JCGM 100:2008, eq. 10.
func ExampleState_Sensitivity() {
	air, _ := psychro.New(27.6, 38, 949.8)
	d := air.Sensitivity(psychro.DewPointC)
	fmt.Printf("dTd/dt %.3f, dTd/dU %.3f K/%%, dTd/dp %.5f K/hPa\n", d.PerK, d.PerPct, d.PerHPa)
	fmt.Printf("dew point %.1f °C within %.1f K\n", air.DewPointC(), d.Combined(0.2, 2, 0.5))
	// Output:
	// dTd/dt 0.887, dTd/dU 0.399 K/%, dTd/dp -0.00001 K/hPa
	// dew point 12.0 °C within 0.8 K
}

// The wrong way: to pass on what cannot be. A sensor stuck in fog reads 100.3
// %; New refuses it, and the caller has to choose.
//
// Given: 4.2 °C, 100.3 % and 955 hPa.
// Find: a state.
//
//	Saturate: U = 100 %, the dew point is the air's, 4.2 °C; Keep: U = 100.3 %
//
// Source: WMO-No. 8 reports at most 100 %; fog may hold a few tenths more.
func ExampleExcess() {
	_, err := psychro.New(4.2, 100.3, 955)
	fmt.Println(err)
	air, _ := psychro.Saturate.New(4.2, 100.3, 955)
	fmt.Printf("saturated: dew point %.3f °C\n", air.DewPointC())
	air, _ = psychro.Keep.New(4.2, 100.3, 955)
	fmt.Printf("kept:      dew point %.3f °C\n", air.DewPointC())
	// Output:
	// relative humidity over water 100.3 % is outside 0..100 %: pegged or supersaturated, see Excess?
	// saturated: dew point 4.200 °C
	// kept:      dew point 4.243 °C
}

// A wet bulb about zero.
//
// Given: desert air of 10 °C and 20 % at 600 hPa.
// Find: the wet bulb.
//
//	h(tw, ws) = h(t, w) + (ws - w) hw(tw)
//
// Two balances hold: a wick with liquid water comes to 0.2 °C, a frozen one to
// -0.3 °C.
//
// Source: adiabatic saturation, ASHRAE Fundamentals, chapter 1; enthalpies of
// the real gas IAPWS G8-10.
func ExampleState_WetBulbC() {
	air, _ := psychro.New(10, 20, 600)
	fmt.Printf("wet bulb %.2f °C with %v; a frozen one %.2f °C\n", air.WetBulbC(), air.WetBulbCover(), air.IceBulbC())
	// Output:
	// wet bulb 0.21 °C with water; a frozen one -0.33 °C
}

// How far a window is from fogging up.
//
// Given: a camera window loses heat to the clear sky and is at 6.5 °C in air
// of 9 °C and 80 %, later at -2 °C in air of 1 °C and 75 %.
// Find: the margin to water or rime.
//
//	6.50 - td = 6.50 - 5.74 = 0.76 K;  -2.00 - tf = -2.00 + 2.59 = 0.59 K
//
// The wrong way: to compare a frozen window with the dew point, -2.93 °C.
//
// Source: dew and frost point by IAPWS-95 and IAPWS R14-08.
func ExampleState_CondensationMarginK() {
	air, _ := psychro.New(9, 80, 950)
	m, deposit := air.CondensationMarginK(6.5)
	fmt.Printf("%+.2f K to %v\n", m, deposit)
	air, _ = psychro.New(1, 75, 950)
	m, deposit = air.CondensationMarginK(-2)
	fmt.Printf("%+.2f K to %v: rime, though the dew point is %.2f °C\n", m, deposit, air.DewPointC())
	// Output:
	// +0.76 K to water
	// +0.59 K to ice: rime, though the dew point is -2.93 °C
}

// A report made with the formula of a weather service.
//
// Given: 20 °C and 50 %.
// Find: its vapour pressure and dew point, and what the Reference says.
//
//	e  = 0.5·6.112 exp(17.62·20/263.12) = 11.663 hPa
//	td = 243.12 x/(17.62 - x), x = ln(11.663/6.112): 9.255 °C
//
// Outside its range the formula says nothing.
//
// Source: WMO-No. 8, part I, annex 4.B; Reference IAPWS-95.
func ExampleFormula() {
	for _, f := range []psychro.Formula{psychro.WMO8, psychro.Reference} {
		e := 0.50 * f.PressureHPa(psychro.Water, 20)
		fmt.Printf("%.3f hPa, dew point %.3f °C\n", e, f.TemperatureC(psychro.Water, e))
	}
	fmt.Println(psychro.WMO8.Check(psychro.Water, 75))
	// Output:
	// 11.663 hPa, dew point 9.255 °C
	// 11.697 hPa, dew point 9.273 °C
	// temperature over water for WMO-No. 8 75 °C is outside -45..60 °C
}

// How hot it feels, and when it is no question.
//
// Given: 33 °C and 60 % at noon; 19 °C and 90 % in the morning.
// Find: the heat index.
//
//	T = 91.4 °F: -42.379 + 2.04901523 T + 10.14333127 U - ... = 103.1 °F = 39.5 °C
//
// Below 80 °F there is none: NaN and false.
//
// Source: Rothfusz 1990, US National Weather Service SR 90-23.
func ExampleState_HeatIndexC() {
	noon, _ := psychro.New(33, 60, 1005)
	hi, defined := noon.HeatIndexC()
	fmt.Printf("%.1f °C %v\n", hi, defined)
	morning, _ := psychro.New(19, 90, 1005)
	hi, defined = morning.HeatIndexC()
	fmt.Println(hi, defined)
	// Output:
	// 39.5 °C true
	// NaN false
}

// The cloud base.
//
// Given: 25 °C, 50 % and 1000 hPa at the ground.
// Find: the height at which air rising from there is saturated.
//
//	entropy and mixing ratio kept; the rule of thumb 125 m/K · (t - td) gives
//	125 · (25 - 13.9) = 1390 m
//
// Source: entropy of the real gas IAPWS G8-10; rule of thumb from memory.
func ExampleState_CondensationLevel() {
	air, _ := psychro.New(25, 50, 1000)
	l := air.CondensationLevel()
	fmt.Printf("%.0f m up, at %.1f hPa and %.2f °C\n", l.RiseM, l.PressureHPa, l.TempC)
	// Output:
	// 1406 m up, at 848.8 hPa and 11.38 °C
}

// Many readings at once.
//
// Given: four readings in slices, one of them broken.
// Find: the dew points.
//
//	-140.4 °C lies outside -100..100 °C: NaN in its place, the others are not touched
//
// Source: as in the first example.
func ExampleBatch() {
	temp := []float64{12.1, 12.3, 12.4, -140.4}
	rh := []float64{81, 80, 80, 79}
	p := []float64{951.2, 951.2, 951.3, 951.3}
	dew := make([]float64, len(temp))
	psychro.Batch(dew, psychro.DewPointC, temp, rh, p)
	fmt.Printf("%.2f\n", dew)
	// Output:
	// [8.94 8.95 9.05 NaN]
}
