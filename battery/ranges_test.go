package battery

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"github.com/stationphysics/stationphysics/internal/limit"
)

// The ranges that the comments state: their very ends are accepted, the next
// number beyond is not, and the slips are those.
func TestRangesEndWhereTheySay(t *testing.T) {
	type slip struct {
		lo, hi float64
		looks  string
	}
	for _, x := range []struct {
		r      limit.Range
		lo, hi float64
		slips  []slip
	}{
		{resistanceRange, 0, 20, []slip{{20.001, 2000, "milliohms"}}},
		{capacitorRange, 0, 1e8, nil},
		{coldRange, 0, 10000, []slip{{10001, 100000, "joules per mole"}}},
		{coulombicRange, 0.3, 1, []slip{{30, 100, "percent"}}},
		{selfRange, 0, 60, nil},
		{usableRange, 0, 1, []slip{{1.001, 150, "percent"}}},
		{parallelRange, 1, 100, nil},
		{cellRange, 1, 32, nil},
		{capacityRange, 0.03, 400, []slip{{400, 400_000, "milliampere-hours"}}},
		{survivalRange, -40, 85, []slip{{233, 358, "kelvins"}, {85.001, 185, "degrees Fahrenheit"}}},
		{curveSoCRange, -0.2, 1.3, []slip{{1.31, 130, "percent"}}},
		{curveVoltRange, 0.5, 5, []slip{{5.001, 160, "volts of the whole pack"}, {500, 5000, "millivolts"}}},
		{curvePerKRange, -0.002, 0.002, []slip{{-2, 2, "millivolts per kelvin"}}},
		{sightVRange, 0, 200, []slip{{200.001, 200_000, "millivolts"}}},
		{meterVRange, 0, 5, nil},
		{sightARange, -1000, 1000, nil},
		{gainRange, 0, 20, nil},
		{offsetRange, 0, 1, []slip{{1.001, 1000, "milliamperes"}}},
		{ageRange, 0, 50, nil},
		{startRange, 0, 1, []slip{{1.001, 100, "percent"}}},
		{doubtRange, 0, 1, []slip{{1.001, 100, "percent"}}},
		{maxARange, 0, 1000, []slip{{1000.001, 1e6, "milliamperes"}}},
		{seriesRange, 0, 100, nil},
	} {
		require.True(t, x.r.Holds(x.lo) && x.r.Holds(x.hi), x.r.Quantity)
		require.False(t, x.r.Holds(math.Nextafter(x.lo, math.Inf(-1))) || x.r.Holds(math.Nextafter(x.hi, math.Inf(1))) || x.r.Holds(math.NaN()), x.r.Quantity)
		require.Len(t, x.r.Slips, len(x.slips), x.r.Quantity)
		for i, s := range x.slips {
			require.Equal(t, limit.Slip{Min: s.lo, Max: s.hi, Looks: s.looks}, x.r.Slips[i], x.r.Quantity)
		}
	}
}
