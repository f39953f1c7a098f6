package bench

import (
	"fmt"
	"math"

	"github.com/stationphysics/stationphysics/power"
)

// A WattsSlip says how a user's own figure for the power lost comes to be
// wrong.
type WattsSlip uint8

// The slips that are recognised.
const (
	WattsNotGiven    WattsSlip = iota // there is no figure, or nothing to compare it with
	WattsRight                        // agrees within the uncertainties
	WattsWithoutOwn                   // (Vin - Vout)·I: the part's own current is left out
	WattsInputTimesI                  // Vin·I: counts the power of the load as heat in the part
	WattsLoadPower                    // Vout·I: the power of the load, not of the part
	WattsShortedLoad                  // Vin²/R: what the load would take from a shorted part
	WattsDropSquared                  // (Vin - Vout)²/R: the load resistor is not in the part
	WattsThousand                     // right but for a factor of a thousand
	WattsUnexplained                  // none of these
)

var wattsText = [...]string{
	"no figure to check",
	"the power figure is right",
	"(Vin - Vout)·I, without the part's own current",
	"Vin·I: that counts the power of the load as heat in the part",
	"Vout·I: that is the power of the load",
	"Vin²/R: that is what the load would take from a shorted part",
	"(Vin - Vout)²/R: the load resistor carries Vout, not the difference",
	"right but for a factor of a thousand",
	"not explained by a usual slip",
}

// String says it in words.
func (s WattsSlip) String() string {
	if int(s) < len(wattsText) {
		return wattsText[s]
	}
	return "?"
}

// load returns the current of a row and its standard uncertainty, from the
// ammeter if there is one, else from output and resistance.
func (b *Bench) load(r *Row) (loadA, uA float64) {
	if !math.IsNaN(r.LoadA) {
		return r.LoadA, standard(r.LoadA, b.m.CurrentPct, b.m.CurrentFloorA)
	}
	loadA = r.OutputV / r.LoadOhm
	return loadA, math.Hypot(b.uVolt(r.OutputV)/r.LoadOhm, loadA*b.m.LoadPct/100/math.Sqrt(3))
}

// dissipation returns P = (Vin - Vout)·I + Vin·Iq and its expanded uncertainty
// by the law of propagation (JCGM 100 5.1.2), with I = Vout/R inserted where the
// load is a resistance, since the same reading of Vout then enters twice.
func (b *Bench) dissipation(r *Row) (powerW, expandedW float64) {
	loadA, uI := b.load(r)
	ownA, uOwn := b.own(loadA)
	h := r.InputV - r.OutputV
	uIn, uOut := b.uVolt(r.InputV), b.uVolt(r.OutputV)
	powerW = h*loadA + r.InputV*ownA
	terms := []float64{(loadA + ownA) * uIn, loadA * uOut, h * uI, r.InputV * uOwn}
	if math.IsNaN(r.LoadA) {
		terms[1] = (r.InputV - 2*r.OutputV) / r.LoadOhm * uOut
		terms[2] = h * loadA * b.m.LoadPct / 100 / math.Sqrt(3)
	}
	sum := 0.0
	for _, t := range terms {
		sum += t * t
	}
	return powerW, coverage * math.Sqrt(sum)
}

// checkWatts compares the user's figure with the dissipation and, if it is
// wrong, with the usual slips.
func (b *Bench) checkWatts(r *Row, powerW, expandedW float64) WattsSlip {
	if math.IsNaN(r.OwnW) || math.IsNaN(powerW) {
		return WattsNotGiven
	}
	loadA, _ := b.load(r)
	// A figure is written with two or three digits: half a percent belongs to
	// the rounding.
	near := func(x float64) bool { return math.Abs(r.OwnW-x) <= expandedW+0.005*math.Abs(x) }
	ohm := r.LoadOhm
	if math.IsNaN(ohm) {
		ohm = r.OutputV / loadA
	}
	// The figure must lie nearer to the slip than to the truth, else a coarse
	// meter would explain anything.
	right := math.Abs(r.OwnW - powerW)
	switch {
	case near(powerW):
		return WattsRight
	case near((r.InputV - r.OutputV) * loadA):
		return WattsWithoutOwn
	}
	for _, c := range []struct {
		slip WattsSlip
		x    float64
	}{
		{WattsInputTimesI, r.InputV * loadA},
		{WattsLoadPower, r.OutputV * loadA},
		{WattsShortedLoad, r.InputV * r.InputV / ohm},
		{WattsDropSquared, (r.InputV - r.OutputV) * (r.InputV - r.OutputV) / ohm},
		{WattsThousand, powerW * 1000},
		{WattsThousand, powerW / 1000},
	} {
		if math.Abs(r.OwnW-c.x) <= 0.02*c.x && math.Abs(r.OwnW-c.x) < right {
			return c.slip
		}
	}
	return WattsUnexplained
}

// outputFromHeat returns the two output voltages at which a linear part loses
// powerW into a resistor: the roots of (Vin - Vout)·Vout/R + Vin·Iq = P,
//
//	Vout = (Vin ∓ √(Vin² - 4R(P - Vin·Iq)))/2
//
// The heat cannot tell them apart. Both are NaN if the part cannot lose so much
// into that load: at most Vin²/(4R) + Vin·Iq, at half the input voltage, or less
// than its own current alone takes.
func outputFromHeat(inputV, loadOhm, powerW, ownA float64) (lowV, highV float64) {
	if !(ownA >= 0) {
		return math.NaN(), math.NaN()
	}
	// A rounded product: fused, a difference that vanishes may fall below zero.
	return power.OutputsAtDissipationV(inputV, loadOhm, powerW-float64(inputV*ownA))
}

// deriveOutput fills in an output voltage that was not measured from the user's
// power figure, taking it as (Vin - Vout)·I; as the whole dissipation, own
// current included, only where no output loses so much otherwise. It returns
// whether it did, and the reason.
func (b *Bench) deriveOutput(r *Row) (bool, string) {
	if !math.IsNaN(r.OutputV) || math.IsNaN(r.OwnW) || math.IsNaN(r.LoadOhm) || math.IsNaN(r.InputV) {
		return false, ""
	}
	most := r.InputV * r.InputV / (4 * r.LoadOhm)
	lowV, highV := outputFromHeat(r.InputV, r.LoadOhm, r.OwnW, 0)
	taken := "neglected"
	if math.IsNaN(lowV) {
		ownA, u := b.own(r.InputV / 2 / r.LoadOhm)
		largest := r.InputV * (ownA + u*math.Sqrt(3))
		if !(r.OwnW-most <= largest) {
			return false, fmt.Sprintf("no output voltage loses %.3g W into %.4g ohm at %.4g V: at most %.3g W, and %.2g W by the own current", r.OwnW, r.LoadOhm, r.InputV, most, largest)
		}
		// The typical own current, or what is needed beyond it.
		ownW := math.Max(r.InputV*ownA, r.OwnW-most)
		if ownW > r.OwnW {
			return false, "" // less than the part alone takes: says nothing of the output
		}
		taken = fmt.Sprintf("counted with %.2g W", ownW)
		if lowV, highV = outputFromHeat(r.InputV, r.LoadOhm, r.OwnW-ownW, 0); math.IsNaN(lowV) {
			lowV, highV = r.InputV/2, r.InputV/2 // the most, but for the last digit
		}
	}
	_, hi := b.p.Linear.BandV()
	r.OutputV = lowV
	if highV <= hi {
		r.OutputV = highV
	}
	return true, fmt.Sprintf("the output was not measured; %.3g W into %.4g ohm at %.4g V mean %.2f V or %.2f V, own current %s", r.OwnW, r.LoadOhm, r.InputV, lowV, highV, taken)
}
