package sky

import (
	"cmp"
	"math"
	"math/rand/v2"
	"slices"
	"time"

	"github.com/stationphysics/stationphysics"
	"github.com/stationphysics/stationphysics/internal/limit"
	"github.com/stationphysics/stationphysics/solar"
)

// A Climate is what a table of monthly means says about a place.
type Climate struct {
	DailyGlobalKWhPerM2 [12]float64 // global irradiation of the mean day of each month, 0..15 kWh/m²
	MeanTempC           [12]float64 // mean air temperature of each month, −90..60 °C
	// DailySpreadK is the standard deviation of a day's mean temperature about
	// the month's, 0..15 K; 0 gives every day its share of the season only.
	// Continental winters have 5 K to 7 K, coasts 2 K to 3 K (common values).
	DailySpreadK float64
	WindMPerS    float64 // the wind speed given to every hour, 0..60 m/s
}

// An Hour is one hour of a synthetic year.
type Hour struct {
	Record
	TempC     float64 // mean air temperature
	WindMPerS float64 // wind speed
}

var (
	dailyGlobal  = limit.Range{Quantity: "daily global irradiation", Unit: "kWh/m²", Min: 0, Max: 15, Slips: []limit.Slip{{Min: 15, Max: 50, Looks: "megajoules"}, {Min: 50, Max: 500, Looks: "the sum of the month, or watts of the mean"}, {Min: 500, Max: 15000, Looks: "watt-hours"}}}
	meanTemp     = limit.Range{Quantity: "mean air temperature", Unit: "°C", Min: -90, Max: 60, Slips: []limit.Slip{{Min: 183, Max: 333.15, Looks: "kelvins"}, {Min: 60, Max: 140, Looks: "degrees Fahrenheit"}}}
	dailySpread  = limit.Range{Quantity: "spread of the daily mean temperature", Unit: "K", Min: 0, Max: 15}
	windSpeed    = limit.Range{Quantity: "wind speed", Unit: "m/s", Min: 0, Max: 60, Slips: []limit.Slip{{Min: 60, Max: 300, Looks: "kilometres an hour"}}}
	syntheticYrs = limit.Range{Quantity: "year", Min: 1901, Max: 2199}
)

// Check returns a *stationphysics.RangeError for the first value out of range.
func (c *Climate) Check() error {
	for m := range 12 {
		if err := limit.First(dailyGlobal.Check(c.DailyGlobalKWhPerM2[m]), meanTemp.Check(c.MeanTempC[m])); err != nil {
			return err
		}
	}
	return limit.First(dailySpread.Check(c.DailySpreadK), windSpeed.Check(c.WindMPerS))
}

// SyntheticYear makes the hours of a year that have the monthly means of a
// climate, 8760 of them (8784 in a leap year), with the sequences of dark and
// clear days that a mean day hides and a battery must outlast:
//
//   - the days of a month take the quantiles of the distribution of
//     DailyClearness, put in the order of an autoregressive Gaussian sequence so
//     that successive days are correlated by the 0.29 of Graham, Hollands & Unny
//     (1988, Solar Energy 40:83);
//   - the hours of a day follow the model TAG of Aguiar & Collares-Pereira
//     (1992, Solar Energy 49:167): mean profile, scatter and autocorrelation by
//     the day's clearness and the sun's height, and not above a very clear sky;
//   - direct and diffuse light by ErbsDriesse;
//   - air temperature continuous through the months, with the daily course of
//     Erbs, Klein & Beckman (1983, ASHRAE Journal 25:60), its amplitude by the
//     month's clearness, and days correlated by 0.65 (Richardson & Wright 1984,
//     WGEN, ARS-8, between their 0.62 for maxima and 0.67 for minima).
//
// The hours keep the standard offset of the zone, without summer time; a nil
// zone is UTC. The means of each month of the year are those of the climate,
// the irradiation to 0.1 %, the temperature to 0.01 K; only the twilight of a
// polar night, up to 0.1 kWh/m² a day, is left out. The same seed gives the
// same year on every machine: values are rounded to 0.01, far above what the
// arithmetic of different processors leaves open.
//
// One year of means cannot hold the bad winter of ten; for that, vary the seed
// and lower the means.
//
// The error is a *stationphysics.RangeError for a climate or year out of range
// or a month with more light than a very clear sky gives.
func SyntheticYear(site solar.Site, c Climate, year int, zone *time.Location, seed uint64) ([]Hour, error) {
	if err := limit.First(c.Check(), syntheticYrs.Check(float64(year))); err != nil {
		return nil, err
	}
	y, err := newYearMaker(site, year, standardTime(year, zone), seed)
	if err != nil {
		return nil, err
	}
	for m := range 12 {
		if err := y.month(m, c.DailyGlobalKWhPerM2[m]); err != nil {
			return nil, err
		}
	}
	y.temperatures(&c)
	for i := range y.hours {
		h := &y.hours[i]
		h.WindMPerS = c.WindMPerS
		h.TempC = round2(h.TempC)
		h.GlobalWPerM2 = round2(h.GlobalWPerM2)
		h.DiffuseWPerM2 = min(round2(h.DiffuseWPerM2), h.GlobalWPerM2)
		h.BeamNormalWPerM2 = round2(h.BeamNormalWPerM2)
	}
	return y.hours, nil
}

func round2(v float64) float64 { return math.Round(v*100) / 100 }

// standardTime is the zone without its summer time: the smaller offset of
// January and July.
func standardTime(year int, zone *time.Location) *time.Location {
	if zone == nil {
		return time.UTC
	}
	name, off := time.Date(year, time.January, 15, 12, 0, 0, 0, zone).Zone()
	if n, o := time.Date(year, time.July, 15, 12, 0, 0, 0, zone).Zone(); o < off {
		name, off = n, o
	}
	return time.FixedZone(name, off)
}

// An hourSun is what the hours need of the sun.
type hourSun struct {
	level float64 // extraterrestrial irradiance on the level, mean over the hour
	most  float64 // clearness of a very clear sky
	beam  float64 // level beam over normal beam
	bound float64 // largest normal beam, mean over the hour
	sine  float64 // of the elevation in the middle of the sun-up part
	day   int     // solar day, from 0
	month int     // from 0
}

// A yearMaker holds the year while it grows: first what depends on the sun
// alone, then month by month the light, then the temperatures, which need the
// clearness of the months.
type yearMaker struct {
	rng   *rand.Rand
	hours []Hour
	suns  []hourSun
	days  [][2]int    // first and last+1 hour of each solar day
	order []float64   // Gaussian sequence of the days
	ahead float64     // hours by which mean solar time is ahead of the hours' zone
	kbar  [12]float64 // monthly mean clearness, 0 for a dark month
}

// veryClearWPerM2 is the global light that no hour exceeds: the larger of two
// clear skies, because that of Ineichen and Perez is dark at a low sun and that of
// Bird on mountains.
func veryClearWPerM2(sun Sun, heightM float64) float64 {
	heightM = max(-500, min(9000, heightM))
	clean := Air{PressureHPa: standardPressureHPa(heightM), PrecipitableCm: 0.3, OzoneCm: 0.3, Aerosol380Ratio: 0.03, Aerosol500Ratio: 0.02, ForwardRatio: 0.85, GroundAlbedo: 0.2}
	return max(ClearSky(sun, heightM, 2).GlobalWPerM2, clean.ClearSky(sun).GlobalWPerM2)
}

func newYearMaker(site solar.Site, year int, zone *time.Location, seed uint64) (*yearMaker, error) {
	from := time.Date(year, time.January, 1, 0, 0, 0, 0, zone)
	to := time.Date(year+1, time.January, 1, 0, 0, 0, 0, zone)
	track, err := site.Track(from, to)
	if err != nil {
		return nil, err
	}
	n := int(to.Sub(from) / time.Hour)
	_, offset := from.Zone()
	y := &yearMaker{
		rng:   rand.New(rand.NewPCG(seed, 0x5374617469e6e21)),
		hours: make([]Hour, n),
		suns:  make([]hourSun, n),
		ahead: site.LonDeg()/15 - float64(offset)/3600,
	}
	var s walk
	for i := range y.hours {
		start := from.Add(time.Duration(i) * time.Hour)
		y.hours[i].Record = Record{Start: start, Length: time.Hour}
		if !s.follow(track, start, time.Hour) {
			return nil, s.mid.Check() // the zero Site is nowhere
		}
		y.suns[i] = y.hourSun(&s, start, site.HeightM())
		y.suns[i].day = int(math.Floor(y.solarDay(i)))
	}
	// Days run from one solar midnight to the next, so that none is torn apart
	// by a zone that is not the site's.
	for i := range y.suns {
		d := y.suns[i].day
		for len(y.days) <= d {
			y.days = append(y.days, [2]int{i, i})
		}
		y.days[d][1] = i + 1
	}
	y.order = make([]float64, len(y.days))
	x := y.rng.NormFloat64()
	for d := range y.order {
		y.order[d] = x
		x = dayCorrelation*x + math.Sqrt(1-dayCorrelation*dayCorrelation)*y.rng.NormFloat64()
	}
	return y, nil
}

// solarDay is the mean solar time of the middle of hour i in days, 0 to 1 on the
// first solar day that has an hour of the year.
func (y *yearMaker) solarDay(i int) float64 {
	return (float64(i)+0.5+y.ahead)/24 - math.Floor((0.5+y.ahead)/24)
}

// dayCorrelation makes the correlation of successive days 0.29, the value of
// Graham, Hollands & Unny (1988) for the transformed daily clearness: ranking
// within a month whose mean is given takes away what comes from its drift, about
// (1 + 3φ)/n of it, and a little by the bounds of the hours. Found by trial.
const dayCorrelation = 0.40

// hourSun draws from the sun of an hour what the light of any sky is scaled by.
func (y *yearMaker) hourSun(s *walk, start time.Time, heightM float64) hourSun {
	h := hourSun{month: int(start.Month()) - 1}
	h.sine = max(s.toMid.UpRatio, 0)
	h.level = s.e0 * s.sum
	if s.up == 0 || h.sine <= 0 {
		return hourSun{month: h.month}
	}
	h.most = veryClearWPerM2(s.mid, heightM) / (s.e0 * h.sine)
	h.beam = s.level
	h.bound = s.up * s.e0 * s.clearest()
	return h
}

// month fills in the light of month m for a mean day of kWh/m².
func (y *yearMaker) month(m int, dailyKWhPerM2 float64) error {
	first, last := y.monthHours(m)
	var outside, most float64
	for i := first; i < last; i++ {
		s := &y.suns[i]
		outside += s.level
		most += s.level * s.most
	}
	days := float64(last-first) / 24
	want := dailyKWhPerM2 * 1000 * days // Wh/m², the sum of the hours' means
	if want > most {
		// The twilight of a polar night is not made; what tables show of it is little.
		if dailyKWhPerM2 > polarTwilightKWhPerM2 {
			return &stationphysics.RangeError{Quantity: "daily global irradiation in " + time.Month(m+1).String(), Value: dailyKWhPerM2, Unit: "kWh/m²",
				Min: 0, Max: math.Floor(most/days/10) / 100}
		}
		want = most
	}
	if want == 0 {
		return nil
	}
	kbar := want / outside
	y.kbar[m] = kbar
	// The days that have their noon in the month, in the order of the sequence.
	var ds []int
	for d := range y.days {
		mid := (y.days[d][0] + y.days[d][1]) / 2
		if y.suns[mid].month == m {
			ds = append(ds, d)
		}
	}
	// The darkest quantile goes to the lowest of the sequence, and so on: the
	// month has the published distribution, the days its sequence.
	rank := slices.Clone(ds)
	slices.SortFunc(rank, func(a, b int) int { return cmp.Compare(y.order[a], y.order[b]) })
	even := !monthClearness.Holds(kbar)
	dist := dailyDistribution{}
	if !even {
		dist = newDailyDistribution(kbar)
	}
	clearness := make(map[int]float64, len(ds))
	for r, d := range rank {
		clearness[d] = kbar
		if !even {
			clearness[d] = dist.quantile((float64(r) + 0.5) / float64(len(rank)))
		}
	}
	light := make([]float64, last-first) // W/m² of the hours of the month
	for _, d := range ds {
		y.day(d, clearness[d], func(i int, global float64) {
			if i >= first && i < last {
				light[i-first] = global
			}
		})
	}
	// Where the zone is far from the site's own, the sunlit hours of a solar day
	// can lie on both sides of the end of a month; those without their noon here
	// have been given to no day and take the month's mean.
	for i := first; i < last; i++ {
		if s := &y.suns[i]; light[i-first] == 0 && s.level > 0 {
			light[i-first] = s.level * min(kbar, s.most)
		}
	}
	// What the bounds of single hours and the seasons within the month left over.
	fitSum(light, want, func(k int) float64 { return y.suns[first+k].level * y.suns[first+k].most })
	for k, g := range light {
		y.part(first+k, g)
	}
	return nil
}

// polarTwilightKWhPerM2 is the daily irradiation that a month without enough
// sun to give it may have.
const polarTwilightKWhPerM2 = 0.1

// monthHours are the first hour of month m and the one after its last.
func (y *yearMaker) monthHours(m int) (first, last int) {
	first = slices.IndexFunc(y.suns, func(s hourSun) bool { return s.month == m })
	last = first
	for last < len(y.suns) && y.suns[last].month == m {
		last++
	}
	return first, last
}

// day makes the hours of a solar day with the clearness k by TAG.
func (y *yearMaker) day(d int, k float64, set func(i int, global float64)) {
	first, last := y.days[d][0], y.days[d][1]
	var light [24]float64
	var outside float64
	// Aguiar & Collares-Pereira 1992, the equations from memory: mean profile
	// lambda + eta exp(−1.06/sin h), standard deviation a exp(b (1 − sin h)), and the
	// correlation phi of successive hours, all by the day's clearness.
	lambda := -0.19 + 1.12*k + 0.24*math.Exp(-8*k)
	eta := 0.32 - 1.6*(k-0.5)*(k-0.5)
	a := 0.14 * math.Exp(-20*(k-0.35)*(k-0.35))
	b := 3*(k-0.45)*(k-0.45) + 16*math.Pow(k, 5)
	phi := 0.38 + 0.06*math.Cos(7.4*k-2.5)
	step := math.Sqrt(1 - phi*phi)
	x := y.rng.NormFloat64()
	for i := first; i < last; i++ {
		s := &y.suns[i]
		if s.level <= 0 {
			continue
		}
		outside += s.level
		mean := lambda + eta*math.Exp(-1.06/s.sine)
		sigma := a * math.Exp(b*(1-s.sine))
		// The published scatter is Gaussian and knows no bounds: what falls
		// outside a dark and a very clear sky is drawn again, and held there if
		// twenty draws do not help.
		kt := 0.0
		prev := x
		for range 20 {
			x = phi*prev + step*y.rng.NormFloat64()
			if kt = mean + sigma*x; kt > 0 && kt <= s.most {
				break
			}
		}
		// An extreme draw must not push the hours after it.
		x = max(-3, min(3, x))
		light[i-first] = s.level * max(0.01, min(kt, s.most))
	}
	fitSum(light[:last-first], k*outside, func(j int) float64 { return y.suns[first+j].level * y.suns[first+j].most })
	for i := first; i < last; i++ {
		set(i, light[i-first])
	}
}

// fitSum scales the values to a sum, each held to its most.
func fitSum(v []float64, want float64, most func(k int) float64) {
	for range 60 {
		var held, free float64
		for k, x := range v {
			if m := most(k); x >= m {
				v[k] = m
				held += m
			} else {
				free += x
			}
		}
		switch {
		case math.Abs(held+free-want) <= 1e-9*want:
			return
		case held >= want:
			// More is held than wanted: all come down together.
			for k := range v {
				v[k] *= want / (held + free)
			}
			continue
		case free <= 0:
			return // there is no more
		}
		f := (want - held) / free
		for k, x := range v {
			if m := most(k); x < m {
				v[k] = min(m, x*f)
			}
		}
	}
}

// part splits the global light of hour i as Clean splits that of a file.
func (y *yearMaker) part(i int, global float64) {
	h, s := &y.hours[i], &y.suns[i]
	h.GlobalWPerM2, h.DiffuseWPerM2 = global, global
	if s.level <= 0 || s.beam <= 0 {
		return
	}
	kd := ErbsDriesse.DiffuseRatio(min(global/s.level, 2))
	h.BeamNormalWPerM2 = min(global*(1-kd)/s.beam, s.bound)
	h.DiffuseWPerM2 = global - h.BeamNormalWPerM2*s.beam
}
