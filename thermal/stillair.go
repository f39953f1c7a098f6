package thermal

import (
	"math"

	"github.com/stationphysics/stationphysics/internal/numeric"
)

// stillAir gives what a plate in air at 1013.25 hPa needs of its properties: the
// conductivity in W/(m K), and the factor of (rise·length³)^(1/6) in Churchill and
// Chu's number, 0.387 (Ra/(rise·length³))^(1/6) over (1 + (0.492/Pr)^(9/16))^(8/27).
// Both go so smoothly with the temperature that two polynomials stand in for an
// exponential and four powers, within 2e-8 over the range of boxAir.
func stillAir(airC float64) (conductivityWPerMK, perRise6 float64) {
	x := (airC - stillAirMidC) * (1 / stillAirHalfC)
	return stillAirSeries[0].at(x), stillAirSeries[1].at(x)
}

const (
	stillAirMidC  = (70 - 90) / 2.0
	stillAirHalfC = (70 + 90) / 2.0
)

// A degree9 is a polynomial, lowest power first.
type degree9 [10]float64

// at adds in pairs, so that the processor need not wait for each step.
func (c *degree9) at(x float64) float64 {
	x2 := x * x
	x4 := x2 * x2
	lo := (c[0] + c[1]*x) + (c[2]+c[3]*x)*x2
	hi := (c[4] + c[5]*x) + (c[6]+c[7]*x)*x2
	return lo + (hi+(c[8]+c[9]*x)*x4)*x4
}

var stillAirSeries = func() (p [2]degree9) {
	var x, y, coef [len(degree9{})]float64
	numeric.ChebNodes(x[:], stillAirMidC-stillAirHalfC, stillAirMidC+stillAirHalfC)
	for k, of := range [2]func(a Air) float64{
		func(a Air) float64 { return a.ConductivityWPerMK },
		func(a Air) float64 {
			return 0.387 * math.Pow(a.rayleighPerK(1), 1.0/6) / math.Pow(a.prandtlTerm(0.492), 8.0/27)
		},
	} {
		for i, c := range x {
			y[i] = of(AirAt(c, 1013.25))
		}
		numeric.ChebFit(coef[:], y[:])
		numeric.ChebPowers(p[k][:], coef[:])
	}
	return p
}()

// cbrt is the cube root of a number of 0 or more, not infinite and not below the
// normal ones: math.Cbrt without its care for the rest, within 1e-13.
func cbrt(x float64) float64 {
	if x < 0x1p-1000 {
		return 0
	}
	y := roughRoot3(x)
	y += y * cubeRootStep(y, x)
	return y + y*cubeRootStep(y, x)
}

// roughRoot3 takes a third of the exponent, good to 4 %.
func roughRoot3(x float64) float64 {
	return math.Float64frombits(math.Float64bits(x)/3 + 0x2a9f7893782da1ce)
}

// cubeRootStep is Halley's step from y towards the cube root of x, as a part of y. It
// leaves two thirds of the cube of what was wrong.
func cubeRootStep(y, x float64) float64 {
	y3 := y * y * y
	return (x - y3) / (2*y3 + x)
}

// roughRoot6 takes a sixth of the exponent and a parabola in the mantissa, good to 1 %.
// It wants a normal number above 0.
func roughRoot6(x float64) float64 {
	const mantissa, one = 1<<52 - 1, 1023 << 52
	y := math.Float64bits(x)/6 + (one - one/6)
	f := math.Float64frombits(y&mantissa | one) // y is f = 1 + m, and should be 2^m
	return math.Float64frombits(y) * (1.4423 + f*(-0.66705+f*0.22465))
}
