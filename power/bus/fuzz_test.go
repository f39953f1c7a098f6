package bus

import (
	"math"
	"testing"

	"github.com/stationphysics/stationphysics/internal/limit/limittest"
)

// Refused or finite, and no panic.

func FuzzNode(f *testing.F) {
	f.Add(100e3, 33e3, 100e-9, 1e-6, 1000.0, 8e-12, 1.5e-6, 12, 3.3, 0.3, 0.005, 3.3, 1.0, 14.0, 0.0)
	f.Add(1.0, 1.0, 0.0, 0.0, 0.0, 1e-15, 1e-9, 6, 0.1, 0.0, 0.0, 0.5, 0.0, -200.0, 200.0)
	f.Add(1e9, 1e9, 1e-3, 1e-3, 1e6, 1e-9, 1.0, 24, 30.0, 1.0, 0.1, 30.0, 20.0, 200.0, 0.0)
	f.Add(math.NaN(), 0.0, 100.0, -1.0, math.Inf(1), 8.0, 1500.0, 0, 3300.0, 2.0, 5.0, 0.0, 50.0, 300.0, -1.0)
	f.Fuzz(func(t *testing.T, upper, lower, pin, leak, sampleOhm, sampleFarad, sampleS float64, bits int, full, clamp, largest, supply, tol, inV, supplyV float64) {
		n, err := NewNode(NodeSpec{UpperOhm: upper, LowerOhm: lower, PinFarad: pin, LeakageA: leak, SampleOhm: sampleOhm, SampleFarad: sampleFarad, SampleS: sampleS,
			Bits: bits, FullScaleV: full, ClampV: clamp, LargestPinA: largest, SupplyV: supply, ResistorTolPct: tol})
		limittest.ZeroIfRefused(t, n, err)
		ok := upper >= 1 && upper <= 1e9 && lower >= 1 && lower <= 1e9 && pin >= 0 && pin <= 1e-3 && leak >= 0 && leak <= 1e-3 && sampleOhm >= 0 && sampleOhm <= 1e6 &&
			sampleFarad >= 1e-15 && sampleFarad <= 1e-9 && sampleS >= 1e-9 && sampleS <= 1 && bits >= 6 && bits <= 24 && full >= 0.1 && full <= 30 &&
			clamp >= 0 && clamp <= 1 && largest >= 0 && largest <= 0.1 && supply >= 0.5 && supply <= 30 && tol >= 0 && tol <= 20 && full <= supply+clamp
		if ok != (err == nil) {
			t.Fatal(err)
		}
		limittest.NumberIff(t, ok, "node", n.RatioFrac(), n.SourceOhm(), n.HighestInputV(), n.LargestSourceOhm(), n.SettlingFrac(), n.LeakageErrorV(), n.ToleranceFrac(), n.StepV())
		if ok && !(n.SettlingFrac() >= 0 && n.SettlingFrac() <= 1 && n.RatioFrac() > 0 && n.RatioFrac() < 1 && n.LargestSourceOhm() >= 0) {
			t.Fatalf("settles to %v, ratio %v, largest source %v ohm", n.SettlingFrac(), n.RatioFrac(), n.LargestSourceOhm())
		}
		volts := inV >= -200 && inV <= 200
		if volts {
			limittest.NumberIff(t, ok, "DrainA", n.DrainA(inV))
		}
		j := n.Inject(inV, supplyV)
		limittest.NumberIff(t, ok && volts && supplyV >= 0 && supplyV <= 200, "Inject", j)
	})
}

func FuzzContact(f *testing.F) {
	f.Add(3.3, 10e3, 1000.0, 100e-9, 1e-9, 0.3, 0.7, 10.0, 0.5, 12.0, 0.3)
	f.Add(1.0, 10.0, 0.0, 0.0, 0.0, 0.05, 0.05, 0.0, 0.0, 0.0, 0.0)
	f.Add(30.0, 1e7, 1e6, 1e-3, 1e-6, 0.95, 0.95, 1e5, 1.0, 1000.0, 1.0)
	f.Add(math.NaN(), 0.0, -1.0, 100.0, 1.0, 0.7, 0.3, 1e9, math.NaN(), math.Inf(1), -1.0)
	f.Fuzz(func(t *testing.T, supply, pull, series, capacitor, cable, low, high, contact, closed, surgeV, clampV float64) {
		c, err := NewContact(ContactSpec{SupplyV: supply, PullUpOhm: pull, SeriesOhm: series, CapacitorFarad: capacitor, CableFarad: cable, LowFrac: low, HighFrac: high, ContactOhm: contact})
		limittest.ZeroIfRefused(t, c, err)
		limittest.NumberIff(t, err == nil, "contact", c.FallS(), c.RiseS(), c.FiltersS(), c.ClosedA())
		hz := c.HighestHz(closed)
		if err == nil && capacitor+cable > 1e-15 && closed > 0 && closed < 1 {
			limittest.Finite(t, "HighestHz", hz)
		}
		if math.IsNaN(hz) == (err == nil && closed > 0 && closed < 1) || hz < 0 {
			t.Fatalf("%v Hz at %v", hz, closed)
		}
		a := c.SurgeA(surgeV, clampV)
		if math.IsNaN(a) == (err == nil && clampV >= 0 && !math.IsNaN(surgeV) && !math.IsInf(surgeV-clampV, 0)) && !math.IsInf(surgeV, 0) && !math.IsInf(clampV, 0) || a < 0 {
			t.Fatalf("%v A at %v V over %v V", a, surgeV, clampV)
		}
		if math.IsInf(a, 1) && series > 0 && surgeV < 1e9 {
			t.Fatalf("%v A through %v ohm at %v V", a, series, surgeV)
		}
	})
}

func FuzzPullUp(f *testing.F) {
	f.Add(uint8(1), 3.3, 4700.0, 10000.0, 200e-12, 50e-12, 30e-12)
	f.Add(uint8(0), 1.0, 10.0, 0.0, 1e-12, 1e-12, 0.0)
	f.Add(uint8(2), 12.0, 1e7, 1e7, 1e-8, 1e-9, 1e-8)
	f.Add(uint8(9), math.NaN(), -1.0, math.Inf(1), 200.0, 50.0, 30.0)
	f.Fuzz(func(t *testing.T, mode uint8, v, ohm, otherOhm, farad, perM, devices float64) {
		m := Mode(mode)
		known := mode <= 2
		limittest.NumberIff(t, known, "mode", m.RiseS(), m.CapacitanceFarad(), m.SinkA(), m.ClockHz())
		resists := ohm >= 10 && ohm <= 1e7
		limittest.NumberIff(t, resists && farad >= 1e-12 && farad <= 1e-8, "RiseTimeS", RiseTimeS(ohm, farad))
		limittest.NumberIff(t, resists && v >= 1 && v <= 12, "SinkCurrentA", SinkCurrentA(v, ohm))
		both := ParallelOhm(ohm, otherOhm)
		if math.IsNaN(both) == (ohm >= 0 && otherOhm >= 0) || both > min(ohm, otherOhm)*(1+1e-12) {
			t.Fatalf("%v ohm beside %v ohm are %v ohm", ohm, otherOhm, both)
		}
		c := Cable{FaradPerM: perM, DevicesFarad: devices}
		err := CheckCable(c, m, ohm)
		if ok := known && resists && perM >= 1e-12 && perM <= 1e-9 && devices >= 0 && devices <= 1e-8; ok != (err == nil) {
			t.Fatal(err)
		}
		limittest.NumberIff(t, err == nil, "LongestM", c.LongestM(m, ohm))
		w, err := PullUpWindow(m, v, farad)
		least, greatest := w.LeastOhm, w.GreatestOhm
		if err == nil && !(known && least > 0 && least <= greatest && greatest < math.Inf(1)) {
			t.Fatalf("%v..%v ohm", least, greatest)
		}
	})
}
