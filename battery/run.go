package battery

import (
	"math"

	"github.com/stationphysics/stationphysics"
	"github.com/stationphysics/stationphysics/internal/limit"
)

// A Control says how a station treats its pack.
type Control struct {
	Charger   Charger // the charger's voltage, current and resistance
	CutoffV   float64 // the load is dropped when the terminals fall to this, V of the pack; 0 for never
	ColdStopC float64 // no charging below this cell temperature, -40..85
	HotStopC  float64 // no charging above it
}

// DefaultControl returns a control for a pack with a set voltage: the current
// limit, cut-off (the safer one) and charge window of its chemistry.
func (p *Pack) DefaultControl(setV float64) Control {
	l := &limits[p.cell.Chemistry]
	return Control{
		Charger: Charger{SetV: setV, MaxA: l.MaxCharge.PerH * p.CapacityAh()},
		CutoffV: l.Safer.V * float64(p.series), ColdStopC: l.ChargeWindow.MinC, HotStopC: l.ChargeWindow.MaxC,
	}
}

// A Run is a pack under a control, to be stepped through a year. It is not
// changed by use and is safe for use by several goroutines, each with its own
// State.
type Run struct {
	p *Pack
	c Control
}

var (
	maxARange   = limit.Range{Quantity: "most current of the charger", Unit: "A", Min: 0, Max: 1000, Slips: []limit.Slip{{Min: 1000.001, Max: 1e6, Looks: "milliamperes"}}}
	seriesRange = limit.Range{Quantity: "resistance of charger and wire", Unit: "ohm", Min: 0, Max: 100}
)

func errNoPack() error {
	return &stationphysics.RangeError{Quantity: "number of packs", Value: 0, Min: 1, Max: 1}
}

// NewRun checks a control against its pack. The set voltage must lie between
// half the nominal voltage and 1.6 times it, which tells pack volts from cell
// volts: outside, the error says what it looks like.
func NewRun(p *Pack, c Control) (*Run, error) {
	if p == nil {
		return nil, errNoPack()
	}
	if err := limit.First(checkSetV(p.cell.Chemistry, p.series, c.Charger.SetV), maxARange.Check(c.Charger.MaxA), seriesRange.Check(c.Charger.SeriesOhm),
		survivalRange.Check(c.ColdStopC), survivalRange.Check(c.HotStopC)); err != nil {
		return nil, err
	}
	cut := limit.Range{Quantity: "cut-off voltage of the pack", Unit: "V", Min: 0, Max: c.Charger.SetV}
	if err := cut.Check(c.CutoffV); err != nil {
		return nil, err
	}
	if c.HotStopC < c.ColdStopC {
		return nil, &stationphysics.ConflictError{Quantities: []string{"cold stop", "hot stop"}, Values: []float64{c.ColdStopC, c.HotStopC},
			Units: []string{"°C", "°C"}, Rule: "the hot stop cannot lie below the cold stop"}
	}
	return &Run{p: p, c: c}, nil
}

// checkSetV refuses a pack voltage that cannot be one of cells of a chemistry
// in series, and recognises cell volts given as pack volts and the reverse.
func checkSetV(c Chemistry, cells int, setV float64) error {
	n := float64(cells)
	nominal := limits[c].Nominal.V
	r := limit.Range{Quantity: "set voltage of the pack", Unit: "V", Min: milli(0.5 * nominal * n), Max: milli(1.6 * nominal * n)}
	// A voltage that would be right for one cell.
	if setV >= 0.9*nominal && setV <= 1.6*nominal && cells > 1 {
		r.Slips = append(r.Slips, limit.Slip{Min: setV, Max: setV, Looks: "volts of one cell"})
	}
	if setV >= 0.9*nominal*n*1000 && setV <= 1.6*nominal*n*1000 {
		r.Slips = append(r.Slips, limit.Slip{Min: setV, Max: setV, Looks: "millivolts"})
	}
	return r.Check(setV)
}

// milli rounds to a thousandth, for a limit that is to be read.
func milli(x float64) float64 { return math.Round(x*1000) / 1000 }

// Pack returns the pack of the run.
func (r *Run) Pack() *Pack { return r.p }

// Control returns its control.
func (r *Run) Control() Control { return r.c }

// full is Step for every case.
func (r *Run) full(s State, netW, dtS, tempC float64) (State, Flow) {
	var w work
	if !w.begin(r.p, s, dtS, tempC) || !finite(netW) {
		return invalid()
	}
	switch {
	case netW > 0:
		return r.charge(&w, netW, dtS, tempC)
	case netW < 0:
		return r.discharge(&w, netW, dtS, tempC)
	}
	v := w.run(0, dtS)
	return w.finish(dtS, v, 0, NoStop)
}

func (r *Run) charge(w *work, netW, dtS, tempC float64) (State, Flow) {
	if tempC < r.c.ColdStopC || tempC > r.c.HotStopC {
		stop := Cold
		if tempC > r.c.HotStopC {
			stop = Hot
		}
		v := w.run(0, dtS)
		return w.finish(dtS, v, 0, stop)
	}
	i, ok := w.powerCurrent(netW, dtS)
	c := &r.c.Charger
	if !ok || i > c.MaxA {
		i = c.MaxA
	}
	// As long as the terminals stay below what the charger holds at this current,
	// it gives the current. Both ends of the step tell: the open-circuit voltage
	// only rises and the slow one goes one way, so that in between the voltage
	// can pass the ends by no more than a bend of the curve makes.
	target := c.SetV - i*c.SeriesOhm
	if w.u+i*w.r0+w.slow <= target {
		if m := w.try(i, dtS); m.endV <= target {
			return w.finish(dtS, w.book(&m), i, NoStop)
		}
	}
	h := held{work: w, setV: c.SetV, seriesR: c.SeriesOhm, highA: i}
	v, i := h.regulate(dtS)
	return w.finish(dtS, v, i, Full)
}

func (r *Run) discharge(w *work, netW, dtS, tempC float64) (State, Flow) {
	floor := 1 - r.p.usableAt(tempC)
	if w.soc <= floor {
		v := w.run(0, dtS)
		return w.finish(dtS, v, 0, Empty)
	}
	i, whole := w.powerCurrent(netW, dtS)
	if whole {
		return r.draw(w, i, floor, dtS)
	}
	// Not for the whole step: perhaps until it ends.
	i, ok := w.powerCurrent(netW, min(dtS, 1e-3))
	if !ok {
		v := w.run(0, dtS)
		return w.finish(dtS, v, 0, Weak)
	}
	s, f := r.draw(w, i, floor, dtS)
	if f.Stop == NoStop {
		f.Stop = Weak // neither empty nor at the cut-off, but the voltage fell
	}
	return s, f
}

// draw takes a current i, below 0, out of a pack above its floor.
func (r *Run) draw(w *work, i, floor, dtS float64) (State, Flow) {
	if w.u+i*w.r0+w.slow < r.c.CutoffV {
		v := w.run(0, dtS)
		return w.finish(dtS, v, 0, Cutoff)
	}
	m := w.try(i, dtS)
	if m.soc >= floor && m.endV >= r.c.CutoffV {
		return w.finish(dtS, w.book(&m), i, NoStop)
	}
	// Find where it ends, and rest for what is left of the step: a load that has
	// been dropped does not come back within a step. The charge comes down
	// evenly, so that the instant of empty is a division; the cut-off voltage is
	// found on the way there.
	used, stop := dtS, Cutoff
	if rate := -w.gain(i, 1) / r.p.coulomb; rate > 0 {
		if t := (w.soc - floor) / rate; t < used {
			used, stop = t, Empty
		}
	}
	spent, cut := w.runUntil(i, used, r.c.CutoffV, false)
	if cut {
		stop = Cutoff
	}
	v := w.u + i*w.r0 + w.slow
	if left := dtS - spent; left > 0 {
		w.leak = min(w.leak, max(0, w.soc)*r.p.coulomb/left) // not more than is left, as in begin
		v, i = w.run(0, left), 0
	}
	return w.finish(dtS, v, i, stop)
}

// drawFull is Draw for every case.
func (r *Run) drawFull(s State, loadA, dtS, tempC float64) (State, Flow) {
	var w work
	if !w.begin(r.p, s, dtS, tempC) || !(loadA >= 0) || !finite(loadA) {
		return invalid()
	}
	floor := 1 - r.p.usableAt(tempC)
	switch {
	case loadA == 0:
		v := w.run(0, dtS)
		return w.finish(dtS, v, 0, NoStop)
	case w.soc <= floor:
		v := w.run(0, dtS)
		return w.finish(dtS, v, 0, Empty)
	}
	return r.draw(&w, -loadA, floor, dtS)
}
