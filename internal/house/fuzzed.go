package house

import (
	"bufio"
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
)

// A callable is an exported function, or an exported method of an exported
// type, that the fuzz targets of its package must reach.
type callable struct {
	pkg   string // import path
	name  string // Func or Type.Method
	file  string // as the cover profile writes it: import path and file
	start position
	end   position
	fails bool // its last result is an error
}

// short is the package's path in the module and the name.
func (c callable) short() string { return inModule(c.pkg) + "." + c.name }

// position is a place in a file as a cover profile writes it.
type position struct{ line, column int }

func (p position) before(q position) bool {
	return p.line < q.line || p.line == q.line && p.column < q.column
}

// plain are the methods that only put what is there into words.
var plain = []string{"String", "Error", "Unwrap"}

// callables lists what the fuzz targets of the package in dir must reach: all
// that is exported and does something with an input. Left out are
//
//   - String, Error and Unwrap;
//   - a method without parameters that returns fields of its receiver;
//   - a function without parameters: nothing of it can be varied;
//   - bodies without a statement.
func callables(pkg, dir string) ([]callable, error) {
	entries, err := os.ReadDir(dir)
	if err != nil {
		return nil, err
	}
	fset := token.NewFileSet()
	var out []callable
	for _, e := range entries {
		if !isSource(e) {
			continue
		}
		f, err := parser.ParseFile(fset, filepath.Join(dir, e.Name()), nil, parser.SkipObjectResolution)
		if err != nil {
			return nil, err
		}
		for _, d := range f.Decls {
			fn, ok := d.(*ast.FuncDecl)
			if !ok || !fn.Name.IsExported() || fn.Body == nil || len(fn.Body.List) == 0 {
				continue
			}
			name := fn.Name.Name
			switch {
			case fn.Recv == nil && fn.Type.Params.NumFields() == 0:
				continue
			case fn.Recv != nil && (!exportedReceiver(fn.Recv) || slices.Contains(plain, name) || isAccessor(fn)):
				continue
			case fn.Recv != nil:
				name = receiverName(fn.Recv) + "." + name
			}
			out = append(out, callable{pkg: pkg, name: name, file: pkg + "/" + e.Name(), start: at(fset, fn.Body.Lbrace), end: at(fset, fn.Body.Rbrace), fails: fails(fn)})
		}
	}
	return out, nil
}

// fails tells whether the last result of a function is an error.
func fails(fn *ast.FuncDecl) bool {
	if fn.Type.Results == nil {
		return false
	}
	id, ok := fn.Type.Results.List[len(fn.Type.Results.List)-1].Type.(*ast.Ident)
	return ok && id.Name == "error"
}

func at(fset *token.FileSet, pos token.Pos) position {
	p := fset.Position(pos)
	return position{p.Line, p.Column}
}

// isAccessor tells whether a method without parameters does nothing but return
// fields of its receiver.
func isAccessor(fn *ast.FuncDecl) bool {
	if fn.Type.Params.NumFields() != 0 || len(fn.Body.List) != 1 || len(fn.Recv.List[0].Names) != 1 {
		return false
	}
	ret, ok := fn.Body.List[0].(*ast.ReturnStmt)
	if !ok {
		return false
	}
	for _, e := range ret.Results {
		for {
			sel, ok := e.(*ast.SelectorExpr)
			if !ok {
				break
			}
			e = sel.X
		}
		id, ok := e.(*ast.Ident)
		if !ok || id.Name != fn.Recv.List[0].Names[0].Name {
			return false
		}
	}
	return true
}

// A block is a line of a cover profile.
type block struct {
	start position
	ran   bool
}

// runTargets runs the fuzz targets of the packages on their seeds, those of the
// source and those below testdata/fuzz, and returns the blocks of each file.
// Each package is measured by its own targets alone: that costs least to build,
// and asks most.
func runTargets(root, profile string, packages []string) (map[string][]block, error) {
	cmd := exec.Command("go", append([]string{"test", "-vet=off", "-run=^Fuzz", "-coverprofile=" + profile}, packages...)...)
	cmd.Dir = root
	if out, err := cmd.CombinedOutput(); err != nil {
		return nil, fmt.Errorf("go test: %w\n%s", err, out)
	}
	f, err := os.Open(profile)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	blocks := map[string][]block{}
	for sc := bufio.NewScanner(f); sc.Scan(); {
		line := sc.Text()
		if strings.HasPrefix(line, "mode: ") {
			continue
		}
		file, b, err := parseBlock(line)
		if err != nil {
			return nil, err
		}
		blocks[file] = append(blocks[file], b)
	}
	return blocks, nil
}

// parseBlock reads file:line.column,line.column statements runs.
func parseBlock(text string) (file string, b block, err error) {
	colon := strings.LastIndexByte(text, ':')
	fields := strings.Fields(text[colon+1:])
	if colon < 0 || len(fields) != 3 {
		return "", block{}, fmt.Errorf("%q is no line of a cover profile", text)
	}
	from, _, _ := strings.Cut(fields[0], ",")
	line, column, _ := strings.Cut(from, ".")
	if b.start.line, err = strconv.Atoi(line); err == nil {
		b.start.column, err = strconv.Atoi(column)
	}
	b.ran = fields[2] != "0"
	return text[:colon], b, err
}

// unreached complains of callables that no fuzz target of their package enters,
// and of those with an error whose last statement no seed comes to: a
// constructor that only ever refuses is not tried. except are exceptions by
// package.name; one that is not needed is a complaint.
func unreached(all []callable, blocks map[string][]block, except map[string]string) []string {
	var complaints []string
	used := map[string]bool{}
	for _, c := range all {
		entered, last := false, block{}
		for _, b := range blocks[c.file] {
			if b.start.before(c.start) || c.end.before(b.start) {
				continue
			}
			entered = entered || b.ran
			if last.start.before(b.start) {
				last = b
			}
		}
		if entered && (last.ran || !c.fails) {
			continue
		}
		if _, ok := except[c.short()]; ok {
			used[c.short()] = true
			continue
		}
		if entered {
			complaints = append(complaints, c.short()+": the fuzz targets of its package enter it, but no seed comes to its end")
			continue
		}
		complaints = append(complaints, c.short()+": no fuzz target of its package reaches it")
	}
	for name := range except {
		if !used[name] {
			complaints = append(complaints, name+": the exception is not needed")
		}
	}
	slices.Sort(complaints)
	return complaints
}
