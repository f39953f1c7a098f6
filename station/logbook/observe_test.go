package logbook

import (
	"bytes"
	"fmt"
	"math"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/stat"

	"github.com/stationphysics/stationphysics"
	"github.com/stationphysics/stationphysics/baro"
	"github.com/stationphysics/stationphysics/internal/refdata"
	"github.com/stationphysics/stationphysics/psychro"
	"github.com/stationphysics/stationphysics/rain"
	"github.com/stationphysics/stationphysics/station"
)

// rows writes a log of one-minute rows from midnight UTC of a day in June.
func rows(header string, n int, cells func(m int) string) string {
	var b strings.Builder
	b.WriteString("time," + header + "\n")
	at := time.Date(2026, 6, 1, 0, 0, 0, 0, time.UTC)
	for m := range n {
		b.WriteString(at.Add(time.Duration(m)*time.Minute).Format(time.RFC3339) + "," + cells(m) + "\n")
	}
	return b.String()
}

func one(t testing.TB, header, cells string, c Config) Observation {
	t.Helper()
	_, all := read(t, rows(header, 1, func(int) string { return cells }), c)
	require.Len(t, all, 1)
	return all[0]
}

func TestCombinedUncertainty(t *testing.T) {
	refdata.Each(t, "station/logbook/combined", func(r *refdata.Row) {
		// half is twice the combined standard uncertainty.
		r.Check("uc", half(r.F("c1"), r.F("c2"), r.F("c3"), r.F("c4"))/2, "half(…)/2")
	})
	require.InDelta(t, 1/math.Sqrt(3), uniform(1), 1e-15)
	require.True(t, math.IsNaN(uniform(0)), "not stated")
}

// Resistance, reactance and impedance from voltage, current and phase, which
// were measured together.
func TestCorrelatedUncertainty(t *testing.T) {
	refdata.Each(t, "station/logbook/correlated", func(r *refdata.Row) {
		x := [][]float64{series(t, r.S("volts")), series(t, r.S("amps")), series(t, r.S("radians"))}
		u := func(k int) float64 { return stat.StdErr(stat.StdDev(x[k], nil), 5) } // of a mean of five
		v, i, phi := stat.Mean(x[0], nil), stat.Mean(x[1], nil), stat.Mean(x[2], nil)
		trig, slope := math.Cos(phi), -math.Sin(phi)
		switch r.S("part") {
		case "reactance":
			trig, slope = math.Sin(phi), math.Cos(phi)
		case "impedance":
			trig, slope = 1, 0
		}
		r.Check("value", v/i*trig, r.S("part"))
		h := halfCorrelated(func(i, j int) float64 { return stat.Correlation(x[i], x[j], nil) },
			trig/i*u(0), -v/(i*i)*trig*u(1), v/i*slope*u(2))
		r.Check("u", h/2, "half of halfCorrelated(…), "+r.S("part"))
	})
	one := func(i, j int) float64 { return 1 }
	require.Equal(t, 2*(3+4.0), halfCorrelated(one, 3, 4), "all of one error: it adds up")
	for a := 0.1; a < 10; a += 0.1 { // or cancels, but for rounding
		require.InDelta(t, 0, halfCorrelated(one, a, 2*a, -3*a), 1e-6*a)
	}
	require.Equal(t, half(3, 4), halfCorrelated(func(int, int) float64 { return 0 }, 3, 4))
	require.True(t, math.IsNaN(halfCorrelated(one, 1, math.NaN())), "an unknown tolerance stays unknown")
}

func series(t *testing.T, cell string) []float64 {
	t.Helper()
	var x []float64
	for _, w := range strings.Fields(cell) {
		v, err := strconv.ParseFloat(w, 64)
		require.NoError(t, err)
		x = append(x, v)
	}
	require.Len(t, x, 5)
	return x
}

func TestSensitivitiesShowInTheHalfWidths(t *testing.T) {
	refdata.Each(t, "station/logbook/sensitivity", func(r *refdata.Row) {
		cells := fmt.Sprintf("%g,%g,949.8", r.F("tempC"), r.F("rhPct"))
		const unit = 2 / 1.7320508075688772 // half-width of a tolerance of 1
		a := one(t, "air_c,humidity_pct,pressure_hpa", cells, Config{Tolerance: Tolerances{AirK: 1, HumidityPct: 1e-9, PressureHPa: 1e-9}})
		b := one(t, "air_c,humidity_pct,pressure_hpa", cells, Config{Tolerance: Tolerances{AirK: 1e-9, HumidityPct: 1, PressureHPa: 1e-9}})
		call := "one row of " + cells
		r.Check("dewC", a.DewPointC.Value, call)
		r.Check("perK", a.DewPointC.Half/unit, call)
		r.Check("perPct", b.DewPointC.Half/unit, call)
	})
}

func TestPressuresOfARow(t *testing.T) {
	refdata.Each(t, "station/logbook/pressure", func(r *refdata.Row) {
		// The source counts in geopotential metres.
		z := baro.Geometric(baro.GeopotentialM(r.F("heightM")), r.F("latDeg"))
		o := one(t, "air_c,humidity_pct,pressure_hpa", fmt.Sprintf("%g,%g,%g", r.F("tempC"), r.F("rhPct"), r.F("hPa")),
			Config{Place: &Place{LatDeg: r.F("latDeg"), BarometerM: float64(z)}})
		r.Check("seaLevelHPa", o.SeaLevelHPa.Value, "one row")
		r.Check("altimeterHPa", o.AltimeterHPa.Value, "one row")
		require.True(t, math.IsNaN(o.SeaLevelHPa.Half), "no tolerance, no half-width")
	})
}

// TestHalfWidthsAgreeWithFiniteDifferences moves one reading at a time and
// compares with the half-width that its tolerance alone gives.
func TestHalfWidthsAgreeWithFiniteDifferences(t *testing.T) {
	const header = "air_c,humidity_pct,pressure_hpa"
	const tiny = 1e-9
	base := [3]float64{-3.4, 81, 947.3}
	place := &Place{LatDeg: 47, BarometerM: 553}
	results := func(o *Observation) []Measure {
		return []Measure{o.VapourPressureHPa, o.DewPointC, o.FrostPointC, o.AbsoluteHumidityGPerM3, o.SeaLevelHPa, o.AltimeterHPa}
	}
	cells := func(x [3]float64) string { return fmt.Sprintf("%.12g,%.12g,%.12g", x[0], x[1], x[2]) }
	moves := []func(c *Config, x *[3]float64, d float64){
		func(c *Config, x *[3]float64, d float64) { c.Tolerance.AirK = 1; x[0] += d },
		func(c *Config, x *[3]float64, d float64) { c.Tolerance.HumidityPct = 1; x[1] += d },
		func(c *Config, x *[3]float64, d float64) { c.Tolerance.PressureHPa = 1; x[2] += d },
		func(c *Config, _ *[3]float64, d float64) {
			c.Tolerance.HeightM = 1
			p := *c.Place
			p.BarometerM += d
			c.Place = &p
		},
	}
	for i, move := range moves {
		at := func(d float64) Observation {
			x := base
			c := Config{Place: place, Tolerance: Tolerances{AirK: tiny, HumidityPct: tiny, PressureHPa: tiny, HeightM: tiny}}
			move(&c, &x, d)
			return one(t, header, cells(x), c)
		}
		low, mid, high := at(-0.01), at(0), at(0.01)
		a, m, b := results(&low), results(&mid), results(&high)
		for j := range m {
			slope := math.Abs(b[j].Value-a[j].Value) / 0.02
			require.InDelta(t, slope, m[j].Half*math.Sqrt(3)/2, 2e-4*slope+2e-6, "reading %d, result %d", i, j)
		}
	}
}

func TestWhatIsMissingIsNotMadeUp(t *testing.T) {
	c := invented(t)
	o := one(t, "air_c,humidity_pct,pressure_hpa,light_lx", ",50,950,", c)
	require.Equal(t, Missing, o.DewPointC.State)
	require.Equal(t, Missing, o.SeaLevelHPa.State)
	require.True(t, o.AltimeterHPa.OK(), "which needs no temperature")
	require.Equal(t, Missing, o.IrradianceWPerM2().State)
	o = one(t, "air_c,humidity_pct", "-140.2,50", c)
	require.Equal(t, BusError, o.DewPointC.State)
	require.Equal(t, Absent, o.AltimeterHPa.State)
	o = one(t, "air_c,humidity_pct", "20,50", Config{})
	require.True(t, o.DewPointC.OK(), "the pressure hardly matters")
	require.InDelta(t, 9.26, o.DewPointC.Value, 0.02)
	require.Equal(t, Absent, o.FrostPointC.State, "no ice above 0.01 °C… the dew point is 9 °C")
	o = one(t, "air_c,humidity_pct,pressure_hpa", "20,50,950", Config{})
	require.Equal(t, Absent, o.SeaLevelHPa.State, "no place")
	// Above 750 gpm the reduction says little, and is not made.
	o = one(t, "air_c,humidity_pct,pressure_hpa", "20,50,900", Config{Place: &Place{LatDeg: 47, BarometerM: 1000}})
	require.Equal(t, Absent, o.SeaLevelHPa.State)
	require.True(t, o.AltimeterHPa.OK())
}

func TestPeggedValuesAreBounds(t *testing.T) {
	c := invented(t)
	o := one(t, "air_c,humidity_pct,pressure_hpa", "5,100,950", c)
	require.Equal(t, Pegged, o.DewPointC.State)
	require.True(t, o.HumidityPct.AtLeast && o.DewPointC.AtLeast && o.VapourPressureHPa.AtLeast)
	require.InDelta(t, 5, o.DewPointC.Value, 1e-6)
	require.False(t, o.DewPointC.AtMost)
	o = one(t, "air_c,humidity_pct,pressure_hpa", "5,0,950", c)
	require.True(t, o.HumidityPct.AtMost && o.VapourPressureHPa.AtMost && !o.HumidityPct.AtLeast)

	// At noon of 1 June a pegged light sensor means at least 54612.5 lx over 130
	// to 100 lm/W, the efficacies of daylight (from memory), less the sensor's 15 %.
	_, all := read(t, rows("light_lx", 722, func(m int) string { return map[bool]string{true: "54612.5", false: "0"}[m == 700] }), c)
	m := all[700].IrradianceWPerM2()
	require.True(t, m.AtLeast && m.State == Pegged)
	require.Greater(t, m.Value, 54612.5/130*0.85)
	require.Less(t, m.Value, 54612.5/100*0.85)
	require.True(t, math.IsNaN(m.Half))
	require.True(t, all[700].LightLx.AtLeast)
	zero := all[5].IrradianceWPerM2()
	require.Equal(t, []float64{0, 0}, []float64{zero.Value, zero.Half})
	o = one(t, "light_lx", "100", Config{})
	require.Equal(t, Absent, o.IrradianceWPerM2().State, "no place")
	o = one(t, "light_lx", "50000", c)
	require.Equal(t, OutOfRange, o.IrradianceWPerM2().State, "no sky gives this by night")
}

func TestIrradianceBand(t *testing.T) {
	c := invented(t)
	_, all := read(t, rows("air_c,humidity_pct,light_lx", 700, func(int) string { return "15,60,40000" }), c)
	m := all[699].IrradianceWPerM2()
	// 130 to 100 lm/W span the skies with the sun high (WMO-No. 8, from memory: 130 at most).
	require.InDelta(t, 40000/115.0, m.Value, 40000/100.0-40000/115.0)
	require.Greater(t, m.Half, 2*0.15*m.Value/math.Sqrt(3), "more than the sensor's own tolerance")
	require.Less(t, m.Half, 0.3*m.Value)
}

func TestRainOfARow(t *testing.T) {
	b, err := rain.NewBucket(rain.BucketSpec{TipMm: 0.2, TipTimeS: 0.35, IgnoreS: 0.1})
	require.NoError(t, err)
	text := "time,rain_tips\n2026-06-01T00:00:00Z,0\n2026-06-01T00:01:00Z,9\n2026-06-01T00:05:00Z,2\n2026-06-01T00:06:00Z,\n2026-06-01T00:07:00Z,0\n"
	r, all := read(t, text, Config{Bucket: b, Tolerance: Tolerances{RainFrac: 0.05}})
	// Nine tips in a minute: 108 mm/h, of which 0.35·108/(3600·0.2) is lost.
	want := 1.8 * (1 + 0.35*108/(3600*0.2))
	require.InDelta(t, want, all[1].RainMm.Value, 1e-12)
	require.InDelta(t, want*60, all[1].RainMmPerH.Value, 1e-9)
	require.InDelta(t, 2*math.Sqrt(math.Pow(0.05*want, 2)/3+0.04/6), all[1].RainMm.Half, 1e-12)
	require.InDelta(t, 60*all[1].RainMm.Half, all[1].RainMmPerH.Half, 1e-9)
	require.False(t, all[1].RainMm.AtLeast)
	require.True(t, all[2].RainMm.AtLeast, "after a gap")
	require.InDelta(t, 0.4, all[2].RainMm.Value, 1e-12)
	require.False(t, all[2].RainMmPerH.OK())
	require.Equal(t, Missing, all[3].RainMm.State)
	sum := r.Summary().RainMm
	require.InDelta(t, want+0.4, sum.Value, 1e-12)
	require.True(t, sum.AtLeast)
	require.InDelta(t, 2*math.Sqrt(math.Pow(0.05*sum.Value, 2)/3+0.04/6), sum.Half, 1e-12)
	// Without a bucket tips are not turned into millimetres.
	_, all = read(t, text, Config{})
	require.Equal(t, Absent, all[1].RainMm.State)
	_, all = read(t, rows("rain_mm", 2, func(int) string { return "0.4" }), Config{Tolerance: Tolerances{RainFrac: 0.03}})
	require.InDelta(t, 0.4, all[1].RainMm.Value, 1e-12)
	require.InDelta(t, 24, all[1].RainMmPerH.Value, 1e-9)
	require.InDelta(t, 2*0.012/math.Sqrt(3), all[1].RainMm.Half, 1e-12)
}

// TestTendencyByTheCodeTable leads pressures through three hours and reads the
// figure of WMO code table 0200.
func TestTendencyByTheCodeTable(t *testing.T) {
	for _, x := range []struct {
		at0, at90, at180 float64
		want             baro.Characteristic
	}{
		{950, 951, 952, baro.Rising}, {952, 951, 950, baro.Falling}, {950, 950, 950, baro.Steady},
		{950, 952, 951, baro.RisingThenFalling}, {950, 949, 949.5, baro.FallingThenRising},
	} {
		text := rows("pressure_hpa", 181, func(m int) string {
			if m <= 90 {
				return fmt.Sprintf("%.4f", x.at0+(x.at90-x.at0)*float64(m)/90)
			}
			return fmt.Sprintf("%.4f", x.at90+(x.at180-x.at90)*float64(m-90)/90)
		})
		_, all := read(t, text, Config{Tolerance: Tolerances{PressureHPa: 1, PressureStepHPa: 0.1}})
		require.False(t, all[100].TendencyHPa.OK(), "three hours are not there yet")
		m := all[180].TendencyHPa
		require.InDelta(t, x.at180-x.at0, m.Value, 1e-9)
		require.Equal(t, x.want, all[180].Characteristic)
		require.InDelta(t, 2*math.Sqrt(2)*0.1/math.Sqrt(3), m.Half, 1e-12, "the sensor's offset cancels")
	}
}

func TestGustAndDirectionTolerance(t *testing.T) {
	o := one(t, "wind_m_per_s,gust_m_per_s,direction_deg", "12,20,350", Config{Tolerance: Tolerances{WindMPerS: 0.5, WindFrac: 0.1, DirectionDeg: 5}})
	require.InDelta(t, 2*1.2/math.Sqrt(3), o.WindMPerS.Half, 1e-12, "10 % is more than 0.5 m/s")
	require.InDelta(t, 2*2.0/math.Sqrt(3), o.GustMPerS.Half, 1e-12)
	require.InDelta(t, 10/math.Sqrt(3), o.DirectionDeg.Half, 1e-12)
	o = one(t, "wind_m_per_s", "2", Config{Tolerance: Tolerances{WindMPerS: 0.5, WindFrac: 0.1}})
	require.InDelta(t, 2*0.5/math.Sqrt(3), o.WindMPerS.Half, 1e-12)
}

func TestSalts(t *testing.T) {
	refdata.Each(t, "station/logbook/salt", func(r *refdata.Row) {
		s, err := FindSalt(r.S("name"))
		require.NoError(t, err)
		r.Check("pct", s.HumidityPct(r.F("tempC")).Value, fmt.Sprintf("%s at %g °C", s.Name(), r.F("tempC")))
	})
	refdata.Each(t, "station/logbook/salt_table", func(r *refdata.Row) {
		s, err := FindSalt(r.S("name"))
		require.NoError(t, err)
		m, call := s.HumidityPct(r.F("tempC")), fmt.Sprintf("%s at %g °C", s.Name(), r.F("tempC"))
		r.Check("pct", m.Value, call)
		r.Check("halfPct", m.Half, call)
	})
	require.Len(t, Salts(), 6)
	for i, s := range Salts() {
		if i > 0 {
			require.Greater(t, s.HumidityPct(20).Value, Salts()[i-1].HumidityPct(20).Value, "from dry to damp")
		}
		require.InDelta(t, (s.HumidityPct(20).Value+s.HumidityPct(25).Value)/2, s.HumidityPct(22.5).Value, 1e-12)
		require.Equal(t, s.pct[8], s.HumidityPct(40).Value)
		require.Equal(t, s.half[0], s.HumidityPct(0).Half)
		for _, c := range []float64{-0.1, 40.1, math.NaN(), 293} {
			require.False(t, s.HumidityPct(c).OK())
			require.Error(t, CheckSaltTemp(c))
		}
	}
	require.NoError(t, CheckSaltTemp(40))
	_, err := FindSalt("sugar")
	var ne *stationphysics.NameError
	require.ErrorAs(t, err, &ne)
	require.Equal(t, []any{"salt", "sugar"}, []any{ne.Kind, ne.Name})
	require.Contains(t, ne.Known, "sodium chloride")
	require.False(t, Salt{}.HumidityPct(20).OK())
}

func TestJudgeASensorOverSalt(t *testing.T) {
	nacl, err := FindSalt("Sodium Chloride")
	require.NoError(t, err)
	d, word := nacl.Judge(SaltReading{TempC: 25, ReadPct: 78.29, TolerancePct: 3, ApartK: 0})
	require.InDelta(t, 3, d.Value, 1e-9)
	require.InDelta(t, 2*math.Sqrt(3+0.06*0.06), d.Half, 1e-9)
	require.Equal(t, station.Fine, word)
	d, word = nacl.Judge(SaltReading{TempC: 25, ReadPct: 80.29, TolerancePct: 3})
	require.InDelta(t, 5, d.Value, 1e-9)
	require.Equal(t, station.Change, word)
	// A kelvin between sensor and salt: 75.29 % times 5.97 % is 4.5 %.
	d, word = nacl.Judge(SaltReading{TempC: 25, ReadPct: 80.29, TolerancePct: 3, ApartK: 1})
	require.InDelta(t, 2*math.Sqrt(3+0.06*0.06+4.492*4.492/3), d.Half, 0.01)
	require.Equal(t, station.Fine, word)
	for _, bad := range []SaltReading{{TempC: 41, ReadPct: 75, TolerancePct: 3}, {TempC: 20, ReadPct: 106, TolerancePct: 3}, {TempC: 20, ReadPct: 75}, {TempC: 20, ReadPct: 75, TolerancePct: 3, ApartK: -1}} {
		_, word = nacl.Judge(bad)
		require.Equal(t, station.CannotTell, word)
	}
}

func TestVapourPressureComparesTwoHumiditySensors(t *testing.T) {
	// One sensor is 4 K warmer and reads less humidity for it: as vapour
	// pressure both agree, as relative humidity they would not.
	e := 0.6 * psychro.SaturationPressureHPa(20)
	warm := 100 * e / psychro.SaturationPressureHPa(24)
	c := Config{Tolerance: Tolerances{AirK: 0.3, HumidityPct: 2}}
	o := one(t, "air_c,air_2_c,humidity_pct,humidity_2_pct", fmt.Sprintf("20,24,60,%.2f", warm), c)
	require.Zero(t, o.Flags(Humidity2))
	o = one(t, "air_c,air_2_c,humidity_pct,humidity_2_pct", "20,24,60,60", c)
	require.Equal(t, FailsPair, o.Flags(Humidity2))
	// At one place of one temperature: 2 √(2²/3+2²/3) = 3.27 % may lie between.
	o = one(t, "air_c,humidity_pct,humidity_2_pct", "20,60,63", c)
	require.Zero(t, o.Flags(Humidity2))
	o = one(t, "air_c,humidity_pct,humidity_2_pct", "20,60,63.4", c)
	require.Equal(t, FailsPair, o.Flags(Humidity2), "the error of the one thermometer is no excuse")
	o = one(t, "air_c,air_2_c,humidity_pct,humidity_2_pct", "20,20,60,63.4", c)
	require.Zero(t, o.Flags(Humidity2), "that of two is")
	o = one(t, "air_c,humidity_pct,humidity_2_pct", "20,60,80", Config{Tolerance: Tolerances{AirK: 0.3}})
	require.Zero(t, o.Flags(Humidity2), "without a tolerance nothing speaks against it")
}

func TestAgree(t *testing.T) {
	m := func(v, h float64) Measure { return Measure{Value: v, Half: h, State: Good} }
	require.True(t, Agree(m(20, 0.3), m(20.5, 0.4)), "0.5 is the root of 0.3²+0.4²")
	require.False(t, Agree(m(20, 0.3), m(20.501, 0.4)))
	require.True(t, Agree(m(20, math.NaN()), m(30, 0.1)), "without a tolerance nothing speaks against it")
	require.True(t, Agree(absent(), m(30, 0.1)))
}

func TestObservationOfTheDemo(t *testing.T) {
	r, err := New(bytes.NewReader(inventedLog(t, "clean.csv")), "clean.csv", invented(t))
	require.NoError(t, err)
	for _, o := range drain(t, r) {
		require.LessOrEqual(t, o.DewPointC.Value, o.AirC.Value)
		require.GreaterOrEqual(t, o.GustMPerS.Value, o.WindMPerS.Value)
		require.True(t, o.SeaLevelHPa.OK() && o.SeaLevelHPa.Half > o.StationHPa.Half)
		require.True(t, o.AltimeterHPa.OK() && o.AbsoluteHumidityGPerM3.Half > 0)
	}
}
