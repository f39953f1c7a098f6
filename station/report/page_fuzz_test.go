package report

import (
	"bytes"
	"math"
	"os"
	"strings"
	"testing"
	"time"
	"unicode/utf8"

	"github.com/stretchr/testify/require"

	"github.com/stationphysics/stationphysics/station"
)

// FuzzLongPage makes the text and the page of whatever description can be read,
// and tells it from a shorter one.
func FuzzLongPage(f *testing.F) {
	demo, err := os.ReadFile("../../examples/station/demo.toml")
	require.NoError(f, err)
	f.Add(string(demo), "", uint64(1))
	f.Add("name = \"<script>alert(1)</script>\"\n[pack]\nchemistry = \"lifepo4\"\ncells = 3\n[charger]\nset_v = 10.95\n", string(demo), uint64(2))
	f.Fuzz(func(t *testing.T, text, other string, seed uint64) {
		d, err := station.Read(strings.NewReader(text), "f.toml")
		if err != nil {
			return
		}
		o := station.Options{Seed: seed}
		r, err := station.NewReview(d, o)
		if err != nil {
			return
		}
		for _, why := range []bool{false, true} {
			var b bytes.Buffer
			require.NoError(t, Text(&b, r, why))
			require.True(t, utf8.Valid(b.Bytes()))
			require.NotContains(t, b.String(), "NaN")
		}
		var page bytes.Buffer
		require.NoError(t, HTML(&page, r))
		require.NotContains(t, page.String(), "<script")
		require.NotContains(t, page.String(), "NaN")
		e, err := station.Read(strings.NewReader(other), "g.toml")
		if err != nil {
			return
		}
		q, err := station.NewReview(e, o)
		if err != nil {
			return
		}
		var b bytes.Buffer
		require.NoError(t, Differences(&b, station.Compare(r, q)))
		require.True(t, utf8.Valid(b.Bytes()))
	})
}

func FuzzTables(f *testing.F) {
	f.Add("a larger pack", 12.5, 3.5, 40.0, 0.2, 1.1, 3, 24.0)
	f.Add("", 0.0, 0.0, 0.0, 0.0, 0.0, 0, 0.0)
	f.Add("\n\x00\xff", math.NaN(), math.Inf(1), -1e300, math.NaN(), math.Inf(-1), -1, math.NaN())
	f.Fuzz(func(t *testing.T, name string, lostH, gainH, longestH, soc, offered float64, month int, acceptedH float64) {
		var b bytes.Buffer
		require.NoError(t, Levers(&b, []station.Lever{{Name: name, MeanLostH: lostH, GainH: gainH}, {Name: name}}))
		require.NotEmpty(t, b.String())
		b.Reset()
		y := station.Outcome{Seed: 1, LostH: lostH, LongestLostH: longestH, LowestSoC: soc, WorstMonth: time.Month(month), OfferedRatio: offered}
		require.NoError(t, Years(&b, []station.Outcome{y, {}, y}, acceptedH))
		require.NotEmpty(t, b.String())
	})
}
