// Generate writes an invented log of a weather station: two days of one-minute
// rows, with planted troubles or, with -clean, without any. The same seed gives
// the same log.
//
//	go run ./examples/readings/generate -seed 1 > troubled.csv
//	go run ./examples/readings/generate -seed 1 -clean > clean.csv
//
// All numbers are invented.
package main

import (
	"bufio"
	"flag"
	"fmt"
	"io"
	"math"
	"math/rand/v2"
	"os"
	"time"

	"github.com/stationphysics/stationphysics/psychro"
	"github.com/stationphysics/stationphysics/solar"
	"github.com/stationphysics/stationphysics/solar/sky"
)

func main() { os.Exit(run(os.Args[1:], os.Stdout, os.Stderr)) }

func run(args []string, out, complaints io.Writer) int {
	fs := flag.NewFlagSet("generate", flag.ContinueOnError)
	fs.SetOutput(complaints)
	seed := fs.Uint64("seed", 1, "seed of the weather")
	clean := fs.Bool("clean", false, "plant no troubles")
	days := fs.Int("days", 2, "days to write, 1 to 4000; troubles are in the first two")
	if fs.Parse(args) != nil || fs.NArg() > 0 || *days < 1 || *days > 4000 {
		fs.Usage()
		return 2
	}
	if err := write(out, *seed, *clean, *days); err != nil {
		fmt.Fprintln(complaints, err)
		return 2
	}
	return 0
}

// The invented place and supply: those of the example that reads the log.
const (
	latDeg, lonDeg, heightM = 48.1, 11.6, 520
	holdV, openV, setV      = 17.0, 20.5, 7.0
	tipMm                   = 0.2
)

// A row is one minute.
type row struct {
	air, air2, rh, rh2, hPa, lux, wind, gust, dir float64
	tips                                          int
	pack, panel, amps, box                        float64
	boots                                         int
}

// A weather makes one minute after the other.
type weather struct {
	rng               *rand.Rand
	site              solar.Site
	dAir, dWind, dDir float64 // slowly wandering departures
	packV             float64
	start             time.Time
}

func write(out io.Writer, seed uint64, clean bool, days int) error {
	site, err := solar.NewSite(latDeg, lonDeg, heightM)
	if err != nil {
		return err
	}
	zone := time.FixedZone("", 3600)
	w := &weather{rng: rand.New(rand.NewPCG(seed, 20)), site: site, packV: 6.55, start: time.Date(2026, 3, 20, 0, 0, 0, 0, zone)}
	b := bufio.NewWriter(out)
	fmt.Fprintln(b, "# invented log of an invented station, one row a minute")
	fmt.Fprintln(b, "time,air_c,air_2_c,humidity_pct,humidity_2_pct,pressure_hpa,light_lx,wind_m_per_s,gust_m_per_s,direction_deg,rain_tips,pack_v,panel_v,pack_ma,box_c,boots")
	var shift time.Duration
	for m := range days * 24 * 60 {
		r := w.minute(m)
		at := w.start.Add(time.Duration(m) * time.Minute)
		cells := map[int]string{}
		if !clean {
			var drop bool
			if drop, shift = plant(m, &r, cells, shift); drop {
				continue
			}
		}
		line := format(at.Add(shift), &r, cells)
		if !clean && m == day1(18, 30) {
			fmt.Fprintln(b, "2026-03-20T18:2\x7f:,3.1,3.0") // a write that was cut
			fmt.Fprintln(b, line)
		}
		fmt.Fprintln(b, line)
	}
	return b.Flush()
}

func format(at time.Time, r *row, cells map[int]string) string {
	f := []string{
		at.Format(time.RFC3339), fmt.Sprintf("%.2f", r.air), fmt.Sprintf("%.2f", r.air2), fmt.Sprintf("%.2f", r.rh), fmt.Sprintf("%.2f", r.rh2),
		fmt.Sprintf("%.2f", r.hPa), fmt.Sprintf("%.1f", r.lux), fmt.Sprintf("%.2f", r.wind), fmt.Sprintf("%.2f", r.gust), fmt.Sprintf("%.1f", r.dir), fmt.Sprint(r.tips),
		fmt.Sprintf("%.3f", r.pack), fmt.Sprintf("%.2f", r.panel), fmt.Sprintf("%.1f", r.amps*1000), fmt.Sprintf("%.2f", r.box), fmt.Sprint(r.boots),
	}
	line := ""
	for i, s := range f {
		if c, ok := cells[i]; ok {
			s = c
		}
		if i > 0 {
			line += ","
		}
		line += s
	}
	return line
}

// minute makes the weather and the station of one minute: a frosty clear day
// and a wet one, in turn.
func (w *weather) minute(m int) (r row) {
	n := w.rng.NormFloat64
	hour := float64(m%1440) / 60
	wet := m/1440%2 == 1
	day := math.Cos(2 * math.Pi * (hour - 14) / 24)
	w.dAir += -w.dAir/40 + 0.03*n()
	w.dWind += -w.dWind/15 + 0.12*n()
	w.dDir += -w.dDir/60 + 3*n()
	cloud, dew := 0.55+0.1*math.Sin(hour*3), -4.5+1.5*day
	r.air = 3 + 6*day + w.dAir
	if wet {
		cloud, dew = 0.2+0.05*math.Sin(hour*5), 4+day
		r.air = 6.5 + 2*day + w.dAir
		// The days meet at midnight over two hours, not in a jump.
	}
	blend := math.Min(1, hour/3)
	if m >= 1440 && blend < 1 {
		before := 3 + 6*day
		beforeDew := -4.5 + 1.5*day
		if !wet {
			before, beforeDew = 6.5+2*day, 4+day
		}
		r.air += (1 - blend) * (before + w.dAir - r.air)
		dew += (1 - blend) * (beforeDew - dew)
	}
	e := psychro.WMO8.PressureHPa(psychro.Water, math.Min(dew, r.air-0.6))
	r.rh = 100 * e / psychro.WMO8.PressureHPa(psychro.Water, r.air)
	r.air2 = r.air + 0.08 + 0.03*n()
	r.rh2 = r.rh - 0.5 + 0.3*n()
	r.rh = math.Min(97.5, r.rh+0.4*n())
	r.hPa = 951 + 3*math.Sin(2*math.Pi*float64(m)/3100) + 0.05*n()
	sun := sky.SunAt(w.site.At(w.start.Add(time.Duration(m) * time.Minute)))
	// Clouds keep the light below the sensor's top all year.
	r.lux = math.Max(0, sky.HaurwitzWPerM2(sun.ElevationDeg)*cloud*118*(1+0.02*n()))
	r.lux = math.Min(r.lux, 54000-500*math.Abs(n()))
	r.wind = math.Max(0.2, 2.6+0.8*day+w.dWind)
	r.gust = r.wind*1.4 + 0.5 + 0.2*math.Abs(n())
	r.dir = math.Mod(240+w.dDir+8*n()+720, 360)
	if wet && hour >= 10 && hour < 14 && w.rng.Float64() < 0.25 {
		r.tips = 1
	}
	r.panel = math.Min(holdV, r.lux/12000*holdV) + 0.03*n()
	charge := 0.0
	if r.lux > 12000 {
		charge = 0.2 * r.lux / 50000
	}
	r.amps = charge - 0.02
	w.packV += r.amps * 0.25 / 60
	if r.lux < 3000 {
		w.packV -= (w.packV - 6.5) * 0.2 / 60 // the night takes what the day brought
	}
	r.pack = w.packV + 0.001*n()
	r.box = r.air + 4 + 3*r.lux/50000
	r.boots = 7
	return r
}

func day1(hour, minute int) int { return hour*60 + minute }
func day2(hour, minute int) int { return 1440 + day1(hour, minute) }

// plant changes a minute for the troubles that the log is to show. Cells
// replaces single cells by text; the row is left out if drop.
func plant(m int, r *row, cells map[int]string, shift time.Duration) (drop bool, newShift time.Duration) {
	in := func(from, to int) bool { return m >= from && m < to }
	constantVapour := func(riseK float64) {
		e := r.rh * psychro.WMO8.PressureHPa(psychro.Water, r.air)
		r.air += riseK
		r.rh = e / psychro.WMO8.PressureHPa(psychro.Water, r.air)
		r.air2, r.rh2 = r.air+0.05, r.rh-0.4
	}
	switch { // gaps and clock
	case in(day1(22, 0), day1(22, 20)):
		return true, shift
	case m == day2(22, 0):
		shift -= 30 * time.Minute
	}
	switch { // wind
	case in(day1(0, 30), day1(5, 30)):
		r.wind, r.gust, r.dir = 0, 0, 231.5
		r.rh, r.rh2 = 93+math.Mod(float64(m)*0.37, 1.5), 93
	case in(day2(2, 0), day2(6, 0)):
		r.wind, r.gust = 0, 0
		r.dir = math.Mod(r.dir+float64(m%7)*20, 360)
	case in(day2(6, 30), day2(8, 30)):
		r.dir, r.wind = 228, r.wind+1.5
		r.gust = r.wind * 1.6
	case in(day1(18, 0), day1(18, 5)):
		r.gust = r.wind / 2
	}
	switch { // air, humidity, pressure, light
	case in(day1(2, 0), day1(4, 30)):
		r.air2 += 1.6
	case in(day1(9, 50), day1(10, 10)):
		constantVapour(3.5 * math.Min(1, float64(m-day1(9, 50))/8))
		r.wind, r.gust = 0.8+0.02*float64(m%5), 1.4
	case in(day1(11, 0), day1(12, 30)):
		r.lux = 54612.5
	case in(day2(0, 0), day2(8, 0)):
		r.rh = 100
		r.rh2 = 96.5 + math.Mod(float64(m)*0.37, 1)
	case m == day1(16, 40):
		r.hPa += 8
	case m == day1(16, 50):
		cells[3] = "131.0"
	case in(day1(20, 0), day1(20, 3)):
		cells[1] = "-140.2"
	case in(day1(20, 10), day1(20, 12)):
		cells[5] = "65535"
	case m == day1(20, 20):
		cells[5] = "nan"
	case in(day2(14, 0), day2(18, 0)):
		r.hPa = 951.25
	}
	switch { // rain
	case m == day1(3, 10):
		r.tips = 1
	case m == day2(11, 5):
		r.tips = 40
	}
	switch { // supply
	case in(day1(7, 0), day1(7, 20)):
		r.box, r.amps = -2, 0.1
	case in(day1(12, 0), day1(13, 0)):
		r.box = r.air + 15
	case in(day1(13, 0), day1(13, 30)):
		r.pack, r.panel = 7.45, 19
	case in(day1(13, 40), day1(14, 10)):
		r.pack, r.panel, r.amps = 7.0, 20.4, 0
	case in(day1(14, 20), day1(15, 20)):
		r.pack, r.panel, r.amps = 6.6, 20.4, -0.02
	case in(day2(9, 0), day2(13, 0)):
		r.pack, r.panel, r.amps = 6.50-float64(m-day2(9, 0))*1e-5, 17, 0
	case in(day2(16, 0), day2(16, 45)):
		r.pack = 6.3 - 0.1*float64((m-day2(16, 0))/10)
	}
	if m >= day1(17, 10) { // three starts at a steady voltage
		r.boots += min(3, 1+(m-day1(17, 10))/12)
	}
	if m >= day2(16, 0) { // and four while it sags
		r.boots += min(4, 1+(m-day2(16, 0))/10)
	}
	return false, shift
}
