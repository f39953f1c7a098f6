package logbook

import (
	"fmt"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"github.com/stationphysics/stationphysics"
	"github.com/stationphysics/stationphysics/battery"
	"github.com/stationphysics/stationphysics/psychro"
	"github.com/stationphysics/stationphysics/station"
)

// found runs a log of one-minute rows and returns the rows of a kind.
func found(t *testing.T, c Config, k Kind, header string, n int, cells func(m int) string) int {
	t.Helper()
	r, all := read(t, rows(header, n, cells), c)
	require.Len(t, all, n)
	for _, x := range r.Troubles() {
		if x.Kind == k {
			return x.Rows
		}
	}
	return 0
}

// lasts checks that a signature shows after a number of minutes, not before.
func lasts(t *testing.T, c Config, k Kind, header string, minutes int, cells func(m int) string) {
	t.Helper()
	require.Zero(t, found(t, c, k, header, minutes, cells), "%s before %d minutes", k, minutes)
	require.Equal(t, minutes+1, found(t, c, k, header, minutes+1, cells), "%s after %d minutes", k, minutes)
}

func always(s string) func(int) string { return func(int) string { return s } }

var supplied = Config{Power: Power{LimitV: 7.3, SetV: 7.0, HoldV: 17, OpenV: 20}}

func TestHowLongASignatureMustLast(t *testing.T) {
	lasts(t, supplied, OverCharge, "pack_v", 10, always("7.31"))
	lasts(t, supplied, Full, "pack_v,panel_v", 10, always("6.94,18"))
	lasts(t, supplied, NotCharging, "pack_v,panel_v", 30, always("6.78,18"))
	lasts(t, supplied, LoadAboveHarvest, "pack_v,panel_v", 120, always("6.5,17.8"))
	lasts(t, supplied, LoadAboveHarvest, "pack_v,panel_v", 120, always("6.925,16.16"))
	lasts(t, supplied, NotCharging, "pack_v,panel_v,box_c", 30, always("6.789,18,2"))
	lasts(t, Config{}, WarmBox, "air_c,box_c,light_lx", 30, always("10,20.1,10001"))
	lasts(t, Config{}, StuckRegister, "pressure_hpa", 180, always("950.1"))
	lasts(t, Config{}, StuckRegister, "humidity_pct", 180, always("97"))
	lasts(t, Config{}, HumidityPegged, "air_c,humidity_pct", 360, always("5,99.5"))
	lasts(t, Config{}, HumidityPegged, "air_c,humidity_pct", 60, always("-8,99.9")) // 108 % over ice
	lasts(t, Config{}, VaneFrozen, "air_c,humidity_pct,wind_m_per_s,direction_deg", 180, always("0.9,90,0,231"))
	lasts(t, Config{}, VaneStuck, "wind_m_per_s,direction_deg", 60, always("2.1,231"))
	lasts(t, Config{}, VaneStuck, "wind_m_per_s,direction_deg", 60, func(m int) string { return fmt.Sprintf("3,%g", 231+0.4999*float64(m%2)) })
	lasts(t, Config{}, CupStuck, "wind_m_per_s,direction_deg", 120, func(m int) string { return fmt.Sprintf("0,%d", m%100) })
	lasts(t, Config{Tolerance: Tolerances{AirK: 0.3}}, PairApart, "air_c,air_2_c,light_lx", 60, always("5,5.5,0"))
}

func TestWhatASignatureNeeds(t *testing.T) {
	const long = 400
	none := func(c Config, k Kind, header, cells string) {
		t.Helper()
		require.Zero(t, found(t, c, k, header, long, always(cells)), "%s: %s", header, cells)
	}
	none(supplied, OverCharge, "pack_v", "7.3")
	none(Config{}, OverCharge, "pack_v", "9")
	none(supplied, Full, "pack_v,panel_v", "6.929,20")
	none(supplied, Full, "pack_v,panel_v", "7,17.99")
	none(supplied, Full, "pack_v,panel_v", "7.4,20")
	none(supplied, NotCharging, "pack_v,panel_v", "6.791,20")
	none(supplied, NotCharging, "pack_v,panel_v", "6.5,17.9")
	none(supplied, NotCharging, "pack_v,panel_v,box_c", "6.5,20,1.999") // a cold stop
	none(supplied, LoadAboveHarvest, "pack_v,panel_v", "6.5,17.86")
	none(supplied, LoadAboveHarvest, "pack_v,panel_v", "6.931,17")
	none(Config{}, WarmBox, "air_c,box_c,light_lx", "10,20,20000")
	none(Config{}, WarmBox, "air_c,box_c,light_lx", "10,25,10000")
	none(Config{}, StuckRegister, "humidity_pct", "98")
	none(Config{}, StuckRegister, "light_lx", "0")
	none(Config{}, HumidityPegged, "air_c,humidity_pct", "5,99.49")
	none(Config{}, VaneFrozen, "air_c,humidity_pct,wind_m_per_s,direction_deg", "1,95,0,231")
	none(Config{}, VaneFrozen, "air_c,humidity_pct,wind_m_per_s,direction_deg", "-3,89,0,231")
	none(Config{}, VaneFrozen, "air_c,humidity_pct,wind_m_per_s,direction_deg", "-3,95,0.1,231")
	none(Config{}, VaneStuck, "wind_m_per_s,direction_deg", "2,231")
	none(Config{}, CupStuck, "wind_m_per_s,direction_deg", "0,231")
	none(Config{Tolerance: Tolerances{AirK: 0.3}}, PairApart, "air_c,air_2_c,light_lx", "5,5.45,0")
	none(Config{Tolerance: Tolerances{AirK: 0.3}}, PairApart, "air_c,air_2_c,light_lx", "5,7,10") // by day shields differ
	none(Config{}, PairApart, "air_c,air_2_c,light_lx", "5,9,0")                                  // no tolerance
	require.Zero(t, found(t, Config{}, CupStuck, "wind_m_per_s,direction_deg", long, func(m int) string { return fmt.Sprintf("0,%d", m%60) }))
	require.Zero(t, found(t, Config{}, VaneStuck, "wind_m_per_s,direction_deg", long, func(m int) string { return fmt.Sprintf("5,%g", 231+0.6*float64(m%2)) }))
	require.NotZero(t, found(t, Config{}, VaneStuck, "wind_m_per_s,direction_deg", long, func(m int) string { return fmt.Sprintf("5,%g", 359.8+0.4*float64(m%2)-360*float64(m%2)) }), "a vane that plays about north")
	require.Zero(t, found(t, supplied, LoadAboveHarvest, "pack_v,panel_v", long, func(m int) string { return fmt.Sprintf("%.4f,17", 6.5+0.0001*float64(m)) }), "it rises")
}

func TestFrostAndCharge(t *testing.T) {
	require.Equal(t, 1, found(t, Config{}, FrostCharge, "pack_ma,box_c", 1, always("21,-0.1")))
	require.Zero(t, found(t, Config{}, FrostCharge, "pack_ma,box_c", 1, always("20,-0.1")))
	require.Zero(t, found(t, Config{}, FrostCharge, "pack_ma,box_c", 1, always("21,0")))
	require.Equal(t, 1, found(t, Config{}, FrostCharge, "pack_ma,air_c", 1, always("21,-5")), "the air stands in for the box")
	require.Zero(t, found(t, Config{}, FrostCharge, "pack_ma,air_c,box_c", 1, always("21,-5,3")))
	require.Equal(t, 1, found(t, Config{Power: Power{FrostC: 5}}, FrostCharge, "pack_ma,box_c", 1, always("21,4.9")))
}

func TestStartsOfTheLogger(t *testing.T) {
	boots := func(every int, v func(m int) float64) func(m int) string {
		return func(m int) string { return fmt.Sprintf("%d,%.3f", 5+m/every, v(m)) }
	}
	flat := func(int) float64 { return 6.6 }
	sag := func(m int) float64 { return 6.6 - 0.002*float64(m) }
	require.Equal(t, 0, found(t, Config{}, Restarts, "boots,pack_v", 60, boots(20, flat)), "two starts so far")
	require.Equal(t, 1, found(t, Config{}, Restarts, "boots,pack_v", 61, boots(20, flat)))
	require.Equal(t, 1, found(t, Config{}, Restarts, "boots,pack_v", 91, boots(30, flat)), "an hour from the first to the third")
	require.Zero(t, found(t, Config{}, Restarts, "boots,pack_v", 200, boots(31, flat)), "seldom enough")
	require.Zero(t, found(t, Config{}, Restarts, "boots,pack_v", 61, boots(20, sag)))
	require.Equal(t, 1, found(t, Config{}, BrownOutLoop, "boots,pack_v", 61, boots(20, sag)))
	require.Zero(t, found(t, Config{}, BrownOutLoop, "boots,pack_v", 61, boots(20, flat)))
}

func TestRainThatIsNone(t *testing.T) {
	require.Zero(t, found(t, Config{}, Bounce, "rain_mm", 2, always("5")), "300 mm/h")
	require.Equal(t, 1, found(t, Config{}, Bounce, "rain_mm", 2, always("5.1")))
	require.Equal(t, 1, found(t, Config{}, Melt, "rain_mm,air_c", 1, always("0.2,-0.1")))
	require.Zero(t, found(t, Config{}, Melt, "rain_mm,air_c", 1, always("0.2,0")))
	require.Zero(t, found(t, Config{}, Melt, "rain_mm,air_c", 1, always("0,-5")))
}

// TestConstantVapourPressure warms the shield by two kelvins in a quarter of an
// hour: at constant vapour pressure, in sun and without wind that is the shield.
func TestConstantVapourPressure(t *testing.T) {
	warm := func(rise float64, minutes int, moisten, lux, wind float64) int {
		return found(t, Config{}, HeatedShield, "air_c,humidity_pct,light_lx,wind_m_per_s", 40, func(m int) string {
			f := 0.0
			if m >= 10 {
				f = min(1, float64(m-10)/float64(minutes))
			}
			e := 0.6 * psychro.SaturationPressureHPa(15) * (1 + moisten*f)
			temp := 15 + rise*f
			return fmt.Sprintf("%.3f,%.3f,%.0f,%.2f", temp, 100*e/psychro.SaturationPressureHPa(temp), lux, wind)
		})
	}
	require.NotZero(t, warm(2.05, 15, 0, 30000, 1))
	require.Zero(t, warm(1.95, 15, 0, 30000, 1), "not enough")
	require.Zero(t, warm(2.05, 18, 0, 30000, 1), "as slow as a morning")
	require.Zero(t, warm(2.05, 16, 0, 30000, 1))
	require.Zero(t, warm(2.05, 15, 0.0503, 30000, 1), "other air brings its own vapour")
	require.Zero(t, warm(2.05, 15, -0.0503, 30000, 1))
	require.NotZero(t, warm(2.05, 15, 0.0498, 30000, 1))
	require.Zero(t, warm(2.05, 15, 0, 20000, 1), "no sun")
	require.Zero(t, warm(2.05, 15, 0, 30000, 1.5), "wind")
}

func TestStepCheck(t *testing.T) {
	jump := func(header string, a, b float64) Flag {
		_, all := read(t, rows(header, 3, func(m int) string { return fmt.Sprint([]float64{a, b, a}[m]) }), Config{})
		for c := range columns {
			require.Zero(t, all[0].Flags(c)|all[2].Flags(c), "the rows before and after are good")
			if f := all[1].Flags(c); f != 0 {
				return f
			}
		}
		return 0
	}
	for _, x := range []struct {
		header  string
		from    float64
		limit   float64
		epsilon float64
	}{{"air_c", 10, 3, 0.01}, {"air_2_c", 10, 3, 0.01}, {"humidity_pct", 50, 15, 0.01}, {"humidity_2_pct", 50, 15, 0.01}, {"pressure_hpa", 950, 2, 0.01}, {"wind_m_per_s", 5, 20, 0.01}, {"light_lx", 1000, 97600, 1}} {
		require.Zero(t, jump(x.header, x.from, x.from+x.limit-x.epsilon), x.header)
		require.Equal(t, FailsStep, jump(x.header, x.from, x.from+x.limit+x.epsilon), x.header)
		require.Equal(t, FailsStep, jump(x.header, x.from+x.limit+x.epsilon, x.from), x.header)
	}
	// A lasting change is believed in its third minute.
	_, all := read(t, rows("pressure_hpa", 6, func(m int) string { return fmt.Sprint(950 + 5*min(1, m/2)) }), Config{})
	var f []Flag
	for i := range all {
		f = append(f, all[i].Flags(Pressure))
	}
	require.Equal(t, []Flag{0, 0, FailsStep, FailsStep, 0, 0}, f)
}

func TestPersistence(t *testing.T) {
	steady := func(header string, n int, cells func(m int) string, c Column) Flag {
		_, all := read(t, rows(header, n, cells), Config{})
		return all[n-1].Flags(c) & FailsPersist
	}
	swing := func(a, b float64) func(m int) string {
		return func(m int) string { return fmt.Sprint(a + (b-a)*float64(m%2)) }
	}
	for _, x := range []struct {
		header string
		column Column
		from   float64
		least  float64
	}{{"air_c", Air, 10, 0.1}, {"humidity_pct", Humidity, 50, 1}, {"pressure_hpa", Pressure, 950, 0.1}, {"wind_m_per_s", Wind, 5, 0.5}} {
		require.Zero(t, steady(x.header, 60, swing(x.from, x.from), x.column), "%s: not yet an hour", x.header)
		require.Equal(t, FailsPersist, steady(x.header, 61, swing(x.from, x.from+0.9995*x.least), x.column), x.header)
		require.Zero(t, steady(x.header, 61, swing(x.from, x.from+1.0001*x.least), x.column), x.header)
		// A single excursion is forgotten after an hour, not before.
		once := func(m int) string { return fmt.Sprint(x.from + 2*x.least*float64(max(0, 1-m))) }
		require.Zero(t, steady(x.header, 60, once, x.column))
		require.Equal(t, FailsPersist, steady(x.header, 61, once, x.column))
	}
	require.Zero(t, steady("humidity_pct", 90, always("98"), Humidity), "saturated")
	require.Equal(t, FailsPersist, steady("humidity_pct", 90, always("97.9"), Humidity))
	require.Zero(t, steady("wind_m_per_s", 90, always("0.4"), Wind), "calm")
	require.Equal(t, FailsPersist, steady("wind_m_per_s,direction_deg", 90, always("3,200"), Direction))
	require.Zero(t, steady("wind_m_per_s,direction_deg", 90, always("0.4,200"), Direction), "calm")
	require.Zero(t, steady("direction_deg", 90, always("200"), Direction), "no wind known")
	require.Equal(t, FailsPersist, steady("wind_m_per_s,direction_deg", 90, func(m int) string { return fmt.Sprintf("3,%d", (358+m%2*4)%360) }, Direction), "4 degrees about north")
	require.Zero(t, steady("wind_m_per_s,direction_deg", 90, func(m int) string { return fmt.Sprintf("3,%d", (355+m%2*11)%360) }, Direction))
}

func TestLogicOfARow(t *testing.T) {
	require.Equal(t, FailsLogic, flagOf(t, "wind_m_per_s,gust_m_per_s", "5,4.8", Gust, Config{}))
	require.Zero(t, flagOf(t, "wind_m_per_s,gust_m_per_s", "5,4.95", Gust, Config{}))
	c := Config{Place: &Place{LatDeg: 48, LonDeg: 11}}
	night := flagOf(t, "light_lx", "201", Light, Config{Place: &Place{LatDeg: 48, LonDeg: 11}, Start: time.Time{}})
	require.Equal(t, FailsLogic, night, "midnight")
	require.Zero(t, flagOf(t, "light_lx", "200", Light, c))
	noon := func(lux string) Flag {
		_, all := read(t, rows("light_lx", 681, always(lux)), c)
		return all[680].Flags(Light) & FailsLogic
	}
	require.Zero(t, noon("130000"))
	require.Equal(t, FailsLogic, noon("199000"))
}

func flagOf(t *testing.T, header, cells string, col Column, c Config) Flag {
	t.Helper()
	o := one(t, header, cells, c)
	return o.Flags(col)
}

func TestKindsHaveNames(t *testing.T) {
	seen := map[string]bool{}
	for k := range kinds {
		require.NotEmpty(t, k.String())
		require.False(t, seen[k.String()], k.String())
		seen[k.String()] = true
		require.NotEmpty(t, lore[k].reason)
	}
	require.Equal(t, "?", kinds.String())
	require.Equal(t, "time", columns.String())
	require.Empty(t, columns.Unit())
	for c := range columns {
		require.NotEmpty(t, c.String())
	}
	require.Equal(t, "hPa", Pressure.Unit())
}

func TestSuggestedHeading(t *testing.T) {
	for h, want := range map[string]string{"humdity_pc": "humidity_pct", "temperature": "air_c", "Wind speed [m/s]": "wind_m_per_s", "timestamp": "time", "q": "", "colour": ""} {
		_, _, _, errs := layout([]string{"time", h}, nil)
		require.Len(t, errs, 1, h)
		var ke *stationphysics.NameError
		require.ErrorAs(t, errs[0], &ke)
		require.Equal(t, want, ke.Nearest, h)
	}
}

// A second humidity sensor needs a temperature and the first sensor's air.
func TestSecondHumidityAlone(t *testing.T) {
	c := Config{Tolerance: Tolerances{AirK: 0.1, HumidityPct: 1}}
	for _, x := range []struct{ header, cells string }{
		{"humidity_pct,humidity_2_pct", "20,90"}, {"air_c,humidity_pct,humidity_2_pct", "20,,90"}, {"air_c,humidity_pct,humidity_2_pct", "20,20,"},
		{"air_c,humidity_pct,humidity_2_pct", "20,20,100"}, {"air_2_c,humidity_pct,humidity_2_pct", "20,20,90"},
	} {
		o := one(t, x.header, x.cells, c)
		require.Zero(t, o.Flags(Humidity2), x.header)
	}
}

func TestTroublesAreCopies(t *testing.T) {
	r, _ := read(t, rows("air_c", 2, always("-140")), Config{})
	r.Troubles()[0].Evidence[0].Text = "changed"
	require.Equal(t, "air bus error", r.Troubles()[0].Evidence[0].Text)
}

func TestConfigFromDescription(t *testing.T) {
	require.Equal(t, Config{}, FromDescription(&station.Description{}))
	d := &station.Description{
		Site:    &station.Site{LatitudeDeg: station.Of(48.1), LongitudeDeg: station.Of(11.6), HeightM: station.Of(518.0)},
		Panel:   &station.Panel{VocV: station.Of(10.5), SeriesPanels: station.Of(2)},
		Charger: &station.Charger{SetV: station.Of(7.0), HoldV: station.Of(17.0)},
		Pack:    &station.Pack{Chemistry: "lifepo4", Cells: station.Of(2)},
		Sensors: []*station.Sensor{{Kind: "wind"}, {Kind: "light", TopLx: station.Of(54612.5)}, {Kind: "light", TopLx: station.Of(1e5)}},
	}
	c := FromDescription(d)
	l := battery.LiFePO4.Limits()
	require.Equal(t, Power{LimitV: 2 * l.Overcharge.V, SetV: 7, HoldV: 17, OpenV: 21, FrostC: l.ChargeWindow.MinC}, c.Power)
	require.Equal(t, &Place{LatDeg: 48.1, LonDeg: 11.6, BarometerM: 518}, c.Place)
	require.Equal(t, 54612.5, c.LightTopLx)
	d.Site.BarometerHeightM = station.Of(520.0)
	require.Equal(t, 520.0, FromDescription(d).Place.BarometerM)
	d.Pack.Chemistry = "unknown"
	require.Zero(t, FromDescription(d).Power.LimitV)
	d.Site.LongitudeDeg = nil
	require.Nil(t, FromDescription(d).Place)
}

func TestOtherNamesPointAtColumns(t *testing.T) {
	for name, means := range otherNames {
		for _, m := range means {
			require.Contains(t, known(), m, name)
		}
	}
}
