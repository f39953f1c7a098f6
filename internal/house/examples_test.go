package house

import (
	"flag"
	"go/ast"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

var update = flag.Bool("update", false, "write the generated index instead of comparing it")

func TestExampleIndexIsCurrent(t *testing.T) {
	got, err := exampleIndex("../..")
	require.NoError(t, err)
	const path = "../../docs/examples.md"
	if *update {
		require.NoError(t, os.WriteFile(path, got, 0o644))
	}
	want, err := os.ReadFile(path)
	require.NoError(t, err)
	require.True(t, string(want) == string(got), "docs/examples.md is out of date: run go test ./internal/house -run ExampleIndex -update")
}

// Every physics package shows at least six worked examples.
func TestEveryPackageHasWorkedExamples(t *testing.T) {
	got, err := exampleIndex("../..")
	require.NoError(t, err)
	count := map[string]int{}
	pkg := ""
	for line := range strings.SplitSeq(string(got), "\n") {
		if p, ok := strings.CutPrefix(line, "## "); ok {
			pkg, _, _ = strings.Cut(p, "/") // a family counts as one
		}
		if strings.HasPrefix(line, "- [") {
			count[pkg]++
			require.False(t, strings.HasSuffix(line, ": "), "%s has no comment", line)
		}
	}
	for _, f := range families {
		require.GreaterOrEqual(t, count[f], 6, f)
	}
}

func TestSubjectAndSentence(t *testing.T) {
	require.Equal(t, "Reduction.TempErrorHPa", subject("ExampleReduction_TempErrorHPa"))
	require.Equal(t, "Vector", subject("ExampleVector_wrongWay"))
	require.Equal(t, "package", subject("Example"))
	doc := &ast.CommentGroup{List: []*ast.Comment{{Text: "// Given: 3.1 m/s at"}, {Text: "// 3 m. Find: more."}}}
	require.Equal(t, "Given: 3.1 m/s at 3 m.", firstSentence(doc))
	require.Equal(t, "", firstSentence(nil))
}
