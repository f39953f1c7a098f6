package chain

import (
	"math/rand"
	"testing"

	"github.com/stretchr/testify/require"
)

// The three circuits of the first 6000 random ones, with their faults, on which
// fewer paths had failed: regulators in chains and loops.
func TestHardCircuitsSolve(t *testing.T) {
	for _, seed := range []int64{697, 4725, 5674} {
		c, err := New(randomParts(rand.New(rand.NewSource(seed))), nil)
		require.NoError(t, err)
		w := c.NewWorkspace()
		for _, f := range append(c.Faults(), Fault{}) {
			p, err := w.SolveFault(f)
			if err != nil { // data missing, or a loop without resistance
				require.NotContains(t, err.Error(), "no operating point", "%d %s", seed, f)
				continue
			}
			kirchhoff(t, c, p, f)
		}
	}
}
