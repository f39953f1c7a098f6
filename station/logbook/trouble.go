package logbook

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"github.com/stationphysics/stationphysics/station"
)

// A Kind is one signature of trouble in a log.
type Kind uint8

// The signatures. What a duration or a bound has no source is our choice, set
// so that ordinary weather does not reach it.
const (
	Duplicate        Kind = iota // two rows with one time
	Gap                          // rows are missing
	ClockStep                    // the clock went back, or was set forward
	TransferFailed               // a value that stands for a failed transfer
	Impossible                   // a value outside what weather or the sensor can do
	Spike                        // a jump within a minute and back
	StuckRegister                // exactly the same value for three hours
	PairApart                    // two sensors differ by more than both may be wrong, for an hour
	Contradiction                // columns of a row that cannot hold together
	LightPegged                  // the light sensor at its top
	HumidityPegged               // 99.5 % or more for six hours, or for one if far above saturation over ice
	HeatedShield                 // warmer by 2 K in a quarter of an hour at constant vapour pressure, in sun without wind
	WarmBox                      // the box 10 K above the air in the light for half an hour
	VaneFrozen                   // no wind and a fixed vane in humid frost for three hours: rime
	CupStuck                     // no wind while the vane moves, for two hours
	VaneStuck                    // a fixed vane in wind, for an hour
	Bounce                       // more rain than falls, 300 mm/h: contact bounce or a shaken mast
	Melt                         // tips in the frost
	OverCharge                   // the pack above its limit for ten minutes
	Full                         // the pack at the set voltage and the panel unloaded: full, not faulty
	NotCharging                  // the panel unloaded while the pack is not full
	LoadAboveHarvest             // the panel held by the charger for two hours and the pack does not rise
	BrownOutLoop                 // three starts in an hour while the pack sags
	Restarts                     // three starts in an hour at a constant pack voltage
	FrostCharge                  // charging below the cells' temperature for it
	kinds
)

// lore is what is said of each kind.
var lore = [kinds]struct {
	name         string
	word         station.Word
	reason, next string
}{
	Duplicate:        {"duplicate", station.Watch, "two rows with one time: the logger wrote twice, or summer time ended", "log in UTC; see whether the two rows are alike"},
	Gap:              {"gap", station.Watch, "rows are missing: sums over them are \"at least\"", "compare the number of boots before and after: a restart, or a lost write"},
	ClockStep:        {"clock step", station.Change, "the clock went back, or was set forward: means and tendencies across it are void", "note the logger's time beside a radio clock's, twice a day apart"},
	TransferFailed:   {"bus error", station.Change, "the value stands for a failed transfer, not for weather", "measure the sensor's supply at the sensor while it is read, then the pull-ups and the plug"},
	Impossible:       {"impossible value", station.Change, "outside what weather or the sensor can do", "look at the row: a wrong unit shows in every row, a fault in a few"},
	Spike:            {"spike", station.Watch, "a jump within a minute beyond what weather does", "see whether spikes fall together with radio bursts: measure the supply then"},
	StuckRegister:    {"stuck register", station.Change, "exactly the same value for hours: the driver repeats an old reading", "breathe on the sensor, or cover it, and watch the value; then cycle its supply"},
	PairApart:        {"sensors apart", station.Change, "two sensors differ by more than both may be wrong: one of them is, the log does not say which", "put both side by side in still shade, humidity over one salt solution"},
	Contradiction:    {"contradiction", station.Watch, "columns of one row cannot hold together", "look at the rows: a gust below its mean is a wrong factor, light at night a wrong clock or a lamp"},
	LightPegged:      {"light pegged", station.Watch, "the light sensor is at its top: there may be any amount more", "lay a sheet of white paper over the sensor: the factor that it takes off in haze then serves in sun"},
	HumidityPegged:   {"humidity pegged", station.Watch, "at saturation for hours: fog, or a wet or aged sensor", "after a dry noon look whether it comes down with the weather's; then a salt solution of 75 %"},
	HeatedShield:     {"heated shield", station.Watch, "the air warmed fast while its vapour pressure stayed, in sun without wind: the shield, not the weather", "draw air through the shield with a fan for five minutes and read again"},
	WarmBox:          {"warm box", station.Watch, "the box stands far above the air in the light", "shade the box with a board and read after half an hour; do not reduce pressure with its temperature"},
	VaneFrozen:       {"wind frozen", station.Watch, "no wind and a fixed vane in humid frost: rime, or a calm", "look at the cups; beside it the wind of a station nearby. Masts and ice are for licensed practice"},
	CupStuck:         {"cup stuck", station.Change, "no wind while the vane moves: the cup or its contact", "turn the cup by hand and watch the count. Masts are for licensed practice"},
	VaneStuck:        {"vane stuck", station.Change, "the vane does not move in wind", "turn the vane by hand and watch the angle. Masts are for licensed practice"},
	Bounce:           {"bounce", station.Change, "more tips than any rain makes: contact bounce, or a shaken mast", "tip the bucket ten times by hand and count"},
	Melt:             {"melt", station.Watch, "tips in the frost: melting snow, late by hours, or a shaken mast", "look whether the sun was on the funnel; mark the day's sum"},
	OverCharge:       {"over-charge", station.Stop, "the pack stood above the limit of its cells", "stop charging; measure the pack at its terminals with a meter, then the charger's output with nothing connected"},
	Full:             {"full", station.Fine, "the pack at the set voltage and the panel unloaded: full, not faulty", ""},
	NotCharging:      {"not charging", station.Change, "the panel stands unloaded in the sun while the pack is not full", "measure the charger's output with nothing connected, then the fuse and the link behind it"},
	LoadAboveHarvest: {"load above harvest", station.Change, "the charger holds the panel at work and the pack does not rise: the load takes it all", "measure the load's current awake and asleep"},
	BrownOutLoop:     {"brown-out loop", station.Change, "starts in a row while the pack sags: each start takes what the last one left", "measure the rail during a start; set a higher restart voltage"},
	Restarts:         {"restarts", station.Change, "starts in a row at a constant pack voltage: watchdog, interference or a loose plug", "log the reason of the reset"},
	FrostCharge:      {"charging in frost", station.Stop, "current into cells below their temperature for charging plates lithium", "stop charging until the cells are above it of themselves; never warm them by hand; retire cells that swell"},
}

// String gives the name of the signature.
func (k Kind) String() string {
	if k < kinds {
		return lore[k].name
	}
	return "?"
}

// Evidence is one row that speaks for a trouble.
type Evidence struct {
	Line int // in its file, from 1
	At   time.Time
	Text string // a few values of the row
}

// maxEvidence is how many rows a trouble keeps.
const maxEvidence = 3

// A Trouble is a signature found in a log, over all its rows.
type Trouble struct {
	Kind        Kind
	Column      Column // what it is about; its String is "time" for the clock's
	Word        station.Word
	File        string // where it began
	FirstLine   int    // line of the first row in File, from 1
	First, Last time.Time
	LastFile    string
	LastLine    int // line of the last row in LastFile, from 1
	Rows        int // rows that show it
	Spells      int // times that it came
	Evidence    []Evidence
	Reason      string // what it says
	Next        string // the cheapest measurement that makes sure
}

// A book keeps one trouble for each kind and column: its size is bounded.
type book struct{ list []Trouble }

// note adds a row to a trouble; begins at an earlier row if it took some time
// to show.
func (b *book) note(r *Reader, k Kind, c Column, fromLine int, from time.Time, line int, at time.Time) *Trouble {
	var t *Trouble
	for i := range b.list {
		if b.list[i].Kind == k && b.list[i].Column == c {
			t = &b.list[i]
			break
		}
	}
	if t == nil {
		l := &lore[k]
		b.list = append(b.list, Trouble{Kind: k, Column: c, Word: l.word, Reason: l.reason, Next: l.next, File: r.file, FirstLine: fromLine, First: from})
		t = &b.list[len(b.list)-1]
	}
	t.Last, t.LastFile, t.LastLine = at, r.file, line
	t.Rows++
	if len(t.Evidence) < maxEvidence {
		t.Evidence = append(t.Evidence, Evidence{Line: line, At: at, Text: r.witness(k, c)})
	}
	return t
}

// witnesses are the columns worth quoting for a kind, beside its own.
var witnesses = [kinds][]Column{
	PairApart:        {Air, Air2, Humidity, Humidity2},
	Contradiction:    {Wind, Gust, Air, Light},
	HumidityPegged:   {Air},
	HeatedShield:     {Humidity, Light, Wind},
	WarmBox:          {Air, Light},
	VaneFrozen:       {Direction, Air, Humidity},
	CupStuck:         {Direction},
	VaneStuck:        {Wind},
	Bounce:           {Rain},
	Melt:             {Air},
	OverCharge:       {Panel, Light},
	Full:             {Panel, Light},
	NotCharging:      {Panel, Light},
	LoadAboveHarvest: {Panel, Light},
	BrownOutLoop:     {Pack},
	Restarts:         {Pack},
	FrostCharge:      {Box, Pack},
}

// witness quotes the row.
func (r *Reader) witness(k Kind, c Column) string {
	if c == columns {
		if k == Duplicate {
			return "the time of the row before"
		}
		return fmt.Sprintf("%.0f s after the row before", r.sinceS)
	}
	var b strings.Builder
	quote := func(c Column) {
		if r.o.state[c] == Absent {
			return
		}
		if b.Len() > 0 {
			b.WriteString(", ")
		}
		b.WriteString(c.String())
		switch s := r.o.state[c]; s {
		case Missing, BusError:
			b.WriteString(" " + s.String())
		default:
			fmt.Fprintf(&b, " %.5g", r.o.raw[c])
			if u := c.Unit(); u != "" {
				b.WriteString(" " + u)
			}
		}
	}
	quote(c)
	for _, w := range witnesses[k] {
		if w != c {
			quote(w)
		}
	}
	return b.String()
}

// Troubles lists what was found so far, the most urgent first, then in the
// order in which it began.
func (r *Reader) Troubles() []Trouble {
	out := make([]Trouble, len(r.book.list))
	for i, t := range r.book.list {
		t.Evidence = slices.Clone(t.Evidence)
		out[i] = t
	}
	slices.SortStableFunc(out, func(a, b Trouble) int { return int(b.Word) - int(a.Word) })
	return out
}
