package trim

import (
	"math"
	"testing"

	"github.com/stationphysics/stationphysics/internal/limit/limittest"
)

// FuzzAnyDivider makes any divider that New takes: refused or finite, no panic,
// and a setting that leads back to its output.
func FuzzAnyDivider(f *testing.F) {
	f.Add(uint8(0), 1.23, 2.0, 100.0, 1e-8, 2000.0, 560.0, 1.0, 100.0, uint8(1), 10e3, 10.0, 100.0, 1.0, 9000.0, false, 18.0, 0.5, 40.0, 5.0)
	f.Add(uint8(1), 1.25, 4.0, 50.0, 5e-5, 240.0, 0.0, 5.0, 100.0, uint8(2), 5e3, 20.0, 250.0, 3.0, 260.0, true, 200.0, 0.0, 0.0, 0.0)
	f.Add(uint8(0), 0.1, 0.0, 0.0, -1e-3, 0.0, 0.0, 0.0, 0.0, uint8(3), 10.0, 0.0, 0.0, 0.0, 30.0, false, 0.1, 1.0, 1000.0, 1e6)
	f.Add(uint8(3), math.NaN(), 50.0, 1e4, 5.0, -1.0, 1e9, 30.0, 1e4, uint8(7), 0.0, 50.0, 1e4, 30.0, 25.0, true, 0.0, 50.0, -1.0, math.Inf(1))
	f.Fuzz(func(t *testing.T, ref uint8, refV, refTol, refPPM, pinA, upper, lower, resTol, resPPM float64, place uint8, track, trackTol, trackPPM, contact, travel float64, tied bool, inV, frac, changeK, readV float64) {
		s := Spec{Reference: Reference(ref), ReferenceV: refV, ReferenceTolPct: refTol, ReferenceDriftPPM: refPPM, PinA: pinA, UpperOhm: upper, LowerOhm: lower,
			ResistorTolPct: resTol, ResistorDriftPPM: resPPM, Place: Place(place), TrackOhm: track, TrackTolPct: trackTol, TrackDriftPPM: trackPPM, ContactPct: contact,
			TravelDeg: travel, WiperTied: tied, InputV: inV}
		d, err := New(s)
		limittest.ZeroIfRefused(t, d, err)
		set := frac >= 0 && frac <= 1
		trims := place != 0
		v := d.OutputV(frac)
		limittest.NumberIff(t, err == nil && set, "OutputV", v)
		low, high := d.BandV(frac)
		limittest.NumberIff(t, err == nil && set, "BandV", low, high)
		if err == nil && set && !(0 <= low && low <= v*(1+1e-12) && v <= high*(1+1e-12) && high <= inV) {
			t.Fatalf("%v V in %v..%v of %v V", v, low, high, inV)
		}
		limittest.NumberIff(t, err == nil && set && changeK >= 0 && changeK <= 300, "DriftV", d.DriftV(frac, changeK))
		limittest.NumberIff(t, err == nil && set && trims, "trimmer", d.ResolutionVPerDeg(frac), d.ContactV(frac), d.WhenOpen(frac))
		if d.ResolutionVPerDeg(frac) < 0 || d.ContactV(frac) < 0 {
			t.Fatalf("%v V/°, %v V", d.ResolutionVPerDeg(frac), d.ContactV(frac))
		}
		back := d.SettingFrac(v)
		if !math.IsNaN(back) {
			if !(back >= 0 && back <= 1) || math.Abs(d.OutputV(back)-v) > 1e-6*(1+v) {
				t.Fatalf("%v V at %v, %v V at %v", v, frac, d.OutputV(back), back)
			}
		}
		if err == nil {
			if place == 0 {
				s.TrackOhm, s.TrackTolPct, s.TrackDriftPPM, s.ContactPct, s.TravelDeg = d.Spec().TrackOhm, d.Spec().TrackTolPct, d.Spec().TrackDriftPPM, d.Spec().ContactPct, d.Spec().TravelDeg
			}
			if d.Spec() != s && place != 0 {
				t.Fatalf("%+v came back as %+v", s, d.Spec())
			}
		}
		if readV < 1e300 && refTol < 1e6 && refV < 1e6 || math.IsNaN(readV+refTol+refV) {
			low, high := MeterBandV(readV, refTol, refV)
			limittest.NumberIff(t, readV >= 0 && refTol >= 0 && refTol <= 100 && refV >= 0, "MeterBandV", low, high)
		}
	})
}
