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

// Every package shows at least six examples that read as pages of a handbook,
// and the wrong way at least once. The root package holds error types alone: it
// shows those.
func TestEveryPackageHasWorkedExamples(t *testing.T) {
	checked := 0
	for path, p := range list(t) {
		rel, ok := strings.CutPrefix(path, module)
		if !ok || strings.Contains(rel, "/internal/") || strings.HasPrefix(rel, "/examples/") {
			continue
		}
		checked++
		examples, err := examplesOf(p.Dir)
		require.NoError(t, err)
		worked, wrong := 0, 0
		for _, e := range examples {
			require.NotEmpty(t, e.doc, "%s: Example%s has no comment", path, e.name)
			require.True(t, e.output, "%s: Example%s has no output, so that nothing runs it", path, e.name)
			if e.worked() {
				worked++
			}
			if wrongWay.MatchString(e.doc) {
				wrong++
			}
		}
		require.Positive(t, wrong, "%s shows no wrong way", path)
		if path == module {
			require.GreaterOrEqual(t, len(examples), 2, path)
			continue
		}
		require.GreaterOrEqual(t, worked, 6, "%s: examples with Given:, Find:, an equation, Source: and output", path)
	}
	require.Greater(t, checked, 20)
}

func TestWorkedRule(t *testing.T) {
	whole := "Title.\n\nGiven: 1.\nFind: 2.\n\n\t1 + 1 = 2\n\nSource: Peano.\n"
	require.True(t, example{doc: whole, output: true}.worked())
	require.False(t, example{doc: whole}.worked())
	for _, part := range []string{"Given: 1.", "Find: 2.", "\t1 + 1 = 2", "Source: Peano."} {
		require.False(t, example{doc: strings.Replace(whole, part, "", 1), output: true}.worked(), part)
	}
	require.True(t, wrongWay.MatchString("The wrong way: to add."))
	require.False(t, wrongWay.MatchString("a wrong value"))
}

func TestSubjectAndSentence(t *testing.T) {
	require.Equal(t, "Reduction.TempErrorHPa", subject("ExampleReduction_TempErrorHPa"))
	require.Equal(t, "Vector", subject("ExampleVector_wrongWay"))
	require.Equal(t, "package", subject("Example"))
	doc := &ast.CommentGroup{List: []*ast.Comment{{Text: "// Given: 3.1 m/s at"}, {Text: "// 3 m. Find: more."}}}
	require.Equal(t, "Given: 3.1 m/s at 3 m.", firstSentence(doc))
	require.Equal(t, "", firstSentence(nil))
}
