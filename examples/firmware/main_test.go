package main

import (
	"bytes"
	"math"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

func invoke(t *testing.T, args ...string) (code int, out, complaints string) {
	t.Helper()
	var o, c strings.Builder
	code = run(args, &o, &c)
	return code, o.String(), c.String()
}

// jobs are one of each function, in forms that differ.
var jobs = map[string][]string{
	"water polynomial":   {"-f", "saturation-water", "-from", "-20", "-to", "50", "-bound", "0.1"},
	"water relative":     {"-f", "saturation-water", "-from", "-40.3", "-to", "50.1", "-bound", "0.001", "-relative"},
	"water close":        {"-f", "saturation-water", "-from", "-20", "-to", "50", "-bound", "0.0002"},
	"ice linear":         {"-f", "saturation-ice", "-from", "-40", "-to", "0", "-bound", "0.005", "-form", "linear"},
	"ice integer":        {"-f", "saturation-ice", "-from", "-40", "-to", "0", "-bound", "0.01", "-form", "integer"},
	"dew linear":         {"-f", "dew-point", "-from", "1", "-to", "40", "-bound", "0.05", "-form", "linear"},
	"dew integer":        {"-f", "dew-point", "-from", "2.1", "-to", "40", "-bound", "0.05", "-form", "integer"},
	"sea level":          {"-f", "sea-level-factor", "-height", "480", "-vapour", "8", "-from", "-20", "-to", "40", "-bound", "1e-5"},
	"irradiance low":     {"-f", "irradiance-low", "-sun", "40", "-from", "10000", "-to", "60000", "-bound", "5", "-form", "linear"},
	"irradiance best":    {"-f", "irradiance-best", "-sun", "40", "-from", "10000", "-to", "60000", "-bound", "20"},
	"irradiance high":    {"-f", "irradiance-high", "-sun", "40", "-from", "10000", "-to", "60000", "-bound", "5", "-form", "integer"},
	"thermistor integer": {"-f", "thermistor", "-from", "300", "-to", "3600", "-bound", "0.1", "-form", "integer"},
	"thermistor 32 bits": {"-f", "thermistor", "-full-count", "65535", "-from", "5000", "-to", "60000", "-bound", "0.01", "-form", "integer", "-out-scale", "1000", "-to-supply"},
	"thermistor floats":  {"-f", "thermistor", "-from", "300", "-to", "3600", "-bound", "0.2", "-steinhart", "1.129e-3,2.341e-4,8.775e-8"},
}

// done keeps the fits, which several tests need.
var done = map[string]*emitter{}

func fitted(t *testing.T, args []string) *emitter {
	t.Helper()
	key := strings.Join(args, " ")
	if done[key] == nil {
		e, err := parse(args)
		require.NoError(t, err)
		done[key] = e
	}
	return done[key]
}

// parse goes the way of run without printing.
func parse(args []string) (*emitter, error) {
	o, err := read(args)
	if err != nil {
		return nil, err
	}
	return build(o)
}

func TestNoInputHasMoreThanTheProvenError(t *testing.T) {
	for name, args := range jobs {
		t.Run(name, func(t *testing.T) {
			e := fitted(t, args)
			require.LessOrEqual(t, e.fit.proven, e.bound)
			require.LessOrEqual(t, e.fit.seen, e.fit.proven)
			worst := 0.0
			if e.fit.table != nil {
				for x := e.fit.first; x <= e.fit.last; x++ {
					v := float64(x) / float64(e.inScale)
					worst = math.Max(worst, math.Abs(float64(e.fit.evalInt(x))/float64(e.fit.outScale)-e.f(math.Max(e.lo, math.Min(e.hi, v))))*e.weight(v))
				}
				require.InEpsilon(t, e.fit.seen, worst, 1e-9, "every input was tried")
			} else {
				// An independent grid, denser than the program's, at random offsets.
				r := rand.New(rand.NewPCG(1, 2))
				const n = 60000
				for i := range n {
					x := min(max(float32(float64(e.from)+(float64(e.to)-float64(e.from))*(float64(i)+r.Float64())/n), e.from), e.to)
					worst = math.Max(worst, math.Abs(float64(e.fit.eval32(x))-e.f(float64(x)))*e.weight(float64(x)))
				}
			}
			require.LessOrEqual(t, worst, e.fit.proven)
			require.Greater(t, worst, e.fit.proven/2, "the bound is not a multiple of the error")
		})
	}
}

func TestTheNextSmallerDoesNotDo(t *testing.T) {
	for _, name := range []string{"water polynomial", "water relative", "sea level", "thermistor floats"} {
		e := fitted(t, jobs[name])
		_, err := parse(append([]string{"-max-degree", strconv.Itoa(len(e.fit.poly) - 2)}, jobs[name]...))
		require.ErrorContains(t, err, "reachable is", name)
	}
	for _, name := range []string{"ice linear", "dew linear"} {
		e := fitted(t, jobs[name])
		_, err := parse(append([]string{"-max-knots", strconv.Itoa(len(e.fit.knots) - 1)}, jobs[name]...))
		require.ErrorContains(t, err, "reachable is", name)
	}
}

// text prints every job in a language into a folder and returns the names of
// the functions.
func text(t *testing.T, dir, language string) map[string]string {
	t.Helper()
	names := map[string]string{}
	for name, args := range jobs {
		e := *fitted(t, args)
		e.name, e.pkgName = "f_"+strings.ReplaceAll(name, " ", "_"), "main"
		if language == "go" {
			e.name = "F" + camel(strings.ReplaceAll(name, " ", "-"))
		}
		var b bytes.Buffer
		require.NoError(t, e.write(&b, language))
		ending := map[string]string{"go": ".go", "c": ".c", "python": ".py"}[language]
		require.NoError(t, os.WriteFile(filepath.Join(dir, e.name+ending), b.Bytes(), 0o600))
		names[name] = e.name
	}
	return names
}

func TestGoPassesItsGoldenVectors(t *testing.T) {
	if _, err := exec.LookPath("go"); err != nil {
		t.Skip("the go command is not here")
	}
	dir := t.TempDir()
	var body strings.Builder
	for name, f := range text(t, dir, "go") {
		body.WriteString("for _, v := range " + f + "Golden {\n if " + f + "(v.X) != v.Y { println(\"" + name + "\", v.X, v.Y) } else { right++ }\n}\n")
		if fitted(t, jobs[name]).fit.table != nil {
			body.WriteString("if " + f + "(-1000000000) != -2147483648 { println(\"" + name + " outside\") }\n")
		} else {
			body.WriteString("if y := " + f + "(-1e9); y == y { println(\"" + name + " outside\") }\n")
		}
	}
	main := "package main\n\nfunc main() {\nright := 0\n" + body.String() + "println(\"right\", right)\n}\n"
	require.NoError(t, os.WriteFile(filepath.Join(dir, "zmain.go"), []byte(main), 0o600))
	require.NoError(t, os.WriteFile(filepath.Join(dir, "go.mod"), []byte("module device\n\ngo 1.24.0\n"), 0o600))
	for _, verb := range [][]string{{"vet", "."}, {"run", "."}} {
		cmd := exec.Command("go", verb...)
		cmd.Dir = dir
		cmd.Env = append(os.Environ(), "GOOS=", "GOARCH=") // for this machine, also from an emulator
		out, err := cmd.CombinedOutput()
		require.NoError(t, err, string(out))
		if verb[0] == "run" {
			require.Equal(t, "right "+strconv.Itoa(18*len(jobs))+"\n", string(out))
		}
	}
}

func TestCPassesItsGoldenVectors(t *testing.T) {
	cc, err := exec.LookPath("cc")
	if err != nil {
		t.Skip("no C compiler here")
	}
	dir := t.TempDir()
	names := text(t, dir, "c")
	var main strings.Builder
	main.WriteString("#include <stdio.h>\n")
	for _, f := range names {
		main.WriteString("int " + f + "_wrong(void);\n")
	}
	main.WriteString("int main(void)\n{\n\tint wrong = 0;\n")
	args := []string{"-std=c99", "-O2", "-Wall", "-Wextra", "-Werror", "-Wno-missing-prototypes", "-ffp-contract=off", "-o", filepath.Join(dir, "check"), filepath.Join(dir, "zmain.c")}
	for _, f := range names {
		main.WriteString("\twrong += " + f + "_wrong();\n")
		args = append(args, filepath.Join(dir, f+".c"))
	}
	main.WriteString("\tprintf(\"%d\\n\", wrong);\n\treturn wrong;\n}\n")
	require.NoError(t, os.WriteFile(filepath.Join(dir, "zmain.c"), []byte(main.String()), 0o600))
	out, err := exec.Command(cc, append(args, "-lm")...).CombinedOutput()
	require.NoError(t, err, string(out))
	out, err = exec.Command(filepath.Join(dir, "check")).CombinedOutput()
	require.NoError(t, err, string(out))
	require.Equal(t, "0\n", string(out))
}

func TestPythonPassesItsGoldenVectors(t *testing.T) {
	python, err := exec.LookPath("python3")
	if err != nil {
		t.Skip("no python3 here")
	}
	dir := t.TempDir()
	var main strings.Builder
	for _, f := range text(t, dir, "python") {
		main.WriteString("import " + f + "\nassert len(" + f + "." + f + "_golden) == 18\nassert " + f + "." + f + "_wrong() == 0, '" + f + "'\n")
	}
	require.NoError(t, os.WriteFile(filepath.Join(dir, "zmain.py"), []byte(main.String()), 0o600))
	cmd := exec.Command(python, "zmain.py")
	cmd.Dir = dir
	out, err := cmd.CombinedOutput()
	require.NoError(t, err, string(out))
}

func TestHead(t *testing.T) {
	_, out, _ := invoke(t, jobs["water polynomial"]...)
	for _, want := range []string{
		"Polynomial of degree 4, 28 bytes with its scaling.", "Largest error: 0.0837, proven", "Range: -20 to 50.",
		"Source: package psychro", "func SaturationWater(x float32) float32",
	} {
		require.Contains(t, out, want)
	}
	_, out, _ = invoke(t, append([]string{"-language", "c"}, jobs["thermistor integer"]...)...)
	require.Contains(t, out, "int32_t thermistor(int32_t x)")
	require.Contains(t, out, "Table: 56 knots of int16 every 60, 112 bytes.")
	require.Contains(t, out, "10000 ohm at 25 °C, beta 3950 K, at ground")
}

func TestThermistorCurve(t *testing.T) {
	// Half the count at equal resistors: the thermistor has its value of 25 °C.
	for _, top := range []bool{false, true} {
		f, _, err := thermistor(&parameters{fullCount: 4096, seriesOhm: 10000, thermistorOhm: 10000, betaK: 3950, toSupply: top})
		require.NoError(t, err)
		require.InDelta(t, 25, f(2048), 1e-9)
		// 1/T = 1/298.15 + ln(R/R25)/beta at a third of 10 kohm.
		x := 1024.0
		if top {
			x = 3072
		}
		require.InDelta(t, 1/(1/298.15+math.Log(1.0/3)/3950)-273.15, f(x), 1e-9)
		require.True(t, math.IsNaN(f(0)) && math.IsNaN(f(4096)))
	}
	f, _, err := thermistor(&parameters{fullCount: 4096, seriesOhm: 10000, steinhart: "1.129e-3,2.341e-4,8.775e-8"})
	require.NoError(t, err)
	l := math.Log(10000)
	require.InDelta(t, 1/(1.129e-3+2.341e-4*l+8.775e-8*l*l*l)-273.15, f(2048), 1e-9)
}

func TestListNamesEveryFunction(t *testing.T) {
	code, out, complaints := invoke(t, "-list")
	require.Zero(t, code)
	require.Empty(t, complaints)
	for _, f := range functions {
		require.Contains(t, "\n"+out, "\n"+f.name+"\n")
		require.Contains(t, out, f.in+"\n    to "+f.out+"\n")
	}
}

func TestWrongInputEndsWithTwoAndOneLine(t *testing.T) {
	base := []string{"-f", "saturation-water", "-from", "-20", "-to", "50", "-bound", "0.1"}
	for want, args := range map[string][]string{
		`-f: "" is none of saturation-water`:       {},
		`-f: "boiling" is none of`:                 {"-f", "boiling"},
		"-from: a number is needed":                {"-f", "dew-point"},
		"-to: a number is needed":                  {"-f", "dew-point", "-from", "3"},
		"is not below -to":                         append(base[:6:6], "-to", "-20", "-bound", "1"),
		"-bound: an error above 0":                 append(base[:6:6], "-bound", "-1"),
		`-form: "cubic" is none of`:                append(base[:8:8], "-form", "cubic"),
		`-language: "rust" is none of`:             append(base[:8:8], "-language", "rust"),
		"-max-degree: 21 is not within":            append(base[:8:8], "-max-degree", "21"),
		"-max-knots: 1 is not within":              append(base[:8:8], "-max-knots", "1"),
		"-in-scale: 100000 gives 7000001 inputs":   append(base[:8:8], "-form", "integer", "-in-scale", "100000"),
		`-name: "2x" is not a name`:                append(base[:8:8], "-name", "2x"),
		`-name: "func" cannot be a name in Go`:     append(base[:8:8], "-name", "func"),
		"reachable is 7.22e-05 at degree":          append(base[:6:6], "-bound", "1e-9"),
		"table up to 4096 knots in float32":        append(base[:6:6], "-bound", "1e-9", "-form", "linear"),
		"an integer table up to 4096 knots; reach": append(base[:6:6], "-bound", "1e-9", "-form", "integer"),
		"-relative: the function passes through":   {"-f", "dew-point", "-from", "1", "-to", "40", "-bound", "1", "-relative"},
		"-steinhart: \"1,2\" is not three":         {"-f", "thermistor", "-from", "300", "-to", "3600", "-bound", "1", "-steinhart", "1,2"},
		"-steinhart: 1,2,3: a and b":               {"-f", "thermistor", "-from", "300", "-to", "3600", "-bound", "1", "-steinhart", "1,2,3"},
		"an open or shorted thermistor":            {"-f", "thermistor", "-from", "0", "-to", "3600", "-bound", "1"},
		"-beta: 3 K":                               {"-f", "thermistor", "-from", "300", "-to", "3600", "-bound", "1", "-beta", "3"},
		"beyond any sky":                           {"-f", "irradiance-high", "-from", "100", "-to", "190000", "-bound", "1"},
		"flag provided but not defined":            {"-colour"},
		`"extra" is not a flag`:                    {"extra"},
		"temperature":                              {"-f", "saturation-ice", "-from", "-40", "-to", "5", "-bound", "1"},
	} {
		code, out, complaints := invoke(t, args...)
		require.Equal(t, 2, code, want)
		require.Empty(t, out, want)
		require.Contains(t, complaints, want)
		require.Equal(t, 1, strings.Count(complaints, "\n"), complaints)
	}
}

func TestRoundUpNeverGoesDown(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 4))
	for range 20000 {
		v := math.Exp(40*r.Float64() - 20)
		up := roundUp(v)
		require.GreaterOrEqual(t, up, v)
		require.LessOrEqual(t, up, v*1.011)
	}
	require.Equal(t, 0.123, roundUp(0.123))
	require.Equal(t, 0.124, roundUp(0.1230001))
}

// TestCommandsOfTheComment runs every command that the program's comment shows.
func TestCommandsOfTheComment(t *testing.T) {
	source, err := os.ReadFile("main.go")
	require.NoError(t, err)
	head, _, _ := strings.Cut(string(source), "package main")
	commands := 0
	for _, line := range strings.Split(head, "\n") {
		if args, ok := strings.CutPrefix(line, "//\tgo run ./examples/firmware "); ok {
			commands++
			code, out, complaints := invoke(t, strings.Fields(args)...)
			require.Zero(t, code, complaints)
			require.NotEmpty(t, out)
		}
	}
	require.Equal(t, 6, commands)
	_, help, _ := invoke(t, "-help")
	for _, line := range strings.Split(help, "\n") {
		if name, ok := strings.CutPrefix(line, "  -"); ok {
			require.Contains(t, head, "-"+strings.Fields(name)[0], "every flag is described")
		}
	}
}
