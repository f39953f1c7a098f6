package battery

import (
	"errors"
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"github.com/stationphysics/stationphysics"
	"github.com/stationphysics/stationphysics/internal/refdata"
)

var all = []Chemistry{LiFePO4, LithiumIon, SealedLead, FloodedLead, NickelMetalHydride}

func chemistry(t *testing.T, name string) Chemistry {
	t.Helper()
	c, err := ParseChemistry(name)
	require.NoError(t, err)
	return c
}

func TestParseChemistry(t *testing.T) {
	for _, c := range all {
		require.Equal(t, c, chemistry(t, c.String()))
	}
	for name, want := range map[string]Chemistry{
		"LFP": LiFePO4, "lithium iron phosphate": LiFePO4, "LiFePO_4": LiFePO4, "Li-ion": LithiumIon, "lipo": LithiumIon, "NMC": LithiumIon, "lithium-ion 4.2 V": LithiumIon,
		"AGM": SealedLead, "gel": SealedLead, "Sealed Lead-Acid": SealedLead, "flooded lead acid": FloodedLead, "Ni-MH": NickelMetalHydride,
	} {
		require.Equal(t, want, chemistry(t, name), name)
	}
	for _, name := range []string{"", "lead-acid", "LiPoFe", "nickel", "lithium", "LTO"} {
		c, err := ParseChemistry(name)
		var unknown *stationphysics.NameError
		require.True(t, errors.As(err, &unknown), name)
		require.Equal(t, name, unknown.Name)
		require.Empty(t, unknown.Nearest, "a guess at a chemistry is a guess at a charge voltage")
		require.Zero(t, c)
		for _, k := range all {
			require.ErrorContains(t, err, k.String())
		}
	}
	_, err := ParseChemistry("x\n\"y")
	require.EqualError(t, err, `unknown chemistry "x\n\"y": known are LiFePO4, lithium-ion (4.2 V), sealed lead-acid, flooded lead-acid, NiMH`)
	_, err = ParseChemistry(string(make([]byte, 5000)))
	require.Less(t, len(err.Error()), 300)
	require.Equal(t, "no chemistry", Chemistry(0).String())
	require.Equal(t, "no chemistry", Chemistry(99).String())
	require.Equal(t, all, Chemistries())
}

func level(t *testing.T, l Limits, name string) Level {
	t.Helper()
	m := map[string]Level{"nominal": l.Nominal, "charge": l.Charge, "fill": l.Fill, "float": l.Float, "overcharge": l.Overcharge, "cutoff": l.Cutoff, "safer": l.Safer}
	v, ok := m[name]
	require.True(t, ok, name)
	return v
}

func TestPublishedLimits(t *testing.T) {
	refdata.Each(t, "battery/limits", func(r *refdata.Row) {
		l := level(t, chemistry(t, r.S("chemistry")).Limits(), r.S("level"))
		r.Check("cellV", l.V, r.S("chemistry")+" "+r.S("level"))
		if r.Has("spreadV") {
			r.Check("spreadV", l.SpreadV, r.S("chemistry")+" "+r.S("level")+" spread")
		}
	})
	refdata.Each(t, "battery/charge_rate", func(r *refdata.Row) {
		c := chemistry(t, r.S("chemistry"))
		r.Check("ratePerH", c.MaxChargePerH(r.F("tempC")), fmt.Sprintf("%v.MaxChargePerH(%v)", c, r.F("tempC")))
	})
	refdata.Each(t, "battery/pack_voltages", func(r *refdata.Row) {
		c := chemistry(t, r.S("chemistry"))
		n, tempC := int(r.F("cells")), r.F("tempC")
		p, err := c.PackLimits(n, tempC)
		require.NoError(t, err)
		warm, err := c.PackLimits(n, 25)
		require.NoError(t, err)
		got := map[string]float64{"float": p.FloatV, "charge": p.ChargeV, "charge-change": p.ChargeV - warm.ChargeV, "safer": p.SaferV}[r.S("quantity")]
		r.Check("packV", got, fmt.Sprintf("%v.PackLimits(%d, %v) %s", c, n, tempC, r.S("quantity")))
	})
}

// The taper, windows and other single figures that the sheets give for LiFePO4.
func TestLiFePO4Sheet(t *testing.T) {
	l := LiFePO4.Limits()
	require.Equal(t, [2]float64{0.02, 0.05}, [2]float64{l.TaperLow.PerH, l.TaperHigh.PerH})
	require.Equal(t, [2]float64{0, 45}, [2]float64{l.ChargeWindow.MinC, l.ChargeWindow.MaxC})
	require.Equal(t, [2]float64{-20, 60}, [2]float64{l.DischargeWindow.MinC, l.DischargeWindow.MaxC})
	require.InDelta(t, 3.70, l.Overcharge.V, 1e-12)
	require.Equal(t, 0.5, l.StorageSoC)
}

// Every figure has a source, and the levels of a cell stand in their order.
func TestLimitsAreInOrderAndSourced(t *testing.T) {
	for _, c := range all {
		l := c.Limits()
		require.Less(t, l.Cutoff.V, l.Safer.V, c)
		require.Less(t, l.Safer.V, l.Nominal.V+0.01, c)
		for _, lv := range []Level{l.Nominal, l.Cutoff, l.Safer} {
			require.True(t, lv.Exists(), c)
		}
		if c == NickelMetalHydride {
			for _, lv := range []Level{l.Charge, l.Fill, l.Float, l.Overcharge} {
				require.Equal(t, Level{}, lv, c)
			}
		} else {
			require.Less(t, l.Nominal.V, l.Float.V, c)
			require.Less(t, l.Float.V, l.Fill.V, c)
			require.Less(t, l.Fill.V, l.Charge.V, c)
			require.Less(t, l.Charge.V, l.Overcharge.V, c)
			for _, lv := range []Level{l.Charge, l.Fill, l.Float, l.Overcharge} {
				require.NotEmpty(t, lv.Source, c)
			}
		}
		for _, w := range []Window{l.ChargeWindow, l.DischargeWindow, l.StorageWindow} {
			require.NotEmpty(t, w.Source, c)
			require.Less(t, w.MinC, w.MaxC, c)
			require.True(t, w.Holds(w.MinC) && w.Holds(w.MaxC) && w.Holds(20), c)
			require.False(t, w.Holds(w.MinC-0.01) || w.Holds(w.MaxC+0.01) || w.Holds(math.NaN()), c)
		}
		require.LessOrEqual(t, l.DischargeWindow.MinC, l.ChargeWindow.MinC, c)
		require.Less(t, l.TaperLow.PerH, l.TaperHigh.PerH, c)
		require.Less(t, l.TaperHigh.PerH, l.MaxCharge.PerH, c)
		for _, s := range []string{l.TaperLow.Source, l.TaperHigh.Source, l.MaxCharge.Source, l.StorageSource, l.SelfDischargeSource, l.CoulombicSource, c.Curve().Source()} {
			require.NotEmpty(t, s, c)
		}
		require.Positive(t, l.SelfDischargePctPerMonth)
		require.True(t, l.CoulombicEfficiency > 0.5 && l.CoulombicEfficiency < 1)
		require.True(t, l.StorageSoC > 0 && l.StorageSoC <= 1)
	}
	require.Equal(t, Limits{}, Chemistry(0).Limits())
	require.Empty(t, Chemistry(0).Curve().Source())
}

func TestPackLimits(t *testing.T) {
	one, err := LiFePO4.PackLimits(1, 10)
	require.NoError(t, err)
	for n := 1; n <= 32; n++ {
		p, err := LiFePO4.PackLimits(n, 10)
		require.NoError(t, err)
		f := float64(n)
		require.InDeltaSlice(t, []float64{f * one.NominalV, f * one.ChargeV, f * one.ChargeMinV, f * one.ChargeMaxV, f * one.FloatV, f * one.OverchargeV, f * one.CutoffV, f * one.SaferV},
			[]float64{p.NominalV, p.ChargeV, p.ChargeMinV, p.ChargeMaxV, p.FloatV, p.OverchargeV, p.CutoffV, p.SaferV}, 1e-12)
	}
	require.InDelta(t, 3.60, one.ChargeMinV, 1e-12)
	require.InDelta(t, 3.70, one.ChargeMaxV, 1e-12)
	// The compensation of lead-acid is held at 5 and 40 °C; lithium has none.
	for _, x := range []struct{ t, want float64 }{{-20, 2.50}, {5, 2.50}, {25, 2.40}, {40, 2.325}, {60, 2.325}} {
		require.InDelta(t, x.want, SealedLead.Limits().Charge.At(x.t), 1e-12)
		require.Equal(t, 3.65, LiFePO4.Limits().Charge.At(x.t))
	}
	require.True(t, math.IsNaN(LiFePO4.Limits().Charge.At(-40.1)) && math.IsNaN(SealedLead.Limits().Charge.At(85.1)) && math.IsNaN(SealedLead.Limits().Charge.At(math.NaN())))
	p, err := NickelMetalHydride.PackLimits(4, 20)
	require.NoError(t, err)
	require.InDelta(t, 4.8, p.NominalV, 1e-12)
	require.True(t, math.IsNaN(p.ChargeV) && math.IsNaN(p.FloatV) && math.IsNaN(p.OverchargeV))

	for text, f := range map[string]func() error{
		"number of cells in series 0 is outside 1..32":                                                                        func() error { _, err := LiFePO4.PackLimits(0, 20); return err },
		"number of cells in series 33 is outside 1..32":                                                                       func() error { _, err := LiFePO4.PackLimits(33, 20); return err },
		"cell temperature 293.15 °C is outside -40..85 °C: kelvins?":                                                          func() error { _, err := LiFePO4.PackLimits(2, 293.15); return err },
		"cell temperature 104 °C is outside -40..85 °C: degrees Fahrenheit?":                                                  func() error { _, err := LiFePO4.PackLimits(2, 104); return err },
		"cell temperature NaN °C is outside -40..85 °C":                                                                       func() error { _, err := LiFePO4.PackLimits(2, math.NaN()); return err },
		"capacity 1500 Ah is outside 0.03..400 Ah: milliampere-hours?":                                                        func() error { _, err := TypicalCell(LiFePO4, 1500); return err },
		"capacity 0 Ah is outside 0.03..400 Ah":                                                                               func() error { _, err := TypicalCell(LiFePO4, 0); return err },
		`unknown chemistry "no chemistry": known are LiFePO4, lithium-ion (4.2 V), sealed lead-acid, flooded lead-acid, NiMH`: func() error { _, err := Chemistry(0).PackLimits(2, 20); return err },
	} {
		require.EqualError(t, f(), text)
	}
	_, err = LiFePO4.PackLimits(-1, 20)
	var re *stationphysics.RangeError
	require.True(t, errors.As(err, &re))
	_, err = TypicalCell(0, 1)
	require.Error(t, err)
	require.True(t, math.IsNaN(Chemistry(0).MaxChargePerH(20)) && math.IsNaN(LiFePO4.MaxChargePerH(100)) && math.IsNaN(LiFePO4.MaxChargePerH(math.NaN())))
}

func TestTypicalCellAgainstSheets(t *testing.T) {
	refdata.Each(t, "battery/typical", func(r *refdata.Row) {
		cell, err := TypicalCell(LiFePO4, r.F("capacityAh"))
		require.NoError(t, err)
		p, err := NewPack(cell, 1, 1)
		require.NoError(t, err)
		quick := p.Resistance(r.F("tempC")).QuickOhm
		call := fmt.Sprintf("typical cell of %v Ah at %v °C, %s", r.F("capacityAh"), r.F("tempC"), r.S("quantity"))
		switch r.S("quantity") {
		case "mohm":
			r.Check("value", quick*1000, call)
		case "most-mohm":
			r.Check("value", math.Max(quick*1000, r.F("value")), call)
		case "most-pack-mohm":
			r.Check("value", math.Max(4*quick*1000, r.F("value")), call)
		case "usable":
			r.Check("value", p.UsableFrac(r.F("tempC")), call)
		case "most-month-pct":
			s, _ := p.Current(p.At(0.5), 0, 30*86400, r.F("tempC"))
			r.Check("value", math.Max((0.5-s.SoC)/0.5*100, r.F("value")), call)
		default:
			t.Fatal(r.S("quantity"))
		}
	})
}

func TestCautionsCarryTheirNumbers(t *testing.T) {
	for _, c := range all {
		s := c.Cautions(4)
		require.GreaterOrEqual(t, len(s), 7, c)
		joined := fmt.Sprint(s)
		for _, want := range []string{"fuse at the pack", "first charge", "swollen", "unequal", "°C", "Local rules", "licensed practice"} {
			require.Contains(t, joined, want, c)
		}
	}
	require.Contains(t, LiFePO4.Cautions(2)[0], "Above 3.65 V a cell, 7.30 V for 2 in series: stop, lower")
	require.Contains(t, NickelMetalHydride.Cautions(4)[0], "0.1 A per Ah")
	require.Contains(t, fmt.Sprint(SealedLead.Cautions(6)), "hydrogen")
	require.NotContains(t, fmt.Sprint(LiFePO4.Cautions(6)), "hydrogen")
	require.Nil(t, LiFePO4.Cautions(0))
	require.Nil(t, Chemistry(0).Cautions(2))
}
