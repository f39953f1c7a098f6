package transient

import (
	"math"

	"gonum.org/v1/gonum/mat"

	"github.com/stationphysics/stationphysics/internal/limit"
)

// Ambient is the name of the air in a Link: a node of fixed temperature from
// which all rises are counted.
const Ambient = "ambient"

// A Node is a point of a network with one temperature.
type Node struct {
	Name          string  // any but "" and Ambient, once only
	CapacityJPerK float64 // heat capacity, 0 to 1e9 J/K; 0 for a point that follows at once, such as an interface
}

// A Link is a resistance between two nodes, or between a node and Ambient.
type Link struct {
	From, To string
	KPerW    float64 // 1e-9 to 1e6 K/W; two points without resistance between them are one node
}

// A NetworkError reports a network that cannot be calculated for its structure
// rather than for one number.
type NetworkError struct {
	Node    string // the node concerned, empty if none
	Problem string // what is wrong with it
}

// Error gives the one-line text.
func (e *NetworkError) Error() string {
	if e.Node == "" {
		return "transient: " + e.Problem
	}
	return "transient: node " + e.Node + ": " + e.Problem
}

// A Network is a set of nodes joined by resistances, some with capacities. It
// is linear: resistances do not depend on temperature. All temperatures are
// rises over the air in kelvins, in the order of the nodes given to NewNetwork.
// A network is not changed after it was made and may be used from several
// goroutines.
type Network struct {
	names []string
	n     int
	mass  []int // nodes with capacity
	free  []int // nodes without
	// rise(t) of mass node i is Σ_k vec[i][k]·(modal amplitude k): vec is
	// C^(-1/2)·Q of the decomposition C^(-1/2)·G·C^(-1/2) = Q·Λ·Qᵀ.
	vec  *mat.Dense
	rate []float64 // Λ, 1/s
	// follow gives the free nodes: T_free = followT·T_mass + followP·P_free,
	// and the heat put into free nodes reaches the mass nodes by followTᵀ.
	followT, followP *mat.Dense
	steady           *mat.Dense // inverse of the conductances: K/W
}

var (
	nodeCapacity = limit.Range{Quantity: "heat capacity", Unit: "J/K", Min: 0, Max: 1e9}
	stepTime     = limit.Range{Quantity: "time step", Unit: "s", Min: 0, Max: 1e12}
)

// NewNetwork checks and solves a network once: its symmetric eigenvalue problem
// is decomposed here, so that everything asked later is exact in time. A value
// outside its range gives a *stationphysics.RangeError; a doubled or unknown
// name, a link from a node to itself, or a node without a way to Ambient (its
// temperature would rise for ever) gives a *NetworkError.
//
// The slowest time constants are found with an error of about 1e-16 times the
// ratio of the longest to the shortest: 1e-9 for a millisecond beside ten
// hours.
func NewNetwork(nodes []Node, links []Link) (*Network, error) {
	if len(nodes) == 0 {
		return nil, &NetworkError{Problem: "no nodes"}
	}
	w := &Network{n: len(nodes), names: make([]string, len(nodes))}
	index := map[string]int{Ambient: -1}
	for i, nd := range nodes {
		if nd.Name == "" {
			return nil, &NetworkError{Problem: "a node without a name"}
		}
		if _, taken := index[nd.Name]; taken {
			return nil, &NetworkError{Node: nd.Name, Problem: "the name is already taken"}
		}
		if err := named(nodeCapacity, "heat capacity of "+nd.Name).Check(nd.CapacityJPerK); err != nil {
			return nil, err
		}
		index[nd.Name] = i
		w.names[i] = nd.Name
		if nd.CapacityJPerK > 0 {
			w.mass = append(w.mass, i)
		} else {
			w.free = append(w.free, i)
		}
	}
	g := mat.NewSymDense(w.n, nil)
	joined := make([][]int, w.n+1) // neighbours; the last entry is the air
	for _, l := range links {
		i, okFrom := index[l.From]
		j, okTo := index[l.To]
		switch {
		case !okFrom:
			return nil, &NetworkError{Node: l.From, Problem: "a link names it but no node has that name"}
		case !okTo:
			return nil, &NetworkError{Node: l.To, Problem: "a link names it but no node has that name"}
		case i == j:
			return nil, &NetworkError{Node: l.From, Problem: "a link joins it to itself"}
		}
		if err := named(someResistance, "resistance from "+l.From+" to "+l.To).Check(l.KPerW); err != nil {
			return nil, err
		}
		if i < 0 {
			i, j = j, i
		}
		c := 1 / l.KPerW
		g.SetSym(i, i, g.At(i, i)+c)
		if j < 0 {
			joined[i] = append(joined[i], w.n)
			joined[w.n] = append(joined[w.n], i)
			continue
		}
		g.SetSym(j, j, g.At(j, j)+c)
		g.SetSym(i, j, g.At(i, j)-c)
		joined[i] = append(joined[i], j)
		joined[j] = append(joined[j], i)
	}
	if i := cutOff(joined); i >= 0 {
		return nil, &NetworkError{Node: w.names[i], Problem: "no way to " + Ambient + ": its temperature would rise for ever"}
	}
	var chol mat.Cholesky
	inv := mat.NewSymDense(w.n, nil)
	if !chol.Factorize(g) || chol.InverseTo(inv) != nil {
		return nil, &NetworkError{Problem: "the resistances differ too much to be solved together"}
	}
	w.steady = mat.DenseCopyOf(inv)
	if err := w.decompose(nodes, g); err != nil {
		return nil, err
	}
	return w, nil
}

// cutOff returns a node that is not joined to the air, the last entry, or -1.
func cutOff(joined [][]int) int {
	seen := make([]bool, len(joined))
	todo := []int{len(joined) - 1}
	seen[len(joined)-1] = true
	for len(todo) > 0 {
		i := todo[len(todo)-1]
		todo = todo[:len(todo)-1]
		for _, j := range joined[i] {
			if !seen[j] {
				seen[j] = true
				todo = append(todo, j)
			}
		}
	}
	for i, ok := range seen {
		if !ok {
			return i
		}
	}
	return -1
}

// decompose eliminates the nodes without capacity and finds the modes of the
// others.
func (w *Network) decompose(nodes []Node, g *mat.SymDense) error {
	m, z := len(w.mass), len(w.free)
	if m == 0 {
		return nil
	}
	reduced := mat.NewSymDense(m, nil)
	for a, i := range w.mass {
		for b := a; b < m; b++ {
			reduced.SetSym(a, b, g.At(i, w.mass[b]))
		}
	}
	if z > 0 {
		gz := mat.NewSymDense(z, nil)
		gzm := mat.NewDense(z, m, nil)
		for a, i := range w.free {
			for b := a; b < z; b++ {
				gz.SetSym(a, b, g.At(i, w.free[b]))
			}
			for b, j := range w.mass {
				gzm.Set(a, b, -g.At(i, j))
			}
		}
		var chol mat.Cholesky
		inv := mat.NewSymDense(z, nil)
		if !chol.Factorize(gz) || chol.InverseTo(inv) != nil {
			return &NetworkError{Problem: "the resistances differ too much to be solved together"}
		}
		w.followP = mat.DenseCopyOf(inv)
		w.followT = mat.NewDense(z, m, nil)
		w.followT.Mul(inv, gzm)
		var through mat.Dense
		through.Mul(gzm.T(), w.followT)
		for a := range m {
			for b := a; b < m; b++ {
				reduced.SetSym(a, b, reduced.At(a, b)-(through.At(a, b)+through.At(b, a))/2)
			}
		}
	}
	root := make([]float64, m)
	for a, i := range w.mass {
		root[a] = math.Sqrt(nodes[i].CapacityJPerK)
	}
	for a := range m {
		for b := a; b < m; b++ {
			reduced.SetSym(a, b, reduced.At(a, b)/(root[a]*root[b]))
		}
	}
	var eig mat.EigenSym
	if !eig.Factorize(reduced, true) {
		return &NetworkError{Problem: "the time constants could not be found"}
	}
	w.rate = eig.Values(nil)
	var q mat.Dense
	eig.VectorsTo(&q)
	for k, r := range w.rate {
		if !(r > 0) {
			return &NetworkError{Problem: "the time constants differ too much to be solved together"}
		}
		for a := range m {
			q.Set(a, k, q.At(a, k)/root[a])
		}
	}
	w.vec = &q
	return nil
}

// Names returns the names of the nodes in order.
func (w *Network) Names() []string { return append([]string(nil), w.names...) }

// TimeConstantsS returns the time constants of the network, longest first: one
// for each node with a capacity.
func (w *Network) TimeConstantsS() []float64 {
	out := make([]float64, len(w.rate))
	for k, r := range w.rate {
		out[k] = 1 / r
	}
	return out
}

// SteadyK fills dst with the rises that constant powers lead to in the end. A
// negative power is heat taken away. It panics unless dst and powerW have one
// element a node.
func (w *Network) SteadyK(dst, powerW []float64) {
	w.sameLength(dst, powerW)
	for i := range dst {
		s := 0.0
		for j, p := range powerW {
			s += w.steady.At(i, j) * p
		}
		dst[i] = s
	}
}

const badLength = "transient: slices of a network must have one element a node"

func (w *Network) sameLength(s ...[]float64) {
	for _, x := range s {
		if len(x) != w.n {
			panic(badLength)
		}
	}
}

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
	// C^(-1/2)·Q, its inverse is Qᵀ·C^(1/2).
	var inverse mat.Dense
	if err := inverse.Inverse(w.vec); err != nil {
		return nil, &NetworkError{Problem: "the heat capacities differ too much to be solved together"}
	}
	for b, j := range w.mass {
		for i := range col {
			col[i] = 0
		}
		for k, rate := range w.rate {
			f := math.Exp(-rate*stepS) * inverse.At(k, b)
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
