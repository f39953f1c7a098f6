package main

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strconv"

	"github.com/stationphysics/stationphysics/internal/refdata"
)

// Differences below these come from the arithmetic itself and are other on
// other processors, some of which round a*b+c once: 1e-11 of the value leaves
// four digits to it.
const (
	roundingOfValue     = 1e-11
	roundingOfTolerance = 1e-4
)

// A quantity is an expected column of a file, as the tests of a package use it.
type quantity struct {
	pkg, file, column string
	checks            [refdata.Kinds]int // check values by kind, each counted once

	worst     refdata.Comparison // the comparison that comes closest to its tolerance
	deviation float64            // its size
	share     float64            // its size in units of its tolerance, to two digits
	rounding  bool               // no comparison differs by more than rounding
}

func summarise(all []refdata.Comparison, sources refdata.Sources) ([]quantity, error) {
	type key struct{ pkg, file, column string }
	type cell struct {
		key
		line int
	}
	found := map[key]*quantity{}
	counted := map[cell]bool{}
	for _, c := range all {
		deviation, share, err := deviationOf(c)
		if err != nil {
			return nil, fmt.Errorf("%s:%d: %s: %w", c.File, c.Line, c.Column, err)
		}
		k := key{c.Package, c.File, c.Column}
		q := found[k]
		if q == nil {
			q = &quantity{pkg: c.Package, file: c.File, column: c.Column, worst: c, deviation: deviation, share: share}
			found[k] = q
		}
		// Of equal ones the first in the file, whatever the order of the tests.
		if share > q.share || share == q.share && c.Line < q.worst.Line {
			q.worst, q.deviation, q.share = c, deviation, share
		}
		if at := (cell{k, c.Line}); !counted[at] {
			counted[at] = true
			kind, err := sources.Kind(c.Folder(), c.Source)
			if err != nil {
				return nil, fmt.Errorf("%s:%d: %w", c.File, c.Line, err)
			}
			q.checks[kind]++
		}
	}
	quantities := make([]quantity, 0, len(found))
	for _, q := range found {
		q.rounding = q.share == 0
		quantities = append(quantities, *q)
	}
	slices.SortFunc(quantities, func(a, b quantity) int {
		return cmp.Or(cmp.Compare(a.pkg, b.pkg), cmp.Compare(a.file, b.file), cmp.Compare(a.column, b.column))
	})
	return quantities, nil
}

// deviationOf returns how far a comparison is off, and that in units of its
// tolerance to two digits; both are 0 for what rounding makes.
func deviationOf(c refdata.Comparison) (deviation, share float64, err error) {
	got, want, tol := float64(c.Got), float64(c.Want), float64(c.Tol)
	if got == want || math.IsNaN(got) && math.IsNaN(want) {
		return 0, 0, nil // infinities, too, and "there is no number" where there is none
	}
	deviation = math.Abs(got - want)
	// Written so that a NaN is refused.
	if !(deviation <= tol) {
		return 0, 0, fmt.Errorf("got %g, want %g ± %g: the test should have failed", got, want, tol)
	}
	if math.IsInf(tol, 0) {
		return 0, 0, fmt.Errorf("an infinite tolerance holds nothing")
	}
	if deviation <= roundingOfValue*math.Abs(want) || deviation <= roundingOfTolerance*tol {
		return 0, 0, nil
	}
	share, err = strconv.ParseFloat(strconv.FormatFloat(deviation/tol, 'e', 1, 64), 64)
	return deviation, share, err
}
