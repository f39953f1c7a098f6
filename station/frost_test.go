package station

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// Cells are charged in the frost whether or not a box is described.
func TestFrostIsSaidWithoutABox(t *testing.T) {
	d := demo(t)
	d.Box = nil
	for _, place := range []string{"", "box", "outside"} {
		d.Pack.Place = place
		r := review(t, d)
		require.Positive(t, r.Year.FrostChargeH)
		f := find(t, r, "hours of charging below the cells' window")
		require.Equal(t, Change, f.Word)
		require.Equal(t, r.Year.FrostChargeH, f.Value)
		require.Len(t, findAll(r, "battery cells at their hottest"), map[bool]int{true: 1}[place == "outside"], "a box that is not described may be hotter")
		find(t, r, "temperature sensor in its shield")
	}
}
