// Package a makes errors in all ways that the survey of places tells apart.
package a

import (
	"errors"
	"fmt"
	"os"

	"github.com/stationphysics/stationphysics"
	"github.com/stationphysics/stationphysics/internal/limit"
)

var (
	height  = limit.Range{Quantity: "height", Unit: "m", Min: 0, Max: 10}
	width   = limit.Range{Quantity: "width", Min: 0, Max: 10}
	depth   = limit.Range{Quantity: "depth", Unit: "feet", Min: 0, Max: 10}
	age     = limit.Range{Quantity: "age", Unit: "s", Min: 0, Max: 10}
	ErrKept = errors.New("kept in a variable")
)

func Sides(heightM, widthM float64) error {
	return limit.First(height.Check(heightM), width.Check(widthM))
}

func Depth(depthM float64) error {
	if err := depth.Named("depth of the well").Check(depthM); err != nil {
		return fmt.Errorf("well: %w", err)
	}
	return nil
}

// Young only asks.
func Young(ageS float64) bool { return age.Holds(ageS) }

func Kept() error { return ErrKept }

// Swallow makes an error that nobody sees.
func Swallow() bool { return conflict("swallowed") != nil }

func Conflict() error { return conflict("a rule") }

func Never(on bool) error {
	if on {
		return conflict("never")
	}
	return nil
}

func conflict(rule string) error {
	return &stationphysics.ConflictError{Quantities: []string{"a", ""}, Values: []float64{1, 2}, Units: []string{"V", "V"}, Rule: rule}
}

// Reason takes the text of an error into a result.
func Reason() string { return conflict("as a reason").Error() }

func Inside(v float64) error {
	return &stationphysics.RangeError{Quantity: "voltage", Value: v, Unit: "V", Min: 0, Max: 5}
}

func Number(v float64) error { return fmt.Errorf("too large: %g", v) }

func Open(path string) error {
	if _, err := os.Open(path); err != nil {
		return errors.New("a: cannot be opened")
	}
	return os.Remove(path)
}
