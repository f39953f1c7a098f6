package logbook

import (
	"math"

	"github.com/stationphysics/stationphysics/solar/sky"
)

// A Flag says which check a value failed. A flagged value is doubtful, not
// wrong; several flags may hold at once.
type Flag uint8

// The checks after the WMO guidelines on quality control of automatic weather
// stations (Zahumenský 2004; limits as quoted by others).
const (
	FailsRange   Flag = 1 << iota // outside what weather does
	FailsStep                     // jumped in a minute
	FailsPersist                  // too steady over an hour
	FailsLogic                    // contradicts another column of the row
	FailsPair                     // contradicts the second sensor beyond both half-widths
)

// Limits of the one-minute step (Zahumenský 2004, as quoted): temperature 3 °C,
// humidity 15 %, pressure 2 hPa, wind 20 m/s, irradiance 800 W/m², here as 122
// lx per W/m², the luminous efficacy of daylight.
var stepLimits = [columns]float64{Air: 3, Air2: 3, Humidity: 15, Humidity2: 15, Pressure: 2, Wind: 20, WindPulses: 20, Light: 800 * 122}

// A step is judged against the last value that passed, if it is at most this
// old: after one bad value the next good one passes, and after a lasting
// change the new level does.
const stepOldS = 150

// Least variation over 60 minutes (Zahumenský 2004, as quoted): temperature
// 0.1 °C, humidity 1 %, pressure 0.1 hPa, direction 10 degrees, speed 0.5 m/s.
// Pressure may well be that steady on a calm day: the flag asks, no more.
var leastVariation = [...]struct {
	column Column
	least  float64
}{{Air, 0.1}, {Humidity, 1}, {Pressure, 0.1}, {Direction, 10}, {Wind, 0.5}}

// Saturated air holds its humidity, and a calm its zero and its vane (our
// choice of the bounds).
const (
	saturatedPct = 98
	calmMPerS    = 0.5
)

// checks is the memory of the checks.
type checks struct {
	last   [columns]float64
	lastNS [columns]int64
	known  [columns]bool
	hours  [len(leastVariation)]hour
	turn   float64 // direction without its fold at north
	turned bool
}

func (k *checks) restart() { *k = checks{} }

// value is the value of a column as it is judged: wind may come from pulses.
func (o *Observation) value(c Column) (v float64, ok bool) {
	if c == Wind && o.state[Wind] == Absent {
		return o.WindMPerS.Value, o.WindMPerS.State == Good
	}
	return o.raw[c], o.state[c] == Good || o.state[c] == Pegged
}

func (r *Reader) check() {
	o, k := &r.o, &r.checks
	ns := r.lastNS
	for c := range columns {
		if o.state[c] == OutOfRange {
			o.flags[c] |= FailsRange
		}
		most := stepLimits[c]
		if most == 0 || !o.good(c) {
			continue
		}
		v := o.raw[c]
		if c == WindPulses {
			if v = o.WindMPerS.Value; v != v {
				continue
			}
		}
		if k.known[c] && float64(ns-k.lastNS[c])*1e-9 <= stepOldS && math.Abs(v-k.last[c]) > most {
			o.flags[c] |= FailsStep
			continue
		}
		k.known[c], k.last[c], k.lastNS[c] = true, v, ns
	}
	r.persist(ns)
	r.logic()
	r.pair()
	for c := range columns {
		if o.flags[c] != 0 {
			r.sum.FlaggedValues++
		}
	}
}

func (r *Reader) persist(ns int64) {
	o, k := &r.o, &r.checks
	minute := ns / 60e9
	if ns < 0 {
		minute--
	}
	for i := range leastVariation {
		c := leastVariation[i].column
		v, ok := o.value(c)
		if !ok {
			continue
		}
		if c == Direction {
			if k.turned {
				v = k.turn + math.Remainder(v-k.turn, 360)
			}
			k.turn, k.turned = v, true
		}
		h := &k.hours[i]
		h.add(minute, v)
		if !h.full(minute) || h.hi-h.lo >= leastVariation[i].least {
			continue
		}
		switch w, windOK := o.value(Wind); {
		case c == Humidity && h.lo >= saturatedPct,
			c == Wind && h.hi < calmMPerS,
			c == Direction && !(windOK && w >= calmMPerS):
			continue
		}
		if c == Wind && o.state[Wind] == Absent {
			c = WindPulses
		}
		o.flags[c] |= FailsPersist
	}
}

// logic checks the columns of one row against each other.
func (r *Reader) logic() {
	o := &r.o
	if w, ok := o.value(Wind); ok && o.good(Gust) && o.raw[Gust] < w-0.1 {
		o.flags[Gust] |= FailsLogic // a gust below the mean
	}
	if o.RainMmPerH.OK() && o.RainMmPerH.Value > heavyMmPH {
		o.flags[r.rainColumn()] |= FailsRange
	}
	rained := o.RainMm.OK() && o.RainMm.Value > 0
	if rained && o.good(Air) && o.raw[Air] < 0 {
		o.flags[r.rainColumn()] |= FailsLogic // an unheated bucket measures no rain in the frost
	}
	if !o.sunOK || !o.good(Light) {
		return
	}
	// No light in the deep night, and by day none far above a clear sky: cloud
	// edges add up to half (common practice), daylight has 130 lx per W/m² at
	// most (WMO-No. 8, from memory), twilight its 1000 lx.
	switch e := o.sun.ElevationDeg; {
	case e < -9 && o.raw[Light] > 200,
		e >= -9 && o.raw[Light] > 1000+1.5*130*sky.HaurwitzWPerM2(math.Max(e, 0))+2000*math.Max(0, 1+e/9):
		o.flags[Light] |= FailsLogic
	}
}

// night reports whether the sun does not heat a shield: by the place, or by the
// light if there is one.
func (o *Observation) night() bool {
	if o.sunOK {
		return o.sun.ElevationDeg < -3
	}
	return o.state[Light] == Good && o.raw[Light] < 10
}

// pair compares doubled sensors: temperatures at night only, since two shields
// heat differently, and humidity as vapour pressure, which does not depend on
// how warm the sensor is.
func (r *Reader) pair() {
	o := &r.o
	night := o.night()
	if night && o.state[Air] == Good && o.state[Air2] == Good && !Agree(o.AirC, o.Air2C) {
		o.flags[Air2] |= FailsPair
	}
	// Without a tolerance the half-width is NaN and nothing speaks against them.
	if apart, half, ok := r.vapourApart(); ok && math.Abs(apart) > half {
		o.flags[Humidity2] |= FailsPair
	}
}

// Agree reports whether two measures of one quantity may both be right:
// |a-b| at most 2 √(ua²+ub²), which is the root of the sum of the squared
// half-widths (JCGM 100, 5.1.2 for the difference, factor 2). True if a value
// or a half-width is missing: nothing speaks against them then.
func Agree(a, b Measure) bool {
	if !a.OK() || !b.OK() {
		return true
	}
	return !(math.Abs(a.Value-b.Value) > math.Hypot(a.Half, b.Half))
}

// An hour keeps the extremes of the last sixty minutes, minute by minute.
type hour struct {
	low, high [60]float64
	at        [60]int64
	since     int64
	begun     bool
	newest    int64
	lo, hi    float64
}

func (h *hour) add(minute int64, v float64) {
	if !h.begun || minute < h.newest {
		*h = hour{begun: true, since: minute, newest: minute, lo: v, hi: v}
		for i := range h.at {
			h.at[i] = math.MinInt64
		}
	}
	i := int(((minute % 60) + 60) % 60)
	if h.at[i] == minute {
		h.low[i], h.high[i] = math.Min(h.low[i], v), math.Max(h.high[i], v)
		h.lo, h.hi = math.Min(h.lo, v), math.Max(h.hi, v)
		return
	}
	// What falls out of the window matters only if it was an extreme.
	passed := minute - h.newest
	inside := passed <= 1 && (h.at[i] != minute-60 || h.low[i] > h.lo && h.high[i] < h.hi)
	h.at[i], h.low[i], h.high[i] = minute, v, v
	h.newest = minute
	if inside {
		h.lo, h.hi = math.Min(h.lo, v), math.Max(h.hi, v)
		return
	}
	h.lo, h.hi = v, v
	for j := range h.at {
		if h.at[j] > minute-60 {
			h.lo, h.hi = math.Min(h.lo, h.low[j]), math.Max(h.hi, h.high[j])
		}
	}
}

// full reports whether the extremes are those of an hour.
func (h *hour) full(minute int64) bool { return h.begun && minute-h.since >= 60 }
