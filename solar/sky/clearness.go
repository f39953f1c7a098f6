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
