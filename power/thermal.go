package power

import (
	"math"

	"github.com/stationphysics/stationphysics"
	"github.com/stationphysics/stationphysics/internal/limit"
)

// Cooling is the way of the heat from the junction of a part to the air, as
// one resistance. The resistance belongs to the board as much as to the part;
// package thermal computes it.
type Cooling struct {
	AmbientC   float64 // air at the part, inside the box, -90..150 °C
	ThetaKPerW float64 // junction to that air, above 0 K/W
}

var (
	coolAmbient = limit.Range{Quantity: "ambient temperature", Unit: "°C", Min: -90, Max: 150, Slips: []limit.Slip{{Min: 183, Max: 423, Looks: "kelvins"}}}
	coolTheta   = limit.Range{Quantity: "thermal resistance", Unit: "K/W", Min: 0.01, Max: 2000}
)

// Check returns nil if the cooling is usable, and otherwise a
// *stationphysics.RangeError: ambient -90..150 °C, resistance 0.01..2000 K/W.
func (c Cooling) Check() error {
	return limit.First(coolAmbient.Check(c.AmbientC), coolTheta.Check(c.ThetaKPerW))
}

func (c Cooling) usable() bool { return coolAmbient.Holds(c.AmbientC) && coolTheta.Holds(c.ThetaKPerW) }

// JunctionC returns the junction temperature in °C of a part that turns the
// power of p into heat: ambient + theta·heat. NaN if the cooling fails Check.
func (c Cooling) JunctionC(p Point) float64 {
	if !c.usable() {
		return math.NaN()
	}
	return c.AmbientC + c.ThetaKPerW*p.DissipationW
}

// PowerW returns the heat in W that brings a junction to junctionC, 0 if the
// air is already hotter. NaN if the cooling fails Check.
func (c Cooling) PowerW(junctionC float64) float64 {
	if !c.usable() || math.IsNaN(junctionC) {
		return math.NaN()
	}
	return max(0, (junctionC-c.AmbientC)/c.ThetaKPerW)
}

// AllowedW returns the heat in W at which the rated junction temperature is
// reached. NaN if the sheet gave no rating or the cooling fails Check.
func (r Linear) AllowedW(c Cooling) float64 {
	if r.s.MaxJunctionC == 0 {
		return math.NaN()
	}
	return c.PowerW(r.s.MaxJunctionC)
}

// LargestLoadA returns the largest load in A that the part regulates at
// inputV with no more heat than limitW, and no more than its current limit:
//
//	load = (limit - input·QuiescentA) / (input - SetV + input·GroundRatio)
//
// 0 if its own current alone is too much or the input is in dropout; NaN if
// the input is negative, NaN or above the maximum, or limitW is negative or NaN.
func (r Linear) LargestLoadA(inputV, limitW float64) float64 {
	if !(inputV >= 0 && inputV <= r.s.MaxInputV && limitW >= 0) || r.s.SetV == 0 {
		return math.NaN()
	}
	room := inputV - r.regulateV
	if room < 0 {
		return 0
	}
	i := r.s.CurrentLimitA
	if r.s.DropoutOhm > 0 {
		i = min(i, room/r.s.DropoutOhm)
		if float64(r.s.DropoutOhm*i) > room {
			i = math.Nextafter(i, 0) // the quotient was rounded up, into dropout
		}
	}
	if perA := inputV - r.s.SetV + inputV*r.s.GroundRatio; perA > 0 {
		i = min(i, (limitW-inputV*r.s.QuiescentA)/perA)
	}
	return max(0, i)
}

// LargestInputV returns the largest input in V at which a load is regulated
// with no more heat than limitW, at most MaxInputV:
//
//	input = (limit + SetV·load) / (load + QuiescentA + GroundRatio·load)
//
// NaN if there is none because even the lowest regulating input heats the part
// more, if the load exceeds the current limit, or if an argument is negative or
// NaN.
func (r Linear) LargestInputV(loadA, limitW float64) float64 {
	if !(loadA >= 0 && loadA <= r.s.CurrentLimitA && limitW >= 0) || r.s.SetV == 0 {
		return math.NaN()
	}
	v := r.s.MaxInputV
	if in := loadA + r.s.QuiescentA + r.s.GroundRatio*loadA; in > 0 {
		v = min(v, (limitW+r.s.SetV*loadA)/in)
	}
	if v-r.regulateV-float64(r.s.DropoutOhm*loadA) < 0 { // as At has it
		return math.NaN()
	}
	return v
}

// AtHot returns the operating point with a resistor as the load when the part
// may limit itself thermally: if the junction would pass ShutdownC, the output
// falls until the heat just holds that temperature,
//
//	(input - output)·output/load + input·own = (ShutdownC - ambient)/theta
//
// taken at the lower of its two roots: between them less output means more
// heat, so that the part cannot rest there. Real parts hunt about this mean.
// Without ShutdownC, or with a cooling that fails its Check, the state is
// Unknown. If the own current alone holds the shutdown temperature the output
// is 0.
func (r Linear) AtHot(inputV, loadOhm float64, c Cooling) Point {
	if r.s.ShutdownC == 0 || !c.usable() {
		return unknownPoint
	}
	p := r.AtOhm(inputV, loadOhm)
	limitW := c.PowerW(r.s.ShutdownC)
	if p.State == Unknown || p.State == Off || p.State == OverMaximum || p.DissipationW <= limitW {
		return p
	}
	// With g the ratio of own to load current, heat is
	// vin·iq + i·(vin(1+g) - i·R): solve for the load current i.
	b := inputV * (1 + r.s.GroundRatio)
	net := max(0, limitW-inputV*r.s.QuiescentA)
	// The discriminant is positive: AtOhm's point, with more heat than the
	// limit, lies on the same parabola. Written to avoid the difference of
	// near-equal numbers, and to hold at 0 ohm.
	p.State, p.LoadA, p.OutputV = ThermallyLimited, 0, 0
	if net > 0 { // without a load, of infinite resistance, nothing is ever left
		p.LoadA = 2 * net / (b + math.Sqrt(b*b-4*loadOhm*net))
		p.OutputV = p.LoadA * loadOhm
	}
	own := r.s.QuiescentA + r.s.GroundRatio*p.LoadA
	p.InputA = p.LoadA + own
	p.DissipationW = (inputV-p.OutputV)*p.LoadA + inputV*own
	return p
}

// OutputsAtDissipationV returns the two output voltages at which a linear part
// that feeds a resistor of loadOhm from inputV turns passW into heat in its
// pass element, own current not counted:
//
//	(input - output)·output/load = pass   =>   output = (input ∓ √(input² - 4·load·pass))/2
//
// A bench table that gives only input, load and watts is closed with it. NaN
// if no output reaches that heat (the most is input²/(4·load)), or if an
// argument is not a positive finite number (passW may be 0); CheckDissipation
// says why.
func OutputsAtDissipationV(inputV, loadOhm, passW float64) (lowV, highV float64) {
	if CheckDissipation(inputV, loadOhm, passW) != nil {
		return math.NaN(), math.NaN()
	}
	// At the most heat the difference vanishes, and rounding must not make it less.
	root := math.Sqrt(max(0, inputV*inputV-4*loadOhm*passW))
	highV = (inputV + root) / 2
	return loadOhm * passW / highV, highV
}

var (
	readIn   = limit.Range{Quantity: "input voltage", Unit: "V", Min: 1e-6, Max: 1000, Slips: []limit.Slip{{Min: 3000, Max: 1e5, Looks: "millivolts"}}}
	readLoad = limit.Range{Quantity: "load resistance", Unit: "ohm", Min: 1e-6, Max: 1e9}
	readHeat = limit.Range{Quantity: "dissipation", Unit: "W", Min: 0, Max: 1e4}
)

// CheckDissipation explains a NaN of OutputsAtDissipationV: a
// *stationphysics.RangeError for one argument, a *stationphysics.ConflictError
// if the heat cannot be reached.
func CheckDissipation(inputV, loadOhm, passW float64) error {
	if err := limit.First(readIn.Check(inputV), readLoad.Check(loadOhm), readHeat.Check(passW)); err != nil {
		return err
	}
	if most := inputV * inputV / (4 * loadOhm); passW > most {
		return &stationphysics.ConflictError{Quantities: []string{"dissipation", "largest possible"}, Values: []float64{passW, most},
			Units: []string{"W", "W"}, Rule: "no output voltage turns so much into heat at this input and load"}
	}
	return nil
}
