package house

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"go/ast"
	"go/importer"
	"go/parser"
	"go/token"
	"go/types"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"

	"github.com/stationphysics/stationphysics/internal/house/host"
)

const (
	module      = "github.com/stationphysics/stationphysics"
	limitPath   = module + "/internal/limit"
	witnessPath = module + "/internal/house/witness"
)

// A place is a spot in the library's source where an error comes from.
type place struct {
	File string // from the root of the module
	Line int
	Kind placeKind
	What string // its source, on one line
}

func (p place) String() string { return fmt.Sprintf("%s:%d: %s", p.File, p.Line, p.What) }

type placeKind string

const (
	kindMade   placeKind = "made"   // a literal of an error type, errors.New, fmt.Errorf
	kindKept   placeKind = "kept"   // an error that the package keeps in a variable is handed on
	kindRange  placeKind = "range"  // a limit.Range is stated
	kindName   placeKind = "name"   // a limit.Range gets the name of one quantity
	kindCheck  placeKind = "check"  // a value is held to a limit.Range
	kindHelper placeKind = "helper" // a function is called that makes an error of the text or range it is given
	kindOther  placeKind = "other"  // a call out of the module whose error is not dropped
)

// A survey holds the places of some packages, and their source rewritten so
// that package witness sees each error made and returned.
type survey struct {
	root       string
	fset       *token.FileSet
	places     []place           // a place's number is its index
	overlay    map[string][]byte // rewritten files by path
	packages   []string
	complaints []string
}

// listed is what go list says of a package.
type listed struct {
	ImportPath   string
	Name         string
	Dir          string
	Export       string
	GoFiles      []string
	TestGoFiles  []string
	XTestGoFiles []string
	Module       *struct{ Main bool }
}

// surveyModule looks through the packages of the module at root that are no
// commands and whose path in the module skip does not refuse.
func surveyModule(root string, skip func(rel string) bool) (*survey, error) {
	root, err := filepath.Abs(root)
	if err != nil {
		return nil, err
	}
	cmd := exec.Command("go", "list", "-deps", "-export", "-json=ImportPath,Name,Dir,Export,GoFiles,TestGoFiles,XTestGoFiles,Module", "./...")
	cmd.Dir = root
	cmd.Env = host.Env()
	var complaint bytes.Buffer
	cmd.Stderr = &complaint
	out, err := cmd.Output()
	if err != nil {
		return nil, fmt.Errorf("go list: %w: %s", err, complaint.String())
	}
	s := &survey{root: root, fset: token.NewFileSet(), overlay: map[string][]byte{}}
	export := map[string]string{}
	var mine []listed
	for dec := json.NewDecoder(bytes.NewReader(out)); ; {
		var p listed
		if err := dec.Decode(&p); errors.Is(err, io.EOF) {
			break
		} else if err != nil {
			return nil, err
		}
		export[p.ImportPath] = p.Export
		if p.Module != nil && p.Module.Main && p.Name != "main" && !skip(inModule(p.ImportPath)) {
			mine = append(mine, p)
		}
	}
	imp := importer.ForCompiler(s.fset, "gc", func(path string) (io.ReadCloser, error) { return os.Open(export[path]) })
	for _, p := range mine {
		if err := s.survey(p, imp); err != nil {
			return nil, err
		}
		s.packages = append(s.packages, p.ImportPath)
		for _, name := range slices.Concat(p.TestGoFiles, p.XTestGoFiles) {
			// The go command runs a test again whose looked-at files changed.
			if _, err := os.Stat(filepath.Join(p.Dir, name)); err != nil {
				return nil, err
			}
		}
	}
	return s, nil
}

// inModule is an import path without the module's.
func inModule(path string) string { return strings.TrimPrefix(strings.TrimPrefix(path, module), "/") }

// survey looks through one package.
func (s *survey) survey(p listed, imp types.Importer) error {
	v := &visitor{survey: s, pkg: p.ImportPath, info: &types.Info{
		Types: map[ast.Expr]types.TypeAndValue{}, Uses: map[*ast.Ident]types.Object{}, Defs: map[*ast.Ident]types.Object{}}}
	var asts []*ast.File
	for _, name := range p.GoFiles {
		path := filepath.Join(p.Dir, name)
		src, err := os.ReadFile(path)
		if err != nil {
			return err
		}
		f, err := parser.ParseFile(s.fset, path, src, parser.SkipObjectResolution)
		if err != nil {
			return err
		}
		v.files = append(v.files, &sourceFile{path: path, src: src, ast: f})
		asts = append(asts, f)
	}
	conf := types.Config{Importer: imp}
	if _, err := conf.Check(p.ImportPath, s.fset, asts, v.info); err != nil {
		return err
	}
	v.findAsked()
	v.findHelpers()
	for _, f := range v.files {
		v.rewrite(f)
	}
	return nil
}

// complain notes an error that cannot be followed the way it is written.
func (s *survey) complain(n ast.Node, text string) {
	file, line := s.position(n)
	s.complaints = append(s.complaints, fmt.Sprintf("%s:%d: %s", file, line, text))
}

// position is the file, from the root of the module, and line of a node.
func (s *survey) position(n ast.Node) (file string, line int) {
	pos := s.fset.Position(n.Pos())
	rel, err := filepath.Rel(s.root, pos.Filename)
	if err != nil {
		rel = pos.Filename
	}
	return filepath.ToSlash(rel), pos.Line
}
