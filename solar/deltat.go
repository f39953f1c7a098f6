package solar

import "time"

// observedDeltaT is TT - UT1 in seconds at the beginning of each year from
// 1900: to 1973 The Astronomical Almanac, table "Reduction of time scales" (K8,
// K9), from 1974 the monthly determinations of the International Earth Rotation
// Service's prediction centre (deltat.data, four decimals, here two), the last
// value its prediction of 2026. Read in public copies.
var observedDeltaT = [...]float64{
	-2.72, -1.54, -0.02, 1.24, 2.64, 3.86, 5.37, 6.14, 7.75, 9.13, // 1900
	10.46, 11.53, 13.36, 14.65, 16.01, 17.20, 18.24, 19.06, 20.25, 20.95, // 1910
	21.16, 22.25, 22.41, 23.03, 23.49, 23.62, 23.86, 24.49, 24.34, 24.08, // 1920
	24.02, 24.00, 23.87, 23.95, 23.86, 23.93, 23.73, 23.92, 23.96, 24.02, // 1930
	24.33, 24.83, 25.30, 25.70, 26.24, 26.77, 27.28, 27.78, 28.25, 28.71, // 1940
	29.15, 29.57, 29.97, 30.36, 30.72, 31.07, 31.35, 31.68, 32.18, 32.68, // 1950
	33.15, 33.59, 34.00, 34.47, 35.03, 35.73, 36.54, 37.43, 38.29, 39.20, // 1960
	40.18, 41.17, 42.23, 43.37, 44.48, 45.48, 46.46, 47.52, 48.53, 49.59, // 1970
	50.54, 51.38, 52.17, 52.96, 53.79, 54.34, 54.87, 55.32, 55.82, 56.30, // 1980
	56.86, 57.57, 58.31, 59.12, 59.98, 60.79, 61.63, 62.30, 62.97, 63.47, // 1990
	63.83, 64.09, 64.30, 64.47, 64.57, 64.69, 64.85, 65.15, 65.46, 65.78, // 2000
	66.07, 66.32, 66.60, 66.91, 67.28, 67.64, 68.10, 68.59, 68.97, 69.22, // 2010
	69.36, 69.36, 69.29, 69.20, 69.18, 69.14, 69.11, 69.14, // 2020
}

const (
	deltaTFirstYear = 1900
	deltaTLastYear  = deltaTFirstYear + len(observedDeltaT) - 1
)

// DeltaT gives TT - UT1, the lag of the Earth's clock in seconds, that a [Site]
// uses unless it was made with [Site.WithDeltaT]. To the end of 2026 it follows
// the observed values, linearly between the beginnings of years (within 0.1 s).
// From 2027 it follows the polynomial that Espenak published for 2015 to 3000
// (eclipsewise.com, Polynomial Expressions for Delta T, 2014), moved so that it
// joins them. Predictions of different authors for 2100 differ by more than a
// minute; a second moves the sun by 0.04″.
//
// It is NaN outside the years that a [Position] covers.
func DeltaT(t time.Time) (ttMinusUT1S float64) {
	return deltaTAt(daysSinceJ2000(t))
}

func deltaTAt(d float64) float64 {
	if !(d >= firstDay && d < lastDay) {
		return nan
	}
	year := 2000 + (d+0.5)/365.2425 // 0.5: J2000 is at noon
	if year < deltaTFirstYear {     // the grace for time zones
		year = deltaTFirstYear
	}
	if year >= float64(deltaTLastYear) {
		const last = float64(deltaTLastYear)
		return observedDeltaT[len(observedDeltaT)-1] + futureDeltaT(year) - futureDeltaT(last)
	}
	i := int(year) - deltaTFirstYear
	f := year - float64(int(year))
	return observedDeltaT[i] + f*(observedDeltaT[i+1]-observedDeltaT[i])
}

// futureDeltaT is Espenak's polynomial of 2014 for the years 2015 to 3000.
func futureDeltaT(year float64) float64 {
	t := year - 2015
	return 67.62 + t*(0.3645+t*0.0039755)
}
