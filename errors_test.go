package stationphysics_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"github.com/stationphysics/stationphysics"
)

func TestNameErrorText(t *testing.T) {
	for want, e := range map[string]stationphysics.NameError{
		`unknown key "vpm": did you mean "vmp_v"?`:          {Kind: "key", Name: "vpm", Known: []string{"vmp_v", "voc_v"}, Nearest: "vmp_v"},
		`unknown salt "": known are a, b`:                   {Kind: "salt", Known: []string{"a", "b"}},
		`unknown salt "sugar": known are a`:                 {Kind: "salt", Name: "sugar", Known: []string{"a"}},
		`unknown part "x\n\"y"`:                             {Kind: "part", Name: "x\n\"y"},
		`unknown part "` + strings.Repeat("°", 40) + `"`:    {Kind: "part", Name: strings.Repeat("°", 40)},
		`unknown part "` + strings.Repeat("°", 40) + `..."`: {Kind: "part", Name: strings.Repeat("°", 41)},
	} {
		require.EqualError(t, &e, want)
	}
}
