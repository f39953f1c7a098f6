package house

import (
	"bytes"
	"fmt"
	"go/ast"
	"go/doc"
	"go/parser"
	"go/token"
	"os"
	pathpkg "path"
	"path/filepath"
	"regexp"
	"sort"
	"strings"
	"unicode"
)

// wrongWay is how an example says that it shows a usual mistake.
var wrongWay = regexp.MustCompile(`(?i)\bthe wrong way\b`)

// A worked example reads as a page of a handbook: what is given, what is to be
// found, an equation with the numbers put in, where it comes from. The result is
// the example's output.
var workedParts = []*regexp.Regexp{regexp.MustCompile(`(?m)^Given: \S`), regexp.MustCompile(`(?m)^Find: \S`), regexp.MustCompile(`(?m)^\t.*\d`), regexp.MustCompile(`(?m)^Source: \S`)}

// An example is one Example function of a package.
type example struct {
	name, doc string
	output    bool // it states its output, so that it runs as a test
}

func (e example) worked() bool {
	for _, part := range workedParts {
		if !part.MatchString(e.doc) {
			return false
		}
	}
	return e.output
}

// examplesOf reads the examples of the package in dir.
func examplesOf(dir string) ([]example, error) {
	files, err := filepath.Glob(filepath.Join(dir, "*_test.go"))
	if err != nil {
		return nil, err
	}
	var out []example
	for _, path := range files {
		f, err := parser.ParseFile(token.NewFileSet(), path, nil, parser.ParseComments)
		if err != nil {
			return nil, err
		}
		for _, e := range doc.Examples(f) {
			out = append(out, example{name: e.Name, doc: e.Doc, output: e.Output != "" || e.EmptyOutput})
		}
	}
	return out, nil
}

// exampleIndex writes an index of the worked examples of all packages below
// root: package, what the example shows, its first sentence.
func exampleIndex(root string) ([]byte, error) {
	byPackage := map[string][]string{}
	err := filepath.WalkDir(root, func(path string, e os.DirEntry, err error) error {
		if err != nil {
			return err
		}
		if e.IsDir() && (strings.HasPrefix(e.Name(), ".") && path != root || e.Name() == "examples" || e.Name() == "internal" || e.Name() == "testdata") {
			return filepath.SkipDir
		}
		if !strings.HasSuffix(path, "_test.go") {
			return nil
		}
		f, err := parser.ParseFile(token.NewFileSet(), path, nil, parser.ParseComments|parser.SkipObjectResolution)
		if err != nil {
			return err
		}
		rel, err := filepath.Rel(root, filepath.Dir(path))
		if err != nil {
			return err
		}
		for _, d := range f.Decls {
			fn, ok := d.(*ast.FuncDecl)
			if !ok || fn.Recv != nil || !strings.HasPrefix(fn.Name.Name, "Example") {
				continue
			}
			pkg := filepath.ToSlash(rel)
			line := fmt.Sprintf("- [`%s`](%s): %s", subject(fn.Name.Name), pathpkg.Join("..", pkg, filepath.Base(path)), firstSentence(fn.Doc))
			if wrongWay.MatchString(commentText(fn.Doc)) && !wrongWay.MatchString(line) {
				line += " *With the wrong way.*"
			}
			byPackage[pkg] = append(byPackage[pkg], line)
		}
		return nil
	})
	if err != nil {
		return nil, err
	}
	packages := make([]string, 0, len(byPackage))
	for p := range byPackage {
		packages = append(packages, p)
	}
	sort.Strings(packages)
	var b bytes.Buffer
	b.WriteString("# Worked examples\n\nEach is a Go example that runs as a test: given, find, equation, numbers put in,\nsource, result; and the wrong way with its error where people go wrong. `go doc` and\nthe package pages show them. This index is generated, and `go test ./internal/house`\nfails if it is out of date.\n")
	for _, p := range packages {
		lines := byPackage[p]
		sort.Strings(lines)
		if p == "." {
			p = "stationphysics"
		}
		fmt.Fprintf(&b, "\n## %s\n\n%s\n", p, strings.Join(lines, "\n"))
	}
	return b.Bytes(), nil
}

// subject turns ExampleReduction_TempErrorHPa into Reduction.TempErrorHPa, and
// drops the suffix in lower case that tells two examples apart.
func subject(name string) string {
	name = strings.TrimPrefix(name, "Example")
	parts := strings.Split(name, "_")
	var out []string
	for _, p := range parts {
		if p != "" && unicode.IsUpper(rune(p[0])) {
			out = append(out, p)
		}
	}
	if len(out) == 0 {
		return "package"
	}
	return strings.Join(out, ".")
}

// firstSentence is the first paragraph's first sentence of a comment, on one
// line.
func firstSentence(doc *ast.CommentGroup) string {
	text := commentText(doc)
	text, _, _ = strings.Cut(text, "\n\n")
	text = strings.Join(strings.Fields(text), " ")
	for i := 0; i+1 < len(text); i++ {
		if text[i] == '.' && text[i+1] == ' ' && i+2 < len(text) && unicode.IsUpper(rune(text[i+2])) && !(i > 0 && unicode.IsUpper(rune(text[i-1]))) {
			return text[:i+1]
		}
	}
	return text
}
