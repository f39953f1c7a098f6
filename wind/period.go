package wind

import (
	"math"

	"github.com/stationphysics/stationphysics/internal/limit"
)

const (
	gustS      = 3.0  // WMO-No. 8, part I ch. 5: the gust is the largest 3-s mean
	coarsestS  = 0.25 // slower samples do not resolve a 3-s gust (same, from memory)
	maxWindow  = 3000 // samples in 3 s at 1000 Hz
	gustShare  = 2.0 / 3
	usualShare = 0.66 // WMO-No. 8, part III: a mean needs two thirds of its samples (from memory)
)

var (
	sampleRange = limit.Range{Quantity: "time between samples", Unit: "s", Min: 0.001, Max: coarsestS}
	lengthRange = limit.Range{Quantity: "length of the period", Unit: "s", Min: 3, Max: 86400}
	shareRange  = limit.Range{Quantity: "share of samples that a mean needs", Min: 0.01, Max: 1, Slips: []limit.Slip{{Min: 1, Max: 100, Looks: "a percentage"}}}
	calmRange   = limit.Range{Quantity: "calm threshold", Unit: "m/s", Min: 0, Max: 3}
	vaneRange   = limit.Range{Quantity: "starting speed of the vane", Unit: "m/s", Min: 0, Max: 5}
)

// A PeriodSpec says how a mean is taken: 600 s for observations and forecasts,
// 120 s for aviation (WMO-No. 8 part I ch. 5; ICAO Annex 3).
type PeriodSpec struct {
	SampleS   float64 // time between samples, 0.001..0.25 s
	LengthS   float64 // of the period, 3..86400 s
	MinFrac   float64 // share of samples that must be there, 0.01..1; 0 stands for 0.66
	CalmMPerS float64 // a mean below it is calm, 0..3 m/s; ICAO: 0.5
	VaneMPerS float64 // below it the vane's direction is missing, 0..5 m/s
}

// A Period accumulates the samples of one period in fixed memory: 3000 speeds
// at most for the gust, whatever its length. Make it with NewPeriod; it is not
// safe for concurrent use.
type Period struct {
	spec     PeriodSpec
	expected int
	speeds   [maxWindow]float64 // ring of the last 3 s, NaN where missing
	width    int
	seen     int // samples, missing ones included
	present  int
	sum      float64
	all      Vector
	gust     float64
	gustAt   int
	inWindow int
}

// NewPeriod checks a specification; the error is a *stationphysics.RangeError.
func NewPeriod(s PeriodSpec) (*Period, error) {
	if s.MinFrac == 0 {
		s.MinFrac = usualShare
	}
	if err := limit.First(sampleRange.Check(s.SampleS), lengthRange.Check(s.LengthS), shareRange.Check(s.MinFrac), calmRange.Check(s.CalmMPerS), vaneRange.Check(s.VaneMPerS)); err != nil {
		return nil, err
	}
	p := &Period{spec: s, expected: int(math.Round(s.LengthS / s.SampleS)), width: int(math.Round(gustS / s.SampleS))}
	p.Reset()
	return p, nil
}

// Reset empties the period for the next one. The gust's window starts anew: a
// gust across the border belongs to neither.
func (p *Period) Reset() {
	*p = Period{spec: p.spec, expected: p.expected, width: p.width, gust: math.NaN(), gustAt: -1}
}

// Add takes the next sample in time. NaN, or a value out of range, is a missing
// sample: it takes up its time but counts for nothing, so that time is never
// spliced. A direction below the vane's start is missing too.
func (p *Period) Add(speedMPerS, directionDeg float64) {
	slot := p.seen % p.width
	if p.seen >= p.width && !math.IsNaN(p.speeds[slot]) {
		p.inWindow--
	}
	p.speeds[slot] = math.NaN()
	if speedRange.Holds(speedMPerS) {
		p.speeds[slot] = speedMPerS
		p.inWindow++
		p.present++
		p.sum += speedMPerS
		if speedMPerS >= p.spec.VaneMPerS {
			p.all.Add(speedMPerS, directionDeg)
		}
	}
	p.seen++
	p.watchGust()
}

func (p *Period) watchGust() {
	if p.seen < p.width || float64(p.inWindow) < gustShare*float64(p.width) {
		return
	}
	// Summed anew each time: a running sum would carry the rounding of the
	// whole period into its last gust.
	sum := 0.0
	for _, v := range p.speeds[:p.width] {
		if !math.IsNaN(v) {
			sum += v
		}
	}
	if m := sum / float64(p.inWindow); !(m <= p.gust) {
		p.gust, p.gustAt = m, p.seen-1
	}
}

// A Report is what one period came to. What cannot be said is NaN, with the
// flag beside it.
type Report struct {
	ExpectedCount, PresentCount int     // samples that the period has, and those that came
	Valid                       bool    // enough samples for a mean
	MeanMPerS                   float64 // scalar mean speed
	VectorMPerS                 float64 // length of the mean vector of the samples with a direction: above MeanMPerS where slow ones have none
	DirectionDeg                float64 // of the mean vector
	UnitDirectionDeg            float64 // of the mean unit vector
	DirectionOK                 bool    // enough directions, not calm, and they do not cancel
	SigmaDeg                    float64 // scatter of direction, Yamartino
	Calm                        bool    // the mean is below the calm threshold: no direction
	GustMPerS                   float64 // largest 3-s mean
	GustAt                      int     // last sample of that gust, from 0; -1 without one
	GustRatio                   float64 // gust over mean
}

// Report gives the results of the samples so far, against the whole period:
// half a period without samples is half missing.
func (p *Period) Report() Report {
	nan := math.NaN()
	r := Report{ExpectedCount: p.expected, PresentCount: p.present, MeanMPerS: nan, VectorMPerS: nan, DirectionDeg: nan, UnitDirectionDeg: nan,
		SigmaDeg: nan, GustMPerS: p.gust, GustAt: p.gustAt, GustRatio: nan}
	need := p.spec.MinFrac * float64(p.expected)
	if float64(p.present) < need {
		return r
	}
	r.Valid = true
	r.MeanMPerS = p.sum / float64(p.present)
	r.Calm = r.MeanMPerS < p.spec.CalmMPerS
	r.GustRatio = r.GustMPerS / r.MeanMPerS // 0/0 of still air is NaN
	if r.Calm || float64(p.all.N()) < need {
		return r
	}
	r.VectorMPerS = p.all.SpeedMPerS()
	r.SigmaDeg = p.all.SigmaDeg()
	var ok1, ok2 bool
	r.DirectionDeg, ok1 = p.all.DirectionDeg()
	r.UnitDirectionDeg, ok2 = p.all.UnitDirectionDeg()
	r.DirectionOK = ok1 && ok2
	return r
}

// ReportOf empties the period, runs samples through it and reports: Add and Report
// for a series, with identical results. Directions may be nil. It panics if lengths differ.
func (p *Period) ReportOf(speedsMPerS, directionsDeg []float64) Report {
	if directionsDeg != nil && len(directionsDeg) != len(speedsMPerS) {
		panic("wind: slice lengths differ")
	}
	p.Reset()
	for i, v := range speedsMPerS {
		d := math.NaN()
		if directionsDeg != nil {
			d = directionsDeg[i]
		}
		p.Add(v, d)
	}
	return p.Report()
}
