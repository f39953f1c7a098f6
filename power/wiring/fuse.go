package wiring

import (
	"math"

	"github.com/stationphysics/stationphysics"
	"github.com/stationphysics/stationphysics/internal/limit"
)

// A ReratePoint is one point of a fuse's or resettable fuse's rerating curve.
type ReratePoint struct {
	AmbientC    float64 // -60..150 °C
	RerateRatio float64 // share of the rating that remains, 0.01..2
}

// A FuseSpec lists what a sheet says about a fuse.
type FuseSpec struct {
	RatedA         float64       // 0.001..100 A
	ContinuousFrac float64       // share of the rating for continuous use at 25 °C, 0.3..1: usually 0.75
	Rerating       []ReratePoint // by rising temperature; empty for none
	MeltA2S        float64       // nominal melting I²t, A²s, 0 if the sheet does not say
	RatedV         float64       // voltage it can interrupt, 1..1000 V
	BreakingA      float64       // current it can interrupt, 1..100000 A
}

var (
	fsRated = limit.Range{Quantity: "fuse rating", Unit: "A", Min: 0.001, Max: 100, Slips: []limit.Slip{{Min: 101, Max: 1e5, Looks: "milliamperes"}}}
	fsCont  = limit.Range{Quantity: "continuous share of the rating", Min: 0.3, Max: 1, Slips: []limit.Slip{{Min: 30, Max: 100, Looks: "per cent"}}}
	fsTemp  = limit.Range{Quantity: "rerating temperature", Unit: "°C", Min: -60, Max: 150}
	fsRatio = limit.Range{Quantity: "rerating factor", Min: 0.01, Max: 2, Slips: []limit.Slip{{Min: 10, Max: 200, Looks: "per cent"}}}
	fsMelt  = limit.Range{Quantity: "melting I²t", Unit: "A²s", Min: 0, Max: 1e6}
	fsVolt  = limit.Range{Quantity: "fuse voltage rating", Unit: "V", Min: 1, Max: 1000}
	fsBreak = limit.Range{Quantity: "breaking capacity", Unit: "A", Min: 1, Max: 1e5}
)

// A Fuse is a validated fuse. Its zero value returns NaN.
type Fuse struct{ s FuseSpec }

// NewFuse validates a sheet. It returns a *stationphysics.RangeError for a
// number outside the range stated at its field, and a
// *stationphysics.ConflictError for a rerating whose temperatures do not rise
// or whose ratio does, or a breaking capacity below the rating.
func NewFuse(s FuseSpec) (Fuse, error) {
	if err := limit.First(fsRated.Check(s.RatedA), fsCont.Check(s.ContinuousFrac), fsMelt.Check(s.MeltA2S), fsVolt.Check(s.RatedV), fsBreak.Check(s.BreakingA)); err != nil {
		return Fuse{}, err
	}
	s.Rerating = append([]ReratePoint(nil), s.Rerating...)
	for n, p := range s.Rerating {
		if err := limit.First(fsTemp.Check(p.AmbientC), fsRatio.Check(p.RerateRatio)); err != nil {
			return Fuse{}, err
		}
		if n == 0 {
			continue
		}
		if q := s.Rerating[n-1]; p.AmbientC <= q.AmbientC || p.RerateRatio > q.RerateRatio {
			return Fuse{}, &stationphysics.ConflictError{Quantities: []string{"rerating temperature", "rerating factor", "next rerating temperature", "its factor"},
				Values: []float64{q.AmbientC, q.RerateRatio, p.AmbientC, p.RerateRatio}, Units: []string{"°C", "", "°C", ""},
				Rule: "a warmer fuse carries no more: are columns swapped?"}
		}
	}
	if s.BreakingA < s.RatedA {
		return Fuse{}, &stationphysics.ConflictError{Quantities: []string{"breaking capacity", "fuse rating"}, Values: []float64{s.BreakingA, s.RatedA},
			Units: []string{"A", "A"}, Rule: "a fuse interrupts at least its rated current"}
	}
	return Fuse{s}, nil
}

// RerateRatio returns the share of the rating that remains at an ambient
// temperature, by straight lines between the sheet's points; 1 without points.
// NaN outside them.
func (f Fuse) RerateRatio(ambientC float64) float64 {
	r := f.s.Rerating
	switch {
	case f.s.RatedA == 0 || math.IsNaN(ambientC):
		return math.NaN()
	case len(r) == 0:
		return 1
	case !(ambientC >= r[0].AmbientC && ambientC <= r[len(r)-1].AmbientC):
		return math.NaN()
	}
	k := 1
	for k < len(r)-1 && ambientC > r[k].AmbientC {
		k++
	}
	if k == len(r) {
		return r[0].RerateRatio
	}
	a, b := r[k-1], r[k]
	return a.RerateRatio + (b.RerateRatio-a.RerateRatio)*(ambientC-a.AmbientC)/(b.AmbientC-a.AmbientC)
}

// ContinuousA returns the current in A the fuse carries for good at an ambient
// temperature: RatedA·ContinuousFrac·RerateRatio. NaN where RerateRatio is.
func (f Fuse) ContinuousA(ambientC float64) float64 {
	return f.s.RatedA * f.s.ContinuousFrac * f.RerateRatio(ambientC)
}

// NeededRatingA returns the least rating in A for a continuous current, given
// the shares that continuous use and temperature leave:
// current/(continuous·rerate). NaN unless the current is not negative and both
// shares are positive.
func NeededRatingA(currentA, continuousFrac, rerateRatio float64) float64 {
	if !(currentA >= 0 && continuousFrac > 0 && rerateRatio > 0) {
		return math.NaN()
	}
	return currentA / (continuousFrac * rerateRatio)
}

// A Waveform is the shape of a current pulse.
type Waveform uint8

// The shapes whose I²t fuse makers tabulate.
const (
	Square    Waveform = iota // constant for its duration
	HalfSine                  // half a sine wave
	Triangle                  // from zero to the peak, or back, in a straight line
	DecayTail                 // exponential decay; the duration is its time constant
)

// PulseA2S returns the I²t in A²s of a pulse of a peak in A and a duration in
// s: 1, 1/2, 1/3 and 1/2 of peak²·duration (Littelfuse, waveshape chart;
// elementary integrals). NaN for a negative duration, a NaN or another shape.
func PulseA2S(w Waveform, peakA, durationS float64) float64 {
	share := [...]float64{Square: 1, HalfSine: 0.5, Triangle: 1. / 3, DecayTail: 0.5}
	if int(w) >= len(share) || !(durationS >= 0) {
		return math.NaN()
	}
	return share[w] * peakA * peakA * durationS
}

// PulseFrac returns which share of the melting I²t one pulse may have for a
// fuse to survive a number of them, 100..100000: 0.48 at 100, 0.38 at 1000,
// 0.29 at 10 000, 0.22 at 100 000, straight in the logarithm of the number
// between (Littelfuse, pulse cycle withstand chart for one family of fuses;
// pulses at least 10 s apart). NaN outside.
func PulseFrac(pulseCount float64) float64 {
	if !(pulseCount >= 100 && pulseCount <= 100000) {
		return math.NaN()
	}
	share := [...]float64{0.48, 0.38, 0.29, 0.22}
	x := math.Log10(pulseCount) - 2
	k := min(int(x), 2)
	return share[k] + (share[k+1]-share[k])*(x-float64(k))
}

// Survives reports whether the fuse lasts for a number of pulses of a given
// I²t in A²s. known is false if the sheet gave no melting I²t or the count is
// outside what PulseFrac covers.
func (f Fuse) Survives(pulseA2S, pulseCount float64) (survives, known bool) {
	frac := PulseFrac(pulseCount)
	if f.s.MeltA2S == 0 || math.IsNaN(frac) || !(pulseA2S >= 0) {
		return false, false
	}
	return pulseA2S <= frac*f.s.MeltA2S, true
}

// MeltS returns the time in s until the element melts at a large constant
// current: MeltA2S/current². It holds while the element has no time to give
// heat away, taken here as a current of at least ten times the rating; NaN
// below, above the breaking capacity, and without MeltA2S: read the sheet's
// time-current curve there.
func (f Fuse) MeltS(faultA float64) float64 {
	if f.s.MeltA2S == 0 || !(faultA >= 10*f.s.RatedA && faultA <= f.s.BreakingA) {
		return math.NaN()
	}
	return f.s.MeltA2S / (faultA * faultA)
}

// ClampJ returns the energy in J that a clamp of clampV takes while it carries
// the fault current until the fuse has melted: clampV·current·MeltS. Arcing
// adds to it; compare it with the clamp's energy rating with a margin. NaN as
// MeltS or for a clamp voltage that is not positive.
func (f Fuse) ClampJ(clampV, faultA float64) float64 {
	if !(clampV > 0) {
		return math.NaN()
	}
	return clampV * faultA * f.MeltS(faultA)
}
