package logbook

import (
	"bytes"
	"errors"
	"io"
	"math"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"github.com/stationphysics/stationphysics/internal/limit/limittest"
	"github.com/stationphysics/stationphysics/station"
)

func FuzzSalt(f *testing.F) {
	f.Add("sodium chloride", 21.0, 73.0, 3.0, 0.5)
	f.Add(" Lithium Chloride ", 0.0, 0.0, 1e-300, 0.0)
	f.Add("potassium sulphate", 40.0, 105.0, 1e300, 1e300)
	f.Add("table salt", math.NaN(), 101.0, 0.0, -1.0)
	f.Fuzz(func(t *testing.T, name string, tempC, readPct, tolerancePct, apartK float64) {
		s, err := FindSalt(name)
		limittest.ZeroIfRefused(t, s, err)
		over := s.HumidityPct(tempC)
		known := err == nil && CheckSaltTemp(tempC) == nil
		limittest.NumberIff(t, known, "salt", over.Value)
		if over.OK() != known || over.Half < 0 {
			t.Fatalf("%+v over %q at %g °C", over, s.Name(), tempC)
		}
		d, word := s.Judge(SaltReading{TempC: tempC, ReadPct: readPct, TolerancePct: tolerancePct, ApartK: apartK})
		judged := known && readPct >= 0 && readPct <= 105 && tolerancePct > 0 && apartK >= 0
		if d.OK() != judged || judged != (word != station.CannotTell) {
			t.Fatalf("%+v, %v", d, word)
		}
		a, b := Measure{Value: readPct, Half: tolerancePct}, Measure{Value: over.Value, Half: over.Half}
		if Agree(a, b) != Agree(b, a) {
			t.Fatalf("%+v and %+v agree one way only", a, b)
		}
	})
}

// FuzzLog reads a log in two files for the station of a description, and asks
// each observation for everything.
func FuzzLog(f *testing.F) {
	demo, err := os.ReadFile("../../examples/station/demo.toml")
	require.NoError(f, err)
	const head = "time,air_c,humidity_pct,pressure_hpa,light_lx,rain_tips\n"
	f.Add(string(demo), head+"2026-06-01T12:00:00Z,-41,50,950,100,0\n2026-06-01T12:01:00Z,85,100,65535,54612.5,3\n", head+"2026-06-01T12:02:00Z,21,50,950,100,0\n")
	f.Add("", "time_s,light_w_per_m2\n0,5\n60,\n", "time,air_c\n")
	f.Fuzz(func(t *testing.T, description, first, second string) {
		d, err := station.Read(strings.NewReader(description), "f.toml")
		if err != nil {
			return
		}
		c := FromDescription(d)
		r, err := New(strings.NewReader(first), "one.csv", c)
		if err != nil {
			return
		}
		for n := 0; ; n++ {
			o, err := r.Next()
			if errors.Is(err, io.EOF) {
				if err := r.Continue(bytes.NewReader([]byte(second)), "two.csv"); err != nil {
					break
				}
				second = "" // which cannot be continued with
				continue
			}
			if err != nil {
				break
			}
			if n > len(first)+len(second)+2 {
				t.Fatal("the log does not end")
			}
			for col := Air; col <= columns+1; col++ {
				if v, ok := o.Reading(col); ok && math.IsNaN(v) {
					t.Fatalf("%v is NaN and there: %+v", col, o)
				}
				if o.State(col).String() == "" || col >= columns && (o.Flags(col) != 0 || col.Unit() != "") {
					t.Fatalf("column %d: %v, flags %b, unit %q", col, o.State(col), o.Flags(col), col.Unit())
				}
			}
			if m := o.IrradianceWPerM2(); m.OK() != !math.IsNaN(m.Value) || m.Half < 0 {
				t.Fatalf("%+v", m)
			}
		}
		for _, x := range r.Troubles() {
			require.NotEmpty(t, x.Kind.String())
		}
		if s := r.Summary(); s.Broken != len(r.Mistakes()) && len(r.Mistakes()) < 20 {
			t.Fatalf("%d broken rows, %d mistakes", s.Broken, len(r.Mistakes()))
		}
	})
}
