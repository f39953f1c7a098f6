package power

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"github.com/stationphysics/stationphysics/internal/limit/limittest"
	"github.com/stationphysics/stationphysics/internal/refdata"
)

// solarCharger is an invented two-cell charger for an 18 V panel.
var solarCharger = ChargerSpec{HoldV: 16.5, SetV: 7.0, LimitA: 1, EfficiencyFrac: 0.88, HeadroomV: 0.5, QuiescentA: 0.85e-3, ReverseA: 15e-6, MaxInputV: 28}

func charger(t testing.TB, s ChargerSpec) Charger {
	t.Helper()
	c, err := NewCharger(s)
	require.NoError(t, err)
	return c
}

func TestChargerOutput(t *testing.T) {
	c := charger(t, solarCharger)
	require.Equal(t, solarCharger, c.Spec())
	require.InDelta(t, (3-16.5*0.85e-3)*0.88/6.6, c.OutputA(3, 6.6), 1e-12)
	require.Equal(t, 1.0, c.OutputA(10, 6.6), "current limit")
	require.Equal(t, 0.0, c.OutputA(3, 7.0), "full")
	require.Equal(t, 0.0, c.OutputA(3, 7.3))
	require.Equal(t, 0.0, c.OutputA(0.01, 6.6), "less than its own need")
	s := solarCharger
	s.Linear, s.EfficiencyFrac = true, 0
	l := charger(t, s)
	require.InDelta(t, 3/16.5-0.85e-3, l.OutputA(3, 6.6), 1e-12, "a linear charger passes the current on")
	require.InDelta(t, l.OutputA(3, 6.6), l.OutputA(3, 3.3), 1e-15, "whatever the pack's voltage")
	nan := math.NaN()
	for _, v := range []float64{c.OutputA(-1, 6), c.OutputA(nan, 6), c.OutputA(3, 0), c.OutputA(3, nan), c.OutputA(3, math.Inf(1)), c.OutputA(math.Inf(1), 6), Charger{}.OutputA(3, 6)} {
		require.True(t, math.IsNaN(v))
	}
}

func TestChargerPhases(t *testing.T) {
	c := charger(t, solarCharger)
	conserve := func(p Point) {
		t.Helper()
		require.InDelta(t, p.InputV*p.InputA, p.LoadW()+p.DissipationW, 1e-12)
		require.GreaterOrEqual(t, p.DissipationW, 0.0)
	}
	held := c.At(3, 6.4, 0.2)
	require.Equal(t, HoldLimited, held.State)
	require.InDelta(t, (3-16.5*0.85e-3)*0.88, held.LoadW(), 1e-12, "all the panel gives")
	require.InDelta(t, 3/16.5, held.InputA, 1e-12)
	require.InDelta(t, 6.4+0.2*held.LoadA, held.OutputV, 1e-12)
	conserve(held)

	limited := c.At(12, 6.4, 0.2)
	require.Equal(t, CurrentLimited, limited.State)
	require.Equal(t, 1.0, limited.LoadA)
	require.InDelta(t, 6.6, limited.OutputV, 1e-12)
	conserve(limited)

	taper := c.At(12, 6.95, 0.2)
	require.Equal(t, Regulating, taper.State)
	require.InDelta(t, 7.0, taper.OutputV, 1e-12)
	require.InDelta(t, 0.25, taper.LoadA, 1e-12)
	conserve(taper)

	for _, p := range []Point{c.At(0.01, 6.4, 0.2), c.At(3, 7.0, 0.2), c.At(3, 7.2, 0), c.At(0, 6.4, 0.2)} {
		require.Equal(t, Off, p.State)
		require.Equal(t, 0.0, p.LoadA)
		conserve(p)
	}
	require.InDelta(t, 0.85e-3, c.At(3, 7.2, 0).InputA, 1e-15)
	require.InDelta(t, 0.01/16.5, c.At(0.01, 6.4, 0).InputA, 1e-15)
	// Without resistance the phases of At and OutputA are the same.
	require.InDelta(t, c.OutputA(3, 6.4), c.At(3, 6.4, 0).LoadA, 1e-15)

	s := solarCharger
	s.Linear = true
	l := charger(t, s)
	p := l.At(3, 6.4, 0.2)
	require.Equal(t, HoldLimited, p.State)
	require.InDelta(t, 3/16.5, p.InputA, 1e-12)
	require.InDelta(t, p.InputA-0.85e-3, p.LoadA, 1e-12)
	conserve(p)

	nan := math.NaN()
	for _, p := range []Point{c.At(-1, 6, 0), c.At(nan, 6, 0), c.At(3, 0, 0), c.At(3, nan, 0), c.At(3, 6, -1), c.At(3, 6, nan), c.At(3, 6, math.Inf(1)),
		c.At(math.Inf(1), 6, 0), c.At(3, math.Inf(1), 0), Charger{}.At(3, 6, 0)} {
		require.Equal(t, Unknown, p.State)
		require.True(t, math.IsNaN(p.LoadA))
	}
}

func TestChargerRefuses(t *testing.T) {
	for quantity, change := range map[string]func(*ChargerSpec){
		"input hold voltage":        func(s *ChargerSpec) { s.HoldV = 16500 },
		"charger set-point":         func(s *ChargerSpec) { s.SetV = 0 },
		"charger current limit":     func(s *ChargerSpec) { s.LimitA = 1000 },
		"charger efficiency":        func(s *ChargerSpec) { s.EfficiencyFrac = 88 },
		"charger headroom":          func(s *ChargerSpec) { s.HeadroomV = -1 },
		"charger quiescent current": func(s *ChargerSpec) { s.QuiescentA = 0.85 },
		"charger reverse current":   func(s *ChargerSpec) { s.ReverseA = 15 },
		"maximum input voltage":     func(s *ChargerSpec) { s.MaxInputV = math.NaN() },
	} {
		s := solarCharger
		change(&s)
		_, err := NewCharger(s)
		limittest.RefusesRange(t, err, quantity)
	}
	s := solarCharger
	s.HoldV = 7.4
	_, err := NewCharger(s)
	limittest.RefusesConflict(t, err, "reach its set-point")
	require.ErrorContains(t, err, "set-point plus headroom 7.5 V", "7 V and 0.5 V")
	s.HoldV = 7.5
	_, err = NewCharger(s)
	require.NoError(t, err)
	s.HoldV = 28
	_, err = NewCharger(s)
	limittest.RefusesConflict(t, err, "above the hold voltage")
}

func TestHeldShareAgainstSingleDiodeCurves(t *testing.T) {
	refdata.Each(t, "power/held_share", func(r *refdata.Row) {
		s := solarCharger
		s.HoldV, s.SetV, s.HeadroomV, s.MaxInputV = r.F("holdV"), 1, 0, 60
		got := charger(t, s).HeldFrac(PanelPoint{Vmp: r.F("Vmp"), Imp: r.F("Imp"), Voc: r.F("Voc"), Isc: r.F("Isc")})
		r.Check("heldFrac", got, fmt.Sprintf("HeldFrac at %g W/m2, %g °C, %g V", r.F("irradianceWPerM2"), r.F("cellC"), r.F("holdV")))
	})
}

func TestHeldShareOfThePanel(t *testing.T) {
	// The label of a 36-cell panel, 10 W class, invented.
	p := PanelPoint{Vmp: 17.5, Imp: 0.5714, Voc: 21.6, Isc: 0.62}
	hold := func(v float64) float64 {
		s := solarCharger
		s.HoldV, s.MaxInputV = v, 60
		return charger(t, s).HeldFrac(p)
	}
	require.InDelta(t, 1, hold(17.5), 1e-5, "at the voltage of maximum power, to the error of the curve")
	require.Equal(t, 0.0, hold(21.6))
	require.Equal(t, 0.0, hold(25))
	require.InDelta(t, 0, hold(21.5999), 1e-3)
	require.InDelta(t, 12*0.62/(17.5*0.5714), hold(12), 0.01, "far below: the short-circuit current")
	best := 0.0
	for v := 8.0; v < 21.6; v += 0.05 {
		best = max(best, hold(v))
	}
	require.InDelta(t, 1, best, 0.005, "no voltage beats the given maximum by more than the curve's own error")
	require.Greater(t, hold(19), hold(20))
	require.Less(t, hold(15), hold(16))

	c := charger(t, solarCharger)
	require.InDelta(t, 28-21.6, c.InputMarginV(p), 1e-12)
	for quantity, change := range map[string]func(*PanelPoint){
		"voltage at maximum power": func(p *PanelPoint) { p.Vmp = 0 }, "current at maximum power": func(p *PanelPoint) { p.Imp = math.NaN() },
		"open-circuit voltage": func(p *PanelPoint) { p.Voc = -1 }, "short-circuit current": func(p *PanelPoint) { p.Isc = 1e4 },
	} {
		q := p
		change(&q)
		limittest.RefusesRange(t, q.Check(), quantity)
		require.True(t, math.IsNaN(c.HeldFrac(q)))
		require.True(t, math.IsNaN(c.InputMarginV(q)))
	}
	q := p
	q.Vmp = 21.6
	limittest.RefusesConflict(t, q.Check(), "below the open-circuit voltage")
	q = p
	q.Imp = 0.62
	limittest.RefusesConflict(t, q.Check(), "below the short-circuit current")
	require.NoError(t, p.Check())
	require.True(t, math.IsNaN(Charger{}.HeldFrac(p)))
	require.True(t, math.IsNaN(Charger{}.InputMarginV(p)))
}

func FuzzCharger(f *testing.F) {
	f.Add(3.0, 6.4, 0.2)
	f.Add(1e-9, 6.999999, 1e-9)
	f.Add(math.NaN(), -1.0, math.Inf(1))
	// The largest number counts as infinite.
	f.Add(math.MaxFloat64, 6.4, 0.2)
	f.Add(3.0, math.MaxFloat64, 0.2)
	f.Add(3.0, 6.4, math.MaxFloat64)
	f.Fuzz(func(t *testing.T, panelW, packV, ohm float64) {
		c := charger(t, solarCharger)
		limittest.NumberIff(t, panelW >= 0 && panelW < math.MaxFloat64 && packV > 0 && packV < math.MaxFloat64, "OutputA", c.OutputA(panelW, packV))
		p := c.At(panelW, packV, ohm)
		valid := panelW >= 0 && panelW < math.MaxFloat64 && packV > 0 && packV < math.MaxFloat64 && ohm >= 0 && ohm < math.MaxFloat64
		if valid == (p.State == Unknown) || valid == math.IsNaN(p.LoadA) {
			t.Fatalf("At(%g, %g, %g) = %+v", panelW, packV, ohm, p)
		}
		if !valid || ohm > 1e9 || panelW > 1e6 {
			return
		}
		if p.LoadA < 0 || p.LoadA > 1 || p.State != Off && p.OutputV > 7+1e-9 || p.InputV*p.InputA > panelW*(1+1e-9)+1e-12 {
			t.Fatalf("At(%g, %g, %g) = %+v", panelW, packV, ohm, p)
		}
	})
}
