package numeric

import "math"

// A Power raises numbers to one fixed power: by the binomial series about the centre
// of the eighth of an octave that the number lies in, within 1e-12 of math.Pow and in
// a quarter of its time.
type Power struct {
	exponent, scale float64
	series          [8]float64 // of (1+u)^exponent, from u on
	from            uint64     // the bits of the lowest number, as eighth finds them
	centres         []powerCentre
}

type powerCentre struct{ inverse, scaled float64 }

// eighth numbers the eighths of octaves: exponent and the first three bits behind it.
func eighth(x float64) uint64 { return math.Float64bits(x) >> 49 }

// NewPower prepares scale·x^exponent, for an exponent of 0 to 2 and x from 2^lo to
// 2^hi. Elsewhere the Power falls back on math.Pow.
func NewPower(scale, exponent float64, lo, hi int) *Power {
	p := &Power{exponent: exponent, scale: scale, from: eighth(math.Ldexp(1, lo)), centres: make([]powerCentre, 8*(hi-lo))}
	c := 1.0
	for k := range p.series {
		c *= (exponent - float64(k)) / float64(k+1)
		p.series[k] = c
	}
	for i := range p.centres {
		x := math.Ldexp(1+(float64(i%8)+0.5)/8, lo+i/8)
		p.centres[i] = powerCentre{1 / x, scale * math.Pow(x, exponent)}
	}
	return p
}

// At returns scale·x^exponent.
func (p *Power) At(x float64) float64 {
	i := eighth(x) - p.from
	if i >= uint64(len(p.centres)) {
		return p.scale * math.Pow(x, p.exponent)
	}
	c, s := &p.centres[i], &p.series
	u := x*c.inverse - 1 // at most 1/17
	u2 := u * u
	// In pairs, so that the processor need not wait for each step.
	q := (s[0] + s[1]*u) + ((s[2]+s[3]*u)+((s[4]+s[5]*u)+(s[6]+s[7]*u)*u2)*u2)*u2
	return c.scaled + c.scaled*(u*q)
}
