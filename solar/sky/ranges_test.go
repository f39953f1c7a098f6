package sky

import (
	"errors"
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"github.com/stationphysics/stationphysics"
	"github.com/stationphysics/stationphysics/internal/limit"
)

// Every range of the package at its documented ends: the ends are accepted,
// the next numbers beyond are refused, and what a slip looks like is named from
// one end of the slip's range to the other.
func TestRangesAtTheirEnds(t *testing.T) {
	type slip struct {
		from, to float64
		looks    string
	}
	for _, c := range []struct {
		r      *limit.Range
		lo, hi float64
		slips  []slip
	}{
		{&monthClearness, 0.12, 0.80, nil},
		{&probRange, 0, 1, []slip{{1.01, 100, "percent"}}},
		{&hourAngleRange, -180, 180, []slip{{180, 360, "counted from midnight"}}},
		{&sunsetRange, 0, 180, nil},
		{&clearHeight, -500, 9000, []slip{{9000, 30000, "feet"}}},
		{&linkeRange, 1, 12, nil},
		{&clearPressure, 300, 1100, []slip{{30000, 110000, "pascals"}}},
		{&waterRange, 0, 10, []slip{{10, 100, "millimetres"}}},
		{&ozoneRange, 0, 0.6, []slip{{60, 600, "Dobson units"}}},
		{&aerosolRange, 0, 2, nil},
		{&asymmetryRange, 0.5, 1, nil},
		{&dewRange, -60, 35, []slip{{35, 95, "degrees Fahrenheit"}, {213, 308.15, "kelvins"}}},
		{&ashraeB, 0, 0.5, nil},
		{&ruizA, 0.05, 1, nil},
		{&glassN, 1, 3, nil},
		{&glassK, 0, 100, nil},
		{&glassL, 0, 50, nil},
		{&aoiRange, -180, 180, nil},
		{&luxRange, 0, 200000, nil},
		{&luxTopRange, 1, 200000, nil},
		{&lengthRange, 1, 10800, nil},
		{&globalRange, 0, 2500, nil},
		{&beamRange, 0, 1500, nil},
		{&diffuseRange, 0, 1500, nil},
		{&tiltRange, 0, 180, nil},
		{&facingRange, -360, 720, nil},
		{&albedoRange, 0, 1, []slip{{1.01, 100, "percent"}}},
		{&soilingRange, 0, 100, nil},
		{&snowRange, 0, 100, nil},
		{&modelRange, 0, 3, nil},
		{&sunElevation, -90, 90, nil},
		{&sunAzimuth, -360, 720, nil},
		{&sunDistance, 0.95, 1.05, []slip{{1.4e8, 1.6e8, "kilometres"}, {1.4e11, 1.6e11, "metres"}, {0, 0, "left out"}}},
		{&dailyGlobal, 0, 15, []slip{{15, 50, "megajoules"}, {50, 500, "the sum of the month, or watts of the mean"}, {500, 15000, "watt-hours"}}},
		{&meanTemp, -90, 60, []slip{{183, 333.15, "kelvins"}, {60, 140, "degrees Fahrenheit"}}},
		{&dailySpread, 0, 15, nil},
		{&windSpeed, 0, 60, []slip{{60, 300, "kilometres an hour"}}},
		{&syntheticYrs, 1901, 2199, nil},
	} {
		name := c.r.Quantity
		require.NoError(t, c.r.Check(c.lo), name)
		require.NoError(t, c.r.Check(c.hi), name)
		require.Error(t, c.r.Check(math.Nextafter(c.lo, math.Inf(-1))), name)
		require.Error(t, c.r.Check(math.Nextafter(c.hi, math.Inf(1))), name)
		require.Error(t, c.r.Check(math.NaN()), name)
		require.Len(t, c.r.Slips, len(c.slips), name)
		looks := func(v float64) string {
			var re *stationphysics.RangeError
			require.True(t, errors.As(c.r.Check(v), &re), "%s %g", name, v)
			require.Equal(t, c.r.Unit, re.Unit)
			return re.Slip
		}
		for i, s := range c.slips {
			// The lower end may be the upper end of the slip before, or of the range.
			from := s.from
			if c.r.Holds(from) || i > 0 && c.slips[i-1].from <= from && c.slips[i-1].to >= from {
				from = math.Nextafter(from, math.Inf(1))
			}
			require.Equal(t, s.looks, looks(from), name)
			require.Equal(t, s.looks, looks(s.to), name)
			require.Equal(t, s.from, c.r.Slips[i].Min, name)
			require.Equal(t, s.to, c.r.Slips[i].Max, name)
		}
		require.NotEmpty(t, name)
	}
}
