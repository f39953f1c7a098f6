package limittest

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"github.com/stationphysics/stationphysics"
	"github.com/stationphysics/stationphysics/internal/limit"
)

// A recorder keeps what a helper complains of.
type recorder struct {
	testing.TB
	said []string
}

func (r *recorder) Helper()                   {}
func (r *recorder) Errorf(f string, a ...any) { r.said = append(r.said, fmt.Sprintf(f, a...)) }
func (r *recorder) Fatalf(f string, a ...any) { r.Errorf(f, a...) }

func TestWhatDiffersIsSaid(t *testing.T) {
	height := &limit.Range{Quantity: "height", Unit: "m", Min: 0, Max: 10, Slips: []limit.Slip{Slip(11, 30, "feet")}}
	check := func(r *limit.Range, lo, hi float64, slips ...limit.Slip) []string {
		var rec recorder
		Ranges(&rec)(r, lo, hi, slips...)
		return rec.said
	}
	feet := height.Slips[0]
	require.Empty(t, check(height, 0, 10, feet))
	require.Empty(t, check(&limit.Range{Quantity: "load", Max: math.Inf(1)}, 0, math.Inf(1)))
	for want, said := range map[string][]string{
		"the end -1 of the range": check(height, -1, 10, feet),
		"the end 11 of the range": check(height, 0, 11, feet),
		"want height to be out":   check(height, 1, 10, feet),
		"got <nil>, want height":  check(height, 0, 9, feet),
		"stated []":               check(height, 0, 10),
		"{11 31 feet}":            check(height, 0, 10, Slip(11, 31, "feet")),
		"nothing looks like feet": check(&limit.Range{Quantity: "height", Max: 40, Slips: []limit.Slip{feet}}, 0, 40, feet),
	} {
		require.Contains(t, strings.Join(said, "\n"), want)
	}
}

func TestRefusals(t *testing.T) {
	var rec recorder
	RefusesRange(&rec, &stationphysics.RangeError{Quantity: "height"}, "height")
	RefusesConflict(&rec, &stationphysics.ConflictError{Rule: "the sum is 1"}, "sum")
	require.Empty(t, rec.said)
	RefusesRange(&rec, nil, "height")
	RefusesRange(&rec, &stationphysics.RangeError{Quantity: "depth"}, "height")
	RefusesConflict(&rec, nil, "sum")
	RefusesConflict(&rec, &stationphysics.ConflictError{Rule: "the product"}, "sum")
	require.Len(t, rec.said, 4)
}
