package station

import (
	"math"
	"reflect"
	"strconv"
	"strings"
	"sync"

	"github.com/stationphysics/stationphysics/internal/limit"
)

// A fieldSpec is what the tags of a Description field say.
type fieldSpec struct {
	key    string
	limits limit.Range
	words  []string
	length int
	rows   []limit.Range
	std    string
	doc    string
}

// specs keeps what the tags of a struct's fields say, by type: []fieldSpec in the order
// of the fields. A station is checked each time it is compiled.
var specs sync.Map

func specsOf(t reflect.Type) []fieldSpec {
	if s, ok := specs.Load(t); ok {
		return s.([]fieldSpec)
	}
	s := make([]fieldSpec, t.NumField())
	for i := range s {
		s[i] = specOf(t.Field(i))
	}
	specs.Store(t, s)
	return s
}

// specOf reads the tags of a field. A malformed tag is a mistake in this
// package, found by its tests, and panics.
func specOf(sf reflect.StructField) fieldSpec {
	tag := sf.Tag
	s := fieldSpec{
		key: tag.Get("toml"), std: tag.Get("std"), doc: tag.Get("doc"),
		limits: limit.Range{Quantity: quantityName(tag.Get("doc")), Unit: tag.Get("unit"), Min: math.Inf(-1), Max: math.Inf(1)},
	}
	if w := tag.Get("oneof"); w != "" {
		s.words = strings.Split(w, "|")
	}
	if r := tag.Get("range"); r != "" {
		s.limits.Min, s.limits.Max = interval(r)
	} else {
		// Without a stated range any finite number will do.
		s.limits.Min, s.limits.Max = -math.MaxFloat64, math.MaxFloat64
	}
	for part := range strings.SplitSeq(tag.Get("slip"), "; ") {
		if part == "" {
			continue
		}
		r, looks, _ := strings.Cut(part, " ")
		lo, hi := interval(r)
		s.limits.Slips = append(s.limits.Slips, limit.Slip{Min: lo, Max: hi, Looks: looks})
	}
	s.length = number(tag.Get("len"))
	if r := tag.Get("rows"); r != "" {
		for col := range strings.SplitSeq(r, "; ") {
			s.rows = append(s.rows, column(col))
		}
	}
	return s
}

// quantityName takes the name of the quantity from the doc tag: what stands
// before the first punctuation.
func quantityName(doc string) string {
	if i := strings.IndexAny(doc, ",;:"); i > 0 {
		return doc[:i]
	}
	return doc
}

// column reads "azimuth deg 0..360": the last word is the interval, the one
// before it the unit, which may be empty.
func column(s string) limit.Range {
	i := strings.LastIndexByte(s, ' ')
	if i < 0 {
		panic("station: malformed rows tag " + strconv.Quote(s))
	}
	lo, hi := interval(s[i+1:])
	name, unit := s[:i], ""
	if j := strings.LastIndexByte(name, ' '); j >= 0 {
		name, unit = name[:j], name[j+1:]
	}
	return limit.Range{Quantity: name, Unit: unit, Min: lo, Max: hi}
}

func interval(s string) (lo, hi float64) {
	a, b, ok := strings.Cut(s, "..")
	lo, err1 := strconv.ParseFloat(a, 64)
	hi, err2 := strconv.ParseFloat(b, 64)
	if !ok || err1 != nil || err2 != nil || lo > hi {
		panic("station: malformed range tag " + strconv.Quote(s))
	}
	return lo, hi
}

func number(s string) int {
	if s == "" {
		return 0
	}
	n, err := strconv.Atoi(s)
	if err != nil {
		panic("station: malformed number tag " + strconv.Quote(s))
	}
	return n
}

func isTable(t reflect.Type) bool {
	return t.Kind() == reflect.Pointer && t.Elem().Kind() == reflect.Struct
}

func isTables(t reflect.Type) bool { return t.Kind() == reflect.Slice && isTable(t.Elem()) }
