package panel

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"github.com/stationphysics/stationphysics/internal/limit/limittest"
)

// TestRanges states every range a second time, as the comments at the fields
// promise them.
func TestRanges(t *testing.T) {
	check, slip := limittest.Ranges(t), limittest.Slip
	check(&airRange, -100, 70, slip(173, 343, "kelvins"), slip(70.01, 130, "degrees Fahrenheit"))
	check(&windRange, 0, 75, slip(75.01, 270, "km/h"))
	check(&u0Range, 5, 80)
	check(&u1Range, 0, 20)
	check(&intervalRange, 1, 3*3600)
	check(&nominalRange, 33, 70, slip(306, 343, "kelvins"), slip(91, 158, "degrees Fahrenheit"))
	check(&dropRange, 0, 2, slip(100, 2000, "millivolts"))
	check(&curvesRange, 1, 1000)
	check(&lightRange, 0, math.Inf(1))
	check(&pmaxRange, 0.01, 1000, slip(1000.001, 1e6, "milliwatts"))
	check(&vmpRange, 0.2, 200, slip(200.001, 200000, "millivolts"))
	check(&impRange, 0.005, 20, slip(20.001, 20000, "milliamperes"))
	check(&vocRange, 0.4, 200, slip(200.001, 200000, "millivolts"))
	check(&iscRange, 0.005, 20, slip(20.001, 20000, "milliamperes"))
	check(&iscTempRange, 0.005, 0.2, slip(1e-6, 0.00499, "amperes per kelvin or a fraction per kelvin"), slip(0.201, 50, "milliamperes per kelvin"))
	check(&vocTempRange, -0.6, -0.15, slip(0.15, 0.6, "the minus sign forgotten"), slip(-0.0062, -0.0015, "a fraction per kelvin"), slip(-0.14999, -0.00621, "volts per kelvin"), slip(-1000, -0.601, "millivolts per kelvin"))
	check(&labelCellsRange, 1, 300)
	check(&photocurrentRange, 0.001, 1000)
	check(&saturationRange, 1e-30, 1e-3)
	check(&seriesRange, 0, 1e5)
	check(&shuntRange, 1e-3, math.Inf(1))
	check(&slopeRange, -1, 1)
	check(&gapRange, 0.3, 4, slip(4e-20, 7e-19, "joules"))
	check(&cellsRange, 1, 1000)
	check(&perCellRange, 0.005, 0.15, slip(0.3, 3, "the bare ideality factor n"))
	check(&inSeriesRange, 1, 1000)
	check(&stringsRange, 1, 1000)
	check(&irradianceRange, 0, 2000, slip(2001, 200000, "lux"))
	check(&cellTempRange, -100, 150, slip(173, 423, "kelvins"))
	check(&holdRange, 0, 1000, slip(1000.01, 200000, "millivolts"))
	check(&stepRange, 1.0/3600, 24, slip(60, 60, "minutes"), slip(3600, 3600, "seconds"))
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
