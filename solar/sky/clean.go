package sky

import (
	"math"
	"strconv"
	"time"

	"github.com/stationphysics/stationphysics"
)

// A Cleaning counts what Clean changed.
type Cleaning struct {
	NegativeCount int // small negative readings set to 0
	DiffuseCount  int // diffuse readings a little above the global, set to it
	BeamCount     int // derived beams held to what air without haze lets through
	FilledCount   int // records with a missing part that was derived
	MissingCount  int // records that remain without a part: NaN
}

// A RecordError says which record of a file an error belongs to.
type RecordError struct {
	Index int       // of the record, from 0
	Start time.Time // of its interval
	Err   error     // a *stationphysics.RangeError or *stationphysics.ConflictError
}

// Error gives the record, its time and what is wrong with it.
func (e *RecordError) Error() string {
	return "record " + strconv.Itoa(e.Index) + " at " + e.Start.Format(time.RFC3339) + ": " + e.Err.Error()
}

// Unwrap gives the error of the value.
func (e *RecordError) Unwrap() error { return e.Err }

// zeroOffsetWPerM2 is the zero offset by thermal radiation that ISO 9060:2018
// allows a class C pyranometer (from memory; class B 15, class A 7): a reading
// below its negative is not an offset but a fault.
const zeroOffsetWPerM2 = 30

// Clean checks the records of a file against the sun and makes them complete,
// in place. In this order, for each record:
//
//   - readings between −30 W/m² and 0, the usual offset at night, become 0;
//     below that they are an error;
//   - a global or diffuse reading above the "physically possible" limits of
//     Long & Dutton (2002, BSRN Global Network recommended QC tests V2.0), or a
//     beam above the extraterrestrial, is an error: with the sun down it hints
//     at a wrong time zone;
//   - diffuse above the global by no more than 5 % (10 % below 15° of
//     elevation, the same document) and 5 W/m² becomes the global; beyond that it
//     is an error;
//   - one missing part is derived from the other two, and from the global alone
//     both others by the split; a derived beam is held to what air without haze
//     lets through.
//
// A record without enough to go by keeps its NaN and is counted. The first
// error ends the work as a *RecordError; the records before it are cleaned.
func Clean(records []Record, e Ephemeris, split Split) (Cleaning, error) {
	var c Cleaning
	for i := range records {
		if err := c.clean(&records[i], e, split); err != nil {
			return c, &RecordError{Index: i, Start: records[i].Start, Err: err}
		}
	}
	return c, nil
}

// mostGlobal and mostDiffuse are the "physically possible" limits of Long &
// Dutton (2002), W/m², by the sine of the sun's elevation.
func mostGlobal(e0, sinE float64) float64 {
	return e0*1.5*math.Pow(sinE, 1.2) + 100
}

func mostDiffuse(e0, sinE float64) float64 {
	return e0*0.95*math.Pow(sinE, 1.2) + 50
}

func (c *Cleaning) clean(r *Record, e Ephemeris, split Split) error {
	if err := lengthRange.Check(r.Length.Seconds()); err != nil {
		return err
	}
	var s walk
	if !s.follow(e, r.Start, r.Length) {
		return s.mid.Check()
	}
	negative := false
	e0 := s.e0
	// The limits belong to instants; the sun of the brightest is fair to an
	// interval's mean.
	top := s.highestSine()
	for _, p := range [...]struct {
		v    *float64
		name string
		most float64
	}{
		{&r.GlobalWPerM2, globalRange.Quantity, min(mostGlobal(e0, top), globalRange.Max)},
		{&r.DiffuseWPerM2, diffuseRange.Quantity, min(mostDiffuse(e0, top), diffuseRange.Max)},
		{&r.BeamNormalWPerM2, beamRange.Quantity, e0},
	} {
		v := *p.v
		if math.IsNaN(v) {
			continue
		}
		if v < -zeroOffsetWPerM2 || v > p.most {
			err := &stationphysics.RangeError{Quantity: p.name, Value: v, Unit: "W/m²", Min: -zeroOffsetWPerM2, Max: math.Floor(p.most)}
			switch {
			case v <= -99:
				err.Slip = "a mark for a missing value"
			case v > 0 && s.up == 0:
				err.Slip = "sunlight at night, a wrong time zone"
			}
			return err
		}
		if v < 0 {
			*p.v, negative = 0, true
		}
	}
	if negative {
		c.NegativeCount++
	}
	if s.up == 0 && r.BeamNormalWPerM2 > 0 {
		// What a tracker reads in the dark is its offset.
		if r.BeamNormalWPerM2 > zeroOffsetWPerM2 {
			return &stationphysics.RangeError{Quantity: beamRange.Quantity, Value: r.BeamNormalWPerM2, Unit: "W/m²", Min: -zeroOffsetWPerM2, Max: zeroOffsetWPerM2, Slip: "sunlight at night, a wrong time zone"}
		}
		r.BeamNormalWPerM2 = 0
	}
	if g, d := r.GlobalWPerM2, r.DiffuseWPerM2; d > g {
		room := 1.05
		if s.mid.ElevationDeg < 15 {
			room = 1.10
		}
		if d > room*g+5 {
			return diffuseAboveGlobal(r.Light)
		}
		r.DiffuseWPerM2 = g
		c.DiffuseCount++
	}
	c.complete(r, &s, split)
	return nil
}

// complete derives what is missing.
func (c *Cleaning) complete(r *Record, s *walk, split Split) {
	g, b, d := math.IsNaN(r.GlobalWPerM2), math.IsNaN(r.BeamNormalWPerM2), math.IsNaN(r.DiffuseWPerM2)
	switch {
	case !g && !b && !d:
		return
	case s.up == 0 && !(g && d):
		if g {
			r.GlobalWPerM2 = r.DiffuseWPerM2
		}
		r.DiffuseWPerM2, r.BeamNormalWPerM2 = r.GlobalWPerM2, 0
	case g && !b && !d:
		r.GlobalWPerM2 = r.DiffuseWPerM2 + r.BeamNormalWPerM2*s.level
	case !g && !b && d:
		r.DiffuseWPerM2 = max(0, r.GlobalWPerM2-r.BeamNormalWPerM2*s.level)
	case !g && b:
		if d {
			r.DiffuseWPerM2 = r.GlobalWPerM2 * split.DiffuseRatio(min(r.GlobalWPerM2/(s.e0*s.sum), 2))
		}
		if c.beam(r, s) {
			c.BeamCount++
			if d {
				r.DiffuseWPerM2 = r.GlobalWPerM2 - r.BeamNormalWPerM2*s.level
			}
		}
	default:
		c.MissingCount++
		return
	}
	c.FilledCount++
}

// beam derives the beam from global and diffuse light and reports whether it
// had to be held.
func (c *Cleaning) beam(r *Record, s *walk) (held bool) {
	most := s.up * s.e0 * s.clearest()
	r.BeamNormalWPerM2 = (r.GlobalWPerM2 - r.DiffuseWPerM2) / s.level
	if r.BeamNormalWPerM2 > most {
		r.BeamNormalWPerM2 = most
		return true
	}
	return false
}
