package panel

import (
	"math"
	"testing"
)

var benchSink float64

// The yardstick: a bare exponential of a changing argument.
func BenchmarkExp(b *testing.B) {
	b.ReportAllocs()
	x := 1.0
	for b.Loop() {
		benchSink += math.Exp(x)
		if x += 0.37; x > 20 {
			x = 1
		}
	}
}

func benchModule(b *testing.B) Module {
	b.Helper()
	return referencePanel(b)
}

func BenchmarkAt(b *testing.B) {
	m := benchModule(b)
	b.ReportAllocs()
	g := 5.0
	for b.Loop() {
		c := m.At(g, 35)
		benchSink += c.i0
		if g += 7; g > 1100 {
			g = 5
		}
	}
}

func BenchmarkCurrent(b *testing.B) {
	c := benchModule(b).At(800, 35)
	b.ReportAllocs()
	v := 0.0
	for b.Loop() {
		benchSink += c.CurrentA(v)
		if v += 0.13; v > 21 {
			v = 0
		}
	}
}

func BenchmarkVoltage(b *testing.B) {
	c := benchModule(b).At(800, 35)
	b.ReportAllocs()
	i := 0.0
	for b.Loop() {
		benchSink += c.VoltageV(i)
		if i += 0.007; i > 0.45 {
			i = 0
		}
	}
}

// BenchmarkMaxPower takes a set of curves, so that the cost of At is not in it.
func BenchmarkMaxPower(b *testing.B) {
	m := benchModule(b)
	curves := make([]Curve, 64)
	for i := range curves {
		curves[i] = m.At(15*float64(i+1), 5+0.7*float64(i))
	}
	b.ReportAllocs()
	i := 0
	for b.Loop() {
		benchSink += curves[i&63].MaxPower().Pmp
		i++
	}
}

// BenchmarkOutput is one step of a year: cell temperature, curve, maximum power
// and held current.
func BenchmarkOutput(b *testing.B) {
	m := benchModule(b)
	b.ReportAllocs()
	w := Weather{IrradianceWPerM2: 5, AirC: 12, WindMPerS: 2}
	for b.Loop() {
		benchSink += m.Output(w, nil, 14).HeldW
		if w.IrradianceWPerM2 += 7; w.IrradianceWPerM2 > 1100 {
			w.IrradianceWPerM2 = 5
		}
	}
}

func BenchmarkFit(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		m, err := Fit(smallPanel)
		if err != nil {
			b.Fatal(err)
		}
		benchSink += m.lnI0
	}
}
