package baro

import (
	"errors"
	"math"
	"time"
)

// A Characteristic is the figure of WMO code table 0200 for the course of
// pressure over the past three hours (WMO-No. 306, section a).
type Characteristic uint8

// The figures of code table 0200.
const (
	RisingThenFalling         Characteristic = 0 // now the same as or higher than three hours ago
	RisingThenSteady          Characteristic = 1 // or rising, then rising more slowly: higher
	Rising                    Characteristic = 2 // steadily or unsteadily: higher
	FallingOrSteadyThenRising Characteristic = 3 // or rising, then rising more rapidly: higher
	Steady                    Characteristic = 4 // the same
	FallingThenRising         Characteristic = 5 // the same or lower
	FallingThenSteady         Characteristic = 6 // or falling, then falling more slowly: lower
	Falling                   Characteristic = 7 // steadily or unsteadily: lower
	RisingOrSteadyThenFalling Characteristic = 8 // or falling, then falling more rapidly: lower
)

// A Tendency is the change of station pressure over three hours.
type Tendency struct {
	ChangeHPa      float64        // pressure now less pressure three hours ago
	Characteristic Characteristic // code table 0200
}

// The two halves of the three hours count as differing in rate when their
// changes differ by more than this: two units of the tenth of a hectopascal in
// which the change is reported. The code table gives no number; this is our
// choice.
const halvesDiffer = 20 // hundredths of a hectopascal

// halfSteady is the change below which one half counts as steady: half a unit
// of the reported tenth on both ends.
const halfSteady = 0.1

// Characterise picks the figure of code table 0200 for a station pressure
// three hours ago, ninety minutes ago and now. All three must lie in 300..1100
// hPa, otherwise ok is false.
func Characterise(before, between, now StationHPa) (t Tendency, ok bool) {
	if !stationRange.Holds(float64(before)) || !stationRange.Holds(float64(between)) || !stationRange.Holds(float64(now)) {
		return Tendency{ChangeHPa: nan()}, false
	}
	first, second := float64(between-before), float64(now-between)
	total := float64(now - before)
	t.ChangeHPa = total
	tenths := math.Round(total * 10)
	// In hundredths, so that the threshold does not hang on a binary rounding.
	faster := math.Round((second - first) * 100)
	up1, up2 := first >= halfSteady, second >= halfSteady
	down1, down2 := first <= -halfSteady, second <= -halfSteady
	switch {
	case up1 && down2:
		t.Characteristic = RisingOrSteadyThenFalling
		if tenths >= 0 {
			t.Characteristic = RisingThenFalling
		}
	case down1 && up2:
		t.Characteristic = FallingOrSteadyThenRising
		if tenths <= 0 {
			t.Characteristic = FallingThenRising
		}
	case tenths == 0:
		t.Characteristic = Steady
	case tenths > 0:
		switch {
		case faster > halvesDiffer:
			t.Characteristic = FallingOrSteadyThenRising
		case faster < -halvesDiffer:
			t.Characteristic = RisingThenSteady
		default:
			t.Characteristic = Rising
		}
	case faster < -halvesDiffer:
		t.Characteristic = RisingOrSteadyThenFalling
	case faster > halvesDiffer:
		t.Characteristic = FallingThenSteady
	default:
		t.Characteristic = Falling
	}
	return t, true
}

// ErrOrder is returned by TendencyWindow.Add for a time before the last
// one.
var ErrOrder = errors.New("a pressure older than the one before: times must rise")

const (
	windowMinutes = 195 // three hours and the tolerance at their start
	nearMinutes   = 15  // how far a stand-in for a missing minute may lie
)

// A TendencyWindow keeps the last three hours of one-minute station pressures
// in a fixed amount of memory. Gaps stay gaps: a missing minute is stood in
// for by the nearest one within 15 minutes, and if there is none the tendency
// is not defined. The zero value is an empty window. It is not safe for
// concurrent use.
type TendencyWindow struct {
	hPa   [windowMinutes + 1]float64 // by minute modulo the length; 0 is none
	last  int64                      // the newest minute, since the Unix epoch
	begun bool
}

// Add takes the pressure of the minute in which t falls; a second value of the
// same minute replaces the first. A pressure outside 300..1100 hPa is refused
// with a RangeError and leaves a gap, a time before the last one with
// ErrOrder.
func (w *TendencyWindow) Add(t time.Time, p StationHPa) error {
	minute := floorDiv(t.Unix(), 60)
	if w.begun && minute < w.last {
		return ErrOrder
	}
	w.advance(minute)
	if err := stationRange.Check(float64(p)); err != nil {
		return err
	}
	w.hPa[w.slot(minute)] = float64(p)
	return nil
}

// advance moves the newest minute forward and clears the minutes between.
func (w *TendencyWindow) advance(minute int64) {
	if !w.begun || minute-w.last > windowMinutes {
		w.hPa = [windowMinutes + 1]float64{}
	} else {
		for m := w.last + 1; m <= minute; m++ {
			w.hPa[w.slot(m)] = 0
		}
	}
	w.last, w.begun = minute, true
}

// Tendency returns the change over the three hours up to the newest minute
// added. ok is false while three hours are not covered, or if the pressure
// three hours ago, ninety minutes ago or now is missing by more than 15
// minutes.
func (w *TendencyWindow) Tendency() (t Tendency, ok bool) {
	// A missing one is 0, which Characterise refuses.
	return Characterise(w.near(w.last-180), w.near(w.last-90), w.near(w.last))
}

// near finds the pressure nearest to a minute, the earlier of two equally near,
// 0 if there is none.
func (w *TendencyWindow) near(minute int64) StationHPa {
	for d := int64(0); d <= nearMinutes; d++ {
		for _, m := range [2]int64{minute - d, minute + d} {
			if m <= w.last && m >= w.last-windowMinutes {
				if p := w.hPa[w.slot(m)]; p != 0 {
					return StationHPa(p)
				}
			}
		}
	}
	return 0
}

func (w *TendencyWindow) slot(minute int64) int64 {
	n := int64(len(w.hPa))
	return (minute%n + n) % n
}

func floorDiv(a, b int64) int64 {
	q := a / b
	if a%b < 0 {
		q--
	}
	return q
}
