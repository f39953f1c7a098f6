package sky

import (
	"math"

	"github.com/stationphysics/stationphysics/internal/limit"
	"github.com/stationphysics/stationphysics/internal/numeric"
)

// The range of monthly mean clearness for which the distribution of the daily
// one was observed, with a little room; beyond it every day is taken as the mean.
const (
	leastMonthClearness = 0.12
	mostMonthClearness  = 0.80
)

var (
	monthClearness = limit.Range{Quantity: "monthly mean clearness", Min: leastMonthClearness, Max: mostMonthClearness}
	probRange      = limit.Range{Quantity: "probability", Min: 0, Max: 1, Slips: []limit.Slip{{Min: 1.01, Max: 100, Looks: "percent"}}}
)

// CheckDailyClearness explains the NaN of DailyClearness: a
// *stationphysics.RangeError for a monthly mean outside 0.12..0.80 or a
// probability outside 0..1.
func CheckDailyClearness(monthlyClearness, prob float64) error {
	return limit.First(monthClearness.Check(monthlyClearness), probRange.Check(prob))
}

// DailyClearness is the clearness (global irradiation over the extraterrestrial)
// that a share prob of the days of a month stays below, by the monthly mean
// alone: the distribution of Bendt, Collares-Pereira & Rabl (1981, Solar Energy
// 27:1), exponential between 0.05 and the largest value of Hollands & Huget (1983,
// Solar Energy 30:195), its rate such that the mean is met exactly. NaN where
// CheckDailyClearness has an error.
func DailyClearness(monthlyClearness, prob float64) float64 {
	if !monthClearness.Holds(monthlyClearness) || !probRange.Holds(prob) {
		return math.NaN()
	}
	return newDailyDistribution(monthlyClearness).quantile(prob)
}

// dailyDistribution has the density exp(w (K−lo)/(hi−lo)) between lo and hi.
type dailyDistribution struct{ lo, hi, w float64 }

func newDailyDistribution(mean float64) dailyDistribution {
	d := dailyDistribution{lo: 0.05, hi: 0.6313 + 0.267*mean - 11.9*math.Pow(mean-0.75, 8)}
	x := (mean - d.lo) / (d.hi - d.lo)
	// The mean of the density on 0..1 is 1/(1−e^−w) − 1/w and grows with w.
	w, ok := numeric.Root(func(w float64) float64 {
		if math.Abs(w) < 1e-4 {
			return 0.5 + w/12 - x
		}
		return -1/math.Expm1(-w) - 1/w - x
	}, -500, 500, 1e-10)
	if !ok {
		w = math.NaN()
	}
	d.w = w
	return d
}

func (d dailyDistribution) quantile(prob float64) float64 {
	switch {
	case math.Abs(d.w) < 1e-9:
		return d.lo + (d.hi-d.lo)*prob
	case d.w > 0: // from the upper end, so that exp does not overflow
		return d.hi + (d.hi-d.lo)*math.Log(prob+(1-prob)*math.Exp(-d.w))/d.w
	}
	return d.lo + (d.hi-d.lo)*math.Log1p(prob*math.Expm1(d.w))/d.w
}

var (
	hourAngleRange = limit.Range{Quantity: "hour angle", Unit: "deg", Min: -180, Max: 180, Slips: []limit.Slip{{Min: 180, Max: 360, Looks: "counted from midnight"}}}
	sunsetRange    = limit.Range{Quantity: "hour angle of sunset", Unit: "deg", Min: 0, Max: 180}
)

// CheckHourlyShares explains the NaN of HourlyShares: a
// *stationphysics.RangeError for an hour angle outside −180..180° or a sunset
// outside 0..180°.
func CheckHourlyShares(hourAngleDeg, sunsetAngleDeg float64) error {
	return limit.First(hourAngleRange.Check(hourAngleDeg), sunsetRange.Check(sunsetAngleDeg))
}

// leastSunsetDeg keeps the two differences of HourlyShares apart from rounding.
const leastSunsetDeg = 0.001

// HourlyShares is the share of a mean day's global and diffuse irradiation that
// falls in the hour about an hour angle of the sun, 15° an hour and 0 at noon:
// the long-term profiles of Collares-Pereira & Rabl (1979, Solar Energy 22:155) and
// Liu & Jordan (1960, Solar Energy 4:1). 0 with the sun down. NaN where
// CheckHourlyShares has an error, and for a day without sun: one whose sun sets
// within 0.001° of noon, a quarter of a second.
func HourlyShares(hourAngleDeg, sunsetAngleDeg float64) (globalRatio, diffuseRatio float64) {
	if !hourAngleRange.Holds(hourAngleDeg) || !(sunsetAngleDeg >= leastSunsetDeg) || !sunsetRange.Holds(sunsetAngleDeg) {
		return math.NaN(), math.NaN()
	}
	if math.Abs(hourAngleDeg) >= sunsetAngleDeg {
		return 0, 0
	}
	w, ws := hourAngleDeg*rad, sunsetAngleDeg*rad
	diffuseRatio = math.Pi / 24 * (math.Cos(w) - math.Cos(ws)) / (math.Sin(ws) - ws*math.Cos(ws))
	a := 0.409 + 0.5016*math.Sin(ws-60*rad)
	b := 0.6609 - 0.4767*math.Sin(ws-60*rad)
	return (a + b*math.Cos(w)) * diffuseRatio, diffuseRatio
}
