package wording

import (
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/require"
)

func TestEdits(t *testing.T) {
	for a, want := range map[string]int{"": 5, "air_c": 0, "air": 2, "airc": 1, "bir_d": 2, "xair_c": 1, "wxyz": 5, "ia_rc": 3} {
		require.Equal(t, want, edits(a, "air_c"), a)
		require.Equal(t, want, edits("air_c", a), a)
	}
}

func TestNearest(t *testing.T) {
	known := []string{"temperature", "humidity", "pressure", "pressure_"}
	require.Equal(t, "humidity", Nearest("humdity", known, 1))
	require.Equal(t, "", Nearest("humdty", known, 1))
	require.Equal(t, "humidity", Nearest("humdty", known, 2))
	require.Equal(t, "pressure", Nearest("pressure", known, 0))
	require.Equal(t, "pressure", Nearest("pressureX", known, 3), "the first of two equally near")
	require.Equal(t, "", Nearest("humidity", nil, 9))
	require.Equal(t, "", Nearest("humidity", known, -1))
}

func TestWrap(t *testing.T) {
	require.Equal(t, "- a bb\n  ccc\n", Wrap("- ", "a  bb\nccc", 6))
	require.Equal(t, "- a bb ccc\n", Wrap("- ", "a bb ccc", 10))
	require.Equal(t, "- a bb\n  ccc\n", Wrap("- ", "a bb ccc", 9))
	require.Equal(t, "verylongword\nb\n", Wrap("", "verylongword b", 5))
	require.Equal(t, "lead\n", Wrap("lead  ", "", 5))
	// Characters count, not bytes.
	require.Equal(t, "° °\n", Wrap("", "° °", 3))
	long := strings.Repeat("ab 12 °C. ", 40)
	for width := 10; width < 40; width++ {
		got := Wrap("§ ", long, width)
		for line := range strings.SplitSeq(strings.TrimSuffix(got, "\n"), "\n") {
			require.LessOrEqual(t, utf8.RuneCountInString(line), width)
			require.Equal(t, strings.TrimRight(line, " "), line)
		}
		require.Equal(t, strings.Fields("§ "+long), strings.Fields(got))
	}
}
