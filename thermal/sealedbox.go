package thermal

import (
	"math"

	"github.com/stationphysics/stationphysics"
	"github.com/stationphysics/stationphysics/internal/limit"
)

// SealedBoxSpec describes a closed box outdoors.
type SealedBoxSpec struct {
	// Absorptance is the fraction of sunlight the colour absorbs, 0 to 1.
	// Incropera's Table A.12 (from memory): white acrylic paint 0.26, white
	// zinc oxide paint 0.16, black paint 0.98, clean galvanised sheet 0.65.
	// Weathering and dirt move white towards grey.
	Absorptance float64
	// Emissivity in the far infrared, 0 to 1: about 0.9 for any paint or
	// plastic, 0.05 to 0.1 for bare aluminium.
	Emissivity    float64
	SurfaceAreaM2 float64 // outer surface that touches the air, 1e-4 to 100 m²
	// SunlitAreaM2 is the area of the shadow the box throws on a plane square
	// to the sun, at most half the surface: that much sun it catches.
	SunlitAreaM2 float64
	// WallWPerM2K is the conductance from the inner air to the outer surface,
	// 0.01 to 1000 W/(m² K): the inner film and the wall in series. With the
	// inner film of ISO 6946, 0.13 m² K/W (from memory), and 3 mm of plastic
	// (0.2 W/(m K)) it is 1/(0.13 + 0.003/0.2) = 6.9.
	WallWPerM2K float64
	// CapacityJPerK is the heat capacity of what is inside, 0 to 1e7 J/K; 0
	// for a box that follows at once. Only NextInnerC uses it.
	CapacityJPerK float64
}

// BoxConditions are what acts on a box at one moment. The zero value is a calm
// night at 0 °C with everything off.
type BoxConditions struct {
	AirC         float64 // air outside, -90 to 70 °C
	SunWPerM2    float64 // all sunlight on a plane square to the sun, 0 to 1600 W/m²; the beam alone leaves out the sky
	WindMPerS    float64 // at the box, 0 to 75 m/s
	DissipationW float64 // heat of everything inside, 0 to 1e4 W
	// RadiantDeficitK is how far the surroundings the box radiates to lie below
	// the air on average, 0 to 60 K; 0 under a roof or an overcast sky.
	RadiantDeficitK float64
}

// A SealedBox is a closed box in sun and wind. In steady state the sun on the
// outside and the heat from inside leave by convection and radiation:
//
//	α·G·As + P = A·h·(Ts - Ta) + ε·σ·A·(Ts⁴ - Tr⁴),   Ti = Ts + P/(U·A)
//
// with h³ = hn³ + hf³ (Churchill 1977), natural convection hn of a vertical
// plate as high as the cube of equal surface (Churchill and Chu 1975) and, for
// wind, hf = 8.6 v^0.6/L^0.4 with L the side of that cube (Mitchell 1976, as
// Duffie and Beckman give it for buildings, from memory). The whole surface is
// taken at one temperature: the sunlit side of a plastic box is warmer than
// Ts, the inner air is nearer to it. Expect the rise over the air within about
// 30 %, most of it from the wind at the box and the true absorptance.
//
// The zero value is a box of no surface: its answers are NaN.
type SealedBox struct {
	spec      SealedBoxSpec
	sizeM     float64 // side of the cube of equal surface
	windScale float64 // 8.6/L^0.4
	rootM     float64 // square root of sizeM
	radiation float64 // ε σ A
}

var (
	fraction     = limit.Range{Min: 0, Max: 1, Slips: []limit.Slip{{Min: 1, Max: 100, Looks: "percent"}}}
	boxArea      = limit.Range{Unit: "m²", Min: 1e-4, Max: 100, Slips: []limit.Slip{{Min: 100, Max: 1e8, Looks: "square centimetres or millimetres"}}}
	boxWall      = limit.Range{Quantity: "wall conductance", Unit: "W/(m²·K)", Min: 0.01, Max: 1000}
	boxCapacity  = limit.Range{Quantity: "heat capacity", Unit: "J/K", Min: 0, Max: 1e7}
	boxAir       = limit.Range{Quantity: "air temperature", Unit: "°C", Min: -90, Max: 70, Slips: []limit.Slip{{Min: 183, Max: 343.15, Looks: "kelvins"}, {Min: 70, Max: 160, Looks: "degrees Fahrenheit"}}}
	boxSun       = limit.Range{Quantity: "sunlight", Unit: "W/m²", Min: 0, Max: 1600, Slips: []limit.Slip{{Min: 1600, Max: 200000, Looks: "lux"}}}
	boxWind      = limit.Range{Quantity: "wind speed", Unit: "m/s", Min: 0, Max: 75, Slips: []limit.Slip{{Min: 75, Max: 270, Looks: "km/h"}}}
	boxPower     = limit.Range{Quantity: "dissipation", Unit: "W", Min: 0, Max: 1e4}
	boxDeficit   = limit.Range{Quantity: "radiant deficit", Unit: "K", Min: 0, Max: 60}
	boxStep      = limit.Range{Quantity: "time step", Unit: "s", Min: 0, Max: 1e9}
	boxInnerTemp = limit.Range{Quantity: "inner temperature", Unit: "°C", Min: -100, Max: 400}
)

// NewSealedBox checks a description. A value outside its range is a
// *stationphysics.RangeError, a sunlit area above half the surface (no convex
// body throws such a shadow) a *stationphysics.ConflictError.
func NewSealedBox(s SealedBoxSpec) (SealedBox, error) {
	if err := limit.First(
		fraction.Named("solar absorptance").Check(s.Absorptance),
		fraction.Named("emissivity").Check(s.Emissivity),
		boxArea.Named("surface area").Check(s.SurfaceAreaM2),
		boxArea.Named("sunlit area").Check(s.SunlitAreaM2),
		boxWall.Check(s.WallWPerM2K),
		boxCapacity.Check(s.CapacityJPerK),
	); err != nil {
		return SealedBox{}, err
	}
	if s.SunlitAreaM2 > s.SurfaceAreaM2/2 {
		return SealedBox{}, &stationphysics.ConflictError{
			Quantities: []string{"sunlit area", "surface area"},
			Values:     []float64{s.SunlitAreaM2, s.SurfaceAreaM2},
			Units:      []string{"m²", "m²"},
			Rule:       "a body's shadow is at most half its surface",
		}
	}
	sizeM := math.Sqrt(s.SurfaceAreaM2 / 6)
	return SealedBox{
		spec:      s,
		sizeM:     sizeM,
		rootM:     math.Sqrt(sizeM),
		windScale: 8.6 / math.Pow(sizeM, 0.4),
		radiation: s.Emissivity * stefanBoltzmann * s.SurfaceAreaM2,
	}, nil
}

// CheckBoxConditions explains a NaN of the methods of SealedBox: it returns a
// *stationphysics.RangeError for the first condition outside its range.
func CheckBoxConditions(c BoxConditions) error {
	return limit.First(boxAir.Check(c.AirC), boxSun.Check(c.SunWPerM2), boxWind.Check(c.WindMPerS),
		boxPower.Check(c.DissipationW), boxDeficit.Check(c.RadiantDeficitK))
}

func (c *BoxConditions) hold() bool {
	return boxAir.Holds(c.AirC) && boxSun.Holds(c.SunWPerM2) && boxWind.Holds(c.WindMPerS) &&
		boxPower.Holds(c.DissipationW) && boxDeficit.Holds(c.RadiantDeficitK)
}

// SurfaceC returns the mean temperature of the outer surface, NaN if a
// condition lies outside its range.
func (b SealedBox) SurfaceC(c BoxConditions) float64 {
	riseK, _ := b.surface(&c)
	return c.AirC + riseK
}

// InnerC returns the steady temperature of the air inside, NaN if a condition
// lies outside its range.
func (b SealedBox) InnerC(c BoxConditions) float64 { return c.AirC + b.RiseK(c) }

// RiseK returns how far the air inside is above the air outside in steady
// state, NaN if a condition lies outside its range. It can be below zero on a
// clear night.
func (b SealedBox) RiseK(c BoxConditions) float64 {
	riseK, _ := b.surface(&c)
	return riseK + c.DissipationW/(b.spec.WallWPerM2K*b.spec.SurfaceAreaM2)
}

// NextInnerC returns the inner temperature stepS seconds after innerC under
// constant conditions: it approaches InnerC exponentially with the time
// constant of the box's capacity behind wall and surface, taken at the steady
// state. Two half steps equal one whole step. It is NaN for a condition
// outside its range, an inner temperature outside -100 to 400 °C or a step
// outside 0 to 1e9 s.
func (b SealedBox) NextInnerC(innerC float64, c BoxConditions, stepS float64) float64 {
	if !boxInnerTemp.Holds(innerC) || !boxStep.Holds(stepS) {
		return nan
	}
	riseK, slopeWPerK := b.surface(&c)
	wallKPerW := 1 / (b.spec.WallWPerM2K * b.spec.SurfaceAreaM2)
	endC := c.AirC + riseK + c.DissipationW*wallKPerW
	if b.spec.CapacityJPerK == 0 {
		return endC
	}
	tauS := b.spec.CapacityJPerK * (wallKPerW + 1/slopeWPerK)
	return endC + (innerC-endC)*math.Exp(-stepS/tauS)
}

// SurfaceBelow reports whether the outer surface is colder than a temperature, as
// SurfaceC does at a multiple of the cost: the balance there says so without being
// solved. It is false for a condition outside its range and for NaN.
func (b SealedBox) SurfaceBelow(c BoxConditions, tempC float64) bool {
	if !c.hold() || !(b.sizeM > 0) {
		return false
	}
	riseK := tempC - c.AirC
	if riseK < 0 {
		// The wind's power is not less than v or its root, whichever is smaller: where
		// air and radiation bring more heat than is lost even so, it is not needed.
		v := c.WindMPerS
		if v > 1 {
			v = math.Sqrt(v)
		}
		if b.spec.SurfaceAreaM2*b.windScale*v*riseK+b.radiated(&c, riseK) < b.gain(&c) {
			return false
		}
	}
	s := b.balance(&c)
	s.start(riseK)
	lossW, _ := s.loss(riseK)
	return lossW > s.gainW
}

// gain is the heat that a surface at air temperature has to lose, and radiated what
// one above it radiates more. The loss is measured from there, and the difference of
// the fourth powers taken apart into factors: it is zero without a deficit, which a
// difference of squares is not where it is fused with a product.
func (b *SealedBox) gain(c *BoxConditions) float64 {
	t0 := c.AirC + zeroC
	tr := t0 - c.RadiantDeficitK
	return b.spec.Absorptance*c.SunWPerM2*b.spec.SunlitAreaM2 + c.DissipationW -
		b.radiation*c.RadiantDeficitK*(t0+tr)*(t0*t0+tr*tr)
}

func (b *SealedBox) radiated(c *BoxConditions, riseK float64) float64 {
	t0 := c.AirC + zeroC
	t := t0 + riseK
	return b.radiation * riseK * (t + t0) * (t*t + t0*t0)
}

// surface solves the balance of the outer surface. It returns the rise over
// the air and the slope of the heat loss there.
func (b *SealedBox) surface(c *BoxConditions) (riseK, slopeWPerK float64) {
	if !c.hold() || !(b.sizeM > 0) {
		return nan, nan
	}
	s := b.balance(c)
	// Newton's method from a linear estimate: the loss grows with the rise
	// everywhere, and faster the larger the rise, so that from either side the
	// iteration cannot leave the root.
	riseK = s.gainW / (s.areaM2*(s.windWPerM2K+2*s.kOverL) + 4*s.radiation*s.t0*s.t0*s.t0)
	s.start(riseK)
	for range 60 {
		var lossW float64
		lossW, slopeWPerK = s.loss(riseK)
		step := (lossW - s.gainW) / slopeWPerK
		// What is left is about step²/(12 x), for x^(7/6) bends the loss most.
		if step*step <= 1e-6*math.Abs(riseK) || math.Abs(step) <= 1e-6 {
			return riseK - step, slopeWPerK
		}
		s.move(riseK, riseK-step)
		riseK -= step
	}
	return riseK, slopeWPerK
}

// A surfaceBalance is the balance of a box's surface under some conditions, as far as
// it does not depend on the surface's temperature.
type surfaceBalance struct {
	areaM2, radiation float64
	t0                float64 // of the air, kelvins
	kOverL, buoyancy  float64 // of the natural convection
	windWPerM2K, hf3  float64 // forced convection, and its cube
	gainW             float64 // what a surface at air temperature has to lose

	g, hn3, h float64 // by the rise: of the natural convection, its cube, and both together
}

func (b *SealedBox) balance(c *BoxConditions) (s surfaceBalance) {
	// Properties at the air temperature instead of the film keep the sum
	// cheap; ten kelvins of film shift h by less than one percent.
	k, rise6 := stillAir(c.AirC)
	s.areaM2, s.radiation = b.spec.SurfaceAreaM2, b.radiation
	s.kOverL, s.buoyancy = k/b.sizeM, rise6*b.rootM
	if c.WindMPerS > 0 {
		s.windWPerM2K = b.windScale * math.Exp(0.6*math.Log(c.WindMPerS)) // v^0.6
	}
	s.hf3 = s.windWPerM2K * s.windWPerM2K * s.windWPerM2K
	s.t0 = c.AirC + zeroC
	s.gainW = b.gain(c)
	return s
}

// start prepares loss at a rise.
func (s *surfaceBalance) start(riseK float64) {
	s.natural(s.buoyancy * cbrt(math.Sqrt(math.Abs(riseK))))
	s.h = cbrt(s.hn3 + s.hf3)
}

// move prepares loss at a rise near the one before, from its roots.
func (s *surfaceBalance) move(fromK, toK float64) {
	u := 1 - toK/fromK
	if !(math.Abs(u) < 0.01) {
		s.start(toK)
		return
	}
	// (1 - u)^(1/6), to 4e-10, and one of Halley's steps for the other root, to 3e-8.
	s.natural(s.g * (1 - u*(1.0/6+u*(5.0/72+u*(55.0/1296)))))
	x, h3 := s.hn3+s.hf3, s.h*s.h*s.h
	s.h *= (h3 + 2*x) / (2*h3 + x)
}

func (s *surfaceBalance) natural(g float64) {
	c := 0.825 + g
	hn := s.kOverL * c * c
	s.g, s.hn3 = g, hn*hn*hn
}

// loss is the heat that leaves a surface riseK above the air, for which it has been
// prepared, and its slope.
func (s *surfaceBalance) loss(riseK float64) (lossW, slopeWPerK float64) {
	t := s.t0 + riseK
	lossW = s.areaM2*s.h*riseK + s.radiation*riseK*(t+s.t0)*(t*t+s.t0*s.t0)
	// d(h·x)/dx = h + (hn/h)²·hn·(g/c)/3, as g varies with |x|^(1/6).
	slopeWPerK = s.areaM2*(s.h+s.hn3*s.g/(3*s.h*s.h*(0.825+s.g))) + 4*s.radiation*t*t*t
	return lossW, slopeWPerK
}
