package station

import (
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"github.com/stationphysics/stationphysics/battery"
	"github.com/stationphysics/stationphysics/internal/refdata"
)

// bench is a station with nothing that varies: a linear regulator whose current
// is that of its load, a pack in the shade, no box.
func benchStation() *Description {
	return &Description{
		Site:       &Site{LatitudeDeg: Of(49.3), LongitudeDeg: Of(9.4), HeightM: Of(600.0)},
		Panel:      &Panel{VmpV: Of(17.8), ImpA: Of(0.56), VocV: Of(21.7), IscA: Of(0.61), Cells: Of(36), TiltDeg: Of(40.0), FacingDeg: Of(180.0)},
		Charger:    &Charger{HoldV: Of(16.8), SetV: Of(10.5), LimitA: Of(1.0), IdleA: Of(0.0)},
		Pack:       &Pack{Chemistry: "LiFePO4", Cells: Of(3), CapacityAh: Of(6.0), Place: "outside", TripUnderV: Of(0.5)},
		Regulators: []*Regulator{{Name: "r", Kind: "linear", From: "pack", Rail: "3V3", OutV: Of(3.3), InputMaxV: Of(20.0), DropoutV: Of(0.3), IdleA: Of(0.001)}},
		Loads:      []*Load{{Name: "l", Rail: "3V3", AsleepA: Of(0.049)}},
	}
}

// steady makes a sunlight of n equal hours.
func steady(n int, cellsWPerM2, airC float64) *Sunlight {
	w := &Weather{Source: "steady", Step: time.Hour, Steps: make([]WeatherStep, n)}
	s := &Sunlight{weather: w, cellsWPerM2: make([]float64, n), squareWPerM2: make([]float64, n), LightAboveLx: map[float64]float64{}}
	start := time.Date(2025, 1, 1, 0, 0, 0, 0, time.UTC)
	for i := range n {
		w.Steps[i] = WeatherStep{Start: start.Add(time.Duration(i) * time.Hour), AirC: airC, WindMPerS: 1}
		s.cellsWPerM2[i] = cellsWPerM2
	}
	s.month = w.months()
	return s
}

func run(t *testing.T, d *Description, sun *Sunlight) *Year {
	t.Helper()
	m, err := Compile(d)
	require.NoError(t, err)
	y, err := m.Run(sun, 1)
	require.NoError(t, err)
	return y
}

// Without sun the pack lasts its usable charge over the current, 6 Ah over
// 50 mA, less what it loses by itself: exactly, for the current of a linear
// regulator does not depend on the voltage.
func TestNoSunLastsUsableChargeOverCurrent(t *testing.T) {
	y := run(t, benchStation(), steady(300, 0, 25))
	served := y.SpanH - y.LostH
	cell, err := battery.TypicalCell(battery.LiFePO4, 6)
	require.NoError(t, err)
	pack, err := battery.NewPack(cell, 3, 1)
	require.NoError(t, err)
	c := pack.DefaultControl(10.5)
	c.CutoffV = 1.5
	alone, err := battery.NewRun(pack, c)
	require.NoError(t, err)
	// One single step of the pack instead of hours: its charge out over the
	// current is the time it lasts.
	_, flow := alone.Draw(pack.At(1), 0.05, 300*3600, 25)
	require.Equal(t, battery.Empty, flow.Stop)
	require.InEpsilon(t, flow.OutAh/0.05, served, 1e-9)
	// And by hand: the usable charge bounds it, and self-discharge of 3 % a
	// month at most is what may be missing.
	usable := 6 * pack.UsableFrac(25)
	require.Less(t, served, usable/0.05)
	require.Greater(t, served, usable/0.05*(1-0.03*300/720)-1)
	require.Equal(t, 0, y.RestartCount)
	require.InDelta(t, 300-served, y.LongestLostH, 1e-9)
	require.Equal(t, y.Months[0].LostH, y.LostH)
}

// Under a constant sun above the need the pack fills and service never stops;
// what is taken in the end is what the loads, the charger and self-discharge
// need.
func TestConstantSunConstantLoad(t *testing.T) {
	d := benchStation()
	y := run(t, d, steady(2000, 600, 25))
	require.Zero(t, y.LostH)
	require.InDelta(t, 1, y.SoC[1999], 0.02)
	// Served: 49 mA at 3.3 V, exactly.
	require.InEpsilon(t, 0.049*3.3*2000, y.Energy.ServedWh, 1e-9)
	// The charger's loss is its share of what goes through it.
	require.InEpsilon(t, 0.15*y.Energy.TakenWh, y.Energy.ChargerWh, 1e-9)
	require.Greater(t, y.Energy.RefusedWh, 0.0)
}

func TestEnergyCloses(t *testing.T) {
	for name, d := range map[string]*Description{"bench": benchStation(), "demo": demo(t)} {
		for _, seed := range []uint64{1, 2} {
			m, err := Compile(d)
			require.NoError(t, err)
			if d.Climate == nil {
				d.Climate = demo(t).Climate
				m, err = Compile(d)
				require.NoError(t, err)
			}
			w, err := m.Synthetic(seed)
			require.NoError(t, err)
			sun, err := m.Sunlight(w)
			require.NoError(t, err)
			y, err := m.Run(sun, seed)
			require.NoError(t, err)
			// 1e-9 of the year's energy: the sum of 8760 rounded terms.
			require.LessOrEqual(t, math.Abs(y.Energy.ResidualWh()), 1e-9*y.Energy.TakenWh, name)
			sum := 0.0
			for i := range y.Months {
				e := &y.Months[i].Energy
				require.LessOrEqual(t, math.Abs(e.ResidualWh()), 1e-9*y.Energy.TakenWh, name)
				require.GreaterOrEqual(t, e.RefusedWh, -1e-9, name)
				require.GreaterOrEqual(t, e.RegulatorWh, -1e-9, name)
				require.GreaterOrEqual(t, e.ServedWh, 0.0, name)
				require.LessOrEqual(t, e.OfferedWh, e.PossibleWh*(1+1e-12), name)
				sum += y.Months[i].SpanH
			}
			require.InDelta(t, 8760, sum, 1e-6)
			require.GreaterOrEqual(t, y.Energy.PackWh, 0.0, name)
			require.InDelta(t, y.Energy.OfferedWh, y.Energy.TakenWh+y.Energy.RefusedWh, 1e-6)
		}
	}
}

// More panel never gives less service, more load never more.
func TestServiceIsMonotone(t *testing.T) {
	d := demo(t)
	last := math.Inf(1)
	for _, strings := range []int{1, 2, 4, 8} {
		d.Panel.Parallel = Of(strings)
		d.Charger.LimitA = Of(float64(strings))
		y := runSynthetic(t, d, 3)
		require.LessOrEqual(t, y.LostH, last+1e-9, "%d strings", strings)
		last = y.LostH
	}
	d = demo(t)
	last = -1
	for _, a := range []float64{0.002, 0.01, 0.03, 0.06} {
		d.Loads[0].AsleepA = Of(a)
		d.Loads[0].AwakeA, d.Loads[0].AwakeS, d.Loads[0].PeakA, d.Loads[0].PeakS = nil, nil, nil, nil
		y := runSynthetic(t, d, 3)
		require.GreaterOrEqual(t, y.LostH, last-1e-9, "%g A", a)
		last = y.LostH
	}
}

func runSynthetic(t *testing.T, d *Description, seed uint64) *Year {
	t.Helper()
	m, err := Compile(d)
	require.NoError(t, err)
	w, err := m.Synthetic(seed)
	require.NoError(t, err)
	sun, err := m.Sunlight(w)
	require.NoError(t, err)
	y, err := m.Run(sun, seed)
	require.NoError(t, err)
	return y
}

func TestSameSeedSameYear(t *testing.T) {
	a, b := runSynthetic(t, demo(t), 7), runSynthetic(t, demo(t), 7)
	require.Equal(t, a, b)
	require.NotEqual(t, a.Energy, runSynthetic(t, demo(t), 8).Energy)
}

// A huge pack turns the year into one balance: what is offered against what is
// needed decides alone.
func TestHugePackLivesByTheAnnualBalance(t *testing.T) {
	d := demo(t)
	d.Climate.SnowFrac = nil
	d.Pack.CapacityAh = Of(400.0)
	d.Pack.StartFrac = Of(0.9)
	d.Charger.SetV = Of(10.5)
	d.Service = nil
	y := runSynthetic(t, d, 1)
	require.Zero(t, y.LostH)
}

func TestMissingLinesAreNamed(t *testing.T) {
	m, err := Compile(&Description{Panel: &Panel{VmpV: Of(17.8)}})
	require.NoError(t, err)
	miss := m.Missing()
	for _, k := range []string{"site.latitude_deg", "panel.imp_a", "panel.tilt_deg", "charger.hold_v", "pack.chemistry", "load"} {
		require.Contains(t, miss, k)
	}
	_, err = m.Run(nil, 1)
	var me *MissingError
	require.ErrorAs(t, err, &me)
	require.Equal(t, miss, me.Keys)
	_, err = m.Synthetic(1)
	require.ErrorAs(t, err, &me)
	require.Contains(t, me.Keys, "climate.air_c")
	_, err = m.Sunlight(&Weather{})
	require.ErrorAs(t, err, &me)
	require.True(t, strings.HasPrefix(err.Error(), "for the light on the panel the description must also state "))
}

func TestAPanelThatCannotBeIsAnInputError(t *testing.T) {
	d := benchStation()
	d.Panel.VmpV = Of(22.5)
	_, err := Compile(d)
	var list InputErrors
	require.ErrorAs(t, err, &list)
	require.Equal(t, "panel", list[0].Key)
	require.Contains(t, err.Error(), "22.5 V")
}

// Minutes and hours of the same weather agree: within each hour the weather is
// the same, so what differs is the sun's path within the hour and the pack's
// voltage, some thousandths of the energy.
func TestMinutesAgreeWithHours(t *testing.T) {
	d := demo(t)
	d.Climate.SnowFrac = nil
	m := model(t, d)
	w, err := m.Synthetic(4)
	require.NoError(t, err)
	w.Steps = w.Steps[90*24 : 120*24] // April
	at := func(w *Weather) *Year {
		sun, err := m.Sunlight(w)
		require.NoError(t, err)
		y, err := m.Run(sun, 1)
		require.NoError(t, err)
		return y
	}
	h, q := at(w), at(minutes(w))
	require.InDelta(t, h.SpanH, q.SpanH, 1e-6)
	require.InEpsilon(t, h.Energy.PossibleWh, q.Energy.PossibleWh, 0.02)
	require.InEpsilon(t, h.Energy.ServedWh, q.Energy.ServedWh, 0.002)
	require.LessOrEqual(t, math.Abs(q.Energy.ResidualWh()), 1e-9*q.Energy.TakenWh)
}

// A published worksheet for a stand-alone camp (standalone-sheet: 311 Ah a day, 7 days
// of storage to a depth of 0.8 ask for 2721 Ah), here a hundred times smaller: the
// year runner must find the pack four fifths empty after the seven days.
func TestPublishedWorksheet(t *testing.T) {
	refdata.Each(t, "station/worksheet", func(r *refdata.Row) {
		const small = 0.01
		d := benchStation()
		d.Pack.CapacityAh = Of(small * r.F("capacityAh"))
		d.Regulators[0].IdleA = Of(0.0)
		d.Loads[0].AsleepA = Of(small * r.F("loadAhPerDay") / 24)
		hours := int(24 * r.F("days"))
		y := run(t, d, steady(hours, 0, 25))
		require.Zero(t, y.LostH)
		r.Check("usedFrac", 1-float64(y.SoC[hours-1]), "seven days without sun")
	})
}

// What the charger's limit keeps from the pack is refused, not lost to the held voltage:
// by hand, of 600 W/m2 all day a limit of 10 mA at 10 V and an efficiency of 0.85 take
// about 0.12 W.
func TestChargerLimitRefuses(t *testing.T) {
	d := benchStation()
	free := run(t, d, steady(100, 600, 25))
	d.Charger.LimitA = Of(0.01)
	held := run(t, d, steady(100, 600, 25))
	require.Equal(t, free.Energy.PossibleWh, held.Energy.PossibleWh)
	require.InEpsilon(t, free.Energy.OfferedWh, held.Energy.OfferedWh, 1e-12)
	require.InEpsilon(t, free.KeptFrac(), held.KeptFrac(), 1e-12)
	require.InDelta(t, 0.12, held.Energy.TakenWh/100, 0.01)
	require.InDelta(t, held.Energy.OfferedWh, held.Energy.TakenWh+held.Energy.RefusedWh, 1e-6)
	require.InDelta(t, 0, held.Energy.ResidualWh(), 1e-9*held.Energy.TakenWh)
}

// A field of panels far beyond the limit of its charger heats the box by what the charger
// passes on: by hand, a few watts, and kelvins at the most. All of it, 15 kW, would be
// beyond what a box is computed for.
func TestFieldFarBeyondTheCharger(t *testing.T) {
	d := benchStation()
	d.Box = &Box{AreaM2: Of(0.2), Absorptance: Of(0.1), OwnW: Of(0.1)}
	d.Panel = &Panel{VmpV: Of(40.0), ImpA: Of(18.0), VocV: Of(48.0), IscA: Of(19.5), Cells: Of(72), TiltDeg: Of(40.0), FacingDeg: Of(180.0), SeriesPanels: Of(6), Parallel: Of(20)}
	d.Charger.HoldV, d.Charger.LimitA, d.Charger.EffFrac = Of(150.0), Of(1.0), Of(0.8)
	y := run(t, d, steady(200, 800, 25))
	require.False(t, math.IsNaN(y.Energy.TakenWh+y.LowestSoC+y.LostH))
	require.Greater(t, y.HottestBoxC, 25.0)
	require.Less(t, y.HottestBoxC, 30.0)
	require.InDelta(t, 0, y.Energy.ResidualWh(), 1e-9*y.Energy.TakenWh)
}

// A rail whose regulator has too little input stands at what is left of it: by hand, 3 cells
// at 3.3 V less a drop of 0.3 V, not the 12 V of the label, and no energy is made.
func TestRailBelowItsSetVoltage(t *testing.T) {
	d := benchStation()
	d.Regulators[0].OutV = Of(12.0)
	m := model(t, d)
	at := m.supply.at(9.9, running)
	require.InEpsilon(t, 0.049*9.6, at.servedW, 1e-12)
	require.InEpsilon(t, 9.9*at.packA, at.servedW+at.heatW[0], 1e-12)
	y := run(t, d, steady(100, 600, 25))
	require.Positive(t, y.Energy.RegulatorWh)
	// By hand: the current of the load over its drop, and of the regulator over the pack's
	// 9.9 V, which are 10.5 V at the most.
	require.InEpsilon(t, 0.3*0.049+0.001*9.9, y.Energy.RegulatorWh/100, 0.05)
}

// A spread as wide as a description may state draws days beyond any weather; the year is
// one of numbers all the same.
func TestWidestSpreadOfDays(t *testing.T) {
	d := demo(t)
	d.Climate.SpreadK = Of(15.0)
	d.Climate.AirC = slices.Repeat([]float64{45}, 12)
	m := model(t, d)
	w, err := m.Synthetic(1)
	require.NoError(t, err)
	top := 0.0
	for i := range w.Steps {
		top = max(top, w.Steps[i].AirC)
	}
	require.Equal(t, 60.0, top, "as a weather file may have")
	sun, err := m.Sunlight(w)
	require.NoError(t, err)
	y, err := m.Run(sun, 1)
	require.NoError(t, err)
	require.InDelta(t, 0, y.Energy.ResidualWh(), 1e-9*y.Energy.TakenWh)
	require.Positive(t, y.Energy.PossibleWh)
}

// A diode between charger and pack takes its drop from what the charger gives, and the
// charger's current limit is also that of the diode: by hand, 0.2 A at its drop there.
func TestDiodeAtThePack(t *testing.T) {
	d := benchStation()
	d.Diode = &Diode{Place: "pack", DropV: Of(0.4), DropAtA: Of(1.0)}
	d.Charger.LimitA = Of(0.2)
	m := model(t, d)
	r, err := newRunner(m, m.stage(steady(10, 600, 25)), 1)
	require.NoError(t, err)
	r.packV = 9.9
	drop := m.diode.v.VoltageV(0.2)
	require.Greater(t, drop, 0.3)
	panelW, diodeW, chargerW, packW := r.offer(30, 30)
	// The drop comes from a second guess of the current, which is within 0.1 % of it.
	require.InEpsilon(t, 0.2*9.9, packW, 1e-4, "at the limit")
	require.InEpsilon(t, 0.2*drop, diodeW, 1e-3)
	require.InEpsilon(t, 0.2*(9.9+drop)*(1/r.effFrac-1), chargerW, 1e-12)
	require.InEpsilon(t, panelW, diodeW+chargerW+packW, 1e-12)
	_, diodeW, _, packW = r.offer(1, 1)
	i := packW / 9.9
	require.InEpsilon(t, i*m.diode.v.VoltageV(i), diodeW, 1e-3, "below it")
	y := run(t, d, steady(200, 600, 25))
	require.Positive(t, y.Energy.DiodeWh)
	require.InDelta(t, 0, y.Energy.ResidualWh(), 1e-9*y.Energy.TakenWh)
}
