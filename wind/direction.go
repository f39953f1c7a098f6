package wind

import (
	"math"

	"github.com/stationphysics/stationphysics/internal/limit"
)

const rad = math.Pi / 180

var directionRange = limit.Range{Quantity: "wind direction", Unit: "deg", Min: 0, Max: 360}

// nothing is the resultant, as a share of the sum of lengths, below which a
// mean direction does not exist: opposite directions cancel to some 1e-16, and
// no vane resolves a millionth.
const nothing = 1e-9

// A Vector sums directions and speeds, each sample once, and gives their mean
// in the vector sense. Directions are where the wind comes from, 0..360
// degrees clockwise from true north. The zero value is an empty sum. Its
// memory is fixed, and a series fed in pieces gives the same bits as in one go.
type Vector struct {
	n                    int
	speed                float64
	weightedE, weightedN float64 // speed times unit vector
	unitE, unitN         float64
}

// Add takes one sample. A speed outside 0..110 m/s or a direction outside
// 0..360 degrees is refused and returns false: a missing sample is missing, not
// zero.
func (v *Vector) Add(speedMPerS, directionDeg float64) bool {
	if !speedRange.Holds(speedMPerS) || !directionRange.Holds(directionDeg) {
		return false
	}
	s, c := sincosDeg(directionDeg)
	v.n++
	v.speed += speedMPerS
	v.weightedE += speedMPerS * s
	v.weightedN += speedMPerS * c
	v.unitE += s
	v.unitN += c
	return true
}

// sincosDeg is exact at multiples of 90 degrees, so that opposite samples
// cancel to nothing.
func sincosDeg(deg float64) (sin, cos float64) {
	switch math.Mod(deg, 360) {
	case 0:
		return 0, 1
	case 90:
		return 1, 0
	case 180:
		return 0, -1
	case 270:
		return -1, 0
	}
	return math.Sincos(deg * rad)
}

// N is the number of samples taken.
func (v *Vector) N() int { return v.n }

// ScalarMPerS is the arithmetic mean of the speeds; NaN without samples.
func (v *Vector) ScalarMPerS() float64 { return v.speed / float64(v.n) }

// SpeedMPerS is the length of the mean wind vector (EPA-454/R-99-005, 6.2.2);
// never above ScalarMPerS. NaN without samples.
func (v *Vector) SpeedMPerS() float64 {
	return math.Hypot(v.weightedE, v.weightedN) / float64(v.n)
}

// DirectionDeg is the direction of the mean wind vector, each sample weighted
// by its speed (EPA-454/R-99-005, 6.2.2): 350° and 10° give 0°. ok is false, and
// the result NaN, if the vectors cancel or there are none: opposite winds have
// no mean direction, and 0 would be north.
func (v *Vector) DirectionDeg() (directionDeg float64, ok bool) {
	return bearing(v.weightedE, v.weightedN, v.speed)
}

// UnitDirectionDeg is the direction of the mean of unit vectors, each sample
// weighted alike. ok as for DirectionDeg.
func (v *Vector) UnitDirectionDeg() (directionDeg float64, ok bool) {
	return bearing(v.unitE, v.unitN, float64(v.n))
}

func bearing(e, n, length float64) (float64, bool) {
	if !(math.Hypot(e, n) > nothing*length) {
		return math.NaN(), false
	}
	d := math.Atan2(e, n) / rad
	if d < 0 {
		d += 360
	}
	if d >= 360 { // a tiny negative angle rounds up to it
		d = 0
	}
	return d, true
}

// SigmaDeg is the standard deviation of the direction by the one-pass formula
// of Yamartino (1984, Journal of Climate and Applied Meteorology 23:1362),
//
//	σ = asin(ε) (1 + (2/√3 - 1) ε³),  ε² = 1 - (mean sin)² - (mean cos)²
//
// within 2 % of the true one for usual distributions, at most 104°. NaN without
// samples.
func (v *Vector) SigmaDeg() float64 {
	n := float64(v.n)
	e2 := 1 - (v.unitE*v.unitE+v.unitN*v.unitN)/(n*n)
	if math.IsNaN(e2) {
		return math.NaN()
	}
	e := math.Sqrt(math.Max(0, e2)) // rounding of a steady wind
	return math.Asin(e) * (1 + (2/math.Sqrt(3)-1)*e*e*e) / rad
}

// HourlySigmaDeg joins the scatter of four quarters of an hour to that of the
// hour without the wander of the mean between them: the root of the mean
// square (EPA-454/R-99-005, 6.2.2). NaN if one is not within 0..180 degrees.
func HourlySigmaDeg(quarterDeg [4]float64) float64 {
	sum := 0.0
	for _, q := range quarterDeg {
		if !(q >= 0 && q <= 180) {
			return math.NaN()
		}
		sum += q * q
	}
	return math.Sqrt(sum / 4)
}

// A ScalarDirection is the running scalar mean direction after Mitsuta
// (EPA-454/R-99-005, 6.2.1): each reading is unwound to within 180° of the one
// before. Steps between readings must stay below 180°: sample once a second or
// faster, and never feed it means. The zero value is empty.
type ScalarDirection struct {
	n         int
	last, sum float64
}

// Add takes one direction, 0..360 degrees; false if it is outside.
func (d *ScalarDirection) Add(directionDeg float64) bool {
	if !directionRange.Holds(directionDeg) {
		return false
	}
	if d.n == 0 {
		d.last = directionDeg
	} else {
		step := math.Remainder(directionDeg-d.last, 360)
		d.last += step
	}
	d.n++
	d.sum += d.last
	return true
}

// MeanDeg is the mean so far, 0..360 degrees; NaN without readings.
func (d *ScalarDirection) MeanDeg() float64 {
	m := math.Mod(d.sum/float64(d.n), 360)
	if m < 0 {
		m += 360
	}
	if m >= 360 {
		m = 0
	}
	return m
}
