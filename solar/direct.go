package solar

import (
	"errors"
	"math"
	"time"

	"github.com/stationphysics/stationphysics"
)

// A Spell is an unbroken time of direct sun.
type Spell struct{ From, To time.Time }

// DirectSun is what a skyline leaves of the sun on one date. The sun is taken as
// its centre at its apparent place, as [Skyline.Hides] takes it: the first and
// last ray of the upper limb come about a minute earlier and later.
type DirectSun struct {
	Spells []Spell // in order; none if the sun does not come over the skyline
	// PossibleH is the time of the centre above a flat horizon at 0° in hours,
	// SeenH the time above the skyline, and LostH the time above the horizon but
	// behind the skyline. A skyline below 0° can make SeenH longer than PossibleH.
	PossibleH, SeenH, LostH float64
}

// First is the first direct sun, the zero time if there is none.
func (d DirectSun) First() time.Time {
	if len(d.Spells) == 0 {
		return time.Time{}
	}
	return d.Spells[0].From
}

// Last is the last direct sun, the zero time if there is none.
func (d DirectSun) Last() time.Time {
	if len(d.Spells) == 0 {
		return time.Time{}
	}
	return d.Spells[len(d.Spells)-1].To
}

// DirectSun finds when the sun stands above the skyline between the lowest sun
// before and after the transit of a civil date. It looks every minute and then
// narrows each change to a millisecond: a gap or a gleam shorter than a minute can
// be missed. The errors are those of [Site.Day].
func (s Site) DirectSun(year int, month time.Month, day int, zone *time.Location, skyline Skyline) (DirectSun, error) {
	var w window
	if err := s.window(&w, year, month, day, zone); err != nil {
		return DirectSun{}, err
	}
	var out DirectSun
	w.spells(&out, skyline)
	return out, nil
}

// spells walks from one bound of the window to the other. An open spell is held
// in began until it ends.
func (w *window) spells(out *DirectSun, skyline Skyline) {
	const minute = 1.0 / 1440
	from, to := w.low[0], w.low[1]
	n := int(math.Ceil((to - from) / minute))
	possible, seen := w.light(from, skyline)
	var began float64
	if seen {
		began = from
	}
	a := from
	for i := 1; i <= n; i++ {
		b := math.Min(from+float64(i)*minute, to)
		possibleNow, seenNow := w.light(b, skyline)
		// Where each of the two changes within the minute, its end if it does not.
		x, y := b, b
		if possibleNow != possible {
			x = w.change(a, b, func(d float64) bool { p, _ := w.light(d, skyline); return p == possible })
		}
		if seenNow != seen {
			y = w.change(a, b, func(d float64) bool { _, s := w.light(d, skyline); return s == seen })
			if seenNow {
				began = y
			} else {
				out.Spells = append(out.Spells, Spell{w.clock(began), w.clock(y)})
			}
		}
		out.add(possible, seen, math.Min(x, y)-a)
		if x < y {
			out.add(possibleNow, seen, y-x)
		} else {
			out.add(possible, seenNow, x-y)
		}
		out.add(possibleNow, seenNow, b-math.Max(x, y))
		possible, seen, a = possibleNow, seenNow, b
	}
	if seen {
		out.Spells = append(out.Spells, Spell{w.clock(began), w.clock(to)})
	}
}

// light tells whether the sun stands above the flat horizon and above the skyline.
func (w *window) light(d float64, skyline Skyline) (possible, seen bool) {
	p := w.position(d)
	return p.ApparentElevationDeg > 0, !skyline.Hides(p.AzimuthDeg, p.ApparentElevationDeg)
}

// change halves the time between a, where the state holds, and b, where it does
// not, to a millisecond. The elevation over the skyline can leap, at a vertical
// edge and where refraction sets in, so that halving is as good as any.
func (w *window) change(a, b float64, holds func(float64) bool) float64 {
	for b-a > 1.0/86400e3 {
		if m := 0.5 * (a + b); holds(m) {
			a = m
		} else {
			b = m
		}
	}
	return b
}

func (d *DirectSun) add(possible, seen bool, days float64) {
	h := 24 * days
	if possible {
		d.PossibleH += h
	}
	if seen {
		d.SeenH += h
	}
	if possible && !seen {
		d.LostH += h
	}
}

// A MonthSun sums the direct sun of one calendar month in hours: possible over a
// flat horizon, seen over the skyline, lost behind it.
type MonthSun struct {
	PossibleH, SeenH, LostH float64 // h of the month
}

// SunHours sums [Site.DirectSun] over the months of a civil year, January
// first: what a skyline costs in hours of sun. The sky is taken as cloudless
// throughout. The error is a *stationphysics.RangeError for a year that
// [Site.Day] does not take.
func (s Site) SunHours(year int, zone *time.Location, skyline Skyline) ([12]MonthSun, error) {
	var out [12]MonthSun
	if zone == nil {
		zone = time.UTC
	}
	if err := civilYear.Check(float64(year)); err != nil {
		return out, err
	}
	for m := time.January; m <= time.December; m++ {
		sum := &out[m-1]
		for day := 1; day <= time.Date(year, m+1, 0, 12, 0, 0, 0, time.UTC).Day(); day++ {
			d, err := s.DirectSun(year, m, day, zone, skyline)
			var missing *stationphysics.ConflictError
			if errors.As(err, &missing) { // a date that the zone leapt over
				continue
			}
			if err != nil {
				return out, err
			}
			sum.PossibleH += d.PossibleH
			sum.SeenH += d.SeenH
			sum.LostH += d.LostH
		}
	}
	return out, nil
}
