// Package house keeps the rules of the module that a compiler does not: which
// package may import which, and that every exported number carries its unit in
// its name. It is used by its own tests only.
package house

import (
	"bufio"
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"unicode"
)

// unitSuffixes are the endings that name a unit, as the README's table lists
// them. Composite units join their parts with "Per".
var unitSuffixes = []string{
	"C", "K", "F", "HPa", "Pa", "Pct", "M", "Km", "Cm", "Mm", "M2", "Mm2", "M3", "Deg", "AU", "DegPerM", "Rad", "Arcsec",
	"V", "A", "W", "Ohm", "Ah", "Wh", "Hz", "Farad", "Henry", "Coulomb", "J",
	"S", "Min", "H", "Days", "Years", "JD", "Kg", "G", "Gpm",
	"KPerW", "KPerM", "KPerHPa", "KPerPct", "KPerS", "KPerMin", "WPerM2", "WPerK", "WPerM2K", "WPerMK", "WhPerM2", "KWhPerM2", "JPerK", "JPerKg", "KJPerKg", "JPerKgK", "KJPerKgK",
	"KgPerM3", "GPerM3", "KgPerKg", "GPerKg", "M3PerKg", "PaS", "M2PerS",
	"Lx", "LmPerW", "MPerS", "MPerS2", "MPerPulse", "MmPerH", "MmPerTip",
	"VPerK", "VPerDeg", "VPerS", "APerK", "PctPerK", "PctPerMonth", "PctPerYear", "OhmPerM", "OhmPerK", "FaradPerM", "HenryPerM", "A2S", "PerK", "PerHPa", "HPaPerC", "HPaPerK", "HPaPerM", "HPaPerPct", "HPaPerHPa", "CPerHPa", "HPaPerH", "PerM", "PerS",
	"WhPerDay", "AhPerDay", "MPerSPerHz", "SPerDay", "PPM",
}

// plainSuffixes are the endings of names of dimensionless numbers.
var plainSuffixes = []string{
	"Frac", "Ratio", "Factor", "Eff", "Efficiency", "Index", "Count", "Prob", "Albedo", "Emissivity", "Absorptance",
	"Transmittance", "Turbidity", "Clearness", "AirMass", "Ideality", "SoC", "Exponent", "Weight", "Cycles", "Duty", "Seed",
}

// hasSuffix reports whether name ends in one of the endings at a word boundary:
// "tempC" does, "RMC" does not.
func hasSuffix(name string, endings []string) bool {
	for _, s := range endings {
		head, ok := strings.CutSuffix(name, s)
		if !ok {
			continue
		}
		if head == "" {
			return true
		}
		last := rune(head[len(head)-1])
		if unicode.IsLower(last) || unicode.IsDigit(last) {
			return true
		}
	}
	// A whole name in lower case, as a parameter may be: "ratio", "albedo".
	for _, s := range endings {
		if len(s) > 3 && name == strings.ToLower(s[:1])+s[1:] {
			return true
		}
	}
	return false
}

// exemption is one line of names/<package>.txt: a trade symbol with its unit
// ("dimensionless" where it has none).
type exemption struct {
	unit string
	used bool
}

func readExemptions(path string) (map[string]*exemption, error) {
	f, err := os.Open(path)
	if os.IsNotExist(err) {
		return map[string]*exemption{}, nil
	}
	if err != nil {
		return nil, err
	}
	defer f.Close()
	out := map[string]*exemption{}
	sc := bufio.NewScanner(f)
	for sc.Scan() {
		line := strings.TrimSpace(sc.Text())
		if line == "" || strings.HasPrefix(line, "#") {
			continue
		}
		name, unit, ok := strings.Cut(line, " ")
		if !ok {
			return nil, fmt.Errorf("%s: %q has no unit", path, line)
		}
		out[name] = &exemption{unit: strings.TrimSpace(unit)}
	}
	return out, sc.Err()
}

// checkNames returns one complaint for every exported number in the package in
// dir whose name does not end in a unit and is not exempted.
func checkNames(dir string, exempt map[string]*exemption) ([]string, error) {
	fset := token.NewFileSet()
	entries, err := os.ReadDir(dir)
	if err != nil {
		return nil, err
	}
	c := &nameChecker{fset: fset, exempt: exempt}
	for _, e := range entries {
		if !isSource(e) {
			continue
		}
		f, err := parser.ParseFile(fset, filepath.Join(dir, e.Name()), nil, parser.ParseComments|parser.SkipObjectResolution)
		if err != nil {
			return nil, err
		}
		c.file(f)
	}
	for name, x := range exempt {
		if !x.used {
			c.complaints = append(c.complaints, fmt.Sprintf("the exemption of %q is no longer needed", name))
		}
	}
	return c.complaints, nil
}

func isSource(e fs.DirEntry) bool {
	return !e.IsDir() && strings.HasSuffix(e.Name(), ".go") && !strings.HasSuffix(e.Name(), "_test.go")
}

type nameChecker struct {
	fset       *token.FileSet
	exempt     map[string]*exemption
	complaints []string
}

func (c *nameChecker) file(f *ast.File) {
	for _, d := range f.Decls {
		switch d := d.(type) {
		case *ast.FuncDecl:
			if !d.Name.IsExported() || d.Recv != nil && !exportedReceiver(d.Recv) {
				continue
			}
			c.signature(d.Name.Name, d.Type, commentText(d.Doc))
		case *ast.GenDecl:
			for _, s := range d.Specs {
				switch s := s.(type) {
				case *ast.TypeSpec:
					if s.Name.IsExported() {
						c.typeSpec(s)
					}
				case *ast.ValueSpec:
					c.values(d, s)
				}
			}
		}
	}
}

func (c *nameChecker) typeSpec(s *ast.TypeSpec) {
	switch t := s.Type.(type) {
	case *ast.StructType:
		for _, f := range t.Fields.List {
			if !isNumber(f.Type) {
				continue
			}
			for _, n := range f.Names {
				if n.IsExported() {
					c.name(n.Name, n.Pos(), s.Name.Name+"."+n.Name, commentText(f.Doc)+commentText(f.Comment), true)
				}
			}
		}
	case *ast.InterfaceType:
		for _, m := range t.Methods.List {
			if ft, ok := m.Type.(*ast.FuncType); ok && len(m.Names) == 1 {
				c.signature(m.Names[0].Name, ft, commentText(m.Doc))
			}
		}
	case *ast.FuncType:
		c.signature(s.Name.Name, t, "")
	}
}

func (c *nameChecker) values(d *ast.GenDecl, s *ast.ValueSpec) {
	for i, n := range s.Names {
		if !n.IsExported() {
			continue
		}
		number := s.Type != nil && isNumber(s.Type)
		if s.Type == nil && i < len(s.Values) {
			if lit, ok := s.Values[i].(*ast.BasicLit); ok && lit.Kind == token.FLOAT {
				number = true
			}
		}
		if number {
			c.name(n.Name, n.Pos(), n.Name, commentText(d.Doc)+commentText(s.Doc)+commentText(s.Comment), true)
		}
	}
}

func (c *nameChecker) signature(fn string, t *ast.FuncType, doc string) {
	for _, p := range t.Params.List {
		if !isNumber(p.Type) {
			continue
		}
		if len(p.Names) == 0 {
			c.complain(p.Pos(), "a parameter of %s has no name", fn)
		}
		for _, n := range p.Names {
			c.name(n.Name, n.Pos(), fn+"("+n.Name+")", doc, false)
		}
	}
	if t.Results == nil {
		return
	}
	for _, r := range t.Results.List {
		if !isNumber(r.Type) {
			continue
		}
		if len(r.Names) == 0 {
			// DewPointC() float64 says its unit in its own name.
			c.name(fn, r.Pos(), fn, doc, false)
		}
		for _, n := range r.Names {
			c.name(n.Name, n.Pos(), fn+" result "+n.Name, doc, false)
		}
	}
}

// name complains unless the name carries its unit. A trade symbol in a field
// or constant must have its unit in the comment beside it.
func (c *nameChecker) name(name string, pos token.Pos, where, comment string, needsComment bool) {
	if name == "dst" || name == "_" {
		return
	}
	if hasSuffix(name, unitSuffixes) || hasSuffix(name, plainSuffixes) {
		return
	}
	x := c.exempt[name]
	if x == nil {
		c.complain(pos, "%s is a number without its unit", where)
		return
	}
	x.used = true
	if needsComment && x.unit != "dimensionless" && !strings.Contains(comment, x.unit) {
		c.complain(pos, "%s is a trade symbol: its comment must name the unit %s", where, x.unit)
	}
}

func (c *nameChecker) complain(pos token.Pos, format string, args ...any) {
	p := c.fset.Position(pos)
	c.complaints = append(c.complaints, fmt.Sprintf("%s:%d: ", filepath.Base(p.Filename), p.Line)+fmt.Sprintf(format, args...))
}

func isNumber(e ast.Expr) bool {
	switch t := e.(type) {
	case *ast.Ident:
		return t.Name == "float64" || t.Name == "float32"
	case *ast.ArrayType:
		return isNumber(t.Elt)
	case *ast.Ellipsis:
		return isNumber(t.Elt)
	case *ast.StarExpr:
		return isNumber(t.X)
	case *ast.MapType:
		return isNumber(t.Value)
	}
	return false
}

func exportedReceiver(r *ast.FieldList) bool { return ast.IsExported(receiverName(r)) }

// receiverName is the type of a receiver without star and parameters.
func receiverName(r *ast.FieldList) string {
	e := r.List[0].Type
	if s, ok := e.(*ast.StarExpr); ok {
		e = s.X
	}
	if ix, ok := e.(*ast.IndexExpr); ok {
		e = ix.X
	}
	id, ok := e.(*ast.Ident)
	if !ok {
		return ""
	}
	return id.Name
}

func commentText(g *ast.CommentGroup) string {
	if g == nil {
		return ""
	}
	return g.Text()
}
