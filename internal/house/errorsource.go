package house

import (
	"go/ast"
	"go/token"
	"go/types"
	"slices"
	"strings"
)

// A visitor knows the types of one package and finds the places in it.
type visitor struct {
	*survey
	pkg     string
	info    *types.Info
	files   []*sourceFile
	f       *sourceFile           // the one being rewritten
	helpers map[types.Object]bool // see findHelpers
	asked   map[types.Object]bool // see findAsked
}

// walk calls fn with every node of root and the nodes around it, outermost
// first.
func walk(root ast.Node, fn func(n ast.Node, around []ast.Node)) {
	var around []ast.Node
	ast.Inspect(root, func(n ast.Node) bool {
		if n == nil {
			around = around[:len(around)-1]
			return true
		}
		fn(n, around)
		around = append(around, n)
		return true
	})
}

// outer is the node around, n steps out; nil beyond the file.
func outer(around []ast.Node, n int) ast.Node {
	if len(around) < n {
		return nil
	}
	return around[len(around)-n]
}

// kind says what sort of place a node is, "" if none.
func (v *visitor) kind(n ast.Node, around []ast.Node) placeKind {
	switch n := n.(type) {
	case *ast.CompositeLit:
		t := v.info.Types[n].Type
		if p, ok := t.(*types.Pointer); ok {
			t = p.Elem() // the & of an element of a list is left out
		}
		d := v.declared(n, around)
		_, isStruct := t.Underlying().(*types.Struct)
		switch {
		case isRange(t) && len(n.Elts) > 0 && !v.asked[d]:
			return kindRange
		case isStruct && isError(t) && !keeps(d):
			return kindMade
		}
	case *ast.CallExpr:
		f := v.callee(n)
		switch {
		case is(f, "errors", "New"), is(f, "fmt", "Errorf"):
			if !keeps(v.declared(n, around)) {
				return kindMade
			}
		case is(f, limitPath, "Named"), v.helpers[f] && isRange(v.info.Types[n].Type):
			return kindName
		case is(f, limitPath, "Check"):
			if b, ok := outer(around, 1).(*ast.BinaryExpr); !ok || b.Op != token.EQL && b.Op != token.NEQ {
				return kindCheck // otherwise it is a question
			}
		case v.helpers[f]:
			return kindHelper
		case foreign(f) && kept(n, outer(around, 1)) != nil:
			return kindOther
		}
	case *ast.Ident:
		if v.handedOn(n, around) {
			return kindKept
		}
	}
	return ""
}

var errorType = types.Universe.Lookup("error").Type()

// isError reports whether a value of t, or a pointer to one, is an error.
func isError(t types.Type) bool {
	e := errorType.Underlying().(*types.Interface)
	return types.Implements(t, e) || types.Implements(types.NewPointer(t), e)
}

// isRange reports whether t is a limit.Range or a pointer to one.
func isRange(t types.Type) bool {
	if p, ok := t.(*types.Pointer); ok {
		t = p.Elem()
	}
	n, ok := t.(*types.Named)
	return ok && is(n.Obj(), limitPath, "Range")
}

// element is what an array or slice of t holds, and t itself otherwise.
func element(t types.Type) types.Type {
	switch l := t.Underlying().(type) {
	case *types.Array:
		return l.Elem()
	case *types.Slice:
		return l.Elem()
	}
	return t
}

// is reports whether obj has that name in a package, methods included.
func is(obj types.Object, path, name string) bool {
	return obj != nil && obj.Pkg() != nil && obj.Pkg().Path() == path && obj.Name() == name
}

// callee is the function, method or variable that a call names, nil if none.
func (v *visitor) callee(c *ast.CallExpr) types.Object {
	switch f := ast.Unparen(c.Fun).(type) {
	case *ast.Ident:
		return v.info.Uses[f]
	case *ast.SelectorExpr:
		return v.info.Uses[f.Sel]
	}
	return nil
}

// foreign reports whether a function is outside the module and its last result
// an error.
func foreign(f types.Object) bool {
	fn, ok := f.(*types.Func)
	if !ok || fn.Pkg() == nil || strings.HasPrefix(fn.Pkg().Path(), module) || is(f, "errors", "Join") {
		return false
	}
	r := fn.Type().(*types.Signature).Results()
	return r.Len() > 0 && types.Identical(r.At(r.Len()-1).Type(), errorType)
}

// kept is where the error of a call goes: what takes it, or the call itself if
// it is returned at once; nil if it is dropped.
func kept(c *ast.CallExpr, up ast.Node) ast.Expr {
	switch up := up.(type) {
	case *ast.ReturnStmt:
		return c
	case *ast.AssignStmt:
		to := up.Lhs[len(up.Lhs)-1]
		if id, ok := to.(*ast.Ident); len(up.Rhs) == 1 && !(ok && id.Name == "_") {
			return to
		}
	}
	return nil
}

// declared is the variable of the package in whose initial value an expression
// stands, nil if none.
func (v *visitor) declared(n ast.Expr, around []ast.Node) types.Object {
	if len(around) < 3 { // file, declaration, specification
		return nil
	}
	s, ok := around[2].(*ast.ValueSpec)
	if !ok {
		return nil
	}
	for i, x := range s.Values {
		if x.Pos() <= n.Pos() && n.End() <= x.End() {
			return v.info.Defs[s.Names[i]]
		}
	}
	return nil
}

// keeps reports whether a variable holds an error: where it is handed on is the
// place then.
func keeps(d types.Object) bool { return d != nil && isError(d.Type()) }

// packageVar is the variable of a package of this module that an identifier
// uses, nil if none.
func (v *visitor) packageVar(id *ast.Ident) *types.Var {
	obj, ok := v.info.Uses[id].(*types.Var)
	if !ok || obj.Pkg() == nil || obj.Parent() != obj.Pkg().Scope() || !strings.HasPrefix(obj.Pkg().Path(), module) {
		return nil
	}
	return obj
}

// handedOn reports whether an identifier hands on an error that a package
// keeps in a variable, and does not only compare with it.
func (v *visitor) handedOn(id *ast.Ident, around []ast.Node) bool {
	obj := v.packageVar(id)
	if obj == nil || !isError(obj.Type()) {
		return false
	}
	for _, a := range around {
		switch a := a.(type) {
		case *ast.BinaryExpr:
			return false
		case *ast.CallExpr:
			if f := v.callee(a); is(f, "errors", "Is") || is(f, "errors", "As") {
				return false
			}
		}
	}
	return true
}

// findAsked finds the package's ranges, alone or in a list, that no error comes
// from, because they are only asked whether they hold a value and for their
// ends.
func (v *visitor) findAsked() {
	v.asked = map[types.Object]bool{}
	for _, f := range v.files {
		walk(f.ast, func(n ast.Node, around []ast.Node) {
			id, ok := n.(*ast.Ident)
			if !ok {
				return
			}
			obj := v.packageVar(id)
			if obj == nil || !isRange(element(obj.Type())) {
				return
			}
			up := outer(around, 1)
			if _, ok := up.(*ast.IndexExpr); ok {
				up = outer(around, 2)
			}
			if s, ok := up.(*ast.SelectorExpr); !ok || s.Sel.Name == "Check" || s.Sel.Name == "Named" {
				v.asked[obj] = false
			} else if _, seen := v.asked[obj]; !seen {
				v.asked[obj] = true
			}
		})
	}
}

// findHelpers finds the unexported functions that make errors and are given a
// text or a range to make them of: each call is a place of its own.
func (v *visitor) findHelpers() {
	v.helpers = map[types.Object]bool{}
	bodies := map[types.Object]*ast.BlockStmt{}
	consider := func(id *ast.Ident, t *ast.FuncType, body *ast.BlockStmt) {
		for _, p := range t.Params.List {
			pt := v.info.Types[p.Type].Type
			if b, ok := pt.Underlying().(*types.Basic); !id.IsExported() && body != nil && (ok && b.Kind() == types.String || isRange(pt)) {
				bodies[v.info.Defs[id]] = body
			}
		}
	}
	for _, f := range v.files {
		walk(f.ast, func(n ast.Node, around []ast.Node) {
			switch n := n.(type) {
			case *ast.FuncDecl:
				consider(n.Name, n.Type, n.Body)
			case *ast.FuncLit:
				if a, ok := outer(around, 1).(*ast.AssignStmt); ok && a.Tok == token.DEFINE {
					if id, ok := a.Lhs[slices.Index(a.Rhs, ast.Expr(n))].(*ast.Ident); ok {
						consider(id, n.Type, n.Body)
					}
				}
			}
		})
	}
	for again := true; again; {
		again = false
		for obj, body := range bodies {
			walk(body, func(n ast.Node, around []ast.Node) {
				if k := v.kind(n, around); k != "" && k != kindOther && !v.helpers[obj] {
					v.helpers[obj], again = true, true
				}
			})
		}
	}
}
