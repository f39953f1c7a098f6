package main

import (
	"fmt"
	"math"

	"github.com/stationphysics/stationphysics/thermal"
	"github.com/stationphysics/stationphysics/thermal/transient"
)

func thermalNumbers(l *list) {
	l.in("thermal")
	path := must[thermal.Path](l)(thermal.NewPath(5, 1, 12))
	for _, w := range []float64{0.3, 1.29, 4} {
		l.add(fmt.Sprintf("path %g W", w), []float64{path.JunctionC(44, w), path.CaseC(44, w), path.JunctionFromCaseC(70, w), path.CaseFromJunctionC(125, w), path.MaxAmbientC(125, w), path.SinkKPerW(125, 44, w)})
		l.add(fmt.Sprintf("PlateSink %g W", w), thermal.PlateSinkKPerW(thermal.PlateSink{HeightM: 0.1, WidthM: 0.06, BothSides: true, Emissivity: 0.85, AirC: 44, PowerW: w}))
		l.add(fmt.Sprintf("characterisation %g W", w), []float64{thermal.JunctionFromTopC(71, w, 2.3), thermal.JunctionFromBoardC(64, w, 11)})
	}
	derating := must[thermal.Derating](l)(path.Derating(125, 4))
	l.methods("derating", derating)
	l.add("derating MaxPowerW", derating.MaxPowerW(103))
	for _, t := range []float64{-40, 25, 130} {
		for _, p := range []float64{500, 1013.25} {
			air := thermal.AirAt(t, p)
			n := fmt.Sprintf("air %g °C %g hPa", t, p)
			l.add(n, air)
			for _, k := range []float64{-20, 0.3, 35} {
				l.add(fmt.Sprintf("%s rise %g K", n, k), []float64{
					air.VerticalPlateWPerM2K(0.2, k), air.VerticalPlateLaminarWPerM2K(0.2, k), air.HorizontalCylinderWPerM2K(0.06, k),
					air.HorizontalPlateWPerM2K(0.1, k, true), air.HorizontalPlateWPerM2K(0.1, k, false),
				})
			}
		}
		l.add(fmt.Sprintf("Radiation %g °C", t), thermal.RadiationWPerM2K(0.9, t, 7))
	}
	for _, area := range []float64{8, 100, 300, 600} {
		l.add(fmt.Sprintf("copper %g mm²", area), must[thermal.CopperEstimate](l)(thermal.EstimateCopper("SOT-223", area)))
	}
	for m := thermal.BareMetal; m <= thermal.Wood; m++ {
		for _, s := range []float64{1, 10, 3600} {
			l.add(fmt.Sprintf("BurnThreshold %d %g s", m, s), thermal.BurnThresholdC(m, s))
		}
	}
	l.add("SolAir", thermal.SolAirC(thermal.SolAir{AirC: 33, Absorptance: 0.6, SunWPerM2: 850, FilmWPerM2K: 17, LongwaveK: 4}))
	shield := thermal.ShieldErrorBand(850, 0.3)
	l.add("ShieldErrorBand", shield)
	box := must[thermal.SealedBox](l)(thermal.NewSealedBox(thermal.SealedBoxSpec{Absorptance: 0.6, Emissivity: 0.9, SurfaceAreaM2: 0.2, SunlitAreaM2: 0.05, WallWPerM2K: 6.9, CapacityJPerK: 900}))
	for _, sun := range []float64{0, 300, 950} {
		for _, wind := range []float64{0, 0.5, 7} {
			c := thermal.BoxConditions{AirC: 33 - wind, SunWPerM2: sun, WindMPerS: wind, DissipationW: 0.3, RadiantDeficitK: 6}
			l.add(fmt.Sprintf("box %g W/m² %g m/s", sun, wind), []float64{box.InnerC(c), box.RiseK(c), box.SurfaceC(c), box.NextInnerC(20, c, 600)})
		}
	}
}

func transientNumbers(l *list) {
	l.in("thermal/transient")
	f := must[transient.Foster](l)(transient.NewFoster(transient.Term{KPerW: 2, TauS: 0.002}, transient.Term{KPerW: 8, TauS: 0.3}, transient.Term{KPerW: 31, TauS: 70}))
	l.methods("Foster", f)
	ladder := must[transient.Ladder](l)(f.Ladder())
	l.add("ladder stages", ladder.Stages())
	whole := must[transient.Ladder](l)(transient.NewLadder(append(ladder.Stages(), transient.Stage{KPerW: 40, JPerK: 12})...))
	l.add("joined terms", whole.Foster().Terms())
	train := must[transient.PulseTrain](l)(transient.NewPulseTrain(0.9, 0.4, 2))
	l.add("pulses", []float64{f.PulsePeakK(train), f.PulseTroughK(train), f.PulseMeanK(train), f.PulseEndK(train, 3)})
	for _, t := range []float64{1e-4, 0.05, 3, 1000} {
		l.add(fmt.Sprintf("Zth %g s", t), []float64{f.ZthKPerW(t), whole.Foster().ZthKPerW(t)})
	}
	net := must[*transient.Network](l)(transient.NewNetwork(
		[]transient.Node{{Name: "a", CapacityJPerK: 0.05}, {Name: "b", CapacityJPerK: 0.07}, {Name: "pad"}, {Name: "board", CapacityJPerK: 15}},
		[]transient.Link{
			{From: "a", To: "pad", KPerW: 15}, {From: "pad", To: "board", KPerW: 3}, {From: "b", To: "board", KPerW: 19}, {From: "board", To: transient.Ambient, KPerW: 40},
		}))
	l.add("network TimeConstantsS", net.TimeConstantsS())
	power := []float64{1.2, 0.3, 0, 0.1}
	rise := make([]float64, 4)
	net.SteadyK(rise, power)
	l.add("network SteadyK", rise)
	for _, t := range []float64{0.1, 10, 600} {
		net.Step(power).RiseK(rise, t)
		l.add(fmt.Sprintf("network RiseK %g s", t), rise)
	}
	step := must[*transient.Stepper](l)(net.Stepper(30))
	next := make([]float64, 4)
	for range 10 {
		step.Next(next, rise, power)
		rise, next = next, rise
	}
	l.add("network after ten steps", rise)
	var times, temps []float64
	for k, s := range spread(0, 600, 25) {
		times = append(times, s)
		temps = append(temps, math.Round(100*(76-55*math.Exp(-s/108))+float64(k*k%7)-3)/100)
	}
	l.add("FitWarmUp", must[transient.WarmUp](l)(transient.FitWarmUp(times, temps, 21, 1.2)))
}
