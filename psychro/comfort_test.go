package psychro

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"github.com/stationphysics/stationphysics/internal/refdata"
)

func mustNew(t testing.TB, tempC, rhPct, pressureHPa float64) State {
	t.Helper()
	s, err := New(tempC, rhPct, pressureHPa)
	require.NoError(t, err)
	return s
}

func TestHeatIndexTable(t *testing.T) {
	refdata.Each(t, "psychro/heat_index", func(r *refdata.Row) {
		f, rh := r.F("tempF"), r.F("rhPct")
		hi, ok := mustNew(t, celsius(f), rh, 1013).HeatIndexC()
		require.True(t, ok, "line %d", r.Line)
		r.Check("heatIndexF", fahrenheit(hi), fmt.Sprintf("heat index of %g °F and %g %%", f, rh))
	})
}

func TestHeatIndexPieces(t *testing.T) {
	at := func(f, rh float64) float64 { hi, _, _ := heatIndex(f, rh); return hi }
	// The plain regression, by hand at 90 °F and 60 %: 99.68 °F.
	require.InDelta(t, 99.68, at(90, 60), 0.005)
	plain := func(f, r float64) float64 {
		return -42.379 + 2.04901523*f + 10.14333127*r - 0.22475541*f*r - 6.83783e-3*f*f - 5.481717e-2*r*r +
			1.22874e-3*f*f*r + 8.5282e-4*f*r*r - 1.99e-6*f*f*r*r
	}
	// Dry air at 95 °F and 10 %: the adjustment takes (13-10)/4 = 0.75 away; at
	// 107.75 °F and 9 % the root of (17-12.75)/17 halves the 1.
	require.InDelta(t, plain(95, 10)-0.75, at(95, 10), 1e-9)
	require.InDelta(t, plain(107.75, 9)-0.5, at(107.75, 9), 1e-9)
	// Humid air at 84 °F and 95 %: plus (95-85)/10 (87-84)/5 = 0.6.
	require.InDelta(t, plain(84, 95)+0.6, at(84, 95), 1e-9)
	// The simple formula where it stays below 80 °F.
	require.InDelta(t, 0.5*(0.5*(80+61+12*1.2+0.094*20)+80), at(80, 20), 1e-12)
	// Beyond 87 °F there is no humid adjustment, and none of the dry one beyond 112 °F.
	require.InDelta(t, at(87.0001, 90), at(87, 90), 0.01)
}

func TestWindChillTable(t *testing.T) {
	refdata.Each(t, "psychro/wind_chill", func(r *refdata.Row) {
		c, v := r.F("tempC"), r.F("windMPerS")
		wc, ok := mustNew(t, c, 50, 1000).WindChillC(v)
		require.True(t, ok, "line %d", r.Line)
		if r.S("unit") == "F" {
			wc = fahrenheit(wc)
		}
		r.Check("windChill", wc, fmt.Sprintf("wind chill of %g °C and %g m/s", c, v))
	})
}

func TestHumidexTable(t *testing.T) {
	refdata.Each(t, "psychro/humidex", func(r *refdata.Row) {
		s, err := From(1000, Temperature(r.F("tempC")), DewPoint(r.F("dewPointC")))
		require.NoError(t, err)
		h, ok := s.HumidexC()
		require.True(t, ok)
		r.Check("humidex", h, "humidex")
	})
}

func TestApparentTemperature(t *testing.T) {
	// By hand: 30 + 0.33*21.3 - 0.7*4 - 4.
	s, err := From(1000, Temperature(30), VapourPressure(21.3))
	require.NoError(t, err)
	at, ok := s.ApparentTemperatureC(4)
	require.True(t, ok)
	require.InDelta(t, 30+0.33*21.3-0.7*4-4, at, 1e-9)
}

func TestIndicesAreNotDefinedOutsideTheirRange(t *testing.T) {
	wind := func(v float64) func(State) (float64, bool) {
		return func(s State) (float64, bool) { return s.WindChillC(v) }
	}
	apparent := func(v float64) func(State) (float64, bool) {
		return func(s State) (float64, bool) { return s.ApparentTemperatureC(v) }
	}
	for name, c := range map[string]struct {
		f       func(State) (float64, bool)
		t, rh   float64
		defined bool
	}{
		"heat index at 80 °F":         {State.HeatIndexC, celsius(80), 40, true},
		"heat index below 80 °F":      {State.HeatIndexC, celsius(79.9), 40, false},
		"heat index at 112 °F":        {State.HeatIndexC, celsius(112), 10, true},
		"heat index above 112 °F":     {State.HeatIndexC, celsius(112.1), 10, false},
		"heat index beyond the chart": {State.HeatIndexC, celsius(110), 60, false},
		"humidex at 20 °C":            {State.HumidexC, 20, 80, true},
		"humidex below 20 °C":         {State.HumidexC, 19.9, 90, false},
		"humidex at 50 °C":            {State.HumidexC, 50, 20, true},
		"humidex above 50 °C":         {State.HumidexC, 50.1, 20, false},
		"humidex of dry air":          {State.HumidexC, 30, 20, false},
		"wind chill at 10 °C":         {wind(5), 10, 50, true},
		"wind chill above 10 °C":      {wind(5), 10.1, 50, false},
		"wind chill at -50 °C":        {wind(5), -50, 50, true},
		"wind chill below -50 °C":     {wind(5), -50.1, 50, false},
		"wind chill from 4.8 km/h":    {wind(4.8 / 3.6), 0, 50, true},
		"wind chill in calm":          {wind(1.3), 0, 50, false},
		"wind chill at 50 m/s":        {wind(50), 0, 50, true},
		"wind chill in a hurricane":   {wind(50.1), 0, 50, false},
		"wind chill of NaN":           {wind(math.NaN()), 0, 50, false},
		"apparent temperature":        {apparent(0), 25, 50, true},
		"apparent at -10 °C":          {apparent(20), -10, 50, true},
		"apparent below -10 °C":       {apparent(2), -10.1, 50, false},
		"apparent at 50 °C":           {apparent(2), 50, 20, true},
		"apparent above 50 °C":        {apparent(2), 50.1, 20, false},
		"apparent in a storm":         {apparent(20.1), 25, 50, false},
		"apparent of negative wind":   {apparent(-1), 25, 50, false},
	} {
		v, ok := c.f(mustNew(t, c.t, c.rh, 1000))
		require.Equal(t, c.defined, ok, name)
		require.Equal(t, !c.defined, math.IsNaN(v), name)
	}
}

func TestWindSensitivities(t *testing.T) {
	s := mustNew(t, -7, 60, 980)
	chill := func(c, v float64) float64 { w, _ := mustNew(t, c, 60, 980).WindChillC(v); return w }
	d, perWind := s.WindChillSensitivity(6)
	require.InDelta(t, difference(func(x float64) float64 { return chill(x, 6) }, -7, 0.1), d.PerK, 1e-8)
	require.InDelta(t, difference(func(x float64) float64 { return chill(-7, x) }, 6, 0.1), perWind, 1e-6)
	require.Zero(t, d.PerPct)
	require.Zero(t, d.PerHPa)
	s = mustNew(t, 27, 60, 980)
	app := func(c, rh, p, v float64) float64 { w, _ := mustNew(t, c, rh, p).ApparentTemperatureC(v); return w }
	d, perWind = s.ApparentTemperatureSensitivity(6)
	require.InDelta(t, difference(func(x float64) float64 { return app(x, 60, 980, 6) }, 27, 0.1), d.PerK, 1e-7)
	require.InDelta(t, difference(func(x float64) float64 { return app(27, x, 980, 6) }, 60, 0.1), d.PerPct, 1e-8)
	require.InDelta(t, difference(func(x float64) float64 { return app(27, 60, x, 6) }, 980, 1), d.PerHPa, 1e-9)
	require.InDelta(t, -0.7, perWind, 1e-12)
	_, w := s.WindChillSensitivity(6)
	require.True(t, math.IsNaN(w), "27 °C has no wind chill")
	d, w = s.ApparentTemperatureSensitivity(30)
	require.True(t, math.IsNaN(w) && math.IsNaN(d.PerK))
}

func TestCondensationMargin(t *testing.T) {
	s := mustNew(t, 20, 60, 1000)
	m, on := s.CondensationMarginK(14)
	require.InDelta(t, 14-s.DewPointC(), m, 1e-12)
	require.Equal(t, Water, on)
	m, _ = s.CondensationMarginK(11)
	require.Negative(t, m)
	// A lens below 0 °C gathers rime at the frost point, before dew.
	s = mustNew(t, 1, 70, 950)
	m, on = s.CondensationMarginK(-3.6)
	require.InDelta(t, -3.6-s.FrostPointC(), m, 1e-12)
	require.Equal(t, Ice, on)
	require.Greater(t, s.FrostPointC(), s.DewPointC())
	// Warm moist air on a cold surface has no frost point, but wets it all the same.
	m, on = mustNew(t, 20, 60, 1000).CondensationMarginK(-5)
	require.Equal(t, Water, on)
	require.Less(t, m, -15.0)
	m, _ = s.CondensationMarginK(280)
	require.True(t, math.IsNaN(m))
}
