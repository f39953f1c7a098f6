package station

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// Who is told that a line is missing is told which: once, by the head of the
// section or by the name of the part.
func TestMissingLinesAreNamedForAReader(t *testing.T) {
	d, err := Read(strings.NewReader(`
[pack]
chemistry = "LiFePO4"
cells = 3
capacity_ah = 6
[[regulator]]
name = "logic"
rail = "3V3"
[[load]]
name = "radio"
rail = "3V3"
asleep_a = 0.001
awake_a = 0.1
[[load]]
rail = "3V3"
asleep_a = 0.001
peak_s = 2
damage_v = 3.6
[[load]]
name = "load[99999999999999999999]"
rail = "12V"
asleep_a = 0.001
`), "x.toml")
	require.NoError(t, err)
	r := review(t, d)
	year := find(t, r, "service through the year")
	require.Contains(t, year.Missing, "regulator[0].kind")
	require.Contains(t, year.Missing, "load[0].awake_s", "a current without its seconds is not nothing")
	require.Contains(t, year.Missing, "load[0].period_s")
	require.Contains(t, year.Missing, "load[1].peak_a", "nor are seconds without their current")
	require.NotContains(t, year.Missing, "load[0].peak_a")
	require.Contains(t, year.Action, `kind of regulator "logic"`)
	require.Contains(t, year.Action, `awake_s of load "radio"`)
	require.Contains(t, year.Action, "peak_a of load 2")
	seen := map[string]bool{}
	for _, k := range year.Missing {
		require.False(t, seen[k], "%s stands twice", k)
		seen[k] = true
	}
	for _, f := range r.Findings {
		require.NotEqual(t, "load radio", f.Quantity, "its rail is made by a regulator that is still to be described")
	}
	unfed := find(t, r, "load load[99999999999999999999]")
	require.Equal(t, Change, unfed.Word)
	require.Contains(t, find(t, r, "parts that are not described").Action, `kind of regulator "logic"`)

	bare := review(t, &Description{Panel: &Panel{}})
	require.Equal(t, "add panel.vmp_v, panel.imp_a, panel.voc_v, panel.isc_a, panel.cells, charger.hold_v, charger.set_v, charger.limit_a, pack.chemistry, pack.cells, pack.capacity_ah and [[load]]",
		find(t, bare, "single faults of the supply").Action)
	require.Equal(t, "add [reading]", find(t, bare, "raw readings").Action)
}
