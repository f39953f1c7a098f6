package main

import (
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/google/go-cmp/cmp"
	"github.com/stretchr/testify/require"

	"github.com/stationphysics/stationphysics/internal/refdata"
)

func TestDocumentOfPlantedComparisons(t *testing.T) {
	exact, alike, elsewhere, far := planted(5, 0, 0), planted(2, 1e-12, 0.01), planted(8, 0.012, 0.04), planted(6, 0.02, 12345)
	exact.Column, alike.Column, far.Column = "exact", "alike", "far"
	far.Why, far.Source = "as stated.", "library"
	elsewhere.File = "testdata/solar/glass.csv"
	elsewhere.Source = "memory"
	q, err := summarise([]refdata.Comparison{planted(4, 0.045, 0.05), exact, alike, elsewhere, far}, plantedSources(t))
	require.NoError(t, err)
	doc := string(document([]string{"rain", "solar/sky"}, q))
	require.True(t, strings.HasPrefix(doc, introduction))
	require.Empty(t, cmp.Diff(`
| package     | published | independent | by hand | from memory | quantities | largest share |
|-------------|----------:|------------:|--------:|------------:|-----------:|--------------:|
| `+"`rain`"+`      |         0 |           0 |       0 |           0 |          0 |               |
| `+"`solar/sky`"+` |         3 |           1 |       0 |           1 |          5 |          90 % |
| all         |         3 |           1 |       0 |           1 |          5 |          90 % |

## solar/sky

| quantity         | pub | ind | hand | mem | deviation | tolerance | share | row | note |
|------------------|----:|----:|-----:|----:|----------:|----------:|------:|----:|-----:|
| **/solar/glass** |     |     |      |     |           |           |       |     |      |
| airMass          |   0 |   0 |    0 |   1 |     0.012 |      0.04 |  30 % |   8 |    1 |
| **mass**         |     |     |      |     |           |           |       |     |      |
| airMass          |   1 |   0 |    0 |   0 |     0.045 |      0.05 |  90 % |   4 |    2 |
| alike            |   1 |   0 |    0 |   0 |  rounding |      0.01 |       |   2 |    2 |
| exact            |   1 |   0 |    0 |   0 |         0 |         0 |       |   5 |    2 |
| far              |   0 |   1 |    0 |   0 |  rounding |     12000 |       |   6 |    3 |

1. Tolerance: half a digit. Source: memory.
2. Tolerance: half a digit. Source: book table 3.
3. Tolerance: as stated. Source: library.
`, strings.TrimPrefix(doc, introduction)))
}

func TestDigits(t *testing.T) {
	for want, v := range map[string]float64{
		"0": 0, "0.00012": 0.000123, "1.2e-05": 1.23e-5, "0.5": 0.5, "1": 0.999, "99": 99.4, "100": 99.6, "1200": 1234, "9900000": 9.9e6, "1e+07": 9.99e6 + 1e5, "1.2e+12": 1.23e12,
	} {
		require.Equal(t, want, digits(v))
	}
	require.Equal(t, "0.012 %", percent(0.000123))
	require.Equal(t, "100 %", percent(1))
	require.Equal(t, "99 %", percent(0.99))
}

// Lines stay within the width wherever words allow it.
func TestItemsAreWrapped(t *testing.T) {
	document := document([]string{"solar/sky"}, []quantity{{
		pkg: "solar/sky", file: "testdata/solar/sky/mass.csv", column: "airMass",
		worst: refdata.Comparison{Why: strings.Repeat("a reason ", 40), Source: strings.Repeat("x", 130) + " p. 3", Tol: 1},
	}})
	long := 0
	for line := range strings.Lines(string(document)) {
		if utf8.RuneCountInString(strings.TrimSuffix(line, "\n")) > width {
			long++
			require.Equal(t, "   "+strings.Repeat("x", 130)+"\n", line)
		}
	}
	require.Equal(t, 1, long)
	_, item, ok := strings.Cut(string(document), "\n1. ")
	require.True(t, ok)
	require.Equal(t, "Tolerance: "+strings.Repeat("a reason ", 39)+"a reason . Source: "+strings.Repeat("x", 130)+" p. 3.",
		strings.Join(strings.Fields(strings.ReplaceAll(item, "reason. ", "reason . ")), " "))
}
