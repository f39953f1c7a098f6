package chain

import (
	"math"
	"strconv"
	"strings"
)

// A localEffect is what the fault does at the failed part itself.
type localEffect struct {
	part           Part
	node           string
	beforeV, nowV  float64
	beforeA, nowA  float64
	known, isInput bool
}

func (l *localEffect) take(c *Circuit, healthy, p *Point, f *faultCase) {
	q := c.parts[f.part]
	l.node = q.To
	if l.node == "" {
		l.node, l.isInput = q.From, true
	}
	n := c.to[f.part]
	if l.isInput {
		n = c.from[f.part]
	}
	l.beforeV, l.nowV = healthy.volts[n], p.volts[n]
	l.beforeA, l.nowA = healthy.parts[f.part].out, p.parts[f.part].out
	l.known = true
}

// volts writes a voltage to the hundredth.
func volts(v float64) string { return strconv.FormatFloat(v, 'f', 2, 64) + " V" }

// three writes a number to three significant digits.
func three(v float64) string { return strconv.FormatFloat(v, 'g', 3, 64) }

// Item names the failed part.
func (r *Row) Item() string { return r.Fault.Part }

// FailureMode names the failure mode.
func (r *Row) FailureMode() string { return r.Fault.Mode.String() }

// LocalEffect says what happens at the failed part.
func (r *Row) LocalEffect() string {
	switch {
	case r.Fault.Mode == NoFault:
		return "none"
	case !r.local.known:
		return "not computed: " + r.Missing
	}
	l := &r.local
	return "node " + l.node + " from " + volts(l.beforeV) + " to " + volts(l.nowV) +
		", current from " + three(l.beforeA) + " A to " + three(l.nowA) + " A"
}

// EndEffect says what happens to the station: what is lost and by how much,
// what cannot be told and why, which supply fails, what fuses and clamps do.
func (r *Row) EndEffect() string {
	var says []string
	for k := range r.Harms {
		h := &r.Harms[k]
		name := h.Item
		if name == "" {
			name = "node " + h.Node
		}
		switch h.Verdict {
		case Lost:
			s := name + " lost: "
			if h.VoltageRatio > 1 {
				s += volts(h.VoltageV) + " is " + three(h.VoltageRatio) + " times its maximum"
			} else {
				s += three(h.PowerW) + " W is " + three(h.PowerRatio) + " times its maximum"
			}
			says = append(says, s)
		case CannotTell:
			if len(says) == 0 || !strings.HasSuffix(says[len(says)-1], h.Reason) {
				says = append(says, name+" cannot tell: "+h.Reason)
			}
		}
	}
	for _, f := range r.Fuses {
		switch {
		case f.OpensS == inf:
			says = append(says, f.Part+" at "+three(f.Ratio)+" times its rating need not open")
		case math.IsNaN(f.OpensS):
			says = append(says, f.Part+" opens, when cannot be told")
		default:
			says = append(says, f.Part+" opens within "+three(f.OpensS)+" s")
		}
	}
	for _, k := range r.Clamps {
		says = append(says, k.Part+" takes "+three(k.PowerW)+" W: "+k.Reason)
	}
	if len(r.Down) > 0 {
		says = append(says, "supply fails at "+strings.Join(r.Down, ", "))
	}
	if says == nil {
		return "none"
	}
	return strings.Join(says, "; ")
}

var detection = [...]string{
	NoFault:          "",
	PassShort:        "output above its set voltage and following the input",
	SwitchShort:      "output above its set voltage (step-down, charger) or gone with the input loaded (step-up)",
	DiodeShort:       "no drop across the diode; current back into the source at night",
	DiodeOpen:        "source at its open-circuit voltage and nothing behind it",
	WiperOpen:        "output off its set voltage, jumping when the trimmer is touched",
	LinkFitted:       "inspection before power is applied",
	LinkMissing:      "inspection before power is applied; what hangs on it is dead",
	Unregulated:      "open-circuit voltage of the adapter, measured before it is plugged in",
	PackDisconnected: "pack node at the charger's voltage by day and dead by night",
}

// Detection says how the fault shows.
func (r *Row) Detection() string {
	if int(r.Fault.Mode) >= len(detection) {
		return ""
	}
	return detection[r.Fault.Mode]
}

// Provision gives the barrier in words: the compensating provision of IEC
// 60812.
func (r *Row) Provision() string { return r.Barrier.String() }

// String gives the barrier in one line.
func (b *Barrier) String() string {
	var s string
	switch b.Kind {
	case NotNeeded:
		return "not needed"
	case NoBarrier:
		s = "no single clamp: " + b.Reason
	default:
		s = "clamp at node " + b.Node + " between " + volts(b.AboveV) + " and " + volts(b.BelowV)
		if b.Kind == FuseAndClamp {
			if b.Fuse != "" {
				s += " behind fuse " + b.Fuse
			} else {
				s += " behind a fuse of " + three(b.FuseA) + " A after " + b.Before
			}
			s += ": " + three(b.ClampA) + " A"
			if !math.IsNaN(b.OpensS) {
				s += " for at most " + three(b.OpensS) + " s, " + three(b.EnergyJ) + " J"
			}
		} else {
			s += ": " + three(b.ClampA) + " A, " + three(b.ClampW) + " W for good"
		}
		s += " (" + b.Outlives.String() + ": " + b.Reason + ")"
	}
	if len(b.Remaining) > 0 {
		s += "; still lost: " + strings.Join(b.Remaining, ", ")
	}
	if b.Instead != "" {
		s += "; or " + b.Instead
	}
	return s
}
