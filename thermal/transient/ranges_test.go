package transient

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"github.com/stationphysics/stationphysics/internal/limit"
)

// TestRanges states every accepted range a second time: its ends belong to it,
// the next number beyond does not, and the usual slips are named, at both ends
// of the range in which they are looked for.
func TestRanges(t *testing.T) {
	type slip struct {
		at    float64
		looks string
	}
	for name, c := range map[string]struct {
		r        *limit.Range
		min, max float64
		slips    []slip
	}{
		"stage capacity":     {&stageCapacity, 1e-12, 1e9, nil},
		"term time constant": {&termTau, 1e-12, 1e12, nil},
		"node capacity":      {&nodeCapacity, 0, 1e9, nil},
		"step":               {&stepTime, 0, 1e12, nil},
		"pulse":              {&pulseTime, 1e-12, 1e12, nil},
		"record":             {&recordTime, -1e9, 1e9, nil},
		"part":               {&partTemp, -100, 400, []slip{{400.1, "kelvins or degrees Fahrenheit"}, {1000, "kelvins or degrees Fahrenheit"}, {1000.1, ""}}},
		"ambient":            {&ambientTemp, -100, 200, []slip{{200.1, "kelvins"}, {473, "kelvins"}, {473.1, ""}}},
		"power":              {&heatPower, 0, 1e5, []slip{{-1e-9, "a flow of heat with the opposite sign"}, {-1e5, "a flow of heat with the opposite sign"}, {-100001, ""}}},
		"some resistance":    {&someResistance, 1e-9, 1e6, nil},
	} {
		t.Run(name, func(t *testing.T) {
			require.True(t, c.r.Holds(c.min))
			require.True(t, c.r.Holds(c.max))
			require.False(t, c.r.Holds(math.Nextafter(c.min, math.Inf(-1))))
			require.False(t, c.r.Holds(math.Nextafter(c.max, math.Inf(1))))
			for _, s := range c.slips {
				err := c.r.Check(s.at)
				require.Error(t, err)
				if s.looks == "" {
					require.NotContains(t, err.Error(), "?", "%g", s.at)
					continue
				}
				require.ErrorContains(t, err, ": "+s.looks+"?")
			}
		})
	}
}
