package panel

import (
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"github.com/stationphysics/stationphysics/solar"
	"github.com/stationphysics/stationphysics/solar/sky"
)

// clearYear is every tenth day of a cloudless year in hours, the months as
// groups: the sun alone decides where a panel should look.
func clearYear(t testing.TB, latDeg float64) ([]Step, *solar.Track) {
	t.Helper()
	site, err := solar.NewSite(latDeg, 15, 300)
	require.NoError(t, err)
	track, err := site.Year(2023, time.UTC)
	require.NoError(t, err)
	var out []Step
	for at := time.Date(2023, 1, 3, 0, 0, 0, 0, time.UTC); at.Year() == 2023; at = at.Add(10 * 24 * time.Hour) {
		for h := range 24 {
			r := sky.Record{Start: at.Add(time.Duration(h) * time.Hour), Length: time.Hour}
			for m := 5 * time.Minute; m < time.Hour; m += 10 * time.Minute {
				l := sky.ClearSky(sky.SunAt(track.At(r.Start.Add(m))), 300, 3)
				r.GlobalWPerM2 += l.GlobalWPerM2 / 6
				r.BeamNormalWPerM2 += l.BeamNormalWPerM2 / 6
				r.DiffuseWPerM2 += l.DiffuseWPerM2 / 6
			}
			out = append(out, Step{Record: r, AirC: 10, WindMPerS: 2, Group: int(at.Month())})
		}
	}
	return out, track
}

func oneGroup(series []Step) []Step {
	out := make([]Step, len(series))
	copy(out, series)
	for i := range out {
		out[i].Group = 0
	}
	return out
}

func TestBestMountOfAClearYear(t *testing.T) {
	m := referencePanel(t)
	series, track := clearYear(t, 48)
	base := sky.Mount{Albedo: 0.2}
	year, err := m.BestMount(oneGroup(series), base, track, nil, 0)
	require.NoError(t, err)
	// Without clouds the panel looks due south, a little flatter than the latitude.
	require.InDelta(t, 180, year.Mount.FacingDeg, 3)
	require.InDelta(t, 40, year.Mount.TiltDeg, 5)
	require.Equal(t, year.PoorestW, year.MeanW)
	require.InEpsilon(t, year.Yield.MaxPowerWh/float64(len(series)), year.MeanW, 1e-12)
	// No neighbour at 1° gets more, by the same sums over BatchWeather and Yield.
	weather := make([]Weather, len(series))
	wh := func(tilt, facing float64) float64 {
		mount := base
		mount.TiltDeg, mount.FacingDeg = tilt, facing
		plane, err := sky.NewPlane(mount)
		require.NoError(t, err)
		BatchWeather(weather, series, plane, track)
		y, err := m.Yield(weather, 1, nil, 14)
		require.NoError(t, err)
		return y.MaxPowerWh
	}
	best := wh(year.Mount.TiltDeg, year.Mount.FacingDeg)
	require.InEpsilon(t, best, year.Yield.MaxPowerWh, 1e-12)
	for _, d := range [][2]float64{{1, 0}, {-1, 0}, {0, 1}, {0, -1}, {5, 0}, {-5, 0}, {0, 20}, {0, -20}, {-30, 0}} {
		require.LessOrEqual(t, wh(year.Mount.TiltDeg+d[0], year.Mount.FacingDeg+d[1]), best*(1+1e-12), d)
	}

	// For the darkest month: steeper, and more of it than the yearly one gets.
	dark, err := m.BestMount(series, base, track, nil, 0)
	require.NoError(t, err)
	require.InDelta(t, 180, dark.Mount.FacingDeg, 3)
	// Upright to the noon sun of the solstice, 18.6° high, is 71.4°; the lower sun before and after asks for more.
	require.InDelta(t, 74, dark.Mount.TiltDeg, 4)
	require.Less(t, dark.Yield.MaxPowerWh, year.Yield.MaxPowerWh)
	require.Less(t, dark.PoorestW, dark.MeanW)

	// A hill that hides the south up to 30° puts the winter sun out of sight: an
	// even sky is all that is left, and the best panel lies nearly flat.
	hill, err := solar.NewSkyline([]solar.SkylinePoint{{AzimuthDeg: 90, ElevationDeg: 0}, {AzimuthDeg: 110, ElevationDeg: 30}, {AzimuthDeg: 250, ElevationDeg: 30}, {AzimuthDeg: 270, ElevationDeg: 0}})
	require.NoError(t, err)
	behind, err := m.BestMount(series, sky.Mount{Sky: sky.Isotropic, Skyline: hill}, track, nil, 0)
	require.NoError(t, err)
	require.Less(t, behind.Mount.TiltDeg, 20.0)
	require.Less(t, behind.PoorestW, 0.4*dark.PoorestW)

	// A wood in the west and south-west turns the panel to the morning.
	wood, err := solar.NewSkyline([]solar.SkylinePoint{{AzimuthDeg: 170, ElevationDeg: 0}, {AzimuthDeg: 175, ElevationDeg: 60}, {AzimuthDeg: 300, ElevationDeg: 60}, {AzimuthDeg: 310, ElevationDeg: 0}})
	require.NoError(t, err)
	base.Skyline = wood
	morning, err := m.BestMount(oneGroup(series), base, track, nil, 0)
	require.NoError(t, err)
	require.InDelta(t, 125, morning.Mount.FacingDeg, 25)
}

func TestBestMountSouthAndHeld(t *testing.T) {
	m := referencePanel(t)
	series, track := clearYear(t, -35)
	tracks, err := m.BestMount(oneGroup(series), sky.Mount{Albedo: 0.2}, track, nil, 0)
	require.NoError(t, err)
	require.Less(t, math.Abs(math.Mod(tracks.Mount.FacingDeg+180, 360)-180), 4.0, "north: %v", tracks.Mount.FacingDeg)
	held, err := m.BestMount(oneGroup(series), sky.Mount{Albedo: 0.2}, track, PolymerInsulated(), 16)
	require.NoError(t, err)
	require.InEpsilon(t, held.Yield.HeldWh/float64(len(series)), held.MeanW, 1e-12)
	require.Less(t, held.MeanW, tracks.MeanW)
	require.Greater(t, held.Yield.HottestCellC, tracks.Yield.HottestCellC+5, "the model of the cells' heat is the one given")
}

func TestBestMountInPolarNight(t *testing.T) {
	m := referencePanel(t)
	series, track := clearYear(t, 72)
	best, err := m.BestMount(series, sky.Mount{Albedo: 0.6}, track, nil, 0)
	require.NoError(t, err)
	require.Greater(t, best.PoorestW, 0.0, "months without sun do not count")
	require.Greater(t, best.Mount.TiltDeg, 60.0)
	var nights []Step
	for _, s := range series {
		if s.Start.Month() == time.December {
			nights = append(nights, s)
		}
	}
	best, err = m.BestMount(nights, sky.Mount{TiltDeg: 33}, track, nil, 0)
	require.NoError(t, err)
	require.Equal(t, Best{Mount: sky.Mount{TiltDeg: 33}}, best, "nothing to choose by")
}

// TestBestMountAtTheEnds has one answer in each corner of the search.
func TestBestMountAtTheEnds(t *testing.T) {
	m := referencePanel(t)
	site, err := solar.NewSite(48, 15, 300)
	require.NoError(t, err)
	noon := sky.Record{Start: time.Date(2023, 6, 21, 10, 30, 0, 0, time.UTC), Length: time.Hour}
	overcast := noon
	overcast.Light = sky.Light{GlobalWPerM2: 200, DiffuseWPerM2: 200}
	best := func(base sky.Mount, r ...sky.Record) Best {
		var series []Step
		for i, r := range r {
			series = append(series, Step{Record: r, AirC: 10, Group: i})
		}
		b, err := m.BestMount(series, base, site, nil, 0)
		require.NoError(t, err)
		return b
	}
	// An even sky over black ground: flat.
	flat := best(sky.Mount{Sky: sky.Isotropic}, overcast)
	require.Zero(t, flat.Mount.TiltDeg)
	require.Equal(t, 180.0, flat.Mount.FacingDeg)
	// The same light held back by a skyline of 70° but for a gap at the
	// horizon in the west-south-west, over bright ground: upright, facing it.
	gap, err := solar.NewSkyline([]solar.SkylinePoint{{AzimuthDeg: 0, ElevationDeg: 80}, {AzimuthDeg: 215, ElevationDeg: 80}, {AzimuthDeg: 216, ElevationDeg: 0}, {AzimuthDeg: 264, ElevationDeg: 0}, {AzimuthDeg: 265, ElevationDeg: 80}})
	require.NoError(t, err)
	upright := best(sky.Mount{Sky: sky.Isotropic, Skyline: gap, Albedo: 0.8}, overcast)
	require.Equal(t, 90.0, upright.Mount.TiltDeg)
	require.InDelta(t, 240, upright.Mount.FacingDeg, 2)
	// A sun in the north-east, seen at the far end of the circle.
	early := sky.Record{Start: time.Date(2023, 6, 21, 4, 30, 0, 0, time.UTC), Length: 10 * time.Minute,
		Light: sky.Light{GlobalWPerM2: 200, BeamNormalWPerM2: 700, DiffuseWPerM2: 0.1}}
	p := site.At(early.Start.Add(5 * time.Minute))
	dawn := best(sky.Mount{Sky: sky.Isotropic}, early)
	require.InDelta(t, p.AzimuthDeg, dawn.Mount.FacingDeg, 1.5)
	require.InDelta(t, 90-p.ApparentElevationDeg, dawn.Mount.TiltDeg, 1.5)
	// Held at 15 V the mean is over the ten minutes.
	held, err := m.BestMount([]Step{{Record: early, AirC: 10}}, sky.Mount{Sky: sky.Isotropic}, site, nil, 15)
	require.NoError(t, err)
	require.InEpsilon(t, held.Yield.HeldWh*6, held.MeanW, 1e-12)
	require.InEpsilon(t, 1.0/6, held.Yield.LitH, 1e-12)
	require.InEpsilon(t, dawn.Yield.MaxPowerWh*6, dawn.MeanW, 1e-12)
	// Two groups: the poorer one decides, though the other has more to give.
	rich := noon
	rich.Light = sky.Light{GlobalWPerM2: 800, BeamNormalWPerM2: 850, DiffuseWPerM2: 80}
	both := best(sky.Mount{Sky: sky.Isotropic}, rich, early)
	require.InDelta(t, p.AzimuthDeg, both.Mount.FacingDeg, 30)
	require.InEpsilon(t, both.Yield.MaxPowerWh/(both.Yield.LitH), both.MeanW, 1e-12)
	require.Less(t, both.PoorestW, both.MeanW)
	// Of mounts that do as well for the poorest group, the rest decides.
	require.True(t, merit{1, 2}.better(merit{1, 1}))
	require.True(t, merit{2, 0}.better(merit{1, 9}))
	require.False(t, merit{1, 1}.better(merit{1, 1}))
	require.False(t, merit{1, 9}.better(merit{2, 0}))
}

func TestBestMountRefuses(t *testing.T) {
	m := referencePanel(t)
	series, track := clearYear(t, 48)
	try := func(spoil func(s *Step), base sky.Mount, hold float64) error {
		own := make([]Step, 24)
		copy(own, series)
		if spoil != nil {
			spoil(&own[12])
		}
		_, err := m.BestMount(own, base, track, nil, hold)
		return err
	}
	require.NoError(t, try(nil, sky.Mount{}, 14))
	require.ErrorContains(t, try(nil, sky.Mount{}, -1), "held voltage -1 V")
	require.Error(t, try(nil, sky.Mount{Albedo: 2}, 14))
	require.ErrorContains(t, try(func(s *Step) { s.AirC = 300 }, sky.Mount{}, 14), "step 12 of the series: air temperature 300 °C")
	require.ErrorContains(t, try(func(s *Step) { s.SnowPct = -1 }, sky.Mount{}, 14), "step 12 of the series")
	require.ErrorContains(t, try(func(s *Step) { s.GlobalWPerM2 = math.NaN() }, sky.Mount{}, 14), "step 12 of the series")
	require.ErrorContains(t, try(func(s *Step) { s.Length = 5 * time.Hour }, sky.Mount{}, 14), "step 12 of the series: length of the interval 18000 s is outside 1..10800 s")
	require.ErrorContains(t, try(func(s *Step) { s.Start = s.Start.AddDate(300, 0, 0) }, sky.Mount{}, 14), "step 12 of the series: sun elevation NaN deg is outside -90..90 deg")
}

func TestBatchWeather(t *testing.T) {
	series, track := clearYear(t, 48)
	series = series[:48]
	plane, err := sky.NewPlane(sky.Mount{TiltDeg: 60, FacingDeg: 180, Albedo: 0.2, SoilingPct: 5})
	require.NoError(t, err)
	series[36].SnowPct = 40
	series[37].GlobalWPerM2 = math.NaN()
	dst := make([]Weather, len(series))
	BatchWeather(dst, series, plane, track)
	require.Equal(t, Weather{AirC: 10, WindMPerS: 2}, dst[0], "night")
	require.InEpsilon(t, 0.95, dst[35].IrradianceWPerM2/dst[35].OnGlassWPerM2, 1e-12, "dirt keeps light but not heat")
	require.InEpsilon(t, 0.95*0.6, dst[36].IrradianceWPerM2/dst[36].OnGlassWPerM2, 1e-12)
	require.True(t, math.IsNaN(dst[37].IrradianceWPerM2))
	// Any one part of the light makes a step worth looking at.
	for _, l := range []sky.Light{{GlobalWPerM2: 200, DiffuseWPerM2: 200}, {GlobalWPerM2: 200, BeamNormalWPerM2: 400}} {
		one := []Step{{Record: sky.Record{Start: series[35].Start, Length: time.Hour, Light: l}}}
		BatchWeather(dst[:1], one, plane, track)
		require.Greater(t, dst[0].IrradianceWPerM2, 50.0, l)
	}
	require.PanicsWithValue(t, "panel: slice lengths differ", func() { BatchWeather(dst[:5], series, plane, track) })
}

func BenchmarkBestMount(b *testing.B) {
	m := referencePanel(b)
	series, track := clearYear(b, 48)
	for b.Loop() {
		if _, err := m.BestMount(series, sky.Mount{Albedo: 0.2}, track, nil, 0); err != nil {
			b.Fatal(err)
		}
	}
}
