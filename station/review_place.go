package station

import (
	"fmt"
	"math"

	"github.com/stationphysics/stationphysics/baro"
	"github.com/stationphysics/stationphysics/power/bus"
	"github.com/stationphysics/stationphysics/psychro"
)

// bus judges the pull-ups of the sensor bus.
func (r *reviewer) bus() {
	const q = "pull-up of the sensor bus"
	if !r.have(TopicBus, q, "bus.supply_v", "bus.pull_ups_ohm", "bus.cable_m") {
		return
	}
	b := r.d.Bus
	mode := bus.Standard
	if *b.SpeedHz > 100e3 {
		mode = bus.Fast
	}
	if *b.SpeedHz > 400e3 {
		mode = bus.FastPlus
	}
	farad := *b.DevicesFarad + *b.CableM**b.FaradPerM
	parallel := bus.ParallelOhm(b.PullUpsOhm...)
	w, err := bus.PullUpWindow(mode, *b.SupplyV, farad)
	if err != nil {
		f := finding(Change, TopicBus, q)
		f.Reason, f.Sure = err.Error(), sureOf()
		f.Action = "shorten the cable or slow the clock"
		r.say(f)
		return
	}
	f := finding(Fine, TopicBus, q).below(parallel, w.GreatestOhm, "ohm")
	f.Sure = sureOf("capacitance of cable and pins where not stated")
	f.Why = []string{fmt.Sprintf("NXP UM10204, section 7.1: (VDD - 0.4 V)/%.0f mA = %.0f ohm <= Rp <= tr/(0.8473 Cb) = %.0f ohm with Cb = %.0f pF", 1000*mode.SinkA(), w.LeastOhm, w.GreatestOhm, farad*1e12)}
	f.Reason = fmt.Sprintf("%d pull-ups in parallel, %.0f pF on %.1f m of cable: %.0f..%.0f ohm serve", len(b.PullUpsOhm), farad*1e12, *b.CableM, w.LeastOhm, w.GreatestOhm)
	switch {
	case parallel > w.GreatestOhm:
		f.Word = Change
		f.Action = "a smaller pull-up, a shorter cable or a slower clock"
	case parallel < w.LeastOhm:
		f = f.above(parallel, w.LeastOhm, "ohm")
		f.Word = Change
		f.Action = "take pull-ups off modules: each adds in parallel"
	}
	r.say(f)
}

// site judges the wind's obstacle; skyline and heights enter elsewhere.
func (r *reviewer) site() {
	const q = "distance of the nearest obstacle, in its heights"
	if !r.have(TopicSite, q, "site.wind_obstacle_m", "site.obstacle_away_m") {
		return
	}
	if *r.d.Site.WindObstacleM == 0 {
		return
	}
	ratio := *r.d.Site.ObstacleAwayM / *r.d.Site.WindObstacleM
	// ISO 19289:2015, wind: 30, 10, 5 and 2.5 heights for classes 1 to 4, from memory.
	class := 5
	for i, h := range []float64{30, 10, 5, 2.5} {
		if ratio >= h {
			class = i + 1
			break
		}
	}
	f := finding(Fine, TopicSite, q).above(ratio, 10, "heights")
	f.Reason = fmt.Sprintf("class %d for wind after ISO 19289 (distances from memory)", class)
	f.Sure = "one obstacle; the worst one decides"
	if class > 2 {
		f.Word = Watch
		f.Action = "state the class with the wind data, or move the mast"
		f.Caution = "Masts and roofs are for licensed practice, clear of overhead lines; lightning protection after IEC 62305."
	}
	r.say(f)
}

// readings turns the raw readings into what may be published.
func (r *reviewer) readings() {
	if r.d.Reading == nil {
		r.say(cannotTell(TopicReadings, "raw readings", []string{"reading"}))
		return
	}
	r.seaLevel()
	r.light()
}

func (r *reviewer) seaLevel() {
	const q = "pressure at sea level"
	if !r.have(TopicReadings, q, "reading.pressure_hpa", "reading.air_c", "reading.rh_pct", "site.latitude_deg") {
		return
	}
	if len(r.d.Missing("site.barometer_height_m")) > 0 && len(r.d.Missing("site.height_m")) > 0 {
		r.say(cannotTell(TopicReadings, q, []string{"site.barometer_height_m"}))
		return
	}
	height, from := deref(r.d.Site.HeightM), "site.height_m, as site.barometer_height_m is not stated"
	if h := r.d.Site.BarometerHeightM; h != nil {
		height, from = *h, "site.barometer_height_m"
	}
	x := r.d.Reading
	p := baro.StationHPa(*x.PressureHPa)
	rh := math.Min(*x.HumidityPct, 100)
	air, err := psychro.New(*x.AirC, rh, *x.PressureHPa)
	if err == nil {
		err = p.Check()
	}
	h := baro.Geopotential(baro.GeometricM(height), *r.d.Site.LatitudeDeg)
	var red baro.Reduction
	if err == nil {
		red, err = baro.NewReduction(baro.Column{Height: h, TempC: *x.AirC, VapourPressureHPa: air.VapourPressureHPa()})
	}
	if err != nil {
		f := finding(CannotTell, TopicReadings, q)
		f.Reason, f.Action = err.Error(), "publish station pressure and altimeter setting instead"
		r.say(f)
		return
	}
	s := red.Sensitivity(p)
	f := finding(Fine, TopicReadings, q)
	f.Value, f.Unit = float64(red.SeaLevel(p)), "hPa"
	f.Reason = fmt.Sprintf("station %.1f hPa; altimeter setting %.1f hPa is another quantity", p, baro.AltimeterSetting(p, h))
	if dew := air.DewPointC(); !math.IsNaN(dew) { // dry air has none
		f.Reason += fmt.Sprintf("; dew point %.1f °C", dew)
	}
	f.Sure = fmt.Sprintf("1 m of height is %.2f hPa, 1 K of air %.2f hPa; height from %s", s.HPaPerM, -s.HPaPerK, from)
	f.Why = []string{fmt.Sprintf("log10(p0/p) = Kp H/(T + a H/2 + e Ch), WMO-No. 8 part I ch. 3, with H = %.1f gpm, T = %.2f K, e = %.2f hPa", h, *x.AirC+273.15, air.VapourPressureHPa())}
	if x.BoxC != nil && math.Abs(*x.BoxC-*x.AirC) >= 2 {
		wrong := red.TempErrorHPa(p, *x.BoxC)
		if math.Abs(wrong) >= 0.3 {
			f.Word = Watch
			f.Action = fmt.Sprintf("reduce with the air temperature of the shield, not the %.0f °C of the sensor's own box: that would be off by %+.1f hPa", *x.BoxC, wrong)
		}
	}
	r.say(f)
}

// light judges a pegged light reading and how often the sensor is at its top.
func (r *reviewer) light() {
	for i, s := range r.d.Sensors {
		if s.Kind != "light" {
			continue
		}
		name := or(s.Name, fmt.Sprintf("sensor %d", i+1))
		if !r.have(TopicReadings, "range of "+name, fmt.Sprintf("sensor[%d].top_lx", i)) {
			continue
		}
		f := finding(Fine, TopicReadings, "top of "+name)
		f.Value, f.Unit = *s.TopLx, "lx"
		f.Reason = "direct sun gives 100 000 to 130 000 lx (common practice, no published source)"
		f.Sure = sureOf()
		if r.sun != nil {
			h := r.sun.LightAboveLx[*s.TopLx]
			f.Reason = fmt.Sprintf("daylight exceeds it for %.0f hours of the year", h)
			f.Sure = "luminous efficacy of Perez et al. 1990 on the year's weather"
			if h > 0 {
				f.Word = Watch
				f.Action = "report readings at the top as \"at least\"; a diffuser or a lower gain setting extends the range"
			}
		}
		if x := r.d.Reading; x != nil && x.LightLx != nil && *x.LightLx >= 0.999**s.TopLx {
			f.Word = Watch
			f.Reason += fmt.Sprintf("; the reading of %.0f lx stands at the top: at least that", *x.LightLx)
			f.Action = "report readings at the top as \"at least\"; a diffuser or a lower gain setting extends the range"
		}
		r.say(f)
	}
}
