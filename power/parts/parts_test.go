package parts

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"github.com/stationphysics/stationphysics"
	"github.com/stationphysics/stationphysics/internal/limit/limittest"
	"github.com/stationphysics/stationphysics/internal/refdata"
	"github.com/stationphysics/stationphysics/power"
	"github.com/stationphysics/stationphysics/power/blocking"
)

func TestEveryLinearIsUsableAndNamesItsSheet(t *testing.T) {
	seen := map[string]bool{}
	for _, p := range Linears() {
		require.False(t, seen[p.Name], "%s twice", p.Name)
		seen[p.Name] = true
		require.NotEmpty(t, p.Maker, p.Name)
		require.NotEmpty(t, p.Sheet, p.Name)
		r, err := power.NewLinear(p.Spec)
		require.NoError(t, err, p.Name)
		require.LessOrEqual(t, p.OperatingV, p.Spec.MaxInputV, p.Name)
		at := r.At(p.Spec.SetV+r.DropoutV(0.05)+1e-9, 0.05)
		require.Equal(t, power.Regulating, at.State, p.Name)
		got, err := FindLinear(p.Name)
		require.NoError(t, err)
		require.Equal(t, p, got)
	}
	_, err := FindLinear("1117")
	var ne *stationphysics.NameError
	require.ErrorAs(t, err, &ne, "a family number is not a part")
	require.Equal(t, []any{"linear regulator", "1117", ""}, []any{ne.Kind, ne.Name, ne.Nearest})
	require.Len(t, ne.Known, len(Linears()))
	require.Contains(t, ne.Known, "LM1117I-5.0")
}

func Test1117IsNotOnePart(t *testing.T) {
	lo, hi := math.Inf(1), 0.0
	for _, p := range Linears() {
		if strings.Contains(p.Name, "1117") {
			lo, hi = min(lo, p.Spec.MaxInputV), max(hi, p.Spec.MaxInputV)
		}
	}
	require.Equal(t, 7.0, lo)
	require.Equal(t, 20.0, hi)
}

func TestLM1117SheetValues(t *testing.T) {
	// National LM1117/LM1117I, electrical table: dropout 1.30, 1.35 and 1.40 V
	// at most at 100, 500 and 800 mA. The line through the outer two leaves
	// the middle one 7 mV below, within half its last digit of 50 mV steps.
	p, _ := FindLinear("LM1117I-5.0")
	r, err := power.NewLinear(p.Spec)
	require.NoError(t, err)
	require.InDelta(t, 1.30, r.DropoutV(0.1), 1e-12)
	require.InDelta(t, 1.35, r.DropoutV(0.5), 0.0075)
	require.InDelta(t, 1.40, r.DropoutV(0.8), 1e-12)
	lo, hi := r.BandV()
	require.InDelta(t, 4.8, lo, 1e-12)
	require.InDelta(t, 5.2, hi, 1e-12)
}

func TestPublishedSheets(t *testing.T) {
	refdata.Each(t, "power/parts/sheet", func(r *refdata.Row) {
		p, err := FindLinear(r.S("part"))
		require.NoError(t, err)
		reg, err := power.NewLinear(p.Spec)
		require.NoError(t, err)
		lo, hi := reg.BandV()
		got, ok := map[string]float64{"lowest output": lo, "highest output": hi, "dropout": reg.DropoutV(r.F("loadA")), "own current": p.Spec.QuiescentA,
			"current limit": p.Spec.CurrentLimitA, "maximum input": p.Spec.MaxInputV, "operating input": p.OperatingV, "junction": p.Spec.MaxJunctionC,
			"line regulation": p.Regulation.LineV, "load regulation": p.Regulation.LoadV, "thermal regulation": p.Regulation.ThermalPctPerW,
			"temperature stability": p.Regulation.TempPct}[r.S("quantity")]
		require.True(t, ok, r.S("quantity"))
		r.Check("value", got, r.S("part")+" "+r.S("quantity"))
	})
}

func TestSheetLimits(t *testing.T) {
	for name, want := range map[string]power.LinearSpec{
		"TS1117B-5.0": {SetV: 5, BandPct: 2, DropoutV: 1.5, QuiescentA: 10e-3, MaxInputV: 15, CurrentLimitA: 1, MaxJunctionC: 125},
		"NCP1117-5.0": {SetV: 5, BandPct: 1, DropoutV: 1.2, QuiescentA: 10e-3, MaxInputV: 20, CurrentLimitA: 1, MaxJunctionC: 150},
		"AMS1117-5.0": {SetV: 5, BandPct: 2, DropoutV: 1.3, QuiescentA: 11e-3, MaxInputV: 15, CurrentLimitA: 0.9, MaxJunctionC: 125},
		"REG1117-5":   {SetV: 5, BandPct: 2, DropoutV: 1.3, QuiescentA: 10e-3, MaxInputV: 15, CurrentLimitA: 0.8, MaxJunctionC: 125},
		"L7805C":      {SetV: 5, BandPct: 4, DropoutV: 2, QuiescentA: 8e-3, MaxInputV: 35, CurrentLimitA: 1.5, MaxJunctionC: 150},
		"MCP1700-3.3": {SetV: 3.3, BandPct: 3, DropoutOhm: 1.4, QuiescentA: 4e-6, MaxInputV: 6.5, CurrentLimitA: 0.25, MaxJunctionC: 125},
		"MCP1702-3.3": {SetV: 3.3, BandPct: 3, DropoutOhm: 2.5, QuiescentA: 5e-6, MaxInputV: 14.5, CurrentLimitA: 0.25, MaxJunctionC: 125},
		"MCP1703-3.3": {SetV: 3.3, BandPct: 3, DropoutOhm: 2.5, QuiescentA: 5e-6, MaxInputV: 18, CurrentLimitA: 0.25, MaxJunctionC: 125},
	} {
		p, err := FindLinear(name)
		require.NoError(t, err, name)
		require.InDelta(t, want.DropoutOhm, p.Spec.DropoutOhm, 1e-12, name)
		want.DropoutOhm = p.Spec.DropoutOhm
		require.Equal(t, want, p.Spec, name)
	}
	for name, v := range map[string]float64{"LM1117I-5.0": 15, "TS1117B-5.0": 12, "MCP1700-3.3": 6, "MCP1702-3.3": 13.2, "MCP1703-3.3": 16, "AMS1117-5.0": 0, "NCP1117-5.0": 20,
		"REG1117-5": 0, "LM1117T-5.0": 0, "L7805C": 0} {
		p, _ := FindLinear(name)
		require.Equal(t, v, p.OperatingV, name)
	}
}

// The sheet of the one with the low maximum input gives nothing else: the rest
// is that of its namesake, which is for junctions up to 125 °C.
func TestNamesakes(t *testing.T) {
	i, _ := FindLinear("LM1117I-5.0")
	require.Equal(t, 125.0, i.Spec.MaxJunctionC)
	h, _ := FindLinear("LM1117T-5.0")
	require.Equal(t, 7.0, h.Spec.MaxInputV)
	h.Spec.MaxInputV = i.Spec.MaxInputV
	require.Equal(t, i.Spec, h.Spec)
	// Three makers' 1N5819: 40 V and the same forward points; 6 and 10 mA at 100 °C.
	d, _ := FindDiode("1N5819")
	for _, name := range []string{"1N5819 (RFE)", "1N5819 (IRF)"} {
		p, _ := FindDiode(name)
		require.Equal(t, []any{d.TestC, d.Low, d.High, d.ReverseV}, []any{p.TestC, p.Low, p.High, p.ReverseV}, name)
	}
	require.Equal(t, 25.0, d.TestC)
	rfe, _ := FindDiode("1N5819 (RFE)")
	require.Equal(t, []blocking.LeakagePoint{{JunctionC: 25, CurrentA: 1e-3}, {JunctionC: 100, CurrentA: 10e-3}}, rfe.Leakage)
}

func TestEveryDiodePassesThroughItsSheet(t *testing.T) {
	for _, p := range Diodes() {
		require.NotEmpty(t, p.Sheet)
		require.NotEmpty(t, p.Maker)
		d, err := p.New()
		require.NoError(t, err, p.Name)
		require.Equal(t, 25.0, d.TempC(), p.Name)
		require.InDelta(t, p.Low.VoltageV, d.VoltageV(p.Low.CurrentA), 1e-9, p.Name)
		require.InDelta(t, p.High.VoltageV, d.VoltageV(p.High.CurrentA), 1e-9, p.Name)
		l, err := blocking.NewLeakage(p.Leakage...)
		require.NoError(t, err, p.Name)
		require.InDelta(t, 1e-3, l.CurrentA(25), 1e-15, p.Name)
		require.Equal(t, 1.0, p.RatedA)
		require.GreaterOrEqual(t, p.ReverseV, 20.0)
		got, err := FindDiode(p.Name)
		require.NoError(t, err)
		require.Equal(t, p, got)
	}
	_, err := FindDiode("1N4007")
	require.EqualError(t, err, `unknown diode "1N4007": known are 1N5817, 1N5818, 1N5819, 1N5819 (RFE), 1N5819 (IRF)`)
	// Three neighbours of one sheet.
	for name, v := range map[string][3]float64{"1N5817": {20, 0.45, 0.75}, "1N5818": {30, 0.55, 0.875}, "1N5819": {40, 0.60, 0.90}} {
		p, _ := FindDiode(name)
		require.Equal(t, v, [3]float64{p.ReverseV, p.Low.VoltageV, p.High.VoltageV}, name)
		require.Equal(t, [2]float64{1, 3}, [2]float64{p.Low.CurrentA, p.High.CurrentA}, name)
		require.Equal(t, blocking.LeakagePoint{JunctionC: 125, CurrentA: 10e-3}, p.Leakage[1])
	}
	irf, _ := FindDiode("1N5819 (IRF)")
	require.Equal(t, []blocking.LeakagePoint{{JunctionC: 25, CurrentA: 1e-3}, {JunctionC: 100, CurrentA: 6e-3}, {JunctionC: 125, CurrentA: 12e-3}}, irf.Leakage)
	rfe, _ := FindDiode("1N5819 (RFE)")
	require.Equal(t, 100.0, rfe.Leakage[1].JunctionC)
}

func TestCallersOwnTheirCopy(t *testing.T) {
	a := Linears()
	a[0].Spec.MaxInputV = 1
	require.Equal(t, 20.0, Linears()[0].Spec.MaxInputV)
	d := Diodes()
	d[0].Leakage[0].CurrentA = 1
	require.Equal(t, 1e-3, Diodes()[0].Leakage[0].CurrentA)
}

func FuzzFind(f *testing.F) {
	f.Add("LM1117I-5.0", 25.0, 5.0, 0.3, 0.1, 0.5, 1.0)
	f.Add("", 0.0, 12.0, 0.0, 0.0, 0.0, 0.0)
	f.Fuzz(func(t *testing.T, name string, tempC, inV, v1, a1, v2, a2 float64) {
		if p, err := FindLinear(name); (err == nil) != (p.Name == name && name != "") {
			t.Fatalf("%q: %v %v", name, p, err)
		}
		if p, err := FindDiode(name); (err == nil) != (p.Name == name && name != "") {
			t.Fatalf("%q: %v %v", name, p, err)
		}
		// Every preset makes a part; another sheet's points may not.
		for _, p := range Linears() {
			r, err := power.NewLinear(p.Spec)
			if err != nil {
				t.Fatalf("%s: %v", p.Name, err)
			}
			if inV >= 0 && inV <= 100 {
				limittest.Finite(t, p.Name, r.At(inV, 0.01))
			}
		}
		for _, p := range append(Diodes(), Diode{Kind: power.Schottky, TestC: tempC, Low: power.ForwardPoint{VoltageV: v1, CurrentA: a1}, High: power.ForwardPoint{VoltageV: v2, CurrentA: a2}}) {
			d, err := p.New()
			if err != nil && p.Name != "" {
				t.Fatalf("%s: %v", p.Name, err)
			}
			limittest.ZeroIfRefused(t, d, err)
			limittest.NumberIff(t, err == nil && tempC >= -90 && tempC <= 200, p.Name, d.At(tempC).VoltageV(0.1))
		}
	})
}

func BenchmarkFindLinear(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		FindLinear("MCP1703-3.3")
	}
}
