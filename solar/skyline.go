package solar

import (
	"math"
	"slices"

	"github.com/stationphysics/stationphysics"
	"github.com/stationphysics/stationphysics/internal/limit"
)

var (
	skylineAzimuth   = limit.Range{Quantity: "azimuth of a skyline point", Unit: "deg", Min: 0, Max: 360}
	skylineElevation = limit.Range{Quantity: "elevation of a skyline point", Unit: "deg", Min: -30, Max: 90}
)

// A SkylinePoint is one measured direction of the skyline.
type SkylinePoint struct {
	AzimuthDeg   float64 // clockwise from true north, 0 to 360
	ElevationDeg float64 // apparent elevation of the obstacle's edge, -30 to 90
}

// A Skyline is the line that hills, houses and trees draw around a place, seen
// from the panel or sensor. It stands at infinity: a near obstacle hides the sun
// from one end of a large panel and not from the other, which no skyline tells.
//
// The zero Skyline is the flat horizon at 0°. A Skyline does not change after it
// is made and may be shared.
type Skyline struct {
	points []SkylinePoint // ascending azimuth, [0, 360)
}

// NewSkyline returns the skyline through the points: straight in elevation over
// azimuth from each to the next, and from the last on over north to the first.
// The order given does not matter, except that two points of equal azimuth make
// a vertical edge, the first met first when turning clockwise. One point is a
// horizon of that elevation all round, no point the flat horizon.
//
// A value out of range (azimuth 0 to 360, elevation -30 to 90) gives a
// *stationphysics.RangeError, a third point at one azimuth a
// *stationphysics.ConflictError.
func NewSkyline(points []SkylinePoint) (Skyline, error) {
	p := make([]SkylinePoint, 0, len(points))
	for _, q := range points {
		if err := limit.First(skylineAzimuth.Check(q.AzimuthDeg), skylineElevation.Check(q.ElevationDeg)); err != nil {
			return Skyline{}, err
		}
		if q.AzimuthDeg == 360 {
			q.AzimuthDeg = 0
		}
		p = append(p, q)
	}
	slices.SortStableFunc(p, func(a, b SkylinePoint) int {
		switch {
		case a.AzimuthDeg < b.AzimuthDeg:
			return -1
		case a.AzimuthDeg > b.AzimuthDeg:
			return 1
		}
		return 0
	})
	for i := 2; i < len(p); i++ {
		if a := p[i].AzimuthDeg; a == p[i-2].AzimuthDeg {
			return Skyline{}, &stationphysics.ConflictError{
				Quantities: slices.Repeat([]string{skylineAzimuth.Quantity}, 3),
				Values:     []float64{a, a, a},
				Units:      []string{"deg", "deg", "deg"},
				Rule:       "one azimuth takes two points at most, the foot and the top of a vertical edge",
			}
		}
	}
	return Skyline{points: p}, nil
}

// Points returns the points in the order of azimuth.
func (s Skyline) Points() []SkylinePoint { return slices.Clone(s.points) }

// ElevationDeg is the elevation of the skyline in degrees at an azimuth of 0 to
// 360. At a vertical edge it is the higher end. It is NaN for any other azimuth
// and for NaN.
func (s Skyline) ElevationDeg(azimuthDeg float64) float64 {
	if !(azimuthDeg >= 0 && azimuthDeg <= 360) {
		return nan
	}
	n := len(s.points)
	if n == 0 {
		return 0
	}
	if azimuthDeg == 360 {
		azimuthDeg = 0
	}
	// The first point beyond the azimuth, by halving.
	lo, hi := 0, n
	for lo < hi {
		m := int(uint(lo+hi) >> 1)
		if s.points[m].AzimuthDeg > azimuthDeg {
			hi = m
		} else {
			lo = m + 1
		}
	}
	a, b := s.points[(lo+n-1)%n], s.points[lo%n]
	if a.AzimuthDeg == azimuthDeg {
		// On a point; at a vertical edge its other end stands just before.
		if lo >= 2 && s.points[lo-2].AzimuthDeg == azimuthDeg {
			return math.Max(a.ElevationDeg, s.points[lo-2].ElevationDeg)
		}
		return a.ElevationDeg
	}
	// Between two points, or over north from the last to the first.
	width := b.AzimuthDeg - a.AzimuthDeg
	if width <= 0 {
		width += 360
	}
	along := azimuthDeg - a.AzimuthDeg
	if along < 0 {
		along += 360
	}
	return a.ElevationDeg + (b.ElevationDeg-a.ElevationDeg)*(along/width)
}

// Hides reports whether a point of the sky is hidden: its apparent elevation is
// not above the skyline. An azimuth outside 0 to 360 or a NaN is hidden, so that
// an unknown sun gives no direct light.
func (s Skyline) Hides(azimuthDeg, elevationDeg float64) bool {
	return !(elevationDeg > s.ElevationDeg(azimuthDeg))
}
