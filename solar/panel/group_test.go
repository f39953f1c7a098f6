package panel

import (
	"errors"
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"github.com/stationphysics/stationphysics"
)

func TestGroupOfEqualPanelsIsAField(t *testing.T) {
	m := referencePanel(t)
	c := m.At(500, 30)
	two, err := m.Field(2, 1)
	require.NoError(t, err)
	side, err := m.Field(1, 2)
	require.NoError(t, err)
	s, err := Series(0.6, c, c)
	require.NoError(t, err)
	p, err := Parallel(0, c, c)
	require.NoError(t, err)
	for _, x := range []struct {
		g    Group
		want Curve
	}{{s, two.At(500, 30)}, {p, side.At(500, 30)}} {
		require.InEpsilon(t, x.want.OpenCircuitV(), x.g.OpenCircuitV(), 1e-13)
		require.InEpsilon(t, x.want.ShortCircuitA(), x.g.ShortCircuitA(), 1e-12)
		require.InEpsilon(t, x.want.CurrentA(17), x.g.CurrentA(17), 1e-11)
		got, want := x.g.MaxPower(), x.want.MaxPower()
		require.InEpsilon(t, want.Pmp, got.Pmp, 1e-12)
		require.InEpsilon(t, want.Vmp, got.Vmp, 1e-6)
		require.InEpsilon(t, want.Imp, got.Imp, 1e-6)
		require.Zero(t, x.g.CurrentA(x.g.OpenCircuitV()))
		require.Zero(t, x.g.CurrentA(500))
		require.True(t, math.IsNaN(x.g.CurrentA(-1)))
		require.True(t, math.IsNaN(x.g.CurrentA(math.NaN())))
	}
}

func TestShadedPanelInSeries(t *testing.T) {
	m := referencePanel(t)
	bright, dim := m.At(900, 30), m.At(150, 20)
	s, err := Series(0.6, bright, dim)
	require.NoError(t, err)
	// Two hills: the bright panel alone less the drop, or both at the dim one's
	// current. The bright one is higher here.
	alone := bright.MaxPower()
	require.InEpsilon(t, (alone.Vmp-0.6)*alone.Imp, s.MaxPower().Pmp, 1e-3)
	require.Greater(t, s.MaxPower().Imp, dim.ShortCircuitA())
	// With more light on the second the other hill wins.
	s2, err := Series(0.6, bright, m.At(600, 20))
	require.NoError(t, err)
	require.Less(t, s2.MaxPower().Imp, m.At(600, 20).ShortCircuitA())
	for _, g := range []Group{s, s2} {
		best := g.MaxPower()
		for v := 0.0; v < g.OpenCircuitV(); v += 0.05 {
			require.LessOrEqual(t, v*g.CurrentA(v), best.Pmp*(1+1e-9), v)
		}
		require.InEpsilon(t, best.Imp, g.CurrentA(best.Vmp), 1e-6)
		require.InEpsilon(t, g.curves[0].OpenCircuitV()+g.curves[1].OpenCircuitV(), g.OpenCircuitV(), 1e-13)
	}
	// At 10 V the bright one drives its current through the other's diode.
	require.InEpsilon(t, bright.CurrentA(10.6), s.CurrentA(10), 1e-9)
	// Above what it can do alone both share the dim one's current.
	i := s.CurrentA(35)
	require.InEpsilon(t, 35, bright.VoltageV(i)+dim.VoltageV(i), 1e-9)
	// A panel wholly in the dark costs the drop, and nothing without current.
	d, err := Series(0.6, bright, m.At(0, 10))
	require.NoError(t, err)
	require.InEpsilon(t, bright.OpenCircuitV(), d.OpenCircuitV(), 1e-13)
	require.InEpsilon(t, bright.CurrentA(14.6), d.CurrentA(14), 1e-9)
	require.InEpsilon(t, (alone.Vmp-0.6)*alone.Imp, d.MaxPower().Pmp, 1e-3)
	// Ideal bypass diodes: a short circuit gets the strongest panel's current.
	z, err := Series(0, bright, dim)
	require.NoError(t, err)
	require.InEpsilon(t, bright.ShortCircuitA(), z.ShortCircuitA(), 1e-12)
}

func TestUnlikePanelsInParallel(t *testing.T) {
	m := referencePanel(t)
	east, west := m.At(700, 25), m.At(90, 15)
	p, err := Parallel(0.3, east, west)
	require.NoError(t, err)
	require.InEpsilon(t, east.OpenCircuitV()-0.3, p.OpenCircuitV(), 1e-13)
	require.InEpsilon(t, east.CurrentA(14.3)+west.CurrentA(14.3), p.CurrentA(14), 1e-13)
	// Above the weaker one's reach the stronger is alone, and feeds nothing back.
	v := west.OpenCircuitV() + 0.1
	require.Less(t, v, p.OpenCircuitV())
	require.InEpsilon(t, east.CurrentA(v+0.3), p.CurrentA(v), 1e-13)
	best := p.MaxPower()
	for v := 0.0; v < p.OpenCircuitV(); v += 0.02 {
		require.LessOrEqual(t, v*p.CurrentA(v), best.Pmp*(1+1e-9), v)
	}
	require.InEpsilon(t, best.Imp, p.CurrentA(best.Vmp), 1e-9)
	require.InEpsilon(t, best.Pmp, best.Vmp*best.Imp, 1e-15)
}

func TestGroupInTheDark(t *testing.T) {
	m := referencePanel(t)
	night := m.At(0, 5)
	for _, join := range []func(float64, ...Curve) (Group, error){Parallel, Series} {
		g, err := join(0.4, night, night)
		require.NoError(t, err)
		require.Zero(t, g.OpenCircuitV())
		require.Zero(t, g.ShortCircuitA())
		require.Equal(t, MaxPower{}, g.MaxPower())
		_, err = join(0.4)
		require.EqualError(t, err, "curves in the group 0 is outside 1..1000")
		_, err = join(0.4, night, m.At(-1, 25))
		require.EqualError(t, err, "photocurrent of a curve NaN A is not at least 0 A")
		_, err = join(0.4, make([]Curve, 1001)...)
		require.EqualError(t, err, "curves in the group 1001 is outside 1..1000")
		_, err = join(0.4, make([]Curve, 1000)...)
		require.NoError(t, err)
		_, err = join(400, night)
		var re *stationphysics.RangeError
		require.True(t, errors.As(err, &re))
		require.Equal(t, "millivolts", re.Slip)
	}
	require.Equal(t, MaxPower{}, Group{}.MaxPower())
	require.Zero(t, Group{}.CurrentA(3))
	require.Zero(t, Group{}.OpenCircuitV())
}
