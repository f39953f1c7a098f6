package main

import (
	"fmt"
	"math"
	"strings"

	"github.com/stationphysics/stationphysics/baro"
	"github.com/stationphysics/stationphysics/psychro"
	"github.com/stationphysics/stationphysics/solar/sky"
)

// A function is one curve that a device may need.
type function struct {
	name, in, out string // with units
	source        string
	flags         string // those that matter for it
	// prepare checks the flags and returns the curve, and the reason why it has
	// no value at some input.
	prepare func(p *parameters) (eval func(x float64) float64, why func(x float64) error, err error)
}

// parameters are the flags that describe the device.
type parameters struct {
	heightM, vapourHPa       float64
	sunDeg, dewPointC, topLx float64
	fullCount, seriesOhm     float64
	thermistorOhm, betaK     float64
	steinhart                string
	toSupply                 bool
}

var functions = []function{
	{"saturation-water", "temperature, °C", "saturation pressure over water, hPa", "package psychro, Reference (IAPWS)", "", saturation(psychro.Water)},
	{"saturation-ice", "temperature, °C", "saturation pressure over ice, hPa", "package psychro, Reference (IAPWS)", "", saturation(psychro.Ice)},
	{"dew-point", "vapour pressure, hPa", "dew point over water, °C", "package psychro, Reference inverted", "", func(*parameters) (func(float64) float64, func(float64) error, error) {
		f := func(x float64) float64 { return psychro.Reference.TemperatureC(psychro.Water, x) }
		return f, func(x float64) error {
			return fmt.Errorf("no dew point within the range of the formula belongs to %g hPa", x)
		}, nil
	}},
	{"sea-level-factor", "air temperature, °C", "sea-level over station pressure", "package baro, WMO-No. 8 reduction", "-height -vapour", func(p *parameters) (func(float64) float64, func(float64) error, error) {
		column := func(x float64) baro.Column {
			return baro.Column{Height: baro.GeopotentialM(p.heightM), TempC: x, VapourPressureHPa: p.vapourHPa}
		}
		if _, err := baro.NewReduction(column(0)); err != nil {
			return nil, nil, err
		}
		f := func(x float64) float64 {
			r, err := baro.NewReduction(column(x))
			if err != nil {
				return math.NaN()
			}
			return r.Factor()
		}
		return f, func(x float64) error { _, err := baro.NewReduction(column(x)); return err }, nil
	}},
	{"irradiance-low", "illuminance, lx", "least irradiance that fits, W/m²", "package solar/sky, luminous efficacy of all skies", "-sun -dew-point -top", irradiance(func(b sky.IrradianceBand) float64 { return b.LowWPerM2 })},
	{"irradiance-best", "illuminance, lx", "irradiance under the usual sky, W/m²", "package solar/sky; leaps by some W/m² where tabled classes of sky meet", "-sun -dew-point -top", irradiance(func(b sky.IrradianceBand) float64 { return b.BestWPerM2 })},
	{"irradiance-high", "illuminance, lx", "most irradiance that fits, W/m²", "package solar/sky, luminous efficacy of all skies", "-sun -dew-point -top", irradiance(func(b sky.IrradianceBand) float64 { return b.HighWPerM2 })},
	{"thermistor", "converter count", "temperature, °C", "Steinhart and Hart, Deep-Sea Research 15 (1968) 497, from memory; or the beta equation", "-full-count -series -r25 -beta -steinhart -to-supply", thermistor},
}

func find(name string) (function, error) {
	names := make([]string, len(functions))
	for i, f := range functions {
		if f.name == name {
			return f, nil
		}
		names[i] = f.name
	}
	return function{}, fmt.Errorf("-f: %q is none of %s", name, strings.Join(names, ", "))
}

func saturation(over psychro.Phase) func(*parameters) (func(float64) float64, func(float64) error, error) {
	return func(*parameters) (func(float64) float64, func(float64) error, error) {
		return func(x float64) float64 { return psychro.Reference.PressureHPa(over, x) },
			func(x float64) error { return psychro.Reference.Check(over, x) }, nil
	}
}

func irradiance(part func(sky.IrradianceBand) float64) func(*parameters) (func(float64) float64, func(float64) error, error) {
	return func(p *parameters) (func(float64) float64, func(float64) error, error) {
		sensor := sky.LightSensor{TopLx: p.topLx, DewPointC: p.dewPointC}
		sun := sky.Sun{ElevationDeg: p.sunDeg, AzimuthDeg: 180, DistanceAU: 1}
		if err := sensor.Check(); err != nil {
			return nil, nil, err
		}
		if err := sun.Check(); err != nil {
			return nil, nil, err
		}
		f := func(x float64) float64 {
			b := sensor.Irradiance(sun, x)
			if b.AtLeast {
				return math.NaN() // no top to the band
			}
			return part(b)
		}
		return f, func(x float64) error {
			return fmt.Errorf("%g lx has no irradiance band with the sun at %g°: beyond any sky, or at the sensor's top of %g lx", x, p.sunDeg, p.topLx)
		}, nil
	}
}

// thermistor is the temperature behind the count of a ratiometric divider.
func thermistor(p *parameters) (func(float64) float64, func(float64) error, error) {
	if !(p.fullCount >= 3 && p.fullCount <= 1<<24) {
		return nil, nil, fmt.Errorf("-full-count: %g is not within 3 to 16777216", p.fullCount)
	}
	if !(p.seriesOhm >= 1 && p.seriesOhm <= 1e8) {
		return nil, nil, fmt.Errorf("-series: %g ohm is not within 1 to 1e8", p.seriesOhm)
	}
	var a, b, c float64
	if p.steinhart != "" {
		var err error
		if a, b, c, err = three(p.steinhart); err != nil {
			return nil, nil, err
		}
	} else {
		if !(p.thermistorOhm >= 1 && p.thermistorOhm <= 1e8) {
			return nil, nil, fmt.Errorf("-r25: %g ohm is not within 1 to 1e8", p.thermistorOhm)
		}
		if !(p.betaK >= 500 && p.betaK <= 10000) {
			return nil, nil, fmt.Errorf("-beta: %g K is not within 500 to 10000", p.betaK)
		}
		b = 1 / p.betaK
		a = 1/298.15 - b*math.Log(p.thermistorOhm)
	}
	f := func(x float64) float64 {
		if !(x > 0 && x < p.fullCount) {
			return math.NaN()
		}
		ohm := p.seriesOhm * x / (p.fullCount - x)
		if p.toSupply {
			ohm = p.seriesOhm * (p.fullCount - x) / x
		}
		l := math.Log(ohm)
		inverse := a + b*l + c*l*l*l
		if t := 1/inverse - 273.15; inverse > 0 && t >= -100 && t <= 400 {
			return t
		}
		return math.NaN()
	}
	return f, func(x float64) error {
		return fmt.Errorf("a count of %g of %g is no temperature within -100 to 400 °C: an open or shorted thermistor, or wrong constants", x, p.fullCount)
	}, nil
}

// three reads the constants a,b,c of 1/T = a + b ln R + c (ln R)³.
func three(s string) (a, b, c float64, err error) {
	var rest string
	if n, scan := fmt.Sscanf(s+" end", "%g,%g,%g %s", &a, &b, &c, &rest); n != 4 || scan != nil || rest != "end" {
		return 0, 0, 0, fmt.Errorf("-steinhart: %q is not three numbers a,b,c", s)
	}
	if !(a > 0 && a < 0.1 && b > 0 && b < 0.1 && math.Abs(c) < 1e-3) {
		return 0, 0, 0, fmt.Errorf("-steinhart: %s: a and b lie above 0 and below 0.1, c within ±0.001", s)
	}
	return a, b, c, nil
}
