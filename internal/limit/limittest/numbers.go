package limittest

import (
	"fmt"
	"math"
	"reflect"
	"testing"
)

// NumberIff asks that every number in the values (numbers, structures and
// slices of them) is finite if in holds and NaN if it does not: what a bare
// formula promises of its range.
func NumberIff(t testing.TB, in bool, what string, values ...any) {
	t.Helper()
	each(what, values, func(name string, v float64) {
		switch {
		case in && (math.IsNaN(v) || math.IsInf(v, 0)):
			t.Errorf("%s is %v for inputs in range", name, v)
		case !in && !math.IsNaN(v):
			t.Errorf("%s is %v for inputs out of range", name, v)
		}
	})
}

// Finite asks that every number in the values is finite: what the methods of a
// value that a constructor accepted promise.
func Finite(t testing.TB, what string, values ...any) {
	t.Helper()
	NumberIff(t, true, what, values...)
}

// NotInfinite asks that no number in the values is infinite; one that cannot
// be told is NaN.
func NotInfinite(t testing.TB, what string, values ...any) {
	t.Helper()
	each(what, values, func(name string, v float64) {
		if math.IsInf(v, 0) {
			t.Errorf("%s is %v", name, v)
		}
	})
}

// ZeroIfRefused asks that an error comes with words and with the zero value,
// so that nothing half made is used.
func ZeroIfRefused[T any](t testing.TB, got T, err error) {
	t.Helper()
	if err == nil {
		return
	}
	if err.Error() == "" {
		t.Errorf("an error without words")
	}
	if !reflect.ValueOf(&got).Elem().IsZero() {
		t.Errorf("%T is not the zero value beside the error %q", got, err)
	}
}

func each(what string, values []any, see func(name string, v float64)) {
	if len(values) == 0 {
		panic("limittest: no number to look at")
	}
	for _, v := range values {
		walk(what, reflect.ValueOf(v), see)
	}
}

func walk(name string, v reflect.Value, see func(string, float64)) {
	switch v.Kind() {
	case reflect.Float32, reflect.Float64:
		see(name, v.Float())
	case reflect.Struct:
		for i := range v.NumField() {
			walk(name+"."+v.Type().Field(i).Name, v.Field(i), see)
		}
	case reflect.Slice, reflect.Array:
		for i := range v.Len() {
			walk(fmt.Sprintf("%s[%d]", name, i), v.Index(i), see)
		}
	case reflect.Pointer, reflect.Interface:
		if !v.IsNil() {
			walk(name, v.Elem(), see)
		}
	}
}
