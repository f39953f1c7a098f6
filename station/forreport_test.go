package station

import (
	"errors"
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"github.com/stationphysics/stationphysics/battery/trim"
)

func compiled(t *testing.T, d *Description) *Model {
	t.Helper()
	m, err := Compile(d)
	require.NoError(t, err)
	return m
}

// wants checks that an error names the missing lines.
func wants(t *testing.T, err error, keys ...string) {
	t.Helper()
	var miss *MissingError
	require.True(t, errors.As(err, &miss), "%v", err)
	for _, k := range keys {
		require.Contains(t, miss.Keys, k)
	}
}

// What the pictures are drawn from is what the verdicts are made of.
func TestPictureDataAgreeWithTheVerdicts(t *testing.T) {
	d := demo(t)
	m, r := compiled(t, d), review(t, d)

	cells, err := m.Cells()
	require.NoError(t, err)
	f := find(t, r, "cell voltage at the charger's setting")
	require.InDelta(t, f.Value, cells.MeanV, 1e-12)
	require.InDelta(t, f.Limit, cells.Trim.LimitCellV, 1e-12)
	require.Equal(t, f.Action, cells.Trim.Instruction())
	require.InDelta(t, find(t, r, "over-voltage trip").Value, cells.TripV, 0)
	require.InDelta(t, 3.6, cells.ReleaseV, 0)
	// 12.6 V with 0.5 % of meter, 2 digits of 0.01 V and 1 % of drift over
	// three cells, the highest 0.03 V above the mean.
	require.InDelta(t, (12.6*1.015+0.02)/3+0.03, cells.WorstV, 1e-9)

	held, err := m.Held()
	require.NoError(t, err)
	require.InDelta(t, find(t, r, "coldest open-circuit voltage").Value, held.Window.ColdestV, 1e-9)
	require.InDelta(t, 16.8, held.ChargerV, 0)
	require.InDelta(t, 28, held.MostV, 0)
	require.InDelta(t, -23, held.LowC, 0)
	require.InDelta(t, 0.39, held.PanelV-held.ChargerV, 0.03, "the drop of 0.42 V at 1 A, at 0.56 A")

	survey, left, err := m.Survey()
	require.NoError(t, err)
	require.Empty(t, left)
	lose := find(t, r, "single faults of the supply that lose something")
	require.Equal(t, lose.Unit, "of "+itoa(len(survey.Rows)-1))

	site, skyline, zone, err := m.Place()
	require.NoError(t, err)
	require.InDelta(t, 49.3, site.LatDeg(), 0)
	require.InDelta(t, 24, skyline.ElevationDeg(180), 1e-9)
	_, offset := r.Year.LowestAt.In(zone).Zone()
	require.Equal(t, 3600, offset)
}

func itoa(n int) string {
	if n > 9 {
		return itoa(n/10) + itoa(n%10)
	}
	return string(rune('0' + n))
}

func TestHotDayHoldsTheHottestHour(t *testing.T) {
	d := demo(t)
	m, r := compiled(t, d), review(t, d)
	w, err := m.Synthetic(1)
	require.NoError(t, err)
	sun, err := m.Sunlight(w)
	require.NoError(t, err)
	day, err := m.HotDay(sun, r.Year)
	require.NoError(t, err)
	require.Len(t, day.Hours, 24)
	require.Equal(t, []string{"logic regulator"}, day.Names)
	hottest := math.Inf(-1)
	for i, h := range day.Hours {
		require.Equal(t, r.Year.HottestBoxAt.YearDay(), h.Start.YearDay())
		require.Equal(t, i, h.Start.Hour())
		require.GreaterOrEqual(t, h.BoxC, h.AirC, "a box is not cooler than the air it balances with")
		require.InDelta(t, h.BoxC+day.RiseK[0], h.JunctionC[0], 1e-9)
		hottest = math.Max(hottest, h.BoxC)
	}
	require.InDelta(t, r.Year.HottestBoxC, hottest, 3, "the run counts what the pack refuses, the day takes it all")
	f := find(t, r, "junction of logic regulator")
	require.InDelta(t, f.Value-r.Year.HottestBoxC, day.RiseK[0], 1e-9)
	require.InDelta(t, f.Limit, day.LimitC[0], 0)
	require.InDelta(t, day.HeatW[0]*120, day.RiseK[0], 1e-9, "15 + 105 K/W")
	require.InDelta(t, 60, day.MostC, 0)

	// Without a box the junctions stand above the air itself.
	d.Box = nil
	m = compiled(t, d)
	day, err = m.HotDay(sun, review(t, d).Year)
	require.NoError(t, err)
	require.True(t, math.IsNaN(day.Hours[0].BoxC))
	require.True(t, math.IsNaN(day.MostC))
	require.InDelta(t, day.Hours[0].AirC+day.RiseK[0], day.Hours[0].JunctionC[0], 1e-9)

	d.Regulators[0].ThetaCAKPerW = nil
	_, err = compiled(t, d).HotDay(sun, r.Year)
	wants(t, err, "box.area_m2", "regulator[0].case_to_air_k_per_w")
	d.Panel = nil
	_, err = compiled(t, d).HotDay(sun, r.Year)
	wants(t, err, "panel.vmp_v")
}

func TestPictureDataNameWhatIsMissing(t *testing.T) {
	m := compiled(t, &Description{})
	_, _, _, err := m.Place()
	wants(t, err, "site.latitude_deg", "site.longitude_deg", "site.height_m")
	_, err = m.Held()
	wants(t, err, "panel.vmp_v", "charger.hold_v", "climate.record_low_c", "climate.record_high_c")
	_, err = m.Cells()
	wants(t, err, "pack.chemistry", "pack.cells", "charger.set_v")
	_, _, err = m.Survey()
	wants(t, err, "panel", "load")

	d := demo(t)
	d.Charger.InputMaxV, d.Pack.TripOverV, d.Pack.ReleaseV = nil, nil, nil
	m = compiled(t, d)
	held, err := m.Held()
	require.NoError(t, err)
	require.True(t, math.IsNaN(held.MostV))
	cells, err := m.Cells()
	require.NoError(t, err)
	require.True(t, math.IsNaN(cells.TripV) && math.IsNaN(cells.ReleaseV))

	d.Climate.RecordLowC, d.Climate.RecordHighC = Of(30.0), Of(-20.0)
	_, err = compiled(t, d).Held()
	require.EqualError(t, err, "description: climate: record low 30 °C and record high -20 °C contradict each other: the record low is below the record high")
	d.Climate.GlobalKWhPerM2 = slices.Repeat([]float64{12}, 12)
	_, err = compiled(t, d).Synthetic(1)
	require.ErrorContains(t, err, "description: climate: daily global irradiation in January 12 kWh/m² is outside 0..")

	d.Pack.Chemistry = "nimh"
	_, err = compiled(t, d).Cells()
	require.ErrorIs(t, err, trim.ErrNoChargeVoltage)
}

// A diode at the pack takes its taper drop off the cells' share.
func TestCellsBehindADiode(t *testing.T) {
	d := demo(t)
	d.Diode.Place = "pack"
	m := compiled(t, d)
	cells, err := m.Cells()
	require.NoError(t, err)
	drop := cells.Trim.Spec.DiodeTaperV
	require.Positive(t, drop)
	require.InDelta(t, (12.6-drop)/3, cells.MeanV, 1e-12)
	held, err := m.Held()
	require.NoError(t, err)
	require.Equal(t, held.ChargerV, held.PanelV, "no diode between panel and charger")
}
