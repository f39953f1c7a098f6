package house

import (
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"os"
	"path/filepath"
	"strings"
)

// checkComments returns one complaint for every exported identifier of the
// package in dir that has no comment: functions, methods, types, constants and
// variables (their group's comment will do), the methods of interfaces, and the
// fields of structs that hold a number. A field may be told by a comment above the
// group in which it stands, without an empty line between, or by its tag of kind
// doc.
func checkComments(dir string) ([]string, error) {
	fset := token.NewFileSet()
	entries, err := os.ReadDir(dir)
	if err != nil {
		return nil, err
	}
	var out []string
	complain := func(pos token.Pos, format string, args ...any) {
		p := fset.Position(pos)
		out = append(out, fmt.Sprintf("%s:%d: ", filepath.Base(p.Filename), p.Line)+fmt.Sprintf(format, args...)+" has no comment")
	}
	packageComment := false
	for _, e := range entries {
		if !isSource(e) {
			continue
		}
		f, err := parser.ParseFile(fset, filepath.Join(dir, e.Name()), nil, parser.ParseComments|parser.SkipObjectResolution)
		if err != nil {
			return nil, err
		}
		packageComment = packageComment || f.Doc != nil
		for _, d := range f.Decls {
			switch d := d.(type) {
			case *ast.FuncDecl:
				if d.Name.IsExported() && (d.Recv == nil || exportedReceiver(d.Recv)) && commentText(d.Doc) == "" {
					complain(d.Pos(), "%s", d.Name.Name)
				}
			case *ast.GenDecl:
				commentedGroup := commentText(d.Doc) != ""
				for _, s := range d.Specs {
					switch s := s.(type) {
					case *ast.TypeSpec:
						if !s.Name.IsExported() {
							continue
						}
						if !commentedGroup && commentText(s.Doc) == "" {
							complain(s.Pos(), "type %s", s.Name.Name)
						}
						fields(s, fset, complain)
					case *ast.ValueSpec:
						for _, n := range s.Names {
							if n.IsExported() && !commentedGroup && commentText(s.Doc) == "" && commentText(s.Comment) == "" {
								complain(n.Pos(), "%s", n.Name)
							}
						}
					}
				}
			}
		}
	}
	if !packageComment {
		out = append(out, "the package has no comment")
	}
	return out, nil
}

// fields complains about the fields of a struct and the methods of an interface.
func fields(s *ast.TypeSpec, fset *token.FileSet, complain func(token.Pos, string, ...any)) {
	switch t := s.Type.(type) {
	case *ast.StructType:
		told, line := false, 0
		for _, f := range t.Fields.List {
			from, to := fset.Position(f.Pos()).Line, fset.Position(f.End()).Line
			told = commentText(f.Doc) != "" || told && from == line+1
			line = to
			if told || commentText(f.Comment) != "" || f.Tag != nil && strings.Contains(f.Tag.Value, `doc:"`) || !holdsNumber(f.Type) {
				continue
			}
			for _, n := range f.Names {
				if n.IsExported() {
					complain(n.Pos(), "field %s.%s", s.Name.Name, n.Name)
				}
			}
		}
	case *ast.InterfaceType:
		for _, m := range t.Methods.List {
			if len(m.Names) == 1 && m.Names[0].IsExported() && commentText(m.Doc)+commentText(m.Comment) == "" {
				complain(m.Pos(), "method %s.%s", s.Name.Name, m.Names[0].Name)
			}
		}
	}
}

// holdsNumber reports whether a field holds a plain number of any kind.
func holdsNumber(e ast.Expr) bool {
	if isNumber(e) {
		return true
	}
	id, ok := e.(*ast.Ident)
	return ok && (strings.HasPrefix(id.Name, "int") || strings.HasPrefix(id.Name, "uint"))
}
