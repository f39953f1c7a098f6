package panel

import (
	"encoding/csv"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"testing"

	"github.com/stretchr/testify/require"

	"github.com/stationphysics/stationphysics/internal/refdata"
)

// rowCurve builds the curve at 25 °C of a row that gives the five parameters.
func rowCurve(t *testing.T, r *refdata.Row, idealityV float64, cells int) Curve {
	t.Helper()
	m, err := New(Parameters{
		PhotocurrentA:      r.F("photocurrentA"),
		SaturationCurrentA: r.F("saturationA"),
		SeriesOhm:          r.F("seriesOhm"),
		ShuntOhm:           r.F("shuntOhm"),
		IdealityV:          idealityV,
		CellsInSeries:      cells,
	})
	require.NoError(t, err)
	return m.At(refIrradianceWPerM2, refCellC)
}

func TestPrecisePoints(t *testing.T) {
	refdata.Each(t, "solar/panel/precise_points", func(r *refdata.Row) {
		c := rowCurve(t, r, r.F("n")*72*boltzmannEVPerK*refK, 72)
		call := fmt.Sprintf("curve of IL=%s I0=%s Rs=%s Rsh=%s n=%s", r.S("photocurrentA"), r.S("saturationA"), r.S("seriesOhm"), r.S("shuntOhm"), r.S("n"))
		p := c.MaxPower()
		r.Check("Voc", c.OpenCircuitV(), call)
		r.Check("Isc", c.ShortCircuitA(), call)
		r.Check("Vmp", p.Vmp, call)
		r.Check("Imp", p.Imp, call)
		r.Check("Pmp", p.Pmp, call)
		r.Check("halfwayA", c.CurrentA(r.F("Voc")/2), call)
		r.Check("shoulderA", c.CurrentA((r.F("Voc")+r.F("Vmp"))/2), call)
	})
}

func TestPreciseCurve(t *testing.T) {
	refdata.Each(t, "solar/panel/precise_curve", func(r *refdata.Row) {
		c := rowCurve(t, r, r.F("n")*72*boltzmannEVPerK*refK, 72)
		v, i := r.F("voltageV"), r.F("currentA")
		r.Check("currentA", c.CurrentA(v), fmt.Sprintf("CurrentA(%v)", v))
		// The voltage back from the current: as steep as the curve is flat, so
		// the tolerance is the current's through the slope.
		slope := (c.CurrentA(v+1e-4) - c.CurrentA(v-1e-4)) / 2e-4
		require.InDelta(t, v, c.VoltageV(i), 1e-12*c.iL/math.Abs(slope), "VoltageV(%v), line %d", i, r.Line)
	})
}

// TestPreciseSetInFull runs through the whole published set, which is not part
// of the repository: PANEL_PRECISE_IV names the folder with its two files.
func TestPreciseSetInFull(t *testing.T) {
	dir := os.Getenv("PANEL_PRECISE_IV")
	if dir == "" {
		t.Skip("PANEL_PRECISE_IV does not name the folder of the full set")
	}
	text, err := os.ReadFile(filepath.Join(dir, "precise_iv_curves1.json"))
	require.NoError(t, err)
	var set struct {
		Curves []struct {
			Index              int
			Voltages, Currents []string
			Voc                string `json:"v_oc"`
			Isc                string `json:"i_sc"`
			Vmp                string `json:"v_mp"`
			Imp                string `json:"i_mp"`
			Pmp                string `json:"p_mp"`
		} `json:"IV Curves"`
	}
	require.NoError(t, json.Unmarshal(text, &set))
	f, err := os.Open(filepath.Join(dir, "precise_iv_curves_parameter_sets1.csv"))
	require.NoError(t, err)
	defer f.Close()
	records, err := csv.NewReader(f).ReadAll()
	require.NoError(t, err)
	require.Len(t, records, len(set.Curves)+1)
	num := func(s string) float64 {
		v, err := strconv.ParseFloat(s, 64)
		require.NoError(t, err)
		return v
	}
	worst, n := 0.0, 0
	for i, c := range set.Curves {
		p := records[i+1]
		m, err := New(Parameters{PhotocurrentA: num(p[1]), SaturationCurrentA: num(p[2]), SeriesOhm: num(p[3]), ShuntOhm: num(p[4]),
			IdealityV: num(p[5]) * 72 * boltzmannEVPerK * refK, CellsInSeries: 72})
		require.NoError(t, err)
		q := m.At(refIrradianceWPerM2, refCellC)
		near := func(want string, got, scale float64) {
			n++
			off := math.Abs(got-num(want)) / scale
			worst = math.Max(worst, off)
			require.LessOrEqual(t, off, 1e-9, "curve %d", c.Index)
		}
		near(c.Voc, q.OpenCircuitV(), num(c.Voc))
		near(c.Isc, q.ShortCircuitA(), num(c.Isc))
		mp := q.MaxPower()
		near(c.Vmp, mp.Vmp, num(c.Vmp))
		near(c.Imp, mp.Imp, num(c.Imp))
		near(c.Pmp, mp.Pmp, num(c.Pmp))
		for j := range c.Voltages {
			scale := math.Abs(num(c.Currents[j]))
			if scale == 0 {
				scale = num(c.Isc)
			}
			near(c.Currents[j], q.CurrentA(num(c.Voltages[j])), scale)
		}
	}
	t.Logf("%d values, largest relative difference %.2g", n, worst)
	require.Equal(t, 32*105, n)
}

// referencePanel is the invented panel of testdata/solar/panel/conditions.csv.
// Its photocurrent is Isc plus what the diode and the shunt take at short
// circuit; its a is the one that all rows round to; the temperature
// coefficient is 0.05 %/K of Isc.
func referencePanel(t testing.TB) Module {
	t.Helper()
	m, err := New(Parameters{
		PhotocurrentA:      0.6211259962,
		SaturationCurrentA: 2.1908896329912887e-10,
		IdealityV:          0.99374702678,
		SeriesOhm:          2.179346644,
		ShuntOhm:           1200,
		PhotocurrentAPerK:  0.0005 * 0.62,
		CellsInSeries:      36,
	})
	require.NoError(t, err)
	return m
}

func TestConditions(t *testing.T) {
	m := referencePanel(t)
	refdata.Each(t, "solar/panel/conditions", func(r *refdata.Row) {
		g, cellC := r.F("irradianceWPerM2"), r.F("cellC")
		call := fmt.Sprintf("At(%v, %v)", g, cellC)
		c := m.At(g, cellC)
		r.Check("photocurrentA", c.iL, call)
		r.Check("saturationA", c.i0, call)
		r.Check("idealityV", c.a, call)
		r.Check("shuntOhm", 1/c.gsh, call)
		voc, p := c.OpenCircuitV(), c.MaxPower()
		r.Check("Isc", c.ShortCircuitA(), call)
		r.Check("Voc", voc, call)
		r.Check("Imp", p.Imp, call)
		r.Check("Vmp", p.Vmp, call)
		r.Check("Pmp", p.Pmp, call)
		r.Check("halfwayA", c.CurrentA(voc/2), call)
		r.Check("shoulderA", c.CurrentA((voc+p.Vmp)/2), call)
	})
}

func TestCurveAtConditions(t *testing.T) {
	m := referencePanel(t)
	refdata.Each(t, "solar/panel/curve", func(r *refdata.Row) {
		g, cellC, v := r.F("irradianceWPerM2"), r.F("cellC"), r.F("voltageV")
		r.Check("currentA", m.At(g, cellC).CurrentA(v), fmt.Sprintf("At(%v, %v).CurrentA(%v)", g, cellC, v))
	})
}

func TestCircuit(t *testing.T) {
	refdata.Each(t, "solar/panel/circuit", func(r *refdata.Row) {
		c := rowCurve(t, r, r.F("idealityV"), 36)
		r.Check("currentA", c.CurrentA(r.F("voltageV")), fmt.Sprintf("CurrentA(%v)", r.F("voltageV")))
	})
}

func TestCellTemperatures(t *testing.T) {
	nominal, err := NewNominal(45)
	require.NoError(t, err)
	refdata.Each(t, "solar/panel/cell_temperature", func(r *refdata.Row) {
		g, airC, wind := r.F("irradianceWPerM2"), r.F("airC"), r.F("windMPerS")
		call := fmt.Sprintf("(%v, %v, %v)", g, airC, wind)
		r.Check("faimanC", OpenRack().CellC(g, airC, wind), "OpenRack().CellC"+call)
		r.Check("nominal45C", nominal.CellC(g, airC, wind), "NewNominal(45).CellC"+call)
		r.Check("glassBackC", GlassOpenRack().BackC(g, airC, wind), "GlassOpenRack().BackC"+call)
		r.Check("glassRackC", GlassOpenRack().CellC(g, airC, wind), "GlassOpenRack().CellC"+call)
		r.Check("polymerRackC", PolymerOpenRack().CellC(g, airC, wind), "PolymerOpenRack().CellC"+call)
		r.Check("polymerInsulatedC", PolymerInsulated().CellC(g, airC, wind), "PolymerInsulated().CellC"+call)
	})
}

func TestHardCases(t *testing.T) {
	refdata.Each(t, "solar/panel/hard_cases", func(r *refdata.Row) {
		c := rowCurve(t, r, r.F("idealityV"), 36)
		call := r.S("case")
		r.Check("currentA", c.CurrentA(r.F("voltageV")), fmt.Sprintf("%s: CurrentA(%v)", call, r.F("voltageV")))
		p := c.MaxPower()
		r.Check("Voc", c.OpenCircuitV(), call)
		r.Check("Vmp", p.Vmp, call)
		r.Check("Imp", p.Imp, call)
		r.Check("Pmp", p.Pmp, call)
	})
}

func TestPublishedPanel(t *testing.T) {
	refdata.Each(t, "solar/panel/published_panel", func(r *refdata.Row) {
		c := rowCurve(t, r, r.F("n")*54*boltzmannEVPerK*refK, 54)
		r.Check("Voc", c.OpenCircuitV(), "OpenCircuitV()")
		r.Check("Isc", c.ShortCircuitA(), "ShortCircuitA()")
		r.Check("Pmp", c.MaxPower().Pmp, "MaxPower()")
	})
}

// The four mountings of SAND2004-3535, Table 1 (a, b and ΔT in K), as it prints them.
func TestMountingsOfTable1(t *testing.T) {
	require.Equal(t, []BackSheet{{-3.47, -0.0594, 3}, {-2.98, -0.0471, 1}, {-3.56, -0.0750, 3}, {-2.81, -0.0455, 0}},
		[]BackSheet{GlassOpenRack(), GlassCloseRoof(), PolymerOpenRack(), PolymerInsulated()})
}

func TestPublishedTemperatures(t *testing.T) {
	nominal, err := NewNominal(45)
	require.NoError(t, err)
	models := map[string]func(g, airC, wind float64) float64{
		"faiman":        OpenRack().CellC,
		"nominal45":     nominal.CellC,
		"nominal45wind": nominal.WithWind().CellC,
		"glassBack":     GlassOpenRack().BackC,
		"glassRack":     GlassOpenRack().CellC,
		"glassRoof":     GlassCloseRoof().CellC,
	}
	refdata.Each(t, "solar/panel/published_temperature", func(r *refdata.Row) {
		f := models[r.S("model")]
		require.NotNil(t, f, r.S("model"))
		g, airC, wind := r.F("irradianceWPerM2"), r.F("airC"), r.F("windMPerS")
		r.Check("cellC", f(g, airC, wind), fmt.Sprintf("%s CellC(%v, %v, %v)", r.S("model"), g, airC, wind))
	})
}
