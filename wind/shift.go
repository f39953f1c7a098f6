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
// before and the two after it, and stands where it is largest. A minute without
// a speed makes no change, one without a direction no turn: a calm has a speed.
func Discontinuity(minutes []Minute) (from int, found bool) {
	for i := len(minutes) - shiftFor; i >= shiftFor; i-- {
		size := shift(minutes, i)
		if !(size >= 1) {
			continue
		}
		// A large change shows in windows beside its own as well, by half.
		for i > shiftFor {
			earlier := shift(minutes, i-1)
			if !(earlier > size) {
				break
			}
			size, i = earlier, i-1
		}
		return i, true
	}
	return 0, false
}

// shift is the change at a minute as a multiple of what is marked: of the speed, or
// of the direction where the wind is swift enough. NaN where a minute is missing.
func shift(minutes []Minute, i int) float64 {
	b, a := join(minutes[i-shiftFor:i]), join(minutes[i:i+shiftFor])
	size := math.Abs(a.SpeedMPerS-b.SpeedMPerS) / shiftMPerS
	turn := math.Abs(math.Remainder(a.DirectionDeg-b.DirectionDeg, 360)) / shiftDeg
	if math.Max(a.SpeedMPerS, b.SpeedMPerS) >= shiftSpeeds && turn > size {
		size = turn
	}
	return size
}

// join gives the mean of some minutes; the speed is NaN if one is missing, the
// direction if one is missing or they cancel.
func join(ms []Minute) Minute {
	var v Vector
	speed := 0.0
	for _, m := range ms {
		if !speedRange.Holds(m.SpeedMPerS) {
			return Minute{math.NaN(), math.NaN()}
		}
		speed += m.SpeedMPerS
		v.Add(m.SpeedMPerS, m.DirectionDeg)
	}
	out := Minute{speed / float64(len(ms)), math.NaN()}
	if d, ok := v.DirectionDeg(); ok && v.N() == len(ms) {
		out.DirectionDeg = d
	}
	return out
}
