package sky_test

import (
	"errors"
	"fmt"
	"math"
	"time"

	"github.com/stationphysics/stationphysics"
	"github.com/stationphysics/stationphysics/solar"
	"github.com/stationphysics/stationphysics/solar/sky"
)

// What falls on a tilted panel.
//
// Given: sun 18° high and due south, 600 W/m² of beam, 80 W/m² of diffuse
// light on the level, ground of grass (albedo 0.2), a panel tilted 60° to the
// south.
// Find: what falls on the panel, by hand for an even sky.
//
//	beam    600 cos(90° − 18° − 60°)            = 600 · 0.978 = 587
//	sky      80 (1 + cos 60°)/2                 =  80 · 0.750 =  60
//	ground  0.2 · (600 sin 18° + 80)(1 − cos 60°)/2 = 0.2 · 265 · 0.25 = 13
//
// A clear sky is brighter about the sun, which the model of Perez adds. The
// wrong way: a facing of 0° in the belief that south counts as zero.
//
// Source: Duffie and Beckman, Solar Engineering of Thermal Processes (even
// sky); Perez et al. 1990.
func ExamplePlane_On() {
	sun := sky.Sun{ElevationDeg: 18, AzimuthDeg: 180, DistanceAU: 0.984}
	light := sky.Light{GlobalWPerM2: 600*math.Sin(18*math.Pi/180) + 80, BeamNormalWPerM2: 600, DiffuseWPerM2: 80}
	for _, m := range []sky.Mount{
		{TiltDeg: 60, FacingDeg: 180, Albedo: 0.2, Sky: sky.Isotropic},
		{TiltDeg: 60, FacingDeg: 180, Albedo: 0.2, Sky: sky.Perez},
		{TiltDeg: 60, FacingDeg: 0, Albedo: 0.2, Sky: sky.Perez},
	} {
		p, err := sky.NewPlane(m)
		if err != nil {
			fmt.Println(err)
			return
		}
		on := p.On(sun, light)
		fmt.Printf("facing %3.0f°: beam %3.0f + sky %2.0f + ground %2.0f = %3.0f W/m²\n",
			m.FacingDeg, on.BeamWPerM2, on.SkyWPerM2, on.GroundWPerM2, on.TotalWPerM2)
	}
	// Output:
	// facing 180°: beam 587 + sky 60 + ground 13 = 660 W/m²
	// facing 180°: beam 587 + sky 149 + ground 13 = 750 W/m²
	// facing   0°: beam   0 + sky 51 + ground 13 =  64 W/m²
}

// Beam and diffuse out of one reading.
//
// Given: 350 W/m² global with the sun 30° high on 20 March.
// Find: beam and diffuse.
//
//	outside 1361.1/R² · sin 30° = 1372 · 0.5 = 686, clearness 350/686 = 0.510
//	diffuse share 0.9511 − 0.1604 k + 4.388 k² − 16.638 k³ + 12.336 k⁴ = 0.638
//	diffuse 0.638 · 350 = 223, beam (350 − 223)/sin 30° = 253
//
// The wrong way: to take all of it as beam gives 700 W/m², more than twice.
//
// Source: Erbs, Klein and Duffie 1982; 1361.1 W/m² Gueymard 2018.
func ExampleSplit_Light() {
	sun := sky.Sun{ElevationDeg: 30, AzimuthDeg: 140, DistanceAU: sky.DistanceOnDayAU(79)}
	outside := sun.ExtraterrestrialWPerM2() * math.Sin(30*math.Pi/180)
	l := sky.Erbs.Light(sun, 350)
	fmt.Printf("clearness %.3f, diffuse share %.2f\n", 350/outside, sky.Erbs.DiffuseRatio(350/outside))
	fmt.Printf("diffuse %.0f, beam %.0f W/m²\n", l.DiffuseWPerM2, l.BeamNormalWPerM2)
	// Output:
	// clearness 0.510, diffuse share 0.64
	// diffuse 223, beam 253 W/m²
}

// The air that low light crosses.
//
// Given: a sun 90, 30, 10, 2 and 0° above the horizon.
// Find: the air in its way, in verticals.
//
//	1/(sin e + 0.50572 (e + 6.07995)^-1.6364): at 2° 1/(0.0349 + 0.0166) = 19.4
//
// The wrong way, one over the sine, gives 28.7 there and on the horizon
// infinity instead of 38.
//
// Source: Kasten and Young 1989.
func ExampleSun_AirMass() {
	for _, e := range []float64{90, 30, 10, 2, 0} {
		s := sky.Sun{ElevationDeg: e, DistanceAU: 1}
		fmt.Printf("%2.0f°: %5.2f  (1/sin %.2f)\n", e, s.AirMass(), 1/math.Sin(e*math.Pi/180))
	}
	// Output:
	// 90°:  1.00  (1/sin 1.00)
	// 30°:  1.99  (1/sin 2.00)
	// 10°:  5.59  (1/sin 5.76)
	//  2°: 19.43  (1/sin 28.65)
	//  0°: 37.92  (1/sin +Inf)
}

// What passes the glass.
//
// Given: a panel under 3 mm glass, the sun nearly along it (angle of incidence
// 75°); 2 % of dirt; snow on half of it.
// Find: what reaches the cells.
//
//	of the beam 0.77, of the light of sky and ground, from all directions, 0.94
//	to the cells (0.77 B + 0.94 (S + G))·0.98 = 297 W/m² of 363
//
// The wrong way: the 363 W/m² on the glass. A panel that faces the sun loses
// nothing that its label does not know of.
//
// Source: refraction and absorption as De Soto et al. 2006; diffuse parts
// Marion 2017.
func ExamplePlane_EffectiveWPerM2() {
	glass, err := sky.NewGlassCover(1.526, 4, 3)
	if err != nil {
		fmt.Println(err)
		return
	}
	p, err := sky.NewPlane(sky.Mount{TiltDeg: 90, FacingDeg: 180, Albedo: 0.2, Cover: glass, SoilingPct: 2})
	if err != nil {
		fmt.Println(err)
		return
	}
	sun := sky.Sun{ElevationDeg: 62, AzimuthDeg: 123.4, DistanceAU: 1.016}
	on := p.On(sun, sky.Light{GlobalWPerM2: 850, BeamNormalWPerM2: 820, DiffuseWPerM2: 126})
	fmt.Printf("incidence %.0f°: beam through glass %.2f, sky %.2f, ground %.2f\n",
		p.IncidenceDeg(sun), glass.BeamRatio(p.IncidenceDeg(sun)), glass.SkyRatio(90), glass.GroundRatio(90))
	fmt.Printf("on the glass %.0f, to the cells %.0f, half under snow %.0f W/m²\n",
		on.TotalWPerM2, p.EffectiveWPerM2(on, 0), p.EffectiveWPerM2(on, 50))
	// Output:
	// incidence 75°: beam through glass 0.77, sky 0.94, ground 0.94
	// on the glass 363, to the cells 297, half under snow 148 W/m²
}

// A house in the south.
//
// Given: a station in a yard; to the south a house that stands 20° high
// between south-east and south-west.
// Find: what is left of a clear December noon, the sun 18° high.
//
//	beam 0, and with it the bright sky around the sun; of the even sky 0.60/0.75
//
// The wrong way: to take the beam away and leave the sky.
//
// Source: Hay and Davies 1980; what stands before the sky is taken as black.
func ExampleMount_skyline() {
	house, err := solar.NewSkyline([]solar.SkylinePoint{{AzimuthDeg: 135}, {AzimuthDeg: 135, ElevationDeg: 20}, {AzimuthDeg: 225, ElevationDeg: 20}, {AzimuthDeg: 225}})
	if err != nil {
		fmt.Println(err)
		return
	}
	sun := sky.Sun{ElevationDeg: 18.3, AzimuthDeg: 180, DistanceAU: 0.984}
	light := sky.ClearSky(sun, 200, 3)
	for _, skyline := range []solar.Skyline{{}, house} {
		p, err := sky.NewPlane(sky.Mount{TiltDeg: 60, FacingDeg: 180, Albedo: 0.2, Sky: sky.HayDavies, Skyline: skyline})
		if err != nil {
			fmt.Println(err)
			return
		}
		on := p.On(sun, light)
		fmt.Printf("share of the sky %.2f: beam %3.0f + sky %2.0f + ground %2.0f = %3.0f W/m²\n",
			p.SkyViewRatio(), on.BeamWPerM2, on.SkyWPerM2, on.GroundWPerM2, on.TotalWPerM2)
	}
	// Output:
	// share of the sky 0.75: beam 657 + sky 100 + ground 13 = 770 W/m²
	// share of the sky 0.60: beam   0 + sky 17 + ground  3 =  20 W/m²
}

// The hour in which the sun rises.
//
// Given: two lines of an hourly file, 4 to 5 and 5 to 6 UTC on 20 March at
// 48.2° N 16.37° E; the sun rises at 4:58.
// Find: the sun that their means belong to.
//
//	middle of the sunlit part: (4:58 + 5:00)/2 = 4:59, 0.1° high; and 5:30, 4.9° high
//
// The wrong way, the middle of the hour, has the sun 5° below the horizon and
// no place for the beam in the file.
//
// Source: position NREL/TP-560-34302; mean over the sunlit part.
func ExampleSunUp() {
	site, err := solar.NewSite(48.2, 16.37, 200)
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, h := range []int{4, 5} {
		start := time.Date(2024, 3, 20, h, 0, 0, 0, time.UTC)
		mid, up := sky.SunUp(site, start, time.Hour)
		wrong := site.At(start.Add(30 * time.Minute))
		fmt.Printf("%d to %d h: up for %.0f min, sun %.1f° high (middle of the hour %.1f°)\n", h, h+1, 60*up, mid.ElevationDeg, wrong.ApparentElevationDeg)
	}
	// Output:
	// 4 to 5 h: up for 2 min, sun 0.1° high (middle of the hour -5.3°)
	// 5 to 6 h: up for 60 min, sun 4.9° high (middle of the hour 4.9°)
}

// Three lines of an hourly file.
//
// Given: at night -2 W/m²; at noon 600 W/m² global, 120 diffuse and no beam;
// near midnight 700 W/m².
// Find: complete light for each, and what was done.
//
//	-2 → 0: the cold of the sky on the instrument
//	beam (600 - 120)/sin 41.5° = 725 W/m²
//
// The wrong way, in the file: bright sun at midnight. Its clock is not what
// its reader believes, and nothing sensible can come of it.
//
// Source: global = beam · sin elevation + diffuse.
func ExampleClean() {
	site, err := solar.NewSite(48.2, 16.37, 200)
	if err != nil {
		fmt.Println(err)
		return
	}
	hour := func(h int, global, beam, diffuse float64) sky.Record {
		return sky.Record{Start: time.Date(2024, 3, 20, h, 0, 0, 0, time.UTC), Length: time.Hour,
			Light: sky.Light{GlobalWPerM2: global, BeamNormalWPerM2: beam, DiffuseWPerM2: diffuse}}
	}
	records := []sky.Record{hour(2, -2, 0, -2), hour(11, 600, math.NaN(), 120), hour(23, 700, 800, 90)}
	done, err := sky.Clean(records, site, sky.ErbsDriesse)
	fmt.Printf("negative set to 0: %d, filled in: %d, beam at noon %.0f W/m²\n", done.NegativeCount, done.FilledCount, records[1].BeamNormalWPerM2)
	fmt.Println(err)
	var re *stationphysics.RangeError
	fmt.Println(errors.As(err, &re), re.Slip)
	// Output:
	// negative set to 0: 1, filled in: 1, beam at noon 725 W/m²
	// record 2 at 2024-03-20T23:00:00Z: global irradiance 700 W/m² is outside -30..100 W/m²: sunlight at night, a wrong time zone?
	// true sunlight at night, a wrong time zone
}

// The days behind a monthly mean.
//
// Given: a December of clearness 0.30.
// Find: its days.
//
//	F(k) = (e^(g kmin) - e^(g k))/(e^(g kmin) - e^(g kmax)), g such that the mean is 0.30:
//	half of the days bring less than 27 %, the darkest of thirty 6 %, the brightest 67 %
//
// The wrong way is to size a battery by the mean day.
//
// Source: Bendt, Collares-Pereira and Rabl 1981; Hollands and Huget 1983.
func ExampleDailyClearness() {
	const mean = 0.30
	for _, day := range []struct {
		name string
		prob float64
	}{{"darkest of 30", 0.5 / 30}, {"median", 0.5}, {"brightest of 30", 29.5 / 30}} {
		fmt.Printf("%-15s %.2f\n", day.name, sky.DailyClearness(mean, day.prob))
	}
	// Output:
	// darkest of 30   0.06
	// median          0.27
	// brightest of 30 0.67
}

// An hourly year out of monthly means.
//
// Given: the monthly means of a place in middle Europe.
// Find: an hourly year, and the darkest stretch in it that a battery must
// outlast: the five days in a row with the least light on the level.
//
//	mean of December kept: 0.70 kWh/m² a day; darkest five days 1.46 kWh/m²
//
// The wrong way: the mean of the darkest month, 0.70 kWh/m² a day, would
// promise 3.5 kWh/m² for any five days.
//
// Source: Bendt 1981, Graham 1988, Aguiar and Collares-Pereira 1992.
func ExampleSyntheticYear() {
	site, err := solar.NewSite(48.2, 16.37, 200)
	if err != nil {
		fmt.Println(err)
		return
	}
	hours, err := sky.SyntheticYear(site, sky.Climate{
		DailyGlobalKWhPerM2: [12]float64{0.9, 1.7, 2.9, 4.3, 5.4, 5.8, 5.9, 5.1, 3.6, 2.1, 1.0, 0.7},
		MeanTempC:           [12]float64{0, 2, 6, 11, 15, 19, 21, 20, 16, 10, 5, 1},
		DailySpreadK:        4,
		WindMPerS:           3,
	}, 2023, time.FixedZone("CET", 3600), 1)
	if err != nil {
		fmt.Println(err)
		return
	}
	var december, least, run float64
	var when time.Time
	least = math.Inf(1)
	for i, h := range hours {
		if h.Start.Month() == time.December {
			december += h.GlobalWPerM2 / 1000
		}
		run += h.GlobalWPerM2 / 1000
		if i >= 5*24 {
			run -= hours[i-5*24].GlobalWPerM2 / 1000
		}
		if i >= 5*24-1 && run < least {
			least, when = run, h.Start
		}
	}
	fmt.Printf("%d hours, December %.2f kWh/m² a day\n", len(hours), december/31)
	fmt.Printf("darkest five days: %.2f kWh/m², until %s\n", least, when.Format("2 January"))
	// Output:
	// 8760 hours, December 0.70 kWh/m² a day
	// darkest five days: 1.46 kWh/m², until 6 January
}

// Lux into watts.
//
// Given: a light sensor with a sixteen-bit count, top 54 612 lx, under a sun
// 55° high, dew point 10 °C.
// Find: the irradiance behind its readings.
//
//	30 000 lx/253 W/m² = 119 lm/W, 108 to 122 by the sky: 246 to 278 W/m²
//	at the top at least 477 W/m², and how much more the sensor cannot tell
//
// The wrong way: to divide the top by 126.7 lx for a W/m² and to publish 431
// W/m² for a noon of 827.
//
// Source: luminous efficacy Perez et al. 1990.
func ExampleLightSensor_Irradiance() {
	s := sky.LightSensor{TopLx: sky.SixteenBitTopLx, DewPointC: 10}
	sun := sky.Sun{ElevationDeg: 55, AzimuthDeg: 180, DistanceAU: 1.01}
	for _, lx := range []float64{30000, 54612.5} {
		b := s.Irradiance(sun, lx)
		if b.AtLeast {
			fmt.Printf("%.0f lx: at least %.0f W/m²\n", lx, b.LowWPerM2)
			continue
		}
		fmt.Printf("%.0f lx: %.0f W/m² (%.0f to %.0f)\n", lx, b.BestWPerM2, b.LowWPerM2, b.HighWPerM2)
	}
	noon := sky.ClearSky(sun, 200, 3)
	fmt.Printf("clear noon: %.0f W/m², %.0f lx\n", noon.GlobalWPerM2, noon.Illuminance(sun, 10).GlobalLx)
	// Output:
	// 30000 lx: 253 W/m² (246 to 278)
	// 54612 lx: at least 477 W/m²
	// clear noon: 827 W/m², 88685 lx
}
