package solar_test

import (
	"errors"
	"fmt"
	"time"

	"github.com/stationphysics/stationphysics"
	"github.com/stationphysics/stationphysics/solar"
)

// Where the sun stands.
//
// Given: Golden, Colorado, 39.742476° N, 105.1786° W, 1830.14 m, 820 hPa, 11
// °C, on 17 October 2003 at 12:30:30 Mountain Standard Time, TT - UT1 = 67 s.
// Find: its direction.
//
//	published: 50.11162° from the zenith, 194.34024° of azimuth
//	diurnal aberration, which the report leaves out: 0.32″ cos 39.7° = 0.25″,
//	here 0.00009° of azimuth
//
// Source: Reda and Andreas, NREL/TP-560-34302, appendix A.5.
func ExampleSite_At() {
	golden, err := solar.NewSite(39.742476, -105.1786, 1830.14)
	if err != nil {
		fmt.Println(err)
		return
	}
	golden, _ = golden.WithAir(820, 11)
	golden, _ = golden.WithDeltaT(67)
	mst := time.FixedZone("MST", -7*3600)
	sun := golden.At(time.Date(2003, 10, 17, 12, 30, 30, 0, mst))
	fmt.Printf("zenith angle      %.4f°\n", sun.ApparentZenithDeg())
	fmt.Printf("azimuth           %.4f°\n", sun.AzimuthDeg)
	fmt.Printf("declination       %.4f°\n", sun.DeclinationDeg)
	fmt.Printf("equation of time  %.3f min\n", sun.EquationOfTimeMin)
	fmt.Printf("distance          %.6f au\n", sun.DistanceAU)
	// Output:
	// zenith angle      50.1116°
	// azimuth           194.3402°
	// declination       -9.3143°
	// equation of time  14.642 min
	// distance          0.996542 au
}

// True and apparent elevation are two numbers.
//
// Given: Vienna on 21 December 2026.
// Find: the sunset, and the sun a minute before by both.
//
//	sunset: true elevation -0.833° = -(0.567° of refraction + 0.267° of semidiameter)
//
// The wrong way: "sunset is at elevation 0", minutes too early.
//
// Source: NREL/TP-560-34302, eq. 42 and appendix A.2.
func ExampleSite_At_horizon() {
	vienna, _ := solar.NewSite(48.2082, 16.3738, 170)
	cet := time.FixedZone("CET", 3600)
	day, _ := vienna.Day(2026, time.December, 21, cet)
	sun := vienna.At(day.Sun.Set.Add(-time.Minute))
	fmt.Printf("sunset %s; a minute before: true %.2f°, apparent %.2f°\n", day.Sun.Set.Format("15:04:05"), sun.TrueElevationDeg, sun.ApparentElevationDeg)
	// When is the true elevation zero?
	at := day.Sun.Set
	for vienna.At(at).TrueElevationDeg < 0 {
		at = at.Add(-time.Second)
	}
	fmt.Printf("centre at true 0°: %.1f min earlier\n", day.Sun.Set.Sub(at).Minutes())
	// Output:
	// sunset 16:02:46; a minute before: true -0.70°, apparent -0.12°
	// centre at true 0°: 6.2 min earlier
}

// The events of a day.
//
// Given: Golden, Colorado on 17 October 2003, in its own time zone.
// Find: twilight, sunrise, transit, sunset.
//
//	day length 2/15° · acos((sin(-0.833°) - sin φ sin δ)/(cos φ cos δ)) = 11.10 h
//
// The wrong way: the example printed with the algorithm gives the sunset as
// 17:20:19. Its program folds every event into 0 to 24 h of the date in
// universal time, where this sunset, at 0:18:52 of the 18th, has left the
// 17th; what remains there is the sunset of the evening before.
//
// Source: NREL/TP-560-34302, appendix A.2 and A.5.
func ExampleSite_Day() {
	golden, _ := solar.NewSite(39.742476, -105.1786, 1830.14)
	golden, _ = golden.WithDeltaT(67)
	mst := time.FixedZone("MST", -7*3600)
	day, err := golden.Day(2003, time.October, 17, mst)
	if err != nil {
		fmt.Println(err)
		return
	}
	const clock = "15:04:05"
	fmt.Println("civil dawn ", day.Civil.Rise.Format(clock))
	fmt.Println("sunrise    ", day.Sun.Rise.Format(clock))
	fmt.Println("transit    ", day.Transit.Format(clock))
	fmt.Println("sunset     ", day.Sun.Set.Format(clock))
	fmt.Println("civil dusk ", day.Civil.Set.Format(clock))
	fmt.Printf("day length  %.3f h, noon elevation %.2f°\n", day.Sun.LengthH, day.AtTransit.ApparentElevationDeg)
	before, _ := golden.Day(2003, time.October, 16, mst)
	fmt.Println("the evening before:", before.Sun.Set.Format(clock))
	// Output:
	// civil dawn  05:45:28
	// sunrise     06:12:43
	// transit     11:46:04
	// sunset      17:18:51
	// civil dusk  17:46:05
	// day length  11.102 h, noon elevation 40.97°
	// the evening before: 17:20:19
}

// A date belongs to a time zone.
//
// Given: Auckland, 1 January 2020.
// Find: the daylight of that date in its own zone, and for the date in UTC.
//
//	NZDT = UTC + 13 h: the sun of 1 January rises on 31 December in universal time
//
// Asked for the UTC date, the same place gives the daylight around the transit
// nearest to 12 h UT of that date.
//
// Source: definition of a civil date; times of NREL/TP-560-34302.
func ExampleSite_Day_zone() {
	auckland, _ := solar.NewSite(-36.8333, 174.8, 20)
	nzdt := time.FixedZone("NZDT", 13*3600)
	right, _ := auckland.Day(2020, time.January, 1, nzdt)
	wrong, _ := auckland.Day(2020, time.January, 1, time.UTC)
	const stamp = "2 Jan 15:04"
	fmt.Println("in NZDT:", right.Sun.Rise.Format(stamp), "to", right.Sun.Set.Format(stamp))
	fmt.Println("in UTC: ", wrong.Sun.Rise.In(nzdt).Format(stamp), "to", wrong.Sun.Set.In(nzdt).Format(stamp), "in NZDT")
	// Output:
	// in NZDT: 1 Jan 06:04 to 1 Jan 20:43
	// in UTC:  1 Jan 06:04 to 1 Jan 20:43 in NZDT
}

// The year at Longyearbyen, 78° N, by its outcomes. The wrong way: a program
// that expects a sunrise every day meets none for two thirds of the year.
//
// Given: 78.2232° N, 15.6267° E, the year 2026.
// Find: how many days have a rise and a set.
//
//	no set while φ + δ > 90° - 0.833°, no rise while φ - δ > 90° + 0.833°
//
// Source: NREL/TP-560-34302, appendix A.2.
func ExampleOutcome() {
	svalbard, _ := solar.NewSite(78.2232, 15.6267, 5)
	cet := time.FixedZone("CET", 3600)
	var days [5]int
	for date := time.Date(2026, 1, 1, 12, 0, 0, 0, cet); date.Year() == 2026; date = date.AddDate(0, 0, 1) {
		day, _ := svalbard.Day(date.Year(), date.Month(), date.Day(), cet)
		days[day.Sun.Outcome]++
		if day.Sun.Outcome == solar.OnlyRise || day.Sun.Outcome == solar.OnlySet {
			fmt.Println(date.Format("2 January:"), day.Sun.Outcome)
		}
	}
	fmt.Println(days[solar.Ordinary], "days with rise and set")
	fmt.Println(days[solar.UpAllDay], "of midnight sun")
	fmt.Println(days[solar.DownAllDay], "of polar night")
	// Output:
	// 18 April: only rises
	// 24 August: only sets
	// 125 days with rise and set
	// 127 of midnight sun
	// 111 of polar night
}

// What a ridge costs on the shortest day.
//
// Given: a panel at 47° N with a ridge to the south, its skyline measured with
// compass and clinometer (invented). The morning sun comes through a gap.
// Find: when it stands in the sun on 21 December, and what the ridge costs.
//
//	seen where apparent elevation(t) > skyline(azimuth(t)); lost = possible - seen
//	8.43 - 3.87 = 4.56 h
//
// Source: position NREL/TP-560-34302; skyline straight between its points.
func ExampleSite_DirectSun() {
	place, _ := solar.NewSite(47.0, 11.0, 900)
	ridge, err := solar.NewSkyline([]solar.SkylinePoint{
		{AzimuthDeg: 90, ElevationDeg: 12}, {AzimuthDeg: 140, ElevationDeg: 6}, {AzimuthDeg: 160, ElevationDeg: 14},
		{AzimuthDeg: 180, ElevationDeg: 21}, {AzimuthDeg: 205, ElevationDeg: 16}, {AzimuthDeg: 250, ElevationDeg: 9},
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	day, _ := place.DirectSun(2026, time.December, 21, time.FixedZone("CET", 3600), ridge)
	for _, s := range day.Spells {
		fmt.Println(s.From.Format("15:04"), "to", s.To.Format("15:04"))
	}
	fmt.Printf("%.2f h possible, %.2f h seen, %.2f h lost\n", day.PossibleH, day.SeenH, day.LostH)
	// Output:
	// 08:54 to 11:56
	// 12:55 to 13:46
	// 8.43 h possible, 3.87 h seen, 4.56 h lost
}

// A skyline by compass.
//
// Given: a house wall from azimuth 120° to 155°, 35° high, and trees of 8°
// over the rest of the horizon (invented); magnetic declination 4° E.
// Find: the first sun over the place on 1 March.
//
//	true azimuth = magnetic azimuth + declination: 116° + 4° = 120°
//
// The wrong way: the compass reading taken for true north; the sun seems to go
// behind the wall 19 minutes earlier.
//
// Source: definition of the magnetic declination, east positive.
func ExampleNewSkyline() {
	place, _ := solar.NewSite(50.0, 10.0, 300)
	wall := func(fromDeg, toDeg float64) solar.Skyline {
		line, err := solar.NewSkyline([]solar.SkylinePoint{
			{AzimuthDeg: fromDeg, ElevationDeg: 8}, {AzimuthDeg: fromDeg, ElevationDeg: 35},
			{AzimuthDeg: toDeg, ElevationDeg: 35}, {AzimuthDeg: toDeg, ElevationDeg: 8},
		})
		if err != nil {
			fmt.Println(err)
		}
		return line
	}
	cet := time.FixedZone("CET", 3600)
	for _, c := range []struct {
		name string
		line solar.Skyline
	}{{"true north    ", wall(116+4, 151+4)}, {"magnetic north", wall(116, 151)}} {
		day, _ := place.DirectSun(2026, time.March, 1, cet, c.line)
		fmt.Print(c.name)
		for _, s := range day.Spells {
			fmt.Print("  ", s.From.Format("15:04"), " to ", s.To.Format("15:04"))
		}
		fmt.Println()
	}
	// Output:
	// true north      08:00 to 08:39  11:05 to 17:05
	// magnetic north  08:00 to 08:20  10:50 to 17:05
}

// The same ridge over the year. The wrong way: to judge a place by its summer.
//
// Given: the ridge of ExampleSite_DirectSun.
// Find: the hours lost in March, June, September and December.
//
//	lost = possible - seen: March 62/368 = 17 %, December 125/264 = 47 %
//
// Source: as there, summed over the days of a month.
func ExampleSite_SunHours() {
	place, _ := solar.NewSite(47.0, 11.0, 900)
	ridge, _ := solar.NewSkyline([]solar.SkylinePoint{
		{AzimuthDeg: 90, ElevationDeg: 12}, {AzimuthDeg: 140, ElevationDeg: 6}, {AzimuthDeg: 160, ElevationDeg: 14},
		{AzimuthDeg: 180, ElevationDeg: 21}, {AzimuthDeg: 205, ElevationDeg: 16}, {AzimuthDeg: 250, ElevationDeg: 9},
	})
	months, err := place.SunHours(2026, time.FixedZone("CET", 3600), ridge)
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, m := range []time.Month{time.March, time.June, time.September, time.December} {
		s := months[m-1]
		fmt.Printf("%-9s %.0f of %.0f h lost (%.0f %%)\n", m, s.LostH, s.PossibleH, 100*s.LostH/s.PossibleH)
	}
	// Output:
	// March     62 of 368 h lost (17 %)
	// June      75 of 472 h lost (16 %)
	// September 62 of 375 h lost (17 %)
	// December  125 of 264 h lost (47 %)
}

// The sun path of a year at any step.
//
// Given: Quito, 0.18° S, 2026.
// Find: the highest sun, and the hours for which it stands north and south of
// the zenith.
//
//	north while δ > φ = -0.18°: from half a day before the equinox of March to half a
//	day after that of September, the longer half of the year
//
// Source: NREL/TP-560-34302, interpolated by Chebyshev polynomials.
func ExampleSite_Year() {
	quito, _ := solar.NewSite(-0.1807, -78.4678, 2850)
	sun, err := quito.Year(2026, time.FixedZone("ECT", -5*3600))
	if err != nil {
		fmt.Println(err)
		return
	}
	var north, south int
	top := 0.0
	for _, p := range sun.Every(time.Minute) {
		if p.TrueElevationDeg < 0 {
			continue
		}
		top = max(top, p.TrueElevationDeg)
		if p.DeclinationDeg > quito.LatDeg() {
			north++
		} else {
			south++
		}
	}
	fmt.Printf("highest sun %.1f°\n", top)
	fmt.Printf("%.0f h north of the zenith, %.0f h south of it\n", float64(north)/60, float64(south)/60)
	// Output:
	// highest sun 89.9°
	// 2243 h north of the zenith, 2137 h south of it
}

// True solar time.
//
// Given: Madison, Wisconsin, 89.4° W, 3 February, 10:30 Central Standard Time.
// Find: the true solar time.
//
//	standard time + 4 min/° · (90 - 89.4)° + E = 10:30 + 2.4 min - 13.5 min = 10:19
//
// The wrong way forgets the equation of time: 10:32.
//
// Source: Duffie and Beckman, Solar Engineering of Thermal Processes, example
// 1.5.1.
func ExamplePosition_SolarTimeH() {
	madison, _ := solar.NewSite(43.07, -89.4, 263)
	sun := madison.At(time.Date(2026, 2, 3, 10, 30, 0, 0, time.FixedZone("CST", -6*3600)))
	h := sun.SolarTimeH()
	fmt.Printf("equation of time %.1f min\n", sun.EquationOfTimeMin)
	fmt.Printf("solar time %02d:%02.0f\n", int(h), 60*(h-float64(int(h))))
	// Output:
	// equation of time -13.8 min
	// solar time 10:19
}

// Three kinds of time. The wrong way: to take them for one.
//
// Given: 1 June 2026, noon at the equator.
// Find: what each correction is worth.
//
//	UT1 - UTC = 0.9 s turns the Earth by 0.9 · 15.04″ = 13.5″
//	TT - UT1 = 69 s moves the sun's declination by -0.39″
//
// Source: NREL/TP-560-34302, 3.1; TT - UT1 as DeltaT says.
func ExampleSite_WithDeltaT() {
	at := time.Date(2026, 6, 1, 12, 0, 0, 0, time.UTC)
	site, _ := solar.NewSite(0, 0, 0)
	plain := site.At(at)
	without, _ := site.WithDeltaT(0)
	ut1, _ := site.WithUT1(0.9)
	fmt.Printf("TT - UT1 in June 2026: %.1f s\n", solar.DeltaT(at))
	fmt.Printf("leaving it out moves the declination by %.2f″\n", 3600*(without.At(at).DeclinationDeg-plain.DeclinationDeg))
	fmt.Printf("0.9 s of UT1 - UTC move the hour angle by %.1f″\n", 3600*(ut1.At(at).HourAngleDeg-plain.HourAngleDeg))
	// Output:
	// TT - UT1 in June 2026: 69.1 s
	// leaving it out moves the declination by -0.39″
	// 0.9 s of UT1 - UTC move the hour angle by 13.5″
}

// The wrong way: a longitude counted to 360°, and a pressure in pascals. They
// are refused with the value, the range and the slip that it looks like.
func ExampleNewSite() {
	_, err := solar.NewSite(48.2, 343.6, 170)
	fmt.Println(err)
	site, _ := solar.NewSite(48.2, -16.4, 170)
	_, err = site.WithAir(99300, 12)
	fmt.Println(err)
	var re *stationphysics.RangeError
	fmt.Println(errors.As(err, &re), re.Quantity, re.Max)
	// Output:
	// longitude 343.6 deg is outside -180..180 deg: counted eastwards to 360, subtract 360?
	// station pressure 99300 hPa is outside 300..1100 hPa: pascals?
	// true station pressure 1100
}
