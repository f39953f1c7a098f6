package numeric

import "math"

// Exponentials and logarithms are a third of a station's year. These take less than
// half as long to come back as those of package math on amd64, and give the same bits
// on every machine that does not fuse products.

const (
	expBits = 6
	logBits = 7
)

var expTable = func() (t [1 << expBits]float64) {
	for i := range t {
		t[i] = math.Exp2(float64(i) / (1 << expBits))
	}
	return t
}()

// Exp is e^x within two units of the last place: x = n ln2/64 + r with
// |r| <= ln2/128, a table for the first part and five terms of the series for the
// second (r^6/720 < 4e-17).
func Exp(x float64) float64 {
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

// logTable holds the inverse of each 128th from 1 to 2, rounded, and minus the
// logarithm of what was rounded; from the root of 2 on that of its half.
var logTable = func() (t [1<<logBits + 1]struct{ inverse, ln float64 }) {
	for i := range t {
		c := 1 + float64(i)/(1<<logBits)
		t[i].inverse, t[i].ln = 1/c, -math.Log(1/c)
		if c > math.Sqrt2 {
			t[i].ln = -math.Log(2 / c)
		}
	}
	return t
}()

// Log is ln x within 2e-16 and a unit of the last place: x = 2^k c (1+r) with c the
// nearest 128th, c or its half from 0.71 to 1.41, so that nothing cancels near 1, and
// |r| <= 1/256, of which six terms of the series do (r^7/7 < 2e-18).
func Log(x float64) float64 {
	const smallest = 1 << 52 // the bits of the least normal number
	bits := math.Float64bits(x)
	if bits-smallest >= 0x7ff<<52-smallest {
		return math.Log(x) // 0, negative, subnormal, infinite, no number
	}
	m := math.Float64frombits(bits&(1<<52-1) | 1023<<52) // 1 to 2
	i := (bits>>(52-logBits-1)&(1<<(logBits+1)-1) + 1) >> 1
	k := int(bits>>52) - 1023
	if i > 53 { // 1 + 54/128 is the first above the root of 2
		k++
	}
	c := &logTable[i]
	r := m*c.inverse - 1
	r2 := r * r
	return (float64(k)*math.Ln2 + c.ln) + (r - r2*((1.0/2-r*(1.0/3))+r2*((1.0/4-r*(1.0/5))+r2*(1.0/6))))
}
