package limittest

import (
	"errors"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

func TestNumbersAreLookedAtWhereverTheyStand(t *testing.T) {
	type inner struct{ V []float64 }
	type outer struct {
		A     float64
		name  string
		In    *inner
		Empty *inner
		f     [1]float64
	}
	value := func(a, b, c float64) outer {
		return outer{A: a, name: "x", In: &inner{[]float64{1, b}}, f: [1]float64{c}}
	}
	nan, inf := math.NaN(), math.Inf(1)
	said := func(ask func(rec *recorder)) string {
		var rec recorder
		ask(&rec)
		return strings.Join(rec.said, "\n")
	}
	require.Empty(t, said(func(r *recorder) {
		Finite(r, "v", value(1, 2, 3), 4.0)
		NumberIff(r, false, "v", nan, []float64{nan})
		NotInfinite(r, "v", value(nan, 2, 3))
	}))
	require.Equal(t, "v.A is NaN for inputs in range", said(func(r *recorder) { Finite(r, "v", value(nan, 2, 3)) }))
	require.Equal(t, "v.In.V[1] is +Inf for inputs in range", said(func(r *recorder) { NumberIff(r, true, "v", value(1, inf, 3)) }))
	require.Equal(t, "v.f[0] is -Inf", said(func(r *recorder) { NotInfinite(r, "v", value(nan, 2, -inf)) }))
	require.Equal(t, "v is 0 for inputs out of range\nv is +Inf for inputs out of range", said(func(r *recorder) { NumberIff(r, false, "v", 0.0, nan, inf) }))
	require.Panics(t, func() { Finite(t, "v") })
}

func TestNothingHalfMadeComesWithAnError(t *testing.T) {
	var rec recorder
	ZeroIfRefused(&rec, 3.0, nil)
	ZeroIfRefused(&rec, 0.0, errors.New("no"))
	ZeroIfRefused[*int](&rec, nil, errors.New("no"))
	require.Empty(t, rec.said)
	ZeroIfRefused(&rec, 3.0, errors.New("no"))
	ZeroIfRefused(&rec, 0.0, errors.New(""))
	require.Equal(t, []string{`float64 is not the zero value beside the error "no"`, "an error without words"}, rec.said)
}
