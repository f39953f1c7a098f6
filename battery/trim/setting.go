package trim

import (
	"errors"
	"math"
	"strconv"

	"github.com/stationphysics/stationphysics/battery"
	"github.com/stationphysics/stationphysics/internal/limit"
)

// ErrNoChargeVoltage is returned where a charge voltage is asked of a chemistry
// that has none: a NiMH cell is charged by current and time, and full when its
// voltage bends or its temperature climbs.
var ErrNoChargeVoltage = errors.New("NiMH has no charge voltage to set: it is charged by current and time, and ended by the bend of its voltage or its temperature")

// A Spec is what decides how high a charger may be set for a pack. Every
// error is a half-width, its sign unknown; the worst case takes all of them
// upwards at once.
type Spec struct {
	Chemistry battery.Chemistry
	Cells     int     // in series, 1..32
	TempC     float64 // of the cells while charging; moves lead-acid voltages only, -40..85

	MeterPct     float64 // of the reading, as on the meter's sheet: "±(0.5 % + 2 digits)", 0..10
	MeterDigitsV float64 // the digits of that sheet in volts on the range in use: 2 digits of 0.01 V are 0.02, 0..1
	DriftPct     float64 // of the trimmer and the reference over years and temperature, 0..20
	ChargerPct   float64 // of the charger between no load and taper, line and load together, 0..20

	// HighestCellV is how far the highest cell stands above the mean at the
	// end of charge, V, 0..1: measured with a meter on each cell, or computed from
	// capacity, state of charge and leakage with package charge.
	HighestCellV float64

	// DiodeTaperV is the drop, at the taper current, of a diode between the
	// charger's output, where it is set, and the pack, V, 0..1. It is the
	// small drop at the end of charge that counts, not the 0.4 V at full
	// current: the pack creeps up by the difference. 0 without a diode.
	DiodeTaperV float64
}

// A Setting is the answer for a Spec: what to set a charger to. All set
// voltages are of the whole pack, read at the charger's output with nothing
// connected.
type Setting struct {
	Spec        Spec
	LimitCellV  float64 // the chemistry's charge voltage of one cell at the temperature
	HighestV    float64 // highest setting at which even the worst case keeps the worst cell at the limit
	SetV        float64 // the setting to make
	LowestV     float64 // below it the pack no longer fills
	WorstCellV  float64 // highest cell at SetV with every error upwards
	LikelyCellV float64 // highest cell at SetV with the errors combined as independent ones
	MeanCellV   float64 // mean cell at SetV without any error
	MarginV     float64 // LimitCellV - WorstCellV, V a cell
	Window      bool    // whether HighestV reaches LowestV; if not, the errors are too large for a safe and useful setting
}

var (
	meterRange   = limit.Range{Quantity: "meter error", Unit: "%", Min: 0, Max: 10}
	digitsRange  = limit.Range{Quantity: "meter digits", Unit: "V", Min: 0, Max: 1, Slips: []limit.Slip{{Min: 1.001, Max: 20, Looks: "a count of digits"}}}
	driftRange   = limit.Range{Quantity: "trimmer drift", Unit: "%", Min: 0, Max: 20}
	chargerRange = limit.Range{Quantity: "charger tolerance", Unit: "%", Min: 0, Max: 20}
	highestRange = limit.Range{Quantity: "highest cell above the mean", Unit: "V", Min: 0, Max: 1, Slips: []limit.Slip{{Min: 1.001, Max: 1000, Looks: "millivolts"}}}
	diodeRange   = limit.Range{Quantity: "diode drop at taper", Unit: "V", Min: 0, Max: 1, Slips: []limit.Slip{{Min: 1.001, Max: 1000, Looks: "millivolts"}}}
)

// New works a Spec out. Errors: a field out of range, an unknown
// chemistry, ErrNoChargeVoltage for NiMH.
//
// With n cells, e the sum of the relative errors, d the digits, h the highest
// cell and f the diode,
//
//	worst cell = (V (1 + e) + d - f)/n + h,
//
// which is solved for V at the limit. The setting to make lies midway between
// the lowest and the highest, rounded to 0.05 V where that stays inside.
func New(spec Spec) (Setting, error) {
	if _, err := spec.Chemistry.PackLimits(spec.Cells, spec.TempC); err != nil {
		return Setting{}, err
	}
	if err := limit.First(meterRange.Check(spec.MeterPct), digitsRange.Check(spec.MeterDigitsV),
		driftRange.Check(spec.DriftPct), chargerRange.Check(spec.ChargerPct), highestRange.Check(spec.HighestCellV), diodeRange.Check(spec.DiodeTaperV)); err != nil {
		return Setting{}, err
	}
	l := spec.Chemistry.Limits()
	if !l.Charge.Exists() {
		return Setting{}, ErrNoChargeVoltage
	}
	n := float64(spec.Cells)
	t := Setting{Spec: spec, LimitCellV: l.Charge.At(spec.TempC), LowestV: n*l.Fill.At(spec.TempC) + spec.DiodeTaperV}
	t.HighestV = (n*(t.LimitCellV-spec.HighestCellV) - spec.MeterDigitsV + spec.DiodeTaperV) / (1 + spec.relative())
	t.Window = t.HighestV >= t.LowestV
	t.SetV = t.HighestV
	if t.Window {
		t.SetV = 0.5 * (t.LowestV + t.HighestV)
		const step = 0.05
		if r := math.Round(t.SetV/step) * step; r >= t.LowestV && r <= t.HighestV {
			t.SetV = r
		}
	}
	t.WorstCellV = t.WorstAtV(t.SetV)
	t.LikelyCellV = t.likelyAt(t.SetV)
	t.MeanCellV = (t.SetV - spec.DiodeTaperV) / n
	t.MarginV = t.LimitCellV - t.WorstCellV
	return t, nil
}

func (s *Spec) relative() float64 { return (s.MeterPct + s.DriftPct + s.ChargerPct) / 100 }

// WorstAtV returns the voltage of the highest cell for a setting of the pack,
// with every error upwards. NaN for a setting that is not above 0.
func (t Setting) WorstAtV(setV float64) (cellV float64) {
	if !(setV > 0) || t.Spec.Cells < 1 {
		return math.NaN()
	}
	s := &t.Spec
	return (setV*(1+s.relative())+s.MeterDigitsV-s.DiodeTaperV)/float64(s.Cells) + s.HighestCellV
}

func (t Setting) likelyAt(setV float64) float64 {
	s := &t.Spec
	n := float64(s.Cells)
	// The half-widths combined as independent ones; the highest cell is no
	// error of the setting and is added.
	u := math.Sqrt(sq(setV*s.MeterPct/100)+sq(s.MeterDigitsV)+sq(setV*s.DriftPct/100)+sq(setV*s.ChargerPct/100)) / n
	return (setV-s.DiodeTaperV)/n + u + s.HighestCellV
}

func sq(x float64) float64 { return x * x }

// Instruction says what to do in one sentence: "Set 14.00 V at the charger's
// output, read with nothing connected, between 13.80 and 14.23 V; ...".
func (t Setting) Instruction() string {
	if t.Spec.Cells < 1 {
		return "No pack, nothing to set."
	}
	if !t.Window {
		return "No safe and useful setting: the errors leave at most " + volts(floor2(t.HighestV)) + ", and the pack fills from " +
			volts(t.LowestV) + ". Use a better meter, match the cells, or replace the trimmer by fixed resistors."
	}
	s := "Set " + volts(t.SetV) + " at the charger's output, read with nothing connected, between " +
		strconv.FormatFloat(t.LowestV, 'f', 2, 64) + " and " + volts(floor2(t.HighestV)) + ". The highest of the " +
		strconv.Itoa(t.Spec.Cells) + " cells then reaches at most " + millivolts(t.WorstCellV) + ", " + millivolts(t.MarginV) +
		" below the " + volts(t.LimitCellV) + " of " + t.Spec.Chemistry.String() + "."
	if t.Spec.DiodeTaperV > 0 {
		s += " Read before the diode, not behind it."
	}
	return s
}

func volts(v float64) string      { return strconv.FormatFloat(v, 'f', 2, 64) + " V" }
func millivolts(v float64) string { return strconv.FormatFloat(v, 'f', 3, 64) + " V" }

// floor2 rounds down to 0.01, for a limit must not be rounded up.
func floor2(v float64) float64 { return math.Floor(v*100+1e-9) / 100 }
