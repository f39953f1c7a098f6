package ageing

import (
	"math"

	"github.com/stationphysics/stationphysics/internal/limit"
	"github.com/stationphysics/stationphysics/internal/numeric"
)

// A Tally adds the ageing of a LiFePO4 cell or pack up over a time of changing
// conditions, a year as a rule. Both laws say how fast the loss grows from the
// loss there is: with Q = k sqrt(t) the square of Q grows by k² dt, with
// Q = K Ah^0.55 the power Q^(1/0.55) by K^(1/0.55) dAh. That sum does not
// depend on the order of the conditions. Make one with NewTally; Add allocates
// nothing.
//
// Outside what the papers tested a Tally takes the nearest tested value, which
// overstates the loss in the cold and for small currents; the hours outside the
// tested temperatures are counted (OutsideH).
type Tally struct {
	capacityAh float64
	calendar   float64 // sum of k² dt, of the loss as a fraction
	cycle      float64 // sum of K^(1/z) dAh, of the loss in per cent
	seconds    float64
	outsideS   float64
	outAh      float64
}

var (
	capacityRange = limit.Range{Quantity: "capacity", Unit: "Ah", Min: 0.03, Max: 40000}
	lossRange     = limit.Range{Quantity: "capacity loss", Unit: "%", Min: 0.1, Max: 50}
)

// NewTally returns an empty tally for a cell or pack of a capacity, 0.03..40000
// Ah. The error is a *stationphysics.RangeError.
func NewTally(capacityAh float64) (Tally, error) {
	if err := capacityRange.Check(capacityAh); err != nil {
		return Tally{}, err
	}
	return Tally{capacityAh: capacityAh}, nil
}

// Add counts dtS seconds at a state of charge, a cell temperature and a current
// into the pack (negative: out of it; only that counts as throughput, as in the
// paper). Anything that is no number makes the tally NaN.
func (t *Tally) Add(soc, tempC, currentA, dtS float64) {
	tc := clamp(tempC, calendarTempRange)
	k := calendarRate(tc, clamp(soc, calendarSoCRange))
	t.calendar += k * k * dtS
	t.seconds += dtS
	outside := tc != tempC
	if currentA < 0 {
		ah := -currentA * dtS / 3600
		t.outAh += ah
		rate := -currentA / t.capacityAh
		tt := clamp(tempC, cycleTempRange)
		outside = outside || tt != tempC
		big := cycleRate(tt, clamp(rate, cycleRateRange))
		t.cycle += math.Pow(big, 1/cycleExponent) * ah * (cycleCellAh / t.capacityAh)
	} else if math.IsNaN(currentA) {
		t.cycle = math.NaN()
	}
	if outside {
		t.outsideS += dtS
	}
}

func clamp(v float64, r limit.Range) float64 {
	// min and max keep a NaN.
	return min(max(v, r.Min), r.Max)
}

// Years returns the time added, in years of 365.25 days.
func (t Tally) Years() float64 { return t.seconds / yearS }

// OutsideH returns the hours for which a model was held at the end of what its
// paper tested: a cell below 0 or above 60 °C, or discharged below 15 °C.
func (t Tally) OutsideH() float64 { return t.outsideS / 3600 }

// FullCycles returns the discharged charge as a number of full cycles.
func (t Tally) FullCycles() float64 { return t.outAh / t.capacityAh }

// A Loss is the capacity that a cell has lost, by what took it.
type Loss struct {
	CalendarPct float64 // by time
	CyclePct    float64 // by use
	TotalPct    float64 // the sum of both
}

// Loss returns the loss after a number of years like those added. 0..100 years,
// NaN outside and for a tally without time.
func (t Tally) Loss(years float64) Loss {
	if !(years >= 0 && years <= 100) || !(t.seconds > 0) {
		nan := math.NaN()
		return Loss{nan, nan, nan}
	}
	n := years * yearS / t.seconds
	calendarPct := 100 * math.Sqrt(t.calendar*n)
	cyclePct := math.Pow(t.cycle*n, cycleExponent)
	return Loss{calendarPct, cyclePct, calendarPct + cyclePct}
}

// YearsTo returns after how many years like those added the loss reaches a
// value, %: 20 for the usual end of life at 80 %. It is 100 where the loss is
// not reached by then, and NaN for a loss outside 0.1..50 % or an empty tally.
// No paper reaches beyond some three years, and no cell beyond some fifteen.
func (t Tally) YearsTo(lossPct float64) (years float64) {
	end := t.Loss(100).TotalPct
	if !lossRange.Holds(lossPct) || math.IsNaN(end) {
		return math.NaN()
	}
	if end <= lossPct {
		return 100
	}
	years, _ = numeric.Root(func(y float64) float64 {
		q := t.Loss(y).TotalPct
		return q - lossPct
	}, 0, 100, 1e-9)
	return years
}
