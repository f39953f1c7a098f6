package panel_test

import (
	"fmt"
	"time"

	"github.com/stationphysics/stationphysics/solar"
	"github.com/stationphysics/stationphysics/solar/panel"
	"github.com/stationphysics/stationphysics/solar/sky"
)

// tenWatts is the invented label that the examples share: a 36-cell panel for
// 12 V batteries.
var tenWatts = panel.Label{
	Pmax: 10, Vmp: 17.5, Imp: 0.571, Voc: 21.6, Isc: 0.620,
	IscPctPerK: 0.05, VocPctPerK: -0.33, CellsInSeries: 36,
}

// From a label to a curve.
//
// Given: a label of 10 W: Vmp 17.5 V, Imp 0.571 A, Voc 21.6 V, Isc 0.620 A, 36
// cells and two temperature coefficients.
// Find: the curve.
//
//	I = IL - I0 (exp((V + I Rs)/a) - 1) - (V + I Rs)/Rsh
//	five conditions for five parameters: I(0) = Isc, I(Voc) = 0, I(Vmp) = Imp,
//	dP/dV(Vmp) = 0, dVoc/dT as printed
//
// Source: De Soto, Klein and Beckman 2006, Solar Energy 80:78.
func ExampleFit() {
	m, err := panel.Fit(tenWatts)
	if err != nil {
		fmt.Println(err)
		return
	}
	p := m.Parameters()
	fmt.Printf("IL %.4f A, I0 %.2e A, a %.3f V, Rs %.2f ohm, Rsh %.0f ohm\n",
		p.PhotocurrentA, p.SaturationCurrentA, p.IdealityV, p.SeriesOhm, p.ShuntOhm)
	c := m.At(1000, 25)
	best := c.MaxPower()
	fmt.Printf("Voc %.2f V, Isc %.3f A, %.2f W at %.2f V\n", c.OpenCircuitV(), c.ShortCircuitA(), best.Pmp, best.Vmp)
	// Output:
	// IL 0.6218 A, I0 7.06e-12 A, a 0.858 V, Rs 2.67 ohm, Rsh 901 ohm
	// Voc 21.60 V, Isc 0.620 A, 9.99 W at 17.50 V
}

// The wrong way: what a label cannot mean. Each is refused with the two values
// that say so.
func ExampleFit_refused() {
	l := tenWatts
	l.Isc = 620 // printed in milliamperes
	_, err := panel.Fit(l)
	fmt.Println(err)

	l = tenWatts
	l.Pmax = 13.4 // Voc times Isc
	_, err = panel.Fit(l)
	fmt.Println(err)

	l = tenWatts
	l.VocPctPerK = -0.071 // printed in volts
	_, err = panel.Fit(l)
	fmt.Println(err)

	l = tenWatts
	l.Isc = 0.575
	_, err = panel.Fit(l)
	fmt.Println(err)
	// Output:
	// Isc 620 A is outside 0.005..20 A: milliamperes?
	// Pmax 13.4 W and Vmp·Imp 9.9925 W contradict each other: the rated power is Vmp times Imp to 5 %; this is Voc times Isc, which no panel delivers
	// temperature coefficient of Voc -0.071 %/K is outside -0.6..-0.15 %/K: volts per kelvin?
	// Imp 0.571 A and Isc 0.575 A contradict each other: no single-diode curve is so flat up to the maximum power point
}

// A sunny noon in July.
//
// Given: 900 W/m² through the glass, air at 30 °C, a breeze of 1 m/s.
// Find: the power.
//
//	T = Ta + G/(u0 + u1 v) = 30 + 900/(25 + 6.84·1) = 58.3 °C,
//	then the curve at 900 W/m² and 58.3 °C: 7.82 W
//
// The wrong way takes the rated watts times the light and forgets the heat.
//
// Source: Faiman 2008, Progress in Photovoltaics 16:307; curve De Soto et al.
// 2006.
func ExampleModule_At() {
	m, _ := panel.Fit(tenWatts)
	cellC := panel.OpenRack().CellC(900, 30, 1)
	p := m.At(900, cellC).MaxPower()
	fmt.Printf("cells at %.1f °C: %.2f W at %.1f V\n", cellC, p.Pmp, p.Vmp)
	fmt.Printf("wrong: 10 W · 900/1000 = %.2f W, %.0f %% too much\n", 10*0.9, (9/p.Pmp-1)*100)
	// Output:
	// cells at 58.3 °C: 7.82 W at 15.1 V
	// wrong: 10 W · 900/1000 = 9.00 W, 15 % too much
}

// What a charger's input must stand.
//
// Given: a charger that stands 24 V at its input and a record low of -25 °C.
// Find: whether it survives the panel.
//
//	Voc(-25 °C) = 21.6 (1 + 0.0033·50) = 25.2 V by the straight line, 25.1 V by the curve
//
// The wrong way compares with the 21.6 V of the label, which holds for cells
// at 25 °C.
//
// Source: De Soto et al. 2006.
func ExampleModule_Window() {
	m, _ := panel.Fit(tenWatts)
	w, err := m.Window(-25, 35, panel.OpenRack())
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("label %.1f V: would pass 24 V\n", tenWatts.Voc)
	fmt.Printf("cells at -25 °C: %.1f V at first light, %.1f V when the sun breaks through\n", w.FirstLightV, w.ColdestV)
	fmt.Printf("maximum power from %.1f V (cells at %.0f °C) to %.1f V\n", w.HotMaxPowerV, w.HotCellC, w.ColdMaxPowerV)
	// Output:
	// label 21.6 V: would pass 24 V
	// cells at -25 °C: 23.5 V at first light, 25.1 V when the sun breaks through
	// maximum power from 13.9 V (cells at 75 °C) to 21.2 V
}

// A charger with a fixed input voltage.
//
// Given: cells at 70 °C in full sun, at 30 °C in half of it, at -5 °C in less.
// Find: what each setting keeps of the power.
//
//	kept = V I(V)/(Vmp Imp): hot, 15.5 V keep 93 %, 17.5 V only 41 %
//
// The wrong way sets it to the Vmp of the label and meets a hot panel.
//
// Source: De Soto et al. 2006.
func ExampleCurve_KeptFrac() {
	m, _ := panel.Fit(tenWatts)
	hot, mild, cold := m.At(1000, 70), m.At(500, 30), m.At(300, -5)
	for _, holdV := range []float64{17.5, 15.5, 14.0} {
		fmt.Printf("%.1f V keeps %3.0f %% hot, %3.0f %% mild, %3.0f %% cold\n", holdV,
			100*hot.KeptFrac(holdV), 100*mild.KeptFrac(holdV), 100*cold.KeptFrac(holdV))
	}
	lo, hi := hot.KeptBand(0.95)
	fmt.Printf("hot, 95 %% lies between %.1f and %.1f V\n", lo, hi)
	// Output:
	// 17.5 V keeps  41 % hot, 100 % mild,  92 % cold
	// 15.5 V keeps  93 % hot,  94 % mild,  82 % cold
	// 14.0 V keeps 100 % hot,  86 % mild,  74 % cold
	// hot, 95 % lies between 12.7 and 15.3 V
}

// What a blocking diode is for.
//
// Given: a battery of 12.8 V on the panel at night, 12 h.
// Find: the current that it pushes back through the cells.
//
//	least the diodes alone, I0 (exp(V/a) - 1); most with the shunt, 12.8 V/901 ohm = 14.2 mA
//	12 h · 14.2 mA = 0.17 Ah
//
// How much depends on the panel's shunt in the dark, which no label gives.
//
// Source: single-diode equation in the dark, De Soto et al. 2006.
func ExampleModule_DarkLeakA() {
	m, _ := panel.Fit(tenWatts)
	for _, cellC := range []float64{0, 25, 45} {
		least, most := m.DarkLeakA(12.8, cellC)
		fmt.Printf("%2.0f °C: %.4f to %.1f mA, at most %.2f Ah in a night of 12 h\n", cellC, 1000*least, 1000*most, 12*most)
	}
	// In the light the curve gives the charging current.
	fmt.Printf("noon: %.0f mA\n", 1000*m.At(800, 40).CurrentA(12.8))
	// Output:
	// 0 °C: 0.0009 to 14.2 mA, at most 0.17 Ah in a night of 12 h
	// 25 °C: 0.0211 to 14.2 mA, at most 0.17 Ah in a night of 12 h
	// 45 °C: 0.1941 to 14.3 mA, at most 0.17 Ah in a night of 12 h
	// noon: 488 mA
}

// The same panel on a rack and on the lid of the station's box. The wrong way:
// to take the NOCT of the sheet for both; it speaks of the rack.
//
// Given: full sun, 25 °C, 1 m/s; NOCT 46 °C.
// Find: the temperature of the cells.
//
//	NOCT: 25 + (46 - 20)·1000/800 = 57.5 °C
//	rack: 25 + 1000/(25 + 6.84)   = 56.4 °C
//
// Source: IEC 61215; Faiman 2008; insulated back King et al.
// 2004, SAND2004-3535, table 1.
func ExampleNewNominal() {
	noct, err := panel.NewNominal(46)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("NOCT 46 °C:   25 + 26·1000/800 = %.1f °C\n", noct.CellC(1000, 25, 1))
	fmt.Printf("open rack:    25 + 1000/31.84  = %.1f °C\n", panel.OpenRack().CellC(1000, 25, 1))
	fmt.Printf("on insulation:                   %.1f °C\n", panel.PolymerInsulated().CellC(1000, 25, 1))
	// Output:
	// NOCT 46 °C:   25 + 26·1000/800 = 57.5 °C
	// open rack:    25 + 1000/31.84  = 56.4 °C
	// on insulation:                   82.5 °C
}

// A day of hourly light, through two chargers.
//
// Given: 3.13 kWh/m² over eleven hours (invented), 22 °C, 1.5 m/s.
// Find: the yield for a charger that tracks the maximum power point and for
// one that takes 14 V.
//
//	Σ Pmp(G, T) · 1 h = 30.3 Wh;  Σ 14 V · I(14 V) · 1 h = 26.6 Wh
//
// The wrong way multiplies the rated power by the sun hours, 10 W · 3.13 h,
// and asks nothing about the charger.
//
// Source: Faiman 2008 and De Soto et al. 2006, hour by hour.
func ExampleModule_Yield() {
	m, _ := panel.Fit(tenWatts)
	light := []float64{20, 110, 250, 400, 510, 550, 510, 400, 250, 110, 20} // W/m², invented
	day := make([]panel.Weather, len(light))
	for i, g := range light {
		day[i] = panel.Weather{IrradianceWPerM2: g, AirC: 22, WindMPerS: 1.5}
	}
	y, err := m.Yield(day, 1, panel.OpenRack(), 14)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("tracking %.1f Wh; held at 14 V %.1f Wh = %.2f Ah, %.0f %%\n", y.MaxPowerWh, y.HeldWh, y.HeldAh, 100*y.KeptFrac())
	fmt.Printf("wrong: 10 W · 3.13 h = %.1f Wh, %.0f %% more than the charger gets\n", 10*3.13, (31.3/y.HeldWh-1)*100)
	best, kept, _ := m.BestHold(day, 1, panel.OpenRack())
	fmt.Printf("best held voltage of this day: %.1f V, %.1f %%\n", best, 100*kept)
	// Output:
	// tracking 30.3 Wh; held at 14 V 26.6 Wh = 1.90 Ah, 88 %
	// wrong: 10 W · 3.13 h = 31.3 Wh, 18 % more than the charger gets
	// best held voltage of this day: 16.8 V, 99.9 %
}

// Two panels in series, one in the shade of the mast. The wrong way: to
// believe that the shaded one sets the current; its bypass diode lets the
// other work on.
//
// Given: 900 W/m² on one, 90 W/m² on the other.
// Find: what both give in series and in parallel.
//
//	in series V = V1(I) - 0.6 V: 8.30 W less 0.6 V · 0.52 A = 8.0 W
//
// Source: Kirchhoff with the curves of De Soto et al. 2006.
func ExampleSeries() {
	m, _ := panel.Fit(tenWatts)
	sunny, shaded := m.At(900, 45), m.At(90, 25)
	s, err := panel.Series(0.6, sunny, shaded)
	if err != nil {
		fmt.Println(err)
		return
	}
	p := s.MaxPower()
	fmt.Printf("in series:   %.2f W at %.1f V\n", p.Pmp, p.Vmp)
	fmt.Printf("sunny alone: %.2f W\n", sunny.MaxPower().Pmp)
	par, _ := panel.Parallel(0.3, sunny, shaded)
	fmt.Printf("in parallel: %.2f W\n", par.MaxPower().Pmp)
	// Output:
	// in series:   7.99 W at 15.5 V
	// sunny alone: 8.30 W
	// in parallel: 8.99 W
}

// The best mount on the darkest day. The wrong way: to face south whatever
// stands there.
//
// Given: a clear 21 December at 48° north, in the open and with a hill of 25°
// in the south-east that hides the sun until noon. The ground is taken as
// black.
// Find: tilt and facing.
//
//	in the open about 90° - noon elevation of 18.6° = 71°, due south
//
// Source: clear sky Ineichen and Perez 2002; plane Perez et al. 1990; curve De
// Soto et al. 2006.
func ExampleModule_BestMount() {
	site, err := solar.NewSite(48, 15, 400)
	if err != nil {
		fmt.Println(err)
		return
	}
	var day []panel.Step
	midnight := time.Date(2024, time.December, 21, 0, 0, 0, 0, time.UTC)
	for h := range 24 {
		start := midnight.Add(time.Duration(h) * time.Hour)
		sun, upRatio := sky.SunUp(site, start, time.Hour)
		l := sky.ClearSky(sun, 400, 3)
		l.GlobalWPerM2 *= upRatio
		l.BeamNormalWPerM2 *= upRatio
		l.DiffuseWPerM2 *= upRatio
		day = append(day, panel.Step{Record: sky.Record{Start: start, Length: time.Hour, Light: l}, AirC: 0, WindMPerS: 2})
	}
	m, _ := panel.Fit(tenWatts)
	open, err := m.BestMount(day, sky.Mount{}, site, nil, 0)
	if err != nil {
		fmt.Println(err)
		return
	}
	hill, _ := solar.NewSkyline([]solar.SkylinePoint{{AzimuthDeg: 100, ElevationDeg: 0}, {AzimuthDeg: 110, ElevationDeg: 25}, {AzimuthDeg: 180, ElevationDeg: 25}, {AzimuthDeg: 185, ElevationDeg: 0}})
	behind, _ := m.BestMount(day, sky.Mount{Skyline: hill}, site, nil, 0)
	fmt.Printf("open:   tilt %.0f°, facing %.0f°: %.1f Wh\n", open.Mount.TiltDeg, open.Mount.FacingDeg, open.Yield.MaxPowerWh)
	fmt.Printf("behind: tilt %.0f°, facing %.0f°: %.1f Wh\n", behind.Mount.TiltDeg, behind.Mount.FacingDeg, behind.Yield.MaxPowerWh)
	// Output:
	// open:   tilt 73°, facing 180°: 43.9 Wh
	// behind: tilt 74°, facing 205°: 23.4 Wh
}
