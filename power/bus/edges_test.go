package bus

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

func changed(t *testing.T, f func(s *NodeSpec)) Node {
	t.Helper()
	s := packNode
	f(&s)
	n, err := NewNode(s)
	require.NoError(t, err)
	return n
}

// Two capacitors joined through a resistor come together with the time constant
// R·C1·C2/(C1+C2) (charge sharing): 10 pF and 100 pF through 10 kohm for 100 ns,
// behind a divider too weak to help: by hand it brings 100 ns over 55 ms, 2e-6 of that.
func TestSharingThroughTheSwitch(t *testing.T) {
	n := changed(t, func(s *NodeSpec) {
		s.UpperOhm, s.LowerOhm, s.SampleOhm, s.SampleFarad, s.PinFarad, s.SampleS = 1e9, 1e9, 10e3, 10e-12, 100e-12, 100e-9
	})
	e := math.Exp(-100e-9 / (10e3 * 10e-12 * 100e-12 / 110e-12))
	require.InDelta(t, 10./110+100./110*e, n.SettlingFrac(), 2e-6)
	// Without a switch the charge is shared at once.
	n = changed(t, func(s *NodeSpec) {
		s.UpperOhm, s.LowerOhm, s.SampleOhm, s.SampleFarad, s.PinFarad, s.SampleS = 1e9, 1e9, 0, 10e-12, 100e-12, 100e-9
	})
	require.InDelta(t, 10./110, n.SettlingFrac(), 2e-7, "10/110 of 2e-6")
}

// The two capacitors followed by hand, in 100 000 steps of the fourth order: a small
// capacitor at the pin shares its charge and then holds the sample up while the
// divider fills both.
func TestSettlingStepByStep(t *testing.T) {
	for _, c := range []struct{ ohm, pinF, switchOhm, sampleF, s float64 }{
		{10e3, 100e-12, 1e3, 10e-12, 1e-6}, {60e3, 1e-12, 1e3, 8e-12, 4e-6}, {60e3, 8e-12, 60e3, 8e-12, 1e-6},
		{100, 1e-9, 50e3, 10e-12, 2e-6}, {1e3, 10e-12, 100e3, 10e-12, 3e-6}, {1e6, 1e-9, 1e3, 10e-12, 1e-6},
	} {
		n := changed(t, func(s *NodeSpec) {
			s.UpperOhm, s.LowerOhm, s.SampleOhm, s.SampleFarad, s.PinFarad, s.SampleS = 2*c.ohm, 2*c.ohm, c.switchOhm, c.sampleF, c.pinF, c.s
		})
		pin, sample := 0.0, 1.0 // what is missing there
		flow := func(x, y float64) (dx, dy float64) {
			i := (y - x) / c.switchOhm
			return (i - x/c.ohm) / c.pinF, -i / c.sampleF
		}
		const steps = 100_000
		h := c.s / steps
		for range steps {
			a, b := flow(pin, sample)
			a2, b2 := flow(pin+h/2*a, sample+h/2*b)
			a3, b3 := flow(pin+h/2*a2, sample+h/2*b2)
			a4, b4 := flow(pin+h*a3, sample+h*b3)
			pin += h / 6 * (a + 2*a2 + 2*a3 + a4)
			sample += h / 6 * (b + 2*b2 + 2*b3 + b4)
		}
		require.InEpsilon(t, sample, n.SettlingFrac(), 1e-9, "%+v: the roundings of the steps", c)
	}
}

// A pin lifted a little above its supply, less than its clamp, takes nothing.
func TestWithinTheClamp(t *testing.T) {
	n := changed(t, func(*NodeSpec) {}) // 0.4 of the input, clamp 0.3 V
	j := n.Inject((3.3+0.2)/0.4, 3.3)
	require.True(t, j.Allowed)
	require.Zero(t, j.ClampA)
	require.False(t, math.IsNaN(n.Inject(10, 200).ClampA))
	require.True(t, math.IsNaN(n.Inject(10, math.Nextafter(200, 201)).ClampA))
}

// A supply of one volt is a supply; a contact as resistive as half the pull-up
// leaves a third of it, too much for a threshold at 0.3.
func TestContactEdges(t *testing.T) {
	s := reed
	s.SupplyV = 1
	c, err := NewContact(s)
	require.NoError(t, err)
	full, err := NewContact(reed)
	require.NoError(t, err)
	require.InDelta(t, full.FallS(), c.FallS(), 1e-18, "times do not know the supply")
	require.InDelta(t, full.RiseS(), c.RiseS(), 1e-18)
	require.InDelta(t, 1./10001, c.ClosedA(), 1e-15)
	s.ContactOhm = 5e3
	_, err = NewContact(s)
	require.ErrorContains(t, err, "closed contact pulls the line below the threshold")
	// Half a volt beyond supply and clamp; a clamp of nothing; exactly at it.
	require.InDelta(t, 0.5e-3, full.SurgeA(3.3+0.3+0.5, 0.3), 1e-15)
	require.InDelta(t, 0.7e-3, full.SurgeA(4, 0), 1e-15)
	s = reed
	s.SeriesOhm, s.SupplyV = 0, 3
	direct, err := NewContact(s)
	require.NoError(t, err)
	require.Zero(t, direct.SurgeA(3.5, 0.5))
	require.True(t, math.IsInf(direct.SurgeA(3.6, 0.5), 1))
}

// Ten nanofarads of devices are the most, and picofarads show as such.
func TestDeviceCapacitance(t *testing.T) {
	for farad, ok := range map[float64]bool{1e-8: true, math.Nextafter(1e-8, 1): false} {
		c := Cable{FaradPerM: 50e-12, DevicesFarad: farad}
		require.Equal(t, ok, CheckCable(c, Standard, 1000) == nil)
		require.Equal(t, ok, !math.IsNaN(c.LongestM(Standard, 1000)))
	}
	for farad, looks := range map[float64]bool{0.5: true, 0.4999: false, 1e4: true, 10001: false} {
		err := CheckCable(Cable{FaradPerM: 50e-12, DevicesFarad: farad}, Standard, 1000)
		require.Error(t, err)
		require.Equal(t, looks, strings.HasSuffix(err.Error(), "picofarads?"), "%v", err)
	}
}
