package charge

import (
	"math"

	"github.com/stationphysics/stationphysics"
	"github.com/stationphysics/stationphysics/battery"
	"github.com/stationphysics/stationphysics/internal/limit"
)

// A Plan is a charge as a charger makes it: constant current, then constant
// voltage until its own current falls to the taper.
type Plan struct {
	Charger battery.Charger
	TaperA  float64 // the charge ends when the charger's current falls to this, A; 0 for a charger that never ends
	LoadA   float64 // load at the pack's terminals that the charger carries as well, A
	TempC   float64 // of the cells, -40..85
	StepS   float64 // step of the calculation, s: 1 is fine; the instants found do not depend on it
	MostH   float64 // give up after this time, h, at most 1000 and at most 20 million steps
}

// An End says how a charge ended.
type End uint8

// The ends of a charge.
const (
	Running End = iota // still charging when time was up
	Tapered            // the charger's current fell to the taper
	HeldUp             // time was up with the pack full, because the load on the charger is above the taper: it never ends
	Starved            // time was up below the set voltage: the load leaves too little current
)

var endNames = [...]string{"still charging", "ended at the taper current", "never ends: the load keeps the charger's current above the taper", "never full: the load leaves too little current"}

// String words the end.
func (e End) String() string {
	if int(e) < len(endNames) {
		return endNames[e]
	}
	return "unknown"
}

// A Result is the course of a charge in its main numbers.
type Result struct {
	End      End
	HoldS    float64 // when the charger reached its set voltage, s; NaN if it did not
	TaperS   float64 // when its current fell to the taper, s; NaN if it did not
	TotalS   float64 // time calculated, s
	ChargerA float64 // current of the charger at the end, A
	InAh     float64 // charge into the pack
	InWh     float64 // energy into the pack
	LostAh   float64 // of it lost inside
	EndV     float64 // voltage of the pack at the end
	State    battery.State
}

var (
	setRange   = limit.Range{Quantity: "set voltage", Unit: "V", Min: 0.5, Max: 200}
	mostARange = limit.Range{Quantity: "most current of the charger", Unit: "A", Min: 0, Max: 1000}
	ohmRange   = limit.Range{Quantity: "resistance of charger and wire", Unit: "ohm", Min: 0, Max: 100}
	taperRange = limit.Range{Quantity: "taper current", Unit: "A", Min: 0, Max: 1000}
	loadRange  = limit.Range{Quantity: "load current", Unit: "A", Min: 0, Max: 1000}
	tempRange  = limit.Range{Quantity: "cell temperature", Unit: "°C", Min: -40, Max: 85, Slips: []limit.Slip{{Min: 233, Max: 358, Looks: "kelvins"}}}
	stepRange  = limit.Range{Quantity: "step", Unit: "s", Min: 0.001, Max: 3600}
	mostHRange = limit.Range{Quantity: "longest charge", Unit: "h", Min: 0.001, Max: 1000}
	slowRange  = limit.Range{Quantity: "voltage across the slow part", Unit: "V", Min: -200, Max: 200}
	socRange   = limit.Range{Quantity: "state of charge", Min: -0.2, Max: 1.3, Slips: []limit.Slip{{Min: 1.301, Max: 130, Looks: "percent"}}}
)

// mostSteps is the number of steps or periods that a calculation may take.
const mostSteps = 20e6

func checkPack(p *battery.Pack) error {
	if p == nil {
		return &stationphysics.RangeError{Quantity: "number of packs", Value: 0, Min: 1, Max: 1}
	}
	return nil
}

func (pl *Plan) check() error {
	return limit.First(setRange.Check(pl.Charger.SetV), mostARange.Check(pl.Charger.MaxA), ohmRange.Check(pl.Charger.SeriesOhm), taperRange.Check(pl.TaperA),
		loadRange.Check(pl.LoadA), tempRange.Check(pl.TempC), stepRange.Check(pl.StepS), pl.checkTime())
}

func (pl *Plan) checkTime() error {
	if longest := mostSteps * pl.StepS / 3600; mostHRange.Holds(pl.MostH) && pl.MostH > longest {
		r := mostHRange
		r.Max = longest
		return r.Check(pl.MostH)
	}
	return mostHRange.Check(pl.MostH)
}

// Full charges a pack from a state to the end of the plan. The instants at
// which the charger begins to hold its voltage and at which it ends are found
// inside the step in which they fall. It allocates nothing. The error is a
// *stationphysics.RangeError for a number out of the range of Plan.
func Full(p *battery.Pack, start battery.State, pl Plan) (Result, error) {
	if err := limit.First(checkPack(p), pl.check(), socRange.Check(start.SoC), slowRange.Check(start.SlowV)); err != nil {
		return Result{}, err
	}
	r := Result{HoldS: math.NaN(), TaperS: math.NaN(), State: start}
	end := pl.MostH * 3600
	var f battery.Flow
	for n := 0; float64(n)*pl.StepS < end; n++ {
		t0 := float64(n) * pl.StepS
		dt := math.Min(pl.StepS, end-t0)
		s := r.State
		var next battery.State
		// Steps only serve to look: each is exact, whatever its length.
		next, f = p.Charge(s, pl.Charger, pl.LoadA, dt, pl.TempC)
		holding := f.Stop == battery.Full
		if holding && math.IsNaN(r.HoldS) {
			r.HoldS = t0 + first(dt, func(t float64) bool {
				_, g := p.Charge(s, pl.Charger, pl.LoadA, t, pl.TempC)
				return g.Stop == battery.Full
			})
		}
		done := holding && pl.TaperA > 0 && f.EndA+pl.LoadA <= pl.TaperA
		if done {
			dt = first(dt, func(t float64) bool {
				_, g := p.Charge(s, pl.Charger, pl.LoadA, t, pl.TempC)
				return g.Stop == battery.Full && g.EndA+pl.LoadA <= pl.TaperA
			})
			next, f = p.Charge(s, pl.Charger, pl.LoadA, dt, pl.TempC)
			r.TaperS, r.End = t0+dt, Tapered
		}
		r.State = next
		r.InAh += f.InAh
		r.InWh += f.InWh
		r.LostAh += f.LostAh
		r.EndV, r.ChargerA = f.EndV, f.EndA+pl.LoadA
		r.TotalS = t0 + dt
		if done {
			return r, nil
		}
	}
	// Time is up. Say why it did not end, as far as the load is the reason.
	switch {
	case math.IsNaN(r.HoldS) && pl.Charger.MaxA <= pl.LoadA:
		r.End = Starved
	case !math.IsNaN(r.HoldS) && pl.LoadA >= pl.TaperA:
		r.End = HeldUp
	}
	return r, nil
}

// first returns the smallest t in (0, dt] at which a condition holds that, once
// it holds, goes on holding; it holds at dt.
func first(dt float64, holds func(t float64) bool) float64 {
	lo, hi := 0.0, dt
	for hi-lo > 1e-9*dt {
		mid := 0.5 * (lo + hi)
		if holds(mid) {
			hi = mid
		} else {
			lo = mid
		}
	}
	return hi
}
