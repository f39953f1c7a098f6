package sizing

import (
	"math"

	"github.com/stationphysics/stationphysics/battery"
	"github.com/stationphysics/stationphysics/internal/limit"
	"github.com/stationphysics/stationphysics/internal/numeric"
)

var (
	tempRange     = limit.Range{Quantity: "cell temperature", Unit: "°C", Min: -40, Max: 85, Slips: []limit.Slip{{Min: 233, Max: 358, Looks: "kelvins"}}}
	healthRange   = limit.Range{Quantity: "remaining share of the capacity", Min: 0.3, Max: 1, Slips: []limit.Slip{{Min: 30, Max: 100, Looks: "percent"}}}
	reserveRange  = limit.Range{Quantity: "share kept in reserve", Min: 0, Max: 0.95, Slips: []limit.Slip{{Min: 1, Max: 95, Looks: "percent"}}}
	socRange      = limit.Range{Quantity: "state of charge at dusk", Min: 0, Max: 1, Slips: []limit.Slip{{Min: 1.001, Max: 100, Looks: "percent"}}}
	loadRange     = limit.Range{Quantity: "daily load", Unit: "Wh a day", Min: 1e-4, Max: 1e5}
	capacityRange = limit.Range{Quantity: "capacity", Unit: "Ah", Min: 0.03, Max: 40000}
	currentRange  = limit.Range{Quantity: "current", Unit: "A", Min: 1e-6, Max: 10000}
	cutoffRange   = limit.Range{Quantity: "cut-off voltage of the pack", Unit: "V", Min: 0, Max: 200}
	peukertRange  = limit.Range{Quantity: "Peukert exponent", Min: 1, Max: 2}
	ratedHRange   = limit.Range{Quantity: "rated time", Unit: "h", Min: 0.1, Max: 200}
)

// PeukertH returns how long a lead-acid battery gives a current, h, by
// Peukert's law in the rated form: capacityAh is what it gives in ratedH hours,
// and
//
//	t = ratedH (capacity / (current ratedH))^exponent.
//
// The exponent is 1.1 to 1.3 for lead-acid; for LiFePO4 it is so close to 1 that
// the law says nothing about it. 0.03..40000 Ah, 1e-6..10000 A, 0.1..200 h,
// exponent 1..2; NaN outside, which CheckPeukert explains.
//
// An older form, PeukertUnitH, uses the same letters for another quantity, and
// the two differ by a factor: 8.71 h against 6.31 h for 100 Ah (20 h), 10 A and
// 1.2.
func PeukertH(capacityAh, ratedH, currentA, exponent float64) (timeH float64) {
	if CheckPeukert(capacityAh, ratedH, currentA, exponent) != nil {
		return math.NaN()
	}
	return ratedH * math.Pow(capacityAh/(currentA*ratedH), exponent)
}

// PeukertUnitH returns t = C/I^exponent, where C is not the rated capacity but
// what the battery would give at 1 A. Ranges as with PeukertH.
func PeukertUnitH(unitCapacityAh, currentA, exponent float64) (timeH float64) {
	if CheckPeukert(unitCapacityAh, 1, currentA, exponent) != nil {
		return math.NaN()
	}
	return unitCapacityAh / math.Pow(currentA, exponent)
}

// CheckPeukert returns an error for an argument of PeukertH out of range.
func CheckPeukert(capacityAh, ratedH, currentA, exponent float64) error {
	return limit.First(capacityRange.Check(capacityAh), ratedHRange.Check(ratedH), currentRange.Check(currentA), peukertRange.Check(exponent))
}

// An Available is what a pack gives without sun.
type Available struct {
	CapacityAh   float64 // as labelled, of the pack
	AgedAh       float64 // after its age
	UsableAh     float64 // after age and temperature, from the state of charge given, above the reserve
	MeanV        float64 // at the terminals over that discharge
	UsableWh     float64 // UsableAh at MeanV
	SagV         float64 // drop across the settled resistance at the mean load
	SelfAhPerDay float64 // what the cells lose by themselves at the temperature
	Days         float64 // UsableWh over the daily load and the self-discharge
}

// A Dark is the question behind Autonomy.
type Dark struct {
	Pack        *battery.Pack
	StartSoC    float64 // state of charge when the sun is last seen
	LoadWh      float64 // a day, at the pack's terminals
	TempC       float64 // of the cells
	HealthFrac  float64 // capacity left by age, 1 when new, 0.8 at the usual end of life
	ReserveFrac float64 // share of the labelled capacity that is not to be used
}

// Autonomy returns how long a pack carries a load without any sun. The rate
// comes in through the resistance at the temperature: the mean voltage is that
// of the open circuit less the drop at the mean current. Pulses come in only
// through the reserve: package charge finds the state of charge at which a
// pulse browns out. The error is a *stationphysics.RangeError for a number out
// of the range of Dark; a pack that gives nothing at that temperature is an
// answer of 0 days.
func Autonomy(d Dark) (Available, error) {
	if d.Pack == nil {
		return Available{}, errNoPack()
	}
	if err := limit.First(socRange.Check(d.StartSoC), loadRange.Check(d.LoadWh), tempRange.Check(d.TempC), healthRange.Check(d.HealthFrac), reserveRange.Check(d.ReserveFrac)); err != nil {
		return Available{}, err
	}
	p := d.Pack
	a := Available{CapacityAh: p.CapacityAh()}
	a.AgedAh = a.CapacityAh * d.HealthFrac
	bottom := math.Max(1-p.UsableFrac(d.TempC), d.ReserveFrac/d.HealthFrac)
	if bottom >= d.StartSoC {
		return a, nil
	}
	a.UsableAh = (d.StartSoC - bottom) * a.AgedAh
	// Mean of the open-circuit voltage over the charge drawn, by Simpson on
	// 200 intervals: the curve is straight in pieces.
	open := numeric.Simpson(func(u float64) float64 { return p.OpenCircuitV(bottom+(d.StartSoC-bottom)*u, d.TempC) }, 0, 1, 200)
	settled := p.Resistance(d.TempC).SettledOhm
	// V = open - R P/V, the mean power being the day's energy over 24 h.
	power := d.LoadWh / 24
	disc := open*open - 4*settled*power
	if disc < 0 {
		return a, nil // the pack cannot give the mean power at all
	}
	a.MeanV = 0.5 * (open + math.Sqrt(disc))
	a.SagV = open - a.MeanV
	a.UsableWh = a.UsableAh * a.MeanV
	// The self-discharge doubles every 10 K, as in the pack itself.
	a.SelfAhPerDay = p.Cell().SelfDischargePctPerMonth / 100 / 30 * a.CapacityAh * math.Exp2((d.TempC-25)/10)
	a.Days = a.UsableWh / (d.LoadWh + a.SelfAhPerDay*a.MeanV)
	return a, nil
}

// A Delivery is what a pack gives until its terminals fall to a cut-off.
type Delivery struct {
	ChargeAh float64 // charge that came out
	TimeH    float64 // how long the current lasted
}

// Delivered returns what a rested pack gives at a constant current until its terminals
// fall to a cut-off or nothing more comes out at the temperature: the capacity by rate
// and cold, from the circuit, less the self-discharge meanwhile. startSoC 0..1;
// currentA 1e-6..10000; cutoffV of the pack, 0..200; tempC -40..85. It looks 3e7 s
// ahead, 347 days: of currents so small that more would be left, it counts what came
// by then. The error is a *stationphysics.RangeError.
func Delivered(p *battery.Pack, startSoC, currentA, cutoffV, tempC float64) (Delivery, error) {
	if p == nil {
		return Delivery{}, errNoPack()
	}
	if err := limit.First(socRange.Check(startSoC), currentRange.Check(currentA), cutoffRange.Check(cutoffV), tempRange.Check(tempC)); err != nil {
		return Delivery{}, err
	}
	// One exact step leads to any time, so that no stepping is needed.
	over := func(t float64) float64 {
		_, f := p.Current(p.At(startSoC), -currentA, t, tempC)
		return f.EndV - cutoffV
	}
	floor := 1 - p.UsableFrac(tempC)
	left := func(t float64) float64 {
		s, _ := p.Current(p.At(startSoC), -currentA, t, tempC)
		return s.SoC - floor
	}
	const soon = 1e-6
	t := math.Min((startSoC-floor)*p.CapacityAh()/currentA*3600, 3e7)
	if !(t > soon) || over(soon) < 0 || left(soon) < 0 {
		return Delivery{}, nil
	}
	// What the cells lose by themselves does not come out.
	if left(t) < 0 {
		t, _ = numeric.Root(left, soon, t, 1e-6)
	}
	if over(t) < 0 {
		t, _ = numeric.Root(over, soon, t, 1e-6)
	}
	return Delivery{ChargeAh: currentA * t / 3600, TimeH: t / 3600}, nil
}
