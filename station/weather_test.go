package station

import (
	"errors"
	"fmt"
	"math"

	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"github.com/stationphysics/stationphysics/solar/sky"
)

const ownHeader = "time,global_w_per_m2,direct_w_per_m2,diffuse_w_per_m2,air_c,wind_m_per_s\n"

// ownRows writes n hours from midnight, with one row replaced or dropped.
func ownRows(n int, at int, replace string) string {
	var b strings.Builder
	start := time.Date(2023, 1, 1, 0, 0, 0, 0, time.FixedZone("", 3600))
	for i := range n {
		if i == at {
			if replace != "" {
				b.WriteString(replace + "\n")
			}
			continue
		}
		fmt.Fprintf(&b, "%s,100,50,80,%g,2\n", start.Add(time.Duration(i)*time.Hour).Format(time.RFC3339), 5.0)
	}
	return b.String()
}

func TestReadWeatherOwnForm(t *testing.T) {
	w, err := ReadWeather(strings.NewReader("# measured here\n"+ownHeader+ownRows(48, 3, "2023-01-01T03:00:00+01:00,-2.5,0,0,4.5,0")), "w.csv")
	require.NoError(t, err)
	require.Len(t, w.Steps, 48)
	require.Equal(t, time.Hour, w.Step)
	require.Equal(t, 1, w.NightOffsetCount)
	require.Equal(t, WeatherStep{Start: w.Steps[3].Start, AirC: 4.5}, w.Steps[3], "a night offset is a zero")
	require.Equal(t, "2023-01-01T04:00:00+01:00", w.Steps[4].Start.Format(time.RFC3339))
	c := w.Climate()
	require.InDelta(t, (47*5+4.5)/48, c.AirC[0], 1e-12) // rounding of a sum of 48
	require.InDelta(t, 47*0.1/2, c.GlobalKWhPerM2[0], 1e-12)
	require.Equal(t, 4.5, *c.RecordLowC)
	require.Equal(t, 5.0, *c.RecordHighC)
	require.InDelta(t, 47*2.0/48, *c.WindMPerS, 1e-12)
	require.True(t, math.IsNaN(c.AirC[6]), "no July")
	require.False(t, w.Split)
	require.Nil(t, w.Typical)
}

func TestReadWeatherGlobalAloneAndOtherOrder(t *testing.T) {
	var b strings.Builder
	b.WriteString("air_c,time,global_w_per_m2\n")
	start := time.Date(2023, 6, 1, 0, 0, 0, 0, time.UTC)
	for i := range 60 * 24 {
		fmt.Fprintf(&b, "20,%s,300\n", start.Add(time.Duration(i)*time.Minute).Format(time.RFC3339))
	}
	w, err := ReadWeather(strings.NewReader(b.String()), "w.csv")
	require.NoError(t, err)
	require.True(t, w.Split)
	require.Equal(t, time.Minute, w.Step)
	require.Equal(t, 1.0, w.Steps[7].WindMPerS)
}

func TestReadWeatherSaysWhatIsWrong(t *testing.T) {
	for name, c := range map[string]struct{ text, says string }{
		"empty":                   {"", "w.csv: the file is empty"},
		"unknown column":          {"time,global_w_per_m2,air\n", `w.csv:1: air: unknown column "air": did you mean "air_c"?`},
		"semicolons":              {"time;global_w_per_m2;air_c\n2025-01-01T00:00:00Z;0;1,5\n", "w.csv:1: the columns are not separated by commas"},
		"another name of one":     {"time,ghi,air_c\n", `w.csv:1: ghi: unknown column "ghi": did you mean "global_w_per_m2"?`},
		"missing column":          {"time,air_c\n", "w.csv:1: global_w_per_m2: the column is missing"},
		"column twice":            {"time,air_c,air_c,global_w_per_m2\n", "w.csv:1: air_c: the column stands twice"},
		"direct without diffuse":  {"time,air_c,global_w_per_m2,direct_w_per_m2\n", "direct_w_per_m2 and diffuse_w_per_m2 belong together"},
		"no offset in time":       {ownHeader + ownRows(30, 5, "2023-01-01 05:00,1,1,1,5,2"), `w.csv:7: time: "2023-01-01 05:00" is not an RFC 3339 time`},
		"not a number":            {ownHeader + ownRows(30, 5, "2023-01-01T05:00:00+01:00,1,1,x,5,2"), `w.csv:7: diffuse irradiance: "x" is not a number`},
		"NaN":                     {ownHeader + ownRows(30, 5, "2023-01-01T05:00:00+01:00,NaN,1,1,5,2"), "w.csv:7: global irradiance NaN W/m² is outside -25..1600 W/m²"},
		"kelvins":                 {ownHeader + ownRows(30, 5, "2023-01-01T05:00:00+01:00,1,1,1,278.15,2"), "w.csv:7: air temperature 278.15 °C is outside -80..60 °C: kelvins?"},
		"joules":                  {ownHeader + ownRows(30, 5, "2023-01-01T05:00:00+01:00,360000,1,1,5,2"), "global irradiance 360000 W/m² is outside -25..1600 W/m²: joules per square metre?"},
		"far below zero":          {ownHeader + ownRows(30, 5, "2023-01-01T05:00:00+01:00,-999,1,1,5,2"), "global irradiance -999 W/m² is outside"},
		"direct joules":           {ownHeader + ownRows(30, 5, "2023-01-01T05:00:00+01:00,1,360000,1,5,2"), "w.csv:7: direct normal irradiance 360000 W/m² is outside -25..1420 W/m²: joules per square metre?"},
		"diffuse joules":          {ownHeader + ownRows(30, 5, "2023-01-01T05:00:00+01:00,1,1,360000,5,2"), "w.csv:7: diffuse irradiance 360000 W/m² is outside -25..1000 W/m²: joules per square metre?"},
		"wind backwards":          {ownHeader + ownRows(30, 5, "2023-01-01T05:00:00+01:00,1,1,1,5,-2"), "w.csv:7: wind speed -2 m/s is outside 0..75 m/s"},
		"dew in kelvins":          {"time,global_w_per_m2,direct_w_per_m2,diffuse_w_per_m2,air_c,wind_m_per_s,dew_point_c\n2023-01-01T05:00:00+01:00,1,1,1,5,2,278\n", "w.csv:2: dew point 278 °C is outside -90..40 °C: kelvins?"},
		"hour missing":            {ownHeader + ownRows(30, 5, ""), "w.csv:7: time: 2h0m0s after the row before instead of 1h0m0s: 1 missing"},
		"time runs back":          {ownHeader + ownRows(30, 5, "2023-01-01T01:00:00+01:00,1,1,1,5,2"), "w.csv:7: time: -3h0m0s after the row before instead of 1h0m0s: times must rise"},
		"uneven":                  {ownHeader + ownRows(30, 5, "2023-01-01T05:10:00+01:00,1,1,1,5,2"), "steps must be equal"},
		"cut short":               {ownHeader + ownRows(30, 29, "2023-01-02T05:00:00+01:00,1,1"), "w.csv:31: 3 fields instead of 6: is the file cut short?"},
		"half a day":              {ownHeader + ownRows(12, -1, ""), "only 12h0m0s of weather: at least one day is needed"},
		"one row":                 {ownHeader + ownRows(1, -1, ""), "1 rows: at least one day of steps is needed"},
		"two hours a step":        {"time,air_c,global_w_per_m2\n2023-01-01T00:00:00Z,1,1\n2023-01-01T02:00:00Z,1,1\n", "the step from the row before is 2h0m0s: steps of 1 minute to 1 hour are accepted"},
		"diffuse above global":    {ownHeader + ownRows(30, 12, "2023-01-01T12:00:00+01:00,100,50,300,5,2"), "w.csv:14: 2023-01-01T12:00:00+01:00: diffuse irradiance 300 W/m² and global irradiance 100 W/m² contradict each other: the diffuse part cannot exceed the global by more than 5 % and 20 W/m²"},
		"an endless line":         {strings.Repeat("7", 1<<17), "w.csv:1: the line is longer than 65536 bytes"},
		"endless line after head": {ownHeader + strings.Repeat("7", 1<<17), "w.csv:2: the line is longer than 65536 bytes"},
	} {
		t.Run(name, func(t *testing.T) {
			w, err := ReadWeather(strings.NewReader(c.text), "w.csv")
			require.Nil(t, w)
			require.ErrorContains(t, err, c.says)
			var list InputErrors
			require.True(t, errors.As(err, &list))
		})
	}
}

func TestReadWeatherReportsTogetherUpToALimit(t *testing.T) {
	bad := strings.ReplaceAll(ownRows(48, -1, ""), ",5,2", ",500,2")
	_, err := ReadWeather(strings.NewReader(ownHeader+bad), "w.csv")
	var list InputErrors
	require.True(t, errors.As(err, &list))
	require.Len(t, list, maxReported)
	require.Equal(t, 2, list[0].Line)
	require.Equal(t, 3, list[1].Line)
}

// typicalYear writes a file in the typical-year format with the few columns
// that are read, months taken from different years as real ones are.
func typicalYear(change func(hour int, line string) string) string {
	var b strings.Builder
	b.WriteString("999999,\"INVENTED PLACE\",XX,1.0,47.500,9.500,553\n")
	b.WriteString("Date (MM/DD/YYYY),Time (HH:MM),GHI (W/m^2),DNI (W/m^2),DHI (W/m^2),Dry-bulb (C),Wspd (m/s)\n")
	hour := 0
	for m := 1; m <= 12; m++ {
		year := 1984 + m%5
		days := time.Date(2023, time.Month(m)+1, 0, 0, 0, 0, 0, time.UTC).Day()
		for d := 1; d <= days; d++ {
			for h := 1; h <= 24; h++ {
				line := fmt.Sprintf("%02d/%02d/%04d,%02d:00,%d,%d,%d,%.1f,2.1\n", m, d, year, h, 100, 40, 80, 7.0)
				if change != nil {
					line = change(hour, line)
				}
				b.WriteString(line)
				hour++
			}
		}
	}
	return b.String()
}

func TestReadTypicalYear(t *testing.T) {
	w, err := ReadWeather(strings.NewReader(typicalYear(nil)), "t.csv")
	require.NoError(t, err)
	require.Len(t, w.Steps, 8760)
	require.Equal(t, &TypicalSite{Name: "INVENTED PLACE", UTCOffsetH: 1, LatitudeDeg: 47.5, LongitudeDeg: 9.5, HeightM: 553}, w.Typical)
	// The stamp stands at the end of the hour: 01:00 is the first hour.
	require.Equal(t, "1985-01-01T00:00:00+01:00", w.Steps[0].Start.Format(time.RFC3339))
	require.Equal(t, 23, w.Steps[8759].Start.Hour())
	require.Equal(t, time.December, w.Steps[8759].Start.Month())
}

func TestReadTypicalYearSaysWhatIsWrong(t *testing.T) {
	at := func(n int, to string) string {
		return typicalYear(func(hour int, line string) string {
			if hour == n {
				return to
			}
			return line
		})
	}
	whole := typicalYear(nil)
	for name, c := range map[string]struct{ text, says string }{
		"hour missing":      {at(1000, ""), "t.csv:1003: Time (HH:MM): hour 1002 of the year where hour 1001 is due: 1 missing"},
		"cut in a row":      {whole[:len(whole)-20], "is the file cut short?"},
		"cut between rows":  {whole[:strings.LastIndex(whole[:len(whole)-1], "\n")+1], "8759 hours instead of 8760: the file is cut short"},
		"site without zone": {strings.Replace(whole, "XX,1.0", "XX,east", 1), `t.csv:1: "east" in the site line is not a number`},
		"no hour":           {at(1000, "02/11/1986,xx:00,1,1,1,7,2\n"), `t.csv:1003: Time (HH:MM): "xx:00" is not an hour from 01:00 to 24:00`},
		"direct joules":     {at(1000, "02/11/1986,17:00,1,360000,1,7,2\n"), "t.csv:1003: direct normal irradiance 360000 W/m² is outside -25..1420 W/m²: joules per square metre?"},
		"diffuse joules":    {at(1000, "02/11/1986,17:00,1,1,360000,7,2\n"), "t.csv:1003: diffuse irradiance 360000 W/m² is outside -25..1000 W/m²: joules per square metre?"},
		"air in kelvins":    {at(1000, "02/11/1986,17:00,1,1,1,280,2\n"), "t.csv:1003: air temperature 280 °C is outside -80..60 °C: kelvins?"},
		"wind backwards":    {at(1000, "02/11/1986,17:00,1,1,1,7,-2\n"), "t.csv:1003: wind speed -2 m/s is outside 0..75 m/s"},
		"dew in kelvins":    {strings.Replace(strings.Replace(whole, "(m/s)", "(m/s),Dew-point (C)", 1), "2.1\n", "2.1,278\n", 1), "t.csv:3: dew point 278 °C is outside -90..40 °C: kelvins?"},
		"only the site":     {"999999,\"X\",XX,1.0,47.5,9.5,553\n", "t.csv:1: the file ends after the site line"},
		"no wind column":    {strings.Replace(whole, "Wspd (m/s)", "Wind", 1), "t.csv:2: Wspd (m/s): the column is missing"},
		"missing value":     {at(5, "01/01/1985,06:00,-9900,0,0,7.0,2.1\n"), "t.csv:8: global irradiance -9900 W/m²"},
		"impossible hour":   {at(5, "01/01/1985,25:00,0,0,0,7.0,2.1\n"), `t.csv:8: Time (HH:MM): "25:00" is not an hour from 01:00 to 24:00`},
		"impossible date":   {at(5, "13/01/1985,06:00,0,0,0,7.0,2.1\n"), `t.csv:8: Time (HH:MM): "13/01/1985" is not a date`},
		"letters in a cell": {at(5, "01/01/1985,06:00,zero,0,0,7.0,2.1\n"), `t.csv:8: global irradiance: "zero" is not a number`},
	} {
		t.Run(name, func(t *testing.T) {
			w, err := ReadWeather(strings.NewReader(c.text), "t.csv")
			require.Nil(t, w)
			require.ErrorContains(t, err, c.says)
		})
	}
}

func FuzzReadWeather(f *testing.F) {
	f.Add(ownHeader + ownRows(25, -1, ""))
	f.Add("999999,\"X\",XX,1.0,47.5,9.5,553\nDate (MM/DD/YYYY),Time (HH:MM)\n")
	f.Add("time,air_c,global_w_per_m2\n2023-01-01T00:00:00Z,1,1\n")
	f.Fuzz(func(t *testing.T, s string) {
		w, err := ReadWeather(strings.NewReader(s), "f.csv")
		if err != nil {
			require.Nil(t, w)
			return
		}
		for _, s := range w.Steps {
			require.GreaterOrEqual(t, s.GlobalWPerM2, 0.0)
			require.GreaterOrEqual(t, s.DirectWPerM2, 0.0)
			require.GreaterOrEqual(t, s.SkyWPerM2, 0.0)
			require.True(t, s.AirC >= -80 && s.AirC <= 60)
		}
	})
}

func TestDaylightStaysWithinItsEfficacy(t *testing.T) {
	least, most := math.Inf(1), 0.0
	for elevation := 1.0; elevation <= 90; elevation += 1.5 {
		sun := sky.Sun{ElevationDeg: elevation, AzimuthDeg: 180, DistanceAU: 1}
		level := sun.ExtraterrestrialWPerM2() * math.Sin(elevation*math.Pi/180)
		for clearness := 0.05; clearness <= 1; clearness += 0.05 {
			global := clearness * level
			if global < brightWPerM2 {
				continue
			}
			for diffuse := 0.05; diffuse <= 1; diffuse += 0.05 {
				beam := (1 - diffuse) * global / math.Sin(elevation*math.Pi/180)
				if beam > 1100 {
					continue
				}
				l := sky.Light{GlobalWPerM2: global, BeamNormalWPerM2: beam, DiffuseWPerM2: diffuse * global}
				lmPerW := l.Illuminance(sun, usualDewPointC).GlobalLx / global
				least, most = min(least, lmPerW), max(most, lmPerW)
			}
		}
	}
	require.Greater(t, least, float64(leastLmPerW))
	require.Less(t, most, float64(mostLmPerW))
}

func TestReadWeatherTakesSoManySteps(t *testing.T) {
	was := maxSteps
	defer func() { maxSteps = was }()
	maxSteps = 47
	_, err := ReadWeather(strings.NewReader(ownHeader+ownRows(48, -1, "")), "w.csv")
	require.EqualError(t, err, "w.csv:49: more than 47 steps")
}

func TestSunlightThatTheSunCannotGive(t *testing.T) {
	m := model(t, demo(t))
	at := time.Date(2023, 1, 1, 0, 0, 0, 0, time.UTC)
	w := &Weather{Source: "w.csv", Step: time.Hour, Steps: []WeatherStep{{Start: at, GlobalWPerM2: 700}}}
	_, err := m.Sunlight(w)
	require.ErrorContains(t, err, "w.csv: 2023-01-01T00:00:00Z: global irradiance 700 W/m² is outside -30..100 W/m²: sunlight at night, a wrong time zone? (the sun of latitude ")
	require.ErrorContains(t, err, " deg allows no more: another place or time zone?)")
	nan := math.NaN()
	w.Steps[0] = WeatherStep{Start: at.Add(12 * time.Hour), GlobalWPerM2: nan, DirectWPerM2: nan, SkyWPerM2: nan}
	_, err = m.Sunlight(w)
	require.ErrorContains(t, err, "w.csv: 2023-01-01T12:00:00Z: global irradiance NaN W/m² is outside 0..")
	w.Typical = &TypicalSite{LatitudeDeg: 95}
	_, err = m.Sunlight(w)
	require.EqualError(t, err, "w.csv:1: latitude 95 deg is outside -90..90 deg")
}

// A gap, or a step too long, after the first row is told once: the rows behind it follow
// each other.
func TestGapAfterTheFirstRow(t *testing.T) {
	rows := strings.SplitAfter(ownRows(30, -1, ""), "\n")
	_, err := ReadWeather(strings.NewReader(ownHeader+rows[0]+strings.Join(rows[3:], "")), "w.csv")
	var errs InputErrors
	require.ErrorAs(t, err, &errs)
	require.Len(t, errs, 1)
	require.Equal(t, 3, errs[0].Line)
	require.ErrorContains(t, errs[0], "the step from the row before is 3h0m0s")
}
