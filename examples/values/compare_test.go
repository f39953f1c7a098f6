package main

import (
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// The number that each case plants on the second side, and whether the bound
// allows it. Sizes stand on either side of each bound.
func TestBound(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	for name, c := range map[string]struct {
		name   string
		a, b   float64
		within bool
	}{
		"same":                          {"x.PressureHPa", 950, 950, true},
		"last bit":                      {"x.PressureHPa", 950, math.Nextafter(950, 0), true},
		"relative, just inside":         {"x.PressureHPa", 1000, 1000 + 0.9e-6, true},
		"relative, just outside":        {"x.PressureHPa", 1000, 1000 + 1.1e-6, false},
		"below zero":                    {"x.TempC", -20, -20 - 3e-8, false},
		"sign":                          {"x.TempC", 1e-3, -1e-3, false},
		"zeros of either sign":          {"x.TempC", 0, math.Copysign(0, -1), true},
		"small current, seen":           {"x.CurrentA", 1e-6, 1.00001e-6, false},
		"no current but for rounding":   {"x.CurrentA", 1.1906e-23, 1.1907e-23, true},
		"zero bound, just outside":      {"x.CurrentA", 0, 1.1e-15, false},
		"angle near zero":               {"x.HourAngleDeg", 3e-12, -4e-12, true},
		"angle near zero, too far":      {"x.HourAngleDeg", 3e-12, 2e-11, false},
		"large angle":                   {"x.AzimuthDeg", 300, 300 + 4e-7, false},
		"place of a maximum":            {"~x Vmp", 15, 15 * (1 + 1.9e-7), true},
		"place of a maximum, too far":   {"~x Vmp", 15, 15 * (1 + 2.1e-7), false},
		"flatness is asked for by mark": {"x Vmp", 15, 15 * (1 + 1.9e-7), false},
		"not defined on both sides":     {"x.FrostPointC", nan, nan, true},
		"defined on one side":           {"x.FrostPointC", nan, -3, false},
		"defined on the other":          {"x.FrostPointC", -3, nan, false},
		"endless on both sides":         {"x.S", inf, inf, true},
		"endless on one side":           {"x.S", inf, 7, false},
		"endless both ways":             {"x.S", inf, -inf, false},
		"endless beside not defined":    {"x.S", inf, nan, false},
		"place endless on one side":     {"~x Vmp", 15, inf, false},
		"angle not defined on one side": {"x.HourAngleDeg", 0, nan, false},
	} {
		t.Run(name, func(t *testing.T) {
			require.Equal(t, c.within, pair{"p", c.name, c.a, c.b}.within())
			require.Equal(t, c.within, pair{"p", c.name, c.b, c.a}.within(), "either way round")
		})
	}
}

func file(t *testing.T, text string) string {
	t.Helper()
	name := filepath.Join(t.TempDir(), "values.txt")
	require.NoError(t, os.WriteFile(name, []byte(text), 0o600))
	return name
}

func invoke(args ...string) (code int, out, complaints string) {
	var o, c strings.Builder
	code = run(args, &o, &c)
	return code, o.String(), c.String()
}

const here = "air\ta\t0x1p+00\nair\tb\t0x1.8p+01\nair\tc\tNaN\nsun\tx.HourAngleDeg\t0x1p-40\nsun\t~y Vmp\t0x1p+04\nsun\tz\t0x1p+10\n"

func TestReportNamesTheLargestDifferences(t *testing.T) {
	there := strings.NewReplacer(
		"0x1.8p+01", "0x1.8000000000004p+01", // 2^-50 · 2^1 = 1.8e-15 of 3
		"0x1p-40", "0x1.8p-40", // half of 9.1e-13
		"0x1p+04", "0x1.000001p+04", // 6.0e-8
		"0x1p+10", "0x1.0000000000001p+10", // 2.2e-16
	).Replace(here)
	code, out, complaints := invoke("-compare", file(t, here), file(t, there))
	require.Zero(t, code)
	require.Empty(t, complaints)
	require.Regexp(t, `(?m)^air +3 +2 +5\.9e-16 +b$`, out)
	require.Regexp(t, `(?m)^sun +3 +0 +2\.2e-16 +z$`, out)
	require.Contains(t, out, "2 of 6 numbers are the same to the last bit\n")
	require.Contains(t, out, "largest relative difference: 5.9e-16, air b: 3 and 3.0000000000000018\n")
	require.Contains(t, out, "in the place of a maximum: 6.0e-08, sun ~y Vmp: 16 and 16.00000095367")
	require.Contains(t, out, "zero but for rounding: 4.5e-13, sun x.HourAngleDeg: 9.0")
	require.NotContains(t, out, "beyond")
}

// A planted slip is named with both values and makes the program fail.
func TestPlantedSlipFails(t *testing.T) {
	for was, is := range map[string]string{
		"sun\tz\t0x1p+10":   "sun\tz\t0x1.00001p+10",
		"air\tc\tNaN":       "air\tc\t0x1p+00",
		"air\ta\t0x1p+00":   "air\ta\tNaN",
		"air\tb\t0x1.8p+01": "air\tb\t-0x1.8p+01",
	} {
		there := strings.Replace(here, was, is, 1)
		require.NotEqual(t, here, there)
		code, out, complaints := invoke("-compare", file(t, here), file(t, there))
		require.Equal(t, 1, code, is)
		require.Empty(t, complaints)
		require.Regexp(t, `(?m)^beyond the bound: `+strings.Replace(is[:5], "\t", " ", 1)+`: \S+ and \S+$`, out)
		require.Equal(t, 1, strings.Count(out, "beyond the bound"), out)
	}
}

func TestWhatCannotBeCompared(t *testing.T) {
	for name, c := range map[string]struct{ there, says string }{
		"a name is missing":     {strings.Replace(here, "air\tb\t0x1.8p+01\n", "", 1), "number 2 is air b in the first output and air c in the second"},
		"the end is missing":    {strings.Replace(here, "sun\tz\t0x1p+10\n", "", 1), "sun z is in the first output only"},
		"one more":              {here + "sun\tw\t0x0p+00\n", "sun w is in the second output only"},
		"another package":       {strings.Replace(here, "air\ta", "moon\ta", 1), "number 1 is air a in the first output and moon a in the second"},
		"a column is missing":   {"air\t1\n", ":1: not a package, a name and a number between tabs"},
		"no number":             {"air\ta\tone\n", `:1: strconv.ParseFloat: parsing "one": invalid syntax`},
		"nothing":               {"", "no numbers"},
		"a line without an end": {strings.Repeat("x", 1<<17), "token too long"},
	} {
		t.Run(name, func(t *testing.T) {
			code, out, complaints := invoke("-compare", file(t, here), file(t, c.there))
			require.Equal(t, 2, code)
			require.Empty(t, out)
			require.Contains(t, complaints, c.says)
		})
	}
	code, _, complaints := invoke("-h")
	require.Zero(t, code)
	require.Contains(t, complaints, "compare two outputs")
	code, _, complaints = invoke("-compare", file(t, here), filepath.Join(t.TempDir(), "nowhere.txt"))
	require.Equal(t, 2, code)
	require.Contains(t, complaints, "nowhere.txt")
	for _, args := range [][]string{{"x"}, {"-compare"}, {"-compare", "x"}, {"-compare", "x", "y", "z"}, {"-nothing"}} {
		code, out, complaints := invoke(args...)
		require.Equal(t, 2, code, args)
		require.Empty(t, out)
		require.Contains(t, complaints, "usage: values")
	}
}
