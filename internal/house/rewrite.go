package house

import (
	"bytes"
	"fmt"
	"go/ast"
	"go/token"
	"go/types"
	"slices"
	"strings"
)

// A sourceFile is one file with what is to be inserted. Insertions never move
// a line, except in package limit, which has no places.
type sourceFile struct {
	path  string
	src   []byte
	ast   *ast.File
	edits []insertion
	sees  bool // it calls witness
}

type insertion struct {
	at   int
	text string
}

func (v *visitor) insert(pos token.Pos, format string, args ...any) {
	v.f.edits = append(v.f.edits, insertion{v.fset.Position(pos).Offset, fmt.Sprintf(format, args...)})
}

// see inserts code that calls witness.
func (v *visitor) see(pos token.Pos, format string, args ...any) {
	v.f.sees = true
	v.insert(pos, format, args...)
}

// rewrite finds the places of a file and makes witness see their errors.
func (v *visitor) rewrite(f *sourceFile) {
	v.f = f
	walk(f.ast, func(n ast.Node, around []ast.Node) {
		if v.pkg == limitPath {
			v.limit(n)
			return
		}
		switch n := n.(type) {
		case *ast.FuncDecl:
			v.exit(n)
		case *ast.CallExpr:
			v.text(n, around)
		}
		if kind := v.kind(n, around); kind != "" {
			v.place(n, around, kind)
		}
	})
	if len(f.edits) == 0 {
		return
	}
	if f.sees {
		v.insert(f.ast.Name.End(), "; import %q", witnessPath)
	}
	slices.SortStableFunc(f.edits, func(a, b insertion) int { return a.at - b.at })
	var out bytes.Buffer
	at := 0
	for _, e := range f.edits {
		out.Write(f.src[at:e.at])
		out.WriteString(e.text)
		at = e.at
	}
	out.Write(f.src[at:])
	v.overlay[f.path] = out.Bytes()
}

// place numbers a place and wraps or follows it with a call of witness. The
// call of a helper is seen on the way to the place in the helper.
func (v *visitor) place(n ast.Node, around []ast.Node, kind placeKind) {
	file, line := v.position(n)
	k := len(v.places)
	v.places = append(v.places, place{File: file, Line: line, Kind: kind,
		What: strings.Join(strings.Fields(string(v.f.src[v.fset.Position(n.Pos()).Offset:v.fset.Position(n.End()).Offset])), " ")})
	up := outer(around, 1)
	switch kind {
	case kindRange:
		lit := n.(*ast.CompositeLit)
		if _, keyed := lit.Elts[0].(*ast.KeyValueExpr); !keyed {
			v.complain(n, "name the fields of the range")
			return
		}
		v.insert(lit.Lbrace+1, "Places: []int{%d}, ", k)
		return
	case kindName:
		name := "With"
		if _, ok := v.info.Types[n.(ast.Expr)].Type.(*types.Pointer); ok {
			name = "At"
		}
		v.insert(n.End(), ".%s(%d)", name, k)
		return
	case kindHelper:
		if i := k - 1; i >= 0 && v.places[i].Kind == kindHelper && v.places[i].File == file && v.places[i].Line == line {
			v.complain(n, "two errors on one line cannot be told apart")
		}
		return
	case kindMade:
		if lit, ok := n.(*ast.CompositeLit); ok && lit.Type == nil {
			v.complain(n, "write the type of the error out")
			return
		}
		if a, ok := up.(*ast.UnaryExpr); ok {
			n = a
		}
		if c, ok := n.(*ast.CallExpr); ok && slices.ContainsFunc(c.Args, v.isFloat) {
			v.complain(n, "an error about a number is a RangeError or a ConflictError")
		}
	case kindKept:
		if s, ok := up.(*ast.SelectorExpr); ok {
			n = s
		}
	case kindOther:
		if to := kept(n.(*ast.CallExpr), up); to != n {
			note := fmt.Sprintf("witness.Made(%d, %s);", k, types.ExprString(to))
			if s, ok := outer(around, 2).(*ast.IfStmt); ok {
				v.see(s.Body.Lbrace+1, "%s", note)
			} else {
				v.see(up.End(), ";%s", note)
			}
			return
		}
	}
	v.see(n.Pos(), "witness.Made(%d, ", k)
	v.insert(n.End(), ")")
}

func (v *visitor) isFloat(e ast.Expr) bool {
	b, ok := v.info.Types[e].Type.Underlying().(*types.Basic)
	return ok && b.Info()&types.IsFloat != 0
}

// limit rewrites package limit, where every value out of range is refused: a
// range knows the numbers of its places and hands them on.
func (v *visitor) limit(n ast.Node) {
	switch n := n.(type) {
	case *ast.TypeSpec:
		if s, ok := n.Type.(*ast.StructType); ok && n.Name.Name == "Range" {
			v.insert(s.Fields.Closing, "\nPlaces []int\n")
		}
	case *ast.FuncDecl:
		if n.Name.Name == "Named" {
			v.insert(n.End(), "%s", `
func (r *Range) At(place int) *Range { r.Places = append(r.Places[:len(r.Places):len(r.Places)], place); return r }
func (r Range) With(place int) Range { return *r.At(place) }
`)
		}
	case *ast.UnaryExpr:
		if lit, ok := n.X.(*ast.CompositeLit); ok && isError(v.info.Types[lit].Type) {
			v.see(n.Pos(), "witness.Refused(r.Places, ")
			v.insert(n.End(), ")")
		}
	}
}

// text lets witness see an error whose text the library takes into a result of
// its own, as a reason.
func (v *visitor) text(c *ast.CallExpr, around []ast.Node) {
	s, ok := c.Fun.(*ast.SelectorExpr)
	d, inFunc := outer(around, len(around)-1).(*ast.FuncDecl)
	if !ok || s.Sel.Name != "Error" || !inFunc || d.Name.Name == "Error" || !isError(v.info.Types[s.X].Type) {
		return
	}
	v.see(s.X.Pos(), "witness.Told(%q, ", inModule(v.pkg)+"."+d.Name.Name)
	v.insert(s.X.End(), ")")
}

// exit makes an exported function tell witness which error it returns, and
// what it was given.
func (v *visitor) exit(d *ast.FuncDecl) {
	if !d.Name.IsExported() || d.Name.Name == "Unwrap" || d.Body == nil || d.Type.Results == nil {
		return
	}
	results := d.Type.Results.List
	last := results[len(results)-1]
	if !isError(v.info.Types[last.Type].Type) {
		return
	}
	result := "witnessed"
	switch {
	case d.Type.Results.Opening == token.NoPos:
		v.insert(last.Pos(), "(witnessed ")
		v.insert(last.End(), ")")
	case len(last.Names) == 0:
		for _, r := range results[:len(results)-1] {
			v.insert(r.Pos(), "_ ")
		}
		v.insert(last.Pos(), "witnessed ")
	default:
		result = last.Names[len(last.Names)-1].Name
	}
	name := inModule(v.pkg) + "."
	given := ""
	fields := d.Type.Params.List
	if d.Recv != nil {
		fields = append(slices.Clone(d.Recv.List), fields...)
		name += types.ExprString(d.Recv.List[0].Type) + "."
	}
	for _, f := range fields {
		for _, n := range f.Names {
			if n.Name != "_" {
				given += ", " + n.Name
			}
		}
	}
	v.see(d.Body.Lbrace+1, "defer func() { if %[1]s != nil { witness.Returned(%[2]q, %[1]s%[3]s) } }();", result, name+d.Name.Name, given)
}
