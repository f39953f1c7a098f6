package sky

import (
	"math"
	"time"

	"github.com/stationphysics/stationphysics/solar"
)

// A passage is the sun over an interval, by the share of it that has passed.
type passage struct {
	e      Ephemeris
	start  time.Time
	length time.Duration
	spanS  float64
	arc    solar.Arc
	fast   bool // by the arc
}

// A follower is an Ephemeris that knows whole arcs at less cost.
type follower interface {
	Arc(start time.Time, length time.Duration) solar.Arc
}

func newPassage(e Ephemeris, start time.Time, length time.Duration) passage {
	c := passage{e: e, start: start, length: length, spanS: length.Seconds()}
	if f, ok := e.(follower); ok {
		c.arc, c.fast = f.Arc(start, length), true
	}
	return c
}

func (c *passage) at(x float64) solar.Direction {
	if c.fast {
		return c.arc.At(x * c.spanS)
	}
	p := c.e.At(c.start.Add(time.Duration(x * float64(c.length))))
	return p.Direction()
}

func (c *passage) elevation(x float64) float64 { return c.at(x).ApparentElevationDeg }

// horizonAt is where the apparent sun crosses the horizon on a passage that rises or
// falls throughout, from the positions at its beginning, middle and end. The true
// elevation is nearly a parabola in time, and refraction at the horizon nearly
// constant: two steps on it end within 0.001°.
func horizonAt(c *passage, p0, pm, p1 *solar.Direction) float64 {
	const usualLiftDeg = 0.57 // of the apparent horizon
	t0, tm, t1 := p0.TrueElevationDeg, pm.TrueElevationDeg, p1.TrueElevationDeg
	slope, bend := t1-t0, 2*(t0+t1-2*tm) // by x - 1/2
	lift, x := usualLiftDeg, 0.5
	for range 3 {
		// The root of tm + slope y + bend y² = -lift, y = x - 1/2, that goes over
		// into that of the straight line.
		r := slope*slope - 4*bend*(tm+lift)
		if !(r > 0) {
			break
		}
		x = 0.5 - 2*(tm+lift)/(slope+math.Copysign(math.Sqrt(r), slope))
		p := c.at(x)
		if math.Abs(p.ApparentElevationDeg) < 1e-3 {
			return x
		}
		// A sun still above the horizon has to sink by what it is above; below its
		// sight the position does not tell its refraction, but what the parabola misses.
		miss := p.TrueElevationDeg + lift
		if p.ApparentElevationDeg > p.TrueElevationDeg {
			miss = p.ApparentElevationDeg
		}
		lift += miss
	}
	return crossing(c.elevation, 0, p0.ApparentElevationDeg, 1, p1.ApparentElevationDeg)
}

// crossing is where the elevation passes 0 in a step, by the Illinois form of
// the false position; the apparent elevation jumps where the upper limb sets, so
// that a straight line does not do.
func crossing(f func(float64) float64, x0, y0, x1, y1 float64) float64 {
	side := 0
	for range 12 {
		x := x0 + (x1-x0)*y0/(y0-y1)
		y := f(x)
		if math.Abs(y) < 1e-3 {
			return x
		}
		if (y > 0) == (y1 > 0) {
			x1, y1 = x, y
			if side == 1 {
				y0 /= 2
			}
			side = 1
		} else {
			x0, y0 = x, y
			if side == -1 {
				y1 /= 2
			}
			side = -1
		}
	}
	return (x0 + x1) / 2
}
