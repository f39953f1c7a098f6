package transient

import (
	"math"
)

// A Response is what constant powers, switched on at time 0 with everything at
// ambient temperature, do to a network.
type Response struct {
	n, m   int
	start  []float64 // rise just after switching on: not 0 for nodes without capacity
	rate   []float64
	weight []float64 // n rows of m: how much each mode adds in the end
}

// Step returns the response to constant powers switched on at time 0. It panics
// unless powerW has one element a node.
func (w *Network) Step(powerW []float64) *Response {
	w.sameLength(powerW)
	r := &Response{n: w.n, m: len(w.rate), start: make([]float64, w.n), rate: w.rate}
	r.weight = make([]float64, r.n*r.m)
	if r.m == 0 {
		w.SteadyK(r.start, powerW)
		return r
	}
	into := w.reducedPower(powerW)
	for k, rate := range w.rate {
		amp := 0.0
		for a := range w.mass {
			amp += w.vec.At(a, k) * into[a]
		}
		amp /= rate
		for a, i := range w.mass {
			r.weight[i*r.m+k] = w.vec.At(a, k) * amp
		}
		for b, i := range w.free {
			for a := range w.mass {
				r.weight[i*r.m+k] += w.followT.At(b, a) * w.vec.At(a, k) * amp
			}
		}
	}
	for b, i := range w.free {
		for c, j := range w.free {
			r.start[i] += w.followP.At(b, c) * powerW[j]
		}
	}
	return r
}

// reducedPower returns the heat that reaches each node with capacity.
func (w *Network) reducedPower(powerW []float64) []float64 {
	into := make([]float64, len(w.mass))
	for a, i := range w.mass {
		into[a] = powerW[i]
		for b, j := range w.free {
			into[a] += w.followT.At(b, a) * powerW[j]
		}
	}
	return into
}

// RiseK fills dst with the rises of all nodes at tS seconds after switching on,
// exactly: T(t) = Σ T_k (1 - exp(-t/τ_k)). It allocates nothing. Before time 0,
// and for NaN, all are NaN; it panics unless dst has one element a node.
func (r *Response) RiseK(dst []float64, tS float64) {
	if len(dst) != r.n {
		panic(badLength)
	}
	if !(tS >= 0) {
		for i := range dst {
			dst[i] = nan
		}
		return
	}
	copy(dst, r.start)
	// The exponentials are taken a few at a time, so that each node's sum can
	// stay in a register.
	var e [8]float64
	for k0 := 0; k0 < r.m; k0 += len(e) {
		rates := r.rate[k0:min(k0+len(e), r.m)]
		for k, rate := range rates {
			e[k&7] = settled(rate * tS)
		}
		for i := range dst {
			row := r.weight[i*r.m+k0:][:len(rates)]
			s := 0.0
			for k, w := range row {
				s += w * e[k&7]
			}
			dst[i] += s
		}
	}
}

// NodeK fills dst with the rises of one node, counted from 0, at the given
// times. It allocates nothing; a time before 0 or NaN gives NaN. It panics if
// dst and timesS differ in length.
func (r *Response) NodeK(dst []float64, node int, timesS []float64) {
	if len(dst) != len(timesS) {
		panic("transient: the slices of times and rises differ in length")
	}
	weight := r.weight[node*r.m : (node+1)*r.m]
	for j, t := range timesS {
		if !(t >= 0) {
			dst[j] = nan
			continue
		}
		v, s := r.start[node], 0.0
		for k, rate := range r.rate {
			s += weight[k] * settled(rate*t)
			if k&7 == 7 { // summed in the same portions as RiseK, for the same last digit
				v, s = v+s, 0
			}
		}
		dst[j] = v + s
	}
}

// settled returns 1 - exp(-x) for x ≥ 0 within 1e-12 of itself: below 1e-4 by
// its series, where the difference would lose digits, above 38 the result is 1
// in double precision. math.Expm1 would be exact and take three times as long.
func settled(x float64) float64 {
	switch {
	case x < 1e-4:
		return x * (1 - x/2*(1-x/3))
	case x > 38:
		return 1
	}
	return 1 - math.Exp(-x)
}

// A Stepper advances a network by a fixed time step, exactly for powers that
// are constant within each step.
type Stepper struct {
	n          int
	keep, heat []float64 // n×n: rises from rises, rises from powers
}

// Stepper returns the stepper for a time step of 0 to 1e12 s; outside, the
// error is a *stationphysics.RangeError.
func (w *Network) Stepper(stepS float64) (*Stepper, error) {
	if err := stepTime.Check(stepS); err != nil {
		return nil, err
	}
	n := w.n
	s := &Stepper{n: n, keep: make([]float64, n*n), heat: make([]float64, n*n)}
	// The answer to one watt into node j after one step is column j of heat.
	one, col := make([]float64, n), make([]float64, n)
	for j := range n {
		one[j] = 1
		w.Step(one).RiseK(col, stepS)
		for i, v := range col {
			s.heat[i*n+j] = v
		}
		one[j] = 0
	}
	if len(w.mass) == 0 {
		return s, nil
	}
	// What is left of a rise: C^(-1/2)·Q·exp(-Λt)·Qᵀ·C^(1/2). As vec is
	// C^(-1/2)·Q, its inverse Qᵀ·C^(1/2) is vecᵀ·C.
	for b, j := range w.mass {
		for i := range col {
			col[i] = 0
		}
		for k, rate := range w.rate {
			f := math.Exp(-rate*stepS) * w.vec.At(b, k) * w.massC[b]
			for a, i := range w.mass {
				col[i] += w.vec.At(a, k) * f
			}
		}
		for c, i := range w.free {
			for a, from := range w.mass {
				col[i] += w.followT.At(c, a) * col[from]
			}
		}
		for i, v := range col {
			s.keep[i*n+j] = v
		}
	}
	return s, nil
}

// Next fills dst with the rises one step after riseK under the constant powers
// powerW. It allocates nothing. dst must not be riseK itself; it panics unless
// all have one element a node.
func (s *Stepper) Next(dst, riseK, powerW []float64) {
	if len(dst) != s.n || len(riseK) != s.n || len(powerW) != s.n {
		panic(badLength)
	}
	for i := range dst {
		keep, heat := s.keep[i*s.n:(i+1)*s.n], s.heat[i*s.n:(i+1)*s.n]
		v := 0.0
		for j, k := range keep {
			v += k*riseK[j] + heat[j]*powerW[j]
		}
		dst[i] = v
	}
}
