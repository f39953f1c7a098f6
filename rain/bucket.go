package rain

import (
	"math"

	"github.com/stationphysics/stationphysics"
	"github.com/stationphysics/stationphysics/internal/limit"
)

var (
	tipRange     = limit.Range{Quantity: "depth of a tip", Unit: "mm", Min: 0.01, Max: 2}
	tipTimeRange = limit.Range{Quantity: "time of a tip", Unit: "s", Min: 0, Max: 2, Slips: []limit.Slip{{Min: 2, Max: 2000, Looks: "milliseconds"}}}
	ignoreRange  = limit.Range{Quantity: "ignore time after a closure", Unit: "s", Min: 0, Max: 2, Slips: []limit.Slip{{Min: 2, Max: 2000, Looks: "milliseconds"}}}
	rateRange    = limit.Range{Quantity: "rain intensity", Unit: "mm/h", Min: 0, Max: 2000}
	pointsRange  = limit.Range{Quantity: "number of calibration points", Min: 3, Max: 1e6}
	volumeRange  = limit.Range{Quantity: "volume of water poured", Unit: "m³", Min: 1e-6, Max: 0.1, Slips: []limit.Slip{{Min: 1, Max: 1e5, Looks: "millilitres"}}}
	areaRange    = limit.Range{Quantity: "area of the funnel", Unit: "m²", Min: 1e-3, Max: 1, Slips: []limit.Slip{{Min: 10, Max: 2000, Looks: "square centimetres"}}}
	pourRange    = limit.Range{Quantity: "duration of pouring", Unit: "s", Min: 1, Max: 1e6}
)

// A BucketSpec describes a tipping bucket.
type BucketSpec struct {
	TipMm    float64 // depth of rain that tips it when it fills slowly, 0.01..2 mm
	TipTimeS float64 // time in which water is lost while it tips, 0..2 s; 0.3 to 0.5 s usual (Duchon et al. 2014)
	IgnoreS  float64 // closures this soon after one are bounce, 0..2 s
}

// A Bucket is a validated tipping bucket. The zero value is none: its results
// are NaN.
type Bucket struct{ s BucketSpec }

// NewBucket checks a bucket. Errors are a *stationphysics.RangeError for a
// value out of range, and a *stationphysics.ConflictError if the ignore time is
// so long that rain of 300 mm/h, of which nature is capable for minutes, would
// lose tips.
func NewBucket(s BucketSpec) (Bucket, error) {
	if err := limit.First(tipRange.Check(s.TipMm), tipTimeRange.Check(s.TipTimeS), ignoreRange.Check(s.IgnoreS)); err != nil {
		return Bucket{}, err
	}
	if shortest := s.TipMm / 300 * 3600; s.IgnoreS >= shortest {
		return Bucket{}, &stationphysics.ConflictError{
			Quantities: []string{"ignore time", "time between tips at 300 mm/h"}, Values: []float64{s.IgnoreS, shortest}, Units: []string{"s", "s"},
			Rule: "closures of real rain must not be ignored",
		}
	}
	return Bucket{s}, nil
}

// Spec returns the numbers of the bucket.
func (b Bucket) Spec() BucketSpec { return b.s }

// GapS is the time between tips at an intensity: 0.2 mm at 100 mm/h is a tip
// every 7.2 s. +Inf for no rain, NaN outside 0..2000 mm/h. Water lost during
// the tip, which makes the gap longer, is in it.
func (b Bucket) GapS(rateMmPerH float64) float64 {
	if !rateRange.Holds(rateMmPerH) || b.s.TipMm == 0 {
		return math.NaN()
	}
	return b.s.TipMm/rateMmPerH*3600 + b.s.TipTimeS
}

// LossRatio is the water lost while tipping over the water measured, at an
// indicated intensity of 0..2000 mm/h:
//
//	t R/(3600 d)
//
// (Duchon et al. 2014): 0.98 % at 19.9 mm/h for t = 0.45 s and d = 0.254 mm.
func (b Bucket) LossRatio(indicatedMmPerH float64) float64 {
	if !rateRange.Holds(indicatedMmPerH) || b.s.TipMm == 0 {
		return math.NaN()
	}
	return b.s.TipTimeS * indicatedMmPerH / (3600 * b.s.TipMm)
}

// GapDepthMm is the rain of one gap between tips, with what was lost while
// tipping put back: d gap/(gap - t), since water that falls in the tip's t
// seconds is not counted. NaN for a gap that is not longer than the tip: no
// bucket tips that fast.
func (b Bucket) GapDepthMm(gapS float64) float64 {
	if !(gapS > b.s.TipTimeS) || b.s.TipMm == 0 {
		return math.NaN()
	}
	if math.IsInf(gapS, 1) {
		return b.s.TipMm
	}
	return b.s.TipMm * gapS / (gapS - b.s.TipTimeS)
}

// GapMmPerH is the mean intensity over one gap between tips: the exact inverse
// of GapS. NaN as for GapDepthMm.
func (b Bucket) GapMmPerH(gapS float64) float64 {
	if !(gapS > b.s.TipTimeS) || b.s.TipMm == 0 {
		return math.NaN()
	}
	return b.s.TipMm / (gapS - b.s.TipTimeS) * 3600
}

// A Pour is one calibration run: a volume of water let in evenly.
type Pour struct {
	VolumeM3  float64 // 1e-6..0.1; 500 millilitres are 5e-4
	Tips      int     // counted during it, 1 or more
	DurationS float64 // 1..1e6
}

// A Calibration is the line of tip depth over intensity through several pours.
type Calibration struct {
	TipMm         float64 // depth of a tip at slow filling, d0
	TipErrorMm    float64 // its standard error
	TipTimeS      float64 // time in which water is lost, t
	TipTimeErrorS float64 // its standard error
	ScatterMm     float64 // standard deviation of the residuals, n-2 degrees of freedom
}

// Calibrate fits a bucket to at least three pours at different rates: with the
// funnel's area each pour gives the water per tip and the intensity, and
//
//	water per tip = d0 + t R/3600
//
// which is the loss of Duchon et al. read the other way round. A single pour,
// or all at one rate, cannot tell the tip from the loss; poured too fast alone
// it makes the tip look large. Errors: a *stationphysics.RangeError for a value
// out of range or too few pours, a *stationphysics.ConflictError for pours at
// one rate, or whose line leaves nothing for a tip that fills slowly.
func Calibrate(areaM2 float64, pours []Pour) (Calibration, error) {
	if err := limit.First(areaRange.Check(areaM2), pointsRange.Check(float64(len(pours)))); err != nil {
		return Calibration{}, err
	}
	tips := limit.Range{Quantity: "number of tips", Min: 1, Max: 1e7}
	n := float64(len(pours))
	rate, depth := make([]float64, len(pours)), make([]float64, len(pours))
	mr, md := 0.0, 0.0
	for i, p := range pours {
		if err := limit.First(volumeRange.Check(p.VolumeM3), tips.Check(float64(p.Tips)), pourRange.Check(p.DurationS)); err != nil {
			return Calibration{}, err
		}
		water := p.VolumeM3 / areaM2 * 1000
		depth[i] = water / float64(p.Tips)
		rate[i] = water / p.DurationS * 3600
		mr += rate[i] / n
		md += depth[i] / n
	}
	var srr, srd float64
	for i := range rate {
		srr += (rate[i] - mr) * (rate[i] - mr)
		srd += (rate[i] - mr) * (depth[i] - md)
	}
	if math.Sqrt(srr/n) < 0.05*mr {
		return Calibration{}, &stationphysics.ConflictError{
			Quantities: []string{"mean intensity of the pours", "their spread"}, Values: []float64{mr, math.Sqrt(srr / n)}, Units: []string{"mm/h", "mm/h"},
			Rule: "pours at clearly different rates are needed to tell the tip from its loss",
		}
	}
	slope := srd / srr
	c := Calibration{TipMm: md - slope*mr, TipTimeS: slope * 3600}
	if !(c.TipMm > 0) {
		return Calibration{}, &stationphysics.ConflictError{
			Quantities: []string{"mean water per tip", "depth of a tip by the line"}, Values: []float64{md, c.TipMm}, Units: []string{"mm", "mm"},
			Rule: "a tip holds some water: tips of one of the pours were counted wrongly",
		}
	}
	rss, sum2 := 0.0, 0.0
	for i := range rate {
		r := depth[i] - c.TipMm - slope*rate[i]
		rss += r * r
		sum2 += rate[i] * rate[i]
	}
	s2 := rss / (n - 2)
	c.ScatterMm = math.Sqrt(s2)
	c.TipErrorMm = math.Sqrt(s2 * sum2 / (n * srr))
	c.TipTimeErrorS = 3600 * math.Sqrt(s2/srr)
	return c, nil
}
