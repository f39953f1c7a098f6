package sky

import (
	"math"
	"time"
)

// A Course is the sun over a plane through a series of intervals, prepared for lights
// that are laid on the plane again and again: years of weather over one place. It
// does not change after it is made and may be shared between goroutines. Make one with
// [Plane.Course].
type Course struct {
	plane  *Plane
	index  []int32 // of each interval, into spans; -1 in the dark
	spans  []span
	places []place
}

// A span is an interval with its places: n of them from first on.
type span struct {
	sunlit
	first, n int32
}

// darkDeg is the elevation below which the sun leaves no light: the end of the
// astronomical twilight.
const darkDeg = -18

// Course follows the sun through n intervals of equal length, 1 s to 3 h, of which
// each begins where start tells for its number, counted from 0. It takes about 300 bytes
// for an hour of daylight. The error is a *stationphysics.RangeError for a length out of
// range and for a time that the ephemeris does not cover. No interval, n below 1, is a
// Course without any.
func (p *Plane) Course(e Ephemeris, length time.Duration, n int, start func(i int) time.Time) (*Course, error) {
	if err := lengthRange.Check(length.Seconds()); err != nil {
		return nil, err
	}
	n = max(n, 0)
	// Of a year in the middle latitudes two thirds are no night, and of the half that is day
	// an hour has two places or three; other years make the slices grow.
	c := &Course{plane: p, index: make([]int32, 0, n), spans: make([]span, 0, n*3/4), places: make([]place, 0, n*5/4)}
	var s walk
	for i := range n {
		if !p.walk(&s, e, start(i), length) {
			return nil, s.mid.Check()
		}
		if s.up == 0 && s.mid.ElevationDeg < darkDeg {
			c.index = append(c.index, -1)
			continue
		}
		c.index = append(c.index, int32(len(c.spans)))
		c.spans = append(c.spans, span{s.sunlit, int32(len(c.places)), int32(s.n)})
		c.places = append(c.places, s.places()...)
	}
	return c, nil
}

// Len is the number of intervals.
func (c *Course) Len() int { return len(c.index) }

// Over is [Plane.Over] for the light of interval i, counted from 0. With the sun more
// than 18° below the horizon IncidenceCosRatio is 0. NaN for a light that is missing
// or out of range and where there is no such interval.
func (c *Course) Over(i int, l Light) Irradiance {
	if i < 0 || i >= len(c.index) || !l.holds() {
		n := math.NaN()
		return Irradiance{n, n, n, n, n, n}
	}
	var dark sunlit
	if c.index[i] < 0 {
		return c.plane.over(&dark, nil, &l)
	}
	s := &c.spans[c.index[i]]
	return c.plane.over(&s.sunlit, c.places[s.first:s.first+s.n], &l)
}

// SunUp is [SunUp] of interval i. With the sun more than 18° below the horizon and
// where there is no such interval the sun is NaN and the share 0.
func (c *Course) SunUp(i int) (mid Sun, upRatio float64) {
	if i < 0 || i >= len(c.index) || c.index[i] < 0 {
		n := math.NaN()
		return Sun{n, n, n}, 0
	}
	s := &c.spans[c.index[i]]
	return s.mid, s.up
}
