package house

import (
	"bytes"
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"os"
	"path/filepath"
	"sort"
	"strings"
	"unicode"
)

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
			byPackage[pkg] = append(byPackage[pkg], fmt.Sprintf("- [`%s`](../%s/%s): %s", subject(fn.Name.Name), pkg, filepath.Base(path), firstSentence(fn.Doc)))
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
	b.WriteString("# Worked examples\n\nEach is a Go example that runs as a test: given, find, equation with its source,\nnumbers, result, and often the wrong way beside it. `go doc` and the package pages\nshow them; this index is generated, and `go test ./internal/house` fails if it is\nout of date.\n")
	for _, p := range packages {
		lines := byPackage[p]
		sort.Strings(lines)
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
