package trim

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"github.com/stationphysics/stationphysics/battery"
	"github.com/stationphysics/stationphysics/internal/refdata"
)

// twoCells is the worked case: 2 % and 0.037 V a cell in all.
var twoCells = Spec{Chemistry: battery.LiFePO4, Cells: 2, TempC: 20, MeterPct: 1, MeterDigitsV: 0.02, DriftPct: 1, HighestCellV: 0.027}

func setting(t testing.TB, s Spec) Setting {
	t.Helper()
	x, err := New(s)
	require.NoError(t, err)
	return x
}

func TestWorstCell(t *testing.T) {
	s := setting(t, twoCells)
	refdata.Each(t, "battery/trim/worst_cell", func(r *refdata.Row) {
		r.Check("worstCellV", s.WorstAtV(r.F("setV")), fmt.Sprintf("WorstAtV(%v)", r.F("setV")))
	})
	require.InDelta(t, 7.084, s.HighestV, 0.0005)
	require.Equal(t, 7.0, s.SetV)
	require.InDelta(t, 6.90, s.LowestV, 1e-12)
	require.InDelta(t, 3.607, s.WorstCellV, 1e-12)
	require.InDelta(t, 0.043, s.MarginV, 1e-12)
	require.InDelta(t, 3.5, s.MeanCellV, 1e-12)
	require.InDelta(t, 3.65, s.LimitCellV, 1e-12)
	one := twoCells
	one.Cells = 1
	require.InDelta(t, 3.5*1.02+0.02+0.027, setting(t, one).WorstAtV(3.5), 1e-12)
	require.InDelta(t, 3.5+math.Sqrt(0.07*0.07+0.02*0.02+0.07*0.07)/2+0.027, s.LikelyCellV, 1e-12)
	all := twoCells
	all.ChargerPct, all.DiodeTaperV = 1.5, 0.1
	a := setting(t, all)
	require.InDelta(t, (a.SetV-0.1)/2+math.Sqrt(sq(0.01*a.SetV)+sq(0.02)+sq(0.01*a.SetV)+sq(0.015*a.SetV))/2+0.027, a.LikelyCellV, 1e-12)
	require.InDelta(t, 0.9*1.02/2+0.01+0.027, s.WorstAtV(0.9), 1e-12, "a low setting is one all the same")
	require.Contains(t, setting(t, one).Instruction(), "Set 3.50 V at the charger's output")
	// Without errors the highest setting is the limit itself, not a hundredth less.
	require.Contains(t, setting(t, Spec{Chemistry: battery.LiFePO4, Cells: 2, TempC: 20}).Instruction(), "between 6.90 and 7.30 V.")
	require.True(t, s.Window)
	require.Equal(t, "Set 7.00 V at the charger's output, read with nothing connected, between 6.90 and 7.08 V. The highest of the 2 cells then reaches at most 3.607 V, 0.043 V below the 3.65 V of LiFePO4.", s.Instruction())
}

// At the highest setting the worst cell stands at the limit, every error makes
// the setting lower, and a diode raises it by what it still drops at the end.
func TestHighestSettingIsTheLimit(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 5))
	for range 3000 {
		spec := Spec{Chemistry: battery.Chemistry(1 + rng.IntN(4)), Cells: 1 + rng.IntN(32), TempC: -20 + 60*rng.Float64(), MeterPct: rng.Float64(), MeterDigitsV: 0.05 * rng.Float64(),
			DriftPct: 2 * rng.Float64(), ChargerPct: rng.Float64(), HighestCellV: 0.05 * rng.Float64(), DiodeTaperV: 0.3 * rng.Float64()}
		s := setting(t, spec)
		require.InDelta(t, s.LimitCellV, s.WorstAtV(s.HighestV), 1e-12)
		require.InDelta(t, s.WorstCellV, s.WorstAtV(s.SetV), 1e-15)
		require.LessOrEqual(t, s.WorstCellV, s.LimitCellV+1e-12)
		require.InDelta(t, s.LimitCellV-s.WorstCellV, s.MarginV, 1e-15)
		require.True(t, s.MeanCellV <= s.LikelyCellV && s.LikelyCellV <= s.WorstCellV+1e-12)
		if s.Window {
			require.True(t, s.LowestV <= s.SetV && s.SetV <= s.HighestV)
		} else {
			require.Equal(t, s.HighestV, s.SetV)
		}
		for _, worse := range []func(x *Spec){
			func(x *Spec) { x.MeterPct += 0.5 }, func(x *Spec) { x.MeterDigitsV += 0.01 }, func(x *Spec) { x.DriftPct += 0.5 },
			func(x *Spec) { x.ChargerPct += 0.5 }, func(x *Spec) { x.HighestCellV += 0.01 },
		} {
			x := spec
			worse(&x)
			require.Less(t, setting(t, x).HighestV, s.HighestV)
		}
		x := spec
		x.DiodeTaperV += 0.1
		y := setting(t, x)
		require.InDelta(t, 0.1/(1+spec.relative()), y.HighestV-s.HighestV, 1e-12)
		require.InDelta(t, 0.1, y.LowestV-s.LowestV, 1e-12)
	}
}

func TestNoWindow(t *testing.T) {
	spec := twoCells
	spec.MeterPct, spec.HighestCellV = 3, 0.1
	s := setting(t, spec)
	require.False(t, s.Window)
	require.Contains(t, s.Instruction(), "No safe and useful setting: the errors leave at most 6.80 V, and the pack fills from 6.90 V.")
	require.Equal(t, "No pack, nothing to set.", Setting{}.Instruction())
	require.True(t, math.IsNaN(Setting{}.WorstAtV(7)) && math.IsNaN(s.WorstAtV(0)) && math.IsNaN(s.WorstAtV(math.NaN())))
	spec = twoCells
	spec.DiodeTaperV = 0.2
	s = setting(t, spec)
	require.Equal(t, 7.2, math.Round(s.SetV*1e9)/1e9)
	require.Contains(t, s.Instruction(), "Read before the diode, not behind it.")
	// Lead-acid follows the temperature.
	cold, warm := setting(t, Spec{Chemistry: battery.SealedLead, Cells: 6, TempC: 5}), setting(t, Spec{Chemistry: battery.SealedLead, Cells: 6, TempC: 35})
	require.InDelta(t, 6*0.005*30, cold.HighestV-warm.HighestV, 1e-12)
}

func TestSpecRefusals(t *testing.T) {
	for text, f := range map[string]func(s *Spec){
		"unknown chemistry":           func(s *Spec) { s.Chemistry = 0 },
		"number of cells in series 0": func(s *Spec) { s.Cells = 0 },
		"kelvins?":                    func(s *Spec) { s.TempC = 293 },
		"meter error 11 %":            func(s *Spec) { s.MeterPct = 11 },
		"meter digits 1.001 V is outside 0..1 V: a count of digits?": func(s *Spec) { s.MeterDigitsV = 1.001 },
		"trimmer drift -1":      func(s *Spec) { s.DriftPct = -1 },
		"charger tolerance NaN": func(s *Spec) { s.ChargerPct = math.NaN() },
		"highest cell above the mean 1.001 V is outside 0..1 V: millivolts?": func(s *Spec) { s.HighestCellV = 1.001 },
		"diode drop at taper 1.001 V is outside 0..1 V: millivolts?":         func(s *Spec) { s.DiodeTaperV = 1.001 },
	} {
		s := twoCells
		f(&s)
		_, err := New(s)
		require.ErrorContains(t, err, text)
	}
	s := twoCells
	s.Chemistry = battery.NickelMetalHydride
	_, err := New(s)
	require.ErrorIs(t, err, ErrNoChargeVoltage)
}

func judge(t testing.TB, c battery.Chemistry, cells int, setV float64) Verdict {
	t.Helper()
	v, err := Judge(c, cells, setV, 25)
	require.NoError(t, err)
	require.InDelta(t, setV/float64(cells), v.CellV, 1e-12)
	require.NotEmpty(t, v.Text)
	return v
}

func TestJudge(t *testing.T) {
	for _, x := range []struct {
		c       battery.Chemistry
		cells   int
		setV    float64
		want    Fit
		looks   battery.Chemistry
		forbids bool
	}{
		{battery.LiFePO4, 2, 7.00, Fits, 0, false},
		{battery.LiFePO4, 2, 6.90, Fits, 0, false},
		{battery.LiFePO4, 2, 7.30, Fits, 0, false},
		{battery.LiFePO4, 4, 14.4, Fits, 0, false}, // the pack sheet's 3.60 V a cell
		{battery.LiFePO4, 2, 7.31, AtTheLimit, 0, true},
		{battery.LiFePO4, 2, 7.40, AtTheLimit, 0, true},
		{battery.LiFePO4, 2, 7.42, OverTheLimit, 0, true},
		{battery.LiFePO4, 2, 8.00, OverTheLimit, 0, true},
		{battery.LiFePO4, 2, 8.30, OverTheLimit, 0, true},
		{battery.LiFePO4, 2, 8.40, OtherVoltage, battery.LithiumIon, true},
		{battery.LiFePO4, 1, 4.20, OtherVoltage, battery.LithiumIon, true},
		{battery.LiFePO4, 2, 8.302, OtherVoltage, battery.LithiumIon, true}, // 4.20 less the spread of its sheet
		{battery.LiFePO4, 2, 8.498, OtherVoltage, battery.LithiumIon, true},
		{battery.LiFePO4, 2, 8.50, OverTheLimit, 0, true},
		{battery.LiFePO4, 2, 9.0, OverTheLimit, 0, true},
		{battery.LiFePO4, 1, 7.4, PackForCell, 0, true},
		{battery.LiFePO4, 1, 6.9, PackForCell, 0, true},
		{battery.LiFePO4, 1, 6.89, OverTheLimit, 0, true},
		{battery.LiFePO4, 1, 7.41, OverTheLimit, 0, true},
		{battery.LiFePO4, 3, 11.0, AtTheLimit, 0, true}, // not the voltage of more cells, and near
		{battery.LiFePO4, 16, 110.4, PackForCell, 0, true},
		{battery.LiFePO4, 2, 10.955, PackForCell, 0, true}, // half as much again as the limit, 10.95 V
		{battery.LiFePO4, 2, 10.945, OverTheLimit, 0, true},
		{battery.LiFePO4, 21, 115.2, PackForCell, 0, true},  // 32 cells at 3.60 V
		{battery.LiFePO4, 21, 118.8, OverTheLimit, 0, true}, // 33 are no pack
		{battery.LiFePO4, 2, 3.45, CellForPack, 0, false},
		{battery.LiFePO4, 2, 3.44, DoesNotFill, 0, false},
		{battery.LiFePO4, 2, 3.70, CellForPack, 0, false},
		{battery.LiFePO4, 2, 3.71, DoesNotFill, 0, false},
		{battery.LiFePO4, 2, 6.89, DoesNotFill, 0, false},
		{battery.LiFePO4, 2, 3.6, CellForPack, 0, false},
		{battery.LiFePO4, 2, 4.8, OtherVoltage, battery.SealedLead, false},
		{battery.LiFePO4, 1, 7.2, PackForCell, 0, true},
		{battery.LiFePO4, 2, 14.4, PackForCell, 0, true},
		{battery.LithiumIon, 2, 8.40, Fits, 0, false},
		{battery.LithiumIon, 2, 7.30, OtherVoltage, battery.LiFePO4, false},
		{battery.LithiumIon, 2, 8.60, OverTheLimit, 0, true},
		{battery.SealedLead, 6, 14.4, Fits, 0, false},
		{battery.SealedLead, 6, 15.3, OverTheLimit, 0, true},
		{battery.FloodedLead, 6, 12.0, DoesNotFill, 0, false},
		{battery.NickelMetalHydride, 4, 5.6, NoSetVoltage, 0, false},
	} {
		v := judge(t, x.c, x.cells, x.setV)
		require.Equal(t, x.want, v.Fit, "%v %d %v: %s", x.c, x.cells, x.setV, v.Text)
		require.Equal(t, x.looks, v.LooksLike, "%v %d %v", x.c, x.cells, x.setV)
		require.Equal(t, x.forbids, v.Forbids(), "%v %d %v", x.c, x.cells, x.setV)
		if x.c != battery.NickelMetalHydride {
			require.InDelta(t, v.CellV-v.LimitV, v.OverV, 1e-9)
			require.InDelta(t, v.OverV*float64(x.cells), v.PackOverV, 1e-12)
		}
		require.NotContains(t, v.Text, "harmless")
	}
	v := judge(t, battery.LiFePO4, 2, 8.40)
	require.Contains(t, v.Text, "8.40 V on 2 LiFePO4 cells is 4.20 V a cell, the charge voltage of lithium-ion (4.2 V): 0.55 V a cell over the 3.65 V of the chemistry, 1.10 V for the pack.")
	require.Contains(t, v.Text, "Outside the cell's sheet")
	require.Contains(t, v.Text, "thermally less stable")
	require.Contains(t, v.Text, "no margin left for unequal cells")
	require.Contains(t, v.Text, "lower the setting")
	require.Contains(t, judge(t, battery.LiFePO4, 2, 3.6).Text, "the pack of 2 takes 7.20 V")
	v = judge(t, battery.LiFePO4, 1, 7.2)
	require.Equal(t, 2, v.Cells)
	require.Contains(t, v.Text, "right for 2 cells in series")
	require.Contains(t, judge(t, battery.LithiumIon, 2, 8.6).Text, "never above 4.23 V")
	require.Contains(t, judge(t, battery.SealedLead, 6, 15.3).Text, "gases")
	require.Contains(t, judge(t, battery.LiFePO4, 2, 6.5).Text, "3.45 V a cell, 6.90 V in all")
	require.Contains(t, judge(t, battery.LithiumIon, 2, 7.3).Text, "does not fill lithium-ion (4.2 V): that takes 4.10 V a cell")
	require.True(t, math.IsNaN(judge(t, battery.NickelMetalHydride, 4, 5.6).LimitV))

	for text, f := range map[string]func() error{
		"number of cells in series 0 is outside 1..32":                      func() error { _, err := Judge(battery.LiFePO4, 0, 7, 20); return err },
		"set voltage of the pack 7000 V is outside 0.5..200 V: millivolts?": func() error { _, err := Judge(battery.LiFePO4, 2, 7000, 20); return err },
		"set voltage of the pack NaN V is outside 0.5..200 V":               func() error { _, err := Judge(battery.LiFePO4, 2, math.NaN(), 20); return err },
		"cell temperature 300 °C is outside -40..85 °C: kelvins?":           func() error { _, err := Judge(battery.LiFePO4, 2, 7, 300); return err },
	} {
		require.EqualError(t, f(), text)
	}
	for f, want := range map[Fit]string{NoVerdict: "no verdict", Fits: "fits", OtherVoltage: "another chemistry's voltage", NoSetVoltage: "no charge voltage", NoSetVoltage + 1: "unknown", 99: "unknown"} {
		require.Equal(t, want, f.String())
	}
}

func BenchmarkNew(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		_, _ = New(twoCells)
	}
}
