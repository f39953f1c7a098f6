// Package limittest holds ranges and refusals to what is documented of them, in
// the tests of all packages alike.
package limittest

import (
	"errors"
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/stationphysics/stationphysics"
	"github.com/stationphysics/stationphysics/internal/limit"
)

// Slip is a range of values that looks like a wrong unit.
func Slip(lo, hi float64, looks string) limit.Slip {
	return limit.Slip{Min: lo, Max: hi, Looks: looks}
}

// Ranges returns a function that holds a range to the ends and slips stated
// in the test, which the documentation promises: both ends are accepted, the
// numbers next to them and NaN are refused, and each slip is named somewhere.
func Ranges(t testing.TB) func(r *limit.Range, lo, hi float64, slips ...limit.Slip) {
	return func(r *limit.Range, lo, hi float64, slips ...limit.Slip) {
		t.Helper()
		for _, v := range []float64{lo, hi} {
			if err := r.Check(v); err != nil {
				t.Errorf("the end %g of the range is refused: %v", v, err)
			}
		}
		for _, v := range []float64{math.Nextafter(lo, math.Inf(-1)), math.Nextafter(hi, math.Inf(1)), math.NaN()} {
			if !math.IsInf(v, 0) {
				RefusesRange(t, r.Check(v), r.Quantity)
			}
		}
		if !slices.Equal(slips, r.Slips) {
			t.Errorf("%s: slips %v, stated %v", r.Quantity, r.Slips, slips)
		}
		for _, s := range slips {
			// The ends may belong to the range or to the slip before.
			within := []float64{s.Min, math.Nextafter(s.Min, math.Inf(1)), s.Max}
			if !slices.ContainsFunc(within, func(v float64) bool {
				var re *stationphysics.RangeError
				return errors.As(r.Check(v), &re) && re.Slip == s.Looks
			}) {
				t.Errorf("%s: nothing looks like %s", r.Quantity, s.Looks)
			}
		}
	}
}

// RefusesRange asks for a RangeError of the quantity.
func RefusesRange(t testing.TB, err error, quantity string) {
	t.Helper()
	var re *stationphysics.RangeError
	if !errors.As(err, &re) || re.Quantity != quantity {
		t.Fatalf("got %v, want %s to be out of its range", err, quantity)
	}
}

// RefusesConflict asks for a ConflictError whose rule contains the words.
func RefusesConflict(t testing.TB, err error, rule string) {
	t.Helper()
	var ce *stationphysics.ConflictError
	if !errors.As(err, &ce) || !strings.Contains(ce.Rule, rule) {
		t.Fatalf("got %v, want a conflict with %q", err, rule)
	}
}
