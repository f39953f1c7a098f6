package transient_test

import (
	"fmt"

	"github.com/stationphysics/stationphysics/thermal/transient"
)

// A part's published impedance, put on a board.
//
// Given: a Foster sum of 2 K/W and 2 ms, 8 K/W and 0.3 s, and a board of 40
// K/W and 12 J/K.
// Find: the junction's rise after a minute at 1 W.
//
//	part alone 2 + 8 = 10 K; board 40 (1 - e^(-60/480)) = 4.7 K: together 14.6 K
//
// The sum must become a ladder before anything is put behind it.
//
// Source: continued fraction after Lanczos 1950, J. Res. NBS 45:255 (from
// memory).
func ExampleFoster_Ladder() {
	f, err := transient.NewFoster(
		transient.Term{KPerW: 2, TauS: 0.002},
		transient.Term{KPerW: 8, TauS: 0.3},
	)
	if err != nil {
		fmt.Println(err)
		return
	}
	l, err := f.Ladder()
	if err != nil {
		fmt.Println(err)
		return
	}
	whole, err := transient.NewLadder(append(l.Stages(), transient.Stage{KPerW: 40, JPerK: 12})...)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("part alone %.2f K, on the board %.2f K\n", f.ZthKPerW(60), whole.Foster().ZthKPerW(60))
	// Output:
	// part alone 10.00 K, on the board 14.64 K
}

// The wrong way: one more term at the end of a Foster sum.
//
// Given: the same part in a small case of 40 K/W and 0.2 J/K.
// Find: the rise after half a second, both ways.
//
//	sum: 2 + 8 (1 - e^(-0.5/0.3)) + 40 (1 - e^(-0.5/8)) = 10.91 K; ladder: 8.98 K
//
// The added term stands beside the part instead of behind it: the start is
// right by luck, and in between it runs ahead of the real thing.
//
// Source: Foster and Cauer forms of one impedance; only the second has places.
func ExampleFoster_Ladder_wrongWay() {
	part := []transient.Term{{KPerW: 2, TauS: 0.002}, {KPerW: 8, TauS: 0.3}}
	f, err := transient.NewFoster(part...)
	if err != nil {
		fmt.Println(err)
		return
	}
	l, err := f.Ladder()
	if err != nil {
		fmt.Println(err)
		return
	}
	// A small case of 0.2 J/K shows it best.
	right, err := transient.NewLadder(append(l.Stages(), transient.Stage{KPerW: 40, JPerK: 0.2})...)
	if err != nil {
		fmt.Println(err)
		return
	}
	wrong, err := transient.NewFoster(append(part, transient.Term{KPerW: 40, TauS: 40 * 0.2})...)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("after 0.5 s: %.2f K, not %.2f K\n", right.Foster().ZthKPerW(0.5), wrong.ZthKPerW(0.5))
	// Output:
	// after 0.5 s: 8.98 K, not 10.91 K
}

// A pulsed load. The wrong way: to take the mean power, 12.6 K.
//
// Given: a radio takes 0.9 W of heat for 0.4 s every 2 s; 10 K/W with 0.05 s
// and 60 K/W with 90 s.
// Find: the highest junction rise.
//
//	per term P R (1 - e^(-on/τ))/(1 - e^(-period/τ)): 0.9·10·1.0 + 0.9·60·0.2 = 19.9 K
//	mean 0.9·0.2·70 = 12.6 K
//
// Source: geometric series of steps (linear network).
func ExampleFoster_PulsePeakK() {
	f, err := transient.NewFoster(transient.Term{KPerW: 10, TauS: 0.05}, transient.Term{KPerW: 60, TauS: 90})
	if err != nil {
		fmt.Println(err)
		return
	}
	train, err := transient.NewPulseTrain(0.9, 0.4, 2)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("peak %.1f K, trough %.1f K, mean %.1f K\n", f.PulsePeakK(train), f.PulseTroughK(train), f.PulseMeanK(train))
	// Output:
	// peak 19.9 K, trough 10.7 K, mean 12.6 K
}

// A resistance out of a warm-up. The wrong way: to stop after four readings.
//
// Given: a tab thermometer read every half minute after switching on 1.2 W at
// 21 °C (invented readings).
// Find: resistance to the air and time constant.
//
//	T = 21 + 1.2 θ (1 - e^(-t/τ)): end 76.05 °C = 21 + 1.2·45.87
//
// Source: least squares with standard errors, JCGM 100:2008, H.3 (from
// memory).
func ExampleFitWarmUp() {
	times := []float64{0, 30, 60, 90, 120, 150, 180, 240, 300, 400, 500, 600}
	temps := []float64{21.0, 34.4, 44.4, 52.1, 57.9, 62.3, 65.7, 70.1, 72.6, 74.7, 75.5, 75.8}
	w, err := transient.FitWarmUp(times, temps, 21, 1.2)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("θ = %.2f ± %.2f K/W, τ = %.1f ± %.1f s, over %.1f time constants\n",
		w.ThetaKPerW, w.ThetaErrorKPerW, w.TauS, w.TauErrorS, w.SpanRatio)
	_, err = transient.FitWarmUp(times[:4], temps[:4], 21, 1.2)
	fmt.Println(err)
	// Output:
	// θ = 45.87 ± 0.02 K/W, τ = 108.0 ± 0.2 s, over 5.6 time constants
	// warm-up record: 4 readings: at least five are needed, better twenty, from switching on until nothing changes
}

// Two regulators on one board.
//
// Given: 1.2 W and 0.3 W, each 15 K/W to a board of 40 K/W and 15 J/K.
// Find: what one does to the other.
//
//	board 40·1.5 = 60 K; 60 + 15·1.2 = 78 K; 60 + 15·0.3 = 64.5 K
//
// The wrong way treats each alone: the small one at 55·0.3 = 16.5 K.
//
// Source: Kirchhoff with heat for current; step by the matrix exponential.
func ExampleNetwork() {
	w, err := transient.NewNetwork(
		[]transient.Node{{Name: "5 V part", CapacityJPerK: 0.05}, {Name: "3.3 V part", CapacityJPerK: 0.05}, {Name: "board", CapacityJPerK: 15}},
		[]transient.Link{
			{From: "5 V part", To: "board", KPerW: 15},
			{From: "3.3 V part", To: "board", KPerW: 15},
			{From: "board", To: transient.Ambient, KPerW: 40},
		})
	if err != nil {
		fmt.Println(err)
		return
	}
	rise := make([]float64, 3)
	w.SteadyK(rise, []float64{1.2, 0.3, 0})
	for i, n := range w.Names() {
		fmt.Printf("%-10s %.1f K\n", n, rise[i])
	}
	w.Step([]float64{1.2, 0.3, 0}).RiseK(rise, 60)
	fmt.Printf("after a minute the board is at %.1f K\n", rise[2])
	// Output:
	// 5 V part   78.0 K
	// 3.3 V part 64.5 K
	// board      60.0 K
	// after a minute the board is at 5.6 K
}

// How long to wait before a reading on the bench.
//
// Given: the board of ExampleNetwork, 40 K/W and 15 J/K, with one part of 1.2 W.
// Find: how much of the rise is there after 2, 10 and 50 minutes.
//
//	τ = 40 K/W · 15 J/K = 600 s: 1 - e^(-120/600) = 18 %, after 10 min 63 %, after 50 min 99 %
//
// The wrong way reads the tab after two minutes and calls it cool.
//
// Source: first-order step.
func ExampleLadder_Foster() {
	l, err := transient.NewLadder(transient.Stage{KPerW: 40, JPerK: 15})
	if err != nil {
		fmt.Println(err)
		return
	}
	f := l.Foster()
	for _, minutes := range []float64{2, 10, 50} {
		k := 1.2 * f.ZthKPerW(60*minutes)
		fmt.Printf("%2.0f min: %4.1f of %.0f K, %.0f %%\n", minutes, k, 1.2*40, 100*k/(1.2*40))
	}
	// Output:
	//  2 min:  8.7 of 48 K, 18 %
	// 10 min: 30.3 of 48 K, 63 %
	// 50 min: 47.7 of 48 K, 99 %
}
