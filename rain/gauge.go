package rain

import (
	"errors"
	"math"
	"time"

	"github.com/stationphysics/stationphysics/internal/limit"
)

// A Kind says what a closure was.
type Kind uint8

// The kinds of closure.
const (
	Refused Kind = iota // out of order in time
	Bounce              // within the ignore time of the one before
	Tip                 // a tip of the bucket
)

// A Closure is what one closure of the contact came to.
type Closure struct {
	Kind       Kind
	At         time.Time
	From       time.Time // since when its water fell: the tip before, at most the spread before At
	DepthMm    float64   // rain it stands for, loss put back; 0 unless a tip
	RateMmPerH float64   // mean intensity since From; NaN for the first tip and after a dry spell
	Doubt      Doubt
}

// A Doubt is a reason to ask whether a tip was rain.
type Doubt uint8

// The reasons; several may hold at once.
const (
	TooFast Doubt = 1 << iota // faster than a bucket can fill in any known rain: bounce past the ignore time, or shaking
	Melt                      // in the frost: melting snow or ice, late by hours
	Shaken                    // in a strong gust with no other tip around: a shaking mast
)

// The limits of doubt. The largest one-minute intensity on record is about 31
// mm in a minute, 1870 mm/h (Unionville 1956, World Meteorological Organization
// archive of extremes, from memory); a garden's record stays far below 600.
const (
	fastestMmPerH = 600
	shakeMPerS    = 15
)

// ErrOrder reports closures that are not in the order of time.
var ErrOrder = errors.New("a closure older than the one before: times must rise")

// A Gauge follows a bucket's closures in fixed memory. Make it with NewGauge; it
// is not safe for concurrent use.
type Gauge struct {
	b        Bucket
	spread   time.Duration
	lastEdge time.Time
	lastTip  time.Time
	begun    bool
	tipped   bool
}

var spreadRange = limit.Range{Quantity: "longest spread of a tip", Unit: "s", Min: 60, Max: 86400}

// NewGauge makes a gauge. A tip's water is spread over the time since the tip
// before, but over spreadS at most, 60..86400 s: the first tip after a dry spell
// carries what an old shower left in the bucket. 3600 s is usual (our choice).
// The error is a *stationphysics.RangeError.
func NewGauge(b Bucket, spreadS float64) (*Gauge, error) {
	if err := limit.First(tipRange.Check(b.s.TipMm), spreadRange.Check(spreadS)); err != nil {
		return nil, err
	}
	return &Gauge{b: b, spread: time.Duration(spreadS * float64(time.Second))}, nil
}

// Conditions are what else is known when a tip comes; NaN where it is not.
type Conditions struct {
	AirC      float64 // air temperature
	GustMPerS float64 // gust of the last minutes
}

// Unknown are conditions of which nothing is known.
func Unknown() Conditions { return Conditions{math.NaN(), math.NaN()} }

// Closure takes the next closure of the contact. Times must rise; a time before
// the last closure is Refused with ErrOrder.
func (g *Gauge) Closure(at time.Time, c Conditions) (Closure, error) {
	if g.begun && at.Before(g.lastEdge) {
		return Closure{At: at}, ErrOrder
	}
	out := Closure{At: at, Kind: Tip, RateMmPerH: math.NaN()}
	// Bounce is counted from the last edge of any kind: contacts that chatter
	// longer than the ignore time chatter without a pause.
	if g.begun && at.Sub(g.lastEdge).Seconds() < g.b.s.IgnoreS {
		g.lastEdge = at
		out.Kind = Bounce
		return out, nil
	}
	g.lastEdge, g.begun = at, true
	gap := math.Inf(1)
	out.From = at.Add(-g.spread)
	if g.tipped {
		gap = at.Sub(g.lastTip).Seconds()
		if !g.lastTip.Before(out.From) {
			out.From = g.lastTip
			out.RateMmPerH = g.b.GapMmPerH(gap)
		}
	}
	out.DepthMm = g.b.GapDepthMm(gap)
	if !(out.RateMmPerH <= fastestMmPerH) && !math.IsNaN(out.RateMmPerH) || math.IsNaN(out.DepthMm) {
		out.Doubt |= TooFast
		out.DepthMm = g.b.s.TipMm
		if math.IsNaN(out.RateMmPerH) {
			out.RateMmPerH = math.Inf(1)
		}
	}
	if c.AirC < 0 {
		out.Doubt |= Melt
	}
	if c.GustMPerS >= shakeMPerS && math.IsNaN(out.RateMmPerH) {
		out.Doubt |= Shaken
	}
	g.lastTip, g.tipped = at, true
	return out, nil
}

// Raining reports whether it rains: whether the gap since the last tip is still
// shorter than an intensity of lightMmPerH would make it. Without a tip so far
// it does not.
func (g *Gauge) Raining(now time.Time, lightMmPerH float64) bool {
	gap := g.b.GapS(lightMmPerH)
	return g.tipped && !now.Before(g.lastTip) && now.Sub(g.lastTip).Seconds() <= gap
}
