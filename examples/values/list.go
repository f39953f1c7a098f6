package main

import (
	"fmt"
	"math"
	"reflect"
	"strconv"
	"time"
)

// A number is one line of the output.
type number struct {
	pkg, name string
	value     float64
}

// A list collects numbers under names that are unique in their package.
type list struct {
	pkg     string
	numbers []number
	seen    map[string]bool
	err     error // the first thing that went wrong
}

// in says which package the numbers that follow come from.
func (l *list) in(pkg string) { l.pkg = pkg }

// epoch is the instant from which times are counted: near those that occur, so
// that a difference of milliseconds is not hidden by the size of the number.
var epoch = time.Date(2026, 1, 1, 0, 0, 0, 0, time.UTC)

// add takes a result: a number, a truth value (1 or 0), an instant (seconds
// from the epoch; NaN for none), or a structure, slice or array of them, whose
// parts get names of their own. Words are passed over, and so is what a pointer
// or interface leads to.
func (l *list) add(name string, result any) { l.walk(name, reflect.ValueOf(result)) }

func (l *list) walk(name string, v reflect.Value) {
	if at, ok := v.Interface().(time.Time); ok {
		s := math.NaN()
		if !at.IsZero() {
			s = at.Sub(epoch).Seconds()
		}
		l.put(name, s)
		return
	}
	switch v.Kind() {
	case reflect.Float32, reflect.Float64:
		l.put(name, v.Float())
	case reflect.Int, reflect.Int8, reflect.Int16, reflect.Int32, reflect.Int64:
		l.put(name, float64(v.Int()))
	case reflect.Uint, reflect.Uint8, reflect.Uint16, reflect.Uint32, reflect.Uint64:
		l.put(name, float64(v.Uint()))
	case reflect.Bool:
		x := 0.0
		if v.Bool() {
			x = 1
		}
		l.put(name, x)
	case reflect.Struct:
		for i := range v.NumField() {
			if f := v.Type().Field(i); f.IsExported() {
				l.walk(name+"."+f.Name, v.Field(i))
			}
		}
	case reflect.Slice, reflect.Array:
		for i := range v.Len() {
			l.walk(fmt.Sprintf("%s[%d]", name, i), v.Index(i))
		}
	case reflect.String, reflect.Func, reflect.Interface, reflect.Pointer:
	default:
		l.fail(fmt.Errorf("%s %s: no number in a %s", l.pkg, name, v.Type()))
	}
}

func (l *list) put(name string, x float64) {
	key := l.pkg + "\t" + name
	if l.seen == nil {
		l.seen = map[string]bool{}
	}
	if l.seen[key] {
		l.fail(fmt.Errorf("%s %s: named twice", l.pkg, name))
	}
	l.seen[key] = true
	l.numbers = append(l.numbers, number{l.pkg, name, x})
}

// methods adds what every exported method of v without arguments returns, save
// Spec and Check, which only give back or judge what went in.
func (l *list) methods(name string, v any) {
	r := reflect.ValueOf(v)
	for i := range r.NumMethod() {
		m := r.Type().Method(i)
		t := r.Method(i).Type()
		if t.NumIn() > 0 || t.NumOut() == 0 || m.Name == "Spec" || m.Name == "Check" {
			continue
		}
		for k, out := range r.Method(i).Call(nil) {
			n := name + " " + m.Name
			if k > 0 {
				n += "#" + strconv.Itoa(k+1)
			}
			l.walk(n, out)
		}
	}
}

// flat adds the place of a maximum, which is known to the root of the rounding
// only.
func (l *list) flat(name string, x float64) { l.put(flatMark+name, x) }

func (l *list) fail(err error) {
	if l.err == nil {
		l.err = err
	}
}

// must gives the value of a constructor that has to succeed: all inputs here
// are in range.
func must[T any](l *list) func(v T, err error) T {
	return func(v T, err error) T {
		if err != nil {
			l.fail(fmt.Errorf("%s: %w", l.pkg, err))
		}
		return v
	}
}

// spread gives n numbers from lo to hi. The conversion keeps processors from
// fusing product and sum, so that the inputs are the same everywhere.
func spread(lo, hi float64, n int) []float64 {
	x := make([]float64, n)
	for i := range x {
		x[i] = lo + float64((hi-lo)*float64(i)/float64(n-1))
	}
	return x
}
