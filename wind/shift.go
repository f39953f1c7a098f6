package wind

import "math"

// A Minute is the mean vector of one minute.
type Minute struct {
	SpeedMPerS   float64 // NaN if missing
	DirectionDeg float64 // where it comes from; NaN if missing
}

// The thresholds of a marked discontinuity in ICAO Annex 3, appendix 3 (read in
// a national service's table): a change of direction of 30° or more with 5 m/s
// (10 kt) or more before or after, or of speed by 5 m/s or more, that lasts two
// minutes or longer.
const (
	shiftDeg    = 30.0
	shiftMPerS  = 5.0
	shiftFor    = 2
	shiftSpeeds = 5.0
)

// Discontinuity looks through the minutes of a period, oldest first, for a
// marked discontinuity of the wind. It returns the first minute after the
// latest one, from which on alone a mean should be taken, and true; 0 and false
// if there is none. A change counts between the vector means of the two minutes
// before and the two after it; a missing minute counts for nothing, and makes
// no change.
func Discontinuity(minutes []Minute) (from int, found bool) {
	for i := len(minutes) - shiftFor; i >= shiftFor; i-- {
		b, okB := join(minutes[i-shiftFor : i])
		a, okA := join(minutes[i : i+shiftFor])
		if !okA || !okB {
			continue
		}
		turn := math.Abs(math.Remainder(a.DirectionDeg-b.DirectionDeg, 360))
		swift := math.Max(a.SpeedMPerS, b.SpeedMPerS) >= shiftSpeeds
		if math.Abs(a.SpeedMPerS-b.SpeedMPerS) >= shiftMPerS || turn >= shiftDeg && swift {
			return i, true
		}
	}
	return 0, false
}

// join gives the mean of some minutes; ok is false if one is missing or they
// cancel.
func join(ms []Minute) (Minute, bool) {
	var v Vector
	for _, m := range ms {
		if !v.Add(m.SpeedMPerS, m.DirectionDeg) {
			return Minute{}, false
		}
	}
	d, ok := v.DirectionDeg()
	return Minute{SpeedMPerS: v.ScalarMPerS(), DirectionDeg: d}, ok
}
