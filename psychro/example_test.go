package psychro_test

import (
	"fmt"

	"github.com/stationphysics/stationphysics/psychro"
)

// Given: a thermometer and a humidity sensor read 27.6 °C and 38 % at 949.8 hPa.
// Find: vapour pressure, dew point, wet bulb and moisture.
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

// Given: the sun warms a radiation shield by 3 K. Outside are 21.6 °C and 48 %; no
// water enters or leaves the shield.
// Find: what the humidity sensor in it reads.
// Warming keeps the vapour pressure, so that the relative humidity falls with
// the saturation pressure, U' = U es(t) f/(es(t') f'). The wrong way is to take
// a dry reading for dry air: dew point and vapour pressure have not moved.
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

// Given: a frosty morning, -8.4 °C and 91 % by a sensor that counts over water.
// Find: dew point, frost point and the humidity over ice.
// At -8.4 °C es is 3.27 hPa over water and 3.00 hPa over ice, so that 91 % over water
// are 99 % over ice: rime is near, though the sensor shows nine per cent to go.
// The wrong way is to take the reading for one over ice.
func ExampleState_HumidityOverIcePct() {
	air, _ := psychro.New(-8.4, 91, 947.3)
	fmt.Printf("dew point %.2f °C, frost point %.2f °C, over ice %.1f %%\n", air.DewPointC(), air.FrostPointC(), air.HumidityOverIcePct())
	wrong, _ := psychro.From(947.3, psychro.Temperature(-8.4), psychro.HumidityOverIce(91))
	fmt.Printf("wrong: 91 %% over ice would be a frost point of %.2f °C\n", wrong.FrostPointC())
	// Output:
	// dew point -9.60 °C, frost point -8.54 °C, over ice 98.7 %
	// wrong: 91 % over ice would be a frost point of -9.47 °C
}

// Given: an aspirated psychrometer reads 22.0 and 15.0 °C at 950 hPa.
// Find: the relative humidity, e = e'(tw) - A p (t - tw) with
// A = 6.53e-4 (1 + 0.000944·15) = 6.622e-4: 17.125 - 6.622e-4·950·7 = 12.721 hPa.
// The wrong way is to use a screen's thermometers with that coefficient: in
// light wind A is 7.99e-4.
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

// Given: 27.6 °C within 0.2 K, 38 % within 2 %, 949.8 hPa within 0.5 hPa (standard
// uncertainties).
// Find: the uncertainty of the dew point (JCGM 100 eq. 10),
// u² = (dTd/dt u(t))² + (dTd/dU u(U))² + (dTd/dp u(p))².
func ExampleState_Sensitivity() {
	air, _ := psychro.New(27.6, 38, 949.8)
	d := air.Sensitivity(psychro.DewPointC)
	fmt.Printf("dTd/dt %.3f, dTd/dU %.3f K/%%, dTd/dp %.5f K/hPa\n", d.PerK, d.PerPct, d.PerHPa)
	fmt.Printf("dew point %.1f °C within %.1f K\n", air.DewPointC(), d.Combined(0.2, 2, 0.5))
	// Output:
	// dTd/dt 0.887, dTd/dU 0.399 K/%, dTd/dp -0.00001 K/hPa
	// dew point 12.0 °C within 0.8 K
}

// Given: a sensor stuck in fog reads 100.3 %.
// Find: a state, by a choice that the caller has to make.
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

// Given: desert air of 10 °C and 20 % at 600 hPa.
// Find: the wet bulb. Two balances hold: a wick with liquid water comes to 0.2 °C, a
// frozen one to -0.3 °C.
func ExampleState_WetBulbC() {
	air, _ := psychro.New(10, 20, 600)
	fmt.Printf("wet bulb %.2f °C with %v; a frozen one %.2f °C\n", air.WetBulbC(), air.WetBulbCover(), air.IceBulbC())
	// Output:
	// wet bulb 0.21 °C with water; a frozen one -0.33 °C
}

// Given: a camera window loses heat to the clear sky and is at 6.5 °C in air of 9 °C
// and 80 %, later at -2 °C in air of 1 °C and 75 %.
// Find: how far it is from fogging up.
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

// Given: a report made with the formula of WMO-No. 8, 20 °C and 50 %.
// Find: its vapour pressure and dew point, 0.5·6.112 exp(17.62·20/263.12) = 11.663 hPa,
// and what the Reference says.
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

// Given: 33 °C and 60 %.
// Find: the heat index; and in the morning at 19 °C there is none.
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

// Given: 25 °C, 50 % and 1000 hPa at the ground.
// Find: the cloud base of air rising from there.
func ExampleState_CondensationLevel() {
	air, _ := psychro.New(25, 50, 1000)
	l := air.CondensationLevel()
	fmt.Printf("%.0f m up, at %.1f hPa and %.2f °C\n", l.RiseM, l.PressureHPa, l.TempC)
	// Output:
	// 1406 m up, at 848.8 hPa and 11.38 °C
}

// Given: an hour of readings in slices, one of them broken.
// Find: the dew points.
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
