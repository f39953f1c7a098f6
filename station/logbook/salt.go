package logbook

import (
	"math"
	"strings"

	"github.com/stationphysics/stationphysics"
	"github.com/stationphysics/stationphysics/internal/limit"
	"github.com/stationphysics/stationphysics/psychro"
	"github.com/stationphysics/stationphysics/station"
)

// A Salt is a saturated solution over which the air of a closed box takes a
// known humidity: a check point for a humidity sensor. Solid salt must lie in
// the solution, box and salt must have one temperature, and the air needs an
// hour or more.
type Salt struct {
	name string
	pct  [9]float64 // at 0, 5 … 40 °C
	half [9]float64
}

// saltStepC is the distance of the table's temperatures.
const saltStepC = 5

// salts is the table of Greenspan (1977), Journal of Research of the National
// Bureau of Standards 81A:89, table 2, with the uncertainties that it states.
// The humidities are those of the polynomials of its table 1, cut after the
// second decimal as it does; the uncertainties are from memory, and agree with
// those that others print of them (see the check values).
var salts = []Salt{
	{"lithium chloride",
		[9]float64{11.23, 11.26, 11.29, 11.30, 11.31, 11.30, 11.28, 11.25, 11.21},
		[9]float64{0.54, 0.47, 0.41, 0.35, 0.31, 0.27, 0.24, 0.22, 0.21}},
	{"magnesium chloride",
		[9]float64{33.66, 33.60, 33.47, 33.30, 33.07, 32.78, 32.44, 32.05, 31.60},
		[9]float64{0.33, 0.28, 0.24, 0.21, 0.18, 0.16, 0.14, 0.13, 0.13}},
	{"magnesium nitrate",
		[9]float64{60.35, 58.86, 57.36, 55.87, 54.38, 52.89, 51.40, 49.91, 48.42},
		[9]float64{0.55, 0.43, 0.33, 0.27, 0.23, 0.22, 0.24, 0.29, 0.37}},
	{"sodium chloride",
		[9]float64{75.51, 75.65, 75.67, 75.61, 75.47, 75.29, 75.09, 74.87, 74.68},
		[9]float64{0.34, 0.27, 0.22, 0.18, 0.14, 0.12, 0.11, 0.12, 0.13}},
	{"potassium chloride",
		[9]float64{88.61, 87.67, 86.77, 85.92, 85.11, 84.34, 83.62, 82.95, 82.32},
		[9]float64{0.53, 0.45, 0.39, 0.33, 0.29, 0.26, 0.25, 0.25, 0.25}},
	{"potassium sulphate",
		[9]float64{98.77, 98.48, 98.18, 97.89, 97.59, 97.30, 97.00, 96.71, 96.41},
		[9]float64{1.10, 0.91, 0.76, 0.63, 0.53, 0.45, 0.40, 0.38, 0.38}},
}

var saltRange = limit.Range{Quantity: "temperature of the salt", Unit: "°C", Min: 0, Max: 40, Slips: []limit.Slip{{Min: 273, Max: 314, Looks: "kelvins"}}}

// Salts lists the check points from the driest to the dampest: the sodium
// chloride of the kitchen is the usual one, magnesium chloride the second.
func Salts() []Salt { return append([]Salt(nil), salts...) }

// FindSalt finds a salt by its name in capitals or small letters; the error is a
// *stationphysics.NameError with the names that are.
func FindSalt(name string) (Salt, error) {
	names := make([]string, len(salts))
	for i, s := range salts {
		if strings.EqualFold(strings.TrimSpace(name), s.name) {
			return s, nil
		}
		names[i] = s.name
	}
	return Salt{}, &stationphysics.NameError{Kind: "salt", Name: name, Known: names}
}

// Name is the salt's name.
func (s Salt) Name() string { return s.name }

// HumidityPct is the humidity over the solution at 0..40 °C, linear between
// the 5 K steps of the table, which adds 0.05 % at most. The half-width is the
// table's. Absent for a temperature outside; CheckSaltTemp says why.
func (s Salt) HumidityPct(tempC float64) Measure {
	if !saltRange.Holds(tempC) || s.name == "" {
		return absent()
	}
	i := min(int(tempC/saltStepC), len(s.pct)-2)
	f := tempC/saltStepC - float64(i)
	at := func(v *[9]float64) float64 { return v[i] + f*(v[i+1]-v[i]) }
	return Measure{Value: at(&s.pct), Half: at(&s.half), State: Good}
}

// CheckSaltTemp explains a Salt.HumidityPct that is Absent. It returns a
// *stationphysics.RangeError, or nil.
func CheckSaltTemp(tempC float64) error { return saltRange.Check(tempC) }

// A SaltReading is what a humidity sensor read over a solution.
type SaltReading struct {
	TempC        float64 // of the solution, 0..40 °C
	ReadPct      float64 // 0..105 %
	TolerancePct float64 // of the sensor, above 0
	ApartK       float64 // by how much sensor and solution may differ in temperature, 0 or more
}

// Judge compares a reading over the solution with the table: the deviation
// with its half-width, and Fine or Change by whether both may be right;
// CannotTell for a reading out of range. A difference of temperature counts
// heavily: a sensor 1 K warmer than the salt reads lower by a seventeenth.
func (s Salt) Judge(r SaltReading) (deviationPct Measure, word station.Word) {
	want := s.HumidityPct(r.TempC)
	if !want.OK() || !(r.ReadPct >= 0 && r.ReadPct <= 105) || !(r.TolerancePct > 0) || !(r.ApartK >= 0) {
		return absent(), station.CannotTell
	}
	// d ln es/dT of the Magnus form, psychro.WMO8.
	t := r.TempC
	perK := want.Value * psychro.WMO8.SlopeHPaPerK(psychro.Water, t) / psychro.WMO8.PressureHPa(psychro.Water, t)
	h := half(uniform(r.TolerancePct), want.Half/2, perK*r.ApartK/math.Sqrt(3))
	d := Measure{Value: r.ReadPct - want.Value, Half: h, State: Good}
	if math.Abs(d.Value) > h {
		return d, station.Change
	}
	return d, station.Fine
}
