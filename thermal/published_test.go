package thermal

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"github.com/stationphysics/stationphysics/internal/numeric"
	"github.com/stationphysics/stationphysics/internal/refdata"
)

func mustPath(t testing.TB, jc, cs, sa float64) Path {
	t.Helper()
	p, err := NewPath(jc, cs, sa)
	require.NoError(t, err)
	return p
}

func TestPublishedMaxPower(t *testing.T) {
	refdata.Each(t, "thermal/max_power", func(r *refdata.Row) {
		p, err := NewBoardPath("as published", r.F("junctionAmbientKPerW"), 0)
		require.NoError(t, err)
		tj, ta := r.F("junctionLimitC"), r.F("ambientC")
		got := p.MaxPowerW(tj, ta)
		r.Check("maxPowerW", got, fmt.Sprintf("MaxPowerW(%g, %g)", tj, ta))
		d, err := p.Derating(tj, got)
		require.NoError(t, err)
		require.InDelta(t, ta, d.KneeC(), 1e-9, "the power permitted at an air temperature has its knee there")
		r.Check("slopeWPerK", d.MaxPowerW(ta+1)-d.MaxPowerW(ta), "slope of the derating curve")
		require.InDelta(t, tj, p.JunctionC(ta, got), 1e-9)
	})
}

func TestPublishedJunction(t *testing.T) {
	refdata.Each(t, "thermal/junction", func(r *refdata.Row) {
		p, err := NewBoardPath("as published", r.F("junctionAmbientKPerW"), r.F("junctionCaseKPerW"))
		require.NoError(t, err)
		ta, w := r.F("ambientC"), r.F("powerW")
		r.Check("junctionC", p.JunctionC(ta, w), fmt.Sprintf("JunctionC(%g, %g)", ta, w))
		r.Check("caseC", p.CaseC(ta, w), fmt.Sprintf("CaseC(%g, %g)", ta, w))
	})
}

func TestPublishedSink(t *testing.T) {
	refdata.Each(t, "thermal/sink", func(r *refdata.Row) {
		p := mustPath(t, 0, 0, 1)
		tc, ta, w := r.F("caseC"), r.F("ambientC"), r.F("powerW")
		r.Check("sinkKPerW", p.SinkKPerW(tc, ta, w), fmt.Sprintf("SinkKPerW(%g, %g, %g)", tc, ta, w))
	})
}

func TestPublishedNaturalConvection(t *testing.T) {
	refdata.Each(t, "thermal/natural_convection", func(r *refdata.Row) {
		a := Air{r.F("conductivityWPerMK"), r.F("viscosityM2PerS"), r.F("diffusivityM2PerS"), r.F("expansionPerK")}
		l, ts, ta := r.F("lengthM"), r.F("surfaceC"), r.F("airC")
		rise := ts - ta
		var h, q float64
		switch r.S("form") {
		case "vertical":
			h = a.VerticalPlateWPerM2K(l, rise)
			q = h * r.F("areaM2") * rise
		case "laminar":
			h = a.VerticalPlateLaminarWPerM2K(l, rise)
			q = h * r.F("areaM2") * rise
		case "cylinder":
			h = a.HorizontalCylinderWPerM2K(l, rise)
			q = (h + RadiationWPerM2K(0.85, ts, ta)) * math.Pi * l * rise
		case "duct":
			// A duct 0.75 m wide: for a long plate, area over perimeter is half the width.
			side := a.VerticalPlateLaminarWPerM2K(l, rise)
			top := a.HorizontalPlateWPerM2K(0.75/2, rise, true)
			bottom := a.HorizontalPlateWPerM2K(0.75/2, rise, false)
			q = (2*side*l + (top+bottom)*0.75) * rise
			require.InDelta(t, 4.225, side, 0.005)
			require.InDelta(t, 5.478, top, 0.005)
			require.InDelta(t, 2.068, bottom, 0.005)
		default:
			t.Fatalf("unknown form")
		}
		r.Check("filmWPerM2K", h, r.S("form")+" plate")
		r.Check("heatW", q, "heat of the "+r.S("form"))
	})
}

// Squire and Eckert's integral solution, Lienhard's Example 8.1, is another
// correlation for the same laminar plate: 4.059 W/(m² K). The two are known to
// lie within about 10 % of each other and of experiment in air.
func TestLaminarPlateAgainstSquireEckert(t *testing.T) {
	a := Air{0.02614, 1.566e-5, 2.203e-5, 1.0 / 287}
	require.InEpsilon(t, 4.059, a.VerticalPlateLaminarWPerM2K(0.4, 26), 0.10)
}

func TestPublishedAir(t *testing.T) {
	refdata.Each(t, "thermal/air", func(r *refdata.Row) {
		a := AirAt(r.F("tempC"), r.F("pressureHPa"))
		call := fmt.Sprintf("AirAt(%g)", r.F("tempC"))
		r.Check("conductivityWPerMK", a.ConductivityWPerMK, call)
		r.Check("viscosityM2PerS", a.KinematicViscosityM2PerS, call)
		r.Check("diffusivityM2PerS", a.DiffusivityM2PerS, call)
		r.Check("prandtlRatio", a.KinematicViscosityM2PerS/a.DiffusivityM2PerS, call)
		require.InDelta(t, 1/(r.F("tempC")+273.15), a.ExpansionPerK, 1e-15)
	})
}

func TestPublishedResistor(t *testing.T) {
	const areaM2, powerW, airC, film = 1.335e-4, 0.1, 35.0, 13.0
	require.InDelta(t, math.Pi*0.0036*(0.010+0.0036/2), areaM2, 0.0005e-4)
	refdata.Each(t, "thermal/resistor", func(r *refdata.Row) {
		switch r.S("how") {
		case "exact":
			c, ok := numeric.Root(func(c float64) float64 {
				return areaM2*(film+RadiationWPerM2K(0.9, c, airC))*(c-airC) - powerW
			}, airC, 200, 1e-9)
			require.True(t, ok)
			r.Check("surfaceC", c, "balance of the resistor")
		case "fixed":
			p := mustPath(t, 0, 0, 1/(areaM2*(film+7.117)))
			r.Check("surfaceC", p.CaseC(airC, powerW), "CaseC")
		default:
			t.Fatalf("unknown case")
		}
	})
}

func TestPublishedTransistor(t *testing.T) {
	refdata.Each(t, "thermal/transistor", func(r *refdata.Row) {
		p := mustPath(t, 0, 0, 1/(r.F("filmWPerM2K")*r.F("areaM2")))
		r.Check("resultW", p.MaxPowerW(r.F("ambientC")+r.F("riseLimitK"), r.F("ambientC")), "MaxPowerW")
	})
}

func TestPublishedSolAir(t *testing.T) {
	refdata.Each(t, "thermal/sol_air", func(r *refdata.Row) {
		// Only the ratio α/ho is published: any pair with it gives the same.
		for _, film := range []float64{10, 17} {
			s := SolAir{AirC: r.F("airC"), Absorptance: r.F("absorptancePerFilm") * film, SunWPerM2: r.F("sunWPerM2"), FilmWPerM2K: film, LongwaveK: r.F("longwaveK")}
			r.Check("solAirC", SolAirC(s), fmt.Sprintf("SolAirC(%+v)", s))
		}
	})
}

func TestPublishedShield(t *testing.T) {
	refdata.Each(t, "thermal/shield", func(r *refdata.Row) {
		b := ShieldErrorBand(r.F("sunWPerM2"), r.F("windMPerS"))
		e := r.F("errorK")
		r.Check("errorK", math.Min(math.Max(e, b.LowK), b.HighK), fmt.Sprintf("band %+v holds the published error", b))
	})
}

func TestPublishedEnclosure(t *testing.T) {
	refdata.Each(t, "thermal/enclosure", func(r *refdata.Row) {
		b, err := NewSealedBox(SealedBoxSpec{Absorptance: 0, Emissivity: 0.9, SurfaceAreaM2: r.F("surfaceAreaM2"), SunlitAreaM2: 0.5, WallWPerM2K: 1 / 0.13})
		require.NoError(t, err)
		c := BoxConditions{AirC: 20, DissipationW: r.F("powerW")}
		r.Check("riseK", b.RiseK(c), "RiseK indoors")
		// About half the heat of a naturally cooled sealed enclosure leaves by
		// radiation (Tamayol, McGregor and Bahrami, ASME, doi 10.1115/1.4007077).
		surface := b.SurfaceC(c)
		share := RadiationWPerM2K(0.9, surface, c.AirC) * r.F("surfaceAreaM2") * (surface - c.AirC) / c.DissipationW
		require.InDelta(t, 0.55, share, 0.1)
	})
}

func TestPublishedTouch(t *testing.T) {
	refdata.Each(t, "thermal/touch", func(r *refdata.Row) {
		m := TouchMaterial(r.F("material"))
		r.Check("thresholdC", BurnThresholdC(m, r.F("contactS")), fmt.Sprintf("BurnThresholdC(%d, %g)", m, r.F("contactS")))
	})
}

func TestPublishedCopper(t *testing.T) {
	n := 0
	refdata.Each(t, "thermal/copper", func(r *refdata.Row) {
		pkg, top, bottom, want := r.S("package"), r.F("topMm2"), r.F("bottomMm2"), r.F("junctionAmbientKPerW")
		r.S("board")
		n++
		found := nan
		for _, c := range CopperRows(pkg) {
			sameTop := math.IsNaN(top) && math.IsNaN(c.TopMm2) || math.Abs(top-c.TopMm2) < 1e-3
			if sameTop && math.Abs(bottom-c.BottomMm2) < 1e-3 && c.JunctionAmbientKPerW == want {
				found = c.JunctionAmbientKPerW
				require.NotEmpty(t, c.Sheet)
				require.NotEmpty(t, c.Method)
				require.NotEmpty(t, c.Board)
			}
		}
		r.Check("junctionAmbientKPerW", found, fmt.Sprintf("CopperRows(%q) with %g and %g mm²", pkg, top, bottom))
	})
	require.Equal(t, len(copperRows), n, "every row held is checked against its document")
}
