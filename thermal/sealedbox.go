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
	perSizeM  float64 // inverse of L, the side of the cube of equal surface
	windScale float64 // 8.6/L^0.4
	rootM     float64 // square root of L
	radiation float64 // ε σ
	perAreaM2 float64
	sunlit    float64 // part of the sunlight on its shadow that each m² of surface absorbs, on average
	wallKPerW float64
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
		perSizeM:  1 / sizeM,
		rootM:     math.Sqrt(sizeM),
		windScale: 8.6 / math.Pow(sizeM, 0.4),
		radiation: s.Emissivity * stefanBoltzmann,
		perAreaM2: 1 / s.SurfaceAreaM2,
		sunlit:    s.Absorptance * s.SunlitAreaM2 / s.SurfaceAreaM2,
		wallKPerW: 1 / (s.WallWPerM2K * s.SurfaceAreaM2),
	}, nil
}

// Check explains a NaN of the methods of SealedBox: it returns a
// *stationphysics.RangeError for the first condition outside its range.
func (c BoxConditions) Check() error {
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
	return riseK + c.DissipationW*b.wallKPerW
}

// BatchRiseK sets dst[i] to RiseK(c[i]), to the last digit, in two thirds of the time:
// several balances go on side by side. It allocates nothing and panics if the lengths
// differ.
func (b SealedBox) BatchRiseK(dst []float64, c []BoxConditions) {
	if len(dst) != len(c) {
		panic("thermal: the slices of rises and conditions differ in length")
	}
	b.surfaces(dst, c)
	for i := range dst {
		dst[i] += c[i].DissipationW * b.wallKPerW
	}
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
	riseK, slopeWPerM2K := b.surface(&c)
	endC := c.AirC + riseK + c.DissipationW*b.wallKPerW
	if b.spec.CapacityJPerK == 0 {
		return endC
	}
	tauS := b.spec.CapacityJPerK * (b.wallKPerW + b.perAreaM2/slopeWPerM2K)
	return endC + (innerC-endC)*math.Exp(-stepS/tauS)
}

// SurfaceBelow reports whether the outer surface is colder than a temperature, as
// SurfaceC does at a multiple of the cost: the balance there says so without being
// solved. It is false for a condition outside its range and for NaN.
func (b SealedBox) SurfaceBelow(c BoxConditions, tempC float64) bool {
	if !c.hold() || !(b.perSizeM > 0) || !(tempC >= -zeroC) {
		return false
	}
	riseK := tempC - c.AirC
	t0 := c.AirC + zeroC
	t := t0 + riseK
	// What convection, h·riseK, has to exceed. Both are below zero for a wall colder
	// than the air that might be colder still.
	restWPerM2 := b.gain(&c) - b.radiation*riseK*(t+t0)*(t*t+t0*t0)
	// The wind alone mostly decides: v^0.6 is not less than 1/(0.4 + 0.6/v), as a
	// weighted geometric mean of 1 and v against the harmonic one.
	v := c.WindMPerS
	windy, rest := b.windScale*v*riseK, restWPerM2*(0.6+0.4*v)
	if riseK < 0 {
		if windy <= rest {
			return false
		}
	} else if windy > rest || riseK == 0 {
		return rest < 0 || riseK > 0
	}
	var s boxBalance
	s.convection(&b, &c)
	hn := restWPerM2 / riseK
	limit := hn*hn*hn - s.hf3 // below the air hn³ must be less, above it more
	x := math.Abs(riseK)
	y := roughRoot6(x)
	if hn3, _ := s.natural(1.02 * y); hn3 < limit {
		return riseK < 0
	}
	if hn3, _ := s.natural(0.98 * y); hn3 > limit {
		return riseK > 0
	}
	hn3, _ := s.natural(cbrt(math.Sqrt(x)))
	return hn3 < limit == (riseK < 0)
}
