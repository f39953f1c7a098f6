package power

import (
	"math"
	"testing"
)

var sink float64

func BenchmarkLinearAt(b *testing.B) {
	r := linear(b, bench1117)
	loads := [4]float64{0.001, 0.01, 0.1, 0.2}
	b.ReportAllocs()
	n := 0
	for b.Loop() {
		n++
		sink += r.At(12, loads[n&3]).DissipationW
	}
}

func BenchmarkLinearAtOhm(b *testing.B) {
	r := linear(b, bench1117)
	loads := [4]float64{30, 68, 150, 1000}
	b.ReportAllocs()
	n := 0
	for b.Loop() {
		n++
		sink += r.AtOhm(12, loads[n&3]).DissipationW
	}
}

func BenchmarkConverterAt(b *testing.B) {
	c := converter(b, stepDown)
	b.ReportAllocs()
	for b.Loop() {
		sink += c.At(12, 0.05).InputA
	}
}

func BenchmarkChargerAt(b *testing.B) {
	c := charger(b, solarCharger)
	b.ReportAllocs()
	for b.Loop() {
		sink += c.At(3, 6.4, 0.2).LoadA
	}
}

func BenchmarkDiodeVoltage(b *testing.B) {
	d := diode(b, chainSchottky)
	b.ReportAllocs()
	for b.Loop() {
		sink += d.VoltageV(0.17)
	}
}

func BenchmarkDiodeCurrent(b *testing.B) {
	d := diode(b, chainSchottky)
	b.ReportAllocs()
	for b.Loop() {
		sink += d.CurrentA(0.39)
	}
}

func BenchmarkDiodeTemperature(b *testing.B) {
	d := diode(b, chainSchottky)
	b.ReportAllocs()
	for b.Loop() {
		e := d.At(40)
		sink += e.isA
	}
}

// BenchmarkExp is the yardstick the others are given in.
func BenchmarkExp(b *testing.B) {
	x := 0.5
	for b.Loop() {
		x = math.Exp(-x)
	}
	sink += x
}
