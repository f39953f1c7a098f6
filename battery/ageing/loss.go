package ageing

import (
	"math"

	"github.com/stationphysics/stationphysics/internal/limit"
)

const (
	zeroK = 273.15
	gas   = 8.314 // gas constant as the cycle paper rounds it, J/(mol K)

	// Wang et al. 2011: Q = B exp((-31700 + 370.3 rate)/(R T)) Ah^0.55, in per
	// cent and ampere-hours of a 2.2 Ah cell. B for the four rates is from
	// memory; the exponential and the exponent were seen quoted.
	cycleActivation     = 31700
	cycleActivationRate = 370.3
	cycleExponent       = 0.55
	cycleCellAh         = 2.2

	// Naumann et al. 2018: Q = kT kSoC sqrt(t), t in seconds, Q as a fraction.
	calendarK          = 1.2571e-5
	calendarActivation = 17126
	calendarGas        = 8.3144598
	calendarRefK       = 298.15
	calendarCubic      = 2.8575
	calendarBase       = 0.60225

	yearS = 365.25 * 86400
)

var cycleB = [...]struct{ ratePerH, b float64 }{{0.5, 31630}, {2, 21681}, {6, 12934}, {10, 15512}}

var (
	cycleTempRange     = limit.Range{Quantity: "cell temperature of the cycle model", Unit: "°C", Min: 15, Max: 60, Slips: []limit.Slip{{Min: 288, Max: 333, Looks: "kelvins"}}}
	cycleRateRange     = limit.Range{Quantity: "current per capacity of the cycle model", Unit: "1/h", Min: 0.5, Max: 10}
	fullCyclesRange    = limit.Range{Quantity: "full cycles", Min: 0, Max: 20000}
	calendarTempRange  = limit.Range{Quantity: "cell temperature of the calendar model", Unit: "°C", Min: 0, Max: 60, Slips: []limit.Slip{{Min: 273, Max: 333, Looks: "kelvins"}}}
	calendarSoCRange   = limit.Range{Quantity: "state of charge", Min: 0, Max: 1, Slips: []limit.Slip{{Min: 1.001, Max: 100, Looks: "percent"}}}
	calendarYearsRange = limit.Range{Quantity: "age", Unit: "years", Min: 0, Max: 30}
)

func rateFactor(ratePerH float64) float64 {
	i := 1
	for ratePerH > cycleB[i].ratePerH { // callers keep to the last one
		i++
	}
	a, b := cycleB[i-1], cycleB[i]
	return a.b + (b.b-a.b)*(ratePerH-a.ratePerH)/(b.ratePerH-a.ratePerH)
}

// cycleRate returns K of Q = K Ah^0.55 for the paper's cell.
func cycleRate(tempC, ratePerH float64) float64 {
	return rateFactor(ratePerH) * math.Exp((-cycleActivation+cycleActivationRate*ratePerH)/(gas*(tempC+zeroK)))
}

// CycleLossPct returns the capacity a LiFePO4 cell has lost, %, after a number
// of full cycles, or of smaller ones that together moved as much charge, at one
// temperature and current (Wang et al. 2011, equation 5, scaled by capacity).
// 0..20000 cycles, 15..60 °C, 0.5..10 times the capacity per hour: what the
// paper tested; NaN outside, which CheckCycle explains. Between its four rates the
// factor is taken straight.
func CycleLossPct(fullCycles, tempC, ratePerH float64) (lossPct float64) {
	if !fullCyclesRange.Holds(fullCycles) || !cycleTempRange.Holds(tempC) || !cycleRateRange.Holds(ratePerH) {
		return math.NaN()
	}
	return cycleRate(tempC, ratePerH) * math.Pow(fullCycles*cycleCellAh, cycleExponent)
}

// CheckCycle returns an error for an argument of CycleLossPct out of range.
func CheckCycle(fullCycles, tempC, ratePerH float64) error {
	return limit.First(fullCyclesRange.Check(fullCycles), cycleTempRange.Check(tempC), cycleRateRange.Check(ratePerH))
}

// calendarRate returns k of Q = k sqrt(t), per root second.
func calendarRate(tempC, soc float64) float64 {
	d := soc - 0.5
	return calendarK * math.Exp(-calendarActivation/calendarGas*(1/(tempC+zeroK)-1/calendarRefK)) * (calendarCubic*d*d*d + calendarBase)
}

// CalendarLossPct returns the capacity a LiFePO4 cell has lost, %, after years
// at rest at one temperature and state of charge (Naumann et al. 2018). 0..30
// years, of which the paper tested 2.4; 0..60 °C; 0..1. NaN outside, which
// CheckCalendar explains.
func CalendarLossPct(years, tempC, soc float64) (lossPct float64) {
	if !calendarYearsRange.Holds(years) || !calendarTempRange.Holds(tempC) || !calendarSoCRange.Holds(soc) {
		return math.NaN()
	}
	return 100 * calendarRate(tempC, soc) * math.Sqrt(years*yearS)
}

// CheckCalendar returns an error for an argument of CalendarLossPct out of range.
func CheckCalendar(years, tempC, soc float64) error {
	return limit.First(calendarYearsRange.Check(years), calendarTempRange.Check(tempC), calendarSoCRange.Check(soc))
}
