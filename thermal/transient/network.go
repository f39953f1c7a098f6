package transient

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"

	"github.com/stationphysics/stationphysics"
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
		return "thermal network: " + e.Problem
	}
	return "thermal network: node " + e.Node + ": " + e.Problem
}

// A Network is a set of nodes joined by resistances, some with capacities. It
// is linear: resistances do not depend on temperature. All temperatures are
// rises over the air in kelvins, in the order of the nodes given to NewNetwork.
// A network is not changed after it was made and may be used from several
// goroutines.
type Network struct {
	names []string
	n     int
	mass  []int     // nodes with capacity
	massC []float64 // their capacities, J/K
	free  []int     // nodes without
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
// outside its range gives a *stationphysics.RangeError; an unknown name a
// *stationphysics.NameError; a doubled name, a link from a node to itself, or a node without a way to Ambient (its
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
		if err := nodeCapacity.Named("heat capacity of " + nd.Name).Check(nd.CapacityJPerK); err != nil {
			return nil, err
		}
		index[nd.Name] = i
		w.names[i] = nd.Name
		if nd.CapacityJPerK > 0 {
			w.mass = append(w.mass, i)
			w.massC = append(w.massC, nd.CapacityJPerK)
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
			return nil, &stationphysics.NameError{Kind: "node", Name: l.From, Known: append(slices.Clone(w.names), Ambient)}
		case !okTo:
			return nil, &stationphysics.NameError{Kind: "node", Name: l.To, Known: append(slices.Clone(w.names), Ambient)}
		case i == j:
			return nil, &NetworkError{Node: l.From, Problem: "a link joins it to itself"}
		}
		if err := someResistance.Named("resistance from " + l.From + " to " + l.To).Check(l.KPerW); err != nil {
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
	inv, err := inverse(g, links)
	if err != nil {
		return nil, err
	}
	w.steady = mat.DenseCopyOf(inv)
	if err := w.decompose(links, g); err != nil {
		return nil, err
	}
	return w, nil
}

// mostCondition is the largest condition number of the conductances that is
// still solved: a 1e-16 of rounding times it, 1e-4, is the error of a rise.
const mostCondition = 1e12

// inverse inverts a matrix of conductances.
func inverse(g *mat.SymDense, links []Link) (*mat.SymDense, error) {
	var chol mat.Cholesky
	inv := mat.NewSymDense(g.SymmetricDim(), nil)
	if !chol.Factorize(g) || chol.Cond() > mostCondition || chol.InverseTo(inv) != nil {
		lo, hi := math.Inf(1), 0.0
		for _, l := range links {
			lo, hi = min(lo, l.KPerW), max(hi, l.KPerW)
		}
		return nil, &NetworkError{Problem: fmt.Sprintf("resistances of %g to %g K/W differ too much to be solved together", lo, hi)}
	}
	return inv, nil
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
func (w *Network) decompose(links []Link, g *mat.SymDense) error {
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
		inv, err := inverse(gz, links)
		if err != nil {
			return err
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
	for a, c := range w.massC {
		root[a] = math.Sqrt(c)
	}
	for a := range m {
		for b := a; b < m; b++ {
			reduced.SetSym(a, b, reduced.At(a, b)/(root[a]*root[b]))
		}
	}
	var eig mat.EigenSym
	found := eig.Factorize(reduced, true)
	if found {
		w.rate = eig.Values(nil)
	}
	if !found || !(slices.Min(w.rate) > 0) {
		return &NetworkError{Problem: fmt.Sprintf("heat capacities of %g to %g J/K differ too much to be solved together", slices.Min(w.massC), slices.Max(w.massC))}
	}
	var q mat.Dense
	eig.VectorsTo(&q)
	for k := range w.rate {
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
