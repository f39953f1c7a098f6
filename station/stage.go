package station

import (
	"math"
	"sync"
	"time"

	"github.com/stationphysics/stationphysics/solar/panel"
	"github.com/stationphysics/stationphysics/thermal"
)

// A stage is what can be computed of a year before the pack is known: what
// panel and diode bring to the charger's input, and how warm the box gets while
// the station runs. Variants that differ in pack, load or thresholds share it.
type stage struct {
	sun       *Sunlight
	possibleW []float64 // at the panel's maximum power point
	panelW    []float64 // given by the panel at the held voltage
	inW       []float64 // of it, at the charger's input
	boxC      []float64 // air in the box with heatW in it
	heatW     []float64
	kPerW     float64 // rise of the box by further heat
	wallWetH  float64 // hours in which the wall may be below the dew point

	back []float64 // of all of them
}

// stages keeps the memory of stages that have served: three hundred kilobytes an hourly
// year that need not be found and cleared away for the next.
var stages sync.Pool

func stageMemory(n int) []float64 {
	if b, ok := stages.Get().(*[]float64); ok && cap(*b) >= n {
		back := (*b)[:n]
		clear(back)
		return back
	}
	return make([]float64, n)
}

// release gives the memory back; the stage must not be used any more.
func (s *stage) release() {
	back := s.back
	*s = stage{}
	stages.Put(&back)
}

// stage prepares the part of a run that does not depend on the pack.
func (p *Model) stage(sun *Sunlight) *stage {
	n := len(sun.weather.Steps)
	s := &stage{sun: sun, back: stageMemory(5 * n)}
	for i, dst := range []*[]float64{&s.possibleW, &s.panelW, &s.inW, &s.boxC, &s.heatW} {
		*dst = s.back[i*n : (i+1)*n : (i+1)*n]
	}
	s.harvest(p)
	s.box(p)
	return s
}

// harvest solves the panel at the voltage that charger and diode hold.
func (s *stage) harvest(p *Model) {
	hold := *p.d.Charger.HoldV
	var diode func(currentA float64) (dropV, slopeOhm float64)
	if p.diodeAt("panel") {
		diode = func(currentA float64) (dropV, slopeOhm float64) {
			return p.diode.v.VoltageV(currentA), p.diode.v.SlopeOhm(currentA)
		}
	}
	var at [64]int // steps with light, so many at a time
	var weather [len(at)]panel.Weather
	var out [len(at)]panel.Output
	n := 0
	solve := func() {
		p.module.v.BatchOutputBehind(out[:n], weather[:n], panel.OpenRack(), hold, diode)
		for k, i := range at[:n] {
			o := &out[k]
			s.possibleW[i] = o.MaxPowerW
			if o.HeldA > 0 {
				s.panelW[i], s.inW[i] = o.HeldW, o.HeldA*hold
			}
		}
		n = 0
	}
	for i, light := range s.sun.cellsWPerM2 {
		if light <= 0 {
			continue
		}
		w := &s.sun.weather.Steps[i]
		at[n], weather[n] = i, panel.Weather{IrradianceWPerM2: light, AirC: w.AirC, WindMPerS: w.WindMPerS}
		if n++; n == len(at) {
			solve()
		}
	}
	solve()
}

// boxGroup is the longest time that shares one balance of the box.
const boxGroup = 10 * time.Minute

// box computes the box with the station running and all of the sun taken that the
// charger's limit lets in. The run corrects it for other heat by one slope, taken at a
// mild sunny hour: the rise is so nearly linear in the heat inside that this costs
// tenths of a kelvin, against some kelvins by which the wind at a box is unknown.
func (s *stage) box(p *Model) {
	steps := s.sun.weather.Steps
	if !p.box.ok() {
		for i := range steps {
			s.boxC[i] = steps[i].AirC
		}
		return
	}
	own := *p.d.Box.OwnW + p.supply.runningHeatW(p)
	loss := 1 - *p.d.Charger.EffFrac
	mostW := *p.d.Charger.LimitA * *p.d.Charger.SetV / *p.d.Charger.EffFrac // that the charger lets in
	// A box follows its surroundings in tens of minutes: shorter steps share
	// one balance, of their mean conditions.
	group := max(1, int(boxGroup/s.sun.weather.Step))
	for i, w := range s.inW {
		s.heatW[i] = own + loss*min(w, mostW)
	}
	var conditions [64]thermal.BoxConditions
	var riseK [len(conditions)]float64
	for from := 0; from < len(steps); {
		n := 0
		for at := from; n < len(conditions) && at < len(steps); n++ {
			to := min(at+group, len(steps))
			s.mean(&conditions[n], at, to)
			at = to
		}
		p.box.v.BatchRiseK(riseK[:n], conditions[:n])
		for k, rise := range riseK[:n] {
			to := min(from+group, len(steps))
			for ; from < to; from++ {
				s.boxC[from] = steps[from].AirC + rise
				s.heatW[from] = conditions[k].DissipationW
			}
		}
	}
	s.wetWall(p, own)
	mild := thermal.BoxConditions{AirC: 15, SunWPerM2: 300, WindMPerS: 1, DissipationW: own}
	cool := p.box.v.RiseK(mild)
	mild.DissipationW++
	s.kPerW = p.box.v.RiseK(mild) - cool
}

// mean gives the mean conditions of the box in the steps from one to before another.
func (s *stage) mean(c *thermal.BoxConditions, from, to int) {
	first := &s.sun.weather.Steps[from]
	*c = thermal.BoxConditions{AirC: first.AirC, SunWPerM2: s.sun.squareWPerM2[from], WindMPerS: first.WindMPerS, DissipationW: s.heatW[from]}
	if from++; from == to {
		return
	}
	steps := s.sun.weather.Steps[from:to]
	sunlight, heat := s.sun.squareWPerM2[from:to], s.heatW[from:to]
	for i := range steps {
		c.AirC += steps[i].AirC
		c.SunWPerM2 += sunlight[i]
		c.WindMPerS += steps[i].WindMPerS
		c.DissipationW += heat[i]
	}
	n := float64(1 + len(steps))
	c.AirC, c.SunWPerM2, c.WindMPerS, c.DissipationW = c.AirC/n, c.SunWPerM2/n, c.WindMPerS/n, c.DissipationW/n
}

// runningHeatW is the mean heat of the regulators at the pack's nominal
// voltage.
func (s *supply) runningHeatW(p *Model) (heatW float64) {
	v := p.chem.v.Limits().Nominal.V * float64(p.pack.v.Series())
	for _, h := range s.at(v, running).heatW {
		if !math.IsNaN(h) {
			heatW += h
		}
	}
	return heatW
}

// wetWall counts the hours in which the box's wall can be wet: a box that
// breathes holds the air's own vapour, and its wall radiates to a sky that is
// colder than the air. The sky is taken as clear, half of what the wall sees,
// and its temperature after Swinbank 1963 (Quarterly Journal of the Royal
// Meteorological Society 89:339), Tsky = 0.0552 Tair^1.5 in kelvins: clouds
// make it less, so the count is an upper bound.
func (s *stage) wetWall(p *Model, own float64) {
	w := s.sun.weather
	if !w.HasDew {
		s.wallWetH = math.NaN()
		return
	}
	// Counted every ten minutes at the most.
	stride := max(1, int(boxGroup/w.Step))
	wet := 0 // steps
	sunlights := s.sun.squareWPerM2[:len(w.Steps)]
	for i := 0; i < len(w.Steps); i += stride {
		// Sunlit, a wall is above the air.
		sunlight := sunlights[i]
		if sunlight > 200 {
			continue
		}
		x := &w.Steps[i]
		air := x.AirC + 273.15
		deficit := max(0, 0.5*(air-0.0552*air*math.Sqrt(air)))
		// Convection and radiation share the way to the air: a wall cannot be
		// further below it than the deficit.
		if x.AirC-x.DewC > deficit {
			continue
		}
		if p.box.v.SurfaceBelow(thermal.BoxConditions{
			AirC: x.AirC, SunWPerM2: sunlight, WindMPerS: x.WindMPerS, DissipationW: own,
			RadiantDeficitK: deficit,
		}, x.DewC) {
			wet += min(stride, len(w.Steps)-i)
		}
	}
	s.wallWetH = w.Step.Hours() * float64(wet)
}
