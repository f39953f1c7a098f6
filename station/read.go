package station

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"math"
	"reflect"
	"slices"
	"sort"
	"strconv"
	"strings"

	"github.com/pelletier/go-toml/v2"
	"github.com/pelletier/go-toml/v2/unstable"

	"github.com/stationphysics/stationphysics"
	"github.com/stationphysics/stationphysics/internal/wording"
)

// maxDescription bounds what Read takes in: a station is described in some
// kilobytes, and a reader that swallows anything can be made to swallow the
// machine.
const maxDescription = 1 << 20

// maxKeys and maxParts bound the keys of a description and the parts between the
// dots of one. What a decoder of TOML does grows with the square of either, so that
// a megabyte of keys would take minutes.
const (
	maxKeys  = 10000
	maxParts = 16
)

// Read reads a description in TOML. file is the name that errors carry. All
// mistakes of the file are reported together, as InputErrors in the order of
// their lines: unknown keys, wrong types, values out of range, unknown
// words, numbers that contradict each other. A section or key that is absent is
// no mistake, and a section without a key is as good as absent.
func Read(in io.Reader, file string) (*Description, error) {
	data, err := io.ReadAll(io.LimitReader(in, maxDescription+1))
	if err != nil {
		return nil, InputErrors{&InputError{File: file, Err: err}}
	}
	if len(data) > maxDescription {
		return nil, InputErrors{&InputError{File: file, Err: fmt.Errorf("the file is larger than %d bytes, no description needs that", maxDescription)}}
	}
	data = bytes.TrimPrefix(data, []byte("\ufeff"))
	if err := isText(data); err != nil {
		return nil, InputErrors{&InputError{File: file, Err: err}}
	}
	if line, err := countKeys(data); err != nil {
		return nil, InputErrors{&InputError{File: file, Line: line, Err: err}}
	}
	tree := map[string]any{}
	if err := toml.Unmarshal(data, &tree); err != nil {
		line := 0
		var de *toml.DecodeError
		if errors.As(err, &de) {
			line, _ = de.Position()
			err = errors.New(strings.TrimPrefix(de.Error(), "toml: ") + slip(data, line))
		}
		return nil, InputErrors{&InputError{File: file, Line: line, Err: err}}
	}
	f := &filler{file: file, lines: keyLines(data)}
	d := &Description{}
	f.table(reflect.ValueOf(d).Elem(), tree, "")
	if len(f.errs) == 0 {
		_, f.errs = compile(d)
		for _, e := range f.errs {
			e.File, e.Line = file, lineOf(f.lines, e.Key)
		}
	}
	if len(f.errs) > 0 {
		sort.SliceStable(f.errs, func(i, j int) bool { return f.errs[i].Line < f.errs[j].Line })
		return nil, f.errs
	}
	return d, nil
}

// Validate checks a description built in code as Read checks a file. The
// errors, InputErrors, carry the key of each mistake and no line.
func (d *Description) Validate() error {
	_, err := Compile(d)
	return err
}

// inForm checks tags alone.
func (d *Description) inForm() InputErrors {
	f := &filler{file: "description"}
	f.checkStruct(reflect.ValueOf(d).Elem(), "")
	return f.errs
}

// A filler moves a decoded tree into a struct by its tags and collects what is
// wrong on the way.
type filler struct {
	file  string
	lines map[string]int
	errs  InputErrors
}

func (f *filler) fail(key string, err error) {
	f.errs = append(f.errs, &InputError{File: f.file, Line: lineOf(f.lines, key), Key: key, Err: err})
}

func (f *filler) table(v reflect.Value, tree map[string]any, prefix string) {
	known := make([]string, 0, v.NumField())
	for i := range v.NumField() {
		known = append(known, v.Type().Field(i).Tag.Get("toml"))
	}
	keys := make([]string, 0, len(tree))
	for k := range tree {
		keys = append(keys, k)
	}
	slices.Sort(keys)
	for _, k := range keys {
		path := join(prefix, k)
		i := slices.Index(known, k)
		if i < 0 {
			f.fail(path, &stationphysics.NameError{Kind: "key", Name: k, Known: known, Nearest: wording.Meant(k, known, otherNames)})
			continue
		}
		f.field(v.Field(i), v.Type().Field(i), tree[k], path)
	}
}

func (f *filler) field(v reflect.Value, sf reflect.StructField, raw any, path string) {
	spec := specOf(sf)
	switch {
	case isTable(sf.Type):
		sub, ok := raw.(map[string]any)
		if !ok {
			f.shape(path, "a table ["+path+"]", raw)
			return
		}
		section := reflect.New(sf.Type.Elem())
		f.table(section.Elem(), sub, path)
		// A head alone, as the template has them, states nothing: a station
		// without a diode need not take the head of its section out.
		if !section.Elem().IsZero() {
			v.Set(section)
		}
	case isTables(sf.Type):
		list, ok := raw.([]any)
		if !ok {
			f.shape(path, "one or more tables [["+path+"]]", raw)
			return
		}
		for i, x := range list {
			at := path + "[" + strconv.Itoa(i) + "]"
			sub, ok := x.(map[string]any)
			if !ok {
				f.shape(at, "a table [["+path+"]]", x)
				continue
			}
			e := reflect.New(sf.Type.Elem().Elem())
			f.table(e.Elem(), sub, at)
			v.Set(reflect.Append(v, e))
		}
	default:
		if f.scalarOrList(v, sf.Type, raw, path) {
			f.check(v, &spec, path)
		}
	}
}

// scalarOrList stores a value of one of the plain kinds a description uses.
func (f *filler) scalarOrList(v reflect.Value, t reflect.Type, raw any, path string) bool {
	switch t.Kind() {
	case reflect.Pointer:
		e := reflect.New(t.Elem())
		if !f.scalarOrList(e.Elem(), t.Elem(), raw, path) {
			return false
		}
		v.Set(e)
		return true
	case reflect.Float64:
		switch x := raw.(type) {
		case float64:
			v.SetFloat(x)
		case int64:
			v.SetFloat(float64(x))
		default:
			return f.shape(path, "a number", raw)
		}
	case reflect.Int:
		x, ok := raw.(int64)
		if y, isFloat := raw.(float64); isFloat && y == math.Trunc(y) && math.Abs(y) < 1e15 {
			x, ok = int64(y), true // 3.0 cells are 3
		}
		if !ok {
			return f.shape(path, "a whole number", raw)
		}
		v.SetInt(x)
	case reflect.Bool:
		x, ok := raw.(bool)
		if !ok {
			return f.shape(path, "true or false", raw)
		}
		v.SetBool(x)
	case reflect.String:
		x, ok := raw.(string)
		if !ok {
			return f.shape(path, "a text in quotes", raw)
		}
		v.SetString(x)
	case reflect.Slice:
		list, ok := raw.([]any)
		if !ok {
			return f.shape(path, "a list", raw)
		}
		s := reflect.MakeSlice(t, len(list), len(list))
		for i, x := range list {
			if !f.scalarOrList(s.Index(i), t.Elem(), x, path) {
				return false
			}
		}
		v.Set(s)
	default:
		panic("station: a description field of kind " + t.Kind().String())
	}
	return true
}

func (f *filler) shape(path, want string, got any) bool {
	f.fail(path, &ShapeError{Want: want, Got: describe(got)})
	return false
}

func describe(x any) string {
	switch x := x.(type) {
	case string:
		return "the text " + strconv.Quote(x)
	case bool:
		return strconv.FormatBool(x)
	case int64, float64:
		return fmt.Sprintf("the number %v", x)
	case []any:
		if len(x) > 0 {
			if _, tables := x[0].(map[string]any); tables {
				return "tables in double brackets"
			}
		}
		return "a list"
	case map[string]any:
		return "a table in single brackets"
	}
	return fmt.Sprintf("%T", x)
}

// checkStruct applies the tags to a description built in code.
func (f *filler) checkStruct(v reflect.Value, prefix string) {
	fields := specsOf(v.Type())
	for i := range fields {
		path := join(prefix, fields[i].key)
		fv := v.Field(i)
		switch t := fv.Type(); {
		case isTable(t):
			if !fv.IsNil() {
				f.checkStruct(fv.Elem(), path)
			}
		case isTables(t):
			for j := range fv.Len() {
				at := path + "[" + strconv.Itoa(j) + "]"
				if fv.Index(j).IsNil() {
					f.fail(at, &ShapeError{Want: "a table", Got: "nil"})
					continue
				}
				f.checkStruct(fv.Index(j).Elem(), at)
			}
		case t.Kind() == reflect.Pointer && fv.IsNil(), t.Kind() == reflect.String && fv.Len() == 0,
			t.Kind() == reflect.Slice && fv.Len() == 0:
		default:
			f.check(fv, &fields[i], path)
		}
	}
}

// check applies the tags of one field that is present.
func (f *filler) check(v reflect.Value, s *fieldSpec, path string) {
	if v.Kind() == reflect.Pointer {
		v = v.Elem()
	}
	switch v.Kind() {
	case reflect.Float64:
		f.number(v.Float(), s, path)
	case reflect.Int:
		f.number(float64(v.Int()), s, path)
	case reflect.String:
		if len(s.words) > 0 && !slices.Contains(s.words, v.String()) {
			f.fail(path, &stationphysics.NameError{Kind: "word", Name: v.String(), Known: slices.Clone(s.words), Nearest: wording.Meant(v.String(), s.words, nil)})
		}
	case reflect.Slice:
		if s.length > 0 && v.Len() != s.length {
			f.fail(path, &ShapeError{Want: fmt.Sprintf("a list of %d", s.length), Got: fmt.Sprintf("%d", v.Len())})
			return
		}
		for i := range v.Len() {
			e := v.Index(i)
			switch e.Kind() {
			case reflect.Float64:
				f.number(e.Float(), s, path)
			case reflect.Slice:
				if e.Len() != len(s.rows) {
					f.fail(path, &ShapeError{Want: fmt.Sprintf("rows of %d numbers", len(s.rows)), Got: fmt.Sprintf("a row of %d", e.Len())})
					return
				}
				for j := range e.Len() {
					if err := s.rows[j].Check(e.Index(j).Float()); err != nil {
						f.fail(path, err)
					}
				}
			}
		}
	}
}

func (f *filler) number(x float64, s *fieldSpec, path string) {
	if err := s.limits.Check(x); err != nil {
		f.fail(path, err)
	}
}

func join(prefix, key string) string {
	if prefix == "" {
		return key
	}
	return prefix + "." + key
}

// lineOf finds the line of a key, or of the nearest table around it.
func lineOf(lines map[string]int, key string) int {
	for key != "" {
		if n, ok := lines[key]; ok {
			return n
		}
		i := strings.LastIndexAny(key, ".[")
		if i < 0 {
			break
		}
		key = key[:i]
	}
	return 0
}

// keyLines maps every key of the document, written as "panel.vmp_v" and
// "load[0].rail", to its line.
func keyLines(data []byte) map[string]int {
	lines := map[string]int{}
	count := map[string]int{}
	var p unstable.Parser
	p.Reset(data)
	table := ""
	for p.NextExpression() {
		e := p.Expression()
		switch e.Kind {
		case unstable.Table, unstable.ArrayTable:
			name, line := keyOf(&p, data, e.Key(), "")
			if e.Kind == unstable.ArrayTable {
				lines[name] = line
				count[name]++
				name += "[" + strconv.Itoa(count[name]-1) + "]"
			}
			lines[name] = line
			table = name
		case unstable.KeyValue:
			keyValue(&p, data, e, table, lines)
		}
	}
	return lines
}

// countKeys refuses more keys, or more parts of a key, than a description needs, with
// the line. What is no TOML it leaves to the decoder.
func countKeys(data []byte) (line int, err error) {
	var p unstable.Parser
	p.Reset(data)
	keys := 0
	var count func(n *unstable.Node) bool
	count = func(n *unstable.Node) bool {
		switch n.Kind {
		case unstable.Table, unstable.ArrayTable, unstable.KeyValue:
			keys++
			parts := 0
			for it := n.Key(); it.Next() && parts <= maxParts; parts++ {
				line = 0
				if keys > maxKeys || parts == maxParts {
					line = 1 + bytes.Count(data[:p.Range(it.Node().Data).Offset], []byte{'\n'})
				}
			}
			switch {
			case keys > maxKeys:
				err = fmt.Errorf("more than %d keys, no description needs that", maxKeys)
			case parts > maxParts:
				err = fmt.Errorf("a key of more than %d parts, no description needs that", maxParts)
			case n.Kind == unstable.KeyValue:
				return count(n.Value())
			}
		case unstable.InlineTable, unstable.Array:
			for it := n.Children(); it.Next(); {
				if !count(it.Node()) {
					return false
				}
			}
		}
		return err == nil
	}
	for p.NextExpression() {
		if !count(p.Expression()) {
			return line, err
		}
	}
	return 0, nil
}

func keyValue(p *unstable.Parser, data []byte, e *unstable.Node, table string, lines map[string]int) {
	name, line := keyOf(p, data, e.Key(), table)
	if _, ok := lines[name]; !ok {
		lines[name] = line
	}
	if v := e.Value(); v.Kind == unstable.InlineTable {
		for it := v.Children(); it.Next(); {
			keyValue(p, data, it.Node(), name, lines)
		}
	}
}

func keyOf(p *unstable.Parser, data []byte, it unstable.Iterator, prefix string) (name string, line int) {
	name = prefix
	for it.Next() {
		n := it.Node()
		name = join(name, string(n.Data))
		if line == 0 {
			line = 1 + bytes.Count(data[:p.Range(n.Data).Offset], []byte{'\n'})
		}
	}
	return name, line
}
