// Package witness records which errors a library makes and returns, from which
// input. Only copies of the library's source that the test of package house
// rewrites import it.
package witness

import (
	"encoding/json"
	"fmt"
	"os"
	"reflect"
	"runtime"
	"strconv"
	"strings"
	"sync"
	"time"

	"github.com/stationphysics/stationphysics"
)

// Mark begins the line of a Record on standard output.
const Mark = "@witness "

// A Record says that an error was made at a place, and, if By is not empty,
// that an exported function returned it.
type Record struct {
	Place int
	Calls []string // file:line of the calls that led to the place, innermost first
	By    string   // the exported function that returned it
	Given string   // what the function was given
	Type  string   // of the error made
	Text  string   // of the error made
	Full  string   // of the error returned, in which the one made may be wrapped
	Parts []Part   // of a RangeError one, of a ConflictError several
	Min   string   // of a RangeError
	Max   string   // of a RangeError
}

// A Part is one quantity of a RangeError or ConflictError.
type Part struct{ Quantity, Value, Unit string }

// A site is a place together with the way to it and the quantity concerned,
// for some ranges are made of what stands elsewhere.
type site struct {
	place    int
	calls    [16]uintptr
	quantity string
}

type state struct{ made, returned bool }

var (
	mu     sync.Mutex
	sites  = map[site]*state{}
	recent = map[error][]site{} // the sites of the errors in ring
	ring   [4096]error
	next   int
	out    = os.Stdout // an example redirects it
)

// Made notes that e, if not nil, was made at a place. It returns e.
func Made[E error](place int, e E) E {
	v := reflect.ValueOf(e)
	if v.IsValid() && v.Comparable() && !(v.Kind() == reflect.Pointer && v.IsNil()) {
		note(e, place)
	}
	return e
}

// Refused notes that a range refused a value: places are those where it was
// stated and named.
func Refused(places []int, e *stationphysics.RangeError) *stationphysics.RangeError {
	note(e, places...)
	return e
}

func note(e error, places ...int) {
	var s site
	if r, ok := e.(*stationphysics.RangeError); ok {
		s.quantity = r.Quantity
	}
	runtime.Callers(3, s.calls[:])
	mu.Lock()
	defer mu.Unlock()
	if _, known := recent[e]; !known {
		if old := ring[next]; old != nil {
			delete(recent, old)
		}
		ring[next] = e
		next = (next + 1) % len(ring)
	}
	for _, s.place = range places {
		st := sites[s]
		if st == nil {
			st = &state{}
			sites[s] = st
		}
		recent[e] = append(recent[e], s)
		if !st.made {
			st.made = true
			emit(Record{Place: s.place, Calls: s.lines()})
		}
	}
}

// Told notes that a function takes the text of err into what it returns.
func Told[E error](by string, err E) E {
	Returned(by, err)
	return err
}

// Returned notes that an exported function, given these arguments, returns err.
func Returned(by string, err error, given ...any) {
	tree(err, func(e error) {
		var fresh []site
		mu.Lock()
		for _, s := range recent[e] {
			if st := sites[s]; !st.returned {
				st.returned = true
				fresh = append(fresh, s)
			}
		}
		mu.Unlock()
		for _, s := range fresh {
			r := Record{Place: s.place, Calls: s.lines(), By: by, Given: list(given), Type: fmt.Sprintf("%T", e), Text: e.Error(), Full: err.Error()}
			r.take(e)
			emit(r)
		}
	})
}

func (r *Record) take(e error) {
	switch e := e.(type) {
	case *stationphysics.RangeError:
		r.Parts = []Part{{e.Quantity, number(e.Value), e.Unit}}
		r.Min, r.Max = number(e.Min), number(e.Max)
	case *stationphysics.ConflictError:
		for i, q := range e.Quantities {
			p := Part{Quantity: q}
			if i < len(e.Values) {
				p.Value = number(e.Values[i])
			}
			if i < len(e.Units) {
				p.Unit = e.Units[i]
			}
			r.Parts = append(r.Parts, p)
		}
	}
}

func number(v float64) string { return strconv.FormatFloat(v, 'g', -1, 64) }

// tree visits err and all that it wraps.
func tree(err error, visit func(error)) {
	if err == nil {
		return
	}
	if reflect.ValueOf(err).Comparable() {
		visit(err)
	}
	switch w := err.(type) {
	case interface{ Unwrap() error }:
		tree(w.Unwrap(), visit)
	case interface{ Unwrap() []error }:
		for _, e := range w.Unwrap() {
			tree(e, visit)
		}
	}
}

func emit(r Record) {
	b, err := json.Marshal(r)
	if err != nil {
		panic(err)
	}
	fmt.Fprintf(out, "\n%s%s\n", Mark, b)
}

func (s *site) lines() []string {
	var ls []string
	n := 0
	for n < len(s.calls) && s.calls[n] != 0 {
		n++
	}
	frames := runtime.CallersFrames(s.calls[:n])
	for {
		f, more := frames.Next()
		ls = append(ls, f.File+":"+strconv.Itoa(f.Line))
		if !more {
			return ls
		}
	}
}

func list(args []any) string {
	parts := make([]string, len(args))
	for i, a := range args {
		parts[i] = show(reflect.ValueOf(a), 4)
	}
	return strings.Join(parts, ", ")
}

// show writes out what someone may have typed, at most so many levels deep.
func show(v reflect.Value, depth int) string {
	switch {
	case !v.IsValid():
		return "nil"
	case depth == 0:
		return "…"
	case v.Type() == reflect.TypeFor[time.Time]() && v.CanInterface():
		return v.Interface().(time.Time).Format(time.RFC3339)
	}
	switch v.Kind() {
	case reflect.String:
		const most = 60
		if s := v.String(); len(s) > most {
			return strconv.Quote(s[:most]) + "…"
		}
		return strconv.Quote(v.String())
	case reflect.Pointer, reflect.Interface:
		return show(v.Elem(), depth)
	case reflect.Struct:
		var parts []string
		for i := range v.NumField() {
			if !v.Field(i).IsZero() {
				parts = append(parts, v.Type().Field(i).Name+": "+show(v.Field(i), depth-1))
			}
		}
		return "{" + strings.Join(parts, ", ") + "}"
	case reflect.Slice, reflect.Array:
		const most = 4
		var parts []string
		for i := range min(most, v.Len()) {
			parts = append(parts, show(v.Index(i), depth-1))
		}
		if v.Len() > most {
			parts = append(parts, "…")
		}
		return "[" + strings.Join(parts, ", ") + "]"
	case reflect.Bool:
		return strconv.FormatBool(v.Bool())
	case reflect.Float64:
		return number(v.Float())
	}
	switch {
	case v.CanInt():
		return strconv.FormatInt(v.Int(), 10)
	case v.CanUint():
		return strconv.FormatUint(v.Uint(), 10)
	}
	return v.Type().String()
}
