package panel

import (
	"fmt"
	"math"
	"time"

	"github.com/stationphysics/stationphysics/internal/limit"
	"github.com/stationphysics/stationphysics/solar/sky"
)

// A Step is one element of a series of light and weather in the open, from
// which the weather of a panel on any mount follows.
type Step struct {
	sky.Record         // light on level ground in the open
	AirC       float64 // air temperature, -100..70 °C
	WindMPerS  float64 // mean wind at the panel, 0..75 m/s
	SnowPct    float64 // share of the panel under snow, 0..100
	Group      int     // month or season for BestMount; all alike if the year counts as a whole
}

// BatchWeather fills dst with the weather of a panel on the plane, each element the
// mean over the interval of its step; NaN where the light is missing or out of
// range. It panics if the lengths differ. sun is the solar.Site of the plane
// or, much faster, a *solar.Track over the time of the series.
func BatchWeather(dst []Weather, series []Step, plane *sky.Plane, sun sky.Ephemeris) {
	if len(dst) != len(series) {
		panic("panel: slice lengths differ")
	}
	for i := range series {
		s := &series[i]
		on := sky.Irradiance{}
		if !s.dark() {
			on = plane.Over(sun, s.Record)
		}
		dst[i] = s.weather(plane, on)
	}
}

// dark reports a step without any light, for which no sun need be found.
func (s *Step) dark() bool {
	return s.GlobalWPerM2 == 0 && s.BeamNormalWPerM2 == 0 && s.DiffuseWPerM2 == 0
}

func (s *Step) weather(plane *sky.Plane, on sky.Irradiance) Weather {
	return Weather{
		IrradianceWPerM2: plane.EffectiveWPerM2(on, s.SnowPct),
		OnGlassWPerM2:    on.TotalWPerM2,
		AirC:             s.AirC,
		WindMPerS:        s.WindMPerS,
	}
}

// Best is the result of BestMount.
type Best struct {
	Mount    sky.Mount // the base with the tilt and facing found, to 1°
	PoorestW float64   // mean power over the poorest group
	MeanW    float64   // mean power over all groups
	Yield    Yield     // of the whole series
}

// holdTracks, given as the held voltage, stands for a charger that finds the
// maximum power point.
const holdTracks = 0

// BestMount looks for the tilt (0..90°) and facing at which the group of steps
// with the least mean power gets the most, and among such the whole series.
// With all steps in one group that is the best mount over the year; with the
// twelve months as groups it is the one for the darkest month, which is the
// one a station without a mains connection needs. Groups in which the sun does
// not shine at all are left out.
//
// base gives what stands fixed: skyline, ground, cover, sky model, dirt. Its
// tilt and facing are ignored. sun is the solar.Site or the *solar.Track of
// the place. holdV is the voltage the charger holds, 0 for one that finds the
// maximum power point; heat nil stands for OpenRack.
//
// Mounts 20° apart in tilt and 30° in facing are compared first, then the best
// is improved in ever smaller steps down to 1°. A skyline can make several
// hills in the yield: one narrower than that grid may be missed. An hourly year
// takes about a second.
//
// A value out of range gives a *stationphysics.RangeError, wrapped with the
// number of the step where it belongs to one; so does light that exceeds what a panel
// takes on the mount found.
func (m Module) BestMount(series []Step, base sky.Mount, sun sky.Ephemeris, heat CellTemperature, holdV float64) (Best, error) {
	if err := m.checkHold(holdV); err != nil {
		return Best{}, err
	}
	s := search{m: m, base: base, sun: sun, heat: heat, holdV: holdV}
	base.TiltDeg, base.FacingDeg = 0, 0
	level, err := sky.NewPlane(base)
	if err != nil {
		return Best{}, err
	}
	lit := map[int]bool{}
	for i := range series {
		r := &series[i]
		if err := limit.First(CheckCellTemperature(0, r.AirC, r.WindMPerS), sky.CheckSnow(r.SnowPct), r.Light.Check()); err != nil {
			return Best{}, fmt.Errorf("step %d of the series: %w", i, err)
		}
		if r.dark() {
			continue
		}
		if on := level.Over(sun, r.Record); math.IsNaN(on.TotalWPerM2) {
			mid, _ := sky.SunUp(sun, r.Start, r.Length)
			return Best{}, fmt.Errorf("step %d of the series: %w", i, limit.First(intervalRange.Check(r.Length.Seconds()), mid.Check()))
		}
		lit[r.Group] = true
	}
	s.prepare(series, lit)
	return s.run()
}

// intervalRange is what sky takes.
var intervalRange = limit.Range{Quantity: "length of the interval", Unit: "s", Min: 1, Max: 3 * 3600}

type search struct {
	m     Module
	base  sky.Mount
	sun   sky.Ephemeris
	heat  CellTemperature // nil is left to Output
	holdV float64

	steps  []Step    // of groups with light, those with light
	middle []sky.Sun // at the middle of their sunlit parts
	slot   []int     // where the group of each step is summed
	hours  []float64 // of each group, the nights included
	sums   []float64 // Wh of each group
	fault  error     // of the last mount on which more light fell than a panel takes
}

// prepare keeps what the evaluation of a mount needs.
func (s *search) prepare(series []Step, lit map[int]bool) {
	slots := map[int]int{}
	for i := range series {
		r := &series[i]
		if !lit[r.Group] {
			continue
		}
		k, ok := slots[r.Group]
		if !ok {
			k = len(s.hours)
			slots[r.Group] = k
			s.hours = append(s.hours, 0)
		}
		s.hours[k] += r.Length.Hours()
		if r.dark() {
			continue
		}
		mid, _ := sky.SunUp(s.sun, r.Start, r.Length)
		s.steps = append(s.steps, *r)
		s.middle = append(s.middle, mid)
		s.slot = append(s.slot, k)
	}
	s.sums = make([]float64, len(s.hours))
}

// A merit orders mounts: by the poorest group, then by the whole.
type merit struct{ poorest, mean float64 }

func (a merit) better(b merit) bool {
	return a.poorest > b.poorest || a.poorest == b.poorest && a.mean > b.mean
}

// value evaluates a mount; exact follows the sun through each interval, else
// the middle of it serves.
func (s *search) value(tiltDeg, facingDeg float64, exact bool) (merit, Yield) {
	mount := s.base
	mount.TiltDeg, mount.FacingDeg = tiltDeg, facingDeg
	plane, err := sky.NewPlane(mount)
	if err != nil {
		return merit{}, Yield{} // cannot be: the base was accepted with another tilt
	}
	clear(s.sums)
	var y Yield
	for i := range s.steps {
		r := &s.steps[i]
		var on sky.Irradiance
		if exact {
			on = plane.Over(s.sun, r.Record)
		} else {
			on = plane.On(s.middle[i], r.Light)
		}
		w := r.weather(plane, on)
		o := s.m.Output(w, s.heat, s.holdV)
		if math.IsNaN(o.MaxPowerW) {
			s.fault = fmt.Errorf("step of %s on the best mount: %w", r.Start.UTC().Format(time.RFC3339),
				irradianceRange.Check(w.OnGlassWPerM2)) // what arrives behind the glass is less
		}
		h := r.Length.Hours()
		y.Add(o, h)
		if s.holdV == holdTracks {
			s.sums[s.slot[i]] += o.MaxPowerW * h
		} else {
			s.sums[s.slot[i]] += o.HeldW * h
		}
	}
	v := merit{poorest: math.Inf(1)}
	hours := 0.0
	for k, wh := range s.sums {
		v.poorest = math.Min(v.poorest, wh/s.hours[k])
		v.mean += wh
		hours += s.hours[k]
	}
	v.mean /= hours
	return v, y
}

func (s *search) run() (Best, error) {
	if len(s.steps) == 0 {
		return Best{Mount: s.base}, nil
	}
	tilt, facing := 0.0, 180.0
	v, _ := s.value(tilt, facing, false)
	for t := 20.0; t <= 80; t += 20 {
		for f := 0.0; f < 360; f += 30 {
			if w, _ := s.value(t, f, false); w.better(v) {
				tilt, facing, v = t, f, w
			}
		}
	}
	var y Yield
	for _, round := range []struct {
		stepDeg float64
		exact   bool
	}{{10, false}, {3, false}, {1, true}} {
		v, y = s.value(tilt, facing, round.exact)
		for moved := true; moved; {
			t0, f0 := tilt, facing
			moved = false
			for a := -1.0; a <= 1; a++ {
				for b := -1.0; b <= 1; b++ {
					t, f := t0+a*round.stepDeg, math.Mod(f0+b*round.stepDeg+360, 360)
					if t < 0 || t > 90 || a == 0 && b == 0 {
						continue
					}
					if w, u := s.value(t, f, round.exact); w.better(v) {
						tilt, facing, v, y, moved = t, f, w, u, true
					}
				}
			}
		}
	}
	if math.IsNaN(v.mean) {
		s.value(tilt, facing, true) // its own fault, not that of a mount tried since
		return Best{}, s.fault
	}
	best := Best{Mount: s.base, PoorestW: v.poorest, MeanW: v.mean, Yield: y}
	best.Mount.TiltDeg, best.Mount.FacingDeg = tilt, facing
	return best, nil
}
