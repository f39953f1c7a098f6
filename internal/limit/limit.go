// Package limit checks inputs against their allowed range and recognises the
// usual slips of unit, so that every package words such an error alike.
package limit

import "github.com/stationphysics/stationphysics"

// A Slip is a range in which a value taken in a wrong unit is expected to fall.
type Slip struct {
	Min, Max float64
	Looks    string // "pascals", "kelvins"
}

// A Range is the accepted interval of one quantity, ends included.
type Range struct {
	Quantity string
	Unit     string
	Min, Max float64
	Slips    []Slip // looked through in order once a value is refused
}

// Holds reports whether v lies in the range; NaN does not.
func (r *Range) Holds(v float64) bool { return v >= r.Min && v <= r.Max }

// Named returns a copy under the name of one particular quantity.
func (r *Range) Named(quantity string) *Range {
	n := *r
	n.Quantity = quantity
	return &n
}

// Check returns nil if v lies in the range, and a *stationphysics.RangeError
// otherwise.
func (r *Range) Check(v float64) error {
	if r.Holds(v) {
		return nil
	}
	e := &stationphysics.RangeError{Quantity: r.Quantity, Value: v, Unit: r.Unit, Min: r.Min, Max: r.Max}
	for _, s := range r.Slips {
		if v >= s.Min && v <= s.Max {
			e.Slip = s.Looks
			break
		}
	}
	return e
}

// First returns the first error of its arguments that is not nil.
func First(errs ...error) error {
	for _, err := range errs {
		if err != nil {
			return err
		}
	}
	return nil
}
