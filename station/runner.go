package station

import (
	"math"
	"math/rand/v2"
	"time"

	"github.com/stationphysics/stationphysics/battery"
	"github.com/stationphysics/stationphysics/power"
)

// A runner steps one station through one sunlight.
type runner struct {
	stage            *stage
	sun              *Sunlight
	run              *battery.Run
	running, stopped *drawTable
	snow             []bool // by day

	// What every step needs of the description and the chemistry.
	stepS           float64
	effFrac, limitA float64      // of the charger
	idleA           float64      // taken by the charger in the dark
	diode           *power.Diode // between charger and pack; nil for none
	steadyA         bool         // the supply takes a current that does not depend on the pack's voltage
	ownW            float64      // heat of the electronics in the box
	outside         bool         // the pack stands in the air
	frostC          float64      // lower end of the charge window
	stopV, restartV float64      // of the service; -Inf for no stop, NaN for a start as soon as the sun suffices
	bootWh          float64      // to start again

	state battery.State
	packV float64
	on    bool
	tally
}

// newRunner prepares a run. The plan must not miss anything a year needs.
func newRunner(p *Model, s *stage, seed uint64) (*runner, error) {
	sun := s.sun
	d := p.d
	pack := p.pack.v
	setV := *d.Charger.SetV
	if p.diodeAt("pack") {
		// At the end of charge the current has tapered off: 3 % of the
		// capacity an hour, the middle of the sheets' taper.
		setV -= p.diode.v.VoltageV(0.03 * pack.CapacityAh())
	}
	c := pack.DefaultControl(setV)
	c.Charger.MaxA = *d.Charger.LimitA
	if d.Pack.TripUnderV != nil {
		c.CutoffV = *d.Pack.TripUnderV * float64(pack.Series())
	}
	if d.Pack.ColdStop == nil || !*d.Pack.ColdStop {
		c.ColdStopC = -40
	}
	run, err := battery.NewRun(pack, c)
	if err != nil {
		return nil, err
	}
	lim := p.chem.v.Limits()
	n := float64(pack.Series())
	r := &runner{
		stage: s, sun: sun, run: run, snow: snowDays(d, sun.weather, seed), stepS: sun.weather.Step.Hours() * 3600,
		effFrac: *d.Charger.EffFrac, limitA: *d.Charger.LimitA, idleA: *d.Charger.IdleA,
		steadyA: p.supply.linearOnly(), outside: d.Pack.Place == "outside",
		frostC: lim.ChargeWindow.MinC, stopV: math.Inf(-1), restartV: math.NaN(), on: true,
	}
	if p.diodeAt("pack") {
		r.diode = &p.diode.v
	}
	if s.kPerW != 0 {
		r.ownW = *d.Box.OwnW
	}
	if v := d.Service; v != nil {
		r.stopV, r.restartV, r.bootWh = given(v.StopV, r.stopV), given(v.RestartV, r.restartV), deref(v.BootWh)
	}
	lowV, highV := 0.6*lim.Cutoff.V*n, max(1.15*lim.Overcharge.V*n, setV)
	p.tables.once.Do(func() {
		p.tables.running, p.tables.stopped, p.tables.stored = p.supply.table(lowV, highV, running), p.supply.table(lowV, highV, stopped), newStoredTable(pack)
	})
	r.running, r.stopped = p.tables.running, p.tables.stopped
	r.state = pack.At(*d.Pack.StartFrac)
	r.packV = pack.OpenCircuitV(r.state.SoC, 25)
	r.tally = newTally(sun, p.tables.stored, n, r.state.SoC)
	if lim.Overcharge.Exists() {
		r.overchargeV = lim.Overcharge.V
	}
	if p.box.ok() {
		r.year.WallWetH = s.wallWetH
	}
	return r, nil
}

// snowDays draws the days on which snow covers the panel. The draw depends on
// the seed and the day alone.
func snowDays(d *Description, w *Weather, seed uint64) []bool {
	perDay := w.perDay()
	out := make([]bool, (len(w.Steps)+perDay-1)/perDay)
	if d.Climate == nil || len(d.Climate.SnowFrac) != 12 {
		return out
	}
	rng := rand.New(rand.NewPCG(seed, 0x5d0_57a7))
	for i := range out {
		month := w.Steps[i*perDay].Start.Month() - 1
		out[i] = rng.Float64() < d.Climate.SnowFrac[month]
	}
	return out
}

// perDay counts the steps of a day.
func (w *Weather) perDay() int { return max(1, int(24*time.Hour/w.Step)) }

func (r *runner) runAll() *Year {
	steps := len(r.sun.weather.Steps)
	perDay := r.sun.weather.perDay()
	for day, snow := range r.snow {
		for i := day * perDay; i < min((day+1)*perDay, steps); i++ {
			if m := r.sun.month[i]; m != r.month {
				r.turn(m)
			}
			r.step(i, snow)
		}
	}
	return r.finish(r.sun.weather)
}

func (r *runner) step(i int, snow bool) {
	t := &r.tally
	stage := r.stage

	// Sun, panel, diode, charger.
	var panelW, diodeW, chargerW, packW float64
	if !snow {
		t.possibleW += stage.possibleW[i]
		if stage.panelW[i] != 0 {
			panelW, diodeW, chargerW, packW = r.offer(stage.panelW[i], stage.inW[i])
			t.offeredW += stage.panelW[i]
			t.refusedW += stage.panelW[i] - panelW // the limit
		}
	}

	// What the supply wants.
	table := r.running
	if !r.on {
		table = r.stopped
	}
	amps, servedW, heatW := table.at(r.packV)
	idleA, bootW := 0.0, 0.0
	if panelW == 0 {
		idleA = r.idleA
	}

	// Heat in the box, cells.
	airC := r.sun.weather.Steps[i].AirC
	boxC := stage.boxC[i]
	if stage.kPerW != 0 {
		boxC += stage.kPerW * (r.ownW + heatW + chargerW - stage.heatW[i])
	}
	cellC := boxC
	if r.outside {
		cellC = airC
	}
	switch {
	case cellC < -40:
		cellC = -40
	case cellC > 85:
		cellC = 85
	}

	if !r.on && r.mayRestart(packW) {
		r.on = true
		t.year.RestartCount++
		bootW = r.bootWh / t.stepH
		amps, servedW, _ = r.running.at(r.packV)
	}

	// What was wanted and there, as a share.
	share := 1.0
	var flow battery.Flow
	if packW == 0 && r.steadyA {
		// Linear regulators take the same current whatever the pack's voltage
		// does within the step.
		loadA := amps + idleA
		if bootW > 0 {
			loadA += bootW / r.packV
		}
		r.state, flow = r.run.Draw(r.state, loadA, r.stepS, cellC)
		if flow.Stop != battery.NoStop {
			share = shareOf(flow.OutAh, loadA*t.stepH)
		}
	} else {
		needW := (amps+idleA)*r.packV + bootW
		r.state, flow = r.run.Step(r.state, packW-needW, r.stepS, cellC)
		needWh, packWh := needW*t.stepH, packW*t.stepH
		// What the pack did not take goes back up the chain to the panel.
		takenFrac := 0.0
		if packW > 0 {
			takenFrac = min(1, (needWh+flow.InWh)/packWh)
			if flow.InWh > 0 && cellC < r.frostC {
				t.year.FrostChargeH += t.stepH
			}
			if flow.Stop == battery.Cold && packW > needW {
				t.year.ColdBlockedH += t.stepH
			}
		}
		t.refusedW += (1 - takenFrac) * panelW
		t.diodeW += takenFrac * diodeW
		t.chargerW += takenFrac * chargerW
		t.deliveredW += takenFrac * packW
		if needW > 0 {
			share = shareOf(takenFrac*packWh-flow.InWh+flow.OutWh, needWh)
		}
	}
	t.inWh += flow.InWh
	t.outWh += flow.OutWh
	t.servedW += share * servedW
	t.bootW += share * bootW
	t.idleW += share * idleA * r.packV
	t.unservedW += (1 - share) * amps * r.packV

	if flow.EndV > 0 {
		r.packV = flow.EndV
	}
	r.watchService(i, share)
	t.note(i, r.state.SoC, flow.EndV, airC, boxC, cellC)
}

// shareOf is the part of what was wanted that was there: all of it up to rounding.
func shareOf(had, wanted float64) float64 {
	if had >= (1-1e-9)*wanted {
		return 1
	}
	return had / wanted
}

// offer is what panel, diode and charger would give in a step if all of it were
// taken, from what the panel gives and what of it reaches the charger.
func (r *runner) offer(panel, in float64) (panelW, diodeW, chargerW, packW float64) {
	panelW, diodeW = panel, panel-in
	packW = in * r.effFrac
	// The current limit holds at the charger's output, which a diode keeps above the pack.
	outV := r.packV
	if r.diode != nil {
		outV += r.diode.VoltageV(r.limitA)
	}
	if most := r.limitA * outV; packW > most {
		k := most / packW
		panelW, diodeW, in, packW = panelW*k, diodeW*k, in*k, most
	}
	chargerW = in - packW
	if r.diode != nil {
		// The drop at a current too large by a twentieth or so gives it nearly right, and
		// that the drop.
		v := r.diode.VoltageV(packW / r.packV)
		v = r.diode.VoltageV(packW / (r.packV + v))
		lost := packW * v / (r.packV + v)
		diodeW += lost
		packW -= lost
	}
	return panelW, diodeW, chargerW, packW
}

// mayRestart says whether a stopped station starts in this step.
func (r *runner) mayRestart(offeredW float64) bool {
	if !math.IsNaN(r.restartV) {
		return r.packV >= r.restartV
	}
	// Without a stated threshold it starts as soon as the sun brings more
	// than running takes.
	amps, _, _ := r.running.at(r.packV)
	return offeredW > amps*r.packV
}

// watchService stops the station and keeps count of its outages.
func (r *runner) watchService(i int, share float64) {
	switch {
	case !r.on:
		r.lose(i, r.stepH)
	case share < 1:
		r.lose(i, (1-share)*r.stepH)
		r.on = false // the protection has opened or the controller has browned out
	default:
		r.endOutage()
		r.on = !(r.packV <= r.stopV)
	}
}
