package station

import (
	"bytes"
	"context"
	"math"
	"os"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"github.com/stationphysics/stationphysics/internal/limit/limittest"
)

// FuzzLongModel takes whatever description can be read as far as it suffices:
// through a year, seeded years, levers and sizing, to the review.
func FuzzLongModel(f *testing.F) {
	demo, err := os.ReadFile("../examples/station/demo.toml")
	require.NoError(f, err)
	f.Add(string(demo), uint64(1))
	f.Add("[pack]\nchemistry = \"lifepo4\"\ncells = 3\n[charger]\nset_v = 10.95\n", uint64(0))
	f.Add("", uint64(math.MaxUint64))
	f.Fuzz(func(t *testing.T, text string, seed uint64) {
		d, err := Read(strings.NewReader(text), "f.toml")
		if err != nil {
			return
		}
		m, err := Compile(d)
		if err != nil {
			return
		}
		_, _, _, err = m.Place()
		require.False(t, err == nil && len(m.site.missing) > 0)
		if band, err := m.Cells(); err == nil {
			limittest.Finite(t, "cells", band.MeanV, band.WorstV)
			require.LessOrEqual(t, band.MeanV, band.WorstV)
		}
		if held, err := m.Held(); err == nil {
			limittest.Finite(t, "held", held.ChargerV, held.PanelV, held.Window)
		}
		if survey, _, err := m.Survey(); err == nil {
			require.NotEmpty(t, survey.Rows)
		}
		whole := len(m.Missing()) == 0 && len(m.ClimateMissing()) == 0
		w, err := m.Synthetic(seed)
		if err == nil {
			aYear(t, m, w, seed)
		}
		ctx := context.Background()
		years, err := m.Years(ctx, Plan{FirstSeed: seed, Years: 1})
		require.Equal(t, whole, err == nil, "%v", err)
		for _, y := range years {
			limittest.Finite(t, "year", y.LostH, y.LowestSoC)
		}
		if levers, err := m.Levers(ctx, 1, seed); err == nil {
			for _, l := range levers {
				limittest.Finite(t, l.Name, l.MeanLostH, l.GainH)
			}
		}
		variants, err := m.Size(ctx, Search{LoadFrac: []float64{0.5, 1}, Years: 1, FirstSeed: seed})
		require.Equal(t, whole, err == nil, "%v", err)
		if v, ok := Smallest(variants); ok {
			require.True(t, v.Meets)
		}
		r, err := NewReview(d, Options{Seed: seed})
		if err != nil {
			return
		}
		m, w, sun := r.Basis()
		require.NotNil(t, m)
		require.Equal(t, r.Year != nil, w != nil && sun != nil)
		require.Len(t, r.Ranked(), len(r.Findings))
		require.LessOrEqual(t, len(r.First()), len(r.Findings))
		require.Empty(t, Compare(r, r), "nothing changes from a review to itself")
		var b bytes.Buffer
		require.NoError(t, r.WriteJSON(&b))
		require.NotContains(t, b.String(), "NaN")
	})
}

func aYear(t *testing.T, m *Model, w *Weather, seed uint64) {
	t.Helper()
	require.Len(t, w.Climate().AirC, 12)
	sun, err := m.Sunlight(w)
	if err != nil {
		return
	}
	y, err := m.Run(sun, seed)
	if err != nil {
		return
	}
	limittest.Finite(t, "balance", y.Energy, y.KeptFrac(), y.LostH, y.LowestSoC)
	if off := y.Energy.ResidualWh(); math.Abs(off) > 1e-6*(1+y.Energy.TakenWh+y.Energy.ServedWh) {
		t.Fatalf("%v Wh of %+v are nowhere", off, y.Energy)
	}
	month, offered := y.WorstMonth()
	require.True(t, month >= time.January && month <= time.December && !(offered < 0), "%v %v", month, offered)
	if day, err := m.HotDay(sun, y); err == nil {
		require.NotEmpty(t, day.Hours)
	}
}

// FuzzDescriptionOut writes what could be read: it reads back as the same.
func FuzzDescriptionOut(f *testing.F) {
	demo, err := os.ReadFile("../examples/station/demo.toml")
	require.NoError(f, err)
	for _, s := range []string{string(demo), "", "[panel]\nvmp_v = 17", "[[load]]\nname=\"a\\u0007\\\"\\\\b\"", "site = { skyline_deg = [[1,2],[3,4]] }", "name = \"''' \\n\"\n"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		d, err := Read(strings.NewReader(s), "f.toml")
		if err != nil {
			return
		}
		var b bytes.Buffer
		require.NoError(t, d.WriteTOML(&b))
		again, err := Read(bytes.NewReader(b.Bytes()), "f.toml")
		require.NoError(t, err, b.String())
		require.Equal(t, d, again, b.String())
		b.Reset()
		require.NoError(t, d.WriteTemplate(&b))
		_, err = Read(bytes.NewReader(b.Bytes()), "f.toml")
		require.NoError(t, err, b.String())
		for _, key := range d.Missing("panel.vmp_v", "pack.cells", "site.height_m") {
			require.NotEmpty(t, key)
		}
		require.NoError(t, d.Resolved().Validate())
	})
}

func FuzzFailShare(f *testing.F) {
	f.Add(uint16(200), 24.0, 30.0, 12.0)
	f.Add(uint16(0), 0.0, 0.0, 0.0)
	f.Add(uint16(1), 0.0, math.Inf(1), -1.0)
	f.Add(uint16(7), math.NaN(), math.NaN(), math.Inf(-1))
	f.Fuzz(func(t *testing.T, n uint16, acceptedH, oneH, otherH float64) {
		years := make([]Outcome, n)
		for i := range years {
			years[i].LostH = []float64{oneH, otherH}[i%2]
		}
		fail := FailShare(years, acceptedH)
		limittest.NumberIff(t, n > 0, "FailShare", fail)
		share, low, high := fail.Frac, fail.LowFrac, fail.HighFrac
		if n > 0 && !(0 <= low && low <= share && share <= high && high <= 1) {
			t.Fatalf("%g in %g..%g of %d years", share, low, high, n)
		}
		variants := []Variant{{CapacityAh: oneH, TiltDeg: otherH, Meets: oneH <= acceptedH}, {CapacityAh: otherH, Meets: otherH <= acceptedH}}
		v, ok := Smallest(variants)
		if ok != (variants[0].Meets || variants[1].Meets) || ok && !v.Meets {
			t.Fatalf("%+v of %+v", v, variants)
		}
	})
}
