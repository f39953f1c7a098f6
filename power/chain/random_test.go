package chain

import (
	"fmt"
	"math"
	"math/rand"
	"testing"

	"github.com/stretchr/testify/require"
)

// randomParts draws a circuit: a chain or bush of series parts from sources to
// loads, with parts across in either direction, sensible or not. All values are invented, within what a station has.
func randomParts(r *rand.Rand) []Part {
	n := 2 + r.Intn(11)
	node := func(k int) string { return fmt.Sprintf("n%d", k) }
	var ps []Part
	add := func(from, to string, m Model) {
		ps = append(ps, Part{Name: fmt.Sprintf("p%d %T", len(ps), m), From: from, To: to, Model: m})
	}
	lg := func(lo, hi float64) float64 { return lo * math.Pow(hi/lo, r.Float64()) }
	source := func(to string) {
		switch r.Intn(5) {
		case 0, 1:
			iph := lg(1e-4, 8)
			if r.Intn(6) == 0 {
				iph = 0
			}
			add("", to, Panel{PhotoA: iph, SaturationA: lg(1e-12, 1e-7), ThermalV: lg(0.3, 3), SeriesOhm: lg(0.01, 5) * float64(r.Intn(4)), ShuntOhm: lg(50, 5000) * float64(r.Intn(4))})
		case 2, 3:
			add("", to, Battery{OpenV: lg(2, 30), SeriesOhm: lg(1e-3, 1)})
		default:
			v := lg(3, 24)
			add("", to, Adapter{RatedV: v, NoLoadV: v * (1 + r.Float64()), RatedA: lg(0.1, 3), SeriesOhm: lg(0.01, 1), LimitA: float64(r.Intn(2)) * lg(0.3, 5)})
		}
	}
	series := func(a, b string) {
		switch r.Intn(13) {
		case 0, 1:
			add(a, b, Wire{Ohm: lg(1e-4, 10)})
		case 2:
			add(a, b, Fuse{RatedA: lg(0.1, 5), ColdOhm: lg(0.005, 1), MeltA2S: lg(0.01, 10)})
		case 3:
			add(a, b, Link{Fitted: r.Intn(2) == 0, Ohm: lg(0.005, 0.1)})
		case 4, 5:
			add(a, b, Diode{SaturationA: lg(1e-14, 1e-5), Ideality: 1 + r.Float64(), SeriesOhm: lg(0.001, 1) * float64(r.Intn(3)), JunctionC: -20 + 100*r.Float64(), ShortOhm: lg(0.001, 0.5)})
		case 6:
			add(a, b, IdealDiode{OnOhm: lg(0.001, 0.1), DropV: 0.02 * float64(r.Intn(2)), ShortOhm: 0.01})
		case 7, 8:
			add(a, b, Linear{SetV: lg(1.2, 12), DropoutV: lg(0.05, 1.3), DropoutOhm: lg(0.01, 2), IdleA: lg(1e-6, 1e-2), LimitA: float64(r.Intn(2)) * lg(0.05, 2),
				BackfeedV: float64(r.Intn(2)) * 0.6, ShortOhm: lg(0.01, 1), Trimmer: r.Intn(2) == 0, WiperOpenV: float64(r.Intn(2)) * lg(1, 20)})
		case 9, 10:
			m := StepDown{SetV: lg(1.2, 12), Efficiency: 0.6 + 0.39*r.Float64(), HeadroomV: lg(0.05, 1.5), PassOhm: lg(0.01, 1), IdleA: lg(1e-6, 1e-2), LimitA: float64(r.Intn(2)) * lg(0.2, 3),
				MinInputV: float64(r.Intn(2)) * lg(2, 8), BackfeedV: float64(r.Intn(2)) * 0.6, ShortOhm: lg(0.01, 1), Trimmer: r.Intn(2) == 0, WiperOpenV: float64(r.Intn(2)) * lg(1, 20)}
			if r.Intn(8) == 0 {
				i0 := lg(1e-6, 1e-3)
				m.EfficiencyAt = func(i float64) float64 { return 0.02 + 0.9*i/(i+i0) }
			}
			add(a, b, m)
		case 11:
			add(a, b, StepUp{SetV: lg(3, 24), Efficiency: 0.6 + 0.39*r.Float64(), DiodeV: 0.4, PassOhm: lg(0.01, 0.5), IdleA: lg(1e-6, 1e-2), LimitInA: lg(0.2, 3), MinInputV: lg(0.7, 4), ShortOhm: lg(0.01, 1)})
		default:
			add(a, b, Charger{SetV: lg(3.4, 14.6), LimitA: lg(0.1, 3), HoldV: float64(r.Intn(2)) * lg(4, 18), Efficiency: float64(r.Intn(2)) * (0.7 + 0.25*r.Float64()), HeadroomV: lg(0.05, 1.5), PassOhm: lg(0.01, 1),
				IdleA: lg(1e-5, 1e-2), BackfeedV: float64(r.Intn(2)) * 0.6, ShortOhm: lg(0.01, 1), Trimmer: r.Intn(2) == 0, WiperOpenV: float64(r.Intn(2)) * lg(3, 20), NoPackV: float64(r.Intn(2)) * lg(4, 20)})
		}
	}
	load := func(from string) {
		switch r.Intn(5) {
		case 0, 1:
			add(from, "", Resistor{Ohm: lg(3, 1e6)})
		case 2:
			add(from, "", CurrentLoad{LoadA: lg(1e-5, 1), KneeV: float64(r.Intn(2)) * lg(0.1, 2)})
		case 3:
			add(from, "", PowerLoad{LoadW: lg(1e-4, 10), BrownOutV: lg(0.5, 6)})
		default:
			add(from, "", Clamp{BreakdownV: lg(2, 30), SlopeOhm: lg(0.001, 1), MaxW: 1, MaxJ: 1})
		}
	}
	source(node(0))
	for k := 1; k < n; k++ {
		from := k - 1
		if r.Intn(3) == 0 {
			from = r.Intn(k)
		}
		series(node(from), node(k))
		if r.Intn(3) == 0 {
			load(node(k))
		}
		if r.Intn(5) == 0 {
			source(node(k))
		}
	}
	load(node(n - 1))
	for range r.Intn(3) {
		if a, b := r.Intn(n), r.Intn(n); a != b {
			series(node(a), node(b))
		}
	}
	return ps
}

// kirchhoff checks a point against every part's own law as its comment states
// it, the current sum of every node, and the sum of all powers.
func kirchhoff(t *testing.T, c *Circuit, p *Point, f Fault) {
	t.Helper()
	const tol = 2e-9   // A and V; the solver's own limits are a tenth of it
	const share = 1e-9 // ohm that let equal sources share a load
	sum := map[string]float64{}
	power, scale := 0.0, 0.0
	for _, q := range c.Parts() {
		in, out := p.InputA(q.Name), p.CurrentA(q.Name)
		va, vb := p.VoltageV(q.From), p.VoltageV(q.To)
		if q.Model.role() == roleLoad {
			out, vb = 0, 0
		}
		sum[q.From] -= in
		sum[q.To] += out
		power += p.PowerW(q.Name)
		scale = math.Max(scale, math.Abs(p.PowerW(q.Name)))
		require.InDelta(t, va*in-vb*out, p.PowerW(q.Name), 1e-9*(1+scale), q.Name)
		if q.Name == f.Part || f.Mode == PackDisconnected {
			continue // its law is another now
		}
		i, u := out, va-vb
		near := func(want, got float64, what string) {
			t.Helper()
			require.InDelta(t, want, got, tol*(1+math.Abs(want)), "%s %s: %+v", q.Name, what, q.Model)
		}
		switch m := q.Model.(type) {
		case Wire:
			near(u, i*m.Ohm, "drop")
		case Fuse:
			near(u, i*m.ColdOhm, "drop")
		case Link:
			if m.Fitted {
				near(u, i*m.Ohm, "drop")
			} else {
				near(0, i, "open")
			}
		case Resistor:
			near(va, in*m.Ohm, "drop")
		case Battery:
			near(m.OpenV-i*m.SeriesOhm, vb, "voltage")
		case Diode:
			vt := m.Ideality * 8.617333262e-5 * (m.JunctionC + 273.15)
			near(i, m.SaturationA*math.Expm1((u-i*m.SeriesOhm)/vt), "Shockley")
		case Panel:
			vj := vb + i*m.SeriesOhm
			want := m.PhotoA - m.SaturationA*math.Expm1(vj/m.ThermalV)
			if m.ShuntOhm > 0 {
				want -= vj / m.ShuntOhm
			}
			near(want, i, "single-diode curve")
		case CurrentLoad:
			knee := m.KneeV
			if knee == 0 {
				knee = 0.5
			}
			near(m.LoadA*math.Min(1, va/knee), in, "current")
		case PowerLoad:
			if va >= m.BrownOutV {
				near(m.LoadW/va, in, "current")
			} else {
				near(m.LoadW*va/(m.BrownOutV*m.BrownOutV), in, "current")
			}
		case Clamp:
			near(math.Max(0, va-m.BreakdownV), in*(m.SlopeOhm+share), "slope")
		case IdealDiode:
			require.GreaterOrEqual(t, i, -tol, q.Name)
			if i > tol {
				near(u, m.DropV+i*(m.OnOhm+share), "drop")
			} else {
				require.LessOrEqual(t, u, m.DropV+tol, q.Name)
			}
		case Adapter:
			require.GreaterOrEqual(t, i, -tol, q.Name)
			if m.LimitA > 0 {
				require.LessOrEqual(t, i, m.LimitA+tol, q.Name)
			}
			require.LessOrEqual(t, math.Min(i, 1)*(vb-(m.RatedV-i*m.SeriesOhm)), tol, "%s above its line", q.Name)
		case Linear:
			near(in, i+m.IdleA*math.Min(1, va), "input current")
			valveHolds(t, q.Name, p, valve{va, vb, i, m.SetV, m.DropoutV + m.DropoutOhm*i, m.LimitA, 0, m.BackfeedV, m.DropoutOhm})
		case Charger:
			valveHolds(t, q.Name, p, valve{va, vb, i, m.SetV, m.HeadroomV + m.PassOhm*i, m.LimitA, m.HoldV, m.BackfeedV, m.PassOhm})
			ratio := 1.0
			if i > 0 && m.Efficiency*va > vb {
				ratio = vb / (m.Efficiency * va)
			}
			near(in, i*ratio+m.IdleA*math.Min(1, va), "input current")
		case StepDown:
			valveHolds(t, q.Name, p, valve{va, vb, i, m.SetV, m.HeadroomV + m.PassOhm*i, m.LimitA, m.MinInputV, m.BackfeedV, m.PassOhm})
			eta := m.Efficiency
			if m.EfficiencyAt != nil {
				eta = m.EfficiencyAt(math.Max(i, 1e-9))
			}
			ratio := 1.0
			if i > 0 && va > 0 && eta*va > vb { // a dead input powers nothing
				ratio = vb / (eta * va)
			}
			near(in, i*ratio+m.IdleA*math.Min(1, va), "input current")
		case StepUp:
			require.GreaterOrEqual(t, i, -tol, q.Name)
			require.GreaterOrEqual(t, vb, va-m.DiodeV-(m.PassOhm+1e-9)*i-tol, "%s passes through", q.Name)
			ratio := 1.0
			if i > 0 {
				stepping := math.Max(0, math.Min(1, 1+(vb-va)/m.DiodeV))
				ratio += stepping * math.Max(0, vb/(m.Efficiency*math.Max(va, m.MinInputV/2))-1)
			}
			near(in, i*ratio+m.IdleA*math.Min(1, va), "input current")
			if p.Regime(q.Name) == Regulating {
				near(m.SetV, vb, "output")
			}
		}
	}
	for n, s := range sum {
		if n != "" {
			require.InDelta(t, 0, s, 1e-9*(1+scale), "current sum of node %s", n)
		}
	}
	require.InDelta(t, 0, power, 1e-9*(1+scale), "power over all parts")
}

type valve struct{ va, vb, i, set, drop, lim, hold, back, ohm float64 }

// valveHolds states what a regulator may and may not do.
func valveHolds(t *testing.T, name string, p *Point, v valve) {
	t.Helper()
	tol := 1e-9 * (2 + math.Abs(v.i)) // 1 nohm lets equal sources share a load
	switch r := p.Regime(name); {
	case v.i > 1e-9:
		require.LessOrEqual(t, v.vb, v.set+tol, "%s above its set voltage while giving", name)
		require.LessOrEqual(t, v.vb, v.va-v.drop+tol, "%s without headroom", name)
		if v.lim > 0 {
			require.LessOrEqual(t, v.i, v.lim+tol, name)
		}
		if v.hold > 0 {
			require.GreaterOrEqual(t, v.va, v.hold-tol, name)
		}
		reason := []float64{v.set - v.vb, v.va - v.drop - v.vb, math.Inf(1), math.Inf(1)}
		if v.lim > 0 {
			reason[2] = v.lim - v.i
		}
		if v.hold > 0 {
			reason[3] = v.va - v.hold
		}
		least := math.Min(math.Min(reason[0], reason[1]), math.Min(reason[2], reason[3]))
		require.LessOrEqual(t, least, tol, "%s holds back for no reason (%s)", name, r)
	case v.i < -1e-9:
		require.Positive(t, v.back, "%s feeds back though it blocks", name)
		require.InDelta(t, v.back-v.ohm*v.i, v.vb-v.va, tol, "%s drop backwards", name)
	default:
		if v.back > 0 {
			require.LessOrEqual(t, v.vb-v.va, v.back+tol, name)
		}
	}
}

// TestRandomCircuitsSolve is the claim that the solver ends at an operating
// point, and that it is one.
func TestRandomCircuitsSolve(t *testing.T) {
	count := 1500
	if testing.Short() {
		count = 200
	}
	points := 0
	for seed := range count {
		c, err := New(randomParts(rand.New(rand.NewSource(int64(seed)))), nil)
		require.NoError(t, err, "seed %d", seed)
		w := c.NewWorkspace()
		faults := c.Faults()
		for k := -1; k < len(faults); k += 4 {
			var f Fault
			if k >= 0 {
				f = faults[k]
				if fc := c.findFault(f); fc.unbounded || fc.unknown != "" {
					continue
				}
			}
			p, err := w.SolveFault(f)
			require.NoError(t, err, "seed %d, %s", seed, f)
			points++
			if !t.Run(fmt.Sprintf("seed %d, %s", seed, f), func(t *testing.T) { kirchhoff(t, c, p, f) }) {
				return
			}
		}
	}
	require.Greater(t, points, count)
}

func FuzzSolve(f *testing.F) {
	for _, seed := range []int64{0, 31, 153, 221, 823, 4017, 7976, 8328} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, seed int64) {
		c, err := New(randomParts(rand.New(rand.NewSource(seed))), nil)
		require.NoError(t, err)
		p, err := c.NewWorkspace().Solve()
		if err != nil {
			// None is known; should there be one, it has to say so, not to give
			// a wrong point.
			require.ErrorContains(t, err, "no operating point found near node")
			require.Nil(t, p)
			return
		}
		kirchhoff(t, c, p, Fault{})
	})
}

// TestStationsSolve varies every value of the invented station, night and weak
// sun and empty pack included, and tries every fault of each.
func TestStationsSolve(t *testing.T) {
	r := rand.New(rand.NewSource(9))
	lg := func(lo, hi float64) float64 { return lo * math.Pow(hi/lo, r.Float64()) }
	points, paths := 0, 0
	for range 600 {
		parts := stationParts()
		set := lg(3.4, 14)
		for k := range parts {
			switch m := parts[k].Model.(type) {
			case Panel:
				m.PhotoA = lg(1e-4, 4) * float64(r.Intn(5))
				m.ThermalV = lg(0.3, 2.2)
				parts[k].Model = m
			case Diode:
				m.SaturationA = lg(1e-12, 1e-5)
				parts[k].Model = m
			case Charger:
				m.SetV, m.LimitA, m.HoldV, m.Efficiency, m.NoPackV = set, lg(0.1, 3), float64(r.Intn(2))*lg(5, 18), float64(r.Intn(2))*0.9, set*lg(1, 1.5)
				parts[k].Model = m
			case Battery:
				m.OpenV, m.SeriesOhm = set*(0.8+0.2*r.Float64()), lg(0.01, 1)
				parts[k].Model = m
			case Adapter:
				m.RatedV = lg(5, 20)
				m.NoLoadV = m.RatedV * lg(1, 1.6)
				parts[k].Model = m
			case StepDown:
				m.MinInputV, m.LimitA, m.BackfeedV = float64(r.Intn(2))*lg(2, 6), float64(r.Intn(2))*lg(0.3, 3), float64(r.Intn(2))*0.6
				parts[k].Model = m
			case Linear:
				m.DropoutV, m.LimitA, m.BackfeedV = lg(0.1, 1.3), float64(r.Intn(2))*lg(0.1, 1), float64(r.Intn(2))*0.6
				parts[k].Model = m
			case PowerLoad:
				m.LoadW = lg(0.01, 5)
				parts[k].Model = m
			case CurrentLoad:
				m.LoadA = lg(1e-5, 0.3)
				parts[k].Model = m
			case Link:
				m.Fitted = r.Intn(2) == 0
				parts[k].Model = m
			}
		}
		c, err := New(parts, nil)
		require.NoError(t, err)
		w := c.NewWorkspace()
		for _, f := range append(c.Faults(), Fault{}) {
			p, err := w.SolveFault(f)
			require.NoError(t, err, "%s", f)
			points++
			if w.way > 0 {
				paths++
			}
			if f.Mode == NoFault || f.Mode == LinkFitted {
				kirchhoff(t, c, p, f)
			}
		}
	}
	t.Log(points, paths)
	require.Greater(t, points, 7000)
	require.Less(t, paths, points/4, "Newton's method alone does for most")
}
