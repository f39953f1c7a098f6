package station

import (
	"bufio"
	"fmt"
	"io"
	"math"
	"reflect"
	"strconv"
	"strings"
)

// WriteTOML writes a description so that Read gives it back: what is stated, in
// the order of the type, each line with its meaning and unit as a comment. The
// error is that of the writer.
func (d *Description) WriteTOML(w io.Writer) error {
	e := &encoder{w: bufio.NewWriter(w)}
	e.table(reflect.ValueOf(d).Elem(), "", false)
	return e.finish()
}

// WriteTemplate writes a description to be filled in: every section and key
// with its meaning, unit, range and standard value. What the description states
// is written as it is; all else is commented out, so that the file can be read
// at once and lines are taken in one by one. An empty Description gives the
// bare template. The error is that of the writer.
func (d *Description) WriteTemplate(w io.Writer) error {
	e := &encoder{w: bufio.NewWriter(w), template: true}
	e.comment("The description of a station. Every section and every line may stay out:")
	e.comment("what cannot be told without a line says which one. Take the # from a line")
	e.comment("and write your own number. In messages \"panel.vmp_v\" is the line vmp_v of the")
	e.comment("section panel. Numbers have a point, texts stand in quotes, units are in the")
	e.comment("keys. A section of which you take no line need not be taken out.")
	e.line("")
	e.table(reflect.ValueOf(d).Elem(), "", false)
	return e.finish()
}

type encoder struct {
	w        *bufio.Writer
	template bool
	err      error
}

func (e *encoder) finish() error {
	if e.err != nil {
		return e.err
	}
	return e.w.Flush()
}

func (e *encoder) line(s string) {
	if e.err == nil {
		_, e.err = e.w.WriteString(s + "\n")
	}
}

func (e *encoder) comment(s string) { e.line("# " + s) }

// table writes keys first and the tables below after them, as TOML wants it.
// off comments everything out.
func (e *encoder) table(v reflect.Value, prefix string, off bool) {
	t := v.Type()
	for i := range t.NumField() {
		if sf := t.Field(i); !isTable(sf.Type) && !isTables(sf.Type) {
			e.key(v.Field(i), sf, off)
		}
	}
	for i := range t.NumField() {
		sf, f := t.Field(i), v.Field(i)
		path := join(prefix, sf.Tag.Get("toml"))
		switch {
		case isTable(sf.Type):
			e.section(f, sf, "["+path+"]", path, off)
		case isTables(sf.Type):
			for j := range f.Len() {
				e.section(f.Index(j), sf, "[["+path+"]]", path, off)
			}
			if f.Len() == 0 && e.template {
				e.section(reflect.Zero(sf.Type.Elem()), sf, "[["+path+"]]", path, true)
			}
		}
	}
}

func (e *encoder) section(f reflect.Value, sf reflect.StructField, head, path string, off bool) {
	absent := f.IsNil()
	if absent && !e.template {
		return
	}
	e.line("")
	if e.template {
		e.comment(sf.Tag.Get("doc"))
	}
	sub := f
	if absent {
		sub = reflect.New(f.Type().Elem())
	}
	if absent && isTables(sf.Type) || off {
		head = "# " + head
		off = true
	}
	e.line(head)
	e.table(sub.Elem(), path, off)
}

func (e *encoder) key(f reflect.Value, sf reflect.StructField, off bool) {
	s := specOf(sf)
	given := !f.IsZero()
	if !given && !e.template {
		return
	}
	var b strings.Builder
	if !given || off {
		b.WriteString("# ")
	}
	b.WriteString(s.key + " = ")
	if given {
		b.WriteString(tomlValue(f))
	} else {
		b.WriteString(s.placeholder(f.Type()))
	}
	b.WriteString("  # " + s.describe())
	e.line(b.String())
}

// describe gives meaning, unit, range and standard value of a field.
func (s *fieldSpec) describe() string {
	out := s.doc
	if s.limits.Unit != "" {
		out += ", " + s.limits.Unit
	}
	if s.bounded() {
		out += fmt.Sprintf(", %g to %g", s.limits.Min, s.limits.Max)
	}
	if len(s.words) > 0 {
		out += ": " + strings.Join(s.words, ", ")
	}
	if s.std != "" {
		out += "; " + s.std + " if absent"
	}
	return out
}

func (s *fieldSpec) bounded() bool { return s.limits.Min > -math.MaxFloat64 && len(s.rows) == 0 }

// placeholder is what stands in a template for a value that is not stated.
func (s *fieldSpec) placeholder(t reflect.Type) string {
	switch {
	case s.std != "":
		return s.std
	case len(s.words) > 0:
		return strconv.Quote(s.words[0])
	case t.Kind() == reflect.String:
		return `""`
	case t.Kind() == reflect.Pointer && t.Elem().Kind() == reflect.Bool:
		return "false"
	case len(s.rows) > 0:
		return "[[0, 0], [0, 0]]"
	case t.Kind() == reflect.Slice && t.Elem().Kind() == reflect.String:
		return `["", ""]`
	case s.length > 0:
		return "[" + strings.TrimSuffix(strings.Repeat("0, ", s.length), ", ") + "]"
	case t.Kind() == reflect.Slice:
		return "[0]"
	}
	return "0"
}

func tomlValue(f reflect.Value) string {
	switch f.Kind() {
	case reflect.Pointer:
		return tomlValue(f.Elem())
	case reflect.Float64:
		return strconv.FormatFloat(f.Float(), 'g', -1, 64)
	case reflect.Int:
		return strconv.FormatInt(f.Int(), 10)
	case reflect.Bool:
		return strconv.FormatBool(f.Bool())
	case reflect.String:
		return quoteTOML(f.String())
	case reflect.Slice:
		parts := make([]string, f.Len())
		for i := range parts {
			parts[i] = tomlValue(f.Index(i))
		}
		return "[" + strings.Join(parts, ", ") + "]"
	}
	panic("station: a description field of kind " + f.Kind().String())
}

// quoteTOML writes a basic string: TOML's escapes are not Go's.
func quoteTOML(s string) string {
	var b strings.Builder
	b.WriteByte('"')
	for _, r := range s {
		switch {
		case r == '"' || r == '\\':
			b.WriteByte('\\')
			b.WriteRune(r)
		case r == '\n':
			b.WriteString(`\n`)
		case r == '\t':
			b.WriteString(`\t`)
		case r < 0x20 || r == 0x7f:
			fmt.Fprintf(&b, `\u%04X`, r)
		default:
			b.WriteRune(r)
		}
	}
	b.WriteByte('"')
	return b.String()
}

// FieldReference writes the format of a description field by field as a
// Markdown document, from the same tags that reading and validation use. The
// error is that of the writer.
func FieldReference(w io.Writer) error {
	e := &encoder{w: bufio.NewWriter(w)}
	e.line("# The description of a station")
	e.line("")
	e.line("A TOML file. Every section and every key is optional: what cannot be told")
	e.line("without one is answered with CANNOT TELL and its name. Numbers are plain; the")
	e.line("unit is part of the key. This page is generated from the Go type")
	e.line("`station.Description`; `go test ./station` fails if it is out of date.")
	e.reference(reflect.TypeOf(Description{}), "")
	return e.finish()
}

func (e *encoder) reference(t reflect.Type, prefix string) {
	if t.NumField() == 0 {
		return
	}
	rows := 0
	for i := range t.NumField() {
		sf := t.Field(i)
		if isTable(sf.Type) || isTables(sf.Type) {
			continue
		}
		if rows == 0 {
			e.line("")
			e.line("| key | type | unit | accepted | if absent | meaning |")
			e.line("|---|---|---|---|---|---|")
		}
		rows++
		s := specOf(sf)
		accepted := ""
		switch {
		case len(s.words) > 0:
			accepted = strings.Join(s.words, ", ")
		case len(s.rows) > 0:
			cols := make([]string, len(s.rows))
			for k, c := range s.rows {
				cols[k] = strings.TrimSpace(fmt.Sprintf("%s %g..%g %s", c.Quantity, c.Min, c.Max, c.Unit))
			}
			accepted = strings.Join(cols, "; ")
		case s.bounded() && sf.Type.Kind() != reflect.String && !strings.Contains(typeWord(sf.Type, s), "text"):
			accepted = fmt.Sprintf("%g..%g", s.limits.Min, s.limits.Max)
		}
		e.line(fmt.Sprintf("| `%s` | %s | %s | %s | %s | %s |", s.key, typeWord(sf.Type, s), s.limits.Unit, accepted, s.std, s.doc))
	}
	for i := range t.NumField() {
		sf := t.Field(i)
		path := join(prefix, sf.Tag.Get("toml"))
		if isTable(sf.Type) {
			e.line("")
			e.line("## `[" + path + "]`: " + sf.Tag.Get("doc"))
			e.reference(sf.Type.Elem(), path)
		} else if isTables(sf.Type) {
			e.line("")
			e.line("## `[[" + path + "]]`: " + sf.Tag.Get("doc"))
			e.reference(sf.Type.Elem().Elem(), path)
		}
	}
}

func typeWord(t reflect.Type, s fieldSpec) string {
	switch t.Kind() {
	case reflect.Pointer:
		return typeWord(t.Elem(), s)
	case reflect.Float64:
		return "number"
	case reflect.Int:
		return "whole number"
	case reflect.Bool:
		return "true or false"
	case reflect.String:
		return "text"
	}
	n := ""
	if s.length > 0 {
		n = strconv.Itoa(s.length) + " "
	}
	if t.Elem().Kind() == reflect.String {
		return "list of " + n + "texts"
	}
	if len(s.rows) > 0 {
		return "list of rows"
	}
	return "list of " + n + "numbers"
}
