package station

import (
	"os"
	"testing"

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

func BenchmarkYearHourlyRun(b *testing.B) {
	m, err := Compile(demo(b))
	require.NoError(b, err)
	w, err := m.Synthetic(1)
	require.NoError(b, err)
	sun, err := m.Sunlight(w)
	require.NoError(b, err)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := m.Run(sun, 1); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkYearHourlySunlight(b *testing.B) {
	m, err := Compile(demo(b))
	require.NoError(b, err)
	w, err := m.Synthetic(1)
	require.NoError(b, err)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := m.Sunlight(w); err != nil {
			b.Fatal(err)
		}
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
