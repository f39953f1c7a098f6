package station

import (
	"os"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

func demo(t testing.TB) *Description {
	t.Helper()
	f, err := os.Open("../examples/station/demo.toml")
	require.NoError(t, err)
	defer f.Close()
	d, err := Read(f, "demo.toml")
	require.NoError(t, err)
	return d
}

// demoYear is the demonstration station and a synthetic year of its climate.
func demoYear(b *testing.B) (*Model, *Weather) {
	b.Helper()
	m, err := Compile(demo(b))
	require.NoError(b, err)
	w, err := m.Synthetic(1)
	require.NoError(b, err)
	return m, w
}

func BenchmarkYearHourlyRun(b *testing.B) {
	m, w := demoYear(b)
	sun, err := m.Sunlight(w)
	require.NoError(b, err)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := m.Run(sun, 1); err != nil {
			b.Fatal(err)
		}
	}
}

// runnerOnly measures the pack's part of a year: what comes after the stage.
func runnerOnly(b *testing.B, steps func(*Weather) *Weather) {
	m, w := demoYear(b)
	sun, err := m.Sunlight(steps(w))
	require.NoError(b, err)
	st := m.stage(sun)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := m.runStage(st, 1, true); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkYearHourlyRunner(b *testing.B) {
	runnerOnly(b, func(w *Weather) *Weather { return w })
}

func BenchmarkYearMinutesRunner(b *testing.B) { runnerOnly(b, minutes) }

func BenchmarkYearHourlySunlight(b *testing.B) {
	m, w := demoYear(b)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := m.Sunlight(w); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkYearHourlyBox is the box's part of a run: its air in every hour, and the
// hours of a wet wall.
func BenchmarkYearHourlyBox(b *testing.B) {
	m, w := demoYear(b)
	sun, err := m.Sunlight(w)
	require.NoError(b, err)
	s := m.stage(sun)
	b.ReportAllocs()
	for b.Loop() {
		s.box(m)
	}
}

func BenchmarkCompile(b *testing.B) {
	d := demo(b)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Compile(d); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkSyntheticYear(b *testing.B) {
	m, err := Compile(demo(b))
	require.NoError(b, err)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := m.Synthetic(1); err != nil {
			b.Fatal(err)
		}
	}
}

// minutes gives the same weather in steps of a minute.
func minutes(w *Weather) *Weather {
	out := &Weather{Source: w.Source + ", in minutes", Step: time.Minute, HasDew: w.HasDew, clean: w.clean, Steps: make([]WeatherStep, 0, 60*len(w.Steps))}
	for _, s := range w.Steps {
		for range 60 {
			out.Steps = append(out.Steps, s)
			s.Start = s.Start.Add(time.Minute)
		}
	}
	return out
}

func BenchmarkYearMinutesWholeChain(b *testing.B) {
	m, w := demoYear(b)
	w = minutes(w)
	b.ReportAllocs()
	for b.Loop() {
		sun, err := m.Sunlight(w)
		if err != nil {
			b.Fatal(err)
		}
		if _, err := m.Run(sun, 1); err != nil {
			b.Fatal(err)
		}
	}
}

// The first year of a station follows the sun through its hours, those after it
// only have another weather.
func BenchmarkYearHourlyFirst(b *testing.B) {
	d := demo(b)
	_, w := demoYear(b)
	b.ReportAllocs()
	for b.Loop() {
		m, err := Compile(d)
		if err != nil {
			b.Fatal(err)
		}
		sun, err := m.Sunlight(w)
		if err != nil {
			b.Fatal(err)
		}
		if _, err := m.Run(sun, 1); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkYearHourlyWholeChain(b *testing.B) {
	m, w := demoYear(b)
	// The way of the sun through the hours is found by the first year, which
	// YearHourlyFirst measures.
	_, err := m.Sunlight(w)
	require.NoError(b, err)
	b.ReportAllocs()
	for b.Loop() {
		sun, err := m.Sunlight(w)
		if err != nil {
			b.Fatal(err)
		}
		if _, err := m.Run(sun, 1); err != nil {
			b.Fatal(err)
		}
	}
}
