package main

import (
	_ "embed"
	"encoding/json"
	"fmt"
	"math"
	"os/exec"
	"strings"

	"github.com/stationphysics/stationphysics/psychro"
)

//go:embed other/vapour.py
var vapourPy string

// What the Python program prints.
type pythonVapour struct {
	Version  string    `json:"version"`
	Python   string    `json:"python"`
	IF97     []float64 `json:"if97_hpa"`
	IAPWS95  []float64 `json:"iapws95_hpa"`
	IAPWS95C []float64 `json:"iapws95_c"`
	IF97Ns   float64   `json:"if97_ns"`
	IAPWS95s float64   `json:"iapws95_ns"`
	ExpNs    float64   `json:"exp_ns"`
}

func compareVapour() *comparison {
	c := &comparison{
		title: "Saturation pressure over water", result: "first temperature, hPa", differ: "most, against ours",
		work: "1 to 99 °C in whole degrees. Time for one temperature; Python's by timeit within its process.",
	}
	temps := make([]float64, 99)
	var input strings.Builder
	for i := range temps {
		temps[i] = float64(i + 1)
		fmt.Fprintln(&input, temps[i])
	}
	ours := make([]float64, len(temps))
	ns := quickest(10*len(temps), func() {
		for range 10 {
			for i, t := range temps {
				ours[i] = psychro.SaturationPressureHPa(t)
			}
		}
	})
	c.rows = append(c.rows, entry{by: "`psychro.SaturationPressureHPa`", result: fmt.Sprintf("%.6f", ours[0]), differs: "-", ns: ns,
		note: "polynomials fitted to IAPWS-95; also supercooled water"})
	sum := 0.0
	ns = quickest(10*len(temps), func() {
		for range 10 {
			for _, t := range temps {
				sum += math.Exp(t)
			}
		}
	})
	if math.IsNaN(sum) {
		c.missing("math.Exp gave NaN")
	}
	c.rows = append(c.rows, entry{by: "`math.Exp`", result: "-", differs: "-", ns: ns, note: "one call in the same loop, for scale"})
	p, why := python(input.String())
	if why != "" {
		c.missing("python3-iapws: %s", why)
		return c
	}
	if len(p.IF97) != len(ours) || len(p.IAPWS95) != len(p.IAPWS95C) || len(p.IAPWS95) == 0 {
		c.missing("python3-iapws: %d and %d pressures for %d temperatures", len(p.IF97), len(p.IAPWS95), len(ours))
		return c
	}
	apart := func(at, theirs []float64) string {
		d := 0.0
		for i, t := range at {
			d = math.Max(d, math.Abs(theirs[i]/psychro.SaturationPressureHPa(t)-1))
		}
		return fmt.Sprintf("%.2g %%", 100*d)
	}
	c.rows = append(c.rows,
		entry{by: "python3-iapws " + p.Version + ", IAPWS-IF97", result: fmt.Sprintf("%.6f", p.IF97[0]), differs: apart(temps, p.IF97), ns: p.IF97Ns,
			note: "equation 30 of the industrial formulation; most of the time is the interpreter's"},
		entry{by: "python3-iapws " + p.Version + ", IAPWS-95", result: fmt.Sprintf("%.6f", p.IAPWS95[0]), differs: apart(p.IAPWS95C, p.IAPWS95), ns: p.IAPWS95s,
			note: "the scientific formulation: solves for equilibrium and gives every property of both phases"},
		entry{by: "Python " + p.Python + ", `math.exp`", result: "-", differs: "-", ns: p.ExpNs, note: "one call in the same loop, for scale"})
	return c
}

// python runs the Python program with the first interpreter that has iapws.
func python(input string) (p pythonVapour, why string) {
	why = "Python is missing"
	for _, name := range []string{"python3", "/usr/bin/python3"} {
		path, ok := tool(name)
		if !ok {
			continue
		}
		if exec.Command(path, "-c", "import iapws").Run() != nil {
			why = "the package is missing"
			continue
		}
		cmd := exec.Command(path, "-c", vapourPy, num(effort.Seconds()))
		cmd.Stdin = strings.NewReader(input)
		out, err := cmd.Output()
		if err != nil {
			return p, "the Python program ended with " + err.Error()
		}
		if err := json.Unmarshal(out, &p); err != nil {
			return p, err.Error()
		}
		return p, ""
	}
	return p, why
}
