package sizing

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"github.com/stationphysics/stationphysics/battery"
	"github.com/stationphysics/stationphysics/internal/refdata"
)

func pack(t testing.TB, c battery.Chemistry, ah float64, n int) *battery.Pack {
	t.Helper()
	cell, err := battery.TypicalCell(c, ah)
	require.NoError(t, err)
	p, err := battery.NewPack(cell, n, 1)
	require.NoError(t, err)
	return p
}

func TestPeukert(t *testing.T) {
	refdata.Each(t, "battery/sizing/peukert", func(r *refdata.Row) {
		c, i, k := r.F("capacityAh"), r.F("currentA"), r.F("exponent")
		if r.S("form") == "unit" {
			r.Check("timeH", PeukertUnitH(c, i, k), fmt.Sprintf("PeukertUnitH(%v, %v, %v)", c, i, k))
			return
		}
		r.Check("timeH", PeukertH(c, r.F("ratedH"), i, k), fmt.Sprintf("PeukertH(%v, %v, %v, %v)", c, r.F("ratedH"), i, k))
	})
	// At the rated current both laws give the rated time; an exponent of 1 is no law.
	require.InDelta(t, 20, PeukertH(100, 20, 5, 1.25), 1e-12)
	require.InDelta(t, 4, PeukertH(100, 20, 25, 1), 1e-12)
	// One is the other with the capacity at 1 A.
	unit := 100 * math.Pow(20, 0.2) * math.Pow(100, 0.2) / math.Pow(20, 0.4)
	require.InDelta(t, PeukertH(100, 20, 10, 1.2), PeukertUnitH(unit, 10, 1.2), 1e-9)
	require.InDelta(t, 6.31, PeukertUnitH(100, 10, 1.2), 0.005)
	for _, x := range [][4]float64{{0, 20, 5, 1.2}, {100, 0, 5, 1.2}, {100, 20, 0, 1.2}, {100, 20, 5, 0.9}, {100, 20, 5, 2.1}, {math.NaN(), 20, 5, 1.2}, {100, 20, math.NaN(), 1.2}} {
		require.True(t, math.IsNaN(PeukertH(x[0], x[1], x[2], x[3])))
		require.Error(t, CheckPeukert(x[0], x[1], x[2], x[3]))
	}
	require.True(t, math.IsNaN(PeukertUnitH(100, -5, 1.2)))
}

func TestWorksheet(t *testing.T) {
	refdata.Each(t, "battery/sizing/worksheet", func(r *refdata.Row) {
		n := Need{LoadAh: r.F("loadAh"), Days: r.F("days"), DepthFrac: r.F("depthFrac"), TempFrac: r.F("tempFrac"), Efficiency: r.F("efficiency"), EndOfLifeFrac: r.F("endOfLifeFrac"), CellAh: 3.4}
		s, err := n.Work()
		require.NoError(t, err)
		r.Check("requiredAh", s.RequiredAh, fmt.Sprintf("%+v.Work()", n))
	})
	n := Need{LoadAh: 2, Days: 4, DepthFrac: 0.5, TempFrac: 0.8, Efficiency: 0.9, EndOfLifeFrac: 0.8, MarginFrac: 0.1, CellAh: 10}
	s, err := n.Work()
	require.NoError(t, err)
	want := Sheet{UnadjustedAh: 8, DepthAh: 16, LifeAh: 10, AdjustedAh: 16, TempAh: 16 / 0.72, RequiredAh: 16 / 0.72 * 1.1, Parallel: 3, InstalledAh: 30, DailyDepthFrac: 2 / 0.9 / 30, RateH: 30 / (2 / 0.9 / 24)}
	require.InDelta(t, want.TempAh, s.TempAh, 1e-12)
	require.InDelta(t, want.RequiredAh, s.RequiredAh, 1e-12)
	require.InDelta(t, want.DailyDepthFrac, s.DailyDepthFrac, 1e-12)
	require.InDelta(t, want.RateH, s.RateH, 1e-9)
	s.TempAh, s.RequiredAh, s.DailyDepthFrac, s.RateH = want.TempAh, want.RequiredAh, want.DailyDepthFrac, want.RateH
	require.Equal(t, want, s)
	// The end of life counts where it is the harder one.
	n.DepthFrac, n.EndOfLifeFrac = 0.9, 0.7
	s, err = n.Work()
	require.NoError(t, err)
	require.InDelta(t, 8/0.7, s.AdjustedAh, 1e-12)
	// A whole number of cells is not rounded up for a rounding error.
	n = Need{LoadAh: 1.1, Days: 3, DepthFrac: 1, TempFrac: 1, Efficiency: 1, EndOfLifeFrac: 1, CellAh: 1.1}
	s, err = n.Work()
	require.NoError(t, err)
	require.Equal(t, 3, s.Parallel)
	// One cell is enough for little.
	n.CellAh = 10
	s, err = n.Work()
	require.NoError(t, err)
	require.Equal(t, 1, s.Parallel)
	for text, f := range map[string]func(n *Need){
		"daily load 0":          func(n *Need) { n.LoadAh = 0 },
		"days of autonomy":      func(n *Need) { n.Days = 0 },
		"depth of discharge 80": func(n *Need) { n.DepthFrac = 80 },
		"temperature factor 70": func(n *Need) { n.TempFrac = 70 },
		"efficiency NaN":        func(n *Need) { n.Efficiency = math.NaN() },
		"remaining share":       func(n *Need) { n.EndOfLifeFrac = 0 },
		"design margin 10":      func(n *Need) { n.MarginFrac = 10 },
		"milliampere-hours?":    func(n *Need) { n.CellAh = 3400 },
	} {
		bad := Need{LoadAh: 2, Days: 4, DepthFrac: 0.5, TempFrac: 0.8, Efficiency: 0.9, EndOfLifeFrac: 0.8, CellAh: 10}
		f(&bad)
		_, err := bad.Work()
		require.ErrorContains(t, err, text)
	}
}

// Autonomy against the same discharge stepped through by the minute.
func TestAutonomyAgainstSteps(t *testing.T) {
	for _, c := range []battery.Chemistry{battery.LiFePO4, battery.SealedLead, battery.LithiumIon} {
		n := map[battery.Chemistry]int{battery.LiFePO4: 2, battery.SealedLead: 3, battery.LithiumIon: 2}[c]
		for _, tempC := range []float64{25, 0, -15} {
			p := pack(t, c, 3.4, n)
			a, err := Autonomy(Dark{Pack: p, StartSoC: 0.95, LoadWh: 1.2, TempC: tempC, HealthFrac: 1})
			require.NoError(t, err)
			ctl := p.DefaultControl(p.OpenCircuitV(0.9, 25))
			ctl.CutoffV = 0
			r, err := battery.NewRun(p, ctl)
			require.NoError(t, err)
			s, days := p.At(0.95), 0.0
			for range 60 * 1440 {
				var f battery.Flow
				s, f = r.Step(s, -1.2/24, 60, tempC)
				days += f.OutWh / 1.2
				if f.Stop != battery.NoStop {
					break
				}
			}
			require.InEpsilon(t, days, a.Days, 1e-3, "%v %v", c, tempC)
		}
	}
}

// What comes out by rate and cold, against the same discharge in steps of a second.
func TestDelivered(t *testing.T) {
	p := pack(t, battery.LiFePO4, 1.5, 2)
	for _, x := range []struct{ i, cut, tempC float64 }{{0.3, 5, 25}, {3, 5, 25}, {3, 5.8, -10}, {0.1, 5, -20}, {6, 6, 0}} {
		d, err := Delivered(p, 1, x.i, x.cut, x.tempC)
		ah, h := d.ChargeAh, d.TimeH
		require.NoError(t, err)
		require.InDelta(t, ah, x.i*h, 1e-12)
		s, got := p.At(1), 0.0
		for {
			n, f := p.Current(s, -x.i, 1, x.tempC)
			if f.EndV < x.cut || n.SoC < 1-p.UsableFrac(x.tempC) {
				break
			}
			s = n
			got += f.OutAh
		}
		require.InDelta(t, got, ah, x.i/3600*1.01, "%+v", x)
	}
	// The faster and the colder, the less.
	d, err := Delivered(p, 1, 0.15, 5, 25)
	slow := d.ChargeAh
	require.NoError(t, err)
	d, err = Delivered(p, 1, 4.5, 5, 25)
	fast := d.ChargeAh
	require.NoError(t, err)
	d, err = Delivered(p, 1, 4.5, 5, -10)
	cold := d.ChargeAh
	require.NoError(t, err)
	require.True(t, slow > fast && fast > cold)
	require.InDelta(t, 1.5, slow, 0.02)
	for _, none := range [][4]float64{{1, 3, 7.2, 25}, {0.4, 0.1, 5, -20}, {0, 0.1, 5, 25}} {
		d, err := Delivered(p, none[0], none[1], none[2], none[3])
		require.NoError(t, err)
		require.Zero(t, d)
	}
	// Over months the cells lose a share by themselves: of the charge that is there the
	// current gets its part of current and leakage.
	for _, tempC := range []float64{25, 35} {
		cell := p.Cell()
		leakA := cell.SelfDischargePctPerMonth / 100 * cell.CapacityAh / 720 * math.Exp2((tempC-25)/10)
		d, err := Delivered(p, 0.9, 1e-3, 0, tempC)
		require.NoError(t, err)
		charge := (0.9 - 1 + p.UsableFrac(tempC)) * p.CapacityAh()
		require.InEpsilon(t, charge*1e-3/(1e-3+leakA), d.ChargeAh, 1e-6, "the table of the leakage; by hand: %g of %g A leak", leakA, 1e-3+leakA)
		require.Greater(t, leakA, 2e-5)
	}
	// A microampere is still flowing after 347 days.
	d, err = Delivered(p, 1, 1e-6, 5, -20)
	require.NoError(t, err)
	require.InEpsilon(t, 3e7/3600, d.TimeH, 1e-12)
	type args struct {
		p                    *battery.Pack
		soc, i, cutoff, temp float64
	}
	for text, x := range map[string]args{
		"number of packs": {nil, 1, 1, 5, 25},
		"percent?":        {p, 80, 1, 5, 25},
		"current 0":       {p, 1, 0, 5, 25},
		"cut-off voltage": {p, 1, 1, -5, 25},
		"kelvins?":        {p, 1, 1, 5, 298},
	} {
		d, err := Delivered(x.p, x.soc, x.i, x.cutoff, x.temp)
		ah, h := d.ChargeAh, d.TimeH
		require.ErrorContains(t, err, text)
		require.Equal(t, [2]float64{0, 0}, [2]float64{ah, h}, text)
	}
}

func TestAutonomy(t *testing.T) {
	p := pack(t, battery.LiFePO4, 1.5, 2)
	d := Dark{Pack: p, StartSoC: 1, LoadWh: 0.9, TempC: -10, HealthFrac: 1}
	a, err := Autonomy(d)
	require.NoError(t, err)
	require.InDelta(t, 0.664*1.5, a.UsableAh, 1e-12)
	require.InDelta(t, a.UsableAh*a.MeanV, a.UsableWh, 1e-12)
	require.InDelta(t, 0.025/30*1.5*math.Exp2(-3.5), a.SelfAhPerDay, 1e-15)
	require.InDelta(t, a.UsableWh/(0.9+a.SelfAhPerDay*a.MeanV), a.Days, 1e-12)
	settled := p.Resistance(-10).SettledOhm
	require.InDelta(t, settled*0.9/24/a.MeanV, a.SagV, 1e-9)
	require.True(t, a.MeanV > 6.4 && a.MeanV < 6.7)
	// Each of age, cold, load, reserve and a lower start takes days away.
	for _, worse := range []func(x *Dark){
		func(x *Dark) { x.HealthFrac = 0.8 }, func(x *Dark) { x.TempC = -20 }, func(x *Dark) { x.LoadWh = 4.2 }, func(x *Dark) { x.ReserveFrac = 0.4 }, func(x *Dark) { x.StartSoC = 0.8 },
	} {
		x := d
		worse(&x)
		b, err := Autonomy(x)
		require.NoError(t, err)
		require.Less(t, b.Days, a.Days)
	}
	// The reserve is of the label: with four fifths left, 40 % of the label are half of what is there.
	x := d
	x.TempC, x.HealthFrac, x.ReserveFrac = 25, 0.8, 0.4
	b, err := Autonomy(x)
	require.NoError(t, err)
	require.InDelta(t, 0.5*0.8*1.5, b.UsableAh, 1e-12)
	// Nothing left, and more than it can give.
	x = d
	x.StartSoC = 0.3
	b, err = Autonomy(x)
	require.NoError(t, err)
	require.Zero(t, b.Days)
	// Just below the most the pack can give, open²/(4 R), it stands at half its
	// open voltage and a little: with 0.36 V² to spare at that and 0.3 V.
	x = d
	x.LoadWh = 1e-4
	b, err = Autonomy(x)
	require.NoError(t, err)
	open := b.MeanV
	x.LoadWh = (open*open - 0.36) / (4 * settled) * 24
	b, err = Autonomy(x)
	require.NoError(t, err)
	require.InDelta(t, open/2+0.3, b.MeanV, 1e-3)
	x = d
	x.LoadWh = 24 * 5000
	_, err = Autonomy(x)
	require.Error(t, err)
	x.LoadWh = 24 * 300
	x.TempC = -20
	b, err = Autonomy(x)
	require.NoError(t, err)
	require.Zero(t, b.Days)
	require.Positive(t, b.UsableAh)
	for text, f := range map[string]func(d *Dark){
		"number of packs 0 is outside 1..1": func(d *Dark) { d.Pack = nil },
		"state of charge at dusk":           func(d *Dark) { d.StartSoC = 80 },
		"daily load NaN":                    func(d *Dark) { d.LoadWh = math.NaN() },
		"kelvins?":                          func(d *Dark) { d.TempC = 263 },
		"remaining share":                   func(d *Dark) { d.HealthFrac = 80 },
		"share kept in reserve 20":          func(d *Dark) { d.ReserveFrac = 20 },
	} {
		x := d
		f(&x)
		_, err := Autonomy(x)
		require.ErrorContains(t, err, text)
	}
}

func TestFuse(t *testing.T) {
	p := pack(t, battery.LiFePO4, 3.4, 4)
	c := FuseCase{Pack: p, LoadA: 1.5, WireAmpsA: 5, WireOhm: 0.02, RatingsA: BladeRatingsA(), WarmestC: 45, DeratingFrac: 0.75}
	f, err := Fuse(c)
	require.NoError(t, err)
	require.Equal(t, 2.0, f.RatingA)
	require.InDelta(t, 2, f.LeastA, 1e-12)
	require.Equal(t, 5.0, f.MostA)
	quick := p.Resistance(45).QuickOhm
	require.InDelta(t, p.OpenCircuitV(1, 45)/(quick+0.02), f.ShortA, 1e-9)
	require.InDelta(t, f.ShortA/2, f.ShortRatio, 1e-9)
	require.Equal(t, []float64{1, 2, 3, 4, 5, 7.5, 10, 15, 20, 25, 30, 40}, BladeRatingsA())
	c.WireAmpsA = 2
	f, err = Fuse(c)
	require.NoError(t, err)
	require.Equal(t, 2.0, f.RatingA, "the fuse may have the rating of the wire")
	c.WireAmpsA, c.LoadA = 5, 0.7
	f, err = Fuse(c)
	require.NoError(t, err)
	require.Equal(t, 1.0, f.RatingA)
	require.InDelta(t, f.ShortA, f.ShortRatio, 1e-12)
	c.LoadA = 1.5
	c.RatingsA = []float64{10, 5, 4, 3}
	f, err = Fuse(c)
	require.NoError(t, err)
	require.Equal(t, 3.0, f.RatingA, "the smallest, in whatever order")
	// The wire is too thin for any fuse that carries the load.
	c.WireAmpsA = 2.5
	f, err = Fuse(c)
	require.NoError(t, err)
	require.Zero(t, f.RatingA)
	require.Zero(t, f.ShortRatio)
	for text, g := range map[string]func(c *FuseCase){
		"number of packs":   func(c *FuseCase) { c.Pack = nil },
		"milliamperes?":     func(c *FuseCase) { c.LoadA = 1500 },
		"current the wire":  func(c *FuseCase) { c.WireAmpsA = 0 },
		"milliohms?":        func(c *FuseCase) { c.WireOhm = 20 },
		"kelvins?":          func(c *FuseCase) { c.WarmestC = 318 },
		"share of a fuse's": func(c *FuseCase) { c.DeratingFrac = 75 },
		"fuse rating -1":    func(c *FuseCase) { c.RatingsA = []float64{-1} },
	} {
		x := c
		g(&x)
		_, err := Fuse(x)
		require.ErrorContains(t, err, text)
	}
}

func TestCold(t *testing.T) {
	// Six hours: night, two frozen with sun, one at 3 °C that is too fast, one fine, one hot.
	w := []float64{0, 2, 1, 3, 3, 4}
	temp := []float64{-10, -5, -0.1, 3, 20, 46}
	s, err := ColdHours(battery.LiFePO4, 9.6, w, temp)
	require.NoError(t, err)
	require.Equal(t, ColdSum{ColdH: 2, HotH: 1, TooFastH: 1, BlockedWh: 7, OfferedWh: 13, CostFrac: 7. / 13, ColdestC: -5, WindowMinC: 0, WindowMaxC: 45}, s)
	// At the ends of the window it is not blocked.
	s, err = ColdHours(battery.LiFePO4, 9.6, []float64{1, 1}, []float64{0, 45})
	require.NoError(t, err)
	require.Zero(t, s.BlockedWh)
	require.Zero(t, s.TooFastH, "1 W is less than a fifth of 9.6 Wh")
	require.True(t, math.IsNaN(s.ColdestC))
	s, err = ColdHours(battery.LiFePO4, 9.6, []float64{0.3, 0.1}, []float64{-1, 1})
	require.NoError(t, err)
	require.InDelta(t, 0.75, s.CostFrac, 1e-12, "little is a share all the same")
	s, err = ColdHours(battery.LiFePO4, 9.6, nil, nil)
	require.NoError(t, err)
	require.Zero(t, s.CostFrac)
	// In smaller steps it is the same count.
	n, err := NewCold(battery.LiFePO4)
	require.NoError(t, err)
	for i, p := range w {
		for range 60 {
			n.Add(p, 9.6, temp[i], 60)
		}
	}
	m := n.Sum()
	require.InDelta(t, 2, m.ColdH, 1e-9)
	require.InDelta(t, 7, m.BlockedWh, 1e-9)
	require.InDelta(t, 1, m.TooFastH, 1e-9)
	require.Zero(t, testing.AllocsPerRun(10, func() { n.Add(1, 9.6, -5, 60) }))
	n.Add(math.NaN(), 9.6, 5, 60)
	require.True(t, math.IsNaN(n.Sum().BlockedWh) && math.IsNaN(n.Sum().ColdH) && math.IsNaN(n.Sum().CostFrac), "a cost of 0 would be a result")
	for _, add := range [][4]float64{{math.Inf(1), 9.6, 5, 60}, {1, math.Inf(1), 5, 60}, {1, 9.6, math.Inf(-1), 60}, {0, 9.6, 5, math.Inf(1)}, {1, 9.6, 5, -60}} {
		n, err := NewCold(battery.LiFePO4)
		require.NoError(t, err)
		n.Add(add[0], add[1], add[2], add[3])
		require.True(t, math.IsNaN(n.Sum().ColdH) && math.IsNaN(n.Sum().CostFrac), add)
	}
	_, err = NewCold(0)
	require.ErrorContains(t, err, "unknown chemistry")
	_, err = ColdHours(0, 9.6, nil, nil)
	require.Error(t, err)
	_, err = ColdHours(battery.LiFePO4, 9.6, w, temp[:3])
	require.ErrorContains(t, err, "one temperature for each power")
	_, err = ColdHours(battery.LiFePO4, 9.6, []float64{1}, []float64{273})
	require.ErrorContains(t, err, "kelvins?")
}

func BenchmarkAutonomy(b *testing.B) {
	p := pack(b, battery.LiFePO4, 1.5, 2)
	b.ReportAllocs()
	for b.Loop() {
		_, _ = Autonomy(Dark{Pack: p, StartSoC: 1, LoadWh: 0.9, TempC: -10, HealthFrac: 1})
	}
}
