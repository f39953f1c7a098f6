package sky

import (
	"math"

	"github.com/stationphysics/stationphysics/solar"
)

// A horizon knows how low and high a skyline is within each degree of azimuth.
type horizon struct {
	low, high [360]float64
	top       float64
}

func newHorizon(s solar.Skyline) (h horizon) {
	for i := range h.low {
		a, b := s.ElevationDeg(float64(i)), s.ElevationDeg(float64(i+1))
		h.low[i], h.high[i] = min(a, b), max(a, b)
	}
	for _, p := range s.Points() {
		// A point on a full degree belongs to both sides: at a vertical edge the
		// elevation asked for is the higher end.
		for _, i := range [2]int{int(p.AzimuthDeg), int(math.Ceil(p.AzimuthDeg)) - 1} {
			i = (i + 360) % 360
			h.low[i], h.high[i] = min(h.low[i], p.ElevationDeg), max(h.high[i], p.ElevationDeg)
		}
	}
	h.top = h.high[0]
	for _, e := range h.high {
		h.top = max(h.top, e)
	}
	return h
}

// between gives the lowest and the highest elevation between two azimuths, the
// first below the second, -360 to 720.
func (h *horizon) between(fromDeg, toDeg float64) (low, high float64) {
	from, to := int(math.Floor(fromDeg))+720, int(math.Floor(toDeg))+720
	low, high = math.Inf(1), math.Inf(-1)
	for i := from; i <= min(to, from+359); i++ {
		low, high = min(low, h.low[i%360]), max(high, h.high[i%360])
	}
	return low, high
}

// hides is Skyline.Hides for an azimuth of 0 to 360, with the skyline asked only
// where its bounds do not tell.
func (h *horizon) hides(s solar.Skyline, azimuthDeg, elevationDeg float64) bool {
	i := min(int(azimuthDeg), 359)
	switch {
	case elevationDeg > h.high[i]:
		return false
	case elevationDeg < h.low[i]:
		return true
	}
	return s.Hides(azimuthDeg, elevationDeg)
}
