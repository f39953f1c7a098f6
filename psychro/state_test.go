package psychro

import (
	"errors"
	"testing"

	"github.com/stretchr/testify/require"

	"github.com/stationphysics/stationphysics"
)

func TestNewNamesTheSlip(t *testing.T) {
	for _, c := range []struct {
		t, rh, p float64
		text     string
	}{
		{293.15, 50, 1000, "air temperature 293.15 °C is outside -100..100 °C: kelvins?"},
		{20, 50, 101325, "air pressure 101325 hPa is outside 300..1100 hPa: pascals?"},
		{20, 50, 101.3, "air pressure 101.3 hPa is outside 300..1100 hPa: kilopascals?"},
		{20, 50, 29.92, "air pressure 29.92 hPa is outside 300..1100 hPa: inches of mercury?"},
		{20, 100.3, 1000, "relative humidity over water 100.3 % is outside 0..100 %: pegged or supersaturated, see Excess?"},
	} {
		_, err := New(c.t, c.rh, c.p)
		require.EqualError(t, err, c.text)
		var re *stationphysics.RangeError
		require.True(t, errors.As(err, &re))
	}
}
