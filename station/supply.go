package station

import (
	"fmt"
	"math"
	"slices"

	"github.com/stationphysics/stationphysics/power"
)

// packNodes are the names under which a regulator is fed from the pack's bus.
var packNodes = []string{"pack", "charger"}

// adapterNode is the node of the mains adapter.
const adapterNode = "adapter"

// An atom is one value of a current with its probability.
type atom struct{ prob, amps float64 }

// maxAtoms bounds the number of values a rail's current is described by.
const maxAtoms = 256

// A supply is the tree of regulators and loads below the pack. All its
// regulators and loads are complete; what is not is in missing.
type supply struct {
	regs    []feeder
	loads   []loadOn
	missing []string
	half    []string  // rails of regulators that lack a line
	errs    []Finding // regulators that contradict themselves
}

type feeder struct {
	name       string
	index      int // in the description
	from, rail string
	outV       float64
	linear     power.Linear
	converter  power.Converter
	isLinear   bool
}

type loadOn struct {
	name    string
	index   int
	rail    string
	pattern power.Load
	asleepA float64
	awakeA  float64
	awakeS  float64
}

func (f *feeder) at(inputV, loadA float64) power.Point {
	if f.isLinear {
		return f.linear.At(inputV, loadA)
	}
	return f.converter.At(inputV, loadA)
}

// newSupply builds the tree from a resolved description.
func newSupply(d *Description) *supply {
	s := &supply{}
	if len(d.Loads) == 0 {
		s.missing = append(s.missing, "load")
	}
	for i, r := range d.Regulators {
		key := func(k string) string { return fmt.Sprintf("regulator[%d].%s", i, k) }
		need := []string{key("kind"), key("from"), key("rail"), key("out_v"), key("idle_a"), key("input_max_v")}
		switch r.Kind {
		case "linear":
			need = append(need, key("dropout_v"))
		case "step-down", "step-up":
			need = append(need, key("efficiency_at_a"))
		}
		if miss := d.Missing(need...); len(miss) > 0 {
			s.missing = append(s.missing, miss...)
			s.half = append(s.half, r.Rail)
			continue
		}
		f := feeder{name: r.Name, index: i, from: r.From, rail: r.Rail, outV: *r.OutV, isLinear: r.Kind == "linear"}
		var err error
		if f.isLinear {
			f.linear, err = power.NewLinear(power.LinearSpec{
				SetV: *r.OutV, DropoutV: *r.DropoutV, QuiescentA: *r.IdleA, MaxInputV: *r.InputMaxV, CurrentLimitA: 20,
			})
		} else {
			f.converter, err = power.NewConverter(converterSpec(d, r))
		}
		if err != nil {
			bad := finding(Change, TopicSet, "regulator "+r.Name)
			bad.Reason = err.Error()
			bad.Action = fmt.Sprintf("correct regulator[%d] in the description, or choose another part", i)
			bad.Sure = "follows from the numbers stated"
			s.errs = append(s.errs, bad)
			s.missing = append(s.missing, fmt.Sprintf("regulator[%d] (its numbers contradict each other)", i))
			continue
		}
		s.regs = append(s.regs, f)
	}
	for i, l := range d.Loads {
		key := func(k string) string { return fmt.Sprintf("load[%d].%s", i, k) }
		if miss := d.Missing(append([]string{key("rail"), key("asleep_a")}, phaseKeys(l, key)...)...); len(miss) > 0 {
			s.missing = append(s.missing, miss...)
			continue
		}
		on, err := newLoad(l)
		if err != nil {
			bad := finding(Change, TopicYear, "load "+l.Name)
			bad.Reason = err.Error()
			bad.Action = fmt.Sprintf("correct load[%d] in the description", i)
			bad.Sure = "follows from the numbers stated"
			s.errs = append(s.errs, bad)
			s.missing = append(s.missing, fmt.Sprintf("load[%d] (its numbers contradict each other)", i))
			continue
		}
		on.index = i
		s.loads = append(s.loads, on)
	}
	return s
}

// phaseKeys are the lines that the current and the time of a load's phases ask
// for: a current without its seconds, or seconds without a period, would count
// as nothing.
func phaseKeys(l *Load, key func(string) string) []string {
	var need []string
	phase := func(amps, seconds *float64, name string) {
		if deref(amps) > 0 || deref(seconds) > 0 {
			need = append(need, key(name+"_a"), key(name+"_s"), key("period_s"))
		}
	}
	phase(l.AwakeA, l.AwakeS, "awake")
	phase(l.PeakA, l.PeakS, "peak")
	return need
}

func converterSpec(d *Description, r *Regulator) power.ConverterSpec {
	spec := power.ConverterSpec{
		OutputV: *r.OutV, StepUp: r.Kind == "step-up", MaxInputV: *r.InputMaxV, QuiescentA: *r.IdleA, LimitA: 20,
		CurveInputV: 0.75 * *r.InputMaxV, IdleIsSteady: true,
	}
	if r.InputMinV != nil {
		spec.MinInputV = *r.InputMinV
	}
	if r.DropoutV != nil {
		spec.HeadroomV = *r.DropoutV
	}
	if d.Charger != nil && d.Charger.SetV != nil {
		// The efficiency was most likely measured on this bus.
		spec.CurveInputV = math.Min(*d.Charger.SetV, *r.InputMaxV)
	}
	for _, p := range r.EffAtA {
		spec.Curve = append(spec.Curve, power.EfficiencyPoint{LoadA: p[0], EfficiencyFrac: p[1]})
	}
	return spec
}

func newLoad(l *Load) (loadOn, error) {
	get := func(p *float64) float64 {
		if p == nil {
			return 0
		}
		return *p
	}
	on := loadOn{name: l.Name, rail: l.Rail, asleepA: get(l.AsleepA), awakeA: get(l.AwakeA), awakeS: get(l.AwakeS)}
	spec := power.LoadSpec{AsleepA: on.asleepA, PeriodS: get(l.PeriodS)}
	if spec.PeriodS == 0 {
		spec.PeriodS = 3600
	}
	if get(l.AwakeS) > 0 {
		spec.Phases = append(spec.Phases, power.LoadPhase{Name: "awake", CurrentA: get(l.AwakeA), DurationS: get(l.AwakeS), RepeatCount: 1})
	}
	if get(l.PeakS) > 0 {
		spec.Phases = append(spec.Phases, power.LoadPhase{Name: "peak", CurrentA: get(l.PeakA), DurationS: get(l.PeakS), RepeatCount: 1})
	}
	if get(l.RetryS) > 0 && get(l.AwayFrac) > 0 {
		spec.Phases = append(spec.Phases, power.LoadPhase{Name: "retry", CurrentA: get(l.AwakeA), DurationS: get(l.RetryS), RepeatCount: get(l.AwayFrac)})
	}
	var err error
	on.pattern, err = power.NewLoad(spec)
	return on, err
}

// A mode says what the loads do.
type mode uint8

const (
	running   mode = iota // each load in its pattern
	stopped               // all asleep, after a low-voltage stop
	sustained             // awake for as long as it takes parts to get warm
)

// warmS is how long a current must last to warm a regulator: a minute is a few
// time constants of a small package and its copper (common practice, no
// published source). Shorter phases count by their mean.
const warmS = 60

func (l *loadOn) atoms(m mode) []atom {
	switch {
	case m == stopped:
		return []atom{{1, l.asleepA}}
	case m == sustained && l.awakeS >= warmS:
		return []atom{{1, math.Max(l.awakeA, l.pattern.MeanA())}}
	case m == sustained:
		return []atom{{1, l.pattern.MeanA()}}
	}
	spec := l.pattern.Spec()
	out := []atom{{l.pattern.AsleepFrac(), spec.AsleepA}}
	for _, p := range spec.Phases {
		out = append(out, atom{p.DurationS * p.RepeatCount / spec.PeriodS, p.CurrentA})
	}
	return out
}

// A draw is what the supply takes from the pack at one pack voltage.
type draw struct {
	packA   float64   // mean current out of the pack
	servedW float64   // mean power at the loads
	heatW   []float64 // mean heat of each regulator, in the order of supply.regs
	blind   bool      // a regulator answers nothing at this input
}

// at computes the draw at a pack voltage.
func (s *supply) at(packV float64, m mode) draw { return s.below("", packV, m) }

// below computes the draw from a node at its voltage; "" stands for the pack's bus.
// Loads are independent of each other in time, so that a rail's current has the product
// of their probabilities, and each value goes through the regulator's own input current:
// one efficiency for all would be wrong by the part that idles.
func (s *supply) below(node string, volts float64, m mode) draw {
	d := draw{heatW: make([]float64, len(s.regs))}
	top := s.rail(node, volts, m, &d, 0)
	for _, a := range top {
		d.packA += a.prob * a.amps
	}
	return d
}

// rail returns the distribution of the current drawn from a node; "" stands for
// the pack's bus.
func (s *supply) rail(name string, volts float64, m mode, d *draw, depth int) []atom {
	dist := []atom{{1, 0}}
	if depth > len(s.regs) {
		d.blind = true // regulators that feed each other in a circle
		return dist
	}
	is := func(n string) bool {
		if name == "" {
			return slices.Contains(packNodes, n)
		}
		return n == name
	}
	for i := range s.loads {
		if l := &s.loads[i]; is(l.rail) {
			as := l.atoms(m)
			for _, a := range as {
				d.servedW += a.prob * a.amps * volts
			}
			dist = convolve(dist, as)
		}
	}
	for i := range s.regs {
		f := &s.regs[i]
		if !is(f.from) {
			continue
		}
		below := s.rail(f.rail, f.railV(volts), m, d, depth+1)
		in := make([]atom, len(below))
		for k, a := range below {
			p := f.at(volts, a.amps)
			if math.IsNaN(p.InputA) {
				d.blind = true
				continue
			}
			in[k] = atom{a.prob, p.InputA}
			d.heatW[i] += a.prob * p.DissipationW
		}
		dist = convolve(dist, in)
	}
	return dist
}

// railV is the voltage of a regulator's rail: the set one, or where the input is too low
// for it, or a step-up part passes its input through, what is left of the input. The parts
// of a description drop the same at every load.
func (f *feeder) railV(inputV float64) float64 {
	switch p := f.at(inputV, 0); p.State {
	case power.Off, power.Dropout, power.PassThrough:
		return p.OutputV
	}
	return f.outV
}

// convolve gives the distribution of the sum of two independent currents.
func convolve(a, b []atom) []atom {
	out := make([]atom, 0, len(a)*len(b))
	for _, x := range a {
		for _, y := range b {
			if p := x.prob * y.prob; p > 0 {
				out = append(out, atom{p, x.amps + y.amps})
			}
		}
	}
	slices.SortFunc(out, func(x, y atom) int {
		switch {
		case x.amps < y.amps:
			return -1
		case x.amps > y.amps:
			return 1
		}
		return 0
	})
	merged := out[:0]
	for _, x := range out {
		if n := len(merged); n > 0 && merged[n-1].amps == x.amps {
			merged[n-1].prob += x.prob
			continue
		}
		merged = append(merged, x)
	}
	for len(merged) > maxAtoms {
		merged = halve(merged)
	}
	return merged
}

// halve joins neighbours at their common mean, which keeps the mean current.
func halve(as []atom) []atom {
	out := as[:0]
	for i := 0; i+1 < len(as); i += 2 {
		p := as[i].prob + as[i+1].prob
		out = append(out, atom{p, (as[i].prob*as[i].amps + as[i+1].prob*as[i+1].amps) / p})
	}
	if len(as)%2 == 1 {
		out = append(out, as[len(as)-1])
	}
	return out
}

// feeds returns the nodes to which the given ones lead through the regulators,
// themselves included.
func (s *supply) feeds(nodes ...string) map[string]bool {
	out := map[string]bool{}
	for _, n := range nodes {
		out[n] = true
	}
	for range s.regs {
		for i := range s.regs {
			if f := &s.regs[i]; out[f.from] {
				out[f.rail] = true
			}
		}
	}
	return out
}

// fromPack are the nodes below the pack, with those below a regulator that is still
// to be described.
func (s *supply) fromPack() map[string]bool { return s.feeds(slices.Concat(packNodes, s.half)...) }

// makes reports whether a regulator makes a rail.
func (s *supply) makes(rail string) bool {
	return slices.ContainsFunc(s.regs, func(f feeder) bool { return f.rail == rail })
}

// inputV is the voltage at the node that feeds a regulator, with that of the source
// it hangs on in the end; NaN if it hangs on none.
func (s *supply) inputV(f *feeder, sourceV float64) float64 {
	var at func(node string, depth int) float64
	at = func(node string, depth int) float64 {
		if node == adapterNode || slices.Contains(packNodes, node) {
			return sourceV
		}
		for i := range s.regs {
			if g := &s.regs[i]; g.rail == node && depth < len(s.regs) {
				return g.railV(at(g.from, depth+1))
			}
		}
		return math.NaN()
	}
	return at(f.from, 0)
}

// linearOnly reports whether only linear regulators and loads hang on the
// pack's bus itself.
func (s *supply) linearOnly() bool {
	for i := range s.regs {
		if f := &s.regs[i]; !f.isLinear && slices.Contains(packNodes, f.from) {
			return false
		}
	}
	return true
}
