package station

import (
	"reflect"
	"strconv"
	"strings"
)

// Resolved returns a copy of the description in which every absent number that
// has a standard value (tag std) inside a present section carries it. What has
// none stays nil.
func (d *Description) Resolved() *Description {
	out := *d
	resolve(reflect.ValueOf(&out).Elem())
	return &out
}

func resolve(v reflect.Value) {
	for i := range v.NumField() {
		sf, f := v.Type().Field(i), v.Field(i)
		switch {
		case isTable(sf.Type):
			if !f.IsNil() {
				c := reflect.New(sf.Type.Elem())
				c.Elem().Set(f.Elem())
				resolve(c.Elem())
				f.Set(c)
			}
		case isTables(sf.Type):
			list := reflect.MakeSlice(sf.Type, f.Len(), f.Len())
			for j := range f.Len() {
				c := reflect.New(sf.Type.Elem().Elem())
				c.Elem().Set(f.Index(j).Elem())
				resolve(c.Elem())
				list.Index(j).Set(c)
			}
			f.Set(list)
		case sf.Type.Kind() == reflect.Pointer && f.IsNil():
			if std := sf.Tag.Get("std"); std != "" {
				f.Set(standard(sf.Type, std))
			}
		}
	}
}

// standard makes a pointer to the value of a std tag.
func standard(t reflect.Type, std string) reflect.Value {
	p := reflect.New(t.Elem())
	switch t.Elem().Kind() {
	case reflect.Float64:
		x, err := strconv.ParseFloat(std, 64)
		if err != nil {
			panic("station: malformed std tag " + strconv.Quote(std))
		}
		p.Elem().SetFloat(x)
	case reflect.Int:
		p.Elem().SetInt(int64(number(std)))
	default:
		panic("station: std tag on a " + t.String())
	}
	return p
}

// Missing returns those of the given keys that the description does not state,
// in the order given: "panel.vmp_v", "regulator[0].out_v", "load". An absent
// section makes each of its keys missing. A key that no description has is a
// programming error and panics.
func (d *Description) Missing(keys ...string) []string {
	var out []string
	for _, k := range keys {
		if !stated(reflect.ValueOf(d).Elem(), k) {
			out = append(out, k)
		}
	}
	return out
}

func stated(v reflect.Value, key string) bool {
	head, rest, deeper := strings.Cut(key, ".")
	name, index, indexed := strings.Cut(strings.TrimSuffix(head, "]"), "[")
	f := fieldByKey(v, name)
	switch {
	case isTable(f.Type()):
		if f.IsNil() {
			return false
		}
		return !deeper || stated(f.Elem(), rest)
	case isTables(f.Type()):
		if !indexed {
			return f.Len() > 0
		}
		i := number(index)
		if i >= f.Len() {
			return false
		}
		return !deeper || stated(f.Index(i).Elem(), rest)
	case f.Kind() == reflect.Pointer:
		return !f.IsNil()
	default:
		return f.Len() > 0
	}
}

func fieldByKey(v reflect.Value, name string) reflect.Value {
	for i := range v.NumField() {
		if v.Type().Field(i).Tag.Get("toml") == name {
			return v.Field(i)
		}
	}
	panic("station: " + v.Type().Name() + " has no key " + strconv.Quote(name))
}
