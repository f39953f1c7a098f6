package sky

import (
	"math"

	"github.com/stationphysics/stationphysics/internal/limit"
	"github.com/stationphysics/stationphysics/internal/numeric"
)

// Illuminance is the daylight at a place, in the parts of Light.
type Illuminance struct {
	GlobalLx     float64 // from the whole sky on a level surface
	BeamNormalLx float64 // from the sun on a surface that faces it
	DiffuseLx    float64 // on a level surface without the direct part
}

// efficacy holds a, b, c, d of the eight clearness bins of Perez et al. (1990,
// table 4), lm/W.
type efficacy [8][4]float64

var (
	globalEfficacy = efficacy{
		{96.63, -0.47, 11.50, -9.16}, {107.54, 0.79, 1.79, -1.19}, {98.73, 0.70, 4.40, -6.95}, {92.72, 0.56, 8.36, -8.31},
		{86.73, 0.98, 7.10, -10.94}, {88.34, 1.39, 6.06, -7.60}, {78.63, 1.47, 4.93, -11.37}, {99.65, 1.86, -4.46, -3.15},
	}
	diffuseEfficacy = efficacy{
		{97.24, -0.46, 12.00, -8.91}, {107.22, 1.15, 0.59, -3.95}, {104.97, 2.96, -5.53, -8.77}, {102.39, 5.59, -13.95, -13.90},
		{100.71, 5.94, -22.75, -23.74}, {106.42, 3.83, -36.15, -28.83}, {141.88, 1.90, -53.24, -14.03}, {152.23, 0.35, -45.27, -7.98},
	}
	beamEfficacy = efficacy{
		{57.20, -4.55, -2.98, 117.12}, {98.99, -3.46, -1.21, 12.38}, {109.83, -4.90, -1.71, -8.81}, {110.34, -5.84, -1.99, -4.56},
		{106.36, -3.97, -1.75, -6.16}, {107.19, -1.25, -1.51, -26.73}, {105.75, 0.77, -1.26, -34.44}, {101.18, 1.58, -1.10, -8.29},
	}
)

// Illuminance is the daylight that goes with the light, by the luminous
// efficacies of Perez et al. (1990, eqs. 7 and 8, table 4), from the sky's
// clearness and brightness and from the water vapour above the place, taken
// from the dew point as PrecipitableWaterCm does. With the sun at or below the
// horizon the efficacy of the horizon stands for the twilight. NaN for a
// position, light or dew point that its check refuses.
func (l Light) Illuminance(sun Sun, dewPointC float64) Illuminance {
	if !sun.holds() || !l.holds() || !dewRange.Holds(dewPointC) {
		n := math.NaN()
		return Illuminance{n, n, n}
	}
	return illuminance(sun, l, PrecipitableWaterCm(dewPointC))
}

func illuminance(sun Sun, l Light, waterCm float64) Illuminance {
	if l.DiffuseWPerM2 <= 0 {
		// The sky's clearness would be infinite: an airless place. The last
		// class serves with as little diffuse light as a trace.
		l.DiffuseWPerM2 = 1e-3
		ill := illuminance(sun, l, waterCm)
		ill.DiffuseLx = 0
		return ill
	}
	sun.ElevationDeg = max(sun.ElevationDeg, 0)
	z := (90 - sun.ElevationDeg) * rad
	cosZ := math.Sin(sun.ElevationDeg * rad)
	delta := perezDelta(&sun, cosZ, &l)
	i := perezBin(z, &l)
	lnD := numeric.Log(max(delta, deltaFloor))
	g, d, b := &globalEfficacy[i], &diffuseEfficacy[i], &beamEfficacy[i]
	return Illuminance{
		GlobalLx:     l.GlobalWPerM2 * (g[0] + g[1]*waterCm + g[2]*cosZ + g[3]*lnD),
		DiffuseLx:    l.DiffuseWPerM2 * (d[0] + d[1]*waterCm + d[2]*cosZ + d[3]*lnD),
		BeamNormalLx: l.BeamNormalWPerM2 * max(0, b[0]+b[1]*waterCm+b[2]*numeric.Exp(5.73*z-5)+b[3]*delta),
	}
}

// deltaFloor keeps the logarithm of the brightness inside what the authors
// observed; a darker sky has no light worth a table.
const deltaFloor = 0.01

// An IrradianceBand is the global irradiance behind a reading in lux.
type IrradianceBand struct {
	LowWPerM2  float64 // the least that fits the reading
	BestWPerM2 float64 // under a sky of the usual diffuse share; NaN if AtLeast
	HighWPerM2 float64 // the most that fits; +Inf if AtLeast
	AtLeast    bool    // the sensor is at its top: there may be any amount more
}

var (
	luxRange    = limit.Range{Quantity: "illuminance", Unit: "lx", Min: 0, Max: 200000}
	luxTopRange = limit.Range{Quantity: "top of the light sensor's range", Unit: "lx", Min: 1, Max: 200000}
)

// A LightSensor is a level sensor that reads in lux, corrected for its dome.
type LightSensor struct {
	TopLx     float64 // the largest value it can report, 1..200 000 lx; see SixteenBitTopLx
	DewPointC float64 // for the water vapour above the place, −60..35 °C
}

// SixteenBitTopLx is the top of the common light-sensor chip with a sixteen-bit
// count and 1.2 counts a lux: 65535/1.2. Full sunlight is twice that.
const SixteenBitTopLx = 54612.5

// Check returns a *stationphysics.RangeError for a top or dew point out of
// range.
func (s LightSensor) Check() error {
	return limit.First(luxTopRange.Check(s.TopLx), dewRange.Check(s.DewPointC))
}

// CheckReading explains the NaN of Irradiance: a *stationphysics.RangeError
// for a reading outside 0..200 000 lx.
func CheckReading(readingLx float64) error { return luxRange.Check(readingLx) }

// Irradiance is the global irradiance behind a reading. The ratio of the two
// depends on the sky, which a single sensor does not tell: the band spans all
// shares of diffuse light that the sun's elevation allows and a water vapour
// of half to one and a half times the usual; BestWPerM2 takes the share of
// ErbsDriesse. It does not include the sensor's own error. A reading at the top
// (or within one count in 65535 of it) yields "at least". With the sun at or
// below the horizon all light is diffuse. NaN for a position, sensor or reading
// that its check refuses, and for a reading that no sky gives with the sun
// there: then the clock or the place is wrong.
func (s LightSensor) Irradiance(sun Sun, readingLx float64) IrradianceBand {
	n := math.NaN()
	if !sun.holds() || s.Check() != nil || !luxRange.Holds(readingLx) {
		return IrradianceBand{n, n, n, false}
	}
	if readingLx == 0 {
		return IrradianceBand{}
	}
	pegged := readingLx >= s.TopLx*(1-1.0/65535)
	water := PrecipitableWaterCm(s.DewPointC)
	b := IrradianceBand{LowWPerM2: math.Inf(1), HighWPerM2: math.Inf(-1)}
	sinE := math.Sin(max(sun.ElevationDeg, 0) * rad)
	for _, w := range [...]float64{0.5 * water, water, 1.5 * water} {
		for share := 100; share >= 5; share -= 5 {
			kd := float64(share) / 100
			if kd < 1 && sun.ElevationDeg <= 0 {
				break
			}
			g, ok := solveGlobal(sun, readingLx, w, func(g float64) Light {
				l := Light{g, 0, g * kd}
				if kd < 1 {
					l.BeamNormalWPerM2 = g * (1 - kd) / sinE
				}
				return l
			})
			if !ok || g > mostGlobal(sun.extraterrestrial(), sinE) || g*kd > mostDiffuse(sun.extraterrestrial(), sinE) || kd < 1 && g*(1-kd)/sinE > beamBound(&sun, sinE) {
				continue
			}
			b.LowWPerM2, b.HighWPerM2 = min(b.LowWPerM2, g), max(b.HighWPerM2, g)
		}
	}
	if math.IsInf(b.LowWPerM2, 0) {
		return IrradianceBand{n, n, n, false}
	}
	if pegged {
		return IrradianceBand{b.LowWPerM2, n, math.Inf(1), true}
	}
	best, ok := solveGlobal(sun, readingLx, water, func(g float64) Light { return ErbsDriesse.Light(sun, g) })
	if !ok {
		best = (b.LowWPerM2 + b.HighWPerM2) / 2
	}
	// The usual share may lie between two steps of the band.
	b.BestWPerM2 = max(b.LowWPerM2, min(b.HighWPerM2, best))
	return b
}

// solveGlobal finds the global irradiance whose light, parted by split, has
// the illuminance lux. The bins of the efficacy make the function jump by a few
// per cent, so that the crossing may be a jump.
func solveGlobal(sun Sun, lux, waterCm float64, split func(g float64) Light) (float64, bool) {
	return numeric.Root(func(g float64) float64 {
		return illuminance(sun, split(g), waterCm).GlobalLx - lux
	}, 0, min(lux/20, globalRange.Max), 1e-6)
}

// PeggedH is for how many hours of the records the level illuminance passes
// the sensor's top, so that its reading is only "at least". Each record counts
// whole or not at all, by the light of its sun-up part; hours hide the bright
// minutes between clouds, so the true number is a little larger. Records with a
// missing part do not count. NaN for a sensor that Check refuses.
func (s LightSensor) PeggedH(e Ephemeris, records []Record) float64 {
	if s.Check() != nil {
		return math.NaN()
	}
	sum := 0.0
	for i := range records {
		r := &records[i]
		mid, up := SunUp(e, r.Start, r.Length)
		if !(up > 0) || !r.holds() {
			continue
		}
		l := Light{r.GlobalWPerM2 / up, min(r.BeamNormalWPerM2/up, beamRange.Max), r.DiffuseWPerM2 / up}
		if l.Illuminance(mid, s.DewPointC).GlobalLx > s.TopLx {
			sum += up * r.Length.Hours()
		}
	}
	return sum
}
