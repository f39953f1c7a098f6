package battery

import (
	"fmt"
	"testing"
)

func authored(t testing.TB) Curve {
	c, err := NewCurve("a", CurvePoint{0, 3.195, 0}, CurvePoint{0.4, 3.285, 0}, CurvePoint{0.6, 3.30, 0}, CurvePoint{0.8, 3.33, 0}, CurvePoint{0.9, 3.338, 0}, CurvePoint{0.95, 3.35, 0}, CurvePoint{1, 3.45, 0}, CurvePoint{1.05, 4.2, 0})
	if err != nil {
		t.Fatal(err)
	}
	return c
}

func TestX(t *testing.T) {
	for _, k := range []struct {
		r0, r1, i, set, s0, tcv, tend float64
		n                             int
	}{{.04, .02, .75, 3.65, .2, 5816.24, 5912.07, 1}, {.06, .03, .25, 3.6, .5, 10965.6, 11021.7, 1}, {.04, .02, .5, 7.2, .2, 8717.29, 8775.99, 2}} {
		cell := Cell{Chemistry: LiFePO4, CapacityAh: 1.5, Curve: authored(t), R0Ohm: k.r0, R1Ohm: k.r1, C1Farad: 1500, CoulombicEfficiency: 1}
		p, err := NewPack(cell, k.n, 1)
		if err != nil {
			t.Fatal(err)
		}
		s := p.At(k.s0)
		var f Flow
		c := Charger{SetV: k.set, MaxA: k.i, SeriesOhm: .05}
		tcv, tend := 0.0, 0.0
		for n := 1; n <= 10800*4; n++ {
			s, f = p.Charge(s, c, 0, .25, 25)
			if f.Stop == Full && tcv == 0 {
				tcv = float64(n) / 4
			}
			if tcv > 0 && tend == 0 && f.CurrentA < 0.075 {
				tend = float64(n) / 4
			}
			if n == 240 || n == 7200 || n == 21600 || n == 43200 {
				fmt.Println(n/4, f.EndV, f.CurrentA, s.SoC)
			}
		}
		s1, f1 := p.Charge(p.At(k.s0), c, 0, 10800, 25)
		fmt.Println(tcv-k.tcv, tend-k.tend, s1.SoC-s.SoC, f1.EndV-f.EndV, s1.SlowV-s.SlowV)
	}
}

var sinkF Flow
var sinkS State

func BenchmarkRunStep(b *testing.B) {
	cell, _ := TypicalCell(LiFePO4, 1.5)
	p, err := NewPack(cell, 2, 1)
	if err != nil {
		b.Fatal(err)
	}
	r, err := NewRun(p, p.DefaultControl(7.0))
	if err != nil {
		b.Fatal(err)
	}
	s0 := p.At(0.5)
	b.ReportAllocs()
	sign := 1.0
	for b.Loop() {
		sign = -sign
		sinkS, sinkF = r.Step(s0, sign*0.5, 60, 11)
	}
}
func BenchmarkCurrent(b *testing.B) {
	cell, _ := TypicalCell(LiFePO4, 1.5)
	p, _ := NewPack(cell, 2, 1)
	s0 := p.At(0.5)
	b.ReportAllocs()
	sign := 1.0
	for b.Loop() {
		sign = -sign
		sinkS, sinkF = p.Current(s0, sign*0.2, 60, 11)
	}
}
func BenchmarkHold(b *testing.B) {
	cell, _ := TypicalCell(LiFePO4, 1.5)
	p, _ := NewPack(cell, 2, 1)
	r, _ := NewRun(p, p.DefaultControl(7.0))
	s0 := p.At(0.99)
	b.ReportAllocs()
	for b.Loop() {
		sinkS, sinkF = r.Step(s0, 2, 60, 11)
	}
}
