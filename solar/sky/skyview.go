package sky

import "math"

// bandDeg is the height of the bright band that the models shrink to a line at
// the horizon (Perez et al. 1987, Solar Energy 39:221).
const bandDeg = 6.5

// viewSteps divides the horizon; a skyline given to half a degree is followed.
const viewSteps = 1440

type view struct {
	sky  float64 // share of an even sky's light on a level surface that arrives
	band float64 // free part of the horizon band, 0..1
}

// view integrates the visible sky. For one direction of azimuth, at an angle d
// from where the surface looks, the light of a strip between the elevations e1
// and e2 is the integral of cos(incidence) cos(e) de:
//
//	cos(tilt) (sin²e2 − sin²e1)/2 + sin(tilt) cos(d) (h(e2) − h(e1)), h(e) = e/2 + sin(2e)/4
//
// It holds where the surface can see the strip; the rest is cut off before.
func (p *Plane) view() view {
	if p.flat {
		return view{(1 + p.cosTilt) / 2, 1}
	}
	var sky, open, all float64
	for i := range viewSteps {
		az := (float64(i) + 0.5) * 360 / viewSteps
		top := max(0, min(90, p.mount.Skyline.ElevationDeg(az)))
		cd := math.Cos(az*rad - p.facing)
		lo, hi := top*rad, math.Pi/2
		// cos(incidence) = sin(e) cos(tilt) + cos(e) sin(tilt) cos(d) changes
		// its sign at tan(e) = −tan(tilt) cos(d).
		switch {
		case p.cosTilt > 0:
			lo = max(lo, math.Atan2(-p.sinTilt*cd, p.cosTilt))
		case p.cosTilt < 0:
			hi = math.Atan2(p.sinTilt*cd, -p.cosTilt)
		case cd <= 0:
			hi = 0
		}
		if hi > lo {
			s1, c1 := math.Sincos(lo)
			s2, c2 := math.Sincos(hi)
			sky += p.cosTilt*(s2*s2-s1*s1)/2 + p.sinTilt*cd*((hi-lo)+s2*c2-s1*c1)/2
		}
		// The band is seen by a surface as far as it looks that way.
		w := max(cd, 0)
		all += w
		open += w * max(0, 1-top/bandDeg)
	}
	return view{sky * 2 / viewSteps, open / all}
}
