package panel

import (
	"errors"
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"github.com/stationphysics/stationphysics"
	"github.com/stationphysics/stationphysics/internal/limit"
)

// TestLimitsAsDocumented holds the ranges against the numbers that the
// comments of the package promise, and the slips against the values that a
// label or a log gives in the wrong unit.
func TestLimitsAsDocumented(t *testing.T) {
	inf := math.Inf(1)
	type slip struct {
		min, max float64
		looks    string
	}
	for _, c := range []struct {
		r        *limit.Range
		min, max float64
		slips    []slip
	}{
		{&airRange, -100, 70, []slip{{173, 343, "kelvins"}, {70.01, 130, "degrees Fahrenheit"}}},
		{&windRange, 0, 75, []slip{{75.01, 270, "km/h"}}},
		{&u0Range, 5, 80, nil},
		{&u1Range, 0, 20, nil},
		{&nominalRange, 33, 70, []slip{{306, 343, "kelvins"}, {91, 158, "degrees Fahrenheit"}}},
		{&dropRange, 0, 2, []slip{{100, 2000, "millivolts"}}},
		{&curvesRange, 1, 1000, nil},
		{&lightRange, 0, inf, nil},
		{&pmaxRange, 0.01, 1000, []slip{{1000.001, 1e6, "milliwatts"}}},
		{&vmpRange, 0.2, 200, []slip{{200.001, 200000, "millivolts"}}},
		{&impRange, 0.005, 20, []slip{{20.001, 20000, "milliamperes"}}},
		{&vocRange, 0.4, 200, []slip{{200.001, 200000, "millivolts"}}},
		{&iscRange, 0.005, 20, []slip{{20.001, 20000, "milliamperes"}}},
		{&iscTempRange, 0.005, 0.2, []slip{{1e-6, 0.00499, "amperes per kelvin or a fraction per kelvin"}, {0.201, 50, "milliamperes per kelvin"}}},
		{&vocTempRange, -0.6, -0.15, []slip{{0.15, 0.6, "the minus sign forgotten"}, {-0.0062, -0.0015, "a fraction per kelvin"}, {-0.14999, -0.00621, "volts per kelvin"}, {-1000, -0.601, "millivolts per kelvin"}}},
		{&labelCellsRange, 1, 300, nil},
		{&photocurrentRange, 0.001, 1000, nil},
		{&saturationRange, 1e-30, 1e-3, nil},
		{&seriesRange, 0, 1e5, nil},
		{&shuntRange, 1e-3, inf, nil},
		{&slopeRange, -1, 1, nil},
		{&gapRange, 0.3, 4, []slip{{4e-20, 7e-19, "joules"}}},
		{&cellsRange, 1, 1000, nil},
		{&perCellRange, 0.005, 0.15, []slip{{0.3, 3, "the bare ideality factor n"}}},
		{&inSeriesRange, 1, 1000, nil},
		{&stringsRange, 1, 1000, nil},
		{&irradianceRange, 0, 2000, []slip{{2001, 200000, "lux"}}},
		{&cellTempRange, -100, 150, []slip{{173, 423, "kelvins"}}},
		{&holdRange, 0, 1000, []slip{{1000.01, 200000, "millivolts"}}},
		{&stepRange, 1.0 / 3600, 24, []slip{{60, 60, "minutes"}, {3600, 3600, "seconds"}}},
	} {
		looks := func(v float64) string {
			var re *stationphysics.RangeError
			require.True(t, errors.As(c.r.Check(v), &re), "%s %v", c.r.Quantity, v)
			return re.Slip
		}
		require.NoError(t, c.r.Check(c.min), c.r.Quantity)
		require.NoError(t, c.r.Check(c.max), c.r.Quantity)
		require.Error(t, c.r.Check(math.Nextafter(c.min, -inf)), c.r.Quantity)
		if !math.IsInf(c.max, 1) {
			require.Error(t, c.r.Check(math.Nextafter(c.max, inf)), c.r.Quantity)
		}
		require.Error(t, c.r.Check(math.NaN()), c.r.Quantity)
		require.Len(t, c.r.Slips, len(c.slips), c.r.Quantity)
		for _, s := range c.slips {
			require.Equal(t, s.looks, looks(s.min), "%s %v", c.r.Quantity, s.min)
			require.Equal(t, s.looks, looks(s.max), "%s %v", c.r.Quantity, s.max)
			require.NotEqual(t, s.looks, looks(math.Nextafter(s.max, inf)), "%s above %v", c.r.Quantity, s.max)
			if below := math.Nextafter(s.min, -inf); !c.r.Holds(below) {
				require.NotEqual(t, s.looks, looks(below), "%s below %v", c.r.Quantity, s.min)
			}
		}
	}
}

func TestVoltsOfACell(t *testing.T) {
	for cellV, ok := range map[float64]bool{0.4499: false, 0.4501: true, 0.7999: true, 0.8001: false} {
		l := smallPanel
		k := cellV * 12 / l.Voc
		l.Voc, l.Vmp, l.Pmax = cellV*12, l.Vmp*k, 0
		_, err := Fit(l)
		require.Equal(t, ok, err == nil, "%v V a cell: %v", cellV, err)
	}
}
