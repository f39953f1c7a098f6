package main

import (
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"time"

	"gonum.org/v1/gonum/mat"

	"github.com/stationphysics/stationphysics/thermal/transient"
)

// An invented ladder from a junction to the air: time constants from 0.1 s to a
// quarter of an hour, all longer than the step.
var stages = []transient.Stage{{KPerW: 0.8, JPerK: 0.5}, {KPerW: 1.5, JPerK: 1}, {KPerW: 2.5, JPerK: 2.5}, {KPerW: 4, JPerK: 6}, {KPerW: 8, JPerK: 20}, {KPerW: 14, JPerK: 60}}

const (
	ladderW     = 1.2
	ladderStepS = 0.05
	ladderSteps = 10000 // the work; ten times as many tell a step from the start of a process
)

// ladderAt are the times at which the results are compared, on the grid of the
// steps.
var ladderAt = []float64{1, 10, 100, 500}

func compareLadder() *comparison {
	c := &comparison{
		title: "A thermal ladder through time", result: "rise of the junction at " + joinNumbers(ladderAt, "%g") + " s, K", differ: "most, against the exact response",
		work: fmt.Sprintf("Six stages from junction to air, %g W switched on, %d steps of %g s. Time for one step; setting up is not in it. ngspice: processor time of a tenfold run less that of a single one, by the steps it really took, so that the start of its process and the reading of the circuit fall out.",
			ladderW, ladderSteps, ladderStepS),
	}
	ladder, err := transient.NewLadder(stages...)
	if err != nil {
		c.missing("%v", err)
		return c
	}
	network, err := ladder.Network()
	if err != nil {
		c.missing("%v", err)
		return c
	}
	power := make([]float64, len(stages))
	power[0] = ladderW
	exact := make([]float64, len(ladderAt))
	network.Step(power).NodeK(exact, 0, ladderAt)

	stepper, err := network.Stepper(ladderStepS)
	if err != nil {
		c.missing("%v", err)
		return c
	}
	add := func(by, note string, ns float64, got []float64) {
		c.rows = append(c.rows, entry{by: by, ns: ns, note: note, result: joinNumbers(got, "%.5f"), differs: fmt.Sprintf("%.2g K", mostApart(got, exact))})
	}
	got, ns := walk(func(next, now []float64) { stepper.Next(next, now, power) })
	add("`transient.Stepper`", "exact for power constant within a step, whatever the step", ns, got)
	trapezoid, err := newTrapezoid(ladderStepS)
	if err != nil {
		c.missing("gonum: %v", err)
	} else {
		got, ns = walk(func(next, now []float64) { trapezoid.next(next, now, power) })
		add("gonum v0.17.0, `mat.LU` and the trapezoidal rule", "factorised once; errs with the square of the step, where ours is exact", ns, got)
	}
	if got, ns, steps, why := spice(); why != "" {
		c.missing("ngspice: %s", why)
	} else {
		add("ngspice, trapezoidal rule", fmt.Sprintf("a general simulator: non-linear parts, control of the step's error, all waveforms kept; took %d steps", steps), ns, got)
	}
	return c
}

func mostApart(a, b []float64) (d float64) {
	for i := range a {
		d = math.Max(d, math.Abs(a[i]-b[i]))
	}
	return d
}

func joinNumbers(x []float64, format string) string {
	s := make([]string, len(x))
	for i := range x {
		s[i] = fmt.Sprintf(format, x[i])
	}
	return strings.Join(s, ", ")
}

// walk takes a stepping rule through the work and times a step.
func walk(next func(next, now []float64)) (atK []float64, ns float64) {
	x, y := make([]float64, len(stages)), make([]float64, len(stages))
	for i, k := 1, 0; i <= ladderSteps; i++ {
		next(y, x)
		x, y = y, x
		if k < len(ladderAt) && float64(i)*ladderStepS > ladderAt[k]-ladderStepS/2 {
			atK = append(atK, x[0])
			k++
		}
	}
	const batch = 500
	return atK, quickest(batch, func() {
		for range batch {
			next(y, x)
			x, y = y, x
		}
	})
}

// matrices gives conductances and capacities of the ladder.
func matrices(stages []transient.Stage) (g *mat.Dense, c []float64) {
	n := len(stages)
	g, c = mat.NewDense(n, n, nil), make([]float64, n)
	for i, s := range stages {
		c[i] = s.JPerK
		g.Set(i, i, g.At(i, i)+1/s.KPerW)
		if i+1 < n {
			g.Set(i+1, i+1, g.At(i+1, i+1)+1/s.KPerW)
			g.Set(i, i+1, -1/s.KPerW)
			g.Set(i+1, i, -1/s.KPerW)
		}
	}
	return g, c
}

// A trapezoid steps C dT/dt = P - G T by (C/h + G/2) T' = (C/h - G/2) T + P
// with plain gonum.
type trapezoid struct {
	lu       mat.LU
	explicit *mat.Dense
	right    *mat.VecDense
}

func newTrapezoid(stepS float64) (*trapezoid, error) {
	g, c := matrices(stages)
	n := len(c)
	implicit := mat.NewDense(n, n, nil)
	implicit.Scale(0.5, g)
	t := &trapezoid{explicit: mat.NewDense(n, n, nil), right: mat.NewVecDense(n, nil)}
	t.explicit.Scale(-0.5, g)
	for i := range c {
		implicit.Set(i, i, implicit.At(i, i)+c[i]/stepS)
		t.explicit.Set(i, i, t.explicit.At(i, i)+c[i]/stepS)
	}
	t.lu.Factorize(implicit)
	if t.lu.Cond() > 1e12 {
		return nil, fmt.Errorf("the matrix is singular")
	}
	return t, nil
}

func (t *trapezoid) next(next, now, power []float64) {
	n := len(now)
	t.right.MulVec(t.explicit, mat.NewVecDense(n, now))
	t.right.AddVec(t.right, mat.NewVecDense(n, power))
	if err := t.lu.SolveVecTo(mat.NewVecDense(n, next), false, t.right); err != nil {
		panic(err) // the condition was looked at when it was made
	}
}

// circuit writes the ladder for ngspice: volts for kelvins, amperes for watts,
// ohms for K/W, farads for J/K.
func circuit(steps int) string {
	var b strings.Builder
	b.WriteString("ladder\n")
	fmt.Fprintf(&b, "I1 0 n1 %g\n", ladderW)
	for i, s := range stages {
		to := fmt.Sprintf("n%d", i+2)
		if i == len(stages)-1 {
			to = "0"
		}
		fmt.Fprintf(&b, "R%d n%d %s %g\nC%d n%d 0 %g IC=0\n", i+1, i+1, to, s.KPerW, i+1, i+1, s.JPerK)
	}
	end := ladderStepS * float64(steps)
	fmt.Fprintf(&b, ".control\nset numdgt=10\noption method=trap\nsave v(n1)\ntran %g %g 0 %g uic\n", ladderStepS, end, ladderStepS)
	b.WriteString("let count = length(time) - 1\nprint count\n")
	for i, at := range ladderAt {
		// The very end may lie a rounding beyond the last point.
		fmt.Fprintf(&b, "meas tran rise%d find v(n1) at=%.9g\n", i, math.Min(at, end*(1-1e-9)))
	}
	b.WriteString("quit\n.endc\n.end\n")
	return b.String()
}

var risePattern = regexp.MustCompile(`(?m)^(rise\d|count)\s*=\s*(\S+)`)

// parseSpice reads the rises and the number of steps of a run.
func parseSpice(text string) (atK []float64, steps int, err error) {
	for _, m := range risePattern.FindAllStringSubmatch(text, -1) {
		x, err := strconv.ParseFloat(m[2], 64)
		if err != nil {
			return nil, 0, err
		}
		if m[1] == "count" {
			steps = int(math.Round(x))
		} else {
			atK = append(atK, x)
		}
	}
	if len(atK) != len(ladderAt) || steps < 1 {
		return nil, 0, fmt.Errorf("%d rises and %d steps were read from its output", len(atK), steps)
	}
	return atK, steps, nil
}

// spice runs ngspice over the work once and tenfold.
func spice() (atK []float64, ns float64, steps int, why string) {
	program, ok := tool("ngspice")
	if !ok {
		return nil, 0, 0, "it is missing"
	}
	dir, err := os.MkdirTemp("", "spice")
	if err != nil {
		return nil, 0, 0, err.Error()
	}
	defer os.RemoveAll(dir)
	once := func(steps int) (atK []float64, taken int, cpu time.Duration, err error) {
		file := filepath.Join(dir, "ladder.cir")
		if err := os.WriteFile(file, []byte(circuit(steps)), 0o600); err != nil {
			return nil, 0, 0, err
		}
		cmd := exec.Command(program, "-b", "-n", file)
		cmd.Dir = dir
		out, err := cmd.CombinedOutput()
		if err != nil {
			return nil, 0, 0, err
		}
		atK, taken, err = parseSpice(string(out))
		return atK, taken, cmd.ProcessState.UserTime() + cmd.ProcessState.SystemTime(), err
	}
	least := func(steps int) (atK []float64, taken int, cpu time.Duration, err error) {
		for begin, i := time.Now(), 0; i == 0 || time.Since(begin) < effort; i++ {
			x, n, t, err := once(steps)
			if err != nil {
				return nil, 0, 0, err
			}
			if i == 0 || t < cpu {
				atK, taken, cpu = x, n, t
			}
		}
		return atK, taken, cpu, nil
	}
	atK, steps, one, err := least(ladderSteps)
	if err != nil {
		return nil, 0, 0, err.Error()
	}
	_, many, ten, err := least(10 * ladderSteps)
	if err != nil {
		return nil, 0, 0, err.Error()
	}
	return atK, float64((ten - one).Nanoseconds()) / float64(many-steps), steps, ""
}
