package sky

import "math"

// A parabola is a quantity that goes smoothly with the sun over the span of a
// rule, by the share of the span from its middle on, -0.5 to 0.5.
type parabola struct{ mid, slope, bend float64 }

func (q *parabola) at(x float64) float64 { return q.mid + x*(q.slope+x*q.bend) }

// course is the parabola through the values at the outer nodes and in the middle.
func (s *walk) course(first, mid, last float64) parabola {
	h := s.reach
	return parabola{mid, (last - first) / (2 * h), (first + last - 2*mid) / (2 * h * h)}
}

func (s *walk) openAll(share float64) {
	for i := range s.places() {
		s.place[i].open, s.place[i].lit = share, share
	}
	s.bent = false
}

// weigh finds for how much of each step the sun reaches the plane: what the
// skyline leaves free and, in a smooth rule, what is before the plane. It reports
// false where the steps of a smooth rule do not tell.
func (p *Plane) weigh(s *walk) bool {
	s.ct = p.incidence(&s.toMid)
	near, far := math.Inf(1), math.Inf(-1)
	for i := range s.places() {
		ct := p.incidence(&s.toSun[i])
		s.place[i].front = ct
		near, far = min(near, ct), max(far, ct)
	}
	s.openAll(1)
	if s.n == 0 {
		return true
	}
	if s.even {
		if !p.flat {
			for i := range s.places() {
				free := p.free(s, i)
				s.place[i].open, s.place[i].lit = free, free
			}
		}
		return true
	}
	// The span ends less than 4° beyond the outer nodes, which moves the cosine by less
	// than 0.07, and one of a hundredth counts for nothing.
	var front parabola
	if near < 0.1 && far > -0.1 {
		front = s.course(s.place[0].front, s.ct, s.place[s.n-1].front)
		begin, end := front.at(-0.5), front.at(0.5)
		s.bent = min(begin, end, front.mid) < -0.01 && max(begin, end, front.mid) > 0.01
	}
	before := func(x float64) bool { return front.at(x) > 0 }
	if p.flat {
		if s.bent {
			s.setOpen(s.measure(before))
		}
		return true
	}
	elevation := s.course(s.toSun[0].ApparentElevationDeg, s.toMid.ApparentElevationDeg, s.toSun[s.n-1].ApparentElevationDeg)
	low, high := min(elevation.at(-0.5), elevation.at(0.5), elevation.mid)-0.2, max(elevation.at(-0.5), elevation.at(0.5), elevation.mid)+0.2
	hides := false
	var azimuth parabola
	if low <= p.line.top {
		if high > 75 {
			return false // near the zenith the azimuth runs
		}
		// From the middle on, so that north does not matter.
		m := s.mid.AzimuthDeg
		azimuth = s.course(math.Remainder(s.toSun[0].AzimuthDeg()-m, 360), 0, math.Remainder(s.toSun[s.n-1].AzimuthDeg()-m, 360))
		azimuth.mid = m
		a, b := azimuth.at(-0.5), azimuth.at(0.5)
		least, most := p.line.between(min(a, b)-1, max(a, b)+1)
		if high < least {
			s.openAll(0)
			return true
		}
		hides = low <= most
	}
	switch {
	case hides:
		line := p.mount.Skyline
		free := func(x float64) bool { return !p.line.hides(line, turn(azimuth.at(x)), elevation.at(x)) }
		share := s.measure(free)
		for i := range s.places() {
			s.place[i].lit = share[i]
		}
		if s.bent {
			share = s.measure(func(x float64) bool { return before(x) && free(x) })
		}
		s.setOpen(share)
	case s.bent:
		s.setOpen(s.measure(before))
	}
	return true
}

func (s *walk) setOpen(share [len(gauss3)]float64) {
	for i := range s.places() {
		s.place[i].open = share[i]
	}
}

// The span of a rule is looked over in parts of 75 seconds of an hour, and where
// the sun appears or goes within one, the instant is found by halving to 5 seconds.
const (
	spanParts    = 48
	spanHalvings = 4
)

// measure gives the shares of the steps for the part of the span in which the sun
// reaches something: the weights with which the polynomial through the nodes is
// integrated over this part alone, over those of the whole.
func (s *walk) measure(reaches func(x float64) bool) (share [len(gauss3)]float64) {
	var m moments
	from, was := -0.5, reaches(-0.5)
	for k := 1; k <= spanParts; k++ {
		x := float64(k)/spanParts - 0.5
		is := reaches(x)
		if is == was {
			continue
		}
		lo, hi := x-1.0/spanParts, x
		for range spanHalvings {
			if mid := (lo + hi) / 2; reaches(mid) == was {
				lo = mid
			} else {
				hi = mid
			}
		}
		edge := (lo + hi) / 2
		if was {
			m.add(from, edge)
		}
		from, was = edge, is
	}
	if was {
		m.add(from, 0.5)
	}
	h := s.reach
	switch s.n {
	case 2:
		share[0], share[1] = (m[0]-m[1]/h)/2, (m[0]+m[1]/h)/2
	case 3:
		share[0] = (m[2]/h - m[1]) / (2 * h)
		share[1] = m[0] - m[2]/(h*h)
		share[2] = (m[2]/h + m[1]) / (2 * h)
	}
	for i := range s.places() {
		share[i] *= s.span / s.place[i].share
	}
	return share
}

// moments are the integrals of 1, x and x² over a set.
type moments [3]float64

func (m *moments) add(a, b float64) {
	m[0] += b - a
	m[1] += (b*b - a*a) / 2
	m[2] += (b*b*b - a*a*a) / 3
}

// skylineParts divides an even step where the skyline is looked up: 50 seconds.
const skylineParts = 9

// free is the share of an even step in which the skyline leaves the sun free.
// Within the step the sun goes straight, with the speed that its neighbours show.
func (p *Plane) free(s *walk, i int) float64 {
	sun, from, to := SunToward(s.toSun[i]), i, i
	between := 0.0 // of the middles of the steps from and to
	if i > 0 {
		from, between = i-1, between+(s.place[i-1].share+s.place[i].share)/2
	}
	if i+1 < s.n {
		to, between = i+1, between+(s.place[i].share+s.place[i+1].share)/2
	}
	var rise, turned float64 // of the sun, over this step
	if between > 0 {
		k := s.place[i].share / between
		rise = k * (s.toSun[to].ApparentElevationDeg - s.toSun[from].ApparentElevationDeg)
		turned = k * math.Remainder(s.toSun[to].AzimuthDeg()-s.toSun[from].AzimuthDeg(), 360)
	}
	seen := 0
	for k := range skylineParts {
		x := (float64(k)+0.5)/skylineParts - 0.5
		if !p.mount.Skyline.Hides(turn(sun.AzimuthDeg+turned*x), sun.ElevationDeg+rise*x) {
			seen++
		}
	}
	return float64(seen) / skylineParts
}
