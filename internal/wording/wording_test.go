package wording

import (
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/require"
)

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
