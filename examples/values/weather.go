package main

import (
	"fmt"
	"time"

	"github.com/stationphysics/stationphysics/rain"
	"github.com/stationphysics/stationphysics/wind"
)

func windNumbers(l *list) {
	l.in("wind")
	for _, z0 := range []float64{wind.OpenWaterM, wind.OpenM, wind.ClosedM} {
		for _, to := range []float64{3.5, 10, 60} {
			l.add(fmt.Sprintf("HeightRatio %g m %g m", z0, to), wind.HeightRatio(4, to, z0))
		}
	}
	l.add("StartMPerS", wind.StartMPerS(0.4, 0.93))
	l.add("HourlySigmaDeg", wind.HourlySigmaDeg([4]float64{12, 17, 9, 31}))
	l.add("Expose", must[wind.Exposure](l)(wind.Expose(38, 11)))
	cup := must[wind.Cup](l)(wind.NewCup(0.24, 0.62))
	for k := range 8 {
		l.add(fmt.Sprintf("CountMPerS %d", k), cup.CountMPerS(7*k, 1.7))
		l.add(fmt.Sprintf("PeriodMPerS %d", k), cup.PeriodMPerS(2+k, 0.9))
	}
	l.add("LargestMPerS", cup.LargestMPerS(0.011))
	var points []wind.CupPoint
	for k, f := range spread(2, 30, 9) {
		points = append(points, wind.CupPoint{FrequencyHz: f, SpeedMPerS: 0.24 + 0.62*f + 0.01*float64(k*k%5)})
	}
	l.add("FitCup", must[wind.CupFit](l)(wind.FitCup(points)))

	// An invented gusty quarter of an hour about north.
	period := must[*wind.Period](l)(wind.NewPeriod(wind.PeriodSpec{SampleS: 0.25, LengthS: 600, CalmMPerS: 0.5, VaneMPerS: 0.3}))
	var mitsuta wind.ScalarDirection
	var vector wind.Vector
	for k := range 2400 {
		speed := 0.5 + float64(k*37%113)/16
		direction := float64((345 + k*53%41) % 360)
		period.Add(speed, direction)
		mitsuta.Add(direction)
		vector.Add(speed, direction)
		if k%600 == 599 {
			l.add(fmt.Sprintf("Period after %d", k+1), period.Report())
			l.methods(fmt.Sprintf("ScalarDirection after %d", k+1), &mitsuta)
			l.methods(fmt.Sprintf("Vector after %d", k+1), &vector)
		}
	}
}

func rainNumbers(l *list) {
	l.in("rain")
	bucket := must[rain.Bucket](l)(rain.NewBucket(rain.BucketSpec{TipMm: 0.2, TipTimeS: 0.4, IgnoreS: 0.15}))
	for _, r := range []float64{0.1, 2, 17, 120, 300} {
		n := fmt.Sprintf("%g mm/h ", r)
		gap := bucket.GapS(r)
		l.add(n+"GapS", gap)
		l.add(n+"LossRatio", bucket.LossRatio(r))
		l.add(n+"GapDepthMm", bucket.GapDepthMm(gap))
		l.add(n+"GapMmPerH", bucket.GapMmPerH(gap))
	}
	l.add("Calibrate", must[rain.Calibration](l)(rain.Calibrate(0.02, []rain.Pour{
		{VolumeM3: 4e-4, Tips: 99, DurationS: 3600}, {VolumeM3: 4e-4, Tips: 97, DurationS: 900}, {VolumeM3: 4e-4, Tips: 92, DurationS: 300}, {VolumeM3: 4e-4, Tips: 86, DurationS: 150},
	})))

	// An invented shower that grows and fades, with bounces.
	gauge := must[*rain.Gauge](l)(rain.NewGauge(bucket, 3600))
	var total rain.Total
	var sums []rain.Event
	events := must[*rain.Events](l)(rain.NewEvents(30, func(e rain.Event) { sums = append(sums, e) }))
	k := 0
	minutes := must[*rain.Minutes](l)(rain.NewMinutes(3600, func(m rain.Minute) {
		total.Add(m)
		events.Add(m)
		if k++; k%9 == 0 {
			l.add(fmt.Sprintf("minute %d", k), m)
		}
	}))
	at := epoch
	for tip := range 60 {
		at = at.Add(time.Duration(7+(tip-30)*(tip-30)/3) * time.Second)
		for _, bounce := range []time.Duration{0, 90 * time.Millisecond} {
			c := must[rain.Closure](l)(gauge.Closure(at.Add(bounce), rain.Unknown()))
			minutes.Add(c)
			if bounce == 0 && tip%6 == 0 {
				l.add(fmt.Sprintf("closure %d", tip), c)
			}
		}
	}
	minutes.Flush(at.Add(time.Hour))
	events.Flush()
	l.add("Total", total)
	l.add("Events", sums)
}
