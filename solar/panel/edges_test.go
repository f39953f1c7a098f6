package panel

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
)

// TestOmegaIsAsGoodAsItSays about the changes from one first guess to the next, and
// where one step is just enough: what is left of the equation, over 1 + w, is the
// relative error of w. The logarithm itself is off by up to a last digit of z.
func TestOmegaIsAsGoodAsItSays(t *testing.T) {
	const ulp = 1.0 / (1 << 52)
	for z := -12.0; z < 40; z += 1.7e-3 {
		w := omega(z)
		off := math.Abs((z-math.Log(w))-w) / (1 + w)
		if most := 4e-16*(1+math.Abs(z)) + ulp*math.Abs(z); !(off <= most) {
			t.Fatalf("omega(%g) = %g is off by %.1e of itself, more than %.1e", z, w, off, most)
		}
	}
}

// TestDarkLeakOfOneCell: without series resistance the shunt takes V/Rsh beside what
// the diode takes, for one cell as for many.
func TestDarkLeakOfOneCell(t *testing.T) {
	m, err := New(Parameters{PhotocurrentA: 1, SaturationCurrentA: 1e-9, IdealityV: 0.026, ShuntOhm: 50, CellsInSeries: 1})
	require.NoError(t, err)
	least, most := m.DarkLeakA(0.4, 25)
	require.InEpsilon(t, 1e-9*math.Expm1(0.4/0.026), least, 1e-12)
	require.InEpsilon(t, 0.4/50, most-least, 1e-12)
}
