package logbook

import (
	"math"
	"time"
)

// signs is the memory of the signatures.
type signs struct {
	pegged, warm, frozen, cup, vane, over, full, idle, held, apart, apart2 spell
	same                                                                   [columns]spell
	sameV                                                                  [columns]float64
	vaneAt, cupAt                                                          float64
	heldV                                                                  float64
	boots                                                                  float64
	swung, bootsKnown                                                      bool
	bootNS                                                                 [3]int64
	bootV                                                                  [3]float64
	bootN                                                                  int
	quarter                                                                [32]moment
	quarterN                                                               int
}

// restart ends the spells across a gap or a clock step; the starts of the
// logger, which cause gaps, are kept.
func (s *signs) restart() {
	*s = signs{boots: s.boots, bootsKnown: s.bootsKnown, bootNS: s.bootNS, bootV: s.bootV, bootN: s.bootN}
}

// A spell is a stretch of rows over which something holds.
type spell struct {
	on, noted bool
	rows      int
	ns        int64
	line      int
	at        time.Time
}

// A moment is what the test of a heated shield remembers of a minute.
type moment struct {
	ns            int64
	air, e, eHalf float64
}

// hold follows a condition. The trouble is noted once it has held for the
// least time, and then row by row.
func (r *Reader) hold(s *spell, cond bool, least time.Duration, k Kind, c Column) {
	if !cond {
		*s = spell{}
		return
	}
	if !s.on {
		*s = spell{on: true, ns: r.lastNS, line: r.o.Line, at: r.o.At}
	}
	s.rows++
	if r.lastNS-s.ns < int64(least) {
		return
	}
	t := r.book.note(r, k, c, s.line, s.at, r.o.Line, r.o.At)
	if !s.noted {
		s.noted = true
		t.Spells++
		t.Rows += s.rows - 1 // those before it could be told
	}
}

// once notes a trouble that shows in a single row.
func (r *Reader) once(k Kind, c Column) {
	r.book.note(r, k, c, r.o.Line, r.o.At, r.o.Line, r.o.At).Spells++
}

// judge runs checks and signatures over the row.
func (r *Reader) judge() {
	r.check()
	r.sensors()
	r.shield()
	r.windSigns()
	r.supply()
}

const (
	sunnyLx   = 10000 // light in which a box or a panel is in the sun
	brightLx  = 20000 // light that heats a shield (about 160 W/m²)
	heavyMmPH = 300   // beyond it not even a cloudburst goes for a minute (our choice; rain.NewBucket uses the same)
)

// sensors are the signatures of a single sensor.
func (r *Reader) sensors() {
	o, s := &r.o, &r.signs
	for c := range columns {
		switch {
		case o.state[c] == BusError:
			r.once(TransferFailed, c)
		case o.state[c] == OutOfRange:
			r.once(Impossible, c)
		case o.flags[c]&FailsStep != 0:
			r.once(Spike, c)
		case o.flags[c]&FailsLogic != 0 && c != RainTips && c != Rain:
			r.once(Contradiction, c)
		}
		switch c {
		case Air, Air2, Humidity, Humidity2, Pressure:
			if o.state[c] != Good || (c == Humidity || c == Humidity2) && o.raw[c] >= saturatedPct {
				s.same[c] = spell{}
				continue
			}
			if s.sameV[c] != o.raw[c] {
				s.same[c] = spell{}
			}
			s.sameV[c] = o.raw[c]
			r.hold(&s.same[c], true, 3*time.Hour, StuckRegister, c)
		}
	}
	r.hold(&s.apart, o.flags[Air2]&FailsPair != 0, time.Hour, PairApart, Air2)
	r.hold(&s.apart2, o.flags[Humidity2]&FailsPair != 0, time.Hour, PairApart, Humidity2)
	if o.state[Light] == Pegged {
		r.once(LightPegged, Light)
	}
	wet := o.good(Humidity) && o.raw[Humidity] >= 99.5
	least := 6 * time.Hour
	if wet && o.airOK && o.air.HumidityOverIcePct() > 105 {
		least = time.Hour
	}
	r.hold(&s.pegged, wet, least, HumidityPegged, Humidity)
	if o.RainMmPerH.OK() && o.RainMmPerH.Value > heavyMmPH {
		r.once(Bounce, r.rainColumn())
	}
	if o.flags[RainTips]&FailsLogic != 0 || o.flags[Rain]&FailsLogic != 0 {
		r.once(Melt, r.rainColumn())
	}
	r.hold(&s.warm, o.good(Box) && o.good(Air) && o.raw[Box]-o.raw[Air] > 10 && o.good(Light) && o.raw[Light] > sunnyLx,
		30*time.Minute, WarmBox, Box)
}

func (r *Reader) rainColumn() Column {
	if r.o.state[RainTips] != Absent {
		return RainTips
	}
	return Rain
}

// shield is the constant-vapour-pressure test: what warms in the sun without
// wind while the vapour pressure stays is the shield. Air of another origin
// brings another vapour pressure with it, and a morning warms more slowly.
func (r *Reader) shield() {
	o, s := &r.o, &r.signs
	if o.state[Air] != Good || !o.VapourPressureHPa.OK() {
		return
	}
	now := moment{r.lastNS, o.raw[Air], o.VapourPressureHPa.Value, o.VapourPressureHPa.Half}
	w, ok := o.value(Wind)
	if o.good(Light) && o.raw[Light] > brightLx && ok && w < 1.5 && o.flags[Air]&FailsStep == 0 {
		for i := range min(s.quarterN, len(s.quarter)) {
			m := &s.quarter[i]
			age := time.Duration(now.ns - m.ns)
			// The bound on the vapour pressure is 5 % where no tolerance is
			// stated, and never above: a sensor's own error is common to both.
			if age <= 0 || age > 15*time.Minute+30*time.Second || now.air-m.air < 2 || math.Abs(now.e-m.e) > 0.05*m.e {
				continue
			}
			r.once(HeatedShield, Air)
			break
		}
	}
	// One moment a half-minute at most, so that the quarter of an hour fits.
	last := &s.quarter[(s.quarterN+len(s.quarter)-1)%len(s.quarter)]
	if s.quarterN == 0 || now.ns-last.ns >= int64(30*time.Second) {
		s.quarter[s.quarterN%len(s.quarter)] = now
		s.quarterN++
	}
}

// windSigns are the signatures of cup and vane.
func (r *Reader) windSigns() {
	o, s := &r.o, &r.signs
	w, ok := o.value(Wind)
	if !ok || o.state[Direction] != Good {
		s.frozen, s.cup, s.vane = spell{}, spell{}, spell{}
		return
	}
	d := o.raw[Direction]
	calm := w == 0
	frost := o.good(Air) && o.raw[Air] < 1 && o.good(Humidity) && o.raw[Humidity] >= 90
	if math.Abs(math.Remainder(d-s.vaneAt, 360)) > 0.5 {
		s.vaneAt, s.frozen, s.vane = d, spell{}, spell{}
	}
	r.hold(&s.frozen, calm && frost, 3*time.Hour, VaneFrozen, r.windColumn())
	r.hold(&s.vane, w > 2, time.Hour, VaneStuck, Direction)
	// The vane must have swung by 60 degrees before a standing cup is suspect,
	// which a drifting calm does not do within a minute.
	if !calm {
		s.cup = spell{}
		return
	}
	if !s.cup.on {
		s.cupAt, s.swung = d, false
	}
	if math.Abs(math.Remainder(d-s.cupAt, 360)) >= 60 {
		s.swung = true
	}
	least := 2 * time.Hour
	if !s.swung {
		least = math.MaxInt64
	}
	r.hold(&s.cup, true, least, CupStuck, r.windColumn())
}

func (r *Reader) windColumn() Column {
	if r.o.state[WindPulses] != Absent {
		return WindPulses
	}
	return Wind
}

// supply are the signatures of panel, charger, pack and logger.
func (r *Reader) supply() {
	o, s, p := &r.o, &r.signs, &r.c.Power
	pack, panel := o.raw[Pack], o.raw[Panel]
	packOK, panelOK := o.good(Pack), o.good(Panel)
	if packOK {
		r.hold(&s.over, p.LimitV > 0 && pack > p.LimitV, 10*time.Minute, OverCharge, Pack)
		if panelOK && p.SetV > 0 && p.OpenV > 0 {
			unloaded := panel >= 0.9*p.OpenV
			r.hold(&s.full, unloaded && pack >= 0.99*p.SetV && !(p.LimitV > 0 && pack > p.LimitV), 10*time.Minute, Full, Pack)
			// A charger that stops for cold cells leaves the panel alone too.
			cold := o.good(Box) && o.raw[Box] < p.FrostC+2
			r.hold(&s.idle, unloaded && pack < 0.97*p.SetV && !cold, 30*time.Minute, NotCharging, Pack)
		}
		if panelOK && p.HoldV > 0 {
			held := math.Abs(panel-p.HoldV) <= 0.05*p.HoldV && !(p.SetV > 0 && pack >= 0.99*p.SetV)
			if held && !s.held.on {
				s.heldV = pack
			}
			if held && pack > s.heldV {
				// It rises: the wait begins anew from here.
				s.held, s.heldV = spell{}, pack
			}
			r.hold(&s.held, held, 2*time.Hour, LoadAboveHarvest, Pack)
		}
	}
	if o.good(Current) && o.raw[Current] > 0.02 {
		cells, at := o.raw[Box], o.good(Box)
		if !at {
			cells, at = o.raw[Air], o.good(Air)
		}
		if at && cells < p.FrostC {
			r.once(FrostCharge, Current)
		}
	}
	r.starts()
}

// starts follows the counter of boots.
func (r *Reader) starts() {
	o, s := &r.o, &r.signs
	if o.state[Boots] != Good {
		return
	}
	n := o.raw[Boots]
	if s.bootsKnown && n > s.boots {
		copy(s.bootNS[:], s.bootNS[1:])
		copy(s.bootV[:], s.bootV[1:])
		s.bootNS[2], s.bootV[2] = r.lastNS, math.NaN()
		if o.good(Pack) {
			s.bootV[2] = o.raw[Pack]
		}
		s.bootN++
		if s.bootN >= 3 && r.lastNS >= s.bootNS[0] && r.lastNS-s.bootNS[0] <= int64(time.Hour) {
			// A sag of 1 % over three starts is the pack's, not the meter's.
			if s.bootV[2] < 0.99*s.bootV[0] {
				r.once(BrownOutLoop, Boots)
			} else {
				r.once(Restarts, Boots)
			}
		}
	}
	s.boots, s.bootsKnown = n, true
}
