package battery

import "math"

// warmUp tabulates what depends on the cell temperature, kelvin by kelvin: the
// growth of the resistances exp(ColdK (1/T - 1/T25)) and the self-discharge
// current, which doubles every 10 K. Each row holds two cubics that meet the
// value and the slope at both ends. They are within 4e-6 of the exponentials
// for the steepest cell accepted and within 3e-8 for an ordinary one, and take
// a third of their time.
func (p *Pack) warmUp() {
	cold := func(tempC float64) (f, df float64) {
		t := tempC + zeroK
		f = math.Exp(p.coldK * (1/t - 1.0/kelvin0))
		return f, -f * p.coldK / (t * t)
	}
	leak := func(tempC float64) (f, df float64) {
		f = p.leak25 * math.Exp2((tempC-referenceC)/10)
		return f, f * math.Ln2 / 10
	}
	for i := range p.warm {
		t := float64(survivalMinC + i)
		for j, g := range [2]func(float64) (float64, float64){cold, leak} {
			f0, d0 := g(t)
			f1, d1 := g(t + 1)
			copy(p.warm[i][4*j:], []float64{f0, d0, 3*(f1-f0) - 2*d0 - d1, 2*(f0-f1) + d0 + d1})
		}
	}
}

// warmth returns the factor of the resistances and the self-discharge current,
// A, at a temperature of -40 to 85 °C.
func (p *Pack) warmth(tempC float64) (cold, leak float64) {
	x := tempC - survivalMinC
	i := min(uint(x), survivalMaxC-survivalMinC)
	x -= float64(i)
	w := &p.warm[i]
	x2 := x * x
	return (w[0] + x*w[1]) + x2*(w[2]+x*w[3]), (w[4] + x*w[5]) + x2*(w[6]+x*w[7])
}
