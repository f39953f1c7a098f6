package solar

import "math"

const (
	rad = math.Pi / 180
	deg = 180 / math.Pi
)

// The periodic series need some three hundred sines and cosines for one
// instant. Their arguments are finite and below 1e6, which spares the general
// reduction of package math; the error, below 2e-12, stays a thousand times
// under the last digit of the tables.

// nearest gives the integer nearest to x, for |x| < 2^51.
func nearest(x float64) float64 {
	const shift = 0x1.8p52 // adding it leaves no room for a fraction
	return float64(x+shift) - shift
}

// halfTurn reduces x to a quarter of a period either side of zero and halves it:
// |result| <= π/2 with cos x = 1 - 2 sin²(result).
func halfTurn(x float64) float64 {
	const (
		// 2π in two parts, the first with 21 zero bits at its end.
		hi = 6.28318530693650245667
		lo = 2.43084020252455e-10
	)
	n := nearest(x * (1 / (2 * math.Pi)))
	return 0.5 * ((x - n*hi) - n*lo)
}

// sinHalf is the Taylor series of sine to x^17, whose first omitted term is
// 4.4e-14 at π/2.
func sinHalf(x float64) float64 {
	z := x * x
	p := 1.0 / 355687428096000
	p = p*z - 1.0/1307674368000
	p = p*z + 1.0/6227020800
	p = p*z - 1.0/39916800
	p = p*z + 1.0/362880
	p = p*z - 1.0/5040
	p = p*z + 1.0/120
	p = p*z - 1.0/6
	return x + x*z*p
}

// cosHalf is the Taylor series of cosine to x^18.
func cosHalf(x float64) float64 {
	z := x * x
	p := -1.0 / 6402373705728000
	p = p*z + 1.0/20922789888000
	p = p*z - 1.0/87178291200
	p = p*z + 1.0/479001600
	p = p*z - 1.0/3628800
	p = p*z + 1.0/40320
	p = p*z - 1.0/720
	p = p*z + 1.0/24
	p = p*z - 0.5
	return 1 + z*p
}

func cosine(x float64) float64 {
	s := sinHalf(halfTurn(x))
	return 1 - 2*s*s
}

func sincos(x float64) (sin, cos float64) {
	h := halfTurn(x)
	s, c := sinHalf(h), cosHalf(h)
	return 2 * s * c, 1 - 2*s*s
}
