package transient

import (
	"math"

	"github.com/stationphysics/stationphysics"
	"github.com/stationphysics/stationphysics/internal/limit"
)

// A PulseTrain is a power that is switched on and off regularly, for ever
// unless a number of pulses is asked for. Make it with NewPulseTrain; the zero
// value heats nothing.
type PulseTrain struct{ powerW, onS, periodS float64 }

var pulseTime = limit.Range{Unit: "s", Min: 1e-12, Max: 1e12}

// NewPulseTrain returns the train of powerW (0 to 1e5 W) for onS seconds out of
// every periodS seconds, each 1e-12 to 1e12 s. A value out of range is a
// *stationphysics.RangeError, an on-time longer than the period a
// *stationphysics.ConflictError.
func NewPulseTrain(powerW, onS, periodS float64) (PulseTrain, error) {
	if err := limit.First(
		heatPower.Named("pulse power").Check(powerW),
		pulseTime.Named("pulse on-time").Check(onS),
		pulseTime.Named("pulse period").Check(periodS),
	); err != nil {
		return PulseTrain{}, err
	}
	if onS > periodS {
		return PulseTrain{}, &stationphysics.ConflictError{
			Quantities: []string{"pulse on-time", "pulse period"},
			Values:     []float64{onS, periodS},
			Units:      []string{"s", "s"},
			Rule:       "a pulse ends before the next begins",
		}
	}
	return PulseTrain{powerW, onS, periodS}, nil
}

// PulsePeakK returns the highest rise of the junction once the train has gone
// on for long, reached at the end of each pulse:
//
//	P Σ R_i (1 - exp(-ton/τ_i)) / (1 - exp(-T/τ_i))
//
// It allocates nothing.
func (f Foster) PulsePeakK(p PulseTrain) float64 {
	sumKPerW := 0.0
	for _, t := range f.terms {
		sumKPerW += t.KPerW * math.Expm1(-p.onS/t.TauS) / math.Expm1(-p.periodS/t.TauS)
	}
	return p.times(sumKPerW)
}

// PulseTroughK returns the lowest rise of the junction once the train has gone
// on for long, just before each pulse. It allocates nothing.
func (f Foster) PulseTroughK(p PulseTrain) float64 {
	sumKPerW := 0.0
	for _, t := range f.terms {
		peak := math.Expm1(-p.onS/t.TauS) / math.Expm1(-p.periodS/t.TauS)
		sumKPerW += t.KPerW * peak * math.Exp(-(p.periodS-p.onS)/t.TauS)
	}
	return p.times(sumKPerW)
}

// PulseMeanK returns the mean rise of the junction once the train has gone on
// for long: the whole resistance times the mean power. It is all that a part
// with a time constant far above the period ever sees.
func (f Foster) PulseMeanK(p PulseTrain) float64 {
	return p.times(f.TotalKPerW() * p.onS / p.periodS)
}

// PulseEndK returns the rise of the junction at the end of the pulse of a
// number, 1 the first, in a train that found everything at ambient temperature.
// It is NaN for a number below 1 and allocates nothing.
func (f Foster) PulseEndK(p PulseTrain, number int) float64 {
	if number < 1 {
		return nan
	}
	sumKPerW := 0.0
	for _, t := range f.terms {
		sumKPerW += t.KPerW * -math.Expm1(-p.onS/t.TauS) *
			math.Expm1(-p.periodS*float64(number)/t.TauS) / math.Expm1(-p.periodS/t.TauS)
	}
	return p.times(sumKPerW)
}

// times multiplies by the power and keeps the zero value of PulseTrain, whose
// ratios are 0/0, at no rise.
func (p PulseTrain) times(kPerW float64) float64 {
	if p.powerW == 0 {
		return 0
	}
	return p.powerW * kPerW
}
