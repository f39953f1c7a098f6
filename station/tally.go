package station

import "math"

// A tally keeps what a run comes to: the sums of a month, the extremes, the
// outages.
type tally struct {
	year   *Year
	stepH  float64
	stored *storedTable
	month  uint8 // 0 for January
	soc    float64
	socSum float64

	sums
	startSoC              float64 // of the month
	lowestSoC, lowestAirC float64 // of the month

	series, overchargeV float64 // cells of the pack, and the limit of one
	lowestAt, hottestAt int     // steps; -1 for none

	lostRun           float64 // hours of the present outage
	lostAt, longestAt int     // first steps of the present and of the longest outage
}

// sums add up over the steps of a month. Only what differs from step to step is
// summed: the length of a step and what the balance leaves come in at the end.
type sums struct {
	steps                            int
	possibleW, offeredW, refusedW    float64
	diodeW, chargerW, deliveredW     float64 // of what was taken: lost and brought to the bus
	inWh, outWh                      float64 // of the pack
	servedW, bootW, idleW, unservedW float64
}

func newTally(sun *Sunlight, stored *storedTable, series, soc float64) tally {
	y := &Year{
		Source: sun.weather.Source, LowestSoC: soc, HottestBoxC: math.Inf(-1), HottestCellC: math.Inf(-1), ColdestCellC: math.Inf(1),
		WallWetH: math.NaN(), HiddenBeamH: sun.HiddenBeamH, BeamH: sun.BeamH,
	}
	for m := range y.Months {
		y.Months[m].LowestSoC, y.Months[m].LowestAirC = math.NaN(), math.NaN()
	}
	return tally{
		year: y, stepH: sun.weather.Step.Hours(), stored: stored, soc: soc, startSoC: soc, lowestSoC: math.NaN(), lowestAirC: math.NaN(),
		series: series, overchargeV: math.Inf(1), lowestAt: -1, hottestAt: -1, longestAt: -1,
	}
}

// turn books the month so far and goes on to another.
func (t *tally) turn(month uint8) {
	if m, s, dt := &t.year.Months[t.month], &t.sums, t.stepH; s.steps > 0 {
		e := Energy{
			PossibleWh: s.possibleW * dt, OfferedWh: s.offeredW * dt, RefusedWh: s.refusedW * dt,
			DiodeWh: s.diodeW * dt, ChargerWh: s.chargerW * dt,
			BootWh: s.bootW * dt, IdleWh: s.idleW * dt, ServedWh: s.servedW * dt, UnservedWh: s.unservedW * dt,
			StoredWh: t.stored.at(t.soc) - t.stored.at(t.startSoC),
		}
		e.TakenWh = e.OfferedWh - e.RefusedWh
		e.PackWh = s.inWh - s.outWh - e.StoredWh
		e.RegulatorWh = s.deliveredW*dt - s.inWh + s.outWh - e.ServedWh - e.BootWh - e.IdleWh
		m.add(&e)
		m.SpanH += float64(s.steps) * dt
		if !(m.LowestSoC <= t.lowestSoC) {
			m.LowestSoC = t.lowestSoC
		}
		if !(m.LowestAirC <= t.lowestAirC) {
			m.LowestAirC = t.lowestAirC
		}
	}
	t.month, t.sums, t.startSoC, t.lowestSoC, t.lowestAirC = month, sums{}, t.soc, math.NaN(), math.NaN()
}

// finish closes the last month and adds up the year.
func (t *tally) finish(w *Weather) *Year {
	t.turn(t.month)
	t.endOutage()
	y := t.year
	n := float64(len(w.Steps))
	y.SpanH = n * t.stepH
	y.MeanSoC = t.socSum / n
	for m := range y.Months {
		y.Energy.add(&y.Months[m].Energy)
	}
	if t.lowestAt >= 0 {
		y.LowestAt = w.Steps[t.lowestAt].Start
	}
	if t.hottestAt >= 0 {
		y.HottestBoxAt, y.HottestAirC = w.Steps[t.hottestAt].Start, w.Steps[t.hottestAt].AirC
	}
	if t.longestAt >= 0 {
		y.LongestFrom = w.Steps[t.longestAt].Start
	}
	return y
}

// note counts a step and keeps the extremes.
func (t *tally) note(i int, soc, endV, airC, boxC, cellC float64) {
	y := t.year
	t.steps++
	t.soc = soc
	t.socSum += soc
	if y.SoC != nil {
		y.SoC[i] = float32(soc)
	}
	if !(t.lowestSoC <= soc) {
		t.lowestSoC = soc
		if soc < y.LowestSoC {
			y.LowestSoC, t.lowestAt = soc, i
		}
	}
	if !(t.lowestAirC <= airC) {
		t.lowestAirC = airC
	}
	if boxC > y.HottestBoxC {
		y.HottestBoxC, t.hottestAt = boxC, i
	}
	if cellC > y.HottestCellC {
		y.HottestCellC = cellC
	}
	if cellC < y.ColdestCellC {
		y.ColdestCellC = cellC
	}
	cellV := endV / t.series
	if cellV > y.HighestCellV {
		y.HighestCellV = cellV
	}
	if cellV > t.overchargeV {
		y.OverchargeH += t.stepH
	}
}

// lose counts hours without service within a step.
func (t *tally) lose(i int, lostH float64) {
	if t.year.Lost != nil {
		t.year.Lost[i] = lostH > t.stepH/2
	}
	if t.lostRun == 0 {
		t.lostAt = i
	}
	t.lostRun += lostH
	t.year.LostH += lostH
	t.year.Months[t.month].LostH += lostH
}

func (t *tally) endOutage() {
	if t.lostRun > t.year.LongestLostH {
		t.year.LongestLostH, t.longestAt = t.lostRun, t.lostAt
	}
	t.lostRun = 0
}
