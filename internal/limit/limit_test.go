package limit

import (
	"errors"
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"github.com/stationphysics/stationphysics"
)

func TestCheckWordsTheSlip(t *testing.T) {
	r := &Range{Quantity: "station pressure", Unit: "hPa", Min: 300, Max: 1100,
		Slips: []Slip{{30000, 110000, "pascals"}, {30, 110, "kilopascals"}}}
	for v, want := range map[float64]string{
		101325: "station pressure 101325 hPa is outside 300..1100 hPa: pascals?",
		101.3:  "station pressure 101.3 hPa is outside 300..1100 hPa: kilopascals?",
		-5:     "station pressure -5 hPa is outside 300..1100 hPa",
	} {
		err := r.Check(v)
		require.EqualError(t, err, want)
		var re *stationphysics.RangeError
		require.True(t, errors.As(err, &re))
		require.Equal(t, v, re.Value)
	}
	require.EqualError(t, r.Check(math.NaN()), "station pressure NaN hPa is outside 300..1100 hPa")
	require.EqualError(t, r.Check(math.Inf(1)), "station pressure +Inf hPa is outside 300..1100 hPa")
	for _, v := range []float64{300, 1100, 948.2} {
		require.NoError(t, r.Check(v))
	}
}

func TestOpenEnds(t *testing.T) {
	inf := math.Inf(1)
	require.EqualError(t, (&Range{Quantity: "resistance", Unit: "ohm", Min: 0, Max: inf}).Check(-1), "resistance -1 ohm is not at least 0 ohm")
	require.EqualError(t, (&Range{Quantity: "level", Min: -inf, Max: 1}).Check(2), "level 2 is not at most 1")
	require.EqualError(t, (&Range{Quantity: "level", Min: -inf, Max: inf}).Check(math.NaN()), "level NaN is not a finite number")
}

func TestFirst(t *testing.T) {
	a, b := errors.New("a"), errors.New("b")
	require.NoError(t, First(nil, nil))
	require.Equal(t, a, First(nil, a, b))
}

func TestConflictText(t *testing.T) {
	err := &stationphysics.ConflictError{Quantities: []string{"dew point", "air temperature"}, Values: []float64{12, 9.5},
		Units: []string{"°C", "°C"}, Rule: "the dew point cannot exceed the air temperature"}
	require.EqualError(t, err, "dew point 12 °C and air temperature 9.5 °C contradict each other: the dew point cannot exceed the air temperature")
}
