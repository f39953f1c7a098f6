package sky

import (
	"errors"
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"github.com/stationphysics/stationphysics"
	"github.com/stationphysics/stationphysics/solar"
)

var nan = math.NaN()

func vienna(t testing.TB) solar.Site { return must(solar.NewSite(48.2, 16.37, 200))(t) }

func TestCleanCounts(t *testing.T) {
	noon, night := "2024-03-20T11:00:00Z", "2024-03-20T23:00:00Z"
	for name, c := range map[string]struct {
		in   Record
		want Light
		n    Cleaning
	}{
		"nothing to do":             {record(noon, 600, 700, 120), Light{600, 700, 120}, Cleaning{}},
		"night offsets":             {record(night, -3, -0.4, -2.5), Light{0, 0, 0}, Cleaning{NegativeCount: 1}},
		"largest offset":            {record(night, -30, 0, -30), Light{0, 0, 0}, Cleaning{NegativeCount: 1}},
		"tracker's offset at night": {record(night, 0, 2, 0), Light{0, 0, 0}, Cleaning{}},
		"twilight":                  {record(night, 3, 0, 3), Light{3, 0, 3}, Cleaning{}},
		"overcast, two sensors":     {record(noon, 200, 0, 209), Light{200, 0, 200}, Cleaning{DiffuseCount: 1}},
		"largest excess":            {record(noon, 200, 0, 215), Light{200, 0, 200}, Cleaning{DiffuseCount: 1}},
		"all missing":               {record(noon, nan, nan, nan), Light{nan, nan, nan}, Cleaning{MissingCount: 1}},
		"beam alone":                {record(noon, nan, 500, nan), Light{nan, 500, nan}, Cleaning{MissingCount: 1}},
		"diffuse alone":             {record(noon, nan, nan, 100), Light{nan, nan, 100}, Cleaning{MissingCount: 1}},
		"night, global alone":       {record(night, 0, nan, nan), Light{0, 0, 0}, Cleaning{FilledCount: 1}},
		"night, diffuse alone":      {record(night, nan, nan, 2), Light{2, 0, 2}, Cleaning{FilledCount: 1}},
		"night, nothing":            {record(night, nan, nan, nan), Light{nan, nan, nan}, Cleaning{MissingCount: 1}},
		"night, beam alone":         {record(night, nan, 0, nan), Light{nan, 0, nan}, Cleaning{MissingCount: 1}},
	} {
		r := []Record{c.in}
		n, err := Clean(r, vienna(t), ErbsDriesse)
		require.NoError(t, err, name)
		require.Equal(t, c.n, n, name)
		same := func(a, b float64) bool { return a == b || math.IsNaN(a) && math.IsNaN(b) }
		require.True(t, same(c.want.GlobalWPerM2, r[0].GlobalWPerM2) && same(c.want.BeamNormalWPerM2, r[0].BeamNormalWPerM2) &&
			same(c.want.DiffuseWPerM2, r[0].DiffuseWPerM2), "%s: %+v", name, r[0].Light)
	}
}

func TestCleanFillsIn(t *testing.T) {
	site := vienna(t)
	p := must(NewPlane(Mount{Sky: Isotropic}))(t)
	for _, start := range []string{"2024-03-20T04:30:00Z", "2024-03-20T05:00:00Z", "2024-03-20T11:00:00Z", "2024-06-20T18:20:00Z"} {
		at := record(start, 0, 0, 0)
		mid, up := SunUp(site, at.Start, time.Hour)
		require.Greater(t, up, 0.05)
		sinE := math.Sin(mid.ElevationDeg * rad)
		global := 0.5 * up * mid.ExtraterrestrialWPerM2() * sinE
		outside := 0.0 // on the level, by the second
		for k := range 3600 {
			sun := SunAt(site.At(at.Start.Add(time.Duration(k)*time.Second + time.Second/2)))
			outside += sun.ExtraterrestrialWPerM2() * max(0, math.Sin(sun.ElevationDeg*rad)) / 3600
		}
		clearness := global / outside
		for _, split := range []Split{ErbsDriesse, Erbs, BolandRidley} {
			full := []Record{record(start, global, nan, nan)}
			n, err := Clean(full, site, split)
			require.NoError(t, err)
			require.Equal(t, 1, n.FilledCount)
			f := full[0]
			require.NoError(t, f.Check())
			require.InEpsilon(t, split.DiffuseRatio(clearness), f.DiffuseWPerM2/f.GlobalWPerM2, 1e-3, start)
			// Over finds the same level light again.
			on := p.Over(site, f)
			require.InDelta(t, global, on.TotalWPerM2, 1e-6*global+1e-3, start)
			require.InDelta(t, global-f.DiffuseWPerM2, on.BeamWPerM2, 1e-6*global+1e-3, start)
			// Each part follows from the other two.
			for _, r := range []Record{
				record(start, nan, f.BeamNormalWPerM2, f.DiffuseWPerM2),
				record(start, f.GlobalWPerM2, nan, f.DiffuseWPerM2),
				record(start, f.GlobalWPerM2, f.BeamNormalWPerM2, nan),
			} {
				got := []Record{r}
				n, err := Clean(got, site, split)
				require.NoError(t, err)
				require.Equal(t, Cleaning{FilledCount: 1}, n)
				require.InDelta(t, f.GlobalWPerM2, got[0].GlobalWPerM2, 1e-9)
				require.InDelta(t, f.BeamNormalWPerM2, got[0].BeamNormalWPerM2, 1e-9)
				require.InDelta(t, f.DiffuseWPerM2, got[0].DiffuseWPerM2, 1e-9)
			}
		}
	}
	// A beam that the division near the horizon blows up is held, and the light
	// stays the same in sum.
	low := []Record{record("2024-03-20T04:10:00Z", 90, nan, nan), record("2024-03-20T04:10:00Z", 90, nan, 2)}
	n, err := Clean(low, site, ErbsDriesse)
	require.NoError(t, err)
	require.Equal(t, 2, n.BeamCount)
	mid, up := SunUp(site, low[0].Start, time.Hour)
	bound := up * beamBound(&mid, math.Sin(mid.ElevationDeg*rad))
	require.InDelta(t, bound, low[0].BeamNormalWPerM2, 1e-9)
	require.InDelta(t, bound, low[1].BeamNormalWPerM2, 1e-9)
	require.InDelta(t, 90, p.Over(site, low[0]).TotalWPerM2, 1, "what the bound of single steps cuts")
	require.Equal(t, 2.0, low[1].DiffuseWPerM2, "what was measured stays")
	// Less diffuse than none: global below the level beam.
	under := []Record{record("2024-03-20T11:00:00Z", 300, 900, nan)}
	_, err = Clean(under, site, ErbsDriesse)
	require.NoError(t, err)
	require.Zero(t, under[0].DiffuseWPerM2)
}

func TestCleanRefuses(t *testing.T) {
	noon, night := "2024-03-20T11:00:00Z", "2024-03-20T23:00:00Z"
	for name, c := range map[string]struct {
		in   Record
		want string
	}{
		"large offset":  {record(night, -31, 0, 0), "global irradiance -31 W/m² is outside -30..100 W/m²"},
		"missing mark":  {record(noon, -999, 0, 0), "global irradiance -999 W/m² is outside -30..1369 W/m²: a mark for a missing value?"},
		"short mark":    {record(noon, -99, 0, 0), "global irradiance -99 W/m² is outside -30..1369 W/m²: a mark for a missing value?"},
		"wrong zone":    {record(night, 400, 0, 0), "global irradiance 400 W/m² is outside -30..100 W/m²: sunlight at night, a wrong time zone?"},
		"night diffuse": {record(night, 90, 0, 80), "diffuse irradiance 80 W/m² is outside -30..50 W/m²: sunlight at night, a wrong time zone?"},
		"night beam":    {record(night, 0, 200, 0), "beam irradiance 200 W/m² is outside -30..30 W/m²: sunlight at night, a wrong time zone?"},
		"too much":      {record(noon, 1800, 0, 0), "global irradiance 1800 W/m² is outside -30..1369 W/m²"},
		"bright dark":   {record(noon, 1200, 0, 1100), "diffuse irradiance 1100 W/m² is outside -30..853 W/m²"},
		"beyond space":  {record(noon, 800, 1400, 50), "beam irradiance 1400 W/m² is outside -30..1372 W/m²"},
		"infinite":      {record(noon, math.Inf(1), 0, 0), "global irradiance +Inf W/m² is outside -30..1369 W/m²"},
		"more diffuse":  {record(noon, 200, 0, 216), "global irradiance 200 W/m² and diffuse irradiance 216 W/m² contradict each other: the diffuse part cannot exceed the global"},
		"length":        {Record{Start: time.Date(2024, 1, 1, 0, 0, 0, 0, time.UTC), Length: 4 * time.Hour}, "length of the interval 14400 s is outside 1..10800 s"},
		"year":          {record("2350-01-01T00:00:00Z", 0, 0, 0), "sun elevation NaN deg is outside -90..90 deg"},
	} {
		records := []Record{record(noon, 500, 500, 100), record(night, -1, 0, 0), c.in, record(night, -1, 0, 0)}
		n, err := Clean(records, vienna(t), ErbsDriesse)
		var re *RecordError
		require.ErrorAs(t, err, &re, name)
		require.Equal(t, 2, re.Index)
		require.Equal(t, c.in.Start, re.Start)
		require.EqualError(t, re.Err, c.want, name)
		require.Equal(t, "record 2 at "+c.in.Start.Format(time.RFC3339)+": "+c.want, err.Error())
		require.Equal(t, Cleaning{NegativeCount: 1}, n, "the records before are cleaned")
		require.Equal(t, -1.0, records[3].GlobalWPerM2, "those after are left")
		var rng *stationphysics.RangeError
		var con *stationphysics.ConflictError
		require.True(t, errors.As(err, &rng) || errors.As(err, &con))
	}
	// The limits where the sun is lower: 10 % of room below 15°.
	low := []Record{record("2024-03-20T06:00:00Z", 100, 0, 114)}
	_, err := Clean(low, vienna(t), ErbsDriesse)
	require.NoError(t, err)
	low = []Record{record("2024-03-20T06:00:00Z", 100, 0, 116)}
	_, err = Clean(low, vienna(t), ErbsDriesse)
	require.Error(t, err)
}
