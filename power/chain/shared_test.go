package chain

import (
	"math/rand"
	"testing"

	"github.com/stretchr/testify/require"

	"github.com/stationphysics/stationphysics/internal/limit/limittest"
)

// One circuit, and each goroutine with a workspace of its own.
func TestCircuitMayBeShared(t *testing.T) {
	for _, seed := range []int64{19, 72, 214} {
		c, err := New(randomParts(rand.New(rand.NewSource(seed))), nil)
		require.NoError(t, err)
		limittest.Together(t, func() any {
			w := c.NewWorkspace()
			out := []any{c.Nodes(), c.Parts(), c.Limits()}
			for _, f := range append(c.Faults(), Fault{}) {
				p, err := w.SolveFault(f)
				if err != nil {
					out = append(out, err.Error())
					continue
				}
				for _, n := range c.Nodes() {
					out = append(out, p.VoltageV(n))
				}
			}
			_, err := c.Solve()
			return append(out, err == nil)
		})
	}
}
