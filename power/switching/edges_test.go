package switching

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// One volt, for a processor's core, is an output like any other: five volts make
// it with a duty of a fifth. 0.2 A of ripple at 1 MHz take 1·4/(0.2·1e6·5) = 4 µH,
// and 95 % duty is enough from 1/0.95 V.
func TestStageOfOneVolt(t *testing.T) {
	g := stage(t, Spec{OutputV: 1, FrequencyHz: 1e6, InductanceHenry: 4e-6, MaxDutyFrac: 0.95, CurrentLimitA: 3, MaxInputV: 6})
	o := operate(t, g, 5, 1)
	require.InDelta(t, 0.2, o.DutyFrac, 1e-12)
	require.InDelta(t, 0.2, o.RippleA, 1e-12)
	require.InDelta(t, 4e-6, g.NeededHenry(5, 0.2), 1e-18)
	require.InDelta(t, 1/0.95, g.LeastInputV(1), 1e-12)
}
