package thermal

import (
	"math"
	"testing"

	"github.com/stationphysics/stationphysics/internal/limit/limittest"
)

// Any part, box and surface: a number if and only if the inputs are in range,
// and what must hold between the answers.

func FuzzBoardPath(f *testing.F) {
	f.Add(61.6, 15.0, 25.0, 2.0, 125.0, 1.5)
	f.Add(1e6, 0.0, 200.0, 1e5, 400.0, 1e5)
	f.Add(1e-9, 1e-9, -100.0, 0.0, -100.0, 1e-9)
	f.Add(15.0, 61.6, math.NaN(), math.Inf(1), 401.0, 0.0)
	f.Fuzz(func(t *testing.T, ja, jc, ambient, power, junction, rated float64) {
		none, err := NewBoardPath("", ja, jc)
		limittest.ZeroIfRefused(t, none, err)
		if err == nil {
			t.Fatal("a path without its board")
		}
		p, err := NewBoardPath("FR4", ja, jc)
		limittest.ZeroIfRefused(t, p, err)
		if ok := someResistance.Holds(ja) && resistance.Holds(jc) && jc <= ja; ok != (err == nil) {
			t.Fatalf("NewBoardPath(%g, %g): %v", ja, jc, err)
		}
		if err != nil {
			return
		}
		limittest.Finite(t, "path", p, p.CaseAmbientKPerW())
		part, air, heat := partTemp.Holds(junction), ambientTemp.Holds(ambient), powerRange.Holds(power)
		limittest.NumberIff(t, air && heat, "steady", p.JunctionC(ambient, power), p.CaseC(ambient, power))
		limittest.NumberIff(t, part && heat, "junction", p.JunctionFromCaseC(junction, power), p.CaseFromJunctionC(junction, power), p.MaxAmbientC(junction, power))
		if air && heat {
			between := p.JunctionFromCaseC(p.CaseC(ambient, power), power)
			if whole := p.JunctionC(ambient, power); !math.IsNaN(between) && math.Abs(between-whole) > 1e-9*(1+math.Abs(whole)) {
				t.Fatalf("%g °C by the case, %g °C by the whole way", between, whole)
			}
		}
		sink := p.SinkKPerW(junction, ambient, power)
		if ok := part && air && heat && power > 0 && (junction-ambient)/power > jc; ok != (sink > 0) {
			t.Fatalf("a sink of %g K/W for %g °C, %g °C, %g W", sink, junction, ambient, power)
		}
		d, err := p.Derating(junction, rated)
		limittest.ZeroIfRefused(t, d, err)
		if ok := part && rated >= 1e-9 && rated <= 1e5; ok != (err == nil) {
			t.Fatalf("Derating(%g, %g): %v", junction, rated, err)
		}
		allowed := d.MaxPowerW(ambient)
		limittest.NumberIff(t, air, "derating", allowed)
		if allowed < 0 || allowed > d.ratedW || err == nil && allowed > 0 && allowed > p.MaxPowerW(junction, ambient)*(1+1e-6)+1e-9 {
			t.Fatalf("%g W of %g W at %g °C", allowed, d.ratedW, ambient)
		}
	})
}

func FuzzCopper(f *testing.F) {
	f.Add("SOT-223", 300.0)
	f.Add("TO-252", 645.16)
	f.Add("PG-TSNP-7", 599.9)
	f.Add("SOT-223", 0.5)
	f.Add("", math.NaN())
	f.Fuzz(func(t *testing.T, pkg string, mm2 float64) {
		e, err := EstimateCopper(pkg, mm2)
		if err != nil {
			limittest.ZeroIfRefused(t, e.LowKPerW+e.HighKPerW+float64(len(e.Sheets)), err)
			return
		}
		low, high := math.Inf(1), math.Inf(-1)
		for _, r := range CopperRows(pkg) {
			low, high = min(low, r.JunctionAmbientKPerW), max(high, r.JunctionAmbientKPerW)
		}
		if !(low <= e.LowKPerW && e.LowKPerW <= e.HighKPerW && e.HighKPerW <= high) || len(e.Sheets) == 0 {
			t.Fatalf("%+v between rows of %g to %g K/W", e, low, high)
		}
	})
}

func FuzzAnyBox(f *testing.F) {
	f.Add(0.6, 0.9, 0.2, 0.05, 6.0, 900.0, 33.0, 950.0, 1.0, 0.3, 4.0, 20.0, 3600.0)
	f.Add(0.0, 0.0, 1e-4, 1e-4, 0.01, 0.0, 70.0, 1600.0, 0.0, 1e4, 0.0, 400.0, 1e9)
	f.Add(1.0, 1.0, 100.0, 50.0, 1000.0, 1e7, -90.0, 0.0, 75.0, 0.0, 60.0, -100.0, 0.0)
	f.Add(0.0, 1.0, 100.0, 1e-4, 0.01, 1e-300, 20.0, 0.0, 1e-300, 1e-300, 1e-300, 20.0, 1e-300)
	f.Add(60.0, 0.9, math.NaN(), 0.2, 6.0, -1.0, 300.0, 2000.0, 80.0, -1.0, 90.0, math.Inf(1), -1.0)
	f.Fuzz(func(t *testing.T, absorptance, emissivity, area, sunlit, wall, capacity, air, sun, wind, heat, deficit, inner, step float64) {
		s := SealedBoxSpec{Absorptance: absorptance, Emissivity: emissivity, SurfaceAreaM2: area, SunlitAreaM2: sunlit, WallWPerM2K: wall, CapacityJPerK: capacity}
		c := BoxConditions{air, sun, wind, heat, deficit}
		b, err := NewSealedBox(s)
		limittest.ZeroIfRefused(t, b, err)
		if err != nil {
			limittest.NumberIff(t, false, "no box", b.InnerC(c), b.SurfaceC(c), b.NextInnerC(inner, c, step))
			return
		}
		in := c.Check() == nil
		surface, end, rise := b.SurfaceC(c), b.InnerC(c), b.RiseK(c)
		limittest.NumberIff(t, in, "box", surface, end, rise)
		many := make([]float64, 3)
		b.BatchRiseK(many, []BoxConditions{{AirC: 20}, c, {SunWPerM2: 500}})
		if in && many[1] != rise || in == math.IsNaN(many[1]) {
			t.Fatalf("%+v in %+v: %g K, among others %g K", s, c, rise, many[1])
		}
		next := b.NextInnerC(inner, c, step)
		moves := in && boxInnerTemp.Holds(inner) && boxStep.Holds(step)
		limittest.NumberIff(t, moves, "NextInnerC", next)
		if moves {
			low, high := min(inner, end), max(inner, end)
			slack := 1e-9 * (1 + math.Abs(low) + math.Abs(high))
			if next < low-slack || next > high+slack {
				t.Fatalf("%+v in %+v: from %g °C towards %g °C it comes to %g °C", s, c, inner, end, next)
			}
		}
		if !in {
			if b.SurfaceBelow(c, inner) {
				t.Fatalf("a surface in %+v is below %g °C", c, inner)
			}
			return
		}
		// SurfaceC is within a millionth of a kelvin and its share of the rise.
		if off := math.Abs(surface - inner); off > 1e-3*(1+math.Abs(surface-air)) && inner > -zeroC && b.SurfaceBelow(c, inner) != (surface < inner) {
			t.Fatalf("%+v in %+v: a surface of %g °C, below %g °C: %v", s, c, surface, inner, b.SurfaceBelow(c, inner))
		}
	})
}

func FuzzSurfaceFormulas(f *testing.F) {
	f.Add(35.0, 0.7, 900.0, 17.0, 4.0, 2.0, 8.0)
	f.Add(-90.0, 0.0, 0.0, 0.5, 0.0, 0.0, 0.0)
	f.Add(70.0, 1.0, 1600.0, 500.0, 30.0, 75.0, 200.0)
	f.Add(308.0, 70.0, 54000.0, 0.0, -4.0, -1.0, 300.0)
	f.Add(math.NaN(), math.NaN(), 299.0, math.Inf(1), math.NaN(), 0.4, math.NaN())
	f.Fuzz(func(t *testing.T, air, absorptance, sun, film, longwave, wind, psi float64) {
		s := SolAir{AirC: air, Absorptance: absorptance, SunWPerM2: sun, FilmWPerM2K: film, LongwaveK: longwave}
		limittest.NumberIff(t, s.Check() == nil, "SolAirC", SolAirC(s))
		limittest.NumberIff(t, CheckCharacterisation(air, film, psi) == nil, "characterised", JunctionFromTopC(air, film, psi), JunctionFromBoardC(air, film, psi))
		e := ShieldErrorBand(sun, wind)
		limittest.NumberIff(t, sun >= 300 && sun <= 1600 && wind >= 0 && wind <= 75, "shield", e.LowK, e.HighK)
		if e.Reason == "" || e.LowK > e.HighK {
			t.Fatalf("ShieldErrorBand(%g, %g) = %+v", sun, wind, e)
		}
	})
}

func FuzzPlateSink(f *testing.F) {
	f.Add(0.1, 0.08, true, 0.85, 40.0, 3.0)
	f.Add(1e-3, 1e-3, false, 0.0, -90.0, 1e-9)
	f.Add(2.0, 2.0, true, 1.0, 70.0, 1e4)
	f.Add(100.0, math.NaN(), true, 85.0, 313.0, 0.0)
	f.Fuzz(func(t *testing.T, height, width float64, both bool, emissivity, air, power float64) {
		s := PlateSink{HeightM: height, WidthM: width, BothSides: both, Emissivity: emissivity, AirC: air, PowerW: power}
		k := PlateSinkKPerW(s)
		switch {
		case s.Check() != nil:
			limittest.NumberIff(t, false, "a plate out of range", k)
		case !math.IsNaN(k):
			if !(k > 0) || !(k*power <= 300*(1+1e-9)) {
				t.Fatalf("%+v: %g K/W", s, k)
			}
		}
	})
}
