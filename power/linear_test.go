package power

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"github.com/stationphysics/stationphysics/internal/limit/limittest"
)

var bench1117 = LinearSpec{SetV: 5, BandPct: 4, DropoutV: 1.05, DropoutOhm: 0.2, QuiescentA: 0.005, MaxInputV: 20, CurrentLimitA: 0.8, MaxJunctionC: 125, ShutdownC: 150}

func linear(t testing.TB, s LinearSpec) Linear {
	t.Helper()
	r, err := NewLinear(s)
	require.NoError(t, err)
	return r
}

func TestLinearStates(t *testing.T) {
	r := linear(t, bench1117)
	for _, c := range []struct {
		name         string
		inV, loadA   float64
		want         State
		outV, inputA float64
		heatW        float64
	}{
		{"dead input", 0, 0.1, Off, 0, 0, 0},
		{"below the constant drop", 0.525, 0.1, Off, 0, 0.0025, 0.525 * 0.0025},
		{"at the constant drop", 1.05, 0.1, Off, 0, 0.005, 1.05 * 0.005},
		{"dropout", 6, 0.1, Dropout, 4.93, 0.105, 1.07*0.1 + 6*0.005},
		{"deep dropout pulls the current", 1.15, 0.6, Dropout, 0, 0.505, 1.15*0.5 + 1.15*0.005},
		{"edge of regulation", 6.07, 0.1, Regulating, 5, 0.105, 1.07*0.1 + 6.07*0.005},
		{"regulating", 10, 0.1667, Regulating, 5, 0.1717, 5*0.1667 + 0.05},
		{"no load", 12, 0, Regulating, 5, 0.005, 0.06},
		{"at the limit", 12, 0.8, Regulating, 5, 0.805, 7*0.8 + 0.06},
		{"over the limit", 12, 0.81, CurrentLimited, 0, 0.805, 12*0.8 + 0.06},
		{"at the maximum input", 20, 0.1, Regulating, 5, 0.105, 1.6},
		{"over the maximum input", 20.1, 0.1, OverMaximum, 5, 0.105, 15.1*0.1 + 20.1*0.005},
	} {
		t.Run(c.name, func(t *testing.T) {
			p := r.At(c.inV, c.loadA)
			require.Equal(t, c.want, p.State, p.State.String())
			require.Equal(t, c.inV, p.InputV)
			require.InDelta(t, c.outV, p.OutputV, 1e-12)
			require.InDelta(t, c.inputA, p.InputA, 1e-12)
			require.InDelta(t, c.heatW, p.DissipationW, 1e-12)
			require.Equal(t, p.InputA, r.InputA(c.inV, c.loadA))
			require.InDelta(t, p.InputV-p.OutputV, p.HeadroomV(), 1e-15)
		})
	}
}

func TestLinearOhmStates(t *testing.T) {
	r := linear(t, bench1117)
	inf := math.Inf(1)
	for _, c := range []struct {
		name      string
		inV, ohm  float64
		want      State
		outV, inA float64
	}{
		{"open", 12, inf, Regulating, 5, 0.005},
		{"open in dropout", 5.05, inf, Dropout, 4, 0.005},
		{"30 ohm", 13.5, 30, Regulating, 5, 5./30 + 0.005},
		{"30 ohm in dropout", 5, 30, Dropout, 3.95 * 30 / 30.2, 3.95/30.2 + 0.005},
		{"limited", 12, 2, CurrentLimited, 1.6, 0.805},
		{"just not limited", 12, 6.25, Regulating, 5, 0.805},
		{"short", 12, 0, CurrentLimited, 0, 0.805},
		{"short in dropout", 1.15, 0, Dropout, 0, 0.505},
		{"off", 1, 30, Off, 0, 0.005 / 1.05},
		{"off and open", 1, inf, Off, 0, 0.005 / 1.05},
		{"over", 21, 30, OverMaximum, 5, 5./30 + 0.005},
	} {
		t.Run(c.name, func(t *testing.T) {
			p := r.AtOhm(c.inV, c.ohm)
			require.Equal(t, c.want, p.State, p.State.String())
			require.InDelta(t, c.outV, p.OutputV, 1e-12)
			require.InDelta(t, c.inA, p.InputA, 1e-12)
			// Power taken is delivered or turned into heat.
			require.InDelta(t, p.InputV*p.InputA, p.LoadW()+p.DissipationW, 1e-12)
		})
	}
	// The least input regulates, in numbers that are exact: 5 V + 1 V + 0.5 ohm·0.5 A.
	exact := linear(t, LinearSpec{SetV: 5, DropoutV: 1, DropoutOhm: 0.5, MaxInputV: 20, CurrentLimitA: 1})
	require.Equal(t, Regulating, exact.At(6.25, 0.5).State)
	require.Equal(t, Regulating, exact.AtOhm(6.25, 10).State)
	require.Equal(t, Dropout, exact.At(math.Nextafter(6.25, 0), 0.5).State)
	require.Equal(t, Dropout, exact.AtOhm(math.Nextafter(6.25, 0), 10).State)
	// Half of a drop of less than a volt draws half of the own current, also where
	// the largest input lies below the drop, and is no more than it.
	low := linear(t, LinearSpec{SetV: 0.5, DropoutV: 0.8, QuiescentA: 0.004, MaxInputV: 0.625, CurrentLimitA: 1})
	require.InDelta(t, 0.002, low.At(0.4, 0.1).InputA, 1e-15)
	require.Equal(t, Off, low.At(0.625, 0.1).State)
	require.Equal(t, OverMaximum, low.At(0.7, 0.1).State)
	// A part without any drop, on a dead input.
	free := bench1117
	free.DropoutV = 0
	dead := linear(t, free)
	require.Equal(t, Point{State: Off}, dead.At(0, 0.1))
	require.Equal(t, Point{State: Off}, dead.AtOhm(0, 30))
	// Without any resistance a short takes what the limit gives.
	s := bench1117
	s.DropoutOhm = 0
	plain := linear(t, s)
	p := plain.AtOhm(12, 0)
	require.Equal(t, CurrentLimited, p.State)
	require.Equal(t, 0.8, p.LoadA)
}

func TestLinearUnknown(t *testing.T) {
	r := linear(t, bench1117)
	nan, inf := math.NaN(), math.Inf(1)
	for _, p := range []Point{r.At(-1, 0.1), r.At(nan, 0.1), r.At(inf, 0.1), r.At(12, -0.1), r.At(12, nan), r.At(12, inf), r.At(0.5, nan), r.At(0.5, -1),
		r.AtOhm(12, -1), r.AtOhm(12, nan), r.AtOhm(-1, 30), r.AtOhm(nan, 30), r.AtOhm(inf, 30), r.AtOhm(0.5, -1), r.AtOhm(0.5, nan),
		r.Shorted(12, 0, 0), r.Shorted(-1, 30, 0), r.Shorted(12, -1, 0), r.Shorted(12, 30, -1), r.Shorted(12, 30, nan), r.Shorted(12, nan, 1), r.Shorted(12, 30, inf),
		r.Shorted(math.MaxFloat64, 30, 0), r.Shorted(12, 30, math.MaxFloat64),
		Linear{}.At(12, 0.1), Linear{}.AtOhm(12, 30), Linear{}.Shorted(12, 30, 0), Linear{}.At(0, 0), Linear{}.AtOhm(0, 1)} {
		require.Equal(t, Unknown, p.State)
		for _, v := range []float64{p.InputV, p.InputA, p.OutputV, p.LoadA, p.DissipationW, p.HeadroomV(), p.LoadW(), p.EfficiencyFrac()} {
			require.True(t, math.IsNaN(v))
		}
	}
	lo, hi := Linear{}.BandV()
	require.True(t, math.IsNaN(lo) && math.IsNaN(hi))
	require.True(t, math.IsNaN(Linear{}.DropoutV(0)))
	require.True(t, math.IsNaN(r.DropoutV(0.81)))
	require.True(t, math.IsNaN(r.DropoutV(-0.1)))
	require.InDelta(t, 1.21, r.DropoutV(0.8), 1e-15)
	lo, hi = r.BandV()
	require.InDelta(t, 4.8, lo, 1e-12)
	require.InDelta(t, 5.2, hi, 1e-12)
	require.Equal(t, bench1117, r.Spec())
}

func TestLinearRefuses(t *testing.T) {
	for quantity, change := range map[string]func(*LinearSpec){
		"set output voltage":         func(s *LinearSpec) { s.SetV = 0.4 },
		"output tolerance":           func(s *LinearSpec) { s.BandPct = -1 },
		"dropout voltage":            func(s *LinearSpec) { s.DropoutV = -0.1 },
		"dropout resistance":         func(s *LinearSpec) { s.DropoutOhm = -1 },
		"quiescent current":          func(s *LinearSpec) { s.QuiescentA = 5 },
		"ground current ratio":       func(s *LinearSpec) { s.GroundRatio = 2 },
		"maximum input voltage":      func(s *LinearSpec) { s.MaxInputV = math.NaN() },
		"current limit":              func(s *LinearSpec) { s.CurrentLimitA = 800 },
		"rated junction temperature": func(s *LinearSpec) { s.MaxJunctionC = 398 },
		"shutdown temperature":       func(s *LinearSpec) { s.ShutdownC = 20 },
	} {
		s := bench1117
		change(&s)
		_, err := NewLinear(s)
		limittest.RefusesRange(t, err, quantity)
	}
	s := bench1117
	s.QuiescentA = 5
	_, err := NewLinear(s)
	require.ErrorContains(t, err, "milliamperes")
	s = bench1117
	s.MaxInputV = 5
	_, err = NewLinear(s)
	limittest.RefusesConflict(t, err, "only lowers")
	s = bench1117
	s.ShutdownC = 120
	_, err = NewLinear(s)
	limittest.RefusesConflict(t, err, "below its rating")
	s.MaxJunctionC = 0
	_, err = NewLinear(s)
	require.NoError(t, err)
	s.ShutdownC, s.MaxJunctionC = 125, 125
	_, err = NewLinear(s)
	require.NoError(t, err, "equal is allowed")
}

func TestShortedPart(t *testing.T) {
	r := linear(t, bench1117)
	p := r.Shorted(13.5, 30, 0.25)
	require.Equal(t, Shorted, p.State)
	require.InDelta(t, 13.5*30/30.25, p.OutputV, 1e-12)
	require.InDelta(t, 13.5/30.25, p.InputA, 1e-12)
	require.Equal(t, p.InputA, p.LoadA)
	require.InDelta(t, 13.5/30.25*13.5/30.25*0.25, p.DissipationW, 1e-12)
	open := r.Shorted(13.5, math.Inf(1), 0)
	require.Equal(t, 13.5, open.OutputV)
	require.Equal(t, 0.0, open.LoadA)
	require.Equal(t, 12.0/3, r.Shorted(12, 0, 3).LoadA)
	require.Equal(t, Point{State: Shorted}, r.Shorted(0, 30, 0))
}

func TestGroundCurrentOfTheLoad(t *testing.T) {
	s := bench1117
	s.GroundRatio = 0.02
	r := linear(t, s)
	p := r.At(12, 0.5)
	require.InDelta(t, 0.5+0.005+0.01, p.InputA, 1e-12)
	require.InDelta(t, 7*0.5+12*0.015, p.DissipationW, 1e-12)
	// The inverse functions know it too.
	require.InDelta(t, 0.5, r.LargestLoadA(12, p.DissipationW), 1e-12)
	require.InDelta(t, 12, r.LargestInputV(0.5, p.DissipationW), 1e-12)
}

func TestLargestLoadAndInput(t *testing.T) {
	r := linear(t, bench1117)
	nan := math.NaN()
	require.Equal(t, 0.8, r.LargestLoadA(6.5, 100), "the current limit")
	require.InDelta(t, 0.25, r.LargestLoadA(6.1, 100), 1e-12, "the resistive dropout")
	require.Equal(t, 0.0, r.LargestLoadA(6.04, 100), "in dropout even unloaded")
	require.InDelta(t, 0.0, r.LargestLoadA(6.05, 100), 1e-12, "just regulating unloaded")
	require.Equal(t, 0.0, r.LargestLoadA(12, 0.05), "its own current alone is too much")
	require.InDelta(t, (1-0.06)/7, r.LargestLoadA(12, 1), 1e-12)
	require.InDelta(t, (1-0.1)/15, r.LargestLoadA(20, 1), 1e-12)
	for _, v := range []float64{r.LargestLoadA(20.1, 1), r.LargestLoadA(-1, 1), r.LargestLoadA(nan, 1), r.LargestLoadA(12, -1), r.LargestLoadA(12, nan),
		r.LargestInputV(0.1, 0.01), r.LargestInputV(0.81, 5), r.LargestInputV(-0.1, 1), r.LargestInputV(0.1, -1), r.LargestInputV(nan, 1), r.LargestInputV(0.1, nan)} {
		require.True(t, math.IsNaN(v))
	}
	require.Equal(t, 20.0, r.LargestInputV(0.001, 10), "the maximum input")
	require.InDelta(t, (1+0.5)/0.105, r.LargestInputV(0.1, 1), 1e-12)
	s := bench1117
	s.QuiescentA = 0
	free := linear(t, s)
	require.Equal(t, 20.0, free.LargestInputV(0, 0), "a part that takes nothing")
	require.Equal(t, 0.8, free.LargestLoadA(12, 10))
	// A wire-like part at its own output needs no power.
	s.DropoutV, s.DropoutOhm = 0, 0
	none := linear(t, s)
	require.Equal(t, 0.8, none.LargestLoadA(5, 0))
	require.Equal(t, 0.0, r.LargestLoadA(0, 1), "no input is in dropout")
	require.InDelta(t, (3+5*0.8)/0.805, r.LargestInputV(0.8, 3), 1e-12, "at the current limit")
	// The largest input must leave the resistive dropout too: by hand 5 V + 1 V + 0.5 ohm·0.5 A.
	s = LinearSpec{SetV: 5, DropoutV: 1, DropoutOhm: 0.5, MaxInputV: 6.25, CurrentLimitA: 1}
	require.Equal(t, 6.25, linear(t, s).LargestInputV(0.5, 100), "the least that regulates and the most there may be")
	s.MaxInputV = 6.1
	require.True(t, math.IsNaN(linear(t, s).LargestInputV(0.5, 100)))
}

func TestThermalLimiting(t *testing.T) {
	r := linear(t, bench1117)
	c := Cooling{AmbientC: 40, ThetaKPerW: 100}
	free := r.AtOhm(13.5, 30)
	require.Greater(t, c.JunctionC(free), 150.0)
	p := r.AtHot(13.5, 30, c)
	require.Equal(t, ThermallyLimited, p.State)
	require.InDelta(t, 150, c.JunctionC(p), 1e-9, "it holds its shutdown temperature")
	require.InDelta(t, p.OutputV, p.LoadA*30, 1e-12)
	require.Less(t, p.OutputV, free.OutputV)
	// The lower of the two roots: less output means less heat there.
	require.Less(t, p.OutputV, 13.5/2)

	// As much heat as holds the shutdown temperature is not too much, in numbers that
	// are exact: (12 V - 4 V)·0.5 A = 4 W, 50 °C + 25 K/W·4 W = 150 °C.
	exact := linear(t, LinearSpec{SetV: 4, MaxInputV: 20, CurrentLimitA: 1, ShutdownC: 150})
	require.Equal(t, Regulating, exact.AtHot(12, 8, Cooling{AmbientC: 50, ThetaKPerW: 25}).State)

	cool := Cooling{AmbientC: 20, ThetaKPerW: 30}
	require.Equal(t, free, r.AtHot(13.5, 30, cool), "cool enough: nothing changes")
	// Its own current alone is too much: nothing is left for the load.
	hot := r.AtHot(13.5, 30, Cooling{AmbientC: 149.99, ThetaKPerW: 100})
	require.Equal(t, ThermallyLimited, hot.State)
	require.Equal(t, 0.0, hot.LoadA)
	// A short circuit limits by temperature too.
	short := r.AtHot(13.5, 0, c)
	require.Equal(t, ThermallyLimited, short.State)
	require.InDelta(t, 150, c.JunctionC(short), 1e-9)
	require.Equal(t, 0.0, short.OutputV)
	// With a ground current that follows the load.
	s := bench1117
	s.GroundRatio = 0.05
	g := linear(t, s)
	require.InDelta(t, 150, c.JunctionC(g.AtHot(13.5, 30, c)), 1e-9)

	for _, x := range []Point{r.AtHot(-1, 30, c), r.AtHot(13.5, 30, Cooling{}), r.AtHot(13.5, 30, Cooling{AmbientC: math.NaN(), ThetaKPerW: 10})} {
		require.Equal(t, Unknown, x.State)
	}
	require.Equal(t, OverMaximum, r.AtHot(25, 30, c).State)
	require.Equal(t, Off, r.AtHot(0.5, 30, c).State)
	s.ShutdownC = 0
	noShutdown := linear(t, s)
	require.Equal(t, Unknown, noShutdown.AtHot(13.5, 30, c).State)

	require.InDelta(t, 0.85, r.AllowedW(c), 1e-12)
	require.Equal(t, 0.0, r.AllowedW(Cooling{AmbientC: 130, ThetaKPerW: 100}))
	require.True(t, math.IsNaN(r.AllowedW(Cooling{})))
	s.MaxJunctionC = 0
	unrated := linear(t, s)
	require.True(t, math.IsNaN(unrated.AllowedW(c)))
	require.True(t, math.IsNaN(c.PowerW(math.NaN())))
	require.True(t, math.IsNaN(Cooling{ThetaKPerW: -1}.JunctionC(free)))
	limittest.RefusesRange(t, Cooling{AmbientC: 300, ThetaKPerW: 10}.Check(), "ambient temperature")
	limittest.RefusesRange(t, Cooling{AmbientC: 20}.Check(), "thermal resistance")
	require.NoError(t, c.Check())
}

func TestClosingATableOfWatts(t *testing.T) {
	// At the most there is, both roots meet at half the input.
	// The most heat there is, however it is rounded: the root of a rounding of 1e-16.
	for in := 0.1; in < 40; in += 0.37 {
		lo, hi := OutputsAtDissipationV(in, 7, in*in/28)
		require.InDelta(t, in/2, lo, 1e-6*in)
		require.InDelta(t, in/2, hi, 1e-6*in)
	}
	lo, hi := OutputsAtDissipationV(12, 30, 144./120)
	require.InDelta(t, 6, lo, 1e-7)
	require.InDelta(t, 6, hi, 1e-7)
	lo, hi = OutputsAtDissipationV(12, 30, 0)
	require.Equal(t, 0.0, lo)
	require.Equal(t, 12.0, hi)
	for _, c := range [][3]float64{{12, 30, 1.21}, {0, 30, 0}, {12, 0, 1}, {12, 30, -1}, {math.NaN(), 30, 1}, {12, math.NaN(), 1}, {12, 30, math.NaN()}, {math.Inf(1), 30, 1}} {
		lo, hi := OutputsAtDissipationV(c[0], c[1], c[2])
		require.True(t, math.IsNaN(lo) && math.IsNaN(hi), "%v", c)
		require.Error(t, CheckDissipation(c[0], c[1], c[2]))
	}
	limittest.RefusesConflict(t, CheckDissipation(12, 30, 1.21), "so much into heat")
	limittest.RefusesRange(t, CheckDissipation(13500, 30, 1), "input voltage")
	require.NoError(t, CheckDissipation(12, 30, 1.2))
}

func TestStateNames(t *testing.T) {
	require.Equal(t, "unknown", Unknown.String())
	require.Equal(t, "over maximum", OverMaximum.String())
	require.Equal(t, "pass element shorted", Shorted.String())
	require.Equal(t, "hold-limited", HoldLimited.String())
	require.Equal(t, "invalid state", State(99).String())
	require.Equal(t, "invalid state", (OverMaximum + 1).String())
	require.Len(t, stateNames, int(OverMaximum)+1)
	require.Equal(t, 0.0, Point{}.EfficiencyFrac())
}

// FuzzLinear: no panic; a known point conserves power and current, is within
// the part's limits and is monotone in the input.
func FuzzLinear(f *testing.F) {
	f.Add(12.0, 0.1, 30.0)
	f.Add(1.06, 0.5, 0.0)
	f.Add(6.0, 0.9, 1e9)
	f.Add(-1.0, math.NaN(), math.Inf(1))
	// The largest number counts as infinite, but for a resistance.
	f.Add(math.MaxFloat64, 0.1, 30.0)
	f.Add(12.0, math.MaxFloat64, math.MaxFloat64)
	f.Add(0.5, math.MaxFloat64, math.MaxFloat64)
	f.Fuzz(func(t *testing.T, inV, loadA, ohm float64) {
		r := linear(t, bench1117)
		valid := inV >= 0 && inV < math.MaxFloat64 && loadA >= 0 && loadA < math.MaxFloat64
		p := r.At(inV, loadA)
		if valid == (p.State == Unknown) || valid == math.IsNaN(p.OutputV) {
			t.Fatalf("At(%g, %g) = %+v", inV, loadA, p)
		}
		if valid && inV < 1e6 {
			check(t, r, p)
			if q := r.At(inV*1.01, loadA); q.OutputV < p.OutputV-1e-12 {
				t.Fatalf("output falls from %+v to %+v", p, q)
			}
		}
		q := r.AtOhm(inV, ohm)
		valid = inV >= 0 && inV < math.MaxFloat64 && ohm >= 0
		if valid == (q.State == Unknown) || valid == math.IsNaN(q.OutputV) {
			t.Fatalf("AtOhm(%g, %g) = %+v", inV, ohm, q)
		}
		if valid && inV < 1e6 {
			check(t, r, q)
			if ohm > 1e-3 && ohm < 1e9 && math.Abs(q.LoadA*ohm-q.OutputV) > 1e-9*(1+q.OutputV) {
				t.Fatalf("AtOhm(%g, %g) = %+v breaks Ohm's law", inV, ohm, q)
			}
		}
	})
}

func check(t *testing.T, r Linear, p Point) {
	t.Helper()
	if p.OutputV < 0 || p.OutputV > r.s.SetV || p.OutputV > p.InputV || p.LoadA < 0 || p.LoadA > r.s.CurrentLimitA+1e-15 || p.DissipationW < 0 {
		t.Fatalf("%+v is outside the part's limits", p)
	}
	if math.Abs(p.InputV*p.InputA-p.LoadW()-p.DissipationW) > 1e-9*(1+p.DissipationW) {
		t.Fatalf("%+v does not conserve power", p)
	}
}
