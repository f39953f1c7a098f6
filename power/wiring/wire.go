package wiring

import (
	"cmp"
	"math"
	"slices"

	"github.com/stationphysics/stationphysics"
	"github.com/stationphysics/stationphysics/internal/limit"
)

const (
	// copperOhmM is the resistivity of annealed copper at 20 °C, ohm·m: 1/58
	// ohm·mm²/m (IEC 60028).
	copperOhmM = 1 / 58e6
	// copperPerK is its temperature coefficient about 20 °C, 1/K (IEC 60028).
	copperPerK = 3.93e-3
)

// A Class is a class of conductor of IEC 60228.
type Class uint8

// The classes in ordinary use.
const (
	Solid    Class = 1 // class 1
	Stranded Class = 2 // class 2
	Flexible Class = 5 // class 5, plain wires; class 6 has the same resistance
)

// iec60228 holds area in mm² and the largest resistance at 20 °C in ohm/km of
// plain annealed copper: classes 1 and 2, and class 5.
var iec60228 = [...]struct{ areaMm2, fixed, flexible float64 }{
	{0.5, 36.0, 39.0}, {0.75, 24.5, 26.0}, {1, 18.1, 19.5}, {1.5, 12.1, 13.3}, {2.5, 7.41, 7.98}, {4, 4.61, 4.95}, {6, 3.08, 3.30},
	{10, 1.83, 1.91}, {16, 1.15, 1.21}, {25, 0.727, 0.780}, {35, 0.524, 0.554}, {50, 0.387, 0.386},
}

// A Conductor is one copper conductor. Its zero value returns NaN.
type Conductor struct{ areaMm2, ohmPerM float64 }

var (
	wGauge  = limit.Range{Quantity: "wire gauge", Min: -3, Max: 40}
	wArea   = limit.Range{Quantity: "conductor area", Unit: "mm²", Min: 0.001, Max: 500}
	wSeries = limit.Range{Quantity: "nominal area", Unit: "mm²", Min: 0.5, Max: 50}
)

// AWG returns the solid conductor of an American wire gauge, -3 (0000) to 40,
// of pure annealed copper: diameter = 0.127 mm · 92^((36-n)/39) (ASTM B258).
// Real wire may have a few per cent more resistance. It returns a
// *stationphysics.RangeError for a gauge outside the range.
func AWG(gauge int) (Conductor, error) {
	if err := wGauge.Check(float64(gauge)); err != nil {
		return Conductor{}, err
	}
	d := 0.127 * math.Pow(92, float64(36-gauge)/39)
	return Copper(math.Pi / 4 * d * d)
}

// Copper returns a conductor of pure annealed copper of an area in mm²,
// 0.001..500, or a *stationphysics.RangeError.
func Copper(areaMm2 float64) (Conductor, error) {
	if err := wArea.Check(areaMm2); err != nil {
		return Conductor{}, err
	}
	return Conductor{areaMm2, copperOhmM * 1e6 / areaMm2}, nil
}

// IEC returns the conductor of a nominal area with the largest resistance its
// class may have (IEC 60228, plain copper, 0.5..50 mm²). Unlike a gauge a
// nominal area is a resistance, not a geometry. It returns a
// *stationphysics.RangeError for an area outside the series, and a
// *stationphysics.ConflictError for one between its steps or a class other than
// the three.
func IEC(nominalMm2 float64, class Class) (Conductor, error) {
	if err := wSeries.Check(nominalMm2); err != nil {
		return Conductor{}, err
	}
	if class != Solid && class != Stranded && class != Flexible {
		return Conductor{}, notOf("conductor class", float64(class), "", []float64{1, 2, 5}, "the classes are 1 (solid), 2 (stranded) and 5 (flexible)")
	}
	areas := make([]float64, 0, len(iec60228))
	for _, row := range iec60228 {
		if row.areaMm2 == nominalMm2 {
			r := row.fixed
			if class == Flexible {
				r = row.flexible
			}
			return Conductor{row.areaMm2, r / 1000}, nil
		}
		areas = append(areas, row.areaMm2)
	}
	return Conductor{}, notOf("nominal area", nominalMm2, "mm²", areas, "the areas are 0.5, 0.75, 1, 1.5, 2.5, 4, 6, 10, 16, 25, 35 and 50 mm²")
}

// notOf words that a value is none of a series of IEC 60228.
func notOf(quantity string, v float64, unit string, series []float64, rule string) error {
	nearest := slices.MinFunc(series, func(a, b float64) int { return cmp.Compare(math.Abs(a-v), math.Abs(b-v)) })
	return &stationphysics.ConflictError{Quantities: []string{quantity, "nearest " + quantity + " of IEC 60228"}, Values: []float64{v, nearest}, Units: []string{unit, unit}, Rule: rule}
}

// AreaMm2 returns the area in mm², nominal for a conductor of IEC 60228.
func (c Conductor) AreaMm2() float64 {
	if c.areaMm2 == 0 {
		return math.NaN()
	}
	return c.areaMm2
}

// DiameterMm returns the diameter in mm of a round wire of the area.
func (c Conductor) DiameterMm() float64 { return math.Sqrt(4 * c.AreaMm2() / math.Pi) }

// OhmPerM returns the resistance of one metre in ohm at a temperature in °C:
// R20·(1 + 0.00393·(t - 20)). NaN outside -60..200 °C.
func (c Conductor) OhmPerM(tempC float64) float64 {
	if c.areaMm2 == 0 || !(tempC >= -60 && tempC <= 200) {
		return math.NaN()
	}
	return c.ohmPerM * (1 + copperPerK*(tempC-20))
}

// A Run is a pair of conductors to a load and back.
type Run struct {
	Wire       Conductor
	LengthM    float64 // one way, 0 to below 1e6 m: the current passes it twice
	TempC      float64 // of the conductor, °C
	ContactOhm float64 // of all connectors, fuses and clamps together, 0 to below 1e6 ohm
}

// LoopOhm returns the resistance of the way there and back in ohm. NaN for a
// negative or NaN length or contact resistance, or a temperature OhmPerM does
// not accept.
func (r Run) LoopOhm() float64 {
	if !(r.LengthM >= 0 && r.LengthM < 1e6 && r.ContactOhm >= 0 && r.ContactOhm < 1e6) {
		return math.NaN()
	}
	return 2*r.LengthM*r.Wire.OhmPerM(r.TempC) + r.ContactOhm
}

// DropV returns the voltage lost in V at a current in A; NaN as LoopOhm.
func (r Run) DropV(currentA float64) float64 { return currentA * r.LoopOhm() }

// LossW returns the heat in the run in W at a current in A; NaN as LoopOhm.
func (r Run) LossW(currentA float64) float64 { return currentA * currentA * r.LoopOhm() }

// SmallestIEC returns the smallest nominal area in mm² of a class whose run of
// lengthM one way at tempC loses no more than dropV at currentA. The area must
// also carry the current without overheating in its cable and surroundings,
// which installation rules decide, not this formula. NaN if none of the series
// up to 50 mm² does or an argument is outside what Run accepts.
func SmallestIEC(class Class, run Run, currentA, dropV float64) (areaMm2 float64) {
	for _, row := range iec60228 {
		c, err := IEC(row.areaMm2, class)
		if err != nil {
			return math.NaN()
		}
		run.Wire = c
		if math.Abs(run.DropV(currentA)) <= dropV {
			return row.areaMm2
		}
	}
	return math.NaN()
}

// StraightWireHenry returns the inductance in H of a straight round wire far
// from its return: 0.2 µH/m · length · (ln(4·length/diameter) - 0.75) (Rosa,
// Bull. Bureau of Standards 4, 1908, as regulator data sheets print it). Two
// wires laid side by side have less: about 0.5..1 µH per metre of pair. NaN
// unless the wire is at least ten times as long as thick and below 100 km.
func StraightWireHenry(lengthM, diameterMm float64) float64 {
	if !(diameterMm > 0 && lengthM*1000 >= 10*diameterMm && lengthM < 1e5) {
		return math.NaN()
	}
	return 0.2e-6 * lengthM * (math.Log(4*lengthM*1000/diameterMm) - 0.75)
}
