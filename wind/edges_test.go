package wind

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// A bend takes five points to tell, points exactly on a line have none, and
// points at two frequencies cannot show any, however they scatter.
func TestWhenABendShows(t *testing.T) {
	fit := func(ps ...CupPoint) bool {
		f, err := FitCup(ps)
		require.NoError(t, err)
		return f.Bent
	}
	square := []CupPoint{{1, 1}, {2, 4}, {3, 9}, {4, 16}, {5, 25}}
	for i := range square {
		square[i].SpeedMPerS = square[i].SpeedMPerS/5 + 1
	}
	require.True(t, fit(square...))
	require.False(t, fit(square[:4]...))
	var line []CupPoint
	for f := range 8 {
		line = append(line, CupPoint{float64(f), 1 + float64(f)}) // every step of the fit is exact
	}
	require.False(t, fit(line...))
	for _, f := range [][2]float64{{3.3, 28.7}, {0.1, 33.3}, {7.7, 9.1}, {1.3, 1.7}} {
		require.False(t, fit(CupPoint{f[0], f[0] + 0.31}, CupPoint{f[0], f[0] + 0.28}, CupPoint{f[0], f[0] + 0.34}, CupPoint{f[0], f[0] + 0.3},
			CupPoint{f[1], f[1] + 0.33}, CupPoint{f[1], f[1] + 0.29}), "%v", f)
	}
}
