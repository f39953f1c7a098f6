package blocking

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"github.com/stationphysics/stationphysics/internal/limit/limittest"
	"github.com/stationphysics/stationphysics/internal/refdata"
)

func TestSheetLeakage(t *testing.T) {
	refdata.Each(t, "power/blocking/leakage", func(r *refdata.Row) {
		l, err := NewLeakage(LeakagePoint{r.F("coldC"), r.F("coldA")}, LeakagePoint{r.F("hotC"), r.F("hotA")})
		require.NoError(t, err)
		r.Check("currentA", l.CurrentA(r.F("junctionC")), fmt.Sprintf("CurrentA(%g)", r.F("junctionC")))
	})
}

func TestPublishedLoss(t *testing.T) {
	refdata.Each(t, "power/blocking/loss", func(r *refdata.Row) {
		l, err := Of(fixed(r.F("dropV")), Case{LineV: 7, ChargeA: r.F("chargeA"), ChargeH: 5, PackV: 6.6, NightA: r.F("nightA"), NightH: r.F("nightH")})
		require.NoError(t, err)
		r.Check("lossW", l.LossW, "LossW")
		r.Check("nightAh", l.NightLossAh, "NightLossAh")
		require.InDelta(t, r.F("lossW")*5, l.DayLossWh, 1e-12)
		require.InDelta(t, r.F("nightAh")*6.6, l.NightLossWh, 1e-12)
		require.InDelta(t, l.DayLossWh+l.NightLossWh, l.TotalWh(), 1e-15)
		require.InDelta(t, r.F("dropV")/7, l.LossFrac, 1e-15)
		require.Equal(t, r.F("dropV"), l.DropV)
	})
}

type fixed float64

func (f fixed) VoltageV(float64) float64 { return float64(f) }

func TestLeakageLaw(t *testing.T) {
	l, err := NewLeakage(LeakagePoint{25, 1e-3}, LeakagePoint{100, 6e-3}, LeakagePoint{125, 12e-3})
	require.NoError(t, err)
	// Through all points, straight in ln I against 1/T between.
	for _, p := range []LeakagePoint{{25, 1e-3}, {100, 6e-3}, {125, 12e-3}} {
		require.InEpsilon(t, p.CurrentA, l.CurrentA(p.JunctionC), 1e-12)
	}
	slope := func(a, b float64) float64 {
		return math.Log(l.CurrentA(b)/l.CurrentA(a)) / (1/(b+273.15) - 1/(a+273.15))
	}
	require.InEpsilon(t, slope(25, 60), slope(60, 100), 1e-9)
	require.InEpsilon(t, slope(-90, -20), slope(60, 100), 1e-9, "extrapolated downwards on the first segment")
	require.InEpsilon(t, slope(101, 110), slope(110, 125), 1e-9)
	last := 0.0
	for c := -90.0; c <= 125; c++ {
		require.Greater(t, l.CurrentA(c), last)
		last = l.CurrentA(c)
	}
	for _, v := range []float64{l.CurrentA(125.1), l.CurrentA(-90.1), l.CurrentA(math.NaN()), Leakage{}.CurrentA(25)} {
		require.True(t, math.IsNaN(v))
	}
}

func TestLeakageRefuses(t *testing.T) {
	_, err := NewLeakage(LeakagePoint{25, 1e-3})
	limittest.RefusesRange(t, err, "number of leakage points")
	sixteen := make([]LeakagePoint, 16)
	for k := range sixteen {
		sixteen[k] = LeakagePoint{float64(k), 1e-6 * float64(k+1)}
	}
	_, err = NewLeakage(sixteen...)
	require.NoError(t, err)
	_, err = NewLeakage(make([]LeakagePoint, 17)...)
	require.EqualError(t, err, "number of leakage points 17 is outside 2..16")
	_, err = NewLeakage(LeakagePoint{298, 1e-3}, LeakagePoint{125, 1e-2})
	limittest.RefusesRange(t, err, "junction temperature")
	_, err = NewLeakage(LeakagePoint{25, 0}, LeakagePoint{125, 1e-2})
	limittest.RefusesRange(t, err, "reverse current")
	_, err = NewLeakage(LeakagePoint{25, 1e-3}, LeakagePoint{125, 10})
	limittest.RefusesRange(t, err, "reverse current")
	require.ErrorContains(t, err, "milliamperes")
	_, err = NewLeakage(LeakagePoint{125, 1e-3}, LeakagePoint{125, 1e-2})
	limittest.RefusesConflict(t, err, "rising temperature")
	_, err = NewLeakage(LeakagePoint{25, 1e-2}, LeakagePoint{125, 1e-2})
	limittest.RefusesConflict(t, err, "swapped")
}

func TestIdealDiode(t *testing.T) {
	d, err := NewIdealDiode(IdealDiodeSpec{HoldV: 0.02, OnOhm: 0.05, OwnA: 5e-6})
	require.NoError(t, err)
	require.Equal(t, 0.0, d.VoltageV(0))
	require.Equal(t, 0.02, d.VoltageV(0.1))
	require.InDelta(t, 0.02, d.VoltageV(0.4), 1e-15)
	require.InDelta(t, 0.05, d.VoltageV(1), 1e-15)
	for _, i := range []float64{-1, math.NaN(), math.Inf(1)} {
		require.True(t, math.IsNaN(d.VoltageV(i)))
	}
	for quantity, s := range map[string]IdealDiodeSpec{
		"regulated forward drop": {HoldV: 20}, "on-resistance": {OnOhm: -1}, "driver current": {OwnA: 5},
	} {
		_, err := NewIdealDiode(s)
		limittest.RefusesRange(t, err, quantity)
	}
}

func TestLossRefuses(t *testing.T) {
	good := Case{LineV: 7, ChargeA: 0.25, ChargeH: 5, PackV: 6.6, NightA: 1e-3, NightH: 14}
	l, err := Of(nil, good)
	require.NoError(t, err)
	require.Equal(t, 0.0, l.DropV, "a wire")
	require.InDelta(t, 0.014, l.NightLossAh, 1e-15)
	for quantity, change := range map[string]func(*Case){
		"line voltage": func(c *Case) { c.LineV = 0 }, "charging current": func(c *Case) { c.ChargeA = 250 }, "hours of charging": func(c *Case) { c.ChargeH = 25 },
		"pack voltage": func(c *Case) { c.PackV = math.NaN() }, "current by night": func(c *Case) { c.NightA = -1 }, "hours of night": func(c *Case) { c.NightH = -1 },
	} {
		c := good
		change(&c)
		_, err := Of(nil, c)
		limittest.RefusesRange(t, err, quantity)
	}
	c := good
	c.ChargeH, c.NightH = 12, 13
	_, err = Of(nil, c)
	limittest.RefusesConflict(t, err, "fit into a day")
	c.NightH = 12
	_, err = Of(nil, c)
	require.NoError(t, err)
	for _, drop := range []float64{7, math.NaN(), -0.1} {
		_, err = Of(fixed(drop), good)
		limittest.RefusesConflict(t, err, "more than the part drops")
	}
}

func FuzzLeakage(f *testing.F) {
	f.Add(25.0)
	f.Add(-90.0)
	f.Add(math.NaN())
	f.Fuzz(func(t *testing.T, c float64) {
		l, err := NewLeakage(LeakagePoint{25, 1e-3}, LeakagePoint{125, 1e-2})
		if err != nil {
			t.Fatal(err)
		}
		got := l.CurrentA(c)
		if math.IsNaN(got) == (c >= -90 && c <= 125) || got > 0.01*(1+1e-12) || got < 0 {
			t.Fatalf("CurrentA(%g) = %g", c, got)
		}
	})
}

func BenchmarkLeakage(b *testing.B) {
	l, err := NewLeakage(LeakagePoint{25, 1e-3}, LeakagePoint{125, 1e-2})
	if err != nil {
		b.Fatal(err)
	}
	b.ReportAllocs()
	x := 0.0
	for b.Loop() {
		x += l.CurrentA(60)
	}
}

// BenchmarkExp is the yardstick.
func BenchmarkExp(b *testing.B) {
	x := 0.5
	for b.Loop() {
		x = math.Exp(-x)
	}
}
