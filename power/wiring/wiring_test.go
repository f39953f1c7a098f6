package wiring

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"github.com/stationphysics/stationphysics/internal/limit/limittest"
	"github.com/stationphysics/stationphysics/internal/refdata"
)

func awg(t testing.TB, gauge int) Conductor {
	t.Helper()
	c, err := AWG(gauge)
	require.NoError(t, err)
	return c
}

func TestPublishedGauge(t *testing.T) {
	refdata.Each(t, "power/wiring/awg", func(r *refdata.Row) {
		c := awg(t, int(r.F("gauge")))
		call := fmt.Sprintf("AWG(%g)", r.F("gauge"))
		r.Check("diameterMm", c.DiameterMm(), call+".DiameterMm()")
		r.Check("formulaOhmPerKm", 1000*c.OhmPerM(20), call+".OhmPerM(20)·1000")
		r.Check("tableOhmPerKm", 1000*c.OhmPerM(20), call+".OhmPerM(20)·1000")
	})
}

func TestPublishedConductors(t *testing.T) {
	refdata.Each(t, "power/wiring/iec60228", func(r *refdata.Row) {
		c, err := IEC(r.F("areaMm2"), Class(r.F("class")))
		require.NoError(t, err)
		r.Check("ohmPerKm", 1000*c.OhmPerM(20), fmt.Sprintf("IEC(%g, %g)", r.F("areaMm2"), r.F("class")))
		require.Equal(t, r.F("areaMm2"), c.AreaMm2())
		// A limit leaves the maker some per cent more than pure copper of the
		// nominal area has.
		pure, err := Copper(c.AreaMm2())
		require.NoError(t, err)
		ratio := c.OhmPerM(20) / pure.OhmPerM(20)
		require.Greater(t, ratio, 1.04)
		require.Less(t, ratio, 1.16)
	})
}

func TestPublishedTemperatureFactor(t *testing.T) {
	refdata.Each(t, "power/wiring/temperature", func(r *refdata.Row) {
		c := awg(t, 20)
		got := c.OhmPerM(20) / c.OhmPerM(r.F("tempC"))
		r.Check("exactFactor", got, fmt.Sprintf("factor at %g °C", r.F("tempC")))
		r.Check("printedFactor", got, fmt.Sprintf("factor at %g °C", r.F("tempC")))
	})
	require.InDelta(t, 1.1572, awg(t, 24).OhmPerM(60)/awg(t, 24).OhmPerM(20), 1e-4)
}

func TestPublishedRun(t *testing.T) {
	refdata.Each(t, "power/wiring/run", func(r *refdata.Row) {
		run := Run{Wire: awg(t, int(r.F("gauge"))), LengthM: r.F("lengthM"), TempC: r.F("tempC")}
		r.Check("dropV", run.DropV(r.F("currentA")), fmt.Sprintf("%+v.DropV(%g)", run, r.F("currentA")))
		require.InDelta(t, run.DropV(r.F("currentA"))*r.F("currentA"), run.LossW(r.F("currentA")), 1e-15)
	})
}

func TestConductors(t *testing.T) {
	// Three gauges halve the area, six halve the diameter: nearly (2.005).
	require.InEpsilon(t, math.Pow(92, 6./39), awg(t, 18).DiameterMm()/awg(t, 24).DiameterMm(), 1e-12)
	require.InDelta(t, 0.127, awg(t, 36).DiameterMm(), 1e-12)
	require.InDelta(t, 11.684, awg(t, -3).DiameterMm(), 1e-9, "gauge 0000 is 0.46 inch by definition")
	c, err := Copper(1)
	require.NoError(t, err)
	require.InDelta(t, 1./58, c.OhmPerM(20), 1e-15)
	require.InDelta(t, math.Sqrt(4/math.Pi), c.DiameterMm(), 1e-15)
	require.InDelta(t, 1./58*(1-0.00393*60), c.OhmPerM(-40), 1e-15)
	for _, v := range []float64{c.OhmPerM(-60.1), c.OhmPerM(200.1), c.OhmPerM(math.NaN()), Conductor{}.OhmPerM(20), Conductor{}.AreaMm2(), Conductor{}.DiameterMm()} {
		require.True(t, math.IsNaN(v))
	}
	_, err = AWG(-4)
	limittest.RefusesRange(t, err, "wire gauge")
	_, err = AWG(41)
	limittest.RefusesRange(t, err, "wire gauge")
	_, err = Copper(0)
	limittest.RefusesRange(t, err, "conductor area")
	_, err = IEC(1.2, Flexible)
	require.EqualError(t, err, "nominal area 1.2 mm² and nearest nominal area of IEC 60228 1 mm² contradict each other: the areas are 0.5, 0.75, 1, 1.5, 2.5, 4, 6, 10, 16, 25, 35 and 50 mm²")
	_, err = IEC(70, Solid)
	require.EqualError(t, err, "nominal area 70 mm² is outside 0.5..50 mm²")
	for class, nearest := range map[Class]string{0: "1", 3: "2", 4: "5", 6: "5"} {
		_, err = IEC(1.5, class)
		require.EqualError(t, err, fmt.Sprintf("conductor class %d and nearest conductor class of IEC 60228 %s contradict each other: the classes are 1 (solid), 2 (stranded) and 5 (flexible)", class, nearest))
	}
}

func TestRun(t *testing.T) {
	w := awg(t, 24)
	run := Run{Wire: w, LengthM: 5, TempC: 20, ContactOhm: 0.1}
	require.InDelta(t, 10*w.OhmPerM(20)+0.1, run.LoopOhm(), 1e-15)
	for _, change := range []func(*Run){func(r *Run) { r.LengthM = -1 }, func(r *Run) { r.LengthM = math.NaN() }, func(r *Run) { r.LengthM = 1e6 }, func(r *Run) { r.ContactOhm = -1 },
		func(r *Run) { r.ContactOhm = math.NaN() }, func(r *Run) { r.ContactOhm = 1e6 }, func(r *Run) { r.TempC = 300 }, func(r *Run) { r.Wire = Conductor{} }} {
		r := run
		change(&r)
		require.True(t, math.IsNaN(r.LoopOhm()))
	}
	run.ContactOhm = 0
	require.Equal(t, 0.5, SmallestIEC(Flexible, run, 0.25, 0.1), "0.39 ohm: 0.0975 V")
	require.Equal(t, 0.75, SmallestIEC(Flexible, run, 0.25, 0.09))
	require.Equal(t, 0.5, SmallestIEC(Stranded, run, 0.25, 0.09), "0.36 ohm: 0.09 V")
	require.Equal(t, 0.5, SmallestIEC(Solid, run, -0.25, 0.09), "either way")
	require.True(t, math.IsNaN(SmallestIEC(Flexible, run, 1000, 0.1)))
	require.True(t, math.IsNaN(SmallestIEC(4, run, 0.25, 0.1)))
	require.True(t, math.IsNaN(SmallestIEC(Solid, run, math.NaN(), 0.1)))
	run.LengthM = -1
	require.True(t, math.IsNaN(SmallestIEC(Solid, run, 0.25, 0.1)))
}

func TestStraightWire(t *testing.T) {
	// By hand: 0.2·1·(ln(4000/0.51) - 0.75) = 0.2·(8.967 - 0.75) = 1.643 uH.
	require.InDelta(t, 1.6435e-6, StraightWireHenry(1, 0.51), 1e-10)
	for _, c := range [][2]float64{{1, 0}, {0.004, 0.51}, {-1, 0.5}, {math.NaN(), 0.5}, {1, math.NaN()}, {1e5, 1}} {
		require.True(t, math.IsNaN(StraightWireHenry(c[0], c[1])))
	}
	require.False(t, math.IsNaN(StraightWireHenry(0.0051, 0.51)))
}

var slow = FuseSpec{RatedA: 1, ContinuousFrac: 0.75, Rerating: []ReratePoint{{-40, 1.1}, {25, 1}, {85, 0.8}}, MeltA2S: 0.5, RatedV: 32, BreakingA: 50}

func fuse(t testing.TB, s FuseSpec) Fuse {
	t.Helper()
	f, err := NewFuse(s)
	require.NoError(t, err)
	return f
}

func TestPublishedFuse(t *testing.T) {
	refdata.Each(t, "power/wiring/rating", func(r *refdata.Row) {
		r.Check("ratingA", NeededRatingA(r.F("currentA"), r.F("continuousFrac"), r.F("rerateRatio")), "NeededRatingA")
	})
	shapes := map[string]Waveform{"square": Square, "half-sine": HalfSine, "triangle": Triangle, "decay": DecayTail}
	refdata.Each(t, "power/wiring/pulse", func(r *refdata.Row) {
		r.Check("pulseA2S", PulseA2S(shapes[r.S("waveform")], r.F("peakA"), r.F("durationS")), r.S("waveform"))
		r.Check("pulseFrac", PulseFrac(r.F("pulseCount")), fmt.Sprintf("PulseFrac(%g)", r.F("pulseCount")))
	})
}

func TestPulseShapesAreIntegrals(t *testing.T) {
	// Simpson's rule over the wave itself.
	integral := func(f func(float64) float64, to float64) float64 {
		const n = 20000
		s := f(0)*f(0) + f(to)*f(to)
		for k := 1; k < n; k++ {
			w := 2.0 + 2*float64(k%2)
			s += w * f(to*float64(k)/n) * f(to*float64(k)/n)
		}
		return s * to / n / 3
	}
	require.InEpsilon(t, integral(func(x float64) float64 { return 7 }, 0.01), PulseA2S(Square, 7, 0.01), 1e-9)
	require.InEpsilon(t, integral(func(x float64) float64 { return 7 * math.Sin(math.Pi*x/0.01) }, 0.01), PulseA2S(HalfSine, 7, 0.01), 1e-9)
	require.InEpsilon(t, integral(func(x float64) float64 { return 7 * x / 0.01 }, 0.01), PulseA2S(Triangle, 7, 0.01), 1e-9)
	require.InEpsilon(t, integral(func(x float64) float64 { return 7 * math.Exp(-x/0.01) }, 0.3), PulseA2S(DecayTail, 7, 0.01), 1e-7)
	require.True(t, math.IsNaN(PulseA2S(4, 1, 1)))
	require.True(t, math.IsNaN(PulseA2S(Square, 1, -1)))
	require.True(t, math.IsNaN(PulseA2S(Square, 1, math.NaN())))
	require.True(t, math.IsNaN(PulseA2S(Square, math.NaN(), 1)))
	require.Equal(t, 0.0, PulseA2S(Square, 1, 0))
	require.InDelta(t, (0.48+0.38)/2, PulseFrac(math.Pow(10, 2.5)), 1e-12)
	require.InDelta(t, (0.29+0.22)/2, PulseFrac(math.Pow(10, 4.5)), 1e-12)
	for _, n := range []float64{99, 100001, math.NaN()} {
		require.True(t, math.IsNaN(PulseFrac(n)))
	}
}

func TestFuse(t *testing.T) {
	f := fuse(t, slow)
	for c, want := range map[float64]float64{-40: 1.1, 25: 1, 85: 0.8, 55: 0.9, -7.5: 1.05} {
		require.InDelta(t, want, f.RerateRatio(c), 1e-12)
		require.InDelta(t, 0.75*want, f.ContinuousA(c), 1e-12)
	}
	for _, c := range []float64{-40.1, 85.1, math.NaN()} {
		require.True(t, math.IsNaN(f.RerateRatio(c)))
	}
	s := slow
	s.Rerating = nil
	require.Equal(t, 1.0, fuse(t, s).RerateRatio(70))
	require.True(t, math.IsNaN(fuse(t, s).RerateRatio(math.NaN())))
	s.Rerating = []ReratePoint{{25, 0.9}}
	require.Equal(t, 0.9, fuse(t, s).RerateRatio(25))
	require.True(t, math.IsNaN(fuse(t, s).RerateRatio(26)))
	require.True(t, math.IsNaN(Fuse{}.RerateRatio(25)))

	require.InDelta(t, 0.5/400, f.MeltS(20), 1e-15)
	require.InDelta(t, 24*20*0.5/400, f.ClampJ(24, 20), 1e-12)
	for _, a := range []float64{9.99, 50.1, math.NaN(), -20} {
		require.True(t, math.IsNaN(f.MeltS(a)))
		require.True(t, math.IsNaN(f.ClampJ(24, a)))
	}
	require.False(t, math.IsNaN(f.MeltS(10)))
	require.False(t, math.IsNaN(f.MeltS(50)))
	require.True(t, math.IsNaN(f.ClampJ(0, 20)))
	double := slow
	double.RatedA = 2
	require.True(t, math.IsNaN(fuse(t, double).MeltS(19.9)), "less than ten times the rating")
	require.False(t, math.IsNaN(fuse(t, double).MeltS(20)))
	ok, known := f.Survives(0.11, 100000)
	require.True(t, ok && known)
	ok, known = f.Survives(0.1101, 100000)
	require.True(t, !ok && known)
	for _, c := range [][2]float64{{0.1, 10}, {-1, 1000}, {math.NaN(), 1000}} {
		_, known = f.Survives(c[0], c[1])
		require.False(t, known)
	}
	s.MeltA2S = 0
	blind := fuse(t, s)
	_, known = blind.Survives(0.1, 1000)
	require.False(t, known)
	require.True(t, math.IsNaN(blind.MeltS(20)))
	for _, c := range [][3]float64{{-1, 1, 1}, {1, 0, 1}, {1, 1, 0}, {math.NaN(), 1, 1}, {1, math.NaN(), 1}, {1, 1, math.NaN()}} {
		require.True(t, math.IsNaN(NeededRatingA(c[0], c[1], c[2])))
	}
}

func TestFuseRefuses(t *testing.T) {
	for quantity, change := range map[string]func(*FuseSpec){
		"fuse rating":                    func(s *FuseSpec) { s.RatedA = 500 },
		"continuous share of the rating": func(s *FuseSpec) { s.ContinuousFrac = 75 },
		"melting I²t":                    func(s *FuseSpec) { s.MeltA2S = -1 },
		"fuse voltage rating":            func(s *FuseSpec) { s.RatedV = 0 },
		"breaking capacity":              func(s *FuseSpec) { s.BreakingA = math.NaN() },
		"rerating temperature":           func(s *FuseSpec) { s.Rerating = []ReratePoint{{200, 1}} },
		"rerating factor":                func(s *FuseSpec) { s.Rerating = []ReratePoint{{25, 100}} },
	} {
		s := slow
		change(&s)
		_, err := NewFuse(s)
		limittest.RefusesRange(t, err, quantity)
	}
	for _, pts := range [][]ReratePoint{{{25, 1}, {25, 0.9}}, {{25, 0.9}, {40, 1}}} {
		s := slow
		s.Rerating = pts
		_, err := NewFuse(s)
		require.ErrorContains(t, err, "columns swapped")
	}
	s := slow
	s.Rerating = []ReratePoint{{25, 1}, {40, 1}}
	_, err := NewFuse(s)
	require.NoError(t, err, "flat is allowed")
	s.RatedA, s.BreakingA = 10, 5
	_, err = NewFuse(s)
	require.ErrorContains(t, err, "interrupts at least")
}

func TestHoldUpAgainstSimulator(t *testing.T) {
	worst := 0.0
	refdata.Each(t, "power/wiring/holdup", func(r *refdata.Row) {
		h := HoldUp{CapacitorFarad: r.F("capacitorFarad"), EsrOhm: r.F("esrOhm"), SourceV: r.F("sourceV"), SourceOhm: r.F("sourceOhm"), BurstA: r.F("burstA"), BurstS: r.F("burstS"), PeriodS: r.F("periodS")}
		require.NoError(t, h.Check())
		r.Check("lowestV", h.LowestV(), fmt.Sprintf("%+v.LowestV()", h))
		worst = max(worst, math.Abs(h.LowestV()-r.F("lowestV")))
		c := h.NeededFarad(h.LowestV())
		if c > 0 { // a burst that outlasts every time constant needs none for what it holds
			h.CapacitorFarad = c
			require.InDelta(t, r.F("lowestV"), h.LowestV(), 4e-5, "the needed capacitor holds what was held")
		}
	})
	t.Logf("worst difference %.2g V", worst)
}

func TestPublishedCapacitor(t *testing.T) {
	refdata.Each(t, "power/wiring/needed_capacitor", func(r *refdata.Row) {
		h := HoldUp{CapacitorFarad: 1e-3, EsrOhm: r.F("esrOhm"), SourceV: r.F("sourceV"), SourceOhm: math.Inf(1), BurstA: r.F("burstA"), BurstS: r.F("burstS"), PeriodS: math.Inf(1)}
		r.Check("neededFarad", h.NeededFarad(r.F("lowestV")), "NeededFarad")
	})
}

func TestHoldUp(t *testing.T) {
	h := HoldUp{CapacitorFarad: 1e-3, EsrOhm: 0.05, SourceV: 3.8, SourceOhm: 0.5, BurstA: 2, BurstS: 0.577e-3, PeriodS: 4.615e-3}
	require.InDelta(t, 3.8-2*0.5*(1-math.Exp(-0.577e-3/0.55e-3))/(1-math.Exp(-4.615e-3/0.55e-3))-0.05*(1-(1-math.Exp(-0.577e-3/0.55e-3))/(1-math.Exp(-4.615e-3/0.55e-3)))/0.55, h.LowestV(), 1e-12)
	// Long bursts end where the source alone would: I·R below.
	long := h
	long.BurstS, long.PeriodS = 1, 1
	require.InDelta(t, 2.8, long.LowestV(), 1e-12)
	stiff := h
	stiff.SourceOhm, stiff.EsrOhm = 0, 0
	require.Equal(t, 3.8, stiff.LowestV())
	stiff.EsrOhm = 0.05
	require.Equal(t, 3.8, stiff.LowestV(), "a stiff source needs no capacitor")
	alone := h
	alone.SourceOhm = math.Inf(1)
	require.True(t, math.IsNaN(alone.LowestV()), "nothing recharges it between bursts")
	alone.PeriodS = 0
	require.InDelta(t, 3.8-2*0.577-0.1, alone.LowestV(), 1e-12)
	require.Less(t, h.LowestV(), func() float64 { s := h; s.PeriodS = 0; return s.LowestV() }(), "bursts that repeat start from less")

	require.Equal(t, 0.0, h.NeededFarad(2.0))
	tiny := HoldUp{CapacitorFarad: 1e-9, SourceV: 5, SourceOhm: math.Inf(1), BurstA: 1e-3, BurstS: 1e-6}
	require.Equal(t, 0.0, tiny.NeededFarad(4), "a nanofarad holds just that")
	require.InEpsilon(t, 1.001e-9, tiny.NeededFarad(5-1/1.001), 1e-9)
	require.True(t, math.IsNaN(alone.NeededFarad(3.75)), "the series resistance alone costs 0.1 V")
	for quantity, change := range map[string]func(*HoldUp){
		"hold-up capacitance": func(h *HoldUp) { h.CapacitorFarad = 1500 }, "capacitor's series resistance": func(h *HoldUp) { h.EsrOhm = -1 },
		"source voltage": func(h *HoldUp) { h.SourceV = 0 }, "source resistance": func(h *HoldUp) { h.SourceOhm = -1 },
		"burst current": func(h *HoldUp) { h.BurstA = 250 }, "burst length": func(h *HoldUp) { h.BurstS = math.NaN() }, "burst period": func(h *HoldUp) { h.PeriodS = 0.5e-3 },
	} {
		b := h
		change(&b)
		limittest.RefusesRange(t, b.Check(), quantity)
		require.True(t, math.IsNaN(b.LowestV()))
	}
	bad := h
	bad.BurstA = -1
	require.True(t, math.IsNaN(bad.NeededFarad(3)))
}

func TestHotPlugAgainstSimulator(t *testing.T) {
	refdata.Each(t, "power/wiring/hotplug", func(r *refdata.Row) {
		h := HotPlug{SourceV: r.F("sourceV"), InitialV: r.F("initialV"), LoopOhm: r.F("loopOhm"), LoopHenry: r.F("loopHenry"), CapacitorFarad: r.F("capacitorFarad")}
		r.Check("peakV", h.PeakV(), fmt.Sprintf("%+v.PeakV()", h))
		r.Check("peakA", h.PeakA(), fmt.Sprintf("%+v.PeakA()", h))
	})
}

func TestHotPlug(t *testing.T) {
	h := HotPlug{SourceV: 12, LoopOhm: 1e-6, LoopHenry: 1e-6, CapacitorFarad: 10e-6}
	require.InDelta(t, 24, h.PeakV(), 1e-3, "undamped: twice")
	require.InDelta(t, 12/math.Sqrt(0.1), h.PeakA(), 1e-3)
	h.LoopOhm = h.SeriesOhm()
	require.InDelta(t, 1, h.DampingRatio(), 1e-12)
	require.InDelta(t, 12, h.PeakV(), 1e-6)
	require.InDelta(t, 12/math.Sqrt(0.1)/math.E, h.PeakA(), 1e-6)
	for _, z := range []float64{0.999, 1.001} {
		g := h
		g.LoopOhm *= z
		require.InEpsilon(t, h.PeakA(), g.PeakA(), 2e-3, "no step at critical damping")
	}
	h.LoopOhm = 3 * h.SeriesOhm()
	require.Equal(t, 12.0, h.PeakV())
	for quantity, change := range map[string]func(*HotPlug){
		"source voltage": func(h *HotPlug) { h.SourceV = 0 }, "initial voltage": func(h *HotPlug) { h.InitialV = 13 }, "loop resistance": func(h *HotPlug) { h.LoopOhm = 0 },
		"loop inductance": func(h *HotPlug) { h.LoopHenry = 10 }, "input capacitance": func(h *HotPlug) { h.CapacitorFarad = 22 },
	} {
		b := h
		change(&b)
		limittest.RefusesRange(t, b.Check(), quantity)
		for _, v := range []float64{b.PeakV(), b.PeakA(), b.DampingRatio(), b.SeriesOhm()} {
			require.True(t, math.IsNaN(v))
		}
	}
}

func FuzzSurge(f *testing.F) {
	f.Add(12.0, 0.1, 1e-6, 1e-5, 2.0)
	f.Add(math.NaN(), -1.0, 0.0, 1.0, 0.0)
	f.Fuzz(func(t *testing.T, v, ohm, henry, farad, burst float64) {
		h := HotPlug{SourceV: v, LoopOhm: ohm, LoopHenry: henry, CapacitorFarad: farad}
		p := h.PeakV()
		if math.IsNaN(p) != (h.Check() != nil) || p < v || p > 2*v*(1+1e-12) || math.IsNaN(h.PeakA()) != (h.Check() != nil) {
			t.Fatalf("%+v: %g V", h, p)
		}
		u := HoldUp{CapacitorFarad: farad, EsrOhm: ohm, SourceV: v, SourceOhm: henry, BurstA: burst, BurstS: farad}
		if got := u.LowestV(); math.IsNaN(got) != (u.Check() != nil) || got > v {
			t.Fatalf("%+v: %g V", u, got)
		}
	})
}

func BenchmarkHoldUp(b *testing.B) {
	h := HoldUp{CapacitorFarad: 1e-3, EsrOhm: 0.05, SourceV: 3.8, SourceOhm: 0.5, BurstA: 2, BurstS: 0.577e-3, PeriodS: 4.615e-3}
	b.ReportAllocs()
	x := 0.0
	for b.Loop() {
		x += h.LowestV()
	}
}

func BenchmarkRun(b *testing.B) {
	r := Run{Wire: awg(b, 24), LengthM: 5, TempC: 20}
	b.ReportAllocs()
	x := 0.0
	for b.Loop() {
		x += r.DropV(0.25)
	}
}

// BenchmarkExp is the yardstick.
func BenchmarkExp(b *testing.B) {
	x := 0.5
	for b.Loop() {
		x = math.Exp(-x)
	}
}
