package station

import (
	"fmt"
	"math"
	"time"
)

// judgeYear judges service through the year.
func (r *reviewer) judgeYear() {
	const q = "service through the year"
	r.notFromPack()
	r.thresholds()
	y := r.out.Year
	if y == nil {
		if len(r.noYear) > 0 {
			r.say(cannotTell(TopicYear, q, r.noYear))
		}
		return
	}
	r.elsewhere()
	needDay := r.needWhPerDay()
	r.served(y, needDay)
	r.restarts(y)
	low := finding(Fine, TopicYear, "lowest state of charge").above(100*y.LowestSoC, 20, "%")
	low.Reason = fmt.Sprintf("on %s; mean %.0f %%", y.LowestAt.Format("2 January"), 100*y.MeanSoC)
	low.Sure = oneYear(y)
	if low.Margin < 0 {
		low.Word = Watch
		low.Action = "see hours without service"
	}
	r.say(low)
	r.darkDays(needDay)
	r.networkAway(needDay)
}

// notFromPack names the loads that the year does not count, since the pack does not
// feed them.
func (r *reviewer) notFromPack() {
	s := r.p.supply
	fromPack, fromAdapter := s.fromPack(), s.feeds(adapterNode)
	for i := range s.loads {
		l := &s.loads[i]
		if fromPack[l.rail] {
			continue
		}
		f := finding(Change, TopicYear, "load "+or(l.name, fmt.Sprint(l.index+1)))
		f.Sure = sureOf()
		switch {
		case fromAdapter[l.rail]:
			f.Word = Watch
			f.Reason = "the adapter alone feeds it: the year counts neither what it needs nor when it stands still"
			f.Action = fmt.Sprintf("feed load[%d].rail from the pack if it is to run without mains", l.index)
		case s.makes(l.rail):
			f.Reason = fmt.Sprintf("it hangs on rail %q, whose regulator nothing feeds", l.rail)
			f.Action = "correct the regulator's from"
		default:
			f.Reason = fmt.Sprintf("it hangs on rail %q, which no regulator makes", l.rail)
			f.Action = fmt.Sprintf("correct load[%d].rail, or describe the regulator of that rail", l.index)
		}
		r.say(f)
	}
}

func oneYear(y *Year) string { return "one year of weather: " + y.Source + "; another year differs" }

// served judges the hours without service.
func (r *reviewer) served(y *Year, needDay float64) {
	if !(needDay > 0) {
		r.say(cannotTell(TopicYear, "hours without service", []string{"load (one that the pack feeds)"}))
		return
	}
	accepted := 24.0
	if r.d.Service != nil && r.d.Service.MaxLostH != nil {
		accepted = *r.d.Service.MaxLostH
	}
	month, ratio := y.WorstMonth()
	f := finding(Fine, TopicYear, "hours without service").below(y.LostH, accepted, "h")
	f.Sure = oneYear(y)
	f.Why = []string{
		"hourly balance: sun by Reda and Andreas 2004, tilted plane by Perez et al. 1990, panel by De Soto et al. 2006, pack as open-circuit curve with resistances",
		fmt.Sprintf("panel gave %.1f kWh = diode %.2f + charger %.2f + pack %.2f + regulators %.2f + charger idle and starts %.2f + served %.2f + stored %+.2f kWh",
			y.Energy.TakenWh/1000, y.Energy.DiodeWh/1000, y.Energy.ChargerWh/1000, y.Energy.PackWh/1000, y.Energy.RegulatorWh/1000,
			(y.Energy.IdleWh+y.Energy.BootWh)/1000, y.Energy.ServedWh/1000, y.Energy.StoredWh/1000),
	}
	f.Reason = fmt.Sprintf("needs %.1f Wh a day; worst month %s, in which the panel offers %.2f times the need", needDay, month, ratio)
	if y.HiddenBeamH > 0 && y.BeamH > 0 {
		f.Reason += fmt.Sprintf("; the skyline hides %.0f of %.0f sunny hours a year", y.HiddenBeamH, y.BeamH)
	}
	if y.LostH > accepted {
		f.Word = Change
		f.weight = 350
		if y.LostH < 3*accepted {
			f.weight = 50
		}
		f.Reason += fmt.Sprintf("; the longest outage %.0f h from %s, %d restarts", y.LongestLostH, y.LongestFrom.Format("2 January"), y.RestartCount)
		f.Action, f.Caution = r.yearAdvice(month, ratio, needDay), "Roof and mast work is for licensed practice, clear of overhead lines."
	} else if ratio < 1.2 {
		f.Word = Watch
		f.Action = "little in hand in the worst month: look at the load first"
	}
	r.say(f)
}

// networkAway says what a day costs on which the network does not answer.
func (r *reviewer) networkAway(needDay float64) {
	storm := false
	d := *r.d
	d.Loads = make([]*Load, len(r.d.Loads))
	for i, l := range r.d.Loads {
		c := *l
		if deref(c.RetryS) > 0 {
			c.AwayFrac, storm = Of(1.0), true
			// The next period begins at its time, retrying or not.
			if c.PeriodS != nil {
				c.RetryS = Of(math.Max(0, math.Min(*c.RetryS, *c.PeriodS-deref(c.AwakeS)-deref(c.PeakS))))
			}
		}
		d.Loads[i] = &c
	}
	if !storm || !(needDay > 0) {
		return
	}
	s := newSupply(&d)
	v := r.p.chem.v.Limits().Nominal.V * float64(r.p.pack.v.Series())
	away := s.at(v, running).packA * v * 24
	f := finding(Fine, TopicYear, "a day with the network away").below(away, 2*needDay, "Wh")
	f.Reason = fmt.Sprintf("retries raise the need from %.1f to %.1f Wh a day", needDay, away)
	f.Sure = "every period retries for its stated seconds, or to its end"
	if f.Margin < 0 {
		f.Word = Watch
		f.Action = "wait longer after each failure, up to an hour, and keep readings until the network is back"
	}
	r.say(f)
}

// nearKm is how far a typical year may come from before its place must be
// said: weather stations in Europe stand that far apart (our choice).
const nearKm = 50

// elsewhere says so when the weather belongs to another place than the site.
func (r *reviewer) elsewhere() {
	w := r.o.Weather
	if w == nil || w.Typical == nil {
		return
	}
	t := w.Typical
	km := distanceKm(*r.d.Site.LatitudeDeg, *r.d.Site.LongitudeDeg, t.LatitudeDeg, t.LongitudeDeg)
	f := finding(Fine, TopicYear, "distance of the weather's place").below(km, nearKm, "km")
	f.Reason = fmt.Sprintf("sun and weather of the year are those of %s (%.2f, %.2f, %.0f m)", t.Name, t.LatitudeDeg, t.LongitudeDeg, t.HeightM)
	f.Sure = sureOf()
	if km > nearKm {
		f.Word = Watch
		f.Action = "read the year as that of the station standing there, skyline and all"
	}
	r.say(f)
}

// distanceKm is the great-circle distance on a sphere of 6371 km.
func distanceKm(lat1, lon1, lat2, lon2 float64) float64 {
	const rad = math.Pi / 180
	dLat, dLon := (lat2-lat1)*rad/2, (lon2-lon1)*rad/2
	h := math.Sin(dLat)*math.Sin(dLat) + math.Cos(lat1*rad)*math.Cos(lat2*rad)*math.Sin(dLon)*math.Sin(dLon)
	return 2 * 6371 * math.Asin(math.Sqrt(math.Min(1, h)))
}

// oftenRestarts is the number of restarts a year above which a stop and a
// start threshold lie too close: one a week (this review's yardstick).
const oftenRestarts = 52

// thresholds judges stop and start against each other and against the pack.
func (r *reviewer) thresholds() {
	s := r.d.Service
	if s == nil || s.StopV == nil || s.RestartV == nil {
		return
	}
	f := finding(Fine, TopicYear, "start voltage over stop voltage").above(*s.RestartV, *s.StopV, "V")
	f.Sure = sureOf()
	f.Reason = "it starts again above where it stops"
	if *s.RestartV <= *s.StopV {
		f.Word = Change
		f.weight = 60
		f.Reason = "it would start again where it has just stopped: the two chase each other until the pack is empty"
		f.Action = "set service.restart_v above service.stop_v by more than the pack recovers when the load goes"
	} else if c := r.d.Charger; c != nil && c.SetV != nil && *s.RestartV > *c.SetV {
		f = f.below(*s.RestartV, *c.SetV, "V")
		f.Word = Change
		f.weight = 360 // before the hours that it costs
		f.Quantity = "start voltage below the charger's setting"
		f.Reason = "the charger never brings the pack there: once stopped, the station stays so"
		f.Action = "set service.restart_v below charger.set_v, by what the pack sinks at rest"
	}
	r.say(f)
}

// restarts judges the gap between stop and start.
func (r *reviewer) restarts(y *Year) {
	if y.RestartCount == 0 {
		return
	}
	f := finding(Fine, TopicYear, "restarts in the year").below(float64(y.RestartCount), oftenRestarts, "")
	f.Sure = "counted at the steps of the weather: a loop of minutes counts once a step"
	f.Reason = "the pack's voltage recovers when the load is gone; only a start threshold above that recovery ends the loop"
	if y.RestartCount > oftenRestarts {
		f.Word = Watch
		v := r.p.pack.v.OpenCircuitV(0.3, 0)
		f.Action = fmt.Sprintf("set service.restart_v to about %.2f V, the resting voltage at 30 %% of charge in the cold, or restart by charge counted", v)
	}
	r.say(f)
}

// needWhPerDay is what running takes from the pack a day at its nominal
// voltage.
func (r *reviewer) needWhPerDay() float64 {
	n := float64(r.p.pack.v.Series())
	v := r.p.chem.v.Limits().Nominal.V * n
	return r.p.supply.at(v, running).packA * v * 24
}

// darkDays counts how long a full pack lasts without sun in the cold.
func (r *reviewer) darkDays(needDay float64) {
	const coldC = -10.0
	if !(needDay > 0) {
		r.say(cannotTell(TopicYear, "dark days from full at -10 °C", []string{"load (one that the pack feeds)"}))
		return
	}
	pack := r.p.pack.v
	v := r.p.chem.v.Limits().Nominal.V * float64(pack.Series())
	usable := pack.CapacityAh() * v * pack.UsableFrac(coldC)
	f := finding(Fine, TopicYear, "dark days from full at -10 °C").above(usable/needDay, 5, "days")
	f.Reason = fmt.Sprintf("%.0f Wh usable in the cold over %.1f Wh a day", usable, needDay)
	f.Sure = "typical cells of the chemistry; five dark days are this review's yardstick, not a standard"
	f.Why = []string{fmt.Sprintf("days = capacity · voltage · usable share / need = %.1f Ah · %.1f V · %.2f / %.1f Wh", pack.CapacityAh(), v, pack.UsableFrac(coldC), needDay)}
	if f.Margin < 0 {
		f.Word = Watch
		f.Action = "less load or more cells; a bigger pack stores more energy: fuse and box grow with it"
	}
	r.say(f)
}

// yearAdvice names the levers, the largest first.
func (r *reviewer) yearAdvice(month time.Month, ratio, needDay float64) string {
	s := fmt.Sprintf("in %s the panel offers nothing at the voltage it is held at: set the charger's input first", month)
	switch {
	case ratio >= 1:
		s = "the means suffice, the runs of dark days do not: more cells, or less load in them"
	case ratio > 0:
		s = fmt.Sprintf("in %s the need exceeds the offer %.1f times: bring the load below %.1f Wh a day (sleep between readings)", month, 1/ratio, needDay*ratio*0.8)
	}
	if y := r.out.Year; y.HiddenBeamH > 0.1*y.BeamH {
		s += ", move the panel out of the skyline's shadow"
	}
	return s + ", or leave the station out for those months"
}
