package wind_test

import (
	"fmt"

	"github.com/stationphysics/stationphysics/wind"
)

// The mean of directions about north.
//
// Given: readings of a vane, 352°, 8°, 345° and 15°, all at 4 m/s.
// Find: the mean direction.
//
//	x = Σ sin = -0.139 + 0.139 - 0.259 + 0.259 = 0;  y = Σ cos = 3.91;  atan2(x, y) = 0°
//
// The wrong way adds the numbers: 180°, the opposite wind.
//
// Source: EPA-454/R-99-005, 6.2.2; scatter Yamartino 1984.
func ExampleVector() {
	var v wind.Vector
	wrong := 0.0
	for _, d := range []float64{352, 8, 345, 15} {
		v.Add(4, d)
		wrong += d / 4
	}
	d, ok := v.DirectionDeg()
	fmt.Printf("vector mean %.0f° (%v), scatter %.1f°\n", d, ok, v.SigmaDeg())
	fmt.Printf("the wrong way: %.0f°, the opposite wind\n", wrong)
	// Output:
	// vector mean 0° (true), scatter 12.0°
	// the wrong way: 180°, the opposite wind
}

// Opposite winds have no mean direction. The wrong way: 0, which would be
// north.
//
// Given: 3 m/s from 90° and 3 m/s from 270°.
// Find: the mean direction.
//
//	Σ sin = 1 - 1 = 0, Σ cos = 0: there is none
//
// Source: EPA-454/R-99-005, 6.2.2.
func ExampleVector_DirectionDeg() {
	var v wind.Vector
	v.Add(3, 90)
	v.Add(3, 270)
	_, ok := v.DirectionDeg()
	fmt.Println("defined:", ok)
	// Output: defined: false
}

// From pulses to speed.
//
// Given: a cup of 0.3 m/s + 0.85 m/s per Hz, seven pulses in 3 s.
// Find: the speed and its step of one pulse.
//
//	U = a + b n/t = 0.3 + 0.85·7/3 = 2.28 m/s;  0.85/3 = 0.28 m/s
//
// The wrong way counts in a quarter of a second, where one pulse is 3.4 m/s.
//
// Source: line of a cup, IEC 61400-12-1 and ISO 17713-1 (from memory).
func ExampleCup() {
	c, err := wind.NewCup(0.3, 0.85)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.2f m/s in steps of %.2f m/s\n", c.CountMPerS(7, 3), c.QuantumMPerS(3))
	fmt.Printf("in 0.25 s: steps of %.1f m/s\n", c.QuantumMPerS(0.25))
	fmt.Printf("period timing, 7 pulses over 2.58 s: %.2f m/s\n", c.PeriodMPerS(7, 2.58))
	// Output:
	// 2.28 m/s in steps of 0.28 m/s
	// in 0.25 s: steps of 3.4 m/s
	// period timing, 7 pulses over 2.58 s: 2.28 m/s
}

// Calibrating a cup.
//
// Given: frequency and speed beside a reference at six speeds.
// Find: the line by least squares with its standard errors.
//
//	b = Σ (f - f̄)(U - Ū)/Σ (f - f̄)² = 0.855 m/s per Hz, a = Ū - b f̄ = 0.32 m/s
//
// Source: JCGM 100:2008, annex H.3.
func ExampleFitCup() {
	fit, err := wind.FitCup([]wind.CupPoint{{4.3, 4.02}, {8.9, 7.95}, {13.7, 11.98}, {18.3, 15.97}, {23.0, 19.95}, {27.7, 24.05}})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("U = %.3f ± %.3f + (%.4f ± %.4f) f, scatter %.3f m/s\n",
		fit.Cup.OffsetMPerS(), fit.OffsetErrorMPerS, fit.Cup.SlopeMPerSPerHz(), fit.SlopeErrorMPerSPerHz, fit.ScatterMPerS)
	// Output: U = 0.321 ± 0.039 + (0.8550 ± 0.0022) f, scatter 0.043 m/s
}

// A gust is the largest mean over 3 s, not the largest sample.
//
// Given: two minutes of 5 m/s in samples of 0.25 s, one of them a bounced
// pulse of 40 m/s.
// Find: mean and gust.
//
//	mean (479·5 + 40)/480 = 5.07 m/s;  gust (11·5 + 40)/12 = 7.9 m/s
//
// The wrong way takes the largest sample: a gust of 40 m/s.
//
// Source: WMO-No. 8, part I, ch. 5.
func ExamplePeriod() {
	p, err := wind.NewPeriod(wind.PeriodSpec{SampleS: 0.25, LengthS: 120})
	if err != nil {
		fmt.Println(err)
		return
	}
	for i := range 480 {
		v := 5.0
		if i == 300 {
			v = 40
		}
		p.Add(v, 240)
	}
	r := p.Report()
	fmt.Printf("mean %.2f m/s, gust %.1f m/s, from %.0f°\n", r.MeanMPerS, r.GustMPerS, r.DirectionDeg)
	// Output: mean 5.07 m/s, gust 7.9 m/s, from 240°
}

// From 3 m to 10 m.
//
// Given: 3.1 m/s at 3 m over low crops (roughness 0.10 m).
// Find: the speed at 10 m.
//
//	U10 = U3 ln(10/z0)/ln(3/z0) = 3.1 · 4.605/3.401 = 4.2 m/s
//
// Source: logarithmic profile, WMO-No. 8, part I, ch. 5; roughness after
// Davenport (from memory).
func ExampleHeightRatio() {
	f := wind.HeightRatio(3, 10, wind.RoughlyOpenM)
	fmt.Printf("%.3f, so %.1f m/s at 10 m\n", f, 3.1*f)
	// Output: 1.354, so 4.2 m/s at 10 m
}
