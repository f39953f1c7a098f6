package main

import (
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/require"
)

const (
	troubled = "../../testdata/station/logbook/troubled.csv"
	clean    = "../../testdata/station/logbook/clean.csv"
)

func invoke(t *testing.T, args ...string) (code int, out, complaints string) {
	t.Helper()
	var o, c strings.Builder
	code = run(args, &o, &c)
	return code, o.String(), c.String()
}

func TestTextOfTheInventedLog(t *testing.T) {
	code, out, complaints := invoke(t, "-station", "demo.toml", "-tol-air", "0.3", "-tol-humidity", "3", "-tol-pressure", "1", "-tol-height", "2", "-tol-light", "0.15", "-every", "4h", troubled)
	require.Zero(t, code)
	require.Empty(t, complaints)
	for _, line := range strings.Split(out, "\n") {
		require.LessOrEqual(t, utf8.RuneCountInString(line), width, line)
	}
	for _, want := range []string{
		"2860 rows from 2026-03-20T00:00:00+01:00", "1 broken, 1 doubled, 20 missing", "1 clock steps", "rain: >24.0 mm", "skipped ../../testdata",
		"2026-03-20 09:00     4.7±0.3    -3.8±0.9    1016.0±1.3    2.5   236      292±51",
		"STOP: charging in frost", "STOP: over-charge, pack\n  lines 783 to 812, 30 rows:", "CHANGE: brown-out loop", "WATCH: heated shield", "FINE: full", "WATCH: warm box",
		"WATCH: spike", "CHANGE: bus error, air", "CHANGE: stuck register, pressure", "CHANGE: clock step, time", "WATCH: humidity pegged", "WATCH: light pegged", "CHANGE: cup stuck",
		"WATCH: wind frozen", "CHANGE: vane stuck", "CHANGE: bounce", "WATCH: melt", "CHANGE: load above harvest", "CHANGE: not charging", "CHANGE: restarts", "CHANGE: sensors apart",
		"  line 1013: outside what weather or the sensor can do",
	} {
		require.Contains(t, out, want)
	}
}

func TestCleanLogHasNoTroubles(t *testing.T) {
	code, out, _ := invoke(t, "-station", "demo.toml", "-tol-air", "0.3", "-tol-humidity", "3", clean)
	require.Zero(t, code)
	require.Contains(t, out, "0 broken, 0 doubled, 0 missing")
	require.Contains(t, out, "none found; what the log does not hold cannot be judged")
	require.Equal(t, 48, strings.Count(out, "\n2026-"), "one observation an hour")
}

func TestJSON(t *testing.T) {
	code, out, _ := invoke(t, "-json", "-station", "demo.toml", "-tol-pressure", "1", "-every", "24h", troubled)
	require.Zero(t, code)
	var r result
	require.NoError(t, json.Unmarshal([]byte(out), &r))
	require.Equal(t, 2860, r.Rows)
	require.NotEmpty(t, r.Troubles)
	require.Equal(t, "STOP", r.Troubles[0].Word)
	require.NotNil(t, r.Observations[0].Altimeter)
	require.NotNil(t, r.Observations[0].Altimeter.Half)
	require.Nil(t, r.Observations[0].Air.Half, "no tolerance was stated")
	require.Len(t, r.Mistakes, 1)
}

func TestSeveralFilesAreOneLog(t *testing.T) {
	b, err := os.ReadFile(clean)
	require.NoError(t, err)
	lines := strings.SplitAfter(string(b), "\n")
	dir := t.TempDir()
	one, two := filepath.Join(dir, "1.csv"), filepath.Join(dir, "2.csv")
	require.NoError(t, os.WriteFile(one, []byte(strings.Join(lines[:1000], "")), 0o600))
	require.NoError(t, os.WriteFile(two, []byte(lines[1]+strings.Join(lines[1000:], "")), 0o600))
	code, out, _ := invoke(t, "-station", "demo.toml", one, two)
	require.Zero(t, code)
	code, whole, _ := invoke(t, "-station", "demo.toml", clean)
	require.Zero(t, code)
	require.Equal(t, whole, out)
}

func TestWrongInputEndsWithTwo(t *testing.T) {
	dir := t.TempDir()
	file := func(name, text string) string {
		p := filepath.Join(dir, name)
		require.NoError(t, os.WriteFile(p, []byte(text), 0o600))
		return p
	}
	for _, x := range []struct {
		args []string
		says string
	}{
		{nil, "usage: readings"},
		{[]string{"-every", "1s", clean}, "usage: readings"},
		{[]string{"-nonsense"}, "flag provided but not defined"},
		{[]string{filepath.Join(dir, "none.csv")}, "none.csv"},
		{[]string{file("a.csv", "time,air_f\n")}, `a.csv:1: air_f: unknown column "air_f": did you mean "air_c"?`},
		{[]string{file("b.csv", "time,air_c\nx,1\ny,2\n")}, "b.csv:2: time: \"x\" is not an RFC 3339 time such as 2024-01-01T13:00:00+01:00\n"},
		{[]string{file("c.csv", "time,air_c\n")}, "c.csv: the log has no rows"},
		{[]string{file("d.csv", "time,air_c\n2026-01-01T00:00:00Z,1\n"+strings.Repeat("7", 70000))}, "d.csv:3: the line is longer than 65536 bytes"},
		{[]string{"-start", "noon", clean}, `-start: "noon" is not an RFC 3339 time`},
		{[]string{"-tip", "5", clean}, "outside"},
		{[]string{"-cup-slope", "50", clean}, "outside"},
		{[]string{"-tol-light", "15", clean}, "outside"},
		{[]string{"-station", file("e.toml", "[pack]\ncels = 2\n"), clean}, "e.toml:2: pack.cels: unknown key"},
		{[]string{"-station", filepath.Join(dir, "none.toml"), clean}, "none.toml"},
	} {
		code, out, complaints := invoke(t, x.args...)
		require.Equal(t, 2, code, "%v", x.args)
		require.Empty(t, out, "nothing is half printed")
		require.Contains(t, complaints, x.says)
	}
	code, _, complaints := invoke(t, "-h")
	require.Zero(t, code)
	require.Contains(t, complaints, "usage: readings")
}

func TestOffsetTimesPulsesAndIgnoredColumns(t *testing.T) {
	p := filepath.Join(t.TempDir(), "a.csv")
	require.NoError(t, os.WriteFile(p, []byte("time_s,wind_pulses,soil\n0,0,1\n60,300,1\n120,300,1\n"), 0o600))
	code, out, complaints := invoke(t, "-start", "2026-01-01T00:00:00Z", "-ignore", "soil", "-cup-slope", "0.8", "-cup-offset", "0.5", "-every", "1m", p)
	require.Zero(t, code, complaints)
	require.Contains(t, out, "2026-01-01 00:01           -           -             -    4.5     -           -")
}
