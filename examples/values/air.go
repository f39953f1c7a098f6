package main

import (
	"fmt"
	"time"

	"github.com/stationphysics/stationphysics/baro"
	"github.com/stationphysics/stationphysics/psychro"
)

func psychroNumbers(l *list) {
	l.in("psychro")
	for _, f := range []psychro.Formula{psychro.Reference, psychro.WMO8, psychro.HylandWexler} {
		for _, over := range []psychro.Phase{psychro.Water, psychro.Ice} {
			for _, t := range spread(-148, 99, 14) {
				n := fmt.Sprintf("formula %d over %v at %g °C", f, over, t)
				p := f.PressureHPa(over, t)
				l.add(n+" PressureHPa", p)
				l.add(n+" SlopeHPaPerK", f.SlopeHPaPerK(over, t))
				l.add(n+" TemperatureC", f.TemperatureC(over, p))
			}
		}
	}
	for _, p := range []float64{310, 700, 1013.25, 1090} {
		l.add(fmt.Sprintf("WMOEnhancementFactor %g hPa", p), psychro.WMOEnhancementFactor(p))
		for _, over := range []psychro.Phase{psychro.Water, psychro.Ice} {
			for _, t := range spread(-95, 60, 6) {
				l.add(fmt.Sprintf("EnhancementFactor %v %g °C %g hPa", over, t, p), psychro.EnhancementFactor(over, t, p))
			}
		}
	}
	for _, p := range []float64{540, 1013.25} {
		for _, t := range []float64{-72, -25, -4.2, -0.3, 8, 21.4, 37, 58} {
			for _, rh := range []float64{3, 63, 99} {
				n := fmt.Sprintf("%g °C %g %% %g hPa", t, rh, p)
				air := must[psychro.State](l)(psychro.New(t, rh, p))
				l.methods(n, air)
				for q := psychro.VapourPressureHPa; q <= psychro.HumidexC; q++ {
					l.add(fmt.Sprintf("%s Sensitivity(%d)", n, q), air.Sensitivity(q))
				}
				chill, ok := air.WindChillC(4)
				l.add(n+" WindChillC", chill)
				l.add(n+" WindChillC defined", ok)
				apparent, _ := air.ApparentTemperatureC(4)
				l.add(n+" ApparentTemperatureC", apparent)
			}
		}
	}
	for _, t := range []float64{-14, 3, 29} {
		for i, second := range []psychro.Given{
			psychro.DewPoint(t - 5), psychro.FrostPoint(min(t-5, -3)), psychro.Humidity(55), psychro.MixingRatio(0.7),
			psychro.VapourPressure(1.1), psychro.WetBulb(t - 1.2), psychro.HumidityOverIce(70), psychro.IceBulb(min(t-0.6, -1)),
		} {
			if t > 0 && i >= 6 {
				continue // no ice
			}
			air := must[psychro.State](l)(psychro.From(880, psychro.Temperature(t), second))
			l.add(fmt.Sprintf("From %g °C and #%d RelativeHumidityPct", t, i), air.RelativeHumidityPct())
		}
		for _, v := range []psychro.Ventilation{psychro.Aspirated, psychro.Screen} {
			air := must[psychro.State](l)(psychro.FromPsychrometer(psychro.Reading{TempC: t, BulbC: t - 1.1, PressureHPa: 960, Ventilation: v}))
			l.add(fmt.Sprintf("FromPsychrometer %g °C ventilation %d", t, v), air.RelativeHumidityPct())
		}
	}
	two := must[psychro.State](l)(psychro.From(1000, psychro.DewPoint(9), psychro.WetBulb(14)))
	l.methods("From dew point 9 °C and wet bulb 14 °C", two)
}

func baroNumbers(l *list) {
	l.in("baro")
	for _, h := range spread(-4900, 79900, 24) {
		n := fmt.Sprintf("%g gpm", h)
		s := baro.StandardAt(baro.GeopotentialM(h))
		l.add("StandardAt "+n, s)
		l.add("PressureAltitude of "+n, baro.PressureAltitude(baro.StationHPa(s.PressureHPa)))
		l.add("DensityAltitude of "+n, baro.DensityAltitude(s.DensityKgPerM3))
		l.add("ISOGeometric "+n, baro.ISOGeometric(baro.GeopotentialM(h)))
	}
	for _, lat := range []float64{-90, -33, 0, 45.5, 71} {
		l.add(fmt.Sprintf("NormalGravity %g°", lat), baro.NormalGravityMPerS2(lat))
		for _, z := range []baro.GeometricM{-400, 12, 612, 2900, 5900} {
			n := fmt.Sprintf(" %g m %g°", float64(z), lat)
			l.add("Gravity"+n, baro.GravityAtMPerS2(z, lat))
			h := baro.Geopotential(z, lat)
			l.add("Geopotential"+n, h)
			l.add("Geometric of"+n, baro.Geometric(h, lat))
			q := baro.AltimeterSetting(700, h)
			l.add("AltimeterSetting"+n, q)
			l.add("AltimeterSettingSmithsonian"+n, baro.AltimeterSettingSmithsonian(700, h))
		}
	}
	for _, h := range []baro.GeopotentialM{-20, 40, 330, 740} {
		for _, t := range []float64{-32, 4.5, 31} {
			c := baro.Column{Height: h, TempC: t, VapourPressureHPa: 1.7}
			n := fmt.Sprintf(" %g gpm %g °C", float64(h), t)
			for i, r := range []baro.Reduction{
				must[baro.Reduction](l)(baro.NewReduction(c)), must[baro.Reduction](l)(baro.NewHypsometric(c)), must[baro.Reduction](l)(baro.NewLayer(h, t)),
			} {
				m := fmt.Sprintf("reduction %d%s ", i, n)
				l.methods(m, r)
				sea := r.SeaLevel(941.6)
				l.add(m+"SeaLevel", sea)
				l.add(m+"Station", r.Station(sea))
				l.add(m+"Sensitivity", r.Sensitivity(941.6))
				l.add(m+"TempError", r.TempErrorHPa(941.6, 15))
			}
			l.add("AtHeight"+n, baro.AtHeight(990, float64(h)/5, t))
			l.add("StationFromAltimeter"+n, baro.StationFromAltimeter(1009, h))
			l.add("SeaLevelLow"+n, baro.SeaLevelLow(1002, min(h, 40), t))
		}
	}
	var w baro.TendencyWindow
	for k, p := range spread(1004.2, 1001.9, 200) {
		if err := w.Add(epoch.Add(time.Duration(k)*time.Minute), baro.StationHPa(p)); err != nil {
			l.fail(err)
		}
	}
	t, ok := w.Tendency()
	l.add("Tendency", t)
	l.add("Tendency ok", ok)
}
