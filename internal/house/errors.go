package house

import (
	"bufio"
	"bytes"
	"encoding/json"
	"fmt"
	"os"
	"os/exec"
	"path"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"github.com/stationphysics/stationphysics/internal/house/host"
	"github.com/stationphysics/stationphysics/internal/house/witness"
)

// runTests runs the tests of the surveyed packages on the rewritten source, and
// returns what witness saw by the number of the place.
func (s *survey) runTests(dir string) (map[int][]witness.Record, error) {
	replace := map[string]string{}
	for path, src := range s.overlay {
		to := filepath.Join(dir, fmt.Sprintf("%d.go", len(replace)))
		if err := os.WriteFile(to, src, 0o600); err != nil {
			return nil, err
		}
		replace[path] = to
	}
	b, err := json.Marshal(map[string]any{"Replace": replace})
	if err != nil {
		return nil, err
	}
	overlay := filepath.Join(dir, "overlay.json")
	if err := os.WriteFile(overlay, b, 0o600); err != nil {
		return nil, err
	}
	// With -v the records of tests that the cache answers for come from there.
	// To record costs memory, which tests of allocations would count.
	cmd := exec.Command("go", append([]string{"test", "-short", "-v", "-skip=Alloca", "-vet=off", "-timeout=1h", "-overlay=" + overlay}, s.packages...)...)
	cmd.Dir = s.root
	cmd.Env = host.Env()
	cmd.Stderr = os.Stderr
	out, err := cmd.Output()
	if err != nil {
		return nil, fmt.Errorf("go test: %w\n%s", err, failures(out))
	}
	return s.read(out)
}

// failures are the names of the tests and packages that failed.
func failures(out []byte) string {
	var b strings.Builder
	for line := range bytes.Lines(out) {
		if bytes.Contains(line, []byte("FAIL")) && !bytes.HasPrefix(line, []byte(witness.Mark)) {
			b.Write(line)
		}
	}
	return b.String()
}

func (s *survey) read(out []byte) (map[int][]witness.Record, error) {
	helpers := map[string]int{}
	for k, p := range s.places {
		if p.Kind == kindHelper {
			helpers[fmt.Sprintf("%s:%d", p.File, p.Line)] = k
		}
	}
	seen := map[int][]witness.Record{}
	sc := bufio.NewScanner(bytes.NewReader(out))
	sc.Buffer(nil, 1<<24)
	for sc.Scan() {
		text, ok := strings.CutPrefix(sc.Text(), witness.Mark)
		if !ok {
			continue
		}
		var r witness.Record
		if err := json.Unmarshal([]byte(text), &r); err != nil {
			return nil, err
		}
		seen[r.Place] = append(seen[r.Place], r)
		for _, at := range r.Calls {
			if rel, err := filepath.Rel(s.root, at); err == nil {
				if k, ok := helpers[filepath.ToSlash(rel)]; ok {
					seen[k] = append(seen[k], r)
				}
			}
		}
	}
	return seen, sc.Err()
}

// units are the ways in which the text of an error may write a unit: one for
// each.
var units = []string{
	"%", "% a month", "%/K", "%/W", "1/h", "1/m", "A", "A/K", "A²s", "AU", "Ah", "Ah a day", "C", "F", "F/m", "H", "Hz", "J", "J/K", "K", "K/W", "V", "V/K",
	"W", "W/(m²·K)", "W/m²", "Wh", "Wh a day", "W·s/(m³·K)", "cm", "days", "deg", "eV", "g/kg", "gpm", "h", "hPa", "kWh/m²", "lx", "m", "m/s", "m/s per Hz",
	"min", "mm", "mm/h", "mm²", "m²", "m³", "ohm", "ppm/K", "s", "years", "°C",
}

// bare are words of quantities that have no unit.
var bare = []string{
	"absorptance", "albedo", "bits", "cells", "class", "clearness", "coefficient", "curves", "cycles", "day", "depth", "digits", "duty", "efficiency", "emissivity", "error",
	"exponent", "factor", "formula", "gauge", "ideality", "index", "kind", "level", "margin", "mode", "model", "month", "number", "panels", "phase", "place", "probability", "ratio",
	"runs", "scattering", "share", "state of charge", "strings", "threshold", "turbidity", "year",
}

// exceptions reads what a rule does not hold for, one a line: its fields and last the
// reason, separated by " | ". It gives the reasons by the fields before.
func exceptions(file string, fields int) (map[string]string, error) {
	b, err := os.ReadFile(file)
	if err != nil {
		return nil, err
	}
	out := map[string]string{}
	for line := range strings.Lines(string(b)) {
		line = strings.TrimSpace(line)
		if line == "" || strings.HasPrefix(line, "#") {
			continue
		}
		f := strings.Split(line, " | ")
		if len(f) != fields || f[fields-1] == "" {
			return nil, fmt.Errorf("%s: %q has not %d fields, the last a reason", file, line, fields)
		}
		out[strings.Join(f[:fields-1], " | ")] = f[fields-1]
	}
	return out, nil
}

// judge complains of places that no test reached, or whose error no exported
// function returned; of texts; and of exceptions that are none. shown gets a
// paragraph for each place: where it is, which call caused it, and the text.
func (s *survey) judge(seen map[int][]witness.Record, except map[string]string, shown func(string)) []string {
	complaints := slices.Clone(s.complaints)
	used, said := map[string]bool{}, map[string]bool{}
	for k, p := range s.places {
		returned := false
		for _, r := range seen[k] {
			if r.By == "" {
				continue
			}
			if !returned {
				shown(fmt.Sprintf("%s:%d %s\n\t%s(%s)\n\t%s", p.File, p.Line, p.Kind, r.By, r.Given, r.Full))
			}
			returned = true
			for _, c := range s.judgeText(r) {
				if !said[c] {
					complaints = append(complaints, fmt.Sprintf("%s:%d: %s", p.File, p.Line, c))
				}
				said[c] = true
			}
		}
		if returned || p.Kind == kindOther && len(seen[k]) > 0 {
			continue // the error of a call out of the module may be replaced by a better one
		}
		key := p.File + " | " + p.What
		switch reason, ok := except[key]; {
		case ok:
			used[key] = true
			shown(fmt.Sprintf("%s:%d %s\n\tnever: %s", p.File, p.Line, p.Kind, reason))
		case len(seen[k]) > 0:
			complaints = append(complaints, p.String()+": made, but no exported function returned it")
		default:
			complaints = append(complaints, p.String()+": no test causes it")
		}
	}
	for key := range except {
		if !used[key] {
			complaints = append(complaints, key+": the exception is not needed")
		}
	}
	return complaints
}

// judgeText complains of the text of an error that does not name each quantity
// with value and unit, and the range or the rule.
func (s *survey) judgeText(r witness.Record) (complaints []string) {
	complain := func(text string) { complaints = append(complaints, fmt.Sprintf("%s: %q", text, r.Text)) }
	if r.Text == "" || strings.ContainsAny(r.Text, "\n\t") || strings.Contains(r.Text, "%!") || strings.Contains(r.Text, "  ") {
		complain("not a line of text")
	}
	for _, p := range s.packages {
		if strings.HasPrefix(r.Text, path.Base(p)+": ") {
			complain("the text begins with the name of a package, others do not")
		}
	}
	if !strings.Contains(r.Full, r.Text) {
		complain(fmt.Sprintf("%q does not say", r.Full))
	}
	for _, p := range r.Parts {
		want := p.Quantity + " " + p.Value
		if p.Unit != "" {
			want += " " + p.Unit
		}
		switch {
		case p.Quantity == "" || p.Quantity != strings.TrimSpace(p.Quantity):
			complain("a quantity without a name")
		case p.Unit == "" && !slices.ContainsFunc(bare, func(w string) bool { return strings.Contains(p.Quantity, w) }):
			complain(p.Quantity + " has no unit")
		case p.Unit != "" && !slices.Contains(units, p.Unit):
			complain("the unit " + p.Unit + " is not one of the module's")
		case p.Value == "" || !strings.Contains(r.Text, want):
			complain("it does not say " + want)
		}
	}
	switch r.Type {
	case "*stationphysics.RangeError":
		if len(r.Parts) != 1 {
			complain("not one quantity")
		}
		says := "outside " + r.Min + ".." + r.Max
		switch {
		case r.Min == "-Inf" && r.Max == "+Inf":
			says = "not a finite number"
		case r.Min == "-Inf":
			says = "not at most " + r.Max
		case r.Max == "+Inf":
			says = "not at least " + r.Min
		}
		if !strings.Contains(r.Text, says) {
			complain("it does not say " + says)
		}
		if v, lo, hi := value(r.Parts[0].Value), value(r.Min), value(r.Max); v >= lo && v <= hi {
			complain("the range holds the value")
		}
	case "*stationphysics.ConflictError":
		if len(r.Parts) < 2 {
			complain("a conflict of less than two quantities")
		}
		if strings.HasSuffix(r.Text, ": ") {
			complain("no rule")
		}
		for _, p := range r.Parts {
			if p.Value == "NaN" {
				complain("a number that is none conflicts with nothing")
			}
		}
	}
	return complaints
}

func value(s string) float64 {
	v, err := strconv.ParseFloat(s, 64)
	if err != nil {
		panic(err) // package witness writes numbers
	}
	return v
}
