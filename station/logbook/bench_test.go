package logbook

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"math"
	"math/rand/v2"
	"testing"
	"time"
)

// endless is an invented log of any length: one day of rows, made once, whose
// dates are written anew as the days pass.
type endless struct {
	day   [][]byte
	at    time.Time
	row   int
	rows  int
	left  []byte
	buf   []byte
	first bool
	step  time.Duration
}

const twelve = "time,air_c,humidity_pct,pressure_hpa,light_lx,wind_m_per_s,gust_m_per_s,direction_deg,rain_tips,pack_v,panel_v,box_c\n"

func newEndless(rows int) *endless {
	e := &endless{rows: rows, step: time.Minute, at: time.Date(2020, 1, 1, 0, 0, 0, 0, time.UTC), first: true}
	rng := rand.New(rand.NewPCG(1, 2))
	for m := range 1440 {
		s := math.Sin(2 * math.Pi * float64(m-540) / 1440)
		e.day = append(e.day, fmt.Appendf(nil, ",%.2f,%.1f,%.2f,%.0f,%.2f,%.2f,%.0f,%d,%.3f,%.2f,%.2f\n",
			8+5*s+0.05*rng.NormFloat64(), 70-15*s+0.5*rng.NormFloat64(), 950+2*math.Sin(float64(m)/300)+0.05*rng.NormFloat64(), math.Max(0, 4e4*s),
			3+math.Abs(rng.NormFloat64()), 8+rng.Float64(), 200+30*rng.Float64(), 0, 6.6+0.1*s, 17*math.Max(0, s), 10+6*s))
	}
	return e
}

func (e *endless) Read(p []byte) (n int, err error) {
	for n < len(p) {
		if len(e.left) == 0 {
			if e.first {
				e.first = false
				e.left = []byte(twelve)
				continue
			}
			if e.rows == 0 {
				if n == 0 {
					return 0, io.EOF
				}
				return n, nil
			}
			e.rows--
			e.buf = e.at.AppendFormat(e.buf[:0], time.RFC3339)
			e.buf = append(e.buf, e.day[e.row]...)
			e.left = e.buf
			e.at = e.at.Add(e.step)
			e.row = (e.row + 1) % len(e.day)
		}
		k := copy(p[n:], e.left)
		n, e.left = n+k, e.left[k:]
	}
	return n, nil
}

// BenchmarkYear reads a year of one-minute rows of twelve columns.
func BenchmarkYear(b *testing.B) {
	c := invented(b)
	log, err := io.ReadAll(newEndless(365 * 1440))
	if err != nil {
		b.Fatal(err)
	}
	b.SetBytes(int64(len(log)))
	b.ReportAllocs()
	for b.Loop() {
		r, err := New(bytes.NewReader(log), "year.csv", c)
		if err != nil {
			b.Fatal(err)
		}
		n := 0
		for {
			if _, err := r.Next(); err != nil {
				if !errors.Is(err, io.EOF) {
					b.Fatal(err)
				}
				break
			}
			n++
		}
		if n != 365*1440 {
			b.Fatal(n)
		}
	}
}

// BenchmarkIrradiance is what one irradiance costs, which is formed on demand.
func BenchmarkIrradiance(b *testing.B) {
	r, err := New(newEndless(1440), "day.csv", invented(b))
	if err != nil {
		b.Fatal(err)
	}
	all := drain(b, r)
	o := all[720]
	b.ReportAllocs()
	for b.Loop() {
		_ = o.IrradianceWPerM2()
	}
}

// BenchmarkExp is the yardstick of the module.
func BenchmarkExp(b *testing.B) {
	x := 1.0
	for b.Loop() {
		x = math.Exp(-x)
	}
	_ = x
}
