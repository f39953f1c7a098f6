package stationphysics

import (
	"math"
	"strconv"
)

// A RangeError reports one input outside the range a formula or constructor
// accepts. All packages of the module return this one type for it, so that a
// caller needs a single errors.As whatever it called.
type RangeError struct {
	Quantity string  // what was given, in the trade's words: "station pressure"
	Value    float64 // the value as given, NaN included, in Unit
	Unit     string  // "hPa"; empty for a dimensionless quantity
	Min, Max float64 // the allowed range in Unit, both ends included; ±Inf where an end is open
	Slip     string  // what the value looks like ("pascals"), empty if it looks like nothing
}

// Error gives the one-line text: quantity, value, unit, allowed range and the
// likely slip.
func (e *RangeError) Error() string {
	b := make([]byte, 0, 96)
	b = append(b, e.Quantity...)
	b = append(b, ' ')
	b = appendValue(b, e.Value)
	b = appendUnit(b, e.Unit)
	switch lo, hi := !math.IsInf(e.Min, 0), !math.IsInf(e.Max, 0); {
	case lo && hi:
		b = append(b, " is outside "...)
		b = appendValue(b, e.Min)
		b = append(b, ".."...)
		b = appendValue(b, e.Max)
	case lo:
		b = append(b, " is not at least "...)
		b = appendValue(b, e.Min)
	case hi:
		b = append(b, " is not at most "...)
		b = appendValue(b, e.Max)
	default:
		b = append(b, " is not a finite number"...)
		return string(b)
	}
	b = appendUnit(b, e.Unit)
	if e.Slip != "" {
		b = append(b, ": "...)
		b = append(b, e.Slip...)
		b = append(b, '?')
	}
	return string(b)
}

// A ConflictError reports inputs that are each acceptable but cannot hold
// together: a dew point above the air temperature, a panel whose voltage at
// maximum power exceeds its open-circuit voltage.
type ConflictError struct {
	Quantities []string  // the quantities in conflict, in the trade's words
	Values     []float64 // their values, in the same order
	Units      []string  // their units, in the same order
	Rule       string    // what must hold: "the dew point cannot exceed the air temperature"
}

// Error gives the one-line text: each quantity with its value, and the rule.
func (e *ConflictError) Error() string {
	b := make([]byte, 0, 128)
	for i, q := range e.Quantities {
		if i > 0 {
			b = append(b, " and "...)
		}
		b = append(b, q...)
		if i < len(e.Values) {
			b = append(b, ' ')
			b = appendValue(b, e.Values[i])
		}
		if i < len(e.Units) {
			b = appendUnit(b, e.Units[i])
		}
	}
	b = append(b, " contradict each other: "...)
	b = append(b, e.Rule...)
	return string(b)
}

// A NameError reports a name that is not known where it was given: a chemistry, a
// key of a description, a column of a table, a part of a circuit. All packages of
// the module return this one type for it.
type NameError struct {
	Kind    string   // what was named, in the trade's words: "chemistry", "key", "column"
	Name    string   // the name as given
	Known   []string // the names that are known there, in their order
	Nearest string   // the known name that was probably meant; empty if none is near, or if a guess could do harm
}

// Error gives the one-line text: the unknown name, and the one that was probably
// meant or else all that are known.
func (e *NameError) Error() string {
	b := make([]byte, 0, 128)
	b = append(b, "unknown "...)
	b = append(b, e.Kind...)
	b = append(b, ' ')
	b = strconv.AppendQuote(b, clip(e.Name))
	switch {
	case e.Nearest != "":
		b = append(b, ": did you mean "...)
		b = strconv.AppendQuote(b, e.Nearest)
		b = append(b, '?')
	case len(e.Known) > 0:
		b = append(b, ": known are "...)
		for i, k := range e.Known {
			if i > 0 {
				b = append(b, ", "...)
			}
			b = append(b, k...)
		}
	}
	return string(b)
}

// clip keeps a text short whatever a file holds.
func clip(s string) string {
	const most = 40
	n := 0
	for i := range s {
		if n++; n > most {
			return s[:i] + "..."
		}
	}
	return s
}

func appendValue(b []byte, v float64) []byte {
	return strconv.AppendFloat(b, v, 'g', -1, 64)
}

func appendUnit(b []byte, unit string) []byte {
	if unit == "" {
		return b
	}
	b = append(b, ' ')
	return append(b, unit...)
}
