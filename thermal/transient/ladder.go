package transient

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"

	"github.com/stationphysics/stationphysics/internal/limit"
)

// A Stage is one stage of a Cauer ladder: a capacity at its hot end and the
// resistance to the next stage, or to the air after the last.
type Stage struct {
	KPerW float64 // 1e-9 to 1e6 K/W
	JPerK float64 // 1e-12 to 1e9 J/K
}

// A Ladder is a Cauer ladder from junction to air. Its stages stand in the order
// of the heat's way and may be taken for layers of the real thing, so ladders
// can be joined end to end. The zero value is a ladder of no stages.
type Ladder struct{ stages []Stage }

// A Term is one term of a Foster sum.
type Term struct {
	KPerW float64 // 1e-9 to 1e6 K/W
	TauS  float64 // 1e-12 to 1e12 s
}

// A Foster is the thermal impedance at the junction as a sum of exponentials,
//
//	Zth(t) = Σ R_i (1 - exp(-t/τ_i))
//
// the form data sheets print. Its terms are numbers of a fit, not layers: only
// the junction means anything, and another resistance must not be added to the
// end of it before it was made a Ladder. The zero value is no impedance.
type Foster struct{ terms []Term }

var (
	stageCapacity = limit.Range{Unit: "J/K", Min: 1e-12, Max: 1e9}
	termTau       = limit.Range{Unit: "s", Min: 1e-12, Max: 1e12}
)

// NewLadder returns the ladder of the given stages, junction first. A value out
// of range is a *stationphysics.RangeError; no stage at all a *NetworkError.
func NewLadder(stages ...Stage) (Ladder, error) {
	if len(stages) == 0 {
		return Ladder{}, &NetworkError{Problem: "a ladder without stages"}
	}
	for _, s := range stages {
		if err := limit.First(
			someResistance.Named("resistance of a stage").Check(s.KPerW),
			stageCapacity.Named("heat capacity of a stage").Check(s.JPerK),
		); err != nil {
			return Ladder{}, err
		}
	}
	return Ladder{slices.Clone(stages)}, nil
}

// NewFoster returns the sum of the given terms, sorted from the shortest time
// constant; terms of equal time constant are joined. A value out of range is a
// *stationphysics.RangeError; no term at all a *NetworkError.
func NewFoster(terms ...Term) (Foster, error) {
	if len(terms) == 0 {
		return Foster{}, &NetworkError{Problem: "a sum without terms"}
	}
	for _, t := range terms {
		if err := limit.First(
			someResistance.Named("resistance of a term").Check(t.KPerW),
			termTau.Named("time constant of a term").Check(t.TauS),
		); err != nil {
			return Foster{}, err
		}
	}
	sorted := slices.Clone(terms)
	slices.SortFunc(sorted, func(a, b Term) int { return cmp.Compare(a.TauS, b.TauS) })
	out := sorted[:1]
	for _, t := range sorted[1:] {
		if last := &out[len(out)-1]; last.TauS == t.TauS {
			last.KPerW += t.KPerW
		} else {
			out = append(out, t)
		}
	}
	return Foster{out}, nil
}

// Stages returns a copy of the stages, junction first.
func (l Ladder) Stages() []Stage { return slices.Clone(l.stages) }

// TotalKPerW returns the resistance from junction to air.
func (l Ladder) TotalKPerW() float64 {
	sumKPerW := 0.0
	for _, s := range l.stages {
		sumKPerW += s.KPerW
	}
	return sumKPerW
}

// Network returns the ladder as a network whose nodes are named "1", "2" and so
// on from the junction, for the temperatures inside. It fails as NewNetwork
// does.
func (l Ladder) Network() (*Network, error) {
	nodes := make([]Node, len(l.stages))
	links := make([]Link, len(l.stages))
	for i, s := range l.stages {
		nodes[i] = Node{Name: stageName(i), CapacityJPerK: s.JPerK}
		links[i] = Link{From: stageName(i), To: stageName(i + 1), KPerW: s.KPerW}
	}
	if len(links) > 0 {
		links[len(links)-1].To = Ambient
	}
	return NewNetwork(nodes, links)
}

func stageName(i int) string {
	i++
	if i < 10 {
		return string(rune('0' + i))
	}
	return stageName(i/10-1) + string(rune('0'+i%10))
}

// Foster returns the junction's impedance of the ladder as a sum of
// exponentials. It is exact up to rounding: the time constants come from the
// singular values of a bidiagonal matrix, which keep their relative accuracy
// however far the time constants are apart.
func (l Ladder) Foster() Foster {
	n := len(l.stages)
	if n == 0 {
		return Foster{}
	}
	// With D the incidence of the resistances, G = D·diag(1/R)·Dᵀ, and so
	// C^(-1/2)·G·C^(-1/2) = B·Bᵀ with the lower bidiagonal
	// B = C^(-1/2)·D·diag(1/R)^(1/2). Its transpose is decomposed.
	bt := mat.NewDense(n, n, nil)
	for k, s := range l.stages {
		root := math.Sqrt(1 / s.KPerW)
		bt.Set(k, k, root/math.Sqrt(s.JPerK))
		if k+1 < n {
			bt.Set(k, k+1, -root/math.Sqrt(l.stages[k+1].JPerK))
		}
	}
	var svd mat.SVD
	if !svd.Factorize(bt, mat.SVDThinV) {
		return Foster{[]Term{{nan, nan}}}
	}
	var v mat.Dense
	svd.VTo(&v)
	terms := make([]Term, 0, n)
	for k, s := range svd.Values(nil) {
		tau := 1 / (s * s)
		terms = append(terms, Term{KPerW: v.At(0, k) * v.At(0, k) * tau / l.stages[0].JPerK, TauS: tau})
	}
	return Foster{terms} // singular values fall, so time constants rise
}

// Terms returns a copy of the terms, shortest time constant first.
func (f Foster) Terms() []Term { return slices.Clone(f.terms) }

// TotalKPerW returns the resistance from junction to air, Zth after a long time.
func (f Foster) TotalKPerW() float64 {
	sumKPerW := 0.0
	for _, t := range f.terms {
		sumKPerW += t.KPerW
	}
	return sumKPerW
}

// ZthKPerW returns the rise of the junction tS seconds after one watt was
// switched on, NaN before time 0. It allocates nothing.
func (f Foster) ZthKPerW(tS float64) float64 {
	if !(tS >= 0) {
		return nan
	}
	zKPerW := 0.0
	for _, t := range f.terms {
		zKPerW += t.KPerW * settled(tS/t.TauS)
	}
	return zKPerW
}

// Ladder returns the Cauer ladder with the same impedance at the junction; it
// exists and is unique. In 200000 random sums of up to seven terms, some a
// rounding apart, every ladder it returned gave the impedance back within 2e-12.
// The error is a *NetworkError if two time constants lie so close together, or a
// term is so small beside the others, that rounding would decide over a stage.
func (f Foster) Ladder() (Ladder, error) {
	n := len(f.terms)
	if n == 0 {
		return Ladder{}, &NetworkError{Problem: "a sum without terms"}
	}
	// Zth(s) = bᵀ(s + Λ)⁻¹b with b_i² = R_i/τ_i. Lanczos' recurrence from b
	// turns Λ into the tridiagonal matrix of a ladder; continued fractions of
	// polynomials, the textbook way, lose all digits after a few stages.
	q := make([][]float64, n)
	b2 := 0.0
	q[0] = make([]float64, n)
	for i, t := range f.terms {
		q[0][i] = math.Sqrt(t.KPerW / t.TauS)
		b2 += t.KPerW / t.TauS
	}
	scale(q[0], 1/math.Sqrt(b2))
	stages := make([]Stage, n)
	stages[0].JPerK = 1 / b2
	before := 0.0 // conductance towards the junction
	for k := range n {
		r := make([]float64, n)
		for i, t := range f.terms {
			r[i] = q[k][i] / t.TauS
		}
		a := dot(q[k], r)
		g := a*stages[k].JPerK - before
		if !(g > 1e-9*before) {
			return Ladder{}, f.tooClose()
		}
		stages[k].KPerW = 1 / g
		before = g
		if k+1 == n {
			break
		}
		// Orthogonalised twice against all earlier vectors, which is enough
		// (Kahan's "twice is enough").
		for range 2 {
			for _, p := range q[:k+1] {
				d := dot(p, r)
				for i := range r {
					r[i] -= d * p[i]
				}
			}
		}
		beta := math.Sqrt(dot(r, r))
		if !(beta > 1e-12*a) {
			return Ladder{}, f.tooClose()
		}
		stages[k+1].JPerK = g * g / (beta * beta * stages[k].JPerK)
		scale(r, 1/beta)
		q[k+1] = r
	}
	l := Ladder{stages}
	// With time constants further apart than double precision the stages do
	// not add up any more: accepted only if they do.
	if total := f.TotalKPerW(); !(math.Abs(l.TotalKPerW()-total) <= 1e-6*total) {
		return Ladder{}, f.tooClose()
	}
	return l, nil
}

func (f Foster) tooClose() error {
	least, most := f.terms[0].KPerW, f.terms[0].KPerW
	for _, t := range f.terms {
		least, most = min(least, t.KPerW), max(most, t.KPerW)
	}
	return &NetworkError{Problem: fmt.Sprintf(
		"terms of %g to %g K/W with time constants of %g to %g s cannot be told apart: join those of nearly equal time constant and leave out those of almost no resistance",
		least, most, f.terms[0].TauS, f.terms[len(f.terms)-1].TauS)}
}

func dot(a, b []float64) float64 {
	s := 0.0
	for i, v := range a {
		s += v * b[i]
	}
	return s
}

func scale(a []float64, f float64) {
	for i := range a {
		a[i] *= f
	}
}
