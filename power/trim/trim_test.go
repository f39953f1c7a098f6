package trim

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"github.com/stationphysics/stationphysics/internal/limit/limittest"
	"github.com/stationphysics/stationphysics/internal/refdata"
)

// buck is a step-down module as they are sold: 0.8 V reference, a 10 kohm
// trimmer of one turn above 8.2 kohm (invented values).
var buck = Spec{ReferenceV: 0.8, ReferenceTolPct: 2, ReferenceDriftPPM: 50, UpperOhm: 36e3, LowerOhm: 8.2e3, ResistorTolPct: 1, ResistorDriftPPM: 100,
	Place: Upper, TrackOhm: 10e3, TrackTolPct: 20, TrackDriftPPM: 250, ContactPct: 3, TravelDeg: 260, InputV: 18}

func divider(t testing.TB, s Spec) Divider {
	t.Helper()
	d, err := New(s)
	require.NoError(t, err)
	return d
}

func TestPublishedOutputs(t *testing.T) {
	refdata.Each(t, "power/trim/output", func(r *refdata.Row) {
		ref := FromGround
		if r.S("reference") == "output" {
			ref = FromOutput
		}
		d := divider(t, Spec{Reference: ref, ReferenceV: r.F("referenceV"), UpperOhm: r.F("upperOhm"), LowerOhm: r.F("lowerOhm"), PinA: r.F("pinA"), InputV: 40})
		r.Check("outputV", d.OutputV(0), fmt.Sprintf("%g V, %g over %g ohm", r.F("referenceV"), r.F("upperOhm"), r.F("lowerOhm")))
		require.Equal(t, d.OutputV(0), d.OutputV(1), "without a trimmer the setting does not matter")
	})
}

func TestOutputByPlace(t *testing.T) {
	d := divider(t, buck)
	require.InDelta(t, 0.8*(1+36/8.2), d.OutputV(0), 1e-12)
	require.InDelta(t, 0.8*(1+46/8.2), d.OutputV(1), 1e-12)
	s := buck
	s.Place, s.UpperOhm, s.LowerOhm = Lower, 40e3, 5e3
	low := divider(t, s)
	require.InDelta(t, 0.8*(1+40./5), low.OutputV(0), 1e-12)
	require.InDelta(t, 0.8*(1+40./15), low.OutputV(1), 1e-12)
	s.Place, s.UpperOhm, s.LowerOhm = Between, 30e3, 5e3
	mid := divider(t, s)
	require.InDelta(t, 0.8*(1+32./13), mid.OutputV(0.2), 1e-12)
	s.PinA = 1e-6
	require.InDelta(t, 0.8*(1+32./13)+0.032, divider(t, s).OutputV(0.2), 1e-12, "the pin's current")
	// Without a resistor in series an end stop sends the output to the input.
	s.Place, s.LowerOhm, s.PinA = Lower, 0, 0
	bare := divider(t, s)
	require.Equal(t, 18.0, bare.OutputV(0))
	s.Place, s.UpperOhm = Between, 0
	require.Equal(t, 18.0, divider(t, s).OutputV(1))
	require.InDelta(t, 0.8, divider(t, s).OutputV(0), 1e-12)
	s = buck
	s.Reference, s.UpperOhm, s.LowerOhm, s.PinA, s.ReferenceV, s.Place, s.TrackOhm = FromOutput, 240, 1000, 50e-6, 1.25, Lower, 2e3
	adj := divider(t, s)
	require.InDelta(t, 1.25*(1+1500./240)+50e-6*1500, adj.OutputV(0.25), 1e-12)
	// A negative bias current cannot push the output below ground.
	s = buck
	s.PinA = -1e-3
	require.Equal(t, 0.0, divider(t, s).OutputV(0))
	for _, f := range []float64{-0.01, 1.01, math.NaN()} {
		require.True(t, math.IsNaN(d.OutputV(f)))
		require.True(t, math.IsNaN(d.DriftV(f, 10)))
		require.True(t, math.IsNaN(d.ResolutionVPerDeg(f)))
		require.True(t, math.IsNaN(d.ContactV(f)))
		require.True(t, math.IsNaN(d.WhenOpen(f).OutputV))
		lo, hi := d.BandV(f)
		require.True(t, math.IsNaN(lo) && math.IsNaN(hi))
	}
	require.True(t, math.IsNaN(Divider{}.OutputV(0.5)))
	require.Equal(t, buck, d.Spec())
}

func TestSettingIsTheInverse(t *testing.T) {
	for _, place := range []Place{Upper, Lower, Between} {
		s := buck
		s.Place = place
		d := divider(t, s)
		for _, f := range []float64{0, 0.1, 0.5, 0.999, 1} {
			require.InDelta(t, f, d.SettingFrac(d.OutputV(f)), 1e-9, "place %d", place)
		}
	}
	// A current out of the pin lowers the output more the more of the track is above:
	// from 42/40 - 60e-6·2000 = 0.93 V it falls to 0.65 V and rises to 0.78 V (by hand).
	for _, r := range []Reference{FromGround, FromOutput} {
		s := Spec{Reference: r, ReferenceV: 1, PinA: -60e-6, UpperOhm: 2e3, LowerOhm: 20e3, Place: Between, TrackOhm: 20e3, TravelDeg: 260, InputV: 12}
		if r == FromOutput {
			s.UpperOhm, s.LowerOhm = s.LowerOhm, s.UpperOhm
		}
		d := divider(t, s)
		for k := range 101 {
			f := float64(k) / 100
			v := d.OutputV(f)
			g := d.SettingFrac(v)
			require.InDelta(t, v, d.OutputV(g), 1e-12, "%d: %g", r, f)
			require.LessOrEqual(t, g, f+1e-6, "%d: the lower one, within the root of the roundings at the turn", r)
		}
		require.True(t, math.IsNaN(d.SettingFrac(0)), "lower than it ever falls")
	}
	d := divider(t, buck)
	require.True(t, math.IsNaN(d.SettingFrac(1)), "out of reach")
	require.True(t, math.IsNaN(d.SettingFrac(12)))
	require.True(t, math.IsNaN(d.SettingFrac(math.NaN())))
	require.True(t, math.IsNaN(d.SettingFrac(18)))
	s := buck
	s.Place = None
	require.True(t, math.IsNaN(divider(t, s).SettingFrac(4.3)))
	s = buck
	s.InputV = 5
	require.True(t, math.IsNaN(divider(t, s).SettingFrac(5)), "at the input nothing is set")
}

func TestToleranceCorners(t *testing.T) {
	s := buck
	s.Place = None
	d := divider(t, s)
	lo, hi := d.BandV(0)
	require.InDelta(t, 0.8*0.98*(1+36*0.99/(8.2*1.01)), lo, 1e-12)
	require.InDelta(t, 0.8*1.02*(1+36*1.01/(8.2*0.99)), hi, 1e-12)
	b := divider(t, buck)
	lo, hi = b.BandV(0.5)
	require.InDelta(t, 0.8*0.98*(1+(36*0.99+5*0.8)/(8.2*1.01)), lo, 1e-12)
	require.InDelta(t, 0.8*1.02*(1+(36*1.01+5*1.2)/(8.2*0.99)), hi, 1e-12)
	require.InDelta(t, 0.8*(1+50e-6*30)*(1+(36*(1+100e-6*30)+5*(1+250e-6*30))/(8.2*(1-100e-6*30)))-b.OutputV(0.5), b.DriftV(0.5, 30), 1e-9)
	f := divider(t, Spec{Reference: FromOutput, ReferenceV: 1.25, ReferenceTolPct: 2, UpperOhm: 240, LowerOhm: 720, ResistorTolPct: 1, InputV: 18})
	lo, hi = f.BandV(0)
	require.InDelta(t, 1.225*(1+712.8/242.4), lo, 1e-12)
	require.InDelta(t, 1.275*(1+727.2/237.6), hi, 1e-12)
	require.Equal(t, 0.0, b.DriftV(0.5, 0))
	require.Greater(t, b.DriftV(0.5, 300), b.DriftV(0.5, 30))
	require.True(t, math.IsNaN(b.DriftV(0.5, -1)))
	require.True(t, math.IsNaN(b.DriftV(0.5, 301)))
}

func TestResolutionAndContact(t *testing.T) {
	d := divider(t, buck)
	// Linear in the upper leg: the whole range over the whole travel.
	require.InEpsilon(t, 0.8*10/8.2/260, d.ResolutionVPerDeg(0.5), 1e-6)
	require.InEpsilon(t, 0.8*10/8.2/260, d.ResolutionVPerDeg(0), 1e-6)
	require.InEpsilon(t, 0.8*10/8.2/260, d.ResolutionVPerDeg(1), 1e-6)
	s := buck
	s.TravelDeg = 9000
	require.InEpsilon(t, 0.8*10/8.2/9000, divider(t, s).ResolutionVPerDeg(0.5), 1e-6)
	require.InDelta(t, 0.8*0.3/8.2, d.ContactV(0.5), 1e-12)
	s = buck
	s.Place, s.UpperOhm, s.LowerOhm = Lower, 40e3, 5e3
	require.InDelta(t, 0.8*40*(1/10.-1/10.3), divider(t, s).ContactV(0.5), 1e-12)
	// In the lower leg the setting crowds where the resistance is small.
	low := divider(t, s)
	require.Greater(t, low.ResolutionVPerDeg(0.1), 2*low.ResolutionVPerDeg(0.9))
	s.Place, s.PinA = Between, -2e-6
	require.InDelta(t, 2e-6*300, divider(t, s).ContactV(0.5), 1e-15)
	s.Place = None
	n := divider(t, s)
	require.True(t, math.IsNaN(n.ContactV(0.5)))
	require.True(t, math.IsNaN(n.ResolutionVPerDeg(0.5)))
	require.True(t, math.IsNaN(n.WhenOpen(0.5).OutputV))
}

func TestOpenWiperByLeg(t *testing.T) {
	const toInput = 18.0
	for _, c := range []struct {
		name  string
		ref   Reference
		place Place
		tied  bool
		want  OpenWiper
	}{
		{"feedback, upper leg", FromGround, Upper, false, OpenWiper{toInput, true, true, true}},
		{"feedback, lower leg", FromGround, Lower, false, OpenWiper{0.8 + 1e-6*36e3, false, false, true}},
		{"feedback, upper leg tied", FromGround, Upper, true, OpenWiper{0.8*(1+46/8.2) + 46e-3, false, true, true}},
		{"feedback, lower leg tied", FromGround, Lower, true, OpenWiper{0.8*(1+36/18.2) + 36e-3, false, false, true}},
		{"feedback, between", FromGround, Between, false, OpenWiper{toInput, true, true, false}},
		{"feedback, between, tied says nothing", FromGround, Between, true, OpenWiper{toInput, true, true, false}},
		{"adjust, upper leg", FromOutput, Upper, false, OpenWiper{0.8 + 8.2e-3, false, false, true}},
		{"adjust, lower leg", FromOutput, Lower, false, OpenWiper{toInput, true, true, true}},
		{"adjust, upper leg tied", FromOutput, Upper, true, OpenWiper{0.8*(1+8.2/46) + 8.2e-3, false, false, true}},
		{"adjust, lower leg tied", FromOutput, Lower, true, OpenWiper{0.8*(1+18.2/36) + 18.2e-3, false, true, true}},
		{"adjust, between", FromOutput, Between, false, OpenWiper{toInput, true, true, false}},
	} {
		t.Run(c.name, func(t *testing.T) {
			s := buck
			s.Reference, s.Place, s.WiperTied, s.PinA = c.ref, c.place, c.tied, 1e-6
			got := divider(t, s).WhenOpen(0.3)
			require.InDelta(t, c.want.OutputV, got.OutputV, 1e-12)
			got.OutputV = c.want.OutputV
			require.Equal(t, c.want, got)
		})
	}
	// A tied wiper does not help where the whole track already exceeds the input.
	s := buck
	s.WiperTied, s.InputV = true, 5
	require.Equal(t, OpenWiper{5, true, true, true}, divider(t, s).WhenOpen(0))
	require.Equal(t, OpenWiper{5, true, false, true}, divider(t, s).WhenOpen(1), "it stood there already")
}

func TestMeterBand(t *testing.T) {
	lo, hi := MeterBandV(7.00, 0.5, 0.02)
	require.InDelta(t, 6.945, lo, 1e-12)
	require.InDelta(t, 7.055, hi, 1e-12)
	lo, hi = MeterBandV(0, 100, 0)
	require.Equal(t, [2]float64{0, 0}, [2]float64{lo, hi}, "the ends of the ranges")
	for _, c := range [][3]float64{{-1, 0, 0}, {1, -1, 0}, {1, 0, -1}, {math.NaN(), 0, 0}, {1, math.NaN(), 0}, {1, 0, math.NaN()}, {1, 101, 0}, {math.Inf(1), 0, 0}} {
		lo, hi := MeterBandV(c[0], c[1], c[2])
		require.True(t, math.IsNaN(lo) && math.IsNaN(hi), "%v", c)
	}
}

func TestRefuses(t *testing.T) {
	for quantity, change := range map[string]func(*Spec){
		"reference voltage":            func(s *Spec) { s.ReferenceV = 800 },
		"reference tolerance":          func(s *Spec) { s.ReferenceTolPct = -1 },
		"reference drift":              func(s *Spec) { s.ReferenceDriftPPM = -1 },
		"pin current":                  func(s *Spec) { s.PinA = 50 },
		"upper resistor":               func(s *Spec) { s.UpperOhm = -1 },
		"lower resistor":               func(s *Spec) { s.LowerOhm = math.NaN() },
		"resistor tolerance":           func(s *Spec) { s.ResistorTolPct = 21 },
		"resistor drift":               func(s *Spec) { s.ResistorDriftPPM = -1 },
		"highest input":                func(s *Spec) { s.InputV = 0 },
		"trimmer track":                func(s *Spec) { s.TrackOhm = 0 },
		"track tolerance":              func(s *Spec) { s.TrackTolPct = 31 },
		"track drift":                  func(s *Spec) { s.TrackDriftPPM = -1 },
		"contact resistance variation": func(s *Spec) { s.ContactPct = 21 },
		"electrical travel":            func(s *Spec) { s.TravelDeg = 25 },
		"place of the trimmer":         func(s *Spec) { s.Place = 4 },
		"kind of reference":            func(s *Spec) { s.Reference = 2 },
	} {
		s := buck
		change(&s)
		_, err := New(s)
		limittest.RefusesRange(t, err, quantity)
	}
	s := buck
	s.Place = 4
	_, err := New(s)
	require.EqualError(t, err, "place of the trimmer 4 is outside 0..3")
	s = buck
	s.Reference = 2
	_, err = New(s)
	require.EqualError(t, err, "kind of reference 2 is outside 0..1")
	s = buck
	s.TravelDeg = 25
	_, err = New(s)
	require.ErrorContains(t, err, "turns?")
	s = buck
	s.LowerOhm = 0
	_, err = New(s)
	limittest.RefusesConflict(t, err, "cannot be a wire")
	s.Place = Between
	_, err = New(s)
	require.NoError(t, err)
	s = buck
	s.Reference, s.UpperOhm, s.Place = FromOutput, 0, Lower
	_, err = New(s)
	limittest.RefusesConflict(t, err, "cannot be a wire")
	s.Place = Upper
	_, err = New(s)
	require.NoError(t, err)
	s = buck
	s.InputV = 0.8
	_, err = New(s)
	limittest.RefusesConflict(t, err, "exceeds the reference")
	// Without a trimmer its numbers are not asked for.
	s = buck
	s.Place, s.TrackOhm, s.TravelDeg = None, -5, 0
	_, err = New(s)
	require.NoError(t, err)
}

// A pin that gives as much current as the divider carries bends the output over
// the track: the band reaches to the turn, not only to its ends.
func TestBandReachesTheTurn(t *testing.T) {
	for _, ref := range []Reference{FromGround, FromOutput} {
		s := Spec{Reference: ref, ReferenceV: 0.1, PinA: -1e-3, UpperOhm: 1, LowerOhm: 76, Place: Between, TrackOhm: 20, TrackTolPct: 23, TravelDeg: 30, InputV: 0.2}
		if ref == FromOutput {
			s.UpperOhm, s.LowerOhm = s.LowerOhm, s.UpperOhm
		}
		d := divider(t, s)
		for frac := 0.0; frac <= 1; frac += 0.05 {
			low, high := math.Inf(1), math.Inf(-1)
			for k := range 4601 {
				u := s
				u.TrackOhm *= 0.77 + float64(k)*1e-4
				v := divider(t, u).OutputV(frac)
				low, high = min(low, v), max(high, v)
			}
			gotLow, gotHigh := d.BandV(frac)
			// The steps of the search miss the turn by less than a nanovolt.
			require.InDelta(t, low, gotLow, 1e-9, "%d at %g", ref, frac)
			require.InDelta(t, high, gotHigh, 1e-9, "%d at %g", ref, frac)
		}
	}
}

func FuzzDivider(f *testing.F) {
	f.Add(0.5, uint8(0), uint8(1), true)
	f.Add(math.NaN(), uint8(1), uint8(3), false)
	f.Fuzz(func(t *testing.T, frac float64, ref, place uint8, tied bool) {
		s := buck
		s.Reference, s.Place, s.WiperTied = Reference(ref%2), Place(place%4), tied
		d := divider(t, s)
		v := d.OutputV(frac)
		if math.IsNaN(v) == (frac >= 0 && frac <= 1) || v < 0 || v > 18 {
			t.Fatalf("OutputV(%g) = %g", frac, v)
		}
		if !math.IsNaN(v) {
			lo, hi := d.BandV(frac)
			if lo > v || hi < v {
				t.Fatalf("%g is outside its own band %g..%g", v, lo, hi)
			}
			if o := d.WhenOpen(frac); s.Place != None && (o.OutputV < 0 || o.OutputV > 18 || o.ToInput != (o.OutputV == 18)) {
				t.Fatalf("%+v", o)
			}
		}
	})
}

func BenchmarkOutput(b *testing.B) {
	d := divider(b, buck)
	b.ReportAllocs()
	x := 0.0
	for b.Loop() {
		x += d.OutputV(0.5)
	}
}

// BenchmarkSin is the yardstick.
func BenchmarkSin(b *testing.B) {
	x := 0.5
	for b.Loop() {
		x = math.Sin(x + 1)
	}
}
