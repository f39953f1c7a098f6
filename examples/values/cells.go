package main

import (
	"fmt"

	"github.com/stationphysics/stationphysics/battery"
	"github.com/stationphysics/stationphysics/battery/ageing"
	"github.com/stationphysics/stationphysics/battery/charge"
	"github.com/stationphysics/stationphysics/battery/sizing"
	"github.com/stationphysics/stationphysics/battery/trim"
)

func fourCells(l *list) (*battery.Pack, battery.Cell) {
	cell := must[battery.Cell](l)(battery.TypicalCell(battery.LiFePO4, 2.4))
	return must[*battery.Pack](l)(battery.NewPack(cell, 4, 1)), cell
}

func batteryNumbers(l *list) {
	l.in("battery")
	for c := battery.LiFePO4; c <= battery.NickelMetalHydride; c++ {
		l.add(fmt.Sprintf("%v limits", c), must[battery.PackLimits](l)(c.PackLimits(3, 7)))
		cell := must[battery.Cell](l)(battery.TypicalCell(c, 2.4))
		p := must[*battery.Pack](l)(battery.NewPack(cell, 3, 2))
		for _, t := range []float64{-15, 7, 38} {
			n := fmt.Sprintf("%v %g °C ", c, t)
			r := p.Resistance(t)
			l.add(n+"ohm", []float64{r.QuickOhm, r.SettledOhm, p.UsableFrac(t), c.MaxChargePerH(t)})
			for _, soc := range []float64{0.05, 0.4, 0.97} {
				m := fmt.Sprintf("%sat %g ", n, soc)
				v := p.OpenCircuitV(soc, t)
				l.add(m+"OpenCircuitV", v)
				l.add(m+"SoC", p.Cell().Curve.SoC(v/3, t))
				for i, step := range []func() (battery.State, battery.Flow){
					func() (battery.State, battery.Flow) { return p.Current(p.At(soc), -0.6, 300, t) },
					func() (battery.State, battery.Flow) { return p.Power(p.At(soc), -2.2, 300, t) },
					func() (battery.State, battery.Flow) {
						return p.Charge(p.At(soc), battery.Charger{SetV: p.OpenCircuitV(0.99, t), MaxA: 0.8, SeriesOhm: 0.1}, 0.05, 300, t)
					},
				} {
					s, f := step()
					l.add(fmt.Sprintf("%sstate %d", m, i), s)
					l.add(fmt.Sprintf("%sflow %d", m, i), f)
				}
			}
		}
	}
	p, _ := fourCells(l)
	run := must[*battery.Run](l)(battery.NewRun(p, p.DefaultControl(14)))
	s := p.At(0.6)
	var sum battery.Flow
	for minute := range 3 * 1440 {
		netW, cellC := -2.2/24, -3.0
		if h := minute % 1440 / 60; h >= 10 && h < 15 {
			netW, cellC = 2, float64(h-11)
		}
		var f battery.Flow
		s, f = run.Step(s, netW, 60, cellC)
		sum.InWh += f.InWh
		sum.OutWh += f.OutWh
		sum.LostAh += f.LostAh
	}
	l.add("three days", s)
	l.add("three days sums", sum)
	for _, v := range []float64{12.1, 13.1, 13.3, 13.9} {
		l.add(fmt.Sprintf("SoCBand %g V", v), must[battery.Band](l)(p.SoCBand(battery.Sighting{PackV: v, MeterV: 0.03, TempC: 15})))
	}
	g := must[battery.Gauge](l)(battery.NewGauge(p, battery.Meter{GainPct: 1, OffsetA: 0.0002, HealthPct: 5}, 1, 0.02))
	for range 120 {
		g.Add(-0.004, 3600, 15)
	}
	l.add("gauge", g.Band())
	l.add("gauge DaysTo", g.DaysTo(0.2))
}

func batteryPartsNumbers(l *list) {
	p, cell := fourCells(l)
	l.in("battery/ageing")
	var soc []float64
	for k := range 90 {
		soc = append(soc, 0.95-float64(k*k*7%31)/60, 0.9+float64(k%5)/50)
	}
	cycles := ageing.Rainflow(nil, soc)
	l.add("rainflow", cycles)
	l.add("Share", ageing.Share(cycles, 2000, 1.3))
	for _, t := range []float64{16, 25, 45} {
		l.add(fmt.Sprintf("loss %g °C", t), []float64{ageing.CycleLossPct(700, t, 0.5), ageing.CalendarLossPct(4, t, 0.8)})
	}
	tally := must[ageing.Tally](l)(ageing.NewTally(1.5))
	for h := range 8766 {
		current, level := -0.005, 0.90
		if h%24 >= 8 && h%24 < 20 {
			current, level = 0.005, 0.94
		}
		tally.Add(level, float64(h*13%440)/10-6, current, 3600)
	}
	l.methods("tally", tally)
	l.add("tally Loss", tally.Loss(5))
	l.add("tally YearsTo", tally.YearsTo(20))

	l.in("battery/charge")
	for _, t := range []float64{5, 20, 40} {
		r := must[charge.Result](l)(charge.Full(p, p.At(0.1), charge.Plan{Charger: battery.Charger{SetV: 14, MaxA: 0.8, SeriesOhm: 0.05}, TaperA: 0.05, TempC: t, StepS: 5, MostH: 12}))
		l.add(fmt.Sprintf("Full %g °C", t), r)
	}
	draw := charge.Draw{SleepW: 0.02, PulseW: 12, PulseS: 3, PeriodS: 600, LeastV: 12}
	for _, t := range []float64{20, -10} {
		l.add(fmt.Sprintf("BrownOutSoC %g °C", t), must[float64](l)(charge.BrownOutSoC(p, draw, t)))
		l.add(fmt.Sprintf("PulseEndV %g °C", t), charge.PulseEndV(p, draw, 0.4, t))
		l.add(fmt.Sprintf("BrownOut %g °C", t), must[charge.Outage](l)(charge.BrownOut(p, p.At(0.9), draw, t, 400)))
	}
	l.add("Above", must[charge.Lead](l)(charge.Mismatch{CapacityPct: 5, EqualSoC: 0.5, LeakPctPerMonth: 1, Days: 40}.Above(cell, 4, 14, 20)))
	for i, b := range charge.Boards() {
		l.add(fmt.Sprintf("board %d", i), must[charge.BoardVerdict](l)(b.Judge(charge.Case{Pack: p, Charger: battery.Charger{SetV: 15.8, MaxA: 0.8}, TempC: 20, NoPackV: 22.4, RailMaxV: 20})))
	}

	l.in("battery/sizing")
	for _, t := range []float64{-10, 25} {
		l.add(fmt.Sprintf("Autonomy %g °C", t), must[sizing.Available](l)(sizing.Autonomy(sizing.Dark{Pack: p, StartSoC: 1, LoadWh: 2.2, TempC: t, HealthFrac: 0.9, ReserveFrac: 0.1})))
		l.add(fmt.Sprintf("Delivered %g °C", t), must[sizing.Delivery](l)(sizing.Delivered(p, 1, 2.4, 11.2, t)))
	}
	l.add("Peukert", []float64{sizing.PeukertH(100, 20, 10, 1.2), sizing.PeukertUnitH(100, 10, 1.2)})
	l.add("Work", must[sizing.Sheet](l)(sizing.Need{LoadAh: 1, Days: 5, DepthFrac: 0.8, TempFrac: 0.7, Efficiency: 0.95, EndOfLifeFrac: 0.8, CellAh: 3.4}.Work()))
	l.add("Fuse", must[sizing.FuseChoice](l)(sizing.Fuse(sizing.FuseCase{Pack: p, LoadA: 1.5, WireAmpsA: 5, WireOhm: 0.02, RatingsA: sizing.BladeRatingsA(), WarmestC: 45, DeratingFrac: 0.75})))
	var chargeW, cellC []float64
	for h := range 24 * 30 {
		chargeW = append(chargeW, float64(h*11%17)/10)
		cellC = append(cellC, float64(h*7%40)-12)
	}
	l.add("ColdHours", must[sizing.ColdSum](l)(sizing.ColdHours(battery.LiFePO4, 9.6, chargeW, cellC)))

	l.in("battery/trim")
	for c := battery.LiFePO4; c <= battery.FloodedLead; c++ {
		s := must[trim.Setting](l)(trim.New(trim.Spec{Chemistry: c, Cells: 4, TempC: 11, MeterPct: 0.5, MeterDigitsV: 0.02, DriftPct: 0.4, HighestCellV: 0.01, DiodeTaperV: 0.2}))
		l.add(fmt.Sprintf("%v", c), s)
		l.add(fmt.Sprintf("%v WorstAtV", c), s.WorstAtV(14.4))
		l.add(fmt.Sprintf("%v verdict", c), must[trim.Verdict](l)(trim.Judge(c, 4, 14.4, 11)))
	}
}
