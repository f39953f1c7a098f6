package logbook

import (
	"math"
	"time"

	"github.com/stationphysics/stationphysics/internal/limit"
	"github.com/stationphysics/stationphysics/rain"
	"github.com/stationphysics/stationphysics/solar"
	"github.com/stationphysics/stationphysics/station"
	"github.com/stationphysics/stationphysics/wind"
)

// A Config says what the log itself does not. Everything is optional: what
// needs an unstated number is not concluded.
type Config struct {
	Start      time.Time                       // of a time_s column
	StepS      float64                         // seconds between rows, 0.1..7200; 0 stands for 60
	Ignore     []string                        // columns to pass over
	Place      *Place                          // for pressure at sea level, irradiance and night
	Cup        wind.Cup                        // for wind_pulses
	Bucket     rain.Bucket                     // for rain_tips
	VaneMPerS  float64                         // below it the vane's direction is missing, 0..5 m/s
	LightTopLx float64                         // largest value of the light sensor, 0..200000 lx; 0 if unknown, then nothing is pegged
	Tolerance  Tolerances                      // of the sensors
	Power      Power                           // of the supply
	Mistake    func(*station.InputError)       // called for every broken row; nil for none
	Progress   func(bytesRead int64, rows int) // called every 65536 rows; nil for none
}

// A Place is where the station stands.
type Place struct {
	LatDeg, LonDeg float64 // -90..90 north positive, -180..180 east positive
	BarometerM     float64 // height of the pressure sensor above sea level, -430..6000 m
}

// Tolerances are the half-widths of the sensors' error bands as their sheets
// give them, taken as limits of a rectangular distribution (JCGM 100, 4.3.7).
// Zero is not stated: the half-width of what depends on it is NaN.
type Tolerances struct {
	AirK            float64 // 0..5 K
	Air2K           float64 // 0..5 K; 0 stands for AirK
	HumidityPct     float64 // 0..20 % of relative humidity
	Humidity2Pct    float64 // 0..20 %; 0 stands for HumidityPct
	PressureHPa     float64 // 0..20 hPa
	PressureStepHPa float64 // repeatability over three hours, 0..2 hPa, for the tendency
	HeightM         float64 // of the pressure sensor, 0..50 m; 0 is taken as exact
	LightFrac       float64 // 0..0.5 of the reading
	WindMPerS       float64 // 0..5 m/s; the larger of this and WindFrac counts
	WindFrac        float64 // 0..0.5 of the reading
	DirectionDeg    float64 // 0..45 degrees
	RainFrac        float64 // 0..0.5 of the depth
}

// A Power is what the builder knows of the supply. Zero is not stated.
type Power struct {
	LimitV float64 // pack voltage that must not be passed: cells times the cell's limit, 0..100 V
	SetV   float64 // output that the charger is set to, 0..100 V
	HoldV  float64 // panel voltage that the charger holds, 0..200 V
	OpenV  float64 // panel with nothing connected, in sun, 0..200 V
	FrostC float64 // below it the cells must not be charged, -40..20 °C; 0 °C for lithium cells
}

func (c *Config) check() error {
	within := func(q, u string, v, lo, hi float64) error {
		r := limit.Range{Quantity: q, Unit: u, Min: lo, Max: hi}
		return r.Check(v)
	}
	t, p := &c.Tolerance, &c.Power
	err := limit.First(
		within("step between rows", "s", c.StepS, 0.1, 7200),
		within("start of the vane", "m/s", c.VaneMPerS, 0, 5),
		within("top of the light sensor's range", "lx", c.LightTopLx, 0, 200000),
		within("tolerance of the air temperature", "K", t.AirK, 0, 5),
		within("tolerance of the second air temperature", "K", t.Air2K, 0, 5),
		within("tolerance of the humidity", "%", t.HumidityPct, 0, 20),
		within("tolerance of the second humidity", "%", t.Humidity2Pct, 0, 20),
		within("tolerance of the pressure", "hPa", t.PressureHPa, 0, 20),
		within("repeatability of the pressure", "hPa", t.PressureStepHPa, 0, 2),
		within("tolerance of the height", "m", t.HeightM, 0, 50),
		within("tolerance of the light as a share", "", t.LightFrac, 0, 0.5),
		within("tolerance of the wind", "m/s", t.WindMPerS, 0, 5),
		within("tolerance of the wind as a share", "", t.WindFrac, 0, 0.5),
		within("tolerance of the direction", "deg", t.DirectionDeg, 0, 45),
		within("tolerance of the rain as a share", "", t.RainFrac, 0, 0.5),
		within("limit of the pack", "V", p.LimitV, 0, 100),
		within("set voltage", "V", p.SetV, 0, 100),
		within("held voltage", "V", p.HoldV, 0, 200),
		within("open voltage", "V", p.OpenV, 0, 200),
		within("lowest temperature of charging", "°C", p.FrostC, -40, 20),
	)
	if err == nil && c.Place != nil {
		err = limit.First(
			within("latitude", "deg", c.Place.LatDeg, -90, 90),
			within("longitude", "deg", c.Place.LonDeg, -180, 180),
			within("height of the pressure sensor", "m", c.Place.BarometerM, -430, 6000))
	}
	return err
}

// A sunClock gives the sun at the place, with one track a year.
type sunClock struct {
	site  solar.Site
	year  int
	track *solar.Track
	ok    bool
}

func newSunClock(p *Place) (s sunClock, err error) {
	if p == nil {
		return s, nil
	}
	s.site, err = solar.NewSite(p.LatDeg, p.LonDeg, math.Max(p.BarometerM, -430))
	s.ok = err == nil
	return s, err
}

// at gives the position; false without a place or outside the years.
func (s *sunClock) at(t time.Time) (solar.Position, bool) {
	if !s.ok {
		return solar.Position{}, false
	}
	t = t.UTC()
	// A track pays from the second row of a year on; a log whose clock jumps
	// about the years would have to make one for every row.
	if y := t.Year(); y != s.year {
		s.year, s.track = y, nil
		p := s.site.At(t)
		return p, p.ApparentElevationDeg == p.ApparentElevationDeg
	}
	if s.track == nil {
		track, err := s.site.Year(s.year, time.UTC)
		if err != nil {
			return solar.Position{}, false
		}
		s.track = track
	}
	p := s.track.At(t)
	return p, p.ApparentElevationDeg == p.ApparentElevationDeg
}
