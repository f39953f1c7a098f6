package station

import (
	"math"
	"math/rand/v2"
	"time"

	"github.com/stationphysics/stationphysics/battery"
)

// A runner steps one station through one sunlight.
type runner struct {
	p        *Model
	stage    *stage
	sun      *Sunlight
	run      *battery.Run
	pack     *battery.Pack
	running  *drawTable
	asleep   *drawTable
	stepH    float64
	energyAt []float64 // stored energy by state of charge, Wh
	snow     []bool    // by day
	year     *Year

	overchargeV, frostC, series float64 // of the chemistry, kept at hand
	steadyA                     bool    // the supply takes a current that does not depend on the pack's voltage

	state   battery.State
	packV   float64
	on      bool
	lostRun float64
	lostAt  time.Time
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
	r := &runner{p: p, stage: s, sun: sun, run: run, pack: pack, stepH: sun.weather.Step.Hours(), on: true}
	lim := p.chem.v.Limits()
	n := float64(pack.Series())
	r.steadyA = p.supply.linearOnly()
	r.series, r.frostC, r.overchargeV = n, lim.ChargeWindow.MinC, math.Inf(1)
	if lim.Overcharge.Exists() {
		r.overchargeV = lim.Overcharge.V
	}
	lowV, highV := 0.6*lim.Cutoff.V*n, max(1.15*lim.Overcharge.V*n, setV)
	p.draws.once.Do(func() {
		p.draws.running, p.draws.stopped = p.supply.table(lowV, highV, running), p.supply.table(lowV, highV, stopped)
	})
	r.running, r.asleep = p.draws.running, p.draws.stopped
	r.state = pack.At(*d.Pack.StartFrac)
	r.packV = pack.OpenCircuitV(r.state.SoC, 25)
	r.snow = snowDays(d, sun.weather, seed)
	r.year = &Year{
		Source: sun.weather.Source, LowestSoC: r.state.SoC, HottestBoxC: math.Inf(-1), HottestCellC: math.Inf(-1), ColdestCellC: math.Inf(1),
		WallWetH: math.NaN(), HiddenBeamH: sun.HiddenBeamH, BeamH: sun.BeamH,
	}
	if p.box.ok() {
		r.year.WallWetH = s.wallWetH
	}
	for m := range r.year.Months {
		r.year.Months[m].LowestSoC, r.year.Months[m].LowestAirC = math.NaN(), math.NaN()
	}
	return r, nil
}

// snowDays draws the days on which snow covers the panel. The draw depends on
// the seed and the day alone.
func snowDays(d *Description, w *Weather, seed uint64) []bool {
	if d.Climate == nil || len(d.Climate.SnowFrac) != 12 {
		return nil
	}
	rng := rand.New(rand.NewPCG(seed, 0x5d0_57a7))
	perDay := max(1, int(24*time.Hour/w.Step))
	out := make([]bool, (len(w.Steps)+perDay-1)/perDay)
	for i := range out {
		month := w.Steps[i*perDay].Start.Month() - 1
		out[i] = rng.Float64() < d.Climate.SnowFrac[month]
	}
	return out
}

// storedWh is the energy of a rested pack at 25 °C from empty to a state of
// charge, by Simpson's rule on intervals short enough that the open-circuit
// curve, which is straight between its points, is followed to rounding where
// it matters: differences along the year cancel whatever is left.
func (r *runner) storedWh(soc float64) float64 {
	const n = 400
	if r.energyAt == nil {
		r.energyAt = make([]float64, n+1)
		c := r.pack.CapacityAh()
		for i := 1; i <= n; i++ {
			a, b := socGrid(i-1, n), socGrid(i, n)
			va, vm, vb := r.pack.OpenCircuitV(a, 25), r.pack.OpenCircuitV((a+b)/2, 25), r.pack.OpenCircuitV(b, 25)
			r.energyAt[i] = r.energyAt[i-1] + c*(b-a)*(va+4*vm+vb)/6
		}
	}
	x := (soc - socLow) / (socHigh - socLow) * n
	i := min(max(int(x), 0), n-1)
	return r.energyAt[i] + (x-float64(i))*(r.energyAt[i+1]-r.energyAt[i])
}

const socLow, socHigh = -0.2, 1.3

func socGrid(i, n int) float64 { return socLow + (socHigh-socLow)*float64(i)/float64(n) }

// perDay counts the steps of a day.
func (r *runner) perDay() int { return max(1, int(24*time.Hour/r.sun.weather.Step)) }

func (r *runner) runAll() *Year {
	steps := r.sun.weather.Steps
	perDay := r.perDay()
	soc := 0.0
	for i := range steps {
		snow := r.snow != nil && r.snow[i/perDay]
		r.step(i, &steps[i], snow)
		soc += r.state.SoC
	}
	r.endOutage()
	y := r.year
	y.SpanH = float64(len(steps)) * r.stepH
	y.MeanSoC = soc / float64(len(steps))
	for m := range y.Months {
		y.Energy.add(&y.Months[m].Energy)
	}
	return y
}

func (r *runner) step(i int, w *WeatherStep, snow bool) {
	y, d, dt := r.year, r.p.d, r.stepH
	m := &y.Months[r.sun.month[i]]
	var e Energy

	// Sun, panel, diode, charger.
	offer := r.offer(i, snow)
	e.PossibleWh, e.OfferedWh = offer.possibleW*dt, offer.panelW*dt

	// What the supply wants.
	table := r.running
	if !r.on {
		table = r.asleep
	}
	amps, servedW, heatW := table.at(r.packV)
	wantW := amps * r.packV
	idleW := 0.0
	if offer.panelW == 0 {
		idleW = *d.Charger.IdleA * r.packV
	}
	bootW := 0.0
	wasOn := r.on

	// Heat in the box, cells.
	boxC := r.stage.boxC[i]
	if r.stage.kPerW != 0 {
		boxC += r.stage.kPerW * (*d.Box.OwnW + heatW + offer.chargerW - r.stage.heatW[i])
	}
	cellC := boxC
	if d.Pack.Place == "outside" {
		cellC = w.AirC
	}
	cellC = min(max(cellC, -40), 85)

	if !r.on && r.mayRestart(cellC, offer.packW) {
		r.on = true
		y.RestartCount++
		bootW = r.boot() / dt
		amps, servedW, _ = r.running.at(r.packV)
		wantW = amps * r.packV
	}

	needW := wantW + idleW + bootW
	before := r.state
	var next battery.State
	var flow battery.Flow
	drawn := offer.packW == 0 && r.steadyA
	if drawn {
		// Linear regulators take the same current whatever the pack's voltage
		// does within the step.
		next, flow = r.run.Draw(r.state, needW/r.packV, dt*3600, cellC)
	} else {
		next, flow = r.run.Step(r.state, offer.packW-needW, dt*3600, cellC)
	}
	r.state = next

	// What the pack did not take goes back up the chain to the panel.
	takenFrac := 0.0
	if offer.packW > 0 {
		used := min(offer.packW*dt, needW*dt+flow.InWh)
		takenFrac = used / (offer.packW * dt)
	}
	e.TakenWh = takenFrac * e.OfferedWh
	e.RefusedWh = e.OfferedWh - e.TakenWh
	e.DiodeWh = takenFrac * offer.diodeW * dt
	e.ChargerWh = takenFrac * offer.chargerW * dt
	deliveredWh := takenFrac * offer.packW * dt

	// What was wanted and not there.
	haveWh := deliveredWh - flow.InWh + flow.OutWh
	share := 1.0
	if needW > 0 {
		share = min(1, haveWh/(needW*dt))
		if drawn {
			share = min(1, flow.OutAh*r.packV/(needW*dt))
		}
		if share > 1-1e-9 {
			share = 1
		}
	}
	e.ServedWh = share * servedW * dt
	e.BootWh = share * bootW * dt
	e.IdleWh = share * idleW * dt
	e.UnservedWh = (1 - share) * wantW * dt
	e.StoredWh = r.storedWh(next.SoC) - r.storedWh(before.SoC)
	e.PackWh = flow.InWh - flow.OutWh - e.StoredWh
	e.RegulatorWh = haveWh - e.ServedWh - e.BootWh - e.IdleWh

	if !math.IsNaN(flow.EndV) && flow.EndV > 0 {
		r.packV = flow.EndV
	}
	r.watchService(i, w.Start, share, wasOn, m)
	r.note(i, w, boxC, cellC, flow, offer.packW-needW, m)
	m.add(&e)
	m.SpanH += dt
}

// An offer is what panel, diode and charger would give in a step if all of it
// were taken.
type offer struct {
	possibleW, panelW, diodeW, chargerW, packW float64
}

func (r *runner) offer(i int, snow bool) (o offer) {
	if snow || r.stage.panelW[i] == 0 {
		if !snow {
			o.possibleW = r.stage.possibleW[i]
		}
		return o
	}
	p, d := r.p, r.p.d
	o.possibleW, o.panelW = r.stage.possibleW[i], r.stage.panelW[i]
	in := r.stage.inW[i]
	o.diodeW = o.panelW - in
	out := in * *d.Charger.EffFrac
	// The current limit holds at the charger's output.
	if most := *d.Charger.LimitA * r.packV; out > most {
		k := most / out
		o.diodeW, in, out = o.diodeW*k, in*k, most
		o.panelW *= k
	}
	o.chargerW = in - out
	o.packW = out
	if p.diodeAt("pack") {
		v := p.diode.v.VoltageV(out / r.packV)
		lost := out * v / (r.packV + v)
		o.diodeW += lost
		o.packW -= lost
	}
	return o
}

// mayRestart says whether a stopped station starts in this step.
func (r *runner) mayRestart(cellC, offeredW float64) bool {
	if s := r.p.d.Service; s != nil && s.RestartV != nil {
		return r.packV >= *s.RestartV
	}
	// Without a stated threshold it starts as soon as the sun brings more
	// than running takes.
	amps, _, _ := r.running.at(r.packV)
	return offeredW > amps*r.packV
}

func (r *runner) boot() float64 {
	if s := r.p.d.Service; s != nil && s.BootWh != nil {
		return *s.BootWh
	}
	return 0
}

// watchService stops the station and keeps count of its outages.
func (r *runner) watchService(i int, start time.Time, share float64, wasOn bool, m *Month) {
	y := r.year
	lost := 0.0
	switch {
	case !r.on:
		lost = r.stepH
	case share < 1:
		lost = (1 - share) * r.stepH
		r.on = false // the protection has opened or the controller has browned out
	case r.p.d.Service != nil && r.p.d.Service.StopV != nil && r.packV <= *r.p.d.Service.StopV:
		r.on = false
	}
	if y.Lost != nil {
		y.Lost[i] = lost > r.stepH/2
	}
	if lost > 0 {
		if r.lostRun == 0 {
			r.lostAt = start
		}
		r.lostRun += lost
		y.LostH += lost
		m.LostH += lost
	} else {
		r.endOutage()
	}
}

func (r *runner) endOutage() {
	if r.lostRun > r.year.LongestLostH {
		r.year.LongestLostH, r.year.LongestFrom = r.lostRun, r.lostAt
	}
	r.lostRun = 0
}

// note keeps the extremes.
func (r *runner) note(i int, w *WeatherStep, boxC, cellC float64, flow battery.Flow, surplusW float64, m *Month) {
	y := r.year
	soc := r.state.SoC
	if y.SoC != nil {
		y.SoC[i] = float32(soc)
	}
	if soc < y.LowestSoC {
		y.LowestSoC, y.LowestAt = soc, w.Start
	}
	if !(m.LowestSoC <= soc) {
		m.LowestSoC = soc
	}
	if !(m.LowestAirC <= w.AirC) {
		m.LowestAirC = w.AirC
	}
	if boxC > y.HottestBoxC {
		y.HottestBoxC, y.HottestBoxAt, y.HottestAirC = boxC, w.Start, w.AirC
	}
	y.HottestCellC = max(y.HottestCellC, cellC)
	y.ColdestCellC = min(y.ColdestCellC, cellC)
	cellV := flow.EndV / r.series
	if cellV > y.HighestCellV {
		y.HighestCellV = cellV
	}
	if cellV > r.overchargeV {
		y.OverchargeH += r.stepH
	}
	if flow.InWh > 0 && cellC < r.frostC {
		y.FrostChargeH += r.stepH
	}
	if flow.Stop == battery.Cold && surplusW > 0 {
		y.ColdBlockedH += r.stepH
	}
}
