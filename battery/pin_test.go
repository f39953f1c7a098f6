package battery

import (
	"strconv"
	"testing"

	"github.com/stretchr/testify/require"

	"github.com/stationphysics/stationphysics/internal/refdata"
)

// figures collects every figure of a chemistry by name.
func figures(t testing.TB, c Chemistry) map[string]float64 {
	t.Helper()
	l := c.Limits()
	m := map[string]float64{
		"chargeMinC": l.ChargeWindow.MinC, "chargeMaxC": l.ChargeWindow.MaxC, "dischargeMinC": l.DischargeWindow.MinC, "dischargeMaxC": l.DischargeWindow.MaxC,
		"storageMinC": l.StorageWindow.MinC, "storageMaxC": l.StorageWindow.MaxC, "taperLowPerH": l.TaperLow.PerH, "taperHighPerH": l.TaperHigh.PerH,
		"maxChargePerH": l.MaxCharge.PerH, "storageSoC": l.StorageSoC, "selfDischargePctPerMonth": l.SelfDischargePctPerMonth, "coulombic": l.CoulombicEfficiency,
	}
	for name, v := range map[string]Level{"nominal": l.Nominal, "charge": l.Charge, "fill": l.Fill, "float": l.Float, "overcharge": l.Overcharge, "cutoff": l.Cutoff, "safer": l.Safer} {
		m[name+"V"], m[name+"SpreadV"], m[name+"VPerK"] = v.V, v.SpreadV, v.VPerK
	}
	cell, err := TypicalCell(c, 1)
	require.NoError(t, err)
	m["r0OhmAh"], m["r1OhmAh"], m["c1FaradPerAh"], m["coldK"] = cell.R0Ohm, cell.R1Ohm, cell.C1Farad, cell.ColdK
	p, err := NewPack(cell, 1, 1)
	require.NoError(t, err)
	for name, tempC := range map[string]float64{"usableM40": -40, "usableM20": -20, "usableM10": -10, "usable0": 0, "usable25": 25, "usable40": 40} {
		m[name] = p.UsableFrac(tempC)
	}
	for i, q := range c.Curve().pts {
		n := "point" + strconv.Itoa(i)
		m[n+"SoC"], m[n+"V"], m[n+"VPerK"] = q.SoC, q.V, q.VPerK
	}
	return m
}

// Every figure written down twice: a slip of the finger shows also where no
// document at hand backs the figure.
func TestFigures(t *testing.T) {
	all := map[Chemistry]map[string]float64{}
	refdata.Each(t, "battery/figures", func(r *refdata.Row) {
		c := chemistry(t, r.S("chemistry"))
		if all[c] == nil {
			all[c] = figures(t, c)
		}
		name := r.S("figure")
		got, ok := all[c][name]
		require.True(t, ok, name)
		r.Check("value", got, c.String()+" "+name)
		delete(all[c], name)
	})
	for c, left := range all {
		require.Empty(t, left, "%v: figures without a row", c)
	}
	require.Len(t, all, 5)
}
