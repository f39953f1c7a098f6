package logbook

import (
	"errors"
	"io"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"

	"github.com/stationphysics/stationphysics/rain"
	"github.com/stationphysics/stationphysics/solar/sky"
)

// invented is the station of the invented logs under testdata/station/logbook,
// which examples/readings/generate writes.
func invented(t testing.TB) Config {
	t.Helper()
	b, err := rain.NewBucket(rain.BucketSpec{TipMm: 0.2, TipTimeS: 0.4, IgnoreS: 0.1})
	require.NoError(t, err)
	return Config{
		Place:      &Place{LatDeg: 48.1, LonDeg: 11.6, BarometerM: 520},
		Bucket:     b,
		LightTopLx: sky.SixteenBitTopLx,
		Tolerance: Tolerances{AirK: 0.3, HumidityPct: 3, PressureHPa: 1, PressureStepHPa: 0.1, HeightM: 2, LightFrac: 0.15,
			WindMPerS: 0.5, WindFrac: 0.1, DirectionDeg: 5, RainFrac: 0.05},
		Power: Power{LimitV: 7.3, SetV: 7.0, HoldV: 17, OpenV: 20.5},
	}
}

func inventedLog(t testing.TB, name string) []byte {
	t.Helper()
	b, err := os.ReadFile(filepath.Join("..", "..", "testdata", "station", "logbook", name))
	require.NoError(t, err)
	return b
}

// drain reads to the end and returns copies of all observations.
func drain(t testing.TB, r *Reader) (all []Observation) {
	t.Helper()
	for {
		o, err := r.Next()
		if errors.Is(err, io.EOF) {
			return all
		}
		require.NoError(t, err)
		all = append(all, *o)
	}
}
