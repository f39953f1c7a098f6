package main

import (
	"fmt"
	"time"

	"github.com/stationphysics/stationphysics/solar"
	"github.com/stationphysics/stationphysics/solar/panel"
	"github.com/stationphysics/stationphysics/solar/sky"
)

// ridge is an invented skyline.
var ridge = []solar.SkylinePoint{
	{AzimuthDeg: 90, ElevationDeg: 12}, {AzimuthDeg: 140, ElevationDeg: 6}, {AzimuthDeg: 160, ElevationDeg: 14},
	{AzimuthDeg: 180, ElevationDeg: 21}, {AzimuthDeg: 205, ElevationDeg: 16}, {AzimuthDeg: 250, ElevationDeg: 9},
}

var cet = time.FixedZone("CET", 3600)

func solarNumbers(l *list) {
	l.in("solar")
	line := must[solar.Skyline](l)(solar.NewSkyline(ridge))
	for _, az := range spread(0, 360, 13) {
		l.add(fmt.Sprintf("skyline %g°", az), line.ElevationDeg(az))
	}
	for _, s := range [][2]float64{{49.3, 9.4}, {-36.8, 174.8}, {78.2, 15.6}, {-0.2, -78.5}} {
		site := must[solar.Site](l)(solar.NewSite(s[0], s[1], 300))
		place := fmt.Sprintf("%g° ", s[0])
		l.methods(place+"site", site)
		for _, year := range []int{1905, 1987, 2026, 2190} {
			track := must[*solar.Track](l)(site.Year(year, time.UTC))
			for k := range 6 {
				at := time.Date(year, time.Month(1+2*k), 3+4*k, 4*k, 7*k, 11*k, 0, time.UTC)
				n := place + at.Format("2006-01-02 15:04")
				p := site.At(at)
				l.add(n, p)
				l.methods(n, p)
				l.add(n+" track", track.At(at))
				l.add(n+" DeltaT", solar.DeltaT(at))
			}
		}
		for m := time.January; m <= time.December; m += 3 {
			n := place + m.String()
			l.add(n+" day", must[solar.Day](l)(site.Day(2026, m, 21, cet)))
			l.add(n+" direct", must[solar.DirectSun](l)(site.DirectSun(2026, m, 21, cet, line)))
		}
	}
}

func skyNumbers(l *list) {
	l.in("solar/sky")
	for _, kt := range spread(0.02, 1.1, 10) {
		for _, s := range []sky.Split{sky.ErbsDriesse, sky.Erbs, sky.BolandRidley} {
			l.add(fmt.Sprintf("DiffuseRatio %d %g", s, kt), s.DiffuseRatio(kt))
		}
	}
	for _, m := range []float64{0.2, 0.45, 0.7} {
		for _, p := range []float64{0.1, 0.5, 0.95} {
			l.add(fmt.Sprintf("DailyClearness %g %g", m, p), sky.DailyClearness(m, p))
		}
	}
	for d := 1; d <= 366; d += 73 {
		l.add(fmt.Sprintf("DistanceOnDay %d", d), sky.DistanceOnDayAU(d))
	}
	for _, h := range []float64{-80, -20, 0, 55} {
		global, diffuse := sky.HourlyShares(h, 88)
		l.add(fmt.Sprintf("HourlyShares %g°", h), []float64{global, diffuse})
		l.add(fmt.Sprintf("PrecipitableWater %g", h/3), sky.PrecipitableWaterCm(h/3))
	}
	covers := []*sky.Cover{must[*sky.Cover](l)(sky.NewGlassCover(1.526, 4, 3)), must[*sky.Cover](l)(sky.NewMartinRuizCover(0.16)), must[*sky.Cover](l)(sky.NewASHRAECover(0.05))}
	for i, c := range covers {
		for _, a := range spread(0, 88, 6) {
			n := fmt.Sprintf("cover %d %g° ", i, a)
			l.add(n+"BeamRatio", c.BeamRatio(a))
			l.add(n+"SkyRatio", c.SkyRatio(a))
			l.add(n+"GroundRatio", c.GroundRatio(a))
		}
	}
	line := must[solar.Skyline](l)(solar.NewSkyline(ridge))
	air := sky.Air{PressureHPa: 940, PrecipitableCm: 1.4, OzoneCm: 0.3, Aerosol380Ratio: 0.3, Aerosol500Ratio: 0.2, ForwardRatio: 0.85, GroundAlbedo: 0.2}
	for _, e := range []float64{-3, 0.4, 4, 11, 27, 48, 66, 90} {
		sun := sky.Sun{ElevationDeg: e, AzimuthDeg: 80 + e*2, DistanceAU: 0.99}
		n := fmt.Sprintf("sun %g° ", e)
		l.methods(n, sun)
		l.add(n+"Haurwitz", sky.HaurwitzWPerM2(e))
		clear := sky.ClearSky(sun, 612, 3.1)
		l.add(n+"ClearSky", clear)
		l.add(n+"Bird", air.ClearSky(sun))
		l.add(n+"Illuminance", clear.Illuminance(sun, 7))
		l.add(n+"LightSensor", sky.LightSensor{TopLx: sky.SixteenBitTopLx, DewPointC: 7}.Irradiance(sun, 1000+300*max(e, 0)))
		half := sky.ErbsDriesse.Light(sun, clear.GlobalWPerM2/2)
		l.add(n+"Split", half)
		for m := sky.Perez; m <= sky.Isotropic; m++ {
			for i, skyline := range []solar.Skyline{{}, line} {
				plane := must[*sky.Plane](l)(sky.NewPlane(sky.Mount{TiltDeg: 50, FacingDeg: 170, Albedo: 0.2, Sky: m, Skyline: skyline, Cover: covers[0], SoilingPct: 3}))
				k := fmt.Sprintf("%son plane %d %d", n, m, i)
				on := plane.On(sun, half)
				l.add(k, on)
				l.add(k+" EffectiveWPerM2", plane.EffectiveWPerM2(on, 10))
				l.add(k+" IncidenceDeg", plane.IncidenceDeg(sun))
				l.add(k+" SkyViewRatio", plane.SkyViewRatio())
			}
		}
	}
	site := must[solar.Site](l)(solar.NewSite(49.3, 9.4, 612))
	for h := range 24 {
		mid, up := sky.SunUp(site, epoch.Add(time.Duration(h)*time.Hour), time.Hour)
		l.add(fmt.Sprintf("SunUp %d h", h), mid)
		l.add(fmt.Sprintf("SunUp %d h ratio", h), up)
	}
	year := must[[]sky.Hour](l)(sky.SyntheticYear(site, climate, 2026, cet, 7))
	for k := 11; k < len(year); k += 241 {
		l.add(fmt.Sprintf("SyntheticYear hour %d", k), year[k])
	}
}

// climate is invented.
var climate = sky.Climate{
	DailyGlobalKWhPerM2: [12]float64{0.9, 1.6, 2.8, 4.1, 5.0, 5.5, 5.4, 4.7, 3.3, 1.9, 1.0, 0.7},
	MeanTempC:           [12]float64{-1, 0, 4, 8, 13, 16, 18, 17, 13, 9, 3, 0},
	DailySpreadK:        4, WindMPerS: 1.5,
}

func panelNumbers(l *list) {
	l.in("solar/panel")
	m := must[panel.Module](l)(panel.Fit(panel.Label{
		Pmax: 10, Vmp: 17.5, Imp: 0.571, Voc: 21.6, Isc: 0.620,
		IscPctPerK: 0.05, VocPctPerK: -0.33, CellsInSeries: 36,
	}))
	l.methods("module", m)
	nominal := must[panel.Nominal](l)(panel.NewNominal(46))
	heats := []panel.CellTemperature{panel.OpenRack(), nominal, nominal.WithWind(), panel.GlassOpenRack(), panel.PolymerInsulated()}
	for i, h := range heats {
		for _, g := range []float64{0, 200, 1000} {
			l.add(fmt.Sprintf("CellC %d %g W/m²", i, g), h.CellC(g, 17, 2.3))
		}
	}
	for _, g := range []float64{0, 5, 90, 480, 1100} {
		for _, t := range []float64{-25, 25, 68} {
			c := m.At(g, t)
			n := fmt.Sprintf("%g W/m² %g °C", g, t)
			l.methods(n, c)
			for _, v := range []float64{-4, 0, 12.6, 16.8, 19} {
				l.add(fmt.Sprintf("%s CurrentA(%g)", n, v), c.CurrentA(v))
				l.add(fmt.Sprintf("%s KeptFrac(%g)", n, v), c.KeptFrac(v))
			}
			l.add(n+" VoltageV", c.VoltageV(0.1))
			low, high := c.KeptBand(0.9)
			l.add(n+" KeptBand", []float64{low, high})
		}
	}
	least, most := m.DarkLeakA(12.8, 25)
	l.add("DarkLeakA", []float64{least, most})
	l.add("Window", must[panel.Window](l)(m.Window(-25, 35, nil)))
	sunny, shaded := m.At(900, 45), m.At(90, 25)
	for i, g := range []panel.Group{must[panel.Group](l)(panel.Series(0.6, sunny, shaded)), must[panel.Group](l)(panel.Parallel(0.3, sunny, shaded))} {
		n := fmt.Sprintf("group %d ", i)
		best := g.MaxPower()
		l.flat(n+"Vmp", best.Vmp)
		l.flat(n+"Imp", best.Imp)
		l.add(n, []float64{best.Pmp, g.OpenCircuitV(), g.ShortCircuitA(), g.CurrentA(12)})
	}

	site := must[solar.Site](l)(solar.NewSite(48, 15, 400))
	var day []panel.Step
	for h := range 24 {
		start := epoch.AddDate(0, 2, 0).Add(time.Duration(h) * time.Hour)
		sun, up := sky.SunUp(site, start, time.Hour)
		clear := sky.ClearSky(sun, 400, 3)
		light := sky.Light{GlobalWPerM2: up * clear.GlobalWPerM2, BeamNormalWPerM2: up * clear.BeamNormalWPerM2, DiffuseWPerM2: up * clear.DiffuseWPerM2}
		day = append(day, panel.Step{Record: sky.Record{Start: start, Length: time.Hour, Light: light}, AirC: 4, WindMPerS: 2})
	}
	plane := must[*sky.Plane](l)(sky.NewPlane(sky.Mount{TiltDeg: 60, FacingDeg: 180}))
	series := make([]panel.Weather, len(day))
	panel.BatchWeather(series, day, plane, site)
	l.add("Yield", must[panel.Yield](l)(m.Yield(series, 1, nil, 14)))
	hold, kept, err := m.BestHold(series, 1, nil)
	if err != nil {
		l.fail(err)
	}
	l.add("BestHold", []float64{hold, kept})
	best := must[panel.Best](l)(m.BestMount(day, sky.Mount{}, site, nil, 0))
	l.add("BestMount", best.Yield)
	l.add("BestMount mount", []float64{best.Mount.TiltDeg, best.Mount.FacingDeg})
}
