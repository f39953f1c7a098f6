package transient_test

import (
	"fmt"

	"github.com/stationphysics/stationphysics/thermal/transient"
)

// Given: a published Foster sum of a part, and a board of 40 K/W and 12 J/K.
// Find: the junction's rise after a minute at 1 W.
//
// The sum must become a ladder before anything is put behind it.
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

// The wrong way: one more term at the end of a Foster sum puts the board's
// capacity in parallel with its resistance only, beside the part instead of
// behind it. The start is right by luck, and in between it runs ahead of the
// real thing.
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

// Given: a radio takes 0.9 W of heat for 0.4 s every 2 s. Find: the highest
// junction rise, and what the mean power alone would say.
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

// Given: a tab thermometer read every half minute after switching on 1.2 W at
// 21 °C (invented readings). Find: resistance to the air and time constant.
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

// Given: two regulators on one board, 1.2 W and 0.3 W. Find: what one does to
// the other.
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
