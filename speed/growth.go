package main

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"math"
	"math/rand/v2"
	"os"
	"os/exec"
	"runtime"
	"runtime/metrics"
	"strconv"
	"strings"
	"time"

	"github.com/stationphysics/stationphysics/rain"
	"github.com/stationphysics/stationphysics/solar/sky"
	"github.com/stationphysics/stationphysics/station"
	"github.com/stationphysics/stationphysics/station/logbook"
)

// A job is work that comes in sizes. Each size runs in a process of its own, so
// that its memory is its own.
type job struct {
	name string
	what string // of the sizes
	size [3]int // 1x, 10x, 100x
	make func(d *station.Description, size int) (func() error, error)
}

var jobs = []job{
	{"years", "seeded hourly years of the demonstration station, `Model.Years`", [3]int{1, 10, 100}, manyYears},
	{"variants", "variants of a sizing map over 5 years: 4 loads; 10 tilts; 10 capacities", [3]int{4, 40, 400}, variants},
	{"map years", "years of a sizing map of 40 variants", [3]int{1, 10, 100}, mapYears},
	{"logbook", "rows of a log of one-minute rows of twelve columns", [3]int{10000, 100000, 1000000}, logRows},
}

// wholeMap is the sizing map of BenchmarkSizingMap400x20.
var wholeMap = job{"map", "400 variants over 20 years", [3]int{400, 400, 400}, func(d *station.Description, _ int) (func() error, error) {
	return search(d, station.Search{
		ParallelPanels: []int{1, 2, 3, 4}, TiltsDeg: []float64{30, 40, 50, 60, 70},
		CapacitiesAh: []float64{6, 12, 18, 24, 30}, LoadFrac: []float64{1, 0.5, 0.25, 0.1}, Years: 20, FirstSeed: 1, AcceptedLostH: 24,
	})
}}

func search(d *station.Description, s station.Search) (func() error, error) {
	m, err := station.Compile(d)
	return func() error {
		_, err := m.Size(context.Background(), s)
		return err
	}, err
}

func manyYears(d *station.Description, size int) (func() error, error) {
	m, err := station.Compile(d)
	return func() error {
		_, err := m.Years(context.Background(), station.Plan{FirstSeed: 1, Years: size})
		return err
	}, err
}

func steps(n int, from, step float64) []float64 {
	out := make([]float64, n)
	for i := range out {
		out[i] = from + step*float64(i)
	}
	return out
}

func variants(d *station.Description, size int) (func() error, error) {
	s := station.Search{LoadFrac: []float64{1, 0.5, 0.25, 0.1}, Years: 5, FirstSeed: 1, AcceptedLostH: 24}
	if size >= 40 {
		s.TiltsDeg = steps(10, 30, 5)
	}
	if size >= 400 {
		s.CapacitiesAh = steps(10, 6, 3)
	}
	return search(d, s)
}

func mapYears(d *station.Description, size int) (func() error, error) {
	return search(d, station.Search{TiltsDeg: steps(2, 40, 20), CapacitiesAh: steps(5, 6, 6), LoadFrac: []float64{1, 0.5, 0.25, 0.1}, Years: size, FirstSeed: 1, AcceptedLostH: 24})
}

func logRows(_ *station.Description, size int) (func() error, error) {
	bucket, err := rain.NewBucket(rain.BucketSpec{TipMm: 0.2, TipTimeS: 0.4, IgnoreS: 0.1})
	c := logbook.Config{
		Place: &logbook.Place{LatDeg: sunLatDeg, LonDeg: sunLonDeg, BarometerM: sunHeightM}, Bucket: bucket, LightTopLx: sky.SixteenBitTopLx,
		Tolerance: logbook.Tolerances{AirK: 0.3, HumidityPct: 3, PressureHPa: 1, PressureStepHPa: 0.1, HeightM: 2, LightFrac: 0.15,
			WindMPerS: 0.5, WindFrac: 0.1, DirectionDeg: 5, RainFrac: 0.05},
		Power: logbook.Power{LimitV: 7.3, SetV: 7.0, HoldV: 17, OpenV: 20.5},
	}
	return func() error {
		r, err := logbook.New(newLog(size), "log.csv", c)
		if err != nil {
			return err
		}
		for n := 0; ; n++ {
			if _, err := r.Next(); err != nil {
				if errors.Is(err, io.EOF) && n == size {
					return nil
				}
				return fmt.Errorf("row %d: %w", n, err)
			}
		}
	}, err
}

// A log is an invented log of any length, written as it is read: one day of
// readings again and again.
type log struct {
	day  [1440][]byte
	at   time.Time
	row  int
	rows int
	line []byte
	left []byte
}

func newLog(rows int) *log {
	l := &log{rows: rows, at: time.Date(2020, 1, 1, 0, 0, 0, 0, time.UTC)}
	l.left = []byte("time,air_c,humidity_pct,pressure_hpa,light_lx,wind_m_per_s,gust_m_per_s,direction_deg,rain_tips,pack_v,panel_v,box_c\n")
	rng := rand.New(rand.NewPCG(3, 4))
	for m := range l.day {
		s := math.Sin(2 * math.Pi * float64(m-540) / 1440)
		l.day[m] = fmt.Appendf(nil, ",%.2f,%.1f,%.2f,%.0f,%.2f,%.2f,%.0f,0,%.3f,%.2f,%.2f\n",
			9+4*s+0.05*rng.NormFloat64(), 68-12*s+0.5*rng.NormFloat64(), 945+math.Sin(float64(m)/200)+0.05*rng.NormFloat64(), math.Max(0, 3e4*s),
			2+math.Abs(rng.NormFloat64()), 6+rng.Float64(), 220+20*rng.Float64(), 6.6+0.1*s, 17*math.Max(0, s), 11+5*s)
	}
	return l
}

func (l *log) Read(p []byte) (n int, err error) {
	for n < len(p) {
		if len(l.left) == 0 {
			if l.row == l.rows {
				break
			}
			l.line = append(l.at.AppendFormat(l.line[:0], time.RFC3339), l.day[l.row%len(l.day)]...)
			l.left = l.line
			l.row++
			l.at = l.at.Add(time.Minute)
		}
		k := copy(p[n:], l.left)
		n, l.left = n+k, l.left[k:]
	}
	if n == 0 {
		return 0, io.EOF
	}
	return n, nil
}

// A cost is what one size of a job took.
type cost struct {
	WallS      float64 // of one repetition, the mean: the shortest of many small ones would be quieter than the only large one
	CPUS       float64 // of the whole process, all repetitions
	Repeats    int
	AllocB     float64 // by one repetition
	PeakHeapB  float64 // objects, dead ones not yet swept included
	ResidentB  float64 // most of the process; 0 if the system does not tell
	FailReason string
}

// work runs one size of a job in this process and prints its cost as JSON.
func work(name string, size int, out io.Writer) error {
	for _, j := range append([]job{wholeMap}, jobs...) {
		if j.name != name {
			continue
		}
		f, err := os.Open("../examples/station/demo.toml")
		if err != nil {
			return err
		}
		defer f.Close()
		d, err := station.Read(f, "demo.toml")
		if err != nil {
			return err
		}
		run, err := j.make(d, size)
		if err != nil {
			return err
		}
		c, err := measureCost(run)
		if err != nil {
			return err
		}
		return json.NewEncoder(out).Encode(c)
	}
	return fmt.Errorf("no job is named %q", name)
}

func measureCost(run func() error) (c cost, err error) {
	stop, peak := make(chan bool), make(chan float64)
	go func() { peak <- watchHeap(stop) }()
	var before, after runtime.MemStats
	runtime.ReadMemStats(&before)
	begin, spent := time.Now(), time.Duration(0)
	for c.Repeats == 0 || spent < effort {
		if err := run(); err != nil {
			return c, err
		}
		c.Repeats++
		spent = time.Since(begin)
	}
	c.WallS = spent.Seconds() / float64(c.Repeats)
	runtime.ReadMemStats(&after)
	close(stop)
	c.PeakHeapB = <-peak
	c.AllocB = float64(after.TotalAlloc-before.TotalAlloc) / float64(c.Repeats)
	if b, err := os.ReadFile("/proc/self/status"); err == nil {
		kB, _, _ := strings.Cut(field(string(b), "VmHWM"), " ")
		x, _ := strconv.ParseFloat(kB, 64)
		c.ResidentB = x * 1024
	}
	return c, nil
}

// watchHeap looks at the heap every millisecond until it is stopped.
func watchHeap(stop <-chan bool) (peakB float64) {
	sample := []metrics.Sample{{Name: "/memory/classes/heap/objects:bytes"}}
	tick := time.NewTicker(time.Millisecond)
	defer tick.Stop()
	for {
		metrics.Read(sample)
		peakB = math.Max(peakB, float64(sample[0].Value.Uint64()))
		select {
		case <-stop:
			return peakB
		case <-tick.C:
		}
	}
}

// inChild runs one size of a job in a process of its own on so many cores.
func inChild(name string, size, cores int) (c cost) {
	self, err := os.Executable()
	if err != nil {
		return cost{FailReason: err.Error()}
	}
	cmd := exec.Command(self, "-job", name, "-size", strconv.Itoa(size))
	cmd.Env = append(os.Environ(), "GOMAXPROCS="+strconv.Itoa(cores))
	cmd.Stderr = os.Stderr
	out, err := cmd.Output()
	if err == nil {
		err = json.Unmarshal(out, &c)
	}
	if err != nil {
		return cost{FailReason: err.Error()}
	}
	c.CPUS = (cmd.ProcessState.UserTime() + cmd.ProcessState.SystemTime()).Seconds()
	return c
}

// A growth is one job in its three sizes on so many cores.
type growth struct {
	job   job
	cores int
	cost  [3]cost
}

// exponent is p of cost ~ size^p between two sizes; NaN if one is not known.
func exponent(from, to float64, sizes float64) (p float64) {
	if !(from > 0) || !(to > 0) {
		return math.NaN()
	}
	return math.Log(to/from) / math.Log(sizes)
}

// timeExponent is that of the last tenfold, where set-up no longer counts.
func (g *growth) timeExponent() float64 {
	return exponent(g.cost[1].WallS, g.cost[2].WallS, float64(g.job.size[2])/float64(g.job.size[1]))
}

func (g *growth) memoryExponent() float64 {
	return exponent(g.cost[1].PeakHeapB, g.cost[2].PeakHeapB, float64(g.job.size[2])/float64(g.job.size[1]))
}

func measureGrowth(progress io.Writer) []*growth {
	var out []*growth
	for _, j := range jobs {
		for cores := 1; cores <= 2; cores++ {
			g := &growth{job: j, cores: cores}
			for i, n := range j.size {
				fmt.Fprintf(progress, "%s: %d on %d cores\n", j.name, n, cores)
				g.cost[i] = inChild(j.name, n, cores)
			}
			out = append(out, g)
		}
	}
	return out
}
