package thermal

import (
	"errors"
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"github.com/stationphysics/stationphysics"
	"github.com/stationphysics/stationphysics/internal/limit/limittest"
)

func requireNaN(t *testing.T, v float64) {
	t.Helper()
	require.True(t, math.IsNaN(v), "%v is a number", v)
}

func TestPathRefusesBadResistances(t *testing.T) {
	_, err := NewPath(-1, 0, 5)
	limittest.RefusesRange(t, err, "junction-to-case resistance")
	_, err = NewPath(1, nan, 5)
	limittest.RefusesRange(t, err, "case-to-sink resistance")
	_, err = NewPath(1, 0, math.Inf(1))
	limittest.RefusesRange(t, err, "sink-to-ambient resistance")
	_, err = NewPath(0, 0, 0)
	limittest.RefusesRange(t, err, "sum of the thermal resistances")

	_, err = NewBoardPath("", 100, 15)
	require.ErrorIs(t, err, ErrNoBoard)
	_, err = NewBoardPath("FR4", 0, 0)
	limittest.RefusesRange(t, err, "junction-to-ambient resistance")
	_, err = NewBoardPath("FR4", 100, -1)
	limittest.RefusesRange(t, err, "junction-to-case resistance")
	_, err = NewBoardPath("FR4", 100, 101)
	var ce *stationphysics.ConflictError
	require.True(t, errors.As(err, &ce))
	require.Equal(t, []float64{101, 100}, ce.Values)
	_, err = NewBoardPath("FR4", 100, 100)
	require.NoError(t, err)
}

func TestPathParts(t *testing.T) {
	p := mustPath(t, 3, 0.5, 8)
	require.Equal(t, 11.5, p.JunctionAmbientKPerW())
	require.Equal(t, 3.0, p.JunctionCaseKPerW())
	require.Equal(t, 8.5, p.CaseAmbientKPerW())
	require.Empty(t, p.Board())
	require.Equal(t, 20+23.0, p.JunctionC(20, 2))
	require.Equal(t, 20+17.0, p.CaseC(20, 2))
	require.Equal(t, 43.0, p.JunctionFromCaseC(37, 2))
	require.Equal(t, 37.0, p.CaseFromJunctionC(43, 2))
	require.Equal(t, 2.0, p.MaxPowerW(43, 20))
	require.Equal(t, 20.0, p.MaxAmbientC(43, 2))
	require.Equal(t, 8.0, p.SinkKPerW(43, 20, 2))
	require.Equal(t, 42.5, p.SinkKPerW(43, 20, 0.5))

	b, err := NewBoardPath("FR4, 300 mm²", 81.2, 16.5)
	require.NoError(t, err)
	require.Equal(t, "FR4, 300 mm²", b.Board())
	require.InDelta(t, 81.2-16.5, b.CaseAmbientKPerW(), 1e-12)
}

func TestPathEdges(t *testing.T) {
	p := mustPath(t, 3, 0.5, 8)
	require.Zero(t, p.MaxPowerW(40, 40), "the air is at the limit")
	require.Zero(t, p.MaxPowerW(40, 60))
	require.Equal(t, 25.0, Path{}.JunctionC(25, 100))
	require.True(t, math.IsInf(Path{}.MaxPowerW(125, 25), 1))
	require.Zero(t, Path{}.MaxPowerW(40, 40))
	requireNaN(t, p.SinkKPerW(125, 25, 0))
	requireNaN(t, p.SinkKPerW(43, 20, 23/3.5))
	require.Positive(t, p.SinkKPerW(43, 20, 23/3.5-0.01))
	for _, bad := range []float64{nan, -101, 293.15, math.Inf(1)} {
		requireNaN(t, p.JunctionC(bad, 1))
		requireNaN(t, p.CaseC(bad, 1))
		requireNaN(t, p.MaxPowerW(125, bad))
		requireNaN(t, p.SinkKPerW(125, bad, 1))
		limittest.RefusesRange(t, CheckOperation(bad, 1), "ambient temperature")
	}
	for _, bad := range []float64{nan, -1, 2e5} {
		requireNaN(t, p.JunctionC(20, bad))
		requireNaN(t, p.JunctionFromCaseC(60, bad))
		requireNaN(t, p.CaseFromJunctionC(60, bad))
		requireNaN(t, p.MaxAmbientC(60, bad))
		requireNaN(t, p.SinkKPerW(125, 20, bad))
		limittest.RefusesRange(t, CheckOperation(20, bad), "power")
	}
	for _, bad := range []float64{nan, -101, 401} {
		requireNaN(t, p.JunctionFromCaseC(bad, 1))
		requireNaN(t, p.CaseFromJunctionC(bad, 1))
		requireNaN(t, p.MaxPowerW(bad, 20))
		requireNaN(t, p.MaxAmbientC(bad, 1))
		requireNaN(t, p.SinkKPerW(bad, 20, 1))
	}
	require.NoError(t, CheckOperation(-100, 0))
	require.NoError(t, CheckOperation(200, 1e5))
	require.ErrorContains(t, CheckOperation(293.15, 1), "kelvins?")
	require.ErrorContains(t, CheckOperation(20, -3), "opposite sign")
}

func TestDerating(t *testing.T) {
	p := mustPath(t, 2, 0, 48)
	d, err := p.Derating(150, 2)
	require.NoError(t, err)
	require.Equal(t, 50.0, d.KneeC())
	require.Equal(t, 2.0, d.MaxPowerW(-40))
	require.Equal(t, 2.0, d.MaxPowerW(50))
	require.Equal(t, 1.0, d.MaxPowerW(100))
	require.Zero(t, d.MaxPowerW(150))
	require.Zero(t, d.MaxPowerW(180))
	requireNaN(t, d.MaxPowerW(201))
	for ta := 51.0; ta < 150; ta++ {
		require.InDelta(t, p.MaxPowerW(150, ta), d.MaxPowerW(ta), 1e-12, "beyond the knee both say the same")
	}
	_, err = p.Derating(500, 2)
	limittest.RefusesRange(t, err, "junction limit")
	_, err = p.Derating(150, 0)
	limittest.RefusesRange(t, err, "rated power")
	_, err = p.Derating(150, 0.9995e-9)
	limittest.RefusesRange(t, err, "rated power")
	_, err = p.Derating(150, 1e-9)
	require.NoError(t, err)
	_, err = p.Derating(150, 2e5)
	limittest.RefusesRange(t, err, "rated power")
	require.Zero(t, Derating{}.MaxPowerW(-20))
	// Without resistance the curve falls from the rated power to nothing at the limit.
	d, err = Path{}.Derating(150, 2)
	require.NoError(t, err)
	require.Equal(t, 2.0, d.MaxPowerW(math.Nextafter(150, 0)))
	require.Zero(t, d.MaxPowerW(150))
}

func TestCharacterisationParameters(t *testing.T) {
	require.Equal(t, 60+1.5*8, JunctionFromTopC(60, 1.5, 8))
	require.Equal(t, 50+2*20.0, JunctionFromBoardC(50, 2, 20))
	for _, c := range [][3]float64{{401, 1, 8}, {60, -1, 8}, {60, 1, -1}, {60, 1, 201}, {nan, 1, 8}} {
		requireNaN(t, JunctionFromTopC(c[0], c[1], c[2]))
		requireNaN(t, JunctionFromBoardC(c[0], c[1], c[2]))
		require.Error(t, CheckCharacterisation(c[0], c[1], c[2]))
	}
	require.NoError(t, CheckCharacterisation(60, 1.5, 8))
	limittest.RefusesRange(t, CheckCharacterisation(60, 1.5, 300), "characterisation parameter")
	limittest.RefusesRange(t, CheckCharacterisation(500, 1.5, 3), "surface reading")
	limittest.RefusesRange(t, CheckCharacterisation(60, -1.5, 3), "power")
}

func FuzzPath(f *testing.F) {
	f.Add(3.0, 0.5, 8.0, 25.0, 2.0, 125.0)
	f.Add(0.0, 0.0, 0.0, 25.0, 2.0, 125.0)
	f.Add(61.6, 0.0, 0.0, -32.0, 0.0112, 150.0)
	f.Add(1e6, 1e6, 1e6, 200.0, 1e5, 400.0)
	f.Fuzz(func(t *testing.T, jc, cs, sa, ta, w, tj float64) {
		p, err := NewPath(jc, cs, sa)
		inRange := resistance.Holds(jc) && resistance.Holds(cs) && resistance.Holds(sa) && jc+cs+sa >= 1e-9
		if (err == nil) != (inRange && jc+cs+sa <= 1e6) {
			t.Fatalf("NewPath(%g, %g, %g): %v", jc, cs, sa, err)
		}
		if err != nil {
			return
		}
		if got := p.JunctionC(ta, w); math.IsNaN(got) != (CheckOperation(ta, w) != nil) {
			t.Fatalf("JunctionC(%g, %g) = %g", ta, w, got)
		}
		max := p.MaxPowerW(tj, ta)
		if math.IsNaN(max) != !(partTemp.Holds(tj) && ambientTemp.Holds(ta)) {
			t.Fatalf("MaxPowerW(%g, %g) = %g", tj, ta, max)
		}
		if max > 0 && max <= 1e5 {
			require.InDelta(t, tj, p.JunctionC(ta, max), 1e-6)
		}
	})
}
