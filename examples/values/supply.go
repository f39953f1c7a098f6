package main

import (
	"fmt"
	"math"

	"github.com/stationphysics/stationphysics/power"
	"github.com/stationphysics/stationphysics/power/blocking"
	"github.com/stationphysics/stationphysics/power/bus"
	"github.com/stationphysics/stationphysics/power/chain"
	"github.com/stationphysics/stationphysics/power/parts"
	"github.com/stationphysics/stationphysics/power/switching"
	"github.com/stationphysics/stationphysics/power/trim"
	"github.com/stationphysics/stationphysics/power/wiring"
)

func powerNumbers(l *list) {
	l.in("power")
	linear := must[power.Linear](l)(power.NewLinear(power.LinearSpec{SetV: 5, BandPct: 2, DropoutV: 1.05, DropoutOhm: 0.2,
		QuiescentA: 0.005, GroundRatio: 0.01, MaxInputV: 20, CurrentLimitA: 0.8, MaxJunctionC: 125, ShutdownC: 150}))
	converter := must[power.Converter](l)(power.NewConverter(power.ConverterSpec{OutputV: 5, MaxInputV: 24, HeadroomV: 0.3, QuiescentA: 1e-4,
		LimitA: 1, CurveInputV: 7.2, Curve: []power.EfficiencyPoint{{LoadA: 1e-3, EfficiencyFrac: 0.78}, {LoadA: 0.1, EfficiencyFrac: 0.91}, {LoadA: 1, EfficiencyFrac: 0.86}}}))
	cooling := power.Cooling{AmbientC: 46, ThetaKPerW: 90}
	for _, in := range []float64{3, 5.6, 6.6, 7.2, 13.5, 19} {
		for _, load := range []float64{20e-6, 0.04, 0.25} {
			n := fmt.Sprintf("%g V %g A ", in, load)
			for i, p := range []power.Point{linear.At(in, load), linear.AtOhm(in, 5/load), linear.AtHot(in, 5/load, cooling), linear.Shorted(in, 5/load, 0.5), converter.At(in, load)} {
				l.add(fmt.Sprintf("%spoint %d", n, i), p)
				l.methods(fmt.Sprintf("%spoint %d", n, i), p)
			}
			l.add(n+"LargestInputV", linear.LargestInputV(load, 0.9))
		}
		l.add(fmt.Sprintf("%g V LargestLoadA", in), linear.LargestLoadA(in, 0.9))
		l.add(fmt.Sprintf("%g V BreakEvenA", in), power.BreakEvenA(converter, linear, in))
		low, high := power.OutputsAtDissipationV(in, 30, 0.05)
		l.add(fmt.Sprintf("%g V OutputsAtDissipationV", in), []float64{low, high})
	}
	diode := schottky(l)
	for _, t := range []float64{-20, 25, 70} {
		for _, a := range []float64{1e-4, 0.02, 0.5, 2} {
			d := diode.At(t)
			l.add(fmt.Sprintf("diode %g °C VoltageV(%g)", t, a), d.VoltageV(a))
			l.add(fmt.Sprintf("diode %g °C CurrentA(%g)", t, a), d.CurrentA(0.1+a/5))
		}
	}
	charger := must[power.Charger](l)(power.NewCharger(power.ChargerSpec{HoldV: 16.8, SetV: 7, LimitA: 1, EfficiencyFrac: 0.88, HeadroomV: 1, QuiescentA: 2e-3, MaxInputV: 28}))
	hot := power.PanelPoint{Vmp: 15.05, Imp: 0.583, Voc: 18.6, Isc: 0.632}
	l.add("charger HeldFrac", charger.HeldFrac(hot))
	l.add("charger InputMarginV", charger.InputMarginV(hot))
	for _, w := range []float64{0.01, 1, 9} {
		for _, v := range []float64{5.9, 6.6, 6.99} {
			l.add(fmt.Sprintf("charger %g W %g V", w, v), charger.At(w, v, 0.12))
			l.add(fmt.Sprintf("charger %g W %g V OutputA", w, v), charger.OutputA(w, v))
		}
	}
	load := must[power.Load](l)(power.NewLoad(power.LoadSpec{PeriodS: 600, AsleepA: 20e-6, Phases: []power.LoadPhase{
		{Name: "awake", CurrentA: 0.040, DurationS: 5, RepeatCount: 1}, {Name: "retry", CurrentA: 0.25, DurationS: 4, RepeatCount: 0.2},
	}}))
	l.methods("load", load)
	l.methods("load beside itself", load.Beside(load))
	l.add("load SourceA", []float64{load.SourceA(converter, 6.6, 1e-4), load.SourceA(linear, 6.6, 1e-4)})
}

func schottky(l *list) power.Diode {
	return must[power.Diode](l)(power.DiodeFromPoints(power.Schottky, 25, power.ForwardPoint{VoltageV: 0.60, CurrentA: 1}, power.ForwardPoint{VoltageV: 0.90, CurrentA: 3}))
}

func powerPartsNumbers(l *list) {
	diode := schottky(l)
	l.in("power/blocking")
	leak := must[blocking.Leakage](l)(blocking.NewLeakage(blocking.LeakagePoint{JunctionC: 25, CurrentA: 1e-3}, blocking.LeakagePoint{JunctionC: 125, CurrentA: 10e-3}))
	ideal := must[blocking.IdealDiode](l)(blocking.NewIdealDiode(blocking.IdealDiodeSpec{HoldV: 0.02, OnOhm: 0.05, OwnA: 5e-6}))
	for _, t := range spread(-20, 110, 6) {
		l.add(fmt.Sprintf("leakage %g °C", t), leak.CurrentA(t))
	}
	for i, p := range []blocking.Part{nil, diode, ideal} {
		loss := must[blocking.Loss](l)(blocking.Of(p, blocking.Case{LineV: 7, ChargeA: 4. / 7, ChargeH: 5, PackV: 6.6, NightA: 5e-6, NightH: 19}))
		l.add(fmt.Sprintf("loss %d", i), loss)
		l.methods(fmt.Sprintf("loss %d", i), loss)
	}

	l.in("power/bus")
	l.add("PullUpWindow", must[bus.Window](l)(bus.PullUpWindow(bus.Fast, 3.3, 200e-12)))
	l.add("ParallelOhm", bus.ParallelOhm(4700, 10e3, 10e3, 2200))
	l.add("RiseTimeS", bus.RiseTimeS(4700, 130e-12))
	l.add("SinkCurrentA", bus.SinkCurrentA(3.3, 1700))
	for m := bus.Standard; m <= bus.FastPlus; m++ {
		l.add(fmt.Sprintf("LongestM %d", m), bus.Cable{FaradPerM: 50e-12, DevicesFarad: 60e-12}.LongestM(m, 1500))
	}
	contact := must[bus.Contact](l)(bus.NewContact(bus.ContactSpec{SupplyV: 3.3, PullUpOhm: 10e3, SeriesOhm: 1e3, CapacitorFarad: 100e-9, CableFarad: 0.5e-9, LowFrac: 0.3, HighFrac: 0.7, ContactOhm: 1}))
	l.methods("contact", contact)
	l.add("contact HighestHz", contact.HighestHz(0.1))
	l.add("contact SurgeA", contact.SurgeA(24, 0.3))
	for _, farad := range []float64{0, 100e-9} {
		node := must[bus.Node](l)(bus.NewNode(bus.NodeSpec{UpperOhm: 150e3, LowerOhm: 100e3, PinFarad: farad, LeakageA: 100e-9, SampleOhm: 1000, SampleFarad: 8e-12, SampleS: 4e-6, Bits: 12,
			FullScaleV: 3.3, ClampV: 0.3, SupplyV: 3.3, ResistorTolPct: 1}))
		l.methods(fmt.Sprintf("node %g F", farad), node)
		l.add(fmt.Sprintf("node %g F DrainA", farad), node.DrainA(6.6))
		l.add(fmt.Sprintf("node %g F Inject", farad), node.Inject(6.6, 0))
	}

	l.in("power/parts")
	for _, p := range parts.Linears() {
		r := must[power.Linear](l)(power.NewLinear(p.Spec))
		l.add(p.Name+" "+p.Maker, r.At(p.Spec.SetV+1.5, 0.03))
	}
	for _, p := range parts.Diodes() {
		d := must[power.Diode](l)(p.New())
		for _, t := range []float64{-10, 60} {
			l.add(fmt.Sprintf("%s %s %g °C", p.Name, p.Maker, t), d.At(t).VoltageV(0.25))
		}
	}

	l.in("power/switching")
	for k := switching.Forced; k <= switching.Skipping; k++ {
		down := must[switching.Stage](l)(switching.New(switching.Spec{OutputV: 5, FrequencyHz: 500e3, InductanceHenry: 22e-6, CoilOhm: 0.1, SwitchOhm: 0.15, RectifierOhm: 0.1, EdgesS: 20e-9,
			GateCoulomb: 3e-9, GateV: 5, QuiescentA: 100e-6, LightLoad: k, MaxDutyFrac: 0.95, CurrentLimitA: 3, MaxInputV: 28, LeastInputV: 4.5}))
		for _, a := range []float64{1e-4, 1e-2, 0.5, 2} {
			o, ok := down.At(12, a)
			n := fmt.Sprintf("down %d %g A", k, a)
			l.add(n, o)
			l.methods(n, o)
			l.add(n+" ok", ok)
			l.add(n+" LeastInputV", down.LeastInputV(a))
		}
	}
	up := must[switching.Stage](l)(switching.New(switching.Spec{OutputV: 5, StepUp: true, FrequencyHz: 500e3, InductanceHenry: 10e-6, CoilOhm: 0.05, SwitchOhm: 0.1, RectifierV: 0.35,
		EdgesS: 20e-9, QuiescentA: 50e-6, MaxDutyFrac: 0.9, CurrentLimitA: 1, MaxInputV: 5.5, LeastInputV: 0.9}))
	for _, v := range []float64{3.6, 2, 1} {
		o, _ := up.At(v, 0.2)
		l.add(fmt.Sprintf("up %g V", v), o)
		l.add(fmt.Sprintf("up %g V NeededHenry", v), up.NeededHenry(v, 0.3))
	}

	l.in("power/trim")
	for i, s := range []trim.Spec{
		{ReferenceV: 1.2, ReferenceTolPct: 2, ReferenceDriftPPM: 50, UpperOhm: 30e3, LowerOhm: 10e3, ResistorTolPct: 1, ResistorDriftPPM: 100, Place: trim.Upper, TrackOhm: 50e3, TrackDriftPPM: 250, ContactPct: 3, TravelDeg: 260, InputV: 28},
		{Reference: trim.FromOutput, ReferenceV: 1.25, PinA: 50e-6, UpperOhm: 240, Place: trim.Lower, LowerOhm: 330, TrackOhm: 1000, TravelDeg: 260, InputV: 18},
		{ReferenceV: 0.8, UpperOhm: 39e3, LowerOhm: 4.7e3, Place: trim.Between, TrackOhm: 10e3, TravelDeg: 260, InputV: 18},
	} {
		d := must[trim.Divider](l)(trim.New(s))
		for _, f := range []float64{0, 0.37, 1} {
			n := fmt.Sprintf("divider %d at %g ", i, f)
			low, high := d.BandV(f)
			l.add(n+"BandV", []float64{low, high})
			l.add(n+"OutputV", d.OutputV(f))
			l.add(n+"ContactV", d.ContactV(f))
			l.add(n+"DriftV", d.DriftV(f, 40))
			l.add(n+"ResolutionVPerDeg", d.ResolutionVPerDeg(f))
			l.add(n+"WhenOpen", d.WhenOpen(f))
		}
		l.add(fmt.Sprintf("divider %d SettingFrac", i), d.SettingFrac(6))
	}

	l.in("power/wiring")
	for _, gauge := range []int{12, 18, 24} {
		w := must[wiring.Conductor](l)(wiring.AWG(gauge))
		l.methods(fmt.Sprintf("AWG %d", gauge), w)
		l.add(fmt.Sprintf("AWG %d DropV", gauge), wiring.Run{Wire: w, LengthM: 5, TempC: 44, ContactOhm: 0.02}.DropV(0.6))
	}
	l.add("SmallestIEC", wiring.SmallestIEC(wiring.Flexible, wiring.Run{LengthM: 12, TempC: 50}, 0.6, 0.3))
	l.add("StraightWireHenry", wiring.StraightWireHenry(1.7, 0.8))
	for w := wiring.Square; w <= wiring.DecayTail; w++ {
		l.add(fmt.Sprintf("PulseA2S %d", w), wiring.PulseA2S(w, 7, 0.013))
	}
	l.add("PulseFrac", wiring.PulseFrac(3000))
	fuse := must[wiring.Fuse](l)(wiring.NewFuse(wiring.FuseSpec{RatedA: 1, ContinuousFrac: 0.75, MeltA2S: 0.5, RatedV: 32, BreakingA: 50,
		Rerating: []wiring.ReratePoint{{AmbientC: -40, RerateRatio: 1.15}, {AmbientC: 25, RerateRatio: 1}, {AmbientC: 85, RerateRatio: 0.8}}}))
	for _, a := range []float64{3, 20, 40} {
		l.add(fmt.Sprintf("fuse %g", a), []float64{fuse.MeltS(a), fuse.ClampJ(13, a), fuse.ContinuousA(a), fuse.RerateRatio(a)})
	}
	for _, ohm := range []float64{0.5, math.Inf(1)} {
		h := wiring.HoldUp{CapacitorFarad: 4e-3, EsrOhm: 0.1, SourceV: 4.5, SourceOhm: ohm, BurstA: 2, BurstS: 600e-6, PeriodS: 4.6e-3}
		if math.IsInf(ohm, 1) {
			h.PeriodS = math.Inf(1)
		}
		l.add(fmt.Sprintf("hold-up %g ohm", ohm), []float64{h.LowestV(), h.NeededFarad(4.1)})
	}
	for _, ohm := range []float64{0.3, 3} {
		l.methods(fmt.Sprintf("hot plug %g ohm", ohm), wiring.HotPlug{SourceV: 20, LoopOhm: ohm, LoopHenry: 1e-6, CapacitorFarad: 2.2e-6})
	}
}

func chainNumbers(l *list) {
	l.in("power/chain")
	c := must[*chain.Circuit](l)(chain.New([]chain.Part{
		{Name: "panel", To: "array", Model: chain.Panel{PhotoA: 0.5, SaturationA: 1e-9, ThermalV: 1.1, SeriesOhm: 0.8, ShuntOhm: 900}},
		{Name: "D1", From: "array", To: "in", Model: chain.Diode{SaturationA: 2e-7, Ideality: 1.05, SeriesOhm: 0.1, JunctionC: 25, ShortOhm: 0.05}},
		{Name: "charger", From: "in", To: "bus", Model: chain.Charger{SetV: 7, LimitA: 1, HoldV: 17, Efficiency: 0.9, ShortOhm: 0.3, NoPackV: 8.4, Trimmer: true, WiperOpenV: 16}},
		{Name: "pack", To: "bus", Model: chain.Battery{OpenV: 6.6, SeriesOhm: 0.1}},
		{Name: "U1", From: "bus", To: "5V", Model: chain.StepDown{SetV: 5, Efficiency: 0.9, HeadroomV: 0.2, PassOhm: 0.2, IdleA: 1e-4, ShortOhm: 0.3}},
		{Name: "U2", From: "5V", To: "3V3", Model: chain.Linear{SetV: 3.3, DropoutV: 0.3, DropoutOhm: 0.4, IdleA: 2e-6, LimitA: 0.3, ShortOhm: 0.5}},
		{Name: "controller", From: "3V3", Model: chain.CurrentLoad{LoadA: 0.08}},
		{Name: "radio", From: "5V", Model: chain.PowerLoad{LoadW: 1.2, BrownOutV: 4.2}},
		{Name: "divider", From: "bus", Model: chain.Resistor{Ohm: 250e3}},
	}, []chain.Limit{{Node: "3V3", Item: "controller", WorkV: 3.45, MaxV: 3.6}, {Node: "5V", Item: "radio", WorkV: 5.3, MaxV: 6, MaxW: 3}, {Node: "bus", Item: "pack", WorkV: 7.2, MaxV: 7.4}}))
	w := c.NewWorkspace()
	for _, f := range append([]chain.Fault{{}}, c.Faults()...) {
		p, err := w.SolveFault(f)
		if err != nil {
			l.fail(err)
			return
		}
		for _, node := range c.Nodes() {
			l.add(fmt.Sprintf("%s: VoltageV %s", f, node), p.VoltageV(node))
		}
		for _, part := range c.Parts() {
			l.add(fmt.Sprintf("%s: CurrentA %s", f, part.Name), p.CurrentA(part.Name))
			l.add(fmt.Sprintf("%s: PowerW %s", f, part.Name), p.PowerW(part.Name))
		}
	}
	s := must[*chain.Survey](l)(c.Survey(chain.Stock{Fuses: []chain.Fuse{{RatedA: 0.2, MeltA2S: 0.02}, {RatedA: 1, MeltA2S: 1}}, Clamps: []chain.Clamp{{BreakdownV: 3.5, SlopeOhm: 0.01, MaxJ: 0.5}, {BreakdownV: 5.6, SlopeOhm: 0.1, MaxW: 3}}}))
	l.add("Survey", s.Rows)
}
