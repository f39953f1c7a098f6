package sky

import "math"

// dayTempCorrelation is that of the mean temperatures of successive days.
const dayTempCorrelation = 0.65

// spreadKept is what is left of the spread of the daily means after straight
// lines between the days (0.92) and a fixed mean of the month (0.92), by the
// variances of the autoregressive sequence.
const spreadKept = 0.85

// temperatures fills in the air temperature: season, weather and daily course.
func (y *yearMaker) temperatures(c *Climate) {
	n := len(y.hours)
	var first, last [12]int
	for m := range 12 {
		first[m], last[m] = y.monthHours(m)
	}
	// The weather: one deviation for each solar day.
	weather := make([]float64, len(y.days))
	x := y.rng.NormFloat64()
	for d := range weather {
		weather[d] = x * c.DailySpreadK / spreadKept
		x = dayTempCorrelation*x + math.Sqrt(1-dayTempCorrelation*dayTempCorrelation)*y.rng.NormFloat64()
	}
	// Between the middles of the days the weather goes straight too.
	spell := func(i int) float64 {
		pos := y.solarDay(i)
		d := int(math.Floor(pos - 0.5))
		f := pos - 0.5 - float64(d)
		at := func(d int) float64 { return weather[max(0, min(len(weather)-1, d))] }
		return at(d) + (at(d+1)-at(d))*f
	}
	// The season, straight lines between knots in the middle of the months,
	// carries what brings each month to its mean: so no step is left between them.
	var rest [12]float64 // mean that remains for the season
	for i := range n {
		m := y.suns[i].month
		y.hours[i].TempC = spell(i) + y.dailyCourse(i, m)
		rest[m] -= y.hours[i].TempC
	}
	for m := range rest {
		rest[m] = c.MeanTempC[m] + rest[m]/float64(last[m]-first[m])
	}
	knot := rest
	// middle is that of a month in hours from the beginning of the year; −1 is the
	// December before and 12 the January after.
	middle := func(m int) float64 {
		w := (m + 12) % 12
		return float64(first[w]+last[w])/2 + float64((m-w)/12*n)
	}
	season := func(i int) float64 {
		m, x := y.suns[i].month, float64(i)+0.5
		if x < middle(m) {
			m--
		}
		from, to := knot[(m+12)%12], knot[(m+1)%12]
		return from + (to-from)*(x-middle(m))/(middle(m+1)-middle(m))
	}
	// A month's mean takes 3/4 from its own knot and 1/8 from each neighbour's:
	// what is wrong after a round is half of what was wrong before, or less.
	for range 40 {
		var sum [12]float64
		for i := range n {
			sum[y.suns[i].month] += season(i)
		}
		for m := range 12 {
			knot[m] += rest[m] - sum[m]/float64(last[m]-first[m])
		}
	}
	for i := range n {
		y.hours[i].TempC += season(i)
	}
}

// dailyCourse is the deviation from the day's mean (Erbs, Klein & Beckman 1983):
// four harmonics of the solar time, and an amplitude in K by the month's
// clearness; none where their line falls below 0, at a clearness of 0.2.
func (y *yearMaker) dailyCourse(i, m int) float64 {
	amplitude := max(0, 25.8*y.kbar[m]-5.21)
	t := 2 * math.Pi * (float64(i) + 0.5 + y.ahead - 1) / 24
	return amplitude * (0.4632*math.Cos(t-3.805) + 0.0984*math.Cos(2*t-0.360) + 0.0168*math.Cos(3*t-0.822) + 0.0138*math.Cos(4*t-3.513))
}
