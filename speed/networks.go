package main

import (
	"fmt"

	"gonum.org/v1/gonum/mat"

	"github.com/stationphysics/stationphysics/thermal/transient"
)

// compareNetworks sets the steady state of a network beside plain linear
// algebra on the same matrix of conductances.
func compareNetworks() *comparison {
	c := &comparison{
		title: "Steady temperatures of a network", result: "rise of the junction, K", differ: "most of all nodes, against ours",
		work: "The matrix of the ladder above, and of eight such ladders end to end (48 nodes), 1.2 W at the junction. Time for one solution.",
	}
	for _, copies := range []int{1, 8} {
		if err := c.steady(copies); err != nil {
			c.missing("%v", err)
		}
	}
	return c
}

func (c *comparison) steady(copies int) error {
	var all []transient.Stage
	for range copies {
		all = append(all, stages...)
	}
	n := len(all)
	ladder, err := transient.NewLadder(all...)
	if err != nil {
		return err
	}
	network, err := ladder.Network()
	if err != nil {
		return err
	}
	power, ours, theirs := make([]float64, n), make([]float64, n), make([]float64, n)
	power[0] = ladderW
	first := len(c.rows)
	add := func(by, note string, x []float64, ns float64) {
		c.rows = append(c.rows, entry{by: fmt.Sprintf("%d nodes: %s", n, by), note: note, ns: ns, result: fmt.Sprintf("%.9f", x[0]), differs: fmt.Sprintf("%.2g K", mostApart(x, ours))})
	}
	ns := quickest(100, func() {
		for range 100 {
			network.SteadyK(ours, power)
		}
	})
	add("`Network.SteadyK`", "the network made before, which inverts the matrix", ours, ns)

	g, _ := matrices(all)
	var lu mat.LU
	lu.Factorize(g)
	x, p := mat.NewVecDense(n, theirs), mat.NewVecDense(n, power)
	var failed error
	ns = quickest(100, func() {
		for range 100 {
			if err := lu.SolveVecTo(x, false, p); err != nil {
				failed = err
			}
		}
	})
	add("gonum v0.17.0, `LU.SolveVecTo`", "factorised before", theirs, ns)
	ns = quickest(10, func() {
		for range 10 {
			lu.Factorize(g)
			if err := lu.SolveVecTo(x, false, p); err != nil {
				failed = err
			}
		}
	})
	add("gonum v0.17.0, `LU.Factorize` and `SolveVecTo`", "all of it each time", theirs, ns)
	ns = quickest(1, func() {
		w, err := ladder.Network()
		if err != nil {
			failed = err
			return
		}
		w.SteadyK(theirs, power)
	})
	add("`Ladder.Network` and `SteadyK`", "checks names and ranges, and finds all time constants and modes besides", theirs, ns)
	for i := first; i < len(c.rows); i++ {
		c.rows[i].base = first
	}
	return failed
}
