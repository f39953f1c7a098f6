package bench

import "math"

// Expected is what the sheet lets a row show, from its least favourable numbers
// to its most favourable ones; NaN where input or load was not stated or cannot be.
type Expected struct {
	OutputLowV, OutputHighV           float64 // output voltage
	LoadLowA, LoadHighA               float64 // current through the load
	DissipationLowW, DissipationHighW float64 // power lost in the part, own current included
}

// Expect returns what the sheet lets the meters show at the input and the load
// of a row, whatever they did show:
//
//	output      from min(lower edge of the band, input - largest dropout)
//	            to min(upper edge of the band, input)
//	load        output/resistance; the current read if no resistance is stated
//	dissipation (Vin - Vout)·I + Vin·Iq over those outputs and over the own
//	            currents from the typical one to the largest, and as far below
//
// Meter errors are not in it: they belong to what was read. Above the current
// limit the output may fall to limit times resistance, or to 0 at a load that
// draws a constant current.
func (b *Bench) Expect(r Row) Expected {
	nan := math.NaN()
	e := Expected{nan, nan, nan, nan, nan, nan}
	p := b.p.Linear.At(r.InputV, r.LoadA)
	ohmic := !math.IsNaN(r.LoadOhm)
	if ohmic {
		p = b.p.Linear.AtOhm(r.InputV, r.LoadOhm)
	}
	if math.IsNaN(p.OutputV) || r.LoadOhm == 0 {
		return e
	}
	lo, hi := b.p.Linear.BandV()
	e.OutputLowV, e.OutputHighV = math.Min(lo, p.OutputV), math.Min(hi, r.InputV)
	e.DissipationLowW, e.DissipationHighW = inf, -inf
	load := func(float64) float64 { return r.LoadA }
	outputs := []float64{e.OutputLowV, e.OutputHighV}
	if ohmic {
		load = func(outputV float64) float64 { return outputV / r.LoadOhm }
		// Into a resistor a part loses most at half the input, a little above it
		// if its own current grows with the load.
		most := r.InputV * (1 + b.s.GroundRatio) / 2
		outputs = append(outputs, math.Min(e.OutputHighV, math.Max(e.OutputLowV, most)))
	}
	e.LoadLowA, e.LoadHighA = load(e.OutputLowV), load(e.OutputHighV)
	for _, v := range outputs {
		i := load(v)
		ownA, u := b.own(i)
		// The own current is taken as rectangular.
		half := u * math.Sqrt(3)
		e.DissipationLowW = math.Min(e.DissipationLowW, (r.InputV-v)*i+r.InputV*math.Max(0, ownA-half))
		e.DissipationHighW = math.Max(e.DissipationHighW, (r.InputV-v)*i+r.InputV*(ownA+half))
	}
	return e
}
