package bus

import (
	"errors"
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"github.com/stationphysics/stationphysics"
	"github.com/stationphysics/stationphysics/internal/limit/limittest"
	"github.com/stationphysics/stationphysics/internal/refdata"
)

var modeNamed = map[string]Mode{"standard": Standard, "fast": Fast, "fast-plus": FastPlus}

func TestPublishedWindow(t *testing.T) {
	refdata.Each(t, "power/bus/pullup", func(r *refdata.Row) {
		w, err := PullUpWindow(modeNamed[r.S("mode")], r.F("supplyV"), r.F("busFarad"))
		lo, hi := w.LeastOhm, w.GreatestOhm
		require.NoError(t, err)
		call := fmt.Sprintf("PullUpWindow(%s, %g, %g)", r.S("mode"), r.F("supplyV"), r.F("busFarad"))
		r.Check("leastOhm", lo, call)
		r.Check("greatestOhm", hi, call)
		require.InDelta(t, modeNamed[r.S("mode")].RiseS(), RiseTimeS(hi, r.F("busFarad")), 1e-15)
		require.InDelta(t, modeNamed[r.S("mode")].SinkA(), SinkCurrentA(r.F("supplyV"), lo), 1e-15)
	})
}

func TestPublishedRiseFactor(t *testing.T) {
	refdata.Each(t, "power/bus/rise", func(r *refdata.Row) {
		r.Check("factor", RiseTimeS(1000, 1e-9)/1e-6, "RiseTimeS in units of RC")
	})
	// UM10204 7.1: 0.3 and 0.7 of the supply after 0.3566749 and 1.2039729 RC.
	// The last digit of the latter is one too high there: -ln 0.3 = 1.20397280.
	require.InDelta(t, 1.2039729-0.3566749, riseFactor, 1.5e-7)
}

func TestPublishedLength(t *testing.T) {
	refdata.Each(t, "power/bus/length", func(r *refdata.Row) {
		c := Cable{FaradPerM: r.F("faradPerM"), DevicesFarad: r.F("devicesFarad")}
		r.Check("lengthM", c.LongestM(Standard, 1000), "LongestM")
	})
}

func TestPublishedSampling(t *testing.T) {
	refdata.Each(t, "power/bus/sampling", func(r *refdata.Row) {
		s := packNode
		s.SampleOhm, s.SampleFarad, s.SampleS, s.Bits = 1000, 8e-12, r.F("cycles")/14e6, 12
		n := node(t, s)
		r.Check("largestKohm", n.LargestSourceOhm()/1000, fmt.Sprintf("%g cycles at 14 MHz", r.F("cycles")))
	})
}

func TestModes(t *testing.T) {
	refdata.Each(t, "power/bus/modes", func(r *refdata.Row) {
		m := modeNamed[r.S("mode")]
		r.Check("riseS", m.RiseS(), r.S("mode"))
		r.Check("capacitanceFarad", m.CapacitanceFarad(), r.S("mode"))
		r.Check("sinkA", m.SinkA(), r.S("mode"))
		r.Check("clockHz", m.ClockHz(), r.S("mode"))
	})
	require.True(t, math.IsNaN(Mode(3).RiseS()))
}

func TestWindowRefuses(t *testing.T) {
	_, err := PullUpWindow(3, 3.3, 1e-10)
	limittest.RefusesRange(t, err, "bus mode")
	_, err = PullUpWindow(Fast, 3300, 1e-10)
	limittest.RefusesRange(t, err, "bus supply")
	_, err = PullUpWindow(Fast, 3.3, 200)
	limittest.RefusesRange(t, err, "bus capacitance")
	require.ErrorContains(t, err, "picofarads?")
	w, err := PullUpWindow(Fast, 3.3, 401e-12)
	lo, hi := w.LeastOhm, w.GreatestOhm
	limittest.RefusesConflict(t, err, "no more capacitance")
	require.False(t, math.IsNaN(lo) || math.IsNaN(hi), "the numbers are there all the same")
	_, err = PullUpWindow(Fast, 3.3, 400e-12)
	limittest.RefusesConflict(t, err, "strong enough")
	_, err = PullUpWindow(Standard, 3.3, 400e-12)
	require.NoError(t, err)
	w, err = PullUpWindow(Fast, math.NaN(), 1e-10)
	lo, hi = w.LeastOhm, w.GreatestOhm
	require.Error(t, err)
	require.True(t, math.IsNaN(lo) && math.IsNaN(hi))
	for _, v := range []float64{RiseTimeS(1, 1e-10), RiseTimeS(1e4, 1), RiseTimeS(math.NaN(), 1e-10), RiseTimeS(1e4, math.NaN()), SinkCurrentA(0, 1e3), SinkCurrentA(3.3, 0)} {
		require.True(t, math.IsNaN(v))
	}
}

func TestParallel(t *testing.T) {
	require.InDelta(t, 2500, ParallelOhm(10e3, 10e3, 10e3, 10e3), 1e-9)
	require.InDelta(t, 1/(1./4700+1/10e3), ParallelOhm(4700, 10e3), 1e-9)
	require.True(t, math.IsInf(ParallelOhm(), 1))
	require.Equal(t, 0.0, ParallelOhm(0, 100))
	require.InDelta(t, 100, ParallelOhm(math.Inf(1), 100), 1e-12)
	require.True(t, math.IsNaN(ParallelOhm(-1, 100)))
	require.True(t, math.IsNaN(ParallelOhm(100, math.NaN())))
}

func TestCableLength(t *testing.T) {
	c := Cable{FaradPerM: 50e-12, DevicesFarad: 60e-12}
	// 10 kohm in fast mode: 35 pF for the rise time, less than the devices.
	require.Equal(t, 0.0, c.LongestM(Fast, 10e3))
	require.InDelta(t, (1e-6/(riseFactor*10e3)-60e-12)/50e-12, c.LongestM(Standard, 10e3), 1e-12)
	require.InDelta(t, (550-60)/50., c.LongestM(FastPlus, 100), 1e-9)
	nan := math.NaN()
	for _, x := range []struct {
		c    Cable
		m    Mode
		r    float64
		what string
	}{{c, 3, 1e3, "bus mode"}, {c, Fast, 1, "pull-up resistance"}, {Cable{50, 60e-12}, Fast, 1e3, "cable capacitance"}, {Cable{50e-12, 60}, Fast, 1e3, "device capacitance"},
		{Cable{50e-12, -1e-12}, Fast, 1e3, "device capacitance"}, {Cable{nan, 0}, Fast, 1e3, "cable capacitance"}, {Cable{50e-12, nan}, Fast, 1e3, "device capacitance"}, {c, Fast, nan, "pull-up resistance"}} {
		require.True(t, math.IsNaN(x.c.LongestM(x.m, x.r)))
		limittest.RefusesRange(t, CheckCable(x.c, x.m, x.r), x.what)
	}
	require.NoError(t, CheckCable(c, Fast, 1e3))
}

var reed = ContactSpec{SupplyV: 3.3, PullUpOhm: 10e3, SeriesOhm: 1e3, CapacitorFarad: 100e-9, CableFarad: 1e-9, LowFrac: 0.3, HighFrac: 0.7, ContactOhm: 1}

func contact(t testing.TB, s ContactSpec) Contact {
	t.Helper()
	c, err := NewContact(s)
	require.NoError(t, err)
	return c
}

func TestContact(t *testing.T) {
	c := contact(t, reed)
	rest := 1. / 10001
	require.InDelta(t, (1000+10000./10001)*100e-9*math.Log((1-rest)/(0.3-rest)), c.FallS(), 1e-12)
	require.InDelta(t, (11000*100e-9+10e3*1e-9)*math.Log((1-rest)/0.3), c.RiseS(), 1e-12)
	require.Equal(t, c.FallS(), c.FiltersS())
	require.InDelta(t, 1/(3*c.RiseS()/0.9), c.HighestHz(0.1), 1e-9)
	require.InDelta(t, 1/(3*c.FallS()/0.02), c.HighestHz(0.02), 1e-9, "a short closure is the limit")
	require.InDelta(t, 3.3/10001, c.ClosedA(), 1e-15)
	require.InDelta(t, (24-3.3-0.3)/1000, c.SurgeA(24, 0.3), 1e-12)
	require.Equal(t, 0.0, c.SurgeA(3.5, 0.3))
	require.True(t, math.IsNaN(c.SurgeA(24, -1)))
	require.True(t, math.IsNaN(c.SurgeA(math.NaN(), 0.3)))
	s := reed
	s.SeriesOhm = 0
	require.True(t, math.IsInf(contact(t, s).SurgeA(24, 0.3), 1))
	s.ContactOhm, s.CableFarad = 0, 0
	instant := contact(t, s)
	require.InDelta(t, 0.0, instant.FallS(), 1e-18, "nothing in the way")
	require.InDelta(t, 0.0, instant.FiltersS(), 1e-18)
	s.CapacitorFarad = 0
	require.True(t, math.IsInf(contact(t, s).HighestHz(0.5), 1))
	for _, f := range []float64{0, 1, math.NaN()} {
		require.True(t, math.IsNaN(c.HighestHz(f)))
	}
	for _, v := range []float64{Contact{}.FallS(), Contact{}.RiseS(), Contact{}.ClosedA(), Contact{}.SurgeA(5, 0)} {
		require.True(t, math.IsNaN(v))
	}
}

// TestContactByIntegration follows the charge of the capacitor step by step.
func TestContactByIntegration(t *testing.T) {
	s := reed
	s.CableFarad, s.ContactOhm = 0, 200
	c := contact(t, s)
	step := func(v, target, ohm, threshold float64) float64 {
		const h = 1e-8
		up := threshold > v
		for n := 0; ; n++ {
			if (v >= threshold) == up {
				return float64(n) * h
			}
			k1 := (target - v) / (ohm * 100e-9)
			k2 := (target - v - h/2*k1) / (ohm * 100e-9)
			v += h * k2
		}
	}
	rest := 3.3 * 200 / 10200
	drive := 1000 + 1/(1./200+1./10000)
	require.InDelta(t, step(3.3, rest, drive, 0.3*3.3), c.FallS(), 2e-8)
	require.InDelta(t, step(rest, 3.3, 11000, 0.7*3.3), c.RiseS(), 2e-8)
}

func TestContactRefuses(t *testing.T) {
	for quantity, change := range map[string]func(*ContactSpec){
		"contact supply": func(s *ContactSpec) { s.SupplyV = 3300 }, "pull-up resistance": func(s *ContactSpec) { s.PullUpOhm = 0 }, "series resistance": func(s *ContactSpec) { s.SeriesOhm = -1 },
		"input capacitor": func(s *ContactSpec) { s.CapacitorFarad = 100 }, "cable capacitance": func(s *ContactSpec) { s.CableFarad = 1000 }, "low threshold": func(s *ContactSpec) { s.LowFrac = 0 },
		"high threshold": func(s *ContactSpec) { s.HighFrac = math.NaN() }, "contact resistance": func(s *ContactSpec) { s.ContactOhm = -1 },
	} {
		s := reed
		change(&s)
		_, err := NewContact(s)
		limittest.RefusesRange(t, err, quantity)
	}
	s := reed
	s.HighFrac = 0.2
	_, err := NewContact(s)
	limittest.RefusesConflict(t, err, "reads high above")
	s.HighFrac = 0.3
	_, err = NewContact(s)
	require.NoError(t, err)
	s = reed
	s.ContactOhm = 10e3
	_, err = NewContact(s)
	limittest.RefusesConflict(t, err, "below the threshold")
}

var packNode = NodeSpec{UpperOhm: 150e3, LowerOhm: 100e3, LeakageA: 100e-9, SampleOhm: 1000, SampleFarad: 8e-12, SampleS: 4e-6, Bits: 12, FullScaleV: 3.3, ClampV: 0.3,
	LargestPinA: 0.1e-3, SupplyV: 3.3, ResistorTolPct: 1}

func node(t testing.TB, s NodeSpec) Node {
	t.Helper()
	n, err := NewNode(s)
	require.NoError(t, err)
	return n
}

func TestNode(t *testing.T) {
	n := node(t, packNode)
	require.InDelta(t, 0.4, n.RatioFrac(), 1e-15)
	require.InDelta(t, 60e3, n.SourceOhm(), 1e-9)
	require.InDelta(t, 8.25, n.HighestInputV(), 1e-12)
	require.InDelta(t, 6.6/250e3, n.DrainA(6.6), 1e-18)
	require.InDelta(t, 0.015, n.LeakageErrorV(), 1e-15)
	require.InDelta(t, 3.3/4096/0.4, n.StepV(), 1e-15)
	require.InDelta(t, math.Exp(-4e-6/(61e3*8e-12)), n.SettlingFrac(), 1e-15)
	// Both resistors at the ends: 0.4041 → (101/(148.5+101))/0.4 - 1.
	require.InDelta(t, 101/(148.5+101)/0.4-1, n.ToleranceFrac(), 1e-12)
	s := packNode
	s.UpperOhm, s.LowerOhm = 10e3, 1e6
	require.InDelta(t, 1-(0.99e6/(10.1e3+0.99e6))/(1e6/1.01e6), node(t, s).ToleranceFrac(), 1e-12, "for large ratios the lower side is the worse")
	s = packNode
	s.PinFarad = 100e-9
	filled := math.Exp(-4e-6 / (60e3 * 100.008e-9))
	require.InDelta(t, 8./(8+100e3)*filled, node(t, s).SettlingFrac(), 1e-9, "the capacitor at the pin does the work")
	s.SampleOhm = 0
	require.InDelta(t, 8./(8+100e3)*filled, node(t, s).SettlingFrac(), 1e-15)
	s = packNode
	s.SampleS = 20e-9
	require.Equal(t, 0.0, node(t, s).LargestSourceOhm(), "too fast for any source")
	for _, v := range []float64{Node{}.LargestSourceOhm(), Node{}.SettlingFrac(), Node{}.RatioFrac(), Node{}.SourceOhm(), Node{}.ToleranceFrac(), Node{}.Inject(5, 3).ClampA} {
		require.True(t, math.IsNaN(v))
	}
}

func TestInjection(t *testing.T) {
	n := node(t, packNode)
	require.Equal(t, Injection{OpenV: 2.64, Allowed: true}, n.Inject(6.6, 3.3))
	over := n.Inject(12, 3.3)
	require.InDelta(t, 4.8, over.OpenV, 1e-12)
	require.InDelta(t, (12-3.6)/150e3-3.6/100e3, over.ClampA, 1e-15)
	require.True(t, over.Allowed)
	off := n.Inject(6.6, 0)
	require.InDelta(t, (6.6-0.3)/150e3-0.3/100e3, off.ClampA, 1e-15, "an unpowered pin is fed through its clamp")
	below := n.Inject(-12, 3.3)
	require.InDelta(t, (-12+0.3)/150e3+0.3/100e3, below.ClampA, 1e-15)
	s := packNode
	s.LargestPinA = 0
	require.False(t, node(t, s).Inject(6.6, 0).Allowed)
	require.True(t, node(t, s).Inject(6.6, 3.3).Allowed)
	s.UpperOhm, s.LowerOhm, s.LargestPinA = 1500, 1000, 5e-3
	require.True(t, node(t, s).Inject(10, 3.3).Allowed)
	require.False(t, node(t, s).Inject(100, 3.3).Allowed)
	for _, c := range [][2]float64{{201, 3.3}, {-201, 3.3}, {math.NaN(), 3.3}, {5, -1}, {5, math.NaN()}, {5, 201}} {
		j := n.Inject(c[0], c[1])
		require.True(t, math.IsNaN(j.OpenV) && math.IsNaN(j.ClampA) && !j.Allowed)
	}
}

func TestNodeRefuses(t *testing.T) {
	for quantity, change := range map[string]func(*NodeSpec){
		"upper resistor": func(s *NodeSpec) { s.UpperOhm = 0 }, "lower resistor": func(s *NodeSpec) { s.LowerOhm = -1 }, "pin capacitor": func(s *NodeSpec) { s.PinFarad = 100 },
		"pin leakage": func(s *NodeSpec) { s.LeakageA = -1 }, "sampling resistance": func(s *NodeSpec) { s.SampleOhm = -1 }, "sampling capacitor": func(s *NodeSpec) { s.SampleFarad = 8 },
		"sampling time": func(s *NodeSpec) { s.SampleS = 55 }, "resolution in bits": func(s *NodeSpec) { s.Bits = 0 }, "full scale": func(s *NodeSpec) { s.FullScaleV = 3300 },
		"clamp voltage": func(s *NodeSpec) { s.ClampV = -0.1 }, "largest injection current": func(s *NodeSpec) { s.LargestPinA = 5 }, "pin supply": func(s *NodeSpec) { s.SupplyV = 0 },
		"resistor tolerance": func(s *NodeSpec) { s.ResistorTolPct = 21 },
	} {
		s := packNode
		change(&s)
		_, err := NewNode(s)
		limittest.RefusesRange(t, err, quantity)
	}
	s := packNode
	s.FullScaleV = 3.61
	_, err := NewNode(s)
	limittest.RefusesConflict(t, err, "above its own supply")
}

// The zero Node knows nothing: no number of it may pass for a result.
func TestZeroNode(t *testing.T) {
	var n Node
	for name, v := range map[string]float64{"RatioFrac": n.RatioFrac(), "SourceOhm": n.SourceOhm(), "DrainA": n.DrainA(12), "HighestInputV": n.HighestInputV(),
		"LargestSourceOhm": n.LargestSourceOhm(), "SettlingFrac": n.SettlingFrac(), "LeakageErrorV": n.LeakageErrorV(), "ToleranceFrac": n.ToleranceFrac(),
		"StepV": n.StepV(), "Inject": n.Inject(12, 0).ClampA} {
		require.True(t, math.IsNaN(v), "%s: %g", name, v)
	}
}

func FuzzBus(f *testing.F) {
	f.Add(3.3, 200e-12, 4700.0)
	f.Add(math.NaN(), -1.0, math.Inf(1))
	f.Fuzz(func(t *testing.T, v, farad, ohm float64) {
		w, err := PullUpWindow(Fast, v, farad)
		lo, hi := w.LeastOhm, w.GreatestOhm
		var ce *stationphysics.ConflictError
		if (err == nil || errors.As(err, &ce)) == (math.IsNaN(lo) || math.IsNaN(hi)) || err == nil && !(lo > 0 && lo <= hi) {
			t.Fatalf("PullUpWindow(%g, %g) = %g, %g, %v", v, farad, lo, hi, err)
		}
		c := Cable{FaradPerM: farad, DevicesFarad: 0}
		if l := c.LongestM(Fast, ohm); math.IsNaN(l) != (CheckCable(c, Fast, ohm) != nil) || l < 0 {
			t.Fatalf("LongestM = %g", l)
		}
		j := node(t, packNode).Inject(v, ohm)
		if math.IsNaN(j.ClampA) != !(v >= -200 && v <= 200 && ohm >= 0 && ohm <= 200) {
			t.Fatalf("Inject(%g, %g) = %+v", v, ohm, j)
		}
	})
}

func BenchmarkWindow(b *testing.B) {
	b.ReportAllocs()
	x := 0.0
	for b.Loop() {
		w, _ := PullUpWindow(Fast, 3.3, 200e-12)
		x += w.LeastOhm
	}
}

// BenchmarkExp is the yardstick.
func BenchmarkExp(b *testing.B) {
	x := 0.5
	for b.Loop() {
		x = math.Exp(-x)
	}
}
